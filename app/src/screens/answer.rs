//! The answer: its sentences and shelves, always in view; on a phone a bar at the thumb that opens upward.

use super::findings::{go_to, gravest};
use super::guesses;
use super::list::quiet;
use super::shell::Width;
use super::stores::{shelf_table, shelves};
use crate::pictures::svg::escape;
use crate::state::desk::Desk;
use crate::view::{holds, inside, memo, none, part, press, says, unfolded, when};
use larder::words::{self, Span, Tone};
use leptos::prelude::*;
use std::time::Duration;

/// Quiet after typing before the changed answer is spoken.
const SPEAK: Duration = Duration::from_millis(1000);

fn class(tone: Tone) -> &'static str {
    match tone {
        Tone::Plain => "",
        Tone::Good => "good",
        Tone::Bad => "bad",
    }
}

fn span(span: Span) -> AnyView {
    let class = class(span.tone);
    view! { <span class=class>{span.text}</span> }.into_any()
}

/// A sentence as markup.
fn line(line: &[Span]) -> String {
    let spans = line.iter().map(|span| {
        let (class, text) = (class(span.tone), escape(&span.text));
        format!(r#"<span class="{class}">{text}</span>"#)
    });
    format!(
        r#"<p class="answer-line">{}</p>"#,
        spans.collect::<String>()
    )
}

/// The sentences, one a candidate.
pub fn sentences(desk: Desk) -> Memo<Vec<Vec<Span>>> {
    // A year takes longer than a keystroke: its part of a sentence follows when typing pauses, in view or not, for it is spoken.
    let of_year = desk.of_year("said");
    memo(move || {
        let (report, year) = (desk.report_at_once(), of_year.year());
        let units = desk.plan_at("plan/units").units;
        report.map_or(Vec::new(), |report| {
            words::answer(&report, year.as_deref(), units)
        })
    })
}

/// Why the answer is out of date, and a way to what is to be mended.
fn out_of_date(desk: Desk) -> AnyView {
    let fault = memo(move || {
        let path = desk.faults.with(|faults| faults.keys().next().cloned())?;
        let called = words::field_called(&desk.plan(), &path);
        desk.is_stale().then_some((path, called))
    });
    let has_report = memo(move || desk.report().is_some());
    part(move || {
        let Some((path, called)) = fault.get() else {
            return none();
        };
        let says = if has_report.get() {
            "Out of date: mend "
        } else {
            "No answer yet: mend "
        };
        view! { <p class="out-of-date">{says}{quiet(&called, press(move || go_to(&path)))}"."</p> }
            .into_any()
    })
}

/// The sentences of the answer as paragraphs.
fn paragraphs(lines: Memo<Vec<Vec<Span>>>) -> AnyView {
    let markup = says(move || {
        lines.with(|lines| match &lines[..] {
            [] => r#"<p class="answer-line">Nothing to answer yet.</p>"#.to_owned(),
            lines => lines.iter().map(|its| line(its)).collect(),
        })
    });
    view! { <div node_ref=inside(markup)></div> }.into_any()
}

/// The card.
pub fn card(desk: Desk, lines: Memo<Vec<Vec<Span>>>, width: Width) -> AnyView {
    let class = says(move || {
        if desk.is_stale() {
            "answer stale"
        } else {
            "answer"
        }
        .to_owned()
    });
    let decides = memo(move || words::decides(&*desk.report()?, desk.plan().units));
    let decides = part(move || match decides.get() {
        Some(says) => view! { <p class="decides">{says}</p> }.into_any(),
        None => none(),
    });
    let facts = unfolded("The shelves, as a table".to_owned(), move || {
        desk.report()
            .map_or_else(none, |report| shelf_table(&report))
    });
    view! {
        <aside class=class id="answer" aria-label="The answer">
            <div class="answer-card">
                {out_of_date(desk)}
                {paragraphs(lines)}
                {decides}
                {gravest(desk)}
                {guesses::guesses(desk)}
                {shelves(desk, width.card)}
                {facts}
            </div>
        </aside>
    }
    .into_any()
}

/// The bar at the thumb: the chosen bank and its nearest rival in brief; it opens the whole card.
pub fn bar(desk: Desk, lines: Memo<Vec<Vec<Span>>>, width: Width) -> AnyView {
    let open = RwSignal::new(false);
    let is_open = memo(move || open.get());
    let brief = memo(move || {
        let report = desk.report_at_once();
        let units = desk.plan_at("plan/units").units;
        report.map_or(Vec::new(), |report| words::brief(&report, units))
    });
    let stale = memo(move || desk.is_stale() && desk.faults.with(|faults| !faults.is_empty()));
    let class = says(move || {
        let typing = desk.focused.with(Option::is_some);
        if typing {
            "answer-bar away"
        } else {
            "answer-bar"
        }
        .to_owned()
    });
    let cells = part(move || {
        if stale.get() {
            return view! { <span class="brief"><strong>"Out of date"</strong><span>"something is to be mended"</span></span> }.into_any();
        }
        let cells = brief.get().into_iter().map(|brief| {
            view! { <span class="brief"><strong>{brief.head}</strong>{span(brief.fit)}</span> }
                .into_any()
        });
        cells.collect::<Vec<_>>().into_any()
    });
    let whole = when(is_open, move || {
        view! { <div class="bar-sheet">{out_of_date(desk)}{paragraphs(lines)}{shelves(desk, width.card)}</div> }.into_any()
    });
    let closed = holds(move || !open.get());
    view! {
        <div class=class>
            <div id="bar-sheet" hidden=closed>{whole}</div>
            <button type="button" class="bar-button" aria-controls="bar-sheet" aria-expanded=says(move || open.get().to_string())
                on:click=press(move || open.update(|open| *open = !*open))>
                <span class="hidden">"The answer in brief. "</span>
                {cells}
                <span class="chevron" aria-hidden="true">{says(move || if open.get() { "⌄" } else { "⌃" }.to_owned())}</span>
            </button>
        </div>
    }
    .into_any()
}

/// Speaks the changed answer once typing has rested.
pub fn live_region(lines: Memo<Vec<Vec<Span>>>) -> AnyView {
    let spoken = RwSignal::new(String::new());
    let timer = StoredValue::new(None::<TimeoutHandle>);
    Effect::new(move |first: Option<()>| {
        let lines = lines.get().into_iter();
        let lines = lines.map(|line| line.into_iter().map(|span| span.text).collect::<String>());
        let text = lines.collect::<Vec<_>>().join(" ");
        if first.is_none() {
            return;
        }
        timer.update_value(|timer| {
            if let Some(old) = timer.take() {
                old.clear();
            }
            *timer = set_timeout_with_handle(move || spoken.set(text), SPEAK).ok();
        });
    });
    view! { <div class="hidden" role="status" aria-live="polite">{says(move || spoken.get())}</div> }.into_any()
}
