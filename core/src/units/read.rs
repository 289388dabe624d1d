//! What people type, read into the plan's own unit.

use super::amount::{Misread, NumberFormat, plain_letters, read_amount};
use super::{Quantity, tidy};
use crate::place::{Axis, read_bearing};
use crate::plan::Units;

/// How numbers are read and shown: the units of bare numbers and the number format. Neither is read from anywhere: the
/// caller knows both.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Units of numbers without a unit.
    pub units: Units,
    /// How decimals and groups of digits are marked.
    pub format: NumberFormat,
}

/// Numbers with a decimal point, as plan files and the command line write them.
impl From<Units> for Style {
    fn from(units: Units) -> Self {
        Self {
            units,
            format: NumberFormat::Point,
        }
    }
}

/// A number as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The value in the plan's unit.
    pub value: f64,
    /// The unit that was typed, if one was, by its plain name ("A", "min", "in").
    pub unit: Option<&'static str>,
    /// How it was read, where the text does not say so plainly.
    pub echo: Option<String>,
    /// The other value that the text can mean, in the plan's unit, where the number format decided: `1,000` is 1000 or 1.
    pub other: Option<f64>,
}

impl Quantity {
    /// Reads what was typed into the plan's unit.
    ///
    /// # Errors
    /// A sentence that says what was typed and what would do.
    pub fn read(self, text: &str, style: Style) -> Result<Reading, String> {
        let units = style.units;
        let plain = plain_letters(text.trim());
        if plain.is_empty() {
            return Err(format!("This is empty. Write {}.", self.example(units)));
        }
        let direction = match self {
            Self::Latitude => Some(Axis::Latitude.read(text)),
            Self::Longitude => Some(Axis::Longitude.read(text)),
            Self::Bearing => Some(read_bearing(text)),
            _ => None,
        };
        if let Some(value) = direction {
            let value = without_dust(value?);
            let shown = self.show_in(value, style);
            let bare = style.format.localize(&tidy(value));
            return Ok(Reading {
                value,
                unit: None,
                echo: (plain != plain_letters(&shown) && plain != plain_letters(&bare))
                    .then_some(shown),
                other: None,
            });
        }
        if let Some(reading) = self.read_clocklike(&plain) {
            return finite(reading, text);
        }
        let (number, unit) = split_unit(&plain);
        let amount = read_amount(number, style.format).map_err(|why| match why {
            Misread::NoNumber => self.not_a_number(text, style),
            Misread::Grouping => format!(
                "“{}” isn't grouped in threes. Write it without separators between thousands.",
                text.trim()
            ),
        })?;
        let named = if unit.is_empty() {
            self.unit(units)
        } else {
            unit
        };
        let (factor, offset, unit_name) = match self.find(named) {
            Some((name, unit)) => (unit.1, unit.2, Some(name)),
            None if unit.is_empty() => (1.0, 0.0, None),
            None => {
                let expected = self.unit(units);
                return Err(if self.mended(text, style).is_some() {
                    self.not_a_number(text, style)
                } else if expected.is_empty() {
                    format!(
                        "“{}” has a unit where none belongs. Write {number}.",
                        text.trim()
                    )
                } else {
                    format!("“{unit}” isn't a unit for this. Write {number} {expected}.")
                });
            }
        };
        let convert = |amount: f64| without_dust((amount + offset) * factor);
        let value = convert(amount.value);
        let typed_unit = (!unit.is_empty()).then_some(unit_name).flatten();
        let converted = factor != 1.0 || offset != 0.0;
        let shown_otherwise = typed_unit.is_some() && converted && named != self.unit(units);
        let echo =
            (!amount.plain || shown_otherwise).then(|| self.show_read(value, typed_unit, style));
        let reading = Reading {
            value,
            unit: typed_unit,
            echo,
            other: amount.other.map(convert),
        };
        finite(reading, text)
    }

    /// Shows a value that was read: a load in amperes stays in amperes.
    pub fn show_read(self, value: f64, unit: Option<&'static str>, style: Style) -> String {
        match unit {
            Some("A" | "amp" | "amps" | "mA") if self == Self::Power => {
                Self::Current.show_in(value, style)
            }
            _ => self.show_in(value, style),
        }
    }

    /// The range in which a value of this kind usually lies, in the plan's unit. It decides whether a number that can be read in two
    /// ways needs a question, and refuses nothing. Assumed, for rigs of vans, boats and huts.
    pub fn usual(self) -> std::ops::RangeInclusive<f64> {
        match self {
            Self::Power => 0.1..=6000.0,
            Self::Current => 0.01..=1000.0,
            Self::Voltage => 0.5..=600.0,
            Self::Charge => 0.5..=3000.0,
            Self::Energy => 1.0..=50_000.0,
            Self::Length => 0.5..=30_000.0,
            Self::Temperature => -60.0..=120.0,
            Self::Warmth => 0.0..=80.0,
            Self::Mass => 0.1..=500.0,
            Self::Hours => 0.0..=240.0,
            Self::Minutes => 0.05..=1440.0,
            Self::Days => 0.1..=366.0,
            Self::Years => 0.0..=50.0,
            Self::Angle => -360.0..=360.0,
            Self::Share => 0.0..=1.0,
            Self::SharePerKelvin => -0.05..=0.05,
            Self::Resistance => 0.01..=1000.0,
            Self::SunHours => 0.0..=12.0,
            Self::Times => 0.1..=30.0,
            _ => f64::MIN..=f64::MAX,
        }
    }

    /// Compound durations: `3 h 30`, `3h30min`, `3:30`.
    fn read_clocklike(self, text: &str) -> Option<Reading> {
        let per_hour = match self {
            Self::Hours => 1.0,
            Self::Minutes => 60.0,
            _ => return None,
        };
        let lower = text.to_ascii_lowercase();
        let (hours, rest) = lower.split_once(':').or_else(|| lower.split_once('h'))?;
        let rest = rest
            .trim_start_matches("ours")
            .trim_start_matches("our")
            .trim()
            .trim_end_matches(|c: char| c.is_alphabetic())
            .trim();
        let hours: u32 = hours.trim().parse().ok()?;
        let minutes: u32 = rest.parse().ok()?;
        if minutes > 59 {
            return None;
        }
        let value = (f64::from(hours) + f64::from(minutes) / 60.0) * per_hour;
        Some(Reading {
            value,
            unit: Some("h"),
            echo: None,
            other: None,
        })
    }

    fn example(self, units: Units) -> String {
        let unit = self.unit(units);
        let number = match self {
            Self::Power => "40",
            Self::Voltage => "12",
            Self::Length if units == Units::Imperial => "12 3/8",
            Self::Length => "315",
            Self::Hours => return "3 h 30".into(),
            Self::Latitude => return "54.8 S".into(),
            Self::Longitude => return "68.3 W".into(),
            Self::Bearing => return "a direction such as south or 135".into(),
            Self::Share => "80",
            Self::Charge => "100",
            _ => "4",
        };
        if unit.is_empty() {
            format!("a number such as {number}")
        } else {
            format!("a number such as {number} {unit}")
        }
    }

    /// The text with letters that stand for digits beside digits put right, where that can be read.
    fn mended(self, text: &str, style: Style) -> Option<String> {
        let letters: Vec<char> = text.trim().chars().collect();
        let digit = |at: Option<usize>| {
            at.and_then(|at| letters.get(at))
                .is_some_and(char::is_ascii_digit)
        };
        let right = |(at, letter): (usize, &char)| match letter {
            'o' | 'O' if digit(at.checked_sub(1)) || digit(Some(at + 1)) => '0',
            'l' | 'I' if digit(at.checked_sub(1)) || digit(Some(at + 1)) => '1',
            letter => *letter,
        };
        let mended: String = letters.iter().enumerate().map(right).collect();
        (mended != text.trim() && self.read(&mended, style).is_ok()).then_some(mended)
    }

    fn not_a_number(self, text: &str, style: Style) -> String {
        let would_do = self
            .mended(text, style)
            .unwrap_or_else(|| self.example(style.units));
        format!("“{}” isn't a number. Write {would_do}.", text.trim())
    }
}

/// A converted value without the last bits that only the conversion put there.
fn without_dust(value: f64) -> f64 {
    if value.abs() < 1e6 {
        (value * 1e9).round() / 1e9
    } else {
        value
    }
}

fn finite(reading: Reading, text: &str) -> Result<Reading, String> {
    if reading.value.is_finite() {
        Ok(reading)
    } else {
        Err(format!(
            "“{}” is larger than any number here can be.",
            text.trim()
        ))
    }
}

/// Splits a trailing unit from a number.
fn split_unit(text: &str) -> (&str, &str) {
    let end = text
        .char_indices()
        .rev()
        .find(|(_, c)| c.is_ascii_digit() || matches!(c, '.' | ',' | '½' | '¼' | '¾'))
        .map_or(0, |(at, c)| at + c.len_utf8());
    // An exponent such as 1e308 belongs to the number, letters before a digit do not end it.
    (
        text.get(..end).unwrap_or("").trim(),
        text.get(end..).unwrap_or("").trim(),
    )
}
