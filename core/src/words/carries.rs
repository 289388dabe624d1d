//! Cables, fuses, hold-down and air in words.

use super::{list, tidy, whole};
use crate::cable::{Bound, FuseKind};
use crate::plan::Units;
use crate::report::{Carries, RunReport};
use crate::units::Quantity;

/// A kind of fuse.
pub fn fuse_kind(kind: FuseKind) -> &'static str {
    match kind {
        FuseKind::Blade => "blade",
        FuseKind::LargeBlade => "large blade",
        FuseKind::Strip => "strip",
        FuseKind::LongStrip => "large strip",
        FuseKind::Terminal => "terminal",
        FuseKind::ClassT => "class T",
    }
}

fn amperes(a: f64) -> String {
    format!(
        "{} A",
        if a < 10.0 {
            tidy((a * 10.0).round() / 10.0)
        } else {
            whole(a)
        }
    )
}

fn cable(run: &RunReport) -> String {
    match &run.sized {
        Some(sized) => format!("{} mm² ({} AWG)", tidy(sized.mm2), sized.awg),
        None => "none of the table".into(),
    }
}

fn fuse(run: &RunReport) -> String {
    match &run.fuse {
        Some(fuse) => format!("{} A, {}", tidy(fuse.rating_a), fuse_kind(fuse.kind)),
        None => "none of the standard ratings".into(),
    }
}

/// Heads of the table of runs.
pub const RUN_HEADS: [&str; 6] = ["run", "current", "length one way", "cable", "fuse", "lost"];

/// The table of runs: one row a run.
pub fn run_rows(carries: &Carries, units: Units) -> Vec<Vec<String>> {
    let row = |run: &RunReport| {
        let lost = run.sized.as_ref().map_or(String::new(), |sized| {
            format!("{:.2} V, {:.0} W", sized.drop_v, sized.loss_w)
        });
        vec![
            run.name.clone(),
            amperes(run.continuous_a),
            Quantity::Length.show(run.length_m * 1000.0, units),
            cable(run),
            fuse(run),
            lost,
        ]
    };
    carries.runs.iter().map(row).collect()
}

/// Why a run is as it is.
pub fn run_working(run: &RunReport) -> String {
    let Some(sized) = &run.sized else {
        return format!(
            "{}: {} ({}).",
            run.name,
            amperes(run.continuous_a),
            run.from
        );
    };
    let bound = match sized.bound {
        Bound::Ampacity => "what it may carry decides",
        Bound::Drop => "what it may lose decides",
    };
    format!(
        "{}: {} ({}) × 1.25 = {}; {} AWG carries {} (33 CFR 183.425); {bound}; by the formula in circular mils {:.1} mm² would do for the drop.",
        run.name,
        amperes(run.continuous_a),
        run.from,
        amperes(1.25 * run.continuous_a),
        sized.awg,
        amperes(sized.ampacity_a),
        sized.formula_mm2
    )
}

/// Where the fuses stand and what they must break.
pub fn fault_line(carries: &Carries) -> String {
    let fault = carries
        .runs
        .iter()
        .map(|run| run.fault_a)
        .fold(0.0, f64::max);
    format!(
        "The bank can give about {} A into a short circuit; every fuse near it must break that. A fuse stands within 180 mm of its source, within 1 m where the cable is sheathed all the way (33 CFR 183.455). Where batteries stand in parallel, each string has a fuse of its own.",
        whole((fault / 100.0).round() * 100.0)
    )
}

/// What holds the bank down.
pub fn holding_line(carries: &Carries) -> String {
    let hold = &carries.holding;
    let enough = hold.bolts_hold_n >= hold.along_n;
    format!(
        "{} kg pull with {} N along and {} N across. Four M8 bolts of class 8.8 hold {} N{}. A boat's rule asks for {} N in each direction. What they are screwed into is the weaker part, and can't be checked here.",
        tidy(hold.mass_kg),
        whole(hold.along_n),
        whole(hold.across_n),
        whole(hold.bolts_hold_n),
        if enough {
            ""
        } else {
            ", which is too little: take more or thicker ones"
        },
        whole(hold.pull_test_n)
    )
}

/// The air that the bank needs.
pub fn air_line(carries: &Carries) -> String {
    match &carries.air {
        Some(air) => format!(
            "It gives off gas: {} m³ of air an hour, an opening of {} cm² low and another high, to the outside and never into a sleeping space; nothing that sparks within {} mm (IEC 62485-2).",
            tidy((air.flow_m3_h * 100.0).round() / 100.0),
            whole(air.opening_cm2.ceil()),
            whole(air.spark_mm)
        ),
        None => "It gives off no gas in use; its manager must be able to cut it out, and its maker says what air it wants.".into(),
    }
}

/// The cables to buy: metres by size, with a tenth to spare, there and back.
pub fn cut_list(carries: &Carries) -> String {
    let mut sizes: Vec<(f64, f64)> = Vec::new();
    for run in &carries.runs {
        if let Some(sized) = &run.sized {
            let metres = 2.2 * run.length_m;
            match sizes.iter_mut().find(|(mm2, _)| *mm2 == sized.mm2) {
                Some((_, sum)) => *sum += metres,
                None => sizes.push((sized.mm2, metres)),
            }
        }
    }
    let parts: Vec<String> = sizes
        .iter()
        .map(|(mm2, metres)| format!("{:.1} m of {} mm²", metres, tidy(*mm2)))
        .collect();
    list(&parts)
}
