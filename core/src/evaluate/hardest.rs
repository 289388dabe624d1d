//! The month that is hardest for a plan: the one that matters unless another is chosen.

use super::climate::Year;
use super::income::Income;
use super::{meter_scale, one_month};
use crate::energy::{Consumption, DayKind};
use crate::inputs::{Inputs, MONTHS};

/// The month, 0 to 11, in which least is left of what comes in on an expected day; of equal ones the one in which the batteries
/// are coldest. A measured day counts as measured in the month that is looked at.
pub(crate) fn hardest_month(inputs: &Inputs) -> usize {
    let year = Year::new(&inputs.living, inputs.sun.as_ref());
    let consumption = Consumption::new(&inputs.loads, inputs.inverter.as_ref());
    let income = Income::new(inputs, &year);
    let use_w = |kind: DayKind, season: usize| {
        let hours = |kind| {
            let temps = year.temps(kind, season);
            consumption.hourly_w(kind, season % MONTHS, &temps)
        };
        let parked_wh = || hours(DayKind::Parked).iter().sum();
        match inputs.metered_wh {
            Some(wh) if inputs.loads.is_empty() => [wh / 24.0; 24],
            Some(wh) => {
                let scale = meter_scale(Some(wh), parked_wh());
                hours(kind).map(|w| w * scale)
            }
            None => hours(kind),
        }
    };
    let mut hardest = (0, f64::INFINITY, f64::INFINITY);
    for month in 0..12 {
        let left_wh = one_month(inputs, &year, &income, &use_w, month).left_wh;
        let battery_c = year.over_month(month, |season| year.battery_c(season));
        let order = left_wh.total_cmp(&hardest.1);
        if order.then(battery_c.total_cmp(&hardest.2)).is_lt() {
            hardest = (month, left_wh, battery_c);
        }
    }
    hardest.0
}

#[cfg(test)]
mod tests {
    use crate::plan::Plan;

    fn cutter() -> Plan {
        let text = include_str!("../../../demo-data/estuary-cutter.larder.json");
        let mut plan = crate::link::from_text(text).unwrap();
        plan.living.month = 0;
        plan.living.outdoors_c = [None; 12];
        plan
    }

    fn hardest(plan: &Plan) -> u8 {
        crate::assess(plan).unwrap().month
    }

    #[test]
    fn it_follows_the_hemisphere_and_gives_way_to_a_choice() {
        let mut plan = cutter();
        assert_eq!(hardest(&plan), 12);
        (plan.living.lat, plan.living.lon) = (-36.85, 174.75);
        assert_eq!(hardest(&plan), 6);
        plan.living.month = 3;
        assert_eq!(hardest(&plan), 3);
    }

    #[test]
    fn a_load_that_runs_in_some_months_makes_its_own_month_the_hardest() {
        let mut plan = cutter();
        plan.loads.truncate(1);
        let mut load = plan.loads[0].clone();
        load.id = 77;
        load.draw = 400.0;
        load.months = vec![7];
        plan.loads.push(load);
        assert_eq!(hardest(&plan), 7);
    }

    #[test]
    fn without_any_sun_it_is_the_coldest() {
        let mut plan = cutter();
        plan.sun.fitted = false;
        plan.meter.used = true;
        plan.meter.amount = 40.0;
        plan.loads.clear();
        plan.living.battery_place = crate::plan::BatteryPlace::Outdoors;
        plan.living.outdoors_c =
            std::array::from_fn(|month| Some(if month == 1 { -3.0 } else { 9.0 }));
        assert_eq!(hardest(&plan), 2);
    }
}
