//! What stores it? Candidate banks as sentences, compared, and the shelf of each.

use super::findings::findings_at;
use super::list::{RowView, Rows, button, row};
use super::shell::Width;
use crate::fields::{
    Match, Picker, choice, faults_beneath, faults_of_list, field, guess_mark, open_number, picker,
    say,
};
use crate::pictures::svg::escape;
use crate::pictures::{self, Table, day as day_picture, figure, shelf};
use crate::state::desk::Desk;
use crate::view::{holds, inside, memo, none, part, press, says, unfolded, when};
use larder::battery::Chemistry;
use larder::data::cases::{case_by_name, cases};
use larder::plan::{Candidate, Held, List, Plan, Second, Terminals};
use larder::report::Report;
use larder::words;
use leptos::prelude::*;

/// Most candidates that a plan compares.
const MOST: usize = 4;

/// The names of the loads, for pictures.
fn load_names(plan: &Plan) -> Vec<(u32, String)> {
    plan.loads
        .iter()
        .map(|load| (load.id, load.name.clone()))
        .collect()
}

/// The section.
pub fn section(desk: Desk, width: Width) -> AnyView {
    let banks = Rows::new(desk, List::Candidates);
    let full = memo(move || desk.plan().candidates.len() >= MOST);
    let day = memo(move || {
        let report = desk.report()?;
        let names = load_names(&desk.plan());
        Some(day_picture::day(
            &report,
            report.chosen_bank()?,
            &names,
            width.column.get(),
        ))
    });
    let key = part(move || {
        let report = desk.report();
        let key = report.map(|report| day_picture::key(&report, &load_names(&desk.plan())));
        let items = key.unwrap_or_default().into_iter().map(|(name, ink)| {
            view! { <li><span class=format!("swatch fill-{ink}")></span>{name}</li> }.into_any()
        });
        items.collect::<Vec<_>>().into_any()
    });
    let others = part(move || {
        if full.get() {
            return view! { <span class="hint">"Four candidates are compared at the most; remove one to add another."</span> }.into_any();
        }
        let copy = move |change: fn(&mut Candidate)| {
            press(move || {
                let chosen = desk.plan_now().chosen_candidate().cloned();
                let chosen = chosen.unwrap_or_default();
                banks.copy(chosen.id, |plan, id| {
                    let mut copy = chosen.clone();
                    copy.id = id;
                    change(&mut copy);
                    told_by_button(plan, &copy, &chosen);
                    plan.candidates.push(copy);
                    plan.set_usual(&banks.at(id));
                });
            })
        };
        let more = button(
            "one more",
            "button plain",
            copy(|bank| bank.parallel += 1.0),
        );
        let fewer = button(
            "one fewer",
            "button plain",
            copy(|bank| bank.parallel = (bank.parallel - 1.0).max(1.0)),
        );
        let later = button(
            "one more, but later",
            "button plain",
            copy(|bank| {
                bank.parallel += 1.0;
                bank.later_years = Some(2.0);
            }),
        );
        let other = button("the other chemistry", "button plain", copy(other_chemistry));
        view! { <span class="hint">"Compare with"</span>{more}{later}{fewer}{other} }.into_any()
    });
    let volts = || {
        choice(
            desk,
            "plan/volts".into(),
            "voltage of the rig",
            &["12 V", "24 V", "48 V"],
            move || {
                VOLTS
                    .iter()
                    .position(|volts| *volts == desk.plan().volts)
                    .unwrap_or(0)
            },
            |plan, path, at| plan.put(path, Held::Number(VOLTS.get(at).copied())),
        )
    };
    view! {
        <section class="question" id="stores" aria-labelledby="stores-head">
            <h2 id="stores-head">"What stores it?"</h2>
            <p class="sentence lead">"A "{volts()}{say(desk, "plan", " {rig} that should last {wanted_days} parked with nothing coming in.")}</p>
            {faults_beneath(desk, "plan")}
            {findings_at(desk, "plan/wanted_days")}
            {banks.view(candidate)}
            {faults_of_list(desk, "candidates")}
            <div class="add-row tools" role="group" aria-label="compare another">{others}</div>
            <p class="note">{desk.told(words::least_banks)}</p>
            <h3>"Side by side"</h3>
            {comparison(desk.of_year("stores/year"))}
            <h3>{desk.told(|report| format!("A parked day in {}", words::month(report.month)))}</h3>
            <p class="second">"The chosen bank from full at midnight, with the expected sun."</p>
            {figure("The day", "day", day)}
            <ul class="key" aria-hidden="true">{key}</ul>
        </section>
    }
    .into_any()
}

const VOLTS: [f64; 3] = [12.0, 24.0, 48.0];

/// Notes what a button that adds a copy says of it: another count, or another kind, which brings guesses of its own.
fn told_by_button(plan: &mut Plan, copy: &Candidate, of: &Candidate) {
    let at = |name: &str| format!("candidates/{}/{name}", copy.id);
    if copy.parallel != of.parallel {
        plan.accept(&at("parallel"));
    }
    if copy.chemistry != of.chemistry {
        plan.accept(&at("chemistry"));
        let brought = [
            "mass_kg",
            "case_name",
            "case_mm/1",
            "case_mm/2",
            "case_mm/3",
            "depth",
        ];
        plan.guesses.extend(brought.map(at));
    }
}

/// The lithium bank for a lead-acid one and the other way round, of the same capacity.
fn other_chemistry(bank: &mut Candidate) {
    let lithium = !bank.chemistry.is_lead_acid();
    bank.chemistry = if lithium {
        Chemistry::Agm
    } else {
        Chemistry::LithiumIronPhosphate
    };
    bank.second = Second::None;
    bank.depth = None;
    (bank.price, bank.age_years) = (None, 0.0);
    (bank.max_discharge_a, bank.max_charge_a) = (None, None);
    (bank.cranking_a, bank.short_circuit_a) = (None, None);
}

fn find(plan: &Plan, id: u32) -> Option<&Candidate> {
    plan.candidates.iter().find(|bank| bank.id == id)
}

fn candidate(banks: Rows, id: u32) -> AnyView {
    let desk = banks.desk;
    let at = banks.at(id);
    let chosen = memo(move || {
        desk.plan()
            .chosen_candidate()
            .is_some_and(|bank| bank.id == id)
    });
    let is_one = memo(move || find(&desk.plan(), id).is_some_and(|bank| bank.parallel == 1.0));
    let strings = says(move || {
        if is_one.get() {
            " string of "
        } else {
            " strings side by side, each of "
        }
        .to_owned()
    });
    let radio_id = format!("choose-{id}");
    let sentence = view! {
        {say(desk, &at, "{parallel}")}{strings}
        {say(desk, &at, "{series} × {capacity_ah} {chemistry}, {battery_v}, in a case of {case_mm/1} × {case_mm/2} × {case_mm/3} (")}
        {case_name(desk, &at)}{say(desk, &at, "), {mass_kg}.")}
        <label class="tick choose">
            <input type="radio" name="chosen" id=radio_id prop:checked=holds(move || chosen.get())
                on:change=move |_| desk.edit("", |plan| plan.chosen = id) />
            <span>"Plan with this one"</span>
        </label>
    };
    let place = at.clone();
    row(
        desk,
        RowView {
            called: words::field_called(&desk.plan_now(), &at),
            class: "bank".to_owned(),
            at,
            sentence: sentence.into_any(),
            side: none(),
            drawer: Some(Box::new(move || in_drawer(banks, &place, id))),
        },
    )
}

fn case_matches(text: &str) -> Vec<Match> {
    let text = text.to_ascii_lowercase();
    let known = cases()
        .iter()
        .filter(|case| case.name.to_ascii_lowercase().contains(&text));
    let matches = known.take(8).map(|case| {
        let [l, w, h] = case.mm;
        let about = format!("{l:.0} × {w:.0} × {h:.0} mm");
        Match {
            name: case.name.clone(),
            about,
            at: None,
            ..Match::default()
        }
    });
    matches.collect()
}

/// A standard case by its name.
fn case_name(desk: Desk, at: &str) -> AnyView {
    let path = format!("{at}/case_name");
    let id = at
        .rsplit('/')
        .next()
        .and_then(|id| id.parse().ok())
        .unwrap_or(0);
    let edited = path.clone();
    let pick = move |picked: Match| {
        desk.edit(&edited, |plan| {
            let bank = plan.candidates.iter_mut().find(|bank| bank.id == id);
            if let (Some(bank), Some(case)) = (bank, case_by_name(&picked.name)) {
                bank.case_name.clone_from(&case.name);
                bank.case_mm = case.mm;
            }
        });
    };
    let standing = move || match find(&desk.plan(), id) {
        Some(bank) if !bank.case_name.is_empty() => bank.case_name.clone(),
        _ => "own size".to_owned(),
    };
    let mark = guess_mark(desk, &path);
    let picker = picker(Picker {
        path,
        called: "standard case",
        standing: Some(Signal::derive(standing)),
        empty: "",
        find: Callback::new(|text: String| case_matches(&text)),
        pick: Callback::new(pick),
        keeps: None,
    });
    view! { {picker}{mark} }.into_any()
}

/// What stands in a candidate's drawer.
fn in_drawer(banks: Rows, at: &str, id: u32) -> AnyView {
    let desk = banks.desk;
    let second = memo(move || find(&desk.plan(), id).map(|bank| bank.second));
    let place = at.to_owned();
    let more = part(move || match second.get() {
        Some(Second::Reserve) => say(desk, &place, " {reserve_min}"),
        Some(Second::Capacity) => say(desk, &place, " {second_ah} over {second_h}"),
        _ => none(),
    });
    let strings = memo(move || find(&desk.plan(), id).is_some_and(|bank| bank.parallel > 1.0));
    let later = format!("{at}/later_years");
    let last = when(strings, move || {
        let empty = Signal::stored("at once".to_owned());
        view! { " The last of its strings comes later by "{open_number(desk, later.clone(), empty)}"." }.into_any()
    });
    let told = memo(move || {
        find(&desk.plan(), id).is_some_and(|bank| bank.terminals != Terminals::Anywhere)
    });
    let place = at.to_owned();
    let sit = when(told, move || {
        say(
            desk,
            &place,
            ", {terminal_in_mm} from the sides to the middle of each, with {terminal_wide_mm} across on it",
        )
    });
    let recommended = Signal::derive(move || {
        let plan = desk.plan();
        let depth = find(&plan, id).map_or(0.5, |bank| bank.chemistry.traits().depth_recommended);
        format!("{:.0} %", depth * 100.0)
    });
    let working = unfolded("How this is worked out".to_owned(), move || {
        let report = desk.report();
        let lines = report.and_then(|report| {
            let bank = report.banks.iter().find(|bank| bank.id == id)?;
            Some(words::bank_working(&report, bank, desk.plan().units))
        });
        let lines = lines.unwrap_or_default().into_iter();
        lines
            .map(|line| view! { <p class="working">{line}</p> }.into_any())
            .collect::<Vec<_>>()
            .into_any()
    });
    view! {
        <p>{say(desk, at, "Its capacity is rated over {rate_h}; the label {second}")}{more}"."</p>
        <p>"It is planned down by "{open_number(desk, format!("{at}/depth"), recommended)}
        {say(desk, at, " of its capacity. When fitted it is {age_years} old.")}{last}</p>
        <p>{say(desk, at, "Its maker lets one give {max_discharge_a} and take {max_charge_a}. Cranking amperes: {cranking_a}; short-circuit current by its maker: {short_circuit_a}. It may {turning}. One costs {price}.")}</p>
        <p>{say(desk, at, "With its label, a long side, to the front, its terminals sit {terminals}")}{sit}"."</p>
        {working}
        {banks.tools(id)}
    }
    .into_any()
}

/// Everything for every candidate, with what decides marked.
fn comparison(desk: Desk) -> AnyView {
    let facts = memo(move || {
        let report = desk.report()?;
        let plan = desk.plan();
        Some(words::comparison(
            &report,
            desk.year().as_deref(),
            plan.units,
            &plan.currency,
        ))
    });
    let markup = move |facts: &words::Comparison| {
        let heads = facts
            .heads
            .iter()
            .map(|head| format!(r#"<th scope="col">{}</th>"#, escape(head)));
        let lines = facts.rows.iter().map(|row| {
            let cells = row.cells.iter().map(|cell| {
                let (class, word) = match (cell.best, cell.bad) {
                    (_, true) => ("bad", ""),
                    (true, _) => ("best", " best"),
                    _ => ("", ""),
                };
                format!(r#"<td class="{class}"><span>{}</span><span class="best-mark">{word}</span></td>"#, escape(&cell.text))
            });
            format!(r#"<tr><th scope="row">{}</th>{}</tr>"#, escape(&row.what), cells.collect::<String>())
        });
        format!(
            r#"<table class="comparison"><thead><tr><th scope="col"><span class="hidden">measure</span></th>{}</tr></thead><tbody>{}</tbody></table>"#,
            heads.collect::<String>(),
            lines.collect::<String>()
        )
    };
    let markup = says(move || facts.with(|facts| facts.as_ref().map_or(String::new(), markup)));
    pictures::table_of("candidates side by side".to_owned(), markup)
}

/// The shelves of all candidates, on one scale.
pub fn shelves(desk: Desk, width: Signal<f64>) -> AnyView {
    let ids = memo(move || {
        let report = desk.report();
        let banks = report.iter().flat_map(|report| &report.banks);
        banks.map(|bank| bank.id).collect::<Vec<_>>()
    });
    let body = part(move || {
        let rows = ids.get().into_iter().map(|id| shelf_row(desk, id, width));
        rows.collect::<Vec<_>>().into_any()
    });
    view! { <div class="shelves">{body}</div> }.into_any()
}

/// A candidate's shelf; of its row only what has changed is drawn anew.
fn shelf_row(desk: Desk, id: u32, width: Signal<f64>) -> AnyView {
    let facts = memo(move || {
        let report = desk.report();
        let banks = report.as_ref().map_or(&[][..], |report| &report.banks);
        let rated = banks.iter().map(|bank| bank.shelf.rated_ah);
        let full = rated.fold(1.0, f64::max);
        let bank = banks.iter().find(|bank| bank.id == id);
        bank.map_or_else(Default::default, |bank| {
            let name = words::bank_name(bank);
            let spoken = shelf::says(bank, &name);
            let drawn = shelf::shelf(&bank.shelf, full, width.get());
            [name, words::lasting(bank.parked), spoken, drawn]
        })
    });
    let fact = move |at: usize| {
        says(move || facts.with(|facts| facts.get(at).cloned().unwrap_or_default()))
    };
    view! {
        <div class="shelf">
            <p class="shelf-head"><span>{fact(0)}</span><span class="days">{fact(1)}</span></p>
            <div class="drawing" role="img" aria-label=fact(2) node_ref=inside(fact(3))></div>
        </div>
    }
    .into_any()
}

/// The same facts as a table.
pub fn shelf_table(report: &Report) -> AnyView {
    let heads = [
        "bank",
        "rated, Ah",
        "usable, Ah",
        "cold and age, Ah",
        "reserve, Ah",
    ];
    let rows = report
        .banks
        .iter()
        .map(|bank| shelf::row(bank, &words::bank_name(bank)));
    pictures::table(
        "The shelves",
        &Table {
            heads: heads.map(String::from).to_vec(),
            rows: rows.collect(),
        },
    )
}

/// The kind of battery of the first candidate, for the first questions.
pub fn first_chemistry(desk: Desk) -> AnyView {
    let first = desk.plan_now().candidates.first().map_or(0, |bank| bank.id);
    field(desk, &format!("candidates/{first}/chemistry"))
}
