//! The same plan, the same seed, the same bits: here, in Chromium and in Firefox, with WebAssembly's lanes and without.

use crate::firefox::Firefox;
use crate::sure::{drawn_here, hut};
use crate::visit::{Screen, Visit, address};
use amp_larder_tests::STARTS;
use larder::plan::Plan;
use larder::{Bench, Job, Survey, Wanted};
use serde_json::json;

/// The jobs of a small survey of a plan, and the bits of all that comes of them here.
fn worked_here(plan: &Plan) -> (Vec<Job>, String) {
    let inputs = larder::import(plan).expect("a sound plan");
    let wanted = Wanted {
        years: 40,
        until_narrow: false,
        map: Some(3.0),
        draws: 10,
    };
    let mut survey = Survey::new(&inputs, wanted);
    let mut bench = Bench::new(inputs);
    let (mut jobs, mut bits) = (Vec::new(), Vec::new());
    while let Some(job) = survey.next_job() {
        let numbers = bench.work(job);
        survey.put(job, &numbers);
        jobs.push(job);
        bits.extend(
            numbers
                .into_iter()
                .map(|number| number.to_bits().to_string()),
        );
    }
    assert!(bits.len() > 1000, "{} numbers", bits.len());
    (jobs, bits.join(","))
}

/// A script that has a build of the worker do jobs, and returns the bits of all that comes of them.
fn worked_there(build: &str, plan: &Plan, jobs: &[Job]) -> String {
    // By the names in the page, for the folder may hold parts of the build before as well.
    let folder = amp_larder::build::own_folder();
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).expect("the page is built");
    let named = |text: &str, start: &str| {
        let at = text.find(start).expect("a name");
        text[at..][..start.len() + "0123456789abcdef.js".len()].to_owned()
    };
    let boot = read(&named(&read("index.html"), "boot-"));
    let file = named(&boot, &format!("worker-{build}-"));
    let jobs: Vec<u32> = jobs.iter().flat_map(|job| job.to_numbers()).collect();
    format!(
        "const [file, plan, jobs] = {}; const worker = new Worker(file, {{ type: 'module' }}); \
         return new Promise((done, fail) => {{ \
             worker.onerror = event => fail(event.message); \
             worker.onmessage = ({{ data }}) => done(data.done.flatMap(({{ numbers }}) => [...new BigUint64Array(numbers.slice().buffer)]).join()); \
             worker.postMessage({{ plan, run: 0, jobs: new Uint32Array(jobs) }}); }})",
        json!([
            file,
            serde_json::to_string(plan).expect("a plan's text"),
            jobs
        ])
    )
}

/// The starting points, with what the builds must bring.
fn told() -> impl Iterator<Item = (String, String, String)> {
    let plans = STARTS.map(|(name, text)| (name, larder::link::from_text(text).expect("a plan")));
    plans.into_iter().flat_map(|(name, plan)| {
        let (jobs, here) = worked_here(&plan);
        ["plain", "lanes"].map(|build| {
            let script = worked_there(build, &plan, &jobs);
            (format!("{name}, {build}"), script, here.clone())
        })
    })
}

#[tokio::test]
async fn chromium_draws_the_same_bits() {
    let visit = Visit::open(Screen::Desk(1280)).await;
    for (what, script, here) in told() {
        assert!(visit.run(&script).await == here.as_str(), "{what}");
    }
    visit.done().await;
}

#[test]
fn firefox_draws_the_same_bits() {
    let fragment = larder::link::to_fragment(&hut());
    let mut firefox = Firefox::open(&format!("{}#{fragment}", address()));
    for (what, script, here) in told() {
        assert!(firefox.run(&script) == here.as_str(), "{what}");
    }
    for says in drawn_here(&hut()) {
        firefox.says("#sure", &says);
    }
}
