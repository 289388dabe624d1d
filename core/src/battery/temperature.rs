//! What cold takes from a battery.

use super::Chemistry;
use crate::numeric::interpolate;

/// Single figures of the cell-size correction factor at electrolyte temperatures [°F], IEEE Std 485 (2020), table 1;
/// those from 40 to 70 °F also stand in freely reprinted worksheets for stand-alone photovoltaics. The whole table is its
/// publisher's and not shipped: between these knots a monotone cubic (Fritsch & Carlson 1980) stays within 0.005 of it.
const KNOTS_F: [(f64, f64); 12] = [
    (25.0, 1.52),
    (30.0, 1.43),
    (35.0, 1.35),
    (45.0, 1.25),
    (50.0, 1.19),
    (55.0, 1.15),
    (77.0, 1.00),
    (90.0, 0.94),
    (95.0, 0.93),
    (100.0, 0.91),
    (110.0, 0.88),
    (125.0, 0.85),
];
/// Coldest knot [°F].
const COLDEST_F: f64 = 25.0;
/// Largest divisor that is extrapolated to: beyond it the figure means nothing. Assumed.
const MOST: f64 = 6.0;

/// Capacity of lithium iron phosphate against that at 25 °C: 0.88 at 0 °C, 0.6 at −20 °C (general literature at C/5 to
/// C/2, from memory, unsure); below, a line held above 0.2, assumed.
const LITHIUM_SHARE: [(f64, f64); 5] = [
    (-45.0, 0.2),
    (-20.0, 0.60),
    (0.0, 0.88),
    (10.0, 0.95),
    (25.0, 1.0),
];
/// The same for sodium-ion, which suffers less from cold. Assumed.
const SODIUM_SHARE: [(f64, f64); 4] = [(-45.0, 0.6), (-20.0, 0.80), (0.0, 0.92), (25.0, 1.0)];

/// The lead-acid cell-size factor at a temperature [°C], by which capacity is divided; and whether it is extrapolated.
pub fn lead_acid_divisor(temp_c: f64) -> (f64, bool) {
    let f = temp_c * 1.8 + 32.0;
    if f < COLDEST_F - 0.05 {
        // The slope of the coldest pair goes on; −3.9 °C is 25 °F to its rounding.
        let slope = (KNOTS_F[1].1 - KNOTS_F[0].1) / (KNOTS_F[1].0 - KNOTS_F[0].0);
        return ((KNOTS_F[0].1 + slope * (f - COLDEST_F)).min(MOST), true);
    }
    (monotone_cubic(f.clamp(COLDEST_F, 125.0)), false)
}

/// Monotone cubic Hermite interpolation in the knots (Fritsch & Carlson 1980; harmonic-mean slopes, Fritsch & Butland 1984).
fn monotone_cubic(x: f64) -> f64 {
    let secant = |at: usize| -> Option<(f64, f64)> {
        let (x0, y0) = KNOTS_F.get(at)?;
        let (x1, y1) = KNOTS_F.get(at + 1)?;
        Some((x1 - x0, (y1 - y0) / (x1 - x0)))
    };
    let slope = |at: usize| -> f64 {
        let before = at.checked_sub(1).and_then(secant);
        match (before, secant(at)) {
            (Some((h0, d0)), Some((h1, d1))) => {
                if d0 * d1 <= 0.0 {
                    return 0.0;
                }
                let (w0, w1) = (2.0 * h1 + h0, h1 + 2.0 * h0);
                (w0 + w1) / (w0 / d0 + w1 / d1)
            }
            (None, Some((_, d))) | (Some((_, d)), None) => d,
            (None, None) => 0.0,
        }
    };
    let at = KNOTS_F
        .iter()
        .rposition(|(knot, _)| *knot <= x)
        .unwrap_or(0)
        .min(KNOTS_F.len() - 2);
    let (Some((x0, y0)), Some((_, y1)), Some((h, _))) =
        (KNOTS_F.get(at), KNOTS_F.get(at + 1), secant(at))
    else {
        return 1.0;
    };
    let t = (x - x0) / h;
    let (t2, t3) = (t * t, t * t * t);
    (2.0 * t3 - 3.0 * t2 + 1.0) * y0
        + (t3 - 2.0 * t2 + t) * h * slope(at)
        + (3.0 * t2 - 2.0 * t3) * y1
        + (t3 - t2) * h * slope(at + 1)
}

/// By what capacity is divided at a temperature [°C], at least 1 (no gain above 25 °C); and whether that is extrapolated.
pub fn capacity_divisor(chemistry: Chemistry, temp_c: f64) -> (f64, bool) {
    let (divisor, extrapolated) = match chemistry {
        Chemistry::LithiumIronPhosphate => {
            (1.0 / interpolate(&LITHIUM_SHARE, temp_c), temp_c < -20.0)
        }
        Chemistry::SodiumIon => (1.0 / interpolate(&SODIUM_SHARE, temp_c), temp_c < -20.0),
        Chemistry::Flooded | Chemistry::Agm | Chemistry::Gel => lead_acid_divisor(temp_c),
    };
    (divisor.max(1.0), extrapolated)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_factors_are_met() {
        let rows = [
            (25.0, 1.52),
            (30.0, 1.43),
            (35.0, 1.35),
            (40.0, 1.30),
            (45.0, 1.25),
            (50.0, 1.19),
            (55.0, 1.15),
            (60.0, 1.11),
            (65.0, 1.08),
            (70.0, 1.04),
            (77.0, 1.00),
            (80.0, 0.98),
            (85.0, 0.96),
            (90.0, 0.94),
            (95.0, 0.93),
            (100.0, 0.91),
            (105.0, 0.89),
            (110.0, 0.88),
            (115.0, 0.87),
            (120.0, 0.86),
            (125.0, 0.85),
        ];
        for (f, factor) in rows {
            let (found, extrapolated) = lead_acid_divisor((f - 32.0) / 1.8);
            assert!(
                (found - factor).abs() < 0.005 && !extrapolated,
                "{f} °F: {found}"
            );
        }
        assert!(lead_acid_divisor(-10.0).1 && lead_acid_divisor(-10.0).0 > 1.6);
    }

    #[test]
    fn cold_never_gives_more() {
        for kind in Chemistry::ALL {
            let mut last = f64::INFINITY;
            for c in -60..60 {
                let (divisor, _) = capacity_divisor(kind, f64::from(c));
                assert!(
                    divisor <= last + 1e-12 && divisor >= 1.0 && divisor.is_finite(),
                    "{kind:?} {c}"
                );
                last = divisor;
            }
            assert_eq!(capacity_divisor(kind, 25.0).0, 1.0);
        }
    }
}
