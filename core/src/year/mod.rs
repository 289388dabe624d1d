//! The year, hour by hour: weather that has dull spells, a bank that is stepped through it, and what that leaves of it.
//! May use the battery, solar and charge rooms; knows nothing of a plan.
//! Architecture invariant: nothing here refuses input, and charge is conserved: what comes in, goes out or is lost is
//! summed on its own as it happens.

mod ageing;
mod life;
mod weather;

pub use ageing::{Life, cycles_double_exponential, cycles_to_end, damage, life, rainflow};
pub use life::{Day, Ledger, Lived, Sources, live};
pub use weather::{Clearness, typical_month};
