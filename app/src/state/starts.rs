//! Where a plan may start: three plans of our own invention, and a guess from nothing.

use larder::data::loads::search_loads;
use larder::link;
use larder::plan::{Candidate, Chemistry, Plan};

/// A starting point.
pub struct Start {
    /// What its button says.
    pub name: &'static str,
    /// What it is, in a line.
    pub about: &'static str,
    /// Its picture, an SVG of our own.
    pub picture: &'static str,
    /// Its plan file.
    plan: &'static str,
}

/// The starting points.
pub const STARTS: [Start; 3] = [
    Start {
        name: "Orchard van",
        about: "A retired bread van at 52° north. AGM in a step locker with a heater duct in it; a roof panel, short drives.",
        picture: include_str!("starts/van.svg"),
        plan: include_str!("../../../demo-data/orchard-van.larder.json"),
    },
    Start {
        name: "Estuary cutter",
        about: "A wooden boat of 8.5 m. Flooded against lithium in the quarter berth; an alternator, a small panel, a mast's shadow.",
        picture: include_str!("starts/cutter.svg"),
        plan: include_str!("../../../demo-data/estuary-cutter.larder.json"),
    },
    Start {
        name: "Hill hut",
        about: "A stone hut at 57° north, 24 V, sun alone. Four to eight batteries on a slate shelf, and a long winter.",
        picture: include_str!("starts/hut.svg"),
        plan: include_str!("../../../demo-data/hill-hut.larder.json"),
    },
];

/// The plan of a starting point.
///
/// # Errors
/// Where it can't be read, which a test rules out.
pub fn open(start: &Start) -> Result<Plan, String> {
    link::from_text(start.plan)
}

/// A plan that is guessed from nothing, every guess marked.
pub fn from_nothing() -> Plan {
    let mut plan = Plan {
        name: "My plan".into(),
        ..Plan::default()
    };
    for (id, name) in (1..).zip([
        "compressor fridge",
        "strip light",
        "phone charging",
        "water pump",
    ]) {
        if let Some(known) = search_loads(name, 1).first() {
            let mut load = crate::screens::loads::from_library(known);
            load.id = id;
            plan.loads.push(load);
        }
    }
    plan.living.place = "Rennes".into();
    (plan.living.lat, plan.living.lon) = (48.11, -1.67);
    plan.living.elevation_m = Some(40.0);
    plan.living.utc_offset_h = 1.0;
    (
        plan.living.summer_h,
        plan.living.summer_from,
        plan.living.summer_to,
    ) = (1.0, 4, 10);
    let agm = Candidate {
        id: 11,
        case_name: "BCI 31".into(),
        ..Candidate::default()
    };
    let mut lithium = Candidate {
        id: 12,
        mass_kg: 13.0,
        ..agm.clone()
    };
    lithium.chemistry = Chemistry::LithiumIronPhosphate;
    plan.candidates = vec![agm, lithium];
    plan.chosen = 11;
    // What one AGM battery may take beside the panel.
    plan.alternator.dcdc_a = 15.0;
    plan.guess_everything();
    plan.fresh = true;
    // Until it is said otherwise, a day uses what the guessed loads add up to.
    if let Ok(report) = larder::assess(&plan) {
        plan.meter.amount = report.needs.parked_ah.round();
    }
    plan
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_start_has_an_answer() {
        for start in &STARTS {
            let plan = open(start).unwrap();
            larder::assess(&plan).unwrap();
        }
        let plan = from_nothing();
        assert_eq!(plan.loads.len(), 4);
        // Everything is a guess, and what each battery weighs and measures is usual for it.
        assert!(plan.open_guesses().count() > 80);
        for row in ["candidates/11", "candidates/12"] {
            let mut usual = plan.clone();
            usual.set_usual(row);
            assert_eq!(usual, plan, "{row}");
        }
        let report = larder::assess(&plan).unwrap();
        assert!((plan.meter.amount - report.needs.parked_ah).abs() <= 0.5);
        let too_much = |at: &str| at.ends_with("max_charge_a") || at.ends_with("max_discharge_a");
        assert!(!report.findings.iter().any(|one| too_much(&one.field)));
    }
}
