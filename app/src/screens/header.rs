//! The head of the page: the mark, the plan's name, undo and redo, units, print, share; and what is to be said.

use super::dialogs;
use super::list::{button, quiet};
use crate::browser::store::Refusal;
use crate::fields::field;
use crate::state::desk::{Desk, Keeping};
use crate::state::larder_store;
use crate::view::{Says, holds, memo, none, part, press, says, when};
use larder::units::NumberFormat;
use leptos::prelude::*;

/// Three jars on a shelf.
const MARK: &str = concat!(
    r#"<svg class="brand-mark" width="34" height="26" viewBox="0 0 34 26" aria-hidden="true">"#,
    r#"<rect class="jar" x="3" y="5" width="8" height="15" rx="2"/><rect class="jar" x="13" y="5" width="8" height="15" rx="2"/>"#,
    r#"<rect class="jar low" x="23" y="10" width="8" height="10" rx="2"/><rect class="lid" x="3" y="2" width="8" height="4" rx="1"/>"#,
    r#"<rect class="lid" x="13" y="2" width="8" height="4" rx="1"/><rect class="plank" x="0" y="21" width="34" height="3"/></svg>"#
);

/// The mark.
pub fn mark() -> AnyView {
    view! { <span class="mark-holder" inner_html=MARK></span> }.into_any()
}

/// Whether the plan is kept, in a word.
fn keeping(desk: Desk) -> Says {
    says(move || {
        let word = match desk.keeping.get() {
            Keeping::Nothing => "",
            Keeping::Waiting => "saving",
            Keeping::Kept => "saved",
            Keeping::Removed | Keeping::Refused(_) => "not saved",
        };
        word.to_owned()
    })
}

/// The choice of how numbers are written; it belongs to the device, not to the plan.
fn number_format(desk: Desk) -> AnyView {
    let options = NumberFormat::ALL.map(|format| {
        let chosen = holds(move || desk.number_format.get() == format);
        view! { <option value=format.sample() prop:selected=chosen>{format.sample()}</option> }
            .into_any()
    });
    let choose = move |event| {
        let sample = event_target_value(&event);
        if let Some(format) = NumberFormat::ALL
            .into_iter()
            .find(|format| format.sample() == sample)
        {
            larder_store::remember_number_format(format);
            desk.number_format.set(format);
        }
    };
    view! {
        <select id="number-format" class="field choice" aria-label="number format" on:change=choose>
            {options.into_iter().collect::<Vec<_>>()}
        </select>
    }
    .into_any()
}

/// The head.
pub fn header(desk: Desk) -> AnyView {
    let is_open = memo(move || desk.is_open.get());
    let tools = when(is_open, move || {
        let name = says(move || desk.plan().name.clone());
        view! {
            <div class="head-plan">
                <button type="button" class="plan-name" aria-haspopup="dialog" on:click=press(move || dialogs::open_plans(desk))>{name}</button>
                <span class="keeping" aria-live="polite">{keeping(desk)}</span>
            </div>
            <div class="head-tools">
                <button type="button" class="button plain icon" aria-label="Undo" disabled=holds(move || !desk.can_undo()) on:click=press(move || desk.undo())>"↶"</button>
                <button type="button" class="button plain icon" aria-label="Redo" disabled=holds(move || !desk.can_redo()) on:click=press(move || desk.redo())>"↷"</button>
                <span class="head-units">{field(desk, "plan/units")}</span>
                {number_format(desk)}
                {button("Print", "button plain wide-only", press(move || desk.print("")))}
                <button type="button" class="button" aria-haspopup="dialog" on:click=press(move || dialogs::open_share(desk))>"Share"</button>
            </div>
        }
        .into_any()
    });
    view! {
        <header class="head">
            <div class="brand">{mark()}<span class="brand-name">"Amp Larder"</span></div>
            {tools}
        </header>
    }
    .into_any()
}

/// Why a plan of a newer form can't be changed, and the way to a copy that can.
fn newer(desk: Desk) -> AnyView {
    let why = memo(move || desk.plan().newer.as_ref().map(|newer| newer.says()));
    part(move || {
        let Some(says) = why.get() else {
            return none();
        };
        let copy = press(move || desk.open_new(desk.plan_now().as_ref().clone().into_own()));
        view! {
            <div class="notice newer-notice" role="status">
                <p>{says}</p>
                {quiet("Make a copy to edit", copy)}
                {quiet("Download the original", press(move || dialogs::download(desk)))}
            </div>
        }
        .into_any()
    })
}

/// What is to be said, and what a browser that keeps nothing means.
pub fn notice(desk: Desk) -> AnyView {
    let refused = memo(move || match desk.keeping.get() {
        Keeping::Refused(why) => Some(why),
        _ => None,
    });
    let refused_says = part(move || {
        let says = match refused.get() {
            None => return none(),
            Some(Refusal::Forbidden) => {
                "This browser won't save. Download the plan before closing the page."
            }
            Some(Refusal::Full) => {
                "This browser's store is full, so the last change isn't saved. Download the plan, or remove one you no longer need."
            }
        };
        view! {
            <div class="notice bad-notice" role="alert">
                <p>{says}</p>
                {quiet("Download the plan", press(move || dialogs::download(desk)))}
            </div>
        }
        .into_any()
    });
    let said = part(move || {
        let Some(notice) = desk.notice.get() else {
            return none();
        };
        let action = match notice.action {
            Some((word, act)) => quiet(&word, press(move || act.run(()))),
            None => none(),
        };
        view! {
            <div class="notice" role="status">
                <p>{notice.says}</p>
                {action}
                {quiet("Close", press(move || desk.notice.set(None)))}
            </div>
        }
        .into_any()
    });
    view! { {newer(desk)}{refused_says}{said} }.into_any()
}
