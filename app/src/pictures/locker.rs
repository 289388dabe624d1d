//! Locker, seen from above and to scale: slashed dimension ends, hatch for what stays, cross-hatch for what can move,
//! a dashed ghost for what does not fit.

use super::svg::{Anchor, Svg, text_width};
use super::{Picture, Table};
use larder::fit::{Placement, Verdict};
use larder::plan::{Locker, Units};
use larder::units::Quantity;
use larder::words;

const LEFT: f64 = 46.0;
const TOP: f64 = 40.0;
const BOTTOM: f64 = 34.0;
const RIGHT: f64 = 14.0;
const TALLEST: f64 = 420.0;

/// Draws the locker with the chosen bank in it.
pub fn locker(space: &Locker, verdict: &Verdict, name: &str, units: Units, width: f64) -> Picture {
    let [long, deep, _] = space.inside_mm;
    let ghost = verdict.ghost.as_ref();
    let over_x = ghost
        .map_or(0.0, |g| (g.at_mm[0] + g.size_mm[0] - long).max(0.0))
        .min(long);
    let over_y = ghost
        .map_or(0.0, |g| (g.at_mm[1] + g.size_mm[1] - deep).max(0.0))
        .min(deep);
    let (all_x, all_y) = ((long + over_x).max(1.0), (deep + over_y).max(1.0));
    let scale = ((width - LEFT - RIGHT) / all_x).min(TALLEST / all_y);
    let height = TOP + all_y * scale + BOTTOM;
    let mut svg = Svg::new(width, height);
    // The front lies at the bottom of the sheet.
    let floor = TOP + all_y * scale;
    let x = |mm: f64| LEFT + mm * scale;
    let y = |mm: f64| floor - mm * scale;
    let length = |mm: f64| Quantity::Length.show((mm * 10.0).round() / 10.0, units);

    svg.rect("locker-inside", x(0.0), y(deep), long * scale, deep * scale);
    for thing in &space.obstacles {
        let class = if thing.movable { "movable" } else { "fixed" };
        let [at_x, at_y, at_z] = thing.at_mm;
        let [wide, far, _] = thing.size_mm;
        let overhead = if at_z > 0.0 { " overhead" } else { "" };
        svg.rect("ground", x(at_x), y(at_y + far), wide * scale, far * scale);
        svg.rect(
            &format!("{class}{overhead}"),
            x(at_x),
            y(at_y + far),
            wide * scale,
            far * scale,
        );
    }
    for (at, case) in verdict.arrangement.iter().enumerate() {
        battery(&mut svg, case, at, &x, &y, scale);
    }
    if let Some(ghost) = ghost {
        let [at_x, at_y, _] = ghost.at_mm;
        let [wide, far, _] = ghost.size_mm;
        svg.rect("ghost", x(at_x), y(at_y + far), wide * scale, far * scale);
        svg.label(x(at_x + wide / 2.0), y(at_y + far / 2.0), "no room");
    }
    for thing in &space.obstacles {
        let words = format!(
            "{}, {}",
            thing.name,
            if thing.movable { "can move" } else { "stays" }
        );
        let middle = thing.at_mm[0] + thing.size_mm[0] / 2.0;
        let half = text_width(&words) / 2.0 + 6.0;
        let at = x(middle).clamp(LEFT + half, (width - half).max(LEFT + half));
        svg.label(at, y(thing.at_mm[1] + thing.size_mm[1] / 2.0), &words);
    }
    dimension(
        &mut svg,
        (x(0.0), TOP - 18.0),
        (x(long), TOP - 18.0),
        &length(long),
    );
    dimension(
        &mut svg,
        (LEFT - 16.0, y(deep)),
        (LEFT - 16.0, y(0.0)),
        &length(deep),
    );
    svg.text(
        "small",
        x(long / 2.0),
        floor + 22.0,
        Anchor::Middle,
        "front",
    );

    let verdict_words = words::fit_long(verdict, units);
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut row = |what: String, at: [f64; 3], size: [f64; 3]| {
        rows.push(
            std::iter::once(what)
                .chain(at.iter().chain(&size).map(|mm| length(*mm)))
                .collect(),
        );
    };
    for (at, case) in verdict.arrangement.iter().enumerate() {
        row(format!("battery {}", at + 1), case.at_mm, case.size_mm);
    }
    for thing in &space.obstacles {
        row(thing.name.clone(), thing.at_mm, thing.size_mm);
    }
    let heads = [
        "what",
        "from the left",
        "from the front",
        "from the floor",
        "long",
        "deep",
        "high",
    ];
    Picture {
        svg: svg.finish(true),
        says: format!(
            "The locker from above, {} by {}. {name}: {verdict_words}.",
            length(long),
            length(deep)
        ),
        table: Table {
            heads: heads.map(String::from).to_vec(),
            rows,
        },
    }
}

fn battery(
    svg: &mut Svg,
    case: &Placement,
    at: usize,
    x: &impl Fn(f64) -> f64,
    y: &impl Fn(f64) -> f64,
    scale: f64,
) {
    let [at_x, at_y, _] = case.at_mm;
    let [wide, far, _] = case.size_mm;
    svg.rect("battery", x(at_x), y(at_y + far), wide * scale, far * scale);
    let words = if wide * scale > 86.0 {
        format!("battery {}", at + 1)
    } else {
        format!("{}", at + 1)
    };
    svg.label(x(at_x + wide / 2.0), y(at_y + far / 2.0), &words);
}

/// A dimension line with slashed ends, along x or along y.
fn dimension(svg: &mut Svg, from: (f64, f64), to: (f64, f64), words: &str) {
    svg.line("dimension", from, to);
    for (x, y) in [from, to] {
        svg.line("dimension slash", (x - 4.0, y + 4.0), (x + 4.0, y - 4.0));
    }
    let middle = (f64::midpoint(from.0, to.0), f64::midpoint(from.1, to.1));
    if (from.1 - to.1).abs() < 0.1 {
        svg.text(
            "dimension-text",
            middle.0,
            middle.1 - 7.0,
            Anchor::Middle,
            words,
        );
    } else {
        svg.text_upward("dimension-text", middle.0 - 7.0, middle.1, words);
    }
}
