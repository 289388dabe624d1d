//! One published value with everything it depends on, as it stands in a file.

use serde_json::{Map, Value};
use std::{fs, path::Path};

/// Where a value comes from, which decides how it counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Printed in a document.
    Print,
    /// Worked out from a stated formula, or by a stated library.
    Computed,
    /// From memory and not sure: a figure of plausibility, which never fails the build.
    Plausibility,
}

impl Kind {
    fn of(how: &str) -> Self {
        if how.contains("unsure") {
            Self::Plausibility
        } else if how.starts_with("found") || how.starts_with("memory") {
            Self::Print
        } else {
            Self::Computed
        }
    }
}

/// A row of a file.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    pub(crate) id: String,
    pub(crate) quantity: String,
    pub(crate) inputs: Map<String, Value>,
    /// The figure or figures as printed; a word stays one.
    pub(crate) expected: Vec<String>,
    pub(crate) unit: String,
    pub(crate) tolerance: String,
    pub(crate) source: String,
    pub(crate) kind: Kind,
}

/// What every file has above its rows.
const HEADING: [&str; 9] = [
    "id",
    "quantity",
    "inputs",
    "expected",
    "unit",
    "tolerance",
    "source",
    "how",
    "note",
];

impl Row {
    fn of(record: &csv::StringRecord) -> Result<Self, String> {
        let cell = |column: usize| record.get(column).unwrap_or_default().trim().to_owned();
        let inputs = serde_json::from_str(&cell(2)).map_err(|e| format!("{}: {e}", cell(0)))?;
        let expected = cell(3);
        let figures = expected
            .strip_prefix('[')
            .and_then(|list| list.strip_suffix(']'));
        let expected = match figures {
            Some(list) => list.split(',').map(|one| one.trim().to_owned()).collect(),
            None => vec![expected],
        };
        Ok(Self {
            id: cell(0),
            quantity: cell(1),
            inputs,
            expected,
            unit: cell(4),
            tolerance: cell(5),
            source: cell(6),
            kind: Kind::of(&cell(7)),
        })
    }
}

/// Whether a file is a table of rows: a CSV file with their heading.
pub(crate) fn is_table(path: &Path) -> bool {
    path.extension().is_some_and(|kind| kind == "csv")
        && csv::Reader::from_path(path).is_ok_and(|mut reader| {
            reader
                .headers()
                .is_ok_and(|columns| *columns == HEADING[..])
        })
}

/// The rows of a CSV file, all of which must be read.
pub(crate) fn read(path: &Path) -> Result<Vec<Row>, String> {
    read_each(path)?.into_iter().collect()
}

/// The rows of a CSV file; of one that can't be read, why.
pub(crate) fn read_each(path: &Path) -> Result<Vec<Result<Row, String>>, String> {
    let mut reader = csv::Reader::from_path(path).map_err(|e| e.to_string())?;
    if reader.headers().map_err(|e| e.to_string())? != HEADING[..] {
        return Err(format!(
            "{}: its columns are not {HEADING:?}",
            path.display()
        ));
    }
    let record = |record: csv::Result<_>| Row::of(&record.map_err(|e| e.to_string())?);
    Ok(reader.records().map(record).collect())
}

/// The names of the files in a folder, sorted, without those whose name begins with a dot.
pub(crate) fn files(folder: &Path) -> Result<Vec<String>, String> {
    let entries = fs::read_dir(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    let mut names: Vec<String> = entries
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| !name.starts_with('.'))
        .collect();
    names.sort();
    Ok(names)
}
