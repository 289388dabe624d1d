//! Plans and links of every form so far open with the same figures, unless a recorded reason says otherwise; see `README.md`.

use larder::plan::Plan;
use larder::{check, link};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Figures by name; null where a change took one away.
type Figures = Map<String, Value>;

fn folders() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden");
    let entries = std::fs::read_dir(root)
        .expect("the folder of golden plans")
        .flatten();
    let mut folders: Vec<PathBuf> = entries
        .map(|entry| entry.path())
        .filter(|path| path.is_dir())
        .collect();
    folders.sort();
    folders
}

/// The plan files of a folder, as text by name.
fn plans(folder: &Path) -> BTreeMap<String, String> {
    let entries = std::fs::read_dir(folder)
        .expect("a folder")
        .flatten()
        .map(|entry| entry.path());
    let files = entries.filter(|path| path.extension().is_some_and(|ending| ending == "json"));
    let read = |path: PathBuf| {
        let name = path
            .file_stem()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        (name, std::fs::read_to_string(path).expect("a plan"))
    };
    files.map(read).collect()
}

/// A number to three significant digits: finer changes are noise in a report.
fn rounded(value: f64) -> Value {
    if value == 0.0 || !value.is_finite() {
        return json!(value);
    }
    let text = format!("{value:.2e}");
    json!(text.parse::<f64>().expect("a number"))
}

/// The key figures of a plan's report, flat; of a plan that is refused, the fields at fault.
fn figures(plan: &Plan) -> Figures {
    let mut out = Figures::new();
    let report = match larder::assess(plan) {
        Ok(report) => report,
        Err(faults) => {
            let fields: Vec<&str> = faults.iter().map(|fault| fault.field.as_str()).collect();
            out.insert("refused at".into(), json!(fields));
            return out;
        }
    };
    assert_eq!(check::report(&report), Vec::<String>::new());
    let mut number = |name: String, value: f64| out.insert(name, rounded(value));
    number("parked use [Wh a day]".into(), report.needs.parked_wh);
    number("mean use [Wh a day]".into(), report.needs.mean_wh);
    number("inverter [W]".into(), report.needs.least_inverter_w);
    for month in report
        .months
        .iter()
        .filter(|month| matches!(month.month, 1 | 7))
    {
        number(
            format!("month {}: sun [Wh a day]", month.month),
            month.sun_wh,
        );
        number(
            format!("month {}: driving [Wh a day]", month.month),
            month.alternator_wh,
        );
        number(
            format!("month {}: hook-up [Wh a day]", month.month),
            month.shore_wh,
        );
        number(
            format!("month {}: left [Wh a day]", month.month),
            month.left_wh,
        );
    }
    for bank in &report.banks {
        number(format!("bank {}: usable [Ah]", bank.id), bank.usable_now_ah);
        number(
            format!("bank {}: parked [days]", bank.id),
            bank.parked.days(),
        );
    }
    let year = larder::year(plan).expect("a sound plan has a year");
    for bank in &year.banks {
        number(
            format!("bank {}: short days", bank.id),
            f64::from(bank.short_days),
        );
        number(format!("bank {}: life [years]", bank.id), bank.life.years);
    }
    let whole = serde_json::to_value(&report).expect("JSON");
    for (bank, json) in report
        .banks
        .iter()
        .zip(whole["banks"].as_array().expect("banks"))
    {
        let outcome = &json["fit"]["outcome"];
        let word = outcome
            .as_str()
            .or_else(|| Some(outcome.as_object()?.keys().next()?.as_str()));
        out.insert(
            format!("bank {}: in the locker", bank.id),
            json!(word.unwrap_or("not looked at")),
        );
    }
    for run in report.carries.runs.iter() {
        let cable = run
            .sized
            .as_ref()
            .map_or("none".into(), |sized| format!("{} AWG", sized.awg));
        let fuse = run
            .fuse
            .as_ref()
            .map_or("no fuse".into(), |fuse| format!("{} A fuse", fuse.rating_a));
        out.insert(
            format!("run {}", run.name),
            json!(format!("{cable}, {fuse}")),
        );
    }
    let mut findings: Vec<String> = report
        .findings
        .iter()
        .map(|one| format!("{:?} {}", one.gravity, one.field))
        .collect();
    findings.sort();
    out.insert("findings".into(), json!(findings));
    out
}

/// The figures on record: the first ones, with every recorded change laid over them.
fn on_record(record: &Value) -> Figures {
    let mut figures = record["first"].as_object().cloned().unwrap_or_default();
    for change in record["changes"].as_array().into_iter().flatten() {
        let because = change["because"].as_str().unwrap_or_default();
        assert!(
            because.trim().len() > 5,
            "a change of figures has its reason: {change}"
        );
        for (name, value) in change["figures"].as_object().expect("figures") {
            match value {
                Value::Null => figures.remove(name),
                _ => figures.insert(name.clone(), value.clone()),
            };
        }
    }
    figures
}

/// What differs between two sets of figures: the new value, or null where there is none.
fn differing(recorded: &Figures, found: &Figures) -> Figures {
    let names = recorded.keys().chain(found.keys());
    let changed = names.filter(|name| recorded.get(*name) != found.get(*name));
    changed
        .map(|name| (name.clone(), found.get(name).cloned().unwrap_or_default()))
        .collect()
}

/// Compares a plan's figures with those on record, or puts them there; gives what differs.
fn compare(folder: &Path, name: &str, found: &Figures, reason: Option<&str>) -> Option<String> {
    let file = folder.join("figures").join(format!("{name}.json"));
    let text = std::fs::read_to_string(&file).ok();
    let record: Option<Value> = text.map(|text| serde_json::from_str(&text).expect("JSON"));
    let recorded = record.as_ref().map(on_record).unwrap_or_default();
    let changed = differing(&recorded, found);
    if changed.is_empty() {
        return None;
    }
    let Some(reason) = reason else {
        let was: Vec<String> = changed
            .iter()
            .map(|(figure, is)| {
                format!(
                    "  {figure}: {} became {is}",
                    recorded.get(figure).unwrap_or(&Value::Null)
                )
            })
            .collect();
        return Some(format!("{}:\n{}", file.display(), was.join("\n")));
    };
    let record = match record {
        None => json!({ "first": found, "changes": [] }),
        Some(mut record) => {
            record["changes"]
                .as_array_mut()
                .expect("changes")
                .push(json!({ "because": reason, "figures": changed }));
            record
        }
    };
    std::fs::create_dir_all(folder.join("figures")).expect("a folder");
    std::fs::write(
        file,
        serde_json::to_string_pretty(&record).expect("JSON") + "\n",
    )
    .expect("written");
    None
}

#[test]
fn old_plans_open_with_the_same_figures() {
    let reason = std::env::var("UPDATE_GOLDEN").ok();
    let mut wrong = Vec::new();
    let mut count = 0;
    for folder in folders() {
        for (name, text) in plans(&folder) {
            let plan = link::from_text(&text).unwrap_or_else(|says| panic!("{name}: {says}"));
            assert!(
                plan.newer.is_none(),
                "{name} is not newer than this program"
            );
            wrong.extend(compare(&folder, &name, &figures(&plan), reason.as_deref()));
            count += 1;
        }
    }
    assert!(count >= 7, "{count} plans");
    assert!(
        wrong.is_empty(),
        "Figures of old plans changed. Where that is intended, record it as tests/golden/README.md says.\n{}",
        wrong.join("\n")
    );
}

#[test]
fn old_links_open_as_their_plans() {
    let mut count = 0;
    for folder in folders() {
        let plans = plans(&folder);
        let links = std::fs::read_to_string(folder.join("links.txt")).expect("links");
        for line in links.lines() {
            let (name, address) = line.split_once(' ').expect("a name and a link");
            let plan = link::from_link(address).unwrap_or_else(|says| panic!("{name}: {says}"));
            assert_eq!(
                plan,
                link::from_text(&plans[name]).expect("a plan"),
                "{name}"
            );
            count += 1;
        }
        for name in plans.keys() {
            assert!(
                links
                    .lines()
                    .any(|line| line.starts_with(&format!("{name} "))),
                "{name} has no link"
            );
        }
    }
    assert!(count >= 9, "{count} links");
}

#[test]
fn a_changed_figure_is_seen_and_a_recorded_change_is_taken() {
    let record = json!({ "first": { "a": 1, "b": 2 }, "changes": [{ "because": "the source was wrong", "figures": { "a": 3, "b": null } }] });
    let recorded = on_record(&record);
    assert_eq!(recorded, *json!({ "a": 3 }).as_object().expect("figures"));
    let found = json!({ "a": 3, "c": 4 });
    assert_eq!(
        differing(&recorded, found.as_object().expect("figures")),
        *json!({ "c": 4 }).as_object().expect("figures")
    );
    assert_eq!(rounded(1234.56), json!(1230.0));
}
