//! Which guess moves the answer most: each is tried lower and higher, one at a time.

use crate::evaluate::evaluate;
use crate::import::import;
use crate::plan::{Held, Plan};

/// How far a guess is moved either way. Assumed: a quarter.
const MOVE: f64 = 0.25;

/// The path of the guess that moves the days parked of the chosen bank most; the first where none can be weighed.
pub fn heaviest_guess(plan: &Plan) -> Option<String> {
    let mut sound = plan.clone();
    sound.drafts.clear();
    let weigh = |path: &String| {
        let moved = [1.0 - MOVE, 1.0 + MOVE].map(|factor| days(&sound, path, factor));
        match moved {
            [Some(low), Some(high)] => (high - low).abs(),
            _ => 0.0,
        }
    };
    let weighed = plan.guesses.iter().map(|path| (weigh(path), path));
    let (_, path) = weighed.reduce(|best, next| if next.0 > best.0 { next } else { best })?;
    Some(path.clone())
}

/// Days parked of the chosen bank with one number of the plan multiplied.
fn days(plan: &Plan, path: &str, factor: f64) -> Option<f64> {
    let mut moved = plan.clone();
    moved.put(path, Held::Number(Some(plan.number(path)? * factor)));
    let report = evaluate(&import(&moved).ok()?);
    let days = report.chosen_bank()?.parked.days();
    days.is_finite().then_some(days)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Candidate, Load, Way};

    #[test]
    fn the_largest_load_weighs_most() {
        let load = |id, draw| Load {
            id,
            name: format!("load {id}"),
            draw,
            way: Way::Always,
            ..Load::default()
        };
        let plan = Plan {
            loads: vec![load(1, 2.0), load(2, 20.0)],
            candidates: vec![Candidate {
                id: 3,
                ..Candidate::default()
            }],
            guesses: [
                "loads/1/draw".into(),
                "loads/2/draw".into(),
                "living/place".into(),
            ]
            .into(),
            ..Plan::default()
        };
        assert_eq!(heaviest_guess(&plan).as_deref(), Some("loads/2/draw"));
        assert_eq!(heaviest_guess(&Plan::default()), None);
    }
}
