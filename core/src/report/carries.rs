//! What carries the chosen bank's currents and its weight.

use super::YearHour;
use crate::cable::{Alloy, FuseKind, Screw, Sized, Surface, TakeOff, Ventilation};
use serde::Serialize;

/// Cables, fuses, links, hold-down and air.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Carries {
    /// Every run between the bank, the bus bars and what hangs on them.
    pub runs: Vec<RunReport>,
    /// Every run from the load panel to a load.
    pub branches: Vec<RunReport>,
    /// Rated output of a converter that feeds the load panel at 12 V [A].
    pub converter_a: Option<f64>,
    /// Where a short circuit at the load panel is more than a blade fuse breaks.
    pub panel_fault: Option<PanelFault>,
    /// Voltage of the bank at rest when full [V].
    pub source_v: f64,
    /// Highest charging voltage [V].
    pub charging_v: f64,
    /// Every candidate of two strings or more, in the plan's order.
    pub parallel: Vec<ParallelReport>,
    /// Fuse of each string, where the chosen bank has two or more.
    pub string_fuse: Option<SplitFuse>,
    /// Fuse of each panel or group of panels, where more than two are side by side.
    pub sun_fuse: Option<SplitFuse>,
    /// The link bar, where strings are linked by one.
    pub link: Option<LinkReport>,
    /// Alternating current behind the inverter, where anything runs on it.
    pub mains: Option<MainsReport>,
    /// What holds the bank down.
    pub holding: Holding,
    /// Air for what gives off gas; none for a kind that gives off none.
    pub air: Option<Ventilation>,
}

impl Carries {
    /// Distance from a battery within which nothing may spark [mm]; none for a kind that gives off no gas.
    pub fn spark_mm(&self) -> Option<f64> {
        self.air.as_ref().map(|air| air.spark_mm)
    }

    /// The run from the panels to their controller.
    pub fn panels(&self) -> Option<&RunReport> {
        self.runs.iter().find(|run| run.limited)
    }

    /// Strings side by side of one candidate.
    pub fn parallel_of(&self, id: u32) -> Option<&ParallelReport> {
        self.parallel.iter().find(|other| other.id == id)
    }
}

/// A part of a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// The fuse, as it should be.
    Fuse,
    /// The cable.
    Cable,
    /// The link bar.
    Link,
}

/// One run of cable.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RunReport {
    /// What it feeds, or what feeds it.
    pub name: String,
    /// Field of the plan that gives its length.
    pub field: String,
    /// Where its current comes from.
    pub from: String,
    /// Largest current that goes on and on [A].
    pub continuous_a: f64,
    /// Largest current for a moment [A].
    pub peak_a: f64,
    /// Whether its fuse surely stays whole through that moment.
    pub start_held: bool,
    /// One way [m].
    pub length_m: f64,
    /// Its cable; none where no size of the table does.
    pub sized: Option<Sized>,
    /// What its insulation bears [°C].
    pub insulation_c: f64,
    /// Most that it loses of the nominal voltage that is allowed [V].
    pub allowed_v: f64,
    /// Its fuse; none where no standard rating does.
    pub fuse: Option<Fuse>,
    /// Whether what feeds it can't give more than it carries, so that it needs no fuse: panels.
    pub limited: bool,
    /// Whether it lies behind a converter to 12 V.
    pub converted: bool,
    /// Greatest fault current where its fuse stands [A].
    pub fault_a: f64,
    /// Interrupting rating that its fuse needs [A]: that fault, or the figure of ABYC E-11 for the bank where that is greater.
    pub must_break_a: f64,
    /// Least fault current at the far end [A].
    pub far_fault_a: Option<f64>,
    /// Weakest part of its path; none where it has no fuse.
    pub weakest: Option<Part>,
    /// Lost in a year, at most: as if all that passes did so at the largest current [Wh].
    pub loss_wh_year: f64,
}

impl RunReport {
    /// Whether it comes from the engine: then a source stands at both its ends, and it goes to the bank itself.
    pub fn is_from_engine(&self) -> bool {
        self.field == "wiring/engine_mm"
    }

    /// Lost in a year by the mean current of each of its hours [Wh]; what comes and goes within an hour loses more. None for a run
    /// whose current the hours do not tell apart, and without a cable.
    pub fn lost_by_hours_wh(&self, hours: &[YearHour]) -> Option<f64> {
        let sized = self.sized.as_ref()?;
        let ohm = sized.drop_v / self.continuous_a;
        let served = |hour: &YearHour, w: f64| {
            let part = if hour.use_w > 0.0 {
                1.0 - hour.unserved_w / hour.use_w
            } else {
                0.0
            };
            w * part / hour.volts
        };
        // On the bars: the loads take what sun, hook-up, engine and bank give.
        let sun = |hour: &YearHour| {
            let taken = served(hour, hour.use_w) - hour.current_a;
            let others = (hour.drive_w + hour.shore_w) / hour.volts;
            (taken - others).clamp(0.0, hour.sun_w / hour.volts)
        };
        let current: &dyn Fn(&YearHour) -> f64 = match self.field.as_str() {
            _ if self.converted => return None,
            "wiring/bank_mm" => &|hour| hour.current_a + hour.drive_w / hour.volts,
            "wiring/loads_mm" => &|hour| served(hour, hour.direct_w),
            "wiring/inverter_mm" => &|hour| served(hour, hour.use_w - hour.direct_w),
            "wiring/sun_mm" => &sun,
            "wiring/engine_mm" => &|hour| hour.drive_w / hour.volts,
            "wiring/shore_mm" => &|hour| hour.shore_w / hour.volts,
            _ => return None,
        };
        let lit = hours.iter().filter(|hour| hour.volts > 0.0);
        let squares = lit.map(|hour| {
            let current_a = current(hour);
            current_a * current_a
        });
        Some(ohm * squares.sum::<f64>())
    }
}

/// A fuse.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Fuse {
    /// Its kind.
    pub kind: FuseKind,
    /// Its rating [A].
    pub rating_a: f64,
    /// Interrupting rating of its kind at the bank's voltage when full [A].
    pub breaks_a: f64,
    /// Highest DC voltage of its kind [V].
    pub most_v: f64,
}

/// A load panel at which a short circuit is more than a blade fuse breaks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PanelFault {
    /// Greatest fault current at the panel [A].
    pub fault_a: f64,
    /// What a blade fuse breaks [A].
    pub blade_a: f64,
    /// A feeder that brings the fault down to that; none where none within the allowed drop does.
    pub feeder: Option<Feeder>,
}

/// A feeder from the bus bars to the load panel.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Feeder {
    /// Length one way [m].
    pub length_m: f64,
    /// Its metric size [mm²].
    pub mm2: f64,
    /// Its gauge.
    pub awg: String,
    /// What it loses there and back [V].
    pub drop_v: f64,
    /// Greatest fault current at its end [A].
    pub fault_a: f64,
}

/// One fuse for each of several that stand side by side.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SplitFuse {
    /// How many.
    pub count: u32,
    /// Largest current of one without a break [A].
    pub continuous_a: f64,
    /// Greatest fault current [A].
    pub fault_a: f64,
    /// Interrupting rating that it needs [A].
    pub must_break_a: f64,
    /// The fuse; none where no standard rating does.
    pub fuse: Option<Fuse>,
}

/// Alternating current behind the inverter.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MainsReport {
    /// Its voltage [V].
    pub volts: f64,
    /// What the inverter gives at its rated power [A].
    pub rated_a: f64,
    /// Breaker of that [A]; none where no standard rating does.
    pub breaker_a: Option<f64>,
    /// Cable that carries the breaker's rating; none where no size of the table does.
    pub sized: Option<Sized>,
    /// What each load draws [A].
    pub branches: Vec<(String, f64)>,
}

/// A candidate of several strings.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ParallelReport {
    /// The candidate's id.
    pub id: u32,
    /// Where its cables take off.
    pub take_off: TakeOff,
    /// One link with its joints, or one string's own cables [Ω].
    pub link_ohm: f64,
    /// Resistance of a string [Ω].
    pub string_ohm: f64,
    /// What each string gives of the largest continuous current [A], in their order.
    pub out_a: Vec<f64>,
    /// What each takes of the largest charging current [A].
    pub in_a: Vec<f64>,
    /// Share of each; they add up to one.
    pub shares: Vec<f64>,
    /// Share of the string that carries most while one string is out.
    pub one_out: f64,
    /// How much more than its fair part the one that gives most gives, 0 where all give alike.
    pub imbalance: f64,
    /// The same for every way to take off.
    pub others: Vec<(TakeOff, f64)>,
    /// Whether the last string is of another age.
    pub unlike: bool,
    /// Joining a full string and a lower one.
    pub joining: Joining,
}

/// A fuller string joined with an emptier one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Joining {
    /// Charge of the two, 0 to 1.
    pub full: f64,
    /// See above.
    pub low: f64,
    /// Difference of their voltages at rest [V].
    pub gap_v: f64,
    /// Current at the moment of joining [A].
    pub current_a: f64,
    /// Most that the lower one may take [A].
    pub most_charge_a: f64,
    /// Resistance that holds it to a tenth of the capacity an hour [Ω].
    pub resistor_ohm: f64,
    /// Power of that resistance at first [W].
    pub resistor_w: f64,
    /// Charge that passes until both are level [Ah].
    pub moves_ah: f64,
}

/// A link bar.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LinkReport {
    /// Its metal.
    #[serde(skip)]
    pub alloy: Alloy,
    /// Its surface.
    #[serde(skip)]
    pub surface: Surface,
    /// Width, thickness, length [mm].
    pub size_mm: [f64; 3],
    /// What it carries at 30 K over air of 40 °C, standing on edge [A].
    pub carries_a: f64,
    /// The same lying flat [A].
    pub flat_a: f64,
    /// Fuse ahead of it [A].
    pub fuse_a: Option<f64>,
    /// Its temperature at that current [°C]; none beyond 300 °C or without a fuse.
    pub at_fuse_c: Option<f64>,
    /// Overlap of a joint along the bar [mm].
    pub overlap_mm: f64,
    /// Bolt of a joint [mm].
    pub bolt_mm: f64,
}

/// What holds the bank down.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Holding {
    /// Mass of the bank [kg].
    pub mass_kg: f64,
    /// Force along [N].
    pub along_n: f64,
    /// Force across [N].
    pub across_n: f64,
    /// Pull that a boat's rule asks for in each direction [N].
    pub pull_test_n: f64,
    /// Screws.
    pub screws: u32,
    /// What the screws, of class 8.8, hold across their length [N].
    pub bolts_hold_n: f64,
    /// One screw and its hole.
    pub screw: Option<Screw>,
    /// Pull in each end of a strap over the cases that would hold half a g by friction alone [N].
    pub strap_n: f64,
}
