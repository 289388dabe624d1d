//! A plan at a prompt: the same report as the page's, for scripts and for reading.

use clap::ValueEnum;
use larder::finding::Finding;
use larder::link;
use larder::plan::Plan;
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

/// Assesses a plan.
pub fn assess(plan: &Plan, form: Form, years: u64) -> Assessed {
    match larder::assess(plan) {
        Ok(report) => {
            let inputs = larder::import(plan).ok();
            let drawn = inputs.as_ref().filter(|_| years > 0);
            let (risks, band) = drawn.map_or_else(Default::default, |inputs| {
                crate::drawn::risks(inputs, years)
            });
            let mut out = match form {
                Form::Text | Form::Markdown => {
                    let markdown = form == Form::Markdown;
                    larder::words::text(
                        &report,
                        larder::year(plan).as_ref(),
                        larder::space(plan).as_ref(),
                        plan.units,
                        &plan.currency,
                        markdown,
                    ) + &larder::words::sheet_text(plan, &report, markdown)
                }
                Form::Json => {
                    let mut whole = serde_json::to_value(&report).unwrap_or_default();
                    let year = inputs.as_ref().map(larder::TypicalYear::new);
                    let lived = year.as_ref().map(larder::TypicalYear::report);
                    whole["year"] = serde_json::to_value(lived).unwrap_or_default();
                    if years > 0 {
                        whole["risk"] = serde_json::to_value(&risks).unwrap_or_default();
                        whole["risk_band"] = serde_json::to_value(band).unwrap_or_default();
                    }
                    let from_full = year.and_then(|year| year.lasting());
                    whole["from_full"] = serde_json::to_value(from_full).unwrap_or_default();
                    whole["space"] = serde_json::to_value(larder::space(plan)).unwrap_or_default();
                    serde_json::to_string_pretty(&whole).unwrap_or_default() + "\n"
                }
                Form::CsvHours => larder::words::csv_hours(plan),
            };
            if matches!(form, Form::Text | Form::Markdown) && years > 0 {
                out += "\n";
                for risk in &risks {
                    out += &format!("{}\n\n", larder::words::risk_line(&report, risk));
                }
                if let Some(band) = band {
                    out += &format!("{}\n\n", larder::words::band_says(&report, band));
                }
                out += larder::words::RISK_NOTE;
                out += "\n";
            }
            Assessed {
                out,
                err: String::new(),
                code: if report.is_grave() { GRAVE } else { SOUND },
            }
        }
        Err(faults) => Assessed {
            out: String::new(),
            err: faults.iter().map(refusal).collect(),
            code: REFUSED,
        },
    }
}

/// A fault on a line of its own.
pub(crate) fn refusal(fault: &Finding) -> String {
    let line = format!("{}: {} {}", fault.field, fault.says, fault.mend);
    format!("{}\n", line.trim_end())
}

/// Assesses what a source names, prints, and tells the exit code.
pub fn run(source: &str, form: Form, years: u64) -> u8 {
    let assessed = match read(source) {
        Ok(plan) => assess(&plan, form, years),
        Err(says) => Assessed {
            out: String::new(),
            err: says + "\n",
            code: REFUSED,
        },
    };
    eprint!("{}", assessed.err);
    print!("{}", assessed.out);
    assessed.code
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
