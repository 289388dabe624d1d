//! May this arrangement stand? Apart from the search, so that it can judge it.

use super::space::{Box3, Case, Locker, Placement, Rules, SAME_MM, Turning};

/// Whether every case is inside, turned as it may be, on the floor where that is asked, clear of obstacles and of the others
/// by the side gap, and has its terminals free.
pub fn may_stand(locker: &Locker, case: &Case, placements: &[Placement], rules: Rules) -> bool {
    let kept: Vec<Box3> = placements
        .iter()
        .map(|placement| own_space(case, placement))
        .collect();
    placements
        .iter()
        .zip(&kept)
        .enumerate()
        .all(|(at, (placement, space))| {
            turned_as_allowed(case, placement)
                && inside(locker, case, placement)
                && (!rules.on_the_floor || placement.at_mm[2].abs() <= SAME_MM)
                && locker
                    .obstacles
                    .iter()
                    .all(|thing| !widened(space, case.side_gap_mm).overlaps(&thing.space))
                && kept
                    .iter()
                    .skip(at + 1)
                    .all(|other| !widened(space, case.side_gap_mm).overlaps(other))
        })
}

/// A case with the room above its terminals, where it stands upright; lying, its terminals may face either way, so only
/// its own body counts here.
fn own_space(case: &Case, placement: &Placement) -> Box3 {
    let mut size = placement.size_mm;
    if (size[2] - case.size_mm[2]).abs() <= SAME_MM {
        size[2] += case.terminal_gap_mm;
    }
    Box3 {
        at_mm: placement.at_mm,
        size_mm: size,
    }
}

fn widened(space: &Box3, gap: f64) -> Box3 {
    let [x, y, z] = space.at_mm;
    let [l, w, h] = space.size_mm;
    Box3 {
        at_mm: [x - gap, y - gap, z],
        size_mm: [l + 2.0 * gap, w + 2.0 * gap, h],
    }
}

fn inside(locker: &Locker, case: &Case, placement: &Placement) -> bool {
    let gaps = [case.side_gap_mm, case.side_gap_mm, 0.0];
    let space = own_space(case, placement);
    let sides = space
        .at_mm
        .iter()
        .zip(&space.size_mm)
        .zip(locker.inside_mm.iter().zip(gaps));
    sides.into_iter().all(|((at, size), (inside, gap))| {
        *at >= gap - SAME_MM && at + size + gap <= inside + SAME_MM
    })
}

fn turned_as_allowed(case: &Case, placement: &Placement) -> bool {
    let [long, wide, high] = case.size_mm;
    let [x, y, z] = placement.size_mm;
    let same = |a: f64, b: f64| (a - b).abs() <= SAME_MM;
    let level = |a: f64, b: f64| (same(x, a) && same(y, b)) || (same(x, b) && same(y, a));
    let upright = same(z, high) && level(long, wide);
    let on_side = same(z, wide) && level(long, high);
    let on_end = same(z, long) && level(wide, high);
    match case.turning {
        Turning::Upright => upright,
        Turning::OnSide => upright || on_side,
        Turning::Any => upright || on_side || on_end,
    }
}
