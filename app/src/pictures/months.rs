//! Months: what comes in on a mean day of each, stacked by source, against what is used.

use super::plot::{Ink, Sheet};
use super::{Picture, Table};
use larder::report::{BankYear, Report};
use larder::words;
use plotters::prelude::*;

const HEIGHT: f64 = 210.0;

/// A month's bar: what comes in by source and what is used, a day [Wh].
struct Bar {
    in_wh: [f64; 3],
    used_wh: f64,
}

/// Draws the months as expected.
pub fn months(report: &Report, width: f64) -> Picture {
    let bars: Vec<Bar> = report
        .months
        .iter()
        .map(|month| Bar {
            in_wh: [month.sun_wh, month.alternator_wh, month.shore_wh],
            used_wh: month.use_wh,
        })
        .collect();
    let short: Vec<u8> = report
        .months
        .iter()
        .filter(|month| month.left_wh < 0.0)
        .map(|month| month.month)
        .collect();
    let says = if short.is_empty() {
        "In every month of a year as expected, what comes in covers what is used.".to_owned()
    } else {
        format!(
            "What comes in falls short of what is used {}.",
            words::in_months(&short)
        )
    };
    let moves = report.months.iter().any(|month| !month.places.is_empty());
    let heads = [
        if moves { "month, place" } else { "month" },
        "sun, Wh",
        "engine, Wh",
        "hook-up, Wh",
        "use, Wh",
        "left, Wh",
        "outdoors",
    ];
    let named = |at: usize| {
        let places = report.months.get(at).map_or(&[][..], |month| &month.places);
        let month = words::month(at as u8 + 1);
        match places {
            [only] if only.home => month.to_owned(),
            [] => month.to_owned(),
            places => format!("{month}, {}", words::month_places(places)),
        }
    };
    let more = |at: usize| {
        report.months.get(at).map_or_else(Vec::new, |month| {
            vec![
                words::whole(month.left_wh),
                format!("{} °C", words::whole(month.outdoors_c)),
            ]
        })
    };
    picture(&bars, report.month, width, says, (&heads, &named, &more))
}

/// Draws what a bank and its loads took from each source in a typical year, by month.
pub fn taken(bank: &BankYear, month_of: &[u8], width: f64) -> Picture {
    let months = bank.months.iter().zip(1u8..);
    let bars: Vec<Bar> = months
        .map(|(month, nth)| {
            let days = month_of.iter().filter(|of| **of == nth).count().max(1) as f64;
            Bar {
                in_wh: [
                    (month.sun_wh - month.spilled_wh) / days,
                    month.drive_wh / days,
                    month.shore_wh / days,
                ],
                used_wh: (month.wanted_wh - month.unserved_wh()) / days,
            }
        })
        .collect();
    let of = |nth: usize| -> f64 {
        bars.iter()
            .filter_map(|bar| bar.in_wh.get(nth))
            .sum::<f64>()
    };
    let all = (of(0) + of(1) + of(2)).max(1.0);
    let says = format!(
        "Over a typical year {:.0} % of what is taken comes from the sun, {:.0} % from the engine, {:.0} % from the hook-up.",
        of(0) / all * 100.0,
        of(1) / all * 100.0,
        of(2) / all * 100.0
    );
    let heads = [
        "month",
        "sun, Wh",
        "engine, Wh",
        "hook-up, Wh",
        "used, Wh",
        "lacking, Wh",
    ];
    let more = |at: usize| {
        let days = month_of
            .iter()
            .filter(|of| usize::from(**of) == at + 1)
            .count()
            .max(1);
        let lacking = bank.months.get(at).map_or(0.0, |month| month.unserved_wh());
        vec![words::whole(lacking / days as f64)]
    };
    let named = |at: usize| words::month(at as u8 + 1).to_owned();
    picture(&bars, 0, width, says, (&heads, &named, &more))
}

/// A table's heads, what names a month's row, and its cells beyond what the bars show.
type Columns<'a> = (
    &'a [&'a str],
    &'a dyn Fn(usize) -> String,
    &'a dyn Fn(usize) -> Vec<String>,
);

fn picture(
    bars: &[Bar],
    focus: u8,
    width: f64,
    says: String,
    (heads, named, more): Columns<'_>,
) -> Picture {
    let sheet = Sheet::new(width, HEIGHT);
    // Drawing on our own sheet can't fail; a chart too small to hold its axes stays empty.
    let _ = draw(&sheet, bars, focus);
    let rows = bars
        .iter()
        .enumerate()
        .map(|(at, bar)| {
            let mut row = vec![named(at)];
            row.extend(
                bar.in_wh
                    .iter()
                    .chain([&bar.used_wh])
                    .map(|wh| words::whole(*wh)),
            );
            row.extend(more(at));
            row
        })
        .collect();
    Picture {
        svg: sheet.finish(),
        says,
        table: Table {
            heads: heads.iter().map(|head| (*head).to_owned()).collect(),
            rows,
        },
    }
}

fn draw(sheet: &Sheet, bars: &[Bar], focus: u8) -> Result<(), Box<dyn std::error::Error>> {
    let root = sheet.clone().into_drawing_area();
    let most_used = bars.iter().map(|bar| bar.used_wh).fold(1.0, f64::max);
    let most = bars
        .iter()
        .map(|bar| bar.in_wh.iter().sum())
        .fold(most_used, f64::max)
        .min(most_used * 3.0)
        * 1.08;
    let small = ("sans-serif", 13).into_font().color(&Ink::Second.color());
    let mut chart = ChartBuilder::on(&root)
        .margin_top(10)
        .margin_right(6)
        .set_label_area_size(LabelAreaPosition::Left, 68)
        .set_label_area_size(LabelAreaPosition::Bottom, 24)
        .build_cartesian_2d(0f64..12f64, 0f64..most)?;
    chart
        .configure_mesh()
        .disable_x_mesh()
        .x_labels(0)
        .y_labels(4)
        .y_label_formatter(&|wh| format!("{wh:.0} Wh"))
        .max_light_lines(0)
        .light_line_style(Ink::Hair.color())
        .bold_line_style(Ink::Hair.color())
        .axis_style(Ink::Rule.color())
        .label_style(small.clone())
        .draw()?;
    for (at, bar) in bars.iter().enumerate() {
        let x = at as f64;
        let mut from = 0.0;
        for (wh, ink) in bar.in_wh.iter().zip([Ink::Sun, Ink::Road, Ink::Shore]) {
            if *wh > 0.0 {
                let to = (from + wh).min(most);
                let style = ink.color().filled();
                chart.draw_series([Rectangle::new([(x + 0.14, from), (x + 0.86, to)], style)])?;
                from = to;
            }
        }
        let line = [(x, bar.used_wh), (x + 1.0, bar.used_wh)];
        chart.draw_series(LineSeries::new(line, Ink::Text.color()))?;
        let (px, _) = chart.backend_coord(&(x + 0.5, 0.0));
        let initial: String = words::month(at as u8 + 1).chars().take(1).collect();
        let class = if at + 1 == usize::from(focus) {
            "small strong"
        } else {
            "small"
        };
        sheet.text(
            class,
            px.into(),
            HEIGHT - 8.0,
            super::svg::Anchor::Middle,
            &initial,
        );
    }
    Ok(())
}
