//! What stays clear about terminals, what the floor bears, cases of other kinds: the search against brute force, mirrored too.

use super::tests::{as_brute_force_does, case, levels, locker, of_shelves, small};
use super::*;
use proptest::prelude::*;

const PLACES: [Terminals; 6] = [
    Terminals::Anywhere,
    Terminals::Front,
    Terminals::LeftEnd,
    Terminals::BothEnds,
    Terminals::Corners,
    Terminals::OtherCorners,
];

/// A case whose terminals are told, on whole and half millimetres, and a floor that bears little somewhere.
pub(super) fn told() -> impl Strategy<Value = (Locker, Case)> {
    let spot = (0u8..5, 0u8..5, 1u8..4, 1u8..4, 0u8..=3);
    (
        small(),
        0usize..6,
        (0u8..=2, 0u8..=2, 0u8..=1, 0u8..=1),
        prop::collection::vec(spot, 0..=2),
        prop::option::of(0u8..=2),
    )
        .prop_map(
            |((mut space, mut case), at, (lug, beside, vent, hold), spots, bears)| {
                case.terminals = PLACES[at];
                case.terminal_gap_mm = f64::from(lug);
                case.beside_mm = f64::from(beside);
                (case.terminal_in_mm, case.terminal_wide_mm) = (0.5, 1.0);
                (case.vent_gap_mm, case.hold_gap_mm) = (f64::from(vent), f64::from(hold));
                case.mass_kg = 1.0;
                space.spots = spots
                    .into_iter()
                    .map(|(x, y, l, w, bears)| Spot {
                        name: "thin floor".into(),
                        space: Box3 {
                            at_mm: [f64::from(x), f64::from(y), 0.0],
                            size_mm: [f64::from(l), f64::from(w), 0.0],
                        },
                        bears_kg: f64::from(bears),
                    })
                    .collect();
                if let Some(thing) = space.obstacles.first_mut() {
                    thing.bears_kg = bears.map(f64::from);
                }
                (space, case)
            },
        )
}

/// The locker seen in a mirror at its end; terminals go over with it.
fn mirrored(space: &Locker, case: &Case) -> (Locker, Case) {
    let (mut space, mut case) = (space.clone(), case.clone());
    let [long, ..] = space.inside_mm;
    let over = |one: &mut Box3| one.at_mm[0] = long - one.at_mm[0] - one.size_mm[0];
    space
        .obstacles
        .iter_mut()
        .for_each(|thing| over(&mut thing.space));
    space
        .spots
        .iter_mut()
        .for_each(|spot| over(&mut spot.space));
    case.terminals = case.terminals.mirrored();
    (space, case)
}

/// Where a shelf hangs over a case beside its terminals, room counted by volume has none too little.
#[test]
fn a_shelf_may_hang_within_the_room_over_a_case() {
    let mut space = locker([10.0, 4.0, 4.0], &[[0.0, 0.0, 2.0, 2.0, 2.0, 2.0]]);
    for thing in &mut space.obstacles {
        thing.carries = true;
    }
    let case = Case {
        terminals: Terminals::LeftEnd,
        terminal_in_mm: 1.0,
        terminal_wide_mm: 2.0,
        terminal_gap_mm: 2.0,
        hold_gap_mm: 1.0,
        ..case([8.0, 2.0, 2.0], Turning::Upright)
    };
    assert_eq!(most(&space, &case, 4, Rules::default()).count, 2);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]
    #[test]
    fn told_terminals_and_weak_floors_are_met_as_brute_force_does((space, case) in told(), count in 1u32..=3) {
        as_brute_force_does(&space, &[(&case, count)], &[0.0])?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    #[test]
    fn shelves_that_bear_little_slopes_and_other_cases_too(
        (space, case) in told(), count in 1u32..=2, size in (1u8..=3, 1u8..=3, 1u8..=3), other in any::<bool>(),
        slope in prop::option::of(any::<(bool, bool, bool, bool)>()),
    ) {
        let (mut space, case) = of_shelves(space, &case);
        let case = Case { terminal_in_mm: 1.0, terminal_wide_mm: 2.0, ..case };
        if let (Some(thing), Some((axis, from_far, round, hangs))) = (space.obstacles.last_mut(), slope) {
            thing.slope = Some(Slope { axis: usize::from(axis), from_far, round, hangs });
        }
        let size_mm = [size.0, size.1, size.2].map(|side| f64::from(side) * 2.0);
        let other = (Case { size_mm, mass_kg: 2.0, ..case.clone() }, u32::from(other));
        as_brute_force_does(&space, &[(&case, count), (&other.0, other.1)], &levels(&space))?;
    }

    #[test]
    fn a_mirrored_locker_with_its_terminals_mirrored_is_the_same((space, case) in told(), wanted in 1u32..=3) {
        let (over, case_over) = mirrored(&space, &case);
        let rules = Rules::default();
        prop_assert_eq!(most(&space, &case, 4, rules).count, most(&over, &case_over, 4, rules).count);
        let (here, there) = (assess(&space, &case, wanted), assess(&over, &case_over, wanted));
        let slack = |verdict: &Verdict| match verdict.outcome {
            Outcome::Fits { spare_mm, .. } => [Some(spare_mm[1]), Some(spare_mm[2])],
            Outcome::TooBig { missing_mm, .. } => [missing_mm[1], missing_mm[2]],
        };
        for (a, b) in slack(&here).into_iter().zip(slack(&there)) {
            prop_assert_eq!(a.is_some(), b.is_some());
            prop_assert!((a.unwrap_or(0.0) - b.unwrap_or(0.0)).abs() < 0.11, "{:?} {:?}", a, b);
        }
    }

    #[test]
    fn to_tell_where_terminals_sit_never_costs_room((space, case) in told(), count in 1u32..=3) {
        let (told, blind) = (Case { beside_mm: 0.0, ..case.clone() }, Case { terminals: Terminals::Anywhere, ..case });
        if place(&space, &blind, count, Rules::default()).0.is_some() {
            prop_assert!(place(&space, &told, count, Rules::default()).0.is_some());
        }
    }

    #[test]
    fn cases_of_another_kind_take_their_room((space, case) in told(), size in (1u8..=3, 1u8..=3, 1u8..=3), count in 1u32..=2) {
        let other = Case { size_mm: [size.0, size.1, size.2].map(f64::from), mass_kg: 2.0, ..case.clone() };
        let mut space = space;
        space.others = vec![(other.clone(), 1)];
        as_brute_force_does(&space, &[(&case, count), (&other, 1)], &[0.0])?;
        let (found, _, _) = place(&space, &case, count, Rules::default());
        let verdict = assess(&space, &case, count);
        prop_assert_eq!(found.is_some(), matches!(verdict.outcome, Outcome::Fits { .. }));
        if found.is_some() {
            prop_assert_eq!(verdict.arrangement.iter().filter(|one| one.kind == 1).count(), 1);
            prop_assert!(may_stand(&space, &case, &verdict.arrangement, Rules::default()));
        }
    }
}

/// A duct hangs 20 mm above the case over its back; lugs take 30.
#[test]
fn lugs_at_the_front_pass_under_a_duct_at_the_back() {
    let space = locker(
        [345.0, 190.0, 290.0],
        &[[0.0, 112.0, 260.0, 345.0, 78.0, 30.0]],
    );
    let mut agm = case([330.0, 173.0, 240.0], Turning::Upright);
    (agm.side_gap_mm, agm.terminal_gap_mm) = (5.0, 30.0);
    (agm.terminal_in_mm, agm.terminal_wide_mm) = (25.0, 40.0);
    let fits = |agm: &Case| place(&space, agm, 1, Rules::default()).0.is_some();
    for (terminals, expected) in [
        (Terminals::Anywhere, false),
        (Terminals::Front, true),
        // One of the two lies at the back.
        (Terminals::LeftEnd, false),
        (Terminals::Corners, false),
        // Half-way across they reach from 71.5 to 111.5, a little before the duct.
        (Terminals::BothEnds, true),
    ] {
        agm.terminals = terminals;
        assert_eq!(fits(&agm), expected, "{terminals:?}");
    }
    // Cables that leave sideways at the front want 20 beyond the case: 193 of the 190 there are.
    agm.terminals = Terminals::Front;
    agm.beside_mm = 20.0;
    assert!(!fits(&agm));
    agm.beside_mm = 12.0;
    assert!(fits(&agm));
    // To vent it wants 25 above all of it, and the duct leaves 20; a frame at both ends wants 8 each.
    agm.vent_gap_mm = 25.0;
    assert!(!fits(&agm));
    (agm.vent_gap_mm, agm.hold_gap_mm) = (0.0, 8.0);
    assert!(!fits(&agm));
    agm.hold_gap_mm = 2.5;
    assert!(fits(&agm));
}

#[test]
fn a_weak_floor_turns_a_heavy_case_away() {
    let mut space = locker([700.0, 200.0, 300.0], &[]);
    space.spots = vec![Spot {
        name: "hatch".into(),
        space: Box3 {
            at_mm: [0.0; 3],
            size_mm: [340.0, 200.0, 0.0],
        },
        bears_kg: 25.0,
    }];
    let mut agm = case([330.0, 173.0, 240.0], Turning::Upright);
    agm.mass_kg = 30.0;
    let found = most(&space, &agm, 4, Rules::default());
    assert_eq!(found.count, 1);
    assert!(found.placements[0].at_mm[0] >= 340.0);
    assert_eq!(
        assess(&space, &agm, 2).most,
        1,
        "a second would stand on the hatch"
    );
    agm.mass_kg = 25.0;
    assert_eq!(most(&space, &agm, 4, Rules::default()).count, 2);
}
