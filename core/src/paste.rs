//! Loads out of a list that was pasted or typed: one load a line, in cells or in free words.
//!
//! Cells are separated by tabs, semicolons or commas: `lamp; 8 W; 3 h`. Free lines name the figures by their units:
//! `2 x 4W reading lamp 3 h 30`. Nothing is left out: each line gives a load or the reason why it doesn't.

mod free;

use crate::plan::{DrawUnit, Load, Way};
use crate::units::{NumberFormat, Quantity, Style, tidy};

/// A load read from one line.
#[derive(Clone, Debug, PartialEq)]
pub struct Pasted {
    /// The load, without an id.
    pub load: Load,
    /// Whether the line gives hours; otherwise they are the default and count as a guess.
    pub gives_hours: bool,
    /// Whether a number of the line can be read in two ways, so that the number format decided.
    pub format_decided: bool,
}

impl Pasted {
    /// Names of the load's fields that the line gives; the others hold defaults.
    pub fn given(&self) -> &'static [&'static str] {
        if self.gives_hours {
            &["draw", "draw_unit", "way", "hours"]
        } else {
            &["draw", "draw_unit"]
        }
    }

    /// The load in a few words: `2 × reading lamp, 4 W, 3 h 30`.
    pub fn summary(&self, format: NumberFormat) -> String {
        let load = &self.load;
        let quantity = match load.draw_unit {
            DrawUnit::W => Quantity::Power,
            DrawUnit::A => Quantity::Current,
        };
        let style = Style {
            units: crate::plan::Units::Metric,
            format,
        };
        let count = if load.count == 1.0 {
            String::new()
        } else {
            format!("{} × ", tidy(load.count))
        };
        let draw = quantity.show_in(load.draw, style);
        let hours = Quantity::Hours.show_in(load.hours, style);
        let guessed = if self.gives_hours { "" } else { " (guess)" };
        format!("{count}{}, {draw}, {hours}{guessed}", load.name)
    }
}

/// What a list gives.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct List {
    /// Loads, in the order of their lines, each with its line.
    pub loads: Vec<(Pasted, String)>,
    /// Heading lines, such as `name, watts, hours`.
    pub headings: Vec<String>,
    /// Lines that were not understood, each with the reason in a sentence.
    pub unread: Vec<(String, String)>,
}

/// Reads a list, one load a line. Empty lines are skipped.
pub fn read_list(text: &str, format: NumberFormat) -> List {
    let mut list = List::default();
    for line in text.lines().map(str::trim).filter(|line| !line.is_empty()) {
        match read_line(line, format) {
            Ok(load) => list.loads.push((load, line.to_owned())),
            Err(_) if is_heading(line) => list.headings.push(line.to_owned()),
            Err(why) => list.unread.push((line.to_owned(), why)),
        }
    }
    list
}

/// Whether a line names columns: two cells or more, each of them a usual name of a column.
fn is_heading(line: &str) -> bool {
    const NAMES: &[&str] = &[
        "name",
        "load",
        "loads",
        "device",
        "appliance",
        "item",
        "what",
        "count",
        "number",
        "quantity",
        "qty",
        "watt",
        "watts",
        "w",
        "a",
        "amps",
        "amperes",
        "power",
        "draw",
        "current",
        "power w",
        "power (w)",
        "draw (w)",
        "hours",
        "h",
        "hours a day",
        "hours/day",
        "hours per day",
        "h/day",
        "time",
        "use",
    ];
    let cells: Vec<String> = line
        .split(['\t', ';', ','])
        .map(|cell| cell.trim().trim_matches('"').to_ascii_lowercase())
        .collect();
    cells.len() > 1 && cells.iter().all(|cell| NAMES.contains(&cell.as_str()))
}

/// Reads one line.
///
/// # Errors
/// A sentence that says what is missing or can be read in two ways.
pub fn read_line(line: &str, format: NumberFormat) -> Result<Pasted, String> {
    for separator in ['\t', ';'] {
        if line.contains(separator) {
            return read_cells(&cells(line, separator, |_, _| false), format);
        }
    }
    if !line.contains(',') {
        return free::read(&[line], format);
    }
    // A comma separates cells or marks decimals. Every comma as a separator is one reading; the commas between two digits as
    // parts of numbers is the other.
    let between_digits = |before: Option<char>, after: Option<char>| {
        let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        digit(before) && digit(after)
    };
    let in_numbers = cells(line, ',', between_digits);
    let some = read_cells(&in_numbers, format);
    if in_numbers.len() == 1 && some.is_ok() {
        return some;
    }
    let all = read_cells(&cells(line, ',', |_, _| false), format);
    match (all, some) {
        (Ok(all), Ok(some)) if all == some => Ok(all),
        (Ok(all), Ok(_)) if format == NumberFormat::Point && !line.contains(", ") => Ok(all),
        (Ok(_), Ok(_)) => Err(
            "Its commas can separate cells or mark decimals. Separate the cells by semicolons."
                .into(),
        ),
        (Ok(read), Err(_)) | (Err(_), Ok(read)) => Ok(read),
        (Err(_), Err(why)) => Err(why),
    }
}

/// The cells of a line. A cell that begins with a quotation mark ends with one; `joins` says of a separator, by the letters before
/// and after it, whether it belongs to a number.
fn cells(
    line: &str,
    separator: char,
    joins: impl Fn(Option<char>, Option<char>) -> bool,
) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    let mut before = None;
    let mut rest = line.chars().peekable();
    while let Some(letter) = rest.next() {
        let Some(cell) = cells.last_mut() else {
            break;
        };
        if letter == '"' && (quoted || cell.trim().is_empty()) {
            quoted = !quoted;
        } else if letter == separator && !quoted && !joins(before, rest.peek().copied()) {
            cells.push(String::new());
        } else {
            cell.push(letter);
        }
        before = Some(letter);
    }
    cells
}

/// Reads cells: figures by their units, and figures without one as the draw, then the hours.
fn read_cells(cells: &[String], format: NumberFormat) -> Result<Pasted, String> {
    let cells: Vec<&str> = cells
        .iter()
        .map(|cell| cell.trim())
        .filter(|cell| !cell.is_empty())
        .collect();
    free::read(&cells, format)
}

/// A load from the figures of a line.
fn pasted(figures: &free::Figures) -> Result<Pasted, String> {
    let name: String = figures.name.chars().take(80).collect();
    if name.is_empty() {
        return Err("It has no name.".into());
    }
    let (draw, draw_unit) = figures.draw.ok_or("It has no power in W or A.")?;
    let standard = Load::default();
    Ok(Pasted {
        load: Load {
            name,
            count: figures.count.unwrap_or(1.0),
            draw,
            draw_unit,
            way: Way::Hours,
            hours: figures.hours.unwrap_or(standard.hours),
            ..standard
        },
        gives_hours: figures.hours.is_some(),
        format_decided: figures.format_decided,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use NumberFormat::{Comma, Point, Spaced};

    /// Count, name, draw, its unit, hours where the line gives them.
    fn read(
        line: &str,
        format: NumberFormat,
    ) -> Result<(f64, String, f64, &'static str, Option<f64>), String> {
        let Pasted {
            load, gives_hours, ..
        } = read_line(line, format)?;
        let unit = if load.draw_unit == DrawUnit::A {
            "A"
        } else {
            "W"
        };
        Ok((
            load.count,
            load.name,
            load.draw,
            unit,
            gives_hours.then_some(load.hours),
        ))
    }

    #[test]
    fn lines_are_read_alike_in_every_number_format() {
        for (line, count, name, draw, unit, hours) in [
            // Free lines.
            ("fan 18 W 9 h", 1.0, "fan", 18.0, "W", Some(9.0)),
            ("2 x 4W lamp", 2.0, "lamp", 4.0, "W", None),
            ("2x4W lamp", 2.0, "lamp", 4.0, "W", None),
            ("lamp x2 4 W", 2.0, "lamp", 4.0, "W", None),
            ("lamp 4W ×2", 2.0, "lamp", 4.0, "W", None),
            ("lamp 4 W (x 2) 3h", 2.0, "lamp", 4.0, "W", Some(3.0)),
            ("4 lamps 5 W 3 h", 4.0, "lamps", 5.0, "W", Some(3.0)),
            ("radio 20W", 1.0, "radio", 20.0, "W", None),
            (
                "3× reading lamp 4 W 3 h 30",
                3.0,
                "reading lamp",
                4.0,
                "W",
                Some(3.5),
            ),
            (
                "reading lamp 4 W 3h30",
                1.0,
                "reading lamp",
                4.0,
                "W",
                Some(3.5),
            ),
            (
                "reading lamp 4 W 3:30",
                1.0,
                "reading lamp",
                4.0,
                "W",
                Some(3.5),
            ),
            ("lamp 4 W 1 h 30 min", 1.0, "lamp", 4.0, "W", Some(1.5)),
            ("fridge 45W 24h", 1.0, "fridge", 45.0, "W", Some(24.0)),
            (
                "pump 4 A 10 min",
                1.0,
                "pump",
                4.0,
                "A",
                Some(0.166_666_667),
            ),
            ("pump 500 mA 30 min", 1.0, "pump", 0.5, "A", Some(0.5)),
            (
                "kettle 1.5 kW 10 min",
                1.0,
                "kettle",
                1500.0,
                "W",
                Some(0.166_666_667),
            ),
            ("kettle 1,5 kW", 1.0, "kettle", 1500.0, "W", None),
            ("heater 1 200 W 2 h", 1.0, "heater", 1200.0, "W", Some(2.0)),
            ("heater 1'200 W 2 h", 1.0, "heater", 1200.0, "W", Some(2.0)),
            ("18 W fan, 9 h", 1.0, "fan", 18.0, "W", Some(9.0)),
            ("12 V fan 18 W 9 h", 1.0, "12 V fan", 18.0, "W", Some(9.0)),
            (
                "fan: 18 watts, 9 hours a day",
                1.0,
                "fan",
                18.0,
                "W",
                Some(9.0),
            ),
            ("fan 18 W 9 h/day", 1.0, "fan", 18.0, "W", Some(9.0)),
            ("fan 18 W ½ h", 1.0, "fan", 18.0, "W", Some(0.5)),
            ("radio 20 3", 1.0, "radio", 20.0, "W", Some(3.0)),
            ("radio 20", 1.0, "radio", 20.0, "W", None),
            // Cells.
            ("lamp\t8 W\t3 h", 1.0, "lamp", 8.0, "W", Some(3.0)),
            ("lamp\t8\t3", 1.0, "lamp", 8.0, "W", Some(3.0)),
            ("lamp\t2,5\t3,5", 1.0, "lamp", 2.5, "W", Some(3.5)),
            ("2\tlamp\t8\t3", 2.0, "lamp", 8.0, "W", Some(3.0)),
            ("pump; 4 A; 0,5", 1.0, "pump", 4.0, "A", Some(0.5)),
            (
                "\"lamp; small\";8;3",
                1.0,
                "lamp; small",
                8.0,
                "W",
                Some(3.0),
            ),
            ("radio, 12, 30 min", 1.0, "radio", 12.0, "W", Some(0.5)),
            ("radio,12,0.5", 1.0, "radio", 12.0, "W", Some(0.5)),
            ("lamp, 4,5 W, 3 h", 1.0, "lamp", 4.5, "W", Some(3.0)),
            ("lamp,4,5 W,3 h", 1.0, "lamp", 4.5, "W", Some(3.0)),
            ("lamp, 4 W, 3,5 h", 1.0, "lamp", 4.0, "W", Some(3.5)),
            ("lamp, 12,5, 3", 1.0, "lamp", 12.5, "W", Some(3.0)),
            ("pump, 4,5 A", 1.0, "pump", 4.5, "A", None),
        ] {
            for format in NumberFormat::ALL {
                let expected = Ok((count, name.to_owned(), draw, unit, hours));
                assert_eq!(read(line, format), expected, "“{line}” {format:?}");
            }
        }
    }

    #[test]
    fn the_number_format_decides_in_lists_too_and_is_named() {
        for (format, draw) in [(Point, 1.0), (Comma, 1000.0), (Spaced, 1.0)] {
            let line = read_line("heater 1.000 W 2 h", format).unwrap();
            assert_eq!(
                (line.load.draw, line.format_decided),
                (draw, true),
                "{format:?}"
            );
            assert_eq!(read("heater; 1.000,5; 2", format).unwrap().2, 1000.5);
        }
        assert!(!read_line("heater 1000 W", Comma).unwrap().format_decided);
        assert_eq!(read("heater, 1,000 W, 3 h", Point).unwrap().2, 1000.0);
        // 12125 W is no usual load and 12.125 W is one.
        let why = read("lamp; 12.125 W; 3 h", Comma).unwrap_err();
        assert!(why.contains("12125 W") && why.contains("12,125 W"), "{why}");
    }

    #[test]
    fn commas_that_can_be_read_in_two_ways_are_asked_about() {
        assert_eq!(read("lamp,8,3", Point).unwrap().4, Some(3.0));
        for (line, format) in [
            ("lamp,8,3", Comma),
            ("lamp,8,3", Spaced),
            ("lamp, 8,3", Point),
        ] {
            assert!(
                read(line, format).unwrap_err().contains("semicolons"),
                "{line}"
            );
        }
    }

    #[test]
    fn what_is_no_load_has_a_reason() {
        for (line, why) in [
            ("rubbish", "no power"),
            ("20 W", "no name"),
            ("20 W 3 h", "no name"),
            ("lamp, 4 W, 5 W", "two figures for the power"),
            ("lamp 4 W 3 h 5 h", "two figures for the hours"),
            ("lamp; 4; 3; 2; 1", "more figures"),
            ("fridge 45 Wh", "no power"),
            ("lamp 1,00,000 W", "grouped"),
            ("x2 x3 lamp 4 W", "two counts"),
        ] {
            let said = read(line, Point).unwrap_err();
            assert!(said.contains(why), "“{line}”: {said}");
        }
    }

    #[test]
    fn nothing_of_a_long_list_is_dropped() {
        let mut text = String::from("name,watts,hours\n");
        for at in 1..=1000 {
            text.push_str(&match at % 3 {
                0 => format!("lamp no{at} 5 W 2 h\n"),
                1 => format!("pump no{at}; 4 A; 0,5\n"),
                _ => format!("unknown thing no{at}\n\n"),
            });
        }
        let list = read_list(&text, Comma);
        assert_eq!(
            (list.loads.len(), list.unread.len(), list.headings.len()),
            (667, 333, 1)
        );
        assert_eq!(list.unread[0].0, "unknown thing no2");
    }

    proptest::proptest! {
        #[test]
        fn any_line_gives_a_load_or_a_reason(line in "\\PC{0,40}", figures in "[0-9x×., ;hWAmin'\"/½]{0,24}") {
            for format in NumberFormat::ALL {
                for line in [line.as_str(), figures.as_str(), &format!("{line} {figures}")] {
                    if let Ok(read) = read_line(line, format) {
                        proptest::prop_assert!(!read.load.name.is_empty() && read.load.draw.is_finite());
                    }
                }
            }
        }
    }
}
