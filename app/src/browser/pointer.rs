//! What a pointer takes hold of in a drawing.

use wasm_bindgen::JsCast;
use web_sys::{Element, PointerEvent};

/// The mark `data-thing` of what is under a pointer, or of what it lies in; from then on the pointer's moves go to whoever
/// hears this event, until it is lifted.
pub fn take(event: &PointerEvent) -> Option<String> {
    let under: Element = event.target()?.dyn_into().ok()?;
    let marked = under.closest("[data-thing]").ok()??;
    hold(event);
    marked.get_attribute("data-thing")
}

/// Lets a pointer's moves go to whoever hears this event, until it is lifted.
pub fn hold(event: &PointerEvent) {
    if let Some(hears) = event
        .current_target()
        .and_then(|it| it.dyn_into::<Element>().ok())
    {
        let _ = hears.set_pointer_capture(event.pointer_id());
    }
}
