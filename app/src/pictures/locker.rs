//! Locker: three views to scale, the same facts as a table, and a sheet at 1:5 or 1:10 for print.

use super::spark::TALL;
use super::svg::{Anchor, Svg, text_width};
use super::view::{Drawn, Seen, dimension, key, length, letter, of};
use super::{Picture, Table};
use larder::fit::Verdict;
use larder::plan::{Locker, Units};
use larder::words;

const LEFT: f64 = 44.0;
const TOP: f64 = 34.0;
const BELOW: f64 = 28.0;
const RIGHT: f64 = 14.0;
const TALLEST: f64 = 620.0;
/// Height of a line of the key [px].
const LINE: f64 = 17.0;
/// Widest that three views stand in two columns; narrower they stand one below the other [px].
const NARROW: f64 = 520.0;
/// Least room for a view beside the last of three [px].
const BESIDE: f64 = 190.0;
/// Pixels a millimetre of paper, by definition of the CSS pixel: 96 an inch.
const PAPER: f64 = 96.0 / 25.4;
/// What a sheet of A4 or Letter has between its margins across [px].
const SHEET: f64 = 660.0;

/// Draws the locker with the chosen bank in it, in the width there is.
pub fn locker(
    space: &Locker,
    verdict: &Verdict,
    name: &str,
    units: Units,
    spark_mm: Option<f64>,
    width: f64,
) -> Picture {
    let [long, deep, high] = reach(space, verdict);
    // A long locker is drawn larger where its views stand one below the other.
    let narrow = width < NARROW || long > 2.0 * deep;
    let scale = if narrow {
        ((width - LEFT - RIGHT) / long.max(deep)).min(TALLEST / deep.max(high))
    } else {
        ((width - 2.0 * LEFT - 2.0 * RIGHT) / (long + deep)).min(TALLEST / (deep + high))
    };
    let drawn = Drawn {
        space,
        verdict,
        units,
        scale,
        reach: [long, deep, high],
        spark_mm,
        to_build_from: false,
    };
    let [long_w, _, high_w] = space.inside_mm.map(|mm| length(mm, units));
    let deep_w = length(of(&space.inside_mm, 1), units);
    Picture {
        svg: sheet(&drawn, narrow, width, None),
        says: format!(
            "The locker from above, from the front and from the right end, {long_w} by {deep_w} by {high_w}. {name}: {}. {}",
            words::fit_long(verdict, units),
            drawn.spark_words().unwrap_or_default()
        ),
        table: table(space, verdict, units),
    }
}

/// What a page of its own has in height [px].
pub const WHOLE_PAGE: f64 = 980.0;
/// What it may take of a sheet that tells more [px].
pub const PART_OF_PAGE: f64 = 640.0;

/// The same for print, at the largest of 1:5, 1:10 and 1:20 that goes into so much of a page, with a scale bar.
pub fn to_scale(
    space: &Locker,
    verdict: &Verdict,
    units: Units,
    spark_mm: Option<f64>,
    tallest: f64,
) -> String {
    let all = reach(space, verdict);
    let [long, deep, high] = all;
    let lines = 40.0 + LINE * (space.obstacles.len() + 4) as f64;
    let fits = |ratio: f64, stacked: bool| {
        let scale = PAPER / ratio;
        let (across, up, views) = if stacked {
            (
                long.max(deep) * scale + LEFT + RIGHT,
                (deep + 2.0 * high) * scale,
                3.0,
            )
        } else {
            (
                (long + deep) * scale + 2.0 * (LEFT + RIGHT),
                (deep + high) * scale,
                2.0,
            )
        };
        across <= SHEET && up + views * (TOP + BELOW) + lines <= tallest
    };
    let tried = [5.0, 10.0, 20.0].map(|ratio| [(ratio, false), (ratio, true)]);
    let found = tried
        .into_iter()
        .flatten()
        .find(|(ratio, stacked)| fits(*ratio, *stacked));
    let (ratio, stacked) = found.unwrap_or((20.0, true));
    let drawn = Drawn {
        space,
        verdict,
        units,
        scale: PAPER / ratio,
        reach: all,
        spark_mm,
        // At 1:20 there is no room for the figure of every gap.
        to_build_from: ratio < 20.0,
    };
    sheet(&drawn, stacked, SHEET, Some(ratio))
}

fn sheet(drawn: &Drawn<'_>, narrow: bool, width: f64, ratio: Option<f64>) -> String {
    let scale = drawn.scale;
    let [long, deep, high] = drawn.reach;
    let key: Vec<String> = key(drawn.space, drawn.verdict, drawn.units)
        .into_iter()
        .chain(drawn.spark_words())
        .flat_map(|says| lines(&says, width - 8.0))
        .collect();
    let above = TOP + deep * scale;
    let front = above + BELOW + TOP + high * scale;
    let (foot, wide) = if narrow {
        (
            front + BELOW + TOP + high * scale,
            LEFT + long.max(deep) * scale + RIGHT,
        )
    } else {
        (front, 2.0 * (LEFT + RIGHT) + (long + deep) * scale)
    };
    // A sheet has its whole width for what stands beside the views.
    let wide = if ratio.is_some() && drawn.spark().is_some() {
        width
    } else {
        wide
    };
    let bar = if ratio.is_some() { 40.0 } else { 0.0 };
    // What the last of three views below each other leaves beside it, and what a fourth takes below where that is too little.
    let beside = width - 2.0 * LEFT - 2.0 * RIGHT - deep * scale;
    let lower = if narrow && beside < BESIDE && ratio.is_none() && drawn.spark().is_some() {
        TALL
    } else {
        0.0
    };
    let widest = key
        .iter()
        .map(|words| text_width(words) + 8.0)
        .fold(wide, f64::max);
    let mut svg = Svg::new(
        widest.min(wide.max(width)),
        foot + lower + BELOW + LINE * key.len() as f64 + bar,
    );
    drawn.view(&mut svg, Seen::Above, LEFT, above);
    drawn.view(&mut svg, Seen::Front, LEFT, front);
    if narrow {
        drawn.view(&mut svg, Seen::Right, LEFT, foot);
    } else {
        drawn.view(
            &mut svg,
            Seen::Right,
            2.0 * LEFT + RIGHT + long * scale,
            front,
        );
    }
    // Where three views in two columns leave a corner free, or beside the last of them, or below; a sheet whose last view
    // leaves too little does without.
    if !narrow || lower > 0.0 || beside >= BESIDE {
        let (place, room) = if !narrow {
            let left = 2.0 * LEFT + RIGHT + long * scale;
            let right = if ratio.is_some() {
                width - RIGHT - left
            } else {
                deep * scale
            };
            ((left, 0.0), (right, above + BELOW))
        } else if lower > 0.0 {
            ((LEFT, foot + BELOW), (width - LEFT - RIGHT, TALL))
        } else {
            let top = front + BELOW;
            ((width - RIGHT - beside, top), (beside, foot + BELOW - top))
        };
        drawn.spark_view(&mut svg, place, room, ratio.is_some());
    }
    let foot = foot + lower;
    for (at, words) in key.iter().enumerate() {
        svg.text(
            "small",
            4.0,
            foot + BELOW + LINE * (at as f64 + 0.8),
            Anchor::Start,
            words,
        );
    }
    if let Some(ratio) = ratio {
        let foot = foot + BELOW + LINE * key.len() as f64 + 24.0;
        dimension(
            &mut svg,
            (LEFT, foot),
            (LEFT + 100.0 * scale, foot),
            "100 mm",
        );
        let says = format!("1:{ratio} where the print is not scaled: measure the bar");
        svg.text(
            "small",
            LEFT + 100.0 * scale + 12.0,
            foot + 4.0,
            Anchor::Start,
            &says,
        );
    }
    svg.finish()
}

/// Words in lines that go into a width.
fn lines(says: &str, width: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in says.split(' ') {
        let goes_on = lines.last().is_some_and(|line| {
            line.is_empty() || text_width(line) + text_width(word) + 8.0 <= width
        });
        match lines.last_mut() {
            Some(line) if goes_on => {
                if !line.is_empty() {
                    line.push(' ');
                }
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// How far the drawing reaches on each axis, the ghost with it [mm].
fn reach(space: &Locker, verdict: &Verdict) -> [f64; 3] {
    std::array::from_fn(|axis| {
        let inside = of(&space.inside_mm, axis).max(1.0);
        let ghost = verdict.ghost.as_ref();
        let ghost = ghost.map_or(0.0, |ghost| {
            of(&ghost.at_mm, axis) + of(&ghost.size_mm, axis)
        });
        ghost.clamp(inside, 2.0 * inside)
    })
}

/// Places and sizes of everything, and what each battery's sides face.
fn table(space: &Locker, verdict: &Verdict, units: Units) -> Table {
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut row = |what: String, at: [f64; 3], size: [f64; 3], faces: String| {
        let numbers = at.iter().chain(&size).map(|mm| length(*mm, units));
        rows.push(
            std::iter::once(what)
                .chain(numbers)
                .chain([faces])
                .collect(),
        );
    };
    for (at, case) in verdict.arrangement.iter().enumerate() {
        let gaps = verdict
            .gaps
            .iter()
            .filter(|gap| gap.case == at && (gap.far || gap.axis != 2));
        let faces: Vec<String> = gaps
            .map(|gap| {
                format!(
                    "{} to {}",
                    words::gap_words(gap, units),
                    words::neighbour(gap)
                )
            })
            .collect();
        row(
            words::case_called(at, case.kind, space),
            case.at_mm,
            case.size_mm,
            faces.join("; "),
        );
    }
    if let Some(ghost) = &verdict.ghost {
        row(
            "one more, no room".to_owned(),
            ghost.at_mm,
            ghost.size_mm,
            String::new(),
        );
    }
    for (at, thing) in space.obstacles.iter().enumerate() {
        row(
            format!("{}: {}", letter(at), thing.name),
            thing.at_mm,
            thing.size_mm,
            String::new(),
        );
    }
    let heads = [
        "what",
        "from the left",
        "from the front",
        "from the floor",
        "long",
        "deep",
        "high",
        "free beside it",
    ];
    Table {
        heads: heads.map(String::from).to_vec(),
        rows,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use larder::plan::{Candidate, Load, Obstacle, Plan};

    fn plan(deep: f64) -> Plan {
        let mut plan = Plan::default();
        plan.loads.push(Load {
            id: 1,
            ..Load::default()
        });
        plan.candidates.push(Candidate {
            id: 2,
            parallel: 2.0,
            ..Candidate::default()
        });
        plan.locker.measured = true;
        plan.locker.inside_mm = [560.0, deep, 300.0];
        plan.locker.obstacles.push(Obstacle {
            id: 3,
            name: "duct & pipe".into(),
            ..Obstacle::default()
        });
        plan
    }

    #[test]
    fn every_view_has_its_dimensions_and_the_ghost_its_clash() {
        for (deep, fits) in [(500.0, true), (280.0, false)] {
            let plan = plan(deep);
            let report = larder::assess(&plan).unwrap();
            let verdict = report.banks[0].fit.as_ref().unwrap();
            for width in [320.0, 700.0] {
                let picture = locker(
                    &plan.locker,
                    verdict,
                    "Two",
                    plan.units,
                    report.carries.spark_mm(),
                    width,
                );
                for words in [
                    "560 mm",
                    "300 mm",
                    "from above",
                    "from the front",
                    "from the right end",
                ] {
                    assert!(picture.svg.contains(words), "{words}");
                }
                assert_eq!(picture.svg.contains("\"clash\""), !fits, "{deep}");
                assert!(picture.svg.contains("A: duct &amp; pipe"));
                assert_eq!(picture.svg.contains("\"binding\""), fits, "{deep}");
                assert!(!picture.svg.contains("style="));
                assert!(picture.svg.contains("\"spark\""), "{deep}");
                let sheet_width = picture
                    .svg
                    .split("width=\"")
                    .nth(1)
                    .and_then(|rest| rest.split('"').next()?.parse::<f64>().ok());
                assert!(
                    sheet_width.is_some_and(|wide| wide <= width + 0.5),
                    "{sheet_width:?} {width}"
                );
            }
        }
    }

    #[test]
    fn print_is_to_scale() {
        let mut plan = plan(400.0);
        plan.locker.inside_mm[0] = 900.0;
        let report = larder::assess(&plan).unwrap();
        let svg = to_scale(
            &plan.locker,
            report.banks[0].fit.as_ref().unwrap(),
            plan.units,
            Some(60.0),
            WHOLE_PAGE,
        );
        assert!(svg.contains("within 60 mm of a battery"));
        // 900 mm at 1:5 are 680 px, more than the sheet; at 1:10 they are 340.
        assert!(svg.contains("1:10") && svg.contains("100 mm"), "{svg}");
        let inside = format!(
            "width=\"{}\"",
            (900.0_f64 * PAPER / 10.0 * 10.0).round() / 10.0
        );
        assert!(svg.contains(&inside), "{inside}");
    }
}
