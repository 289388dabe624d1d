//! A choice among words, as a native select, and a tick.

use super::{field_class, marks, own_id};
use crate::state::desk::Desk;
use crate::view::{holds, memo, says};
use larder::plan::Plan;
use leptos::prelude::*;

/// A native select, styled as text.
pub fn choice(
    desk: Desk,
    path: String,
    called: &str,
    words: &[&'static str],
    chosen: impl Fn() -> usize + Send + Sync + 'static,
    put: fn(&mut Plan, &str, usize),
) -> AnyView {
    let chosen = memo(chosen);
    let at = path.clone();
    let on_change = move |event| {
        if let Ok(index) = event_target_value(&event).parse() {
            desk.edit(&at, |plan| put(plan, &at, index));
            desk.settle();
        }
    };
    let options: Vec<AnyView> = words
        .iter()
        .enumerate()
        .map(|(at, word)| {
            let selected = holds(move || chosen.get() == at);
            view! { <option value=at.to_string() selected=selected>{*word}</option> }.into_any()
        })
        .collect();
    view! {
        <span class="slot">
            <select
                id=own_id(&path)
                class=field_class(desk, &path, "choice")
                aria-label=called.to_owned()
                prop:value=says(move || chosen.get().to_string())
                on:change=on_change
            >
                {options}
            </select>
            {marks(desk, &path)}
        </span>
    }
    .into_any()
}

/// A tick with its words.
pub fn tick(
    desk: Desk,
    path: String,
    words: &str,
    on: impl Fn() -> bool + Send + Sync + 'static,
    put: fn(&mut Plan, &str, bool),
) -> AnyView {
    let on = memo(on);
    let id = own_id(&path);
    let mark = marks(desk, &path);
    view! {
        <label class="tick">
            <input
                id=id
                type="checkbox"
                prop:checked=holds(move || on.get())
                on:change=move |event| {
                    let on = event_target_checked(&event);
                    desk.edit(&path, |plan| put(plan, &path, on));
                    desk.settle();
                }
            />
            <span>{words.to_owned()}{mark}</span>
        </label>
    }
    .into_any()
}
