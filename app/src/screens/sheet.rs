//! Build sheet: what to buy and what to mind, for print and for an installer.

use crate::browser::page;
use crate::state::desk::Desk;
use larder::words;
use leptos::prelude::*;

/// The section.
pub fn section(desk: Desk) -> AnyView {
    let lines = Memo::new(move |_| {
        desk.answer.with(|answer| {
            answer
                .report
                .as_ref()
                .map(|report| desk.plan.with(|plan| words::sheet(plan, report)))
                .unwrap_or_default()
        })
    });
    let body = move || {
        lines
            .get()
            .into_iter()
            .map(|(what, says)| view! { <dt>{what}</dt><dd>{says}</dd> })
            .collect_view()
    };
    let cautions = words::CAUTIONS
        .iter()
        .map(|says| view! { <li>{*says}</li> })
        .collect_view();
    view! {
        <section class="question" id="sheet" aria-labelledby="sheet-head">
            <h2 id="sheet-head">"Build sheet"</h2>
            <dl class="sheet">{body}</dl>
            <h3>"Before you build"</h3>
            <ul class="cautions">{cautions}</ul>
            <button type="button" class="button plain no-print" on:click=|_| page::print()>"Print or save as PDF"</button>
        </section>
    }
    .into_any()
}
