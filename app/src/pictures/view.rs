//! One view of the locker, as a joiner draws it: hatch for what stays, cross-hatch for what can move, slashed dimension
//! ends, a dashed ghost with the overlap tinted, the binding gap marked.

use super::form::{Profile, profile, swept};
use super::svg::{Anchor, Svg, text_width};
use larder::fit::{Box3, Gap, Neighbour, Outcome, Placement, Verdict};
use larder::numeric::order;
use larder::plan::{Locker, Shape, Units};
use larder::units::{Quantity, tidy};
use larder::words;

/// Height of a label [px].
const LABEL_HIGH: f64 = 17.0;

/// From where the locker is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seen {
    /// From above, the front at the foot.
    Above,
    /// From the front.
    Front,
    /// From the right end, the front at the left.
    Right,
}

impl Seen {
    /// The axes across the sheet, up it and toward the eye; whether more is nearer.
    fn axes(self) -> (usize, usize, usize, bool) {
        match self {
            Self::Above => (0, 1, 2, true),
            Self::Front => (0, 2, 1, false),
            Self::Right => (1, 2, 0, true),
        }
    }

    /// What stands beneath it.
    fn title(self) -> &'static str {
        match self {
            Self::Above => "from above, front at the foot",
            Self::Front => "from the front",
            Self::Right => "from the right end",
        }
    }
}

/// One axis of three.
pub fn of(values: &[f64; 3], axis: usize) -> f64 {
    values.get(axis).copied().unwrap_or(0.0)
}

/// A case as a box.
pub fn boxed(one: &Placement) -> Box3 {
    Box3 {
        at_mm: one.at_mm,
        size_mm: one.size_mm,
    }
}

/// A length as the plan shows it.
pub fn length(mm: f64, units: Units) -> String {
    Quantity::Length.tell(mm, units)
}

/// What is drawn, and with what around it.
pub struct Drawn<'a> {
    /// The space.
    pub space: &'a Locker,
    /// What was found.
    pub verdict: &'a Verdict,
    /// Units of the words.
    pub units: Units,
    /// Pixels a millimetre.
    pub scale: f64,
    /// How far the drawing reaches on each axis, the ghost with it [mm].
    pub reach: [f64; 3],
    /// Distance from a battery within which nothing may spark; none where it gives off no gas [mm].
    pub spark_mm: Option<f64>,
    /// Whether every gap has its figure, however narrow: for print.
    pub to_build_from: bool,
}

/// Something in a view: how near it is, where, its class, its name at length and in short.
struct Item {
    near: f64,
    space: Box3,
    class: &'static str,
    names: (String, String),
    /// The id of a thing that can be dragged.
    thing: Option<u32>,
    profile: Option<Profile>,
}

impl Drawn<'_> {
    /// Draws a view with its lower left corner there.
    pub fn view(&self, svg: &mut Svg, seen: Seen, left: f64, foot: f64) {
        let (across, up, toward, more_is_nearer) = seen.axes();
        let x = |mm: f64| left + mm * self.scale;
        let y = |mm: f64| foot - mm * self.scale;
        let rect = |svg: &mut Svg, class: &str, space: &Box3| {
            let (wide, tall) = (of(&space.size_mm, across), of(&space.size_mm, up));
            let top = of(&space.at_mm, up) + tall;
            svg.rect(
                class,
                x(of(&space.at_mm, across)),
                y(top),
                wide * self.scale,
                tall * self.scale,
            );
        };
        let (wide, tall) = (
            of(&self.space.inside_mm, across),
            of(&self.space.inside_mm, up),
        );
        svg.rect(
            "locker-inside",
            x(0.0),
            y(tall),
            wide * self.scale,
            tall * self.scale,
        );
        let items = self.items(toward, more_is_nearer);
        for item in &items {
            if let Some(id) = item.thing {
                svg.thing(&format!("{id} {across} {up} {}", self.scale));
            }
            let side_view = match &item.profile {
                Some((axis, corners)) if *axis == across && up == 2 => Some(corners),
                _ => None,
            };
            if let Some(corners) = side_view {
                let steps = corners.iter().enumerate().map(|(at, [along, height])| {
                    let letter = if at == 0 { 'M' } else { 'L' };
                    format!("{letter}{:.1} {:.1}", x(*along), y(*height))
                });
                let outline = steps.collect::<String>() + "Z";
                svg.path("ground", &outline);
                svg.path(item.class, &outline);
            } else {
                if item.class != "ghost" {
                    rect(svg, "ground", &item.space);
                }
                rect(svg, item.class, &item.space);
            }
            if item.thing.is_some() {
                svg.end_thing();
            }
            if item.class == "ghost" {
                let others = items.iter().filter(|other| other.class != "ghost");
                for both in others.filter_map(|other| overlap(&item.space, &other.space)) {
                    rect(svg, "clash", &both);
                }
                for both in [across, up]
                    .into_iter()
                    .filter_map(|axis| beyond(&item.space, self.space.inside_mm, axis))
                {
                    rect(svg, "clash", &both);
                }
            }
        }
        for room in &self.verdict.clear {
            rect(svg, "clear", room);
        }
        // What is nearer may hide the ghost: its outline shows through.
        if let Some(ghost) = &self.verdict.ghost {
            rect(svg, "ghost-line", &boxed(ghost));
        } else {
            self.gaps(svg, seen, &x, &y);
        }
        let middle =
            |space: &Box3, axis: usize| of(&space.at_mm, axis) + of(&space.size_mm, axis) / 2.0;
        for (at, item) in items.iter().enumerate() {
            let (mid_x, mid_y) = (middle(&item.space, across), middle(&item.space, up));
            let covers = |other: &Item| {
                let within = |axis: usize, mm: f64| {
                    let from = of(&other.space.at_mm, axis);
                    (from..from + of(&other.space.size_mm, axis)).contains(&mm)
                };
                within(across, mid_x) && within(up, mid_y)
            };
            if items.iter().skip(at + 1).any(covers) {
                continue;
            }
            let room = of(&item.space.size_mm, across) * self.scale;
            let (long, short) = &item.names;
            let words = if text_width(long) + 10.0 <= room {
                long
            } else {
                short
            };
            svg.label(x(mid_x), y(mid_y) + 4.0, words);
        }
        let top = y(of(&self.reach, up));
        dimension(
            svg,
            (x(0.0), top - 14.0),
            (x(wide), top - 14.0),
            &length(wide, self.units),
        );
        dimension(
            svg,
            (left - 14.0, y(tall)),
            (left - 14.0, foot),
            &length(tall, self.units),
        );
        svg.text(
            "small",
            x(wide / 2.0),
            foot + 18.0,
            Anchor::Middle,
            seen.title(),
        );
    }

    /// Everything in a view, from far to near, so that what is nearer covers.
    fn items(&self, toward: usize, more_is_nearer: bool) -> Vec<Item> {
        let near = |space: &Box3| {
            if more_is_nearer {
                of(&space.at_mm, toward) + of(&space.size_mm, toward)
            } else {
                -of(&space.at_mm, toward)
            }
        };
        let item = |space: Box3, class: &'static str, names: (String, String)| Item {
            near: near(&space),
            space,
            class,
            names,
            thing: None,
            profile: None,
        };
        let mut items: Vec<Item> = Vec::new();
        for (at, thing) in self.space.obstacles.iter().enumerate() {
            let class = match (thing.movable, thing.travel_mm == [0.0; 3]) {
                _ if thing.shape == Shape::WeakFloor => "weak-floor",
                (_, false) => "fixed travels",
                (true, _) => "movable",
                (false, _) => "fixed",
            };
            items.push(Item {
                thing: Some(thing.id),
                profile: profile(thing, self.space.inside_mm),
                ..item(
                    swept(thing),
                    class,
                    (format!("{} {}", letter(at), thing.name), letter(at)),
                )
            });
        }
        for (at, case) in self.verdict.arrangement.iter().enumerate() {
            let names = (
                words::case_called(at, case.kind, self.space),
                (at + 1).to_string(),
            );
            items.push(item(boxed(case), "battery", names));
        }
        if let Some(ghost) = &self.verdict.ghost {
            items.push(item(
                boxed(ghost),
                "ghost",
                ("no room".to_owned(), "✕".to_owned()),
            ));
        }
        let nears: Vec<f64> = items.iter().map(|item| item.near).collect();
        let mut items: Vec<Option<Item>> = items.into_iter().map(Some).collect();
        let far_to_near = order(&nears).into_iter();
        far_to_near
            .filter_map(|at| items.get_mut(at)?.take())
            .collect()
    }

    /// Gaps that this view shows, with the one that binds marked.
    fn gaps(&self, svg: &mut Svg, seen: Seen, x: &dyn Fn(f64) -> f64, y: &dyn Fn(f64) -> f64) {
        let (across, up, ..) = seen.axes();
        let binding = binding(self.verdict);
        // The one that binds has its figure where it belongs; others give way to what is written.
        let mut written: Vec<(f64, f64, f64)> = Vec::new();
        let mut drawn: Vec<[f64; 4]> = Vec::new();
        let gaps = self.verdict.gaps.iter();
        let others = gaps.filter(|gap| binding != Some(gap));
        for gap in binding.into_iter().chain(others) {
            let Some(case) = self.verdict.arrangement.get(gap.case) else {
                continue;
            };
            // Between two cases one of them tells.
            let twice = matches!(gap.to, Neighbour::Case(_)) && !gap.far;
            if gap.mm <= 0.0 || twice || (gap.axis != across && gap.axis != up) {
                continue;
            }
            let binds = binding == Some(gap);
            let px = gap.mm * self.scale;
            if px < 3.0 && !binds {
                continue;
            }
            let from = if gap.far {
                of(&case.at_mm, gap.axis) + of(&case.size_mm, gap.axis)
            } else {
                of(&case.at_mm, gap.axis) - gap.mm
            };
            let other = if gap.axis == across { up } else { across };
            // Off the middle, where the case has its name.
            let along = of(&case.at_mm, other) + of(&case.size_mm, other) * 0.25;
            let ends = if gap.axis == across {
                ((x(from), y(along)), (x(from + gap.mm), y(along)))
            } else {
                ((x(along), y(from)), (x(along), y(from + gap.mm)))
            };
            // Cases that stand behind one another leave the same gap here.
            let line = [ends.0.0, ends.0.1, ends.1.0, ends.1.1];
            let is_there = |had: &[f64; 4]| had.iter().zip(line).all(|(a, b)| (a - b).abs() < 1.0);
            if drawn.iter().any(is_there) {
                continue;
            }
            drawn.push(line);
            let words = match self.units {
                Units::Metric => tidy((gap.mm * 10.0).round() / 10.0),
                Units::Imperial => length(gap.mm, self.units).replace(" in", ""),
            };
            svg.line(if binds { "binding" } else { "dimension" }, ends.0, ends.1);
            let roomy = if gap.axis == across {
                text_width(&words) + 10.0
            } else {
                14.0
            };
            if binds || px >= roomy || self.to_build_from {
                let words = if binds { format!("▸ {words}") } else { words };
                let half = text_width(&words) / 2.0 + 4.0;
                let (mid_x, mid_y) = (
                    f64::midpoint(ends.0.0, ends.1.0),
                    f64::midpoint(ends.0.1, ends.1.1),
                );
                let free = |y: &f64| {
                    written.iter().all(|(x, other, wide)| {
                        (x - mid_x).abs() >= half + wide || (y - other).abs() >= LABEL_HIGH
                    })
                };
                let tried = [0.0, LABEL_HIGH, -LABEL_HIGH].map(|by| mid_y + by);
                let found = tried.into_iter().find(free);
                if let Some(at) = found.or(self.to_build_from.then_some(mid_y)) {
                    svg.label(mid_x, at + 4.0, &words);
                    written.push((mid_x, at, half));
                }
            }
        }
    }
}

/// A letter for an obstacle, where its name has no room.
pub fn letter(at: usize) -> String {
    char::from_u32('A' as u32 + at as u32)
        .unwrap_or('?')
        .to_string()
}

/// The gap that binds: the least on the axis that has least to spare.
pub fn binding(verdict: &Verdict) -> Option<&Gap> {
    let Outcome::Fits { axis, .. } = verdict.outcome else {
        return None;
    };
    let there = verdict
        .gaps
        .iter()
        .filter(|gap| gap.axis == axis && (axis != 2 || gap.far));
    there.min_by(|a, b| a.mm.total_cmp(&b.mm))
}

/// What two boxes share.
fn overlap(a: &Box3, b: &Box3) -> Option<Box3> {
    if !a.overlaps(b) {
        return None;
    }
    let axis = |axis: usize| {
        let from = of(&a.at_mm, axis).max(of(&b.at_mm, axis));
        let to = (of(&a.at_mm, axis) + of(&a.size_mm, axis))
            .min(of(&b.at_mm, axis) + of(&b.size_mm, axis));
        (from, to - from)
    };
    let ((x, l), (y, w), (z, h)) = (axis(0), axis(1), axis(2));
    Some(Box3 {
        at_mm: [x, y, z],
        size_mm: [l, w, h],
    })
}

/// The part of a box beyond the far wall on an axis.
fn beyond(space: &Box3, inside: [f64; 3], axis: usize) -> Option<Box3> {
    let (at, size, wall) = (
        of(&space.at_mm, axis),
        of(&space.size_mm, axis),
        of(&inside, axis),
    );
    let mut part = *space;
    if let (Some(at_slot), Some(size_slot)) = (part.at_mm.get_mut(axis), part.size_mm.get_mut(axis))
    {
        *at_slot = at.max(wall);
        *size_slot = at + size - at.max(wall);
    }
    (at + size > wall + 0.01).then_some(part)
}

/// What the letters stand for, and what becomes of each thing.
pub fn key(space: &Locker, verdict: &Verdict, units: Units) -> Vec<String> {
    let unit = match units {
        Units::Metric => "mm",
        Units::Imperial => "inches",
    };
    let figures = format!("Figures in the gaps are {unit}; ▸ marks the one that binds.");
    let each = space.obstacles.iter().enumerate();
    let letters = each.map(|(at, thing)| {
        let does = if thing.travel_mm != [0.0; 3] {
            "drawn with all that it passes"
        } else if thing.movable {
            "can move"
        } else {
            "stays"
        };
        let form = match thing.shape {
            Shape::Block => "",
            Shape::Slope => ", a slope",
            Shape::Arch => ", an arch",
            Shape::WeakFloor => {
                let kg = Quantity::Mass.tell(thing.bears_kg.unwrap_or(0.0), units);
                return format!("{}: {}, a floor that bears {kg}", letter(at), thing.name);
            }
        };
        format!("{}: {}, {does}{form}", letter(at), thing.name)
    });
    let cases = verdict.arrangement.iter().enumerate();
    let others = cases
        .filter(|(_, case)| case.kind > 0)
        .map(|(at, _)| format!("{}: {}", at + 1, space.other.name));
    let clear = (!verdict.clear.is_empty())
        .then(|| "Small dotted squares: what stays clear about the terminals.".to_owned());
    letters
        .chain(others)
        .chain(clear)
        .chain([figures])
        .collect()
}

/// A dimension line with slashed ends, along x or along y.
pub fn dimension(svg: &mut Svg, from: (f64, f64), to: (f64, f64), words: &str) {
    svg.line("dimension", from, to);
    for (x, y) in [from, to] {
        svg.line("dimension slash", (x - 4.0, y + 4.0), (x + 4.0, y - 4.0));
    }
    let middle = (f64::midpoint(from.0, to.0), f64::midpoint(from.1, to.1));
    if (from.1 - to.1).abs() < 0.1 {
        svg.text(
            "dimension-text",
            middle.0,
            middle.1 - 7.0,
            Anchor::Middle,
            words,
        );
    } else {
        svg.text_upward("dimension-text", middle.0 - 7.0, middle.1, words);
    }
}
