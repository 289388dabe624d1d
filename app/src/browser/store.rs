//! The browser's stores, with every refusal as a value: no access can throw.

use gloo_storage::{LocalStorage, SessionStorage, Storage};
use wasm_bindgen::JsCast;

/// Why something could not be kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// The browser keeps nothing for this page.
    Forbidden,
    /// There is no room left.
    Full,
}

/// One of the two stores of the browser.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Area {
    /// Shared by all tabs, kept when they close.
    Local,
    /// Of this tab alone, kept over a reload.
    Tab,
}

/// The store itself: the only place that asks the browser for it.
fn area(area: Area) -> Result<web_sys::Storage, Refusal> {
    let window = super::page::window().ok_or(Refusal::Forbidden)?;
    let store = match area {
        Area::Local => window.local_storage(),
        Area::Tab => window.session_storage(),
    };
    store.ok().flatten().ok_or(Refusal::Forbidden)?;
    // `raw` is safe after this check; the crate's `get`, `delete` and `length` throw where the browser does.
    Ok(match area {
        Area::Local => LocalStorage::raw(),
        Area::Tab => SessionStorage::raw(),
    })
}

/// The text under a key, byte for byte; none where there is none.
///
/// # Errors
/// Where the browser refuses.
pub fn read(from: Area, key: &str) -> Result<Option<String>, Refusal> {
    let read = area(from)?.get_item(key);
    read.map_err(|_| Refusal::Forbidden)
}

/// Writes text under a key.
///
/// # Errors
/// Where the browser refuses.
pub fn write(to: Area, key: &str, text: &str) -> Result<(), Refusal> {
    let written = area(to)?.set_item(key, text);
    written.map_err(|_| Refusal::Full)
}

/// Removes a key.
///
/// # Errors
/// Where the browser refuses; the key stays.
pub fn remove(key: &str) -> Result<(), Refusal> {
    let removed = area(Area::Local)?.remove_item(key);
    removed.map_err(|_| Refusal::Forbidden)
}

/// Every key with a prefix.
///
/// # Errors
/// Where the browser refuses any part of the reading.
pub fn keys(prefix: &str) -> Result<Vec<String>, Refusal> {
    let store = area(Area::Local)?;
    let count = store.length().map_err(|_| Refusal::Forbidden)?;
    let mut keys = Vec::new();
    for at in 0..count {
        let key = store.key(at).map_err(|_| Refusal::Forbidden)?;
        keys.extend(key.filter(|key| key.starts_with(prefix)));
    }
    Ok(keys)
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
