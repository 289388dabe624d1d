//! Thousands of years: one bank under weather that is drawn, kept lean. Hours in which nothing can be cut take a short way;
//! all others, and those with an engine or a hook-up, take the year's own step.

use super::clock::Clock;
use super::hour::{Books, Limits, Moment, Offer, Reached, Stepper};
use super::weather::{ByScore, Drawn};
use super::{Draw, Ledger};
use crate::battery::{Reservoir, State, Step};
use crate::charge::Alternator;
use crate::numeric::bisect;

/// Days of a drawn year.
pub const YEAR_DAYS: usize = 365;
/// Clearness from one column of the sun's table to the next, and how many columns there are.
pub const CLEARNESS_STEP: f64 = 0.05;
/// Columns of the sun's table.
pub const CLEARNESS_STEPS: usize = 20;

/// A day of the year as the table knows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeanDay {
    /// Month, 0 = January.
    pub month: usize,
    /// Which stretch of the sun's table it lies in.
    pub stretch: usize,
    /// Its sun over that of the stretch's middle.
    pub scale: f64,
    /// The kind of day that a date demands, as an index; none where the rhythm tells.
    pub kind: Option<usize>,
}

/// All that acts on a bank in years that are drawn; shared by the banks of a plan.
#[derive(Clone, Debug)]
pub struct Sky {
    /// From the day on which a year begins.
    pub days: Vec<LeanDay>,
    /// Kinds of day in the order in which they repeat, as indices.
    pub rhythm: Vec<usize>,
    /// Profiles of use: twelve months of each kind of day.
    pub draws: Vec<Draw>,
    /// Sun by the clock [W] at each clearness of a stretch of days.
    pub sun_w: Vec<[f64; 24]>,
    /// Mean clearness of each month.
    pub clearness: [f64; 12],
    /// The steps of a day.
    pub clock: Clock,
    /// The engine's link.
    pub engine: Option<Alternator>,
    /// What the hook-up gives while it boosts, and while it floats [W].
    pub shore_w: ([f64; 24], [f64; 24]),
    /// Voltage at which the inverter cuts out [V].
    pub inverter_cutoff_v: f64,
    /// Indices of the kinds of day on which one drives, and is hooked up.
    pub driving_kind: usize,
    /// The same for a hook-up.
    pub shore_kind: usize,
    /// Which stream of weather is drawn.
    pub seed: u64,
}

/// What a drawn year brought.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct YearShort {
    /// Days short, by calendar month.
    pub by_month: [u8; 12],
    /// Longest run of them.
    pub longest: u16,
    /// Month in which that ended, 0 = January.
    pub longest_month: u8,
    /// What the loads lacked [Wh].
    pub unserved_wh: f64,
}

impl YearShort {
    /// Days short in all.
    pub fn days(&self) -> u32 {
        self.by_month.iter().map(|days| u32::from(*days)).sum()
    }
}

/// A month of a bank, made ready.
struct Month {
    limits: Limits,
    /// At this charge or above nothing is cut, whatever the loads draw [Ah].
    safe_ah: f64,
}

/// A bank under a sky.
pub struct Odds<'a> {
    sky: &'a Sky,
    tanks: &'a [Reservoir; 12],
    months: [Month; 12],
    steps: Vec<Step>,
    by_score: [ByScore; 12],
}

/// The least charge at which a month's voltage holds under the largest hourly draw and no limit is near [Ah].
fn safe_ah(tank: &Reservoir, limits: &Limits, sky: &Sky) -> f64 {
    let (mut most_w, mut uses_inverter) = (0.0f64, false);
    for draw in &sky.draws {
        for (direct, inverter) in draw.direct_w.iter().zip(&draw.inverter_w) {
            most_w = most_w.max(direct + inverter);
            uses_inverter |= *inverter > 0.0;
        }
    }
    let most_a = tank.current_out_a(most_w);
    if most_a > tank.most_out_a() {
        return f64::INFINITY;
    }
    let mut least_v = tank.cutoff_v();
    if uses_inverter {
        least_v = least_v.max(sky.inverter_cutoff_v);
    }
    let needed_v = least_v + most_a * tank.resistance_ohm();
    let spare_v = |total_ah: f64| tank.rest_v_at(tank.soc_of(total_ah)) - needed_v;
    let by_voltage = if spare_v(tank.full_ah()) < 0.0 {
        f64::INFINITY
    } else if spare_v(limits.hard_ah()) >= 0.0 {
        0.0
    } else {
        bisect(spare_v, limits.hard_ah(), tank.full_ah(), 1e-9)
            .map_or(f64::INFINITY, |ah| ah + 1e-6)
    };
    by_voltage.max(limits.hard_ah())
}

impl<'a> Odds<'a> {
    /// Makes a bank ready; `tanks` is the bank in each month's conditions.
    pub fn new(sky: &'a Sky, tanks: &'a [Reservoir; 12]) -> Self {
        let [first, ..] = tanks;
        Self {
            months: std::array::from_fn(|month| {
                let tank = tanks.get(month).unwrap_or(first);
                let limits = Limits::new(tank, sky.inverter_cutoff_v);
                Month {
                    safe_ah: safe_ah(tank, &limits, sky),
                    limits,
                }
            }),
            steps: sky
                .clock
                .lengths
                .iter()
                .map(|hours| first.step(*hours))
                .collect(),
            by_score: std::array::from_fn(|month| {
                ByScore::of_month(sky.clearness.get(month).copied().unwrap_or(0.0))
            }),
            sky,
            tanks,
        }
    }

    /// Draws a year of the stream and lives through it, from full.
    pub fn year(&self, nth: u64) -> YearShort {
        self.year_under(nth, &mut |_, _| {})
    }

    /// The same, telling each day's month and clearness.
    pub fn year_under(&self, nth: u64, tell: &mut dyn FnMut(usize, f64)) -> YearShort {
        let sky = self.sky;
        let [first, ..] = self.tanks;
        let mut weather = Drawn::new(sky.seed, nth);
        let mut moment = Moment {
            state: first.full(),
            soc: 1.0,
            direct_cut: false,
            inverter_cut: false,
            full: true,
        };
        let mut books = Books {
            ledger: Ledger::default(),
            reached: Reached::NOTHING,
        };
        let mut found = YearShort::default();
        let mut spell = 0;
        // The rhythm goes on from year to year.
        let rhythm = sky.rhythm.len().max(1);
        let phase = (nth as usize).wrapping_mul(YEAR_DAYS) % rhythm;
        let mut kinds = sky.rhythm.iter().cycle().skip(phase);
        let none = Draw::default();
        for day in &sky.days {
            let repeated = kinds.next().copied().unwrap_or(0);
            let kind = day.kind.unwrap_or(repeated);
            let score = weather.next();
            let (Some(tank), Some(month), Some(by_score)) = (
                self.tanks.get(day.month),
                self.months.get(day.month),
                self.by_score.get(day.month),
            ) else {
                continue;
            };
            let clearness = by_score.at(score);
            tell(day.month, clearness);
            let sun_w = sky.sun_on(day, clearness);
            let draw = sky.draws.get(kind * 12 + day.month).unwrap_or(&none);
            let before_wh = books.ledger.unserved_wh();
            let bank = Stepper {
                tank,
                limits: &month.limits,
            };
            self.day(&bank, month, &mut moment, &mut books, (kind, draw, &sun_w));
            let short = books.ledger.unserved_wh() > before_wh;
            spell = if short { spell + 1 } else { 0 };
            if spell > found.longest {
                found.longest = spell;
                found.longest_month = day.month as u8;
            }
            if let Some(count) = found.by_month.get_mut(day.month) {
                *count += u8::from(short);
            }
        }
        found.unserved_wh = books.ledger.unserved_wh();
        found
    }

    #[inline(always)]
    fn day(
        &self,
        bank: &Stepper<'_>,
        month: &Month,
        moment: &mut Moment,
        books: &mut Books,
        (kind, draw, sun_w): (usize, &Draw, &[f64; 24]),
    ) {
        let sky = self.sky;
        let drives = kind == sky.driving_kind && sky.engine.is_some();
        let hooked_up = kind == sky.shore_kind;
        let slots = if drives {
            &sky.clock.driving
        } else {
            &sky.clock.plain
        };
        let at = |hours: &[f64; 24], hour: usize| hours.get(hour).copied().unwrap_or(0.0);
        for slot in slots {
            let Some(step) = self.steps.get(slot.length) else {
                continue;
            };
            let (direct_w, inverter_w) = (
                at(&draw.direct_w, slot.hour),
                at(&draw.inverter_w, slot.hour),
            );
            let sun = at(sun_w, slot.hour);
            let plain = !(moment.direct_cut | moment.inverter_cut | hooked_up | slot.engine);
            if plain && bank.glide(step, moment, sun - direct_w - inverter_w, month.safe_ah) {
                continue;
            }
            let shore_w = if hooked_up {
                (at(&sky.shore_w.0, slot.hour), at(&sky.shore_w.1, slot.hour))
            } else {
                (0.0, 0.0)
            };
            moment.soc = bank.tank.soc(moment.state);
            let offer = Offer {
                direct_w,
                inverter_w,
                sun_w: sun,
                engine: sky.engine.as_ref().filter(|_| slot.engine && drives),
                shore_w,
            };
            bank.take(step, moment, &offer, books);
        }
    }
}

impl Stepper<'_> {
    /// Takes a step with only the sun [W net of the loads], if the charge stays where nothing can be cut; else leaves all as
    /// it is.
    #[inline(always)]
    fn glide(&self, step: &Step, moment: &mut Moment, net_w: f64, safe_ah: f64) -> bool {
        let state = moment.state;
        let lost_a = self.tank.self_discharge_a(state);
        let next: State = if net_w < 0.0 {
            step.advance(state, self.tank.current_out_a(-net_w) + lost_a)
        } else {
            let offered_a = self.tank.current_in_a(net_w);
            let soc = self.tank.soc(state);
            let efficiency = self.tank.efficiency_over(step, soc, offered_a);
            let accepted = self
                .tank
                .accept(step, state, (offered_a, efficiency, lost_a));
            let wells_a = lost_a - accepted.current_a * efficiency;
            if accepted.fills {
                step.advance_full(state, wells_a)
            } else {
                step.advance(state, wells_a)
            }
        };
        if next.total_ah() < safe_ah || next.available_ah < 0.0 {
            return false;
        }
        moment.state = next;
        moment.full &= net_w >= 0.0;
        true
    }
}

impl Sky {
    /// Sun by the clock [W] on a day of such a clearness.
    #[inline(always)]
    fn sun_on(&self, day: &LeanDay, clearness: f64) -> [f64; 24] {
        let along = clearness * (1.0 / CLEARNESS_STEP);
        let below = (along as usize).min(CLEARNESS_STEPS - 2);
        let share = along - below as f64;
        let row = day.stretch * CLEARNESS_STEPS + below;
        let Some([low, high]) = self.sun_w.get(row..row + 2) else {
            return [0.0; 24];
        };
        let mut sun = *low;
        for (sun, high) in sun.iter_mut().zip(high) {
            *sun = day.scale * (*sun + share * (high - *sun));
        }
        sun
    }
}
