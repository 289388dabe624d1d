//! What do you run? Loads as sentences, with what each comes to.

use super::list::{RowView, Rows, row};
use super::paste::{add_loads, paste_preview};
use crate::fields::{Match, Picker, choice, faults_of_list, field, open_number, picker, say, tick};
use crate::state::desk::Desk;
use crate::view::{holds, memo, none, part, says, when};
use larder::data::loads::{LibraryLoad, loads as library, search_loads};
use larder::paste::read_line;
use larder::plan::{Air, DayKind, List, Load, Plan, Supply, Way};
use larder::units::{NumberFormat, Quantity};
use larder::words;
use leptos::prelude::*;

/// The section.
pub fn section(desk: Desk) -> AnyView {
    let loads = Rows::new(desk, List::Loads);
    let pasted = RwSignal::new(None::<String>);
    let summary = says(move || match desk.report() {
        Some(report) => words::needs_summary(&report),
        None => "Nothing runs yet. Start with what you use most.".to_owned(),
    });
    let pick = move |picked: Match| {
        let known = picked.at.and_then(|at| library().get(at));
        if known.is_none()
            && let Ok(read) = read_line(&picked.name, desk.number_format.get_untracked())
        {
            return add_loads(loads, vec![read]);
        }
        loads.add(|plan, id| {
            let load = match known {
                Some(known) => from_library(known),
                None => Load {
                    name: picked.name,
                    ..Load::default()
                },
            };
            plan.loads.push(Load { id, ..load });
        });
    };
    let adder = picker(Picker {
        path: "loads/add".into(),
        called: "What else runs?",
        standing: None,
        empty: "",
        find: Callback::new(move |text: String| matches(&text, desk.number_format.get())),
        pick: Callback::new(pick),
        keeps: None,
    });
    let on_paste = move |event| {
        if let Some(text) = crate::browser::transfer::pasted_lines(&event) {
            event.prevent_default();
            pasted.set(Some(text));
        }
    };
    view! {
        <section class="question" id="loads" aria-labelledby="loads-head">
            <h2 id="loads-head">"What do you run?"</h2>
            <p class="second">{summary}</p>
            {loads.view(load)}
            <div class="add-row" on:paste=on_paste>
                {adder}
                <span class="hint">"or paste several lines from a list"</span>
            </div>
            {paste_preview(loads, pasted)}
            {faults_of_list(desk, "loads")}
            {meter(desk)}
            {inverter(desk)}
        </section>
    }
    .into_any()
}

/// Up to eight entries of the library, and a row that takes the text as it is; first where it names a power.
fn matches(text: &str, format: NumberFormat) -> Vec<Match> {
    let all = library();
    let known = search_loads(text, 8).into_iter().map(|load| Match {
        name: load.name.clone(),
        about: format!("{:.0} W, {}", load.power_w, load.source_word()),
        at: all.iter().position(|other| other.name == load.name),
        ..Match::default()
    });
    let read = read_line(text, format).ok();
    let about = match &read {
        Some(read) => format!("add {}", read.summary(format)),
        None => "add as my own".to_owned(),
    };
    let own = Match {
        name: text.to_owned(),
        about,
        at: None,
        ..Match::default()
    };
    if read.is_some() {
        [own].into_iter().chain(known).collect()
    } else {
        known.chain([own]).collect()
    }
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
        months: known.months.to_vec(),
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

fn find(plan: &Plan, id: u32) -> Option<&Load> {
    plan.loads.iter().find(|load| load.id == id)
}

/// One load.
fn load(loads: Rows, id: u32) -> AnyView {
    let desk = loads.desk;
    let at = loads.at(id);
    let within = format!("{at}/");
    let is_at_fault = memo(move || {
        desk.faults
            .with(|faults| faults.keys().any(|path| path.starts_with(&within)))
    });
    let facts = memo(move || {
        let report = desk.report()?;
        let mine = report.needs.rows.iter().find(|row| row.id == id)?;
        let most = report
            .needs
            .rows
            .iter()
            .map(|row| row.wh)
            .fold(1e-9, f64::max);
        Some((
            mine.wh,
            mine.wh / most,
            words::load_note(mine, report.month),
        ))
    });
    let figure = says(move || match facts.get() {
        Some((wh, _, _)) if is_at_fault.get() => format!("was {}", words::energy(wh)),
        Some((wh, _, _)) => words::energy(wh),
        None => "–".to_owned(),
    });
    let note = part(move || match facts.get() {
        Some((_, _, Some(note))) => view! { <p class="note">{note}</p> }.into_any(),
        _ => none(),
    });
    let wide = says(move || {
        let share = facts.get().map_or(0.0, |(_, share, _)| share);
        let least = if share > 0.0 { 3.0 } else { 0.0 };
        format!("{:.1}", (share * 96.0).clamp(least, 96.0))
    });
    let side = view! {
        <div class="figure-side"><span class="amount">{figure}</span>
        <svg class="bar" width="96" height="6" aria-hidden="true"><rect width=wide height="6" rx="3"/></svg></div>
    };
    let sentence = view! { {sentence(desk, &at, id)}{note} };
    let called = words::field_called(&desk.plan_now(), &at);
    row(
        desk,
        RowView {
            called,
            class: String::new(),
            at: at.clone(),
            sentence: sentence.into_any(),
            side: side.into_any(),
            drawer: Some(Box::new(move || inside(loads, &at, id))),
        },
    )
}

fn sentence(desk: Desk, at: &str, id: u32) -> AnyView {
    // A row hears of its own part of the plan alone: there may be a hundred.
    let row = at.to_owned();
    let several = memo(move || find(&desk.plan_at(&row), id).is_some_and(|load| load.count > 1.0));
    let each = says(move || if several.get() { " each " } else { " " }.to_owned());
    let row = at.to_owned();
    let way = memo(move || find(&desk.plan_at(&row), id).map(|load| load.way));
    let place = at.to_owned();
    let rest = part(move || {
        let said = match way.get() {
            Some(Way::Hours) => ": {hours} ",
            Some(Way::Runs) => ": {runs} runs of {minutes} ",
            Some(Way::Thermostat) => {
                " at {set_c}, running {duty} of the time when it is {ref_c} {air}, "
            }
            _ => return none(),
        };
        view! { {say(desk, &place, said)}{window(desk, &place, id)} }.into_any()
    });
    view! { {say(desk, at, "{count} × {name}, {draw}")}{each}{say(desk, at, "{supply}, {way}")}{rest} }.into_any()
}

/// The window of a use: any time, or between two clock times.
fn window(desk: Desk, at: &str, id: u32) -> AnyView {
    let row = at.to_owned();
    let bounded =
        memo(move || find(&desk.plan_at(&row), id).is_some_and(|load| load.from != load.to));
    let words = ["any time", "between"];
    let put = |plan: &mut Plan, path: &str, at: usize| {
        let id = path.split('/').nth(1).and_then(|id| id.parse().ok());
        if let Some(load) = plan.loads.iter_mut().find(|load| Some(load.id) == id) {
            let (from, to) = if at == 0 {
                ("00:00", "00:00")
            } else {
                ("18:00", "23:00")
            };
            (load.from, load.to) = (from.into(), to.into());
            let row = format!("loads/{}", load.id);
            plan.guesses.insert(format!("{row}/from"));
            plan.guesses.insert(format!("{row}/to"));
        }
    };
    let chosen = move || usize::from(bounded.get());
    let place = at.to_owned();
    let times = when(bounded, move || say(desk, &place, " {from} and {to}"));
    view! { {choice(desk, format!("{at}/when"), "when in the day", &words, chosen, put)}{times} }
        .into_any()
}

/// The load that a path such as `loads/3/days/away` names, with the last step.
fn of_tick<'a, 'b>(plan: &'a mut Plan, path: &'b str) -> Option<(&'a mut Load, &'b str)> {
    let mut steps = path.split('/').skip(1);
    let id: u32 = steps.next()?.parse().ok()?;
    let load = plan.loads.iter_mut().find(|load| load.id == id)?;
    Some((load, steps.last()?))
}

fn tick_day(plan: &mut Plan, path: &str, on: bool) {
    let Some((load, kind)) = of_tick(plan, path) else {
        return;
    };
    if let Some(kind) = DayKind::ALL
        .into_iter()
        .find(|day| words::kind(*day).replace(' ', "-") == kind)
    {
        load.days.retain(|day| *day != kind);
        if on {
            load.days.push(kind);
        }
    }
}

fn tick_month(plan: &mut Plan, path: &str, on: bool) {
    let Some((load, month)) = of_tick(plan, path) else {
        return;
    };
    let Ok(month) = month.parse() else { return };
    if load.months.is_empty() {
        load.months = (1..=12).collect();
    }
    load.months.retain(|other| *other != month);
    if on {
        load.months.push(month);
    }
    if load.months.len() == 12 {
        load.months.clear();
    }
}

/// What stands in a load's drawer.
fn inside(loads: Rows, at: &str, id: u32) -> AnyView {
    let desk = loads.desk;
    let days: Vec<AnyView> = DayKind::ALL
        .into_iter()
        .map(|kind| {
            let on = move || find(&desk.plan(), id).is_some_and(|load| load.days.contains(&kind));
            let name = words::kind(kind);
            tick(
                desk,
                format!("{at}/days/{}", name.replace(' ', "-")),
                name,
                on,
                tick_day,
            )
        })
        .collect();
    let months: Vec<AnyView> = (1..=12u8)
        .map(|month| {
            let on = move || {
                find(&desk.plan(), id)
                    .is_some_and(|load| load.months.is_empty() || load.months.contains(&month))
            };
            tick(
                desk,
                format!("{at}/months/{month}"),
                words::month_short(month),
                on,
                tick_month,
            )
        })
        .collect();
    let working = says(move || {
        let report = desk.report();
        report.map_or(String::new(), |report| {
            words::load_working(&desk.plan(), &report, id)
        })
    });
    let dc = memo(move || find(&desk.plan(), id).is_some_and(|load| load.supply == Supply::Dc));
    let place = format!("{at}/cable_mm");
    let from = at.to_owned();
    let as_others = Signal::derive(move || {
        let plan = desk.plan();
        Quantity::Length.show(plan.wiring.branch_mm, plan.units)
    });
    let cable = when(dc, move || {
        view! { <p>{say(desk, &from, "Its circuit begins at {on_bars}; from there its cable is ")}{open_number(desk, place.clone(), as_others)}" long."</p> }.into_any()
    });
    view! {
        {cable}
        <p>{say(desk, at, "At the start one of them draws {surge} its running power.")}</p>
        <fieldset class="ticks"><legend>"It runs on days"</legend>{days}</fieldset>
        <fieldset class="ticks months"><legend>"in"</legend>{months}</fieldset>
        <p class="working">{working}</p>
        {loads.tools(id)}
    }
    .into_any()
}

/// A measured day in place of the sum.
fn meter(desk: Desk) -> AnyView {
    let used = memo(move || desk.plan().meter.used);
    let body = when(used, move || {
        let difference = desk.told(|report| words::meter_difference(&report.needs));
        view! { {say(desk, "meter", " It said {amount} {unit} on a parked day. ")}<span class="note">{difference}</span> }.into_any()
    });
    row(
        desk,
        RowView {
            called: "a measured day".to_owned(),
            class: "single".to_owned(),
            at: "meter".to_owned(),
            sentence: view! { {field(desk, "meter/used")}{body} }.into_any(),
            side: none(),
            drawer: None,
        },
    )
}

/// The inverter, once anything runs on it.
fn inverter(desk: Desk) -> AnyView {
    let needed = memo(move || {
        desk.plan()
            .loads
            .iter()
            .any(|load| load.supply == Supply::Ac)
    });
    when(needed, move || {
        let least = desk.told(|report| words::least_inverter(&report.needs));
        let no_least = holds(move || desk.report().is_none());
        let said = "The inverter gives {rated_w}, for moments {surge_w}, takes {idle_w} itself {idle} and is {peak_efficiency} efficient at its best.";
        row(desk, RowView {
            called: "the inverter".to_owned(),
            class: String::new(),
            at: "inverter".to_owned(),
            sentence: view! { {say(desk, "inverter", said)}<p class="note" hidden=no_least>{least}</p> }.into_any(),
            side: none(),
            drawer: Some(Box::new(move || {
                let said = "At its rated power it is {rated_efficiency} efficient. It cuts out below {cutoff_v} (for a 12 V bank) and gives {mains}.";
                view! { <p>{say(desk, "inverter", said)}</p> }.into_any()
            })),
        })
    })
}
