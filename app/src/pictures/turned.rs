//! Turned: the locker seen from a corner above, spun about its upright axis; what stays is hatched, as in the plain views.

use super::form::{Profile, profile, swept};
use super::svg::Svg;
use super::view::{boxed, letter, of};
use super::{Picture, Table};
use larder::fit::{Box3, Verdict};
use larder::plan::{Locker, Shape};

/// How far one looks down [degrees].
const DOWN_DEG: f64 = 28.0;
const MARGIN: f64 = 16.0;
const TALLEST: f64 = 420.0;

/// A direction to look in.
struct Eye {
    sin: f64,
    cos: f64,
    sin_down: f64,
    cos_down: f64,
}

impl Eye {
    fn new(spin_deg: f64) -> Self {
        let (sin, cos) = spin_deg.to_radians().sin_cos();
        let (sin_down, cos_down) = DOWN_DEG.to_radians().sin_cos();
        Self {
            sin,
            cos,
            sin_down,
            cos_down,
        }
    }

    /// A point on the sheet, to the right and downward, before scale.
    fn on_sheet(&self, [x, y, z]: [f64; 3]) -> (f64, f64) {
        let right = x * self.cos - y * self.sin;
        let away = x * self.sin + y * self.cos;
        (right, -(z * self.cos_down + away * self.sin_down))
    }

    /// Whether more along an axis is nearer to the eye.
    fn nearer(&self, axis: usize) -> bool {
        match axis {
            0 => self.sin < 0.0,
            1 => self.cos < 0.0,
            _ => true,
        }
    }

    /// The faces that are seen of a side view drawn out over a box's other level axis, each with the axis that it looks along
    /// most, which shades it.
    fn prism(&self, space: &Box3, (along, corners): &Profile) -> Vec<(usize, Vec<[f64; 3]>)> {
        let other = 1 - along;
        let near = of(&space.at_mm, other);
        let far = near + of(&space.size_mm, other);
        let point = |[u, z]: [f64; 2], v: f64| {
            if *along == 0 { [u, v, z] } else { [v, u, z] }
        };
        let end = if self.nearer(other) { far } else { near };
        let mut faces = vec![(
            other,
            corners.iter().map(|corner| point(*corner, end)).collect(),
        )];
        let toward = [-self.sin * self.cos_down, -self.cos * self.cos_down];
        let next = corners.iter().cycle().skip(1);
        for (a, b) in corners.iter().zip(next) {
            // Outward, since the corners turn to the left.
            let (out, up) = (b[1] - a[1], a[0] - b[0]);
            if out * toward.get(*along).copied().unwrap_or(0.0) + up * self.sin_down > 0.0 {
                let side = if up.abs() > out.abs() { 2 } else { *along };
                faces.push((
                    side,
                    vec![
                        point(*a, near),
                        point(*b, near),
                        point(*b, far),
                        point(*a, far),
                    ],
                ));
            }
        }
        faces
    }

    /// Whether a box surely stands before another.
    fn before(&self, a: &Box3, b: &Box3) -> bool {
        (0..3).any(|axis| {
            let end = |one: &Box3| of(&one.at_mm, axis) + of(&one.size_mm, axis);
            if self.nearer(axis) {
                of(&a.at_mm, axis) >= end(b) - 0.01
            } else {
                end(a) <= of(&b.at_mm, axis) + 0.01
            }
        })
    }
}

/// Draws the locker from a corner, turned by so many degrees.
pub fn turned(space: &Locker, verdict: &Verdict, spin_deg: f64, width: f64) -> Picture {
    let eye = Eye::new(spin_deg);
    let inside = Box3 {
        at_mm: [0.0; 3],
        size_mm: space.inside_mm,
    };
    let mut things: Vec<(Box3, &'static str, String, Option<Profile>)> = Vec::new();
    for (at, thing) in space.obstacles.iter().enumerate() {
        let class = match (thing.shape, thing.movable) {
            (Shape::WeakFloor, _) => "weak-floor",
            (_, true) => "movable",
            (_, false) => "fixed",
        };
        let form = profile(thing, space.inside_mm);
        things.push((swept(thing), class, letter(at), form));
    }
    for (at, case) in verdict.arrangement.iter().enumerate() {
        things.push((boxed(case), "battery", (at + 1).to_string(), None));
    }
    if let Some(ghost) = &verdict.ghost {
        things.push((boxed(ghost), "ghost", "no room".to_owned(), None));
    }
    let corners: Vec<(f64, f64)> = std::iter::once(&inside)
        .chain(things.iter().map(|(space, ..)| space))
        .flat_map(|space| corners(space).map(|corner| eye.on_sheet(corner)))
        .collect();
    let bound = |of: fn(&(f64, f64)) -> f64| {
        let all = corners.iter().map(of);
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        })
    };
    let ((left, right), (top, foot)) = (bound(|point| point.0), bound(|point| point.1));
    let scale =
        ((width - 2.0 * MARGIN) / (right - left).max(1.0)).min(TALLEST / (foot - top).max(1.0));
    let mut svg = Svg::new(width, (foot - top) * scale + 2.0 * MARGIN);
    let shift = MARGIN + (width - 2.0 * MARGIN - (right - left) * scale).max(0.0) / 2.0;
    let at = |point: [f64; 3]| {
        let (x, y) = eye.on_sheet(point);
        (shift + (x - left) * scale, MARGIN + (y - top) * scale)
    };
    // The floor and the two walls that stand behind.
    for (axis, far) in [(2, false), (0, !eye.nearer(0)), (1, !eye.nearer(1))] {
        svg.path("locker-inside", &outline(&face(&inside, axis, far), &at));
    }
    // What nothing undrawn stands behind of is drawn first.
    while !things.is_empty() {
        let first = (0..things.len()).find(|one| {
            things.get(*one).is_some_and(|(space, ..)| {
                let others = things.iter().enumerate().filter(|(other, _)| other != one);
                others
                    .into_iter()
                    .all(|(_, (other, ..))| !eye.before(space, other) || eye.before(other, space))
            })
        });
        let (space, class, name, form) = things.remove(first.unwrap_or(0));
        let seen = match &form {
            Some(form) => eye.prism(&space, form),
            None => {
                let sides = [(2, true), (0, eye.nearer(0)), (1, eye.nearer(1))];
                let side = |(axis, far): (usize, bool)| (axis, face(&space, axis, far).to_vec());
                sides.map(side).to_vec()
            }
        };
        for (side, points) in seen {
            let line = outline(&points, &at);
            // The many faces of an arch are one: no edges between them.
            let facet = match &form {
                Some((_, corners)) if corners.len() > 4 && points.len() == 4 => " facet",
                _ => "",
            };
            svg.path("ground", &line);
            svg.path(&format!("{class} side-{side}{facet}"), &line);
        }
        let [x, y, z] = space.at_mm;
        let [l, w, h] = space.size_mm;
        let (x, y) = at([x + l / 2.0, y + w / 2.0, z + h]);
        svg.label(x, y + 4.0, &name);
    }
    let (front_x, front_y) = at([of(&space.inside_mm, 0) / 2.0, 0.0, 0.0]);
    svg.label(front_x, front_y + 4.0, "front");
    let spin = spin_deg.rem_euclid(360.0).round();
    Picture {
        svg: svg.finish(),
        says: format!(
            "The locker from above and aside, turned by {spin} degrees; the same facts as in the drawing before."
        ),
        table: Table::default(),
    }
}

/// A corner of a box by its bits.
fn corners(space: &Box3) -> [[f64; 3]; 8] {
    std::array::from_fn(|bits| {
        std::array::from_fn(|axis| {
            let far = if bits >> axis & 1 == 1 {
                of(&space.size_mm, axis)
            } else {
                0.0
            };
            of(&space.at_mm, axis) + far
        })
    })
}

/// The four corners of a face.
fn face(space: &Box3, axis: usize, far: bool) -> [[f64; 3]; 4] {
    let (u, v) = match axis {
        0 => (1, 2),
        1 => (0, 2),
        _ => (0, 1),
    };
    [(false, false), (true, false), (true, true), (false, true)].map(|(along_u, along_v)| {
        let mut point = space.at_mm;
        for (axis, moved) in [(axis, far), (u, along_u), (v, along_v)] {
            if let Some(slot) = point.get_mut(axis)
                && moved
            {
                *slot += of(&space.size_mm, axis);
            }
        }
        point
    })
}

fn outline(points: &[[f64; 3]], at: &dyn Fn([f64; 3]) -> (f64, f64)) -> String {
    let steps = points.iter().enumerate().map(|(step, point)| {
        let (x, y) = at(*point);
        let letter = if step == 0 { 'M' } else { 'L' };
        format!("{letter}{x:.1} {y:.1}")
    });
    steps.collect::<Vec<_>>().concat() + "Z"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_before_is_drawn_last_from_every_side() {
        let wall = |at: f64| Box3 {
            at_mm: [0.0, at, 0.0],
            size_mm: [100.0, 10.0, 100.0],
        };
        // From the front, less depth is nearer; turned half round, more.
        assert!(Eye::new(20.0).before(&wall(0.0), &wall(50.0)));
        assert!(Eye::new(200.0).before(&wall(50.0), &wall(0.0)));
    }

    #[test]
    fn a_picture_stays_on_its_sheet() {
        let mut plan = larder::plan::Plan::default();
        plan.loads.push(larder::plan::Load {
            id: 1,
            ..Default::default()
        });
        plan.candidates.push(larder::plan::Candidate {
            id: 2,
            ..Default::default()
        });
        plan.locker.measured = true;
        let report = larder::assess(&plan).unwrap();
        let verdict = report.banks[0].fit.as_ref().unwrap();
        for spin in [-45.0, 30.0, 120.0, 210.0, 300.0] {
            let svg = turned(&plan.locker, verdict, spin, 320.0).svg;
            for pair in svg
                .split(['M', 'L'])
                .filter_map(|step| step.split_once(' '))
            {
                if let Ok(x) = pair.0.parse::<f64>() {
                    assert!((0.0..=320.5).contains(&x), "{x} at {spin}");
                }
            }
            assert!(svg.contains("side-2") && !svg.contains("NaN"));
        }
    }
}
