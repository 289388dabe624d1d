//! What matters most: each uncertain input as a bar from the days short at its low to those at its high.

use super::svg::{Anchor, Svg, text_width};
use super::{Picture, Table};
use larder::plan::Units;
use larder::report::Doubt;
use larder::words;

/// A line of text, the bar beneath it and the gap after that [px].
const LINE: f64 = 15.0;
const BAR: f64 = 16.0;
const GAP: f64 = 13.0;
const TOP: f64 = 4.0;
const SIDE: f64 = 10.0;

/// Draws them, the one that moves most first, about the days short of the plan as it stands.
pub fn tornado(doubts: &[Doubt], units: Units, width: f64) -> Picture {
    let sorted = words::doubts_sorted(doubts);
    let rows = words::doubt_rows(doubts, units);
    let plain_days = sorted.first().map_or(0.0, |doubt| doubt.plain_days);
    let ends = sorted.iter().flat_map(|doubt| [doubt.low, doubt.high]);
    let most = ends.fold(plain_days.max(1.0), |most, end| most.max(end.short_days));
    let at = |days: f64| SIDE + (width - 2.0 * SIDE) * days / most;
    // Where the page is narrow, an input's name and its range stand on lines of their own.
    let names: Vec<&str> = rows
        .iter()
        .filter_map(|row| row.first())
        .map(String::as_str)
        .collect();
    let room = width - 2.0 * SIDE - 6.0;
    let lines = if names.iter().all(|name| text_width(name) <= room) {
        1
    } else {
        2
    };
    let to_bar = LINE * lines as f64 + 4.0;
    let row_high = to_bar + BAR + GAP - 4.0;
    let bottom = TOP + row_high * sorted.len() as f64;
    let plain = at(plain_days);
    let mut svg = Svg::new(width, bottom + 24.0);
    for (nth, (doubt, name)) in sorted.iter().zip(names).enumerate() {
        let y = TOP + row_high * nth as f64;
        for (line, part) in (1u8..).zip(name.splitn(lines, ": ")) {
            let y = y + LINE * f64::from(line) - 2.0;
            svg.text("small", SIDE + 6.0, y, Anchor::Start, part);
        }
        let (low, high) = (at(doubt.low.short_days), at(doubt.high.short_days));
        let (left, right) = if low < high { (low, high) } else { (high, low) };
        let bar = y + to_bar;
        svg.rect("use-bar", left, bar, (right - left).max(2.0), BAR);
        // The end at the input's low is marked, since less may be better or worse.
        svg.path(
            "stroke-edge",
            &format!("M{low:.1} {:.1}v{}", bar - 2.0, BAR + 4.0),
        );
        // The plan's line leaves the words free.
        svg.line("stroke-bank", (plain, bar - 4.0), (plain, bar + BAR + 4.0));
    }
    let zero = at(0.0);
    svg.path(
        "stroke-rule",
        &format!("M{zero:.1} {TOP:.1}V{bottom:.1}H{:.1}", at(most)),
    );
    svg.text("small", zero, bottom + 16.0, Anchor::Start, "0");
    let end = format!("{most:.0} days short a year");
    svg.text("small", at(most), bottom + 16.0, Anchor::End, &end);
    let first = rows
        .first()
        .and_then(|row| Some((row.first()?, row.get(1)?)));
    Picture {
        svg: svg.finish(),
        says: first.map_or_else(String::new, |(name, days)| {
            format!("What moves the days short a year most is {name}: {days}.")
        }),
        table: Table {
            heads: words::DOUBT_HEADS.map(String::from).to_vec(),
            rows,
        },
    }
}
