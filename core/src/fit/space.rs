//! The space, what is in it, and what is to go in. Lengths in mm; x along the length, y from the front, z up.

use super::opening::Opening;
use super::slope::Slope;
use serde::Serialize;

/// A box by its corner nearest to the left, the front and the floor, and its size [mm].
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Box3 {
    /// Its corner.
    pub at_mm: [f64; 3],
    /// Its size.
    pub size_mm: [f64; 3],
}

/// Lengths closer than this are the same [mm]: a micrometre, far below what a tape measures.
pub(super) const SAME_MM: f64 = 1e-3;

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

/// Something in the way.
#[derive(Clone, Debug, PartialEq)]
pub struct Obstacle {
    /// What it is.
    pub name: String,
    /// Where it is.
    pub space: Box3,
    /// Whether it could be moved.
    pub movable: bool,
    /// Whether it is a shelf: a case may stand on it, its centre of mass over it.
    pub carries: bool,
    /// How it narrows over its height; none is a plain box.
    pub slope: Option<Slope>,
}

/// The space.
#[derive(Clone, Debug, PartialEq)]
pub struct Locker {
    /// Inside length, depth, height [mm].
    pub inside_mm: [f64; 3],
    /// What is in the way.
    pub obstacles: Vec<Obstacle>,
    /// How far the measuring may be out [± mm].
    pub measured_within_mm: f64,
    /// The hole that all goes in through; none stands for the whole top.
    pub opening: Option<Opening>,
}

/// How a case may lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Turning {
    /// On its base.
    Upright,
    /// On its base or a long side.
    OnSide,
    /// On any face but its top.
    Any,
}

/// A battery's case.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// Length, width, height over all [mm].
    pub size_mm: [f64; 3],
    /// How it may lie.
    pub turning: Turning,
    /// Free space beside it, to walls, obstacles and other cases [mm].
    pub side_gap_mm: f64,
    /// Free space in front of its terminals [mm]: above it when it stands; beyond its top's side when it lies.
    pub terminal_gap_mm: f64,
    /// How far its maker's measures and its swelling may be out, each way [± mm].
    pub within_mm: f64,
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
}

/// What an arrangement must keep to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rules {
    /// Every case stands on the floor or on a shelf. Off only for published puzzles, which pack bricks in the air.
    pub on_the_floor: bool,
    /// Steps after which a search gives up.
    pub budget: u64,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            on_the_floor: true,
            budget: 4_000_000,
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

/// A case as it may be turned: its own size, and the block that it takes with the gaps that go with it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Turned {
    pub(super) own_mm: [f64; 3],
    /// Own size, with the terminal gap, and the side gap behind it on x and y.
    pub(super) block_mm: [f64; 3],
    /// The axis along which its terminals look.
    pub(super) terminals: usize,
}

impl Case {
    /// The ways in which it may lie, each once, with so much free beside it.
    pub(super) fn turnings(&self, gap: f64) -> Vec<Turned> {
        let [long, wide, high] = self.size_mm;
        let mut all: Vec<Turned> = Vec::new();
        let mut add = |own_mm: [f64; 3], terminals: usize| {
            let [x, y, z] = own_mm;
            let reach = |axis: usize| {
                if axis == terminals {
                    self.terminal_gap_mm
                } else {
                    0.0
                }
            };
            let turned = Turned {
                own_mm,
                block_mm: [x + reach(0) + gap, y + reach(1) + gap, z + reach(2)],
                terminals,
            };
            // Of turnings that take the same block one is enough.
            if !all
                .iter()
                .any(|known| known.block_mm == turned.block_mm && known.own_mm == own_mm)
            {
                all.push(turned);
            }
        };
        add([long, wide, high], 2);
        add([wide, long, high], 2);
        if self.turning != Turning::Upright {
            // On a long side: its height lies level, with the terminals at its end.
            add([long, high, wide], 1);
            add([high, long, wide], 0);
        }
        if self.turning == Turning::Any {
            add([wide, high, long], 1);
            add([high, wide, long], 0);
        }
        all
    }
}
