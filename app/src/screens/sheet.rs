//! Build sheet: what to buy and what to mind, for print and for an installer.

use super::list::button;
use crate::browser::page;
use crate::state::desk::Desk;
use crate::view::{memo, part, press};
use larder::words;
use leptos::prelude::*;

/// The section.
pub fn section(desk: Desk) -> AnyView {
    let lines = memo(move || {
        desk.report()
            .map_or(Vec::new(), |report| words::sheet(&desk.plan(), &report))
    });
    let body = part(move || {
        let lines = lines.get().into_iter();
        let lines = lines.map(|(what, says)| view! { <dt>{what}</dt><dd>{says}</dd> }.into_any());
        lines.collect::<Vec<_>>().into_any()
    });
    let cautions = words::CAUTIONS
        .iter()
        .map(|says| view! { <li>{*says}</li> }.into_any());
    view! {
        <section class="question" id="sheet" aria-labelledby="sheet-head">
            <h2 id="sheet-head">"Build sheet"</h2>
            <dl class="sheet">{body}</dl>
            <h3>"Before you build"</h3>
            <ul class="cautions">{cautions.collect::<Vec<_>>()}</ul>
            {button("Print or save as PDF", "button plain no-print", press(page::print))}
        </section>
    }
    .into_any()
}
