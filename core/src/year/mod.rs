//! The year, hour by hour: weather that has dull spells, a bank that is stepped through it, and what that leaves of it.
//! May use the battery, solar and charge rooms; knows nothing of a plan.
//! Architecture invariant: nothing here refuses input, and charge is conserved: what comes in, goes out or is lost is
//! summed on its own as it happens.

mod ageing;
mod chance;
mod clock;
mod hour;
mod ledger;
mod life;
mod odds;
mod warmth;
mod weather;

pub use ageing::{Life, cycles_double_exponential, cycles_to_end, damage, life, rainflow};
pub use chance::{beta_share, drawn_scores, normal_quantile, normal_share, share_interval};
pub use clock::{Clock, Slot};
pub use ledger::Ledger;
pub use life::{Course, Day, Draw, Lived, Passed, lasting_from_full, live};
pub use odds::{
    CLEARNESS_STEP, CLEARNESS_STEPS, LeanDay, Light, Odds, Scores, Sky, YEAR_DAYS, YearShort,
};
pub use warmth::{WARMTHS, daily_spread_k, warmth_scores, wider_swing_k};
pub use weather::{ByScore, Clearness, DayScore, typical_month};

/// Steps of charge, from empty to full, in which the year's hours are counted.
pub const STATES: usize = 10;
