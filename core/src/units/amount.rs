//! Amounts as people type them: decimal marks, digit grouping, fractions.
//!
//! The rules, in the order in which they apply:
//!
//! 1. Of two different separators the last is the decimal mark, the other groups digits: `1.000,5`, `1 000.5`.
//! 2. A separator that occurs twice or more groups digits, and so does one space or apostrophe: `1.000.000`, `1 000`, `1'000`.
//! 3. Every group after the first must have three digits; otherwise the text is refused.
//! 4. A single comma or point is the decimal mark unless it has one to three digits before it, the first of them no zero,
//!    and exactly three after it: `1,5`, `0,125`, `,125`, `1234,567`.
//! 5. What remains (`1,000`, `12.125`) can be read in two ways; the [`NumberFormat`] in use decides.

/// How a person writes numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum NumberFormat {
    /// `1,000.5`: a decimal point; commas group digits.
    #[default]
    Point,
    /// `1.000,5`: a decimal comma; points group digits.
    Comma,
    /// `1 000,5`: a decimal comma; spaces or apostrophes group digits, so that a single comma or point never does.
    Spaced,
}

impl NumberFormat {
    /// Every format, in the order in which they are offered.
    pub const ALL: [Self; 3] = [Self::Point, Self::Comma, Self::Spaced];

    /// One thousand and a half in this format, which serves as its name.
    pub fn sample(self) -> &'static str {
        match self {
            Self::Point => "1,000.5",
            Self::Comma => "1.000,5",
            Self::Spaced => "1 000,5",
        }
    }

    /// The format of a number that a browser or a system wrote: one with grouped digits and one decimal, such as `1.234.567,5`.
    /// A text without either mark gives the decimal point.
    pub fn of_written(text: &str) -> Self {
        let last = text.chars().rev().find(|c| matches!(c, '.' | ','));
        match last {
            Some(',') if text.contains('.') => Self::Comma,
            Some(',') => Self::Spaced,
            _ => Self::Point,
        }
    }

    /// The decimal mark that numbers are shown with.
    pub fn decimal_mark(self) -> char {
        match self {
            Self::Point => '.',
            Self::Comma | Self::Spaced => ',',
        }
    }

    /// A text whose numbers have a decimal point and no grouping, with this format's decimal mark instead.
    pub fn localize(self, text: &str) -> String {
        if self.decimal_mark() == '.' {
            return text.to_owned();
        }
        let letters: Vec<char> = text.chars().collect();
        let digit = |at: Option<usize>| {
            at.and_then(|at| letters.get(at))
                .is_some_and(char::is_ascii_digit)
        };
        let mark = |(at, letter): (usize, &char)| {
            if *letter == '.' && digit(at.checked_sub(1)) && digit(Some(at + 1)) {
                self.decimal_mark()
            } else {
                *letter
            }
        };
        letters.iter().enumerate().map(mark).collect()
    }

    /// Whether a single comma or point groups digits where both readings are possible.
    fn groups_by(self, separator: char) -> bool {
        match self {
            Self::Point => separator == ',',
            Self::Comma => separator == '.',
            Self::Spaced => false,
        }
    }
}

/// An amount as it was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Amount {
    /// The amount.
    pub(super) value: f64,
    /// The other value that the text can mean, where the number format decided.
    pub(super) other: Option<f64>,
    /// Whether the text says plainly what it means: digits and the decimal mark of the format.
    pub(super) plain: bool,
}

/// Why a text is no amount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Misread {
    /// It is no number.
    NoNumber,
    /// Its separators don't group digits in threes.
    Grouping,
}

/// Spaces and apostrophes that are typed or pasted between groups of digits, as one of each kind.
pub(super) fn plain_letters(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\u{2212}' => '-',
            '\u{a0}' | '\u{202f}' | '\u{2009}' | '\u{2007}' => ' ',
            '\u{2019}' | '\u{2bc}' => '\'',
            c => c,
        })
        .collect()
}

/// Reads a decimal number, a fraction or a whole number with a fraction.
pub(super) fn read_amount(text: &str, format: NumberFormat) -> Result<Amount, Misread> {
    let text = plain_letters(text)
        .replace('½', " 1/2")
        .replace('¼', " 1/4")
        .replace('¾', " 3/4");
    let text = text.trim();
    let (sign, body) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    let amount = if body.contains('/') {
        read_fraction(body).ok_or(Misread::NoNumber)?
    } else {
        read_decimal(body, format)?
    };
    Ok(Amount {
        value: sign * amount.value,
        other: amount.other.map(|other| sign * other),
        plain: amount.plain,
    })
}

/// Reads `3/8`, `3 3/8` and `3-3/8`.
fn read_fraction(body: &str) -> Option<Amount> {
    let (whole, fraction) = match body.rsplit_once([' ', '-']) {
        Some((whole, fraction)) if fraction.contains('/') => (whole.trim(), fraction),
        _ => ("0", body),
    };
    let (above, below) = fraction.split_once('/')?;
    let (above, below): (u32, u32) = (above.trim().parse().ok()?, below.trim().parse().ok()?);
    let whole: u32 = whole.parse().ok()?;
    (below != 0).then(|| Amount {
        value: f64::from(whole) + f64::from(above) / f64::from(below),
        other: None,
        plain: false,
    })
}

/// Reads digits with separators and an exponent, without a sign.
fn read_decimal(body: &str, format: NumberFormat) -> Result<Amount, Misread> {
    let (digits, exponent) = match body.split_once(['e', 'E']) {
        Some((digits, exponent)) => (digits.trim_end(), Some(exponent)),
        None => (body, None),
    };
    let value = |whole: &str, decimals: &str| {
        let mut number = whole.to_owned();
        if !decimals.is_empty() {
            number.push('.');
            number.push_str(decimals);
        }
        if let Some(exponent) = exponent {
            number.push('e');
            number.push_str(exponent);
        }
        crate::numeric::decimal(&number).ok_or(Misread::NoNumber)
    };
    let separators: Vec<(usize, char)> = digits
        .char_indices()
        .filter(|(_, c)| !c.is_ascii_digit())
        .collect();
    if separators
        .iter()
        .any(|(_, c)| !matches!(c, '.' | ',' | ' ' | '\''))
    {
        return Err(Misread::NoNumber);
    }
    let Some(&(at, last)) = separators.last() else {
        return Ok(Amount {
            value: value(digits, "")?,
            other: None,
            plain: true,
        });
    };
    // All four separators are one byte long.
    let (before, after) = (
        digits.get(..at).unwrap_or(""),
        digits.get(at + 1..).unwrap_or(""),
    );
    let is_mark = matches!(last, '.' | ',');
    if is_mark && separators.len() == 1 {
        let grouped = (1..=3).contains(&before.len()) && !before.starts_with('0');
        let joined = value(&format!("{before}{after}"), "")?;
        let split = value(before, after)?;
        if grouped && after.len() == 3 {
            let (value, other) = if format.groups_by(last) {
                (joined, split)
            } else {
                (split, joined)
            };
            return Ok(Amount {
                value,
                other: Some(other),
                plain: false,
            });
        }
        return Ok(Amount {
            value: split,
            other: None,
            plain: last == format.decimal_mark(),
        });
    }
    let others: Vec<char> = separators.iter().map(|(_, c)| *c).collect();
    let is_decimal = is_mark && others.iter().filter(|c| **c == last).count() == 1;
    let (whole, decimals) = if is_decimal {
        (before, after)
    } else {
        (digits, "")
    };
    Ok(Amount {
        value: value(&ungrouped(whole)?, decimals)?,
        other: None,
        plain: false,
    })
}

/// Grouped digits without their separators, which must all be of one kind and stand before three digits each.
fn ungrouped(text: &str) -> Result<String, Misread> {
    let mut kinds = text.chars().filter(|c| !c.is_ascii_digit());
    let Some(kind) = kinds.next() else {
        return Ok(text.to_owned());
    };
    let mut groups = text.split(kind);
    let first = groups.next().unwrap_or("");
    let well = kinds.all(|c| c == kind)
        && (1..=3).contains(&first.len())
        && groups.all(|group| group.len() == 3);
    if well {
        Ok(text.chars().filter(char::is_ascii_digit).collect())
    } else {
        Err(Misread::Grouping)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Units;
    use crate::units::{Quantity, Style};
    use proptest::prelude::*;

    /// How each number format reads a text, and whether the text can be read in two ways.
    fn readings(text: &str) -> [Option<f64>; 3] {
        NumberFormat::ALL.map(|format| read_amount(text, format).ok().map(|amount| amount.value))
    }

    /// Typed numbers with their reading in the formats `1,000.5`, `1.000,5` and `1 000,5`; a dash is a refusal.
    const TYPED: &str = include_str!("amounts.csv");

    #[test]
    fn typed_numbers_are_read_by_the_rules_in_three_formats() {
        let mut rows = 0;
        for line in TYPED.lines().filter(|line| !line.starts_with('#')) {
            let mut cells = line.split('|');
            let typed = cells.next().unwrap();
            let expected: Vec<Option<f64>> = cells
                .map(|cell| (cell != "-").then(|| cell.parse().unwrap()))
                .collect();
            assert_eq!(readings(typed).to_vec(), expected, "“{typed}”");
            rows += 1;
        }
        assert!(rows >= 80, "{rows} typed numbers");
    }

    #[test]
    fn the_other_reading_is_given_exactly_where_the_formats_differ() {
        for line in TYPED.lines().filter(|line| !line.starts_with('#')) {
            let typed = line.split('|').next().unwrap();
            let all = readings(typed);
            for format in NumberFormat::ALL {
                let Ok(amount) = read_amount(typed, format) else {
                    continue;
                };
                let differ = all.iter().any(|value| *value != Some(amount.value));
                assert_eq!(amount.other.is_some(), differ, "“{typed}” {format:?}");
                if let Some(other) = amount.other {
                    assert!(all.contains(&Some(other)), "“{typed}” {format:?}");
                    assert!(!amount.plain, "“{typed}” {format:?}");
                }
            }
        }
    }

    #[test]
    fn a_written_number_tells_its_format() {
        for (text, format) in [
            ("1,234,567.5", NumberFormat::Point),
            ("1.234.567,5", NumberFormat::Comma),
            ("1\u{202f}234\u{202f}567,5", NumberFormat::Spaced),
            ("1’234’567.5", NumberFormat::Point),
            ("12,34,567.5", NumberFormat::Point),
            ("", NumberFormat::Point),
        ] {
            assert_eq!(NumberFormat::of_written(text), format, "{text}");
        }
        for format in NumberFormat::ALL {
            assert_eq!(NumberFormat::of_written(format.sample()), format);
            assert_eq!(read_amount(format.sample(), format).unwrap().value, 1000.5);
        }
    }

    const SHOWN: [Quantity; 21] = [
        Quantity::Number,
        Quantity::Count,
        Quantity::Power,
        Quantity::Current,
        Quantity::Voltage,
        Quantity::Charge,
        Quantity::Energy,
        Quantity::Length,
        Quantity::Temperature,
        Quantity::Warmth,
        Quantity::Mass,
        Quantity::Hours,
        Quantity::Minutes,
        Quantity::Days,
        Quantity::Years,
        Quantity::Angle,
        Quantity::Share,
        Quantity::SharePerKelvin,
        Quantity::Resistance,
        Quantity::Money,
        Quantity::Times,
    ];

    proptest! {
        #[test]
        fn what_a_field_shows_reads_back_in_its_own_format(
            at in 0..SHOWN.len(), thousandths in -9_999_999_i32..9_999_999, imperial: bool, nth in 0..3_usize
        ) {
            let quantity = SHOWN[at];
            let value = f64::from(thousandths) / 1000.0;
            let units = if imperial { Units::Imperial } else { Units::Metric };
            let style = Style { units, format: NumberFormat::ALL[nth] };
            let shown = quantity.show_in(value, style);
            let reading = quantity.read(&shown, style).unwrap();
            // A field shows six digits at most: reading gives back what shows.
            let close = (reading.value - value).abs() <= 1e-5 * value.abs() + 2e-4;
            prop_assert!(close, "{quantity:?} {value} shows {shown} reads {}", reading.value);
            let of_point = quantity.read(&quantity.show(value, units), units.into()).unwrap();
            prop_assert_eq!(reading.value, of_point.value);
        }

        #[test]
        fn any_text_is_read_or_refused(text in "[-+0-9., '’/½e\u{a0}\u{202f}]{0,12}") {
            for format in NumberFormat::ALL {
                let _ = read_amount(&text, format);
            }
        }
    }
}
