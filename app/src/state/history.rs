//! Undo and redo: plans as they stood.

use larder::plan::Plan;
use std::sync::Arc;

/// Steps kept.
const MOST: usize = 200;

/// What can be undone and done again.
#[derive(Clone, Debug, Default)]
pub struct History {
    past: Vec<Arc<Plan>>,
    future: Vec<Arc<Plan>>,
    last_path: String,
}

impl History {
    /// Remembers the plan as it stood before a change. Changes of one field in a row count as one step.
    pub fn remember(&mut self, before: &Arc<Plan>, path: &str) {
        self.future.clear();
        if !path.is_empty() && path == self.last_path {
            return;
        }
        path.clone_into(&mut self.last_path);
        self.past.push(before.clone());
        if self.past.len() > MOST {
            self.past.remove(0);
        }
    }

    /// Ends the step, so that the next change of the same field counts anew.
    pub fn settle(&mut self) {
        self.last_path.clear();
    }

    /// The plan one step back, where there is one.
    pub fn undo(&mut self, now: &Arc<Plan>) -> Option<Arc<Plan>> {
        let before = self.past.pop()?;
        self.future.push(now.clone());
        self.settle();
        Some(before)
    }

    /// The plan one step forward again, where there is one.
    pub fn redo(&mut self, now: &Arc<Plan>) -> Option<Arc<Plan>> {
        let after = self.future.pop()?;
        self.past.push(now.clone());
        self.settle();
        Some(after)
    }

    /// Whether there is a step back.
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// Whether there is a step forward.
    pub fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(name: &str) -> Arc<Plan> {
        Arc::new(Plan {
            name: name.into(),
            ..Plan::default()
        })
    }

    #[test]
    fn typing_in_one_field_is_one_step() {
        let mut history = History::default();
        history.remember(&named("a"), "name");
        history.remember(&named("ab"), "name");
        let back = history.undo(&named("abc")).unwrap();
        assert_eq!(back.name, "a");
        assert!(!history.can_undo());
        assert_eq!(history.redo(&back).unwrap().name, "abc");
    }

    #[test]
    fn a_change_ends_what_could_be_done_again() {
        let mut history = History::default();
        history.remember(&named("a"), "");
        let back = history.undo(&named("b")).unwrap();
        history.remember(&back, "");
        assert!(!history.can_redo());
    }
}
