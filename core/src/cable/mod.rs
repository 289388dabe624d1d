//! What carries the current and what holds the weight: conductors, protection, link bars, fixings, air.
//! May use the table of ampacities; knows nothing of a plan.
//! Architecture invariant: a longer run never gives a thinner cable, a hotter place never more current, and a fuse is never
//! above what its conductor allows; the shares of strings side by side add up to one.

mod bar;
mod bend;
mod conductor;
mod fuse;
mod holding;
mod network;
mod protection;
mod screw;
mod sizing;
mod ventilation;
mod withstand;

pub use bar::{Alloy, Bar, Surface, joint_bolt_mm, overlap_mm};
pub use bend::{about_thick_mm, bend_takes_mm};
pub use conductor::{
    Gauge, Metal, ampacity_a, area_mm2_of_awg, circular_mils, diameter_in, drop_v, drop_v_iso10133,
    engine_space_factor, resistance_ohm_m, tinned_share, to_20_c,
};
pub use fuse::FuseKind;
pub use holding::{
    Bolt, MAY_MOVE, force_n, pitch_mm, pull_test_n, stress_area_inch_mm2, stress_area_metric_mm2,
};
pub use network::{Branch, Paralleled, Strand, TakeOff, branch_currents, imbalance, joining_a};
pub use protection::{
    FOR_BRANCHES, FOR_RUNS, FuseDuty, LARGE_BANK, LARGE_BREAKS_A, WITHIN_IN, breaker_for,
    carries_start, device_limit_a, lead_limit_a, least_interrupting_a, least_interrupting_large_a,
    least_rating_a, short_circuit_a, string_fuse_for,
};
pub use screw::{
    Hole, Screw, clearance_mm, edge_mm, engagement_mm, next_length_mm, screw, strap_n,
    tapping_drill_mm, washer_mm,
};
pub use sizing::{Ahead, Bound, Run, Sized, Source, air_factor, bundle_factor, owned, size};
pub use ventilation::{Ventilation, gassing_ma_ah, ventilation};
pub use withstand::{
    LONGEST_S, Material, START_S, Withstand, clearing_s, least_area_mm2, start_times, withstand_k,
};
