//! Small plans, each with the findings that must appear and those that must not: what can burn, freeze, fall or strand.
//!
//! A row of `rows.json` sets values of one plain plan, by JSON pointer. `must` and `must_not` name a finding by gravity and
//! field, `must` with a figure that it shows; `fuses` and `must_break` give a run's fuse and the interrupting rating that it needs; `keeps` names a thing in the way that no change may move or take out;
//! `never_says` is a word that no finding of the plan may use. `rule` is what the row holds, `by_hand` the arithmetic of
//! its figure.

use larder::finding::Finding;
use larder::fit::Change;
use larder::plan::{Candidate, Load, Plan, Way};
use larder::report::Report;
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    name: String,
    #[allow(dead_code)]
    rule: String,
    #[serde(default)]
    #[allow(dead_code)]
    by_hand: String,
    set: BTreeMap<String, Value>,
    #[serde(default)]
    must: Vec<Vec<String>>,
    #[serde(default)]
    must_not: Vec<Vec<String>>,
    /// Fuses by the run's name: kind and rating [A].
    #[serde(default)]
    fuses: Vec<(String, String, f64)>,
    /// Least interrupting rating by the run's name [A], within 1 %.
    #[serde(default)]
    must_break: Vec<(String, f64)>,
    never_says: Option<String>,
    keeps: Option<String>,
}

/// A plan without charge sources: one load on direct current, one AGM battery.
fn plain() -> Plan {
    let mut plan = Plan {
        loads: vec![Load {
            id: 1,
            name: "lamp".into(),
            draw: 20.0,
            way: Way::Hours,
            hours: 4.0,
            ..Load::default()
        }],
        candidates: vec![Candidate {
            id: 1,
            ..Candidate::default()
        }],
        chosen: 1,
        ..Plan::default()
    };
    (plan.sun.fitted, plan.alternator.fitted) = (false, false);
    plan
}

fn plan_of(row: &Row) -> Plan {
    let mut value = larder::link::to_value(&plain());
    for (at, set) in &row.set {
        let (parent, name) = at.rsplit_once('/').expect("a pointer");
        // A part that stands as assumed is not written.
        if parent == "/wiring" && value.get("wiring").is_none() {
            value["wiring"] = serde_json::json!({});
        }
        let parent = value.pointer_mut(parent);
        let parent = parent.unwrap_or_else(|| panic!("{}: nothing at {at}", row.name));
        parent[name] = set.clone();
    }
    larder::link::from_value(value).unwrap_or_else(|fault| panic!("{}: {fault}", row.name))
}

fn is_such(finding: &Finding, wanted: &[String]) -> bool {
    let gravity = format!("{:?}", finding.gravity).to_lowercase();
    let words = format!("{} {}", finding.says, finding.mend);
    gravity == wanted[0]
        && finding.field == wanted[1]
        && wanted.get(2).is_none_or(|figure| words.contains(figure))
}

#[test]
fn each_row_has_its_findings_and_no_others() {
    let rows: Vec<Row> = serde_json::from_str(include_str!("rows.json")).expect("rows");
    let mut wrong = Vec::new();
    for row in &rows {
        let plan = plan_of(row);
        let report = match larder::assess(&plan) {
            Ok(report) => report,
            Err(faults) => panic!("{}: refused, {faults:?}", row.name),
        };
        let found = |wanted: &Vec<String>| report.findings.iter().any(|one| is_such(one, wanted));
        for wanted in row.must.iter().filter(|wanted| !found(wanted)) {
            wrong.push(format!("{}: lacks {wanted:?}", row.name));
        }
        for unwanted in row.must_not.iter().filter(|unwanted| found(unwanted)) {
            wrong.push(format!("{}: must not have {unwanted:?}", row.name));
        }
        wrong.extend(wrong_fuses(row, &report).map(|what| format!("{}: {what}", row.name)));
        if let Some(word) = &row.never_says {
            let said = |one: &&Finding| one.says.contains(word) || one.mend.contains(word);
            let said = report.findings.iter().filter(said);
            wrong.extend(said.map(|one| format!("{}: says “{word}”: {}", row.name, one.says)));
        }
        if let Some(thing) = &row.keeps {
            wrong.extend(moves(&plan, thing).map(|way| format!("{}: {way}", row.name)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(rows.len() >= 40, "{} rows", rows.len());
}

/// Where a row's fuses and interrupting ratings are not those of the report.
fn wrong_fuses(row: &Row, report: &Report) -> impl Iterator<Item = String> {
    let carries = &report.carries;
    let run = |name: &str| {
        let mut all = carries.runs.iter().chain(&carries.branches);
        all.find(|run| run.name == name)
    };
    let mut wrong = Vec::new();
    for (name, kind, rating_a) in &row.fuses {
        let fuse = run(name).and_then(|run| run.fuse);
        let found = fuse.map(|fuse| {
            (
                serde_json::to_value(fuse.kind).expect("a kind"),
                fuse.rating_a,
            )
        });
        if found != Some((Value::from(kind.as_str()), *rating_a)) {
            wrong.push(format!("{name}: {found:?}, not {kind} {rating_a} A"));
        }
    }
    for (name, wanted_a) in &row.must_break {
        let found_a = run(name).map_or(f64::INFINITY, |run| run.must_break_a);
        if (found_a / wanted_a - 1.0).abs() > 0.01 {
            wrong.push(format!("{name}: must break {found_a} A, not {wanted_a} A"));
        }
    }
    wrong.into_iter()
}

/// Whether an answer has a finding at a field.
fn has(findings: &[Finding], field: &str) -> bool {
    findings.iter().any(|one| one.field == field)
}

#[test]
fn a_bank_that_lasts_less_than_wanted_is_a_finding() {
    let mut plan = plain();
    let lasts = larder::assess(&plan).expect("an answer").banks[0]
        .parked
        .days();
    for (times, missed) in [(0.95, false), (1.05, true)] {
        plan.wanted_days = lasts * times;
        let report = larder::assess(&plan).expect("an answer");
        assert_eq!(has(&report.findings, "plan/wanted_days"), missed, "{times}");
    }
}

#[test]
fn more_than_twenty_short_days_of_a_year_are_a_finding() {
    let mut plan = plain();
    plan.sun.fitted = true;
    let (mut few, mut many) = (0, 0);
    for watts in [40.0, 60.0, 80.0, 100.0, 120.0, 140.0, 160.0, 200.0] {
        plan.sun.panels[0].watts = watts;
        let report = larder::assess(&plan).expect("an answer");
        let year = larder::year(&plan).expect("a year");
        let short = year.banks[0].short_days;
        let found = has(&larder::year_findings(&report, &year), "months");
        assert_eq!(found, short > 20, "{watts} W: {short} days");
        (few, many) = (few + u32::from(!found), many + u32::from(found));
    }
    assert!(few > 0 && many > 0, "{few} {many}");
}

/// What may be proposed on a sizing map, for a plan with one battery of 30 kg and 100 W.
#[test]
fn a_sizing_map_stays_within_the_space_and_the_roof() {
    let map = |plan: &Plan| {
        let inputs = larder::import(plan).expect("sound");
        let wanted = larder::Wanted {
            years: 0,
            until_narrow: false,
            map: Some(3.0),
            draws: 0,
        };
        let mut survey = larder::Survey::new(&inputs, wanted);
        let mut bench = larder::Bench::new(inputs);
        while let Some(job) = survey.next_job() {
            let numbers = bench.work(job);
            survey.put(job, &numbers);
        }
        let map = survey.map().expect("panels");
        assert!(map.cells.iter().all(|cell| cell.days.is_some()), "{map:?}");
        map
    };
    let mut plan = plain();
    plan.sun.fitted = true;
    plan.sun.panels[0].watts = 100.0;
    plan.loads[0].draw = 40.0;
    // Not measured: three batteries weigh 90 kg, four 120.
    let open = map(&plan);
    assert_eq!((open.most_strings, open.strings.len()), (3, 3));
    assert_eq!(open.watts.last(), Some(&600.0));
    // Measured: two of 330 x 173 x 240 with gaps go into 400 x 400, whatever they weigh; the plan's own four stay on the map.
    plan.locker.measured = true;
    plan.locker.inside_mm = [400.0, 400.0, 300.0];
    plan.candidates[0].parallel = 4.0;
    plan.sun.panels[0].watts = 300.0;
    let tight = map(&plan);
    assert_eq!((tight.most_strings, tight.strings.len()), (2, 4));
    assert!((900.0..=1000.0).contains(tight.watts.last().expect("columns")));
    assert!(tight.ways().iter().all(|(strings, _)| *strings <= 2));
    // None fits: nothing is proposed.
    plan.locker.inside_mm = [300.0, 160.0, 200.0];
    let none = map(&plan);
    assert_eq!((none.most_strings, none.ways().len()), (0, 0));
    assert!(larder::words::map_says(&none).contains("none is proposed"));
}

/// Changes that would move or take out a thing.
fn moves(plan: &Plan, thing: &str) -> impl Iterator<Item = String> {
    let space = larder::space(plan).expect("a measured locker");
    let mut ways = Vec::new();
    for bank in &space.banks {
        let at = bank.things.iter().position(|(name, _)| name == thing);
        let changes = bank.takes.iter().flat_map(|takes| &takes.ways);
        for change in changes.flat_map(|way| &way.changes) {
            if let Change::Move { obstacle, .. } | Change::Remove { obstacle } = change
                && Some(*obstacle) == at
            {
                ways.push(format!("{change:?}"));
            }
        }
    }
    ways.into_iter()
}

/// A starting point may show a danger, but only one that it is there to show.
#[test]
fn the_starting_points_have_no_other_grave_findings() {
    let mut grave = Vec::new();
    for (name, text) in amp_larder_tests::STARTS {
        let plan = larder::link::from_text(text).expect("a plan");
        let report = larder::assess(&plan).expect("an answer");
        let found = report.findings.iter();
        let found = found.filter(|one| one.gravity == larder::finding::Gravity::Grave);
        grave.extend(found.map(|one| (name, one.field.clone())));
    }
    // The cutter compares flooded batteries with lithium behind the relay that it has.
    assert_eq!(grave, [("estuary-cutter", "alternator/link".to_owned())]);
}
