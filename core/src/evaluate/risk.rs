//! How sure it is: every candidate under many drawn years.

use super::climate::{Departure, Year};
use super::income::Roof;
use super::sky::{Panels, sky, tanks};
use super::year::{Use, kind_of, tank};
use crate::battery::Reservoir;
use crate::inputs::Inputs;
use crate::report::Risk;
use crate::solar::MONTH_DAYS;
use crate::year::{
    Course, Day, Light, Odds, Scores, Sky, YEAR_DAYS, YearShort, live, normal_quantile,
    share_interval,
};

/// Which stream of weather is drawn: the same for every plan and candidate, so that differences are sharp.
pub const SEED: u64 = 0x0A31_DE55;
/// Confidence of every interval.
const CONFIDENCE: f64 = 0.95;
/// Below this mean of days short a year the interval is that of the share of years with a short day.
const RARE_DAYS: f64 = 1.0;
/// A plan made ready for drawing years.
pub struct Chances {
    sky: Sky,
    light: Light,
    banks: Vec<(u32, Vec<Reservoir>)>,
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
        let sky = sky(inputs, &air);
        let banks = inputs.candidates.iter();
        Self {
            light: Panels::new(inputs, &air, &sky.spread).light(1.0),
            sky,
            banks: banks.map(|row| (row.id, tanks(row, &air))).collect(),
        }
    }

    /// What all years share but the light.
    pub(super) fn sky(&self) -> &Sky {
        &self.sky
    }

    /// What the nth candidate's years are drawn from: days and use, light, the bank at each warmth of each month.
    pub fn ground(&self, nth: usize) -> Option<(&Sky, &Light, &[Reservoir])> {
        let (_, tanks) = self.banks.get(nth)?;
        Some((&self.sky, &self.light, tanks))
    }

    /// The candidates' ids, in the plan's order.
    pub fn ids(&self) -> Vec<u32> {
        self.banks.iter().map(|(id, _)| *id).collect()
    }

    fn odds(&self, nth: usize) -> Option<Odds<'_>> {
        let (sky, light, tanks) = self.ground(nth)?;
        Odds::new(sky, light, tanks)
    }

    /// Draws a stretch of years for the nth candidate.
    pub fn draw(&self, nth: usize, years: std::ops::Range<u64>) -> Tally {
        let odds = self.odds(nth);
        let lived = odds.map(|odds| odds.years(&Scores::drawn(SEED, years)));
        Tally::of(lived.unwrap_or_default())
    }

    /// The same, year after year: what several abreast are held against.
    pub fn draw_plainly(&self, nth: usize, years: std::ops::Range<u64>) -> Tally {
        let odds = self.odds(nth);
        let lived = odds.map(|odds| odds.years_plainly(&Scores::drawn(SEED, years)));
        Tally::of(lived.unwrap_or_default())
    }
}

/// Days short of the first candidate in a drawn year, lived through by the year's full loop with the sun, the loads and the bank
/// in the air of each day itself: what the lean way is held against.
pub fn drawn_year_in_full(inputs: &Inputs, nth: u64) -> u32 {
    let Some(row) = inputs.candidates.first() else {
        return 0;
    };
    let air = Year::new(&inputs.living, inputs.sun.as_ref());
    let sky = sky(inputs, &air);
    let scores = Scores::drawn(SEED, nth..nth + 1);
    let (roof, uses) = (Roof::new(inputs, &air), Use::new(inputs, &air));
    let first: usize = MONTH_DAYS
        .iter()
        .take(sky.days.first().map_or(0, |day| day.month))
        .sum();
    let (mut days, mut draws, mut tanks) = (Vec::new(), Vec::new(), Vec::new());
    let drawn = sky.days.iter().zip(scores.year(0)).zip(sky.kinds(nth));
    for (at, ((day, score), kind)) in drawn.enumerate() {
        let (season, ordinal) = (day.season, (first + at) % YEAR_DAYS + 1);
        let its = air.departure(season, *score);
        let mild = Departure {
            wider_k: 0.0,
            ..its
        };
        let clearness = sky.clearness(day, *score);
        days.push(Day {
            month: day.month,
            bank: at,
            profile: at,
            sun_w: roof.as_ref().map_or([0.0; 24], |roof| {
                roof.real_day_w(ordinal, season, clearness, Some(its))
            }),
            drives: kind == sky.driving_kind,
            hooked_up: kind == sky.shore_kind,
        });
        let kind = kind_of(kind);
        draws.push(uses.on(kind, day.month, &air.temps_on(kind, season, mild)));
        tanks.push(tank(row, air.battery_on_c(season, mild)));
    }
    let course = Course {
        days,
        draws,
        clock: sky.clock.clone(),
        engine: sky.engine.clone(),
        shore_w: sky.shore_w,
        inverter_cutoff_v: sky.inverter_cutoff_v,
    };
    let lived = live(&tanks, &course, None);
    lived.unserved_wh.iter().filter(|wh| **wh > 0.0).count() as u32
}

impl Tally {
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

    /// Years as they were drawn, each with its mirror.
    fn pairs(&self) -> impl Iterator<Item = [&YearShort; 2]> {
        self.years
            .as_chunks()
            .0
            .iter()
            .map(|[one, other]| [one, other])
    }

    /// Standard error of the mean of days short a year: years of a pair hang together, pairs do not.
    fn mean_error(&self) -> f64 {
        let mean = self.mean_days();
        let (mut count, mut square) = (0.0f64, 0.0);
        for pair in self.pairs() {
            let sum: u32 = pair.iter().map(|year| year.days()).sum();
            let off = f64::from(sum) / 2.0 - mean;
            count += 1.0;
            square += off * off;
        }
        (square / (count - 1.0).max(1.0) / count.max(1.0)).sqrt()
    }

    /// Interval of the share of years with a short day, 0 to 1: of as many single years as the pairs are worth, where both of a
    /// pair are short oftener than by chance; where less often, which would be more, of all. Korn & Graubard 1998, Survey
    /// Methodology 24, 193.
    fn short_share_interval(&self) -> (f64, f64) {
        let is_short = |year: &YearShort| year.days() > 0;
        let years = self.years.len() as f64;
        let share = self.years.iter().filter(|year| is_short(year)).count() as f64 / years.max(1.0);
        let pairs = self.pairs().count().max(1) as f64;
        let both = self
            .pairs()
            .filter(|[one, other]| is_short(one) && is_short(other));
        let by_chance = share * share;
        let alike =
            (both.count() as f64 / pairs - by_chance) / (share - by_chance).max(f64::MIN_POSITIVE);
        let worth = (years / (1.0 + alike.clamp(0.0, 1.0))).floor();
        share_interval((share * worth).round() as u32, worth as u32, CONFIDENCE)
    }

    /// What the years say of a candidate.
    pub fn risk(&self, id: u32) -> Risk {
        let count = self.years.len();
        let n = count.max(1) as f64;
        let mean = self.mean_days();
        let half = normal_quantile(0.5 + CONFIDENCE / 2.0) * self.mean_error();
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
        let (share_low, share_high) = self.short_share_interval();
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
