//! Which function of the core answers which quantity.

mod battery;
mod cable;
mod cases;
mod household;
mod packing;
mod sky;
mod sun;
mod voltage;

use crate::question::{Asked, Question};

/// A quantity in lower case; `*` stands for any words.
pub(crate) type Pattern = &'static str;
/// Asks the core.
pub(crate) type Evaluator = fn(Question) -> Asked;

/// Everything that the core answers.
const ANSWERED: &[&[(Pattern, Evaluator)]] = &[
    battery::EVALUATORS,
    cable::EVALUATORS,
    cases::EVALUATORS,
    household::EVALUATORS,
    packing::EVALUATORS,
    sky::EVALUATORS,
    sun::EVALUATORS,
    voltage::EVALUATORS,
];

/// Quantities that the core does not answer, and why.
const UNANSWERED: &[(Pattern, &str)] = &[
    (
        "topocentric *",
        "to 0.0001°, which takes the full algorithm; the core's series are good to about 0.1°",
    ),
    (
        "clear-sky ghi, dni, dhi of the day, ineichen-perez*",
        "the core's clear sky is Haurwitz's; it has no turbidity",
    ),
    (
        "running hours of a refrigerator at full power*",
        "the core's refrigerators run by their duty at a temperature, not by a third",
    ),
    (
        "yearly energy = 365 x edaily*",
        "a label figure of a regulation; the core computes no labels",
    ),
    (
        "ambient temperatures of the energy test",
        "a label's test, not used",
    ),
    (
        "european efficiency weights*",
        "weighted inverter efficiencies are not used",
    ),
    (
        "cec weights*",
        "weighted inverter efficiencies are not used",
    ),
    (
        "greatest dc resistance at 20 c*",
        "the greatest that a maker may have, to the last digit of a publisher's table; the core has 0.0195/S for class 5, held within 2.5 % of it by a test of its own",
    ),
    (
        "greatest continuous current, insulation*",
        "a table that its publisher owns; the core has that of 33 CFR 183.425",
    ),
    (
        "dc bare, two and three bars side by side*",
        "the core has the single bar; by a channel between them (Elenbaas; Bar-Cohen & Rohsenow 1984) two came 4 to 6 and three 11 to 18 % too high",
    ),
    (
        "i2/i1 = *",
        "an exponent in words; the heat balance takes the place of the rule",
    ),
    (
        "typical interrupting rating of the type",
        "the row says to check the label and states no tolerance; the core has the same figures",
    ),
    (
        "road acceleration coefficient",
        "for lashed cargo, which is not a hold-down figure",
    ),
    (
        "lashing points in delivery vans*",
        "for lashed cargo, which is not a hold-down figure",
    ),
    (
        "force for the movement check*",
        "the federal rule's own, which is held",
    ),
    (
        "inclination without electrolyte leaving*",
        "a property of the battery's case; the core tilts no battery",
    ),
    (
        "rest voltage, 12 v flooded, older rule",
        "another scale of charge than the core's: at 25 % it says 12.15 V where the deep-cycle table says 11.74 V",
    ),
    (
        "delivered energy / array energy*",
        "a measured whole; the row gives neither the loads nor the weather of the place",
    ),
    (
        "effect of emissivity on one 1/4 x 4 in bar*",
        "60 Hz on a bar of 4 in: skin effect, which is not computed, takes some 5 %",
    ),
    (
        "storage days for *",
        "a fitted curve; the core steps through real days instead",
    ),
    ("order of the worksheet*", "an order of steps, no figure"),
    (
        "published example parameters, 12 v lead-acid module",
        "inputs of the kinetic rows, not computed",
    ),
    (
        "other published lead-acid parameters",
        "inputs, not computed",
    ),
    (
        "constant * w discharge from *",
        "takes that library's own curve of voltage, which the core does not have",
    ),
    (
        "energy efficiency round trip*",
        "the core steps its ohmic and coulombic losses and sums up no such figure",
    ),
    (
        "discharge temperature window",
        "the core has a coldest discharge and no warmest",
    ),
    (
        "bricks a x ab x abc *",
        "a theorem about every box; the core searches one",
    ),
    (
        "blocks of sides a < b < c *",
        "27 blocks: more than the eight that the core searches for",
    ),
    (
        "container loading benchmark*",
        "hundreds of boxes in one container: more than the eight that the core searches for",
    ),
    (
        "three-dimensional bin packing*",
        "many bins of many boxes: the core fills one space with at most eight",
    ),
    (
        "nominal cell voltage",
        "a battery's label says it; the core computes none",
    ),
];

/// Whether a quantity has the form of a pattern.
fn matches(pattern: &str, quantity: &str) -> bool {
    match pattern.split_once('*') {
        None => pattern == quantity,
        Some((head, tail)) => quantity.strip_prefix(head).is_some_and(|rest| {
            (0..=rest.len()).any(|at| rest.get(at..).is_some_and(|end| matches(tail, end)))
        }),
    }
}

/// The entry whose pattern says most of those that match.
fn best<T: Copy>(entries: impl Iterator<Item = (Pattern, T)>, quantity: &str) -> Option<T> {
    entries
        .filter(|(pattern, _)| matches(pattern, quantity))
        .max_by_key(|(pattern, _)| pattern.len())
        .map(|(_, entry)| entry)
}

/// Asks the core for a row's quantity.
pub(crate) fn ask(question: Question) -> Asked {
    let quantity = question.quantity().to_lowercase();
    let answered = ANSWERED.iter().flat_map(|topic| topic.iter().copied());
    if let Some(evaluator) = best(answered, &quantity) {
        return evaluator(question);
    }
    let reason = best(UNANSWERED.iter().copied(), &quantity);
    Err(reason
        .unwrap_or("nothing in the core computes it")
        .to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_take_what_they_say() {
        assert!(matches("zenith angle", "zenith angle"));
        assert!(!matches("zenith angle", "zenith angle at noon"));
        assert!(matches(
            "radiation * from the day's total",
            "radiation 9-10 h from the day's total"
        ));
        assert!(matches(
            "capacity at * c relative to 25 c*",
            "capacity at -20 c relative to 25 c"
        ));
        assert!(!matches("ab*bc", "abc"));
    }

    #[test]
    fn patterns_are_in_lower_case_and_none_stands_twice() {
        let answered = ANSWERED
            .iter()
            .flat_map(|topic| topic.iter().map(|entry| entry.0));
        let mut all: Vec<&str> = answered
            .chain(UNANSWERED.iter().map(|entry| entry.0))
            .collect();
        let count = all.len();
        assert!(all.iter().all(|pattern| *pattern == pattern.to_lowercase()));
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
    }
}
