//! What of the page can be seen: the strip above a phone's keyboard follows it.

use wasm_bindgen::{JsCast, closure::Closure};

/// Whether the first pointer is a finger.
pub fn is_touch() -> bool {
    let coarse =
        super::page::window().and_then(|w| w.match_media("(pointer: coarse)").ok().flatten());
    coarse.is_some_and(|query| query.matches())
}

/// Keeps `--keyboard` on the root: how many pixels of the page a keyboard covers from below.
pub fn follow_keyboard() {
    let Some(window) = super::page::window() else {
        return;
    };
    let Some(viewport) = window.visual_viewport() else {
        return;
    };
    let seen = viewport.clone();
    let follow = Closure::<dyn FnMut()>::new(move || {
        let Some(window) = super::page::window() else {
            return;
        };
        let inner = window
            .inner_height()
            .ok()
            .and_then(|h| h.as_f64())
            .unwrap_or(0.0);
        let covered = (inner - seen.height() - seen.offset_top()).max(0.0);
        let root = window.document().and_then(|d| d.document_element());
        if let Some(root) = root.and_then(|r| r.dyn_into::<web_sys::HtmlElement>().ok()) {
            let _ = root
                .style()
                .set_property("--keyboard", &format!("{covered}px"));
        }
    });
    for event in ["resize", "scroll"] {
        let _ = viewport.add_event_listener_with_callback(event, follow.as_ref().unchecked_ref());
    }
    follow.forget();
}

/// How high what is seen of the page is [px]; without end where that is not known.
pub fn height() -> f64 {
    let height = super::page::window().and_then(|w| w.inner_height().ok()?.as_f64());
    height.unwrap_or(f64::INFINITY)
}

/// Whether an element, by its id, is in view of such a height [px]; one that isn't there is.
pub fn is_in_view(id: &str, height: f64) -> bool {
    let place = super::page::element(id).map(|element| element.get_bounding_client_rect());
    place.is_none_or(|place| place.bottom() > 0.0 && place.top() < height)
}

/// How wide the page is [px].
pub fn width() -> f64 {
    let root = super::page::window()
        .and_then(|w| w.document())
        .and_then(|d| d.document_element());
    root.map_or(1024.0, |root| f64::from(root.client_width()))
}
