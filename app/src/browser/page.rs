//! The document and the window: state attributes, focus, clock, address, print.

use wasm_bindgen::JsCast;
use web_sys::{Document, HtmlElement, ScrollIntoViewOptions, ScrollLogicalPosition, Window};

pub(super) fn window() -> Option<Window> {
    web_sys::window()
}

fn document() -> Option<Document> {
    window()?.document()
}

/// The element into which the page is mounted.
pub fn mount_point() -> Option<HtmlElement> {
    document()?.get_element_by_id("larder")?.dyn_into().ok()
}

/// Tells the world that the first report stands, and takes the opening note away.
pub fn mark_ready() {
    let Some(document) = document() else { return };
    if let Some(opening) = document.get_element_by_id("opening") {
        opening.remove();
    }
    set_root("data-state", "ready");
}

/// Sets an attribute of the document's root.
pub fn set_root(name: &str, value: &str) {
    if let Some(root) = document().and_then(|d| d.document_element()) {
        let _ = root.set_attribute(name, value);
    }
}

/// Removes an attribute of the document's root.
pub fn unset_root(name: &str) {
    if let Some(root) = document().and_then(|d| d.document_element()) {
        let _ = root.remove_attribute(name);
    }
}

/// Names the document.
pub fn set_title(title: &str) {
    if let Some(document) = document() {
        document.set_title(title);
    }
}

/// Milliseconds since 1970, by the device's clock.
pub fn now_ms() -> f64 {
    js_sys::Date::now()
}

/// Has the browser ask before this page is left while something is unsaved.
pub fn ask_before_leaving(is_unsaved: impl Fn() -> bool + 'static) {
    let heard = leptos::prelude::window_event_listener_untyped("beforeunload", move |event| {
        if is_unsaved() {
            event.prevent_default();
        }
    });
    leptos::prelude::on_cleanup(move || heard.remove());
}

/// The device's offset from universal time today [h].
pub fn utc_offset_h() -> f64 {
    -js_sys::Date::new_0().get_timezone_offset() / 60.0
}

/// The browser's language tag, such as `en-GB`.
pub fn language() -> String {
    window()
        .and_then(|w| w.navigator().language())
        .unwrap_or_default()
}

/// A number with seven digits before its decimal mark and one behind it, as the browser writes it in its language; empty where it
/// names no language that it knows.
pub fn written_number() -> String {
    let member = |of: &wasm_bindgen::JsValue, name: &str| js_sys::Reflect::get(of, &name.into());
    let write = || {
        let prototype = member(&member(&js_sys::global(), "Number")?, "prototype")?;
        let write: js_sys::Function = member(&prototype, "toLocaleString")?.dyn_into()?;
        write.call1(&1_234_567.5.into(), &language().into())
    };
    let written: Result<wasm_bindgen::JsValue, wasm_bindgen::JsValue> = write();
    written
        .ok()
        .and_then(|text| text.as_string())
        .unwrap_or_default()
}

/// The part of the address behind `#`, without it.
pub fn fragment() -> String {
    let hash = window().and_then(|w| w.location().hash().ok());
    hash.unwrap_or_default().trim_start_matches('#').to_owned()
}

/// The address without its fragment.
pub fn address() -> String {
    let href = window().and_then(|w| w.location().href().ok());
    let href = href.unwrap_or_default();
    href.split('#').next().unwrap_or_default().to_owned()
}

/// Takes the fragment out of the address without leaving a step in the history.
pub fn clear_fragment() {
    if let Some(history) = history() {
        let _ = history.replace_state_with_url(&wasm_bindgen::JsValue::NULL, "", Some(&address()));
    }
}

/// Opens the print window, with nothing but a part of the page where one is named.
pub fn print(part: &str) {
    if !part.is_empty() {
        set_root("data-print", part);
    }
    if let Some(window) = window() {
        let _ = window.print();
    }
    unset_root("data-print");
}

pub(super) fn element(id: &str) -> Option<HtmlElement> {
    document()?.get_element_by_id(id)?.dyn_into().ok()
}

/// Focuses an element and brings it to the middle of the view.
pub fn go_to(id: &str) {
    let Some(target) = element(id) else { return };
    let options = ScrollIntoViewOptions::new();
    options.set_block(ScrollLogicalPosition::Center);
    target.scroll_into_view_with_scroll_into_view_options(&options);
    let _ = target.focus();
}

/// Whether there is such an element.
pub fn is_there(id: &str) -> bool {
    element(id).is_some()
}

/// Opens the closed drawers of rows that stand at such places in the plan.
pub fn press_in_rows(is_wanted: &dyn Fn(&str) -> bool) {
    let rows = document().and_then(|document| document.query_selector_all(".row[data-at]").ok());
    let Some(rows) = rows else { return };
    for nth in 0..rows.length() {
        let row = rows
            .get(nth)
            .and_then(|row| row.dyn_into::<HtmlElement>().ok());
        let Some(row) = row else { continue };
        let opener = row
            .query_selector(".more[aria-expanded=false]")
            .ok()
            .flatten();
        if row
            .get_attribute("data-at")
            .is_some_and(|at| is_wanted(&at))
            && let Some(opener) = opener.and_then(|it| it.dyn_into::<HtmlElement>().ok())
        {
            opener.click();
        }
    }
}

/// Focuses an element where it stands.
pub fn focus(id: &str) {
    if let Some(target) = element(id) {
        let _ = target.focus();
    }
}

/// Opens every closed `<details>` around an element, so that it can be seen.
pub fn reveal(id: &str) {
    let mut at = element(id).and_then(|e| e.parent_element());
    while let Some(parent) = at {
        if parent.tag_name() == "DETAILS" {
            let _ = parent.set_attribute("open", "");
        }
        at = parent.parent_element();
    }
}

/// Whether the `<details>` that an event is about stands open.
pub fn is_open(event: &web_sys::Event) -> bool {
    let details = event
        .target()
        .and_then(|it| it.dyn_into::<HtmlElement>().ok());
    details.is_some_and(|details| details.has_attribute("open"))
}

/// The id of the field that an event is about; none where the field has taken the event for itself.
pub fn event_field(event: &web_sys::KeyboardEvent) -> Option<String> {
    let field: HtmlElement = event.target()?.dyn_into().ok()?;
    let taken = event.default_prevented() && field.get_attribute("role").is_some();
    (!taken && !field.id().is_empty()).then(|| field.id())
}

/// Focuses the field after (or before) the one that has the focus, in the order of the page.
pub fn focus_next_field() {
    let Some(document) = document() else { return };
    let Ok(fields) = document.query_selector_all("input.field, select.field") else {
        return;
    };
    let active = document.active_element();
    let mut found = false;
    for at in 0..fields.length() {
        let Some(field) = fields
            .get(at)
            .and_then(|n| n.dyn_into::<HtmlElement>().ok())
        else {
            continue;
        };
        if found && field.offset_parent().is_some() {
            let _ = field.focus();
            return;
        }
        found = found
            || active
                .as_ref()
                .is_some_and(|a| a.is_same_node(Some(&field)));
    }
}

/// Takes the focus from whatever has it.
pub fn blur() {
    if let Some(active) = document().and_then(|d| d.active_element())
        && let Ok(active) = active.dyn_into::<HtmlElement>()
    {
        let _ = active.blur();
    }
}

/// Opens or closes a `<dialog>` by its id. An open one is a step of the history, so that the back button closes it.
pub fn dialog(id: &str, open: bool) {
    let Some(dialog) = element(id).and_then(|e| e.dyn_into::<web_sys::HtmlDialogElement>().ok())
    else {
        return;
    };
    if open && !dialog.open() {
        let _ = dialog.show_modal();
        if let Some(history) = history() {
            let _ = history.push_state(&id.into(), "");
        }
    } else if !open && dialog.open() {
        dialog.close();
    }
}

/// A dialog was closed, by whatever means: its step of the history goes, unless it was that which closed it.
pub fn dialog_closed(id: &str) {
    if let Some(history) = history()
        && history.state().is_ok_and(|state| state == id)
    {
        let _ = history.back();
    }
}

fn history() -> Option<web_sys::History> {
    window()?.history().ok()
}
