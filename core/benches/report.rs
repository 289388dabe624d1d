//! The whole report: the three starting points, and a plan of forty loads and four candidates; aim 1 ms. A year of one bank,
//! weather and sun included, and of all that a plan has; aim 40 ns an hour of a bank.

#![allow(missing_docs)]

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use larder::plan::{Candidate, Load, Plan, Way};

mod starts;
use starts::STARTS;

fn large() -> Plan {
    let load = |id: u32| Load {
        id,
        name: format!("load {id}"),
        draw: 3.0 + f64::from(id),
        way: if id.is_multiple_of(3) {
            Way::Always
        } else {
            Way::Hours
        },
        from: format!("{:02}:00", id % 24),
        to: format!("{:02}:30", (id + 5) % 24),
        ..Load::default()
    };
    let candidate = |id: u32| Candidate {
        id,
        capacity_ah: 50.0 * f64::from(id - 40),
        ..Candidate::default()
    };
    let mut plan = larder::link::from_text(STARTS[0].1).expect("a plan");
    plan.loads = (1..=40).map(load).collect();
    plan.candidates = (41..=44).map(candidate).collect();
    plan.chosen = 42;
    plan
}

fn report(c: &mut Criterion) {
    for (name, text) in STARTS {
        let plan = larder::link::from_text(text).expect("a plan");
        c.bench_function(name, |b| {
            b.iter(|| larder::assess(std::hint::black_box(&plan)))
        });
    }
    let plan = large();
    c.bench_function("forty loads, four candidates", |b| {
        b.iter(|| larder::assess(std::hint::black_box(&plan)))
    });
}

fn year(c: &mut Criterion) {
    for (of, most) in [("one bank", 1), ("all banks", usize::MAX)] {
        let mut group = c.benchmark_group(format!("a year of {of}"));
        for (name, text) in STARTS {
            let mut plan = larder::link::from_text(text).expect("a plan");
            plan.candidates.truncate(most);
            group.throughput(Throughput::Elements(8760 * plan.candidates.len() as u64));
            let inputs = larder::import(&plan).expect("sound");
            group.bench_function(name, |b| {
                b.iter(|| larder::evaluate_year(std::hint::black_box(&inputs)))
            });
        }
        group.finish();
    }
}

criterion_group!(benches, report, year);
criterion_main!(benches);
