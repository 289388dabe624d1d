//! The banks to compare, as saved.

use super::{Chemistry, is_default, is_zero};
use serde::{Deserialize, Serialize};

/// From the nearest sides of a battery's top to the middle of a terminal [mm, assumed].
const TERMINAL_IN_MM: f64 = 25.0;

/// Width of a cable lug in its boot [mm, assumed].
const TERMINAL_WIDE_MM: f64 = 40.0;

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
    /// Cranking amperes of one (CCA or MCA) [A], by its label.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cranking_a: Option<f64>,
    /// Short-circuit current of one [A], by its maker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short_circuit_a: Option<f64>,
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
            cranking_a: None,
            short_circuit_a: None,
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

fn is_assumed_inset(mm: &f64) -> bool {
    *mm == TERMINAL_IN_MM
}

fn is_assumed_width(mm: &f64) -> bool {
    *mm == TERMINAL_WIDE_MM
}
