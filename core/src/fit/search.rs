//! The exact search for an arrangement.
//!
//! Any arrangement can be pushed left and forward (and, where bricks may hang in the air, down) until nothing moves; then
//! every case touches, on its left, a wall, an obstacle or another case, or it stands with its middle at a shelf's edge, and
//! the same in front and below. What must stay clear about a terminal touches walls and obstacles like the case itself, and
//! a part of the floor that bears only so much is not entered from its far side, as if it were touched. So only such places
//! need be tried (the normal patterns of Christofides & Whitlock 1977), in
//! rising order of place, so that an arrangement is met once and not once an order of its cases. What is left of the search
//! depends only on what reaches beyond the last place, so a state that failed is remembered and not searched again.

use super::bounds::Usable;
use super::case::{Case, Turned};
use super::patterns::{Way, after, holds, places};
use super::space::{Box3, Certainty, Locker, Placement, Rules, SAME_MM, loads};
use crate::numeric::ascending;
use std::collections::BTreeSet;

/// Masses closer than this are the same [kg].
const SAME_KG: f64 = 1e-6;
/// Most failed states that are remembered.
const REMEMBERED: usize = 60_000;

#[derive(Clone, Copy)]
struct Placed {
    block: Box3,
    kind: usize,
    turned: Turned,
    /// Whether something holds it in front, and below.
    held: [bool; 2],
}

pub(super) struct Searcher {
    options: Vec<Way>,
    inside: [f64; 3],
    /// Obstacles with the side gap behind them.
    blocked: Vec<Box3>,
    /// The same without it, where some kind keeps room about its terminals clear; and that room by option.
    bare: Vec<Box3>,
    clear: Vec<Vec<Box3>>,
    /// What bears only so much, and by how much it is loaded [kg]; and what a case of each kind weighs.
    limits: Vec<(Box3, f64)>,
    loaded: Vec<f64>,
    weights: Vec<f64>,
    shelves: Vec<Box3>,
    supported: bool,
    start: [f64; 3],
    /// Left sides at which a case's middle is at the left edge of a shelf, room about its terminals at a wall or an obstacle,
    /// or the case itself at the far edge of what bears only so much.
    edges: Vec<f64>,
    y: Vec<f64>,
    z: Vec<f64>,
    /// Whether room is counted by area, all cases standing on one level, or by volume.
    level: bool,
    usable: Usable,
    /// The least that a case of each kind takes of it.
    least: Vec<f64>,
    /// The least height of a middle of each kind above what it stands on.
    low: Vec<f64>,
    left: Vec<u32>,
    below: f64,
    raised: f64,
    placed: Vec<Placed>,
    failed: BTreeSet<Vec<i64>>,
    steps: u64,
    budget: u64,
}

/// Heights at which a case may stand: the floor, and each shelf.
fn levels(shelves: &[Box3]) -> Vec<f64> {
    let tops = shelves
        .iter()
        .map(|shelf| shelf.at_mm[2] + shelf.size_mm[2]);
    let mut levels: Vec<f64> = tops.chain([0.0]).filter(|z| *z >= 0.0).collect();
    ascending(&mut levels);
    levels.dedup_by(|a, b| (*a - *b).abs() <= SAME_MM);
    levels
}

/// Ways in which the cases may stand, all their room inside the walls. Which way a lying case looks matters only to what
/// bears it, so without such both ends are one.
fn ways(kinds: &[(&Case, u32)], gap: f64, [long, deep, high]: [f64; 3], looks: bool) -> Vec<Way> {
    let mut ways = Vec::new();
    for (kind, (case, count)) in kinds.iter().enumerate() {
        let turnings = case.turnings(gap).into_iter();
        let goes_in = turnings.filter(|turned| {
            let [x, y, z] = turned.block_mm;
            *count > 0
                && (looks || turned.terminals == 2 || turned.quarters == 0)
                && gap + x <= long + SAME_MM
                && gap + y <= deep + SAME_MM
                && z <= high + SAME_MM
        });
        ways.extend(goes_in.map(|turned| Way { kind, turned }));
    }
    ways
}

/// What a case that stands so keeps clear about its terminals, from the corner of its block.
fn clear_of(way: &Way, kinds: &[(&Case, u32)]) -> Vec<Box3> {
    let case = kinds.get(way.kind).map(|(case, _)| *case);
    let clear = case.map(|case| case.keep_clear(way.turned.quarters, way.turned.terminals));
    let mut clear = clear.unwrap_or_default();
    for room in &mut clear {
        for (at, inset) in room.at_mm.iter_mut().zip(&way.turned.inset_mm) {
            *at += inset;
        }
    }
    clear
}

/// The obstacles as boxes: on the floor as whatever begins or ends at a height of the cases' sees them.
fn solids(
    locker: &Locker,
    on_the_floor: bool,
    levels: &[f64],
    options: &[Way],
    clear: &[Vec<Box3>],
) -> Vec<Box3> {
    // Heights at which something of a case begins and ends, above what it stands on.
    let rooms = || clear.iter().flatten();
    let feet = std::iter::once(0.0).chain(rooms().map(|room| room.at_mm[2]));
    let ends = options
        .iter()
        .map(|option| option.turned.body_high_mm)
        .chain(rooms().map(|room| room.at_mm[2] + room.size_mm[2]));
    let above = |heights: Vec<f64>| -> Vec<f64> {
        let each = levels.iter();
        each.flat_map(|level| heights.iter().map(move |high| level + high))
            .collect()
    };
    let (feet, tops) = (above(feet.collect()), above(ends.collect()));
    let things = locker.obstacles.iter();
    things
        .flat_map(|thing| match on_the_floor {
            true => thing.seen(&feet, &tops),
            false => thing.solids(),
        })
        .collect()
}

/// The obstacles with the side gap behind them, without those that are in nobody's way.
fn in_the_way(
    solids: &[Box3],
    gap: f64,
    inside: [f64; 3],
    level: bool,
    options: &[Way],
) -> Vec<Box3> {
    let tallest = options
        .iter()
        .map(|option| option.turned.block_mm[2])
        .fold(0.0, f64::max);
    let behind = |solid: &Box3| {
        let [l, w, h] = solid.size_mm;
        Box3 {
            size_mm: [l + gap, w + gap, h],
            ..*solid
        }
    };
    let mut blocked: Vec<Box3> = solids.iter().map(behind).collect();
    blocked.retain(|thing| {
        let hangs =
            thing.at_mm[2] + SAME_MM >= tallest || thing.at_mm[2] + thing.size_mm[2] <= SAME_MM;
        let mut sides = thing.at_mm.iter().zip(&thing.size_mm).zip(&inside);
        !(level && hangs) && sides.all(|((at, size), inside)| at + size > 0.0 && at < inside)
    });
    blocked
}

impl Searcher {
    /// Starts the search; the sum of the heights of the middles is to stay below a bound [mm].
    pub(super) fn new(locker: &Locker, kinds: &[(&Case, u32)], rules: Rules, below: f64) -> Self {
        let gap = kinds
            .iter()
            .map(|(case, _)| case.side_gap_mm)
            .fold(0.0, f64::max);
        let inside = locker.inside_mm;
        let (mut limits, mut shelves) = (Vec::new(), Vec::new());
        if rules.on_the_floor {
            limits = locker.limits();
            let carrying = locker.obstacles.iter().filter(|thing| thing.carries);
            shelves.extend(carrying.map(|thing| thing.space));
        }
        let mut options = ways(
            kinds,
            gap,
            inside,
            !limits.is_empty() || !shelves.is_empty(),
        );
        if let (true, Some(opening)) = (rules.passing, &locker.opening) {
            options.retain(|option| opening.passes(&option.turned.own_mm));
        }
        let wanted = kinds.iter().map(|(_, count)| *count as usize).sum();
        let level = rules.on_the_floor && shelves.is_empty();
        let levels = levels(&shelves);
        let clear: Vec<Vec<Box3>> = options.iter().map(|way| clear_of(way, kinds)).collect();
        let mut bare = solids(locker, rules.on_the_floor, &levels, &options, &clear);
        let blocked = in_the_way(&bare, gap, inside, level, &options);
        if clear.iter().all(Vec::is_empty) {
            bare.clear();
        }
        let of_kind = |kind: usize, of: fn(&Turned) -> f64| {
            let own = options.iter().filter(|option| option.kind == kind);
            own.map(|option| of(&option.turned))
                .fold(f64::INFINITY, f64::min)
        };
        let of_kinds = |of: fn(&Turned) -> f64| -> Vec<f64> {
            (0..kinds.len()).map(|kind| of_kind(kind, of)).collect()
        };
        let least = of_kinds(if level {
            |turned| turned.block_mm[0] * turned.block_mm[1]
        } else {
            Turned::body_mm3
        });
        let low = of_kinds(|turned| turned.own_mm[2] / 2.0);
        let mut searcher = Self {
            inside,
            usable: Usable::default(),
            blocked,
            bare,
            clear,
            loaded: vec![0.0; limits.len()],
            limits,
            weights: kinds.iter().map(|(case, _)| case.mass_kg).collect(),
            supported: rules.on_the_floor,
            start: [gap, gap, 0.0],
            edges: Vec::new(),
            y: Vec::new(),
            z: levels,
            level,
            least,
            low,
            left: kinds.iter().map(|(_, count)| *count).collect(),
            below,
            raised: 0.0,
            placed: Vec::with_capacity(wanted),
            failed: BTreeSet::new(),
            steps: 0,
            budget: rules.budget,
            options,
            shelves,
        };
        searcher.edges = searcher.overhang(0);
        searcher.y = searcher.places(1, &searcher.overhang(1), wanted);
        if !rules.on_the_floor {
            searcher.z = searcher.places(2, &[], wanted);
        }
        searcher.usable = searcher.usable(wanted);
        searcher
    }

    /// Places along an axis at which a case's near side may lie.
    fn places(&self, axis: usize, edges: &[f64], wanted: usize) -> Vec<f64> {
        let Self {
            options,
            blocked,
            start,
            inside,
            ..
        } = self;
        places(axis, options, blocked, edges, *start, *inside, wanted)
    }

    /// Places along an axis at which a case's middle is at the near edge of a shelf, room about its terminals at a wall or an
    /// obstacle, or the case itself at the far edge of what bears only so much.
    fn overhang(&self, axis: usize) -> Vec<f64> {
        let of = |values: &[f64; 3]| values.get(axis).copied().unwrap_or(0.0);
        let mut edges = Vec::new();
        for (option, rooms) in self.options.iter().zip(&self.clear) {
            let turned = &option.turned;
            let (inset, own) = (of(&turned.inset_mm), of(&turned.own_mm));
            let shelves = self.shelves.iter();
            edges.extend(shelves.map(|shelf| of(&shelf.at_mm) - inset - own / 2.0));
            let limits = self.limits.iter();
            edges.extend(limits.map(|(limit, _)| of(&limit.at_mm) + of(&limit.size_mm) - inset));
            for room in rooms {
                let at = of(&room.at_mm);
                edges.push(-at);
                let things = self.bare.iter();
                let met = things.filter(|thing| !self.level || may_meet(room, turned, thing));
                edges.extend(met.map(|thing| of(&thing.at_mm) + of(&thing.size_mm) - at));
            }
        }
        edges
    }

    /// What room there is beyond each place: by area where all stand on one level, else by volume.
    fn usable(&self, wanted: usize) -> Usable {
        if !self.level {
            return Usable::volume(self.start, self.inside, &self.blocked);
        }
        let turned = || self.options.iter().map(|option| &option.turned);
        let lowest = turned()
            .map(|turned| turned.body_high_mm)
            .fold(f64::INFINITY, f64::min);
        let low = |thing: &&Box3| thing.at_mm[2] + SAME_MM < lowest;
        let in_everyones_way: Vec<Box3> = self.blocked.iter().filter(low).copied().collect();
        let mut sides: Vec<f64> = turned().map(|turned| turned.block_mm[1]).collect();
        ascending(&mut sides);
        sides.dedup();
        Usable::area(self.start, self.inside, &in_everyones_way, &sides, wanted)
    }

    /// Searches to the end, or to the end of the budget.
    pub(super) fn search(mut self) -> (Option<Vec<Placement>>, Certainty, u64) {
        let found = self.fill();
        let certainty = if !found && self.steps >= self.budget {
            Certainty::CutShort
        } else {
            Certainty::Exact
        };
        (found.then(|| self.placements()), certainty, self.steps)
    }

    fn placements(&self) -> Vec<Placement> {
        let own = |placed: &Placed| Placement {
            at_mm: moved(placed.block.at_mm, placed.turned.inset_mm),
            size_mm: placed.turned.own_mm,
            kind: placed.kind,
            terminals: placed.turned.terminals,
            quarters: placed.turned.quarters,
        };
        self.placed.iter().map(own).collect()
    }

    /// Whether what is left could still go in beyond `x`, by area or volume.
    fn has_room_from(&self, x: f64) -> bool {
        let beyond = |placed: &Placed| {
            let [at, _, _] = placed.block.at_mm;
            let [l, w, _] = placed.block.size_mm;
            let high = placed.turned.body_high_mm;
            (at + l - x.max(at)).max(0.0) * w * if self.level { 1.0 } else { high }
        };
        let wanted = self.left.iter().zip(&self.least);
        let wanted: f64 = wanted
            .filter(|(left, _)| **left > 0)
            .map(|(left, least)| f64::from(*left) * least)
            .sum();
        self.usable.beyond(x) - self.placed.iter().map(beyond).sum::<f64>() + SAME_MM >= wanted
    }

    /// What the rest of the search depends on: how many are left, the last place, and what reaches beyond it.
    fn state(&self, from: f64) -> Vec<i64> {
        let whole = |mm: f64| (mm / SAME_MM).round() as i64;
        let mut reaching: Vec<[i64; 6]> = self
            .placed
            .iter()
            .map(|placed| {
                let ([x, y, z], [l, w, h]) = (placed.block.at_mm, placed.block.size_mm);
                let [end, y, to_y, z, to_z] = [x + l, y, y + w, z, z + h].map(whole);
                let held = placed
                    .held
                    .iter()
                    .fold(0, |bits, held| 2 * bits + i64::from(*held));
                [end, y, to_y, z, to_z, held]
            })
            .filter(|[end, ..]| *end >= whole(from))
            .collect();
        // A few: put in order one by one.
        for at in 1..reaching.len() {
            for before in (0..at).rev() {
                if reaching.get(before) > reaching.get(before + 1) {
                    reaching.swap(before, before + 1);
                }
            }
        }
        let last = self
            .placed
            .last()
            .map_or([0.0; 3], |placed| placed.block.at_mm);
        let left = self.left.iter().map(|left| i64::from(*left));
        let raised = if self.below.is_finite() {
            whole(self.raised)
        } else {
            0
        };
        left.chain(last.map(whole))
            .chain([raised])
            .chain(self.loaded.iter().copied().map(whole))
            .chain(reaching.into_iter().flatten())
            .collect()
    }

    fn fill(&mut self) -> bool {
        let left: u32 = self.left.iter().sum();
        if left == 0 {
            return self.raised < self.below && self.holds_up_to(f64::INFINITY);
        }
        let kinds = self
            .left
            .iter()
            .zip(&self.low)
            .filter(|(left, _)| **left > 0);
        let still: f64 = kinds.map(|(left, low)| f64::from(*left) * low).sum();
        let last = self.placed.last().map(|placed| placed.block.at_mm);
        let from = last.map_or(self.start[0], |at| at[0]);
        if self.options.is_empty() || self.raised + still >= self.below || !self.has_room_from(from)
        {
            return false;
        }
        let state = (left >= 2 && !self.placed.is_empty()).then(|| self.state(from));
        if state
            .as_ref()
            .is_some_and(|state| self.failed.contains(state))
        {
            return false;
        }
        let found = self.try_places(last, from);
        if !found
            && self.steps < self.budget
            && self.failed.len() < REMEMBERED
            && let Some(state) = state
        {
            self.failed.insert(state);
        }
        found
    }

    fn try_places(&mut self, last: Option<[f64; 3]>, from: f64) -> bool {
        for x in self.lefts(from) {
            if !self.has_room_from(x) || !self.holds_up_to(x) {
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
                    for option in 0..self.options.len() {
                        if self.try_at([x, y, z], option) {
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

    /// Left sides that touch something: the wall, an obstacle, a case that stands already, or a shelf's edge with the middle.
    fn lefts(&self, from: f64) -> Vec<f64> {
        let far = |block: &Box3| block.at_mm[0] + block.size_mm[0];
        let mut lefts: Vec<f64> = std::iter::once(self.start[0])
            .chain(self.blocked.iter().map(far))
            .chain(self.placed.iter().map(|placed| far(&placed.block)))
            .chain(self.edges.iter().copied())
            .filter(|edge| {
                *edge >= from - SAME_MM
                    && *edge >= self.start[0] - SAME_MM
                    && *edge < self.inside[0]
            })
            .collect();
        ascending(&mut lefts);
        lefts.dedup_by(|a, b| (*a - *b).abs() <= SAME_MM);
        lefts
    }

    fn try_at(&mut self, at_mm: [f64; 3], option: usize) -> bool {
        self.steps += 1;
        let Some(Way { kind, turned }) = self.options.get(option).copied() else {
            return false;
        };
        let block = Box3 {
            at_mm,
            size_mm: turned.block_mm,
        };
        if self.left.get(kind).is_none_or(|left| *left == 0)
            || !self.is_free(&block, option)
            || !self.stands(at_mm, &turned)
            || !self.is_held(&block, option, 0)
            || !self.bears(&block, &turned, kind)
        {
            return false;
        }
        let (raised, loaded) = (self.raised, self.loaded.clone());
        self.raised += at_mm[2] + turned.own_mm[2] / 2.0;
        let before: Vec<[bool; 2]> = self.placed.iter().map(|placed| placed.held).collect();
        for placed in &mut self.placed {
            for (held, axis) in placed.held.iter_mut().zip([1, 2]) {
                *held = *held || holds(&block, &placed.block, axis);
            }
        }
        self.placed.push(Placed {
            block,
            kind,
            turned,
            held: [
                self.is_held(&block, option, 1),
                self.supported || self.is_held(&block, option, 2),
            ],
        });
        self.load(&block, &turned, kind);
        self.count(kind, false);
        if self.fill() {
            return true;
        }
        self.count(kind, true);
        self.placed.pop();
        for (placed, held) in self.placed.iter_mut().zip(before) {
            placed.held = held;
        }
        (self.raised, self.loaded) = (raised, loaded);
        false
    }

    /// Whether a block is inside, clear of the other blocks, and the case and the room about its terminals clear of things.
    fn is_free(&self, block: &Box3, option: usize) -> bool {
        let within = |space: &Box3| {
            let mut sides = space.at_mm.iter().zip(&space.size_mm).zip(&self.inside);
            sides.all(|((at, size), inside)| *at >= -SAME_MM && at + size <= inside + SAME_MM)
        };
        let mut body = *block;
        if let Some(way) = self.options.get(option) {
            body.size_mm[2] = way.turned.body_high_mm;
        }
        within(block)
            && !self
                .placed
                .iter()
                .any(|placed| placed.block.overlaps(block))
            && !self.blocked.iter().any(|thing| thing.overlaps(&body))
            && self
                .rooms(block, option)
                .all(|room| within(&room) && !self.bare.iter().any(|thing| thing.overlaps(&room)))
    }

    /// The room about its terminals that a case in such a block keeps clear.
    fn rooms<'a>(&'a self, block: &Box3, option: usize) -> impl Iterator<Item = Box3> + 'a {
        let at = block.at_mm;
        let rooms = self.clear.get(option).map_or(&[][..], Vec::as_slice);
        rooms.iter().map(move |room| Box3 {
            at_mm: moved(room.at_mm, at),
            ..*room
        })
    }

    /// What bears only so much, and is loaded by a case there.
    fn loaded_by<'a>(&'a self, block: &Box3, turned: &Turned) -> impl Iterator<Item = usize> + 'a {
        let (at, size) = (moved(block.at_mm, turned.inset_mm), turned.own_mm);
        let each = self.limits.iter().enumerate();
        each.filter(move |(_, (on, _))| loads(on, at, size))
            .map(|(limit, _)| limit)
    }

    fn weight(&self, kind: usize) -> f64 {
        self.weights.get(kind).copied().unwrap_or(0.0)
    }

    /// Whether what it would stand on bears it too.
    fn bears(&self, block: &Box3, turned: &Turned, kind: usize) -> bool {
        self.loaded_by(block, turned).all(|limit| {
            let loaded = self.loaded.get(limit).copied().unwrap_or(0.0);
            let bears = self.limits.get(limit).map_or(0.0, |(_, bears)| *bears);
            loaded + self.weight(kind) <= bears + SAME_KG
        })
    }

    fn load(&mut self, block: &Box3, turned: &Turned, kind: usize) {
        let (loaded, kg) = (
            self.loaded_by(block, turned).collect::<Vec<_>>(),
            self.weight(kind),
        );
        for limit in loaded {
            if let Some(slot) = self.loaded.get_mut(limit) {
                *slot += kg;
            }
        }
    }

    fn count(&mut self, kind: usize, back: bool) {
        if let Some(left) = self.left.get_mut(kind) {
            *left = if back {
                *left + 1
            } else {
                left.saturating_sub(1)
            };
        }
    }

    /// Whether it stands on the floor, or with its middle over a shelf.
    fn stands(&self, [x, y, z]: [f64; 3], turned: &Turned) -> bool {
        if !self.supported || z.abs() <= SAME_MM {
            return true;
        }
        let ([l, w, _], [hold_x, hold_y, _]) = (turned.own_mm, turned.inset_mm);
        let (x, y) = (x + hold_x, y + hold_y);
        let over = |middle: f64, at: f64, size: f64| {
            middle >= at - SAME_MM && middle <= at + size + SAME_MM
        };
        self.shelves.iter().any(|shelf| {
            let ([sx, sy, sz], [sl, sw, sh]) = (shelf.at_mm, shelf.size_mm);
            (sz + sh - z).abs() <= SAME_MM && over(x + l / 2.0, sx, sl) && over(y + w / 2.0, sy, sw)
        })
    }

    /// Whether every case that ends before `x` is held; what comes later can't reach it any more.
    fn holds_up_to(&self, x: f64) -> bool {
        self.placed.iter().all(|placed| {
            placed.held == [true; 2]
                || placed.block.at_mm[0] + placed.block.size_mm[0] > x + SAME_MM
        })
    }

    /// Whether something that it faces stands just before it on an axis, or it could go no further without tipping, without
    /// room about its terminals, or onto what bears only so much.
    fn is_held(&self, block: &Box3, option: usize, axis: usize) -> bool {
        let of = |values: &[f64; 3]| values.get(axis).copied().unwrap_or(0.0);
        let Some(Way { turned, .. }) = self.options.get(option) else {
            return false;
        };
        let at = of(&block.at_mm);
        let near = |a: f64, b: f64| (a - b).abs() <= SAME_MM;
        let own = Box3 {
            at_mm: moved(block.at_mm, turned.inset_mm),
            size_mm: turned.own_mm,
        };
        let middle = of(&own.at_mm) + of(&own.size_mm) / 2.0;
        let tips = |shelf: &Box3| near(middle, of(&shelf.at_mm));
        // As high as the case, so that it is faced.
        let stops = |(limit, _): &(Box3, f64)| {
            let mut wall = *limit;
            wall.size_mm[2] = own.size_mm[2];
            near(wall.at_mm[2], own.at_mm[2]) && holds(&wall, &own, axis)
        };
        let touches = |room: Box3| {
            near(of(&room.at_mm), 0.0) || self.bare.iter().any(|thing| holds(thing, &room, axis))
        };
        near(at, of(&self.start))
            || (block.at_mm[2] > SAME_MM && self.shelves.iter().any(tips))
            || self.blocked.iter().any(|thing| holds(thing, block, axis))
            || self
                .placed
                .iter()
                .any(|placed| holds(&placed.block, block, axis))
            || self.limits.iter().any(stops)
            || self.rooms(block, option).any(touches)
    }
}

/// Whether room about a terminal of a case on the floor can be what touches a thing: they share heights, and the case, which
/// reaches further to all sides than the room above it, does not touch the thing first.
fn may_meet(room: &Box3, turned: &Turned, thing: &Box3) -> bool {
    let (foot, top) = (thing.at_mm[2], thing.at_mm[2] + thing.size_mm[2]);
    let share = |from: f64, to: f64| from + SAME_MM < top && foot + SAME_MM < to;
    let inner = (0..2).all(|axis| {
        let of = |values: &[f64; 3]| values.get(axis).copied().unwrap_or(0.0);
        let (at, inset) = (of(&room.at_mm), of(&turned.inset_mm));
        at >= inset - SAME_MM && at + of(&room.size_mm) <= inset + of(&turned.own_mm) + SAME_MM
    });
    share(room.at_mm[2], room.at_mm[2] + room.size_mm[2])
        && !(inner && share(0.0, turned.body_high_mm))
}

fn moved(at_mm: [f64; 3], by_mm: [f64; 3]) -> [f64; 3] {
    let [x, y, z] = at_mm;
    let [dx, dy, dz] = by_mm;
    [x + dx, y + dy, z + dz]
}
