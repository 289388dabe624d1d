//! Year: a ribbon of 365 days, each as high as the bank's lowest state of charge; short days marked above and coloured.

use super::svg::{Anchor, Svg};
use super::{Picture, Table};
use larder::report::BankYear;
use larder::words;

const LEFT: f64 = 56.0;
const TOP: f64 = 14.0;
const RIBBON: f64 = 110.0;
const FOOT: f64 = 22.0;
/// Days before each month of a common year.
const STARTS: [usize; 12] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334];

/// Draws a bank's year.
pub fn year(bank: &BankYear, width: f64) -> Picture {
    let mut svg = Svg::new(width, TOP + RIBBON + FOOT);
    let wide = (width - LEFT - 8.0) / bank.lowest_soc.len().max(1) as f64;
    let at = |day: usize| LEFT + day as f64 * wide;
    let bottom = TOP + RIBBON;
    for percent in [0.0, 50.0, 100.0] {
        let y = bottom - RIBBON * percent / 100.0;
        svg.line("stroke-hair", (LEFT, y), (at(bank.lowest_soc.len()), y));
        svg.text(
            "small",
            LEFT - 8.0,
            y + 4.0,
            Anchor::End,
            &format!("{percent} %"),
        );
    }
    // One path a colour: 365 pieces would be ten times as long.
    let (mut held, mut short) = (String::new(), String::new());
    for (day, (soc, unserved)) in bank.lowest_soc.iter().zip(&bank.unserved_wh).enumerate() {
        let high = (RIBBON * soc).max(1.0);
        let column = format!(
            "M{:.1} {:.1}h{:.2}v{high:.1}h-{:.2}z",
            at(day),
            bottom - high,
            wide * 0.9,
            wide * 0.9
        );
        if *unserved > 1e-6 {
            short += &column;
            short += &format!(
                "M{:.1} {:.1}h{:.2}v6h-{:.2}z",
                at(day),
                TOP - 10.0,
                wide,
                wide
            );
        } else {
            held += &column;
        }
    }
    svg.path("fill-bank-fill", &held);
    svg.path("fill-bad", &short);
    for (month, start) in STARTS.into_iter().enumerate() {
        let initial: String = words::month(month as u8 + 1).chars().take(1).collect();
        svg.text(
            "small",
            at(start + 15),
            bottom + 16.0,
            Anchor::Middle,
            &initial,
        );
        svg.line(
            "stroke-rule",
            (at(start), bottom),
            (at(start), bottom + 5.0),
        );
    }
    let lowest = |month: usize| {
        let from = STARTS.get(month).copied().unwrap_or(0);
        let to = STARTS.get(month + 1).copied().unwrap_or(365);
        let days = bank.lowest_soc.iter().skip(from).take(to - from);
        days.copied().fold(1.0, f64::min) * 100.0
    };
    let rows = bank.short_by_month.iter().enumerate().map(|(month, days)| {
        vec![
            words::month(month as u8 + 1).to_owned(),
            days.to_string(),
            format!("{:.0} %", lowest(month)),
        ]
    });
    Picture {
        svg: svg.finish(false),
        says: format!(
            "A typical year of the chosen bank: {} days short, the lowest state of charge {:.0} %.",
            bank.short_days,
            (0..12).map(lowest).fold(100.0, f64::min)
        ),
        table: Table {
            heads: ["month", "days short", "lowest"].map(String::from).to_vec(),
            rows: rows.collect(),
        },
    }
}
