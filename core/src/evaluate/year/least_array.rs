//! The least array with which the typical year has no short day.

use super::{SHORT_FROM_WH, TypicalYear, chosen, days_under, tanks};
use crate::evaluate::income::Roof;
use crate::numeric::least_where;
use crate::report::LeastArray;
use crate::year::{Day, live};

/// Largest array that is tried, as a multiple of the plan's. Assumed: beyond it a larger bank or another source is the answer.
const MOST_TIMES: f64 = 10.0;
/// How exactly the multiple is found.
const TO_TIMES: f64 = 0.002;

impl TypicalYear {
    /// The least array, laid like the plan's and its controller growing with it, with which the chosen candidate has no short day
    /// in the typical year, simulated with `CAUTIOUS_SHARE` of the table's clearness in the three darkest months. None without
    /// panels or candidates.
    pub fn least_array(&self) -> Option<LeastArray> {
        let row = chosen(&self.inputs)?;
        let sun = self.inputs.sun.as_ref()?;
        let watts: f64 = sun.parts.iter().map(|part| part.rated_w).sum();
        if watts <= 0.0 {
            return None;
        }
        let air = self.air.cautious();
        let roof = Roof::new(&self.inputs, &air)?;
        // What the array gives before its controller, the same for every multiple.
        let array = days_under(&self.inputs, &air, |ordinal, season, clearness| {
            roof.real_array_w(ordinal, season, clearness, None)
        });
        let tanks = tanks(row, &air);
        let mut course = self.course.clone();
        let is_never_short = |times: f64| {
            let grown = |day: &Day| Day {
                sun_w: roof.grown_w(&day.sun_w, day.bank, times),
                ..day.clone()
            };
            course.days = array.iter().map(grown).collect();
            let lived = live(&tanks, &course, None);
            lived.unserved_wh.iter().all(|wh| *wh <= SHORT_FROM_WH)
        };
        let times = least_where(is_never_short, 0.0, MOST_TIMES, TO_TIMES);
        Some(LeastArray {
            panel_w: times.map(|times| times * watts),
        })
    }
}
