//! Where the chosen bank misses what is asked of it: the days wanted, and days short in a typical year.

use super::remarks::{Found, add};
use crate::finding::{Finding, Gravity};
use crate::report::{BankReport, Report, YearReport};
use crate::words;

/// Days short in a typical year from which it is a finding. Assumed.
const MANY_SHORT_DAYS: u32 = 20;

/// Adds that the chosen bank lasts less than the days wanted, parked with nothing coming in.
pub(super) fn days_wanted(found: &mut Found, chosen: Option<&BankReport>, wanted_days: f64) {
    let Some(bank) = chosen else { return };
    let lasts = bank.parked.days();
    if lasts >= wanted_days {
        return;
    }
    add(
        found,
        Gravity::Caution,
        "plan/wanted_days",
        format!(
            "{} lasts {:.1} of the {} wanted.",
            words::bank_name(bank),
            // Rounded down: no shortfall is shown as met.
            (lasts * 10.0).floor() / 10.0,
            words::days(wanted_days)
        ),
        "A larger bank or less use would help.",
    );
}

/// What a typical year adds to the findings of a report: a chosen bank that is short on many days.
pub fn year_findings(report: &Report, year: &YearReport) -> Vec<Finding> {
    let Some(bank) = report.chosen_bank() else {
        return Vec::new();
    };
    let short = year.banks.iter().find(|its| its.id == bank.id);
    let short_days = short.map_or(0, |its| its.short_days);
    if short_days <= MANY_SHORT_DAYS {
        return Vec::new();
    }
    vec![Finding::new(
        Gravity::Caution,
        "months",
        format!(
            "{}: {short_days} short days in the typical year.",
            words::bank_name(bank)
        ),
        "More panel, more driving, a hook-up or less use would help.",
    )]
}
