//! The head of the page: the mark, the plan's name, undo and redo, units, print, share; and what is to be said.

use super::dialogs;
use crate::browser::page;
use crate::browser::store::Refusal;
use crate::fields::part;
use crate::state::desk::{Desk, Keeping};
use larder::plan::Units;
use leptos::prelude::*;

/// Three jars on a shelf.
pub fn mark() -> AnyView {
    view! {
        <svg class="brand-mark" width="34" height="26" viewBox="0 0 34 26" aria-hidden="true">
            <rect class="jar" x="3" y="5" width="8" height="15" rx="2"/>
            <rect class="jar" x="13" y="5" width="8" height="15" rx="2"/>
            <rect class="jar low" x="23" y="10" width="8" height="10" rx="2"/>
            <rect class="lid" x="3" y="2" width="8" height="4" rx="1"/>
            <rect class="lid" x="13" y="2" width="8" height="4" rx="1"/>
            <rect class="plank" x="0" y="21" width="34" height="3"/>
        </svg>
    }
    .into_any()
}

/// Whether the plan is kept, in a word.
fn keeping(desk: Desk) -> AnyView {
    (move || match desk.keeping.get() {
        Keeping::Nothing => "",
        Keeping::Waiting => "saving",
        Keeping::Kept => "saved",
        Keeping::Refused(_) => "not saved",
    })
    .into_any()
}

/// The head.
pub fn header(desk: Desk) -> AnyView {
    let units = part(desk, "plan", |plan| &plan.units, |plan| &mut plan.units);
    let name = Memo::new(move |_| desk.plan.with(|plan| plan.name.clone()));
    let open = move || desk.is_open.get();
    let tools = move || {
        let units = units.clone();
        open().then(move || {
            view! {
                <div class="head-plan">
                    <button type="button" class="plan-name" aria-haspopup="dialog" on:click=move |_| dialogs::open("plans")>
                        {move || name.get()}
                    </button>
                    <span class="keeping" aria-live="polite">{keeping(desk)}</span>
                </div>
                <div class="head-tools">
                    <button type="button" class="button plain icon" aria-label="Undo" disabled=move || !desk.can_undo() on:click=move |_| desk.undo()>"↶"</button>
                    <button type="button" class="button plain icon" aria-label="Redo" disabled=move || !desk.can_redo() on:click=move |_| desk.redo()>"↷"</button>
                    <span class="head-units">{units.choice("units", "units", vec![(Units::Metric, "mm, °C, kg".into()), (Units::Imperial, "in, °F, lb".into())], |u| *u, |u, v| *u = v)}</span>
                    <button type="button" class="button plain wide-only" on:click=|_| page::print()>"Print"</button>
                    <button type="button" class="button" aria-haspopup="dialog" on:click=move |_| dialogs::open_share(desk)>"Share"</button>
                </div>
            }
        })
    };
    view! {
        <header class="head">
            <div class="brand">{mark()}<span class="brand-name">"Amp Larder"</span></div>
            {tools}
        </header>
    }
    .into_any()
}

/// What is to be said, and what a browser that keeps nothing means.
pub fn notice(desk: Desk) -> AnyView {
    let refused = Memo::new(move |_| match desk.keeping.get() {
        Keeping::Refused(why) => Some(why),
        _ => None,
    });
    let refused_says = move || {
        let says = match refused.get()? {
            Refusal::Forbidden => {
                "This browser won't save. Download the plan before closing the page."
            }
            Refusal::Full => {
                "This browser's store is full, so the last change isn't saved. Download the plan, or remove one you no longer need."
            }
        };
        Some(view! {
            <div class="notice bad-notice" role="alert">
                <p>{says}</p>
                <button type="button" class="quiet" on:click=move |_| dialogs::download(desk)>"Download the plan"</button>
            </div>
        })
    };
    let said = move || {
        desk.notice.get().map(|notice| {
            let action = notice.action.map(|(word, act)| {
                view! { <button type="button" class="quiet" on:click=move |_| act.run(())>{word}</button> }
            });
            view! {
                <div class="notice" role="status">
                    <p>{notice.says}</p>
                    {action}
                    <button type="button" class="quiet" on:click=move |_| desk.notice.set(None)>"Close"</button>
                </div>
            }
        })
    };
    view! { {refused_says}{said} }.into_any()
}
