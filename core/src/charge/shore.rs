//! The charger that runs from shore power or a generator.

use serde::Serialize;

/// A mains charger and when it has power.
#[derive(Clone, Debug, PartialEq)]
pub struct Shore {
    /// Rated charging current (A).
    pub charger_a: f64,
    /// Voltage of the boost stage (V).
    pub boost_v: f64,
    /// Voltage of the float stage (V).
    pub float_v: f64,
    /// Share of each clock hour in which there is power, 0 to 1.
    pub powered: [f64; 24],
}

/// The stages of a charger.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// Filling the bank: full current, then boost voltage until the bank takes little.
    Boost,
    /// Holding a full bank.
    Float,
}

impl Shore {
    /// Voltage that a stage works at (V).
    pub fn volts(&self, stage: Stage) -> f64 {
        match stage {
            Stage::Boost => self.boost_v,
            Stage::Float => self.float_v,
        }
    }

    /// Current that the charger gives while it has power (A): what loads and bank take at this stage, up to its
    /// rating.
    pub fn current_a(&self, load_a: f64, acceptance_a: f64) -> f64 {
        (load_a + acceptance_a).min(self.charger_a).max(0.0)
    }

    /// Most power that the charger gives at a stage while it has power (W).
    pub fn most_w(&self, stage: Stage) -> f64 {
        self.charger_a * self.volts(stage)
    }
}

/// Most mean power into the bus in each hour (W) at a stage; what loads and bank do not take of it is never drawn.
pub fn shore_hours_w(shore: &Shore, stage: Stage) -> [f64; 24] {
    shore
        .powered
        .map(|share| share.clamp(0.0, 1.0) * shore.most_w(stage))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stages_hours_and_the_rating() {
        let mut powered = [0.0; 24];
        powered[20] = 0.25;
        powered[21] = 1.0;
        let shore = Shore {
            charger_a: 20.0,
            boost_v: 14.4,
            float_v: 13.6,
            powered,
        };
        let boost = shore_hours_w(&shore, Stage::Boost);
        assert!(
            (boost[20] - 72.0).abs() < 1e-12
                && (boost[21] - 288.0).abs() < 1e-12
                && boost[0] == 0.0
        );
        assert!((shore_hours_w(&shore, Stage::Float)[21] - 272.0).abs() < 1e-12);
        assert_eq!(shore.current_a(5.0, 3.0), 8.0);
        assert_eq!(shore.current_a(5.0, 40.0), 20.0);
    }
}
