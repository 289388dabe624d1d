//! The compiled-in climate tables and how they are read.

use crate::numeric::decimal;
use std::sync::OnceLock;

/// Long-term clearness by month on 5° cells. Source, licence and layout: `data/clearness_5.source.txt`.
static CLEARNESS: &[u8] = include_bytes!("../data/clearness_5.bin");
/// Air temperature at sea level, elevation and land share on 5° cells. Source, licence and layout: `data/air_5.source.txt`.
static AIR: &[u8] = include_bytes!("../data/air_5.bin");
/// Clearness by latitude, for cells without data. Source and licence in its header.
static BY_LATITUDE: &str = include_str!("../data/clearness_by_latitude.csv");
/// Error of the clearness table by region. Source in its header.
static REGIONS: &str = include_str!("../data/climate_regions.csv");

const ROWS: usize = 36;
const COLUMNS: usize = 72;
const CELLS: usize = ROWS * COLUMNS;
const MONTHS: usize = 12;
const CELL_DEG: f64 = 5.0;
/// Clearness index = code over this.
const CLEARNESS_SCALE: f64 = 200.0;
const CLEARNESS_HEADER: [u8; 16] = [
    b'K', b'T', b'T', b'1', 12, 1, 36, 0, 72, 0, 0xF4, 0x01, 200, 0, 0, 0,
];
const AIR_HEADER: [u8; 16] = [
    b'K', b'T', b'A', b'1', 12, 3, 36, 0, 72, 0, 0xF4, 0x01, 2, 0, 64, 0,
];

/// Codes of the clearness table: months × rows × columns; empty if the file has another header.
fn clearness_codes() -> &'static [u8] {
    static CODES: OnceLock<Vec<u8>> = OnceLock::new();
    CODES.get_or_init(|| {
        let body = CLEARNESS.strip_prefix(&CLEARNESS_HEADER);
        decode(body.unwrap_or_default())
    })
}

/// Unpacks one body, any number of planes, as `data/clearness_5.source.txt` describes: residuals along rows, then over planes.
fn decode(body: &[u8]) -> Vec<u8> {
    let mut before = vec![0_u8; CELLS];
    let mut codes = Vec::with_capacity(body.len());
    for plane in body.chunks_exact(CELLS) {
        let mut first_of_row = 0_u8;
        for (row, row_before) in plane
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

/// Codes of the air table, each plane rows × columns.
#[derive(Default)]
struct AirCodes {
    /// Twelve planes of temperature.
    sea_level: Vec<u8>,
    elevation: Vec<u8>,
    land: Vec<u8>,
}

/// The air table unpacked; empty if the file has another header.
fn air_codes() -> &'static AirCodes {
    static CODES: OnceLock<AirCodes> = OnceLock::new();
    CODES.get_or_init(|| {
        let body = AIR.strip_prefix(&AIR_HEADER);
        let months = body.and_then(|body| body.split_at_checked(MONTHS * CELLS));
        let bodies = months.and_then(|(months, rest)| {
            let (elevation, land) = rest.split_at_checked(CELLS)?;
            Some(AirCodes {
                sea_level: decode(months),
                elevation: decode(elevation),
                land: decode(land),
            })
        });
        bodies.unwrap_or_default()
    })
}

/// Bilinear mean of a plane's codes between four cells; the plane is one of several that stand one after another.
fn code_at(codes: &[u8], plane: usize, cells: &FourCells) -> f64 {
    let code = |cell: usize| f64::from(codes.get(plane * CELLS + cell).copied().unwrap_or(0));
    cells
        .iter()
        .map(|&(cell, weight)| weight * code(cell))
        .sum()
}

/// Mean air temperature at sea level in a month (0 = January) [°C].
pub(super) fn sea_level_c_at(cells: &FourCells, month: usize) -> f64 {
    code_at(&air_codes().sea_level, month, cells) / 2.0 - 64.0
}

/// Elevation of the cells [m].
pub(super) fn elevation_m_at(cells: &FourCells) -> f64 {
    25.0 * code_at(&air_codes().elevation, 0, cells)
}

/// Share of the cells that is land.
pub(super) fn land_share_at(cells: &FourCells) -> f64 {
    code_at(&air_codes().land, 0, cells) / 200.0
}

/// One row of the table by latitude.
struct LatitudeRow {
    lat_deg: f64,
    clearness: [Option<f64>; MONTHS],
}

/// The table by latitude, north first.
fn by_latitude() -> &'static [LatitudeRow] {
    static LATITUDES: OnceLock<Vec<LatitudeRow>> = OnceLock::new();
    LATITUDES.get_or_init(|| BY_LATITUDE.lines().filter_map(latitude_row).collect())
}

/// A data line: latitude, then 12 of clearness (empty = none); `None` for headings and remarks.
fn latitude_row(line: &str) -> Option<LatitudeRow> {
    let mut cells = line.split(',').map(decimal);
    let lat_deg = cells.next()??;
    let clearness = std::array::from_fn(|_| cells.next().flatten());
    Some(LatitudeRow { lat_deg, clearness })
}

/// Measured error of the clearness table in a region, its stations left out when the table was made.
#[derive(Clone, Debug, PartialEq)]
pub struct RegionError {
    /// Name of the region; "all" for a place outside every region.
    pub region: &'static str,
    /// South and north edge, west and east edge [°].
    edges: [f64; 4],
    /// Stations that it was measured at.
    pub stations: usize,
    /// Mean of the stations' irradiation [kWh/m²/day], where published with the error.
    pub mean_kwh_m2_day: Option<f64>,
    /// Mean error, share of the stations' mean; positive: the table is too sunny.
    pub bias: f64,
    /// Root mean square error of a month [kWh/m²/day].
    pub rmse_kwh_m2_day: f64,
    /// Mean error of the three darkest months, share of the stations' mean.
    pub dark_bias: f64,
}

/// Every region in the order of the file, where the first that holds a place counts.
fn regions() -> &'static [RegionError] {
    static ALL: OnceLock<Vec<RegionError>> = OnceLock::new();
    ALL.get_or_init(|| REGIONS.lines().filter_map(region).collect())
}

/// A data line of the regions; its name may stand in quotes. `None` for headings and remarks.
fn region(line: &'static str) -> Option<RegionError> {
    let (region, rest) = match line.strip_prefix('"') {
        Some(quoted) => quoted.split_once("\",")?,
        None => line.split_once(',')?,
    };
    let cells: Vec<Option<f64>> = rest.split(',').map(decimal).collect();
    let [
        south,
        north,
        west,
        east,
        stations,
        mean_kwh_m2_day,
        bias,
        rmse,
        dark,
    ] = cells[..]
    else {
        return None;
    };
    Some(RegionError {
        region,
        edges: [south?, north?, west?, east?],
        stations: stations? as usize,
        mean_kwh_m2_day,
        bias: bias? / 100.0,
        rmse_kwh_m2_day: rmse?,
        dark_bias: dark? / 100.0,
    })
}

/// Measured error of the clearness table for the region of a place (°).
pub(super) fn region_error(lat_deg: f64, lon_deg: f64) -> Option<&'static RegionError> {
    let holds = |row: &&RegionError| {
        let [south, north, west, east] = row.edges;
        (south..=north).contains(&lat_deg) && (west..=east).contains(&lon_deg)
    };
    regions().iter().find(holds).or(regions().last())
}

/// Two neighbouring cells along one axis and the weight of the second, from a position in cells.
fn neighbours(position: f64) -> (i64, f64) {
    let low = position.floor();
    (low as i64, position - low)
}

/// The four nearest cells, as indices into one plane, with their bilinear weights.
pub(super) type FourCells = [(usize, f64); 4];

/// The four nearest cells of a place (°): longitude wraps, rows are held at the poles.
pub(super) fn four_cells(lat_deg: f64, lon_deg: f64) -> FourCells {
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

/// Clearness index from the table: bilinear between the four nearest cells, those without data left out.
pub(super) fn clearness_at(cells: &FourCells, month: usize) -> Option<f64> {
    let (mut sum, mut weights) = (0.0, 0.0);
    for &(cell, weight) in cells {
        let code = clearness_codes()
            .get(month * CELLS + cell)
            .copied()
            .unwrap_or(0);
        if code != 0 && weight > 0.0 {
            sum += weight * f64::from(code);
            weights += weight;
        }
    }
    (weights > 0.0).then(|| sum / weights / CLEARNESS_SCALE)
}

/// Clearness index by latitude alone: the nearest row with data in that month.
pub(super) fn clearness_by_latitude(lat_deg: f64, month: usize) -> Option<f64> {
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
    fn every_table_is_complete() {
        assert_eq!(clearness_codes().len(), MONTHS * CELLS);
        let air = air_codes();
        assert_eq!(air.sea_level.len(), MONTHS * CELLS);
        assert_eq!((air.elevation.len(), air.land.len()), (CELLS, CELLS));
        assert_eq!(by_latitude().len(), ROWS);
        let lines = REGIONS.lines().filter(|line| !line.starts_with('#'));
        assert_eq!(regions().len(), lines.count() - 1);
        assert_eq!(regions().last().unwrap().region, "all");
    }

    #[test]
    fn the_first_region_that_holds_a_place_counts() {
        let at = |lat, lon| region_error(lat, lon).unwrap();
        assert_eq!(at(52.6, 0.3).region, "Britain, Ireland");
        assert_eq!(
            at(52.4, 4.9).region,
            "Low Countries, northern Germany, Denmark"
        );
        assert_eq!(at(35.7, 139.7).region, "all");
        let pacific = at(21.3, -157.9);
        assert_eq!((pacific.region, pacific.stations), ("all", 1212));
        assert_eq!(at(60.4, 5.3).mean_kwh_m2_day, None);
    }
}
