//! Where a survey's jobs are done.

use super::job::{Job, years_to_numbers};
use crate::battery::Reservoir;
use crate::evaluate::climate::Year;
use crate::evaluate::doubt::Doubting;
use crate::evaluate::income::chosen;
use crate::evaluate::map::{Axes, PASSES};
use crate::evaluate::risk::{Chances, SEED};
use crate::evaluate::sky::{Panels, tanks};
use crate::evaluate::year::TypicalYear;
use crate::inputs::Inputs;
use crate::report::DoubtEnd;
use crate::year::{Light, Odds, Scores, Sky, YearShort};
use std::cell::OnceCell;

/// Does a plan's jobs; what they share is made once.
pub struct Bench {
    inputs: Inputs,
    typical: OnceCell<TypicalYear>,
    chances: OnceCell<Chances>,
    doubting: Option<Doubting>,
    ground: Option<Ground>,
}

/// What the cells of a map share.
struct Ground {
    lights: Vec<Light>,
    tanks: Vec<Vec<Reservoir>>,
    scores: Vec<Scores>,
}

impl Ground {
    fn new(inputs: &Inputs, sky: &Sky) -> Option<Self> {
        let row = chosen(inputs)?;
        let axes = Axes::new(inputs)?;
        let air = Year::new(&inputs.living, inputs.sun.as_ref());
        let panels = Panels::new(inputs, &air, &sky.spread);
        let mut from = 0;
        let passes = PASSES.iter().map(|years| {
            let scores = Scores::drawn(SEED, from..from + years);
            from += years;
            scores
        });
        Some(Self {
            scores: passes.collect(),
            lights: axes
                .watts
                .iter()
                .map(|watts| panels.light(watts / axes.plan_w))
                .collect(),
            tanks: (1..=axes.strings)
                .map(|strings| {
                    let mut row = row.clone();
                    row.bank.parallel = strings;
                    tanks(&row, &air)
                })
                .collect(),
        })
    }
}

impl Bench {
    /// Makes a plan ready.
    pub fn new(inputs: Inputs) -> Self {
        Self {
            typical: OnceCell::new(),
            chances: OnceCell::new(),
            doubting: None,
            ground: None,
            inputs,
        }
    }

    /// Does a job; nothing comes of one that is not of this plan.
    pub fn work(&mut self, job: Job) -> Vec<f64> {
        match job {
            Job::Years { nth, from, to } => {
                let drawn = self.chances().draw(nth as usize, from.into()..to.into());
                years_to_numbers(drawn.years())
            }
            Job::Cell { at, pass } => years_to_numbers(&self.cell(at as usize, pass as usize)),
            Job::Doubt { nth } => {
                let ends = self.doubting().and_then(|doubting| {
                    let (nth, low) = (nth as usize, doubting.end(nth as usize, -1.0)?);
                    Some([low, doubting.end(nth, 1.0)?])
                });
                let numbers = |end: DoubtEnd| [end.parked_days, end.short_days];
                ends.map_or_else(Vec::new, |ends| ends.map(numbers).concat())
            }
            Job::Jointly { from, to } => {
                let doubting = self.doubting();
                let years = doubting.map(|doubting| doubting.jointly(from.into()..to.into()));
                years_to_numbers(&years.unwrap_or_default())
            }
            Job::Typical { nth } => self.typical().report_of_one(nth as usize).to_numbers(),
            Job::Lasting => {
                let lasting = self.typical().lasting();
                lasting.map_or_else(Vec::new, |lasting| lasting.to_numbers())
            }
            Job::LeastArray => {
                let least = self.typical().least_array();
                least.map_or_else(Vec::new, |least| least.to_numbers())
            }
            Job::LowestDay => {
                let day = self.typical().lowest_day();
                day.map_or_else(Vec::new, |day| day.to_numbers())
            }
        }
    }

    fn typical(&self) -> &TypicalYear {
        self.typical.get_or_init(|| TypicalYear::new(&self.inputs))
    }

    fn chances(&self) -> &Chances {
        self.chances.get_or_init(|| Chances::new(&self.inputs))
    }

    fn doubting(&mut self) -> Option<&Doubting> {
        if self.doubting.is_none() {
            self.doubting = Doubting::new(&self.inputs);
        }
        self.doubting.as_ref()
    }

    fn cell(&mut self, at: usize, pass: usize) -> Vec<YearShort> {
        if self.ground.is_none() {
            self.ground = Ground::new(&self.inputs, self.chances().sky());
        }
        let lived = self.ground.as_ref().and_then(|ground| {
            let columns = ground.lights.len();
            let tanks = ground.tanks.get(at / columns)?;
            let light = ground.lights.get(at % columns)?;
            let odds = Odds::new(self.chances().sky(), light, tanks)?;
            Some(odds.years(ground.scores.get(pass)?))
        });
        lived.unwrap_or_default()
    }
}
