//! What stores it? Candidate banks as sentences, compared, and the shelf of each.

use super::findings::findings_at;
use super::list::{List, drawer};
use super::shell::Width;
use crate::fields::{Match, Row, faults_beneath, part};
use crate::pictures::{self, Table, day as day_picture, figure, shelf};
use crate::state::desk::Desk;
use larder::battery::Chemistry;
use larder::data::cases::{case_by_name, cases};
use larder::plan::{Candidate, Second, Turning};
use larder::report::Report;
use larder::units::Quantity;
use larder::words;
use leptos::prelude::*;

/// Most candidates that a plan compares.
const MOST: usize = 4;

/// The list of candidates.
pub fn list(desk: Desk) -> List<Candidate> {
    List::new(
        desk,
        "candidates",
        |plan| &plan.candidates,
        |plan| &mut plan.candidates,
    )
}

/// The names of the loads, for pictures.
pub fn load_names(desk: Desk) -> Vec<(u32, String)> {
    desk.plan.with(|plan| {
        plan.loads
            .iter()
            .map(|load| (load.id, load.name.clone()))
            .collect()
    })
}

/// The section.
pub fn section(desk: Desk, width: Width) -> AnyView {
    let banks = list(desk);
    let wanted = part(
        desk,
        "plan",
        |plan| &plan.wanted_days,
        |plan| &mut plan.wanted_days,
    );
    let volts = part(desk, "plan", |plan| &plan.volts, |plan| &mut plan.volts);
    let full = Memo::new(move |_| desk.plan.with(|plan| plan.candidates.len() >= MOST));
    let day = Memo::new(move |_| {
        let wide = width.column.get();
        desk.answer.with(|answer| {
            let report = answer.report.as_ref()?;
            Some(day_picture::day(
                report,
                report.chosen_bank()?,
                &load_names(desk),
                wide,
            ))
        })
    });
    let key = Memo::new(move |_| {
        desk.answer.with(|answer| {
            answer
                .report
                .as_ref()
                .map(|report| day_picture::key(report, &load_names(desk)))
                .unwrap_or_default()
        })
    });
    let day_head = move || {
        desk.answer.with(|answer| {
            answer
                .report
                .as_ref()
                .map(|report| format!("A parked day in {}", words::month(report.month)))
        })
    };
    let least = move || {
        desk.answer.with(|answer| {
            answer
                .report
                .as_ref()
                .map(|report| words::least_banks(report))
        })
    };
    view! {
        <section class="question" id="stores" aria-labelledby="stores-head">
            <h2 id="stores-head">"What stores it?"</h2>
            <p class="sentence lead">
                "A "{volts.choice("volts", "voltage of the rig", [12.0, 24.0, 48.0].map(|v| (v, format!("{v:.0} V"))).to_vec(), |v| *v, |v, n| *v = n)}
                " rig that should last "
                {wanted.number("wanted_days", "days wanted", Quantity::Days, |d| *d, |d, v| *d = v)}
                " parked with nothing coming in."
            </p>
            {faults_beneath(desk, "plan")}
            {banks.view(move |id| candidate(banks, id))}
            {faults_beneath(desk, "candidates")}
            <div class="add-row tools" role="group" aria-label="compare another">
                {move || if full.get() {
                    view! { <span class="hint">"Four candidates are compared at the most; remove one to add another."</span> }.into_any()
                } else {
                    others(banks)
                }}
            </div>
            <p class="note">{least}</p>
            <h3>"Side by side"</h3>
            {comparison(desk)}
            <h3>{day_head}</h3>
            <p class="second">"The chosen bank from full at midnight, with the expected sun."</p>
            {figure("The day", "day", day)}
            <ul class="key" aria-hidden="true">
                {move || key.get().into_iter().map(|(name, ink)| view! { <li><span class=format!("swatch fill-{ink}")></span>{name}</li> }).collect_view()}
            </ul>
        </section>
    }
    .into_any()
}

/// Buttons that copy the chosen candidate with one thing changed.
fn others(banks: List<Candidate>) -> AnyView {
    let make = move |word: &'static str, change: fn(&mut Candidate)| {
        view! {
            <button type="button" class="button plain" on:click=move |_| {
                let mut copy = banks.desk.plan.with_untracked(|plan| plan.chosen_candidate().cloned().unwrap_or_default());
                change(&mut copy);
                banks.append(copy);
            }>{word}</button>
        }
    };
    view! {
        <span class="hint">"Compare with"</span>
        {make("one more", |bank| bank.parallel += 1.0)}
        {make("one fewer", |bank| bank.parallel = (bank.parallel - 1.0).max(1.0))}
        {make("the other chemistry", other_chemistry)}
    }
    .into_any()
}

/// The lithium bank for a lead-acid one and the other way round, of the same size.
pub fn other_chemistry(bank: &mut Candidate) {
    let lithium = matches!(
        bank.chemistry,
        Chemistry::LithiumIronPhosphate | Chemistry::SodiumIon
    );
    bank.chemistry = if lithium {
        Chemistry::Agm
    } else {
        Chemistry::LithiumIronPhosphate
    };
    bank.mass_kg = (bank.mass_kg * if lithium { 2.3 } else { 0.43 }).round();
    bank.second = Second::None;
    bank.depth = None;
    (bank.price, bank.age_years) = (None, 0.0);
    (bank.max_discharge_a, bank.max_charge_a) = (None, None);
}

fn candidate(banks: List<Candidate>, id: u32) -> AnyView {
    let desk = banks.desk;
    let row = banks.row(id);
    let now = row.now;
    let called = Signal::derive(move || now.with(words::candidate_name));
    let chosen = Memo::new(move |_| {
        desk.plan
            .with(|plan| plan.chosen_candidate().is_some_and(|bank| bank.id == id))
    });
    let line = move || {
        desk.answer.with(|answer| {
            let report = answer.report.as_ref()?;
            let bank = report.banks.iter().find(|bank| bank.id == id)?;
            Some(words::bank_working(report, bank))
        })
    };
    let inside = row.clone();
    let (opener, body) = drawer(called, move || {
        let extra = label_and_life(&inside);
        view! {
            {extra}
            <details class="working-fold"><summary>"How this is worked out"</summary>
                {move || line().map(|lines| lines.into_iter().map(|line| view! { <p class="working">{line}</p> }).collect_view())}
            </details>
            {banks.tools(id)}
        }
        .into_any()
    });
    let radio_id = format!("choose-{id}");
    let for_radio = radio_id.clone();
    view! {
        <div class="row bank" class:chosen=move || chosen.get() role="group" aria-label=move || called.get()>
            <div class="sentence">
                {sentence(&row)}
                <label class="tick choose" for=for_radio>
                    <input type="radio" name="chosen" id=radio_id prop:checked=move || chosen.get()
                        on:change=move |_| desk.edit("", |plan| plan.chosen = id) />
                    <span>"Plan with this one"</span>
                </label>
                {faults_beneath(desk, &row.path)}
                {findings_at(desk, &row.path)}
            </div>
            {opener}
        </div>
        {body}
    }
    .into_any()
}

/// The sentence of a candidate.
fn sentence(row: &Row<Candidate>) -> AnyView {
    let now = row.now;
    let in_series = move || now.with(|bank| bank.series > 1.0);
    let size = move |axis: usize, name: &'static str, label: &'static str| {
        row.number(
            name,
            label,
            Quantity::Length,
            move |bank| bank.case_mm.get(axis).copied().unwrap_or(0.0),
            move |bank, v| {
                if let Some(slot) = bank.case_mm.get_mut(axis) {
                    *slot = v;
                    bank.case_name.clear();
                }
            },
        )
    };
    let strings = move || {
        if in_series() {
            " strings side by side, each of "
        } else {
            " side by side, each of "
        }
    };
    view! {
        {row.number("parallel", "strings side by side", Quantity::Count, |b| b.parallel, |b, v| b.parallel = v)}
        {strings}
        {row.number("series", "batteries in a string", Quantity::Count, |b| b.series, |b, v| b.series = v)}" × "
        {row.number("capacity_ah", "rated capacity of one", Quantity::Charge, |b| b.capacity_ah, |b, v| b.capacity_ah = v)}" "
        {chemistry(row)}", "
        {row.number("battery_v", "voltage of one", Quantity::Voltage, |b| b.battery_v, |b, v| b.battery_v = v)}
        ", in a case of "{size(0, "case_mm/1", "length of the case")}" × "{size(1, "case_mm/2", "width of the case")}" × "
        {size(2, "case_mm/3", "height of the case")}" ("{case_name(row)}"), "
        {row.number("mass_kg", "mass of one", Quantity::Mass, |b| b.mass_kg, |b, v| b.mass_kg = v)}". "
    }
    .into_any()
}

/// The kind of battery.
pub fn chemistry(row: &Row<Candidate>) -> AnyView {
    let kinds = Chemistry::ALL
        .map(|kind| (kind, words::chemistry(kind).to_owned()))
        .to_vec();
    row.choice(
        "chemistry",
        "kind of battery",
        kinds,
        |b| b.chemistry,
        |b, v| b.chemistry = v,
    )
}

fn case_matches(text: &str) -> Vec<Match> {
    let text = text.to_lowercase();
    let found = cases()
        .iter()
        .enumerate()
        .filter(|(_, case)| case.name.to_lowercase().contains(&text));
    found
        .take(8)
        .map(|(at, case)| {
            let [l, w, h] = case.mm;
            Match {
                name: case.name.clone(),
                about: format!("{l:.0} × {w:.0} × {h:.0} mm"),
                at,
            }
        })
        .collect()
}

/// A standard case by its name.
pub fn case_name(row: &Row<Candidate>) -> AnyView {
    row.picker(
        "case_name",
        "standard case",
        |bank| {
            if bank.case_name.is_empty() {
                "own size"
            } else {
                &bank.case_name
            }
        },
        case_matches,
        None,
        |bank, name, _| {
            if let Some(case) = case_by_name(name) {
                bank.case_name.clone_from(&case.name);
                bank.case_mm = case.mm;
            }
        },
    )
}

/// What stands in a candidate's drawer.
fn label_and_life(row: &Row<Candidate>) -> AnyView {
    let now = row.now;
    let second = Memo::new(move |_| now.with(|bank| bank.second));
    let seconds = vec![
        (Second::None, "says nothing more".to_owned()),
        (Second::Reserve, "gives a reserve at 25 A of".to_owned()),
        (Second::Capacity, "gives a second capacity of".to_owned()),
    ];
    let fields = row.clone();
    let more = move || {
        match second.get() {
        Second::None => ().into_any(),
        Second::Reserve => view! { " "{fields.number("reserve_min", "reserve at 25 A", Quantity::Minutes, |b| b.reserve_min, |b, v| b.reserve_min = v)} }.into_any(),
        Second::Capacity => view! {
            " "{fields.number("second_ah", "second capacity", Quantity::Charge, |b| b.second_ah, |b, v| b.second_ah = v)}
            " over "{fields.number("second_h", "hours of the second capacity", Quantity::Hours, |b| b.second_h, |b, v| b.second_h = v)}
        }
        .into_any(),
    }
    };
    let depth = Signal::derive(move || {
        let depth = now.with(|bank| bank.chemistry.traits().depth_recommended);
        format!("{:.0} %", depth * 100.0)
    });
    let none = || Signal::derive(|| "not given".to_owned());
    let turnings = vec![
        (Turning::Upright, "stand upright only".to_owned()),
        (Turning::OnSide, "stand or lie on a long side".to_owned()),
        (Turning::Any, "lie any way but on its top".to_owned()),
    ];
    view! {
        <p>"Its capacity is rated over "{row.number("rate_h", "hours at which it is rated", Quantity::Hours, |b| b.rate_h, |b, v| b.rate_h = v)}
        "; the label "{row.choice("second", "what else the label says", seconds, |b| b.second, |b, v| b.second = v)}{more}"."</p>
        <p>"It is planned down by "{row.number_or("depth", "planned depth of discharge", Quantity::Share, depth, |b| b.depth, |b, v| b.depth = v)}
        " of its capacity. When fitted it is "{row.number("age_years", "age when fitted", Quantity::Years, |b| b.age_years, |b, v| b.age_years = v)}" old."</p>
        <p>"Its maker lets one give "{row.number_or("max_discharge_a", "most that one gives", Quantity::Current, none(), |b| b.max_discharge_a, |b, v| b.max_discharge_a = v)}
        " and take "{row.number_or("max_charge_a", "most that one takes", Quantity::Current, none(), |b| b.max_charge_a, |b, v| b.max_charge_a = v)}
        ". It may "{row.choice("turning", "how it may lie", turnings, |b| b.turning, |b, v| b.turning = v)}
        ". One costs "{row.number_or("price", "price of one", Quantity::Money, none(), |b| b.price, |b, v| b.price = v)}"."</p>
    }
    .into_any()
}

/// Everything for every candidate, with what decides marked.
fn comparison(desk: Desk) -> AnyView {
    let facts = Memo::new(move |_| {
        let units = desk.plan.with(|plan| plan.units);
        let currency = desk.plan.with(|plan| plan.currency.clone());
        desk.answer.with(|answer| {
            answer
                .report
                .as_ref()
                .map(|report| words::comparison(report, units, &currency))
        })
    });
    let body = move || {
        let rows = facts.get()?;
        let heads = rows
            .heads
            .iter()
            .map(|head| view! { <th scope="col">{head.clone()}</th> })
            .collect_view();
        let lines = rows
            .rows
            .into_iter()
            .map(|row| {
                let cells = row
                    .cells
                    .into_iter()
                    .map(|cell| {
                        let class = match (cell.best, cell.bad) {
                            (_, true) => "bad",
                            (true, _) => "best",
                            _ => "",
                        };
                        let word = cell
                            .best
                            .then(|| view! { <span class="best-mark">" best"</span> });
                        view! { <td class=class>{cell.text}{word}</td> }
                    })
                    .collect_view();
                view! { <tr><th scope="row">{row.what}</th>{cells}</tr> }
            })
            .collect_view();
        Some(view! {
            <div class="table-holder" role="region" aria-label="candidates side by side" tabindex="0">
                <table class="comparison"><thead><tr><th scope="col"><span class="hidden">"measure"</span></th>{heads}</tr></thead><tbody>{lines}</tbody></table>
            </div>
        })
    };
    view! { {body} }.into_any()
}

/// The shelves of all candidates, on one scale.
pub fn shelves(desk: Desk, width: Signal<f64>) -> AnyView {
    let facts = Memo::new(move |_| desk.answer.with(|answer| answer.report.clone()));
    let body = move || {
        let report = facts.get()?;
        let wide = width.get();
        let full = report
            .banks
            .iter()
            .map(|bank| bank.shelf.rated_ah)
            .fold(1.0, f64::max);
        let rows: Vec<AnyView> = report
            .banks
            .iter()
            .map(|bank| shelf_row(&report, bank.id, full, wide))
            .collect();
        Some(rows)
    };
    view! { <div class="shelves">{body}</div> }.into_any()
}

fn shelf_row(report: &Report, id: u32, full: f64, wide: f64) -> AnyView {
    let Some(bank) = report.banks.iter().find(|bank| bank.id == id) else {
        return ().into_any();
    };
    let name = words::bank_name(bank);
    let drawn = shelf::shelf(&bank.shelf, full, wide);
    view! {
        <div class="shelf">
            <p class="shelf-head"><span>{name.clone()}</span><span class="days">{words::lasting(bank.parked)}</span></p>
            <div class="drawing" role="img" aria-label=shelf::says(bank, &name) inner_html=drawn></div>
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
    ]
    .map(String::from)
    .to_vec();
    let rows = report
        .banks
        .iter()
        .map(|bank| shelf::row(bank, &words::bank_name(bank)))
        .collect();
    pictures::table(&Table { heads, rows })
}
