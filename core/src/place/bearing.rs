//! Compass directions as people type them.

use crate::numeric::decimal;

/// The eight directions that have a word, clockwise from north.
const WORDS: [(&str, &str); 8] = [
    ("north", "n"),
    ("northeast", "ne"),
    ("east", "e"),
    ("southeast", "se"),
    ("south", "s"),
    ("southwest", "sw"),
    ("west", "w"),
    ("northwest", "nw"),
];
/// The eight between those, clockwise from north by north-east.
const BETWEEN: [&str; 8] = ["nne", "ene", "ese", "sse", "ssw", "wsw", "wnw", "nnw"];

/// Reads a direction into degrees clockwise from true north: `north`, `NE`, `south-west`, `SSW`, `135`, `135°`.
///
/// # Errors
/// A sentence that says what was typed and what would do.
pub fn read_bearing(text: &str) -> Result<f64, String> {
    let bare: String = text
        .trim()
        .to_lowercase()
        .replace('\u{2212}', "-")
        .replace("degrees", "")
        .replace("deg", "")
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '°')
        .collect();
    let word: String = bare.chars().filter(|c| *c != '-').collect();
    let eighth = WORDS
        .iter()
        .position(|(long, short)| word == *long || word == *short)
        .map(|at| 45.0 * at as f64);
    let between = || {
        let at = BETWEEN.iter().position(|short| word == *short)?;
        Some(22.5 + 45.0 * at as f64)
    };
    let degrees = || decimal(&bare.replace(',', "."));
    eighth
        .or_else(between)
        .or_else(degrees)
        .filter(|deg| deg.is_finite())
        .ok_or_else(|| {
            format!(
                "“{}” isn't a direction. Write south, NE or 135.",
                text.trim()
            )
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_letters_and_degrees_are_read() {
        for (text, deg) in [
            ("north", 0.0),
            ("N", 0.0),
            ("NE", 45.0),
            ("north-east", 45.0),
            ("North East", 45.0),
            ("NNE", 22.5),
            ("south", 180.0),
            ("SSW", 202.5),
            ("nw", 315.0),
            ("135", 135.0),
            ("135°", 135.0),
            ("67,5 deg", 67.5),
            ("-90", -90.0),
        ] {
            assert_eq!(read_bearing(text), Ok(deg), "{text}");
        }
        for text in ["", "up", "N30E", "norht", "1e999", "12 mm"] {
            assert_eq!(
                read_bearing(text),
                Err(format!(
                    "“{text}” isn't a direction. Write south, NE or 135."
                ))
            );
        }
    }
}
