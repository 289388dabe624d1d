//! The list of towns: fetched when a place field is first used, then kept for the visit.

use crate::browser;
use larder::place::Towns;
use leptos::prelude::*;
use std::sync::Arc;

/// Whether the list is there.
#[derive(Clone)]
enum Known {
    NotAsked,
    Asked,
    Here(Arc<Towns>),
    Away,
}

/// The list of towns of a visit.
#[derive(Clone, Copy)]
pub struct TownList(RwSignal<Known>);

impl TownList {
    /// A list that nobody has asked for.
    pub fn new() -> Self {
        Self(RwSignal::new(Known::NotAsked))
    }

    /// Fetches the list unless it is there or on its way; `then` is called when it has arrived.
    pub fn ask(self, then: impl FnOnce(Arc<Towns>) + 'static) {
        let Self(known) = self;
        if known.with_untracked(|known| matches!(known, Known::Asked | Known::Here(_))) {
            return;
        }
        known.set(Known::Asked);
        browser::towns::fetch(move |text| match text.map(|text| Towns::read(&text)) {
            Some(Ok(towns)) => {
                let towns = Arc::new(towns);
                known.set(Known::Here(towns.clone()));
                then(towns);
            }
            Some(Err(_)) | None => known.set(Known::Away),
        });
    }

    /// The list once it has arrived; a view that reads it is redrawn then.
    pub fn here(self) -> Option<Arc<Towns>> {
        match self.0.get() {
            Known::Here(towns) => Some(towns),
            _ => None,
        }
    }

    /// The list where it is there now.
    pub fn now(self) -> Option<Arc<Towns>> {
        match self.0.get_untracked() {
            Known::Here(towns) => Some(towns),
            _ => None,
        }
    }
}

impl Default for TownList {
    fn default() -> Self {
        Self::new()
    }
}
