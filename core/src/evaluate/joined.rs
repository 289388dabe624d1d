//! Strings side by side: who gives how much, what links them, what happens when unlike ones are joined.

use super::banks::health;
use crate::battery::{Bank, internal_resistance_ohm, rest_cell_v};
use crate::cable::{
    Bar, Paralleled, Strand, TakeOff, imbalance, joining_a, joint_bolt_mm, overlap_mm,
    resistance_ohm_m,
};
use crate::inputs::{Candidate, Inputs};
use crate::report::{Joining, LinkReport, ParallelReport};

/// A crimped lug with its bolted contact [Ω]. Assumed.
pub(super) const LUG_OHM: f64 = 0.000_1;
/// A bar's bolted contact [Ω]. Assumed.
const CONTACT_OHM: f64 = 0.000_03;
/// How resistance grows as health falls: 1 + 5·(1 − health), twice at 80 %. Assumed.
pub(super) fn aged(health: f64) -> f64 {
    1.0 + 5.0 * (1.0 - health)
}

/// Air around a link bar [°C] and its rise [K]. Assumed.
const BAR_AIR_C: f64 = 40.0;
const BAR_RISE_K: f64 = 30.0;
/// Current at which unlike strings are brought level, of the capacity [1/h]. Common practice, no source.
const LEVEL_C: f64 = 0.1;

fn bar(inputs: &Inputs) -> Option<Bar> {
    let links = &inputs.wiring.links;
    links
        .bar
        .map(|alloy| Bar::new(links.wide_mm, links.thick_mm, alloy, links.surface))
}

/// One link with its two joints [Ω]; for a star one string's own cables there and back. `cable_mm2` is the bank's own cable.
fn link_ohm(inputs: &Inputs, take_off: TakeOff, cable_mm2: f64) -> f64 {
    let wiring = &inputs.wiring;
    let per_m = resistance_ohm_m(wiring.metal, cable_mm2, 20.0);
    match (take_off, bar(inputs)) {
        (TakeOff::Star, _) => 2.0 * wiring.bank_m * per_m + 4.0 * LUG_OHM,
        (_, Some(bar)) => wiring.links.long_m * bar.ohm_m(20.0) + 2.0 * CONTACT_OHM,
        (_, None) => wiring.links.long_m * per_m + 2.0 * LUG_OHM,
    }
}

fn string_ohm(bank: &Bank, health: f64) -> f64 {
    let label = &bank.battery.label;
    let fresh = internal_resistance_ohm(bank.battery.chemistry, label.volts, label.capacity_ah);
    fresh * f64::from(bank.series) * aged(health) + 2.0 * LUG_OHM
}

/// What each string of a candidate gives and takes. `out_a` and `in_a` are the bank's largest currents.
pub(super) fn parallel(
    inputs: &Inputs,
    row: &Candidate,
    cable_mm2: f64,
    out_a: f64,
    in_a: f64,
) -> Option<ParallelReport> {
    let (bank, links) = (&row.bank, &inputs.wiring.links);
    if bank.parallel < 2 {
        return None;
    }
    let traits = bank.battery.chemistry.traits();
    let ohm = |years: f64| string_ohm(bank, health(years, traits.calendar_years));
    let (others_years, last_years) = match row.later {
        Some(later) => (later.first_years + later.years, 0.0),
        None => (row.age_years, links.last_years.unwrap_or(row.age_years)),
    };
    let (others_ohm, last_ohm) = (ohm(others_years), ohm(last_years));
    let at_rest = |soc: f64| rest_cell_v(bank.battery.chemistry, soc) * bank.cells();
    let strands: Vec<Strand> = (0..bank.parallel)
        .map(|at| Strand {
            rest_v: at_rest(links.full),
            ohm: if at + 1 == bank.parallel {
                last_ohm
            } else {
                others_ohm
            },
        })
        .collect();
    let by = |take_off| Paralleled {
        strands: strands.clone(),
        link_ohm: link_ohm(inputs, take_off, cable_mm2),
        take_off,
    };
    let this = by(links.take_off);
    let shares = this.shares()?;
    let joint_ohm = this.link_ohm;
    let one_out = most_with_one_out(&this);
    let (full, low) = (at_rest(links.full), at_rest(links.low));
    let strand = |rest_v, ohm| Strand { rest_v, ohm };
    let current_a = joining_a(strand(full, others_ohm), strand(low, last_ohm), joint_ohm);
    let each_ah = bank.battery.label.capacity_ah;
    let level_a = LEVEL_C * each_ah;
    let within = others_ohm + last_ohm;
    let resistor_ohm = ((full - low) / level_a - within).max(0.0);
    Some(ParallelReport {
        id: row.id,
        take_off: links.take_off,
        link_ohm: joint_ohm,
        string_ohm: others_ohm,
        out_a: shares.iter().map(|share| share * out_a).collect(),
        in_a: shares.iter().map(|share| share * in_a).collect(),
        one_out,
        imbalance: imbalance(&shares),
        shares,
        others: TakeOff::ALL
            .into_iter()
            .filter_map(|take_off| Some((take_off, imbalance(&by(take_off).shares()?))))
            .collect(),
        unlike: links.last_years.is_some_and(|years| years != row.age_years),
        joining: Joining {
            full: links.full,
            low: links.low,
            gap_v: full - low,
            current_a,
            most_charge_a: bank
                .battery
                .max_charge_a
                .unwrap_or(traits.charge_c * each_ah),
            resistor_ohm,
            resistor_w: level_a * level_a * resistor_ohm,
            moves_ah: (links.full - links.low) / 2.0 * each_ah,
        },
    })
}

/// The largest share of one string while any one of the others is out; the links stay as they are.
fn most_with_one_out(all: &Paralleled) -> f64 {
    let without = |out: usize| {
        let mut left = all.clone();
        left.strands.remove(out);
        left.shares()
    };
    let shares = (0..all.strands.len()).filter_map(without).flatten();
    shares.fold(0.0, f64::max)
}

/// The link bar against the fuse ahead of it.
pub(super) fn link(inputs: &Inputs, fuse_a: Option<f64>) -> Option<LinkReport> {
    let links = &inputs.wiring.links;
    if links.take_off == TakeOff::Star {
        return None;
    }
    let (alloy, bar) = (links.bar?, bar(inputs)?);
    let top_c = BAR_AIR_C + BAR_RISE_K;
    Some(LinkReport {
        alloy,
        surface: links.surface,
        size_mm: [links.wide_mm, links.thick_mm, links.long_m * 1000.0],
        carries_a: bar.current_a(BAR_AIR_C, top_c),
        flat_a: bar.flat_current_a(BAR_AIR_C, top_c),
        fuse_a,
        at_fuse_c: fuse_a.and_then(|fuse_a| bar.temperature_c(BAR_AIR_C, fuse_a)),
        overlap_mm: overlap_mm(links.wide_mm, links.thick_mm),
        bolt_mm: joint_bolt_mm(links.wide_mm),
    })
}

/// Cable of links where none was found for the bank [mm²]. Assumed.
pub(super) const PLAIN_MM2: f64 = 35.0;
