//! Chance: numbers from a seed, the normal distribution, intervals. The same bits on every machine.

use crate::numeric::root_between;

/// Numbers from a seed: SplitMix64, by Steele, Lea & Flood (2014).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Seeded(u64);

impl Seeded {
    /// A stream of its own for each number.
    pub(super) fn new(seed: u64, nth: u64) -> Self {
        let mut one = Self(seed ^ nth.wrapping_mul(0xA24B_AED4_963E_E407));
        Self(one.word())
    }

    fn word(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly between 0 and 1, neither of them.
    pub(super) fn unit(&mut self) -> f64 {
        ((self.word() >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    /// A standard normal score.
    pub(super) fn score(&mut self) -> f64 {
        normal_quantile(self.unit())
    }

    /// A score that is nearly normal, for what is rounded afterwards: four even parts of one word summed (Irwin 1927, Hall
    /// 1927), which spares the quantile.
    pub(super) fn rough_score(&mut self) -> f64 {
        const SPREAD: f64 = 65_536.0 / 1.732_050_807_568_877_2;
        let word = self.word();
        let part = |nth: u32| (word >> (16 * nth) & 0xFFFF) as i32;
        f64::from(part(0) + part(1) + part(2) + part(3) - 2 * 0xFFFF) / SPREAD
    }
}

/// Standard normal scores, one after the other, of the nth draw of a stream.
pub fn drawn_scores(seed: u64, nth: u64) -> impl Iterator<Item = f64> {
    let mut draw = Seeded::new(seed, nth);
    std::iter::repeat_with(move || draw.score())
}

fn ratio(x: f64, over: [f64; 8], under: [f64; 8]) -> f64 {
    let horner = |terms: [f64; 8]| terms.iter().rev().fold(0.0, |sum, term| sum * x + term);
    horner(over) / horner(under)
}

/// The score that a share of a standard normal distribution, above 0 and below 1, does not exceed. Wichura 1988, Applied
/// Statistics 37(3), algorithm AS 241 (PPND16): to about 1 part in 10¹⁶; its constants from memory, held against a library.
pub fn normal_quantile(share: f64) -> f64 {
    let from_middle = share - 0.5;
    if from_middle.abs() <= 0.425 {
        let r = 0.180_625 - from_middle * from_middle;
        return from_middle
            * ratio(
                r,
                [
                    3.387_132_872_796_366_5,
                    133.141_667_891_784_38,
                    1_971.590_950_306_551_3,
                    13_731.693_765_509_46,
                    45_921.953_931_549_87,
                    67_265.770_927_008_7,
                    33_430.575_583_588_13,
                    2_509.080_928_730_122_7,
                ],
                [
                    1.0,
                    42.313_330_701_600_91,
                    687.187_007_492_057_9,
                    5_394.196_021_424_751,
                    21_213.794_301_586_597,
                    39_307.895_800_092_71,
                    28_729.085_735_721_943,
                    5_226.495_278_852_854,
                ],
            );
    }
    let tail = if from_middle < 0.0 {
        share
    } else {
        1.0 - share
    };
    let r = (-libm::log(tail)).sqrt();
    let size = if r <= 5.0 {
        ratio(
            r - 1.6,
            [
                1.423_437_110_749_683_5,
                4.630_337_846_156_546,
                5.769_497_221_460_691,
                3.647_848_324_763_204_5,
                1.270_458_252_452_368_4,
                0.241_780_725_177_450_6,
                0.022_723_844_989_269_184,
                7.745_450_142_783_414e-4,
            ],
            [
                1.0,
                2.053_191_626_637_759,
                1.676_384_830_183_803_8,
                0.689_767_334_985_1,
                0.148_103_976_427_480_08,
                0.015_198_666_563_616_457,
                5.475_938_084_995_345e-4,
                1.050_750_071_644_416_9e-9,
            ],
        )
    } else {
        ratio(
            r - 5.0,
            [
                6.657_904_643_501_103,
                5.463_784_911_164_114,
                1.784_826_539_917_291_3,
                0.296_560_571_828_504_87,
                0.026_532_189_526_576_124,
                0.001_242_660_947_388_078_4,
                2.711_555_568_743_487_6e-5,
                2.010_334_399_292_288_1e-7,
            ],
            [
                1.0,
                0.599_832_206_555_888,
                0.136_929_880_922_735_8,
                0.014_875_361_290_850_615,
                7.868_691_311_456_133e-4,
                1.846_318_317_510_054_8e-5,
                1.421_511_758_316_446e-7,
                2.044_263_103_389_939_8e-15,
            ],
        )
    };
    if from_middle < 0.0 { -size } else { size }
}

/// Share of a standard normal distribution that does not exceed a score.
pub fn normal_share(score: f64) -> f64 {
    0.5 * libm::erfc(-score * std::f64::consts::FRAC_1_SQRT_2)
}

/// The regularised incomplete beta function, by its continued fraction (Abramowitz & Stegun 1964, 26.5.8), summed after
/// Lentz.
pub fn beta_share(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - beta_share(1.0 - x, b, a);
    }
    const TINY: f64 = 1e-300;
    let front = libm::exp(
        libm::lgamma(a + b) - libm::lgamma(a) - libm::lgamma(b)
            + a * libm::log(x)
            + b * libm::log(1.0 - x),
    ) / a;
    let at_least = |value: f64| if value.abs() < TINY { TINY } else { value };
    let (mut c, mut d) = (1.0, 1.0 / at_least(1.0 - (a + b) * x / (a + 1.0)));
    let mut sum = d;
    for m in 1..400 {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        let mut factor = 1.0;
        for term in [even, odd] {
            d = 1.0 / at_least(1.0 + term * d);
            c = at_least(1.0 + term / c);
            factor = c * d;
            sum *= factor;
        }
        if (factor - 1.0).abs() < 1e-15 {
            break;
        }
    }
    front * sum
}

/// Interval, 0 to 1, that holds a share with at least so much confidence, after `hits` of `trials`. Clopper & Pearson 1934,
/// Biometrika 26, 404.
pub fn share_interval(hits: u32, trials: u32, confidence: f64) -> (f64, f64) {
    if trials == 0 {
        return (0.0, 1.0);
    }
    let (k, n) = (f64::from(hits), f64::from(trials));
    let tail = (1.0 - confidence) / 2.0;
    let solve = |share: f64, a: f64, b: f64| {
        root_between(|x| beta_share(x, a, b) - share, 0.0, 1.0, 1e-12).unwrap_or(0.0)
    };
    let low = if hits == 0 {
        0.0
    } else {
        solve(tail, k, n - k + 1.0)
    };
    let high = if hits >= trials {
        1.0
    } else {
        solve(1.0 - tail, k + 1.0, n - k)
    };
    (low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_turn_back_into_shares() {
        for share in [1e-12, 1e-6, 0.01, 0.075, 0.3, 0.5, 0.8, 0.975, 0.999_999] {
            let score = normal_quantile(share);
            assert!(
                (normal_share(score) / share - 1.0).abs() < 1e-9,
                "{share}: {score}"
            );
        }
        // Handbook values.
        for (share, score) in [
            (0.975, 1.959_963_984_540_054),
            (0.99, 2.326_347_874_040_841),
            (0.5, 0.0),
        ] {
            assert!((normal_quantile(share) - score).abs() < 1e-12);
        }
    }

    #[test]
    fn intervals_by_the_book() {
        // Clopper & Pearson for 0 of 10 and 5 of 10 at 95 %: (0, 0.3085), (0.1871, 0.8129); 1 of 10: (0.0025, 0.4450).
        for (hits, low, high) in [
            (0, 0.0, 0.3085),
            (1, 0.0025, 0.4450),
            (5, 0.1871, 0.8129),
            (10, 0.6915, 1.0),
        ] {
            let found = share_interval(hits, 10, 0.95);
            assert!(
                (found.0 - low).abs() < 5e-5 && (found.1 - high).abs() < 5e-5,
                "{hits}: {found:?}"
            );
        }
        // I_x(2, 3) = 6x² − 8x³ + 3x⁴.
        for x in [0.1f64, 0.5, 0.9] {
            let closed = x * x * (6.0 - 8.0 * x + 3.0 * x * x);
            assert!((beta_share(x, 2.0, 3.0) - closed).abs() < 1e-14);
        }
    }

    #[test]
    fn scores_are_standard_normal() {
        for score in [Seeded::score, Seeded::rough_score] {
            let mut draw = Seeded::new(1, 2);
            let scores: Vec<f64> = (0..40_000).map(|_| score(&mut draw)).collect();
            let mean = scores.iter().sum::<f64>() / 4e4;
            let square = scores.iter().map(|x| x * x).sum::<f64>() / 4e4;
            assert!(
                mean.abs() < 0.02 && (square - 1.0).abs() < 0.03,
                "{mean} {square}"
            );
        }
    }
}
