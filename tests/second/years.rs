//! Drawn years of twenty plans, for numpy to draw again: all that a bank's year hangs on, the days short that we count, and how
//! long that took. `years 1000` writes JSON for a thousand years of each.

#[path = "../properties/sensible.rs"]
mod sensible;

use larder::Chances;
use larder::battery::Reservoir;
use larder::plan::{Plan, Stay, Sunniness, Supply};
use serde_json::{Value, json};
use std::time::Instant;

const PLANS: usize = 20;
/// Points of the rest voltage, from empty to full.
const POINTS: u32 = 100;

/// A plan of sun and direct current alone.
fn plan(seed: u64) -> Plan {
    let mut plan = sensible::plan(seed);
    plan.alternator.fitted = false;
    plan.shore.fitted = false;
    plan.sun.fitted = true;
    for load in &mut plan.loads {
        load.supply = Supply::Dc;
    }
    plan
}

/// Where plans of odd seeds spend a part of the year: position [°], first and last day.
const ELSEWHERE: [((f64, f64), &str, &str); 2] = [
    ((37.2, -3.6), "2027-01-01", "2027-02-20"),
    ((60.4, 5.3), "2027-05-25", "2027-07-10"),
];

/// The plan with its stays.
fn moving(seed: u64) -> Plan {
    let mut plan = plan(seed);
    if seed.is_multiple_of(2) {
        return plan;
    }
    plan.living.starts = "2027-01-01".into();
    plan.living.stays = ELSEWHERE
        .into_iter()
        .zip(901..)
        .map(|(((lat, lon), from, to), id)| Stay {
            id,
            from: from.into(),
            to: to.into(),
            lat: Some(lat),
            lon: Some(lon),
            ..Stay::default()
        })
        .collect();
    plan
}

/// Clearness of each month at each place of a plan, the home's first: those of plans that stay there.
fn clearness(seed: u64, places: usize) -> Vec<f64> {
    let elsewhere = ELSEWHERE.into_iter().map(|((lat, lon), ..)| {
        let mut there = plan(seed);
        (there.living.lat, there.living.lon) = (lat, lon);
        there.sun.sunniness = Sunniness::About;
        there.sun.peak_sun_hours = [None; 12];
        there
    });
    let homes = std::iter::once(plan(seed)).chain(elsewhere).take(places);
    homes
        .flat_map(|home| larder::assess(&home).expect("sound").months)
        .map(|month| month.clearness)
        .collect()
}

/// What the day's warmth leaves of a bank as it is.
fn tank(tank: &Reservoir) -> Value {
    let wells = tank.wells();
    let share = |nth: u32| f64::from(nth) / f64::from(POINTS);
    json!({
        "c": wells.c, "k": wells.k_per_h, "q_max": wells.q_max_ah, "capacity": tank.capacity_ah(),
        "volts": tank.volts(), "charging_v": tank.charging_v(), "cutoff_v": tank.cutoff_v(),
        "ohm": tank.resistance_ohm(),
        "rest_v": (0..=POINTS).map(|nth| tank.rest_v_at(share(nth))).collect::<Vec<_>>(),
        "efficiency": (0..=POINTS).map(|nth| tank.efficiency_at(share(nth))).collect::<Vec<_>>(),
    })
}

/// What it changes.
fn warmths(tanks: &[Reservoir]) -> Value {
    let each = |of: fn(&Reservoir) -> f64| tanks.iter().map(of).collect::<Vec<_>>();
    json!({
        "most_in": each(Reservoir::most_charge_a), "hard": each(Reservoir::hard_line_ah),
        "reserve": each(Reservoir::reserve_line_ah), "leak": each(Reservoir::leak_share),
    })
}

/// The quickest of three runs [s]: a busy machine only ever slows one down.
fn quickest(run: impl Fn()) -> f64 {
    let times = (0..3).map(|_| {
        let start = Instant::now();
        run();
        start.elapsed().as_secs_f64()
    });
    times.fold(f64::INFINITY, f64::min)
}

fn main() {
    let years: u64 = std::env::args()
        .nth(1)
        .and_then(|years| years.parse().ok())
        .unwrap_or(1000);
    let mut cases = Vec::new();
    for seed in 0..400 {
        let inputs = larder::import(&moving(seed)).expect("sound");
        let chances = Chances::new(&inputs);
        let mean = chances.draw(0, 0..40).mean_days();
        if !(0.5..120.0).contains(&mean) {
            continue;
        }
        let (sky, light, tanks) = chances.ground(0).expect("a bank");
        let places = sky.spread.len() / 12;
        let kinds = |block: u64| sky.kinds(4 * block).collect::<Vec<_>>();
        cases.push(json!({
            "seed": seed, "weather": larder::WEATHER_SEED, "clearness": clearness(seed, places),
            "seasons": sky.days.iter().map(|day| day.season).collect::<Vec<_>>(),
            "stretches": sky.days.iter().map(|day| day.stretch).collect::<Vec<_>>(),
            "scales": sky.days.iter().map(|day| day.scale).collect::<Vec<_>>(),
            "kinds": (0..years.div_ceil(4)).map(kinds).collect::<Vec<_>>(),
            "use_w": sky.draws.iter().map(|draw| draw.direct_w.to_vec()).collect::<Vec<_>>(),
            "light_w": light.0.iter().map(|row| row.to_vec()).collect::<Vec<_>>(),
            "sun_by_warmth": sky.sun_by_warmth, "table_error": sky.table_error,
            "tank": tanks.first().map(tank), "warmths": warmths(tanks),
            "days": chances.draw(0, 0..years).mean_days(),
            "plainly_s": quickest(|| drop(chances.draw_plainly(0, 0..years))),
            "abreast_s": quickest(|| drop(chances.draw(0, 0..years))),
        }));
        if cases.len() == PLANS {
            break;
        }
    }
    println!("{}", json!({ "years": years, "cases": cases }));
}
