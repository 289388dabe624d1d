//! The year's air and light at the place, by month, made once.

use crate::energy::{DayKind, HourTemps};
use crate::inputs::{BatteryAir, Living, Sun};
use crate::numeric::order;
use crate::report::{ClimateError, SunOrigin};
use crate::solar::climate::CAUTIOUS_SHARE;
use crate::solar::{self, MONTH_DAYS, Monthly, Origin, air};
use crate::year::{DayScore, daily_spread_k, wider_swing_k};

/// Hour at whose middle the day is warmest, by the clock. Assumed: mid-afternoon.
const WARMEST_HOUR: f64 = 15.0;

/// How far a day's air is from that of its month's mean day.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Departure {
    /// So much warmer in the mean [K].
    pub(super) warmer_k: f64,
    /// So much wider from its coldest to its warmest hour [K].
    pub(super) wider_k: f64,
}

/// Air and light by month.
#[derive(Clone)]
pub(super) struct Year {
    means: [f64; 12],
    swing_k: [f64; 12],
    /// By what share of the swing each hour is warmer than the mean.
    shape: [f64; 24],
    /// How far the daily means of a month spread about its own [K].
    spread_k: [f64; 12],
    cabin_c: f64,
    battery: BatteryAir,
    sky: Monthly,
}

impl Year {
    pub(super) fn new(living: &Living, sun: Option<&Sun>) -> Self {
        let table = solar::clearness(living.site);
        let mut sky = match sun {
            Some(sun) => table.with_sky(sun.sky).with_own(&sun.own),
            None => table,
        };
        for k in &mut sky.k {
            *k *= living.clearer;
        }
        let means = living.outdoors_c;
        let year_c = means.iter().sum::<f64>() / 12.0;
        let square = means.iter().map(|c| (c - year_c) * (c - year_c));
        let yearly_k = (square.sum::<f64>() / 12.0).sqrt();
        let mut months = means.iter().zip(MONTH_DAYS);
        Self {
            means,
            swing_k: living.swing_k,
            shape: std::array::from_fn(|hour| {
                let angle = (hour as f64 + 0.5 - WARMEST_HOUR) * std::f64::consts::PI / 12.0;
                0.5 * libm::cos(angle)
            }),
            spread_k: std::array::from_fn(|_| {
                let month = months.next();
                month.map_or(0.0, |(mean_c, days)| {
                    daily_spread_k(*mean_c, yearly_k, days as f64)
                })
            }),
            cabin_c: living.cabin_c,
            battery: living.battery_air,
            sky,
        }
    }

    /// How far a day of such scores departs from its month's mean day.
    pub(super) fn departure(&self, month: usize, day: DayScore) -> Departure {
        let spread_k = self.spread_k.get(month).copied().unwrap_or(0.0);
        Departure {
            warmer_k: spread_k * day.warm,
            wider_k: wider_swing_k(day.clear, spread_k, self.mean_swing_k(month)),
        }
    }

    /// From the coldest to the warmest hour of a month's mean day [K].
    fn mean_swing_k(&self, month: usize) -> f64 {
        self.swing_k.get(month).copied().unwrap_or(0.0)
    }

    /// By what share of the swing each hour is warmer than the day's mean.
    pub(super) fn shape(&self) -> &[f64; 24] {
        &self.shape
    }

    /// Outdoor temperature by the hour on a month's mean day [°C].
    pub(super) fn outdoors(&self, month: usize) -> [f64; 24] {
        self.outdoors_on(month, Departure::default())
    }

    fn outdoors_on(&self, month: usize, day: Departure) -> [f64; 24] {
        let mean_c = self.outdoors_mean_c(month) + day.warmer_k;
        let swing_k = self.mean_swing_k(month) + day.wider_k;
        self.shape.map(|share| mean_c + swing_k * share)
    }

    /// Mean outdoor temperature [°C].
    pub(super) fn outdoors_mean_c(&self, month: usize) -> f64 {
        self.means.get(month).copied().unwrap_or(15.0)
    }

    /// The air on a month's mean day of a kind.
    pub(super) fn temps(&self, kind: DayKind, month: usize) -> HourTemps {
        self.temps_on(kind, month, Departure::default())
    }

    /// The air on a kind of day: the cabin is kept warm while somebody is in, and as outdoors while nobody is.
    pub(super) fn temps_on(&self, kind: DayKind, month: usize, day: Departure) -> HourTemps {
        let outdoors_c = self.outdoors_on(month, day);
        let cabin_c = if kind == DayKind::Away {
            outdoors_c
        } else {
            outdoors_c.map(|c| c.max(self.cabin_c))
        };
        HourTemps {
            cabin_c,
            outdoors_c,
        }
    }

    pub(super) fn parked_temps(&self, month: usize) -> HourTemps {
        self.temps(DayKind::Parked, month)
    }

    /// The batteries' own temperature, the mean of the day with somebody in [°C].
    pub(super) fn battery_c(&self, month: usize) -> f64 {
        self.battery_on_c(month, Departure::default())
    }

    /// The same on a day that departs from the mean one.
    pub(super) fn battery_on_c(&self, month: usize, day: Departure) -> f64 {
        let mean = |hours: &[f64; 24]| hours.iter().sum::<f64>() / 24.0;
        let temps = self.temps_on(DayKind::Parked, month, day);
        match self.battery {
            BatteryAir::Cabin => mean(&temps.cabin_c),
            BatteryAir::Outdoors => mean(&temps.outdoors_c),
            BatteryAir::Between => f64::midpoint(mean(&temps.cabin_c), mean(&temps.outdoors_c)),
            BatteryAir::Own(c) => c,
        }
    }

    /// The same air with the sun to count on when searching for the least array: [`CAUTIOUS_SHARE`] of the clearness in the three
    /// darkest months, where it is from the table.
    pub(super) fn cautious(&self) -> Self {
        let mut cautious = self.clone();
        let dark: Vec<f64> = (0..12).map(|month| self.peak_sun_hours(month)).collect();
        for month in order(&dark).into_iter().take(3) {
            let from_table = matches!(
                self.sun_origin(month),
                SunOrigin::Table | SunOrigin::Latitude
            );
            if let (true, Some(k)) = (from_table, cautious.sky.k.get_mut(month)) {
                *k *= CAUTIOUS_SHARE;
            }
        }
        cautious
    }

    /// Clearness index of a month.
    pub(super) fn clearness(&self, month: usize) -> f64 {
        self.sky.k.get(month).copied().unwrap_or(0.0)
    }

    /// Peak sun hours on level ground [kWh/m² a day].
    pub(super) fn peak_sun_hours(&self, month: usize) -> f64 {
        self.sky.irradiation_kwh_m2_day(month)
    }

    pub(super) fn sun_origin(&self, month: usize) -> SunOrigin {
        match self.sky.origin.get(month) {
            Some(Origin::Table) => SunOrigin::Table,
            Some(Origin::Latitude) => SunOrigin::Latitude,
            Some(Origin::Own) => SunOrigin::Own,
            Some(Origin::NoSun) | None => SunOrigin::NoSun,
        }
    }
}

/// How far the climate tables may be out at a place.
pub(super) fn error(living: &Living) -> ClimateError {
    let sun = solar::clearness_error(living.site);
    ClimateError {
        region: sun.map_or("", |sun| sun.region),
        stations: sun.map_or(0, |sun| sun.stations),
        month_rmse: sun.map_or(0.0, |sun| sun.rmse_kwh_m2_day),
        bias: sun.map_or(0.0, |sun| sun.bias),
        dark_bias: sun.map_or(0.0, |sun| sun.dark_bias),
        air_months: living.outdoors_from_table,
        air_rmse_k: if living.height_known {
            air::ERROR_K
        } else {
            air::ERROR_UNKNOWN_HEIGHT_K
        },
        height_known: living.height_known,
    }
}
