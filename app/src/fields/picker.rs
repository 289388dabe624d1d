//! A text field with up to eight matches to pick from: an ARIA combobox with a listbox.

use super::field_id;
use leptos::{ev, html, prelude::*};

/// One match: what it is, and what is known of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Match {
    /// Its name.
    pub name: String,
    /// A short second line.
    pub about: String,
    /// Which entry of the table it is.
    pub at: usize,
}

/// A picker. `standing` is what shows while nobody types; `own` words the row that takes the text as it is.
pub fn picker(
    path: String,
    label: &str,
    placeholder: &str,
    standing: Option<Memo<String>>,
    find: fn(&str) -> Vec<Match>,
    own: Option<fn(&str) -> String>,
    pick: Callback<(String, Option<usize>)>,
) -> AnyView {
    let id = field_id(&path);
    let list_id = format!("{id}-list");
    let input = NodeRef::<html::Input>::new();
    let typing = RwSignal::new(None::<String>);
    let active = RwSignal::new(0usize);
    let rows = Memo::new(move |_| {
        let text = typing.get().unwrap_or_default();
        let text = text.trim();
        if text.is_empty() {
            return Vec::new();
        }
        let mut rows: Vec<(Option<Match>, String)> = find(text)
            .into_iter()
            .map(|m| (Some(m.clone()), m.name))
            .collect();
        if let Some(own) = own {
            rows.push((None, own(text)));
        }
        rows
    });
    let open = move || !rows.with(Vec::is_empty);
    let take = move |at: usize| {
        let Some((row, _)) = rows.with_untracked(|rows| rows.get(at).cloned()) else {
            return;
        };
        let text = typing.get_untracked().unwrap_or_default();
        typing.set(None);
        active.set(0);
        match row {
            Some(row) => pick.run((row.name, Some(row.at))),
            None => pick.run((text.trim().to_owned(), None)),
        }
    };
    let on_key = move |event: ev::KeyboardEvent| {
        let count = rows.with_untracked(Vec::len);
        match event.key().as_str() {
            "ArrowDown" if count > 0 => {
                event.prevent_default();
                active.update(|at| *at = (*at + 1) % count);
            }
            "ArrowUp" if count > 0 => {
                event.prevent_default();
                active.update(|at| *at = (*at + count - 1) % count);
            }
            "Enter" if count > 0 => {
                event.prevent_default();
                take(active.get_untracked());
            }
            "Escape" => {
                event.prevent_default();
                typing.set(None);
            }
            _ => {}
        }
    };
    let option_id = {
        let id = id.clone();
        move |at: usize| format!("{id}-{at}")
    };
    let active_id = {
        let option_id = option_id.clone();
        move || open().then(|| option_id(active.get()))
    };
    let shown = move || {
        typing
            .get()
            .or_else(|| standing.map(|standing| standing.get()))
            .unwrap_or_default()
    };
    let wide = if standing.is_some() {
        "field text pick"
    } else {
        "field text pick add"
    };
    let holder = placeholder.to_owned();
    let options = {
        move || {
            let shown = rows.get().into_iter().enumerate();
            shown
                .map(|(at, (row, words))| {
                    let about = row.map(|row| row.about).unwrap_or_default();
                    view! {
                        <li
                            id=option_id(at)
                            role="option"
                            aria-selected=move || if active.get() == at { "true" } else { "false" }
                            on:pointerdown=move |event| {
                                event.prevent_default();
                                take(at);
                            }
                        >
                            <span>{words}</span>
                            <span class="about">{about}</span>
                        </li>
                    }
                })
                .collect_view()
        }
    };
    view! {
        <span class="slot picker">
            <input
                id=id
                class=wide
                node_ref=input
                type="text"
                role="combobox"
                autocomplete="off"
                aria-label=label.to_owned()
                aria-autocomplete="list"
                aria-expanded=move || if open() { "true" } else { "false" }
                aria-controls=list_id.clone()
                aria-activedescendant=active_id
                placeholder=holder
                size=move || shown().chars().count().max(8)
                prop:value=shown
                on:input=move |event| {
                    active.set(0);
                    typing.set(Some(event_target_value(&event)));
                }
                on:focus=move |_| if let Some(input) = input.get_untracked() { input.select() }
                on:blur=move |_| if standing.is_some() { typing.set(None) }
                on:keydown=on_key
            />
            <ul id=list_id role="listbox" aria-label=label.to_owned() class="matches" hidden=move || !open()>
                {options}
            </ul>
        </span>
    }
    .into_any()
}
