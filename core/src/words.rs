//! The sentences that people read, in one place, for the page and the command line alike.
//!
//! May use the report and the plan; nothing of a browser.

mod answer;
mod build;
mod carries;
mod compare;
mod escape;
mod guesses;
mod measure;
mod needs;
mod places;
mod plain;
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
    NEGATIVE_LINE, RUN_HEADS, air_line, amperes, cable, fault_line, fuse_kind, fuse_rating,
    holding_line, isolator_line, kiloamperes, mains_line, run_rows, run_working, screw_line,
};
pub use compare::{Cell, Comparison, Line, ONE_LATER, comparison, later_line, one_against};
pub use escape::{cut, echo, visible};
pub use guesses::{NO_GUESSES, guess_called, guess_value, guess_worth};
pub use measure::{OF_EACH_THING, REMINDERS, TO_MEASURE};
pub use needs::{
    climate_accuracy, climate_note, cold_panels, least_array, least_banks, least_income,
    least_inverter, load_note, meter_difference, needs_summary, place_missing,
};
pub use places::{month_places, weakest};
pub(crate) use plain::{capital, count_years, mass, money, temperature};
pub use plain::{
    charge, chemistry, compass, count, days, energy, in_months, kind, lasting, list, month,
    month_short, number, percent, portions, under_way, watts, whole,
};
pub use risk::{
    DOUBT_HEADS, RISK_NOTE, band_says, cheapest_says, days_borne, doubt_rows, doubts_sorted,
    map_csv, map_says, risk_line,
};
pub use sheet::{CAUTIONS, sheet};
pub use space::{
    bend_line, carried_line, case_called, caution, gap_words, label_faces, middle_line, neighbour,
    space_lines, what_it_takes,
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

use crate::battery::Chemistry;
use crate::plan::{self, Plan, Units};
use crate::report::{BankReport, Report};
use crate::units::{Quantity, tidy};

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
        "alternator" => "the engine".into(),
        "shore" => "the hook-up".into(),
        "inverter" => "the inverter".into(),
        "meter" => "the measured day".into(),
        "wiring" if second == Some("routes") => "a run that lies otherwise".into(),
        "wiring" => "the cables".into(),
        _ => "the rig".into(),
    }
}
