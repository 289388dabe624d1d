//! Where nothing may spark: a dashed line around the batteries of a view, as far as it lies within the drawing.

use super::svg::Svg;
use super::view::{Drawn, length, of};
use std::fmt::Write;

/// Steps in which a quarter of a circle is drawn.
const STEPS: u32 = 12;

impl Drawn<'_> {
    /// The line in a view, a rounded frame at that distance from the outline of all batteries together, in millimetres; where a
    /// vent lies on a case isn't known, so every side of it counts.
    fn spark_line(&self, across: usize, up: usize) -> Vec<(f64, f64)> {
        let Some(far) = self.spark_mm else {
            return Vec::new();
        };
        let ends = |axis: usize| {
            let cases = self.verdict.arrangement.iter();
            cases.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), case| {
                let at = of(&case.at_mm, axis);
                (low.min(at), high.max(at + of(&case.size_mm, axis)))
            })
        };
        let ((left, right), (foot, top)) = (ends(across), ends(up));
        if !(right - left).is_finite() || !(top - foot).is_finite() {
            return Vec::new();
        }
        let corners = [(right, top), (left, top), (left, foot), (right, foot)];
        let mut points = Vec::new();
        for (nth, (x, y)) in (0u32..).zip(corners) {
            for step in 0..=STEPS {
                let turn = (f64::from(nth) + f64::from(step) / f64::from(STEPS))
                    * std::f64::consts::FRAC_PI_2;
                points.push((x + far * turn.cos(), y + far * turn.sin()));
            }
        }
        points.extend(points.first().copied());
        points
    }

    /// Draws what of the line lies within the drawing; straight stretches are cut where they leave it.
    pub fn spark(&self, svg: &mut Svg, axes: (usize, usize), left: f64, foot: f64) {
        let d = self.spark_path(axes, left, foot);
        if !d.is_empty() {
            svg.path("spark", &d);
        }
    }

    fn spark_path(&self, (across, up): (usize, usize), left: f64, foot: f64) -> String {
        let room = (of(&self.reach, across), of(&self.reach, up));
        let mut d = String::new();
        for pair in self.spark_line(across, up).windows(2) {
            let &[from, to] = pair else { continue };
            let Some((from, to)) = within(from, to, room) else {
                continue;
            };
            let px = |mm: f64| (mm * 10.0).round() / 10.0;
            let at = |(x, y): (f64, f64)| (px(left + x * self.scale), px(foot - y * self.scale));
            let ((x1, y1), (x2, y2)) = (at(from), at(to));
            let _ = write!(d, "M{x1} {y1}L{x2} {y2}");
        }
        d
    }

    /// What the line means, and the figure; empty where the bank gives off no gas.
    pub fn spark_words(&self) -> Option<String> {
        let far = length(self.spark_mm?.ceil(), self.units);
        let seen = [(0, 1), (0, 2), (1, 2)]
            .into_iter()
            .any(|axes| !self.spark_path(axes, 0.0, 0.0).is_empty());
        Some(if seen {
            format!("The dotted line: nothing that sparks within {far} of a battery (IEC 62485-2).")
        } else {
            format!(
                "Nothing that sparks within {far} of a battery (IEC 62485-2): nowhere in here, nor near outside."
            )
        })
    }
}

/// The part of a straight line within 0 to `room` on both axes (after Liang and Barsky); none where all of it is outside.
fn within(from: (f64, f64), to: (f64, f64), room: (f64, f64)) -> Option<((f64, f64), (f64, f64))> {
    let (mut start, mut end) = (0.0f64, 1.0f64);
    for (at, by, most) in [
        (from.0, to.0 - from.0, room.0),
        (from.1, to.1 - from.1, room.1),
    ] {
        if by == 0.0 {
            if at < 0.0 || at > most {
                return None;
            }
            continue;
        }
        let (one, other) = (-at / by, (most - at) / by);
        start = start.max(one.min(other));
        end = end.min(one.max(other));
    }
    let at = |share: f64| {
        (
            from.0 + share * (to.0 - from.0),
            from.1 + share * (to.1 - from.1),
        )
    };
    (start < end).then(|| (at(start), at(end)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_cut_at_the_walls() {
        let room = (100.0, 50.0);
        assert_eq!(
            within((-50.0, 25.0), (150.0, 25.0), room),
            Some(((0.0, 25.0), (100.0, 25.0)))
        );
        assert_eq!(within((10.0, 60.0), (90.0, 60.0), room), None);
        assert_eq!(
            within((10.0, 40.0), (10.0, 80.0), room),
            Some(((10.0, 40.0), (10.0, 50.0)))
        );
    }
}
