//! The internal form of a plan: checked, in SI units, gathered from each topic's own types.
//!
//! Only [`crate::import`] makes one, so having one is the proof that it is sound.

mod living;

pub(crate) use living::{BatteryAir, Living, MONTHS, Place, Stay};

use crate::battery::{Bank, Fitted};
use crate::cable::{Alloy, Hole, Material, Metal, Surface, TakeOff};
use crate::charge::{Alternator, Shore};
use crate::energy::{Inverter, Load, Window};
use crate::fit::{Case, Locker};
use crate::plan::{CableExit, Rig, Thing, Units};
use crate::solar::{ArrayPart, Controller, SkyThanRegion};

/// A sound plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Inputs {
    pub(crate) name: String,
    /// In which findings speak.
    pub(crate) units: Units,
    pub(crate) rig: Rig,
    pub(crate) volts: f64,
    pub(crate) wanted_days: f64,
    pub(crate) chosen: u32,
    pub(crate) guesses: usize,
    pub(crate) loads: Vec<Load>,
    /// Loads whose window was shorter than their hours.
    pub(crate) widened: Vec<Widened>,
    pub(crate) inverter: Option<Inverter>,
    pub(crate) inverter_cutoff_v: f64,
    /// Alternating voltage that the inverter gives [V].
    pub(crate) mains_v: f64,
    pub(crate) metered_wh: Option<f64>,
    pub(crate) living: Living,
    pub(crate) sun: Option<Sun>,
    pub(crate) driving: Option<Driving>,
    pub(crate) shore: Option<Shore>,
    pub(crate) fuel_l_h: Option<f64>,
    pub(crate) candidates: Vec<Candidate>,
    pub(crate) locker: Option<Locker>,
    /// What each obstacle is, in the locker's order.
    pub(crate) things: Vec<Thing>,
    pub(crate) cables: Cables,
    pub(crate) wiring: Wiring,
    /// How far what is uncertain may be out.
    pub(crate) ranges: Ranges,
    /// Price of a watt of panel.
    pub(crate) watt_price: Option<f64>,
}

/// A load whose window was widened to its hours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Widened {
    /// Its id.
    pub(crate) load: u32,
    /// Hours that it runs in a day.
    pub(crate) running_h: f64,
    /// The window as it was typed.
    pub(crate) typed: Window,
    /// The window that it is planned in.
    pub(crate) window: Window,
}

/// How far uncertain inputs may be out either way; nine tenths of what they may be lie within.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ranges {
    pub(crate) use_share: f64,
    pub(crate) sky_share: f64,
    pub(crate) shade_share: f64,
    pub(crate) capacity_share: f64,
    pub(crate) age_years: f64,
    pub(crate) driving_share: f64,
    pub(crate) warmth_k: f64,
}

/// How cables leave the terminals, and what each way takes above and beside them [mm].
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cables {
    pub(crate) exit: CableExit,
    pub(crate) lug_mm: f64,
    pub(crate) bar_mm: f64,
    /// Of the lug's height, what is for the bend of its cable.
    pub(crate) bend_mm: f64,
    pub(crate) beside_mm: f64,
}

impl Cables {
    /// What a way takes above the terminals and beyond the case beside them [mm]; terminals that end flush take nothing above.
    pub(crate) fn room_of(&self, exit: CableExit) -> [f64; 2] {
        match exit {
            CableExit::Lug => [self.lug_mm, 0.0],
            CableExit::Bar => [self.bar_mm, self.beside_mm],
            CableExit::Flush => [0.0, self.beside_mm],
        }
    }
}

/// Cables and what holds the bank.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Wiring {
    pub(crate) bank_m: f64,
    pub(crate) inverter_m: f64,
    pub(crate) sun_m: f64,
    pub(crate) panels_m: f64,
    pub(crate) engine_m: f64,
    pub(crate) shore_m: f64,
    pub(crate) loads_m: f64,
    pub(crate) branch_m: f64,
    /// Loads whose run from the panel has a length of its own, by their id [m].
    pub(crate) branches_m: Vec<(u32, f64)>,
    /// A converter that feeds the load panel at 12 V.
    pub(crate) converter: Option<Converter>,
    /// Loads whose circuit begins at the bus bars, by their id.
    pub(crate) on_bars: Vec<u32>,
    pub(crate) drop: f64,
    pub(crate) metal: Metal,
    pub(crate) material: Material,
    /// Least area of the main conductors [mm²], where it is stated.
    pub(crate) main_least_mm2: Option<f64>,
    /// How all runs lie that are not in `routes`.
    pub(crate) common: Laid,
    /// Whether the alternator's run passes through the engine space where it is not in `routes`.
    pub(crate) engine_space: bool,
    /// How single runs lie, by the field of their length.
    pub(crate) routes: Vec<(&'static str, Laid)>,
    /// Cables that are there already [mm²], by the field of the run's length.
    pub(crate) owned: Vec<(&'static str, f64)>,
    pub(crate) along_g: f64,
    pub(crate) across_g: f64,
    pub(crate) links: Links,
    pub(crate) hold: Hold,
    /// Voltage of a panel at its best [V].
    pub(crate) panel_v: f64,
}

/// A converter from the rig's voltage to 12 V.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Converter {
    /// Rated output [A].
    pub(crate) output_a: f64,
    /// One way from the bus bars [m].
    pub(crate) length_m: f64,
}

impl Wiring {
    /// How a run lies, by the field of its length, such as `wiring/sun_mm`.
    pub(crate) fn laid(&self, field: &str) -> Laid {
        let own = self.routes.iter().find(|(name, _)| field.ends_with(name));
        own.map_or(
            Laid {
                engine_space: self.engine_space && field.ends_with("engine_mm"),
                ..self.common
            },
            |(_, laid)| *laid,
        )
    }
}

/// What is around a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Laid {
    pub(crate) insulation_c: f64,
    pub(crate) engine_space: bool,
    pub(crate) together: u32,
    pub(crate) air_c: f64,
}

/// How strings stand side by side.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Links {
    pub(crate) take_off: TakeOff,
    /// A bar's metal; none where it is cable as from the bank.
    pub(crate) bar: Option<Alloy>,
    pub(crate) surface: Surface,
    pub(crate) long_m: f64,
    pub(crate) wide_mm: f64,
    pub(crate) thick_mm: f64,
    pub(crate) last_years: Option<f64>,
    pub(crate) full: f64,
    pub(crate) low: f64,
}

/// What the bank is screwed down with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Hold {
    pub(crate) screws: u32,
    pub(crate) thread_mm: f64,
    pub(crate) into: Hole,
    pub(crate) stack_mm: f64,
}

/// Panels and sky.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Sun {
    pub(crate) parts: Vec<ArrayPart>,
    pub(crate) albedo: f64,
    pub(crate) controller: Controller,
    pub(crate) sky: SkyThanRegion,
    pub(crate) own: [Option<f64>; 12],
    pub(crate) series: Option<PanelSeries>,
}

/// Panels in series before a controller, as far as their label was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PanelSeries {
    pub(crate) count: usize,
    pub(crate) open_circuit_v: f64,
    pub(crate) most_v: Option<f64>,
    pub(crate) coldest_c: Option<f64>,
}

/// The alternator and when it turns.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Driving {
    pub(crate) alternator: Alternator,
    pub(crate) hours: f64,
    pub(crate) from_min: u16,
}

/// A bank of which the last string comes later, new.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Later {
    /// How much later [years].
    pub(crate) years: f64,
    /// Age of the first strings when they are fitted [years].
    pub(crate) first_years: f64,
}

/// One bank to compare.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Candidate {
    pub(crate) id: u32,
    pub(crate) bank: Bank,
    pub(crate) fitted: Fitted,
    /// Age when all of it is there [years]: the mean of its strings.
    pub(crate) age_years: f64,
    /// Where its last string comes later.
    pub(crate) later: Option<Later>,
    /// Cranking amperes of one battery [A], by its label.
    pub(crate) cranking_a: Option<f64>,
    /// Short-circuit current of one battery [A], by its maker.
    pub(crate) short_circuit_a: Option<f64>,
    pub(crate) case: Case,
    pub(crate) mass_kg: f64,
    pub(crate) price: Option<f64>,
}
