//! What would it take: of each single change the least that admits so many cases, the smallest first; pairs where no single
//! change does.
//!
//! More height or length, or less gap, can't hurt, so there the least is found by halving, to 0.1 mm. A thing that is moved
//! can help and then harm, so it is moved a millimetre at a time, along one side, and the claim is "at no smaller move on
//! a 1 mm grid". The order in which changes of different kinds stand is ours (assumed): see [`Taking::size_mm`].

use super::case::{Case, Turning};
use super::purse::Purse;
use super::slack::{FARTHEST_MM, least_inside, resized};
use super::space::{Box3, Certainty, Goes, Locker, SAME_MM};
use crate::numeric::order;
use serde::Serialize;

/// How exactly the least is found where more can't hurt [mm].
const TO_MM: f64 = 0.1;
/// Steps for all searches together.
const STEPS: u64 = 6_000_000;
/// Most ways that are told.
const MOST_WAYS: usize = 8;

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
    /// for taking a thing out its largest side [mm, assumed].
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
        Change::Turn { turning } => case.turning = *turning,
        Change::Case { size_mm, .. } => case.size_mm = *size_mm,
    }
    (locker, case)
}

/// What would admit `target` cases.
pub fn what_it_takes(locker: &Locker, case: &Case, target: u32, offers: &Offers) -> WhatItTakes {
    let mut purse = Purse::of(STEPS);
    let asked = Asked {
        locker: locker.clone(),
        case: case.clone(),
        target,
    };
    let mut ways = Vec::new();
    if !asked.holds(&mut purse) {
        let one = |change: Change| Taking {
            size_mm: asked.size(&change),
            changes: vec![change],
        };
        ways.extend(asked.singles(offers, true, &mut purse).into_iter().map(one));
        if ways.is_empty() {
            ways = asked.pairs(offers, &mut purse);
        }
        let sizes: Vec<f64> = ways.iter().map(|way| way.size_mm).collect();
        let smallest = order(&sizes).into_iter().take(MOST_WAYS);
        ways = smallest.filter_map(|at| ways.get(at).cloned()).collect();
    }
    WhatItTakes {
        target,
        ways,
        certainty: purse.certainty(),
    }
}

/// A change of which more can't hurt.
#[derive(Clone, Copy, PartialEq)]
enum More {
    LessGap,
    Longer(usize),
}

const MORE: [More; 4] = [
    More::LessGap,
    More::Longer(0),
    More::Longer(1),
    More::Longer(2),
];

/// So many cases in a locker.
struct Asked {
    locker: Locker,
    case: Case,
    target: u32,
}

impl Asked {
    fn with(&self, change: &Change) -> Self {
        let (locker, case) = after(&self.locker, &self.case, change);
        Self {
            locker,
            case,
            target: self.target,
        }
    }

    fn holds(&self, purse: &mut Purse) -> bool {
        purse.holds(&self.locker, &self.case, self.target)
    }

    /// Every single change that admits the cases, each by its least.
    fn singles(&self, offers: &Offers, moves: bool, purse: &mut Purse) -> Vec<Change> {
        let mut found: Vec<Change> = MORE
            .iter()
            .filter_map(|more| self.least(*more, purse))
            .collect();
        for change in self.choices(offers) {
            if self.with(&change).holds(purse) {
                found.push(change);
            }
        }
        let things = self.locker.obstacles.iter().enumerate();
        for (obstacle, thing) in things.filter(|(_, thing)| moves && thing.movable) {
            let first = match thing.goes {
                Goes::Anywhere => [0.0; 3],
                Goes::Outside => continue,
                Goes::Within(place) => {
                    // Where it may go lies in the list of choices already; it may slide on within it.
                    found.retain(|change| !is_move_of(change, obstacle));
                    into_place(&self.locker, obstacle, &place)
                }
            };
            // Only of what helps when it is gone a move can help.
            if self.with(&Change::Remove { obstacle }).holds(purse) {
                found.extend(self.least_move(obstacle, first, purse));
            }
        }
        found
    }

    /// Every change that is made or not made.
    fn choices(&self, offers: &Offers) -> Vec<Change> {
        let things = self.locker.obstacles.iter().enumerate();
        let removed = things
            .filter(|(_, thing)| thing.movable && thing.space.at_mm[0] > -1e5)
            .filter_map(|(obstacle, thing)| {
                let Goes::Within(place) = thing.goes else {
                    return Some(Change::Remove { obstacle });
                };
                let by_mm = into_place(&self.locker, obstacle, &place);
                let moves = by_mm != [0.0; 3] && may_go(&self.locker, obstacle, by_mm);
                moves.then_some(Change::Move { obstacle, by_mm })
            });
        let exits = offers
            .exits_mm
            .iter()
            .enumerate()
            .filter(|(_, [mm, _])| *mm + SAME_MM < self.case.terminal_gap_mm);
        let turnings = offers
            .turnings
            .iter()
            .filter(|turning| **turning != self.case.turning);
        let cases = offers.cases_mm.iter().enumerate();
        removed
            .chain(exits.map(|(way, [to_mm, beside_mm])| Change::Exit {
                way,
                to_mm: *to_mm,
                beside_mm: *beside_mm,
            }))
            .chain(turnings.map(|turning| Change::Turn { turning: *turning }))
            .chain(cases.map(|(case, size_mm)| Change::Case {
                case,
                size_mm: *size_mm,
            }))
            .collect()
    }

    /// So much of a change of which more can't hurt.
    fn more(&self, more: More, by_mm: f64) -> Change {
        match more {
            More::LessGap => Change::Gap {
                by_mm,
                to_mm: self.case.side_gap_mm - by_mm,
            },
            More::Longer(axis) => Change::Longer { axis, by_mm },
        }
    }

    /// The least of it that admits the cases, on tenths of a millimetre.
    fn least(&self, more: More, purse: &mut Purse) -> Option<Change> {
        let tenths = |mm: f64| (mm / TO_MM - SAME_MM).ceil();
        let by_mm = match more {
            More::Longer(axis) => {
                let inside = self.locker.inside_mm.get(axis).copied().unwrap_or(0.0);
                let least =
                    least_inside(&self.locker, &self.case, self.target, axis, purse)? - inside;
                (least > 0.0).then(|| tenths(least) / (1.0 / TO_MM))
            }
            More::LessGap => {
                let all = (self.case.side_gap_mm / TO_MM + SAME_MM).floor() as u32;
                let (mut low, mut high) = (0, all + 1);
                while low + 1 < high {
                    let middle = low.midpoint(high);
                    let less = self.more(more, f64::from(middle) / (1.0 / TO_MM));
                    if self.with(&less).holds(purse) {
                        high = middle;
                    } else {
                        low = middle;
                    }
                }
                (high <= all).then(|| f64::from(high) / (1.0 / TO_MM))
            }
        }?;
        let change = self.more(more, by_mm);
        // A search that was cut short on the way may have led astray.
        self.with(&change).holds(purse).then_some(change)
    }

    /// The least move of a thing on from `first`, along one side, on whole millimetres, that admits the cases: it stays inside
    /// as far as it was, and enters no other thing that it was clear of.
    fn least_move(&self, obstacle: usize, first: [f64; 3], purse: &mut Purse) -> Option<Change> {
        let reach = self
            .locker
            .inside_mm
            .iter()
            .copied()
            .fold(0.0, f64::max)
            .min(FARTHEST_MM);
        for step in 0..=reach as u32 {
            for by_mm in steps(first, f64::from(step)) {
                let change = Change::Move { obstacle, by_mm };
                if by_mm != [0.0; 3]
                    && may_go(&self.locker, obstacle, by_mm)
                    && self.with(&change).holds(purse)
                {
                    return Some(change);
                }
            }
        }
        None
    }

    /// Pairs: one that is made or not with the least of another, and two of which more can't hurt.
    fn pairs(&self, offers: &Offers, purse: &mut Purse) -> Vec<Taking> {
        let mut found: Vec<Taking> = Vec::new();
        let choices = self.choices(offers);
        for (at, first) in choices.iter().enumerate() {
            let with = self.with(first);
            let seconds = with.singles(&Offers::default(), false, purse);
            let later = choices
                .iter()
                .skip(at + 1)
                .filter(|second| may_join(first, second));
            let both = later
                .filter(|second| with.with(second).holds(purse))
                .cloned()
                .collect::<Vec<_>>();
            // Things that can be taken out are among the choices already.
            let seconds = seconds
                .into_iter()
                .filter(|second| !matches!(second, Change::Remove { .. } | Change::Move { .. }));
            for second in seconds.chain(both) {
                let size_mm = self.size(first) + with.size(&second);
                found.push(Taking {
                    changes: vec![first.clone(), second],
                    size_mm,
                });
            }
        }
        for (at, one) in MORE.iter().enumerate() {
            for other in MORE.iter().skip(at + 1) {
                found.extend(self.pair(*one, *other, purse));
            }
        }
        found
    }

    /// The least of one with all of the other, then of the other with that.
    fn pair(&self, one: More, other: More, purse: &mut Purse) -> Option<Taking> {
        let all = match other {
            More::LessGap => self.case.side_gap_mm,
            More::Longer(_) => FARTHEST_MM,
        };
        let first = self.with(&self.more(other, all)).least(one, purse)?;
        // Taken over to the locker as it is: the amount is the same.
        let first = match first {
            Change::Gap { by_mm, .. } => self.more(More::LessGap, by_mm),
            kept => kept,
        };
        let with = self.with(&first);
        let second = with.least(other, purse)?;
        let size_mm = self.size(&first) + with.size(&second);
        Some(Taking {
            changes: vec![first, second],
            size_mm,
        })
    }

    fn size(&self, change: &Change) -> f64 {
        let [long, wide, high] = self.case.size_mm;
        match change {
            Change::Gap { by_mm, .. } | Change::Longer { by_mm, .. } => *by_mm,
            Change::Move { by_mm, .. } => by_mm.iter().map(|mm| mm.abs()).sum(),
            Change::Remove { obstacle } => {
                let thing = self.locker.obstacles.get(*obstacle);
                thing.map_or(0.0, |thing| {
                    thing.space.size_mm.iter().copied().fold(0.0, f64::max)
                })
            }
            Change::Exit { to_mm, .. } => (self.case.terminal_gap_mm - to_mm).max(0.0),
            Change::Turn {
                turning: Turning::Any,
            } => (high - long.min(wide)).abs().max((high - long).abs()),
            Change::Turn { .. } => (high - wide).abs(),
            Change::Case { size_mm, .. } => {
                let sides = size_mm.iter().zip(&self.case.size_mm);
                sides
                    .map(|(to, from)| (to - from).abs())
                    .fold(0.0, f64::max)
            }
        }
    }
}

fn is_move_of(change: &Change, thing: usize) -> bool {
    matches!(change, Change::Move { obstacle, .. } if *obstacle == thing)
}

/// Whether two choices are not of the same kind, of which one would undo the other.
fn may_join(first: &Change, second: &Change) -> bool {
    match (first, second) {
        (
            Change::Remove { obstacle: a } | Change::Move { obstacle: a, .. },
            Change::Remove { obstacle: b } | Change::Move { obstacle: b, .. },
        ) => a != b,
        (Change::Exit { .. }, Change::Exit { .. })
        | (Change::Turn { .. }, Change::Turn { .. })
        | (Change::Case { .. }, Change::Case { .. }) => false,
        _ => true,
    }
}

/// So much further from a move along each side, both ways; the move itself where that is nothing.
fn steps(first: [f64; 3], by_mm: f64) -> Vec<[f64; 3]> {
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
