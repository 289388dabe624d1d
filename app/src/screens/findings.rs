//! What was found, beside the field that it speaks of, and all of it in one place.

use crate::browser::page;
use crate::fields::field_id;
use crate::state::desk::Desk;
use larder::finding::{Finding, Gravity};
use leptos::prelude::*;

fn mark(gravity: Gravity) -> (&'static str, &'static str) {
    match gravity {
        Gravity::Grave => ("finding grave", "Mend this: "),
        Gravity::Caution => ("finding caution", "Mind: "),
        Gravity::Note => ("finding", "Note: "),
    }
}

fn card(finding: Finding, linked: bool) -> AnyView {
    let (class, word) = mark(finding.gravity);
    let id = field_id(&finding.field);
    let go = linked.then(|| {
        view! {
            " "
            <button type="button" class="quiet" on:click=move |_| {
                page::reveal(&id);
                page::go_to(&id);
            }>"Show"</button>
        }
    });
    view! { <p class=class><strong>{word}</strong>{finding.says}" "{finding.mend}{go}</p> }
        .into_any()
}

fn found(
    desk: Desk,
    keep: impl Fn(&Finding) -> bool + Send + Sync + 'static,
) -> Memo<Vec<Finding>> {
    Memo::new(move |_| {
        desk.answer.with(|answer| {
            let Some(report) = &answer.report else {
                return Vec::new();
            };
            report
                .findings
                .iter()
                .filter(|finding| keep(finding))
                .cloned()
                .collect()
        })
    })
}

/// The findings that speak of a part of the plan, beneath it.
pub fn findings_at(desk: Desk, prefix: &str) -> AnyView {
    let (whole, within) = (prefix.to_owned(), format!("{prefix}/"));
    let here = found(desk, move |finding| {
        finding.field == whole || finding.field.starts_with(&within)
    });
    (move || {
        here.get()
            .into_iter()
            .map(|finding| card(finding, false))
            .collect_view()
    })
    .into_any()
}

/// Every grave finding, each with a way to its field.
pub fn gravest(desk: Desk) -> AnyView {
    let here = found(desk, |finding| finding.gravity == Gravity::Grave);
    (move || {
        here.get()
            .into_iter()
            .map(|finding| card(finding, true))
            .collect_view()
    })
    .into_any()
}
