//! Beam sunshine on a tilted plane: incidence, and its ratio to the horizontal for an instant, an hour and a day.
//!
//! Azimuth of a plane: the way it faces, clockwise from true north (180° = south). Tilt 0 = flat, 90° = upright.

use super::geometry::{SOLAR_CONSTANT_W_M2, cos_zenith, sunset_hour_angle_rad};
use crate::numeric::{greater, lesser, whole_below};
use core::f64::consts::{FRAC_PI_2, PI, TAU};
use std::sync::OnceLock;

/// Most that an hour's beam ratio may be: that of a plane square to a sun 3° up (1 / sin 3°). Assumed, on the safe
/// side: lower than that, hills, trees and houses stand in the way. A flat plane's ratio is 1 and never touched.
pub const BEAM_RATIO_CAP: f64 = 19.107_322_609_297_4;

/// The azimuth (°) that faces the equator: 180 in the north, 0 in the south.
pub fn equator_facing_deg(lat_deg: f64) -> f64 {
    if lat_deg < 0.0 { 0.0 } else { 180.0 }
}

/// An hour angle with its sine and cosine at hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Angle {
    pub(super) rad: f64,
    pub(super) sin: f64,
    pub(super) cos: f64,
}

/// The sun at its highest.
pub(super) const NOON: Angle = Angle {
    rad: 0.0,
    sin: 0.0,
    cos: 1.0,
};

impl Angle {
    pub(super) fn new(rad: f64) -> Self {
        let (sin, cos) = libm::sincos(rad);
        Self { rad, sin, cos }
    }

    /// The same angle the other way.
    pub(super) fn turned_back(self) -> Self {
        Self {
            rad: -self.rad,
            sin: -self.sin,
            cos: self.cos,
        }
    }

    /// The sum of two, by the addition theorems.
    fn plus(self, other: Self) -> Self {
        Self {
            rad: self.rad + other.rad,
            sin: self.sin * other.cos + self.cos * other.sin,
            cos: self.cos * other.cos - self.sin * other.sin,
        }
    }
}

/// A latitude with its sine and cosine at hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Latitude {
    rad: f64,
    sin: f64,
    cos: f64,
}

impl Latitude {
    /// A latitude (rad) within ±π/2.
    pub fn new(rad: f64) -> Self {
        let (sin, cos) = libm::sincos(rad);
        Self {
            rad,
            sin,
            cos: cos.max(0.0),
        }
    }

    /// A latitude (°), held to ±90.
    pub fn from_deg(deg: f64) -> Self {
        Self::new(deg.clamp(-90.0, 90.0).to_radians())
    }

    /// In radians.
    pub fn rad(self) -> f64 {
        self.rad
    }

    /// Cosine of the sun's zenith angle at noon, from a declination's sine and cosine.
    pub(super) fn cos_zenith_at_noon(self, sin_dec: f64, cos_dec: f64) -> f64 {
        self.sin * sin_dec + self.cos * cos_dec
    }
}

/// The sun's day at a latitude: its declination, and the hour angle at which it sets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Daylight {
    sin_dec: f64,
    cos_dec: f64,
    /// Sunset hour angle, 0 in the polar night, π in the polar day: Duffie & Beckman (2013) eq. 1.6.10, its cosine held
    /// to ±1.
    pub(super) sunset: Angle,
    /// Incidence on the horizontal.
    flat: Incidence,
}

impl Daylight {
    pub(super) fn new(place: Latitude, declination_rad: f64) -> Self {
        let (sin_dec, cos_dec) = libm::sincos(declination_rad);
        Self::of_sines(place, sin_dec, cos_dec)
    }

    /// From a declination's sine and cosine.
    pub(super) fn of_sines(place: Latitude, sin_dec: f64, cos_dec: f64) -> Self {
        let (up, across) = (place.sin * sin_dec, place.cos * cos_dec);
        let cos = if across > 0.0 {
            (-up / across).clamp(-1.0, 1.0)
        } else {
            -up.signum()
        };
        Self {
            sin_dec,
            cos_dec,
            sunset: Angle {
                rad: libm::acos(cos),
                sin: ((1.0 - cos) * (1.0 + cos)).sqrt(),
                cos,
            },
            flat: Incidence {
                a: up,
                b: across,
                c: 0.0,
                middle: NOON,
            },
        }
    }

    /// How many solar hours from noon on the sun is up in, the last maybe in part; as many before noon.
    pub(super) fn lit_hours(&self) -> usize {
        if self.sunset.rad > 0.0 {
            hour_of(self.sunset) - 11
        } else {
            0
        }
    }

    /// From sunrise to sunset.
    pub(super) fn span(&self) -> (Angle, Angle) {
        (self.sunset.turned_back(), self.sunset)
    }

    /// Extraterrestrial irradiation on the horizontal (Wh/m²), at a distance factor: the same formula as
    /// `geometry::daily_extraterrestrial_wh_m2`, from sines and cosines at hand.
    pub(super) fn extraterrestrial_wh_m2(&self, distance_factor: f64) -> f64 {
        let Angle { rad, sin, .. } = self.sunset;
        let integral = self.flat.b * sin + rad * self.flat.a;
        (24.0 / PI * SOLAR_CONSTANT_W_M2 * distance_factor * integral).max(0.0)
    }
}

/// Integrals over a stretch of hour angle of 1, cos ω, sin ω and cos² ω.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stretch {
    pub(super) turn: f64,
    pub(super) cos: f64,
    pub(super) sin: f64,
    pub(super) cos_squared: f64,
}

impl Stretch {
    pub(super) fn between((from, to): (Angle, Angle)) -> Self {
        let turn = to.rad - from.rad;
        Self {
            turn,
            cos: to.sin - from.sin,
            sin: from.cos - to.cos,
            cos_squared: 0.5 * (turn + (to.sin * to.cos - from.sin * from.cos)),
        }
    }
}

/// An hour of the solar day: its two ends, and all of it.
#[derive(Clone, Copy, Debug, PartialEq)]
struct SolarHour {
    ends: (Angle, Angle),
    whole: Stretch,
}

/// The hours from noon on, each after the one as far before noon.
pub(super) fn both_halves(hours: &mut [f64; 24]) -> impl Iterator<Item = (&mut f64, &mut f64)> {
    let (morning, afternoon) = hours.split_at_mut(12);
    morning.iter_mut().rev().zip(afternoon)
}

/// The solar hour from midnight, 0 to 23, in which an hour angle lies.
pub(super) fn hour_of(at: Angle) -> usize {
    const PER_RAD: f64 = 12.0 / PI;
    whole_below(greater(at.rad * PER_RAD + 12.0, 0.0)).min(23)
}

/// Puts something of the part of each solar hour that lies within a window inside ±π in that hour's place. The first of the
/// places is that of hour `from`, and the window does not begin before it.
#[inline(always)]
pub(super) fn put_hours_within<T>(
    hours: &mut [T],
    from: usize,
    window: (Angle, Angle),
    put: impl Fn(&mut T, &Stretch),
) {
    let (first, last) = (hour_of(window.0), hour_of(window.1));
    let places = hours.get_mut(first.saturating_sub(from)..=last.saturating_sub(from));
    let touched = solar_hours().get(first..=last);
    // Hours at both ends lie within it in part.
    let put_part = |hour: &mut T, its: &SolarHour| {
        if let Some(lit) = overlap(its.ends, window) {
            put(hour, &Stretch::between(lit));
        }
    };
    if let (Some([hour, hours @ ..]), Some([its, touched @ ..])) = (places, touched) {
        put_part(hour, its);
        if let ([hours @ .., hour], [touched @ .., its]) = (hours, touched) {
            for (hour, its) in hours.iter_mut().zip(touched) {
                put(hour, &its.whole);
            }
            put_part(hour, its);
        }
    }
}

/// The 24 hours of the solar day from midnight.
fn solar_hours() -> &'static [SolarHour; 24] {
    static HOURS: OnceLock<[SolarHour; 24]> = OnceLock::new();
    HOURS.get_or_init(|| {
        let end = |h: usize| Angle::new((h as f64 - 12.0) * (PI / 12.0));
        std::array::from_fn(|h| {
            let ends = (end(h), end(h + 1));
            SolarHour {
                ends,
                whole: Stretch::between(ends),
            }
        })
    })
}

/// The part of `span` that lies within `window`, if any.
fn overlap(span: (Angle, Angle), window: (Angle, Angle)) -> Option<(Angle, Angle)> {
    let from = if span.0.rad < window.0.rad {
        window.0
    } else {
        span.0
    };
    let to = if span.1.rad > window.1.rad {
        window.1
    } else {
        span.1
    };
    (from.rad < to.rad).then_some((from, to))
}

/// The way a plane faces at a latitude, made once and used for any day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facing {
    /// What the sine of the declination, its cosine with cos ω, and its cosine with sin ω are multiplied by.
    up: f64,
    across: f64,
    aside: f64,
    /// The hour angle at which the sun stands best before it.
    middle: Angle,
    /// Share of the sky that it sees.
    sky_view: f64,
    level: bool,
}

impl Facing {
    /// A plane of a tilt from flat (rad) that faces an azimuth (rad clockwise from true north).
    pub fn new(place: Latitude, tilt_rad: f64, azimuth_rad: f64) -> Self {
        let (sin_tilt, cos_tilt) = libm::sincos(tilt_rad);
        let (sin_az, cos_az) = libm::sincos(azimuth_rad);
        let across = place.cos * cos_tilt - place.sin * sin_tilt * cos_az;
        let aside = -sin_tilt * sin_az;
        Self {
            up: place.sin * cos_tilt + place.cos * sin_tilt * cos_az,
            across,
            aside,
            middle: Angle::new(libm::atan2(aside, across)),
            sky_view: sky_view(tilt_rad),
            level: tilt_rad == 0.0,
        }
    }

    /// Share of the sky that the plane sees.
    pub(super) fn sky_view(&self) -> f64 {
        self.sky_view
    }

    fn incidence(&self, sun: &Daylight) -> Incidence {
        Incidence {
            a: sun.sin_dec * self.up,
            b: sun.cos_dec * self.across,
            c: sun.cos_dec * self.aside,
            middle: self.middle,
        }
    }

    /// Beam ratio of each solar hour: the integral of the positive cosine of incidence over that of the cosine of zenith,
    /// both while the sun is up, held to [`BEAM_RATIO_CAP`]; 0 in the dark. The hourly mean of Duffie & Beckman (2013)
    /// eq. 2.14.6, worked exactly.
    pub(super) fn beam_ratio_hours(&self, sun: &Daylight) -> [f64; 24] {
        let mut on_flat = [0.0; 12];
        put_hours_within(&mut on_flat, 12, (NOON, sun.sunset), |hour, lit| {
            *hour = sun.flat.over(lit);
        });
        let lit = sun.lit_hours();
        let plane = self.incidence(sun);
        let mut ratios = [0.0; 24];
        let windows = if self.level {
            [NEVER; 2]
        } else {
            plane.windows()
        };
        for before in windows {
            if let Some(lit) = overlap(before, sun.span()) {
                put_hours_within(&mut ratios, 0, lit, |hour, lit| {
                    *hour += greater(plane.over(lit), 0.0);
                });
            }
        }
        let held = |ratio: f64, flat: f64| {
            let held = if self.level {
                1.0
            } else {
                lesser(ratio / flat, BEAM_RATIO_CAP)
            };
            if flat > 0.0 { held } else { 0.0 }
        };
        for ((early, late), flat) in both_halves(&mut ratios).zip(on_flat).take(lit) {
            (*early, *late) = (held(*early, flat), held(*late, flat));
        }
        ratios
    }
}

/// All hour angles, and none: a window whose ends are crossed.
const ALWAYS: (Angle, Angle) = (
    Angle {
        rad: -PI,
        sin: 0.0,
        cos: -1.0,
    },
    Angle {
        rad: PI,
        sin: 0.0,
        cos: -1.0,
    },
);
const NEVER: (Angle, Angle) = (ALWAYS.1, ALWAYS.0);

/// The cosine of the angle of incidence on a plane as `a + b cos ω + c sin ω` in the hour angle ω.
/// Duffie & Beckman (2013) eq. 1.6.2, its terms gathered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Incidence {
    a: f64,
    b: f64,
    c: f64,
    /// The hour angle at which it is largest.
    middle: Angle,
}

impl Incidence {
    fn new(lat_rad: f64, declination_rad: f64, tilt_rad: f64, azimuth_rad: f64) -> Self {
        let place = Latitude::new(lat_rad);
        Facing::new(place, tilt_rad, azimuth_rad).incidence(&Daylight::new(place, declination_rad))
    }

    fn at(&self, hour_angle_rad: f64) -> f64 {
        let (sin, cos) = libm::sincos(hour_angle_rad);
        self.a + self.b * cos + self.c * sin
    }

    /// Integral over a stretch of hour angle.
    fn over(&self, stretch: &Stretch) -> f64 {
        self.a * stretch.turn + self.b * stretch.cos + self.c * stretch.sin
    }

    /// The windows of hour angle within ±π in which the sun is before the plane; empty ones have their ends crossed.
    fn windows(&self) -> [(Angle, Angle); 2] {
        let swing = (self.b * self.b + self.c * self.c).sqrt();
        if self.a >= swing {
            return [ALWAYS, NEVER];
        }
        if self.a <= -swing {
            return [NEVER, NEVER];
        }
        let cos = -self.a / swing;
        let half = Angle {
            rad: libm::acos(cos),
            sin: ((1.0 - cos) * (1.0 + cos)).sqrt(),
            cos,
        };
        let (from, to) = (self.middle.plus(half.turned_back()), self.middle.plus(half));
        // The window about its middle, and what of it passes ±π and comes in again at the other end.
        let shift = if self.middle.rad > 0.0 { -TAU } else { TAU };
        let again = |angle: Angle| Angle {
            rad: angle.rad + shift,
            ..angle
        };
        [(from, to), (again(from), again(to))]
    }

    /// Integral over the hour angle within `span` of the cosine where it is positive.
    fn positive_between(&self, span: (Angle, Angle)) -> f64 {
        let windows = self.windows().into_iter();
        windows
            .filter_map(|window| overlap(span, window))
            .map(|lit| self.over(&Stretch::between(lit)).max(0.0))
            .sum()
    }
}

/// Cosine of the angle of incidence of beam sunshine on a plane; negative when the sun is behind it.
/// Duffie & Beckman (2013) eq. 1.6.2.
pub fn cos_incidence(
    lat_rad: f64,
    declination_rad: f64,
    hour_angle_rad: f64,
    tilt_rad: f64,
    azimuth_rad: f64,
) -> f64 {
    Incidence::new(lat_rad, declination_rad, tilt_rad, azimuth_rad)
        .at(hour_angle_rad)
        .clamp(-1.0, 1.0)
}

/// Ratio of beam sunshine on a plane to that on the horizontal at an instant, no cap; 0 where the sun is behind the
/// plane or down. Duffie & Beckman (2013) eq. 1.8.1.
pub fn beam_ratio(
    lat_rad: f64,
    declination_rad: f64,
    hour_angle_rad: f64,
    tilt_rad: f64,
    azimuth_rad: f64,
) -> f64 {
    let up = cos_zenith(lat_rad, declination_rad, hour_angle_rad);
    if up <= 0.0 {
        return 0.0;
    }
    cos_incidence(
        lat_rad,
        declination_rad,
        hour_angle_rad,
        tilt_rad,
        azimuth_rad,
    )
    .max(0.0)
        / up
}

/// Mean beam ratio of a day outside the atmosphere, any azimuth, no cap; 0 in the polar night.
/// The ratio of integrals that defines Duffie & Beckman (2013) eq. 2.19.2, worked exactly.
pub fn beam_ratio_day(lat_rad: f64, declination_rad: f64, tilt_rad: f64, azimuth_rad: f64) -> f64 {
    let place = Latitude::new(lat_rad);
    let sun = Daylight::new(place, declination_rad);
    let day = sun.span();
    let on_flat = sun.flat.over(&Stretch::between(day));
    if on_flat <= 0.0 {
        return 0.0;
    }
    let plane = Facing::new(place, tilt_rad, azimuth_rad).incidence(&sun);
    plane.positive_between(day) / on_flat
}

/// Mean beam ratio of a day for a plane that faces the equator, between the polar circles. Klein 1977, Solar Energy
/// 19(4), 325; Duffie & Beckman (2013) eqs. 2.19.3a and b.
pub fn beam_ratio_day_klein(lat_rad: f64, declination_rad: f64, tilt_rad: f64) -> f64 {
    let leaned = if lat_rad < 0.0 {
        lat_rad + tilt_rad
    } else {
        lat_rad - tilt_rad
    };
    let sunset = sunset_hour_angle_rad(lat_rad, declination_rad);
    let on_plane = sunset.min(sunset_hour_angle_rad(leaned, declination_rad));
    let term = |lat: f64, w: f64| {
        libm::cos(lat) * libm::cos(declination_rad) * libm::sin(w)
            + w * libm::sin(lat) * libm::sin(declination_rad)
    };
    let on_flat = term(lat_rad, sunset);
    if on_flat <= 0.0 {
        return 0.0;
    }
    (term(leaned, on_plane) / on_flat).max(0.0)
}

/// Share of the sky that a plane sees: (1 + cos tilt) / 2. Liu & Jordan 1963; Duffie & Beckman (2013) eq. 2.15.1.
pub fn sky_view(tilt_rad: f64) -> f64 {
    0.5 * (1.0 + libm::cos(tilt_rad.clamp(0.0, 2.0 * FRAC_PI_2)))
}

/// Irradiation on a tilted plane under an even sky, from horizontal beam and diffuse (same unit in and out), the beam
/// ratio and the albedo of the ground. Liu & Jordan 1963, Solar Energy 7, 53; Duffie & Beckman (2013) eq. 2.15.1.
pub fn isotropic_tilted(
    beam: f64,
    diffuse: f64,
    beam_ratio: f64,
    tilt_rad: f64,
    ground_albedo: f64,
) -> f64 {
    isotropic_by_view(beam, diffuse, beam_ratio, sky_view(tilt_rad), ground_albedo)
}

/// The same by the share of the sky that the plane sees.
pub(super) fn isotropic_by_view(
    beam: f64,
    diffuse: f64,
    beam_ratio: f64,
    sky_view: f64,
    ground_albedo: f64,
) -> f64 {
    beam * beam_ratio + diffuse * sky_view + (beam + diffuse) * ground_albedo * (1.0 - sky_view)
}

#[cfg(test)]
mod tests {
    use super::super::geometry::declination_cooper_rad;
    use super::*;

    fn beam_ratio_hours(
        lat_rad: f64,
        declination_rad: f64,
        tilt_rad: f64,
        azimuth_rad: f64,
    ) -> [f64; 24] {
        let place = Latitude::new(lat_rad);
        Facing::new(place, tilt_rad, azimuth_rad)
            .beam_ratio_hours(&Daylight::new(place, declination_rad))
    }

    #[test]
    fn the_cap_is_one_over_the_sine_of_three_degrees() {
        assert!((BEAM_RATIO_CAP * libm::sin(3.0_f64.to_radians()) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn duffie_and_beckman_examples_1_8_1_to_3() {
        let deg = |d: f64| d.to_radians();
        // Example 1.6.1: latitude 43, 13 February 10:30, tilt 45, 15 degrees west of south.
        let ours = beam_ratio(
            deg(43.0),
            declination_cooper_rad(44.0),
            deg(-22.5),
            deg(45.0),
            deg(195.0),
        );
        assert!((ours - 1.6577).abs() <= 0.015, "{ours}");
        // Latitude 40, 16 February, 9 to 10 h at its middle.
        for (tilt, printed, within) in [(30.0, 1.61, 0.01), (50.0, 1.80, 0.02)] {
            let decl = declination_cooper_rad(47.0);
            let ours = beam_ratio(deg(40.0), decl, deg(-37.5), deg(tilt), PI);
            assert!((ours - printed).abs() <= within, "{tilt}: {ours}");
        }
    }

    #[test]
    fn the_exact_day_is_kleins_where_his_holds() {
        for lat in [-60.0, -35.0, -5.0, 5.0, 43.0, 60.0_f64] {
            for day in [17.0, 75.0, 162.0, 258.0, 344.0] {
                for tilt in [0.0, 20.0, 60.0, 90.0_f64] {
                    let decl = declination_cooper_rad(day);
                    let (lat_rad, tilt_rad) = (lat.to_radians(), tilt.to_radians());
                    // Beyond the equator from the sun an upright plane has two windows a day, which Klein leaves out.
                    let leaned = lat.abs() - tilt;
                    if decl * lat.signum() > 0.0
                        && leaned < 0.0
                        && lat.abs().to_radians() < decl.abs()
                    {
                        continue;
                    }
                    let facing = equator_facing_deg(lat).to_radians();
                    let exact = beam_ratio_day(lat_rad, decl, tilt_rad, facing);
                    let klein = beam_ratio_day_klein(lat_rad, decl, tilt_rad);
                    assert!(
                        (exact - klein).abs() < 1e-9,
                        "{lat} {day} {tilt}: {exact} {klein}"
                    );
                }
            }
        }
    }

    #[test]
    fn exact_hours_agree_with_a_fine_sum_at_any_azimuth() {
        for azimuth in [0.0, 45.0, 90.0, 135.0, 200.0, 300.0_f64] {
            for (lat, decl) in [(0.9, 0.35), (-0.6, 0.1), (1.3, 0.4), (0.1, -0.2)] {
                let (tilt, az) = (1.2, azimuth.to_radians());
                let ours = beam_ratio_hours(lat, decl, tilt, az);
                for (h, &ratio) in ours.iter().enumerate() {
                    let steps = 3000;
                    let (mut plane, mut flat) = (0.0, 0.0);
                    for s in 0..steps {
                        let w =
                            (h as f64 - 12.0 + (f64::from(s) + 0.5) / f64::from(steps)) * PI / 12.0;
                        let up = cos_zenith(lat, decl, w);
                        if up > 0.0 {
                            flat += up;
                            plane += cos_incidence(lat, decl, w, tilt, az).max(0.0);
                        }
                    }
                    let fine = if flat > 0.0 {
                        (plane / flat).min(BEAM_RATIO_CAP)
                    } else {
                        0.0
                    };
                    assert!(
                        (ratio - fine).abs() < 2e-3 * (1.0 + fine),
                        "{azimuth} {lat} {h}: {ratio} {fine}"
                    );
                }
            }
        }
    }

    #[test]
    fn east_and_west_mirror_each_other_and_flat_is_one() {
        let east = beam_ratio_hours(0.8, 0.2, 0.7, FRAC_PI_2);
        let west = beam_ratio_hours(0.8, 0.2, 0.7, 3.0 * FRAC_PI_2);
        for (a, b) in east.iter().zip(west.iter().rev()) {
            assert!((a - b).abs() < 1e-9);
        }
        for ratio in beam_ratio_hours(0.8, 0.2, 0.0, 1.0) {
            assert!(ratio == 0.0 || (ratio - 1.0).abs() < 1e-12);
        }
    }
}
