//! Whether a case finds a way from outside to its place by moves along the axes, any number of them, without being turned.
//!
//! The case may be wherever it overlaps nothing; touching is allowed. The face with the opening counts as solid around the hole,
//! however far outside. Positions at which the case touches something on an axis cut the space into boxes, each wholly free or
//! wholly blocked inside, so a free way can be shifted onto their edges: only those are searched, and the search is exhaustive.

use super::opening::{Opening, across};
use super::space::{Box3, Placement, SAME_MM, of};
use crate::numeric::ascending;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Most positions that are looked at for one case.
const MOST_POSITIONS: usize = 60_000;
/// Farther than any locker reaches [mm].
const FAR_MM: f64 = 1e6;

/// What a search for a way found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// There is one.
    Free,
    /// There is none.
    None,
    /// None was found, and not all positions were looked at.
    CutShort,
}

/// A search for one case's way.
struct Seeker<'a> {
    size: [f64; 3],
    /// Everything that it must not overlap.
    solid: Vec<Box3>,
    /// Positions of its corner on each axis, rising [mm].
    stops: [Vec<f64>; 3],
    opening: &'a Opening,
    /// Where its corner is on the opening's axis once it is outside [mm].
    outside: f64,
}

/// The way of a case from outside through an opening to its place, past the things that stand there.
pub(super) fn way(inside: [f64; 3], opening: &Opening, things: &[Box3], one: &Placement) -> Way {
    let size = one.size_mm;
    let deep = of(&inside, opening.axis);
    let mut solid = face(opening, deep);
    solid.extend_from_slice(things);
    let outside = if opening.far {
        deep
    } else {
        -of(&size, opening.axis)
    };
    let stops = std::array::from_fn(|axis| {
        let last = of(&inside, axis) - of(&size, axis);
        let (from, to) = match (axis == opening.axis, opening.far) {
            (true, true) => (0.0, deep),
            (true, false) => (outside, last),
            (false, _) => (0.0, last),
        };
        let touching = solid.iter().flat_map(|thing| {
            let at = of(&thing.at_mm, axis);
            [at - of(&size, axis), at + of(&thing.size_mm, axis)]
        });
        let own = [from, to, of(&one.at_mm, axis)];
        let mut stops: Vec<f64> = touching.chain(own).collect();
        stops.retain(|at| (from - SAME_MM..=to + SAME_MM).contains(at));
        ascending(&mut stops);
        stops.dedup_by(|a, b| (*a - *b).abs() <= SAME_MM);
        stops
    });
    let seeker = Seeker {
        size,
        solid,
        stops,
        opening,
        outside,
    };
    seeker.seek(one.at_mm)
}

/// The face with the opening, solid round the hole.
fn face(opening: &Opening, deep: f64) -> Vec<Box3> {
    let sides = across(opening.axis).into_iter().enumerate();
    let halves = sides.flat_map(|(nth, axis)| {
        let from = opening.at_mm.get(nth).copied().unwrap_or(0.0);
        let to = from + opening.size_mm.get(nth).copied().unwrap_or(0.0);
        [(axis, from - FAR_MM), (axis, to)]
    });
    halves
        .map(|(axis, from)| {
            let mut half = Box3 {
                at_mm: [-FAR_MM; 3],
                size_mm: [2.0 * FAR_MM; 3],
            };
            set(&mut half.at_mm, axis, from);
            set(&mut half.size_mm, axis, FAR_MM);
            let begins = if opening.far { deep } else { -FAR_MM };
            set(&mut half.at_mm, opening.axis, begins);
            set(&mut half.size_mm, opening.axis, FAR_MM);
            half
        })
        .collect()
}

impl Seeker<'_> {
    /// Looks from the place for a way out, those positions first that are nearest to outside.
    fn seek(&self, place: [f64; 3]) -> Way {
        let counts = [0, 1, 2].map(|axis| self.stops.get(axis).map_or(0, Vec::len));
        let [nx, ny, nz] = counts;
        let mut seen = vec![false; nx * ny * nz];
        let whole = |[x, y, z]: [usize; 3]| (x * ny + y) * nz + z;
        let start = [0, 1, 2].map(|axis| {
            let stops = self.stops.get(axis).map_or(&[][..], Vec::as_slice);
            let place = of(&place, axis);
            let found = stops.iter().position(|at| (at - place).abs() <= SAME_MM);
            found.unwrap_or(0)
        });
        let mut next = BinaryHeap::from([Reverse((self.far_off(start), start))]);
        let mut looked_at = 0;
        if let Some(slot) = seen.get_mut(whole(start)) {
            *slot = true;
        }
        while let Some(Reverse((_, at))) = next.pop() {
            if self.is_outside(at) {
                return Way::Free;
            }
            looked_at += 1;
            if looked_at > MOST_POSITIONS {
                return Way::CutShort;
            }
            for axis in 0..3 {
                for forward in [false, true] {
                    let mut to = at;
                    let Some(index) = to.get_mut(axis) else {
                        continue;
                    };
                    let moved = if forward {
                        index.checked_add(1)
                    } else {
                        index.checked_sub(1)
                    };
                    let is_there = |at: &usize| counts.get(axis).is_some_and(|count| at < count);
                    let Some(moved) = moved.filter(is_there) else {
                        continue;
                    };
                    *index = moved;
                    let Some(slot) = seen.get_mut(whole(to)).filter(|slot| !**slot) else {
                        continue;
                    };
                    if self.may_move(at, to) {
                        *slot = true;
                        next.push(Reverse((self.far_off(to), to)));
                    }
                }
            }
        }
        Way::None
    }

    fn corner(&self, at: [usize; 3]) -> [f64; 3] {
        std::array::from_fn(|axis| {
            let stops = self.stops.get(axis);
            let index = at.get(axis).copied().unwrap_or(0);
            stops
                .and_then(|stops| stops.get(index))
                .copied()
                .unwrap_or(0.0)
        })
    }

    fn is_outside(&self, at: [usize; 3]) -> bool {
        let axis = self.opening.axis;
        (of(&self.corner(at), axis) - self.outside).abs() <= SAME_MM
    }

    /// How far a position is from outside, along the opening's axis and across it from the hole [0.01 mm].
    fn far_off(&self, at: [usize; 3]) -> u64 {
        let corner = self.corner(at);
        let mut mm = (of(&corner, self.opening.axis) - self.outside).abs();
        for (nth, axis) in across(self.opening.axis).into_iter().enumerate() {
            let from = self.opening.at_mm.get(nth).copied().unwrap_or(0.0);
            let wide = self.opening.size_mm.get(nth).copied().unwrap_or(0.0);
            let last = (from + wide - of(&self.size, axis)).max(from);
            let at = of(&corner, axis);
            mm += (from - at).max(at - last).max(0.0);
        }
        (mm * 100.0) as u64
    }

    /// Whether a move from a position to its neighbour on one axis meets nothing.
    fn may_move(&self, from: [usize; 3], to: [usize; 3]) -> bool {
        let (from, to) = (self.corner(from), self.corner(to));
        let swept = Box3 {
            at_mm: std::array::from_fn(|axis| of(&from, axis).min(of(&to, axis))),
            size_mm: std::array::from_fn(|axis| {
                of(&self.size, axis) + (of(&from, axis) - of(&to, axis)).abs()
            }),
        };
        !self.solid.iter().any(|thing| thing.overlaps(&swept))
    }
}

fn set(values: &mut [f64; 3], axis: usize, mm: f64) {
    if let Some(slot) = values.get_mut(axis) {
        *slot = mm;
    }
}
