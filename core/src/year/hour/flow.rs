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

/// What is wanted of the bank and what the hook-up would give at a moment [W].
#[derive(Clone, Copy, Debug)]
pub(super) struct Wanted {
    pub use_w: f64,
    pub shore_w: f64,
}

impl Wanted {
    #[inline(always)]
    pub(super) fn at(moment: &Moment, offer: &Offer<'_>) -> Self {
        let direct_w = if moment.direct_cut {
            0.0
        } else {
            offer.direct_w
        };
        let inverter_w = if moment.inverter_cut {
            0.0
        } else {
            offer.inverter_w
        };
        Self {
            use_w: direct_w + inverter_w,
            shore_w: if moment.full {
                offer.shore_w.1
            } else {
                offer.shore_w.0
            },
        }
    }

    /// Whether the loads take all that comes in.
    #[inline(always)]
    pub(super) fn nothing_charges(&self, offer: &Offer<'_>) -> bool {
        offer.engine.is_none() && offer.sun_w + self.shore_w <= self.use_w
    }
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
    pub(super) fn flow(&self, step: &Step, moment: &Moment, offer: &Offer<'_>) -> Flow {
        let wanted = Wanted::at(moment, offer);
        if wanted.nothing_charges(offer) {
            self.flow_out(moment, offer, wanted)
        } else {
            self.flow_in(step, moment, offer, wanted)
        }
    }

    /// Who gets what where nothing is left for the bank: the loads take all that comes in, and the rest out of it.
    #[inline(always)]
    pub(super) fn flow_out(
        &self,
        moment: &Moment,
        offer: &Offer<'_>,
        Wanted { use_w, shore_w }: Wanted,
    ) -> Flow {
        let lacks_w = use_w - offer.sun_w - shore_w;
        Flow {
            sun_w: offer.sun_w,
            drive_w: 0.0,
            shore_w,
            taken_a: 0.0,
            given_a: self.tank.current_out_a(lacks_w),
            stored_a: 0.0,
            lost_a: self.tank.self_discharge_a(moment.state),
            left_over: false,
            fills: false,
        }
    }

    /// Who gets what: the sun first, then the engine, then the hook-up; the loads first, then the bank up to what it takes.
    #[inline(always)]
    pub(super) fn flow_in(
        &self,
        step: &Step,
        moment: &Moment,
        offer: &Offer<'_>,
        Wanted { use_w, shore_w }: Wanted,
    ) -> Flow {
        let tank = self.tank;
        let lost_a = tank.self_discharge_a(moment.state);
        let engine_w = offer.engine.map_or(0.0, |engine| {
            self.engine_w(step, moment.state, engine, use_w - offer.sun_w)
        });
        let offered_w = offer.sun_w + engine_w + shore_w;
        let offered_a = tank.current_in_a(greater(offered_w - use_w, 0.0));
        let efficiency = tank.efficiency_over(step, moment.soc, offered_a);
        let accepted = tank.accept(step, moment.state, (offered_a, efficiency, lost_a));
        let left_over = accepted.current_a < offered_a;
        let need_w = if left_over {
            use_w + accepted.current_a * self.limits.charging_v
        } else {
            greater(offered_w, use_w)
        };
        let sun_w = lesser(offer.sun_w, need_w);
        let drive_w = greater(lesser(engine_w, need_w - sun_w), 0.0);
        let shore_w = greater(lesser(shore_w, need_w - sun_w - drive_w), 0.0);
        let net_w = sun_w + drive_w + shore_w - use_w;
        let taken_a = tank.current_in_a(greater(net_w, 0.0));
        Flow {
            sun_w,
            drive_w,
            shore_w,
            taken_a,
            given_a: tank.current_out_a(greater(-net_w, 0.0)),
            stored_a: taken_a * efficiency,
            lost_a,
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
        let soc = tank.soc(state);
        let into_a = lesser(output_a(soc) - load_a, tank.charge_limit_in(step, state));
        let middle_ah = 0.5 * step.hours() * into_a * tank.efficiency_at(soc);
        output_a(tank.soc_of(state.total_ah() + middle_ah)) * self.limits.charging_v
    }
}
