//! What pictures and tables show: the plan and its report once typing pauses. What is in view is drawn at once. The rest follows
//! a little later, a section a task, so that a key waits for one section at the most; what is scrolled to meanwhile, or printed,
//! does not wait.

use super::sure::{Beside, LivedBeside, Sure};
use crate::browser::viewport;
use larder::TypicalYear;
use larder::plan::Plan;
use larder::report::{
    FromFull, LeastArray, Report, SpaceReport, Weakest, YearDay, YearHour, YearReport,
};
use leptos::prelude::*;
use std::sync::{Arc, OnceLock};
use std::time::Duration;

/// Quiet after the redrawing of what is in view, before the rest is drawn anew.
const REST: Duration = Duration::from_millis(150);
/// Time for a year to be worked out beside the page, before the page does it itself.
const LATE: Duration = Duration::from_millis(150);

/// A plan, and what its last sound form answers.
#[derive(Default)]
pub struct Seen {
    pub(super) plan: Arc<Plan>,
    good: Option<Arc<Good>>,
}

/// The last good report of a plan, and what else is worked out for the first who asks.
struct Good {
    report: Arc<Report>,
    of: Arc<Plan>,
    laid: OnceLock<Option<TypicalYear>>,
    year: OnceLock<Option<Arc<YearReport>>>,
    hours: OnceLock<Option<Arc<Vec<YearHour>>>>,
    lasting: OnceLock<Option<FromFull>>,
    least_array: OnceLock<Option<LeastArray>>,
    weakest: OnceLock<Option<Weakest>>,
    /// The day on which the chosen candidate stands lowest, as it was lived beside the page.
    lowest_day: OnceLock<Arc<YearDay>>,
    space: OnceLock<Option<Arc<SpaceReport>>>,
}

impl Good {
    fn new(report: Arc<Report>, of: Arc<Plan>) -> Self {
        Self {
            report,
            of,
            laid: OnceLock::new(),
            year: OnceLock::new(),
            hours: OnceLock::new(),
            lasting: OnceLock::new(),
            least_array: OnceLock::new(),
            weakest: OnceLock::new(),
            lowest_day: OnceLock::new(),
            space: OnceLock::new(),
        }
    }

    /// Takes over what another plan's answer found, where nothing has changed that it hangs on.
    fn take_space(&self, had: &Self) {
        if let Some(space) = had
            .space
            .get()
            .filter(|_| larder::share_a_space(&had.of, &self.of))
        {
            self.space.get_or_init(|| space.clone());
        }
    }

    fn take_year(&self, lived: &LivedBeside) {
        self.year.get_or_init(|| Some(lived.year.clone()));
        self.lasting.get_or_init(|| lived.lasting);
        self.least_array.get_or_init(|| lived.least_array);
        if let Some(day) = &lived.lowest_day {
            self.lowest_day.get_or_init(|| day.clone());
        }
    }

    fn laid(&self) -> Option<&TypicalYear> {
        let laid = || larder::typical_year(&self.of);
        self.laid.get_or_init(laid).as_ref()
    }
}

impl Seen {
    /// The last good report.
    pub(super) fn report(&self) -> Option<Arc<Report>> {
        Some(self.good.as_ref()?.report.clone())
    }

    /// A typical year of every candidate.
    pub(super) fn year(&self) -> Option<Arc<YearReport>> {
        let good = self.good.as_ref()?;
        let year = || Some(Arc::new(good.laid()?.report()));
        good.year.get_or_init(year).clone()
    }

    /// The chosen candidate's hours of that year.
    pub(super) fn hours(&self) -> Option<Arc<Vec<YearHour>>> {
        let good = self.good.as_ref()?;
        let hours = || Some(Arc::new(good.laid()?.hours()));
        good.hours.get_or_init(hours).clone()
    }

    /// One day of them, counted from 0; the lowest may be here already.
    pub(super) fn day(&self, at: usize) -> Option<Arc<YearDay>> {
        let lowest = self.good.as_ref()?.lowest_day.get();
        match lowest.filter(|day| day.at == at) {
            Some(day) => Some(day.clone()),
            None => YearDay::of(&self.hours()?, at).map(Arc::new),
        }
    }

    /// How long the chosen candidate lasts from full.
    pub(super) fn lasting(&self) -> Option<FromFull> {
        let good = self.good.as_ref()?;
        let lasting = || good.laid()?.lasting();
        *good.lasting.get_or_init(lasting)
    }

    /// The least array with which the chosen candidate is never short in that year.
    pub(super) fn least_array(&self) -> Option<LeastArray> {
        let good = self.good.as_ref()?;
        let least = || good.laid()?.least_array();
        *good.least_array.get_or_init(least)
    }

    /// Where the year of a plan of several places is weakest; none for a plan of one, for which no year is laid out.
    pub(super) fn weakest(&self) -> Option<Weakest> {
        let good = self.good.as_ref()?;
        let moves = good.of.living.stays.iter().any(|stay| stay.lat.is_some());
        let weakest = || good.laid()?.weakest();
        if !moves {
            return None;
        }
        good.weakest.get_or_init(weakest).clone()
    }

    /// What one change would do for each bank in the locker.
    pub(super) fn space(&self) -> Option<Arc<SpaceReport>> {
        let good = self.good.as_ref()?;
        let space = || larder::space(&good.of).map(Arc::new);
        good.space.get_or_init(space).clone()
    }
}

/// Who shows what is seen, section by section.
#[derive(Clone, Copy)]
pub(super) struct Stages {
    /// What is seen now, for whoever belongs to no section.
    pub(super) newest: RwSignal<Arc<Seen>>,
    /// In the page's order, as they asked.
    all: StoredValue<Vec<Stage>>,
    /// Those that still show what was seen before, and whether they could be seen when that was last asked.
    stale: StoredValue<Vec<(Stage, bool)>>,
    timer: StoredValue<Option<TimeoutHandle>>,
    /// Runs while a year is worked out beside the page.
    awaited: StoredValue<Option<TimeoutHandle>>,
    owner: StoredValue<Owner>,
}

/// Where a section, or a part of it, hears what it shows.
#[derive(Clone, Copy)]
struct Stage {
    of: &'static str,
    /// Whether it shows something of the year.
    of_year: bool,
    seen: RwSignal<Arc<Seen>>,
}

impl Stage {
    /// Whether it can be seen: its section, and the part, whose element has the same name with a hyphen. What has no element on
    /// the page always can. A part is not asked for where its section isn't seen: the browser would have to lay it out.
    fn is_in_view(&self, height: f64) -> bool {
        let part = self.of.split_once('/');
        let section = part.map_or(self.of, |(section, _)| section);
        viewport::is_in_view(section, height)
            && (part.is_none() || viewport::is_in_view(&self.of.replace('/', "-"), height))
    }
}

impl Stages {
    pub(super) fn new() -> Self {
        Self {
            newest: RwSignal::default(),
            all: StoredValue::default(),
            stale: StoredValue::default(),
            timer: StoredValue::new(None),
            awaited: StoredValue::new(None),
            owner: StoredValue::new(Owner::current().unwrap_or_default()),
        }
    }

    /// The stage of a section, by the id of its element; what stands behind a slash names a part of it.
    pub(super) fn of(self, section: &'static str, of_year: bool) -> RwSignal<Arc<Seen>> {
        let known = self.all.with_value(|all| {
            let mut all = all.iter();
            all.find_map(|stage| (stage.of == section).then_some(stage.seen))
        });
        known.unwrap_or_else(|| {
            // It outlives the page that asked for it.
            let owner = self.owner.get_value();
            let seen = owner.with(|| RwSignal::new(self.newest.get_untracked()));
            let stage = Stage {
                of: section,
                of_year,
                seen,
            };
            self.all.update_value(|all| all.push(stage));
            seen
        })
    }

    /// Shows a plan with the last good report and the form of the plan that it is of. Its year is asked for beside the
    /// page.
    pub(super) fn show(
        self,
        plan: Arc<Plan>,
        sound: Option<(Arc<Report>, Arc<Plan>)>,
        beside: Sure,
    ) {
        let had = self.newest.with_untracked(|seen| seen.good.clone());
        let good = sound.map(|(report, of)| match had {
            Some(had) if Arc::ptr_eq(&had.report, &report) => had,
            had => {
                let good = Good::new(report, of);
                if let Some(had) = had {
                    good.take_space(&had);
                }
                let late = move || self.go_on_with_year();
                let awaited = match beside.live(&good.of) {
                    Beside::Lived(lived) => {
                        good.take_year(&lived);
                        None
                    }
                    Beside::Living => set_timeout_with_handle(late, LATE).ok(),
                    Beside::Nobody => None,
                };
                restart(self.awaited, awaited);
                Arc::new(good)
            }
        });
        self.newest.set(Arc::new(Seen { plan, good }));
        let all = self.all.get_value().into_iter();
        self.stale
            .set_value(all.map(|stage| (stage, false)).collect());
        self.look();
        self.go_on(REST);
    }

    /// Takes a year that was worked out beside the page.
    pub(super) fn take_year(self, lived: &LivedBeside) {
        let good = self.newest.with_untracked(|seen| seen.good.clone());
        if let Some(good) = good.filter(|good| Arc::ptr_eq(&good.of, &lived.of)) {
            good.take_year(lived);
            self.go_on_with_year();
        }
    }

    /// The year is there, or else whoever asks for it has it worked out.
    fn go_on_with_year(self) {
        restart(self.awaited, None);
        self.show_where(|_, is_seen| is_seen);
        self.go_on(REST);
    }

    /// Looks what can be seen, and shows there what is seen now.
    pub(super) fn look(self) {
        // Where things stand is asked before any of them moves: the browser need not lay the page out for it.
        let height = viewport::height();
        self.stale.update_value(|stale| {
            for (stage, is_seen) in stale {
                *is_seen = stage.is_in_view(height);
            }
        });
        self.show_where(|stage, is_seen| is_seen && self.can_show(stage));
    }

    /// Whether what a stage shows is there: a year may still be worked out beside the page.
    fn can_show(self, stage: &Stage) -> bool {
        !stage.of_year || self.awaited.with_value(Option::is_none)
    }

    /// Shows what is seen now everywhere.
    pub(super) fn show_all(self) {
        self.show_where(|_, _| true);
    }

    fn show_where(self, holds: impl Fn(&Stage, bool) -> bool) {
        let stale = self.stale.get_value().into_iter();
        let (now, later): (Vec<_>, Vec<_>) =
            stale.partition(|(stage, is_seen)| holds(stage, *is_seen));
        self.stale.set_value(later);
        for (stage, _) in now {
            stage.seen.set(self.newest.get_untracked());
        }
    }

    /// Comes back, again and again, to show the next section what is seen.
    fn go_on(self, after: Duration) {
        let next = move || {
            let mut stale = self.stale.get_value();
            if let Some(next) = stale.iter().position(|(stage, _)| self.can_show(stage)) {
                let (stage, _) = stale.remove(next);
                self.stale.set_value(stale);
                stage.seen.set(self.newest.get_untracked());
                self.go_on(Duration::ZERO);
            }
        };
        restart(self.timer, set_timeout_with_handle(next, after).ok());
    }
}

/// Puts another timer in the place of one that has not run out.
pub(super) fn restart(timer: StoredValue<Option<TimeoutHandle>>, with: Option<TimeoutHandle>) {
    timer.update_value(|timer| {
        if let Some(old) = timer.take() {
            old.clear();
        }
        *timer = with;
    });
}
