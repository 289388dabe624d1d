//! The sizing map: days short a year by strings of batteries and solar watts. Which cells are worked out, how closely and in
//! which order hangs on the cells alone, never on who works them out how fast.

use super::income::chosen;
use super::risk::Tally;
use crate::inputs::Inputs;
use crate::numeric::order;
use crate::report::{SizingCell, SizingMap};
use crate::year::YearShort;

/// Strings and steps of solar watts of a sizing map.
pub const MAP_SIDE: usize = 12;
/// Years drawn for a cell at first, and again where it matters.
pub(super) const PASSES: [u64; 3] = [12, 48, 140];
/// Cells of a first pass that come at a time: a coarse grid, a finer one, the rest.
const GRIDS: usize = 3;
/// Days short a year from which a cell is hopeless, and is not worked out further.
const HOPELESS_DAYS: f64 = 150.0;
/// Taken as the doubt of a mean below one day, after enough years; twice as much after fewer [days]. Assumed.
const RARE_HALF: f64 = 0.5;
const ENOUGH_YEARS: usize = 50;

/// A cell of a map under way.
#[derive(Clone, Debug, PartialEq)]
enum Cell {
    /// Not worked out yet.
    Open,
    /// Another one says that it can't be better, or worse, than this [days short a year].
    Settled(f64),
    /// By years drawn for it.
    Drawn(Tally),
}

/// A sizing map under way. Cells are handed out in rounds; what a round brings decides the next.
pub(super) struct Mapping {
    cells: Vec<Cell>,
    /// Which round is under way: the grids of the first pass, then the further passes.
    round: usize,
    /// Places of the cells of this round still to be handed out, the next one last.
    open: Vec<usize>,
    /// Cells that are handed out and not back.
    out: usize,
    map: SizingMap,
}

impl Mapping {
    /// Lays out a map about the chosen candidate: 1 to 12 strings of it against none to three times the plan's solar watts;
    /// none without panels or a candidate.
    pub(super) fn new(inputs: &Inputs, tolerance_days: f64) -> Option<Self> {
        let row = chosen(inputs)?;
        let (plan_w, step_w) = solar_steps(inputs)?;
        let mut mapping = Self {
            cells: vec![Cell::Open; MAP_SIDE * MAP_SIDE],
            round: 0,
            open: Vec::new(),
            out: 0,
            map: SizingMap {
                id: row.id,
                strings: (1..=MAP_SIDE as u32).collect(),
                watts: (0..MAP_SIDE).map(|nth| nth as f64 * step_w).collect(),
                plan_strings: row.bank.parallel,
                plan_watts: plan_w,
                tolerance_days,
                bank_price: row.price.map(|price| price * f64::from(row.bank.series)),
                watt_price: inputs.watt_price,
                cells: Vec::new(),
            },
        };
        mapping.lay_round();
        Some(mapping)
    }

    /// A cell to work out, and which of the passes says for how many years; none while a round is not back, or at the end.
    pub(super) fn next(&mut self) -> Option<(usize, usize)> {
        let at = self.open.pop()?;
        self.out += 1;
        Some((at, self.pass()))
    }

    /// Takes what a cell's years brought.
    pub(super) fn put(&mut self, at: usize, years: Vec<YearShort>) {
        if let Some(cell) = self.cells.get_mut(at) {
            let mut tally = match cell {
                Cell::Drawn(tally) => std::mem::take(tally),
                _ => Tally::default(),
            };
            tally.add(Tally::of(years));
            *cell = Cell::Drawn(tally);
        }
        self.out = self.out.saturating_sub(1);
        while self.open.is_empty() && self.out == 0 && !self.is_done() {
            self.round += 1;
            self.lay_round();
        }
    }

    /// Whether all cells are as sure as they get.
    pub(super) fn is_done(&self) -> bool {
        self.round >= GRIDS + PASSES.len() - 1
    }

    /// Whether every cell has its first figure.
    pub(super) fn is_whole(&self) -> bool {
        self.round >= GRIDS
    }

    fn pass(&self) -> usize {
        (self.round + 1).saturating_sub(GRIDS)
    }

    /// Lays out a round: in the first pass a grid, without the cells that others settle; then the cells that more years could
    /// put on the other side of the tolerance.
    fn lay_round(&mut self) {
        let mut open = Vec::new();
        for at in (0..self.cells.len()).rev() {
            if self.pass() == 0 {
                if grid(at) != self.round {
                    continue;
                }
                match self.settled(at) {
                    Some(bound) => {
                        if let Some(cell) = self.cells.get_mut(at) {
                            *cell = Cell::Settled(bound);
                        }
                    }
                    None => open.push(at),
                }
            } else if !self.is_done() && (self.is_near(at) || self.is_unsettled(at)) {
                open.push(at);
            }
        }
        // What lies nearest to the tolerance last, so that it is handed out first.
        let far = |at: &usize| match self.cells.get(*at) {
            Some(Cell::Drawn(tally)) => -(tally.mean_days() - self.map.tolerance_days).abs(),
            _ => 0.0,
        };
        let by_far = order(&open.iter().map(far).collect::<Vec<_>>());
        self.open = by_far
            .into_iter()
            .filter_map(|place| open.get(place).copied())
            .collect();
    }

    /// Share of the work that is done, 0 to 1, as far as it can be foreseen: a first picture is half of it.
    pub(super) fn progress(&self) -> f64 {
        let known = self.cells.iter().filter(|cell| **cell != Cell::Open);
        let first = known.count() as f64 / self.cells.len().max(1) as f64;
        let further = self.round.saturating_sub(GRIDS - 1) as f64 / (PASSES.len() - 1) as f64;
        0.5 * (first + further.min(1.0))
    }

    /// What a richer cell that is hopeless, or a poorer one that is never short, says of this one [days short a year].
    fn settled(&self, at: usize) -> Option<f64> {
        let (string, watt) = (at / MAP_SIDE, at % MAP_SIDE);
        let cells = self.cells.iter().enumerate();
        cells.into_iter().find_map(|(at, cell)| {
            let (s, w) = (at / MAP_SIDE, at % MAP_SIDE);
            let Cell::Drawn(tally) = cell else {
                return None;
            };
            let mean = tally.mean_days();
            let (richer, poorer) = (s >= string && w >= watt, s <= string && w <= watt);
            if richer && mean > HOPELESS_DAYS {
                Some(HOPELESS_DAYS)
            } else if poorer && mean == 0.0 {
                Some(0.0)
            } else {
                None
            }
        })
    }

    /// Whether what settled a cell has been drawn again since, and no longer does.
    fn is_unsettled(&self, at: usize) -> bool {
        matches!(self.cells.get(at), Some(Cell::Settled(_))) && self.settled(at).is_none()
    }

    /// Whether more years could put a cell on the other side of the tolerance.
    fn is_near(&self, at: usize) -> bool {
        let Some(Cell::Drawn(tally)) = self.cells.get(at) else {
            return false;
        };
        let interval = tally.risk(0).interval;
        let few = tally.count() < ENOUGH_YEARS;
        let rare = if few { 2.0 * RARE_HALF } else { RARE_HALF };
        let half = interval.map_or(rare, |[low, high]| (high - low) / 2.0);
        (tally.mean_days() - self.map.tolerance_days).abs() < 3.0 * half + 0.5
    }

    /// The map as far as it is worked out.
    pub(super) fn map(&self) -> SizingMap {
        let cells = self.cells.iter().map(|cell| match cell {
            Cell::Open => SizingCell {
                days: None,
                years: 0,
            },
            Cell::Settled(days) => SizingCell {
                days: Some(*days),
                years: 0,
            },
            Cell::Drawn(tally) => SizingCell {
                days: Some(tally.mean_days()),
                years: tally.count() as u32,
            },
        });
        SizingMap {
            cells: cells.collect(),
            ..self.map.clone()
        }
    }
}

/// The plan's solar watts and the step between two columns [W]; none without panels.
pub(super) fn solar_steps(inputs: &Inputs) -> Option<(f64, f64)> {
    let parts = &inputs.sun.as_ref()?.parts;
    let plan_w: f64 = parts.iter().map(|part| part.rated_w).sum();
    Some((plan_w, nice_step(plan_w / 4.0)))
}

/// Which grid of the first pass a cell lies on.
fn grid(at: usize) -> usize {
    let on = |every: usize| {
        let is = |n: usize| n % every == every / 2;
        is(at / MAP_SIDE) && is(at % MAP_SIDE)
    };
    if on(4) {
        0
    } else if on(2) {
        1
    } else {
        2
    }
}

/// A step of 1, 2, 2.5 or 5 times a power of ten, at least as large.
fn nice_step(least: f64) -> f64 {
    let ten = libm::pow(10.0, libm::floor(libm::log10(least.max(1.0))));
    let steps = [1.0, 2.0, 2.5, 5.0, 10.0];
    steps
        .iter()
        .map(|step| step * ten)
        .find(|step| *step >= least * (1.0 - 1e-9))
        .unwrap_or(10.0 * ten)
}
