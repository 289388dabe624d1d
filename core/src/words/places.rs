//! A plan of several places in words: where a month is spent, where the year is weakest, what another place would change.

use super::{count, month, percent};
use crate::report::{DaysAt, Instead, Weakest};
use crate::units::read_date;
use chrono::Datelike;

/// Where the days of a month are spent: "Bergen", or "Bergen 20, Granada 11" by days.
pub fn month_places(places: &[DaysAt]) -> String {
    match places {
        [one] => one.place.clone(),
        several => {
            let each = several.iter().map(|at| format!("{} {}", at.place, at.days));
            each.collect::<Vec<_>>().join(", ")
        }
    }
}

/// "12 August", and the month alone.
fn day(text: &str) -> (String, &'static str) {
    let date = read_date(text).unwrap_or_default();
    let month = month(date.month() as u8);
    (format!("{} {month}", date.day()), month)
}

/// The stay or month at which a year of several places is weakest, and what another place would change.
pub fn weakest(found: &Weakest) -> String {
    let ((from, month), (to, _)) = (day(&found.from), day(&found.to));
    let span = match found.stay {
        Some(_) if from == to => format!("{from} near {}", found.place),
        Some(_) => format!("{from} to {to} near {}", found.place),
        None => format!("{month} near {}", found.place),
    };
    if found.short_days == 0 {
        let lowest = percent(found.lowest_soc);
        return format!("No short days at any place. Lowest charge: {lowest}, {span}.");
    }
    let year = |at: &Instead| format!("near {}: {}", at.place, at.year_short_days);
    let instead: Vec<String> = found.instead.iter().map(year).collect();
    format!(
        "Weakest: {span}, {} of {} short, {} in the year. Short days in the year with these days {}.",
        found.short_days,
        count(found.days as usize, "day", "days"),
        found.year_short_days,
        instead.join("; ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_weakest_stay_is_said_with_what_other_places_would_change() {
        let mut found = Weakest {
            stay: Some(3),
            place: "Bergen".into(),
            from: "2027-06-01".into(),
            to: "2027-06-30".into(),
            days: 30,
            short_days: 9,
            lowest_soc: 0.2,
            year_short_days: 11,
            instead: vec![
                Instead {
                    place: "Granada".into(),
                    year_short_days: 2,
                },
                Instead {
                    place: "Hereford".into(),
                    year_short_days: 5,
                },
            ],
        };
        assert_eq!(
            weakest(&found),
            "Weakest: 1 June to 30 June near Bergen, 9 of 30 days short, 11 in the year. Short days in the year with these \
             days near Granada: 2; near Hereford: 5."
        );
        found.stay = None;
        found.short_days = 0;
        assert_eq!(
            weakest(&found),
            "No short days at any place. Lowest charge: 20 %, June near Bergen."
        );
    }
}
