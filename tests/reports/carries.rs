//! What carries each starting point, worked by hand: a run, a fuse, a link, a hold-down.

use crate::{near, plan, report};
use larder::cable::{FuseKind, TakeOff, Withstand};
use larder::report::{Part, Report, RunReport};

fn run<'a>(report: &'a Report, name: &str) -> &'a RunReport {
    let found = report.carries.runs.iter().find(|run| run.name == name);
    found.expect("a run")
}

fn one_end(report: &Report, id: u32) -> f64 {
    let strings = report.carries.parallel_of(id).expect("strings");
    let found = strings
        .others
        .iter()
        .find(|(way, _)| *way == TakeOff::OneEnd);
    found.expect("both cables at one end").1
}

#[test]
fn the_van() {
    let van = report("orchard-van");
    // Run: the solar controller's limit, 20 A over 1.5 m. 0.36 V may be lost. 14 AWG, 2.08 mm², loses more than that; 12 AWG is
    // 3.309 mm² and carries 45 A, so that 20 A warm it by 75 K × (20/45)² = 14.8 K, less than the 50 °C reckoned with at least:
    // 0.017241 × 1.02 / 3.309 × (1 + 0.00393 × 30) = 0.005941 Ω/m, × 3 m × 20 A = 0.3565 V.
    let sun = run(&van, "solar controller");
    let sized = sun.sized.as_ref().expect("a cable");
    assert_eq!((sized.awg.as_str(), sized.mm2), ("12", 4.0));
    near("lost", sized.drop_v, 0.3565, 0.0005);
    near("warm", sized.warm_c, 44.8, 0.1);
    // Fuse: 1.25 × 20 = 25 A. The fault at the bars is 2,658 A: more than a strip breaks (2 kA), less than a terminal fuse (10 kA in
    // 12 V systems): 30 A, and 12 AWG carries 45 A. Its table: beyond 6 times the rating one let-through, (6 × 30 A)² × 1 s =
    // 32,400 A²s. k of PVC from 105 °C: 226 × √ln(1 + 55/339.5) = 87.57. √32,400 / 87.57 = 2.055 mm².
    let fuse = sun.fuse.expect("a fuse");
    assert_eq!((fuse.rating_a, sun.weakest), (30.0, Some(Part::Fuse)));
    let Withstand::Cleared { least_mm2, .. } = sized.withstand else {
        panic!("checked")
    };
    near("withstand", least_mm2, 2.055, 0.001);
    // Main conductors: 600 W of inverter and 145 W of loads: 53.3 A. 6 AWG carries 120 A, yet a bank above 100 Ah has at least
    // 16 mm². Its fuse breaks the 4,187 A of the bank, more than ABYC E-11 asks for 735 cranking amperes (3 kA): 1.25 × 53.3 = 66.6:
    // 75 A, which holds the start of 97.6 A.
    let main = run(&van, "bank to bus bars");
    let sized = main.sized.as_ref().expect("a cable");
    assert_eq!(
        (sized.mm2, sized.bound),
        (16.0, larder::cable::Bound::Least)
    );
    let fuse = main.fuse.expect("a fuse");
    assert_eq!((fuse.kind, fuse.rating_a), (FuseKind::Terminal, 75.0));
    near("must break", main.must_break_a, 4187.0, 1.0);
    // Least fault at the bars: at half charge 12.24 V; 5.714 mΩ, twice as much when old, and two lugs; cable of 105 °C.
    // The mean of January at the van's place divides the capacity, and multiplies the resistance, by 1 to 1.5.
    let far_a = main.far_fault_a.expect("a fault");
    let cable_ohm = 1.6 * 0.017_586 / 16.0 * (1.0 + 0.003_93 * 85.0);
    let at = |cold: f64| 12.24 / (0.011_43 * cold + 0.000_2 + cable_ohm);
    assert!(far_a < at(1.0) && far_a > at(1.5), "{far_a}");
    // A branch: the fault where its fuse stands, through the panel's 1.5 m of 4 mm²: 3 × 0.017586 / 4 = 13.19 mΩ more: 711 A. A blade.
    let fridge = &van.carries.branches[0];
    near("at the panel", fridge.fault_a, 12.8 / 0.018_006, 2.0);
    assert_eq!(fridge.fuse.expect("a fuse").kind, FuseKind::Blade);
    // Link, of the two batteries: 0.6 Ω Ah / 105 Ah = 5.714 mΩ and two lugs of 0.1 mΩ: 5.914 mΩ. Cable of 16 mm²:
    // 0.017586 / 16 × 0.25 m = 0.2748 mΩ and two lugs: 0.4748 mΩ. From one end the near one gives x/(1 + x) more than half,
    // x = 0.4748/5.914 = 0.0803: 7.4 %.
    near("one end", one_end(&van, 2), 0.0743, 0.0002);
    // Hold-down: 31 kg × 20 × 9.80665 = 6,080 N. An M8: π/4 × (8 − 0.9382 × 1.25)² = 36.61 mm² × 800 MPa × 0.6 = 17,572 N, four
    // of them 70,290 N. Screw: 18 + 2 × 1.6 + 6.8 + 2.5 = 30.5 mm: 35 mm.
    near("held", van.carries.holding.bolts_hold_n, 70_290.0, 10.0);
    let screw = van.carries.holding.screw.expect("a screw");
    assert_eq!(screw.length_mm, Some(35.0));
}

#[test]
fn the_cutter() {
    let cutter = report("estuary-cutter");
    // Run: charger 15 A, solar controller 10 A and the relay, which can pass all 60 A of the cold alternator: 85 A into the bank, more
    // than all loads take out. Fuse: 1.25 × 85 = 106 A, so 125 A. 4 AWG carries 160 A. Warm: 30 + 75 × (85/160)² = 51.2 °C:
    // 0.017586 / 21.15 × (1 + 0.00393 × 31.2) = 0.0009335 Ω/m; × 1.6 m × 85 A = 0.127 V.
    let bank = run(&cutter, "bank to bus bars");
    let sized = bank.sized.as_ref().expect("a cable");
    assert_eq!(
        (sized.awg.as_str(), bank.fuse.expect("a fuse").rating_a),
        ("4", 125.0)
    );
    near("lost", sized.drop_v, 0.127, 0.001);
    // Fault: 0.5 Ω Ah / 90 Ah + 0.2 mΩ of lugs, / 2 = 2.878 mΩ: 12.73 V over it: 4,423 A. ABYC E-11 asks for more: 2 × 90 Ah × 7 =
    // 1,260 cranking amperes: 5 kA. A terminal fuse breaks 10 kA.
    near("fault", bank.fault_a, 12.73 / 0.002_878, 3.0);
    assert_eq!(bank.must_break_a, 5000.0);
    assert_eq!(bank.fuse.expect("a fuse").kind, FuseKind::Terminal);
    // An anchor light of 3 W has a blade of 1 A.
    let anchor = cutter
        .carries
        .branches
        .iter()
        .find(|run| run.name == "anchor light");
    let fuse = anchor.and_then(|run| run.fuse).expect("a fuse");
    assert_eq!((fuse.kind, fuse.rating_a), (FuseKind::Blade, 1.0));
    // Link: two years old of six: health 0.933, so 11.11 mΩ × (1 + 5 × 0.0667) + 0.2 = 15.01 mΩ; cable of 25 mm²:
    // 0.017586 / 25 × 0.25 + 0.2 = 0.376 mΩ. x = 0.02504: x/(1 + x) = 2.4 %.
    near("one end", one_end(&cutter, 1), 0.0244, 0.0003);
    // As planned, across the corner: both alike. With one out the other carries all: 125 A, as the main fuse.
    let strings = cutter.carries.parallel_of(1).expect("strings");
    near("shares", strings.shares[0], 0.5, 1e-12);
    let own = cutter.carries.string_fuse.expect("fuses");
    assert_eq!((own.count, own.fuse.expect("a fuse").rating_a), (2, 125.0));
    // Hold-down: 50 kg × 20 × 9.80665 = 9,807 N along; the pull test: 90 lbf, 400.3 N, less than twice the weight.
    near("along", cutter.carries.holding.along_n, 9806.65, 0.01);
    near("pull", cutter.carries.holding.pull_test_n, 400.34, 0.01);
}

#[test]
fn the_hut() {
    let hut = report("hill-hut");
    // Run: the controller's 40 A over 1.5 m at 24 V. 1.25 × 40 = 50 A; the fault at the bars is some 6 kA, more than a terminal fuse
    // breaks in 24 V systems (5 kA): class T of 50 A. 10 AWG carries 60 A: 30 + 75 × (40/60)² = 63.3 °C;
    // 0.017586 / 5.261 × (1 + 0.00393 × 43.3) = 0.003912 Ω/m, × 3 m × 40 A = 0.469 V.
    let sun = run(&hut, "solar controller");
    let sized = sun.sized.as_ref().expect("a cable");
    assert_eq!(
        (sized.awg.as_str(), sun.fuse.expect("a fuse").rating_a),
        ("10", 50.0)
    );
    near("lost", sized.drop_v, 0.4694, 0.0005);
    near("warm", sized.warm_c, 63.3, 0.05);
    // Its fuse lets through (10 × 50)² × 0.1 s: 158 A√s / 87.57 = 1.81 mm².
    let Withstand::Cleared { least_mm2, .. } = sized.withstand else {
        panic!("checked")
    };
    near("withstand", least_mm2, 1.806, 0.001);
    // Bank: four of 6 V in series: 0.5/210/2 × 4 = 4.762 mΩ + 0.2, / 2 = 2.481 mΩ: 25.46 V over it: 10.26 kA. ABYC E-11: 2 × 210
    // × 7 = 2,940 cranking amperes are a large bank, and above 10 kA its main fuse breaks 20 kA: class T.
    let bank = run(&hut, "bank to bus bars");
    near("fault", bank.fault_a, 25.46 / 0.002_481, 5.0);
    assert_eq!(bank.must_break_a, 20_000.0);
    assert_eq!(bank.fuse.expect("a fuse").kind, FuseKind::ClassT);
    // Link: four of 210 Ah, 6 V each: half of 1.0/210 Ω for 6 V: 2.381 mΩ × 4 + 0.2 = 9.72 mΩ; cable of 16 mm²:
    // 0.4748 mΩ. x = 0.0488: 4.7 %.
    near("one end", one_end(&hut, hut.chosen), 0.0466, 0.0003);
    // Hold-down: 8 × 28 kg = 224 kg × 20 × 9.80665 = 43,934 N.
    near("along", hut.carries.holding.along_n, 43_933.8, 0.1);
}

#[test]
fn a_bar_of_aluminium_between_two() {
    let mut cutter = plan("estuary-cutter");
    cutter.wiring.link = larder::plan::Linked::Aluminium6061;
    cutter.wiring.link_wide_mm = 25.4;
    cutter.wiring.link_thick_mm = 6.35;
    let report = larder::assess(&cutter).expect("a sound plan");
    // 0.25 m / (0.43 × 58 MS/m × 161.3 mm²) = 0.0621 mΩ and two contacts of 0.03: 0.122 mΩ. Common practice, no source: such a bar
    // carries about 308 A; for dull 6061 that is too much at 30 K: less than 259 A, the figure of heavily oxidised metal, and more than
    // the fuse's 125 A.
    let strings = report.carries.parallel_of(1).expect("strings");
    near("link", strings.link_ohm * 1000.0, 0.1221, 0.0003);
    let link = report.carries.link.expect("a bar");
    assert!(link.carries_a < 259.0 && link.carries_a > 200.0);
    assert!(link.flat_a < link.carries_a);
    assert_eq!(link.fuse_a, Some(125.0));
    assert!(link.at_fuse_c.expect("a temperature") < 55.0);
    assert_eq!((link.overlap_mm, link.bolt_mm), (31.75, 8.0));
}

#[test]
fn a_cable_that_is_there_already() {
    let mut van = plan("orchard-van");
    // 12 A of charger on 2.5 mm² (held as 14 AWG, 35 A): a fuse of 15 A or more, no more than 35 A: fine. 20 A of sun wants 25 A: fine.
    van.wiring.sun_mm2 = Some(2.5);
    // Panel, 13.8 A: 17.3 A; 1 mm² (18 AWG) carries 20 A. One of 0.8 mm² too.
    van.wiring.loads_mm2 = Some(1.0);
    let report = larder::assess(&van).expect("a sound plan");
    let panel = run(&report, "load panel");
    let sized = panel.sized.as_ref().expect("a cable");
    assert_eq!(sized.awg, "18");
    assert_eq!(panel.fuse.expect("a fuse").rating_a, 20.0);
    assert!(sized.drop_v > panel.allowed_v);
    assert!(
        report
            .findings
            .iter()
            .any(|finding| finding.says.contains("that is there (load panel) loses"))
    );
    // Inverter, 34 A: 42 A at the least; 1.5 mm² (16 AWG) carries 25 A, and 150 % of that is 37.5 A: no rating satisfies both.
    van.wiring.inverter_mm2 = Some(1.5);
    let report = larder::assess(&van).expect("a sound plan");
    assert!(run(&report, "inverter").fuse.is_none());
    assert!(
        report
            .findings
            .iter()
            .any(|finding| finding.says.contains("no standard rating lies between"))
    );
    // 2.5 mm² (14 AWG, 35 A): a terminal fuse of 50 A, within 150 %, 52.5 A, would let through 6 × 50 = 300 A√s: 300 / 87.57 = 3.4 mm². Class T
    // of 45 A lets through 10 × 45 × √0.1 = 142 A√s: 1.6 mm². It may stand, and the cable is the weakest part.
    van.wiring.inverter_mm2 = Some(2.5);
    let report = larder::assess(&van).expect("a sound plan");
    let inverter = run(&report, "inverter");
    assert_eq!(inverter.weakest, Some(Part::Cable));
    let fuse = inverter.fuse.expect("a fuse");
    assert_eq!((fuse.kind, fuse.rating_a), (FuseKind::ClassT, 45.0));
}

#[test]
fn new_beside_old() {
    let mut cutter = plan("estuary-cutter");
    cutter.wiring.last_years = Some(0.0);
    let report = larder::assess(&cutter).expect("a sound plan");
    let strings = report.carries.parallel_of(1).expect("strings");
    // Two years old: 15.01 mΩ; new: 11.11 + 0.2 = 11.31 mΩ. Across the corner both see one link: 15.39 against 11.69 mΩ: the new one
    // gives 15.39 / 27.07 = 56.8 %.
    near("new one", strings.shares[1], 0.5684, 0.001);
    assert!(strings.unlike);
    // Full 12.7 V or so beside half, 0.63 V apart: over 15.01 + 11.31 + 2 × 0.376 = 27.1 mΩ: 23.3 A, more than 0.2 × 90 = 18 A.
    near(
        "joining",
        strings.joining.current_a,
        strings.joining.gap_v / 0.027_07,
        0.2,
    );
    assert!(
        report
            .findings
            .iter()
            .any(|finding| finding.field == "wiring/last_years")
    );
}

#[test]
fn what_freezes_and_what_the_charger_does() {
    let mut cutter = plan("estuary-cutter");
    let said = |plan: &larder::plan::Plan, words: &str| {
        let report = larder::assess(plan).expect("a sound plan");
        report
            .findings
            .iter()
            .any(|found| found.says.contains(words))
    };
    assert!(!said(&cutter, "The charger") && !said(&cutter, "acid freezes"));
    // Flooded lead-acid usually wants 14.6 and 13.5 V.
    cutter.shore.boost_v = 15.2;
    cutter.shore.float_v = 14.0;
    assert!(said(&cutter, "The charger boosts at 15.2 V"));
    assert!(said(&cutter, "The charger floats at 14.0 V"));
    // At half charge the acid freezes near −20 °C.
    cutter.living.battery_place = larder::plan::BatteryPlace::Own;
    cutter.living.battery_c = -30.0;
    assert!(said(&cutter, "acid freezes"));
}

#[test]
fn one_run_lies_otherwise() {
    let van = plan("orchard-van");
    let with = |change: &dyn Fn(&mut larder::plan::Route)| {
        let mut plan = van.clone();
        while plan.ids(larder::plan::List::Routes).len() < 3 {
            let id = plan.fresh_id();
            plan.wiring.add_route(id);
        }
        // The third is the solar controller's.
        change(&mut plan.wiring.routes[2]);
        larder::assess(&plan).expect("a sound plan")
    };
    // As they lay before: nothing changes.
    let plain = larder::assess(&van).expect("a sound plan");
    assert_eq!(with(&|_| ()).carries, plain.carries);
    // 12 AWG carries 45 A. Of six that lie together 0.6 is left: 27 A, less than the fuse of 30 A. 10 AWG carries 60 A: 36 A.
    let bundled = with(&|route| route.bundle = larder::plan::Bundle::Some);
    let sized = |report: &Report, name: &str| run(report, name).sized.clone().expect("a cable");
    let sun = sized(&bundled, "solar controller");
    assert_eq!(sun.awg, "10");
    near("bundled", sun.ampacity_a, 36.0, 1e-9);
    // In air of 60 °C √(45/75) is left of what insulation for 105 °C bears: 45 A × 0.7746 = 34.9 A, and the metal is 30 K warmer.
    let warm = sized(&with(&|route| route.air_c = 60.0), "solar controller");
    assert!(warm.ampacity_a < 60.0 * 0.775 && warm.warm_c > 60.0);
    // Insulation for 75 °C: 12 AWG carries 25 A, 10 AWG 40 A. In an engine space 0.75 of that is left: 30 A, just the fuse.
    let thin = with(&|route| {
        route.insulation = larder::plan::Insulation::C75;
        route.engine_space = true;
    });
    let sun = sized(&thin, "solar controller");
    assert_eq!(sun.awg, "10");
    near("engine space", sun.ampacity_a, 30.0, 1e-9);
    // The other runs stay as they were.
    assert_eq!(run(&thin, "inverter"), run(&plain, "inverter"));
}

#[test]
fn a_load_farther_off() {
    let mut van = plan("orchard-van");
    let plain = larder::assess(&van).expect("a sound plan");
    let first = plain.carries.branches[0].clone();
    let load = van.loads.iter_mut().find(|load| load.name == first.name);
    load.expect("a load").cable_mm = Some(4.0 * 1000.0 * first.length_m);
    let report = larder::assess(&van).expect("a sound plan");
    let far = &report.carries.branches[0];
    near("far", far.length_m, 4.0 * first.length_m, 1e-12);
    let area = |run: &RunReport| run.sized.as_ref().expect("a cable").mm2;
    assert!(area(far) >= area(&first));
    assert_eq!(report.carries.branches[1..], plain.carries.branches[1..]);
}

#[test]
fn a_start_and_its_fuse() {
    let mut van = plan("orchard-van");
    let report = larder::assess(&van).expect("a sound plan");
    // The fridge: 45 W at 10.5 V is 4.29 A, × 1.25 = 5.4 A; it starts with three times as much, 12.9 A, of which a blade carries 1.49
    // times its rating for half a second: at least 8.6 A, so 10 A and not 7.5 A.
    let fridge = |report: &Report| report.carries.branches[0].clone();
    let run = fridge(&report);
    assert_eq!(run.name, "compressor fridge");
    near("start", run.peak_a, 3.0 * run.continuous_a, 1e-9);
    assert_eq!(run.fuse.expect("a fuse").rating_a, 10.0);
    assert!(run.start_held);
    // Without the start 7.5 A would do.
    van.loads[0].surge = 1.0;
    let calm = larder::assess(&van).expect("a sound plan");
    assert_eq!(fridge(&calm).fuse.expect("a fuse").rating_a, 7.5);
    // A panel's cable that is there already and carries 20 A leaves room for 20 A; twenty times the fridge's current does not hold.
    van.loads[0].surge = 20.0;
    van.wiring.loads_mm2 = Some(1.0);
    let report = larder::assess(&van).expect("a sound plan");
    let panel = report
        .carries
        .runs
        .iter()
        .find(|run| run.name == "load panel");
    assert!(!panel.expect("a panel").start_held);
    assert!(
        report
            .findings
            .iter()
            .any(|found| found.says.contains("A start (load panel) takes"))
    );
}

#[test]
fn behind_the_inverter() {
    let mut van = plan("orchard-van");
    van.inverter.rated_w = 2000.0;
    let at = |plan: &larder::plan::Plan| {
        let report = larder::assess(plan).expect("a sound plan");
        report.carries.mains.expect("alternating current")
    };
    // 2,000 W at 230 V are 8.70 A: a breaker of 10 A. 16 AWG of 75 °C carries 15 A, 18 AWG just 10 A: 1 mm², and 1.5 is said.
    let european = at(&van);
    near("rated", european.rated_a, 8.696, 0.001);
    assert_eq!(european.breaker_a, Some(10.0));
    assert_eq!(european.sized.expect("a cable").awg, "18");
    // At 120 V they are 16.67 A: 20 A, and 14 AWG of 75 °C carries just 20 A. There and back 6 m lose
    // 0.017586 / 2.081 × (1 + 0.00393 × 32) × 6 m × 16 A = 0.91 V.
    van.inverter.mains = larder::plan::Mains::V120;
    let american = at(&van);
    assert_eq!(american.breaker_a, Some(20.0));
    let sized = american.sized.expect("a cable");
    assert_eq!(sized.awg, "14");
    near("lost", sized.drop_v, 0.91, 0.02);
    van.loads
        .retain(|load| load.supply == larder::plan::Supply::Dc);
    let report = larder::assess(&van).expect("a sound plan");
    assert!(report.carries.mains.is_none());
}

#[test]
fn heat_and_fuel_beside_the_bank() {
    use larder::plan::Thing;
    let mut van = plan("orchard-van");
    let said = |plan: &larder::plan::Plan, words: &str| {
        let report = larder::assess(plan).expect("a sound plan");
        let found = report.findings.iter();
        let found = found.filter(|found| found.says.contains(words));
        found.map(|found| found.says.clone()).next()
    };
    assert_eq!(said(&van, "gets hot"), None);
    assert_eq!(said(&van, "shares the space"), None);
    let duct = van.locker.obstacles.iter_mut();
    let duct = duct
        .into_iter()
        .find(|thing| thing.name.contains("duct"))
        .expect("a duct");
    duct.what = Thing::Hot;
    // Seven years of shelf life, on a mean so far below 25 °C that 10 K more cost nothing.
    let says = said(&van, "gets hot").expect("a finding");
    assert!(
        says.contains("costs it nothing; each 10 K more halve its 7 years"),
        "{says}"
    );
    van.living.battery_place = larder::plan::BatteryPlace::Own;
    van.living.battery_c = 25.0;
    let says = said(&van, "gets hot").expect("a finding");
    assert!(
        says.contains("Warmed by 10 K over the year it keeps 3.5 years on the shelf, not 7."),
        "{says}"
    );
    van.locker.obstacles[0].what = Thing::Fuel;
    assert!(said(&van, "one spark in its vapour").is_some());
}

#[test]
fn more_than_a_kind_gives_as_a_rule_and_colder_than_it_bears() {
    let mut cutter = plan("estuary-cutter");
    let said = |plan: &larder::plan::Plan, words: &str| {
        let report = larder::assess(plan).expect("a sound plan");
        report
            .findings
            .iter()
            .any(|found| found.says.contains(words))
    };
    assert!(!said(&cutter, "its limit is 180 A") && !said(&cutter, "next to nothing"));
    // Two of 90 Ah give 180 A at one hour's rate; 2,400 W at 12 V are 200 A, and what else can run is below 100 A.
    cutter.loads[0].draw = 2400.0;
    (cutter.loads[0].count, cutter.loads[0].surge) = (1.0, 1.0);
    cutter.loads[0].draw_unit = larder::plan::DrawUnit::W;
    cutter.loads[0].supply = larder::plan::Supply::Dc;
    assert!(said(&cutter, "its limit is 180 A (assumed)"));
    cutter.candidates[0].max_discharge_a = Some(150.0);
    assert!(!said(&cutter, "its limit is 180 A") && !said(&cutter, "its limit is 300 A"));
    cutter.living.battery_place = larder::plan::BatteryPlace::Own;
    cutter.living.battery_c = -45.0;
    assert!(said(&cutter, "gives next to nothing"));
}

#[test]
fn from_the_panels_to_their_controller() {
    let mut hut = plan("hill-hut");
    let panels = |plan: &larder::plan::Plan| {
        let report = larder::assess(plan).expect("a sound plan");
        report.carries.panels().expect("panels").clone()
    };
    // 800 W at 36 V, the assumed best of panels for 24 V: 22.2 A, × 1.08 shorted, × 1.25 in light above the standard: 30 A.
    let run = panels(&hut);
    near(
        "shorted",
        run.continuous_a,
        800.0 / 36.0 * 1.08 * 1.25,
        1e-9,
    );
    near("allowed", run.allowed_v, 0.03 * 36.0, 1e-9);
    // × 1.25 again: 37.5 A, which 12 AWG carries. At most power 22.2 A over 5 m lose 0.017586 / 3.31 × 1.118 × 10 m × 22.2 A = 1.32 V of
    // 12 AWG, more than 1.08 V, and 0.83 V of 10 AWG.
    let sized = run.sized.as_ref().expect("a cable");
    assert_eq!(sized.awg, "10");
    near("lost", sized.drop_v, 0.83, 0.005);
    assert!(run.fuse.is_none() && run.limited);
    // Two in series of 40 V open: 65.6 V at their best, so 16.5 A: a thinner cable does.
    hut.sun.panel_voc = Some(40.0);
    hut.sun.in_series = Some(2.0);
    let run = panels(&hut);
    near(
        "in series",
        run.continuous_a,
        800.0 / 65.6 * 1.08 * 1.25,
        1e-9,
    );
    assert_eq!(run.sized.as_ref().expect("a cable").awg, "16");
}

#[test]
fn what_a_run_loses_in_a_year_by_its_hours() {
    let mut hut = plan("hill-hut");
    // 48 W at all hours and nothing coming in: 2 A at about 24 V, as long as the bank lasts.
    hut.sun.fitted = false;
    hut.loads
        .retain(|load| load.supply == larder::plan::Supply::Dc);
    hut.loads.truncate(1);
    hut.loads[0].draw = 48.0;
    hut.loads[0].count = 1.0;
    hut.loads[0].way = larder::plan::Way::Always;
    let inputs = larder::import(&hut).expect("a sound plan");
    let report = larder::evaluate(&inputs);
    let hours = larder::year_hours(&inputs);
    let panel = run(&report, "load panel");
    let sized = panel.sized.as_ref().expect("a cable");
    let ohm = sized.drop_v / panel.continuous_a;
    let fed = |hour: &&larder::report::YearHour| hour.use_w > 1.0 && hour.unserved_w < 1.0;
    let served = hours.iter().filter(fed).count() as f64;
    let wh = panel.lost_by_hours_wh(&hours).expect("a loss");
    near(
        "lost",
        wh / (ohm * served),
        48.0 / 24.0 * (48.0 / 24.0),
        0.45,
    );
    assert!(served > 100.0 && wh <= panel.loss_wh_year);
    // The bank's own run carries the same, and a branch is not told apart.
    let bank = run(&report, "bank to bus bars");
    assert!(bank.lost_by_hours_wh(&hours).expect("a loss") > 0.0);
    assert_eq!(report.carries.branches[0].lost_by_hours_wh(&hours), None);
}
