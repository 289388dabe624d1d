//! What a plan is read from at a prompt: a file, standard input or a link, with a sentence for whatever is none.

use larder::link;
use larder::plan::{Plan, VERSION};
use larder::words::{echo, visible};
use serde_json::Value;
use std::fs::File;
use std::io::{ErrorKind, Read};

/// Most unknown fields that are named one by one.
const MOST_NAMED: usize = 20;

/// Reads a file, standard input or a link.
///
/// # Errors
/// A sentence that names what can't be read and why.
pub(crate) fn read(source: &str) -> Result<Plan, String> {
    let plan = if source.contains("#plan=") || source.starts_with("plan=") {
        link::from_link(source)?
    } else {
        link::from_text(&text(source)?)?
    };
    match &plan.newer {
        // A word that this version doesn't know may be a slip of the hand: better refused than left out.
        Some(newer) if newer.version <= f64::from(VERSION) => Err(newer.misfit_says()),
        _ => Ok(plan),
    }
}

/// The text of a file or of standard input.
fn text(source: &str) -> Result<String, String> {
    let (called, place) = match source {
        "-" => ("Standard input".to_owned(), None),
        _ => (format!("“{}”", visible(&echo(source))), Some(source)),
    };
    let mut bytes = Vec::new();
    // One byte more than is read tells that there is too much, without taking it all in.
    let most = link::MOST_BYTES as u64 + 1;
    let read = match place {
        None => std::io::stdin().take(most).read_to_end(&mut bytes),
        Some(path) => File::open(path).and_then(|file| file.take(most).read_to_end(&mut bytes)),
    };
    read.map_err(|fault| match fault.kind() {
        ErrorKind::NotFound => format!("{called} can't be read: there is no such file."),
        ErrorKind::IsADirectory => format!("{called} is a folder. Name a plan file in it."),
        _ => format!("{called} can't be read: {fault}."),
    })?;
    if bytes.len() as u64 == most {
        return Ok(String::from_utf8_lossy(&bytes).into_owned());
    }
    let text = String::from_utf8(bytes).map_err(|fault| {
        let good = fault.as_bytes().iter().take(fault.utf8_error().valid_up_to());
        let line = 1 + good.filter(|byte| **byte == b'\n').count();
        format!("{called} isn't a plan file: line {line} isn't UTF-8 text. Choose another file, or save it as UTF-8.")
    })?;
    match text.trim_start_matches('\u{feff}').trim().is_empty() {
        true => Err(format!("{called} is empty. Choose a plan file.")),
        false => Ok(text),
    }
}

/// What a plan holds that this version doesn't know, a line each.
pub(crate) fn remarks(plan: &Plan) -> Vec<String> {
    if let Some(newer) = &plan.newer {
        let version = newer.version;
        return vec![format!(
            "This plan is of version {version}; this program reads version {VERSION}.{}",
            newer.left_out_says()
        )];
    }
    let paths = plan.unknown_fields();
    if paths.is_empty() {
        return Vec::new();
    }
    let schema = serde_json::to_value(schemars::schema_for!(Plan)).unwrap_or_default();
    let named = paths.iter().take(MOST_NAMED);
    let mut lines: Vec<String> = named.map(|path| unknown(&schema, path)).collect();
    if let Some(more @ 1..) = paths.len().checked_sub(MOST_NAMED) {
        lines.push(format!("{more} more unknown fields are kept."));
    }
    lines
}

/// The line for an unknown field, with the known one of nearest spelling.
fn unknown(schema: &Value, path: &str) -> String {
    let (group, name) = path.rsplit_once('/').unwrap_or(("", path));
    let mend = nearest(schema, group, name)
        .map_or(String::new(), |known| format!(" Did you mean “{known}”?"));
    format!("{}: unknown field, kept but not used.{mend}", echo(path))
}

/// The name of nearest spelling in a group of fields, where one is near.
fn nearest(schema: &Value, group: &str, name: &str) -> Option<String> {
    let plain = |name: &str| name.to_lowercase().replace(['-', ' '], "_");
    let name = plain(name);
    let mut at = resolved(schema, schema);
    for step in group.split('/').filter(|step| !step.is_empty()) {
        let field = at.get("properties").and_then(|fields| fields.get(step));
        at = resolved(
            schema,
            field
                .or(at.get("items"))
                .or(at.get("additionalProperties"))?,
        );
    }
    let known = at.get("properties")?.as_object()?.keys();
    let distances = known.map(|known| (strsim::damerau_levenshtein(&name, known), known));
    let (distance, known) = distances.min()?;
    // One slip in four letters: what differs by more is probably meant otherwise.
    (distance <= 1 + name.chars().count() / 4).then(|| known.clone())
}

/// What a part of the schema stands for.
fn resolved<'a>(schema: &'a Value, part: &'a Value) -> &'a Value {
    let options = part.get("anyOf").and_then(Value::as_array);
    let part = options
        .and_then(|all| all.iter().find(|one| one.get("$ref").is_some()))
        .unwrap_or(part);
    let name = part.get("$ref").and_then(Value::as_str);
    let definition = name.and_then(|name| schema.pointer(name.trim_start_matches('#')));
    definition.unwrap_or(part)
}
