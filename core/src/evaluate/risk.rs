//! How sure it is: every candidate under many drawn years, and the map of strings against watts.

use super::climate::Year;
use super::income::{Income, Roof};
use super::year::{clock, draws, tanks};
use crate::battery::Reservoir;
use crate::energy::DayKind;
use crate::inputs::{Candidate, Inputs};
use crate::numeric::order;
use crate::report::{Risk, SizingCell, SizingMap};
use crate::solar::{Controller, MONTH_DAYS};
use crate::year::{
    ByScore, CLEARNESS_STEP, CLEARNESS_STEPS, Course, Day, LeanDay, Light, Odds, Scores, Sky,
    YEAR_DAYS, YearShort, live, normal_quantile, share_interval,
};
use chrono::{Datelike, NaiveDate};

/// Which stream of weather is drawn: the same for every plan and candidate, so that differences are sharp.
const SEED: u64 = 0x0A31_DE55;
/// Confidence of every interval.
const CONFIDENCE: f64 = 0.95;
/// Below this mean of days short a year the interval is that of the share of years with a short day.
const RARE_DAYS: f64 = 1.0;
/// Taken as the doubt of a mean below that, after enough years; twice as much after fewer [days]. Assumed.
const RARE_HALF: f64 = 0.5;
const ENOUGH_YEARS: usize = 50;
/// Clearness by which a day's sun is told from that of its stretch's middle.
const MIDDLING: f64 = 0.5;
/// Stretches of a month in the sun's table.
const A_MONTH: usize = 6;
/// Days of each but the last.
const STRETCH: usize = 5;
/// Strings and steps of solar watts of a sizing map.
pub const MAP_SIDE: usize = 12;
/// Years drawn for a cell at first, and again where it matters.
const PASSES: [u64; 3] = [12, 48, 140];
/// Days short a year from which a cell is hopeless, and is not worked out further.
const HOPELESS_DAYS: f64 = 150.0;

/// A plan made ready for drawing years.
pub struct Chances {
    sky: Sky,
    light: Light,
    banks: Vec<(u32, [Reservoir; 12])>,
}

/// Years that were drawn for one bank; tallies of several stretches of years add up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tally {
    years: Vec<YearShort>,
}

impl Chances {
    /// Makes a plan ready.
    pub fn new(inputs: &Inputs) -> Self {
        let air = Year::new(&inputs.living, inputs.sun.as_ref());
        let banks = inputs.candidates.iter();
        Self {
            sky: sky(inputs, &air),
            light: sun_table(Roof::new(inputs, &air).as_ref()),
            banks: banks.map(|row| (row.id, tanks(row, &air))).collect(),
        }
    }

    /// The candidates' ids, in the plan's order.
    pub fn ids(&self) -> Vec<u32> {
        self.banks.iter().map(|(id, _)| *id).collect()
    }

    /// Draws a stretch of years for the nth candidate.
    pub fn draw(&self, nth: usize, years: std::ops::Range<u64>) -> Tally {
        let Some((_, tanks)) = self.banks.get(nth) else {
            return Tally::default();
        };
        Tally::drawn(&self.sky, &self.light, tanks, years)
    }

    /// The same, year after year: what several abreast are held against.
    pub fn draw_plainly(&self, nth: usize, years: std::ops::Range<u64>) -> Tally {
        let Some((_, tanks)) = self.banks.get(nth) else {
            return Tally::default();
        };
        let odds = Odds::new(&self.sky, &self.light, tanks);
        Tally::of(odds.years_plainly(&Scores::drawn(SEED, years)))
    }
}

/// Days short of the first candidate in a drawn year, lived through by the year's full loop with the sun of each day itself:
/// what the lean way is held against.
pub fn drawn_year_in_full(inputs: &Inputs, nth: u64) -> u32 {
    let air = Year::new(&inputs.living, inputs.sun.as_ref());
    let chances = Chances::new(inputs);
    let sky = &chances.sky;
    let scores = Scores::drawn(SEED, nth..nth + 1);
    let roof = Roof::new(inputs, &air);
    let first: usize = MONTH_DAYS
        .iter()
        .take(sky.days.first().map_or(0, |day| day.month))
        .sum();
    let days = sky.days.iter().zip(scores.year(0)).zip(sky.kinds(nth));
    let days = days.enumerate().map(|(at, ((day, score), kind))| {
        let ordinal = (first + at) % YEAR_DAYS + 1;
        Day {
            month: day.month,
            profile: kind * 12 + day.month,
            sun_w: roof.as_ref().map_or([0.0; 24], |roof| {
                roof.real_day_w(ordinal, day.month, sky.clearness(day, *score))
            }),
            drives: kind == sky.driving_kind,
            hooked_up: kind == sky.shore_kind,
        }
    });
    let course = Course {
        days: days.collect(),
        draws: sky.draws.clone(),
        clock: sky.clock.clone(),
        engine: sky.engine.as_ref(),
        shore_w: sky.shore_w,
        inverter_cutoff_v: sky.inverter_cutoff_v,
    };
    let Some((_, tanks)) = chances.banks.first() else {
        return 0;
    };
    let lived = live(tanks, &course, &mut |_| {});
    lived.unserved_wh.iter().filter(|wh| **wh > 0.0).count() as u32
}

impl Tally {
    /// A stretch of years of a bank under a sky.
    fn drawn(
        sky: &Sky,
        light: &Light,
        tanks: &[Reservoir; 12],
        years: std::ops::Range<u64>,
    ) -> Self {
        Self::of(Odds::new(sky, light, tanks).years(&Scores::drawn(SEED, years)))
    }

    /// Adds another stretch.
    pub fn add(&mut self, other: Self) {
        self.years.extend(other.years);
    }

    /// A tally of years drawn before.
    pub fn of(years: Vec<YearShort>) -> Self {
        Self { years }
    }

    /// The years, in the order in which they were drawn.
    pub fn years(&self) -> &[YearShort] {
        &self.years
    }

    /// Years drawn.
    pub fn count(&self) -> usize {
        self.years.len()
    }

    /// Mean of days short a year; 0 without years.
    pub fn mean_days(&self) -> f64 {
        let sum: u32 = self.years.iter().map(YearShort::days).sum();
        f64::from(sum) / self.years.len().max(1) as f64
    }

    /// What the years say of a candidate.
    pub fn risk(&self, id: u32) -> Risk {
        let count = self.years.len();
        let n = count.max(1) as f64;
        let mean = self.mean_days();
        let spread = self.years.iter().map(|year| {
            let off = f64::from(year.days()) - mean;
            off * off
        });
        let deviation = (spread.sum::<f64>() / (n - 1.0).max(1.0)).sqrt();
        let half = normal_quantile(0.5 + CONFIDENCE / 2.0) * deviation / n.sqrt();
        let short = self.years.iter().filter(|year| year.days() > 0).count();
        let mut by_month = [0.0; 12];
        for year in &self.years {
            for (sum, days) in by_month.iter_mut().zip(year.by_month) {
                *sum += f64::from(days) / n;
            }
        }
        let worst = self.years.iter().max_by_key(|year| year.longest);
        let mut days: Vec<u32> = self.years.iter().map(YearShort::days).collect();
        days.sort_unstable();
        let fractile = |share: f64| days.get((share * (n - 1.0)).round() as usize).copied();
        let (share_low, share_high) = share_interval(short as u32, count as u32, CONFIDENCE);
        Risk {
            id,
            years: count as u32,
            mean_days: mean,
            interval: (mean >= RARE_DAYS).then(|| [(mean - half).max(0.0), mean + half]),
            years_with_none: 1.0 - short as f64 / n,
            none_interval: [1.0 - share_high, 1.0 - share_low],
            tenth: fractile(0.1).unwrap_or(0),
            median: fractile(0.5).unwrap_or(0),
            ninth: fractile(0.9).unwrap_or(0),
            worst_spell_days: worst.map_or(0, |year| year.longest),
            worst_spell_month: worst.map_or(1, |year| year.longest_month + 1),
            by_month,
            unserved_wh: self.years.iter().map(|year| year.unserved_wh).sum::<f64>() / n,
        }
    }
}

/// The month in which what comes in exceeds use the most: a bank is full when it ends, as good as surely.
fn fullest_month(income: &Income) -> usize {
    let left = (0..12).map(|month| -income.sun_w(month).iter().sum::<f64>());
    order(&left.collect::<Vec<_>>())
        .first()
        .copied()
        .unwrap_or(0)
}

fn sky(inputs: &Inputs, air: &Year) -> Sky {
    let living = &inputs.living;
    let driving = inputs.driving.as_ref();
    let income = Income::new(inputs, air);
    let first = fullest_month(&income);
    let roof = Roof::new(inputs, air);
    let days_before: usize = MONTH_DAYS.iter().take(first).sum();
    let year = living.starts.year();
    let new_year = NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or(living.starts);
    let days: Vec<LeanDay> = new_year
        .iter_days()
        .filter(|date| (date.month(), date.day()) != (2, 29))
        .take(YEAR_DAYS)
        .map(|date| {
            let month = date.month0() as usize;
            let part = (date.day0() as usize / STRETCH).min(A_MONTH - 1);
            let dated = |date: &NaiveDate| {
                let stay = living.stays.iter().rev().find(|(from, to, _)| {
                    (*from..=*to).contains(date)
                        || date
                            .with_year(year + 1)
                            .is_some_and(|next| (*from..=*to).contains(&next))
                });
                stay.map(|(_, _, kind)| kind.index())
            };
            LeanDay {
                month,
                stretch: month * A_MONTH + part,
                scale: roof.as_ref().map_or(1.0, |roof| {
                    let sum =
                        |day: usize| -> f64 { roof.real_day_w(day, month, MIDDLING).iter().sum() };
                    let middle = sum(middle_of(month, part));
                    if middle > 0.0 {
                        sum(date.ordinal() as usize) / middle
                    } else {
                        1.0
                    }
                }),
                kind: dated(&date),
            }
        })
        .collect();
    let (before, after) = days.split_at(days_before.min(days.len()));
    Sky {
        days: [after, before].concat(),
        rhythm: living
            .rhythm
            .iter()
            .flat_map(|(kind, days)| std::iter::repeat_n(kind.index(), *days as usize))
            .collect(),
        draws: draws(inputs, air),
        spread: std::array::from_fn(|month| ByScore::of_month(air.clearness(month))),
        clock: clock(inputs, 1),
        engine: driving.map(|driving| driving.alternator.clone()),
        shore_w: income.shore_stages_w(inputs),
        inverter_cutoff_v: inputs.inverter_cutoff_v,
        driving_kind: DayKind::Travelling.index(),
        shore_kind: DayKind::HookedUp.index(),
    }
}

/// The day of the year, from 1, in the middle of a stretch of a month.
fn middle_of(month: usize, part: usize) -> usize {
    let before: usize = MONTH_DAYS.iter().take(month).sum();
    let length = MONTH_DAYS.get(month).copied().unwrap_or(30);
    let last = part + 1 == A_MONTH;
    before
        + if last {
            (part * STRETCH + length).div_ceil(2)
        } else {
            part * STRETCH + STRETCH.div_ceil(2)
        }
}

/// The sun by the clock [W] for each stretch of days, at each clearness of the table.
fn sun_table(roof: Option<&Roof<'_>>) -> Light {
    let stretches = (0..12).flat_map(|month| (0..A_MONTH).map(move |part| (month, part)));
    let rows = stretches
        .flat_map(|(month, part)| (0..CLEARNESS_STEPS).map(move |step| (month, part, step)))
        .map(|(month, part, step)| {
            roof.map_or([0.0; 24], |roof| {
                let clearness = step as f64 * CLEARNESS_STEP;
                roof.real_day_w(middle_of(month, part), month, clearness)
            })
        });
    Light(rows.collect())
}

/// The plan with one candidate of so many strings and so many times its solar watts, the controller's limit grown with them.
fn resized(inputs: &Inputs, row: &Candidate, strings: u32, times: f64) -> Inputs {
    let mut other = inputs.clone();
    let mut row = row.clone();
    row.bank.parallel = strings;
    other.chosen = row.id;
    other.candidates = vec![row];
    if let Some(sun) = &mut other.sun {
        for part in &mut sun.parts {
            part.rated_w *= times;
        }
        match &mut sun.controller {
            Controller::MaximumPowerPoint { output_limit_a, .. }
            | Controller::SeriesSwitching { output_limit_a, .. } => {
                *output_limit_a *= times.max(1.0);
            }
        }
    }
    other
}

/// A cell of a map under way.
#[derive(Clone, Debug, PartialEq)]
enum Cell {
    /// Not worked out yet.
    Open,
    /// Another one says that it can't be better, or worse, than this [days short a year].
    Settled(f64),
    /// By years drawn for it.
    Drawn(Tally),
}

/// A sizing map under way: a cell at a time, so that a page may show it as it comes.
pub struct Mapping {
    skies: Vec<(Sky, Light)>,
    tanks: Vec<[Reservoir; 12]>,
    cells: Vec<Cell>,
    /// Places of the cells in the order in which they are worked out.
    order: Vec<usize>,
    /// Which pass is under way, and which of the places comes next.
    pass: usize,
    next: usize,
    map: SizingMap,
}

impl Mapping {
    /// Lays out a map about the chosen candidate: 1 to 12 strings of it against none to three times the plan's solar watts;
    /// none without panels or a candidate.
    pub fn new(inputs: &Inputs, tolerance_days: f64) -> Option<Self> {
        let row = super::income::chosen(inputs)?;
        let sun = inputs.sun.as_ref()?;
        let plan_w: f64 = sun.parts.iter().map(|part| part.rated_w).sum();
        let step_w = nice_step(plan_w / 4.0);
        let watts: Vec<f64> = (0..MAP_SIDE).map(|nth| nth as f64 * step_w).collect();
        let air = Year::new(&inputs.living, inputs.sun.as_ref());
        let skies = watts
            .iter()
            .map(|w| {
                let inputs = resized(inputs, row, 1, w / plan_w);
                let light = sun_table(Roof::new(&inputs, &air).as_ref());
                (sky(&inputs, &air), light)
            })
            .collect();
        let strings: Vec<u32> = (1..=MAP_SIDE as u32).collect();
        let tanks = strings
            .iter()
            .map(|n| {
                let mut row = row.clone();
                row.bank.parallel = *n;
                tanks(&row, &air)
            })
            .collect();
        Some(Self {
            skies,
            tanks,
            cells: vec![Cell::Open; MAP_SIDE * MAP_SIDE],
            order: coarse_first(),
            pass: 0,
            next: 0,
            map: SizingMap {
                id: row.id,
                strings,
                watts,
                plan_strings: row.bank.parallel,
                plan_watts: plan_w,
                tolerance_days,
                bank_price: row.price.map(|price| price * f64::from(row.bank.series)),
                cells: Vec::new(),
            },
        })
    }

    /// Works out the next cell; false once all are as sure as they get. First a coarse grid, so that hopeless cells settle those
    /// that are poorer still and cells that are never short those that are richer; then again where more years could put a cell
    /// on the other side of the tolerance.
    pub fn step(&mut self) -> bool {
        let Some(years) = PASSES.get(self.pass).copied() else {
            return false;
        };
        while let Some(at) = self.order.get(self.next).copied() {
            self.next += 1;
            let (string, watt) = (at / MAP_SIDE, at % MAP_SIDE);
            if self.pass == 0 {
                match self.settled(string, watt) {
                    Some(bound) => self.put(at, Cell::Settled(bound)),
                    None => {
                        self.draw(string, watt, years);
                        return true;
                    }
                }
            } else if self.is_near(at) || self.is_unsettled(string, watt) {
                self.draw(string, watt, years);
                return true;
            }
        }
        self.pass += 1;
        self.next = 0;
        self.pass < PASSES.len()
    }

    /// Share of the first picture that is worked out, 0 to 1.
    pub fn progress(&self) -> f64 {
        let known = self
            .cells
            .iter()
            .filter(|cell| **cell != Cell::Open)
            .count();
        known as f64 / self.cells.len().max(1) as f64
    }

    /// What a richer cell that is hopeless, or a poorer one that is never short, says of this one [days short a year].
    fn settled(&self, string: usize, watt: usize) -> Option<f64> {
        let cells = self.cells.iter().enumerate();
        cells.into_iter().find_map(|(at, cell)| {
            let (s, w) = (at / MAP_SIDE, at % MAP_SIDE);
            let Cell::Drawn(tally) = cell else {
                return None;
            };
            let mean = tally.mean_days();
            let (richer, poorer) = (s >= string && w >= watt, s <= string && w <= watt);
            if richer && mean > HOPELESS_DAYS {
                Some(HOPELESS_DAYS)
            } else if poorer && mean == 0.0 {
                Some(0.0)
            } else {
                None
            }
        })
    }

    /// Whether what settled a cell has been drawn again since, and no longer does.
    fn is_unsettled(&self, string: usize, watt: usize) -> bool {
        matches!(
            self.cells.get(string * MAP_SIDE + watt),
            Some(Cell::Settled(_))
        ) && self.settled(string, watt).is_none()
    }

    fn put(&mut self, at: usize, with: Cell) {
        if let Some(cell) = self.cells.get_mut(at) {
            *cell = with;
        }
    }

    fn draw(&mut self, string: usize, watt: usize, years: u64) {
        let at = string * MAP_SIDE + watt;
        let mut tally = match self.cells.get(at) {
            Some(Cell::Drawn(tally)) => tally.clone(),
            _ => Tally::default(),
        };
        let from = tally.count() as u64;
        let (Some((sky, light)), Some(tanks)) = (self.skies.get(watt), self.tanks.get(string))
        else {
            return;
        };
        tally.add(Tally::drawn(sky, light, tanks, from..from + years));
        self.put(at, Cell::Drawn(tally));
    }

    /// Whether more years could put a cell on the other side of the tolerance.
    fn is_near(&self, at: usize) -> bool {
        let Some(Cell::Drawn(tally)) = self.cells.get(at) else {
            return false;
        };
        let interval = tally.risk(0).interval;
        let few = tally.count() < ENOUGH_YEARS;
        let rare = if few { 2.0 * RARE_HALF } else { RARE_HALF };
        let half = interval.map_or(rare, |[low, high]| (high - low) / 2.0);
        (tally.mean_days() - self.map.tolerance_days).abs() < 3.0 * half + 0.5
    }

    /// The map as far as it is worked out.
    pub fn map(&self) -> SizingMap {
        let cells = self.cells.iter().map(|cell| match cell {
            Cell::Open => SizingCell {
                days: None,
                years: 0,
            },
            Cell::Settled(days) => SizingCell {
                days: Some(*days),
                years: 0,
            },
            Cell::Drawn(tally) => SizingCell {
                days: Some(tally.mean_days()),
                years: tally.count() as u32,
            },
        });
        SizingMap {
            cells: cells.collect(),
            ..self.map.clone()
        }
    }
}

/// Places of a map's cells, a coarse grid first.
fn coarse_first() -> Vec<usize> {
    let rank = |at: usize| {
        let on = |every: usize| {
            let is = |n: usize| n % every == every / 2;
            is(at / MAP_SIDE) && is(at % MAP_SIDE)
        };
        if on(4) {
            0.0
        } else if on(2) {
            1.0
        } else {
            2.0
        }
    };
    order(&(0..MAP_SIDE * MAP_SIDE).map(rank).collect::<Vec<_>>())
}

/// A step of 1, 2, 2.5 or 5 times a power of ten, at least as large.
fn nice_step(least: f64) -> f64 {
    let ten = libm::pow(10.0, libm::floor(libm::log10(least.max(1.0))));
    let steps = [1.0, 2.0, 2.5, 5.0, 10.0];
    steps
        .iter()
        .map(|step| step * ten)
        .find(|step| *step >= least * (1.0 - 1e-9))
        .unwrap_or(10.0 * ten)
}
