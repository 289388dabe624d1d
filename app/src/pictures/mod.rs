//! One file a picture: facts in, SVG out, with a spoken description and the same facts as a table.
//! May use the core's report and words, plotters for what is a plot; nothing of the browser.
//! Architecture invariant: a picture reads the report and computes only where a thing is drawn, never what it is.

pub mod code;
pub mod day;
pub mod diagram;
pub mod form;
pub mod locker;
pub mod map;
pub mod months;
pub mod picture;
pub mod plot;
pub mod shelf;
mod spark;
pub mod svg;
mod symbols;
pub mod tornado;
pub mod turned;
pub mod view;
pub mod year;

pub use picture::{Picture, Table};

use crate::view::{holds, none, says, unfolded};
use leptos::prelude::*;

/// Shows a picture, redrawn when its facts change, and its table behind a fold.
pub fn figure(title: &'static str, class: &'static str, picture: Memo<Option<Picture>>) -> AnyView {
    let of = move |get: fn(&Picture) -> String| {
        says(move || picture.with(|p| p.as_ref().map_or(String::new(), get)))
    };
    let table = unfolded(format!("{title}, as a table"), move || {
        picture.with(|p| p.as_ref().map_or_else(none, |p| table(title, &p.table)))
    });
    view! {
        <figure class=format!("figure {class}") hidden=holds(move || picture.with(Option::is_none))>
            <div class="drawing" role="img" aria-label=of(|p| p.says.clone()) inner_html=of(|p| p.svg.clone())></div>
            {table}
        </figure>
    }
    .into_any()
}

/// A table of facts, with a name of its own among the page's tables.
pub fn table(name: &str, facts: &Table) -> AnyView {
    let heads = facts
        .heads
        .iter()
        .map(|head| view! { <th scope="col">{head.clone()}</th> }.into_any());
    let rows = facts.rows.iter().map(|row| {
        let cells = row.iter().enumerate().map(|(at, cell)| {
            let cell = cell.clone();
            if at == 0 {
                view! { <th scope="row">{cell}</th> }.into_any()
            } else {
                view! { <td>{cell}</td> }.into_any()
            }
        });
        view! { <tr>{cells.collect::<Vec<_>>()}</tr> }.into_any()
    });
    let (heads, rows): (Vec<_>, Vec<_>) = (heads.collect(), rows.collect());
    view! {
        <div class="table-holder" role="region" aria-label=format!("{name}, as a table") tabindex="0">
            <table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>
        </div>
    }
    .into_any()
}
