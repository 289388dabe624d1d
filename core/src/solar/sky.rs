//! What the sky lets through: diffuse shares, the spread of a day over its hours, a clear sky.
//!
//! Duffie & Beckman is *Solar Engineering of Thermal Processes*, 4th edition, 2013.

use super::geometry::{cos_zenith, refraction_rad};
use super::plane::{Angle, NOON, Stretch, put_hours_within};
use crate::numeric::greater;
use core::f64::consts::PI;

/// The sunset hour angle (rad) that parts the seasons in the correlations of Erbs, Klein & Duffie: 81.4°.
const SEASON_RAD: f64 = 81.4 * PI / 180.0;

/// Days shorter than this sunset hour angle (rad) (about half a minute of sun) are spread evenly about noon, since the
/// closed forms lose their digits there. Assumed.
const SLIVER_RAD: f64 = 1e-3;

/// A polynomial by Horner's rule, constant term first.
fn polynomial<const N: usize>(x: f64, terms: [f64; N]) -> f64 {
    terms.iter().rev().fold(0.0, |sum, term| sum * x + term)
}

/// Diffuse share of an hour's irradiation at hourly clearness `kt` (0 to 1). Erbs, Klein & Duffie 1982, Solar Energy
/// 28(4), 293; Duffie & Beckman eq. 2.10.1.
pub fn diffuse_share_hour(kt: f64) -> f64 {
    if kt <= 0.22 {
        1.0 - 0.09 * kt.max(0.0)
    } else if kt <= 0.80 {
        polynomial(kt, [0.9511, -0.1604, 4.388, -16.638, 12.336])
    } else {
        0.165
    }
}

/// Diffuse share of one day's irradiation at that day's own clearness `k` (0 to 1) and sunset hour angle.
/// Erbs, Klein & Duffie 1982; Duffie & Beckman eq. 2.11.1.
pub fn diffuse_share_day(k: f64, sunset_rad: f64) -> f64 {
    let k = k.max(0.0);
    if sunset_rad <= SEASON_RAD {
        if k < 0.715 {
            polynomial(k, [1.0, -0.2727, 2.4495, -11.9514, 9.3879])
        } else {
            0.143
        }
    } else if k < 0.722 {
        polynomial(k, [1.0, 0.2832, -2.5557, 0.8448]).min(1.0)
    } else {
        0.175
    }
}

/// Diffuse share of the average day of a month at the month's mean clearness `k`. Erbs, Klein & Duffie 1982;
/// Duffie & Beckman eq. 2.12.1, published for 0.3 to 0.8; below, the polynomial goes on, held to at most 1, and above
/// it stays at its value for 0.8 (both assumed).
pub fn diffuse_share_month(k: f64, sunset_rad: f64) -> f64 {
    let k = k.clamp(0.0, 0.8);
    let share = if sunset_rad <= SEASON_RAD {
        polynomial(k, [1.391, -3.560, 4.189, -2.137])
    } else {
        polynomial(k, [1.311, -3.022, 3.427, -1.821])
    };
    share.clamp(0.0, 1.0)
}

/// The two figures of Collares-Pereira & Rabl for a sunset hour angle. Duffie & Beckman eqs. 2.13.2b and c.
fn total_shape(sunset: &Angle) -> (f64, f64) {
    // sin(ws − 60°).
    let sine = 0.5 * sunset.sin - 0.5 * 3f64.sqrt() * sunset.cos;
    (0.409 + 0.5016 * sine, 0.6609 - 0.4767 * sine)
}

/// Ratio of an hour's diffuse irradiation to the day's, at the hour's middle; 0 outside daylight.
/// Liu & Jordan 1960, Solar Energy 4(3), 1; Duffie & Beckman eq. 2.13.4.
pub fn diffuse_ratio(hour_angle_rad: f64, sunset_rad: f64) -> f64 {
    if hour_angle_rad.abs() >= sunset_rad {
        return 0.0;
    }
    let (sin_set, cos_set) = libm::sincos(sunset_rad);
    PI / 24.0 * (libm::cos(hour_angle_rad) - cos_set) / (sin_set - sunset_rad * cos_set)
}

/// Ratio of an hour's total irradiation to the day's, at the hour's middle; 0 outside daylight.
/// Collares-Pereira & Rabl 1979, Solar Energy 22(2), 155; Duffie & Beckman eq. 2.13.2a.
pub fn total_ratio(hour_angle_rad: f64, sunset_rad: f64) -> f64 {
    let (a, b) = total_shape(&Angle::new(sunset_rad));
    (a + b * libm::cos(hour_angle_rad)) * diffuse_ratio(hour_angle_rad, sunset_rad)
}

/// Shares of a day's total irradiation and of its diffuse irradiation that fall in each solar hour from midnight:
/// the two ratios above integrated between the hour's ends (held to daylight) and normalised, so that each array sums
/// to 1, or to 0 where there is no sun.
pub fn hour_shares(sunset_rad: f64) -> ([f64; 24], [f64; 24]) {
    let afternoon = afternoon_shares(Angle::new(sunset_rad));
    let of_hour = |hour: usize| {
        let from_noon = if hour < 12 { 11 - hour } else { hour - 12 };
        afternoon.get(from_noon).copied().unwrap_or_default()
    };
    (
        std::array::from_fn(|hour| of_hour(hour).0),
        std::array::from_fn(|hour| of_hour(hour).1),
    )
}

/// The same of the hours from noon on, from a sunset hour angle with its sine and cosine at hand; the morning is the afternoon
/// seen backwards.
#[inline]
pub(super) fn afternoon_shares(sunset: Angle) -> [(f64, f64); 12] {
    let mut afternoon = [(0.0, 0.0); 12];
    if sunset.rad > 0.0
        && sunset.rad < SLIVER_RAD
        && let Some(noon) = afternoon.first_mut()
    {
        *noon = (0.5, 0.5);
    } else if sunset.rad > 0.0 {
        // Integrals of (a + b cos ω)(cos ω − cos ws), and of cos ω − cos ws, over the hours from noon on and over all of them.
        let (a, b) = total_shape(&sunset);
        let integrals = |lit: &Stretch| {
            let even = lit.cos - sunset.cos * lit.turn;
            (
                a * even + b * (lit.cos_squared - sunset.cos * lit.cos),
                even,
            )
        };
        let (all, all_even) = integrals(&Stretch::between((NOON, sunset)));
        let (share, share_even) = (0.5 / all, 0.5 / all_even);
        put_hours_within(&mut afternoon, 12, (NOON, sunset), |hour, lit| {
            let (total, even) = integrals(lit);
            *hour = (greater(total * share, 0.0), greater(even * share_even, 0.0));
        });
    }
    afternoon
}

/// Irradiance on the horizontal under a clear sky (W/m²) at a cosine of zenith; 0 with the sun down. Haurwitz 1945,
/// Journal of Meteorology 2, 154, as given by Reno, Hansen & Stein, SAND2012-2389 (2012); its
/// constants 1098 W/m² and 0.059 from memory (some texts print 0.057).
pub fn clear_sky_haurwitz_w_m2(cos_zenith: f64) -> f64 {
    if cos_zenith <= 0.0 {
        return 0.0;
    }
    1098.0 * cos_zenith * libm::exp(-0.059 / cos_zenith)
}

/// Irradiation of a clear day on the horizontal (Wh/m²): Haurwitz's sky summed minute by minute, the sun lifted by
/// refraction at sea level (1013.25 hPa, 12 °C).
pub fn clear_sky_day_wh_m2(lat_rad: f64, declination_rad: f64) -> f64 {
    let minute = |m: i32| {
        let hour_angle = (f64::from(m) + 0.5 - 720.0) * (PI / 720.0);
        let height = libm::asin(cos_zenith(lat_rad, declination_rad, hour_angle));
        clear_sky_haurwitz_w_m2(libm::sin(height + refraction_rad(height, 1013.25, 12.0))) / 60.0
    };
    (0..1440).map(minute).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(ours: f64, printed: f64, within: f64) {
        assert!((ours - printed).abs() <= within, "{ours} against {printed}");
    }

    #[test]
    fn erbs_at_all_three_steps() {
        near(diffuse_share_hour(0.3), 0.9486, 1e-4);
        near(diffuse_share_hour(0.7), 0.24398, 1e-4);
        near(diffuse_share_hour(0.85), 0.165, 1e-4);
        near(diffuse_share_day(0.3, 1.6), 0.87776, 1e-4);
        near(diffuse_share_day(0.7, 1.6), 0.23571, 1e-4);
        near(diffuse_share_month(0.3, 1.2), 0.64231, 1e-4);
        near(diffuse_share_month(0.6, 1.2), 0.30145, 1e-4);
        near(diffuse_share_month(0.7, 1.6), 0.25023, 1e-4);
        // Duffie & Beckman examples 2.11.1 and 2.12.1.
        near(diffuse_share_day(0.69, 95.6_f64.to_radians()), 0.26, 0.01);
        near(
            diffuse_share_month(0.55, 113.4_f64.to_radians()),
            0.38,
            0.005,
        );
    }

    #[test]
    fn shares_stay_shares_at_any_clearness() {
        for step in 0..=120 {
            let k = f64::from(step) / 100.0;
            for sunset in [0.0, 0.5, 1.4, 1.5, 3.2] {
                for share in [
                    diffuse_share_hour(k),
                    diffuse_share_day(k, sunset),
                    diffuse_share_month(k, sunset),
                ] {
                    assert!((0.0..=1.0).contains(&share), "{k} {sunset} {share}");
                }
            }
        }
    }

    #[test]
    fn hour_ratios_as_published() {
        for (sunset, total, diffuse) in [
            (60.0_f64, 0.19993, 0.18787),
            (75.0, 0.16389, 0.15292),
            (105.0, 0.12326, 0.11363),
            (120.0, 0.11116, 0.10204),
        ] {
            let hour = 7.5_f64.to_radians();
            near(total_ratio(hour, sunset.to_radians()), total, 1e-4);
            near(diffuse_ratio(hour, sunset.to_radians()), diffuse, 1e-4);
        }
    }

    #[test]
    fn hours_sum_to_the_day_and_lie_near_the_midpoint_ratios() {
        for sunset in [0.0005, 0.01, 0.3, 1.0, 1.5, 2.0, 3.0, PI] {
            let (total, diffuse) = hour_shares(sunset);
            near(total.iter().sum(), 1.0, 1e-12);
            near(diffuse.iter().sum(), 1.0, 1e-12);
            assert!(total.iter().chain(&diffuse).all(|&share| share >= 0.0));
            for (a, b) in total.iter().zip(total.iter().rev()) {
                near(*a, *b, 1e-9);
            }
        }
        let (total, diffuse) = hour_shares(105.0_f64.to_radians());
        near(total[12], 0.12326, 1e-3);
        near(diffuse[12], 0.11363, 1e-3);
        assert_eq!(hour_shares(0.0), ([0.0; 24], [0.0; 24]));
    }

    #[test]
    fn haurwitz_by_zenith() {
        for (zenith, printed) in [(0.0_f64, 1035.092), (40.0, 778.767), (75.0, 226.255)] {
            near(
                clear_sky_haurwitz_w_m2(libm::cos(zenith.to_radians())),
                printed,
                0.5,
            );
        }
        assert_eq!(clear_sky_haurwitz_w_m2(-0.1), 0.0);
    }

    #[test]
    fn a_clear_day_by_haurwitz() {
        use super::super::geometry::{declination_spencer_rad, spencer_day};
        // One-minute sums with the NREL position algorithm, 2023: latitude, day, kWh/m².
        for (lat, day, printed) in [
            (45.0_f64, 80.0, 5.2839),
            (0.0, 17.0, 7.144),
            (60.0, 355.0, 0.2429),
        ] {
            let decl = declination_spencer_rad(spencer_day(2023, day, 12.0));
            let ours = clear_sky_day_wh_m2(lat.to_radians(), decl) / 1000.0;
            near(ours / printed, 1.0, 0.01);
        }
    }
}
