//! Thousands of years: one bank under weather that is drawn, kept lean. Years are lived several abreast, or one alone to the same
//! bits. Hours in which no limit is met take a short way; all others take the year's own step.

use super::clock::{Clock, Slot};
use super::hour::{Books, Limits, Moment, Offer, Reached, Stepper};
use super::weather::{ByScore, Drawn};
use super::{Draw, Ledger};
use crate::battery::{FULL_SOC, Levels, Reservoir, State, Step};
use crate::charge::Alternator;
use crate::numeric::{ABREAST, Four, Number, lesser};
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
    /// Profiles of use: twelve months of each kind of day.
    pub draws: Vec<Draw>,
    /// How clearness spreads in each month.
    pub spread: [ByScore; 12],
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
    days: Vec<f64>,
}

impl Scores {
    /// Draws years of a stream.
    pub fn drawn(seed: u64, years: Range<u64>) -> Self {
        let first = years.start;
        let days = years.flat_map(|year| {
            let mut weather = Drawn::new(seed, year);
            (0..YEAR_DAYS).map(move |_| weather.next())
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
    pub fn year(&self, nth: usize) -> &[f64] {
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

/// What an hour's loads want, and what a bank must hold at its end for none of them to be cut.
#[derive(Clone, Copy, Debug, Default)]
struct Want {
    direct_w: f64,
    inverter_w: f64,
    safe_ah: f64,
}

/// A bank under a sky.
pub struct Odds<'a> {
    sky: &'a Sky,
    light: &'a Light,
    tanks: &'a [Reservoir; 12],
    limits: [Limits; 12],
    steps: Vec<Step>,
    wants: Vec<[Want; 24]>,
}

/// The least charge at which nothing is cut under such loads with nothing coming in [Ah]; infinite where something always is.
fn safe_ah(bank: &Stepper<'_>, direct_w: f64, inverter_w: f64, inverter_cutoff_v: f64) -> f64 {
    let Stepper { tank, limits } = bank;
    let given_a = tank.current_out_a(direct_w + inverter_w);
    if given_a > tank.most_out_a() {
        return f64::INFINITY;
    }
    let mut least_v = tank.cutoff_v();
    if inverter_w > 0.0 {
        least_v = least_v.max(inverter_cutoff_v);
    }
    let by_voltage = tank.holds_from_ah(least_v + given_a * tank.resistance_ohm());
    by_voltage.max(limits.hard_ah())
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

impl<'a> Odds<'a> {
    /// Makes a bank ready; `tanks` is the bank in each month's conditions.
    pub fn new(sky: &'a Sky, light: &'a Light, tanks: &'a [Reservoir; 12]) -> Self {
        let [first, ..] = tanks;
        let limits: [Limits; 12] = std::array::from_fn(|month| {
            Limits::new(tanks.get(month).unwrap_or(first), sky.inverter_cutoff_v)
        });
        let wants = sky.draws.iter().zip(tanks.iter().zip(&limits).cycle());
        let wants = wants.map(|(draw, (tank, limits))| {
            let mut hours = draw.direct_w.iter().zip(&draw.inverter_w);
            std::array::from_fn(|_| {
                hours
                    .next()
                    .map_or_else(Want::default, |(direct, inverter)| Want {
                        direct_w: *direct,
                        inverter_w: *inverter,
                        safe_ah: safe_ah(
                            &Stepper { tank, limits },
                            *direct,
                            *inverter,
                            sky.inverter_cutoff_v,
                        ),
                    })
            })
        });
        Self {
            wants: wants.collect(),
            limits,
            steps: sky
                .clock
                .lengths
                .iter()
                .map(|hours| first.step(*hours))
                .collect(),
            sky,
            light,
            tanks,
        }
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
        let [first, ..] = self.tanks;
        let from = lived.len();
        let full = first.full();
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
        let years: [&[f64]; ABREAST] = std::array::from_fn(|n| scores.year(from + n));
        let kinds = sky.kinds(scores.first + from as u64);
        for ((at, day), kind) in sky.days.iter().enumerate().zip(kinds) {
            let score = |lane: usize| years.get(lane).and_then(|days| days.get(at)).copied();
            let sun_w = sky.sun_abreast(self.light, day, &score);
            self.day(day, kind, &sun_w, &mut walk);
            for (lane, (year, spell)) in found.iter_mut().zip(&mut spells).enumerate() {
                year.add(day.month, walk.lacked_wh.at(lane), spell);
            }
        }
        lived.extend(found.iter().take(N::COUNT));
    }

    #[inline(always)]
    fn day<N: Number>(&self, day: &LeanDay, kind: usize, sun_w: &[N; 24], walk: &mut Walk<N>) {
        let sky = self.sky;
        walk.lacked_wh = N::same(0.0);
        let (Some(tank), Some(limits), Some(wants)) = (
            self.tanks.get(day.month),
            self.limits.get(day.month),
            self.wants.get(kind * 12 + day.month),
        ) else {
            return;
        };
        let bank = Stepper { tank, limits };
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
            let (Some(step), Some(want), Some(sun_w)) = (
                self.steps.get(slot.length),
                wants.get(slot.hour),
                sun_w.get(slot.hour),
            ) else {
                continue;
            };
            let beside = Beside {
                engine: engine.filter(|_| slot.engine),
                shore_w: hooked_up.then(|| sky.shore_at(slot)),
            };
            bank.pass(step, want, *sun_w, &beside, walk);
        }
    }
}

impl Stepper<'_> {
    /// Takes a step of all that go abreast: the short way where no limit is met, the year's own step for the rest.
    #[inline(always)]
    fn pass<N: Number>(
        &self,
        step: &Step,
        want: &Want,
        sun_w: N,
        beside: &Beside<'_>,
        walk: &mut Walk<N>,
    ) {
        let tank = self.tank;
        let (none, levels) = (N::same(0.0), walk.levels);
        let mut net_w = if walk.any_cut {
            sun_w - (walk.direct_on * want.direct_w + walk.inverter_on * want.inverter_w)
        } else {
            sun_w - (want.direct_w + want.inverter_w)
        };
        if let Some(engine) = beside.engine {
            let offers_w =
                |lane: usize| self.engine_w(step, levels.at(lane), engine, -net_w.at(lane));
            net_w = net_w + N::each(offers_w);
        }
        if let Some((boost_w, float_w)) = beside.shore_w {
            net_w = net_w + N::choose(walk.full, N::same(float_w), N::same(boost_w));
        }
        let out = net_w.is_below(none);
        let leak_a = tank.leak_a(levels.total_ah);
        let drain_a = tank.current_out_a(none - net_w) + leak_a;
        let mut full = walk.full;
        let next = if N::bits(!out) == 0 {
            step.advance_all(levels, drain_a)
        } else {
            let offered_a = tank.current_in_a(net_w);
            let most_a = lesser(offered_a, N::same(tank.most_charge_a()));
            let efficiency = tank.efficiency_over_all(step, levels.total_ah, most_a);
            let into_a = most_a * efficiency - leak_a;
            let next = step.charge_all(levels, N::choose(out, none - drain_a, into_a));
            if beside.shore_w.is_some() {
                let gained_ah = next.total_ah - levels.total_ah;
                let high = !next.total_ah.is_below(N::same(self.full_from_ah()));
                let left_over =
                    gained_ah.is_below((offered_a * efficiency - leak_a) * step.hours());
                let tail_ah = (efficiency * self.limits.tail_a() - leak_a) * step.hours();
                let tail = !tail_ah.is_below(gained_ah);
                full = high & !out & (full | (left_over & tail));
            }
            next
        };
        let mut met = (out & next.total_ah.is_below(N::same(want.safe_ah)))
            | next.available_ah.is_below(none);
        let mut lacked_wh = walk.lacked_wh;
        if walk.any_cut {
            let on = N::same(1.0);
            let cut = walk.direct_on.is_below(on) | walk.inverter_on.is_below(on);
            let back_ah = N::same(self.limits.back_ah());
            let below = levels.total_ah.is_below(back_ah) & next.total_ah.is_below(back_ah);
            met = met | (cut & !below);
            let lacks_w =
                (on - walk.direct_on) * want.direct_w + (on - walk.inverter_on) * want.inverter_w;
            lacked_wh = lacked_wh + lacks_w * step.hours();
        }
        let met = N::bits(met);
        if met != 0 {
            let passed = (next, full, lacked_wh);
            self.by_the_book(met, (step, want, sun_w, beside), walk, passed);
            return;
        }
        walk.levels = next;
        walk.full = full;
        walk.lacked_wh = lacked_wh;
    }

    /// Charge at which a bank may be full [Ah].
    fn full_from_ah(&self) -> f64 {
        self.tank.full_ah() - (1.0 - FULL_SOC) * self.tank.capacity_ah()
    }

    /// Takes the year's own step for those of which a bit is set.
    #[cold]
    #[inline(never)]
    fn by_the_book<N: Number>(
        &self,
        which: u32,
        (step, want, sun_w, beside): (&Step, &Want, N, &Beside<'_>),
        walk: &mut Walk<N>,
        passed: (Levels<N>, N::Truth, N),
    ) {
        let before = *walk;
        (walk.levels, walk.full, walk.lacked_wh) = passed;
        let mut full = N::bits(walk.full);
        for lane in (0..N::COUNT).filter(|lane| which >> lane & 1 == 1) {
            let state = before.levels.at(lane);
            let mut moment = Moment {
                soc: self.tank.soc(state),
                state,
                direct_cut: before.direct_on.at(lane) == 0.0,
                inverter_cut: before.inverter_on.at(lane) == 0.0,
                full: N::bits(before.full) >> lane & 1 == 1,
            };
            let mut books = Books {
                ledger: Ledger::default(),
                reached: Reached::NOTHING,
            };
            let offer = Offer {
                direct_w: want.direct_w,
                inverter_w: want.inverter_w,
                sun_w: sun_w.at(lane),
                engine: beside.engine,
                shore_w: beside.shore_w.unwrap_or((0.0, 0.0)),
            };
            self.take(step, &mut moment, offer, &mut books);
            let put = |all: N, one: f64| N::each(|n| if n == lane { one } else { all.at(n) });
            let State { available_ah, .. } = moment.state;
            walk.levels.available_ah = put(walk.levels.available_ah, available_ah);
            walk.levels.total_ah = put(walk.levels.total_ah, moment.state.total_ah());
            let on = |cut: bool| f64::from(u8::from(!cut));
            walk.direct_on = put(walk.direct_on, on(moment.direct_cut));
            walk.inverter_on = put(walk.inverter_on, on(moment.inverter_cut));
            let lacked_wh = before.lacked_wh.at(lane) + books.ledger.unserved_wh();
            walk.lacked_wh = put(walk.lacked_wh, lacked_wh);
            full = full & !(1 << lane) | u32::from(moment.full) << lane;
        }
        walk.full = N::same(0.0).is_below(N::each(|lane| f64::from(full >> lane & 1)));
        let on = N::same(1.0);
        let cut = walk.direct_on.is_below(on) | walk.inverter_on.is_below(on);
        walk.any_cut = N::bits(cut) != 0;
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

    /// Sun by the clock [W] on a day in each of the years that go abreast, by its scores.
    #[inline(always)]
    fn sun_abreast<N: Number>(
        &self,
        light: &Light,
        day: &LeanDay,
        score: &dyn Fn(usize) -> Option<f64>,
    ) -> [N; 24] {
        let mut rows = [[0.0; 24]; ABREAST];
        for (lane, row) in rows.iter_mut().enumerate().take(N::COUNT) {
            *row = light.on(day, self.clearness(day, score(lane).unwrap_or(0.0)));
        }
        let at = |lane: usize, hour: usize| rows.get(lane).and_then(|row| row.get(hour)).copied();
        std::array::from_fn(|hour| N::each(|lane| at(lane, hour).unwrap_or(0.0)))
    }

    fn shore_at(&self, slot: &Slot) -> (f64, f64) {
        let at = |hours: &[f64; 24]| hours.get(slot.hour).copied().unwrap_or(0.0);
        (at(&self.shore_w.0), at(&self.shore_w.1))
    }
}

impl Light {
    /// Sun by the clock [W] on a day of such a clearness.
    #[inline(always)]
    fn on(&self, day: &LeanDay, clearness: f64) -> [f64; 24] {
        let along = clearness * (1.0 / CLEARNESS_STEP);
        let below = (along as usize).min(CLEARNESS_STEPS - 2);
        let share = along - below as f64;
        let row = day.stretch * CLEARNESS_STEPS + below;
        let Some([low, high]) = self.0.get(row..row + 2) else {
            return [0.0; 24];
        };
        let mut sun = *low;
        for (sun, high) in sun.iter_mut().zip(high) {
            *sun = day.scale * (*sun + share * (high - *sun));
        }
        sun
    }
}
