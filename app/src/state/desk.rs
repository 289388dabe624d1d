//! The desk: one plan, one answer, and every way in which the plan changes.

use super::history::History;
use super::larder_store::{self, Kept};
use super::seen::{Seen, Stages, restart};
use super::sure::Sure;
use super::towns::TownList;
use crate::browser::page;
use crate::browser::store::Refusal;
use crate::view::{Says, hear, says};
use larder::finding::Finding;
use larder::plan::{Draft, Held, Plan};
use larder::report::{
    FromFull, LeastArray, Report, SpaceReport, Weakest, YearDay, YearHour, YearReport,
};
use larder::units::{NumberFormat, Style};
use leptos::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

/// Quiet after the last key before a fault is shown.
const REST: Duration = Duration::from_millis(600);
/// Quiet after the last key before pictures and tables are drawn anew; the answer itself does not wait.
const DRAW: Duration = Duration::from_millis(60);
/// Quiet after the last key before the year is lived beside the page, so that it is there when the rest is drawn.
const LIVE: Duration = Duration::from_millis(25);
/// Quiet after the last change before the plan is kept.
const KEEP: Duration = Duration::from_millis(300);

/// Time between two tries to save where the browser refuses.
const RETRY: Duration = Duration::from_secs(5);
/// How long a plan that was opened has to be laid out whole by the browser, before what is out of view may be left out.
const LAY: Duration = Duration::from_millis(1500);

/// Sentences by the path of the field that they stand at.
pub type Faults = BTreeMap<String, String>;

/// What the plan answers, or the last answer that it had and why there is no new one.
#[derive(Clone, Debug, Default)]
pub struct Answer {
    /// Which opening of a plan it belongs to.
    opening: u32,
    /// The last good report.
    pub report: Option<Arc<Report>>,
    /// The plan that it is of.
    sound: Arc<Plan>,
    /// Why there is no newer one; empty where the report is of now.
    pub faults: Arc<Vec<Finding>>,
}

/// Two answers are the same where they hold the same report: to compare what is in them costs more than to show it.
impl PartialEq for Answer {
    fn eq(&self, other: &Self) -> bool {
        let same = match (&self.report, &other.report) {
            (Some(mine), Some(other)) => Arc::ptr_eq(mine, other),
            (None, None) => true,
            _ => false,
        };
        same && self.opening == other.opening && self.faults == other.faults
    }
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
    /// Another window removed it, and nothing was edited since.
    Removed,
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
    plan: RwSignal<Arc<Plan>>,
    /// Whether a plan is open at all.
    pub is_open: RwSignal<bool>,
    /// The answer.
    pub answer: Memo<Answer>,
    /// The guesses that count: fields that the plan uses and nobody has touched.
    pub guesses: RwSignal<BTreeSet<String>>,
    /// Fields with text that can't be read.
    pub drafts: RwSignal<BTreeMap<String, Draft>>,
    /// What is wrong, by field, as far as it may be seen.
    pub faults: RwSignal<Faults>,
    /// Whether typing has rested.
    pub resting: RwSignal<bool>,
    /// Whether the plan is kept.
    pub keeping: RwSignal<Keeping>,
    /// What is to be said.
    pub notice: RwSignal<Option<Notice>>,
    /// The field in focus.
    pub focused: RwSignal<Option<Focused>>,
    /// The link that the sharing dialog shows.
    pub link: RwSignal<String>,
    /// Someone wants to see what is kept.
    pub asked_for_plans: Trigger,
    /// The plan's name in the store.
    pub id: RwSignal<String>,
    /// What is worked out beside the page.
    pub sure: Sure,
    /// The list of towns.
    pub towns: TownList,
    /// How numbers are typed and shown in fields.
    pub number_format: RwSignal<NumberFormat>,
    /// Whether the page is laid out for paper.
    pub on_paper: RwSignal<bool>,
    /// What this copy of the desk shows.
    seen: RwSignal<Arc<Seen>>,
    stages: Stages,
    stamps: StoredValue<BTreeMap<String, RwSignal<u64>>>,
    owner: StoredValue<Owner>,
    live_timer: StoredValue<Option<TimeoutHandle>>,
    draw_timer: StoredValue<Option<TimeoutHandle>>,
    history: RwSignal<History>,
    opening: RwSignal<u32>,
    good: StoredValue<Option<Plan>>,
    rest_timer: StoredValue<Option<TimeoutHandle>>,
    keep_timer: StoredValue<Option<TimeoutHandle>>,
    lay_timer: StoredValue<Option<TimeoutHandle>>,
    changed_elsewhere: StoredValue<bool>,
    /// Plans that were left while the browser refused to save them.
    unsaved: StoredValue<Vec<Kept>>,
}

impl Default for Desk {
    fn default() -> Self {
        Self::new()
    }
}

impl Desk {
    /// A desk with nothing on it.
    pub fn new() -> Self {
        let plan = RwSignal::new(Arc::new(Plan::default()));
        let opening = RwSignal::new(0);
        let resting = RwSignal::new(true);
        let good = StoredValue::new(None::<Plan>);
        let stages = Stages::new();
        let answer = Memo::new(move |last: Option<&Answer>| {
            let now = opening.get();
            let before = last.and_then(|last| Some((&*last.sound, last.report.as_deref()?)));
            plan.with(|plan| match larder::assess_after(plan, before) {
                Ok(report) => Answer {
                    opening: now,
                    report: Some(Arc::new(report)),
                    sound: plan.clone(),
                    faults: Arc::default(),
                },
                Err(faults) => {
                    let (report, sound) = match last {
                        Some(last) if last.opening == now => {
                            (last.report.clone(), last.sound.clone())
                        }
                        _ => good.with_value(|good| {
                            let good = good.clone().unwrap_or_default();
                            (larder::assess(&good).ok().map(Arc::new), Arc::new(good))
                        }),
                    };
                    Answer {
                        opening: now,
                        report,
                        sound,
                        faults: Arc::new(faults),
                    }
                }
            })
        });
        let desk = Self {
            plan,
            is_open: RwSignal::new(false),
            answer,
            guesses: RwSignal::default(),
            drafts: RwSignal::default(),
            faults: RwSignal::default(),
            resting,
            keeping: RwSignal::new(Keeping::Nothing),
            notice: RwSignal::new(None),
            focused: RwSignal::new(None),
            link: RwSignal::new(String::new()),
            asked_for_plans: Trigger::new(),
            id: RwSignal::new(String::new()),
            sure: Sure::new(),
            towns: TownList::new(),
            number_format: RwSignal::new(
                larder_store::number_format()
                    .unwrap_or_else(|| NumberFormat::of_written(&page::written_number())),
            ),
            on_paper: RwSignal::new(false),
            seen: stages.newest,
            stages,
            stamps: StoredValue::new(BTreeMap::new()),
            owner: StoredValue::new(Owner::current().unwrap_or_default()),
            live_timer: StoredValue::new(None),
            draw_timer: StoredValue::new(None),
            history: RwSignal::new(History::default()),
            opening,
            good,
            rest_timer: StoredValue::new(None),
            keep_timer: StoredValue::new(None),
            lay_timer: StoredValue::new(None),
            changed_elsewhere: StoredValue::new(false),
            unsaved: StoredValue::new(Vec::new()),
        };
        let faults = visible_faults(plan, answer, resting);
        Effect::new(move |_| set_if_new(desk.faults, &faults.get()));
        crate::browser::store::on_change_elsewhere(move |key| {
            desk.hear_of_change(&key);
            if matches!(desk.keeping.get_untracked(), Keeping::Refused(_)) {
                desk.keep();
            }
        });
        hear("pagehide", move || desk.keep());
        hear("visibilitychange", move || desk.keep());
        page::ask_before_leaving(move || {
            desk.keep();
            desk.has_unsaved()
        });
        desk.sure
            .tell(Rc::new(move |lived| stages.take_year(lived)));
        hear("scroll", move || stages.look());
        hear("beforeprint", move || desk.lay_on_paper());
        hear("afterprint", move || desk.on_paper.set(false));
        desk
    }

    /// The plan, for whoever draws it: who asks hears of changes once typing pauses.
    pub fn plan(self) -> Arc<Plan> {
        self.seen.with(|seen| seen.plan.clone())
    }

    /// The plan as it stands, for the field at a path: it hears at once of every change of its own part or row.
    pub fn plan_at(self, path: &str) -> Arc<Plan> {
        let at = larder::plan::part_of(path);
        let known = self.stamps.with_value(|stamps| stamps.get(at).copied());
        let stamp = known.unwrap_or_else(|| {
            // The stamp outlives the row that asked for it first.
            let owner = self.owner.get_value();
            let stamp = owner.with(|| RwSignal::new(self.plan_now().stamp(at)));
            self.stamps.update_value(|stamps| {
                stamps.insert(at.to_owned(), stamp);
            });
            stamp
        });
        stamp.track();
        self.plan_now()
    }

    /// The plan as it stands now.
    pub fn plan_now(self) -> Arc<Plan> {
        self.plan.get_untracked()
    }

    /// How numbers are read and shown now.
    pub fn style_now(self) -> Style {
        Style {
            units: self.plan_now().units,
            format: self.number_format.get_untracked(),
        }
    }

    /// The last good report, for whoever draws it: who asks hears of a new one once typing pauses.
    pub fn report(self) -> Option<Arc<Report>> {
        self.seen.with(|seen| seen.report())
    }

    /// A typical year of every candidate; who asks hears of a new one once typing pauses.
    pub fn year(self) -> Option<Arc<YearReport>> {
        self.seen.get().year()
    }

    /// The chosen candidate's hours of that year; who asks hears of new ones once typing pauses.
    pub fn hours(self) -> Option<Arc<Vec<YearHour>>> {
        self.seen.get().hours()
    }

    /// One day of them, counted from 0; who asks hears of a new one once typing pauses.
    pub fn day(self, at: usize) -> Option<Arc<YearDay>> {
        self.seen.get().day(at)
    }

    /// How long the chosen candidate lasts from full; who asks hears of it once typing pauses.
    pub fn lasting(self) -> Option<FromFull> {
        self.seen.get().lasting()
    }

    /// The least array with which it is never short in a typical year; who asks hears of it once typing pauses.
    pub fn least_array(self) -> Option<LeastArray> {
        self.seen.get().least_array()
    }

    /// Where the year of a plan of several places is weakest; who asks hears of it once typing pauses.
    pub fn weakest(self) -> Option<Weakest> {
        self.seen.get().weakest()
    }

    /// What one change would do for each bank in the locker; who asks hears of it once typing pauses.
    pub fn space(self) -> Option<Arc<SpaceReport>> {
        self.seen.get().space()
    }

    /// The same desk for a section, by its element's id, or a part of one behind a slash: those in view hear first.
    pub fn of_section(self, section: &'static str) -> Self {
        self.at_stage(section, false)
    }

    /// The same for what asks for the year: it hears when that has been worked out.
    pub fn of_year(self, section: &'static str) -> Self {
        self.at_stage(section, true)
    }

    fn at_stage(self, section: &'static str, of_year: bool) -> Self {
        Self {
            seen: self.stages.of(section, of_year),
            ..self
        }
    }

    /// Text out of the report; nothing while there is none.
    pub fn told(self, tell: fn(&Report) -> String) -> Says {
        says(move || self.report().map_or(String::new(), |report| tell(&report)))
    }

    /// The last good report; who asks hears of every new one at once.
    pub fn report_at_once(self) -> Option<Arc<Report>> {
        self.answer.get().report
    }

    /// The ids of a list's rows; who asks hears of every change at once.
    pub fn ids(self, list: larder::plan::List) -> Vec<u32> {
        self.plan.with(|plan| plan.ids(list))
    }

    /// Shows the plan as it stands, with its report, without waiting for a pause.
    pub fn draw(self) {
        let answer = self.answer.get_untracked();
        let sound = answer.report.map(|report| (report, answer.sound));
        self.stages.show(self.plan_now(), sound, self.sure);
    }

    /// Has the plan's year lived beside the page.
    fn live(self) {
        let answer = self.answer.get_untracked();
        if !answer.is_stale() {
            self.sure.live(&answer.sound);
        }
    }

    /// Shows the plan as it stands on every part of the page, and what stands on paper alone.
    fn lay_on_paper(self) {
        self.on_paper.set(true);
        self.draw();
        self.stages.show_all();
    }

    /// Opens the print window, with nothing but a part of the page where one is named.
    pub fn print(self, part: &'static str) {
        self.lay_on_paper();
        // What is shown stands on the page when this task has ended.
        set_timeout(move || page::print(part), Duration::ZERO);
    }

    /// Whether the report is older than the plan.
    pub fn is_stale(self) -> bool {
        self.answer.with(Answer::is_stale)
    }

    /// Text that stands at a path and can't be read.
    pub fn draft(self, path: &str) -> Option<String> {
        self.drafts
            .with(|drafts| drafts.get(path).map(|draft| draft.text.clone()))
    }

    /// Whether a fault may be seen at a path.
    pub fn is_at_fault(self, path: &str) -> bool {
        self.faults.with(|faults| faults.contains_key(path))
    }

    /// Changes the plan. Changes under one path in a row are one step of undo; an empty path always is a step.
    pub fn edit(self, path: &str, change: impl FnOnce(&mut Plan)) {
        let mut change = Some(change);
        self.change(path, &mut |plan| {
            if let Some(change) = change.take() {
                change(plan);
            }
            if !path.is_empty() {
                plan.touch(path);
                plan.drafts.remove(path);
            }
            plan.settle_place();
        });
    }

    /// Accepts guesses as they stand; text that can't be read keeps its guess.
    pub fn accept(self, paths: &[String]) {
        self.change("", &mut |plan| {
            for path in paths {
                if !plan.drafts.contains_key(path) {
                    plan.accept(path);
                }
            }
        });
    }

    /// Changes what does not count as a step of its own: the name of a copy.
    pub fn amend(self, change: impl FnOnce(&mut Plan)) {
        let mut plan = self.plan_now();
        change(Arc::make_mut(&mut plan));
        self.put_plan(plan, "");
    }

    /// Puts a value at a path.
    pub fn put(self, path: &str, held: Held) {
        self.edit(path, |plan| plan.put(path, held));
    }

    /// Keeps text that can't be read where it was typed, and why.
    pub fn keep_draft(self, path: &str, text: &str, says: String) {
        self.change(path, &mut |plan| {
            let draft = Draft {
                text: text.to_owned(),
                says: says.clone(),
            };
            plan.drafts.insert(path.to_owned(), draft);
        });
    }

    fn change(self, path: &str, change: &mut dyn FnMut(&mut Plan)) {
        let mut plan = self.plan_now();
        if plan.newer.is_some() {
            if let Some(focused) = self.focused.get_untracked() {
                focused.reset.run(());
            }
            self.say("Changes are off: this plan comes from a newer version. Make a copy to edit.");
            return;
        }
        self.history.update(|history| history.remember(&plan, path));
        change(Arc::make_mut(&mut plan));
        self.put_plan(plan, path);
        self.touched();
    }

    /// Puts another plan in place and tells those who show what has changed in it, and nobody else: a page of a
    /// hundred rows has a thousand listeners. `path` names the part that has changed; an empty one, any.
    fn put_plan(self, plan: Arc<Plan>, path: &str) {
        let open = plan.open_guesses().map(String::from).collect();
        set_if_new(self.guesses, &open);
        set_if_new(self.drafts, &plan.drafts);
        self.plan.set(plan.clone());
        let part = larder::plan::part_of(path);
        let alone = !Plan::reaches_others(path);
        let stamps = self.stamps.with_value(|stamps| match stamps.get(part) {
            Some(stamp) if alone => vec![(part.to_owned(), *stamp)],
            _ => stamps
                .iter()
                .map(|(at, stamp)| (at.clone(), *stamp))
                .collect(),
        });
        for (at, stamp) in stamps {
            set_if_new(stamp, &plan.stamp(&at));
        }
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

    fn travel(self, way: fn(&mut History, &Arc<Plan>) -> Option<Arc<Plan>>) {
        let now = self.plan_now();
        let there = self
            .history
            .try_update(|history| way(history, &now))
            .flatten();
        if let Some(there) = there {
            if let Some(focused) = self.focused.get_untracked() {
                focused.reset.run(());
            }
            self.put_plan(there, "");
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
        self.sure.rest();
        self.resting.set(false);
        let rest = set_timeout_with_handle(move || self.resting.set(true), REST).ok();
        restart(self.rest_timer, rest);
        let live = set_timeout_with_handle(move || self.live(), LIVE).ok();
        restart(self.live_timer, live);
        let draw = set_timeout_with_handle(move || self.draw(), DRAW).ok();
        restart(self.draw_timer, draw);
        self.keeping.set(Keeping::Waiting);
        let keep = set_timeout_with_handle(move || self.keep(), KEEP).ok();
        restart(self.keep_timer, keep);
    }

    /// Saves the plan now, if it has edits that are not saved.
    pub fn keep(self) {
        self.retry_unsaved();
        let is_saved = matches!(
            self.keeping.get_untracked(),
            Keeping::Kept | Keeping::Nothing | Keeping::Removed
        );
        if is_saved {
            return;
        }
        if self.changed_elsewhere.get_value() {
            self.part_from_the_other_window();
        }
        let plan = self.plan_now();
        let sound = !self.answer.with_untracked(Answer::is_stale);
        if sound {
            self.good.set_value(Some(plan.as_ref().clone()));
        }
        let id = self.id.get_untracked();
        let kept = self.good.with_value(|good| {
            let good = good.as_ref().filter(|_| !sound);
            larder_store::keep(&id, &plan, good, page::now_ms())
        });
        if kept.is_ok() && !larder_store::is_open_here(&id) {
            // The browser refused this when the plan got its id.
            larder_store::remember_open(&id);
        }
        self.keeping.set(match kept {
            Ok(()) => Keeping::Kept,
            Err(refusal) => Keeping::Refused(refusal),
        });
        if kept.is_err() {
            self.retry_later();
        }
    }

    /// Tries to save every plan that was left unsaved.
    fn retry_unsaved(self) {
        self.unsaved.update_value(|plans| {
            plans.retain(|left| larder_store::keep_late(left, page::now_ms()).is_err());
        });
        if self.unsaved.with_value(|plans| !plans.is_empty()) {
            self.retry_later();
        }
    }

    /// Whether the browser refuses to save something that was typed.
    fn has_unsaved(self) -> bool {
        matches!(self.keeping.get_untracked(), Keeping::Refused(_))
            || self.unsaved.with_value(|plans| !plans.is_empty())
    }

    fn retry_later(self) {
        let retry = set_timeout_with_handle(move || self.keep(), RETRY).ok();
        restart(self.keep_timer, retry);
    }

    /// Holds a plan that the browser refuses to save, and tries again later.
    pub fn hold(self, left: Kept) {
        self.say(format!(
            "“{}” is not saved: the browser refuses. Leave this page open; it tries again.",
            left.plan.name
        ));
        self.unsaved.update_value(|plans| {
            plans.retain(|other| other.id != left.id);
            plans.push(left);
        });
        self.retry_later();
    }

    /// Opens a plan as it is stored: edits of the one before are saved first, and nothing else is written.
    pub fn open(self, kept: Kept) {
        self.keep();
        if matches!(self.keeping.get_untracked(), Keeping::Refused(_)) {
            self.hold(Kept {
                id: self.id.get_untracked(),
                plan: self.plan_now().as_ref().clone(),
                good: self.good.get_value(),
                saved_ms: page::now_ms(),
            });
        }
        let mut held = None;
        self.unsaved.update_value(|plans| {
            let at = plans.iter().position(|left| left.id == kept.id);
            held = at.map(|at| plans.remove(at));
        });
        let is_held = held.is_some();
        let kept = held.unwrap_or(kept);
        page::set_title(&format!("{} · Amp Larder", kept.plan.name));
        page::unset_root("data-laid");
        let lay = set_timeout_with_handle(|| page::set_root("data-laid", ""), LAY).ok();
        restart(self.lay_timer, lay);
        larder_store::remember_open(&kept.id);
        self.good.set_value(kept.good);
        self.history.set(History::default());
        self.changed_elsewhere.set_value(false);
        self.id.set(kept.id);
        self.opening.update(|count| *count += 1);
        self.put_plan(Arc::new(kept.plan), "");
        self.draw();
        self.is_open.set(true);
        self.resting.set(true);
        if !self.answer.with_untracked(Answer::is_stale) {
            let plan = self.plan_now();
            self.good.set_value(Some(plan.as_ref().clone()));
        }
        self.keeping.set(Keeping::Kept);
        if is_held {
            self.keeping.set(Keeping::Waiting);
            self.keep();
        }
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
        self.keeping.set(Keeping::Waiting);
        self.keep();
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
        let is_saved = matches!(self.keeping.get_untracked(), Keeping::Kept);
        match larder_store::read(&id) {
            Some(Ok(kept)) if is_saved => return self.open(kept),
            None => {
                if is_saved {
                    self.keeping.set(Keeping::Removed);
                }
                return self.say_with(
                    "Another window removed this plan. It is still open here.",
                    "Save it again",
                    move || {
                        self.notice.set(None);
                        self.keeping.set(Keeping::Waiting);
                        self.keep();
                    },
                );
            }
            _ => {}
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
        self.amend(|plan| plan.name.push_str(larder_store::COPY));
        self.say("Two windows changed this plan. Both are kept: this one goes on as a copy.");
    }
}

/// Sets a signal where the value is another than it holds.
fn set_if_new<T: PartialEq + Clone + Send + Sync + 'static>(signal: RwSignal<T>, value: &T) {
    if signal.with_untracked(|now| now != value) {
        signal.set(value.clone());
    }
}

/// Every fault that may be seen, by the field's path: new ones once typing rests, mended ones gone at once.
fn visible_faults(
    plan: RwSignal<Arc<Plan>>,
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
