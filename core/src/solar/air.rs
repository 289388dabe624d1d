//! Outdoor air of a place by month: mean temperature by height, and how far a day swings. Source: `data/air_5.source.txt`.

use super::climate::{Origin, Site, clearness};
use super::table::{elevation_m_at, four_cells, land_share_at, sea_level_c_at};

/// Fall of the mean temperature with height [K/km]. Belongs to the table, which was made with it.
pub const LAPSE_K_PER_KM: f64 = 5.0;
/// Root mean square error of a month's mean where the height is known [K]: 95 climate normals.
pub const ERROR_K: f64 = 1.7;
/// Root mean square error of a month's mean where the height is not known [K]: 1,095 weather stations.
pub const ERROR_UNKNOWN_HEIGHT_K: f64 = 2.6;
/// What to allow where frost matters [K]. Assumed, from the error of the coldest month.
pub const FROST_MARGIN_K: f64 = 3.0;
/// Clearness index that the daily swing is taken at where the table has none, as at sea. Source: `data/air_5.source.txt`.
const CLEARNESS_UNKNOWN: f64 = 0.4;
/// The daily swing stays within these [K].
const SWING_RANGE_K: (f64, f64) = (3.0, 20.0);

/// Outdoor air of a place by calendar month, January first.
#[derive(Clone, Debug, PartialEq)]
pub struct Air {
    /// Mean temperature at sea level [°C].
    pub sea_level_c: [f64; 12],
    /// Elevation of the table's cells at the place [m]: low land, where people live.
    pub cell_elevation_m: f64,
    /// Share of the cells that is land, 0 to 1.
    pub land_share: f64,
    /// Mean daily maximum less mean daily minimum [K], 3 to 20.
    pub swing_k: [f64; 12],
}

impl Air {
    /// The air of a place, from the table.
    pub fn of(site: Site) -> Self {
        let cells = four_cells(site.lat_deg.clamp(-90.0, 90.0), site.lon_deg);
        let land_share = land_share_at(&cells);
        let sky = clearness(site);
        let mut months = sky.k.iter().zip(sky.origin);
        Self {
            sea_level_c: std::array::from_fn(|month| sea_level_c_at(&cells, month)),
            cell_elevation_m: elevation_m_at(&cells),
            land_share,
            swing_k: std::array::from_fn(|_| {
                let known = months.next().filter(|(_, origin)| *origin == Origin::Table);
                daily_swing_k(known.map_or(CLEARNESS_UNKNOWN, |(k, _)| *k), land_share)
            }),
        }
    }

    /// Mean temperature of each month at a height above the sea [m], the cells' own where it is not known [°C].
    pub fn means_c(&self, elevation_m: Option<f64>) -> [f64; 12] {
        let height_m = elevation_m.unwrap_or(self.cell_elevation_m);
        let lower_k = LAPSE_K_PER_KM * height_m / 1000.0;
        self.sea_level_c.map(|c| c - lower_k)
    }
}

/// Mean daily maximum less mean daily minimum [K] by clearness index and share of land. RMSE 2.1 K at 1,100 stations.
fn daily_swing_k(clearness: f64, land_share: f64) -> f64 {
    let (least, most) = SWING_RANGE_K;
    (28.0 * clearness + 4.0 * land_share - 6.0).clamp(least, most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn five_kelvin_a_kilometre_both_ways() {
        let air = Air::of(Site {
            lat_deg: 46.5,
            lon_deg: 8.0,
        });
        let (low, high) = (air.means_c(Some(-400.0)), air.means_c(Some(1600.0)));
        assert!((low[0] - high[0] - 10.0).abs() < 1e-12);
        let unknown = air.means_c(None);
        assert_eq!(unknown, air.means_c(Some(air.cell_elevation_m)));
    }

    #[test]
    fn the_swing_is_held_and_taken_at_0_4_at_sea() {
        assert_eq!(daily_swing_k(0.1, 0.0), 3.0);
        assert_eq!(daily_swing_k(1.0, 1.0), 20.0);
        let sea = Air::of(Site {
            lat_deg: 10.0,
            lon_deg: -140.0,
        });
        assert_eq!(sea.land_share, 0.0);
        assert!(sea.swing_k.iter().all(|k| (k - 5.2).abs() < 1e-12));
    }
}
