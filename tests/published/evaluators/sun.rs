//! Where the sun stands and what arrives outside the atmosphere, each with the conventions of the row's own document.

use super::{Evaluator, Pattern};
use crate::question::{Answer, Asked, Question};
use core::f64::consts::PI;
use larder::solar::calendar::{AVERAGE_DAYS, MONTH_DAYS};
use larder::solar::geometry::{
    SOLAR_CONSTANT_BOOK_W_M2, SOLAR_CONSTANT_FAO56_W_M2, SOLAR_CONSTANT_W_M2, azimuth_rad,
    daily_extraterrestrial_wh_m2, daylight_h, declination_cooper_rad, declination_fao56_rad,
    declination_spencer_rad, distance_factor_cosine, distance_factor_spencer,
    extraterrestrial_between_wh_m2, noon_height_rad, spencer_day, sunset_hour_angle_rad,
    zenith_rad,
};

/// Wh in the units that a row may ask for.
const WH_PER_MJ: f64 = 1e6 / 3600.0;

/// FAO 56 eq. 36: clear-sky radiation over extraterrestrial radiation, where no calibration is at hand.
const CLEAR_SKY_SHARE_FAO56: f64 = 0.25 + 0.50;

pub(crate) const EVALUATORS: &[(Pattern, Evaluator)] = &[
    ("daily extraterrestrial radiation*", daily),
    ("clear-sky radiation (0.25+0.50)*", clear_sky_fao56),
    ("hourly extraterrestrial radiation*", between),
    ("maximum daylight hours*", daylight),
    ("daylight hours*", daylight),
    ("hours with true zenith below 90 deg", daylight),
    ("intermediate value dr", |q| {
        Ok(Sun::of(q)?.distance_factor.into())
    }),
    ("intermediate value delta", declination),
    ("declination on the month's average day", declination),
    ("intermediate value ws", sunset),
    ("sunset hour angle", sunset),
    ("zenith angle", zenith),
    ("solar azimuth (from south, west +)", azimuth_from_south),
    ("largest true elevation of the day", noon_height),
    ("daily clearness index", clearness),
];

/// Whose formulas a row goes by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Convention {
    /// FAO Irrigation and Drainage Paper 56.
    Fao56,
    /// Duffie & Beckman's worked examples, and Klein's days in them.
    Book,
    /// A full ephemeris of a real date: the program's own, Spencer's series carried to that date.
    Ephemeris,
}

impl Convention {
    fn of(q: Question) -> Self {
        let source = q.source();
        if source.contains("FAO") {
            Self::Fao56
        } else if source.contains("Duffie") || source.contains("Klein") {
            Self::Book
        } else {
            Self::Ephemeris
        }
    }
}

/// The sun of a row's day.
pub(super) struct Sun {
    pub(super) declination_rad: f64,
    distance_factor: f64,
    solar_constant_w_m2: f64,
}

impl Sun {
    pub(super) fn of(q: Question) -> Result<Self, String> {
        let convention = Convention::of(q);
        let day = day(q, convention)?;
        let (declination_rad, distance_factor, usual_w_m2) = match convention {
            Convention::Fao56 => (
                declination_fao56_rad(day),
                distance_factor_cosine(day),
                SOLAR_CONSTANT_FAO56_W_M2,
            ),
            Convention::Book => (
                declination_cooper_rad(day),
                distance_factor_cosine(day),
                SOLAR_CONSTANT_BOOK_W_M2,
            ),
            Convention::Ephemeris => (
                declination_spencer_rad(day),
                distance_factor_spencer(day),
                SOLAR_CONSTANT_W_M2,
            ),
        };
        let per_minute = q.given(&["Gsc_MJ_m2_min"]).map(|mj| mj * 1e6 / 60.0);
        let solar_constant_w_m2 = q
            .given(&["Gsc"])
            .or(per_minute)
            .or_else(|| constant_of_the_source(q.source()))
            .unwrap_or(usual_w_m2);
        Ok(Self {
            declination_rad,
            distance_factor,
            solar_constant_w_m2,
        })
    }

    /// Extraterrestrial irradiation of the day at a latitude (Wh/m²).
    pub(super) fn daily_wh_m2(&self, lat_rad: f64) -> f64 {
        daily_extraterrestrial_wh_m2(
            lat_rad,
            self.declination_rad,
            self.distance_factor,
            self.solar_constant_w_m2,
        )
    }
}

/// The solar constant that a library's call names (W/m²).
fn constant_of_the_source(source: &str) -> Option<f64> {
    let (_, after) = source.split_once("solar_constant=")?;
    after.split([',', ')']).next()?.parse().ok()
}

/// The day of the year: a date, a number, or the day that stands for a month.
fn day(q: Question, convention: Convention) -> Result<f64, String> {
    if convention == Convention::Ephemeris {
        let (year, day) = date(q.text(&["date"])?)?;
        // The whole day goes by the sun of its own noon.
        let noon = 12.0 - q.given(&["lon"]).unwrap_or(0.0) / 15.0;
        return Ok(spencer_day(year, day, noon));
    }
    if q.quantity().contains("average day")
        && let Some(month) = q.given(&["month"])
    {
        let days = AVERAGE_DAYS.get((month as usize).wrapping_sub(1));
        return days.map(|&day| day.into()).ok_or("no such month".into());
    }
    q.number(&["n", "J", "day_of_year"])
}

/// A date written 2023-03-21: its year and its day in it.
fn date(text: &str) -> Result<(i32, f64), String> {
    let parts: Vec<i32> = text
        .split('-')
        .filter_map(|part| part.parse().ok())
        .collect();
    let [year, month, day] = parts[..] else {
        return Err(format!("`{text}` is no date"));
    };
    let before: usize = MONTH_DAYS
        .iter()
        .take((month as usize).saturating_sub(1))
        .sum();
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) && month > 2;
    Ok((year, f64::from(day + i32::from(leap)) + before as f64))
}

/// Latitude (rad).
pub(super) fn latitude(q: Question) -> Result<f64, String> {
    Ok(q.number(&["lat", "lat_deg"])?.to_radians())
}

/// Hour angle (rad): given, or from solar time.
pub(super) fn hour_angle(q: Question) -> Result<f64, String> {
    if let Some(deg) = q.given(&["hour_angle"]) {
        return Ok(deg.to_radians());
    }
    let time = q.text(&["solar_time"])?;
    let (hours, minutes) = time.split_once(':').ok_or("no time of the clock")?;
    let (hours, minutes): (f64, f64) = match (hours.parse(), minutes.parse()) {
        (Ok(hours), Ok(minutes)) => (hours, minutes),
        _ => return Err(format!("`{time}` is no time")),
    };
    Ok((hours + minutes / 60.0 - 12.0) * PI / 12.0)
}

/// An irradiation in the unit asked for.
pub(super) fn irradiation(q: Question, wh_m2: f64) -> Asked {
    if q.unit().starts_with("MJ") {
        Ok((wh_m2 / WH_PER_MJ).into())
    } else if q.unit().starts_with("kWh") {
        Ok((wh_m2 / 1000.0).into())
    } else {
        Err(format!("irradiation in {} is not asked for here", q.unit()))
    }
}

/// An angle in the unit asked for.
fn angle(q: Question, rad: f64) -> Asked {
    match q.unit() {
        "rad" => Ok(rad.into()),
        "deg" => Ok(rad.to_degrees().into()),
        unit => Err(format!("an angle in {unit}?")),
    }
}

fn daily(q: Question) -> Asked {
    irradiation(q, Sun::of(q)?.daily_wh_m2(latitude(q)?))
}

fn clear_sky_fao56(q: Question) -> Asked {
    irradiation(
        q,
        CLEAR_SKY_SHARE_FAO56 * Sun::of(q)?.daily_wh_m2(latitude(q)?),
    )
}

fn between(q: Question) -> Asked {
    let sun = Sun::of(q)?;
    let wh_m2 = extraterrestrial_between_wh_m2(
        latitude(q)?,
        sun.declination_rad,
        sun.distance_factor,
        sun.solar_constant_w_m2,
        q.number(&["w1"])?.to_radians(),
        q.number(&["w2"])?.to_radians(),
    );
    irradiation(q, wh_m2)
}

fn sunset_rad(q: Question) -> Result<f64, String> {
    Ok(sunset_hour_angle_rad(
        latitude(q)?,
        Sun::of(q)?.declination_rad,
    ))
}

fn daylight(q: Question) -> Asked {
    Ok(daylight_h(sunset_rad(q)?).into())
}

fn sunset(q: Question) -> Asked {
    angle(q, sunset_rad(q)?)
}

fn declination(q: Question) -> Asked {
    angle(q, Sun::of(q)?.declination_rad)
}

fn zenith(q: Question) -> Asked {
    angle(
        q,
        zenith_rad(latitude(q)?, Sun::of(q)?.declination_rad, hour_angle(q)?),
    )
}

fn azimuth_from_south(q: Question) -> Asked {
    let ours = azimuth_rad(latitude(q)?, Sun::of(q)?.declination_rad, hour_angle(q)?);
    angle(q, ours - PI)
}

fn noon_height(q: Question) -> Asked {
    angle(
        q,
        noon_height_rad(latitude(q)?, Sun::of(q)?.declination_rad),
    )
}

fn clearness(q: Question) -> Asked {
    let day_wh_m2 = q.number(&["H_MJ"])? * WH_PER_MJ;
    Ok(Answer::from(
        day_wh_m2 / Sun::of(q)?.daily_wh_m2(latitude(q)?),
    ))
}
