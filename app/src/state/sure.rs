//! Drawn years on the page: in small slices between which the page answers, begun anew when the plan changes.

use super::desk::Desk;
use crate::browser::page;
use larder::report::{Doubt, Risk, SizingMap};
use larder::{Chances, Inputs, Mapping, Tally};
use leptos::prelude::*;
use std::cell::RefCell;
use std::rc::Rc;
use std::time::Duration;

/// Years drawn for each candidate.
pub const YEARS: u64 = 300;
/// Years drawn at a time.
const AT_A_TIME: u64 = 2;
/// How long a slice may take [ms].
const SLICE_MS: f64 = 6.0;
/// Pause between two slices, and before the first.
const PAUSE: Duration = Duration::from_millis(4);
const BEFORE: Duration = Duration::from_millis(500);
/// Slices between two showings.
const SHOW_EVERY: u32 = 8;

/// What is known so far.
#[derive(Clone, Copy)]
pub struct Sure {
    /// How often each candidate runs short.
    pub risks: RwSignal<Vec<Risk>>,
    /// The sizing map.
    pub map: RwSignal<Option<SizingMap>>,
    /// What each uncertain input does.
    pub doubts: RwSignal<Vec<Doubt>>,
    /// Share of the work that is done, 0 to 1.
    pub done: RwSignal<f64>,
    /// Days short a year that are borne.
    pub tolerance: RwSignal<f64>,
    run: StoredValue<u32>,
}

/// Work under way.
struct Work {
    inputs: Inputs,
    tolerance: f64,
    chances: Chances,
    tallies: Vec<Tally>,
    mapping: Option<Mapping>,
    doubts: Vec<Doubt>,
    doubted: usize,
    ended: bool,
    slices: u32,
}

impl Work {
    fn new(inputs: Inputs, tolerance: f64) -> Self {
        let chances = Chances::new(&inputs);
        Self {
            tallies: vec![Tally::default(); chances.ids().len()],
            chances,
            inputs,
            tolerance,
            mapping: None,
            doubts: Vec::new(),
            doubted: 0,
            ended: false,
            slices: 0,
        }
    }

    fn years(&self) -> u64 {
        self.tallies
            .iter()
            .map(|tally| tally.count() as u64)
            .min()
            .unwrap_or(YEARS)
    }

    /// A small piece of it; false once all is done.
    fn piece(&mut self) -> bool {
        let from = self.years();
        if from < YEARS {
            for (nth, tally) in self.tallies.iter_mut().enumerate() {
                if tally.count() as u64 == from {
                    tally.add(self.chances.draw(nth, from..from + AT_A_TIME));
                    return true;
                }
            }
        }
        if self.mapping.is_none() {
            self.mapping = Mapping::new(&self.inputs, self.tolerance);
        }
        if self.mapping.as_mut().is_some_and(Mapping::step) {
            return true;
        }
        self.doubts
            .extend(larder::doubt(&self.inputs, self.doubted));
        self.doubted += 1;
        self.doubted < larder::DOUBTS
    }

    fn risks(&self) -> Vec<Risk> {
        let ids = self.chances.ids().into_iter();
        ids.zip(&self.tallies)
            .map(|(id, tally)| tally.risk(id))
            .collect()
    }

    fn done(&self) -> f64 {
        if self.ended {
            return 1.0;
        }
        let map = self.mapping.as_ref().map_or(0.0, Mapping::progress);
        0.5 * self.years() as f64 / YEARS as f64 + 0.45 * map
    }
}

impl Sure {
    /// Draws for a desk's plan whenever typing has paused.
    pub fn follow(desk: Desk) -> Self {
        let sure = Self {
            risks: RwSignal::new(Vec::new()),
            map: RwSignal::new(None),
            doubts: RwSignal::new(Vec::new()),
            done: RwSignal::new(0.0),
            tolerance: RwSignal::new(3.0),
            run: StoredValue::new(0),
        };
        Effect::new(move |_| {
            let sound = desk.report().is_some();
            let (plan, tolerance) = (desk.plan(), sure.tolerance.get());
            let run = sure.run.get_value().wrapping_add(1);
            sure.run.set_value(run);
            sure.done.set(0.0);
            if !sound {
                return;
            }
            let begin = move || {
                if sure.run.try_get_value() == Some(run)
                    && let Ok(inputs) = larder::import(&plan)
                {
                    sure.slice(run, Rc::new(RefCell::new(Work::new(inputs, tolerance))));
                }
            };
            set_timeout(begin, BEFORE);
        });
        sure
    }

    /// Works for a slice of time, shows what there is, and comes back.
    fn slice(self, run: u32, work: Rc<RefCell<Work>>) {
        if self.run.try_get_value() != Some(run) {
            return;
        }
        {
            let mut work = work.borrow_mut();
            let until = page::now_ms() + SLICE_MS;
            while !work.ended && page::now_ms() < until {
                work.ended = !work.piece();
            }
            work.slices += 1;
            if work.ended || work.slices.is_multiple_of(SHOW_EVERY) {
                self.risks.set(work.risks());
                self.map.set(work.mapping.as_ref().map(Mapping::map));
                self.doubts.set(work.doubts.clone());
                self.done.set(work.done());
            }
            if work.ended {
                return;
            }
        }
        set_timeout(move || self.slice(run, work), PAUSE);
    }
}
