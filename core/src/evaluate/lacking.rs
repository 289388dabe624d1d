//! Which loads go short.

use super::climate::Year;
use super::year::{MONTHS, SHORT_FROM_WH, kind_of};
use crate::energy::{Consumption, Load, LoadUse, Supply};
use crate::inputs::Inputs;
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
        let (kind, month) = (kind_of(profile), profile % MONTHS);
        let day = consumption.detail(kind, month, &air.temps(kind, month));
        for supply in [Supply::Dc, Supply::Ac] {
            let on_it = |load: &LoadUse| {
                let place = inputs.loads.iter().position(|its| its.id == load.id)?;
                let its = inputs.loads.get(place)?;
                (its.supply == supply).then_some((place, load.hourly_w))
            };
            let loads: Vec<(usize, [f64; 24])> = day.loads.iter().filter_map(on_it).collect();
            let mut all_w = [0.0; 24];
            for (_, hourly_w) in &loads {
                for (sum, w) in all_w.iter_mut().zip(hourly_w) {
                    *sum += w;
                }
            }
            for (place, hourly_w) in loads {
                let hours = hours.iter().zip(all_w).zip(hourly_w);
                let shares = hours.filter(|((_, all_w), _)| *all_w > 0.0);
                let wh = shares.map(|(([direct_wh, inverter_wh], all_w), w)| {
                    let lacks_wh = match supply {
                        Supply::Dc => direct_wh,
                        Supply::Ac => inverter_wh,
                    };
                    lacks_wh * w / all_w
                });
                if let Some(short) = shorts.get_mut(place) {
                    short.wh += wh.sum::<f64>();
                }
            }
        }
    }
    shorts.retain(|short| short.wh > SHORT_FROM_WH);
    let most_first: Vec<f64> = shorts.iter().map(|short| -short.wh).collect();
    let places = order(&most_first).into_iter();
    places.filter_map(|at| shorts.get(at).cloned()).collect()
}
