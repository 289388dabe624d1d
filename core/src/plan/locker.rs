//! The space for the batteries and what is in the way, as saved.

use super::{Terminals, Turning, is_default, is_zero};
use serde::{Deserialize, Serialize};

/// Height of a link bar with the head of its bolt above the case [mm, assumed].
const BAR_MM: f64 = 12.0;

/// As near to the floor or the lid a thing touches it [mm].
const TOUCHES_MM: f64 = 1.0;

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

/// Words that name a part which protects people in a crash. Assumed; a name that has one of them as a whole word counts.
const SAFETY_WORDS: [&str; 12] = [
    "airbag",
    "airbags",
    "belt",
    "belts",
    "pretensioner",
    "pretensioners",
    "restraint",
    "restraints",
    "seat",
    "seats",
    "seatbelt",
    "seatbelts",
];

impl Obstacle {
    /// Whether it is part of what protects people in a crash, by its mark or by its name: nobody but a qualified workshop
    /// moves it.
    pub fn is_safety_part(&self) -> bool {
        let name = self.name.to_lowercase().replace("air bag", "airbag");
        let mut words = name.split(|letter: char| !letter.is_alphanumeric());
        self.what == Thing::SafetyPart || words.any(|word| SAFETY_WORDS.contains(&word))
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

impl Obstacle {
    /// Whether it hangs: it touches the lid and not the floor.
    pub fn hangs(&self, inside_mm: [f64; 3]) -> bool {
        let ([_, _, foot], [_, _, high], [_, _, lid]) = (self.at_mm, self.size_mm, inside_mm);
        foot > TOUCHES_MM && foot + high >= lid - TOUCHES_MM
    }
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

fn is_as_assumed_bar(mm: &f64) -> bool {
    *mm == BAR_MM
}
