//! What comes in, by the hour: sun, engine, hook-up.

use super::climate::{Departure, Year};
use crate::battery::{Conditions, Reservoir, charging_v};
use crate::charge::{Bus, Stage, shore_hours_w};
use crate::import::hours_open;
use crate::inputs::{Inputs, MONTHS, Sun};
use crate::place::equatorward_deg;
use crate::report::ColdPanels;
use crate::solar::strings::{VOLTAGE_PER_K, coldest_open_circuit_v};
use crate::solar::{
    AVERAGE_DAYS, ArrayPart, DayShape, Facing, Latitude, Site, SkyHours, clock_offset_min,
    shift_hours,
};

/// Income of a plan, before the bank decides what it takes.
pub(super) struct Income {
    /// By season; none in those into which no day falls.
    sun: Vec<[f64; 24]>,
    drive: [f64; 24],
    driving_w: f64,
    driving_a: f64,
    shore: [f64; 24],
}

impl Income {
    pub(super) fn new(inputs: &Inputs, year: &Year) -> Self {
        let roof = Roof::new(inputs, year);
        let sun_w = |season| match &roof {
            Some(roof) if year.is_lived(season) => roof.expected_w(season),
            _ => [0.0; 24],
        };
        let sun = (0..year.seasons()).map(sun_w).collect();
        let driving = inputs.driving.as_ref();
        let flow = driving.map(|driving| driving.alternator.flow(&typical_bus(inputs, year)));
        Self {
            sun,
            drive: driving.map_or([0.0; 24], |driving| {
                hours_open(driving.from_min, driving.hours)
            }),
            driving_w: flow.map_or(0.0, |flow| flow.output_w),
            driving_a: flow.map_or(0.0, |flow| flow.output_a),
            shore: inputs
                .shore
                .as_ref()
                .map_or([0.0; 24], |shore| shore_hours_w(shore, Stage::Boost)),
        }
    }

    /// From the sun on a day as expected in a season, by the clock [W].
    pub(super) fn sun_w(&self, season: usize) -> [f64; 24] {
        self.sun.get(season).copied().unwrap_or([0.0; 24])
    }

    /// From the engine on a travelling day [Wh].
    pub(super) fn driving_wh(&self) -> f64 {
        self.drive.iter().sum::<f64>() * self.driving_w
    }

    /// What the engine gives while it runs [W].
    pub(super) fn driving_w(&self) -> f64 {
        self.driving_w
    }

    /// What the engine's link gives while it runs [A].
    pub(super) fn driving_a(&self) -> f64 {
        self.driving_a
    }

    /// From a hook-up on a hooked-up day [Wh]: what the day uses and what it takes to fill the chosen bank again from
    /// its reserve line, as far as the charger's hours give it.
    pub(super) fn shore_wh(&self, use_wh: f64, inputs: &Inputs) -> f64 {
        let given: f64 = self.shore.iter().sum();
        let room = chosen(inputs).map_or(0.0, |row| {
            let conditions = Conditions {
                temp_c: 20.0,
                soh: 1.0,
            };
            Reservoir::new(&row.bank, &row.fitted, &conditions).usable_ah() * inputs.volts
        });
        given.min(use_wh + room)
    }
}

/// Most that the hook-up's charger gives by the clock on a hooked-up day while it boosts, and while it floats [W]. Its
/// rating is a current, so that while it boosts it brings just that into the bank.
pub(super) fn shore_stages_w(inputs: &Inputs) -> ([f64; 24], [f64; 24]) {
    let Some(shore) = &inputs.shore else {
        return ([0.0; 24], [0.0; 24]);
    };
    let boost_w = shore.charger_a * charging_v(inputs.volts);
    (
        shore.powered.map(|share| share * boost_w),
        shore_hours_w(shore, Stage::Float),
    )
}

/// The candidate that the plan is made with.
pub(super) fn chosen(inputs: &Inputs) -> Option<&crate::inputs::Candidate> {
    let found = inputs.candidates.iter().find(|row| row.id == inputs.chosen);
    found.or(inputs.candidates.first())
}

/// The chosen bank at half its usable charge, as the engine's link meets it on a mean day.
fn typical_bus(inputs: &Inputs, year: &Year) -> Bus {
    let Some(row) = chosen(inputs) else {
        return Bus {
            open_circuit_v: inputs.volts,
            resistance_ohm: 0.0,
            acceptance_a: 0.0,
            load_a: 0.0,
        };
    };
    let conditions = Conditions {
        temp_c: year.battery_c(year.main_season(inputs.living.month)),
        soh: 1.0,
    };
    let tank = Reservoir::new(&row.bank, &row.fitted, &conditions);
    let half = tank.state_at((tank.full_ah() + tank.reserve_line_ah()) / 2.0);
    Bus {
        open_circuit_v: tank.rest_v(half),
        resistance_ohm: tank.resistance_ohm(),
        acceptance_a: tank.charge_limit_a(half),
        load_a: 0.0,
    }
}

/// How far the coldest morning lies below the coldest month's mean night [K]. Assumed, on the safe side of most places.
const COLDEST_BELOW_K: f64 = 10.0;

/// The panels' voltage on the coldest morning, where their label was read.
pub(super) fn cold_panels(inputs: &Inputs, year: &Year) -> Option<ColdPanels> {
    let series = inputs.sun.as_ref()?.series?;
    let coldest_c = series
        .coldest_c
        .unwrap_or(year.coldest_night_c() - COLDEST_BELOW_K);
    Some(ColdPanels {
        in_series: series.count,
        coldest_c,
        volts: coldest_open_circuit_v(
            series.count,
            series.open_circuit_v,
            VOLTAGE_PER_K,
            coldest_c,
        ),
        most_v: series.most_v,
    })
}

/// The plan's panels at their places: what they give on any day.
pub(super) struct Roof<'a> {
    sun: &'a Sun,
    places: Vec<RoofPlace>,
    seasons: Vec<RoofSeason>,
    bank_v: f64,
}

/// A latitude and how the array's parts face there.
struct RoofPlace {
    latitude: Latitude,
    facings: Vec<Facing>,
}

/// What does not change within a season.
struct RoofSeason {
    /// How far the clock is ahead of the sun [h].
    ahead_h: f64,
    /// Outdoor temperature on its mean day in solar hours [°C].
    air_c: [f64; 24],
    /// By what share of the day's swing each of them is warmer than its mean.
    shape: [f64; 24],
    clearness: f64,
}

/// Where a part faces at a place [°]: as at the home, or on the other side of the equator its mirror image, so that it looks as far
/// from the equator's direction and on the same side, east or west. Assumed.
fn azimuth_at_deg(part: &ArrayPart, home: Site, site: Site) -> f64 {
    if equatorward_deg(home.lat_deg) == equatorward_deg(site.lat_deg) {
        part.azimuth_deg
    } else {
        180.0 - part.azimuth_deg
    }
}

impl RoofPlace {
    fn new(sun: &Sun, home: Site, site: Site) -> Self {
        let latitude = Latitude::from_deg(site.lat_deg);
        let facing = |part: &ArrayPart| {
            let azimuth = azimuth_at_deg(part, home, site).to_radians();
            Facing::new(latitude, part.tilt_deg.to_radians(), azimuth)
        };
        Self {
            latitude,
            facings: sun.parts.iter().map(facing).collect(),
        }
    }
}

impl<'a> Roof<'a> {
    pub(super) fn new(inputs: &'a Inputs, year: &Year) -> Option<Self> {
        let (sun, living) = (inputs.sun.as_ref()?, &inputs.living);
        let home = living.home.site;
        let season = |season: usize| {
            let (place, month) = (living.place(season / MONTHS), season % MONTHS);
            let day = AVERAGE_DAYS.get(month).copied().unwrap_or(15);
            let offset = place.clock_ahead_h.get(month).copied().unwrap_or(0.0);
            let ahead_h = clock_offset_min(place.site.lon_deg, offset, f64::from(day)) / 60.0;
            RoofSeason {
                ahead_h,
                air_c: shift_hours(&year.outdoors(season), -ahead_h),
                shape: shift_hours(year.shape(), -ahead_h),
                clearness: year.clearness(season),
            }
        };
        let places = living.places();
        Some(Self {
            sun,
            places: places
                .map(|place| RoofPlace::new(sun, home, place.site))
                .collect(),
            seasons: (0..year.seasons()).map(season).collect(),
            bank_v: charging_v(inputs.volts),
        })
    }

    fn at(&self, season: usize) -> Option<(&RoofPlace, &RoofSeason)> {
        let place = self.places.get(season / MONTHS)?;
        Some((place, self.seasons.get(season)?))
    }

    /// Adds what the array gives before its controller on a day of such a shape, sky and air, in solar hours [W].
    fn add_array_w(
        &self,
        sum: &mut [f64; 24],
        place: &RoofPlace,
        shape: &DayShape,
        sky: &SkyHours,
        air_c: &[f64; 24],
    ) {
        for (part, facing) in self.sun.parts.iter().zip(&place.facings) {
            let plane = shape.seen_by(facing, self.sun.albedo).hours_wh_m2(sky);
            part.add_hours_w(sum, &sky.lit, &plane, air_c);
        }
    }

    fn expected_array_w(&self, season: usize) -> Option<([f64; 24], &RoofSeason)> {
        let (place, its) = self.at(season)?;
        let mut array_w = [0.0; 24];
        for (shape, share) in DayShape::of_month(place.latitude, season % MONTHS) {
            let mut day_w = [0.0; 24];
            let sky = shape.expected_sky(its.clearness);
            self.add_array_w(&mut day_w, place, &shape, &sky, &its.air_c);
            for (sum, w) in array_w.iter_mut().zip(day_w) {
                *sum += share * w;
            }
        }
        Some((array_w, its))
    }

    /// Behind a controller, by the clock [W].
    #[inline]
    fn by_clock_w(&self, array_w: &[f64; 24], season: &RoofSeason) -> [f64; 24] {
        let solar_w = self.sun.controller.outputs_w(array_w, self.bank_v);
        shift_hours(&solar_w, season.ahead_h)
    }

    /// What comes in on the expected day of a season, by the clock [W].
    pub(super) fn expected_w(&self, season: usize) -> [f64; 24] {
        self.expected_array_w(season)
            .map_or([0.0; 24], |(array_w, its)| self.by_clock_w(&array_w, its))
    }

    /// What comes in on the expected day of a season for each of some multiples of the array [Wh], the controller's current
    /// limit growing with it.
    pub(super) fn grown_wh(&self, season: usize) -> impl Fn(f64) -> f64 {
        let expected_w = self.expected_array_w(season).map_or([0.0; 24], |(w, _)| w);
        let (controller, bank_v) = (self.sun.controller.clone(), self.bank_v);
        move |times: f64| {
            let share = times / times.max(1.0);
            let hour = |w: &f64| controller.output_w(w * share, bank_v) * times.max(1.0);
            expected_w.iter().map(hour).sum()
        }
    }

    /// What comes in on a day of the year, of its own clearness and air, by the clock [W].
    pub(super) fn real_day_w(
        &self,
        day_of_year: usize,
        season: usize,
        clearness: f64,
        air: Option<Departure>,
    ) -> [f64; 24] {
        let array_w = self.real_array_w(day_of_year, season, clearness, air);
        let its = self.seasons.get(season);
        its.map_or([0.0; 24], |its| self.by_clock_w(&array_w, its))
    }

    /// The array before its controller on such a day, in solar hours [W]; in the air of the season's mean day where none is given.
    pub(super) fn real_array_w(
        &self,
        day_of_year: usize,
        season: usize,
        clearness: f64,
        air: Option<Departure>,
    ) -> [f64; 24] {
        let mut array_w = [0.0; 24];
        let Some((place, its)) = self.at(season) else {
            return array_w;
        };
        let shape = DayShape::of_day(place.latitude, day_of_year);
        let sky = shape.real_sky(clearness);
        let Some(air) = air else {
            self.add_array_w(&mut array_w, place, &shape, &sky, &its.air_c);
            return array_w;
        };
        let mut air_c = its.air_c;
        for (c, share) in air_c.iter_mut().zip(its.shape) {
            *c += air.warmer_k + air.wider_k * share;
        }
        self.add_array_w(&mut array_w, place, &shape, &sky, &air_c);
        array_w
    }

    /// What comes in by the clock [W] of so many times such an array, the controller's current limit growing with it.
    pub(super) fn grown_w(&self, array_w: &[f64; 24], season: usize, times: f64) -> [f64; 24] {
        let (share, grown) = (times / times.max(1.0), times.max(1.0));
        let its = self.seasons.get(season);
        its.map_or([0.0; 24], |its| {
            self.by_clock_w(&array_w.map(|w| w * share), its)
                .map(|w| w * grown)
        })
    }
}
