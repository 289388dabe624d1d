//! Files, the clipboard and the device's own place, each only when asked for.

use wasm_bindgen::{JsCast, JsValue, closure::Closure};
use wasm_bindgen_futures::{JsFuture, spawn_local};

/// Hands a text to the person as a file.
pub fn download(name: &str, kind: &str, text: &str) -> bool {
    let made = || -> Option<()> {
        let parts = js_sys::Array::of1(&JsValue::from_str(text));
        let options = web_sys::BlobPropertyBag::new();
        options.set_type(kind);
        let blob = web_sys::Blob::new_with_str_sequence_and_options(&parts, &options).ok()?;
        let url = web_sys::Url::create_object_url_with_blob(&blob).ok()?;
        let document = super::page::window()?.document()?;
        let link: web_sys::HtmlAnchorElement =
            document.create_element("a").ok()?.dyn_into().ok()?;
        link.set_href(&url);
        link.set_download(name);
        link.click();
        let _ = web_sys::Url::revoke_object_url(&url);
        Some(())
    };
    made().is_some()
}

/// Puts text on the clipboard; `then` hears whether it could.
pub fn copy(text: &str, then: impl FnOnce(bool) + 'static) {
    let Some(window) = super::page::window() else {
        return then(false);
    };
    let navigator = window.navigator();
    let has_clipboard = js_sys::Reflect::get(&navigator, &"clipboard".into())
        .is_ok_and(|clipboard| clipboard.is_object());
    if !has_clipboard {
        return then(false);
    }
    let copying = navigator.clipboard().write_text(text);
    spawn_local(async move { then(JsFuture::from(copying).await.is_ok()) });
}

/// Reads the file chosen in a file field; refuses one of more than `most` bytes unread.
pub fn read_chosen(
    event: &leptos::ev::Event,
    most: f64,
    then: impl FnOnce(Result<(String, String), f64>) + 'static,
) {
    let chosen = || -> Option<web_sys::File> {
        let input: web_sys::HtmlInputElement = event.target()?.dyn_into().ok()?;
        let file = input.files()?.get(0);
        if let Some(file) = &file {
            let _ = file.name();
        }
        file
    };
    let Some(file) = chosen() else { return };
    if file.size() > most {
        return then(Err(file.size()));
    }
    let name = file.name();
    let reading = file.text();
    let input = event.target();
    spawn_local(async move {
        let text = JsFuture::from(reading)
            .await
            .ok()
            .and_then(|t| t.as_string());
        if let Some(input) = input.and_then(|t| t.dyn_into::<web_sys::HtmlInputElement>().ok()) {
            input.set_value("");
        }
        then(Ok((name, text.unwrap_or_default())));
    });
}

/// Asks the device for its place; latitude and longitude, or none where it is refused.
pub fn locate(then: impl FnOnce(Option<(f64, f64)>) + 'static) {
    let Some(places) = super::page::window().and_then(|w| w.navigator().geolocation().ok()) else {
        return then(None);
    };
    let then = std::rc::Rc::new(std::cell::RefCell::new(Some(then)));
    let refused = then.clone();
    let found = Closure::once_into_js(move |position: JsValue| {
        let number = |name: &str| {
            let at = js_sys::Reflect::get(&position, &"coords".into()).ok()?;
            js_sys::Reflect::get(&at, &name.into()).ok()?.as_f64()
        };
        if let Some(then) = then.borrow_mut().take() {
            then(number("latitude").zip(number("longitude")));
        }
    });
    let not_found = Closure::once_into_js(move |_: JsValue| {
        if let Some(then) = refused.borrow_mut().take() {
            then(None);
        }
    });
    let _ = places.get_current_position_with_error_callback(
        found.unchecked_ref(),
        Some(not_found.unchecked_ref()),
    );
}

/// The text of a paste where it has more than one line.
pub fn pasted_lines(event: &leptos::ev::ClipboardEvent) -> Option<String> {
    let text = event.clipboard_data()?.get_data("text/plain").ok()?;
    (text.trim().lines().count() > 1).then_some(text)
}
