//! Changes to a locker or a case, and what is there after them.

use super::case::{Case, Turning};
use super::slack::resized;
use super::space::{Certainty, Locker};
use serde::Serialize;

/// One change.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Change {
    /// The space beside every case made less, to so much.
    Gap {
        /// By how much less [mm].
        by_mm: f64,
        /// What is left [mm].
        to_mm: f64,
    },
    /// A wall or the lid set out.
    Longer {
        /// The axis: 0 length, 1 depth, 2 height.
        axis: usize,
        /// By how much [mm].
        by_mm: f64,
    },
    /// A movable obstacle moved: along one side, or to a place of its own and there along one side.
    Move {
        /// Which, counted from 0.
        obstacle: usize,
        /// By how much to the right, the back and the lid; negative the other way [mm].
        by_mm: [f64; 3],
    },
    /// A movable obstacle taken out.
    Remove {
        /// Which, counted from 0.
        obstacle: usize,
    },
    /// Cables that leave another way.
    Exit {
        /// Which of the ways offered, counted from 0.
        way: usize,
        /// Height that is then free above the terminals [mm].
        to_mm: f64,
        /// What the cables then take beyond the case at the terminals [mm].
        beside_mm: f64,
    },
    /// A shelf or a part of the floor made to bear more.
    Bear {
        /// Which: of the obstacles, and after them of the parts of the floor, counted from 0.
        part: usize,
        /// How much it must bear [kg].
        to_kg: f64,
    },
    /// Another lie allowed.
    Turn {
        /// Which.
        turning: Turning,
    },
    /// Another standard case.
    Case {
        /// Which of those offered, counted from 0.
        case: usize,
        /// Its size [mm].
        size_mm: [f64; 3],
    },
}

/// What may be changed besides the locker.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Offers {
    /// Of each other way for the cables, height above the terminals and length beyond the case beside them [mm].
    pub exits_mm: Vec<[f64; 2]>,
    /// Other lies that chemistry and maker allow.
    pub turnings: Vec<Turning>,
    /// Sizes of other cases [mm].
    pub cases_mm: Vec<[f64; 3]>,
}

/// One or two changes that admit the cases.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Taking {
    /// The changes.
    pub changes: Vec<Change>,
    /// How large they are together, to put them in order: millimetres of a gap, a wall or a move; for another exit the
    /// height that it saves, for another lie its difference in height, for another case its largest difference of a side,
    /// for taking a thing out its largest side, for a floor that bears more a millimetre a kilogram [mm, assumed].
    pub size_mm: f64,
}

/// What would it take.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WhatItTakes {
    /// How many cases are asked for.
    pub target: u32,
    /// Ways, the smallest change first.
    pub ways: Vec<Taking>,
    /// Whether every search came to its end; where not, a smaller change may have been missed.
    pub certainty: Certainty,
}

/// The locker and the case after a change.
pub fn after(locker: &Locker, case: &Case, change: &Change) -> (Locker, Case) {
    let (mut locker, mut case) = (locker.clone(), case.clone());
    match change {
        Change::Gap { to_mm, .. } => case.side_gap_mm = *to_mm,
        Change::Longer { axis, by_mm } => {
            let inside = locker.inside_mm.get(*axis).copied().unwrap_or(0.0);
            locker = resized(&locker, *axis, inside + by_mm);
        }
        Change::Move { obstacle, by_mm } => {
            if let Some(thing) = locker.obstacles.get_mut(*obstacle) {
                for (at, by) in thing.space.at_mm.iter_mut().zip(by_mm) {
                    *at += by;
                }
            }
        }
        Change::Remove { obstacle } => {
            // It stays in the list, far outside, so that the others keep their numbers.
            if let Some(thing) = locker.obstacles.get_mut(*obstacle) {
                thing.space.at_mm = [-1e6; 3];
                thing.carries = false;
            }
        }
        Change::Exit {
            to_mm, beside_mm, ..
        } => (case.terminal_gap_mm, case.beside_mm) = (*to_mm, *beside_mm),
        Change::Bear { part, to_kg } => {
            let things = locker.obstacles.len();
            if let Some(thing) = locker.obstacles.get_mut(*part) {
                thing.bears_kg = Some(*to_kg);
            } else if let Some(spot) = locker.spots.get_mut(part.saturating_sub(things)) {
                spot.bears_kg = *to_kg;
            }
        }
        Change::Turn { turning } => case.turning = *turning,
        Change::Case { size_mm, .. } => case.size_mm = *size_mm,
    }
    (locker, case)
}
