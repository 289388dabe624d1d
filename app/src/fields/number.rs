//! A number inside a sentence: it computes as one types, tidies when one leaves, and loses nothing.

use super::{faults_id, field_class, is_invalid, marks, own_id};
use crate::state::desk::{Desk, Focused};
use crate::view::{memo, none, part, press, says};
use larder::plan::{Held, Units};
use larder::units::{Quantity, Style};
use leptos::{ev, html, prelude::*};

/// One number field. Copied freely: it is a handful of handles.
#[derive(Clone, Copy)]
struct Number {
    desk: Desk,
    path: StoredValue<String>,
    called: &'static str,
    /// Whether it may stand empty.
    open: bool,
    /// What is being typed, until it is left.
    typing: RwSignal<Option<String>>,
    /// How that was read, where it does not say so plainly.
    echo: RwSignal<Option<String>>,
    /// What the plan held when the field was entered, and whether it was a guess.
    at_focus: StoredValue<(Option<f64>, bool)>,
    /// What shows.
    text: Memo<String>,
    input: NodeRef<html::Input>,
}

impl Number {
    fn quantity(self) -> Quantity {
        let path = self.path.get_value();
        self.desk
            .plan_now()
            .quantity(&path)
            .unwrap_or(Quantity::Number)
    }

    fn units(self) -> Units {
        self.desk.plan_now().units
    }

    fn style(self) -> Style {
        self.desk.style_now()
    }

    /// Reads what was typed.
    fn typed(self, entered: String) {
        let path = self.path.get_value();
        self.typing.set(Some(entered.clone()));
        self.echo.set(None);
        if self.open && entered.trim().is_empty() {
            return self.desk.put(&path, Held::Number(None));
        }
        match self.quantity().read(&entered, self.style()) {
            Ok(reading) => match self.desk.plan_now().question(&path, &reading) {
                Some(values) => self.ask(
                    &entered,
                    values
                        .map(|value| self.quantity().show_read(value, reading.unit, self.style())),
                ),
                None => {
                    self.echo.set(reading.echo);
                    self.desk.edit(&path, |plan| {
                        plan.put_reading(&path, reading.value, reading.unit);
                    });
                }
            },
            Err(says) => self.desk.keep_draft(&path, &entered, says),
        }
    }

    /// Keeps a text that can be read in two ways, and asks which was meant; the plan holds what it held before typing began.
    fn ask(self, entered: &str, [first, second]: [String; 2]) {
        let path = self.path.get_value();
        let (before, _) = self.at_focus.get_value();
        if before != self.desk.plan_now().number(&path) {
            self.put_back();
            // The answer that stays is that of the value before.
            let _ = self.desk.answer.get_untracked();
        }
        let says = format!("“{}” can mean {first} or {second}.", entered.trim());
        self.desk.keep_draft(&path, entered, says);
    }

    /// Puts back what the plan held when the field was entered; a guess is one again.
    fn put_back(self) {
        let path = self.path.get_value();
        let (before, is_guess) = self.at_focus.get_value();
        self.desk.put(&path, Held::Number(before));
        if is_guess {
            self.desk.amend(|plan| {
                plan.guesses.insert(path);
            });
        }
    }

    /// Puts a value in place of whatever is typed.
    fn put(self, value: Option<f64>) {
        self.forget();
        let path = self.path.get_value();
        self.desk.put(&path, Held::Number(value));
    }

    fn step(self, steps: f64) {
        let from = self
            .desk
            .plan_now()
            .number(&self.path.get_value())
            .unwrap_or(0.0);
        let by = self.quantity().step(self.units());
        self.put(Some(((from + steps * by) * 1e9).round() / 1e9));
    }

    /// Forgets what was typed, so that the plan's value shows.
    fn forget(self) {
        self.typing.set(None);
        self.echo.set(None);
    }

    fn select(self) {
        if let Some(input) = self.input.get_untracked() {
            input.select();
        }
    }

    fn entered(self) {
        let held = self.desk.plan_now().number(&self.path.get_value());
        let is_guess = self
            .desk
            .plan_now()
            .guesses
            .contains(&self.path.get_value());
        self.at_focus.set_value((held, is_guess));
        self.desk.focused.set(Some(Focused {
            label: self.called.to_owned(),
            units: offered_units(self.quantity(), self.units()),
            put: Callback::new(move |entered| self.typed(entered)),
            text: self.text.into(),
            step: Callback::new(move |by| self.step(by)),
            reset: Callback::new(move |()| self.forget()),
        }));
        self.select();
    }

    fn left(self) {
        self.forget();
        self.desk.focused.set(None);
        self.desk.settle();
    }

    /// Enter accepts a guess as it stands.
    fn accept(self) {
        let path = self.path.get_value();
        if !self
            .desk
            .drafts
            .with_untracked(|drafts| drafts.contains_key(&path))
        {
            self.typing.set(None);
            if self.desk.plan_now().is_guess(&path) {
                self.desk.accept(&[path]);
            }
        }
        self.select();
    }

    fn key(self, event: &ev::KeyboardEvent) {
        let steps = if event.shift_key() { 10.0 } else { 1.0 };
        match event.key().as_str() {
            "ArrowUp" if !event.alt_key() => self.step(steps),
            "ArrowDown" if !event.alt_key() => self.step(-steps),
            "Enter" => self.accept(),
            "Escape" => {
                self.forget();
                self.put_back();
            }
            _ => return,
        }
        event.prevent_default();
    }
}

/// A number field; `empty` is what shows where it stands empty, and none where it may not.
pub(super) fn number(
    desk: Desk,
    path: String,
    called: &'static str,
    empty: Option<Signal<String>>,
) -> AnyView {
    let typing = RwSignal::new(None::<String>);
    let at = path.clone();
    let text = memo(move || {
        if let Some(typed) = typing.get() {
            return typed;
        }
        if let Some(draft) = desk.draft(&at) {
            return draft;
        }
        let plan = desk.plan_at(&at);
        let quantity = plan.quantity(&at).unwrap_or(Quantity::Number);
        plan.number(&at).map_or(String::new(), |value| {
            let format = desk.number_format.get();
            quantity.show_in(
                value,
                Style {
                    units: plan.units,
                    format,
                },
            )
        })
    });
    let number = Number {
        desk,
        path: StoredValue::new(path.clone()),
        called,
        open: empty.is_some(),
        typing,
        echo: RwSignal::new(None),
        at_focus: StoredValue::new((None, false)),
        text,
        input: NodeRef::new(),
    };
    let holder = move || empty.map_or(String::new(), |empty| empty.get());
    let size = move || {
        let shown = text.with(|text| text.chars().count());
        let wide = if shown == 0 {
            holder().chars().count()
        } else {
            shown
        };
        wide.max(2).to_string()
    };
    let read_as = part(move || match number.echo.get() {
        Some(read_as) => view! { <span class="echo">"read as " {read_as}</span> }.into_any(),
        None => none(),
    });
    view! {
        <span class="slot">
            <input
                id=own_id(&path)
                class=field_class(desk, &path, "number")
                node_ref=number.input
                type="text"
                inputmode="decimal"
                autocomplete="off"
                spellcheck="false"
                aria-label=called
                aria-invalid=is_invalid(desk, &path)
                aria-describedby=faults_id(&path)
                placeholder=says(holder)
                size=says(size)
                prop:value=says(move || text.get())
                on:input=move |event| number.typed(event_target_value(&event))
                on:focus=move |_| number.entered()
                on:blur=move |_| number.left()
                on:keydown=move |event| number.key(&event)
            />
            {marks(desk, &path)}
            {read_as}
        </span>
    }
    .into_any()
}

/// The values between which a draft at a path leaves the choice, as buttons; nothing where it leaves none.
pub(super) fn meanings(desk: Desk, path: &str) -> AnyView {
    let (plan, style) = (desk.plan_now(), desk.style_now());
    let reading = plan.drafts.get(path).and_then(|draft| {
        let quantity = plan.quantity(path)?;
        Some((quantity, quantity.read(&draft.text, style).ok()?))
    });
    let Some((quantity, reading)) = reading else {
        return none();
    };
    let unit = reading.unit;
    let buttons = plan.question(path, &reading).map(|values| {
        values.map(|value| {
            let path = path.to_owned();
            let word = quantity.show_read(value, unit, style);
            let choose = press(move || {
                desk.edit(&path, |plan| plan.put_reading(&path, value, unit));
                desk.settle();
            });
            view! { <button type="button" class="quiet meaning" on:click=choose>{word}</button> }
                .into_any()
        })
    });
    buttons.map_or_else(none, |buttons| {
        buttons.into_iter().collect::<Vec<_>>().into_any()
    })
}

/// Units that the strip offers for a quantity.
fn offered_units(quantity: Quantity, units: Units) -> Vec<&'static str> {
    match quantity {
        Quantity::Power | Quantity::Current => vec!["W", "A"],
        Quantity::Length if units == Units::Imperial => vec!["in", "mm"],
        Quantity::Length => vec!["mm", "cm", "in"],
        Quantity::Hours => vec!["h", "min"],
        Quantity::Temperature => vec!["°C", "°F"],
        Quantity::Mass => vec!["kg", "lb"],
        _ => Vec::new(),
    }
}
