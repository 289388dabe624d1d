//! Boxes in a space, and through an opening. Puzzles and proved lockers pack bricks in the air: their support rule is off.

use super::{Evaluator, Pattern};
use crate::question::{Asked, Question};
use larder::fit::{
    Box3, Case, Certainty, Locker, Obstacle, Rules, Turning, may_stand, most, rectangle_passes,
};

pub(crate) const EVALUATORS: &[(Pattern, Evaluator)] = &[
    ("most boxes in a space", boxes),
    ("whether a rectangle passes a rectangular opening", passes),
];

/// Most cases that the core searches for.
const MOST: u32 = 8;

fn three(list: &[f64]) -> Result<[f64; 3], String> {
    <[f64; 3]>::try_from(list).map_err(|_| "not three measures".to_owned())
}

fn boxes(q: Question) -> Asked {
    let things = q.numbers_of_each("obstacles")?;
    let obstacles = things.iter().map(|thing| {
        let (at, size) = thing.split_at(thing.len().min(3));
        Ok(Obstacle {
            name: "thing".to_owned(),
            space: Box3 {
                at_mm: three(at)?,
                size_mm: three(size)?,
            },
            ..Obstacle::default()
        })
    });
    let space = Locker {
        inside_mm: three(&q.numbers("inside")?)?,
        obstacles: obstacles.collect::<Result<_, String>>()?,
        ..Locker::default()
    };
    let case = Case {
        size_mm: three(&q.numbers("box")?)?,
        turning: match q.text(&["orientations"])? {
            "upright" => Turning::Upright,
            _ => Turning::Any,
        },
        ..Case::default()
    };
    let rules = Rules {
        on_the_floor: false,
        budget: 50_000_000,
        ..Rules::default()
    };
    let found = most(&space, &case, MOST, rules);
    if !may_stand(&space, &case, &found.placements, rules) {
        // No number never holds.
        return Ok(f64::NAN.into());
    }
    if found.count == MOST {
        return Err("more than eight boxes, the most that the core searches for".to_owned());
    }
    match found.certainty {
        Certainty::Exact => Ok(f64::from(found.count).into()),
        Certainty::CutShort => Ok(f64::NAN.into()),
    }
}

fn passes(q: Question) -> Asked {
    let pair = |name: &str| {
        <[f64; 2]>::try_from(q.numbers(name)?).map_err(|_| format!("{name} is no pair"))
    };
    Ok(f64::from(u8::from(rectangle_passes(pair("inner")?, pair("opening")?))).into())
}
