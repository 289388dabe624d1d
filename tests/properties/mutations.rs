//! Mutated plans and links, structure-aware and seeded: the same in every run. `MUTATED_PLANS=50000` runs more plans.

use super::{no_number, sensible};
use amp_larder_tests::{STARTS, Seeded};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use larder::plan::Plan;
use larder::{check, link};
use serde_json::{Map, Value, json};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::Instant;

const PLANS: u64 = 2_000;
const LINKS: u64 = 10_000;

/// What a run of mutations came to.
#[derive(Default)]
struct Tally {
    refused_on_reading: u64,
    refused_on_checking: u64,
    newer: u64,
    answered: u64,
}

/// Text that is hard to bear: control characters, changed direction, marks of other formats, very long.
fn hard_text(draw: &mut Seeded) -> String {
    match draw.one_of(9) {
        0 => String::new(),
        1 => "\u{1b}[31m\u{7}\0\r\n".into(),
        2 => "\u{202e}evil\u{2066}".into(),
        3 => "| `a` <b> # ](x)".into(),
        4 => "é".repeat(3000),
        5 => ["NaN", "Infinity", "-0", "1e999", "0x10", "١٢"][draw.one_of(6)].into(),
        6 => [
            "24:60",
            "-1:00",
            "99:99",
            "2027-02-30",
            "0000-00-00",
            "+262143-01-01",
        ][draw.one_of(6)]
        .into(),
        7 => "../../etc/\u{feff}name".into(),
        _ => "a\u{300}\u{1f600}".into(),
    }
}

/// A number at one of the ends of what JSON, a float or a counter can hold.
fn hard_number(draw: &mut Seeded) -> Value {
    const ENDS: [f64; 14] = [
        0.0,
        -0.0,
        -1.0,
        0.5,
        1e-320,
        f64::MIN_POSITIVE,
        1e-9,
        1e9,
        1e15,
        -1e15,
        1e300,
        f64::MAX,
        f64::MIN,
        4_294_967_296.0,
    ];
    match draw.one_of(18) {
        at if at < ENDS.len() => json!(ENDS[at]),
        14 => json!(u64::MAX),
        15 => json!(i64::MIN),
        16 => json!(draw.within(-1e4, 1e4)),
        _ => json!(draw.one_of(500)),
    }
}

fn hard_value(draw: &mut Seeded) -> Value {
    match draw.one_of(7) {
        0 => Value::Null,
        1 => json!(draw.unit() < 0.5),
        2 => json!([]),
        3 => json!({ "id": 1, "name": hard_text(draw) }),
        4 => json!([hard_number(draw), hard_text(draw), null]),
        5 => json!(hard_text(draw)),
        _ => hard_number(draw),
    }
}

/// Where every part of a value stands, as a JSON pointer (RFC 6901).
fn pointers(value: &Value, at: &str, out: &mut Vec<String>) {
    out.push(at.to_owned());
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                pointers(
                    value,
                    &format!("{at}/{}", name.replace('~', "~0").replace('/', "~1")),
                    out,
                );
            }
        }
        Value::Array(all) => {
            for (index, value) in all.iter().enumerate() {
                pointers(value, &format!("{at}/{index}"), out);
            }
        }
        _ => {}
    }
}

fn rename(fields: &mut Map<String, Value>, draw: &mut Seeded) {
    let Some(name) = fields.keys().nth(draw.one_of(fields.len().max(1))).cloned() else {
        return;
    };
    let value = fields.remove(&name).unwrap_or_default();
    let new = match draw.one_of(4) {
        0 => name.to_uppercase(),
        1 => format!("{name}/~{name}"),
        2 => hard_text(draw),
        _ => name.chars().rev().collect(),
    };
    // Half of the time the old one stays beside it.
    if draw.unit() < 0.5 {
        fields.insert(name, value.clone());
    }
    fields.insert(new, value);
}

/// Changes one part in a way that suits its kind.
fn mutate(plan: &mut Value, draw: &mut Seeded) {
    let mut all = Vec::new();
    pointers(plan, "", &mut all);
    let pointer = all[draw.one_of(all.len())].clone();
    let donor = plan
        .pointer(&all[draw.one_of(all.len())])
        .cloned()
        .unwrap_or_default();
    let Some(part) = plan.pointer_mut(&pointer) else {
        return;
    };
    match (part, draw.one_of(10)) {
        // The whole plan is rarely replaced: there would be little left to find.
        (part, 0) if !pointer.is_empty() => *part = hard_value(draw),
        (part, 1) if !pointer.is_empty() => *part = donor,
        (Value::Object(fields), 2..=5) => rename(fields, draw),
        (Value::Object(fields), 6 | 7) => {
            let name = fields.keys().nth(draw.one_of(fields.len().max(1))).cloned();
            fields.remove(&name.unwrap_or_default());
        }
        (Value::Object(fields), _) => {
            fields.insert(hard_text(draw), hard_value(draw));
        }
        (Value::Array(rows), 2) => rows.clear(),
        (Value::Array(rows), 3 | 4) => {
            // Rows with the same id, many of them.
            let row = rows
                .get(draw.one_of(rows.len().max(1)))
                .cloned()
                .unwrap_or(json!({}));
            rows.extend(std::iter::repeat_n(row, 1 + draw.one_of(40)));
        }
        (Value::Array(rows), 5) => rows.reverse(),
        (Value::Array(rows), _) => rows.push(hard_value(draw)),
        (Value::Number(number), 2..=6) => {
            let scaled =
                number.as_f64().unwrap_or(0.0) * [-1.0, 0.1, 2.0, 10.0, 1e3][draw.one_of(5)];
            *number = serde_json::Number::from_f64(scaled).unwrap_or(0.into());
        }
        (part @ Value::Number(_), _) => *part = hard_number(draw),
        (Value::String(word), 2..=4) => *word = word.to_uppercase(),
        (Value::String(word), 5) => word.push_str("-x"),
        (part @ Value::String(_), _) => *part = hard_text(draw).into(),
        (Value::Bool(is), _) => *is = !*is,
        (part, _) => *part = hard_value(draw),
    }
}

/// The plan to mutate: a starting point, or one with loads, sun and banks about those.
fn original(seed: u64) -> Value {
    match seed % 6 {
        at @ 0..3 => serde_json::from_str(STARTS[at as usize].1).expect("a plan"),
        _ => link::to_value(&sensible::plan(seed)),
    }
}

fn mutated(seed: u64) -> Value {
    let mut draw = Seeded(seed ^ 0x00C0_FFEE);
    let mut plan = original(seed);
    for _ in 0..1 + draw.one_of(3) {
        mutate(&mut plan, &mut draw);
    }
    plan
}

/// Where `read` holds what `written` does not. What is as assumed may be left out; an id may have been given.
fn lost(read: &Value, written: &Value, path: &str) -> Option<String> {
    match (read, written) {
        (Value::Object(read), Value::Object(written)) => read.iter().find_map(|(name, value)| {
            let path = format!("{path}/{name}");
            match written.get(name) {
                Some(written) => lost(value, written, &path),
                None => Some(path),
            }
        }),
        (Value::Array(read), Value::Array(written)) if read.len() == written.len() => {
            let mut pairs = read.iter().zip(written).enumerate();
            pairs.find_map(|(at, (read, written))| lost(read, written, &format!("{path}/{at}")))
        }
        (Value::Number(read), Value::Number(written)) if read.as_f64() == written.as_f64() => None,
        _ if read == written || path.ends_with("/id") => None,
        _ => Some(path.to_owned()),
    }
}

/// Whether a plan is read as the same one without the part at a path.
fn is_as_assumed(read: &Value, path: &str, plan: &Plan) -> bool {
    let mut without = read.clone();
    let (group, name) = path.rsplit_once('/').unwrap_or(("", path));
    if let Some(Value::Object(fields)) = without.pointer_mut(group) {
        fields.remove(name);
    }
    link::from_value(without).is_ok_and(|without| {
        let (mut without, mut plan) = (without, plan.clone());
        without.unknown.clear();
        plan.unknown.clear();
        without == plan
    })
}

/// Whether a plan passes through the text of a file: to the last bit, except that what is kept as JSON may say 12 for 12.0.
fn passes_through_text(plan: &Plan) -> bool {
    let text = link::to_text(plan);
    if let Some(newer) = &plan.newer {
        return serde_json::from_str(&text)
            .is_ok_and(|read: Value| lost(&newer.whole, &read, "").is_none());
    }
    link::from_text(&text).is_ok_and(|read| {
        let apart = |mut plan: Plan| (json!(std::mem::take(&mut plan.unknown)), plan);
        let ((read_unknown, read), (unknown, plan)) = (apart(read), apart(plan.clone()));
        read == plan && lost(&unknown, &read_unknown, "").is_none()
    })
}

fn is_sentence(says: &str) -> bool {
    says.len() > 1 && says.ends_with(['.', '?'])
}

/// What is wrong with how a plan's JSON is read, answered and written back.
fn judge(value: &Value, tally: &mut Tally) -> Option<String> {
    let plan = match link::from_text(&value.to_string()) {
        Ok(plan) => plan,
        Err(says) => {
            tally.refused_on_reading += 1;
            return (!is_sentence(&says)).then(|| format!("no sentence: {says}"));
        }
    };
    let written = link::to_value(&plan);
    if plan.newer.is_some() {
        tally.newer += 1;
        if written != *value {
            return Some("a newer plan is not written back whole".into());
        }
    } else if let Some(path) = lost(value, &written, "")
        && !is_as_assumed(value, &path, &plan)
    {
        return Some(format!("lost on the way: {path}"));
    }
    if !passes_through_text(&plan) {
        return Some("another plan after writing and reading".into());
    }
    answered(&plan, tally)
}

/// What is wrong with the answer to a plan.
fn answered(plan: &Plan, tally: &mut Tally) -> Option<String> {
    let report = match larder::assess(plan) {
        Ok(report) => report,
        Err(faults) => {
            tally.refused_on_checking += 1;
            // A draft's sentence is the plan's own, whatever it is.
            let mut own = faults
                .iter()
                .filter(|fault| !plan.drafts.contains_key(&fault.field));
            let bad = own.find(|fault| !is_sentence(&fault.says) || fault.field.is_empty());
            return match faults.is_empty() {
                true => Some("refused without a fault".into()),
                false => bad.map(|fault| format!("{fault:?}")),
            };
        }
    };
    tally.answered += 1;
    let year = larder::year(plan);
    let wrong = check::report(&report)
        .into_iter()
        .chain(year.iter().flat_map(check::year));
    let odd = || no_number(&report).or_else(|| no_number(year.as_ref()?));
    wrong
        .into_iter()
        .next()
        .or_else(odd)
        .or_else(|| bad_text(plan, &report))
}

/// What the text of a report must not hold, whatever the names in the plan.
fn bad_text(plan: &Plan, report: &larder::report::Report) -> Option<String> {
    for markdown in [false, true] {
        let text = larder::words::text(report, None, None, plan.units, &plan.currency, markdown)
            + &larder::words::sheet_text(plan, report, markdown);
        if let Some(c) = text.chars().find(|c| {
            c.is_control() && *c != '\n'
                || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        }) {
            return Some(format!("{c:?} stands in the text"));
        }
        let is_signed = |word: &str| {
            let zero = word.strip_prefix('-').or(word.strip_prefix('\u{2212}'));
            zero.is_some_and(|zero| {
                zero.starts_with('0') && zero.chars().all(|c| c == '0' || c == '.')
            })
        };
        if let Some(line) = text
            .lines()
            .find(|line| line.split_whitespace().any(is_signed))
        {
            // A name may be anything, "-0" too.
            if !plan.name.contains("-0") && !format!("{plan:?}").contains("\"-0\"") {
                return Some(format!("a zero with a sign: {line}"));
            }
        }
    }
    None
}

fn judged(seed: u64, tally: &mut Tally) -> Option<String> {
    let value = mutated(seed);
    let found = catch_unwind(AssertUnwindSafe(|| judge(&value, tally)));
    found
        .unwrap_or_else(|_| Some("panics".into()))
        .map(|wrong| format!("{seed}: {wrong}"))
}

#[test]
fn mutated_plans_are_answered_or_refused_and_lose_nothing() {
    let count =
        std::env::var("MUTATED_PLANS").map_or(PLANS, |count| count.parse().expect("a number"));
    let began = Instant::now();
    let parts: Vec<(Tally, Vec<String>)> = std::thread::scope(|scope| {
        let work = |part: u64| {
            move || {
                let mut tally = Tally::default();
                let wrong = (part..count)
                    .step_by(2)
                    .filter_map(|seed| judged(seed, &mut tally))
                    .collect();
                (tally, wrong)
            }
        };
        [0, 1]
            .map(|part| scope.spawn(work(part)))
            .map(|hand| hand.join().expect("a tally"))
            .into()
    });
    let wrong: Vec<&String> = parts.iter().flat_map(|(_, wrong)| wrong).collect();
    let sum = |of: fn(&Tally) -> u64| parts.iter().map(|(tally, _)| of(tally)).sum::<u64>();
    let (answered, read, checked, newer) = (
        sum(|tally| tally.answered),
        sum(|tally| tally.refused_on_reading),
        sum(|tally| tally.refused_on_checking),
        sum(|tally| tally.newer),
    );
    println!(
        "{count} mutated plans in {:.0} s: {answered} answered, {checked} refused by a check, {read} not read, {newer} read-only; {} wrong",
        began.elapsed().as_secs_f64(),
        wrong.len()
    );
    assert!(
        wrong.is_empty(),
        "{:#?}",
        wrong.iter().take(12).collect::<Vec<_>>()
    );
    for (kind, many) in [
        ("answered", answered),
        ("refused by a check", checked),
        ("not read", read),
        ("read-only", newer),
    ] {
        assert!(
            many * 50 > count,
            "too few are {kind} to prove anything: {many}"
        );
    }
}

/// A mutated link; the packed bytes or their text are changed, or what is packed.
fn mutated_link(seed: u64, whole: &[(Value, String)]) -> String {
    let mut draw = Seeded(seed ^ 0x0BAD_CAFE);
    let (plan, text) = &whole[draw.one_of(whole.len())];
    let pack =
        |bytes: &[u8]| URL_SAFE_NO_PAD.encode(miniz_oxide::deflate::compress_to_vec(bytes, 4));
    let mut text = text.clone().into_bytes();
    let at = draw.one_of(text.len());
    match draw.one_of(12) {
        0 => text.truncate(at),
        1 => text[at] = b"AZaz09-_+/=%. #"[draw.one_of(15)],
        2 => {
            let other = draw.one_of(text.len());
            text.swap(at, other);
        }
        3 => text.rotate_left(at),
        4 => {
            let mut plan = plan.clone();
            (0..3).for_each(|_| mutate(&mut plan, &mut draw));
            text = pack(plan.to_string().as_bytes()).into_bytes();
        }
        5 => {
            let mut bytes = plan.to_string().into_bytes();
            let at = draw.one_of(bytes.len());
            bytes[at] = (draw.one_of(256)) as u8;
            text = pack(&bytes).into_bytes();
        }
        6 if seed.is_multiple_of(20) => {
            text = pack(&vec![
                b" 0[{"[draw.one_of(4)];
                900_000 + draw.one_of(400_000)
            ])
            .into_bytes()
        }
        7 => text = pack("[".repeat(draw.one_of(3000)).as_bytes()).into_bytes(),
        8 => text.extend_from_within(at..),
        9 => text.insert(at, b" \n\t%\0"[draw.one_of(5)]),
        10 => {
            let mut packed = URL_SAFE_NO_PAD.decode(&text).expect("our own");
            let at = draw.one_of(packed.len());
            packed[at] ^= 1 << draw.one_of(8);
            text = URL_SAFE_NO_PAD.encode(packed).into_bytes();
        }
        _ => {}
    }
    let prefix = [
        "#plan=1.",
        "plan=1.",
        "https://example.org/larder/#plan=1.",
        "#plan=2.",
        "#plan=",
        "%23plan%3D1.",
        "#PLAN=1.",
        "##plan=1.",
    ];
    // Mostly a good one, so that the rest is looked at.
    let prefix = prefix[draw.one_of(30).min(prefix.len() - 1) * usize::from(draw.unit() < 0.2)];
    format!("{prefix}{}", String::from_utf8_lossy(&text))
}

/// What is wrong with how a link is read, and whether it opened.
fn judge_link(text: &str) -> (bool, Option<String>) {
    match catch_unwind(|| link::from_link(text)) {
        Ok(Ok(_)) => (true, None),
        Ok(Err(says)) => {
            let bad = !is_sentence(&says) || says.chars().count() > 400;
            (false, bad.then_some(says))
        }
        Err(_) => (false, Some("panics".into())),
    }
}

#[test]
fn mutated_links_are_a_plan_or_a_sentence() {
    let whole: Vec<(Value, String)> = (0..24)
        .map(|seed| {
            let plan = original(seed);
            let fragment = link::to_fragment(&link::from_value(plan.clone()).expect("a plan"));
            (plan, fragment[link::PREFIX.len()..].to_owned())
        })
        .collect();
    let work = &|part: u64| {
        let judged = |seed: u64| (seed, judge_link(&mutated_link(seed, &whole)));
        (part..LINKS).step_by(2).map(judged).collect::<Vec<_>>()
    };
    let judged: Vec<(u64, (bool, Option<String>))> = std::thread::scope(|scope| {
        let hands = [0, 1].map(|part| scope.spawn(move || work(part)));
        hands
            .into_iter()
            .flat_map(|hand| hand.join().expect("links"))
            .collect()
    });
    let opened = judged.iter().filter(|(_, (opened, _))| *opened).count();
    let refused = judged.len() - opened;
    let wrong: Vec<String> = judged
        .iter()
        .filter_map(|(seed, (_, wrong))| Some(format!("{seed}: {}", wrong.as_ref()?)))
        .collect();
    println!(
        "{LINKS} mutated links: {opened} opened, {refused} refused; {} wrong",
        wrong.len()
    );
    assert!(
        wrong.is_empty(),
        "{:#?}",
        wrong.iter().take(12).collect::<Vec<_>>()
    );
    assert!(
        opened > 500 && refused > 3000,
        "{opened} opened, {refused} refused: no test"
    );
}
