//! The plan's lists, all alike: their rows by id, moved, copied, removed.

use super::{Candidate, Load, Obstacle, Panel, Plan, Route, Stay, Stretch};

/// A list of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum List {
    /// What runs.
    Loads,
    /// Banks to compare.
    Candidates,
    /// What is in the way.
    Obstacles,
    /// Solar panels.
    Panels,
    /// Days in the order in which they repeat.
    Rhythm,
    /// Dated stretches.
    Stays,
    /// Runs that lie otherwise.
    Routes,
}

trait Row: Clone {
    fn id(&mut self) -> &mut u32;
}

macro_rules! rows {
    ($($row:ty),+) => { $(impl Row for $row { fn id(&mut self) -> &mut u32 { &mut self.id } })+ };
}
rows!(Load, Candidate, Obstacle, Panel, Stretch, Stay, Route);

/// What is done to a list.
#[derive(Clone, Copy)]
enum Act {
    Move(isize),
    Copy(u32),
    Remove,
}

/// Does it, and tells where the row stood.
fn act<T: Row>(rows: &mut Vec<T>, id: u32, what: Act) -> Option<usize> {
    let at = rows.iter_mut().position(|row| *row.id() == id)?;
    match what {
        Act::Move(places) => {
            let to = at.saturating_add_signed(places).min(rows.len() - 1);
            let row = rows.remove(at);
            rows.insert(to, row);
        }
        Act::Copy(fresh) => {
            let mut copy = rows.get(at)?.clone();
            *copy.id() = fresh;
            rows.insert(at + 1, copy);
        }
        Act::Remove => {
            rows.remove(at);
        }
    }
    Some(at)
}

impl List {
    /// Every list.
    pub const ALL: [Self; 7] = [
        Self::Loads,
        Self::Candidates,
        Self::Obstacles,
        Self::Panels,
        Self::Rhythm,
        Self::Stays,
        Self::Routes,
    ];

    /// Its path.
    pub fn path(self) -> &'static str {
        match self {
            Self::Loads => "loads",
            Self::Candidates => "candidates",
            Self::Obstacles => "locker/obstacles",
            Self::Panels => "sun/panels",
            Self::Rhythm => "living/rhythm",
            Self::Stays => "living/stays",
            Self::Routes => "wiring/routes",
        }
    }
}

impl Plan {
    /// The ids of a list's rows, in their order.
    pub fn ids(&self, list: List) -> Vec<u32> {
        match list {
            List::Loads => self.loads.iter().map(|row| row.id).collect(),
            List::Candidates => self.candidates.iter().map(|row| row.id).collect(),
            List::Obstacles => self.locker.obstacles.iter().map(|row| row.id).collect(),
            List::Panels => self.sun.panels.iter().map(|row| row.id).collect(),
            List::Rhythm => self.living.rhythm.iter().map(|row| row.id).collect(),
            List::Stays => self.living.stays.iter().map(|row| row.id).collect(),
            List::Routes => self.wiring.routes.iter().map(|row| row.id).collect(),
        }
    }

    fn act(&mut self, list: List, id: u32, what: Act) -> Option<usize> {
        match list {
            List::Loads => act(&mut self.loads, id, what),
            List::Candidates => act(&mut self.candidates, id, what),
            List::Obstacles => act(&mut self.locker.obstacles, id, what),
            List::Panels => act(&mut self.sun.panels, id, what),
            List::Rhythm => act(&mut self.living.rhythm, id, what),
            List::Stays => act(&mut self.living.stays, id, what),
            List::Routes => act(&mut self.wiring.routes, id, what),
        }
    }

    /// Moves a row by so many places, as far as the list goes.
    pub fn move_row(&mut self, list: List, id: u32, places: isize) {
        self.act(list, id, Act::Move(places));
    }

    /// Puts a copy with an id of its own behind a row.
    pub fn duplicate_row(&mut self, list: List, id: u32) {
        let fresh = self.fresh_id();
        self.act(list, id, Act::Copy(fresh));
        let at = |id: u32| format!("{}/{id}", list.path());
        self.guess_as(&at(fresh), &at(id));
    }

    /// Takes a row out, with its guesses and its unread text; tells where it stood.
    pub fn remove_row(&mut self, list: List, id: u32) -> Option<usize> {
        let at = self.act(list, id, Act::Remove)?;
        let prefix = format!("{}/{id}/", list.path());
        self.guesses.retain(|path| !path.starts_with(&prefix));
        self.drafts.retain(|path, _| !path.starts_with(&prefix));
        Some(at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_move_are_copied_and_leave() {
        let mut plan = Plan::default();
        for id in [5, 6, 7] {
            plan.loads.push(Load {
                id,
                ..Load::default()
            });
        }
        plan.guesses.insert("loads/6/draw".into());
        plan.move_row(List::Loads, 5, 1);
        assert_eq!(plan.ids(List::Loads), [6, 5, 7]);
        plan.move_row(List::Loads, 7, 9);
        plan.move_row(List::Loads, 6, -9);
        assert_eq!(plan.ids(List::Loads), [6, 5, 7]);
        plan.duplicate_row(List::Loads, 6);
        assert_eq!(plan.ids(List::Loads), [6, 8, 5, 7]);
        assert!(plan.is_guess("loads/8/draw"), "a copy is as much a guess");
        plan.accept("loads/8/draw");
        assert_eq!(plan.remove_row(List::Loads, 6), Some(0));
        assert!(plan.guesses.is_empty());
        assert_eq!(plan.remove_row(List::Loads, 6), None);
        for list in List::ALL {
            assert!(list.path().split('/').count() <= 2);
        }
    }
}
