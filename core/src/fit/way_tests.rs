//! The search for a way in, held against a flood of a whole-millimetre grid.

use super::opening::{Opening, Passage, across, carry_in};
use super::space::{Box3, Locker, Obstacle, Placement};

/// A row of numbers that is the same in every run: Knuth's 64-bit linear congruential generator.
struct Dice(u64);

impl Dice {
    fn upto(&mut self, most: i32) -> i32 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % (most as u64 + 1)) as i32
    }
}

fn overlaps(at: [i32; 3], size: [i32; 3], other: ([i32; 3], [i32; 3])) -> bool {
    (0..3).all(|axis| {
        at[axis] < other.0[axis] + other.1[axis] && other.0[axis] < at[axis] + size[axis]
    })
}

/// A random locker with things in it, a hole in one of its faces, and a case at a free place.
struct Instance {
    inside: [i32; 3],
    things: Vec<([i32; 3], [i32; 3])>,
    axis: usize,
    far: bool,
    hole: ([i32; 2], [i32; 2]),
    place: ([i32; 3], [i32; 3]),
}

fn instance(dice: &mut Dice) -> Option<Instance> {
    let inside = [8 + dice.upto(6), 6 + dice.upto(6), 5 + dice.upto(4)];
    let thing = |dice: &mut Dice| {
        let size = inside.map(|side| 1 + dice.upto(side - 1));
        let at = [0, 1, 2].map(|axis| dice.upto(inside[axis] - size[axis]));
        (at, size)
    };
    let things: Vec<_> = (0..1 + dice.upto(3)).map(|_| thing(dice)).collect();
    let (axis, far) = (dice.upto(2) as usize, dice.upto(1) == 1);
    let sides = across(axis).map(|axis| inside[axis]);
    let wide = sides.map(|side| 2 + dice.upto(side - 2));
    let hole = ([0, 1].map(|nth| dice.upto(sides[nth] - wide[nth])), wide);
    let size = inside.map(|side| 1 + dice.upto(side / 2));
    let at = [0, 1, 2].map(|axis| dice.upto(inside[axis] - size[axis]));
    let is_free = !things.iter().any(|thing| overlaps(at, size, *thing));
    is_free.then_some(Instance {
        inside,
        things,
        axis,
        far,
        hole,
        place: (at, size),
    })
}

/// Whether unit moves lead from the place to outside.
fn by_flood(of: &Instance) -> bool {
    let (place, size) = of.place;
    let mut low = [0; 3];
    let mut high = [0, 1, 2].map(|axis| of.inside[axis] - size[axis]);
    if of.far {
        high[of.axis] = of.inside[of.axis];
    } else {
        low[of.axis] = -size[of.axis];
    }
    let outside = if of.far { high[of.axis] } else { low[of.axis] };
    let is_free = |at: [i32; 3]| {
        let inside = (0..3).all(|axis| (low[axis]..=high[axis]).contains(&at[axis]));
        let beyond = at[of.axis] < 0 || at[of.axis] + size[of.axis] > of.inside[of.axis];
        let passes = !beyond
            || across(of.axis).into_iter().enumerate().all(|(nth, axis)| {
                at[axis] >= of.hole.0[nth]
                    && at[axis] + size[axis] <= of.hole.0[nth] + of.hole.1[nth]
            });
        inside && passes && !of.things.iter().any(|thing| overlaps(at, size, *thing))
    };
    let mut seen = std::collections::BTreeSet::from([place]);
    let mut next = vec![place];
    while let Some(at) = next.pop() {
        if at[of.axis] == outside {
            return true;
        }
        for axis in 0..3 {
            for step in [-1, 1] {
                let mut to = at;
                to[axis] += step;
                if is_free(to) && seen.insert(to) {
                    next.push(to);
                }
            }
        }
    }
    false
}

#[test]
fn a_way_is_found_where_a_flood_finds_one_and_nowhere_else() {
    let mut dice = Dice(25);
    let whole = |all: [i32; 3]| all.map(f64::from);
    let (mut tried, mut free, mut doors) = (0, 0, [0; 3]);
    while tried < 2_000 {
        let Some(one) = instance(&mut dice) else {
            continue;
        };
        tried += 1;
        let locker = Locker {
            inside_mm: whole(one.inside),
            obstacles: one
                .things
                .iter()
                .map(|(at, size)| Obstacle {
                    space: Box3 {
                        at_mm: whole(*at),
                        size_mm: whole(*size),
                    },
                    ..Obstacle::default()
                })
                .collect(),
            opening: Some(Opening {
                axis: one.axis,
                far: one.far,
                at_mm: one.hole.0.map(f64::from),
                size_mm: one.hole.1.map(f64::from),
            }),
            ..Locker::default()
        };
        let placement = Placement {
            at_mm: whole(one.place.0),
            size_mm: whole(one.place.1),
            kind: 0,
            terminals: 2,
            quarters: 0,
        };
        let carried = carry_in(&locker, &[placement]);
        let expected = by_flood(&one);
        assert_eq!(
            carried.order.is_some(),
            expected,
            "no. {tried}: {locker:?} {placement:?}"
        );
        assert_ne!(carried.passages, [Passage::NotFound], "no. {tried}");
        free += u32::from(expected);
        doors[one.axis] += u32::from(expected);
    }
    // Both answers are common, through every kind of face.
    assert!(
        free > 400 && free < 1_600 && doors.iter().all(|count| *count > 80),
        "{free} {doors:?}"
    );
}
