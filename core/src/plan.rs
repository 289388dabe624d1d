//! The saved form of a plan: what a file, a link and the browser's store hold.
//!
//! It speaks the units of its field names (W, V, A, Ah, mm, °C, kg) and holds clock times as people write them
//! ("18:30"). Fields it does not know are kept as they came, so that a plan from elsewhere loses nothing by
//! passing through. Nothing here is checked: [`crate::import`] does that.

use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// A choice among words; it stands above the modules that use it.
macro_rules! choice {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident),+ $(,)? } default $default:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        #[serde(rename_all = "kebab-case")]
        pub enum $name { $($(#[$vdoc])* $variant),+ }
        impl Default for $name { fn default() -> Self { Self::$default } }
        impl $name {
            /// Every choice, in the order in which the page offers them.
            pub const ALL: &[Self] = &[$(Self::$variant),+];
        }
    };
}

mod banks;
mod doubts;
mod fields;
mod guesses;
mod implied;
mod living;
mod loads;
mod locker;
mod misfit;
mod newer;
mod place;
mod reading;
mod rows;
mod sources;
mod unknown;
mod wiring;

pub use crate::battery::Chemistry;
pub use crate::energy::DayKind;
pub use banks::{Candidate, Second, Terminals, Turning};
pub use doubts::Doubts;
pub(crate) use fields::MONTHS;
pub use fields::{Field, Held, Kind, part_of};
pub use guesses::guess_of;
pub use living::{BatteryPlace, Living, Stay, Stretch};
pub use loads::{
    Air, DrawUnit, Idle, Inverter, Load, MOST_LOADS, Mains, Meter, MeterUnit, Supply, Way,
};
pub use locker::{CableExit, Falls, Goes, Locker, Obstacle, Opening, Other, Shape, Thing};
pub(crate) use misfit::misfit_says;
pub use newer::Newer;
pub(crate) use newer::read_newer;
pub use place::HOME;
pub(crate) use reading::Reading;
pub use rows::List;
pub use sources::{Alternator, ControllerKind, LinkKind, Panel, Shore, Sun, Sunniness};
pub(crate) use unknown::{keep_unknown, put_back};
pub use wiring::{
    BarState, Bundle, Conductor, Fixing, Insulation, Leg, Linked, Material, Route, TakeOff, Thread,
    Wiring,
};

/// The version of the saved form that this program writes.
pub const VERSION: u32 = 1;

choice! {
    /// The units in which lengths, temperatures and masses are shown.
    Units {
        /// mm, °C, kg, mm².
        Metric,
        /// Inches with fractions, °F, lb, AWG.
        Imperial,
    } default Metric
}

choice! {
    /// What the plan is for.
    Rig {
        /// A van, or another vehicle with an engine.
        Van,
        /// A boat with an engine.
        Boat,
        /// A trailer.
        Trailer,
        /// A hut or another building.
        Building,
    } default Van
}

/// A whole plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Plan {
    /// Version of the saved form; always written.
    pub version: u32,
    /// The name that its owner gave it.
    pub name: String,
    /// Units shown.
    pub units: Units,
    /// What the plan is for.
    pub rig: Rig,
    /// Money sign written before prices.
    pub currency: String,
    /// Nominal voltage of the rig [V]: 12, 24 or 48.
    pub volts: f64,
    /// What runs.
    pub loads: Vec<Load>,
    /// A measured day that may stand in for the sum of the loads.
    pub meter: Meter,
    /// The inverter, where something runs on AC.
    pub inverter: Inverter,
    /// Place, temperatures, rhythm.
    pub living: Living,
    /// Solar panels and their controller.
    pub sun: Sun,
    /// Charging while driving.
    pub alternator: Alternator,
    /// Charging from a hook-up or generator.
    pub shore: Shore,
    /// Banks to compare.
    pub candidates: Vec<Candidate>,
    /// Id of the candidate that the plan is made with.
    pub chosen: u32,
    /// How many days parked, with nothing coming in, the bank should last.
    pub wanted_days: f64,
    /// The space that the batteries go into.
    pub locker: Locker,
    /// Cables and what holds the bank; not written while it is all as assumed, which keeps links short.
    #[serde(skip_serializing_if = "Wiring::is_as_assumed")]
    pub wiring: Wiring,
    /// How far what is uncertain may be out; not written while it is all as assumed.
    #[serde(skip_serializing_if = "Doubts::is_as_assumed")]
    pub doubts: Doubts,
    /// Paths of fields that still hold our guess.
    pub guesses: BTreeSet<String>,
    /// Text that stands in a field and could not be read, by the field's path.
    pub drafts: BTreeMap<String, Draft>,
    /// Whether the first questions still stand above the plan.
    pub fresh: bool,
    /// What a file held that this version does not know, by its path; written back where it stood.
    #[serde(skip)]
    pub unknown: BTreeMap<String, Value>,
    /// Of a plan of a newer form, the original: it is written back instead of what was understood.
    #[serde(skip)]
    pub newer: Option<Box<Newer>>,
}

/// Text that could not be read, kept where it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Draft {
    /// What was typed.
    pub text: String,
    /// What is wrong with it and what would do.
    pub says: String,
}

/// Whether a value is its default, which is then not written: links stay short.
fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

fn is_zero(mm: &f64) -> bool {
    *mm == 0.0
}

impl Default for Plan {
    fn default() -> Self {
        Self {
            version: VERSION,
            name: "New plan".into(),
            units: Units::Metric,
            rig: Rig::Van,
            currency: "€".into(),
            volts: 12.0,
            loads: Vec::new(),
            meter: Meter::default(),
            inverter: Inverter::default(),
            living: Living::default(),
            sun: Sun::default(),
            alternator: Alternator::default(),
            shore: Shore::default(),
            candidates: Vec::new(),
            chosen: 1,
            wanted_days: 3.0,
            locker: Locker::default(),
            wiring: Wiring::default(),
            doubts: Doubts::default(),
            guesses: BTreeSet::new(),
            drafts: BTreeMap::new(),
            fresh: false,
            unknown: BTreeMap::new(),
            newer: None,
        }
    }
}

impl Plan {
    /// An id that no row of the plan has yet.
    pub fn fresh_id(&self) -> u32 {
        free_id(&self.row_ids())
    }

    fn row_ids(&self) -> BTreeSet<u32> {
        let ids = self.loads.iter().map(|row| row.id);
        let ids = ids.chain(self.candidates.iter().map(|row| row.id));
        let ids = ids.chain(self.locker.obstacles.iter().map(|row| row.id));
        let ids = ids.chain(self.sun.panels.iter().map(|row| row.id));
        let ids = ids.chain(self.living.rhythm.iter().map(|row| row.id));
        let ids = ids.chain(self.living.stays.iter().map(|row| row.id));
        let mut all = BTreeSet::new();
        all.extend(ids.chain(self.wiring.routes.iter().map(|row| row.id)));
        all
    }

    /// The candidate that the plan is made with; the first where none is chosen.
    pub fn chosen_candidate(&self) -> Option<&Candidate> {
        let chosen = self.candidates.iter().find(|row| row.id == self.chosen);
        chosen.or(self.candidates.first())
    }

    /// Gives every row of a list an id of its own where it has none or shares one; the first keeps it.
    pub(crate) fn number_rows(&mut self) {
        let mut all = self.row_ids();
        let mut own = |ids: &mut dyn Iterator<Item = &mut u32>| {
            let mut taken = BTreeSet::from([0]);
            for id in ids {
                if taken.contains(id) {
                    *id = free_id(&all);
                    all.insert(*id);
                }
                taken.insert(*id);
            }
        };
        own(&mut self.loads.iter_mut().map(|row| &mut row.id));
        own(&mut self.candidates.iter_mut().map(|row| &mut row.id));
        own(&mut self.locker.obstacles.iter_mut().map(|row| &mut row.id));
        own(&mut self.sun.panels.iter_mut().map(|row| &mut row.id));
        own(&mut self.living.rhythm.iter_mut().map(|row| &mut row.id));
        own(&mut self.living.stays.iter_mut().map(|row| &mut row.id));
        own(&mut self.wiring.routes.iter_mut().map(|row| &mut row.id));
    }
}

/// The id after the last of these; where that is the last there can be, the last that is free.
fn free_id(ids: &BTreeSet<u32>) -> u32 {
    let last = ids.last().copied().unwrap_or(0);
    let gaps = || (1..last).rev().find(|id| !ids.contains(id));
    last.checked_add(1).or_else(gaps).unwrap_or(1)
}
