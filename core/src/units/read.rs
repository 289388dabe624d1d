//! What people type, read into the plan's own unit.

use super::{Quantity, tidy};
use crate::place::{Axis, read_bearing};
use crate::plan::Units;

/// A number as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The value in the plan's unit.
    pub value: f64,
    /// The unit that was typed, if one was, by its plain name ("A", "min", "in").
    pub unit: Option<&'static str>,
    /// How it was read, where the text does not say so plainly.
    pub echo: Option<String>,
}

impl Quantity {
    /// Reads what was typed into the plan's unit.
    ///
    /// # Errors
    /// A sentence that says what was typed and what would do.
    pub fn read(self, text: &str, units: Units) -> Result<Reading, String> {
        let plain = text
            .trim()
            .replace('\u{2212}', "-")
            .replace(['\u{a0}', '\u{202f}'], " ");
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
            let shown = self.show(value, units);
            return Ok(Reading {
                value,
                unit: None,
                echo: (plain != shown && plain != tidy(value)).then_some(shown),
            });
        }
        if let Some(reading) = self.read_clocklike(&plain) {
            return finite(reading, text);
        }
        let (number, unit) = split_unit(&plain);
        let Some((amount, read_plainly)) = read_amount(number) else {
            return Err(self.not_a_number(text, units));
        };
        let named = if unit.is_empty() {
            self.unit(units)
        } else {
            unit
        };
        let (value, unit_name, converted) = match self.find(named) {
            Some((name, unit)) => (
                without_dust((amount + unit.2) * unit.1),
                Some(name),
                unit.1 != 1.0 || unit.2 != 0.0,
            ),
            None if unit.is_empty() => (amount, None, false),
            None => {
                let expected = self.unit(units);
                return Err(if self.mended(text, units).is_some() {
                    self.not_a_number(text, units)
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
        let typed_unit = (!unit.is_empty()).then_some(unit_name).flatten();
        let shown_otherwise = typed_unit.is_some() && converted && named != self.unit(units);
        let echo = (!read_plainly || shown_otherwise).then(|| match typed_unit {
            Some("A" | "mA") if self == Self::Power => format!("{} A", tidy(value)),
            _ => self.show(value, units),
        });
        finite(
            Reading {
                value,
                unit: typed_unit,
                echo,
            },
            text,
        )
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
    fn mended(self, text: &str, units: Units) -> Option<String> {
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
        (mended != text.trim() && self.read(&mended, units).is_ok()).then_some(mended)
    }

    fn not_a_number(self, text: &str, units: Units) -> String {
        let would_do = self
            .mended(text, units)
            .unwrap_or_else(|| self.example(units));
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

/// Reads a decimal, a fraction or a whole with a fraction. The flag tells whether it stood there plainly.
fn read_amount(text: &str) -> Option<(f64, bool)> {
    let text = text
        .replace('½', " 1/2")
        .replace('¼', " 1/4")
        .replace('¾', " 3/4");
    let text = text.trim();
    let (sign, body) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    if body.contains('/') {
        let (whole, fraction) = match body.rsplit_once([' ', '-']) {
            Some((whole, fraction)) if fraction.contains('/') => (whole.trim(), fraction),
            _ => ("0", body),
        };
        let (above, below) = fraction.split_once('/')?;
        let (above, below): (u32, u32) = (above.trim().parse().ok()?, below.trim().parse().ok()?);
        let whole: u32 = whole.parse().ok()?;
        if below == 0 {
            return None;
        }
        return Some((
            sign * (f64::from(whole) + f64::from(above) / f64::from(below)),
            false,
        ));
    }
    let plain = body.chars().all(|c| c.is_ascii_digit() || c == '.');
    let joined: String = body.chars().filter(|c| *c != ' ').collect();
    let thousands = joined.contains('.') || joined.matches(',').count() > 1;
    let decimal = joined.replace(',', if thousands { "" } else { "." });
    let starts_well = decimal.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    if !starts_well {
        return None;
    }
    let value = crate::numeric::decimal(&decimal)?;
    Some((sign * value, plain))
}
