//! Cycle counting against the standard's own example and what was computed from it.

use larder::year::{damage, rainflow};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;

fn numbers(value: &Value) -> Vec<f64> {
    value
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_f64)
        .collect()
}

/// Holds every case of a file; tells how many there were.
pub(crate) fn hold(file: &Path) -> Result<usize, String> {
    let text = std::fs::read_to_string(file).map_err(|fault| fault.to_string())?;
    let whole: Value = serde_json::from_str(&text).map_err(|fault| fault.to_string())?;
    let cases = whole["cases"].as_array().cloned().unwrap_or_default();
    for case in &cases {
        let series = numbers(&case["series"]);
        let mut found = Vec::new();
        rainflow(series.iter().copied(), |range, mean, count| {
            found.push([range, mean, count])
        });
        if let Some(extracted) = case["extracted_range_mean_count"].as_array() {
            let expected: Vec<Vec<f64>> = extracted.iter().map(numbers).collect();
            let same = expected.len() == found.len()
                && expected
                    .iter()
                    .zip(&found)
                    .all(|(a, b)| a.as_slice() == b.as_slice());
            if !same {
                return Err(format!("{}: {found:?}, not {expected:?}", case["id"]));
            }
        }
        if let Some(counts) = case["range_counts"].as_array() {
            let expected: Vec<Vec<f64>> = counts.iter().map(numbers).collect();
            let mut sums: BTreeMap<i64, f64> = BTreeMap::new();
            for [range, _, count] in &found {
                *sums.entry((range * 1e6).round() as i64).or_default() += count;
            }
            let sums: Vec<Vec<f64>> = sums
                .into_iter()
                .map(|(range, count)| vec![range as f64 / 1e6, count])
                .collect();
            if sums != expected {
                return Err(format!("{}: {sums:?}, not {expected:?}", case["id"]));
            }
        }
        if let Some(expected) = case["expected_damage"].as_f64() {
            let sum = damage(series, |range| 1000.0 / (range / 10.0).powf(1.3));
            let tolerance = case["tolerance"].as_f64().unwrap_or(0.0);
            if (sum - expected).abs() > tolerance {
                return Err(format!("{}: {sum}, not {expected}", case["id"]));
            }
        }
    }
    Ok(cases.len())
}
