//! The strip above a phone's keyboard while a field has the focus: units, steps, fractions, undo, next, the answer.

use crate::browser::page;
use crate::state::desk::{Desk, Focused};
use crate::view::{Press, memo, part, press, says, when};
use larder::words;
use leptos::{ev, prelude::*};

/// Keeps the focus in the field while a button of the strip is pressed.
fn hold(event: ev::PointerEvent) {
    event.prevent_default();
}

fn key(word: &'static str, spoken: &'static str, class: &'static str, act: Press) -> AnyView {
    view! { <button type="button" class=class aria-label=spoken on:pointerdown=hold on:click=act>{word}</button> }.into_any()
}

/// Puts a unit or a fraction behind the number that stands in a field.
fn append(field: &Focused, what: &str) {
    let text = field.text.get_untracked();
    let is_of_number =
        |c: &char| c.is_ascii_digit() || ".,/−-+ '’½¼¾\u{a0}\u{202f}\u{2009}".contains(*c);
    let number: String = text.chars().take_while(is_of_number).collect();
    field.put.run(
        format!("{} {what}", number.trim().trim_end_matches(['\'', '’']))
            .trim()
            .to_owned(),
    );
}

fn negate(field: &Focused) {
    let text = field.text.get_untracked();
    field.put.run(match text.strip_prefix(['−', '-']) {
        Some(rest) => rest.to_owned(),
        None => format!("−{text}"),
    });
}

/// The strip.
pub fn strip(desk: Desk) -> AnyView {
    let touch = crate::browser::viewport::is_touch();
    let shown = memo(move || touch && desk.focused.with(Option::is_some));
    let on_field = move |act: Box<dyn Fn(&Focused)>| {
        press(move || {
            if let Some(field) = desk.focused.get_untracked() {
                act(&field);
            }
        })
    };
    when(shown, move || {
        let answer = says(move || {
            let report = desk.report_at_once();
            let brief = report.and_then(|report| {
                words::brief(&report, desk.plan_now().units)
                    .into_iter()
                    .next()
            });
            match brief {
                Some(_) if desk.is_stale() => "out of date".to_owned(),
                Some(brief) => brief.head,
                None => String::new(),
            }
        });
        let called = says(move || {
            let label = desk
                .focused
                .with(|field| field.as_ref().map(|field| field.label.clone()));
            format!("Help with {}", label.unwrap_or_default())
        });
        let units = part(move || {
            let units = desk
                .focused
                .with(|field| field.as_ref().map(|field| field.units.clone()))
                .unwrap_or_default();
            let fractions: &[&str] = if units.contains(&"in") {
                &["1/8", "1/4", "1/2"]
            } else {
                &[]
            };
            let words = units.iter().chain(fractions).copied();
            let keys = words.map(|word| {
                key(
                    word,
                    word,
                    "",
                    on_field(Box::new(move |field| append(field, word))),
                )
            });
            keys.collect::<Vec<_>>().into_any()
        });
        view! {
            <div class="strip" role="toolbar" aria-label=called>
                <p class="strip-answer">{answer}</p>
                <div class="strip-keys">
                    {key("−", "one less", "", on_field(Box::new(|field| field.step.run(-1.0))))}
                    {key("+", "one more", "", on_field(Box::new(|field| field.step.run(1.0))))}
                    {units}
                    {key("±", "change the sign", "", on_field(Box::new(negate)))}
                    {key("Undo", "Undo", "", press(move || desk.undo()))}
                    {key("Next", "Next", "next", press(page::focus_next_field))}
                </div>
            </div>
        }
        .into_any()
    })
}
