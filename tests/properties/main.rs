//! Whole plans, sound and wild: nothing panics, every refusal has its sentence, and of every report what must hold holds.

use amp_larder_tests::STARTS;
use larder::plan::{Candidate, Held, Kind, List, Load, Obstacle, Panel, Plan, Stay, Stretch};
use larder::{check, link};
use proptest::prelude::*;
use std::fmt::Debug;

mod carries;
mod markov;
mod moves;
mod mutations;
mod sensible;
mod steps;
mod years;

/// Every path at which a plan has a field.
fn paths(plan: &Plan) -> Vec<String> {
    let parts = [
        "plan",
        "meter",
        "inverter",
        "living",
        "sun",
        "alternator",
        "shore",
        "locker",
        "wiring",
        "doubts",
    ]
    .map(String::from);
    let lists = [
        List::Loads,
        List::Candidates,
        List::Obstacles,
        List::Panels,
        List::Rhythm,
        List::Stays,
        List::Routes,
    ];
    let rows = lists.iter().flat_map(|list| {
        plan.ids(*list)
            .into_iter()
            .map(|id| format!("{}/{id}", list.path()))
    });
    parts
        .into_iter()
        .chain(rows)
        .flat_map(|part| plan.field_paths(&part))
        .collect()
}

/// A change to one field: a number of any kind, another choice, odd text.
fn any_value() -> impl Strategy<Value = (usize, f64, usize, String)> {
    // As people type: up to fifteen figures, which pass through a file to the last bit.
    let typed = |range: std::ops::Range<f64>| range.prop_map(|value| (value * 1e6).round() / 1e6);
    let number = prop_oneof![
        4 => typed(-10.0..10.0),
        4 => typed(0.0..3000.0),
        1 => Just(0.0), 1 => Just(1e308), 1 => Just(-1e9), 1 => Just(f64::NAN), 1 => Just(f64::INFINITY),
    ];
    (0usize..10_000, number, 0usize..6, "[0-9:a-z ]{0,6}")
}

fn changed(start: usize, changes: &[(usize, f64, usize, String)], rows: &[u8]) -> Plan {
    let mut plan = link::from_text(STARTS[start].1).unwrap();
    for row in rows {
        let id = plan.fresh_id();
        match row {
            0 => plan.loads.push(Load {
                id,
                ..Load::default()
            }),
            1 => plan.candidates.push(Candidate {
                id,
                ..Candidate::default()
            }),
            2 => plan.locker.obstacles.push(Obstacle {
                id,
                ..Obstacle::default()
            }),
            3 => plan.sun.panels.push(Panel {
                id,
                ..Panel::default()
            }),
            4 => plan.living.rhythm.push(Stretch {
                id,
                ..Stretch::default()
            }),
            5 => plan.loads.clear(),
            6 => plan.candidates.clear(),
            7 => plan.wiring.add_route(id),
            8 => plan.living.stays.push(Stay {
                id,
                from: "2027-02-20".into(),
                to: "2027-03-05".into(),
                ..Stay::default()
            }),
            _ => plan.locker.measured = true,
        }
    }
    let all = paths(&plan);
    for (at, number, choice, text) in changes {
        put(&mut plan, &all[at % all.len()], *number, *choice, text);
    }
    plan
}

/// Puts a value of the field's own kind at a path.
fn put(plan: &mut Plan, path: &str, number: f64, choice: usize, text: &str) {
    let held = match plan.field(path).map(|field| field.kind) {
        Some(Kind::Number(_)) => Held::Number(Some(number)),
        Some(Kind::Open(_)) => Held::Number((choice > 0).then_some(number)),
        Some(Kind::Tick) => Held::Tick(choice.is_multiple_of(2)),
        Some(Kind::Choice(_)) => Held::Choice(choice),
        _ => Held::Text(text.to_owned()),
    };
    plan.put(path, held);
}

/// Where something holds what is not a number, or endless.
fn no_number(whole: &impl Debug) -> Option<String> {
    let text = format!("{whole:?}");
    let at = ["NaN", "inf"].iter().find_map(|odd| {
        let before = [": ", "[", "(", ", ", "-"];
        before
            .iter()
            .find_map(|mark| text.find(&format!("{mark}{odd}")))
    })?;
    Some(
        text.chars()
            .skip(at.saturating_sub(200))
            .take(240)
            .collect(),
    )
}

/// The same for a length in a space: mostly one that could be.
fn any_of_the_space() -> impl Strategy<Value = (usize, f64, usize, String)> {
    let number = prop_oneof![
        6 => (0.0..600.0f64).prop_map(f64::round), 3 => (0.0..60.0f64).prop_map(f64::round), 2 => (0.0..5.0f64).prop_map(f64::round),
        1 => Just(-40.0), 1 => Just(1e308), 1 => Just(f64::NAN),
    ];
    (0usize..10_000, number, 0usize..6, "[a-z ]{0,6}")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2500, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_typed_is_answered_or_refused(
        start in 0usize..3,
        changes in prop::collection::vec(any_value(), 0..6),
        rows in prop::collection::vec(0u8..10, 0..4),
    ) {
        let plan = changed(start, &changes, &rows);
        match larder::assess(&plan) {
            Ok(report) => {
                prop_assert_eq!(check::report(&report), Vec::<String>::new());
                prop_assert_eq!(no_number(&report), None);
            }
            Err(faults) => {
                prop_assert!(!faults.is_empty());
                for fault in faults {
                    prop_assert!(!fault.field.is_empty() && fault.says.ends_with(['.', '?']), "{:?}", fault);
                }
            }
        }
        if let Some(year) = larder::year(&plan) {
            prop_assert_eq!(check::year(&year), Vec::<String>::new());
            prop_assert_eq!(no_number(&year), None);
        }
        // Numbers that JSON can't hold do not come by typing.
        if !format!("{plan:?}").contains("NaN") && !format!("{plan:?}").contains("inf") {
            prop_assert_eq!(link::from_link(&link::to_fragment(&plan)).unwrap(), plan);
        }
    }

    #[test]
    fn any_text_is_a_plan_or_a_sentence(text in "\\PC{0,200}") {
        for read in [link::from_text(&text), link::from_link(&text), link::from_link(&format!("#plan=1.{text}"))] {
            if let Err(says) = read {
                prop_assert!(says.ends_with('.'), "{says}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_typed_of_the_space_is_answered_or_refused(
        start in 0usize..3,
        changes in prop::collection::vec(any_of_the_space(), 1..5),
        rows in prop::collection::vec(2u8..3, 0..3),
    ) {
        let mut plan = changed(start, &[], &rows);
        plan.locker.measured = true;
        let space = paths(&plan).into_iter().filter(|path| path.starts_with("locker/") || path.starts_with("candidates/"));
        let space: Vec<String> = space.collect();
        for (at, number, choice, text) in &changes {
            put(&mut plan, &space[at % space.len()], *number, *choice, text);
        }
        match (larder::assess(&plan), larder::space(&plan)) {
            (Ok(report), Some(space)) => {
                prop_assert_eq!(check::report(&report), Vec::<String>::new());
                for line in larder::words::space_lines(&report, &space, plan.units) {
                    prop_assert!(line.ends_with(['.', ':']), "{line}");
                }
            }
            (Ok(_), None) => prop_assert!(!plan.locker.measured),
            (Err(faults), _) => prop_assert!(faults.iter().all(|fault| fault.says.ends_with(['.', '?'])), "{:?}", faults),
        }
        if !format!("{plan:?}").contains("NaN") && !format!("{plan:?}").contains("inf") {
            prop_assert_eq!(link::from_link(&link::to_fragment(&plan)).unwrap(), plan);
        }
    }
}
