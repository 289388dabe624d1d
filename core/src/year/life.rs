//! A bank lives through the days of a year. Charge is kept in Ah at the bank's nominal voltage; a ledger in Wh stands beside it.

use super::ageing::Turns;
use super::clock::{Clock, Slot};
use super::hour::{Books, Limits, Moment, Offer, Reached, Stepper};
use super::{Ledger, STATES};
use crate::battery::{Reservoir, Step};
use crate::charge::Alternator;
use crate::numeric::{greater, whole_below};

/// One day: what runs, what the sun gives, whether the engine or a hook-up does.
#[derive(Clone, Debug, PartialEq)]
pub struct Day {
    /// Month, 0 = January.
    pub month: usize,
    /// Which of the bank's conditions holds.
    pub bank: usize,
    /// Which of the profiles of use.
    pub profile: usize,
    /// From the sun, by the clock [W].
    pub sun_w: [f64; 24],
    /// Whether the engine runs at its hours.
    pub drives: bool,
    /// Whether the hook-up is there at its hours.
    pub hooked_up: bool,
}

/// What the loads draw from the bank by the clock.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Draw {
    /// On direct current [W].
    pub direct_w: [f64; 24],
    /// Through the inverter, its losses and its own draw included [W].
    pub inverter_w: [f64; 24],
}

impl Draw {
    /// All of it [Wh].
    fn wh(&self) -> f64 {
        self.direct_w.iter().chain(&self.inverter_w).sum()
    }
}

/// Days, and all that acts on them, the same for every bank that lives them.
#[derive(Clone, Debug)]
pub struct Course {
    /// In their order.
    pub days: Vec<Day>,
    /// Profiles of use.
    pub draws: Vec<Draw>,
    /// The steps of a day.
    pub clock: Clock,
    /// The engine's link.
    pub engine: Option<Alternator>,
    /// What the hook-up's charger gives on a hooked-up day while it boosts, and while it floats [W].
    pub shore_w: ([f64; 24], [f64; 24]),
    /// Voltage at which the inverter cuts out [V].
    pub inverter_cutoff_v: f64,
}

/// The end of an hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passed<'a> {
    /// State of charge, 0 to 1.
    pub soc: f64,
    /// Voltage at the terminals [V].
    pub volts: f64,
    /// What has moved since midnight.
    pub today: &'a Ledger,
}

/// What a bank lived through.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lived {
    /// The year's ledger.
    pub ledger: Ledger,
    /// What each calendar month moved, January first.
    pub months: [Ledger; 12],
    /// Lowest state of charge of each day, 0 to 1.
    pub lowest: Vec<f64>,
    /// Loads that went unserved on each day [Wh].
    pub unserved_wh: Vec<f64>,
    /// Whether the reserve line was passed on each day.
    pub below_reserve: Vec<bool>,
    /// Longest time between two fullnesses [days].
    pub longest_unfilled_days: f64,
    /// Lowest voltage at the terminals in each calendar month, January first [V]; infinite in a month without days.
    pub lowest_v: [f64; 12],
    /// Largest current out, mean of a step [A].
    pub most_out_a: f64,
    /// Largest current in, mean of a step [A].
    pub most_in_a: f64,
    /// Days whose lowest charge freezes where the bank stands.
    pub freezing_days: u32,
    /// Hours spent in each tenth of charge, from empty up [h].
    pub hours_at: [f64; STATES],
    /// The turning points of the state of charge, 0 to 1: all that a count of cycles looks at.
    pub turns: Vec<f64>,
    /// What went unserved, by profile of use and hour of the clock: on direct current, through the inverter [Wh]. Empty where
    /// nothing did.
    pub lacking_wh: Vec<[[f64; 2]; 24]>,
}

impl Lived {
    /// Notes what has gone unserved by the hours of a day, and leaves nothing of it.
    #[cold]
    fn lacks(&mut self, profiles: usize, profile: usize, lacked: &mut [[f64; 2]; 24]) {
        self.lacking_wh.resize(profiles, [[0.0; 2]; 24]);
        let sums = self.lacking_wh.get_mut(profile).into_iter().flatten();
        for ([direct, inverter], lacked) in sums.zip(lacked) {
            let [lacked_direct, lacked_inverter] = std::mem::take(lacked);
            *direct += lacked_direct;
            *inverter += lacked_inverter;
        }
    }
}

/// Steps a bank through its days, from full. `tanks` is the bank in all conditions that its days name; they share their wells.
pub fn live(
    tanks: &[Reservoir],
    course: &Course,
    mut observe: Option<&mut dyn FnMut(Passed<'_>)>,
) -> Lived {
    let Some(mut walk) = Walk::new(tanks, course) else {
        return Lived::default();
    };
    let freezes: Vec<f64> = tanks.iter().map(Reservoir::freezes_below).collect();
    let days = course.days.len();
    let mut lived = Lived {
        lowest: Vec::with_capacity(days),
        unserved_wh: Vec::with_capacity(days),
        below_reserve: Vec::with_capacity(days),
        lowest_v: [f64::INFINITY; 12],
        ..Lived::default()
    };
    lived.ledger.initial_ah = walk.moment.state.total_ah;
    let (mut now_h, mut filled_h, mut longest_h) = (0.0, 0.0, 0.0);
    let mut turns = Turns::from(walk.moment.soc);
    let mut lacked = [[0.0; 2]; 24];
    for day in &course.days {
        let Some((tank, freezes_below)) = tanks.get(day.bank).zip(freezes.get(day.bank)) else {
            continue;
        };
        let mut books = Books {
            ledger: Ledger::default(),
            reached: Reached::NOTHING,
        };
        let mut had = [0.0; 2];
        walk.day(day, &mut books, |seen| {
            if seen.may_lack
                && let Some([direct, inverter]) = lacked.get_mut(seen.slot.hour)
            {
                let have = seen.ledger.unserved_by_supply_wh();
                let [had_direct, had_inverter] = std::mem::replace(&mut had, have);
                *direct += have[0] - had_direct;
                *inverter += have[1] - had_inverter;
            }
            if seen.moment.full {
                longest_h = greater(longest_h, now_h - filled_h);
                filled_h = now_h + seen.hours;
            }
            now_h += seen.hours;
            let soc = seen.moment.soc;
            if let Some(turned) = turns.next(soc) {
                lived.turns.push(turned);
            }
            let tenth = whole_below(soc * STATES as f64).min(STATES - 1);
            if let Some(hours) = lived.hours_at.get_mut(tenth) {
                *hours += seen.hours;
            }
            if seen.slot.ends_hour
                && let Some(observe) = &mut observe
            {
                observe(Passed {
                    soc,
                    volts: seen.volts,
                    today: seen.ledger,
                });
            }
        });
        let Books {
            ledger: today,
            reached,
        } = books;
        if today.unserved_wh() > 0.0 {
            lived.lacks(course.draws.len(), day.profile, &mut lacked);
        }
        let lowest = tank.soc_of(reached.lowest_ah);
        lived.lowest.push(lowest);
        lived.unserved_wh.push(today.unserved_wh());
        lived
            .below_reserve
            .push(reached.lowest_ah < tank.reserve_line_ah());
        lived.freezing_days += u32::from(lowest < *freezes_below);
        lived.most_out_a = lived.most_out_a.max(reached.most_out_a);
        lived.most_in_a = lived.most_in_a.max(reached.most_in_a);
        if let Some(low) = lived.lowest_v.get_mut(day.month) {
            *low = low.min(reached.lowest_v);
        }
        if let Some(month) = lived.months.get_mut(day.month) {
            month.add(&today);
        }
        lived.ledger.add(&today);
    }
    lived.turns.push(turns.last());
    lived.longest_unfilled_days = greater(longest_h, now_h - filled_h) / 24.0;
    lived.ledger.final_ah = walk.moment.state.total_ah;
    lived
}

/// Two states whose charges differ by less than this share of all charge are the same.
const SAME: f64 = 1e-9;

/// How long a bank that is full at the midnight before each day of the course lasts until a load goes unserved [days];
/// infinite where it never does within a year. The course begins anew where it ends.
///
/// A bank that starts full and the bank that came through the year are the same from where both are full; from there on
/// the year's own shortages tell.
pub fn lasting_from_full(tanks: &[Reservoir], course: &Course) -> Vec<f64> {
    let days = course.days.len();
    let Some(mut walk) = Walk::new(tanks, course) else {
        return Vec::new();
    };
    let full = walk.moment;
    let same = SAME * full.state.total_ah;
    // The bank's own way through the year: how it stood at each midnight, and the hour of each day at which it ran short.
    let mut own = Vec::with_capacity(days);
    for day in &course.days {
        own.push((walk.moment, walk.short_after_h(day)));
    }
    let mut next = vec![f64::INFINITY; days];
    let mut until = f64::INFINITY;
    for round in 0..2 {
        for ((_, short), next) in own.iter().zip(&mut next).rev() {
            until = short.map_or(until + 1.0, |hours| hours / 24.0);
            if round == 1 || until.is_finite() {
                *next = until;
            }
        }
    }
    (0..days)
        .map(|start| {
            walk.moment = full;
            for (gone, day) in course
                .days
                .iter()
                .cycle()
                .skip(start)
                .take(days)
                .enumerate()
            {
                if let Some(((then, _), next)) = own
                    .get((start + gone) % days)
                    .zip(next.get((start + gone) % days))
                    && walk.moment.is_as(then, same)
                {
                    return gone as f64 + next;
                }
                if let Some(hours) = walk.short_after_h(day) {
                    return gone as f64 + hours / 24.0;
                }
            }
            f64::INFINITY
        })
        .collect()
}

/// What is seen of a walk after each step.
struct Seen<'a> {
    moment: &'a Moment,
    slot: &'a Slot,
    hours: f64,
    volts: f64,
    /// Whether a load may have gone unserved.
    may_lack: bool,
    ledger: &'a Ledger,
}

/// A bank on its way through a course.
struct Walk<'a> {
    tanks: &'a [Reservoir],
    course: &'a Course,
    limits: Vec<Limits>,
    /// The steps of a day without driving and with it.
    plain: Vec<(Slot, Step)>,
    driving: Vec<(Slot, Step)>,
    /// Profiles of use, each with what it wants in a day [Wh].
    draws: Vec<(&'a Draw, f64)>,
    moment: Moment,
}

impl<'a> Walk<'a> {
    /// Full, at the first midnight; none without a bank.
    fn new(tanks: &'a [Reservoir], course: &'a Course) -> Option<Self> {
        let first = tanks.first()?;
        let clock = &course.clock;
        let steps: Vec<Step> = clock.lengths.iter().map(|its| first.step(*its)).collect();
        let with_steps = |slots: &[Slot]| {
            let slots = slots.iter();
            slots
                .filter_map(|slot| Some((*slot, *steps.get(slot.length)?)))
                .collect()
        };
        let limits = |tank| Limits::new(tank, course.inverter_cutoff_v);
        Some(Self {
            tanks,
            course,
            limits: tanks.iter().map(limits).collect(),
            plain: with_steps(&clock.plain),
            driving: with_steps(&clock.driving),
            draws: course.draws.iter().map(|draw| (draw, draw.wh())).collect(),
            moment: Moment {
                state: first.full(),
                soc: 1.0,
                direct_cut: false,
                inverter_cut: false,
                full: true,
            },
        })
    }

    /// Walks through a day; after how many hours of it a load first goes unserved, if one does.
    fn short_after_h(&mut self, day: &Day) -> Option<f64> {
        let mut books = Books {
            ledger: Ledger::default(),
            reached: Reached::NOTHING,
        };
        let (mut hours, mut short) = (0.0, None);
        self.day(day, &mut books, |seen| {
            if seen.may_lack && short.is_none() && seen.ledger.unserved_wh() > 0.0 {
                short = Some(hours);
            }
            hours += seen.hours;
        });
        short
    }

    /// Walks through a day; `see` is shown the bank after each step.
    #[inline(always)]
    fn day(&mut self, day: &Day, books: &mut Books, mut see: impl FnMut(Seen<'_>)) {
        let (Some(tank), Some(limits)) = (self.tanks.get(day.bank), self.limits.get(day.bank))
        else {
            return;
        };
        let stepper = Stepper { tank, limits };
        let Some((draw, wanted_wh)) = self.draws.get(day.profile) else {
            return;
        };
        books.ledger.wanted_wh += wanted_wh;
        books.ledger.sun_wh += day.sun_w.iter().sum::<f64>();
        let moment = self.moment;
        self.moment = if !day.drives && !day.hooked_up && self.plain.len() == 24 {
            // A step an hour, and only the sun comes in: most days.
            let hours = draw.direct_w.iter().zip(&draw.inverter_w).zip(&day.sun_w);
            let offers = hours.map(|((direct_w, inverter_w), sun_w)| Offer {
                direct_w: *direct_w,
                inverter_w: *inverter_w,
                sun_w: *sun_w,
                engine: None,
                shore_w: (0.0, 0.0),
            });
            walk(
                &stepper,
                moment,
                self.plain.iter().zip(offers),
                books,
                &mut see,
            )
        } else {
            let (boost, float) = &self.course.shore_w;
            let slots = if day.drives {
                &self.driving
            } else {
                &self.plain
            };
            let offers = slots.iter().map(|(slot, _)| {
                let at = |hours: &[f64; 24]| hours.get(slot.hour).copied().unwrap_or(0.0);
                Offer {
                    direct_w: at(&draw.direct_w),
                    inverter_w: at(&draw.inverter_w),
                    sun_w: at(&day.sun_w),
                    engine: self.course.engine.as_ref().filter(|_| slot.engine),
                    shore_w: if day.hooked_up {
                        (at(boost), at(float))
                    } else {
                        (0.0, 0.0)
                    },
                }
            });
            walk(&stepper, moment, slots.iter().zip(offers), books, &mut see)
        };
    }
}

/// Takes step after step of a day; the bank after the last.
#[inline(always)]
fn walk<'a>(
    stepper: &Stepper<'_>,
    mut moment: Moment,
    steps: impl Iterator<Item = (&'a (Slot, Step), Offer<'a>)>,
    books: &mut Books,
    see: &mut impl FnMut(Seen<'_>),
) -> Moment {
    for ((slot, step), offer) in steps {
        let may_lack = stepper.take(step, &mut moment, &offer, books);
        see(Seen {
            moment: &moment,
            slot,
            hours: step.hours(),
            volts: books.reached.volts,
            may_lack,
            ledger: &books.ledger,
        });
    }
    moment
}

#[cfg(test)]
mod tests;
