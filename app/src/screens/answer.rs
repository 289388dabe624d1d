//! The answer: its sentences and shelves, always in view; on a phone a bar at the thumb that opens upward.

use super::findings::gravest;
use super::shell::Width;
use super::stores::{shelf_table, shelves};
use crate::browser::page;
use crate::fields::field_id;
use crate::state::desk::Desk;
use larder::words::{self, Span, Tone};
use leptos::prelude::*;
use std::time::Duration;

/// Quiet after typing before the changed answer is spoken.
const SPEAK: Duration = Duration::from_millis(1000);

fn span(span: Span) -> AnyView {
    match span.tone {
        Tone::Plain => span.text.into_any(),
        Tone::Good => view! { <span class="good">{span.text}</span> }.into_any(),
        Tone::Bad => view! { <span class="bad">{span.text}</span> }.into_any(),
    }
}

/// The sentences, one a candidate.
fn sentences(desk: Desk) -> Memo<Vec<Vec<Span>>> {
    Memo::new(move |_| {
        let units = desk.plan.with(|plan| plan.units);
        desk.answer.with(|answer| match &answer.report {
            Some(report) => words::answer(report, units),
            None => Vec::new(),
        })
    })
}

/// Why the answer is out of date, and a way to what is to be mended.
fn out_of_date(desk: Desk) -> AnyView {
    let fault = Memo::new(move |_| {
        let shown = desk.faults.with(|faults| faults.keys().next().cloned())?;
        let called = desk.plan.with(|plan| words::field_called(plan, &shown));
        Some((shown, called))
    });
    let stale = Memo::new(move |_| desk.answer.with(|answer| answer.is_stale()));
    let body = move || {
        let (path, called) = fault.get()?;
        let has_report = desk.answer.with(|answer| answer.report.is_some());
        stale.get().then(|| {
            let id = field_id(&path);
            view! {
                <p class="out-of-date">
                    {if has_report { "Out of date: mend " } else { "No answer yet: mend " }}
                    <button type="button" class="quiet" on:click=move |_| {
                        page::reveal(&id);
                        page::go_to(&id);
                    }>{called}</button>"."
                </p>
            }
        })
    };
    view! { {body} }.into_any()
}

/// "Rests on five guesses": a button that goes to the one that moves the answer most.
fn guesses(desk: Desk) -> AnyView {
    let count = Memo::new(move |_| desk.guesses.with(std::collections::BTreeSet::len));
    let body = move || {
        let count = count.get();
        (count > 0).then(|| {
            view! {
                <p class="guesses">
                    "This answer rests on "
                    <button type="button" class="quiet" on:click=move |_| {
                        let path = desk.plan.with_untracked(larder::weigh::heaviest_guess);
                        if let Some(path) = path {
                            let id = field_id(&path);
                            page::reveal(&id);
                            page::go_to(&id);
                        }
                    }>{words::count(count, "guess", "guesses")}</button>"."
                </p>
            }
        })
    };
    view! { {body} }.into_any()
}

/// The card.
pub fn card(desk: Desk, width: Width) -> AnyView {
    let lines = sentences(desk);
    let stale = Memo::new(move |_| desk.answer.with(|answer| answer.is_stale()));
    let paragraphs = move || {
        let lines = lines.get();
        if lines.is_empty() {
            return view! { <p class="answer-line">"Nothing to answer yet."</p> }.into_any();
        }
        lines
            .into_iter()
            .map(|line| view! { <p class="answer-line">{line.into_iter().map(span).collect_view()}</p> })
            .collect_view()
            .into_any()
    };
    let decides = move || {
        desk.answer.with(|answer| {
            answer
                .report
                .as_ref()
                .and_then(|report| words::decides(report, desk.plan.with(|p| p.units)))
        })
    };
    let facts = move || {
        desk.answer
            .with(|answer| answer.report.as_ref().map(|report| shelf_table(report)))
    };
    view! {
        <aside class="answer" aria-label="The answer" class:stale=move || stale.get()>
            <div class="answer-card">
                {out_of_date(desk)}
                {paragraphs}
                {move || decides().map(|says| view! { <p class="decides">{says}</p> })}
                {gravest(desk)}
                {guesses(desk)}
                {shelves(desk, width.card)}
                <details class="facts"><summary>"The shelves, as a table"</summary>{facts}</details>
            </div>
        </aside>
    }
    .into_any()
}

/// The bar at the thumb: the chosen bank and its nearest rival in brief; it opens the whole card.
pub fn bar(desk: Desk, width: Width) -> AnyView {
    let open = RwSignal::new(false);
    let brief = Memo::new(move |_| {
        let units = desk.plan.with(|plan| plan.units);
        desk.answer.with(|answer| {
            answer
                .report
                .as_ref()
                .map(|report| words::brief(report, units))
                .unwrap_or_default()
        })
    });
    let stale = Memo::new(move |_| {
        desk.answer.with(|answer| answer.is_stale())
            && desk.faults.with(|faults| !faults.is_empty())
    });
    let typing = Memo::new(move |_| desk.focused.with(Option::is_some));
    let cells = move || {
        if stale.get() {
            return view! { <span class="brief"><strong>"Out of date"</strong><span>"something is to be mended"</span></span> }.into_any();
        }
        brief
            .get()
            .into_iter()
            .map(|brief| view! { <span class="brief"><strong>{brief.head}</strong>{span(brief.fit)}</span> })
            .collect_view()
            .into_any()
    };
    let lines = sentences(desk);
    let whole = move || {
        open.get().then(|| {
            let lines = lines.get().into_iter().map(|line| view! { <p class="answer-line">{line.into_iter().map(span).collect_view()}</p> }).collect_view();
            view! { <div class="bar-sheet" id="bar-sheet">{out_of_date(desk)}{lines}{shelves(desk, width.card)}</div> }
        })
    };
    view! {
        <div class="answer-bar" class:away=move || typing.get()>
            {whole}
            <button type="button" class="bar-button" aria-controls="bar-sheet" aria-expanded=move || if open.get() { "true" } else { "false" }
                on:click=move |_| open.update(|open| *open = !*open)>
                <span class="hidden">"The answer in brief. "</span>
                {cells}
                <span class="chevron" aria-hidden="true">{move || if open.get() { "⌄" } else { "⌃" }}</span>
            </button>
        </div>
    }
    .into_any()
}

/// Speaks the changed answer once typing has rested.
pub fn live_region(desk: Desk) -> AnyView {
    let lines = sentences(desk);
    let spoken = RwSignal::new(String::new());
    let timer = StoredValue::new(None::<TimeoutHandle>);
    Effect::new(move |first: Option<()>| {
        let text: Vec<String> = lines
            .get()
            .into_iter()
            .map(|line| line.into_iter().map(|span| span.text).collect())
            .collect();
        if first.is_none() {
            return;
        }
        let text = text.join(" ");
        timer.update_value(|timer| {
            if let Some(old) = timer.take() {
                old.clear();
            }
            *timer = set_timeout_with_handle(move || spoken.set(text), SPEAK).ok();
        });
    });
    view! { <div class="hidden" role="status" aria-live="polite">{move || spoken.get()}</div> }
        .into_any()
}
