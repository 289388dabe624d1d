//! Every input that the page has, each made once: numbers, text, clock times, choices, ticks, pickers.
//! May use the core's units, the state and `browser`.
//! Architecture invariant: a field refuses nothing; text that can't be read is kept where it was typed.

mod choice;
mod clock;
mod number;
mod picker;
mod row;
mod text;

pub use choice::{choice, tick};
pub use clock::clock;
pub use number::{Number, number};
pub use picker::{Match, picker};
pub use row::{Row, part};
pub use text::text;

use crate::state::desk::Desk;
use larder::plan::Plan;
use leptos::prelude::*;
use std::sync::Arc;

/// Puts a value into the plan.
pub type Put<T> = Arc<dyn Fn(&mut Plan, T) + Send + Sync>;

/// The id that a field has in the document.
pub fn field_id(path: &str) -> String {
    format!("f-{}", path.replace('/', "-"))
}

/// The id of the sentences beneath the row that a field belongs to.
fn faults_id(path: &str) -> String {
    let row = path.rsplit_once('/').map_or(path, |(row, _)| row);
    format!("{}-faults", field_id(row))
}

/// The classes of a field: whether it is a guess, whether it is at fault.
fn field_class(
    desk: Desk,
    path: &str,
    kind: &'static str,
) -> impl Fn() -> String + Send + 'static + use<> {
    let path = path.to_owned();
    move || {
        let guess = desk.guesses.with(|guesses| guesses.contains(&path));
        let fault = desk.faults.with(|faults| faults.contains_key(&path));
        let mut class = format!("field {kind}");
        if guess {
            class.push_str(" guess");
        }
        if fault {
            class.push_str(" fault");
        }
        class
    }
}

/// Whether a fault stands at a path.
fn is_faulty(desk: Desk, path: &str) -> impl Fn() -> bool + Send + Clone + 'static + use<> {
    let path = path.to_owned();
    move || desk.faults.with(|faults| faults.contains_key(&path))
}

/// The mark behind a guess and the mark behind a fault.
fn marks(desk: Desk, path: &str) -> AnyView {
    let (guess_path, fault_path) = (path.to_owned(), path.to_owned());
    let guess = Memo::new(move |_| desk.guesses.with(|guesses| guesses.contains(&guess_path)));
    let fault = Memo::new(move |_| desk.faults.with(|faults| faults.contains_key(&fault_path)));
    (move || {
        let (class, mark) = match (fault.get(), guess.get()) {
            (true, _) => ("mark bad", "!"),
            (_, true) => ("mark", "?"),
            _ => return None,
        };
        Some(view! { <span class=class aria-hidden="true">{mark}</span> })
    })
    .into_any()
}

/// The sentence beneath a row for every fault whose path begins so.
pub fn faults_beneath(desk: Desk, prefix: &str) -> AnyView {
    let prefix = prefix.to_owned();
    let of_row = format!("{prefix}/");
    let id = format!("{}-faults", field_id(&prefix));
    let here = Memo::new(move |_| {
        desk.faults.with(|faults| {
            let mine = faults
                .iter()
                .filter(|(path, _)| **path == prefix || path.starts_with(&of_row));
            mine.map(|(_, says)| says.clone()).collect::<Vec<_>>()
        })
    });
    view! {
        <div class="faults" id=id>
            {move || here.get().into_iter().map(|says| view! { <p class="fault-says">{says}</p> }).collect_view()}
        </div>
    }
    .into_any()
}
