//! Where and how one lives: places by the calendar, the rhythm of days, temperatures.

use crate::energy::DayKind;
use crate::solar::{MONTH_DAYS, Site};
use chrono::{Datelike, Months, NaiveDate};

/// Months of a year. A *season* is a month (0 = January) at a place: the place's index times this plus the month. The home has
/// index 0, so that its seasons are the months.
pub(crate) const MONTHS: usize = 12;

/// Where the batteries stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum BatteryAir {
    Cabin,
    Outdoors,
    Between,
    Own(f64),
}

/// A place: its position, air and clock.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Place {
    /// As reports name it.
    pub(crate) name: String,
    pub(crate) site: Site,
    /// Height above the sea, where it is known [m].
    pub(crate) elevation_m: Option<f64>,
    /// Clock ahead of universal time in each month, summer time included [h].
    pub(crate) clock_ahead_h: [f64; 12],
    /// Mean outdoor temperature by month [°C].
    pub(crate) outdoors_c: [f64; 12],
    /// Months of those that are from the climate table.
    pub(crate) outdoors_from_table: usize,
    /// From the coldest to the warmest hour of a mean day, by month [K].
    pub(crate) swing_k: [f64; 12],
}

impl Place {
    /// Standard time ahead of universal time [h].
    pub(crate) fn standard_ahead_h(&self) -> f64 {
        self.clock_ahead_h
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min)
    }
}

/// Days from a first to a last day that are spent at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Stay {
    pub(crate) id: u32,
    pub(crate) from: NaiveDate,
    pub(crate) to: NaiveDate,
    /// Of one kind, whatever the rhythm says; none where the rhythm holds.
    pub(crate) kind: Option<DayKind>,
    /// Index of its place: 0 is the home, 1 the first elsewhere.
    pub(crate) place: usize,
}

impl Stay {
    fn holds(&self, date: NaiveDate) -> bool {
        (self.from..=self.to).contains(&date)
    }
}

/// Places, rhythm and temperatures.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Living {
    pub(crate) home: Place,
    /// The other places of stays.
    pub(crate) elsewhere: Vec<Place>,
    /// By what the sky's clearness is multiplied everywhere: 1, unless it is doubted.
    pub(crate) clearer: f64,
    /// The month that matters, 0 to 11.
    pub(crate) month: usize,
    /// Kinds of day in the order in which they repeat, each with how many; at least one day in all.
    pub(crate) rhythm: Vec<(DayKind, u32)>,
    /// First day of the year that is simulated.
    pub(crate) starts: NaiveDate,
    /// Dated stretches that stand in for the rhythm; a later one counts where two overlap.
    pub(crate) stays: Vec<Stay>,
    /// Share of each kind of day, in the order of `DayKind::ALL`; they add up to one.
    pub(crate) shares: [f64; 4],
    pub(crate) cabin_c: f64,
    pub(crate) battery_air: BatteryAir,
}

impl Living {
    /// All places, the home first.
    pub(crate) fn places(&self) -> impl Iterator<Item = &Place> {
        std::iter::once(&self.home).chain(&self.elsewhere)
    }

    /// All places, the home first, for a change.
    pub(crate) fn places_mut(&mut self) -> impl Iterator<Item = &mut Place> {
        std::iter::once(&mut self.home).chain(&mut self.elsewhere)
    }

    /// The place of an index; the home where there is none of that index.
    pub(crate) fn place(&self, nth: usize) -> &Place {
        let found = nth.checked_sub(1).and_then(|nth| self.elsewhere.get(nth));
        found.unwrap_or(&self.home)
    }

    /// The stay that holds a date; none where the rhythm holds.
    pub(crate) fn stay_on(&self, date: NaiveDate) -> Option<&Stay> {
        self.stays.iter().rev().find(|stay| stay.holds(date))
    }

    /// The stay that holds a date of the calendar year in which the simulated year starts, or the same date a year later.
    pub(crate) fn stay_on_or_next_year(&self, date: NaiveDate) -> Option<&Stay> {
        let next = date.with_year(self.starts.year() + 1);
        let mut stays = self.stays.iter().rev();
        stays.find(|stay| stay.holds(date) || next.is_some_and(|next| stay.holds(next)))
    }

    /// The dates of the simulated year: 365, or 366 where it holds a leap day.
    pub(crate) fn dates(&self) -> impl Iterator<Item = NaiveDate> + use<> {
        let ends = self.starts.checked_add_months(Months::new(12));
        let ends = ends.unwrap_or(self.starts);
        self.starts.iter_days().take_while(move |date| *date < ends)
    }

    /// Days of each month of the simulated year that are spent at each place, home first.
    pub(crate) fn days_at_places(&self) -> Vec<[u32; 12]> {
        if self.elsewhere.is_empty() {
            return vec![MONTH_DAYS.map(|days| days as u32)];
        }
        let mut days = vec![[0; 12]; 1 + self.elsewhere.len()];
        for date in self.dates() {
            let (month, place) = (
                date.month0() as usize,
                self.stay_on(date).map_or(0, |stay| stay.place),
            );
            let at_place = days.get_mut(place);
            if let Some(days) = at_place.and_then(|months| months.get_mut(month)) {
                *days += 1;
            }
        }
        days
    }
}
