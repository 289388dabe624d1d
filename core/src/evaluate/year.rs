//! The year of every candidate: its days laid out, its weather drawn, its hours lived, its life reckoned.

use super::banks::health;
use super::climate::Year;
use super::income::{Income, real_day};
use super::metered_hours;
use crate::battery::{Conditions, Reservoir};
use crate::energy::{Consumption, DayKind};
use crate::inputs::{Candidate, Inputs};
use crate::report::{BankYear, YearReport};
use crate::solar::MONTH_DAYS;
use crate::year::{Day, Lived, Sources, cycles_to_end, damage, life, live, typical_month};

/// Years over which costs are compared.
const COST_YEARS: f64 = 10.0;

/// Lives every candidate through a typical year from the first of January, from full.
pub fn year(inputs: &Inputs) -> YearReport {
    let laid = Laid::out(inputs);
    let banks = inputs.candidates.iter();
    YearReport {
        banks: banks.map(|row| bank(row, &laid)).collect(),
    }
}

/// One hour of the chosen bank's typical year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct YearHour {
    /// Day of the year, from 1.
    pub day: u16,
    /// Hour of the day, 0 to 23, by the clock.
    pub hour: u8,
    /// Kind of day.
    pub kind: DayKind,
    /// Loads [W].
    pub use_w: f64,
    /// Sun behind its controller [W].
    pub sun_w: f64,
    /// State of charge at the hour's end, 0 to 1.
    pub soc: f64,
    /// Voltage at the terminals [V].
    pub volts: f64,
    /// Mean current out of the bank [A]; negative into it.
    pub current_a: f64,
}

/// The chosen candidate's typical year by the hour: 8,760 rows.
pub fn year_hours(inputs: &Inputs) -> Vec<YearHour> {
    let Some(row) = super::income::chosen(inputs) else {
        return Vec::new();
    };
    let laid = Laid::out(inputs);
    let mut lived = Vec::with_capacity(laid.days.len() * 24);
    laid.live(row, &mut |soc, volts, current_a| {
        lived.push((soc, volts, current_a))
    });
    let hours = laid
        .days
        .iter()
        .enumerate()
        .flat_map(|(at, day)| (0..24usize).map(move |hour| (at, day, hour)));
    hours
        .zip(lived)
        .map(|((at, day, hour), (soc, volts, current_a))| YearHour {
            day: at as u16 + 1,
            hour: hour as u8,
            kind: DayKind::ALL
                .get(day.profile / 12)
                .copied()
                .unwrap_or(DayKind::Parked),
            use_w: laid
                .profiles
                .get(day.profile)
                .and_then(|hours| hours.get(hour))
                .copied()
                .unwrap_or(0.0),
            sun_w: day.sun_w.get(hour).copied().unwrap_or(0.0),
            soc,
            volts,
            current_a,
        })
        .collect()
}

/// A year laid out, the same for every bank that lives it.
struct Laid<'a> {
    air: Year,
    profiles: Vec<[f64; 24]>,
    days: Vec<Day>,
    sources: Sources<'a>,
}

impl<'a> Laid<'a> {
    fn out(inputs: &'a Inputs) -> Self {
        let air = Year::new(&inputs.living, inputs.sun.as_ref());
        let income = Income::new(inputs, &air);
        Self {
            profiles: profiles(inputs, &air),
            days: days(inputs, &air),
            sources: Sources {
                alternator: inputs.driving.as_ref().map(|driving| &driving.alternator),
                drive: income.drive(),
                shore_w: income.shore_w(),
            },
            air,
        }
    }

    fn live(&self, row: &Candidate, observe: &mut dyn FnMut(f64, f64, f64)) -> Lived {
        let tanks = tanks(row, &self.air);
        live(&tanks, &self.days, &self.profiles, &self.sources, observe)
    }
}

/// The bank in each month's conditions.
fn tanks(row: &Candidate, air: &Year) -> [Reservoir; 12] {
    let soh = health(
        row.age_years,
        row.bank.battery.chemistry.traits().calendar_years,
    );
    std::array::from_fn(|month| {
        let conditions = Conditions {
            temp_c: air.battery_c(month),
            soh,
        };
        Reservoir::new(&row.bank, &row.fitted, &conditions)
    })
}

/// Use by kind of day and month, in that order.
fn profiles(inputs: &Inputs, air: &Year) -> Vec<[f64; 24]> {
    let consumption = Consumption::new(&inputs.loads, inputs.inverter.as_ref());
    let parked = consumption.hourly_w(
        DayKind::Parked,
        inputs.living.month,
        &air.parked_temps(inputs.living.month),
    );
    let summed: f64 = parked.iter().sum();
    let of = |kind: DayKind, month: usize| {
        let hours = consumption.hourly_w(kind, month, &air.temps(kind, month));
        metered_hours(inputs.metered_wh, summed, hours)
    };
    let kinds = DayKind::ALL.into_iter();
    kinds
        .flat_map(|kind| (0..12).map(move |month| (kind, month)))
        .map(|(kind, month)| of(kind, month))
        .collect()
}

/// The days of the year: the rhythm repeated, the weather drawn.
fn days(inputs: &Inputs, air: &Year) -> Vec<Day> {
    let rhythm = &inputs.living.rhythm;
    let mut kinds = rhythm
        .iter()
        .flat_map(|(kind, days)| std::iter::repeat_n(*kind, *days as usize))
        .cycle();
    let mut all = Vec::with_capacity(365);
    for (month, length) in MONTH_DAYS.into_iter().enumerate() {
        for clearness in typical_month(air.clearness(month), month, length) {
            let kind = kinds.next().unwrap_or(DayKind::Parked);
            let place = (all.len() + 1, month, clearness);
            all.push(Day {
                month,
                profile: kind.index() * 12 + month,
                sun_w: inputs
                    .sun
                    .as_ref()
                    .map_or([0.0; 24], |sun| real_day(inputs, air, sun, place)),
                drives: kind == DayKind::Travelling,
                hooked_up: kind == DayKind::HookedUp,
            });
        }
    }
    all
}

fn bank(row: &Candidate, laid: &Laid<'_>) -> BankYear {
    let traits = row.bank.battery.chemistry.traits();
    let lived = laid.live(row, &mut |_, _, _| {});
    let is_short = |wh: &f64| *wh > 1e-6;
    let mut short_by_month = [0u32; 12];
    for (day, wh) in laid.days.iter().zip(&lived.unserved_wh) {
        if let Some(count) = short_by_month.get_mut(day.month) {
            *count += u32::from(is_short(wh));
        }
    }
    let (mut spell, mut longest) = (0u32, 0u32);
    for wh in &lived.unserved_wh {
        spell = if is_short(wh) { spell + 1 } else { 0 };
        longest = longest.max(spell);
    }
    let mean_c = (0..12).map(|month| laid.air.battery_c(month)).sum::<f64>() / 12.0;
    let wear = damage(lived.soc.iter().copied(), |depth| {
        cycles_to_end(traits, depth)
    });
    let life = life(traits, wear, mean_c);
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
        ledger: lived.ledger,
        longest_unfilled_days: lived.longest_unfilled_days,
        lowest_v: lived.lowest_v,
        most_out_a: lived.most_out_a,
        most_in_a: lived.most_in_a,
        life,
        ten_years_price: price.map(|price| price * (COST_YEARS / life.years).ceil().max(1.0)),
        price_per_kwh: price
            .filter(|_| delivered_kwh > 0.0)
            .map(|price| price / (life.years * delivered_kwh)),
    }
}
