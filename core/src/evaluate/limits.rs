//! What a bank may take and give against what is connected to it: charge sources, the alternator's link, the inverter.

use super::remarks::{Found, add, of};
use crate::battery::charging_v;
use crate::charge::{Link, alternator::INPUT_SHARE};
use crate::energy::{Coincident, LossCurve};
use crate::finding::Gravity;
use crate::inputs::{Candidate, Driving, Inputs};
use crate::report::BankReport;
use crate::solar::Controller;
use crate::words;

/// Efficiency of a DC-DC charger that is only proposed, 0 to 1. Assumed.
const CHARGER_EFFICIENCY: f64 = 0.9;
/// Steps in which a charger's rating is proposed [A].
const CHARGER_STEP_A: f64 = 5.0;

/// A limit of a whole bank.
struct Limit {
    /// All strings together [A].
    a: f64,
    /// Whether it is on the label; else it is what is usual for the kind.
    on_label: bool,
}

impl Limit {
    fn new(on_label: Option<f64>, usual_a: f64, strings: f64) -> Self {
        Self {
            a: on_label.unwrap_or(usual_a) * strings,
            on_label: on_label.is_some(),
        }
    }

    /// "80 A", or "100 A (assumed)".
    fn says(&self) -> String {
        let assumed = if self.on_label { "" } else { " (assumed)" };
        format!("{} A{assumed}", words::whole(self.a))
    }
}

/// Most current of each charge source [A].
struct Sources {
    sun: f64,
    /// Of a DC-DC charger; a relay is judged by itself.
    charger: f64,
    shore: f64,
}

impl Sources {
    fn of(inputs: &Inputs) -> Self {
        let sun = inputs.sun.as_ref().map_or(0.0, |sun| {
            let rated_w: f64 = sun.parts.iter().map(|part| part.rated_w).sum();
            let (Controller::MaximumPowerPoint { output_limit_a, .. }
            | Controller::SeriesSwitching { output_limit_a, .. }) = sun.controller;
            output_limit_a.min(rated_w / charging_v(inputs.volts))
        });
        let charger =
            inputs
                .driving
                .as_ref()
                .map_or(0.0, |driving| match driving.alternator.link {
                    Link::DcDc { output_a, .. } => output_a,
                    Link::Relay { .. } => 0.0,
                });
        Self {
            sun,
            charger,
            shore: inputs.shore.as_ref().map_or(0.0, |shore| shore.charger_a),
        }
    }

    fn all(&self) -> f64 {
        self.sun + self.charger + self.shore
    }
}

/// Adds what is beyond a candidate's limits.
pub(super) fn find(
    found: &mut Found,
    inputs: &Inputs,
    row: &Candidate,
    bank: &BankReport,
    most: &Coincident,
) {
    charging(found, inputs, row, bank);
    discharging(found, inputs, row, bank, most);
}

fn charging(found: &mut Found, inputs: &Inputs, row: &Candidate, bank: &BankReport) {
    let battery = &row.bank.battery;
    let name = words::bank_name(bank);
    let usual_a = bank.chemistry.traits().charge_c * battery.label.capacity_ah;
    let limit = Limit::new(battery.max_charge_a, usual_a, f64::from(bank.parallel));
    let sources = Sources::of(inputs);
    if bank.chemistry.is_lead_acid() {
        if sources.all() > limit.a {
            add(
                found,
                Gravity::Caution,
                of(row, "max_charge_a"),
                format!(
                    "{name}: the chargers together give {} A, its limit is {}. Too much heats it, makes gas and shortens its life.",
                    words::whole(sources.all()),
                    limit.says()
                ),
                "Set the chargers lower.",
            );
        }
        return;
    }
    if let Some(driving) = &inputs.driving
        && let Link::Relay { .. } = driving.alternator.link
    {
        add(
            found,
            Gravity::Grave,
            "alternator/link",
            format!(
                "{name} on a plain relay can burn out the alternator, and a manager that cuts out under charge can destroy it."
            ),
            format!(
                "Use a DC-DC charger of at most {} A.",
                words::whole(proposed_charger_a(driving, &limit, &sources))
            ),
        );
    }
    if sources.charger > limit.a {
        add(
            found,
            Gravity::Grave,
            of(row, "max_charge_a"),
            format!(
                "{name}: the DC-DC charger gives {} A, its limit is {}. A manager that cuts out under charge can destroy the alternator.",
                words::whole(sources.charger),
                limit.says()
            ),
            "Set the charger lower.",
        );
    } else if sources.all() > limit.a {
        add(
            found,
            Gravity::Caution,
            of(row, "max_charge_a"),
            format!(
                "{name}: the chargers together give {} A, its limit is {}. Its manager may cut out.",
                words::whole(sources.all()),
                limit.says()
            ),
            "Set the chargers lower.",
        );
    }
}

/// Largest rating of a DC-DC charger [A] that the alternator's spare current, its usual share and the bank's limit beside the
/// other sources allow, in whole steps, but at least one.
fn proposed_charger_a(driving: &Driving, limit: &Limit, others: &Sources) -> f64 {
    let alternator = &driving.alternator;
    let input_a = alternator.surplus_a().min(INPUT_SHARE * alternator.rated_a);
    let beside_a = limit.a - others.sun - others.shore;
    let most_a = (input_a * CHARGER_EFFICIENCY).min(beside_a);
    (most_a / CHARGER_STEP_A).floor().max(1.0) * CHARGER_STEP_A
}

fn discharging(
    found: &mut Found,
    inputs: &Inputs,
    row: &Candidate,
    bank: &BankReport,
    most: &Coincident,
) {
    let battery = &row.bank.battery;
    let has_manager = !bank.chemistry.is_lead_acid();
    let usual_a = bank.chemistry.traits().discharge_c * battery.label.capacity_ah;
    let limit = Limit::new(battery.max_discharge_a, usual_a, f64::from(bank.parallel));
    let name = words::bank_name(bank);
    let field = of(row, "max_discharge_a");
    // What can run together is known; an inverter can be loaded to its rating by whatever is plugged in next.
    let inverter_a = inputs.inverter.as_ref().map_or(0.0, |label| {
        let (curve, _) = LossCurve::fit(label);
        label.rated_w / curve.efficiency(1.0) / inputs.inverter_cutoff_v
    });
    let asked_a = most.dc_w / inputs.volts;
    if has_manager && inverter_a > limit.a {
        add(
            found,
            Gravity::Grave,
            field,
            format!(
                "{name}: its manager cuts out when the inverter is fully loaded. That draws {} A, its limit is {}.",
                words::whole(inverter_a),
                limit.says()
            ),
            "Use a smaller inverter, or more or stronger batteries.",
        );
    } else if asked_a > limit.a {
        let (gravity, then) = match (limit.on_label, has_manager) {
            (true, true) => (Gravity::Grave, " Its manager would cut out."),
            (true, false) => (Gravity::Grave, " More overheats it."),
            (false, _) => (Gravity::Caution, ""),
        };
        add(
            found,
            gravity,
            field,
            format!(
                "{name}: all loads together draw {} A, its limit is {}.{then}",
                words::whole(asked_a),
                limit.says()
            ),
            "Take more or stronger batteries, or keep large loads apart.",
        );
    }
}
