//! Strings side by side and the hold-down of a plan, checked.

use super::Check;
use crate::cable::{Alloy, Hole, Surface, TakeOff};
use crate::inputs::{Candidate, Hold, Links};
use crate::plan::{self, BarState, Fixing, Linked, Plan, Thread};
use crate::units::{Quantity, tidy};

/// How strings stand side by side.
pub(super) fn links(check: &mut Check<'_>, plan: &Plan, candidates: &[Candidate]) -> Links {
    let row = &plan.wiring;
    let long_mm = check.wired(
        "link_mm",
        "A link",
        Quantity::Length,
        row.link_mm,
        [20.0, 5000.0],
    );
    let wide_mm = check.wired(
        "link_wide_mm",
        "The width of a link bar",
        Quantity::Length,
        row.link_wide_mm,
        [5.0, 200.0],
    );
    let thick_mm = check.wired(
        "link_thick_mm",
        "The thickness of a link bar",
        Quantity::Length,
        row.link_thick_mm,
        [0.5, 50.0],
    );
    if thick_mm > wide_mm {
        let show = |mm: f64| Quantity::Length.show(mm, plan.units);
        check.refuse(
            "wiring/link_thick_mm",
            format!(
                "A bar {} wide can't be {} thick: it would stand on its edge.",
                show(wide_mm),
                show(thick_mm)
            ),
            "Write the larger of the two as its width.",
        );
    }
    let full = check.wired(
        "join_full",
        "The charge of the fuller string",
        Quantity::Share,
        row.join_full,
        [0.0, 1.0],
    );
    let low = check.wired(
        "join_low",
        "The charge of the emptier string",
        Quantity::Share,
        row.join_low,
        [0.0, 1.0],
    );
    if low > full {
        check.refuse(
            "wiring/join_low",
            "The emptier string can't hold more than the fuller one.",
            "Swap the two.",
        );
    }
    let chosen = candidates
        .iter()
        .find(|other| other.id == plan.chosen)
        .or(candidates.first());
    if let (Some(last_v), Some(chosen)) =
        (row.last_v, chosen.filter(|chosen| chosen.bank.parallel > 1))
    {
        let string_v = chosen.bank.volts();
        let last_v = check.wired(
            "last_v",
            "The voltage of the last string",
            Quantity::Voltage,
            last_v,
            [1.0, 120.0],
        );
        if (last_v - string_v).abs() > 0.02 * string_v {
            check.refuse(
                "wiring/last_v",
                format!(
                    "A string of {} V can't stand beside strings of {} V. Nothing limits the current between them: hundreds or thousands of amperes, without any load, until a cable burns or a case bursts.",
                    tidy(last_v),
                    tidy(string_v)
                ),
                "Put only strings of one voltage and one kind side by side; feed another voltage through a converter.",
            );
        }
    }
    let last_years = row.last_years.map(|years| {
        check.wired(
            "last_years",
            "The age of the last string",
            Quantity::Years,
            years,
            [0.0, 40.0],
        )
    });
    Links {
        take_off: match row.take_off {
            plan::TakeOff::Diagonal => TakeOff::Diagonal,
            plan::TakeOff::OneEnd => TakeOff::OneEnd,
            plan::TakeOff::Middle => TakeOff::Middle,
            plan::TakeOff::Star => TakeOff::Star,
        },
        bar: match row.link {
            Linked::Cable => None,
            Linked::Copper => Some(Alloy::Copper),
            Linked::Aluminium1350 => Some(Alloy::Aluminium1350),
            Linked::Aluminium6063 => Some(Alloy::Aluminium6063),
            Linked::Aluminium6061 => Some(Alloy::Aluminium6061),
            Linked::Brass => Some(Alloy::Brass),
        },
        surface: match row.bar_state {
            _ if row.painted => Surface::Painted,
            BarState::Bright => Surface::Bright,
            BarState::Dull => Surface::Dull,
            BarState::Oxidised => Surface::Oxidised,
            BarState::HeavilyOxidised => Surface::HeavilyOxidised,
        },
        long_m: long_mm / 1000.0,
        wide_mm,
        thick_mm,
        last_years,
        full,
        low,
    }
}

/// What the bank is screwed down with.
pub(super) fn hold(check: &mut Check<'_>, row: &plan::Wiring) -> Hold {
    Hold {
        screws: check.count("wiring/screws", "The hold-down screws", row.screws, 1, 40),
        thread_mm: match row.thread {
            Thread::M6 => 6.0,
            Thread::M8 => 8.0,
            Thread::M10 => 10.0,
        },
        into: match row.into {
            Fixing::Nut => Hole::Nut,
            Fixing::Steel => Hole::Steel,
            Fixing::Aluminium => Hole::Aluminium,
            Fixing::Insert => Hole::Insert,
        },
        stack_mm: check.wired(
            "stack_mm",
            "What a screw clamps",
            Quantity::Length,
            row.stack_mm,
            [1.0, 120.0],
        ),
    }
}
