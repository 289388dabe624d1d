//! Amp Larder's core: plans a small off-grid electrical system, purely.
//!
//! A plan goes in at one door, a report comes out at one door, and nothing in between knows that a browser exists:
//!
//! ```
//! use larder::plan::{Candidate, Load, Plan, Way};
//!
//! let lamp = Load { id: 1, name: "lamp".into(), draw: 12.0, way: Way::Always, ..Load::default() };
//! let bank = Candidate { id: 2, capacity_ah: 96.0, ..Candidate::default() };
//! let plan = Plan { loads: vec![lamp], candidates: vec![bank], ..Plan::default() };
//! let report = larder::assess(&plan).expect("a sound plan");
//! assert_eq!(report.needs.parked_wh.round(), 288.0);
//! ```
#![cfg_attr(
    not(test),
    deny(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        clippy::indexing_slicing
    )
)]

pub mod battery;
pub mod cable;
pub mod charge;
pub mod check;
pub mod data;
pub mod energy;
mod evaluate;
pub mod finding;
pub mod fit;
mod import;
mod inputs;
pub mod link;
pub mod numeric;
pub mod paste;
pub mod place;
pub mod plan;
pub mod report;
pub mod solar;
pub mod units;
pub mod weigh;
pub mod words;
pub mod year;

pub use evaluate::{
    Bench, Chances, DOUBTS, Job, Survey, Tally, TypicalYear, WEATHER_SEED, Wanted,
    drawn_year_in_full, evaluate, space as evaluate_space, year as evaluate_year, year_findings,
    year_hours, year_in_parts,
};
pub use import::import;
pub use inputs::Inputs;

/// Checks a plan and works it out.
///
/// # Errors
/// Every fault of the plan, each with its field, what is so and what would do.
pub fn assess(plan: &plan::Plan) -> Result<report::Report, Vec<finding::Finding>> {
    assess_after(plan, None)
}

/// The same for a plan that was another `before`, with that one's report: how the banks go into the locker is taken from there
/// where [`share_a_space`] says that it is the same.
///
/// # Errors
/// As for [`assess`].
pub fn assess_after(
    plan: &plan::Plan,
    before: Option<(&plan::Plan, &report::Report)>,
) -> Result<report::Report, Vec<finding::Finding>> {
    let before = before.filter(|(before, _)| share_a_space(before, plan));
    let known = before.map_or(&[][..], |(_, report)| &report.banks);
    let report = import(plan).map(|inputs| evaluate::evaluate_after(&inputs, known))?;
    debug_assert_eq!(check::report(&report), Vec::<String>::new());
    Ok(report)
}

/// A typical year of a sound plan, hour by hour; none for a plan with faults, which [`assess`] names.
pub fn year(plan: &plan::Plan) -> Option<report::YearReport> {
    import(plan).ok().map(|inputs| evaluate_year(&inputs))
}

/// The same, laid out for whoever asks for one thing at a time.
pub fn typical_year(plan: &plan::Plan) -> Option<TypicalYear> {
    import(plan).ok().map(|inputs| TypicalYear::new(&inputs))
}

/// What one change, or two, would do for each bank in the locker; none for a plan with faults or a locker not measured.
///
/// It is the same for plans of which [`share_a_space`] says so.
pub fn space(plan: &plan::Plan) -> Option<report::SpaceReport> {
    evaluate_space(&import(plan).ok()?)
}

/// Whether two sound plans have all in common that [`space`] looks at, and how their banks go into the locker.
pub fn share_a_space(one: &plan::Plan, other: &plan::Plan) -> bool {
    one.locker == other.locker && one.candidates == other.candidates && one.volts == other.volts
}
