//! Where inside a step loads are cut, and where they come back.

use super::flow::{Flow, Offer};
use super::{End, Moment, SLIVER_H, Stepper};
use crate::battery::Step;

/// Why and after which part of a step loads are cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cut {
    pub after_h: f64,
    pub direct: bool,
    pub inverter: bool,
}

/// Which loads run at a moment: on direct current, through the inverter.
fn runs(moment: &Moment, offer: &Offer<'_>) -> (bool, bool) {
    (
        !moment.direct_cut && offer.direct_w > 0.0,
        !moment.inverter_cut && offer.inverter_w > 0.0,
    )
}

impl Stepper<'_> {
    /// Whether a flow out of the bank meets no limit before the step's end.
    #[inline(always)]
    pub(super) fn holds(&self, moment: &Moment, offer: &Offer<'_>, flow: &Flow, end: &End) -> bool {
        end.state.total_ah >= self.limits.hard_ah
            && end.state.available_ah >= 0.0
            && flow.given_a <= self.tank.most_out_a()
            && (end.volts >= self.limits.any_v || end.volts >= self.least_v(moment, offer))
    }

    /// Voltage below which something that runs is cut [V].
    fn least_v(&self, moment: &Moment, offer: &Offer<'_>) -> f64 {
        match runs(moment, offer) {
            (true, false) | (false, false) => self.limits.direct_v,
            (false, true) => self.limits.inverter_v,
            (true, true) => self.limits.any_v,
        }
    }

    /// The first limit that this flow meets inside the step, if any.
    pub(super) fn cut(
        &self,
        step: &Step,
        moment: &Moment,
        offer: &Offer<'_>,
        flow: &Flow,
        end: &End,
    ) -> Option<Cut> {
        if !flow.gives || self.holds(moment, offer, flow, end) {
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
        if end.state.total_ah < self.limits.hard_ah {
            meet(all((start.total_ah - self.limits.hard_ah) / drain_a));
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
                let soc = self.tank.soc_of(start.total_ah - drain_a * h);
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
    pub(super) fn back_after_h(&self, step: &Step, moment: &Moment, flow: &Flow) -> f64 {
        if !moment.is_cut() {
            return f64::INFINITY;
        }
        let rise_a = -flow.wells_a();
        let lacks_ah = self.limits.back_ah - moment.state.total_ah;
        if rise_a <= 0.0 || lacks_ah <= 0.0 {
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
    pub(super) fn back_in_taper_h(
        &self,
        step: &Step,
        moment: &Moment,
        offer: &Offer<'_>,
        flow: &Flow,
    ) -> f64 {
        let by_mean_h = self.back_after_h(step, moment, flow);
        if !flow.fills || by_mean_h == f64::INFINITY {
            return by_mean_h;
        }
        let is_back = |hours: f64| {
            let part = self.tank.step(hours);
            let (_, end) = self.through(&part, moment, offer);
            end.state.total_ah >= self.limits.back_ah
        };
        crate::numeric::least_where(is_back, SLIVER_H, by_mean_h, SLIVER_H).unwrap_or(by_mean_h)
    }
}
