//! What a plan file holds that this version does not know is kept and written back, so that a plan passes through whole.

use super::{Plan, Reading};
use serde::Deserialize;
use serde_json::Value;

/// A field's name as it stands in a path (RFC 6901).
fn in_path(name: &str) -> String {
    name.replace('~', "~0").replace('/', "~1")
}

/// Back from that.
fn from_path(step: &str) -> String {
    step.replace("~1", "/").replace("~0", "~")
}

/// The field of a name, or the row of an id.
fn step<'a>(value: &'a mut Value, step: &str) -> Option<&'a mut Value> {
    match value {
        Value::Object(fields) => fields.get_mut(&from_path(step)),
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
                    in_path(&name)
                } else {
                    format!("{path}/{}", in_path(&name))
                };
                match known.get_mut(&name) {
                    Some(known) => gather(value, known, &path, plan),
                    None => {
                        plan.unknown.insert(path, value);
                    }
                }
            }
        }
        // Rows stand in the order of the file; an id may have been given on reading.
        (Value::Array(read), Value::Array(known)) => {
            for (row, known) in read.into_iter().zip(known) {
                if let Some(id) = known.get("id").and_then(Value::as_u64) {
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

impl Plan {
    /// Paths of the fields that this version doesn't know. What is kept can also be a known field that is not written while it
    /// is as assumed; such are left out here.
    pub fn unknown_fields(&self) -> Vec<String> {
        let whole = serde_json::to_value(self).unwrap_or_default();
        let mut paths = Vec::new();
        for (path, value) in &self.unknown {
            let (place, name) = path.rsplit_once('/').unwrap_or(("", path));
            // Names of groups around the field; nothing for a list.
            let mut groups = Vec::new();
            let mut at = Some(&whole);
            for step in place.split('/').filter(|step| !step.is_empty()) {
                let is_row = at.is_some_and(Value::is_array);
                groups.push((!is_row).then(|| from_path(step)));
                at = at.and_then(|at| match at {
                    Value::Array(rows) => rows.first(),
                    _ => at.get(from_path(step)),
                });
            }
            let around = |inner: Value| {
                let wrap = |inner, group: &Option<String>| match group {
                    Some(name) => [(name.clone(), inner)].into_iter().collect(),
                    None => Value::Array(vec![inner]),
                };
                groups.iter().rev().fold(inner, wrap)
            };
            name_unknown(path, &from_path(name), value, &around, &mut paths);
        }
        paths
    }
}

/// Names a field, or what stands in it, that is not known where `around` puts it: such a field may hold anything.
fn name_unknown(
    path: &str,
    name: &str,
    value: &Value,
    around: &dyn Fn(Value) -> Value,
    paths: &mut Vec<String>,
) {
    let with = |value| around([(name.to_owned(), value)].into_iter().collect());
    let mut probes = [Value::Bool(true), Value::Array(Vec::new())].into_iter();
    if probes.all(|probe| Plan::deserialize(Reading(&with(probe))).is_ok()) {
        paths.push(path.to_owned());
    } else if let Value::Object(fields) = value {
        for (name, value) in fields {
            name_unknown(
                &format!("{path}/{}", in_path(name)),
                name,
                value,
                &with,
                paths,
            );
        }
    }
}

/// Writes what was kept back where it stood; what stood in a row that is gone went with it.
pub(crate) fn put_back(plan: &Plan, whole: &mut Value) {
    for (path, value) in &plan.unknown {
        let (place, name) = path.rsplit_once('/').unwrap_or(("", path));
        let place = place
            .split('/')
            .filter(|s| !s.is_empty())
            .try_fold(&mut *whole, |at, name| step(at, name));
        if let Some(place) = place {
            add(place, from_path(name), value.clone());
        }
    }
}

/// Adds a field to a group, or of a field that is a group itself what it does not hold.
fn add(group: &mut Value, name: String, value: Value) {
    let Value::Object(fields) = group else { return };
    match (fields.get_mut(&name), value) {
        (Some(group), Value::Object(kept)) => {
            for (name, value) in kept {
                add(group, name, value);
            }
        }
        (Some(_), _) => {}
        (None, value) => {
            fields.insert(name, value);
        }
    }
}
