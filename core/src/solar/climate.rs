//! The climate of a place: clearness and temperature by month, from the compiled-in tables, or the user's own.

use super::calendar::{has_sun, month_mean_h0_wh_m2};
use super::plane::Latitude;
pub use super::table::RegionError;
use super::table::{clearness_at, clearness_by_latitude, four_cells, region_error};
use serde::Serialize;

/// Share of the clearness index to count on in the three darkest months when searching for the least array. Assumed,
/// from the error of a month of the table.
pub const CAUTIOUS_SHARE: f64 = 0.85;
/// How far "duller" or "sunnier than the region" moves the clearness index. Assumed.
pub const SKY_STEP: f64 = 0.06;
/// The clearness index stays within these when the three-way answer moves it. Assumed: the range of monthly means.
pub const CLEARNESS_RANGE: (f64, f64) = (0.05, 0.80);

/// A place on earth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Site {
    /// Latitude (°), −90 to 90, north positive.
    pub lat_deg: f64,
    /// Longitude (°), −180 to 180, east positive.
    pub lon_deg: f64,
}

/// Where a month's clearness comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// The climate table, between its cells with land or coast.
    Table,
    /// The mean of all land at this latitude: the table has no data near, as at sea.
    Latitude,
    /// The user's own figure for this month.
    Own,
    /// The sun does not rise in this month.
    NoSun,
}

/// How the place compares with the region that a table cell averages over.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SkyThanRegion {
    /// More cloud, fog or mountain shade.
    Duller,
    /// No difference known.
    #[default]
    About,
    /// Drier or clearer.
    Sunnier,
}

impl SkyThanRegion {
    fn step(self) -> f64 {
        match self {
            Self::Duller => -SKY_STEP,
            Self::About => 0.0,
            Self::Sunnier => SKY_STEP,
        }
    }
}

/// Sunshine by calendar month, January first.
#[derive(Clone, Debug, PartialEq)]
pub struct Monthly {
    /// Clearness index: irradiation on the horizontal over what arrives outside the atmosphere; 0 without sun.
    pub k: [f64; 12],
    place: Latitude,
    /// Where each month's clearness comes from.
    pub origin: [Origin; 12],
}

impl Monthly {
    /// Extraterrestrial irradiation on the horizontal, mean over the days of a month, 0 to 11 (kWh/m²/day).
    pub fn h0_kwh_m2_day(&self, month: usize) -> f64 {
        month_mean_h0_wh_m2(self.place, month) / 1000.0
    }

    /// Global irradiation on the horizontal in a month, 0 to 11 (kWh/m²/day), which is also its peak sun hours a day: K × H0.
    pub fn irradiation_kwh_m2_day(&self, month: usize) -> f64 {
        let k = self.k.get(month);
        k.map_or(0.0, |k| k * self.h0_kwh_m2_day(month))
    }

    /// The same with the user's word on the sky: the clearness of every month that is from a table moves by
    /// [`SKY_STEP`], held to [`CLEARNESS_RANGE`]; the user's own months stay.
    pub fn with_sky(mut self, sky: SkyThanRegion) -> Self {
        if sky == SkyThanRegion::About {
            return self;
        }
        let (least, most) = CLEARNESS_RANGE;
        for (k, origin) in self.k.iter_mut().zip(&self.origin) {
            if matches!(origin, Origin::Table | Origin::Latitude) {
                *k = (*k + sky.step()).clamp(least, most);
            }
        }
        self
    }

    /// The same with the user's own peak sun hours where given: global irradiation on the *horizontal*
    /// (kWh/m²/day = h/day), whatever the panels' tilt. K is that over H0, held to 0 to 1; a month without sun stays
    /// so.
    pub fn with_own(mut self, peak_sun_h: &[Option<f64>; 12]) -> Self {
        for (month, own) in peak_sun_h.iter().enumerate() {
            let Some(own) = own else { continue };
            let h0_kwh_m2 = self.h0_kwh_m2_day(month);
            if let (Some(k), Some(origin)) = (self.k.get_mut(month), self.origin.get_mut(month))
                && *origin != Origin::NoSun
            {
                *k = (own / h0_kwh_m2).clamp(0.0, 1.0);
                *origin = Origin::Own;
            }
        }
        self
    }
}

/// Clearness index of a place by month: from the climate table, else by latitude.
pub fn clearness(site: Site) -> Monthly {
    let lat_deg = site.lat_deg.clamp(-90.0, 90.0);
    let place = Latitude::from_deg(lat_deg);
    let cells = four_cells(lat_deg, site.lon_deg);
    let months: [(f64, Origin); 12] = std::array::from_fn(|month| {
        if !has_sun(place, month) {
            return (0.0, Origin::NoSun);
        }
        let by_latitude = || {
            let k = clearness_by_latitude(lat_deg, month);
            (k.unwrap_or(0.0), Origin::Latitude)
        };
        clearness_at(&cells, month).map_or_else(by_latitude, |k| (k, Origin::Table))
    });
    Monthly {
        k: months.map(|(k, _)| k),
        place,
        origin: months.map(|(_, origin)| origin),
    }
}

/// Measured error of [`clearness`] in the region of a place.
pub fn clearness_error(site: Site) -> Option<&'static RegionError> {
    region_error(site.lat_deg, site.lon_deg)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stations_of_the_world_are_met_within_the_stated_error() {
        // Long-term monthly means on the ground [kWh/m²/day]: Rothamsted, Brasov, Chitedze, Hyderabad, Phoenix.
        let stations = [
            (
                51.81,
                -0.36,
                [
                    0.67, 1.33, 2.25, 3.56, 4.53, 4.92, 4.92, 4.19, 2.78, 1.72, 0.86, 0.5,
                ],
            ),
            (
                45.7,
                25.53,
                [
                    1.11, 1.86, 3.0, 3.69, 4.33, 5.19, 5.56, 5.25, 3.72, 2.53, 1.25, 0.89,
                ],
            ),
            (
                -13.98,
                33.63,
                [
                    5.31, 4.97, 5.28, 5.44, 5.53, 5.22, 4.64, 4.72, 5.28, 5.92, 6.47, 6.08,
                ],
            ),
            (
                17.53,
                78.27,
                [
                    4.78, 5.39, 5.94, 6.31, 6.39, 5.19, 4.44, 4.31, 4.89, 4.97, 4.64, 4.47,
                ],
            ),
            (
                33.45,
                -111.98,
                [
                    3.29, 4.16, 5.34, 7.09, 7.84, 8.32, 7.62, 7.13, 6.34, 4.82, 3.77, 3.07,
                ],
            ),
        ];
        let mut squares = 0.0;
        for (lat_deg, lon_deg, printed) in stations {
            let ours = clearness(Site { lat_deg, lon_deg });
            for (month, printed) in printed.into_iter().enumerate() {
                let miss = ours.irradiation_kwh_m2_day(month) - printed;
                squares += miss * miss;
            }
        }
        let root_mean_square = (squares / 60.0_f64).sqrt();
        assert!(root_mean_square <= 0.6, "{root_mean_square}");
    }

    #[test]
    fn longitude_wraps_and_poles_hold() {
        let at = |lat_deg, lon_deg| clearness(Site { lat_deg, lon_deg });
        assert_eq!(at(65.0, 180.0), at(65.0, -180.0));
        let polar = at(78.0, 15.0);
        assert_eq!(polar.origin[0], Origin::NoSun);
        assert_eq!((polar.k[0], polar.h0_kwh_m2_day(0)), (0.0, 0.0));
        assert!(polar.k[5] > 0.0);
        for lat in [-90.0, 90.0] {
            let pole = at(lat, 0.0);
            assert!((0..12).all(|month| pole.irradiation_kwh_m2_day(month).is_finite()));
        }
    }

    #[test]
    fn the_users_word_moves_the_table_and_not_his_own_months() {
        let plain = clearness(Site {
            lat_deg: 57.5,
            lon_deg: -4.2,
        });
        let mut own = [None; 12];
        own[0] = Some(0.5);
        let ours = plain.clone().with_own(&own).with_sky(SkyThanRegion::Duller);
        assert!((ours.irradiation_kwh_m2_day(0) - 0.5).abs() < 1e-12);
        assert_eq!(ours.origin[0], Origin::Own);
        assert!((ours.k[5] - (plain.k[5] - 0.06)).abs() < 1e-12);
        let night = clearness(Site {
            lat_deg: 80.0,
            lon_deg: 0.0,
        });
        let ours = night
            .with_own(&[Some(1.0); 12])
            .with_sky(SkyThanRegion::Sunnier);
        assert_eq!((ours.k[0], ours.origin[0]), (0.0, Origin::NoSun));
    }
}
