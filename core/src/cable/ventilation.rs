//! Air for lead-acid batteries, which give off hydrogen. IEC 62485-2 (from memory; general form).

/// What a bank needs of air.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Ventilation {
    /// Air through the space [m³/h].
    pub flow_m3_h: f64,
    /// Opening for natural draught, one below and one above [cm²].
    pub opening_cm2: f64,
    /// Distance within which nothing may spark [mm].
    pub spark_mm: f64,
}

/// Gassing current of lead-acid on float and on boost [mA/Ah]: with free electrolyte, or sealed. IEC 62485-2 table 1.
pub fn gassing_ma_ah(flooded: bool) -> [f64; 2] {
    if flooded { [5.0, 20.0] } else { [1.0, 8.0] }
}

/// Air for a bank: Q = 0.05·n·I_gas·C·10⁻³ m³/h with n cells in series and C of all strings [Ah]; openings of 28·Q cm²; no
/// sparks within 28.8·∛N·∛I_gas·∛C mm, N cells behind one vent, taken as all of one battery, C of one string. The gassing current is in
/// mA/Ah.
pub fn ventilation(
    cells: f64,
    vent_cells: f64,
    gas_ma_ah: f64,
    all_ah: f64,
    string_ah: f64,
) -> Ventilation {
    let flow_m3_h = 0.05 * cells * gas_ma_ah * all_ah * 1e-3;
    Ventilation {
        flow_m3_h,
        opening_cm2: 28.0 * flow_m3_h,
        spark_mm: 28.8 * libm::cbrt(vent_cells) * libm::cbrt(gas_ma_ah) * libm::cbrt(string_ah),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bank_by_hand() {
        // 6 cells, 20 mA/Ah of a flooded battery in boost, 200 Ah: 0.05 × 6 × 20 × 200 / 1000 = 1.2 m³/h; 33.6 cm².
        let air = ventilation(6.0, 3.0, 20.0, 200.0, 100.0);
        assert!((air.flow_m3_h - 1.2).abs() < 1e-12 && (air.opening_cm2 - 33.6).abs() < 1e-9);
        // Batteries of 6 V: three cells behind a vent: 28.8 × ∛(3 × 20 × 100) = 28.8 × 18.17 = 523 mm.
        assert!((air.spark_mm - 523.3).abs() < 0.1, "{air:?}");
    }
}
