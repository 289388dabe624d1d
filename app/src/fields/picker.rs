//! A text field with up to eight matches to pick from: an ARIA combobox with a listbox.

use super::{field_class, marks, own_id};
use crate::state::desk::Desk;
use crate::view::{Says, holds, memo, none, part, says};
use leptos::{ev, html, prelude::*};

/// One match: what it is, and what is known of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Match {
    /// Its name.
    pub name: String,
    /// A short second line.
    pub about: String,
    /// Which entry of the table it is; none takes the text as it was typed.
    pub at: Option<usize>,
    /// Whether it is only taken where it was gone to by an arrow or a tap, never by Enter alone.
    pub by_choice: bool,
}

/// What a picker needs to know.
pub struct Picker {
    /// Its path in the plan.
    pub path: String,
    /// Its spoken name.
    pub called: &'static str,
    /// What shows while nobody types; none where nothing does.
    pub standing: Option<Signal<String>>,
    /// What shows in grey where nothing stands.
    pub empty: &'static str,
    /// The matches of a text.
    pub find: Callback<String, Vec<Match>>,
    /// What is done with the one that is picked.
    pub pick: Callback<Match>,
    /// Where the text is kept though nothing matches it.
    pub keeps: Option<Keeps>,
}

/// A picker whose text is a field of the plan, so that it is kept whatever it is.
#[derive(Clone, Copy)]
pub struct Keeps {
    /// Says whether the field is a guess or at fault.
    pub desk: Desk,
    /// Called when the field is gone to.
    pub open: Callback<()>,
    /// Called with a text that is left, or entered, without a match.
    pub leave: Callback<String>,
}

fn yes_or_no(mut truth: impl FnMut() -> bool + Send + 'static) -> Says {
    says(move || truth().to_string())
}

/// A picker.
pub fn picker(spec: Picker) -> AnyView {
    let Picker {
        path,
        called,
        standing,
        empty,
        find,
        pick,
        keeps,
    } = spec;
    let id = own_id(&path);
    let list_id = format!("{id}-list");
    let input = NodeRef::<html::Input>::new();
    let typing = RwSignal::new(None::<String>);
    let active = RwSignal::new(0usize);
    let rows = memo(move || {
        let text = typing.get().unwrap_or_default();
        let text = text.trim();
        if text.is_empty() {
            Vec::new()
        } else {
            find.run(text.to_owned())
        }
    });
    let is_open = move || !rows.with(Vec::is_empty);
    let take = move |at: usize| {
        if let Some(row) = rows.with_untracked(|rows| rows.get(at).cloned()) {
            typing.set(None);
            active.set(0);
            pick.run(row);
        }
    };
    let moved = StoredValue::new(false);
    let let_go = move || {
        let typed = typing.get_untracked();
        typing.set(None);
        active.set(0);
        if let (Some(keeps), Some(text)) = (keeps, typed) {
            keeps.leave.run(text);
        }
    };
    // Enter without a text takes what stands there, if that is a guess.
    let at_path = StoredValue::new(path.clone());
    let accept = move || {
        let Some(desk) = keeps.map(|keeps| keeps.desk) else {
            return;
        };
        let path = at_path.get_value();
        let is_guess = desk
            .guesses
            .with_untracked(|guesses| guesses.contains(&path));
        if is_guess {
            desk.edit(&path, |_| {});
        }
    };
    let is_offered = move || {
        let at = active.get_untracked();
        let by_choice = rows.with_untracked(|rows| rows.get(at).is_some_and(|row| row.by_choice));
        !by_choice || moved.get_value()
    };
    let on_key = move |event: ev::KeyboardEvent| {
        let count = rows.with_untracked(Vec::len);
        let go = |step: usize| {
            moved.set_value(true);
            active.update(|at| *at = (*at + step) % count);
        };
        match event.key().as_str() {
            "ArrowDown" if count > 0 => go(1),
            "ArrowUp" if count > 0 => go(count - 1),
            "Enter" if count > 0 && is_offered() => take(active.get_untracked()),
            "Enter" if keeps.is_some() && typing.with_untracked(Option::is_none) => accept(),
            "Enter" if keeps.is_some() => let_go(),
            "Escape" => typing.set(None),
            _ => return,
        }
        event.prevent_default();
    };
    let option_id = {
        let id = id.clone();
        move |at: usize| format!("{id}-{at}")
    };
    let active_id = {
        let option_id = option_id.clone();
        says(move || {
            if is_open() {
                option_id(active.get())
            } else {
                String::new()
            }
        })
    };
    let shown = memo(move || {
        let standing = || standing.map(|standing| standing.get());
        typing.get().or_else(standing).unwrap_or_default()
    });
    let plain = if standing.is_some() {
        "field text pick"
    } else {
        "field text pick add"
    };
    let class = match keeps {
        Some(keeps) => field_class(keeps.desk, &path, "text pick"),
        None => says(move || plain.to_owned()),
    };
    let mark = keeps.map_or_else(none, |keeps| marks(keeps.desk, &path));
    let holder = if standing.is_some() { empty } else { called };
    let least = empty.chars().count().max(8);
    let options = part(move || {
        if !is_open() {
            return none();
        }
        let rows = rows.get().into_iter().enumerate();
        let options: Vec<AnyView> = rows
            .map(|(at, row)| {
                view! {
                    <li
                        id=option_id(at)
                        role="option"
                        aria-selected=yes_or_no(move || active.get() == at)
                        on:pointerdown=move |event| {
                            event.prevent_default();
                            take(at);
                        }
                    >
                        <span>{row.name}</span>
                        <span class="about">{row.about}</span>
                    </li>
                }
                .into_any()
            })
            .collect();
        options.into_any()
    });
    view! {
        <span class="slot picker">
            <input
                id=id
                class=class
                node_ref=input
                type="text"
                role="combobox"
                autocomplete="off"
                aria-label=called
                aria-autocomplete="list"
                aria-expanded=yes_or_no(is_open)
                aria-controls=list_id.clone()
                aria-activedescendant=active_id
                placeholder=holder
                size=says(move || shown.with(|text| if text.is_empty() { least } else { text.chars().count().max(8) }).to_string())
                prop:value=says(move || shown.get())
                on:input=move |event| {
                    active.set(0);
                    moved.set_value(false);
                    typing.set(Some(event_target_value(&event)));
                }
                on:focus=move |_| {
                    if let Some(input) = input.get_untracked() {
                        input.select();
                    }
                    if let Some(keeps) = keeps {
                        keeps.open.run(());
                    }
                }
                on:blur=move |_| if standing.is_some() { let_go() }
                on:keydown=on_key
            />
            <ul id=list_id role="listbox" aria-label=called class="matches" hidden=holds(move || !is_open())>
                {options}
            </ul>
            {mark}
        </span>
    }
    .into_any()
}
