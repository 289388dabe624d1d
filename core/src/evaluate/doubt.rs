//! What is not known for certain: how far each uncertain input may be out, what each does alone, and all of them together.

use super::banks::LONGEST_DAYS;
use super::climate::Year;
use super::income::chosen;
use super::risk::{Chances, Tally};
use super::year::{Use, tanks};
use crate::battery::autonomy;
use crate::energy::DayKind;
use crate::inputs::{Inputs, Ranges};
use crate::report::{Doubt, DoubtEnd};
use crate::year::{Draw, YearShort, drawn_scores, normal_quantile};
use std::ops::Range;

/// Years drawn for each end of an input.
pub(super) const YEARS: u64 = 48;
/// Years lived under each joint draw of all of them.
pub(super) const YEARS_EACH: u64 = 4;
/// The stream of the joint draws.
const SEED: u64 = 0x00D0_0B75;
/// Share of the years that the band of the answer holds; a range holds as much of its input.
const BAND: f64 = 0.9;
/// However far out it is drawn, an input keeps this share of itself.
const LEAST_LEFT: f64 = 0.05;

/// Whose name and range stands in words, how far it may be out, and how it is moved there: −1 down to its low, 1 up.
struct Uncertain {
    name: &'static str,
    range: fn(&Ranges) -> f64,
    move_by: fn(&mut Inputs, f64),
}

fn times(by: f64) -> f64 {
    (1.0 + by).max(LEAST_LEFT)
}

const UNCERTAIN: [Uncertain; 7] = [
    Uncertain {
        name: "what runs",
        range: |ranges| ranges.use_share,
        move_by: |inputs, by| {
            if let Some(wh) = &mut inputs.metered_wh {
                *wh *= times(by);
            }
        },
    },
    Uncertain {
        name: "the sky's clearness",
        range: |ranges| ranges.sky_share,
        move_by: |inputs, by| inputs.living.clearer = times(by),
    },
    Uncertain {
        name: "the light that no shadow takes",
        range: |ranges| ranges.shade_share,
        move_by: |inputs, by| {
            let parts = inputs.sun.iter_mut().flat_map(|sun| &mut sun.parts);
            for share in parts.flat_map(|part| &mut part.shade_share) {
                *share = (*share - by).clamp(0.0, 1.0);
            }
        },
    },
    Uncertain {
        name: "the batteries' capacity",
        range: |ranges| ranges.capacity_share,
        move_by: |inputs, by| {
            for row in &mut inputs.candidates {
                row.bank.battery.label.capacity_ah *= times(by);
                row.fitted.wells.q_max_ah *= times(by);
            }
        },
    },
    Uncertain {
        name: "the batteries' age",
        range: |ranges| ranges.age_years,
        move_by: |inputs, by| {
            for row in &mut inputs.candidates {
                row.age_years = (row.age_years + by).max(0.0);
            }
        },
    },
    Uncertain {
        name: "hours under way",
        range: |ranges| ranges.driving_share,
        move_by: |inputs, by| {
            if let Some(driving) = &mut inputs.driving {
                driving.hours = (driving.hours * times(by)).min(24.0);
            }
        },
    },
    Uncertain {
        name: "the warmth outdoors",
        range: |ranges| ranges.warmth_k,
        move_by: |inputs, by| {
            let places = inputs.living.places_mut();
            for month in places.flat_map(|place| &mut place.outdoors_c) {
                *month += by;
            }
        },
    },
];

/// How many inputs are looked at.
pub const DOUBTS: usize = UNCERTAIN.len();

fn air(inputs: &Inputs) -> Year {
    Year::new(&inputs.living, inputs.sun.as_ref())
}

/// What runs on a parked day of the month that matters, by the hour [W].
fn parked_w(inputs: &Inputs, air: &Year) -> [f64; 24] {
    let month = inputs.living.month;
    let Draw {
        mut direct_w,
        inverter_w,
    } = Use::new(inputs, air).on(
        DayKind::Parked,
        month,
        &air.parked_temps(air.main_season(month)),
    );
    for (sum, w) in direct_w.iter_mut().zip(inverter_w) {
        *sum += w;
    }
    direct_w
}

/// Days that the first candidate lasts parked, nothing coming in.
fn parked_days(inputs: &Inputs) -> Option<f64> {
    let air = air(inputs);
    let tanks = tanks(inputs.candidates.first()?, &air);
    let tank = tanks.get(air.main_season(inputs.living.month))?;
    let lasts = autonomy(tank, &parked_w(inputs, &air), &[0.0; 24], LONGEST_DAYS);
    Some(lasts.reserve.days())
}

/// The chosen bank of a plan, ready to be doubted.
pub(super) struct Doubting {
    plain: Inputs,
}

impl Doubting {
    /// Of a plan; none without a candidate.
    pub(super) fn new(inputs: &Inputs) -> Option<Self> {
        let mut plain = inputs.clone();
        plain.candidates = vec![chosen(inputs)?.clone()];
        plain.chosen = plain.candidates.first()?.id;
        // The sum stands in for a meter, so that all that runs can be moved at once.
        plain.metered_wh = Some(parked_w(&plain, &air(&plain)).iter().sum());
        Some(Self { plain })
    }

    /// The bank with one input moved to its low, −1, or its high, 1.
    pub(super) fn end(&self, nth: usize, way: f64) -> Option<DoubtEnd> {
        let input = UNCERTAIN.get(nth)?;
        let mut moved = self.plain.clone();
        (input.move_by)(&mut moved, way * (input.range)(&self.plain.ranges));
        Some(DoubtEnd {
            parked_days: parked_days(&moved)?,
            short_days: Chances::new(&moved).draw(0, 0..YEARS).mean_days(),
        })
    }

    /// Years lived under joint draws of all inputs, each by its range, in a normal spread of which the range holds nine tenths.
    pub(super) fn jointly(&self, draws: Range<u64>) -> Vec<YearShort> {
        let a_range = normal_quantile(f64::midpoint(1.0, BAND));
        let lived = draws.flat_map(|draw| {
            let mut moved = self.plain.clone();
            for (input, score) in UNCERTAIN.iter().zip(drawn_scores(SEED, draw)) {
                let by = (input.range)(&self.plain.ranges) * score / a_range;
                (input.move_by)(&mut moved, by);
            }
            // The sky's clearness is drawn already.
            moved.ranges.sky_share = 0.0;
            let years = draw * YEARS_EACH..(draw + 1) * YEARS_EACH;
            Chances::new(&moved).draw(0, years).years().to_vec()
        });
        lived.collect()
    }
}

/// What an input does, by both ends; none where it does nothing, or there is no such one. The plan as it stands comes later, of
/// the survey's own years.
pub(super) fn doubt(ranges: &Ranges, nth: usize, low: DoubtEnd, high: DoubtEnd) -> Option<Doubt> {
    let input = UNCERTAIN.get(nth)?;
    let moves = (low.short_days - high.short_days).abs() > 0.01
        || (low.parked_days - high.parked_days).abs() > 0.01;
    moves.then_some(Doubt {
        name: input.name,
        nth,
        range: (input.range)(ranges),
        low,
        high,
        plain_days: 0.0,
    })
}

/// The band that holds nine of ten years of all joint draws [days short]; none without years.
pub(super) fn band(years: &Tally) -> Option<[u32; 2]> {
    let mut days: Vec<u32> = years.years().iter().map(YearShort::days).collect();
    days.sort_unstable();
    let last = days.len().checked_sub(1)? as f64;
    let at = |share: f64| days.get((share * last).round() as usize).copied();
    Some([
        at(f64::midpoint(0.0, 1.0 - BAND))?,
        at(f64::midpoint(1.0, BAND))?,
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hut() -> Inputs {
        let text = include_str!("../../../demo-data/hill-hut.larder.json");
        crate::import(&crate::link::from_text(text).unwrap()).unwrap()
    }

    fn all(inputs: &Inputs) -> Vec<Doubt> {
        let doubting = Doubting::new(inputs).unwrap();
        let found = (0..DOUBTS).filter_map(|nth| {
            let (low, high) = (doubting.end(nth, -1.0)?, doubting.end(nth, 1.0)?);
            doubt(&inputs.ranges, nth, low, high)
        });
        found.collect()
    }

    #[test]
    fn in_the_middle_stands_the_plan_and_what_it_lacks_is_not_doubted() {
        let inputs = hut();
        let plain = Doubting::new(&inputs).unwrap().end(0, 0.0).unwrap();
        let banks = crate::evaluate(&inputs).banks;
        let bank = banks.iter().find(|bank| bank.id == inputs.chosen).unwrap();
        assert!((plain.parked_days - bank.parked.days()).abs() < 1e-9);
        let found = all(&inputs);
        assert!(found.len() >= 5, "{found:?}");
        // The hut has no engine.
        assert!(found.iter().all(|found| found.name != "hours under way"));
    }

    /// Where an input must tell: a plan, its field, and whether more of it is worse.
    struct Must {
        name: &'static str,
        start: &'static str,
        field: fn(&mut crate::plan::Doubts) -> &mut f64,
        range: f64,
        more_is_worse: bool,
        /// Whether it tells in days parked, and in days short.
        tells: (bool, bool),
    }

    const HUT: &str = include_str!("../../../demo-data/hill-hut.larder.json");
    const VAN: &str = include_str!("../../../demo-data/orchard-van.larder.json");

    const MUSTS: [Must; DOUBTS] = [
        Must {
            name: "what runs",
            start: HUT,
            field: |doubts| &mut doubts.use_share,
            range: 0.1,
            more_is_worse: true,
            tells: (true, true),
        },
        Must {
            name: "the sky's clearness",
            start: HUT,
            field: |doubts| &mut doubts.sky_share,
            range: 0.1,
            more_is_worse: false,
            tells: (false, true),
        },
        Must {
            name: "the light that no shadow takes",
            start: HUT,
            field: |doubts| &mut doubts.shade_share,
            range: 0.1,
            more_is_worse: false,
            tells: (false, true),
        },
        Must {
            name: "the batteries' capacity",
            start: HUT,
            field: |doubts| &mut doubts.capacity_share,
            range: 0.1,
            more_is_worse: false,
            tells: (true, true),
        },
        Must {
            name: "the batteries' age",
            start: HUT,
            field: |doubts| &mut doubts.age_years,
            range: 1.0,
            more_is_worse: true,
            tells: (true, true),
        },
        Must {
            name: "hours under way",
            start: VAN,
            field: |doubts| &mut doubts.driving_share,
            range: 0.3,
            more_is_worse: false,
            tells: (false, true),
        },
        Must {
            name: "the warmth outdoors",
            start: HUT,
            field: |doubts| &mut doubts.warmth_k,
            range: 2.0,
            more_is_worse: false,
            tells: (true, true),
        },
    ];

    impl Must {
        /// What it does by so much.
        fn found(&self, nth: usize, range: f64) -> Doubt {
            let mut plan = crate::link::from_text(self.start).unwrap();
            // Loads that a thermostat switches draw more in the warm, and a warm cabin hides the cold: the hut's have none, and
            // its bank stands outdoors.
            if self.start == HUT {
                plan.living.battery_place = crate::plan::BatteryPlace::Outdoors;
            }
            *(self.field)(&mut plan.doubts) = range;
            let inputs = crate::import(&plan).unwrap();
            let doubting = Doubting::new(&inputs).unwrap();
            let end = |way: f64| doubting.end(nth, way).unwrap();
            doubt(&inputs.ranges, nth, end(-1.0), end(1.0)).expect("it tells")
        }
    }

    #[test]
    fn every_uncertain_input_moves_the_answer_its_way_and_by_its_own_range() {
        for (nth, must) in MUSTS.iter().enumerate() {
            // By how much worse the worse end is: in days parked, in days short.
            let worse_by = |range: f64| {
                let found = must.found(nth, range);
                assert_eq!((found.name, found.range), (must.name, range));
                let (worse, better) = if must.more_is_worse {
                    (found.high, found.low)
                } else {
                    (found.low, found.high)
                };
                (
                    better.parked_days - worse.parked_days,
                    worse.short_days - better.short_days,
                )
            };
            let (one, two) = (worse_by(must.range), worse_by(2.0 * must.range));
            println!("{}: {one:?}, twice as uncertain {two:?}", must.name);
            for (tells, one, two) in [(must.tells.0, one.0, two.0), (must.tells.1, one.1, two.1)] {
                if tells {
                    assert!(one > 0.0 && two > one, "{}: {one} {two}", must.name);
                } else {
                    assert_eq!((one, two), (0.0, 0.0), "{}", must.name);
                }
            }
        }
    }

    #[test]
    fn a_range_of_nothing_leaves_weather_alone_and_a_wider_one_widens_the_band() {
        let mut inputs = hut();
        let of = |inputs: &Inputs| {
            let doubting = Doubting::new(inputs).unwrap();
            Tally::of(doubting.jointly(0..25))
        };
        let usual = band(&of(&inputs)).unwrap();
        inputs.ranges = Ranges {
            use_share: 0.0,
            sky_share: 0.0,
            shade_share: 0.0,
            capacity_share: 0.0,
            age_years: 0.0,
            driving_share: 0.0,
            warmth_k: 0.0,
        };
        let nothing = of(&inputs);
        // The same years as drawn in plain weather.
        let plain = Doubting::new(&inputs).unwrap().plain;
        assert_eq!(nothing, Chances::new(&plain).draw(0, 0..25 * YEARS_EACH));
        assert!(all(&inputs).is_empty());
        let nothing = band(&nothing).unwrap();
        assert!(
            usual[0] <= nothing[0] && usual[1] > nothing[1],
            "{usual:?} {nothing:?}"
        );
        assert_eq!(band(&Tally::default()), None);
    }
}
