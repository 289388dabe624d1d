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
        let lean = Chances::new(&inputs).draw(0, 0..YEARS).mean_days();
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
    let side = larder::MAP_SIDE;
    for string in 0..side {
        for watt in 0..side {
            let here = map.days(string, watt).expect("worked out");
            for richer in [
                map.days(string + 1, watt).filter(|_| string + 1 < side),
                map.days(string, watt + 1).filter(|_| watt + 1 < side),
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
    // A long run stands for the truth; a thousand years are drawn from it again and again.
    let (mut draw, mut tested) = (Seeded(5), 0);
    for seed in 0..40 {
        let inputs = larder::import(&plan(seed)).expect("sound");
        let pool = Chances::new(&inputs).draw(0, 0..300);
        let truth = pool.mean_days();
        let share = pool.risk(1).years_with_none;
        if truth < 1.0 && (share == 1.0 || share == 0.0) || truth > 100.0 {
            continue;
        }
        let repeats = 2000;
        let held = (0..repeats).filter(|_| {
            let years = (0..1000).map(|_| pool.years()[draw.one_of(300)]).collect();
            let risk = Tally::of(years).risk(1);
            match risk.interval {
                Some([low, high]) => (low..=high).contains(&truth),
                None => (risk.none_interval[0]..=risk.none_interval[1]).contains(&share),
            }
        });
        let held = held.count() as f64 / f64::from(repeats);
        println!(
            "plan {seed}, {truth:.2} days short a year: held in {:.1} % of {repeats} repeats",
            held * 100.0
        );
        let most = if truth >= 1.0 { 0.97 } else { 1.0 };
        assert!((0.93..=most).contains(&held), "{held}");
        tested += 1;
        if tested == 3 {
            return;
        }
    }
    panic!("only {tested} plans are short now and then");
}
