//! The search against brute force, proved optima and plain sense.

use super::*;
use proptest::prelude::*;

pub(super) fn locker(inside_mm: [f64; 3], obstacles: &[[f64; 6]]) -> Locker {
    let obstacle = |(at, [x, y, z, l, w, h]): (usize, &[f64; 6])| Obstacle {
        name: format!("thing {at}"),
        space: Box3 {
            at_mm: [*x, *y, *z],
            size_mm: [*l, *w, *h],
        },
        ..Obstacle::default()
    };
    Locker {
        inside_mm,
        obstacles: obstacles.iter().enumerate().map(obstacle).collect(),
        measured_within_mm: 2.0,
        ..Locker::default()
    }
}

pub(super) fn case(size_mm: [f64; 3], turning: Turning) -> Case {
    Case {
        size_mm,
        turning,
        ..Case::default()
    }
}

/// Lockers proved by an exact constraint solver (OR-tools 9.15.6755 CP-SAT).
#[test]
fn proved_lockers_are_met() {
    use Turning::{Any, Upright};
    let group_31 = [330.0, 173.0, 240.0];
    type Row = ([f64; 3], &'static [[f64; 6]], [f64; 3], Turning, u32);
    let rows: [Row; 14] = [
        ([700.0, 360.0, 260.0], &[], group_31, Upright, 4),
        ([699.0, 345.0, 260.0], &[], group_31, Upright, 4),
        ([700.0, 360.0, 239.0], &[], group_31, Upright, 0),
        ([700.0, 360.0, 239.0], &[], group_31, Any, 2),
        ([600.0, 520.0, 250.0], &[], group_31, Upright, 4),
        ([505.0, 505.0, 250.0], &[], group_31, Upright, 4),
        ([503.0, 503.0, 240.0], &[], group_31, Upright, 4),
        ([502.0, 503.0, 240.0], &[], group_31, Upright, 3),
        (
            [1000.0, 400.0, 300.0],
            &[],
            [260.0, 173.0, 225.0],
            Upright,
            7,
        ),
        (
            [800.0, 400.0, 260.0],
            &[[350.0, 0.0, 0.0, 60.0, 400.0, 260.0]],
            group_31,
            Upright,
            4,
        ),
        (
            [800.0, 400.0, 260.0],
            &[[600.0, 250.0, 0.0, 200.0, 150.0, 260.0]],
            group_31,
            Upright,
            3,
        ),
        (
            [800.0, 400.0, 260.0],
            &[[300.0, 0.0, 200.0, 120.0, 400.0, 60.0]],
            group_31,
            Upright,
            3,
        ),
        ([660.0, 346.0, 240.0], &[], group_31, Upright, 4),
        (
            [620.0, 360.0, 230.0],
            &[[0.0, 0.0, 0.0, 100.0, 100.0, 230.0]],
            [306.0, 173.0, 225.0],
            Upright,
            3,
        ),
    ];
    let rules = Rules {
        on_the_floor: false,
        budget: 50_000_000,
        ..Rules::default()
    };
    for (inside, obstacles, size, turning, expected) in rows {
        let (space, case) = (locker(inside, obstacles), case(size, turning));
        let found = most(&space, &case, 8, rules);
        assert_eq!(
            (found.count, found.certainty),
            (expected, Certainty::Exact),
            "{inside:?} {obstacles:?}"
        );
        assert!(may_stand(&space, &case, &found.placements, rules));
    }
    // Slothouber and Graatsma: six bricks of 1 × 2 × 2 in a cube of 3.
    let cube = most(
        &locker([3.0; 3], &[]),
        &case([1.0, 2.0, 2.0], Any),
        8,
        rules,
    );
    assert_eq!(cube.count, 6);
}

/// Every arrangement on a grid of whole millimetres, tried one by one; knows only the checker.
pub(super) fn brute(
    space: &Locker,
    kinds: &[(&Case, u32)],
    levels: &[f64],
    placed: &mut Vec<Placement>,
    from: usize,
) -> bool {
    let cases: Vec<&Case> = kinds.iter().map(|(case, _)| *case).collect();
    if placed.len() as u32 == kinds.iter().map(|(_, count)| count).sum::<u32>() {
        return true;
    }
    let [long, deep, _] = space.inside_mm.map(|mm| mm as usize);
    for cell in from..long * deep * levels.len() {
        let at_mm = [
            (cell / levels.len() / deep) as f64,
            (cell / levels.len() % deep) as f64,
            levels[cell % levels.len()],
        ];
        for (kind, (case, count)) in kinds.iter().enumerate() {
            if placed.iter().filter(|one| one.kind == kind).count() as u32 == *count {
                continue;
            }
            let [a, b, c] = case.size_mm;
            let ways = [
                ([a, b, c], 2, 0),
                ([b, a, c], 2, 1),
                ([a, c, b], 1, 0),
                ([c, a, b], 0, 0),
                ([b, c, a], 1, 0),
                ([c, b, a], 0, 0),
            ];
            let halves = [0, 2].into_iter();
            for (half, (size_mm, terminals, quarters)) in
                halves.flat_map(|half| ways.map(|way| (half, way)))
            {
                let quarters = quarters + half;
                let same = terminals == 2 && case.terminals == Terminals::Anywhere
                    || terminals < 2 && case.terminal_gap_mm == 0.0;
                if half == 2 && same {
                    continue;
                }
                placed.push(Placement {
                    at_mm,
                    size_mm,
                    kind,
                    terminals,
                    quarters,
                });
                if all_may_stand(space, &cases, placed, Rules::default())
                    && brute(space, kinds, levels, placed, cell + 1)
                {
                    return true;
                }
                placed.pop();
            }
        }
    }
    false
}

/// The search's arrangement stands and is as many as asked; where it finds none, brute force on the `levels` finds none.
pub(super) fn as_brute_force_does(
    space: &Locker,
    kinds: &[(&Case, u32)],
    levels: &[f64],
) -> Result<(), TestCaseError> {
    let (found, certainty, _) = place_all(space, kinds, Rules::default());
    prop_assert_eq!(certainty, Certainty::Exact);
    let Some(placements) = found else {
        prop_assert!(!brute(space, kinds, levels, &mut Vec::new(), 0));
        return Ok(());
    };
    let cases: Vec<&Case> = kinds.iter().map(|(case, _)| *case).collect();
    prop_assert!(
        all_may_stand(space, &cases, &placements, Rules::default()),
        "{:?}",
        placements
    );
    for (kind, (_, count)) in kinds.iter().enumerate() {
        let of_kind = placements.iter().filter(|one| one.kind == kind);
        prop_assert_eq!(of_kind.count(), *count as usize);
    }
    Ok(())
}

/// The floor and the tops of the shelves.
pub(super) fn levels(space: &Locker) -> Vec<f64> {
    let shelves = space.obstacles.iter().filter(|thing| thing.carries);
    let tops = shelves.map(|thing| thing.space.at_mm[2] + thing.space.size_mm[2]);
    let mut levels: Vec<f64> = tops.chain([0.0]).collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    levels
}

/// Twice as large, so that the middle of a side lies on the grid, with every thing in it a shelf; and no larger than brute force
/// can bear.
pub(super) fn of_shelves(mut space: Locker, case: &Case) -> (Locker, Case) {
    let [long, deep, high] = space.inside_mm;
    space.inside_mm = [long.min(5.0) * 2.0, deep.min(5.0) * 2.0, high * 2.0];
    for thing in &mut space.obstacles {
        thing.space.at_mm = thing.space.at_mm.map(|mm| mm * 2.0);
        thing.space.size_mm = thing.space.size_mm.map(|mm| mm * 2.0);
        thing.carries = true;
    }
    let size_mm = case.size_mm.map(|mm| mm * 2.0);
    let case = case.clone();
    (space, Case { size_mm, ..case })
}

pub(super) fn small() -> impl Strategy<Value = (Locker, Case)> {
    let side = 1u8..=7;
    let obstacle = (0u8..6, 0u8..6, 0u8..3, 1u8..4, 1u8..4, 1u8..4);
    (
        (side.clone(), side, 1u8..=4),
        prop::collection::vec(obstacle, 0..=3),
        (1u8..=4, 1u8..=4, 1u8..=3),
        0usize..3,
        (0u8..=1, 0u8..=1),
    )
        .prop_map(|((l, w, h), obstacles, (a, b, c), turning, (gap, lug))| {
            let boxes: Vec<[f64; 6]> = obstacles
                .iter()
                .map(|(x, y, z, l, w, h)| [*x, *y, *z, *l, *w, *h].map(f64::from))
                .collect();
            let turning = [Turning::Upright, Turning::OnSide, Turning::Any][turning];
            let mut case = case([a, b, c].map(f64::from), turning);
            case.side_gap_mm = f64::from(gap);
            case.terminal_gap_mm = f64::from(lug);
            (locker([l, w, h].map(f64::from), &boxes), case)
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(5000))]
    #[test]
    fn brute_force_never_disagrees((space, case) in small(), count in 1u32..=4) {
        as_brute_force_does(&space, &[(&case, count)], &[0.0])?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]
    #[test]
    fn unlike_cases_are_placed_as_brute_force_does((space, case) in small(), size in (1u8..=4, 1u8..=4, 1u8..=3), counts in (1u32..=2, 1u32..=2)) {
        let other = Case { size_mm: [size.0, size.1, size.2].map(f64::from), ..case.clone() };
        as_brute_force_does(&space, &[(&case, counts.0), (&other, counts.1)], &[0.0])?;
    }

    #[test]
    fn shelves_carry_what_has_its_middle_over_them((space, case) in small(), count in 1u32..=2) {
        let (space, case) = of_shelves(space, &case);
        as_brute_force_does(&space, &[(&case, count)], &levels(&space))?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    #[test]
    fn the_widest_gap_is_held_and_no_wider_is_there((space, case) in small(), count in 1u32..=3) {
        let rules = Rules::default();
        let Some((placements, wider, _)) = spread(&space, &[(&case, count)], rules) else {
            prop_assert!(place(&space, &case, count, rules).0.is_none());
            return Ok(());
        };
        let with = |by: f64| Case { side_gap_mm: case.side_gap_mm + by, ..case.clone() };
        prop_assert!(may_stand(&space, &with(wider), &placements, rules));
        prop_assert!(place(&space, &with(wider + 0.2), count, rules).0.is_none());
        for gap in gaps(&space, &case, &placements) {
            prop_assert!(gap.axis == 2 || gap.mm >= case.side_gap_mm + wider - 0.01, "{:?}", gap);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]
    #[test]
    fn more_room_never_hurts_and_things_in_the_way_never_help((space, case) in small(), axis in 0usize..3, by in 0.5f64..3.0) {
        let rules = Rules::default();
        let now = most(&space, &case, 4, rules).count;
        let mut wider = space.clone();
        wider.inside_mm[axis] += by;
        prop_assert!(most(&wider, &case, 4, rules).count >= now);
        let mut fuller = space.clone();
        fuller.obstacles.push(Obstacle { name: "more".into(), space: Box3 { at_mm: [1.0; 3], size_mm: [1.0; 3] }, movable: true, ..Obstacle::default() });
        prop_assert!(most(&fuller, &case, 4, rules).count <= now);
    }

    #[test]
    fn a_mirrored_locker_holds_as_many((space, case) in small()) {
        let mut mirrored = space.clone();
        for thing in &mut mirrored.obstacles {
            thing.space.at_mm[0] = space.inside_mm[0] - thing.space.at_mm[0] - thing.space.size_mm[0];
        }
        let rules = Rules::default();
        prop_assert_eq!(most(&space, &case, 4, rules).count, most(&mirrored, &case, 4, rules).count);
    }

    #[test]
    fn a_mirrored_locker_has_the_same_slack((space, case) in small(), wanted in 1u32..=3) {
        let mut mirrored = space.clone();
        for thing in &mut mirrored.obstacles {
            thing.space.at_mm[0] = space.inside_mm[0] - thing.space.at_mm[0] - thing.space.size_mm[0];
        }
        let (here, there) = (assess(&space, &case, wanted), assess(&mirrored, &case, wanted));
        prop_assert_eq!(here.most, there.most);
        // Its length is taken off at the other end, which is another question; depth and height are the same one.
        let slack = |verdict: &Verdict| match verdict.outcome {
            Outcome::Fits { spare_mm, .. } => [Some(spare_mm[1]), Some(spare_mm[2])],
            Outcome::TooBig { missing_mm, .. } => [missing_mm[1], missing_mm[2]],
        };
        for (a, b) in slack(&here).into_iter().zip(slack(&there)) {
            prop_assert_eq!(a.is_some(), b.is_some());
            prop_assert!((a.unwrap_or(0.0) - b.unwrap_or(0.0)).abs() < 1e-6, "{:?} {:?}", a, b);
        }
        let wider = |space: &Locker| spread(space, &[(&case, wanted)], Rules::default()).map(|(_, wider, _)| wider);
        prop_assert_eq!(wider(&space), wider(&mirrored));
        // An arrangement mirrored stands in the mirrored locker; terminals that lie along look the other way, so only cases
        // without a gap before them are turned over as they are.
        if case.terminal_gap_mm == 0.0 {
            let over: Vec<Placement> = here.arrangement.iter().map(|one| {
                let mut one = *one;
                one.at_mm[0] = space.inside_mm[0] - one.at_mm[0] - one.size_mm[0];
                one
            }).collect();
            prop_assert!(may_stand(&mirrored, &case, &over, Rules::default()));
        }
    }

    #[test]
    fn units_make_no_difference((space, case) in small()) {
        let by = 25.4;
        let three = |mm: [f64; 3]| mm.map(|mm| mm * by);
        let mut scaled = space.clone();
        scaled.inside_mm = three(space.inside_mm);
        for thing in &mut scaled.obstacles {
            thing.space = Box3 { at_mm: three(thing.space.at_mm), size_mm: three(thing.space.size_mm) };
        }
        let large = Case {
            size_mm: three(case.size_mm),
            side_gap_mm: case.side_gap_mm * by,
            terminal_gap_mm: case.terminal_gap_mm * by,
            ..case.clone()
        };
        let (here, there) = (most(&space, &case, 4, Rules::default()), most(&scaled, &large, 4, Rules::default()));
        prop_assert_eq!(here.count, there.count);
        for (one, other) in here.placements.iter().zip(&there.placements) {
            prop_assert!(three(one.at_mm).iter().zip(&other.at_mm).all(|(a, b)| (a - b).abs() < 0.01));
        }
    }

    #[test]
    fn spare_and_missing_hold_both_ways((space, case) in small(), wanted in 1u32..=3) {
        let verdict = assess(&space, &case, wanted);
        let fits = |space: &Locker| place(space, &case, wanted, Rules::default()).0.is_some();
        match &verdict.outcome {
            Outcome::Fits { least_mm, .. } => {
                prop_assert!(fits(&space));
                prop_assert!(least_mm.is_finite() && *least_mm >= 0.0);
                prop_assert_eq!(verdict.arrangement.len(), wanted as usize);
            }
            Outcome::TooBig { missing_mm, .. } => {
                prop_assert!(!fits(&space));
                // Where nothing hangs on the far wall, the plainly longer locker must hold them, and one 0.2 mm shorter must not.
                for (axis, missing) in missing_mm.iter().enumerate() {
                    let end = |thing: &Obstacle| thing.space.at_mm[axis] + thing.space.size_mm[axis];
                    if space.obstacles.iter().any(|thing| end(thing) >= space.inside_mm[axis] - 1.0) {
                        continue;
                    }
                    let mut longer = space.clone();
                    longer.inside_mm[axis] += missing.unwrap_or(1999.0);
                    prop_assert_eq!(fits(&longer), missing.is_some());
                    if let Some(mm) = missing {
                        longer.inside_mm[axis] = space.inside_mm[axis] + mm - 0.2;
                        prop_assert!(!fits(&longer));
                    }
                }
            }
        }
    }
}

#[test]
fn what_touches_the_far_wall_moves_with_it() {
    // A duct of 100 mm at the far end; 560 inside; a case of 330 leaves 130.
    let space = locker(
        [560.0, 300.0, 260.0],
        &[[460.0, 0.0, 0.0, 100.0, 300.0, 260.0]],
    );
    let verdict = assess(&space, &case([330.0, 173.0, 240.0], Turning::Upright), 1);
    let Outcome::Fits {
        spare_mm,
        least_mm,
        axis,
        beside,
        ..
    } = &verdict.outcome
    else {
        panic!("{verdict:?}")
    };
    // Turned across, 173 along the length leaves 287; the depth of 300 then holds 330 no more, so it lies along.
    assert_eq!(
        (spare_mm[0], spare_mm[1], spare_mm[2]),
        (130.0, 127.0, 20.0)
    );
    assert_eq!((*least_mm, *axis, beside.as_deref()), (20.0, 2, None));
    let verdict = assess(&space, &case([330.0, 173.0, 240.0], Turning::Upright), 2);
    let Outcome::TooBig {
        missing_mm,
        axis,
        beside,
        ..
    } = &verdict.outcome
    else {
        panic!("{verdict:?}")
    };
    // Side by side, turned across, they take 346 of the 460 in length and 330 in depth, 30 too many.
    assert_eq!((missing_mm[1], *axis), (Some(30.0), Some(1)));
    assert_eq!((verdict.most, beside.as_deref()), (1, None));
    assert!(verdict.ghost.is_some() && verdict.arrangement.len() == 1);
}

#[test]
fn odd_measures_are_no_trouble() {
    for inside in [[0.0; 3], [f64::MAX; 3], [1e-12, 1e12, 300.0]] {
        let verdict = assess(
            &locker(inside, &[[0.0, 0.0, 0.0, 0.0, 0.0, 0.0]]),
            &case([300.0, 170.0, 220.0], Turning::Any),
            8,
        );
        assert_eq!(verdict.wanted, 8);
    }
    assert_eq!(
        assess(
            &locker([500.0; 3], &[]),
            &case([300.0, 170.0, 220.0], Turning::Upright),
            0
        )
        .most,
        0
    );
}
