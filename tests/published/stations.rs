//! Monthly irradiation at stations of the world against the climate table: one check over all of them.
//!
//! A table on 5° cells can't meet one station's month; what it promises is how far it is off on the whole.

use crate::question::Question;
use crate::row::Row;
use larder::solar::climate::{Site, clearness};

/// The quantity of these rows.
pub(crate) const QUANTITY: &str = "monthly mean global horizontal irradiation Jan..Dec";

/// Root mean square error that the table may have over all stations' months (kWh/m²/day).
const RMSE_MOST: f64 = 0.6;
/// Mean error that it may have, either way (kWh/m²/day).
const BIAS_MOST: f64 = 0.1;

/// How far the table is off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Error {
    pub(crate) stations: usize,
    /// Root mean square error (kWh/m²/day).
    pub(crate) rmse: f64,
    /// Mean error, ours less theirs (kWh/m²/day).
    pub(crate) bias: f64,
}

impl Error {
    /// Over those of the rows that are stations; nothing where none is.
    pub(crate) fn over<'a>(rows: impl Iterator<Item = &'a Row>) -> Result<Option<Self>, String> {
        let mut misses = Vec::new();
        let mut stations = 0;
        for row in rows.filter(|row| row.quantity == QUANTITY) {
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
            misses.extend(months.map(|(at, theirs)| ours.irradiation_kwh_m2_day(at) - theirs));
            stations += 1;
        }
        let count = misses.len() as f64;
        Ok((stations > 0).then(|| Self {
            stations,
            rmse: (misses.iter().map(|miss| miss * miss).sum::<f64>() / count).sqrt(),
            bias: misses.iter().sum::<f64>() / count,
        }))
    }

    /// Whether that is within what the table promises.
    pub(crate) fn holds(&self) -> bool {
        self.rmse <= RMSE_MOST && self.bias.abs() <= BIAS_MOST
    }
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
