//! Each candidate bank: how long it lasts, what it holds, how it stands under load, whether it fits.

use super::climate::Year;
use super::income::Income;
use crate::battery::{
    Conditions, FULL_SOC, HourState, Lasting, Reservoir, autonomy, least_parallel, refill_hours,
    reserve_state, trace_day,
};
use crate::energy::{Coincident, DayKind};
use crate::fit;
use crate::inputs::{self, Candidate, Inputs};
use crate::report::{BankReport, LaterReport, Shelf};

/// State of health at which a battery counts as worn out (IEEE 485: replaced at 80 % of rated capacity).
pub(super) const HEALTH_AT_END: f64 = 0.8;
/// Longest stay that is stepped through to its end [days].
pub(super) const LONGEST_DAYS: u32 = 60;
/// Longest stay with the expected sun that is stepped through [days].
const LONGEST_WITH_SUN: u32 = 60;
/// Most batteries of one kind that are tried [strings].
const MOST_STRINGS: u32 = 64;
/// Parked days of sun within which a bank must fill to count as filled.
const LONGEST_REFILL_DAYS: usize = 60;

type Use<'a> = &'a dyn Fn(DayKind, usize) -> [f64; 24];

pub(super) fn assess(
    inputs: &Inputs,
    year: &Year,
    income: &Income,
    use_w: &impl Fn(DayKind, usize) -> [f64; 24],
    most: &Coincident,
    known: &[BankReport],
) -> Vec<BankReport> {
    let seasons = 0..year.seasons();
    let parked: Vec<[f64; 24]> = seasons
        .map(|season| use_w(DayKind::Parked, season))
        .collect();
    let parked_in: Use<'_> = &|_, season| parked.get(season).copied().unwrap_or([0.0; 24]);
    inputs
        .candidates
        .iter()
        .map(|row| {
            let fit = match known.iter().find(|bank| bank.id == row.id) {
                Some(known) => known.fit.clone(),
                None => goes_in(inputs, row),
            };
            bank(inputs, year, income, parked_in, most, (row, fit))
        })
        .collect()
}

/// How a bank goes into the locker, where that is measured.
fn goes_in(inputs: &Inputs, row: &Candidate) -> Option<fit::Verdict> {
    let count = row.bank.series * row.bank.parallel;
    let locker = inputs.locker.as_ref()?;
    Some(fit::assess(locker, &row.case, count))
}

/// Health of a battery that was fitted at such an age: it falls evenly over its calendar life. Assumed.
pub(super) fn health(age_years: f64, calendar_years: f64) -> f64 {
    if calendar_years <= 0.0 {
        return 1.0;
    }
    (1.0 - (1.0 - HEALTH_AT_END) * age_years / calendar_years).clamp(0.3, 1.0)
}

/// Days that a bank lasts parked in the month that matters, with nothing coming in.
pub(super) fn parked_days(inputs: &Inputs, year: &Year, row: &Candidate, use_w: &[f64; 24]) -> f64 {
    let traits = row.bank.battery.chemistry.traits();
    let air = Conditions {
        temp_c: year.battery_c(year.main_season(inputs.living.month)),
        soh: health(row.age_years, traits.calendar_years),
    };
    let tank = Reservoir::new(&row.bank, &row.fitted, &air);
    autonomy(&tank, use_w, &[0.0; 24], LONGEST_DAYS)
        .reserve
        .days()
}

fn bank(
    inputs: &Inputs,
    year: &Year,
    income: &Income,
    parked: Use<'_>,
    most: &Coincident,
    (row, fit): (&Candidate, Option<fit::Verdict>),
) -> BankReport {
    let season = year.main_season(inputs.living.month);
    let traits = row.bank.battery.chemistry.traits();
    let temp_c = year.battery_c(season);
    let soh_now = health(row.age_years, traits.calendar_years);
    let soh_old = HEALTH_AT_END.min(soh_now);
    let at =
        |temp_c: f64, soh: f64| Reservoir::new(&row.bank, &row.fitted, &Conditions { temp_c, soh });
    let (now, fresh, old) = (at(temp_c, soh_now), at(25.0, 1.0), at(temp_c, soh_old));
    let use_w = parked(DayKind::Parked, season);
    let none = [0.0; 24];
    let lasting = autonomy(&now, &use_w, &none, LONGEST_DAYS);
    let with_sun = (0..12)
        .map(|month| {
            let season = year.main_season(month);
            let tank = at(year.battery_c(season), soh_now);
            autonomy(
                &tank,
                &parked(DayKind::Parked, season),
                &income.sun_w(season),
                LONGEST_WITH_SUN,
            )
            .reserve
        })
        .collect();
    let reserve = reserve_state(&now);
    let driving_a = income.driving_a();
    let day = trace_day(&now, now.full(), &use_w, &income.sun_w(season));
    let largest_a = most.dc_w / inputs.volts;
    let count = row.bank.series * row.bank.parallel;
    let each_ah = row.bank.battery.label.capacity_ah;
    let bank_ah = each_ah * f64::from(row.bank.parallel);
    BankReport {
        id: row.id,
        chemistry: row.bank.battery.chemistry,
        count,
        series: row.bank.series,
        parallel: row.bank.parallel,
        each_ah,
        bank_ah,
        bank_v: row.bank.battery.label.volts * f64::from(row.bank.series),
        usable_new_ah: fresh.usable_ah(),
        usable_now_ah: now.usable_ah(),
        usable_old_ah: old.usable_ah(),
        depth: row.bank.depth,
        health: soh_now,
        temp_c,
        cold_factor: now.cold_factor(),
        cold_extrapolated: now.cold_extrapolated(),
        exponent: row.fitted.exponent,
        parked: lasting.reserve,
        parked_hard: lasting.hard,
        parked_old: autonomy(&old, &use_w, &none, LONGEST_DAYS).reserve,
        wells_bind: lasting.wells_bind,
        with_sun,
        driving_refill_h: (driving_a > 0.0)
            .then(|| refill_hours(&now, reserve, driving_a, 0.0))
            .flatten(),
        sun_refill_days: sun_refill(&now, &use_w, &income.sun_w(season)),
        loaded_full_v: now.terminal_v(now.full(), largest_a),
        loaded_reserve_v: now.terminal_v(reserve, largest_a),
        cutoff_v: cutoff_v(inputs, most, traits.cutoff_v * inputs.volts / 12.0),
        least_count: least_parallel(
            &row.bank,
            &row.fitted,
            &Conditions {
                temp_c,
                soh: soh_now,
            },
            &use_w,
            inputs.wanted_days,
            MOST_STRINGS,
        )
        .map(|strings| strings * row.bank.series),
        mass_kg: row.mass_kg * f64::from(count),
        price: row.price.map(|price| price * f64::from(count)),
        later: row
            .later
            .map(|later| stages(row, later, temp_c, traits.calendar_years, &use_w)),
        fit,
        day: day.to_vec(),
        shelf: shelf(
            &now,
            &fresh,
            bank_ah,
            use_w.iter().sum::<f64>() / now.volts(),
            lasting.reserve,
        ),
    }
}

/// What the first strings of a bank do alone, and what they still hold when the last one comes.
fn stages(
    row: &Candidate,
    later: inputs::Later,
    temp_c: f64,
    calendar_years: f64,
    use_w: &[f64; 24],
) -> LaterReport {
    let mut first = row.bank.clone();
    first.parallel = first.parallel.saturating_sub(1).max(1);
    let soh = health(later.first_years, calendar_years);
    let tank = Reservoir::new(&first, &row.fitted, &Conditions { temp_c, soh });
    LaterReport {
        years: later.years,
        first_parked: autonomy(&tank, use_w, &[0.0; 24], LONGEST_DAYS).reserve,
        first_health: health(later.first_years + later.years, calendar_years),
    }
}

/// The higher of the cut-offs that the largest current meets: the battery's own, and the inverter's where it runs.
fn cutoff_v(inputs: &Inputs, most: &Coincident, own_v: f64) -> f64 {
    if most.ac_running_w > 0.0 {
        own_v.max(inputs.inverter_cutoff_v)
    } else {
        own_v
    }
}

/// Parked days of expected sun from the reserve line until the bank is at 98 % at some hour.
fn sun_refill(tank: &Reservoir, use_w: &[f64; 24], sun_w: &[f64; 24]) -> Option<f64> {
    let gain: f64 = sun_w.iter().sum::<f64>() - use_w.iter().sum::<f64>();
    if gain <= 0.0 {
        return None;
    }
    let mut state = reserve_state(tank);
    for day in 0..LONGEST_REFILL_DAYS {
        let before = tank.soc(state);
        let hours = tank.run_day(&mut state, use_w, sun_w);
        let reached = |hour: &HourState| hour.soc >= FULL_SOC;
        if let Some(hour) = hours.iter().position(reached) {
            return Some(day as f64 + (hour as f64 + 1.0) / 24.0);
        }
        if tank.soc(state) <= before + 1e-9 {
            return None;
        }
    }
    None
}

/// What the shelf shows: usable charge cut into days, then what cold and age take, then the reserve. `day_ah` is a parked day's
/// use at the bank's own nominal voltage, as the days that it lasts count it.
fn shelf(
    now: &Reservoir,
    fresh: &Reservoir,
    rated_ah: f64,
    day_ah: f64,
    lasting: Lasting,
) -> Shelf {
    let usable = now.usable_ah().min(rated_ah);
    let kept = fresh.usable_ah().min(rated_ah);
    // Where the wells give out first, what they keep back counts with cold and age.
    let reached = match lasting {
        Lasting::Days(days) => usable.min(days * day_ah),
        Lasting::Endless | Lasting::Beyond(_) => usable,
    };
    let whole = if day_ah > 0.0 {
        (reached / day_ah).floor().min(200.0)
    } else {
        0.0
    };
    let mut portions_ah = vec![day_ah; whole as usize];
    let rest = reached - whole * day_ah;
    if rest > 1e-6 {
        portions_ah.push(rest);
    }
    Shelf {
        rated_ah,
        portions_ah,
        cold_and_age_ah: (kept - reached).max(0.0),
        reserve_ah: (rated_ah - kept).max(0.0),
    }
}
