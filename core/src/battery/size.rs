//! The least bank for so many days.

use super::{Bank, Battery, Chemistry, Conditions, Fitted, Label, Reservoir, autonomy, fit};
use crate::numeric::least_where;

/// Largest bank that is tried [Ah].
const MOST_AH: f64 = 100_000.0;
/// How closely the least capacity is found [Ah].
const CLOSE_AH: f64 = 0.05;
/// Hours at which a capacity is rated where nothing else is told [h] (the usual rate of labels).
const RATED_H: f64 = 20.0;

/// Whether a bank lasts so many days of a profile.
fn lasts(
    bank: &Bank,
    fitted: &Fitted,
    conditions: &Conditions,
    use_w: &[f64; 24],
    days: f64,
) -> bool {
    let tank = Reservoir::new(bank, fitted, conditions);
    autonomy(
        &tank,
        use_w,
        &[0.0; 24],
        (days.ceil().max(1.0) as u32).saturating_add(1),
    )
    .reserve
    .days()
        >= days
}

/// The least number of strings of a bank's battery that lasts so many days, up to `most`.
pub fn least_parallel(
    bank: &Bank,
    fitted: &Fitted,
    conditions: &Conditions,
    use_w: &[f64; 24],
    days: f64,
    most: u32,
) -> Option<u32> {
    let holds = |parallel: u32| {
        lasts(
            &Bank {
                parallel,
                ..bank.clone()
            },
            fitted,
            conditions,
            use_w,
            days,
        )
    };
    let (mut low, mut high) = (0, most);
    if !holds(most) {
        return None;
    }
    while high - low > 1 {
        let middle = low.midpoint(high);
        if holds(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}

/// The least rated capacity [Ah] of a kind of battery, with its default label at the rig's voltage, that lasts so many
/// days.
pub fn least_ah_for(
    chemistry: Chemistry,
    volts: f64,
    conditions: &Conditions,
    use_w: &[f64; 24],
    days: f64,
) -> Option<f64> {
    let traits = chemistry.traits();
    let label = Label {
        volts,
        capacity_ah: 100.0,
        hours: RATED_H,
        second: None,
    };
    let battery = Battery {
        chemistry,
        label,
        max_discharge_a: None,
        max_charge_a: None,
    };
    let of_100 = fit(&battery);
    let of = |ah: f64| {
        let mut bank = Bank {
            battery: battery.clone(),
            series: 1,
            parallel: 1,
            depth: traits.depth_recommended,
            hard_depth: traits.depth_hard,
        };
        bank.battery.label.capacity_ah = ah;
        // The wells of a larger battery of a kind are those of a smaller one, made larger.
        let mut fitted = of_100;
        fitted.wells.q_max_ah *= ah / 100.0;
        lasts(&bank, &fitted, conditions, use_w, days)
    };
    // What the usable share alone would take is a floor from which the search begins.
    let tank = Reservoir::new(
        &Bank {
            battery: battery.clone(),
            series: 1,
            parallel: 1,
            depth: traits.depth_recommended,
            hard_depth: traits.depth_hard,
        },
        &of_100,
        conditions,
    );
    let floor = use_w.iter().sum::<f64>() / volts * days / (tank.usable_ah() / 100.0) * 0.5;
    least_where(of, floor, (floor * 4.0).clamp(1.0, MOST_AH), CLOSE_AH)
        .or_else(|| least_where(of, floor, MOST_AH, CLOSE_AH))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_capacity_of_a_small_steady_load_is_its_charge_over_the_depth() {
        // 12 W at 12 V for 2 days: 48 Ah; at half depth 96 Ah, at four fifths 60 Ah.
        let conditions = Conditions {
            temp_c: 25.0,
            soh: 1.0,
        };
        let agm = least_ah_for(Chemistry::Agm, 12.0, &conditions, &[12.0; 24], 2.0).unwrap();
        let iron = least_ah_for(
            Chemistry::LithiumIronPhosphate,
            12.0,
            &conditions,
            &[12.0; 24],
            2.0,
        )
        .unwrap();
        assert!(
            (agm - 96.0).abs() < 0.1 && (iron - 60.0).abs() < 0.1,
            "{agm} {iron}"
        );
    }

    #[test]
    fn the_least_number_lasts_and_one_fewer_does_not() {
        let label = Label {
            volts: 12.0,
            capacity_ah: 90.0,
            hours: 20.0,
            second: None,
        };
        let battery = Battery {
            chemistry: Chemistry::Flooded,
            label,
            max_discharge_a: None,
            max_charge_a: None,
        };
        let fitted = fit(&battery);
        let bank = Bank {
            battery,
            series: 1,
            parallel: 1,
            depth: 0.5,
            hard_depth: 0.8,
        };
        let conditions = Conditions {
            temp_c: 5.0,
            soh: 1.0,
        };
        let least = least_parallel(&bank, &fitted, &conditions, &[40.0; 24], 3.0, 64).unwrap();
        let held = |parallel| {
            lasts(
                &Bank {
                    parallel,
                    ..bank.clone()
                },
                &fitted,
                &conditions,
                &[40.0; 24],
                3.0,
            )
        };
        assert!(held(least) && !held(least - 1));
        assert_eq!(
            least_parallel(&bank, &fitted, &conditions, &[40.0; 24], 3.0, 1),
            None
        );
    }
}
