//! The answer: one sentence a candidate, with the words that decide marked; its brief form; what decides.

use super::{bank_name, bank_words, count, days, lasting, month, number};
use crate::battery::Lasting;
use crate::fit::{Certainty, Outcome, Verdict};
use crate::plan::Units;
use crate::report::{BankReport, Report, YearReport};
use crate::units::{MM_PER_INCH, tidy};

/// What a run of words means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Nothing beyond itself.
    Plain,
    /// It fits; it does.
    Good,
    /// It does not.
    Bad,
}

/// A run of words with one meaning.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    /// The words.
    pub text: String,
    /// What they mean.
    pub tone: Tone,
}

impl Span {
    fn new(text: impl Into<String>, tone: Tone) -> Self {
        Self {
            text: text.into(),
            tone,
        }
    }
}

/// A candidate in two short lines.
#[derive(Clone, Debug, PartialEq)]
pub struct Brief {
    /// "two AGM 2.4 days".
    pub head: String,
    /// "74 mm too wide".
    pub fit: Span,
}

/// A small length: whole millimetres, or sixteenths of an inch.
fn gap(mm: f64, units: Units) -> String {
    match units {
        Units::Metric if mm < 1.0 => format!("{} mm", tidy((mm * 10.0).round() / 10.0)),
        Units::Metric => format!("{} mm", tidy(mm.floor())),
        Units::Imperial => format!("{} in", tidy((mm / MM_PER_INCH * 100.0).floor() / 100.0)),
    }
}

/// A missing length, rounded so that it suffices.
fn lack(mm: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} mm", tidy(mm.ceil())),
        Units::Imperial => format!("{} in", tidy((mm / MM_PER_INCH * 100.0).ceil() / 100.0)),
    }
}

const TOO: [&str; 3] = ["too long", "too deep", "too high"];
const ALONG: [&str; 3] = ["in length", "in depth", "in height"];

fn word<'a>(words: &[&'a str; 3], axis: usize) -> &'a str {
    words.get(axis).copied().unwrap_or("")
}

/// Whether it fits, shortly, with its meaning.
fn fit_span(fit: &Verdict, units: Units) -> Span {
    match &fit.outcome {
        Outcome::Fits {
            too_close: true, ..
        }
        | Outcome::TooBig {
            too_close: true, ..
        } => Span::new("too close to call", Tone::Bad),
        Outcome::Fits { least_mm, .. } => Span::new(
            format!("fits with {} to spare", gap(*least_mm, units)),
            Tone::Good,
        ),
        Outcome::TooBig {
            least_mm: Some(mm),
            axis: Some(axis),
            beside,
            ..
        } => {
            let beside = beside
                .as_ref()
                .map_or(String::new(), |name| format!(" beside the {name}"));
            Span::new(
                format!("{} {}{beside}", lack(*mm, units), word(&TOO, *axis)),
                Tone::Bad,
            )
        }
        Outcome::TooBig { .. } => Span::new("too large in more ways than one", Tone::Bad),
    }
}

/// Whether it fits, at length, after the bank's name and a colon.
pub fn fit_long(fit: &Verdict, units: Units) -> String {
    let cut = if fit.certainty == Certainty::CutShort {
        " (the search was cut short)"
    } else {
        ""
    };
    let says = match &fit.outcome {
        Outcome::Fits {
            least_mm,
            axis,
            beside,
            too_close,
            ..
        } => {
            let beside = beside
                .as_ref()
                .map_or(String::new(), |name| format!(", held by the {name}"));
            let close = if *too_close {
                "; your measuring may be out by more than that, so it is too close to call"
            } else {
                ""
            };
            // A measure is said with how far it may be out.
            let out = fit.within_mm.get(*axis).copied().unwrap_or(0.0);
            format!(
                "fits with {} (± {}) to spare {}{beside}{close}",
                gap(*least_mm, units),
                lack(out, units),
                word(&ALONG, *axis)
            )
        }
        Outcome::TooBig {
            least_mm: Some(mm),
            axis: Some(axis),
            beside,
            too_close,
            ..
        } => {
            let beside = beside
                .as_ref()
                .map_or(String::new(), |name| format!(" beside the {name}"));
            let close = if *too_close {
                "; your measuring may be out by more than that, so it is too close to call"
            } else {
                ""
            };
            format!(
                "does not fit, {} {}{beside}{close}; {} would go in",
                lack(*mm, units),
                word(&TOO, *axis),
                number(fit.most)
            )
        }
        Outcome::TooBig { .. } => format!(
            "does not fit, and no more room along one side alone would admit it; {} would go in",
            number(fit.most)
        ),
    };
    says + cut
}

/// How often a bank runs short in a typical year, after a comma; empty while that is not known.
fn shortness(bank: &BankReport, year: Option<&YearReport>) -> String {
    match year.and_then(|year| year.bank(bank.id)) {
        None => String::new(),
        Some(year) if year.short_days == 0 => ", never short in a typical year".to_owned(),
        Some(year) => format!(
            ", short on {} of a typical year",
            count(year.short_days as usize, "day", "days")
        ),
    }
}

fn sentence(
    report: &Report,
    bank: &BankReport,
    year: Option<&YearReport>,
    units: Units,
) -> Vec<Span> {
    let when = match bank.parked {
        Lasting::Endless => format!(" for ever parked in {}", month(report.month)),
        _ => format!(
            " {} parked in {}",
            lasting(bank.parked),
            month(report.month)
        ),
    };
    let mut spans = vec![Span::new(
        format!("{}:{when}{}", bank_name(bank), shortness(bank, year)),
        Tone::Plain,
    )];
    match &bank.fit {
        None => spans.push(Span::new(".", Tone::Plain)),
        Some(fit) => {
            let span = fit_span(fit, units);
            let lead = if matches!(
                fit.outcome,
                Outcome::TooBig {
                    too_close: false,
                    ..
                }
            ) {
                ", does not fit: "
            } else {
                ", "
            };
            spans.push(Span::new(lead, Tone::Plain));
            spans.push(span);
            spans.push(Span::new(".", Tone::Plain));
        }
    }
    spans
}

/// The answer, a sentence a candidate, the chosen one first; with its typical year, once that is known.
pub fn answer(report: &Report, year: Option<&YearReport>, units: Units) -> Vec<Vec<Span>> {
    ordered(report)
        .into_iter()
        .map(|bank| sentence(report, bank, year, units))
        .collect()
}

/// The chosen bank, then the others in the plan's order.
fn ordered(report: &Report) -> Vec<&BankReport> {
    let chosen = report.chosen_bank().map(|bank| bank.id);
    let first = report.banks.iter().filter(|bank| Some(bank.id) == chosen);
    first
        .chain(report.banks.iter().filter(|bank| Some(bank.id) != chosen))
        .collect()
}

/// The chosen bank and its nearest rival, in brief.
pub fn brief(report: &Report, units: Units) -> Vec<Brief> {
    let short = |bank: &BankReport| {
        let kind = match bank.chemistry {
            crate::battery::Chemistry::LithiumIronPhosphate => "lithium",
            crate::battery::Chemistry::Flooded => "flooded",
            other => super::chemistry(other),
        };
        Brief {
            head: format!("{} {kind} {}", number(bank.count), lasting(bank.parked)),
            fit: bank.fit.as_ref().map_or_else(
                || Span::new("space not measured", Tone::Plain),
                |fit| fit_span(fit, units),
            ),
        }
    };
    ordered(report).into_iter().take(2).map(short).collect()
}

/// The sentence that decides between the candidates, where one does.
pub fn decides(report: &Report, units: Units) -> Option<String> {
    if report.banks.len() < 2 {
        return None;
    }
    let all: Vec<&BankReport> = report.banks.iter().collect();
    let wanted = report.wanted_days;
    let lasts = |bank: &BankReport| bank.parked.days() >= wanted;
    if !report.locker_measured {
        let enough: Vec<&BankReport> = all.iter().copied().filter(|bank| lasts(bank)).collect();
        let lightest = enough
            .iter()
            .min_by(|a, b| a.mass_kg.total_cmp(&b.mass_kg))?;
        return Some(format!(
            "{}: the lightest that lasts the {} you want. The space isn't measured yet, so fit is left out.",
            bank_name(lightest),
            days(wanted)
        ));
    }
    let fitting: Vec<&BankReport> = all
        .iter()
        .copied()
        .filter(|bank| bank.fits() == Some(true))
        .collect();
    match fitting.as_slice() {
        [] => {
            let nearest = all
                .iter()
                .filter_map(|bank| match bank.fit.as_ref()?.outcome {
                    Outcome::TooBig {
                        least_mm: Some(mm), ..
                    } => Some((mm, *bank)),
                    _ => None,
                });
            let (mm, bank) = nearest.min_by(|a, b| a.0.total_cmp(&b.0))?;
            Some(format!(
                "None of these goes into the space for certain. Nearest to it: {}; {} is missing.",
                bank_words(bank),
                lack(mm, units)
            ))
        }
        [only] => Some(format!(
            "Only {} will go into the space for certain{}.",
            bank_words(only),
            if lasts(only) {
                ", lasting as long as you want"
            } else {
                ", lasting less than you want"
            }
        )),
        several => {
            let best = several
                .iter()
                .copied()
                .max_by(|a, b| a.parked.days().total_cmp(&b.parked.days()))?;
            let others = several.iter().filter(|bank| bank.id != best.id);
            let next = others.map(|bank| bank.parked.days()).fold(0.0, f64::max);
            if best.parked.days() - next < 0.05 {
                return Some("They last alike; mass, money and life decide.".into());
            }
            Some(format!(
                "{}: lasts longest of those that fit.",
                bank_name(best)
            ))
        }
    }
}
