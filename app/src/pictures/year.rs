//! Year: a ribbon of 365 days, each as high as the bank's lowest state of charge; short days marked above and coloured.

use super::svg::{Anchor, Svg};
use super::{Picture, Table};
use larder::report::BankYear;
use larder::words;
use std::fmt::Write;

const LEFT: f64 = 56.0;
const TOP: f64 = 14.0;
const RIBBON: f64 = 110.0;
const FOOT: f64 = 22.0;
/// Draws a bank's year; `month_of` is the month of each day, `chosen` the day that is marked.
pub fn year(bank: &BankYear, month_of: &[u8], chosen: usize, width: f64) -> Picture {
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
    // The days that hold are one outline, along the foot where a day is short: 365 columns would be three times as long.
    let (mut held, mut short) = (format!("M{LEFT} {bottom}"), String::new());
    for (day, (soc, unserved)) in bank.lowest_soc.iter().zip(&bank.unserved_wh).enumerate() {
        let (from, end) = (at(day), at(day + 1));
        let (top, mark) = (bottom - (RIBBON * soc).max(1.0), TOP - 10.0);
        let _ = if *unserved > 1e-6 {
            write!(held, "V{bottom}H{end:.1}").and(write!(
                short,
                "M{from:.1} {bottom}V{top:.1}H{end:.1}V{bottom}zM{from:.1} {mark}H{end:.1}v6H{from:.1}z"
            ))
        } else {
            write!(held, "V{top:.1}H{end:.1}")
        };
    }
    held += &format!("V{bottom}z");
    svg.path("fill-bank-fill", &held);
    svg.path("fill-bad", &short);
    // The chosen day, and each month's name under its days.
    let middle = at(chosen) + wide / 2.0;
    svg.line("stroke-text", (middle, TOP - 12.0), (middle, bottom));
    let mut from = 0;
    for days in month_of.chunk_by(|a, b| a == b) {
        if days.len() > 15 {
            let name = words::month(days.first().copied().unwrap_or(1));
            let initial: String = name.chars().take(1).collect();
            let x = at(from + days.len() / 2);
            svg.text("small", x, bottom + 16.0, Anchor::Middle, &initial);
        }
        svg.line("stroke-rule", (at(from), bottom), (at(from), bottom + 5.0));
        from += days.len();
    }
    let lowest = |month: usize| {
        let days = bank.lowest_soc.iter().zip(month_of);
        let days = days.filter(|(_, of)| usize::from(**of) == month + 1);
        days.map(|(soc, _)| *soc).fold(1.0, f64::min) * 100.0
    };
    let rows = bank.short_by_month.iter().enumerate().map(|(month, days)| {
        vec![
            words::month(month as u8 + 1).to_owned(),
            days.to_string(),
            format!("{:.0} %", lowest(month)),
        ]
    });
    Picture {
        svg: svg.finish(),
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

/// Draws for how much of the year the bank stands at each tenth of charge.
pub fn states(bank: &BankYear, width: f64) -> Picture {
    let hours: f64 = bank.hours_at.iter().sum::<f64>().max(1.0);
    let most = bank.hours_at.iter().copied().fold(1.0, f64::max);
    let wide = (width - LEFT - 8.0) / bank.hours_at.len() as f64;
    let is_narrow = wide < 28.0;
    let mut svg = Svg::new(width, TOP + RIBBON + FOOT);
    let bottom = TOP + RIBBON;
    let mut rows = Vec::new();
    for (tenth, held) in bank.hours_at.iter().enumerate() {
        let x = LEFT + tenth as f64 * wide;
        let high = (RIBBON - 16.0) * held / most;
        svg.rect("fill-bank-fill", x + 2.0, bottom - high, wide - 4.0, high);
        let share = format!("{:.0} %", held / hours * 100.0);
        if *held > 0.0 {
            let (x, y) = (x + wide / 2.0, bottom - high - 4.0);
            let label = if is_narrow {
                share.trim_end_matches(" %")
            } else {
                &share
            };
            svg.text("small", x, y, Anchor::Middle, label);
        }
        let (from, to) = (tenth * 10, tenth * 10 + 10);
        // The last would touch the end of the scale.
        if tenth % 2 == 0 && !(is_narrow && tenth == 8) {
            let name = from.to_string();
            svg.text("small", x, bottom + 16.0, Anchor::Middle, &name);
        }
        rows.push(vec![
            format!("{from} to {to} %"),
            format!("{held:.0}"),
            share,
        ]);
    }
    svg.text("small", width - 8.0, bottom + 16.0, Anchor::End, "100 %");
    svg.line("stroke-rule", (LEFT, bottom), (width - 8.0, bottom));
    let low: f64 = bank.hours_at.iter().take(5).sum::<f64>() / hours * 100.0;
    Picture {
        svg: svg.finish(),
        says: format!("The bank stands below half its charge for {low:.0} % of a typical year."),
        table: Table {
            heads: ["state of charge", "hours", "share of the year"]
                .map(String::from)
                .to_vec(),
            rows,
        },
    }
}
