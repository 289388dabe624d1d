//! Keeping plans in the browser: a versioned envelope around each, and nothing ever overwritten that can't be read.

use crate::browser::store::{self, Area, Refusal};
use larder::link;
use larder::plan::Plan;
use larder::units::NumberFormat;
use serde_json::{Value, json};

/// Version of the envelope.
const ENVELOPE: u64 = 1;
const PLANS: &str = "amp-larder/plan/";
/// What a copy has after its name.
pub const COPY: &str = " (copy)";
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

/// Unpacks the text of an envelope.
fn unpack_text(id: &str, text: &str) -> Result<Kept, String> {
    let value = serde_json::from_str(text).map_err(|_| "its text is damaged".to_owned())?;
    unpack(id, &value)
}

/// The plan in a file: a plan as it is downloaded, or text that was set aside.
///
/// # Errors
/// A sentence that says why it can't be read here.
pub fn from_file(text: &str) -> Result<Plan, String> {
    match serde_json::from_str::<Value>(text) {
        Ok(value) if value.get("envelope").is_some() => unpack("", &value).map(|kept| kept.plan),
        _ => link::from_text(text),
    }
}

/// Reads one plan by its name in the store; none where there is none.
pub fn read(id: &str) -> Option<Result<Kept, String>> {
    match store::read(Area::Local, &format!("{PLANS}{id}")) {
        Ok(text) => text.map(|text| unpack_text(id, &text)),
        Err(_) => Some(Err("the browser refuses to read it".into())),
    }
}

/// Moves text to a key that is free. True where it is stored there.
fn move_aside(from: &str, id: &str, text: &str) -> bool {
    let Ok(taken) = store::keys(ASIDE) else {
        return false;
    };
    let first = format!("{ASIDE}{id}");
    let next = (2..).map(|nth: u32| format!("{first}-{nth}"));
    let mut names = std::iter::once(first.clone()).chain(next);
    let free = names.find(|key| !taken.contains(key)).unwrap_or(first);
    let moved = store::write(Area::Local, &free, text).is_ok();
    // Where the browser refuses to remove the first one, the text is there twice.
    if moved {
        let _ = store::remove(from);
    }
    moved
}

/// Reads every plan; what can't be read is set aside under a name of its own.
pub fn read_all() -> Found {
    let mut found = Found::default();
    let refused =
        "This browser refuses to read its stored plans. Load the page again to try once more.";
    let Ok(keys) = store::keys(PLANS) else {
        found.troubles.push(refused.to_owned());
        return found;
    };
    for key in keys {
        let id = key.strip_prefix(PLANS).unwrap_or(&key).to_owned();
        let text = match store::read(Area::Local, &key) {
            Ok(Some(text)) => text,
            Ok(None) => continue,
            Err(_) => {
                found.troubles.push(refused.to_owned());
                continue;
            }
        };
        let why = match unpack_text(&id, &text) {
            Ok(kept) => {
                found.plans.push(kept);
                continue;
            }
            Err(why) => why,
        };
        let kept = move_aside(&key, &id, &text);
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

/// What was set aside: its name and its text, byte for byte.
pub fn set_aside() -> Vec<(String, String)> {
    let read = |key: String| {
        let text = store::read(Area::Local, &key).ok().flatten()?;
        Some((key.strip_prefix(ASIDE).unwrap_or(&key).to_owned(), text))
    };
    let keys = store::keys(ASIDE).unwrap_or_default();
    keys.into_iter().filter_map(read).collect()
}

/// Keeps a plan.
///
/// # Errors
/// Where the browser refuses.
pub fn keep(id: &str, plan: &Plan, good: Option<&Plan>, now_ms: f64) -> Result<(), Refusal> {
    let text = link::to_line(&envelope(plan, good, now_ms));
    store::write(Area::Local, &format!("{PLANS}{id}"), &text)
}

/// Removes a plan from the store.
///
/// # Errors
/// Where the browser refuses; the plan stays.
pub fn forget(id: &str) -> Result<(), Refusal> {
    store::remove(&format!("{PLANS}{id}"))
}

/// Saves a plan that waited for room, under its own id; where a newer one has been saved under that id meanwhile, as a copy beside
/// it.
///
/// # Errors
/// Where the browser refuses.
pub fn keep_late(left: &Kept, now_ms: f64) -> Result<(), Refusal> {
    let key = format!("{PLANS}{}", left.id);
    let stored = store::read(Area::Local, &key)?;
    let stored = stored.and_then(|text| unpack_text(&left.id, &text).ok());
    if stored.is_none_or(|stored| stored.saved_ms <= left.saved_ms) {
        return keep(&left.id, &left.plan, left.good.as_ref(), left.saved_ms);
    }
    let mut copy = left.plan.clone();
    copy.name.push_str(COPY);
    keep(&fresh_id(now_ms), &copy, left.good.as_ref(), left.saved_ms)
}

/// Text that is stored as a JSON string.
fn read_word(from: Area, key: &str) -> Option<String> {
    let text = store::read(from, key).ok().flatten()?;
    serde_json::from_str(&text).ok()
}

/// The plan that this tab had open; in a fresh tab, the one that any tab opened last.
pub fn last_open() -> Option<String> {
    read_word(Area::Tab, OPEN).or_else(|| read_word(Area::Local, OPEN))
}

/// Whether this tab remembers a plan as its open one.
pub fn is_open_here(id: &str) -> bool {
    read_word(Area::Tab, OPEN).as_deref() == Some(id)
}

/// Remembers which plan this tab has open; a browser that refuses says so when the plan is saved.
pub fn remember_open(id: &str) {
    let word = link::to_line(&Value::from(id));
    let _ = store::write(Area::Tab, OPEN, &word);
    let _ = store::write(Area::Local, OPEN, &word);
}

/// The colours that were chosen; `boot.js` puts them on before the page stands.
pub fn colours() -> Option<String> {
    read_word(Area::Local, COLOURS)
}

/// Remembers which colours were chosen; where the browser refuses they hold until it is closed.
pub fn remember_colours(colours: &str) {
    let _ = store::write(Area::Local, COLOURS, &link::to_line(&Value::from(colours)));
}

/// The number format that was chosen on this device.
pub fn number_format() -> Option<NumberFormat> {
    let sample = read_word(Area::Local, NUMBERS)?;
    NumberFormat::ALL
        .into_iter()
        .find(|format| format.sample() == sample)
}

/// Keeps the number format that was chosen; where the browser refuses, it holds until the page is closed.
pub fn remember_number_format(format: NumberFormat) {
    let word = link::to_line(&Value::from(format.sample()));
    let _ = store::write(Area::Local, NUMBERS, &word);
}

/// The id of the plan that a store key names.
pub fn id_of_key(key: &str) -> Option<&str> {
    key.strip_prefix(PLANS)
}

/// A name for a plan in the store that nothing there has.
pub fn fresh_id(now_ms: f64) -> String {
    let taken = store::keys(PLANS).unwrap_or_default();
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
        assert!(unpack("7", &json!({"envelope": 1, "plan": []})).is_err());
        // A plan of a newer version is read as far as it is understood, and kept whole.
        let newer = unpack("7", &json!({"envelope": 1, "plan": {"version": 9}}));
        assert!(newer.is_ok_and(|kept| kept.plan.newer.is_some()));
    }
}
