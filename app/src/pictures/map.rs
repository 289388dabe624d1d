//! Sizing map: strings of batteries down, solar watts across, days short a year in the cells; the line of what is borne in
//! bold along the cells' edges, the plan's own place ringed.

use super::svg::{Anchor, Svg};
use super::{Picture, Table};
use larder::report::SizingMap;
use larder::words;
use std::collections::BTreeMap;

const LEFT: f64 = 34.0;
const TOP: f64 = 22.0;
const ROW: f64 = 26.0;
/// A cell narrower than this leaves out every other column.
const NARROW: f64 = 23.0;

/// Days as they stand in a cell.
fn figure(map: &SizingMap, string: usize, watt: usize) -> String {
    match map.days(string, watt) {
        None => "·".to_owned(),
        // A cell of a phone holds two figures; the table has them all.
        Some(days) if days >= 99.5 || map.is_bound(string, watt) => "++".to_owned(),
        Some(days) if days > 0.0 && days < 0.95 => "<1".to_owned(),
        Some(days) => format!("{days:.0}"),
    }
}

/// How dark a cell is, by its days short.
fn shade(days: Option<f64>) -> &'static str {
    match days {
        None => "map-open",
        Some(days) if days < 0.05 => "map-0",
        Some(days) if days < 3.0 => "map-1",
        Some(days) if days < 15.0 => "map-2",
        Some(days) if days < 60.0 => "map-3",
        Some(_) => "map-4",
    }
}

/// Draws a map; strings beyond what may be proposed are hatched.
pub fn map(map: &SizingMap, width: f64) -> Picture {
    let every = if (width - LEFT - 6.0) / (map.watts.len() as f64) < NARROW {
        2
    } else {
        1
    };
    let columns: Vec<usize> = (0..map.watts.len()).step_by(every).collect();
    let wide = (width - LEFT - 6.0) / columns.len().max(1) as f64;
    let bottom = TOP + ROW * map.strings.len() as f64;
    let mut svg = Svg::new(width, bottom + 40.0);
    // One path a shade and one text a row: a cell a piece would take the browser three times as long.
    let mut shades: BTreeMap<&str, String> = BTreeMap::new();
    let mut edge = String::new();
    let mut figures = Vec::new();
    for (row, strings) in map.strings.iter().enumerate() {
        let y = TOP + ROW * row as f64;
        svg.text(
            "small",
            LEFT - 8.0,
            y + 17.0,
            Anchor::End,
            &strings.to_string(),
        );
        let mut cells = Vec::new();
        for (column, watt) in columns.iter().enumerate() {
            let x = LEFT + wide * column as f64;
            let cell = format!(
                "M{x:.1} {y:.1}h{:.1}v{:.1}h-{:.1}z",
                wide - 1.0,
                ROW - 1.0,
                wide - 1.0
            );
            let walled = *strings > map.most_strings;
            let classes = [
                Some(shade(map.days(row, *watt))),
                walled.then_some("map-wall"),
            ];
            for class in classes.into_iter().flatten() {
                *shades.entry(class).or_default() += &cell;
            }
            cells.push((x + wide / 2.0, figure(map, row, *watt)));
            let here = map.keeps(row, *watt);
            let left = column.checked_sub(1).and_then(|before| columns.get(before));
            if left.is_some_and(|left| map.keeps(row, *left) != here) {
                edge += &format!("M{:.1} {:.1}v{ROW}", x - 0.5, y - 0.5);
            }
            if row
                .checked_sub(1)
                .is_some_and(|above| map.keeps(above, *watt) != here)
            {
                edge += &format!("M{:.1} {:.1}h{wide:.1}", x - 0.5, y - 0.5);
            }
        }
        figures.push((y + 17.0, cells));
    }
    // The wall's hatch, last by name, lies over the shades; figures over both.
    for (class, cells) in &shades {
        svg.path(class, cells);
    }
    for (y, cells) in &figures {
        svg.texts("small strong-ink", *y, cells);
    }
    svg.path("stroke-edge", &edge);
    let row = map.strings.iter().position(|n| *n == map.plan_strings);
    if let Some(row) = row {
        // The plan's watts lie between two columns as a rule.
        let last = columns
            .last()
            .and_then(|at| map.watts.get(*at))
            .copied()
            .unwrap_or(1.0);
        let step = last / (columns.len().max(2) - 1) as f64;
        let x = LEFT + wide * (map.plan_watts / step + 0.5);
        let y = TOP + ROW * (row as f64 + 0.5);
        if x < width - 4.0 {
            svg.path(
                "stroke-point",
                &format!("M{:.1} {y:.1}a9 9 0 1 0 18 0a9 9 0 1 0 -18 0", x - 9.0),
            );
        }
    }
    for (column, watt) in columns
        .iter()
        .enumerate()
        .step_by(if wide < 40.0 { 2 } else { 1 })
    {
        let x = LEFT + wide * (column as f64 + 0.5);
        let watts = map.watts.get(*watt).copied().unwrap_or(0.0);
        svg.text(
            "small",
            x,
            bottom + 16.0,
            Anchor::Middle,
            &format!("{watts:.0}"),
        );
    }
    svg.text("small", LEFT - 26.0, 12.0, Anchor::Start, "strings");
    svg.text(
        "small",
        width - 6.0,
        bottom + 34.0,
        Anchor::End,
        "W of solar",
    );
    let heads = std::iter::once("strings".to_owned());
    let heads = heads.chain(map.watts.iter().map(|w| format!("{w:.0} W")));
    let rows = map.strings.iter().enumerate().map(|(row, strings)| {
        let cells = (0..map.watts.len()).map(|watt| match map.days(row, watt) {
            Some(days) if map.is_bound(row, watt) => format!("more than {days:.0}"),
            Some(days) => format!("{days:.1}"),
            None => "open".to_owned(),
        });
        std::iter::once(strings.to_string()).chain(cells).collect()
    });
    Picture {
        svg: svg.finish(),
        says: format!(
            "Days short a year by strings of batteries and watts of solar. {}",
            words::map_says(map)
        ),
        table: Table {
            heads: heads.collect(),
            rows: rows.collect(),
        },
    }
}
