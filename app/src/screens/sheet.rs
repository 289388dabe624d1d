//! Build sheet: what to buy, in which order to work, what to measure; for print and for an installer.

use super::list::button;
use super::locker;
use super::shell::Width;
use crate::pictures::svg::escape;
use crate::pictures::{Table, diagram, figure, locker as locker_picture, markup};
use crate::state::desk::Desk;
use crate::view::{inside, memo, press, says, when};
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
    let some = move |from: usize, most: usize| {
        let markup =
            says(move || parts.with(|parts| parts.iter().skip(from).take(most).map(one).collect()));
        view! { <div node_ref=inside(markup)></div> }.into_any()
    };
    let cautions = words::CAUTIONS
        .iter()
        .map(|says| view! { <li>{*says}</li> }.into_any());
    // On paper all of it stands; on the page its lists are long, and few read them there.
    let is_open = RwSignal::new(false);
    let is_there = memo(move || is_open.get() || desk.on_paper.get());
    let rest = when(is_there, move || some(1, usize::MAX));
    view! {
        <section class="question" id="sheet" aria-labelledby="sheet-head">
            <h2 id="sheet-head">"Build sheet"</h2>
            <div class="tools no-print">
                {button("Print the build sheet", "button plain", press(move || desk.print("sheet")))}
                {button("Print the whole plan", "button plain", press(move || desk.print("")))}
            </div>
            {some(0, 1)}
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

/// One part of the sheet, as markup.
fn one(part: &SheetPart) -> String {
    let body = if !part.steps.is_empty() {
        let steps = part.steps.iter();
        let steps = steps.map(|says| format!("<li>{}</li>", escape(says)));
        format!(r#"<ol class="steps">{}</ol>"#, steps.collect::<String>())
    } else if part.heads.is_empty() {
        let lines = part.rows.iter().map(|row| {
            let cell = |at: usize| row.get(at).map_or(String::new(), |cell| escape(cell));
            format!("<dt>{}</dt><dd>{}</dd>", cell(0), cell(1))
        });
        format!(r#"<dl class="sheet">{}</dl>"#, lines.collect::<String>())
    } else if part.rows.is_empty() {
        String::new()
    } else {
        let heads = part.heads.iter().map(|head| (*head).to_owned()).collect();
        let rows = part.rows.clone();
        let (title, table) = (escape(part.title), markup(&Table { heads, rows }));
        format!(
            r#"<div class="table-holder" role="region" aria-label="{title}, as a table" tabindex="0">{table}</div>"#
        )
    };
    format!(
        r#"<div class="sheet-part"><h3>{}</h3>{body}</div>"#,
        escape(part.title)
    )
}
