//! What runs, and what that takes out of the bank: loads, the day's hours, the inverter, the largest draw at once.
//! May use numeric, finding and data, and no other topic.
//! Architecture invariant: nothing in this module refuses input; import has done so.

mod charge;
mod coincident;
mod idle;
mod inverter;
mod load;
mod profile;
mod thermostat;
mod window;

pub use charge::{charge_ah, energy_wh};
pub use coincident::{Coincident, LeastInverter, coincident, least_inverter};
pub use inverter::{Idle, Inverter, LossCurve, efficiency};
pub use load::{Ambient, DayKind, Load, Overrun, Supply, Usage, fits_window};
pub use profile::{Consumption, DayUse, LoadUse};
pub use thermostat::{HourTemps, duty};
pub use window::{DAY_MIN, Minutes, Window};
