//! A time of day inside a sentence: `1830`, `18.30` and `6:30 pm` are all read.

use super::{faults_id, field_class, is_invalid, marks, own_id};
use crate::state::desk::{Desk, Focused};
use crate::view::{memo, says};
use larder::plan::Held;
use larder::units::{clock as clock_text, read_clock};
use leptos::{ev, html, prelude::*};

#[derive(Clone, Copy)]
struct Clock {
    desk: Desk,
    path: StoredValue<String>,
    called: &'static str,
    typing: RwSignal<Option<String>>,
    at_focus: StoredValue<String>,
    text: Memo<String>,
    input: NodeRef<html::Input>,
}

impl Clock {
    fn held(self) -> String {
        self.desk.plan_now().text(&self.path.get_value())
    }

    fn typed(self, entered: String) {
        let path = self.path.get_value();
        self.typing.set(Some(entered.clone()));
        match read_clock(&entered) {
            Ok(minutes) => self.desk.put(&path, Held::Text(clock_text(minutes))),
            Err(says) => self.desk.keep_draft(&path, &entered, says),
        }
    }

    /// Steps by quarters of an hour.
    fn step(self, steps: f64) {
        let from = f64::from(read_clock(&self.held()).unwrap_or(0));
        let to = (from + steps * 15.0).rem_euclid(1440.0);
        self.typed(clock_text(to as u16));
        self.typing.set(None);
    }

    fn entered(self) {
        self.at_focus.set_value(self.held());
        self.desk.focused.set(Some(Focused {
            label: self.called.to_owned(),
            units: Vec::new(),
            put: Callback::new(move |entered| self.typed(entered)),
            text: self.text.into(),
            step: Callback::new(move |by| self.step(by)),
            reset: Callback::new(move |()| self.typing.set(None)),
        }));
        if let Some(input) = self.input.get_untracked() {
            input.select();
        }
    }

    fn left(self) {
        self.typing.set(None);
        self.desk.focused.set(None);
        self.desk.settle();
    }

    fn key(self, event: &ev::KeyboardEvent) {
        let steps = if event.shift_key() { 4.0 } else { 1.0 };
        match event.key().as_str() {
            "ArrowUp" if !event.alt_key() => self.step(steps),
            "ArrowDown" if !event.alt_key() => self.step(-steps),
            "Escape" => {
                self.typed(self.at_focus.get_value());
                self.typing.set(None);
            }
            _ => return,
        }
        event.prevent_default();
    }
}

/// A clock field.
pub(super) fn clock(desk: Desk, path: String, called: &'static str) -> AnyView {
    let typing = RwSignal::new(None::<String>);
    let at = path.clone();
    let text = memo(move || {
        let typed = typing.get().or_else(|| desk.draft(&at));
        typed.unwrap_or_else(|| desk.plan_at(&at).text(&at))
    });
    let clock = Clock {
        desk,
        path: StoredValue::new(path.clone()),
        called,
        typing,
        at_focus: StoredValue::new(String::new()),
        text,
        input: NodeRef::new(),
    };
    view! {
        <span class="slot">
            <input
                id=own_id(&path)
                class=field_class(desk, &path, "clock")
                node_ref=clock.input
                type="text"
                autocomplete="off"
                aria-label=called
                aria-invalid=is_invalid(desk, &path)
                aria-describedby=faults_id(&path)
                size=says(move || text.with(|text| text.chars().count().max(5)).to_string())
                prop:value=says(move || text.get())
                on:input=move |event| clock.typed(event_target_value(&event))
                on:focus=move |_| clock.entered()
                on:blur=move |_| clock.left()
                on:keydown=move |event| clock.key(&event)
            />
            {marks(desk, &path)}
        </span>
    }
    .into_any()
}
