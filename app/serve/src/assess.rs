//! A plan at a prompt: the same report as the page's, for scripts and for reading.

use crate::drawn::Odds;
use clap::ValueEnum;
use larder::finding::Finding;
use larder::link;
use larder::plan::Plan;
use larder::report::Report;
use larder::{Inputs, TypicalYear};
use serde_json::Value;
use std::io::Read;

/// Exit code of a plan without a grave finding.
pub const SOUND: u8 = 0;
/// Exit code of a plan with one.
pub const GRAVE: u8 = 1;
/// Exit code of a plan that was refused.
pub const REFUSED: u8 = 2;

/// Form of a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// Plain text, to read.
    Text,
    /// Markdown, to keep or to print.
    Markdown,
    /// JSON, for scripts; its keys are those of the core's `Report`, with its `YearReport` under `year` and its
    /// `SpaceReport` under `space`.
    Json,
    /// The chosen bank's typical year, an hour a line, units in the head.
    CsvHours,
}

/// What an assessment printed, and its exit code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assessed {
    /// For standard output.
    pub out: String,
    /// For standard error: every fault.
    pub err: String,
    /// Exit code.
    pub code: u8,
}

/// Reads a file, standard input or a link.
pub(crate) fn read(source: &str) -> Result<Plan, String> {
    if source.contains("#plan=") || source.starts_with("plan=") {
        return link::from_link(source);
    }
    let mut bytes = Vec::new();
    // One byte more than is read tells that there is too much, without taking it all in.
    let most = link::MOST_BYTES as u64 + 1;
    let read = if source == "-" {
        std::io::stdin().take(most).read_to_end(&mut bytes)
    } else {
        std::fs::File::open(source).and_then(|file| file.take(most).read_to_end(&mut bytes))
    };
    read.map_err(|fault| format!("{source} can't be read: {fault}."))?;
    link::from_text(&String::from_utf8_lossy(&bytes))
}

/// Assesses a plan; with years, draws so many of them for every candidate.
pub fn assess(plan: &Plan, form: Form, years: u64) -> Assessed {
    let inputs = match larder::import(plan) {
        Ok(inputs) => inputs,
        Err(faults) => {
            return Assessed {
                out: String::new(),
                err: faults.iter().map(refusal).collect(),
                code: REFUSED,
            };
        }
    };
    let report = larder::evaluate(&inputs);
    let odds = || (years > 0).then(|| crate::drawn::risks(&inputs, years));
    Assessed {
        out: match form {
            Form::Text => to_read(plan, &report, &inputs, odds(), false),
            Form::Markdown => to_read(plan, &report, &inputs, odds(), true),
            Form::Json => to_json(&report, &inputs, odds()),
            Form::CsvHours => larder::words::csv_hours(plan),
        },
        err: String::new(),
        code: if report.is_grave() { GRAVE } else { SOUND },
    }
}

/// The report, the build sheet, and what drawn years say, to read.
fn to_read(
    plan: &Plan,
    report: &Report,
    inputs: &Inputs,
    odds: Option<Odds>,
    markdown: bool,
) -> String {
    let mut out = larder::words::text(
        report,
        Some(&larder::evaluate_year(inputs)),
        larder::evaluate_space(inputs).as_ref(),
        plan.units,
        &plan.currency,
        markdown,
    ) + &larder::words::sheet_text(plan, report, markdown);
    if let Some((risks, band)) = odds {
        let lines = risks
            .iter()
            .map(|risk| larder::words::risk_line(report, risk));
        let band = band.map(|band| larder::words::band_says(report, band));
        let note = larder::words::RISK_NOTE.to_owned();
        for says in lines.chain(band).chain([note]) {
            out += &format!("\n{says}\n");
        }
    }
    out
}

/// The report for scripts, with the typical year and what drawn years give.
fn to_json(report: &Report, inputs: &Inputs, odds: Option<Odds>) -> String {
    let mut whole = serde_json::to_value(report).unwrap_or_default();
    let mut put = |name: &str, part: serde_json::Result<Value>| {
        whole[name] = part.unwrap_or_default();
    };
    let year = TypicalYear::new(inputs);
    put("year", serde_json::to_value(year.report()));
    put("from_full", serde_json::to_value(year.lasting()));
    put(
        "space",
        serde_json::to_value(larder::evaluate_space(inputs)),
    );
    if let Some((risks, band)) = odds {
        put("risk", serde_json::to_value(risks));
        put("risk_band", serde_json::to_value(band));
    }
    serde_json::to_string_pretty(&whole).unwrap_or_default() + "\n"
}

/// A fault on a line of its own.
pub(crate) fn refusal(fault: &Finding) -> String {
    let line = format!("{}: {} {}", fault.field, fault.says, fault.mend);
    format!("{}\n", line.trim_end())
}

/// Assesses what a source names, prints, and tells the exit code.
///
/// # Errors
/// Where it can't be printed.
pub fn run(source: &str, form: Form, years: u64) -> Result<u8, String> {
    let assessed = match read(source) {
        Ok(plan) => assess(&plan, form, years),
        Err(says) => Assessed {
            out: String::new(),
            err: says + "\n",
            code: REFUSED,
        },
    };
    eprint!("{}", assessed.err);
    crate::print(&assessed.out)?;
    Ok(assessed.code)
}

/// The JSON Schema of plan files.
pub fn schema() -> String {
    serde_json::to_string_pretty(&schemars::schema_for!(Plan)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_schema_is_of_this_program() {
        let published = include_str!("../../../public/plan.schema.json");
        assert!(
            published.trim() == schema().trim(),
            "write it anew: amp-larder schema > public/plan.schema.json"
        );
    }

    #[test]
    fn a_refused_plan_names_every_fault() {
        let mut plan = Plan {
            volts: 13.0,
            ..Plan::default()
        };
        plan.living.lat = 200.0;
        let assessed = assess(&plan, Form::Text, 0);
        assert_eq!(assessed.code, REFUSED);
        for field in ["plan/volts", "living/lat", "loads:", "candidates:"] {
            assert!(assessed.err.contains(field), "{field} in {}", assessed.err);
        }
    }

    #[test]
    fn a_source_that_is_not_there_is_said_so() {
        assert!(read("no such file").unwrap_err().contains("can't be read"));
        assert!(
            read("https://example.org/#plan=1.xx")
                .unwrap_err()
                .contains("cut short")
        );
    }
}
