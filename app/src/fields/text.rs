//! A line of text inside a sentence.

use super::{field_class, marks, own_id};
use crate::state::desk::Desk;
use crate::view::{memo, says};
use larder::plan::Held;
use leptos::{ev, html, prelude::*};

/// Longest text that is taken.
const MOST: &str = "80";

/// A text field.
pub(super) fn text(desk: Desk, path: String, called: &'static str) -> AnyView {
    let input = NodeRef::<html::Input>::new();
    let at_focus = StoredValue::new(String::new());
    let at = path.clone();
    let value = memo(move || desk.plan_at(&at).text(&at));
    let at = StoredValue::new(path.clone());
    let enter = move |entered: String| desk.put(&at.get_value(), Held::Text(entered));
    let on_key = move |event: ev::KeyboardEvent| {
        if event.key() == "Escape" {
            event.prevent_default();
            enter(at_focus.get_value());
        }
    };
    let on_focus = move |_| {
        at_focus.set_value(value.get_untracked());
        if let Some(input) = input.get_untracked() {
            input.select();
        }
    };
    view! {
        <span class="slot">
            <input
                id=own_id(&path)
                class=field_class(desk, &path, "text")
                node_ref=input
                type="text"
                autocomplete="off"
                maxlength=MOST
                aria-label=called
                size=says(move || value.with(|value| value.chars().count().max(3)).to_string())
                prop:value=says(move || value.get())
                on:input=move |event| enter(event_target_value(&event))
                on:focus=on_focus
                on:blur=move |_| desk.settle()
                on:keydown=on_key
            />
            {marks(desk, &path)}
        </span>
    }
    .into_any()
}
