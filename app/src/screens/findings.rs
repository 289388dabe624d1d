//! What was found, beside the field that it speaks of, and all of it in one place.

use super::list::quiet;
use crate::browser::page;
use crate::fields::{field_id, is_within};
use crate::state::desk::Desk;
use crate::view::{memo, none, part, press};
use larder::finding::{Finding, Gravity};
use larder::plan::part_of;
use leptos::prelude::*;
use std::time::Duration;

/// Goes to the field at a path; where it stands in a closed drawer, that is opened first.
pub fn go_to(path: &str) {
    let id = field_id(path);
    if page::is_there(&id) {
        page::reveal(&id);
        return page::go_to(&id);
    }
    let row = part_of(path);
    page::press_in_rows(&|at: &str| {
        // A row of a list has a drawer of its own; one of several places may be the whole part or single fields.
        is_within(path, at) && (at != row.split('/').next().unwrap_or("") || at == row)
    });
    set_timeout(
        move || {
            page::reveal(&id);
            page::go_to(&id);
        },
        Duration::ZERO,
    );
}

fn card(finding: Finding, linked: bool) -> AnyView {
    let (class, word) = match finding.gravity {
        Gravity::Grave => ("finding grave", "Mend this: "),
        Gravity::Caution => ("finding caution", "Mind: "),
        Gravity::Note => ("finding", "Note: "),
    };
    let go = if linked {
        quiet("Show", press(move || go_to(&finding.field)))
    } else {
        none()
    };
    view! { <p class=class><strong>{word}</strong>{format!("{} {} ", finding.says, finding.mend)}{go}</p> }.into_any()
}

fn cards(
    desk: Desk,
    linked: bool,
    keep: impl Fn(&Finding) -> bool + Send + Sync + 'static,
) -> AnyView {
    let here = memo(move || {
        let report = desk.report();
        let report = report.as_deref();
        // A year that is not there yet adds nothing.
        let of_the_year = report
            .zip(desk.year())
            .map_or(Vec::new(), |(report, year)| {
                larder::year_findings(report, &year)
            });
        let found = report.into_iter().flat_map(|report| &report.findings);
        found
            .chain(&of_the_year)
            .filter(|finding| keep(finding))
            .cloned()
            .collect::<Vec<_>>()
    });
    part(move || {
        let cards = here.get().into_iter().map(|finding| card(finding, linked));
        cards.collect::<Vec<_>>().into_any()
    })
}

/// The findings that speak of a part of the plan, beneath it; several places are parted by spaces.
pub fn findings_at(desk: Desk, places: &str) -> AnyView {
    let places = places.to_owned();
    cards(desk, false, move |finding| {
        is_within(&finding.field, &places)
    })
}

/// Every grave finding, each with a way to its field.
pub fn gravest(desk: Desk) -> AnyView {
    cards(desk, true, |finding| finding.gravity == Gravity::Grave)
}
