//! The day's hours: what the loads take from the bank in each of them.

use super::idle::IdleShare;
use super::thermostat::duty_wanted;
use super::{Ambient, DayKind, HourTemps, Idle, Inverter, Load, LossCurve, Minutes, Supply, Usage};
use serde::Serialize;

/// All loads, made ready once, so that the hours of any day cost next to nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Consumption {
    loads: Vec<Ready>,
    idle: Option<(Idle, f64)>,
    lacks_inverter: bool,
}

/// One load, with all that does not hang on the day worked out.
#[derive(Clone, Debug, PartialEq)]
struct Ready {
    load: Load,
    /// What it takes from the bank while it runs, the inverter's running loss included [W].
    bank_w: f64,
    /// The running loss in it [W].
    loss_w: f64,
    open: Minutes,
    /// Share of each hour in which it runs; for a thermostat, in which it may.
    shares: [f64; 24],
}

/// What one load takes from the bank in a day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LoadUse {
    /// The load's id.
    pub id: u32,
    /// Energy from the bank [Wh], the inverter's running loss included.
    pub wh: f64,
    /// The inverter's running loss in it [Wh].
    pub loss_wh: f64,
    /// Hours that it runs [h].
    pub running_h: f64,
    /// Whether its thermostat calls for all of some hour's time: it cannot hold its set point.
    pub saturated: bool,
    /// Whether shore feeds it, so that the bank gives nothing.
    pub from_shore: bool,
    /// Mean power from the bank in each hour [W].
    pub hourly_w: [f64; 24],
}

/// What a day takes from the bank.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayUse {
    /// The loads that run on such a day, in the plan's order.
    pub loads: Vec<LoadUse>,
    /// The inverter's own draw [Wh].
    pub idle_wh: f64,
    /// The inverter's own draw in each hour, mean [W].
    pub idle_hourly_w: [f64; 24],
    /// All of it [Wh].
    pub total_wh: f64,
    /// Mean power in each hour [W].
    pub hourly_w: [f64; 24],
    /// The hour with the largest mean power, 0 to 23; the first of several.
    pub largest_hour: usize,
}

impl Ready {
    /// Losses are those at the running power of all of its items together, for the time that they run.
    fn new(load: &Load, curve: Option<&LossCurve>) -> Self {
        let loss_w = match (load.supply, curve) {
            (Supply::Ac, Some(curve)) => curve.running_loss_w(load.running_w()),
            _ => 0.0,
        };
        let open = load.usage.window().minutes();
        Self {
            bank_w: load.running_w() + loss_w,
            loss_w,
            shares: load.usage.hour_shares(&open),
            open,
            load: load.clone(),
        }
    }

    /// What its thermostat would like to run of each hour's time, by the air it stands in; `None` without one.
    fn duties_wanted(&self, temps: &HourTemps) -> Option<[f64; 24]> {
        let Usage::Thermostat {
            set_c,
            ref_c,
            duty_ref,
            ..
        } = self.load.usage
        else {
            return None;
        };
        let air_c = match self.load.ambient {
            Ambient::Cabin => &temps.cabin_c,
            Ambient::Outdoors => &temps.outdoors_c,
        };
        Some(air_c.map(|air_c| duty_wanted(duty_ref, ref_c, set_c, air_c)))
    }

    /// Share of each hour in which it runs on such a day, 0 to 1.
    fn shares(&self, temps: &HourTemps) -> [f64; 24] {
        let mut shares = self.shares;
        if let Some(duties) = self.duties_wanted(temps) {
            for (share, duty) in shares.iter_mut().zip(duties) {
                *share *= duty.clamp(0.0, 1.0);
            }
        }
        shares
    }

    /// Whether its thermostat calls for all of an hour's time while its window is open.
    fn is_saturated(&self, temps: &HourTemps) -> bool {
        self.duties_wanted(temps).is_some_and(|duties| {
            let mut hours = duties.iter().zip(self.shares);
            hours.any(|(&duty, open)| duty >= 1.0 && open > 0.0)
        })
    }

    fn detail(&self, kind: DayKind, temps: &HourTemps) -> LoadUse {
        let from_shore = self.load.is_on_shore(kind);
        let shares = self.shares(temps);
        let running_h: f64 = shares.iter().sum();
        let (bank_w, loss_w) = if from_shore {
            (0.0, 0.0)
        } else {
            (self.bank_w, self.loss_w)
        };
        LoadUse {
            id: self.load.id,
            wh: bank_w * running_h,
            loss_wh: loss_w * running_h,
            running_h,
            saturated: self.is_saturated(temps),
            from_shore,
            hourly_w: shares.map(|share| bank_w * share),
        }
    }
}

impl Consumption {
    /// Makes the loads ready. An inverter that idles all day does so even where no load runs on it, so pass none
    /// where the plan has none. Loads on AC without an inverter are taken as they are, without loss.
    pub fn new(loads: &[Load], inverter: Option<&Inverter>) -> Self {
        let curve = inverter.map(|inverter| LossCurve::fit(inverter).0);
        let has_ac = loads
            .iter()
            .any(|load| load.supply == Supply::Ac && load.count > 0.0);
        Self {
            loads: loads
                .iter()
                .map(|load| Ready::new(load, curve.as_ref()))
                .collect(),
            idle: inverter.map(|inverter| (inverter.idle, inverter.idle_w)),
            lacks_inverter: has_ac && inverter.is_none(),
        }
    }

    /// Whether something runs on AC and there is no inverter to feed it.
    pub fn lacks_inverter(&self) -> bool {
        self.lacks_inverter
    }

    /// Mean power drawn from the bank in each hour of such a day [W], the inverter's losses and own draw included.
    ///
    /// `month` is 0 for January to 11; `temps` are the day's own. On a hooked-up day what runs on AC is fed from
    /// shore, past the inverter, which then draws nothing either.
    pub fn hourly_w(&self, kind: DayKind, month: usize, temps: &HourTemps) -> [f64; 24] {
        let (mut hourly_w, through_inverter_w) = self.hourly_by_supply_w(kind, month, temps);
        for (hour_w, inverter_w) in hourly_w.iter_mut().zip(through_inverter_w) {
            *hour_w += inverter_w;
        }
        hourly_w
    }

    /// The same apart: what runs on direct current, and what the inverter draws [W].
    pub fn hourly_by_supply_w(
        &self,
        kind: DayKind,
        month: usize,
        temps: &HourTemps,
    ) -> ([f64; 24], [f64; 24]) {
        let (mut direct_w, mut inverter_w) = ([0.0; 24], [0.0; 24]);
        let mut idle = IdleShare::new();
        for ready in self.running(kind, month) {
            if ready.load.is_on_shore(kind) {
                continue;
            }
            let shares = ready.shares(temps);
            let through_inverter = ready.load.supply == Supply::Ac;
            if through_inverter {
                idle.add(&shares, &ready.open);
            }
            let hours = if through_inverter {
                &mut inverter_w
            } else {
                &mut direct_w
            };
            for (hour_w, share) in hours.iter_mut().zip(shares) {
                *hour_w += ready.bank_w * share;
            }
        }
        for (hour_w, idle_w) in inverter_w.iter_mut().zip(self.idle_hourly_w(kind, &idle)) {
            *hour_w += idle_w;
        }
        (direct_w, inverter_w)
    }

    /// The same day load by load.
    pub fn detail(&self, kind: DayKind, month: usize, temps: &HourTemps) -> DayUse {
        let mut idle = IdleShare::new();
        for ready in self.running(kind, month) {
            if ready.load.supply == Supply::Ac {
                idle.add(&ready.shares(temps), &ready.open);
            }
        }
        let hourly_w = self.hourly_w(kind, month, temps);
        let idle_hourly_w = self.idle_hourly_w(kind, &idle);
        DayUse {
            loads: self.loads_on(kind, month, temps).collect(),
            idle_wh: idle_hourly_w.iter().sum(),
            idle_hourly_w,
            total_wh: hourly_w.iter().sum(),
            hourly_w,
            largest_hour: largest_hour(&hourly_w),
        }
    }

    /// What each load takes on such a day, in the plan's order; of those alone that run on it.
    pub fn loads_on(
        &self,
        kind: DayKind,
        month: usize,
        temps: &HourTemps,
    ) -> impl Iterator<Item = LoadUse> {
        let running = self.running(kind, month);
        running.map(move |ready| ready.detail(kind, temps))
    }

    fn running(&self, kind: DayKind, month: usize) -> impl Iterator<Item = &Ready> {
        let loads = self.loads.iter();
        loads.filter(move |ready| ready.load.runs_on(kind, month))
    }

    /// The inverter's own draw in each hour [W], given what runs on it.
    fn idle_hourly_w(&self, kind: DayKind, with_loads: &IdleShare) -> [f64; 24] {
        match self.idle {
            Some((Idle::AllDay, idle_w)) if kind != DayKind::HookedUp => [idle_w; 24],
            Some((Idle::WithLoads, idle_w)) if kind != DayKind::HookedUp => {
                with_loads.hourly().map(|share| idle_w * share)
            }
            _ => [0.0; 24],
        }
    }
}

fn largest_hour(hourly_w: &[f64; 24]) -> usize {
    let mut largest = (0, f64::NEG_INFINITY);
    for (hour, &mean_w) in hourly_w.iter().enumerate() {
        if mean_w > largest.1 {
            largest = (hour, mean_w);
        }
    }
    largest.0
}

#[cfg(test)]
mod tests;
