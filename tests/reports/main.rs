//! The main figures of each starting point, worked by hand from the formulas, and the forms of the report.

mod carries;
mod choices;
mod moves;
mod place;
mod places;
mod voltage;
mod wiring;

use amp_larder::assess::{Form, REFUSED, assess};
use larder::fit::Outcome;
use larder::plan::Plan;
use larder::report::Report;
use std::path::Path;

fn plan(name: &str) -> Plan {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../demo-data/{name}.larder.json"));
    larder::link::from_text(&std::fs::read_to_string(path).expect("a demo plan")).expect("a plan")
}

fn report(name: &str) -> Report {
    larder::assess(&plan(name)).expect("a sound plan")
}

fn near(what: &str, found: f64, by_hand: f64, within: f64) {
    assert!(
        (found - by_hand).abs() <= within,
        "{what}: {found}, by hand {by_hand}"
    );
}

fn row_wh(report: &Report, id: u32) -> f64 {
    report
        .needs
        .rows
        .iter()
        .find(|row| row.id == id)
        .expect("a row")
        .wh
}

#[test]
fn the_van_by_hand() {
    let van = report("orchard-van");
    // Fridge: 18 °C in the cabin all day; duty 0.5 × (18 − 4) / (32 − 4) = 0.25; 45 W × 24 h × 0.25 = 270 Wh.
    near("fridge", row_wh(&van, 1), 270.0, 0.5);
    // Lamps: 2 × 4 W × 3.5 h = 28 Wh. Pump: 60 W × 12 × 1 min = 12 Wh. Phone: 10 W × 2 h = 20 Wh.
    near("lamps", row_wh(&van, 3), 28.0, 1e-6);
    near("pump", row_wh(&van, 4), 12.0, 1e-6);
    near("phone", row_wh(&van, 6), 20.0, 1e-6);
    // Engine: 30 A at the 13.5 V that the bank has on the whole while it charges, for 1 h 20, is 540 Wh, one day in three: 180 Wh.
    near("driving", van.months[0].alternator_wh, 540.0 / 3.0, 0.1);
    // Battery half-way between 18 and 5 °C: 11.5 °C. IEEE 485 gives 1.19 at 10.0 and 1.15 at 12.8 °C: 1.17 between.
    // Usable: 105 Ah × 0.5 / 1.17 = 44.9 Ah; a day takes 57.2 Ah: 0.79 days by the mean.
    let one = &van.banks[0];
    near("battery's place", one.temp_c, 11.5, 0.05);
    near("usable", one.usable_now_ah, 44.9, 0.3);
    near("parked", one.parked.days(), 0.79, 0.06);
    // Height: 300 − 240 − 30 above the terminals leaves 30 mm.
    let Some(Outcome::Fits { least_mm, axis, .. }) = one.fit.as_ref().map(|fit| &fit.outcome)
    else {
        panic!("one fits")
    };
    assert_eq!((*least_mm, *axis), (30.0, 2));
    // Two behind each other: 5 + 173 + 5 + 173 + 5 = 361 of 310 mm: 51 too deep. Turned across they would lack 30 only,
    // but end at 120 + 5 + 173 + 5 + 173 = 476, and the bracket at 480 wants 5 mm of air: 1 mm too near.
    let Some(Outcome::TooBig {
        least_mm, beside, ..
    }) = van.banks[1].fit.as_ref().map(|fit| &fit.outcome)
    else {
        panic!("two do not")
    };
    assert_eq!(
        (*least_mm, beside.as_deref()),
        (Some(51.0), Some("shelf bracket"))
    );
}

#[test]
fn what_carries_the_van_by_hand() {
    let van = report("orchard-van");
    let run = |name: &str| {
        van.carries
            .runs
            .iter()
            .find(|run| run.name == name)
            .expect("a run")
    };
    // Load panel: fridge 45, fan 22, two lamps 8, pump 60, phone 10: 145 W at the inverter's cut-out of 10.5 V: 13.8 A.
    let panel = run("load panel");
    near("panel's current", panel.continuous_a, 145.0 / 10.5, 1e-6);
    // 1.5 m one way, 3 m in all; 3 % of 12 V is 0.36 V. 14 AWG is 2.08 mm²: 0.017241 × 1.02 / 2.08 × (1 + 0.00393 × 30) = 0.00945
    // Ω/m, 0.39 V: too much. 12 AWG is 3.31 mm²: 0.00594 Ω/m, × 3 m × 13.8 A = 0.246 V.
    let sized = panel.sized.as_ref().expect("a cable");
    assert_eq!((sized.awg.as_str(), sized.mm2), ("12", 4.0));
    near("panel's drop", sized.drop_v, 0.246, 0.001);
    // AGM of 105 Ah: 0.3 Ω Ah / 105 Ah = 2.857 mΩ in a short circuit, with two lugs of 0.1 mΩ 3.057 mΩ: 12.8 V over it.
    near(
        "short circuit",
        run("bank to bus bars").fault_a,
        12.8 / 0.003_057,
        1.0,
    );
    // At the bars, through 0.8 m of 16 mm²: 1.6 × 0.017586 / 16 = 1.759 mΩ more: 2,658 A. A strip (2 kA) does not break that.
    // 1.25 × 13.8 = 17.3 A: the least terminal fuse, 30 A; 12 AWG of 105 °C carries 45 A.
    near("at the bars", panel.fault_a, 12.8 / 0.004_816, 2.0);
    let fuse = panel.fuse.expect("a fuse");
    assert_eq!((fuse.rating_a, sized.ampacity_a), (30.0, 45.0));
    // Hold-down: 31 kg × 20 g × 9.80665 = 6,080 N along, 8 g: 2,432 N across.
    near("along", van.carries.holding.along_n, 6080.1, 0.1);
    near("across", van.carries.holding.across_n, 2432.0, 0.1);
    // Air: 6 cells × 8 mA/Ah × 105 Ah × 0.05 / 1000 = 0.252 m³/h; 28 × that: 7.06 cm².
    let air = van.carries.air.expect("lead-acid gives off gas");
    near("air", air.flow_m3_h, 0.252, 1e-9);
    near("opening", air.opening_cm2, 7.056, 1e-6);
}

#[test]
fn the_cutter_by_hand() {
    let cutter = report("estuary-cutter");
    // Anchor light: 3 W × 11 h = 33 Wh. Radio: 0.5 A × 12 V × 10 h = 60 Wh. Lamps: 3 × 6 W × 3 h = 54 Wh.
    near("anchor light", row_wh(&cutter, 2), 33.0, 1e-6);
    near("radio", row_wh(&cutter, 7), 60.0, 1e-6);
    near("lamps", row_wh(&cutter, 3), 54.0, 1e-6);
    // Two years of six at 20 % over the whole life: health 1 − 0.2 × 2 / 6 = 0.933.
    near("health", cutter.banks[0].health, 0.9333, 1e-3);
    // Depth: 300 − 225 − 35 leaves 40 mm in height.
    let Some(Outcome::Fits { least_mm, .. }) = cutter.banks[0].fit.as_ref().map(|fit| &fit.outcome)
    else {
        panic!("it fits")
    };
    assert_eq!(*least_mm, 40.0);
}

#[test]
fn the_hut_by_hand() {
    let hut = report("hill-hut");
    // Lamps: 3 × 8 W × 5 h = 120 Wh. Radio: 24 Wh. Router: 216 Wh. Pump: 180 W × 12 min = 36 Wh. Alarm: 48 Wh.
    for (id, wh) in [(1, 120.0), (2, 24.0), (5, 216.0), (4, 36.0), (6, 48.0)] {
        near("a load", row_wh(&hut, id), wh, 1e-6);
    }
    // The hut at 12 °C or more, 2 °C outdoors: half-way 7 °C and a little; IEEE 485 gives 1.25 at 7.2 °C.
    // Two strings: 420 Ah × 0.5 / 1.25 = 168 Ah; 623 Wh / 24 V = 26 Ah a day: 6.5 days.
    near("usable", hut.banks[1].usable_now_ah, 168.0, 2.0);
    near("parked", hut.banks[1].parked.days(), 6.5, 0.2);
    // Nobody is there two days in seven: the alarm alone runs, 48 Wh. (5 × 623 + 2 × 48) / 7 = 459 Wh.
    near(
        "mean use",
        hut.months[11].use_wh,
        (5.0 * hut.needs.parked_wh + 2.0 * 48.0) / 7.0,
        1e-6,
    );
}

#[test]
fn every_form_says_the_same() {
    for name in ["orchard-van", "estuary-cutter", "hill-hut"] {
        let plan = plan(name);
        let text = assess(&plan, Form::Text, 0);
        assert!(text.code < REFUSED && text.out.contains("parked in") && text.err.is_empty());
        assert!(
            assess(&plan, Form::Markdown, 0)
                .out
                .contains("## What stores it")
        );
        let sheet = assess(&plan, Form::Markdown, 0).out;
        for part in [
            "To cut and to buy",
            "Order of work",
            "First power-up",
            "Commissioning record",
        ] {
            assert!(sheet.contains(&format!("## {part}")), "{part}");
        }
        let json: serde_json::Value =
            serde_json::from_str(&assess(&plan, Form::Json, 0).out).expect("JSON");
        assert_eq!(
            json["banks"].as_array().map(Vec::len),
            Some(plan.candidates.len())
        );
    }
}

/// A change to a plan, and what is then said, and where.
type Wrong = (fn(&mut Plan), &'static str, &'static str);

/// But for classes of insulation, which are sold by °C, and the two rules that name both.
#[test]
fn a_plan_in_inches_speaks_of_no_degree_celsius_kilogram_or_millimetre() {
    for name in ["orchard-van", "estuary-cutter", "hill-hut"] {
        let mut plan = plan(name);
        plan.units = larder::plan::Units::Imperial;
        for form in [Form::Text, Form::Markdown] {
            for line in assess(&plan, form, 0).out.lines() {
                let bare = line
                    .replace("for 105 °C", "")
                    .replace("10 mm (ISO 10133)", "");
                for unit in [" °C", " kg", " mm ", " mm.", " mm,"] {
                    assert!(!bare.contains(unit), "{name}: {line}");
                }
            }
        }
    }
}

#[test]
fn each_wrong_value_of_the_year_has_its_sentence() {
    let stay = |from: &str, to: &str| larder::plan::Stay {
        id: 900,
        from: from.into(),
        to: to.into(),
        ..larder::plan::Stay::default()
    };
    let wrong: [Wrong; 9] = [
        (
            |plan| plan.living.rhythm.iter_mut().for_each(|row| row.days = 0.0),
            "living",
            "The rhythm has no days.",
        ),
        (
            |plan| plan.living.rhythm[0].days = 2.5,
            "living/rhythm/",
            "A stretch of days can't be 2.5, a part of one.",
        ),
        (
            |plan| plan.sun.in_series = Some(1.5),
            "sun/in_series",
            "The number in series can't be 1.5, a part of one.",
        ),
        (
            |plan| plan.living.starts = "2027-13-01".into(),
            "living/starts",
            "“2027-13-01” isn't a day.",
        ),
        (
            |plan| plan.living.outdoors_c[0] = Some(-61.0),
            "living/outdoors_c/1",
            "A mean temperature can't be −61 °C.",
        ),
        (
            |plan| {
                plan.living.battery_place = larder::plan::BatteryPlace::Own;
                plan.living.battery_c = 71.0;
            },
            "living/battery_c",
            "The batteries' temperature can't be 71 °C.",
        ),
        (
            |plan| plan.sun.panels[0].watts = 0.0,
            "sun/panels/",
            "The panel's power can't be 0 W.",
        ),
        (
            |plan| {
                plan.alternator.fitted = true;
                plan.alternator.share = 1.01;
            },
            "alternator/share",
            "The charger's part of the alternator can't be 101 %.",
        ),
        (
            |plan| plan.shore.fuel_l_h = Some(-1.0),
            "shore/fuel_l_h",
            "What the generator burns can't be −1.",
        ),
    ];
    for (change, field, says) in wrong {
        let mut plan = plan("orchard-van");
        change(&mut plan);
        let faults = larder::assess(&plan).expect_err(says);
        assert!(
            faults
                .iter()
                .any(|fault| fault.field.starts_with(field) && fault.says == says),
            "{says}: {faults:?}"
        );
    }
    for (from, to, says) in [
        (
            "2027-08-26",
            "2027-08-12",
            "2027-08-12 lies before 2027-08-26.",
        ),
        ("2027-08-12", "", "A day is missing."),
        (
            "2027-12-30",
            "2028-01-03",
            "2027-12-30 to 2028-01-03 lies outside the year that starts on 2027-01-01.",
        ),
    ] {
        let mut plan = plan("orchard-van");
        plan.living.stays = vec![stay(from, to)];
        let faults = larder::assess(&plan).expect_err(says);
        assert!(
            faults.iter().any(|fault| fault.says == says),
            "{says}: {faults:?}"
        );
    }
}

#[test]
fn panels_in_series_on_a_cold_morning() {
    let mut plan = plan("orchard-van");
    plan.sun.panel_voc = Some(22.0);
    plan.sun.in_series = Some(2.0);
    plan.sun.controller_max_v = Some(50.0);
    plan.sun.coldest_c = Some(-15.0);
    let found = |plan: &Plan| {
        let report = larder::assess(plan).expect("sound");
        let grave = report
            .findings
            .iter()
            .any(|f| f.field == "sun/controller_max_v");
        (report.cold_panels.expect("known").volts, grave)
    };
    // 2 × 22 V × (1 + 0.0035 × 40 K) = 44 × 1.14 = 50.16 V: more than 50.
    let (volts, grave) = found(&plan);
    near("coldest morning [V]", volts, 50.16, 1e-9);
    assert!(grave);
    // At −14 °C 44 × 1.1365 = 50.006 V; at −13 °C 44 × 1.133 = 49.852 V, which it bears.
    plan.sun.coldest_c = Some(-14.0);
    assert!(found(&plan).1);
    plan.sun.coldest_c = Some(-13.0);
    assert!(!found(&plan).1);
    plan.sun.in_series = Some(0.0);
    let faults = larder::assess(&plan).expect_err("no panel in a row");
    assert!(
        faults.iter().any(|f| f.field == "sun/in_series"),
        "{faults:?}"
    );
}
