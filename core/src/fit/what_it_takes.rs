//! What would it take: of each single change the least that admits so many cases, the smallest first; pairs where no single
//! change does.
//!
//! More height or length, or less gap, can't hurt, so there the least is found by halving, to 0.1 mm. A thing that is moved
//! can help and then harm, so it is moved a millimetre at a time, along one side, and the claim is "at no smaller move on
//! a 1 mm grid". The order in which changes of different kinds stand is ours (assumed): see [`Taking::size_mm`].

use super::case::{Case, Turning};
use super::change::{Change, Offers, Taking, WhatItTakes, after};
use super::moves::{into_place, may_go, steps};
use super::purse::Purse;
use super::slack::{FARTHEST_MM, least_inside};
use super::space::{Goes, Locker, SAME_MM};
use crate::numeric::{ascending, order};

/// How exactly the least is found where more can't hurt [mm].
const TO_MM: f64 = 0.1;
/// Steps for all searches together.
const STEPS: u64 = 6_000_000;
/// Most ways that are told.
const MOST_WAYS: usize = 8;

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
        if moves {
            found.extend(self.stiffer(purse));
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
            // Of what only stands in the way a move helps where it helps to be gone; a shelf may carry where it goes.
            if thing.carries || self.with(&Change::Remove { obstacle }).holds(purse) {
                found.extend(self.least_move(obstacle, first, purse));
            }
        }
        found
    }

    /// The least that each shelf or part of the floor must bear: what some of the cases weigh together, since more of it can't
    /// hurt.
    fn stiffer(&self, purse: &mut Purse) -> Vec<Change> {
        let mut sums = vec![0.0];
        let others = self.locker.others.iter();
        let kinds = others.map(|(case, count)| (case.mass_kg, *count));
        for (kg, count) in kinds.chain([(self.case.mass_kg, self.target)]) {
            let each = |sum: &f64| {
                let sum = *sum;
                (0..=count).map(move |so_many| sum + f64::from(so_many) * kg)
            };
            sums = sums.iter().flat_map(each).collect();
        }
        ascending(&mut sums);
        let things = self.locker.obstacles.iter();
        let shelves = things.map(|thing| thing.bears_kg.filter(|_| thing.carries));
        let floor = self.locker.spots.iter().map(|spot| Some(spot.bears_kg));
        let mut found = Vec::new();
        for (part, bears_kg) in shelves.chain(floor).enumerate() {
            let Some(bears_kg) = bears_kg else { continue };
            let more = sums.iter().filter(|kg| **kg > bears_kg);
            let mut changes = more.map(|kg| Change::Bear { part, to_kg: *kg });
            found.extend(changes.find(|change| self.with(change).holds(purse)));
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
            Change::Bear { part, to_kg } => {
                let things = &self.locker.obstacles;
                let bears_kg = match things.get(*part) {
                    Some(thing) => thing.bears_kg,
                    None => {
                        let spot = self.locker.spots.get(part.saturating_sub(things.len()));
                        spot.map(|spot| spot.bears_kg)
                    }
                };
                to_kg - bears_kg.unwrap_or(0.0)
            }
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
