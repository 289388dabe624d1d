//! Thousands of years: one bank under weather that is drawn, kept lean. Years are lived several abreast, or one alone to the same
//! bits. Hours in which no limit is met take a short way; all others take the year's own step.

use super::Draw;
use super::clock::{Clock, Slot};
use super::hour::{Limits, Stepper};
use super::warmth::{WARMTHS, warmth_at};
use super::weather::{ByScore, DayScore, Drawn};
use crate::battery::{Reservoir, State, Step};
use crate::charge::Alternator;
use crate::numeric::{ABREAST, Four, Number, greater, lesser};
use abreast::{Beside, Holds, Lane, Shine, Today, Walk};
use std::ops::Range;

mod abreast;

/// Days of a drawn year.
pub const YEAR_DAYS: usize = 365;
/// Clearness from one column of the sun's table to the next, and how many columns there are.
pub const CLEARNESS_STEP: f64 = 0.05;
/// Columns of the sun's table.
pub const CLEARNESS_STEPS: usize = 20;

/// The clearest day that the sun's table holds.
const MOST_CLEARNESS: f64 = CLEARNESS_STEP * (CLEARNESS_STEPS - 1) as f64;
/// However far out the climate table is drawn to be, this share of its sun is left. Assumed.
const LEAST_LEFT: f64 = 0.05;

/// A day of the year as the table knows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeanDay {
    /// Month, 0 = January.
    pub month: usize,
    /// Month at its place: twelve of each place in turn, so that at the first one it is the month.
    pub season: usize,
    /// Which stretch of the sun's table it lies in.
    pub stretch: usize,
    /// Its sun over that of the stretch's middle.
    pub scale: f64,
    /// The kind of day that a date demands, as an index; none where the rhythm tells.
    pub kind: Option<usize>,
}

/// All that acts on a bank in years that are drawn, but for the light; shared by the banks of a plan.
#[derive(Clone, Debug)]
pub struct Sky {
    /// From the day on which a year begins.
    pub days: Vec<LeanDay>,
    /// Kinds of day in the order in which they repeat, as indices.
    pub rhythm: Vec<usize>,
    /// Profiles of use: the seasons of each kind of day; these at each warmth, coldest first, or once where no load minds.
    pub draws: Vec<Draw>,
    /// How many of them there are at one warmth.
    pub profiles: usize,
    /// How clearness spreads in each season.
    pub spread: Vec<ByScore>,
    /// Standard error of the climate table's clearness in each season, share of it; 0 where it is not from the table.
    pub table_error: Vec<f64>,
    /// What share more the panels give in each season for each score of warmth.
    pub sun_by_warmth: Vec<f64>,
    /// The steps of a day.
    pub clock: Clock,
    /// The engine's link.
    pub engine: Option<Alternator>,
    /// What the hook-up gives while it boosts, and while it floats [W].
    pub shore_w: ([f64; 24], [f64; 24]),
    /// Voltage at which the inverter cuts out [V].
    pub inverter_cutoff_v: f64,
    /// Indices of the kinds of day on which one drives, and is hooked up.
    pub driving_kind: usize,
    /// The same for a hook-up.
    pub shore_kind: usize,
}

/// Sun by the clock [W] at each clearness of a stretch of days: what an array gives.
#[derive(Clone, Debug, PartialEq)]
pub struct Light(pub Vec<[f64; 24]>);

/// Scores of the days of some years in a row: their weather, before a month says what it means.
#[derive(Clone, Debug, PartialEq)]
pub struct Scores {
    first: u64,
    days: Vec<DayScore>,
}

impl Scores {
    /// Draws years of a stream. They come in pairs, the odd one the mirror of the even one before it: dull where that is clear,
    /// warm where that is cold. Each alone is as any other year; of both together the mean is surer (antithetic variates,
    /// Hammersley & Morton 1956). On the starting points and 120 seeded plans, wherever some days are short, as sure a mean takes
    /// 0.60 of the years (median; the middle eight tenths of plans 0.31 to 0.99). Strata of the three worst months' mean score
    /// would take 0.97, and are left out.
    pub fn drawn(seed: u64, years: Range<u64>) -> Self {
        let first = years.start;
        let days = years.flat_map(|year| {
            let mut weather = Drawn::new(seed, year / 2);
            (0..YEAR_DAYS).map(move |_| {
                let day = weather.next();
                if year.is_multiple_of(2) {
                    day
                } else {
                    day.mirrored()
                }
            })
        });
        Self {
            first,
            days: days.collect(),
        }
    }

    /// Years in it.
    pub fn count(&self) -> usize {
        self.days.len() / YEAR_DAYS
    }

    /// Of a year, counted from the first of them.
    pub fn year(&self, nth: usize) -> &[DayScore] {
        let from = nth * YEAR_DAYS;
        self.days.get(from..from + YEAR_DAYS).unwrap_or_default()
    }
}

/// What a drawn year brought.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct YearShort {
    /// Days short, by calendar month.
    pub by_month: [u8; 12],
    /// Longest run of them.
    pub longest: u16,
    /// Month in which that ended, 0 = January.
    pub longest_month: u8,
    /// What the loads lacked [Wh].
    pub unserved_wh: f64,
}

impl YearShort {
    /// Days short in all.
    pub fn days(&self) -> u32 {
        self.by_month.iter().map(|days| u32::from(*days)).sum()
    }

    /// Adds a day; `spell` counts the days short in a row.
    fn add(&mut self, month: usize, lacked_wh: f64, spell: &mut u16) {
        let short = lacked_wh > 0.0;
        *spell = if short { *spell + 1 } else { 0 };
        if *spell > self.longest {
            self.longest = *spell;
            self.longest_month = month as u8;
        }
        if let Some(count) = self.by_month.get_mut(month) {
            *count += u8::from(short);
        }
        self.unserved_wh += lacked_wh;
    }
}

/// A bank under a sky.
pub struct Odds<'a> {
    sky: &'a Sky,
    light: &'a Light,
    first: &'a Reservoir,
    /// The bank at each warmth, season after season, and its limits.
    tanks: &'a [Reservoir],
    limits: Vec<Limits>,
    steps: Vec<Step>,
    /// From the profiles of use at one warmth to those at the next: none where no load minds.
    a_warmth: usize,
    /// By profile of use.
    holds: Vec<Holds>,
}

/// The least charge at which no voltage cuts what is drawn in an hour at any warmth with nothing coming in [Ah].
fn holds_ah(tank: &Reservoir, draws: &[&Draw], hour: usize, inverter_cutoff_v: f64) -> f64 {
    let at = |hours: &[f64; 24]| hours.get(hour).copied().unwrap_or(0.0);
    let (mut most_w, mut least_v) = (0.0, tank.cutoff_v());
    for draw in draws {
        let inverter_w = at(&draw.inverter_w);
        most_w = greater(most_w, at(&draw.direct_w) + inverter_w);
        if inverter_w > 0.0 {
            least_v = greater(least_v, inverter_cutoff_v);
        }
    }
    let given_a = tank.current_out_a(most_w);
    if given_a > tank.most_out_a() {
        return f64::INFINITY;
    }
    tank.holds_from_ah(least_v + given_a * tank.resistance_ohm())
}

impl<'a> Odds<'a> {
    /// Makes a bank ready; `tanks` is the bank at each warmth of each season in turn. None without one.
    pub fn new(sky: &'a Sky, light: &'a Light, tanks: &'a [Reservoir]) -> Option<Self> {
        let first = tanks.first()?;
        let limits = |tank| Limits::new(tank, sky.inverter_cutoff_v);
        let profiles = sky.profiles;
        let minds = sky.draws.len() > profiles;
        let holds = |profile: usize| {
            let draws: Vec<&Draw> = sky
                .draws
                .iter()
                .skip(profile)
                .step_by(profiles.max(1))
                .collect();
            let ah =
                std::array::from_fn(|hour| holds_ah(first, &draws, hour, sky.inverter_cutoff_v));
            Holds {
                all_day_ah: ah.into_iter().fold(0.0, greater),
                ah,
            }
        };
        let lengths = sky.clock.lengths.iter();
        Some(Self {
            first,
            tanks,
            limits: tanks.iter().map(limits).collect(),
            steps: lengths.map(|hours| first.step(*hours)).collect(),
            holds: (0..profiles).map(holds).collect(),
            a_warmth: if minds { profiles } else { 0 },
            sky,
            light,
        })
    }

    /// Lives through drawn years, each from full: as many abreast as can be.
    pub fn years(&self, scores: &Scores) -> Vec<YearShort> {
        let mut lived = Vec::with_capacity(scores.count());
        while lived.len() < scores.count() {
            let nth = scores.first + lived.len() as u64;
            let whole = nth.is_multiple_of(ABREAST as u64);
            if whole && scores.count() - lived.len() >= ABREAST {
                self.live::<Four>(scores, &mut lived);
            } else {
                self.live::<f64>(scores, &mut lived);
            }
        }
        lived
    }

    /// The same, one after the other.
    pub fn years_plainly(&self, scores: &Scores) -> Vec<YearShort> {
        let mut lived = Vec::with_capacity(scores.count());
        while lived.len() < scores.count() {
            self.live::<f64>(scores, &mut lived);
        }
        lived
    }

    /// Lives through the next years of those drawn, as many as go abreast.
    fn live<N: Number>(&self, scores: &Scores, lived: &mut Vec<YearShort>) {
        let sky = self.sky;
        let from = lived.len();
        let full = self.first.full();
        let mut walk = Walk {
            state: State {
                available_ah: N::same(full.available_ah),
                total_ah: N::same(full.total_ah),
            },
            direct_on: N::same(1.0),
            inverter_on: N::same(1.0),
            full: N::truth(true),
            any_cut: false,
            lacked_wh: N::same(0.0),
        };
        let mut found = [YearShort::default(); ABREAST];
        let mut spells = [0; ABREAST];
        let years: [&[DayScore]; ABREAST] = std::array::from_fn(|n| scores.year(from + n));
        let kinds = sky.kinds(scores.first + from as u64);
        for ((at, day), kind) in sky.days.iter().enumerate().zip(kinds) {
            let scores = years.map(|days| days.get(at).copied().unwrap_or_default());
            self.day(day, kind, &scores, &mut walk);
            for (lane, (year, spell)) in found.iter_mut().zip(&mut spells).enumerate() {
                year.add(day.month, walk.lacked_wh.at(lane), spell);
            }
        }
        lived.extend(found.iter().take(N::COUNT));
    }

    /// A day of such scores.
    #[inline(always)]
    fn lane(&self, day: &LeanDay, kind: usize, score: DayScore) -> Option<Lane<'_>> {
        let warmth = warmth_at(score.warm);
        let place = day.season * WARMTHS + warmth;
        let (tank, limits) = (self.tanks.get(place)?, self.limits.get(place)?);
        let profile = warmth * self.a_warmth + self.sky.profile(kind, day);
        Some(Lane {
            bank: Stepper { tank, limits },
            draw: self.sky.draws.get(profile)?,
            sun: self.light.on(day, self.sky, score)?,
        })
    }

    #[inline(always)]
    fn day<N: Number>(
        &self,
        day: &LeanDay,
        kind: usize,
        scores: &[DayScore; ABREAST],
        walk: &mut Walk<N>,
    ) {
        let sky = self.sky;
        walk.lacked_wh = N::same(0.0);
        let lane = |score: &DayScore| self.lane(day, kind, *score);
        let (Some(holds), Some(first)) = (
            self.holds.get(sky.profile(kind, day)),
            scores.first().and_then(lane),
        ) else {
            return;
        };
        let mut lanes = [first; ABREAST];
        let others = lanes.iter_mut().zip(scores).take(N::COUNT).skip(1);
        for (other, score) in others {
            *other = lane(score).unwrap_or(first);
        }
        let today = Today::new(lanes, holds);
        let engine = sky.engine.as_ref().filter(|_| kind == sky.driving_kind);
        let hooked_up = kind == sky.shore_kind;
        let slots = if engine.is_some() {
            &sky.clock.driving
        } else {
            &sky.clock.plain
        };
        if !hooked_up {
            walk.full = N::truth(false);
        }
        for slot in slots {
            let (Some(step), Some(holds_ah)) =
                (self.steps.get(slot.length), holds.ah.get(slot.hour))
            else {
                continue;
            };
            let beside = Beside {
                engine: engine.filter(|_| slot.engine),
                shore_w: hooked_up.then(|| sky.shore_at(slot)),
            };
            today.pass(step, (slot.hour, *holds_ah), &beside, walk);
        }
    }
}

impl Sky {
    /// Kinds of the days of a year. The rhythm goes on from year to year, but for those that may go abreast: they share where in
    /// it they begin.
    pub fn kinds(&self, year: u64) -> impl Iterator<Item = usize> {
        let length = self.rhythm.len().max(1);
        let gone = (year / ABREAST as u64) as usize;
        let phase = gone.wrapping_mul(YEAR_DAYS) % length;
        let repeated = self.rhythm.iter().copied().cycle().skip(phase);
        let repeated = repeated.chain(std::iter::repeat(0));
        let days = self.days.iter().zip(repeated);
        days.map(|(day, repeated)| day.kind.unwrap_or(repeated))
    }

    /// Which profile of use a day of a kind has, at the coldest warmth.
    #[inline(always)]
    fn profile(&self, kind: usize, day: &LeanDay) -> usize {
        kind * self.spread.len() + day.season
    }

    /// Clearness of a day of such scores, 0 to 0.95.
    #[inline]
    pub fn clearness(&self, day: &LeanDay, score: DayScore) -> f64 {
        let (Some(spread), Some(error)) = (
            self.spread.get(day.season),
            self.table_error.get(day.season),
        ) else {
            return 0.0;
        };
        let table = greater(1.0 + error * score.table, LEAST_LEFT);
        lesser(spread.at(score.clear) * table, MOST_CLEARNESS)
    }

    fn shore_at(&self, slot: &Slot) -> (f64, f64) {
        let at = |hours: &[f64; 24]| hours.get(slot.hour).copied().unwrap_or(0.0);
        (at(&self.shore_w.0), at(&self.shore_w.1))
    }
}

impl Light {
    /// Sun by the clock on a day of such scores.
    #[inline(always)]
    fn on(&self, day: &LeanDay, sky: &Sky, score: DayScore) -> Option<Shine<'_>> {
        let along = sky.clearness(day, score) * (1.0 / CLEARNESS_STEP);
        let below = (along as usize).min(CLEARNESS_STEPS - 2);
        let row = day.stretch * CLEARNESS_STEPS + below;
        let [low, high] = self.0.get(row..row + 2)? else {
            return None;
        };
        let by_warmth = sky.sun_by_warmth.get(day.season).copied().unwrap_or(0.0);
        Some(Shine {
            low,
            high,
            share: along - below as f64,
            scale: day.scale * (1.0 + by_warmth * score.warm),
        })
    }
}
