//! The locker in words: what it would take, what each side faces, how all is carried in, and what to measure.

use super::{capital, list, number, tidy};
use crate::cable::{about_thick_mm, bend_takes_mm};
use crate::fit::{Certainty, Change, Gap, Neighbour, Passage, Placement, Taking, Turning, Verdict};
use crate::plan::{CableExit, Locker, Plan, Terminals, Thing, Units};
use crate::report::{BankSpace, Report, SpaceReport};
use crate::units::Quantity;

fn length(mm: f64, units: Units) -> String {
    Quantity::Length.tell(mm, units)
}

/// What moving a thing carries with it, by what it is.
pub fn caution(what: Thing) -> &'static str {
    match what {
        Thing::Plain | Thing::LooseGear => "",
        Thing::Structure => {
            "Find out what it holds up first; something else must bear that before it goes."
        }
        Thing::Wiring => {
            "Leave no wire pulled tight and none bare; where it passes an edge it needs a sleeve."
        }
        Thing::VehicleElectronics => {
            "It belongs to the vehicle's electronics: moving it can end the warranty, so ask the vehicle's workshop. It may go only where it stays dry and within its own cables' reach, on a bracket with its own fasteners."
        }
        Thing::SafetyPart => {
            "It is part of what keeps people safe in a crash: only a qualified workshop may touch it."
        }
        Thing::Fuel => "Fuel and gas are for a licensed fitter, and no spark comes near them.",
        Thing::Hot => "It gets hot: nothing that melts or burns comes near it.",
    }
}

/// One way in words: a sentence, with the caution that it carries.
fn way(way: &Taking, bank: &BankSpace, units: Units) -> String {
    let parts: Vec<String> = way
        .changes
        .iter()
        .map(|change| one(change, bank, units))
        .collect();
    let mut says = format!("{}.", capital(&parts.join(", and ")));
    for change in &way.changes {
        let more = match change {
            Change::Move { obstacle, .. } | Change::Remove { obstacle } => bank
                .things
                .get(*obstacle)
                .map_or("", |(_, what)| caution(*what)),
            Change::Longer { axis: 2, .. } => {
                "Its screws grow by as much, and keep at least one diameter of thread in steel (common practice, no source)."
            }
            Change::Turn { .. } => "Only if its maker allows that.",
            Change::Exit { way, .. } if bank.exits.get(*way) == Some(&CableExit::Bar) => {
                "The bar is covered over its whole length."
            }
            _ => "",
        };
        if !more.is_empty() && !says.contains(more) {
            says = format!("{says} {more}");
        }
    }
    says
}

fn one(change: &Change, bank: &BankSpace, units: Units) -> String {
    let show = |mm: f64| length(mm, units);
    let name = |at: usize| {
        bank.things
            .get(at)
            .map_or("the thing", |(name, _)| name.as_str())
    };
    match change {
        Change::Gap { by_mm, to_mm } => {
            format!(
                "leave {} less beside each case, {} in all",
                show(*by_mm),
                show(to_mm.max(0.0))
            )
        }
        Change::Longer { axis: 0, by_mm } => format!("make it {} longer inside", show(*by_mm)),
        Change::Longer { axis: 1, by_mm } => format!("make it {} deeper inside", show(*by_mm)),
        Change::Longer { by_mm, .. } => format!(
            "raise the lid by {}, or put a spacer of that height under it",
            show(*by_mm)
        ),
        Change::Move { obstacle, by_mm } => {
            let ways = [
                ("to the right", "to the left"),
                ("to the back", "to the front"),
                ("upward", "downward"),
            ];
            let each = by_mm.iter().zip(ways).filter(|(mm, _)| **mm != 0.0);
            let parts: Vec<String> = each
                .map(|(mm, (on, back))| {
                    format!("{} {}", show(mm.abs()), if *mm > 0.0 { on } else { back })
                })
                .collect();
            format!("move the {} {}", name(*obstacle), list(&parts))
        }
        Change::Remove { obstacle } => format!("take the {} out", name(*obstacle)),
        Change::Exit {
            way,
            to_mm,
            beside_mm,
        } => {
            let how = match bank.exits.get(*way) {
                Some(CableExit::Bar) => "let the cables leave sideways by a link bar",
                Some(CableExit::Flush) => "use terminals that end flush with the case",
                _ => "let the cables leave upward by lugs",
            };
            let beside = if *beside_mm > 0.0 {
                format!(" and {} beyond it", show(*beside_mm))
            } else {
                String::new()
            };
            format!("{how}, {} above the case{beside}", show(*to_mm))
        }
        Change::Bear { part, to_kg } => {
            let kg = Quantity::Mass.show((to_kg * 10.0).ceil() / 10.0, units);
            format!("make the {} bear {kg}", name(*part))
        }
        Change::Turn {
            turning: Turning::Any,
        } => "lay it on any side but its top".to_owned(),
        Change::Turn { .. } => "lay it on a long side".to_owned(),
        Change::Case { case, size_mm } => {
            let [long, wide, high] = size_mm.map(show);
            let name = bank.cases.get(*case).map_or("another size", String::as_str);
            format!("choose a case of size {name} ({long} × {wide} × {high})")
        }
    }
}

/// What would it take, for one bank: a heading and its ways, the smallest first.
pub fn what_it_takes(bank: &BankSpace, units: Units) -> (String, Vec<String>) {
    let Some(takes) = &bank.takes else {
        return (
            format!(
                "{} go in as it is; more than eight are not searched for.",
                capital(&number(bank.as_it_is))
            ),
            Vec::new(),
        );
    };
    let now = match bank.as_it_is {
        0 => "None goes in as it is.".to_owned(),
        1 => "One goes in as it is.".to_owned(),
        more => format!("{} go in as it is.", capital(&number(more))),
    };
    let cut = if takes.certainty == Certainty::CutShort {
        " The search was cut short, so a smaller change may have been missed."
    } else {
        ""
    };
    let target = number(takes.target);
    let head = match takes.ways.first().map(|way| way.changes.len()) {
        None => {
            format!("{now} No change and no pair of changes that were tried admits {target}.{cut}")
        }
        Some(1) => {
            format!("{now} For {target}, any one of these will do, the smallest first:{cut}")
        }
        Some(_) => format!(
            "{now} No single change admits {target}; either of these pairs does, the smallest first:{cut}"
        ),
    };
    let head = head.replace(
        "either of these pairs does",
        if takes.ways.len() == 1 {
            "this pair does"
        } else {
            "each of these pairs does"
        },
    );
    (
        head,
        takes.ways.iter().map(|one| way(one, bank, units)).collect(),
    )
}

/// What would it take, for every bank, line by line.
pub fn space_lines(report: &Report, space: &SpaceReport, units: Units) -> Vec<String> {
    let mut lines = Vec::new();
    for bank in &space.banks {
        let name = super::bank_of(report, bank.id);
        let (head, ways) = what_it_takes(bank, units);
        lines.push(format!("{name}. {head}"));
        lines.extend(ways);
    }
    lines
}

/// What a case's side faces.
pub fn neighbour(gap: &Gap) -> String {
    match (&gap.to, gap.axis, gap.far) {
        (Neighbour::Obstacle(name), ..) => name.clone(),
        (Neighbour::Case(at), ..) => format!("battery {}", at + 1),
        (Neighbour::Wall, 0, false) => "left end".to_owned(),
        (Neighbour::Wall, 0, true) => "right end".to_owned(),
        (Neighbour::Wall, 1, false) => "front".to_owned(),
        (Neighbour::Wall, 1, true) => "back".to_owned(),
        (Neighbour::Wall, _, false) => "floor".to_owned(),
        (Neighbour::Wall, _, true) => "lid".to_owned(),
    }
}

/// What a case is called: its number, and its name where it is of another kind.
pub fn case_called(at: usize, kind: usize, space: &Locker) -> String {
    let number = format!("battery {}", at + 1);
    if kind == 0 {
        number
    } else {
        format!("{number}, the {}", space.other.name.trim())
    }
}

/// Which way a case's label looks, where that matters: it stands, and where its terminals sit is told.
pub fn label_faces(case: &Placement, plan: &Plan) -> String {
    let told = if case.kind == 0 {
        plan.chosen_candidate().map(|row| row.terminals)
    } else {
        Some(plan.locker.other.terminals)
    };
    if case.terminals != 2 || told.is_none_or(|told| told == Terminals::Anywhere) {
        return String::new();
    }
    let faces = ["front", "right", "back", "left"];
    let face = faces.get(usize::from(case.quarters)).copied();
    format!("; its label to the {}", face.unwrap_or("front"))
}

/// A gap with how far it may be out: "12 ± 3 mm".
pub fn gap_words(gap: &Gap, units: Units) -> String {
    match units {
        Units::Metric => format!("{} ± {} mm", tidy(gap.mm.round()), tidy(gap.within_mm)),
        Units::Imperial => format!(
            "{} ± {}",
            length(gap.mm, units),
            length(gap.within_mm, units)
        ),
    }
}

/// In which order all are carried in, or why they can't be.
pub fn carried_line(fit: &Verdict) -> Option<String> {
    if fit.arrangement.is_empty() {
        return None;
    }
    if let Some(order) = &fit.carried.order {
        let order: Vec<String> = order.iter().map(|at| (at + 1).to_string()).collect();
        return Some(match order.as_slice() {
            [_] => "It can be carried in and lifted out again.".to_owned(),
            several => format!(
                "Carry them in in this order: {}; lift them out the other way round.",
                list(several)
            ),
        });
    }
    let part = |passage: Passage, says: &str| {
        let which = numbered(fit, passage);
        let noun = if which.len() == 1 {
            "Battery"
        } else {
            "Batteries"
        };
        (!which.is_empty()).then(|| format!("{noun} {} {says}.", list(&which)))
    };
    let parts = [
        part(Passage::TooLarge, "can't pass the opening by any face"),
        part(Passage::MayTilt, "may go in tilted; not tried"),
        part(
            Passage::Stuck,
            "can pass the opening, but no straight way leads to the place",
        ),
        part(Passage::NotFound, "can pass the opening; no way in found"),
    ];
    Some(parts.into_iter().flatten().collect::<Vec<_>>().join(" "))
}

/// What the bend of the bank's own cable takes, above a lug or beside the case.
pub fn bend_line(report: &Report, units: Units) -> Option<String> {
    let runs = &report.carries.runs;
    let run = runs.iter().find(|run| run.field == "wiring/bank_mm")?;
    let mm2 = run.sized.as_ref()?.mm2;
    let show = |mm: f64| length(mm.round(), units);
    Some(format!(
        "The bank's cable of {} mm² is about {} thick, and to bend it takes about {}: five thicknesses of inner radius and its own (common practice, no source; its maker says).",
        tidy(mm2),
        show(about_thick_mm(mm2)),
        show(bend_takes_mm(mm2))
    ))
}

/// Where the middle of all the mass is, taken at the middle of each case.
pub fn middle_line(fit: &Verdict, units: Units) -> Option<String> {
    let count = fit.arrangement.len() as f64;
    if count == 0.0 {
        return None;
    }
    let mut sum = [0.0; 3];
    for case in &fit.arrangement {
        for (sum, (at, size)) in sum.iter_mut().zip(case.at_mm.iter().zip(&case.size_mm)) {
            *sum += at + size / 2.0;
        }
    }
    let [x, y, z] = sum.map(|sum| length((sum / count).round(), units));
    Some(format!(
        "The middle of their mass is about {x} from the left end, {y} from the front and {z} above the floor."
    ))
}

fn numbered(fit: &Verdict, passage: Passage) -> Vec<String> {
    let each = fit.carried.passages.iter().enumerate();
    each.filter(|(_, one)| **one == passage)
        .map(|(at, _)| (at + 1).to_string())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::WhatItTakes;

    fn bank(changes: Vec<Change>, what: Thing) -> BankSpace {
        BankSpace {
            id: 1,
            planned: 1,
            as_it_is: 1,
            takes: Some(WhatItTakes {
                target: 2,
                ways: vec![Taking {
                    changes,
                    size_mm: 1.0,
                }],
                certainty: Certainty::Exact,
            }),
            things: vec![("bracket".to_owned(), what)],
            cases: vec!["BCI 24".to_owned()],
            exits: vec![CableExit::Bar],
        }
    }

    #[test]
    fn ways_are_sentences_with_their_cautions() {
        let moved = Change::Move {
            obstacle: 0,
            by_mm: [-31.0, 0.0, 0.0],
        };
        let (head, ways) = what_it_takes(&bank(vec![moved], Thing::SafetyPart), Units::Metric);
        assert_eq!(
            head,
            "One goes in as it is. For two, any one of these will do, the smallest first:"
        );
        assert!(
            ways[0].starts_with(
                "Move the bracket 31 mm to the left. It is part of what keeps people safe"
            ),
            "{}",
            ways[0]
        );
        let pair = vec![
            Change::Longer {
                axis: 2,
                by_mm: 12.4,
            },
            Change::Exit {
                way: 0,
                to_mm: 12.0,
                beside_mm: 0.0,
            },
        ];
        let (head, ways) = what_it_takes(&bank(pair, Thing::Plain), Units::Metric);
        assert!(
            head.contains("No single change admits two; this pair does"),
            "{head}"
        );
        assert!(ways[0].starts_with("Raise the lid by 12.4 mm, or put a spacer of that height under it, and let the cables leave sideways"), "{}", ways[0]);
        assert!(ways[0].contains("one diameter of thread"));
    }

    #[test]
    fn none_is_said_plainly() {
        let mut none = bank(Vec::new(), Thing::Plain);
        none.takes.as_mut().unwrap().ways.clear();
        assert!(
            what_it_takes(&none, Units::Imperial)
                .0
                .contains("No change and no pair of changes")
        );
        none.takes = None;
        assert!(what_it_takes(&none, Units::Imperial).1.is_empty());
    }
}
