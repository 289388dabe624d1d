//! One step of the year: sources feed the loads, then the bank; loads are cut where a limit is met inside the step, and come
//! back where the bank has recovered.

mod cut;
mod flow;

pub(super) use flow::Offer;

use super::Ledger;
use crate::battery::{FULL_SOC, Reservoir, State, Step};
use crate::numeric::{greater, lesser};
use flow::{Flow, Wanted};

/// Loads that were cut come back at the reserve line, at the least this share of the capacity above the hard one. Assumed.
const BACK_ABOVE_HARD: f64 = 0.05;
/// A tail current below this share of the capacity means full [1/h].
const TAIL_C: f64 = 1.0 / 50.0;
/// What is left of a step below this is nothing [h].
const SLIVER_H: f64 = 1e-9;
/// Cuts and returns inside one step; more than these can only chatter.
const MOST_TURNS: usize = 6;

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
    /// Whether any load is cut.
    pub(super) fn is_cut(&self) -> bool {
        self.direct_cut || self.inverter_cut
    }

    /// Whether a bank stands as another does, to so many Ah.
    pub(super) fn is_as(&self, other: &Self, within_ah: f64) -> bool {
        (self.state.available_ah - other.state.available_ah).abs() <= within_ah
            && (self.state.total_ah - other.state.total_ah).abs() <= within_ah
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
    /// The higher of the two: at so much no voltage cuts anything.
    any_v: f64,
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
            any_v: greater(tank.cutoff_v(), inverter_v),
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

/// The bank at the end of a step.
#[derive(Clone, Copy, Debug)]
struct End {
    state: State,
    soc: f64,
    volts: f64,
}

/// One bank in one month's conditions, ready to be stepped.
#[derive(Clone, Copy)]
pub(super) struct Stepper<'a> {
    pub tank: &'a Reservoir,
    pub limits: &'a Limits,
}

impl Stepper<'_> {
    /// Takes a step, and books it; what was wanted and what the sun offered is booked by the day. Whether a load may have gone
    /// unserved in it.
    #[inline(always)]
    pub(super) fn take(
        &self,
        step: &Step,
        moment: &mut Moment,
        offer: &Offer<'_>,
        books: &mut Books,
    ) -> bool {
        if moment.is_cut() {
            return self.take_cut(step, moment, Offer { ..*offer }, books);
        }
        // Said once more, so that nothing below asks for it.
        (moment.direct_cut, moment.inverter_cut) = (false, false);
        let wanted = self.wanted(step, moment, offer);
        self.step_on(step, moment, offer, wanted, books)
    }

    /// The same where something is cut.
    #[inline(never)]
    fn take_cut(
        &self,
        step: &Step,
        moment: &mut Moment,
        offer: Offer<'_>,
        books: &mut Books,
    ) -> bool {
        if moment.state.total_ah >= self.limits.back_ah {
            (moment.direct_cut, moment.inverter_cut) = (false, false);
        }
        let wanted = self.wanted(step, moment, &offer);
        if wanted.left_w == 0.0 {
            // Nothing runs and nothing comes in: most hours of a night.
            let flow = self.flow_none(moment, &offer, wanted);
            return self.settle(step, moment, &offer, &flow, books);
        }
        self.step_on(step, moment, &offer, wanted, books)
    }

    #[inline(always)]
    fn step_on(
        &self,
        step: &Step,
        moment: &mut Moment,
        offer: &Offer<'_>,
        wanted: Wanted,
        books: &mut Books,
    ) -> bool {
        if wanted.left_w < 0.0 {
            let flow = self.flow_out(moment, offer, wanted);
            self.settle(step, moment, offer, &flow, books)
        } else {
            let flow = self.flow_in(step, moment, offer, wanted);
            self.settle(step, moment, offer, &flow, books)
        }
    }

    /// Books a step of such a flow; part by part where something is cut or comes back inside it.
    #[inline(always)]
    fn settle(
        &self,
        step: &Step,
        moment: &mut Moment,
        offer: &Offer<'_>,
        flow: &Flow,
        books: &mut Books,
    ) -> bool {
        let end = self.after(step, moment, flow);
        let is_even = if flow.gives {
            self.holds(moment, offer, flow, &end)
        } else {
            self.back_after_h(step, moment, flow) == f64::INFINITY
        };
        if is_even {
            self.book(step, moment, offer, flow, &end, books);
            moment.is_cut()
        } else {
            let known = (Flow { ..*flow }, end);
            *moment = self.take_in_parts(step, *moment, Offer { ..*offer }, known, books);
            true
        }
    }

    /// Takes a step in which something is cut or comes back, part by part; what would flow through all of it is known.
    #[cold]
    fn take_in_parts(
        &self,
        step: &Step,
        mut moment: Moment,
        offer: Offer<'_>,
        (mut flow, mut end): (Flow, End),
        books: &mut Books,
    ) -> Moment {
        let mut left_h = step.hours();
        let mut part = *step;
        for turn in 1..=MOST_TURNS {
            let cut = self.cut(&part, &moment, &offer, &flow, &end);
            let back_h = if turn == MOST_TURNS {
                f64::INFINITY
            } else {
                self.back_in_taper_h(&part, &moment, &offer, &flow)
            };
            let taken_h = cut.map_or(left_h, |cut| cut.after_h).min(back_h);
            if taken_h < left_h {
                part = self.tank.step(taken_h);
                (flow, end) = self.through(&part, &moment, &offer);
            }
            if taken_h > SLIVER_H {
                self.book(&part, &mut moment, &offer, &flow, &end, books);
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
            // The last turn is taken with all cut.
            moment.direct_cut |= turn + 1 == MOST_TURNS;
            moment.inverter_cut |= turn + 1 == MOST_TURNS;
            part = self.tank.step(left_h);
            (flow, end) = self.through(&part, &moment, &offer);
        }
        moment
    }

    /// What flows over a step, and the bank after it.
    fn through(&self, step: &Step, moment: &Moment, offer: &Offer<'_>) -> (Flow, End) {
        let flow = self.flow(step, moment, offer);
        let end = self.after(step, moment, &flow);
        (flow, end)
    }

    /// The bank after a step at such a flow.
    #[inline(always)]
    fn after(&self, step: &Step, moment: &Moment, flow: &Flow) -> End {
        let state = step.end(moment.state, flow.wells_a(), flow.fills);
        let soc = self.tank.soc_of(state.total_ah);
        let rise_v = (flow.taken_a - flow.given_a) * self.tank.resistance_ohm();
        End {
            state,
            soc,
            volts: self.tank.rest_v_at(soc) + rise_v,
        }
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
        let End { state, soc, volts } = *end;
        moment.state = State {
            // Rounding at the very edge of a limit; what it moves is charge between the wells, never charge.
            available_ah: greater(state.available_ah, 0.0),
            ..state
        };
        moment.soc = soc;
        let Books { ledger, reached } = books;
        ledger.self_loss_ah += flow.lost_a * hours;
        if flow.gives {
            moment.full = false;
            let given_ah = flow.given_a * hours;
            ledger.discharged_ah += given_ah;
            ledger.discharged_wh += given_ah * volts;
            reached.most_out_a = greater(reached.most_out_a, flow.given_a);
        } else {
            let tails = flow.left_over && flow.taken_a <= self.limits.tail_a;
            moment.full = soc >= FULL_SOC && (moment.full || tails);
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
        reached.lowest_ah = lesser(reached.lowest_ah, state.total_ah);
        reached.lowest_v = lesser(reached.lowest_v, volts);
        reached.volts = volts;
    }
}
