//! What is worked out beside the page: a typical year as soon as typing pauses, then drawn years, a survey whose jobs are begun
//! anew when the plan changes.

use super::desk::Desk;
use crate::browser::crew::{Crew, crew};
use larder::plan::Plan;
use larder::report::{Doubt, FromFull, LeastArray, Risk, SizingMap, YearDay, YearReport};
use larder::{Job, Survey, Wanted};
use leptos::prelude::*;
use std::cell::RefCell;
use std::collections::VecDeque;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

/// Most years of each candidate, and joint draws of what is uncertain; where the page works them out itself, fewer.
const BESIDE: (u64, u64) = (1000, 250);
const HERE: (u64, u64) = (100, 40);
/// Jobs that a worker has at a time, one under way and one waiting, so that it never waits for the page.
const AHEAD: usize = 2;
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
    /// Whether the page draws the years itself, without workers.
    pub here: RwSignal<bool>,
    /// What failed, in a sentence; empty while nothing did.
    fault: RwSignal<&'static str>,
    /// Days short a year that are borne.
    pub tolerance: RwSignal<f64>,
    office: StoredValue<Shared, LocalStorage>,
}

/// A typical year that was worked out beside the page.
pub struct LivedBeside {
    /// The plan that it is of.
    pub of: Arc<Plan>,
    /// What every candidate lived through.
    pub year: Arc<YearReport>,
    /// How long the chosen one lasts from full.
    pub lasting: Option<FromFull>,
    /// The least array with which it is never short.
    pub least_array: Option<LeastArray>,
    /// The day on which it stands lowest.
    pub lowest_day: Option<Arc<YearDay>>,
}

/// How a plan's typical year stands beside the page.
pub(super) enum Beside {
    /// It is there.
    Lived(Rc<LivedBeside>),
    /// It is under way.
    Living,
    /// Nobody is there to live it.
    Nobody,
}

/// A typical year under way.
struct Living {
    of: Arc<Plan>,
    run: u32,
    /// Each candidate's, in the plan's order, as they come back.
    years: Vec<Option<YearReport>>,
    lasting: Option<Option<FromFull>>,
    least_array: Option<Option<LeastArray>>,
    lowest_day: Option<Option<YearDay>>,
}

impl Living {
    fn put(&mut self, job: Job, numbers: &[f64]) {
        match job {
            Job::Typical { nth } => {
                let called = |id: u32| {
                    let mut loads = self.of.loads.iter();
                    let load = loads.find(|load| load.id == id);
                    load.map_or_else(String::new, |load| load.called().to_owned())
                };
                if let Some(year) = self.years.get_mut(nth as usize)
                    && !numbers.is_empty()
                {
                    *year = Some(YearReport::from_numbers(numbers, &called));
                }
            }
            Job::Lasting => self.lasting = Some(FromFull::from_numbers(numbers)),
            Job::LeastArray => self.least_array = Some(LeastArray::from_numbers(numbers)),
            Job::LowestDay => self.lowest_day = Some(YearDay::from_numbers(numbers)),
            _ => {}
        }
    }

    /// All of it, once all is back.
    fn whole(&mut self) -> Option<LivedBeside> {
        let (lasting, least_array) = (self.lasting?, self.least_array?);
        if self.years.iter().any(Option::is_none) {
            return None;
        }
        let lowest_day = self.lowest_day.take()?;
        let mut years = self.years.iter_mut().filter_map(Option::take);
        let mut year = years.next()?;
        year.banks.extend(years.flat_map(|other| other.banks));
        Some(LivedBeside {
            of: self.of.clone(),
            year: Arc::new(year),
            lasting,
            least_array,
            lowest_day: lowest_day.map(Arc::new),
        })
    }
}

/// Who hands out the jobs.
#[derive(Default)]
struct Office {
    crew: Option<Crew>,
    /// The plan that lies before all hands.
    laid: Option<Arc<Plan>>,
    living: Option<Living>,
    /// The last typical year that came from beside the page, and who is told of one.
    lived: Option<Rc<LivedBeside>>,
    told: Option<Rc<dyn Fn(&LivedBeside)>>,
    survey: Option<Survey>,
    /// Jobs that each hand has, the one under way first, with their run.
    given: Vec<VecDeque<(u32, Job)>>,
    /// Most that it has.
    ahead: usize,
    run: u32,
    started: f64,
    shown: f64,
    /// What the workers took for years of candidates [ms], and how many.
    years: (f64, u64),
    /// What has been reached, and shown: the years of all candidates, a map that is whole, one that is done.
    reached: [bool; 3],
}

type Shared = Rc<RefCell<Office>>;

impl Sure {
    /// Nothing known yet.
    pub(super) fn new() -> Self {
        Self {
            risks: RwSignal::new(Vec::new()),
            band: RwSignal::new(None),
            map: RwSignal::new(None),
            doubts: RwSignal::new(Vec::new()),
            done: RwSignal::new(0.0),
            left: RwSignal::new(None),
            here: RwSignal::new(false),
            fault: RwSignal::new(""),
            tolerance: RwSignal::new(3.0),
            office: StoredValue::new_local(Shared::default()),
        }
    }

    /// Has a plan's typical year lived beside the page, where there is anybody to do so.
    pub(super) fn live(self, plan: &Arc<Plan>) -> Beside {
        let shared = self.office.get_value();
        let mut office = shared.borrow_mut();
        let lived = office.lived.clone();
        if let Some(lived) = lived.filter(|lived| Arc::ptr_eq(&lived.of, plan)) {
            return Beside::Lived(lived);
        }
        if self.here.get_untracked() || office.crew.is_none() || plan.candidates.is_empty() {
            return Beside::Nobody;
        }
        let living = office.living.as_ref();
        if living.is_some_and(|living| Arc::ptr_eq(&living.of, plan)) {
            return Beside::Living;
        }
        office.run = office.run.wrapping_add(1);
        office.lay(plan);
        let run = office.run;
        office.living = Some(Living {
            of: plan.clone(),
            run,
            years: plan.candidates.iter().map(|_| None).collect(),
            lasting: None,
            least_array: None,
            lowest_day: None,
        });
        let mut jobs = vec![Job::LeastArray, Job::Lasting, Job::LowestDay];
        jobs.extend((0..plan.candidates.len() as u32).map(|nth| Job::Typical { nth }));
        let each = jobs.len().div_ceil(office.given.len().max(1));
        for (hand, own) in jobs.chunks(each).enumerate() {
            office.give(hand, run, own);
        }
        Beside::Living
    }

    /// Tells of every typical year that comes from beside the page.
    pub(super) fn tell(self, told: Rc<dyn Fn(&LivedBeside)>) {
        self.office.get_value().borrow_mut().told = Some(told);
    }

    /// Hands out nothing more of a survey: the plan is about to change.
    pub(super) fn rest(self) {
        self.office.get_value().borrow_mut().survey = None;
    }

    /// Draws for a desk's plan whenever typing has paused.
    pub fn follow(self, desk: Desk) {
        let sure = self;
        let office = self.office.get_value();
        // Workers take a while to start: they do so while the page draws its first pictures.
        let early = office.clone();
        let open = move || {
            if !sure.here.get_untracked() {
                sure.open(&early, false);
            }
        };
        set_timeout(open, Duration::ZERO);
        Effect::new(move |_| {
            let fault = sure.fault.get();
            if !fault.is_empty() {
                desk.say(fault);
            }
        });
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
                    sure.begin(&office, here, Survey::new(&inputs, wanted), &plan);
                }
            };
            set_timeout(begin, BEFORE);
        });
    }

    /// Sees that there are hands: workers, or the page itself where there are none; whether there are.
    fn open(self, office: &Shared, here: bool) -> bool {
        if office.borrow().crew.is_some() {
            return true;
        }
        let heard_by = office.clone();
        let said = move |hand: u32, run: u32, numbers: Vec<f64>, took: f64| {
            self.heard(&heard_by, (hand, run), &numbers, took);
        };
        let made = crew(here, Box::new(said));
        if made.is_none() && !here {
            self.here.set(true);
        }
        let mut office = office.borrow_mut();
        let count = made.as_ref().map_or(0, |crew| crew.count() as usize);
        office.given = vec![VecDeque::new(); count];
        office.ahead = if here { 1 } else { AHEAD };
        office.crew = made;
        office.crew.is_some()
    }

    /// Lays a plan out before all hands and gives each its first jobs.
    fn begin(self, office: &Shared, here: bool, survey: Survey, plan: &Arc<Plan>) {
        if !self.open(office, here) {
            return;
        }
        let mut office = office.borrow_mut();
        office.lay(plan);
        let Some(crew) = &office.crew else { return };
        office.started = crew.now();
        office.shown = office.started;
        office.years = (0.0, 0);
        // Without panels there is no map to wait for.
        office.reached = [false, survey.map_is_whole(), survey.map_is_done()];
        office.survey = Some(survey);
        office.hand_out();
    }

    /// The crew has failed and has ended: the page itself draws fewer years from now on; where it already did, it tries again
    /// with the next change.
    fn lose(self, shared: &Shared) {
        let mut office = shared.borrow_mut();
        (office.crew, office.laid, office.living, office.survey) = (None, None, None, None);
        drop(office);
        let Some(here) = self.here.try_get_untracked() else {
            return;
        };
        self.fault.set(if here {
            "The drawn years failed: a part of the program did not load. Load the page again."
        } else {
            "A background worker failed. This page now draws fewer years itself; load it again to use workers."
        });
        self.here.set(true);
    }

    /// Takes what a hand brings, gives it the next job, and shows what there is.
    fn heard(self, shared: &Shared, (hand, run): (u32, u32), numbers: &[f64], took: f64) {
        if took < 0.0 {
            return self.lose(shared);
        }
        let mut office = shared.borrow_mut();
        let given = office.given.get_mut(hand as usize);
        let given = given.and_then(VecDeque::pop_front);
        if let (Some((of, job)), Some(living)) = (given, &mut office.living)
            && of == living.run
        {
            living.put(job, numbers);
            if let Some(whole) = living.whole() {
                let (whole, told) = (Rc::new(whole), office.told.clone());
                (office.living, office.lived) = (None, Some(whole.clone()));
                drop(office);
                if let Some(told) = told {
                    told(&whole);
                }
                return;
            }
        }
        let wanted = run == office.run;
        if let Some((of, job)) = given
            && wanted
            && of == run
            && let Some(survey) = &mut office.survey
        {
            survey.put(job, numbers);
            if let Job::Years { from, to, .. } = job {
                office.years = (office.years.0 + took, office.years.1 + u64::from(to - from));
            }
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
        let reached = [
            survey.years_are_done(),
            survey.map_is_whole(),
            survey.map_is_done(),
        ];
        if !ended && reached == office.reached && now - office.shown < SHOW_EVERY_MS {
            return;
        }
        office.note(now, reached, ended);
        let gone_s = (now - office.started) / 1000.0;
        let done = if ended { 1.0 } else { survey.progress() };
        let left_s = gone_s * (1.0 - done) / done.max(1e-3);
        let (risks, band) = (survey.risks(), survey.band());
        // What costs the most to draw is drawn the least: a map when it is whole and when it is done, the bars at the end.
        let [_, map_reached @ ..] = reached;
        let [_, map_shown @ ..] = office.reached;
        let map = (ended || map_reached != map_shown).then(|| survey.map());
        let doubts = ended.then(|| survey.doubts());
        office.shown = now;
        office.reached = reached;
        drop(office);
        let shared = shared.clone();
        let show = move || {
            // Of a plan that has changed meanwhile, nothing is shown.
            if shared.borrow().run != run {
                return;
            }
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
        };
        // In a task of its own: a key may come between it and what was gathered.
        set_timeout(show, Duration::ZERO);
    }
}

impl Office {
    /// Lays a plan before all hands, if it doesn't lie there.
    fn lay(&mut self, plan: &Arc<Plan>) {
        let lies = |laid: &Arc<Plan>| Arc::ptr_eq(laid, plan);
        if let (Some(crew), false) = (&self.crew, self.laid.as_ref().is_some_and(lies)) {
            crew.plan(&larder::link::to_line(&larder::link::to_value(plan)));
            self.laid = Some(plan.clone());
        }
    }

    /// Gives a hand jobs, all in one message.
    fn give(&mut self, hand: usize, run: u32, jobs: &[Job]) {
        if let (Some(crew), Some(given)) = (&self.crew, self.given.get_mut(hand)) {
            let mut numbers = Vec::new();
            for job in jobs {
                given.push_back((run, *job));
                numbers.extend_from_slice(&job.to_numbers());
            }
            crew.give(hand as u32, run, numbers);
        }
    }

    /// Gives each hand what it may have ahead; each a first job before any a second one.
    fn hand_out(&mut self) {
        for held in 0..self.ahead {
            for hand in 0..self.given.len() {
                if self
                    .given
                    .get(hand)
                    .is_some_and(|given| given.len() == held)
                    && let Some(job) = self.survey.as_mut().and_then(Survey::next_job)
                {
                    self.give(hand, self.run, &[job]);
                }
            }
        }
    }

    /// Notes in the browser's timeline what is reached: a year of a bank in a worker, the years of all, a first map, the map.
    fn note(&self, now: f64, reached: [bool; 3], ended: bool) {
        let Some(crew) = &self.crew else { return };
        let since = now - self.started;
        for (name, (reached, had)) in ["risk", "map first", "map"]
            .iter()
            .zip(reached.into_iter().zip(self.reached))
        {
            if reached && !had {
                crew.measure(name, self.started, since);
            }
        }
        let [risk, ..] = reached;
        if risk && self.reached.first() == Some(&false) {
            crew.measure(
                "year",
                self.started,
                self.years.0 / self.years.1.max(1) as f64,
            );
        }
        if ended {
            crew.measure("survey", self.started, since);
        }
    }
}
