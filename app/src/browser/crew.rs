//! The page's hands: workers that do the core's jobs, or the page itself in small pieces. `public/boot.js` makes them.

use wasm_bindgen::prelude::{Closure, wasm_bindgen};

/// What is heard of a hand: which one, of which run, the numbers of its job, and how long that took [ms]; below 0 where the crew
/// has failed and ended.
type Said = dyn FnMut(u32, u32, Vec<f64>, f64);

#[wasm_bindgen]
extern "C" {
    /// Hands that have been made.
    pub type Crew;

    #[wasm_bindgen(catch, js_name = larderCrew)]
    fn make(here: bool, said: &Closure<Said>) -> Result<Crew, wasm_bindgen::JsValue>;

    /// How many there are.
    #[wasm_bindgen(method, getter)]
    pub fn count(this: &Crew) -> u32;

    /// Lays a plan out before each, as it is saved, with the next jobs that it is given.
    #[wasm_bindgen(method)]
    pub fn plan(this: &Crew, plan: &str);

    /// Gives one of them jobs of a run, four numbers each.
    #[wasm_bindgen(method)]
    pub fn give(this: &Crew, hand: u32, run: u32, jobs: Vec<u32>);

    /// Milliseconds since the page was opened.
    #[wasm_bindgen(method)]
    pub fn now(this: &Crew) -> f64;

    /// Notes in the browser's timeline how long something took [ms], and since when.
    #[wasm_bindgen(method)]
    pub fn measure(this: &Crew, name: &str, start: f64, duration: f64);
}

/// Makes a crew, of workers or `here` on the page; none where the browser refuses.
pub fn crew(here: bool, said: Box<Said>) -> Option<Crew> {
    let said = Closure::wrap(said);
    let made = make(here, &said).ok();
    // A crew lasts as long as the page.
    said.forget();
    made
}
