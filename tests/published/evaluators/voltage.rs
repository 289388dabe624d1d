//! Voltages at rest, the electrolyte, and the short circuit.

use super::battery::chemistry;
use super::{Evaluator, Pattern};
use crate::question::{Asked, Question};
use larder::battery::{
    Chemistry, cells_in_series, charge_of_gravity, freezing_c, gravity_of_charge,
    iron_cell_limits_v, iron_phosphate_electrode_v, rest_cell_v, short_circuit_from_two_points,
    voltage_of_gravity,
};

pub(crate) const EVALUATORS: &[(Pattern, Evaluator)] = &[
    (
        "rest voltage and specific gravity, flooded deep-cycle 12 v",
        |q| {
            let soc = q.soc()?;
            Ok(vec![block_v(Chemistry::Flooded, soc), gravity_of_charge(soc)].into())
        },
    ),
    ("rest voltage, agm 12 v", block),
    ("rest voltage, gel 12 v", block),
    ("cell rest voltage = specific gravity + 0.84", |q| {
        Ok(voltage_of_gravity(gravity(q)?).into())
    }),
    ("electrolyte freezing point", freezing),
    (
        "state of charge from specific gravity at 80 f, full 1.280",
        |q| Ok((100.0 * charge_of_gravity(gravity(q)?)).into()),
    ),
    (
        "lifepo4 electrode potential against lithium at stoichiometry",
        |q| Ok(iron_phosphate_electrode_v(q.number(&["stoichiometry"])?).into()),
    ),
    (
        "open-circuit voltage of a lifepo4/graphite cell*",
        iron_cell_between_limits,
    ),
    ("typical rest voltage of a cell, 25 c*", iron_cell_at_rest),
    (
        "short-circuit current and internal resistance from two discharge points",
        short_circuit,
    ),
];

fn gravity(q: Question) -> Result<f64, String> {
    q.number(&["specific_gravity", "sg"])
}

fn block(q: Question) -> Asked {
    Ok(block_v(chemistry(q)?, q.soc()?).into())
}

/// Rest voltage of a battery of 12 V [V].
fn block_v(chemistry: Chemistry, soc: f64) -> f64 {
    cells_in_series(chemistry, 12.0) * rest_cell_v(chemistry, soc)
}

/// The model's curve ends at the cell's voltage limits; between them it is the rest curve.
fn iron_cell_between_limits(q: Question) -> Asked {
    let [low_v, high_v] = iron_cell_limits_v();
    match q.soc()? {
        0.0 => Ok(low_v.into()),
        1.0 => Ok(high_v.into()),
        _ => iron_cell_at_rest(q),
    }
}

fn iron_cell_at_rest(q: Question) -> Asked {
    Ok(rest_cell_v(Chemistry::LithiumIronPhosphate, q.soc()?).into())
}

fn freezing(q: Question) -> Asked {
    let celsius = freezing_c(gravity(q)?);
    match q.unit() {
        "deg F" => Ok((celsius * 1.8 + 32.0).into()),
        "deg C" | "C" => Ok(celsius.into()),
        unit => Err(format!("a temperature in {unit}?")),
    }
}

fn short_circuit(q: Question) -> Asked {
    let point = |volts, amperes| Ok::<_, String>((q.number(&[volts])?, q.number(&[amperes])?));
    let (amperes, ohm) =
        short_circuit_from_two_points(point("Ua_V", "Ia_A")?, point("Ub_V", "Ib_A")?);
    Ok(vec![amperes, ohm].into())
}
