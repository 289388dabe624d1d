//! Text that others wrote, made safe to show: at a terminal, in Markdown, in a sentence.

/// Most characters of what was typed that a sentence repeats.
const MOST_ECHOED: usize = 80;

/// What was typed, cut to 80 characters so that a sentence stays one.
pub fn echo(typed: &str) -> String {
    cut(typed, MOST_ECHOED)
}

/// Text cut to so many characters, with "…" where something is left out.
pub fn cut(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((end, _)) => format!("{}…", text.get(..end).unwrap_or_default()),
        None => text.to_owned(),
    }
}

/// Whether a character acts on the text around it and shows nothing itself: control characters (Unicode Cc), line and
/// paragraph separators, and the marks that change the direction of writing (Unicode Standard Annex 9, Bidi_Control).
fn acts(c: char) -> bool {
    let directs = matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    c.is_control() || directs || matches!(c, '\u{2028}' | '\u{2029}')
}

/// One line of text for a terminal: characters that act on what is around them are written out, as in `\u{1b}`.
pub fn visible(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if acts(c) {
            out.extend(c.escape_default());
        } else {
            out.push(c);
        }
    }
    out
}

/// One line of text inside Markdown: as [`visible`], and no character marks anything up (CommonMark 0.31, 2.4 Backslash
/// escapes).
pub(crate) fn marked_down(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in visible(text).chars() {
        if matches!(
            c,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '|' | '~' | '&'
        ) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

/// As [`marked_down`], at the beginning of a line: it opens no heading, list, quotation or rule.
pub(crate) fn line_marked_down(text: &str) -> String {
    let text = marked_down(text);
    let number = text.trim_start_matches(|c: char| c.is_ascii_digit());
    if text.starts_with(['#', '>', '-', '+', '=']) {
        return format!("\\{text}");
    }
    match text.len() - number.len() {
        digits if digits > 0 && (number.starts_with(". ") || number.starts_with(") ")) => {
            let (before, after) = text.split_at_checked(digits).unwrap_or((&text, ""));
            format!("{before}\\{after}")
        }
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_acts_on_the_text_around_it() {
        assert_eq!(visible("a\u{1b}[31m\nb\tü"), "a\\u{1b}[31m\\nb\\tü");
        assert_eq!(
            visible("\u{202e}evil\u{2069}\u{85}"),
            "\\u{202e}evil\\u{2069}\\u{85}"
        );
        assert_eq!(marked_down("a|b `c` <i>"), "a\\|b \\`c\\` \\<i>");
        assert_eq!(line_marked_down("# head"), "\\# head");
        assert_eq!(line_marked_down("12. item"), "12\\. item");
        assert_eq!(line_marked_down("12.5 V"), "12.5 V");
        assert_eq!(line_marked_down("lamp"), "lamp");
    }

    #[test]
    fn long_text_is_cut_between_characters() {
        assert_eq!(echo(&"ü".repeat(81)), "ü".repeat(80) + "…");
        assert_eq!(echo(&"ü".repeat(80)), "ü".repeat(80));
    }
}
