//! Every conversion between what people type and what the plan holds, and back.
//!
//! A [`Quantity`] reads text such as `1,5`, `1/4`, `3 3/8"`, `30 min` or `0.2 kW` into the plan's own unit and says how it
//! read it where that is not plain; and it writes a value so that reading it again gives the same value.

mod amount;
mod read;
mod times;

pub use amount::NumberFormat;
pub use read::{Reading, Style};
pub use times::{DAY_MIN, clock, read_clock, read_date};

use crate::place::Axis;
use crate::plan::Units;

/// Metres, feet and inches meet here: the international inch is 25.4 mm exactly (yard and pound agreement, 1959).
pub const MM_PER_INCH: f64 = 25.4;
/// The avoirdupois pound [kg], exactly (yard and pound agreement, 1959).
pub const KG_PER_POUND: f64 = 0.453_592_37;
/// What a number in a plan measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// A bare number.
    Number,
    /// How many, whole.
    Count,
    /// Power [W].
    Power,
    /// Current [A].
    Current,
    /// Electric potential [V].
    Voltage,
    /// Charge [Ah].
    Charge,
    /// Energy [Wh].
    Energy,
    /// Length [mm].
    Length,
    /// Height above the sea [m].
    Height,
    /// Temperature [°C].
    Temperature,
    /// Difference of temperatures [K].
    Warmth,
    /// Mass [kg].
    Mass,
    /// Duration [h].
    Hours,
    /// Duration [min].
    Minutes,
    /// Days.
    Days,
    /// Years.
    Years,
    /// Angle [°].
    Angle,
    /// Latitude [°], north positive; may be typed with its side, or in degrees and minutes.
    Latitude,
    /// Longitude [°], east positive; likewise.
    Longitude,
    /// Compass direction [°], clockwise from true north; may be typed as a word.
    Bearing,
    /// Share of a whole, 0 to 1, typed and shown in percent.
    Share,
    /// A share that changes by the degree [1/K], shown in percent.
    SharePerKelvin,
    /// Resistance [mΩ].
    Resistance,
    /// A price.
    Money,
    /// Irradiation, as peak sun hours [kWh/m² a day].
    SunHours,
    /// A multiple ("3 times").
    Times,
}

/// A unit that may be typed: names, factor to the plan's unit, offset added before the factor.
struct Unit(&'static [&'static str], f64, f64);

impl Quantity {
    fn units(self) -> &'static [Unit] {
        match self {
            Self::Power => &[
                Unit(&["W", "watt", "watts"], 1.0, 0.0),
                Unit(&["kW"], 1000.0, 0.0),
                Unit(&["A", "amp", "amps"], 1.0, 0.0),
                Unit(&["mA"], 0.001, 0.0),
            ],
            Self::Current => &[
                Unit(&["A", "amp", "amps"], 1.0, 0.0),
                Unit(&["mA"], 0.001, 0.0),
            ],
            Self::Voltage => &[
                Unit(&["V", "volt", "volts"], 1.0, 0.0),
                Unit(&["mV"], 0.001, 0.0),
            ],
            Self::Charge => &[Unit(&["Ah"], 1.0, 0.0), Unit(&["mAh"], 0.001, 0.0)],
            Self::Energy => &[Unit(&["Wh"], 1.0, 0.0), Unit(&["kWh"], 1000.0, 0.0)],
            Self::Length => &[
                Unit(&["mm"], 1.0, 0.0),
                Unit(&["cm"], 10.0, 0.0),
                Unit(&["m"], 1000.0, 0.0),
                Unit(&["in", "\"", "″", "”", "inch", "inches"], MM_PER_INCH, 0.0),
                Unit(&["ft", "'", "′"], 12.0 * MM_PER_INCH, 0.0),
            ],
            Self::Height => &[
                Unit(&["m", "metre", "metres"], 1.0, 0.0),
                Unit(&["ft", "feet", "'", "′"], 12.0 * MM_PER_INCH / 1000.0, 0.0),
                Unit(&["km"], 1000.0, 0.0),
            ],
            Self::Temperature => &[
                Unit(&["°C", "C"], 1.0, 0.0),
                Unit(&["°F", "F"], 5.0 / 9.0, -32.0),
            ],
            Self::Warmth => &[
                Unit(&["K", "°C", "C"], 1.0, 0.0),
                Unit(&["°F", "F"], 5.0 / 9.0, 0.0),
            ],
            Self::Mass => &[
                Unit(&["kg"], 1.0, 0.0),
                Unit(&["g"], 0.001, 0.0),
                Unit(&["lb", "lbs"], KG_PER_POUND, 0.0),
            ],
            Self::Hours => &[
                Unit(&["h", "hour", "hours", "hr", "hrs"], 1.0, 0.0),
                Unit(&["min", "minute", "minutes", "m"], 1.0 / 60.0, 0.0),
                Unit(&["s", "sec"], 1.0 / 3600.0, 0.0),
            ],
            Self::Minutes => &[
                Unit(&["min", "minute", "minutes", "m"], 1.0, 0.0),
                Unit(&["h", "hour", "hours"], 60.0, 0.0),
                Unit(&["s", "sec", "seconds"], 1.0 / 60.0, 0.0),
            ],
            Self::Days => &[Unit(&["day", "days", "d"], 1.0, 0.0)],
            Self::Years => &[Unit(&["year", "years", "y"], 1.0, 0.0)],
            Self::Angle | Self::Latitude | Self::Longitude | Self::Bearing => {
                &[Unit(&["°", "deg", "degrees"], 1.0, 0.0)]
            }
            Self::Share => &[Unit(&["%"], 0.01, 0.0)],
            Self::SharePerKelvin => &[Unit(&["%", "%/K", "%/°C"], 0.01, 0.0)],
            Self::Resistance => &[
                Unit(&["mΩ", "mohm", "milliohm"], 1.0, 0.0),
                Unit(&["Ω", "ohm"], 1000.0, 0.0),
            ],
            Self::Times => &[Unit(&["×", "x", "times"], 1.0, 0.0)],
            Self::SunHours => &[Unit(&["h", "kWh/m²", "kWh/m2", "kWh"], 1.0, 0.0)],
            Self::Number | Self::Count | Self::Money => &[],
        }
    }

    /// The unit that a bare number is read in and a value is shown in.
    pub fn unit(self, units: Units) -> &'static str {
        match (self, units) {
            (Self::Length, Units::Imperial) => "in",
            (Self::Height, Units::Imperial) => "ft",
            (Self::Temperature, Units::Imperial) => "°F",
            (Self::Warmth, Units::Imperial) => "°F",
            (Self::Mass, Units::Imperial) => "lb",
            (Self::Number | Self::Count | Self::Money, _) => "",
            (Self::Days, _) => "days",
            (Self::Years, _) => "years",
            (Self::Times, _) => "×",
            _ => self
                .units()
                .first()
                .and_then(|unit| unit.0.first())
                .copied()
                .unwrap_or(""),
        }
    }

    fn find(self, typed: &str) -> Option<(&'static str, &'static Unit)> {
        let all = self.units();
        let exact = all
            .iter()
            .find_map(|unit| Some((*unit.0.iter().find(|name| **name == typed)?, unit)));
        exact.or_else(|| {
            all.iter().find_map(|unit| {
                let name = unit
                    .0
                    .iter()
                    .find(|name| name.eq_ignore_ascii_case(typed))?;
                Some((*name, unit))
            })
        })
    }

    /// A value of the plan in the unit shown.
    pub fn to_shown(self, value: f64, units: Units) -> f64 {
        match self.find(self.unit(units)) {
            Some((_, unit)) => value / unit.1 - unit.2,
            None => value,
        }
    }

    /// Writes a value with its unit so that [`Quantity::read`] gives it back.
    pub fn show(self, value: f64, units: Units) -> String {
        let shown = self.to_shown(value, units);
        match self {
            Self::Hours => hours(value),
            Self::Length if units == Units::Imperial => inches(shown),
            Self::Number | Self::Count | Self::Money => tidy(shown),
            Self::Share => format!("{} %", tidy(shown)),
            Self::Angle | Self::Bearing => format!("{}°", tidy(shown)),
            Self::Latitude => Axis::Latitude.show(value),
            Self::Longitude => Axis::Longitude.show(value),
            Self::Days => format!(
                "{} {}",
                tidy(shown),
                if shown == 1.0 { "day" } else { "days" }
            ),
            Self::Years => format!(
                "{} {}",
                tidy(shown),
                if shown == 1.0 { "year" } else { "years" }
            ),
            Self::SharePerKelvin => format!("{} %/K", tidy(shown)),
            _ => format!("{} {}", tidy(shown), self.unit(units)),
        }
    }

    /// Like [`Quantity::show`], but with the decimal mark of a number format, as a field shows it. Digits are never grouped.
    pub fn show_in(self, value: f64, style: Style) -> String {
        style.format.localize(&self.show(value, style.units))
    }

    /// Tells a length or a mass in a sentence or a picture, to what can be measured: tenths of a millimetre, of a kilogram and of a
    /// pound, hundredths of an inch where it lies on no thirty-second. Every other quantity as [`Quantity::show`] writes it.
    pub fn tell(self, value: f64, units: Units) -> String {
        let parts = match (self, units) {
            (Self::Length, Units::Imperial) if !on_a_thirty_second(value / MM_PER_INCH) => 100.0,
            (Self::Length, Units::Metric) | (Self::Mass, _) => 10.0,
            _ => return self.show(value, units),
        };
        let shown = (self.to_shown(value, units) * parts).round() / parts;
        format!("{} {}", tidy(shown), self.unit(units))
    }

    /// What one step of the arrow keys changes, in the plan's unit; ten times this with Shift.
    pub fn step(self, units: Units) -> f64 {
        match self {
            Self::Power | Self::Energy | Self::Charge => 1.0,
            Self::Length if units == Units::Imperial => MM_PER_INCH / 16.0,
            Self::Temperature | Self::Warmth if units == Units::Imperial => 5.0 / 9.0,
            Self::Mass if units == Units::Imperial => KG_PER_POUND,
            Self::Hours => 0.25,
            Self::Share => 0.01,
            Self::SharePerKelvin => 0.0001,
            Self::Voltage | Self::SunHours | Self::Times => 0.1,
            _ => 1.0,
        }
    }
}

/// A number in at most six significant figures, without an exponent or trailing zeros, and with a true minus.
pub fn tidy(value: f64) -> String {
    if !value.is_finite() {
        return "–".into();
    }
    let magnitude = value.abs();
    let whole_digits = if magnitude < 1.0 {
        0
    } else {
        format!("{magnitude:.0}").len()
    };
    let decimals = 6usize.saturating_sub(whole_digits);
    let text = format!("{magnitude:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    };
    if value < 0.0 && text != "0" {
        format!("\u{2212}{text}")
    } else {
        text
    }
}

/// Hours as people say them: "3 h 30", "45 min", "2 h".
pub fn hours(value: f64) -> String {
    let minutes = value * 60.0;
    let whole = minutes.round();
    if value < 0.0 || (minutes - whole).abs() > 1e-6 || whole > 6e6 {
        return format!("{} h", tidy(value));
    }
    let (h, m) = ((whole / 60.0).floor(), whole % 60.0);
    if h == 0.0 && m > 0.0 {
        format!("{m} min")
    } else if m == 0.0 {
        format!("{h} h")
    } else {
        format!("{h} h {m:02}")
    }
}

/// Whether so many inches lie on a thirty-second, to what a conversion leaves.
fn on_a_thirty_second(inches: f64) -> bool {
    let parts = inches * 32.0;
    (parts - parts.round()).abs() <= 1e-3
}

/// Inches with a fraction where the value lies on a thirty-second, else as a decimal.
fn inches(value: f64) -> String {
    if !on_a_thirty_second(value) || value < 0.0 {
        return format!("{} in", tidy(value));
    }
    let whole = (value * 32.0).round();
    let (units, mut above) = ((whole / 32.0).floor(), whole % 32.0);
    let mut below = 32.0;
    while above > 0.0 && above % 2.0 == 0.0 {
        above /= 2.0;
        below /= 2.0;
    }
    match (units > 0.0, above > 0.0) {
        (_, false) => format!("{units} in"),
        (true, true) => format!("{units} {above}/{below} in"),
        (false, true) => format!("{above}/{below} in"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

    fn read(quantity: Quantity, text: &str) -> Reading {
        quantity.read(text, Units::Metric.into()).unwrap()
    }

    #[test]
    fn people_s_ways_of_writing_are_read() {
        assert_eq!(read(Quantity::Number, "1,5").value, 1.5);
        assert_eq!(read(Quantity::Number, "1,5").echo.as_deref(), Some("1.5"));
        assert_eq!(read(Quantity::Length, "1/4 in").value, 6.35);
        let three = read(Quantity::Length, "3 3/8\"");
        assert_eq!(three.value, 85.725);
        assert_eq!(three.echo.as_deref(), Some("85.725 mm"));
        assert_eq!(read(Quantity::Hours, "30 min").value, 0.5);
        assert_eq!(read(Quantity::Hours, "3 h 30").value, 3.5);
        assert_eq!(read(Quantity::Hours, "3:30").value, 3.5);
        assert_eq!(read(Quantity::Hours, "2h").value, 2.0);
        assert_eq!(read(Quantity::Power, "0.2 kW").value, 200.0);
        assert_eq!(read(Quantity::Power, "2 A").unit, Some("A"));
        assert_eq!(read(Quantity::Temperature, "50 °F").value, 10.0);
        assert_eq!(read(Quantity::Temperature, "−4").value, -4.0);
        assert_eq!(read(Quantity::Share, "80 %").value, 0.8);
        assert_eq!(read(Quantity::Power, "1 200 W").value, 1200.0);
        assert_eq!(read(Quantity::Power, "45").echo, None);
        assert_eq!(
            Quantity::Length
                .read("13 3/8", Units::Imperial.into())
                .unwrap()
                .value,
            339.725
        );
    }

    #[test]
    fn what_is_no_number_is_refused_with_what_would_do() {
        let says = |text: &str| {
            Quantity::Power
                .read(text, Units::Metric.into())
                .unwrap_err()
        };
        assert_eq!(says("4o W"), "“4o W” isn't a number. Write 40 W.");
        assert_eq!(says(""), "This is empty. Write a number such as 40 W.");
        assert_eq!(says("12 kg"), "“kg” isn't a unit for this. Write 12 W.");
        assert!(says("1e999").contains("larger"));
        assert!(says("lots").contains("isn't a number"));
        assert!(says("1/0").contains("isn't a number"));
        assert_eq!(
            Quantity::Power
                .read("1e308", Units::Metric.into())
                .unwrap()
                .value,
            1e308
        );
        for odd in [
            "-", "/", ",", ".", "e", "\u{202e}", "½½", "--4", "1//2", "h", ":", "3 h 99",
        ] {
            let _ = Quantity::Hours.read(odd, Units::Imperial.into());
            let _ = Quantity::Length.read(odd, Units::Imperial.into());
            let _ = read_clock(odd);
        }
    }

    #[test]
    fn what_is_told_is_rounded_to_what_can_be_measured() {
        let told = |quantity: Quantity, value| {
            [Units::Metric, Units::Imperial].map(|units| quantity.tell(value, units))
        };
        assert_eq!(told(Quantity::Length, 1260.04), ["1260 mm", "49.61 in"]);
        assert_eq!(told(Quantity::Length, 85.725), ["85.7 mm", "3 3/8 in"]);
        assert_eq!(told(Quantity::Mass, 224.0), ["224 kg", "493.8 lb"]);
        assert_eq!(told(Quantity::Hours, 3.5), ["3 h 30", "3 h 30"]);
    }

    #[test]
    fn what_is_shown_reads_back() {
        for quantity in [
            Quantity::Length,
            Quantity::Hours,
            Quantity::Height,
            Quantity::Bearing,
            Quantity::Temperature,
            Quantity::Mass,
            Quantity::Share,
            Quantity::Days,
        ] {
            for units in [Units::Metric, Units::Imperial] {
                for value in [0.0, 0.25, 1.0, 3.5, 85.725, 240.0, 1234.0] {
                    let text = quantity.show(value, units);
                    let again = quantity.read(&text, units.into()).unwrap().value;
                    assert!(
                        (again - value).abs() <= 2e-5 * value.max(1.0),
                        "{quantity:?} {text} {again}"
                    );
                }
            }
        }
        assert_eq!(Quantity::Hours.show(3.5, Units::Metric), "3 h 30");
        assert_eq!(Quantity::Length.show(85.725, Units::Imperial), "3 3/8 in");
    }

    #[test]
    fn clocks_are_read() {
        assert_eq!(read_clock("18:30"), Ok(1110));
        assert_eq!(read_clock("1830"), Ok(1110));
        assert_eq!(read_clock("18.30"), Ok(1110));
        assert_eq!(read_clock("6:30 pm"), Ok(1110));
        assert_eq!(read_clock("12 am"), Ok(0));
        assert_eq!(read_clock("24:00"), Ok(0));
        assert_eq!(read_clock("7"), Ok(420));
        assert!(
            read_clock("25:00")
                .unwrap_err()
                .contains("isn't a time of day")
        );
        assert!(read_clock("25 h").is_err());
        assert!(read_clock("13 pm").is_err());
        assert_eq!(clock(1110), "18:30");
    }

    #[test]
    fn dates_are_read() {
        assert_eq!(
            read_date(" 2027-08-12 "),
            NaiveDate::from_ymd_opt(2027, 8, 12)
        );
        assert_eq!(read_date("2028-2-29"), NaiveDate::from_ymd_opt(2028, 2, 29));
        for odd in [
            "",
            "soon",
            "2027-02-29",
            "2027-08",
            "2027-08-12-1",
            "12.8.2027",
            "-2027-08-12",
        ] {
            assert_eq!(read_date(odd), None, "{odd}");
        }
    }
}
