//! What puts it back? Sun, engine, hook-up, and the months.

use super::findings::findings_at;
use super::list::{RowView, Rows, button, row};
use super::living::by_month;
use super::shell::Width;
use crate::fields::{field, open_number, say};
use crate::pictures::{figure, months as months_picture};
use crate::state::desk::Desk;
use crate::view::{memo, none, part, press, says, when};
use larder::place::equatorward_deg;
use larder::plan::{ControllerKind, LinkKind, List, Panel, Plan};
use larder::words;
use leptos::prelude::*;

/// The section.
pub fn section(desk: Desk, width: Width) -> AnyView {
    let picture = memo(move || Some(months_picture::months(&*desk.report()?, width.column.get())));
    let least = desk.told(words::least_income);
    view! {
        <section class="question" id="refill" aria-labelledby="refill-head">
            <h2 id="refill-head">"What puts it back?"</h2>
            {source(desk, "sun-side", "sun", |plan| plan.sun.fitted, sun)}
            {source(desk, "road-side", "alternator", |plan| plan.alternator.fitted, engine)}
            {source(desk, "shore-side", "shore", |plan| plan.shore.fitted, shore)}
            <h3>"Coming in and going out, by month"</h3>
            {figure("Months", "months", picture)}
            <ul class="key" aria-hidden="true">
                <li><span class="swatch fill-sun"></span>"sun"</li>
                <li><span class="swatch fill-road"></span>"engine"</li>
                <li><span class="swatch fill-shore"></span>"hook-up"</li>
                <li><span class="swatch use-line"></span>"use"</li>
            </ul>
            <p class="note">{least}</p>
            <p class="note">"Means over the rhythm, in a year as expected. The sun's part is good to about ±10 % for a year and ±15 to 20 % for a month."</p>
            {findings_at(desk, "months")}
        </section>
    }
    .into_any()
}

/// One source: its tick, and its rows while it is fitted.
fn source(
    desk: Desk,
    class: &'static str,
    at: &str,
    fitted: fn(&Plan) -> bool,
    body: fn(Desk) -> AnyView,
) -> AnyView {
    let fitted = memo(move || fitted(&desk.plan()));
    view! {
        <div class=format!("source {class}")>
            {field(desk, &format!("{at}/fitted"))}
            {when(fitted, move || body(desk))}
        </div>
    }
    .into_any()
}

fn sun(desk: Desk) -> AnyView {
    let panels = Rows::new(desk, List::Panels);
    let tracking = memo(move || desk.plan().sun.controller == ControllerKind::Tracking);
    let kind = part(move || {
        say(
            desk,
            "sun",
            if tracking.get() {
                ", with {controller_efficiency} efficiency"
            } else {
                ", so the panel works at the battery's voltage instead of its own {panel_vmp}"
            },
        )
    });
    let add = press(move || {
        panels.add(|plan, id| {
            plan.sun.panels.push(Panel {
                id,
                ..Panel::default()
            })
        })
    });
    let sentence = view! {
        {say(desk, "sun", "The controller gives at most {controller_a} and {controller}")}{kind}
        {say(desk, "sun", ". The place is {sunniness} its region.")}
    };
    view! {
        {panels.view(panel)}
        <div class="add-row">{button("Add another panel", "button plain", add)}</div>
        {row(desk, RowView {
            called: "controller and sky".to_owned(),
            class: String::new(),
            at: "sun".to_owned(),
            sentence: sentence.into_any(),
            side: none(),
            drawer: Some(Box::new(move || sky(desk))),
        })}
    }
    .into_any()
}

fn panel(panels: Rows, id: u32) -> AnyView {
    let desk = panels.desk;
    let at = panels.at(id);
    let azimuth = memo(move || {
        let plan = desk.plan();
        let panel = plan.sun.panels.iter().find(|panel| panel.id == id)?;
        let towards = panel.azimuth.unwrap_or(equatorward_deg(plan.living.lat));
        (panel.tilt != 0.0).then_some(towards)
    });
    let tilted = memo(move || azimuth.get().is_some());
    let place = at.clone();
    let facing = when(tilted, move || {
        let compass = says(move || format!(" ({})", words::compass(azimuth.get().unwrap_or(0.0))));
        let path = format!("{place}/azimuth");
        let equator = Signal::derive(move || {
            words::compass(equatorward_deg(desk.plan().living.lat)).to_owned()
        });
        view! { ", facing "{open_number(desk, path, equator)}<span class="note">{compass}</span> }
            .into_any()
    });
    let sentence = view! {
        {say(desk, &at, "{watts} of panel, tilted {tilt} from level")}{facing}{say(desk, &at, ", with {shading} lost to shadow")}
    };
    row(
        desk,
        RowView {
            called: "a panel".to_owned(),
            class: String::new(),
            at,
            sentence: sentence.into_any(),
            side: none(),
            drawer: Some(Box::new(move || {
                let shade = say(
                    desk,
                    &panels.at(id),
                    "The shadow falls from {shade_from} to {shade_to} (the same twice: all day).",
                );
                view! { <p>{shade}</p>{panels.tools(id)} }.into_any()
            })),
        },
    )
}

/// What stands in the sun's drawer.
fn sky(desk: Desk) -> AnyView {
    let table = |desk: Desk, at: usize| {
        let living = &desk.plan().living;
        let site = larder::solar::Site {
            lat_deg: living.lat,
            lon_deg: living.lon,
        };
        let hours = larder::solar::clearness(site).irradiation_kwh_m2_day(at);
        larder::units::tidy((hours * 10.0).round() / 10.0)
    };
    let said = "Dirt, mismatch and wiring take {losses}. A panel loses {temp_coefficient} as it warms, and reaches {noct_c} in mild sun. The ground throws back {albedo}.";
    let voltage = "With nothing drawn one panel stands at {panel_voc} (open circuit, on its label); {in_series} of them in a row feed the controller (left empty: one), which bears at most {controller_max_v}. The coldest morning is {coldest_c} (left empty: 10 °C below the nights of the coldest month).";
    let cold = says(move || {
        let cold = desk.report().and_then(|report| report.cold_panels);
        cold.map_or(String::new(), |cold| {
            words::cold_panels(&cold, desk.plan().units)
        })
    });
    view! {
        <p>"Peak sun hours on level ground, by month (kWh/m² a day). Grey figures come from the built-in table; type your own over them."</p>
        {by_month(desk, "sun/peak_sun_hours", table)}
        <p>{say(desk, "sun", said)}</p>
        <p>{say(desk, "sun", voltage)}</p>
        <p class="note">{cold}</p>
    }
    .into_any()
}

fn engine(desk: Desk) -> AnyView {
    let by_relay = memo(move || desk.plan().alternator.link == LinkKind::Relay);
    let kind = part(move || {
        say(
            desk,
            "alternator",
            if by_relay.get() {
                ", over cables of {link_mohm} there and back."
            } else {
                " of {dcdc_a}."
            },
        )
    });
    let said = "On a travelling day the engine runs {hours} from {from}. An alternator of {rated_a} feeds the bank by {link}";
    row(
        desk,
        RowView {
            called: "the engine".to_owned(),
            class: String::new(),
            at: "alternator".to_owned(),
            sentence: view! { {say(desk, "alternator", said)}{kind} }.into_any(),
            side: none(),
            drawer: Some(Box::new(move || {
                let plate = "When hot it gives {hot} of that, at the usual speed {speed}; the vehicle itself takes {own_draw_a}. It holds {volts} (for a 12 V bank).";
                let charger = "A DC-DC charger is {dcdc_efficiency} efficient and may take at most {share} of the alternator's rating.";
                view! { <p>{say(desk, "alternator", plate)}</p><p>{say(desk, "alternator", charger)}</p> }.into_any()
            })),
        },
    )
}

fn shore(desk: Desk) -> AnyView {
    let said = "A charger of {charger_a} runs {hours} of a hooked-up day from {from}, at {boost_v} and then {float_v} (for a 12 V bank).";
    row(
        desk,
        RowView {
            called: "hook-up or generator".to_owned(),
            class: String::new(),
            at: "shore".to_owned(),
            sentence: say(desk, "shore", said),
            side: none(),
            drawer: Some(Box::new(move || {
                say(
                    desk,
                    "shore",
                    "If it is a generator, it burns {fuel_l_h} litres an hour.",
                )
            })),
        },
    )
}
