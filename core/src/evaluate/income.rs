//! What comes in, by the hour: sun, engine, hook-up.

use super::climate::Year;
use crate::battery::{Conditions, Reservoir, charging_v};
use crate::charge::{Bus, Stage, shore_hours_w};
use crate::import::hours_open;
use crate::inputs::{Inputs, Sun};
use crate::solar::{
    AVERAGE_DAYS, DayShape, SkyHours, array_hours_w, clock_offset_min, controlled_hours_w,
    shift_hours,
};

/// Income of a plan, before the bank decides what it takes.
pub(super) struct Income {
    sun: [[f64; 24]; 12],
    drive: [f64; 24],
    driving_w: f64,
    shore: [f64; 24],
}

impl Income {
    pub(super) fn new(inputs: &Inputs, year: &Year) -> Self {
        let sun = match &inputs.sun {
            Some(sun) => std::array::from_fn(|month| sun_hours(inputs, year, sun, 1.0, month)),
            None => [[0.0; 24]; 12],
        };
        let driving = inputs.driving.as_ref();
        Self {
            sun,
            drive: driving.map_or([0.0; 24], |driving| {
                hours_open(driving.from_min, driving.hours)
            }),
            driving_w: driving.map_or(0.0, |driving| {
                let flow = driving.alternator.flow(&typical_bus(inputs, year));
                flow.output_w
            }),
            shore: inputs
                .shore
                .as_ref()
                .map_or([0.0; 24], |shore| shore_hours_w(shore, Stage::Boost)),
        }
    }

    /// From the sun on a day as expected, by the clock [W].
    pub(super) fn sun_w(&self, month: usize) -> [f64; 24] {
        self.sun.get(month).copied().unwrap_or([0.0; 24])
    }

    /// From the engine on a travelling day [Wh].
    pub(super) fn driving_wh(&self) -> f64 {
        self.drive.iter().sum::<f64>() * self.driving_w
    }

    /// Most that the hook-up's charger gives by the clock on a hooked-up day while it boosts, and while it floats [W]. Its
    /// rating is a current, so that while it boosts it brings just that into the bank.
    pub(super) fn shore_stages_w(&self, inputs: &Inputs) -> ([f64; 24], [f64; 24]) {
        let Some(shore) = &inputs.shore else {
            return ([0.0; 24], [0.0; 24]);
        };
        let boost_w = shore.charger_a * charging_v(inputs.volts);
        (
            shore.powered.map(|share| share * boost_w),
            shore_hours_w(shore, Stage::Float),
        )
    }

    /// What the engine gives while it runs [W].
    pub(super) fn driving_w(&self) -> f64 {
        self.driving_w
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
        temp_c: year.battery_c(inputs.living.month),
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

/// What an array of the plan's shape, `scale` times its watts, gives on the expected day of a month, by the clock [W].
pub(super) fn sun_hours(
    inputs: &Inputs,
    year: &Year,
    sun: &Sun,
    scale: f64,
    month: usize,
) -> [f64; 24] {
    let shape = DayShape::of_month(inputs.living.site.lat_deg, month);
    let sky = shape.expected_sky(year.clearness(month));
    array_day(inputs, year, sun, (&shape, &sky), month).map(|w| w * scale)
}

/// What the array gives on the day of a year, of its own clearness, by the clock [W].
pub(super) fn real_day(
    inputs: &Inputs,
    year: &Year,
    sun: &Sun,
    (day_of_year, month, clearness): (usize, usize, f64),
) -> [f64; 24] {
    let shape = DayShape::of_day(inputs.living.site.lat_deg, day_of_year);
    let sky = shape.real_sky(clearness);
    array_day(inputs, year, sun, (&shape, &sky), month)
}

/// The array behind its controller on a day of such a shape and sky, by the clock [W].
fn array_day(
    inputs: &Inputs,
    year: &Year,
    sun: &Sun,
    (shape, sky): (&DayShape, &SkyHours),
    month: usize,
) -> [f64; 24] {
    let planes: Vec<[f64; 24]> = sun
        .parts
        .iter()
        .map(|part| {
            shape
                .plane(part.tilt_deg, part.azimuth_deg, sun.albedo)
                .hours_wh_m2(sky)
        })
        .collect();
    let offset_h = offset_h(inputs, month);
    let air = shift_hours(&year.outdoors(month), -offset_h);
    let array = array_hours_w(&sun.parts, &planes, &air);
    shift_hours(
        &controlled_hours_w(&sun.controller, &array, charging_v(inputs.volts)),
        offset_h,
    )
}

/// How far the clock is ahead of the sun [h].
fn offset_h(inputs: &Inputs, month: usize) -> f64 {
    let day = AVERAGE_DAYS.get(month).copied().unwrap_or(15);
    clock_offset_min(
        inputs.living.site.lon_deg,
        inputs.living.utc_offset_h,
        f64::from(day),
    ) / 60.0
}
