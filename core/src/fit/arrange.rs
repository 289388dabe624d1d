//! The exact search for an arrangement.
//!
//! Any arrangement can be pushed left, forward and down until nothing moves; then every case touches, on its left, a
//! wall, an obstacle or another case, and the same in front and below. So only such places need be tried (the normal
//! patterns of Christofides & Whitlock 1977), in rising order of place, since the cases are all alike.

use super::space::{Box3, Case, Certainty, Locker, Placement, Rules, SAME_MM, Turned};
use crate::numeric::ascending;

/// Most cases that are searched for.
pub(super) const MOST_CASES: u32 = 8;

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Search {
    /// How many go in.
    pub count: u32,
    /// Where they stand.
    pub placements: Vec<Placement>,
    /// Whether nothing was left untried.
    pub certainty: Certainty,
    /// Steps taken.
    pub steps: u64,
}

#[derive(Clone, Copy)]
struct Placed {
    block: Box3,
    turned: usize,
}

struct Searcher {
    turnings: Vec<Turned>,
    inside: [f64; 3],
    /// Obstacles with the side gap behind them.
    blocked: Vec<Box3>,
    start: [f64; 3],
    y: Vec<f64>,
    z: Vec<f64>,
    least_volume: f64,
    wanted: usize,
    placed: Vec<Placed>,
    steps: u64,
    budget: u64,
}

/// An arrangement of so many cases; none where there is none, with how sure that is and the steps taken.
pub fn place(
    locker: &Locker,
    case: &Case,
    count: u32,
    rules: Rules,
) -> (Option<Vec<Placement>>, Certainty, u64) {
    if count > MOST_CASES {
        return (None, Certainty::CutShort, 0);
    }
    let mut searcher = Searcher::new(locker, case, count as usize, rules);
    let found = count == 0 || searcher.fill();
    let certainty = if !found && searcher.steps >= searcher.budget {
        Certainty::CutShort
    } else {
        Certainty::Exact
    };
    let placements = found.then(|| searcher.placements());
    (placements, certainty, searcher.steps)
}

/// The most cases that go in, up to `upto`.
pub fn most(locker: &Locker, case: &Case, upto: u32, rules: Rules) -> Search {
    let mut best = Search {
        count: 0,
        placements: Vec::new(),
        certainty: Certainty::Exact,
        steps: 0,
    };
    for count in 1..=upto.min(MOST_CASES) {
        let (found, certainty, steps) = place(locker, case, count, rules);
        best.steps += steps;
        match found {
            Some(placements) => (best.count, best.placements) = (count, placements),
            None => {
                best.certainty = certainty;
                break;
            }
        }
    }
    best
}

impl Searcher {
    fn new(locker: &Locker, case: &Case, wanted: usize, rules: Rules) -> Self {
        let gap = case.side_gap_mm;
        let inside = locker.inside_mm;
        let [long, deep, high] = inside;
        let mut turnings = case.turnings();
        turnings.retain(|turned| {
            let [x, y, z] = turned.block_mm;
            gap + x <= long + SAME_MM && gap + y <= deep + SAME_MM && z <= high + SAME_MM
        });
        let blocked: Vec<Box3> = locker
            .obstacles
            .iter()
            .map(|thing| {
                let [l, w, h] = thing.space.size_mm;
                Box3 {
                    at_mm: thing.space.at_mm,
                    size_mm: [l + gap, w + gap, h],
                }
            })
            .collect();
        let start = [gap, gap, 0.0];
        let y = places(1, &turnings, &blocked, start, inside, wanted);
        let z = if rules.on_the_floor {
            vec![0.0]
        } else {
            places(2, &turnings, &blocked, start, inside, wanted)
        };
        let least_volume = turnings
            .iter()
            .map(|turned| turned.block_mm.iter().product())
            .fold(f64::INFINITY, f64::min);
        Self {
            turnings,
            inside,
            blocked,
            start,
            y,
            z,
            least_volume,
            wanted,
            placed: Vec::with_capacity(wanted),
            steps: 0,
            budget: rules.budget,
        }
    }

    fn placements(&self) -> Vec<Placement> {
        let own = |placed: &Placed| Placement {
            at_mm: placed.block.at_mm,
            size_mm: self
                .turnings
                .get(placed.turned)
                .map_or([0.0; 3], |turned| turned.own_mm),
        };
        self.placed.iter().map(own).collect()
    }

    /// Room that is left for cases whose left side is at `x` or further: the rest of the locker less what stands there.
    fn room_from(&self, x: f64) -> f64 {
        let [long, deep, high] = self.inside;
        let [_, front, floor] = self.start;
        let whole = (long - x).max(0.0) * (deep - front).max(0.0) * (high - floor).max(0.0);
        let beyond = |placed: &Placed| {
            let [at, _, _] = placed.block.at_mm;
            let [l, w, h] = placed.block.size_mm;
            (at + l - x.max(at)).max(0.0) * w * h
        };
        whole - self.placed.iter().map(beyond).sum::<f64>()
    }

    fn fill(&mut self) -> bool {
        let left = self.wanted - self.placed.len();
        if left == 0 {
            return true;
        }
        let last = self.placed.last().map(|placed| placed.block.at_mm);
        let from = last.map_or(self.start[0], |at| at[0]);
        if self.turnings.is_empty()
            || self.room_from(from) + SAME_MM < left as f64 * self.least_volume
        {
            return false;
        }
        // Left sides that touch something: the wall, an obstacle, a case that stands already.
        let mut lefts = [0.0f64; 24];
        let mut count = 0;
        let edges = std::iter::once(self.start[0])
            .chain(
                self.blocked
                    .iter()
                    .map(|thing| thing.at_mm[0] + thing.size_mm[0]),
            )
            .chain(
                self.placed
                    .iter()
                    .map(|placed| placed.block.at_mm[0] + placed.block.size_mm[0]),
            );
        for edge in edges {
            let known = lefts
                .iter()
                .take(count)
                .any(|known| (known - edge).abs() <= SAME_MM);
            if edge >= from - SAME_MM
                && edge < self.inside[0]
                && !known
                && let Some(slot) = lefts.get_mut(count)
            {
                *slot = edge;
                count += 1;
            }
        }
        if let Some(lefts) = lefts.get_mut(..count) {
            ascending(lefts);
        }
        for x in lefts.into_iter().take(count) {
            if self.room_from(x) + SAME_MM < left as f64 * self.least_volume {
                return false;
            }
            for y_at in 0..self.y.len() {
                for z_at in 0..self.z.len() {
                    let (Some(y), Some(z)) = (self.y.get(y_at).copied(), self.z.get(z_at).copied())
                    else {
                        continue;
                    };
                    if !after(last, [x, y, z]) {
                        continue;
                    }
                    for turned in 0..self.turnings.len() {
                        if self.try_at([x, y, z], turned) {
                            return true;
                        }
                        if self.steps >= self.budget {
                            return false;
                        }
                    }
                }
            }
        }
        false
    }

    fn try_at(&mut self, at_mm: [f64; 3], turned: usize) -> bool {
        self.steps += 1;
        let Some(size_mm) = self.turnings.get(turned).map(|turned| turned.block_mm) else {
            return false;
        };
        let block = Box3 { at_mm, size_mm };
        let inside = at_mm
            .iter()
            .zip(&size_mm)
            .zip(&self.inside)
            .all(|((at, size), inside)| at + size <= inside + SAME_MM);
        if !inside
            || self.blocked.iter().any(|thing| thing.overlaps(&block))
            || self
                .placed
                .iter()
                .any(|placed| placed.block.overlaps(&block))
            || !self.touches_left(&block)
        {
            return false;
        }
        self.placed.push(Placed { block, turned });
        if self.fill() {
            return true;
        }
        self.placed.pop();
        false
    }

    /// Whether something that it faces stands at its left side.
    fn touches_left(&self, block: &Box3) -> bool {
        let x = block.at_mm[0];
        if (x - self.start[0]).abs() <= SAME_MM {
            return true;
        }
        let holds = |other: &Box3| {
            let edge = other.at_mm[0] + other.size_mm[0];
            let faces = |axis: usize| {
                let (Some(a), Some(la), Some(b), Some(lb)) = (
                    block.at_mm.get(axis),
                    block.size_mm.get(axis),
                    other.at_mm.get(axis),
                    other.size_mm.get(axis),
                ) else {
                    return false;
                };
                a + SAME_MM < b + lb && b + SAME_MM < a + la
            };
            (edge - x).abs() <= SAME_MM && faces(1) && faces(2)
        };
        self.blocked.iter().any(holds) || self.placed.iter().any(|placed| holds(&placed.block))
    }
}

/// Whether a place comes after the last one.
fn after(last: Option<[f64; 3]>, [x, y, z]: [f64; 3]) -> bool {
    let Some([lx, ly, lz]) = last else {
        return true;
    };
    if (x - lx).abs() > SAME_MM {
        return x > lx;
    }
    if (y - ly).abs() > SAME_MM {
        return y > ly;
    }
    z > lz + SAME_MM
}

/// Places on an axis where a case can touch something in front or below: a wall, the far side of an obstacle, and any row
/// of cases from there.
fn places(
    axis: usize,
    turnings: &[Turned],
    blocked: &[Box3],
    start: [f64; 3],
    inside: [f64; 3],
    wanted: usize,
) -> Vec<f64> {
    let of = |values: &[f64; 3]| values.get(axis).copied().unwrap_or(0.0);
    let sizes: Vec<f64> = turnings.iter().map(|turned| of(&turned.block_mm)).collect();
    let least = sizes.iter().copied().fold(f64::INFINITY, f64::min);
    let end = of(&inside) - least + SAME_MM;
    let mut all: Vec<f64> = std::iter::once(of(&start))
        .chain(
            blocked
                .iter()
                .map(|thing| of(&thing.at_mm) + of(&thing.size_mm)),
        )
        .filter(|place| *place >= of(&start) - SAME_MM && *place <= end)
        .collect();
    let mut newest = all.clone();
    for _ in 1..wanted {
        let mut next = Vec::new();
        for place in &newest {
            for size in &sizes {
                let place = place + size;
                if place <= end
                    && !all
                        .iter()
                        .chain(&next)
                        .any(|known| (known - place).abs() <= SAME_MM)
                {
                    next.push(place);
                }
            }
        }
        if next.is_empty() {
            break;
        }
        all.extend(&next);
        newest = next;
    }
    ascending(&mut all);
    all.dedup_by(|a, b| (*a - *b).abs() <= SAME_MM);
    all
}
