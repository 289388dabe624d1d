//! A stay at a place of its own changes its own days and no others, whatever the place.

use super::STARTS;
use larder::plan::{DayKind, Plan, Stay};
use larder::report::YearHour;
use larder::{link, place::equatorward_deg};
use proptest::prelude::*;

fn hours(plan: &Plan) -> Vec<YearHour> {
    larder::year_hours(&larder::import(plan).unwrap())
}

/// The date of a day of 2027, counted from 1.
fn date(nth: u32) -> String {
    let (mut month, mut day) = (1, nth.min(365));
    for length in [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30] {
        if day <= length {
            break;
        }
        day -= length;
        month += 1;
    }
    format!("2027-{month:02}-{day:02}")
}

/// A start without figures of its own for its place, with a stay from a day of 2027 on.
fn with_stay(start: usize, from: u32, days: u32, place: Option<(f64, f64)>) -> Plan {
    let mut plan = link::from_text(STARTS[start].1).unwrap();
    plan.living.outdoors_c = [None; 12];
    plan.living.swing_k = None;
    plan.sun.peak_sun_hours = [None; 12];
    plan.living.stays = vec![Stay {
        id: 901,
        kind: DayKind::Parked,
        from: date(from),
        to: date(from + days - 1),
        lat: place.map(|(lat, _)| lat),
        lon: place.map(|(_, lon)| lon),
        ..Stay::default()
    }];
    plan
}

/// The same rig with its home at that place.
fn at_home_there(plan: &Plan, (lat, lon): (f64, f64)) -> Plan {
    let mut there = plan.clone();
    let turned = equatorward_deg(plan.living.lat) != equatorward_deg(lat);
    for panel in &mut there.sun.panels {
        let azimuth = panel.azimuth.unwrap_or(equatorward_deg(plan.living.lat));
        panel.azimuth = Some(if turned { 180.0 - azimuth } else { azimuth });
        // A shadow by the clock would fall at other hours.
        panel.shading = 0.0;
    }
    let living = &mut there.living;
    (living.lat, living.lon, living.elevation_m) = (lat, lon, None);
    living.utc_offset_h = (lon / 15.0).round();
    (living.summer_h, living.summer_from, living.summer_to) = (0.0, 0, 0);
    living.stays[0].lat = None;
    living.stays[0].lon = None;
    there
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn a_stay_elsewhere_changes_its_own_days_alone(
        start in 0usize..3, from in 1u32..330, days in 1u32..90, lat in -75.0..75.0f64, lon in -179.0..179.0f64,
    ) {
        let place = (lat, lon);
        let mut away = with_stay(start, from, days, Some(place));
        for panel in &mut away.sun.panels {
            panel.shading = 0.0;
        }
        let mut home = away.clone();
        (home.living.stays[0].lat, home.living.stays[0].lon) = (None, None);
        // What a meter measured is of the month that matters, wherever that is.
        (away.meter.used, home.meter.used) = (false, false);
        let there = hours(&at_home_there(&away, place));
        let (away, home) = (hours(&away), hours(&home));
        prop_assert_eq!(away.len(), home.len());
        for ((now, before), there) in away.iter().zip(&home).zip(&there) {
            let day = u32::from(now.day);
            if (from..from + days).contains(&day) {
                prop_assert_eq!(now.sun_w, there.sun_w, "day {}", day);
                prop_assert_eq!(now.use_w, there.use_w, "day {}", day);
            } else {
                prop_assert_eq!((now.sun_w, now.use_w), (before.sun_w, before.use_w), "day {}", day);
            }
            prop_assert_eq!(now.kind, before.kind);
        }
    }
}
