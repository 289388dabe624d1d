//! Inputs to report: the only file that knows all topics. It passes each what it needs and nothing else.

mod banks;
mod carries;
mod climate;
mod doubt;
mod faults;
mod hardest;
mod income;
mod joined;
mod lacking;
mod least;
mod limits;
mod map;
#[cfg(test)]
mod places;
mod remarks;
mod remarks_carries;
mod remarks_place;
mod remarks_runs;
mod risk;
mod shortfall;
mod sky;
mod space;
mod survey;
mod wanted;
mod year;

use crate::energy::{
    Coincident, Consumption, DayKind, DayUse, Inverter, Load, coincident, least_inverter,
};
use crate::inputs::{Inputs, MONTHS};
use crate::numeric::order;
use crate::report::{BankReport, DaysAt, Month, Needs, Report, RowUse};
use climate::Year;
pub use doubt::DOUBTS;
pub(crate) use hardest::hardest_month;
use income::Income;
pub use risk::{Chances, SEED as WEATHER_SEED, Tally, drawn_year_in_full};
pub use shortfall::year_findings;
pub use space::space;
pub use survey::{Bench, Job, Survey, Wanted};
pub use year::{TypicalYear, year, year_hours, year_in_parts};

/// Works everything out.
pub fn evaluate(inputs: &Inputs) -> Report {
    evaluate_after(inputs, &[])
}

/// The same where it is `known` how the banks go into the locker: whoever says so has seen that it is the same.
pub(crate) fn evaluate_after(inputs: &Inputs, known: &[BankReport]) -> Report {
    let year = Year::new(&inputs.living, inputs.sun.as_ref());
    let consumption = Consumption::new(&inputs.loads, inputs.inverter.as_ref());
    let month = inputs.living.month;
    let season = year.main_season(month);
    let parked = consumption.detail(DayKind::Parked, month, &year.parked_temps(season));
    let scale = meter_scale(inputs.metered_wh, parked.total_wh);
    let most = largest(&inputs.loads, inputs.inverter.as_ref());
    let needs = needs(inputs, &year, &consumption, &parked, scale, &most);
    let use_w = |kind: DayKind, season: usize| {
        let temps = year.temps(kind, season);
        metered_hours(
            inputs.metered_wh,
            parked.total_wh,
            consumption.hourly_w(kind, season % MONTHS, &temps),
        )
    };
    let income = Income::new(inputs, &year);
    let months: Vec<Month> = (0..12)
        .map(|month| one_month(inputs, &year, &income, &use_w, month))
        .collect();
    let banks = banks::assess(inputs, &year, &income, &use_w, &most, known);
    let least = least::find(inputs, &year, &income, &use_w);
    let panel_most = on_the_panel(inputs, &most);
    let carries = carries::carries(inputs, &year, [&most, &panel_most], &months, &parked);
    let mut findings = remarks::find(inputs, &year, &consumption, &parked, &most, &months, &banks);
    let cold_panels = income::cold_panels(inputs, &year);
    remarks::panels(&mut findings, cold_panels.as_ref());
    remarks_carries::carries(&mut findings, &carries);
    space::bends(&mut findings, inputs, &carries);
    remarks_carries::place(&mut findings, inputs, &year);
    remarks_place::find(&mut findings, inputs, &year);
    remarks_carries::beside(&mut findings, inputs, &year, &banks);
    let chosen = banks.iter().find(|bank| bank.id == inputs.chosen);
    shortfall::days_wanted(&mut findings, chosen, inputs.wanted_days);
    let grave_first: Vec<f64> = findings
        .iter()
        .map(|finding| -f64::from(finding.gravity as u8))
        .collect();
    let findings = order(&grave_first)
        .into_iter()
        .filter_map(|at| findings.get(at).cloned())
        .collect();
    Report {
        name: inputs.name.clone(),
        rig: inputs.rig,
        volts: inputs.volts,
        month: month as u8 + 1,
        wanted_days: inputs.wanted_days,
        needs,
        months,
        climate: climate::error(inputs.living.place(season / MONTHS)),
        parked_sun_w: income.sun_w(season),
        cold_panels,
        banks,
        chosen: inputs.chosen,
        least,
        locker_measured: inputs.locker.is_some(),
        carries,
        findings,
        guesses: inputs.guesses,
    }
}

/// What a guess is weighed by.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Brief {
    /// Days parked of a bank, with nothing coming in.
    pub(crate) days: f64,
    /// What a day of the month that matters leaves over [Wh].
    pub(crate) left_wh: f64,
}

/// Works out the days parked of one bank and the balance of the month that matters, and nothing else.
pub(crate) fn brief(inputs: &Inputs, bank: u32) -> Option<Brief> {
    let row = inputs.candidates.iter().find(|row| row.id == bank)?;
    let year = Year::new(&inputs.living, inputs.sun.as_ref());
    let consumption = Consumption::new(&inputs.loads, inputs.inverter.as_ref());
    let month = inputs.living.month;
    let season = year.main_season(month);
    let parked = consumption.detail(DayKind::Parked, month, &year.parked_temps(season));
    let use_w = |kind: DayKind, season: usize| {
        let hours = consumption.hourly_w(kind, season % MONTHS, &year.temps(kind, season));
        metered_hours(inputs.metered_wh, parked.total_wh, hours)
    };
    let income = Income::new(inputs, &year);
    Some(Brief {
        days: banks::parked_days(inputs, &year, row, &use_w(DayKind::Parked, season)),
        left_wh: one_month(inputs, &year, &income, &use_w, month).left_wh,
    })
}

/// How a measured day compares with the sum that it stands in for.
fn meter_scale(metered_wh: Option<f64>, summed_wh: f64) -> f64 {
    match metered_wh {
        Some(wh) if summed_wh > 0.0 => wh / summed_wh,
        _ => 1.0,
    }
}

/// The hours of a day with the measured day in its place; spread evenly where no load was listed.
fn metered_hours(metered_wh: Option<f64>, summed_wh: f64, hours: [f64; 24]) -> [f64; 24] {
    match metered_wh {
        Some(wh) if summed_wh <= 0.0 => [wh / 24.0; 24],
        _ => {
            let scale = meter_scale(metered_wh, summed_wh);
            hours.map(|w| w * scale)
        }
    }
}

/// The largest draw at once over all kinds of day; kinds on which the same loads run are looked at once.
fn largest(all: &[Load], inverter: Option<&Inverter>) -> Coincident {
    let set = |kind: DayKind| -> Vec<bool> {
        all.iter()
            .map(|load| load.days.get(kind.index()) == Some(&true) && !load.is_on_shore(kind))
            .collect()
    };
    let mut seen: Vec<Vec<bool>> = Vec::new();
    let mut most = Coincident::default();
    for kind in DayKind::ALL {
        let loads = set(kind);
        // A kind whose loads are all among those of one seen before can't draw more.
        let within = |other: &Vec<bool>| {
            loads
                .iter()
                .zip(other)
                .all(|(mine, theirs)| !mine || *theirs)
        };
        if seen.iter().any(within) {
            continue;
        }
        let found = coincident(all, inverter, kind);
        if found.dc_w > most.dc_w {
            most = found;
        }
        seen.push(loads);
    }
    most
}

/// The largest draw at once without what hangs straight on the bus bars.
fn on_the_panel(inputs: &Inputs, most: &Coincident) -> Coincident {
    let on_bars = &inputs.wiring.on_bars;
    if on_bars.is_empty() {
        return most.clone();
    }
    let others = inputs.loads.iter();
    let others = others.filter(|load| !on_bars.contains(&load.id));
    largest(
        &others.cloned().collect::<Vec<_>>(),
        inputs.inverter.as_ref(),
    )
}

fn needs(
    inputs: &Inputs,
    year: &Year,
    consumption: &Consumption,
    parked: &DayUse,
    scale: f64,
    most: &Coincident,
) -> Needs {
    let (month, season) = (inputs.living.month, year.main_season(inputs.living.month));
    let details = DayKind::ALL.map(|kind| {
        if kind == DayKind::Parked {
            parked.clone()
        } else {
            consumption.detail(kind, month, &year.temps(kind, season))
        }
    });
    let hourly_w = metered_hours(inputs.metered_wh, parked.total_wh, parked.hourly_w);
    let by_kind_wh = DayKind::ALL.map(|kind| {
        let day = details
            .get(kind.index())
            .map_or([0.0; 24], |day| day.hourly_w);
        metered_hours(inputs.metered_wh, parked.total_wh, day)
            .iter()
            .sum()
    });
    let rows = inputs
        .loads
        .iter()
        .map(|load| {
            let shown = DayKind::ALL
                .into_iter()
                .find(|kind| load.days.get(kind.index()) == Some(&true));
            let kind = shown.unwrap_or(DayKind::Parked);
            let found = details
                .get(kind.index())
                .and_then(|day| day.loads.iter().find(|use_| use_.id == load.id));
            match found {
                Some(use_) => RowUse {
                    id: load.id,
                    kind,
                    wh: use_.wh,
                    loss_wh: use_.loss_wh,
                    running_h: use_.running_h,
                    saturated: use_.saturated,
                    in_season: true,
                    hourly_w: use_.hourly_w,
                },
                None => RowUse {
                    id: load.id,
                    kind,
                    wh: 0.0,
                    loss_wh: 0.0,
                    running_h: 0.0,
                    saturated: false,
                    in_season: false,
                    hourly_w: [0.0; 24],
                },
            }
        })
        .collect();
    let parked_wh: f64 = hourly_w.iter().sum();
    let least = inputs
        .inverter
        .as_ref()
        .map(|_| least_inverter(&inputs.loads))
        .unwrap_or_default();
    let largest_hour = hourly_w
        .iter()
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(b.1))
        .map_or(0, |(hour, _)| hour);
    let means = by_kind_wh.iter().zip(&inputs.living.shares);
    Needs {
        parked_wh,
        parked_ah: parked_wh / inputs.volts,
        summed_wh: parked.total_wh,
        mean_wh: means.map(|(wh, share): (&f64, &f64)| wh * share).sum(),
        by_kind_wh,
        rows,
        inverter_idle_wh: parked.idle_wh * scale,
        hourly_w,
        largest_hour,
        largest_w: most.dc_w,
        largest_a: most.dc_w / inputs.volts,
        least_inverter_w: least.continuous_w,
        least_inverter_surge_w: least.surge_w,
        metered: inputs.metered_wh.is_some(),
    }
}

fn one_month(
    inputs: &Inputs,
    year: &Year,
    income: &Income,
    use_w: &impl Fn(DayKind, usize) -> [f64; 24],
    month: usize,
) -> Month {
    let mean = |of: &dyn Fn(usize) -> f64| year.over_month(month, of);
    let use_wh = |season: usize| {
        let mut used = 0.0;
        for (kind, share) in DayKind::ALL.into_iter().zip(inputs.living.shares) {
            if share > 0.0 {
                used += share * use_w(kind, season).iter().sum::<f64>();
            }
        }
        used
    };
    let [_, travelling, hooked_up, _] = inputs.living.shares;
    let sun_wh = mean(&|season| income.sun_w(season).iter().sum());
    let alternator_wh = travelling * income.driving_wh();
    // A hook-up gives what the day takes from the bank, and refills it; it is counted up to the day's own use and what its hours allow.
    let hooked_use = |season: usize| -> f64 {
        if hooked_up > 0.0 {
            use_w(DayKind::HookedUp, season).iter().sum()
        } else {
            0.0
        }
    };
    let shore_wh = mean(&|season| hooked_up * income.shore_wh(hooked_use(season), inputs));
    let use_wh = mean(&use_wh);
    Month {
        month: month as u8 + 1,
        outdoors_c: mean(&|season| year.outdoors_mean_c(season)),
        battery_c: mean(&|season| year.battery_c(season)),
        clearness: mean(&|season| year.clearness(season)),
        peak_sun_hours: mean(&|season| year.peak_sun_hours(season)),
        sun_origin: year.sun_origin(year.main_season(month)),
        sun_wh,
        alternator_wh,
        shore_wh,
        use_wh,
        left_wh: sun_wh + alternator_wh + shore_wh - use_wh,
        places: days_at(inputs, year, month),
    }
}

/// Where the days of a month are spent, most first; empty where all of the year is spent at home.
fn days_at(inputs: &Inputs, year: &Year, month: usize) -> Vec<DaysAt> {
    if inputs.living.elsewhere.is_empty() {
        return Vec::new();
    }
    let mut places: Vec<DaysAt> = year
        .lived_in(month)
        .map(|season| DaysAt {
            place: inputs.living.place(season / MONTHS).name.clone(),
            home: season < MONTHS,
            days: year.days(season),
        })
        .collect();
    places.sort_by_key(|place| std::cmp::Reverse(place.days));
    places
}
