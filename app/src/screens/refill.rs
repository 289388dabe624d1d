//! What puts it back? Sun, engine, hook-up, and the months.

use super::findings::findings_at;
use super::list::{List, drawer};
use super::shell::Width;
use crate::fields::{Row, faults_beneath, part};
use crate::pictures::{figure, months as months_picture};
use crate::state::desk::Desk;
use larder::plan::{Alternator, ControllerKind, LinkKind, Panel, Shore, Sun, Sunniness};
use larder::units::Quantity;
use larder::words;
use leptos::prelude::*;

/// The engine's part of the plan.
pub fn engine(desk: Desk) -> Row<Alternator> {
    part(
        desk,
        "alternator",
        |plan| &plan.alternator,
        |plan| &mut plan.alternator,
    )
}

/// The section.
pub fn section(desk: Desk, width: Width) -> AnyView {
    let picture = Memo::new(move |_| {
        let wide = width.column.get();
        desk.answer.with(|answer| {
            answer
                .report
                .as_ref()
                .map(|report| months_picture::months(report, wide))
        })
    });
    let least = move || {
        desk.answer.with(|answer| {
            answer
                .report
                .as_ref()
                .map(|report| words::least_income(report))
        })
    };
    view! {
        <section class="question" id="refill" aria-labelledby="refill-head">
            <h2 id="refill-head">"What puts it back?"</h2>
            {sun(desk)}
            {alternator(desk)}
            {shore(desk)}
            <h3>"Coming in and going out, by month"</h3>
            {figure("Months", "months", picture)}
            <ul class="key" aria-hidden="true">
                <li><span class="swatch fill-sun"></span>"sun"</li>
                <li><span class="swatch fill-road"></span>"driving"</li>
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

fn switched(fitted: Memo<bool>, body: impl Fn() -> AnyView + Send + Sync + 'static) -> AnyView {
    (move || fitted.get().then(&body)).into_any()
}

fn sun(desk: Desk) -> AnyView {
    let row: Row<Sun> = part(desk, "sun", |plan| &plan.sun, |plan| &mut plan.sun);
    let panels: List<Panel> = List::new(
        desk,
        "sun/panels",
        |plan| &plan.sun.panels,
        |plan| &mut plan.sun.panels,
    );
    let fitted = Memo::new(move |_| desk.plan.with(|plan| plan.sun.fitted));
    let inside = row.clone();
    let body = move || {
        let row = inside.clone();
        let tracking = Memo::new(move |_| {
            desk.plan
                .with(|plan| plan.sun.controller == ControllerKind::Tracking)
        });
        let controllers = vec![
            (ControllerKind::Tracking, "tracks the best power".to_owned()),
            (ControllerKind::Switching, "only switches".to_owned()),
        ];
        let sunny = vec![
            (Sunniness::Duller, "duller than".to_owned()),
            (Sunniness::About, "about as sunny as".to_owned()),
            (Sunniness::Sunnier, "sunnier than".to_owned()),
        ];
        let of_kind = row.clone();
        let kind = move || {
            if tracking.get() {
                view! { ", with "{of_kind.number("controller_efficiency", "controller's efficiency", Quantity::Share, |s| s.controller_efficiency, |s, v| s.controller_efficiency = v)}" efficiency" }.into_any()
            } else {
                view! { ", so the panel works at the battery's voltage instead of its own "{of_kind.number("panel_vmp", "panel voltage at best power", Quantity::Voltage, |s| s.panel_vmp, |s, v| s.panel_vmp = v)} }.into_any()
            }
        };
        let rare = row.clone();
        let (opener, drawer) = drawer(Signal::derive(|| "the sun".to_owned()), move || {
            sun_drawer(&rare)
        });
        view! {
            {panels.view(move |id| panel(panels, id))}
            <div class="add-row"><button type="button" class="button plain" on:click=move |_| { panels.append(Panel::default()); }>"Add another panel"</button></div>
            <div class="row" role="group" aria-label="controller and sky">
                <div class="sentence">
                    "The controller gives at most "{row.number("controller_a", "controller's current", Quantity::Current, |s| s.controller_a, |s, v| s.controller_a = v)}
                    " and "{row.choice("controller", "kind of controller", controllers, |s| s.controller, |s, v| s.controller = v)}{kind}
                    ". The place is "{row.choice("sunniness", "sunniness of the place", sunny, |s| s.sunniness, |s, v| s.sunniness = v)}" its region."
                    {faults_beneath(desk, "sun")}
                    {findings_at(desk, "sun")}
                </div>
                {opener}
            </div>
            {drawer}
        }
        .into_any()
    };
    view! {
        <div class="source sun-side">
            {row.tick("fitted", "Solar panels", |s| s.fitted, |s, v| s.fitted = v)}
            {switched(fitted, body)}
        </div>
    }
    .into_any()
}

fn panel(panels: List<Panel>, id: u32) -> AnyView {
    let row = panels.row(id);
    let now = row.now;
    let flat = Memo::new(move |_| now.with(|p| p.tilt == 0.0));
    let facing = row.clone();
    let facing = move || {
        (!flat.get()).then(|| {
            view! { ", facing "{facing.number("azimuth", "compass direction", Quantity::Angle, |p| p.azimuth, |p, v| p.azimuth = v)}
            <span class="note">{move || format!(" ({})", words::compass(now.with(|p| p.azimuth)))}</span> }
        })
    };
    let (opener, body) = drawer(Signal::derive(|| "this panel".to_owned()), move || {
        panels.tools(id)
    });
    view! {
        <div class="row" role="group" aria-label="a panel">
            <div class="sentence">
                {row.number("watts", "rated power", Quantity::Power, |p| p.watts, |p, v| p.watts = v)}
                " of panel, tilted "{row.number("tilt", "tilt", Quantity::Angle, |p| p.tilt, |p, v| p.tilt = v)}" from level"
                {facing}", with "{row.number("shading", "share lost to shadow", Quantity::Share, |p| p.shading, |p, v| p.shading = v)}" lost to shadow"
                {faults_beneath(panels.desk, &row.path)}
            </div>
            {opener}
        </div>
        {body}
    }
    .into_any()
}

fn sun_drawer(row: &Row<Sun>) -> AnyView {
    let desk = row.desk;
    let table = Memo::new(move |_| {
        let site = desk.plan.with(|plan| larder::solar::Site {
            lat_deg: plan.living.lat,
            lon_deg: plan.living.lon,
        });
        larder::solar::clearness(site).irradiation_kwh_m2_day()
    });
    let months: Vec<AnyView> = (1..=12u8)
        .map(|month| {
            let at = usize::from(month - 1);
            let known = Signal::derive(move || {
                table.with(|table| table.get(at).map_or(String::new(), |h| larder::units::tidy((h * 10.0).round() / 10.0)))
            });
            let field = row.number_or(
                &format!("peak_sun_hours/{month}"),
                &format!("peak sun hours in {}", words::month(month)),
                Quantity::Number,
                known,
                move |s| s.peak_sun_hours.get(at).copied().flatten(),
                move |s, v| {
                    if let Some(slot) = s.peak_sun_hours.get_mut(at) {
                        *slot = v;
                    }
                },
            );
            view! { <span class="month-field"><span class="small">{words::month_short(month)}</span>{field}</span> }.into_any()
        })
        .collect();
    view! {
        <p>"Peak sun hours on level ground, by month (kWh/m² a day). Grey figures come from the built-in table; type your own over them."</p>
        <div class="month-fields">{months}</div>
        {faults_beneath(desk, "sun/peak_sun_hours")}
        <p>"Dirt, mismatch and wiring take "{row.number("losses", "losses", Quantity::Share, |s| s.losses, |s, v| s.losses = v)}
        ". A panel loses "{row.number("temp_coefficient", "change of power by the degree", Quantity::SharePerKelvin, |s| s.temp_coefficient, |s, v| s.temp_coefficient = v)}
        " as it warms, and reaches "{row.number("noct_c", "cell temperature in mild sun", Quantity::Temperature, |s| s.noct_c, |s, v| s.noct_c = v)}
        " in mild sun. The ground throws back "{row.number("albedo", "share of light that the ground throws back", Quantity::Share, |s| s.albedo, |s, v| s.albedo = v)}"."</p>
    }
    .into_any()
}

fn alternator(desk: Desk) -> AnyView {
    let row = engine(desk);
    let fitted = Memo::new(move |_| desk.plan.with(|plan| plan.alternator.fitted));
    let inside = row.clone();
    let body = move || {
        let row = inside.clone();
        let links = vec![
            (LinkKind::DcDc, "a DC-DC charger".to_owned()),
            (
                LinkKind::Relay,
                "a relay that joins both batteries".to_owned(),
            ),
        ];
        let direct = Memo::new(move |_| {
            desk.plan
                .with(|plan| plan.alternator.link == LinkKind::Relay)
        });
        let of_kind = row.clone();
        let kind = move || {
            if direct.get() {
                view! { ", over cables of "{of_kind.number("link_mohm", "resistance of the link", Quantity::Resistance, |a| a.link_mohm, |a, v| a.link_mohm = v)}" there and back" }.into_any()
            } else {
                view! { " of "{of_kind.number("dcdc_a", "rated output", Quantity::Current, |a| a.dcdc_a, |a, v| a.dcdc_a = v)} }.into_any()
            }
        };
        let rare = row.clone();
        let (opener, drawer) = drawer(Signal::derive(|| "the alternator".to_owned()), move || {
            view! {
            <p>"When hot it gives "{rare.number("hot", "share left when hot", Quantity::Share, |a| a.hot, |a, v| a.hot = v)}
            " of that, at the usual speed "{rare.number("speed", "share at the usual speed", Quantity::Share, |a| a.speed, |a, v| a.speed = v)}
            "; the vehicle itself takes "{rare.number("own_draw_a", "the vehicle's own draw", Quantity::Current, |a| a.own_draw_a, |a, v| a.own_draw_a = v)}
            ". It holds "{rare.number("volts", "voltage for a 12 V bank", Quantity::Voltage, |a| a.volts, |a, v| a.volts = v)}" (for a 12 V bank)."</p>
            <p>"A DC-DC charger is "{rare.number("dcdc_efficiency", "its efficiency", Quantity::Share, |a| a.dcdc_efficiency, |a, v| a.dcdc_efficiency = v)}
            " efficient and may take at most "{rare.number("share", "share of the alternator", Quantity::Share, |a| a.share, |a, v| a.share = v)}" of the alternator's rating."</p>
        }.into_any()
        });
        view! {
            <div class="row" role="group" aria-label="driving">
                <div class="sentence">
                    "On a travelling day the engine runs "{row.number("hours", "hours driven", Quantity::Hours, |a| a.hours, |a, v| a.hours = v)}
                    " from "{row.clock("from", "when the driving starts", |a| &a.from, |a, v| a.from = v)}
                    ". An alternator of "{row.number("rated_a", "rating of the alternator", Quantity::Current, |a| a.rated_a, |a, v| a.rated_a = v)}
                    " feeds the bank by "{row.choice("link", "what joins them", links, |a| a.link, |a, v| a.link = v)}{kind}"."
                    {faults_beneath(desk, "alternator")}
                    {findings_at(desk, "alternator")}
                </div>
                {opener}
            </div>
            {drawer}
        }
        .into_any()
    };
    view! {
        <div class="source road-side">
            {row.tick("fitted", "Charging while driving", |a| a.fitted, |a, v| a.fitted = v)}
            {switched(fitted, body)}
        </div>
    }
    .into_any()
}

fn shore(desk: Desk) -> AnyView {
    let row: Row<Shore> = part(desk, "shore", |plan| &plan.shore, |plan| &mut plan.shore);
    let fitted = Memo::new(move |_| desk.plan.with(|plan| plan.shore.fitted));
    let inside = row.clone();
    let body = move || {
        let row = inside.clone();
        view! {
            <div class="row" role="group" aria-label="hook-up or generator">
                <div class="sentence">
                    "A charger of "{row.number("charger_a", "rating of the charger", Quantity::Current, |s| s.charger_a, |s, v| s.charger_a = v)}
                    " runs "{row.number("hours", "hours of supply", Quantity::Hours, |s| s.hours, |s, v| s.hours = v)}
                    " of a hooked-up day from "{row.clock("from", "when the supply starts", |s| &s.from, |s, v| s.from = v)}
                    ", at "{row.number("boost_v", "boost voltage for a 12 V bank", Quantity::Voltage, |s| s.boost_v, |s, v| s.boost_v = v)}
                    " and then "{row.number("float_v", "float voltage for a 12 V bank", Quantity::Voltage, |s| s.float_v, |s, v| s.float_v = v)}" (for a 12 V bank)."
                    {faults_beneath(desk, "shore")}
                    {findings_at(desk, "shore")}
                </div>
            </div>
        }
        .into_any()
    };
    view! {
        <div class="source shore-side">
            {row.tick("fitted", "A hook-up or a generator", |s| s.fitted, |s, v| s.fitted = v)}
            {switched(fitted, body)}
        </div>
    }
    .into_any()
}
