//! A day of several years abreast: each with its own sun and warmth, all taking the same steps.

use super::super::hour::{Books, Moment, Offer, Reached, Stepper};
use super::super::{Draw, Ledger};
use crate::battery::{FULL_SOC, State, Step};
use crate::charge::Alternator;
use crate::numeric::{ABREAST, Number, greater, lesser};

/// The least charge at which no voltage cuts the loads of a day, however warm it is, with nothing coming in [Ah]; infinite where
/// something is always cut.
pub(super) struct Holds {
    pub(super) ah: [f64; 24],
    pub(super) all_day_ah: f64,
}

/// Banks on their way through as many years.
#[derive(Clone, Copy)]
pub(super) struct Walk<N: Number> {
    pub(super) state: State<N>,
    /// 1 where the loads on direct current run, 0 where they are cut.
    pub(super) direct_on: N,
    /// The same of the inverter.
    pub(super) inverter_on: N,
    /// Whether a bank on a hook-up is full.
    pub(super) full: N::Truth,
    /// Whether anything is cut anywhere.
    pub(super) any_cut: bool,
    /// What the loads lack since midnight [Wh].
    pub(super) lacked_wh: N,
}

/// What an hour offers besides the sun, the same for all that go abreast.
pub(super) struct Beside<'a> {
    pub(super) engine: Option<&'a Alternator>,
    pub(super) shore_w: Option<(f64, f64)>,
}

/// A day's sun by the clock: between two rows of the table.
#[derive(Clone, Copy)]
pub(super) struct Shine<'a> {
    pub(super) low: &'a [f64; 24],
    pub(super) high: &'a [f64; 24],
    pub(super) share: f64,
    pub(super) scale: f64,
}

/// A day in one of the years that go abreast: its sun, and the bank and what is drawn at its warmth.
#[derive(Clone, Copy)]
pub(super) struct Lane<'a> {
    pub(super) bank: Stepper<'a>,
    pub(super) draw: &'a Draw,
    pub(super) sun: Shine<'a>,
}

/// A day in all years that go abreast.
pub(super) struct Today<'a, N> {
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
    pub(super) fn new(lanes: [Lane<'a>; ABREAST], holds: &Holds) -> Self {
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

impl<N: Number> Today<'_, N> {
    /// Takes a step of all that go abreast: the short way where no limit is met, the year's own step for the rest.
    #[inline(always)]
    pub(super) fn pass(
        &self,
        step: &Step,
        (hour, holds_ah): (usize, f64),
        beside: &Beside<'_>,
        walk: &mut Walk<N>,
    ) {
        // What the warmth does not change is that of any of them.
        let [Lane { bank, .. }, ..] = &self.lanes;
        let tank = bank.tank;
        let (none, on, state) = (N::same(0.0), N::same(1.0), walk.state);
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
                    bank.engine_w(step, state.at(n), engine, -net_w.at(n))
                })
            };
            net_w = net_w + N::each(offers_w);
        }
        if let Some((boost_w, float_w)) = beside.shore_w {
            net_w = net_w + N::choose(walk.full, N::same(float_w), N::same(boost_w));
        }
        let out = net_w.is_below(none);
        let leak_a = state.total_ah * self.leak_share;
        let drain_a = tank.current_out_a(none - net_w) + leak_a;
        let mut full = walk.full;
        let next = if N::bits(!out) == 0 {
            // A bank that gives is no longer full, whatever its charge.
            full = N::truth(false);
            step.advance(state, drain_a)
        } else {
            let offered_a = tank.current_in_a(net_w);
            let most_a = lesser(offered_a, self.most_charge_a);
            let efficiency = tank.efficiency_over(step, state.total_ah, most_a);
            let into_a = most_a * efficiency - leak_a;
            let next = step.charge_all(state, N::choose(out, none - drain_a, into_a));
            if beside.shore_w.is_some() {
                let gained_ah = next.total_ah - state.total_ah;
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
            let below = state.total_ah.is_below(back_ah) & next.total_ah.is_below(back_ah);
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
        walk.state = next;
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
        passed: (State<N>, N::Truth, N),
    ) {
        let before = *walk;
        (walk.state, walk.full, walk.lacked_wh) = passed;
        let mut full = N::bits(walk.full);
        let chosen = self.lanes.iter().enumerate().take(N::COUNT);
        for (n, lane) in chosen.filter(|(n, _)| which >> n & 1 == 1) {
            let state = before.state.at(n);
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
            walk.state.available_ah = put(walk.state.available_ah, available_ah);
            walk.state.total_ah = put(walk.state.total_ah, moment.state.total_ah);
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
