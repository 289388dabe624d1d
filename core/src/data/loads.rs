//! Everyday loads to start from.

use super::{rows, search};
use crate::numeric::decimal;
use std::sync::OnceLock;

/// How an entry of the library is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LibraryUse {
    /// Day and night.
    Always,
    /// So many hours a day inside its window.
    Hours {
        /// Hours a day.
        hours: f64,
    },
    /// So many runs of so many minutes a day inside its window.
    Runs {
        /// Runs a day; below one where it is not every day.
        runs: f64,
        /// Minutes a run.
        minutes: f64,
    },
    /// Switched by a thermostat.
    Thermostat {
        /// What it keeps [°C].
        set_c: f64,
        /// Temperature at which the duty holds [°C].
        ref_c: f64,
        /// Share of the time that it runs there, 0 to 1.
        duty: f64,
    },
}

/// One entry of the library.
#[derive(Clone, Debug, PartialEq)]
pub struct LibraryLoad {
    /// What it is.
    pub name: String,
    /// Whether it runs on AC.
    pub ac: bool,
    /// Running power [W].
    pub power_w: f64,
    /// Starting draw as a multiple of it.
    pub surge: f64,
    /// Way of use.
    pub usage: LibraryUse,
    /// Start of its window [min after midnight].
    pub from_min: u16,
    /// End of its window [min after midnight]; the same as its start: any time.
    pub to_min: u16,
    /// Whether its thermostat feels the air outdoors.
    pub outdoors: bool,
    /// Months in which it runs; none named means all.
    pub months: Vec<u8>,
    /// What it serves.
    pub group: String,
    /// Where its power comes from.
    pub source: String,
}

impl LibraryLoad {
    /// The source in a word or two.
    pub fn source_word(&self) -> &str {
        if self.source == "US Department of Energy" {
            "US DOE"
        } else {
            &self.source
        }
    }
}

/// Every entry of the library.
pub fn loads() -> &'static [LibraryLoad] {
    static LOADS: OnceLock<Vec<LibraryLoad>> = OnceLock::new();
    LOADS.get_or_init(|| {
        rows(include_str!("loads.csv"))
            .filter_map(|cells| load(&cells))
            .collect()
    })
}

fn minutes(clock: &str) -> Option<u16> {
    let (hour, minute) = clock.split_once(':')?;
    Some(hour.parse::<u16>().ok()? * 60 + minute.parse::<u16>().ok()?)
}

fn usage(words: &str) -> Option<LibraryUse> {
    let mut parts = words.split(':');
    let kind = parts.next()?;
    let mut number = || decimal(parts.next()?);
    Some(match kind {
        "always" => LibraryUse::Always,
        "hours" => LibraryUse::Hours { hours: number()? },
        "runs" => LibraryUse::Runs {
            runs: number()?,
            minutes: number()?,
        },
        "thermostat" => LibraryUse::Thermostat {
            set_c: number()?,
            ref_c: number()?,
            duty: number()?,
        },
        _ => return None,
    })
}

fn load(cells: &[&str]) -> Option<LibraryLoad> {
    let [
        name,
        supply,
        power,
        surge,
        words,
        from,
        to,
        air,
        months,
        group,
        source,
    ] = cells
    else {
        return None;
    };
    Some(LibraryLoad {
        name: (*name).to_owned(),
        ac: *supply == "ac",
        power_w: decimal(power)?,
        surge: decimal(surge)?,
        usage: usage(words)?,
        from_min: minutes(from)?,
        to_min: minutes(to)?,
        outdoors: *air == "outdoors",
        months: months
            .split('-')
            .filter_map(|month| month.parse().ok())
            .collect(),
        group: (*group).to_owned(),
        source: (*source).to_owned(),
    })
}

/// Entries whose names answer what was typed, best first.
pub fn search_loads(typed: &str, most: usize) -> Vec<&'static LibraryLoad> {
    search(loads(), |load| &load.name, typed, most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_parses_and_makes_sense() {
        assert_eq!(loads().len(), rows(include_str!("loads.csv")).count());
        assert!(loads().len() >= 60);
        for load in loads() {
            assert!(
                load.power_w > 0.0 && load.surge >= 1.0 && !load.source.is_empty(),
                "{load:?}"
            );
            let window = (i32::from(load.to_min) - i32::from(load.from_min)).rem_euclid(1440);
            let window = f64::from(if window == 0 { 1440 } else { window });
            let minutes = match load.usage {
                LibraryUse::Hours { hours } => hours * 60.0,
                LibraryUse::Runs { runs, minutes } => runs * minutes,
                _ => 0.0,
            };
            assert!(minutes <= window, "{load:?}");
        }
        let mut names: Vec<_> = loads().iter().map(|load| &load.name).collect();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), loads().len());
    }

    #[test]
    fn what_is_typed_is_found() {
        assert_eq!(search_loads("fri", 8)[0].name, "compressor fridge");
        assert!(search_loads("pump", 8).len() >= 3);
        assert!(search_loads("", 8).is_empty());
    }
}
