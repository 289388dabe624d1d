//! How thick a cable is, and how tightly it bends.

/// Share of a flexible conductor's round that is metal. Assumed: fine strands in bundles.
const FILLED: f64 = 0.6;
/// Thickness of its insulation [mm]. Assumed, of a flexible battery cable.
const INSULATION_MM: f64 = 1.4;
/// Least inner radius of a bend, in thicknesses of the cable. Common practice, no source (four to eight).
const BENDS: f64 = 5.0;

/// About how thick a flexible cable of so many mm² is over its insulation [mm]: a round that its strands fill, and two walls.
pub fn about_thick_mm(mm2: f64) -> f64 {
    (4.0 * mm2.max(0.0) / (core::f64::consts::PI * FILLED)).sqrt() + 2.0 * INSULATION_MM
}

/// The height that its bend from upright to level takes [mm]: the least inner radius and its own thickness.
pub fn bend_takes_mm(mm2: f64) -> f64 {
    (BENDS + 1.0) * about_thick_mm(mm2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn common_battery_cables_are_about_as_thick_as_they_are() {
        // Outer diameters that makers of flexible battery cable give are about 9, 13 and 16 mm (from memory, ± 1.5 mm).
        for (mm2, mm) in [(16.0, 9.0), (50.0, 13.0), (70.0, 16.0)] {
            let thick = about_thick_mm(mm2);
            assert!((thick - mm).abs() < 1.5, "{mm2} mm²: {thick}");
        }
        assert!(bend_takes_mm(50.0) > 70.0 && bend_takes_mm(0.0) > 0.0);
    }
}
