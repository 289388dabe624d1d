//! The strip above a phone's keyboard while a field has the focus: units, steps, fractions, undo, next, the answer.

use crate::browser::page;
use crate::state::desk::Desk;
use larder::words;
use leptos::{ev, prelude::*};

/// Keeps the focus in the field while a button of the strip is pressed.
fn hold(event: ev::PointerEvent) {
    event.prevent_default();
}

/// The strip.
pub fn strip(desk: Desk) -> AnyView {
    let touch = crate::browser::viewport::is_touch();
    let shown = Memo::new(move |_| touch && desk.focused.with(Option::is_some));
    let answer = move || {
        let units = desk.plan.with(|plan| plan.units);
        desk.answer.with(|answer| {
            let report = answer.report.as_ref()?;
            let brief = words::brief(report, units).into_iter().next()?;
            Some(if answer.is_stale() {
                "out of date".to_owned()
            } else {
                brief.head
            })
        })
    };
    let step = move |by: f64| {
        move |_| {
            if let Some(field) = desk.focused.get_untracked() {
                field.step.run(by)
            }
        }
    };
    let append = move |what: &'static str| {
        move |_| {
            if let Some(field) = desk.focused.get_untracked() {
                let text = field.text.get_untracked();
                let number: String = text
                    .chars()
                    .take_while(|c| {
                        c.is_ascii_digit() || matches!(c, '.' | ',' | ' ' | '/' | '−' | '-')
                    })
                    .collect();
                field
                    .put
                    .run(format!("{} {what}", number.trim()).trim().to_owned());
            }
        }
    };
    let negate = move |_| {
        if let Some(field) = desk.focused.get_untracked() {
            let text = field.text.get_untracked();
            let text = match text.strip_prefix(['−', '-']) {
                Some(rest) => rest.to_owned(),
                None => format!("−{text}"),
            };
            field.put.run(text);
        }
    };
    let body = move || {
        shown.get().then(|| {
            let field = desk.focused.get();
            let label = field.as_ref().map(|field| field.label.clone()).unwrap_or_default();
            let units = field.map(|field| field.units).unwrap_or_default();
            let lengthy = units.contains(&"in");
            let units = units.into_iter().map(|unit| view! { <button type="button" on:pointerdown=hold on:click=append(unit)>{unit}</button> }).collect_view();
            let fractions = lengthy.then(|| ["1/8", "1/4", "1/2"].map(|part| view! { <button type="button" on:pointerdown=hold on:click=append(part)>{part}</button> }).collect_view());
            view! {
                <div class="strip" role="toolbar" aria-label=format!("Help with {label}")>
                    <p class="strip-answer">{answer}</p>
                    <div class="strip-keys">
                        <button type="button" aria-label="one less" on:pointerdown=hold on:click=step(-1.0)>"−"</button>
                        <button type="button" aria-label="one more" on:pointerdown=hold on:click=step(1.0)>"+"</button>
                        {units}{fractions}
                        <button type="button" aria-label="change the sign" on:pointerdown=hold on:click=negate>"±"</button>
                        <button type="button" on:pointerdown=hold on:click=move |_| desk.undo()>"Undo"</button>
                        <button type="button" class="next" on:pointerdown=hold on:click=|_| page::focus_next_field()>"Next"</button>
                    </div>
                </div>
            }
        })
    };
    view! { {body} }.into_any()
}
