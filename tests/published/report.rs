//! All rows of a folder, judged, and what to print about them.

use crate::held::{Outcome, judge};
use crate::row::{self, Kind, Row};
use crate::stations;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::path::Path;

/// The rows of a folder with what came of each.
pub(crate) struct Report {
    pub(crate) judged: Vec<(Row, Outcome)>,
    stations: Option<stations::Error>,
    /// The same with the stations known beforehand.
    all_stations: Option<stations::Error>,
    /// Files that hold no rows.
    left_out: Vec<String>,
    /// Rows that can't be read: the file, and why.
    unread: Vec<String>,
}

/// Rows held and rows evaluated.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Count {
    pub(crate) held: usize,
    pub(crate) rows: usize,
}

impl Report {
    /// Reads and judges every table of a folder. Its stations are held together with those `known` from elsewhere: a
    /// few alone say little about a table of the world.
    pub(crate) fn of(folder: &Path, known: &[Row]) -> Result<Self, String> {
        let (tables, left_out): (Vec<String>, Vec<String>) = row::files(folder)?
            .into_iter()
            .partition(|name| row::is_table(&folder.join(name)));
        let (mut rows, mut unread) = (Vec::new(), Vec::new());
        for name in tables {
            for row in row::read_each(&folder.join(&name))? {
                match row {
                    Ok(row) => rows.push(row),
                    Err(why) => unread.push(format!("{name}, a row that can't be read: {why}")),
                }
            }
        }
        let news = |row: &&Row| rows.iter().all(|other| other.id != row.id);
        let all = rows.iter().chain(known.iter().filter(news));
        let (stations, all_stations) = (
            stations::Error::over(rows.iter())?,
            stations::Error::over(all)?,
        );
        let judged = rows
            .into_iter()
            .filter(|row| row.quantity != stations::QUANTITY)
            .map(|row| {
                let outcome = judge(&row);
                (row, outcome)
            })
            .collect();
        Ok(Self {
            judged,
            stations,
            all_stations,
            left_out,
            unread,
        })
    }

    /// What keeps the build from passing: rows that can't be read or fail, the stations' check where that does.
    pub(crate) fn failures(&self) -> Vec<String> {
        let rows = self.judged.iter().filter_map(|(row, outcome)| {
            let fails = row.kind != Kind::Plausibility && outcome.share()? > 1.0;
            fails.then(|| miss(row, outcome))
        });
        let stations = self.all_stations.filter(|error| !error.holds());
        let unread = self.unread.iter().cloned();
        rows.chain(stations.map(|error| error.to_string()))
            .chain(unread)
            .collect()
    }

    /// Rows of one kind.
    pub(crate) fn count(&self, kind: Kind) -> Count {
        let outcomes = self
            .judged
            .iter()
            .filter(|(row, outcome)| row.kind == kind && outcome.share().is_some());
        outcomes.fold(Count::default(), |count, (_, outcome)| Count {
            held: count.held + usize::from(outcome.holds()),
            rows: count.rows + 1,
        })
    }

    /// Documents of which at least one printed row was held.
    pub(crate) fn documents_in_print(&self) -> usize {
        let held = self
            .judged
            .iter()
            .filter(|(row, outcome)| row.kind == Kind::Print && outcome.holds());
        let names = Documents::of(&self.judged);
        held.map(|(row, _)| names.name(row))
            .collect::<BTreeSet<_>>()
            .len()
    }

    /// The whole report.
    pub(crate) fn text(&self) -> String {
        let mut text = String::new();
        self.by_source(&mut text);
        self.bars(&mut text);
        self.remarks(&mut text);
        if let Some(error) = self.stations {
            let _ = writeln!(text, "\n{error}; not counted among the rows");
            if let Some(all) = self
                .all_stations
                .filter(|all| all.stations > error.stations)
            {
                let _ = writeln!(text, "With those known already: {all}");
            }
        }
        self.plausibility(&mut text);
        self.without(&mut text);
        for name in &self.left_out {
            let _ = writeln!(text, "no table of rows, left out: {name}");
        }
        let failures = self.failures();
        if !failures.is_empty() {
            let _ = writeln!(
                text,
                "\nUnread, or outside their tolerance:\n  {}",
                failures.join("\n  ")
            );
        }
        for (kind, words) in [
            (Kind::Print, "from print"),
            (Kind::Computed, "computed by a formula or a library"),
        ] {
            let Count { held, rows } = self.count(kind);
            let _ = writeln!(text, "Rows {words}: {held} held of {rows} evaluated");
        }
        text
    }

    fn by_source(&self, text: &mut String) {
        let names = Documents::of(&self.judged);
        let mut sources: BTreeMap<(bool, &str), Vec<(&Row, f64)>> = BTreeMap::new();
        for (row, outcome) in &self.judged {
            if let Some(share) = outcome.share()
                && row.kind != Kind::Plausibility
            {
                let key = (row.kind == Kind::Computed, names.name(row));
                sources.entry(key).or_default().push((row, share));
            }
        }
        let _ = writeln!(
            text,
            "Rows held / rows, worst error as a share of its tolerance, by source\n(0.00: the core's own table has that very figure, or a formula is met to its last digit)"
        );
        for ((computed, source), rows) in sources {
            let held = rows.iter().filter(|(_, share)| *share <= 1.0).count();
            let worst = rows.iter().max_by(|a, b| a.1.total_cmp(&b.1));
            let (id, share) = worst.map_or(("", 0.0), |(row, share)| (&row.id, *share));
            let kind = if computed { "computed" } else { "print" };
            let of = format!("{held}/{}", rows.len());
            let _ = writeln!(
                text,
                "  {kind:8} {of:>9}  {share:4.2}  {source} (worst: {id})"
            );
        }
    }

    /// The link bar's error, row by row: nothing is tuned to one.
    fn bars(&self, text: &mut String) {
        let _ = writeln!(text, "\nBars: direct current against the tables");
        for (row, outcome) in &self.judged {
            let Outcome::Evaluated { ours, .. } = outcome else {
                continue;
            };
            if !row.quantity.starts_with("continuous current of one ") {
                continue;
            }
            let errors: Vec<String> = ours
                .iter()
                .zip(&row.expected)
                .filter(|(ours, _)| !ours.is_nan())
                .filter_map(|(ours, printed)| {
                    let printed: f64 = printed.parse().ok()?;
                    let error = 100.0 * (ours / printed - 1.0);
                    Some(format!("{ours:.0} for {printed} A ({error:+.1} %)"))
                })
                .collect();
            let _ = writeln!(text, "  {}: {}", row.id, errors.join(", "));
        }
    }

    fn remarks(&self, text: &mut String) {
        let mut before = "";
        for (row, outcome) in &self.judged {
            if let Outcome::Evaluated {
                remark: Some(remark),
                ..
            } = outcome
            {
                if row.quantity != before {
                    let _ = writeln!(text, "\n{}", row.quantity);
                    before = &row.quantity;
                }
                let _ = writeln!(text, "  {}: {}; {remark}", row.id, row.expected.join(" "));
            }
        }
    }

    fn plausibility(&self, text: &mut String) {
        let Count { held, rows } = self.count(Kind::Plausibility);
        if rows == 0 {
            return;
        }
        let _ = writeln!(
            text,
            "\nPlausibility, figures that are not sure (never fail the build): {held} of {rows}"
        );
        for (row, outcome) in &self.judged {
            if row.kind == Kind::Plausibility && outcome.share().is_some_and(|share| share > 1.0) {
                let _ = writeln!(text, "  {}", miss(row, outcome));
            }
        }
    }

    fn without(&self, text: &mut String) {
        let mut quantities: BTreeMap<(&str, &str), usize> = BTreeMap::new();
        for (row, outcome) in &self.judged {
            if let Outcome::Without(reason) = outcome {
                *quantities.entry((&row.quantity, reason)).or_default() += 1;
            }
        }
        let _ = writeln!(
            text,
            "\nRows not evaluated: {}",
            quantities.values().sum::<usize>()
        );
        for ((quantity, reason), count) in quantities {
            let _ = writeln!(text, "  {count:3}  {quantity}: {reason}");
        }
    }
}

/// A row that is off, with its figures.
fn miss(row: &Row, outcome: &Outcome) -> String {
    let (ours, share) = match outcome {
        Outcome::Evaluated { ours, share, .. } => (ours.as_slice(), *share),
        Outcome::Without(_) => (&[][..], f64::NAN),
    };
    format!(
        "{} ({}): ours {ours:.6?}, theirs {} {} ± {}: {share:.2} times what is allowed",
        row.id,
        row.quantity,
        row.expected.join(", "),
        row.unit,
        row.tolerance,
    )
}

/// Where the name of a document ends and the place in it begins.
const PLACES: [&str; 16] = [
    ", Annex",
    ", ch. ",
    ", Example",
    ", eq. ",
    ", eqs. ",
    " eq. ",
    " eqs. ",
    ", Table",
    " Table ",
    ", same ",
    ", fitted",
    ", worked example",
    ", as above",
    ", section",
    ", capacity",
    ": ",
];

/// The documents that rows name, without the places in them.
struct Documents<'a>(BTreeSet<&'a str>);

impl<'a> Documents<'a> {
    fn of(judged: &'a [(Row, Outcome)]) -> Self {
        Self(
            judged
                .iter()
                .map(|(row, _)| document(&row.source))
                .collect(),
        )
    }

    /// The document of a row; one that is only the beginning of another's name is the same document.
    fn name<'b>(&self, row: &'b Row) -> &'b str
    where
        'a: 'b,
    {
        let whole = document(&row.source);
        self.0
            .iter()
            .copied()
            .find(|short| {
                whole
                    .strip_prefix(short)
                    .is_some_and(|rest| rest.starts_with([',', ';']))
            })
            .unwrap_or(whole)
    }
}

fn document(source: &str) -> &str {
    let end = PLACES.iter().filter_map(|place| source.find(place)).min();
    end.and_then(|end| source.get(..end)).unwrap_or(source)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_document_is_named_without_the_place_in_it() {
        for (source, name) in [
            (
                "IEEE Std 485 (1997/2010/2020), Table 1",
                "IEEE Std 485 (1997/2010/2020)",
            ),
            ("A & B, A Book eq. 2.10.1", "A & B, A Book"),
            ("Paper 56, Annex 2 Table 2.6", "Paper 56"),
            ("pvlib 0.16.1: as above", "pvlib 0.16.1"),
            ("a text-book rule", "a text-book rule"),
        ] {
            assert_eq!(document(source), name);
        }
    }
}
