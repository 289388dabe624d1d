//! Which runs a plan has, each with its current and where that comes from.

use super::faults::Faults;
use crate::charge::Link;
use crate::energy::{Coincident, DayUse, Inverter, Load, LossCurve, Supply};
use crate::inputs::Inputs;
use crate::report::Month;
use crate::units::Quantity;

/// Most branches that are listed.
const MOST_BRANCHES: usize = 40;
/// Days of a month on the mean.
const MONTH_DAYS: f64 = 365.25 / 12.0;
/// Short-circuit current of a panel over its current at most power, and voltage at most power over that with nothing drawn.
/// Assumed, for crystalline silicon.
const SHORT_OVER_BEST: f64 = 1.08;
const BEST_OVER_OPEN: f64 = 0.82;
/// Output over input of a converter to 12 V, 0 to 1, and its nominal output [V]. Assumed.
const CONVERTER_EFFICIENCY: f64 = 0.9;
const CONVERTER_V: f64 = 12.0;
/// Light above the standard. NEC (NFPA 70-2017) 690.8(A)(1).
const BRIGHT: f64 = 1.25;

/// Where a run begins, and so where its fuse stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum At {
    /// At the bank.
    Bank,
    /// At the bus bars.
    Bars,
    /// At a converter to 12 V, which limits the fault.
    Converter,
    /// On the load panel.
    Panel,
}

/// One run before it is sized.
pub(super) struct Wanted {
    pub(super) at: At,
    pub(super) name: String,
    pub(super) field: &'static str,
    pub(super) from: String,
    pub(super) continuous_a: f64,
    pub(super) peak_a: f64,
    pub(super) length_m: f64,
    /// Nominal voltage [V].
    pub(super) volts: f64,
    /// Whether what feeds it can't give more than it carries, so that it needs no fuse.
    pub(super) limited: bool,
    /// What passes through it in a year [Wh].
    pub(super) year_wh: f64,
}

impl Wanted {
    /// Current at which its drop is judged [A]: of panels what they give at most power.
    pub(super) fn drop_a(&self) -> f64 {
        if self.limited {
            self.continuous_a / (BRIGHT * SHORT_OVER_BEST)
        } else {
            self.continuous_a
        }
    }
}

/// What passes through the plan in a year [Wh].
pub(super) struct Passing {
    panel: f64,
    inverter: f64,
    sun: f64,
    engine: f64,
    shore: f64,
}

impl Passing {
    pub(super) fn new(months: &[Month], parked: &DayUse, inputs: &Inputs) -> Self {
        let year = |of: fn(&Month) -> f64| months.iter().map(of).sum::<f64>() * MONTH_DAYS;
        let is_ac = |id: u32| {
            let load = inputs.loads.iter().find(|load| load.id == id);
            load.is_some_and(|load| load.supply == Supply::Ac)
        };
        let ac: f64 = parked
            .loads
            .iter()
            .filter(|use_| is_ac(use_.id))
            .map(|use_| use_.wh)
            .sum::<f64>()
            + parked.idle_wh;
        let share = if parked.total_wh > 0.0 {
            (ac / parked.total_wh).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let use_wh = year(|month| month.use_wh);
        Self {
            panel: use_wh * (1.0 - share),
            inverter: use_wh * share,
            sun: year(|month| month.sun_wh),
            engine: year(|month| month.alternator_wh),
            shore: year(|month| month.shore_wh),
        }
    }
}

/// The lowest voltage at which what draws still runs [V]: there the same power takes most current.
fn low_v(inputs: &Inputs) -> f64 {
    inputs.inverter_cutoff_v.max(10.0 * inputs.volts / 12.0)
}

/// What the inverter takes at so much AC [A].
fn inverter_a(inputs: &Inputs, of: fn(&Inverter) -> f64) -> f64 {
    inputs.inverter.as_ref().map_or(0.0, |inverter| {
        let (curve, _) = LossCurve::fit(inverter);
        curve.dc_w(of(inverter)) / low_v(inputs)
    })
}

/// Nominal voltage of the load panel and the lowest at which its loads still run [V].
fn panel_v(inputs: &Inputs) -> [f64; 2] {
    match inputs.wiring.converter {
        Some(_) => [CONVERTER_V; 2],
        None => [inputs.volts, low_v(inputs)],
    }
}

/// Power out of the bank for so much on the DC side [W]; with a converter all of it is taken to pass it.
fn direct_w(inputs: &Inputs, load_w: f64) -> f64 {
    match inputs.wiring.converter {
        Some(_) => load_w / CONVERTER_EFFICIENCY,
        None => load_w,
    }
}

/// The largest current out of the bank without a break [A].
pub(super) fn drawn_a(inputs: &Inputs, most: &Coincident) -> f64 {
    let direct_a = direct_w(inputs, most.panel_running_w) / low_v(inputs);
    inverter_a(inputs, |inverter| inverter.rated_w) + direct_a
}

/// The largest current into the bank without a break [A]: sun, hook-up and engine together.
pub(super) fn incoming_a(inputs: &Inputs, posts: &Faults) -> f64 {
    let sun = inputs.sun.as_ref();
    sun.map_or(0.0, |sun| sun.controller.output_limit_a())
        + inputs.shore.as_ref().map_or(0.0, |shore| shore.charger_a)
        + engine_a(inputs, posts)
}

/// The largest current that the engine's link passes [A]. Of a relay the lesser of what the alternator gives cold at full speed
/// and what its voltage drives through the link into the bank at its reserve line, new and warm.
fn engine_a(inputs: &Inputs, posts: &Faults) -> f64 {
    let Some(driving) = &inputs.driving else {
        return 0.0;
    };
    let alternator = &driving.alternator;
    match alternator.link {
        Link::DcDc { .. } => alternator.most_a(),
        Link::Relay { cable_ohm } => {
            let gap_v = (alternator.volts - posts.least.volts).max(0.0);
            let driven_a = gap_v / (cable_ohm + posts.greatest.ohm);
            alternator.rated_a.min(driven_a)
        }
    }
}

/// Voltage of a row of panels at its best [V]: by the label where it was read, else what the plan assumes.
fn row_v(inputs: &Inputs) -> f64 {
    let series = inputs.sun.as_ref().and_then(|sun| sun.series);
    series.map_or(inputs.wiring.panel_v, |series| {
        BEST_OVER_OPEN * series.open_circuit_v * series.count as f64
    })
}

/// What panels of so many watts give shorted [A].
pub(super) fn short_a(inputs: &Inputs, rated_w: f64) -> f64 {
    SHORT_OVER_BEST * rated_w / row_v(inputs)
}

fn shown(w: f64) -> String {
    Quantity::Power.show(w.round(), crate::plan::Units::Metric)
}

/// `panel` is the largest draw at once of what hangs on the load panel.
pub(super) fn wanted(
    inputs: &Inputs,
    [most, panel]: [&Coincident; 2],
    passing: &Passing,
    posts: &Faults,
) -> Vec<Wanted> {
    let mut all = Vec::new();
    let wiring = &inputs.wiring;
    let low_v = low_v(inputs);
    let inverter_peak_a = inverter_a(inputs, |inverter| inverter.surge_w.max(inverter.rated_w));
    let watts = shown;
    let inverter_a = inverter_a(inputs, |inverter| inverter.rated_w);
    let [panel_v, panel_low_v] = panel_v(inputs);
    let panel_a = panel.panel_running_w / panel_low_v;
    let panel_peak_a = panel.panel_w / panel_low_v;
    let incoming_a = incoming_a(inputs, posts);
    let direct_peak_a = direct_w(inputs, most.panel_w) / low_v;
    all.push(Wanted {
        name: "bank to bus bars".into(),
        field: "wiring/bank_mm",
        at: At::Bank,
        from: "the greater of all loads at the lowest voltage and all chargers together".into(),
        continuous_a: drawn_a(inputs, most).max(incoming_a),
        peak_a: (inverter_peak_a + direct_peak_a).max(incoming_a),
        year_wh: passing.panel + passing.inverter + passing.sun + passing.engine + passing.shore,
        volts: inputs.volts,
        limited: false,
        length_m: wiring.bank_m,
    });
    if let Some(inverter) = &inputs.inverter {
        all.push(Wanted {
            name: "inverter".into(),
            field: "wiring/inverter_mm",
            at: At::Bars,
            from: format!(
                "{} at its efficiency and its cut-out voltage",
                watts(inverter.rated_w)
            ),
            continuous_a: inverter_a,
            peak_a: inverter_peak_a,
            year_wh: passing.inverter,
            volts: inputs.volts,
            limited: false,
            length_m: wiring.inverter_m,
        });
    }
    if let Some(converter) = inputs.wiring.converter.filter(|_| panel_a > 0.0) {
        all.push(Wanted {
            name: "converter to 12 V".into(),
            field: "wiring/converter_mm",
            at: At::Bars,
            from: "the converter's rating at its efficiency and the lowest voltage".into(),
            continuous_a: converter.output_a * CONVERTER_V / CONVERTER_EFFICIENCY / low_v,
            peak_a: 0.0,
            year_wh: passing.panel,
            volts: inputs.volts,
            limited: false,
            length_m: converter.length_m,
        });
    }
    if panel_a > 0.0 {
        all.push(Wanted {
            name: "load panel".into(),
            field: "wiring/loads_mm",
            at: match inputs.wiring.converter {
                Some(_) => At::Converter,
                None => At::Bars,
            },
            from: format!("{} at once on the panel", watts(panel.panel_running_w)),
            continuous_a: panel_a,
            peak_a: panel_peak_a,
            year_wh: passing.panel,
            volts: panel_v,
            limited: false,
            length_m: wiring.loads_m,
        });
    }
    if let Some(sun) = &inputs.sun {
        all.push(Wanted {
            name: "solar controller".into(),
            field: "wiring/sun_mm",
            at: At::Bars,
            from: "the controller's limit".into(),
            continuous_a: sun.controller.output_limit_a(),
            peak_a: 0.0,
            year_wh: passing.sun,
            volts: inputs.volts,
            limited: false,
            length_m: wiring.sun_m,
        });
        let short_a = sun.parts.iter().map(|part| short_a(inputs, part.rated_w));
        all.push(Wanted {
            name: "panels".into(),
            field: "wiring/panels_mm",
            at: At::Bars,
            from: format!("what they give shorted, × {BRIGHT} for light above the standard"),
            continuous_a: BRIGHT * short_a.sum::<f64>(),
            peak_a: 0.0,
            year_wh: passing.sun,
            volts: row_v(inputs),
            limited: true,
            length_m: wiring.panels_m,
        });
    }
    if let Some(driving) = &inputs.driving {
        all.push(Wanted {
            name: "alternator".into(),
            field: "wiring/engine_mm",
            at: At::Bank,
            from: match driving.alternator.link {
                Link::DcDc { .. } => "the charger's rating".into(),
                Link::Relay { .. } => {
                    "the lesser of what the cold alternator gives and what the circuit's resistance lets through".into()
                }
            },
            continuous_a: engine_a(inputs, posts),
            peak_a: 0.0,
            year_wh: passing.engine,
            volts: inputs.volts,
            limited: false,
            length_m: wiring.engine_m,
        });
    }
    if let Some(shore) = &inputs.shore {
        all.push(Wanted {
            name: "charger".into(),
            field: "wiring/shore_mm",
            at: At::Bars,
            from: "the charger's rating".into(),
            continuous_a: shore.charger_a,
            peak_a: 0.0,
            year_wh: passing.shore,
            volts: inputs.volts,
            limited: false,
            length_m: wiring.shore_m,
        });
    }
    all.extend(to_loads(inputs, At::Bars));
    all.retain(|run| run.continuous_a > 0.0);
    all
}

/// The runs from the load panel to what draws DC, in the order of the loads.
pub(super) fn branches(inputs: &Inputs) -> Vec<Wanted> {
    let mut runs = to_loads(inputs, At::Panel);
    runs.truncate(MOST_BRANCHES);
    runs
}

/// The runs to what draws DC from the panel or straight from the bus bars, in the order of the loads.
fn to_loads(inputs: &Inputs, at: At) -> Vec<Wanted> {
    let [volts, low_v] = match at {
        At::Panel => panel_v(inputs),
        _ => [inputs.volts, low_v(inputs)],
    };
    let on_bars = |load: &Load| inputs.wiring.on_bars.contains(&load.id);
    let direct = inputs
        .loads
        .iter()
        .filter(|load| load.supply == Supply::Dc && on_bars(load) == (at == At::Bars));
    let own_m = &inputs.wiring.branches_m;
    let length_m = |load: &Load| {
        let own = own_m.iter().find(|(id, _)| *id == load.id);
        own.map_or(inputs.wiring.branch_m, |(_, metres)| *metres)
    };
    let run = |load: &Load| Wanted {
        name: load.name.clone(),
        field: "wiring/branch_mm",
        at,
        from: format!("{} at the lowest voltage", shown(load.running_w())),
        continuous_a: load.running_w() / low_v,
        peak_a: (load.running_w() + load.starting_extra_w()) / low_v,
        volts,
        limited: false,
        length_m: length_m(load),
        year_wh: 0.0,
    };
    direct
        .map(run)
        .filter(|run| run.continuous_a > 0.0)
        .collect()
}
