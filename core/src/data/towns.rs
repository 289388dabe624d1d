//! Towns to pick a place from.

use super::{rows, search};
use crate::numeric::decimal;
use std::sync::OnceLock;

/// Mean radius of the Earth [km] (IUGG).
const EARTH_KM: f64 = 6371.0;

/// One town.
#[derive(Clone, Debug, PartialEq)]
pub struct Town {
    /// Its name.
    pub name: String,
    /// Its country's English name.
    pub country: String,
    /// Latitude [°], north positive.
    pub lat: f64,
    /// Longitude [°], east positive.
    pub lon: f64,
    /// Standard time ahead of universal time [h].
    pub utc_offset_h: f64,
}

/// Every town of the table.
pub fn towns() -> &'static [Town] {
    static TOWNS: OnceLock<Vec<Town>> = OnceLock::new();
    TOWNS.get_or_init(|| {
        rows(include_str!("towns.csv"))
            .filter_map(|cells| town(&cells))
            .collect()
    })
}

fn town(cells: &[&str]) -> Option<Town> {
    let [name, country, lat, lon, offset] = cells else {
        return None;
    };
    Some(Town {
        name: (*name).to_owned(),
        country: (*country).to_owned(),
        lat: decimal(lat)?,
        lon: decimal(lon)?,
        utc_offset_h: decimal(offset)?,
    })
}

/// Towns whose names answer what was typed, best first.
pub fn search_towns(typed: &str, most: usize) -> Vec<&'static Town> {
    search(towns(), |town| &town.name, typed, most)
}

/// Great-circle distance [km] between two places [°], by the haversine formula.
fn distance_km(a: (f64, f64), b: (f64, f64)) -> f64 {
    let half_chord = |x: f64| {
        let s = libm::sin(x.to_radians() / 2.0);
        s * s
    };
    let h = half_chord(b.0 - a.0)
        + libm::cos(a.0.to_radians()) * libm::cos(b.0.to_radians()) * half_chord(b.1 - a.1);
    2.0 * EARTH_KM * libm::asin(h.sqrt().min(1.0))
}

/// The nearest town and how far it is [km].
pub fn nearest_town(lat: f64, lon: f64) -> Option<(&'static Town, f64)> {
    let with_distance = towns()
        .iter()
        .map(|town| (town, distance_km((lat, lon), (town.lat, town.lon))));
    with_distance.min_by(|a, b| a.1.total_cmp(&b.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_parses_and_lies_on_the_earth() {
        assert_eq!(towns().len(), rows(include_str!("towns.csv")).count());
        assert!(towns().len() >= 200);
        for town in towns() {
            assert!(
                town.lat.abs() <= 90.0
                    && town.lon.abs() <= 180.0
                    && town.utc_offset_h.abs() <= 14.0,
                "{town:?}"
            );
        }
        let mut names: Vec<_> = towns()
            .iter()
            .map(|town| (&town.name, &town.country))
            .collect();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), towns().len());
    }

    #[test]
    fn the_nearest_town_is_found() {
        let (town, km) = nearest_town(52.5, 13.4).unwrap();
        assert_eq!(town.name, "Berlin");
        assert!(km < 10.0);
        assert_eq!(search_towns("reykja", 8)[0].country, "Iceland");
    }

    #[test]
    fn a_quarter_of_the_equator_is_ten_thousand_kilometres() {
        assert!((distance_km((0.0, 0.0), (0.0, 90.0)) - 10_007.5).abs() < 1.0);
    }
}
