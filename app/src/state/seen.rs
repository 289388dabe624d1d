//! What pictures and tables show: the plan and its report once typing pauses. Sections in view are drawn at once, the others
//! one by one behind them, so that no key waits for what nobody sees.

use crate::browser::viewport;
use larder::plan::Plan;
use larder::report::{Report, SpaceReport, WholeYear};
use leptos::prelude::*;
use std::collections::BTreeMap;
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
    year: OnceLock<Option<Arc<WholeYear>>>,
    space: OnceLock<Option<Arc<SpaceReport>>>,
}

impl Seen {
    /// The last good report.
    pub(super) fn report(&self) -> Option<Arc<Report>> {
        Some(self.good.as_ref()?.report.clone())
    }

    /// A typical year of every candidate, and the chosen one's hours.
    pub(super) fn year(&self) -> Option<Arc<WholeYear>> {
        let good = self.good.as_ref()?;
        let year = || larder::whole_year(&good.of).map(Arc::new);
        good.year.get_or_init(year).clone()
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
    sections: StoredValue<BTreeMap<&'static str, RwSignal<Arc<Seen>>>>,
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

    /// The stage of a section, by the id of its element.
    pub(super) fn of(self, section: &'static str) -> RwSignal<Arc<Seen>> {
        let known = self.sections.with_value(|all| all.get(section).copied());
        known.unwrap_or_else(|| {
            // It outlives the page that asked for it.
            let owner = self.owner.get_value();
            let stage = owner.with(|| RwSignal::new(self.newest.get_untracked()));
            self.sections.update_value(|all| {
                all.insert(section, stage);
            });
            stage
        })
    }

    /// Shows a plan with the last good report and the form of the plan that it is of.
    pub(super) fn show(self, plan: Arc<Plan>, sound: Option<(Arc<Report>, Arc<Plan>)>) {
        let had = self.newest.with_untracked(|seen| seen.good.clone());
        let good = sound.map(|(report, of)| match had {
            Some(had) if Arc::ptr_eq(&had.report, &report) => had,
            _ => Arc::new(Good {
                report,
                of,
                year: OnceLock::new(),
                space: OnceLock::new(),
            }),
        });
        let seen = Arc::new(Seen { plan, good });
        // Where things stand is asked before any of them moves.
        let sections = self.sections.get_value().into_iter();
        let (near, far): (Vec<_>, Vec<_>) =
            sections.partition(|(section, _)| viewport::is_near(section));
        self.newest.set(seen.clone());
        for (_, stage) in near {
            stage.set(seen.clone());
        }
        let is_idle = self.waiting.with_value(Vec::is_empty);
        self.waiting
            .set_value(far.into_iter().map(|(_, stage)| stage).collect());
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
