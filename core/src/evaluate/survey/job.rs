//! A piece of a survey, and what comes of it, as numbers that may be sent.

use crate::year::YearShort;

/// A piece of a survey.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Job {
    /// Years of the nth candidate.
    Years {
        /// Which one.
        nth: u32,
        /// The first year.
        from: u32,
        /// The one after the last.
        to: u32,
    },
    /// Years of a cell of the sizing map.
    Cell {
        /// Its place, row by row.
        at: u32,
        /// Which pass it is worked out in.
        pass: u32,
    },
    /// Both ends of an uncertain input.
    Doubt {
        /// Which one.
        nth: u32,
    },
    /// Joint draws of all uncertain inputs.
    Jointly {
        /// The first draw.
        from: u32,
        /// The one after the last.
        to: u32,
    },
    /// The typical year of the nth candidate: no part of a survey, but worked out by the same hands.
    Typical {
        /// Which one.
        nth: u32,
    },
    /// How long the chosen candidate lasts from full; no part of a survey either.
    Lasting,
    /// The day on which it stands lowest; no part of a survey either.
    LowestDay,
    /// The least array with which it is never short; no part of a survey either.
    LeastArray,
}

impl Job {
    /// As four numbers, to be sent.
    pub fn to_numbers(self) -> [u32; 4] {
        match self {
            Self::Years { nth, from, to } => [0, nth, from, to],
            Self::Cell { at, pass } => [1, at, pass, 0],
            Self::Doubt { nth } => [2, nth, 0, 0],
            Self::Jointly { from, to } => [3, from, to, 0],
            Self::Typical { nth } => [4, nth, 0, 0],
            Self::Lasting => [5, 0, 0, 0],
            Self::LowestDay => [6, 0, 0, 0],
            Self::LeastArray => [7, 0, 0, 0],
        }
    }

    /// Back from them; none where they are none of a job's.
    pub fn from_numbers(numbers: [u32; 4]) -> Option<Self> {
        Some(match numbers {
            [0, nth, from, to] => Self::Years { nth, from, to },
            [1, at, pass, _] => Self::Cell { at, pass },
            [2, nth, ..] => Self::Doubt { nth },
            [3, from, to, _] => Self::Jointly { from, to },
            [4, nth, ..] => Self::Typical { nth },
            [5, ..] => Self::Lasting,
            [6, ..] => Self::LowestDay,
            [7, ..] => Self::LeastArray,
            _ => return None,
        })
    }
}

/// Numbers of a year when it is sent: its months, its longest spell, the month of that, what went unserved.
const OF_A_YEAR: usize = 15;

pub(super) fn years_to_numbers(years: &[YearShort]) -> Vec<f64> {
    let numbers = years.iter().flat_map(|year| {
        let spell = [
            f64::from(year.longest),
            f64::from(year.longest_month),
            year.unserved_wh,
        ];
        year.by_month.map(f64::from).into_iter().chain(spell)
    });
    numbers.collect()
}

pub(super) fn years_from_numbers(numbers: &[f64]) -> Vec<YearShort> {
    let years = numbers.as_chunks::<OF_A_YEAR>().0.iter();
    let year = |numbers: &[f64; OF_A_YEAR]| {
        let [months @ .., longest, longest_month, unserved_wh] = *numbers;
        YearShort {
            by_month: months.map(|days: f64| days as u8),
            longest: longest as u16,
            longest_month: longest_month as u8,
            unserved_wh,
        }
    };
    years.map(year).collect()
}
