//! Solar time and the clock.

use super::geometry::equation_of_time_min;

/// What to add to solar time to get clock time (min) on a day of the year, where the clock is `utc_offset_h` ahead of
/// universal time (summer time included) and longitude is east positive. Duffie & Beckman (2013) eq. 1.5.2, turned
/// round.
pub fn clock_offset_min(lon_deg: f64, utc_offset_h: f64, day_of_year: f64) -> f64 {
    60.0 * utc_offset_h - 4.0 * lon_deg - equation_of_time_min(day_of_year)
}

/// Hourly amounts moved later by `offset_h` hours, round the day: each hour's amount is spread evenly over its hour,
/// so a fraction falls into the next. The sum stays. What is no number moves nothing.
pub fn shift_hours(hours: &[f64; 24], offset_h: f64) -> [f64; 24] {
    let offset_h = if offset_h.is_finite() { offset_h } else { 0.0 };
    let whole = offset_h.floor();
    let late = offset_h - whole;
    let start = (-(whole as i64)).rem_euclid(24) as usize;
    let (later, sooner) = hours.split_at(start);
    let mut shifted = [0.0; 24];
    let (first, last) = shifted.split_at_mut(24 - start);
    let mut before = later.last().or(sooner.last()).copied().unwrap_or(0.0);
    let mut spread = |places: &mut [f64], amounts: &[f64]| {
        for (place, amount) in places.iter_mut().zip(amounts) {
            *place = (1.0 - late) * amount + late * before;
            before = *amount;
        }
    };
    spread(first, sooner);
    spread(last, later);
    shifted
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn duffie_and_beckman_example_1_5_1() {
        // Madison, 89.4° west, central time, 3 February, 10:30 by the clock is 10:19 by the sun.
        let offset = clock_offset_min(-89.4, -6.0, 34.0);
        assert!((offset - 11.0).abs() < 0.7, "{offset}");
    }

    #[test]
    fn summer_time_is_an_hour_later() {
        let winter = clock_offset_min(10.0, 1.0, 180.0);
        assert!((clock_offset_min(10.0, 2.0, 180.0) - winter - 60.0).abs() < 1e-12);
    }

    #[test]
    fn a_shift_keeps_the_sum_and_moves_the_middle() {
        let mut hours = [0.0; 24];
        hours[12] = 10.0;
        hours[23] = 5.0;
        for offset in [-30.0, -1.25, 0.0, 0.4, 1.0, 13.7] {
            let moved = shift_hours(&hours, offset);
            assert!((moved.iter().sum::<f64>() - 15.0).abs() < 1e-12);
        }
        let moved = shift_hours(&hours, 1.25);
        assert!((moved[13] - 7.5).abs() < 1e-12 && (moved[14] - 2.5).abs() < 1e-12);
        assert!((moved[0] - 3.75).abs() < 1e-12 && (moved[1] - 1.25).abs() < 1e-12);
        assert_eq!(shift_hours(&hours, f64::NAN), hours);
    }
}
