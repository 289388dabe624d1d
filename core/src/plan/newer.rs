//! A plan of a newer form: what this version understands of it, and the original whole.
//!
//! Such a plan is read and never changed: it is written back exactly as it came.

use super::misfit::{Misfit, misfit_says, seek};
use super::unknown::keep_unknown;
use super::{Plan, Reading, VERSION};
use serde::Deserialize;
use serde_json::Value;

/// Most paths named in a sentence.
const MOST_NAMED: usize = 6;

/// What a plan of a newer form carries beside what was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Newer {
    /// The plan as it came.
    pub whole: Value,
    /// Its version, as it says.
    pub version: f64,
    /// Paths that were not understood. A row that holds one is left out whole: half a battery would be another battery.
    pub not_understood: Vec<String>,
}

impl Newer {
    /// Says why the plan can't be changed and what is left out of it.
    pub fn says(&self) -> String {
        let why = if self.version > f64::from(VERSION) {
            "This plan comes from a newer version."
        } else {
            "This plan uses words that this version doesn't know."
        };
        format!(
            "{why} You can read it here; changes are off.{}",
            self.left_out_says()
        )
    }

    /// The sentence that refuses a plan of this version for its first unknown word.
    pub fn misfit_says(&self) -> String {
        misfit_says(&self.whole)
    }

    /// " Not understood and left out: …", or nothing where all was understood.
    pub fn left_out_says(&self) -> String {
        let named: Vec<String> = self
            .not_understood
            .iter()
            .take(MOST_NAMED)
            .map(|path| crate::words::echo(path))
            .collect();
        let more = match self.not_understood.len().saturating_sub(MOST_NAMED) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        if named.is_empty() {
            return String::new();
        }
        format!(" Not understood and left out: {}{more}.", named.join(", "))
    }
}

impl Plan {
    /// A plan of this version, without what was not understood.
    pub fn into_own(mut self) -> Self {
        if self.newer.take().is_some() {
            self.unknown.clear();
        }
        self
    }
}

fn reads(value: Value) -> bool {
    Plan::deserialize(Reading(&value)).is_ok()
}

/// Takes out of `value`, which stands at `path`, what can't be read where `around` puts it; whether the rest can.
fn prune(
    path: &str,
    value: &mut Value,
    around: &dyn Fn(Value) -> Value,
    out: &mut Vec<Misfit>,
) -> bool {
    if reads(around(value.clone())) {
        return true;
    }
    let found = out.len();
    match value {
        Value::Object(fields) => fields.retain(|name, value| {
            let slash = if path.is_empty() { "" } else { "/" };
            let around = |value| around([(name.clone(), value)].into_iter().collect());
            prune(&format!("{path}{slash}{name}"), value, &around, out)
        }),
        Value::Array(rows) if rows.iter().all(Value::is_object) => {
            let mut at = 0_usize;
            rows.retain(|row| {
                at += 1;
                let id = row.get("id").and_then(Value::as_u64).unwrap_or(at as u64);
                let misfit = seek(&format!("{path}/{id}"), row, &|row| {
                    around(Value::Array(vec![row]))
                });
                let fits = misfit.is_none();
                out.extend(misfit);
                fits
            });
        }
        _ => {}
    }
    if out.len() > found && reads(around(value.clone())) {
        return true;
    }
    if out.len() == found {
        out.extend(seek(path, value, around));
    }
    false
}

/// Reads what is understood of a plan of a newer form: a version above this one's, or words that this version doesn't know.
///
/// Gives nothing for a plan of this version with faults of another kind.
pub(crate) fn read_newer(whole: Value, version: f64) -> Option<Plan> {
    let mut value = whole.clone();
    *value.get_mut("version")? = VERSION.into();
    let mut misfits = Vec::new();
    prune("", &mut value, &|plan| plan, &mut misfits);
    let of_words = |(_, says): &Misfit| says.starts_with("unknown variant");
    if version <= f64::from(VERSION) && !misfits.iter().all(of_words) {
        return None;
    }
    let mut plan = Plan::deserialize(Reading(&value)).ok()?;
    plan.number_rows();
    keep_unknown(&mut plan, value);
    let unknown = plan.unknown_fields();
    plan.unknown.clear();
    let not_understood = misfits
        .into_iter()
        .map(|(path, _)| path)
        .chain(unknown)
        .collect();
    plan.newer = Some(Box::new(Newer {
        whole,
        version,
        not_understood,
    }));
    Some(plan)
}
