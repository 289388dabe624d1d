//! The year of every candidate: its days laid out, its weather drawn, its hours lived, its life reckoned.

mod least_array;
mod weakest;

use super::banks::health;
use super::climate::Year;
use super::income::{Roof, chosen, shore_stages_w};
use super::lacking::unserved_by_load;
use super::meter_scale;
use crate::battery::{Conditions, Lasting, Reservoir};
use crate::energy::{Consumption, DayKind, HourTemps};
use crate::inputs::{Candidate, Inputs, MONTHS};
use crate::numeric::{ascending, order};
use crate::report::{BankYear, FromFull, YearDay, YearHour, YearReport, lowest_day};
use crate::solar::MONTH_DAYS;
use crate::year::{
    Clock, Course, Day, Draw, Ledger, Lived, Passed, cycles_to_end, damage, lasting_from_full,
    life, live, typical_month,
};
use chrono::Datelike;

/// Days of the longest year.
const MOST_DAYS: usize = 366;
/// Years over which costs are compared.
const COST_YEARS: f64 = 10.0;
/// What a day may lack and not be short, for rounding [Wh].
pub(super) const SHORT_FROM_WH: f64 = 1e-6;

/// Lives every candidate through a typical year, from full.
pub fn year(inputs: &Inputs) -> YearReport {
    year_in_parts(inputs, 1)
}

/// The same in steps of an hour over `parts`.
pub fn year_in_parts(inputs: &Inputs, parts: u32) -> YearReport {
    TypicalYear::in_parts(inputs, parts).report()
}

/// The chosen candidate's typical year by the hour: 8,760 rows, 8,784 where it holds a leap day.
pub fn year_hours(inputs: &Inputs) -> Vec<YearHour> {
    TypicalYear::new(inputs).hours()
}

/// A plan's typical year laid out once, the same for every bank that lives it; what is asked of it is worked out when asked.
pub struct TypicalYear {
    inputs: Inputs,
    air: Year,
    course: Course,
}

impl TypicalYear {
    /// Lays it out in steps of an hour.
    pub fn new(inputs: &Inputs) -> Self {
        Self::in_parts(inputs, 1)
    }

    fn in_parts(inputs: &Inputs, parts: u32) -> Self {
        let air = Year::new(&inputs.living, inputs.sun.as_ref());
        let driving = inputs.driving.as_ref();
        let course = Course {
            days: days(inputs, &air),
            draws: draws(inputs, &air),
            clock: clock(inputs, parts),
            engine: driving.map(|driving| driving.alternator.clone()),
            shore_w: shore_stages_w(inputs),
            inverter_cutoff_v: inputs.inverter_cutoff_v,
        };
        Self {
            inputs: inputs.clone(),
            air,
            course,
        }
    }

    fn live(&self, row: &Candidate, observe: Option<&mut dyn FnMut(Passed<'_>)>) -> Lived {
        live(&tanks(row, &self.air), &self.course, observe)
    }

    /// What every candidate lives through, from full.
    pub fn report(&self) -> YearReport {
        self.report_of(&self.inputs.candidates)
    }

    /// What the nth candidate alone lives through; without one, nobody does.
    pub fn report_of_one(&self, nth: usize) -> YearReport {
        let row = self.inputs.candidates.get(nth);
        self.report_of(row.map_or(&[], std::slice::from_ref))
    }

    fn report_of(&self, rows: &[Candidate]) -> YearReport {
        let days = self.course.days.iter();
        let banks = rows.iter();
        YearReport {
            starts: self.inputs.living.starts.to_string(),
            month_of: days.map(|day| day.month as u8 + 1).collect(),
            banks: banks.map(|row| bank(&self.inputs, row, self)).collect(),
        }
    }

    /// The chosen candidate's hours: 8,760, or 8,784 where the year holds a leap day; none without candidates.
    pub fn hours(&self) -> Vec<YearHour> {
        self.lived_by_hour().map_or(Vec::new(), |(_, hours)| hours)
    }

    /// The day on which the chosen candidate stands lowest; none without candidates.
    pub fn lowest_day(&self) -> Option<YearDay> {
        let (lived, hours) = self.lived_by_hour()?;
        YearDay::of(&hours, lowest_day(&lived.lowest)?)
    }

    /// What the chosen candidate lives through, and its hours; none without candidates.
    fn lived_by_hour(&self) -> Option<(Lived, Vec<YearHour>)> {
        let row = chosen(&self.inputs)?;
        let Course { days, draws, .. } = &self.course;
        let mut dates = self.inputs.living.starts.iter_days();
        let (mut date, mut before) = (self.inputs.living.starts, Ledger::default());
        let mut hours = Vec::with_capacity(days.len() * 24);
        let mut note = |end: Passed<'_>| {
            let hour = hours.len() % 24;
            if hour == 0 {
                date = dates.next().unwrap_or(date);
                before = Ledger::default();
            }
            let Some(day) = days.get(hours.len() / 24) else {
                return;
            };
            let at = |hours: &[f64; 24]| hours.get(hour).copied().unwrap_or(0.0);
            let draw = draws.get(day.profile);
            let direct_w = draw.map_or(0.0, |draw| at(&draw.direct_w));
            let since = |of: fn(&Ledger) -> f64| of(end.today) - of(&before);
            hours.push(YearHour {
                day: date.ordinal() as u16,
                hour: hour as u8,
                kind: kind_of(day.profile / self.air.seasons()),
                use_w: direct_w + draw.map_or(0.0, |draw| at(&draw.inverter_w)),
                direct_w,
                sun_w: at(&day.sun_w),
                soc: end.soc,
                volts: end.volts,
                current_a: since(|ledger| ledger.discharged_ah) - since(|ledger| ledger.charged_ah),
                drive_w: since(|ledger| ledger.drive_wh),
                shore_w: since(|ledger| ledger.shore_wh),
                unserved_w: since(Ledger::unserved_wh),
            });
            before = *end.today;
        };
        let lived = self.live(row, Some(&mut note));
        Some((lived, hours))
    }

    /// How long the chosen candidate lasts from full; none without candidates.
    pub fn lasting(&self) -> Option<FromFull> {
        let row = chosen(&self.inputs)?;
        let mut lasting = lasting_from_full(&tanks(row, &self.air), &self.course);
        let worst = order(&lasting).first().copied()?;
        ascending(&mut lasting);
        Some(FromFull {
            worst: Lasting::of_days(*lasting.first()?),
            worst_day: worst as u16,
            median: Lasting::of_days(*lasting.get(lasting.len() / 2)?),
        })
    }
}

/// The kind of day of an index.
pub(super) fn kind_of(index: usize) -> DayKind {
    let kind = DayKind::ALL.get(index).copied();
    kind.unwrap_or(DayKind::Parked)
}

/// The steps of a day, an hour over `parts`, cut where the engine starts and stops.
pub(super) fn clock(inputs: &Inputs, parts: u32) -> Clock {
    let (from_h, hours) = inputs.driving.as_ref().map_or((0.0, 0.0), |driving| {
        (f64::from(driving.from_min) / 60.0, driving.hours)
    });
    Clock::new(parts, from_h, hours)
}

/// The bank in each season's conditions.
pub(super) fn tanks(row: &Candidate, air: &Year) -> Vec<Reservoir> {
    let seasons = 0..air.seasons();
    seasons
        .map(|season| tank(row, air.battery_c(season)))
        .collect()
}

/// The bank at a temperature [°C], as old as it is.
pub(super) fn tank(row: &Candidate, temp_c: f64) -> Reservoir {
    let soh = health(
        row.age_years,
        row.bank.battery.chemistry.traits().calendar_years,
    );
    Reservoir::new(&row.bank, &row.fitted, &Conditions { temp_c, soh })
}

/// What a plan's loads draw, on any day.
pub(super) struct Use {
    consumption: Consumption,
    /// By what the loads are multiplied where a meter tells their sum.
    scale: f64,
    /// What the meter tells of loads that are not listed [W].
    flat_w: Option<f64>,
}

impl Use {
    pub(super) fn new(inputs: &Inputs, air: &Year) -> Self {
        let consumption = Consumption::new(&inputs.loads, inputs.inverter.as_ref());
        let (month, season) = (inputs.living.month, air.main_season(inputs.living.month));
        let parked = consumption.hourly_w(DayKind::Parked, month, &air.parked_temps(season));
        let summed: f64 = parked.iter().sum();
        Self {
            scale: meter_scale(inputs.metered_wh, summed),
            flat_w: inputs
                .metered_wh
                .filter(|_| summed <= 0.0)
                .map(|wh| wh / 24.0),
            consumption,
        }
    }

    /// On a kind of day in such air.
    pub(super) fn on(&self, kind: DayKind, month: usize, temps: &HourTemps) -> Draw {
        if let Some(w) = self.flat_w {
            return Draw {
                direct_w: [w; 24],
                inverter_w: [0.0; 24],
            };
        }
        let (direct_w, inverter_w) = self.consumption.hourly_by_supply_w(kind, month, temps);
        Draw {
            direct_w: direct_w.map(|w| w * self.scale),
            inverter_w: inverter_w.map(|w| w * self.scale),
        }
    }
}

/// Use by kind of day and season, in that order.
pub(super) fn draws(inputs: &Inputs, air: &Year) -> Vec<Draw> {
    let uses = Use::new(inputs, air);
    by_profile(inputs, air, |kind, season| {
        uses.on(kind, season % MONTHS, &air.temps(kind, season))
    })
}

/// Something by kind of day and season, in the order of the profiles; nothing for kinds of day and seasons that do not occur.
pub(super) fn by_profile(
    inputs: &Inputs,
    air: &Year,
    on: impl Fn(DayKind, usize) -> Draw,
) -> Vec<Draw> {
    let living = &inputs.living;
    let is_lived = |kind: DayKind| {
        living.rhythm.iter().any(|(its, _)| *its == kind)
            || living.stays.iter().any(|stay| stay.kind == Some(kind))
    };
    let kinds = DayKind::ALL.into_iter();
    kinds
        .flat_map(|kind| (0..air.seasons()).map(move |season| (kind, season)))
        .map(
            |(kind, season)| match is_lived(kind) && air.is_lived(season) {
                true => on(kind, season),
                false => Draw::default(),
            },
        )
        .collect()
}

/// The days of the year under what the panels give.
fn days(inputs: &Inputs, air: &Year) -> Vec<Day> {
    let roof = Roof::new(inputs, air);
    days_under(inputs, air, |ordinal, season, clearness| {
        let roof = roof.as_ref();
        roof.map_or([0.0; 24], |roof| {
            roof.real_day_w(ordinal, season, clearness, None)
        })
    })
}

/// The days of the year: the rhythm repeated, dated stays in its place, the weather drawn. `sun_w` is what comes in by the clock
/// [W] on a day of the year (from 1), in a season, of such a clearness.
fn days_under(
    inputs: &Inputs,
    air: &Year,
    sun_w: impl Fn(usize, usize, f64) -> [f64; 24],
) -> Vec<Day> {
    let living = &inputs.living;
    let mut rhythm = living
        .rhythm
        .iter()
        .flat_map(|(kind, days)| std::iter::repeat_n(*kind, *days as usize))
        .cycle();
    let leap = living.dates().count() > 365;
    let weather: Vec<Vec<f64>> = (0..air.seasons())
        .map(|season| {
            let month = season % MONTHS;
            let days = MONTH_DAYS.get(month).copied().unwrap_or(30);
            let days = days + usize::from(leap && month == 1);
            typical_month(air.clearness(season), month, days)
        })
        .collect();
    let mut days = Vec::with_capacity(MOST_DAYS);
    for date in living.dates() {
        let repeated = rhythm.next().unwrap_or(DayKind::Parked);
        let stay = living.stay_on(date);
        let kind = stay.and_then(|stay| stay.kind).unwrap_or(repeated);
        let month = date.month0() as usize;
        let season = stay.map_or(0, |stay| stay.place) * MONTHS + month;
        let drawn = weather.get(season).and_then(|days| {
            let day = days.get(date.day0() as usize).or(days.last());
            day.copied()
        });
        let clearness = drawn.unwrap_or(air.clearness(season));
        days.push(Day {
            month,
            bank: season,
            profile: kind.index() * air.seasons() + season,
            sun_w: sun_w(date.ordinal() as usize, season, clearness),
            drives: kind == DayKind::Travelling,
            hooked_up: kind == DayKind::HookedUp,
        });
    }
    days
}

fn bank(inputs: &Inputs, row: &Candidate, laid: &TypicalYear) -> BankYear {
    let traits = row.bank.battery.chemistry.traits();
    let lived = laid.live(row, None);
    let is_short = |wh: &f64| *wh > SHORT_FROM_WH;
    let mut short_by_month = [0u32; 12];
    for (day, wh) in laid.course.days.iter().zip(&lived.unserved_wh) {
        if let Some(count) = short_by_month.get_mut(day.month) {
            *count += u32::from(is_short(wh));
        }
    }
    let (mut spell, mut longest) = (0u32, 0u32);
    for wh in &lived.unserved_wh {
        spell = if is_short(wh) { spell + 1 } else { 0 };
        longest = longest.max(spell);
    }
    // The coldest of each month's places.
    let temps: [f64; 12] = std::array::from_fn(|month| {
        let seasons = laid.air.lived_in(month);
        let temps = seasons.map(|season| laid.air.battery_c(season));
        temps.fold(f64::INFINITY, f64::min)
    });
    let coldest = temps.iter().copied().fold(f64::INFINITY, f64::min);
    let lowest_v = lived.lowest_v.iter().copied();
    let in_coldest = temps
        .iter()
        .zip(lowest_v.clone())
        .filter(|(temp_c, _)| **temp_c <= coldest)
        .map(|(_, volts)| volts);
    let wear = damage(lived.turns.iter().copied(), |depth| {
        cycles_to_end(traits, depth)
    });
    let life = life(traits, wear, laid.air.mean_battery_c());
    let count = f64::from(row.bank.series * row.bank.parallel);
    let price = row.price.map(|price| price * count);
    let delivered_kwh = lived.ledger.discharged_wh / 1000.0;
    BankYear {
        id: row.id,
        short_days: short_by_month.iter().sum(),
        short_by_month,
        longest_spell_days: longest,
        reserve_days: lived.below_reserve.iter().filter(|below| **below).count() as u32,
        lowest_soc: lived.lowest,
        unserved_wh: lived.unserved_wh,
        unserved_by_load: unserved_by_load(inputs, &laid.air, &lived.lacking_wh),
        ledger: lived.ledger,
        months: lived.months,
        hours_at: lived.hours_at,
        longest_unfilled_days: lived.longest_unfilled_days,
        lowest_v: lowest_v.fold(f64::INFINITY, f64::min),
        coldest_v: in_coldest.fold(f64::INFINITY, f64::min),
        freezing_days: lived.freezing_days,
        fuel_l: inputs.fuel_l_h.map(|litres| litres * lived.ledger.shore_h),
        most_out_a: lived.most_out_a,
        most_in_a: lived.most_in_a,
        life,
        ten_years_price: price.map(|price| price * (COST_YEARS / life.years).ceil().max(1.0)),
        price_per_kwh: price
            .filter(|_| delivered_kwh > 0.0)
            .map(|price| price / (life.years * delivered_kwh)),
    }
}
