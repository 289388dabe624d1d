//! The banks that are compared.

use super::Check;
use crate::battery::{self, Bank, Battery, Label, SecondRating};
use crate::inputs::{Candidate, Later};
use crate::plan::{self, Second};
use crate::units::{Quantity, tidy};

pub(super) fn candidate(check: &mut Check<'_>, row: &plan::Candidate, volts: f64) -> Candidate {
    let at = |name: &str| format!("candidates/{}/{name}", row.id);
    let battery_v = check.number(
        &at("battery_v"),
        "The voltage of one battery",
        Quantity::Voltage,
        row.battery_v,
        2.0,
        60.0,
    );
    let series = check.count(
        &at("series"),
        "The batteries in a string",
        row.series,
        1,
        24,
    );
    let parallel = check.count(
        &at("parallel"),
        "The strings side by side",
        row.parallel,
        1,
        24,
    );
    let string_v = battery_v * f64::from(series);
    if (string_v - volts).abs() > 0.12 * volts {
        let fitting = (volts / battery_v).round().max(1.0);
        let mend = if (fitting * battery_v - volts).abs() <= 0.12 * volts {
            format!("Put {} in series.", tidy(fitting))
        } else {
            format!(
                "Choose a battery whose voltage goes into {} V.",
                tidy(volts)
            )
        };
        check.refuse(
            at("series"),
            format!(
                "{series} × {} V in series make {} V, but the rig has {} V.",
                tidy(battery_v),
                tidy(string_v),
                tidy(volts)
            ),
            mend,
        );
    }
    let capacity_ah = check.number(
        &at("capacity_ah"),
        "The rated capacity",
        Quantity::Charge,
        row.capacity_ah,
        1.0,
        5000.0,
    );
    let hours = check.number(
        &at("rate_h"),
        "The rated time",
        Quantity::Hours,
        row.rate_h,
        0.2,
        120.0,
    );
    let second = match row.second {
        Second::None => None,
        Second::Reserve => Some(SecondRating::ReserveMinutes(check.number(
            &at("reserve_min"),
            "The reserve",
            Quantity::Minutes,
            row.reserve_min,
            5.0,
            10_000.0,
        ))),
        Second::Capacity => Some(SecondRating::Capacity {
            ah: check.number(
                &at("second_ah"),
                "The second capacity",
                Quantity::Charge,
                row.second_ah,
                1.0,
                5000.0,
            ),
            hours: check.number(
                &at("second_h"),
                "The second rated time",
                Quantity::Hours,
                row.second_h,
                0.2,
                240.0,
            ),
        }),
    };
    let traits = row.chemistry.traits();
    let depth = row.depth.map_or(traits.depth_recommended, |depth| {
        check.share(&at("depth"), "The planned depth", depth, 0.05)
    });
    let battery = Battery {
        chemistry: row.chemistry,
        label: Label {
            volts: battery_v,
            capacity_ah,
            hours,
            second,
        },
        max_discharge_a: row.max_discharge_a.map(|a| {
            check.number(
                &at("max_discharge_a"),
                "The most that one gives",
                Quantity::Current,
                a,
                0.5,
                5000.0,
            )
        }),
        max_charge_a: row.max_charge_a.map(|a| {
            check.number(
                &at("max_charge_a"),
                "The most that one takes",
                Quantity::Current,
                a,
                0.5,
                5000.0,
            )
        }),
    };
    let fitted = battery::fit(&battery);
    let first_years = check.number(
        &at("age_years"),
        "The age",
        Quantity::Years,
        row.age_years,
        0.0,
        40.0,
    );
    let later = row.later_years.map(|years| {
        check.number(
            &at("later_years"),
            "How much later the last string comes",
            Quantity::Years,
            years,
            0.0,
            20.0,
        )
    });
    // One string alone can't come in two parts.
    let later = later
        .filter(|_| parallel > 1)
        .map(|years| Later { years, first_years });
    let mut open_a = |name: &str, what: &str, amperes: Option<f64>| {
        amperes.map(|a| check.number(&at(name), what, Quantity::Current, a, 10.0, 200_000.0))
    };
    let cranking_a = open_a("cranking_a", "The cranking current of one", row.cranking_a);
    let short_circuit_a = open_a(
        "short_circuit_a",
        "The short-circuit current of one",
        row.short_circuit_a,
    );
    let mass_kg = check.number(
        &at("mass_kg"),
        "The mass",
        Quantity::Mass,
        row.mass_kg,
        0.1,
        2000.0,
    );
    Candidate {
        id: row.id,
        bank: Bank {
            battery,
            series,
            parallel,
            depth,
            hard_depth: traits.depth_hard.max(depth),
        },
        fitted,
        age_years: match later {
            // New when the others are so much older.
            Some(later) => {
                (later.first_years + later.years) * f64::from(parallel - 1) / f64::from(parallel)
            }
            None => first_years,
        },
        later,
        cranking_a,
        short_circuit_a,
        case: super::space::case(check, row, &at, mass_kg),
        mass_kg,
        price: row
            .price
            .map(|price| check.number(&at("price"), "The price", Quantity::Money, price, 0.0, 1e7)),
    }
}
