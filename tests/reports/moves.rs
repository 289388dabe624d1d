//! A year in three places, worked by hand: sun, air, clock, facing and short days of its months.

use super::{near, plan};
use larder::place::Clock;
use larder::plan::{BatteryPlace, DayKind, Load, Panel, Plan, Stay, Stretch, Way};
use std::f64::consts::PI;

const WATTS: f64 = 200.0;
const LOSSES: f64 = 0.1;
const EFFICIENCY: f64 = 0.95;

/// A place of the year: name, position [°], height [m] and clock.
struct There {
    name: &'static str,
    lat: f64,
    lon: f64,
    height_m: f64,
    clock: Clock,
}

const HEREFORD: There = There {
    name: "Hereford",
    lat: 52.05,
    lon: -2.7,
    height_m: 60.0,
    clock: Clock {
        standard_h: 0.0,
        forward_h: 1.0,
        summer: (4, 10),
    },
};
const GRANADA: There = There {
    name: "Granada",
    lat: 37.2,
    lon: -3.6,
    height_m: 690.0,
    clock: Clock {
        standard_h: 1.0,
        forward_h: 1.0,
        summer: (4, 10),
    },
};
const TROMSO: There = There {
    name: "Tromso",
    lat: 69.65,
    lon: 18.95,
    height_m: 10.0,
    clock: Clock {
        standard_h: 1.0,
        forward_h: 1.0,
        summer: (4, 10),
    },
};

/// A level panel whose cells don't feel the warmth, behind a controller that limits nothing, and a load that always runs.
fn at(home: &There) -> Plan {
    let mut plan = plan("orchard-van");
    plan.loads = vec![Load {
        id: 1,
        name: "fan".into(),
        draw: 20.0,
        way: Way::Always,
        ..plan.loads[0].clone()
    }];
    plan.loads[0].count = 1.0;
    plan.loads[0].months.clear();
    plan.loads[0].supply = larder::plan::Supply::Dc;
    plan.loads[0].draw_unit = larder::plan::DrawUnit::W;
    plan.meter.used = false;
    plan.alternator.fitted = false;
    plan.shore.fitted = false;
    plan.sun.fitted = true;
    plan.sun.panels = vec![Panel {
        id: 50,
        watts: WATTS,
        tilt: 0.0,
        shading: 0.0,
        ..Panel::default()
    }];
    plan.sun.losses = LOSSES;
    plan.sun.temp_coefficient = 0.0;
    plan.sun.controller = larder::plan::ControllerKind::Tracking;
    plan.sun.controller_a = 100.0;
    plan.sun.controller_efficiency = EFFICIENCY;
    plan.sun.peak_sun_hours = [None; 12];
    plan.sun.sunniness = larder::plan::Sunniness::About;
    let living = &mut plan.living;
    living.place = home.name.into();
    (living.lat, living.lon) = (home.lat, home.lon);
    living.elevation_m = Some(home.height_m);
    living.utc_offset_h = home.clock.standard_h;
    living.summer_h = home.clock.forward_h;
    (living.summer_from, living.summer_to) = home.clock.summer;
    living.outdoors_c = [None; 12];
    living.swing_k = None;
    living.battery_place = BatteryPlace::Own;
    living.battery_c = 25.0;
    living.starts = "2027-01-01".into();
    living.month = 0;
    living.rhythm = vec![Stretch {
        id: 90,
        kind: DayKind::Parked,
        days: 1.0,
    }];
    plan
}

fn stay(id: u32, there: &There, from: &str, to: &str) -> Stay {
    Stay {
        id,
        kind: DayKind::Parked,
        from: from.into(),
        to: to.into(),
        place: there.name.into(),
        lat: Some(there.lat),
        lon: Some(there.lon),
        elevation_m: Some(there.height_m),
        utc_offset_h: Some(there.clock.standard_h),
        summer_h: there.clock.forward_h,
        summer_from: there.clock.summer.0,
        summer_to: there.clock.summer.1,
    }
}

/// Home in Hereford; from 11 January to 28 February near Granada, all of December near Tromsø.
fn moving() -> Plan {
    let mut plan = at(&HEREFORD);
    plan.living.stays = vec![
        stay(91, &GRANADA, "2027-01-11", "2027-02-28"),
        stay(92, &TROMSO, "2027-12-01", "2027-12-31"),
    ];
    plan
}

/// Spencer (1971): the year's angle, declination and distance factor of a day of the year.
fn spencer(day: f64) -> (f64, f64) {
    let b = 2.0 * PI * (day - 1.0) / 365.0;
    let declination = 0.006918 - 0.399912 * b.cos() + 0.070257 * b.sin()
        - 0.006758 * (2.0 * b).cos()
        + 0.000907 * (2.0 * b).sin()
        - 0.002697 * (3.0 * b).cos()
        + 0.00148 * (3.0 * b).sin();
    let distance = 1.00011
        + 0.034221 * b.cos()
        + 0.00128 * b.sin()
        + 0.000719 * (2.0 * b).cos()
        + 0.000077 * (2.0 * b).sin();
    (declination, distance)
}

/// The equation of time [min], Spencer (1971) as Duffie & Beckman eq. 1.5.3.
fn equation_of_time_min(day: f64) -> f64 {
    let b = 2.0 * PI * (day - 1.0) / 365.0;
    229.2
        * (0.000075 + 0.001868 * b.cos()
            - 0.032077 * b.sin()
            - 0.014615 * (2.0 * b).cos()
            - 0.04089 * (2.0 * b).sin())
}

/// Extraterrestrial irradiation on level ground, the mean over a month's days [kWh/m² a day]. Duffie & Beckman eq. 1.10.3.
fn h0(lat_deg: f64, month: usize) -> f64 {
    const DAYS: [usize; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let first: usize = DAYS[..month].iter().sum();
    let phi = lat_deg.to_radians();
    let sum: f64 = (0..DAYS[month])
        .map(|nth| {
            let (delta, distance) = spencer((first + nth + 1) as f64);
            let ws = (-phi.tan() * delta.tan()).clamp(-1.0, 1.0).acos();
            let along = phi.cos() * delta.cos() * ws.sin() + ws * phi.sin() * delta.sin();
            24.0 / PI * 1.361 * distance * along
        })
        .sum();
    sum / DAYS[month] as f64
}

/// Clearness and air of a place by month, from the compiled-in tables.
fn tables(there: &There) -> ([f64; 12], [f64; 12]) {
    let site = larder::solar::Site {
        lat_deg: there.lat,
        lon_deg: there.lon,
    };
    let air = larder::solar::Air::of(site).means_c(Some(there.height_m));
    (larder::solar::clearness(site).k, air.map(f64::round))
}

#[test]
fn the_months_of_a_year_in_three_places_are_those_of_their_days() {
    let report = larder::assess(&moving()).expect("sound");
    let (home, south, north) = (tables(&HEREFORD), tables(&GRANADA), tables(&TROMSO));
    for (month, found) in report.months.iter().enumerate() {
        // Ten days of January at home, twenty-one in the south; February in the south, December in the north.
        let parts: Vec<(f64, &There, &([f64; 12], [f64; 12]))> = match month {
            0 => vec![
                (10.0 / 31.0, &HEREFORD, &home),
                (21.0 / 31.0, &GRANADA, &south),
            ],
            1 => vec![(1.0, &GRANADA, &south)],
            11 => vec![(1.0, &TROMSO, &north)],
            _ => vec![(1.0, &HEREFORD, &home)],
        };
        let mean = |of: &dyn Fn(&There, &([f64; 12], [f64; 12])) -> f64| -> f64 {
            parts
                .iter()
                .map(|(share, there, tables)| share * of(there, tables))
                .sum()
        };
        let hours = mean(&|there, (k, _)| k[month] * h0(there.lat, month));
        let air = mean(&|_, (_, air)| air[month]);
        near(
            "peak sun hours",
            found.peak_sun_hours,
            hours,
            2e-3 * hours + 1e-9,
        );
        near("outdoors", found.outdoors_c, air, 1e-9);
        // A level panel takes what falls on level ground.
        let sun_wh = WATTS * hours * (1.0 - LOSSES) * EFFICIENCY;
        near("sun", found.sun_wh, sun_wh, 3e-3 * sun_wh + 1e-9);
        near("left", found.left_wh, sun_wh - 480.0, 3e-3 * sun_wh + 1e-9);
        let named: Vec<(&str, u32)> = found
            .places
            .iter()
            .map(|at| (at.place.as_str(), at.days))
            .collect();
        match month {
            0 => assert_eq!(named, [("Granada", 21), ("Hereford", 10)]),
            1 => assert_eq!(named, [("Granada", 28)]),
            11 => assert_eq!(named, [("Tromso", 31)]),
            _ => assert_eq!(named.len(), 1),
        }
    }
    // Nothing comes in up there in December: it is the hardest month.
    assert_eq!(report.month, 12);
    assert_eq!(report.months[11].sun_wh, 0.0);
}

#[test]
fn noon_comes_by_the_clock_of_the_place() {
    let plan = moving();
    let hours = larder::year_hours(&larder::import(&plan).expect("sound"));
    // The middle of a day's sun, by the clock [h].
    let noon = |day: usize| {
        let of_day: Vec<f64> = hours[day * 24..day * 24 + 24]
            .iter()
            .map(|hour| hour.sun_w)
            .collect();
        let all: f64 = of_day.iter().sum();
        let moment = of_day
            .iter()
            .enumerate()
            .map(|(hour, w)| (hour as f64 + 0.5) * w);
        moment.sum::<f64>() / all
    };
    // Solar noon by the clock: 12 h + offset − longitude/15 − equation of time, that of the month's middle day.
    for (day, there, ahead_h, middle) in [
        (4, &HEREFORD, 0.0, 17.0),
        (20, &GRANADA, 1.0, 17.0),
        (50, &GRANADA, 1.0, 47.0),
        (180, &HEREFORD, 1.0, 162.0),
    ] {
        let by_hand = 12.0 + ahead_h - there.lon / 15.0 - equation_of_time_min(middle) / 60.0;
        near("noon by the clock", noon(day), by_hand, 0.06);
    }
}

#[test]
fn a_month_without_sun_runs_short_from_the_day_on_which_the_bank_is_empty() {
    let mut plan = moving();
    // 12 W all day is 288 Wh; 600 W of level panel brings 400 Wh on a mean day of Hereford's November, and far more from March on.
    plan.loads[0].draw = 12.0;
    plan.sun.panels[0].watts = 600.0;
    // 2 × 100 Ah of lithium iron phosphate: a single well, so that hours follow from charge over current.
    let row = plan.candidates.iter().find(|row| row.id == plan.chosen);
    let mut row = row.expect("chosen").clone();
    row.chemistry = larder::plan::Chemistry::LithiumIronPhosphate;
    row.capacity_ah = 100.0;
    row.rate_h = 20.0;
    row.series = 1.0;
    row.parallel = 2.0;
    row.age_years = 0.0;
    plan.candidates = vec![row];
    let year = larder::year(&plan).expect("sound");
    let found = &year.banks[0];
    let hours = larder::year_hours(&larder::import(&plan).expect("sound"));
    // What it enters December with, and what is left when the loads are cut.
    let december = 334;
    let (enters, cut) = (
        hours[december * 24 - 1].soc,
        found.lowest_soc.iter().copied().fold(1.0, f64::min),
    );
    // 12 W at 13.1 V, the mean of a bank of lithium iron phosphate at rest: 0.92 A. Its own loss, some 3 % a month, is left out.
    let lasts_days = (enters - cut) * 200.0 / (12.0 / 13.1) / 24.0;
    let short = 31 - lasts_days as u32;
    println!(
        "from {enters:.3} to {cut:.3}: {lasts_days:.1} days; {} of 31 short",
        found.short_by_month[11]
    );
    assert!((6.0..9.0).contains(&lasts_days));
    assert!(found.short_by_month[11].abs_diff(short) <= 1, "{short}");
    let first = december + lasts_days as usize + 2;
    assert!(found.unserved_wh[first..].iter().all(|wh| *wh > 0.0));
    // Anywhere else it lasts.
    assert_eq!(found.short_days, found.short_by_month[11]);
    let weakest = larder::typical_year(&plan)
        .expect("sound")
        .weakest()
        .expect("three places");
    assert_eq!((weakest.stay, weakest.days), (Some(92), 31));
    assert_eq!(weakest.short_days, found.short_by_month[11]);
    // December in Granada: 600 W × 2.3 h × 0.855 is four times what runs.
    let granada = weakest.instead.iter().find(|at| at.place == "Granada");
    assert_eq!(granada.expect("one of the places").year_short_days, 0);
}

#[test]
fn panels_are_turned_round_on_the_other_side_of_the_equator() {
    // Mirror images: a tilted panel at 37.2° north facing 135°, and at 37.2° south; the sun of the month half a year later, by the
    // same clearness. There is no table that is the same on both sides, so the ratio of tilted to level sun is compared.
    let ratio = |lat: f64, azimuth: f64, stays: bool| {
        let mut plan = at(&HEREFORD);
        if stays {
            let there = There {
                lat,
                lon: 145.0,
                ..GRANADA
            };
            plan.living.stays = vec![stay(91, &there, "2027-01-01", "2027-12-31")];
        } else {
            (plan.living.lat, plan.living.lon) = (lat, 145.0);
            plan.living.elevation_m = Some(GRANADA.height_m);
            plan.living.utc_offset_h = GRANADA.clock.standard_h;
        }
        plan.sun.panels[0].tilt = 40.0;
        plan.sun.panels[0].azimuth = Some(azimuth);
        larder::assess(&plan).expect("sound").months.map_sun()
    };
    // Facing south-east at home is north-east there, as if it were the home with 45°.
    let (by_stay, as_home) = (ratio(-37.2, 135.0, true), ratio(-37.2, 45.0, false));
    for (stay, home) in by_stay.iter().zip(&as_home) {
        near(
            "sun of a tilted panel in the south",
            *stay,
            *home,
            1e-9 * home,
        );
    }
    // On the home's own side it stays as it is.
    let (by_stay, as_home) = (ratio(37.2, 135.0, true), ratio(37.2, 135.0, false));
    for (stay, home) in by_stay.iter().zip(&as_home) {
        near(
            "sun of a tilted panel in the north",
            *stay,
            *home,
            1e-9 * home,
        );
    }
}

/// The sun of each month [Wh a day].
trait MonthsSun {
    fn map_sun(&self) -> Vec<f64>;
}

impl MonthsSun for Vec<larder::report::Month> {
    fn map_sun(&self) -> Vec<f64> {
        self.iter().map(|month| month.sun_wh).collect()
    }
}

#[test]
fn stays_at_the_homes_own_position_change_nothing() {
    let mut plain = plan("orchard-van");
    plain.living.elevation_m = Some(60.0);
    plain.living.stays = vec![
        Stay {
            id: 91,
            from: "2027-01-11".into(),
            to: "2027-02-28".into(),
            ..Stay::default()
        },
        Stay {
            id: 92,
            kind: DayKind::HookedUp,
            from: "2027-08-01".into(),
            to: "2027-08-20".into(),
            ..Stay::default()
        },
    ];
    let mut named = plain.clone();
    for stay in &mut named.living.stays {
        stay.place = "the home".into();
        (stay.lat, stay.lon) = (Some(named.living.lat), Some(named.living.lon));
        stay.elevation_m = named.living.elevation_m;
    }
    // As a position alone it is the home, too.
    named.living.stays[1].elevation_m = None;
    let whole = |plan: &Plan| {
        let inputs = larder::import(plan).expect("sound");
        let year = larder::typical_year(plan).expect("sound");
        let drawn = larder::Chances::new(&inputs).draw(0, 0..40);
        let said = format!(
            "{:?} {:?} {:?}",
            larder::evaluate(&inputs),
            year.report(),
            year.lasting()
        );
        (said, drawn, year.weakest())
    };
    assert!(whole(&plain) == whole(&named));
}

#[test]
fn a_stay_whose_place_is_half_known_is_refused_with_what_would_do() {
    type Change = fn(&mut Stay);
    let wrong: [(Change, &str, &str); 5] = [
        (
            |stay| stay.lat = None,
            "place",
            "“Granada” has no latitude.",
        ),
        (
            |stay| (stay.lat, stay.lon) = (None, None),
            "place",
            "“Granada” has no position.",
        ),
        (
            |stay| {
                stay.place.clear();
                stay.lon = None;
            },
            "place",
            "This stay's place has no longitude.",
        ),
        (
            |stay| stay.lat = Some(91.0),
            "lat",
            "The latitude can't be 91°.",
        ),
        (
            |stay| stay.summer_from = 13,
            "summer_from",
            "Month 13 isn't one.",
        ),
    ];
    for (change, field, says) in wrong {
        let mut plan = moving();
        change(&mut plan.living.stays[0]);
        let faults = larder::assess(&plan).expect_err(says);
        assert!(
            faults.iter().any(
                |fault| fault.field == format!("living/stays/91/{field}") && fault.says == says
            ),
            "{says}: {faults:?}"
        );
    }
    let mut many = moving();
    many.living.stays = (0..27)
        .map(|nth| {
            let there = There {
                lat: f64::from(nth),
                ..GRANADA
            };
            stay(200 + nth as u32, &there, "2027-03-01", "2027-03-02")
        })
        .collect();
    let faults = larder::assess(&many).expect_err("27 places");
    assert_eq!(faults[0].says, "27 places are too many for one year.");
}
