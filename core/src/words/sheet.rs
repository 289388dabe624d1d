//! The build sheet's lines, and the cautions that every result carries.

use super::{bank_name, charge, energy, fit_long, lasting, month, watts, whole};
use crate::plan::Plan;
use crate::report::Report;
use crate::units::{Quantity, hours, tidy};

/// What a good colleague says before one builds.
pub const CAUTIONS: [&str; 9] = [
    "These are estimates, not a certificate. Local codes, the makers' instructions and licensed trades come first.",
    "A battery gives thousands of amperes with no switch. Fuse it at the source; disconnect and cover it before you drill or cut; look behind every hole.",
    "No ring, watch or bare tool near both terminals. Gloves and eye protection.",
    "Every lead-acid battery can give off hydrogen, a sealed one too when overcharged. Vent it outside, never into a sleeping space, and keep sparks away.",
    "A carbon monoxide alarm belongs wherever people sleep beside an engine, a heater or a generator.",
    "Lithium is not charged below freezing. A battery manager that cuts out while an alternator charges can destroy the alternator.",
    "Panels are live whenever light falls on them. Above 60 V DC touch is dangerous.",
    "Alternating current and shore power need residual-current protection and licensed work.",
    "Batteries of different age or state are brought level through a limited current before they are joined. Seats, belts, airbags and their mountings are safety parts: leave them to a qualified workshop.",
];

/// The answer, line by line.
pub fn sheet(plan: &Plan, report: &Report) -> Vec<(String, String)> {
    let mut lines = vec![
        (
            "Plan".to_owned(),
            format!("{}, {} V", plan.name, tidy(report.volts)),
        ),
        (
            format!("A parked day in {}", month(report.month)),
            format!(
                "{}, {}; largest at once {} ({} A)",
                energy(report.needs.parked_wh),
                charge(report.needs.parked_ah),
                watts(report.needs.largest_w),
                whole(report.needs.largest_a)
            ),
        ),
    ];
    if let Some(bank) = report.chosen_bank() {
        lines.push((
            "Bank".to_owned(),
            format!(
                "{}: {} rated, {} usable in the cold; lasts {} parked",
                bank_name(bank),
                charge(bank.bank_ah),
                charge(bank.usable_now_ah),
                lasting(bank.parked)
            ),
        ));
        if let Some(fit) = &bank.fit {
            lines.push(("In the space".to_owned(), fit_long(fit, plan.units)));
            let more = [
                super::carried_line(fit),
                super::middle_line(fit, plan.units),
            ];
            if let Some(says) = more.into_iter().flatten().reduce(|a, b| format!("{a} {b}")) {
                lines.push(("Carrying in".to_owned(), says));
            }
            for (at, case) in fit.arrangement.iter().enumerate() {
                let show = |mm: f64| Quantity::Length.tell(mm, plan.units);
                let [x, y, z] = case.at_mm.map(show);
                let [long, deep, high] = case.size_mm.map(show);
                let what = super::case_called(at, case.kind, &plan.locker);
                let label = super::label_faces(case, plan);
                lines.push((super::capital(&what), format!("{x} from the left, {y} from the front, {z} from the floor; {long} long, {deep} deep, {high} high{label}")));
            }
        }
    }
    if report.needs.least_inverter_w > 0.0 {
        lines.push((
            "Inverter".to_owned(),
            format!(
                "planned {}; at least {} without a break, {} for a moment",
                watts(plan.inverter.rated_w),
                watts(report.needs.least_inverter_w),
                watts(report.needs.least_inverter_surge_w)
            ),
        ));
    }
    if plan.sun.fitted {
        let watts_in_all: f64 = plan.sun.panels.iter().map(|panel| panel.watts).sum();
        lines.push((
            "Sun".to_owned(),
            format!(
                "{} of panel, controller {} A",
                watts(watts_in_all),
                tidy(plan.sun.controller_a)
            ),
        ));
    }
    if plan.alternator.fitted {
        lines.push((
            super::capital(super::under_way(report.rig)),
            format!(
                "{} on a travelling day, alternator {} A",
                hours(plan.alternator.hours),
                tidy(plan.alternator.rated_a)
            ),
        ));
    }
    if plan.shore.fitted {
        lines.push((
            "Hook-up".to_owned(),
            format!("charger {} A", tidy(plan.shore.charger_a)),
        ));
    }
    if let Some(bank) = report.chosen_bank() {
        let price = bank.price.map_or("no price given".to_owned(), |price| {
            format!("{} for the batteries", super::money(price, &plan.currency))
        });
        lines.push((
            "Mass and money".to_owned(),
            format!(
                "{} of batteries; {price}; cable, fuses and fixings as bought",
                Quantity::Mass.tell(bank.mass_kg, plan.units)
            ),
        ));
    }
    lines
}
