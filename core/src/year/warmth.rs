//! How warm drawn days are about their month's mean, and how wide they swing.
//!
//! A day's mean keeps a part of yesterday's score and is as good as independent of its sun; what the sun moves is the day's swing:
//! under a clear sky the afternoon is warmer and the night colder. Richardson (1981) drew the residuals of a day's highest and
//! lowest temperature and of its sun together, x = A x' + B e, with the same A and B at 31 stations:
//! A = ((0.567, 0.086, −0.002), (0.253, 0.504, −0.050), (−0.006, −0.039, 0.244)),
//! B = ((0.781, 0, 0), (0.328, 0.637, 0), (0.238, −0.341, 0.873)),
//! as several open weather generators print them. From these, with both extremes spread alike, follow all shares below.

use std::f64::consts::PI;

/// Lag-1 correlation of a day's mean temperature: of half the sum of both extremes.
pub(super) const MEMORY: f64 = 0.705;
/// By how many spreads of the day's mean the swing widens with each score of the day's clearness: of the extremes' difference
/// on the sun. What else a swing scatters is left out, and so is the mean's correlation with the sun, −0.004.
const SWING_BY_SUN: f64 = 0.42;

/// Spread of the daily means of a month about its long-term mean [K], by that mean, by how far the year's monthly means spread
/// about their own (both °C) and by the month's days.
///
/// Erbs, Klein & Beckman (1983), from memory: σ = 1.45 − 0.0290 t + 0.0664 σ_year for the month's mean, and for its days the
/// distribution 1/(1 + exp(−2·1.698 h)), h = (t − mean)/(σ √days), whose own spread this is. With the memory above, months' means
/// then spread a quarter wider than σ.
pub fn daily_spread_k(mean_c: f64, yearly_spread_k: f64, days: f64) -> f64 {
    let monthly_k = 1.45 - 0.0290 * mean_c + 0.0664 * yearly_spread_k;
    monthly_k.max(0.0) * days.sqrt() * PI / (3f64.sqrt() * 2.0 * 1.698)
}

/// How much wider than on the mean a day of such a score of clearness swings from its coldest to its warmest hour [K], in a month
/// whose days' means spread so much and whose mean swing is such (both K); never so much less that none is left.
pub fn wider_swing_k(clear_score: f64, spread_k: f64, swing_k: f64) -> f64 {
    (SWING_BY_SUN * spread_k * clear_score).max(-swing_k)
}

/// How many warmths a drawn day may have: a score in steps, so that a bank and its loads are made ready once for each.
pub const WARMTHS: usize = 25;
/// Steps in a score: a quarter of a spread each, which is about 1 K. Assumed.
const A_SCORE: f64 = 4.0;
/// Greatest score; what lies beyond, three days in a thousand, is held to it.
const GREATEST: f64 = 3.0;

/// The place of a score among those that a day may have, coldest first; the nearest.
#[inline(always)]
pub(super) fn warmth_at(score: f64) -> usize {
    // Below the coldest the cast holds it to 0.
    (((score + GREATEST) * A_SCORE + 0.5) as usize).min(WARMTHS - 1)
}

/// Scores of warmth that a drawn day may have, coldest first.
pub fn warmth_scores() -> impl Iterator<Item = f64> {
    (0..WARMTHS).map(warmth_score)
}

pub(super) fn warmth_score(at: usize) -> f64 {
    at as f64 / A_SCORE - GREATEST
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::year::normal_share;

    /// A day's residuals by Richardson's matrices: their correlations on a day, and from one day to the next.
    fn richardson() -> ([[f64; 3]; 3], [[f64; 3]; 3]) {
        let a = [
            [0.567, 0.086, -0.002],
            [0.253, 0.504, -0.050],
            [-0.006, -0.039, 0.244],
        ];
        let b = [
            [0.781, 0.0, 0.0],
            [0.328, 0.637, 0.0],
            [0.238, -0.341, 0.873],
        ];
        let times = |x: &[[f64; 3]; 3], y: &[[f64; 3]; 3]| -> [[f64; 3]; 3] {
            std::array::from_fn(|i| {
                std::array::from_fn(|j| (0..3).map(|k| x[i][k] * y[k][j]).sum())
            })
        };
        let turned = |x: &[[f64; 3]; 3]| std::array::from_fn(|i| std::array::from_fn(|j| x[j][i]));
        let fresh = times(&b, &turned(&b));
        let mut same_day = fresh;
        for _ in 0..200 {
            let kept = times(&times(&a, &same_day), &turned(&a));
            same_day = std::array::from_fn(|i| std::array::from_fn(|j| kept[i][j] + fresh[i][j]));
        }
        (same_day, times(&a, &same_day))
    }

    #[test]
    fn the_shares_are_those_of_the_published_matrices() {
        let (same_day, next_day) = richardson();
        // The matrices stand for these correlations: 0.633 of both extremes, 0.186 and −0.193 of each with the sun.
        for (at, published) in [((0, 1), 0.633), ((0, 2), 0.186), ((1, 2), -0.193)] {
            assert!((same_day[at.0][at.1] - published).abs() < 1e-3);
        }
        let over = |m: &[[f64; 3]; 3], x: [f64; 3], y: [f64; 3]| -> f64 {
            (0..3)
                .flat_map(|i| (0..3).map(move |j| x[i] * m[i][j] * y[j]))
                .sum()
        };
        let (mean, swing, sun) = ([0.5, 0.5, 0.0], [1.0, -1.0, 0.0], [0.0, 0.0, 1.0]);
        let spread = over(&same_day, mean, mean).sqrt();
        let memory = over(&next_day, mean, mean) / (spread * spread);
        let by_sun = over(&same_day, swing, sun) / over(&same_day, sun, sun).sqrt() / spread;
        let with_sun = over(&same_day, mean, sun) / spread;
        println!("memory {memory:.4}, swing by sun {by_sun:.4}, mean with sun {with_sun:.4}");
        assert!((memory - MEMORY).abs() < 5e-4);
        assert!((by_sun - SWING_BY_SUN).abs() < 5e-4);
        assert!((with_sun + 0.004).abs() < 5e-4);
    }

    #[test]
    fn degree_days_are_those_of_the_published_formula() {
        // Erbs, Klein & Beckman (1983), from memory: a month's degree-days at any base, the same distribution summed.
        let days = 30.0;
        for (mean_c, yearly_k) in [(0.0, 8.0), (12.0, 6.0), (26.0, 2.0)] {
            let monthly_k = 1.45 - 0.0290 * mean_c + 0.0664 * yearly_k;
            let spread_k = daily_spread_k(mean_c, yearly_k, days);
            for base_c in [
                mean_c - 6.0,
                mean_c - 2.0,
                mean_c,
                mean_c + 2.0,
                mean_c + 6.0,
            ] {
                let h = (base_c - mean_c) / (monthly_k * days.sqrt());
                let published = monthly_k
                    * libm::pow(days, 1.5)
                    * (h / 2.0 + libm::log(libm::cosh(1.698 * h)) / 3.396 + 0.2041);
                // Of normal days: the mean of what they lie below the base.
                let off = (base_c - mean_c) / spread_k;
                let density = libm::exp(-off * off / 2.0) / (2.0 * PI).sqrt();
                let drawn = days * spread_k * (off * normal_share(off) + density);
                println!(
                    "mean {mean_c} °C, base {base_c} °C: {published:.1} published, {drawn:.1} drawn"
                );
                assert!((drawn - published).abs() < 0.03 * days * spread_k);
            }
        }
    }

    #[test]
    fn a_warmth_is_the_nearest() {
        let scores: Vec<f64> = warmth_scores().collect();
        assert_eq!(
            (scores[0], scores[12], scores[WARMTHS - 1]),
            (-GREATEST, 0.0, GREATEST)
        );
        for nth in -400..400 {
            let score = f64::from(nth) / 100.0 + 0.003;
            let off = scores[warmth_at(score)] - score.clamp(-GREATEST, GREATEST);
            assert!(off.abs() <= 0.125 + 1e-12, "{score}: {off}");
        }
    }

    #[test]
    fn a_swing_is_never_turned_round() {
        assert!((wider_swing_k(1.0, 5.0, 8.0) - 2.1).abs() < 1e-12);
        assert_eq!(wider_swing_k(-4.5, 6.0, 8.0), -8.0);
    }
}
