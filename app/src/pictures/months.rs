//! Months: what comes in on a mean day of each, stacked by source, against what is used.

use super::plot::{Ink, Sheet};
use super::{Picture, Table};
use larder::report::Report;
use larder::words;
use plotters::prelude::*;

const HEIGHT: f64 = 210.0;

/// Draws the months.
pub fn months(report: &Report, width: f64) -> Picture {
    let sheet = Sheet::new(width, HEIGHT);
    // Drawing on our own sheet can't fail; a chart too small to hold its axes stays empty.
    let _ = draw(&sheet, report);
    let short: Vec<String> = report
        .months
        .iter()
        .filter(|month| month.left_wh < 0.0)
        .map(|month| words::month(month.month).to_owned())
        .collect();
    let says = if short.is_empty() {
        "In every month of a year as expected, what comes in covers what is used.".to_owned()
    } else {
        format!(
            "What comes in falls short of what is used in {}.",
            words::list(&short)
        )
    };
    let heads = [
        "month",
        "sun, Wh",
        "driving, Wh",
        "hook-up, Wh",
        "use, Wh",
        "left, Wh",
        "outdoors",
    ];
    let rows = report
        .months
        .iter()
        .map(|month| {
            let figures = [
                month.sun_wh,
                month.alternator_wh,
                month.shore_wh,
                month.use_wh,
                month.left_wh,
            ];
            let mut row = vec![words::month(month.month).to_owned()];
            row.extend(figures.iter().map(|wh| words::whole(*wh)));
            row.push(format!("{} °C", words::whole(month.outdoors_c)));
            row
        })
        .collect();
    Picture {
        svg: sheet.finish(),
        says,
        table: Table {
            heads: heads.map(String::from).to_vec(),
            rows,
        },
    }
}

fn draw(sheet: &Sheet, report: &Report) -> Result<(), Box<dyn std::error::Error>> {
    let root = sheet.clone().into_drawing_area();
    let income =
        |month: &larder::report::Month| month.sun_wh + month.alternator_wh + month.shore_wh;
    let most_used = report.months.iter().map(|m| m.use_wh).fold(1.0, f64::max);
    let most = report
        .months
        .iter()
        .map(income)
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
    for (at, month) in report.months.iter().enumerate() {
        let x = at as f64;
        let mut from = 0.0;
        for (wh, ink) in [
            (month.sun_wh, Ink::Sun),
            (month.alternator_wh, Ink::Road),
            (month.shore_wh, Ink::Shore),
        ] {
            if wh > 0.0 {
                let to = (from + wh).min(most);
                let style = ink.color().filled();
                chart.draw_series([Rectangle::new([(x + 0.14, from), (x + 0.86, to)], style)])?;
                from = to;
            }
        }
        let line = [(x, month.use_wh), (x + 1.0, month.use_wh)];
        chart.draw_series(LineSeries::new(line, Ink::Text.color()))?;
        let (px, _) = chart.backend_coord(&(x + 0.5, 0.0));
        let initial: String = words::month(month.month).chars().take(1).collect();
        let class = if month.month == report.month {
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
