//! Whether a cable bears a short circuit until its fuse has cleared it.

use super::{FuseKind, Metal};
use crate::numeric::decimal;
use std::sync::OnceLock;

/// Longest time for which the heat is held to stay in the metal, and in which the least fault must be cleared [s].
/// IEC 60364-4-43, 434.5.2.
pub const LONGEST_S: f64 = 5.0;

/// What the insulation is made of, which sets the temperature that it bears in a short circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Material {
    /// Thermoplastic, such as PVC.
    Pvc,
    /// Cross-linked, such as XLPE or EPR.
    CrossLinked,
    /// Rubber for 60 °C.
    Rubber,
}

impl Material {
    /// Temperature at the end of a short circuit [°C]: 160 PVC, 250 cross-linked, 200 rubber for 60 °C. IEC 60364-5-54
    /// annex A; PVC for 105 °C is taken to end at 160 °C as well.
    pub fn end_c(self) -> f64 {
        match self {
            Self::Pvc => 160.0,
            Self::CrossLinked => 250.0,
            Self::Rubber => 200.0,
        }
    }

    /// Highest temperature in service [°C]. Above 105 °C only cross-linked insulation is used.
    pub fn most_c(self) -> f64 {
        match self {
            Self::Pvc => 105.0,
            Self::CrossLinked => 125.0,
            Self::Rubber => 60.0,
        }
    }
}

/// Factor k of the withstand formula [A√s/mm²]: K·√ln(1 + (θf − θi)/(β + θi)), from the temperature in service θi to the end
/// temperature θf of the insulation; K and β are 226 and 234.5 for copper, 148 and 228 for aluminium. IEC 60364-5-54 annex A;
/// 115 for PVC from 70 °C and 143 for XLPE from 90 °C are the figures of IEC 60364-4-43 table 43A.
pub fn withstand_k(metal: Metal, material: Material, start_c: f64) -> f64 {
    let (scale, beta) = match metal {
        Metal::Copper | Metal::FineCopper | Metal::TinnedCopper => (226.0, 234.5),
        Metal::Aluminium => (148.0, 228.0),
    };
    scale * libm::log(1.0 + (material.end_c() - start_c) / (beta + start_c)).sqrt()
}

/// Least area that bears a let-through [mm²]: √(I²t)/k. IEC 60364-4-43, 434.5.2.
pub fn least_area_mm2(let_through_a2s: f64, k: f64) -> f64 {
    let_through_a2s.sqrt() / k
}

/// How long a load's start lasts, for which its fuse must stay whole [s]. Assumed.
pub const START_S: f64 = 0.5;

/// A point of a fuse's table: current over rating, soonest and longest time [s].
#[derive(Clone, Copy)]
struct Point {
    times: f64,
    soonest_s: f64,
    longest_s: f64,
}

/// A kind of fuse with its points.
type Curve = (FuseKind, Vec<Point>);

fn curves() -> &'static [Curve] {
    static ALL: OnceLock<Vec<Curve>> = OnceLock::new();
    ALL.get_or_init(|| {
        let kinds = [
            (FuseKind::Blade, "blade"),
            (FuseKind::LargeBlade, "large-blade"),
            (FuseKind::Strip, "strip"),
            (FuseKind::Terminal, "terminal"),
            (FuseKind::LongStrip, "long-strip"),
            (FuseKind::ClassT, "class-t"),
            (FuseKind::Cylinder, "cylinder"),
        ];
        let table = include_str!("../data/clearing.csv");
        let points = |name: &str| {
            let mine = table.lines().filter_map(|line| {
                let mut cells = line.split(',');
                if cells.next() != Some(name) {
                    return None;
                }
                let mut figure = || decimal(cells.next()?);
                Some(Point {
                    times: figure()?,
                    soonest_s: figure()?,
                    longest_s: figure()?,
                })
            });
            mine.collect()
        };
        kinds
            .into_iter()
            .map(|(kind, name)| (kind, points(name)))
            .collect()
    })
}

fn curve(kind: FuseKind) -> &'static [Point] {
    let found = curves().iter().find(|(other, _)| *other == kind);
    found.map_or(&[], |(_, points)| points.as_slice())
}

/// On a straight line on logarithmic scales through two points, the y at an x.
fn between(x: f64, low: (f64, f64), high: (f64, f64)) -> f64 {
    let along = libm::log(x / low.0) / libm::log(high.0 / low.0);
    low.1 * libm::pow(high.1 / low.1, along)
}

/// Longest time in which a kind of fuse clears a current so many times its rating [s]: straight between the table's points on
/// logarithmic scales, and beyond the last with the same let-through (assumed); none below the first.
pub fn clearing_s(kind: FuseKind, times: f64) -> Option<f64> {
    let points = curve(kind);
    let last = points.last()?;
    if times >= last.times {
        let over = last.times / times;
        return Some(last.longest_s * over * over);
    }
    let at = |point: &Point| (point.times, point.longest_s);
    let (low, high) = points
        .iter()
        .zip(points.iter().skip(1))
        .find(|(low, high)| low.times <= times && times <= high.times)?;
    Some(between(times, at(low), at(high)))
}

/// The multiple of the rating at which a column of the table comes down to a time; the first point's where it is below from the
/// start, none where it never comes so low.
fn times_at(kind: FuseKind, seconds: f64, column: fn(&Point) -> f64) -> Option<f64> {
    let points = curve(kind);
    let first = points.first()?;
    if column(first) <= seconds {
        return Some(first.times);
    }
    let at = |point: &Point| (column(point), point.times);
    let (low, high) = points
        .iter()
        .zip(points.iter().skip(1))
        .find(|(low, high)| column(low) >= seconds && column(high) <= seconds)?;
    Some(between(seconds, at(low), at(high)))
}

/// Least multiple of the rating that a kind of fuse surely clears within the longest time; none where its table does not say.
fn least_times(kind: FuseKind) -> Option<f64> {
    times_at(kind, LONGEST_S, |point| point.longest_s)
}

/// Largest multiple of its rating that a kind of fuse surely carries through a load's start; none where its table does not say.
pub fn start_times(kind: FuseKind) -> Option<f64> {
    times_at(kind, START_S, |point| point.soonest_s)
}

/// What a fault does to a run between its ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Fault {
    /// Fuse ahead.
    pub kind: FuseKind,
    /// Its rating [A].
    pub rating_a: f64,
    /// Current of a fault at the near end, the largest [A].
    pub near_a: f64,
    /// Current of a fault at the far end, the least [A].
    pub far_a: f64,
}

/// How a run stands a fault.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Withstand {
    /// Without a clearing time of its fuse.
    NotChecked,
    /// The least fault is cleared within five seconds.
    Cleared {
        /// Least area [mm²].
        least_mm2: f64,
        /// Time in which a fault at the far end is cleared [s].
        far_s: f64,
    },
    /// The least fault, at the far end, is not surely cleared within five seconds.
    TooSlow {
        /// Least area for the faults that are [mm²].
        least_mm2: f64,
    },
}

impl Withstand {
    /// Least area [mm²]; 0 where it is not checked.
    pub fn least_mm2(self) -> f64 {
        match self {
            Self::NotChecked => 0.0,
            Self::Cleared { least_mm2, .. } | Self::TooSlow { least_mm2 } => least_mm2,
        }
    }
}

impl Fault {
    /// The area that it asks for, over every place along the run at which it may happen: the let-through is largest at an end
    /// or at a point of the fuse's table between.
    pub(super) fn withstand(&self, k: f64) -> Withstand {
        let Some(least_times) = least_times(self.kind) else {
            return Withstand::NotChecked;
        };
        let (near, far) = (self.near_a / self.rating_a, self.far_a / self.rating_a);
        let low = far.max(least_times);
        let high = near.max(low);
        let between = curve(self.kind)
            .iter()
            .map(|point| point.times)
            .filter(|times| *times > low && *times < high);
        let let_through = [low, high].into_iter().chain(between).map(|times| {
            let amperes = times * self.rating_a;
            amperes * amperes * clearing_s(self.kind, times).unwrap_or(0.0)
        });
        let least_mm2 = least_area_mm2(let_through.fold(0.0, f64::max), k);
        match clearing_s(self.kind, far) {
            Some(far_s) if far >= least_times => Withstand::Cleared { least_mm2, far_s },
            _ => Withstand::TooSlow { least_mm2 },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cable::FOR_RUNS;

    #[test]
    fn the_factor_of_the_standard() {
        use Material::{CrossLinked, Pvc, Rubber};
        for (metal, material, start_c, k) in [
            (Metal::Copper, Pvc, 70.0, 115.0),
            (Metal::Copper, CrossLinked, 90.0, 143.0),
            (Metal::Aluminium, Pvc, 70.0, 76.0),
            (Metal::Aluminium, CrossLinked, 90.0, 94.0),
            (Metal::Copper, Rubber, 60.0, 141.0),
            (Metal::Copper, CrossLinked, 105.0, 135.0),
            (Metal::Copper, Pvc, 105.0, 88.0),
            (Metal::Copper, CrossLinked, 125.0, 123.5),
        ] {
            let ours = withstand_k(metal, material, start_c);
            assert!((ours - k).abs() < 0.6, "{material:?} {start_c}: {ours}");
        }
        // 1,000 A for 0.1 s: √100,000 = 316 A√s; / 115 = 2.75 mm².
        assert!((least_area_mm2(100_000.0, 115.0) - 2.75).abs() < 0.01);
    }

    #[test]
    fn a_fuse_is_never_slower_at_more() {
        for kind in FOR_RUNS.iter().copied() {
            assert_eq!(clearing_s(kind, 1.2), None);
            let times = (0..60).map(|step| 2.0 + f64::from(step) * 0.5);
            let seconds: Vec<f64> = times
                .map(|times| clearing_s(kind, times).unwrap())
                .collect();
            assert!(seconds.windows(2).all(|pair| pair[1] < pair[0]), "{kind:?}");
        }
        assert!((clearing_s(FuseKind::Blade, 3.5).unwrap() - 0.5).abs() < 1e-12);
        assert!((clearing_s(FuseKind::Blade, 12.0).unwrap() - 0.025).abs() < 1e-12);
    }

    #[test]
    fn a_fuse_carries_a_start_by_hand() {
        // Blade: 0.75 s at 1.35 times, 0.15 s at twice: ln(0.5/0.75)/ln(0.15/0.75) = 0.2519 of the way on logarithmic scales:
        // 1.35 × (2/1.35)^0.2519 = 1.490.
        assert!((start_times(FuseKind::Blade).unwrap() - 1.490).abs() < 0.001);
        // A bolted strip: 1 s at twice, 0.3 s at 3.5 times: ln(0.5)/ln(0.3) = 0.5757: 2 × 1.75^0.5757 = 2.760.
        assert!((start_times(FuseKind::Strip).unwrap() - 2.760).abs() < 0.001);
    }

    #[test]
    fn a_run_too_long_to_be_cleared() {
        let fault = Fault {
            kind: FuseKind::Blade,
            rating_a: 20.0,
            near_a: 2000.0,
            far_a: 30.0,
        };
        assert!(matches!(fault.withstand(143.0), Withstand::TooSlow { .. }));
        let near = Fault {
            far_a: 400.0,
            ..fault
        };
        let Withstand::Cleared { least_mm2, far_s } = near.withstand(143.0) else {
            panic!("cleared")
        };
        // The let-through beyond six times: (6 × 20)² × 0.1 = 1,440 A²s: 0.27 mm². At 20 times: 0.1 × (6/20)² = 0.009 s.
        assert!((least_mm2 - 1440f64.sqrt() / 143.0).abs() < 0.01 && (far_s - 0.009).abs() < 1e-9);
    }
}
