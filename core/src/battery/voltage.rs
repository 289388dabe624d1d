//! Voltage at rest and under load, and the electrolyte.

use super::Chemistry;
use crate::numeric::{interpolate, root_between, whole_below};
use std::sync::OnceLock;

/// Rest voltage of a 12 V block [V] by state of charge: flooded deep-cycle (users' guide table, reprinted; its lowest point
/// extrapolated).
const FLOODED_V: [(f64, f64); 11] = [
    (0.0, 11.36),
    (0.1, 11.51),
    (0.2, 11.66),
    (0.3, 11.81),
    (0.4, 11.96),
    (0.5, 12.10),
    (0.6, 12.24),
    (0.7, 12.37),
    (0.8, 12.50),
    (0.9, 12.62),
    (1.0, 12.73),
];
/// Specific gravity of its electrolyte by state of charge (the same table).
const FLOODED_GRAVITY: [(f64, f64); 11] = [
    (0.0, 1.048),
    (0.1, 1.073),
    (0.2, 1.098),
    (0.3, 1.124),
    (0.4, 1.148),
    (0.5, 1.172),
    (0.6, 1.195),
    (0.7, 1.217),
    (0.8, 1.238),
    (0.9, 1.258),
    (1.0, 1.277),
];
/// AGM (deep-cycle users' guide table; full 12.80 V, the guide's, from memory).
const AGM_V: [(f64, f64); 5] = [
    (0.0, 11.64),
    (0.25, 11.94),
    (0.5, 12.24),
    (0.75, 12.54),
    (1.0, 12.80),
];
/// Gel (deep-cycle users' guide table; 75 % and empty from memory).
const GEL_V: [(f64, f64); 5] = [
    (0.0, 11.80),
    (0.25, 12.00),
    (0.5, 12.36),
    (0.75, 12.60),
    (1.0, 12.84),
];
/// One lithium iron phosphate cell: PyBaMM 26.10.1.1, parameter set Prada2013, between its voltage limits; the two points
/// above 95 % from the electrode formula below.
const IRON_CELL_V: [(f64, f64); 14] = [
    (0.0, 2.0),
    (0.05, 2.7853),
    (0.1, 2.9781),
    (0.2, 3.1685),
    (0.3, 3.2058),
    (0.4, 3.2525),
    (0.5, 3.266),
    (0.6, 3.2688),
    (0.7, 3.274),
    (0.8, 3.3097),
    (0.95, 3.3164),
    (0.98, 3.351),
    (0.99, 3.416),
    (1.0, 3.6),
];
/// Cells of it in 12 V nominal.
const IRON_CELLS: f64 = 4.0;
/// Sodium-ion, 12 V nominal: a steady slope. Assumed.
const SODIUM_V: [(f64, f64); 5] = [
    (0.0, 8.0),
    (0.1, 10.8),
    (0.5, 12.4),
    (0.9, 13.6),
    (1.0, 14.2),
];

/// Rest voltage of a 12 V block [V] at a state of charge, 0 to 1.
pub fn rest_v(chemistry: Chemistry, soc: f64) -> f64 {
    match chemistry {
        Chemistry::Flooded => interpolate(&FLOODED_V, soc),
        Chemistry::Agm => interpolate(&AGM_V, soc),
        Chemistry::Gel => interpolate(&GEL_V, soc),
        Chemistry::LithiumIronPhosphate => IRON_CELLS * interpolate(&IRON_CELL_V, soc),
        Chemistry::SodiumIon => interpolate(&SODIUM_V, soc),
    }
}

/// Points of an evenly spaced curve from empty to full.
const CURVE_POINTS: usize = 101;

/// A kind's rest voltage at every hundredth of charge [V for 12 V nominal], so that an hour of the year looks it up in one
/// step, each with its rise to the next. All knots of the tables above are hundredths, so nothing is lost between them.
#[derive(Debug, PartialEq)]
pub(super) struct RestCurve([[f64; 2]; CURVE_POINTS]);

impl RestCurve {
    /// A kind's curve, made once.
    pub(super) fn of(chemistry: Chemistry) -> &'static Self {
        static ALL: OnceLock<[RestCurve; Chemistry::ALL.len()]> = OnceLock::new();
        let curves = ALL.get_or_init(|| {
            Chemistry::ALL.map(|kind| {
                let at = |nth: usize| rest_v(kind, nth as f64 / (CURVE_POINTS - 1) as f64);
                Self(std::array::from_fn(|nth| [at(nth), at(nth + 1) - at(nth)]))
            })
        });
        let [flooded, agm, gel, iron, sodium] = curves;
        match chemistry {
            Chemistry::Flooded => flooded,
            Chemistry::Agm => agm,
            Chemistry::Gel => gel,
            Chemistry::LithiumIronPhosphate => iron,
            Chemistry::SodiumIon => sodium,
        }
    }

    /// Rest voltage of a 12 V block [V] at a state of charge, 0 to 1.
    pub(super) fn at(&self, soc: f64) -> f64 {
        let along = soc * (CURVE_POINTS - 1) as f64;
        let below = whole_below(along).min(CURVE_POINTS - 2);
        match self.0.get(below) {
            Some([at, rise]) => at + rise * (along - f64::from(below as u32)),
            None => f64::NAN,
        }
    }
}

impl RestCurve {
    /// The least state of charge, 0 to 1, at which a 12 V block rests at so much [V]; none where it never does.
    pub(super) fn least_soc(&self, volts: f64) -> Option<f64> {
        let above = self.0.partition_point(|[at, _]| *at < volts);
        let (nth, [at, rise]) = match above.checked_sub(1) {
            None => return Some(0.0),
            Some(nth) => (nth, self.0.get(nth)?),
        };
        (nth + 1 < CURVE_POINTS)
            .then(|| (nth as f64 + (volts - at) / rise) / (CURVE_POINTS - 1) as f64)
    }
}

/// State of charge, 0 to 1, below which a lead-acid battery's electrolyte freezes at a temperature [°C]; by the gravity of
/// a flooded one's, which the sealed kinds are taken to share (assumed).
pub fn freezes_below(temp_c: f64) -> f64 {
    let frozen = |soc: f64| freezing_c(gravity_of_charge(soc)) - temp_c;
    if frozen(0.0) <= 0.0 {
        return 0.0;
    }
    root_between(frozen, 0.0, 1.0, 1e-6).unwrap_or(1.0)
}

/// Potential of a lithium iron phosphate electrode against lithium [V] at a stoichiometry, above 0 and below 1.
/// Afshar, Morris & Khajepour 2017, arXiv:1709.03970.
pub fn iron_phosphate_electrode_v(stoichiometry: f64) -> f64 {
    let y = stoichiometry;
    3.4077 - 0.020_269 * y + 0.5 * libm::exp(-150.0 * y) - 0.9 * libm::exp(-30.0 * (1.0 - y))
}

/// Rest voltage of a lead-acid cell [V] from the specific gravity of its electrolyte: their text-book rule.
pub fn voltage_of_gravity(gravity: f64) -> f64 {
    gravity + 0.84
}

/// Specific gravity of a flooded battery's electrolyte at a state of charge, 0 to 1 (deep-cycle users' guide table).
pub fn gravity_of_charge(soc: f64) -> f64 {
    interpolate(&FLOODED_GRAVITY, soc)
}

/// State of charge, 0 to 1, from specific gravity at 80 °F where full is 1.280. US Army TM 5-1185, table II.
pub fn charge_of_gravity(gravity: f64) -> f64 {
    const TABLE: [(f64, f64); 6] = [
        (1.13, 0.0),
        (1.16, 0.05),
        (1.19, 0.25),
        (1.22, 0.50),
        (1.25, 0.75),
        (1.28, 1.0),
    ];
    interpolate(&TABLE, gravity)
}

/// Freezing point of the electrolyte [°C] by specific gravity. US Army TM 5-1185, table III; water at 1.000.
pub fn freezing_c(gravity: f64) -> f64 {
    const TABLE_F: [(f64, f64); 6] = [
        (1.0, 32.0),
        (1.1, 19.0),
        (1.15, 5.0),
        (1.2, -16.0),
        (1.25, -62.0),
        (1.28, -90.0),
    ];
    (interpolate(&TABLE_F, gravity) - 32.0) / 1.8
}

/// Internal resistance of one battery [Ω]: the chemistry's Ω Ah for 12 V over its capacity, by its voltage. Assumed.
pub fn internal_resistance_ohm(chemistry: Chemistry, volts: f64, capacity_ah: f64) -> f64 {
    chemistry.traits().resistance_ohm_ah / capacity_ah * volts / 12.0
}

/// Prospective short-circuit current [A] and internal resistance [Ω] from two points of a discharge, each (V, A): the
/// line through both, to zero volts. IEC 60896-11 and -21, short-circuit test.
pub fn short_circuit_from_two_points(a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
    let ohm = (a.0 - b.0) / (b.1 - a.1);
    ((a.0 * b.1 - b.0 * a.1) / (a.0 - b.0), ohm)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_electrode_formula_meets_its_points() {
        for (y, v) in [
            (0.01, 3.519_062),
            (0.1, 3.405_673),
            (0.5, 3.397_565),
            (0.95, 3.187_627),
            (0.98, 2.893_906),
        ] {
            assert!((iron_phosphate_electrode_v(y) - v).abs() < 1e-4, "{y}");
        }
    }

    #[test]
    fn tables_are_met() {
        assert_eq!(rest_v(Chemistry::Flooded, 0.5), 12.10);
        assert!((rest_v(Chemistry::Gel, 0.25) - 12.0).abs() < 1e-12);
        assert!((rest_v(Chemistry::LithiumIronPhosphate, 0.5) - 13.064).abs() < 1e-9);
        assert!((voltage_of_gravity(1.265) - 2.105).abs() < 1e-12);
        assert!((freezing_c(1.2) * 1.8 + 32.0 - -16.0).abs() < 1e-9);
        assert!(
            (charge_of_gravity(1.19) - 0.25).abs() < 1e-12
                && (gravity_of_charge(1.0) - 1.277).abs() < 1e-12
        );
    }

    #[test]
    fn two_points_of_a_discharge_give_the_short_circuit() {
        let (amperes, ohm) = short_circuit_from_two_points((12.05, 40.0), (11.25, 200.0));
        assert!((amperes - 2450.0).abs() < 1e-6 && (ohm - 0.005).abs() < 1e-9);
    }

    #[test]
    fn voltage_rises_with_charge() {
        for kind in Chemistry::ALL {
            for percent in 0..100 {
                let soc = f64::from(percent) / 100.0;
                assert!(
                    rest_v(kind, soc + 0.01) >= rest_v(kind, soc),
                    "{kind:?} {percent}"
                );
            }
        }
    }
}
