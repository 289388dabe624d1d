//! The build sheet, part by part: what to buy, in which order to work, what to measure, what to write down.

use super::carries::{amperes, cable, force, fuse_rating, within};
use super::{sheet, temperature, tidy};
use crate::battery::Chemistry;
use crate::cable::WITHIN_IN;
use crate::plan::{LinkKind, Plan, Units};
use crate::report::{Carries, Report, RunReport};
use crate::units::Quantity;

/// Share added to every length of cable. Common practice, no source.
const MARGIN: f64 = 0.1;

/// One part of the build sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetPart {
    /// Its title.
    pub title: &'static str,
    /// Heads of its table; empty where its rows are names with what they say.
    pub heads: Vec<&'static str>,
    /// Its rows.
    pub rows: Vec<Vec<String>>,
    /// Steps in their order.
    pub steps: Vec<String>,
}

impl SheetPart {
    fn facts(title: &'static str, facts: Vec<(String, String)>) -> Self {
        Self {
            title,
            heads: Vec::new(),
            rows: facts
                .into_iter()
                .map(|(what, says)| vec![what, says])
                .collect(),
            steps: Vec::new(),
        }
    }

    fn table(title: &'static str, heads: &[&'static str], rows: Vec<Vec<String>>) -> Self {
        Self {
            title,
            heads: heads.to_vec(),
            rows,
            steps: Vec::new(),
        }
    }
}

/// The whole sheet.
pub fn build_sheet(plan: &Plan, report: &Report) -> Vec<SheetPart> {
    let rows = all_runs(&report.carries).map(|run| run_row(run, plan));
    vec![
        SheetPart::facts("The answer", sheet(plan, report)),
        SheetPart::table(
            "Runs",
            &["run", "largest current", "one way", "cable", "fuse"],
            rows.collect(),
        ),
        SheetPart::table(
            "To cut and to buy",
            &["what", "size", "how much"],
            to_buy(plan, report),
        ),
        SheetPart::facts("Hold-down, air, alternating current", held(plan, report)),
        SheetPart {
            title: "Order of work",
            heads: Vec::new(),
            rows: Vec::new(),
            steps: order_of_work(plan, report),
        },
        SheetPart::table(
            "First power-up",
            &["with a meter", "expect", "read"],
            checks(plan, report),
        ),
        SheetPart::table(
            "Commissioning record",
            &["what", "written down"],
            record(report),
        ),
    ]
}

fn run_row(run: &RunReport, plan: &Plan) -> Vec<String> {
    vec![
        run.name.clone(),
        amperes(run.continuous_a),
        Quantity::Length.tell(run.length_m * 1000.0, plan.units),
        cable(run),
        super::carries::fuse(run),
    ]
}

/// A row of a table.
fn row(cells: &[&str]) -> Vec<String> {
    cells.iter().map(|cell| (*cell).to_owned()).collect()
}

/// Adds to a tally by name, in the order in which the names first come.
fn tally(all: &mut Vec<(String, f64)>, what: String, amount: f64) {
    match all.iter_mut().find(|(name, _)| *name == what) {
        Some((_, sum)) => *sum += amount,
        None => all.push((what, amount)),
    }
}

fn to_buy(plan: &Plan, report: &Report) -> Vec<Vec<String>> {
    let mut rows = conductors(&report.carries);
    rows.extend(around_the_bank(plan, report));
    rows.extend(screws(&report.carries));
    let sized = |run: &&RunReport| run.sized.is_some();
    let bushings = 2 * all_runs(&report.carries).filter(sized).count();
    let bushings = format!("{bushings}, two a run");
    rows.push(row(&[
        "bushings and chafe guards",
        "to each hole and edge",
        &bushings,
    ]));
    rows.push(row(&[
        "boots over posts and lugs, tie clips",
        match plan.units {
            Units::Metric => "every 450 mm",
            Units::Imperial => "every 18 in",
        },
        "as needed",
    ]));
    rows
}

fn all_runs(carries: &Carries) -> impl Iterator<Item = &RunReport> {
    carries.runs.iter().chain(&carries.branches)
}

/// Cable with its lugs, fuses, connectors, switch and bars.
fn conductors(carries: &Carries) -> Vec<Vec<String>> {
    let (mut cables, mut lugs, mut fuses) = (Vec::new(), Vec::new(), Vec::new());
    for run in all_runs(carries) {
        if run.sized.is_some() {
            let size = cable(run);
            tally(&mut cables, size.clone(), run.length_m * (1.0 + MARGIN));
            // At the panels stand their own connectors.
            tally(&mut lugs, size, if run.limited { 2.0 } else { 4.0 });
        }
        if run.fuse.is_some() {
            // A cable between two sources has a fuse at each end.
            let ends = if run.is_from_engine() { 2.0 } else { 1.0 };
            tally(&mut fuses, fuse_rating(run.fuse), ends);
        }
    }
    let split = [carries.string_fuse, carries.sun_fuse];
    for split in split.into_iter().flatten() {
        tally(&mut fuses, fuse_rating(split.fuse), f64::from(split.count));
    }
    let mut rows = Vec::new();
    for ((size, metres), (_, count)) in cables.into_iter().zip(lugs) {
        let much = format!("{metres:.1} m of each, {} lugs", tidy(count));
        rows.push(row(&["cable, red and black; sleeves", &size, &much]));
    }
    for (size, count) in fuses {
        rows.push(row(&["fuse with holder and cover", &size, &tidy(count)]));
    }
    if carries.panels().is_some() {
        rows.push(row(&[
            "panel connectors, all of one make",
            "as the panels have",
            "a pair each",
        ]));
    }
    if let Some(first) = carries.runs.first() {
        let least = format!("at least {}", amperes(1.25 * first.continuous_a));
        let breaks = format!(
            "{least}, breaks it at {} V DC",
            super::whole(carries.charging_v.ceil())
        );
        rows.push(row(&["main isolator", &breaks, "1"]));
        rows.push(row(&["bus bars with covers", &least, "1 plus, 1 minus"]));
    }
    if let Some(panels) = carries.panels() {
        let least = format!(
            "at least {} at the panels' voltage",
            amperes(panels.continuous_a)
        );
        rows.push(row(&["two-pole DC isolator, panels", &least, "1"]));
    }
    rows
}

/// What joins the batteries and holds them in their place.
fn around_the_bank(plan: &Plan, report: &Report) -> Vec<Vec<String>> {
    let Some(bank) = report.chosen_bank() else {
        return Vec::new();
    };
    let mut rows = Vec::new();
    let between = bank.series.saturating_sub(1) * bank.parallel;
    if between > 0 {
        let count = between.to_string();
        rows.push(row(&["links in the strings", "as from the bank", &count]));
    }
    if bank.parallel > 1 {
        rows.push(links(plan, report, bank.parallel));
    }
    rows.push(row(&[
        "straps or brackets over the cases",
        "as the cases want",
        &bank.count.to_string(),
    ]));
    rows
}

/// The hold-down's screws.
fn screws(carries: &Carries) -> Option<Vec<String>> {
    let screw = carries.holding.screw.as_ref()?;
    let size = screw
        .length_mm
        .map_or("too long to buy".to_owned(), |length| {
            format!("M{} × {}, class 8.8", tidy(screw.thread_mm), tidy(length))
        });
    let count = carries.holding.screws.to_string();
    Some(row(&["hold-down screws, with washers", &size, &count]))
}

fn links(plan: &Plan, report: &Report, strings: u32) -> Vec<String> {
    let star = plan.wiring.take_off == crate::plan::TakeOff::Star;
    let (what, count) = if star {
        ("a string's own cables, all of one length", 2 * strings)
    } else {
        ("links between strings", 2 * (strings - 1))
    };
    let size = match &report.carries.link {
        Some(link) => {
            let [wide, thick, long] = link.size_mm;
            format!(
                "{} × {} × {} mm, {}",
                tidy(wide),
                tidy(thick),
                tidy(long),
                super::alloy(link.alloy)
            )
        }
        None => "cable as from the bank".to_owned(),
    };
    vec![what.to_owned(), size, format!("{count}")]
}

fn held(plan: &Plan, report: &Report) -> Vec<(String, String)> {
    let carries = &report.carries;
    let mut facts = vec![
        (
            "Hold-down".to_owned(),
            super::holding_line(carries, plan.units),
        ),
        ("Screws".to_owned(), super::screw_line(carries, plan.units)),
        ("Air".to_owned(), super::air_line(carries, plan.units)),
        (
            "Short circuit".to_owned(),
            super::carries::main_fuse_line(carries),
        ),
        (
            "Negative".to_owned(),
            super::carries::RETURN_LINE.to_owned(),
        ),
    ];
    if carries.mains.is_some() {
        let says = super::mains_line(carries, plan.units, plan.wiring.branch_mm);
        facts.push(("Alternating current".to_owned(), says));
    }
    for line in super::split_fuses(carries) {
        facts.push(("Fuses".to_owned(), line));
    }
    if let Some(strings) = carries.parallel_of(report.chosen) {
        facts.push(("Before joining".to_owned(), super::joining_line(strings)));
    }
    facts
}

/// When a step is taken: always, or only with gas, with strings side by side, with alternating current, with a relay.
const ALWAYS: u8 = 0;
const GAS: u8 = 1;
const STRINGS: u8 = 2;
const AC: u8 = 4;
const RELAY: u8 = 8;

const STEPS: [(u8, &str); 13] = [
    (
        ALWAYS,
        "Isolate first: shore lead out, engine off and its key away, panels covered, every switch off. Take the minus off any battery that is there, then the plus, and cover both posts.",
    ),
    (
        ALWAYS,
        "No ring, watch or chain; gloves and goggles on; tools taped but for their tips; a second person within call.",
    ),
    (
        ALWAYS,
        "Look behind before you drill: pipes, tanks, cables, skin of the hull or body. Nothing of seats, belts or airbags is touched. Deburr, paint, and put a bushing into every hole.",
    ),
    (
        GAS,
        "Cut the openings for air first, one low and one high, to the outside; every switch, relay, socket and fuse within the distance in which nothing may spark is sealed or ignition-protected.",
    ),
    (
        ALWAYS,
        "Fix trays, stops and brackets; set the cases unwired and pull at them; take them out if in the way.",
    ),
    (
        ALWAYS,
        "Lay the cables in their clips, both ends free; crimp, sleeve, mark. All fuses out, main switch off.",
    ),
    (
        ALWAYS,
        "Join the minus bar to its loads and sources, then the plus bar. Each run's fuse holder stands within {near} of where its current comes from; a cable between two sources, as from the alternator, has one at each end.",
    ),
    (
        STRINGS,
        "Charge each string alone, let it rest, and measure all of them: no more than 0.05 V apart, or bring them level first. Only then set the links.",
    ),
    (
        ALWAYS,
        "At the bank: plus first, with its fuse still out, then minus. Tighten each post to its maker's torque with an insulated tool, grease and cover it at once.",
    ),
    (
        ALWAYS,
        "Cover what a falling tool or sparks may reach. Read each device's polarity before its fuse goes in.",
    ),
    (
        ALWAYS,
        "The main fuse in and the switch on, then the others one by one; after each, look, listen, smell and feel.",
    ),
    (
        AC,
        "Alternating current, from shore or inverter, and its residual-current protection belong to a licensed trade.",
    ),
    (
        RELAY,
        "Try the link with the engine idling, a clamp meter on the cable: no more than the alternator's own limit, and no belt that squeals.",
    ),
];

fn order_of_work(plan: &Plan, report: &Report) -> Vec<String> {
    let carries = &report.carries;
    let mut with = 0;
    for (holds, flag) in [
        (carries.air.is_some(), GAS),
        (carries.parallel_of(report.chosen).is_some(), STRINGS),
        (plan.shore.fitted || report.needs.least_inverter_w > 0.0, AC),
        (
            plan.alternator.fitted && plan.alternator.link == LinkKind::Relay,
            RELAY,
        ),
    ] {
        if holds {
            with |= flag;
        }
    }
    let taken = STEPS.iter().filter(|(when, _)| when & with == *when);
    let near = within(WITHIN_IN[0], plan.units);
    taken
        .map(|(_, says)| says.replace("{near}", &near))
        .collect()
}

/// What one charged battery may read at rest [V]. Lithium iron phosphate: 3.35 to 3.40 V a cell (design range); the others 0.1 V
/// for 12 V either side of the middle (assumed: makers' tables differ by about so much).
fn rested_v(report: &Report, middle_v: f64) -> [f64; 2] {
    let Some(bank) = report.chosen_bank() else {
        return [middle_v; 2];
    };
    let within = match bank.chemistry {
        Chemistry::LithiumIronPhosphate => 0.025 / 3.375,
        _ => 0.1 / 12.0,
    };
    [middle_v * (1.0 - within), middle_v * (1.0 + within)]
}

fn checks(plan: &Plan, report: &Report) -> Vec<Vec<String>> {
    let carries = &report.carries;
    let scale = report.volts / 12.0;
    let series = f64::from(report.chosen_bank().map_or(1, |bank| bank.series.max(1)));
    let [low_v, high_v] = rested_v(report, carries.source_v / series);
    let mut rows = Vec::new();
    let mut expect = |what: &str, expect: &str| rows.push(row(&[what, expect, ""]));
    expect(
        "each battery charged, rested, unjoined",
        &format!("{low_v:.1} to {high_v:.1} V, all within 0.05 V"),
    );
    expect(
        "ohms bar to bar, fuses out, all off",
        "no steady reading near 0",
    );
    expect(
        "across each open fuse holder, all off",
        "0 V; anything more is a load left on or a fault",
    );
    expect(
        "bus bars, main switch on",
        &format!(
            "{:.1} to {:.1} V, plus where it is marked plus",
            low_v * series,
            high_v * series
        ),
    );
    for run in &carries.runs {
        if let Some(sized) = &run.sized {
            let per_amp = 1000.0 * sized.drop_v / run.continuous_a;
            expect(
                &format!("lost there and back: {}", run.name),
                &format!(
                    "{per_amp:.1} mV for each ampere; {:.2} V at {}",
                    sized.drop_v,
                    amperes(run.continuous_a)
                ),
            );
        }
    }
    if plan.shore.fitted {
        expect(
            "bank while the charger runs",
            &format!(
                "{:.1} to {:.1} V, as set",
                plan.shore.float_v.min(plan.shore.boost_v) * scale,
                plan.shore.float_v.max(plan.shore.boost_v) * scale
            ),
        );
    }
    if plan.sun.fitted {
        expect(
            "solar current at noon",
            &format!(
                "no more than {} A; 0 with the panels covered",
                tidy(plan.sun.controller_a)
            ),
        );
    }
    if plan.alternator.fitted {
        expect(
            "bank with the engine running",
            &format!(
                "{:.1} to {:.1} V, as its regulator or charger is set",
                carries.source_v,
                plan.alternator.volts * scale + 0.2
            ),
        );
    }
    let warm = carries
        .runs
        .iter()
        .filter_map(|run| run.sized.as_ref())
        .map(|sized| sized.warm_c)
        .fold(0.0, f64::max);
    expect(
        "every lug and fuse after an hour under load: measure, don't touch",
        &format!(
            "at most {}. More than 10 K above its twin, or above that: switch off and remake the joint",
            temperature(warm, plan.units)
        ),
    );
    expect(
        "pull at each case, all ways",
        &format!(
            "{} move it less than an inch",
            force(carries.holding.pull_test_n, plan.units)
        ),
    );
    rows
}

fn record(report: &Report) -> Vec<Vec<String>> {
    let mut lines = vec![
        "built by, date".to_owned(),
        "checked by (licence), date".to_owned(),
    ];
    if let Some(bank) = report.chosen_bank() {
        for at in 1..=bank.count.min(8) {
            lines.push(format!(
                "battery {at}: serial number, made in, volts at rest"
            ));
        }
    }
    lines.extend(
        [
            "torque of the posts, from the maker's sheet",
            "fuses fitted: place and rating",
            "charger and controller set for",
            "alarms for carbon monoxide and gas tried",
            "differences from this sheet",
        ]
        .map(String::from),
    );
    lines
        .into_iter()
        .map(|what| vec![what, String::new()])
        .collect()
}
