//! The browser's local store, through gloo-storage, with every refusal as a value.

use gloo_storage::{LocalStorage, Storage};
use serde_json::Value;
use wasm_bindgen::JsCast;

/// Why something could not be kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// The browser keeps nothing for this page.
    Forbidden,
    /// There is no room left.
    Full,
}

/// What stands under a key.
#[derive(Clone, Debug, PartialEq)]
pub enum Stored {
    /// Sound JSON.
    Json(Value),
    /// Text that is not JSON.
    Unreadable(String),
}

/// Whether the store may be used at all.
pub fn allowed() -> bool {
    super::page::window().is_some_and(|w| matches!(w.local_storage(), Ok(Some(_))))
}

/// Reads a key.
pub fn read(key: &str) -> Option<Stored> {
    if !allowed() {
        return None;
    }
    match LocalStorage::get::<Value>(key) {
        Ok(value) => Some(Stored::Json(value)),
        Err(_) => LocalStorage::raw()
            .get_item(key)
            .ok()
            .flatten()
            .map(Stored::Unreadable),
    }
}

/// Writes a key.
///
/// # Errors
/// Where the browser refuses.
pub fn write(key: &str, value: &Value) -> Result<(), Refusal> {
    if !allowed() {
        return Err(Refusal::Forbidden);
    }
    let text = larder::link::to_line(value);
    LocalStorage::raw()
        .set_item(key, &text)
        .map_err(|_| Refusal::Full)
}

/// Moves text to another key, so that it is never overwritten. True where it stands there now.
pub fn set_aside(from: &str, to: &str, text: &str) -> bool {
    let kept = allowed() && LocalStorage::raw().set_item(to, text).is_ok();
    if kept {
        LocalStorage::delete(from);
    }
    kept
}

/// Removes a key.
pub fn remove(key: &str) {
    if allowed() {
        LocalStorage::delete(key);
    }
}

/// Every key that begins so.
pub fn keys(prefix: &str) -> Vec<String> {
    if !allowed() {
        return Vec::new();
    }
    let raw = LocalStorage::raw();
    let all = (0..LocalStorage::length()).filter_map(|at| raw.key(at).ok().flatten());
    all.filter(|key| key.starts_with(prefix)).collect()
}

/// Calls back with the key that another window of this page changed.
pub fn on_change_elsewhere(mut then: impl FnMut(String) + 'static) {
    let listener = wasm_bindgen::closure::Closure::<dyn FnMut(web_sys::StorageEvent)>::new(
        move |event: web_sys::StorageEvent| {
            if let Some(key) = event.key() {
                then(key);
            }
        },
    );
    if let Some(window) = super::page::window() {
        let _ =
            window.add_event_listener_with_callback("storage", listener.as_ref().unchecked_ref());
    }
    listener.forget();
}
