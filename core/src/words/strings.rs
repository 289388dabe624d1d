//! Strings side by side, their links and their fuses in words.

use super::carries::{amperes, fuse_rating};
use super::{bank_name, list, percent, temperature, tidy, whole};
use crate::cable::{Alloy, Surface, TakeOff};
use crate::plan::Units;
use crate::report::{Carries, ParallelReport, Report, SplitFuse};

/// A way to take off.
pub fn take_off(way: TakeOff) -> &'static str {
    match way {
        TakeOff::OneEnd => "both cables at the first string",
        TakeOff::Diagonal => "plus at the first string and minus at the last",
        TakeOff::Middle => "both cables in the middle of the row",
        TakeOff::Star => "each string by its own cables to the bus bars",
    }
}

/// A metal of bars.
pub fn alloy(alloy: Alloy) -> &'static str {
    match alloy {
        Alloy::Copper => "copper",
        Alloy::Aluminium1350 => "aluminium 1350",
        Alloy::Aluminium6061 => "aluminium 6061",
        Alloy::Aluminium6063 => "aluminium 6063",
        Alloy::Brass => "brass",
        Alloy::Steel => "steel",
    }
}

/// Heads of the table of shares.
pub const SHARE_HEADS: [&str; 5] = ["string", "share", "gives", "takes", "of its fair part"];

/// What each string of a candidate gives and takes: one row a string.
pub fn share_rows(strings: &ParallelReport) -> Vec<Vec<String>> {
    let count = strings.shares.len() as f64;
    let each = strings.shares.iter().zip(&strings.out_a).zip(&strings.in_a);
    each.enumerate()
        .map(|(at, ((share, out_a), in_a))| {
            vec![
                format!("{}", at + 1),
                format!("{:.1} %", 100.0 * share),
                amperes(*out_a),
                amperes(*in_a),
                percent(share * count),
            ]
        })
        .collect()
}

fn uneven(more: f64) -> String {
    if more < 0.000_5 {
        "0 %".to_owned()
    } else {
        format!("{:.1} %", 100.0 * more)
    }
}

/// How evenly a candidate's strings share, by each way to take off.
pub fn share_line(report: &Report, strings: &ParallelReport) -> String {
    let name = report
        .banks
        .iter()
        .find(|bank| bank.id == strings.id)
        .map_or(String::new(), bank_name);
    let others: Vec<String> = strings
        .others
        .iter()
        .filter(|(way, _)| *way != strings.take_off)
        .map(|(way, more)| format!("{}: {}", take_off(*way), uneven(*more)))
        .collect();
    format!(
        "{name}, {}: the string that gives most gives {} more than its fair part{}. With {}. Strings of {:.1} mΩ, links of {:.2} mΩ, solved as a network of resistances.",
        take_off(strings.take_off),
        uneven(strings.imbalance),
        if strings.unlike {
            ", the last one being of another age"
        } else {
            ""
        },
        list(&others),
        1000.0 * strings.string_ohm,
        1000.0 * strings.link_ohm
    )
}

/// What happens when unlike strings are joined, and how to bring them level first.
pub fn joining_line(strings: &ParallelReport) -> String {
    let join = &strings.joining;
    if join.gap_v <= 0.0 {
        return "Strings that stand alike in charge take nothing from each other when they are joined. Measure both before: no more than 0.05 V apart (common practice, no source).".into();
    }
    let too_much = if join.current_a > join.most_charge_a {
        format!(
            ", more than the {} that it may take",
            amperes(join.most_charge_a)
        )
    } else {
        String::new()
    };
    let limited = if join.resistor_ohm > 0.0 {
        format!(
            " through about {:.2} Ω that bears {} W,",
            join.resistor_ohm,
            whole(join.resistor_w.ceil())
        )
    } else {
        String::new()
    };
    format!(
        "Joined with one at {} and one at {}, {:.2} V apart at rest, {} flow at once from the fuller into the emptier{too_much}. So first charge each alone until it is full and let it rest; or join them for some hours{limited} at a tenth of the capacity an hour, which moves about {} Ah. Join them when they stand no more than 0.05 V apart (common practice, no source), fuse in place.",
        percent(join.full),
        percent(join.low),
        join.gap_v,
        amperes(join.current_a),
        whole(join.moves_ah)
    )
}

fn split(fuse: &SplitFuse, what: &str, each: &str) -> String {
    format!(
        "{what}: {} of {}, one for each {each}. Largest current {}; breaks at least {}.",
        super::number(fuse.count),
        fuse_rating(fuse.fuse),
        amperes(fuse.continuous_a),
        super::kiloamperes(fuse.must_break_a)
    )
}

/// The fuses of strings and of panels; empty where none are needed.
pub fn split_fuses(carries: &Carries) -> Vec<String> {
    let strings = carries.string_fuse.as_ref().map(|fuse| {
        split(
            fuse,
            "String fuses, for one string out",
            "string of batteries, at its positive post, sealed or ignition-protected",
        )
    });
    let panels = carries.sun_fuse.as_ref().map(|fuse| {
        split(
            fuse,
            "Panel fuses",
            "panel or group, no larger than its sheet allows",
        )
    });
    strings.into_iter().chain(panels).collect()
}

/// The link bar against the fuse ahead of it; empty without a bar.
pub fn link_line(carries: &Carries, units: Units) -> String {
    let Some(link) = &carries.link else {
        return String::new();
    };
    let [wide, thick, long] = link.size_mm;
    let surface = match link.surface {
        Surface::Bright => "bright",
        Surface::Dull => "dull",
        Surface::Oxidised => "oxidised",
        Surface::HeavilyOxidised => "heavily oxidised",
        Surface::Painted => "painted",
    };
    let against = match (link.fuse_a, link.at_fuse_c) {
        (Some(fuse_a), Some(warm_c)) => format!(
            "At the {} A of the fuse ahead it comes to {} on edge{}.",
            tidy(fuse_a),
            temperature(warm_c, units),
            if fuse_a > link.carries_a {
                ": too weak for that fuse"
            } else {
                ", and the fuse is the weaker part, as it should be"
            }
        ),
        (Some(fuse_a), None) => format!(
            "At the {} A of the fuse ahead it would pass {}: far too weak.",
            tidy(fuse_a),
            temperature(300.0, units)
        ),
        (None, _) => String::new(),
    };
    format!(
        "Link bar of {}, {surface}, {} × {} × {} mm: {} on edge and {} lying flat bring it 30 K over air of {} (heat balance: Churchill & Chu 1975, radiation). {against} Overlap {} mm at each joint, both faces bright, M{} where the post doesn't say otherwise.{}",
        alloy(link.alloy),
        tidy(wide),
        tidy(thick),
        tidy(long),
        amperes(link.carries_a),
        amperes(link.flat_a),
        temperature(40.0, units),
        tidy(link.overlap_mm),
        tidy(link.bolt_mm),
        match link.alloy {
            Alloy::Aluminium1350 | Alloy::Aluminium6061 | Alloy::Aluminium6063 =>
                " Aluminium on copper or brass: tin the faces or use joint compound, or the joint corrodes and burns.",
            Alloy::Copper | Alloy::Brass | Alloy::Steel => "",
        }
    )
}

/// Every line on strings side by side, in the order in which they are read.
pub fn string_lines(report: &Report, units: Units) -> Vec<String> {
    let carries = &report.carries;
    let mut lines: Vec<String> = carries
        .parallel
        .iter()
        .map(|strings| share_line(report, strings))
        .collect();
    lines.extend(carries.parallel_of(report.chosen).map(joining_line));
    lines.extend(split_fuses(carries));
    lines.push(link_line(carries, units));
    lines.retain(|line| !line.is_empty());
    lines
}
