//! A battery, its label, and a bank of it.

use super::{Chemistry, cells_in_series, exponent};

/// What a label says beyond its rated capacity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SecondRating {
    /// Minutes of reserve at 25 A.
    ReserveMinutes(f64),
    /// A capacity at another rate.
    Capacity {
        /// Capacity [Ah].
        ah: f64,
        /// Over so many hours [h].
        hours: f64,
    },
}

/// Current of the reserve rating [A] (BCI; SAE J537).
pub(super) const RESERVE_A: f64 = 25.0;

impl SecondRating {
    /// As a capacity [Ah] over a time [h].
    pub fn capacity_and_hours(self) -> (f64, f64) {
        match self {
            Self::ReserveMinutes(minutes) => (RESERVE_A * minutes / 60.0, minutes / 60.0),
            Self::Capacity { ah, hours } => (ah, hours),
        }
    }
}

/// A battery's label.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Nominal voltage [V].
    pub volts: f64,
    /// Rated capacity [Ah].
    pub capacity_ah: f64,
    /// Hours at which it is rated [h].
    pub hours: f64,
    /// What else it says.
    pub second: Option<SecondRating>,
}

impl Label {
    /// The Peukert exponent that its two ratings give; none with one rating, or where both are at the same current.
    pub fn exponent(&self) -> Option<f64> {
        let (ah, hours) = self.second?.capacity_and_hours();
        let k = exponent(self.hours, self.capacity_ah / self.hours, hours, ah / hours);
        k.is_finite().then_some(k)
    }
}

/// One battery.
#[derive(Clone, Debug, PartialEq)]
pub struct Battery {
    /// Its kind.
    pub chemistry: Chemistry,
    /// Its label.
    pub label: Label,
    /// Most that it gives [A], where its maker says.
    pub max_discharge_a: Option<f64>,
    /// Most that it takes [A], where its maker says.
    pub max_charge_a: Option<f64>,
}

impl Battery {
    /// Its cells in series.
    pub fn cells(&self) -> f64 {
        cells_in_series(self.chemistry, self.label.volts)
    }
}

/// Strings of one battery side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Bank {
    /// The battery.
    pub battery: Battery,
    /// Batteries in a string.
    pub series: u32,
    /// Strings.
    pub parallel: u32,
    /// Depth to which it is planned, 0 to 1.
    pub depth: f64,
    /// Depth that is the end, at least `depth`.
    pub hard_depth: f64,
}

impl Bank {
    /// Nominal voltage [V].
    pub fn volts(&self) -> f64 {
        self.battery.label.volts * f64::from(self.series)
    }

    /// Cells in series, from plus to minus.
    pub fn cells(&self) -> f64 {
        self.battery.cells() * f64::from(self.series)
    }

    /// Batteries of the 12 V class that have as many cells in series; what the kinds' table says of 12 V is multiplied by it.
    pub fn blocks(&self) -> f64 {
        self.cells() / self.battery.chemistry.cells_in_12_v()
    }

    /// Rated capacity [Ah].
    pub fn rated_ah(&self) -> f64 {
        self.battery.label.capacity_ah * f64::from(self.parallel)
    }
}
