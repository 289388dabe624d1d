//! What matters most: each uncertain input as a bar from the days short at its low to those at its high.

use super::svg::{Anchor, Svg};
use super::{Picture, Table};
use larder::plan::Units;
use larder::report::Doubt;
use larder::words;

const ROW: f64 = 44.0;
const TOP: f64 = 4.0;
const SIDE: f64 = 10.0;

/// Draws them, the one that moves most first, about the days short of the plan as it stands.
pub fn tornado(doubts: &[Doubt], plain_days: f64, units: Units, width: f64) -> Picture {
    let sorted = words::doubts_sorted(doubts);
    let rows = words::doubt_rows(doubts, units);
    let ends = sorted.iter().flat_map(|doubt| [doubt.low, doubt.high]);
    let most = ends.fold(plain_days.max(1.0), |most, end| most.max(end.short_days));
    let at = |days: f64| SIDE + (width - 2.0 * SIDE) * days / most;
    let bottom = TOP + ROW * sorted.len() as f64;
    let mut svg = Svg::new(width, bottom + 24.0);
    for (nth, (doubt, row)) in sorted.iter().zip(&rows).enumerate() {
        let y = TOP + ROW * nth as f64;
        if let Some(name) = row.first() {
            svg.text("small", SIDE + 6.0, y + 13.0, Anchor::Start, name);
        }
        let (low, high) = (at(doubt.low.short_days), at(doubt.high.short_days));
        let (left, right) = if low < high { (low, high) } else { (high, low) };
        svg.rect("use-bar", left, y + 19.0, (right - left).max(2.0), 16.0);
        // The end at the input's low is marked, since less may be better or worse.
        svg.path("stroke-edge", &format!("M{low:.1} {:.1}v20", y + 17.0));
    }
    let plain = at(plain_days);
    svg.line("stroke-bank", (plain, TOP), (plain, bottom));
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
