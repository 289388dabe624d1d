//! Devices that a thermostat switches: how much of the time they run.

/// The air temperatures of a day, hour by hour [°C].
#[derive(Clone, Debug, PartialEq)]
pub struct HourTemps {
    /// Inside, where people live.
    pub cabin_c: [f64; 24],
    /// Outdoors.
    pub outdoors_c: [f64; 24],
}

/// Duty before it is held to its range: 1 or more where the device cannot hold its set point.
pub(super) fn duty_wanted(duty_ref: f64, t_ref: f64, t_set: f64, t_amb: f64) -> f64 {
    if t_ref == t_set {
        return duty_ref;
    }
    duty_ref * (t_amb - t_set) / (t_ref - t_set)
}

/// Share of the time, 0 to 1, that a thermostat keeps its device running.
///
/// `duty_ref` is that share at the reference temperature `t_ref` [°C], `t_set` the temperature kept, `t_amb` that
/// of the air around (all °C). Cooling has `t_ref` above `t_set`, heating below; where the two are equal no line
/// passes through them and `duty_ref` holds throughout.
/// Source: steady heat leak in proportion to the difference in temperature (Newton's law of cooling) at a constant
/// efficiency (assumed: a compressor's falls as the air warms, so its true slope is steeper).
pub fn duty(duty_ref: f64, t_ref: f64, t_set: f64, t_amb: f64) -> f64 {
    duty_wanted(duty_ref, t_ref, t_set, t_amb).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A fridge at 40 % in 32 °C runs 0.4·16/28 = 22.857 % of the time in 20 °C.
    #[test]
    fn a_fridge_in_a_cool_cabin() {
        assert!((duty(0.4, 32.0, 4.0, 20.0) - 0.22857).abs() < 1e-5);
    }

    #[test]
    fn a_fridge_rests_in_the_cold_and_runs_all_the_time_in_the_heat() {
        assert_eq!(duty(0.4, 32.0, 4.0, -5.0), 0.0);
        assert_eq!(duty(0.4, 32.0, 4.0, 80.0), 1.0);
        assert_eq!(duty(0.4, 32.0, 4.0, 32.0), 0.4);
    }

    #[test]
    fn a_heater_works_the_other_way_round() {
        // Keeps 18 °C; 60 % at −2 °C, so 30 % at 8 °C and nothing at 25 °C.
        assert!((duty(0.6, -2.0, 18.0, 8.0) - 0.3).abs() < 1e-15);
        assert_eq!(duty(0.6, -2.0, 18.0, 25.0), 0.0);
        assert_eq!(duty(0.6, -2.0, 18.0, -40.0), 1.0);
    }

    #[test]
    fn equal_temperatures_leave_the_reference_duty() {
        assert_eq!(duty(0.4, 4.0, 4.0, 20.0), 0.4);
    }
}
