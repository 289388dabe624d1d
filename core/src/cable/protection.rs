//! Fuses: which rating, how near the source, what fault they must break.

use super::start_times;

/// A kind of fuse, by the standard series of its ratings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FuseKind {
    /// Blade (types C and F of ISO 8820-3; from memory).
    Blade,
    /// Large blade (type E of ISO 8820-3; from memory).
    LargeBlade,
    /// Bolted strip.
    Strip,
    /// Bolted strip of the ANL form.
    LongStrip,
    /// On a battery terminal.
    Terminal,
    /// Fast, of high breaking capacity (class T).
    ClassT,
    /// Cylinder for panels, 10 × 38 mm (gPV of IEC 60269-6).
    Panel,
}

impl FuseKind {
    /// Ratings as sold [A]. ISO 8820 and makers' series (from memory).
    pub fn ratings(self) -> &'static [f64] {
        match self {
            Self::Blade => &[
                1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0,
            ],
            Self::LargeBlade => &[20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0],
            Self::Strip => &[
                30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 125.0, 150.0, 175.0, 200.0, 225.0,
                250.0, 300.0, 350.0, 400.0, 450.0, 500.0,
            ],
            Self::LongStrip => &[
                35.0, 40.0, 50.0, 60.0, 80.0, 100.0, 130.0, 150.0, 175.0, 200.0, 225.0, 250.0,
                275.0, 300.0, 325.0, 350.0, 400.0, 450.0, 500.0, 600.0, 675.0, 750.0,
            ],
            Self::Terminal => &[
                30.0, 40.0, 50.0, 60.0, 75.0, 80.0, 90.0, 100.0, 125.0, 150.0, 175.0, 200.0, 225.0,
                250.0, 300.0,
            ],
            Self::ClassT => &[
                110.0, 125.0, 150.0, 175.0, 200.0, 225.0, 250.0, 300.0, 350.0, 400.0, 450.0, 500.0,
                600.0, 700.0, 800.0,
            ],
            Self::Panel => &[2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0],
        }
    }

    /// Fault current that the kind breaks as a rule [A]. From memory: check the label.
    pub fn breaks_a(self) -> f64 {
        match self {
            Self::Blade => 1000.0,
            Self::LargeBlade | Self::Strip => 2000.0,
            Self::LongStrip => 6000.0,
            Self::Terminal | Self::Panel => 10_000.0,
            Self::ClassT => 20_000.0,
        }
    }
}

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

/// The kind and rating for a continuous current [A] and a start [A] under a conductor's ampacity [A] that breaks a fault [A]: the
/// least rating of the plainest kind that will do. None where no standard rating lies between.
pub fn fuse_for(
    continuous_a: f64,
    peak_a: f64,
    ampacity_a: f64,
    fault_a: f64,
) -> Option<(FuseKind, f64)> {
    use FuseKind::{Blade, ClassT, LargeBlade, LongStrip, Strip, Terminal};
    [Blade, LargeBlade, Strip, Terminal, LongStrip, ClassT]
        .into_iter()
        .filter(|kind| kind.breaks_a() >= fault_a)
        .find_map(|kind| {
            let rating = kind.ratings().iter().find(|rating| {
                **rating >= least_rating_a(continuous_a) && carries_start(kind, **rating, peak_a)
            })?;
            (*rating <= ampacity_a).then_some((kind, *rating))
        })
}

/// Fuse of one string of panels: the next rating at or above a least one [A]. The panel's sheet says which rating is the largest.
pub fn string_fuse_for(least_a: f64) -> Option<f64> {
    let mut ratings = FuseKind::Panel.ratings().iter();
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

/// Least interrupting rating of main and branch breakers at 12 and 24 V, by the bank's cranking amperes. ABYC E-11 Table 5 as
/// quoted in reprints.
pub fn least_interrupting_a(cranking_a: f64) -> [f64; 2] {
    if cranking_a <= 650.0 {
        [1500.0, 750.0]
    } else if cranking_a <= 1100.0 {
        [3000.0, 1500.0]
    } else {
        [5000.0, 2500.0]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_fuse_by_hand() {
        // 80 A on and on: at least 100 A; a 2 AWG cable of 105 °C carries 210 A; a fault of 2,500 A rules out blades and strips.
        assert_eq!(
            fuse_for(80.0, 80.0, 210.0, 2500.0),
            Some((FuseKind::Terminal, 100.0))
        );
        let blade = |rating| Some((FuseKind::Blade, rating));
        assert_eq!(fuse_for(8.0, 8.0, 20.0, 500.0), blade(10.0));
        // A start of 24 A is 2.4 times 10 A, 1.6 times 15 A, 1.2 times 20 A; a blade surely carries 1.49 times for half a second.
        assert_eq!(fuse_for(8.0, 24.0, 20.0, 500.0), blade(20.0));
        assert_eq!(fuse_for(100.0, 100.0, 110.0, 500.0), None);
    }

    proptest! {
        #[test]
        fn a_fuse_is_never_above_its_path(
            current in 0.1f64..400.0, start in 1.0f64..5.0, ampacity in 1.0f64..600.0, fault in 10.0f64..20_000.0,
        ) {
            if let Some((kind, rating)) = fuse_for(current, start * current, ampacity, fault) {
                prop_assert!(rating <= ampacity && rating >= 1.25 * current && kind.breaks_a() >= fault);
                prop_assert!(start_times(kind).is_none_or(|times| start * current <= times * rating));
            }
        }
    }
}
