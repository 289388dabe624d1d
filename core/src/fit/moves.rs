//! Where a thing that can be moved may go.

use super::space::{Box3, Goes, Locker, SAME_MM};

/// So much further from a move along each side, both ways; the move itself where that is nothing.
pub(super) fn steps(first: [f64; 3], by_mm: f64) -> Vec<[f64; 3]> {
    if by_mm == 0.0 {
        return vec![first];
    }
    let mut all = Vec::new();
    for axis in 0..3 {
        for by_mm in [by_mm, -by_mm] {
            let mut moved = first;
            if let Some(slot) = moved.get_mut(axis) {
                *slot += by_mm;
            }
            all.push(moved);
        }
    }
    all
}

/// The least move that brings a thing into a place of its own.
pub fn into_place(locker: &Locker, obstacle: usize, place: &Box3) -> [f64; 3] {
    let Some(thing) = locker.obstacles.get(obstacle) else {
        return [0.0; 3];
    };
    let of = |values: &[f64; 3], axis: usize| values.get(axis).copied().unwrap_or(0.0);
    std::array::from_fn(|axis| {
        let (at, first) = (of(&thing.space.at_mm, axis), of(&place.at_mm, axis));
        let last = first + of(&place.size_mm, axis) - of(&thing.space.size_mm, axis);
        at.clamp(first, last.max(first)) - at
    })
}

/// Whether a thing may go there: where it may go at all, inside as far as it was, and clear of what it was clear of.
pub fn may_go(locker: &Locker, obstacle: usize, by_mm: [f64; 3]) -> bool {
    let Some(thing) = locker.obstacles.get(obstacle) else {
        return false;
    };
    let mut moved = thing.space;
    for (at, by) in moved.at_mm.iter_mut().zip(&by_mm) {
        *at += by;
    }
    let of = |values: &[f64; 3], axis: usize| values.get(axis).copied().unwrap_or(0.0);
    // Within a box, or no further out of it than it was.
    let lies = |place: &Box3, from: &Box3| {
        (0..3).all(|axis| {
            let (at, size) = (of(&moved.at_mm, axis), of(&moved.size_mm, axis));
            let (was, first) = (of(&from.at_mm, axis), of(&place.at_mm, axis));
            let end = first + of(&place.size_mm, axis);
            at >= first.min(was) - SAME_MM && at + size <= end.max(was + size) + SAME_MM
        })
    };
    let inside = Box3 {
        at_mm: [0.0; 3],
        size_mm: locker.inside_mm,
    };
    let may = match &thing.goes {
        Goes::Anywhere => true,
        Goes::Outside => false,
        Goes::Within(place) => lies(
            place,
            &Box3 {
                at_mm: place.at_mm,
                size_mm: moved.size_mm,
            },
        ),
    };
    let others = locker
        .obstacles
        .iter()
        .enumerate()
        .filter(|(at, _)| *at != obstacle);
    may && lies(&inside, &thing.space)
        && others
            .into_iter()
            .all(|(_, other)| !moved.overlaps(&other.space) || thing.space.overlaps(&other.space))
}
