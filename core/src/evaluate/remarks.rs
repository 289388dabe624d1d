//! What is wrong with a plan, or worth knowing, each remark at the field that it speaks of.

use super::climate::Year;
use super::{limits, space};
use crate::battery::FitVerdict;
use crate::charge::{Bus, Link};
use crate::energy::{Coincident, Consumption, DayUse, LossCurve, Window};
use crate::finding::{Finding, Gravity};
use crate::inputs::{Candidate, Inputs};
use crate::plan::Units;
use crate::report::{BankReport, ColdPanels, Month};
use crate::units::{clock, hours, tidy};
use crate::words;

/// Share below which an inverter's efficiency at rated power is called low. Assumed.
const LOW_EFFICIENCY: f64 = 0.8;
/// Voltage above which touching DC is dangerous [V] (common limit of extra-low voltage, IEC 61140).
pub(super) const TOUCH_V: f64 = 60.0;

pub(super) type Found = Vec<Finding>;

pub(super) fn find(
    inputs: &Inputs,
    year: &Year,
    consumption: &Consumption,
    parked: &DayUse,
    most: &Coincident,
    months: &[Month],
    banks: &[BankReport],
) -> Found {
    let mut found = Found::new();
    loads(&mut found, inputs, parked);
    inverter(&mut found, inputs, consumption, most);
    driving(&mut found, inputs);
    sources(&mut found, inputs, months);
    for (row, bank) in inputs.candidates.iter().zip(banks) {
        candidate(&mut found, inputs, year, row, bank, most);
    }
    space::remarks(&mut found, inputs, banks);
    found
}

pub(super) fn add(
    found: &mut Found,
    gravity: Gravity,
    field: impl Into<String>,
    says: impl Into<String>,
    mend: impl Into<String>,
) {
    found.push(Finding::new(gravity, field, says, mend));
}

fn loads(found: &mut Found, inputs: &Inputs, parked: &DayUse) {
    if inputs.loads.is_empty() {
        add(
            found,
            Gravity::Caution,
            "loads",
            "Only a meter tells what runs, so the largest current isn't known: cables and fuses are sized for charging alone.",
            "List at least what draws most before you buy any.",
        );
    }
    for wide in &inputs.widened {
        let load = inputs.loads.iter().find(|load| load.id == wide.load);
        let name = load.map_or("this load", |load| load.name.as_str());
        let [from, typed, to] =
            [wide.typed.from_min, wide.typed.to_min, wide.window.to_min].map(clock);
        let planned = if wide.window == Window::WHOLE_DAY {
            "It is planned for the whole day.".to_owned()
        } else {
            format!("It is planned until {to}.")
        };
        add(
            found,
            Gravity::Note,
            format!("loads/{}/to", wide.load),
            format!(
                "{name} runs {}, which is longer than from {from} to {typed}.",
                hours(wide.running_h)
            ),
            format!("{planned} Change the hours or the window if that is wrong."),
        );
    }
    for use_ in parked.loads.iter().filter(|use_| use_.saturated) {
        let name = inputs
            .loads
            .iter()
            .find(|load| load.id == use_.id)
            .map_or("this load", |load| load.name.as_str());
        add(
            found,
            Gravity::Caution,
            format!("loads/{}/duty", use_.id),
            format!(
                "{name} runs without a pause in some hours of this month and can't hold its temperature."
            ),
            "A stronger one, better insulation, or another set temperature would do.",
        );
    }
}

fn inverter(found: &mut Found, inputs: &Inputs, consumption: &Consumption, most: &Coincident) {
    if consumption.lacks_inverter() {
        add(
            found,
            Gravity::Grave,
            "inverter/rated_w",
            "Something runs on AC, but there is no inverter.",
            "Add one.",
        );
    }
    let Some(label) = &inputs.inverter else {
        return;
    };
    let (curve, disagree) = LossCurve::fit(label);
    if disagree {
        add(
            found,
            Gravity::Note,
            "inverter/peak_efficiency",
            "The inverter's figures don't quite agree with one another; the losses follow its own draw and its efficiency at rated power.",
            "Look at its data sheet again if you can.",
        );
    }
    if label.eff_rated.is_none() && curve.efficiency(1.0) < LOW_EFFICIENCY {
        add(
            found,
            Gravity::Note,
            "inverter/rated_efficiency",
            format!(
                "From these figures the inverter would be only {} efficient at its rated power.",
                words::percent(curve.efficiency(1.0))
            ),
            "Type its efficiency at rated power, if its data sheet gives it.",
        );
    }
    if most.ac_running_w > label.rated_w {
        add(
            found,
            Gravity::Grave,
            "inverter/rated_w",
            format!(
                "What can run on it at once takes {} W, but the inverter gives {} W.",
                words::whole(most.ac_running_w),
                tidy(label.rated_w)
            ),
            "Take a larger one, or keep those loads to different hours.",
        );
    } else if most.ac_surge_w > label.surge_w {
        add(
            found,
            Gravity::Grave,
            "inverter/surge_w",
            format!(
                "Starting, its loads take {} W for a moment, but the inverter gives {} W.",
                words::whole(most.ac_surge_w),
                tidy(label.surge_w)
            ),
            "Take a larger one, or start that load alone.",
        );
    }
}

fn driving(found: &mut Found, inputs: &Inputs) {
    let Some(driving) = &inputs.driving else {
        return;
    };
    let bus = Bus {
        open_circuit_v: inputs.volts,
        resistance_ohm: 0.0,
        acceptance_a: f64::INFINITY,
        load_a: 0.0,
    };
    let Link::DcDc { output_a, .. } = driving.alternator.link else {
        return;
    };
    let ask = driving.alternator.asks(&bus);
    if ask.over_surplus || ask.over_share {
        let given = ask
            .share_a
            .map_or(ask.surplus_a, |share| share.min(ask.surplus_a));
        add(
            found,
            Gravity::Caution,
            "alternator/dcdc_a",
            format!(
                "A DC-DC charger of {} A asks {} A of the alternator, which can spare {} A.",
                tidy(output_a),
                words::whole(ask.asked_a),
                words::whole(given.max(0.0))
            ),
            "Take a smaller charger, or one that can be set lower; a hot alternator burns out.",
        );
    }
    if inputs.living.shares.get(1).copied().unwrap_or(0.0) <= 0.0 {
        add(
            found,
            Gravity::Note,
            "alternator/hours",
            "The rhythm has no travelling days, so the engine brings nothing.",
            "Add travelling days if there are any.",
        );
    }
}

/// Panels whose voltage on a cold morning is more than the controller bears, or more than one should touch.
pub(super) fn panels(found: &mut Found, cold: Option<&ColdPanels>) {
    let Some(cold) = cold else { return };
    if let Some(most_v) = cold.most_v
        && cold.volts > most_v
    {
        add(
            found,
            Gravity::Grave,
            "sun/controller_max_v",
            format!(
                "On the coldest morning the panels reach {:.1} V, more than the {} V that the controller bears: the first light can destroy it.",
                cold.volts,
                tidy(most_v)
            ),
            "Put fewer panels in a row, or take a controller for a higher voltage.",
        );
    }
    if cold.volts > TOUCH_V {
        add(
            found,
            Gravity::Caution,
            "sun/in_series",
            format!(
                "The panels reach {:.1} V; above 60 V touch is dangerous, and panels in light can't be switched off.",
                cold.volts
            ),
            "Cover the panels while you work on them, or leave that to a licensed electrician.",
        );
    }
}

fn sources(found: &mut Found, inputs: &Inputs, months: &[Month]) {
    let short: Vec<u8> = months
        .iter()
        .filter(|month| month.left_wh < -0.5)
        .map(|month| month.month)
        .collect();
    let way = words::under_way(inputs.rig);
    let comes_in_wh = |month: &Month| month.sun_wh + month.alternator_wh + month.shore_wh;
    let (says, mend) = if months.iter().all(|month| comes_in_wh(month) <= 0.0) {
        (
            format!(
                "Nothing in this plan fills the bank again: it gets no sun, no {way} and no hook-up."
            ),
            "Add what charges it.".to_owned(),
        )
    } else if short.is_empty() {
        (String::new(), String::new())
    } else {
        let when = words::in_months(&short);
        (
            format!(
                "{} what comes in falls short of what is used, in a year as expected.",
                words::capital(&when)
            ),
            format!(
                "More panel, more {way}, a hook-up now and then, or less use would close the gap."
            ),
        )
    };
    if !says.is_empty() {
        add(found, Gravity::Caution, "months", says, mend);
    }
    if inputs.shore.is_some() && inputs.living.shares.get(2).copied().unwrap_or(0.0) <= 0.0 {
        add(
            found,
            Gravity::Note,
            "shore/hours",
            "The rhythm has no hooked-up days, so the charger brings nothing.",
            "Add hooked-up days if you have them.",
        );
    }
}

fn candidate(
    found: &mut Found,
    inputs: &Inputs,
    year: &Year,
    row: &Candidate,
    bank: &BankReport,
    most: &Coincident,
) {
    label(found, row);
    limits::find(found, inputs, row, bank, most);
    in_cold_and_heat(found, year, row, bank, inputs.units);
    volts(found, row, bank);
    if bank.wells_bind {
        add(
            found,
            Gravity::Note,
            of(row, "capacity_ah"),
            "Under this load it gives out before the reserve line: charge can't follow fast enough inside the plates.",
            "A larger bank gives a larger share of its charge.",
        );
    }
}

/// A field of a candidate.
pub(super) fn of(row: &Candidate, name: &str) -> String {
    format!("candidates/{}/{name}", row.id)
}

fn label(found: &mut Found, row: &Candidate) {
    match row.fitted.verdict {
        FitVerdict::CannotBothBeTrue => add(
            found,
            Gravity::Caution,
            of(row, "second"),
            "The label's two ratings can't both be true of one battery; the plan goes by the first.",
            "Read the label again.",
        ),
        FitVerdict::ExponentOutOfRange => add(
            found,
            Gravity::Caution,
            of(row, "second"),
            format!(
                "The label's two ratings give a Peukert exponent of {:.2}; batteries lie between 1 and 1.6.",
                row.bank.battery.label.exponent().unwrap_or_default()
            ),
            "Read the label again.",
        ),
        _ => {}
    }
}

fn in_cold_and_heat(
    found: &mut Found,
    year: &Year,
    row: &Candidate,
    bank: &BankReport,
    units: Units,
) {
    let (kind, traits) = (words::chemistry(bank.chemistry), bank.chemistry.traits());
    let coldest_c = year.coldest_battery_c();
    let mut say = |gravity, says: String, mend| {
        add(found, gravity, of(row, "chemistry"), says, mend);
    };
    let warmer = "Put it where it stays warm, or take one that heats itself.";
    if coldest_c < traits.discharge_low_c {
        say(
            Gravity::Caution,
            format!(
                "Where the batteries stand it comes to {}; below {} {kind} gives next to nothing.",
                words::temperature(coldest_c, units),
                words::temperature(traits.discharge_low_c, units)
            ),
            warmer,
        );
    }
    let when = |is_so: &dyn Fn(f64) -> bool| -> Option<String> {
        let at_any_place = |month: &u8| {
            let mut seasons = year.lived_in(usize::from(*month) - 1);
            seasons.any(|season| is_so(year.battery_c(season)))
        };
        let months: Vec<u8> = (1..=12).filter(at_any_place).collect();
        (!months.is_empty()).then(|| words::in_months(&months))
    };
    if let Some(when) = when(&|c| c < traits.charge_low_c) {
        let limit = if traits.charge_low_c == 0.0 {
            "freezing".to_owned()
        } else {
            words::temperature(traits.charge_low_c, units)
        };
        let gravity = if bank.chemistry.is_lead_acid() {
            Gravity::Caution
        } else {
            Gravity::Grave
        };
        let says = format!(
            "Where the batteries stand it is below {limit} {when}: {kind} must not be charged then."
        );
        say(gravity, says, warmer);
    }
    if let Some(when) = when(&|c| c > traits.charge_high_c) {
        say(
            Gravity::Caution,
            format!(
                "Where the batteries stand it is above {} {when}: {kind} must not be charged then.",
                words::temperature(traits.charge_high_c, units)
            ),
            "Put it where it stays cooler, in the shade and with air around it.",
        );
    }
    if bank.chemistry.is_lead_acid() && bank.cold_extrapolated {
        say(
            Gravity::Caution,
            format!(
                "At {} the cold factor is extrapolated below its table ({}).",
                words::temperature(bank.temp_c, units),
                match units {
                    Units::Metric => "−3.9 °C",
                    Units::Imperial => "25 °F",
                }
            ),
            "Take the days as a rough guess, or put the bank somewhere warmer.",
        );
    }
}

fn volts(found: &mut Found, row: &Candidate, bank: &BankReport) {
    if bank.loaded_reserve_v < bank.cutoff_v {
        let full_too = bank.loaded_full_v < bank.cutoff_v;
        add(
            found,
            if full_too {
                Gravity::Grave
            } else {
                Gravity::Caution
            },
            of(row, "capacity_ah"),
            format!(
                "{}: its voltage sags to {:.1} V under its largest load {}, below the cut-off of {:.1} V.",
                words::bank_name(bank),
                if full_too {
                    bank.loaded_full_v
                } else {
                    bank.loaded_reserve_v
                },
                if full_too {
                    "even when full"
                } else {
                    "near the reserve line"
                },
                bank.cutoff_v
            ),
            "A larger bank, or a smaller largest load, would hold.",
        );
    }
    if bank.bank_v * 1.2 > TOUCH_V {
        add(
            found,
            Gravity::Caution,
            of(row, "series"),
            format!(
                "A bank of {} V passes 60 V while it charges, where touch is dangerous.",
                tidy(bank.bank_v)
            ),
            "Leave it to a licensed electrician.",
        );
    }
}
