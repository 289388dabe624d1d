//! The doors to the exact search: an arrangement of so many cases, and the most that go in.

use super::case::Case;
use super::search::Searcher;
use super::space::{Certainty, Locker, Placement, Rules};

/// Most cases that are searched for.
pub(super) const MOST_CASES: u32 = 8;

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Search {
    /// How many go in.
    pub count: u32,
    /// Where they stand.
    pub placements: Vec<Placement>,
    /// Whether nothing was left untried.
    pub certainty: Certainty,
    /// Steps taken.
    pub steps: u64,
}

/// So many cases, and with them those of other kinds that stand in the locker too.
pub(super) fn with_others<'a>(
    locker: &'a Locker,
    case: &'a Case,
    count: u32,
) -> Vec<(&'a Case, u32)> {
    let others = locker.others.iter().map(|(case, count)| (case, *count));
    std::iter::once((case, count)).chain(others).collect()
}

/// An arrangement of so many cases, those of other kinds in the locker among them; none where there is none, with how sure
/// that is and the steps taken.
pub fn place(
    locker: &Locker,
    case: &Case,
    count: u32,
    rules: Rules,
) -> (Option<Vec<Placement>>, Certainty, u64) {
    place_all(locker, &with_others(locker, case, count), rules)
}

/// An arrangement of so many cases of each kind; the largest of their side gaps holds for all.
pub fn place_all(
    locker: &Locker,
    kinds: &[(&Case, u32)],
    rules: Rules,
) -> (Option<Vec<Placement>>, Certainty, u64) {
    place_below(locker, kinds, rules, f64::INFINITY)
}

/// The same with the sum of the heights of their middles below a bound [mm].
pub(super) fn place_below(
    locker: &Locker,
    kinds: &[(&Case, u32)],
    rules: Rules,
    below_mm: f64,
) -> (Option<Vec<Placement>>, Certainty, u64) {
    let count: u32 = kinds.iter().map(|(_, count)| count).sum();
    if count > MOST_CASES {
        return (None, Certainty::CutShort, 0);
    }
    Searcher::new(locker, kinds, rules, below_mm).search()
}

/// The most cases that go in, up to `upto`, beside those of other kinds in the locker.
pub fn most(locker: &Locker, case: &Case, upto: u32, rules: Rules) -> Search {
    let mut best = Search {
        count: 0,
        placements: Vec::new(),
        certainty: Certainty::Exact,
        steps: 0,
    };
    let others: u32 = locker.others.iter().map(|(_, count)| count).sum();
    let first = u32::from(others == 0);
    for count in first..=upto.min(MOST_CASES.saturating_sub(others)) {
        let (found, certainty, steps) = place(locker, case, count, rules);
        best.steps += steps;
        match found {
            Some(placements) => (best.count, best.placements) = (count, placements),
            None => {
                best.certainty = certainty;
                break;
            }
        }
    }
    best
}
