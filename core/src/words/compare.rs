//! Every candidate side by side, with the best of each line that is a fair contest.

use super::answer::fit_long;
use super::{bank_words, charge, days, lasting, list, mass, number};
use crate::fit::Outcome;
use crate::plan::Units;
use crate::report::{BankReport, BankYear, Report, YearReport};
use crate::units::hours;

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

/// Lines about the banks of a report.
struct Rows<'a> {
    report: &'a Report,
    rows: Vec<Line>,
}

impl Rows<'_> {
    /// Adds a line: what it says of each bank.
    fn add(&mut self, what: &str, text: &dyn Fn(&BankReport) -> String) {
        let cell = |bank| Cell {
            text: text(bank),
            best: false,
            bad: false,
        };
        self.rows.push(Line {
            what: what.to_owned(),
            cells: self.report.banks.iter().map(cell).collect(),
        });
    }

    /// Marks in the last line what rules a bank out.
    fn bad(&mut self, is_bad: &dyn Fn(&BankReport) -> bool) {
        for (cell, bank) in self
            .rows
            .last_mut()
            .into_iter()
            .flat_map(|row| &mut row.cells)
            .zip(&self.report.banks)
        {
            cell.bad = is_bad(bank);
        }
    }

    /// Marks the best of the last line, the one of the highest score. "Best" is never said of what does not fit or is
    /// ruled out, nor of a tie.
    fn best(&mut self, score: &dyn Fn(&BankReport) -> f64) {
        let Some(row) = self.rows.last_mut() else {
            return;
        };
        let banks = self.report.banks.iter().zip(&mut row.cells);
        let mut best: Option<(f64, &mut Cell)> = None;
        let mut next = f64::NEG_INFINITY;
        for (bank, cell) in banks.filter(|(bank, cell)| !does_not_fit(bank) && !cell.bad) {
            let score = score(bank);
            match &best {
                Some((top, _)) if score <= *top => next = next.max(score),
                _ => next = best.replace((score, cell)).map_or(next, |(top, _)| top),
            }
        }
        if let Some((top, cell)) = best {
            cell.best = next.is_finite() && top > next + 0.02 * top.abs().max(1e-9);
        }
    }
}

fn does_not_fit(bank: &BankReport) -> bool {
    bank.fit
        .as_ref()
        .is_some_and(|fit| matches!(fit.outcome, Outcome::TooBig { .. }))
}

/// Compares the candidates.
pub fn comparison(
    report: &Report,
    year: Option<&YearReport>,
    units: Units,
    currency: &str,
) -> Comparison {
    let mut rows = Rows {
        report,
        rows: Vec::new(),
    };
    if report.locker_measured {
        rows.add("in the space", &|bank| {
            let fit = bank.fit.as_ref();
            fit.map_or(String::new(), |fit| fit_long(fit, units))
        });
        rows.bad(&does_not_fit);
    }
    lasts(&mut rows);
    fills_again(&mut rows);
    rows.add("under its largest load, full and low", &|bank| {
        format!(
            "{:.1} V, {:.1} V (cut-off {:.1} V)",
            bank.loaded_full_v, bank.loaded_reserve_v, bank.cutoff_v
        )
    });
    rows.bad(&|bank| bank.loaded_full_v < bank.cutoff_v);
    rows.add(
        &format!("needed for {}", days(report.wanted_days)),
        &|bank| bank.least_count.map_or("no number would do".into(), number),
    );
    rows.add("mass", &|bank| mass(bank.mass_kg, units));
    rows.best(&|bank| -bank.mass_kg);
    if report.banks.iter().any(|bank| bank.price.is_some()) {
        rows.add("price", &|bank| price(bank.price, currency));
        rows.best(&|bank| cheapest(bank.price));
    }
    if let Some(year) = year {
        typical_year(&mut rows, year, currency);
    }
    Comparison {
        heads: report.banks.iter().map(bank_words).collect(),
        rows: rows.rows,
    }
}

fn lasts(rows: &mut Rows<'_>) {
    let report = rows.report;
    let month = super::month(report.month);
    let focus = usize::from(report.month).saturating_sub(1);
    let with_sun = |bank: &BankReport| bank.with_sun.get(focus).copied();
    rows.add(&format!("parked in {month}, nothing coming in"), &|bank| {
        lasting(bank.parked)
    });
    rows.bad(&|bank| bank.parked.days() < report.wanted_days);
    rows.best(&|bank| bank.parked.days());
    rows.add("to its hard limit", &|bank| lasting(bank.parked_hard));
    rows.add(
        &format!("parked in {month}, with the expected sun"),
        &|bank| with_sun(bank).map_or(String::new(), lasting),
    );
    rows.best(&|bank| with_sun(bank).map_or(0.0, |days| days.days().min(1e6)));
    rows.add("the same when worn out", &|bank| lasting(bank.parked_old));
    rows.add("usable new, cold, worn out", &|bank| {
        format!(
            "{}, {}, {}",
            charge(bank.usable_new_ah),
            charge(bank.usable_now_ah),
            charge(bank.usable_old_ah)
        )
    });
}

fn fills_again(rows: &mut Rows<'_>) {
    let way = super::under_way(rows.report.rig);
    rows.add(&format!("{way} to refill"), &|bank| {
        bank.driving_refill_h.map_or(format!("not by {way}"), |h| {
            hours((h * 12.0).round() / 12.0)
        })
    });
    rows.best(&|bank| -bank.driving_refill_h.unwrap_or(1e6));
    let month = super::month(rows.report.month);
    rows.add(&format!("sun to refill in {month}"), &|bank| {
        bank.sun_refill_days.map_or("not by sun alone".into(), days)
    });
}

fn typical_year(rows: &mut Rows<'_>, year: &YearReport, currency: &str) {
    let of = |bank: &BankReport| year.bank(bank.id);
    let tell = |tell: fn(&BankYear) -> String| {
        move |bank: &BankReport| of(bank).map_or(String::new(), tell)
    };
    rows.add(
        "days short in a typical year",
        &tell(|year| year.short_days.to_string()),
    );
    rows.best(&|bank| of(bank).map_or(0.0, |year| -f64::from(year.short_days)));
    rows.add(
        "lowest voltage in the coldest month",
        &tell(|year| format!("{:.1} V", year.coldest_v)),
    );
    rows.add(
        "life, about",
        &tell(|year| super::count_years(year.life.years)),
    );
    rows.best(&|bank| of(bank).map_or(0.0, |year| year.life.years));
    if year.banks.iter().any(|year| year.ten_years_price.is_some()) {
        let ten_years = |bank: &BankReport| of(bank).and_then(|year| year.ten_years_price);
        rows.add("price over ten years", &|bank| {
            price(ten_years(bank), currency)
        });
        rows.best(&|bank| cheapest(ten_years(bank)));
        let per_kwh = |bank: &BankReport| of(bank).and_then(|year| year.price_per_kwh);
        rows.add("for each kWh that it gives", &|bank| {
            per_kwh(bank).map_or("not given".into(), |price| format!("{currency} {price:.2}"))
        });
        rows.best(&|bank| cheapest(per_kwh(bank)));
    }
}

fn price(price: Option<f64>, currency: &str) -> String {
    price.map_or("not given".into(), |price| super::money(price, currency))
}

/// A score by which the cheapest comes first, and what has no price last.
fn cheapest(price: Option<f64>) -> f64 {
    price.map_or(f64::NEG_INFINITY, |price| -price)
}

/// One against another: what the second gives and takes against the first, in the sentence that decides.
pub fn one_against(
    first: &BankReport,
    second: &BankReport,
    year: Option<&YearReport>,
    units: Units,
) -> String {
    let longer = second.parked.days() - first.parked.days();
    let mut gives = vec![if longer.is_finite() {
        format!(
            "{} {} parked",
            days(longer.abs()),
            if longer >= 0.0 { "more" } else { "fewer" }
        )
    } else {
        "another length of stay".to_owned()
    }];
    let short = |bank: &BankReport| year?.bank(bank.id).map(|year| i64::from(year.short_days));
    if let (Some(a), Some(b)) = (short(first), short(second))
        && a != b
    {
        let by = a.abs_diff(b);
        let (more, day) = (
            if b < a { "fewer" } else { "more" },
            if by == 1 { "day" } else { "days" },
        );
        gives.push(format!("{by} {more} {day} short a year"));
    }
    let kg = second.mass_kg - first.mass_kg;
    if kg.abs() >= 0.5 {
        let mass = mass(kg.abs(), units);
        gives.push(format!(
            "{mass} {}",
            if kg > 0.0 { "heavier" } else { "lighter" }
        ));
    }
    let says = format!(
        "{} against {}: {}",
        super::bank_name(second),
        bank_words(first),
        list(&gives)
    );
    match (first.fits(), second.fits()) {
        (Some(true), Some(false)) => {
            format!("{says}; but it does not go in for certain, and that decides.")
        }
        (Some(false), Some(true)) => {
            format!("{says}; and it goes in for certain, where the other does not: that decides.")
        }
        (Some(false), Some(false)) => format!("{says}; neither goes in for certain yet."),
        (Some(true), Some(true)) => {
            format!("{says}; both go in, so the days decide against mass and money.")
        }
        _ => format!("{says}; the space is not measured, so fit is left out."),
    }
}

/// A bank of which the last string comes later: how long it lasts before and after, and what an old and a new string do to
/// each other.
pub fn later_line(report: &Report, bank: &BankReport) -> Option<String> {
    let later = bank.later?;
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let first = bank.parallel.saturating_sub(1);
    let shares = report
        .carries
        .parallel_of(bank.id)
        .and_then(|strings| strings.shares.last().copied());
    let fair = 1.0 / f64::from(bank.parallel.max(1));
    let gives = shares.map_or(String::new(), |share| {
        format!(
            " and the new one gives {} of the current, where {} would be its fair part",
            percent(share),
            percent(fair)
        )
    });
    Some(format!(
        "{}: {} alone {} {}; with the last one beside {} {}. By then the first {} {} of what is rated{gives}.",
        super::bank_name(bank),
        number(first),
        if first == 1 { "lasts" } else { "last" },
        lasting(later.first_parked),
        if first == 1 { "it" } else { "them" },
        lasting(bank.parked),
        if first == 1 { "holds" } else { "hold" },
        percent(later.first_health),
    ))
}

/// What to leave ready where one comes now and one later, and what an old and a new one do to each other.
pub const ONE_LATER: &str = "One now and one more later: leave its place free, bus bars with a spare stud, cables of equal length to both and a fuse holder for it. Beside an old battery a new one is drawn down to the old one's state, so buy the second within a year of the first, of the same make and kind, and bring both to the same charge before they are joined (common practice, no source).";
