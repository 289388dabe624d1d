//! Cables of a plan, checked.

use super::{Check, links};
use crate::cable::{Material, Metal};
use crate::inputs::{Candidate, Converter, Laid, Wiring};
use crate::plan::{self, Bundle, Conductor, Insulation, Leg, Plan};
use crate::units::{Quantity, tidy};

/// Shortest run [mm].
const SHORTEST_MM: f64 = 50.0;
/// Longest run [mm].
const LONGEST_MM: f64 = 100_000.0;

impl Check<'_> {
    /// A run's length [m].
    fn metres(&mut self, field: &str, what: &str, mm: f64) -> f64 {
        let units = self.plan.units;
        if mm.is_finite() && mm < SHORTEST_MM {
            self.refuse(
                field,
                format!(
                    "{what} can't be {} long: even neighbours stand a hand apart.",
                    Quantity::Length.show(mm, units)
                ),
                format!(
                    "Measure one way along the path that the cable will take, {} at the least.",
                    Quantity::Length.show(SHORTEST_MM, units)
                ),
            );
            return SHORTEST_MM / 1000.0;
        }
        if mm.is_finite() && mm > LONGEST_MM && mm < 1e12 {
            self.refuse(
                field,
                format!(
                    "{what} can't be {} m long: at so low a voltage nothing would arrive.",
                    tidy((mm / 1000.0).round())
                ),
                "Check the unit; up to 100 m can be planned here.",
            );
            return LONGEST_MM / 1000.0;
        }
        self.number(field, what, Quantity::Length, mm, SHORTEST_MM, LONGEST_MM) / 1000.0
    }

    pub(super) fn wired(
        &mut self,
        name: &str,
        what: &str,
        quantity: Quantity,
        value: f64,
        range: [f64; 2],
    ) -> f64 {
        let [least, most] = range;
        self.number(
            &format!("wiring/{name}"),
            what,
            quantity,
            value,
            least,
            most,
        )
    }
}

pub(super) fn wiring(check: &mut Check<'_>, plan: &Plan, candidates: &[Candidate]) -> Wiring {
    let row = &plan.wiring;
    let bank_m = check.metres("wiring/bank_mm", "The run from the bank", row.bank_mm);
    let inverter_m = check.metres(
        "wiring/inverter_mm",
        "The run to the inverter",
        row.inverter_mm,
    );
    let sun_m = check.metres(
        "wiring/sun_mm",
        "The run from the solar controller",
        row.sun_mm,
    );
    let panels_m = check.metres("wiring/panels_mm", "The run from the panels", row.panels_mm);
    let engine_m = check.metres(
        "wiring/engine_mm",
        "The run from the alternator",
        row.engine_mm,
    );
    let shore_m = check.metres("wiring/shore_mm", "The run from the charger", row.shore_mm);
    let loads_m = check.metres("wiring/loads_mm", "The run to the load panel", row.loads_mm);
    let branch_m = check.metres("wiring/branch_mm", "The run to a load", row.branch_mm);
    if row.drop == 0.0 {
        check.refuse(
            "wiring/drop",
            "No run loses 0 %: every cable takes something, and only endless copper would take nothing.",
            "Allow 3 %; no less than 0.5 %.",
        );
    } else {
        check.wired(
            "drop",
            "What a run may lose",
            Quantity::Share,
            row.drop,
            [0.005, 0.2],
        );
    }
    let common = laid(
        check,
        "wiring",
        row.insulation,
        row.bundle,
        row.air_c,
        false,
    );
    let material = material(row);
    Wiring {
        bank_m,
        inverter_m,
        sun_m,
        panels_m,
        engine_m,
        shore_m,
        loads_m,
        branch_m,
        branches_m: branches(check, plan),
        drop: row.drop,
        metal: match row.metal {
            Conductor::Copper => Metal::Copper,
            Conductor::Aluminium => Metal::Aluminium,
        },
        material,
        main_least_mm2: row.main_least_mm2.map(|mm2| {
            check.wired(
                "main_least_mm2",
                "The least area of the main conductors",
                Quantity::Number,
                mm2,
                [0.75, 300.0],
            )
        }),
        converter: converter(check, plan),
        on_bars: on_bars(plan),
        common,
        engine_space: row.engine_space,
        routes: routes(check, row),
        owned: owned(check, row),
        along_g: check.wired(
            "along_g",
            "The pull along",
            Quantity::Number,
            row.along_g,
            [0.1, 100.0],
        ),
        across_g: check.wired(
            "across_g",
            "The pull across",
            Quantity::Number,
            row.across_g,
            [0.1, 100.0],
        ),
        links: links::links(check, plan, candidates),
        hold: links::hold(check, row),
        panel_v: panel_v(plan.sun.panel_vmp) * plan.volts / 12.0,
    }
}

fn material(row: &plan::Wiring) -> Material {
    match row.material {
        plan::Material::Pvc => Material::Pvc,
        plan::Material::CrossLinked => Material::CrossLinked,
        plan::Material::Rubber => Material::Rubber,
    }
}

/// A converter that feeds the load panel at 12 V; a rig of 12 V has none.
fn converter(check: &mut Check<'_>, plan: &Plan) -> Option<Converter> {
    let row = &plan.wiring;
    let output_a = row.converter_a?;
    if plan.volts <= 12.0 {
        check.refuse(
            "wiring/converter_a",
            "A rig of 12 V needs no converter to 12 V.",
            "Leave the converter's rating empty, or choose 24 or 48 V.",
        );
        return None;
    }
    Some(Converter {
        output_a: check.wired(
            "converter_a",
            "The converter's rating",
            Quantity::Current,
            output_a,
            [1.0, 300.0],
        ),
        length_m: check.metres(
            "wiring/converter_mm",
            "The run to the converter",
            row.converter_mm,
        ),
    })
}

/// Loads whose circuit begins at the bus bars.
fn on_bars(plan: &Plan) -> Vec<u32> {
    let loads = plan.loads.iter().filter(|load| load.on_bars);
    loads.map(|load| load.id).collect()
}

/// What is around a run, all of it in one row of the plan at `at`.
fn laid(
    check: &mut Check<'_>,
    at: &str,
    insulation: Insulation,
    bundle: Bundle,
    air_c: f64,
    engine_space: bool,
) -> Laid {
    let insulation_c = match insulation {
        Insulation::C60 => 60.0,
        Insulation::C75 => 75.0,
        Insulation::C90 => 90.0,
        Insulation::C105 => 105.0,
        Insulation::C125 => 125.0,
    };
    // Insulation bears no more than its material does: 125 °C only where it is cross-linked.
    let insulation_c = f64::min(insulation_c, material(&check.plan.wiring).most_c());
    let field = format!("{at}/air_c");
    let what = "The air around the cables";
    let air_c = check.number(&field, what, Quantity::Temperature, air_c, -40.0, 80.0);
    if air_c > insulation_c - 5.0 {
        check.refuse(
            field,
            format!(
                "Insulation for {} °C has nothing left to warm by in air of {} °C.",
                tidy(insulation_c),
                tidy(air_c)
            ),
            "Take insulation that bears more, or another way for the cable.",
        );
    }
    if engine_space && insulation_c < 75.0 {
        check.refuse(
            format!("{at}/insulation"),
            "Insulation for 60 °C isn't allowed in an engine space.",
            "Take one for 75 °C or more, or lay the cable clear of the engine.",
        );
    }
    Laid {
        insulation_c,
        engine_space,
        together: match bundle {
            Bundle::Few => 2,
            Bundle::Some => 6,
            Bundle::Many => 24,
        },
        air_c,
    }
}

/// The runs that lie otherwise, each by the field of its length.
fn routes(check: &mut Check<'_>, row: &plan::Wiring) -> Vec<(&'static str, Laid)> {
    let mut routes: Vec<(&'static str, Laid)> = Vec::new();
    for route in &row.routes {
        let at = format!("wiring/routes/{}", route.id);
        let run = match route.run {
            Leg::Bank => "bank_mm",
            Leg::Inverter => "inverter_mm",
            Leg::Sun => "sun_mm",
            Leg::Engine => "engine_mm",
            Leg::Shore => "shore_mm",
            Leg::Loads => "loads_mm",
            Leg::Branches => "branch_mm",
            Leg::Panels => "panels_mm",
        };
        if routes.iter().any(|(other, _)| *other == run) {
            check.refuse(
                format!("{at}/run"),
                "This run stands in two rows, and it can lie only one way.",
                "Remove one of them, or choose another run.",
            );
            continue;
        }
        let laid = laid(
            check,
            &at,
            route.insulation,
            route.bundle,
            route.air_c,
            route.engine_space,
        );
        routes.push((run, laid));
    }
    routes
}

/// Loads with a run of their own length from the panel [m].
fn branches(check: &mut Check<'_>, plan: &Plan) -> Vec<(u32, f64)> {
    let own = plan.loads.iter();
    let own = own.filter_map(|load| Some((load, load.cable_mm?)));
    own.map(|(load, mm)| {
        let what = format!("The run to {}", load.name.trim());
        let field = format!("loads/{}/cable_mm", load.id);
        (load.id, check.metres(&field, &what, mm))
    })
    .collect()
}

/// Voltage of a panel at its best for 12 V [V]: what the plan says where it can be, else 18 (assumed).
fn panel_v(said: f64) -> f64 {
    if (5.0..=60.0).contains(&said) {
        said
    } else {
        18.0
    }
}

/// The cables that are there already, each by the field of its run's length.
fn owned(check: &mut Check<'_>, row: &plan::Wiring) -> Vec<(&'static str, f64)> {
    let all = [
        ("bank_mm", "bank_mm2", "The bank's cable", row.bank_mm2),
        (
            "inverter_mm",
            "inverter_mm2",
            "The inverter's cable",
            row.inverter_mm2,
        ),
        (
            "sun_mm",
            "sun_mm2",
            "The solar controller's cable",
            row.sun_mm2,
        ),
        (
            "engine_mm",
            "engine_mm2",
            "The alternator's cable",
            row.engine_mm2,
        ),
        (
            "shore_mm",
            "shore_mm2",
            "The charger's cable",
            row.shore_mm2,
        ),
        (
            "loads_mm",
            "loads_mm2",
            "The load panel's cable",
            row.loads_mm2,
        ),
    ];
    let mut owned = Vec::new();
    for (length, field, what, mm2) in all {
        if let Some(mm2) = mm2 {
            if (0.8..=300.0).contains(&mm2) {
                owned.push((length, mm2));
            } else {
                check.refuse(
                    format!("wiring/{field}"),
                    format!(
                        "{what} can't have {} mm².",
                        if mm2.abs() < 1e9 {
                            tidy(mm2)
                        } else {
                            "so many".into()
                        }
                    ),
                    "Read the size off its sheath, from 0.8 to 300 mm², or leave it empty.",
                );
            }
        }
    }
    owned
}

#[cfg(test)]
mod tests {
    use crate::plan::{Candidate, Insulation, Leg, Load, Plan, Route, Way};

    fn route(run: Leg) -> Route {
        Route {
            id: 9,
            run,
            air_c: 30.0,
            insulation: Insulation::C105,
            ..Route::default()
        }
    }

    fn says(change: impl Fn(&mut Plan)) -> String {
        let mut plan = Plan {
            loads: vec![Load {
                id: 1,
                name: "the lamp".into(),
                draw: 12.0,
                way: Way::Always,
                ..Load::default()
            }],
            candidates: vec![Candidate {
                id: 2,
                capacity_ah: 96.0,
                parallel: 2.0,
                ..Candidate::default()
            }],
            ..Plan::default()
        };
        assert!(crate::import(&plan).is_ok());
        change(&mut plan);
        let faults = crate::import(&plan).expect_err("refused");
        let all: Vec<String> = faults
            .iter()
            .map(|fault| format!("{} {}", fault.says, fault.mend))
            .collect();
        assert_eq!(all.len(), 1, "{all:?}");
        all.concat()
    }

    #[test]
    fn each_wrong_value_has_its_sentence() {
        for (said, wanted) in [
            (
                says(|plan| plan.wiring.bank_mm = 0.0),
                "The run from the bank can't be 0 mm long",
            ),
            (
                says(|plan| plan.wiring.loads_mm = 1e6),
                "can't be 1000 m long: at so low a voltage nothing would arrive",
            ),
            (
                says(|plan| plan.wiring.drop = 0.0),
                "No run loses 0 %: every cable takes something",
            ),
            (
                says(|plan| plan.loads[0].cable_mm = Some(2.0)),
                "The run to the lamp can't be 2 mm long",
            ),
            (
                says(|plan| plan.wiring.routes = vec![route(Leg::Sun), route(Leg::Sun)]),
                "This run stands in two rows, and it can lie only one way",
            ),
            (
                says(|plan| {
                    plan.wiring.routes = vec![Route {
                        air_c: 120.0,
                        ..route(Leg::Sun)
                    }];
                }),
                "The air around the cables can't be 120 °C",
            ),
            (
                says(|plan| {
                    plan.wiring.routes = vec![Route {
                        engine_space: true,
                        insulation: Insulation::C60,
                        ..route(Leg::Inverter)
                    }];
                }),
                "Insulation for 60 °C isn't allowed in an engine space",
            ),
            (
                says(|plan| plan.wiring.panels_mm = 3.0),
                "The run from the panels can't be 3 mm long",
            ),
            (
                says(|plan| plan.wiring.link_thick_mm = 40.0),
                "A bar 25 mm wide can't be 40 mm thick",
            ),
            (
                says(|plan| {
                    plan.shore.fitted = true;
                    plan.shore.charger_a = 10_000.0;
                }),
                "The charger's rating can't be 10000 A",
            ),
            (
                says(|plan| plan.wiring.last_v = Some(24.0)),
                "A string of 24 V can't stand beside strings of 12 V. Nothing limits the current between them",
            ),
            (
                says(|plan| plan.wiring.join_low = 1.0 + 0.2),
                "The charge of the emptier string can't be 120 %",
            ),
            (
                says(|plan| plan.wiring.converter_a = Some(20.0)),
                "A rig of 12 V needs no converter to 12 V. Leave the converter's rating empty",
            ),
            (
                says(|plan| plan.wiring.sun_mm2 = Some(0.0)),
                "The solar controller's cable can't have 0 mm²",
            ),
            (
                says(|plan| {
                    plan.wiring.insulation = Insulation::C60;
                    plan.wiring.air_c = 70.0;
                }),
                "Insulation for 60 °C has nothing left to warm by in air of 70 °C",
            ),
        ] {
            let said = said.replace('\u{202f}', " ");
            assert!(said.contains(wanted), "{said}");
        }
    }
}
