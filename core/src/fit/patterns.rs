//! Where a case may stand, and what holds it there.

use super::case::Turned;
use super::space::{Box3, SAME_MM};
use crate::numeric::ascending;

/// A way in which a kind may lie, in this locker.
#[derive(Clone, Copy)]
pub(super) struct Way {
    pub(super) kind: usize,
    pub(super) turned: Turned,
}

/// Whether one block stands just before another on an axis and faces it.
pub(super) fn holds(before: &Box3, block: &Box3, axis: usize) -> bool {
    let of = |values: &[f64; 3], axis: usize| values.get(axis).copied().unwrap_or(0.0);
    let end = of(&before.at_mm, axis) + of(&before.size_mm, axis);
    (end - of(&block.at_mm, axis)).abs() <= SAME_MM
        && (0..3).filter(|across| *across != axis).all(|across| {
            of(&block.at_mm, across) + SAME_MM
                < of(&before.at_mm, across) + of(&before.size_mm, across)
                && of(&before.at_mm, across) + SAME_MM
                    < of(&block.at_mm, across) + of(&block.size_mm, across)
        })
}

/// Whether a place comes after the last one.
pub(super) fn after(last: Option<[f64; 3]>, [x, y, z]: [f64; 3]) -> bool {
    let Some([lx, ly, lz]) = last else {
        return true;
    };
    if (x - lx).abs() > SAME_MM {
        return x > lx;
    }
    if (y - ly).abs() > SAME_MM {
        return y > ly;
    }
    z > lz + SAME_MM
}

/// Places on an axis where a case can touch something in front or below: a wall, the far side of an obstacle, the edge of a
/// shelf with its middle, and any row of cases from there.
pub(super) fn places(
    axis: usize,
    options: &[Way],
    blocked: &[Box3],
    edges: &[f64],
    start: [f64; 3],
    inside: [f64; 3],
    wanted: usize,
) -> Vec<f64> {
    let of = |values: &[f64; 3]| values.get(axis).copied().unwrap_or(0.0);
    let mut sizes: Vec<f64> = options
        .iter()
        .map(|option| of(&option.turned.block_mm))
        .collect();
    ascending(&mut sizes);
    sizes.dedup_by(|a, b| (*a - *b).abs() <= SAME_MM);
    let least = sizes.first().copied().unwrap_or(f64::INFINITY);
    let end = of(&inside) - least + SAME_MM;
    let far = |thing: &Box3| of(&thing.at_mm) + of(&thing.size_mm);
    let starts: Vec<f64> = std::iter::once(of(&start))
        .chain(blocked.iter().map(far))
        .chain(edges.iter().copied())
        .filter(|place| *place >= of(&start) - SAME_MM && *place <= end)
        .collect();
    let mut all = set_on(starts, &sizes, end, wanted.saturating_sub(1));
    all.dedup_by(|a, b| (*a - *b).abs() <= SAME_MM);
    all
}

/// Places at which something may end when up to `most` sizes are set one behind another from some starts, none beyond `end`;
/// the starts among them, rising.
pub(super) fn set_on(starts: Vec<f64>, sizes: &[f64], end: f64, most: usize) -> Vec<f64> {
    let mut all = starts.clone();
    let mut newest = starts;
    for _ in 0..most {
        let mut next: Vec<f64> = newest
            .iter()
            .flat_map(|place| sizes.iter().map(move |size| place + size))
            .filter(|place| *place <= end)
            .collect();
        ascending(&mut next);
        next.dedup_by(|a, b| (*a - *b).abs() <= SAME_MM);
        if next.is_empty() {
            break;
        }
        all.extend(&next);
        newest = next;
    }
    ascending(&mut all);
    all
}
