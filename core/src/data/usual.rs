//! What a battery of a kind usually weighs and measures: guesses until its label was read.

use super::cases::cases;
use crate::battery::Chemistry;

/// Below this nominal voltage a battery is a bare cell [V].
const CELL_BELOW_V: f64 = 5.0;
/// A bare prismatic lithium cell: length, width, height [mm] and its capacity [Ah]. From memory, unsure.
const CELL: ([f64; 3], f64) = ([174.0, 72.0, 207.0], 280.0);
/// The case of golf-cart batteries, of three lead-acid cells.
const SIX_VOLT_CASE: &str = "BCI GC2";
/// How far outside every case's range a capacity may lie for the nearest case to be taken [share]. Assumed.
const OUTSIDE: f64 = 0.25;

/// Capacity of the 12 V battery that stores as much [Ah].
fn at_12_v(volts: f64, ah: f64) -> f64 {
    // 12.8 V and 25.6 V of lithium are called 12 V and 24 V.
    let nominal = if volts < 9.0 {
        volts / 12.0
    } else {
        (volts / 12.0).round()
    };
    ah * nominal
}

/// Usual mass of a battery [kg], to 0.1 kg below 10 kg and to 0.5 kg above, from its kind, nominal voltage [V] and
/// capacity [Ah]. Sources in `chemistry.csv`.
pub(crate) fn usual_mass_kg(kind: Chemistry, volts: f64, ah: f64) -> f64 {
    let traits = kind.traits();
    let kg = if volts < CELL_BELOW_V {
        traits.cell_kg_ah * ah
    } else {
        traits.mass_kg_ah * at_12_v(volts, ah)
    };
    if kg < 10.0 {
        (kg * 10.0).round() / 10.0
    } else {
        (kg * 2.0).round() / 2.0
    }
}

/// Usual case of a battery, by its name and its length, width and height [mm]; the name is empty where it is no standard
/// one. None where nothing is usual.
///
/// Of standard cases whose lead-acid capacity fits, the largest; lithium and sodium batteries are sold in the same cases
/// (assumed). A bare lithium cell is scaled alike in all directions from one of 280 Ah (assumed).
pub(crate) fn usual_case(kind: Chemistry, volts: f64, ah: f64) -> Option<(String, [f64; 3])> {
    if volts < CELL_BELOW_V {
        let (mm, of_ah) = CELL;
        let scale = libm::cbrt(ah / of_ah);
        let plausible = !kind.is_lead_acid() && (0.2..=2.0).contains(&scale);
        return plausible.then(|| (String::new(), mm.map(|mm| (mm * scale).round())));
    }
    let six_volt = volts < 9.0;
    let wanted = if six_volt { ah } else { at_12_v(volts, ah) };
    let mut best: Option<(f64, &_)> = None;
    for case in cases() {
        let Some((low, high)) = case.capacity_ah else {
            continue;
        };
        if (case.name == SIX_VOLT_CASE) != six_volt {
            continue;
        }
        let outside = (low - wanted).max(wanted - high).max(0.0);
        if best.is_none_or(|(least, _)| outside <= least) {
            best = Some((outside, case));
        }
    }
    let (outside, case) = best?;
    (outside <= OUTSIDE * wanted).then(|| (case.name.clone(), case.mm))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_masses_lie_in_the_handbook_ranges_of_their_cases() {
        for case in cases() {
            let (Some((low, high)), Some((least, most))) = (case.mass_kg, case.capacity_ah) else {
                continue;
            };
            let volts = if case.name == SIX_VOLT_CASE {
                6.0
            } else {
                12.0
            };
            for kind in [Chemistry::Flooded, Chemistry::Agm] {
                let kg = usual_mass_kg(kind, volts, (least + most) / 2.0);
                assert!(
                    (0.93 * low..=1.07 * high).contains(&kg),
                    "{kind:?} {}: {kg} kg, {low} to {high}",
                    case.name
                );
            }
        }
    }

    #[test]
    fn each_capacity_has_the_case_that_is_usual() {
        use Chemistry::{Agm, Flooded, LithiumIronPhosphate};
        for (kind, volts, ah, name) in [
            (Agm, 12.0, 100.0, "BCI 31"),
            (LithiumIronPhosphate, 12.8, 100.0, "BCI 31"),
            (Flooded, 12.0, 75.0, "BCI 24"),
            (Flooded, 12.0, 90.0, "BCI 27"),
            (Flooded, 6.0, 210.0, "BCI GC2"),
            (LithiumIronPhosphate, 25.6, 100.0, "BCI 4D"),
            (LithiumIronPhosphate, 3.2, 280.0, ""),
        ] {
            let found = usual_case(kind, volts, ah).unwrap();
            assert_eq!(found.0, name, "{kind:?} {volts} V {ah} Ah");
        }
        assert_eq!(usual_case(Agm, 12.0, 1000.0), None);
        assert_eq!(usual_case(Agm, 2.0, 500.0), None);
        // A cell of 100 Ah: about 0.9 litres.
        let (_, [long, wide, high]) = usual_case(LithiumIronPhosphate, 3.2, 100.0).unwrap();
        assert!((0.8..1.1).contains(&(long * wide * high / 1e6)));
    }
}
