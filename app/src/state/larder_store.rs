//! Keeping plans in the browser: a versioned envelope around each, and nothing ever overwritten that can't be read.

use crate::browser::store::{self, Refusal, Stored};
use larder::link;
use larder::plan::Plan;
use larder::units::NumberFormat;
use serde_json::{Value, json};

/// Version of the envelope.
const ENVELOPE: u64 = 1;
const PLANS: &str = "amp-larder/plan/";
const ASIDE: &str = "amp-larder/aside/";
const OPEN: &str = "amp-larder/open";
const COLOURS: &str = "amp-larder/colours";
const NUMBERS: &str = "amp-larder/numbers";

/// A plan out of the store.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// Its name in the store.
    pub id: String,
    /// The plan.
    pub plan: Plan,
    /// The last plan that had an answer, where this one has none.
    pub good: Option<Plan>,
    /// When it was kept [ms since 1970].
    pub saved_ms: f64,
}

/// What became of reading the store.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Found {
    /// What could be read, newest first.
    pub plans: Vec<Kept>,
    /// What could not, in a sentence each.
    pub troubles: Vec<String>,
}

/// Packs a plan for the store.
fn envelope(plan: &Plan, good: Option<&Plan>, saved_ms: f64) -> Value {
    json!({ "envelope": ENVELOPE, "saved_ms": saved_ms, "plan": link::to_value(plan), "good": good.map(link::to_value) })
}

/// Unpacks what the store held.
///
/// # Errors
/// A sentence that says why it can't be read here.
fn unpack(id: &str, value: &Value) -> Result<Kept, String> {
    if value
        .get("envelope")
        .and_then(Value::as_u64)
        .is_none_or(|version| version > ENVELOPE)
    {
        return Err("it was kept by a newer or another program".into());
    }
    let plan = link::from_value(value.get("plan").cloned().unwrap_or_default())?;
    let good = value.get("good").filter(|good| !good.is_null());
    Ok(Kept {
        id: id.to_owned(),
        plan,
        good: good.and_then(|good| link::from_value(good.clone()).ok()),
        saved_ms: value.get("saved_ms").and_then(Value::as_f64).unwrap_or(0.0),
    })
}

/// Reads one plan by its name in the store.
pub fn read(id: &str) -> Option<Result<Kept, String>> {
    let key = format!("{PLANS}{id}");
    Some(match store::read(&key)? {
        Stored::Json(value) => unpack(id, &value),
        Stored::Unreadable(_) => Err("its text is damaged".into()),
    })
}

/// Reads every plan; what can't be read is set aside under a name of its own.
pub fn read_all() -> Found {
    let mut found = Found::default();
    for key in store::keys(PLANS) {
        let id = key.trim_start_matches(PLANS).to_owned();
        let (why, text) = match store::read(&key) {
            None => continue,
            Some(Stored::Json(value)) => match unpack(&id, &value) {
                Ok(kept) => {
                    found.plans.push(kept);
                    continue;
                }
                Err(why) => (why, link::to_line(&value)),
            },
            Some(Stored::Unreadable(text)) => ("its text is damaged".to_owned(), text),
        };
        let kept = store::set_aside(&key, &format!("{ASIDE}{id}"), &text);
        found.troubles.push(format!(
            "A plan in this browser can't be opened: {}. {}",
            why.trim_end_matches('.'),
            if kept {
                "It is set aside, untouched; save it as a file from “Plans”."
            } else {
                "It stays where it is, untouched."
            }
        ));
    }
    let newest: Vec<f64> = found.plans.iter().map(|kept| -kept.saved_ms).collect();
    let order = larder::numeric::order(&newest).into_iter();
    found.plans = order
        .filter_map(|at| found.plans.get(at).cloned())
        .collect();
    found
}

/// What was set aside: its name and its text as it stood.
pub fn set_aside() -> Vec<(String, String)> {
    let read = |key: String| {
        let text = match store::read(&key)? {
            Stored::Json(value) => link::to_line(&value),
            Stored::Unreadable(text) => text,
        };
        Some((key.trim_start_matches(ASIDE).to_owned(), text))
    };
    store::keys(ASIDE).into_iter().filter_map(read).collect()
}

/// Keeps a plan.
///
/// # Errors
/// Where the browser refuses.
pub fn keep(id: &str, plan: &Plan, good: Option<&Plan>, now_ms: f64) -> Result<(), Refusal> {
    store::write(&format!("{PLANS}{id}"), &envelope(plan, good, now_ms))
}

/// Forgets a plan.
pub fn forget(id: &str) {
    store::remove(&format!("{PLANS}{id}"));
}

/// The plan that was open last.
pub fn last_open() -> Option<String> {
    match store::read(OPEN)? {
        Stored::Json(Value::String(id)) => Some(id),
        _ => None,
    }
}

/// Remembers which plan is open; a browser that refuses has said so when the plan was kept.
pub fn remember_open(id: &str) {
    let _ = store::write(OPEN, &Value::from(id));
}

/// The colours that were chosen; `boot.js` puts them on before the page stands.
pub fn colours() -> Option<String> {
    match store::read(COLOURS)? {
        Stored::Json(Value::String(colours)) => Some(colours),
        _ => None,
    }
}

/// Remembers which colours were chosen; where the browser refuses they hold until it is closed.
pub fn remember_colours(colours: &str) {
    let _ = store::write(COLOURS, &Value::from(colours));
}

/// The number format that was chosen on this device.
pub fn number_format() -> Option<NumberFormat> {
    match store::read(NUMBERS)? {
        Stored::Json(Value::String(sample)) => NumberFormat::ALL
            .into_iter()
            .find(|format| format.sample() == sample),
        _ => None,
    }
}

/// Keeps the number format that was chosen; where the browser refuses, it holds until the page is closed.
pub fn remember_number_format(format: NumberFormat) {
    let _ = store::write(NUMBERS, &Value::from(format.sample()));
}

/// The id of the plan that a store key names.
pub fn id_of_key(key: &str) -> Option<&str> {
    key.strip_prefix(PLANS)
}

/// A name for a plan in the store that nothing there has.
pub fn fresh_id(now_ms: f64) -> String {
    let taken = store::keys(PLANS);
    let mut at = now_ms.max(0.0) as u64;
    loop {
        let id = format!("{at:x}");
        if !taken.iter().any(|key| key.ends_with(&format!("/{id}"))) {
            return id;
        }
        at += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_envelope_gives_back_what_it_holds() {
        let plan = Plan {
            name: "boat".into(),
            ..Plan::default()
        };
        let kept = unpack("7", &envelope(&plan, Some(&Plan::default()), 5.0)).unwrap();
        assert_eq!(
            (kept.plan, kept.good, kept.saved_ms),
            (plan, Some(Plan::default()), 5.0)
        );
    }

    #[test]
    fn what_is_no_envelope_is_refused() {
        assert!(unpack("7", &json!({"envelope": 2})).is_err());
        assert!(unpack("7", &json!([])).is_err());
        assert!(unpack("7", &json!({"envelope": 1, "plan": {"version": 9}})).is_err());
    }
}
