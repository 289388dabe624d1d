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

use crate::view::{Says, holds, inside, none, says, unfolded};
use leptos::prelude::*;
use svg::escape;

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
            <div class="drawing" role="img" aria-label=of(|p| p.says.clone()) node_ref=inside(of(|p| p.svg.clone()))></div>
            {table}
        </figure>
    }
    .into_any()
}

/// Paragraphs that follow what they read.
pub fn paragraphs(
    class: &'static str,
    mut lines: impl FnMut() -> Vec<String> + Send + 'static,
) -> AnyView {
    let markup = says(move || {
        let lines = lines().into_iter();
        lines
            .map(|says| format!("<p>{}</p>", escape(&says)))
            .collect()
    });
    view! { <div class=class node_ref=inside(markup)></div> }.into_any()
}

/// Markup of a table.
pub fn markup(facts: &Table) -> String {
    let head = |cell: &String| format!(r#"<th scope="col">{}</th>"#, escape(cell));
    let heads: String = facts.heads.iter().map(head).collect();
    let row = |cells: &Vec<String>| {
        let cells = cells.iter().enumerate().map(|(at, cell)| {
            let cell = escape(cell);
            if at == 0 {
                format!(r#"<th scope="row">{cell}</th>"#)
            } else {
                format!("<td>{cell}</td>")
            }
        });
        format!("<tr>{}</tr>", cells.collect::<String>())
    };
    let rows: String = facts.rows.iter().map(row).collect();
    format!("<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>")
}

/// A table of facts, with a name of its own among the page's tables.
pub fn table(name: &str, facts: &Table) -> AnyView {
    let markup = markup(facts);
    table_of(as_table(name), says(move || markup.clone()))
}

/// A table whose facts change.
pub fn live_table(name: &str, facts: impl Fn() -> Table + Send + 'static) -> AnyView {
    table_of(as_table(name), says(move || markup(&facts())))
}

fn as_table(name: &str) -> String {
    format!("{name}, as a table")
}

/// A table by its markup, in a holder of that name.
pub fn table_of(name: String, markup: Says) -> AnyView {
    view! {
        <div class="table-holder" role="region" aria-label=name tabindex="0" node_ref=inside(markup)></div>
    }
    .into_any()
}
