//! How long a bank lasts: the wells stepped through the real profile, hour by hour.
//!
//! Accounts are kept in Ah at the bank's nominal voltage. Income feeds the loads first, then the bank up to what it
//! takes; the rest is spilled.

use super::{Reservoir, State};
use crate::numeric::{least_where, lesser};
use serde::Serialize;

/// A day's end that is no lower than the last one's, to this share of all charge, goes on for ever.
const SAME: f64 = 1e-9;
/// Full means at least this state of charge …
pub(crate) const FULL_SOC: f64 = 0.98;
/// … and a tail current below this share of the capacity [1/h].
const TAIL_C: f64 = 1.0 / 50.0;
/// Step in which a refill is worked out [h].
const REFILL_STEP_H: f64 = 0.25;
/// Longest refill that is worked out: a quarter of a year [h].
const LONGEST_REFILL_H: f64 = 2190.0;

/// How long something lasts.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lasting {
    /// So many days.
    Days(f64),
    /// Without end: what comes in covers what goes out.
    Endless,
    /// Longer than the days that were stepped through.
    Beyond(f64),
}

impl Lasting {
    /// Days; without end is infinite, beyond is its bound.
    pub fn days(self) -> f64 {
        match self {
            Self::Days(days) | Self::Beyond(days) => days,
            Self::Endless => f64::INFINITY,
        }
    }

    /// So many days; infinitely many are without end.
    pub fn of_days(days: f64) -> Self {
        if days.is_finite() {
            Self::Days(days)
        } else {
            Self::Endless
        }
    }
}

/// How long a bank lasts from full, from midnight on.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Autonomy {
    /// To the reserve line.
    pub reserve: Lasting,
    /// To the hard limit.
    pub hard: Lasting,
    /// Whether the available well gave out before the reserve line was reached.
    pub wells_bind: bool,
}

/// One hour of a day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct HourState {
    /// State of charge at its end, 0 to 1.
    pub soc: f64,
    /// Mean current out of the bank [A]; negative into it.
    pub current_a: f64,
    /// Terminal voltage at its end under that current [V].
    pub volts: f64,
    /// Income that found no taker [W].
    pub spilled_w: f64,
}

/// What an hour does to the wells.
struct Hour {
    state: State,
    /// Mean current at the terminals [A], positive out of the bank.
    current_a: f64,
    spilled_a: f64,
    /// Share of the hour for which the available well lasts; 1 where it suffices.
    lasts: f64,
}

impl Reservoir {
    fn one_hour(&self, state: State, use_a: f64, income_a: f64) -> Hour {
        let net = use_a - income_a;
        let step = self.hour();
        if net > 0.0 {
            let most = step.most_discharge_a(state);
            let lasts = if net > most {
                self.lasts_h(state, net)
            } else {
                1.0
            };
            return Hour {
                state: step.advance(state, net.min(most)),
                current_a: net.min(most),
                spilled_a: 0.0,
                lasts,
            };
        }
        let offered = -net;
        if offered == 0.0 {
            return Hour {
                state: step.advance(state, 0.0),
                current_a: 0.0,
                spilled_a: 0.0,
                lasts: 1.0,
            };
        }
        // What is offered as power comes in at the charging voltage.
        let rise = self.charging_v() / self.volts();
        let most = lesser(offered / rise, self.most_charge_a());
        let efficiency = self.efficiency_over(step, state.total_ah, most);
        let taken = self.accept(step, state, (most, efficiency, 0.0));
        let stored_a = taken.current_a * efficiency;
        Hour {
            state: step.end(state, -stored_a, taken.fills),
            current_a: -taken.current_a,
            spilled_a: offered - taken.current_a * rise,
            lasts: 1.0,
        }
    }

    /// Hours until the available well is empty at a current that it can't give for an hour.
    fn lasts_h(&self, state: State, current_a: f64) -> f64 {
        let short = |hours: f64| self.step(hours).most_discharge_a(state) < current_a;
        least_where(short, 1e-6, 1.0, 1e-6).unwrap_or(1.0)
    }

    /// Steps through a day and leaves the state at its end; a bank that has given out stays there.
    pub fn run_day(
        &self,
        state: &mut State,
        use_w: &[f64; 24],
        income_w: &[f64; 24],
    ) -> [HourState; 24] {
        let mut hours = use_w.iter().zip(income_w);
        std::array::from_fn(|_| {
            let (use_w, income_w) = hours.next().unwrap_or((&0.0, &0.0));
            let hour = self.one_hour(*state, use_w / self.volts(), income_w / self.volts());
            *state = hour.state;
            HourState {
                soc: self.soc(hour.state),
                current_a: hour.current_a,
                volts: self.terminal_v(hour.state, hour.current_a),
                spilled_w: hour.spilled_a * self.volts(),
            }
        })
    }
}

/// Steps through the same day over and over, from full at midnight, for at most `limit_days`.
pub fn autonomy(
    tank: &Reservoir,
    use_w: &[f64; 24],
    income_w: &[f64; 24],
    limit_days: u32,
) -> Autonomy {
    let volts = tank.volts();
    let (reserve_line, hard_line) = (tank.reserve_line_ah(), tank.hard_line_ah());
    let mut state = tank.full();
    let mut reserve = None;
    let mut hours = 0.0;
    for _ in 0..limit_days {
        let before = state;
        for (use_w, income_w) in use_w.iter().zip(income_w) {
            let start = state.total_ah;
            let hour = tank.one_hour(state, use_w / volts, income_w / volts);
            state = hour.state;
            let end = state.total_ah;
            // The part of the hour after which a line was crossed; charge falls evenly in it.
            // A bank that gives out falls at the full current until then.
            let pace = if hour.lasts < 1.0 {
                (use_w - income_w) / volts
            } else {
                start - end
            };
            let crossed = |line: f64| (end < line).then(|| ((start - line) / pace).clamp(0.0, 1.0));
            let gave_out = (hour.lasts < 1.0).then_some(hour.lasts);
            let first = |line: f64| match (crossed(line), gave_out) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
            if reserve.is_none()
                && let Some(part) = first(reserve_line)
            {
                let wells_bind = crossed(reserve_line)
                    .is_none_or(|line| gave_out.is_some_and(|wells| wells < line));
                reserve = Some((hours + part, wells_bind));
            }
            if let (Some((at, wells_bind)), Some(part)) = (reserve, first(hard_line)) {
                let hard = Lasting::Days(((hours + part) / 24.0).max(at / 24.0));
                return Autonomy {
                    reserve: Lasting::Days(at / 24.0),
                    hard,
                    wells_bind,
                };
            }
            hours += 1.0;
        }
        let same = SAME * tank.full_ah();
        if state.total_ah >= before.total_ah - same
            && state.available_ah >= before.available_ah - same
        {
            let reserve_lasting =
                reserve.map_or(Lasting::Endless, |(at, _)| Lasting::Days(at / 24.0));
            return Autonomy {
                reserve: reserve_lasting,
                hard: Lasting::Endless,
                wells_bind: reserve.is_some_and(|r| r.1),
            };
        }
    }
    let beyond = Lasting::Beyond(f64::from(limit_days));
    Autonomy {
        reserve: reserve.map_or(beyond, |(at, _)| Lasting::Days(at / 24.0)),
        hard: beyond,
        wells_bind: reserve.is_some_and(|r| r.1),
    }
}

/// A day by the hour, from a state at midnight.
pub fn trace_day(
    tank: &Reservoir,
    from: State,
    use_w: &[f64; 24],
    income_w: &[f64; 24],
) -> [HourState; 24] {
    let mut state = from;
    tank.run_day(&mut state, use_w, income_w)
}

/// Level wells at the reserve line.
pub fn reserve_state(tank: &Reservoir) -> State {
    tank.state_at(tank.reserve_line_ah())
}

/// Hours until full with a charger of so many amperes and loads that draw so many; none where that takes more than a quarter of
/// a year or never comes.
/// Full: at least 98 % and a tail current below a fiftieth of the capacity.
pub fn refill_hours(tank: &Reservoir, from: State, charge_a: f64, load_a: f64) -> Option<f64> {
    let offered = charge_a - load_a;
    if offered.is_nan() || offered <= 0.0 {
        return None;
    }
    let step = tank.step(REFILL_STEP_H);
    let mut state = from;
    let mut hours = 0.0;
    while hours < LONGEST_REFILL_H {
        let taken = offered.min(tank.charge_limit_in(&step, state));
        // A charger too small to reach the tail limit fills the bank all the same.
        let tail = taken <= TAIL_C * tank.capacity_ah()
            || taken >= offered && offered <= TAIL_C * tank.capacity_ah();
        if tank.soc(state) >= FULL_SOC && tail {
            return Some(hours);
        }
        let stored = taken * tank.efficiency(state.total_ah);
        if stored <= 1e-9 * tank.full_ah() {
            return (tank.soc(state) >= FULL_SOC).then_some(hours);
        }
        state = step.advance(state, -stored);
        hours += REFILL_STEP_H;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::battery::Chemistry;
    use crate::battery::sample::tank;
    use proptest::prelude::*;

    #[test]
    fn a_steady_small_load_lasts_as_long_as_the_usable_charge() {
        // 100 Ah of AGM at 25 °C planned to half: 50 Ah; 24 W at 12 V draw 2 A: 25 h.
        let lasting = autonomy(
            &tank(Chemistry::Agm, 100.0, 1, 25.0, 1.0),
            &[24.0; 24],
            &[0.0; 24],
            60,
        );
        assert!(
            (lasting.reserve.days() * 24.0 - 25.0).abs() < 1e-9,
            "{lasting:?}"
        );
        assert!(
            (lasting.hard.days() * 24.0 - 40.0).abs() < 1e-9 && !lasting.wells_bind,
            "{lasting:?}"
        );
    }

    #[test]
    fn a_heavy_load_empties_the_available_well_first() {
        let lasting = autonomy(
            &tank(Chemistry::Flooded, 100.0, 1, 25.0, 1.0),
            &[1200.0; 24],
            &[0.0; 24],
            60,
        );
        assert!(
            lasting.wells_bind && lasting.reserve.days() * 24.0 < 0.5,
            "{lasting:?}"
        );
    }

    #[test]
    fn income_that_covers_use_makes_it_endless() {
        let tank = tank(Chemistry::LithiumIronPhosphate, 100.0, 1, 20.0, 1.0);
        let mut sun = [0.0; 24];
        sun[10..14].fill(200.0);
        assert_eq!(
            autonomy(&tank, &[20.0; 24], &sun, 60).reserve,
            Lasting::Endless
        );
        assert!(matches!(
            autonomy(&tank, &[60.0; 24], &sun, 60).reserve,
            Lasting::Days(_)
        ));
        assert_eq!(
            autonomy(&tank, &[0.0; 24], &[0.0; 24], 60).reserve,
            Lasting::Endless
        );
    }

    #[test]
    fn lithium_takes_no_charge_below_freezing() {
        let cold = tank(Chemistry::LithiumIronPhosphate, 100.0, 1, -1.0, 1.0);
        assert_eq!(cold.charge_limit_a(reserve_state(&cold)), 0.0);
        assert_eq!(refill_hours(&cold, reserve_state(&cold), 30.0, 0.0), None);
    }

    #[test]
    fn lead_acid_finishes_slowly() {
        let lead = tank(Chemistry::Agm, 100.0, 1, 25.0, 1.0);
        let iron = tank(Chemistry::LithiumIronPhosphate, 100.0, 1, 25.0, 1.0);
        let slow = refill_hours(&lead, reserve_state(&lead), 25.0, 0.0).unwrap();
        let quick = refill_hours(&iron, reserve_state(&iron), 25.0, 0.0).unwrap();
        // 50 Ah at 25 A would be 2 h; 80 Ah at 25 A 3.2 h.
        assert!(slow > 4.0 && (3.2..4.5).contains(&quick), "{slow} {quick}");
        assert_eq!(refill_hours(&lead, reserve_state(&lead), 5.0, 6.0), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]
        #[test]
        fn colder_older_and_fewer_never_last_longer(
            kind in 0usize..5, ah in 20.0f64..400.0, w in 2.0f64..300.0, temp in -30.0f64..30.0, soh in 0.5f64..1.0,
        ) {
            let kind = Chemistry::ALL[kind];
            let days = |tank: &Reservoir| autonomy(tank, &[w; 24], &[0.0; 24], 60).reserve.days();
            let now = days(&tank(kind, ah, 1, temp, soh));
            prop_assert!(now.is_finite() && now >= 0.0);
            prop_assert!(days(&tank(kind, ah, 1, temp - 5.0, soh)) <= now + 1e-9);
            prop_assert!(days(&tank(kind, ah, 1, temp, soh * 0.9)) <= now + 1e-9);
            prop_assert!(days(&tank(kind, ah, 2, temp, soh)) >= now - 1e-9);
        }

        #[test]
        fn a_day_keeps_its_accounts(
            kind in 0usize..5, use_w in prop::array::uniform24(0.0f64..300.0), sun_w in prop::array::uniform24(0.0f64..300.0),
        ) {
            let tank = tank(Chemistry::ALL[kind], 100.0, 2, 15.0, 0.9);
            let mut state = tank.state_at(tank.full_ah() * 0.8);
            let mut before = state;
            for (hour, state_after) in tank.run_day(&mut state, &use_w, &sun_w).iter().enumerate() {
                let net = use_w[hour] - sun_w[hour];
                let volts = if state_after.current_a < 0.0 { 13.5 } else { 12.0 };
                let kept = state_after.current_a * volts - state_after.spilled_w;
                let passed = tank.one_hour(before, use_w[hour] / 12.0, sun_w[hour] / 12.0);
                before = passed.state;
                if passed.lasts < 1.0 {
                    prop_assert!(kept < net);
                } else {
                    prop_assert!((kept - net).abs() < 1e-9);
                }
                prop_assert!((0.0..=1.0).contains(&state_after.soc));
            }
        }
    }
}
