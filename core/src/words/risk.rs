//! How sure it is, in words.

use super::{bank_name, bank_of, count, money, month, tidy, whole};
use crate::numeric::order;
use crate::plan::Units;
use crate::report::{Doubt, Report, Risk, SizingMap};
use crate::units::Quantity;

/// A mean of days, to what is known of it.
fn days(mean: f64) -> String {
    let rounded = if mean < 10.0 {
        (mean * 10.0).round() / 10.0
    } else {
        mean.round()
    };
    tidy(rounded)
}

/// How often a bank runs short in drawn years.
pub fn risk_line(report: &Report, risk: &Risk) -> String {
    let name = bank_of(report, risk.id);
    let years = count(risk.years as usize, "drawn year", "drawn years");
    if risk.years_with_none == 1.0 {
        let least = risk.none_interval[0] * 100.0;
        return format!(
            "{name}: short in none of {years}; at least {} % of years have no short day.",
            tidy((least * 10.0).floor() / 10.0)
        );
    }
    let Some([low, high]) = risk.interval else {
        return format!(
            "{name}: short in {} % of {years}, less than a day a year on average.",
            whole((1.0 - risk.years_with_none) * 100.0)
        );
    };
    let middle = if risk.tenth == risk.ninth {
        format!(
            "{} in most years",
            count(risk.median as usize, "day", "days")
        )
    } else {
        format!("{} to {} days in most years", risk.tenth, risk.ninth)
    };
    format!(
        "{name}: short on {} days a year on average over {years} ({} to {}), {middle}; the longest spell was {}, ending in {}.",
        days(risk.mean_days),
        days(low),
        days(high),
        count(usize::from(risk.worst_spell_days), "day", "days"),
        month(risk.worst_spell_month)
    )
}

/// What a map says of the plan and of the way to the tolerance.
pub fn map_says(map: &SizingMap) -> String {
    let tolerance = count(map.tolerance_days.round() as usize, "day", "days");
    let ways: Vec<String> = map
        .ways()
        .into_iter()
        .map(|(strings, watts)| {
            format!(
                "{} with {} W",
                count(strings as usize, "string", "strings"),
                whole(watts)
            )
        })
        .collect();
    if map.most_strings == 0 {
        return "No string of it fits the space as it is, so none is proposed.".to_owned();
    }
    if ways.is_empty() {
        let bound = format!(
            "{} and {} W",
            count(map.most_strings as usize, "string", "strings"),
            whole(map.watts.last().copied().unwrap_or(0.0))
        );
        return match map.fewest_days() {
            Some(fewest) => format!(
                "Fewest short days a year within {bound}: {}. Other sources or less use would help.",
                days(fewest)
            ),
            None => format!("Nothing within {bound} is worked out yet."),
        };
    }
    format!(
        "To be short on no more than {tolerance} a year: {}.",
        super::list(&ways)
    )
}

/// The cheapest way to what is borne; nothing where no price is known.
pub fn cheapest_says(map: &SizingMap, currency: &str) -> String {
    map.cheapest()
        .map_or_else(String::new, |(strings, watts, price)| {
            format!(
                "By your prices the cheapest of them is {} with {} W: {} for batteries and panels.",
                count(strings as usize, "string", "strings"),
                whole(watts),
                money(price, currency)
            )
        })
}

/// How far an input may be out, in words.
fn range(doubt: &Doubt, units: Units) -> String {
    match UNCERTAIN_UNITS.get(doubt.nth) {
        Some(Quantity::Share) => format!("{} % less to more", tidy(doubt.range * 100.0)),
        Some(Quantity::Years) => {
            format!("{} less to more", Quantity::Years.show(doubt.range, units))
        }
        Some(quantity) => format!("{} colder to warmer", quantity.show(doubt.range, units)),
        None => String::new(),
    }
}

/// In what each uncertain input's range is told.
const UNCERTAIN_UNITS: [Quantity; 7] = [
    Quantity::Share,
    Quantity::Share,
    Quantity::Share,
    Quantity::Share,
    Quantity::Years,
    Quantity::Share,
    Quantity::Warmth,
];

/// What each uncertain input does, the one that moves most first.
pub fn doubts_sorted(doubts: &[Doubt]) -> Vec<Doubt> {
    let moves = |doubt: &Doubt| {
        let (low, high) = (doubt.low, doubt.high);
        -(low.short_days - high.short_days).abs()
            - (low.parked_days - high.parked_days).abs().min(9.0) * 0.1
    };
    let most_first = order(&doubts.iter().map(moves).collect::<Vec<_>>());
    let sorted = most_first.into_iter().filter_map(|at| doubts.get(at));
    sorted.copied().collect()
}

/// The same as rows of a table.
pub fn doubt_rows(doubts: &[Doubt], units: Units) -> Vec<Vec<String>> {
    let rows = doubts_sorted(doubts).into_iter().map(|doubt| {
        let to = |from: f64, to: f64| format!("{} to {}", days(from), days(to));
        vec![
            format!("{}: {}", doubt.name, range(&doubt, units)),
            to(doubt.low.short_days, doubt.high.short_days),
            to(doubt.low.parked_days, doubt.high.parked_days),
        ]
    });
    rows.collect()
}

/// The band of the answer, from the joint draw of all that is uncertain.
pub fn band_says(report: &Report, [low, high]: [u32; 2]) -> String {
    let name = report
        .chosen_bank()
        .map_or("The bank".to_owned(), bank_name);
    let span = if high == 0 {
        "on no day a year".to_owned()
    } else if low == high {
        format!("on {} a year", count(low as usize, "day", "days"))
    } else {
        format!("on {low} to {} a year", count(high as usize, "day", "days"))
    };
    format!(
        "{name}, all in all: short {span}, nine years in ten. For this the weather and all that is uncertain about the plan are drawn together."
    )
}

/// Heads of those rows.
pub const DOUBT_HEADS: [&str; 3] = ["if it is", "days short a year", "days parked"];

/// Days short a year that somebody bears.
pub fn days_borne(days: f64) -> String {
    if days == 0.0 {
        "no day".to_owned()
    } else {
        format!("up to {}", count(days.round() as usize, "day", "days"))
    }
}

/// What drawn years rest on.
pub const RISK_NOTE: &str = "Weather alone is drawn here: how clear and how warm each day is about its month's means, with the memory that weather has. A day's mean temperature strays by about 2 to 6 °C, most where winters are cold, and is independent of its sun; a clear day swings wider from night to afternoon. Panels feel all of it, batteries and loads the day's mean, without delay (assumed). The doubt in the means themselves, in the loads and in the bank is only in what is said “all in all”. A year begins full, in its sunniest month; years come in pairs, one as dull and cold where the other is clear and warm, which makes the mean surer.";

/// A map as comma-separated values: strings down, watts across, days short a year in the cells.
pub fn map_csv(map: &SizingMap) -> String {
    let mut text = String::from("strings \\ solar (W)");
    for watts in &map.watts {
        text += &format!(",{watts:.0}");
    }
    text.push('\n');
    for (row, strings) in map.strings.iter().enumerate() {
        text += &strings.to_string();
        for watt in 0..map.watts.len() {
            text.push(',');
            if let Some(days) = map.days(row, watt) {
                text += &format!(
                    "{}{days:.2}",
                    if map.is_bound(row, watt) { ">" } else { "" }
                );
            }
        }
        text.push('\n');
    }
    text
}
