//! What the sky lets through and what a tilted plane sees of it.

use super::sun::{Sun, hour_angle, irradiation, latitude};
use super::{Evaluator, Pattern};
use crate::question::{Answer, Asked, Question};
use core::f64::consts::PI;
use larder::solar::day::DayShape;
use larder::solar::geometry::{sunset_hour_angle_rad, zenith_rad};
use larder::solar::plane::{
    beam_ratio, beam_ratio_day, beam_ratio_day_klein, equator_facing_deg, isotropic_tilted,
};
use larder::solar::sky::{
    clear_sky_day_wh_m2, clear_sky_haurwitz_w_m2, diffuse_ratio, diffuse_share_day,
    diffuse_share_hour, diffuse_share_month, total_ratio,
};

pub(crate) const EVALUATORS: &[(Pattern, Evaluator)] = &[
    ("haurwitz clear-sky ghi*", haurwitz),
    ("clear-sky ghi of the day, haurwitz", haurwitz_day),
    ("hourly diffuse fraction*", |q| {
        Ok(diffuse_share_hour(q.number(&["kt", "KT"])?).into())
    }),
    ("monthly diffuse fraction*", |q| {
        Ok(diffuse_share_month(q.number(&["KT", "kt"])?, sunset_side(q)?).into())
    }),
    ("daily diffuse fraction*", |q| {
        Ok(diffuse_share_day(q.number(&["KT", "kt"])?, sunset_side(q)?).into())
    }),
    ("diffuse fraction of the monthly mean day*", |q| {
        Ok(diffuse_share_month(q.number(&["KT"])?, sunset_side(q)?).into())
    }),
    ("diffuse fraction of the day*", |q| {
        Ok(diffuse_share_day(q.number(&["KT"])?, sunset_side(q)?).into())
    }),
    (
        "r_t (collares-pereira & rabl) and r_d (liu & jordan)*",
        both_ratios,
    ),
    ("share of the day's radiation in the hour *", |q| {
        Ok(share_of_hour(q)?.into())
    }),
    ("radiation * from the day's total", hour_from_day),
    ("ratio of beam radiation*", beam),
    ("monthly mean radiation on a tilted plane*", tilted),
];

fn haurwitz(q: Question) -> Asked {
    let zenith_rad = q.number(&["zenith_deg"])?.to_radians();
    Ok(clear_sky_haurwitz_w_m2(zenith_rad.cos()).into())
}

fn haurwitz_day(q: Question) -> Asked {
    irradiation(
        q,
        clear_sky_day_wh_m2(latitude(q)?, Sun::of(q)?.declination_rad),
    )
}

/// The sunset hour angle (rad), or one on the side of 81.4° that the quantity names.
fn sunset_side(q: Question) -> Result<f64, String> {
    let deg = match q.given(&["ws_deg", "ws"]) {
        Some(deg) => deg,
        None if q.quantity().contains("ws<=81.4") => 81.4,
        None if q.quantity().contains("ws>81.4") => 90.0,
        None => return Err("no sunset hour angle".into()),
    };
    Ok(deg.to_radians())
}

fn both_ratios(q: Question) -> Asked {
    let (hour, sunset) = (hour_angle(q)?, sunset_side(q)?);
    Ok(vec![total_ratio(hour, sunset), diffuse_ratio(hour, sunset)].into())
}

/// Share of a day's total irradiation that falls in the hour about an hour angle.
fn share_of_hour(q: Question) -> Result<f64, String> {
    let sunset = sunset_hour_angle_rad(latitude(q)?, Sun::of(q)?.declination_rad);
    Ok(total_ratio(hour_angle(q)?, sunset))
}

fn hour_from_day(q: Question) -> Asked {
    Ok((share_of_hour(q)? * q.number(&["H_MJ"])?).into())
}

/// A plane's tilt, and the way it faces clockwise from north (rad). Rows count from south, west positive; without a
/// word on it a plane faces the equator.
fn plane(q: Question, lat_rad: f64) -> Result<(f64, f64), String> {
    let facing = match q.given(&["azimuth"]) {
        Some(from_south) => from_south.to_radians() + PI,
        None => equator_facing_deg(lat_rad.to_degrees()).to_radians(),
    };
    Ok((q.number(&["slope"])?.to_radians(), facing))
}

fn beam(q: Question) -> Asked {
    let (lat, sun, hour) = (latitude(q)?, Sun::of(q)?, hour_angle(q)?);
    let (tilt, facing) = plane(q, lat)?;
    if zenith_rad(lat, sun.declination_rad, hour) >= PI / 2.0 {
        return Err("the sun is down".into());
    }
    Ok(beam_ratio(lat, sun.declination_rad, hour, tilt, facing).into())
}

/// The book's own mean (Klein's ratio where the plane faces the equator, the exact one elsewhere), with the sum of
/// the program's hours beside it.
fn tilted(q: Question) -> Asked {
    let (lat, sun) = (latitude(q)?, Sun::of(q)?);
    let (tilt, facing) = plane(q, lat)?;
    let (day_mj, albedo) = (q.number(&["H_MJ"])?, q.number(&["ground_albedo"])?);
    let h0_wh_m2 = sun.daily_wh_m2(lat);
    let day = DayShape::new(lat.to_degrees(), sun.declination_rad, h0_wh_m2);
    let k = day_mj / 0.0036 / h0_wh_m2;
    let diffuse = day_mj * diffuse_share_month(k, day.sunset_rad());
    let to_equator = (facing.to_degrees() - equator_facing_deg(lat.to_degrees())).abs() < 1e-9;
    let ratio = if to_equator {
        beam_ratio_day_klein(lat, sun.declination_rad, tilt)
    } else {
        beam_ratio_day(lat, sun.declination_rad, tilt, facing)
    };
    let mean = isotropic_tilted(day_mj - diffuse, diffuse, ratio, tilt, albedo);
    let hours_wh_m2: f64 = day
        .plane(tilt.to_degrees(), facing.to_degrees(), albedo)
        .hours_wh_m2(&day.expected_sky(k))
        .iter()
        .sum();
    Ok(Answer {
        figures: vec![mean],
        remark: Some(format!(
            "by the month's mean ratio {mean:.2}, by our hours {:.2} {}",
            hours_wh_m2 * 0.0036,
            q.unit()
        )),
    })
}
