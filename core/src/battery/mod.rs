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

pub use autonomy::{
    Autonomy, HourState, Lasting, autonomy, refill_hours, reserve_state, trace_day,
};
pub use bank::{Bank, Battery, Label, SecondRating};
pub use chemistry::{Chemistry, Traits};
pub use fit::{FitVerdict, Fitted, fit, fit_wells};
pub use kinetic::{State, Step, Wells};
pub use rating::{capacity_at_ah, exponent, hours_at, hours_at_from_one_ampere};
pub use reservoir::{Conditions, Reservoir};
pub use size::{least_ah_for, least_parallel};
pub use temperature::{capacity_divisor, lead_acid_divisor};
pub use voltage::{
    charge_of_gravity, freezing_c, gravity_of_charge, internal_resistance_ohm,
    iron_phosphate_electrode_v, rest_v, short_circuit_from_two_points, voltage_of_gravity,
};
