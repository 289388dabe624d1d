//! How do you live? Place, the month that matters, the rhythm of days, temperatures.

use super::list::{RowView, Rows, button, quiet, row};
use crate::browser::transfer;
use crate::fields::{Match, Picker, open_number, picker, say};
use crate::state::desk::Desk;
use crate::view::{memo, none, press, says, when};
use larder::data::towns::{nearest_town, search_towns, towns};
use larder::plan::{BatteryPlace, DayKind, List, Stay, Stretch};
use larder::solar::{Air, Site};
use larder::units::Quantity;
use larder::words;
use leptos::prelude::*;

fn matches(text: &str) -> Vec<Match> {
    let all = towns();
    let known = search_towns(text, 8).into_iter().map(|town| Match {
        name: town.name.clone(),
        about: town.country.clone(),
        at: all
            .iter()
            .position(|other| other.name == town.name && other.country == town.country),
    });
    let own = Match {
        name: text.to_owned(),
        about: "keep the figures, call it so".to_owned(),
        at: None,
    };
    known.chain([own]).collect()
}

/// The place as a picker; a town that is picked brings its latitude, longitude and clock.
pub fn place(desk: Desk) -> AnyView {
    let pick = move |picked: Match| {
        desk.edit("living/place", |plan| {
            plan.living.place = picked.name;
            if let Some(town) = picked.at.and_then(|at| towns().get(at)) {
                (plan.living.lat, plan.living.lon) = (town.lat, town.lon);
                plan.living.utc_offset_h = town.utc_offset_h;
                for figure in ["living/lat", "living/lon"] {
                    plan.guesses.remove(figure);
                    plan.drafts.remove(figure);
                }
            }
        });
    };
    picker(Picker {
        path: "living/place".into(),
        called: "place",
        standing: Some(Signal::derive(move || desk.plan().living.place.clone())),
        find: matches,
        pick: Callback::new(pick),
    })
}

/// Takes the device's own place.
fn locate(desk: Desk) {
    transfer::locate(move |found| match found {
        Some((lat, lon)) => desk.edit("living/lat", |plan| {
            let round = |x: f64| (x * 10.0).round() / 10.0;
            (plan.living.lat, plan.living.lon) = (round(lat), round(lon));
            if let Some((town, _)) = nearest_town(lat, lon) {
                plan.living.place = format!("near {}", town.name);
                plan.living.utc_offset_h = town.utc_offset_h;
            }
        }),
        None => desk.say("The device did not tell its place. Pick a town or type the figures."),
    });
}

/// The section.
pub fn section(desk: Desk) -> AnyView {
    let rhythm = Rows::new(desk, List::Rhythm);
    let stays = Rows::new(desk, List::Stays);
    let add_stay = press(move || {
        stays.add(|plan, id| {
            plan.living.stays.push(Stay {
                id,
                from: "2027-08-12".into(),
                to: "2027-08-26".into(),
                ..Stay::default()
            });
        });
    });
    let own = memo(move || desk.plan().living.battery_place == BatteryPlace::Own);
    let own_c = when(own, move || say(desk, "living", " {battery_c}"));
    let note = says(move || {
        let report = desk.report();
        let month = report.as_ref().and_then(|report| report.focus());
        month.map_or(String::new(), |month| {
            words::climate_note(month, desk.plan().units)
        })
    });
    let accuracy = says(move || {
        let report = desk.report();
        let known = report.as_ref().and_then(|report| {
            let month = report.focus()?;
            Some(words::climate_accuracy(
                &report.climate,
                month,
                desk.plan().units,
            ))
        });
        known.unwrap_or_default()
    });
    let hardest = says(move || {
        let chosen = desk.plan().living.month;
        let report = desk.report().filter(|_| chosen == 0);
        report.map_or(String::new(), |report| {
            format!(" ({})", words::month(report.month))
        })
    });
    let where_and_when = view! {
        "Near "{place(desk)}
        {say(desk, "living", " at {lat}, {lon}. The month that matters is {month}")}<span class="note">{hardest}</span>". "
        {quiet("Use this device's place", press(move || locate(desk)))}
    };
    let warmth = view! {
        {say(desk, "living", "While somebody is in, the cabin is at least {cabin_c}. The batteries {battery_place}")}
        {own_c}"."
        <p class="note">{note}</p>
        <p class="note">{accuracy}</p>
    };
    let add = press(move || {
        rhythm.add(|plan, id| {
            plan.living.rhythm.push(Stretch {
                id,
                kind: DayKind::HookedUp,
                ..Stretch::default()
            });
        });
    });
    view! {
        <section class="question" id="living" aria-labelledby="living-head">
            <h2 id="living-head">"How do you live?"</h2>
            {row(desk, RowView {
                called: "place and month".to_owned(),
                class: String::new(),
                at: "living living/place living/lat living/lon living/month".to_owned(),
                sentence: where_and_when.into_any(),
                side: none(),
                drawer: None,
            })}
            <p class="second lead">"The days repeat in this order:"</p>
            {rhythm.view(stretch)}
            <div class="add-row">{button("Add days of another kind", "button plain", add)}</div>
            {stays.view(stay)}
            <div class="add-row">{button("Add days with dates", "button plain", add_stay)}</div>
            {row(desk, RowView {
                called: "temperatures".to_owned(),
                class: String::new(),
                at: "living/cabin_c living/battery_place living/battery_c living/outdoors_c living/swing_k living/utc_offset_h".to_owned(),
                sentence: warmth.into_any(),
                side: none(),
                drawer: Some(Box::new(move || temperatures(desk))),
            })}
        </section>
    }
    .into_any()
}

fn stretch(rhythm: Rows, id: u32) -> AnyView {
    let desk = rhythm.desk;
    let at = rhythm.at(id);
    let one = memo(move || {
        desk.plan()
            .living
            .rhythm
            .iter()
            .any(|days| days.id == id && days.days == 1.0)
    });
    let days = says(move || if one.get() { " day " } else { " days " }.to_owned());
    let sentence = view! { {say(desk, &at, "{days}")}{days}{say(desk, &at, "{kind}")} };
    row(
        desk,
        RowView {
            called: "days of one kind".to_owned(),
            class: String::new(),
            at,
            sentence: sentence.into_any(),
            side: none(),
            drawer: Some(Box::new(move || rhythm.tools(id))),
        },
    )
}

fn stay(stays: Rows, id: u32) -> AnyView {
    let (desk, at) = (stays.desk, stays.at(id));
    row(
        desk,
        RowView {
            called: "days with dates".to_owned(),
            class: String::new(),
            sentence: say(
                desk,
                &at,
                "From {from} to {to}: {kind}, whatever the order says",
            ),
            at,
            side: none(),
            drawer: Some(Box::new(move || stays.tools(id))),
        },
    )
}

/// Twelve fields of one figure, with the table's value where none is typed.
pub fn by_month(
    desk: Desk,
    path: &str,
    table: impl Fn(Desk, usize) -> String + Copy + Send + Sync + 'static,
) -> AnyView {
    let months = (1..=12u8).map(|month| {
        let at = usize::from(month - 1);
        let known = Signal::derive(move || table(desk, at));
        let field = open_number(desk, format!("{path}/{month}"), known);
        view! { <span class="month-field"><span class="small">{words::month_short(month)}</span>{field}</span> }.into_any()
    });
    view! { <div class="month-fields">{months.collect::<Vec<_>>()}</div> }.into_any()
}

/// Month by month, with the climate table's figure where none is typed.
fn temperatures(desk: Desk) -> AnyView {
    let air = memo(move || {
        let living = desk.plan().living.clone();
        let (lat_deg, lon_deg) = (living.lat, living.lon);
        let air = Air::of(Site { lat_deg, lon_deg });
        (air.means_c(living.elevation_m), air.swing_k)
    });
    let table = move |desk: Desk, at: usize| {
        let mean = air.with(|(means, _)| means.get(at).copied().unwrap_or(0.0));
        Quantity::Temperature.show(mean.round(), desk.plan().units)
    };
    let swing = Signal::derive(move || {
        let plan = desk.plan();
        let month = usize::from(plan.living.month.saturating_sub(1));
        let swing = air.with(|(_, swing)| swing.get(month).copied().unwrap_or(0.0));
        Quantity::Warmth.show(swing.round(), plan.units)
    });
    view! {
        <p>"Mean temperature outdoors, by month. Grey figures are from the climate table, for this place and height; type your own over them."</p>
        {by_month(desk, "living/outdoors_c", table)}
        <p>{say(desk, "living", "The place lies {elevation_m} above the sea. ")}"From the coldest to the warmest hour a day swings by "{open_number(desk, "living/swing_k".to_owned(), swing)}
        "."</p>
        <p>{say(desk, "living", "The clock is {utc_offset_h} h ahead of universal time; summer time adds {summer_h} h, from {summer_from} to {summer_to}.")}</p>
    }
    .into_any()
}
