//! May this arrangement stand? Apart from the search, so that it can judge it.

use super::space::{Box3, Case, Locker, Placement, Rules, SAME_MM, Turning};

/// Whether every case is inside, turned as it may be, on the floor or a shelf where that is asked, clear of obstacles and of
/// the others by the side gap, and has its terminals free.
pub fn may_stand(locker: &Locker, case: &Case, placements: &[Placement], rules: Rules) -> bool {
    all_may_stand(locker, &[case], placements, rules)
}

/// The same for cases of several kinds; the largest of their side gaps holds for all.
pub fn all_may_stand(
    locker: &Locker,
    kinds: &[&Case],
    placements: &[Placement],
    rules: Rules,
) -> bool {
    let gap = kinds
        .iter()
        .map(|case| case.side_gap_mm)
        .fold(0.0, f64::max);
    let solids: Vec<Box3> = locker
        .obstacles
        .iter()
        .flat_map(super::Obstacle::solids)
        .collect();
    let mut kept: Vec<Box3> = Vec::new();
    for placement in placements {
        let Some(case) = kinds.get(placement.kind) else {
            return false;
        };
        let own = own_space(case, placement);
        let wide = widened(&own, gap);
        let stands = turned_as_allowed(case, placement)
            && inside(locker, &own, gap)
            && (!rules.on_the_floor || supported(locker, placement))
            && !solids.iter().any(|thing| wide.overlaps(thing))
            && !kept.iter().any(|other| wide.overlaps(other));
        if !stands {
            return false;
        }
        kept.push(own);
    }
    true
}

/// A case with the room before its terminals.
fn own_space(case: &Case, placement: &Placement) -> Box3 {
    let mut size_mm = placement.size_mm;
    if let Some(size) = size_mm.get_mut(placement.terminals) {
        *size += case.terminal_gap_mm;
    }
    Box3 {
        at_mm: placement.at_mm,
        size_mm,
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

fn inside(locker: &Locker, space: &Box3, gap: f64) -> bool {
    let sides = space
        .at_mm
        .iter()
        .zip(&space.size_mm)
        .zip(locker.inside_mm.iter().zip([gap, gap, 0.0]));
    sides.into_iter().all(|((at, size), (inside, gap))| {
        *at >= gap - SAME_MM && at + size + gap <= inside + SAME_MM
    })
}

/// Whether it stands on the floor, or on a shelf with the middle of its base over it.
fn supported(locker: &Locker, placement: &Placement) -> bool {
    let [x, y, z] = placement.at_mm;
    let [l, w, _] = placement.size_mm;
    let (middle_x, middle_y) = (x + l / 2.0, y + w / 2.0);
    z.abs() <= SAME_MM
        || locker.obstacles.iter().any(|thing| {
            let [sx, sy, sz] = thing.space.at_mm;
            let [sl, sw, sh] = thing.space.size_mm;
            thing.carries
                && (sz + sh - z).abs() <= SAME_MM
                && (sx - SAME_MM..=sx + sl + SAME_MM).contains(&middle_x)
                && (sy - SAME_MM..=sy + sw + SAME_MM).contains(&middle_y)
        })
}

/// Whether it lies as its kind may, with its terminals where that puts them.
fn turned_as_allowed(case: &Case, placement: &Placement) -> bool {
    let [long, wide, high] = case.size_mm;
    let [x, y, z] = placement.size_mm;
    let same = |a: f64, b: f64| (a - b).abs() <= SAME_MM;
    let level = |a: f64, b: f64| (same(x, a) && same(y, b)) || (same(x, b) && same(y, a));
    // Lying, the terminals look along the side that its height takes.
    let looks = |other: f64| match placement.terminals {
        0 => same(x, high) && same(y, other),
        1 => same(y, high) && same(x, other),
        _ => false,
    };
    let upright = same(z, high) && level(long, wide) && placement.terminals == 2;
    let on_side = same(z, wide) && looks(long);
    let on_end = same(z, long) && looks(wide);
    match case.turning {
        Turning::Upright => upright,
        Turning::OnSide => upright || on_side,
        Turning::Any => upright || on_side || on_end,
    }
}
