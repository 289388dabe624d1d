//! Monthly irradiation at stations of the world against the climate table: over all of them, and by region.
//!
//! A table on 5° cells can't meet one station's month; what it promises is how far it is off on the whole.

use crate::question::Question;
use crate::row::Row;
use larder::solar::climate::{RegionError, Site, clearness, clearness_error};
use std::collections::BTreeMap;

/// The quantity of these rows.
pub(crate) const QUANTITY: &str = "monthly mean global horizontal irradiation Jan..Dec";

/// Root mean square error that the table may have over all stations' months (kWh/m²/day).
const RMSE_MOST: f64 = 0.5;
/// Mean error that it may have, either way (kWh/m²/day).
const BIAS_MOST: f64 = 0.1;
/// What a region's error may be, as a multiple of the error stated for it: a region has one to five stations here.
const REGION_MOST: f64 = 1.5;

/// How far the table is off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Error {
    pub(crate) stations: usize,
    /// Root mean square error (kWh/m²/day).
    pub(crate) rmse: f64,
    /// Mean error, ours less theirs (kWh/m²/day).
    pub(crate) bias: f64,
}

/// A station's region, and ours less theirs for each of its months (kWh/m²/day).
type Station = (&'static RegionError, Vec<f64>);

/// The stations among some rows.
fn stations<'a>(rows: impl Iterator<Item = &'a Row>) -> Result<Vec<Station>, String> {
    let station = |row: &Row| {
        let months: Vec<f64> = row.expected.iter().filter_map(|k| k.parse().ok()).collect();
        if months.len() != 12 {
            return Err(format!("{}: not twelve months", row.id));
        }
        let question = Question::new(row);
        let site = Site {
            lat_deg: question.number(&["lat"])?,
            lon_deg: question.number(&["lon"])?,
        };
        let ours = clearness(site);
        let months = months.iter().enumerate();
        let misses = months.map(|(at, theirs)| ours.irradiation_kwh_m2_day(at) - theirs);
        let region = clearness_error(site).ok_or("no region")?;
        Ok((region, misses.collect()))
    };
    rows.filter(|row| row.quantity == QUANTITY)
        .map(station)
        .collect()
}

impl Error {
    fn of(stations: &[Station]) -> Self {
        let misses = || stations.iter().flat_map(|(_, misses)| misses);
        let count = misses().count() as f64;
        Self {
            stations: stations.len(),
            rmse: (misses().map(|miss| miss * miss).sum::<f64>() / count).sqrt(),
            bias: misses().sum::<f64>() / count,
        }
    }

    /// Over those of the rows that are stations; nothing where none is.
    pub(crate) fn over<'a>(rows: impl Iterator<Item = &'a Row>) -> Result<Option<Self>, String> {
        let stations = stations(rows)?;
        Ok((!stations.is_empty()).then(|| Self::of(&stations)))
    }

    /// Whether that is within what the table promises.
    pub(crate) fn holds(&self) -> bool {
        self.rmse <= RMSE_MOST && self.bias.abs() <= BIAS_MOST
    }
}

/// By region: how far the table is off, the error stated for the region (kWh/m²/day), and whether it is within that times
/// [`REGION_MOST`].
pub(crate) fn by_region<'a>(
    rows: impl Iterator<Item = &'a Row>,
) -> Result<BTreeMap<&'static str, (Error, f64, bool)>, String> {
    let mut regions: BTreeMap<&'static str, Vec<Station>> = BTreeMap::new();
    for station in stations(rows)? {
        regions.entry(station.0.region).or_default().push(station);
    }
    let judged = regions.into_iter().map(|(name, stations)| {
        let error = Error::of(&stations);
        let stated = stations
            .first()
            .map_or(0.0, |station| station.0.rmse_kwh_m2_day);
        (name, (error, stated, error.rmse <= REGION_MOST * stated))
    });
    Ok(judged.collect())
}

impl std::fmt::Display for Error {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "monthly irradiation at {} stations (kWh/m²/day): RMSE {:.3} (at most {RMSE_MOST}), bias {:+.3} (at most ±{BIAS_MOST})",
            self.stations, self.rmse, self.bias
        )
    }
}
