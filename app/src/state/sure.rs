//! Drawn years on the page: a survey whose jobs are done beside it, begun anew when the plan changes.

use super::desk::Desk;
use crate::browser::crew::{Crew, crew};
use larder::report::{Doubt, Risk, SizingMap};
use larder::{Job, Survey, Wanted};
use leptos::prelude::*;
use std::cell::RefCell;
use std::rc::Rc;
use std::time::Duration;

/// Most years of each candidate, and joint draws of what is uncertain; where the page works them out itself, fewer.
const BESIDE: (u64, u64) = (1000, 250);
const HERE: (u64, u64) = (100, 40);
/// Pause before a survey, for the page to answer first.
const BEFORE: Duration = Duration::from_millis(300);
/// Time between two showings [ms].
const SHOW_EVERY_MS: f64 = 500.0;
/// A rest of less is not told [s].
const LEAST_TOLD_S: f64 = 3.0;

/// What is known so far.
#[derive(Clone, Copy)]
pub struct Sure {
    /// How often each candidate runs short.
    pub risks: RwSignal<Vec<Risk>>,
    /// Days short that hold nine years in ten.
    pub band: RwSignal<Option<[u32; 2]>>,
    /// The sizing map.
    pub map: RwSignal<Option<SizingMap>>,
    /// What each uncertain input does.
    pub doubts: RwSignal<Vec<Doubt>>,
    /// Share of the work that is done, 0 to 1.
    pub done: RwSignal<f64>,
    /// Seconds that it will still take, where they are worth telling.
    pub left: RwSignal<Option<f64>>,
    /// Whether the page works by itself, without workers.
    pub here: RwSignal<bool>,
    /// Days short a year that are borne.
    pub tolerance: RwSignal<f64>,
}

/// Who hands out the jobs of a survey.
#[derive(Default)]
struct Office {
    crew: Option<Crew>,
    survey: Option<Survey>,
    /// The job that each hand has, with its run.
    given: Vec<Option<(u32, Job)>>,
    run: u32,
    started: f64,
    shown: f64,
    /// What the workers took for years of candidates [ms], and how many.
    years: (f64, u64),
    map_noted: bool,
    first_noted: bool,
    /// How much of the map has been shown: nothing, whole, done.
    stage: u8,
}

type Shared = Rc<RefCell<Office>>;

impl Sure {
    /// Draws for a desk's plan whenever typing has paused.
    pub fn follow(desk: Desk) -> Self {
        let sure = Self {
            risks: RwSignal::new(Vec::new()),
            band: RwSignal::new(None),
            map: RwSignal::new(None),
            doubts: RwSignal::new(Vec::new()),
            done: RwSignal::new(0.0),
            left: RwSignal::new(None),
            here: RwSignal::new(false),
            tolerance: RwSignal::new(3.0),
        };
        let office = Shared::default();
        Effect::new(move |_| {
            let sound = desk.report().is_some();
            let (plan, tolerance, here) = (desk.plan(), sure.tolerance.get(), sure.here.get());
            let run = {
                let mut office = office.borrow_mut();
                office.run = office.run.wrapping_add(1);
                office.survey = None;
                office.run
            };
            sure.done.set(0.0);
            sure.left.set(None);
            if !sound {
                return;
            }
            let office = office.clone();
            let begin = move || {
                if office.borrow().run != run {
                    return;
                }
                let (years, draws) = if here { HERE } else { BESIDE };
                let wanted = Wanted {
                    years,
                    until_narrow: true,
                    map: Some(tolerance),
                    draws,
                };
                if let Ok(inputs) = larder::import(&plan) {
                    let survey = Survey::new(&inputs, wanted);
                    let text = larder::link::to_line(&larder::link::to_value(&plan));
                    sure.begin(&office, here, survey, &text);
                }
            };
            set_timeout(begin, BEFORE);
        });
        sure
    }

    /// Lays a plan out before all hands and gives each a job.
    fn begin(self, office: &Shared, here: bool, survey: Survey, plan: &str) {
        if office.borrow().crew.is_none() {
            let heard_by = office.clone();
            let said = move |hand: u32, run: u32, numbers: Vec<f64>, took: f64| {
                self.heard(&heard_by, (hand, run), &numbers, took);
            };
            let made = crew(here, Box::new(said));
            if made.is_none() && !here {
                self.here.set(true);
                return;
            }
            let mut office = office.borrow_mut();
            office.given = vec![None; made.as_ref().map_or(0, |crew| crew.count() as usize)];
            office.crew = made;
        }
        let mut office = office.borrow_mut();
        let Some(crew) = &office.crew else { return };
        crew.plan(plan);
        office.started = crew.now();
        office.shown = office.started;
        office.years = (0.0, 0);
        office.map_noted = false;
        office.first_noted = false;
        office.stage = 0;
        office.survey = Some(survey);
        office.hand_out();
    }

    /// Takes what a hand brings, shows what there is, and gives it the next job.
    fn heard(self, shared: &Shared, (hand, run): (u32, u32), numbers: &[f64], took: f64) {
        if took < 0.0 {
            // Workers that cannot be had: the page does it by itself, and less of it.
            if self.here.try_get_untracked() == Some(false) {
                shared.borrow_mut().crew = None;
                self.here.set(true);
            }
            return;
        }
        let mut office = shared.borrow_mut();
        let given = office.given.get_mut(hand as usize).and_then(Option::take);
        let wanted = run == office.run;
        if let Some((of, job)) = given
            && wanted
            && of == run
            && let Some(survey) = &mut office.survey
        {
            survey.put(job, numbers);
            office.note(job, took);
        }
        office.hand_out();
        let Office {
            crew: Some(crew),
            survey: Some(survey),
            ..
        } = &*office
        else {
            return;
        };
        let (now, ended) = (crew.now(), survey.out() == 0);
        if !ended && now - office.shown < SHOW_EVERY_MS {
            return;
        }
        let gone_s = (now - office.started) / 1000.0;
        let done = if ended { 1.0 } else { survey.progress() };
        let left_s = gone_s * (1.0 - done) / done.max(1e-3);
        let (risks, band) = (survey.risks(), survey.band());
        // What costs the most to draw is drawn the least: a map when it is whole and when it is done, the bars at the end.
        let stage = u8::from(survey.map_is_whole()) + u8::from(survey.map_is_done());
        let map = (ended || stage > office.stage).then(|| survey.map());
        let doubts = ended.then(|| survey.doubts());
        if ended {
            crew.measure("survey", office.started, now - office.started);
        }
        office.shown = now;
        office.stage = stage;
        drop(office);
        self.risks.set(risks);
        self.band.set(band);
        if let Some(map) = map {
            self.map.set(map);
        }
        if let Some(doubts) = doubts {
            self.doubts.set(doubts);
        }
        self.left
            .set((!ended && left_s >= LEAST_TOLD_S).then_some(left_s));
        self.done.set(done);
    }
}

impl Office {
    /// Gives each idle hand a job.
    fn hand_out(&mut self) {
        let (Some(crew), Some(survey)) = (&self.crew, &mut self.survey) else {
            return;
        };
        for (hand, given) in self.given.iter_mut().enumerate() {
            if given.is_none()
                && let Some(job) = survey.next_job()
            {
                *given = Some((self.run, job));
                let [kind, one, two, three] = job.to_numbers();
                crew.give(hand as u32, self.run, kind, one, two, three);
            }
        }
    }

    /// Notes in the browser's timeline what years, a first picture of the risk and a map took.
    fn note(&mut self, job: Job, took: f64) {
        let (Some(crew), Some(survey)) = (&self.crew, &self.survey) else {
            return;
        };
        let since = crew.now() - self.started;
        match job {
            Job::Years { from, to, .. } => {
                self.years = (self.years.0 + took, self.years.1 + u64::from(to - from));
                crew.measure("year", self.started, self.years.0 / self.years.1 as f64);
            }
            Job::Cell { .. } if survey.map_is_done() && !self.map_noted => {
                self.map_noted = true;
                crew.measure("map", self.started, since);
            }
            Job::Cell { .. } if survey.map_is_whole() && !self.first_noted => {
                self.first_noted = true;
                crew.measure("map first", self.started, since);
            }
            _ => {}
        }
    }
}
