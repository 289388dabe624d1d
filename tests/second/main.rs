//! Writes random skies and random discharges with the core's answers, for `sky.py` and `wells.py` to work out again by
//! libraries that know nothing of it.

use amp_larder_tests::Seeded;
use larder::battery::{Step, Wells};
use larder::solar::geometry::{
    SOLAR_CONSTANT_W_M2, cos_zenith, daily_extraterrestrial_wh_m2, declination_spencer_rad,
    distance_factor_spencer, equation_of_time_min, spencer_day,
};
use larder::solar::plane::{beam_ratio, cos_incidence, isotropic_tilted};
use larder::solar::sky::diffuse_share_hour;
use larder::solar::{DayShape, Facing, Latitude};
use serde_json::{Value, json};
use std::path::Path;

fn write(name: &str, cases: Vec<Value>) {
    let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&file, Value::from(cases).to_string()).expect("written");
    println!("{}", file.display());
}

/// One hour's sky at a random place and moment, on a random plane.
fn sky(draw: &mut Seeded) -> Value {
    let lat_deg = draw.within(-66.0, 66.0);
    let day = draw.within(1.0, 366.0).floor();
    let hour = draw.within(0.0, 24.0);
    let (tilt_deg, facing_deg, albedo) = (
        draw.within(0.0, 90.0),
        draw.within(0.0, 360.0),
        draw.within(0.0, 0.6),
    );
    let clearness = draw.within(0.02, 0.95);
    let rad = f64::to_radians;
    let declination = declination_spencer_rad(day);
    let turn = rad((hour - 12.0) * 15.0);
    let up = cos_zenith(rad(lat_deg), declination, turn);
    let extra = SOLAR_CONSTANT_W_M2 * distance_factor_spencer(day);
    let global = clearness * extra * up.max(0.0);
    let diffuse = global * diffuse_share_hour(clearness);
    let ratio = beam_ratio(
        rad(lat_deg),
        declination,
        turn,
        rad(tilt_deg),
        rad(facing_deg),
    );
    json!({
        "lat_deg": lat_deg, "day": day, "hour": hour, "tilt_deg": tilt_deg, "facing_deg": facing_deg, "albedo": albedo,
        "clearness": clearness, "declination_rad": declination, "equation_of_time_min": equation_of_time_min(day),
        "extra_w_m2": extra, "cos_zenith": up, "global_w_m2": global, "diffuse_w_m2": diffuse,
        "cos_incidence": cos_incidence(rad(lat_deg), declination, turn, rad(tilt_deg), rad(facing_deg)),
        "tilted_w_m2": isotropic_tilted(global - diffuse, diffuse, ratio, rad(tilt_deg), albedo),
        "day_wh_m2": daily_extraterrestrial_wh_m2(rad(lat_deg), declination, distance_factor_spencer(day), SOLAR_CONSTANT_W_M2),
    })
}

/// Where the sun stands at a moment of universal time in 2023 on the zero meridian.
fn position(draw: &mut Seeded) -> Value {
    let (lat_deg, day, hour) = (
        draw.within(-66.0, 66.0),
        draw.within(1.0, 366.0).floor(),
        draw.within(0.0, 24.0),
    );
    let moment = spencer_day(2023, day, hour);
    let solar_h = hour + equation_of_time_min(moment) / 60.0;
    let up = cos_zenith(
        lat_deg.to_radians(),
        declination_spencer_rad(moment),
        ((solar_h - 12.0) * 15.0).to_radians(),
    );
    json!({ "lat_deg": lat_deg, "day": day, "hour": hour, "cos_zenith": up })
}

/// The beam ratios of a day's hours, each an exact mean.
fn hours(draw: &mut Seeded) -> Value {
    let (lat_deg, tilt_deg, facing_deg) = (
        draw.within(-66.0, 66.0),
        draw.within(0.0, 90.0),
        draw.within(0.0, 360.0),
    );
    let day = draw.within(1.0, 366.0).floor();
    let place = Latitude::from_deg(lat_deg);
    let facing = Facing::new(place, tilt_deg.to_radians(), facing_deg.to_radians());
    let plane = DayShape::of_day(place, day as usize).seen_by(&facing, 0.0);
    json!({
        "lat_deg": lat_deg, "day": day, "tilt_deg": tilt_deg, "facing_deg": facing_deg,
        "declination_rad": declination_spencer_rad(day), "beam_ratio": plane.beam_ratio.to_vec(),
    })
}

/// Two wells under random currents, an hour each, some charging.
fn discharge(draw: &mut Seeded) -> Value {
    let wells = Wells {
        c: draw.within(0.15, 0.95),
        k_per_h: 10f64.powf(draw.within(-2.0, 0.8)),
        q_max_ah: draw.within(40.0, 400.0),
    };
    let mut state = wells.level(wells.q_max_ah * draw.within(0.5, 0.9));
    let start = state;
    let step = Step::new(&wells, 1.0);
    let (mut currents, mut available, mut bound) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..48 {
        let current = draw.within(
            -0.8 * step.most_charge_a(state),
            0.8 * step.most_discharge_a(state),
        );
        state = step.advance(state, current);
        currents.push(current);
        available.push(state.available_ah);
        bound.push(state.bound_ah());
    }
    json!({
        "c": wells.c, "k_per_h": wells.k_per_h, "q_max_ah": wells.q_max_ah,
        "start": [start.available_ah, start.bound_ah()], "currents": currents, "available": available, "bound": bound,
    })
}

#[test]
fn random_skies_and_discharges_are_written() {
    let mut draw = Seeded(20);
    write("skies.json", (0..1500).map(|_| sky(&mut draw)).collect());
    write(
        "positions.json",
        (0..500).map(|_| position(&mut draw)).collect(),
    );
    write("hours.json", (0..100).map(|_| hours(&mut draw)).collect());
    write(
        "wells.json",
        (0..60).map(|_| discharge(&mut draw)).collect(),
    );
}
