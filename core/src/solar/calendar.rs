//! The solar calendar: months of a 365-day year, the sun on each day, the day that stands for a month.

use super::geometry::{declination_spencer_rad, distance_factor_spencer};
use super::plane::{Daylight, Latitude};
use std::sync::OnceLock;

/// Days in each month of a year that is no leap year.
pub const MONTH_DAYS: [usize; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// The day of the year that stands for each month. Klein 1977, Solar Energy 19(4), 325; Duffie & Beckman (2013)
/// table 1.6.1, which says not to use it beyond 66.5° of latitude.
pub const AVERAGE_DAYS: [u16; 12] = [17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344];

/// Latitude (°) beyond which [`AVERAGE_DAYS`] are not used. Duffie & Beckman (2013) table 1.6.1, note.
const AVERAGE_DAYS_UP_TO_DEG: f64 = 66.5;

/// The sun on one day, as far as it does not depend on the place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SunDay {
    pub(super) declination_rad: f64,
    pub(super) sin: f64,
    pub(super) cos: f64,
    pub(super) distance_factor: f64,
}

impl SunDay {
    /// A day of the year, from 1; the 366th is as the first, where Spencer's series begins anew.
    pub(super) fn of(day_of_year: usize) -> Self {
        let [first, ..] = sun_days();
        *sun_days()
            .get(day_of_year.saturating_sub(1) % 365)
            .unwrap_or(first)
    }

    /// A moment of the year, in days from its beginning plus one half.
    fn at(day: f64) -> Self {
        let declination_rad = declination_spencer_rad(day);
        let (sin, cos) = libm::sincos(declination_rad);
        Self {
            declination_rad,
            sin,
            cos,
            distance_factor: distance_factor_spencer(day),
        }
    }

    /// Extraterrestrial irradiation (Wh/m²) at a place.
    pub(super) fn extraterrestrial_wh_m2(&self, place: Latitude) -> f64 {
        Daylight::of_sines(place, self.sin, self.cos).extraterrestrial_wh_m2(self.distance_factor)
    }
}

/// The 365 days of the year by Spencer's series.
fn sun_days() -> &'static [SunDay; 365] {
    static DAYS: OnceLock<[SunDay; 365]> = OnceLock::new();
    DAYS.get_or_init(|| std::array::from_fn(|i| SunDay::at((i + 1) as f64)))
}

/// Points and weights of Gauss and Legendre's rule of three, over a length of 1.
const GAUSS: [(f64, f64); 3] = [
    (0.112_701_665_379_258_3, 5.0 / 18.0),
    (0.5, 8.0 / 18.0),
    (0.887_298_334_620_741_7, 5.0 / 18.0),
];

/// Days that together stand for a month (0 = January; others wrap) with their shares of it: by Gauss and Legendre's rule, so
/// that the mean of what changes smoothly through the month is that over all its days. One day alone errs where the sun is low:
/// the ratio of beam on a steep plane to that on the flat changes by a multiple between the ends of the month.
pub(super) fn days_for(month: usize) -> [(SunDay, f64); 3] {
    static DAYS: OnceLock<Vec<[(SunDay, f64); 3]>> = OnceLock::new();
    let days = DAYS.get_or_init(|| {
        let mut before = 0.5;
        let months = MONTH_DAYS.iter().map(|length| {
            let (first, length) = (before, *length as f64);
            before += length;
            GAUSS.map(|(along, share)| (SunDay::at(first + along * length), share))
        });
        months.collect()
    });
    days.get(month % 12)
        .copied()
        .unwrap_or_else(|| GAUSS.map(|(_, share)| (SunDay::of(1), share)))
}

/// The days of a month (0 = January; others wrap).
fn days_of(month: usize) -> &'static [SunDay] {
    let month = month % 12;
    let start: usize = MONTH_DAYS.iter().take(month).sum();
    let length = MONTH_DAYS.get(month).copied().unwrap_or(0);
    sun_days().get(start..start + length).unwrap_or(&[])
}

/// Month (0 = January) in which a day of the 365-day year (1 to 365; held to them) falls.
pub fn month_of_day(day_of_year: usize) -> usize {
    let mut last = 0;
    for (month, length) in MONTH_DAYS.iter().enumerate() {
        last += length;
        if day_of_year <= last {
            return month;
        }
    }
    11
}

/// Whether the sun rises at all in a calendar month (0 = January).
pub(super) fn has_sun(place: Latitude, month: usize) -> bool {
    let mut days = days_of(month).iter();
    days.any(|day| place.cos_zenith_at_noon(day.sin, day.cos) > 0.0)
}

/// Extraterrestrial irradiation on the horizontal (Wh/m² a day), mean over all days of a calendar month (0 = January)
/// of a 365-day year; Spencer 1971, 1361 W/m². This is the H0 that the climate table's clearness belongs to.
pub fn month_mean_h0_wh_m2(place: Latitude, month: usize) -> f64 {
    let days = days_of(month);
    let sum: f64 = days
        .iter()
        .map(|day| day.extraterrestrial_wh_m2(place))
        .sum();
    sum / days.len().max(1) as f64
}

/// Declination (rad) of the one day that stands for a month (0 = January). Klein's average day up to 66.5° of latitude;
/// beyond, the day with any sun whose extraterrestrial irradiation is nearest the month's mean, which is what Klein's
/// days were chosen by.
pub fn representative_declination_rad(place: Latitude, month: usize) -> f64 {
    if place.rad().abs() <= AVERAGE_DAYS_UP_TO_DEG.to_radians() {
        let day = AVERAGE_DAYS.get(month % 12).copied().unwrap_or(1);
        return sun_days()
            .get(usize::from(day) - 1)
            .map_or(0.0, |sun| sun.declination_rad);
    }
    let mean = month_mean_h0_wh_m2(place, month);
    let mut best = (f64::INFINITY, 0.0);
    for day in days_of(month) {
        let h0 = day.extraterrestrial_wh_m2(place);
        let miss = if h0 > 0.0 {
            (h0 - mean).abs()
        } else {
            f64::MAX
        };
        if miss < best.0 {
            best = (miss, day.declination_rad);
        }
    }
    best.1
}

#[cfg(test)]
mod tests {
    use super::super::geometry::{
        SOLAR_CONSTANT_W_M2, daily_extraterrestrial_wh_m2, declination_cooper_rad,
    };
    use super::*;

    #[test]
    fn kleins_days_have_the_declinations_printed_with_them() {
        let printed = [
            -20.9, -13.0, -2.4, 9.4, 18.8, 23.1, 21.2, 13.5, 2.2, -9.6, -18.9, -23.0,
        ];
        for (day, want) in AVERAGE_DAYS.iter().zip(printed) {
            let ours = declination_cooper_rad(f64::from(*day)).to_degrees();
            assert!((ours - want).abs() <= 0.05, "{day}: {ours}");
        }
    }

    #[test]
    fn the_month_mean_is_the_mean_of_the_geometry() {
        for lat in [-90.0, -66.0, -30.0, 0.0, 51.0, 69.0, 90.0_f64] {
            let mut day = 0;
            for (month, &length) in MONTH_DAYS.iter().enumerate() {
                let mut sum = 0.0;
                for _ in 0..length {
                    day += 1;
                    assert_eq!(month_of_day(day), month);
                    sum += daily_extraterrestrial_wh_m2(
                        lat.to_radians(),
                        declination_spencer_rad(day as f64),
                        distance_factor_spencer(day as f64),
                        SOLAR_CONSTANT_W_M2,
                    );
                }
                let ours = month_mean_h0_wh_m2(Latitude::from_deg(lat), month);
                assert!(
                    (ours - sum / length as f64).abs() < 1e-6,
                    "{lat} {month}: {ours}"
                );
            }
        }
    }

    #[test]
    fn a_month_with_any_sun_has_a_day_with_sun_to_stand_for_it() {
        for lat in -180..=180 {
            let lat = f64::from(lat) * 0.5;
            for month in 0..12 {
                let decl = representative_declination_rad(Latitude::from_deg(lat), month);
                let day = daily_extraterrestrial_wh_m2(lat.to_radians(), decl, 1.0, 1361.0);
                let mean = month_mean_h0_wh_m2(Latitude::from_deg(lat), month);
                assert!(mean.is_finite() && mean >= 0.0);
                assert!(day > 0.0 || mean == 0.0, "{lat} {month} {mean}");
                // At a pole the first day of sun brings 230 Wh/m² at once, so no day need lie nearer than half that.
                assert!(
                    (day - mean).abs() < 0.25 * mean.max(500.0),
                    "{lat} {month} {day} {mean}"
                );
            }
        }
    }
}
