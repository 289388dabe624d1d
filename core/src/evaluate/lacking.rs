//! Which loads go short.

use super::climate::Year;
use super::year::{SHORT_FROM_WH, kind_of};
use crate::energy::{Consumption, Load, LoadUse, Supply};
use crate::inputs::{Inputs, MONTHS};
use crate::numeric::order;
use crate::report::LoadShort;

/// What went unserved in each hour of each profile of use, on direct current and through the inverter [Wh], shared among the
/// loads that would have run on that supply then, by what they draw; most first.
pub(super) fn unserved_by_load(
    inputs: &Inputs,
    air: &Year,
    lacking_wh: &[[[f64; 2]; 24]],
) -> Vec<LoadShort> {
    let mut shorts = Vec::new();
    let lacks = |hours: &[[f64; 2]; 24]| hours.iter().flatten().any(|wh| *wh > 0.0);
    if !lacking_wh.iter().any(lacks) {
        return shorts;
    }
    let none = |load: &Load| LoadShort {
        id: load.id,
        name: load.name.clone(),
        wh: 0.0,
    };
    shorts.extend(inputs.loads.iter().map(none));
    let consumption = Consumption::new(&inputs.loads, inputs.inverter.as_ref());
    for (profile, hours) in lacking_wh.iter().enumerate().filter(|(_, its)| lacks(its)) {
        let (kind, season) = (kind_of(profile / air.seasons()), profile % air.seasons());
        let (month, temps) = (season % MONTHS, air.temps(kind, season));
        let of_day = |its: LoadUse| {
            let place = inputs.loads.iter().position(|load| load.id == its.id)?;
            Some((place, inputs.loads.get(place)?.supply, its.hourly_w))
        };
        let day: Vec<(usize, Supply, [f64; 24])> = consumption
            .loads_on(kind, month, &temps)
            .filter_map(of_day)
            .collect();
        for supply in [Supply::Dc, Supply::Ac] {
            let loads = || day.iter().filter(|(_, its, _)| *its == supply);
            let lacks_wh = |hour: &[f64; 2]| match supply {
                Supply::Dc => hour[0],
                Supply::Ac => hour[1],
            };
            let mut sum_w = [0.0; 24];
            for (_, _, hourly_w) in loads() {
                for (sum, w) in sum_w.iter_mut().zip(hourly_w) {
                    *sum += w;
                }
            }
            for (place, _, hourly_w) in loads() {
                if let Some(short) = shorts.get_mut(*place) {
                    let by_hour = hours.iter().zip(hourly_w).zip(&sum_w);
                    // The share first: it is at most 1, however little the hour draws.
                    short.wh += by_hour
                        .filter(|(_, sum)| **sum > 0.0)
                        .map(|((hour, w), sum)| w / sum * lacks_wh(hour))
                        .sum::<f64>();
                }
            }
        }
    }
    shorts.retain(|short| short.wh > SHORT_FROM_WH);
    let most_first: Vec<f64> = shorts.iter().map(|short| -short.wh).collect();
    let places = order(&most_first).into_iter();
    places.filter_map(|at| shorts.get(at).cloned()).collect()
}
