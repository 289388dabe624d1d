//! Cables, links and what holds the bank, as saved. What stands as assumed is not written, which keeps links short.

use super::is_default;
use serde::{Deserialize, Serialize};

choice! {
    /// Temperature that the insulation of the cables bears.
    Insulation {
        /// 60 °C.
        C60,
        /// 75 °C.
        C75,
        /// 90 °C.
        C90,
        /// 105 °C.
        C105,
        /// 125 °C.
        C125,
    } default C105
}
choice! {
    /// What the insulation of the cables is made of.
    Material {
        /// Thermoplastic, such as PVC.
        Pvc,
        /// Cross-linked, such as XLPE or EPR.
        CrossLinked,
        /// Rubber for 60 °C.
        Rubber,
    } default Pvc
}
choice! {
    /// State of the surface of a bare link bar.
    BarState {
        /// Bright.
        Bright,
        /// Dull.
        Dull,
        /// Oxidised in service.
        Oxidised,
        /// Heavily oxidised.
        HeavilyOxidised,
    } default Dull
}
choice! {
    /// What the cables are of.
    Conductor {
        /// Copper.
        Copper,
        /// Aluminium of 61 % IACS.
        Aluminium,
    } default Copper
}
choice! {
    /// How many loaded conductors lie together.
    Bundle {
        /// No more than two.
        Few,
        /// Three to six.
        Some,
        /// Seven to twenty-four.
        Many,
    } default Few
}
choice! {
    /// Where the cables of a bank of several strings take off.
    TakeOff {
        /// Plus at the first string, minus at the last.
        Diagonal,
        /// Both at the first.
        OneEnd,
        /// Both in the middle of the row.
        Middle,
        /// Each string by its own cables to the bus bars.
        Star,
    } default Diagonal
}
choice! {
    /// What links strings.
    Linked {
        /// Cable of the bank's own size.
        Cable,
        /// Flat bar of copper.
        Copper,
        /// Flat bar of aluminium 1350.
        Aluminium1350,
        /// Flat bar of aluminium 6063.
        Aluminium6063,
        /// Flat bar of aluminium 6061.
        Aluminium6061,
        /// Flat bar of brass.
        Brass,
    } default Cable
}
choice! {
    /// What a hold-down screw goes into.
    Fixing {
        /// Through, with a nut behind.
        Nut,
        /// A thread tapped in steel.
        Steel,
        /// A thread tapped in aluminium.
        Aluminium,
        /// A threaded insert.
        Insert,
    } default Nut
}
choice! {
    /// Thread of the hold-down screws.
    Thread {
        /// M6.
        M6,
        /// M8.
        M8,
        /// M10.
        M10,
    } default M8
}
choice! {
    /// A run, or those to all loads.
    Leg {
        /// From the bank to the bus bars.
        Bank,
        /// To the inverter.
        Inverter,
        /// From the solar controller.
        Sun,
        /// From the alternator.
        Engine,
        /// From the charger.
        Shore,
        /// To the load panel.
        Loads,
        /// From the panel to each load.
        Branches,
        /// From the panels to the solar controller.
        Panels,
    } default Bank
}

/// How one run lies where it does not lie as all the others do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Route {
    /// Stays with the row wherever it moves.
    pub id: u32,
    /// Which run.
    pub run: Leg,
    /// Whether it passes through an engine space.
    pub engine_space: bool,
    /// How many lie together.
    pub bundle: Bundle,
    /// Air around it [°C].
    pub air_c: f64,
    /// What its insulation bears.
    pub insulation: Insulation,
}

/// From the panels to the controller where nothing is said [mm]. Assumed.
const PANELS_MM: f64 = 5000.0;

fn is_assumed_panels(mm: &f64) -> bool {
    *mm == PANELS_MM
}

/// From the bus bars to a converter where nothing is said [mm]. Assumed.
const CONVERTER_MM: f64 = 500.0;

fn is_assumed_converter(mm: &f64) -> bool {
    *mm == CONVERTER_MM
}

/// Runs of cable, how strings stand side by side, and how the bank is held.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Wiring {
    /// One way from the bank to the bus bars [mm].
    pub bank_mm: f64,
    /// One way from the bus bars to the inverter [mm].
    pub inverter_mm: f64,
    /// One way from the solar controller to the bus bars [mm].
    pub sun_mm: f64,
    /// One way from the panels to the solar controller [mm].
    #[serde(skip_serializing_if = "is_assumed_panels")]
    pub panels_mm: f64,
    /// One way from the alternator to the bank [mm].
    pub engine_mm: f64,
    /// One way from the charger to the bus bars [mm].
    pub shore_mm: f64,
    /// One way from the bus bars to the load panel [mm].
    pub loads_mm: f64,
    /// Rated output of a converter that feeds the load panel at 12 V [A]; `null` where the panel has the rig's voltage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub converter_a: Option<f64>,
    /// One way from the bus bars to it [mm].
    #[serde(skip_serializing_if = "is_assumed_converter")]
    pub converter_mm: f64,
    /// Most that a run may lose of the nominal voltage, 0 to 1.
    pub drop: f64,
    /// What the insulation bears.
    pub insulation: Insulation,
    /// What the insulation is made of.
    #[serde(skip_serializing_if = "is_default")]
    pub material: Material,
    /// Least area of the main conductors [mm²]; `null` takes 10 mm² up to 100 Ah and 16 mm² above.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub main_least_mm2: Option<f64>,
    /// Whether the engine's run passes through an engine space.
    pub engine_space: bool,
    /// Acceleration that the fixing must bear along [g].
    pub along_g: f64,
    /// Across [g].
    pub across_g: f64,
    /// What it is of.
    pub metal: Conductor,
    /// How many lie together.
    pub bundle: Bundle,
    /// Air around it [°C].
    pub air_c: f64,
    /// One way from the load panel to a load [mm].
    pub branch_mm: f64,
    /// Cable that is there already from the bank to the bus bars [mm²]; `null` where one is to be bought.
    pub bank_mm2: Option<f64>,
    /// The same to the inverter.
    pub inverter_mm2: Option<f64>,
    /// The same from the solar controller.
    pub sun_mm2: Option<f64>,
    /// The same from the alternator.
    pub engine_mm2: Option<f64>,
    /// The same from the charger.
    pub shore_mm2: Option<f64>,
    /// The same to the load panel.
    pub loads_mm2: Option<f64>,
    /// Runs that lie otherwise than the rest.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub routes: Vec<Route>,
    /// Where the bank's cables take off.
    pub take_off: TakeOff,
    /// What links neighbours.
    pub link: Linked,
    /// Whether a bar is painted.
    pub painted: bool,
    /// State of a bare bar's surface.
    #[serde(skip_serializing_if = "is_default")]
    pub bar_state: BarState,
    /// From post to post [mm].
    pub link_mm: f64,
    /// Width of a bar [mm].
    pub link_wide_mm: f64,
    /// Thickness of a bar [mm].
    pub link_thick_mm: f64,
    /// Age of the last string where it is not that of the others [years].
    pub last_years: Option<f64>,
    /// Nominal voltage of the last string where it is not that of the others [V].
    pub last_v: Option<f64>,
    /// Charge of the fuller string when they are joined, 0 to 1.
    pub join_full: f64,
    /// Charge of the emptier one, 0 to 1.
    pub join_low: f64,
    /// Screws in all.
    pub screws: f64,
    /// Their thread.
    pub thread: Thread,
    /// What they go into.
    pub into: Fixing,
    /// Thickness of all that they clamp: strap or bracket, spacer, floor where they go through [mm].
    pub stack_mm: f64,
}

impl Default for Route {
    fn default() -> Self {
        Wiring::default().route(0, Leg::Bank)
    }
}

impl Wiring {
    /// A row for a run, as all the others lie.
    fn route(&self, id: u32, run: Leg) -> Route {
        Route {
            id,
            run,
            engine_space: run == Leg::Engine && self.engine_space,
            bundle: self.bundle,
            air_c: self.air_c,
            insulation: self.insulation,
        }
    }

    /// Adds a row for the first run that has none, as it has lain until now.
    pub fn add_route(&mut self, id: u32) {
        let listed = |leg: &Leg| self.routes.iter().any(|row| row.run == *leg);
        let free = Leg::ALL.iter().find(|leg| !listed(leg));
        let run = free.copied().unwrap_or_default();
        self.routes.push(self.route(id, run));
    }

    pub(super) fn is_as_assumed(&self) -> bool {
        *self == Self::default()
    }
}

impl Default for Wiring {
    fn default() -> Self {
        Self {
            bank_mm: 800.0,
            inverter_mm: 800.0,
            sun_mm: 1500.0,
            panels_mm: PANELS_MM,
            engine_mm: 5000.0,
            shore_mm: 1000.0,
            loads_mm: 1500.0,
            converter_a: None,
            converter_mm: CONVERTER_MM,
            drop: 0.03,
            insulation: Insulation::C105,
            material: Material::Pvc,
            main_least_mm2: None,
            engine_space: true,
            along_g: 20.0,
            across_g: 8.0,
            metal: Conductor::Copper,
            bundle: Bundle::Few,
            air_c: 30.0,
            branch_mm: 3000.0,
            bank_mm2: None,
            inverter_mm2: None,
            sun_mm2: None,
            engine_mm2: None,
            shore_mm2: None,
            loads_mm2: None,
            routes: Vec::new(),
            take_off: TakeOff::Diagonal,
            link: Linked::Cable,
            painted: false,
            bar_state: BarState::Dull,
            link_mm: 250.0,
            link_wide_mm: 25.0,
            link_thick_mm: 6.0,
            last_years: None,
            last_v: None,
            join_full: 1.0,
            join_low: 0.5,
            screws: 4.0,
            thread: Thread::M8,
            into: Fixing::Nut,
            stack_mm: 18.0,
        }
    }
}
