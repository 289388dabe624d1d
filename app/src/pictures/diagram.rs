//! One-line diagram: the bank at the top, its fuse and switch beneath, then the bus bars with all that hangs on them. Symbols after
//! IEC 60617, drawn anew; one line stands for plus and minus together.

use super::svg::{Anchor, Svg};
use super::{Picture, Table};
use larder::plan::{LinkKind, Units};
use larder::report::{Carries, Report, RunReport};
use larder::units::Quantity;
use larder::words;

/// Where the bars stand, from the left [px].
const SPINE: f64 = 26.0;
/// How far the panel's own bar stands to the right of them.
const DEEPER: f64 = 26.0;
/// Between two lines of text.
const LINE: f64 = 16.0;
/// About how wide a letter is at 12.5 px.
const LETTER: f64 = 6.9;
/// From a bar to the middle of the symbol at the end of its run.
const REACH: f64 = 74.0;

/// What stands at the end of a run.
#[derive(Clone, Copy, PartialEq)]
enum End {
    Inverter,
    Charger,
    Converter,
    Sun,
    Generator,
    Panel,
    Load,
}

struct Drawing {
    svg: Svg,
    width: f64,
    y: f64,
}

impl Drawing {
    /// Words in a block at the right of a point, as wide as the sheet allows; how high it is.
    fn words(&mut self, x: f64, top: f64, name: &str, pieces: &[String]) -> f64 {
        let lines = packed(name, pieces, self.width - x - 4.0);
        for (at, (class, line)) in lines.iter().enumerate() {
            let y = top + LINE * (at as f64 + 1.0) - 3.0;
            self.svg.text(class, x, y, Anchor::Start, line);
        }
        LINE * lines.len() as f64
    }

    /// A fuse on a line along x.
    fn fuse_along(&mut self, x: f64, y: f64) {
        self.svg.rect("symbol", x - 11.0, y - 5.0, 22.0, 10.0);
        self.svg.line("wire", (x - 11.0, y), (x + 11.0, y));
    }

    /// A fuse on a line down.
    fn fuse_down(&mut self, x: f64, y: f64) {
        self.svg.rect("symbol", x - 5.0, y - 11.0, 10.0, 22.0);
        self.svg.line("wire", (x, y - 11.0), (x, y + 11.0));
    }

    fn end(&mut self, end: End, x: f64, y: f64) {
        let svg = &mut self.svg;
        let (left, top) = (x - 14.0, y - 14.0);
        match end {
            End::Inverter | End::Charger | End::Converter => {
                svg.rect("symbol", left, top, 28.0, 28.0);
                svg.line("symbol-line", (left, y + 14.0), (x + 14.0, top));
                let dc = |svg: &mut Svg, x: f64, y: f64| {
                    svg.line("symbol-line", (x - 5.0, y - 2.0), (x + 5.0, y - 2.0));
                    svg.path(
                        "symbol-line",
                        &format!("M{} {}h2.6m1.1 0h2.6m1.1 0h2.6", x - 5.0, y + 2.0),
                    );
                };
                let ac = |svg: &mut Svg, x: f64, y: f64| {
                    svg.path("symbol-line", &format!("M{} {y}q2.5 -5 5 0t5 0", x - 5.0));
                };
                if end == End::Charger {
                    ac(svg, x + 7.0, y + 8.0);
                } else {
                    dc(svg, x - 7.0, y - 7.0);
                }
                match end {
                    End::Inverter => ac(svg, x + 7.0, y + 8.0),
                    End::Charger => dc(svg, x - 7.0, y - 7.0),
                    _ => dc(svg, x + 7.0, y + 7.0),
                }
            }
            End::Sun => {
                // A photovoltaic generator: cells with two arrows of light coming in.
                svg.rect("symbol", left, top, 28.0, 28.0);
                svg.line("symbol-line", (x - 3.0, y - 2.0), (x - 3.0, y + 10.0));
                svg.line("symbol-line", (x + 3.0, y + 1.0), (x + 3.0, y + 7.0));
                svg.line("symbol-line", (left, y + 4.0), (x - 3.0, y + 4.0));
                svg.line("symbol-line", (x + 3.0, y + 4.0), (x + 14.0, y + 4.0));
                for by in [0.0, 7.0] {
                    svg.path(
                        "symbol-line",
                        &format!("M{} {}l6 6m-3.5 0h3.5v-3.5", left + 2.0 + by, top + 2.0),
                    );
                }
            }
            End::Generator => {
                svg.circle("symbol", x, y, 14.0);
                svg.text("symbol-letter", x, y + 5.0, Anchor::Middle, "G");
            }
            End::Panel => svg.rect("panel-bar", x - 14.0, top, 6.0, 28.0),
            End::Load => {
                svg.rect("symbol", left, y - 8.0, 28.0, 16.0);
            }
        }
    }

    /// A run from a bar to its end, with its fuse and its words.
    fn run(&mut self, bar: f64, end: End, name: &str, pieces: &[String]) {
        let x = bar + REACH;
        let lines = packed(name, pieces, self.width - x - 22.0 - 4.0).len() as f64;
        let high = (LINE * lines + 10.0).max(40.0);
        let y = self.y + high / 2.0;
        self.svg.circle("wire-dot", bar, y, 3.5);
        self.svg.line("wire", (bar, y), (x - 14.0, y));
        self.fuse_along(bar + 31.0, y);
        self.end(end, x, y);
        let top = y - LINE * lines / 2.0;
        self.words(x + 22.0, top, name, pieces);
        self.y += high;
    }
}

/// Lines no wider than there is room: the name, then the pieces joined while they fit. A piece too long is broken at a blank.
fn packed(name: &str, pieces: &[String], room: f64) -> Vec<(&'static str, String)> {
    let most = ((room / LETTER) as usize).max(8);
    let mut lines: Vec<(&'static str, String)> = Vec::new();
    for line in broken(name, most) {
        lines.push(("strong small-strong", line));
    }
    let mut open = String::new();
    for piece in pieces.iter().filter(|piece| !piece.is_empty()) {
        let joined = if open.is_empty() {
            piece.clone()
        } else {
            format!("{open} · {piece}")
        };
        if joined.chars().count() <= most {
            open = joined;
            continue;
        }
        if !open.is_empty() {
            lines.push(("small", std::mem::take(&mut open)));
        }
        let mut rest = broken(piece, most);
        open = rest.pop().unwrap_or_default();
        lines.extend(rest.into_iter().map(|line| ("small", line)));
    }
    if !open.is_empty() {
        lines.push(("small", open));
    }
    lines
}

/// Text in lines of so many letters, broken at blanks; one word too long for a line is cut.
fn broken(text: &str, most: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let mut word = word;
        while let Some(last) = lines.last_mut() {
            let free = most.saturating_sub(last.chars().count() + usize::from(!last.is_empty()));
            if word.chars().count() <= free {
                if !last.is_empty() {
                    last.push(' ');
                }
                last.push_str(word);
                break;
            }
            if last.is_empty() {
                let cut = word
                    .char_indices()
                    .nth(most)
                    .map_or(word.len(), |(at, _)| at);
                let (head, tail) = word.split_at(cut);
                last.push_str(head);
                word = tail;
                if word.is_empty() {
                    break;
                }
            }
            lines.push(String::new());
        }
    }
    lines.retain(|line| !line.is_empty());
    lines
}

fn pieces(carries: &Carries, run: &RunReport, units: Units) -> Vec<String> {
    let none = if run.limited {
        "needs no fuse"
    } else {
        "no fuse does"
    };
    let fuse = run.fuse.map_or(none.into(), |fuse| {
        format!(
            "fuse {} A, {}",
            larder::units::tidy(fuse.rating_a),
            words::fuse_kind(fuse.kind)
        )
    });
    let panels = carries
        .sun_fuse
        .filter(|_| run.field == "wiring/sun_mm")
        .map_or(String::new(), |own| {
            let rating = own.fuse.map_or("none does".into(), |fuse| {
                format!("{} A", larder::units::tidy(fuse.rating_a))
            });
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
        Quantity::Length.show(run.length_m * 1000.0, units),
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
        "wiring/loads_mm" => End::Panel,
        _ => End::Load,
    }
}

/// Draws the plan's diagram.
pub fn diagram(report: &Report, link: LinkKind, units: Units, width: f64) -> Option<Picture> {
    let bank = report.chosen_bank()?;
    let carries = &report.carries;
    let first = carries.runs.first()?;
    let mut tall = 0.0;
    // Laid out twice: the first time only to know how high it is.
    for pass in 0..2 {
        let mut drawing = Drawing {
            svg: Svg::new(width, tall),
            width,
            y: 8.0,
        };
        draw(&mut drawing, report, link, units);
        tall = drawing.y + 8.0;
        if pass == 1 {
            let name = words::bank_name(bank);
            let hung: Vec<String> = carries
                .runs
                .iter()
                .skip(1)
                .filter(|run| !run.limited)
                .map(|run| {
                    format!(
                        "{} through {}",
                        run.name,
                        pieces(carries, run, units).join(", ")
                    )
                })
                .collect();
            let rows = carries.runs.iter().chain(&carries.branches).map(|run| {
                std::iter::once(run.name.clone())
                    .chain(pieces(carries, run, units))
                    .collect()
            });
            return Some(Picture {
                svg: drawing.svg.finish(),
                says: format!(
                    "One-line diagram. {name}, then {}, the main switch and the bus bars. On them: {}. From the load panel {}.",
                    pieces(carries, first, units).join(", "),
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
            });
        }
    }
    None
}

fn draw(drawing: &mut Drawing, report: &Report, link: LinkKind, units: Units) {
    let (Some(bank), Some(first)) = (report.chosen_bank(), report.carries.runs.first()) else {
        return;
    };
    let carries = &report.carries;
    let x = SPINE;
    // The bank: long plates plus, short ones minus; the minus goes back to the minus bar.
    let top = drawing.y;
    let mut about = vec![format!("{} V", larder::units::tidy(report.volts))];
    if let Some(fuse) = carries.string_fuse {
        about.push(fuse.fuse.map_or("no string fuse does".into(), |own| {
            format!(
                "fuse {} A for each string",
                larder::units::tidy(own.rating_a)
            )
        }));
    }
    about.push("minus to the minus bar".into());
    let high = drawing.words(x + 24.0, top, &words::bank_name(bank), &about);
    let y = top + 10.0;
    drawing
        .svg
        .text("small", x - 22.0, y + 4.0, Anchor::Start, "\u{2212}");
    drawing
        .svg
        .text("small", x - 22.0, y + 22.0, Anchor::Start, "+");
    for (at, half) in [(0.0, 6.0), (6.0, 12.0), (12.0, 6.0), (18.0, 12.0)] {
        let class = if half > 8.0 { "wire" } else { "wire thick" };
        drawing
            .svg
            .line(class, (x - half, y + at), (x + half, y + at));
    }
    let start = y + 18.0;
    drawing.y = (top + high).max(start) + 6.0;
    // What comes straight to the bank.
    let engine = |run: &&RunReport| run.field == "wiring/engine_mm";
    let mut bar_top = start;
    if let Some(run) = carries.runs.iter().find(engine) {
        drawing.run(
            x,
            end_of(run, link),
            &run.name,
            &pieces(carries, run, units),
        );
    }
    // Main fuse and switch.
    let block = drawing.y + 8.0;
    let high = drawing.words(
        x + 24.0,
        block,
        "main fuse and switch",
        &pieces(carries, first, units),
    );
    let height = high.max(74.0);
    drawing.svg.line("wire", (x, bar_top), (x, block + 32.0));
    drawing.fuse_down(x, block + 14.0);
    // A switch, open: contact, blade, contact.
    drawing
        .svg
        .line("wire", (x, block + 50.0), (x - 11.0, block + 33.0));
    drawing.svg.circle("wire-dot", x, block + 50.0, 2.5);
    drawing
        .svg
        .line("wire", (x, block + 50.0), (x, block + height + 6.0));
    // Two conductors.
    let both = block + 60.0;
    drawing
        .svg
        .line("symbol-line", (x - 6.0, both + 4.0), (x + 6.0, both - 4.0));
    drawing.y = block + height + 6.0;
    bar_top = drawing.y;
    let name_y = drawing.y + 14.0;
    drawing.svg.text(
        "small",
        x + 10.0,
        name_y,
        Anchor::Start,
        "bus bars, plus and minus",
    );
    drawing.y += 20.0;
    // The panels hang on their controller, not on the bars.
    let on_bars = |run: &&RunReport| !engine(run) && !run.limited;
    for run in carries.runs.iter().skip(1).filter(on_bars) {
        let mut own = pieces(carries, run, units);
        let panels = carries
            .panels()
            .filter(|_| run.field == "wiring/sun_mm")
            .map(|panels| pieces(carries, panels, units));
        if let Some([_, cable, length, ..]) = panels.as_deref() {
            own.push(format!("from the panels {cable}, {length}"));
        }
        drawing.run(x, end_of(run, link), &run.name, &own);
    }
    drawing.svg.line("bus", (x, bar_top), (x, drawing.y));
    // The load panel's own bar, beneath.
    if !carries.branches.is_empty() {
        let bar = x + DEEPER;
        drawing.y += 6.0;
        let top = drawing.y;
        drawing.svg.text(
            "small",
            x,
            top + 12.0,
            Anchor::Start,
            "load panel's branches",
        );
        drawing.y += 20.0;
        for run in &carries.branches {
            drawing.run(bar, End::Load, &run.name, &pieces(carries, run, units));
        }
        drawing.svg.line("bus", (bar, top + 18.0), (bar, drawing.y));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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

    #[test]
    fn lines_are_broken_at_blanks() {
        assert_eq!(broken("large blade fuse", 11), ["large blade", "fuse"]);
        assert_eq!(broken("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(broken("", 3), Vec::<String>::new());
    }
}
