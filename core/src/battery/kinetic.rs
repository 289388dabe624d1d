//! The kinetic model: charge in two wells, one at hand, one bound (Manwell & McGowan 1993).

use crate::numeric::greater;

/// Below this k'Δ the differences of exponentials are summed as a series, so that no digits are lost.
const SMALL: f64 = 1e-2;

/// Parameters of the two wells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wells {
    /// Share of the charge that stands in the available well when full, above 0, at most 1.
    pub c: f64,
    /// Rate at which the wells level [1/h], above 0.
    pub k_per_h: f64,
    /// All charge when full [Ah].
    pub q_max_ah: f64,
}

/// Charge in the wells [Ah].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// At hand.
    pub available_ah: f64,
    /// Bound.
    pub bound_ah: f64,
}

impl State {
    /// All of it [Ah].
    pub fn total_ah(self) -> f64 {
        self.available_ah + self.bound_ah
    }
}

/// x − 1 + exp(−x), without losing digits when x is small.
fn beyond_linear(x: f64) -> f64 {
    if x.abs() < SMALL {
        let x2 = x * x;
        // The Taylor series x²/2 − x³/6 + x⁴/24 − x⁵/120 + x⁶/720; the next term is below 1e-16 of the first.
        x2 * (0.5 - x * (1.0 / 6.0 - x * (1.0 / 24.0 - x * (1.0 / 120.0 - x / 720.0))))
    } else {
        x + libm::expm1(-x)
    }
}

impl Wells {
    /// Both wells level and full.
    pub fn full(&self) -> State {
        self.level(self.q_max_ah)
    }

    /// Both wells level, with so much in all [Ah].
    pub fn level(&self, total_ah: f64) -> State {
        State {
            available_ah: self.c * total_ah,
            bound_ah: (1.0 - self.c) * total_ah,
        }
    }

    /// Capacity [Ah] at a constant current that empties the available well in `hours`:
    /// q_max k' c T / (1 − exp(−k'T) + c (k'T − 1 + exp(−k'T))). Manwell & McGowan 1993.
    pub fn capacity_ah(&self, hours: f64) -> f64 {
        let x = self.k_per_h * hours;
        if x <= 0.0 {
            return self.c * self.q_max_ah;
        }
        self.q_max_ah * x * self.c / (-libm::expm1(-x) + self.c * beyond_linear(x))
    }
}

/// One step of the wells over a fixed time, with everything that does not hang on the state worked out.
///
/// With E = exp(−k'Δ): q1' = q1 E + (q k' c − I)(1 − E)/k' − I c (k'Δ − 1 + E)/k'; the total changes by −I Δ exactly.
/// Manwell & McGowan 1993.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    hours: f64,
    /// E: what stays of the available well.
    keep: f64,
    /// c (1 − E): what levels in from the total.
    level: f64,
    /// What one ampere takes from the available well [Ah].
    per_ampere: f64,
    /// One over it [1/Ah].
    amperes_per: f64,
    /// The available well when it is full [Ah].
    full_available_ah: f64,
}

impl Step {
    /// A step of so many hours.
    pub fn new(wells: &Wells, hours: f64) -> Self {
        let x = wells.k_per_h * hours;
        let gone = -libm::expm1(-x);
        let per_ampere = if wells.k_per_h > 0.0 {
            (gone + wells.c * beyond_linear(x)) / wells.k_per_h
        } else {
            hours
        };
        Self {
            hours,
            keep: 1.0 - gone,
            level: wells.c * gone,
            per_ampere,
            amperes_per: 1.0 / per_ampere,
            full_available_ah: wells.c * wells.q_max_ah,
        }
    }

    /// How long it is [h].
    pub fn hours(&self) -> f64 {
        self.hours
    }

    /// The available well at the end with no current.
    fn at_rest_ah(&self, state: State) -> f64 {
        state.available_ah * self.keep + state.total_ah() * self.level
    }

    /// The wells after the step at a current [A], positive on discharge.
    pub fn advance(&self, state: State, current_a: f64) -> State {
        let available_ah = self.at_rest_ah(state) - current_a * self.per_ampere;
        let total = state.total_ah() - current_a * self.hours;
        State {
            available_ah,
            bound_ah: total - available_ah,
        }
    }

    /// Most current [A] that the available well can give over the step.
    pub fn most_discharge_a(&self, state: State) -> f64 {
        greater(self.at_rest_ah(state) * self.amperes_per, 0.0)
    }

    /// Most current [A] that the available well can take over the step, as a positive number.
    pub fn most_charge_a(&self, state: State) -> f64 {
        greater(
            (self.full_available_ah - self.at_rest_ah(state)) * self.amperes_per,
            0.0,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MODULE: Wells = Wells {
        c: 0.37,
        k_per_h: 0.5874,
        q_max_ah: 86.1,
    };

    #[test]
    fn the_published_module_is_met() {
        assert!((MODULE.capacity_ah(1.0) - 37.63617).abs() < 1e-4);
        let full = State {
            available_ah: 31.857,
            bound_ah: 54.243,
        };
        let step = Step::new(&MODULE, 1.0);
        let after = step.advance(full, 10.0);
        assert!(
            (after.available_ah - 23.392_536).abs() < 1e-5
                && (after.bound_ah - 52.707_464).abs() < 1e-5
        );
        assert!(
            (step.most_discharge_a(full) - 37.636_167).abs() < 1e-5
                && step.most_charge_a(full).abs() < 1e-9
        );
    }

    #[test]
    fn stepping_at_constant_current_meets_the_closed_form() {
        for hours in [1.0, 5.0, 20.0] {
            let current = MODULE.capacity_ah(hours) / hours;
            let step = Step::new(&MODULE, hours / 50.0);
            let end = (0..50).fold(MODULE.full(), |state, _| step.advance(state, current));
            assert!(
                end.available_ah.abs() < 1e-9 * MODULE.q_max_ah,
                "{hours} h: {end:?}"
            );
        }
    }

    #[test]
    fn charge_is_conserved_and_tiny_rates_keep_their_digits() {
        for k in [1e-9, 1e-4, 0.5, 50.0] {
            let wells = Wells {
                k_per_h: k,
                ..MODULE
            };
            let step = Step::new(&wells, 1.0);
            let after = step.advance(wells.full(), 7.0);
            assert!((after.total_ah() - (86.1 - 7.0)).abs() < 1e-12);
            let halves = Step::new(&wells, 0.5);
            let twice = halves.advance(halves.advance(wells.full(), 7.0), 7.0);
            assert!(
                (twice.available_ah - after.available_ah).abs() < 1e-11,
                "{k}"
            );
        }
    }
}
