//! Every candidate side by side, with the best of each line that is a fair contest.

use super::answer::fit_long;
use super::{bank_called, charge, days, lasting, number, whole};
use crate::fit::Outcome;
use crate::plan::Units;
use crate::report::{BankReport, BankYear, Report, YearReport};
use crate::units::{Quantity, hours, tidy};

/// One figure of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// The figure in words.
    pub text: String,
    /// Whether it is the best of its line.
    pub best: bool,
    /// Whether it rules the candidate out.
    pub bad: bool,
}

/// One line of a comparison.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What is compared.
    pub what: String,
    /// One cell a candidate.
    pub cells: Vec<Cell>,
}

/// Candidates side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// One head a candidate.
    pub heads: Vec<String>,
    /// The lines.
    pub rows: Vec<Line>,
}

/// A line; `score` ranks where a best may be named (none: it never is).
fn line(
    report: &Report,
    what: &str,
    text: impl Fn(&BankReport) -> String,
    bad: impl Fn(&BankReport) -> bool,
    score: Option<&dyn Fn(&BankReport) -> f64>,
) -> Line {
    // "Best" is never said of what does not fit, nor of a tie.
    let contender = |bank: &&BankReport| !does_not_fit(bank) && !bad(bank);
    let best = score.and_then(|score| {
        let scores: Vec<(u32, f64)> = report
            .banks
            .iter()
            .filter(contender)
            .map(|bank| (bank.id, score(bank)))
            .collect();
        let (id, top) = scores.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1))?;
        let next = scores
            .iter()
            .filter(|(other, _)| *other != id)
            .map(|(_, score)| *score)
            .fold(f64::NEG_INFINITY, f64::max);
        (next.is_finite() && top > next + 0.02 * top.abs().max(1e-9)).then_some(id)
    });
    let cells = report
        .banks
        .iter()
        .map(|bank| Cell {
            text: text(bank),
            best: best == Some(bank.id),
            bad: bad(bank),
        })
        .collect();
    Line {
        what: what.to_owned(),
        cells,
    }
}

fn does_not_fit(bank: &BankReport) -> bool {
    bank.fit
        .as_ref()
        .is_some_and(|fit| matches!(fit.outcome, Outcome::TooBig { .. }))
}

fn nothing_bad(_: &BankReport) -> bool {
    false
}

/// Compares the candidates.
pub fn comparison(
    report: &Report,
    year: Option<&YearReport>,
    units: Units,
    currency: &str,
) -> Comparison {
    let heads = report
        .banks
        .iter()
        .map(|bank| bank_called(bank.chemistry, bank.each_ah, bank.series, bank.parallel))
        .collect();
    let month = super::month(report.month);
    let focus = usize::from(report.month).saturating_sub(1);
    let with_sun = |bank: &BankReport| bank.with_sun.get(focus).copied();
    let mut rows = Vec::new();
    if report.locker_measured {
        rows.push(line(
            report,
            "in the space",
            |bank| {
                bank.fit
                    .as_ref()
                    .map_or(String::new(), |fit| fit_long(fit, units))
            },
            does_not_fit,
            None,
        ));
    }
    rows.push(line(
        report,
        &format!("parked in {month}, nothing coming in"),
        |bank| lasting(bank.parked),
        |bank| bank.parked.days() < report.wanted_days,
        Some(&|bank| bank.parked.days()),
    ));
    rows.push(line(
        report,
        "to its hard limit",
        |bank| lasting(bank.parked_hard),
        nothing_bad,
        None,
    ));
    rows.push(line(
        report,
        &format!("parked in {month}, with the expected sun"),
        |bank| with_sun(bank).map_or(String::new(), lasting),
        nothing_bad,
        Some(&|bank| with_sun(bank).map_or(0.0, |days| days.days().min(1e6))),
    ));
    rows.push(line(
        report,
        "the same when worn out",
        |bank| lasting(bank.parked_old),
        nothing_bad,
        None,
    ));
    rows.push(line(
        report,
        "usable new, cold, worn out",
        |bank| {
            format!(
                "{}, {}, {}",
                charge(bank.usable_new_ah),
                charge(bank.usable_now_ah),
                charge(bank.usable_old_ah)
            )
        },
        nothing_bad,
        None,
    ));
    rows.push(line(
        report,
        "driving to refill",
        |bank| {
            bank.driving_refill_h.map_or("not by driving".into(), |h| {
                hours((h * 12.0).round() / 12.0)
            })
        },
        nothing_bad,
        Some(&|bank| -bank.driving_refill_h.unwrap_or(1e6)),
    ));
    rows.push(line(
        report,
        &format!("sun to refill in {month}"),
        |bank| bank.sun_refill_days.map_or("not by sun alone".into(), days),
        nothing_bad,
        None,
    ));
    rows.push(line(
        report,
        "under its largest load, full and low",
        |bank| {
            format!(
                "{:.1} V, {:.1} V (cut-off {:.1} V)",
                bank.loaded_full_v, bank.loaded_reserve_v, bank.cutoff_v
            )
        },
        |bank| bank.loaded_full_v < bank.cutoff_v,
        None,
    ));
    rows.push(line(
        report,
        &format!("needed for {}", days(report.wanted_days)),
        |bank| bank.least_count.map_or("no number would do".into(), number),
        nothing_bad,
        None,
    ));
    rows.push(line(
        report,
        "mass",
        |bank| mass(bank.mass_kg, units),
        nothing_bad,
        Some(&|bank| -bank.mass_kg),
    ));
    if report.banks.iter().any(|bank| bank.price.is_some()) {
        rows.push(line(
            report,
            "price",
            |bank| {
                bank.price.map_or("not given".into(), |price| {
                    format!("{currency} {}", whole(price))
                })
            },
            nothing_bad,
            Some(&|bank| bank.price.map_or(f64::NEG_INFINITY, |price| -price)),
        ));
    }
    if let Some(year) = year {
        let of = |bank: &BankReport| year.bank(bank.id);
        let tell = |tell: fn(&BankYear) -> String| {
            move |bank: &BankReport| of(bank).map_or(String::new(), tell)
        };
        rows.push(line(
            report,
            "days short in a typical year",
            tell(|year| year.short_days.to_string()),
            nothing_bad,
            Some(&|bank| of(bank).map_or(0.0, |year| -f64::from(year.short_days))),
        ));
        rows.push(line(
            report,
            "lowest voltage in the coldest month",
            tell(|year| format!("{:.1} V", year.coldest_v)),
            nothing_bad,
            None,
        ));
        rows.push(line(
            report,
            "life, about",
            tell(|year| super::count_years(year.life.years)),
            nothing_bad,
            Some(&|bank| of(bank).map_or(0.0, |year| year.life.years)),
        ));
        if year.banks.iter().any(|year| year.ten_years_price.is_some()) {
            rows.push(line(
                report,
                "price over ten years",
                |bank| {
                    let price = of(bank).and_then(|year| year.ten_years_price);
                    price.map_or("not given".into(), |price| {
                        format!("{currency} {}", whole(price))
                    })
                },
                nothing_bad,
                Some(&|bank| {
                    of(bank)
                        .and_then(|year| year.ten_years_price)
                        .map_or(f64::NEG_INFINITY, |price| -price)
                }),
            ));
            rows.push(line(
                report,
                "for each kWh that it gives",
                |bank| {
                    let price = of(bank).and_then(|year| year.price_per_kwh);
                    price.map_or("not given".into(), |price| format!("{currency} {price:.2}"))
                },
                nothing_bad,
                Some(&|bank| {
                    of(bank)
                        .and_then(|year| year.price_per_kwh)
                        .map_or(f64::NEG_INFINITY, |price| -price)
                }),
            ));
        }
    }
    Comparison { heads, rows }
}

fn mass(kg: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} kg", tidy((kg * 2.0).round() / 2.0)),
        Units::Imperial => format!("{} lb", whole(Quantity::Mass.to_shown(kg, units))),
    }
}
