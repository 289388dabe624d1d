//! The working of a number: the formula, the inputs with their units, the result, the source. Made on request.

use super::{charge, days, energy, lasting, month, percent, temperature, whole};
use crate::battery::Chemistry;
use crate::plan::{DrawUnit, Plan, Supply, Units, Way};
use crate::report::{BankReport, Report};
use crate::units::{Quantity, hours, tidy};

/// How a load's figure comes about.
pub fn load_working(plan: &Plan, report: &Report, id: u32) -> String {
    let (Some(load), Some(use_)) = (
        plan.loads.iter().find(|row| row.id == id),
        report.needs.rows.iter().find(|row| row.id == id),
    ) else {
        return String::new();
    };
    let temp = |c: f64| Quantity::Temperature.show(c, plan.units);
    let power = match load.draw_unit {
        DrawUnit::W => format!("{} W", tidy(load.draw)),
        DrawUnit::A => format!("{} A × {} V", tidy(load.draw), tidy(report.volts)),
    };
    let time = match load.way {
        Way::Always => "24 h".to_owned(),
        Way::Hours => hours(load.hours),
        Way::Runs => format!("{} × {} min", tidy(load.runs), tidy(load.minutes)),
        Way::Thermostat => format!(
            "{} (share {} × (air − {}) / ({} − {}), hour by hour)",
            hours((use_.running_h * 60.0).round() / 60.0),
            percent(load.duty),
            temp(load.set_c),
            temp(load.ref_c),
            temp(load.set_c)
        ),
    };
    let loss = if load.supply == Supply::Ac {
        format!(
            " + {} lost in the inverter (Schmidt & Sauer 1996)",
            energy(use_.loss_wh)
        )
    } else {
        String::new()
    };
    format!(
        "{} × {power} × {time}{loss} = {}",
        tidy(load.count),
        energy(use_.wh)
    )
}

/// Where a kind's cold factor comes from.
fn cold_from(kind: Chemistry) -> &'static str {
    match kind {
        Chemistry::Flooded | Chemistry::Agm | Chemistry::Gel => "IEEE 485",
        Chemistry::LithiumIronPhosphate => {
            "its cold factor from memory of general literature, unsure"
        }
        Chemistry::SodiumIon => "its cold factor assumed",
    }
}

/// How a bank's figures come about.
pub fn bank_working(report: &Report, bank: &BankReport, units: Units) -> Vec<String> {
    let volts = tidy(report.volts);
    let way = super::capital(super::under_way(report.rig));
    vec![
        format!(
            "Usable: rated {} × planned depth {} × health {} ÷ cold factor {:.2} at {} = {} ({}).",
            charge(bank.bank_ah),
            percent(bank.depth),
            percent(bank.health),
            bank.cold_factor,
            temperature(bank.temp_c, units),
            charge(bank.usable_now_ah),
            cold_from(bank.chemistry)
        ),
        format!(
            "Parked in {}: two wells of charge (Manwell & McGowan 1993), Peukert exponent {:.2}, stepped hour by hour through {} a day ÷ {volts} V = {} a day, from full at midnight: {} to the reserve line.",
            month(report.month),
            bank.exponent,
            energy(report.needs.parked_wh),
            charge(report.needs.parked_ah),
            lasting(bank.parked)
        ),
        format!(
            "Under {} at once ({} A): rest voltage less current × internal resistance = {:.2} V full, {:.2} V at the reserve line.",
            super::watts(report.needs.largest_w),
            whole(report.needs.largest_a),
            bank.loaded_full_v,
            bank.loaded_reserve_v
        ),
        match bank.driving_refill_h {
            Some(h) => format!(
                "{way} to refill: from the reserve line to 98 % with a tail current below a fiftieth of the capacity, {}.",
                hours((h * 12.0).round() / 12.0)
            ),
            None => format!("{way} does not fill it."),
        },
        format!(
            "At the end of its life (80 % health) it lasts {}; the sun alone {}.",
            lasting(bank.parked_old),
            bank.sun_refill_days
                .map_or("can't fill it".to_owned(), |after| format!(
                    "fills it in {}",
                    days(after)
                ))
        ),
    ]
}
