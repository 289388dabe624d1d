//! How do you live? Place, the month that matters, the rhythm of days, temperatures.

use super::findings::findings_at;
use super::list::{List, drawer};
use crate::browser::transfer;
use crate::fields::{Match, Row, faults_beneath, part};
use crate::state::desk::Desk;
use larder::data::towns::{nearest_town, search_towns, towns};
use larder::plan::{BatteryPlace, DayKind, Living, Stretch};
use larder::units::Quantity;
use larder::words;
use leptos::prelude::*;

/// The part of the plan.
pub fn living(desk: Desk) -> Row<Living> {
    part(desk, "living", |plan| &plan.living, |plan| &mut plan.living)
}

/// Choices of a month.
pub fn months() -> Vec<(u8, String)> {
    (1..=12)
        .map(|month| (month, words::month(month).to_owned()))
        .collect()
}

fn matches(text: &str) -> Vec<Match> {
    let all = towns();
    search_towns(text, 8)
        .into_iter()
        .filter_map(|town| {
            let at = all
                .iter()
                .position(|other| other.name == town.name && other.country == town.country)?;
            Some(Match {
                name: town.name.clone(),
                about: town.country.clone(),
                at,
            })
        })
        .collect()
}

/// The place as a picker; a town that is picked brings its latitude, longitude and clock.
pub fn place(row: &Row<Living>) -> AnyView {
    row.picker(
        "place",
        "place",
        |l| &l.place,
        matches,
        Some(|text| format!("Call it “{text}” and keep the figures")),
        |l, name, at| {
            name.clone_into(&mut l.place);
            if let Some(town) = at.and_then(|at| towns().get(at)) {
                (l.lat, l.lon, l.utc_offset_h) = (town.lat, town.lon, town.utc_offset_h);
            }
        },
    )
}

/// The section.
pub fn section(desk: Desk) -> AnyView {
    let row = living(desk);
    let rhythm: List<Stretch> = List::new(
        desk,
        "living/rhythm",
        |plan| &plan.living.rhythm,
        |plan| &mut plan.living.rhythm,
    );
    let places = vec![
        (BatteryPlace::Cabin, "are as warm as the cabin".to_owned()),
        (
            BatteryPlace::Between,
            "are half-way between cabin and outdoors".to_owned(),
        ),
        (BatteryPlace::Outdoors, "are as cold as outdoors".to_owned()),
        (
            BatteryPlace::Own,
            "have a temperature of their own:".to_owned(),
        ),
    ];
    let own = Memo::new(move |_| {
        desk.plan
            .with(|plan| plan.living.battery_place == BatteryPlace::Own)
    });
    let own_row = row.clone();
    let own_c = move || {
        own.get().then(|| {
            view! { " "{own_row.number("battery_c", "temperature of the batteries", Quantity::Temperature, |l| l.battery_c, |l, v| l.battery_c = v)} }
        })
    };
    let inside = row.clone();
    let (opener, body) = drawer(
        Signal::derive(|| "the temperatures".to_owned()),
        move || temperatures(&inside),
    );
    let locating = row.clone();
    let note = move || {
        desk.answer.with(|answer| {
            let report = answer.report.as_ref()?;
            Some(words::climate_note(
                report.focus()?,
                desk.plan.with(|plan| plan.units),
            ))
        })
    };
    view! {
        <section class="question" id="living" aria-labelledby="living-head">
            <h2 id="living-head">"How do you live?"</h2>
            <div class="row" role="group" aria-label="place and month">
                <div class="sentence">
                    "Near "{place(&row)}" at "
                    {row.number("lat", "latitude, north positive", Quantity::Angle, |l| l.lat, |l, v| l.lat = v)}
                    " north, "
                    {row.number("lon", "longitude, east positive", Quantity::Angle, |l| l.lon, |l, v| l.lon = v)}
                    " east. The month that matters is "
                    {row.choice("month", "the month that matters", months(), |l| l.month, |l, v| l.month = v)}
                    ". "
                    <button type="button" class="quiet" on:click=move |_| {
                        let row = locating.clone();
                        transfer::locate(move |found| match found {
                            Some((lat, lon)) => row.edit("lat", |l| {
                                let round = |x: f64| (x * 10.0).round() / 10.0;
                                (l.lat, l.lon) = (round(lat), round(lon));
                                if let Some((town, _)) = nearest_town(lat, lon) {
                                    l.place = format!("near {}", town.name);
                                    l.utc_offset_h = town.utc_offset_h;
                                }
                            }),
                            None => row.desk.say("The device did not tell its place. Pick a town or type the figures."),
                        });
                    }>"Use this device's place"</button>
                    {faults_beneath(desk, "living")}
                </div>
            </div>
            <p class="second lead">"The days repeat in this order:"</p>
            {rhythm.view(move |id| stretch(rhythm, id))}
            <div class="add-row">
                <button type="button" class="button plain" on:click=move |_| {
                    rhythm.append(Stretch { kind: DayKind::HookedUp, ..Stretch::default() });
                }>"Add days of another kind"</button>
            </div>
            <div class="row" role="group" aria-label="temperatures">
                <div class="sentence">
                    "While somebody is in, the cabin is at least "
                    {row.number("cabin_c", "warmth of the cabin", Quantity::Temperature, |l| l.cabin_c, |l, v| l.cabin_c = v)}
                    ". The batteries "
                    {row.choice("battery_place", "where the batteries stand", places, |l| l.battery_place, |l, v| l.battery_place = v)}
                    {own_c}"."
                    <p class="note">{note}</p>
                    {findings_at(desk, "living")}
                </div>
                {opener}
            </div>
            {body}
        </section>
    }
    .into_any()
}

fn stretch(rhythm: List<Stretch>, id: u32) -> AnyView {
    let row = rhythm.row(id);
    let now = row.now;
    let kinds = DayKind::ALL
        .map(|kind| (kind, words::kind(kind).to_owned()))
        .to_vec();
    let days = move || {
        if now.with(|s| s.days == 1.0) {
            " day"
        } else {
            " days"
        }
    };
    let (opener, body) = drawer(Signal::derive(|| "these days".to_owned()), move || {
        rhythm.tools(id)
    });
    view! {
        <div class="row" role="group" aria-label="days of one kind">
            <div class="sentence">
                {row.number("days", "how many days", Quantity::Count, |s| s.days, |s, v| s.days = v)}{days}" "
                {row.choice("kind", "kind of day", kinds, |s| s.kind, |s, v| s.kind = v)}
                {faults_beneath(rhythm.desk, &row.path)}
            </div>
            {opener}
        </div>
        {body}
    }
    .into_any()
}

/// Month by month, with the climate table's figure where none is typed.
fn temperatures(row: &Row<Living>) -> AnyView {
    let desk = row.desk;
    let months: Vec<AnyView> = (1..=12u8)
        .map(|month| {
            let at = usize::from(month - 1);
            let table = Signal::derive(move || {
                let lat = desk.plan.with(|plan| plan.living.lat);
                let mean = larder::solar::mean_temperature_c(lat).get(at).copied().unwrap_or(0.0);
                Quantity::Temperature.show(mean.round(), desk.plan.with(|plan| plan.units))
            });
            let field = row.number_or(
                &format!("outdoors_c/{month}"),
                &format!("mean outdoor temperature in {}", words::month(month)),
                Quantity::Temperature,
                table,
                move |l| l.outdoors_c.get(at).copied().flatten(),
                move |l, v| {
                    if let Some(slot) = l.outdoors_c.get_mut(at) {
                        *slot = v;
                    }
                },
            );
            view! { <span class="month-field"><span class="small">{words::month_short(month)}</span>{field}</span> }.into_any()
        })
        .collect();
    view! {
        <p>"Mean temperature outdoors, by month. Grey figures are the mean of all longitudes at this latitude; type your own over them."</p>
        <div class="month-fields">{months}</div>
        {faults_beneath(desk, "living/outdoors_c")}
        <p>"From the coldest to the warmest hour a day swings by "
        {row.number("swing_k", "daily swing", Quantity::Warmth, |l| l.swing_k, |l, v| l.swing_k = v)}
        ". In winter the clock is "
        {row.number("utc_offset_h", "hours ahead of universal time", Quantity::Number, |l| l.utc_offset_h, |l, v| l.utc_offset_h = v)}
        " h ahead of universal time."</p>
    }
    .into_any()
}
