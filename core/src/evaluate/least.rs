//! The least of each thing that would do.

use super::banks::health;
use super::climate::Year;
use super::income::{Income, Roof};
use crate::battery::{Chemistry, Conditions, least_ah_for};
use crate::energy::DayKind;
use crate::inputs::Inputs;
use crate::numeric::least_where;
use crate::report::Least;

/// Largest array that is tried, as a multiple of the plan's.
const MOST_TIMES: f64 = 100.0;

pub(super) fn find(
    inputs: &Inputs,
    year: &Year,
    income: &Income,
    use_w: &impl Fn(DayKind, usize) -> [f64; 24],
) -> Least {
    let season = year.main_season(inputs.living.month);
    let parked = use_w(DayKind::Parked, season);
    let temp_c = year.battery_c(season);
    let bank_ah = Chemistry::ALL
        .into_iter()
        .map(|kind| {
            let soh = health(0.0, kind.traits().calendar_years);
            let conditions = Conditions { temp_c, soh };
            (
                kind,
                least_ah_for(kind, inputs.volts, &conditions, &parked, inputs.wanted_days),
            )
        })
        .collect();
    let need: f64 = DayKind::ALL
        .into_iter()
        .zip(inputs.living.shares)
        .filter(|(_, share)| *share > 0.0)
        .map(|(kind, share)| share * use_w(kind, season).iter().sum::<f64>())
        .sum();
    let [_, travelling, hooked_up, _] = inputs.living.shares;
    let hooked_use: f64 = if hooked_up > 0.0 {
        use_w(DayKind::HookedUp, season).iter().sum()
    } else {
        0.0
    };
    let shore = hooked_up * income.shore_wh(hooked_use, inputs);
    let sun: f64 = income.sun_w(season).iter().sum();
    Least {
        bank_ah,
        panel_w: panel_w(
            inputs,
            year,
            need - shore - travelling * income.driving_wh(),
        ),
        driving_h: driving_h(income.driving_w(), travelling, need - shore - sun),
    }
}

/// Watts of panel laid like the plan's whose expected day covers `need` [Wh], in cautious sun. The controller is taken to grow
/// with the array.
fn panel_w(inputs: &Inputs, year: &Year, need: f64) -> Option<f64> {
    let sun = inputs.sun.as_ref()?;
    let watts: f64 = sun.parts.iter().map(|part| part.rated_w).sum();
    if need <= 0.0 || watts <= 0.0 {
        return (need <= 0.0).then_some(0.0);
    }
    let roof = Roof::new(inputs, &year.cautious())?;
    let gives = roof.grown_wh(year.main_season(inputs.living.month));
    least_where(|times| gives(times) >= need, 0.0, MOST_TIMES, 1e-3).map(|times| times * watts)
}

/// Hours of driving on a travelling day that bring `need` [Wh] on the mean of the rhythm.
fn driving_h(driving_w: f64, travelling: f64, need: f64) -> Option<f64> {
    if need <= 0.0 {
        return Some(0.0);
    }
    let hours = need / (driving_w * travelling);
    (driving_w > 0.0 && travelling > 0.0 && hours <= 24.0).then_some(hours)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn driving_covers_what_the_rhythm_leaves_over() {
        // 300 Wh a day are missing; one day in three is driven at 360 W: 900 Wh on it, 2.5 h.
        assert_eq!(driving_h(360.0, 1.0 / 3.0, 300.0), Some(2.5));
        assert_eq!(driving_h(0.0, 1.0, 300.0), None);
        assert_eq!(driving_h(100.0, 0.0, -5.0), Some(0.0));
    }
}
