//! Cables, fuses, hold-down and air in words.

use super::{capital, energy, temperature, tidy, whole};
use crate::cable::{Bound, FuseKind, MAY_MOVE, START_S, WITHIN_IN, Withstand};
use crate::plan::Units;
use crate::report::{Carries, Fuse, Part, RunReport, YearHour};
use crate::units::{MM_PER_INCH, Quantity};

/// The pound-force [N] and the pound-force foot [N m], of the pound and the foot of 1959 and standard gravity; the cubic foot [m³].
const N_PER_LBF: f64 = 4.448_22;
const NM_PER_LBF_FT: f64 = 1.355_82;
const M3_PER_FT3: f64 = 0.028_316_8;

/// Least cable of a circuit of alternating current: 1.5 mm² of copper (IEC 60364-5-52, table 52.2), 14 AWG (NEC 310.5); both from
/// memory.
const MAINS_LEAST: (f64, &str) = (1.5, "14");

/// A kind of fuse.
pub fn fuse_kind(kind: FuseKind) -> &'static str {
    match kind {
        FuseKind::Blade => "blade",
        FuseKind::LargeBlade => "large blade",
        FuseKind::Strip => "strip",
        FuseKind::LongStrip => "large strip",
        FuseKind::Terminal => "terminal",
        FuseKind::ClassT => "class T",
        FuseKind::Cylinder => "10 × 38 mm cylinder",
    }
}

/// A current rounded to what is known.
pub fn amperes(a: f64) -> String {
    format!(
        "{} A",
        if a < 10.0 {
            tidy((a * 10.0).round() / 10.0)
        } else {
            whole(a)
        }
    )
}

/// A size of cable; neither of its two units is torn from its figure.
fn size(mm2: f64, awg: &str) -> String {
    format!("{}\u{a0}mm² ({awg}\u{a0}AWG)", tidy(mm2))
}

/// The cable of a run.
pub fn cable(run: &RunReport) -> String {
    let sized = run.sized.as_ref();
    sized.map_or("none of the table".into(), |sized| {
        size(sized.mm2, &sized.awg)
    })
}

pub(super) fn fuse(run: &RunReport) -> String {
    if run.limited {
        "no fuse; two-pole DC isolator".into()
    } else {
        fuse_rating(run.fuse)
    }
}

/// A fuse as it is bought: rating, kind, highest voltage, interrupting rating.
pub fn fuse_rating(fuse: Option<Fuse>) -> String {
    match fuse {
        Some(fuse) => format!(
            "{}\u{a0}A {}, {}\u{a0}V\u{a0}DC, {}",
            tidy(fuse.rating_a),
            fuse_kind(fuse.kind),
            tidy(fuse.most_v),
            kiloamperes(fuse.breaks_a)
        ),
        None => "no standard rating does".into(),
    }
}

/// A fault current in kiloamperes, rounded up to tenths.
pub fn kiloamperes(a: f64) -> String {
    format!("{}\u{a0}kA", tidy((a / 100.0 - 1e-9).ceil() / 10.0))
}

/// Heads of the table of runs.
pub const RUN_HEADS: [&str; 8] = [
    "run",
    "cable",
    "fuse",
    "current",
    "for a moment",
    "length one way",
    "decided by",
    "lost",
];

fn bound(bound: Bound) -> &'static str {
    match bound {
        Bound::Ampacity => "what it carries",
        Bound::Drop => "what it loses",
        Bound::Withstand => "short circuit",
        Bound::Least => "least size for its place",
        Bound::Owned => "there already",
    }
}

/// The table of runs: one row a run, those to single loads last.
pub fn run_rows(carries: &Carries, units: Units) -> Vec<Vec<String>> {
    let row = |run: &RunReport| {
        let lost = run.sized.as_ref().map_or(String::new(), |sized| {
            format!("{:.2} V, {}", sized.drop_v, super::watts(sized.loss_w))
                .replace(" W", "\u{a0}W")
        });
        vec![
            run.name.clone(),
            cable(run),
            fuse(run),
            amperes(run.continuous_a),
            amperes(run.peak_a),
            Quantity::Length.tell(run.length_m * 1000.0, units),
            run.sized
                .as_ref()
                .map_or(String::new(), |sized| bound(sized.bound).into()),
            lost,
        ]
    };
    carries
        .runs
        .iter()
        .chain(&carries.branches)
        .map(row)
        .collect()
}

fn withstand(held: Withstand) -> String {
    match held {
        Withstand::NotChecked => "short circuit not checked, for want of a clearing time".into(),
        Withstand::Cleared { least_mm2, far_s } => format!(
            "a short circuit asks for {least_mm2:.1} mm² (√(I²t)/k, IEC 60364-4-43) and at the far end is cleared in {} s",
            if far_s < 0.01 {
                "less than 0.01".to_owned()
            } else {
                format!("{far_s:.2}")
            }
        ),
        Withstand::TooSlow { least_mm2 } => format!(
            "a short circuit asks for {least_mm2:.1} mm², and at the far end isn't surely cleared within 5 s"
        ),
    }
}

fn weakest(part: Option<Part>) -> &'static str {
    match part {
        Some(Part::Fuse) => "the fuse is the weakest part, as it should be",
        Some(Part::Cable) => "the cable is the weakest part, weaker than its fuse",
        Some(Part::Link) => "the link bar is the weakest part, weaker than the fuse",
        None => "nothing protects it",
    }
}

/// Why a run is as it is; `hours` are those of a typical year, where they are there.
pub fn run_working(run: &RunReport, hours: Option<&[YearHour]>, units: Units) -> String {
    let Some(sized) = &run.sized else {
        return format!(
            "{}: {} ({}).",
            run.name,
            amperes(run.continuous_a),
            run.from
        );
    };
    let about = |wh: f64| energy((wh / 100.0).round() * 100.0);
    let by_hours = hours.and_then(|hours| run.lost_by_hours_wh(hours));
    let year = match by_hours.filter(|wh| *wh < run.loss_wh_year) {
        _ if run.loss_wh_year < 50.0 => String::new(),
        Some(wh) => format!(
            ", some {} in a year by its hours, {} at the most",
            about(wh),
            about(run.loss_wh_year)
        ),
        None => format!(", {} in a year at the most", about(run.loss_wh_year)),
    };
    let left = sized.ampacity_a / sized.table_a;
    let placed = if left < 0.999 {
        format!(
            ": {} × {left:.2} for its metal, its air, what lies beside it",
            amperes(sized.table_a)
        )
    } else {
        String::new()
    };
    let start = if run.peak_a > 1.01 * run.continuous_a && run.start_held {
        format!(
            "; its fuse stays whole at {} for {START_S} s",
            amperes(run.peak_a)
        )
    } else {
        String::new()
    };
    format!(
        "{}: {} ({}) × 1.25 = {}{start}; {} AWG with insulation for {} °C carries {} (33 CFR 183.425{placed}); {:.2} V of {:.2} V allowed is lost{year}, by the formula in circular mils {:.1} mm² would do; the metal comes to {}; {}; {} decides; {}.",
        run.name,
        amperes(run.continuous_a),
        run.from,
        amperes(1.25 * run.continuous_a),
        sized.awg,
        tidy(run.insulation_c),
        amperes(sized.ampacity_a),
        sized.drop_v,
        run.allowed_v,
        sized.formula_mm2,
        temperature(sized.warm_c, units),
        if run.limited {
            "a short circuit is no more than that current".into()
        } else {
            format!(
                "short circuit {} where its fuse stands, at least {} at the far end; {}",
                kiloamperes(run.fault_a),
                amperes(run.far_fault_a.unwrap_or(0.0)),
                withstand(sized.withstand)
            )
        },
        bound(sized.bound),
        if run.limited {
            "the panels give no more than it carries, so it needs no fuse"
        } else {
            weakest(run.weakest)
        }
    )
}

/// How far from its source a fuse may stand, as it is measured: whole inches, or tens of millimetres below them.
pub(super) fn within(inches: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} mm", whole((inches * MM_PER_INCH / 10.0).floor() * 10.0)),
        Units::Imperial => format!("{} in", tidy(inches)),
    }
}

/// A force; the pound-force is 4.448 N (the pound's weight at 9.80665 m/s²).
pub(super) fn force(newtons: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} N", whole(newtons)),
        Units::Imperial => format!("{} lbf", whole(newtons / N_PER_LBF)),
    }
}

/// Where the fuses stand and what they must break.
pub fn fault_line(carries: &Carries, units: Units) -> String {
    let [plain_in, sheathed_in, _] = WITHIN_IN;
    let Some(main) = carries.runs.first() else {
        return String::new();
    };
    format!(
        "Short circuit at the bank: up to {}. The main fuse breaks at least {} and is rated for at least {} V DC. Each fuse stands within {} of its source along the cable, or {} in a full sheath (33 CFR 183.455). A cable between two sources, as from the alternator, has one at each end. {}Fuse data and clearing times are from memory or assumed: check the maker's sheet.",
        kiloamperes(main.fault_a),
        kiloamperes(main.must_break_a),
        whole(carries.charging_v.ceil()),
        within(plain_in, units),
        within(sheathed_in, units),
        carries.spark_mm().map_or(String::new(), |spark_mm| format!(
            "Within {} of the battery's vents a fuse, holder or switch is sealed or ignition-protected. ",
            about_apart(spark_mm, units)
        ))
    )
}

/// The short circuit at the bank and what its main fuse must be, in short.
pub(super) fn main_fuse_line(carries: &Carries) -> String {
    carries.runs.first().map_or(String::new(), |main| {
        format!(
            "Up to {} at the bank. The main fuse breaks at least {}, for at least {} V DC.",
            kiloamperes(main.fault_a),
            kiloamperes(main.must_break_a),
            whole(carries.charging_v.ceil())
        )
    })
}

/// The second conductor of every run, in short.
pub(super) const RETURN_LINE: &str =
    "Each run is a pair of the size shown. Chassis or hull is never a return conductor.";

/// The second conductor of every run.
pub const NEGATIVE_LINE: &str = "Every run has two conductors of the size shown: positive, and negative back to the negative bar. The chassis or the hull is never a return conductor.";

/// What switches each source off.
pub fn isolator_line(carries: &Carries) -> String {
    let Some(main) = carries.runs.first() else {
        return String::new();
    };
    let volts = whole(carries.charging_v.ceil());
    let bank = format!(
        "Main isolator: rated to break at least {} at {volts} V DC.",
        amperes(1.25 * main.continuous_a)
    );
    let Some(panels) = carries.panels() else {
        return bank;
    };
    format!(
        "{bank} Panels: a two-pole DC isolator for at least {}, rated for their highest voltage.",
        amperes(panels.continuous_a)
    )
}

/// A distance from a battery, rounded up.
fn about_apart(mm: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} mm", whole(mm.ceil())),
        Units::Imperial => format!("{} in", whole((mm / MM_PER_INCH).ceil())),
    }
}

/// Alternating current behind the inverter; empty without one.
pub fn mains_line(carries: &Carries, units: Units, branch_mm: f64) -> String {
    let Some(mains) = &carries.mains else {
        return String::new();
    };
    let each = mains.branches.iter();
    let each: Vec<String> = each
        .map(|(name, current_a)| format!("{name} {}", amperes(*current_a)))
        .collect();
    let circuit = match (mains.breaker_a, &mains.sized) {
        (Some(breaker_a), Some(sized)) => {
            let (mm2, awg) = if sized.mm2 < MAINS_LEAST.0 {
                MAINS_LEAST
            } else {
                (sized.mm2, sized.awg.as_str())
            };
            format!(
                "one circuit for all that the inverter gives, {}, has a breaker of {} A (IEC 60898-1) and {} of copper, which loses {:.1} V over {}",
                amperes(mains.rated_a),
                tidy(breaker_a),
                size(mm2, awg),
                sized.drop_v,
                Quantity::Length.tell(branch_mm, units)
            )
        }
        _ => "it is divided among several circuits".to_owned(),
    };
    format!(
        "Behind the inverter, at {} V: {}. As a proposal, {circuit}, behind residual-current protection of 30 mA. An inverter gives too little into a short circuit to trip a breaker at once and must switch itself off. Alternating current kills: this wiring is for a licensed trade.",
        tidy(mains.volts),
        super::list(&each)
    )
}

/// What holds the bank down.
pub fn holding_line(carries: &Carries, units: Units) -> String {
    let hold = &carries.holding;
    let enough = hold.bolts_hold_n >= hold.along_n;
    let screws = hold.screw.map_or("screws".to_owned(), |screw| {
        format!("M{} screws", tidy(screw.thread_mm))
    });
    format!(
        "{} pull with {} along and {} across. {} {screws} of class 8.8 hold {}{}. A boat's rule asks for {} in each direction, moving no more than {} in (33 CFR 183.420) or {} mm (ISO 10133). What they are screwed into is the weaker part, and can't be checked here.",
        super::mass(hold.mass_kg, units),
        force(hold.along_n, units),
        force(hold.across_n, units),
        capital(&super::number(hold.screws)),
        force(hold.bolts_hold_n, units),
        if enough {
            ""
        } else {
            ", which is too little: take more or thicker ones"
        },
        force(hold.pull_test_n, units),
        tidy(MAY_MOVE.0),
        tidy(MAY_MOVE.1)
    )
}

/// The screws' holes and lengths.
pub fn screw_line(carries: &Carries, units: Units) -> String {
    let hold = &carries.holding;
    let Some(screw) = &hold.screw else {
        return String::new();
    };
    let mm = |mm: f64| match units {
        Units::Metric => format!("{} mm", tidy((mm * 10.0).round() / 10.0)),
        Units::Imperial => format!("{} in", tidy((mm / MM_PER_INCH * 1000.0).round() / 1000.0)),
    };
    let tapped = screw.drill_mm.map_or(String::new(), |drill| {
        format!(", {} drill where the thread is tapped", mm(drill))
    });
    let length = match screw.length_mm {
        Some(length) => format!("M{} × {}", tidy(screw.thread_mm), tidy(length)),
        None => "none as long as that is sold; lessen the stack".into(),
    };
    format!(
        "Holes: {} clear (ISO 273){tapped}, no nearer to an edge than {} from their middle. Parts, washers of {} and {} of thread make {}: {length}. Drawn up, one pulls {} with about {} dry; the maker's torque comes first. An insert's hole is its maker's. A strap over the cases would need {} at each end to hold half a g by friction alone: more than a case should bear, so put stops at its foot.",
        mm(screw.clearance_mm),
        mm(screw.edge_mm),
        mm(screw.washers_mm),
        mm(screw.engagement_mm),
        mm(screw.least_mm),
        force((screw.preload_n / 100.0).round() * 100.0, units),
        match units {
            Units::Metric => format!("{} N m", tidy(screw.torque_nm.round())),
            Units::Imperial => format!("{} lbf ft", whole(screw.torque_nm / NM_PER_LBF_FT)),
        },
        force((hold.strap_n / 10.0).round() * 10.0, units)
    )
}

/// The air that the bank needs.
pub fn air_line(carries: &Carries, units: Units) -> String {
    match &carries.air {
        Some(air) => format!(
            "It gives off gas: {} of air an hour, an opening of {} low and another high, to the outside and never into a sleeping space; nothing that can spark within {} of its vents unless sealed or ignition-protected (IEC 62485-2). Beside petrol or gas every part is ignition-protected (33 CFR 183.410, ISO 8846).",
            match units {
                Units::Metric => format!("{} m³", tidy((air.flow_m3_h * 100.0).round() / 100.0)),
                Units::Imperial => format!("{} ft³", tidy((air.flow_m3_h / M3_PER_FT3).ceil())),
            },
            match units {
                Units::Metric => format!("{} cm²", whole(air.opening_cm2.ceil())),
                Units::Imperial => {
                    let in2 = air.opening_cm2 * 100.0 / (MM_PER_INCH * MM_PER_INCH);
                    format!("{} in²", tidy((in2 * 10.0).ceil() / 10.0))
                }
            },
            about_apart(air.spark_mm, units)
        ),
        None => "It gives off no gas in use; its manager must be able to cut it out, and its maker says what air it wants.".into(),
    }
}
