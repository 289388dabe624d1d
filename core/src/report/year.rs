//! What is found of a typical year.

use crate::battery::Lasting;
use crate::energy::DayKind;
use crate::year::{Ledger, Life, STATES};
use serde::Serialize;

/// A typical year of every candidate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct YearReport {
    /// Its first day, as `2027-03-01`.
    pub starts: String,
    /// The calendar month of each of its days, 1 to 12.
    pub month_of: Vec<u8>,
    /// Every candidate, in the plan's order.
    pub banks: Vec<BankYear>,
}

/// How long the chosen bank lasts from full, begun on any day of the year.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FromFull {
    /// Begun on the worst day.
    pub worst: Lasting,
    /// That day, counted from 0.
    pub worst_day: u16,
    /// Half of all days to begin on are worse.
    pub median: Lasting,
}

/// The least array with which the chosen bank has no short day in the typical year.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LeastArray {
    /// Watts of panel in all, laid like the plan's; none where even ten times the plan's array has short days.
    pub panel_w: Option<f64>,
}

/// Where the typical year of a plan of several places is weakest for the chosen bank, and what spending those days elsewhere would
/// change.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Weakest {
    /// The stay, by its id; none for the days of a month at the plan's own place that no stay holds.
    pub stay: Option<u32>,
    /// The name of its place.
    pub place: String,
    /// Its first day, as `2027-06-01`.
    pub from: String,
    /// Its last day.
    pub to: String,
    /// Days of it.
    pub days: u32,
    /// Short days of those.
    pub short_days: u32,
    /// Lowest state of charge on them, 0 to 1.
    pub lowest_soc: f64,
    /// Short days of the whole year.
    pub year_short_days: u32,
    /// The year again with these days spent at each other place, fewest short days first; empty without short days.
    pub instead: Vec<Instead>,
}

/// A year in which some days are spent at another place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Instead {
    /// The name of that place.
    pub place: String,
    /// Short days of the whole year.
    pub year_short_days: u32,
}

/// What one bank lives through in a typical year, from the first of January, from full.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BankYear {
    /// The candidate's id.
    pub id: u32,
    /// Days on which a load goes unserved.
    pub short_days: u32,
    /// The same by month, January first.
    pub short_by_month: [u32; 12],
    /// Longest run of such days.
    pub longest_spell_days: u32,
    /// Days on which the reserve line is passed.
    pub reserve_days: u32,
    /// Lowest state of charge of each day, 0 to 1.
    pub lowest_soc: Vec<f64>,
    /// What the loads lack on each day [Wh].
    pub unserved_wh: Vec<f64>,
    /// Which loads lack it over the year, most first; the inverter's own draw lies with what runs on it.
    pub unserved_by_load: Vec<LoadShort>,
    /// Charge and energy over the year.
    pub ledger: Ledger,
    /// The same by calendar month, January first.
    pub months: [Ledger; 12],
    /// Hours spent in each tenth of charge, from empty up [h].
    pub hours_at: [f64; STATES],
    /// Longest time without being full [days].
    pub longest_unfilled_days: f64,
    /// Lowest voltage at the terminals [V].
    pub lowest_v: f64,
    /// Lowest voltage in the month in which the bank is coldest [V].
    pub coldest_v: f64,
    /// Days whose lowest charge freezes where the bank stands.
    pub freezing_days: u32,
    /// Fuel for the generator [l], where one is told.
    pub fuel_l: Option<f64>,
    /// Largest current out, mean of an hour [A].
    pub most_out_a: f64,
    /// Largest current in, mean of an hour [A].
    pub most_in_a: f64,
    /// How long it lives.
    pub life: Life,
    /// Price of all that are bought in ten years, where one's is known.
    pub ten_years_price: Option<f64>,
    /// Price over its life for each kWh that it gives.
    pub price_per_kwh: Option<f64>,
}

/// What a load lacks in a year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LoadShort {
    /// Its id.
    pub id: u32,
    /// What it is.
    pub name: String,
    /// What it would have drawn from the bank and did not get [Wh].
    pub wh: f64,
}

/// One hour of a bank's typical year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct YearHour {
    /// Day of the calendar year, from 1.
    pub day: u16,
    /// Hour of the day, 0 to 23, by the clock.
    pub hour: u8,
    /// Kind of day.
    pub kind: DayKind,
    /// Loads [W].
    pub use_w: f64,
    /// Of those, what runs on direct current [W].
    pub direct_w: f64,
    /// Sun behind its controller [W].
    pub sun_w: f64,
    /// State of charge at the hour's end, 0 to 1.
    pub soc: f64,
    /// Voltage at the terminals at the hour's end [V].
    pub volts: f64,
    /// Mean current out of the bank [A]; negative into it.
    pub current_a: f64,
    /// From the engine [W].
    pub drive_w: f64,
    /// From the hook-up [W].
    pub shore_w: f64,
    /// What the loads lack [W].
    pub unserved_w: f64,
}

/// One day of it.
#[derive(Clone, Debug, PartialEq)]
pub struct YearDay {
    /// Which day of the year that is lived, counted from 0.
    pub at: usize,
    /// State of charge as it begins, 0 to 1.
    pub starts_soc: f64,
    /// Its 24 hours.
    pub hours: Vec<YearHour>,
}

impl YearDay {
    /// Out of a year's hours, which begins full; none where they do not reach so far.
    pub fn of(hours: &[YearHour], at: usize) -> Option<Self> {
        let from = at * 24;
        let before = from.checked_sub(1).and_then(|before| hours.get(before));
        Some(Self {
            at,
            starts_soc: before.map_or(1.0, |hour| hour.soc),
            hours: hours.get(from..from + 24)?.to_vec(),
        })
    }
}

impl BankYear {
    /// The day on which its charge stands lowest, counted from 0.
    pub fn lowest_day(&self) -> Option<usize> {
        lowest_day(&self.lowest_soc)
    }
}

/// The day whose lowest state of charge is the lowest, counted from 0; none without days.
pub(crate) fn lowest_day(lowest_soc: &[f64]) -> Option<usize> {
    let days = lowest_soc.iter().enumerate();
    days.min_by(|a, b| a.1.total_cmp(b.1)).map(|(day, _)| day)
}

impl YearReport {
    /// One candidate's year.
    pub fn bank(&self, id: u32) -> Option<&BankYear> {
        self.banks.iter().find(|bank| bank.id == id)
    }
}
