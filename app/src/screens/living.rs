//! How do you live? Place, the month that matters, the rhythm of days, temperatures.

use super::list::{RowView, Rows, button, quiet, row};
use crate::browser::transfer;
use crate::fields::{Keeps, Match, Picker, open_number, picker, say};
use crate::state::desk::Desk;
use crate::view::{memo, none, press, says, when};
use larder::place::{read_position, show_position};
use larder::plan::{BatteryPlace, DayKind, HOME, Held, List, Plan, Stay, Stretch};
use larder::solar::{Air, Site};
use larder::units::Quantity;
use larder::words;
use leptos::prelude::*;

/// Where the plan's place is (°): towns near it come first.
fn near(desk: Desk) -> (f64, f64) {
    let plan = desk.plan_now();
    (plan.living.lat, plan.living.lon)
}

/// Whether the position of the place in a part or row is known.
fn is_known(plan: &Plan, at: &str) -> bool {
    ["place", "lat", "lon"].iter().all(|name| {
        let path = format!("{at}/{name}");
        let stands = *name == "place" || plan.number(&path).is_some();
        stands && !plan.guesses.contains(&path) && !plan.drafts.contains_key(&path)
    })
}

/// Matches of a text: a position, towns, and the text itself as a name for the position that is known.
fn matches(desk: Desk, at: &str, text: &str) -> Vec<Match> {
    if let Ok((lat, lon)) = read_position(text) {
        return vec![Match {
            name: show_position(lat, lon),
            about: "position".to_owned(),
            ..Match::default()
        }];
    }
    let list = desk.towns.here();
    let found = list.iter().flat_map(|list| {
        let found = list.search(text, near(desk), 8).into_iter();
        found.filter_map(|town| {
            Some(Match {
                name: town.name.clone(),
                about: town.country.clone(),
                at: Some(
                    list.all
                        .iter()
                        .position(|other| std::ptr::eq(other, town))?,
                ),
                ..Match::default()
            })
        })
    });
    let own = is_known(&desk.plan_now(), at).then(|| Match {
        name: text.to_owned(),
        about: "a name for this position".to_owned(),
        by_choice: true,
        ..Match::default()
    });
    found.chain(own).collect()
}

/// Takes a match.
fn pick(desk: Desk, at: &str, picked: Match) {
    let town = desk
        .towns
        .now()
        .and_then(|list| list.all.get(picked.at?).cloned());
    let position = read_position(&picked.name);
    let path = format!("{at}/place");
    desk.edit(&path, |plan| match (town, position) {
        (Some(town), _) => plan.take_town(at, &town),
        (None, Ok((lat, lon))) => plan.take_position(at, lat, lon),
        (None, Err(_)) => plan.put(&path, Held::Text(picked.name)),
    });
}

/// Takes a text that was left: a town of that name, a position, else a name that is kept with what is missing. A stay whose text
/// was cleared is at the plan's own place.
fn leave(desk: Desk, at: &str, text: &str) {
    let text = text.trim();
    if text == standing(desk, at) || text.is_empty() && at == HOME {
        return;
    }
    let path = format!("{at}/place");
    if text.is_empty() {
        desk.edit(&path, |plan| plan.leave_place(at));
        return;
    }
    let list = desk.towns.now();
    if let Some(town) = list.as_ref().and_then(|list| list.named(text, near(desk))) {
        desk.edit(&path, |plan| plan.take_town(at, town));
        return;
    }
    match read_position(text) {
        Ok((lat, lon)) => desk.edit(&path, |plan| plan.take_position(at, lat, lon)),
        Err(says) => {
            let says = if text.contains(|c: char| c.is_ascii_digit()) {
                says
            } else {
                words::place_missing(text, list.is_some())
            };
            desk.edit("", |plan| plan.take_unknown_place(at, text, says));
        }
    }
}

/// What stands in the field: a name that is kept, else the place.
fn standing(desk: Desk, at: &str) -> String {
    let path = format!("{at}/place");
    let kept = desk.draft(&path);
    kept.unwrap_or_else(|| desk.plan_at(&path).text(&path))
}

/// The place of a part or row as a picker: a town, a position, or a name that asks for its position. `empty` shows where no place
/// stands. The list of towns is fetched when the field is first gone to.
pub fn place(desk: Desk, at: &str, empty: &'static str) -> AnyView {
    let at = StoredValue::new(at.to_owned());
    let open = move |()| {
        desk.towns.ask(move |list| {
            // A name that was kept before the list was here may be a town after all.
            let at = at.get_value();
            let path = format!("{at}/place");
            let kept = desk
                .plan_now()
                .drafts
                .get(&path)
                .map(|draft| draft.text.clone());
            if let Some(town) = kept.and_then(|kept| list.named(&kept, near(desk)).cloned()) {
                desk.edit(&path, |plan| plan.take_town(&at, &town));
            }
        });
    };
    picker(Picker {
        path: format!("{}/place", at.get_value()),
        called: "place: town or position",
        standing: Some(Signal::derive(move || standing(desk, &at.get_value()))),
        empty,
        find: Callback::new(move |text: String| matches(desk, &at.get_value(), &text)),
        pick: Callback::new(move |picked| pick(desk, &at.get_value(), picked)),
        keeps: Some(Keeps {
            desk,
            open: Callback::new(open),
            leave: Callback::new(move |text: String| leave(desk, &at.get_value(), &text)),
        }),
    })
}

/// Where the list of towns is from, once it is here.
pub fn credit(desk: Desk) -> AnyView {
    let credit = says(move || {
        let list = desk.towns.here();
        list.map_or(String::new(), |list| format!("{}.", list.credit))
    });
    view! { <p class="note">{credit}</p> }.into_any()
}

/// Takes the device's own place; its clock is that of the nearest town, where the list of towns is here.
fn locate(desk: Desk) {
    transfer::locate(move |found| match found {
        Some((lat, lon)) => desk.edit("living/place", |plan| {
            let round = |x: f64| (x * 10.0).round() / 10.0;
            plan.take_position(HOME, round(lat), round(lon));
        }),
        None => desk.say("The device did not tell its place. Pick a town or type a position."),
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
        "Near "{place(desk, HOME, "")}
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
            {credit(desk)}
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

/// Whether a stay's place has a name that is neither a town's, whose height is known, nor its position.
fn has_own_name(plan: &Plan, id: u32) -> bool {
    let mut stays = plan.living.stays.iter();
    let Some(stay) = stays.find(|stay| stay.id == id) else {
        return false;
    };
    let (Some(lat), Some(lon)) = (stay.lat, stay.lon) else {
        return stay.lat.is_some() || stay.lon.is_some();
    };
    stay.elevation_m.is_none() && stay.place != show_position(lat, lon)
}

fn stay(stays: Rows, id: u32) -> AnyView {
    let (desk, at) = (stays.desk, stays.at(id));
    let (row_at, place_at) = (at.clone(), at.clone());
    let has_figures = memo(move || {
        let path = format!("{}/place", stays.at(id));
        desk.draft(&path).is_some() || has_own_name(&desk.plan_at(&path), id)
    });
    let position = when(has_figures, move || {
        say(desk, &place_at, " at {lat}, {lon}")
    });
    let sentence = view! {
        {say(desk, &at, "From {from} to {to}: {kind}, whatever the order says, near ")}
        {place(desk, &at, "the usual place")}{position}"."
    };
    let drawer = move || {
        let there = say(
            desk,
            &row_at,
            "The place lies at {lat}, {lon}, {elevation_m} above the sea. The clock there is {utc_offset_h} h ahead of universal time; summer time adds {summer_h} h, from {summer_from} to {summer_to}.",
        );
        view! {
            <p>"Sun and temperatures there are from the climate table. Cleared, the place is the usual one."</p>
            <p>{there}</p>
            {stays.tools(id)}
        }
        .into_any()
    };
    row(
        desk,
        RowView {
            called: "days with dates".to_owned(),
            class: String::new(),
            sentence: sentence.into_any(),
            at,
            side: none(),
            drawer: Some(Box::new(drawer)),
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
