//! The year's air and light at its places, by season, made once.

use crate::energy::{DayKind, HourTemps};
use crate::inputs::{BatteryAir, Living, MONTHS, Place, Sun};
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

/// Air and light of the year, by season (`inputs::living`).
#[derive(Clone)]
pub(super) struct Year {
    /// Of each place, the home first.
    places: Vec<PlaceYear>,
    /// By what share of the swing each hour is warmer than the mean.
    shape: [f64; 24],
    cabin_c: f64,
    battery: BatteryAir,
}

/// Air and light of one place, by month.
#[derive(Clone)]
struct PlaceYear {
    means: [f64; 12],
    swing_k: [f64; 12],
    /// How far the daily means of a month spread about its own [K].
    spread_k: [f64; 12],
    sky: Monthly,
    /// Days of each month that are spent here.
    days: [u32; 12],
}

impl PlaceYear {
    fn new(place: &Place, sky: Monthly, days: [u32; 12]) -> Self {
        let means = place.outdoors_c;
        let year_c = means.iter().sum::<f64>() / 12.0;
        let square = means.iter().map(|c| (c - year_c) * (c - year_c));
        let yearly_k = (square.sum::<f64>() / 12.0).sqrt();
        let mut months = means.iter().zip(MONTH_DAYS);
        Self {
            means,
            swing_k: place.swing_k,
            spread_k: std::array::from_fn(|_| {
                let month = months.next();
                month.map_or(0.0, |(mean_c, days)| {
                    daily_spread_k(*mean_c, yearly_k, days as f64)
                })
            }),
            sky,
            days,
        }
    }
}

/// The climate table's sky at a place, as much clearer as it is doubted to be; at the home with the user's own word on it.
fn sky_at(living: &Living, nth: usize, place: &Place, sun: Option<&Sun>) -> Monthly {
    let table = solar::clearness(place.site);
    let mut sky = match sun.filter(|_| nth == 0) {
        Some(sun) => table.with_sky(sun.sky).with_own(&sun.own),
        None => table,
    };
    for k in &mut sky.k {
        *k *= living.clearer;
    }
    sky
}

impl Year {
    pub(super) fn new(living: &Living, sun: Option<&Sun>) -> Self {
        let days = living.days_at_places();
        let places = living.places().zip(days).enumerate();
        Self {
            places: places
                .map(|(nth, (place, days))| {
                    PlaceYear::new(place, sky_at(living, nth, place, sun), days)
                })
                .collect(),
            shape: std::array::from_fn(|hour| {
                let angle = (hour as f64 + 0.5 - WARMEST_HOUR) * std::f64::consts::PI / 12.0;
                0.5 * libm::cos(angle)
            }),
            cabin_c: living.cabin_c,
            battery: living.battery_air,
        }
    }

    /// The place of a season, and its month there (0 = January).
    fn at(&self, season: usize) -> Option<(&PlaceYear, usize)> {
        let place = self.places.get(season / MONTHS)?;
        Some((place, season % MONTHS))
    }

    fn by_month(&self, season: usize, of: fn(&PlaceYear) -> &[f64; 12]) -> Option<f64> {
        let (place, month) = self.at(season)?;
        of(place).get(month).copied()
    }

    /// How many seasons there are.
    pub(super) fn seasons(&self) -> usize {
        MONTHS * self.places.len()
    }

    /// Days that fall into a season.
    pub(super) fn days(&self, season: usize) -> u32 {
        let place = self.at(season);
        let days = place.and_then(|(place, month)| place.days.get(month));
        days.copied().unwrap_or(0)
    }

    /// Share of its month's days that a season has, 0 to 1.
    fn share(&self, season: usize) -> f64 {
        let month = season % MONTHS;
        let all: u32 = self
            .places
            .iter()
            .filter_map(|place| place.days.get(month))
            .sum();
        f64::from(self.days(season)) / f64::from(all.max(1))
    }

    /// Whether any day falls into a season.
    pub(super) fn is_lived(&self, season: usize) -> bool {
        self.days(season) > 0
    }

    /// The seasons of a month into which days fall, the home first.
    pub(super) fn lived_in(&self, month: usize) -> impl Iterator<Item = usize> {
        let seasons = (0..self.places.len()).map(move |place| place * MONTHS + month);
        seasons.filter(|season| self.is_lived(*season))
    }

    /// The season into which most days of a month fall; of equal ones the first.
    pub(super) fn main_season(&self, month: usize) -> usize {
        let mut main = month;
        for season in self.lived_in(month) {
            if self.days(season) > self.days(main) {
                main = season;
            }
        }
        main
    }

    /// Mean over the days of a month, wherever they are spent, of what holds in each season. Where all hold the same, it is that to
    /// the last bit.
    pub(super) fn over_month(&self, month: usize, of: impl Fn(usize) -> f64) -> f64 {
        let main = self.main_season(month);
        let mean = of(main);
        let others = self.lived_in(month).filter(|season| *season != main);
        others.fold(mean, |sum, season| {
            sum + self.share(season) * (of(season) - mean)
        })
    }

    /// How far a day of such scores departs from its season's mean day.
    pub(super) fn departure(&self, season: usize, day: DayScore) -> Departure {
        let spread_k = self
            .by_month(season, |place| &place.spread_k)
            .unwrap_or(0.0);
        Departure {
            warmer_k: spread_k * day.warm,
            wider_k: wider_swing_k(day.clear, spread_k, self.mean_swing_k(season)),
        }
    }

    /// From the coldest to the warmest hour of a season's mean day [K].
    fn mean_swing_k(&self, season: usize) -> f64 {
        self.by_month(season, |place| &place.swing_k).unwrap_or(0.0)
    }

    /// By what share of the swing each hour is warmer than the day's mean.
    pub(super) fn shape(&self) -> &[f64; 24] {
        &self.shape
    }

    /// Outdoor temperature by the hour on a season's mean day [°C].
    pub(super) fn outdoors(&self, season: usize) -> [f64; 24] {
        self.outdoors_on(season, Departure::default())
    }

    fn outdoors_on(&self, season: usize, day: Departure) -> [f64; 24] {
        let mean_c = self.outdoors_mean_c(season) + day.warmer_k;
        let swing_k = self.mean_swing_k(season) + day.wider_k;
        self.shape.map(|share| mean_c + swing_k * share)
    }

    /// Mean outdoor temperature [°C].
    pub(super) fn outdoors_mean_c(&self, season: usize) -> f64 {
        self.by_month(season, |place| &place.means).unwrap_or(15.0)
    }

    /// The air on a season's mean day of a kind.
    pub(super) fn temps(&self, kind: DayKind, season: usize) -> HourTemps {
        self.temps_on(kind, season, Departure::default())
    }

    /// The air on a kind of day: the cabin is kept warm while somebody is in, and as outdoors while nobody is.
    pub(super) fn temps_on(&self, kind: DayKind, season: usize, day: Departure) -> HourTemps {
        let outdoors_c = self.outdoors_on(season, day);
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

    pub(super) fn parked_temps(&self, season: usize) -> HourTemps {
        self.temps(DayKind::Parked, season)
    }

    /// The batteries' own temperature, the mean of the day with somebody in [°C].
    pub(super) fn battery_c(&self, season: usize) -> f64 {
        self.battery_on_c(season, Departure::default())
    }

    /// The mean night of the coldest season of the year [°C].
    pub(super) fn coldest_night_c(&self) -> f64 {
        let seasons = (0..MONTHS).flat_map(|month| self.lived_in(month));
        let night_c = |season| self.outdoors_mean_c(season) - 0.5 * self.mean_swing_k(season);
        seasons.map(night_c).fold(f64::INFINITY, f64::min)
    }

    /// The mean of that over the year's months, wherever they are spent [°C].
    pub(super) fn mean_battery_c(&self) -> f64 {
        let month_c = |month| self.over_month(month, |season| self.battery_c(season));
        (0..MONTHS).map(month_c).sum::<f64>() / 12.0
    }

    /// The coldest of that among the seasons of the year [°C].
    pub(super) fn coldest_battery_c(&self) -> f64 {
        let seasons = (0..MONTHS).flat_map(|month| self.lived_in(month));
        let temps = seasons.map(|season| self.battery_c(season));
        temps.fold(f64::INFINITY, f64::min)
    }

    /// The same on a day that departs from the mean one.
    pub(super) fn battery_on_c(&self, season: usize, day: Departure) -> f64 {
        let mean = |hours: &[f64; 24]| hours.iter().sum::<f64>() / 24.0;
        let temps = self.temps_on(DayKind::Parked, season, day);
        match self.battery {
            BatteryAir::Cabin => mean(&temps.cabin_c),
            BatteryAir::Outdoors => mean(&temps.outdoors_c),
            BatteryAir::Between => f64::midpoint(mean(&temps.cabin_c), mean(&temps.outdoors_c)),
            BatteryAir::Own(c) => c,
        }
    }

    /// The same air with the sun to count on when searching for the least array: [`CAUTIOUS_SHARE`] of the clearness in the three
    /// darkest months of each place, where it is from the table.
    pub(super) fn cautious(&self) -> Self {
        let mut cautious = self.clone();
        for place in &mut cautious.places {
            let sun = |month| place.sky.irradiation_kwh_m2_day(month);
            let dark: Vec<f64> = (0..MONTHS).map(sun).collect();
            for month in order(&dark).into_iter().take(3) {
                let from_table = matches!(
                    place.sky.origin.get(month),
                    Some(Origin::Table | Origin::Latitude)
                );
                if let (true, Some(k)) = (from_table, place.sky.k.get_mut(month)) {
                    *k *= CAUTIOUS_SHARE;
                }
            }
        }
        cautious
    }

    /// Clearness index of a season.
    pub(super) fn clearness(&self, season: usize) -> f64 {
        self.by_month(season, |place| &place.sky.k).unwrap_or(0.0)
    }

    /// Peak sun hours of a season on level ground [kWh/m² a day].
    pub(super) fn peak_sun_hours(&self, season: usize) -> f64 {
        self.at(season).map_or(0.0, |(place, month)| {
            place.sky.irradiation_kwh_m2_day(month)
        })
    }

    pub(super) fn sun_origin(&self, season: usize) -> SunOrigin {
        let origin = self
            .at(season)
            .and_then(|(place, month)| place.sky.origin.get(month));
        match origin {
            Some(Origin::Table) => SunOrigin::Table,
            Some(Origin::Latitude) => SunOrigin::Latitude,
            Some(Origin::Own) => SunOrigin::Own,
            Some(Origin::NoSun) | None => SunOrigin::NoSun,
        }
    }
}

/// How far the climate tables may be out at a place.
pub(super) fn error(place: &Place) -> ClimateError {
    let sun = solar::clearness_error(place.site);
    let height_known = place.elevation_m.is_some();
    ClimateError {
        region: sun.map_or("", |sun| sun.region),
        stations: sun.map_or(0, |sun| sun.stations),
        month_rmse: sun.map_or(0.0, |sun| sun.rmse_kwh_m2_day),
        bias: sun.map_or(0.0, |sun| sun.bias),
        dark_bias: sun.map_or(0.0, |sun| sun.dark_bias),
        air_months: place.outdoors_from_table,
        air_rmse_k: if height_known {
            air::ERROR_K
        } else {
            air::ERROR_UNKNOWN_HEIGHT_K
        },
        height_known,
    }
}
