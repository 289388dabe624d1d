//! Years of several places: what must hold of them whatever the plan.

use super::year::TypicalYear;
use super::{Bench, Chances, Survey, Wanted};
use crate::inputs::Inputs;
use crate::plan::{DayKind, Plan, Stay};
use crate::report::SizingMap;

const STARTS: [&str; 3] = [
    include_str!("../../../demo-data/hill-hut.larder.json"),
    include_str!("../../../demo-data/orchard-van.larder.json"),
    include_str!("../../../demo-data/estuary-cutter.larder.json"),
];

fn stay(id: u32, from: &str, to: &str, kind: DayKind) -> Stay {
    Stay {
        id,
        kind,
        from: from.into(),
        to: to.into(),
        ..Stay::default()
    }
}

/// A start whose year has three stays, one of them within another.
fn with_stays(start: &str) -> Plan {
    let mut plan = crate::link::from_text(start).unwrap();
    plan.living.stays = vec![
        stay(901, "2027-01-20", "2027-03-05", DayKind::Parked),
        stay(902, "2027-02-10", "2027-02-12", DayKind::HookedUp),
        stay(903, "2027-11-01", "2027-12-24", DayKind::Travelling),
    ];
    plan
}

fn map(inputs: &Inputs) -> SizingMap {
    let wanted = Wanted {
        years: 0,
        until_narrow: false,
        map: Some(3.0),
        draws: 0,
    };
    let (mut survey, mut bench) = (Survey::new(inputs, wanted), Bench::new(inputs.clone()));
    while let Some(job) = survey.next_job() {
        let numbers = bench.work(job);
        survey.put(job, &numbers);
    }
    survey.map().expect("panels")
}

#[test]
fn stays_at_a_copy_of_the_home_give_the_homes_figures_to_the_last_bit() {
    for start in STARTS {
        let here = crate::import(&with_stays(start)).unwrap();
        let mut copy = here.clone();
        copy.living.elsewhere = vec![copy.living.home.clone(), copy.living.home.clone()];
        for (nth, stay) in copy.living.stays.iter_mut().enumerate() {
            stay.place = 1 + nth % 2;
        }
        let (one, other) = (TypicalYear::new(&here), TypicalYear::new(&copy));
        let (mut year, mut again) = (one.report(), other.report());
        // What each load lacks is summed by season: in another order.
        let both = year.banks.iter_mut().zip(&mut again.banks);
        for (bank, copy) in both {
            let lacks = std::mem::take(&mut bank.unserved_by_load);
            let others = std::mem::take(&mut copy.unserved_by_load);
            assert_eq!(lacks.len(), others.len());
            for (load, other) in lacks.iter().zip(&others) {
                assert_eq!(load.id, other.id);
                assert!((load.wh - other.wh).abs() <= 1e-9 * load.wh);
            }
        }
        assert!(year == again);
        assert!(one.hours() == other.hours());
        assert_eq!(one.lasting(), other.lasting());
        assert_eq!(one.weakest(), None);
        let (report, moved) = (super::evaluate(&here), super::evaluate(&copy));
        assert!(report.banks == moved.banks);
        assert_eq!(report.findings, moved.findings);
        for (month, moved) in report.months.iter().zip(&moved.months) {
            let mut moved = moved.clone();
            let days: u32 = moved.places.iter().map(|at| at.days).sum();
            assert!((28..=31).contains(&days));
            moved.places.clear();
            assert_eq!(*month, moved);
        }
        for nth in 0..here.candidates.len() {
            let drawn = |inputs| Chances::new(inputs).draw(nth, 0..16);
            assert!(drawn(&here) == drawn(&copy));
        }
        assert!(map(&here) == map(&copy));
    }
}

#[test]
fn years_abreast_of_several_places_are_those_one_after_the_other_and_the_full_loops() {
    let mut plan = with_stays(STARTS[1]);
    for (stay, (lat, lon)) in
        plan.living
            .stays
            .iter_mut()
            .zip([(69.65, 18.95), (37.2, -3.6), (-36.85, 174.75)])
    {
        (stay.lat, stay.lon) = (Some(lat), Some(lon));
    }
    let inputs = crate::import(&plan).unwrap();
    assert_eq!(inputs.living.elsewhere.len(), 3);
    let chances = Chances::new(&inputs);
    let drawn = chances.draw(0, 0..24);
    assert_eq!(drawn, chances.draw_plainly(0, 0..24));
    let lean: u32 = drawn.years().iter().map(|year| year.days()).sum();
    let full: u32 = (0..24)
        .map(|nth| super::drawn_year_in_full(&inputs, nth))
        .sum();
    let (lean, full) = (f64::from(lean), f64::from(full));
    println!("days short in 24 years: {lean} abreast, {full} by the full loop");
    assert!(
        lean > 24.0 && (lean / full - 1.0).abs() < 0.02,
        "{lean} {full}"
    );
}

#[test]
fn the_weakest_stay_is_named_and_what_another_place_would_change_is_a_year_of_its_own() {
    let mut plan = with_stays(STARTS[0]);
    plan.living.stays = vec![stay(901, "2027-12-01", "2027-12-31", DayKind::Parked)];
    let set = |plan: &mut Plan, lat: f64, lon: f64| {
        let stay = &mut plan.living.stays[0];
        (stay.lat, stay.lon) = (Some(lat), Some(lon));
    };
    // No sun in all of December.
    set(&mut plan, 69.65, 18.95);
    let year = |plan: &Plan| TypicalYear::new(&crate::import(plan).unwrap());
    let polar = year(&plan);
    let weakest = polar.weakest().expect("two places");
    let short = |year: &TypicalYear| {
        let report = year.report();
        report.bank(plan.chosen).unwrap().short_days
    };
    println!("{}", crate::words::weakest(&weakest));
    assert_eq!((weakest.stay, weakest.days), (Some(901), 31));
    assert!(weakest.short_days > 10, "{weakest:?}");
    assert_eq!(weakest.year_short_days, short(&polar));
    // The same plan with December at home, laid out anew.
    let mut home = plan.clone();
    let stay = &mut home.living.stays[0];
    (stay.lat, stay.lon) = (None, None);
    let at_home = short(&year(&home));
    assert_eq!(weakest.instead.len(), 1);
    assert_eq!(weakest.instead[0].year_short_days, at_home);
    assert!(at_home < weakest.year_short_days);
    // In the south the stay carries the year; what is left at home is weakest, and the south would change it.
    set(&mut plan, -36.85, 174.75);
    plan.loads[0].draw *= 3.0;
    let weakest = year(&plan).weakest().expect("two places");
    println!("{}", crate::words::weakest(&weakest));
    assert_eq!(weakest.stay, None);
    assert!(weakest.short_days > 0 && weakest.days >= 28);
    assert!(weakest.instead[0].year_short_days < weakest.year_short_days);
}
