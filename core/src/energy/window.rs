//! Clock windows: from one time of day to another, past midnight if need be, exact to the minute.

/// Minutes in a day.
pub const DAY_MIN: u16 = 1440;

/// All 60 minutes of an hour.
const WHOLE_HOUR: u64 = (1 << 60) - 1;

/// A stretch of the day by the clock, from `from_min` until just before `to_min`.
///
/// Both are minutes after midnight, 0 to 1440, where 1440 is midnight again. The end may come before the
/// start: the window then passes midnight. Equal ends mean the whole day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    /// Start [minutes after midnight].
    pub from_min: u16,
    /// End [minutes after midnight]; its own minute is outside.
    pub to_min: u16,
}

impl Window {
    /// Midnight to midnight.
    pub const WHOLE_DAY: Self = Self {
        from_min: 0,
        to_min: 0,
    };

    /// First minute of the window, 0 to 1439.
    pub fn start_min(self) -> u16 {
        self.from_min % DAY_MIN
    }

    /// Minutes from the window's start to `minute`, going forward round the clock, 0 to 1439.
    fn since_start_min(self, minute: u16) -> u16 {
        (minute % DAY_MIN + DAY_MIN - self.start_min()) % DAY_MIN
    }

    /// Length [min], 1 to 1440.
    pub fn length_min(self) -> u16 {
        match self.since_start_min(self.to_min) {
            0 => DAY_MIN,
            minutes => minutes,
        }
    }

    /// Length [h], above 0 and at most 24.
    pub fn length_h(self) -> f64 {
        f64::from(self.length_min()) / 60.0
    }

    /// Whether the window holds the minute that begins `minute` minutes after midnight.
    pub fn contains(self, minute: u16) -> bool {
        self.since_start_min(minute) < self.length_min()
    }

    /// The window from the same start, so many minutes long; the whole day from 1440 on.
    pub fn widened_to(self, length_min: u16) -> Self {
        if length_min >= DAY_MIN {
            return Self::WHOLE_DAY;
        }
        Self {
            from_min: self.start_min(),
            to_min: (self.start_min() + length_min) % DAY_MIN,
        }
    }

    /// Whether the two windows share a minute.
    pub fn overlaps(self, other: Self) -> bool {
        self.contains(other.start_min()) || other.contains(self.start_min())
    }

    /// The window's minutes, as a set.
    pub fn minutes(self) -> Minutes {
        let before_from = minutes_before(self.start_min());
        let before_to = minutes_before(self.to_min % DAY_MIN);
        let same_day = self.start_min() < self.to_min % DAY_MIN;
        let mut pairs = before_from.into_iter().zip(before_to);
        Minutes(std::array::from_fn(|_| {
            let (before_from, before_to) = pairs.next().unwrap_or_default();
            let from_on = WHOLE_HOUR & !before_from;
            if same_day {
                from_on & before_to
            } else {
                from_on | before_to
            }
        }))
    }

    /// How much of each clock hour lies in the window [h], 0 to 1.
    pub fn hour_overlap_h(self) -> [f64; 24] {
        self.minutes().hour_shares()
    }
}

/// For each hour, its minutes that come before `minute`.
fn minutes_before(minute: u16) -> [u64; 24] {
    let mut hour_start = 0;
    std::array::from_fn(|_| {
        let in_hour = minute.saturating_sub(hour_start).min(60);
        hour_start += 60;
        (1 << in_hour) - 1
    })
}

/// A set of minutes of the day: a word an hour, a bit a minute.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Minutes([u64; 24]);

impl Minutes {
    /// Adds every minute of `other`.
    pub fn add(&mut self, other: &Self) {
        for (own, more) in self.0.iter_mut().zip(other.0) {
            *own |= more;
        }
    }

    /// The share of each hour that is in the set, 0 to 1.
    pub fn hour_shares(&self) -> [f64; 24] {
        self.0.map(|hour| f64::from(hour.count_ones()) / 60.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn window(from_min: u16, to_min: u16) -> Window {
        Window { from_min, to_min }
    }

    #[test]
    fn an_evening_window_passes_midnight() {
        // 21:45 to 01:20: a quarter of hour 21, hours 22, 23 and 0, a third of hour 1.
        let evening = window(21 * 60 + 45, 80);
        let mut expected = [0.0; 24];
        expected[21] = 0.25;
        expected[22] = 1.0;
        expected[23] = 1.0;
        expected[0] = 1.0;
        expected[1] = 20.0 / 60.0;
        assert_eq!(evening.hour_overlap_h(), expected);
        assert_eq!(evening.length_min(), 215);
        assert!(evening.contains(0) && evening.contains(79) && evening.contains(1439));
        assert!(!evening.contains(80) && !evening.contains(1304));
    }

    #[test]
    fn equal_ends_and_both_midnights_are_the_whole_day() {
        for whole in [
            window(0, 0),
            window(430, 430),
            window(0, 1440),
            window(1440, 0),
        ] {
            assert_eq!(whole.length_h(), 24.0);
            assert_eq!(whole.hour_overlap_h(), [1.0; 24]);
        }
    }

    #[test]
    fn a_window_until_midnight_ends_there() {
        let until = window(23 * 60, 1440);
        assert_eq!(until.length_h(), 1.0);
        assert!(!until.contains(0));
    }

    #[test]
    fn a_window_widens_at_its_end_past_midnight_and_up_to_the_whole_day() {
        let evening = window(22 * 60, 23 * 60);
        assert_eq!(evening.widened_to(300), window(22 * 60, 3 * 60));
        assert_eq!(evening.widened_to(1440), Window::WHOLE_DAY);
        assert_eq!(evening.widened_to(1439).length_min(), 1439);
    }

    #[test]
    fn windows_that_only_touch_do_not_overlap() {
        assert!(!window(600, 660).overlaps(window(660, 720)));
        assert!(window(600, 661).overlaps(window(660, 720)));
        assert!(window(1380, 60).overlaps(window(30, 40)));
        assert!(window(30, 40).overlaps(window(1380, 60)));
    }

    proptest! {
        #[test]
        fn the_set_is_the_minutes_that_the_window_contains(from in 0u16..=1440, to in 0u16..=1440) {
            let window = window(from, to);
            let set = window.minutes();
            for minute in 0..DAY_MIN {
                let bit = set.0[usize::from(minute / 60)] >> (minute % 60) & 1 == 1;
                prop_assert_eq!(bit, window.contains(minute));
            }
            let bits: u32 = set.0.iter().map(|hour| hour.count_ones()).sum();
            prop_assert_eq!(bits, u32::from(window.length_min()));
        }

        #[test]
        fn windows_overlap_where_they_share_a_minute(a in 0u16..=1440, b in 0u16..=1440, c in 0u16..=1440, d in 0u16..=1440) {
            let (one, two) = (window(a, b), window(c, d));
            let shared = (0..DAY_MIN).any(|minute| one.contains(minute) && two.contains(minute));
            prop_assert_eq!(one.overlaps(two), shared);
            prop_assert_eq!(two.overlaps(one), shared);
        }
    }
}
