//! The list of towns: a file beside the page, fetched when it is first asked for. `public/boot.js` knows its name.

use wasm_bindgen::{JsValue, prelude::wasm_bindgen};
use wasm_bindgen_futures::spawn_local;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(catch, js_name = larderTowns)]
    async fn larder_towns() -> Result<JsValue, JsValue>;
}

/// Fetches the list; `then` gets its text, or nothing where it can't be had.
pub fn fetch(then: impl FnOnce(Option<String>) + 'static) {
    spawn_local(async move {
        let text = larder_towns().await.ok();
        then(text.and_then(|text| text.as_string()));
    });
}
