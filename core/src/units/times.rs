//! Times of day and dates, as people write them.

use chrono::NaiveDate;

/// Minutes in a day.
pub const DAY_MIN: u16 = 1440;

/// Reads a time of day: `18:30`, `1830`, `18.30`, `6:30 pm`, `7`. Minutes after midnight.
///
/// # Errors
/// A sentence that says what was typed and what would do.
pub fn read_clock(text: &str) -> Result<u16, String> {
    let trimmed = text.trim().to_ascii_lowercase();
    let refused = || {
        format!(
            "“{}” isn't a time of day. Write one from 00:00 to 24:00, such as 18:30.",
            crate::words::echo(text.trim())
        )
    };
    let (body, afternoon) = if let Some(body) = trimmed.strip_suffix("pm") {
        (body.trim(), Some(true))
    } else if let Some(body) = trimmed.strip_suffix("am") {
        (body.trim(), Some(false))
    } else {
        (trimmed.strip_suffix('h').unwrap_or(&trimmed).trim(), None)
    };
    let (hour, minute) = match body.split_once([':', '.', 'h']) {
        Some((hour, minute)) => (hour, minute),
        None if body.len() > 2 => body.split_at_checked(body.len() - 2).ok_or_else(refused)?,
        None => (body, "0"),
    };
    let mut hour: u16 = hour.parse().map_err(|_| refused())?;
    let minute: u16 = minute.parse().map_err(|_| refused())?;
    match afternoon {
        Some(_) if !(1..=12).contains(&hour) => return Err(refused()),
        Some(true) if hour < 12 => hour += 12,
        Some(false) if hour == 12 => hour = 0,
        _ => {}
    }
    if minute > 59 || hour > 24 || (hour == 24 && minute > 0) {
        return Err(refused());
    }
    Ok((hour * 60 + minute) % DAY_MIN)
}

/// Reads a date as ISO 8601 writes it: `2027-08-12`.
pub fn read_date(text: &str) -> Option<NaiveDate> {
    let mut parts = text.trim().splitn(3, '-');
    let year = parts.next()?.parse().ok()?;
    let month = parts.next()?.parse().ok()?;
    NaiveDate::from_ymd_opt(year, month, parts.next()?.parse().ok()?)
}

/// Minutes after midnight as `18:30`.
pub fn clock(minutes: u16) -> String {
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}
