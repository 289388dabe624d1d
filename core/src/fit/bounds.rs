//! How much could still go in at the most: the usable area, or volume, from a place on the length onward.
//!
//! On a line across the depth, cases cover stretches that do not meet. In a stretch between obstacles they cover no more
//! than the largest sum of their sides that goes into it; so a stretch of 200 mm holds 173 mm of cases 173 mm wide, and
//! one of 150 mm holds none. Summed along the length this bounds the area that all cases together can take.

use super::patterns::set_on;
use super::space::{Box3, SAME_MM};
use crate::numeric::{ascending, order};

/// Usable area, or volume, beyond each place on the length; falls along straight lines between the edges of obstacles.
#[derive(Clone, Debug, Default)]
pub(super) struct Usable {
    /// Where a slab begins [mm], and what one mm of its length holds [mm or mm²], from the left.
    slabs: Vec<(f64, f64, f64)>,
}

impl Usable {
    /// Of a level: `blocked` are the obstacles that every case meets, `sides` the depths that a case may take.
    pub(super) fn area(
        start: [f64; 3],
        inside: [f64; 3],
        blocked: &[Box3],
        sides: &[f64],
        most: usize,
    ) -> Self {
        let [left, front, _] = start;
        let [long, deep, _] = inside;
        let sums = sums(sides, deep - front, most);
        let holds = |length: f64| {
            let at = sums.partition_point(|sum| *sum <= length + SAME_MM);
            at.checked_sub(1)
                .and_then(|at| sums.get(at))
                .copied()
                .unwrap_or(0.0)
        };
        Self::slabs(left, long, blocked, |here| {
            let fronts: Vec<f64> = here.iter().map(|thing| thing.at_mm[1]).collect();
            let (mut free, mut from) = (0.0, front);
            for thing in order(&fronts).into_iter().filter_map(|at| here.get(at)) {
                let (begin, deep_in) = (thing.at_mm[1], thing.size_mm[1]);
                if begin > from {
                    free += holds(begin.min(deep) - from);
                }
                from = from.max(begin + deep_in);
            }
            free + holds(deep - from)
        })
    }

    /// Of the whole space: its cross section less what obstacles take of it.
    pub(super) fn volume(start: [f64; 3], inside: [f64; 3], blocked: &[Box3]) -> Self {
        let [left, front, floor] = start;
        let [long, deep, high] = inside;
        let whole = (deep - front).max(0.0) * (high - floor).max(0.0);
        Self::slabs(left, long, blocked, |here| {
            // The largest of them is surely taken; a union would say more at more cost.
            let taken = here.iter().map(|thing| {
                let side = |axis: usize, from: f64, to: f64| {
                    let at = thing.at_mm.get(axis).copied().unwrap_or(0.0);
                    let size = thing.size_mm.get(axis).copied().unwrap_or(0.0);
                    ((at + size).min(to) - at.max(from)).max(0.0)
                };
                side(1, front, deep) * side(2, floor, high)
            });
            whole - taken.fold(0.0, f64::max)
        })
    }

    fn slabs(left: f64, long: f64, blocked: &[Box3], each: impl Fn(&[&Box3]) -> f64) -> Self {
        let mut edges: Vec<f64> = blocked
            .iter()
            .flat_map(|thing| [thing.at_mm[0], thing.at_mm[0] + thing.size_mm[0]])
            .chain([left, long])
            .filter(|edge| *edge >= left && *edge <= long)
            .collect();
        ascending(&mut edges);
        edges.dedup();
        let slab = |pair: &[f64]| {
            let [from, to] = pair else { return None };
            let middle = f64::midpoint(*from, *to);
            let here: Vec<&Box3> = blocked
                .iter()
                .filter(|thing| {
                    thing.at_mm[0] <= middle && middle <= thing.at_mm[0] + thing.size_mm[0]
                })
                .collect();
            Some((*from, *to, each(&here)))
        };
        Self {
            slabs: edges.windows(2).filter_map(slab).collect(),
        }
    }

    /// What is usable beyond a place on the length.
    pub(super) fn beyond(&self, x: f64) -> f64 {
        let part = |(from, to, per_mm): &(f64, f64, f64)| (to - from.max(x)).max(0.0) * per_mm;
        self.slabs.iter().map(part).sum()
    }
}

/// Every sum of up to `most` sides that goes into `length`, rising, zero among them.
fn sums(sides: &[f64], length: f64, most: usize) -> Vec<f64> {
    set_on(vec![0.0], sides, length + SAME_MM, most)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stretches_hold_whole_cases_only() {
        let wall = Box3 {
            at_mm: [100.0, 200.0, 0.0],
            size_mm: [50.0, 10.0, 300.0],
        };
        let usable = Usable::area([0.0; 3], [300.0, 360.0, 300.0], &[wall], &[173.0, 330.0], 4);
        // Free length: 346 of 360; beside the wall 173 of 200 and nothing of 150.
        assert_eq!(usable.beyond(0.0), 250.0 * 346.0 + 50.0 * 173.0);
        assert_eq!(usable.beyond(200.0), 100.0 * 346.0);
        assert_eq!(usable.beyond(400.0), 0.0);
    }

    #[test]
    fn a_volume_is_less_by_what_stands_in_it() {
        let thing = Box3 {
            at_mm: [0.0; 3],
            size_mm: [1.0, 2.0, 3.0],
        };
        let usable = Usable::volume([0.0; 3], [3.0; 3], &[thing]);
        assert_eq!(usable.beyond(0.0), 27.0 - 6.0);
    }
}
