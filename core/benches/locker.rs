//! How long a locker takes: a typical one judged, what it would take, and the dearest of many (see `lockers hardest`).
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a bench is no part of the library"
)]

use criterion::{Criterion, criterion_group, criterion_main};
use larder::fit::{
    Box3, Case, Locker, Obstacle, Offers, Rules, Turning, assess, place, what_it_takes,
};
use std::hint::black_box;

fn thing(at_mm: [f64; 3], size_mm: [f64; 3]) -> Obstacle {
    Obstacle {
        name: "thing".into(),
        space: Box3 { at_mm, size_mm },
        movable: true,
        ..Obstacle::default()
    }
}

fn typical() -> (Locker, Case) {
    let locker = Locker {
        inside_mm: [760.0, 420.0, 300.0],
        obstacles: vec![
            thing([0.0; 3], [60.0, 420.0, 120.0]),
            thing([600.0, 0.0, 0.0], [50.0, 80.0, 300.0]),
            thing([200.0, 380.0, 180.0], [300.0, 40.0, 60.0]),
        ],
        measured_within_mm: 2.0,
        ..Locker::default()
    };
    let case = Case {
        size_mm: [330.0, 173.0, 240.0],
        turning: Turning::OnSide,
        side_gap_mm: 5.0,
        terminal_gap_mm: 30.0,
        within_mm: 1.0,
        ..Case::default()
    };
    (locker, case)
}

/// Cases of 207 × 175 in all turnings with no gap: the form of locker that took most steps of a thousand.
fn dear() -> (Locker, Case) {
    let things = (0..12u32).map(|at| {
        let at = f64::from(at);
        thing(
            [(at * 137.0) % 560.0, (at * 211.0) % 790.0, 0.0],
            [20.0 + at, 20.0 + at, 300.0],
        )
    });
    let locker = Locker {
        inside_mm: [599.0, 835.0, 393.0],
        obstacles: things.collect(),
        measured_within_mm: 2.0,
        ..Locker::default()
    };
    let case = Case {
        size_mm: [207.0, 175.0, 190.0],
        turning: Turning::Any,
        terminal_gap_mm: 7.0,
        ..Case::default()
    };
    (locker, case)
}

fn lockers(bench: &mut Criterion) {
    let (space, case) = typical();
    for count in [2, 4] {
        bench.bench_function(&format!("a typical locker, {count} cases"), |b| {
            b.iter(|| black_box(assess(black_box(&space), &case, count)));
        });
    }
    bench.bench_function("what a fifth case would take", |b| {
        b.iter(|| {
            black_box(what_it_takes(
                black_box(&space),
                &case,
                5,
                &Offers::default(),
            ))
        });
    });
    let (space, case) = dear();
    let mut group = bench.benchmark_group("dear");
    group.sample_size(10);
    group.bench_function("eight cases past twelve things", |b| {
        b.iter(|| black_box(place(black_box(&space), &case, 8, Rules::default())));
    });
    group.finish();
}

criterion_group!(benches, lockers);
criterion_main!(benches);
