//! Plan to inputs: the only place that refuses. Every fault is named, all at once, each at its field.

mod banks;
mod links;
mod living;
mod loads;
mod sources;
mod space;
mod usual;
mod wiring;

pub(crate) use sources::hours_open;

use crate::energy;
use crate::evaluate::hardest_month;
use crate::finding::{Finding, Gravity};
use crate::inputs::{Inputs, Living, Ranges, Widened};
use crate::plan::{self, Mains, Plan};
use crate::solar;
use crate::units::{Quantity, read_clock, read_date, tidy};
use crate::words::echo;
use chrono::{Datelike, NaiveDate};

/// Most candidates compared.
const MOST_CANDIDATES: usize = 4;
/// Years that a plan's dates may lie in.
const YEARS: std::ops::RangeInclusive<i32> = 1990..=2199;

/// Collects what is wrong.
struct Check<'a> {
    plan: &'a Plan,
    faults: Vec<Finding>,
    /// Loads whose window was widened.
    widened: Vec<Widened>,
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
            // Of the two zeros, the one without a sign.
            return value + 0.0;
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

    fn refuse_month(&mut self, field: &str, month: u8) {
        self.refuse(
            field,
            format!("Month {month} isn't one."),
            "Choose one from 1 to 12, or 0 for none.",
        );
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
        let found = read_date(text).filter(|day| YEARS.contains(&day.year()));
        if found.is_none() {
            self.refuse(
                field,
                if text.trim().is_empty() {
                    "A day is missing.".to_owned()
                } else {
                    format!("“{}” isn't a day.", echo(text.trim()))
                },
                "Write year, month and day, as in 2027-08-12.",
            );
        }
        found
    }

    /// Share of a panel's output lost to shadow in each solar hour: its share while the shadow falls by the home's clock in standard
    /// time. The equation of time, a quarter of an hour at most, is left out. At other places it falls at the same solar hours.
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
        let home = &living.home;
        let ahead_h = home.standard_ahead_h() - home.site.lon_deg / 15.0;
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
        widened: Vec::new(),
    };
    for (field, draft) in &plan.drafts {
        let says = match draft.says.trim() {
            "" => format!("“{}” can't be read.", echo(draft.text.trim())),
            says => says.to_owned(),
        };
        check.refuse(field.clone(), says, "");
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
    let loads = loads::loads(&mut check, plan);
    let needs_inverter = loads.iter().any(|load| load.supply == energy::Supply::Ac);
    let inverter = needs_inverter.then(|| loads::inverter(&mut check, &plan.inverter));
    let inverter_cutoff_v = check.number(
        "inverter/cutoff_v",
        "The inverter's cut-out",
        Quantity::Voltage,
        plan.inverter.cutoff_v,
        8.0,
        13.0,
    ) * volts
        / 12.0;
    let metered_wh = loads::metered(&mut check, plan);
    if loads.is_empty() && metered_wh.is_none() {
        check.refuse(
            "loads",
            "Nothing runs yet.",
            "Start with what you use most.",
        );
    }
    let living = living::living(&mut check, &plan.living);
    let sun = plan
        .sun
        .fitted
        .then(|| sources::sun(&mut check, &plan.sun, &living, volts));
    let driving = plan
        .alternator
        .fitted
        .then(|| sources::driving(&mut check, &plan.alternator, volts));
    let shore = plan
        .shore
        .fitted
        .then(|| sources::shore(&mut check, &plan.shore, volts));
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
        .map(|row| banks::candidate(&mut check, row, volts))
        .collect::<Vec<_>>();
    let locker = plan
        .locker
        .measured
        .then(|| space::locker(&mut check, &plan.locker));
    let solid = |row: &&plan::Obstacle| row.shape != plan::Shape::WeakFloor;
    let things = plan.locker.obstacles.iter().filter(solid);
    let what = |row: &plan::Obstacle| match row.is_safety_part() {
        true => plan::Thing::SafetyPart,
        false => row.what,
    };
    let things = things.map(what).collect();
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
    let mut inputs = Inputs {
        name: plan.name.clone(),
        units: plan.units,
        rig: plan.rig,
        volts,
        wanted_days,
        chosen: plan.chosen,
        guesses: plan.open_guesses().count(),
        loads,
        widened: check.widened,
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
    };
    if plan.living.month == 0 {
        inputs.living.month = hardest_month(&inputs);
    }
    Ok(inputs)
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
