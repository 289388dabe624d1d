//! What runs, what a meter said and the inverter, as saved.

use super::{DayKind, is_default};
use serde::{Deserialize, Serialize};

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
    /// Whether its circuit begins at the bus bars, as a windlass's does, and not at the load panel.
    #[serde(skip_serializing_if = "is_default")]
    pub on_bars: bool,
}

/// Most loads that a plan may have.
pub const MOST_LOADS: usize = 400;

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
            on_bars: false,
        }
    }
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

impl Default for Meter {
    fn default() -> Self {
        Self {
            used: false,
            amount: 40.0,
            unit: MeterUnit::Ah,
        }
    }
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
