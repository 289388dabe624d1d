//! The saved form of a plan: what a file, a link and the browser's store hold.
//!
//! It speaks the units of its field names (W, V, A, Ah, mm, °C, kg) and holds clock times as people write them
//! ("18:30"). Fields it does not know are kept as they came, so that a plan from elsewhere loses nothing by
//! passing through. Nothing here is checked: [`crate::import`] does that.

use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

mod fields;
mod rows;
mod unknown;

pub use crate::battery::Chemistry;
pub use crate::energy::DayKind;
pub use doubts::Doubts;
pub(crate) use fields::MONTHS;
pub use fields::{Field, Held, Kind, part_of};
pub use rows::List;
pub(crate) use unknown::{keep_unknown, put_back};
pub use wiring::{
    Bundle, Conductor, Fixing, Insulation, Leg, Linked, Route, TakeOff, Thread, Wiring,
};

/// The version of the saved form that this program writes.
pub const VERSION: u32 = 1;

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

mod doubts;
mod wiring;

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
    /// What the figure of a load's draw means.
    DrawUnit {
        /// Power of one [W].
        W,
        /// Current of one [A] at the bank's nominal voltage (at 230 V or 120 V nobody writes amperes here).
        A,
    } default W
}
choice! {
    /// Where a load takes its power.
    Supply {
        /// Straight from the bank.
        Dc,
        /// Through the inverter.
        Ac,
    } default Dc
}
choice! {
    /// How a load is used.
    Way {
        /// On day and night.
        Always,
        /// So many hours inside a window.
        Hours,
        /// So many runs of so many minutes inside a window.
        Runs,
        /// Switched by a thermostat.
        Thermostat,
    } default Hours
}
choice! {
    /// Which air something stands in.
    Air {
        /// Inside, where people live.
        Cabin,
        /// Outside.
        Outdoors,
    } default Cabin
}
choice! {
    /// Where the batteries stand, for their temperature.
    BatteryPlace {
        /// As warm as the cabin.
        Cabin,
        /// As cold as outdoors.
        Outdoors,
        /// Half-way between the two.
        Between,
        /// A temperature of its own, typed.
        Own,
    } default Between
}
choice! {
    /// How the place compares with the five-degree cell of the climate table that it lies in.
    Sunniness {
        /// Duller than the region: a valley, a fog coast.
        Duller,
        /// About as the region.
        About,
        /// Sunnier than the region: a lee side, a high plain.
        Sunnier,
    } default About
}
choice! {
    /// The solar controller.
    ControllerKind {
        /// Maximum-power-point tracking.
        Tracking,
        /// Plain series switching: the array works at the battery's voltage.
        Switching,
    } default Tracking
}
choice! {
    /// What joins the alternator to the bank.
    LinkKind {
        /// A DC-DC charger.
        DcDc,
        /// A relay that joins both batteries while the engine runs.
        Relay,
    } default DcDc
}
choice! {
    /// What a battery's label says beyond its rated capacity.
    Second {
        /// Nothing more.
        None,
        /// Minutes of reserve at 25 A.
        Reserve,
        /// A capacity at another rate.
        Capacity,
    } default None
}
choice! {
    /// How a case may lie, as its maker allows.
    Turning {
        /// Only on its base.
        Upright,
        /// On its base or on a long side.
        OnSide,
        /// On any face but its top.
        Any,
    } default Upright
}
choice! {
    /// When the inverter's idle draw runs.
    Idle {
        /// Only while something runs on it.
        WithLoads,
        /// Day and night.
        AllDay,
    } default WithLoads
}
choice! {
    /// Voltage of alternating current.
    Mains {
        /// 230 V.
        V230,
        /// 120 V.
        V120,
    } default V230
}
choice! {
    /// The unit of a measured day.
    MeterUnit {
        /// Ampere-hours at the bank's nominal voltage.
        Ah,
        /// Watt-hours.
        Wh,
    } default Ah
}

/// A whole plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Plan {
    /// Version of the saved form; always written, and refused when it is newer than this program.
    pub version: u32,
    /// The name that its owner gave it.
    pub name: String,
    /// Units shown.
    pub units: Units,
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

/// One row of "What do you run?".
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Load {
    /// Stays with the row wherever it moves.
    pub id: u32,
    /// What it is.
    pub name: String,
    /// How many of them.
    pub count: f64,
    /// Draw of one while it runs, in `draw_unit`.
    pub draw: f64,
    /// Unit of `draw`.
    pub draw_unit: DrawUnit,
    /// Power at the start as a multiple of the running power; 1 where it does not surge.
    pub surge: f64,
    /// DC or through the inverter.
    pub supply: Supply,
    /// Kinds of day on which it runs.
    pub days: Vec<DayKind>,
    /// Months in which it runs, 1 to 12; none named means all.
    pub months: Vec<u8>,
    /// Way of use; the fields below that it needs count, the others wait.
    pub way: Way,
    /// Hours a day.
    pub hours: f64,
    /// Runs a day.
    pub runs: f64,
    /// Minutes a run.
    pub minutes: f64,
    /// What the thermostat keeps [°C].
    pub set_c: f64,
    /// Temperature at which `duty` holds [°C].
    pub ref_c: f64,
    /// Share of the time that it runs at `ref_c`, 0 to 1.
    pub duty: f64,
    /// Air that the thermostat feels.
    pub air: Air,
    /// Start of its window, by the clock.
    pub from: String,
    /// End of its window; the same as `from` means the whole day.
    pub to: String,
    /// One way from the load panel to it [mm]; `null` where it is as far as the others.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cable_mm: Option<f64>,
}

/// A measured day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Meter {
    /// Whether it stands in for the sum.
    pub used: bool,
    /// What the meter said a parked day takes out of the bank.
    pub amount: f64,
    /// Unit of `amount`.
    pub unit: MeterUnit,
}

/// The inverter's label.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Inverter {
    /// Continuous rating [W].
    pub rated_w: f64,
    /// Short-time rating [W].
    pub surge_w: f64,
    /// Own draw with nothing on it [W].
    pub idle_w: f64,
    /// Best efficiency, 0 to 1.
    pub peak_efficiency: f64,
    /// Efficiency at rated power where the label gives it.
    pub rated_efficiency: Option<f64>,
    /// When the idle draw runs.
    pub idle: Idle,
    /// Voltage at which it cuts out [V per 12 V nominal].
    pub cutoff_v: f64,
    /// What it gives.
    #[serde(skip_serializing_if = "is_default")]
    pub mains: Mains,
}

/// One stretch of the rhythm that repeats.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Stretch {
    /// Stays with the row wherever it moves.
    pub id: u32,
    /// Kind of its days.
    pub kind: DayKind,
    /// How many days.
    pub days: f64,
}

/// Days of one kind from a date to a date, whatever the rhythm says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Stay {
    /// Stays with the row wherever it moves.
    pub id: u32,
    /// Kind of its days.
    pub kind: DayKind,
    /// First day, `2027-08-12`.
    pub from: String,
    /// Last day, `2027-08-26`.
    pub to: String,
}

/// How and where one lives.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Living {
    /// Name of the place, as typed or picked.
    pub place: String,
    /// Latitude [°], north positive.
    pub lat: f64,
    /// Longitude [°], east positive.
    pub lon: f64,
    /// Offset of the clock from universal time in winter [h].
    pub utc_offset_h: f64,
    /// The month that matters, 1 to 12.
    pub month: u8,
    /// Days in the order in which they repeat.
    pub rhythm: Vec<Stretch>,
    /// First day of the year that is lived through, `2027-03-01`; empty is the first of January.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub starts: String,
    /// Dated stretches that stand in for the rhythm.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub stays: Vec<Stay>,
    /// Own mean outdoor temperatures, January first [°C]; `null` takes the climate table's.
    pub outdoors_c: [Option<f64>; 12],
    /// From the coldest to the warmest hour of a day [K].
    pub swing_k: f64,
    /// Warmth to which the cabin is kept while somebody is in [°C].
    pub cabin_c: f64,
    /// Where the batteries stand.
    pub battery_place: BatteryPlace,
    /// Their own temperature, for `own` [°C].
    pub battery_c: f64,
}

/// One panel or a group that lies alike.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Panel {
    /// Stays with the row wherever it moves.
    pub id: u32,
    /// Rated power in all [W].
    pub watts: f64,
    /// From level [°]: 0 lies flat, 90 stands.
    pub tilt: f64,
    /// Compass direction that it faces [°]: 0 north, 90 east, 180 south.
    pub azimuth: f64,
    /// Share of the light lost to shadow, 0 to 1.
    pub shading: f64,
    /// From when the shadow falls, by the clock.
    #[serde(skip_serializing_if = "is_midnight")]
    pub shade_from: String,
    /// Until when; the same as `shade_from` means all day.
    #[serde(skip_serializing_if = "is_midnight")]
    pub shade_to: String,
}

/// The sun's side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Sun {
    /// Whether there are panels at all.
    pub fitted: bool,
    /// The panels.
    pub panels: Vec<Panel>,
    /// Share lost to dirt, mismatch and wiring, 0 to 1.
    pub losses: f64,
    /// Change of power with cell temperature [1/K], negative.
    pub temp_coefficient: f64,
    /// Cell temperature at 800 W/m² and 20 °C air [°C].
    pub noct_c: f64,
    /// Kind of controller.
    pub controller: ControllerKind,
    /// Most that the controller gives [A].
    pub controller_a: f64,
    /// Controller's efficiency, 0 to 1 (tracking).
    pub controller_efficiency: f64,
    /// Panel voltage at maximum power per 12 V of bank [V] (switching).
    pub panel_vmp: f64,
    /// How the place compares with its region.
    pub sunniness: Sunniness,
    /// Own peak sun hours on level ground, January first [kWh/m² a day]; `null` takes the climate table's.
    pub peak_sun_hours: [Option<f64>; 12],
    /// Share of light that the ground throws back, 0 to 1.
    pub albedo: f64,
    /// Price of a watt of panel, mounted and wired, in the plan's money; not written where none is told.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub watt_price: Option<f64>,
    /// Open-circuit voltage of one panel at 25 °C [V], where its label was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub panel_voc: Option<f64>,
    /// Panels in series before the controller; none means one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_series: Option<f64>,
    /// Most voltage that the controller's input bears [V].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub controller_max_v: Option<f64>,
    /// The coldest morning to reckon with [°C]; none takes it from the months' means.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coldest_c: Option<f64>,
}

/// The engine's side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Alternator {
    /// Whether the bank charges while driving at all.
    pub fitted: bool,
    /// Rating on its plate [A].
    pub rated_a: f64,
    /// Share of the rating left when it is hot, 0 to 1.
    pub hot: f64,
    /// Share of the rating at the usual engine speed, 0 to 1.
    pub speed: f64,
    /// What the vehicle itself takes while it runs [A].
    pub own_draw_a: f64,
    /// Voltage at the alternator [V per 12 V nominal].
    pub volts: f64,
    /// What joins it to the bank.
    pub link: LinkKind,
    /// Rated output of the DC-DC charger [A].
    pub dcdc_a: f64,
    /// Its efficiency, 0 to 1.
    pub dcdc_efficiency: f64,
    /// Most of the alternator's rating that its input may take, 0 to 1.
    pub share: f64,
    /// Resistance of the relay link there and back [mΩ].
    pub link_mohm: f64,
    /// Hours driven on a travelling day.
    pub hours: f64,
    /// When the driving starts, by the clock.
    pub from: String,
}

/// The hook-up's side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Shore {
    /// Whether there is a charger.
    pub fitted: bool,
    /// Its rated output [A].
    pub charger_a: f64,
    /// Hours of supply on a hooked-up day.
    pub hours: f64,
    /// When the supply starts, by the clock.
    pub from: String,
    /// Boost voltage [V per 12 V nominal].
    pub boost_v: f64,
    /// Float voltage [V per 12 V nominal].
    pub float_v: f64,
    /// What a generator burns [litres an hour]; `null` for a hook-up.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fuel_l_h: Option<f64>,
}

/// One bank to compare.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Candidate {
    /// Stays with the candidate.
    pub id: u32,
    /// Kind of battery.
    pub chemistry: Chemistry,
    /// Nominal voltage of one battery [V].
    pub battery_v: f64,
    /// Rated capacity of one [Ah].
    pub capacity_ah: f64,
    /// Hours at which it is rated.
    pub rate_h: f64,
    /// What else the label says.
    pub second: Second,
    /// Reserve at 25 A [min].
    pub reserve_min: f64,
    /// Capacity at the second rate [Ah].
    pub second_ah: f64,
    /// The second rate [h].
    pub second_h: f64,
    /// Batteries in a string.
    pub series: f64,
    /// Strings side by side.
    pub parallel: f64,
    /// Depth to which it is planned, 0 to 1; `null` takes the chemistry's.
    pub depth: Option<f64>,
    /// Age when it is fitted [years]; 0 is new.
    pub age_years: f64,
    /// How much later the last of its strings comes, new [years]; `null` has them come at once.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub later_years: Option<f64>,
    /// Most that one gives [A], by its maker.
    pub max_discharge_a: Option<f64>,
    /// Most that one takes [A], by its maker.
    pub max_charge_a: Option<f64>,
    /// Name of the standard case, where it has one.
    pub case_name: String,
    /// Case: length, width, height [mm].
    pub case_mm: [f64; 3],
    /// How far its maker's measures and its swelling may be out [± mm].
    #[serde(skip_serializing_if = "is_zero")]
    pub case_within_mm: f64,
    /// How it may lie.
    pub turning: Turning,
    /// Where its terminals sit.
    #[serde(skip_serializing_if = "is_default")]
    pub terminals: Terminals,
    /// From the nearest sides of its top to the middle of a terminal [mm].
    #[serde(skip_serializing_if = "is_assumed_inset")]
    pub terminal_in_mm: f64,
    /// How wide what sits on a terminal is [mm].
    #[serde(skip_serializing_if = "is_assumed_width")]
    pub terminal_wide_mm: f64,
    /// Mass of one [kg].
    pub mass_kg: f64,
    /// Price of one, where it is known.
    pub price: Option<f64>,
}

choice! {
    /// What a thing in the way is; moving it then carries its caution.
    Thing {
        /// Nothing in particular.
        Plain,
        /// Gear that is only put there.
        LooseGear,
        /// Part of what holds the vehicle, boat or hut together.
        Structure,
        /// Cables or hoses.
        Wiring,
        /// A control unit of the vehicle.
        VehicleElectronics,
        /// Belts, airbags, seats and what holds them.
        SafetyPart,
        /// Fuel or gas.
        Fuel,
        /// An engine, a heater, an exhaust: what gets hot.
        Hot,
    } default Plain
}
choice! {
    /// The form of a thing in the way.
    Shape {
        /// A box.
        Block,
        /// A wedge: full at one side, nothing at the other.
        Slope,
        /// A quarter round, such as a wheel arch.
        Arch,
        /// No thing at all: a part of the floor that bears only so much.
        WeakFloor,
    } default Block
}
choice! {
    /// To which side a slope or an arch falls.
    Falls {
        /// To the left.
        Left,
        /// To the right.
        Right,
        /// To the front.
        Front,
        /// To the back.
        Back,
    } default Right
}
choice! {
    /// Where the terminals sit on a battery's top, seen from above with its label, a long side, to the front.
    Terminals {
        /// Not told: the whole top counts.
        Anywhere,
        /// Both along the front, one near each end.
        Front,
        /// Both at one end.
        LeftEnd,
        /// One at each end, half-way across.
        BothEnds,
        /// At the front left and the back right.
        Corners,
        /// At the front right and the back left.
        OtherCorners,
    } default Anywhere
}
choice! {
    /// Where a thing that can be moved may go.
    Goes {
        /// Anywhere in the locker, or out of it.
        Anywhere,
        /// Only out of the locker.
        Outside,
        /// Only to a place of its own in the locker.
        Within,
    } default Anywhere
}
choice! {
    /// How the cables leave the terminals.
    CableExit {
        /// By lugs on top, upward.
        Lug,
        /// Sideways, by a link bar.
        Bar,
        /// By terminals that end flush with the case.
        Flush,
    } default Lug
}
choice! {
    /// The hole that the batteries are carried in through.
    Opening {
        /// The whole top comes off.
        WholeTop,
        /// A hatch in the top.
        Top,
        /// A door in the front.
        Front,
        /// In the back.
        Back,
        /// In the left end.
        Left,
        /// In the right end.
        Right,
    } default WholeTop
}

/// Whether a value is its default, which is then not written: links stay short.
fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

fn is_zero(mm: &f64) -> bool {
    *mm == 0.0
}

fn is_as_assumed_bar(mm: &f64) -> bool {
    *mm == BAR_MM
}

fn is_assumed_inset(mm: &f64) -> bool {
    *mm == TERMINAL_IN_MM
}

fn is_assumed_width(mm: &f64) -> bool {
    *mm == TERMINAL_WIDE_MM
}

/// From the nearest sides of a battery's top to the middle of a terminal [mm, assumed].
const TERMINAL_IN_MM: f64 = 25.0;
/// Width of a cable lug in its boot [mm, assumed].
const TERMINAL_WIDE_MM: f64 = 40.0;
/// Height of a link bar with the head of its bolt above the case [mm, assumed].
const BAR_MM: f64 = 12.0;

/// Something in the way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Obstacle {
    /// Stays with the obstacle.
    pub id: u32,
    /// What it is.
    pub name: String,
    /// Whether it could be moved.
    pub movable: bool,
    /// Its corner nearest to the left, the front and the floor [mm].
    pub at_mm: [f64; 3],
    /// Its size along the locker's length, width and height [mm].
    pub size_mm: [f64; 3],
    /// What it is.
    #[serde(skip_serializing_if = "is_default")]
    pub what: Thing,
    /// How far it travels to the right, the back and upward; negative the other way [mm]. A drawer, a seat on its slide.
    #[serde(skip_serializing_if = "is_default")]
    pub travel_mm: [f64; 3],
    /// Its form; one that touches the lid and not the floor hangs.
    #[serde(skip_serializing_if = "is_default")]
    pub shape: Shape,
    /// To which side a slope or an arch falls.
    #[serde(skip_serializing_if = "is_default")]
    pub falls: Falls,
    /// Whether it is a shelf that a battery may stand on.
    #[serde(skip_serializing_if = "is_default")]
    pub carries: bool,
    /// What all batteries on it may weigh, where a shelf or a part of the floor bears only so much [kg].
    #[serde(skip_serializing_if = "is_default")]
    pub bears_kg: Option<f64>,
    /// Where it may go, if it can be moved.
    #[serde(skip_serializing_if = "is_default")]
    pub goes: Goes,
    /// Corner of the place that it may go to [mm].
    #[serde(skip_serializing_if = "is_default")]
    pub place_at_mm: [f64; 3],
    /// Size of that place [mm].
    #[serde(skip_serializing_if = "is_default")]
    pub place_mm: [f64; 3],
}

/// A battery of another kind that stands in the same space, such as the engine's own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Other {
    /// How many of them.
    pub count: f64,
    /// What it is called.
    pub name: String,
    /// Case: length, width, height [mm].
    pub case_mm: [f64; 3],
    /// How it may lie.
    pub turning: Turning,
    /// Where its terminals sit.
    pub terminals: Terminals,
    /// Mass of one [kg].
    pub mass_kg: f64,
}

/// The space for the batteries.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Locker {
    /// Whether it has been measured; until then fit is left out.
    pub measured: bool,
    /// Inside length, width, height [mm]: each the smallest of three readings.
    pub inside_mm: [f64; 3],
    /// What is in the way.
    pub obstacles: Vec<Obstacle>,
    /// Free space beside every case [mm].
    pub side_gap_mm: f64,
    /// Free height above terminals, for lugs and covers [mm].
    pub terminal_gap_mm: f64,
    /// How far the measuring may be out [± mm].
    pub within_mm: f64,
    /// How the cables leave the terminals.
    #[serde(skip_serializing_if = "is_default")]
    pub exit: CableExit,
    /// Height that a link bar takes above the case [mm].
    #[serde(skip_serializing_if = "is_as_assumed_bar")]
    pub bar_mm: f64,
    /// Height that the bend of the cable takes above its lug [mm].
    #[serde(skip_serializing_if = "is_zero")]
    pub bend_mm: f64,
    /// What a cable that leaves sideways takes beyond the case at each terminal, and as much downward [mm].
    #[serde(skip_serializing_if = "is_zero")]
    pub beside_mm: f64,
    /// Free height above the whole of every case, so that it can vent [mm].
    #[serde(skip_serializing_if = "is_zero")]
    pub vent_gap_mm: f64,
    /// What the hold-down takes at both ends of every case [mm].
    #[serde(skip_serializing_if = "is_zero")]
    pub hold_gap_mm: f64,
    /// Batteries of another kind that stand in it too.
    #[serde(skip_serializing_if = "is_default")]
    pub other: Other,
    /// What the batteries are carried in through.
    #[serde(skip_serializing_if = "is_default")]
    pub opening: Opening,
    /// Its nearest corner from the left (or the front) and from the front (or the floor) [mm].
    #[serde(skip_serializing_if = "is_default")]
    pub opening_at_mm: [f64; 2],
    /// Its width and its height, or depth [mm].
    #[serde(skip_serializing_if = "is_default")]
    pub opening_mm: [f64; 2],
}

impl Default for Plan {
    fn default() -> Self {
        Self {
            version: VERSION,
            name: "New plan".into(),
            units: Units::Metric,
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
        }
    }
}

impl Load {
    /// Its name, or a word for a load without one.
    pub fn called(&self) -> &str {
        match self.name.trim() {
            "" => "this load",
            name => name,
        }
    }
}

impl Default for Load {
    fn default() -> Self {
        Self {
            id: 0,
            name: String::new(),
            count: 1.0,
            draw: 10.0,
            draw_unit: DrawUnit::W,
            surge: 1.0,
            supply: Supply::Dc,
            days: [DayKind::Parked, DayKind::Travelling, DayKind::HookedUp].into(),
            months: Vec::new(),
            way: Way::Hours,
            hours: 2.0,
            runs: 4.0,
            minutes: 5.0,
            set_c: 4.0,
            ref_c: 32.0,
            duty: 0.5,
            air: Air::Cabin,
            from: "00:00".into(),
            to: "00:00".into(),
            cable_mm: None,
        }
    }
}

impl Default for Meter {
    fn default() -> Self {
        Self {
            used: false,
            amount: 40.0,
            unit: MeterUnit::Ah,
        }
    }
}

impl Default for Inverter {
    fn default() -> Self {
        Self {
            rated_w: 1000.0,
            surge_w: 2000.0,
            idle_w: 10.0,
            peak_efficiency: 0.92,
            rated_efficiency: None,
            idle: Idle::WithLoads,
            cutoff_v: 10.5,
            mains: Mains::V230,
        }
    }
}

impl Default for Stretch {
    fn default() -> Self {
        Self {
            id: 0,
            kind: DayKind::Parked,
            days: 1.0,
        }
    }
}

impl Default for Living {
    fn default() -> Self {
        Self {
            place: String::new(),
            lat: 50.0,
            lon: 0.0,
            utc_offset_h: 0.0,
            month: 1,
            rhythm: vec![
                Stretch {
                    id: 1,
                    kind: DayKind::Parked,
                    days: 2.0,
                },
                Stretch {
                    id: 2,
                    kind: DayKind::Travelling,
                    days: 1.0,
                },
            ],
            starts: String::new(),
            stays: Vec::new(),
            outdoors_c: [None; 12],
            swing_k: 8.0,
            cabin_c: 18.0,
            battery_place: BatteryPlace::Between,
            battery_c: 15.0,
        }
    }
}

/// The start of a day by the clock.
const MIDNIGHT: &str = "00:00";

fn is_midnight(clock: &str) -> bool {
    clock == MIDNIGHT
}

impl Default for Stay {
    fn default() -> Self {
        Self {
            id: 0,
            kind: DayKind::Parked,
            from: String::new(),
            to: String::new(),
        }
    }
}

impl Default for Panel {
    fn default() -> Self {
        Self {
            id: 0,
            watts: 100.0,
            tilt: 0.0,
            azimuth: 180.0,
            shading: 0.0,
            shade_from: MIDNIGHT.into(),
            shade_to: MIDNIGHT.into(),
        }
    }
}

impl Default for Sun {
    fn default() -> Self {
        Self {
            fitted: true,
            panels: vec![Panel {
                id: 1,
                ..Panel::default()
            }],
            losses: 0.14,
            temp_coefficient: -0.004,
            noct_c: 46.0,
            controller: ControllerKind::Tracking,
            controller_a: 20.0,
            controller_efficiency: 0.96,
            panel_vmp: 18.0,
            sunniness: Sunniness::About,
            peak_sun_hours: [None; 12],
            albedo: 0.2,
            watt_price: None,
            panel_voc: None,
            in_series: None,
            controller_max_v: None,
            coldest_c: None,
        }
    }
}

impl Default for Alternator {
    fn default() -> Self {
        Self {
            fitted: true,
            rated_a: 120.0,
            hot: 0.7,
            speed: 0.9,
            own_draw_a: 30.0,
            volts: 14.2,
            link: LinkKind::DcDc,
            dcdc_a: 30.0,
            dcdc_efficiency: 0.9,
            share: 0.5,
            link_mohm: 10.0,
            hours: 1.0,
            from: "10:00".into(),
        }
    }
}

impl Default for Shore {
    fn default() -> Self {
        Self {
            fitted: false,
            charger_a: 20.0,
            hours: 14.0,
            from: "18:00".into(),
            boost_v: 14.4,
            float_v: 13.6,
            fuel_l_h: None,
        }
    }
}

impl Default for Candidate {
    fn default() -> Self {
        Self {
            id: 0,
            chemistry: Chemistry::Agm,
            battery_v: 12.0,
            capacity_ah: 100.0,
            rate_h: 20.0,
            second: Second::None,
            reserve_min: 180.0,
            second_ah: 85.0,
            second_h: 5.0,
            series: 1.0,
            parallel: 1.0,
            depth: None,
            age_years: 0.0,
            later_years: None,
            max_discharge_a: None,
            max_charge_a: None,
            case_name: String::new(),
            case_mm: [330.0, 173.0, 240.0],
            case_within_mm: 0.0,
            turning: Turning::Upright,
            terminals: Terminals::Anywhere,
            terminal_in_mm: TERMINAL_IN_MM,
            terminal_wide_mm: TERMINAL_WIDE_MM,
            mass_kg: 30.0,
            price: None,
        }
    }
}

impl Default for Obstacle {
    fn default() -> Self {
        Self {
            id: 0,
            name: "duct".into(),
            movable: false,
            at_mm: [0.0; 3],
            size_mm: [100.0, 100.0, 100.0],
            what: Thing::Plain,
            travel_mm: [0.0; 3],
            shape: Shape::Block,
            falls: Falls::Right,
            carries: false,
            bears_kg: None,
            goes: Goes::Anywhere,
            place_at_mm: [0.0; 3],
            place_mm: [0.0; 3],
        }
    }
}

impl Falls {
    /// The axis along which what falls so is full at one side (0 length, 1 depth), and whether that side is the far one.
    pub fn full_side(self) -> (usize, bool) {
        match self {
            Self::Left => (0, true),
            Self::Right => (0, false),
            Self::Front => (1, true),
            Self::Back => (1, false),
        }
    }
}

impl Obstacle {
    /// Whether it hangs: it touches the lid and not the floor.
    pub fn hangs(&self, inside_mm: [f64; 3]) -> bool {
        let ([_, _, foot], [_, _, high], [_, _, lid]) = (self.at_mm, self.size_mm, inside_mm);
        foot > TOUCHES_MM && foot + high >= lid - TOUCHES_MM
    }
}

/// As near to the floor or the lid a thing touches it [mm].
const TOUCHES_MM: f64 = 1.0;

impl Default for Other {
    fn default() -> Self {
        Self {
            count: 0.0,
            name: "starter battery".into(),
            case_mm: [242.0, 175.0, 190.0],
            turning: Turning::Upright,
            terminals: Terminals::Anywhere,
            mass_kg: 17.0,
        }
    }
}

impl Default for Locker {
    fn default() -> Self {
        Self {
            measured: false,
            inside_mm: [600.0, 350.0, 300.0],
            obstacles: Vec::new(),
            side_gap_mm: 5.0,
            terminal_gap_mm: 30.0,
            within_mm: 2.0,
            exit: CableExit::Lug,
            bar_mm: BAR_MM,
            bend_mm: 0.0,
            beside_mm: 0.0,
            vent_gap_mm: 0.0,
            hold_gap_mm: 0.0,
            other: Other::default(),
            opening: Opening::WholeTop,
            opening_at_mm: [0.0; 2],
            opening_mm: [0.0; 2],
        }
    }
}

impl Plan {
    /// An id that no row of the plan has yet.
    pub fn fresh_id(&self) -> u32 {
        let ids = self.loads.iter().map(|row| row.id);
        let ids = ids.chain(self.candidates.iter().map(|row| row.id));
        let ids = ids.chain(self.locker.obstacles.iter().map(|row| row.id));
        let ids = ids.chain(self.sun.panels.iter().map(|row| row.id));
        let ids = ids.chain(self.living.rhythm.iter().map(|row| row.id));
        let ids = ids.chain(self.living.stays.iter().map(|row| row.id));
        let ids = ids.chain(self.wiring.routes.iter().map(|row| row.id));
        ids.max().unwrap_or(0).saturating_add(1)
    }

    /// The candidate that the plan is made with; the first where none is chosen.
    pub fn chosen_candidate(&self) -> Option<&Candidate> {
        let chosen = self.candidates.iter().find(|row| row.id == self.chosen);
        chosen.or(self.candidates.first())
    }

    /// Gives every row of a list an id of its own where it has none or shares one; the first keeps it.
    pub(crate) fn number_rows(&mut self) {
        let mut next = self.fresh_id();
        let mut own = |ids: &mut dyn Iterator<Item = &mut u32>| {
            let mut taken = vec![0];
            for id in ids {
                if taken.contains(id) {
                    *id = next;
                    next = next.saturating_add(1);
                }
                taken.push(*id);
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
