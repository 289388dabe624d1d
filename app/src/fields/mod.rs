//! Every input that the page has, each made once: numbers, text, clock times, choices, ticks, pickers. A field is named
//! by its path in the plan, which says what it is.
//! May use the core's plan and units, the state and `browser`.
//! Architecture invariant: a field refuses nothing; text that can't be read is kept where it was typed.

mod choice;
mod clock;
mod number;
mod picker;
mod text;

pub use choice::{choice, tick};
pub use picker::{Keeps, Match, Picker, picker};

use crate::state::desk::Desk;
use crate::view::{Says, none, part, says};
use larder::plan::{Held, Kind, guess_of};
use leptos::prelude::*;

/// The id that a field has in the document.
pub fn field_id(path: &str) -> String {
    format!("f-{}", path.replace('/', "-"))
}

/// Fields that stand a second time on the page, above the plan, and so have ids of their own.
#[derive(Clone, Copy)]
pub struct SecondTime;

/// The id of the field that is being drawn.
fn own_id(path: &str) -> String {
    match use_context::<SecondTime>() {
        Some(SecondTime) => format!("first-{}", path.replace('/', "-")),
        None => field_id(path),
    }
}

/// The id of the sentence about a field.
fn faults_id(path: &str) -> String {
    format!("{}-says", field_id(path))
}

/// Whether a path is one of several, parted by spaces, or lies within one.
pub fn is_within(path: &str, places: &str) -> bool {
    places.split(' ').any(|place| {
        path.strip_prefix(place)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
    })
}

/// The field at a path of the plan.
pub fn field(desk: Desk, path: &str) -> AnyView {
    let Some(field) = desk.plan_now().field(path) else {
        return none();
    };
    let (path, called) = (path.to_owned(), field.called);
    match field.kind {
        Kind::Number(_) => number::number(desk, path, called, None),
        Kind::Open(_) => open_number(desk, path, Signal::stored("not given".to_owned())),
        Kind::Text => text::text(desk, path, called),
        Kind::Clock => clock::clock(desk, path, called),
        Kind::Tick => {
            let at = path.clone();
            let on = move || desk.plan_at(&at).held(&at) == Some(Held::Tick(true));
            tick(desk, path, called, on, |plan, path, on| {
                plan.put(path, Held::Tick(on));
            })
        }
        Kind::Choice(words) => {
            let at = path.clone();
            let chosen = move || match desk.plan_at(&at).held(&at) {
                Some(Held::Choice(at)) => at,
                Some(Held::Tick(on)) => usize::from(on),
                _ => 0,
            };
            choice(desk, path, called, words, chosen, |plan, path, at| {
                plan.put(path, Held::Choice(at));
            })
        }
    }
}

/// The field of a number that may stand empty, with what then counts shown in its place.
pub fn open_number(desk: Desk, path: String, empty: Signal<String>) -> AnyView {
    let called = desk
        .plan_now()
        .field(&path)
        .map_or("", |field| field.called);
    number::number(desk, path, called, Some(empty))
}

/// A sentence with fields in it: `{draw}` is the field of that name in the part of the plan at `at`.
pub fn say(desk: Desk, at: &str, sentence: &str) -> AnyView {
    let mut pieces = Vec::new();
    for (nth, piece) in sentence.split(['{', '}']).enumerate() {
        if nth % 2 == 1 {
            pieces.push(field(desk, &format!("{at}/{piece}")));
        } else if !piece.is_empty() {
            pieces.push(piece.to_owned().into_any());
        }
    }
    pieces.into_any()
}

/// The classes of a field: whether it is a guess, whether it is at fault.
fn field_class(desk: Desk, path: &str, kind: &'static str) -> Says {
    let path = path.to_owned();
    says(move || {
        let guess = is_guess(desk, &path);
        let fault = if desk.is_at_fault(&path) {
            " fault"
        } else {
            ""
        };
        format!("field {kind}{}{fault}", if guess { " guess" } else { "" })
    })
}

/// Whether a field is at fault, as ARIA says it.
fn is_invalid(desk: Desk, path: &str) -> Says {
    let path = path.to_owned();
    says(move || desk.is_at_fault(&path).to_string())
}

/// Whether a field holds a guess; who asks hears of every change.
fn is_guess(desk: Desk, path: &str) -> bool {
    desk.guesses
        .with(|guesses| guesses.contains(guess_of(path)))
}

/// The mark behind a field that has none of its own.
pub fn guess_mark(desk: Desk, path: &str) -> AnyView {
    marks(desk, path)
}

/// The mark behind a guess and the mark behind a fault.
fn marks(desk: Desk, path: &str) -> AnyView {
    let path = path.to_owned();
    part(move || {
        let guess = is_guess(desk, &path);
        let (class, mark) = match (desk.is_at_fault(&path), guess) {
            (true, _) => ("mark bad", "!"),
            (_, true) => ("mark", "?"),
            _ => return none(),
        };
        view! { <span class=class aria-hidden="true">{mark}</span> }.into_any()
    })
}

/// The sentences beneath a row: one for every fault at or within its places, parted by spaces.
pub fn faults_beneath(desk: Desk, places: &str) -> AnyView {
    let places = places.to_owned();
    faults_where(desk, Box::new(move |path| is_within(path, &places)))
}

/// The sentences beneath a list: its own faults alone, for each row says its own.
pub fn faults_of_list(desk: Desk, list: &'static str) -> AnyView {
    faults_where(desk, Box::new(move |path| path == list))
}

fn faults_where(desk: Desk, is_mine: Box<dyn Fn(&str) -> bool + Send>) -> AnyView {
    let here = move || {
        let faults = desk.faults.get();
        let mine = faults.into_iter().filter(|(path, _)| is_mine(path));
        let said = mine.map(|(path, says)| {
            let meanings = number::meanings(desk, &path);
            view! { <p class="fault-says" id=faults_id(&path)>{says}{meanings}</p> }.into_any()
        });
        said.collect::<Vec<_>>().into_any()
    };
    view! { <div class="faults">{part(here)}</div> }.into_any()
}
