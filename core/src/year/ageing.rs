//! What a year takes out of a battery: cycles counted by rainflow, summed by Miner's rule, bounded by its shelf life.

use crate::battery::Traits;

/// Warmth above which a battery ages faster [°C], and by how much it takes to halve its life [K]. Common practice, no
/// source.
const AGES_FROM_C: f64 = 25.0;
const HALVES_EACH_K: f64 = 10.0;

/// Finds the turning points of a series, which are all that a count of cycles looks at: the first value, each at which it
/// turns, and the last, which stands for its run until it turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Turns {
    last: f64,
    way: Way,
}

/// The way in which a series last moved.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Way {
    Nowhere,
    Up,
    Down,
}

impl Turns {
    /// Of a series that begins so.
    pub(super) fn from(first: f64) -> Self {
        Self {
            last: first,
            way: Way::Nowhere,
        }
    }

    /// Takes the next value; the one before, where the series turns there.
    #[inline(always)]
    pub(super) fn next(&mut self, value: f64) -> Option<f64> {
        let last = std::mem::replace(&mut self.last, value);
        if value == last {
            return None;
        }
        let way = if value > last { Way::Up } else { Way::Down };
        let before = std::mem::replace(&mut self.way, way);
        (way != before).then_some(last)
    }

    /// The last value.
    pub(super) fn last(&self) -> f64 {
        self.last
    }
}

/// Counts cycles: calls `cycle` with range, mean and count (½ or 1) of each, in the order in which they close.
/// ASTM E1049-85 (2017), 5.4.4.
pub fn rainflow(series: impl IntoIterator<Item = f64>, mut cycle: impl FnMut(f64, f64, f64)) {
    let mut stack: Vec<f64> = Vec::new();
    let mut close = |stack: &mut Vec<f64>| {
        while let [older @ .., a, b, c] = stack.as_mut_slice() {
            let (last, before) = ((*c - *b).abs(), (*b - *a).abs());
            if last < before {
                break;
            }
            let mean = f64::midpoint(*a, *b);
            // Of what closes the last point stays; where the series began, the middle one begins it anew.
            let left = if older.is_empty() {
                (*a, *b) = (*b, *c);
                cycle(before, mean, 0.5);
                2
            } else {
                *a = *c;
                cycle(before, mean, 1.0);
                older.len() + 1
            };
            stack.truncate(left);
        }
    };
    let mut series = series.into_iter();
    let Some(first) = series.next() else {
        return;
    };
    let mut turns = Turns::from(first);
    for value in series {
        if let Some(turned) = turns.next(value) {
            stack.push(turned);
            close(&mut stack);
        }
    }
    stack.push(turns.last());
    close(&mut stack);
    for pair in stack.windows(2) {
        if let [a, b] = pair {
            cycle((b - a).abs(), f64::midpoint(*a, *b), 0.5);
        }
    }
}

/// Cycles to the end of life at a depth, 0 to 1: N = N_ref·(depth_ref / depth)^β. Common practice for cycle curves, no
/// source.
pub fn cycles_to_end(traits: &Traits, depth: f64) -> f64 {
    if depth <= 0.0 {
        return f64::INFINITY;
    }
    let times_shallower = traits.cycles_depth / depth;
    // The power by a root where that will do, else by its logarithm: half the work of `pow` and to the last digits the same.
    let longer = match traits.cycles_beta {
        1.5 => times_shallower * times_shallower.sqrt(),
        beta => libm::exp(beta * libm::log(times_shallower)),
    };
    traits.cycles * longer
}

/// Cycles to failure at a depth by a curve of two exponentials, N = C1 + C2·e^(C3·R) + C4·e^(C5·R), as makers' curves are
/// fitted for the kinetic model (after Manwell & McGowan).
pub fn cycles_double_exponential([c1, c2, c3, c4, c5]: [f64; 5], depth: f64) -> f64 {
    c1 + c2 * libm::exp(c3 * depth) + c4 * libm::exp(c5 * depth)
}

/// Share of life that cycles take, by Miner's sum: Σ count / N(range).
pub fn damage(series: impl IntoIterator<Item = f64>, cycles_at: impl Fn(f64) -> f64) -> f64 {
    let mut sum = 0.0;
    rainflow(series, |range, _, count| sum += count / cycles_at(range));
    sum
}

/// How long a battery lives.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Life {
    /// Years until it is replaced.
    pub years: f64,
    /// Years that its cycles alone would leave it; none where it is not cycled.
    pub by_cycles: Option<f64>,
    /// Years that its shelf life at this warmth leaves it.
    pub by_calendar: f64,
}

/// Life under a year's damage at a mean temperature [°C]. Warmth halves shelf life for each 10 K above 25 °C (common
/// practice, no source); cold is given no credit.
pub fn life(traits: &Traits, damage_a_year: f64, mean_c: f64) -> Life {
    let warm = (mean_c - AGES_FROM_C).max(0.0) / HALVES_EACH_K;
    let by_calendar = traits.calendar_years * libm::pow(0.5, warm);
    let by_cycles = Some(1.0 / damage_a_year).filter(|years| years.is_finite());
    Life {
        years: by_cycles.map_or(by_calendar, |years| by_calendar.min(years)),
        by_cycles,
        by_calendar,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::battery::Chemistry;

    #[test]
    fn the_standards_own_example() {
        // ASTM E1049-85 (2017), 5.4.4.
        let series = [-2.0, 1.0, -3.0, 5.0, -1.0, 3.0, -4.0, 4.0, -2.0];
        let mut found = Vec::new();
        rainflow(series, |range, mean, count| {
            found.push((range, mean, count))
        });
        let expected = [
            (3.0, -0.5, 0.5),
            (4.0, -1.0, 0.5),
            (4.0, 1.0, 1.0),
            (8.0, 1.0, 0.5),
            (9.0, 0.5, 0.5),
            (8.0, 0.0, 0.5),
            (6.0, 1.0, 0.5),
        ];
        assert_eq!(found, expected);
    }

    #[test]
    fn a_cycle_a_day_at_the_rated_depth_lasts_its_cycles() {
        let traits = Chemistry::Agm.traits();
        let series = (0..=100).map(|i| {
            if i % 2 == 0 {
                1.0
            } else {
                1.0 - traits.cycles_depth
            }
        });
        let sum = damage(series, |depth| cycles_to_end(traits, depth));
        assert!((sum - 50.0 / traits.cycles).abs() < 1e-12);
        let life = life(traits, sum, 35.0);
        assert!(
            (life.by_calendar - traits.calendar_years / 2.0).abs() < 1e-12
                && life.by_cycles.is_none_or(|years| life.years <= years)
        );
    }

    #[test]
    fn nothing_that_moves_wears_nothing() {
        assert_eq!(damage([0.5; 10], |_| 100.0), 0.0);
        assert_eq!(damage([], |_| 100.0), 0.0);
        assert_eq!(damage([0.5], |_| 100.0), 0.0);
    }
}
