//! The locker: remarks about it, and what one change would do for each bank.

use super::remarks::{Found, add};
use crate::battery::Chemistry;
use crate::cable::bend_takes_mm;
use crate::data::cases::{CaseSize, cases};
use crate::finding::Gravity;
use crate::fit::{
    Locker, Offers, Outcome, Rules, Terminals, Turning, Verdict, most, what_it_takes,
};
use crate::inputs::{Candidate, Inputs};
use crate::plan::{CableExit, Thing};
use crate::report::{BankReport, BankSpace, Carries, SpaceReport};
use crate::units::tidy;
use crate::words;

/// Most cases that are searched for.
const MOST: u32 = 8;
/// Share of the rated capacity that another case's typical capacity must reach. Assumed.
const AS_LARGE: f64 = 0.9;

/// What would admit one more string of every bank that fits, or every bank that does not.
pub fn space(inputs: &Inputs) -> Option<SpaceReport> {
    let locker = inputs.locker.as_ref()?;
    let things: Vec<_> = locker
        .obstacles
        .iter()
        .zip(&inputs.things)
        .map(|(thing, what)| (thing.name.clone(), *what))
        .chain(
            locker
                .spots
                .iter()
                .map(|spot| (spot.name.clone(), Thing::Plain)),
        )
        .collect();
    let bank = |row: &Candidate| {
        let series = row.bank.series.max(1);
        let planned = series * row.bank.parallel;
        let as_it_is = strings_in(locker, row) * series;
        let target = if as_it_is < planned {
            planned
        } else {
            as_it_is + series
        };
        let exits: Vec<CableExit> = CableExit::ALL
            .iter()
            .copied()
            .filter(|exit| *exit != inputs.cables.exit)
            .collect();
        let chemistry = row.bank.battery.chemistry;
        let cases = other_cases(row);
        let offers = Offers {
            exits_mm: exits
                .iter()
                .map(|exit| inputs.cables.room_of(*exit))
                .collect(),
            turnings: if chemistry == Chemistry::Flooded || row.case.turning != Turning::Upright {
                Vec::new()
            } else {
                vec![Turning::OnSide]
            },
            cases_mm: cases.iter().map(|case| case.mm).collect(),
        };
        BankSpace {
            id: row.id,
            planned,
            as_it_is,
            takes: (target <= MOST).then(|| what_it_takes(locker, &row.case, target, &offers)),
            things: things.clone(),
            cases: cases.iter().map(|case| case.name.clone()).collect(),
            exits,
        }
    };
    Some(SpaceReport {
        banks: inputs.candidates.iter().map(bank).collect(),
    })
}

/// Whole strings of a candidate that the locker admits as it is; none where it is not measured.
pub(super) fn strings_that_fit(inputs: &Inputs, row: &Candidate) -> Option<u32> {
    Some(strings_in(inputs.locker.as_ref()?, row))
}

fn strings_in(locker: &Locker, row: &Candidate) -> u32 {
    most(locker, &row.case, MOST, Rules::default()).count / row.bank.series.max(1)
}

/// Other standard cases in which a lead-acid battery of about this capacity is made.
fn other_cases(row: &Candidate) -> Vec<&'static CaseSize> {
    let lead = row.bank.battery.chemistry.is_lead_acid();
    let wanted = AS_LARGE * row.bank.battery.label.capacity_ah;
    let twelve = (10.0..15.0).contains(&row.bank.battery.label.volts);
    let large = |case: &&CaseSize| case.capacity_ah.is_some_and(|(_, most)| most >= wanted);
    let other = |case: &&CaseSize| case.mm != row.case.size_mm;
    cases()
        .iter()
        .filter(|_| lead && twelve)
        .filter(large)
        .filter(other)
        .collect()
}

/// Where what concerns the whole locker is said: beneath its first measure.
const AT: &str = "locker/inside_mm/1";

/// Remarks about the locker and how each bank goes into it.
pub(super) fn remarks(found: &mut Found, inputs: &Inputs, banks: &[BankReport]) {
    let Some(locker) = &inputs.locker else { return };
    for (at, one) in locker.obstacles.iter().enumerate() {
        for other in locker.obstacles.iter().skip(at + 1) {
            if one.space.overlaps(&other.space) {
                add(
                    found,
                    Gravity::Note,
                    AT,
                    format!(
                        "{} and {} overlap; both are kept clear.",
                        one.name, other.name
                    ),
                    "",
                );
            }
        }
    }
    for (thing, what) in locker.obstacles.iter().zip(&inputs.things) {
        if *what == Thing::SafetyPart {
            add(
                found,
                Gravity::Caution,
                AT,
                format!(
                    "{} belongs to a safety system.",
                    words::capital(&thing.name)
                ),
                "Leave it; ask a qualified workshop.",
            );
        }
    }
    for thing in locker
        .obstacles
        .iter()
        .filter(|thing| thing.slope.is_some())
    {
        add(
            found,
            Gravity::Note,
            AT,
            format!(
                "{} is searched in steps of 2 mm that hold all of it: what fits is sure to, what just fails to may yet.",
                thing.name
            ),
            "",
        );
    }
    for (row, bank) in inputs.candidates.iter().zip(banks) {
        let at = |name: &str| format!("candidates/{}/{name}", row.id);
        if row.bank.battery.chemistry == Chemistry::Flooded && row.case.turning != Turning::Upright
        {
            add(
                found,
                Gravity::Grave,
                at("turning"),
                "A battery with free acid that lies down spills it.",
                "Stand it upright.",
            );
        }
        let longest = row.case.size_mm.iter().copied().fold(0.0, f64::max);
        let wall = locker.inside_mm.iter().copied().fold(0.0, f64::max);
        if longest > wall {
            add(
                found,
                Gravity::Caution,
                at("case_mm/1"),
                "The case is longer than any wall of the locker.",
                "Check its measures and the locker's; else it takes another case.",
            );
        }
        if row.case.beside_mm > 0.0 && row.case.terminals == Terminals::Anywhere {
            add(
                found,
                Gravity::Note,
                at("terminals"),
                "Where its terminals sit isn't told, so what its cables take beside it is left out.",
                "Tell where they sit.",
            );
        }
        if let Some(fit) = &bank.fit {
            carried(found, locker.opening.is_some(), fit, &at("case_mm/1"));
        }
    }
}

/// Whether the bend that is planned for is one that the bank's cable can make.
pub(super) fn bends(found: &mut Found, inputs: &Inputs, carries: &Carries) {
    let run = carries
        .runs
        .iter()
        .find(|run| run.field == "wiring/bank_mm");
    let Some(sized) = run.and_then(|run| run.sized.as_ref()) else {
        return;
    };
    let cables = &inputs.cables;
    let (field, kept_mm) = match cables.exit {
        CableExit::Lug => ("locker/bend_mm", cables.bend_mm),
        CableExit::Bar | CableExit::Flush => ("locker/beside_mm", cables.beside_mm),
    };
    let takes_mm = bend_takes_mm(sized.mm2);
    if inputs.locker.is_some() && kept_mm > 0.0 && kept_mm < takes_mm {
        add(
            found,
            Gravity::Note,
            field,
            format!(
                "{} mm are kept for the bend of the bank's cable; one of {} mm² takes about {} mm.",
                tidy(kept_mm.round()),
                tidy(sized.mm2),
                tidy(takes_mm.round())
            ),
            "Keep as much free, take a more flexible cable, or lead it straight on.",
        );
    }
}

/// Whether what fits can also be carried in.
fn carried(found: &mut Found, opening: bool, fit: &Verdict, field: &str) {
    if !matches!(fit.outcome, Outcome::Fits { .. }) || fit.carried.order.is_some() {
        return;
    }
    let too_large = fit
        .carried
        .passages
        .contains(&crate::fit::Passage::TooLarge);
    let (says, mend) = if too_large {
        (
            "It fits inside, but no face of its case passes the opening.",
            "Make the opening larger, or choose a smaller case.",
        )
    } else if opening {
        (
            "It fits inside, but no straight way from the opening to its place was found.",
            "Make the opening larger, or take out what is in the way while it is carried in.",
        )
    } else {
        (
            "It fits, but from the top no straight way to its place was found.",
            "Take out what is in the way while it is carried in, or open another side.",
        )
    };
    add(found, Gravity::Caution, field.to_owned(), says, mend);
}

#[cfg(test)]
mod tests;
