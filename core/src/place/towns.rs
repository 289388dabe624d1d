//! The list of towns that the page fetches, `public/towns.txt`: made by `core/climate/make_towns.py`, which describes it.

use super::clock::Clock;
use crate::data::plain;
use crate::numeric::{decimal, order};
use std::collections::BTreeMap;
use std::str::FromStr;

/// Mean radius of the Earth [km] (IUGG).
const EARTH_KM: f64 = 6371.0;
/// Positions are held in so many parts of a degree.
const PARTS_OF_DEGREE: f64 = 20.0;
/// Elevations are held in so many metres.
const ELEVATION_STEP_M: f64 = 10.0;

/// One town.
#[derive(Clone, Debug, PartialEq)]
pub struct Town {
    /// Its name, as it is written there.
    pub name: String,
    /// Its country's English name.
    pub country: String,
    /// ISO 3166 code of its country.
    pub code: String,
    /// Latitude [°], north positive, to 0.05.
    pub lat: f64,
    /// Longitude [°], east positive, to 0.05.
    pub lon: f64,
    /// Height above the sea [m], to 10.
    pub elevation_m: f64,
    /// Its clock.
    pub clock: Clock,
    /// Its name for comparing.
    plain: String,
}

/// The list of towns.
#[derive(Clone, Debug, PartialEq)]
pub struct Towns {
    /// What must be shown where the list is used.
    pub credit: String,
    /// Every town.
    pub all: Vec<Town>,
}

impl Towns {
    /// Reads the list.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn read(text: &str) -> Result<Self, String> {
        let bad = |what: &str| format!("The list of towns can't be read: {what}.");
        let mut lines = text.lines();
        let mut line = |what: &str| lines.next().ok_or_else(|| bad(what));
        if line("it is empty")? != "PLACES 1" {
            return Err(bad("it is of another version"));
        }
        let credit = line("no credit")?.to_owned();
        let zones: Vec<&str> = line("no zones")?.split(',').collect();
        let codes = runs(line("no countries")?).ok_or_else(|| bad("its countries"))?;
        let names: Vec<&str> = line("no names")?.split('\t').collect();
        let lats = steps(line("no latitudes")?).ok_or_else(|| bad("its latitudes"))?;
        let lons = steps(line("no longitudes")?).ok_or_else(|| bad("its longitudes"))?;
        let heights: Vec<Option<f64>> = line("no heights")?.split(',').map(decimal).collect();
        let places = runs(line("no zones of towns")?).ok_or_else(|| bad("its zones"))?;
        let (mut clocks, mut countries) = (BTreeMap::new(), BTreeMap::new());
        for row in lines {
            if let Some((code, name)) = row.split_once('\t') {
                countries.insert(code, name);
            } else if let Some((zone, clock)) = zone(row) {
                clocks.insert(zone, clock);
            }
        }
        let lengths = [
            codes.len(),
            lats.len(),
            lons.len(),
            heights.len(),
            places.len(),
        ];
        if lengths.iter().any(|length| *length != names.len()) {
            return Err(bad("its lines have unlike lengths"));
        }
        let town = |at: usize| {
            let code = *codes.get(at)?;
            let zone = zones.get(usize::from_str(places.get(at)?).ok()?)?;
            let name = *names.get(at)?;
            Some(Town {
                name: name.to_owned(),
                country: (*countries.get(code)?).to_owned(),
                code: code.to_owned(),
                lat: *lats.get(at)? / PARTS_OF_DEGREE,
                lon: *lons.get(at)? / PARTS_OF_DEGREE,
                elevation_m: ELEVATION_STEP_M * (*heights.get(at)?)?,
                clock: *clocks.get(zone)?,
                plain: plain(name),
            })
        };
        let all: Option<Vec<Town>> = (0..names.len()).map(town).collect();
        let all = all.ok_or_else(|| bad("a town lacks its country, height or zone"))?;
        Ok(Self { credit, all })
    }

    /// Towns whose names match what was typed, best first, and among equals those near `near` (°) first. A country may follow
    /// after a comma, by its name or code.
    pub fn search(&self, typed: &str, near: (f64, f64), most: usize) -> Vec<&Town> {
        let (typed, country) = match typed.split_once(',') {
            Some((name, country)) => (plain(name), plain(country)),
            None => (plain(typed), String::new()),
        };
        if typed.is_empty() {
            return Vec::new();
        }
        let matches = |town: &Town| {
            let in_country = plain(&town.country).starts_with(&country)
                || plain(&town.code).starts_with(&country);
            (country.is_empty() || in_country).then(|| rank(&town.plain, &typed))?
        };
        let found: Vec<(f64, &Town)> = self
            .all
            .iter()
            .filter_map(|town| {
                // Beyond half of Earth's girth nothing is, so that a rank outweighs any distance.
                let far_km = distance_km(near, (town.lat, town.lon));
                Some((matches(town)? * 4.0 * EARTH_KM + far_km, town))
            })
            .collect();
        let scores: Vec<f64> = found.iter().map(|(score, _)| *score).collect();
        let best = order(&scores).into_iter().take(most);
        best.filter_map(|at| found.get(at).map(|(_, town)| *town))
            .collect()
    }

    /// The town of just that name, the nearest to `near` (°) of several: what a name means that isn't chosen from a list.
    pub fn named(&self, typed: &str, near: (f64, f64)) -> Option<&Town> {
        let name = typed.split_once(',').map_or(typed, |(name, _)| name);
        let best = self.search(typed, near, 1).first().copied()?;
        (best.plain == plain(name)).then_some(best)
    }

    /// The nearest town and how far it is [km].
    pub fn nearest(&self, lat: f64, lon: f64) -> Option<(&Town, f64)> {
        let with_distance = self
            .all
            .iter()
            .map(|town| (town, distance_km((lat, lon), (town.lat, town.lon))));
        with_distance.min_by(|a, b| a.1.total_cmp(&b.1))
    }
}

/// How well a plain name matches what was typed, 0 best: all of it, its beginning, one of its words, any part.
fn rank(name: &str, typed: &str) -> Option<f64> {
    if name == typed {
        return Some(0.0);
    }
    if name.starts_with(typed) {
        return Some(1.0);
    }
    if name.split([' ', '-']).any(|word| word.starts_with(typed)) {
        return Some(2.0);
    }
    name.contains(typed).then_some(3.0)
}

/// `FR*2,DE*1` as FR, FR, DE.
fn runs(line: &str) -> Option<Vec<&str>> {
    let mut all = Vec::new();
    for run in line.split(',') {
        let (what, count) = run.split_once('*')?;
        all.extend(std::iter::repeat_n(what, usize::from_str(count).ok()?));
    }
    Some(all)
}

/// Differences, each from the number before, the first from 0, added up.
fn steps(line: &str) -> Option<Vec<f64>> {
    let mut sum = 0.0;
    line.split(',')
        .map(|step| {
            sum += decimal(step)?;
            Some(sum)
        })
        .collect()
}

/// Zone, standard and summer offset [h], first and last month of summer time.
fn zone(row: &str) -> Option<(&str, Clock)> {
    let cells: Vec<&str> = row.split(',').collect();
    let [zone, standard, summer, first, last] = cells[..] else {
        return None;
    };
    let standard_h = decimal(standard)?;
    Some((
        zone,
        Clock {
            standard_h,
            forward_h: decimal(summer)? - standard_h,
            summer: (u8::from_str(first).ok()?, u8::from_str(last).ok()?),
        },
    ))
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

#[cfg(test)]
mod tests {
    use super::*;

    const RENNES: (f64, f64) = (48.1, -1.7);

    fn towns() -> Towns {
        Towns::read(include_str!("../../../public/towns.txt")).unwrap()
    }

    #[test]
    fn every_town_lies_on_the_earth_with_a_country_and_a_clock() {
        let towns = towns();
        assert_eq!(towns.all.len(), 6899);
        assert!(towns.credit.contains("GeoNames (geonames.org), CC BY 4.0"));
        for town in &towns.all {
            assert!(
                town.lat.abs() <= 90.0
                    && town.lon.abs() <= 180.0
                    && (0.0..=5500.0).contains(&town.elevation_m)
                    && (-12.0..=14.0).contains(&town.clock.standard_h)
                    && town.country.len() > town.code.len(),
                "{town:?}"
            );
            // The clock is the sun's to within a few hours; a day off is a date line.
            let apart = (town.clock.standard_h - town.lon / 15.0).rem_euclid(24.0);
            assert!(!(3.6..=20.4).contains(&apart), "{town:?}");
        }
    }

    #[test]
    fn names_are_found_without_accents_and_by_country() {
        let towns = towns();
        let first = |typed: &str| {
            let found = towns.search(typed, RENNES, 8);
            found
                .first()
                .map(|town| format!("{}, {}", town.name, town.country))
        };
        for (typed, found) in [
            ("Rennes", "Rennes, France"),
            ("  rennes ", "Rennes, France"),
            ("tromso", "Tromsø, Norway"),
            ("zurich", "Zürich, Switzerland"),
            ("da nang", "Da Nang, Vietnam"),
            ("albuq", "Albuquerque, United States"),
            ("Auckland, nz", "Auckland, New Zealand"),
            ("Victoria, Canada", "Victoria, Canada"),
            ("Victoria, sc", "Victoria, Seychelles"),
        ] {
            assert_eq!(first(typed).as_deref(), Some(found), "{typed}");
        }
        for typed in ["", " ", ",", "Xyzzy", "Rennes, Chile"] {
            assert_eq!(first(typed), None, "{typed}");
        }
    }

    #[test]
    fn near_ones_come_first_and_a_whole_name_before_its_beginning() {
        let towns = towns();
        let glasgow = |near| towns.search("glasgow", near, 8)[0].code.clone();
        assert_eq!(glasgow(RENNES), "GB");
        assert_eq!(glasgow((39.0, -77.0)), "US");
        let york = towns.search("york", RENNES, 8);
        assert_eq!(
            (york[0].name.as_str(), york[0].code.as_str()),
            ("York", "GB")
        );
        assert_eq!(towns.search("s", RENNES, 8).len(), 8);
    }

    #[test]
    fn a_name_that_is_not_in_the_list_is_no_town() {
        let towns = towns();
        assert_eq!(towns.named("gent", RENNES).unwrap().country, "Belgium");
        assert_eq!(towns.named("Ghent", RENNES), None);
        assert_eq!(towns.named("Genua", RENNES), None);
        assert_eq!(towns.named("", RENNES), None);
    }

    #[test]
    fn the_nearest_town_is_found_over_the_date_line_too() {
        let towns = towns();
        let (town, km) = towns.nearest(52.5, 13.4).unwrap();
        assert!(town.name == "Berlin" && km < 10.0, "{town:?} {km}");
        let (east, west) = (towns.nearest(-16.8, 180.0), towns.nearest(-16.8, -180.0));
        assert_eq!(east.unwrap().0, west.unwrap().0);
        assert!((distance_km((0.0, 0.0), (0.0, 90.0)) - 10_007.5).abs() < 1.0);
    }

    #[test]
    fn a_cut_or_foreign_list_is_refused() {
        let whole = include_str!("../../../public/towns.txt");
        for text in [
            "",
            "PLACES 2\n",
            "PLACES 1\n",
            "<!DOCTYPE html>",
            &whole.lines().take(9).collect::<Vec<_>>().join("\n"),
            &whole.replacen("\n2,", "\nx,", 1).replacen("FR*", "FR*1", 1),
        ] {
            let says = Towns::read(text).unwrap_err();
            assert!(
                says.starts_with("The list of towns can't be read: "),
                "{says}"
            );
        }
    }
}
