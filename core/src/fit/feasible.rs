//! May this arrangement stand? Apart from the search, so that it can judge it.

use super::case::{Case, Turning};
use super::space::{Box3, Locker, Placement, Rules, SAME_MM, loads};

/// Whether every case is inside, turned as it may be, on the floor or a shelf that bears it where that is asked, clear of
/// obstacles and of the others by the side gap, and has its terminals free. Cases of other kinds of the locker may stand among
/// them.
pub fn may_stand(locker: &Locker, case: &Case, placements: &[Placement], rules: Rules) -> bool {
    let others = locker.others.iter().map(|(case, _)| case);
    let kinds: Vec<&Case> = std::iter::once(case).chain(others).collect();
    all_may_stand(locker, &kinds, placements, rules)
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
        let (own, body) = own_space(case, placement);
        let rooms = case.keep_clear(placement.quarters, placement.terminals);
        let mut rooms = rooms.iter().map(|room| {
            let mut room = *room;
            for (at, from) in room.at_mm.iter_mut().zip(&placement.at_mm) {
                *at += from;
            }
            room
        });
        let stands = turned_as_allowed(case, placement)
            && inside(locker, &own, gap)
            && (!rules.on_the_floor || supported(locker, placement))
            && !solids
                .iter()
                .any(|thing| widened(&body, gap).overlaps(thing))
            && !kept.iter().any(|other| widened(&own, gap).overlaps(other))
            && rooms.all(|room| {
                inside(locker, &room, 0.0) && !solids.iter().any(|thing| room.overlaps(thing))
            });
        if !stands {
            return false;
        }
        kept.push(own);
    }
    !rules.on_the_floor || all_are_borne(locker, kinds, placements)
}

/// Whether nothing that bears only so much bears more.
fn all_are_borne(locker: &Locker, kinds: &[&Case], placements: &[Placement]) -> bool {
    locker.limits().iter().all(|(on, bears_kg)| {
        let there = placements
            .iter()
            .filter(|one| loads(on, one.at_mm, one.size_mm));
        let kg: f64 = there
            .filter_map(|one| Some(kinds.get(one.kind)?.mass_kg))
            .sum();
        kg <= bears_kg + SAME_MM
    })
}

/// A case with its hold-down, what it vents through and the whole room before its terminals; and without that room, where
/// their places are told.
fn own_space(case: &Case, placement: &Placement) -> (Box3, Box3) {
    let [long, wide, _] = case.size_mm;
    let mut own = Box3 {
        at_mm: placement.at_mm,
        size_mm: placement.size_mm,
    };
    // The length stands upright where the case lies on an end, level else.
    let ends = match (placement.terminals, placement.quarters % 2) {
        (2, quarter) => Some(usize::from(quarter)),
        (looks, _) => {
            let other = 1 - looks.min(1);
            let same = |axis: usize, mm: f64| {
                placement
                    .size_mm
                    .get(axis)
                    .is_some_and(|side| (side - mm).abs() <= SAME_MM)
            };
            let on_end = case.turning == Turning::Any && same(2, long) && same(other, wide);
            (!on_end).then_some(other)
        }
    };
    if let Some(ends) = ends
        && let (Some(at), Some(size)) = (own.at_mm.get_mut(ends), own.size_mm.get_mut(ends))
    {
        *at -= case.hold_gap_mm;
        *size += 2.0 * case.hold_gap_mm;
    }
    let mut body = own;
    body.size_mm[2] += case.over_mm(placement.terminals);
    if placement.terminals == 2 {
        own.size_mm[2] += case.vent_gap_mm.max(case.terminal_gap_mm);
    } else {
        own.size_mm[2] += case.vent_gap_mm;
        for space in [&mut own, &mut body] {
            if let Some(size) = space.size_mm.get_mut(placement.terminals) {
                *size += case.terminal_gap_mm;
            }
            if let Some(at) = space.at_mm.get_mut(placement.terminals)
                && placement.quarters == 2
            {
                *at -= case.terminal_gap_mm;
            }
        }
    }
    (own, body)
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
    // Lying, the terminals look along the side that its height takes.
    let looks = |other: f64| match placement.terminals {
        0 => same(x, high) && same(y, other),
        1 => same(y, high) && same(x, other),
        _ => false,
    };
    let (along, across) = if placement.quarters.is_multiple_of(2) {
        (x, y)
    } else {
        (y, x)
    };
    let upright =
        same(z, high) && same(along, long) && same(across, wide) && placement.terminals == 2;
    let on_side = same(z, wide) && looks(long);
    let on_end = same(z, long) && looks(wide);
    match case.turning {
        Turning::Upright => upright,
        Turning::OnSide => upright || on_side,
        Turning::Any => upright || on_side || on_end,
    }
}
