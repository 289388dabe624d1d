//! How does a year go? How often each bank runs short, when, and how long it lives.

use super::list::button;
use super::shell::Width;
use crate::browser::transfer;
use crate::fields::{faults_beneath, say};
use crate::pictures::{day as day_picture, figure, months, paragraphs, year as year_picture};
use crate::state::desk::Desk;
use crate::view::{memo, press, says};
use larder::report::{BankYear, YearReport};
use larder::words;
use leptos::prelude::*;
use std::sync::Arc;

/// The chosen bank's year, and the year that all lived.
fn year_of_chosen(desk: Desk) -> Option<(BankYear, Arc<YearReport>)> {
    let (report, year) = (desk.report()?, desk.year()?);
    let bank = words::chosen_year(&report, &year)?.clone();
    Some((bank, year))
}

/// The section.
pub fn section(desk: Desk, width: Width) -> AnyView {
    let lines = paragraphs("", move || {
        let (Some(report), Some(year)) = (desk.report(), desk.year()) else {
            return Vec::new();
        };
        let currency = desk.plan().currency.clone();
        let lines = year.banks.iter().map(|bank| {
            let life = words::life_line(bank, &currency);
            format!("{} {life}", words::year_line(&report, bank))
        });
        let least = desk.least_array().map(words::least_array);
        let weakest = desk.weakest();
        let weakest = weakest.as_ref().map(words::weakest);
        lines.chain(least).chain(weakest).collect()
    });
    let energy = says(move || {
        let (report, year) = (desk.report(), desk.year());
        let chosen = report.as_deref().zip(year.as_deref());
        let chosen = chosen.and_then(|(report, year)| words::chosen_year(report, year));
        chosen.map(words::year_energy).unwrap_or_default()
    });
    let chosen = memo(move || year_of_chosen(desk));
    // The day that is looked at; the worst one until somebody moves to another.
    let moved = RwSignal::new(None::<usize>);
    let day = memo(move || {
        let worst = chosen.with(|chosen| {
            let (bank, _) = chosen.as_ref()?;
            bank.lowest_day()
        });
        moved.get().or(worst).unwrap_or(0)
    });
    let ribbon = memo(move || {
        let (bank, year) = chosen.get()?;
        let column = width.column.get();
        Some(year_picture::year(&bank, &year.month_of, day.get(), column))
    });
    // What stands below is drawn when it is in view, or all that is has been drawn.
    let of_day = desk.of_year("year/day");
    let one_day = memo(move || {
        let (year, lived) = (of_day.year()?, of_day.day(day.get())?);
        let date = words::date(&year, lived.at);
        Some(day_picture::of_year(&lived, &date, width.column.get()))
    });
    let below = desk.of_year("year/below");
    let taken = memo(move || {
        let (bank, year) = year_of_chosen(below)?;
        Some(months::taken(&bank, &year.month_of, width.column.get()))
    });
    let states = memo(move || {
        let (bank, _) = year_of_chosen(below)?;
        Some(year_picture::states(&bank, width.column.get()))
    });
    let named = memo(move || {
        chosen.with(|chosen| {
            let (_, year) = chosen.as_ref()?;
            Some(words::date(year, day.get()))
        })
    });
    let named = move || says(move || named.get().unwrap_or_default());
    let last = says(move || {
        let days =
            chosen.with(|chosen| chosen.as_ref().map_or(365, |(_, year)| year.month_of.len()));
        (days - 1).to_string()
    });
    let of_marks = desk.of_year("year/marks");
    let marks = says(move || {
        let (Some(report), Some(year)) = (of_marks.report(), of_marks.year()) else {
            return String::new();
        };
        let lasting = of_marks.lasting();
        let lasts = lasting.map_or(String::new(), |found| words::from_full(&year, &found));
        let marks = words::chosen_year(&report, &year).map(words::year_marks);
        format!("{lasts} {}", marks.unwrap_or_default())
    });
    let save = press(move || {
        let text = words::csv_hours(&desk.plan_now());
        if !transfer::download("year-by-hours.csv", "text/csv", &text) {
            desk.say("The browser would not take the file.");
        }
    });
    view! {
        <section class="question" id="year" aria-labelledby="year-head">
            <h2 id="year-head">"How does a year go?"</h2>
            {lines}
            <p class="note">{energy}</p>
            <p class="note">{marks}</p>
            {figure("The year", "year", ribbon)}
            <label class="slide no-print">
                <span class="second">"Look at "{named()}</span>
                <input type="range" min="0" max=last aria-label="day of the year" aria-valuetext=named()
                    prop:value=says(move || day.get().to_string())
                    on:input=move |event| moved.set(event_target_value(&event).parse().ok()) />
            </label>
            <ul class="key" aria-hidden="true">
                <li><span class="swatch fill-bank-fill"></span>"lowest state of charge of a day"</li>
                <li><span class="swatch fill-bad"></span>"a day short"</li>
            </ul>
            <div id="year-day">{figure("That day", "day", one_day)}</div>
            <div id="year-below">
                <h3>"Where it comes from"</h3>
                {figure("Taken by month", "months", taken)}
                <h3>"How full it stands"</h3>
                {figure("State of charge", "states", states)}
            </div>
            <p class="note">{words::YEAR_NOTE}</p>
            <p class="second">{say(desk, "living", "The year that is lived through starts on {starts} (left empty: the first of January).")}</p>
            {faults_beneath(desk, "living/starts")}
            {button("Save the year, hour by hour", "button plain no-print", save)}
        </section>
    }
    .into_any()
}
