//! A bank lives through a year of hours. Charge is kept in Ah at the bank's nominal voltage; a ledger in Wh stands beside it.

use crate::battery::{FULL_SOC, Reservoir, State};
use crate::charge::{Alternator, Bus};

/// One day: what runs, what the sun gives, whether the engine or a hook-up does.
#[derive(Clone, Debug, PartialEq)]
pub struct Day {
    /// Month, 0 = January: which of the bank's conditions holds.
    pub month: usize,
    /// Which of the profiles of use.
    pub profile: usize,
    /// From the sun, by the clock [W].
    pub sun_w: [f64; 24],
    /// Whether the engine runs at its hours.
    pub drives: bool,
    /// Whether the hook-up is there at its hours.
    pub hooked_up: bool,
}

/// What can put charge back beside the sun.
#[derive(Clone, Copy, Debug)]
pub struct Sources<'a> {
    /// The engine's link.
    pub alternator: Option<&'a Alternator>,
    /// Share of each hour for which the engine runs on a day of travel.
    pub drive: [f64; 24],
    /// What the hook-up's charger gives on a hooked-up day [W].
    pub shore_w: [f64; 24],
}

/// Charge and energy, each summed as it happened.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize)]
pub struct Ledger {
    /// In the bank at the start [Ah].
    pub initial_ah: f64,
    /// Into the bank's terminals [Ah].
    pub charged_ah: f64,
    /// Out of them [Ah].
    pub discharged_ah: f64,
    /// Lost in charging [Ah].
    pub charging_loss_ah: f64,
    /// Lost by itself [Ah].
    pub self_loss_ah: f64,
    /// In the bank at the end [Ah].
    pub final_ah: f64,
    /// Into the bank's terminals [Wh].
    pub charged_wh: f64,
    /// Out of them [Wh].
    pub discharged_wh: f64,
    /// Wanted by the loads [Wh].
    pub wanted_wh: f64,
    /// Not given to them [Wh].
    pub unserved_wh: f64,
    /// Offered by sun, engine and hook-up [Wh].
    pub sun_wh: f64,
    /// From the engine [Wh].
    pub drive_wh: f64,
    /// From the hook-up [Wh].
    pub shore_wh: f64,
    /// Of all three, what found no taker [Wh].
    pub spilled_wh: f64,
}

impl Ledger {
    /// What does not add up [Ah].
    pub fn gap_ah(&self) -> f64 {
        self.initial_ah + self.charged_ah
            - self.discharged_ah
            - self.charging_loss_ah
            - self.self_loss_ah
            - self.final_ah
    }

    /// All that moved [Ah].
    pub fn throughput_ah(&self) -> f64 {
        self.charged_ah + self.discharged_ah + self.self_loss_ah
    }
}

/// What a bank lived through.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lived {
    /// The ledgers.
    pub ledger: Ledger,
    /// Lowest state of charge of each day, 0 to 1.
    pub lowest: Vec<f64>,
    /// Loads that went unserved on each day [Wh].
    pub unserved_wh: Vec<f64>,
    /// Whether the reserve line was passed on each day.
    pub below_reserve: Vec<bool>,
    /// Longest time between two fullnesses [days].
    pub longest_unfilled_days: f64,
    /// Lowest voltage at the terminals [V].
    pub lowest_v: f64,
    /// Largest current out [A].
    pub most_out_a: f64,
    /// Largest current in [A].
    pub most_in_a: f64,
    /// State of charge at each hour's end.
    pub soc: Vec<f64>,
}

/// Steps a bank through days, from full. `tanks` is the bank in each month's conditions; `profiles` what the loads draw
/// by the hour [W].
///
/// Sources feed the loads first, then the bank up to what it takes; what is left is spilled. Loads are cut when the hard
/// line is reached or the available well gives out, and come back at the reserve line (assumed).
pub fn live(
    tanks: &[Reservoir; 12],
    days: &[Day],
    profiles: &[[f64; 24]],
    sources: &Sources<'_>,
    observe: &mut dyn FnMut(f64, f64, f64),
) -> Lived {
    let [first, ..] = tanks;
    let mut state = first.full();
    let mut lived = Lived {
        lowest_v: f64::INFINITY,
        soc: Vec::with_capacity(days.len() * 24),
        ..Lived::default()
    };
    lived.ledger.initial_ah = state.total_ah();
    let mut cut = false;
    let mut unfilled_h = 0.0;
    for day in days {
        let tank = tanks.get(day.month).unwrap_or(first);
        let use_w = profiles.get(day.profile).copied().unwrap_or([0.0; 24]);
        let lines = (tank.reserve_line_ah(), tank.hard_line_ah());
        let (mut lowest, mut unserved_wh, mut below) = (1.0f64, 0.0, false);
        let hours = use_w
            .iter()
            .zip(&day.sun_w)
            .zip(sources.drive.iter().zip(&sources.shore_w));
        for ((use_w, sun_w), (drive, shore_w)) in hours {
            let share = if day.drives { *drive } else { 0.0 };
            let drive_w = match sources.alternator {
                Some(alternator) if share > 0.0 => {
                    share * alternator.flow(&bus(tank, state, *use_w)).output_w
                }
                _ => 0.0,
            };
            let shore_w = if day.hooked_up { *shore_w } else { 0.0 };
            let hour = step(tank, state, cut, *use_w, sun_w + drive_w + shore_w);
            state = hour.state;
            cut = if cut {
                state.total_ah() < lines.0
            } else {
                hour.unserved_w > 0.0
            };
            let ledger = &mut lived.ledger;
            ledger.charged_ah += hour.taken_a;
            ledger.discharged_ah += hour.given_a;
            ledger.charging_loss_ah += hour.taken_a - hour.stored_a;
            ledger.self_loss_ah += hour.lost_a;
            let volts = tank.terminal_v(state, hour.given_a - hour.taken_a);
            ledger.charged_wh += hour.taken_a * volts;
            ledger.discharged_wh += hour.given_a * volts;
            ledger.wanted_wh += use_w;
            ledger.unserved_wh += hour.unserved_w;
            ledger.sun_wh += sun_w;
            ledger.drive_wh += drive_w;
            ledger.shore_wh += shore_w;
            ledger.spilled_wh += hour.spilled_w;
            unserved_wh += hour.unserved_w;
            let soc = tank.soc(state);
            lowest = lowest.min(soc);
            below |= state.total_ah() < lines.0;
            lived.lowest_v = lived.lowest_v.min(volts);
            lived.most_out_a = lived.most_out_a.max(hour.given_a);
            lived.most_in_a = lived.most_in_a.max(hour.taken_a);
            lived.soc.push(soc);
            unfilled_h = if soc >= FULL_SOC {
                0.0
            } else {
                unfilled_h + 1.0
            };
            lived.longest_unfilled_days = lived.longest_unfilled_days.max(unfilled_h / 24.0);
            observe(soc, volts, hour.given_a - hour.taken_a);
        }
        lived.lowest.push(lowest);
        lived.unserved_wh.push(unserved_wh);
        lived.below_reserve.push(below);
    }
    lived.ledger.final_ah = state.total_ah();
    lived
}

fn bus(tank: &Reservoir, state: State, use_w: f64) -> Bus {
    Bus {
        open_circuit_v: tank.rest_v(state),
        resistance_ohm: tank.resistance_ohm(),
        acceptance_a: tank.charge_limit_a(state),
        load_a: use_w / tank.volts(),
    }
}

/// What an hour did.
struct Hour {
    state: State,
    taken_a: f64,
    stored_a: f64,
    given_a: f64,
    lost_a: f64,
    unserved_w: f64,
    spilled_w: f64,
}

fn step(tank: &Reservoir, state: State, cut: bool, use_w: f64, income_w: f64) -> Hour {
    let volts = tank.volts();
    let lost_a = tank.self_discharge_a(state);
    let net_a = (use_w - income_w) / volts;
    let mut hour = Hour {
        state,
        taken_a: 0.0,
        stored_a: 0.0,
        given_a: 0.0,
        lost_a,
        unserved_w: 0.0,
        spilled_w: 0.0,
    };
    if net_a > 0.0 {
        let above = (state.total_ah() - tank.hard_line_ah() - lost_a).max(0.0);
        let most = (tank.most_discharge_a(state) - lost_a).clamp(0.0, above);
        hour.given_a = if cut { 0.0 } else { net_a.min(most) };
        hour.unserved_w = (net_a - hour.given_a) * volts;
    } else {
        hour.taken_a = (-net_a).min(tank.charge_limit_a(state)).max(0.0);
        hour.stored_a = hour.taken_a * tank.efficiency(state);
        hour.spilled_w = (-net_a - hour.taken_a) * volts;
    }
    hour.state = tank.advance_hour(state, hour.given_a + hour.lost_a - hour.stored_a);
    hour
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::battery::Chemistry;
    use crate::battery::sample::tank;
    use proptest::prelude::*;

    fn tanks(kind: Chemistry, ah: f64, temp_c: f64) -> [Reservoir; 12] {
        std::array::from_fn(|_| tank(kind, ah, 1, temp_c, 1.0))
    }

    const NO_SOURCES: Sources<'static> = Sources {
        alternator: None,
        drive: [0.0; 24],
        shore_w: [0.0; 24],
    };

    fn day(sun_w: [f64; 24]) -> Day {
        Day {
            month: 0,
            profile: 0,
            sun_w,
            drives: false,
            hooked_up: false,
        }
    }

    #[test]
    fn three_days_by_hand() {
        // Lithium of 100 Ah at 25 °C, full, 24 W at 12 V: 2 A, day and night; 12 A from 10 to 14 o'clock on the second day.
        // Self-discharge 3 % a month is about 0.004 Ah an hour, 0.3 Ah in three days: left out of the sums, within 0.35.
        // Day 1: 100 − 48 = 52 Ah. Day 2: 10 h × 2 = 20, then 4 h × (12 − 2) × 0.995 = 39.8, then 10 × 2: 52 − 20 + 39.8 − 20
        // = 51.8. Day 3: 51.8 − 48 = 3.8.
        let mut sun = [0.0; 24];
        sun[10..14].fill(144.0);
        let days = [day([0.0; 24]), day(sun), day([0.0; 24])];
        let lived = live(
            &tanks(Chemistry::LithiumIronPhosphate, 100.0, 25.0),
            &days,
            &[[24.0; 24]],
            &NO_SOURCES,
            &mut |_, _, _| {},
        );
        let ends: Vec<f64> = [23, 47, 71]
            .iter()
            .map(|at| lived.soc[*at] * 100.0)
            .collect();
        for (found, by_hand) in ends.iter().zip([52.0, 51.8, 3.8]) {
            assert!((found - by_hand).abs() < 0.35, "{found}, by hand {by_hand}");
        }
        assert_eq!(lived.ledger.unserved_wh, 0.0);
        assert!((lived.ledger.charged_ah - 40.0).abs() < 1e-9);
    }

    #[test]
    fn an_empty_bank_cuts_its_loads_and_takes_them_back() {
        let mut days = vec![day([0.0; 24]); 4];
        days.extend(vec![day([400.0; 24]); 2]);
        days.push(day([0.0; 24]));
        let tanks = tanks(Chemistry::Agm, 80.0, 25.0);
        let lived = live(&tanks, &days, &[[24.0; 24]], &NO_SOURCES, &mut |_, _, _| {});
        assert!(
            lived.unserved_wh[2] > 0.0 && lived.unserved_wh[3] == 24.0 * 24.0,
            "{:?}",
            lived.unserved_wh
        );
        assert_eq!(lived.unserved_wh[6], 0.0);
        assert!(lived.ledger.spilled_wh > 0.0);
    }

    proptest! {
        #[test]
        fn accounts_close(
            kind in 0usize..5,
            ah in 20.0f64..400.0,
            temp_c in -25.0f64..45.0,
            uses in prop::collection::vec(0.0f64..300.0, 24),
            suns in prop::collection::vec(0.0f64..500.0, 24),
            dull in prop::collection::vec(0.0f64..1.0, 30),
        ) {
            let profile: [f64; 24] = std::array::from_fn(|h| uses[h]);
            let days: Vec<Day> = dull.iter().map(|d| day(std::array::from_fn(|h| suns[h] * d))).collect();
            let lived = live(&tanks(Chemistry::ALL[kind], ah, temp_c), &days, &[profile], &NO_SOURCES, &mut |_, _, _| {});
            let ledger = lived.ledger;
            prop_assert!(ledger.gap_ah().abs() <= 1e-9 * (ledger.throughput_ah() + ledger.initial_ah), "{ledger:?}");
            let served = ledger.wanted_wh - ledger.unserved_wh;
            let given = (ledger.discharged_ah - ledger.charged_ah) * 12.0 + ledger.sun_wh - ledger.spilled_wh;
            prop_assert!((served - given).abs() <= 1e-9 * (ledger.wanted_wh + ledger.sun_wh), "{served} {given}");
            prop_assert!(lived.lowest.iter().all(|soc| (0.0..=1.0).contains(soc)));
        }
    }
}
