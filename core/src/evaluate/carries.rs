//! What carries it: the plan's own currents on their runs, each with its cable and its fuse; the hold-down; the air.

use super::climate::Year;
use super::income::chosen;
use crate::battery::{Chemistry, Conditions, Reservoir};
use crate::cable::{
    Bolt, Metal, Run, Sized, Ventilation, force_n, fuse_for, pull_test_n, resistance_ohm_m,
    short_circuit_a, size, stress_area_metric_mm2, ventilation,
};
use crate::energy::{Coincident, LossCurve};
use crate::inputs::Inputs;
use crate::report::{Carries, Fuse, Holding, RunReport};
use crate::units::Quantity;

/// Gassing current of lead-acid on boost [mA/Ah], flooded and sealed. IEC 62485-2 table 1.
const GAS_MA_AH: (f64, f64) = (20.0, 8.0);
/// Bolts that a hold-down is reckoned with: four of M8, class 8.8. Assumed.
const BOLTS: f64 = 4.0;
const BOLT_MM: f64 = 8.0;

/// One run before it is sized.
struct Wanted {
    name: &'static str,
    field: &'static str,
    from: String,
    continuous_a: f64,
    length_m: f64,
    engine_space: bool,
}

pub(super) fn carries(inputs: &Inputs, air: &Year, most: &Coincident) -> Carries {
    let wiring = &inputs.wiring;
    let (bank_v, bank_ohm) = bank_source(inputs, air);
    // What hangs on the bus bars sees the bank through the first run.
    let mut bars_ohm = 0.0;
    let mut runs = Vec::new();
    for wanted in wanted(inputs, most) {
        let run = Run {
            continuous_a: wanted.continuous_a,
            length_m: wanted.length_m,
            volts: inputs.volts,
            drop: wiring.drop,
            insulation_c: wiring.insulation_c,
            engine_space: wanted.engine_space && wiring.engine_space,
        };
        // At its fuse nothing of the run itself limits the fault.
        let before_ohm = if wanted.engine_space { 0.0 } else { bars_ohm };
        let fault_a = short_circuit_a(bank_v, bank_ohm, 1.0, before_ohm);
        let (sized, fuse) = sized_with_fuse(&run, fault_a);
        let own_ohm = sized
            .as_ref()
            .map(|sized| 2.0 * run.length_m * resistance_ohm_m(Metal::Copper, sized.mm2, 20.0));
        if runs.is_empty() {
            bars_ohm = own_ohm.unwrap_or(0.0);
        }
        let far_fault_a =
            own_ohm.map(|own| short_circuit_a(bank_v, bank_ohm, 1.0, before_ohm + own));
        runs.push(RunReport {
            name: wanted.name.to_owned(),
            field: wanted.field.to_owned(),
            from: wanted.from,
            continuous_a: wanted.continuous_a,
            length_m: wanted.length_m,
            sized,
            fuse,
            fault_a,
            far_fault_a,
        });
    }
    Carries {
        runs,
        holding: holding(inputs),
        air: gassing(inputs),
    }
}

/// The thinnest cable that carries the least fuse that will do, and that fuse.
fn sized_with_fuse(run: &Run, fault_a: f64) -> (Option<Sized>, Option<Fuse>) {
    let Some((kind, rating_a)) = fuse_for(run.continuous_a, f64::INFINITY, fault_a) else {
        return (size(run, 0.0), None);
    };
    let sized = size(run, rating_a);
    let fuse = sized.as_ref().map(|_| Fuse {
        kind,
        rating_a,
        breaks_a: kind.breaks_a(),
    });
    (sized, fuse)
}

/// Rest voltage when full and internal resistance of the chosen bank.
fn bank_source(inputs: &Inputs, air: &Year) -> (f64, f64) {
    let Some(row) = chosen(inputs) else {
        return (inputs.volts, f64::INFINITY);
    };
    let conditions = Conditions {
        temp_c: air.battery_c(inputs.living.month),
        soh: 1.0,
    };
    let tank = Reservoir::new(&row.bank, &row.fitted, &conditions);
    (tank.rest_v(tank.full()), tank.resistance_ohm())
}

fn wanted(inputs: &Inputs, most: &Coincident) -> Vec<Wanted> {
    let wiring = &inputs.wiring;
    // The loads' own power at the lowest voltage at which they still run takes most current.
    let low_v = inputs.inverter_cutoff_v.max(10.0 * inputs.volts / 12.0);
    let watts = |w: f64| Quantity::Power.show(w.round(), crate::plan::Units::Metric);
    let mut all = Vec::new();
    let inverter_a = inputs.inverter.as_ref().map_or(0.0, |inverter| {
        let (curve, _) = LossCurve::fit(inverter);
        curve.dc_w(inverter.rated_w) / low_v
    });
    let panel_a = most.panel_running_w / low_v;
    let incoming_a = inputs
        .sun
        .as_ref()
        .map_or(0.0, |sun| sun.controller.output_limit_a())
        + inputs.shore.as_ref().map_or(0.0, |shore| shore.charger_a);
    all.push(Wanted {
        name: "bank to bus bars",
        field: "wiring/bank_mm",
        from: "all that can draw at once, at the lowest voltage; or all that can charge".into(),
        continuous_a: (inverter_a + panel_a).max(incoming_a),
        length_m: wiring.bank_m,
        engine_space: false,
    });
    if let Some(inverter) = &inputs.inverter {
        all.push(Wanted {
            name: "inverter",
            field: "wiring/inverter_mm",
            from: format!(
                "{} at its efficiency and its cut-out voltage",
                watts(inverter.rated_w)
            ),
            continuous_a: inverter_a,
            length_m: wiring.inverter_m,
            engine_space: false,
        });
    }
    if panel_a > 0.0 {
        all.push(Wanted {
            name: "load panel",
            field: "wiring/loads_mm",
            from: format!("{} at once on the panel", watts(most.panel_running_w)),
            continuous_a: panel_a,
            length_m: wiring.loads_m,
            engine_space: false,
        });
    }
    if let Some(sun) = &inputs.sun {
        all.push(Wanted {
            name: "solar controller",
            field: "wiring/sun_mm",
            from: "the controller's limit".into(),
            continuous_a: sun.controller.output_limit_a(),
            length_m: wiring.sun_m,
            engine_space: false,
        });
    }
    if let Some(driving) = &inputs.driving {
        all.push(Wanted {
            name: "alternator",
            field: "wiring/engine_mm",
            from: "the most that the link can take".into(),
            continuous_a: driving.alternator.most_a(),
            length_m: wiring.engine_m,
            engine_space: true,
        });
    }
    if let Some(shore) = &inputs.shore {
        all.push(Wanted {
            name: "charger",
            field: "wiring/shore_mm",
            from: "the charger's rating".into(),
            continuous_a: shore.charger_a,
            length_m: wiring.shore_m,
            engine_space: false,
        });
    }
    all.retain(|run| run.continuous_a > 0.0);
    all
}

fn holding(inputs: &Inputs) -> Holding {
    let mass_kg = chosen(inputs).map_or(0.0, |row| {
        row.mass_kg * f64::from(row.bank.series * row.bank.parallel)
    });
    let (along_n, across_n) = (
        force_n(mass_kg, inputs.wiring.along_g),
        force_n(mass_kg, inputs.wiring.across_g),
    );
    let area = stress_area_metric_mm2(BOLT_MM).unwrap_or(0.0);
    let one =
        Bolt::metric("8.8", false).map_or(0.0, |bolt| bolt.shear_n(area).min(bolt.proof_n(area)));
    Holding {
        mass_kg,
        along_n,
        across_n,
        pull_test_n: pull_test_n(mass_kg),
        bolts_hold_n: BOLTS * one,
    }
}

fn gassing(inputs: &Inputs) -> Option<Ventilation> {
    let row = chosen(inputs)?;
    let battery = &row.bank.battery;
    let gas = match battery.chemistry {
        Chemistry::Flooded => GAS_MA_AH.0,
        kind if kind.is_lead_acid() => GAS_MA_AH.1,
        _ => return None,
    };
    let cells = row.bank.volts() / 2.0;
    let string = battery.label.capacity_ah;
    Some(ventilation(
        cells,
        gas,
        string * f64::from(row.bank.parallel),
        string,
    ))
}
