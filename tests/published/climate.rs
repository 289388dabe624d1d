//! The climate tables against vectors that another reader made of them: places × months, to the last digit printed.

use larder::solar::air::Air;
use larder::solar::climate::{Origin, Site, clearness};
use std::path::Path;

/// Half a unit of the last digit printed, and what floating point adds to it.
const HALF_UNIT: f64 = 0.51;

/// Holds every vector of a file. Returns how many there are.
pub(crate) fn hold(path: &Path) -> Result<usize, String> {
    let mut reader = csv::Reader::from_path(path).map_err(|e| e.to_string())?;
    let mut count = 0;
    for record in reader.records() {
        let record = record.map_err(|e| e.to_string())?;
        let misses = misses(&record).ok_or_else(|| format!("unreadable: {record:?}"))?;
        if !misses.is_empty() {
            return Err(format!("{record:?}: {}", misses.join("; ")));
        }
        count += 1;
    }
    Ok(count)
}

/// What of a record isn't met. Columns: place, latitude, longitude, month, clearness index, H0, irradiation, elevation, air at
/// it, the cell's elevation, air at that, land share, swing; an empty one is without data.
fn misses(record: &csv::StringRecord) -> Option<Vec<String>> {
    let figure = |column: usize| record.get(column)?.parse::<f64>().ok();
    let site = Site {
        lat_deg: figure(1)?,
        lon_deg: figure(2)?,
    };
    let month = record.get(3)?.parse::<usize>().ok()?.checked_sub(1)?;
    let (sun, air) = (clearness(site), Air::of(site));
    let mut misses = Vec::new();
    let mut near = |column: usize, ours: f64| -> Option<()> {
        let text = record.get(column)?;
        let digits = text.split_once('.').map_or(0, |(_, digits)| digits.len());
        let within = HALF_UNIT * 0.1_f64.powi(digits as i32);
        if (ours - text.parse::<f64>().ok()?).abs() > within {
            misses.push(format!("column {column}: {ours}, not {text}"));
        }
        Some(())
    };
    near(5, sun.h0_kwh_m2_day(month))?;
    near(8, *air.means_c(Some(figure(7)?)).get(month)?)?;
    near(9, air.cell_elevation_m)?;
    near(10, *air.means_c(None).get(month)?)?;
    near(11, air.land_share)?;
    if record.get(4)?.is_empty() {
        let origin = *sun.origin.get(month)?;
        if origin == Origin::Table {
            misses.push("clearness where there is none".to_owned());
        }
    } else {
        near(4, *sun.k.get(month)?)?;
        near(6, sun.irradiation_kwh_m2_day(month))?;
        near(12, *air.swing_k.get(month)?)?;
    }
    Some(misses)
}
