//! The climate table against vectors made with it: places × months, worked out by another reader of the same table.

use larder::solar::climate::{Origin, Site, clearness};
use std::path::Path;

/// Half a unit of the last digit that the vectors have, and what floating point adds to it.
const CLEARNESS_WITHIN: f64 = 5.1e-6;
const IRRADIATION_WITHIN: f64 = 5.1e-5;

/// Holds every vector of a file; how many there are.
pub(crate) fn hold(path: &Path) -> Result<usize, String> {
    let mut reader = csv::Reader::from_path(path).map_err(|e| e.to_string())?;
    let mut count = 0;
    for record in reader.records() {
        let record = record.map_err(|e| e.to_string())?;
        vector(&record).ok_or_else(|| format!("not held: {record:?}"))?;
        count += 1;
    }
    Ok(count)
}

/// Place, latitude, longitude, month, clearness, H0, irradiation; an empty clearness is a month without data.
fn vector(record: &csv::StringRecord) -> Option<()> {
    let cell = |column: usize| record.get(column);
    let figure = |column: usize| cell(column)?.parse::<f64>().ok();
    let ours = clearness(Site {
        lat_deg: figure(1)?,
        lon_deg: figure(2)?,
    });
    let month = cell(3)?.parse::<usize>().ok()?.checked_sub(1)?;
    let near = |ours: f64, column: usize, within: f64| {
        figure(column).is_some_and(|printed| (ours - printed).abs() <= within)
    };
    let h0_holds = near(ours.h0_kwh_m2_day(month), 5, IRRADIATION_WITHIN);
    let table_holds = match cell(4)? {
        "" => *ours.origin.get(month)? != Origin::Table,
        _ => {
            near(*ours.k.get(month)?, 4, CLEARNESS_WITHIN)
                && near(ours.irradiation_kwh_m2_day(month), 6, IRRADIATION_WITHIN)
        }
    };
    (h0_holds && table_holds).then_some(())
}
