//! How far what is uncertain may be out, as saved. What stands as assumed is not written, which keeps links short.

use serde::{Deserialize, Serialize};

/// How far uncertain inputs may be out either way: nine tenths of what they may be lie within.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Doubts {
    /// What runs, as a share of it, 0 to 0.9. Assumed: 0.15.
    pub use_share: f64,
    /// The sky's clearness over a year, as a share of it, 0 to 0.9: the climate table's own error, measured against stations, is
    /// about 0.1.
    pub sky_share: f64,
    /// The light that no shadow takes, as a share of all, 0 to 0.9. Assumed: 0.1.
    pub shade_share: f64,
    /// The batteries' capacity, as a share of the label's, 0 to 0.9. Assumed: 0.1.
    pub capacity_share: f64,
    /// The batteries' age [years], 0 to 20. Assumed: 1.
    pub age_years: f64,
    /// Hours of driving, as a share of them, 0 to 0.9. Assumed: 0.5.
    pub driving_share: f64,
    /// The warmth outdoors in every month [K], 0 to 20. Assumed: 3.
    pub warmth_k: f64,
}

impl Doubts {
    pub(super) fn is_as_assumed(&self) -> bool {
        *self == Self::default()
    }
}

impl Default for Doubts {
    fn default() -> Self {
        Self {
            use_share: 0.15,
            sky_share: 0.1,
            shade_share: 0.1,
            capacity_share: 0.1,
            age_years: 1.0,
            driving_share: 0.5,
            warmth_k: 3.0,
        }
    }
}
