//! What is worth knowing of the place's clock, and of a controller in its sun.

use super::climate::Year;
use super::income::Roof;
use super::remarks::{Found, add};
use crate::battery::charging_v;
use crate::finding::Gravity;
use crate::inputs::{Inputs, MONTHS};
use crate::place::{CLOCK_APART_H, ahead_of_sun_h};
use crate::solar::{AVERAGE_DAYS, Controller};
use crate::units::{hours, tidy};
use crate::words;

/// Clearness index of a clear day. Assumed.
const CLEAR: f64 = 0.75;
/// Share of a clear day's sun that a controller may turn away before it is called too small. Assumed.
const TURNED_AWAY: f64 = 0.05;
/// Controllers come in steps of so much [A]. Assumed.
const STEP_A: f64 = 5.0;

pub(super) fn find(found: &mut Found, inputs: &Inputs, year: &Year) {
    clock(found, inputs);
    controller(found, inputs, year);
}

/// A note where sun and clock disagree.
fn clock(found: &mut Found, inputs: &Inputs) {
    let home = &inputs.living.home;
    let apart_h = ahead_of_sun_h(home.standard_ahead_h(), home.site.lon_deg);
    if apart_h.abs() > CLOCK_APART_H {
        let side = if apart_h > 0.0 { "ahead of" } else { "behind" };
        add(
            found,
            Gravity::Note,
            "living/utc_offset_h",
            format!(
                "The clock is {} {side} the sun in standard time.",
                hours((4.0 * apart_h.abs()).round() / 4.0)
            ),
            "Check the clock's offset and the longitude.",
        );
    }
}

/// A controller that turns away much of a clear day's sun.
fn controller(found: &mut Found, inputs: &Inputs, year: &Year) {
    let (Some(sun), Some(roof)) = (&inputs.sun, Roof::new(inputs, year)) else {
        return;
    };
    let bank_v = charging_v(inputs.volts);
    let share = sun.controller.passed_share(bank_v);
    let clear = |season: usize| {
        let month = season % MONTHS;
        let day = AVERAGE_DAYS.get(month).copied().unwrap_or(15);
        let array_w = roof.real_array_w(usize::from(day), season, CLEAR, None);
        let passed_wh: f64 = sun.controller.outputs_w(&array_w, bank_v).iter().sum();
        let given_wh = share * array_w.iter().sum::<f64>();
        let turned_away = if given_wh > 0.0 {
            1.0 - passed_wh / given_wh
        } else {
            0.0
        };
        (turned_away, month)
    };
    let seasons = (0..MONTHS).flat_map(|month| year.lived_in(month));
    let Some((turned_away, month)) = seasons.map(clear).max_by(|a, b| a.0.total_cmp(&b.0)) else {
        return;
    };
    if turned_away <= TURNED_AWAY {
        return;
    }
    let rated_w: f64 = sun.parts.iter().map(|part| part.rated_w).sum();
    let least_a = (rated_w * share / bank_v / STEP_A).ceil() * STEP_A;
    let danger = match sun.controller {
        Controller::MaximumPowerPoint { .. } => "",
        Controller::SeriesSwitching { .. } => {
            " One that only switches may overheat with more than its rating."
        }
    };
    add(
        found,
        Gravity::Caution,
        "sun/controller_a",
        format!(
            "The controller is too small for {}: on a clear day in {} it turns away {} %.{danger}",
            words::watts(rated_w),
            words::month(month as u8 + 1),
            (100.0 * turned_away).round()
        ),
        format!("Fit one of at least {} A.", tidy(least_a)),
    );
}

#[cfg(test)]
mod tests {
    use crate::finding::Finding;
    use crate::plan::{ControllerKind, Panel, Plan};

    fn found(plan: &Plan, field: &str) -> Option<Finding> {
        let findings = crate::assess(plan).unwrap().findings;
        findings.into_iter().find(|finding| finding.field == field)
    }

    fn hut() -> Plan {
        let text = include_str!("../../../demo-data/hill-hut.larder.json");
        crate::link::from_text(text).unwrap()
    }

    #[test]
    fn a_controller_too_small_for_its_array_is_a_finding() {
        let mut plan = hut();
        assert_eq!(found(&plan, "sun/controller_a"), None);
        // 900 W on 20 A at 24 V: at most 20 × 27 = 540 W.
        plan.sun.panels = vec![Panel {
            id: 1,
            watts: 900.0,
            tilt: 40.0,
            ..Panel::default()
        }];
        plan.sun.controller_a = 20.0;
        let finding = found(&plan, "sun/controller_a").unwrap();
        assert!(
            finding
                .says
                .starts_with("The controller is too small for 900 W: on a clear day in"),
            "{finding:?}"
        );
        // 900 W × 0.95 / 27 V = 31.7 A.
        assert_eq!(finding.mend, "Fit one of at least 35 A.");
        plan.sun.controller = ControllerKind::Switching;
        plan.sun.controller_a = 10.0;
        let finding = found(&plan, "sun/controller_a").unwrap();
        assert!(
            finding
                .says
                .ends_with("may overheat with more than its rating.")
        );
        plan.sun.controller_a = 60.0;
        assert_eq!(found(&plan, "sun/controller_a"), None);
    }

    #[test]
    fn a_clock_that_disagrees_with_the_sun_is_a_note() {
        let mut plan = hut();
        assert_eq!(found(&plan, "living/utc_offset_h"), None);
        // Ürümqi keeps the clock of Beijing: 87.6° east is 5.84 h.
        (plan.living.lat, plan.living.lon) = (43.8, 87.6);
        plan.living.utc_offset_h = 8.0;
        let note = found(&plan, "living/utc_offset_h").unwrap();
        assert_eq!(
            note.says,
            "The clock is 2 h 15 ahead of the sun in standard time."
        );
        // Summer time adds nothing to it, and a date line is no difference.
        plan.living.utc_offset_h = 6.0;
        (
            plan.living.summer_h,
            plan.living.summer_from,
            plan.living.summer_to,
        ) = (2.0, 4, 10);
        assert_eq!(found(&plan, "living/utc_offset_h"), None);
        (plan.living.lon, plan.living.utc_offset_h) = (-171.8, 13.0);
        assert_eq!(found(&plan, "living/utc_offset_h"), None);
        plan.living.utc_offset_h = 0.0;
        let note = found(&plan, "living/utc_offset_h").unwrap();
        assert_eq!(
            note.says,
            "The clock is 11 h 30 ahead of the sun in standard time."
        );
    }
}
