//! How sure is it? Drawn years for every candidate, and the sizing map.

use super::list::{RowView, quiet, row};
use super::shell::Width;
use crate::fields::say;
use crate::pictures::{figure, map as map_picture, tornado};
use crate::state::desk::Desk;
use crate::view::{memo, none, part, press, says};
use larder::plan::Plan;
use larder::words;
use leptos::prelude::*;

/// Days short a year that may be chosen as borne.
const TOLERANCES: [f64; 6] = [0.0, 1.0, 3.0, 7.0, 14.0, 30.0];
/// Fields of the ranges: their faults stand beneath them.
const DOUBTS_AT: &str = "doubts/use_share doubts/sky_share doubts/shade_share doubts/capacity_share doubts/age_years doubts/driving_share doubts/warmth_k";
/// Ways to keep to them that are offered.
const OFFERED: usize = 4;

/// The plan with so many strings of its chosen bank and so many watts of panel.
fn resize(plan: &mut Plan, strings: u32, watts: f64) {
    let chosen = plan.chosen_candidate().map(|row| row.id);
    for row in &mut plan.candidates {
        if Some(row.id) == chosen {
            row.parallel = f64::from(strings);
        }
    }
    let all: f64 = plan.sun.panels.iter().map(|panel| panel.watts).sum();
    for panel in &mut plan.sun.panels {
        if all > 0.0 && watts > 0.0 {
            panel.watts = (panel.watts * watts / all).round().max(1.0);
        }
    }
}

/// The section.
pub fn section(desk: Desk, width: Width) -> AnyView {
    let sure = desk.sure;
    sure.follow(desk);
    let lines = part(move || {
        let Some(report) = desk.report() else {
            return none();
        };
        let band = sure.band.get().map(|band| {
            let says = words::band_says(&report, band);
            view! { <p class="lead">{says}</p> }.into_any()
        });
        let lines = sure.risks.get().into_iter().map(|risk| {
            let says = words::risk_line(&report, &risk);
            view! { <p>{says}</p> }.into_any()
        });
        band.into_iter().chain(lines).collect::<Vec<_>>().into_any()
    });
    let picture = memo(move || {
        let map = sure.map.get()?;
        Some(map_picture::map(&map, width.column.get()))
    });
    let ways = part(move || {
        let Some(map) = sure.map.get().filter(|_| sure.done.get() >= 1.0) else {
            return none();
        };
        let ways = map.ways().into_iter().filter(|(_, watts)| *watts > 0.0);
        let offered = ways.take(OFFERED).map(|(strings, watts)| {
            let strings_said = words::count(strings as usize, "string", "strings");
            let word = format!("Plan with {strings_said} and {watts:.0} W");
            let act = press(move || {
                desk.edit("", move |plan| resize(plan, strings, watts));
            });
            quiet(&word, act)
        });
        let offered: Vec<_> = offered.collect();
        let currency = desk.plan().currency.clone();
        let cheapest = words::cheapest_says(&map, &currency);
        view! {
            <p>{words::map_says(&map)}" "{cheapest}</p>
            <div class="tools no-print">{offered}</div>
        }
        .into_any()
    });
    let options = TOLERANCES.map(|days| {
        let chosen = days == sure.tolerance.get_untracked();
        view! { <option value=days.to_string() selected=chosen>{words::days_borne(days)}</option> }
            .into_any()
    });
    let under_way = part(move || {
        let done = sure.done.get();
        if done >= 1.0 {
            return none();
        }
        view! {
            <p class="note">
                <label>"Drawing weather; figures still move. "
                    <progress max="1" value=done.to_string()></progress>
                </label>
                {sure.left.get().map(|left| format!(" About {left:.0} s more."))}
            </p>
        }
        .into_any()
    });
    let doubted = memo(move || {
        let found = sure.doubts.get();
        let units = desk.plan().units;
        (!found.is_empty()).then(|| tornado::tornado(&found, units, width.column.get()))
    });
    let ranges = say(
        desk,
        "doubts",
        "Nine times in ten, what runs is within {use_share} of what is planned, the sky within {sky_share} of its mean, the light that no shadow takes within {shade_share}, the batteries’ capacity within {capacity_share} of the label, their age within {age_years}, the hours under way within {driving_share}, the warmth outdoors within {warmth_k}.",
    );
    let price = say(desk, "sun", "A watt of panel, mounted, costs {watt_price}.");
    let drawn = says(move || {
        if sure.here.get() {
            "Without workers, this page itself draws up to 100 years for each bank. ".to_owned()
        } else {
            "Up to 1000 years are drawn for each bank, beside the page, in this browser. "
                .to_owned()
        }
    });
    view! {
        <section class="question" id="sure" aria-labelledby="sure-head">
            <h2 id="sure-head">"How sure is it?"</h2>
            {lines}
            {under_way}
            <h3>"How many batteries, how much sun?"</h3>
            <p>"I can bear being short on "
                <select class="field choice" aria-label="days short a year that are borne"
                    on:change=move |event| {
                        if let Ok(days) = event_target_value(&event).parse() {
                            sure.tolerance.set(days);
                        }
                    }>{options.into_iter().collect::<Vec<_>>()}</select>
                " a year."</p>
            {figure("Days short a year", "map", picture)}
            <ul class="key" aria-hidden="true">
                <li><span class="swatch map-key"></span>"the darker, the more days short"</li>
                <li><span class="swatch edge-key"></span>"bold: where what you can bear begins"</li>
                <li><span class="swatch point-key"></span>"ring: this plan"</li>
                <li><span class="swatch wall-key"></span>"hatched: more than the measured space takes"</li>
                <li>"++: a hundred days and more"</li>
            </ul>
            {ways}
            {row(desk, RowView {
                called: "the price of panels".to_owned(),
                class: String::new(),
                at: "sun/watt_price".to_owned(),
                sentence: price,
                side: none(),
                drawer: None,
            })}
            <h3>"What matters most?"</h3>
            <p>"For the chosen bank, one thing at a time: each bar runs from its low, marked, to its high; the line is the plan as it stands."</p>
            {figure("What matters most", "tornado", doubted)}
            {row(desk, RowView {
                called: "how far what is uncertain may be out".to_owned(),
                class: String::new(),
                at: DOUBTS_AT.to_owned(),
                sentence: ranges,
                side: none(),
                drawer: None,
            })}
            <p class="note">{drawn}{words::RISK_NOTE}</p>
        </section>
    }
    .into_any()
}
