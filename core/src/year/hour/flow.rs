//! Who gives what over a step, and who gets it.

use super::{Moment, Stepper};
use crate::battery::{State, Step};
use crate::charge::{Alternator, Bus};
use crate::numeric::{greater, lesser};

/// What is wanted and offered, constant over a step.
#[derive(Clone, Copy, Debug)]
pub(in crate::year) struct Offer<'a> {
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

/// What is wanted of the bank at a moment, and what comes in beside the sun [W].
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    use_w: f64,
    engine_w: f64,
    shore_w: f64,
    /// What all that comes in brings beyond what the loads take; negative where they take more.
    pub(super) left_w: f64,
}

/// What flows for a while, all constant.
#[derive(Clone, Copy, Debug)]
pub(super) struct Flow {
    pub sun_w: f64,
    pub drive_w: f64,
    pub shore_w: f64,
    pub taken_a: f64,
    pub given_a: f64,
    pub stored_a: f64,
    pub lost_a: f64,
    /// Whether the bank gives.
    pub gives: bool,
    /// Whether more was offered than bank and loads take.
    pub left_over: bool,
    /// Whether the charge fills the available well inside the step.
    pub fills: bool,
}

impl Flow {
    /// Current that the wells give [A], negative where they are filled.
    pub(super) fn wells_a(&self) -> f64 {
        self.given_a + self.lost_a - self.stored_a
    }
}

impl Stepper<'_> {
    /// What is wanted and what comes in over a step.
    #[inline(always)]
    pub(super) fn wanted(&self, step: &Step, moment: &Moment, offer: &Offer<'_>) -> Wanted {
        let runs = |cut: bool, w: f64| if cut { 0.0 } else { w };
        let use_w =
            runs(moment.direct_cut, offer.direct_w) + runs(moment.inverter_cut, offer.inverter_w);
        let (boost_w, float_w) = offer.shore_w;
        let shore_w = if moment.full { float_w } else { boost_w };
        let engine_w = offer.engine.map_or(0.0, |engine| {
            self.engine_w(step, moment.state, engine, use_w - offer.sun_w)
        });
        Wanted {
            use_w,
            engine_w,
            shore_w,
            left_w: offer.sun_w + engine_w + shore_w - use_w,
        }
    }

    pub(super) fn flow(&self, step: &Step, moment: &Moment, offer: &Offer<'_>) -> Flow {
        let wanted = self.wanted(step, moment, offer);
        if wanted.left_w < 0.0 {
            self.flow_out(moment, offer, wanted)
        } else {
            self.flow_in(step, moment, offer, wanted)
        }
    }

    /// Where the loads take just what comes in, if anything: the bank rests.
    #[inline(always)]
    pub(super) fn flow_none(&self, moment: &Moment, offer: &Offer<'_>, wanted: Wanted) -> Flow {
        Flow {
            sun_w: offer.sun_w,
            drive_w: wanted.engine_w,
            shore_w: wanted.shore_w,
            taken_a: 0.0,
            given_a: 0.0,
            stored_a: 0.0,
            lost_a: self.tank.self_discharge_a(moment.state),
            gives: false,
            left_over: false,
            fills: false,
        }
    }

    /// Who gets what where the loads take all that comes in, and the rest out of the bank.
    #[inline(always)]
    pub(super) fn flow_out(&self, moment: &Moment, offer: &Offer<'_>, wanted: Wanted) -> Flow {
        Flow {
            sun_w: offer.sun_w,
            drive_w: wanted.engine_w,
            shore_w: wanted.shore_w,
            taken_a: 0.0,
            given_a: self.tank.current_out_a(-wanted.left_w),
            stored_a: 0.0,
            lost_a: self.tank.self_discharge_a(moment.state),
            gives: true,
            left_over: false,
            fills: false,
        }
    }

    /// Who gets what where something is left for the bank: the loads first, then the bank up to what it takes; from the sun
    /// first, then from the engine, then from the hook-up.
    #[inline(always)]
    pub(super) fn flow_in(
        &self,
        step: &Step,
        moment: &Moment,
        offer: &Offer<'_>,
        wanted: Wanted,
    ) -> Flow {
        let tank = self.tank;
        let lost_a = tank.self_discharge_a(moment.state);
        let offered_a = tank.current_in_a(wanted.left_w);
        let most_a = lesser(offered_a, tank.most_charge_a());
        let efficiency = tank.efficiency_over(step, moment.state.total_ah, most_a);
        let accepted = tank.accept(step, moment.state, (most_a, efficiency, lost_a));
        let taken_a = accepted.current_a;
        let left_over = taken_a < offered_a;
        let (mut sun_w, mut drive_w, mut shore_w) = (offer.sun_w, wanted.engine_w, wanted.shore_w);
        if left_over {
            let need_w = wanted.use_w + taken_a * self.limits.charging_v;
            sun_w = lesser(sun_w, need_w);
            drive_w = lesser(drive_w, need_w - sun_w);
            shore_w = greater(lesser(shore_w, need_w - sun_w - drive_w), 0.0);
        }
        Flow {
            sun_w,
            drive_w,
            shore_w,
            taken_a,
            given_a: 0.0,
            stored_a: taken_a * efficiency,
            lost_a,
            gives: false,
            left_over,
            fills: accepted.fills,
        }
    }

    /// What an engine would give over a step [W] while the loads want so much beyond the sun [W]: at the bank's voltage in the
    /// step's middle, to which its own current raises it.
    #[inline(never)]
    pub(in crate::year) fn engine_w(
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
        let into_a = lesser(
            output_a(tank.soc(state)) - load_a,
            tank.charge_limit_in(step, state),
        );
        let middle_ah = 0.5 * step.hours() * into_a * tank.efficiency(state.total_ah);
        output_a(tank.soc_of(state.total_ah + middle_ah)) * self.limits.charging_v
    }
}
