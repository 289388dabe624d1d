//! Named tolerances, root finding and series: nothing about batteries.

mod lanes;

pub use lanes::{ABREAST, Four, Number, greater, lesser};

/// Halvings that take any bracket of ordinary size down to the last bits of an `f64`.
const HALVINGS: u32 = 200;

/// Puts values in ascending order.
pub fn ascending(values: &mut [f64]) {
    values.sort_unstable_by(f64::total_cmp);
}

/// The places of values in ascending order; equal ones keep theirs.
pub fn order(values: &[f64]) -> Vec<usize> {
    let mut places: Vec<usize> = (0..values.len()).collect();
    let at = |place: &usize| values.get(*place).copied().unwrap_or(f64::NAN);
    places.sort_unstable_by(|a, b| at(a).total_cmp(&at(b)).then(a.cmp(b)));
    places
}

/// A decimal number such as `12`, `-0.5` or `1e-3`; a point may stand first or last. Infinite where it is too
/// large to hold, and none for anything else.
pub fn decimal(text: &str) -> Option<f64> {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(digits) => (-1.0, digits),
        None => (1.0, text),
    };
    if !digits.starts_with(|c: char| c.is_ascii_digit() || c == '.') || digits == "." {
        return None;
    }
    // As JSON writes numbers, which the page reads already: a digit before the point, no zeros before that.
    let bare = digits.trim_start_matches('0').trim_end_matches('.');
    let zero = if bare.starts_with(|c: char| c.is_ascii_digit()) {
        ""
    } else {
        "0"
    };
    let number = format!("{zero}{bare}");
    let value = serde_json::from_str(&number).ok();
    let is_large = || {
        let (digits, exponent) = number.split_once(['e', 'E'])?;
        let digits = serde_json::from_str::<f64>(digits).ok()?;
        (digits > 0.0 && exponent.parse::<u32>().is_ok()).then_some(f64::INFINITY)
    };
    Some(sign * value.or_else(is_large)?)
}

/// The whole part of a number from 0 to 2³¹, in fewer steps than `as` takes; of a whole number it may be one less, so it is
/// for what holds there from both sides.
#[inline(always)]
pub fn whole_below(number: f64) -> usize {
    // So large that its last bit is one: what is added to it is rounded to a whole number.
    const ROUNDS: f64 = 6_755_399_441_055_744.0;
    (number - 0.5 + ROUNDS).to_bits() as u32 as usize
}

/// A root of `f` between `lo` and `hi`, to within `tolerance` in the argument: by the parabola through the last three points where
/// it can be trusted, else halfway. Chandrupatla 1997, Advances in Engineering Software 28, 145 (from memory).
///
/// `None` where `f` has the same sign at both ends or is not a number there.
pub fn root_between(
    mut f: impl FnMut(f64) -> f64,
    lo: f64,
    hi: f64,
    tolerance: f64,
) -> Option<f64> {
    // The last point, that beyond the root, and the one before; each with its value.
    let (mut a, mut b) = ((lo, f(lo)), (hi, f(hi)));
    if a.1 == 0.0 {
        return Some(lo);
    }
    if b.1 == 0.0 {
        return Some(hi);
    }
    if a.1.is_nan() || b.1.is_nan() || (a.1 < 0.0) == (b.1 < 0.0) {
        return None;
    }
    let mut share = 0.5;
    for _ in 0..HALVINGS {
        let at = a.0 + share * (b.0 - a.0);
        let next = (at, f(at));
        let c = if (next.1 < 0.0) == (a.1 < 0.0) {
            a
        } else {
            std::mem::replace(&mut b, a)
        };
        a = next;
        let width = (b.0 - a.0).abs();
        // Half a tolerance, and no less than what is left of the digits.
        let least = 0.5 * tolerance.max(4.0 * f64::EPSILON * a.0.abs()) / width;
        if a.1 == 0.0 || least >= 0.5 || least.is_nan() {
            break;
        }
        let (along, rise) = ((a.0 - b.0) / (c.0 - b.0), (a.1 - b.1) / (c.1 - b.1));
        let is_even = rise * rise < along && (1.0 - rise) * (1.0 - rise) < 1.0 - along;
        share = if is_even {
            a.1 / (b.1 - a.1) * c.1 / (b.1 - c.1)
                + (c.0 - a.0) / (b.0 - a.0) * a.1 / (c.1 - a.1) * b.1 / (c.1 - b.1)
        } else {
            0.5
        };
        share = share.max(least).min(1.0 - least);
    }
    Some(if a.1.abs() <= b.1.abs() { a.0 } else { b.0 })
}

/// The least argument in `lo..=hi` at which `holds` is true, to within `tolerance`, where `holds` never turns
/// false again once true. `None` where it is false even at `hi`.
pub fn least_where(
    mut holds: impl FnMut(f64) -> bool,
    mut lo: f64,
    mut hi: f64,
    tolerance: f64,
) -> Option<f64> {
    if holds(lo) {
        return Some(lo);
    }
    if !holds(hi) {
        return None;
    }
    for _ in 0..HALVINGS {
        let mid = 0.5 * (lo + hi);
        if hi - lo <= tolerance || mid <= lo || mid >= hi {
            break;
        }
        if holds(mid) { hi = mid } else { lo = mid }
    }
    Some(hi)
}

/// Linear interpolation in a table of `(x, y)` sorted by rising `x`; held at both ends.
pub fn interpolate(table: &[(f64, f64)], x: f64) -> f64 {
    let (Some(&(x_first, y_first)), Some(&(_, y_last))) = (table.first(), table.last()) else {
        return f64::NAN;
    };
    if x <= x_first {
        return y_first;
    }
    for pair in table.windows(2) {
        if let [(x0, y0), (x1, y1)] = *pair
            && x <= x1
        {
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
        }
    }
    y_last
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_read_as_people_write_them() {
        for (text, value) in [
            ("12", 12.0),
            ("0", 0.0),
            ("000", 0.0),
            ("-0.5", -0.5),
            (".25", 0.25),
            ("5.", 5.0),
            ("007", 7.0),
            ("1e3", 1000.0),
            ("0.000001", 1e-6),
            ("1e308", 1e308),
            ("1e999", f64::INFINITY),
            ("14.20", 14.2),
            ("0.1", 0.1),
            ("123456.789", 123_456.789),
        ] {
            assert_eq!(decimal(text), Some(value), "{text}");
        }
        for text in [
            "", ".", "-", "a", "1a", "inf", "NaN", "1.2.3", "--1", "1e", "1e9x", " 1",
        ] {
            assert_eq!(decimal(text), None, "{text}");
        }
    }

    #[test]
    fn the_whole_part_is_found_and_of_a_whole_number_at_most_one_less() {
        for (number, whole) in [
            (0.3, 0),
            (0.999_999, 0),
            (1.000_001, 1),
            (99.5, 99),
            (1e6 + 0.7, 1_000_000),
        ] {
            assert_eq!(whole_below(number), whole, "{number}");
        }
        assert_eq!(whole_below(0.0), 0);
        for whole in 1..1000 {
            let found = whole_below(whole as f64);
            assert!(found == whole || found + 1 == whole, "{whole}: {found}");
        }
    }

    #[test]
    fn equal_values_keep_their_order() {
        assert_eq!(order(&[2.0, 1.0, 2.0, -1.0]), [3, 1, 0, 2]);
        let mut values = [3.0, -1.0, 2.0];
        ascending(&mut values);
        assert_eq!(values, [-1.0, 2.0, 3.0]);
    }

    #[test]
    fn a_root_is_found_in_few_steps_and_a_bad_bracket_refused() {
        type Line = (fn(f64) -> f64, f64, f64, f64, f64);
        let lines: [Line; 7] = [
            (|x| x * x - 2.0, 0.0, 2.0, 1e-14, 2f64.sqrt()),
            (|x| 2.0 - x * x, 0.0, 2.0, 1e-14, 2f64.sqrt()),
            (|x| libm::expm1(x), -700.0, 5.0, 1e-9, 0.0),
            (|x| libm::tanh(x) - 0.5, -1e4, 2e4, 1e-9, 0.549_306_144_334),
            (|x| libm::pow(x, 9.0) - 1e-9, 0.0, 1.0, 1e-9, 0.1),
            (|x| if x < 0.3 { -1.0 } else { 1e6 }, 0.0, 1.0, 1e-9, 0.3),
            (|x| libm::cbrt(x - 1e12), 0.0, 3e12, 0.0, 1e12),
        ];
        for (nth, (line, lo, hi, tolerance, want)) in lines.into_iter().enumerate() {
            let mut asked = 0;
            let count = |x| {
                asked += 1;
                line(x)
            };
            let root = root_between(count, lo, hi, tolerance).unwrap();
            let within = tolerance.max(want.abs() * 1e-12);
            assert!((root - want).abs() <= within, "{nth}: {root}");
            println!("{nth}: asked {asked} times");
            assert!(asked < 60, "{nth}: asked {asked} times");
        }
        assert_eq!(root_between(|x| x * x + 1.0, 0.0, 2.0, 1e-9), None);
    }

    #[test]
    fn the_least_true_argument_is_on_the_true_side() {
        let least = least_where(|x| x >= 0.3, 0.0, 1.0, 1e-12).unwrap();
        assert!((0.3..0.3 + 1e-11).contains(&least));
    }

    #[test]
    fn interpolation_holds_at_the_ends() {
        let table = [(0.0, 1.0), (2.0, 3.0)];
        assert_eq!(interpolate(&table, -1.0), 1.0);
        assert_eq!(interpolate(&table, 1.0), 2.0);
        assert_eq!(interpolate(&table, 5.0), 3.0);
    }
}
