//! A time of day inside a sentence: `1830`, `18.30` and `6:30 pm` are all read.

use super::number::ThenWord;
use super::{Put, faults_id, field_class, field_id, is_faulty, marks};
use crate::state::desk::{Desk, Focused};
use larder::units::{clock as clock_text, read_clock};
use leptos::{ev, html, prelude::*};
use std::sync::Arc;

/// A clock field.
pub fn clock(
    desk: Desk,
    path: String,
    label: &str,
    value: Memo<String>,
    put: Put<String>,
) -> AnyView {
    let typing = RwSignal::new(None::<String>);
    let at_focus = StoredValue::new(String::new());
    let input = NodeRef::<html::Input>::new();
    let draft_path = path.clone();
    let draft = Memo::new(move |_| {
        desk.drafts
            .with(|drafts| drafts.get(&draft_path).map(|draft| draft.text.clone()))
    });
    let text = Memo::new(move |_| {
        typing
            .get()
            .or_else(|| draft.get())
            .unwrap_or_else(|| value.get())
    });
    let edit_path = path.clone();
    let typed = Arc::new(move |entered: String| {
        typing.set(Some(entered.clone()));
        match read_clock(&entered) {
            Ok(minutes) => desk.edit(&edit_path, |plan| put(plan, clock_text(minutes))),
            Err(says) => desk.keep_draft(&edit_path, &entered, says),
        }
    });
    let step = {
        let typed = typed.clone();
        Arc::new(move |steps: f64| {
            let from = f64::from(read_clock(&value.get_untracked()).unwrap_or(0));
            let to = (from + steps * 15.0).rem_euclid(1440.0);
            typed(clock_text(to as u16));
            typing.set(None);
        })
    };
    let (strip_typed, strip_step) = (typed.clone(), step.clone());
    let strip_label = label.to_owned();
    let on_focus = move |_| {
        at_focus.set_value(value.get_untracked());
        let (typed, step) = (strip_typed.clone(), strip_step.clone());
        desk.focused.set(Some(Focused {
            label: strip_label.clone(),
            units: Vec::new(),
            put: Callback::new(move |entered| typed(entered)),
            text: text.into(),
            step: Callback::new(move |by| step(by)),
            reset: Callback::new(move |()| typing.set(None)),
        }));
        if let Some(input) = input.get_untracked() {
            input.select();
        }
    };
    let escape = typed.clone();
    let on_key = move |event: ev::KeyboardEvent| {
        let steps = if event.shift_key() { 4.0 } else { 1.0 };
        match event.key().as_str() {
            "ArrowUp" if !event.alt_key() => {
                event.prevent_default();
                step(steps);
            }
            "ArrowDown" if !event.alt_key() => {
                event.prevent_default();
                step(-steps);
            }
            "Escape" => {
                event.prevent_default();
                escape(at_focus.get_value());
                typing.set(None);
            }
            _ => {}
        }
    };
    view! {
        <span class="slot">
            <input
                id=field_id(&path)
                class=field_class(desk, &path, "clock")
                node_ref=input
                type="text"
                autocomplete="off"
                aria-label=label.to_owned()
                aria-invalid=is_faulty(desk, &path).then_word()
                aria-describedby=faults_id(&path)
                size=move || text.with(|text| text.chars().count().max(5))
                prop:value=move || text.get()
                on:input=move |event| typed(event_target_value(&event))
                on:focus=on_focus
                on:blur=move |_| {
                    typing.set(None);
                    desk.focused.set(None);
                    desk.settle();
                }
                on:keydown=on_key
            />
            {marks(desk, &path)}
        </span>
    }
    .into_any()
}
