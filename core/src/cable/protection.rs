//! Fuses: which rating, how near the source, what fault they must break.

use super::{FuseKind, start_times};

/// How far from its source a fuse may stand along the cable [in]: as a rule; where the cable is sheathed or enclosed all the way
/// (33 CFR 183.455); the same from a battery's own post (ABYC E-11, from memory).
pub const WITHIN_IN: [f64; 3] = [7.0, 40.0, 72.0];

/// Least rating of a fuse against a continuous current [A]: 1.25 × (common practice in low-voltage codes).
pub fn least_rating_a(continuous_a: f64) -> f64 {
    1.25 * continuous_a
}

/// Largest device that a conductor already there may have [A]: 150 % of what it carries. 33 CFR 183.455.
pub fn device_limit_a(ampacity_a: f64) -> f64 {
    1.5 * ampacity_a
}

/// Whether a fuse surely carries a load's start, `peak_a` for [`START_S`](super::START_S); so does one whose table does not say.
pub fn carries_start(kind: FuseKind, rating_a: f64, peak_a: f64) -> bool {
    start_times(kind).is_none_or(|times| peak_a <= times * rating_a)
}

/// Kinds for a run from the bank or the bus bars, the plainest first.
pub const FOR_RUNS: &[FuseKind] = &[
    FuseKind::Blade,
    FuseKind::LargeBlade,
    FuseKind::Strip,
    FuseKind::Terminal,
    FuseKind::LongStrip,
    FuseKind::ClassT,
];
/// Kinds for one appliance on a panel: those with small ratings first.
pub const FOR_BRANCHES: &[FuseKind] = &[
    FuseKind::Blade,
    FuseKind::LargeBlade,
    FuseKind::Cylinder,
    FuseKind::Strip,
    FuseKind::Terminal,
    FuseKind::LongStrip,
    FuseKind::ClassT,
];

/// What a fuse must do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FuseDuty {
    /// Current without a break [A].
    pub continuous_a: f64,
    /// Current of a start [A].
    pub peak_a: f64,
    /// Largest rating allowed, by the conductor behind it [A].
    pub most_a: f64,
    /// Fault current to break [A].
    pub fault_a: f64,
    /// Voltage of the full bank at rest [V], at which the interrupting rating is taken.
    pub full_v: f64,
    /// Highest charging voltage [V].
    pub charging_v: f64,
}

impl FuseDuty {
    /// Whether a kind may be used at the voltages and breaks the fault.
    pub fn may(&self, kind: FuseKind) -> bool {
        kind.most_v() >= self.charging_v && kind.breaks_a(self.full_v) >= self.fault_a
    }

    /// The least rating of the first kind that will do; none where no standard rating lies between.
    pub fn fuse(&self, kinds: &[FuseKind]) -> Option<(FuseKind, f64)> {
        let kinds = kinds.iter().copied();
        kinds.filter(|kind| self.may(*kind)).find_map(|kind| {
            let rating = kind.ratings().iter().find(|rating| {
                **rating >= least_rating_a(self.continuous_a)
                    && carries_start(kind, **rating, self.peak_a)
            })?;
            (*rating <= self.most_a).then_some((kind, *rating))
        })
    }
}

/// What the lead of an appliance carries, at least [A]: 0.75 mm² or 18 AWG with insulation for 60 °C. 33 CFR 183.425.
const LEAD_A: f64 = 10.0;

/// Largest fuse of an appliance's own lead [A]: the lead is taken to carry [`LEAD_A`] at least, and twice the least rating of
/// its fuse. Assumed: its maker's figure comes first.
pub fn lead_limit_a(continuous_a: f64) -> f64 {
    (2.0 * least_rating_a(continuous_a)).max(LEAD_A)
}

/// Fuse of one string of panels: the next rating at or above a least one [A]. The panel's sheet says which rating is the largest.
pub fn string_fuse_for(least_a: f64) -> Option<f64> {
    let mut ratings = FuseKind::Cylinder.ratings().iter();
    ratings.find(|rating| **rating >= least_a).copied()
}

/// Breaker for alternating current [A]: the least preferred rating of IEC 60898-1 (5.3.2) that is no less. None above 125 A.
pub fn breaker_for(continuous_a: f64) -> Option<f64> {
    const RATINGS: [f64; 14] = [
        6.0, 8.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0,
    ];
    RATINGS.into_iter().find(|rating| *rating >= continuous_a)
}

/// Prospective short-circuit current [A]: V / (R / n + R of the cable). The way of IEC 60896-21.
pub fn short_circuit_a(volts: f64, battery_ohm: f64, parallel: f64, cable_ohm: f64) -> f64 {
    volts / (battery_ohm / parallel + cable_ohm)
}

/// Least interrupting rating of main and branch breakers at 12 and 24 V [A], by the bank's cranking amperes. ABYC E-11 Table 5
/// as quoted in reprints; taken for higher voltages too (assumed).
pub fn least_interrupting_a(cranking_a: f64) -> [f64; 2] {
    if cranking_a <= 650.0 {
        [1500.0, 750.0]
    } else if cranking_a <= 1100.0 {
        [3000.0, 1500.0]
    } else {
        [5000.0, 2500.0]
    }
}

/// Cranking amperes and capacity [A, Ah] above which a bank is large. ABYC E-11.
pub const LARGE_BANK: (f64, f64) = (2200.0, 500.0);
/// Least interrupting rating of a large bank's main device where the fault is over [`LARGE_FAULT_A`], and of every lithium
/// battery's [A]. ABYC E-11.
pub const LARGE_BREAKS_A: f64 = 20_000.0;
/// Fault current above which a large bank's main device needs [`LARGE_BREAKS_A`] [A]. ABYC E-11.
const LARGE_FAULT_A: f64 = 10_000.0;

/// Least interrupting rating of the main device of a large bank [A] by its short-circuit current: at least that, or 20 kA where
/// that is over 10 kA. ABYC E-11.
pub fn least_interrupting_large_a(short_circuit_a: f64) -> f64 {
    if short_circuit_a > LARGE_FAULT_A {
        LARGE_BREAKS_A
    } else {
        short_circuit_a
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn duty(continuous_a: f64, peak_a: f64, most_a: f64, fault_a: f64) -> FuseDuty {
        FuseDuty {
            continuous_a,
            peak_a,
            most_a,
            fault_a,
            full_v: 12.7,
            charging_v: 14.4,
        }
    }

    #[test]
    fn a_fuse_by_hand() {
        // 80 A: at least 100 A; a 2 AWG cable of 105 °C carries 210 A; a fault of 2,500 A rules out blades and strips.
        assert_eq!(
            duty(80.0, 80.0, 210.0, 2500.0).fuse(FOR_RUNS),
            Some((FuseKind::Terminal, 100.0))
        );
        let blade = |rating| Some((FuseKind::Blade, rating));
        assert_eq!(duty(8.0, 8.0, 20.0, 500.0).fuse(FOR_RUNS), blade(10.0));
        // A start of 24 A is 2.4 times 10 A, 1.6 times 15 A, 1.2 times 20 A; a blade surely carries 1.49 times for half a second.
        assert_eq!(duty(8.0, 24.0, 20.0, 500.0).fuse(FOR_RUNS), blade(20.0));
        assert_eq!(duty(100.0, 100.0, 110.0, 500.0).fuse(FOR_RUNS), None);
    }

    #[test]
    fn a_fuse_by_its_voltage() {
        let at = |full_v, charging_v, fault_a| {
            FuseDuty {
                full_v,
                charging_v,
                ..duty(8.0, 8.0, 100.0, fault_a)
            }
            .fuse(FOR_RUNS)
        };
        // 24 V: a terminal fuse breaks 5 kA. 48 V: 2 kA, and blades end at 32 V. Charged to 58.4 V a terminal fuse (58 V) ends too.
        assert_eq!(at(25.5, 28.8, 4900.0), Some((FuseKind::Terminal, 30.0)));
        assert_eq!(at(25.5, 28.8, 5100.0), Some((FuseKind::LongStrip, 35.0)));
        assert_eq!(at(54.0, 56.8, 500.0), Some((FuseKind::Terminal, 30.0)));
        assert_eq!(at(54.0, 58.4, 500.0), Some((FuseKind::ClassT, 10.0)));
    }

    #[test]
    fn an_anchor_light_has_a_small_fuse_whatever_the_fault() {
        for (fault_a, kind) in [
            (900.0, FuseKind::Blade),
            (2500.0, FuseKind::Cylinder),
            (12_000.0, FuseKind::ClassT),
        ] {
            let light = duty(0.2, 0.2, lead_limit_a(0.2), fault_a);
            assert_eq!(light.fuse(FOR_BRANCHES), Some((kind, 1.0)));
        }
    }

    #[test]
    fn a_large_bank_by_its_short_circuit() {
        assert_eq!(least_interrupting_large_a(9500.0), 9500.0);
        assert_eq!(least_interrupting_large_a(10_500.0), 20_000.0);
    }

    proptest! {
        #[test]
        fn a_fuse_is_never_above_its_path(
            current in 0.1f64..400.0, start in 1.0f64..5.0, ampacity in 1.0f64..600.0, fault in 10.0f64..20_000.0,
            blocks in 1u32..5, branch in proptest::bool::ANY,
        ) {
            let volts = f64::from(blocks);
            let duty = FuseDuty {
                full_v: 13.0 * volts, charging_v: 14.4 * volts, ..duty(current, start * current, ampacity, fault)
            };
            if let Some((kind, rating)) = duty.fuse(if branch { FOR_BRANCHES } else { FOR_RUNS }) {
                prop_assert!(rating <= ampacity && rating >= 1.25 * current);
                prop_assert!(kind.breaks_a(duty.full_v) >= fault && kind.most_v() >= duty.charging_v);
                prop_assert!(start_times(kind).is_none_or(|times| start * current <= times * rating));
            }
        }
    }
}
