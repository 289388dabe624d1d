//! What a choice implies, as reports say it.

use larder::plan::{Candidate, Load, Plan, Rig, Way};
use larder::{assess, words};

fn plan(load: Load) -> Plan {
    Plan {
        loads: vec![Load {
            id: 1,
            name: "lamp".into(),
            ..load
        }],
        candidates: vec![Candidate {
            id: 2,
            ..Candidate::default()
        }],
        ..Plan::default()
    }
}

fn window(hours: f64, from: &str, to: &str) -> Plan {
    plan(Load {
        draw: 12.0,
        hours,
        from: from.into(),
        to: to.into(),
        ..Load::default()
    })
}

#[test]
fn hours_longer_than_their_window_widen_it_and_a_note_says_so() {
    let report = assess(&window(5.0, "22:00", "23:00")).unwrap();
    // Five hours at 12 W, from 22:00 to 03:00.
    assert!((report.needs.parked_wh - 60.0).abs() < 1e-9);
    let hours = report.needs.hourly_w;
    assert!((hours[2] - 12.0).abs() < 1e-9 && hours[3] == 0.0 && hours[21] == 0.0);
    let note = report
        .findings
        .iter()
        .find(|found| found.field == "loads/1/to")
        .unwrap();
    assert!(
        note.says
            .contains("runs 5 h, which is longer than from 22:00 to 23:00")
    );
    assert!(note.mend.contains("until 03:00"), "{}", note.mend);
    let fits = assess(&window(1.0, "22:00", "23:00")).unwrap();
    assert!(
        fits.findings
            .iter()
            .all(|found| found.field != "loads/1/to")
    );
    let all_day = assess(&window(24.0, "22:00", "23:00")).unwrap();
    assert!((all_day.needs.parked_wh - 288.0).abs() < 1e-9);
}

#[test]
fn more_runs_than_a_day_has_room_for_are_refused() {
    let load = |runs| Load {
        way: Way::Runs,
        runs,
        minutes: 60.0,
        from: "10:00".into(),
        to: "12:00".into(),
        ..Load::default()
    };
    assert!(assess(&plan(load(24.0))).is_ok());
    let faults = assess(&plan(load(25.0))).unwrap_err();
    assert_eq!(faults[0].field, "loads/1/minutes");
    assert!(faults[0].says.contains("can't run 25 h a day"));
}

#[test]
fn six_runs_of_two_and_a_half_minutes_are_fifteen() {
    let pump = plan(Load {
        way: Way::Runs,
        runs: 6.0,
        minutes: 2.5,
        ..Load::default()
    });
    let report = assess(&pump).unwrap();
    let note = words::load_note(&report.needs.rows[0], report.month);
    assert_eq!(note.as_deref(), Some("runs about 15 min"));
}

#[test]
fn a_boat_motors_and_never_drives() {
    let mut boat = window(5.0, "18:00", "23:00");
    boat.rig = Rig::Boat;
    let text = |plan: &Plan| {
        let report = assess(plan).unwrap();
        words::text(&report, None, None, plan.units, &plan.currency, false)
    };
    let says = text(&boat);
    assert!(
        says.contains("motoring") && !says.contains("riving"),
        "{says}"
    );
    boat.rig = Rig::Van;
    assert!(text(&boat).contains("driving"));
}
