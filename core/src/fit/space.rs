//! The space, what is in it, and what is to go in. Lengths in mm; x along the length, y from the front, z up.

use super::case::Case;
use super::opening::Opening;
use super::slope::Slope;
use serde::Serialize;

/// A box by its corner nearest to the left, the front and the floor, and its size [mm].
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Box3 {
    /// Its corner.
    pub at_mm: [f64; 3],
    /// Its size.
    pub size_mm: [f64; 3],
}

/// Lengths closer than this are the same [mm]: a micrometre, far below what a tape measures.
pub(super) const SAME_MM: f64 = 1e-3;

/// A value on an axis: 0 length, 1 depth, 2 height; 0 on any other.
pub(super) fn of(values: &[f64; 3], axis: usize) -> f64 {
    values.get(axis).copied().unwrap_or(0.0)
}

impl Box3 {
    /// Whether two boxes share more than a face.
    pub fn overlaps(&self, other: &Self) -> bool {
        (0..3).all(|axis| {
            let (Some(a), Some(la), Some(b), Some(lb)) = (
                self.at_mm.get(axis),
                self.size_mm.get(axis),
                other.at_mm.get(axis),
                other.size_mm.get(axis),
            ) else {
                return false;
            };
            a + SAME_MM < b + lb && b + SAME_MM < a + la
        })
    }
}

/// Where a thing that can be moved may go.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Goes {
    /// Anywhere inside, along one side; or out.
    #[default]
    Anywhere,
    /// Only out of the locker.
    Outside,
    /// Only within a place of its own in the locker.
    Within(Box3),
}

/// Something in the way.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Obstacle {
    /// What it is.
    pub name: String,
    /// Where it is.
    pub space: Box3,
    /// Whether it could be moved.
    pub movable: bool,
    /// Where it may go then.
    pub goes: Goes,
    /// Whether it is a shelf: a case may stand on it, its centre of mass over it.
    pub carries: bool,
    /// What all cases on it may weigh, where it is a shelf that bears only so much [kg].
    pub bears_kg: Option<f64>,
    /// How it narrows over its height; none is a plain box.
    pub slope: Option<Slope>,
}

/// A part of the floor that bears only so much. A case that stands on any of it counts wholly (on the safe side).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spot {
    /// What it is.
    pub name: String,
    /// Its corner nearest to the left and the front, at the height of the floor [mm]; and its size, without height.
    pub space: Box3,
    /// What all cases on it may weigh [kg].
    pub bears_kg: f64,
}

/// The space.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Locker {
    /// Inside length, depth, height [mm].
    pub inside_mm: [f64; 3],
    /// What is in the way.
    pub obstacles: Vec<Obstacle>,
    /// Where the floor bears only so much.
    pub spots: Vec<Spot>,
    /// Cases of other kinds that stand in it too, and how many of each.
    pub others: Vec<(Case, u32)>,
    /// How far the measuring may be out [± mm].
    pub measured_within_mm: f64,
    /// The hole that all goes in through; none stands for the whole top.
    pub opening: Option<Opening>,
}

impl Locker {
    /// Every part of floor and shelves that bears only so much.
    pub(super) fn limits(&self) -> Vec<(Box3, f64)> {
        let shelves = self.obstacles.iter().filter_map(|thing| {
            let mut top = thing.space;
            top.at_mm[2] += top.size_mm[2];
            Some((top, thing.bears_kg.filter(|_| thing.carries)?))
        });
        let floor = self.spots.iter().map(|spot| (spot.space, spot.bears_kg));
        shelves.chain(floor).collect()
    }
}

/// Whether a case that stands on such a part loads it: at its height, over any of it.
pub(super) fn loads(on: &Box3, at_mm: [f64; 3], size_mm: [f64; 3]) -> bool {
    let over = |axis: usize| {
        let of = |values: &[f64; 3]| values.get(axis).copied().unwrap_or(0.0);
        of(&at_mm) + SAME_MM < of(&on.at_mm) + of(&on.size_mm)
            && of(&on.at_mm) + SAME_MM < of(&at_mm) + of(&size_mm)
    };
    (at_mm[2] - on.at_mm[2]).abs() <= SAME_MM && over(0) && over(1)
}

/// One case where it stands, without its gaps.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Placement {
    /// Its corner nearest to the left, the front and the floor [mm].
    pub at_mm: [f64; 3],
    /// Its size as it is turned [mm].
    pub size_mm: [f64; 3],
    /// Which of the kinds of case it is, counted from 0.
    pub kind: usize,
    /// The axis along which its terminals look, away from the corner: 0 to the right, 1 to the back, 2 up.
    pub terminals: usize,
    /// How it is turned about the upright axis, in quarters to the left seen from above; 0 has its length along the locker's
    /// and its label to the front. Of a case that lies, 2 says that its terminals look the other way, to the left or the front.
    pub quarters: u8,
}

/// What an arrangement must keep to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rules {
    /// Every case stands on the floor or on a shelf. Off only for published puzzles, which pack bricks in the air.
    pub on_the_floor: bool,
    /// Steps after which a search gives up.
    pub budget: u64,
    /// Whether every case must stand in an attitude in which it passes the locker's opening straight.
    pub passing: bool,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            on_the_floor: true,
            budget: 4_000_000,
            passing: false,
        }
    }
}

/// Whether a search came to its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Certainty {
    /// Nothing was left untried.
    Exact,
    /// The step budget ran out.
    CutShort,
}
