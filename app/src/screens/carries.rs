//! What carries it? Cables, fuses, hold-down, air, for the chosen bank.

use super::list::{RowView, row};
use crate::fields::say;
use crate::pictures::{Table, table};
use crate::state::desk::Desk;
use crate::view::{memo, none, part, when};
use larder::plan::Supply;
use larder::words;
use leptos::prelude::*;

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
        ", {sun_mm} from the solar controller",
    );
    let engine = with(
        |plan| plan.alternator.fitted,
        ", {engine_mm} from the alternator {engine_space}",
    );
    let shore = with(|plan| plan.shore.fitted, ", {shore_mm} from the charger");
    let sentence = view! {
        {say(desk, "wiring", "One way it is {bank_mm} from the bank to the bus bars, {loads_mm} from there to the load panel")}
        {inverter}{sun}{engine}{shore}
        {say(desk, "wiring", ". A run may lose {drop}; the insulation bears {insulation}. The hold-down bears {along_g} g along and {across_g} g across.")}
    };
    let runs = part(move || {
        let Some(report) = desk.report() else {
            return none();
        };
        table(
            "Cables and fuses",
            &Table {
                heads: words::RUN_HEADS.map(String::from).to_vec(),
                rows: words::run_rows(&report.carries, desk.plan().units),
            },
        )
    });
    let working = part(move || {
        let Some(report) = desk.report() else {
            return none();
        };
        let lines = report
            .carries
            .runs
            .iter()
            .map(|run| view! { <p class="working">{words::run_working(run)}</p> }.into_any());
        lines.collect::<Vec<_>>().into_any()
    });
    view! {
        <section class="question" id="carries" aria-labelledby="carries-head">
            <h2 id="carries-head">"What carries it?"</h2>
            {row(desk, RowView {
                called: "runs of cable".to_owned(),
                class: String::new(),
                at: "wiring".to_owned(),
                sentence: sentence.into_any(),
                side: none(),
                drawer: None,
            })}
            {runs}
            <details class="working-fold"><summary>"How this is worked out"</summary>{working}</details>
            <p>{desk.told(|report| words::fault_line(&report.carries))}</p>
            <p>{desk.told(|report| words::holding_line(&report.carries))}</p>
            <p>{desk.told(|report| words::air_line(&report.carries))}</p>
            <p class="note">"A proposal to check with the makers' sheets, the local code and a licensed trade before anything is joined. 20 g along and 8 g across are what rules for vehicles ask of a battery; a boat's figures differ."</p>
        </section>
    }
    .into_any()
}
