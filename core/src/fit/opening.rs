//! In through the opening: whether a face passes, whether a case reaches its place by straight moves, and in which order all of
//! them can be carried in and lifted out again.

use super::space::{Box3, Locker, Placement, SAME_MM, of};
use super::way::{Way, way};
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

    /// Whether a case of such sizes [mm] passes it straight, as it stands.
    pub(super) fn passes(&self, size_mm: &[f64; 3]) -> bool {
        let sides = across(self.axis).into_iter().zip(&self.size_mm);
        sides
            .into_iter()
            .all(|(axis, side)| of(size_mm, axis) <= side + SAME_MM)
    }
}

/// How a case goes in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Passage {
    /// By straight moves, as it is to stand.
    Straight,
    /// As it is to stand it does not pass the opening; tilted, or with another face leading, it does. Whether it can be turned
    /// inside is not tried.
    MayTilt,
    /// It passes the opening, but no straight moves lead to its place.
    Stuck,
    /// It passes the opening; no straight moves were found, and not all were tried.
    NotFound,
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

/// How every case of an arrangement goes in, and in which order.
///
/// A case keeps the attitude in which it stands and moves along the axes, any number of moves. To take one out never stands in
/// another's way, so the order is found by taking out whatever can be.
pub fn carry_in(locker: &Locker, placements: &[Placement]) -> CarryIn {
    let opening = locker.opening.unwrap_or(Opening::top(locker.inside_mm));
    let mut passages: Vec<Passage> = placements.iter().map(|one| faces(&opening, one)).collect();
    let mut inside: Vec<usize> = (0..placements.len()).collect();
    let things = locker.obstacles.iter();
    let solids: Vec<Box3> = things.flat_map(super::Obstacle::solids).collect();
    let mut out = Vec::new();
    loop {
        // The last one first, so that they are carried in as they are numbered where that can be.
        let free = inside.iter().rposition(|at| {
            let others = inside.iter().filter(|other| *other != at);
            let others = others.filter_map(|other| placements.get(*other));
            let things: Vec<Box3> = solids.iter().copied().chain(others.map(body)).collect();
            let passage = passages.get_mut(*at);
            let Some((one, passage)) = placements.get(*at).zip(passage) else {
                return false;
            };
            if matches!(passage, Passage::MayTilt | Passage::TooLarge) {
                return false;
            }
            *passage = match way(locker.inside_mm, &opening, &things, one) {
                Way::Free => Passage::Straight,
                Way::None => Passage::Stuck,
                Way::CutShort => Passage::NotFound,
            };
            *passage == Passage::Straight
        });
        let Some(free) = free else { break };
        out.push(inside.remove(free));
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

/// The two axes across an opening.
pub(super) fn across(axis: usize) -> [usize; 2] {
    match axis {
        0 => [1, 2],
        1 => [0, 2],
        _ => [0, 1],
    }
}

/// How a case's faces pass the opening, its way inside left open.
fn faces(opening: &Opening, one: &Placement) -> Passage {
    let [x, y, z] = one.size_mm;
    if opening.passes(&one.size_mm) {
        Passage::Straight
    } else if [[x, y], [y, z], [x, z]]
        .into_iter()
        .any(|face| rectangle_passes(face, opening.size_mm))
    {
        Passage::MayTilt
    } else {
        Passage::TooLarge
    }
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
    fn a_narrow_door_takes_it_tilted_or_not_at_all() {
        let door = |wide: f64| Opening {
            axis: 1,
            far: false,
            at_mm: [0.0, 0.0],
            size_mm: [wide, 300.0],
        };
        let one = [standing([5.0, 220.0, 0.0])];
        // Its end, 173 × 240, passes 180 × 300; as it stands, 330 × 240 does not.
        let end_first = carry_in(&space(Some(door(180.0)), &[]), &one);
        assert_eq!(
            (end_first.passages, end_first.order),
            (vec![Passage::MayTilt], None)
        );
        let narrow = carry_in(&space(Some(door(170.0)), &[]), &one);
        assert_eq!(
            (narrow.passages, narrow.order),
            (vec![Passage::TooLarge], None)
        );
    }

    #[test]
    fn a_case_turned_a_quarter_slides_straight_through_a_narrow_door() {
        let door = Opening {
            axis: 1,
            far: false,
            at_mm: [300.0, 0.0],
            size_mm: [200.0, 260.0],
        };
        let mut inside = space(Some(door), &[]);
        inside.inside_mm = [800.0, 400.0, 280.0];
        let turned = Placement {
            size_mm: [173.0, 330.0, 240.0],
            ..standing([313.0, 30.0, 0.0])
        };
        assert!(carry_in(&inside, &[turned]).order.is_some());
        // Behind the wall it slides along, to either end.
        for left in [5.0, 620.0] {
            let beside = Placement {
                at_mm: [left, 60.0, 0.0],
                ..turned
            };
            assert!(carry_in(&inside, &[beside]).order.is_some(), "{left}");
        }
    }

    #[test]
    fn a_way_may_need_many_moves() {
        // Two posts, from floor to lid, set off from each other: in at the front left, round both, to the back right.
        let door = Opening {
            axis: 0,
            far: false,
            at_mm: [0.0, 0.0],
            size_mm: [180.0, 300.0],
        };
        let mut inside = space(
            Some(door),
            &[
                [340.0, 0.0, 0.0, 20.0, 215.0, 300.0],
                [700.0, 185.0, 0.0, 20.0, 215.0, 300.0],
            ],
        );
        inside.inside_mm = [1100.0, 400.0, 300.0];
        let one = [Placement {
            size_mm: [330.0, 173.0, 240.0],
            ..standing([750.0, 220.0, 0.0])
        }];
        assert!(carry_in(&inside, &one).order.is_some());
        // One millimetre more of post leaves 172 mm beside it.
        if let Some(post) = inside.obstacles.first_mut() {
            post.space.size_mm[1] = 228.0;
        }
        let carried = carry_in(&inside, &one);
        assert_eq!(
            (carried.passages, carried.order),
            (vec![Passage::Stuck], None)
        );
    }
}
