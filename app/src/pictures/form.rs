//! The form of a thing: the box that it keeps clear, or the side view of a slope or an arch.

use super::view::of;
use larder::fit::Box3;
use larder::plan::{Obstacle, Shape};

/// Chords of an arch.
const CHORDS: u32 = 16;

/// A side view: the level axis that it runs along, and its corners along that axis and up [mm], turning to the left.
pub type Profile = (usize, Vec<[f64; 2]>);

/// An obstacle with all that it passes. A part of the floor has no height.
pub fn swept(thing: &Obstacle) -> Box3 {
    let axis = |axis: usize| {
        let (at, size, travel) = (
            of(&thing.at_mm, axis),
            of(&thing.size_mm, axis),
            of(&thing.travel_mm, axis),
        );
        (at + travel.min(0.0), size + travel.abs())
    };
    let ((x, l), (y, w), (z, h)) = (axis(0), axis(1), axis(2));
    let flat = thing.shape == Shape::WeakFloor;
    Box3 {
        at_mm: [x, y, if flat { 0.0 } else { z }],
        size_mm: [l, w, if flat { 0.0 } else { h }],
    }
}

/// The side view of a slope or an arch that stands still.
pub fn profile(thing: &Obstacle, inside_mm: [f64; 3]) -> Option<Profile> {
    let round = match thing.shape {
        Shape::Slope => false,
        Shape::Arch => true,
        _ => return None,
    };
    if thing.travel_mm != [0.0; 3] {
        return None;
    }
    let (axis, from_far) = thing.falls.full_side();
    let (at, size) = (of(&thing.at_mm, axis), of(&thing.size_mm, axis));
    let (foot, high) = (thing.at_mm[2], thing.size_mm[2]);
    let hangs = thing.hangs(inside_mm);
    // From the corner at its full end, along that end, and back over the slope.
    let chords = if round { CHORDS } else { 1 };
    let slope = (0..=chords).map(|chord| {
        let up = f64::from(chord) / f64::from(chords);
        let along = if round {
            (1.0 - up * up).sqrt()
        } else {
            1.0 - up
        };
        [along, up]
    });
    let corners = std::iter::once([0.0, 0.0]).chain(slope).map(|[along, up]| {
        let along = if from_far { 1.0 - along } else { along };
        let up = if hangs { 1.0 - up } else { up };
        [at + along * size, foot + up * high]
    });
    let mut corners: Vec<[f64; 2]> = corners.collect();
    if from_far != hangs {
        corners.reverse();
    }
    Some((axis, corners))
}

#[cfg(test)]
mod tests {
    use super::*;
    use larder::plan::Falls;

    fn area(corners: &[[f64; 2]]) -> f64 {
        let next = corners.iter().cycle().skip(1);
        let parts = corners
            .iter()
            .zip(next)
            .map(|(a, b)| a[0] * b[1] - b[0] * a[1]);
        parts.sum::<f64>() / 2.0
    }

    #[test]
    fn side_views_turn_to_the_left_and_hold_what_they_should() {
        for shape in [Shape::Slope, Shape::Arch] {
            for falls in Falls::ALL {
                for foot in [0.0, 200.0] {
                    let thing = Obstacle {
                        shape,
                        falls: *falls,
                        at_mm: [50.0, 50.0, foot],
                        ..Obstacle::default()
                    };
                    let (_, corners) = profile(&thing, [600.0, 400.0, 300.0]).unwrap();
                    // Half of 100 × 100, or a quarter of a circle less what the chords cut off.
                    let expected = if shape == Shape::Slope {
                        5000.0
                    } else {
                        7854.0
                    };
                    let area = area(&corners);
                    assert!(
                        (area - expected).abs() < 60.0,
                        "{shape:?} {falls:?} {foot}: {area}"
                    );
                }
            }
        }
    }
}
