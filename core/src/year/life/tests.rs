use super::*;
use crate::battery::sample::tank;
use crate::battery::{Chemistry, charging_v};
use crate::charge::Link;
use proptest::prelude::*;

fn tanks(kind: Chemistry, ah: f64, temp_c: f64) -> [Reservoir; 12] {
    std::array::from_fn(|_| tank(kind, ah, 1, temp_c, 1.0))
}

fn day(sun_w: [f64; 24]) -> Day {
    Day {
        month: 0,
        bank: 0,
        profile: 0,
        sun_w,
        drives: false,
        hooked_up: false,
    }
}

fn course(days: Vec<Day>, direct_w: [f64; 24]) -> Course {
    Course {
        days,
        draws: vec![Draw {
            direct_w,
            inverter_w: [0.0; 24],
        }],
        clock: Clock::new(1, 0.0, 0.0),
        engine: None,
        shore_w: ([0.0; 24], [0.0; 24]),
        inverter_cutoff_v: 0.0,
    }
}

fn lived(tanks: &[Reservoir; 12], course: &Course) -> Lived {
    live(tanks, course, None)
}

#[test]
fn three_days_by_hand() {
    // Lithium of 100 Ah at 25 °C, full, 22.8 W at 12 V: 1.9 A, day and night; 157.8 W of sun from 10 to 14 o'clock on the
    // second day: 135 W beyond the loads, 10 A at the charging voltage of 13.5 V.
    // Self-discharge 3 % a month is about 0.004 Ah an hour, 0.3 Ah in three days: left out of the sums, within 0.35.
    // Day 1: 100 − 24 × 1.9 = 54.4 Ah. Day 2: 10 h × 1.9 = 19, then 4 h × 10 × 0.995 = 39.8, then 10 × 1.9 = 19:
    // 54.4 − 19 + 39.8 − 19 = 56.2. Day 3: 56.2 − 45.6 = 10.6.
    let mut sun = [0.0; 24];
    sun[10..14].fill(157.8);
    let days = vec![day([0.0; 24]), day(sun), day([0.0; 24])];
    let mut soc = Vec::new();
    let lived = live(
        &tanks(Chemistry::LithiumIronPhosphate, 100.0, 25.0),
        &course(days, [22.8; 24]),
        Some(&mut |end| soc.push(end.soc)),
    );
    let ends = [23, 47, 71].map(|at: usize| soc[at] * 100.0);
    for (found, by_hand) in ends.iter().zip([54.4, 56.2, 10.6]) {
        assert!((found - by_hand).abs() < 0.35, "{found}, by hand {by_hand}");
    }
    assert_eq!(lived.ledger.unserved_wh(), 0.0);
    assert!((lived.ledger.charged_ah - 40.0).abs() < 1e-9);
    assert!((lived.ledger.sun_wh - 631.2).abs() < 1e-9 && lived.ledger.spilled_wh == 0.0);
}

#[test]
fn an_empty_bank_cuts_its_loads_inside_the_hour_and_takes_them_back() {
    let mut days = vec![day([0.0; 24]); 4];
    days.extend(vec![day([400.0; 24]); 2]);
    days.push(day([0.0; 24]));
    let lived = lived(
        &tanks(Chemistry::Agm, 80.0, 25.0),
        &course(days, [24.0; 24]),
    );
    assert!(lived.unserved_wh[1] > 0.0 && lived.unserved_wh[2] == 24.0 * 24.0);
    // Not a whole number of hours of 24 W: it was cut inside one.
    let hours = lived.unserved_wh[1] / 24.0;
    assert!((hours - hours.round()).abs() > 1e-3, "{hours}");
    // Cut loads don't run on what the sun gives until the bank has recovered.
    assert!(lived.unserved_wh[4] > 24.0 && lived.unserved_wh[4] < 4.0 * 24.0);
    assert_eq!(lived.unserved_wh[6], 0.0);
    assert!(lived.ledger.spilled_wh > 0.0);
}

#[test]
fn an_inverter_gives_up_before_the_rest() {
    let mut with_inverter = course(vec![day([0.0; 24]); 2], [12.0; 24]);
    with_inverter.draws[0].inverter_w = [12.0; 24];
    with_inverter.inverter_cutoff_v = 12.4;
    let lived = lived(&tanks(Chemistry::Agm, 100.0, 25.0), &with_inverter);
    // AGM rests at 12.4 V and carries on to 10.8 V: the inverter's loads are short, the others are not yet.
    assert!(lived.ledger.unserved_inverter_wh > 100.0);
    assert!(lived.ledger.unserved_direct_wh == 0.0);
}

#[test]
fn a_manager_lets_go_of_what_is_too_much_for_it() {
    let mut battery = tanks(Chemistry::LithiumIronPhosphate, 100.0, 25.0);
    let plain = course(vec![day([0.0; 24])], [600.0; 24]);
    assert!(lived(&battery, &plain).unserved_wh[0] < 24.0 * 600.0);
    for tank in &mut battery {
        *tank = tank.clone().with_most_out_a(40.0);
    }
    assert_eq!(lived(&battery, &plain).unserved_wh[0], 24.0 * 600.0);
}

#[test]
fn the_engine_works_for_its_minutes_and_a_full_bank_asks_for_nothing() {
    let engine = Alternator {
        rated_a: 120.0,
        hot_factor: 1.0,
        speed_factor: 1.0,
        own_draw_a: 20.0,
        volts: 14.4,
        link: Link::DcDc {
            output_a: 30.0,
            efficiency: 1.0,
            input_share: 1.0,
            volts_out: 14.4,
        },
    };
    let mut drive = course(vec![day([0.0; 24]); 2], [0.0; 24]);
    drive.engine = Some(engine);
    drive.clock = Clock::new(1, 8.5, 0.75);
    drive.days[1].drives = true;
    let tanks = tanks(Chemistry::LithiumIronPhosphate, 100.0, 25.0);
    // Nothing drawn: only what leaked away goes back.
    assert!(lived(&tanks, &drive).ledger.charged_ah < 0.5);
    drive.draws[0].direct_w = [24.0; 24];
    let ledger = lived(&tanks, &drive).ledger;
    // 30 A for 45 minutes; 2 A × 12 / 13.5 of it runs the loads.
    assert!(
        (ledger.drive_wh - 30.0 * 13.5 * 0.75).abs() < 1e-9,
        "{ledger:?}"
    );
    let kept = 30.0 * 0.75 - 24.0 / 13.5 * 0.75;
    assert!((ledger.charged_ah - kept).abs() < 1e-9);
}

#[test]
fn a_hook_up_floats_a_full_bank_and_its_hours_are_counted() {
    let mut hooked = course(vec![day([0.0; 24]); 3], [24.0; 24]);
    let (mut boost, mut float) = ([0.0; 24], [0.0; 24]);
    boost[12..18].fill(270.0);
    float[12..18].fill(20.0);
    hooked.shore_w = (boost, float);
    hooked.days[2].hooked_up = true;
    let lived = lived(
        &tanks(Chemistry::LithiumIronPhosphate, 100.0, 25.0),
        &hooked,
    );
    assert!((lived.ledger.shore_h - 6.0).abs() < 1e-9);
    assert!(lived.ledger.shore_wh > 6.0 * 24.0 && lived.ledger.shore_wh < 6.0 * 270.0);
    assert!(lived.longest_unfilled_days > 2.0);
}

#[test]
fn from_full_at_any_midnight() {
    // 24 W from 100 Ah of lithium, to its cut-off at 5.4 % about 47 hours; three dark days, then sun without end.
    let mut days = vec![day([0.0; 24]); 3];
    days.extend(vec![day([300.0; 24]); 7]);
    let tanks = tanks(Chemistry::LithiumIronPhosphate, 100.0, 25.0);
    let all = course(days, [24.0; 24]);
    let lasting = lasting_from_full(&tanks, &all);
    assert_eq!(lasting.len(), 10);
    assert!((lasting[0] - 2.0).abs() < 0.1, "{lasting:?}");
    // From the third dark day on it reaches the sun, and lasts until the dark comes again: eight days, then 47 hours.
    assert!(
        (lasting[1] - 2.0).abs() < 0.1 && (lasting[2] - 10.0).abs() < 0.1,
        "{lasting:?}"
    );
    assert!((lasting[9] - 3.0).abs() < 0.1, "{lasting:?}");
    let bright = course(vec![day([300.0; 24]); 5], [24.0; 24]);
    assert!(
        lasting_from_full(&tanks, &bright)
            .iter()
            .all(|days| days.is_infinite())
    );
}

proptest! {
    #[test]
    fn accounts_close(
        kind in 0usize..5,
        ah in 20.0f64..400.0,
        temp_c in -25.0f64..45.0,
        uses in prop::collection::vec(0.0f64..300.0, 24),
        through in prop::collection::vec(0.0f64..400.0, 24),
        suns in prop::collection::vec(0.0f64..500.0, 24),
        dull in prop::collection::vec((0.0f64..1.0, prop::bool::ANY, prop::bool::ANY), 30),
        parts in 1u32..5,
        relay in prop::bool::ANY,
        cutoff_v in 0.0f64..13.0,
    ) {
        let engine = Alternator {
            rated_a: 90.0,
            hot_factor: 0.8,
            speed_factor: 0.9,
            own_draw_a: 20.0,
            volts: 14.2,
            link: if relay {
                Link::Relay { cable_ohm: 0.01 }
            } else {
                Link::DcDc { output_a: 30.0, efficiency: 0.9, input_share: 0.5, volts_out: 14.4 }
            },
        };
        let days = dull.iter().map(|(dull, drives, hooked_up)| Day {
            drives: *drives,
            hooked_up: *hooked_up,
            ..day(std::array::from_fn(|h| suns[h] * dull))
        });
        let mut all = course(days.collect(), std::array::from_fn(|h| uses[h]));
        all.draws[0].inverter_w = std::array::from_fn(|h| (through[h] - 300.0).max(0.0));
        all.engine = Some(engine.clone());
        all.clock = Clock::new(parts, 22.7, 2.1);
        all.shore_w = ([100.0; 24], [90.0; 24]);
        all.inverter_cutoff_v = cutoff_v;
        let lived = lived(&tanks(Chemistry::ALL[kind], ah, temp_c), &all);
        let ledger = lived.ledger;
        prop_assert!(ledger.gap_ah().abs() <= 1e-9 * (ledger.throughput_ah() + ledger.initial_ah), "{ledger:?}");
        let moved = ledger.wanted_wh + ledger.sun_wh + ledger.drive_wh + ledger.shore_wh;
        prop_assert!(ledger.gap_wh(12.0, charging_v(12.0)).abs() <= 1e-9 * moved, "{ledger:?}");
        prop_assert!(lived.lowest.iter().all(|soc| (0.0..=1.0).contains(soc)));
        prop_assert!((lived.hours_at.iter().sum::<f64>() - 720.0).abs() < 1e-6);
        let unserved: f64 = lived.unserved_wh.iter().sum();
        prop_assert!((unserved - ledger.unserved_wh()).abs() < 1e-6);
    }
}
