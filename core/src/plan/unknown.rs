//! What a plan file holds that this version does not know is kept and written back, so that a plan passes through whole.

use super::Plan;
use serde_json::Value;

/// The row of an id, or the n-th element of a plain list.
fn step<'a>(value: &'a mut Value, step: &str) -> Option<&'a mut Value> {
    match value {
        Value::Object(fields) => fields.get_mut(step),
        Value::Array(rows) => {
            let id: u64 = step.parse().ok()?;
            rows.iter_mut()
                .find(|row| row.get("id").and_then(Value::as_u64) == Some(id))
        }
        _ => None,
    }
}

/// Gathers what stands in `read` and not in `known`.
fn gather(read: Value, known: &mut Value, path: &str, plan: &mut Plan) {
    match (read, known) {
        (Value::Object(read), Value::Object(known)) => {
            for (name, value) in read {
                let path = if path.is_empty() {
                    name.clone()
                } else {
                    format!("{path}/{name}")
                };
                match known.get_mut(&name) {
                    Some(known) => gather(value, known, &path, plan),
                    None => {
                        plan.unknown.insert(path, value);
                    }
                }
            }
        }
        (Value::Array(read), known @ Value::Array(_)) => {
            for row in read {
                let Some(id) = row.get("id").and_then(Value::as_u64) else {
                    continue;
                };
                if let Some(known) = step(known, &id.to_string()) {
                    gather(row, known, &format!("{path}/{id}"), plan);
                }
            }
        }
        _ => {}
    }
}

/// Keeps in a plan what the text that it was read from holds beside it.
pub(crate) fn keep_unknown(plan: &mut Plan, read: Value) {
    let mut known = serde_json::to_value(&*plan).unwrap_or_default();
    gather(read, &mut known, "", plan);
}

/// Writes what was kept back where it stood; what stood in a row that is gone went with it.
pub(crate) fn put_back(plan: &Plan, whole: &mut Value) {
    for (path, value) in &plan.unknown {
        let (place, name) = path.rsplit_once('/').unwrap_or(("", path));
        let place = place
            .split('/')
            .filter(|s| !s.is_empty())
            .try_fold(&mut *whole, |at, name| step(at, name));
        if let Some(Value::Object(fields)) = place {
            fields.entry(name).or_insert_with(|| value.clone());
        }
    }
}
