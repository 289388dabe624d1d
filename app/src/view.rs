//! Closures of few types. A view of leptos is compiled anew for every closure's type in it; boxed, hundreds of closures
//! are one type, which keeps the page small and its build short.
//! Architecture invariant: nothing here knows a battery or a plan.

use crate::browser::{markup, page};
use leptos::ev::MouseEvent;
use leptos::html::Div;
use leptos::prelude::*;

/// Text that follows what it reads, as a child or an attribute.
pub type Says = Box<dyn FnMut() -> String + Send>;
/// A truth that follows what it reads, as an attribute.
pub type Holds = Box<dyn FnMut() -> bool + Send>;
/// What a click does.
pub type Press = Box<dyn FnMut(MouseEvent)>;

/// Text that follows what it reads.
pub fn says(text: impl FnMut() -> String + Send + 'static) -> Says {
    Box::new(text)
}

/// A truth that follows what it reads.
pub fn holds(truth: impl FnMut() -> bool + Send + 'static) -> Holds {
    Box::new(truth)
}

/// What a click does.
pub fn press(mut act: impl FnMut() + 'static) -> Press {
    Box::new(move |_| act())
}

/// Hears an event of the window, by its name, for as long as who hears it stands on the page.
pub fn hear(event: &str, act: impl Fn() + 'static) {
    fn boxed(event: &str, act: Box<dyn Fn()>) {
        let heard = window_event_listener_untyped(event, move |_| act());
        on_cleanup(move || heard.remove());
    }
    boxed(event, Box::new(act));
}

/// A part of the page that is drawn anew when what it reads changes.
pub fn part(draw: impl FnMut() -> AnyView + Send + 'static) -> AnyView {
    let draw: Box<dyn FnMut() -> AnyView + Send> = Box::new(draw);
    draw.into_any()
}

/// A part of the page that stands only while something holds.
pub fn when(truth: Memo<bool>, draw: impl Fn() -> AnyView + Send + 'static) -> AnyView {
    part(move || if truth.get() { draw() } else { none() })
}

/// An element whose inside is markup that follows what it reads; of it, only what has changed is written anew.
pub fn inside(mut markup: Says) -> NodeRef<Div> {
    let node = NodeRef::new();
    Effect::new(move |had: Option<String>| {
        let (had, now) = (had.unwrap_or_default(), markup());
        node.get().map_or(String::new(), |element| {
            markup::rewrite_in(&element, &had, &now);
            now
        })
    });
    node
}

/// Facts under a line that opens them: made only while they are open.
pub fn unfolded(line: String, mut draw: impl FnMut() -> AnyView + Send + 'static) -> AnyView {
    let is_open = RwSignal::new(false);
    let facts = part(move || if is_open.get() { draw() } else { none() });
    view! {
        <details class="facts" on:toggle=move |event| is_open.set(page::is_open(&event))>
            <summary>{line}</summary>
            {facts}
        </details>
    }
    .into_any()
}

/// Nothing.
pub fn none() -> AnyView {
    ().into_any()
}

/// A value that tells its readers only when it has changed.
pub fn memo<T: PartialEq + Send + Sync + 'static>(
    value: impl Fn() -> T + Send + Sync + 'static,
) -> Memo<T> {
    fn boxed<T: PartialEq + Send + Sync + 'static>(
        value: Box<dyn Fn() -> T + Send + Sync>,
    ) -> Memo<T> {
        Memo::new(move |_| value())
    }
    boxed(Box::new(value))
}
