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
    let consumption = Consumption::new(&inputs.loads, inputs.inverter.as_ref());
    let none = |load: &Load| LoadShort {
        id: load.id,
        name: load.name.clone(),
        wh: 0.0,
    };
    let mut shorts: Vec<LoadShort> = inputs.loads.iter().map(none).collect();
    for (profile, hours) in lacking_wh.iter().enumerate() {
        if hours.iter().flatten().all(|wh| *wh <= 0.0) {
            continue;
        }
        let (kind, month) = (kind_of(profile), profile % MONTHS);
        let day = consumption.detail(kind, month, &air.temps(kind, month));
        for supply in [Supply::Dc, Supply::Ac] {
            let on_it = |used: &&LoadUse| {
                let mut loads = inputs.loads.iter();
                loads.any(|load| load.id == used.id && load.supply == supply)
            };
            let loads: Vec<&LoadUse> = day.loads.iter().filter(on_it).collect();
            for (hour, [direct_wh, inverter_wh]) in hours.iter().enumerate() {
                let lacks_wh = match supply {
                    Supply::Dc => direct_wh,
                    Supply::Ac => inverter_wh,
                };
                let drawn_w = |used: &LoadUse| used.hourly_w.get(hour).copied().unwrap_or(0.0);
                let all_w: f64 = loads.iter().map(|used| drawn_w(used)).sum();
                for short in shorts.iter_mut().filter(|_| all_w > 0.0) {
                    let its_w = loads.iter().filter(|used| used.id == short.id);
                    short.wh += its_w
                        .map(|used| lacks_wh * drawn_w(used) / all_w)
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
