//! A plan at a prompt: the same report as the page's, for scripts and for reading.

use crate::drawn::Odds;
use crate::input;
use clap::ValueEnum;
use larder::finding::Finding;
use larder::plan::Plan;
use larder::report::{Report, YearReport};
use larder::words::{cut, echo, visible};
use larder::{Inputs, TypicalYear};
use serde_json::Value;

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
    /// For standard error: fields that are not known here, and every fault.
    pub err: String,
    /// Exit code.
    pub code: u8,
}

/// Assesses a plan; with years, draws so many of them for every candidate.
pub fn assess(plan: &Plan, form: Form, years: u64) -> Assessed {
    let remarks = remarks(plan);
    let inputs = match larder::import(plan) {
        Ok(inputs) => inputs,
        Err(faults) => {
            return Assessed {
                out: String::new(),
                err: remarks + &refusals(&faults),
                code: REFUSED,
            };
        }
    };
    let mut report = larder::evaluate(&inputs);
    let out = if form == Form::CsvHours {
        larder::words::csv_hours(plan)
    } else {
        let year = TypicalYear::new(&inputs);
        let lived = year.report();
        let of_the_year = larder::year_findings(&report, &lived);
        report.findings.extend(of_the_year);
        let odds = (years > 0).then(|| crate::drawn::risks(&inputs, years));
        match form {
            Form::Json => to_json(&report, &inputs, &year, &lived, odds),
            _ => to_read(
                plan,
                &report,
                (&inputs, &year, &lived),
                odds,
                form == Form::Markdown,
            ),
        }
    };
    Assessed {
        out,
        err: remarks,
        code: if report.is_grave() { GRAVE } else { SOUND },
    }
}

/// The report, the build sheet, and what drawn years say, to read.
fn to_read(
    plan: &Plan,
    report: &Report,
    (inputs, year, lived): (&Inputs, &TypicalYear, &YearReport),
    odds: Option<Odds>,
    markdown: bool,
) -> String {
    let mut out = larder::words::text(
        report,
        Some(lived),
        larder::evaluate_space(inputs).as_ref(),
        plan.units,
        &plan.currency,
        markdown,
    );
    if let Some(least) = year.least_array() {
        out += &format!("\n{}\n", larder::words::least_array(least));
    }
    if let Some(weakest) = year.weakest() {
        out += &format!("\n{}\n", larder::words::weakest(&weakest));
    }
    out += &larder::words::sheet_text(plan, report, markdown);
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
fn to_json(
    report: &Report,
    inputs: &Inputs,
    year: &TypicalYear,
    lived: &YearReport,
    odds: Option<Odds>,
) -> String {
    let mut whole = serde_json::to_value(report).unwrap_or_default();
    let mut put = |name: &str, part: serde_json::Result<Value>| {
        whole[name] = part.unwrap_or_default();
    };
    put("year", serde_json::to_value(lived));
    put("from_full", serde_json::to_value(year.lasting()));
    put("least_array", serde_json::to_value(year.least_array()));
    if let Some(weakest) = year.weakest() {
        put("weakest", serde_json::to_value(weakest));
    }
    put(
        "space",
        serde_json::to_value(larder::evaluate_space(inputs)),
    );
    if let Some((risks, band)) = odds {
        put("risk", serde_json::to_value(risks));
        put("risk_band", serde_json::to_value(band));
    }
    unsign_zeros(&mut whole);
    serde_json::to_string_pretty(&whole).unwrap_or_default() + "\n"
}

/// Writes a zero with a sign as one without.
fn unsign_zeros(value: &mut Value) {
    match value {
        Value::Array(all) => all.iter_mut().for_each(unsign_zeros),
        Value::Object(all) => all.values_mut().for_each(unsign_zeros),
        Value::Number(number) if number.as_f64() == Some(0.0) && !number.is_u64() => {
            *value = 0.into()
        }
        _ => {}
    }
}

/// Longest sentence of a fault [characters]: longer ones repeat long names.
const MOST_SAID: usize = 300;

/// Faults, a line each.
pub(crate) fn refusals(faults: &[Finding]) -> String {
    let line = |fault: &Finding| {
        let line = format!(
            "{}: {} {}",
            echo(&fault.field),
            cut(&fault.says, MOST_SAID),
            fault.mend
        );
        format!("{}\n", visible(line.trim_end()))
    };
    faults.iter().map(line).collect()
}

/// What a plan holds that is not known here, a line each.
pub(crate) fn remarks(plan: &Plan) -> String {
    let lines = input::remarks(plan);
    lines.iter().map(|line| visible(line) + "\n").collect()
}

/// Assesses what a source names, prints, and gives the exit code.
///
/// # Errors
/// Where it can't be printed.
pub fn run(source: &str, form: Form, years: u64) -> Result<u8, String> {
    let assessed = match input::read(source) {
        Ok(plan) => assess(&plan, form, years),
        Err(says) => Assessed {
            out: String::new(),
            err: visible(&says) + "\n",
            code: REFUSED,
        },
    };
    let told = crate::tell(&assessed.err);
    crate::print(&assessed.out)?;
    told?;
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
}
