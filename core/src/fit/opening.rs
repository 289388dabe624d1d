//! In through the opening: whether a face passes, by which straight moves a case reaches its place, and in which order all
//! of them can be carried in and lifted out again.

use super::space::{Box3, Locker, Placement, SAME_MM};
use serde::Serialize;

/// A hole in a face of the locker.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// The axis that it is passed along: 0 length, 1 depth, 2 height.
    pub axis: usize,
    /// Whether it is in the far face: the right end, the back, the top.
    pub far: bool,
    /// Its nearest corner on the two other axes, in their order [mm].
    pub at_mm: [f64; 2],
    /// Its size along them [mm].
    pub size_mm: [f64; 2],
}

impl Opening {
    /// The whole top.
    pub fn top(inside_mm: [f64; 3]) -> Self {
        let [long, deep, _] = inside_mm;
        Self {
            axis: 2,
            far: true,
            at_mm: [0.0; 2],
            size_mm: [long, deep],
        }
    }
}

/// How a case passes the opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Passage {
    /// Straight, as it is to stand.
    Straight,
    /// Tilted, or with another face leading; then it is turned inside.
    TurnedInside,
    /// It passes, but finds no way to its place by straight moves, or no room to be turned.
    Stuck,
    /// No face of it passes.
    TooLarge,
}

/// How an arrangement is carried in.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CarryIn {
    /// How each case passes, in the arrangement's order.
    pub passages: Vec<Passage>,
    /// The order in which to carry them in, where all can be; the other way round they are lifted out.
    pub order: Option<Vec<usize>>,
}

/// Whether a rectangle of `inner` [mm] passes one of `outer`, upright or tilted. Carver (1957), American
/// Mathematical Monthly 64: for p × q in a × b, p ≥ q and a ≥ b, either p ≤ a and q ≤ b, or p > a, q ≤ b and
/// b ≥ (2pqa + (p² − q²)√(p² + q² − a²)) / (p² + q²).
pub fn rectangle_passes(inner: [f64; 2], outer: [f64; 2]) -> bool {
    let (p, q) = (inner[0].max(inner[1]), inner[0].min(inner[1]));
    let (a, b) = (outer[0].max(outer[1]), outer[0].min(outer[1]));
    let squares = p * p + q * q;
    (p <= a + SAME_MM && q <= b + SAME_MM)
        || (p > a
            && q <= b
            && b >= (2.0 * p * q * a + (p * p - q * q) * (squares - a * a).max(0.0).sqrt())
                / squares)
}

/// How every case of an arrangement comes in, and in which order.
///
/// A case goes straight through the opening, then along at most three more straight lines. What can be lifted out can be
/// lifted out sooner or later, since taking one out never stands in another's way; so the order is found by taking out
/// whatever can be. A case that must be turned inside needs a free box as large as the turn sweeps (on the safe side).
pub fn carry_in(locker: &Locker, placements: &[Placement]) -> CarryIn {
    let opening = locker.opening.unwrap_or(Opening::top(locker.inside_mm));
    let mut passages: Vec<Passage> = placements.iter().map(|one| faces(&opening, one)).collect();
    let mut inside: Vec<usize> = (0..placements.len()).collect();
    let solids: Vec<Box3> = locker
        .obstacles
        .iter()
        .flat_map(super::Obstacle::solids)
        .collect();
    let mut out = Vec::new();
    while !inside.is_empty() {
        // The last one first, so that they are carried in as they are numbered where that can be.
        let free = inside.iter().rposition(|at| {
            let others = inside.iter().filter(|other| *other != at);
            let things: Vec<Box3> = solids
                .iter()
                .copied()
                .chain(others.filter_map(|other| placements.get(*other)).map(body))
                .collect();
            let one = placements.get(*at);
            one.is_some_and(|one| {
                let passage = passages.get(*at).copied().unwrap_or(Passage::TooLarge);
                let turned = passage == Passage::TurnedInside;
                passage != Passage::TooLarge
                    && reaches(locker.inside_mm, &opening, &things, one, turned)
            })
        });
        let Some(free) = free else { break };
        out.push(inside.remove(free));
    }
    for at in &inside {
        if let Some(passage) = passages.get_mut(*at)
            && *passage != Passage::TooLarge
        {
            *passage = Passage::Stuck;
        }
    }
    out.reverse();
    CarryIn {
        order: inside.is_empty().then_some(out),
        passages,
    }
}

fn body(one: &Placement) -> Box3 {
    Box3 {
        at_mm: one.at_mm,
        size_mm: one.size_mm,
    }
}

fn of(values: &[f64; 3], axis: usize) -> f64 {
    values.get(axis).copied().unwrap_or(0.0)
}

/// The two axes across an opening.
fn across(axis: usize) -> [usize; 2] {
    match axis {
        0 => [1, 2],
        1 => [0, 2],
        _ => [0, 1],
    }
}

/// How a case's faces pass, its way inside apart.
fn faces(opening: &Opening, one: &Placement) -> Passage {
    let [u, v] = across(opening.axis);
    let [wide, far] = opening.size_mm;
    let [x, y, z] = one.size_mm;
    if of(&one.size_mm, u) <= wide + SAME_MM && of(&one.size_mm, v) <= far + SAME_MM {
        Passage::Straight
    } else if [[x, y], [y, z], [x, z]]
        .into_iter()
        .any(|face| rectangle_passes(face, opening.size_mm))
    {
        Passage::TurnedInside
    } else {
        Passage::TooLarge
    }
}

/// Whether a case gets from the opening to its place past what stands there.
fn reaches(
    inside: [f64; 3],
    opening: &Opening,
    things: &[Box3],
    one: &Placement,
    turned: bool,
) -> bool {
    let [u, v] = across(opening.axis);
    let axis = opening.axis;
    let size = one.size_mm;
    let deep = of(&inside, axis);
    // Just inside the face; and as far from it as its place.
    let shallow = if opening.far {
        deep - of(&size, axis)
    } else {
        0.0
    };
    let outside = if opening.far { deep } else { -of(&size, axis) };
    let target = of(&one.at_mm, axis);
    let [from_u, from_v] = opening.at_mm;
    let [wide, far] = opening.size_mm;
    let starts = |from: f64, width: f64, side: f64, to: f64| {
        let last = (from + width - side).max(from);
        [to.clamp(from, last), from, last]
    };
    for at_u in starts(from_u, wide, of(&size, u), of(&one.at_mm, u)) {
        for at_v in starts(from_v, far, of(&size, v), of(&one.at_mm, v)) {
            for depth in [target, shallow] {
                for order in [[u, v], [v, u]] {
                    let mut at = [0.0; 3];
                    for (axis, mm) in [(axis, outside), (u, at_u), (v, at_v)] {
                        if let Some(slot) = at.get_mut(axis) {
                            *slot = mm;
                        }
                    }
                    let mut path = vec![(axis, depth)];
                    path.extend(order.map(|axis| (axis, of(&one.at_mm, axis))));
                    path.push((axis, target));
                    let room = !turned || turns(inside, things, at, size, (axis, depth), [u, v]);
                    if room && path_is_free(inside, things, at, size, &path, turned) {
                        return true;
                    }
                }
            }
        }
    }
    false
}

/// Whether a case can be turned about the opening's own axis and about both others at a place, on the safe side: a box as
/// large as its diagonals is free round it.
fn turns(
    inside: [f64; 3],
    things: &[Box3],
    at: [f64; 3],
    size: [f64; 3],
    (axis, depth): (usize, f64),
    others: [usize; 2],
) -> bool {
    let [x, y, z] = size;
    let diagonal = (x * x + y * y).max(y * y + z * z).max(x * x + z * z).sqrt();
    let mut room = Box3 {
        at_mm: at,
        size_mm: [diagonal; 3],
    };
    for other in others {
        let middle = of(&at, other) + of(&size, other) / 2.0;
        let last = (of(&inside, other) - diagonal).max(0.0);
        if let Some(slot) = room.at_mm.get_mut(other) {
            *slot = (middle - diagonal / 2.0).clamp(0.0, last);
        }
    }
    if let Some(slot) = room.at_mm.get_mut(axis) {
        *slot = depth.min((of(&inside, axis) - diagonal).max(0.0));
    }
    let fits = room
        .at_mm
        .iter()
        .zip(&inside)
        .all(|(at, inside)| at + diagonal <= inside + SAME_MM);
    fits && !things.iter().any(|thing| thing.overlaps(&room))
}

/// Whether straight moves, one after another, meet nothing and, past the first, stay inside.
fn path_is_free(
    inside: [f64; 3],
    things: &[Box3],
    from: [f64; 3],
    size: [f64; 3],
    path: &[(usize, f64)],
    turned: bool,
) -> bool {
    let mut at = from;
    path.iter().enumerate().all(|(step, (axis, to))| {
        let begin = of(&at, *axis);
        let mut swept = Box3 {
            at_mm: at,
            size_mm: size,
        };
        if let (Some(slot), Some(size)) = (swept.at_mm.get_mut(*axis), swept.size_mm.get_mut(*axis))
        {
            *slot = begin.min(*to);
            *size += (begin - to).abs();
        }
        if let Some(slot) = at.get_mut(*axis) {
            *slot = *to;
        }
        let sides = at.iter().zip(&size).zip(&inside);
        let stays = sides
            .into_iter()
            .all(|((at, size), inside)| *at >= -SAME_MM && at + size <= inside + SAME_MM);
        // A case that is turned inside enters another way round; its room to turn was looked at apart.
        (stays || (turned && step == 0)) && !things.iter().any(|thing| thing.overlaps(&swept))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whether some rotation of p × q lies within a × b, tried step by step.
    fn by_rotation([p, q]: [f64; 2], [a, b]: [f64; 2]) -> bool {
        (0..=400_000).any(|step| {
            let angle = std::f64::consts::FRAC_PI_2 * f64::from(step) / 400_000.0;
            let (sin, cos) = (libm::sin(angle), libm::cos(angle));
            p * cos + q * sin <= a + 1e-9 && p * sin + q * cos <= b + 1e-9
        })
    }

    #[test]
    fn rectangles_pass_as_rotation_shows() {
        let mut tilted = 0;
        for (inner, outer) in [
            ([340.0, 60.0], [330.0, 260.0]),
            ([400.0, 10.0], [330.0, 260.0]),
            ([340.0, 60.0], [300.0, 200.0]),
            ([400.0, 30.0], [330.0, 260.0]),
            ([330.0, 173.0], [335.0, 180.0]),
            ([330.0, 173.0], [330.0, 172.0]),
            ([365.0, 40.0], [330.0, 260.0]),
            ([350.0, 80.0], [330.0, 260.0]),
        ] {
            let passes = rectangle_passes(inner, outer);
            assert_eq!(
                passes,
                by_rotation(inner, outer),
                "{inner:?} through {outer:?}"
            );
            tilted += u32::from(passes && inner[0] > outer[0]);
        }
        assert!(rectangle_passes([340.0, 60.0], [330.0, 260.0]));
        assert!(rectangle_passes([400.0, 10.0], [330.0, 260.0]));
        assert!(tilted >= 2);
    }

    fn space(opening: Option<Opening>, obstacles: &[[f64; 6]]) -> Locker {
        let mut space = crate::fit::tests::locker([800.0, 400.0, 300.0], obstacles);
        space.opening = opening;
        space
    }

    fn standing(at_mm: [f64; 3]) -> Placement {
        Placement {
            at_mm,
            size_mm: [330.0, 173.0, 240.0],
            kind: 0,
            terminals: 2,
            quarters: 0,
        }
    }

    #[test]
    fn through_the_whole_top_all_go_straight_down() {
        let both = [standing([5.0, 5.0, 0.0]), standing([5.0, 190.0, 0.0])];
        let carried = carry_in(&space(None, &[]), &both);
        assert_eq!(carried.passages, [Passage::Straight; 2]);
        assert_eq!(carried.order, Some(vec![0, 1]));
    }

    #[test]
    fn through_a_hatch_at_one_end_the_far_one_goes_first() {
        let hatch = Opening {
            axis: 2,
            far: true,
            at_mm: [450.0, 0.0],
            size_mm: [350.0, 200.0],
        };
        let both = [standing([460.0, 10.0, 0.0]), standing([5.0, 10.0, 0.0])];
        let carried = carry_in(&space(Some(hatch), &[]), &both);
        assert_eq!(carried.order, Some(vec![1, 0]));
        // A post between hatch and place, from floor to lid and over the whole depth: no way.
        let carried = carry_in(
            &space(Some(hatch), &[[340.0, 0.0, 0.0, 50.0, 400.0, 300.0]]),
            &both,
        );
        assert_eq!(carried.passages, [Passage::Straight, Passage::Stuck]);
        assert_eq!(carried.order, None);
        // A low one is passed over: in under the lid, along, and down. 300 high, less 240, leaves 60.
        for (high, free) in [(55.0, true), (65.0, false)] {
            let carried = carry_in(
                &space(Some(hatch), &[[340.0, 0.0, 0.0, 50.0, 400.0, high]]),
                &both,
            );
            assert_eq!(carried.order.is_some(), free, "{high}");
        }
    }

    #[test]
    fn a_narrow_door_takes_it_end_first_where_there_is_room_to_turn() {
        let door = |wide: f64| Opening {
            axis: 1,
            far: false,
            at_mm: [0.0, 0.0],
            size_mm: [wide, 300.0],
        };
        let one = [standing([5.0, 220.0, 0.0])];
        let mut tall = space(Some(door(180.0)), &[]);
        assert_eq!(carry_in(&tall, &one).passages, [Passage::Stuck]);
        // The turn sweeps a box of its longest diagonal, 408 mm.
        tall.inside_mm = [800.0, 420.0, 420.0];
        assert_eq!(carry_in(&tall, &one).passages, [Passage::TurnedInside]);
        let narrow = carry_in(&space(Some(door(170.0)), &[]), &one);
        assert_eq!(
            (narrow.passages, narrow.order),
            (vec![Passage::TooLarge], None)
        );
    }
}
