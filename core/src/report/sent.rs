//! A year as numbers, to be sent from whoever lived it.

use super::{BankYear, FromFull, LeastArray, LoadShort, YearDay, YearHour, YearReport};
use crate::battery::Lasting;
use crate::energy::DayKind;
use crate::year::{Ledger, Life};

/// A row of numbers that is read from its start; what is missing at its end is NaN.
struct Row<'a>(std::slice::Iter<'a, f64>);

impl Row<'_> {
    fn one(&mut self) -> f64 {
        self.0.next().copied().unwrap_or(f64::NAN)
    }

    fn count(&mut self) -> u32 {
        self.one() as u32
    }

    fn known(&mut self) -> Option<f64> {
        Some(self.one()).filter(|value| !value.is_nan())
    }

    fn many(&mut self, count: usize) -> Vec<f64> {
        self.0.by_ref().take(count).copied().collect()
    }

    fn array<const N: usize>(&mut self) -> [f64; N] {
        std::array::from_fn(|_| self.one())
    }

    fn ledger(&mut self) -> Ledger {
        Ledger::from_numbers(self.array())
    }
}

impl YearReport {
    /// As numbers: its first day as they are written in a row, how many days it has, the month of each, then each bank.
    pub fn to_numbers(&self) -> Vec<f64> {
        let starts = self.starts.replace('-', "").parse().unwrap_or(0.0);
        let mut row = vec![starts, self.month_of.len() as f64];
        row.extend(self.month_of.iter().map(|month| f64::from(*month)));
        for bank in &self.banks {
            bank.put(&mut row);
        }
        row
    }

    /// Back from them; `called` names a load by its id.
    pub fn from_numbers(numbers: &[f64], called: &dyn Fn(u32) -> String) -> Self {
        let mut row = Row(numbers.iter());
        let starts = row.count();
        let (of_year, day) = (starts / 100, starts % 100);
        let starts = format!("{:04}-{:02}-{day:02}", of_year / 100, of_year % 100);
        let days = row.count() as usize;
        let month_of = row.many(days).iter().map(|month| *month as u8).collect();
        let mut banks = Vec::new();
        while row.0.len() > 0 {
            banks.push(BankYear::take(&mut row, days, called));
        }
        Self {
            starts,
            month_of,
            banks,
        }
    }
}

impl BankYear {
    fn put(&self, row: &mut Vec<f64>) {
        row.extend([self.id, self.short_days].map(f64::from));
        row.extend(self.short_by_month.map(f64::from));
        row.extend(
            [
                self.longest_spell_days,
                self.reserve_days,
                self.freezing_days,
            ]
            .map(f64::from),
        );
        row.extend(&self.lowest_soc);
        row.extend(&self.unserved_wh);
        row.push(self.unserved_by_load.len() as f64);
        for load in &self.unserved_by_load {
            row.extend([f64::from(load.id), load.wh]);
        }
        for ledger in [&self.ledger].into_iter().chain(&self.months) {
            row.extend(ledger.to_numbers());
        }
        row.extend(self.hours_at);
        row.extend([
            self.longest_unfilled_days,
            self.lowest_v,
            self.coldest_v,
            self.most_out_a,
            self.most_in_a,
            self.life.years,
            self.life.by_calendar,
        ]);
        let known = [
            self.life.by_cycles,
            self.fuel_l,
            self.ten_years_price,
            self.price_per_kwh,
        ];
        row.extend(known.map(|value| value.unwrap_or(f64::NAN)));
    }

    fn take(row: &mut Row<'_>, days: usize, called: &dyn Fn(u32) -> String) -> Self {
        Self {
            id: row.count(),
            short_days: row.count(),
            short_by_month: row.array().map(|days| days as u32),
            longest_spell_days: row.count(),
            reserve_days: row.count(),
            freezing_days: row.count(),
            lowest_soc: row.many(days),
            unserved_wh: row.many(days),
            unserved_by_load: (0..row.count())
                .map(|_| {
                    let id = row.count();
                    LoadShort {
                        id,
                        name: called(id),
                        wh: row.one(),
                    }
                })
                .collect(),
            ledger: row.ledger(),
            months: std::array::from_fn(|_| row.ledger()),
            hours_at: row.array(),
            longest_unfilled_days: row.one(),
            lowest_v: row.one(),
            coldest_v: row.one(),
            most_out_a: row.one(),
            most_in_a: row.one(),
            life: Life {
                years: row.one(),
                by_calendar: row.one(),
                by_cycles: row.known(),
            },
            fuel_l: row.known(),
            ten_years_price: row.known(),
            price_per_kwh: row.known(),
        }
    }
}

impl YearDay {
    /// As numbers: which day it is, how full it begins, then the fields of each hour in turn.
    pub fn to_numbers(&self) -> Vec<f64> {
        let mut row = vec![self.at as f64, self.starts_soc];
        row.extend(self.hours.iter().flat_map(|hour| {
            [
                f64::from(hour.day),
                f64::from(hour.hour),
                hour.kind.index() as f64,
                hour.use_w,
                hour.direct_w,
                hour.sun_w,
                hour.soc,
                hour.volts,
                hour.current_a,
                hour.drive_w,
                hour.shore_w,
                hour.unserved_w,
            ]
        }));
        row
    }

    /// Back from them; none where they are none.
    pub fn from_numbers(numbers: &[f64]) -> Option<Self> {
        let [at, starts_soc, hours @ ..] = numbers else {
            return None;
        };
        let hour = |numbers: &[f64; 12]| {
            let [
                day,
                hour,
                kind,
                use_w,
                direct_w,
                sun_w,
                soc,
                volts,
                current_a,
                drive_w,
                shore_w,
                unserved_w,
            ] = *numbers;
            let kind = DayKind::ALL.get(kind as usize).copied();
            YearHour {
                day: day as u16,
                hour: hour as u8,
                kind: kind.unwrap_or(DayKind::Parked),
                use_w,
                direct_w,
                sun_w,
                soc,
                volts,
                current_a,
                drive_w,
                shore_w,
                unserved_w,
            }
        };
        Some(Self {
            at: *at as usize,
            starts_soc: *starts_soc,
            hours: hours.as_chunks().0.iter().map(hour).collect(),
        })
    }
}

impl LeastArray {
    /// As numbers.
    pub fn to_numbers(&self) -> Vec<f64> {
        vec![self.panel_w.unwrap_or(f64::NAN)]
    }

    /// Back from them; none where they are none.
    pub fn from_numbers(numbers: &[f64]) -> Option<Self> {
        let [panel_w] = *numbers else { return None };
        Some(Self {
            panel_w: Some(panel_w).filter(|w| !w.is_nan()),
        })
    }
}

impl FromFull {
    /// As numbers.
    pub fn to_numbers(&self) -> Vec<f64> {
        let worst_day = f64::from(self.worst_day);
        vec![self.worst.days(), worst_day, self.median.days()]
    }

    /// Back from them; none where they are none.
    pub fn from_numbers(numbers: &[f64]) -> Option<Self> {
        let [worst, worst_day, median] = *numbers else {
            return None;
        };
        Some(Self {
            worst: Lasting::of_days(worst),
            worst_day: worst_day as u16,
            median: Lasting::of_days(median),
        })
    }
}
