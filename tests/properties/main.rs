//! Whole plans, sound and wild: nothing panics, every refusal has its sentence, and of every report what must hold holds.

use amp_larder_tests::STARTS;
use larder::plan::{Candidate, Held, Kind, List, Load, Obstacle, Panel, Plan, Stretch};
use larder::{check, link};
use proptest::prelude::*;

mod markov;
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
            _ => plan.locker.measured = true,
        }
    }
    let all = paths(&plan);
    for (at, number, choice, text) in changes {
        let path = &all[at % all.len()];
        let held = match plan.field(path).map(|field| field.kind) {
            Some(Kind::Number(_)) => Held::Number(Some(*number)),
            Some(Kind::Open(_)) => Held::Number((*choice > 0).then_some(*number)),
            Some(Kind::Tick) => Held::Tick(choice % 2 == 0),
            Some(Kind::Choice(_)) => Held::Choice(*choice),
            _ => Held::Text(text.clone()),
        };
        plan.put(path, held);
    }
    plan
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2500, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_typed_is_answered_or_refused(
        start in 0usize..3,
        changes in prop::collection::vec(any_value(), 0..6),
        rows in prop::collection::vec(0u8..8, 0..4),
    ) {
        let plan = changed(start, &changes, &rows);
        match larder::assess(&plan) {
            Ok(report) => prop_assert_eq!(check::report(&report), Vec::<String>::new()),
            Err(faults) => {
                prop_assert!(!faults.is_empty());
                for fault in faults {
                    prop_assert!(!fault.field.is_empty() && fault.says.ends_with(['.', '?']), "{:?}", fault);
                }
            }
        }
        if let Some(year) = larder::year(&plan) {
            prop_assert_eq!(check::year(&year), Vec::<String>::new());
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
