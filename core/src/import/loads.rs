//! What runs: loads, the meter that may stand in for them, the inverter.

use super::Check;
use crate::energy::{self, Ambient, DayKind, Usage, Window, fits_window};
use crate::inputs::Widened;
use crate::plan::{self, Air, DrawUnit, MOST_LOADS, MeterUnit, Plan, Supply, Way};
use crate::units::{Quantity, hours as hours_words};

pub(super) fn metered(check: &mut Check<'_>, plan: &Plan) -> Option<f64> {
    if !plan.meter.used {
        return None;
    }
    let (quantity, most, per) = match plan.meter.unit {
        MeterUnit::Ah => (Quantity::Charge, 5000.0, plan.volts),
        MeterUnit::Wh => (Quantity::Energy, 200_000.0, 1.0),
    };
    Some(
        check.number(
            "meter/amount",
            "What the meter said",
            quantity,
            plan.meter.amount,
            0.1,
            most,
        ) * per,
    )
}

pub(super) fn loads(check: &mut Check<'_>, plan: &Plan) -> Vec<energy::Load> {
    if plan.loads.len() > MOST_LOADS {
        check.refuse(
            "loads",
            format!(
                "{} loads are more than this page can hold.",
                plan.loads.len()
            ),
            "Join some of them: 400 at the most.",
        );
    }
    plan.loads
        .iter()
        .take(MOST_LOADS)
        .map(|row| load(check, row, plan.volts))
        .collect()
}

fn load(check: &mut Check<'_>, row: &plan::Load, volts: f64) -> energy::Load {
    let at = |name: &str| format!("loads/{}/{name}", row.id);
    let name = row.called();
    let of = |what: &str| format!("{what} of {name}");
    let count = check.number(
        &at("count"),
        &of("The number"),
        Quantity::Count,
        row.count,
        0.0,
        1000.0,
    );
    let power_w = match row.draw_unit {
        DrawUnit::W => check.number(
            &at("draw"),
            &of("The draw"),
            Quantity::Power,
            row.draw,
            0.0,
            20_000.0,
        ),
        DrawUnit::A => {
            volts
                * check.number(
                    &at("draw"),
                    &of("The draw"),
                    Quantity::Current,
                    row.draw,
                    0.0,
                    1000.0,
                )
        }
    };
    let surge = check.number(
        &at("surge"),
        &of("The starting draw"),
        Quantity::Times,
        row.surge,
        1.0,
        20.0,
    );
    let window = Window {
        from_min: check.clock(&at("from"), &row.from),
        to_min: check.clock(&at("to"), &row.to),
    };
    let usage = match row.way {
        Way::Always => Usage::Always,
        Way::Hours => Usage::Hours {
            hours: check.number(
                &at("hours"),
                &of("The use"),
                Quantity::Hours,
                row.hours,
                0.0,
                24.0,
            ),
            window,
        },
        Way::Runs => Usage::Runs {
            runs: check.number(
                &at("runs"),
                &of("The runs a day"),
                Quantity::Number,
                row.runs,
                0.0,
                1440.0,
            ),
            minutes: check.number(
                &at("minutes"),
                &of("A run"),
                Quantity::Minutes,
                row.minutes,
                0.0,
                1440.0,
            ),
            window,
        },
        Way::Thermostat => Usage::Thermostat {
            set_c: check.number(
                &at("set_c"),
                &of("The set temperature"),
                Quantity::Temperature,
                row.set_c,
                -40.0,
                90.0,
            ),
            ref_c: check.number(
                &at("ref_c"),
                &of("The reference temperature"),
                Quantity::Temperature,
                row.ref_c,
                -40.0,
                60.0,
            ),
            duty_ref: check.share(&at("duty"), &of("The running share"), row.duty, 0.0),
            window,
        },
    };
    if row.way == Way::Thermostat && (row.set_c - row.ref_c).abs() < 0.5 {
        check.refuse(
            at("ref_c"),
            format!("{name} runs a share of the time at a temperature that it already has."),
            "Write the temperature of the air at which it runs that share: warmer than it keeps for a fridge, colder for a heater.",
        );
    }
    let usage = widened(check, row, usage);
    if row.months.iter().any(|month| !(1..=12).contains(month)) {
        check.refuse(
            at("months"),
            format!("{name} names a month that isn't one."),
            "Write months from 1 to 12.",
        );
    }
    energy::Load {
        id: row.id,
        name: name.to_owned(),
        count,
        power_w,
        surge_w: power_w * surge,
        supply: match row.supply {
            Supply::Dc => energy::Supply::Dc,
            Supply::Ac => energy::Supply::Ac,
        },
        days: DayKind::ALL.map(|kind| row.days.contains(&kind)),
        months: std::array::from_fn(|month| {
            row.months.is_empty() || row.months.contains(&(month as u8 + 1))
        }),
        usage,
        ambient: match row.air {
            Air::Cabin => Ambient::Cabin,
            Air::Outdoors => Ambient::Outdoors,
        },
    }
}

/// A use whose hours exceed its window, with the window widened at its end: what was typed stays, a note says so. More than
/// a day is refused.
fn widened(check: &mut Check<'_>, row: &plan::Load, mut usage: Usage) -> Usage {
    let Some(over) = fits_window(&usage) else {
        return usage;
    };
    if over.running_h > 24.0 {
        check.refuse(
            format!("loads/{}/minutes", row.id),
            format!(
                "{} can't run {} a day.",
                row.called(),
                hours_words(over.running_h)
            ),
            "Give fewer or shorter runs.",
        );
        return usage;
    }
    if let Usage::Hours { window, .. } | Usage::Runs { window, .. } = &mut usage {
        let typed = *window;
        *window = typed.widened_to((over.running_h * 60.0).ceil() as u16);
        check.widened.push(Widened {
            load: row.id,
            running_h: over.running_h,
            typed,
            window: *window,
        });
    }
    usage
}

pub(super) fn inverter(check: &mut Check<'_>, row: &plan::Inverter) -> energy::Inverter {
    let rated_w = check.number(
        "inverter/rated_w",
        "The inverter's rating",
        Quantity::Power,
        row.rated_w,
        10.0,
        50_000.0,
    );
    energy::Inverter {
        rated_w,
        surge_w: check
            .number(
                "inverter/surge_w",
                "The inverter's short-time rating",
                Quantity::Power,
                row.surge_w,
                10.0,
                150_000.0,
            )
            .max(rated_w),
        idle_w: check.number(
            "inverter/idle_w",
            "The inverter's own draw",
            Quantity::Power,
            row.idle_w,
            0.0,
            500.0,
        ),
        eff_peak: check.share(
            "inverter/peak_efficiency",
            "The inverter's best efficiency",
            row.peak_efficiency,
            0.5,
        ),
        eff_rated: row.rated_efficiency.map(|share| {
            check.share(
                "inverter/rated_efficiency",
                "The inverter's efficiency at rated power",
                share,
                0.4,
            )
        }),
        idle: match row.idle {
            plan::Idle::WithLoads => energy::Idle::WithLoads,
            plan::Idle::AllDay => energy::Idle::AllDay,
        },
    }
}
