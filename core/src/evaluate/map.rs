//! The sizing map: days short a year by strings of batteries and solar watts. Which cells are worked out, how closely and in
//! which order hangs on the cells alone, never on who works them out how fast.

use super::income::chosen;
use super::risk::Tally;
use super::space::strings_that_fit;
use crate::inputs::{Candidate, Inputs};
use crate::numeric::order;
use crate::report::{SizingCell, SizingMap};
use crate::year::YearShort;

/// Most strings of a sizing map.
const MOST_STRINGS: u32 = 12;
/// Most steps of solar watts from none to the last column.
const MOST_STEPS: f64 = 12.0;
/// A map reaches at least to so many solar watts [W], or to so many times the plan's, whichever is more. Assumed.
const REACHES: (f64, f64) = (600.0, 3.0);
/// Mass of all batteries up to which more strings are offered where the space is not measured [kg]. Assumed.
const UNMEASURED_KG: f64 = 100.0;
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

/// The axes of a plan's sizing map.
pub(super) struct Axes {
    /// Rows: 1 to so many strings.
    pub(super) strings: u32,
    /// Strings that may be proposed: what fits the space, or what its mass allows.
    most_strings: u32,
    /// The plan's own solar watts [W].
    pub(super) plan_w: f64,
    /// Solar watts by column, from none [W].
    pub(super) watts: Vec<f64>,
}

impl Axes {
    /// The axes of a plan with its chosen candidate; none without panels or a candidate.
    pub(super) fn new(inputs: &Inputs) -> Option<Self> {
        let row = chosen(inputs)?;
        let parts = &inputs.sun.as_ref()?.parts;
        let plan_w: f64 = parts.iter().map(|part| part.rated_w).sum();
        let most_strings = most_strings(inputs, row);
        let (least_w, times) = REACHES;
        let reach_w = (plan_w * times).max(least_w);
        let step_w = nice_step(reach_w / MOST_STEPS);
        let steps = libm::ceil(reach_w / step_w - 1e-9) as usize;
        Some(Self {
            // The plan's own point stands on the map, whether it fits or not.
            strings: most_strings.max(row.bank.parallel).clamp(1, MOST_STRINGS),
            most_strings,
            plan_w,
            watts: (0..=steps).map(|nth| nth as f64 * step_w).collect(),
        })
    }
}

/// Strings of a candidate that may be proposed.
fn most_strings(inputs: &Inputs, row: &Candidate) -> u32 {
    let by_mass = || {
        let string_kg = row.mass_kg * f64::from(row.bank.series);
        (UNMEASURED_KG / string_kg.max(f64::MIN_POSITIVE)) as u32
    };
    let most = strings_that_fit(inputs, row).unwrap_or_else(|| by_mass().max(1));
    most.min(MOST_STRINGS)
}

impl Mapping {
    /// Lays out a map about the chosen candidate: strings of it against solar watts from none; none without panels or a
    /// candidate.
    pub(super) fn new(inputs: &Inputs, tolerance_days: f64) -> Option<Self> {
        let row = chosen(inputs)?;
        let axes = Axes::new(inputs)?;
        let mut mapping = Self {
            cells: vec![Cell::Open; axes.strings as usize * axes.watts.len()],
            round: 0,
            open: Vec::new(),
            out: 0,
            map: SizingMap {
                id: row.id,
                strings: (1..=axes.strings).collect(),
                most_strings: axes.most_strings,
                watts: axes.watts,
                plan_strings: row.bank.parallel,
                plan_watts: axes.plan_w,
                tolerance_days,
                bank_price: row.price.map(|price| price * f64::from(row.bank.series)),
                watt_price: inputs.watt_price,
                cells: Vec::new(),
            },
        };
        mapping.lay_round();
        mapping.go_on();
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
        self.go_on();
    }

    /// Lays out further rounds until one has a cell to work out. A map of few rows has none on the coarse grids.
    fn go_on(&mut self) {
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
                if self.grid(at) != self.round {
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
        let columns = self.map.watts.len();
        let (string, watt) = (at / columns, at % columns);
        let cells = self.cells.iter().enumerate();
        cells.into_iter().find_map(|(at, cell)| {
            let (s, w) = (at / columns, at % columns);
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

    /// Which grid of the first pass a cell lies on.
    fn grid(&self, at: usize) -> usize {
        let columns = self.map.watts.len();
        let on = |every: usize| {
            let is = |n: usize| n % every == every / 2;
            is(at / columns) && is(at % columns)
        };
        if on(4) {
            0
        } else if on(2) {
            1
        } else {
            2
        }
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
