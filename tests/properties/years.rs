//! Drawn years: the lean way against the full hour loop, the weather against its own distribution, intervals against truth.

use super::sensible::plan;
use amp_larder_tests::Seeded;
use larder::{Chances, Tally};

const PLANS: u64 = 200;
const YEARS: u64 = 20;

#[test]
fn the_lean_way_tells_what_the_full_loop_tells() {
    let (mut off, mut short_plans, mut worst) = (Vec::new(), 0, 0.0f64);
    for seed in 0..PLANS {
        let inputs = larder::import(&plan(seed)).expect("sound");
        let chances = Chances::new(&inputs);
        let lean = chances.draw(0, 0..YEARS);
        // Four abreast are to the last bit what each is alone.
        assert_eq!(lean, chances.draw_plainly(0, 0..YEARS), "plan {seed}");
        let lean = lean.mean_days();
        let full: u32 = (0..YEARS)
            .map(|year| larder::drawn_year_in_full(&inputs, year))
            .sum();
        let full = f64::from(full) / YEARS as f64;
        let difference = (lean - full).abs();
        short_plans += u32::from(full > 0.0);
        worst = worst.max(difference);
        off.push(difference);
    }
    let within = off.iter().filter(|days| **days <= 0.5).count();
    println!(
        "{PLANS} plans, {short_plans} short at times: lean against full within half a day on {within}, worst {worst:.1}"
    );
    assert!((40..180).contains(&short_plans), "{short_plans}");
    assert!(
        within * 100 >= PLANS as usize * 95 && worst <= 2.0,
        "{within}, {worst}"
    );
}

#[test]
fn stretches_of_years_add_up_and_the_same_seed_is_the_same_year() {
    let inputs = larder::import(&plan(3)).expect("sound");
    let chances = Chances::new(&inputs);
    let mut parts = Tally::default();
    for from in [0, 7, 20] {
        let to = [7, 20, 30][[0, 7, 20].iter().position(|f| *f == from).unwrap()];
        parts.add(chances.draw(0, from..to));
    }
    // Four abreast, as far as they go, are to the last bit what each is alone.
    assert_eq!(parts, chances.draw(0, 0..30));
    assert_eq!(parts, chances.draw_plainly(0, 0..30));
    let risk = parts.risk(1);
    assert_eq!(risk.years, 30);
    assert!(risk.tenth <= risk.median && risk.median <= risk.ninth);
    assert!((risk.by_month.iter().sum::<f64>() - risk.mean_days).abs() < 1e-9);
}

#[test]
fn more_strings_and_more_sun_are_never_short_more_often() {
    let mut plan = plan(11);
    plan.sun.fitted = true;
    let inputs = larder::import(&plan).expect("sound");
    let wanted = larder::Wanted {
        years: 0,
        until_narrow: false,
        map: Some(3.0),
        draws: 0,
    };
    let mut survey = larder::Survey::new(&inputs, wanted);
    let mut bench = larder::Bench::new(inputs);
    while !survey.map_is_whole() {
        let job = survey.next_job().expect("a cell");
        let numbers = bench.work(job);
        survey.put(job, &numbers);
    }
    let map = survey.map().expect("panels");
    let (rows, columns) = (map.strings.len(), map.watts.len());
    for string in 0..rows {
        for watt in 0..columns {
            let here = map.days(string, watt).expect("worked out");
            for richer in [
                map.days(string + 1, watt).filter(|_| string + 1 < rows),
                map.days(string, watt + 1).filter(|_| watt + 1 < columns),
            ] {
                // A single night may fall otherwise when loads come back; a few days a year, never a trend.
                assert!(
                    here >= 149.0 || richer.is_none_or(|richer| richer <= here + 3.0),
                    "{string} {watt}: {here} {richer:?}"
                );
            }
        }
    }
    let frontier = map.frontier();
    assert!(
        frontier.windows(2).all(|w| match (w[0], w[1]) {
            (Some(a), Some(b)) => b <= a + 1,
            (Some(_), None) => false,
            _ => true,
        }),
        "{frontier:?}"
    );
}

#[test]
fn intervals_hold_the_truth_as_often_as_they_say() {
    // A long run stands for the truth; a thousand years, pair by pair, are drawn from it again and again. Three plans that are
    // short a day a year or more, and three that are short less often.
    let (mut draw, mut often, mut seldom) = (Seeded(5), 0, 0);
    for seed in 0..120 {
        let inputs = larder::import(&plan(seed)).expect("sound");
        let chances = Chances::new(&inputs);
        let glance = chances.draw(0, 0..100).mean_days();
        let wanted = if (1.0..100.0).contains(&glance) {
            often < 3
        } else {
            glance > 0.0 && glance < 1.0 && seldom < 3
        };
        if !wanted {
            continue;
        }
        let pool = chances.draw(0, 0..8000);
        let (truth, share) = (pool.mean_days(), pool.risk(1).years_with_none);
        let pairs: Vec<_> = pool.years().chunks(2).collect();
        let repeats = 2000;
        let held = (0..repeats).filter(|_| {
            let years = (0..500).flat_map(|_| pairs[draw.one_of(pairs.len())]);
            let risk = Tally::of(years.copied().collect()).risk(1);
            match risk.interval {
                Some([low, high]) => (low..=high).contains(&truth),
                None => (risk.none_interval[0]..=risk.none_interval[1]).contains(&share),
            }
        });
        let held = held.count() as f64 / f64::from(repeats);
        println!(
            "plan {seed}, {truth:.2} days short a year, none in {:.1} % of years: held in {:.1} % of {repeats} repeats",
            share * 100.0,
            held * 100.0
        );
        if truth >= 1.0 {
            assert!((0.93..=0.97).contains(&held), "{held}");
            often += 1;
        } else {
            assert!(held >= 0.93, "{held}");
            seldom += 1;
        }
    }
    assert!(often >= 3 && seldom >= 3, "{often} {seldom}");
}

#[test]
fn a_year_and_its_mirror_are_surer_together_than_two_years() {
    // As the survey draws them, and each with the mirror of the next pair's: as good as strangers.
    let mut shares = Vec::new();
    for seed in 0..60 {
        let inputs = larder::import(&plan(seed)).expect("sound");
        let chances = Chances::new(&inputs);
        let years = chances.draw(0, 0..200);
        if years.mean_days() < 3.0 {
            continue;
        }
        let mut strangers = years.years().to_vec();
        let odd: Vec<_> = strangers.iter().skip(1).step_by(2).copied().collect();
        for (at, year) in odd.iter().enumerate() {
            let next = (2 * at + 3) % strangers.len();
            strangers[next] = *year;
        }
        let width = |tally: &Tally| {
            let [low, high] = tally.risk(1).interval.expect("days short");
            high - low
        };
        let share = width(&years) / width(&Tally::of(strangers));
        shares.push(share * share);
    }
    shares.sort_by(f64::total_cmp);
    let middle = shares[shares.len() / 2];
    println!(
        "{} plans: as sure a mean takes {middle:.2} of the years (median)",
        shares.len()
    );
    assert!(shares.len() >= 15 && middle < 0.75, "{middle}");
}
