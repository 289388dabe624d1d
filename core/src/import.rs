//! Plan to inputs: the only place that refuses. Every fault is named, all at once, each at its field.

mod links;
mod space;
mod wiring;

use crate::battery::{self, Bank, Battery, Label, SecondRating};
use crate::charge;
use crate::energy::{self, Ambient, DayKind, Usage, Window, fits_window};
use crate::finding::{Finding, Gravity};
use crate::inputs::{
    BatteryAir, Candidate, Driving, Inputs, Later, Living, PanelSeries, Ranges, Sun,
};
use crate::plan::{
    self, Air, BatteryPlace, ControllerKind, DrawUnit, LinkKind, Mains, MeterUnit, Plan, Second,
    Supply, Way,
};
use crate::solar::{self, ArrayPart, Controller, Site, SkyThanRegion};
use crate::units::{Quantity, hours as hours_words, read_clock, tidy};
use chrono::{Datelike, Months, NaiveDate};

/// Most rows that a list may have.
const MOST_LOADS: usize = 400;
/// Most candidates compared.
const MOST_CANDIDATES: usize = 4;
/// Years that a plan's dates may lie in.
const YEARS: std::ops::RangeInclusive<i32> = 1990..=2199;

/// Collects what is wrong.
struct Check<'a> {
    plan: &'a Plan,
    faults: Vec<Finding>,
}

impl Check<'_> {
    fn refuse(
        &mut self,
        field: impl Into<String>,
        says: impl Into<String>,
        mend: impl Into<String>,
    ) {
        self.faults
            .push(Finding::new(Gravity::Grave, field, says, mend));
    }

    /// A value inside its range; else the fault that names it, and the nearest value that would do.
    fn number(
        &mut self,
        field: &str,
        what: &str,
        quantity: Quantity,
        value: f64,
        least: f64,
        most: f64,
    ) -> f64 {
        if value >= least && value <= most {
            return value;
        }
        let units = self.plan.units;
        let show = |value: f64| quantity.show(value, units);
        let says = if value.abs() < 1e15 {
            format!("{what} can't be {}.", show(value))
        } else {
            format!("{what} can't be as large as that.")
        };
        self.refuse(
            field,
            says,
            format!("Write a value from {} to {}.", show(least), show(most)),
        );
        least
    }

    fn share(&mut self, field: &str, what: &str, value: f64, least: f64) -> f64 {
        self.number(field, what, Quantity::Share, value, least, 1.0)
    }

    /// A whole number inside its range.
    fn count(&mut self, field: &str, what: &str, value: f64, least: u32, most: u32) -> u32 {
        let held = self.number(
            field,
            what,
            Quantity::Count,
            value,
            f64::from(least),
            f64::from(most),
        );
        if held.fract() != 0.0 {
            self.refuse(
                field,
                format!("{what} can't be {}, a part of one.", tidy(held)),
                format!("Write {} or {}.", tidy(held.floor()), tidy(held.ceil())),
            );
        }
        held as u32
    }

    /// A date as it is written in a plan.
    fn date(&mut self, field: &str, text: &str) -> Option<NaiveDate> {
        let found = NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d").ok();
        let found = found.filter(|day| YEARS.contains(&day.year()));
        if found.is_none() {
            self.refuse(
                field,
                if text.trim().is_empty() {
                    "A day is missing.".to_owned()
                } else {
                    format!("“{}” isn't a day.", text.trim())
                },
                "Write year, month and day, as in 2027-08-12.",
            );
        }
        found
    }

    /// Share of a panel's output lost to shadow in each solar hour: its share while the shadow falls by the clock. The
    /// equation of time, a quarter of an hour at most, is left out.
    fn shade(
        &mut self,
        at: &dyn Fn(&str) -> String,
        panel: &plan::Panel,
        share: f64,
        living: &Living,
    ) -> [f64; 24] {
        let from = self.clock(&at("shade_from"), &panel.shade_from);
        let to = self.clock(&at("shade_to"), &panel.shade_to);
        if from == to {
            return [share; 24];
        }
        let hours = f64::from((to + 1440 - from) % 1440) / 60.0;
        let by_clock = hours_open(from, hours).map(|open| open * share);
        let ahead_h = living.utc_offset_h - living.site.lon_deg / 15.0;
        solar::shift_hours(&by_clock, -ahead_h)
    }

    fn clock(&mut self, field: &str, text: &str) -> u16 {
        read_clock(text).unwrap_or_else(|says| {
            self.refuse(field, says, "");
            0
        })
    }
}

/// Makes inputs of a plan.
///
/// # Errors
/// Every fault of the plan, each with its field, what is so and what would do.
pub fn import(plan: &Plan) -> Result<Inputs, Vec<Finding>> {
    let mut check = Check {
        plan,
        faults: Vec::new(),
    };
    for (field, draft) in &plan.drafts {
        check.refuse(field.clone(), draft.says.clone(), "");
    }
    if ![12.0, 24.0, 48.0].contains(&plan.volts) {
        check.refuse(
            "plan/volts",
            format!(
                "A rig of {} V isn't one of those planned here.",
                tidy(plan.volts)
            ),
            "Choose 12, 24 or 48 V.",
        );
    }
    let volts = plan.volts;
    let wanted_days = check.number(
        "plan/wanted_days",
        "The time to last",
        Quantity::Days,
        plan.wanted_days,
        0.1,
        60.0,
    );
    let loads = loads(&mut check, plan);
    let needs_inverter = loads.iter().any(|load| load.supply == energy::Supply::Ac);
    let inverter = needs_inverter.then(|| inverter(&mut check, &plan.inverter));
    let inverter_cutoff_v = check.number(
        "inverter/cutoff_v",
        "The inverter's cut-out",
        Quantity::Voltage,
        plan.inverter.cutoff_v,
        8.0,
        13.0,
    ) * volts
        / 12.0;
    let metered_wh = metered(&mut check, plan);
    if loads.is_empty() && metered_wh.is_none() {
        check.refuse(
            "loads",
            "Nothing runs yet.",
            "Start with what you use most.",
        );
    }
    let living = living(&mut check, &plan.living);
    let sun = plan
        .sun
        .fitted
        .then(|| sun(&mut check, &plan.sun, &living, volts));
    let driving = plan
        .alternator
        .fitted
        .then(|| driving(&mut check, &plan.alternator, volts));
    let shore = plan
        .shore
        .fitted
        .then(|| shore(&mut check, &plan.shore, volts));
    if plan.candidates.is_empty() {
        check.refuse(
            "candidates",
            "There is no battery to plan with.",
            "Add one.",
        );
    }
    if plan.candidates.len() > MOST_CANDIDATES {
        check.refuse(
            "candidates",
            format!(
                "{} candidates are too many to compare.",
                plan.candidates.len()
            ),
            "Keep four at the most.",
        );
    }
    let candidates = plan
        .candidates
        .iter()
        .take(MOST_CANDIDATES)
        .map(|row| candidate(&mut check, row, volts))
        .collect::<Vec<_>>();
    let locker = plan
        .locker
        .measured
        .then(|| space::locker(&mut check, &plan.locker));
    let solid = |row: &&plan::Obstacle| row.shape != plan::Shape::WeakFloor;
    let things = plan.locker.obstacles.iter().filter(solid);
    let things = things.map(|row| row.what).collect();
    let wiring = wiring::wiring(&mut check, plan, &candidates);
    let ranges = ranges(&mut check, &plan.doubts);
    let watt_price = plan.sun.watt_price.map(|price| {
        let what = "The price of a watt of panel";
        check.number("sun/watt_price", what, Quantity::Money, price, 0.0, 1e6)
    });
    let fuel_l_h = plan.shore.fuel_l_h.map(|litres| {
        check.number(
            "shore/fuel_l_h",
            "What the generator burns",
            Quantity::Number,
            litres,
            0.0,
            50.0,
        )
    });
    if !check.faults.is_empty() {
        return Err(check.faults);
    }
    Ok(Inputs {
        name: plan.name.clone(),
        volts,
        wanted_days,
        chosen: plan.chosen,
        guesses: plan.guesses.len(),
        loads,
        inverter,
        inverter_cutoff_v,
        mains_v: match plan.inverter.mains {
            Mains::V230 => 230.0,
            Mains::V120 => 120.0,
        },
        metered_wh,
        living,
        sun,
        driving,
        shore,
        fuel_l_h,
        candidates,
        locker,
        things,
        cables: space::cables(&plan.locker),
        wiring,
        ranges,
        watt_price,
    })
}

/// How far what is uncertain may be out.
fn ranges(check: &mut Check<'_>, row: &plan::Doubts) -> Ranges {
    let mut share = |name: &str, what: &str, value: f64| {
        let what = format!("How far {what} may be out");
        let field = format!("doubts/{name}");
        check.number(&field, &what, Quantity::Share, value, 0.0, 0.9)
    };
    Ranges {
        use_share: share("use_share", "what runs", row.use_share),
        sky_share: share("sky_share", "the sky", row.sky_share),
        shade_share: share("shade_share", "the shadow", row.shade_share),
        capacity_share: share("capacity_share", "the capacity", row.capacity_share),
        driving_share: share("driving_share", "driving", row.driving_share),
        age_years: check.number(
            "doubts/age_years",
            "How far the age may be out",
            Quantity::Years,
            row.age_years,
            0.0,
            20.0,
        ),
        warmth_k: check.number(
            "doubts/warmth_k",
            "How far the warmth may be out",
            Quantity::Warmth,
            row.warmth_k,
            0.0,
            20.0,
        ),
    }
}

fn metered(check: &mut Check<'_>, plan: &Plan) -> Option<f64> {
    if !plan.meter.used {
        return None;
    }
    let (quantity, most, per) = match plan.meter.unit {
        MeterUnit::Ah => (Quantity::Charge, 5000.0, plan.volts),
        MeterUnit::Wh => (Quantity::Energy, 200_000.0, 1.0),
    };
    Some(
        check.number(
            "meter/amount",
            "What the meter said",
            quantity,
            plan.meter.amount,
            0.1,
            most,
        ) * per,
    )
}

fn loads(check: &mut Check<'_>, plan: &Plan) -> Vec<energy::Load> {
    if plan.loads.len() > MOST_LOADS {
        check.refuse(
            "loads",
            format!(
                "{} loads are more than this page can hold.",
                plan.loads.len()
            ),
            "Join some of them: 400 at the most.",
        );
    }
    plan.loads
        .iter()
        .take(MOST_LOADS)
        .map(|row| load(check, row, plan.volts))
        .collect()
}

fn load(check: &mut Check<'_>, row: &plan::Load, volts: f64) -> energy::Load {
    let at = |name: &str| format!("loads/{}/{name}", row.id);
    let name = if row.name.trim().is_empty() {
        "this load"
    } else {
        row.name.trim()
    };
    let of = |what: &str| format!("{what} of {name}");
    let count = check.number(
        &at("count"),
        &of("The number"),
        Quantity::Count,
        row.count,
        0.0,
        1000.0,
    );
    let power_w = match row.draw_unit {
        DrawUnit::W => check.number(
            &at("draw"),
            &of("The draw"),
            Quantity::Power,
            row.draw,
            0.0,
            20_000.0,
        ),
        DrawUnit::A => {
            volts
                * check.number(
                    &at("draw"),
                    &of("The draw"),
                    Quantity::Current,
                    row.draw,
                    0.0,
                    1000.0,
                )
        }
    };
    let surge = check.number(
        &at("surge"),
        &of("The starting draw"),
        Quantity::Times,
        row.surge,
        1.0,
        20.0,
    );
    let window = Window {
        from_min: check.clock(&at("from"), &row.from),
        to_min: check.clock(&at("to"), &row.to),
    };
    let usage = match row.way {
        Way::Always => Usage::Always,
        Way::Hours => Usage::Hours {
            hours: check.number(
                &at("hours"),
                &of("The use"),
                Quantity::Hours,
                row.hours,
                0.0,
                24.0,
            ),
            window,
        },
        Way::Runs => Usage::Runs {
            runs: check.number(
                &at("runs"),
                &of("The runs a day"),
                Quantity::Number,
                row.runs,
                0.0,
                1440.0,
            ),
            minutes: check.number(
                &at("minutes"),
                &of("A run"),
                Quantity::Minutes,
                row.minutes,
                0.0,
                1440.0,
            ),
            window,
        },
        Way::Thermostat => Usage::Thermostat {
            set_c: check.number(
                &at("set_c"),
                &of("The set temperature"),
                Quantity::Temperature,
                row.set_c,
                -40.0,
                90.0,
            ),
            ref_c: check.number(
                &at("ref_c"),
                &of("The reference temperature"),
                Quantity::Temperature,
                row.ref_c,
                -40.0,
                60.0,
            ),
            duty_ref: check.share(&at("duty"), &of("The running share"), row.duty, 0.0),
            window,
        },
    };
    if row.way == Way::Thermostat && (row.set_c - row.ref_c).abs() < 0.5 {
        check.refuse(
            at("ref_c"),
            format!("{name} runs a share of the time at a temperature that it already has."),
            "Write the temperature of the air at which it runs that share: warmer than it keeps for a fridge, colder for a heater.",
        );
    }
    if let Some(over) = fits_window(&usage) {
        let field = if row.way == Way::Runs {
            at("minutes")
        } else {
            at("hours")
        };
        check.refuse(
            field,
            format!(
                "{name} can't run {} inside a window of {}.",
                hours_words(over.running_h),
                hours_words(over.window_h)
            ),
            format!(
                "Shorten its use to {} or widen the window.",
                hours_words(over.window_h)
            ),
        );
    }
    if row.months.iter().any(|month| !(1..=12).contains(month)) {
        check.refuse(
            at("months"),
            format!("{name} names a month that isn't one."),
            "Write months from 1 to 12.",
        );
    }
    energy::Load {
        id: row.id,
        name: name.to_owned(),
        count,
        power_w,
        surge_w: power_w * surge,
        supply: match row.supply {
            Supply::Dc => energy::Supply::Dc,
            Supply::Ac => energy::Supply::Ac,
        },
        days: DayKind::ALL.map(|kind| row.days.contains(&kind)),
        months: std::array::from_fn(|month| {
            row.months.is_empty() || row.months.contains(&(month as u8 + 1))
        }),
        usage,
        ambient: match row.air {
            Air::Cabin => Ambient::Cabin,
            Air::Outdoors => Ambient::Outdoors,
        },
    }
}

fn inverter(check: &mut Check<'_>, row: &plan::Inverter) -> energy::Inverter {
    let rated_w = check.number(
        "inverter/rated_w",
        "The inverter's rating",
        Quantity::Power,
        row.rated_w,
        10.0,
        50_000.0,
    );
    energy::Inverter {
        rated_w,
        surge_w: check
            .number(
                "inverter/surge_w",
                "The inverter's short-time rating",
                Quantity::Power,
                row.surge_w,
                10.0,
                150_000.0,
            )
            .max(rated_w),
        idle_w: check.number(
            "inverter/idle_w",
            "The inverter's own draw",
            Quantity::Power,
            row.idle_w,
            0.0,
            500.0,
        ),
        eff_peak: check.share(
            "inverter/peak_efficiency",
            "The inverter's best efficiency",
            row.peak_efficiency,
            0.5,
        ),
        eff_rated: row.rated_efficiency.map(|share| {
            check.share(
                "inverter/rated_efficiency",
                "The inverter's efficiency at rated power",
                share,
                0.4,
            )
        }),
        idle: match row.idle {
            plan::Idle::WithLoads => energy::Idle::WithLoads,
            plan::Idle::AllDay => energy::Idle::AllDay,
        },
    }
}

fn living(check: &mut Check<'_>, row: &plan::Living) -> Living {
    let site = Site {
        lat_deg: check.number(
            "living/lat",
            "The latitude",
            Quantity::Angle,
            row.lat,
            -90.0,
            90.0,
        ),
        lon_deg: check.number(
            "living/lon",
            "The longitude",
            Quantity::Angle,
            row.lon,
            -180.0,
            180.0,
        ),
    };
    if !(1..=12).contains(&row.month) {
        check.refuse(
            "living/month",
            format!("Month {} isn't one.", row.month),
            "Choose one from 1 to 12.",
        );
    }
    let mut days = [0.0f64; 4];
    let mut rhythm = Vec::new();
    for stretch in &row.rhythm {
        let field = format!("living/rhythm/{}/days", stretch.id);
        let held = check.number(
            &field,
            "A stretch of days",
            Quantity::Days,
            stretch.days,
            0.0,
            366.0,
        );
        if let Some(sum) = days.get_mut(stretch.kind.index()) {
            *sum += held;
        }
        rhythm.push((stretch.kind, held.round() as u32));
    }
    let sum: f64 = days.iter().sum();
    if sum <= 0.0 {
        check.refuse(
            "living",
            "The rhythm has no days.",
            "Add at least one day of some kind.",
        );
    }
    let table = solar::mean_temperature_c(site.lat_deg);
    let mut outdoors_c = table.map(f64::round);
    for (month, (mean, own)) in outdoors_c.iter_mut().zip(&row.outdoors_c).enumerate() {
        if let Some(own) = own {
            let field = format!("living/outdoors_c/{}", month + 1);
            *mean = check.number(
                &field,
                "A mean temperature",
                Quantity::Temperature,
                *own,
                -60.0,
                50.0,
            );
        }
    }
    let (starts, stays) = dates(check, row);
    Living {
        clearer: 1.0,
        site,
        starts,
        stays,
        utc_offset_h: check.number(
            "living/utc_offset_h",
            "The clock's offset",
            Quantity::Number,
            row.utc_offset_h,
            -14.0,
            14.0,
        ),
        month: usize::from(row.month.clamp(1, 12) - 1),
        rhythm: if rhythm.iter().all(|(_, days)| *days == 0) {
            vec![(DayKind::Parked, 1)]
        } else {
            rhythm
        },
        shares: days.map(|days| if sum > 0.0 { days / sum } else { 0.25 }),
        outdoors_c,
        swing_k: check.number(
            "living/swing_k",
            "The daily swing",
            Quantity::Warmth,
            row.swing_k,
            0.0,
            40.0,
        ),
        cabin_c: check.number(
            "living/cabin_c",
            "The cabin's warmth",
            Quantity::Temperature,
            row.cabin_c,
            -30.0,
            40.0,
        ),
        battery_air: match row.battery_place {
            BatteryPlace::Cabin => BatteryAir::Cabin,
            BatteryPlace::Outdoors => BatteryAir::Outdoors,
            BatteryPlace::Between => BatteryAir::Between,
            BatteryPlace::Own => BatteryAir::Own(check.number(
                "living/battery_c",
                "The batteries' temperature",
                Quantity::Temperature,
                row.battery_c,
                -60.0,
                70.0,
            )),
        },
    }
}

/// The first day of the year and the dated stretches in it.
fn dates(
    check: &mut Check<'_>,
    row: &plan::Living,
) -> (NaiveDate, Vec<(NaiveDate, NaiveDate, DayKind)>) {
    let mut stays = Vec::new();
    for stay in &row.stays {
        let at = |name: &str| format!("living/stays/{}/{name}", stay.id);
        let from = check.date(&at("from"), &stay.from);
        let to = check.date(&at("to"), &stay.to);
        if let (Some(from), Some(to)) = (from, to) {
            if to < from {
                check.refuse(
                    at("to"),
                    format!("{to} lies before {from}."),
                    "Give the first day first.",
                );
            }
            stays.push((from, to, stay.kind));
        }
    }
    let first_stay = stays.iter().map(|(from, ..)| *from).min();
    let starts = if row.starts.trim().is_empty() {
        let year = first_stay.map_or(COMMON_YEAR, |day| day.year());
        NaiveDate::from_ymd_opt(year, 1, 1)
    } else {
        check.date("living/starts", &row.starts)
    };
    let starts = starts.unwrap_or_default();
    let ends = starts
        .checked_add_months(Months::new(12))
        .unwrap_or(NaiveDate::MAX);
    for (stay, (from, to, _)) in row.stays.iter().zip(&stays) {
        if *from < starts || *to >= ends {
            check.refuse(
                format!("living/stays/{}/from", stay.id),
                format!("{from} to {to} lies outside the year that starts on {starts}."),
                "Change these days or the first day of the year.",
            );
        }
    }
    (starts, stays)
}

/// A year of 365 days, for plans without a date. Assumed.
const COMMON_YEAR: i32 = 2027;

fn sun(check: &mut Check<'_>, row: &plan::Sun, living: &Living, volts: f64) -> Sun {
    let losses = check.number(
        "sun/losses",
        "The losses",
        Quantity::Share,
        row.losses,
        0.0,
        0.9,
    );
    let noct_c = check.number(
        "sun/noct_c",
        "The cell temperature",
        Quantity::Temperature,
        row.noct_c,
        20.0,
        90.0,
    );
    let power_per_k = check.number(
        "sun/temp_coefficient",
        "The temperature coefficient",
        Quantity::SharePerKelvin,
        row.temp_coefficient,
        -0.02,
        0.0,
    );
    let parts = row
        .panels
        .iter()
        .map(|panel| {
            let at = |name: &str| format!("sun/panels/{}/{name}", panel.id);
            let shading = check.number(
                &at("shading"),
                "The share lost to shadow",
                Quantity::Share,
                panel.shading,
                0.0,
                1.0,
            );
            ArrayPart {
                rated_w: check.number(
                    &at("watts"),
                    "The panel's power",
                    Quantity::Power,
                    panel.watts,
                    1.0,
                    100_000.0,
                ),
                tilt_deg: check.number(
                    &at("tilt"),
                    "The tilt",
                    Quantity::Angle,
                    panel.tilt,
                    0.0,
                    90.0,
                ),
                azimuth_deg: check.number(
                    &at("azimuth"),
                    "The direction",
                    Quantity::Angle,
                    panel.azimuth,
                    -360.0,
                    360.0,
                ),
                noct_c,
                power_per_k,
                dirt_share: losses,
                mismatch_share: 0.0,
                wiring_share: 0.0,
                shade_share: check.shade(&at, panel, shading, living),
            }
        })
        .collect();
    let output_limit_a = check.number(
        "sun/controller_a",
        "The controller's current",
        Quantity::Current,
        row.controller_a,
        0.5,
        2000.0,
    );
    let efficiency = check.share(
        "sun/controller_efficiency",
        "The controller's efficiency",
        row.controller_efficiency,
        0.5,
    );
    let panel_vmp = check.number(
        "sun/panel_vmp",
        "The panel's voltage",
        Quantity::Voltage,
        row.panel_vmp,
        10.0,
        60.0,
    );
    let mut own = row.peak_sun_hours;
    for (month, hours) in own.iter_mut().enumerate() {
        if let Some(hours) = hours {
            let field = format!("sun/peak_sun_hours/{}", month + 1);
            *hours = check.number(
                &field,
                "A month's peak sun hours",
                Quantity::Number,
                *hours,
                0.0,
                14.0,
            );
        }
    }
    let series = series(check, row);
    Sun {
        parts,
        series,
        albedo: check.share("sun/albedo", "What the ground throws back", row.albedo, 0.0),
        controller: match row.controller {
            ControllerKind::Tracking => Controller::MaximumPowerPoint {
                efficiency,
                output_limit_a,
            },
            ControllerKind::Switching => Controller::SeriesSwitching {
                array_vmp_v: panel_vmp * volts / 12.0,
                output_limit_a,
            },
        },
        sky: match row.sunniness {
            plan::Sunniness::Duller => SkyThanRegion::Duller,
            plan::Sunniness::About => SkyThanRegion::About,
            plan::Sunniness::Sunnier => SkyThanRegion::Sunnier,
        },
        own,
    }
}

/// Panels in series, where one's open-circuit voltage was read off its label.
fn series(check: &mut Check<'_>, row: &plan::Sun) -> Option<PanelSeries> {
    let mut open =
        |name: &str, what: &str, quantity: Quantity, value: Option<f64>, span: (f64, f64)| {
            let field = format!("sun/{name}");
            value.map(|value| check.number(&field, what, quantity, value, span.0, span.1))
        };
    let voltage = Quantity::Voltage;
    let voc = open(
        "panel_voc",
        "The panel's open-circuit voltage",
        voltage,
        row.panel_voc,
        (1.0, 200.0),
    );
    let count = open(
        "in_series",
        "The number in series",
        Quantity::Count,
        row.in_series,
        (1.0, 40.0),
    );
    let most_v = open(
        "controller_max_v",
        "What the controller bears",
        voltage,
        row.controller_max_v,
        (10.0, 1500.0),
    );
    let coldest_c = open(
        "coldest_c",
        "The coldest morning",
        Quantity::Temperature,
        row.coldest_c,
        (-60.0, 40.0),
    );
    Some(PanelSeries {
        count: count.unwrap_or(1.0).round() as usize,
        open_circuit_v: voc?,
        most_v,
        coldest_c,
    })
}

fn driving(check: &mut Check<'_>, row: &plan::Alternator, volts: f64) -> Driving {
    let scale = volts / 12.0;
    let alternator_v = check.number(
        "alternator/volts",
        "The alternator's voltage",
        Quantity::Voltage,
        row.volts,
        12.0,
        16.0,
    ) * scale;
    let output_a = check.number(
        "alternator/dcdc_a",
        "The charger's output",
        Quantity::Current,
        row.dcdc_a,
        1.0,
        1000.0,
    );
    let efficiency = check.share(
        "alternator/dcdc_efficiency",
        "The charger's efficiency",
        row.dcdc_efficiency,
        0.5,
    );
    let input_share = check.share(
        "alternator/share",
        "The charger's part of the alternator",
        row.share,
        0.01,
    );
    let cable_ohm = check.number(
        "alternator/link_mohm",
        "The link's resistance",
        Quantity::Resistance,
        row.link_mohm,
        0.1,
        1000.0,
    ) / 1000.0;
    Driving {
        alternator: charge::Alternator {
            rated_a: check.number(
                "alternator/rated_a",
                "The alternator's rating",
                Quantity::Current,
                row.rated_a,
                1.0,
                1000.0,
            ),
            hot_factor: check.share("alternator/hot", "What is left when hot", row.hot, 0.05),
            speed_factor: check.share(
                "alternator/speed",
                "What is left at that speed",
                row.speed,
                0.05,
            ),
            own_draw_a: check.number(
                "alternator/own_draw_a",
                "The vehicle's own draw",
                Quantity::Current,
                row.own_draw_a,
                0.0,
                500.0,
            ),
            volts: alternator_v,
            link: match row.link {
                LinkKind::DcDc => charge::Link::DcDc {
                    output_a,
                    efficiency,
                    input_share,
                    volts_out: alternator_v,
                },
                LinkKind::Relay => charge::Link::Relay { cable_ohm },
            },
        },
        hours: check.number(
            "alternator/hours",
            "The driving",
            Quantity::Hours,
            row.hours,
            0.0,
            24.0,
        ),
        from_min: check.clock("alternator/from", &row.from),
    }
}

fn shore(check: &mut Check<'_>, row: &plan::Shore, volts: f64) -> charge::Shore {
    let scale = volts / 12.0;
    let hours = check.number(
        "shore/hours",
        "The supply",
        Quantity::Hours,
        row.hours,
        0.0,
        24.0,
    );
    let from_min = check.clock("shore/from", &row.from);
    charge::Shore {
        charger_a: check.number(
            "shore/charger_a",
            "The charger's rating",
            Quantity::Current,
            row.charger_a,
            0.5,
            1000.0,
        ),
        boost_v: check.number(
            "shore/boost_v",
            "The boost voltage",
            Quantity::Voltage,
            row.boost_v,
            12.0,
            16.5,
        ) * scale,
        float_v: check.number(
            "shore/float_v",
            "The float voltage",
            Quantity::Voltage,
            row.float_v,
            12.0,
            15.0,
        ) * scale,
        powered: hours_open(from_min, hours),
    }
}

/// Share of each clock hour that lies in `hours` from a minute on; may pass midnight.
pub(crate) fn hours_open(from_min: u16, hours: f64) -> [f64; 24] {
    if hours >= 24.0 {
        return [1.0; 24];
    }
    let start = f64::from(from_min) / 60.0;
    std::array::from_fn(|hour| {
        let lit =
            |from: f64| ((from + hours).min(hour as f64 + 1.0) - from.max(hour as f64)).max(0.0);
        (lit(start) + lit(start - 24.0)).min(1.0)
    })
}

fn candidate(check: &mut Check<'_>, row: &plan::Candidate, volts: f64) -> Candidate {
    let at = |name: &str| format!("candidates/{}/{name}", row.id);
    let battery_v = check.number(
        &at("battery_v"),
        "The voltage of one battery",
        Quantity::Voltage,
        row.battery_v,
        2.0,
        60.0,
    );
    let series = check.count(
        &at("series"),
        "The batteries in a string",
        row.series,
        1,
        24,
    );
    let parallel = check.count(
        &at("parallel"),
        "The strings side by side",
        row.parallel,
        1,
        24,
    );
    let string_v = battery_v * f64::from(series);
    if (string_v - volts).abs() > 0.12 * volts {
        let fitting = (volts / battery_v).round().max(1.0);
        let mend = if (fitting * battery_v - volts).abs() <= 0.12 * volts {
            format!("Put {} in series.", tidy(fitting))
        } else {
            format!(
                "Choose a battery whose voltage goes into {} V.",
                tidy(volts)
            )
        };
        check.refuse(
            at("series"),
            format!(
                "{series} × {} V in series make {} V, but the rig has {} V.",
                tidy(battery_v),
                tidy(string_v),
                tidy(volts)
            ),
            mend,
        );
    }
    let capacity_ah = check.number(
        &at("capacity_ah"),
        "The rated capacity",
        Quantity::Charge,
        row.capacity_ah,
        1.0,
        5000.0,
    );
    let hours = check.number(
        &at("rate_h"),
        "The rated time",
        Quantity::Hours,
        row.rate_h,
        0.2,
        120.0,
    );
    let second = match row.second {
        Second::None => None,
        Second::Reserve => Some(SecondRating::ReserveMinutes(check.number(
            &at("reserve_min"),
            "The reserve",
            Quantity::Minutes,
            row.reserve_min,
            5.0,
            10_000.0,
        ))),
        Second::Capacity => Some(SecondRating::Capacity {
            ah: check.number(
                &at("second_ah"),
                "The second capacity",
                Quantity::Charge,
                row.second_ah,
                1.0,
                5000.0,
            ),
            hours: check.number(
                &at("second_h"),
                "The second rated time",
                Quantity::Hours,
                row.second_h,
                0.2,
                240.0,
            ),
        }),
    };
    let traits = row.chemistry.traits();
    let depth = row.depth.map_or(traits.depth_recommended, |depth| {
        check.share(&at("depth"), "The planned depth", depth, 0.05)
    });
    let battery = Battery {
        chemistry: row.chemistry,
        label: Label {
            volts: battery_v,
            capacity_ah,
            hours,
            second,
        },
        max_discharge_a: row.max_discharge_a.map(|a| {
            check.number(
                &at("max_discharge_a"),
                "The most that one gives",
                Quantity::Current,
                a,
                0.5,
                5000.0,
            )
        }),
        max_charge_a: row.max_charge_a.map(|a| {
            check.number(
                &at("max_charge_a"),
                "The most that one takes",
                Quantity::Current,
                a,
                0.5,
                5000.0,
            )
        }),
    };
    let fitted = battery::fit(&battery);
    let first_years = check.number(
        &at("age_years"),
        "The age",
        Quantity::Years,
        row.age_years,
        0.0,
        40.0,
    );
    let later = row.later_years.map(|years| {
        check.number(
            &at("later_years"),
            "How much later the last string comes",
            Quantity::Years,
            years,
            0.0,
            20.0,
        )
    });
    // One string alone can't come in two parts.
    let later = later
        .filter(|_| parallel > 1)
        .map(|years| Later { years, first_years });
    let mass_kg = check.number(
        &at("mass_kg"),
        "The mass",
        Quantity::Mass,
        row.mass_kg,
        0.1,
        2000.0,
    );
    Candidate {
        id: row.id,
        bank: Bank {
            battery,
            series,
            parallel,
            depth,
            hard_depth: traits.depth_hard.max(depth),
        },
        fitted,
        age_years: match later {
            // New when the others are so much older.
            Some(later) => {
                (later.first_years + later.years) * f64::from(parallel - 1) / f64::from(parallel)
            }
            None => first_years,
        },
        later,
        case: space::case(check, row, &at, mass_kg),
        mass_kg,
        price: row
            .price
            .map(|price| check.number(&at("price"), "The price", Quantity::Money, price, 0.0, 1e7)),
    }
}
