//! From a label's ratings to the wells.

use super::{Battery, SecondRating, Wells, hours_at};
use crate::numeric::{least_where, root_between};

/// Hours of the second rating that a default exponent stands for, where the label gives one. Assumed.
const SECOND_H: f64 = 5.0;
/// From this ratio of two capacities on, one well is told from two no longer.
const ONE_WELL_RATIO: f64 = 0.999;
/// From this share on, one well is told from two no longer.
const ONE_WELL_C: f64 = 0.995;
/// Rate at which one well levels [1/h]: at once.
const AT_ONCE_PER_H: f64 = 1e3;
/// Peukert exponents that batteries have.
const EXPONENTS: std::ops::RangeInclusive<f64> = 1.0..=1.6;

/// How well a label could be met.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FitVerdict {
    /// Both ratings are met.
    Good,
    /// The second rating is the default exponent's.
    Assumed,
    /// The ratings are so alike that one well does.
    OneWell,
    /// Both ratings are met with a smaller available well than is usual.
    LoweredC,
    /// The ratings can't both be true; the first is met.
    CannotBothBeTrue,
    /// The ratings' Peukert exponent is none that batteries have; the first is met.
    ExponentOutOfRange,
}

/// What a label comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitted {
    /// The wells of one battery.
    pub wells: Wells,
    /// The Peukert exponent that it goes by.
    pub exponent: f64,
    /// How well the label could be met.
    pub verdict: FitVerdict,
}

/// Fits a battery's label.
pub fn fit(battery: &Battery) -> Fitted {
    let traits = battery.chemistry.traits();
    let label = &battery.label;
    let first = (label.capacity_ah, label.hours);
    let assumed = |verdict: FitVerdict| {
        let k = traits.peukert;
        if traits.kinetic_c >= ONE_WELL_C {
            return Fitted {
                wells: one_well(label.capacity_ah),
                exponent: k,
                verdict,
            };
        }
        // The current at which it lasts five hours: t = H (C/(I H))^k solved for I.
        let current = label.capacity_ah / label.hours * libm::pow(label.hours / SECOND_H, 1.0 / k);
        let hours = hours_at(label.capacity_ah, label.hours, k, current);
        let (wells, _) = fit_wells(traits.kinetic_c, first, (current * hours, hours));
        Fitted {
            wells,
            exponent: k,
            verdict,
        }
    };
    // To say the same twice tells no more.
    let second = label.second.map(SecondRating::capacity_and_hours);
    let Some(second) = second.filter(|second| *second != first) else {
        return assumed(FitVerdict::Assumed);
    };
    let k = match label.exponent() {
        Some(k) if EXPONENTS.contains(&k) => k,
        Some(k) if k > *EXPONENTS.end() => return assumed(FitVerdict::ExponentOutOfRange),
        _ => return assumed(FitVerdict::CannotBothBeTrue),
    };
    let (wells, verdict) = fit_wells(traits.kinetic_c, first, second);
    Fitted {
        wells,
        exponent: k,
        verdict,
    }
}

/// One well: all charge at hand at once.
fn one_well(capacity_ah: f64) -> Wells {
    Wells {
        c: 1.0,
        k_per_h: AT_ONCE_PER_H,
        q_max_ah: capacity_ah,
    }
}

/// Wells that give two capacities, each (Ah, h), with the chemistry's `c`.
///
/// The ratio of the two capacities falls and rises again with k': of two roots the one above the ratio's least value is
/// taken (the other says that even a slow discharge leaves most behind). A ratio below the least lowers `c`.
pub fn fit_wells(c: f64, first: (f64, f64), second: (f64, f64)) -> (Wells, FitVerdict) {
    let (slow, fast) = if first.1 >= second.1 {
        (first, second)
    } else {
        (second, first)
    };
    let ratio = fast.0 / slow.0;
    if ratio >= ONE_WELL_RATIO {
        return (one_well(first.0), FitVerdict::OneWell);
    }
    let of = |c: f64, k: f64| {
        let wells = Wells {
            c,
            k_per_h: k,
            q_max_ah: 1.0,
        };
        wells.capacity_ah(fast.1) / wells.capacity_ah(slow.1)
    };
    let (least_k, least) = least_ratio(|k| of(c, k));
    let (c, low_k, verdict) = if ratio >= least {
        (c, least_k, FitVerdict::Good)
    } else {
        // A smaller available well reaches lower ratios; the largest that reaches it is taken.
        let reached = least_where(
            |gone| least_ratio(|k| of(c * (1.0 - gone), k)).1 <= ratio,
            0.0,
            0.999,
            1e-12,
        );
        match reached {
            Some(gone) => {
                let lower = c * (1.0 - gone);
                (lower, least_ratio(|k| of(lower, k)).0, FitVerdict::LoweredC)
            }
            None => return (one_well(first.0), FitVerdict::CannotBothBeTrue),
        }
    };
    let high_ln = libm::log(AT_ONCE_PER_H);
    let root = root_between(
        |ln_k| of(c, libm::exp(ln_k)) - ratio,
        libm::log(low_k),
        high_ln,
        1e-14,
    );
    let k_per_h = root.map_or(low_k, libm::exp);
    let unit = Wells {
        c,
        k_per_h,
        q_max_ah: 1.0,
    };
    (
        Wells {
            q_max_ah: slow.0 / unit.capacity_ah(slow.1),
            ..unit
        },
        verdict,
    )
}

/// The rate [1/h] at which a ratio is least, and that ratio: golden-section search over ln k'.
fn least_ratio(ratio: impl Fn(f64) -> f64) -> (f64, f64) {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let at = |ln_k: f64| ratio(libm::exp(ln_k));
    let (mut low, mut high) = (libm::log(1e-5), libm::log(AT_ONCE_PER_H));
    let (mut a, mut b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut at_a, mut at_b) = (at(a), at(b));
    for _ in 0..60 {
        if at_a < at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - GOLDEN * (high - low);
            at_a = at(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + GOLDEN * (high - low);
            at_b = at(b);
        }
    }
    let ln_k = f64::midpoint(low, high);
    (libm::exp(ln_k), at(ln_k))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::battery::{Chemistry, Label};

    fn agm(second: Option<SecondRating>) -> Battery {
        Battery {
            chemistry: Chemistry::Agm,
            label: Label {
                volts: 12.0,
                capacity_ah: 100.0,
                hours: 20.0,
                second,
            },
            max_discharge_a: None,
            max_charge_a: None,
        }
    }

    #[test]
    fn both_ratings_come_back() {
        for (second, ah, hours) in [
            (SecondRating::ReserveMinutes(180.0), 75.0, 3.0),
            (
                SecondRating::Capacity {
                    ah: 85.0,
                    hours: 5.0,
                },
                85.0,
                5.0,
            ),
            (
                SecondRating::Capacity {
                    ah: 112.0,
                    hours: 100.0,
                },
                112.0,
                100.0,
            ),
        ] {
            let fitted = fit(&agm(Some(second)));
            assert!(
                (fitted.wells.capacity_ah(20.0) / 100.0 - 1.0).abs() < 1e-3,
                "{fitted:?}"
            );
            assert!(
                (fitted.wells.capacity_ah(hours) / ah - 1.0).abs() < 1e-3,
                "{fitted:?}"
            );
        }
    }

    #[test]
    fn the_least_ratio_at_the_usual_share_is_the_designs() {
        let (_, least) = least_ratio(|k| {
            let wells = Wells {
                c: 0.37,
                k_per_h: k,
                q_max_ah: 1.0,
            };
            wells.capacity_ah(3.0) / wells.capacity_ah(20.0)
        });
        assert!((least - 0.604).abs() < 5e-4, "{least}");
        let (wells, verdict) = fit_wells(0.37, (100.0, 20.0), (50.0, 3.0));
        assert_eq!(verdict, FitVerdict::LoweredC);
        assert!(
            wells.c < 0.37 && (wells.capacity_ah(3.0) / wells.capacity_ah(20.0) - 0.5).abs() < 1e-4
        );
    }

    #[test]
    fn ratings_that_no_battery_has_keep_the_first() {
        let fitted = fit(&agm(Some(SecondRating::Capacity {
            ah: 120.0,
            hours: 5.0,
        })));
        assert_eq!(fitted.verdict, FitVerdict::CannotBothBeTrue);
        assert!((fitted.wells.capacity_ah(20.0) - 100.0).abs() < 1e-6);
        let fitted = fit(&agm(Some(SecondRating::Capacity {
            ah: 45.0,
            hours: 5.0,
        })));
        assert_eq!(fitted.verdict, FitVerdict::ExponentOutOfRange);
        assert_eq!(fitted.exponent, 1.15, "what it goes by");
        // Both at 5 A, and yet one lasts longer.
        let fitted = fit(&agm(Some(SecondRating::Capacity {
            ah: 50.0,
            hours: 10.0,
        })));
        assert_eq!(fitted.verdict, FitVerdict::CannotBothBeTrue);
        assert_eq!(fitted.exponent, 1.15);
        let same = fit(&agm(Some(SecondRating::Capacity {
            ah: 100.0,
            hours: 20.0,
        })));
        assert_eq!(same, fit(&agm(None)));
        let fitted = fit(&agm(Some(SecondRating::Capacity {
            ah: 100.0,
            hours: 10.0,
        })));
        assert_eq!(fitted.verdict, FitVerdict::OneWell);
    }

    #[test]
    fn one_rating_takes_the_default_exponent() {
        let fitted = fit(&agm(None));
        assert_eq!(fitted.verdict, FitVerdict::Assumed);
        assert!((fitted.wells.capacity_ah(20.0) - 100.0).abs() < 1e-6);
        let five = 100.0 / 20.0 * libm::pow(4.0, 1.0 / 1.15) * 5.0;
        assert!((fitted.wells.capacity_ah(5.0) - five).abs() < 1e-6);
    }
}
