//! One step of the year: sources feed the loads, then the bank; loads are cut where a limit is met inside the step, and come
//! back where the bank has recovered.

use super::Ledger;
use crate::battery::{FULL_SOC, Reservoir, State, Step};
use crate::charge::{Alternator, Bus};
use crate::numeric::{greater, lesser};

/// Loads that were cut come back at the reserve line, at the least this share of the capacity above the hard one. Assumed.
const BACK_ABOVE_HARD: f64 = 0.05;
/// A tail current below this share of the capacity means full [1/h].
const TAIL_C: f64 = 1.0 / 50.0;
/// What is left of a step below this is nothing [h].
const SLIVER_H: f64 = 1e-9;
/// Cuts and returns inside one step; more than these can only chatter.
const MOST_TURNS: usize = 6;

/// What is wanted and offered, constant over a step.
#[derive(Clone, Copy, Debug)]
pub(super) struct Offer<'a> {
    /// Loads on direct current [W].
    pub direct_w: f64,
    /// What the inverter draws for the loads on it [W].
    pub inverter_w: f64,
    /// Sun behind its controller [W].
    pub sun_w: f64,
    /// The engine, where it runs.
    pub engine: Option<&'a Alternator>,
    /// Most that the hook-up's charger gives: boosting, floating [W].
    pub shore_w: (f64, f64),
}

/// A bank and what hangs on it, at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Moment {
    pub state: State,
    /// State of charge, 0 to 1.
    pub soc: f64,
    /// Whether the loads on direct current are cut.
    pub direct_cut: bool,
    /// Whether the inverter is.
    pub inverter_cut: bool,
    /// Whether the bank is full: its charge is high and the tail current small.
    pub full: bool,
}

impl Moment {
    /// Whether a bank stands as another does, to so many Ah.
    pub(super) fn is_as(&self, other: &Self, within_ah: f64) -> bool {
        (self.state.available_ah - other.state.available_ah).abs() <= within_ah
            && (self.state.bound_ah - other.state.bound_ah).abs() <= within_ah
            && self.direct_cut == other.direct_cut
            && self.inverter_cut == other.inverter_cut
    }
}

/// Limits of a bank that cut loads, in one month's conditions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Limits {
    hard_ah: f64,
    back_ah: f64,
    direct_v: f64,
    inverter_v: f64,
    tail_a: f64,
    charging_v: f64,
}

impl Limits {
    /// Charge at which all loads are cut [Ah].
    pub(super) fn hard_ah(&self) -> f64 {
        self.hard_ah
    }

    /// Charge at which what was cut comes back [Ah].
    pub(super) fn back_ah(&self) -> f64 {
        self.back_ah
    }

    /// Tail current that means full [A].
    pub(super) fn tail_a(&self) -> f64 {
        self.tail_a
    }

    pub(super) fn new(tank: &Reservoir, inverter_v: f64) -> Self {
        let hard_ah = tank.hard_line_ah();
        let back_ah = tank
            .reserve_line_ah()
            .max(hard_ah + BACK_ABOVE_HARD * tank.capacity_ah());
        Self {
            hard_ah,
            back_ah,
            direct_v: tank.cutoff_v(),
            inverter_v,
            tail_a: TAIL_C * tank.capacity_ah(),
            charging_v: tank.charging_v(),
        }
    }
}

/// Extremes of what a step did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Reached {
    pub lowest_ah: f64,
    pub lowest_v: f64,
    pub most_out_a: f64,
    pub most_in_a: f64,
    /// At the step's end [V].
    pub volts: f64,
}

impl Reached {
    pub(super) const NOTHING: Self = Self {
        lowest_ah: f64::INFINITY,
        lowest_v: f64::INFINITY,
        most_out_a: 0.0,
        most_in_a: 0.0,
        volts: 0.0,
    };
}

/// A day's books.
#[derive(Clone, Copy, Debug)]
pub(super) struct Books {
    pub ledger: Ledger,
    pub reached: Reached,
}

/// Why and after which part of a step loads are cut.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Cut {
    after_h: f64,
    direct: bool,
    inverter: bool,
}

/// The bank at the end of a step.
#[derive(Clone, Copy, Debug)]
struct End {
    state: State,
    total_ah: f64,
    soc: f64,
    volts: f64,
}

/// Which loads run at a moment: on direct current, through the inverter.
fn runs(moment: &Moment, offer: &Offer<'_>) -> (bool, bool) {
    (
        !moment.direct_cut && offer.direct_w > 0.0,
        !moment.inverter_cut && offer.inverter_w > 0.0,
    )
}

/// What flows for a while, all constant.
#[derive(Clone, Copy, Debug)]
struct Flow {
    sun_w: f64,
    drive_w: f64,
    shore_w: f64,
    taken_a: f64,
    given_a: f64,
    stored_a: f64,
    lost_a: f64,
    /// Of charging; 1 where nothing charges.
    efficiency: f64,
    /// Whether more was offered than bank and loads take.
    left_over: bool,
    /// Whether the charge fills the available well inside the step.
    fills: bool,
}

impl Flow {
    /// Current that the wells give [A], negative where they are filled.
    fn wells_a(&self) -> f64 {
        self.given_a + self.lost_a - self.stored_a
    }
}

/// One bank in one month's conditions, ready to be stepped.
#[derive(Clone, Copy)]
pub(super) struct Stepper<'a> {
    pub tank: &'a Reservoir,
    pub limits: &'a Limits,
}

impl Stepper<'_> {
    /// Takes a step, and books it; what was wanted and what the sun offered is booked by the day.
    #[inline(always)]
    pub(super) fn take(
        &self,
        step: &Step,
        moment: &mut Moment,
        offer: &Offer<'_>,
        books: &mut Books,
    ) {
        if moment.state.total_ah() >= self.limits.back_ah {
            moment.direct_cut = false;
            moment.inverter_cut = false;
        }
        let flow = self.flow(step, moment, offer);
        let end = self.after(step, moment, &flow);
        if self.is_even(step, moment, offer, &flow, &end) {
            self.book(step, moment, offer, &flow, &end, books);
        } else {
            self.take_in_parts(step, moment, offer, books);
        }
    }

    /// Whether nothing is cut and nothing comes back inside the step.
    #[inline(always)]
    fn is_even(
        &self,
        step: &Step,
        moment: &Moment,
        offer: &Offer<'_>,
        flow: &Flow,
        end: &End,
    ) -> bool {
        if flow.given_a > 0.0 {
            self.holds(moment, offer, flow, end)
        } else {
            self.back_after_h(step, moment, flow) == f64::INFINITY
        }
    }

    /// Takes a step in which something is cut or comes back, part by part.
    #[cold]
    fn take_in_parts(
        &self,
        step: &Step,
        moment: &mut Moment,
        offer: &Offer<'_>,
        books: &mut Books,
    ) {
        let mut left_h = step.hours();
        let mut part = *step;
        for turn in 0..MOST_TURNS {
            let last = turn + 1 == MOST_TURNS;
            moment.direct_cut |= last;
            moment.inverter_cut |= last;
            let flow = self.flow(&part, moment, offer);
            let end = self.after(&part, moment, &flow);
            let cut = self.cut(&part, moment, offer, &flow, &end);
            let back_h = if last {
                f64::INFINITY
            } else {
                self.back_in_taper_h(&part, moment, offer, &flow)
            };
            let taken_h = cut.map_or(left_h, |cut| cut.after_h).min(back_h);
            let (flow, end) = if taken_h < left_h {
                part = self.tank.step(taken_h);
                let flow = self.flow(&part, moment, offer);
                (flow, self.after(&part, moment, &flow))
            } else {
                (flow, end)
            };
            if taken_h > SLIVER_H {
                self.book(&part, moment, offer, &flow, &end, books);
            }
            if let Some(cut) = cut {
                moment.direct_cut |= cut.direct;
                moment.inverter_cut |= cut.inverter;
            } else if back_h < left_h {
                moment.direct_cut = false;
                moment.inverter_cut = false;
            }
            left_h -= taken_h;
            if left_h < SLIVER_H {
                break;
            }
            part = self.tank.step(left_h);
        }
    }

    /// Who gets what: the sun first, then the engine, then the hook-up; the loads first, then the bank up to what it takes.
    #[inline(always)]
    fn flow(&self, step: &Step, moment: &Moment, offer: &Offer<'_>) -> Flow {
        let mut use_w = 0.0;
        if !moment.direct_cut {
            use_w += offer.direct_w;
        }
        if !moment.inverter_cut {
            use_w += offer.inverter_w;
        }
        let shore_w = if moment.full {
            offer.shore_w.1
        } else {
            offer.shore_w.0
        };
        let mut flow = Flow {
            sun_w: lesser(offer.sun_w, use_w),
            drive_w: 0.0,
            shore_w: 0.0,
            taken_a: 0.0,
            given_a: 0.0,
            stored_a: 0.0,
            lost_a: self.tank.self_discharge_a(moment.state),
            efficiency: 1.0,
            left_over: false,
            fills: false,
        };
        if offer.engine.is_none() && offer.sun_w + shore_w <= use_w {
            flow.shore_w = shore_w;
        } else {
            let charging_v = self.limits.charging_v;
            let beyond_sun_w = use_w - offer.sun_w;
            let engine_w = offer.engine.map_or(0.0, |engine| {
                self.engine_w(step, moment.state, engine, beyond_sun_w)
            });
            let offered_w = offer.sun_w + engine_w + shore_w;
            let offered_a = self.tank.current_in_a(greater(offered_w - use_w, 0.0));
            flow.efficiency = self.tank.efficiency_over(step, moment.soc, offered_a);
            let accepted = self.tank.accept(
                step,
                moment.state,
                (offered_a, flow.efficiency, flow.lost_a),
            );
            flow.fills = accepted.fills;
            flow.left_over = accepted.current_a < offered_a;
            let mut need_w = if flow.left_over {
                use_w + accepted.current_a * charging_v
            } else {
                greater(offered_w, use_w)
            };
            flow.sun_w = lesser(offer.sun_w, need_w);
            need_w -= flow.sun_w;
            flow.drive_w = greater(lesser(engine_w, need_w), 0.0);
            need_w -= flow.drive_w;
            flow.shore_w = greater(lesser(shore_w, need_w), 0.0);
        }
        let net_w = flow.sun_w + flow.drive_w + flow.shore_w - use_w;
        if net_w >= 0.0 {
            flow.taken_a = self.tank.current_in_a(net_w);
            flow.stored_a = flow.taken_a * flow.efficiency;
        } else {
            flow.given_a = self.tank.current_out_a(-net_w);
        }
        flow
    }

    /// What an engine would give over a step [W] while the loads want so much beyond the sun [W]: at the bank's voltage in the
    /// step's middle, to which its own current raises it.
    #[inline(never)]
    pub(super) fn engine_w(
        &self,
        step: &Step,
        state: State,
        engine: &Alternator,
        beyond_sun_w: f64,
    ) -> f64 {
        let tank = self.tank;
        let load_a = beyond_sun_w / self.limits.charging_v;
        let output_a = |soc: f64| {
            let bus = Bus {
                open_circuit_v: tank.rest_v_at(soc),
                resistance_ohm: tank.resistance_ohm(),
                acceptance_a: f64::INFINITY,
                load_a: greater(load_a, 0.0),
            };
            engine.flow(&bus).output_a
        };
        let soc = tank.soc(state);
        let into_a = lesser(output_a(soc) - load_a, tank.charge_limit_in(step, state));
        let middle_ah = 0.5 * step.hours() * into_a * tank.efficiency_at(soc);
        output_a(tank.soc_of(state.total_ah() + middle_ah)) * self.limits.charging_v
    }

    /// The bank after a step at such a flow.
    #[inline(always)]
    fn after(&self, step: &Step, moment: &Moment, flow: &Flow) -> End {
        let state = step.end(moment.state, flow.wells_a(), flow.fills);
        let total_ah = state.total_ah();
        let soc = self.tank.soc_of(total_ah);
        let rise_v = (flow.taken_a - flow.given_a) * self.tank.resistance_ohm();
        End {
            state,
            total_ah,
            soc,
            volts: self.tank.rest_v_at(soc) + rise_v,
        }
    }

    /// Whether a flow out of the bank meets no limit before the step's end.
    #[inline(always)]
    fn holds(&self, moment: &Moment, offer: &Offer<'_>, flow: &Flow, end: &End) -> bool {
        let (runs_direct, runs_inverter) = runs(moment, offer);
        let mut least_v = self.limits.direct_v;
        if runs_inverter && (self.limits.inverter_v > least_v || !runs_direct) {
            least_v = self.limits.inverter_v;
        }
        end.total_ah >= self.limits.hard_ah
            && end.state.available_ah >= 0.0
            && end.volts >= least_v
            && flow.given_a <= self.tank.most_out_a()
    }

    /// The first limit that this flow meets inside the step, if any.
    fn cut(
        &self,
        step: &Step,
        moment: &Moment,
        offer: &Offer<'_>,
        flow: &Flow,
        end: &End,
    ) -> Option<Cut> {
        if flow.given_a <= 0.0 || self.holds(moment, offer, flow, end) {
            return None;
        }
        let (runs_direct, runs_inverter) = runs(moment, offer);
        let hours = step.hours();
        let start = moment.state;
        let drain_a = flow.wells_a();
        let sag_v = flow.given_a * self.tank.resistance_ohm();
        let all = |after_h: f64| Cut {
            after_h: after_h.clamp(0.0, hours),
            direct: true,
            inverter: true,
        };
        let mut first: Option<Cut> = None;
        let mut meet = |cut: Cut| {
            if first.is_none_or(|had| cut.after_h < had.after_h) {
                first = Some(cut);
            }
        };
        if flow.given_a > self.tank.most_out_a() {
            // The manager lets go at once; what is largest as a rule, the inverter, goes first.
            meet(Cut {
                after_h: 0.0,
                direct: !runs_inverter,
                inverter: runs_inverter,
            });
        }
        if end.total_ah < self.limits.hard_ah {
            meet(all((start.total_ah() - self.limits.hard_ah) / drain_a));
        }
        if end.state.available_ah < 0.0 {
            let gives_out = |h: f64| self.tank.step(h).most_discharge_a(start) < drain_a;
            meet(all(crate::numeric::least_where(
                gives_out, 1e-9, hours, 1e-9,
            )
            .unwrap_or(hours)));
        }
        let below_after = |cut_v: f64| {
            let below = |h: f64| {
                let soc = self.tank.soc_of(start.total_ah() - drain_a * h);
                self.tank.rest_v_at(soc) - sag_v < cut_v
            };
            below(hours)
                .then(|| crate::numeric::least_where(below, 0.0, hours, 1e-9).unwrap_or(hours))
        };
        if runs_inverter && let Some(after_h) = below_after(self.limits.inverter_v) {
            meet(Cut {
                after_h,
                direct: false,
                inverter: true,
            });
        }
        if runs_direct && let Some(after_h) = below_after(self.limits.direct_v) {
            meet(all(after_h));
        }
        first
    }

    /// After which time of the step what was cut comes back; never, where it does not.
    #[inline(always)]
    fn back_after_h(&self, step: &Step, moment: &Moment, flow: &Flow) -> f64 {
        let rise_a = -flow.wells_a();
        let lacks_ah = self.limits.back_ah - moment.state.total_ah();
        if !(moment.direct_cut || moment.inverter_cut) || rise_a <= 0.0 || lacks_ah <= 0.0 {
            return f64::INFINITY;
        }
        let after_h = lacks_ah / rise_a;
        if after_h < step.hours() {
            after_h
        } else {
            f64::INFINITY
        }
    }

    /// The same, where a current that tapers inside the step brings it back: its mean would tell the time too late.
    fn back_in_taper_h(&self, step: &Step, moment: &Moment, offer: &Offer<'_>, flow: &Flow) -> f64 {
        let by_mean_h = self.back_after_h(step, moment, flow);
        if !flow.fills || by_mean_h == f64::INFINITY {
            return by_mean_h;
        }
        let is_back = |hours: f64| {
            let part = self.tank.step(hours);
            let flow = self.flow(&part, moment, offer);
            self.after(&part, moment, &flow).total_ah >= self.limits.back_ah
        };
        crate::numeric::least_where(is_back, SLIVER_H, by_mean_h, SLIVER_H).unwrap_or(by_mean_h)
    }

    #[inline(always)]
    fn book(
        &self,
        step: &Step,
        moment: &mut Moment,
        offer: &Offer<'_>,
        flow: &Flow,
        end: &End,
        books: &mut Books,
    ) {
        let hours = step.hours();
        let End {
            mut state,
            total_ah,
            soc,
            volts,
        } = *end;
        // Rounding at the very edge of a limit; what it moves is charge between the wells, never charge.
        if state.available_ah < 0.0 {
            state.bound_ah += state.available_ah;
            state.available_ah = 0.0;
        }
        moment.state = state;
        moment.soc = soc;
        moment.full = soc >= FULL_SOC
            && (moment.full && flow.given_a == 0.0
                || flow.left_over && flow.taken_a <= self.limits.tail_a);
        let Books { ledger, reached } = books;
        ledger.self_loss_ah += flow.lost_a * hours;
        if flow.given_a > 0.0 {
            let given_ah = flow.given_a * hours;
            ledger.discharged_ah += given_ah;
            ledger.discharged_wh += given_ah * volts;
            reached.most_out_a = greater(reached.most_out_a, flow.given_a);
        } else {
            let taken_ah = flow.taken_a * hours;
            ledger.charged_ah += taken_ah;
            ledger.charged_wh += taken_ah * volts;
            ledger.charging_loss_ah += (flow.taken_a - flow.stored_a) * hours;
            ledger.spilled_wh += (offer.sun_w - flow.sun_w) * hours;
            reached.most_in_a = greater(reached.most_in_a, flow.taken_a);
        }
        if flow.drive_w + flow.shore_w > 0.0 {
            ledger.drive_wh += flow.drive_w * hours;
            ledger.shore_wh += flow.shore_w * hours;
            if flow.shore_w > 0.0 {
                ledger.shore_h += hours;
            }
        }
        if moment.direct_cut {
            ledger.unserved_direct_wh += offer.direct_w * hours;
        }
        if moment.inverter_cut {
            ledger.unserved_inverter_wh += offer.inverter_w * hours;
        }
        reached.lowest_ah = lesser(reached.lowest_ah, total_ah);
        reached.lowest_v = lesser(reached.lowest_v, volts);
        reached.volts = volts;
    }
}
