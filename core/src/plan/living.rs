//! Where and how one lives, as saved.

use super::DayKind;
use serde::{Deserialize, Serialize};

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

impl Default for Stretch {
    fn default() -> Self {
        Self {
            id: 0,
            kind: DayKind::Parked,
            days: 1.0,
        }
    }
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
    /// Name of its own place, as typed or picked; empty where it is the plan's place.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// Latitude of its own place [°], north positive; the plan's place where none is given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lat: Option<f64>,
    /// Longitude of its own place [°], east positive.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lon: Option<f64>,
    /// Height of its own place above the sea [m]; the climate table's own where none is given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub elevation_m: Option<f64>,
    /// Standard time there ahead of universal time [h]; by the longitude where none is given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub utc_offset_h: Option<f64>,
    /// By how much the clock is put forward there in summer time [h].
    #[serde(skip_serializing_if = "is_zero")]
    pub summer_h: f64,
    /// First month of summer time there, 1 to 12; 0 without summer time.
    #[serde(skip_serializing_if = "is_no_month")]
    pub summer_from: u8,
    /// Last month of summer time there, 1 to 12, which may lie after new year; 0 without summer time.
    #[serde(skip_serializing_if = "is_no_month")]
    pub summer_to: u8,
}

impl Default for Stay {
    fn default() -> Self {
        Self {
            id: 0,
            kind: DayKind::Parked,
            from: String::new(),
            to: String::new(),
            place: String::new(),
            lat: None,
            lon: None,
            elevation_m: None,
            utc_offset_h: None,
            summer_h: 0.0,
            summer_from: 0,
            summer_to: 0,
        }
    }
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
    /// Height above the sea [m]; the climate table's own where none is given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub elevation_m: Option<f64>,
    /// Standard time of the clock ahead of universal time [h].
    pub utc_offset_h: f64,
    /// By how much the clock is put forward in summer time [h].
    #[serde(skip_serializing_if = "is_zero")]
    pub summer_h: f64,
    /// First month of summer time, 1 to 12; 0 without summer time.
    #[serde(skip_serializing_if = "is_no_month")]
    pub summer_from: u8,
    /// Last month of summer time, 1 to 12, which may lie after new year; 0 without summer time.
    #[serde(skip_serializing_if = "is_no_month")]
    pub summer_to: u8,
    /// The month that matters, 1 to 12; 0 is the one in which least is left over.
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
    /// Own difference between the coldest and the warmest hour of a day [K]; the climate table's, by month, where none is given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub swing_k: Option<f64>,
    /// Warmth to which the cabin is kept while somebody is in [°C].
    pub cabin_c: f64,
    /// Where the batteries stand.
    pub battery_place: BatteryPlace,
    /// Their own temperature, for `own` [°C].
    pub battery_c: f64,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // as serde passes it
fn is_zero(value: &f64) -> bool {
    *value == 0.0
}

#[allow(clippy::trivially_copy_pass_by_ref)] // as serde passes it
fn is_no_month(month: &u8) -> bool {
    *month == 0
}

impl Default for Living {
    fn default() -> Self {
        Self {
            place: String::new(),
            lat: 50.0,
            lon: 0.0,
            elevation_m: None,
            utc_offset_h: 0.0,
            summer_h: 0.0,
            summer_from: 0,
            summer_to: 0,
            month: 0,
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
            swing_k: None,
            cabin_c: 18.0,
            battery_place: BatteryPlace::Between,
            battery_c: 15.0,
        }
    }
}
