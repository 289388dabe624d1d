//! The kinetic model: charge in two wells, one at hand, one bound (Manwell & McGowan 1993).

use crate::numeric::{Number, greater, lesser};

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

/// Charge in the wells [Ah], of one bank or of several side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State<N = f64> {
    /// At hand.
    pub available_ah: N,
    /// All of it, at hand and bound.
    pub total_ah: N,
}

impl<N: Number> State<N> {
    /// Bound [Ah].
    pub fn bound_ah(&self) -> N {
        self.total_ah - self.available_ah
    }

    /// The wells of the one at a place.
    pub fn at(&self, place: usize) -> State {
        State {
            available_ah: self.available_ah.at(place),
            total_ah: self.total_ah.at(place),
        }
    }
}

/// 1 − exp(−x), and x − 1 + exp(−x), without losing digits when x is small.
fn gone_and_beyond(x: f64) -> (f64, f64) {
    let gone = -libm::expm1(-x);
    let beyond = if x.abs() < SMALL {
        let x2 = x * x;
        // The Taylor series x²/2 − x³/6 + x⁴/24 − x⁵/120 + x⁶/720; the next term is below 5e-14 of the first.
        x2 * (0.5 - x * (1.0 / 6.0 - x * (1.0 / 24.0 - x * (1.0 / 120.0 - x / 720.0))))
    } else {
        x - gone
    };
    (gone, beyond)
}

/// exp(−x) for x from 0 on by sums and one division only, so that many can be worked out side by side to the same bits: the
/// second Padé approximant of an eighth of x, thrice squared. Within 3e-7 up to 1, within 2e-5 everywhere.
#[inline(always)]
fn decay<N: Number>(x: N) -> N {
    let x = lesser(x, N::same(16.0)) * 0.125;
    let (even, odd) = (x * x * (1.0 / 12.0) + 1.0, x * 0.5);
    let once = (even - odd) / (even + odd);
    let twice = once * once;
    let fourth = twice * twice;
    fourth * fourth
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
            total_ah,
        }
    }

    /// Capacity [Ah] at a constant current that empties the available well in `hours`:
    /// q_max k' c T / (1 − exp(−k'T) + c (k'T − 1 + exp(−k'T))). Manwell & McGowan 1993.
    pub fn capacity_ah(&self, hours: f64) -> f64 {
        let x = self.k_per_h * hours;
        if x <= 0.0 {
            return self.c * self.q_max_ah;
        }
        let (gone, beyond) = gone_and_beyond(x);
        self.q_max_ah * x * self.c / (gone + self.c * beyond)
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
    /// What share of all that a bank lacks levels in while its available well stays full, by the hour [1/h].
    levels_full_per_h: f64,
    wells: Wells,
}

impl Step {
    /// A step of so many hours.
    pub fn new(wells: &Wells, hours: f64) -> Self {
        let x = wells.k_per_h * hours;
        let (gone, beyond) = gone_and_beyond(x);
        let per_ampere = if wells.k_per_h > 0.0 {
            (gone + wells.c * beyond) / wells.k_per_h
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
            levels_full_per_h: (1.0 - decay(wells.c * x)) / hours,
            wells: *wells,
        }
    }

    /// How long it is [h].
    pub fn hours(&self) -> f64 {
        self.hours
    }

    /// The available well at the end with no current.
    #[inline(always)]
    fn at_rest_ah<N: Number>(&self, state: State<N>) -> N {
        state.available_ah * self.keep + state.total_ah * self.level
    }

    /// The wells after the step at a current [A], positive on discharge.
    #[inline(always)]
    pub fn advance<N: Number>(&self, state: State<N>, current_a: N) -> State<N> {
        State {
            available_ah: self.at_rest_ah(state) - current_a * self.per_ampere,
            total_ah: state.total_ah - current_a * self.hours,
        }
    }

    /// The same where a current into the wells, here positive, may fill the available one: from there on it tapers, as
    /// [`Self::tapering_charge_a`] says, but for the time of filling, for which the available well is taken to rise in a line.
    #[inline(always)]
    pub fn charge_all<N: Number>(&self, state: State<N>, into_a: N) -> State<N> {
        let next = self.advance(state, N::same(0.0) - into_a);
        let full_ah = N::same(self.full_available_ah);
        let fills = full_ah.is_below(next.available_ah);
        if N::bits(fills) == 0 {
            return next;
        }
        let (hours, Wells { c, k_per_h, .. }) = (self.hours, self.wells);
        let rise_ah = next.available_ah - state.available_ah;
        let full_h = (full_ah - state.available_ah) * hours / rise_ah;
        let by_then_ah = into_a * full_h;
        let left_ah = N::same(self.wells.q_max_ah) - state.total_ah - by_then_ah;
        let levelled = N::same(1.0) - decay((N::same(hours) - full_h) * (c * k_per_h));
        let gained_ah = lesser(by_then_ah + left_ah * levelled, into_a * hours);
        State {
            available_ah: N::choose(fills, full_ah, next.available_ah),
            total_ah: N::choose(fills, state.total_ah + gained_ah, next.total_ah),
        }
    }

    /// Mean current [A], as a positive number, of a charge that would overfill the available well at a constant `current_a`:
    /// it holds that current until the well is full, and from there on tapers so that the well stays full.
    ///
    /// Held full, what the bound well lacks levels in as exp(−c k' t), by the model's own equation. When the well is full is
    /// found by a parabola through its charge at both ends with its slope at the first, and two steps of Newton from there.
    #[inline(always)]
    pub fn tapering_charge_a(&self, state: State, current_a: f64) -> f64 {
        let lacks_ah = greater(self.wells.q_max_ah - state.total_ah, 0.0);
        if state.available_ah < self.full_available_ah {
            self.filling_charge_a(state, current_a, lacks_ah)
        } else {
            lesser(lacks_ah * self.levels_full_per_h, current_a)
        }
    }

    /// The same where the available well has room, of a bank that lacks so much in all [Ah].
    #[inline(never)]
    fn filling_charge_a(&self, state: State, current_a: f64, lacks_ah: f64) -> f64 {
        let (hours, Wells { c, k_per_h, .. }) = (self.hours, self.wells);
        let total_ah = state.total_ah;
        let room_ah = self.full_available_ah - state.available_ah;
        // How far the available well stands above level, and where that tends to.
        let above_ah = state.available_ah - c * total_ah;
        let tends_ah = current_a * (1.0 - c) / k_per_h;
        let rise_a = current_a - k_per_h * above_ah;
        let rise_ah = self.at_rest_ah(state) + current_a * self.per_ampere - state.available_ah;
        let bend = (rise_ah - rise_a * hours) / (hours * hours);
        let root = greater(rise_a * rise_a + 4.0 * bend * room_ah, 0.0).sqrt();
        let guess_h = 2.0 * room_ah / greater(rise_a + root, f64::MIN_POSITIVE);
        let most_h = lesser(hours, lacks_ah / current_a);
        let mut full_h = lesser(guess_h, most_h);
        for _ in 0..2 {
            let then_ah = tends_ah + (above_ah - tends_ah) * decay(k_per_h * full_h);
            let beyond_ah = then_ah + c * (total_ah + current_a * full_h) - self.full_available_ah;
            let slope_a = greater(current_a - k_per_h * then_ah, f64::MIN_POSITIVE);
            full_h = lesser(greater(full_h - beyond_ah / slope_a, 0.0), most_h);
        }
        let left_ah = lacks_ah - current_a * full_h;
        let levelled = 1.0 - decay(c * k_per_h * (hours - full_h));
        lesser((current_a * full_h + left_ah * levelled) / hours, current_a)
    }

    /// The wells after a charge that left the available one full, at a mean current [A], positive on discharge.
    pub fn advance_full(&self, state: State, current_a: f64) -> State {
        let total_ah = state.total_ah - current_a * self.hours;
        State {
            available_ah: lesser(self.full_available_ah, total_ah),
            total_ah,
        }
    }

    /// The wells after the step, by whether a charge leaves the available one full.
    #[inline(always)]
    pub fn end(&self, state: State, current_a: f64, fills: bool) -> State {
        if fills {
            self.advance_full(state, current_a)
        } else {
            self.advance(state, current_a)
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
            total_ah: 31.857 + 54.243,
        };
        let step = Step::new(&MODULE, 1.0);
        let after = step.advance(full, 10.0);
        assert!(
            (after.available_ah - 23.392_536).abs() < 1e-5
                && (after.bound_ah() - 52.707_464).abs() < 1e-5
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
    fn a_charge_that_tapers_is_the_same_in_one_step_as_in_a_thousand() {
        for x in [0.0, 0.1, 1.0, 4.0, 9.0, 40.0] {
            assert!((decay(x) - libm::exp(-x)).abs() < 2e-5, "{x}");
        }
        for (k_per_h, share, current_a) in [
            (0.5874, 0.8, 20.0),
            (0.5874, 0.9, 60.0),
            (0.1, 0.95, 10.0),
            (3.0, 0.9, 12.0),
            (20.0, 0.95, 8.0),
            (0.5874, 1.0, 5.0),
        ] {
            let wells = Wells { k_per_h, ..MODULE };
            let start = wells.level(share * wells.q_max_ah);
            let hour = Step::new(&wells, 1.0);
            assert!(hour.most_charge_a(start) < current_a);
            let mean_a = hour.tapering_charge_a(start, current_a);
            let end = hour.advance_full(start, -mean_a);
            let fine = Step::new(&wells, 1e-3);
            let by_parts = (0..1000).fold(start, |state, _| {
                let most = fine.most_charge_a(state);
                fine.advance(state, -current_a.min(most))
            });
            let off = (end.total_ah - by_parts.total_ah).abs() / wells.q_max_ah;
            assert!(
                off < 2e-5,
                "{k_per_h} {share} {current_a}: {end:?} {by_parts:?}"
            );
            assert!(mean_a <= current_a && mean_a >= hour.most_charge_a(start) - 1e-9);
            println!("{k_per_h} {share} {current_a}: {off:.1e}");
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
            assert!((after.total_ah - (86.1 - 7.0)).abs() < 1e-12);
            let halves = Step::new(&wells, 0.5);
            let twice = halves.advance(halves.advance(wells.full(), 7.0), 7.0);
            assert!(
                (twice.available_ah - after.available_ah).abs() < 1e-11,
                "{k}"
            );
        }
    }
}
