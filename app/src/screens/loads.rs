//! What do you run? Loads as sentences, with what each comes to.

use super::findings::findings_at;
use super::list::{List, drawer};
use super::paste::paste_preview;
use crate::fields::{Match, Row, faults_beneath, part, picker};
use crate::state::desk::Desk;
use larder::data::loads::{LibraryLoad, loads as library, search_loads};
use larder::plan::{Air, DayKind, DrawUnit, Idle, Load, MeterUnit, Plan, Supply, Way};
use larder::units::Quantity;
use larder::words;
use leptos::prelude::*;

/// The list of loads.
pub fn list(desk: Desk) -> List<Load> {
    List::new(desk, "loads", |plan| &plan.loads, |plan| &mut plan.loads)
}

/// The section.
pub fn section(desk: Desk) -> AnyView {
    let loads = list(desk);
    let pasted = RwSignal::new(None::<String>);
    let summary = move || {
        desk.answer.with(|answer| match &answer.report {
            Some(report) => words::needs_summary(report),
            None => "Nothing runs yet. Start with what you use most.".to_owned(),
        })
    };
    let adder = picker(
        "loads/add".into(),
        "What else runs?",
        "What else runs?",
        None,
        matches,
        Some(|text| format!("Add “{text}” as my own")),
        Callback::new(move |(name, at): (String, Option<usize>)| {
            let row = match at.and_then(|at| library().get(at)) {
                Some(known) => from_library(known),
                None => Load {
                    name,
                    ..Load::default()
                },
            };
            let id = loads.append(row);
            desk.plan.update(|plan| guess_load(plan, id));
        }),
    );
    view! {
        <section class="question" id="loads" aria-labelledby="loads-head">
            <h2 id="loads-head">"What do you run?"</h2>
            <p class="second">{summary}</p>
            {loads.view(move |id| row(loads, id))}
            <div class="add-row" on:paste=move |event| {
                if let Some(text) = crate::browser::transfer::pasted_lines(&event) {
                    event.prevent_default();
                    pasted.set(Some(text));
                }
            }>
                {adder}
                <span class="hint">"or paste several lines from a list"</span>
            </div>
            {paste_preview(loads, pasted)}
            {faults_beneath(desk, "loads")}
            {meter(desk)}
            {inverter(desk)}
        </section>
    }
    .into_any()
}

/// Up to eight entries of the library.
fn matches(text: &str) -> Vec<Match> {
    let all = library();
    search_loads(text, 8)
        .into_iter()
        .filter_map(|load| {
            let at = all.iter().position(|other| other.name == load.name)?;
            Some(Match {
                name: load.name.clone(),
                about: format!("{:.0} W, {}", load.power_w, load.source_word()),
                at,
            })
        })
        .collect()
}

/// A row of the plan from an entry of the library.
pub fn from_library(known: &LibraryLoad) -> Load {
    use larder::data::loads::LibraryUse;
    let mut load = Load {
        name: known.name.clone(),
        draw: known.power_w,
        surge: known.surge,
        supply: if known.ac { Supply::Ac } else { Supply::Dc },
        air: if known.outdoors {
            Air::Outdoors
        } else {
            Air::Cabin
        },
        months: known.months.iter().copied().collect(),
        ..Load::default()
    };
    match known.usage {
        LibraryUse::Always => load.way = Way::Always,
        LibraryUse::Hours { hours } => (load.way, load.hours) = (Way::Hours, hours),
        LibraryUse::Runs { runs, minutes } => {
            (load.way, load.runs, load.minutes) = (Way::Runs, runs, minutes)
        }
        LibraryUse::Thermostat { set_c, ref_c, duty } => {
            (load.way, load.set_c, load.ref_c, load.duty) = (Way::Thermostat, set_c, ref_c, duty);
        }
    }
    load.from = larder::units::clock(known.from_min);
    load.to = larder::units::clock(known.to_min);
    load
}

/// Marks what a fresh row takes from the library, or from nowhere, as our guess.
pub fn guess_load(plan: &mut Plan, id: u32) {
    let Some(load) = plan.loads.iter().find(|load| load.id == id) else {
        return;
    };
    let names: &[&str] = match load.way {
        Way::Always => &["draw"],
        Way::Hours => &["draw", "hours"],
        Way::Runs => &["draw", "runs"],
        Way::Thermostat => &["draw", "duty"],
    };
    plan.guesses
        .extend(names.iter().map(|name| format!("loads/{id}/{name}")));
}

/// One load.
fn row(list: List<Load>, id: u32) -> AnyView {
    let desk = list.desk;
    let row = list.row(id);
    let now = row.now;
    let called = Signal::derive(move || now.with(|load| load.name.clone()));
    let facts = Memo::new(move |_| {
        desk.answer.with(|answer| {
            let report = answer.report.as_ref()?;
            let use_ = report.needs.rows.iter().find(|row| row.id == id)?;
            let most = report
                .needs
                .rows
                .iter()
                .map(|row| row.wh)
                .fold(1e-9, f64::max);
            Some((
                use_.wh,
                use_.wh / most,
                words::load_note(use_, report.month),
            ))
        })
    });
    let fault_path = format!("loads/{id}/");
    let at_fault = Memo::new(move |_| {
        desk.faults
            .with(|faults| faults.keys().any(|path| path.starts_with(&fault_path)))
    });
    let figure = move || match facts.get() {
        Some((wh, _, _)) if at_fault.get() => format!("was {}", words::energy(wh)),
        Some((wh, _, _)) => words::energy(wh),
        None => "–".to_owned(),
    };
    let note = move || {
        facts
            .get()
            .and_then(|(_, _, note)| note)
            .map(|note| view! { <p class="note">{note}</p> })
    };
    let bar = move || {
        let share = facts.get().map_or(0.0, |(_, share, _)| share);
        let wide = (share * 96.0)
            .clamp(0.0, 96.0)
            .max(if share > 0.0 { 3.0 } else { 0.0 });
        view! { <svg class="bar" width="96" height="6" aria-hidden="true"><rect width=format!("{wide:.1}") height="6" rx="3"/></svg> }
    };
    let inside = row.clone();
    let (opener, body) = drawer(called, move || drawer_inside(list, &inside, id));
    view! {
        <div class="row" role="group" aria-label=move || called.get()>
            <div class="sentence">{sentence(&row)}{note}{faults_beneath(desk, &row.path)}{findings_at(desk, &row.path)}</div>
            <div class="figure-side"><span class="amount">{figure}</span>{bar}</div>
            {opener}
        </div>
        {body}
    }
    .into_any()
}

fn sentence(row: &Row<Load>) -> AnyView {
    let now = row.now;
    let count = row.number(
        "count",
        "how many",
        Quantity::Count,
        |l| l.count,
        |l, v| l.count = v,
    );
    let name = row.text("name", "what it is", |l| &l.name, |l, v| l.name = v);
    let draw = row.number_with_unit(
        "draw",
        "draw of one",
        Quantity::Power,
        |l| l.draw,
        |l| {
            if l.draw_unit == DrawUnit::A {
                Quantity::Current
            } else {
                Quantity::Power
            }
        },
        |l, value, unit| {
            l.draw = value;
            match unit {
                Some("A" | "mA") => l.draw_unit = DrawUnit::A,
                Some(_) => l.draw_unit = DrawUnit::W,
                None => {}
            }
        },
    );
    let supply = row.choice(
        "supply",
        "supply",
        vec![
            (Supply::Dc, "from the bank".into()),
            (Supply::Ac, "by the inverter".into()),
        ],
        |l| l.supply,
        |l, v| l.supply = v,
    );
    let ways = [
        (Way::Always, "always on"),
        (Way::Hours, "for hours"),
        (Way::Runs, "in runs"),
        (Way::Thermostat, "by thermostat"),
    ];
    let way = row.choice(
        "way",
        "way of use",
        ways.map(|(way, word)| (way, word.to_owned())).to_vec(),
        |l| l.way,
        |l, v| l.way = v,
    );
    let several = move || now.with(|load| load.count > 1.0).then_some(" each");
    let kind = Memo::new(move |_| now.with(|load| load.way));
    let rest = {
        let row = row.clone();
        move || {
            match kind.get() {
            Way::Always => ().into_any(),
            Way::Hours => view! {
                ": "{row.number("hours", "hours a day", Quantity::Hours, |l| l.hours, |l, v| l.hours = v)}" "{window(&row)}
            }
            .into_any(),
            Way::Runs => view! {
                ": "{row.number("runs", "runs a day", Quantity::Count, |l| l.runs, |l, v| l.runs = v)}" runs of "
                {row.number("minutes", "minutes a run", Quantity::Minutes, |l| l.minutes, |l, v| l.minutes = v)}" "{window(&row)}
            }
            .into_any(),
            Way::Thermostat => view! {
                " at "{row.number("set_c", "temperature it keeps", Quantity::Temperature, |l| l.set_c, |l, v| l.set_c = v)}
                ", running "{row.number("duty", "share of the time that it runs", Quantity::Share, |l| l.duty, |l, v| l.duty = v)}
                " of the time when it is "
                {row.number("ref_c", "temperature at which that holds", Quantity::Temperature, |l| l.ref_c, |l, v| l.ref_c = v)}" "
                {row.choice("air", "air that it feels", vec![(Air::Cabin, "inside".into()), (Air::Outdoors, "outside".into())], |l| l.air, |l, v| l.air = v)}
                ", "{window(&row)}
            }
            .into_any(),
        }
        }
    };
    view! { {count}" × "{name}", "{draw}{several}" "{supply}", "{way}{rest} }.into_any()
}

/// The window of a use: any time, or between two clock times.
fn window(row: &Row<Load>) -> AnyView {
    let whole = |load: &Load| load.from == load.to;
    let choice = row.choice(
        "when",
        "when in the day",
        vec![(true, "any time".into()), (false, "between".into())],
        whole,
        |load, any| {
            (load.from, load.to) = if any {
                ("00:00".into(), "00:00".into())
            } else {
                ("18:00".into(), "23:00".into())
            };
        },
    );
    let now = row.now;
    let any = Memo::new(move |_| now.with(whole));
    let row = row.clone();
    let times = move || {
        (!any.get()).then(|| {
            view! {
                " "{row.clock("from", "start of its window", |l| &l.from, |l, v| l.from = v)}
                " and "{row.clock("to", "end of its window", |l| &l.to, |l, v| l.to = v)}
            }
        })
    };
    view! { {choice}{times} }.into_any()
}

fn drawer_inside(list: List<Load>, row: &Row<Load>, id: u32) -> AnyView {
    let desk = list.desk;
    let days = DayKind::ALL.map(|kind| {
        row.tick(
            &format!("days-{}", words::kind(kind).replace(' ', "-")),
            words::kind(kind),
            move |l| l.days.contains(&kind),
            move |l, on| {
                if on {
                    l.days.insert(kind);
                } else {
                    l.days.remove(&kind);
                }
            },
        )
    });
    let months: Vec<AnyView> = (1..=12u8)
        .map(|month| {
            row.tick(
                &format!("month-{month}"),
                words::month_short(month),
                move |l| l.months.is_empty() || l.months.contains(&month),
                move |l, on| {
                    if l.months.is_empty() {
                        l.months = (1..=12).collect();
                    }
                    if on {
                        l.months.insert(month);
                    } else {
                        l.months.remove(&month);
                    }
                    if l.months.len() == 12 {
                        l.months.clear();
                    }
                },
            )
        })
        .collect();
    let working = move || {
        desk.answer.with(|answer| {
            answer
                .report
                .as_ref()
                .map(|report| desk.plan.with(|plan| words::load_working(plan, report, id)))
        })
    };
    view! {
        <p>"At the start one of them draws "{row.number("surge", "starting draw as a multiple", Quantity::Times, |l| l.surge, |l, v| l.surge = v)}" its running power."</p>
        <fieldset class="ticks"><legend>"It runs on days"</legend>{days.into_iter().collect_view()}</fieldset>
        <fieldset class="ticks months"><legend>"in"</legend>{months}</fieldset>
        <p class="working">{working}</p>
        {list.tools(id)}
    }
    .into_any()
}

/// A measured day in place of the sum.
fn meter(desk: Desk) -> AnyView {
    let row = part(desk, "meter", |plan| &plan.meter, |plan| &mut plan.meter);
    let used = Memo::new(move |_| desk.plan.with(|plan| plan.meter.used));
    let fields = row.clone();
    let body = move || {
        used.get().then(|| {
            let difference = move || {
                desk.answer.with(|answer| answer.report.as_ref().map(|report| words::meter_difference(&report.needs)))
            };
            view! {
                " It said "{fields.number("amount", "what the meter said", Quantity::Number, |m| m.amount, |m, v| m.amount = v)}" "
                {fields.choice("unit", "unit of the meter", vec![(MeterUnit::Ah, "Ah".into()), (MeterUnit::Wh, "Wh".into())], |m| m.unit, |m, v| m.unit = v)}
                " on a parked day. "<span class="note">{difference}</span>
            }
        })
    };
    view! {
        <div class="row single" role="group" aria-label="a measured day">
            <div class="sentence">
                {row.tick("used", "I have measured a day; go by the meter.", |m| m.used, |m, v| m.used = v)}
                {body}
                {faults_beneath(desk, "meter")}
            </div>
        </div>
    }
    .into_any()
}

/// The inverter, once anything runs on it.
fn inverter(desk: Desk) -> AnyView {
    let row = part(
        desk,
        "inverter",
        |plan| &plan.inverter,
        |plan| &mut plan.inverter,
    );
    let needed = Memo::new(move |_| {
        desk.plan
            .with(|plan| plan.loads.iter().any(|load| load.supply == Supply::Ac))
    });
    let body = move || {
        let row = row.clone();
        needed.get().then(move || {
            let least = move || desk.answer.with(|answer| answer.report.as_ref().map(|report| words::least_inverter(&report.needs)));
            let inside = row.clone();
            let (opener, body) = drawer(Signal::derive(|| "the inverter".to_owned()), move || {
                let again = inside.clone();
                let at_rated = again.number_or(
                    "rated_efficiency",
                    "efficiency at rated power",
                    Quantity::Share,
                    Signal::derive(|| "not given".to_owned()),
                    |i| i.rated_efficiency,
                    |i, v| i.rated_efficiency = v,
                );
                view! {
                    <p>"At its rated power it is "{at_rated}" efficient. It cuts out below "
                    {again.number("cutoff_v", "cut-out voltage for a 12 V bank", Quantity::Voltage, |i| i.cutoff_v, |i, v| i.cutoff_v = v)}
                    " (for a 12 V bank)."</p>
                }
                .into_any()
            });
            view! {
                <div class="row" role="group" aria-label="the inverter">
                    <div class="sentence">
                        "The inverter gives "{row.number("rated_w", "continuous rating", Quantity::Power, |i| i.rated_w, |i, v| i.rated_w = v)}
                        ", for moments "{row.number("surge_w", "short-time rating", Quantity::Power, |i| i.surge_w, |i, v| i.surge_w = v)}
                        ", takes "{row.number("idle_w", "its own draw", Quantity::Power, |i| i.idle_w, |i, v| i.idle_w = v)}" itself "
                        {row.choice("idle", "when it draws", vec![(Idle::WithLoads, "while something runs on it".into()), (Idle::AllDay, "day and night".into())], |i| i.idle, |i, v| i.idle = v)}
                        " and is "{row.number("peak_efficiency", "best efficiency", Quantity::Share, |i| i.peak_efficiency, |i, v| i.peak_efficiency = v)}" efficient at its best."
                        <p class="note">{least}</p>
                        {faults_beneath(desk, "inverter")}
                        {findings_at(desk, "inverter")}
                    </div>
                    {opener}
                </div>
                {body}
            }
        })
    };
    view! { {body} }.into_any()
}
