//! The locker of a plan: its inside, what is in the way, how cables leave, the hole that all goes in through.

use super::Check;
use crate::fit;
use crate::inputs::Cables;
use crate::plan::{self, Falls, Shape};
use crate::units::Quantity;

/// Most obstacles in a locker.
const MOST_OBSTACLES: usize = 12;
/// As near to the floor or the lid it touches it [mm].
const TOUCHES_MM: f64 = 1.0;

/// What each way for the cables takes above the terminals.
pub(super) fn cables(row: &plan::Locker) -> Cables {
    Cables {
        exit: row.exit,
        lug_mm: row.terminal_gap_mm.clamp(0.0, 1000.0) + row.bend_mm.clamp(0.0, 1000.0),
        bar_mm: row.bar_mm.clamp(0.0, 200.0),
    }
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
    check.number(
        "locker/side_gap_mm",
        "The space beside a case",
        Quantity::Length,
        row.side_gap_mm,
        0.0,
        500.0,
    );
    check.number(
        "locker/terminal_gap_mm",
        "The height above terminals",
        Quantity::Length,
        row.terminal_gap_mm,
        0.0,
        1000.0,
    );
    for (field, what, value, most) in [
        ("bar_mm", "The height of a link bar", row.bar_mm, 200.0),
        (
            "bend_mm",
            "The height of the cable's bend",
            row.bend_mm,
            1000.0,
        ),
    ] {
        check.number(
            &format!("locker/{field}"),
            what,
            Quantity::Length,
            value,
            0.0,
            most,
        );
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
    let obstacles = row
        .obstacles
        .iter()
        .take(MOST_OBSTACLES)
        .map(|thing| obstacle(check, thing, inside_mm))
        .collect();
    fit::Locker {
        inside_mm,
        obstacles,
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
    fit::Obstacle {
        name: name.to_owned(),
        space: fit::Box3 { at_mm, size_mm },
        movable: thing.movable,
        carries: thing.carries,
        slope: slope(thing, &at_mm, &size_mm, inside_mm),
    }
}

/// How a thing narrows; what travels is kept clear as the box that it passes.
fn slope(
    thing: &plan::Obstacle,
    at_mm: &[f64; 3],
    size_mm: &[f64; 3],
    inside_mm: [f64; 3],
) -> Option<fit::Slope> {
    if thing.shape == Shape::Block || thing.travel_mm != [0.0; 3] {
        return None;
    }
    let (axis, from_far) = match thing.falls {
        Falls::Left => (0, true),
        Falls::Right => (0, false),
        Falls::Front => (1, true),
        Falls::Back => (1, false),
    };
    Some(fit::Slope {
        axis,
        from_far,
        round: thing.shape == Shape::Arch,
        hangs: at_mm[2] > TOUCHES_MM && at_mm[2] + size_mm[2] >= inside_mm[2] - TOUCHES_MM,
    })
}
