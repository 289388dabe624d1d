//! How one lives: place, rhythm, dates, warmth.

use super::Check;
use crate::energy::DayKind;
use crate::inputs::{BatteryAir, Living, Place, Stay};
use crate::place::Clock;
use crate::plan::{self, BatteryPlace};
use crate::solar::{self, Site};
use crate::units::Quantity;
use chrono::{Datelike, Months, NaiveDate};

pub(super) fn living(check: &mut Check<'_>, row: &plan::Living) -> Living {
    let site = Site {
        lat_deg: check.number(
            "living/lat",
            "The latitude",
            Quantity::Angle,
            row.lat,
            -90.0,
            90.0,
        ),
        lon_deg: check.number(
            "living/lon",
            "The longitude",
            Quantity::Angle,
            row.lon,
            -180.0,
            180.0,
        ),
    };
    for (field, month) in [
        ("living/month", row.month),
        ("living/summer_from", row.summer_from),
        ("living/summer_to", row.summer_to),
    ] {
        if month > 12 {
            check.refuse(
                field,
                format!("Month {month} isn't one."),
                "Choose one from 1 to 12, or 0 for none.",
            );
        }
    }
    let clock = Clock {
        standard_h: check.number(
            "living/utc_offset_h",
            "The clock's offset",
            Quantity::Number,
            row.utc_offset_h,
            -14.0,
            14.0,
        ),
        forward_h: check.number(
            "living/summer_h",
            "What summer time adds",
            Quantity::Number,
            row.summer_h,
            0.0,
            2.0,
        ),
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
    let elevation_m = row.elevation_m.map(|height_m| {
        check.number(
            "living/elevation_m",
            "The height above the sea",
            Quantity::Height,
            height_m,
            -430.0,
            8850.0,
        )
    });
    let table = solar::Air::of(site);
    let mut outdoors_c = table.means_c(elevation_m).map(f64::round);
    for (month, (mean, own)) in outdoors_c.iter_mut().zip(&row.outdoors_c).enumerate() {
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
    let own_swing_k = row.swing_k.map(|own| {
        check.number(
            "living/swing_k",
            "The daily swing",
            Quantity::Warmth,
            own,
            0.0,
            40.0,
        )
    });
    let (starts, stays) = dates(check, row);
    let home = Place {
        name: String::new(),
        site,
        elevation_m,
        clock_ahead_h: clock.offsets_h(),
        outdoors_c,
        outdoors_from_table: row.outdoors_c.iter().filter(|own| own.is_none()).count(),
        swing_k: own_swing_k.map_or(table.swing_k.map(f64::round), |own| [own; 12]),
    };
    Living {
        home,
        elsewhere: Vec::new(),
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
                kind: stay.kind,
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
