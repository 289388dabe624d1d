//! What the charge controller passes from the array to the direct-current bus.

use crate::numeric::{greater, lesser};

/// A solar charge controller.
#[derive(Clone, Debug, PartialEq)]
pub enum Controller {
    /// Maximum-power-point tracking: the array works at its best voltage.
    MaximumPowerPoint {
        /// Output power over input power, 0 to 1.
        efficiency: f64,
        /// Most output current (A).
        output_limit_a: f64,
    },
    /// Plain series switching: the array is joined to the bank and works at its voltage.
    SeriesSwitching {
        /// Voltage of the array at its maximum power point, standard test conditions (V).
        array_vmp_v: f64,
        /// Most output current (A).
        output_limit_a: f64,
    },
}

impl Controller {
    /// Share of the array's best power that reaches the bus at a bank voltage (V), before the current limit, 0 to 1.
    ///
    /// Series switching: a panel below its best voltage gives nearly its best current, so the power is that current at
    /// the bank's voltage (single-diode model, Duffie & Beckman (2013) section 23.2; common practice). Held to 1: an
    /// array whose best voltage is no higher than the bank's is the fact that [`Controller::array_voltage_too_low`]
    /// tells. Power lost to heat is mostly lost voltage, which series switching would not feel: on the safe side.
    pub fn passed_share(&self, bank_v: f64) -> f64 {
        match *self {
            Self::MaximumPowerPoint { efficiency, .. } => efficiency.clamp(0.0, 1.0),
            Self::SeriesSwitching { array_vmp_v, .. } if array_vmp_v > 0.0 => {
                (bank_v / array_vmp_v).clamp(0.0, 1.0)
            }
            Self::SeriesSwitching { .. } => 0.0,
        }
    }

    /// Most output current (A).
    pub fn output_limit_a(&self) -> f64 {
        match *self {
            Self::MaximumPowerPoint { output_limit_a, .. }
            | Self::SeriesSwitching { output_limit_a, .. } => output_limit_a,
        }
    }

    /// Power into the bus (W) from `array_w` at a bank voltage (V). Of an hour's mean the current limit is held on the mean,
    /// so a broken sky within the hour is not seen.
    pub fn output_w(&self, array_w: f64, bank_v: f64) -> f64 {
        let [output_w] = self.outputs_w(&[array_w], bank_v);
        output_w
    }

    /// The same of several hours.
    pub fn outputs_w<const N: usize>(&self, array_w: &[f64; N], bank_v: f64) -> [f64; N] {
        let share = self.passed_share(bank_v);
        let most_w = self.output_limit_a() * bank_v;
        array_w.map(|w| greater(lesser(w * share, most_w), 0.0))
    }

    /// Whether a series-switching controller's array can't charge a bank up to `boost_v` when its cells are hot: its
    /// best voltage at `cell_c`, changing by `voltage_per_k` (1/K), is lower. Always false for the other kind.
    pub fn array_voltage_too_low(&self, boost_v: f64, cell_c: f64, voltage_per_k: f64) -> bool {
        match *self {
            Self::MaximumPowerPoint { .. } => false,
            Self::SeriesSwitching { array_vmp_v, .. } => {
                array_vmp_v * (1.0 + voltage_per_k * (cell_c - 25.0)) < boost_v
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tracking_loses_its_efficiency_and_stops_at_its_limit() {
        let tracker = Controller::MaximumPowerPoint {
            efficiency: 0.95,
            output_limit_a: 20.0,
        };
        assert!((tracker.output_w(200.0, 13.0) - 190.0).abs() < 1e-12);
        assert_eq!(tracker.output_w(400.0, 13.0), 260.0);
    }

    #[test]
    fn series_switching_works_at_the_banks_voltage() {
        let switch = Controller::SeriesSwitching {
            array_vmp_v: 18.0,
            output_limit_a: 10.0,
        };
        assert!((switch.output_w(90.0, 12.6) - 63.0).abs() < 1e-12);
        assert_eq!(switch.output_w(400.0, 12.6), 126.0);
        assert!(!switch.array_voltage_too_low(14.4, 25.0, -0.003));
        assert!(switch.array_voltage_too_low(14.8, 85.0, -0.003));
        assert_eq!(switch.output_w(0.0, 12.6), 0.0);
    }
}
