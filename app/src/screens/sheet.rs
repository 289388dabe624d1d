//! Build sheet: what to buy, in which order to work, what to measure; for print and for an installer.

use super::list::button;
use super::locker;
use super::shell::Width;
use crate::pictures::{Table, diagram, figure, locker as locker_picture, table};
use crate::state::desk::Desk;
use crate::view::{memo, none, part, press, says, when};
use larder::words::{self, SheetPart};
use leptos::prelude::*;

/// The section.
pub fn section(desk: Desk, width: Width) -> AnyView {
    let parts = memo(move || {
        desk.report().map_or(Vec::new(), |report| {
            words::build_sheet(&desk.plan(), &report)
        })
    });
    let one_line = memo(move || {
        let (report, plan) = (desk.report()?, desk.plan());
        diagram::diagram(
            &report,
            plan.alternator.link,
            plan.units,
            width.column.get(),
        )
    });
    let space = locker::to_scale(desk, locker_picture::PART_OF_PAGE);
    let some = move |range: std::ops::Range<usize>| {
        part(move || {
            let parts = parts.get().into_iter().enumerate();
            let parts = parts.filter(|(at, _)| range.contains(at));
            parts
                .map(|(_, part)| one(part))
                .collect::<Vec<_>>()
                .into_any()
        })
    };
    let cautions = words::CAUTIONS
        .iter()
        .map(|says| view! { <li>{*says}</li> }.into_any());
    // On paper all of it stands; on the page its lists are long, and few read them there.
    let is_open = RwSignal::new(false);
    let is_there = memo(move || is_open.get() || desk.on_paper.get());
    let rest = when(is_there, move || some(1..99));
    view! {
        <section class="question" id="sheet" aria-labelledby="sheet-head">
            <h2 id="sheet-head">"Build sheet"</h2>
            <div class="tools no-print">
                {button("Print the build sheet", "button plain", press(move || desk.print("sheet")))}
                {button("Print the whole plan", "button plain", press(move || desk.print("")))}
            </div>
            {some(0..1)}
            <div class="sheet-only to-scale" aria-hidden="true" inner_html=space></div>
            <h3>"Before you build"</h3>
            <ul class="cautions">{cautions.collect::<Vec<_>>()}</ul>
            {figure("One-line diagram", "diagram", one_line)}
            <button type="button" class="button plain no-print" aria-expanded=says(move || is_open.get().to_string())
                aria-controls="sheet-rest" on:click=press(move || is_open.update(|open| *open = !*open))>
                {says(move || if is_open.get() { "Fold the lists away" } else { "Read the lists here" }.to_owned())}
            </button>
            <div id="sheet-rest">{rest}</div>
        </section>
    }
    .into_any()
}

/// One part of the sheet.
fn one(part: SheetPart) -> AnyView {
    let SheetPart {
        title,
        heads,
        rows,
        steps,
    } = part;
    let body = if !steps.is_empty() {
        let steps = steps
            .into_iter()
            .map(|says| view! { <li>{says}</li> }.into_any());
        view! { <ol class="steps">{steps.collect::<Vec<_>>()}</ol> }.into_any()
    } else if heads.is_empty() {
        let lines = rows.into_iter().map(|row| {
            let mut cells = row.into_iter();
            let (what, says) = (cells.next(), cells.next());
            view! { <dt>{what}</dt><dd>{says}</dd> }.into_any()
        });
        view! { <dl class="sheet">{lines.collect::<Vec<_>>()}</dl> }.into_any()
    } else if rows.is_empty() {
        none()
    } else {
        let heads = heads.into_iter().map(String::from).collect();
        table(title, &Table { heads, rows })
    };
    view! { <div class="sheet-part"><h3>{title}</h3>{body}</div> }.into_any()
}
