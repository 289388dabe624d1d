//! The year's air and light at the place, by month, made once.

use crate::energy::{DayKind, HourTemps};
use crate::inputs::{BatteryAir, Living, Sun};
use crate::report::SunOrigin;
use crate::solar::{self, Monthly, Origin};

/// Hour at whose middle the day is warmest, by the clock. Assumed: mid-afternoon.
const WARMEST_HOUR: f64 = 15.0;

/// Air and light by month.
pub(super) struct Year {
    outdoors: [[f64; 24]; 12],
    means: [f64; 12],
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
        let swing: [f64; 24] = std::array::from_fn(|hour| {
            let angle = (hour as f64 + 0.5 - WARMEST_HOUR) * std::f64::consts::PI / 12.0;
            0.5 * living.swing_k * libm::cos(angle)
        });
        Self {
            outdoors: living
                .outdoors_c
                .map(|mean| swing.map(|above| mean + above)),
            means: living.outdoors_c,
            cabin_c: living.cabin_c,
            battery: living.battery_air,
            sky,
        }
    }

    /// Outdoor temperature by the hour [°C].
    pub(super) fn outdoors(&self, month: usize) -> [f64; 24] {
        self.outdoors.get(month).copied().unwrap_or([15.0; 24])
    }

    /// Mean outdoor temperature [°C].
    pub(super) fn outdoors_mean_c(&self, month: usize) -> f64 {
        self.means.get(month).copied().unwrap_or(15.0)
    }

    /// The air on a kind of day: the cabin is kept warm while somebody is in, and as outdoors while nobody is.
    pub(super) fn temps(&self, kind: DayKind, month: usize) -> HourTemps {
        let outdoors_c = self.outdoors(month);
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
        let mean = |hours: &[f64; 24]| hours.iter().sum::<f64>() / 24.0;
        let temps = self.parked_temps(month);
        match self.battery {
            BatteryAir::Cabin => mean(&temps.cabin_c),
            BatteryAir::Outdoors => mean(&temps.outdoors_c),
            BatteryAir::Between => f64::midpoint(mean(&temps.cabin_c), mean(&temps.outdoors_c)),
            BatteryAir::Own(c) => c,
        }
    }

    /// Clearness index of a month.
    pub(super) fn clearness(&self, month: usize) -> f64 {
        self.sky.k.get(month).copied().unwrap_or(0.0)
    }

    /// Peak sun hours on level ground [kWh/m² a day].
    pub(super) fn peak_sun_hours(&self, month: usize) -> f64 {
        self.clearness(month) * self.sky.h0_kwh_m2_day.get(month).copied().unwrap_or(0.0)
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
