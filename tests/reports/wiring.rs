//! The wiring of six more plans, worked by hand: main conductors, faults, fuses and branches.
//!
//! Resistances: copper 0.017586 Ω mm²/m at 20 °C by gauge, fine metric 0.0195; lugs 0.2 mΩ a string. A short circuit sees 0.3 Ω Ah
//! over the capacity for 12 V of AGM, 0.5 of flooded, 0.25 of lithium.

use crate::near;
use larder::battery::{Chemistry, capacity_divisor};
use larder::cable::{Bound, FuseKind};
use larder::finding::Gravity;
use larder::plan::{BatteryPlace, Candidate, LinkKind, Load, Mains, Plan, Supply, Units, Way};
use larder::report::{Report, RunReport};

fn load(id: u32, name: &str, draw: f64) -> Load {
    Load {
        id,
        name: name.into(),
        draw,
        way: Way::Hours,
        hours: 4.0,
        ..Load::default()
    }
}

/// One battery, one lamp of 20 W, nothing that charges.
fn plain(battery: Candidate) -> Plan {
    let mut plan = Plan {
        loads: vec![load(1, "lamp", 20.0)],
        candidates: vec![Candidate { id: 1, ..battery }],
        chosen: 1,
        ..Plan::default()
    };
    (plan.sun.fitted, plan.alternator.fitted) = (false, false);
    plan
}

/// An inverter with one efficiency at every load.
fn with_inverter(plan: &mut Plan, rated_w: f64) {
    let mut kettle = load(9, "kettle", 900.0);
    kettle.supply = Supply::Ac;
    plan.loads.push(kettle);
    (plan.inverter.rated_w, plan.inverter.surge_w) = (rated_w, 2.0 * rated_w);
    plan.inverter.peak_efficiency = 0.9;
    plan.inverter.rated_efficiency = Some(0.9);
}

fn assess(plan: &Plan) -> Report {
    larder::assess(plan).expect("a sound plan")
}

fn run<'a>(report: &'a Report, name: &str) -> &'a RunReport {
    let mut all = report.carries.runs.iter().chain(&report.carries.branches);
    all.find(|run| run.name == name).expect("a run")
}

/// A run's fuse and its gauge.
fn made(run: &RunReport) -> (FuseKind, f64, &str) {
    let fuse = run.fuse.expect("a fuse");
    let sized = run.sized.as_ref().expect("a cable");
    (fuse.kind, fuse.rating_a, sized.awg.as_str())
}

#[test]
fn a_lithium_camper_of_two_batteries() {
    let mut camper = plain(Candidate {
        chemistry: Chemistry::LithiumIronPhosphate,
        battery_v: 12.8,
        capacity_ah: 200.0,
        parallel: 2.0,
        max_discharge_a: Some(200.0),
        max_charge_a: Some(100.0),
        ..Candidate::default()
    });
    camper.loads[0].draw = 120.0;
    with_inverter(&mut camper, 2000.0);
    camper.alternator.fitted = true;
    (camper.shore.fitted, camper.shore.charger_a) = (true, 50.0);
    let report = assess(&camper);
    // 2000 W / 0.9 / 10.5 V = 211.6 A and 120 W / 10.5 V = 11.4 A: 223.1 A; × 1.25 = 278.8: 300 A. Charging: 50 A of hook-up and 33.3 A
    // into the DC-DC charger, less. 1/0 carries 285 A, 2/0 330 A: 67.4 mm².
    let main = run(&report, "bank to bus bars");
    near("main", main.continuous_a, 223.07, 0.05);
    assert_eq!(made(main), (FuseKind::ClassT, 300.0, "2/0"));
    // 0.25 / 200 = 1.25 mΩ + 0.2, two side by side: 0.725 mΩ; 13.5 V over it. Lithium without a maker's figure: 20 kA.
    near("fault", main.fault_a, 13.5 / 0.000_725, 5.0);
    assert_eq!(main.must_break_a, 20_000.0);
    // With one battery out the other carries all.
    let strings = report.carries.string_fuse.expect("string fuses");
    let fuse = strings.fuse.expect("a fuse");
    near("one string", strings.continuous_a, 223.07, 0.05);
    assert_eq!((fuse.kind, fuse.rating_a), (FuseKind::ClassT, 300.0));
    // At the bars, through 1.6 m of 70 mm², 0.402 mΩ more: 11.98 kA, above what a terminal fuse breaks. 1.25 × 11.4 = 14.3: class T
    // of 15 A. 14 AWG loses 0.017586 / 2.08 × 1.118 × 3 m × 11.43 A = 0.324 of 0.36 V.
    let panel = run(&report, "load panel");
    near("at the bars", panel.fault_a, 13.5 / 0.001_127, 20.0);
    assert_eq!(made(panel), (FuseKind::ClassT, 15.0, "14"));
    near(
        "panel's drop",
        panel.sized.as_ref().expect("a cable").drop_v,
        0.324,
        0.001,
    );
    // At the panel, through 3 m of 2.5 mm², 21.1 mΩ more: 607 A. A blade breaks 1 kA.
    let lamp = run(&report, "lamp");
    near("at the panel", lamp.fault_a, 13.5 / 0.022_23, 2.0);
    assert_eq!(made(lamp).0, FuseKind::Blade);
}

#[test]
fn a_sloop_with_a_windlass() {
    let mut sloop = plain(Candidate {
        parallel: 2.0,
        ..Candidate::default()
    });
    let mut windlass = load(2, "windlass", 1000.0);
    (windlass.on_bars, windlass.cable_mm) = (true, Some(6000.0));
    sloop.loads.push(windlass);
    let report = assess(&sloop);
    // 1020 W / 10.5 V = 97.1 A: × 1.25 = 121.4: 125 A; 6 AWG carries 120 A, 4 AWG 160 A. Fault: (3.0 + 0.2) / 2 = 1.6 mΩ: 12.8 V over
    // it is 8.0 kA; 1400 cranking amperes ask for 5 kA.
    let main = run(&report, "bank to bus bars");
    near("main", main.continuous_a, 1020.0 / 10.5, 1e-9);
    near("fault", main.must_break_a, 8000.0, 1.0);
    assert_eq!(made(main), (FuseKind::Terminal, 125.0, "4"));
    // The windlass straight from the bars: 95.2 A. 12 m may lose 0.36 V: 0.017586 × 1.118 × 12 × 95.2 / 0.36 = 62.4 mm²: 2/0, 67.4 mm²;
    // 70 mm² in fine strands loses 0.0195 / 70 × 1.118 × 12 × 95.2 = 0.356 V. Fault at the bars: 1.6 m of 25 mm², 1.126 mΩ more.
    let windlass = run(&report, "windlass");
    near("current", windlass.continuous_a, 1000.0 / 10.5, 1e-9);
    near("at the bars", windlass.fault_a, 12.8 / 0.002_726, 5.0);
    assert_eq!(made(windlass), (FuseKind::Terminal, 125.0, "2/0"));
    let sized = windlass.sized.as_ref().expect("a cable");
    assert_eq!((sized.mm2, sized.bound), (70.0, Bound::Drop));
    // Only the lamp is left on the panel: 1.9 A.
    near(
        "panel",
        run(&report, "load panel").continuous_a,
        20.0 / 10.5,
        1e-9,
    );
    assert_eq!(report.carries.branches.len(), 1);
}

#[test]
fn a_trailer_in_the_united_states() {
    let mut trailer = plain(Candidate {
        chemistry: Chemistry::Flooded,
        battery_v: 6.0,
        capacity_ah: 220.0,
        series: 2.0,
        ..Candidate::default()
    });
    trailer.units = Units::Imperial;
    trailer.inverter.mains = Mains::V120;
    trailer.loads.push(load(2, "furnace fan", 40.0));
    (trailer.shore.fitted, trailer.shore.charger_a) = (true, 55.0);
    let report = assess(&trailer);
    // The converter's 55 A are more than 60 W / 10.5 V: × 1.25 = 68.8: 75 A. 8 AWG carries 80 A; a bank above 100 Ah has 16 mm².
    // Fault: two of 6 V, each half of 0.5 / 220 Ω, 2.273 mΩ together, + 0.2: 12.73 V over 2.473 mΩ = 5.15 kA; 1540 cranking
    // amperes ask for 5 kA.
    let main = run(&report, "bank to bus bars");
    assert_eq!(main.continuous_a, 55.0);
    near("fault", main.must_break_a, 12.73 / 0.002_473, 3.0);
    assert_eq!(made(main), (FuseKind::Terminal, 75.0, "6"));
    assert_eq!(main.sized.as_ref().expect("a cable").bound, Bound::Least);
    // The converter's run, 2 m there and back: 8 AWG for its fuse of 75 A; 0.36 V allowed.
    // 30 + 75 × (55/80)² = 65.4 °C: 0.017586 / 8.37 × 1.179 × 2 m × 55 A = 0.272 V.
    let charger = run(&report, "charger");
    assert_eq!(made(charger), (FuseKind::Terminal, 75.0, "8"));
    near(
        "charger's drop",
        charger.sized.as_ref().expect("a cable").drop_v,
        0.272,
        0.001,
    );
}

#[test]
fn a_desert_hut_of_48_volts() {
    let mut hut = plain(Candidate {
        chemistry: Chemistry::LithiumIronPhosphate,
        battery_v: 51.2,
        capacity_ah: 100.0,
        ..Candidate::default()
    });
    hut.volts = 48.0;
    hut.loads[0] = load(1, "router", 10.0);
    with_inverter(&mut hut, 3000.0);
    hut.wiring.air_c = 45.0;
    hut.sun.fitted = true;
    hut.sun.controller_a = 60.0;
    let report = assess(&hut);
    // 3000 W / 0.9 / 42 V = 79.4 A and 0.24 A: × 1.25 = 99.5: 100 A. In air of 45 °C √(60/75) = 0.894 is left: of the 80 A of 8 AWG 71.6,
    // of the 120 A of 6 AWG 107. Fault: 4 × 0.25 / 100 + 0.2 = 10.2 mΩ: 54 V over it = 5.29 kA; lithium: 20 kA, at 54 V: class T.
    let main = run(&report, "bank to bus bars");
    near("main", main.continuous_a, 79.60, 0.01);
    near("fault", main.fault_a, 54.0 / 0.010_2, 1.0);
    assert_eq!(made(main), (FuseKind::ClassT, 100.0, "6"));
    near("charged at", report.carries.charging_v, 4.0 * 14.2, 1e-9);
    // At the bars, 1.759 mΩ more: 4.5 kA. A terminal fuse breaks 2 kA in 48 V systems, blades and strips end at 32 V: class T of 80 A for
    // 1.25 × 60 = 75 A; 6 AWG carries it.
    let sun = run(&report, "solar controller");
    near("at the bars", sun.fault_a, 54.0 / 0.011_959, 5.0);
    assert_eq!(made(sun), (FuseKind::ClassT, 80.0, "6"));
    // The router: 0.24 A, a cylinder of 1 A.
    assert_eq!(
        made(run(&report, "router")),
        (FuseKind::Cylinder, 1.0, "18")
    );
    // An arc burns on above 32 V DC: main devices are rated for 57 V and 20 kA.
    let found = report.findings.iter().find(|one| one.field == "plan/volts");
    let arc = found.expect("a finding");
    assert_eq!(arc.gravity, Gravity::Caution);
    assert!(
        arc.mend.contains("57 V DC") && arc.mend.contains("20\u{a0}kA"),
        "{}",
        arc.mend
    );
}

#[test]
fn a_panel_of_12_volts_on_a_bank_of_48() {
    let mut hut = plain(Candidate {
        battery_v: 12.0,
        series: 4.0,
        ..Candidate::default()
    });
    hut.volts = 48.0;
    hut.loads[0].draw = 120.0;
    hut.wiring.converter_a = Some(30.0);
    let report = assess(&hut);
    // Into the converter: 30 A × 12 V / 0.9 / 42 V = 9.52 A. Fault at the bank: 4 × 0.3 / 100 + 0.2 = 12.2 mΩ; 51.2 V; 0.8 m of 10 mm²,
    // 2.814 mΩ: 3.41 kA at the bars. A terminal fuse breaks 2 kA in 48 V systems: class T of 15 A.
    let input = run(&report, "converter to 12 V");
    near("input", input.continuous_a, 9.524, 0.001);
    near("at the bars", input.fault_a, 51.2 / 0.015_014, 3.0);
    assert_eq!(made(input).0, FuseKind::ClassT);
    assert_eq!(made(input).1, 15.0);
    // Behind it: 120 W / 12 V = 10 A; the converter gives at most 60 A into a short circuit: a blade of 15 A.
    let panel = run(&report, "load panel");
    assert_eq!(panel.continuous_a, 10.0);
    near("limited", panel.fault_a, 60.0, 1e-9);
    assert_eq!((made(panel).0, made(panel).1), (FuseKind::Blade, 15.0));
    assert_eq!(made(run(&report, "lamp")).0, FuseKind::Blade);
    // The main conductors carry the load through the converter.
    let main = run(&report, "bank to bus bars");
    near("main", main.continuous_a, 120.0 / 0.9 / 42.0, 1e-9);
    assert!(
        !report
            .findings
            .iter()
            .any(|one| one.field == "wiring/converter_a")
    );
}

#[test]
fn a_van_at_25_degrees_of_frost() {
    let warm = plain(Candidate::default());
    let mut cold = warm.clone();
    cold.living.battery_place = BatteryPlace::Own;
    cold.living.battery_c = -25.0;
    let (warm, cold) = (assess(&warm), assess(&cold));
    let (warm, cold) = (
        run(&warm, "bank to bus bars"),
        run(&cold, "bank to bus bars"),
    );
    // What a fuse must break is the warm bank's, whatever the season: 12.8 V / 3.2 mΩ = 4.0 kA.
    near("greatest", cold.must_break_a, 4000.0, 1.0);
    assert_eq!(cold.must_break_a, warm.must_break_a);
    // What it must clear is the cold, old bank's at the reserve line: 12.24 V; 6 mΩ, twice as much when old, times the cold's divisor;
    // lugs; 1.6 m of 10 mm² at 105 °C: 0.017586 / 10 × (1 + 0.00393 × 85) × 1.6 = 3.754 mΩ.
    let (divisor, extrapolated) = capacity_divisor(Chemistry::Agm, -25.0);
    assert!(extrapolated && divisor > 1.8);
    let by_hand = 12.24 / (0.012 * divisor + 0.000_2 + 0.003_754);
    near("least", cold.far_fault_a.expect("a fault"), by_hand, 2.0);
    assert!(cold.far_fault_a < warm.far_fault_a);
}

#[test]
fn one_battery_under_a_seat_on_a_relay() {
    let mut van = plain(Candidate {
        capacity_ah: 95.0,
        ..Candidate::default()
    });
    van.alternator.fitted = true;
    van.alternator.link = LinkKind::Relay;
    // The relay: the circuit lets through (14.2 − 12.24) V / (30 mΩ + 3.158 + 0.2) = 58.8 A, less than the alternator's 120 A.
    van.alternator.link_mohm = 30.0;
    let report = assess(&van);
    let relay = run(&report, "alternator");
    near("by the circuit", relay.continuous_a, 1.96 / 0.033_358, 0.05);
    // × 1.25 = 73.4: 75 A at each end. Its 5 m pass an engine space: 10 m at 58.8 A may lose 0.36 V.
    assert_eq!(made(relay).1, 75.0);
    near(
        "main",
        run(&report, "bank to bus bars").continuous_a,
        58.76,
        0.05,
    );
    // Of 10 mΩ: 1.96 V / 13.36 mΩ = 146.7 A: the cold alternator's 120 A, and a fuse of 150 A.
    van.alternator.link_mohm = 10.0;
    let report = assess(&van);
    let relay = run(&report, "alternator");
    assert_eq!((relay.continuous_a, made(relay).1), (120.0, 150.0));
}
