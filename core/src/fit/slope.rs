//! Sloped and rounded solids, such as wheel arches and leaning walls, as steps of 2 mm on the safe side: every step is as
//! wide as the solid is at its widest within it. So what fits past the steps fits past the solid; what just fails to may
//! fit in truth, by less than a step.

use super::space::SAME_MM;
use super::space::{Box3, Obstacle};

/// Height of a step [mm].
const STEP_MM: f64 = 2.0;

/// How a solid narrows over its height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slope {
    /// The axis along which it narrows: 0 length, 1 depth.
    pub axis: usize,
    /// Whether its full side is the far one: the right end, the back.
    pub from_far: bool,
    /// Whether it is round, a quarter of an ellipse, and not straight.
    pub round: bool,
    /// Whether it hangs: full at its top, nothing at its foot.
    pub hangs: bool,
}

impl Slope {
    /// The share of its full extent that is left, `along` of the way from the full end of its height to the other.
    fn share(&self, along: f64) -> f64 {
        let along = along.clamp(0.0, 1.0);
        if self.round {
            (1.0 - along * along).max(0.0).sqrt()
        } else {
            1.0 - along
        }
    }
}

impl Obstacle {
    /// The boxes that it is made of: itself, or its steps.
    pub fn solids(&self) -> Vec<Box3> {
        match &self.slope {
            None => vec![self.space],
            Some(slope) => {
                let height = self.space.size_mm[2];
                let steps = (height / STEP_MM).ceil().clamp(1.0, 20_000.0) as u32;
                (0..steps)
                    .filter_map(|step| {
                        self.slice(
                            slope,
                            f64::from(step) * STEP_MM,
                            f64::from(step + 1) * STEP_MM,
                        )
                    })
                    .collect()
            }
        }
    }

    /// The boxes that cases see which stand on `levels` and reach up to `tops`: as good as all steps for these, and few.
    pub(super) fn seen(&self, levels: &[f64], tops: &[f64]) -> Vec<Box3> {
        let Some(slope) = &self.slope else {
            return vec![self.space];
        };
        let (foot, height) = (self.space.at_mm[2], self.space.size_mm[2]);
        // A standing one is widest where a case stands; a hanging one where a case ends.
        let cuts = if slope.hangs { tops } else { levels };
        let mut cuts: Vec<f64> = cuts
            .iter()
            .map(|cut| cut - foot)
            .filter(|cut| *cut > 0.0 && *cut < height)
            .collect();
        cuts.extend([0.0, height]);
        crate::numeric::ascending(&mut cuts);
        cuts.dedup_by(|a, b| (*a - *b).abs() <= SAME_MM);
        let slice = |pair: &[f64]| {
            let [from, to] = pair else { return None };
            // The step that the widest place of this part lies in.
            let step = if slope.hangs {
                ((to - SAME_MM) / STEP_MM).floor() * STEP_MM
            } else {
                ((from + SAME_MM) / STEP_MM).floor() * STEP_MM
            };
            let mut part = self.slice(slope, step, step + STEP_MM)?;
            part.at_mm[2] = foot + from;
            part.size_mm[2] = to - from;
            Some(part)
        };
        cuts.windows(2).filter_map(slice).collect()
    }

    /// The part between two heights above its foot, as wide as it is at its widest there.
    fn slice(&self, slope: &Slope, from: f64, to: f64) -> Option<Box3> {
        let height = self.space.size_mm[2];
        let to = to.min(height);
        let along = if slope.hangs {
            1.0 - to / height
        } else {
            from / height
        };
        let full = self.space.size_mm.get(slope.axis).copied().unwrap_or(0.0);
        let wide = full * slope.share(along);
        let mut part = self.space;
        part.at_mm[2] += from;
        part.size_mm[2] = to - from;
        if let (Some(at), Some(size)) = (
            part.at_mm.get_mut(slope.axis),
            part.size_mm.get_mut(slope.axis),
        ) {
            *at += if slope.from_far { full - wide } else { 0.0 };
            *size = wide;
        }
        (wide > 0.0 && to > from).then_some(part)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::{Case, Placement, Rules, Turning, may_stand, most, place};
    use proptest::prelude::*;

    fn leaning(slope: Slope, at_mm: [f64; 3], size_mm: [f64; 3]) -> Obstacle {
        Obstacle {
            name: "arch".into(),
            space: Box3 { at_mm, size_mm },
            slope: Some(slope),
            ..Obstacle::default()
        }
    }

    #[test]
    fn steps_hold_the_solid_and_little_more() {
        for round in [false, true] {
            for hangs in [false, true] {
                let slope = Slope {
                    axis: 0,
                    from_far: false,
                    round,
                    hangs,
                };
                let thing = leaning(slope, [0.0; 3], [100.0, 50.0, 80.0]);
                let steps = thing.solids();
                assert_eq!(steps.len(), 40);
                for (at, step) in steps.iter().enumerate() {
                    for height in [0.0, 0.5, 1.0, 1.5, 1.999] {
                        let z = at as f64 * 2.0 + height;
                        let along = if hangs { 1.0 - z / 80.0 } else { z / 80.0 };
                        let true_wide = 100.0 * slope.share(along);
                        assert!(step.size_mm[0] >= true_wide - 1e-9);
                        let next = along - 2.0 / 80.0;
                        assert!(step.size_mm[0] <= 100.0 * slope.share(next.max(0.0)) + 1e-9);
                    }
                }
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]
        #[test]
        fn the_few_boxes_that_are_searched_say_what_all_steps_say(
            inside in (8u8..=16, 8u8..=16, 4u8..=12), at in (0u8..8, 0u8..8, 0u8..6), size in (2u8..9, 2u8..9, 2u8..9),
            kind in any::<(bool, bool, bool, bool)>(), shelf in any::<bool>(), case in (2u8..=8, 2u8..=8, 2u8..=6), count in 1u32..=3,
        ) {
            let three = |(a, b, c): (u8, u8, u8)| [a, b, c].map(|mm| f64::from(mm) * 4.0);
            let (axis, from_far, round, hangs) = kind;
            let slope = Slope { axis: usize::from(axis), from_far, round, hangs };
            let thing = leaning(slope, three(at), three(size));
            let mut space = crate::fit::tests::locker(three(inside), &[[0.0, 0.0, 8.0, 24.0, 24.0, 2.0]]);
            space.obstacles[0].carries = shelf;
            let case = Case { turning: Turning::OnSide, ..crate::fit::tests::case(three(case), Turning::OnSide) };
            let mut stepped = space.clone();
            stepped.obstacles.extend(thing.solids().into_iter().map(|space| Obstacle { space, slope: None, ..thing.clone() }));
            space.obstacles.push(thing);
            let rules = Rules::default();
            let found = place(&space, &case, count, rules);
            let by_steps = place(&stepped, &case, count, rules);
            prop_assert_eq!(found.1, by_steps.1);
            prop_assert_eq!(found.0.is_some(), by_steps.0.is_some());
            if let Some(placements) = found.0 {
                prop_assert!(may_stand(&space, &case, &placements, rules), "{:?}", placements);
                prop_assert!(may_stand(&stepped, &case, &placements, rules));
            }
        }
    }

    #[test]
    fn a_low_case_slips_under_what_hangs() {
        let slope = Slope {
            axis: 0,
            from_far: true,
            round: false,
            hangs: true,
        };
        let mut space = crate::fit::tests::locker([400.0, 200.0, 300.0], &[]);
        space
            .obstacles
            .push(leaning(slope, [300.0, 0.0, 100.0], [100.0, 200.0, 200.0]));
        // 140 high: the slope takes 20 of the length there, in steps a little more.
        let low = |long: f64| crate::fit::tests::case([long, 200.0, 140.0], Turning::Upright);
        assert_eq!(most(&space, &low(380.0), 1, Rules::default()).count, 1);
        assert_eq!(most(&space, &low(380.5), 1, Rules::default()).count, 0);
        let stands = Placement {
            at_mm: [0.0; 3],
            size_mm: [380.5, 200.0, 140.0],
            kind: 0,
            terminals: 2,
            quarters: 0,
        };
        assert!(!may_stand(&space, &low(380.5), &[stands], Rules::default()));
    }
}
