//! A number inside a sentence: it computes as one types, tidies when one leaves, and loses nothing.

use super::{faults_id, field_class, field_id, is_faulty, marks};
use crate::state::desk::{Desk, Focused};
use larder::plan::{Plan, Units};
use larder::units::{Quantity, Reading};
use leptos::{ev, html, prelude::*};
use std::sync::Arc;

/// Puts a number, or none, into the plan; it also hears the unit that was typed.
pub(super) type PutNumber = Arc<dyn Fn(&mut Plan, Option<f64>, Option<&str>) + Send + Sync>;

/// What a number field needs to know.
pub struct Number {
    /// Its path in the plan.
    pub path: String,
    /// Its spoken name.
    pub label: String,
    /// What it measures.
    pub quantity: Quantity,
    /// The value in the plan.
    pub value: Memo<Option<f64>>,
    /// Puts a value into the plan.
    pub put: PutNumber,
    /// Shown while it stands empty; none where it may not.
    pub empty: Option<Signal<String>>,
    /// Another quantity in which to show the value, where the unit is a choice.
    pub shown: Option<Memo<Quantity>>,
}

/// A number field.
pub fn number(desk: Desk, spec: Number) -> AnyView {
    let Number {
        path,
        label,
        quantity,
        value,
        put,
        empty,
        shown,
    } = spec;
    let units = Memo::new(move |_| desk.plan.with(|plan| plan.units));
    let measured = move || shown.map_or(quantity, |shown| shown.get());
    let measured_now = move || shown.map_or(quantity, |shown| shown.get_untracked());
    let typing = RwSignal::new(None::<String>);
    let echo = RwSignal::new(None::<String>);
    let at_focus = StoredValue::new(None::<f64>);
    let input = NodeRef::<html::Input>::new();

    let draft_path = path.clone();
    let draft = Memo::new(move |_| {
        desk.drafts
            .with(|drafts| drafts.get(&draft_path).map(|draft| draft.text.clone()))
    });
    let text = Memo::new(move |_| {
        let standing = || {
            value
                .get()
                .map_or(String::new(), |value| measured().show(value, units.get()))
        };
        typing
            .get()
            .or_else(|| draft.get())
            .unwrap_or_else(standing)
    });

    let optional = empty.is_some();
    let typed = {
        let path = path.clone();
        let put = put.clone();
        Arc::new(move |entered: String| {
            typing.set(Some(entered.clone()));
            if optional && entered.trim().is_empty() {
                echo.set(None);
                return desk.edit(&path, |plan| put(plan, None, None));
            }
            match measured_now().read(&entered, units.get_untracked()) {
                Ok(Reading {
                    value,
                    unit,
                    echo: read_as,
                }) => {
                    echo.set(read_as);
                    desk.edit(&path, |plan| put(plan, Some(value), unit));
                }
                Err(says) => {
                    echo.set(None);
                    desk.keep_draft(&path, &entered, says);
                }
            }
        })
    };
    let put_value = {
        let path = path.clone();
        let put = put.clone();
        move |value: Option<f64>| {
            typing.set(None);
            echo.set(None);
            desk.edit(&path, |plan| put(plan, value, None));
        }
    };
    let step = {
        let put_value = put_value.clone();
        Arc::new(move |steps: f64| {
            let from = value.get_untracked().unwrap_or(0.0);
            let by = measured_now().step(units.get_untracked());
            put_value(Some(((from + steps * by) * 1e9).round() / 1e9));
        })
    };
    let focused = {
        let typed = typed.clone();
        let step = step.clone();
        let label = label.clone();
        move || Focused {
            label: label.clone(),
            units: offered_units(measured_now(), units.get_untracked()),
            put: Callback::new({
                let typed = typed.clone();
                move |entered| typed(entered)
            }),
            text: text.into(),
            step: Callback::new({
                let step = step.clone();
                move |by| step(by)
            }),
            reset: Callback::new(move |()| {
                typing.set(None);
                echo.set(None);
            }),
        }
    };

    let on_focus = move |_| {
        at_focus.set_value(value.get_untracked());
        desk.focused.set(Some(focused()));
        if let Some(input) = input.get_untracked() {
            input.select();
        }
    };
    let on_blur = move |_| {
        typing.set(None);
        echo.set(None);
        desk.focused.set(None);
        desk.settle();
    };
    let accept_path = path.clone();
    let on_key = move |event: ev::KeyboardEvent| {
        let steps = if event.shift_key() { 10.0 } else { 1.0 };
        match event.key().as_str() {
            "ArrowUp" | "ArrowDown" if !event.alt_key() => {
                event.prevent_default();
                step(if event.key() == "ArrowUp" {
                    steps
                } else {
                    -steps
                });
            }
            "Enter" => {
                event.prevent_default();
                if draft.get_untracked().is_none() {
                    typing.set(None);
                    if desk
                        .guesses
                        .with_untracked(|guesses| guesses.contains(&accept_path))
                    {
                        desk.edit(&accept_path, |_| {});
                    }
                }
                if let Some(input) = input.get_untracked() {
                    input.select();
                }
            }
            "Escape" => {
                event.prevent_default();
                put_value(at_focus.get_value());
            }
            _ => {}
        }
    };

    let shown_text = move || text.get();
    let size = move || {
        let shown = text.get();
        let shown = if shown.is_empty() {
            empty.map_or(String::new(), |empty| empty.get())
        } else {
            shown
        };
        shown.chars().count().max(2)
    };
    view! {
        <span class="slot">
            <input
                id=field_id(&path)
                class=field_class(desk, &path, "number")
                node_ref=input
                type="text"
                inputmode="decimal"
                autocomplete="off"
                spellcheck="false"
                aria-label=label
                aria-invalid=is_faulty(desk, &path).then_word()
                aria-describedby=faults_id(&path)
                placeholder=move || empty.map(|empty| empty.get())
                size=size
                prop:value=shown_text
                on:input=move |event| typed(event_target_value(&event))
                on:focus=on_focus
                on:blur=on_blur
                on:keydown=on_key
            />
            {marks(desk, &path)}
            {move || echo.get().map(|read_as| view! { <span class="echo">"read as " {read_as}</span> })}
        </span>
    }
    .into_any()
}

/// Units that the strip offers for a quantity.
fn offered_units(quantity: Quantity, units: Units) -> Vec<&'static str> {
    match quantity {
        Quantity::Power => vec!["W", "A"],
        Quantity::Length if units == Units::Imperial => vec!["in", "mm"],
        Quantity::Length => vec!["mm", "cm", "in"],
        Quantity::Hours => vec!["h", "min"],
        Quantity::Temperature => vec!["°C", "°F"],
        Quantity::Mass => vec!["kg", "lb"],
        _ => Vec::new(),
    }
}

/// A boolean as the word that an ARIA attribute takes.
pub(super) trait ThenWord {
    /// "true" or nothing.
    fn then_word(self) -> impl Fn() -> Option<&'static str> + Send + 'static;
}

impl<F: Fn() -> bool + Send + 'static> ThenWord for F {
    fn then_word(self) -> impl Fn() -> Option<&'static str> + Send + 'static {
        move || self().then_some("true")
    }
}
