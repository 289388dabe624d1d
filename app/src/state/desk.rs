//! The desk: one plan, one answer, and every way in which the plan changes.

use super::history::History;
use super::larder_store::{self, Kept};
use crate::browser::page;
use crate::browser::store::Refusal;
use larder::finding::Finding;
use larder::plan::{Draft, Plan};
use larder::report::Report;
use leptos::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use std::time::Duration;

/// Quiet after the last key before a fault is shown.
const REST: Duration = Duration::from_millis(600);
/// Quiet after the last change before the plan is kept.
const KEEP: Duration = Duration::from_millis(300);

/// Sentences by the path of the field that they stand at.
pub type Faults = BTreeMap<String, String>;

/// What the plan answers, or the last answer that it had and why there is no new one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Answer {
    /// Which opening of a plan it belongs to.
    opening: u32,
    /// The last good report.
    pub report: Option<Arc<Report>>,
    /// Why there is no newer one; empty where the report is of now.
    pub faults: Arc<Vec<Finding>>,
}

impl Answer {
    /// Whether the report is older than the plan.
    pub fn is_stale(&self) -> bool {
        !self.faults.is_empty()
    }
}

/// Whether the plan is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Keeping {
    /// There is no plan yet.
    Nothing,
    /// Changed since it was kept.
    Waiting,
    /// Kept.
    Kept,
    /// The browser refuses.
    Refused(Refusal),
}

/// Something said once, with a way to act on it.
#[derive(Clone)]
pub struct Notice {
    /// The sentence.
    pub says: String,
    /// A button's word and what it does.
    pub action: Option<(String, Callback<()>)>,
}

/// The field that has the focus, for the strip above a phone's keyboard.
#[derive(Clone)]
pub struct Focused {
    /// What is asked for.
    pub label: String,
    /// Units that may be chosen by a tap.
    pub units: Vec<&'static str>,
    /// Types text into it as keys would.
    pub put: Callback<String>,
    /// What stands in it.
    pub text: Signal<String>,
    /// Steps the number by so many steps.
    pub step: Callback<f64>,
    /// Forgets what was typed but not read.
    pub reset: Callback<()>,
}

/// The plan and everything around it. Copied freely: it is a handful of handles.
#[derive(Clone, Copy)]
pub struct Desk {
    /// The plan as it stands.
    pub plan: RwSignal<Plan>,
    /// Whether a plan is open at all.
    pub is_open: RwSignal<bool>,
    /// The answer.
    pub answer: Memo<Answer>,
    /// Fields that hold our guess.
    pub guesses: Memo<BTreeSet<String>>,
    /// Fields with text that can't be read.
    pub drafts: Memo<BTreeMap<String, Draft>>,
    /// What is wrong, by field, as far as it may be seen.
    pub faults: Memo<Faults>,
    /// Whether typing has rested.
    pub resting: RwSignal<bool>,
    /// Whether the plan is kept.
    pub keeping: RwSignal<Keeping>,
    /// What is to be said.
    pub notice: RwSignal<Option<Notice>>,
    /// The field in focus.
    pub focused: RwSignal<Option<Focused>>,
    /// The plan's name in the store.
    pub id: RwSignal<String>,
    history: RwSignal<History>,
    opening: RwSignal<u32>,
    good: StoredValue<Option<Plan>>,
    rest_timer: StoredValue<Option<TimeoutHandle>>,
    keep_timer: StoredValue<Option<TimeoutHandle>>,
    changed_elsewhere: StoredValue<bool>,
}

impl Default for Desk {
    fn default() -> Self {
        Self::new()
    }
}

impl Desk {
    /// A desk with nothing on it.
    pub fn new() -> Self {
        let plan = RwSignal::new(Plan::default());
        let opening = RwSignal::new(0);
        let resting = RwSignal::new(true);
        let good = StoredValue::new(None::<Plan>);
        let answer = Memo::new(move |last: Option<&Answer>| {
            let now = opening.get();
            plan.with(|plan| match larder::assess(plan) {
                Ok(report) => Answer {
                    opening: now,
                    report: Some(Arc::new(report)),
                    faults: Arc::default(),
                },
                Err(faults) => Answer {
                    opening: now,
                    report: match last {
                        Some(last) if last.opening == now => last.report.clone(),
                        _ => good.with_value(|good| {
                            let good = good.as_ref()?;
                            Some(Arc::new(larder::assess(good).ok()?))
                        }),
                    },
                    faults: Arc::new(faults),
                },
            })
        });
        let desk = Self {
            plan,
            is_open: RwSignal::new(false),
            answer,
            guesses: Memo::new(move |_| plan.with(|plan| plan.guesses.clone())),
            drafts: Memo::new(move |_| plan.with(|plan| plan.drafts.clone())),
            faults: visible_faults(plan, answer, resting),
            resting,
            keeping: RwSignal::new(Keeping::Nothing),
            notice: RwSignal::new(None),
            focused: RwSignal::new(None),
            id: RwSignal::new(String::new()),
            history: RwSignal::new(History::default()),
            opening,
            good,
            rest_timer: StoredValue::new(None),
            keep_timer: StoredValue::new(None),
            changed_elsewhere: StoredValue::new(false),
        };
        crate::browser::store::on_change_elsewhere(move |key| desk.hear_of_change(&key));
        desk
    }

    /// Changes the plan. Changes under one path in a row are one step of undo; an empty path always is a step.
    pub fn edit(self, path: &str, change: impl FnOnce(&mut Plan)) {
        self.history.update(|history| {
            self.plan
                .with_untracked(|plan| history.remember(plan, path))
        });
        self.plan.update(|plan| {
            change(plan);
            if !path.is_empty() {
                plan.guesses.remove(path);
                plan.drafts.remove(path);
            }
        });
        self.touched();
    }

    /// Keeps text that can't be read where it was typed, and why.
    pub fn keep_draft(self, path: &str, text: &str, says: String) {
        self.history.update(|history| {
            self.plan
                .with_untracked(|plan| history.remember(plan, path))
        });
        self.plan.update(|plan| {
            let draft = Draft {
                text: text.to_owned(),
                says,
            };
            plan.drafts.insert(path.to_owned(), draft);
        });
        self.touched();
    }

    /// Ends a step of undo: the field was left.
    pub fn settle(self) {
        self.history.update(History::settle);
    }

    /// One step back.
    pub fn undo(self) {
        self.travel(History::undo);
    }

    /// One step forward.
    pub fn redo(self) {
        self.travel(History::redo);
    }

    fn travel(self, way: fn(&mut History, &Plan) -> Option<Plan>) {
        let now = self.plan.get_untracked();
        let there = self
            .history
            .try_update(|history| way(history, &now))
            .flatten();
        if let Some(there) = there {
            if let Some(focused) = self.focused.get_untracked() {
                focused.reset.run(());
            }
            self.plan.set(there);
            self.touched();
        }
    }

    /// Whether there is a step back.
    pub fn can_undo(self) -> bool {
        self.history.with(History::can_undo)
    }

    /// Whether there is a step forward.
    pub fn can_redo(self) -> bool {
        self.history.with(History::can_redo)
    }

    fn touched(self) {
        self.resting.set(false);
        let rest = set_timeout_with_handle(move || self.resting.set(true), REST).ok();
        restart(self.rest_timer, rest);
        self.keeping.set(Keeping::Waiting);
        let keep = set_timeout_with_handle(move || self.keep(), KEEP).ok();
        restart(self.keep_timer, keep);
    }

    /// Keeps the plan now.
    pub fn keep(self) {
        if !self.is_open.get_untracked() {
            return;
        }
        if self.changed_elsewhere.get_value() {
            self.part_from_the_other_window();
        }
        let plan = self.plan.get_untracked();
        let sound = !self.answer.with_untracked(Answer::is_stale);
        if sound {
            self.good.set_value(Some(plan.clone()));
        }
        let id = self.id.get_untracked();
        let kept = self.good.with_value(|good| {
            let good = good.as_ref().filter(|_| !sound);
            larder_store::keep(&id, &plan, good, page::now_ms())
        });
        self.keeping.set(match kept {
            Ok(()) => Keeping::Kept,
            Err(refusal) => Keeping::Refused(refusal),
        });
    }

    /// Puts a plan on the desk under a name in the store.
    pub fn open(self, kept: Kept) {
        page::set_title(&format!("{} · Amp Larder", kept.plan.name));
        larder_store::remember_open(&kept.id);
        self.good.set_value(kept.good);
        self.history.set(History::default());
        self.changed_elsewhere.set_value(false);
        self.id.set(kept.id);
        self.opening.update(|count| *count += 1);
        self.plan.set(kept.plan);
        self.is_open.set(true);
        self.resting.set(true);
        self.keep();
    }

    /// Puts a plan on the desk as a new one, beside whatever is kept already.
    pub fn open_new(self, plan: Plan) {
        let now = page::now_ms();
        self.open(Kept {
            id: larder_store::fresh_id(now),
            plan,
            good: None,
            saved_ms: now,
        });
    }

    /// Says something once.
    pub fn say(self, says: impl Into<String>) {
        self.notice.set(Some(Notice {
            says: says.into(),
            action: None,
        }));
    }

    /// Says something once, with a button.
    pub fn say_with(
        self,
        says: impl Into<String>,
        word: &str,
        act: impl Fn() + Send + Sync + 'static,
    ) {
        let action = Some((word.to_owned(), Callback::new(move |()| act())));
        self.notice.set(Some(Notice {
            says: says.into(),
            action,
        }));
    }

    fn hear_of_change(self, key: &str) {
        let id = self.id.get_untracked();
        if larder_store::id_of_key(key) != Some(id.as_str()) || !self.is_open.get_untracked() {
            return;
        }
        self.changed_elsewhere.set_value(true);
        self.say_with(
            "This plan was changed in another window. If you go on here, yours is kept as a copy beside it.",
            "Show the other",
            move || {
                if let Some(Ok(kept)) = larder_store::read(&id) {
                    self.open(kept);
                    self.notice.set(None);
                }
            },
        );
    }

    fn part_from_the_other_window(self) {
        self.changed_elsewhere.set_value(false);
        let id = larder_store::fresh_id(page::now_ms());
        larder_store::remember_open(&id);
        self.id.set(id);
        self.plan
            .update(|plan| plan.name = format!("{} (copy)", plan.name));
        self.say("Two windows changed this plan. Both are kept: this one goes on as a copy.");
    }
}

/// Every fault that may be seen, by the field's path: new ones once typing rests, mended ones gone at once.
fn visible_faults(
    plan: RwSignal<Plan>,
    answer: Memo<Answer>,
    resting: RwSignal<bool>,
) -> Memo<Faults> {
    Memo::new(move |shown: Option<&Faults>| {
        let mut now = Faults::new();
        answer.with(|answer| {
            for fault in answer.faults.iter() {
                let says = format!("{} {}", fault.says, fault.mend);
                now.entry(fault.field.clone())
                    .or_insert(says.trim().to_owned());
            }
        });
        plan.with(|plan| {
            for (path, draft) in &plan.drafts {
                now.insert(path.clone(), draft.says.clone());
            }
        });
        if !resting.get() {
            now.retain(|path, _| shown.is_some_and(|shown| shown.contains_key(path)));
        }
        now
    })
}

fn restart(timer: StoredValue<Option<TimeoutHandle>>, with: Option<TimeoutHandle>) {
    timer.update_value(|timer| {
        if let Some(old) = timer.take() {
            old.clear();
        }
        *timer = with;
    });
}
