//! By how much it fits, or misses: the least inside measure on each axis that holds the cases.
//!
//! An inside that is made longer or shorter moves its far wall, and what touches that wall moves with it: then more room
//! never hurts. The least measure is one of a known list, since in it some case touches the far wall or what hangs on it;
//! so it is found exactly, by halving that list.

use super::arrange::{MOST_CASES, most, place, with_others};
use super::case::{Case, Terminals};
use super::opening::{CarryIn, carry_in};
use super::purse::Purse;
use super::space::{Box3, Certainty, Locker, Placement, Rules, SAME_MM, of};
use super::spread::{Gap, deepest_row, gaps, spread};
use crate::numeric::ascending;
use serde::Serialize;

/// An obstacle this near to a wall touches it [mm].
const TOUCHES_MM: f64 = 1.0;
/// How much longer an inside is tried [mm].
pub(super) const FARTHEST_MM: f64 = 2000.0;
/// How finely the least measure of a locker with a shelf is found [mm].
const SHELF_GRID_MM: f64 = 0.1;
/// Steps of a search beyond which the prettiest arrangement is not looked for.
const DEAR: u64 = 40_000;
/// Steps for all searches by which slack is found.
const STEPS: u64 = 3_000_000;

/// Whether it fits, and by how much.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// It does.
    Fits {
        /// By how much the inside could be shorter along each axis [mm].
        spare_mm: [f64; 3],
        /// The least of these [mm].
        least_mm: f64,
        /// Its axis: 0 length, 1 depth, 2 height.
        axis: usize,
        /// The obstacle that binds there; none where the walls alone do.
        beside: Option<String>,
        /// Whether the measuring may be out by more than the least.
        too_close: bool,
    },
    /// It does not.
    TooBig {
        /// How much more inside each axis would need, alone [mm]; none where no such length helps.
        missing_mm: [Option<f64>; 3],
        /// The least of these [mm].
        least_mm: Option<f64>,
        /// Its axis.
        axis: Option<usize>,
        /// The obstacle that binds there; none where the walls alone do.
        beside: Option<String>,
        /// Whether the measuring may be out by more than the least.
        too_close: bool,
    },
}

/// The answer for so many cases in a locker.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Verdict {
    /// Cases wanted.
    pub wanted: u32,
    /// The most that go in, up to those wanted.
    pub most: u32,
    /// Whether they fit.
    pub outcome: Outcome,
    /// Where they stand; where they don't fit, those that can stand in the arrangement that misses least.
    pub arrangement: Vec<Placement>,
    /// The one that can't, where it would stand.
    pub ghost: Option<Placement>,
    /// How much wider than asked the least gap beside the cases is, in the arrangement that makes it widest [mm].
    pub wider_mm: f64,
    /// How far a slack along each axis may be out [± mm]: the measuring, and the makers' tolerance of a row of cases.
    pub within_mm: [f64; 3],
    /// What each side of each case faces, and how far off.
    pub gaps: Vec<Gap>,
    /// What stays clear about told terminals.
    pub clear: Vec<Box3>,
    /// How they are carried in.
    pub carried: CarryIn,
    /// Whether every search came to its end.
    pub certainty: Certainty,
}

/// Judges so many cases in a locker.
pub fn assess(locker: &Locker, case: &Case, wanted: u32) -> Verdict {
    let (found, certainty, steps) = place(locker, case, wanted, Rules::default());
    // A deeper search on an axis is only worth its time while it can still be exact.
    let mut purse = Purse::of(if certainty == Certainty::Exact {
        STEPS
    } else {
        0
    });
    let needed: [Option<f64>; 3] = std::array::from_fn(|axis| {
        (certainty == Certainty::Exact)
            .then(|| least_inside(locker, case, wanted, axis, &mut purse))
            .flatten()
    });
    let mut verdict = match found {
        Some(arrangement) => fits(locker, case, arrangement, needed, steps, &mut purse),
        None => misses(locker, case, wanted, needed, &mut purse),
    };
    if certainty == Certainty::CutShort || purse.certainty() == Certainty::CutShort {
        verdict.certainty = Certainty::CutShort;
    }
    verdict
}

fn fits(
    locker: &Locker,
    case: &Case,
    found: Vec<Placement>,
    needed: [Option<f64>; 3],
    steps: u64,
    purse: &mut Purse,
) -> Verdict {
    let wanted = found.iter().filter(|one| one.kind == 0).count() as u32;
    let (arrangement, wider_mm, carried) = carried_best(locker, case, found, steps, purse);
    let within_mm = uncertainty(locker, case, &arrangement);
    let spare_mm = std::array::from_fn(|axis| {
        let least = needed.get(axis).copied().flatten();
        least.map_or(0.0, |least| (of(&locker.inside_mm, axis) - least).max(0.0))
    });
    let (axis, least_mm) = smallest(spare_mm.into_iter().map(Some)).unwrap_or((0, 0.0));
    let least = needed.get(axis).copied().flatten();
    let outcome = Outcome::Fits {
        spare_mm,
        least_mm,
        axis,
        beside: binding(locker, case, wanted, axis, least, purse),
        too_close: least_mm < of(&within_mm, axis),
    };
    Verdict {
        wanted,
        most: wanted,
        outcome,
        wider_mm,
        within_mm,
        gaps: gaps(locker, case, &arrangement),
        clear: clear(locker, case, &arrangement),
        carried,
        arrangement,
        ghost: None,
        certainty: Certainty::Exact,
    }
}

/// The arrangement to show: the widest spread of those that can be carried in, else of all. How much wider than asked its least
/// gap is [mm], and how it is carried in.
fn carried_best(
    locker: &Locker,
    case: &Case,
    found: Vec<Placement>,
    steps: u64,
    purse: &mut Purse,
) -> (Vec<Placement>, f64, CarryIn) {
    let wanted = found.iter().filter(|one| one.kind == 0).count() as u32;
    let kinds = with_others(locker, case, wanted);
    let spread_out = |passing: bool| {
        let rules = Rules {
            budget: DEAR,
            passing,
            ..Rules::default()
        };
        let best = (steps < DEAR).then(|| spread(locker, &kinds, rules));
        best.flatten().map(|(best, wider, _)| (best, wider))
    };
    let judged = |(arrangement, wider): (Vec<Placement>, f64)| {
        let carried = carry_in(locker, &arrangement);
        (arrangement, wider, carried)
    };
    let first = judged(spread_out(false).unwrap_or_else(|| (found.clone(), 0.0)));
    if first.2.order.is_some() {
        return first;
    }
    // Attitudes that pass the opening straight may make another arrangement.
    let passing = spread_out(true).or_else(|| {
        let rules = Rules {
            passing: true,
            ..Rules::default()
        };
        Some((purse.place_under(locker, case, wanted, rules)?, 0.0))
    });
    let others = passing.into_iter().chain([(found, 0.0)]).map(judged);
    let mut others = others.collect::<Vec<_>>().into_iter();
    others
        .find(|(.., carried)| carried.order.is_some())
        .unwrap_or(first)
}

fn misses(
    locker: &Locker,
    case: &Case,
    wanted: u32,
    needed: [Option<f64>; 3],
    purse: &mut Purse,
) -> Verdict {
    let missing_mm: [Option<f64>; 3] = std::array::from_fn(|axis| {
        let least = needed.get(axis).copied().flatten();
        least.map(|least| (least - of(&locker.inside_mm, axis)).max(0.0))
    });
    let least = smallest(missing_mm);
    let (axis, least_mm) = (least.map(|(axis, _)| axis), least.map(|(_, mm)| mm));
    let mut arrangement = Vec::new();
    let mut ghost = None;
    let mut beside = None;
    let mut within_mm = uncertainty(locker, case, &[]);
    if let Some((axis, mm)) = least {
        let to_mm = of(&locker.inside_mm, axis) + mm;
        beside = binding(locker, case, wanted, axis, Some(to_mm), purse);
        let grown = resized(locker, axis, to_mm);
        let all = purse.place(&grown, case, wanted).unwrap_or_default();
        within_mm = uncertainty(locker, case, &all);
        for placement in all {
            let mut with = arrangement.clone();
            with.push(placement);
            if super::may_stand(locker, case, &with, Rules::default()) {
                arrangement = with;
            } else {
                ghost = Some(placement);
            }
        }
    }
    let fewer = most(locker, case, wanted.saturating_sub(1), Rules::default());
    if arrangement.len() < fewer.count as usize {
        // The arrangement that misses least leaves too few standing: show the most that go in, and one more.
        arrangement.clone_from(&fewer.placements);
    }
    let others: u32 = locker.others.iter().map(|(_, count)| count).sum();
    let certainty = if wanted + others > MOST_CASES {
        Certainty::CutShort
    } else {
        fewer.certainty
    };
    let too_close = least.is_some_and(|(axis, mm)| mm <= of(&within_mm, axis));
    Verdict {
        wanted,
        most: fewer.count,
        outcome: Outcome::TooBig {
            missing_mm,
            least_mm,
            axis,
            beside,
            too_close,
        },
        wider_mm: 0.0,
        within_mm,
        gaps: gaps(locker, case, &arrangement),
        clear: clear(locker, case, &arrangement),
        carried: carry_in(locker, &arrangement),
        arrangement,
        ghost,
        certainty,
    }
}

/// What stays clear about the terminals of every case.
fn clear(locker: &Locker, case: &Case, arrangement: &[Placement]) -> Vec<Box3> {
    let kinds = with_others(locker, case, 0);
    let each = arrangement.iter().flat_map(|one| {
        let rooms = kinds
            .get(one.kind)
            .map(|(case, _)| case.keep_clear(one.quarters, one.terminals));
        let shift = |mut room: Box3| {
            for (at, by) in room.at_mm.iter_mut().zip(&one.at_mm) {
                *at += by;
            }
            room
        };
        rooms.unwrap_or_default().into_iter().map(shift)
    });
    each.collect()
}

/// How far a slack along each axis may be out [± mm]: the locker's measuring, and each case of the longest row.
fn uncertainty(locker: &Locker, case: &Case, arrangement: &[Placement]) -> [f64; 3] {
    std::array::from_fn(|axis| {
        let row = deepest_row(arrangement, axis).max(1);
        let others = locker.others.iter().map(|(other, _)| other.within_mm);
        locker.measured_within_mm + row as f64 * others.fold(case.within_mm, f64::max)
    })
}

fn smallest(values: impl IntoIterator<Item = Option<f64>>) -> Option<(usize, f64)> {
    let known = values
        .into_iter()
        .enumerate()
        .filter_map(|(axis, mm)| Some((axis, mm?)));
    known.min_by(|a, b| a.1.total_cmp(&b.1))
}

/// The locker with another inside measure on an axis: its far wall moves, and with it whatever touches it.
pub(super) fn resized(locker: &Locker, axis: usize, to_mm: f64) -> Locker {
    let mut resized = locker.clone();
    let from = of(&locker.inside_mm, axis);
    let by = to_mm - from;
    if let Some(slot) = resized.inside_mm.get_mut(axis) {
        *slot = to_mm;
    }
    let things = resized.obstacles.iter_mut().map(|thing| &mut thing.space);
    // A weak part of the floor that reaches to the wall goes with it too; the floor itself stays where it is.
    let spots = resized.spots.iter_mut().map(|spot| &mut spot.space);
    for space in things.chain(spots.filter(|_| axis < 2)) {
        let (Some(at), Some(size)) = (space.at_mm.get_mut(axis), space.size_mm.get_mut(axis))
        else {
            continue;
        };
        if *at + *size < from - TOUCHES_MM {
            continue;
        }
        if *at <= TOUCHES_MM {
            *size += by;
        } else {
            *at += by;
        }
    }
    resized
}

/// The least inside measure on an axis that holds the cases; none up to `FARTHEST_MM` beyond what there is.
pub(super) fn least_inside(
    locker: &Locker,
    case: &Case,
    wanted: u32,
    axis: usize,
    purse: &mut Purse,
) -> Option<f64> {
    let inside = of(&locker.inside_mm, axis);
    // With a shelf, a slope, a weak floor or told terminals there are more such measures than are worth listing.
    let things = &locker.obstacles;
    let kinds = with_others(locker, case, wanted);
    let mut measures = if things
        .iter()
        .any(|thing| thing.carries || thing.slope.is_some())
        || !locker.spots.is_empty()
        || kinds
            .iter()
            .any(|(case, _)| case.terminals != Terminals::Anywhere)
    {
        (1..=((inside + FARTHEST_MM) / SHELF_GRID_MM) as u32)
            .map(|step| f64::from(step) * SHELF_GRID_MM)
            .collect()
    } else {
        measures(locker, &kinds, axis)
    };
    measures.retain(|mm| *mm <= inside + FARTHEST_MM && *mm > 0.0);
    ascending(&mut measures);
    measures.dedup_by(|a, b| (*a - *b).abs() <= SAME_MM);
    let mut holds = |mm: f64| purse.holds(&resized(locker, axis, mm), case, wanted);
    let (mut low, mut high) = (0, measures.len());
    // The first measure that holds; more room never hurts.
    while low < high {
        let middle = low.midpoint(high);
        if measures.get(middle).is_some_and(|mm| holds(*mm)) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    measures.get(high).copied()
}

/// Every measure on an axis at which a case could just touch the far wall, or what hangs on it.
fn measures(locker: &Locker, kinds: &[(&Case, u32)], axis: usize) -> Vec<f64> {
    let inside = of(&locker.inside_mm, axis);
    let side = kinds.iter().map(|(case, _)| case.side_gap_mm);
    let side = side.fold(0.0, f64::max);
    let gap = if axis == 2 { 0.0 } else { side };
    let wanted: u32 = kinds.iter().map(|(_, count)| count).sum();
    let sizes: Vec<f64> = kinds
        .iter()
        .flat_map(|(case, _)| case.turnings(side))
        .map(|turned| of(&turned.block_mm, axis))
        .collect();
    let end =
        |thing: &super::Obstacle| of(&thing.space.at_mm, axis) + of(&thing.space.size_mm, axis);
    let hangs = |thing: &&super::Obstacle| {
        end(thing) >= inside - TOUCHES_MM && of(&thing.space.at_mm, axis) > TOUCHES_MM
    };
    let free = locker.obstacles.iter().filter(|thing| !hangs(thing));
    let mut rows: Vec<f64> = std::iter::once(gap)
        .chain(free.map(|thing| end(thing) + gap))
        .collect();
    let deepest = if axis == 2 { 1 } else { wanted };
    let mut newest = rows.clone();
    let mut ends = Vec::new();
    for _ in 0..deepest {
        let mut next: Vec<f64> = Vec::new();
        for from in &newest {
            for size in &sizes {
                let to = from + size;
                if to <= inside + FARTHEST_MM
                    && !next.iter().any(|known| (known - to).abs() <= SAME_MM)
                {
                    next.push(to);
                }
            }
        }
        rows.extend(&next);
        ends.extend(&next);
        newest = next;
    }
    let hung: Vec<f64> = locker
        .obstacles
        .iter()
        .filter(hangs)
        .map(|thing| inside - of(&thing.space.at_mm, axis))
        .collect();
    let mut all = ends.clone();
    for depth in hung {
        all.extend(ends.iter().map(|end| end + depth));
    }
    // A wall can come no nearer than an obstacle that does not hang on it.
    all.extend(
        locker
            .obstacles
            .iter()
            .filter(|thing| !hangs(thing))
            .map(end),
    );
    all
}

/// The obstacle without which the least measure would be smallest, where that makes a difference.
fn binding(
    locker: &Locker,
    case: &Case,
    wanted: u32,
    axis: usize,
    least: Option<f64>,
    purse: &mut Purse,
) -> Option<String> {
    let least = least?;
    let things = locker.obstacles.len();
    let mut without = |at: usize| {
        let mut cleared = locker.clone();
        if at < things {
            cleared.obstacles.remove(at);
        } else {
            cleared.spots.remove(at - things);
        }
        least_inside(&cleared, case, wanted, axis, purse)
    };
    let all = 0..things + locker.spots.len();
    let eased = all.filter_map(|at| Some((at, least - without(at)?)));
    let (at, by) = eased.max_by(|a, b| a.1.total_cmp(&b.1))?;
    let names = locker.obstacles.iter().map(|thing| &thing.name);
    let mut names = names.chain(locker.spots.iter().map(|spot| &spot.name));
    (by > SAME_MM).then(|| names.nth(at).cloned()).flatten()
}
