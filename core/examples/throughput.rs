//! What an hour of a simulated year costs on this machine: `cargo run --release -p amp-larder-core --example throughput`.

#![allow(missing_docs)]
#![expect(
    clippy::disallowed_methods,
    reason = "it measures; the core reads no clock"
)]

use std::time::Instant;

const STARTS: [(&str, &str); 3] = [
    (
        "orchard-van",
        include_str!("../../demo-data/orchard-van.larder.json"),
    ),
    (
        "estuary-cutter",
        include_str!("../../demo-data/estuary-cutter.larder.json"),
    ),
    (
        "hill-hut",
        include_str!("../../demo-data/hill-hut.larder.json"),
    ),
];
/// Runs of which the quickest counts: a busy machine only ever slows one down.
const RUNS: usize = 200;

fn quickest(mut run: impl FnMut()) -> f64 {
    let times = (0..RUNS).map(|_| {
        let start = Instant::now();
        run();
        start.elapsed().as_secs_f64()
    });
    times.fold(f64::INFINITY, f64::min)
}

fn main() {
    println!(
        "plan              banks  year of all (µs)  a bank more (µs)  ns an hour, one bank with its weather"
    );
    for (name, text) in STARTS {
        let mut plan = larder::link::from_text(text).expect("a plan");
        plan.candidates.truncate(2);
        let two = larder::import(&plan).expect("sound");
        plan.candidates.truncate(1);
        plan.chosen = plan.candidates[0].id;
        let one = larder::import(&plan).expect("sound");
        let of = |inputs| {
            quickest(|| {
                std::hint::black_box(larder::evaluate_year(std::hint::black_box(inputs)));
            }) * 1e6
        };
        let (one, two) = (of(&one), of(&two));
        println!(
            "{name:16} {:6} {two:17.0} {:17.0} {:8.1}",
            2,
            two - one,
            one * 1000.0 / 8760.0
        );
    }
}
