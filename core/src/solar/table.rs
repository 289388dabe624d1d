//! The compiled-in climate tables and how they are read.

use crate::numeric::decimal;
use std::sync::OnceLock;

/// Long-term clearness by month on 5° cells. Source, licence and layout: `data/clearness_5.source.txt`.
static TABLE: &[u8] = include_bytes!("../data/clearness_5.bin");
/// Clearness and temperature by latitude. Source and licence in its header.
static BY_LATITUDE: &str = include_str!("../data/climate_by_latitude.csv");

const ROWS: usize = 36;
const COLUMNS: usize = 72;
const CELL_DEG: f64 = 5.0;
/// Clearness is a cell's code over this.
const SCALE: f64 = 200.0;
const HEADER: [u8; 16] = [
    b'K', b'T', b'T', b'1', 12, 1, 36, 0, 72, 0, 0xF4, 0x01, 200, 0, 0, 0,
];

/// The table's codes, months × rows × columns; all 0 if the file is not what it should be.
fn codes() -> &'static [u8] {
    static CODES: OnceLock<Vec<u8>> = OnceLock::new();
    CODES.get_or_init(|| decode(TABLE))
}

/// Undoes the packing described in `data/clearness_5.source.txt`: residuals along rows, then over months.
fn decode(file: &[u8]) -> Vec<u8> {
    let Some(body) = file.strip_prefix(&HEADER) else {
        return Vec::new();
    };
    let mut before = vec![0_u8; ROWS * COLUMNS];
    let mut codes = Vec::with_capacity(body.len());
    for month in body.chunks_exact(ROWS * COLUMNS) {
        let mut first_of_row = 0_u8;
        for (row, row_before) in month
            .chunks_exact(COLUMNS)
            .zip(before.chunks_exact_mut(COLUMNS))
        {
            let mut step = first_of_row;
            for (column, (&z, code)) in row.iter().zip(row_before).enumerate() {
                step = step.wrapping_add((z >> 1) ^ 0_u8.wrapping_sub(z & 1));
                if column == 0 {
                    first_of_row = step;
                }
                *code = code.wrapping_add(step);
            }
        }
        codes.extend_from_slice(&before);
    }
    codes
}

/// One row of the table by latitude.
pub(super) struct LatitudeRow {
    pub(super) lat_deg: f64,
    clearness: [Option<f64>; 12],
    pub(super) temperature_c: [f64; 12],
}

/// The table by latitude, north first.
pub(super) fn by_latitude() -> &'static [LatitudeRow] {
    static LATITUDES: OnceLock<Vec<LatitudeRow>> = OnceLock::new();
    LATITUDES.get_or_init(|| BY_LATITUDE.lines().filter_map(latitude_row).collect())
}

/// A data line: latitude, 12 of clearness (empty = none), 12 of temperature; `None` for headings and remarks.
fn latitude_row(line: &str) -> Option<LatitudeRow> {
    let mut cells = line.split(',').map(decimal);
    let lat_deg = cells.next()??;
    let clearness = std::array::from_fn(|_| cells.next().flatten());
    let temperature_c = std::array::from_fn(|_| cells.next().flatten().unwrap_or(f64::NAN));
    Some(LatitudeRow {
        lat_deg,
        clearness,
        temperature_c,
    })
}

/// The two neighbouring cells along one axis and the weight of the second, from a position in cells.
fn neighbours(position: f64) -> (i64, f64) {
    let low = position.floor();
    (low as i64, position - low)
}

/// The four nearest cells of a month (their place in the codes of that month) with their weights.
pub(super) fn four_cells(lat_deg: f64, lon_deg: f64) -> [(usize, f64); 4] {
    let (row, down) = neighbours((90.0 - 0.5 * CELL_DEG - lat_deg) / CELL_DEG);
    let (column, right) = neighbours((lon_deg + 180.0 - 0.5 * CELL_DEG) / CELL_DEG);
    [
        (0, 0, (1.0 - down) * (1.0 - right)),
        (0, 1, (1.0 - down) * right),
        (1, 0, down * (1.0 - right)),
        (1, 1, down * right),
    ]
    .map(|(below, beside, weight)| {
        let row = (row + below).clamp(0, ROWS as i64 - 1) as usize;
        let column = (column + beside).rem_euclid(COLUMNS as i64) as usize;
        (row * COLUMNS + column, weight)
    })
}

/// Clearness from the table: bilinear between the four nearest cells, those without data left out.
pub(super) fn from_table(cells: &[(usize, f64); 4], month: usize) -> Option<f64> {
    let (mut sum, mut weights) = (0.0, 0.0);
    for &(cell, weight) in cells {
        let code = codes()
            .get(month * ROWS * COLUMNS + cell)
            .copied()
            .unwrap_or(0);
        if code != 0 && weight > 0.0 {
            sum += weight * f64::from(code);
            weights += weight;
        }
    }
    (weights > 0.0).then(|| sum / weights / SCALE)
}

/// Clearness by latitude alone: the nearest row with data in that month.
pub(super) fn from_latitude(lat_deg: f64, month: usize) -> Option<f64> {
    let mut best = (f64::INFINITY, None);
    for row in by_latitude() {
        let miss = (row.lat_deg - lat_deg).abs();
        if let Some(Some(k)) = row.clearness.get(month)
            && miss < best.0
        {
            best = (miss, Some(*k));
        }
    }
    best.1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_whole() {
        assert_eq!(codes().len(), 12 * ROWS * COLUMNS);
        assert_eq!(by_latitude().len(), 36);
        assert!(
            by_latitude()
                .iter()
                .all(|row| row.temperature_c.iter().all(|t| t.is_finite()))
        );
    }

    #[test]
    fn another_file_is_no_table() {
        assert!(decode(b"KTT2").is_empty());
    }
}
