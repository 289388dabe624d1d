//! One file a picture: facts in, SVG out, with a spoken description and the same facts as a table.
//! May use the core's report and words, plotters for what is a plot; nothing of the browser.
//! Architecture invariant: a picture reads the report and computes only where a thing is drawn, never what it is.

pub mod code;
pub mod day;
pub mod locker;
pub mod months;
pub mod plot;
pub mod shelf;
pub mod svg;

use leptos::prelude::*;

/// A picture with its spoken description.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// The SVG document.
    pub svg: String,
    /// What it shows, in a sentence.
    pub says: String,
    /// The same facts: heads and rows.
    pub table: Table,
}

/// Facts in rows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Column heads.
    pub heads: Vec<String>,
    /// Rows; the first cell names the row.
    pub rows: Vec<Vec<String>>,
}

/// Shows a picture, redrawn when its facts change, and its table behind a fold.
pub fn figure(title: &'static str, class: &'static str, picture: Memo<Option<Picture>>) -> AnyView {
    let says = move || picture.with(|p| p.as_ref().map(|p| p.says.clone()).unwrap_or_default());
    let svg = move || picture.with(|p| p.as_ref().map(|p| p.svg.clone()).unwrap_or_default());
    view! {
        <figure class=format!("figure {class}") hidden=move || picture.with(Option::is_none)>
            <div class="drawing" role="img" aria-label=says inner_html=svg></div>
            <details class="facts">
                <summary>{format!("{title}, as a table")}</summary>
                {move || picture.get().map(|p| table(&p.table))}
            </details>
        </figure>
    }
    .into_any()
}

/// A table of facts.
pub fn table(facts: &Table) -> AnyView {
    let heads = facts
        .heads
        .iter()
        .map(|head| view! { <th scope="col">{head.clone()}</th> })
        .collect_view();
    let rows = facts
        .rows
        .iter()
        .map(|row| {
            let cells = row
                .iter()
                .enumerate()
                .map(|(at, cell)| {
                    let cell = cell.clone();
                    if at == 0 {
                        view! { <th scope="row">{cell}</th> }.into_any()
                    } else {
                        view! { <td>{cell}</td> }.into_any()
                    }
                })
                .collect_view();
            view! { <tr>{cells}</tr> }
        })
        .collect_view();
    view! {
        <div class="table-holder" role="region" aria-label="table" tabindex="0">
            <table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>
        </div>
    }
    .into_any()
}
