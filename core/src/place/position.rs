//! Positions on earth as people type them, and the two figures of one by themselves.

use crate::numeric::decimal;

/// What a position looks like, for a text that can't be read as one.
pub const POSITION_EXAMPLE: &str = "Write 48.1, -1.7 or 54°48' S 68°18' W.";

/// One of the two figures of a position.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// North positive, −90 to 90°.
    Latitude,
    /// East positive, −180 to 180°.
    Longitude,
}

impl Axis {
    fn most_deg(self) -> f64 {
        match self {
            Self::Latitude => 90.0,
            Self::Longitude => 180.0,
        }
    }

    /// Letters of its positive and its negative side.
    fn letters(self) -> (char, char) {
        match self {
            Self::Latitude => ('N', 'S'),
            Self::Longitude => ('E', 'W'),
        }
    }

    fn of_letter(letter: char) -> Self {
        match letter {
            'N' | 'S' => Self::Latitude,
            _ => Self::Longitude,
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Latitude => "latitude",
            Self::Longitude => "longitude",
        }
    }

    fn example(self) -> &'static str {
        match self {
            Self::Latitude => "Write 54.8 S, 54°48' S or -54.8.",
            Self::Longitude => "Write 68.3 W, 68°18' W or -68.3.",
        }
    }

    /// Reads one figure (°): `54.8 S`, `54°48'S`, `-54.8`, `54,8`.
    ///
    /// # Errors
    /// A sentence that says what was typed and what would do.
    pub fn read(self, text: &str) -> Result<f64, String> {
        let refuse = |why: Fault| match why {
            Fault::Beyond(found, deg) => beyond(found, deg, found.example()),
            Fault::Unreadable => {
                format!(
                    "“{}” isn't a {}. {}",
                    text.trim(),
                    self.name(),
                    self.example()
                )
            }
        };
        let tokens = tokens(text).map_err(&refuse)?;
        let (figure, letter) = figure(&tokens).map_err(&refuse)?;
        match letter {
            Some(letter) if Self::of_letter(letter) != self => {
                let (plus, minus) = self.letters();
                Err(format!(
                    "“{letter}” isn't a side of the {}: that is {plus} or {minus}. {}",
                    self.name(),
                    self.example()
                ))
            }
            letter => self.placed(figure, letter).map_err(refuse),
        }
    }

    /// A figure on its side, within its range (°).
    fn placed(self, figure: f64, letter: Option<char>) -> Result<f64, Fault> {
        let deg = match letter {
            Some('S' | 'W') => 0.0 - figure,
            _ => figure,
        };
        if deg.abs() <= self.most_deg() {
            Ok(deg)
        } else {
            Err(Fault::Beyond(self, deg))
        }
    }

    /// Writes a figure with its side, to a hundredth of a degree or as finely as it is held, up to six digits: `54.8° S`.
    pub fn show(self, deg: f64) -> String {
        let (plus, minus) = self.letters();
        let letter = if deg < 0.0 { minus } else { plus };
        format!("{}° {letter}", crate::units::tidy(deg.abs()))
    }
}

/// Writes a position: `54.8° S, 68.3° W`.
pub fn show_position(lat: f64, lon: f64) -> String {
    format!(
        "{}, {}",
        Axis::Latitude.show(lat),
        Axis::Longitude.show(lon)
    )
}

/// Reads a position into latitude and longitude (°, north and east positive).
///
/// Decimal degrees, or degrees with minutes and seconds; a sign or a letter for the side; latitude first unless letters say
/// otherwise. A comma between two digits is a decimal comma, unless the text has a decimal point.
///
/// # Errors
/// A sentence that says what was typed and what would do.
pub fn read_position(text: &str) -> Result<(f64, f64), String> {
    position(text).map_err(|why| match why {
        Fault::Beyond(axis, deg) => beyond(axis, deg, POSITION_EXAMPLE),
        Fault::Unreadable => format!("“{}” isn't a position. {POSITION_EXAMPLE}", text.trim()),
    })
}

fn beyond(axis: Axis, deg: f64, example: &str) -> String {
    format!(
        "A {} of {}° is beyond {}°. {example}",
        axis.name(),
        crate::units::tidy(deg),
        axis.most_deg()
    )
}

/// Why a text is no position.
enum Fault {
    Unreadable,
    /// A figure outside its range (°).
    Beyond(Axis, f64),
}

fn position(text: &str) -> Result<(f64, f64), Fault> {
    let tokens = tokens(text)?;
    let (first, second) = halves(&tokens).ok_or(Fault::Unreadable)?;
    let (first, second) = (figure(first)?, figure(second)?);
    let (lat, lon) = match (first.1.map(Axis::of_letter), second.1.map(Axis::of_letter)) {
        (None, None) | (Some(Axis::Latitude), Some(Axis::Longitude)) => (first, second),
        (Some(Axis::Longitude), Some(Axis::Latitude)) => (second, first),
        _ => return Err(Fault::Unreadable),
    };
    Ok((
        Axis::Latitude.placed(lat.0, lat.1)?,
        Axis::Longitude.placed(lon.0, lon.1)?,
    ))
}

#[derive(Clone, Debug, PartialEq)]
enum Token {
    /// Its value, and whether it has decimals.
    Number(f64, bool),
    Minus,
    Plus,
    /// `°`, `'`, `"` by their order: 0, 1, 2.
    Mark(usize),
    /// N, S, E or W.
    Letter(char),
    /// Comma, semicolon, slash or a new line.
    Break,
}

/// The text in small pieces; whatever is none of them makes it unreadable.
fn tokens(text: &str) -> Result<Vec<Token>, Fault> {
    let trimmed = text.trim();
    let bare = trimmed.strip_prefix("geo:").unwrap_or(trimmed);
    let letters: Vec<char> = bare.chars().map(plain).collect();
    let has_point = letters.contains(&'.');
    let has_side = letters.iter().any(|c| "NSEWnsew".contains(*c));
    let at = |at: usize| letters.get(at).copied().unwrap_or(' ');
    let digit = |place: usize| at(place).is_ascii_digit();
    let mut tokens = Vec::new();
    let mut next = 0;
    while next < letters.len() {
        let (here, from) = (at(next), next);
        next += 1;
        match here {
            '\n' => tokens.push(Token::Break),
            c if c.is_whitespace() || "()".contains(c) => {}
            ',' | ';' | '/' => tokens.push(Token::Break),
            // Degrees and minutes as sailors write them: 54-48.0S.
            '-' if has_side && from > 0 && digit(from - 1) && digit(next) => {}
            '-' => tokens.push(Token::Minus),
            '+' => tokens.push(Token::Plus),
            '°' => tokens.push(Token::Mark(0)),
            '\'' if at(next) == '\'' => {
                next += 1;
                tokens.push(Token::Mark(2));
            }
            '\'' => tokens.push(Token::Mark(1)),
            '"' => tokens.push(Token::Mark(2)),
            c if c.is_ascii_digit() || (c == '.' && digit(next)) => {
                while digit(next)
                    || (digit(next + 1)
                        && digit(next - 1)
                        && (at(next) == '.' || (at(next) == ',' && !has_point)))
                {
                    next += 1;
                }
                let number: String = letters.get(from..next).unwrap_or_default().iter().collect();
                let number = number.replace(',', ".");
                let value = decimal(&number).ok_or(Fault::Unreadable)?;
                tokens.push(Token::Number(value, number.contains('.')));
            }
            c if c.is_alphabetic() => {
                while at(next).is_alphabetic() {
                    next += 1;
                }
                let word: String = letters.get(from..next).unwrap_or_default().iter().collect();
                match word.to_lowercase().as_str() {
                    "n" | "north" => tokens.push(Token::Letter('N')),
                    "s" | "south" => tokens.push(Token::Letter('S')),
                    "e" | "east" => tokens.push(Token::Letter('E')),
                    "w" | "west" => tokens.push(Token::Letter('W')),
                    "deg" | "degrees" => tokens.push(Token::Mark(0)),
                    "min" => tokens.push(Token::Mark(1)),
                    "sec" => tokens.push(Token::Mark(2)),
                    "lat" | "lon" | "long" | "latitude" | "longitude" => {
                        if matches!(at(next), ':' | '=' | '.') {
                            next += 1;
                        }
                    }
                    _ => return Err(Fault::Unreadable),
                }
            }
            _ => return Err(Fault::Unreadable),
        }
    }
    Ok(tokens)
}

/// One sign for the several that look alike.
fn plain(c: char) -> char {
    match c {
        '\u{2212}' | '\u{2013}' | '\u{2010}' | '\u{2011}' => '-',
        '′' | '’' | '‘' | '´' | '`' => '\'',
        '″' | '”' | '“' => '"',
        'º' | '˚' => '°',
        c => c,
    }
}

/// Splits a position into its two figures: where it breaks, else by its letters, signs or marks, else between two numbers.
fn halves(tokens: &[Token]) -> Option<(&[Token], &[Token])> {
    let is = |wanted: fn(&Token) -> bool| {
        let places = tokens.iter().enumerate();
        let places: Vec<usize> = places
            .filter(|(_, t)| wanted(t))
            .map(|(at, _)| at)
            .collect();
        places
    };
    let breaks = is(|token| *token == Token::Break);
    if !breaks.is_empty() {
        let [only] = breaks[..] else { return None };
        return Some((tokens.get(..only)?, tokens.get(only + 1..)?));
    }
    let cut = |at: usize| tokens.split_at_checked(at);
    match is(|token| matches!(token, Token::Letter(_)))[..] {
        // Letters before their figures, or after them.
        [0, second] => return cut(second),
        [first, second] if second + 1 == tokens.len() => return cut(first + 1),
        [] => {}
        _ => return None,
    }
    let numbers = is(|token| matches!(token, Token::Number(..)));
    let degrees = is(|token| *token == Token::Mark(0));
    let second = match (&degrees[..], &numbers[..]) {
        // The number before the second degree sign opens the second figure.
        ([_, second], _) => second.checked_sub(1)?,
        ([], [_, second]) => *second,
        _ => return None,
    };
    let signed = second
        .checked_sub(1)
        .and_then(|before| tokens.get(before))
        .is_some_and(|token| matches!(token, Token::Minus | Token::Plus));
    cut(if signed { second - 1 } else { second })
}

/// One figure (°, its sign applied) and its letter: degrees, then minutes, then seconds, of which the last alone may have
/// decimals; minutes and seconds are below 60. A sign and a letter together are refused.
fn figure(tokens: &[Token]) -> Result<(f64, Option<char>), Fault> {
    let (letter, body) = match tokens {
        [Token::Letter(letter), body @ ..] | [body @ .., Token::Letter(letter)] => {
            (Some(*letter), body)
        }
        body => (None, body),
    };
    let (sign, mut body) = match body {
        [Token::Minus, body @ ..] if letter.is_none() => (-1.0, body),
        [Token::Plus, body @ ..] if letter.is_none() => (1.0, body),
        body => (1.0, body),
    };
    let mut deg = 0.0;
    let mut whole = true;
    for (place, per_degree) in [1.0, 60.0, 3600.0].into_iter().enumerate() {
        let [Token::Number(value, decimals), rest @ ..] = body else {
            if place == 0 {
                return Err(Fault::Unreadable);
            }
            break;
        };
        if !whole || (place > 0 && *value >= 60.0) {
            return Err(Fault::Unreadable);
        }
        whole = !decimals;
        deg += value / per_degree;
        body = match rest {
            [Token::Mark(mark), rest @ ..] if *mark == place => rest,
            rest => rest,
        };
    }
    if body.is_empty() && deg.is_finite() {
        Ok((sign * deg, letter))
    } else {
        Err(Fault::Unreadable)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Minutes and seconds as degrees.
    fn dms(deg: f64, min: f64, sec: f64) -> f64 {
        deg + min / 60.0 + sec / 3600.0
    }

    #[test]
    fn every_usual_form_of_a_position_is_read() {
        let forms = [
            ("48.1, -1.7", 48.1, -1.7),
            ("48.1,-1.7", 48.1, -1.7),
            ("48.1 -1.7", 48.1, -1.7),
            ("48.1 1.7", 48.1, 1.7),
            ("48,1 -1,7", 48.1, -1.7),
            ("48,1 1,7", 48.1, 1.7),
            ("48,1, -1,7", 48.1, -1.7),
            ("48,1; -1,7", 48.1, -1.7),
            ("48.1;-1.7", 48.1, -1.7),
            ("48.1/-1.7", 48.1, -1.7),
            ("48, 2", 48.0, 2.0),
            ("48,-2", 48.0, -2.0),
            ("(48.1, -1.7)", 48.1, -1.7),
            ("geo:48.1,-1.7", 48.1, -1.7),
            ("+48.1 \u{2212}1.7", 48.1, -1.7),
            (" 48.1\u{a0}\u{2013}1.7 ", 48.1, -1.7),
            ("54.8 S 68.3 W", -54.8, -68.3),
            ("54.8S 68.3W", -54.8, -68.3),
            ("54.8s, 68.3w", -54.8, -68.3),
            ("54,8 S 68,3 W", -54.8, -68.3),
            ("S 54.8 W 68.3", -54.8, -68.3),
            ("S54.8, W68.3", -54.8, -68.3),
            ("68.3 W 54.8 S", -54.8, -68.3),
            ("54.8° S 68.3° W", -54.8, -68.3),
            ("54.8 south, 68.3 west", -54.8, -68.3),
            ("lat 48.1 lon -1.7", 48.1, -1.7),
            ("Lat: 48.1, Long: -1.7", 48.1, -1.7),
            ("54°48'S 68°18'W", -54.8, -68.3),
            ("54° 48′ S, 68° 18′ W", -54.8, -68.3),
            ("54º48’S 68º18’W", -54.8, -68.3),
            ("N 52° 03.6' W 2° 43.2'", 52.06, -2.72),
            ("52° 03,6' N 2° 43,2' W", 52.06, -2.72),
            ("52 03.6 N 2 43.2 W", 52.06, -2.72),
            ("52-03.6N 002-43.2W", 52.06, -2.72),
            ("48°06' -1°42'", 48.1, -1.7),
            ("48 06, -1 42", 48.1, -1.7),
            (
                "48°07'03\"N 1°40'48\"W",
                dms(48.0, 7.0, 3.0),
                -dms(1.0, 40.0, 48.0),
            ),
            (
                "48° 7′ 3″ N 1° 40′ 48″ W",
                dms(48.0, 7.0, 3.0),
                -dms(1.0, 40.0, 48.0),
            ),
            (
                "48°07'03''N, 1°40'48.5''W",
                dms(48.0, 7.0, 3.0),
                -dms(1.0, 40.0, 48.5),
            ),
            ("17°30'S 179°59'E", -17.5, dms(179.0, 59.0, 0.0)),
            ("-17.5, 180", -17.5, 180.0),
            ("90 N 0 E", 90.0, 0.0),
            ("0, 0", 0.0, 0.0),
            ("48.1\n-1.7", 48.1, -1.7),
        ];
        for (text, lat, lon) in forms {
            let (found_lat, found_lon) =
                read_position(text).unwrap_or_else(|says| panic!("{text}: {says}"));
            assert!(
                (found_lat - lat).abs() < 1e-9 && (found_lon - lon).abs() < 1e-9,
                "{text}: {found_lat} {found_lon}"
            );
        }
        assert!(forms.len() >= 40);
    }

    #[test]
    fn whatever_is_no_position_is_refused_with_an_example() {
        let unreadable = [
            "",
            "48.1",
            "48,1",
            "48,1,1,7",
            "1.2.3, 4",
            "48 06 1 42",
            "54.8 S",
            "54.8 S 68.3",
            "54.8 S 68.3 S",
            "-54.8 S 68.3 W",
            "54.8 S 68.3 W 10",
            "54°60'S 68°18'W",
            "54.5°48'S 68°18'W",
            "54'48°S 68°18'W",
            "54.8 O 68.3 O",
            "Rennes",
            "48.1 north of Rennes",
            "°,'",
            "48.1,, -1.7",
            "48.1, -1.7, 30",
            "--48.1, 1.7",
            "1e3, 4",
        ];
        for text in unreadable {
            assert_eq!(
                read_position(text),
                Err(format!(
                    "“{text}” isn't a position. Write 48.1, -1.7 or 54°48' S 68°18' W."
                ))
            );
        }
        let says = |text: &str| read_position(text).unwrap_err();
        assert_eq!(
            says("-1.7, 481"),
            "A longitude of 481° is beyond 180°. Write 48.1, -1.7 or 54°48' S 68°18' W."
        );
        assert!(says("148.1, -1.7").starts_with("A latitude of 148.1° is beyond 90°."));
        assert!(says("90.1 S 20 E").starts_with("A latitude of −90.1° is beyond 90°."));
        // Nothing that is typed may make it panic.
        for odd in [
            "-", "'", "''", "N", "NS", ".", ",", "½", "\u{202e}", "4-", "S-4 W-5", "°°",
        ] {
            assert!(read_position(odd).is_err(), "{odd}");
            assert!(Axis::Latitude.read(odd).is_err(), "{odd}");
        }
    }

    #[test]
    fn each_figure_takes_its_own_letters() {
        let read = |axis: Axis, text: &str| axis.read(text);
        for (axis, text, deg) in [
            (Axis::Latitude, "54.8 S", -54.8),
            (Axis::Latitude, "54,8", 54.8),
            (Axis::Latitude, "54°48'S", -54.8),
            (Axis::Latitude, "-54.8°", -54.8),
            (Axis::Latitude, "N 52 03.6", 52.06),
            (Axis::Longitude, "2° 43.2' W", -2.72),
            (Axis::Longitude, "170 east", 170.0),
        ] {
            let found = read(axis, text).unwrap_or_else(|says| panic!("{text}: {says}"));
            assert!((found - deg).abs() < 1e-9, "{text}: {found}");
        }
        assert_eq!(
            read(Axis::Latitude, "54.8 W").unwrap_err(),
            "“W” isn't a side of the latitude: that is N or S. Write 54.8 S, 54°48' S or -54.8."
        );
        assert_eq!(
            read(Axis::Longitude, "west").unwrap_err(),
            "“west” isn't a longitude. Write 68.3 W, 68°18' W or -68.3."
        );
        assert!(
            read(Axis::Latitude, "91")
                .unwrap_err()
                .contains("beyond 90°")
        );
        assert_eq!(show_position(-54.8, -68.3), "54.8° S, 68.3° W");
        assert_eq!(
            Axis::Latitude.read(&Axis::Latitude.show(-36.85)),
            Ok(-36.85)
        );
    }
}
