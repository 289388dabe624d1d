//! Which stay, or which month at home, a year of several places breaks at, and what another place would change: the typical year
//! simulated again for each.

use super::{SHORT_FROM_WH, TypicalYear, chosen};
use crate::inputs::{Candidate, Inputs, Stay};
use crate::numeric::order;
use crate::report::{Instead, Weakest};
use chrono::{Datelike, Months, NaiveDate};

/// Days that are spent at one place: a stay's, or those of a month at home that no stay holds.
struct Span {
    /// Index of the stay among the plan's; none at home.
    stay: Option<usize>,
    /// Its first and its last day.
    from: NaiveDate,
    to: NaiveDate,
    days: u32,
    short_days: u32,
    lowest_soc: f64,
}

impl TypicalYear {
    /// The stay, or the month at home, with the most short days of the chosen candidate; of equal ones that with the lowest charge.
    /// None for a plan of one place, or without candidates.
    pub fn weakest(&self) -> Option<Weakest> {
        let living = &self.inputs.living;
        if living.elsewhere.is_empty() {
            return None;
        }
        let row = chosen(&self.inputs)?;
        let spans = self.spans(row);
        let by_worst: Vec<f64> = spans
            .iter()
            .map(|span| span.lowest_soc.clamp(0.0, 1.0) - 2.0 * f64::from(span.short_days))
            .collect();
        let span = spans.get(*order(&by_worst).first()?)?;
        let stay = span.stay.and_then(|nth| living.stays.get(nth));
        let here = stay.map_or(0, |stay| stay.place);
        Some(Weakest {
            stay: stay.map(|stay| stay.id),
            place: living.place(here).name.clone(),
            from: span.from.to_string(),
            to: span.to.to_string(),
            days: span.days,
            short_days: span.short_days,
            lowest_soc: span.lowest_soc,
            year_short_days: spans.iter().map(|span| span.short_days).sum(),
            instead: if span.short_days > 0 {
                self.instead(row, span, here)
            } else {
                Vec::new()
            },
        })
    }

    /// The spans of the year, each once, with what the bank goes through on their days.
    fn spans(&self, row: &Candidate) -> Vec<Span> {
        let living = &self.inputs.living;
        let lived = self.live(row, None);
        let mut spans: Vec<Span> = Vec::new();
        let days = lived.unserved_wh.iter().zip(&lived.lowest);
        for (date, (unserved_wh, lowest_soc)) in living.dates().zip(days) {
            let on = living.stay_on(date);
            let stay = on.and_then(|on| living.stays.iter().position(|stay| stay == on));
            let is_same = |span: &Span| {
                span.stay == stay && (stay.is_some() || span.from.month0() == date.month0())
            };
            let at = spans.iter().position(is_same).unwrap_or_else(|| {
                spans.push(Span {
                    stay,
                    from: date,
                    to: date,
                    days: 0,
                    short_days: 0,
                    lowest_soc: 1.0,
                });
                spans.len() - 1
            });
            if let Some(span) = spans.get_mut(at) {
                span.to = date;
                span.days += 1;
                span.short_days += u32::from(*unserved_wh > SHORT_FROM_WH);
                span.lowest_soc = span.lowest_soc.min(*lowest_soc);
            }
        }
        spans
    }

    /// Short days of the year with a span's days spent at each other place.
    fn instead(&self, row: &Candidate, span: &Span, here: usize) -> Vec<Instead> {
        let living = &self.inputs.living;
        let others = (0..=living.elsewhere.len()).filter(|place| *place != here);
        let years: Vec<Instead> = others
            .map(|place| {
                let year = Self::new(&moved(&self.inputs, span, place));
                let lived = year.live(row, None);
                let short = lived.unserved_wh.iter().filter(|wh| **wh > SHORT_FROM_WH);
                Instead {
                    place: living.place(place).name.clone(),
                    year_short_days: short.count() as u32,
                }
            })
            .collect();
        let short: Vec<f64> = years
            .iter()
            .map(|year| f64::from(year.year_short_days))
            .collect();
        let fewest = order(&short).into_iter();
        fewest.filter_map(|nth| years.get(nth).cloned()).collect()
    }
}

/// The plan with a span's days spent at another place, all else as it was.
fn moved(inputs: &Inputs, span: &Span, place: usize) -> Inputs {
    let mut inputs = inputs.clone();
    let living = &mut inputs.living;
    match span.stay {
        Some(nth) => {
            if let Some(stay) = living.stays.get_mut(nth) {
                stay.place = place;
            }
        }
        None => {
            // Before the plan's own stays, which count where they overlap.
            let year = living.starts.year();
            for year in [year, year + 1] {
                living
                    .stays
                    .splice(0..0, whole_month(year, span.from.month(), place));
            }
        }
    }
    inputs
}

/// A stay of a whole month in which the rhythm holds.
fn whole_month(year: i32, month: u32, place: usize) -> Option<Stay> {
    let from = NaiveDate::from_ymd_opt(year, month, 1)?;
    let to = from.checked_add_months(Months::new(1))?.pred_opt()?;
    Some(Stay {
        id: 0,
        from,
        to,
        kind: None,
        place,
    })
}
