//! A choice among words, as a native select, and a tick.

use super::{Put, field_class, field_id, marks};
use crate::state::desk::Desk;
use leptos::prelude::*;

/// A native select, styled as text.
pub fn choice(
    desk: Desk,
    path: String,
    label: &str,
    words: Vec<String>,
    chosen: Memo<usize>,
    put: Put<usize>,
) -> AnyView {
    let edit_path = path.clone();
    let on_change = move |event| {
        if let Ok(index) = event_target_value(&event).parse() {
            desk.edit(&edit_path, |plan| put(plan, index));
            desk.settle();
        }
    };
    let options = words
        .into_iter()
        .enumerate()
        .map(|(at, word)| view! { <option value=at.to_string() selected=move || chosen.get() == at>{word}</option> })
        .collect_view();
    view! {
        <span class="slot">
            <select
                id=field_id(&path)
                class=field_class(desk, &path, "choice")
                aria-label=label.to_owned()
                prop:value=move || chosen.get().to_string()
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
pub fn tick(desk: Desk, path: String, words: &str, value: Memo<bool>, put: Put<bool>) -> AnyView {
    let id = field_id(&path);
    let edit_path = path.clone();
    let path_id = field_id(&path);
    view! {
        <label class="tick" for=path_id>
            <input
                id=id
                type="checkbox"
                prop:checked=move || value.get()
                on:change=move |event| {
                    let on = event_target_checked(&event);
                    desk.edit(&edit_path, |plan| put(plan, on));
                    desk.settle();
                }
            />
            <span>{words.to_owned()}</span>
        </label>
    }
    .into_any()
}
