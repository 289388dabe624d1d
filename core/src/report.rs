//! Everything that was worked out about a plan, gathered. The page, the pictures, the build sheet and the command
//! line read this and nothing else. Keys are documented here; the JSON form has the same names.

mod carries;
mod sent;
mod year;

pub use carries::{
    Carries, Feeder, Fuse, Holding, Joining, LinkReport, MainsReport, PanelFault, ParallelReport,
    Part, RunReport, SplitFuse,
};
pub(crate) use year::lowest_day;
pub use year::{
    BankYear, FromFull, Instead, LeastArray, LoadShort, Weakest, YearDay, YearHour, YearReport,
};

use crate::battery::{Chemistry, HourState, Lasting};
use crate::energy::DayKind;
use crate::finding::{Finding, Gravity};
use crate::fit::{Outcome, Verdict, WhatItTakes};
use crate::plan::{CableExit, Rig, Thing};
use serde::Serialize;

/// The answer to a plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// The plan's name.
    pub name: String,
    /// What the plan is for.
    pub rig: Rig,
    /// Nominal voltage of the rig [V].
    pub volts: f64,
    /// The month that matters, 1 to 12.
    pub month: u8,
    /// Days that the bank is wanted to last with nothing coming in.
    pub wanted_days: f64,
    /// What is used.
    pub needs: Needs,
    /// What comes in and goes out, by month, January first.
    pub months: Vec<Month>,
    /// How far the climate tables may be out there.
    pub climate: ClimateError,
    /// A parked day of the chosen month with its expected sun, by the clock.
    pub parked_sun_w: [f64; 24],
    /// The panels on the coldest morning, where their open-circuit voltage is known.
    pub cold_panels: Option<ColdPanels>,
    /// Every candidate, in the plan's order.
    pub banks: Vec<BankReport>,
    /// Id of the candidate that the plan is made with.
    pub chosen: u32,
    /// What the least sizes are for the days wanted and for the month that matters.
    pub least: Least,
    /// Whether the locker was measured; until then fit is left out.
    pub locker_measured: bool,
    /// Cables, fuses, hold-down and air for the chosen bank.
    pub carries: Carries,
    /// What is wrong or worth knowing, gravest first.
    pub findings: Vec<Finding>,
    /// How many values of the plan are still guesses.
    pub guesses: usize,
}

/// How far the climate tables may be out at the plan's place, where they are used.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ClimateError {
    /// Region in which the error of the sun was measured; "all" outside every region.
    pub region: &'static str,
    /// Stations that it was measured at.
    pub stations: usize,
    /// Root mean square error of a month's sun on level ground [kWh/m² a day].
    pub month_rmse: f64,
    /// Mean error of the sun, share of it; positive: the table is too sunny.
    pub bias: f64,
    /// Mean error of the sun of the three darkest months, share of the year's mean.
    pub dark_bias: f64,
    /// Months whose outdoor temperature is from the table, 0 to 12.
    pub air_months: usize,
    /// Root mean square error of a month's outdoor temperature [K].
    pub air_rmse_k: f64,
    /// Whether the height above the sea is known.
    pub height_known: bool,
}

/// The voltage before the controller with nothing drawn, on the coldest morning.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ColdPanels {
    /// Panels in series.
    pub in_series: usize,
    /// The coldest morning [°C].
    pub coldest_c: f64,
    /// Voltage of the whole row then [V].
    pub volts: f64,
    /// What the controller bears, where it is told [V].
    pub most_v: Option<f64>,
}

/// What is used on a day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Needs {
    /// Out of the bank on a parked day of the month that matters [Wh].
    pub parked_wh: f64,
    /// The same at the bank's nominal voltage [Ah].
    pub parked_ah: f64,
    /// What the loads add up to on that day, before a measured day stands in [Wh].
    pub summed_wh: f64,
    /// By kind of day, in the order parked, travelling, hooked up, away [Wh].
    pub by_kind_wh: [f64; 4],
    /// The mean over the rhythm [Wh].
    pub mean_wh: f64,
    /// Row by row.
    pub rows: Vec<RowUse>,
    /// What the inverter takes to stand ready [Wh].
    pub inverter_idle_wh: f64,
    /// Hour by hour on a parked day, mean power out of the bank [W].
    pub hourly_w: [f64; 24],
    /// The hour that takes most, 0 to 23.
    pub largest_hour: usize,
    /// Largest power that can coincide, out of the bank [W].
    pub largest_w: f64,
    /// The same at the bank's nominal voltage [A].
    pub largest_a: f64,
    /// Continuous rating that the inverter needs at the least [W]; 0 where nothing runs on AC.
    pub least_inverter_w: f64,
    /// Short-time rating that it needs at the least [W].
    pub least_inverter_surge_w: f64,
    /// Whether a measured day stands in for the sum.
    pub metered: bool,
}

/// What one row of the loads comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RowUse {
    /// The row's id.
    pub id: u32,
    /// The kind of day shown: parked where it runs then, else the first on which it runs.
    pub kind: DayKind,
    /// Out of the bank on such a day [Wh].
    pub wh: f64,
    /// Of that, lost in the inverter while it runs [Wh].
    pub loss_wh: f64,
    /// Hours that it runs.
    pub running_h: f64,
    /// Whether it can't hold its set point in some hour.
    pub saturated: bool,
    /// Whether it runs at all in the month that matters.
    pub in_season: bool,
    /// Mean power out of the bank by the hour [W].
    pub hourly_w: [f64; 24],
}

/// One month of a year that is as expected, each figure a mean over the rhythm's days [Wh a day].
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Month {
    /// 1 to 12.
    pub month: u8,
    /// Mean outdoor temperature [°C].
    pub outdoors_c: f64,
    /// The battery's own temperature [°C].
    pub battery_c: f64,
    /// Mean clearness index.
    pub clearness: f64,
    /// Peak sun hours on level ground [kWh/m² a day].
    pub peak_sun_hours: f64,
    /// Where the clearness comes from.
    pub sun_origin: SunOrigin,
    /// From the sun.
    pub sun_wh: f64,
    /// From driving.
    pub alternator_wh: f64,
    /// From the hook-up.
    pub shore_wh: f64,
    /// Used.
    pub use_wh: f64,
    /// Income less use.
    pub left_wh: f64,
    /// Where its days are spent, in a plan of more than one place: most days first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub places: Vec<DaysAt>,
}

/// Days of a month at a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DaysAt {
    /// The place's name, else its position.
    pub place: String,
    /// Whether it is the plan's own place.
    pub home: bool,
    /// Days of the month.
    pub days: u32,
}

/// Where a month's sun comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SunOrigin {
    /// The climate table, by place.
    Table,
    /// The climate table, by latitude alone.
    Latitude,
    /// Typed.
    Own,
    /// The sun does not rise far enough.
    NoSun,
}

/// A bank of which the last string comes later.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LaterReport {
    /// How much later [years].
    pub years: f64,
    /// How long the first strings last alone, parked, with nothing coming in.
    pub first_parked: Lasting,
    /// What share of their rated capacity they still hold when the last one comes.
    pub first_health: f64,
}

/// One candidate bank.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BankReport {
    /// The candidate's id.
    pub id: u32,
    /// Kind of battery.
    pub chemistry: Chemistry,
    /// Batteries in all.
    pub count: u32,
    /// Batteries in a string.
    pub series: u32,
    /// Strings side by side.
    pub parallel: u32,
    /// Rated capacity of one [Ah].
    pub each_ah: f64,
    /// Rated capacity of the bank [Ah].
    pub bank_ah: f64,
    /// Its nominal voltage [V].
    pub bank_v: f64,
    /// Usable when new, at 25 °C [Ah].
    pub usable_new_ah: f64,
    /// Usable today, in the cold of the month that matters [Ah].
    pub usable_now_ah: f64,
    /// Usable in that cold at the end of its life [Ah].
    pub usable_old_ah: f64,
    /// Depth to which it is planned, 0 to 1.
    pub depth: f64,
    /// State of health today, 0 to 1.
    pub health: f64,
    /// Its temperature in the month that matters [°C].
    pub temp_c: f64,
    /// Factor by which cold divides capacity.
    pub cold_factor: f64,
    /// Whether that factor is extrapolated.
    pub cold_extrapolated: bool,
    /// Peukert exponent, from the label or the chemistry's default.
    pub exponent: f64,
    /// Days parked with nothing coming in, to the reserve line.
    pub parked: Lasting,
    /// The same to the hard limit.
    pub parked_hard: Lasting,
    /// The same to the reserve line at the end of its life.
    pub parked_old: Lasting,
    /// Whether the wells gave out before the reserve line was reached.
    pub wells_bind: bool,
    /// Days parked with the expected sun, to the reserve line, January first.
    pub with_sun: Vec<Lasting>,
    /// Hours of driving from the reserve line to full; none where driving can't.
    pub driving_refill_h: Option<f64>,
    /// Parked days of expected sun from the reserve line to full; none where the sun can't.
    pub sun_refill_days: Option<f64>,
    /// Terminal voltage under the largest current: full, and at the reserve line [V].
    pub loaded_full_v: f64,
    /// See above.
    pub loaded_reserve_v: f64,
    /// Cut-off that it is held against [V].
    pub cutoff_v: f64,
    /// Batteries of this kind that the days wanted take at the least.
    pub least_count: Option<u32>,
    /// Mass [kg].
    pub mass_kg: f64,
    /// Price, where one is known.
    pub price: Option<f64>,
    /// Where the last of its strings comes later; all else in this report is of the whole bank, on the day that it comes.
    pub later: Option<LaterReport>,
    /// Whether and how it goes into the locker; none until that is measured.
    pub fit: Option<Verdict>,
    /// A parked day in the month that matters, from full, by the hour.
    pub day: Vec<HourState>,
    /// What the shelf shows.
    pub shelf: Shelf,
}

/// The bank as a shelf, in ampere-hours from the left.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Shelf {
    /// All of it: the rated capacity [Ah].
    pub rated_ah: f64,
    /// One portion a day that it lasts, the last one in part [Ah].
    pub portions_ah: Vec<f64>,
    /// What cold and age take from the usable part [Ah].
    pub cold_and_age_ah: f64,
    /// What stays in reserve [Ah].
    pub reserve_ah: f64,
}

/// The least of each thing that would do.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Least {
    /// Rated ampere-hours for the days wanted, by chemistry; none where no size would do.
    pub bank_ah: Vec<(Chemistry, Option<f64>)>,
    /// Watts of panel laid like the plan's that cover the month that matters; none where no number would do.
    pub panel_w: Option<f64>,
    /// Hours of driving on a travelling day that cover it; none where no number would do.
    pub driving_h: Option<f64>,
}

impl BankReport {
    /// Whether it goes into the space for certain; none where that is not measured.
    pub fn fits(&self) -> Option<bool> {
        let outcome = &self.fit.as_ref()?.outcome;
        Some(matches!(outcome, Outcome::Fits { too_close, .. } if !too_close))
    }
}

impl Report {
    /// The chosen bank; the first where the choice is gone.
    pub fn chosen_bank(&self) -> Option<&BankReport> {
        self.bank(self.chosen).or(self.banks.first())
    }

    /// The bank of a candidate's id.
    pub fn bank(&self, id: u32) -> Option<&BankReport> {
        self.banks.iter().find(|bank| bank.id == id)
    }

    /// The month that matters.
    pub fn focus(&self) -> Option<&Month> {
        self.months.iter().find(|month| month.month == self.month)
    }

    /// Whether anything found is grave.
    pub fn is_grave(&self) -> bool {
        self.findings.iter().any(|f| f.gravity == Gravity::Grave)
    }
}

/// How often a bank runs short, from many drawn years.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Risk {
    /// The candidate's id.
    pub id: u32,
    /// Years drawn.
    pub years: u32,
    /// Days short a year, mean.
    pub mean_days: f64,
    /// Interval that holds that mean with 95 % confidence; none where it is below one day.
    pub interval: Option<[f64; 2]>,
    /// Share of years without a short day, 0 to 1.
    pub years_with_none: f64,
    /// Interval that holds that share with at least 95 % confidence.
    pub none_interval: [f64; 2],
    /// Days short that one year in ten stays at or below.
    pub tenth: u32,
    /// Half of all years.
    pub median: u32,
    /// Nine in ten.
    pub ninth: u32,
    /// Longest run of short days in any year.
    pub worst_spell_days: u16,
    /// Month in which it ended, 1 to 12.
    pub worst_spell_month: u8,
    /// Days short a year by month, January first.
    pub by_month: [f64; 12],
    /// What the loads lack a year [Wh].
    pub unserved_wh: f64,
}

/// The chosen bank at one end of what an uncertain input may be.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DoubtEnd {
    /// Days parked to the reserve line, nothing coming in.
    pub parked_days: f64,
    /// Days short a year in drawn weather.
    pub short_days: f64,
}

/// What one uncertain input does to the chosen bank.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Doubt {
    /// The input.
    pub name: &'static str,
    /// Which of the uncertain inputs it is.
    pub nth: usize,
    /// How far it may be out: as a share of itself, in years or in kelvin.
    pub range: f64,
    /// At its low end.
    pub low: DoubtEnd,
    /// At its high end.
    pub high: DoubtEnd,
    /// Days short a year of the plan as it stands, in the same drawn years.
    pub plain_days: f64,
}

/// A cell of a sizing map.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SizingCell {
    /// Days short a year; none before it is worked out. Where another cell settled it, that one's bound.
    pub days: Option<f64>,
    /// Years drawn; 0 where another cell settled it: a poorer one that is never short, a richer one that is hopeless.
    pub years: u32,
}

/// Days short a year by strings of batteries and solar watts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SizingMap {
    /// The candidate whose strings are counted.
    pub id: u32,
    /// Strings side by side, rising.
    pub strings: Vec<u32>,
    /// Most strings that may be proposed: what fits the space as it is, or where that is not measured, what weighs no more
    /// than an assumed mass; 0 where none fits.
    pub most_strings: u32,
    /// Solar watts, rising [W].
    pub watts: Vec<f64>,
    /// The plan's own.
    pub plan_strings: u32,
    /// The plan's own [W].
    pub plan_watts: f64,
    /// Days short a year that are borne.
    pub tolerance_days: f64,
    /// Price of a string, where it is known.
    pub bank_price: Option<f64>,
    /// Price of a watt of panel, where it is known.
    pub watt_price: Option<f64>,
    /// Row by row: all watts for one string, then for two.
    pub cells: Vec<SizingCell>,
}

impl SizingMap {
    /// Days short a year in a cell, if it is worked out.
    pub fn days(&self, string: usize, watt: usize) -> Option<f64> {
        self.cells.get(string * self.watts.len() + watt)?.days
    }

    /// Whether a cell's days are only known to be more.
    pub fn is_bound(&self, string: usize, watt: usize) -> bool {
        let cell = self.cells.get(string * self.watts.len() + watt);
        cell.is_some_and(|cell| cell.years == 0 && cell.days.is_some_and(|days| days > 0.0))
    }

    /// Whether a cell keeps to what is borne.
    pub fn keeps(&self, string: usize, watt: usize) -> bool {
        self.days(string, watt)
            .is_some_and(|days| days <= self.tolerance_days)
    }

    /// For each count of strings, the least watts, by place, at which the tolerance is kept.
    pub fn frontier(&self) -> Vec<Option<usize>> {
        (0..self.strings.len())
            .map(|string| (0..self.watts.len()).find(|watt| self.keeps(string, *watt)))
            .collect()
    }

    /// Strings, of those that may be proposed, and least watts that keep to what is borne; only where a string more saves
    /// watts.
    pub fn ways(&self) -> Vec<(u32, f64)> {
        let mut ways: Vec<(u32, f64)> = Vec::new();
        let proposed = self.strings.iter().take_while(|n| **n <= self.most_strings);
        for (strings, watt) in proposed.zip(self.frontier()) {
            let watts = watt.and_then(|watt| self.watts.get(watt)).copied();
            if let Some(watts) = watts
                && ways.last().is_none_or(|(_, least)| watts < *least)
            {
                ways.push((*strings, watts));
            }
        }
        ways
    }

    /// What so many strings and watts cost; none where a price is not known.
    pub fn price(&self, strings: u32, watts: f64) -> Option<f64> {
        Some(f64::from(strings) * self.bank_price? + watts * self.watt_price?)
    }

    /// Fewest days short a year of what may be proposed; none while nothing of it is worked out, or where none fits.
    pub fn fewest_days(&self) -> Option<f64> {
        let rows = 0..(self.most_strings as usize).min(self.strings.len());
        let days = rows.flat_map(|row| (0..self.watts.len()).map(move |watt| (row, watt)));
        days.filter_map(|(row, watt)| self.days(row, watt))
            .reduce(f64::min)
    }

    /// The cheapest of the ways and its price; none where no price is known or no way leads there.
    pub fn cheapest(&self) -> Option<(u32, f64, f64)> {
        let ways = self.ways().into_iter();
        let priced =
            ways.filter_map(|(strings, watts)| Some((strings, watts, self.price(strings, watts)?)));
        priced.reduce(|best, next| if next.2 < best.2 { next } else { best })
    }
}

/// What one change, or two, would do for each bank in the locker.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpaceReport {
    /// Every candidate of which so many can be searched for.
    pub banks: Vec<BankSpace>,
}

/// The same for one bank.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BankSpace {
    /// Stays with the candidate.
    pub id: u32,
    /// Batteries that the plan has.
    pub planned: u32,
    /// How many, in whole strings, go in as it is; fewer than planned where those do not fit.
    pub as_it_is: u32,
    /// What would admit the planned ones, or one string more than go in; none beyond eight batteries.
    pub takes: Option<WhatItTakes>,
    /// What the obstacles are, in the locker's order.
    pub things: Vec<(String, Thing)>,
    /// Names of the cases offered.
    pub cases: Vec<String>,
    /// Ways for the cables that were offered.
    pub exits: Vec<CableExit>,
}
