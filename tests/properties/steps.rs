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
