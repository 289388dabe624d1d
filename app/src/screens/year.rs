//! How does a year go? How often each bank runs short, when, and how long it lives.

use super::list::button;
use super::shell::Width;
use crate::browser::transfer;
use crate::pictures::{figure, year as year_picture};
use crate::state::desk::Desk;
use crate::view::{memo, none, part, press};
use larder::words;
use leptos::prelude::*;

/// The section.
pub fn section(desk: Desk, width: Width) -> AnyView {
    let lines = part(move || {
        let (Some(report), Some(year)) = (desk.report(), desk.year.get()) else {
            return none();
        };
        let currency = desk.plan().currency.clone();
        let lines = year.banks.iter().map(|bank| {
            let says = format!(
                "{} {}",
                words::year_line(&report, bank),
                words::life_line(bank, &currency)
            );
            view! { <p>{says}</p> }.into_any()
        });
        let energy = words::chosen_year(&report, &year).map(words::year_energy);
        let energy = view! { <p class="note">{energy.unwrap_or_default()}</p> }.into_any();
        lines.chain([energy]).collect::<Vec<_>>().into_any()
    });
    let picture = memo(move || {
        let (report, year) = (desk.report()?, desk.year.get()?);
        Some(year_picture::year(
            words::chosen_year(&report, &year)?,
            width.column.get(),
        ))
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
            {figure("The year", "year", picture)}
            <ul class="key" aria-hidden="true">
                <li><span class="swatch fill-bank-fill"></span>"lowest state of charge of a day"</li>
                <li><span class="swatch fill-bad"></span>"a day short"</li>
            </ul>
            <p class="note">{words::YEAR_NOTE}</p>
            {button("Save the year, hour by hour", "button plain no-print", save)}
        </section>
    }
    .into_any()
}
