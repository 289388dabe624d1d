//! What is wrong with the cables and the fuses: of the runs, of the load panel, of strings side by side.

use super::remarks::{Found, TOUCH_V, add};
use crate::cable::{Bound, Withstand};
use crate::finding::Gravity;
use crate::report::{Carries, PanelFault, Part, RunReport};
use crate::units::tidy;
use crate::words::kiloamperes;

/// DC voltage above which an arc does not go out by itself [V]. Common practice, no source.
const ARC_V: f64 = 32.0;

pub(super) fn whole(value: f64) -> String {
    tidy(value.round())
}

pub(super) fn find(found: &mut Found, carries: &Carries) {
    for run in &carries.runs {
        path(found, run);
    }
    // Loads are many and alike: the first of them that has a fault speaks for all.
    let mut loads = carries.branches.iter().filter_map(|run| {
        let mut own = Found::new();
        path(&mut own, run);
        own.into_iter().next()
    });
    found.extend(loads.next());
    converter(found, carries);
    if let Some(fault) = &carries.panel_fault {
        at_the_panel(found, fault);
    }
    voltage(found, carries);
    joined(found, carries);
}

fn path(found: &mut Found, run: &RunReport) {
    let Some(sized) = &run.sized else {
        add(
            found,
            Gravity::Grave,
            run.field.clone(),
            format!(
                "No cable of the table carries {} A over {} m ({}) within the drop allowed.",
                whole(run.continuous_a),
                tidy(run.length_m),
                run.name
            ),
            "Shorten the run, allow more drop, or lay two cables of one length side by side with a fuse each.",
        );
        return;
    };
    if run.limited {
        return;
    }
    let there = sized.bound == Bound::Owned;
    if run.fuse.is_none() {
        without_fuse(found, run, there.then_some(sized.ampacity_a));
        return;
    }
    if there {
        already_there(found, run);
    }
    start(found, run);
    if matches!(sized.withstand, Withstand::TooSlow { .. }) {
        add(
            found,
            Gravity::Caution,
            run.field.clone(),
            format!(
                "A short circuit at the far end ({}) gives as little as {} A. Its fuse of {} A may not clear that within 5 s.",
                run.name,
                whole(run.far_fault_a.unwrap_or(0.0)),
                fuse_a(run)
            ),
            "Check the fuse maker's curve. Else shorten the run, use a thicker cable, or divide its loads among smaller fuses.",
        );
    }
}

/// Rating of its fuse [A].
fn fuse_a(run: &RunReport) -> String {
    run.fuse.map_or(String::new(), |fuse| tidy(fuse.rating_a))
}

/// `owned_a` is what a cable that is there already carries.
fn without_fuse(found: &mut Found, run: &RunReport, owned_a: Option<f64>) {
    let least_a = 1.25 * run.continuous_a;
    let (says, mend) = match owned_a.filter(|carries_a| least_a > *carries_a) {
        Some(carries_a) => (
            format!(
                "The cable that is there ({}) carries {} A; {} A without a break need a fuse of at least {} A: no standard rating lies between.",
                run.name,
                whole(carries_a),
                whole(run.continuous_a),
                whole(least_a)
            ),
            "Lay a thicker cable, or connect less to it.",
        ),
        None => (
            format!(
                "No standard fuse for {} A ({}) breaks the {} that this bank can give.",
                whole(run.continuous_a),
                run.name,
                kiloamperes(run.must_break_a)
            ),
            "Ask the battery's maker for its short-circuit current and enter it. Else split the bank: each part with its own class T fuse, cable and bus bars.",
        ),
    };
    add(found, Gravity::Grave, run.field.clone(), says, mend);
}

/// A cable that is there already.
fn already_there(found: &mut Found, run: &RunReport) {
    let Some(sized) = &run.sized else { return };
    let mut caution = |gravity, says: String, mend: &str| {
        add(found, gravity, run.field.clone(), says, mend);
    };
    if run.weakest == Some(Part::Cable) {
        caution(
            Gravity::Caution,
            format!(
                "The cable that is there ({}) carries {} A, the next standard fuse is {} A: it is the weakest part. A cable already laid may have the next rating up, to 150 % of what it carries (33 CFR 183.455).",
                run.name,
                whole(sized.ampacity_a),
                fuse_a(run)
            ),
            "A thicker cable would make the fuse the weakest part, as it should be.",
        );
    }
    if sized.drop_v > run.allowed_v {
        caution(
            Gravity::Caution,
            format!(
                "The cable that is there ({}) loses {:.2} V; {:.2} V are allowed.",
                run.name, sized.drop_v, run.allowed_v
            ),
            "Lay a thicker one beside it, shorten it, or allow more.",
        );
    }
    if sized.withstand.least_mm2() > sized.mm2 {
        caution(
            Gravity::Grave,
            format!(
                "In a short circuit the cable that is there ({}) burns before its fuse clears: it would need {:.1} mm².",
                run.name,
                sized.withstand.least_mm2()
            ),
            "Lay a thicker cable, or fit a faster fuse by its maker's curve: the times used here are long ones.",
        );
    }
}

fn start(found: &mut Found, run: &RunReport) {
    if run.start_held {
        return;
    }
    let to_load = run.field == "wiring/branch_mm";
    let (what, mend) = if to_load {
        (
            "lead",
            "Use a slow fuse that its maker allows for this appliance, or one with a soft start.",
        )
    } else {
        (
            "cable",
            "Lay a thicker cable, so that a larger fuse may protect it.",
        )
    };
    add(
        found,
        Gravity::Caution,
        run.field.clone(),
        format!(
            "A start ({}) takes {} A for a moment; the largest fuse that its {what} allows, {} A, may blow.",
            run.name,
            whole(run.peak_a),
            fuse_a(run)
        ),
        mend,
    );
}

/// A converter to 12 V against what runs behind it.
fn converter(found: &mut Found, carries: &Carries) {
    let Some(rating_a) = carries.converter_a else {
        return;
    };
    let runs = carries.runs.iter();
    for panel in runs.filter(|run| run.converted && run.continuous_a > rating_a) {
        add(
            found,
            Gravity::Grave,
            "wiring/converter_a",
            format!(
                "The converter shuts down or overheats: its panel draws {} A at once, it gives {} A.",
                whole(panel.continuous_a),
                tidy(rating_a)
            ),
            "Use a larger converter, or feed large loads straight from the bus bars.",
        );
    }
}

/// A panel at which a blade fuse does not break the fault, and what to do, in the order in which it is better.
fn at_the_panel(found: &mut Found, fault: &PanelFault) {
    let first = fault.feeder.as_ref().map_or(String::new(), |feeder| {
        format!(
            "Feed the panel through at least {} m of {} mm² behind its own fuse: {}. Or use ",
            tidy(feeder.length_m),
            tidy(feeder.mm2),
            kiloamperes(feeder.fault_a)
        )
    });
    let then = if first.is_empty() { "Use " } else { "" };
    add(
        found,
        Gravity::Caution,
        "wiring/loads_mm",
        format!(
            "Blade fuses can burst here: a short circuit at the load panel gives {}, a blade breaks {}.",
            kiloamperes(fault.fault_a),
            kiloamperes(fault.blade_a)
        ),
        format!(
            "{first}{then}the small fuses listed, which break it. Or use a pair of fuses that their makers have tested together: ask them."
        ),
    );
}

/// What the voltage asks of switches and hands.
fn voltage(found: &mut Found, carries: &Carries) {
    let volts = carries.charging_v;
    if volts <= ARC_V {
        return;
    }
    let breakers = carries.runs.first().map_or(0.0, |run| run.must_break_a);
    add(
        found,
        Gravity::Caution,
        "plan/volts",
        format!(
            "Above {ARC_V} V DC an arc burns on: a switch or fuse made for 12 V or AC can catch fire."
        ),
        format!(
            "Use only parts rated for at least {} V DC; main devices break {}. Connect polarised breakers the way round that they are marked.",
            whole(volts.ceil()),
            kiloamperes(breakers)
        ),
    );
    if volts > TOUCH_V {
        add(
            found,
            Gravity::Caution,
            "plan/volts",
            format!(
                "The bank is charged at {volts:.1} V: above {TOUCH_V} V DC touch is dangerous."
            ),
            "Cover every live part, and leave work on it to a licensed electrician.",
        );
    }
}

fn joined(found: &mut Found, carries: &Carries) {
    if let Some(fuse) = carries.string_fuse.filter(|fuse| fuse.fuse.is_none()) {
        add(
            found,
            Gravity::Grave,
            "wiring/take_off",
            format!(
                "No standard fuse for {} A in each string breaks {} and suits the bank's cable.",
                whole(fuse.continuous_a),
                kiloamperes(fuse.must_break_a)
            ),
            "Ask the battery's maker for its short-circuit current and enter it, or use a thicker cable from the bank.",
        );
    }
    if let Some(link) = carries.link
        && let Some(fuse_a) = link.fuse_a.filter(|fuse_a| *fuse_a > link.carries_a)
    {
        add(
            found,
            Gravity::Caution,
            "wiring/link_wide_mm",
            format!(
                "The link bar carries {} A at 30 K, the fuse ahead of it {} A: the bar is the weakest part.",
                whole(link.carries_a),
                tidy(fuse_a)
            ),
            "Take a wider bar, one of better metal, or two on each other.",
        );
    }
    for strings in carries.parallel.iter().filter(|strings| strings.unlike) {
        let join = &strings.joining;
        let grave = join.current_a > join.most_charge_a;
        add(
            found,
            if grave {
                Gravity::Grave
            } else {
                Gravity::Caution
            },
            "wiring/last_years",
            format!(
                "Strings of different age stand side by side: the new ones give up to {} % more than their part, and joined unlike, {} A flow between them at once.",
                whole(100.0 * strings.imbalance),
                whole(join.current_a)
            ),
            "Bring them level first through a limited current, and expect the old one to hold the new ones back.",
        );
    }
}
