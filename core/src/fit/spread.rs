//! The arrangement to build, of all that are best: the widest least gap, then the lowest middle; and each of its gaps.

use super::arrange::{place_all, place_below};
use super::case::Case;
use super::space::{Box3, Locker, Placement, Rules, SAME_MM};
use crate::numeric::order;
use serde::Serialize;

/// How exactly the widest gap is found [mm].
const TO_MM: f64 = 0.1;

/// What a case's side faces.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Neighbour {
    /// A wall, the floor or the lid.
    Wall,
    /// The obstacle of that name.
    Obstacle(String),
    /// The case of that number, counted from 0.
    Case(usize),
}

/// The free length between a case's side and what it faces.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Gap {
    /// Which case, counted from 0.
    pub case: usize,
    /// The axis: 0 length, 1 depth, 2 height.
    pub axis: usize,
    /// Whether it looks along the axis, to the right, the back or the lid.
    pub far: bool,
    /// Free length [mm], the gaps that are asked for among it.
    pub mm: f64,
    /// How far that may be out [± mm]: the measuring, and the makers' tolerance of the cases in that row.
    pub within_mm: f64,
    /// What it faces.
    pub to: Neighbour,
}

/// An arrangement with the widest least gap beside its cases, exact to 0.1 mm, and of these one whose middles are lowest;
/// how much wider than asked that gap is [mm]; and the steps taken. None where nothing fits.
pub fn spread(
    locker: &Locker,
    kinds: &[(&Case, u32)],
    rules: Rules,
) -> Option<(Vec<Placement>, f64, u64)> {
    let mut steps = 0;
    let mut with = |wider: f64, below: f64| {
        let wide: Vec<Case> = kinds.iter().map(|(case, _)| widened(case, wider)).collect();
        let wide: Vec<(&Case, u32)> = wide
            .iter()
            .zip(kinds)
            .map(|(case, (_, count))| (case, *count))
            .collect();
        let (found, _, taken) = if below.is_finite() {
            place_below(locker, &wide, rules, below)
        } else {
            place_all(locker, &wide, rules)
        };
        steps += taken;
        found
    };
    let mut best = with(0.0, f64::INFINITY)?;
    let [long, deep, _] = locker.inside_mm;
    let mut low = 0u32;
    let mut high = (long.max(deep).min(20_000.0) / TO_MM).ceil() as u32 + 1;
    while low + 1 < high {
        let middle = low.midpoint(high);
        match with(f64::from(middle) * TO_MM, f64::INFINITY) {
            Some(found) => (low, best) = (middle, found),
            None => high = middle,
        }
    }
    let wider = f64::from(low) * TO_MM;
    // Heights of middles are few, so this ends soon.
    while let Some(lower) = with(wider, raised(&best) - SAME_MM) {
        best = lower;
    }
    Some((best, wider, steps))
}

/// The case with so much more free beside it.
pub(super) fn widened(case: &Case, by_mm: f64) -> Case {
    Case {
        side_gap_mm: case.side_gap_mm + by_mm,
        ..case.clone()
    }
}

fn raised(placements: &[Placement]) -> f64 {
    placements
        .iter()
        .map(|one| one.at_mm[2] + one.size_mm[2] / 2.0)
        .sum()
}

/// Every gap of an arrangement of a case, and of those of other kinds in the locker: six a case.
pub fn gaps(locker: &Locker, case: &Case, placements: &[Placement]) -> Vec<Gap> {
    let mut all = Vec::new();
    for (at, one) in placements.iter().enumerate() {
        for axis in 0..3 {
            for far in [false, true] {
                let (mm, to) = nearest(locker, placements, at, axis, far);
                // A wall behind a row of cases takes their tolerances with it; so may every case beyond this one.
                let within = |one: &Placement| match one.kind.checked_sub(1) {
                    None => case.within_mm,
                    Some(other) => locker
                        .others
                        .get(other)
                        .map_or(0.0, |(case, _)| case.within_mm),
                };
                let faced = match to {
                    Neighbour::Case(other) => placements.get(other).map_or(0.0, within),
                    _ => 0.0,
                };
                all.push(Gap {
                    case: at,
                    axis,
                    far,
                    mm: mm.max(0.0),
                    within_mm: locker.measured_within_mm + within(one) + faced,
                    to,
                });
            }
        }
        debug_assert!(one.size_mm.iter().all(|mm| *mm > 0.0));
    }
    all
}

/// What a side of a case meets first, straight ahead, and how far off.
fn nearest(
    locker: &Locker,
    placements: &[Placement],
    at: usize,
    axis: usize,
    far: bool,
) -> (f64, Neighbour) {
    let of = |values: &[f64; 3], axis: usize| values.get(axis).copied().unwrap_or(0.0);
    let boxed = |one: &Placement| Box3 {
        at_mm: one.at_mm,
        size_mm: one.size_mm,
    };
    let Some(own) = placements.get(at).map(boxed) else {
        return (0.0, Neighbour::Wall);
    };
    let end = |space: &Box3, axis: usize| of(&space.at_mm, axis) + of(&space.size_mm, axis);
    let mut best = if far {
        (
            of(&locker.inside_mm, axis) - end(&own, axis),
            Neighbour::Wall,
        )
    } else {
        (of(&own.at_mm, axis), Neighbour::Wall)
    };
    let mut look = |space: &Box3, to: &dyn Fn() -> Neighbour| {
        let faces = (0..3).filter(|other| *other != axis).all(|other| {
            of(&own.at_mm, other) + SAME_MM < end(space, other)
                && of(&space.at_mm, other) + SAME_MM < end(&own, other)
        });
        let mm = if far {
            of(&space.at_mm, axis) - end(&own, axis)
        } else {
            of(&own.at_mm, axis) - end(space, axis)
        };
        if faces && mm >= -SAME_MM && mm < best.0 {
            best = (mm, to());
        }
    };
    for thing in &locker.obstacles {
        for solid in thing.solids() {
            look(&solid, &|| Neighbour::Obstacle(thing.name.clone()));
        }
    }
    for (other, one) in placements
        .iter()
        .enumerate()
        .filter(|(other, _)| *other != at)
    {
        look(&boxed(one), &|| Neighbour::Case(other));
    }
    best
}

/// The most cases that stand one behind another along an axis.
pub(super) fn deepest_row(placements: &[Placement], axis: usize) -> usize {
    let of = |values: &[f64; 3], axis: usize| values.get(axis).copied().unwrap_or(0.0);
    let starts: Vec<f64> = placements.iter().map(|one| of(&one.at_mm, axis)).collect();
    let sorted: Vec<&Placement> = order(&starts)
        .into_iter()
        .filter_map(|at| placements.get(at))
        .collect();
    let mut depths: Vec<usize> = Vec::new();
    for (at, one) in sorted.iter().enumerate() {
        let before = sorted.iter().take(at).zip(&depths).filter(|(other, _)| {
            of(&other.at_mm, axis) + of(&other.size_mm, axis) <= of(&one.at_mm, axis) + SAME_MM
                && (0..3).filter(|across| *across != axis).all(|across| {
                    of(&one.at_mm, across) + SAME_MM
                        < of(&other.at_mm, across) + of(&other.size_mm, across)
                        && of(&other.at_mm, across) + SAME_MM
                            < of(&one.at_mm, across) + of(&one.size_mm, across)
                })
        });
        depths.push(1 + before.map(|(_, depth)| *depth).max().unwrap_or(0));
    }
    depths.into_iter().max().unwrap_or(0)
}
