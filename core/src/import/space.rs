//! The locker of a plan: its inside, what is in the way, how cables leave, the hole that all goes in through.

use super::Check;
use crate::fit;
use crate::inputs::Cables;
use crate::plan::{self, Shape};
use crate::units::Quantity;

/// Most obstacles in a locker.
const MOST_OBSTACLES: usize = 12;

/// What each way for the cables takes above the terminals.
pub(super) fn cables(row: &plan::Locker) -> Cables {
    Cables {
        exit: row.exit,
        lug_mm: row.terminal_gap_mm.clamp(0.0, 1000.0) + row.bend_mm.clamp(0.0, 1000.0),
        bar_mm: row.bar_mm.clamp(0.0, 200.0),
        bend_mm: row.bend_mm.clamp(0.0, 1000.0),
        beside_mm: row.beside_mm.clamp(0.0, 1000.0),
    }
}

fn turning(turning: plan::Turning) -> fit::Turning {
    match turning {
        plan::Turning::Upright => fit::Turning::Upright,
        plan::Turning::OnSide => fit::Turning::OnSide,
        plan::Turning::Any => fit::Turning::Any,
    }
}

fn terminals(terminals: plan::Terminals) -> fit::Terminals {
    match terminals {
        plan::Terminals::Anywhere => fit::Terminals::Anywhere,
        plan::Terminals::Front => fit::Terminals::Front,
        plan::Terminals::LeftEnd => fit::Terminals::LeftEnd,
        plan::Terminals::BothEnds => fit::Terminals::BothEnds,
        plan::Terminals::Corners => fit::Terminals::Corners,
        plan::Terminals::OtherCorners => fit::Terminals::OtherCorners,
    }
}

/// A length from nothing to so many mm.
fn length(check: &mut Check<'_>, field: &str, what: &str, mm: f64, most: f64) -> f64 {
    check.number(field, what, Quantity::Length, mm, 0.0, most)
}

/// The three sides of a case.
fn sides(check: &mut Check<'_>, field: &str, whose: &str, mm: [f64; 3]) -> [f64; 3] {
    let mut sides = mm;
    for (axis, (mm, what)) in sides
        .iter_mut()
        .zip(["length", "width", "height"])
        .enumerate()
    {
        *mm = check.number(
            &format!("{field}/{}", axis + 1),
            &format!("{whose} {what}"),
            Quantity::Length,
            *mm,
            20.0,
            3000.0,
        );
    }
    sides
}

/// The gaps of the space and the cables that leave, on a case of no size yet.
fn gaps(row: &plan::Locker) -> fit::Case {
    let cables = cables(row);
    let [terminal_gap_mm, beside_mm] = cables.room_of(cables.exit);
    fit::Case {
        side_gap_mm: row.side_gap_mm.clamp(0.0, 500.0),
        terminal_gap_mm,
        beside_mm,
        vent_gap_mm: row.vent_gap_mm.clamp(0.0, 500.0),
        hold_gap_mm: row.hold_gap_mm.clamp(0.0, 200.0),
        ..fit::Case::default()
    }
}

/// A candidate's case.
pub(super) fn case(
    check: &mut Check<'_>,
    row: &plan::Candidate,
    at: &dyn Fn(&str) -> String,
    mass_kg: f64,
) -> fit::Case {
    fit::Case {
        size_mm: sides(check, &at("case_mm"), "The case's", row.case_mm),
        turning: turning(row.turning),
        terminals: terminals(row.terminals),
        terminal_in_mm: length(
            check,
            &at("terminal_in_mm"),
            "The way from the sides to a terminal",
            row.terminal_in_mm,
            300.0,
        ),
        terminal_wide_mm: length(
            check,
            &at("terminal_wide_mm"),
            "The width of what sits on a terminal",
            row.terminal_wide_mm,
            300.0,
        ),
        within_mm: length(
            check,
            &at("case_within_mm"),
            "How far the case may be out",
            row.case_within_mm,
            50.0,
        ),
        mass_kg,
        ..gaps(&check.plan.locker)
    }
}

/// Batteries of another kind in the same space.
fn others(check: &mut Check<'_>, row: &plan::Locker) -> Vec<(fit::Case, u32)> {
    let other = &row.other;
    let count = check.count(
        "locker/other/count",
        "How many of another kind stand in it",
        other.count,
        0,
        4,
    );
    if count == 0 {
        return Vec::new();
    }
    let usual = plan::Candidate::default();
    let case = fit::Case {
        size_mm: sides(check, "locker/other/case_mm", "The other's", other.case_mm),
        turning: turning(other.turning),
        terminals: terminals(other.terminals),
        terminal_in_mm: usual.terminal_in_mm,
        terminal_wide_mm: usual.terminal_wide_mm,
        mass_kg: check.number(
            "locker/other/mass_kg",
            "The other's mass",
            Quantity::Mass,
            other.mass_kg,
            0.1,
            2000.0,
        ),
        ..gaps(row)
    };
    vec![(case, count)]
}

/// The hole; none where the whole top comes off.
fn opening(check: &mut Check<'_>, row: &plan::Locker, inside_mm: [f64; 3]) -> Option<fit::Opening> {
    let (axis, far) = match row.opening {
        plan::Opening::WholeTop => return None,
        plan::Opening::Top => (2, true),
        plan::Opening::Front => (1, false),
        plan::Opening::Back => (1, true),
        plan::Opening::Left => (0, false),
        plan::Opening::Right => (0, true),
    };
    let [long, deep, high] = inside_mm;
    let walls = match axis {
        0 => [deep, high],
        1 => [long, high],
        _ => [long, deep],
    };
    let (mut at_mm, mut size_mm) = (row.opening_at_mm, row.opening_mm);
    for (side, ((at, size), wall)) in at_mm.iter_mut().zip(&mut size_mm).zip(walls).enumerate() {
        let side = side + 1;
        *size = check.number(
            &format!("locker/opening_mm/{side}"),
            "A side of the opening",
            Quantity::Length,
            *size,
            1.0,
            20_000.0,
        );
        *at = check.number(
            &format!("locker/opening_at_mm/{side}"),
            "The place of the opening",
            Quantity::Length,
            *at,
            0.0,
            20_000.0,
        );
        if *at + *size > wall + 0.5 {
            let show = |mm: f64| Quantity::Length.show(mm, check.plan.units);
            let says = format!(
                "The opening ends at {}, beyond its wall of {}.",
                show(*at + *size),
                show(wall)
            );
            check.refuse(
                format!("locker/opening_mm/{side}"),
                says,
                "Measure the hole itself, from the inside of the locker.",
            );
        }
    }
    Some(fit::Opening {
        axis,
        far,
        at_mm,
        size_mm,
    })
}

pub(super) fn locker(check: &mut Check<'_>, row: &plan::Locker) -> fit::Locker {
    let axes = ["length", "depth", "height"];
    let mut inside_mm = row.inside_mm;
    for (axis, (mm, what)) in inside_mm.iter_mut().zip(axes).enumerate() {
        let field = format!("locker/inside_mm/{}", axis + 1);
        *mm = check.number(
            &field,
            &format!("The inside {what}"),
            Quantity::Length,
            *mm,
            10.0,
            20_000.0,
        );
    }
    for (field, what, value, most) in [
        (
            "side_gap_mm",
            "The space beside a case",
            row.side_gap_mm,
            500.0,
        ),
        (
            "terminal_gap_mm",
            "The height above terminals",
            row.terminal_gap_mm,
            1000.0,
        ),
        ("bar_mm", "The height of a link bar", row.bar_mm, 200.0),
        (
            "bend_mm",
            "The height of the cable's bend",
            row.bend_mm,
            1000.0,
        ),
        (
            "beside_mm",
            "What a cable takes beside the case",
            row.beside_mm,
            1000.0,
        ),
        ("vent_gap_mm", "The height to vent", row.vent_gap_mm, 500.0),
        (
            "hold_gap_mm",
            "What the hold-down takes at an end",
            row.hold_gap_mm,
            200.0,
        ),
    ] {
        length(check, &format!("locker/{field}"), what, value, most);
    }
    let measured_within_mm = check.number(
        "locker/within_mm",
        "How far the measuring may be out",
        Quantity::Length,
        row.within_mm,
        0.0,
        100.0,
    );
    if row.obstacles.len() > MOST_OBSTACLES {
        check.refuse(
            "locker",
            format!(
                "{} obstacles are more than can be searched exactly.",
                row.obstacles.len()
            ),
            "Join neighbours into one: 12 at the most.",
        );
    }
    let (mut obstacles, mut spots) = (Vec::new(), Vec::new());
    for thing in row.obstacles.iter().take(MOST_OBSTACLES) {
        let solid = obstacle(check, thing, inside_mm);
        if thing.shape == Shape::WeakFloor {
            spots.push(spot(solid));
        } else {
            obstacles.push(solid);
        }
    }
    fit::Locker {
        inside_mm,
        obstacles,
        spots,
        others: others(check, row),
        measured_within_mm,
        opening: opening(check, row, inside_mm),
    }
}

fn obstacle(check: &mut Check<'_>, thing: &plan::Obstacle, inside_mm: [f64; 3]) -> fit::Obstacle {
    let name = if thing.name.trim().is_empty() {
        "the obstacle"
    } else {
        thing.name.trim()
    };
    let base = format!("locker/obstacles/{}", thing.id);
    let (mut at_mm, mut size_mm) = (thing.at_mm, thing.size_mm);
    for axis in 0..3 {
        let (Some(at), Some(size), Some(inside)) = (
            at_mm.get_mut(axis),
            size_mm.get_mut(axis),
            inside_mm.get(axis),
        ) else {
            continue;
        };
        let ends = ["left", "front", "floor"]
            .get(axis)
            .copied()
            .unwrap_or("wall");
        *size = check.number(
            &format!("{base}/size_mm/{}", axis + 1),
            &format!("A side of {name}"),
            Quantity::Length,
            *size,
            0.1,
            20_000.0,
        );
        // A part of the floor has no height and goes nowhere.
        if thing.shape == Shape::WeakFloor && axis == 2 {
            continue;
        }
        let travel = thing.travel_mm.get(axis).copied().unwrap_or(0.0);
        let travel = check.number(
            &format!("{base}/travel_mm/{}", axis + 1),
            &format!("The travel of {name}"),
            Quantity::Length,
            travel,
            -20_000.0,
            20_000.0,
        );
        *at = check.number(
            &format!("{base}/at_mm/{}", axis + 1),
            &format!("The place of {name} from the {ends}"),
            Quantity::Length,
            *at,
            -20_000.0,
            20_000.0,
        );
        if *at >= *inside || *at + *size <= 0.0 {
            let units = check.plan.units;
            let show = |mm: f64| Quantity::Length.show(mm, units);
            check.refuse(
                format!("{base}/at_mm/{}", axis + 1),
                format!(
                    "{name} begins {} from the {ends}, outside the locker, which ends at {}.",
                    show(*at),
                    show(*inside)
                ),
                "Measure from the inside of the wall, or remove it.",
            );
        }
        // What travels keeps clear all that it passes.
        *at += travel.min(0.0);
        *size += travel.abs();
    }
    let bears_kg = thing.bears_kg.map(|kg| {
        check.number(
            &format!("{base}/bears_kg"),
            &format!("What {name} bears"),
            Quantity::Mass,
            kg,
            0.0,
            10_000.0,
        )
    });
    fit::Obstacle {
        name: name.to_owned(),
        space: fit::Box3 { at_mm, size_mm },
        movable: thing.movable && !thing.is_safety_part(),
        goes: goes(check, thing, &base, name, size_mm),
        carries: thing.carries,
        bears_kg,
        slope: slope(thing, inside_mm),
    }
}

/// A part of the floor; where nothing is written it bears nothing (on the safe side).
fn spot(thing: fit::Obstacle) -> fit::Spot {
    let ([x, y, _], [l, w, _]) = (thing.space.at_mm, thing.space.size_mm);
    fit::Spot {
        name: thing.name,
        space: fit::Box3 {
            at_mm: [x, y, 0.0],
            size_mm: [l, w, 0.0],
        },
        bears_kg: thing.bears_kg.unwrap_or(0.0),
    }
}

/// Where a thing may go. A place of no size is as large as the thing, with all that it passes.
fn goes(
    check: &mut Check<'_>,
    thing: &plan::Obstacle,
    base: &str,
    name: &str,
    own_mm: [f64; 3],
) -> fit::Goes {
    match thing.goes {
        plan::Goes::Anywhere => fit::Goes::Anywhere,
        plan::Goes::Outside => fit::Goes::Outside,
        plan::Goes::Within => {
            let (mut at_mm, mut size_mm) = (thing.place_at_mm, thing.place_mm);
            for (axis, ((at, size), own)) in
                at_mm.iter_mut().zip(&mut size_mm).zip(own_mm).enumerate()
            {
                let axis = axis + 1;
                *at = check.number(
                    &format!("{base}/place_at_mm/{axis}"),
                    &format!("The place for {name}"),
                    Quantity::Length,
                    *at,
                    -20_000.0,
                    20_000.0,
                );
                let field = format!("{base}/place_mm/{axis}");
                let what = format!("A side of the place for {name}");
                *size = length(check, &field, &what, *size, 20_000.0);
                if *size > 0.0 && *size < own {
                    let show = |mm: f64| Quantity::Length.show(mm, check.plan.units);
                    let says = format!(
                        "The place for {name} is {} on a side where {name} takes {}.",
                        show(*size),
                        show(own)
                    );
                    check.refuse(
                        field,
                        says,
                        "Make it as large as the thing, with all that it passes; 0 stands for that.",
                    );
                }
                *size = size.max(own);
            }
            fit::Goes::Within(fit::Box3 { at_mm, size_mm })
        }
    }
}

/// How a thing narrows; what travels is kept clear as the box that it passes.
fn slope(thing: &plan::Obstacle, inside_mm: [f64; 3]) -> Option<fit::Slope> {
    let slopes = matches!(thing.shape, Shape::Slope | Shape::Arch);
    if !slopes || thing.travel_mm != [0.0; 3] {
        return None;
    }
    let (axis, from_far) = thing.falls.full_side();
    Some(fit::Slope {
        axis,
        from_far,
        round: thing.shape == Shape::Arch,
        hangs: thing.hangs(inside_mm),
    })
}
