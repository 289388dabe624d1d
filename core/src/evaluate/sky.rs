//! What the drawn years of a plan share: its days, what it uses, its light.

use super::climate::{Departure, Year};
use super::income::{Income, Roof, shore_stages_w};
use super::year::{Use, by_profile, clock, tank};
use crate::battery::Reservoir;
use crate::energy::{DayKind, Load, Usage};
use crate::inputs::{Candidate, Inputs, MONTHS};
use crate::numeric::order;
use crate::report::SunOrigin;
use crate::solar::MONTH_DAYS;
use crate::year::{
    ByScore, CLEARNESS_STEP, CLEARNESS_STEPS, DayScore, Draw, LeanDay, Light, Sky, YEAR_DAYS,
    normal_quantile, warmth_scores,
};
use chrono::{Datelike, NaiveDate};

/// Clearness by which a day's sun is told from that of its stretch's middle.
const MIDDLING: f64 = 0.5;
/// Stretches of a month in the sun's table.
const A_MONTH: usize = 6;
/// Days of each but the last.
const STRETCH: usize = 5;

/// The month in which what comes in exceeds use the most: a bank is full when it ends, as good as surely.
fn fullest_month(income: &Income, air: &Year) -> usize {
    let sun_wh = |season| income.sun_w(season).iter().sum::<f64>();
    let left = (0..MONTHS).map(|month| -air.over_month(month, sun_wh));
    order(&left.collect::<Vec<_>>())
        .first()
        .copied()
        .unwrap_or(0)
}

/// All but the light.
pub(super) fn sky(inputs: &Inputs, air: &Year) -> Sky {
    let living = &inputs.living;
    let driving = inputs.driving.as_ref();
    let income = Income::new(inputs, air);
    let first = fullest_month(&income, air);
    let roof = Roof::new(inputs, air);
    let days_before: usize = MONTH_DAYS.iter().take(first).sum();
    let year = living.starts.year();
    let new_year = NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or(living.starts);
    let days: Vec<LeanDay> = new_year
        .iter_days()
        .filter(|date| (date.month(), date.day()) != (2, 29))
        .take(YEAR_DAYS)
        .map(|date| {
            let month = date.month0() as usize;
            let part = (date.day0() as usize / STRETCH).min(A_MONTH - 1);
            let stay = living.stay_on_or_next_year(date);
            let place = stay.map_or(0, |stay| stay.place);
            let season = place * MONTHS + month;
            LeanDay {
                month,
                season,
                stretch: season * A_MONTH + part,
                scale: roof.as_ref().map_or(1.0, |roof| {
                    let sum = |day: usize| middling_wh(roof, day, season, None);
                    let middle = sum(middle_of(month, part));
                    if middle > 0.0 {
                        sum(date.ordinal() as usize) / middle
                    } else {
                        1.0
                    }
                }),
                kind: stay.and_then(|stay| stay.kind).map(|kind| kind.index()),
            }
        })
        .collect();
    let (before, after) = days.split_at(days_before.min(days.len()));
    Sky {
        days: [after, before].concat(),
        rhythm: living
            .rhythm
            .iter()
            .flat_map(|(kind, days)| std::iter::repeat_n(kind.index(), *days as usize))
            .collect(),
        draws: draws(inputs, air),
        profiles: DayKind::ALL.len() * air.seasons(),
        sun_by_warmth: of_seasons(air, |season| {
            let wh = |warm: f64| {
                let air = air.departure(
                    season,
                    DayScore {
                        warm,
                        ..DayScore::default()
                    },
                );
                let day = middle_of(season % MONTHS, A_MONTH / 2);
                roof.as_ref()
                    .map_or(0.0, |roof| middling_wh(roof, day, season, Some(air)))
            };
            let usual = wh(0.0);
            if usual > 0.0 {
                (wh(1.0) - wh(-1.0)) / (2.0 * usual)
            } else {
                0.0
            }
        }),
        spread: of_seasons(air, |season| ByScore::of_month(air.clearness(season))),
        table_error: of_seasons(air, |season| match air.sun_origin(season) {
            // Nine tenths of what a normal error may be lie within the range. Places share it: theirs is not known apart.
            SunOrigin::Table | SunOrigin::Latitude => {
                inputs.ranges.sky_share / normal_quantile(0.95)
            }
            SunOrigin::Own | SunOrigin::NoSun => 0.0,
        }),
        clock: clock(inputs, 1),
        engine: driving.map(|driving| driving.alternator.clone()),
        shore_w: shore_stages_w(inputs),
        inverter_cutoff_v: inputs.inverter_cutoff_v,
        driving_kind: DayKind::Travelling.index(),
        shore_kind: DayKind::HookedUp.index(),
    }
}

/// Something of each season in turn.
fn of_seasons<T>(air: &Year, of: impl Fn(usize) -> T) -> Vec<T> {
    (0..air.seasons()).map(of).collect()
}

/// What comes in on a day of middling clearness [Wh].
fn middling_wh(roof: &Roof<'_>, day: usize, season: usize, air: Option<Departure>) -> f64 {
    roof.real_day_w(day, season, MIDDLING, air).iter().sum()
}

/// Use by kind of day and season at each warmth, as far as such days come; at one alone where no thermostat looks at it. Loads and
/// bank feel the month's own swing: what the sun makes of it acts on the panels.
fn draws(inputs: &Inputs, air: &Year) -> Vec<Draw> {
    let uses = Use::new(inputs, air);
    let minds = |load: &Load| matches!(load.usage, Usage::Thermostat { .. });
    let warmths: Vec<f64> = if inputs.loads.iter().any(minds) {
        warmth_scores().collect()
    } else {
        vec![0.0]
    };
    let at = |warm: f64| {
        by_profile(inputs, air, |kind, season| {
            let day = air.departure(
                season,
                DayScore {
                    warm,
                    ..DayScore::default()
                },
            );
            uses.on(kind, season % MONTHS, &air.temps_on(kind, season, day))
        })
    };
    warmths.into_iter().flat_map(at).collect()
}

/// The bank at each warmth of each season in turn.
pub(super) fn tanks(row: &Candidate, air: &Year) -> Vec<Reservoir> {
    let seasons = 0..air.seasons();
    let all = seasons.flat_map(|season| warmth_scores().map(move |warm| (season, warm)));
    let at = |(season, warm)| {
        let day = air.departure(
            season,
            DayScore {
                warm,
                ..DayScore::default()
            },
        );
        tank(row, air.battery_on_c(season, day))
    };
    all.map(at).collect()
}

/// The day of the year, from 1, in the middle of a stretch of a month.
fn middle_of(month: usize, part: usize) -> usize {
    let before: usize = MONTH_DAYS.iter().take(month).sum();
    let length = MONTH_DAYS.get(month).copied().unwrap_or(30);
    let last = part + 1 == A_MONTH;
    before
        + if last {
            (part * STRETCH + length).div_ceil(2)
        } else {
            part * STRETCH + STRETCH.div_ceil(2)
        }
}

/// Days of the year, seasons and clearness, in the order of a light's rows.
fn rows(seasons: usize) -> impl Iterator<Item = (usize, usize, f64)> {
    let stretches = (0..seasons).flat_map(|season| (0..A_MONTH).map(move |part| (season, part)));
    stretches.flat_map(|(season, part)| {
        let steps = 0..CLEARNESS_STEPS;
        let day = middle_of(season % MONTHS, part);
        steps.map(move |step| (day, season, step as f64 * CLEARNESS_STEP))
    })
}

/// A plan's array before its controller in the sun of the year, and what it gives at any size.
pub(super) struct Panels<'a> {
    roof: Option<Roof<'a>>,
    /// By a light's rows: the season, and the array in it [W].
    array_w: Vec<(usize, [f64; 24])>,
    seasons: usize,
}

impl<'a> Panels<'a> {
    /// The plan's, where clearness spreads so in each season.
    pub(super) fn new(inputs: &'a Inputs, air: &Year, spread: &[ByScore]) -> Self {
        let (roof, seasons) = (Roof::new(inputs, air), air.seasons());
        let array_w = roof.iter().flat_map(|roof| {
            rows(seasons).map(|(day, season, clearness)| {
                // No day looks at the light of a season into which none falls.
                if !air.is_lived(season) {
                    return (season, [0.0; 24]);
                }
                let clear = spread
                    .get(season)
                    .map_or(0.0, |spread| spread.score_of(clearness));
                let its = air.departure(
                    season,
                    DayScore {
                        clear,
                        ..DayScore::default()
                    },
                );
                (season, roof.real_array_w(day, season, clearness, Some(its)))
            })
        });
        Self {
            array_w: array_w.collect(),
            roof,
            seasons,
        }
    }

    /// The light of so many times the array, the controller's current limit growing with it.
    pub(super) fn light(&self, times: f64) -> Light {
        let Some(roof) = &self.roof else {
            return Light(vec![[0.0; 24]; rows(self.seasons).count()]);
        };
        let rows = self.array_w.iter();
        Light(
            rows.map(|(season, w)| roof.grown_w(w, *season, times))
                .collect(),
        )
    }
}
