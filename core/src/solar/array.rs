//! What a panel array makes of the light on it.

use super::day::within;
use crate::numeric::{greater, lesser};
use std::ops::Range;

/// Nominal operating cell temperature (°C) where the label says none. Assumed, for framed crystalline panels with air
/// behind them; a panel glued flat to a roof runs hotter.
pub const NOCT_C: f64 = 45.0;
/// Change of power with cell temperature (1/K) where the label says none. Assumed, for crystalline silicon.
pub const POWER_PER_K: f64 = -0.004;
/// Share lost to dirt where none is told. Assumed.
pub const DIRT_SHARE: f64 = 0.03;
/// Share lost to panels that differ among themselves, where none is told. Assumed.
pub const MISMATCH_SHARE: f64 = 0.02;
/// Share lost in the wires up to the controller, where none is told. Assumed.
pub const WIRING_SHARE: f64 = 0.02;

/// A part of the array: panels that lie in one plane.
#[derive(Clone, Debug, PartialEq)]
pub struct ArrayPart {
    /// Power at standard test conditions (W).
    pub rated_w: f64,
    /// Tilt from flat (°), 0 to 90.
    pub tilt_deg: f64,
    /// The way it faces (°), clockwise from true north.
    pub azimuth_deg: f64,
    /// Nominal operating cell temperature (°C).
    pub noct_c: f64,
    /// Change of power with cell temperature (1/K), negative.
    pub power_per_k: f64,
    /// Share lost to dirt, 0 to 1.
    pub dirt_share: f64,
    /// Share lost to mismatch, 0 to 1.
    pub mismatch_share: f64,
    /// Share lost in wiring, 0 to 1.
    pub wiring_share: f64,
    /// Share of the *output* lost to shade in each solar hour, 0 to 1 (a mast, a roof box): one figure all day is the
    /// same in all. A small shadow can cost far more of the output than its share of the area.
    pub shade_share: [f64; 24],
}

impl ArrayPart {
    /// A part with the assumed losses and no shade.
    pub fn unshaded(rated_w: f64, tilt_deg: f64, azimuth_deg: f64) -> Self {
        Self {
            rated_w,
            tilt_deg,
            azimuth_deg,
            noct_c: NOCT_C,
            power_per_k: POWER_PER_K,
            dirt_share: DIRT_SHARE,
            mismatch_share: MISMATCH_SHARE,
            wiring_share: WIRING_SHARE,
            shade_share: [0.0; 24],
        }
    }

    /// What is left after dirt, mismatch and wiring, 0 to 1.
    pub fn kept_share(&self) -> f64 {
        [self.dirt_share, self.mismatch_share, self.wiring_share]
            .iter()
            .map(|lost| (1.0 - lost).clamp(0.0, 1.0))
            .product()
    }

    /// Adds its mean power in each hour (W), before the controller, to a sum. `plane_wh_m2` holds one day of irradiation on
    /// its plane, of which all but the hours `lit` are dark, `ambient_c` the air; all arrays are in solar hours.
    pub fn add_hours_w(
        &self,
        sum: &mut [f64; 24],
        lit: &Range<usize>,
        plane_wh_m2: &[f64; 24],
        ambient_c: &[f64; 24],
    ) {
        let kept = self.kept_share();
        let of = |hours| within(hours, lit).iter();
        let hours = of(plane_wh_m2)
            .zip(of(ambient_c))
            .zip(of(&self.shade_share));
        let sum = sum.get_mut(lit.clone()).unwrap_or_default();
        for (total, ((light, ambient), shade)) in sum.iter_mut().zip(hours) {
            let cell_c = cell_temperature_c(*ambient, *light, self.noct_c);
            *total += panel_power_w(self.rated_w, *light, cell_c, self.power_per_k)
                * kept
                * lesser(greater(1.0 - shade, 0.0), 1.0);
        }
    }
}

/// Cell temperature (°C) in air of `ambient_c` under `irradiance_w_m2`, from the nominal operating cell temperature
/// (20 °C, 800 W/m², 1 m/s). Duffie & Beckman (2013) eq. 23.3.2, without its small efficiency term, which is on the
/// safe side.
pub fn cell_temperature_c(ambient_c: f64, irradiance_w_m2: f64, noct_c: f64) -> f64 {
    ambient_c + (noct_c - 20.0) / 800.0 * irradiance_w_m2
}

/// Power of panels (W) rated `rated_w` at standard test conditions (1000 W/m², 25 °C) under another irradiance and
/// cell temperature, losses left out; never negative. Linear in both, the usual form: Duffie & Beckman (2013)
/// eq. 23.2.16.
pub fn panel_power_w(rated_w: f64, irradiance_w_m2: f64, cell_c: f64, power_per_k: f64) -> f64 {
    let power_w = rated_w * 1e-3 * irradiance_w_m2 * (1.0 + power_per_k * (cell_c - 25.0));
    greater(power_w, 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_warm_panel_by_hand() {
        // 800 W/m² at 20 °C: the cell is at NOCT, 45 °C, 8 % down.
        assert_eq!(cell_temperature_c(20.0, 800.0, 45.0), 45.0);
        assert!((panel_power_w(100.0, 800.0, 45.0, -0.004) - 73.6).abs() < 1e-12);
        assert_eq!(panel_power_w(100.0, 1000.0, 400.0, -0.004), 0.0);
    }

    #[test]
    fn parts_add_and_losses_multiply() {
        let mut part = ArrayPart::unshaded(100.0, 0.0, 180.0);
        part.shade_share[12] = 0.5;
        let mut light = [0.0; 24];
        light[12] = 800.0;
        light[13] = 800.0;
        let mut hours = [0.0; 24];
        part.add_hours_w(&mut hours, &(12..14), &light, &[20.0; 24]);
        part.add_hours_w(&mut hours, &(12..14), &light, &[20.0; 24]);
        let want = 2.0 * 73.6 * 0.97 * 0.98 * 0.98;
        assert!((hours[13] - want).abs() < 1e-9);
        assert!((hours[12] - 0.5 * want).abs() < 1e-9);
        assert_eq!(hours[0], 0.0);
    }
}
