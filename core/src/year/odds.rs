//! Thousands of years: one bank under weather that is drawn, kept lean. Years are lived several abreast, or one alone to the same
//! bits. Hours in which no limit is met take a short way; all others take the year's own step.

use super::clock::{Clock, Slot};
use super::hour::{Books, Limits, Moment, Offer, Reached, Stepper};
use super::warmth::{WARMTHS, warmth_at};
use super::weather::{ByScore, DayScore, Drawn};
use super::{Draw, Ledger};
use crate::battery::{FULL_SOC, Levels, Reservoir, State, Step};
use crate::charge::Alternator;
use crate::numeric::{ABREAST, Four, Number, greater, lesser};
use std::ops::Range;

/// Days of a drawn year.
pub const YEAR_DAYS: usize = 365;
/// Clearness from one column of the sun's table to the next, and how many columns there are.
pub const CLEARNESS_STEP: f64 = 0.05;
/// Columns of the sun's table.
pub const CLEARNESS_STEPS: usize = 20;

/// A day of the year as the table knows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeanDay {
    /// Month, 0 = January.
    pub month: usize,
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
    /// Profiles of use: twelve months of each kind of day; these at each warmth, coldest first, or once where no load minds.
    pub draws: Vec<Draw>,
    /// How clearness spreads in each month.
    pub spread: [ByScore; 12],
    /// What share more the panels give in each month for each score of warmth.
    pub sun_by_warmth: [f64; 12],
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
    /// The bank at each warmth, month after month, and its limits.
    tanks: &'a [Reservoir],
    limits: Vec<Limits>,
    steps: Vec<Step>,
    /// From the profiles of use at one warmth to those at the next: none where no load minds.
    a_warmth: usize,
    /// By profile of use.
    holds: Vec<Holds>,
}

/// The least charge at which no voltage cuts the loads of a day, however warm it is, with nothing coming in [Ah]; infinite where
/// something is always cut.
struct Holds {
    ah: [f64; 24],
    all_day_ah: f64,
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

/// Banks on their way through as many years.
#[derive(Clone, Copy)]
struct Walk<N: Number> {
    levels: Levels<N>,
    /// 1 where the loads on direct current run, 0 where they are cut.
    direct_on: N,
    /// The same of the inverter.
    inverter_on: N,
    /// Whether a bank on a hook-up is full.
    full: N::Truth,
    /// Whether anything is cut anywhere.
    any_cut: bool,
    /// What the loads lack since midnight [Wh].
    lacked_wh: N,
}

/// What an hour offers besides the sun, the same for all that go abreast.
struct Beside<'a> {
    engine: Option<&'a Alternator>,
    shore_w: Option<(f64, f64)>,
}

/// A day's sun by the clock: between two rows of the table.
#[derive(Clone, Copy)]
struct Shine<'a> {
    low: &'a [f64; 24],
    high: &'a [f64; 24],
    share: f64,
    scale: f64,
}

/// A day in one of the years that go abreast: its sun, and the bank and what is drawn at its warmth.
#[derive(Clone, Copy)]
struct Lane<'a> {
    bank: Stepper<'a>,
    draw: &'a Draw,
    sun: Shine<'a>,
}

/// A day in all years that go abreast.
struct Today<'a, N> {
    lanes: [Lane<'a>; ABREAST],
    /// Sun less all loads [W].
    net_w: [N; 24],
    leak_share: N,
    most_charge_a: N,
    hard_ah: N,
    /// The least charge at which nothing is cut in any hour with nothing coming in [Ah].
    safe_ah: N,
}

impl Shine<'_> {
    #[inline(always)]
    fn between(&self, low: f64, high: f64) -> f64 {
        self.scale * (low + self.share * (high - low))
    }

    /// In an hour [W].
    fn at(&self, hour: usize) -> f64 {
        let rows = self.low.get(hour).zip(self.high.get(hour));
        rows.map_or(0.0, |(low, high)| self.between(*low, *high))
    }
}

impl<'a, N: Number> Today<'a, N> {
    #[inline(always)]
    fn new(lanes: [Lane<'a>; ABREAST], holds: &Holds) -> Self {
        let mut rows = [[0.0; 24]; ABREAST];
        for (row, lane) in rows.iter_mut().zip(&lanes).take(N::COUNT) {
            let Lane { draw, sun, .. } = lane;
            let uses = draw.direct_w.iter().zip(&draw.inverter_w);
            let suns = sun.low.iter().zip(sun.high);
            for ((net_w, (direct_w, inverter_w)), (low, high)) in row.iter_mut().zip(uses).zip(suns)
            {
                *net_w = sun.between(*low, *high) - (direct_w + inverter_w);
            }
        }
        let at = |lane: usize, hour: usize| rows.get(lane).and_then(|row| row.get(hour)).copied();
        let each = |of: fn(&Lane<'_>) -> f64| N::each(|n| lanes.get(n).map_or(0.0, of));
        let hard_ah = each(|lane| lane.bank.limits.hard_ah());
        Self {
            net_w: std::array::from_fn(|hour| N::each(|lane| at(lane, hour).unwrap_or(0.0))),
            leak_share: each(|lane| lane.bank.tank.leak_share()),
            most_charge_a: each(|lane| lane.bank.tank.most_charge_a()),
            hard_ah,
            safe_ah: greater(hard_ah, N::same(holds.all_day_ah)),
            lanes,
        }
    }

    /// Something of each of them.
    #[inline(always)]
    fn each(&self, of: impl Fn(&Lane<'a>) -> f64) -> N {
        N::each(|n| self.lanes.get(n).map_or(0.0, &of))
    }

    /// What the loads draw in an hour, on direct current and through the inverter [W].
    #[inline(always)]
    fn use_w(&self, hour: usize) -> (N, N) {
        let at = |hours: &[f64; 24]| hours.get(hour).copied().unwrap_or(0.0);
        (
            self.each(|lane| at(&lane.draw.direct_w)),
            self.each(|lane| at(&lane.draw.inverter_w)),
        )
    }
}

impl<'a> Odds<'a> {
    /// Makes a bank ready; `tanks` is the bank at each warmth of each month in turn. None without one.
    pub fn new(sky: &'a Sky, light: &'a Light, tanks: &'a [Reservoir]) -> Option<Self> {
        let first = tanks.first()?;
        let limits = |tank| Limits::new(tank, sky.inverter_cutoff_v);
        let count = sky.draws.len();
        let minds = count.is_multiple_of(12 * WARMTHS);
        let profiles = if minds { count / WARMTHS } else { count };
        let holds = |profile: usize| {
            let draws: Vec<&Draw> = sky.draws.iter().skip(profile).step_by(profiles).collect();
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
            levels: Levels {
                available_ah: N::same(full.available_ah),
                total_ah: N::same(full.total_ah()),
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
        let place = day.month * WARMTHS + warmth;
        let (tank, limits) = (self.tanks.get(place)?, self.limits.get(place)?);
        let profile = warmth * self.a_warmth + kind * 12 + day.month;
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
            self.holds.get(kind * 12 + day.month),
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

impl<N: Number> Today<'_, N> {
    /// Takes a step of all that go abreast: the short way where no limit is met, the year's own step for the rest.
    #[inline(always)]
    fn pass(
        &self,
        step: &Step,
        (hour, holds_ah): (usize, f64),
        beside: &Beside<'_>,
        walk: &mut Walk<N>,
    ) {
        // What the warmth does not change is that of any of them.
        let [Lane { bank, .. }, ..] = &self.lanes;
        let tank = bank.tank;
        let (none, on, levels) = (N::same(0.0), N::same(1.0), walk.levels);
        let Some(mut net_w) = self.net_w.get(hour).copied() else {
            return;
        };
        let mut lacks_w = none;
        if walk.any_cut {
            let (direct_w, inverter_w) = self.use_w(hour);
            lacks_w = (on - walk.direct_on) * direct_w + (on - walk.inverter_on) * inverter_w;
            net_w = net_w + lacks_w;
        }
        if let Some(engine) = beside.engine {
            let offers_w = |n: usize| {
                let lane = self.lanes.get(n);
                lane.map_or(0.0, |lane| {
                    let bank = lane.bank;
                    bank.engine_w(step, levels.at(n), engine, -net_w.at(n))
                })
            };
            net_w = net_w + N::each(offers_w);
        }
        if let Some((boost_w, float_w)) = beside.shore_w {
            net_w = net_w + N::choose(walk.full, N::same(float_w), N::same(boost_w));
        }
        let out = net_w.is_below(none);
        let leak_a = levels.total_ah * self.leak_share;
        let drain_a = tank.current_out_a(none - net_w) + leak_a;
        let mut full = walk.full;
        let next = if N::bits(!out) == 0 {
            step.advance_all(levels, drain_a)
        } else {
            let offered_a = tank.current_in_a(net_w);
            let most_a = lesser(offered_a, self.most_charge_a);
            let efficiency = tank.efficiency_over_all(step, levels.total_ah, most_a);
            let into_a = most_a * efficiency - leak_a;
            let next = step.charge_all(levels, N::choose(out, none - drain_a, into_a));
            if beside.shore_w.is_some() {
                let gained_ah = next.total_ah - levels.total_ah;
                let high = !next.total_ah.is_below(N::same(bank.full_from_ah()));
                let left_over =
                    gained_ah.is_below((offered_a * efficiency - leak_a) * step.hours());
                let tail_ah = (efficiency * bank.limits.tail_a() - leak_a) * step.hours();
                let tail = !tail_ah.is_below(gained_ah);
                full = high & !out & (full | (left_over & tail));
            }
            next
        };
        let mut met = next.available_ah.is_below(none);
        let mut lacked_wh = walk.lacked_wh;
        if walk.any_cut {
            let cut = walk.direct_on.is_below(on) | walk.inverter_on.is_below(on);
            let back_ah = self.each(|lane| lane.bank.limits.back_ah());
            let below = levels.total_ah.is_below(back_ah) & next.total_ah.is_below(back_ah);
            met = met | (cut & !below);
            lacked_wh = lacked_wh + lacks_w * step.hours();
        }
        // The hour's own line is asked for where the day's is passed.
        let low = |line_ah: N| out & next.total_ah.is_below(line_ah);
        if N::bits(met | low(self.safe_ah)) != 0 {
            let line_ah = greater(self.hard_ah, N::same(holds_ah));
            let met = N::bits(met | low(line_ah));
            if met != 0 {
                self.by_the_book(met, (step, hour, beside), walk, (next, full, lacked_wh));
                return;
            }
        }
        walk.levels = next;
        walk.full = full;
        walk.lacked_wh = lacked_wh;
    }

    /// Takes the year's own step for those of which a bit is set.
    #[cold]
    #[inline(never)]
    fn by_the_book(
        &self,
        which: u32,
        (step, hour, beside): (&Step, usize, &Beside<'_>),
        walk: &mut Walk<N>,
        passed: (Levels<N>, N::Truth, N),
    ) {
        let before = *walk;
        (walk.levels, walk.full, walk.lacked_wh) = passed;
        let mut full = N::bits(walk.full);
        let chosen = self.lanes.iter().enumerate().take(N::COUNT);
        for (n, lane) in chosen.filter(|(n, _)| which >> n & 1 == 1) {
            let state = before.levels.at(n);
            let at = |hours: &[f64; 24]| hours.get(hour).copied().unwrap_or(0.0);
            let mut moment = Moment {
                soc: lane.bank.tank.soc(state),
                state,
                direct_cut: before.direct_on.at(n) == 0.0,
                inverter_cut: before.inverter_on.at(n) == 0.0,
                full: N::bits(before.full) >> n & 1 == 1,
            };
            let mut books = Books {
                ledger: Ledger::default(),
                reached: Reached::NOTHING,
            };
            let offer = Offer {
                direct_w: at(&lane.draw.direct_w),
                inverter_w: at(&lane.draw.inverter_w),
                sun_w: lane.sun.at(hour),
                engine: beside.engine,
                shore_w: beside.shore_w.unwrap_or((0.0, 0.0)),
            };
            lane.bank.take(step, &mut moment, offer, &mut books);
            let put =
                |all: N, one: f64| N::each(|other| if other == n { one } else { all.at(other) });
            let State { available_ah, .. } = moment.state;
            walk.levels.available_ah = put(walk.levels.available_ah, available_ah);
            walk.levels.total_ah = put(walk.levels.total_ah, moment.state.total_ah());
            let on = |cut: bool| f64::from(u8::from(!cut));
            walk.direct_on = put(walk.direct_on, on(moment.direct_cut));
            walk.inverter_on = put(walk.inverter_on, on(moment.inverter_cut));
            let lacked_wh = before.lacked_wh.at(n) + books.ledger.unserved_wh();
            walk.lacked_wh = put(walk.lacked_wh, lacked_wh);
            full = full & !(1 << n) | u32::from(moment.full) << n;
        }
        walk.full = N::same(0.0).is_below(N::each(|lane| f64::from(full >> lane & 1)));
        let on = N::same(1.0);
        let cut = walk.direct_on.is_below(on) | walk.inverter_on.is_below(on);
        walk.any_cut = N::bits(cut) != 0;
    }
}

impl Stepper<'_> {
    /// Charge at which a bank may be full [Ah].
    fn full_from_ah(&self) -> f64 {
        self.tank.full_ah() - (1.0 - FULL_SOC) * self.tank.capacity_ah()
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

    /// Clearness of a day of such a score.
    pub fn clearness(&self, day: &LeanDay, score: f64) -> f64 {
        let spread = self.spread.get(day.month);
        spread.map_or(0.0, |spread| spread.at(score))
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
        let along = sky.clearness(day, score.clear) * (1.0 / CLEARNESS_STEP);
        let below = (along as usize).min(CLEARNESS_STEPS - 2);
        let row = day.stretch * CLEARNESS_STEPS + below;
        let [low, high] = self.0.get(row..row + 2)? else {
            return None;
        };
        let by_warmth = sky.sun_by_warmth.get(day.month).copied().unwrap_or(0.0);
        Some(Shine {
            low,
            high,
            share: along - below as f64,
            scale: day.scale * (1.0 + by_warmth * score.warm),
        })
    }
}
