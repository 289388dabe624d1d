//! How one lives: place, rhythm, dates, warmth.

use super::Check;
use crate::energy::DayKind;
use crate::inputs::{BatteryAir, Living, Place, Stay};
use crate::place::{Clock, show_position};
use crate::plan::{self, BatteryPlace};
use crate::solar::{self, Site};
use crate::units::Quantity;
use crate::words::echo;
use chrono::{Datelike, Months, NaiveDate};

pub(super) fn living(check: &mut Check<'_>, row: &plan::Living) -> Living {
    if row.month > 12 {
        check.refuse_month("living/month", row.month);
    }
    let home = Where {
        at: "living".to_owned(),
        site: (row.lat, row.lon),
        elevation_m: row.elevation_m,
        standard_h: row.utc_offset_h,
        forward_h: row.summer_h,
        summer: (row.summer_from, row.summer_to),
    };
    let mut days = [0.0f64; 4];
    let mut rhythm = Vec::new();
    for stretch in &row.rhythm {
        let field = format!("living/rhythm/{}/days", stretch.id);
        let held = check.count(&field, "A stretch of days", stretch.days, 0, 366);
        if let Some(sum) = days.get_mut(stretch.kind.index()) {
            *sum += f64::from(held);
        }
        rhythm.push((stretch.kind, held));
    }
    let sum: f64 = days.iter().sum();
    if sum <= 0.0 {
        check.refuse(
            "living",
            "The rhythm has no days.",
            "Add at least one day of some kind.",
        );
    }
    let mut home = home.place(check, called(&row.place, row.lat, row.lon));
    for (month, (mean, own)) in home.outdoors_c.iter_mut().zip(&row.outdoors_c).enumerate() {
        if let Some(own) = own {
            let field = format!("living/outdoors_c/{}", month + 1);
            *mean = check.number(
                &field,
                "A mean temperature",
                Quantity::Temperature,
                *own,
                -60.0,
                50.0,
            );
        }
    }
    home.outdoors_from_table = row.outdoors_c.iter().filter(|own| own.is_none()).count();
    if let Some(own) = row.swing_k {
        let own_k = check.number(
            "living/swing_k",
            "The daily swing",
            Quantity::Warmth,
            own,
            0.0,
            40.0,
        );
        home.swing_k = [own_k; 12];
    }
    let (starts, mut stays) = dates(check, row);
    let elsewhere = elsewhere(check, row, &home, &mut stays);
    Living {
        home,
        elsewhere,
        clearer: 1.0,
        starts,
        stays,
        month: usize::from(row.month.clamp(1, 12) - 1),
        rhythm: if rhythm.iter().all(|(_, days)| *days == 0) {
            vec![(DayKind::Parked, 1)]
        } else {
            rhythm
        },
        shares: days.map(|days| if sum > 0.0 { days / sum } else { 0.25 }),
        cabin_c: check.number(
            "living/cabin_c",
            "The cabin's warmth",
            Quantity::Temperature,
            row.cabin_c,
            -30.0,
            40.0,
        ),
        battery_air: match row.battery_place {
            BatteryPlace::Cabin => BatteryAir::Cabin,
            BatteryPlace::Outdoors => BatteryAir::Outdoors,
            BatteryPlace::Between => BatteryAir::Between,
            BatteryPlace::Own => BatteryAir::Own(check.number(
                "living/battery_c",
                "The batteries' temperature",
                Quantity::Temperature,
                row.battery_c,
                -60.0,
                70.0,
            )),
        },
    }
}

/// A place as the plan has it.
struct Where {
    /// The part or row that holds it.
    at: String,
    site: (f64, f64),
    elevation_m: Option<f64>,
    standard_h: f64,
    forward_h: f64,
    summer: (u8, u8),
}

impl Where {
    /// The place of the climate tables, its figures in range.
    fn place(&self, check: &mut Check<'_>, name: String) -> Place {
        let field = |name: &str| format!("{}/{name}", self.at);
        let mut number = |name: &str, what: &str, quantity: Quantity, value: f64, most: f64| {
            check.number(&field(name), what, quantity, value, -most, most)
        };
        let (lat, lon) = self.site;
        let site = Site {
            lat_deg: number("lat", "The latitude", Quantity::Angle, lat, 90.0),
            lon_deg: number("lon", "The longitude", Quantity::Angle, lon, 180.0),
        };
        let (from, to) = self.summer;
        for (name, month) in [("summer_from", from), ("summer_to", to)] {
            if month > 12 {
                check.refuse_month(&field(name), month);
            }
        }
        let clock = Clock {
            standard_h: check.number(
                &field("utc_offset_h"),
                "The clock's offset",
                Quantity::Number,
                self.standard_h,
                -14.0,
                14.0,
            ),
            forward_h: check.number(
                &field("summer_h"),
                "What summer time adds",
                Quantity::Number,
                self.forward_h,
                0.0,
                2.0,
            ),
            summer: self.summer,
        };
        let elevation_m = self.elevation_m.map(|height_m| {
            check.number(
                &field("elevation_m"),
                "The height above the sea",
                Quantity::Height,
                height_m,
                -430.0,
                8850.0,
            )
        });
        let table = solar::Air::of(site);
        Place {
            name,
            site,
            elevation_m,
            clock_ahead_h: clock.offsets_h(),
            outdoors_c: table.means_c(elevation_m).map(f64::round),
            outdoors_from_table: 12,
            swing_k: table.swing_k.map(f64::round),
        }
    }
}

/// What a place is called: its name, else its position.
fn called(name: &str, lat: f64, lon: f64) -> String {
    match name.trim() {
        "" => show_position(lat, lon),
        name => echo(name),
    }
}

/// The other places of stays, each once; every stay gets the index of its own. A stay at the home's position is at home
/// unless it gives another height.
fn elsewhere(
    check: &mut Check<'_>,
    row: &plan::Living,
    home: &Place,
    stays: &mut [Stay],
) -> Vec<Place> {
    let mut places: Vec<Place> = Vec::new();
    for stay in &row.stays {
        let at = format!("living/stays/{}", stay.id);
        let (Some(lat), Some(lon)) = (stay.lat, stay.lon) else {
            let missing = match (stay.lat, stay.lon) {
                (None, None) => "position",
                (None, _) => "latitude",
                _ => "longitude",
            };
            if !stay.place.trim().is_empty() || missing != "position" {
                let called = match stay.place.trim() {
                    "" => "This stay's place".to_owned(),
                    name => format!("“{}”", echo(name)),
                };
                check.refuse(
                    format!("{at}/place"),
                    format!("{called} has no {missing}."),
                    "Pick a town, type a position such as 48.1, -1.7, or clear the place.",
                );
            }
            continue;
        };
        let name = called(&stay.place, lat, lon);
        let whereabouts = Where {
            at,
            site: (lat, lon),
            elevation_m: stay.elevation_m,
            standard_h: stay
                .utc_offset_h
                .unwrap_or(Clock::of_longitude(lon).standard_h),
            forward_h: stay.summer_h,
            summer: (stay.summer_from, stay.summer_to),
        };
        let found = whereabouts.place(check, name);
        let is_home = found.site == home.site
            && (found.elevation_m.is_none() || found.elevation_m == home.elevation_m);
        let is_as = |other: &Place| {
            other.site == found.site
                && other.elevation_m == found.elevation_m
                && other.clock_ahead_h == found.clock_ahead_h
        };
        let place = if is_home {
            0
        } else if let Some(nth) = places.iter().position(is_as) {
            nth + 1
        } else {
            places.push(found);
            places.len()
        };
        for its in stays.iter_mut().filter(|its| its.id == stay.id) {
            its.place = place;
        }
    }
    if places.len() > MOST_PLACES {
        check.refuse(
            "living/stays",
            format!("{} places are too many for one year.", places.len()),
            format!("Keep {MOST_PLACES} at the most beside the usual one."),
        );
        places.truncate(MOST_PLACES);
    }
    places
}

/// Most places of a year beside the home: one a fortnight. Assumed; each takes as long to make ready as the home.
const MOST_PLACES: usize = 26;

/// The first day of the year and the dated stretches in it.
fn dates(check: &mut Check<'_>, row: &plan::Living) -> (NaiveDate, Vec<Stay>) {
    let mut stays = Vec::new();
    for stay in &row.stays {
        let at = |name: &str| format!("living/stays/{}/{name}", stay.id);
        let from = check.date(&at("from"), &stay.from);
        let to = check.date(&at("to"), &stay.to);
        if let (Some(from), Some(to)) = (from, to) {
            if to < from {
                check.refuse(
                    at("to"),
                    format!("{to} lies before {from}."),
                    "Give the first day first.",
                );
            }
            stays.push(Stay {
                id: stay.id,
                from,
                to,
                kind: Some(stay.kind),
                place: 0,
            });
        }
    }
    let first_stay = stays.iter().map(|stay| stay.from).min();
    let starts = if row.starts.trim().is_empty() {
        let year = first_stay.map_or(COMMON_YEAR, |day| day.year());
        NaiveDate::from_ymd_opt(year, 1, 1)
    } else {
        check.date("living/starts", &row.starts)
    };
    let starts = starts.unwrap_or_default();
    let ends = starts
        .checked_add_months(Months::new(12))
        .unwrap_or(NaiveDate::MAX);
    for Stay { id, from, to, .. } in &stays {
        if *from < starts || *to >= ends {
            check.refuse(
                format!("living/stays/{id}/from"),
                format!("{from} to {to} lies outside the year that starts on {starts}."),
                "Change these days or the first day of the year.",
            );
        }
    }
    (starts, stays)
}

/// A year of 365 days, for plans without a date. Assumed.
const COMMON_YEAR: i32 = 2027;
