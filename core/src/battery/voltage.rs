//! Voltage at rest and under load, and the electrolyte.

use super::Chemistry;
use crate::numeric::{interpolate, root_between, whole_below};
use std::sync::OnceLock;

/// Rest voltage of six cells [V] by state of charge: flooded deep-cycle (users' guide table, reprinted; its lowest point
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
/// Six cells of AGM (deep-cycle users' guide table; full 12.80 V, the guide's, from memory).
const AGM_V: [(f64, f64); 5] = [
    (0.0, 11.64),
    (0.25, 11.94),
    (0.5, 12.24),
    (0.75, 12.54),
    (1.0, 12.80),
];
/// Six cells of gel (deep-cycle users' guide table; 75 % and empty from memory).
const GEL_V: [(f64, f64); 5] = [
    (0.0, 11.80),
    (0.25, 12.00),
    (0.5, 12.36),
    (0.75, 12.60),
    (1.0, 12.84),
];
/// Rest voltage of one lithium iron phosphate cell [V] by state of charge. From 5 % to 95 %: PyBaMM 26.10.1.1, parameter set
/// Prada2013. The model's own ends are limits of the cell, see `iron_cell_limits_v`. Full: assumed, the middle of
/// the 3.35 V to 3.40 V that a charged cell settles at within an hour; the line from 95 % meets the electrode formula at 98 %
/// (3.351 V). General literature gives higher rest voltages when low, such as 3.15 V at 10 % (from memory, unsure); the model is
/// followed, because anyone can compute it again and its lower voltages are on the safe side. Empty: assumed, the makers' usual end of discharge; nothing between the ends hangs on it, for the usual
/// cut-off lies above 5 %.
const IRON_CELL_V: [(f64, f64); 13] = [
    (0.0, 2.5),
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
    (1.0, 3.375),
];
/// Rest voltage of one sodium-ion cell [V] by state of charge: a steady slope. Assumed.
const SODIUM_CELL_V: [(f64, f64); 5] =
    [(0.0, 2.0), (0.1, 2.7), (0.5, 3.1), (0.9, 3.4), (1.0, 3.55)];

/// Rest voltage of one cell [V] at a state of charge, 0 to 1: an hour without current, 25 °C.
pub fn rest_cell_v(chemistry: Chemistry, soc: f64) -> f64 {
    let lead = |six_cells: &[(f64, f64)]| interpolate(six_cells, soc) / 6.0;
    match chemistry {
        Chemistry::Flooded => lead(&FLOODED_V),
        Chemistry::Agm => lead(&AGM_V),
        Chemistry::Gel => lead(&GEL_V),
        Chemistry::LithiumIronPhosphate => interpolate(&IRON_CELL_V, soc),
        Chemistry::SodiumIon => interpolate(&SODIUM_CELL_V, soc),
    }
}

/// Lowest and highest voltage of a lithium iron phosphate cell [V], at which discharging and charging must end: PyBaMM
/// 26.10.1.1, parameter set Prada2013. Neither is a rest voltage.
pub fn iron_cell_limits_v() -> [f64; 2] {
    [2.0, 3.6]
}

/// Cells in series in one battery, at least 1, from its kind and the nominal voltage on its label [V]. A whole multiple of
/// 12 V names a class and not a sum of cells: 4 lithium or sodium cells, or 6 of lead, for each 12 V. 48 V of lithium may be
/// 15 or 16 cells: 16 is taken, as a guess. Any other label is the nearest whole number of cells.
pub fn cells_in_series(chemistry: Chemistry, label_v: f64) -> f64 {
    let classes = label_v / 12.0;
    let cells = if classes == classes.round() {
        classes * chemistry.cells_in_12_v()
    } else {
        (label_v / chemistry.nominal_cell_v()).round()
    };
    cells.max(1.0)
}

/// Points of an evenly spaced curve from empty to full.
const CURVE_POINTS: usize = 101;

/// The rest voltage of one cell of a kind at every hundredth of charge [V], so that an hour of the year looks it up in one
/// step, each with its rise to the next. All knots of the tables above are hundredths, so nothing is lost between them.
#[derive(Debug, PartialEq)]
pub(super) struct RestCurve([[f64; 2]; CURVE_POINTS]);

impl RestCurve {
    /// A kind's curve, made once.
    pub(super) fn of(chemistry: Chemistry) -> &'static Self {
        static ALL: OnceLock<[RestCurve; Chemistry::ALL.len()]> = OnceLock::new();
        let curves = ALL.get_or_init(|| {
            Chemistry::ALL.map(|kind| {
                let at = |nth: usize| rest_cell_v(kind, nth as f64 / (CURVE_POINTS - 1) as f64);
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

    /// Rest voltage of one cell [V] at a state of charge, 0 to 1.
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
    /// The least state of charge, 0 to 1, at which one cell rests at so much [V]; none where it never does.
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

/// Internal resistance of one battery [Ω], from its label's voltage [V] and capacity [Ah]: the chemistry's Ω Ah for 12 V over
/// the capacity, by its cells. Assumed.
pub fn internal_resistance_ohm(chemistry: Chemistry, label_v: f64, capacity_ah: f64) -> f64 {
    let blocks = cells_in_series(chemistry, label_v) / chemistry.cells_in_12_v();
    chemistry.traits().resistance_ohm_ah / capacity_ah * blocks
}

/// Resistance of one battery in a short circuit [Ω], by its label's voltage [V] and capacity [Ah]. Less than
/// [`internal_resistance_ohm`], which holds for the sag over minutes. Assumed.
pub fn short_circuit_ohm(chemistry: Chemistry, label_v: f64, capacity_ah: f64) -> f64 {
    let traits = chemistry.traits();
    let sag_ohm = internal_resistance_ohm(chemistry, label_v, capacity_ah);
    sag_ohm * traits.short_ohm_ah / traits.resistance_ohm_ah
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
        assert!((6.0 * rest_cell_v(Chemistry::Flooded, 0.5) - 12.10).abs() < 1e-12);
        assert!((6.0 * rest_cell_v(Chemistry::Gel, 0.25) - 12.0).abs() < 1e-12);
        assert_eq!(rest_cell_v(Chemistry::LithiumIronPhosphate, 0.5), 3.266);
        assert!((voltage_of_gravity(1.265) - 2.105).abs() < 1e-12);
        assert!((freezing_c(1.2) * 1.8 + 32.0 - -16.0).abs() < 1e-9);
        assert!(
            (charge_of_gravity(1.19) - 0.25).abs() < 1e-12
                && (gravity_of_charge(1.0) - 1.277).abs() < 1e-12
        );
    }

    #[test]
    fn cells_follow_from_kind_and_label() {
        use Chemistry::{Agm, Flooded, LithiumIronPhosphate as Iron, SodiumIon as Sodium};
        for (kind, label_v, cells) in [
            (Iron, 3.2, 1.0),
            (Iron, 12.0, 4.0),
            (Iron, 12.8, 4.0),
            (Iron, 24.0, 8.0),
            (Iron, 25.6, 8.0),
            (Iron, 36.0, 12.0),
            (Iron, 38.4, 12.0),
            (Iron, 48.0, 16.0),
            (Iron, 51.2, 16.0),
            (Sodium, 3.1, 1.0),
            (Sodium, 12.0, 4.0),
            (Sodium, 48.0, 16.0),
            (Flooded, 2.0, 1.0),
            (Flooded, 6.0, 3.0),
            (Agm, 12.0, 6.0),
            (Agm, 48.0, 24.0),
        ] {
            assert_eq!(cells_in_series(kind, label_v), cells, "{kind:?} {label_v}");
        }
    }

    /// By hand from the table: full 3.375, half 3.266, 20 % 3.1685 V a cell.
    #[test]
    fn lithium_rests_by_its_cells() {
        for (label_v, full_v, half_v, low_v) in [
            (12.8, 13.5, 13.064, 12.674),
            (25.6, 27.0, 26.128, 25.348),
            (51.2, 54.0, 52.256, 50.696),
        ] {
            let cells = cells_in_series(Chemistry::LithiumIronPhosphate, label_v);
            for (soc, by_hand) in [(1.0, full_v), (0.5, half_v), (0.2, low_v)] {
                let ours = cells * rest_cell_v(Chemistry::LithiumIronPhosphate, soc);
                assert!(
                    (ours - by_hand).abs() < 1e-9,
                    "{label_v} V at {soc}: {ours}"
                );
            }
        }
    }

    #[test]
    fn a_rested_cell_stays_within_its_limits() {
        let [low_v, high_v] = iron_cell_limits_v();
        let rests = |soc| rest_cell_v(Chemistry::LithiumIronPhosphate, soc);
        assert!(low_v < rests(0.0) && rests(1.0) < high_v);
        assert!((3.35..=3.40).contains(&rests(1.0)));
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
                    rest_cell_v(kind, soc + 0.01) >= rest_cell_v(kind, soc),
                    "{kind:?} {percent}"
                );
            }
        }
    }
}
