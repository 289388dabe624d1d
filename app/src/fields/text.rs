//! A line of text inside a sentence.

use super::{Put, field_class, field_id, marks};
use crate::state::desk::Desk;
use leptos::{ev, html, prelude::*};

/// Longest text that is taken.
const MOST: &str = "80";

/// A text field.
pub fn text(
    desk: Desk,
    path: String,
    label: &str,
    value: Memo<String>,
    put: Put<String>,
) -> AnyView {
    let input = NodeRef::<html::Input>::new();
    let at_focus = StoredValue::new(String::new());
    let edit_path = path.clone();
    let enter = move |entered: String| desk.edit(&edit_path, |plan| put(plan, entered));
    let escape = enter.clone();
    let on_key = move |event: ev::KeyboardEvent| {
        if event.key() == "Escape" {
            event.prevent_default();
            escape(at_focus.get_value());
        }
    };
    view! {
        <span class="slot">
            <input
                id=field_id(&path)
                class=field_class(desk, &path, "text")
                node_ref=input
                type="text"
                autocomplete="off"
                maxlength=MOST
                aria-label=label.to_owned()
                size=move || value.with(|value| value.chars().count().max(3))
                prop:value=move || value.get()
                on:input=move |event| enter(event_target_value(&event))
                on:focus=move |_| {
                    at_focus.set_value(value.get_untracked());
                    if let Some(input) = input.get_untracked() {
                        input.select();
                    }
                }
                on:blur=move |_| desk.settle()
                on:keydown=on_key
            />
            {marks(desk, &path)}
        </span>
    }
    .into_any()
}
