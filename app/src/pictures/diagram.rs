//! One-line diagram: the bank at the top, its fuse and switch beneath, then the bus bars with all that hangs on them. One line
//! stands for plus and minus together.

use super::svg::Anchor;
use super::symbols::{Drawing, End};
use super::{Picture, Table};
use larder::plan::{LinkKind, Units};
use larder::report::{BankReport, Carries, Report, RunReport};
use larder::units::Quantity;
use larder::words;

/// Where the bars stand, from the left [px].
const SPINE: f64 = 26.0;
/// How far the panel's own bar stands to the right of them.
const DEEPER: f64 = 26.0;
fn pieces(carries: &Carries, run: &RunReport, units: Units) -> Vec<String> {
    let fuse = if run.limited {
        "no fuse; two-pole DC isolator".to_owned()
    } else {
        format!("fuse {}", words::fuse_rating(run.fuse))
    };
    let panels = carries
        .sun_fuse
        .filter(|_| run.field == "wiring/sun_mm")
        .map_or(String::new(), |own| {
            let rating = words::fuse_rating(own.fuse);
            format!("; one for each of {} panels, {rating}", own.count)
        });
    let breaker = carries
        .mains
        .as_ref()
        .filter(|_| run.field == "wiring/inverter_mm")
        .and_then(|mains| Some((mains.volts, mains.breaker_a?)))
        .map_or(String::new(), |(volts, breaker_a)| {
            format!("; behind it a breaker of {breaker_a} A at {volts} V")
        });
    vec![
        fuse + &panels + &breaker,
        words::cable(run),
        Quantity::Length.tell(run.length_m * 1000.0, units),
        words::amperes(run.continuous_a),
    ]
}

fn end_of(run: &RunReport, link: LinkKind) -> End {
    match run.field.as_str() {
        "wiring/inverter_mm" => End::Inverter,
        "wiring/sun_mm" => End::Sun,
        "wiring/engine_mm" if link == LinkKind::DcDc => End::Converter,
        "wiring/engine_mm" => End::Generator,
        "wiring/shore_mm" => End::Charger,
        "wiring/converter_mm" => End::Converter,
        "wiring/loads_mm" => End::Panel,
        _ => End::Load,
    }
}

/// Draws the plan's diagram.
pub fn diagram(report: &Report, link: LinkKind, units: Units, width: f64) -> Option<Picture> {
    let bank = report.chosen_bank()?;
    let carries = &report.carries;
    let first = carries.runs.first()?;
    let mut drawing = Drawing::new(width);
    draw_bank(&mut drawing, report, bank);
    let said = |run: &RunReport| pieces(carries, run, units);
    // What the engine gives comes straight to the bank.
    if let Some(run) = carries.runs.iter().find(|run| run.is_from_engine()) {
        drawing.run(SPINE, end_of(run, link), &run.name, &said(run));
    }
    draw_main(&mut drawing, &said(first));
    draw_bars(&mut drawing, carries, link, &said);
    draw_branches(&mut drawing, carries, &said);
    let hung = carries.runs.iter().skip(1).filter(|run| !run.limited);
    let hung: Vec<String> = hung
        .map(|run| format!("{} through {}", run.name, said(run).join(", ")))
        .collect();
    let rows = carries.runs.iter().chain(&carries.branches);
    let rows = rows.map(|run| std::iter::once(run.name.clone()).chain(said(run)).collect());
    Some(Picture {
        svg: drawing.finish(),
        says: format!(
            "One-line diagram. {}, then {}, the main switch and the bus bars. On them: {}. From the load panel {}.",
            words::bank_name(bank),
            said(first).join(", "),
            if hung.is_empty() {
                "nothing".to_owned()
            } else {
                hung.join("; ")
            },
            words::count(carries.branches.len(), "branch goes out", "branches go out")
        ),
        table: Table {
            heads: ["run", "fuse", "cable", "one way", "largest current"]
                .map(String::from)
                .to_vec(),
            rows: rows.collect(),
        },
    })
}

/// The bank: long plates plus, short ones minus; the minus goes back to the minus bar.
fn draw_bank(drawing: &mut Drawing, report: &Report, bank: &BankReport) {
    let (x, top) = (SPINE, drawing.y);
    let mut about = vec![format!("{} V", larder::units::tidy(report.volts))];
    if let Some(fuse) = report.carries.string_fuse {
        about.push(format!(
            "each string: fuse {}",
            words::fuse_rating(fuse.fuse)
        ));
    }
    about.push("minus to the minus bar".into());
    let high = drawing.words(x + 24.0, top, &words::bank_name(bank), &about);
    let y = top + 10.0;
    let svg = &mut drawing.svg;
    svg.text("small", x - 22.0, y + 4.0, Anchor::Start, "\u{2212}");
    svg.text("small", x - 22.0, y + 22.0, Anchor::Start, "+");
    for (at, half) in [(0.0, 6.0), (6.0, 12.0), (12.0, 6.0), (18.0, 12.0)] {
        let class = if half > 8.0 { "wire" } else { "wire thick" };
        svg.line(class, (x - half, y + at), (x + half, y + at));
    }
    // The line down to the main fuse, past what hangs on it.
    drawing.spine_from = y + 18.0;
    drawing.y = (top + high).max(drawing.spine_from) + 6.0;
}

/// The main fuse and the main switch.
fn draw_main(drawing: &mut Drawing, about: &[String]) {
    let (x, top) = (SPINE, drawing.y + 8.0);
    let high = drawing.words(x + 24.0, top, "main fuse and switch", about);
    let foot = top + high.max(74.0) + 6.0;
    let from = drawing.spine_from;
    drawing.svg.line("wire", (x, from), (x, top + 32.0));
    drawing.fuse_down(x, top + 14.0);
    let svg = &mut drawing.svg;
    // A switch, open: contact, blade, contact.
    svg.line("wire", (x, top + 50.0), (x - 11.0, top + 33.0));
    svg.circle("wire-dot", x, top + 50.0, 2.5);
    svg.line("wire", (x, top + 50.0), (x, foot));
    // Two conductors.
    let both = top + 60.0;
    svg.line("symbol-line", (x - 6.0, both + 4.0), (x + 6.0, both - 4.0));
    drawing.y = foot;
}

/// The bus bars with what hangs on them; the panels hang on their controller.
fn draw_bars(
    drawing: &mut Drawing,
    carries: &Carries,
    link: LinkKind,
    said: &impl Fn(&RunReport) -> Vec<String>,
) {
    let (x, top) = (SPINE, drawing.y);
    let called = "bus bars, plus and minus";
    drawing
        .svg
        .text("small", x + 10.0, top + 14.0, Anchor::Start, called);
    drawing.y += 20.0;
    let on_bars = |run: &&RunReport| !run.is_from_engine() && !run.limited;
    for run in carries.runs.iter().skip(1).filter(on_bars) {
        let mut own = said(run);
        let panels = carries.panels().filter(|_| run.field == "wiring/sun_mm");
        if let Some([_, cable, length, ..]) = panels.map(said).as_deref() {
            own.push(format!("from the panels {cable}, {length}"));
        }
        drawing.run(x, end_of(run, link), &run.name, &own);
    }
    drawing.svg.line("bus", (x, top), (x, drawing.y));
}

/// The load panel's own bar, beneath.
fn draw_branches(
    drawing: &mut Drawing,
    carries: &Carries,
    said: &impl Fn(&RunReport) -> Vec<String>,
) {
    if carries.branches.is_empty() {
        return;
    }
    let (bar, top) = (SPINE + DEEPER, drawing.y + 6.0);
    let called = "load panel's branches";
    drawing
        .svg
        .text("small", SPINE, top + 12.0, Anchor::Start, called);
    drawing.y = top + 20.0;
    for run in &carries.branches {
        drawing.run(bar, End::Load, &run.name, &said(run));
    }
    drawing.svg.line("bus", (bar, top + 18.0), (bar, drawing.y));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pictures::symbols::LETTER;

    const PLANS: [&str; 3] = [
        include_str!("../../../demo-data/orchard-van.larder.json"),
        include_str!("../../../demo-data/estuary-cutter.larder.json"),
        include_str!("../../../demo-data/hill-hut.larder.json"),
    ];

    #[test]
    fn every_run_is_on_it_at_every_width() {
        for text in PLANS {
            let plan = larder::link::from_text(text).unwrap();
            let report = larder::assess(&plan).unwrap();
            for width in [260.0, 330.0, 606.0] {
                let picture = diagram(&report, plan.alternator.link, plan.units, width).unwrap();
                let runs = report.carries.runs.iter().chain(&report.carries.branches);
                assert_eq!(picture.table.rows.len(), runs.clone().count());
                for run in runs.clone().skip(1) {
                    let word = run.name.split(' ').next().unwrap();
                    assert!(picture.svg.contains(word), "{word} at {width}");
                }
                assert!(!picture.svg.contains("style="));
                for line in picture.svg.split("<text ").skip(1) {
                    let x: f64 = line
                        .split("x=\"")
                        .nth(1)
                        .unwrap()
                        .split('"')
                        .next()
                        .unwrap()
                        .parse()
                        .unwrap();
                    let said = line.split('>').nth(1).unwrap().split('<').next().unwrap();
                    let end = x + said.chars().count() as f64 * LETTER;
                    assert!(end <= width + 8.0, "{said} ends at {end} of {width}");
                }
            }
        }
    }

    #[test]
    fn panels_side_by_side_have_their_fuses_on_it() {
        let mut plan = larder::link::from_text(PLANS[0]).unwrap();
        let panel = plan.sun.panels[0].clone();
        let drawn = |plan: &larder::plan::Plan| {
            let report = larder::assess(plan).unwrap();
            diagram(&report, plan.alternator.link, plan.units, 606.0).unwrap()
        };
        assert!(!drawn(&plan).says.contains("for each of"));
        plan.sun.panels.extend([panel.clone(), panel]);
        plan.sun.panels[1].id = 901;
        plan.sun.panels[2].id = 902;
        let picture = drawn(&plan);
        assert!(picture.says.contains("one for each of 3 panels"));
        assert!(picture.svg.contains("each of 3 panels"));
    }
}
