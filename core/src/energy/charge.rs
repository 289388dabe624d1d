//! Energy and charge of a draw: the two products that every load sum is made of.

/// Energy that `count` equal devices of `power_w` [W] take in `hours` [h], in Wh. By definition of the watt-hour.
pub fn energy_wh(power_w: f64, count: f64, hours: f64) -> f64 {
    power_w * count * hours
}

/// Charge that `count` equal devices of `power_w` [W] take in `hours` [h] at `volts` [V, above 0], in Ah.
/// By definition: charge is energy over voltage.
pub fn charge_ah(power_w: f64, count: f64, hours: f64, volts: f64) -> f64 {
    energy_wh(power_w, count, hours) / volts
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A public battery FAQ, section 7.9.1: four daily charges at 120 V, printed to two figures (±0.03 Ah).
    #[test]
    fn daily_charges_of_the_battery_faq() {
        let lamps = charge_ah(60.0, 2.0, 4.0, 120.0);
        let refrigerator = charge_ah(200.0, 1.0, 24.0 * 0.25, 120.0);
        let drill = charge_ah(5.0 * 120.0, 1.0, 25.0 * 15.0 / 3600.0, 120.0);
        let pump = charge_ah(10.0 * 120.0, 1.0, 24.0 * 0.5, 120.0);
        for (computed, printed) in [
            (lamps, 4.0),
            (refrigerator, 10.0),
            (drill, 0.52),
            (pump, 120.0),
        ] {
            assert!(
                (computed - printed).abs() <= 0.03,
                "{computed} against {printed}"
            );
        }
    }

    /// US Department of Energy, Estimating Appliance and Home Electronic Energy Use, worked examples.
    #[test]
    fn yearly_energies_of_the_department_of_energy() {
        assert!((energy_wh(270.0, 1.0, 4.0 * 365.0) / 1000.0 - 394.0).abs() <= 0.5);
        assert_eq!(energy_wh(200.0, 1.0, 4.0 * 120.0) / 1000.0, 96.0);
    }
}
