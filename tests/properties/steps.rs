//! Shorter steps hardly change a year.

use super::sensible::plan;

const PLANS: u64 = 200;

#[test]
fn quarter_hours_tell_what_hours_tell() {
    let (mut worst_state, mut worst_days, mut short_plans, mut wrong) =
        (0.0f64, 0u32, 0, Vec::new());
    for seed in 0..PLANS {
        let inputs =
            larder::import(&plan(seed)).unwrap_or_else(|faults| panic!("{seed}: {faults:?}"));
        let (hours, quarters) = (
            larder::year_in_parts(&inputs, 1),
            larder::year_in_parts(&inputs, 4),
        );
        let (hours, quarters) = (&hours.banks[0], &quarters.banks[0]);
        let least = |days: &[f64]| days.iter().copied().fold(1.0, f64::min);
        let state = (least(&hours.lowest_soc) - least(&quarters.lowest_soc)).abs();
        let days = hours.short_days.abs_diff(quarters.short_days);
        short_plans += u32::from(hours.short_days > 0);
        worst_state = worst_state.max(state);
        worst_days = worst_days.max(days);
        if days > 1 {
            wrong.push((seed, state, hours.short_days, quarters.short_days));
        }
        assert!(state <= 0.02, "{seed}: {state}");
    }
    println!(
        "{PLANS} plans, {short_plans} of them short at times: hours against quarters, lowest state within {:.3} %, days short within {worst_days}",
        worst_state * 100.0
    );
    assert!(
        (40..180).contains(&short_plans),
        "{short_plans} plans run short: no test"
    );
    assert!(worst_days <= 1, "{wrong:?}");
}

#[test]
fn what_goes_short_on_direct_current_is_told_by_load_to_the_last_watt_hour() {
    let mut lacking = 0;
    for seed in 0..40 {
        let plan = plan(seed);
        let year = larder::year(&plan).expect("sound");
        let bank = &year.banks[0];
        let direct = bank.unserved_by_load.iter().filter(|short| {
            let mut loads = plan.loads.iter();
            loads.any(|load| load.id == short.id && load.supply == larder::plan::Supply::Dc)
        });
        let by_load: f64 = direct.map(|short| short.wh).sum();
        let booked = bank.ledger.unserved_direct_wh;
        assert!(
            (by_load - booked).abs() <= 1e-6 * booked.max(1.0),
            "{seed}: {by_load} {booked}"
        );
        lacking += u32::from(booked > 0.0);
    }
    assert!((5..40).contains(&lacking), "{lacking} plans lack anything");
}
