//! What runs: charges, yearly energies, duty, the inverter, and the powers of the library of loads.

use super::{Evaluator, Pattern};
use crate::question::{Asked, Question};
use larder::data::loads::{LibraryLoad, loads};
use larder::energy::{charge_ah, duty, efficiency, energy_wh};
use std::collections::BTreeSet;

pub(crate) const EVALUATORS: &[(Pattern, Evaluator)] = &[
    ("typical rated power, low and high", rated_power),
    ("yearly energy", yearly_energy),
    ("daily charge at *", daily_charge),
    ("dc load per day at *", daily_charge),
    ("duty of a compressor fridge proportional*", |q| {
        let temperature = |name| q.number(&[name]);
        Ok(duty(
            temperature("duty_ref")?,
            temperature("T_ref")?,
            temperature("T_set")?,
            temperature("T_amb")?,
        )
        .into())
    }),
    ("efficiency p/(p + p0 + a p + b p^2)", |q| {
        Ok(efficiency(
            q.number(&["p"])?,
            q.number(&["p0"])?,
            q.number(&["a"])?,
            q.number(&["b"])?,
        )
        .into())
    }),
];

fn yearly_energy(q: Question) -> Asked {
    let hours = q.number(&["h_per_day"])? * q.number(&["days"])?;
    let count = q.given(&["n"]).unwrap_or(1.0);
    Ok((energy_wh(q.number(&["W"])?, count, hours) / 1000.0).into())
}

/// Ah a day, of a power or a current at a voltage, or of an energy already summed.
fn daily_charge(q: Question) -> Asked {
    if let Some(energy) = q.given(&["Wh"]) {
        return Ok(charge_ah(energy, 1.0, 1.0, q.number(&["V"])?).into());
    }
    let hours = match q.given(&["h"]) {
        Some(hours) => hours,
        None => q.number(&["uses"])? * q.number(&["s"])? / 3600.0,
    };
    let hours = hours * q.given(&["duty"]).unwrap_or(1.0);
    let count = q.given(&["n"]).unwrap_or(1.0);
    // A current's charge is the same at any voltage.
    let volts = q.given(&["V"]).unwrap_or(1.0);
    let watts = match q.given(&["W"]) {
        Some(watts) if q.given(&["V"]).is_some() => watts,
        Some(_) => return Err("a power without its voltage".into()),
        None => q.number(&["A"])? * volts,
    };
    Ok(charge_ah(watts, count, hours, volts).into())
}

/// The words of a name, whatever their order, without what stands in brackets.
fn words(name: &str) -> BTreeSet<String> {
    let bare = name.split('(').next().unwrap_or(name);
    bare.split([' ', ','])
        .map(str::to_lowercase)
        .filter(|word| !matches!(word.as_str(), "" | "single" | "double" | "and" | "or"))
        .collect()
}

/// What a library load is, without how it is supplied ("laptop on mains").
fn is(load: &LibraryLoad, appliance: &BTreeSet<String>) -> bool {
    let name = load.name.split(" on ").next().unwrap_or(&load.name);
    words(name) == *appliance
}

/// The power of the library's entry, where that says it is from the Department of Energy's list.
fn rated_power(q: Question) -> Asked {
    let appliance = words(q.text(&["appliance"])?);
    let entry = loads()
        .iter()
        .find(|load| load.source == "US Department of Energy" && is(load, &appliance));
    match entry {
        Some(load) => Ok(load.power_w.into()),
        None => Err("the library of loads takes no such appliance from this list".into()),
    }
}
