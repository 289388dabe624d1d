//! Where a plan file holds something of another kind than the plan does, said as a sentence: the place, what stands
//! there, what would do.

use super::{Plan, Reading};
use crate::words::echo;
use serde::Deserialize;
use serde_json::Value;

/// A place, as in `loads/3/draw`, and what the reader says of it.
pub(super) type Misfit = (String, String);

/// The innermost part of `value`, which stands at `path`, that can't be read where `around` puts it.
pub(super) fn seek(path: &str, value: &Value, around: &dyn Fn(Value) -> Value) -> Option<Misfit> {
    let says = Plan::deserialize(Reading(&around(value.clone())))
        .err()?
        .to_string();
    let below = |name: &str| {
        let slash = if path.is_empty() { "" } else { "/" };
        format!("{path}{slash}{name}")
    };
    let inner = match value {
        Value::Object(fields) => fields.iter().find_map(|(name, value)| {
            let around = |value| around([(name.clone(), value)].into_iter().collect());
            seek(&below(name), value, &around)
        }),
        Value::Array(rows) => rows.iter().enumerate().find_map(|(at, row)| {
            let id = row.as_object()?.get("id").and_then(Value::as_u64);
            let name = id.unwrap_or(at as u64 + 1).to_string();
            seek(&below(&name), row, &|row| around(Value::Array(vec![row])))
        }),
        _ => None,
    };
    Some(inner.unwrap_or_else(|| (path.to_owned(), says)))
}

/// What stands there, in the words of people; the reader's are such as "invalid type: string "4o"".
fn found(says: &str) -> String {
    let what = says.split_once(": ").map_or(says, |(_, what)| what);
    if let Some(length) = says.strip_prefix("invalid length ") {
        return format!("A list of {length}");
    }
    match what {
        "null" => "Nothing".into(),
        "map" => "A group of fields".into(),
        "sequence" => "A list".into(),
        // The value itself stands in quotes of one kind or the other.
        _ => {
            let value = what.split_once(['"', '`']).map_or(what, |(_, value)| value);
            format!("“{}”", echo(value.trim_end_matches(['"', '`'])))
        }
    }
}

/// What would do, in the words of people.
fn wanted(expected: &str) -> String {
    match expected {
        "f64" => "a number".into(),
        "u8" | "u32" => "a whole number".into(),
        "a boolean" => "true or false".into(),
        "a sequence" => "a list".into(),
        "a string" => "text".into(),
        "string or map" => "one of its words".into(),
        _ if expected.starts_with("struct ") => "a group of fields".into(),
        _ => match expected.strip_prefix("an array of length ") {
            Some(length) => format!("a list of {length}"),
            None => expected.replace('`', ""),
        },
    }
}

/// The sentence for a plan that can't be read.
pub(crate) fn misfit_says(plan: &Value) -> String {
    let (path, says) = seek("", plan, &|plan| plan).unwrap_or_default();
    let (stands, expected) = says
        .split_once(", expected ")
        .unwrap_or((&says, "something else"));
    format!(
        "{} stands at {}, where {} would do. Mend that place, then open it again.",
        found(stands),
        echo(&path),
        wanted(expected)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_misfit_is_told_by_its_place_and_what_would_do() {
        let cases = [
            (
                r#"{"loads":3}"#,
                "“3” stands at loads, where a list would do.",
            ),
            (
                r#"{"name":"van","loads":[{"id":7,"draw":"4o: W"}]}"#,
                "“4o: W” stands at loads/7/draw, where a number would do.",
            ),
            (
                r#"{"candidates":[{},{"chemistry":"salt"}]}"#,
                "“salt” stands at candidates/2/chemistry, where one of flooded, agm, gel, lithium-iron-phosphate, sodium-ion would do.",
            ),
            (
                r#"{"living":{"outdoors_c":[1,2]}}"#,
                "A list of 2 stands at living/outdoors_c, where a list of 12 would do.",
            ),
            (
                r#"{"volts":null}"#,
                "Nothing stands at volts, where a number would do.",
            ),
            (
                r#"{"fresh":1.5}"#,
                "“1.5” stands at fresh, where true or false would do.",
            ),
            (
                r#"{"chosen":-1}"#,
                "“-1” stands at chosen, where a whole number would do.",
            ),
        ];
        for (plan, says) in cases {
            let plan = serde_json::from_str(plan).unwrap();
            assert!(
                misfit_says(&plan).starts_with(says),
                "{}",
                misfit_says(&plan)
            );
        }
    }
}
