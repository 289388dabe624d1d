//! What must always hold of a report, whatever the plan: debug builds, property tests and fuzzers ask it alike.

use crate::battery::Lasting;
use crate::cable::{Bound, carries_start, device_limit_a};
use crate::fit::Outcome;
use crate::report::{Carries, Report, YearReport};

/// Room for the last bits of sums.
const CLOSE: f64 = 1e-9;

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= CLOSE * (1.0 + a.abs().max(b.abs()))
}

/// What does not hold, in a sentence each; nothing where all is well.
pub fn report(report: &Report) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut must = |holds: bool, what: &str| {
        if !holds {
            wrong.push(what.to_owned());
        }
    };
    let needs = &report.needs;
    must(
        needs.parked_wh.is_finite() && needs.parked_wh >= 0.0,
        "a day's use is a number, not below 0",
    );
    must(
        near(needs.hourly_w.iter().sum::<f64>(), needs.parked_wh),
        "the hours add up to the day",
    );
    must(
        near(needs.parked_ah * report.volts, needs.parked_wh),
        "Ah are Wh over the voltage",
    );
    must(
        needs
            .rows
            .iter()
            .all(|row| row.wh.is_finite() && row.wh >= 0.0),
        "each load's use is a number, not below 0",
    );
    must(report.months.len() == 12, "there are twelve months");
    for month in &report.months {
        let days: u32 = month.places.iter().map(|at| at.days).sum();
        must(
            month.places.is_empty() || (28..=31).contains(&days),
            "a month's days are spent somewhere",
        );
        let income = month.sun_wh + month.alternator_wh + month.shore_wh;
        must(
            near(month.left_wh, income - month.use_wh),
            "what is left is what comes in less what goes out",
        );
        must(
            month.sun_wh >= 0.0 && month.alternator_wh >= 0.0 && month.shore_wh >= 0.0,
            "no source takes",
        );
    }
    for bank in &report.banks {
        must(
            bank.usable_now_ah <= bank.usable_new_ah * (1.0 + CLOSE),
            "cold and age give nothing",
        );
        must(
            bank.usable_old_ah <= bank.usable_now_ah * (1.0 + CLOSE),
            "a worn bank holds no more",
        );
        must(
            bank.parked.days() <= bank.parked_hard.days() + CLOSE,
            "the reserve line comes before the hard limit",
        );
        must(
            bank.day.iter().all(|hour| (0.0..=1.0).contains(&hour.soc)),
            "a state of charge is a share",
        );
        must(
            matches!(bank.parked, Lasting::Endless) || bank.parked.days() >= 0.0,
            "a time is not below 0",
        );
        let shelf: f64 = bank.shelf.portions_ah.iter().sum::<f64>()
            + bank.shelf.cold_and_age_ah
            + bank.shelf.reserve_ah;
        must(
            shelf <= bank.shelf.rated_ah * 1.02 + CLOSE,
            "a shelf holds no more than its plank",
        );
        if let Some(fit) = &bank.fit {
            let fits = matches!(fit.outcome, Outcome::Fits { .. });
            let own = fit.arrangement.iter().filter(|one| one.kind == 0);
            must(
                !fits || own.count() == bank.count as usize,
                "what fits has a place for each",
            );
            must(
                fit.gaps.len() == 6 * fit.arrangement.len()
                    && fit
                        .gaps
                        .iter()
                        .all(|gap| gap.mm >= 0.0 && gap.within_mm >= 0.0),
                "every side of every case faces something, no nearer than it",
            );
            let mut order = fit.carried.order.clone().unwrap_or_default();
            order.sort_unstable();
            must(
                fit.carried.order.is_none() || order.into_iter().eq(0..fit.arrangement.len()),
                "each is carried in once",
            );
        }
    }
    carries(&report.carries, &mut must);
    wrong
}

fn carries(carries: &Carries, must: &mut impl FnMut(bool, &str)) {
    for run in carries.runs.iter().chain(&carries.branches) {
        must(
            !run.limited || run.fuse.is_none(),
            "what can't give more than its cable carries has no fuse",
        );
        let Some(sized) = &run.sized else { continue };
        let there = sized.bound == Bound::Owned;
        must(
            there || sized.drop_v <= run.allowed_v * (1.0 + CLOSE),
            "a cable loses no more than it may",
        );
        must(
            there || sized.ampacity_a >= 1.25 * run.continuous_a - CLOSE,
            "a cable carries its current",
        );
        must(
            sized.ampacity_a <= sized.table_a,
            "no place lets a cable carry more than its table",
        );
        let Some(fuse) = &run.fuse else { continue };
        // A start beyond the largest rating of its kind is said to blow it.
        let largest_a = fuse.kind.ratings().last().copied().unwrap_or(0.0);
        let any_rating_starts = carries_start(fuse.kind, largest_a, run.peak_a);
        must(
            there || run.start_held || run.field == "wiring/branch_mm" || !any_rating_starts,
            "a fuse stays whole through a start",
        );
        let limit_a = if there {
            device_limit_a(sized.ampacity_a)
        } else {
            sized.ampacity_a
        };
        must(
            fuse.rating_a <= limit_a,
            "a fuse is never above what its cable allows",
        );
        must(
            there || sized.withstand.least_mm2() <= sized.mm2 * (1.0 + 0.035),
            "a cable bears its short circuit",
        );
        must(
            fuse.rating_a >= 1.25 * run.continuous_a - CLOSE,
            "a fuse bears its current",
        );
        must(
            fuse.breaks_a >= run.must_break_a && run.must_break_a >= run.fault_a,
            "a fuse breaks its fault",
        );
        must(
            run.converted || fuse.most_v >= carries.charging_v,
            "a fuse bears the charging voltage",
        );
        must(
            run.peak_a >= run.continuous_a,
            "a moment takes no less than the whole",
        );
    }
    for strings in &carries.parallel {
        must(
            near(strings.shares.iter().sum::<f64>(), 1.0),
            "the shares of strings add up to one",
        );
        must(
            strings.imbalance >= -CLOSE,
            "the one that gives most gives no less than its part",
        );
    }
}

/// What does not hold of a year.
pub fn year(year: &YearReport) -> Vec<String> {
    let mut wrong = Vec::new();
    for bank in &year.banks {
        let ledger = &bank.ledger;
        let mut must = |holds: bool, what: &str| {
            if !holds {
                wrong.push(format!("bank {}: {what}", bank.id));
            }
        };
        must(
            ledger.gap_ah().abs() <= CLOSE * (ledger.throughput_ah() + ledger.initial_ah),
            "the accounts close",
        );
        must(
            bank.lowest_soc.len() == year.month_of.len()
                && bank.unserved_wh.len() == year.month_of.len()
                && (365..=366).contains(&year.month_of.len()),
            "a year has 365 or 366 days",
        );
        must(
            bank.lowest_soc.iter().all(|soc| (0.0..=1.0).contains(soc)),
            "a state of charge is a share",
        );
        must(
            ledger.unserved_wh() <= ledger.wanted_wh * (1.0 + CLOSE),
            "no more is lacking than was wanted",
        );
        let by_load: f64 = bank.unserved_by_load.iter().map(|short| short.wh).sum();
        must(
            by_load <= ledger.unserved_wh() * (1.0 + CLOSE),
            "loads lack no more than is lacking",
        );
        must(
            ledger.spilled_wh <= ledger.sun_wh * (1.0 + CLOSE),
            "no more is spilled than came",
        );
        let hours: f64 = bank.hours_at.iter().sum();
        must(
            (hours - 24.0 * year.month_of.len() as f64).abs() < 1e-6,
            "every hour has its state of charge",
        );
        let by_month: f64 = bank.months.iter().map(|month| month.wanted_wh).sum();
        must(
            (by_month - ledger.wanted_wh).abs() <= CLOSE * ledger.wanted_wh.max(1.0),
            "the months make the year",
        );
        must(bank.life.years > 0.0, "a battery lives");
    }
    wrong
}
