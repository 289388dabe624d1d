use super::*;
use crate::energy::inverter::tests::inverter;
use crate::energy::load::tests::{any_load, hours, load};
use crate::energy::{Window, coincident, energy_wh};
use proptest::prelude::*;

const MILD: HourTemps = HourTemps {
    cabin_c: [20.0; 24],
    outdoors_c: [10.0; 24],
};

fn assert_near(computed: f64, expected: f64) {
    assert!(
        (computed - expected).abs() <= 1e-9 * expected.abs().max(1.0),
        "{computed} against {expected}"
    );
}

fn fridge(duty_ref: f64) -> Usage {
    Usage::Thermostat {
        set_c: 4.0,
        ref_c: 32.0,
        duty_ref,
        window: Window::WHOLE_DAY,
    }
}

#[test]
fn lamps_in_the_evening() {
    // Four lamps of 5 W, 3 h between 21:30 and 01:30: 15 W in the hours 22, 23 and 0, half of it at both ends.
    let mut lamps = load(1, 5.0, Supply::Dc, hours(3.0, 21 * 60 + 30, 90));
    lamps.count = 4.0;
    let day = Consumption::new(&[lamps], None).detail(DayKind::Parked, 0, &MILD);
    let mut expected = [0.0; 24];
    expected[21] = 7.5;
    expected[22] = 15.0;
    expected[23] = 15.0;
    expected[0] = 15.0;
    expected[1] = 7.5;
    for (computed, expected) in day.hourly_w.into_iter().zip(expected) {
        assert_near(computed, expected);
    }
    assert_near(day.total_wh, energy_wh(5.0, 4.0, 3.0));
    assert_near(day.loads[0].running_h, 3.0);
}

#[test]
fn a_drill_in_short_runs() {
    // A public battery FAQ, section 7.9.1: 25 uses of 15 s at 5 A and 120 V are 0.52 Ah.
    let usage = Usage::Runs {
        runs: 25.0,
        minutes: 0.25,
        window: Window {
            from_min: 480,
            to_min: 1020,
        },
    };
    let day = Consumption::new(&[load(1, 600.0, Supply::Dc, usage)], None);
    let total_wh = day.detail(DayKind::Parked, 0, &MILD).total_wh;
    assert!((total_wh / 120.0 - 0.52).abs() < 0.03);
}

#[test]
fn a_fridge_follows_its_air() {
    let mut cool_box = load(1, 45.0, Supply::Dc, fridge(0.4));
    let in_cabin = Consumption::new(std::slice::from_ref(&cool_box), None);
    let day = in_cabin.detail(DayKind::Parked, 0, &MILD);
    assert_near(day.loads[0].running_h, 24.0 * 0.4 * 16.0 / 28.0);
    assert!(!day.loads[0].saturated);
    cool_box.ambient = Ambient::Outdoors;
    let outdoors = Consumption::new(&[cool_box], None);
    let day = outdoors.detail(DayKind::Parked, 0, &MILD);
    assert_near(day.total_wh, 45.0 * 24.0 * 0.4 * 6.0 / 28.0);
}

#[test]
fn a_fridge_that_cannot_hold_its_set_point_says_so() {
    let consumption = Consumption::new(&[load(1, 45.0, Supply::Dc, fridge(0.8))], None);
    let mut hot = MILD;
    hot.cabin_c[15] = 45.0;
    let day = consumption.detail(DayKind::Parked, 6, &hot);
    assert!(day.loads[0].saturated);
    assert_eq!(day.hourly_w[15], 45.0);
    assert_eq!(day.largest_hour, 15);
    assert!(!consumption.detail(DayKind::Parked, 6, &MILD).loads[0].saturated);
}

#[test]
fn heat_outside_the_window_does_not_saturate() {
    let usage = Usage::Thermostat {
        set_c: 4.0,
        ref_c: 32.0,
        duty_ref: 0.8,
        window: Window {
            from_min: 1200,
            to_min: 480,
        },
    };
    let consumption = Consumption::new(&[load(1, 45.0, Supply::Dc, usage)], None);
    let mut hot = MILD;
    hot.cabin_c[15] = 45.0;
    let day = consumption.detail(DayKind::Parked, 6, &hot);
    assert!(!day.loads[0].saturated);
    assert_eq!(day.hourly_w[15], 0.0);
}

#[test]
fn losses_are_those_at_running_power() {
    // p0 = 0.01, a = 0.04, b = 0.09 (see inverter.rs): 500 W loses 20 + 22.5 W, whatever its mean over the hour.
    let kettle = load(1, 500.0, Supply::Ac, hours(0.5, 420, 480));
    let inverter = inverter(10.0, 1.0 / 1.1, Some(1.0 / 1.14));
    let day = Consumption::new(&[kettle], Some(&inverter)).detail(DayKind::Parked, 0, &MILD);
    assert_near(day.loads[0].loss_wh, 21.25);
    assert_near(day.loads[0].wh, 271.25);
    assert_near(day.idle_wh, 5.0);
    assert_near(day.total_wh, 276.25);
}

#[test]
fn the_items_of_a_load_lose_together() {
    let mut pair = load(1, 250.0, Supply::Ac, hours(1.0, 420, 480));
    pair.count = 2.0;
    let inverter = inverter(10.0, 1.0 / 1.1, Some(1.0 / 1.14));
    let day = Consumption::new(&[pair], Some(&inverter)).detail(DayKind::Parked, 0, &MILD);
    assert_near(day.loads[0].loss_wh, 42.5);
}

#[test]
fn own_draw_with_loads_or_all_day() {
    let loads = [
        load(1, 100.0, Supply::Ac, hours(1.0, 600, 720)),
        load(2, 100.0, Supply::Ac, hours(0.25, 600, 660)),
        load(3, 100.0, Supply::Dc, Usage::Always),
    ];
    let mut inverter = inverter(10.0, 0.9, None);
    let day = Consumption::new(&loads, Some(&inverter)).detail(DayKind::Parked, 0, &MILD);
    // Hour 10: 1 − 0.5·0.75; hour 11: 0.5.
    assert_near(day.idle_hourly_w[10], 6.25);
    assert_near(day.idle_hourly_w[11], 5.0);
    assert_near(day.idle_wh, 11.25);
    inverter.idle = Idle::AllDay;
    let consumption = Consumption::new(&loads, Some(&inverter));
    assert_near(consumption.detail(DayKind::Away, 0, &MILD).idle_wh, 240.0);
    assert_eq!(consumption.detail(DayKind::HookedUp, 0, &MILD).idle_wh, 0.0);
}

#[test]
fn a_hook_up_feeds_what_runs_on_ac() {
    let loads = [
        load(1, 100.0, Supply::Ac, Usage::Always),
        load(2, 10.0, Supply::Dc, Usage::Always),
    ];
    let inverter = inverter(10.0, 0.9, None);
    let day = Consumption::new(&loads, Some(&inverter)).detail(DayKind::HookedUp, 0, &MILD);
    assert!(day.loads[0].from_shore && !day.loads[1].from_shore);
    assert_eq!((day.loads[0].wh, day.loads[0].running_h), (0.0, 24.0));
    assert_near(day.total_wh, 240.0);
}

#[test]
fn ac_without_an_inverter_is_told() {
    let on_ac = [load(1, 100.0, Supply::Ac, Usage::Always)];
    let consumption = Consumption::new(&on_ac, None);
    assert!(consumption.lacks_inverter());
    assert_near(
        consumption.detail(DayKind::Parked, 0, &MILD).total_wh,
        2400.0,
    );
    assert!(!Consumption::new(&on_ac, Some(&inverter(10.0, 0.9, None))).lacks_inverter());
    assert!(!Consumption::new(&[load(1, 9.0, Supply::Dc, Usage::Always)], None).lacks_inverter());
}

#[test]
fn none_of_a_load_wakes_no_inverter() {
    let mut none = load(1, 100.0, Supply::Ac, Usage::Always);
    none.count = 0.0;
    let rows = [none];
    let inverter = inverter(10.0, 0.9, None);
    let day = Consumption::new(&rows, Some(&inverter)).detail(DayKind::Parked, 0, &MILD);
    assert_eq!((day.total_wh, day.loads.len()), (0.0, 0));
    assert!(!Consumption::new(&rows, None).lacks_inverter());
}

fn any_temps() -> impl Strategy<Value = HourTemps> {
    let hours = || prop::array::uniform24(-30.0..50.0f64);
    (hours(), hours()).prop_map(|(cabin_c, outdoors_c)| HourTemps {
        cabin_c,
        outdoors_c,
    })
}

fn any_inverter() -> impl Strategy<Value = Option<Inverter>> {
    let label = (0.0..60.0f64, 0.6..0.99f64, prop::option::of(0.5..0.99f64));
    let any = (label, any::<bool>()).prop_map(|((idle_w, peak, rated), all_day)| Inverter {
        idle: if all_day {
            Idle::AllDay
        } else {
            Idle::WithLoads
        },
        ..inverter(idle_w, peak, rated)
    });
    prop::option::of(any)
}

fn any_kind() -> impl Strategy<Value = DayKind> {
    prop::sample::select(&DayKind::ALL[..])
}

proptest! {
    #[test]
    fn energy_is_power_times_hours(mut load in any_load(), kind in any_kind()) {
        load.supply = Supply::Dc;
        load.count += 1.0;
        load.days = [true; 4];
        load.months = [true; 12];
        let day = Consumption::new(std::slice::from_ref(&load), None).detail(kind, 0, &MILD);
        let hours = load.usage.running_h().unwrap_or(day.loads[0].running_h);
        let expected = energy_wh(load.power_w, load.count, hours);
        prop_assert!((day.total_wh - expected).abs() <= 1e-12 * expected.max(1.0));
    }

    #[test]
    fn the_hours_sum_to_the_loads(
        loads in prop::collection::vec(any_load(), 0..12), inverter in any_inverter(),
        kind in any_kind(), month in 0usize..12, temps in any_temps(),
    ) {
        let consumption = Consumption::new(&loads, inverter.as_ref());
        let day = consumption.detail(kind, month, &temps);
        prop_assert_eq!(day.hourly_w, consumption.hourly_w(kind, month, &temps));
        let by_load: f64 = day.loads.iter().map(|load| load.wh).sum();
        prop_assert!((day.total_wh - by_load - day.idle_wh).abs() <= 1e-12 * day.total_wh.max(1.0));
        for hour in 0..24 {
            let by_load: f64 = day.loads.iter().map(|load| load.hourly_w[hour]).sum();
            let by_load = by_load + day.idle_hourly_w[hour];
            prop_assert!((day.hourly_w[hour] - by_load).abs() <= 1e-12 * by_load.max(1.0));
            prop_assert!(day.hourly_w[hour] <= day.hourly_w[day.largest_hour]);
        }
        for load in &day.loads {
            prop_assert!((0.0..=24.0 + 1e-12).contains(&load.running_h) && load.loss_wh >= 0.0);
        }
    }

    #[test]
    fn own_draw_is_for_no_more_than_the_hour(
        loads in prop::collection::vec(any_load(), 0..12), kind in any_kind(), temps in any_temps(),
    ) {
        let inverter = inverter(10.0, 0.9, None);
        let day = Consumption::new(&loads, Some(&inverter)).detail(kind, 0, &temps);
        for idle_w in day.idle_hourly_w {
            prop_assert!((0.0..=10.0 + 1e-12).contains(&idle_w));
        }
    }

    #[test]
    fn no_hour_takes_more_than_the_largest_draw_at_once(
        loads in prop::collection::vec(any_load(), 0..12), inverter in any_inverter(),
        kind in any_kind(), month in 0usize..12, temps in any_temps(),
    ) {
        let most_w = coincident(&loads, inverter.as_ref(), kind).dc_running_w;
        let hourly_w = Consumption::new(&loads, inverter.as_ref()).hourly_w(kind, month, &temps);
        for hour_w in hourly_w {
            prop_assert!(hour_w <= most_w * (1.0 + 1e-12), "{} above {}", hour_w, most_w);
        }
    }
}
