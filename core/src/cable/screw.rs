//! Holes and screws of a hold-down: drills, distance to an edge, length, preload.

use super::holding::{Bolt, pitch_mm, stress_area_metric_mm2};

/// What a screw goes into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hole {
    /// Through, with a nut behind.
    Nut,
    /// A thread tapped in steel.
    Steel,
    /// A thread tapped in aluminium.
    Aluminium,
    /// A threaded insert.
    Insert,
}

/// Share of the proof load that a screw is drawn up to. Common practice, no source (0.6 to 0.75).
const PRELOAD_SHARE: f64 = 0.6;
/// Torque over preload and diameter, dry zinc-plated steel. Common practice, no source (0.15 to 0.25).
const NUT_FACTOR: f64 = 0.2;
/// Friction of a case on its floor. Assumed, on the safe side.
const FRICTION: f64 = 0.2;

/// Clearance hole for a screw [mm], medium series. ISO 273 (from memory): 5.5, 6.6, 9, 11, 13.5 for M5 to M12.
pub fn clearance_mm(thread_mm: f64) -> Option<f64> {
    const MEDIUM: [(f64, f64); 7] = [
        (4.0, 4.5),
        (5.0, 5.5),
        (6.0, 6.6),
        (8.0, 9.0),
        (10.0, 11.0),
        (12.0, 13.5),
        (16.0, 17.5),
    ];
    let found = MEDIUM.iter().find(|(thread, _)| *thread == thread_mm);
    found.map(|(_, hole)| *hole)
}

/// Drill before a tap [mm]: diameter less pitch, to the next tenth below. ISO 2306 (from memory; 5.0, 6.8, 8.5 for M6 to M10).
pub fn tapping_drill_mm(thread_mm: f64) -> Option<f64> {
    let drill = thread_mm - pitch_mm(thread_mm)?;
    Some(((drill + 0.05) * 10.0 + 1e-9).floor() / 10.0)
}

/// Least distance from a hole's middle to an edge [mm]: 1.2 times the hole. EN 1993-1-8 table 3.3.
pub fn edge_mm(hole_mm: f64) -> f64 {
    1.2 * hole_mm
}

/// Thread that must be in what it goes into [mm]: a nut's height of 0.8 diameters and two turns beyond (ISO 4032, rounded), one
/// diameter in steel, two in aluminium, one and a half in an insert (common practice, no source; the insert's maker says).
pub fn engagement_mm(thread_mm: f64, into: Hole) -> Option<f64> {
    let pitch = pitch_mm(thread_mm)?;
    Some(match into {
        Hole::Nut => 0.85 * thread_mm + 2.0 * pitch,
        Hole::Steel => thread_mm,
        Hole::Aluminium => 2.0 * thread_mm,
        Hole::Insert => 1.5 * thread_mm,
    })
}

/// Thickness of a plain washer [mm]. ISO 7089 (from memory).
pub fn washer_mm(thread_mm: f64) -> f64 {
    if thread_mm < 10.0 { 1.6 } else { 2.0 }
}

/// Length of a screw as sold, next at or above [mm]. ISO 888 (from memory).
pub fn next_length_mm(least_mm: f64) -> Option<f64> {
    const SOLD: [f64; 26] = [
        8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0,
        75.0, 80.0, 90.0, 100.0, 110.0, 120.0, 130.0, 140.0, 150.0, 160.0, 180.0,
    ];
    SOLD.into_iter().find(|length| *length >= least_mm - 1e-9)
}

/// A screw with its hole.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Screw {
    /// Thread [mm].
    pub thread_mm: f64,
    /// Clearance hole [mm].
    pub clearance_mm: f64,
    /// Drill before the tap [mm]; none where nothing is tapped.
    pub drill_mm: Option<f64>,
    /// Least distance of the hole's middle from an edge [mm].
    pub edge_mm: f64,
    /// Washers, one under the head and one under a nut [mm].
    pub washers_mm: f64,
    /// Thread that must be in [mm].
    pub engagement_mm: f64,
    /// Stack, washers and engagement [mm].
    pub least_mm: f64,
    /// Length as sold [mm].
    pub length_mm: Option<f64>,
    /// Preload of one when drawn up [N].
    pub preload_n: f64,
    /// Torque for it, dry [N m].
    pub torque_nm: f64,
}

/// The screw for a stack of parts [mm], of class 8.8; none for a thread that the table does not know.
pub fn screw(thread_mm: f64, into: Hole, stack_mm: f64) -> Option<Screw> {
    let clearance_mm = clearance_mm(thread_mm)?;
    let engagement_mm = engagement_mm(thread_mm, into)?;
    let washers_mm = washer_mm(thread_mm) * if into == Hole::Nut { 2.0 } else { 1.0 };
    let least_mm = stack_mm + washers_mm + engagement_mm;
    let area = stress_area_metric_mm2(thread_mm)?;
    let preload_n = PRELOAD_SHARE * Bolt::metric("8.8", false)?.proof_n(area);
    Some(Screw {
        thread_mm,
        clearance_mm,
        drill_mm: matches!(into, Hole::Steel | Hole::Aluminium)
            .then(|| tapping_drill_mm(thread_mm))
            .flatten(),
        edge_mm: edge_mm(clearance_mm),
        washers_mm,
        engagement_mm,
        least_mm,
        length_mm: next_length_mm(least_mm),
        preload_n,
        torque_nm: NUT_FACTOR * preload_n * thread_mm / 1000.0,
    })
}

/// Pull in a strap over the case that keeps it from sliding by friction alone [N]: force / friction − weight, at least 0, shared
/// by the strap's two ends. A case bears only part of that, so stops at its foot take what is left.
pub fn strap_n(force_n: f64, weight_n: f64) -> f64 {
    ((force_n / FRICTION - weight_n) / 2.0).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_m8_by_hand() {
        // 18 mm of parts, two washers of 1.6 mm, a nut of 6.8 mm and two turns of 1.25 mm: 30.5 mm: 35 mm as sold.
        let through = screw(8.0, Hole::Nut, 18.0).unwrap();
        assert!((through.least_mm - 30.5).abs() < 1e-9 && through.length_mm == Some(35.0));
        assert_eq!((through.clearance_mm, through.drill_mm), (9.0, None));
        assert!((through.edge_mm - 10.8).abs() < 1e-9);
        // 36.6 mm² × 580 MPa × 0.6 = 12,740 N; × 0.2 × 8 mm = 20.4 N m.
        assert!(
            (through.preload_n - 12_740.0).abs() < 20.0 && (through.torque_nm - 20.4).abs() < 0.1
        );
        // In aluminium: 18 + 1.6 + 16 = 35.6: 40 mm, drilled 6.8 mm.
        let tapped = screw(8.0, Hole::Aluminium, 18.0).unwrap();
        assert_eq!((tapped.length_mm, tapped.drill_mm), (Some(40.0), Some(6.8)));
        assert_eq!(
            (tapping_drill_mm(6.0), tapping_drill_mm(10.0)),
            (Some(5.0), Some(8.5))
        );
        assert_eq!(screw(7.0, Hole::Nut, 18.0), None);
        assert_eq!(next_length_mm(500.0), None);
    }

    #[test]
    fn a_strap_by_hand() {
        // 31 kg at 0.5 g: 152 N; / 0.2 = 760 N less 304 N of weight: 228 N at each end.
        assert!((strap_n(152.0, 304.0) - 228.0).abs() < 1e-9);
        assert_eq!(strap_n(10.0, 304.0), 0.0);
    }
}
