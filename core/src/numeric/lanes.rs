//! Several numbers side by side: a formula that is asked for many thousand times is written once, for one or for more.

use std::fmt::Debug;
use std::ops::{Add, BitAnd, BitOr, Div, Mul, Not, Sub};
use wide::f64x4;

/// Numbers side by side in [`Four`].
pub const ABREAST: usize = 4;
/// Four numbers side by side.
pub type Four = f64x4;

/// One number, or several side by side, each of which fares as it would alone, to the last bit.
///
/// Only what rounds the same on every machine is asked of them: sums, products and quotients, never a fused form, nor
/// what a machine has of its own for the greater of two.
pub trait Number:
    Copy
    + Debug
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
{
    /// How many there are.
    const COUNT: usize;
    /// What holds of each of them.
    type Truth: Copy
        + BitAnd<Output = Self::Truth>
        + BitOr<Output = Self::Truth>
        + Not<Output = Self::Truth>;

    /// The same for each.
    fn same(value: f64) -> Self;
    /// Each by its place.
    fn each(value: impl FnMut(usize) -> f64) -> Self;
    /// The one at a place; not a number beyond the last.
    fn at(self, place: usize) -> f64;
    /// Which are less than another.
    fn is_below(self, other: Self) -> Self::Truth;
    /// One where something holds, the other elsewhere.
    fn choose(truth: Self::Truth, yes: Self, no: Self) -> Self;
    /// Where something holds, a bit for each, the first lowest.
    fn bits(truth: Self::Truth) -> u32;
    /// Something that holds everywhere or nowhere.
    fn truth(holds: bool) -> Self::Truth;
}

impl Number for f64 {
    const COUNT: usize = 1;
    type Truth = bool;

    #[inline(always)]
    fn same(value: f64) -> Self {
        value
    }
    #[inline(always)]
    fn each(mut value: impl FnMut(usize) -> f64) -> Self {
        value(0)
    }
    #[inline(always)]
    fn at(self, place: usize) -> f64 {
        if place == 0 { self } else { Self::NAN }
    }
    #[inline(always)]
    fn is_below(self, other: Self) -> bool {
        self < other
    }
    #[inline(always)]
    fn choose(truth: bool, yes: Self, no: Self) -> Self {
        if truth { yes } else { no }
    }
    #[inline(always)]
    fn bits(truth: bool) -> u32 {
        u32::from(truth)
    }
    #[inline(always)]
    fn truth(holds: bool) -> bool {
        holds
    }
}

impl Number for Four {
    const COUNT: usize = ABREAST;
    type Truth = Self;

    #[inline(always)]
    fn same(value: f64) -> Self {
        Self::splat(value)
    }
    #[inline(always)]
    fn each(value: impl FnMut(usize) -> f64) -> Self {
        Self::new(std::array::from_fn(value))
    }
    #[inline(always)]
    fn at(self, place: usize) -> f64 {
        self.to_array().get(place).copied().unwrap_or(f64::NAN)
    }
    #[inline(always)]
    fn is_below(self, other: Self) -> Self {
        self.simd_lt(other)
    }
    #[inline(always)]
    fn choose(truth: Self, yes: Self, no: Self) -> Self {
        truth.select(yes, no)
    }
    #[inline(always)]
    fn bits(truth: Self) -> u32 {
        truth.to_bitmask()
    }
    #[inline(always)]
    fn truth(holds: bool) -> Self {
        Self::splat(if holds { f64::from_bits(u64::MAX) } else { 0.0 })
    }
}

/// The lesser of two numbers that are numbers; where speed counts, since `f64::min` looks for what is none.
#[inline(always)]
pub fn lesser<N: Number>(a: N, b: N) -> N {
    N::choose(a.is_below(b), a, b)
}

/// The greater of two numbers that are numbers; where speed counts.
#[inline(always)]
pub fn greater<N: Number>(a: N, b: N) -> N {
    N::choose(b.is_below(a), a, b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_fare_as_each_would_alone() {
        let (a, b) = ([3.0, -1.5, 0.0, 1e9], [2.0, 7.0, 0.0, -3.0]);
        let (all_a, all_b) = (Four::each(|n| a[n]), Four::each(|n| b[n]));
        let less = Four::bits(all_a.is_below(all_b));
        for place in 0..ABREAST {
            let (a, b) = (a[place], b[place]);
            assert_eq!(lesser(all_a, all_b).at(place), lesser(a, b));
            assert_eq!(greater(all_a, all_b).at(place), greater(a, b));
            assert_eq!((all_a * all_b / 3.0).at(place), a * b / 3.0);
            assert_eq!(less >> place & 1, u32::from(a < b));
        }
        assert_eq!(Four::bits(Four::truth(true)), 0b1111);
        assert_eq!(Four::bits(!Four::truth(true)), 0);
        assert!(Four::same(1.0).at(ABREAST).is_nan());
    }
}
