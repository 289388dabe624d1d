//! A typical year in words.

use super::{bank_of, count, list, month, tidy, whole};
use crate::battery::Lasting;
use crate::plan::Plan;
use crate::report::{BankYear, FromFull, LoadShort, Report, YearReport};
use crate::units::read_date;
use chrono::{Datelike, Days};

/// The months with most days short, worst first, at most three.
fn worst_months(year: &BankYear) -> Vec<String> {
    let counts: Vec<f64> = year
        .short_by_month
        .iter()
        .map(|days| -f64::from(*days))
        .collect();
    let worst = crate::numeric::order(&counts).into_iter().take(3);
    worst
        .filter(|at| year.short_by_month.get(*at).is_some_and(|days| *days > 0))
        .map(|at| month(at as u8 + 1).to_owned())
        .collect()
}

/// How often a bank runs short, and how low it comes.
pub fn year_line(report: &Report, year: &BankYear) -> String {
    let name = bank_of(report, year.id);
    let lowest = year.lowest_soc.iter().copied().fold(1.0, f64::min) * 100.0;
    if year.short_days == 0 {
        let reserve = match year.reserve_days {
            0 => "stays above its reserve line".to_owned(),
            days => format!(
                "passes its reserve line on {}",
                count(days as usize, "day", "days")
            ),
        };
        return format!(
            "{name}: never short in a typical year; it {reserve} and comes down to {lowest:.0} %."
        );
    }
    format!(
        "{name}: short on {} of a typical year, most in {}; the longest spell is {}.",
        count(year.short_days as usize, "day", "days"),
        list(&worst_months(year)),
        count(year.longest_spell_days as usize, "day", "days")
    )
}

/// How long a bank lives and what it costs.
pub fn life_line(year: &BankYear, currency: &str) -> String {
    let life = &year.life;
    let ends = if life.by_cycles.is_some_and(|years| years < life.by_calendar) {
        "its cycles end it"
    } else {
        "its age ends it"
    };
    let mut says = format!("About {} of life: {ends}", super::count_years(life.years));
    if let Some(price) = year.ten_years_price {
        says += &format!("; {} over ten years", super::money(price, currency));
    }
    if let Some(price) = year.price_per_kwh {
        says += &format!(", {currency} {price:.2} for each kWh that it gives");
    }
    says + ". An estimate: makers' cycle curves differ by a factor of two."
}

/// Where a year's energy comes from and goes.
pub fn year_energy(year: &BankYear) -> String {
    let ledger = &year.ledger;
    let kwh = |wh: f64| tidy((wh / 100.0).round() / 10.0);
    format!(
        "Over the year the sun gives {} kWh, the engine {} and the hook-up {}; {} kWh are used, {} are lacking. Another {} of the sun find no taker.",
        kwh(ledger.sun_wh - ledger.spilled_wh),
        kwh(ledger.drive_wh),
        kwh(ledger.shore_wh),
        kwh(ledger.wanted_wh - ledger.unserved_wh()),
        kwh(ledger.unserved_wh()),
        kwh(ledger.spilled_wh)
    ) + &short_loads(year)
}

/// Which loads go short, those that lack most first; empty where none does.
fn short_loads(year: &BankYear) -> String {
    const NAMED: usize = 4;
    let says = |short: &LoadShort| {
        format!(
            "{} ({} kWh)",
            short.name,
            tidy((short.wh / 100.0).round() / 10.0)
        )
    };
    let mut names: Vec<String> = year.unserved_by_load.iter().take(NAMED).map(says).collect();
    let more = year.unserved_by_load.len() - names.len();
    if more > 0 {
        names.push(format!("{more} more"));
    }
    if names.is_empty() {
        return String::new();
    }
    format!(" What goes short over the year: {}.", list(&names))
}

/// The date of a day of a year, counted from 0: "12 August".
pub fn date(year: &YearReport, day: usize) -> String {
    let starts = read_date(&year.starts).unwrap_or_default();
    let date = starts
        .checked_add_days(Days::new(day as u64))
        .unwrap_or(starts);
    format!("{} {}", date.day(), month(date.month() as u8))
}

/// What else a year shows: cold, freezing, fuel.
pub fn year_marks(year: &BankYear) -> String {
    let mut says = format!(
        "In the coldest month the voltage comes down to {:.1} V, at any time to {:.1} V. The longest time without a full charge is {}.",
        year.coldest_v,
        year.lowest_v,
        count(year.longest_unfilled_days.ceil() as usize, "day", "days")
    );
    if year.freezing_days > 0 {
        says += &format!(
            " On {} it is so low and so cold that its electrolyte can freeze, which breaks the case.",
            count(year.freezing_days as usize, "day", "days")
        );
    }
    if let Some(litres) = year.fuel_l {
        says += &format!(
            " The generator runs for {} h and burns {} litres.",
            whole(year.ledger.shore_h),
            whole(litres)
        );
    }
    says
}

/// How long the chosen bank lasts from full, begun on the worst and on a middling day.
pub fn from_full(year: &YearReport, found: &FromFull) -> String {
    if found.worst == Lasting::Endless {
        return "Full, it lasts through such a year whenever it is begun.".to_owned();
    }
    let middling = match found.median {
        Lasting::Endless => "it never goes short".to_owned(),
        median => super::lasting(median),
    };
    format!(
        "Begun full on the worst day, {}, it lasts {} until something goes short; on a middling day {middling}.",
        date(year, usize::from(found.worst_day)),
        super::lasting(found.worst)
    )
}

/// What the year rests on.
pub const YEAR_NOTE: &str = "A typical year: days from dull to clear about each month's mean, in a fixed order with the memory that weather has, each as warm as its month is on average. Loads are cut at the hard limit or where the voltage under an hour's mean current comes down to their cut-off, and come back at the reserve line (assumed).";

/// The chosen candidate's year.
pub fn chosen_year<'a>(report: &Report, year: &'a YearReport) -> Option<&'a BankYear> {
    year.bank(report.chosen_bank()?.id)
}

/// A value that so many decimals show as zero, as zero: never "-0.000".
fn unsigned_zero(value: f64, decimals: i32) -> f64 {
    if value.abs() < 0.5 * libm::pow(10.0, -f64::from(decimals)) {
        0.0
    } else {
        value
    }
}

/// The chosen bank's typical year as comma-separated values: an hour a line, units in the head.
pub fn csv_hours(plan: &Plan) -> String {
    let Ok(inputs) = crate::import(plan) else {
        return String::new();
    };
    let mut text = String::from(
        "day of year,hour,kind of day,use (W),sun (W),driving (W),hook-up (W),lacking (W),state of charge (%),voltage (V),current out (A)\n",
    );
    for hour in crate::year_hours(&inputs) {
        text += &format!(
            "{},{},{},{:.2},{:.2},{:.2},{:.2},{:.2},{:.2},{:.3},{:.3}\n",
            hour.day,
            hour.hour,
            super::kind(hour.kind),
            hour.use_w,
            hour.sun_w,
            hour.drive_w,
            hour.shore_w,
            hour.unserved_w,
            hour.soc * 100.0,
            hour.volts,
            unsigned_zero(hour.current_a, 3)
        );
    }
    text
}
