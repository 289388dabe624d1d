//! Where nothing may spark: a small view from above, with a dotted line around the batteries that may lie far outside the locker.

use super::svg::{Anchor, Svg};
use super::view::{Drawn, dimension, length, of};

/// Height of the view where it stands below the others [px].
pub(super) const TALL: f64 = 170.0;
/// Left free above it for its figure, and below for its title [px].
const AROUND: f64 = 22.0;

impl Drawn<'_> {
    /// The distance [mm], where there is a battery to measure it from.
    pub(super) fn spark(&self) -> Option<f64> {
        self.spark_mm
            .filter(|_| !self.verdict.arrangement.is_empty())
    }

    /// Draws it into a place, its upper left corner and its size; nothing where the bank gives off no gas or does not go in.
    /// Among views to scale it says that it is none. The line is a frame with rounded corners: where a vent lies on a case isn't
    /// known, so every side of it counts.
    pub(super) fn spark_view(
        &self,
        svg: &mut Svg,
        (left, top): (f64, f64),
        (wide, tall): (f64, f64),
        among_scaled: bool,
    ) {
        let Some(far) = self.spark() else {
            return;
        };
        let cases = &self.verdict.arrangement;
        let ends = |axis: usize| {
            let low = cases.iter().map(|case| of(&case.at_mm, axis));
            let high = cases
                .iter()
                .map(|case| of(&case.at_mm, axis) + of(&case.size_mm, axis));
            (
                low.fold(f64::INFINITY, f64::min),
                high.fold(f64::NEG_INFINITY, f64::max),
            )
        };
        let ((x0, x1), (y0, y1)) = (ends(0), ends(1));
        let (long, deep) = (of(&self.space.inside_mm, 0), of(&self.space.inside_mm, 1));
        let (from_x, to_x) = ((x0 - far).min(0.0), (x1 + far).max(long));
        let (from_y, to_y) = ((y0 - far).min(0.0), (y1 + far).max(deep));
        let scale = (wide / (to_x - from_x)).min((tall - 2.0 * AROUND) / (to_y - from_y));
        let x = |mm: f64| left + (mm - from_x) * scale;
        let y = |mm: f64| top + AROUND + (to_y - mm) * scale;
        svg.rect("locker-inside", x(0.0), y(deep), long * scale, deep * scale);
        for case in cases {
            let (at, size) = (case.at_mm, case.size_mm);
            let (w, d) = (of(&size, 0), of(&size, 1));
            svg.rect(
                "battery",
                x(of(&at, 0)),
                y(of(&at, 1) + d),
                w * scale,
                d * scale,
            );
        }
        let (w, d, r) = ((x1 - x0) * scale, (y1 - y0) * scale, far * scale);
        svg.path(
            "spark",
            &format!(
                "M{:.1} {:.1}h{w:.1}a{r:.1} {r:.1} 0 0 1 {r:.1} {r:.1}v{d:.1}a{r:.1} {r:.1} 0 0 1 -{r:.1} {r:.1}h-{w:.1}a{r:.1} {r:.1} 0 0 1 -{r:.1} -{r:.1}v-{d:.1}a{r:.1} {r:.1} 0 0 1 {r:.1} -{r:.1}z",
                x(x0),
                y(y1 + far)
            ),
        );
        let middle = y(f64::midpoint(y0, y1));
        dimension(svg, (x(x1), middle), (x(x1 + far), middle), "");
        svg.text(
            "small",
            x(f64::midpoint(from_x, to_x)),
            y(from_y) + 16.0,
            Anchor::Middle,
            &format!(
                "no sparks within {}{}",
                length(far.ceil(), self.units),
                if among_scaled { ", not to scale" } else { "" }
            ),
        );
    }

    /// What the line means, and its figure; none where the bank gives off no gas.
    pub(super) fn spark_words(&self) -> Option<String> {
        let far = length(self.spark()?.ceil(), self.units);
        Some(format!(
            "Dotted: within {far} of a battery nothing may spark (IEC 62485-2), inside or out."
        ))
    }
}
