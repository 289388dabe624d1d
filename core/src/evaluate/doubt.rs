//! What matters most: each uncertain input at its low and at its high, one at a time, and what that does to the chosen bank.

use super::evaluate;
use super::income::chosen;
use super::risk::Chances;
use crate::inputs::Inputs;
use crate::report::{Doubt, DoubtEnd};

/// Years drawn for each end.
const YEARS: u64 = 24;

/// An input that is not known for certain, how far it may be out (assumed), and how it is moved there: −1 down, 1 up.
type Uncertain = (&'static str, &'static str, fn(&mut Inputs, f64));

/// All of them; the ranges are assumed.
const UNCERTAIN: [Uncertain; 6] = [
    ("what runs", "15 % less or more", |inputs, way| {
        if let Some(wh) = &mut inputs.metered_wh {
            *wh *= 1.0 + 0.15 * way;
        }
    }),
    (
        "the sky",
        "8 % duller or clearer, the climate table's own error",
        |inputs, way| {
            if let Some(sun) = &mut inputs.sun {
                for part in &mut sun.parts {
                    part.rated_w *= 1.0 + 0.08 * way;
                }
            }
        },
    ),
    (
        "the shadow",
        "a tenth of the light less or more",
        |inputs, way| {
            if let Some(sun) = &mut inputs.sun {
                for part in &mut sun.parts {
                    part.shade_share = part
                        .shade_share
                        .map(|share| (share - 0.1 * way).clamp(0.0, 1.0));
                }
            }
        },
    ),
    (
        "the batteries' capacity",
        "10 % less or more than the label",
        |inputs, way| {
            for row in &mut inputs.candidates {
                row.bank.battery.label.capacity_ah *= 1.0 + 0.1 * way;
                row.fitted.wells.q_max_ah *= 1.0 + 0.1 * way;
            }
        },
    ),
    (
        "driving",
        "half as long or half as long again",
        |inputs, way| {
            if let Some(driving) = &mut inputs.driving {
                driving.hours = (driving.hours * (1.0 + 0.5 * way)).min(24.0);
            }
        },
    ),
    ("the warmth", "5 K colder or warmer", |inputs, way| {
        for month in &mut inputs.living.outdoors_c {
            *month += 5.0 * way;
        }
    }),
];

/// How many inputs are looked at.
pub const DOUBTS: usize = UNCERTAIN.len();

/// What one uncertain input does to the chosen bank; none where it does nothing, or there is no such one.
pub fn doubt(inputs: &Inputs, nth: usize) -> Option<Doubt> {
    let (name, range, change) = *UNCERTAIN.get(nth)?;
    let mut plain = inputs.clone();
    plain.candidates = vec![chosen(inputs)?.clone()];
    plain.chosen = plain.candidates.first()?.id;
    // The sum stands in for a meter, so that all that runs can be moved at once.
    plain.metered_wh = Some(evaluate(&plain).needs.parked_wh);
    let end = |way: f64| {
        let mut moved = plain.clone();
        change(&mut moved, way);
        let bank = evaluate(&moved).banks.into_iter().next()?;
        Some(DoubtEnd {
            parked_days: bank.parked.days(),
            short_days: Chances::new(&moved).draw(0, 0..YEARS).mean_days(),
        })
    };
    let (low, high) = (end(-1.0)?, end(1.0)?);
    let moves = (low.short_days - high.short_days).abs() > 0.01
        || (low.parked_days - high.parked_days).abs() > 0.01;
    moves.then_some(Doubt {
        name,
        range,
        low,
        high,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_use_and_less_of_everything_else_are_worse() {
        let text = include_str!("../../../demo-data/hill-hut.larder.json");
        let inputs = crate::import(&crate::link::from_text(text).unwrap()).unwrap();
        let all: Vec<Doubt> = (0..DOUBTS).filter_map(|nth| doubt(&inputs, nth)).collect();
        assert!(all.len() >= 4, "{all:?}");
        for found in &all {
            let (worse, better) = if found.name == "what runs" {
                (found.high, found.low)
            } else {
                (found.low, found.high)
            };
            assert!(
                worse.short_days >= better.short_days
                    && worse.parked_days <= better.parked_days + 1e-9,
                "{found:?}"
            );
        }
        // The hut has no engine.
        assert!(all.iter().all(|found| found.name != "driving"));
        assert_eq!(doubt(&inputs, DOUBTS), None);
    }
}
