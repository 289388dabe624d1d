//! How a day is cut into steps: hours, or parts of them, cut again where the engine starts and stops.

/// One step of a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slot {
    /// The clock hour that it lies in, 0 to 23.
    pub hour: usize,
    /// Which of the clock's lengths it has.
    pub length: usize,
    /// Whether the engine runs in it on a day of travel.
    pub engine: bool,
    /// Whether the hour ends with it.
    pub ends_hour: bool,
}

/// The steps of a day with and without driving, and the lengths that they have [h].
#[derive(Clone, Debug, PartialEq)]
pub struct Clock {
    /// Distinct lengths of steps [h].
    pub lengths: Vec<f64>,
    /// A day without driving.
    pub plain: Vec<Slot>,
    /// A day with it.
    pub driving: Vec<Slot>,
}

/// Steps shorter than this are none [h].
const SLIVER_H: f64 = 1e-9;

impl Clock {
    /// Steps of an hour over `parts`; the engine runs for `drive_h` from `from_h` on, past midnight where it must.
    pub fn new(parts: u32, from_h: f64, drive_h: f64) -> Self {
        let mut lengths = Vec::new();
        let (mut plain, mut driving) = (Vec::new(), Vec::new());
        let drive_h = drive_h.clamp(0.0, 24.0);
        let runs = |at: f64| {
            let since = at - from_h;
            let since = if since < 0.0 { since + 24.0 } else { since };
            since < drive_h
        };
        let turns = [from_h, (from_h + drive_h) % 24.0];
        let parts = parts.max(1);
        for hour in 0..24usize {
            let mut ends: Vec<f64> = (0..=parts)
                .map(|part| hour as f64 + f64::from(part) / f64::from(parts))
                .collect();
            slots(&mut plain, &mut lengths, hour, &ends, &|_| false);
            ends.extend(turns.iter().filter(|at| at.floor() as usize == hour));
            crate::numeric::ascending(&mut ends);
            slots(&mut driving, &mut lengths, hour, &ends, &runs);
        }
        Self {
            lengths,
            plain,
            driving,
        }
    }
}

/// Adds the steps between such ends of an hour.
fn slots(
    slots: &mut Vec<Slot>,
    lengths: &mut Vec<f64>,
    hour: usize,
    ends: &[f64],
    runs: &dyn Fn(f64) -> bool,
) {
    for pair in ends.windows(2) {
        if let [from, to] = pair
            && to - from > SLIVER_H
        {
            let hours = to - from;
            let known = lengths
                .iter()
                .position(|had| (had - hours).abs() < SLIVER_H);
            let length = known.unwrap_or_else(|| {
                lengths.push(hours);
                lengths.len() - 1
            });
            slots.push(Slot {
                hour,
                length,
                engine: runs(f64::midpoint(*from, *to)),
                ends_hour: *to > hour as f64 + 1.0 - SLIVER_H,
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_has_its_hours_and_the_engine_its_minutes() {
        for parts in [1, 4] {
            for (from_h, drive_h) in [
                (8.25, 1.5),
                (23.5, 1.0),
                (9.0, 2.0),
                (0.0, 0.0),
                (6.0, 24.0),
            ] {
                let clock = Clock::new(parts, from_h, drive_h);
                let hours = |slots: &[Slot], engine: Option<bool>| -> f64 {
                    let mine = slots
                        .iter()
                        .filter(|slot| engine.is_none_or(|on| slot.engine == on));
                    mine.map(|slot| clock.lengths[slot.length]).sum()
                };
                assert!((hours(&clock.plain, None) - 24.0).abs() < 1e-9);
                assert!((hours(&clock.driving, None) - 24.0).abs() < 1e-9);
                assert!((hours(&clock.driving, Some(true)) - drive_h).abs() < 1e-9);
                assert_eq!(clock.plain.len(), 24 * parts as usize);
                assert_eq!(clock.driving.iter().filter(|s| s.ends_hour).count(), 24);
            }
        }
    }
}
