//! The clock of a place: standard time, and summer time by month.

/// A clock by month.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Clock {
    /// Standard time ahead of universal time [h].
    pub standard_h: f64,
    /// By how much it is put forward in summer [h]; 0 without summer time.
    pub forward_h: f64,
    /// First and last month of summer time, 1 to 12, of which the last may lie in the next year; 0 without summer time.
    pub summer: (u8, u8),
}

/// Sun and clock that disagree by more than this deserve a note [h]. Assumed: no zone on land is further off by intent.
pub const CLOCK_APART_H: f64 = 2.0;

impl Clock {
    /// The clock of a longitude [°] alone: the nautical zone, whole hours, no summer time.
    pub fn of_longitude(lon_deg: f64) -> Self {
        Self {
            standard_h: (lon_deg / 15.0).round(),
            ..Self::default()
        }
    }

    /// Whether a month, 1 to 12, has summer time.
    pub fn is_summer(&self, month: u8) -> bool {
        let (first, last) = self.summer;
        if first == 0 || last == 0 {
            false
        } else if first <= last {
            (first..=last).contains(&month)
        } else {
            month >= first || month <= last
        }
    }

    /// Ahead of universal time in each month, January first [h]. Summer time counts for whole months.
    pub fn offsets_h(&self) -> [f64; 12] {
        let mut month = 0;
        [0.0; 12].map(|_: f64| {
            month += 1;
            let forward_h = if self.is_summer(month) {
                self.forward_h
            } else {
                0.0
            };
            self.standard_h + forward_h
        })
    }
}

/// How far a clock is ahead of the mean sun [h], −12 to 12: a date line between them is no difference of the hour.
pub fn ahead_of_sun_h(utc_offset_h: f64, lon_deg: f64) -> f64 {
    (utc_offset_h - lon_deg / 15.0 + 12.0).rem_euclid(24.0) - 12.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn summer_time_counts_in_its_months_on_both_sides_of_new_year() {
        let north = Clock {
            standard_h: 1.0,
            forward_h: 1.0,
            summer: (4, 10),
        };
        let offsets = north.offsets_h();
        assert_eq!(
            (offsets[2], offsets[3], offsets[9], offsets[10]),
            (1.0, 2.0, 2.0, 1.0)
        );
        let south = Clock {
            standard_h: 12.0,
            forward_h: 1.0,
            summer: (10, 3),
        };
        let offsets = south.offsets_h();
        assert_eq!(
            (offsets[0], offsets[2], offsets[3], offsets[9]),
            (13.0, 13.0, 12.0, 13.0)
        );
        assert_eq!(Clock::of_longitude(-68.3).offsets_h(), [-5.0; 12]);
        assert_eq!(Clock::of_longitude(179.9).standard_h, 12.0);
    }

    #[test]
    fn a_date_line_is_no_difference_of_the_hour() {
        // Apia: 171.8° west, 13 h ahead of universal time.
        assert!((ahead_of_sun_h(13.0, -171.77) - 0.451).abs() < 1e-3);
        assert!((ahead_of_sun_h(8.0, 87.6) - 2.16).abs() < 1e-9);
        assert_eq!(ahead_of_sun_h(1.0, 15.0), 0.0);
    }
}
