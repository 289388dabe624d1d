//! A day's sunshine hour by hour, on the horizontal and on a plane, in solar time.
//!
//! The day's irradiation is always K × H0 exactly. For an expected month H0 is the mean over all days of the month
//! (what the climate table's K belongs to), while the *shape* of the day is the mean of three days that stand for the month.

use super::calendar::{SunDay, days_for, month_mean_h0_wh_m2, representative_declination_rad};
use super::plane::{Daylight, Facing, Latitude, both_halves, isotropic_by_view};
use super::sky::{afternoon_shares, diffuse_share_day, diffuse_share_month};
use crate::numeric::lesser;
use std::ops::Range;

/// Albedo of the ground before a tilted panel where none is told: bare ground without snow. Duffie & Beckman (2013)
/// section 2.15.
pub const GROUND_ALBEDO: f64 = 0.2;

/// What a day's sunshine looks like at a place, whatever the weather: made once, used for any clearness.
#[derive(Clone, Debug, PartialEq)]
pub struct DayShape {
    place: Latitude,
    light: Daylight,
    /// Extraterrestrial irradiation on the horizontal (Wh/m²).
    pub h0_wh_m2: f64,
    /// Shares of the day's global and of its diffuse irradiation in each solar hour from noon on; the morning is the afternoon
    /// seen backwards.
    afternoon: [(f64, f64); 12],
}

/// One day's irradiation on the horizontal in each solar hour (Wh/m²).
#[derive(Clone, Debug, PartialEq)]
pub struct SkyHours {
    /// Beam and diffuse together.
    pub global_wh_m2: [f64; 24],
    /// Diffuse alone; never more than the global.
    pub diffuse_wh_m2: [f64; 24],
    /// The hours that the sun is up in; the others are dark.
    pub lit: Range<usize>,
}

/// How one plane sees a [`DayShape`]: made once, used for any clearness.
#[derive(Clone, Debug, PartialEq)]
pub struct Plane {
    /// Share of the sky that it sees.
    sky_view: f64,
    /// Albedo of the ground before it, 0 to 1.
    pub albedo: f64,
    /// Beam on the plane over beam on the horizontal, in each solar hour.
    pub beam_ratio: [f64; 24],
}

impl DayShape {
    /// The shape of a day by its declination (rad) and its extraterrestrial irradiation (Wh/m²).
    pub fn new(lat_deg: f64, declination_rad: f64, h0_wh_m2: f64) -> Self {
        let place = Latitude::from_deg(lat_deg);
        Self::in_light(place, Daylight::new(place, declination_rad), h0_wh_m2)
    }

    #[inline(always)]
    fn in_light(place: Latitude, light: Daylight, h0_wh_m2: f64) -> Self {
        Self {
            place,
            afternoon: afternoon_shares(light.sunset),
            light,
            h0_wh_m2,
        }
    }

    /// A real day of the year (1 to 366): its own declination and its own H0.
    pub fn of_day(place: Latitude, day_of_year: usize) -> Self {
        let sun = SunDay::of(day_of_year);
        let light = Daylight::of_sines(place, sun.sin, sun.cos);
        let h0_wh_m2 = light.extraterrestrial_wh_m2(sun.distance_factor);
        Self::in_light(place, light, h0_wh_m2)
    }

    /// The expected day of a month (0 = January): the shapes of three days with their shares, whose H0 together is the month's
    /// mean. Where none of them has sun, but the month has, one day stands for it.
    pub fn of_month(place: Latitude, month: usize) -> [(Self, f64); 3] {
        let mean_wh_m2 = month_mean_h0_wh_m2(place, month);
        let days = days_for(month);
        let h0 = |sun: &SunDay| sun.extraterrestrial_wh_m2(place);
        let sum: f64 = days.iter().map(|(sun, share)| share * h0(sun)).sum();
        if sum <= 0.0 {
            let light = Daylight::new(place, representative_declination_rad(place, month));
            let day = Self::in_light(place, light, mean_wh_m2);
            return days.map(|(_, share)| (day.clone(), share));
        }
        days.map(|(sun, share)| {
            let light = Daylight::of_sines(place, sun.sin, sun.cos);
            let h0_wh_m2 = h0(&sun) * mean_wh_m2 / sum;
            (Self::in_light(place, light, h0_wh_m2), share)
        })
    }

    /// Latitude (rad).
    pub fn lat_rad(&self) -> f64 {
        self.place.rad()
    }

    /// Sunset hour angle (rad), 0 to π.
    pub fn sunset_rad(&self) -> f64 {
        self.light.sunset.rad
    }

    /// The expected sky of a month whose mean clearness is `k`: the monthly correlation of Erbs, Klein & Duffie.
    pub fn expected_sky(&self, k: f64) -> SkyHours {
        self.sky(k, diffuse_share_month(k, self.sunset_rad()))
    }

    /// The sky of one real day whose own clearness is `k`: the daily correlation of Erbs, Klein & Duffie.
    pub fn real_sky(&self, k: f64) -> SkyHours {
        self.sky(k, diffuse_share_day(k, self.sunset_rad()))
    }

    /// Global by the total shares; diffuse by the diffuse shares, never more than the global of its hour.
    fn sky(&self, k: f64, diffuse_of_day: f64) -> SkyHours {
        let day_wh_m2 = k.max(0.0) * self.h0_wh_m2;
        let diffuse_day_wh_m2 = diffuse_of_day * day_wh_m2;
        let lit = self.light.lit_hours();
        let (mut global_wh_m2, mut diffuse_wh_m2) = ([0.0; 24], [0.0; 24]);
        let hours = both_halves(&mut global_wh_m2).zip(both_halves(&mut diffuse_wh_m2));
        for ((globals, diffuses), share) in hours.zip(&self.afternoon).take(lit) {
            let global = share.0 * day_wh_m2;
            let diffuse = lesser(share.1 * diffuse_day_wh_m2, global);
            (*globals.0, *globals.1) = (global, global);
            (*diffuses.0, *diffuses.1) = (diffuse, diffuse);
        }
        SkyHours {
            global_wh_m2,
            diffuse_wh_m2,
            lit: 12 - lit..12 + lit,
        }
    }

    /// How a plane of tilt (°) facing `azimuth_deg` (° clockwise from true north) sees this day.
    pub fn plane(&self, tilt_deg: f64, azimuth_deg: f64, albedo: f64) -> Plane {
        let facing = Facing::new(self.place, tilt_deg.to_radians(), azimuth_deg.to_radians());
        self.seen_by(&facing, albedo)
    }

    /// How a plane that faces so at this day's latitude sees it.
    pub fn seen_by(&self, facing: &Facing, albedo: f64) -> Plane {
        Plane {
            sky_view: facing.sky_view(),
            albedo,
            beam_ratio: facing.beam_ratio_hours(&self.light),
        }
    }
}

impl Plane {
    /// Irradiation on the plane in each solar hour (Wh/m²) under an even sky.
    pub fn hours_wh_m2(&self, sky: &SkyHours) -> [f64; 24] {
        let lit = |hours| within(hours, &sky.lit);
        let sky_hours = lit(&sky.global_wh_m2).iter().zip(lit(&sky.diffuse_wh_m2));
        let mut hours = [0.0; 24];
        let of_plane = hours.get_mut(sky.lit.clone()).unwrap_or_default();
        let of_plane = of_plane.iter_mut().zip(lit(&self.beam_ratio));
        for ((hour, ratio), (global, diffuse)) in of_plane.zip(sky_hours) {
            let beam = global - diffuse;
            *hour = isotropic_by_view(beam, *diffuse, *ratio, self.sky_view, self.albedo);
        }
        hours
    }
}

/// Those of a day's hours that lie in a range.
pub(super) fn within<'a, T>(hours: &'a [T; 24], range: &Range<usize>) -> &'a [T] {
    hours.get(range.clone()).unwrap_or_default()
}

/// Expected irradiation on a plane in each solar hour (Wh/m²) in a month (0 = January) of clearness `k`. On the flat
/// the hours sum to `k` × the month's mean H0.
pub fn expected_hours(
    lat_deg: f64,
    month: usize,
    k: f64,
    tilt_deg: f64,
    azimuth_deg: f64,
    albedo: f64,
) -> [f64; 24] {
    let mut hours = [0.0; 24];
    for (day, share) in DayShape::of_month(Latitude::from_deg(lat_deg), month) {
        let plane = day.plane(tilt_deg, azimuth_deg, albedo);
        let its = plane.hours_wh_m2(&day.expected_sky(k));
        for (hour, wh_m2) in hours.iter_mut().zip(its) {
            *hour += share * wh_m2;
        }
    }
    hours
}

#[cfg(test)]
mod tests {
    use super::super::calendar::{AVERAGE_DAYS, MONTH_DAYS};
    use super::super::geometry::{
        SOLAR_CONSTANT_BOOK_W_M2, daily_extraterrestrial_wh_m2, declination_cooper_rad,
        distance_factor_cosine,
    };
    use super::super::plane::{beam_ratio_day_klein, isotropic_tilted};
    use super::*;

    #[test]
    fn on_the_flat_the_hours_sum_to_the_day_everywhere() {
        for lat in -180..=180 {
            let lat = f64::from(lat) * 0.5;
            for month in 0..12 {
                for k in [0.05, 0.4, 0.9] {
                    let sum: f64 = expected_hours(lat, month, k, 0.0, 123.0, 0.2).iter().sum();
                    let want = k * month_mean_h0_wh_m2(Latitude::from_deg(lat), month);
                    assert!(
                        (sum - want).abs() <= 1e-9 * (1.0 + want),
                        "{lat} {month}: {sum} {want}"
                    );
                }
            }
        }
    }

    #[test]
    fn an_expected_month_on_a_steep_plane_is_the_sum_of_its_days() {
        // Near the polar circle a month may hold the first and the last of the sun.
        for (lats, most) in [
            (&[-43.0_f64, 40.0, 48.0, 57.0, 61.0][..], 0.01),
            (&[-67.0, 65.0], 0.025),
        ] {
            let mut worst = (0.0_f64, String::new());
            for lat in lats {
                let place = Latitude::from_deg(*lat);
                let azimuth = if *lat < 0.0 { 0.0 } else { 180.0 };
                let mut day_of_year = 0;
                for (month, length) in MONTH_DAYS.into_iter().enumerate() {
                    for tilt in [0.0, 45.0, 65.0, 90.0] {
                        let day_sum = |day: usize| {
                            let day = DayShape::of_day(place, day_of_year + day);
                            let plane = day.plane(tilt, azimuth, 0.2);
                            let hours = plane.hours_wh_m2(&day.expected_sky(0.35));
                            hours.iter().sum::<f64>()
                        };
                        let by_days = (1..=length).map(day_sum).sum::<f64>() / length as f64;
                        let hours = expected_hours(*lat, month, 0.35, tilt, azimuth, 0.2);
                        let ours: f64 = hours.iter().sum();
                        let miss = if by_days > 1.0 {
                            ours / by_days - 1.0
                        } else {
                            0.0
                        };
                        if miss.abs() > worst.0.abs() {
                            worst = (miss, format!("{lat}°, month {}, tilt {tilt}°", month + 1));
                        }
                    }
                    day_of_year += length;
                }
            }
            println!("worst: {:+.2} % at {}", 100.0 * worst.0, worst.1);
            assert!(worst.0.abs() <= most, "{worst:?}");
        }
    }

    #[test]
    fn no_hour_is_negative_or_nan_on_any_plane() {
        for lat in [-90.0, -78.0, -66.6, -35.0, 0.0, 23.4, 66.55, 67.4, 90.0] {
            for month in 0..12 {
                for tilt in [0.0, 35.0, 90.0, 120.0] {
                    for azimuth in [0.0, 90.0, 180.0, 271.0] {
                        for hour in expected_hours(lat, month, 0.5, tilt, azimuth, 0.2) {
                            assert!((0.0..1400.0).contains(&hour), "{lat} {month} {hour}");
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn madison_at_sixty_degrees_by_the_books_mean_ratio_and_by_our_hours() {
        // Duffie & Beckman (2013) example 2.19.1: month, H [MJ/m²], albedo, H on the plane [MJ/m²].
        let lat = 43.0_f64;
        for (month, h, albedo, printed) in [
            (2, 12.86, 0.4, 15.8),
            (3, 16.05, 0.2, 14.7),
            (4, 21.36, 0.2, 16.6),
            (5, 23.04, 0.2, 16.5),
            (7, 20.33, 0.2, 17.5),
            (9, 10.48, 0.2, 15.2),
            (10, 6.37, 0.2, 11.4),
            (11, 5.74, 0.4, 12.7),
        ] {
            let n = f64::from(AVERAGE_DAYS[month]);
            let decl = declination_cooper_rad(n);
            let h0 = daily_extraterrestrial_wh_m2(
                lat.to_radians(),
                decl,
                distance_factor_cosine(n),
                SOLAR_CONSTANT_BOOK_W_M2,
            );
            let day = DayShape::new(lat, decl, h0);
            let k = h / 0.0036 / h0;
            let diffuse = h * diffuse_share_month(k, day.sunset_rad());
            let tilt = 60.0_f64.to_radians();
            let ratio = beam_ratio_day_klein(day.lat_rad(), decl, tilt);
            let book = isotropic_tilted(h - diffuse, diffuse, ratio, tilt, albedo);
            assert!(
                (book - printed).abs() <= 0.1,
                "month {month}: {book} {printed}"
            );
            let sum: f64 = day
                .plane(60.0, 180.0, albedo)
                .hours_wh_m2(&day.expected_sky(k))
                .iter()
                .sum();
            let hourly = sum * 0.0036;
            println!(
                "month {}: book {printed}, Klein {book:.2}, hours {hourly:.2} MJ/m²",
                month + 1
            );
            assert!(
                (hourly / book - 1.0).abs() < 0.05,
                "month {month}: {hourly} {book}"
            );
        }
    }

    #[test]
    fn north_and_south_are_alike_when_the_sun_is() {
        let north = DayShape::new(40.0, 0.3, 8000.0);
        let south = DayShape::new(-40.0, -0.3, 8000.0);
        let a = north
            .plane(50.0, 180.0, 0.2)
            .hours_wh_m2(&north.expected_sky(0.5));
        let b = south
            .plane(50.0, 0.0, 0.2)
            .hours_wh_m2(&south.expected_sky(0.5));
        for (a, b) in a.iter().zip(b) {
            assert!((a - b).abs() < 1e-9);
        }
    }

    #[test]
    fn the_polar_night_is_dark() {
        assert_eq!(expected_hours(80.0, 11, 0.5, 60.0, 180.0, 0.2), [0.0; 24]);
        assert_eq!(
            DayShape::of_day(Latitude::from_deg(80.0), 355)
                .real_sky(0.5)
                .global_wh_m2,
            [0.0; 24]
        );
    }
}
