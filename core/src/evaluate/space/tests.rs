use super::*;
use crate::fit::assess;
use crate::plan::{Locker, Obstacle, Plan};

fn plan() -> Plan {
    let mut plan = Plan::default();
    plan.loads.push(crate::plan::Load {
        id: 1,
        ..Default::default()
    });
    plan.candidates.push(crate::plan::Candidate {
        id: 2,
        ..Default::default()
    });
    plan.locker = Locker {
        measured: true,
        inside_mm: [560.0, 345.0, 300.0],
        obstacles: vec![Obstacle {
            id: 3,
            name: "bracket".into(),
            movable: true,
            what: Thing::Structure,
            at_mm: [300.0, 0.0, 0.0],
            size_mm: [60.0, 60.0, 300.0],
            ..Obstacle::default()
        }],
        ..Locker::default()
    };
    plan
}

#[test]
fn it_hangs_on_the_locker_and_the_candidates_alone() {
    let texts = [
        include_str!("../../../../demo-data/hill-hut.larder.json"),
        include_str!("../../../../demo-data/orchard-van.larder.json"),
        include_str!("../../../../demo-data/estuary-cutter.larder.json"),
    ];
    let plans = texts.map(|text| crate::link::from_text(text).unwrap());
    let of = |plan: &Plan| space(&crate::import(plan).unwrap());
    for one in &plans {
        for other in &plans {
            // All of the other but what it hangs on.
            let mixed = Plan {
                locker: one.locker.clone(),
                candidates: one.candidates.clone(),
                chosen: one.chosen,
                volts: one.volts,
                ..other.clone()
            };
            assert!(crate::share_a_space(one, &mixed));
            if let Ok(report) = crate::assess(&mixed) {
                assert_eq!(of(one), of(&mixed));
                let before = crate::assess(one).unwrap();
                assert_eq!(
                    crate::assess_after(&mixed, Some((one, &before))),
                    Ok(report)
                );
            }
        }
    }
    let mut thirsty = plans[1].clone();
    thirsty.loads[0].draw *= 3.0;
    assert_eq!(of(&plans[1]), of(&thirsty));
    assert!(!crate::share_a_space(&plans[0], &plans[1]));
    // Where the space is another, nothing is taken over.
    let mut roomy = plans[1].clone();
    roomy.locker.inside_mm[0] += 20.0;
    let before = crate::assess(&plans[1]).unwrap();
    let anew = crate::assess_after(&roomy, Some((&plans[1], &before)));
    assert_eq!(anew, crate::assess(&roomy));
    assert_ne!(anew.unwrap().banks[0].fit, before.banks[0].fit);
}

#[test]
fn one_more_is_asked_for_where_the_plan_s_own_fit() {
    let inputs = crate::import(&plan()).unwrap();
    let space = space(&inputs).unwrap();
    let bank = &space.banks[0];
    // Two go in on either side of the bracket; the third is what it is about.
    assert_eq!((bank.planned, bank.as_it_is), (1, 2));
    let takes = bank.takes.as_ref().unwrap();
    assert!(takes.target == 3 && !takes.ways.is_empty(), "{takes:?}");
    assert_eq!(bank.things, [("bracket".to_owned(), Thing::Structure)]);
}

#[test]
fn what_travels_keeps_its_whole_way_clear() {
    let mut plan = plan();
    plan.locker.obstacles[0].travel_mm = [-300.0, 0.0, 0.0];
    let inputs = crate::import(&plan).unwrap();
    let thing = &inputs.locker.as_ref().unwrap().obstacles[0];
    assert_eq!((thing.space.at_mm[0], thing.space.size_mm[0]), (0.0, 360.0));
    let verdict = assess(
        inputs.locker.as_ref().unwrap(),
        &inputs.candidates[0].case,
        1,
    );
    assert!(
        verdict
            .arrangement
            .iter()
            .all(|one| one.at_mm[1] >= 60.0 || one.at_mm[0] >= 360.0)
    );
}

#[test]
fn a_leaning_wall_is_stepped_and_said_to_be_so() {
    let mut plan = plan();
    let thing = &mut plan.locker.obstacles[0];
    thing.shape = crate::plan::Shape::Slope;
    thing.falls = crate::plan::Falls::Left;
    (thing.at_mm, thing.size_mm) = ([400.0, 0.0, 100.0], [160.0, 345.0, 200.0]);
    let inputs = crate::import(&plan).unwrap();
    let slope = inputs.locker.as_ref().unwrap().obstacles[0].slope.unwrap();
    assert_eq!((slope.axis, slope.from_far, slope.hangs), (0, true, true));
    let report = crate::assess(&plan).unwrap();
    assert!(
        report
            .findings
            .iter()
            .any(|one| one.says.contains("steps of 2 mm"))
    );
}

#[test]
fn a_link_bar_needs_less_height_than_lugs() {
    let mut plan = plan();
    plan.locker.inside_mm[2] = 255.0;
    let fits = |plan: &Plan| {
        let inputs = crate::import(plan).unwrap();
        let locker = inputs.locker.clone().unwrap();
        matches!(
            assess(&locker, &inputs.candidates[0].case, 1).outcome,
            Outcome::Fits { .. }
        )
    };
    assert!(!fits(&plan));
    plan.locker.exit = CableExit::Bar;
    assert!(fits(&plan));
    plan.locker.exit = CableExit::Lug;
    plan.locker.terminal_gap_mm = 10.0;
    assert!(fits(&plan));
    plan.locker.bend_mm = 6.0;
    assert!(!fits(&plan));
}

fn fits(plan: &Plan) -> bool {
    let report = crate::assess(plan).unwrap();
    let fit = report.banks[0].fit.as_ref().unwrap();
    matches!(fit.outcome, Outcome::Fits { .. })
}

/// One case of 330 × 173 × 240 in a space of its own size with its gaps of 5 and 30.
fn close_fit() -> Plan {
    let mut plan = plan();
    plan.locker.inside_mm = [340.0, 183.0, 270.0];
    plan.locker.obstacles.clear();
    plan
}

#[test]
fn every_gap_of_its_own_counts() {
    assert!(fits(&close_fit()));
    for change in [
        |plan: &mut Plan| plan.locker.vent_gap_mm = 31.0,
        |plan: &mut Plan| plan.locker.hold_gap_mm = 1.0,
        |plan: &mut Plan| plan.locker.other.count = 1.0,
    ] {
        let mut plan = close_fit();
        change(&mut plan);
        assert!(!fits(&plan), "{:?}", plan.locker);
    }
    let mut plan = close_fit();
    plan.locker.vent_gap_mm = 30.0;
    assert!(fits(&plan));
}

#[test]
fn lugs_pass_what_hangs_where_they_are_not() {
    let mut plan = close_fit();
    plan.locker.obstacles.push(Obstacle {
        id: 3,
        name: "duct".into(),
        at_mm: [0.0, 113.0, 250.0],
        size_mm: [340.0, 70.0, 20.0],
        ..Obstacle::default()
    });
    assert!(!fits(&plan));
    plan.candidates[0].terminals = crate::plan::Terminals::Front;
    assert!(fits(&plan));
    plan.candidates[0].terminal_in_mm = 86.5;
    plan.candidates[0].terminal_wide_mm = 50.0;
    assert!(!fits(&plan), "either way round they lie under the duct");
    plan.candidates[0].terminal_wide_mm = 10.0;
    assert!(fits(&plan), "so narrow, they pass before it");
    plan.candidates[0].terminal_in_mm = 25.0;
    plan.locker.exit = CableExit::Bar;
    plan.locker.beside_mm = 6.0;
    assert!(!fits(&plan), "the wall is 5 from the case");
    plan.locker.beside_mm = 5.0;
    assert!(fits(&plan));
    plan.candidates[0].terminals = crate::plan::Terminals::Anywhere;
    let report = crate::assess(&plan).unwrap();
    let says = |words: &str| report.findings.iter().any(|one| one.says.contains(words));
    assert!(says("beside it is left out"), "{:?}", report.findings);
}

#[test]
fn a_bend_too_tight_for_the_cable_is_said() {
    let mut plan = plan();
    let says = |plan: &Plan| {
        let report = crate::assess(plan).unwrap();
        let mut found = report.findings.iter();
        found.any(|one| one.says.contains("kept for the bend"))
    };
    assert!(!says(&plan), "none is planned for");
    plan.locker.bend_mm = 10.0;
    assert!(says(&plan));
    plan.locker.bend_mm = 300.0;
    assert!(!says(&plan));
    plan.locker.exit = CableExit::Bar;
    plan.locker.beside_mm = 10.0;
    assert!(says(&plan));
    let report = crate::assess(&plan).unwrap();
    let line = words::bend_line(&report, plan.units).unwrap();
    assert!(line.contains("to bend it takes about"), "{line}");
}

#[test]
fn a_weak_floor_and_a_weak_shelf_bear_what_they_bear() {
    let mut plan = close_fit();
    plan.locker.obstacles.push(Obstacle {
        id: 3,
        name: "hatch".into(),
        shape: crate::plan::Shape::WeakFloor,
        bears_kg: Some(30.0),
        ..Obstacle::default()
    });
    assert!(fits(&plan));
    plan.locker.obstacles[0].bears_kg = Some(29.9);
    assert!(!fits(&plan));
    let report = crate::assess(&plan).unwrap();
    let says = words::fit_long(report.banks[0].fit.as_ref().unwrap(), plan.units);
    assert!(says.contains("does not fit"), "{says}");
    let inputs = crate::import(&plan).unwrap();
    let ways = words::what_it_takes(&space(&inputs).unwrap().banks[0], plan.units).1;
    assert_eq!(ways[0], "Make the hatch bear 30 kg.");
    // None written bears nothing.
    plan.locker.obstacles[0].bears_kg = None;
    assert!(!fits(&plan));
    let thing = &mut plan.locker.obstacles[0];
    (thing.shape, thing.carries) = (crate::plan::Shape::Block, true);
    thing.size_mm = [340.0, 183.0, 20.0];
    plan.locker.inside_mm[2] = 290.0;
    assert!(fits(&plan), "a shelf bears all where nothing is written");
    plan.locker.obstacles[0].bears_kg = Some(29.0);
    assert!(!fits(&plan));
}

#[test]
fn a_thing_goes_only_where_it_may() {
    let mut plan = plan();
    // Two cases side by side, if the bracket goes up by 70 mm or out.
    plan.locker.inside_mm = [361.0, 345.0, 300.0];
    plan.candidates[0].parallel = 2.0;
    plan.locker.obstacles[0].at_mm = [0.0, 0.0, 200.0];
    plan.locker.obstacles[0].size_mm = [60.0, 60.0, 10.0];
    let ways = |plan: &Plan| {
        let inputs = crate::import(plan).unwrap();
        let space = space(&inputs).unwrap();
        words::what_it_takes(&space.banks[0], plan.units).1
    };
    let moves = |plan: &Plan| {
        let ways = ways(plan);
        ["Move the bracket", "Take the bracket out"]
            .map(|says| ways.iter().any(|way| way.starts_with(says)))
    };
    assert_eq!(moves(&plan), [true, true], "{:?}", ways(&plan));
    plan.locker.obstacles[0].goes = crate::plan::Goes::Outside;
    assert_eq!(moves(&plan), [false, true], "{:?}", ways(&plan));
    plan.locker.obstacles[0].goes = crate::plan::Goes::Within;
    plan.locker.obstacles[0].place_at_mm = [100.0, 50.0, 280.0];
    assert_eq!(moves(&plan), [true, false], "{:?}", ways(&plan));
    plan.locker.obstacles[0].place_at_mm = [100.0, 50.0, 200.0];
    assert_eq!(moves(&plan), [false, false], "{:?}", ways(&plan));
    plan.locker.obstacles[0].place_mm = [60.0, 60.0, 5.0];
    let faults = crate::assess(&plan).unwrap_err();
    assert!(
        faults
            .iter()
            .any(|fault| fault.field.ends_with("place_mm/3")),
        "{faults:?}"
    );
}

#[test]
fn one_now_and_one_later_is_told_apart_from_both_at_once() {
    let mut plan = plan();
    plan.locker.inside_mm[1] = 420.0;
    let row = plan.candidates[0].clone();
    plan.candidates[0].parallel = 2.0;
    for (id, later) in [(4, Some(0.0)), (5, Some(4.0))] {
        plan.candidates.push(crate::plan::Candidate {
            id,
            parallel: 2.0,
            later_years: later,
            ..row.clone()
        });
    }
    plan.candidates
        .push(crate::plan::Candidate { id: 6, ..row });
    let report = crate::assess(&plan).unwrap();
    let [at_once, now, later, one] = report.banks.as_slice() else {
        panic!("four banks")
    };
    // Nothing later is at once; four years on the pair holds less than a new one, and more than one alone.
    assert_eq!(at_once.usable_now_ah, now.usable_now_ah);
    assert!(later.usable_now_ah < at_once.usable_now_ah);
    assert!(later.usable_now_ah > one.usable_now_ah);
    let stages = later.later.unwrap();
    assert_eq!(stages.first_parked, one.parked);
    assert!(stages.first_health < 1.0 && at_once.later.is_none());
    // The new string has the lower resistance, so it gives more than half; what comes at once shares alike.
    let last = |bank: &BankReport| report.carries.parallel_of(bank.id).unwrap().shares[1];
    assert!(last(later) > 0.5 && last(later) > last(now));
    let says = words::later_line(&report, later).unwrap();
    assert!(
        says.contains("the last 4 years later: one alone lasts"),
        "{says}"
    );
    // Its place is kept from the first day.
    assert_eq!(later.fit.as_ref().unwrap().wanted, 2);
    plan.candidates[2].later_years = Some(-1.0);
    let faults = crate::assess(&plan).unwrap_err();
    assert_eq!(faults[0].field, "candidates/5/later_years");
}

#[test]
fn a_door_too_small_is_said() {
    let mut plan = plan();
    plan.locker.opening = crate::plan::Opening::Front;
    plan.locker.opening_mm = [150.0, 150.0];
    let report = crate::assess(&plan).unwrap();
    assert!(
        report
            .findings
            .iter()
            .any(|one| one.says.contains("passes the opening")),
        "{:?}",
        report.findings
    );
    plan.locker.opening_mm = [560.0, 300.0];
    let report = crate::assess(&plan).unwrap();
    assert!(
        !report
            .findings
            .iter()
            .any(|one| one.says.contains("opening"))
    );
    plan.locker.opening_mm = [600.0, 300.0];
    let faults = crate::assess(&plan).unwrap_err();
    assert!(
        faults
            .iter()
            .any(|fault| fault.says.contains("beyond its wall")),
        "{faults:?}"
    );
}

#[test]
fn faults_of_a_locker_are_sentences() {
    let mut bad = plan();
    bad.locker.obstacles[0].size_mm[0] = -5.0;
    bad.locker.obstacles[0].at_mm[1] = 5000.0;
    bad.locker.inside_mm[2] = 0.0;
    let faults = crate::assess(&bad).unwrap_err();
    for field in [
        "locker/obstacles/3/size_mm/1",
        "locker/obstacles/3/at_mm/2",
        "locker/inside_mm/3",
    ] {
        let fault = faults.iter().find(|fault| fault.field == field);
        assert!(
            fault.is_some_and(|fault| fault.says.ends_with('.')),
            "{field}: {faults:?}"
        );
    }
    let mut many = plan();
    let one = many.locker.obstacles[0].clone();
    many.locker.obstacles = (0..13)
        .map(|id| Obstacle {
            id: 10 + id,
            ..one.clone()
        })
        .collect();
    let faults = crate::assess(&many).unwrap_err();
    assert!(
        faults
            .iter()
            .any(|fault| fault.says.contains("13 obstacles"))
    );
    let mut long = plan();
    long.candidates[0].case_mm = [900.0, 100.0, 100.0];
    let report = crate::assess(&long).unwrap();
    assert!(
        report
            .findings
            .iter()
            .any(|one| one.says.contains("longer than any wall"))
    );
}
