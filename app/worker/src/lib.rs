//! The core behind a message, for the page's workers: a plan is laid on a bench, jobs come in as numbers and go out as numbers.
//! Knows nothing of a page; `public/worker.js` carries the messages.

use larder::plan::Plan;
use wasm_bindgen::prelude::wasm_bindgen;

/// A plan made ready for jobs.
#[wasm_bindgen]
pub struct Bench(Option<larder::Bench>);

#[wasm_bindgen]
impl Bench {
    /// Lays a plan out, as it is saved; one that is not sound brings nothing.
    #[wasm_bindgen(constructor)]
    pub fn new(plan: &str) -> Self {
        let plan: Option<Plan> = serde_json::from_str(plan).ok();
        let inputs = plan.and_then(|plan| larder::import(&plan).ok());
        Self(inputs.map(larder::Bench::new))
    }

    /// Does a job.
    pub fn work(&mut self, kind: u32, one: u32, two: u32, three: u32) -> Vec<f64> {
        let job = larder::Job::from_numbers([kind, one, two, three]);
        let bench = self.0.as_mut();
        bench
            .zip(job)
            .map_or_else(Vec::new, |(bench, job)| bench.work(job))
    }
}
