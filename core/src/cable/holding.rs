//! What holds a battery down: the force that it may bear, and the fixing that bears it.

/// Standard gravity [m/s²].
const G: f64 = 9.806_65;
/// Newtons in a pound of force.
const N_PER_LBF: f64 = 4.448_222;
/// Shear strength of a bolt as a share of its tensile strength. Common practice (0.577 to 0.62).
const SHEAR_SHARE: f64 = 0.6;

/// Force of a mass under an acceleration of so many g [N].
pub fn force_n(mass_kg: f64, g: f64) -> f64 {
    mass_kg * g * G
}

/// Pull that an installed battery must bear in each direction [N]: the lesser of 90 lbf and twice its weight, moving no more
/// than one inch. 33 CFR 183.420.
pub fn pull_test_n(mass_kg: f64) -> f64 {
    (90.0 * N_PER_LBF).min(force_n(mass_kg, 2.0))
}

/// Pitch of a coarse metric thread [mm]. ISO 261.
pub fn pitch_mm(diameter_mm: f64) -> Option<f64> {
    const PITCHES: [(f64, f64); 19] = [
        (3.0, 0.5),
        (4.0, 0.7),
        (5.0, 0.8),
        (6.0, 1.0),
        (7.0, 1.0),
        (8.0, 1.25),
        (10.0, 1.5),
        (12.0, 1.75),
        (14.0, 2.0),
        (16.0, 2.0),
        (18.0, 2.5),
        (20.0, 2.5),
        (22.0, 2.5),
        (24.0, 3.0),
        (27.0, 3.0),
        (30.0, 3.5),
        (33.0, 3.5),
        (36.0, 4.0),
        (39.0, 4.0),
    ];
    let found = PITCHES
        .iter()
        .find(|(diameter, _)| *diameter == diameter_mm);
    found.map(|(_, pitch)| *pitch)
}

/// Tensile stress area of a coarse metric thread [mm²]: π/4·(d − 0.9382·P)². ISO 898-1.
pub fn stress_area_metric_mm2(diameter_mm: f64) -> Option<f64> {
    let inner = diameter_mm - 0.938_2 * pitch_mm(diameter_mm)?;
    Some(std::f64::consts::FRAC_PI_4 * inner * inner)
}

/// How far an installed battery may move under its test pull: in inches (33 CFR 183.420), in millimetres (ISO 10133, 5.2).
pub const MAY_MOVE: (f64, f64) = (1.0, 10.0);

/// Tensile stress area of a unified thread [mm²]: 0.7854·(D − 0.9743/n)². ASME B1.1.
pub fn stress_area_inch_mm2(diameter_in: f64, threads_an_inch: f64) -> f64 {
    let inner = diameter_in - 0.974_3 / threads_an_inch;
    std::f64::consts::FRAC_PI_4 * inner * inner * 645.16
}

/// Strength of a bolt's metal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bolt {
    /// Proof stress [MPa].
    pub proof_mpa: f64,
    /// Tensile strength [MPa].
    pub tensile_mpa: f64,
}

impl Bolt {
    /// Of a property class, `8.8` (ISO 898-1; over M16 it has the higher figure), or of stainless steel, `A2-70` (ISO 3506-1).
    /// Classes 4.6, 5.6, 5.8, 9.8 and the stainless ones are from memory.
    pub fn metric(class: &str, over_m16: bool) -> Option<Self> {
        let (proof_mpa, tensile_mpa) = match (class, over_m16) {
            ("4.6", _) => (225.0, 400.0),
            ("4.8", _) => (310.0, 420.0),
            ("5.6", _) => (280.0, 500.0),
            ("5.8", _) => (380.0, 520.0),
            ("6.8", _) => (440.0, 600.0),
            ("8.8", false) => (580.0, 800.0),
            ("8.8", true) => (600.0, 830.0),
            ("9.8", _) => (650.0, 900.0),
            ("10.9", _) => (830.0, 1040.0),
            ("12.9", _) => (970.0, 1220.0),
            ("A2-50" | "A4-50", _) => (210.0, 500.0),
            ("A2-70" | "A4-70", _) => (450.0, 700.0),
            ("A2-80" | "A4-80", _) => (600.0, 800.0),
            _ => return None,
        };
        Some(Self {
            proof_mpa,
            tensile_mpa,
        })
    }

    /// Of a grade, 1, 2, 5 or 8, up to 1 1/2 inch. SAE J429; grade 1 and the lower figures of thick bolts from memory.
    pub fn inch(grade: u32, diameter_in: f64) -> Option<Self> {
        let (proof_ksi, tensile_ksi) = match grade {
            _ if diameter_in > 1.5 => return None,
            1 => (33.0, 60.0),
            2 if diameter_in > 0.75 => (33.0, 60.0),
            2 => (55.0, 74.0),
            5 if diameter_in > 1.0 => (74.0, 105.0),
            5 => (85.0, 120.0),
            8 => (120.0, 150.0),
            _ => return None,
        };
        Some(Self {
            proof_mpa: proof_ksi * 6.894_757,
            tensile_mpa: tensile_ksi * 6.894_757,
        })
    }

    /// Load without lasting stretch on a stress area [N].
    pub fn proof_n(&self, area_mm2: f64) -> f64 {
        self.proof_mpa * area_mm2
    }

    /// Load that breaks it, along [N].
    pub fn tensile_n(&self, area_mm2: f64) -> f64 {
        self.tensile_mpa * area_mm2
    }

    /// Load that breaks it, across [N].
    pub fn shear_n(&self, area_mm2: f64) -> f64 {
        SHEAR_SHARE * self.tensile_n(area_mm2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_battery_by_hand() {
        // 30 kg at 20 g: 5,884 N. An M8 of 8.8: 36.6 mm² × 580 MPa = 21,228 N: one would hold it, four surely.
        let force = force_n(30.0, 20.0);
        assert!((force - 5884.0).abs() < 0.1);
        let area = stress_area_metric_mm2(8.0).unwrap();
        assert!((area - 36.6).abs() < 0.05);
        assert!(Bolt::metric("8.8", false).unwrap().proof_n(area) > 3.0 * force);
        assert!(
            (pull_test_n(60.0) - 400.34).abs() < 0.01 && (pull_test_n(10.0) - 196.133).abs() < 0.01
        );
    }
}
