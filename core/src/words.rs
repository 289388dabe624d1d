//! The sentences that people read, in one place, for the page and the command line alike.
//!
//! May use the report and the plan; nothing of a browser.

mod answer;
mod build;
mod carries;
mod compare;
mod risk;
mod sheet;
mod space;
mod strings;
mod text;
mod working;
mod year;

pub use answer::{Brief, Span, Tone, answer, brief, decides, fit_long};
pub use build::{SheetPart, build_sheet};
pub use carries::{
    RUN_HEADS, air_line, amperes, cable, fault_line, fuse_kind, holding_line, mains_line, run_rows,
    run_working, screw_line,
};
pub use compare::{Cell, Comparison, Line, comparison};
pub use risk::{
    DOUBT_HEADS, RISK_NOTE, band_says, cheapest_says, days_borne, doubt_rows, doubts_sorted,
    map_csv, map_says, risk_line,
};
pub use sheet::{CAUTIONS, sheet};
pub use space::{
    OF_EACH_THING, ONE_LATER, REMINDERS, TO_MEASURE, bend_line, carried_line, case_called, caution,
    gap_words, label_faces, later_line, middle_line, neighbour, one_against, space_lines,
    what_it_takes,
};
pub use strings::{
    SHARE_HEADS, alloy, joining_line, link_line, share_line, share_rows, split_fuses, string_lines,
    take_off,
};
pub use text::{sheet_text, text};
pub use working::{bank_working, load_working};
pub use year::{
    YEAR_NOTE, chosen_year, csv_hours, date, from_full, life_line, year_energy, year_line,
    year_marks,
};

use crate::battery::{Chemistry, Lasting};
use crate::energy::DayKind;
use crate::plan::{self, MONTHS, Plan, Units};
use crate::report::{BankReport, ColdPanels, Month, Needs, Report, RowUse, SunOrigin};
use crate::units::{Quantity, hours, tidy};

/// A month's name, from 1.
pub fn month(month: u8) -> &'static str {
    MONTHS
        .get(usize::from(month).wrapping_sub(1))
        .copied()
        .unwrap_or("no month")
}

/// A month's name in three letters.
pub fn month_short(number: u8) -> &'static str {
    month(number).get(..3).unwrap_or("")
}

/// A kind of day.
pub fn kind(kind: DayKind) -> &'static str {
    match kind {
        DayKind::Parked => "parked",
        DayKind::Travelling => "travelling",
        DayKind::HookedUp => "hooked up",
        DayKind::Away => "with nobody there",
    }
}

/// A kind of battery.
pub fn chemistry(kind: Chemistry) -> &'static str {
    match kind {
        Chemistry::Flooded => "flooded lead-acid",
        Chemistry::Agm => "AGM",
        Chemistry::Gel => "gel",
        Chemistry::LithiumIronPhosphate => "lithium iron phosphate",
        Chemistry::SodiumIon => "sodium-ion",
    }
}

/// "one", "two" … "twelve", then figures.
pub fn number(count: u32) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS
        .get(count as usize)
        .map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

/// With its first letter large.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// "about 6 years" without the about: whole years, or halves below three.
fn count_years(years: f64) -> String {
    if years >= 50.0 {
        return "more than 50 years".into();
    }
    let rounded = if years < 3.0 {
        (years * 2.0).round() / 2.0
    } else {
        years.round()
    };
    format!(
        "{} {}",
        tidy(rounded),
        if rounded == 1.0 { "year" } else { "years" }
    )
}

/// "1 guess", "5 guesses".
pub fn count(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// "day-sized portions" of a shelf.
pub fn portions(portions: usize) -> String {
    count(portions, "portion of a day", "portions of a day")
}

/// "January, February and March".
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// When, by months from 1: "from October to March", "in April and from June to August", "in every month".
pub fn in_months(months: &[u8]) -> String {
    let is_in = |month: u8| months.contains(&month);
    let (before, after) = (|month| (month + 10) % 12 + 1, |month| month % 12 + 1);
    if (1..=12).all(is_in) {
        return "in every month".into();
    }
    let runs: Vec<String> = (1..=12)
        .filter(|month| is_in(*month) && !is_in(before(*month)))
        .map(|first| {
            let mut last = first;
            while is_in(after(last)) {
                last = after(last);
            }
            let (first, next, last) = (month(first), month(after(first)), month(last));
            match last {
                _ if last == first => format!("in {first}"),
                _ if last == next => format!("in {first} and {last}"),
                _ => format!("from {first} to {last}"),
            }
        })
        .collect();
    list(&runs)
}

/// An amount of money, to whole ones: "€ 210".
pub(crate) fn money(amount: f64, currency: &str) -> String {
    format!("{currency} {}", whole(amount))
}

/// A whole number, with a true minus and a thin gap between thousands.
pub fn whole(value: f64) -> String {
    if !value.is_finite() {
        return "–".into();
    }
    let digits = format!("{:.0}", value.abs());
    let mut grouped = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at) % 3 == 0 && digits.len() > 4 {
            grouped.push('\u{202f}');
        }
        grouped.push(digit);
    }
    if value < 0.0 && digits != "0" {
        format!("\u{2212}{grouped}")
    } else {
        grouped
    }
}

/// A share in percent.
pub fn percent(share: f64) -> String {
    format!("{} %", whole(share * 100.0))
}

/// An energy rounded to what is known.
pub fn energy(wh: f64) -> String {
    match wh.abs() {
        small if small < 9.95 => format!("{} Wh", tidy((wh * 10.0).round() / 10.0)),
        large if large >= 99_500.0 => format!("{} kWh", whole(wh / 1000.0)),
        large if large >= 9_950.0 => format!("{:.1} kWh", wh / 1000.0),
        _ => format!("{} Wh", whole(wh)),
    }
}

/// A charge rounded to what is known.
pub fn charge(ah: f64) -> String {
    if ah.abs() < 9.95 {
        format!("{} Ah", tidy((ah * 10.0).round() / 10.0))
    } else {
        format!("{} Ah", whole(ah))
    }
}

/// A number of days, "2.6 days"; tenths up to ten.
pub fn days(days: f64) -> String {
    let shown = if days < 9.95 {
        (days * 10.0).round() / 10.0
    } else {
        days.round()
    };
    format!(
        "{} {}",
        tidy(shown),
        if shown == 1.0 { "day" } else { "days" }
    )
}

/// How long a bank lasts.
pub fn lasting(lasting: Lasting) -> String {
    match lasting {
        Lasting::Days(number) => days(number),
        Lasting::Endless => "endless".into(),
        Lasting::Beyond(number) => format!("over {}", days(number)),
    }
}

/// A compass direction.
pub fn compass(azimuth_deg: f64) -> &'static str {
    const POINTS: [&str; 8] = [
        "north",
        "north-east",
        "east",
        "south-east",
        "south",
        "south-west",
        "west",
        "north-west",
    ];
    let eighth = (azimuth_deg.rem_euclid(360.0) / 45.0).round() as usize % 8;
    POINTS.get(eighth).copied().unwrap_or("north")
}

/// "two 100 Ah AGM in parallel", from any description of a bank.
fn bank_called(kind: Chemistry, each_ah: f64, series: u32, parallel: u32) -> String {
    let all = series * parallel;
    let how = match (series, parallel) {
        (1, 1) => "",
        (1, _) => " in parallel",
        (_, 1) => " in series",
        _ => {
            return format!(
                "{} {} Ah {}, {} strings of {}",
                number(all),
                tidy(each_ah),
                chemistry(kind),
                number(parallel),
                number(series)
            );
        }
    };
    format!(
        "{} {} Ah {}{how}",
        number(all),
        tidy(each_ah),
        chemistry(kind)
    )
}

/// A bank inside a sentence: "two 100 Ah AGM in parallel".
pub fn bank_words(bank: &BankReport) -> String {
    let called = bank_called(bank.chemistry, bank.each_ah, bank.series, bank.parallel);
    called + &later_called(bank.later.map(|later| later.years))
}

/// A bank's name at the beginning of a sentence: "Two 100 Ah AGM in parallel".
pub fn bank_name(bank: &BankReport) -> String {
    capital(&bank_words(bank))
}

/// The same by its id.
fn bank_of(report: &Report, id: u32) -> String {
    report.bank(id).map_or("The bank".to_owned(), bank_name)
}

fn later_called(years: Option<f64>) -> String {
    years.map_or(String::new(), |years| {
        format!(
            ", the last {} later",
            Quantity::Years.show(years, Units::Metric)
        )
    })
}

/// The same from the plan, sound or not.
pub fn candidate_name(row: &plan::Candidate) -> String {
    let held = |count: f64| count.clamp(0.0, 99.0) as u32;
    bank_called(
        row.chemistry,
        row.capacity_ah,
        held(row.series),
        held(row.parallel),
    ) + &later_called(row.later_years.filter(|_| row.parallel > 1.0))
}

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

/// A power rounded to what is known.
pub fn watts(w: f64) -> String {
    if w < 9.95 {
        format!("{} W", tidy((w * 10.0).round() / 10.0))
    } else {
        format!("{} W", whole(w))
    }
}

/// Beneath a load: what its sentence does not say.
pub fn load_note(use_: &RowUse, month_number: u8) -> Option<String> {
    if !use_.in_season {
        return Some(format!("not in {}", month(month_number)));
    }
    let mut notes = Vec::new();
    if use_.running_h > 0.0 && use_.running_h < 23.99 {
        notes.push(format!(
            "runs about {}",
            hours((use_.running_h * 6.0).round() / 6.0)
        ));
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
    let degrees = |c: f64| {
        Quantity::Temperature.show(if units == Units::Metric { c.round() } else { c }, units)
    };
    let degrees = |c: f64| {
        if units == Units::Metric {
            degrees(c)
        } else {
            format!("{} °F", whole(Quantity::Temperature.to_shown(c, units)))
        }
    };
    let origin = match month_.sun_origin {
        SunOrigin::Table => "from the built-in table",
        SunOrigin::Latitude => "by latitude alone, for want of a table here",
        SunOrigin::Own => "as you typed",
        SunOrigin::NoSun => "the sun does not rise far enough",
    };
    format!(
        "In {} it is {} outdoors on average, {} where the batteries stand; {:.1} peak sun hours a day on level ground ({origin}).",
        month(month_.month),
        degrees(month_.outdoors_c),
        degrees(month_.battery_c),
        month_.peak_sun_hours
    )
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
        "On the coldest morning, {}, {row} {:.1} V with nothing drawn{bears}. The voltage rises by 0.35 % for each degree below 25 °C (assumed).",
        Quantity::Temperature.show(cold.coldest_c.round(), units),
        cold.volts
    )
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
            "Laid like yours, {} of panel in all would cover {named}.",
            watts((w / 5.0).ceil() * 5.0)
        ),
        None if panels => format!("No array like yours covers {named}."),
        None => format!("How much panel would cover {named} shows once there is a panel to go by."),
    };
    let driving = match report.least.driving_h {
        Some(h) if h <= 0.01 => "No driving is needed for it.".to_owned(),
        Some(h) => format!(
            "So would {} of driving on each travelling day, with the panel you have.",
            hours((h * 12.0).ceil() / 12.0)
        ),
        None if drives => "No amount of driving in this rhythm does.".to_owned(),
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

/// What the thing is called that a field belongs to: "reading lamp", "the locker".
pub fn field_called(plan: &Plan, path: &str) -> String {
    let mut steps = path.split('/');
    let (first, second, third) = (steps.next().unwrap_or(""), steps.next(), steps.next());
    let id = |step: Option<&str>| step.and_then(|step| step.parse::<u32>().ok());
    match first {
        "loads" => plan
            .loads
            .iter()
            .find(|row| Some(row.id) == id(second))
            .map_or_else(|| "the list of loads".into(), |row| row.name.clone()),
        "candidates" => plan
            .candidates
            .iter()
            .find(|row| Some(row.id) == id(second))
            .map_or_else(|| "the batteries".into(), candidate_name),
        "locker" => plan
            .locker
            .obstacles
            .iter()
            .find(|row| second == Some("obstacles") && Some(row.id) == id(third))
            .map_or_else(|| "the space".into(), |row| row.name.clone()),
        "living" => "how you live".into(),
        "sun" => "the sun".into(),
        "alternator" => "the driving".into(),
        "shore" => "the hook-up".into(),
        "inverter" => "the inverter".into(),
        "meter" => "the measured day".into(),
        "wiring" if second == Some("routes") => "a run that lies otherwise".into(),
        "wiring" => "the cables".into(),
        _ => "the rig".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_words_are_right() {
        assert_eq!(count(1, "guess", "guesses"), "1 guess");
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
        assert_eq!(in_months(&[1, 2, 3, 10, 11, 12]), "from October to March");
        assert_eq!(
            in_months(&[4, 8, 9]),
            "in April and in August and September"
        );
        assert_eq!(in_months(&[1, 12]), "in December and January");
        assert_eq!(in_months(&(1..=12).collect::<Vec<_>>()), "in every month");
        assert_eq!(days(1.04), "1 day");
        assert_eq!(days(12.4), "12 days");
        assert_eq!(whole(-1234.4), "\u{2212}1234");
        assert_eq!(whole(12345.0), "12\u{202f}345");
        assert_eq!(compass(179.0), "south");
        assert_eq!(compass(-45.0), "north-west");
        assert_eq!(number(2), "two");
        assert_eq!(energy(4.0), "4 Wh");
    }
}
