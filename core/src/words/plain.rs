//! Small words: names of months, days and kinds, numbers as people say them, lists.

use crate::battery::{Chemistry, Lasting};
use crate::energy::DayKind;
use crate::plan::{MONTHS, Rig, Units};
use crate::units::{Quantity, tidy};

/// A month's name, from 1.
pub fn month(month: u8) -> &'static str {
    MONTHS
        .get(usize::from(month).wrapping_sub(1))
        .copied()
        .unwrap_or("no month")
}

/// A month's name in three letters.
pub fn month_short(number: u8) -> &'static str {
    month(number).get(..3).unwrap_or("")
}

/// A kind of day.
pub fn kind(kind: DayKind) -> &'static str {
    match kind {
        DayKind::Parked => "parked",
        DayKind::Travelling => "travelling",
        DayKind::HookedUp => "hooked up",
        DayKind::Away => "with nobody there",
    }
}

/// What a rig does on a travelling day.
pub fn under_way(rig: Rig) -> &'static str {
    match rig {
        Rig::Boat => "motoring",
        Rig::Van | Rig::Trailer | Rig::Building => "driving",
    }
}

/// A kind of battery.
pub fn chemistry(kind: Chemistry) -> &'static str {
    match kind {
        Chemistry::Flooded => "flooded lead-acid",
        Chemistry::Agm => "AGM",
        Chemistry::Gel => "gel",
        Chemistry::LithiumIronPhosphate => "lithium iron phosphate",
        Chemistry::SodiumIon => "sodium-ion",
    }
}

/// "one", "two" … "twelve", then figures.
pub fn number(count: u32) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS
        .get(count as usize)
        .map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

/// With its first letter large.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// "about 6 years" without the about: whole years, or halves below three.
pub(crate) fn count_years(years: f64) -> String {
    if years >= 50.0 {
        return "more than 50 years".into();
    }
    let rounded = if years < 3.0 {
        (years * 2.0).round() / 2.0
    } else {
        years.round()
    };
    format!(
        "{} {}",
        tidy(rounded),
        if rounded == 1.0 { "year" } else { "years" }
    )
}

/// "1 guess", "5 guesses".
pub fn count(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// "day-sized portions" of a shelf.
pub fn portions(portions: usize) -> String {
    count(portions, "portion of a day", "portions of a day")
}

/// "January, February and March".
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// When, by months from 1: "from October to March", "in April and from June to August", "in every month".
pub fn in_months(months: &[u8]) -> String {
    let is_in = |month: u8| months.contains(&month);
    let (before, after) = (|month| (month + 10) % 12 + 1, |month| month % 12 + 1);
    if (1..=12).all(is_in) {
        return "in every month".into();
    }
    let runs: Vec<String> = (1..=12)
        .filter(|month| is_in(*month) && !is_in(before(*month)))
        .map(|first| {
            let mut last = first;
            while is_in(after(last)) {
                last = after(last);
            }
            let (first, next, last) = (month(first), month(after(first)), month(last));
            match last {
                _ if last == first => format!("in {first}"),
                _ if last == next => format!("in {first} and {last}"),
                _ => format!("from {first} to {last}"),
            }
        })
        .collect();
    list(&runs)
}

/// An amount of money, to whole ones: "€ 210".
pub(crate) fn money(amount: f64, currency: &str) -> String {
    format!("{currency} {}", whole(amount))
}

/// A whole number, with a true minus and a thin gap between thousands.
pub fn whole(value: f64) -> String {
    if !value.is_finite() {
        return "–".into();
    }
    let digits = format!("{:.0}", value.abs());
    let mut grouped = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at) % 3 == 0 && digits.len() > 4 {
            grouped.push('\u{202f}');
        }
        grouped.push(digit);
    }
    if value < 0.0 && digits != "0" {
        format!("\u{2212}{grouped}")
    } else {
        grouped
    }
}

/// A share in percent.
pub fn percent(share: f64) -> String {
    format!("{} %", whole(share * 100.0))
}

/// An energy rounded to what is known.
pub fn energy(wh: f64) -> String {
    match wh.abs() {
        small if small < 9.95 => format!("{} Wh", tidy((wh * 10.0).round() / 10.0)),
        large if large >= 99_500.0 => format!("{} kWh", whole(wh / 1000.0)),
        large if large >= 9_950.0 => format!("{:.1} kWh", wh / 1000.0),
        _ => format!("{} Wh", whole(wh)),
    }
}

/// A charge rounded to what is known.
pub fn charge(ah: f64) -> String {
    if ah.abs() < 9.95 {
        format!("{} Ah", tidy((ah * 10.0).round() / 10.0))
    } else {
        format!("{} Ah", whole(ah))
    }
}

/// A number of days, "2.6 days"; tenths up to ten.
pub fn days(days: f64) -> String {
    let shown = if days < 9.95 {
        (days * 10.0).round() / 10.0
    } else {
        days.round()
    };
    format!(
        "{} {}",
        tidy(shown),
        if shown == 1.0 { "day" } else { "days" }
    )
}

/// How long a bank lasts.
pub fn lasting(lasting: Lasting) -> String {
    match lasting {
        Lasting::Days(number) => days(number),
        Lasting::Endless => "endless".into(),
        Lasting::Beyond(number) => format!("over {}", days(number)),
    }
}

/// A temperature, to a whole degree.
pub(crate) fn temperature(c: f64, units: Units) -> String {
    let shown = whole(Quantity::Temperature.to_shown(c, units));
    format!("{shown} {}", Quantity::Temperature.unit(units))
}

/// A mass, to half a kilogram or a pound.
pub(crate) fn mass(kg: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} kg", tidy((kg * 2.0).round() / 2.0)),
        Units::Imperial => format!("{} lb", whole(Quantity::Mass.to_shown(kg, units))),
    }
}

/// A compass direction.
pub fn compass(azimuth_deg: f64) -> &'static str {
    const POINTS: [&str; 8] = [
        "north",
        "north-east",
        "east",
        "south-east",
        "south",
        "south-west",
        "west",
        "north-west",
    ];
    let eighth = (azimuth_deg.rem_euclid(360.0) / 45.0).round() as usize % 8;
    POINTS.get(eighth).copied().unwrap_or("north")
}

/// A power rounded to what is known.
pub fn watts(w: f64) -> String {
    if w < 9.95 {
        format!("{} W", tidy((w * 10.0).round() / 10.0))
    } else {
        format!("{} W", whole(w))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_words_are_right() {
        assert_eq!(count(1, "guess", "guesses"), "1 guess");
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
        assert_eq!(in_months(&[1, 2, 3, 10, 11, 12]), "from October to March");
        assert_eq!(
            in_months(&[4, 8, 9]),
            "in April and in August and September"
        );
        assert_eq!(in_months(&[1, 12]), "in December and January");
        assert_eq!(in_months(&(1..=12).collect::<Vec<_>>()), "in every month");
        assert_eq!(days(1.04), "1 day");
        assert_eq!(days(12.4), "12 days");
        assert_eq!(whole(-1234.4), "\u{2212}1234");
        assert_eq!(whole(12345.0), "12\u{202f}345");
        assert_eq!(compass(179.0), "south");
        assert_eq!(compass(-45.0), "north-west");
        assert_eq!(number(2), "two");
        assert_eq!(energy(4.0), "4 Wh");
    }
}
