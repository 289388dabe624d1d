//! Figures and names out of free words: `2 x 4W reading lamp 3 h 30`.

use super::{Pasted, pasted};
use crate::plan::{DrawUnit, Units};
use crate::units::{NumberFormat, Quantity, Reading, Style};

/// A piece of a line.
#[derive(Clone, Debug, PartialEq)]
enum Token {
    /// A number as typed.
    Number(String),
    /// Anything else without spaces.
    Word(String),
    /// The end of a cell.
    End,
}

/// What a line gives.
#[derive(Clone, Debug, Default)]
pub(super) struct Figures {
    pub(super) count: Option<f64>,
    /// With its unit.
    pub(super) draw: Option<(f64, DrawUnit)>,
    /// Hours a day.
    pub(super) hours: Option<f64>,
    pub(super) name: String,
    /// Whether the number format decided how a number is read.
    pub(super) format_decided: bool,
}

const POWER: &[&str] = &["w", "watt", "watts", "kw", "a", "amp", "amps", "ma"];
const TIME: &[&str] = &[
    "h", "hour", "hours", "hr", "hrs", "min", "mins", "minute", "minutes",
];
/// Words between a time and the day that it is of.
const A_DAY: &[&[&str]] = &[
    &["a", "day"],
    &["per", "day"],
    &["daily"],
    &["/", "day"],
    &["/day"],
];

/// Reads the cells of a line; a free line is one cell.
pub(super) fn read(cells: &[&str], format: NumberFormat) -> Result<Pasted, String> {
    let mut tokens = Vec::new();
    for cell in cells {
        split(cell, &mut tokens);
        tokens.push(Token::End);
    }
    let mut reader = Reader {
        tokens: &tokens,
        at: 0,
        format,
        figures: Figures::default(),
        words: Vec::new(),
        bare: Vec::new(),
    };
    reader.read()?;
    pasted(&reader.figures)
}

/// Splits text into numbers and words. A number begins a word and ends before the letters of its unit.
fn split(text: &str, tokens: &mut Vec<Token>) {
    for word in text.split_whitespace() {
        let mut rest = word;
        while !rest.is_empty() {
            let is_number = rest.starts_with(|c: char| c.is_ascii_digit() || "½¼¾".contains(c))
                || (rest.starts_with(['.', ','])
                    && rest.chars().nth(1).is_some_and(|c| c.is_ascii_digit()));
            let end = if is_number {
                let part = |c: char| c.is_ascii_digit() || ".,'’:/½¼¾".contains(c);
                let run = rest.find(|c| !part(c)).unwrap_or(rest.len());
                // A mark at the end belongs to the sentence.
                rest.get(..run)
                    .unwrap_or("")
                    .trim_end_matches(['.', ',', '\'', '’', ':', '/'])
                    .len()
            } else if let Some(sign) = rest.chars().next().filter(|c| "xX×(".contains(*c))
                && rest.get(sign.len_utf8()..).is_some_and(|after| {
                    sign == '(' || sign == '×' || after.starts_with(|c: char| c.is_ascii_digit())
                })
            {
                sign.len_utf8()
            } else {
                // The letters of a time such as `3h30` end before its minutes.
                let follows_number =
                    matches!(tokens.last(), Some(Token::Number(_))) && rest != word;
                let digit = rest
                    .find(|c: char| c.is_ascii_digit())
                    .filter(|_| follows_number);
                digit.unwrap_or(rest.len())
            };
            let (token, after) = rest.split_at_checked(end).unwrap_or((rest, ""));
            tokens.push(if is_number {
                Token::Number(token.to_owned())
            } else {
                Token::Word(token.to_owned())
            });
            rest = after;
        }
    }
}

/// Whether a number can be a later group of digits: three of them, with decimals behind at most.
fn is_group(text: &str) -> bool {
    let digits = text.chars().take_while(char::is_ascii_digit).count();
    let decimals = text.get(3..).unwrap_or("");
    digits == 3 && (decimals.is_empty() || decimals.starts_with(['.', ',']))
}

struct Reader<'a> {
    tokens: &'a [Token],
    at: usize,
    format: NumberFormat,
    figures: Figures,
    words: Vec<&'a str>,
    /// Numbers without a unit that stand at the end or in a cell of their own.
    /// Each with whether the power was known before it.
    bare: Vec<(String, bool)>,
}

impl<'a> Reader<'a> {
    fn number(&self, at: usize) -> Option<&'a str> {
        match self.tokens.get(at)? {
            Token::Number(text) => Some(text),
            _ => None,
        }
    }

    fn word(&self, at: usize) -> Option<&'a str> {
        match self.tokens.get(at)? {
            Token::Word(text) => Some(text),
            _ => None,
        }
    }

    /// The word at a place as the name of a unit: in small letters, without a mark behind it and without `/day`.
    fn unit(&self, at: usize) -> Option<String> {
        let word = self.word(at)?.to_lowercase();
        let word = word.split_once('/').map_or(word.as_str(), |(unit, _)| unit);
        Some(word.trim_end_matches(['.', ',', ')', ':']).to_owned())
    }

    fn is_unit(&self, at: usize, units: &[&str]) -> bool {
        self.unit(at)
            .is_some_and(|unit| units.contains(&unit.as_str()))
    }

    fn is_times(&self, at: usize) -> bool {
        self.word(at)
            .is_some_and(|word| ["x", "X", "×"].contains(&word))
    }

    fn read(&mut self) -> Result<(), String> {
        while let Some(token) = self.tokens.get(self.at) {
            match token {
                Token::Number(_) => self.take_number()?,
                Token::Word(_) if self.is_times(self.at) && self.number(self.at + 1).is_some() => {
                    self.take_count(self.at + 1, self.at + 2)?;
                }
                Token::Word(word) => {
                    self.words.push(word);
                    self.at += 1;
                }
                Token::End => self.at += 1,
            }
        }
        self.place_bare()?;
        let words = self.words.join(" ");
        let is_mark = |c: char| c.is_whitespace() || ",;:-–()".contains(c);
        self.figures.name = words
            .trim_matches(is_mark)
            .replace(" )", "")
            .replace("( ", "");
        Ok(())
    }

    /// Reads a number with what follows it: a count, a power, a time, or a number without a unit.
    fn take_number(&mut self) -> Result<(), String> {
        let at = self.at;
        let Some(typed) = self.number(at) else {
            return Ok(());
        };
        if self.is_times(at + 1) {
            return self.take_count(at, at + 2);
        }
        // Digits in groups stand as several numbers: `1 200 W`.
        let mut end = at + 1;
        while typed.len() <= 3 && self.number(end).is_some_and(is_group) {
            end += 1;
        }
        let joined: Vec<&str> = (at..end).filter_map(|at| self.number(at)).collect();
        let joined = joined.join(" ");
        if self.is_unit(end, POWER) {
            let unit = self.unit(end).unwrap_or_default();
            self.at = end + 1;
            return self.take_draw(&format!("{joined} {unit}"));
        }
        if self.is_unit(end, TIME) {
            return self.take_time(&joined, end);
        }
        self.at = at + 1;
        if typed.contains(':') {
            return self.take_hours(typed);
        }
        let begins = self.words.is_empty() && self.bare.is_empty();
        let ends = matches!(self.tokens.get(end), Some(Token::End) | None) || self.rest_is_bare();
        if ends && !(begins && self.number_of_things(typed).is_some() && self.has_words_after()) {
            self.at = end;
            self.bare.push((joined, self.figures.draw.is_some()));
        } else if begins && self.figures.count.is_none() && self.counts_what_follows(typed) {
            self.figures.count = self.number_of_things(typed);
        } else {
            self.words.push(typed);
        }
        Ok(())
    }

    /// Whether nothing but numbers without a unit stands in the rest of the line.
    fn rest_is_bare(&self) -> bool {
        let mut rest = self.tokens.get(self.at..).unwrap_or(&[]).iter();
        let units = |at: usize| self.is_unit(at, POWER) || self.is_unit(at, TIME);
        rest.all(|token| !matches!(token, Token::Word(_)))
            && !(self.at..self.tokens.len()).any(units)
    }

    fn has_words_after(&self) -> bool {
        let rest = self.tokens.get(self.at..).unwrap_or(&[]);
        rest.iter().any(|token| matches!(token, Token::Word(_)))
    }

    /// A whole number from 1 to 1000.
    fn number_of_things(&self, typed: &str) -> Option<f64> {
        let count: u32 = typed.parse().ok()?;
        (1..=1000).contains(&count).then_some(f64::from(count))
    }

    /// Whether a leading number counts what follows: `4 lamps`, but not `12 V fan`.
    fn counts_what_follows(&self, typed: &str) -> bool {
        let next = self.unit(self.at).unwrap_or_default();
        let is_other_unit = [
            "v", "volt", "volts", "ah", "wh", "kwh", "mm", "cm", "m", "in", "l", "°c", "inch",
            "\"", "''",
        ]
        .contains(&next.as_str());
        self.number_of_things(typed).is_some() && !is_other_unit
    }

    fn take_count(&mut self, number: usize, next: usize) -> Result<(), String> {
        let typed = self.number(number).unwrap_or_default();
        if self.figures.count.is_some() {
            return Err("It has two counts.".into());
        }
        let count = self.number_of_things(typed);
        self.figures.count = Some(count.ok_or_else(|| format!("“{typed}” is no count of loads."))?);
        self.at = next;
        Ok(())
    }

    /// Reads a time whose unit stands at a place, with the minutes that follow hours.
    fn take_time(&mut self, number: &str, unit_at: usize) -> Result<(), String> {
        let unit = self.unit(unit_at).unwrap_or_default();
        let mut text = format!("{number} {}", if unit == "mins" { "min" } else { &unit });
        self.at = unit_at + 1;
        let minutes = self.number(self.at).filter(|typed| {
            typed.len() <= 2 && typed.parse::<u32>().is_ok_and(|minutes| minutes < 60)
        });
        let has_own_unit = self.is_unit(self.at + 1, POWER) || self.is_times(self.at + 1);
        if let Some(minutes) = minutes.filter(|_| unit.starts_with('h') && !has_own_unit) {
            let hour_again = self
                .unit(self.at + 1)
                .is_some_and(|unit| unit.starts_with('h'));
            if !hour_again {
                text = format!("{number} h {minutes}");
                self.at += if self.is_unit(self.at + 1, TIME) {
                    2
                } else {
                    1
                };
            }
        }
        for words in A_DAY {
            let here = (self.at..).zip(*words);
            if here
                .into_iter()
                .all(|(at, word)| self.unit_word(at).as_deref() == Some(*word))
            {
                self.at += words.len();
                break;
            }
        }
        self.take_hours(&text)
    }

    fn unit_word(&self, at: usize) -> Option<String> {
        let word = self.word(at)?.to_lowercase();
        Some(word.trim_end_matches(['.', ',', ')']).to_owned())
    }

    fn read_as(&mut self, quantity: Quantity, text: &str) -> Result<Reading, String> {
        let style = Style {
            units: Units::Metric,
            format: self.format,
        };
        let reading = quantity.read(text, style)?;
        if let Some(other) = reading.other {
            let usual = quantity.usual();
            if !usual.contains(&reading.value) && usual.contains(&other) {
                let show = |value| quantity.show_read(value, reading.unit, style);
                return Err(format!(
                    "“{text}” can mean {} or {}. Write one of them.",
                    show(reading.value).replace(' ', "\u{a0}"),
                    show(other).replace(' ', "\u{a0}")
                )
                .replace('\u{a0}', " "));
            }
            self.figures.format_decided = true;
        }
        Ok(reading)
    }

    fn take_draw(&mut self, text: &str) -> Result<(), String> {
        let reading = self.read_as(Quantity::Power, text)?;
        if self.figures.draw.is_some() {
            return Err("It has two figures for the power.".into());
        }
        let in_amperes = matches!(reading.unit, Some("A" | "amp" | "amps" | "mA"));
        let unit = if in_amperes { DrawUnit::A } else { DrawUnit::W };
        self.figures.draw = Some((reading.value, unit));
        Ok(())
    }

    fn take_hours(&mut self, text: &str) -> Result<(), String> {
        let reading = self.read_as(Quantity::Hours, text)?;
        if self.figures.hours.is_some() {
            return Err("It has two figures for the hours.".into());
        }
        self.figures.hours = Some(reading.value);
        Ok(())
    }

    /// Gives the numbers without a unit their meaning: the power, then the hours.
    fn place_bare(&mut self) -> Result<(), String> {
        let has_power = self.figures.draw.is_some();
        for (number, follows_power) in std::mem::take(&mut self.bare) {
            if self.figures.draw.is_none() {
                self.take_draw(&number)?;
            } else if has_power && !follows_power {
                return Err("A figure without a unit stands before the power.".into());
            } else if self.figures.hours.is_none() {
                self.take_hours(&number)?;
            } else {
                return Err("It has more figures than a power and hours.".into());
            }
        }
        Ok(())
    }
}
