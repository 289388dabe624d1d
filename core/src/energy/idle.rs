//! The share of each hour in which the inverter idles for the loads that run on it.

use super::Minutes;

/// Gathers the loads on the inverter, one after another.
pub(super) struct IdleShare {
    /// Chance that none of them runs, were each spread over its hour without regard to the others.
    none_runs: [f64; 24],
    /// Minutes in which any of them may run.
    open: Minutes,
}

impl IdleShare {
    /// Nothing runs yet.
    pub(super) fn new() -> Self {
        Self {
            none_runs: [1.0; 24],
            open: Minutes::default(),
        }
    }

    /// Adds a load that runs for `shares` of each hour, at some of the minutes in `open`.
    pub(super) fn add(&mut self, shares: &[f64; 24], open: &Minutes) {
        for (none_runs, share) in self.none_runs.iter_mut().zip(shares) {
            *none_runs *= 1.0 - share;
        }
        self.open.add(open);
    }

    /// The share of each hour in which at least one runs, 0 to 1: 1 − Π(1 − share), as for independent events, but
    /// never more than the part of the hour in which any of them may (assumed).
    pub(super) fn hourly(&self) -> [f64; 24] {
        let mut open = self.open.hour_shares().into_iter();
        self.none_runs
            .map(|none_runs| (1.0 - none_runs).min(open.next().unwrap_or(1.0)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::energy::Window;

    #[test]
    fn shares_join_like_independent_events() {
        let mut idle = IdleShare::new();
        let whole_day = Window::WHOLE_DAY.minutes();
        assert_eq!(idle.hourly(), [0.0; 24]);
        idle.add(&[0.5; 24], &whole_day);
        idle.add(&[0.2; 24], &whole_day);
        // 1 − 0.5·0.8
        for share in idle.hourly() {
            assert!((share - 0.6).abs() < 1e-15);
        }
    }

    #[test]
    fn two_loads_in_the_same_half_hour_idle_for_no_longer_than_it() {
        let window = Window {
            from_min: 600,
            to_min: 630,
        };
        let mut idle = IdleShare::new();
        idle.add(&window.hour_overlap_h(), &window.minutes());
        idle.add(&window.hour_overlap_h(), &window.minutes());
        assert_eq!(idle.hourly()[10], 0.5);
        assert_eq!(idle.hourly()[11], 0.0);
    }
}
