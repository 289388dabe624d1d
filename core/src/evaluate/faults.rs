//! Fault currents of the chosen bank: the greatest, which a fuse must break, and the least, which it must clear.

use super::climate::Year;
use super::income::chosen;
use super::joined::{LUG_OHM, aged};
use crate::battery::{
    Chemistry, capacity_divisor, internal_resistance_ohm, rest_cell_v, short_circuit_ohm,
};
use crate::cable::{
    FuseDuty, LARGE_BANK, LARGE_BREAKS_A, Source, least_interrupting_a, least_interrupting_large_a,
};
use crate::inputs::{Candidate, Converter, Inputs};

/// Cranking amperes of a lead-acid battery for each Ah, where its label is silent. Assumed.
const CRANKING_PER_AH: f64 = 7.0;
/// Highest output of a converter to 12 V [V], and its current in a short circuit over its rating, at most; at least it gives its
/// rating. Assumed.
const CONVERTER_FULL_V: f64 = 13.8;
const CONVERTER_LIMIT: f64 = 2.0;
/// Health of an old bank. Assumed: the usual end of life.
const OLD: f64 = 0.8;

/// A place on the way from the bank, as a source of fault currents.
#[derive(Clone, Copy)]
pub(super) struct Faults {
    /// Full, warm, new, through the short-circuit resistance and the least cable.
    pub(super) greatest: Source,
    /// At the reserve line, cold, old, through the resistance of the sag and hot cable.
    pub(super) least: Source,
}

/// What every fuse of a bank must bear, wherever it stands.
#[derive(Clone, Copy)]
pub(super) struct Protection {
    /// At the posts of the bank.
    pub(super) posts: Faults,
    /// The full bank at rest [V].
    pub(super) full_v: f64,
    /// Highest charging voltage [V].
    pub(super) charging_v: f64,
    /// Least interrupting rating at the bank, whatever the fault computed [A].
    pub(super) main_a: f64,
    /// Least interrupting rating at the bus bars, whatever the fault computed [A].
    pub(super) bars_a: f64,
}

impl Protection {
    pub(super) fn new(inputs: &Inputs, year: &Year) -> Self {
        let row = chosen(inputs);
        let posts = row.map_or(
            Faults {
                greatest: open(inputs.volts),
                least: open(inputs.volts),
            },
            |row| posts(row, year),
        );
        let [main_a, bars_a] = row.map_or([0.0, 0.0], |row| least_breaking(row, &posts));
        Self {
            posts,
            full_v: posts.greatest.volts,
            charging_v: charging_v(inputs),
            main_a,
            bars_a,
        }
    }

    /// What a fuse must bear on a panel at 12 V behind a converter, which limits the fault.
    pub(super) fn behind(converter: Converter) -> Self {
        let limited = |amperes: f64| Source {
            volts: CONVERTER_FULL_V,
            ohm: CONVERTER_FULL_V / amperes,
        };
        Self {
            posts: Faults {
                greatest: limited(CONVERTER_LIMIT * converter.output_a),
                least: limited(converter.output_a),
            },
            full_v: CONVERTER_FULL_V,
            charging_v: CONVERTER_FULL_V,
            main_a: 0.0,
            bars_a: 0.0,
        }
    }

    /// The duty of a fuse for currents and a fault [A], without a limit by its conductor.
    pub(super) fn duty(&self, continuous_a: f64, peak_a: f64, fault_a: f64) -> FuseDuty {
        FuseDuty {
            continuous_a,
            peak_a,
            most_a: f64::INFINITY,
            fault_a,
            full_v: self.full_v,
            charging_v: self.charging_v,
        }
    }
}

/// Nothing that could drive a fault.
fn open(volts: f64) -> Source {
    Source {
        volts,
        ohm: f64::INFINITY,
    }
}

/// The posts of a bank, each string with the two lugs on it. In the least fault the resistance grows with age and, as the capacity
/// falls, with cold (assumed).
fn posts(row: &Candidate, year: &Year) -> Faults {
    let (bank, battery) = (&row.bank, &row.bank.battery);
    let (kind, label) = (battery.chemistry, &battery.label);
    let (series, parallel) = (f64::from(bank.series), f64::from(bank.parallel));
    let of_bank = |one_ohm: f64| (one_ohm * series + 2.0 * LUG_OHM) / parallel;
    let rest_v = |soc| bank.cells() * rest_cell_v(kind, soc);
    let short_ohm = match row.short_circuit_a {
        Some(amperes) => rest_v(1.0) / series / amperes,
        None => short_circuit_ohm(kind, label.volts, label.capacity_ah),
    };
    let sag_ohm = internal_resistance_ohm(kind, label.volts, label.capacity_ah);
    let coldest_c = year.coldest_battery_c().min(25.0);
    let (cold, _) = capacity_divisor(kind, coldest_c);
    Faults {
        greatest: Source {
            volts: rest_v(1.0),
            ohm: of_bank(short_ohm),
        },
        least: Source {
            volts: rest_v(1.0 - bank.depth),
            ohm: of_bank(sag_ohm * aged(OLD) * cold),
        },
    }
}

/// Least interrupting rating at the bank and at the bus bars [A]: ABYC E-11 by cranking amperes and capacity; of lithium and
/// sodium without a maker's short-circuit current 20 kA at the bank.
fn least_breaking(row: &Candidate, posts: &Faults) -> [f64; 2] {
    let (bank, battery) = (&row.bank, &row.bank.battery);
    let lead_acid = battery.chemistry.is_lead_acid();
    let usual_a = if lead_acid {
        CRANKING_PER_AH * battery.label.capacity_ah
    } else {
        0.0
    };
    let cranking_a = row.cranking_a.unwrap_or(usual_a) * f64::from(bank.parallel);
    let [mut main_a, bars_a] = least_interrupting_a(cranking_a);
    let (large_a, large_ah) = LARGE_BANK;
    if cranking_a > large_a || bank.rated_ah() > large_ah {
        main_a = main_a.max(least_interrupting_large_a(posts.greatest.fault_a(0.0)));
    }
    if !lead_acid && row.short_circuit_a.is_none() {
        main_a = main_a.max(LARGE_BREAKS_A);
    }
    [main_a, bars_a]
}

/// Highest voltage at which anything charges the bank [V]; at least what its kind is charged with.
fn charging_v(inputs: &Inputs) -> f64 {
    let by_kind = |kind: Chemistry, blocks: f64| kind.traits().boost_v * blocks;
    let kind_v = chosen(inputs).map_or(0.0, |row| {
        by_kind(row.bank.battery.chemistry, row.bank.blocks())
    });
    let engine_v = inputs
        .driving
        .as_ref()
        .map_or(0.0, |driving| driving.alternator.volts);
    let shore_v = inputs
        .shore
        .as_ref()
        .map_or(0.0, |shore| shore.boost_v.max(shore.float_v));
    kind_v.max(engine_v).max(shore_v)
}
