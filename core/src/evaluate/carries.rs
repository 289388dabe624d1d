//! What carries it: the plan's own currents on their runs, each with its cable and its fuse; the hold-down; the air.

use super::climate::Year;
use super::faults::{Faults, Protection};
use super::income::chosen;
use super::joined;
use super::wanted::{At, Passing, Wanted, branches, drawn_a, incoming_a, short_a, wanted};
use crate::battery::Chemistry;
use crate::cable::{
    Ahead, Bolt, FOR_BRANCHES, FOR_RUNS, FuseDuty, FuseKind, Material, Metal, Run, Sized,
    Ventilation, breaker_for, carries_start, device_limit_a, force_n, gassing_ma_ah, lead_limit_a,
    owned, pull_test_n, screw, size, strap_n, stress_area_metric_mm2, string_fuse_for, ventilation,
};
use crate::energy::{Coincident, DayUse, Load, Supply};
use crate::inputs::Inputs;
use crate::report::{
    Carries, Feeder, Fuse, Holding, MainsReport, Month, PanelFault, Part, RunReport, SplitFuse,
};
use crate::solar::strings::{string_fuse_least_a, strings_need_fuses};

/// Temperature up to which the insulation of a cable for alternating current is made use of [°C]: what common terminals bear.
/// Common practice, no source.
const MAINS_INSULATION_C: f64 = 75.0;
/// Least area of the main conductors [mm²], up to a capacity [Ah] and above. Assumed.
const MAIN_MM2: [f64; 2] = [10.0, 16.0];
const SMALL_BANK_AH: f64 = 100.0;

/// What carries the currents and the weight of the chosen bank. `most` is the largest draw at once, of all and of the panel's.
pub(super) fn carries(
    inputs: &Inputs,
    air: &Year,
    most: [&Coincident; 2],
    months: &[Month],
    parked: &DayUse,
) -> Carries {
    let protection = Protection::new(inputs, air);
    let posts = &protection.posts;
    let passing = Passing::new(months, parked, inputs);
    let all = wanted(inputs, most, &passing, posts);
    let mut runs: Vec<RunReport> = Vec::new();
    let converted = inputs.wiring.converter.map(Protection::behind);
    // What hangs on the bus bars sees the bank through the first run, what hangs on the panel also through the panel's.
    let mut bars = protection.posts;
    let mut panel = protection.posts;
    for wanted in &all {
        let (protection, source) = match (wanted.at, &converted) {
            (At::Converter, Some(converted)) => (converted, converted.posts),
            (At::Bank, _) => (&protection, *posts),
            _ => (&protection, bars),
        };
        let found = run(inputs, wanted, protection, source);
        let behind = found.sized.as_ref().map_or(source, |sized| {
            let run = laid_run(inputs, wanted);
            Faults {
                greatest: source.greatest.behind(run.cold_ohm(sized.mm2)),
                least: source.least.behind(run.hot_ohm(sized.mm2)),
            }
        });
        match wanted.field {
            "wiring/bank_mm" => (bars, panel) = (behind, behind),
            "wiring/loads_mm" => panel = behind,
            _ => {}
        }
        runs.push(found);
    }
    let to_loads = branches(inputs);
    let branches: Vec<RunReport> = to_loads
        .iter()
        .map(|wanted| {
            run(
                inputs,
                wanted,
                converted.as_ref().unwrap_or(&protection),
                panel,
            )
        })
        .collect();
    let first = runs.first();
    let cable_mm2 = first
        .and_then(|run| run.sized.as_ref())
        .map_or(joined::PLAIN_MM2, |sized| sized.mm2);
    let (out_a, in_a) = (drawn_a(inputs, most[0]), incoming_a(inputs, posts));
    let parallel = inputs
        .candidates
        .iter()
        .filter_map(|row| joined::parallel(inputs, row, cable_mm2, out_a, in_a))
        .collect();
    let mut carries = Carries {
        converter_a: inputs.wiring.converter.map(|converter| converter.output_a),
        panel_fault: panel_fault(inputs, &all, &branches, &protection, [bars, panel]),
        runs,
        branches,
        source_v: protection.full_v,
        charging_v: protection.charging_v,
        parallel,
        string_fuse: None,
        sun_fuse: sun_fuse(inputs),
        link: None,
        mains: mains(inputs),
        holding: holding(inputs),
        air: gassing(inputs),
    };
    side_by_side(&mut carries, inputs, &protection);
    carries
}

/// The strings' fuses and their link, where the chosen bank has two strings or more.
fn side_by_side(carries: &mut Carries, inputs: &Inputs, protection: &Protection) {
    let Some(row) = chosen(inputs).filter(|row| row.bank.parallel > 1) else {
        return;
    };
    let Some(main) = carries.runs.first() else {
        return;
    };
    let fuse_a = main.fuse.map(|fuse| fuse.rating_a);
    carries.string_fuse = carries
        .parallel_of(row.id)
        .map(|strings| string_fuse(protection, row.bank.parallel, strings.one_out, main));
    carries.link = joined::link(inputs, fuse_a);
    let weak = carries
        .link
        .is_some_and(|link| link.fuse_a.is_some_and(|fuse_a| link.carries_a < fuse_a));
    if let Some(run) = carries.runs.first_mut().filter(|_| weak) {
        run.weakest = Some(Part::Link);
    }
}

/// A run as it lies, to be sized.
fn laid_run(inputs: &Inputs, wanted: &Wanted) -> Run {
    let wiring = &inputs.wiring;
    let laid = wiring.laid(wanted.field);
    Run {
        continuous_a: wanted.continuous_a,
        drop_a: wanted.drop_a(),
        length_m: wanted.length_m,
        volts: wanted.volts,
        drop: wiring.drop,
        insulation_c: laid.insulation_c,
        engine_space: laid.engine_space,
        metal: wiring.metal,
        together: laid.together,
        air_c: laid.air_c,
        material: wiring.material,
        least_mm2: if wanted.field == "wiring/bank_mm" {
            main_least_mm2(inputs)
        } else {
            0.0
        },
    }
}

/// Least area of the main conductors [mm²].
fn main_least_mm2(inputs: &Inputs) -> f64 {
    let [small, large] = MAIN_MM2;
    inputs.wiring.main_least_mm2.unwrap_or_else(|| {
        let ah = chosen(inputs).map_or(0.0, |row| row.bank.rated_ah());
        if ah <= SMALL_BANK_AH { small } else { large }
    })
}

/// A run with its cable and its fuse.
fn run(inputs: &Inputs, wanted: &Wanted, protection: &Protection, source: Faults) -> RunReport {
    let wiring = &inputs.wiring;
    let run = laid_run(inputs, wanted);
    // At its fuse nothing of the run itself limits the fault.
    let fault_a = if wanted.limited {
        wanted.continuous_a
    } else {
        source.greatest.fault_a(0.0)
    };
    let must_break_a = match wanted.at {
        _ if wanted.limited => fault_a,
        At::Bank => fault_a.max(protection.main_a),
        At::Bars => fault_a.max(protection.bars_a),
        At::Panel | At::Converter => fault_a,
    };
    let peak_a = wanted.peak_a.max(wanted.continuous_a);
    let duty = protection.duty(wanted.continuous_a, peak_a, must_break_a);
    let there = wiring
        .owned
        .iter()
        .find(|(field, _)| wanted.field.ends_with(field));
    let (sized, fuse) = match there {
        _ if wanted.limited => (size(&run, None), None),
        Some((_, mm2)) => owned_with_fuse(&run, *mm2, &duty, source),
        None if wanted.field == "wiring/branch_mm" => {
            let most_a = lead_limit_a(wanted.continuous_a);
            sized_with_fuse(&run, &FuseDuty { most_a, ..duty }, FOR_BRANCHES, source)
        }
        None => sized_with_fuse(&run, &duty, FOR_RUNS, source),
    };
    let far_fault_a = sized.as_ref().map(|sized| {
        if wanted.limited {
            fault_a
        } else {
            source.least.fault_a(run.hot_ohm(sized.mm2))
        }
    });
    let weakest = sized.as_ref().zip(fuse).map(|(sized, (_, rating_a))| {
        if rating_a <= sized.ampacity_a {
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
        start_held: fuse.is_none_or(|(kind, rating_a)| carries_start(kind, rating_a, peak_a)),
        length_m: wanted.length_m,
        sized,
        insulation_c: run.insulation_c,
        allowed_v: wiring.drop * wanted.volts,
        fuse: fuse.map(|found| report_of(found, protection)),
        fault_a,
        must_break_a,
        far_fault_a,
        weakest,
        limited: wanted.limited,
        converted: inputs.wiring.converter.is_some()
            && matches!(wanted.at, At::Converter | At::Panel),
        loss_wh_year: lost_v * wanted.year_wh / wanted.volts,
    }
}

/// A kind of fuse and its rating [A].
type Found = (FuseKind, f64);

fn report_of((kind, rating_a): Found, protection: &Protection) -> Fuse {
    Fuse {
        kind,
        rating_a,
        breaks_a: kind.breaks_a(protection.full_v),
        most_v: kind.most_v(),
    }
}

fn ahead((kind, rating_a): Found, source: Faults) -> Ahead {
    Ahead {
        kind,
        rating_a,
        greatest: source.greatest,
        least: source.least,
    }
}

/// The thinnest cable that carries the least fuse that will do, and that fuse. Where no fuse that the appliance's own lead allows
/// holds the start, the lead comes first.
fn sized_with_fuse(
    run: &Run,
    duty: &FuseDuty,
    kinds: &[FuseKind],
    source: Faults,
) -> (Option<Sized>, Option<Found>) {
    let calm = FuseDuty {
        peak_a: 0.0,
        ..*duty
    };
    let found = duty.fuse(kinds).or_else(|| calm.fuse(kinds));
    let Some(found) = found else {
        return (size(run, None), None);
    };
    let sized = size(run, Some(&ahead(found, source)));
    let found = sized.as_ref().map(|_| found);
    (sized, found)
}

/// A cable that is there already, and the fuse that protects it, of the first kind that clears a fault before the cable burns; where
/// none of the series that carries the start lies between, one that may not; where none lies between at all, the next rating up, to
/// 150 % of what the cable carries, may stand (33 CFR 183.455).
fn owned_with_fuse(
    run: &Run,
    mm2: f64,
    duty: &FuseDuty,
    source: Faults,
) -> (Option<Sized>, Option<Found>) {
    let Some(bare) = owned(run, mm2, None) else {
        return (None, None);
    };
    let limit_a = bare.ampacity_a;
    let with = |found| owned(run, mm2, Some(&ahead(found, source)));
    let bears =
        |found: &Found| with(*found).is_some_and(|sized| sized.withstand.least_mm2() <= sized.mm2);
    let for_start = |peak_a, most_a| {
        let duty = FuseDuty {
            peak_a,
            most_a,
            ..*duty
        };
        let each = FOR_RUNS.iter().filter_map(|kind| duty.fuse(&[*kind]));
        each.clone().find(bears).or_else(|| each.clone().next())
    };
    let found = for_start(duty.peak_a, limit_a)
        .or_else(|| for_start(0.0, limit_a))
        .or_else(|| for_start(0.0, device_limit_a(limit_a)));
    (found.map_or(Some(bare), with), found)
}

/// The fuse of each string: the most that it carries with one string out, and the fault that the other strings together drive into
/// it, or it into them.
fn string_fuse(protection: &Protection, strings: u32, one_out: f64, main: &RunReport) -> SplitFuse {
    let (continuous_a, peak_a) = (one_out * main.continuous_a, one_out * main.peak_a);
    let count = f64::from(strings);
    let fault_a = protection.posts.greatest.fault_a(0.0) * (count - 1.0).max(1.0) / count;
    let must_break_a = fault_a.max(protection.main_a);
    let most_a = main
        .sized
        .as_ref()
        .map_or(f64::INFINITY, |sized| sized.ampacity_a);
    let duty = FuseDuty {
        most_a,
        ..protection.duty(continuous_a, peak_a, must_break_a)
    };
    SplitFuse {
        count: strings,
        continuous_a,
        fault_a,
        must_break_a,
        fuse: duty
            .fuse(FOR_RUNS)
            .map(|found| report_of(found, protection)),
    }
}

/// Whether a small blade would do but for the fault at the panel; and the feeder that would bring the fault down.
fn panel_fault(
    inputs: &Inputs,
    all: &[Wanted],
    branches: &[RunReport],
    protection: &Protection,
    [bars, panel]: [Faults; 2],
) -> Option<PanelFault> {
    let fault_a = panel.greatest.fault_a(0.0);
    let small = |run: &RunReport| {
        let duty = protection.duty(run.continuous_a, run.peak_a, 0.0);
        duty.fuse(&[FuseKind::Blade]).is_some()
    };
    let breaks_a = FuseKind::Blade.breaks_a(protection.full_v);
    if fault_a <= breaks_a || !branches.iter().any(small) {
        return None;
    }
    let wanted = all
        .iter()
        .find(|wanted| wanted.field == "wiring/loads_mm")?;
    Some(PanelFault {
        fault_a,
        blade_a: breaks_a,
        feeder: feeder(inputs, wanted, protection, bars, breaks_a),
    })
}

/// The shortest feeder to the panel, in half metres, of the thinnest cable that carries its fuse, that brings the fault down to
/// what a fuse breaks [A] and loses no more than is allowed; none up to 10 m.
fn feeder(
    inputs: &Inputs,
    wanted: &Wanted,
    protection: &Protection,
    bars: Faults,
    breaks_a: f64,
) -> Option<Feeder> {
    let peak_a = wanted.peak_a.max(wanted.continuous_a);
    let must_break_a = bars.greatest.fault_a(0.0).max(protection.bars_a);
    let found = protection
        .duty(wanted.continuous_a, peak_a, must_break_a)
        .fuse(FOR_RUNS)?;
    let laid = laid_run(inputs, wanted);
    (1..=20).find_map(|halves| {
        let run = Run {
            length_m: 0.5 * f64::from(halves),
            ..laid
        };
        let sized = size(&run, Some(&ahead(found, bars)))?;
        let fault_a = bars.greatest.behind(run.cold_ohm(sized.mm2)).fault_a(0.0);
        (run.length_m >= laid.length_m && fault_a <= breaks_a).then_some(Feeder {
            length_m: run.length_m,
            mm2: sized.mm2,
            awg: sized.awg,
            drop_v: sized.drop_v,
            fault_a,
        })
    })
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
        must_break_a: fault_a,
        fuse: string_fuse_for(string_fuse_least_a(most)).map(|rating_a| Fuse {
            kind: FuseKind::Cylinder,
            rating_a,
            breaks_a: FuseKind::Cylinder.breaks_a(FuseKind::Cylinder.most_v()),
            most_v: FuseKind::Cylinder.most_v(),
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
        drop_a: continuous_a,
        length_m: wiring.branch_m,
        volts: inputs.mains_v,
        drop: wiring.drop,
        insulation_c: laid.insulation_c.min(MAINS_INSULATION_C),
        engine_space: laid.engine_space,
        metal: Metal::Copper,
        together: laid.together,
        air_c: laid.air_c,
        material: Material::Pvc,
        least_mm2: 0.0,
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
