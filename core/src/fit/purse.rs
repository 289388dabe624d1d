//! Steps for many searches out of one purse, so that a row of questions ends too; and whether any of them was cut short.

use super::arrange::place;
use super::case::Case;
use super::space::{Certainty, Locker, Placement, Rules};

/// Most steps of one search of many.
const EACH: u64 = 200_000;

/// Steps that are left, and whether a search could not end with them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Purse {
    left: u64,
    certainty: Certainty,
}

impl Purse {
    /// So many steps for all searches together.
    pub(super) fn of(steps: u64) -> Self {
        Self {
            left: steps,
            certainty: Certainty::Exact,
        }
    }

    /// An arrangement of so many cases on the floor and the shelves; none where none was found.
    pub(super) fn place(
        &mut self,
        locker: &Locker,
        case: &Case,
        count: u32,
    ) -> Option<Vec<Placement>> {
        self.place_under(locker, case, count, Rules::default())
    }

    /// An arrangement under such rules, their budget held to what is left; none where none was found.
    pub(super) fn place_under(
        &mut self,
        locker: &Locker,
        case: &Case,
        count: u32,
        rules: Rules,
    ) -> Option<Vec<Placement>> {
        let rules = Rules {
            budget: self.left.min(EACH),
            ..rules
        };
        let (found, certainty, steps) = place(locker, case, count, rules);
        self.left = self.left.saturating_sub(steps);
        if certainty == Certainty::CutShort {
            self.certainty = certainty;
        }
        found
    }

    /// Whether they go in.
    pub(super) fn holds(&mut self, locker: &Locker, case: &Case, count: u32) -> bool {
        self.place(locker, case, count).is_some()
    }

    /// Whether every search came to its end.
    pub(super) fn certainty(&self) -> Certainty {
        self.certainty
    }
}
