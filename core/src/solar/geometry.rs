//! Where the sun stands and what arrives at the top of the atmosphere. Angles in radians throughout.
//!
//! Conventions: latitude north positive; hour angle 0 at solar noon, afternoon positive, 15° an hour;
//! azimuth clockwise from true north. Days of the year count from 1 on 1 January and may carry a fraction.
//! Duffie & Beckman is *Solar Engineering of Thermal Processes*, 4th edition, 2013.

use core::f64::consts::{FRAC_PI_2, PI, TAU};

/// Total solar irradiance (W/m²) used by the program. Kopp & Lean 2011, Geophysical Research Letters 38, L01706
/// (1360.8, rounded).
pub const SOLAR_CONSTANT_W_M2: f64 = 1361.0;
/// The solar constant of Duffie & Beckman's worked examples (W/m²), for holding them against ours.
pub const SOLAR_CONSTANT_BOOK_W_M2: f64 = 1367.0;
/// The solar constant of FAO Irrigation and Drainage Paper 56 (1998), eq. 21: 0.0820 MJ/m²/min (W/m²).
pub const SOLAR_CONSTANT_FAO56_W_M2: f64 = 0.0820e6 / 60.0;

/// Day angle of Spencer's series (rad), 0 on 1 January.
fn day_angle(day_of_year: f64) -> f64 {
    TAU * (day_of_year - 1.0) / 365.0
}

/// The argument of Spencer's series for a moment: day of the year counted from 1 with its hour (universal time) as a
/// fraction, plus how far the calendar of `year` has run ahead of the tropical year (365.2422 days) since 1950, whose
/// almanac the series was fitted to (from memory; the series' equinox, 21 March 4 h, is that of 1950). The drift stays
/// within about a day; the program's month means use whole days, as the climate table does.
pub fn spencer_day(year: i32, day_of_year: f64, hour: f64) -> f64 {
    let leap_days = |y: i32| f64::from(y.div_euclid(4) - y.div_euclid(100) + y.div_euclid(400));
    let years = f64::from(year) - 1950.0;
    let drift = leap_days(year.saturating_sub(1)) - leap_days(1949) - 0.2422 * years;
    day_of_year + hour / 24.0 + drift
}

/// Declination of the sun (rad) on a day of the year (1 to 366). Spencer 1971, Search 2(5), 172;
/// Duffie & Beckman eq. 1.6.1b.
pub fn declination_spencer_rad(day_of_year: f64) -> f64 {
    let g = day_angle(day_of_year);
    let (s1, c1) = libm::sincos(g);
    let (s2, c2) = libm::sincos(2.0 * g);
    let (s3, c3) = libm::sincos(3.0 * g);
    0.006918 - 0.399912 * c1 + 0.070257 * s1 - 0.006758 * c2 + 0.000907 * s2 - 0.002697 * c3
        + 0.00148 * s3
}

/// Declination of the sun (rad) on a day of the year (1 to 366). Cooper 1969, Solar Energy 12, 333;
/// Duffie & Beckman eq. 1.6.1a.
pub fn declination_cooper_rad(day_of_year: f64) -> f64 {
    23.45_f64.to_radians() * libm::sin(TAU * (284.0 + day_of_year) / 365.0)
}

/// Declination of the sun (rad) on a day of the year (1 to 366). FAO Irrigation and Drainage Paper 56 (1998), eq. 24.
pub fn declination_fao56_rad(day_of_year: f64) -> f64 {
    0.409 * libm::sin(TAU * day_of_year / 365.0 - 1.39)
}

/// (Mean distance / distance to the sun)², by Spencer 1971; Duffie & Beckman eq. 1.4.1b.
pub fn distance_factor_spencer(day_of_year: f64) -> f64 {
    let g = day_angle(day_of_year);
    let (s1, c1) = libm::sincos(g);
    let (s2, c2) = libm::sincos(2.0 * g);
    1.000110 + 0.034221 * c1 + 0.001280 * s1 + 0.000719 * c2 + 0.000077 * s2
}

/// (Mean distance / distance to the sun)², one cosine: Duffie & Beckman eq. 1.4.1a; FAO Irrigation and Drainage
/// Paper 56 (1998), eq. 23.
pub fn distance_factor_cosine(day_of_year: f64) -> f64 {
    1.0 + 0.033 * libm::cos(TAU * day_of_year / 365.0)
}

/// Equation of time (min): how far the sundial is ahead of even time. Spencer 1971 as printed in Duffie & Beckman
/// eq. 1.5.3.
pub fn equation_of_time_min(day_of_year: f64) -> f64 {
    let b = day_angle(day_of_year);
    let (s1, c1) = libm::sincos(b);
    let (s2, c2) = libm::sincos(2.0 * b);
    229.2 * (0.000075 + 0.001868 * c1 - 0.032077 * s1 - 0.014615 * c2 - 0.04089 * s2)
}

/// Sunset hour angle (rad): 0 in the polar night, π in the polar day. Duffie & Beckman eq. 1.6.10, its cosine held
/// to ±1.
pub fn sunset_hour_angle_rad(lat_rad: f64, declination_rad: f64) -> f64 {
    libm::acos((-libm::tan(lat_rad) * libm::tan(declination_rad)).clamp(-1.0, 1.0))
}

/// Hours between sunrise and sunset of the sun's centre, without refraction (h). Duffie & Beckman eq. 1.6.11;
/// FAO Irrigation and Drainage Paper 56 (1998), eq. 34.
pub fn daylight_h(sunset_rad: f64) -> f64 {
    24.0 / PI * sunset_rad
}

/// Extraterrestrial irradiation on the horizontal between two hour angles (Wh/m²), held to the time that the sun is
/// up; `from_rad` and `to_rad` within ±π. Duffie & Beckman eq. 1.10.4.
pub fn extraterrestrial_between_wh_m2(
    lat_rad: f64,
    declination_rad: f64,
    distance_factor: f64,
    solar_constant_w_m2: f64,
    from_rad: f64,
    to_rad: f64,
) -> f64 {
    let sunset = sunset_hour_angle_rad(lat_rad, declination_rad);
    let from = from_rad.clamp(-sunset, sunset);
    let to = to_rad.clamp(-sunset, sunset);
    let (sin_lat, cos_lat) = libm::sincos(lat_rad);
    let (sin_dec, cos_dec) = libm::sincos(declination_rad);
    let integral =
        cos_lat * cos_dec * (libm::sin(to) - libm::sin(from)) + (to - from) * sin_lat * sin_dec;
    (12.0 / PI * solar_constant_w_m2 * distance_factor * integral).max(0.0)
}

/// Extraterrestrial irradiation of a day on the horizontal (Wh/m²). Duffie & Beckman eq. 1.10.3; FAO Irrigation and
/// Drainage Paper 56 (1998), eq. 21.
pub fn daily_extraterrestrial_wh_m2(
    lat_rad: f64,
    declination_rad: f64,
    distance_factor: f64,
    solar_constant_w_m2: f64,
) -> f64 {
    extraterrestrial_between_wh_m2(
        lat_rad,
        declination_rad,
        distance_factor,
        solar_constant_w_m2,
        -PI,
        PI,
    )
}

/// Cosine of the sun's zenith angle, which is the sine of its height; negative below the horizon. Duffie & Beckman
/// eq. 1.6.5.
pub fn cos_zenith(lat_rad: f64, declination_rad: f64, hour_angle_rad: f64) -> f64 {
    let (sin_lat, cos_lat) = libm::sincos(lat_rad);
    let (sin_dec, cos_dec) = libm::sincos(declination_rad);
    (cos_lat * cos_dec * libm::cos(hour_angle_rad) + sin_lat * sin_dec).clamp(-1.0, 1.0)
}

/// Zenith angle of the sun (rad), 0 to π, without refraction. Duffie & Beckman eq. 1.6.5.
pub fn zenith_rad(lat_rad: f64, declination_rad: f64, hour_angle_rad: f64) -> f64 {
    libm::acos(cos_zenith(lat_rad, declination_rad, hour_angle_rad))
}

/// Height of the sun at solar noon (rad), without refraction; negative in the polar night.
/// Duffie & Beckman eq. 1.6.7 at hour angle 0.
pub fn noon_height_rad(lat_rad: f64, declination_rad: f64) -> f64 {
    FRAC_PI_2 - (lat_rad - declination_rad).abs()
}

/// Azimuth of the sun (rad), 0 to 2π clockwise from true north. The quadrant-safe form of Duffie & Beckman
/// eq. 1.6.6, as in Reda & Andreas, NREL/TP-560-34302 (2008), eq. 45; the book's own angle (from south, west
/// positive) is this less π.
pub fn azimuth_rad(lat_rad: f64, declination_rad: f64, hour_angle_rad: f64) -> f64 {
    let (sin_lat, cos_lat) = libm::sincos(lat_rad);
    let (sin_dec, cos_dec) = libm::sincos(declination_rad);
    let (sin_hour, cos_hour) = libm::sincos(hour_angle_rad);
    PI + libm::atan2(
        cos_dec * sin_hour,
        cos_hour * sin_lat * cos_dec - sin_dec * cos_lat,
    )
}

/// What the air lifts the sun by (rad) at a true height `height_rad` (0 below −1°), pressure in hPa and air in °C.
/// Reda & Andreas, NREL/TP-560-34302 (2008), eq. 42.
pub fn refraction_rad(height_rad: f64, pressure_hpa: f64, air_c: f64) -> f64 {
    let e = height_rad.to_degrees();
    if !(-1.0..=90.0).contains(&e) {
        return 0.0;
    }
    let lift_deg = pressure_hpa / 1010.0 * 283.0 / (273.0 + air_c) * 1.02
        / (60.0 * libm::tan((e + 10.3 / (e + 5.11)).to_radians()));
    lift_deg.max(0.0).to_radians()
}

#[cfg(test)]
mod tests {
    use super::*;

    const MJ: f64 = 3600.0 / 1e6;

    fn fao56_mj(lat_deg: f64, day: f64) -> f64 {
        MJ * daily_extraterrestrial_wh_m2(
            lat_deg.to_radians(),
            declination_fao56_rad(day),
            distance_factor_cosine(day),
            SOLAR_CONSTANT_FAO56_W_M2,
        )
    }

    #[test]
    fn fao56_table_2_6_and_examples_8_and_10() {
        // FAO 56 (1998), Annex 2 table 2.6, mid-month [MJ/m²/day]; examples 8 and 10.
        for (lat, day, printed, within) in [
            (0.0, 15.0, 36.2, 0.35),
            (20.0, 135.0, 39.3, 0.35),
            (30.0, 349.0, 19.8, 0.35),
            (40.0, 166.0, 41.9, 0.35),
            (-20.0, 246.0, 32.2, 0.1),
            (-22.9, 135.0, 25.1, 0.1),
        ] {
            let ours = fao56_mj(lat, day);
            assert!((ours - printed).abs() <= within, "{lat} {day}: {ours}");
        }
    }

    #[test]
    fn fao56_table_2_7_daylight() {
        for (lat, day, printed) in [
            (20.0_f64, 166.0, 13.2),
            (60.0, 15.0, 6.4),
            (60.0, 166.0, 18.4),
        ] {
            let ours = daylight_h(sunset_hour_angle_rad(
                lat.to_radians(),
                declination_fao56_rad(day),
            ));
            assert!((ours - printed).abs() <= 0.15, "{lat} {day}: {ours}");
        }
    }

    #[test]
    fn duffie_and_beckman_chapter_1() {
        let lat = 43.0_f64.to_radians();
        // Example 1.6.2b: 1 July, 18:30.
        let decl = declination_cooper_rad(182.0);
        let hour = 97.5_f64.to_radians();
        assert!((zenith_rad(lat, decl, hour).to_degrees() - 79.6).abs() <= 0.1);
        assert!((azimuth_rad(lat, decl, hour).to_degrees() - 180.0 - 112.0).abs() <= 0.2);
        // Examples 1.10.1 and 1.10.2: 15 April.
        let decl = declination_cooper_rad(105.0);
        let near = distance_factor_cosine(105.0);
        assert!((sunset_hour_angle_rad(lat, decl).to_degrees() - 98.9).abs() <= 0.05);
        let day = MJ * daily_extraterrestrial_wh_m2(lat, decl, near, SOLAR_CONSTANT_BOOK_W_M2);
        assert!((day - 33.8).abs() <= 0.05, "{day}");
        let hour = MJ
            * extraterrestrial_between_wh_m2(
                lat,
                decl,
                near,
                SOLAR_CONSTANT_BOOK_W_M2,
                (-30.0_f64).to_radians(),
                (-15.0_f64).to_radians(),
            );
        assert!((hour - 3.79).abs() <= 0.01, "{hour}");
    }

    #[test]
    fn a_full_ephemeris_for_2023_is_met_within_its_tolerances() {
        // Values by the NREL position algorithm at one-minute steps: (latitude, day, H0 kWh/m², daylight h, noon °).
        for (lat, day, h0, light, noon) in [
            (-45.0_f64, 172.0, 2.7153, 8.567, 21.559),
            (0.0, 80.0, 10.5161, 12.0, 89.748),
            (45.0, 80.0, 7.4852, 12.033, 45.241),
            (60.0, 17.0, 0.9781, 6.533, 9.26),
            (60.0, 80.0, 5.3182, 12.05, 30.24),
        ] {
            let lat = lat.to_radians();
            let noon_day = spencer_day(2023, day, 12.0);
            let decl = declination_spencer_rad(noon_day);
            let near = distance_factor_spencer(noon_day);
            let ours = daily_extraterrestrial_wh_m2(lat, decl, near, SOLAR_CONSTANT_W_M2) / 1000.0;
            assert!((ours / h0 - 1.0).abs() <= 0.01, "H0 {ours} {h0}");
            assert!((noon_height_rad(lat, decl).to_degrees() - noon).abs() <= 0.3);
            let ours = daylight_h(sunset_hour_angle_rad(lat, decl));
            assert!((ours - light).abs() <= 0.1, "daylight {ours} {light}");
        }
    }

    #[test]
    fn the_calendar_drifts_by_less_than_a_day() {
        assert_eq!(spencer_day(1950, 1.0, 0.0), 1.0);
        assert!((spencer_day(2023, 1.0, 12.0) - 1.819).abs() < 1e-3);
        for year in 1901..2100 {
            assert!((spencer_day(year, 1.0, 0.0) - 1.0).abs() < 1.5, "{year}");
        }
    }

    #[test]
    fn the_example_of_the_nrel_algorithm_to_a_tenth_of_a_degree() {
        // Reda & Andreas (2008) table A5.1: 17 October 2003, 12:30:30, 7 h west of Greenwich, 39.742476 N.
        let day = spencer_day(2003, 290.0, 19.5);
        let decl = declination_spencer_rad(day);
        assert!(
            (decl.to_degrees() + 9.31434).abs() < 0.1,
            "{}",
            decl.to_degrees()
        );
        assert!((equation_of_time_min(day) - 14.641503).abs() < 0.5);
        let lat = 39.742476_f64.to_radians();
        let height = FRAC_PI_2 - zenith_rad(lat, decl, 11.1059_f64.to_radians());
        let lifted = height + refraction_rad(height, 820.0, 11.0);
        assert!((90.0 - lifted.to_degrees() - 50.11162).abs() < 0.1);
        let printed = 39.872046_f64.to_radians();
        let lifted = printed + refraction_rad(printed, 820.0, 11.0);
        assert!((90.0 - lifted.to_degrees() - 50.11162).abs() < 1e-4);
    }

    #[test]
    fn the_poles_have_day_or_night_and_no_nan() {
        for lat in [-FRAC_PI_2, FRAC_PI_2] {
            for day in [1.0, 80.0, 172.0, 266.0, 366.0] {
                let decl = declination_spencer_rad(day);
                let h0 = daily_extraterrestrial_wh_m2(lat, decl, 1.0, SOLAR_CONSTANT_W_M2);
                assert!(
                    h0.is_finite() && (h0 > 0.0) == (lat * decl > 0.0),
                    "{lat} {day} {h0}"
                );
            }
        }
    }

    #[test]
    fn hours_add_up_to_the_day() {
        let (lat, decl) = (0.9, 0.3);
        let sum: f64 = (0..24)
            .map(|h| {
                let from = (15.0 * f64::from(h) - 180.0).to_radians();
                extraterrestrial_between_wh_m2(lat, decl, 1.0, 1361.0, from, from + PI / 12.0)
            })
            .sum();
        let day = daily_extraterrestrial_wh_m2(lat, decl, 1.0, 1361.0);
        assert!((sum / day - 1.0).abs() < 1e-12);
    }
}
