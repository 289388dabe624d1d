//! Whether a value is one that a field usually has.

use super::import;
use crate::plan::{DrawUnit, Held, Plan};
use crate::units::Reading;

impl Plan {
    /// Puts a number that was read at a path; a load's draw takes the unit that was typed.
    pub fn put_reading(&mut self, path: &str, value: f64, unit: Option<&'static str>) {
        self.put(path, Held::Number(Some(value)));
        if let (Some(unit), Some(row)) = (unit, path.strip_suffix("/draw")) {
            let amperes = ["A", "amp", "amps", "mA"].contains(&unit);
            let unit = if amperes { DrawUnit::A } else { DrawUnit::W };
            self.put(&format!("{row}/draw_unit"), Held::Choice(unit as usize));
        }
    }

    /// Whether a value is usual at a path: within the usual range of its quantity, and nothing that the check of the plan would
    /// refuse there.
    pub fn is_usual(&self, path: &str, value: f64, unit: Option<&'static str>) -> bool {
        let mut plan = self.clone();
        plan.drafts.remove(path);
        plan.put_reading(path, value, unit);
        let in_range = plan
            .quantity(path)
            .is_none_or(|quantity| quantity.usual().contains(&value));
        let is_refused = || {
            import(&plan)
                .err()
                .is_some_and(|faults| faults.iter().any(|fault| fault.field == path))
        };
        in_range && !is_refused()
    }

    /// The two values that a number typed at a path may mean, the likelier one first in its own number format, where only a question
    /// can tell: the format's reading is unusual there and the other one is usual.
    pub fn question(&self, path: &str, reading: &Reading) -> Option<[f64; 2]> {
        let other = reading.other?;
        let asks = !self.is_usual(path, reading.value, reading.unit)
            && self.is_usual(path, other, reading.unit);
        asks.then_some([reading.value, other])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Candidate, Load, Units};
    use crate::units::{NumberFormat, Style};

    fn asked(path: &str, text: &str, format: NumberFormat) -> Option<[f64; 2]> {
        let plan = Plan {
            loads: vec![Load {
                id: 1,
                ..Load::default()
            }],
            candidates: vec![Candidate {
                id: 2,
                ..Candidate::default()
            }],
            ..Plan::default()
        };
        let style = Style {
            units: Units::Metric,
            format,
        };
        let reading = plan.quantity(path).unwrap().read(text, style).unwrap();
        plan.question(path, &reading)
    }

    #[test]
    fn only_an_unusual_reading_with_a_usual_other_one_is_asked_about() {
        use NumberFormat::{Comma, Point, Spaced};
        let volts = "candidates/2/battery_v";
        assert_eq!(asked(volts, "12.125", Comma), Some([12_125.0, 12.125]));
        assert_eq!(asked(volts, "12.125", Point), None);
        assert_eq!(asked(volts, "12.125", Spaced), None);
        assert_eq!(asked(volts, "12,5", Point), None);
        // Both are usual: the format decides, and the field says how it was read.
        assert_eq!(asked("loads/1/draw", "1,000", Point), None);
        assert_eq!(asked("loads/1/draw", "1.000", Comma), None);
        // Neither is usual.
        assert_eq!(asked("loads/1/hours", "125.000 h", Comma), None);
        // The check of the plan knows the narrower range of a field.
        assert_eq!(asked("loads/1/hours", "2.250", Comma), Some([2250.0, 2.25]));
        assert_eq!(asked("loads/1/count", "2.000", Comma), Some([2000.0, 2.0]));
        assert_eq!(
            asked("loads/1/draw", "12.125 A", Comma),
            Some([12_125.0, 12.125])
        );
        assert_eq!(
            asked("candidates/2/capacity_ah", "100,000", Point),
            Some([100_000.0, 100.0])
        );
    }
}
