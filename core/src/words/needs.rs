//! What is used, what the month that matters is like, and the least that would do, in sentences.

use super::{
    charge, chemistry, days, energy, kind, month, number, percent, temperature, watts, whole,
};
use crate::energy::DayKind;
use crate::plan::Units;
use crate::report::{
    ClimateError, ColdPanels, LeastArray, Month, Needs, Report, RowUse, SunOrigin,
};
use crate::solar::air::{self, FROST_MARGIN_K};
use crate::solar::climate::CAUTIOUS_SHARE;
use crate::solar::strings::VOLTAGE_PER_K;
use crate::units::{Quantity, hours, tidy};

/// Above the loads: what a parked day takes.
pub fn needs_summary(report: &Report) -> String {
    let needs = &report.needs;
    let at_once = if needs.largest_w > 0.0 {
        let (watts, amperes) = (watts(needs.largest_w), whole(needs.largest_a));
        format!("At most {watts} at once, {amperes} A.")
    } else {
        "How much at once isn't known while nothing is listed that draws.".to_owned()
    };
    format!(
        "On a parked day in {}: {}, which is {} at {} V. {at_once}",
        month(report.month),
        energy(needs.parked_wh),
        charge(needs.parked_ah),
        tidy(report.volts)
    )
}

/// Beneath a load: what its sentence does not say.
pub fn load_note(use_: &RowUse, month_number: u8) -> Option<String> {
    if !use_.in_season {
        return Some(format!("not in {}", month(month_number)));
    }
    let mut notes = Vec::new();
    if use_.running_h > 0.0 && use_.running_h < 23.99 {
        notes.push(format!("runs about {}", about(use_.running_h)));
    }
    if use_.loss_wh >= 0.5 {
        notes.push(format!(
            "with {} lost in the inverter",
            energy(use_.loss_wh)
        ));
    }
    if use_.kind != DayKind::Parked {
        notes.push(format!("on a day {}", kind(use_.kind)));
    }
    (!notes.is_empty()).then(|| notes.join(", "))
}

/// A running time to the minute below an hour, to five minutes above.
fn about(running_h: f64) -> String {
    let step = if running_h < 1.0 { 60.0 } else { 12.0 };
    hours((running_h * step).round() / step)
}

/// How a measured day and the sum of the loads differ.
pub fn meter_difference(needs: &Needs) -> String {
    if !needs.metered {
        return String::new();
    }
    if needs.summed_wh <= 0.0 {
        return "It is spread evenly over the day until loads are listed.".into();
    }
    let over = needs.parked_wh - needs.summed_wh;
    let share = percent(over.abs() / needs.summed_wh);
    match over {
        _ if over.abs() < 0.005 * needs.summed_wh => "The loads add up to the same.".into(),
        _ if over > 0.0 => format!(
            "The loads add up to {}, {share} less than the meter: something is missing from the list.",
            energy(needs.summed_wh)
        ),
        _ => format!(
            "The loads add up to {}, {share} more than the meter.",
            energy(needs.summed_wh)
        ),
    }
}

/// The least inverter for the plan.
pub fn least_inverter(needs: &Needs) -> String {
    if needs.least_inverter_w <= 0.0 {
        return String::new();
    }
    format!(
        "These loads need at least {} without a break and {} for a moment. Standing ready takes {} on a parked day.",
        watts(needs.least_inverter_w),
        watts(needs.least_inverter_surge_w),
        energy(needs.inverter_idle_wh)
    )
}

/// What the month that matters is like.
pub fn climate_note(month_: &Month, units: Units) -> String {
    let origin = match month_.sun_origin {
        SunOrigin::Table => "from the built-in table",
        SunOrigin::Latitude => "by latitude alone, for want of a table here",
        SunOrigin::Own => "as you typed",
        SunOrigin::NoSun => "the sun does not rise far enough",
    };
    let places = match month_.places.as_slice() {
        [] => String::new(),
        places => format!(" ({})", super::month_places(places)),
    };
    format!(
        "In {}{places} it is {} outdoors on average, {} where the batteries stand; {:.1} peak sun hours a day on level ground ({origin}).",
        month(month_.month),
        temperature(month_.outdoors_c, units),
        temperature(month_.battery_c, units),
        month_.peak_sun_hours
    )
}

/// What is missing of a place whose name was typed, where the list of towns is at hand or not.
pub fn place_missing(name: &str, has_list: bool) -> String {
    let why = if has_list {
        "isn't in the list of towns"
    } else {
        "can't be looked up: the list of towns isn't here"
    };
    format!("“{name}” {why}. Give its position, such as 48.1, -1.7, or its latitude and longitude.")
}

/// How far sun and temperatures from the climate tables may be out: a sentence or two for each that is not typed.
pub fn climate_accuracy(climate: &ClimateError, month_: &Month, units: Units) -> String {
    let mut says = Vec::new();
    if matches!(month_.sun_origin, SunOrigin::Table | SunOrigin::Latitude) {
        let place = match climate.region {
            "all" => "all regions".to_owned(),
            region => region.to_owned(),
        };
        says.push(format!(
            "Sun from the climate table: a month is out by ±{:.2} kWh/m² a day, measured at {} stations ({place}).",
            climate.month_rmse, climate.stations
        ));
        let share = |share: f64| signed(100.0 * share);
        says.push(format!(
            "Its mean error: {} % in a year, {} % in the three darkest months.",
            share(climate.bias),
            share(climate.dark_bias)
        ));
    }
    if climate.air_months > 0 {
        let out = |k: f64| difference(k, units);
        says.push(format!(
            "Temperatures are a guess from place and height, ±{}; where frost matters allow {}.",
            out(climate.air_rmse_k),
            out(FROST_MARGIN_K)
        ));
        if !climate.height_known {
            says.push(format!(
                "Give the height above the sea for ±{}.",
                out(air::ERROR_K)
            ));
        }
    }
    says.join(" ")
}

/// A difference of temperatures, to a tenth.
fn difference(k: f64, units: Units) -> String {
    let shown = (10.0 * Quantity::Warmth.to_shown(k, units)).round() / 10.0;
    format!("{} {}", tidy(shown), Quantity::Temperature.unit(units))
}

/// A number with its sign, to a tenth.
fn signed(value: f64) -> String {
    let tenths = (10.0 * value).round() / 10.0;
    if tenths > 0.0 {
        format!("+{}", tidy(tenths))
    } else {
        tidy(tenths)
    }
}

/// What the panels reach on the coldest morning, and how that is reckoned.
pub fn cold_panels(cold: &ColdPanels, units: Units) -> String {
    let row = match cold.in_series {
        1 => "one panel reaches".to_owned(),
        count => format!("{} panels in a row reach", number(count as u32)),
    };
    let bears = cold.most_v.map_or(String::new(), |most_v| {
        format!(
            "; the controller bears {}",
            Quantity::Voltage.show(most_v, units)
        )
    });
    format!(
        "On the coldest morning, {}, {row} {:.1} V with nothing drawn{bears}. The voltage rises by {:.2} % for each degree below {} (assumed).",
        temperature(cold.coldest_c, units),
        cold.volts,
        -100.0 * VOLTAGE_PER_K / Quantity::Warmth.to_shown(1.0, units),
        temperature(25.0, units)
    )
}

/// Watts of panel, rounded up to a multiple of five.
fn in_fives(w: f64) -> String {
    watts((w / 5.0).ceil() * 5.0)
}

/// The least array with which the chosen bank is never short in the typical year.
pub fn least_array(least: LeastArray) -> String {
    let counts = format!(
        "the climate table's sun at {} % in its three darkest months",
        100.0 * CAUTIOUS_SHARE
    );
    match least.panel_w {
        Some(w) if w <= 0.5 => {
            format!("No short day in the typical year even without a panel ({counts}).")
        }
        Some(w) => format!(
            "No short day in the typical year from {} of panel in all, laid like yours ({counts}).",
            in_fives(w)
        ),
        None => format!(
            "Short days remain in the typical year even with ten times your panel ({counts}); a larger bank or another source \
             helps more."
        ),
    }
}

/// The least panel and the least driving that cover the month that matters.
pub fn least_income(report: &Report) -> String {
    let named = month(report.month);
    let (panels, drives) = (
        report.months.iter().any(|month| month.sun_wh > 0.0),
        report.months.iter().any(|month| month.alternator_wh > 0.0),
    );
    let panel = match report.least.panel_w {
        Some(w) if w <= 0.5 => format!(
            "In an average {named} the other sources already cover what you use, without any panel."
        ),
        Some(w) => format!(
            "Laid like yours, about {} of panel in all would cover {named} on average. That counts on {} % of the climate table's sun in its three darkest months.",
            in_fives(w),
            100.0 * CAUTIOUS_SHARE
        ),
        None if panels => format!("No array like yours covers {named}."),
        None => format!("How much panel would cover {named} shows once there is a panel to go by."),
    };
    let way = super::under_way(report.rig);
    let driving = match report.least.driving_h {
        Some(h) if h <= 0.01 => format!("No {way} is needed for it."),
        Some(h) => format!(
            "So would {} of {way} on each travelling day, with the panel you have.",
            hours((h * 12.0).ceil() / 12.0)
        ),
        None if drives => format!("No amount of {way} in this rhythm does."),
        None => String::new(),
    };
    format!("{panel} {driving}").trim_end().to_owned()
}

/// The least bank for the days wanted.
pub fn least_banks(report: &Report) -> String {
    let sizes: Vec<String> = report
        .least
        .bank_ah
        .iter()
        .filter_map(|(kind, ah)| {
            Some(format!(
                "{} Ah of {}",
                whole(ah.as_ref()?.ceil()),
                chemistry(*kind)
            ))
        })
        .collect();
    let chosen = report.chosen_bank().and_then(|bank| {
        let least = bank.least_count?;
        Some(format!(
            " Of {} Ah {} it takes {}.",
            tidy(bank.each_ah),
            chemistry(bank.chemistry),
            number(least)
        ))
    });
    if sizes.is_empty() {
        return String::new();
    }
    format!(
        "To last {} in {} takes {} at {} V, rated.{}",
        days(report.wanted_days),
        month(report.month),
        sizes.join(", or "),
        tidy(report.volts),
        chosen.unwrap_or_default()
    )
}
