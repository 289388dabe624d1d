//! How sure it is, in pieces that any number of hands may work at side by side: a survey hands out jobs and gathers what comes
//! back, a bench does them. What a survey ends with hangs on the plan alone, not on the hands or their order.

mod bench;
mod job;

pub use bench::Bench;
pub use job::Job;

use super::doubt::{DOUBTS, YEARS, YEARS_EACH, band, doubt};
use super::map::Mapping;
use super::risk::Tally;
use crate::inputs::{Inputs, Ranges};
use crate::report::{Doubt, DoubtEnd, Risk, SizingMap};
use crate::year::YearShort;
use job::years_from_numbers;

/// Years drawn for a candidate in one job.
const YEARS_A_JOB: u64 = 20;
/// Joint draws in one job: each lays a plan out anew, so that one takes as long as many years.
const DRAWS_A_JOB: u64 = 2;
/// Years of every candidate that come before the rest of them.
const YEARS_FIRST: u64 = 100;
/// Years after which it is looked whether a candidate's interval is narrow enough.
const YEARS_AT_LEAST: u64 = 300;
/// Half an interval that is narrow enough: so many days, and such a share of the mean. Assumed.
const NARROW: (f64, f64) = (0.1, 0.02);

/// What is wanted of a survey.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// Most years of each candidate.
    pub years: u64,
    /// Whether a candidate may have fewer, where its interval is narrow enough by then.
    pub until_narrow: bool,
    /// Days short a year that are borne, for a sizing map.
    pub map: Option<f64>,
    /// Joint draws of what is uncertain; with none, it is not looked at.
    pub draws: u64,
}

/// A candidate's years under way.
struct Drawing {
    id: u32,
    /// What is back, by the first year of its job.
    parts: Vec<(u64, Vec<YearShort>)>,
    given: u64,
    /// Whether these tell enough.
    enough: bool,
}

/// Who works out what next, and what has come of it.
pub struct Survey {
    wanted: Wanted,
    drawings: Vec<Drawing>,
    mapping: Option<Mapping>,
    ranges: Ranges,
    doubts: Vec<Option<Doubt>>,
    doubted: usize,
    joint: Drawing,
    back: usize,
    given: usize,
}

impl Drawing {
    fn new(id: u32) -> Self {
        Self {
            id,
            parts: Vec::new(),
            given: 0,
            enough: false,
        }
    }

    fn put(&mut self, from: u32, years: Vec<YearShort>) {
        let from = u64::from(from);
        let place = self.parts.partition_point(|(first, _)| *first < from);
        self.parts.insert(place, (from, years));
    }

    fn tally(&self) -> Tally {
        let years = self.parts.iter().flat_map(|(_, years)| years);
        Tally::of(years.copied().collect())
    }

    /// The next stretch of so many of at most so many; none where all are given out.
    fn next(&mut self, a_job: u64, most: u64) -> Option<(u32, u32)> {
        let from = self.given;
        let to = (from + a_job).min(most);
        self.given = to.max(from);
        (to > from).then_some((from as u32, to as u32))
    }

    /// Years that are back.
    fn back(&self) -> u64 {
        self.parts.iter().map(|(_, years)| years.len() as u64).sum()
    }

    /// Whether all that is given out is back, and tells enough.
    fn is_narrow(&self) -> bool {
        let tally = self.tally();
        let interval = tally.risk(self.id).interval;
        interval
            .is_none_or(|[low, high]| (high - low) / 2.0 <= NARROW.0 + NARROW.1 * tally.mean_days())
    }
}

impl Survey {
    /// Lays out a survey of a plan.
    pub fn new(inputs: &Inputs, wanted: Wanted) -> Self {
        let ids = inputs.candidates.iter().map(|row| row.id);
        Self {
            wanted,
            drawings: ids.map(Drawing::new).collect(),
            mapping: wanted.map.and_then(|days| Mapping::new(inputs, days)),
            ranges: inputs.ranges,
            doubts: vec![None; DOUBTS],
            doubted: 0,
            joint: Drawing::new(inputs.chosen),
            back: 0,
            given: 0,
        }
    }

    /// What to work out next; none where all is handed out, or what is out must come back first.
    pub fn next_job(&mut self) -> Option<Job> {
        let job = self.pick()?;
        self.given += 1;
        Some(job)
    }

    fn pick(&mut self) -> Option<Job> {
        let first = self.years(YEARS_FIRST.min(self.wanted.years));
        if let Some(job) = first.or_else(|| self.years(self.wanted.years)) {
            return Some(job);
        }
        if let Some((at, pass)) = self.mapping.as_mut().and_then(Mapping::next) {
            return Some(Job::Cell {
                at: at as u32,
                pass: pass as u32,
            });
        }
        // These take longer than a cell: while the map's next round is not laid out, a hand waits for it rather.
        if self.wanted.draws > 0 && self.map_is_done() {
            if let Some((from, to)) = self.joint.next(DRAWS_A_JOB, self.wanted.draws) {
                return Some(Job::Jointly { from, to });
            }
            if self.doubted < DOUBTS {
                self.doubted += 1;
                let nth = self.doubted as u32 - 1;
                return Some(Job::Doubt { nth });
            }
        }
        None
    }

    fn years(&mut self, most: u64) -> Option<Job> {
        let until_narrow = self.wanted.until_narrow;
        let mut drawings = self.drawings.iter_mut().enumerate();
        drawings.find_map(|(nth, drawing)| {
            if drawing.enough || drawing.given >= most {
                return None;
            }
            // A stop is only weighed at whole hundreds, with all years before it back.
            let weighed = drawing.given >= YEARS_AT_LEAST && drawing.given.is_multiple_of(100);
            if until_narrow && weighed {
                if drawing.back() < drawing.given {
                    return None;
                }
                drawing.enough = drawing.is_narrow();
                if drawing.enough {
                    return None;
                }
            }
            let (from, to) = drawing.next(YEARS_A_JOB, most)?;
            let nth = nth as u32;
            Some(Job::Years { nth, from, to })
        })
    }

    /// Takes what came of a job that it gave.
    pub fn put(&mut self, job: Job, numbers: &[f64]) {
        self.back += 1;
        match job {
            Job::Years { nth, from, .. } => {
                if let Some(drawing) = self.drawings.get_mut(nth as usize) {
                    drawing.put(from, years_from_numbers(numbers));
                }
            }
            Job::Cell { at, .. } => {
                if let Some(mapping) = &mut self.mapping {
                    mapping.put(at as usize, years_from_numbers(numbers));
                }
            }
            Job::Doubt { nth } => {
                let nth = nth as usize;
                if let (Some(slot), [low_parked, low_short, high_parked, high_short]) =
                    (self.doubts.get_mut(nth), numbers)
                {
                    let end = |parked_days: f64, short_days: f64| DoubtEnd {
                        parked_days,
                        short_days,
                    };
                    let (low, high) =
                        (end(*low_parked, *low_short), end(*high_parked, *high_short));
                    *slot = doubt(&self.ranges, nth, low, high);
                }
            }
            Job::Jointly { from, .. } => self.joint.put(from, years_from_numbers(numbers)),
            Job::Typical { .. } | Job::Lasting | Job::LowestDay | Job::LeastArray => {}
        }
    }

    /// Jobs that are handed out and not back. With none out and none to hand out, the survey is done.
    pub fn out(&self) -> usize {
        self.given - self.back
    }

    /// How often each candidate runs short, as far as it is known.
    pub fn risks(&self) -> Vec<Risk> {
        let drawn = self.drawings.iter();
        let tallies = drawn.map(|drawing| (drawing.id, drawing.tally()));
        let known = tallies.filter(|(_, tally)| tally.count() > 0);
        known.map(|(id, tally)| tally.risk(id)).collect()
    }

    /// Whether every candidate has all the years that it is to have.
    pub fn years_are_done(&self) -> bool {
        let mut drawings = self.drawings.iter();
        drawings.all(|drawing| {
            let given_out = drawing.enough || drawing.given >= self.wanted.years;
            given_out && drawing.back() == drawing.given
        })
    }

    /// The sizing map as far as it is worked out; none without panels.
    pub fn map(&self) -> Option<SizingMap> {
        self.mapping.as_ref().map(Mapping::map)
    }

    /// Whether every cell of the map has its first figure.
    pub fn map_is_whole(&self) -> bool {
        self.mapping.as_ref().is_none_or(Mapping::is_whole)
    }

    /// Whether the map is as sure as it gets.
    pub fn map_is_done(&self) -> bool {
        self.mapping.as_ref().is_none_or(Mapping::is_done)
    }

    /// What each uncertain input does, as far as it is known.
    pub fn doubts(&self) -> Vec<Doubt> {
        let plain_days = self.plain_days();
        let known = self.doubts.iter().flatten().copied();
        known
            .map(|doubt| Doubt {
                plain_days,
                ..doubt
            })
            .collect()
    }

    /// Days short a year of the chosen candidate in those years in which an input is moved.
    fn plain_days(&self) -> f64 {
        let chosen = self
            .drawings
            .iter()
            .find(|drawing| drawing.id == self.joint.id);
        let drawn = chosen.or(self.drawings.first()).map(Drawing::tally);
        let years = drawn.as_ref().map_or(&[][..], Tally::years);
        let same = years.iter().take(YEARS as usize).copied();
        Tally::of(same.collect()).mean_days()
    }

    /// Days short a year that hold nine years in ten when all uncertain inputs are drawn with the weather.
    pub fn band(&self) -> Option<[u32; 2]> {
        band(&self.joint.tally())
    }

    /// Share of the work that is done, 0 to 1, as far as it can be foreseen.
    pub fn progress(&self) -> f64 {
        let share = |drawing: &Drawing, most: u64| {
            let whole = if drawing.enough { drawing.given } else { most };
            drawing.back() as f64 / whole.max(1) as f64
        };
        let years = self.drawings.iter();
        let years: f64 = years.map(|drawing| share(drawing, self.wanted.years)).sum();
        let mut parts = vec![years / self.drawings.len().max(1) as f64];
        parts.extend(self.mapping.as_ref().map(Mapping::progress));
        if self.wanted.draws > 0 {
            parts.push(share(&self.joint, self.wanted.draws * YEARS_EACH));
        }
        parts.iter().sum::<f64>() / parts.len() as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evaluate::doubt::Doubting;
    use crate::evaluate::risk::Chances;
    use crate::evaluate::year::TypicalYear;
    use crate::report::{FromFull, YearDay, YearReport};

    fn hut() -> Inputs {
        let text = include_str!("../../../demo-data/hill-hut.larder.json");
        crate::import(&crate::link::from_text(text).unwrap()).unwrap()
    }

    const WANTED: Wanted = Wanted {
        years: 120,
        until_narrow: true,
        map: Some(3.0),
        draws: 7,
    };

    /// Surveys with so many hands; the last one out comes back first where `late`.
    fn surveyed(inputs: &Inputs, wanted: Wanted, hands: usize, late: bool) -> Survey {
        let mut survey = Survey::new(inputs, wanted);
        let mut benches: Vec<Bench> = (0..hands).map(|_| Bench::new(inputs.clone())).collect();
        let mut out: Vec<(Job, Vec<f64>)> = Vec::new();
        let mut last = 0.0;
        loop {
            while out.len() < hands
                && let Some(job) = survey.next_job()
            {
                assert_eq!(Job::from_numbers(job.to_numbers()), Some(job));
                let bench = &mut benches[out.len()];
                out.push((job, bench.work(job)));
            }
            assert_eq!(survey.out(), out.len());
            if out.is_empty() {
                return survey;
            }
            let (job, numbers) = if late {
                out.pop().unwrap()
            } else {
                out.remove(0)
            };
            survey.put(job, &numbers);
            assert!(survey.progress() >= last - 0.35, "{last}");
            last = survey.progress();
        }
    }

    #[test]
    fn a_year_that_is_sent_is_the_same_as_one_lived_here() {
        for text in [
            include_str!("../../../demo-data/hill-hut.larder.json"),
            include_str!("../../../demo-data/orchard-van.larder.json"),
            include_str!("../../../demo-data/estuary-cutter.larder.json"),
        ] {
            let mut plan = crate::link::from_text(text).unwrap();
            // More is drawn than there is, so that something is lacking.
            plan.loads[0].draw *= 4.0;
            let inputs = crate::import(&plan).unwrap();
            let here = TypicalYear::new(&inputs);
            let mut bench = Bench::new(inputs);
            let called = |id: u32| {
                plan.loads
                    .iter()
                    .find(|its| its.id == id)
                    .unwrap()
                    .name
                    .clone()
            };
            let (whole, mut sent) = (here.report(), Vec::new());
            for nth in 0..whole.banks.len() as u32 {
                let numbers = bench.work(Job::from_numbers([4, nth, 0, 0]).unwrap());
                let year = YearReport::from_numbers(&numbers, &called);
                assert_eq!(
                    (&year.starts, &year.month_of),
                    (&whole.starts, &whole.month_of)
                );
                sent.extend(year.banks);
            }
            assert_eq!(sent, whole.banks);
            assert!(sent.iter().any(|bank| !bank.unserved_by_load.is_empty()));
            let lasting = bench.work(Job::from_numbers([5, 0, 0, 0]).unwrap());
            assert_eq!(FromFull::from_numbers(&lasting), here.lasting());
            let day = bench.work(Job::from_numbers([6, 0, 0, 0]).unwrap());
            let day = YearDay::from_numbers(&day).unwrap();
            let lowest = whole.bank(plan.chosen).unwrap().lowest_day().unwrap();
            assert_eq!(Some(day), YearDay::of(&here.hours(), lowest));
        }
        assert_eq!(YearDay::from_numbers(&[]), None);
        assert_eq!(FromFull::from_numbers(&[]), None);
    }

    #[test]
    fn hands_and_their_order_change_nothing() {
        let inputs = hut();
        let one = surveyed(&inputs, WANTED, 1, false);
        let three = surveyed(&inputs, WANTED, 3, true);
        assert_eq!(one.risks(), three.risks());
        assert_eq!(one.map(), three.map());
        assert_eq!(one.doubts(), three.doubts());
        assert_eq!(one.band(), three.band());
        assert!(one.band().is_some() && (one.progress() - 1.0).abs() < 1e-9);
        let drawn = Chances::new(&inputs)
            .draw(0, 0..120)
            .risk(inputs.candidates[0].id);
        assert_eq!(one.risks()[0], drawn);
        // An input that is moved by nothing leaves the plan as it stands.
        let unmoved = Doubting::new(&inputs).unwrap().end(0, 0.0).unwrap();
        for doubt in one.doubts() {
            assert_eq!(doubt.plain_days, unmoved.short_days);
        }
    }

    #[test]
    fn years_end_where_the_interval_is_narrow() {
        let inputs = hut();
        let wanted = Wanted {
            years: 500,
            map: None,
            draws: 0,
            ..WANTED
        };
        let survey = surveyed(&inputs, wanted, 2, false);
        for risk in survey.risks() {
            let narrow = risk.interval.is_none_or(|[low, high]| {
                (high - low) / 2.0 <= NARROW.0 + NARROW.1 * risk.mean_days
            });
            assert!(risk.years == 500 || narrow, "{risk:?}");
            assert!(u64::from(risk.years) >= YEARS_AT_LEAST);
        }
    }

    #[test]
    fn a_job_of_another_plan_brings_nothing() {
        let mut bench = Bench::new(hut());
        for job in [
            Job::Years {
                nth: 9,
                from: 0,
                to: 4,
            },
            Job::Cell { at: 999, pass: 0 },
            Job::Cell { at: 0, pass: 9 },
            Job::Doubt { nth: 99 },
        ] {
            assert!(bench.work(job).is_empty());
        }
        assert_eq!(Job::from_numbers([8, 0, 0, 0]), None);
    }
}
