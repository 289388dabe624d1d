//! The locker in words: what it would take, what each side faces, how all is carried in, and what to measure.

use super::{capital, list, number};
use crate::fit::{Certainty, Change, Gap, Neighbour, Outcome, Passage, Taking, Turning, Verdict};
use crate::plan::{CableExit, Thing, Units};
use crate::report::{BankReport, BankSpace, Report, SpaceReport, YearReport};
use crate::units::Quantity;

fn length(mm: f64, units: Units) -> String {
    Quantity::Length.show((mm * 10.0).round() / 10.0, units)
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
        Change::Move {
            obstacle,
            axis,
            by_mm,
        } => {
            let to = match (axis, *by_mm > 0.0) {
                (0, true) => "to the right",
                (0, false) => "to the left",
                (1, true) => "to the back",
                (1, false) => "to the front",
                (_, true) => "upward",
                (_, false) => "downward",
            };
            format!("move the {} {} {to}", name(*obstacle), show(by_mm.abs()))
        }
        Change::Remove { obstacle } => format!("take the {} out", name(*obstacle)),
        Change::Exit { way, to_mm } => {
            let how = match bank.exits.get(*way) {
                Some(CableExit::Bar) => "let the cables leave sideways by a link bar",
                Some(CableExit::Flush) => "use terminals that end flush with the case",
                _ => "let the cables leave upward by lugs",
            };
            format!("{how}, {} above the case", show(*to_mm))
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
        let name = report
            .banks
            .iter()
            .find(|one| one.id == bank.id)
            .map_or(String::new(), super::bank_name);
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

/// A gap with how far it may be out: "12 ± 3 mm".
pub fn gap_words(gap: &Gap, units: Units) -> String {
    match units {
        Units::Metric => format!(
            "{} ± {} mm",
            crate::units::tidy(gap.mm.round()),
            crate::units::tidy(gap.within_mm)
        ),
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
    let turned: Vec<String> = numbered(fit, Passage::TurnedInside);
    match &fit.carried.order {
        Some(order) => {
            let order: Vec<String> = order.iter().map(|at| (at + 1).to_string()).collect();
            let turned = match turned.as_slice() {
                [] => String::new(),
                some => format!(" Turned once inside: {}.", list(some)),
            };
            Some(match order.as_slice() {
                [_] => format!("It can be carried in and lifted out again.{turned}"),
                several => format!(
                    "Carry them in in this order: {}; lift them out the other way round.{turned}",
                    list(several)
                ),
            })
        }
        None => {
            let large = numbered(fit, Passage::TooLarge);
            let stuck = numbered(fit, Passage::Stuck);
            let part = |which: &[String], says: &str| {
                (!which.is_empty()).then(|| {
                    format!(
                        "{} {} {says}.",
                        if which.len() == 1 {
                            "Battery"
                        } else {
                            "Batteries"
                        },
                        list(which)
                    )
                })
            };
            let parts = [
                part(&large, "can't pass the opening by any face"),
                part(
                    &stuck,
                    "can pass, but no straight way to the place was found",
                ),
            ];
            Some(parts.into_iter().flatten().collect::<Vec<_>>().join(" "))
        }
    }
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

/// One against another: what the second gives and takes against the first, in the sentence that decides.
pub fn one_against(
    first: &BankReport,
    second: &BankReport,
    year: Option<&YearReport>,
    units: Units,
) -> String {
    let fits = |bank: &BankReport| match bank.fit.as_ref().map(|fit| &fit.outcome) {
        None => None,
        Some(Outcome::Fits { too_close, .. }) => Some(!too_close),
        Some(Outcome::TooBig { .. }) => Some(false),
    };
    let days = second.parked.days() - first.parked.days();
    let mut gives = vec![if days.is_finite() {
        format!(
            "{} {} parked",
            super::days(days.abs()),
            if days >= 0.0 { "more" } else { "fewer" }
        )
    } else {
        "another length of stay".to_owned()
    }];
    let short = |bank: &BankReport| year?.bank(bank.id).map(|year| i64::from(year.short_days));
    if let (Some(a), Some(b)) = (short(first), short(second))
        && a != b
    {
        let by = a.abs_diff(b);
        let (more, day) = (
            if b < a { "fewer" } else { "more" },
            if by == 1 { "day" } else { "days" },
        );
        gives.push(format!("{by} {more} {day} short a year"));
    }
    let kg = second.mass_kg - first.mass_kg;
    if kg.abs() >= 0.5 {
        let mass = Quantity::Mass.show((kg.abs() * 2.0).round() / 2.0, units);
        gives.push(format!(
            "{mass} {}",
            if kg > 0.0 { "heavier" } else { "lighter" }
        ));
    }
    let says = format!(
        "{} against {}: {}",
        super::bank_name(second),
        lower(&super::bank_name(first)),
        list(&gives)
    );
    match (fits(first), fits(second)) {
        (Some(true), Some(false)) => {
            format!("{says}; but it does not go in for certain, and that decides.")
        }
        (Some(false), Some(true)) => {
            format!("{says}; and it goes in for certain, where the other does not: that decides.")
        }
        (Some(false), Some(false)) => format!("{says}; neither goes in for certain yet."),
        (Some(true), Some(true)) => {
            format!("{says}; both go in, so the days decide against mass and money.")
        }
        _ => format!("{says}; the space is not measured, so fit is left out."),
    }
}

fn lower(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}

/// What to leave ready where one comes now and one later, and what an old and a new one do to each other.
pub const ONE_LATER: &str = "One now and one more later: leave its place free, bus bars with a spare stud, cables of equal length to both and a fuse holder for it. Beside an old battery a new one is drawn down to the old one's state, so buy the second within a year of the first, of the same make and kind, and bring both to the same charge before they are joined (common practice, no source).";

/// What to measure, in order, for the sheet that goes to the vehicle; each with a blank.
pub const TO_MEASURE: [(&str, &str); 12] = [
    (
        "Inside length, at the floor, half-way up and under the lid",
        "smallest",
    ),
    (
        "Inside depth, at the left, in the middle and at the right",
        "smallest",
    ),
    (
        "Inside height, at all four corners and in the middle",
        "smallest",
    ),
    (
        "The opening: which face, its two sides, and where it begins",
        "the hole itself, not its frame",
    ),
    (
        "Each thing in the way: from the left, from the front, from the floor",
        "name it",
    ),
    (
        "The same thing: how long, how deep, how high",
        "with its screws and plugs",
    ),
    (
        "What it is, and whether it stays, can move or can go",
        "ask before you move it",
    ),
    (
        "What slides or swings: how far, and between which heights",
        "through its full travel",
    ),
    (
        "Wheel arches and slopes: where they begin, where they end",
        "at the height where they reach farthest in",
    ),
    (
        "A shelf to stand on: its height, its edges, what holds it",
        "what it may carry",
    ),
    (
        "The battery: length, width, height over its terminals",
        "with its maker's tolerance",
    ),
    (
        "Above the terminals: lug, fuse and cover, and the bend of the cable",
        "or the thickness of a link bar",
    ),
];

/// What the trade reminds one of, tape in hand.
pub const REMINDERS: [&str; 5] = [
    "Measure twice, the second time from the other side. Write the smallest reading down.",
    "Slide the seat through its full travel and open every door and drawer before you trust a free space.",
    "Look behind a panel before a hole goes through it: tanks, hoses and looms lie there.",
    "Cover wires against sparks and swarf while you cut, with the battery disconnected.",
    "Where a cable will pass an edge, note it: it needs a grommet or a sleeve.",
];

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
            axis: 0,
            by_mm: -31.0,
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
