//! What carries it? Cables, fuses, hold-down, air, for the chosen bank.

use super::list::{RowView, Rows, button, row};
use crate::fields::{open_number, say};
use crate::pictures::{Table, live_table, table};
use crate::state::desk::Desk;
use crate::view::{memo, none, part, press, says, unfolded, when};
use larder::plan::{List, Supply, Units};
use larder::report::{Carries, Report};
use larder::words;
use leptos::prelude::*;

/// Fields of the runs, of the strings, of the hold-down: their faults stand beneath them.
const RUNS_AT: &str = "wiring/bank_mm wiring/inverter_mm wiring/sun_mm wiring/panels_mm wiring/engine_mm wiring/shore_mm wiring/loads_mm wiring/branch_mm wiring/drop wiring/converter_a wiring/converter_mm wiring/air_c wiring/main_least_mm2 wiring/bank_mm2 wiring/inverter_mm2 wiring/sun_mm2 wiring/engine_mm2 wiring/shore_mm2 wiring/loads_mm2";
const LINKS_AT: &str = "wiring/take_off wiring/link_mm wiring/link_wide_mm wiring/link_thick_mm wiring/last_years wiring/last_v wiring/join_full wiring/join_low";
const HOLD_AT: &str = "wiring/along_g wiring/across_g wiring/screws wiring/stack_mm";

/// The section.
pub fn section(desk: Desk) -> AnyView {
    let with = |fitted: fn(&larder::plan::Plan) -> bool, said: &'static str| {
        let fitted = memo(move || fitted(&desk.plan()));
        when(fitted, move || say(desk, "wiring", said))
    };
    let inverter = with(
        |plan| plan.loads.iter().any(|load| load.supply == Supply::Ac),
        ", {inverter_mm} from the bars to the inverter",
    );
    let sun = with(
        |plan| plan.sun.fitted,
        ", {panels_mm} from the panels to their controller and {sun_mm} from there",
    );
    let engine = with(
        |plan| plan.alternator.fitted,
        ", {engine_mm} from the alternator {engine_space}",
    );
    let shore = with(|plan| plan.shore.fitted, ", {shore_mm} from the charger");
    let converted =
        memo(move || desk.plan().volts > 12.0 || desk.plan().wiring.converter_a.is_some());
    let converter = when(converted, move || {
        let none = Signal::stored("no converter".to_owned());
        view! {
            " The load panel has 12 V behind a converter of "
            {open_number(desk, "wiring/converter_a".to_owned(), none)}
            {say(desk, "wiring", ", {converter_mm} from the bars.")}
        }
        .into_any()
    });
    let sentence = view! {
        {say(desk, "wiring", "One way it is {bank_mm} from the bank to the bus bars, {loads_mm} from there to the load panel")}
        {inverter}{sun}{engine}{shore}
        {say(desk, "wiring", ", and {branch_mm} from the panel to a load. The cables are of {metal}, lie {bundle} together in air of {air_c}; their insulation is {material} and bears {insulation}; a run may lose {drop}. The main conductors have at least ")}
        {open_number(desk, "wiring/main_least_mm2".to_owned(), Signal::stored("10 (16 above 100 Ah)".to_owned()))}
        " mm²."{converter}
    };
    let links = move || {
        say(
            desk,
            "wiring",
            "Strings side by side: {take_off}, linked by {link} of {link_mm} from post to post. A bar is {link_wide_mm} wide, {link_thick_mm} thick and {painted}; bare metal is {bar_state}. Where the last string is not like the others, it is {last_years} old and has {last_v}. They are joined with one at {join_full} and one at {join_low}.",
        )
    };
    let hold = say(
        desk,
        "wiring",
        "The hold-down bears {along_g} g along and {across_g} g across, with {screws} screws of {thread} into {into}, clamping {stack_mm}.",
    );
    let owned = move || {
        say(
            desk,
            "wiring",
            "In mm², where it is there already: from the bank {bank_mm2}, to the inverter {inverter_mm2}, from the solar controller {sun_mm2}, from the alternator {engine_mm2}, from the charger {shore_mm2}, to the load panel {loads_mm2}.",
        )
    };
    let routes = Rows::new(desk, List::Routes);
    let add = press(move || routes.add(|plan, id| plan.wiring.add_route(id)));
    let strung = memo(move || desk.plan().candidates.iter().any(|row| row.parallel > 1.0));
    let runs = live_table("Cables and fuses", move || {
        let rows = |report: &Report| words::run_rows(&report.carries, desk.plan().units);
        Table {
            heads: words::RUN_HEADS.map(String::from).to_vec(),
            rows: desk.report().as_deref().map_or(Vec::new(), rows),
        }
    });
    let working = unfolded("How this is worked out".to_owned(), move || {
        let Some(report) = desk.report() else {
            return none();
        };
        let all = report.carries.runs.iter().chain(&report.carries.branches);
        let hours = desk.hours();
        let hours = hours.as_ref().map(|hours| hours.as_slice());
        let lines = all.map(|run| {
            let says = words::run_working(run, hours, desk.plan().units);
            view! { <p class="working">{says}</p> }.into_any()
        });
        lines.collect::<Vec<_>>().into_any()
    });
    let shares = part(move || {
        let Some(report) = desk.report() else {
            return none();
        };
        let chosen = report.carries.parallel_of(report.chosen);
        let facts = chosen.map(|strings| {
            table(
                "What each string gives",
                &Table {
                    heads: words::SHARE_HEADS.map(String::from).to_vec(),
                    rows: words::share_rows(strings),
                },
            )
        });
        let lines = words::string_lines(&report, desk.plan().units).into_iter();
        let lines = lines.map(|says| view! { <p>{says}</p> }.into_any());
        view! { {facts}{lines.collect::<Vec<_>>()} }.into_any()
    });
    let carried = move |tell: fn(&Carries, Units) -> String| {
        says(move || {
            let report = desk.report();
            report.map_or(String::new(), |report| {
                tell(&report.carries, desk.plan().units)
            })
        })
    };
    view! {
        <section class="question" id="carries" aria-labelledby="carries-head">
            <h2 id="carries-head">"What carries it?"</h2>
            {row(desk, RowView {
                called: "runs of cable".to_owned(),
                class: String::new(),
                at: RUNS_AT.to_owned(),
                sentence: sentence.into_any(),
                side: none(),
                drawer: Some(Box::new(owned)),
            })}
            {routes.view(route)}
            <div class="add-row">{button("Add a run that lies otherwise", "button plain", add)}</div>
            {runs}
            {working}
            <p>{carried(words::fault_line)}</p>
            <p>{carried(|carries, _| words::isolator_line(carries))}</p>
            <p>{words::NEGATIVE_LINE}</p>
            <p>{says(move || desk.report().map_or(String::new(), |report| {
                let plan = desk.plan();
                words::mains_line(&report.carries, plan.units, plan.wiring.branch_mm)
            }))}</p>
            {when(strung, move || row(desk, RowView {
                called: "strings side by side".to_owned(),
                class: String::new(),
                at: LINKS_AT.to_owned(),
                sentence: links(),
                side: none(),
                drawer: None,
            }))}
            {shares}
            {row(desk, RowView {
                called: "the hold-down".to_owned(),
                class: String::new(),
                at: HOLD_AT.to_owned(),
                sentence: hold,
                side: none(),
                drawer: None,
            })}
            <p>{carried(words::holding_line)}</p>
            <p>{carried(words::screw_line)}</p>
            <p>{carried(words::air_line)}</p>
            <p class="note">"A proposal to check with the makers' sheets, the local code and a licensed trade before anything is joined. 20 g along and 8 g across are what rules for vehicles ask of a battery; a boat's figures differ."</p>
        </section>
    }
    .into_any()
}

/// A run that does not lie as the others do.
fn route(routes: Rows, id: u32) -> AnyView {
    let (desk, at) = (routes.desk, routes.at(id));
    row(
        desk,
        RowView {
            called: "a run that lies otherwise".to_owned(),
            class: String::new(),
            sentence: say(
                desk,
                &at,
                "But {run} it goes {engine_space}, {bundle} together, in air of {air_c}; the insulation there bears {insulation}.",
            ),
            at,
            side: none(),
            drawer: Some(Box::new(move || routes.tools(id))),
        },
    )
}
