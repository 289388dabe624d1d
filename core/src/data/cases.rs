//! Standard battery cases.

use super::rows;
use crate::numeric::decimal;
use std::sync::OnceLock;

/// One case.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseSize {
    /// The standard's name for it.
    pub name: String,
    /// Greatest length, width, height over all [mm].
    pub mm: [f64; 3],
    /// Typical mass of a lead-acid battery in it, from and to [kg].
    pub mass_kg: Option<(f64, f64)>,
    /// Typical 20-hour capacity of one, from and to [Ah].
    pub capacity_ah: Option<(f64, f64)>,
    /// Where its size comes from.
    pub source: String,
}

/// Every case of the table.
pub fn cases() -> &'static [CaseSize] {
    static CASES: OnceLock<Vec<CaseSize>> = OnceLock::new();
    CASES.get_or_init(|| {
        rows(include_str!("cases.csv"))
            .filter_map(|cells| case(&cells))
            .collect()
    })
}

fn case(cells: &[&str]) -> Option<CaseSize> {
    let [
        name,
        length,
        width,
        height,
        mass_low,
        mass_high,
        ah_low,
        ah_high,
        source,
    ] = cells
    else {
        return None;
    };
    let range = |low: &str, high: &str| Some((decimal(low)?, decimal(high)?));
    Some(CaseSize {
        name: (*name).to_owned(),
        mm: [decimal(length)?, decimal(width)?, decimal(height)?],
        mass_kg: range(mass_low, mass_high),
        capacity_ah: range(ah_low, ah_high),
        source: (*source).to_owned(),
    })
}

/// The case of that name.
pub fn case_by_name(name: &str) -> Option<&'static CaseSize> {
    cases()
        .iter()
        .find(|case| case.name.eq_ignore_ascii_case(name.trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_parses_and_is_a_battery_s_size() {
        assert_eq!(cases().len(), rows(include_str!("cases.csv")).count());
        assert!(cases().len() >= 25);
        for case in cases() {
            assert!(
                case.mm.iter().all(|mm| (100.0..700.0).contains(mm)),
                "{case:?}"
            );
            assert!(
                case.mm[0] >= case.mm[1] && !case.source.is_empty(),
                "{case:?}"
            );
            assert!(case.mass_kg.is_none_or(|(low, high)| low <= high));
        }
        let mut names: Vec<_> = cases().iter().map(|case| &case.name).collect();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), cases().len());
        assert!(case_by_name("bci 24").is_some());
    }
}
