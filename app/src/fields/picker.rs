//! A text field with up to eight matches to pick from: an ARIA combobox with a listbox.

use super::own_id;
use crate::view::{Says, holds, memo, none, part, says};
use leptos::{ev, html, prelude::*};

/// One match: what it is, and what is known of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Match {
    /// Its name.
    pub name: String,
    /// A short second line.
    pub about: String,
    /// Which entry of the table it is; none takes the text as it was typed.
    pub at: Option<usize>,
}

/// What a picker needs to know.
pub struct Picker {
    /// Its path in the plan.
    pub path: String,
    /// Its spoken name.
    pub called: &'static str,
    /// What shows while nobody types; none where nothing does.
    pub standing: Option<Signal<String>>,
    /// The matches of a text.
    pub find: fn(&str) -> Vec<Match>,
    /// What is done with the one that is picked.
    pub pick: Callback<Match>,
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
        find,
        pick,
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
            find(text)
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
    let on_key = move |event: ev::KeyboardEvent| {
        let count = rows.with_untracked(Vec::len);
        match event.key().as_str() {
            "ArrowDown" if count > 0 => active.update(|at| *at = (*at + 1) % count),
            "ArrowUp" if count > 0 => active.update(|at| *at = (*at + count - 1) % count),
            "Enter" if count > 0 => take(active.get_untracked()),
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
    let class = if standing.is_some() {
        "field text pick"
    } else {
        "field text pick add"
    };
    let holder = if standing.is_some() { "" } else { called };
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
                size=says(move || shown.with(|text| text.chars().count().max(8)).to_string())
                prop:value=says(move || shown.get())
                on:input=move |event| {
                    active.set(0);
                    typing.set(Some(event_target_value(&event)));
                }
                on:focus=move |_| if let Some(input) = input.get_untracked() { input.select() }
                on:blur=move |_| if standing.is_some() { typing.set(None) }
                on:keydown=on_key
            />
            <ul id=list_id role="listbox" aria-label=called class="matches" hidden=holds(move || !is_open())>
                {options}
            </ul>
        </span>
    }
    .into_any()
}
