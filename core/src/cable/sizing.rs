//! Which size a run takes: by what it may carry, by what it may lose, by what it bears in a short circuit.

use super::conductor::{MM2_PER_CMIL, least_cmil};
use super::withstand::{Fault, Material, Withstand, withstand_k};
use super::{FuseKind, Gauge, Metal, ampacity_a, drop_v, resistance_ohm_m, short_circuit_a};

/// What a conductor must be able to carry over what goes on and on: 1.25 × (common practice in low-voltage codes).
const CONTINUOUS: f64 = 1.25;
/// Air at which the table of ampacities holds outside engine spaces [°C]. 33 CFR 183.425.
const TABLE_AIR_C: f64 = 30.0;
/// Air of an engine space [°C]. 33 CFR 183.425.
const ENGINE_AIR_C: f64 = 50.0;
/// Column of the table from which the rise of the metal is reckoned [°C].
const REFERENCE_C: f64 = 105.0;
/// Temperature below which a cable's resistance is never reckoned: warm. Assumed.
const WARM_C: f64 = 50.0;

/// A run to be sized.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Largest current without a break [A].
    pub continuous_a: f64,
    /// Current at which its drop is judged [A].
    pub drop_a: f64,
    /// One way [m].
    pub length_m: f64,
    /// Nominal voltage [V].
    pub volts: f64,
    /// Most that may be lost there and back, of the nominal voltage, 0 to 1.
    pub drop: f64,
    /// Temperature of the insulation [°C].
    pub insulation_c: f64,
    /// Whether it runs through an engine space.
    pub engine_space: bool,
    /// What it is of.
    pub metal: Metal,
    /// Loaded conductors that lie together.
    pub together: u32,
    /// Air around it [°C].
    pub air_c: f64,
    /// What its insulation is made of.
    pub material: Material,
    /// Least area, whatever the current [mm²]; 0 where there is none.
    pub least_mm2: f64,
}

/// The fuse ahead of a run and the source behind that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ahead {
    /// Kind of fuse.
    pub kind: FuseKind,
    /// Its rating [A].
    pub rating_a: f64,
    /// The source as it gives the greatest fault current.
    pub greatest: Source,
    /// The source as it gives the least fault current.
    pub least: Source,
}

/// A source of a fault current: a voltage behind a resistance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// Voltage [V].
    pub volts: f64,
    /// Resistance up to the fault or the run's near end [Ω].
    pub ohm: f64,
}

impl Source {
    /// Fault current through so much more resistance [A].
    pub fn fault_a(&self, ohm: f64) -> f64 {
        short_circuit_a(self.volts, self.ohm, 1.0, ohm)
    }

    /// The same source at the end of a cable [Ω].
    #[must_use]
    pub fn behind(&self, ohm: f64) -> Self {
        Self {
            ohm: self.ohm + ohm,
            ..*self
        }
    }
}

/// What decided a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bound {
    /// What it may carry.
    Ampacity,
    /// What it may lose.
    Drop,
    /// What it bears in a short circuit.
    Withstand,
    /// The least area for its place.
    Least,
    /// It is there already.
    Owned,
}

/// A run with its size.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Sized {
    /// Gauge: `10`, `1/0`.
    pub awg: String,
    /// Metric size that does as well [mm²].
    pub mm2: f64,
    /// What it may carry by the table alone [A].
    pub table_a: f64,
    /// What it may carry where it lies [A].
    pub ampacity_a: f64,
    /// What is lost at the continuous current, there and back [V].
    pub drop_v: f64,
    /// Lost as heat [W].
    pub loss_w: f64,
    /// Temperature of the metal at that current [°C].
    pub warm_c: f64,
    /// Least area for the drop by the formula in circular mils, beside the resistance method [mm²].
    pub formula_mm2: f64,
    /// How it stands a short circuit.
    pub withstand: Withstand,
    /// What decided.
    pub bound: Bound,
}

/// What is left of an ampacity where loaded conductors lie together: 0.7 for three, 0.6 for four to six, 0.5 to twenty-four, 0.4
/// beyond. Note 2 to table 5 of 33 CFR 183.425 (seen in a reprint of the US Coast Guard's compliance guideline); 183.435 asks for
/// it from 50 V on, and it is held for all here.
pub fn bundle_factor(together: u32) -> f64 {
    match together {
        0..=2 => 1.0,
        3 => 0.7,
        4..=6 => 0.6,
        7..=24 => 0.5,
        _ => 0.4,
    }
}

/// What is left of an ampacity in air warmer than the table's: √((θ − air)/(θ − 30)), by the heat that leaves it (the form of
/// NEC 310.15(B)); no gain in cooler air, nothing where the air is as warm as the insulation bears.
pub fn air_factor(insulation_c: f64, air_c: f64) -> f64 {
    let left = (insulation_c - air_c) / (insulation_c - TABLE_AIR_C);
    left.clamp(0.0, 1.0).sqrt()
}

/// What aluminium of one size carries of what copper does: with the same heat to shed, √(conductivity), 0.78. Computed.
fn metal_factor(metal: Metal) -> f64 {
    let ohm = |metal| resistance_ohm_m(metal, 1.0, 20.0);
    if metal == Metal::Aluminium {
        (ohm(Metal::Copper) / ohm(metal)).sqrt()
    } else {
        1.0
    }
}

impl Run {
    /// The same of a metric cable: copper of those has fine strands, which resist more than a gauge's.
    fn metric(&self) -> Self {
        Self {
            metal: match self.metal {
                Metal::Copper => Metal::FineCopper,
                other => other,
            },
            ..*self
        }
    }

    /// Current that a size may carry on this run [A]; none where its insulation is not allowed there.
    pub fn ampacity_a(&self, gauge: &Gauge) -> Option<f64> {
        let table = ampacity_a(gauge, self.insulation_c, false)?;
        let engine = ampacity_a(gauge, self.insulation_c, self.engine_space)? / table;
        let amperes = table
            * engine.min(air_factor(self.insulation_c, self.air_c))
            * bundle_factor(self.together)
            * metal_factor(self.metal);
        (amperes > 0.0).then_some(amperes)
    }

    fn around_c(&self) -> f64 {
        if self.engine_space {
            self.air_c.max(ENGINE_AIR_C)
        } else {
            self.air_c
        }
    }

    /// Temperature of the metal [°C]: the rise goes with the square of the current; the table's column of 105 °C, whatever the
    /// insulation, says which current brings 75 K. Assumed, after the heat balance of IEC 60287.
    fn warm_c(&self, gauge: &Gauge) -> f64 {
        let bearing = Self {
            insulation_c: REFERENCE_C,
            air_c: TABLE_AIR_C,
            engine_space: false,
            ..*self
        };
        let amperes = bearing.ampacity_a(gauge).unwrap_or(f64::INFINITY);
        let load = self.continuous_a / amperes;
        self.around_c() + (REFERENCE_C - TABLE_AIR_C) * load * load
    }

    /// Lost there and back at the continuous current [V], of a cable of an area that is as warm as a size of the table.
    fn lost_v(&self, gauge: &Gauge, area_mm2: f64) -> f64 {
        let temp_c = self.warm_c(gauge).max(WARM_C);
        drop_v(self.metal, area_mm2, temp_c, self.drop_a, self.length_m)
    }

    fn withstand(&self, area_mm2: f64, ahead: Option<&Ahead>) -> Withstand {
        let Some(ahead) = ahead else {
            return Withstand::NotChecked;
        };
        let near_a = ahead.greatest.fault_a(0.0);
        let far_a = ahead.least.fault_a(self.hot_ohm(area_mm2));
        if !near_a.is_finite() || far_a <= 0.0 {
            return Withstand::NotChecked;
        }
        Fault {
            kind: ahead.kind,
            rating_a: ahead.rating_a,
            near_a,
            far_a,
        }
        .withstand(withstand_k(self.metal, self.material, self.insulation_c))
    }

    /// Its resistance there and back at 20 °C [Ω].
    pub fn cold_ohm(&self, area_mm2: f64) -> f64 {
        2.0 * self.length_m * resistance_ohm_m(self.metal, area_mm2, 20.0)
    }

    /// Its resistance there and back with the metal as hot as the insulation allows [Ω].
    pub fn hot_ohm(&self, area_mm2: f64) -> f64 {
        2.0 * self.length_m * resistance_ohm_m(self.metal, area_mm2, self.insulation_c)
    }

    fn sized(
        &self,
        gauge: &Gauge,
        mm2: f64,
        area_mm2: f64,
        ahead: Option<&Ahead>,
    ) -> Option<Sized> {
        let carried_a = self.ampacity_a(gauge)?;
        let lost = self.lost_v(gauge, area_mm2);
        let most_v = self.drop * self.volts;
        Some(Sized {
            awg: gauge.name.clone(),
            mm2,
            table_a: ampacity_a(gauge, self.insulation_c, false)?,
            ampacity_a: carried_a,
            drop_v: lost,
            loss_w: lost * self.drop_a,
            warm_c: self.warm_c(gauge),
            formula_mm2: least_cmil(self.drop_a, 2.0 * self.length_m, most_v) * MM2_PER_CMIL,
            withstand: self.withstand(area_mm2, ahead),
            bound: Bound::Ampacity,
        })
    }
}

/// The thinnest size that carries 1.25 × the continuous current and the rating of the fuse ahead, loses no more than it may,
/// bears a short circuit until that fuse has cleared it, and is no thinner than its place asks for; none where none of the table
/// does. A gauge counts by its metric size for its place: 8 AWG stands for 10 mm², 6 AWG for 16 mm².
pub fn size(run: &Run, ahead: Option<&Ahead>) -> Option<Sized> {
    let most_v = run.drop * run.volts;
    let least_a = (CONTINUOUS * run.continuous_a).max(ahead.map_or(0.0, |ahead| ahead.rating_a));
    let carries = |gauge: &Gauge| run.ampacity_a(gauge).filter(|amperes| *amperes >= least_a);
    let loses = |gauge: &Gauge| carries(gauge).is_some() && run.lost_v(gauge, gauge.mm2) <= most_v;
    let bears = |gauge: &Gauge| run.withstand(gauge.mm2, ahead).least_mm2() <= gauge.mm2;
    let stout = |gauge: &Gauge| gauge.metric_mm2(|_| true) >= run.least_mm2;
    let all = Gauge::all();
    let gauge = all
        .iter()
        .find(|gauge| loses(gauge) && bears(gauge) && stout(gauge))?;
    let metric = run.metric();
    let mm2 = gauge.metric_mm2(|mm2| metric.lost_v(gauge, mm2) <= most_v);
    let mut sized = run.sized(gauge, mm2, gauge.mm2, ahead)?;
    let thinnest = |fits: &dyn Fn(&Gauge) -> bool| all.iter().position(fits);
    let at = Some(all.iter().position(|other| other == gauge)?);
    sized.bound = if thinnest(&|gauge| carries(gauge).is_some()) == at {
        Bound::Ampacity
    } else if thinnest(&loses) == at {
        Bound::Drop
    } else if thinnest(&|gauge| loses(gauge) && bears(gauge)) == at {
        Bound::Withstand
    } else {
        Bound::Least
    };
    Some(sized)
}

/// A cable that is there already, held as the next thinner size of the table; none where it is thinner than all.
pub fn owned(run: &Run, mm2: f64, ahead: Option<&Ahead>) -> Option<Sized> {
    let gauge = Gauge::all()
        .iter()
        .rev()
        .find(|gauge| gauge.mm2 <= mm2 * 1.035)?;
    let sized = run.metric().sized(gauge, mm2, mm2, ahead)?;
    Some(Sized {
        bound: Bound::Owned,
        ..sized
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cable::FOR_RUNS;
    use proptest::prelude::*;

    const PUMP: Run = Run {
        continuous_a: 10.0,
        drop_a: 10.0,
        length_m: 3.2,
        volts: 12.0,
        drop: 0.03,
        insulation_c: 105.0,
        engine_space: false,
        metal: Metal::Copper,
        together: 2,
        air_c: 30.0,
        material: Material::Pvc,
        least_mm2: 0.0,
    };

    /// The pump's run with another current.
    fn with(continuous_a: f64) -> Run {
        Run {
            continuous_a,
            drop_a: continuous_a,
            ..PUMP
        }
    }

    #[test]
    fn a_pump_by_hand() {
        // 10 A over 3.2 m one way at 12 V, 3 %: 0.36 V. 12 AWG is 3.31 mm²: 0.017241 × 1.02 / 3.31 × (1 + 0.00393 × 30) =
        // 0.00594 Ω/m; × 6.4 m × 10 A = 0.380 V: too much. 10 AWG is 5.26 mm²: 0.239 V.
        let sized = size(&PUMP, None).unwrap();
        assert_eq!((sized.awg.as_str(), sized.bound), ("10", Bound::Drop));
        assert!((sized.drop_v - 0.239).abs() < 0.002, "{sized:?}");
        // 10 of 60 A: 1/36 of 75 K over 30 °C: 32 °C.
        assert!((sized.warm_c - 32.1).abs() < 0.1, "{sized:?}");
        let short = size(
            &Run {
                length_m: 0.3,
                ..PUMP
            },
            None,
        )
        .unwrap();
        assert_eq!((short.awg.as_str(), short.bound), ("18", Bound::Ampacity));
    }

    #[test]
    fn aluminium_is_thicker() {
        // 90 A × 1.25 = 112.5 A: copper of 6 AWG carries 120 A. Aluminium of one size carries √0.61 = 0.781 of what copper does:
        // 94 A of 6 AWG, 125 A of 4 AWG. It loses 1/0.61 = 1.64 times as much of one size and warmth.
        let run = Run {
            length_m: 0.5,
            ..with(90.0)
        };
        let copper = size(&run, None).unwrap();
        let aluminium = size(
            &Run {
                metal: Metal::Aluminium,
                ..run
            },
            None,
        )
        .unwrap();
        assert_eq!((copper.awg.as_str(), aluminium.awg.as_str()), ("6", "4"));
        assert!((aluminium.ampacity_a - 160.0 * 0.61f64.sqrt()).abs() < 0.1);
    }

    #[test]
    fn a_metric_cable_of_fine_strands_loses_no_more_than_it_may() {
        // 100 A over 2.6 m one way at 12 V, 3 %: 0.36 V. 2 AWG, 33.6 mm², at 50 °C: 0.017586 / 33.63 × 1.1179 × 5.2 × 100 = 0.304 V.
        // 35 mm² in fine strands: 0.0195 / 35 × 1.1179 × 520 = 0.324 V: it does. Over 2.95 m 2 AWG loses 0.345 V and 35 mm² 0.367 V:
        // 50 mm² it is.
        let at = |length_m| {
            let run = Run {
                length_m,
                ..with(100.0)
            };
            let sized = size(&run, None).unwrap();
            (sized.awg, sized.mm2)
        };
        assert_eq!(at(2.6), ("2".to_owned(), 35.0));
        assert_eq!(at(2.95), ("2".to_owned(), 50.0));
        // One that is there already is reckoned as fine: 35 mm² loses those 0.367 V.
        let run = Run {
            length_m: 2.95,
            ..with(100.0)
        };
        let there = owned(&run, 35.0, None).unwrap();
        assert!((there.drop_v - 0.367).abs() < 0.001, "{there:?}");
    }

    #[test]
    fn a_short_circuit_may_decide() {
        // A large strip of 60 A: (6 × 60)² × 2 s = 259,200 A²s: √ = 509; k of PVC at 105 °C is 87.6: 5.81 mm². The thinnest
        // that carries the fuse is 5.26 mm²: 8.37 mm² it is. Cross-linked, k is 134.8: 3.8 mm², and 5.26 mm² does.
        let source = Source {
            volts: 12.8,
            ohm: 0.005,
        };
        let ahead = Ahead {
            kind: FuseKind::LongStrip,
            rating_a: 60.0,
            greatest: source,
            least: source,
        };
        let run = Run {
            length_m: 1.0,
            ..with(5.0)
        };
        let plain = size(&run, Some(&ahead)).unwrap();
        assert_eq!((plain.awg.as_str(), plain.bound), ("8", Bound::Withstand));
        let run = Run {
            material: Material::CrossLinked,
            ..run
        };
        let sized = size(&run, Some(&ahead)).unwrap();
        assert_eq!(sized.awg, "10");
        let Withstand::Cleared { least_mm2, .. } = sized.withstand else {
            panic!("{sized:?}")
        };
        assert!(least_mm2 > 3.7 && least_mm2 < sized.mm2, "{sized:?}");
        // Its place may ask for more: 10 mm² is 8 AWG, 16 mm² is 6 AWG.
        for (least_mm2, awg) in [(10.0, "8"), (16.0, "6")] {
            let sized = size(&Run { least_mm2, ..PUMP }, None).unwrap();
            assert_eq!((sized.awg.as_str(), sized.bound), (awg, Bound::Least));
        }
        // A thin cable already there does not bear it.
        let thin = owned(&run, 2.5, Some(&ahead)).unwrap();
        assert!(thin.withstand.least_mm2() > 2.5 && thin.awg == "14");
    }

    proptest! {
        #[test]
        fn longer_hotter_and_heavier_runs_never_take_less(
            current in 1.0f64..250.0, length in 0.1f64..10.0, more in 1.0f64..3.0, drop in 0.02f64..0.1, warmer in 30.0f64..70.0,
            kind in 0usize..6, source in 0.001f64..0.1,
        ) {
            let run = Run { length_m: length, drop, ..with(current) };
            let ahead = Ahead {
                kind: FOR_RUNS[kind],
                rating_a: 1.3 * current,
                greatest: Source { volts: 12.8, ohm: source },
                least: Source { volts: 12.0, ohm: 2.0 * source },
            };
            for ahead in [None, Some(&ahead)] {
                let area = |run: &Run| size(run, ahead).map_or(f64::INFINITY, |sized| sized.mm2);
                let here = area(&run);
                let others = [
                    Run { length_m: length * more, ..run },
                    Run { continuous_a: current * more, drop_a: current * more, ..run },
                    Run { engine_space: true, ..run },
                    Run { air_c: warmer, ..run },
                    Run { together: 5, ..run },
                    Run { metal: Metal::Aluminium, ..run },
                ];
                // Of cooler insulation a short circuit asks less: it starts farther from the temperature at which PVC ends.
                let cooler = ahead.is_none().then_some(Run { insulation_c: 75.0, ..run });
                for other in others.into_iter().chain(cooler) {
                    prop_assert!(area(&other) >= here, "{:?}", other);
                }
            }
        }

        #[test]
        fn a_hotter_place_never_more_current(air in -20.0f64..120.0, hotter in 0.0f64..60.0, gauge in 0usize..12, engine in proptest::bool::ANY) {
            let gauge = &Gauge::all()[gauge];
            let at = |air_c, engine_space| Run { air_c, engine_space, ..PUMP }.ampacity_a(gauge).unwrap_or(0.0);
            prop_assert!(at(air + hotter, engine) <= at(air, engine));
            prop_assert!(at(air, true) <= at(air, false));
        }
    }
}
