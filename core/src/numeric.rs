//! Named tolerances, root finding and series: nothing about batteries.

/// Halvings that take any bracket of ordinary size down to the last bits of an `f64`.
const HALVINGS: u32 = 200;

/// A root of `f` between `lo` and `hi`, to within `tolerance` in the argument, by bisection.
///
/// `None` where `f` has the same sign at both ends or is not a number there.
pub fn bisect(
    mut f: impl FnMut(f64) -> f64,
    mut lo: f64,
    mut hi: f64,
    tolerance: f64,
) -> Option<f64> {
    let (at_lo, at_hi) = (f(lo), f(hi));
    if at_lo == 0.0 {
        return Some(lo);
    }
    if at_hi == 0.0 {
        return Some(hi);
    }
    if at_lo.is_nan() || at_hi.is_nan() || (at_lo < 0.0) == (at_hi < 0.0) {
        return None;
    }
    for _ in 0..HALVINGS {
        let mid = 0.5 * (lo + hi);
        if hi - lo <= tolerance || mid <= lo || mid >= hi {
            break;
        }
        if (f(mid) < 0.0) == (at_lo < 0.0) {
            lo = mid;
        } else {
            hi = mid;
        }
    }
    Some(0.5 * (lo + hi))
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
    fn bisection_finds_a_root_and_refuses_a_bad_bracket() {
        let root = bisect(|x| x * x - 2.0, 0.0, 2.0, 1e-14).unwrap();
        assert!((root - 2f64.sqrt()).abs() < 1e-13);
        assert_eq!(bisect(|x| x * x + 1.0, 0.0, 2.0, 1e-9), None);
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
