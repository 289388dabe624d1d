//! Batteries: what their labels say, what is left in the cold and with age, how they give and take over time.
//! May use numeric, finding and the compiled-in table of data; never another topic.
//! Architecture invariant: nothing in this module refuses input; import has done so. Charge is never made or lost in a step.

mod autonomy;
mod bank;
mod chemistry;
mod fit;
mod kinetic;
mod rating;
mod reservoir;
mod size;
mod temperature;
mod voltage;

pub(crate) use autonomy::FULL_SOC;
pub use autonomy::{
    Autonomy, HourState, Lasting, autonomy, refill_hours, reserve_state, trace_day,
};
pub use bank::{Bank, Battery, Label, SecondRating};
pub use chemistry::{Chemistry, Traits};
pub use fit::{FitVerdict, Fitted, fit, fit_wells};
pub use kinetic::{State, Step, Wells};
pub use rating::{capacity_at_ah, exponent, hours_at, hours_at_from_one_ampere};
pub use reservoir::{Accepted, Conditions, Reservoir, charging_v};
pub use size::{least_ah_for, least_parallel};
pub use temperature::{capacity_divisor, lead_acid_divisor};
pub use voltage::{
    cells_in_series, charge_of_gravity, freezes_below, freezing_c, gravity_of_charge,
    internal_resistance_ohm, iron_cell_limits_v, iron_phosphate_electrode_v, rest_cell_v,
    short_circuit_from_two_points, short_circuit_ohm, voltage_of_gravity,
};

/// A bank to test with.
#[cfg(test)]
pub(crate) mod sample {
    use super::{Bank, Battery, Chemistry, Conditions, Label, Reservoir, fit};

    /// A bank of 12 V by its kind, the rating of one battery over 20 h, the strings, the temperature and the health.
    pub(crate) fn tank(
        kind: Chemistry,
        ah: f64,
        parallel: u32,
        temp_c: f64,
        soh: f64,
    ) -> Reservoir {
        let battery = Battery {
            chemistry: kind,
            label: Label {
                volts: 12.0,
                capacity_ah: ah,
                hours: 20.0,
                second: None,
            },
            max_discharge_a: None,
            max_charge_a: None,
        };
        let fitted = fit(&battery);
        let traits = kind.traits();
        let bank = Bank {
            battery,
            series: 1,
            parallel,
            depth: traits.depth_recommended,
            hard_depth: traits.depth_hard,
        };
        Reservoir::new(&bank, &fitted, &Conditions { temp_c, soh })
    }
}
