//! Cables of whole plans: a longer way or a warmer one never takes a thinner cable.

use crate::sensible;
use larder::plan::Plan;
use larder::report::RunReport;

/// Every run's area by the field of its length, those to single loads with their names [mm²].
fn areas(plan: &Plan) -> Vec<(String, f64)> {
    let report = larder::assess(plan).expect("a sound plan");
    let all = report.carries.runs.iter().chain(&report.carries.branches);
    let area = |run: &RunReport| {
        let found = run.sized.as_ref();
        found.map_or(f64::INFINITY, |sized| sized.mm2)
    };
    all.map(|run| (format!("{} {}", run.field, run.name), area(run)))
        .collect()
}

fn no_thinner(before: &[(String, f64)], after: &[(String, f64)], field: &str, what: &str) {
    for ((name, thin), (same, thick)) in before.iter().zip(after) {
        assert_eq!(name, same);
        if name.starts_with(field) {
            assert!(thick >= thin, "{name}: {thin} mm², {thick} mm² {what}");
        }
    }
}

#[test]
fn a_longer_or_a_warmer_way_never_takes_a_thinner_cable() {
    let mut tried = 0;
    for seed in 0..60 {
        let plan = sensible::plan(seed);
        if larder::assess(&plan).is_err() {
            continue;
        }
        let before = areas(&plan);
        let mut fields: Vec<&str> = before
            .iter()
            .filter_map(|(name, _)| name.split(' ').next())
            .collect();
        fields.dedup();
        for field in fields {
            let mut longer = plan.clone();
            let length = longer.number(field).expect("a length");
            longer.put(field, larder::plan::Held::Number(Some(1.7 * length)));
            no_thinner(&before, &areas(&longer), field, "where it is longer");
            tried += 1;
        }
        // What a run loses warms nothing else: each leg by itself.
        for at in 0..larder::plan::Leg::ALL.len() {
            let mut warmer = plan.clone();
            for id in 500..=500 + at as u32 {
                warmer.wiring.add_route(id);
            }
            let before = areas(&warmer);
            let Some(route) = warmer.wiring.routes.get_mut(at) else {
                continue;
            };
            route.air_c = 70.0;
            route.bundle = larder::plan::Bundle::Some;
            let field = [
                "bank", "inverter", "sun", "engine", "shore", "loads", "branch", "panels",
            ][at];
            no_thinner(
                &before,
                &areas(&warmer),
                &format!("wiring/{field}_mm"),
                "where it is warmer",
            );
        }
    }
    assert!(tried > 200, "{tried}");
}
