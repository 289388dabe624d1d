//! Day: state of charge in a strip of its own; below it one axis, what comes in upward, what goes out downward.

use super::plot::{Ink, Sheet};
use super::svg::Anchor;
use super::{Picture, Table};
use larder::numeric::order;
use larder::report::{BankReport, Report};
use larder::words;
use plotters::prelude::*;

const STRIP: u32 = 112;
const POWER: u32 = 190;

/// Loads drawn apart; the rest stand together.
const NAMED: usize = 2;

/// What stands below the axis: a name and its hours, largest first, the rest together.
fn layers(report: &Report, names: &[(u32, String)]) -> Vec<(String, [f64; 24], Ink)> {
    let rows: Vec<_> = report
        .needs
        .rows
        .iter()
        .filter(|row| row.in_season && row.kind == larder::plan::DayKind::Parked)
        .collect();
    let largest_first = order(&rows.iter().map(|row| -row.wh).collect::<Vec<_>>());
    let rows = largest_first.into_iter().filter_map(|at| rows.get(at));
    let summed: f64 = report.needs.summed_wh;
    let scale = if summed > 0.0 {
        report.needs.parked_wh / summed
    } else {
        1.0
    };
    let mut rest = report.needs.hourly_w;
    let mut layers = Vec::new();
    for (row, ink) in rows.take(NAMED).zip([Ink::UseFirst, Ink::UseSecond]) {
        let hours = row.hourly_w.map(|w| w * scale);
        for (left, hour) in rest.iter_mut().zip(hours) {
            *left = (*left - hour).max(0.0);
        }
        let name = names
            .iter()
            .find(|(id, _)| *id == row.id)
            .map_or("load", |(_, name)| name.as_str());
        layers.push((name.to_owned(), hours, ink));
    }
    if rest.iter().any(|w| *w > 0.05) {
        let words = if layers.is_empty() {
            "all loads"
        } else {
            "the rest"
        };
        layers.push((words.to_owned(), rest, Ink::UseRest));
    }
    layers
}

/// Draws the day of one bank.
pub fn day(report: &Report, bank: &BankReport, names: &[(u32, String)], width: f64) -> Picture {
    let layers = layers(report, names);
    let sheet = Sheet::new(width, f64::from(STRIP + POWER));
    let shown = Shown {
        starts: 1.0,
        soc: bank.day.iter().map(|hour| hour.soc).collect(),
        volts: Vec::new(),
        reserve: Some(1.0 - bank.depth / bank.cold_factor),
        incoming: vec![(report.parked_sun_w, Ink::Sun)],
        layers,
    };
    // Drawing on our own sheet can't fail; a chart too small to hold its axes stays empty.
    let _ = draw(&sheet, &shown);
    let month = words::month(report.month);
    let ends = bank.day.last().map_or(0.0, |hour| hour.soc * 100.0);
    let lowest = bank.day.iter().map(|hour| hour.soc).fold(1.0, f64::min) * 100.0;
    let heads = ["hour", "state of charge", "in, W", "out, W"]
        .map(String::from)
        .to_vec();
    let row = |(hour, state): (usize, &larder::battery::HourState)| {
        let sun = report.parked_sun_w.get(hour).copied().unwrap_or(0.0);
        let used = report.needs.hourly_w.get(hour).copied().unwrap_or(0.0);
        vec![
            format!("{hour:02}:00"),
            format!("{:.0} %", state.soc * 100.0),
            format!("{sun:.0}"),
            format!("{used:.0}"),
        ]
    };
    Picture {
        svg: sheet.finish(),
        says: format!(
            "A parked day in {month} after a full charge: the bank falls to {lowest:.0} % and ends the day at {ends:.0} %."
        ),
        table: Table {
            heads,
            rows: bank.day.iter().enumerate().map(row).collect(),
        },
    }
}

/// Draws one day of the year that a bank lives through: 24 hours, and the state of charge at the midnight before. `date`
/// names it.
pub fn of_year(day: &larder::report::YearDay, date: &str, width: f64) -> Picture {
    let (hours, starts) = (&day.hours, day.starts_soc);
    let by_hour = |of: fn(&larder::report::YearHour) -> f64| -> [f64; 24] {
        let mut values = hours.iter().map(of);
        std::array::from_fn(|_| values.next().unwrap_or(0.0))
    };
    let (used, lacking) = (by_hour(|h| h.use_w), by_hour(|h| h.unserved_w));
    let mut served = used
        .iter()
        .zip(&lacking)
        .map(|(used, lacking)| used - lacking);
    let served = std::array::from_fn(|_| served.next().unwrap_or(0.0));
    let shown = Shown {
        starts,
        soc: hours.iter().map(|hour| hour.soc).collect(),
        volts: hours.iter().map(|hour| hour.volts).collect(),
        reserve: None,
        incoming: vec![
            (by_hour(|h| h.sun_w), Ink::Sun),
            (by_hour(|h| h.drive_w), Ink::Road),
            (by_hour(|h| h.shore_w), Ink::Shore),
        ],
        layers: vec![
            ("used".to_owned(), served, Ink::UseRest),
            ("lacking".to_owned(), lacking, Ink::UseFirst),
        ],
    };
    let sheet = Sheet::new(width, f64::from(STRIP + POWER));
    // As above: it can't fail.
    let _ = draw(&sheet, &shown);
    let lowest = shown.soc.iter().copied().fold(starts, f64::min) * 100.0;
    let low_v = shown.volts.iter().copied().fold(f64::INFINITY, f64::min);
    let wh: f64 = lacking.iter().sum();
    let short = if wh > 1e-6 {
        format!("; {} Wh are lacking", words::whole(wh))
    } else {
        String::new()
    };
    let heads = [
        "hour",
        "state of charge",
        "V",
        "sun, W",
        "engine, W",
        "hook-up, W",
        "use, W",
        "lacking, W",
    ];
    let row = |hour: &larder::report::YearHour| {
        let watts = [
            hour.sun_w,
            hour.drive_w,
            hour.shore_w,
            hour.use_w,
            hour.unserved_w,
        ];
        let mut row = vec![
            format!("{:02}:00", hour.hour),
            format!("{:.0} %", hour.soc * 100.0),
            format!("{:.2}", hour.volts),
        ];
        row.extend(watts.iter().map(|w| words::whole(*w)));
        row
    };
    Picture {
        svg: sheet.finish(),
        says: format!("{date}: the bank comes down to {lowest:.0} % and {low_v:.1} V{short}."),
        table: Table {
            heads: heads.map(String::from).to_vec(),
            rows: hours.iter().map(row).collect(),
        },
    }
}

/// The names and inks of what the picture shows, for its key.
pub fn key(report: &Report, names: &[(u32, String)]) -> Vec<(String, &'static str)> {
    let used = layers(report, names)
        .into_iter()
        .map(|(name, _, ink)| (name, ink.name()));
    let sun = report
        .parked_sun_w
        .iter()
        .any(|w| *w > 0.05)
        .then(|| ("sun".to_owned(), Ink::Sun.name()));
    used.chain(sun)
        .chain([("state of charge".to_owned(), Ink::BankFill.name())])
        .collect()
}

type Drawn = Result<(), Box<dyn std::error::Error>>;

/// What a day's picture shows.
struct Shown {
    /// State of charge at its start, and at each hour's end, 0 to 1.
    starts: f64,
    soc: Vec<f64>,
    /// Voltage at each hour's end [V]; none where it isn't drawn.
    volts: Vec<f64>,
    reserve: Option<f64>,
    /// Upward, stacked [W].
    incoming: Vec<([f64; 24], Ink)>,
    /// Downward, stacked [W].
    layers: Vec<(String, [f64; 24], Ink)>,
}

fn draw(sheet: &Sheet, shown: &Shown) -> Drawn {
    let root = sheet.clone().into_drawing_area();
    let (strip, power) = root.split_vertically(STRIP);
    let small = ("sans-serif", 13).into_font().color(&Ink::Second.color());

    let top = if shown.volts.is_empty() { 8 } else { 18 };
    let mut chart = ChartBuilder::on(&strip)
        .margin_top(top)
        .margin_right(10)
        .set_label_area_size(LabelAreaPosition::Left, 56)
        .build_cartesian_2d(0f64..24f64, 0f64..100f64)?;
    chart
        .configure_mesh()
        .disable_x_mesh()
        .x_labels(0)
        .y_labels(3)
        .max_light_lines(0)
        .y_label_formatter(&|percent| format!("{percent:.0} %"))
        .light_line_style(Ink::Hair.color())
        .bold_line_style(Ink::Hair.color())
        .axis_style(Ink::Rule.color())
        .label_style(small.clone())
        .draw()?;
    let ends = shown.soc.iter().enumerate();
    let states = std::iter::once((0.0, shown.starts * 100.0))
        .chain(ends.map(|(hour, soc)| (hour as f64 + 1.0, soc * 100.0)));
    chart.draw_series(
        AreaSeries::new(states, 0.0, Ink::BankFill.color().filled())
            .border_style(Ink::Bank.color()),
    )?;
    let in_strip = |share: f64| {
        f64::from(STRIP) - share.clamp(14.0, 84.0) / 100.0 * f64::from(STRIP - top) - 4.0
    };
    if let Some(reserve) = shown.reserve.map(|share| share * 100.0) {
        chart.draw_series(DashedLineSeries::new(
            [(0.0, reserve), (24.0, reserve)],
            4,
            4,
            Ink::Text.color().stroke_width(1),
        ))?;
        let y = in_strip(reserve);
        sheet.text("small", 62.0, y, Anchor::Start, "reserve line");
    }
    // Voltage on a scale of its own, named at its lowest.
    let low = shown.volts.iter().copied().fold(f64::INFINITY, f64::min);
    let high = shown
        .volts
        .iter()
        .copied()
        .fold(f64::NEG_INFINITY, f64::max);
    if high.is_finite() {
        let at = |volts: f64| 20.0 + 60.0 * (volts - low) / (high - low).max(0.5);
        let line = shown.volts.iter().enumerate();
        let line = line.map(|(hour, volts)| (hour as f64 + 1.0, at(*volts)));
        chart.draw_series(LineSeries::new(line, Ink::Text.color()))?;
        let says = format!("voltage, {low:.1} to {high:.1} V");
        sheet.text("small", 62.0, 12.0, Anchor::Start, &says);
    }

    let stacked = |pieces: &mut dyn Iterator<Item = &[f64; 24]>| {
        let mut sums = [0.0f64; 24];
        for hours in pieces {
            for (sum, w) in sums.iter_mut().zip(hours) {
                *sum += w;
            }
        }
        sums.iter().copied().fold(0.0, f64::max)
    };
    let most_in = stacked(&mut shown.incoming.iter().map(|(hours, _)| hours));
    let most_out = stacked(&mut shown.layers.iter().map(|(_, hours, _)| hours));
    let most = (most_in.max(most_out) * 1.08).max(1.0);
    let (low, high) = (
        -(most_out * 1.15).max(most * 0.25),
        (most_in * 1.15).max(most * 0.25),
    );
    let mut chart = ChartBuilder::on(&power)
        .margin_top(14)
        .margin_right(10)
        .set_label_area_size(LabelAreaPosition::Left, 56)
        .set_label_area_size(LabelAreaPosition::Bottom, 24)
        .build_cartesian_2d(0f64..24f64, low..high)?;
    chart
        .configure_mesh()
        .disable_x_mesh()
        .x_labels(0)
        .y_labels(5)
        .y_label_formatter(&|w| format!("{:.0} W", w.abs()))
        .max_light_lines(0)
        .light_line_style(Ink::Hair.color())
        .bold_line_style(Ink::Hair.color())
        .axis_style(Ink::Rule.color())
        .label_style(small)
        .draw()?;
    let at = |hour: f64| chart.backend_coord(&(hour, low)).0;
    // Where it is narrow the last would touch the one before.
    let labelled = if at(24.0) - at(18.0) < 56 { 4 } else { 5 };
    for hour in [0u32, 6, 12, 18, 24].into_iter().take(labelled) {
        let x = at(f64::from(hour));
        let anchor = if hour == 24 {
            Anchor::End
        } else {
            Anchor::Middle
        };
        let y = f64::from(STRIP + POWER) - 8.0;
        sheet.text("small", x.into(), y, anchor, &format!("{hour:02}:00"));
    }
    let gap = 0.06;
    let bar = |hour: usize, from: f64, to: f64, ink: Ink| {
        let x = hour as f64;
        Rectangle::new([(x + gap, from), (x + 1.0 - gap, to)], ink.color().filled())
    };
    let up = shown.incoming.iter().map(|(hours, ink)| (hours, *ink, 1.0));
    let down = shown
        .layers
        .iter()
        .map(|(_, hours, ink)| (hours, *ink, -1.0));
    let mut sums = [[0.0f64; 24]; 2];
    for (hours, ink, sign) in up.chain(down) {
        let [above, below] = &mut sums;
        let from = if sign > 0.0 { above } else { below };
        let pieces: Vec<_> = hours
            .iter()
            .zip(from.iter_mut())
            .enumerate()
            .filter(|(_, (w, _))| **w > 0.05)
            .map(|(hour, (w, from))| {
                let piece = bar(hour, sign * *from, sign * (*from + w), ink);
                *from += w;
                piece
            })
            .collect();
        chart.draw_series(pieces)?;
    }
    chart.draw_series(LineSeries::new(
        [(0.0, 0.0), (24.0, 0.0)],
        Ink::Text.color(),
    ))?;
    Ok(())
}
