//! Days of a typical month: not the mean day repeated, which has no dull spells, but a spread of days whose mean it is.

use super::chance::{Seeded, normal_share};
use super::warmth::{self, warmth_at, warmth_score};
use crate::numeric::{order, root_between};
use crate::solar::MONTH_DAYS;
use std::borrow::Cow;
use std::sync::OnceLock;

/// Least daily clearness. Bendt, Collares-Pereira & Rabl (1981), in the form of Duffie & Beckman eq. 2.9.4.
const LEAST: f64 = 0.05;
/// Monthly means outside this span are the same every day: the distribution does not hold there.
const SPAN: (f64, f64) = (0.10, 0.80);
/// Lag-1 correlation of the day's score. Graham, Hollands & Brunger (1988).
const MEMORY: f64 = 0.29;
/// What tells the stream of warmth from that of clearness.
const WARM: u64 = 0x0077_A293;
/// Separates the stream of the table's error from both.
const TABLE: u64 = 0x0071_AB1E;
/// Seed of the fixed order of days.
const SEED: u64 = 0x005E_ED0F_DA15;

/// How daily clearness spreads about a month's mean: an exponential density between two bounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clearness {
    mean: f64,
    most: f64,
    /// The density's exponent; none where every day is the mean.
    gamma: Option<f64>,
    /// By what factor the density falls from one bound to the other.
    falls: f64,
}

/// Mean of the density e^(x·t) on 0 to 1.
fn unit_mean(x: f64) -> f64 {
    if x.abs() < 1e-4 {
        return 0.5 + x / 12.0;
    }
    -1.0 / libm::expm1(-x) - 1.0 / x
}

impl Clearness {
    /// The spread of a month whose mean clearness is `mean`. Bendt et al. (1981); Duffie & Beckman (2013) eqs. 2.9.4 to
    /// 2.9.7, with γ solved so that the mean is met, which the printed fit of γ misses where it is dull.
    pub fn of_month(mean: f64) -> Self {
        let most = 0.6313 + 0.267 * mean - 11.9 * libm::pow(mean - 0.75, 8.0);
        let inside = mean >= SPAN.0 && mean <= SPAN.1 && mean < most && mean > LEAST;
        let wanted = (mean - LEAST) / (most - LEAST);
        // Since 1 − 1/x < unit_mean(x) where x > 0, and the same from below.
        let steepest = 1.0 / wanted.min(1.0 - wanted);
        let solve = || root_between(|x| unit_mean(x) - wanted, -steepest, steepest, 1e-9);
        let gamma = inside.then(solve).flatten().map(|x| x / (most - LEAST));
        Self::new(mean, most, gamma)
    }

    fn new(mean: f64, most: f64, gamma: Option<f64>) -> Self {
        let x = gamma.unwrap_or(0.0) * (most - LEAST);
        Self {
            mean,
            most,
            gamma,
            falls: libm::exp(-x.abs()),
        }
    }

    /// The clearness that a share of days, 0 to 1, does not exceed.
    pub fn fractile(&self, share: f64) -> f64 {
        let Some(gamma) = self.gamma else {
            return self.mean;
        };
        let x = gamma * (self.most - LEAST);
        if x.abs() < 1e-6 {
            return LEAST + share * (self.most - LEAST);
        }
        // ln((1 − F)·e^(γ·least) + F·e^(γ·most)) / γ, written so that no exponential grows.
        if x > 0.0 {
            self.most + libm::log(share + (1.0 - share) * self.falls) / gamma
        } else {
            LEAST + libm::log(1.0 - share + share * self.falls) / gamma
        }
    }
}

/// Scores from least to most of a table of clearness by score, and how many a unit: beyond, days are as good as never drawn.
const SCORES: (f64, f64) = (-4.5, 4.5);
const A_UNIT: f64 = 32.0;
const POINTS: usize = 289;

/// A month's clearness by a day's normal score: its spread looked up, for weather that is drawn many thousand times.
#[derive(Clone, Debug, PartialEq)]
pub struct ByScore(Vec<f64>);

impl ByScore {
    /// Of a month of so much mean clearness.
    pub fn of_month(mean: f64) -> Self {
        let spread = Clearness::of_month(mean);
        let at = |nth: usize| spread.fractile(normal_share(SCORES.0 + nth as f64 / A_UNIT));
        Self((0..POINTS).map(at).collect())
    }

    /// The score of a clearness, held to those of the table; 0 where every day is the same.
    pub fn score_of(&self, clearness: f64) -> f64 {
        let Self(points) = self;
        if points.first() >= points.last() {
            return 0.0;
        }
        let above = points.partition_point(|at| *at < clearness);
        let below = above.saturating_sub(1);
        let along = match points.get(below..=above) {
            Some([low, high]) => (clearness - low) / (high - low),
            _ => 0.0,
        };
        SCORES.0 + (below as f64 + along) / A_UNIT
    }

    /// Clearness at a score.
    pub fn at(&self, score: f64) -> f64 {
        let along = (score.clamp(SCORES.0, SCORES.1) - SCORES.0) * A_UNIT;
        let below = (along as usize).min(POINTS - 2);
        match self.0.get(below..below + 2) {
            Some([low, high]) => low + (high - low) * (along - below as f64),
            _ => 0.0,
        }
    }
}

/// A score with a memory from day to day.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Remembered {
    score: f64,
    memory: f64,
    fresh: f64,
}

impl Remembered {
    fn new(score: f64, memory: f64) -> Self {
        Self {
            score,
            memory,
            fresh: (1.0 - memory * memory).sqrt(),
        }
    }

    /// The next day's, of what is new in it.
    fn next(&mut self, news: f64) -> f64 {
        self.score = self.memory * self.score + self.fresh * news;
        self.score
    }
}

/// What a drawn day is like: normal scores of its clearness and of its mean temperature.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DayScore {
    /// Of its clearness.
    pub clear: f64,
    /// Of its warmth, one of a few.
    pub warm: f64,
    /// Of the climate table's own error, the same all year.
    pub table: f64,
}

/// Days as they come: scores with the stated memory from day to day. Graham, Hollands & Brunger (1988); Richardson (1981).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Drawn {
    draws: [Seeded; 2],
    clear: Remembered,
    warm: Remembered,
    table: f64,
}

impl DayScore {
    /// The day as far from its month's means on the other side.
    pub(super) fn mirrored(self) -> Self {
        Self {
            clear: -self.clear,
            warm: -self.warm,
            table: -self.table,
        }
    }
}

impl Drawn {
    /// The weather of one pair of years of a stream.
    pub(super) fn new(seed: u64, pair: u64) -> Self {
        let mut draws = [Seeded::new(seed, pair), Seeded::new(seed ^ WARM, pair)];
        let [clear, warm] = &mut draws;
        Self {
            clear: Remembered::new(clear.score(), MEMORY),
            warm: Remembered::new(warm.rough_score(), warmth::MEMORY),
            table: Seeded::new(seed ^ TABLE, pair).score(),
            draws,
        }
    }

    /// The next day.
    pub(super) fn next(&mut self) -> DayScore {
        let [clear, warm] = &mut self.draws;
        let warm = self.warm.next(warm.rough_score());
        DayScore {
            clear: self.clear.next(clear.score()),
            warm: warmth_score(warmth_at(warm)),
            table: self.table,
        }
    }
}

/// The days of a month (0 = January) from the dullest to the clearest, in an order whose score has the stated memory; the same
/// always, so it is drawn once.
fn fixed_order(month: usize, days: usize) -> Cow<'static, [usize]> {
    static ORDERS: OnceLock<[Vec<usize>; 12]> = OnceLock::new();
    let draw = |month| drawn_order(month, MONTH_DAYS.get(month).copied().unwrap_or(0));
    let orders = ORDERS.get_or_init(|| std::array::from_fn(draw));
    match orders.get(month).filter(|order| order.len() == days) {
        Some(order) => Cow::Borrowed(order),
        None => Cow::Owned(drawn_order(month, days)),
    }
}

fn drawn_order(month: usize, days: usize) -> Vec<usize> {
    let mut shuffle = Seeded::new(SEED, month as u64);
    let mut last = Remembered::new(shuffle.score(), MEMORY);
    let scores: Vec<f64> = (0..days).map(|_| last.next(shuffle.score())).collect();
    order(&scores)
}

/// Daily clearness of a typical month (0 = January): the fractiles of its spread, one a day, in a fixed order whose score
/// has the stated memory from day to day; scaled so that their mean is the month's exactly.
pub fn typical_month(mean: f64, month: usize, days: usize) -> Vec<f64> {
    let spread = Clearness::of_month(mean);
    if days == 0 || spread.gamma.is_none() {
        return vec![mean; days];
    }
    let mut clearness = vec![0.0; days];
    for (rank, day) in fixed_order(month, days).iter().enumerate() {
        if let Some(slot) = clearness.get_mut(*day) {
            *slot = spread.fractile((rank as f64 + 0.5) / days as f64);
        }
    }
    let found = clearness.iter().sum::<f64>() / days as f64;
    clearness.iter().map(|k| k * mean / found).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_spread_has_the_mean_that_it_is_asked_for() {
        for mean in [0.12, 0.25, 0.4, 0.5, 0.62, 0.75] {
            let spread = Clearness::of_month(mean);
            let found = (0..20_000)
                .map(|i| spread.fractile((f64::from(i) + 0.5) / 20_000.0))
                .sum::<f64>()
                / 20_000.0;
            assert!((found - mean).abs() < 1e-4, "{mean}: {found}");
            assert!(
                spread.fractile(0.0) >= LEAST - 1e-9 && spread.fractile(1.0) <= spread.most + 1e-9
            );
            assert!(spread.fractile(0.2) < spread.fractile(0.8));
        }
        assert_eq!(Clearness::of_month(0.05).fractile(0.1), 0.05);
        assert_eq!(Clearness::of_month(0.85).fractile(0.9), 0.85);
    }

    #[test]
    fn a_typical_month_has_dull_spells_and_its_mean() {
        for (month, mean) in [(0, 0.3), (6, 0.55)] {
            let days = typical_month(mean, month, 31);
            let found = days.iter().sum::<f64>() / 31.0;
            assert!((found - mean).abs() < 1e-12);
            assert!(days.iter().any(|k| *k < 0.5 * mean), "{days:?}");
            assert_eq!(days, typical_month(mean, month, 31));
        }
        assert_eq!(typical_month(0.0, 11, 31), vec![0.0; 31]);
    }

    #[test]
    fn fractiles_turn_back_into_shares() {
        // Duffie & Beckman eq. 2.9.4: F = (e^(γ·least) − e^(γ·K)) / (e^(γ·least) − e^(γ·most)), with the solved γ.
        for mean in [0.12, 0.25, 0.4, 0.5, 0.62, 0.75] {
            let spread = Clearness::of_month(mean);
            let gamma = spread.gamma.expect("a spread");
            let grown = |k: f64| libm::expm1(gamma * (k - LEAST));
            for nth in 0..=1000 {
                let share = f64::from(nth) / 1000.0;
                let back = grown(spread.fractile(share)) / grown(spread.most);
                assert!((back - share).abs() < 1e-9, "{mean} {share}: {back}");
            }
            // The table by score holds the same, and turns back.
            let by_score = ByScore::of_month(mean);
            for nth in -16..=16 {
                let score = f64::from(nth) / 8.0;
                let k = by_score.at(score);
                assert!((k - spread.fractile(normal_share(score))).abs() < 1e-9);
                assert!((by_score.score_of(k) - score).abs() < 1e-9);
            }
            assert_eq!(by_score.score_of(0.0), SCORES.0);
            assert_eq!(by_score.score_of(1.0), SCORES.1);
        }
        assert_eq!(ByScore::of_month(0.05).score_of(0.05), 0.0);
    }

    /// What a series of scores has told.
    #[derive(Default)]
    struct Told {
        count: f64,
        sum: f64,
        square: f64,
        over: f64,
    }

    impl Told {
        fn add(&mut self, last: f64, score: f64) {
            self.count += 1.0;
            self.sum += score;
            self.square += score * score;
            self.over += last * score;
        }

        /// Mean, spread, lag-1 correlation.
        fn says(&self) -> (f64, f64, f64) {
            let mean = self.sum / self.count;
            let spread = (self.square / self.count - mean * mean).sqrt();
            (mean, spread, self.over / self.square)
        }
    }

    #[test]
    fn ten_thousand_drawn_months_return_to_their_means_and_remember_by_the_stated_shares() {
        let means = [0.15, 0.3, 0.42, 0.55, 0.7];
        let tables = means.map(ByScore::of_month);
        let (mut clear, mut warm, mut both) = (Told::default(), Told::default(), 0.0);
        let mut sums = [0.0; 5];
        let mut far = 0.0;
        for nth in 0..10_000 {
            let mut drawn = Drawn::new(9, nth);
            let mut last = drawn.next();
            for _ in 0..31 {
                let day = drawn.next();
                clear.add(last.clear, day.clear);
                warm.add(last.warm, day.warm);
                both += day.clear * day.warm;
                far += f64::from(u8::from(day.warm.abs() > 1.9));
                for (sum, table) in sums.iter_mut().zip(&tables) {
                    *sum += table.at(day.clear);
                }
                last = day;
            }
        }
        for (sum, mean) in sums.iter().zip(means) {
            let found = sum / clear.count;
            println!("K {mean}: {found:.4} on the mean of 10,000 drawn months");
            assert!((found / mean - 1.0).abs() < 0.01, "{mean}: {found}");
        }
        for (name, told, memory) in [
            ("clearness", &clear, MEMORY),
            ("warmth", &warm, warmth::MEMORY),
        ] {
            let (mean, spread, found) = told.says();
            println!("{name}: mean {mean:.4}, spread {spread:.4}, memory {found:.4}");
            assert!(mean.abs() < 0.01 && (spread - 1.0).abs() < 0.01);
            assert!((found - memory).abs() < 0.01, "{name}: {found}");
        }
        assert!((both / clear.count).abs() < 0.01);
        // Rounded to quarters, what is beyond 1.9 began beyond 1.875: 6.08 % of a normal spread.
        let beyond = far / clear.count;
        assert!((beyond - 0.0608).abs() < 0.003, "{beyond}");
    }

    #[test]
    fn the_published_exponent_is_met_where_it_holds() {
        // Duffie & Beckman eqs. 2.9.5 and 2.9.6, from K 0.3 to 0.6.
        for mean in [0.3, 0.4, 0.5, 0.6] {
            let spread = Clearness::of_month(mean);
            let xi = (spread.most - LEAST) / (spread.most - mean);
            let published =
                -1.498 + (1.184 * xi - 27.182 * libm::exp(-1.5 * xi)) / (spread.most - LEAST);
            let solved = spread.gamma.expect("spread");
            let as_published = Clearness::new(mean, spread.most, Some(published));
            let found = (0..4000).map(|at| as_published.fractile((f64::from(at) + 0.5) / 4000.0));
            // By the mean that each gives: the published fit misses it by no more than 0.003.
            let by_fit = found.sum::<f64>() / 4000.0;
            println!(
                "K {mean}: γ published {published:.3}, solved {solved:.3}; the fit's mean {by_fit:.4}"
            );
            assert!((by_fit - mean).abs() < 0.003);
        }
    }

    #[test]
    fn days_remember_the_last_one_a_little() {
        let all: Vec<f64> = (0..400)
            .flat_map(|month| typical_month(0.5, month, 30))
            .collect();
        let mean = all.iter().sum::<f64>() / all.len() as f64;
        let over: f64 = all
            .chunks(30)
            .flat_map(|m| m.windows(2))
            .map(|w| (w[0] - mean) * (w[1] - mean))
            .sum();
        let under: f64 = all.iter().map(|k| (k - mean) * (k - mean)).sum::<f64>() * 29.0 / 30.0;
        let memory = over / under;
        assert!((0.18..0.34).contains(&memory), "{memory}");
    }
}
