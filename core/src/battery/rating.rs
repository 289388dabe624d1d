//! Ratings and rates: Peukert's relation (Peukert 1897), in the form with rated hours, t = H (C / (I H))^k.

/// Exponent from two ratings: times [h] and currents [A], k = ln(t1/t2) / ln(I2/I1).
pub fn exponent(t1_h: f64, i1_a: f64, t2_h: f64, i2_a: f64) -> f64 {
    libm::log(t1_h / t2_h) / libm::log(i2_a / i1_a)
}

/// Hours that a battery of `capacity_ah` rated over `rated_h` lasts at a current [A].
pub fn hours_at(capacity_ah: f64, rated_h: f64, exponent: f64, current_a: f64) -> f64 {
    rated_h * libm::pow(capacity_ah / (current_a * rated_h), exponent)
}

/// Hours by the older form t = C / I^k, where the capacity is that at one ampere. The two forms must not be mixed.
pub fn hours_at_from_one_ampere(capacity_ah: f64, current_a: f64, exponent: f64) -> f64 {
    capacity_ah / libm::pow(current_a, exponent)
}

/// Capacity [Ah] at a current [A] of one battery, C (C / (I H))^(k−1), held below the rated current to `most_ah`, the
/// kinetic model's own limit.
pub fn capacity_at_ah(
    capacity_ah: f64,
    rated_h: f64,
    exponent: f64,
    current_a: f64,
    most_ah: f64,
) -> f64 {
    if current_a <= 0.0 {
        return most_ah;
    }
    (capacity_ah * libm::pow(capacity_ah / (current_a * rated_h), exponent - 1.0)).min(most_ah)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worked_examples_agree() {
        assert!((exponent(20.0, 5.0, 3.0, 25.0) - 1.17875).abs() < 1e-4);
        assert!((hours_at(100.0, 20.0, 1.1, 10.0) - 9.33033).abs() < 1e-4);
        assert!((hours_at(100.0, 20.0, 1.25, 25.0) - 2.67496).abs() < 1e-4);
        assert!((hours_at_from_one_ampere(250.0, 20.0, 1.3) - 5.088_631_644).abs() < 1e-6);
    }

    #[test]
    fn slow_discharge_gives_no_more_than_there_is() {
        assert_eq!(capacity_at_ah(100.0, 20.0, 1.2, 0.01, 112.0), 112.0);
        assert_eq!(capacity_at_ah(100.0, 20.0, 1.2, 0.0, 112.0), 112.0);
        assert!((capacity_at_ah(100.0, 20.0, 1.2, 10.0, 112.0) - 87.055).abs() < 1e-3);
    }
}
