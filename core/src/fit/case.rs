//! A battery's case: how it may lie, where its terminals sit, and what must stay clear about them.
//!
//! Between two cases the whole block of each counts, its gaps among it: nothing stands over a battery's top. Against walls
//! and things in the way only the case counts, and what sits on its terminals where these are; where that isn't told, the
//! whole top. A case that lies keeps the whole face with its terminals clear, so that they can be reached.

use super::space::{Box3, SAME_MM};
use serde::Serialize;

/// How a case may lie.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Turning {
    /// On its base.
    #[default]
    Upright,
    /// On its base or a long side.
    OnSide,
    /// On any face but its top.
    Any,
}

/// Where the terminals sit on the top, seen from above with the label, a long side, to the front.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Terminals {
    /// Not told: the whole top.
    #[default]
    Anywhere,
    /// Both along the front, one near each end.
    Front,
    /// Both at the left end, one near each long side.
    LeftEnd,
    /// One at each end, half-way across.
    BothEnds,
    /// At the front near the left end, and at the back near the right.
    Corners,
    /// At the front near the right end, and at the back near the left.
    OtherCorners,
}

impl Terminals {
    /// The same seen in a mirror that stands at the end.
    pub fn mirrored(self) -> Self {
        match self {
            Self::Corners => Self::OtherCorners,
            Self::OtherCorners => Self::Corners,
            // Turned half round, the right end is the left one.
            same => same,
        }
    }
}

/// A battery's case.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Case {
    /// Length, width, height [mm].
    pub size_mm: [f64; 3],
    /// How it may lie.
    pub turning: Turning,
    /// Free space beside it, to walls, obstacles and other cases [mm].
    pub side_gap_mm: f64,
    /// Free space in front of its terminals [mm]: above it when it stands; beyond its top's side when it lies.
    pub terminal_gap_mm: f64,
    /// Where they sit.
    pub terminals: Terminals,
    /// From the nearest sides of the top to the middle of a terminal [mm].
    pub terminal_in_mm: f64,
    /// How wide, each way, what sits on a terminal is [mm].
    pub terminal_wide_mm: f64,
    /// What a cable that leaves sideways takes beyond the case at each terminal, and as much downward to bend [mm].
    pub beside_mm: f64,
    /// Free height above the whole of it, so that it can vent [mm].
    pub vent_gap_mm: f64,
    /// What holds it down takes so much at both of its ends, of its own [mm].
    pub hold_gap_mm: f64,
    /// How far its maker's measures and its swelling may be out, each way [± mm].
    pub within_mm: f64,
    /// Its mass [kg].
    pub mass_kg: f64,
}

/// A case as it may be turned: its own size, and the block that it takes with the gaps that go with it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Turned {
    pub(super) own_mm: [f64; 3],
    /// From the block's corner to its own.
    pub(super) inset_mm: [f64; 3],
    /// Own size, with hold-down and terminal gap, and the side gap behind it on x and y.
    pub(super) block_mm: [f64; 3],
    /// Height that it takes where its terminals are not.
    pub(super) body_high_mm: f64,
    /// The axis along which its terminals look.
    pub(super) terminals: usize,
    pub(super) quarters: u8,
}

impl Turned {
    /// What no thing in the way may take any of [mm³]; over told terminals something may hang within the block.
    pub(super) fn body_mm3(&self) -> f64 {
        let [long, wide, _] = self.block_mm;
        long * wide * self.body_high_mm
    }
}

impl Case {
    /// The ways in which it may lie, each once, with so much free beside it.
    pub(super) fn turnings(&self, gap: f64) -> Vec<Turned> {
        let [long, wide, high] = self.size_mm;
        let mut all: Vec<Turned> = Vec::new();
        // `ends` is the axis that its length lies along.
        let mut add = |own_mm: [f64; 3], terminals: usize, ends: usize, quarters: u8| {
            let along = |axis: usize, at: usize, mm: f64| if axis == at { mm } else { 0.0 };
            let hold = |axis: usize| along(axis, ends, self.hold_gap_mm);
            let reach = |axis: usize| along(axis, terminals, self.terminal_gap_mm);
            let [x, y, z] = own_mm;
            // Lying the other way, the room before its terminals comes first.
            let first = |axis: usize| {
                if terminals < 2 && quarters == 2 {
                    reach(axis)
                } else {
                    0.0
                }
            };
            let turned = Turned {
                own_mm,
                inset_mm: [hold(0) + first(0), hold(1) + first(1), 0.0],
                block_mm: [
                    x + 2.0 * hold(0) + reach(0) + gap,
                    y + 2.0 * hold(1) + reach(1) + gap,
                    z + reach(2).max(self.vent_gap_mm),
                ],
                body_high_mm: z + self.over_mm(terminals),
                terminals,
                quarters,
            };
            // Of turnings that take the same room one is enough.
            let same = |known: &Turned| {
                known.block_mm == turned.block_mm
                    && known.own_mm == own_mm
                    && known.inset_mm == turned.inset_mm
                    && alike(
                        &self.keep_clear(known.quarters, known.terminals),
                        &self.keep_clear(quarters, terminals),
                    )
            };
            if !all.iter().any(same) {
                all.push(turned);
            }
        };
        for quarters in 0..4_u8 {
            if quarters.is_multiple_of(2) {
                add([long, wide, high], 2, 0, quarters);
            } else {
                add([wide, long, high], 2, 1, quarters);
            }
        }
        for quarters in [0, 2] {
            if self.turning != Turning::Upright {
                // On a long side: its height lies level, with the terminals at its end.
                add([long, high, wide], 1, 0, quarters);
                add([high, long, wide], 0, 1, quarters);
            }
            if self.turning == Turning::Any {
                add([wide, high, long], 1, 2, quarters);
                add([high, wide, long], 0, 2, quarters);
            }
        }
        all
    }

    /// Free height above the whole of it.
    pub(super) fn over_mm(&self, terminals: usize) -> f64 {
        if terminals == 2 && self.terminals == Terminals::Anywhere {
            self.vent_gap_mm.max(self.terminal_gap_mm)
        } else {
            self.vent_gap_mm
        }
    }

    /// What stays clear of walls and things in the way about the terminals, from the case's own corner, where it stands turned
    /// by so many quarters: above each terminal, and beside it where its cable leaves sideways.
    pub fn keep_clear(&self, quarters: u8, terminals: usize) -> Vec<Box3> {
        let [long, wide, high] = self.size_mm;
        let (near, half) = (self.terminal_in_mm, self.terminal_wide_mm / 2.0);
        // Each terminal's middle, and the way in which its cable leaves.
        let two: [([f64; 2], [f64; 2]); 2] = match self.terminals {
            _ if terminals != 2 => return Vec::new(),
            Terminals::Anywhere => return Vec::new(),
            Terminals::Front => [
                ([near, near], [0.0, -1.0]),
                ([long - near, near], [0.0, -1.0]),
            ],
            Terminals::LeftEnd => [
                ([near, near], [-1.0, 0.0]),
                ([near, wide - near], [-1.0, 0.0]),
            ],
            Terminals::BothEnds => [
                ([near, wide / 2.0], [-1.0, 0.0]),
                ([long - near, wide / 2.0], [1.0, 0.0]),
            ],
            Terminals::Corners => [
                ([near, near], [-1.0, 0.0]),
                ([long - near, wide - near], [1.0, 0.0]),
            ],
            Terminals::OtherCorners => [
                ([near, wide - near], [-1.0, 0.0]),
                ([long - near, near], [1.0, 0.0]),
            ],
        };
        let sides = [long, wide];
        let mut clear = Vec::new();
        let mut keep = |from: [f64; 3], to: [f64; 3]| {
            if from.iter().zip(&to).all(|(from, to)| from < to) {
                clear.push(turned(from, to, [long, wide], quarters));
            }
        };
        for (middle, way) in two {
            let span = |axis: usize| {
                let (at, side) = (get(&middle, axis), get(&sides, axis));
                ((at - half).max(0.0), (at + half).min(side))
            };
            let ((x, to_x), (y, to_y)) = (span(0), span(1));
            keep([x, y, high], [to_x, to_y, high + self.terminal_gap_mm]);
            let beyond = |axis: usize| match get(&way, axis) {
                w if w < 0.0 => (-self.beside_mm, 0.0),
                w if w > 0.0 => (get(&sides, axis), get(&sides, axis) + self.beside_mm),
                _ => span(axis),
            };
            let ((x, to_x), (y, to_y)) = (beyond(0), beyond(1));
            let foot = (high - self.beside_mm).max(0.0);
            if self.beside_mm > 0.0 {
                keep([x, y, foot], [to_x, to_y, high + self.terminal_gap_mm]);
            }
        }
        clear
    }
}

/// Whether the same room stays clear.
fn alike(one: &[Box3], other: &[Box3]) -> bool {
    let near = |a: &[f64; 3], b: &[f64; 3]| a.iter().zip(b).all(|(a, b)| (a - b).abs() <= SAME_MM);
    one.len() == other.len()
        && one.iter().all(|a| {
            let same = |b: &Box3| near(&a.at_mm, &b.at_mm) && near(&a.size_mm, &b.size_mm);
            other.iter().any(same)
        })
}

fn get(two: &[f64; 2], axis: usize) -> f64 {
    two.get(axis).copied().unwrap_or(0.0)
}

/// A box over a base of such sides, turned with the base by so many quarters to the left.
fn turned(from: [f64; 3], to: [f64; 3], [long, wide]: [f64; 2], quarters: u8) -> Box3 {
    let ([x, y, z], [to_x, to_y, to_z]) = (from, to);
    let ([x, y], [to_x, to_y]) = match quarters % 4 {
        0 => ([x, y], [to_x, to_y]),
        1 => ([wide - to_y, x], [wide - y, to_x]),
        2 => ([long - to_x, wide - to_y], [long - x, wide - y]),
        _ => ([y, long - to_x], [to_y, long - x]),
    };
    Box3 {
        at_mm: [x, y, z],
        size_mm: [to_x - x, to_y - y, to_z - z],
    }
}
