//! Panels in strings: the coldest morning's voltage, and when a string wants its own fuse.

/// Change of open-circuit voltage with cell temperature (1/K) where the label says none. Assumed, for crystalline
/// silicon, at the far side of the usual labels (−0.26 to −0.35 %/K).
pub const VOLTAGE_PER_K: f64 = -0.0035;

/// Most open-circuit voltage of a string (V): `in_series` panels of `voc_v` at 25 °C, at the coldest hour's air
/// temperature (the cells are as cold as the air when the sun first strikes them). Never less than at 25 °C.
/// NEC (NFPA 70-2017) 690.7(A)(1); IEC 62548:2016 7.2.
pub fn coldest_open_circuit_v(
    in_series: usize,
    voc_v: f64,
    voltage_per_k: f64,
    coldest_c: f64,
) -> f64 {
    in_series as f64 * voc_v * (1.0 + voltage_per_k * (coldest_c - 25.0)).max(1.0)
}

/// Whether each string needs a fuse of its own: more than two in parallel, so that the others could drive more through
/// a faulty one than it is made for. NEC (NFPA 70-2017) 690.9(A), exception; IEC 62548:2016 6.5.3.
pub fn strings_need_fuses(in_parallel: usize) -> bool {
    in_parallel > 2
}

/// Least rating of a string's fuse (A) for a short-circuit current (A) at standard test conditions: 1.25 for light
/// above the standard, 1.25 for continuous current. NEC (NFPA 70-2017) 690.8(A)(1) and 690.9(B).
pub fn string_fuse_least_a(short_circuit_a: f64) -> f64 {
    1.25 * 1.25 * short_circuit_a
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cold_raises_and_heat_does_not_lower() {
        assert!((coldest_open_circuit_v(2, 22.0, -0.003, -15.0) - 44.0 * 1.12).abs() < 1e-12);
        assert_eq!(coldest_open_circuit_v(2, 22.0, -0.003, 30.0), 44.0);
    }

    #[test]
    fn three_strings_need_fuses() {
        assert!(!strings_need_fuses(2) && strings_need_fuses(3));
        assert!((string_fuse_least_a(8.0) - 12.5).abs() < 1e-12);
    }
}
