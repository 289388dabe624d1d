//! What pictures and tables show: the plan and its report once typing pauses. Each section is drawn in a task of its own, those
//! in view first, so that a key waits for one section at the most.

use crate::browser::viewport;
use larder::TypicalYear;
use larder::plan::Plan;
use larder::report::{FromFull, Report, SpaceReport, YearHour, YearReport};
use leptos::prelude::*;
use std::sync::{Arc, OnceLock};
use std::time::Duration;

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
            space: OnceLock::new(),
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

    /// How long the chosen candidate lasts from full.
    pub(super) fn lasting(&self) -> Option<FromFull> {
        let good = self.good.as_ref()?;
        let lasting = || good.laid()?.lasting();
        *good.lasting.get_or_init(lasting)
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
    sections: StoredValue<Vec<(&'static str, RwSignal<Arc<Seen>>)>>,
    waiting: StoredValue<Vec<RwSignal<Arc<Seen>>>>,
    owner: StoredValue<Owner>,
}

impl Stages {
    pub(super) fn new() -> Self {
        Self {
            newest: RwSignal::default(),
            sections: StoredValue::default(),
            waiting: StoredValue::default(),
            owner: StoredValue::new(Owner::current().unwrap_or_default()),
        }
    }

    /// The stage of a section, by the id of its element; what stands behind a slash names a part of it that takes long.
    pub(super) fn of(self, section: &'static str) -> RwSignal<Arc<Seen>> {
        let known = self.sections.with_value(|all| {
            let mut all = all.iter();
            all.find_map(|(of, stage)| (*of == section).then_some(*stage))
        });
        known.unwrap_or_else(|| {
            // It outlives the page that asked for it.
            let owner = self.owner.get_value();
            let stage = owner.with(|| RwSignal::new(self.newest.get_untracked()));
            self.sections.update_value(|all| all.push((section, stage)));
            stage
        })
    }

    /// Shows a plan with the last good report and the form of the plan that it is of.
    pub(super) fn show(self, plan: Arc<Plan>, sound: Option<(Arc<Report>, Arc<Plan>)>) {
        let had = self.newest.with_untracked(|seen| seen.good.clone());
        let good = sound.map(|(report, of)| match had {
            Some(had) if Arc::ptr_eq(&had.report, &report) => had,
            _ => Arc::new(Good::new(report, of)),
        });
        let seen = Arc::new(Seen { plan, good });
        // Where things stand is asked before any of them moves.
        let sections = self.sections.get_value().into_iter();
        let (near, far): (Vec<_>, Vec<_>) = sections.partition(|(section, _)| {
            let id = section.split('/').next().unwrap_or_default();
            viewport::is_near(id)
        });
        self.newest.set(seen);
        let is_idle = self.waiting.with_value(Vec::is_empty);
        let waiting = near.into_iter().chain(far).map(|(_, stage)| stage);
        // The next one stands last.
        self.waiting.set_value(waiting.rev().collect());
        if is_idle {
            self.go_on();
        }
    }

    /// Comes back, again and again, to show the next section what is seen.
    fn go_on(self) {
        let next = move || {
            let stage = self.waiting.try_update_value(Vec::pop).flatten();
            if let (Some(stage), Some(seen)) = (stage, self.newest.try_get_untracked()) {
                stage.set(seen);
                self.go_on();
            }
        };
        set_timeout(next, Duration::ZERO);
    }
}
