//! What lithium cells in series read at rest, worked by hand, whatever their batteries' label says.

use crate::{near, plan};
use larder::battery::Chemistry;

#[test]
fn eight_lithium_cells_read_the_same_under_each_label() {
    for (battery_v, series) in [
        (24.0, 1.0),
        (25.6, 1.0),
        (12.0, 2.0),
        (12.8, 2.0),
        (3.2, 8.0),
    ] {
        let mut hut = plan("hill-hut");
        hut.candidates.truncate(1);
        let row = &mut hut.candidates[0];
        row.chemistry = Chemistry::LithiumIronPhosphate;
        (row.battery_v, row.series, row.parallel) = (battery_v, series, 1.0);
        row.capacity_ah = 200.0;
        let report = larder::assess(&hut).expect("a sound plan");
        let what = format!("{series} of {battery_v} V");
        // Full and rested 3.375 V a cell: 27.0 V, and never above 3.40 V a cell, 27.2 V.
        near(&what, report.carries.source_v, 27.0, 1e-9);
        // 0.35 Ω Ah for 12 V over 200 Ah, two such in series: 3.5 mΩ. 637 W at 24 or 25.6 V are 26.5 or 24.9 A, which take
        // 0.093 or 0.087 V.
        near(&what, report.banks[0].loaded_full_v, 26.91, 0.01);
        // Reserve line: 1 - 0.8 / cold factor of the charge, between 20 % (3.1685 V a cell) and 30 % (3.2058 V), less the same.
        let soc = 1.0 - 0.8 / report.banks[0].cold_factor;
        assert!((0.2..0.3).contains(&soc), "{soc}");
        let rest_v = 8.0 * (3.1685 + (3.2058 - 3.1685) * (soc - 0.2) / 0.1);
        near(&what, report.banks[0].loaded_reserve_v, rest_v - 0.09, 0.01);
        // The shelf holds the whole days that are said, and a part of one more: what that day uses up to its hour.
        let shelf = &report.banks[0].shelf.portions_ah;
        let days = report.banks[0].parked.days();
        assert_eq!(
            shelf.len(),
            days.ceil() as usize,
            "{what}: {days} days, {shelf:?}"
        );
    }
}

#[test]
fn a_refill_by_engine_counts_the_chargers_own_amperes() {
    // 280 Ah of lithium at 30 A from a DC-DC charger: from the reserve line at 80 % used to 98 %, 0.78 × 280 = 218.4 Ah,
    // 7.28 h at 30 A, and 1 % more for what does not come back out; in quarter hours 7.5 h at most.
    let mut van = plan("orchard-van");
    van.candidates.truncate(1);
    let row = &mut van.candidates[0];
    row.chemistry = Chemistry::LithiumIronPhosphate;
    (row.capacity_ah, row.battery_v, row.series, row.parallel) = (280.0, 12.8, 1.0, 1.0);
    (row.depth, row.age_years) = (None, 0.0);
    van.alternator.dcdc_a = 30.0;
    let report = larder::assess(&van).expect("a sound plan");
    let hours = report.banks[0].driving_refill_h.expect("an engine");
    near("refill [h]", hours, 7.4, 0.16);
}
