//! What carries it: the plan's own currents on their runs, each with its cable and its fuse; the hold-down; the air.

use super::climate::Year;
use super::income::chosen;
use super::joined;
use super::wanted::{Passing, Wanted, branches, drawn_a, incoming_a, short_a, wanted};
use crate::battery::{Chemistry, Conditions, Reservoir};
use crate::cable::{
    Ahead, Bolt, FuseKind, Metal, Run, Sized, Ventilation, breaker_for, carries_start,
    device_limit_a, force_n, fuse_for, gassing_ma_ah, owned, pull_test_n, resistance_ohm_m, screw,
    short_circuit_a, size, strap_n, stress_area_metric_mm2, string_fuse_for, ventilation,
};
use crate::energy::{Coincident, DayUse, Load, Supply};
use crate::inputs::Inputs;
use crate::report::{Carries, Fuse, Holding, MainsReport, Month, Part, RunReport, SplitFuse};
use crate::solar::strings::{string_fuse_least_a, strings_need_fuses};

/// Temperature up to which the insulation of a cable for alternating current is made use of [°C]: what common terminals bear.
/// Common practice, no source.
const MAINS_INSULATION_C: f64 = 75.0;

/// Where a run hangs: the voltage of the source and the resistance up to the run.
#[derive(Clone, Copy)]
struct Source {
    volts: f64,
    ohm: f64,
}

pub(super) fn carries(
    inputs: &Inputs,
    air: &Year,
    most: &Coincident,
    months: &[Month],
    parked: &DayUse,
) -> Carries {
    let (source_v, bank_ohm) = bank_source(inputs, air);
    let bank = Source {
        volts: source_v,
        ohm: bank_ohm,
    };
    let passing = Passing::new(months, parked, inputs);
    let all = wanted(inputs, most, &passing);
    let mut runs: Vec<RunReport> = Vec::new();
    // What hangs on the bus bars sees the bank through the first run, what hangs on the panel also through the panel's.
    let mut bars = bank;
    let mut panel = bank;
    for wanted in &all {
        let at_bank = wanted.field == "wiring/engine_mm";
        let source = if at_bank { bank } else { bars };
        let found = run(inputs, wanted, source);
        let own_ohm = found.sized.as_ref().map_or(0.0, |sized| {
            2.0 * wanted.length_m * resistance_ohm_m(inputs.wiring.metal, sized.mm2, 20.0)
        });
        if runs.is_empty() {
            bars.ohm += own_ohm;
        }
        if wanted.field == "wiring/loads_mm" {
            panel = Source {
                ohm: source.ohm + own_ohm,
                ..source
            };
        }
        runs.push(found);
    }
    let branches = branches(inputs)
        .iter()
        .map(|wanted| run(inputs, wanted, panel))
        .collect();
    let first = runs.first();
    let fuse_a = first.and_then(|run| run.fuse).map(|fuse| fuse.rating_a);
    let cable_mm2 = first
        .and_then(|run| run.sized.as_ref())
        .map_or(joined::PLAIN_MM2, |sized| sized.mm2);
    let (out_a, in_a) = (drawn_a(inputs, most), incoming_a(inputs));
    let parallel = inputs
        .candidates
        .iter()
        .filter_map(|row| joined::parallel(inputs, row, cable_mm2, out_a, in_a))
        .collect();
    let mut carries = Carries {
        runs,
        branches,
        source_v,
        parallel,
        string_fuse: None,
        sun_fuse: sun_fuse(inputs),
        link: None,
        mains: mains(inputs),
        holding: holding(inputs),
        air: gassing(inputs),
    };
    if let Some(row) = chosen(inputs).filter(|row| row.bank.parallel > 1) {
        carries.string_fuse = carries
            .parallel_of(row.id)
            .map(|strings| string_fuse(bank, row.bank.parallel, &strings.shares, out_a.max(in_a)));
        carries.link = joined::link(inputs, fuse_a);
        let weak = carries
            .link
            .is_some_and(|link| link.fuse_a.is_some_and(|fuse_a| link.carries_a < fuse_a));
        if let Some(run) = carries.runs.first_mut().filter(|_| weak) {
            run.weakest = Some(Part::Link);
        }
    }
    carries
}

/// A run with its cable and its fuse.
fn run(inputs: &Inputs, wanted: &Wanted, source: Source) -> RunReport {
    let wiring = &inputs.wiring;
    let laid = wiring.laid(wanted.field);
    let run = Run {
        continuous_a: wanted.continuous_a,
        length_m: wanted.length_m,
        volts: wanted.volts,
        drop: wiring.drop,
        insulation_c: laid.insulation_c,
        engine_space: laid.engine_space,
        metal: wiring.metal,
        together: laid.together,
        air_c: laid.air_c,
    };
    // At its fuse nothing of the run itself limits the fault.
    let fault = |ohm| {
        if wanted.limited {
            wanted.continuous_a
        } else {
            short_circuit_a(source.volts, source.ohm, 1.0, ohm)
        }
    };
    let fault_a = fault(0.0);
    let peak_a = wanted.peak_a.max(wanted.continuous_a);
    let there = wiring
        .owned
        .iter()
        .find(|(field, _)| wanted.field.ends_with(field));
    let (sized, fuse) = match there {
        _ if wanted.limited => (size(&run, None), None),
        Some((_, mm2)) => owned_with_fuse(&run, *mm2, peak_a, fault_a, source),
        None => sized_with_fuse(&run, peak_a, fault_a, source),
    };
    let far_fault_a = sized
        .as_ref()
        .map(|sized| fault(2.0 * run.length_m * resistance_ohm_m(run.metal, sized.mm2, 20.0)));
    let weakest = sized.as_ref().zip(fuse).map(|(sized, fuse)| {
        if fuse.rating_a <= sized.ampacity_a {
            Part::Fuse
        } else {
            Part::Cable
        }
    });
    let lost_v = sized.as_ref().map_or(0.0, |sized| sized.drop_v);
    RunReport {
        name: wanted.name.clone(),
        field: wanted.field.to_owned(),
        from: wanted.from.clone(),
        continuous_a: wanted.continuous_a,
        peak_a,
        start_held: fuse.is_none_or(|fuse| carries_start(fuse.kind, fuse.rating_a, peak_a)),
        length_m: wanted.length_m,
        sized,
        insulation_c: laid.insulation_c,
        allowed_v: wiring.drop * wanted.volts,
        fuse,
        fault_a,
        far_fault_a,
        weakest,
        limited: wanted.limited,
        loss_wh_year: lost_v * wanted.year_wh / wanted.volts,
    }
}

fn fuse((kind, rating_a): (FuseKind, f64)) -> Fuse {
    Fuse {
        kind,
        rating_a,
        breaks_a: kind.breaks_a(),
    }
}

fn ahead((kind, rating_a): (FuseKind, f64), source: Source) -> Ahead {
    Ahead {
        kind,
        rating_a,
        source_v: source.volts,
        source_ohm: source.ohm,
    }
}

/// The thinnest cable that carries the least fuse that will do, and that fuse.
fn sized_with_fuse(
    run: &Run,
    peak_a: f64,
    fault_a: f64,
    source: Source,
) -> (Option<Sized>, Option<Fuse>) {
    let Some(found) = fuse_for(run.continuous_a, peak_a, f64::INFINITY, fault_a) else {
        return (size(run, None), None);
    };
    let sized = size(run, Some(&ahead(found, source)));
    let fuse = sized.as_ref().map(|_| fuse(found));
    (sized, fuse)
}

/// A cable that is there already, and the fuse that protects it; where none of the series that carries the start lies between, one
/// that may not; where none lies between at all, the next rating up, to 150 % of what the cable carries, may stand (33 CFR 183.455).
fn owned_with_fuse(
    run: &Run,
    mm2: f64,
    peak_a: f64,
    fault_a: f64,
    source: Source,
) -> (Option<Sized>, Option<Fuse>) {
    let Some(bare) = owned(run, mm2, None) else {
        return (None, None);
    };
    let limit_a = bare.ampacity_a;
    let for_start = |peak_a, limit_a| fuse_for(run.continuous_a, peak_a, limit_a, fault_a);
    let found = for_start(peak_a, limit_a)
        .or_else(|| for_start(0.0, limit_a))
        .or_else(|| for_start(0.0, device_limit_a(limit_a)));
    let sized = owned(run, mm2, found.map(|found| ahead(found, source)).as_ref());
    (sized, found.map(fuse))
}

/// The fuse of each string: its largest share, and the fault that the other strings together drive into it, or it into them.
fn string_fuse(bank: Source, strings: u32, shares: &[f64], bank_a: f64) -> SplitFuse {
    let most = shares.iter().copied().fold(0.0, f64::max);
    let continuous_a = most * bank_a;
    let count = f64::from(strings);
    let fault_a = bank.volts / (bank.ohm * count / (count - 1.0).max(1.0));
    SplitFuse {
        count: strings,
        continuous_a,
        fault_a,
        fuse: fuse_for(continuous_a, continuous_a, f64::INFINITY, fault_a).map(fuse),
    }
}

/// The fuse of each group of panels, where more than two stand side by side.
fn sun_fuse(inputs: &Inputs) -> Option<SplitFuse> {
    let sun = inputs.sun.as_ref()?;
    let count = sun.parts.len();
    if !strings_need_fuses(count) {
        return None;
    }
    let parts = sun.parts.iter();
    let all: Vec<f64> = parts.map(|part| short_a(inputs, part.rated_w)).collect();
    let most = all.iter().copied().fold(0.0, f64::max);
    let fault_a = all.iter().sum::<f64>();
    Some(SplitFuse {
        count: u32::try_from(count).unwrap_or(u32::MAX),
        continuous_a: most,
        fault_a,
        fuse: string_fuse_for(string_fuse_least_a(most)).map(|rating_a| Fuse {
            kind: FuseKind::Panel,
            rating_a,
            breaks_a: FuseKind::Panel.breaks_a(),
        }),
    })
}

/// The circuit behind the inverter: a breaker for all that it gives, and a cable that carries the breaker's rating. A short circuit
/// is limited by the inverter itself, so withstand is not checked.
fn mains(inputs: &Inputs) -> Option<MainsReport> {
    let inverter = inputs.inverter.as_ref()?;
    let rated_a = inverter.rated_w / inputs.mains_v;
    let breaker_a = breaker_for(rated_a);
    let wiring = &inputs.wiring;
    let laid = wiring.laid("wiring/branch_mm");
    let run = |continuous_a| Run {
        continuous_a,
        length_m: wiring.branch_m,
        volts: inputs.mains_v,
        drop: wiring.drop,
        insulation_c: laid.insulation_c.min(MAINS_INSULATION_C),
        engine_space: laid.engine_space,
        metal: Metal::Copper,
        together: laid.together,
        air_c: laid.air_c,
    };
    let direct = |load: &&Load| load.supply == Supply::Ac && load.running_w() > 0.0;
    let loads = inputs.loads.iter().filter(direct);
    Some(MainsReport {
        volts: inputs.mains_v,
        rated_a,
        breaker_a,
        // Sized as if the breaker's rating went on and on; that has no further 1.25 in it.
        sized: breaker_a.and_then(|breaker_a| size(&run(breaker_a / 1.25), None)),
        branches: loads
            .map(|load| (load.name.clone(), load.running_w() / inputs.mains_v))
            .collect(),
    })
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

fn holding(inputs: &Inputs) -> Holding {
    let mass_kg = chosen(inputs).map_or(0.0, |row| {
        row.mass_kg * f64::from(row.bank.series * row.bank.parallel)
    });
    let (along_n, across_n) = (
        force_n(mass_kg, inputs.wiring.along_g),
        force_n(mass_kg, inputs.wiring.across_g),
    );
    let hold = inputs.wiring.hold;
    let area = stress_area_metric_mm2(hold.thread_mm).unwrap_or(0.0);
    let one =
        Bolt::metric("8.8", false).map_or(0.0, |bolt| bolt.shear_n(area).min(bolt.proof_n(area)));
    Holding {
        mass_kg,
        along_n,
        across_n,
        pull_test_n: pull_test_n(mass_kg),
        screws: hold.screws,
        bolts_hold_n: f64::from(hold.screws) * one,
        screw: screw(hold.thread_mm, hold.into, hold.stack_mm),
        strap_n: strap_n(force_n(mass_kg, 0.5), force_n(mass_kg, 1.0)),
    }
}

fn gassing(inputs: &Inputs) -> Option<Ventilation> {
    let row = chosen(inputs)?;
    let battery = &row.bank.battery;
    if !battery.chemistry.is_lead_acid() {
        return None;
    }
    let [_, gas] = gassing_ma_ah(battery.chemistry == Chemistry::Flooded);
    let string = battery.label.capacity_ah;
    Some(ventilation(
        row.bank.cells(),
        battery.cells(),
        gas,
        string * f64::from(row.bank.parallel),
        string,
    ))
}
