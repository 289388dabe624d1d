//! What an hour of a simulated year costs on this machine: `cargo run --release -p amp-larder-core --example throughput`.

#![allow(missing_docs)]
#![expect(
    clippy::disallowed_methods,
    reason = "it measures; the core reads no clock"
)]

use std::time::Instant;

#[path = "../benches/starts/mod.rs"]
mod starts;
use starts::STARTS;

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

    println!(
        "\nplan              days short a year  years  ns an hour plainly, abreast  years a second  map 12 x 12: first picture, final (ms)"
    );
    for (name, text) in STARTS {
        let plan = larder::link::from_text(text).expect("a plan");
        let inputs = larder::import(&plan).expect("sound");
        let start = Instant::now();
        let chances = larder::Chances::new(&inputs);
        let ready = start.elapsed().as_secs_f64();
        let years = 1000;
        let best = |draw: &dyn Fn() -> larder::Tally| {
            let times = (0..5).map(|_| {
                let start = Instant::now();
                std::hint::black_box(draw());
                start.elapsed().as_secs_f64()
            });
            times.fold(f64::INFINITY, f64::min)
        };
        let plainly = best(&|| chances.draw_plainly(0, 0..years));
        let took = best(&|| chances.draw(0, 0..years));
        let tally = chances.draw(0, 0..years);
        assert_eq!(tally, chances.draw_plainly(0, 0..years));
        let start = Instant::now();
        let wanted = larder::Wanted {
            years: 0,
            until_narrow: false,
            map: Some(3.0),
            draws: 0,
        };
        let mut survey = larder::Survey::new(&inputs, wanted);
        let mut bench = larder::Bench::new(inputs.clone());
        let (mut first, mut near) = (0.0, 0);
        while let Some(job) = survey.next_job() {
            if let larder::Job::Cell { pass: 1.., .. } = job {
                if near == 0 {
                    first = start.elapsed().as_secs_f64();
                }
                near += 1;
            }
            let numbers = bench.work(job);
            survey.put(job, &numbers);
        }
        let all = start.elapsed().as_secs_f64();
        if near == 0 {
            first = all;
        }
        let risk = tally.risk(0);
        println!(
            "{name:16} {:8.1} {:?} {years:6} {:6.1} {:6.1} {:12.0} {:10.0} {:.0}, {near} near; ready in {:.2} ms",
            risk.mean_days,
            risk.interval,
            plainly * 1e9 / (years as f64 * 8760.0),
            took * 1e9 / (years as f64 * 8760.0),
            years as f64 / took,
            first * 1e3,
            all * 1e3,
            ready * 1e3
        );
    }
}
