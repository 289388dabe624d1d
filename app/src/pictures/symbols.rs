//! Symbols of a one-line diagram, after IEC 60617, drawn anew, each with its words at its right.

use super::svg::{Anchor, Svg};

/// Between two lines of text.
const LINE: f64 = 16.0;
/// About how wide a letter is at 12.5 px.
pub(super) const LETTER: f64 = 6.9;
/// From a bar to the middle of the symbol at the end of its run.
const REACH: f64 = 74.0;

/// Free above and below [px].
const EDGE: f64 = 8.0;

/// What stands at the end of a run.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum End {
    Inverter,
    Charger,
    Converter,
    Sun,
    Generator,
    Panel,
    Load,
}

/// A diagram under way, from the top down.
pub(super) struct Drawing {
    pub(super) svg: Svg,
    /// As wide as there is room [px].
    width: f64,
    /// How far down it has come [px].
    pub(super) y: f64,
    /// Where the line from the bank down to its fuse begins [px].
    pub(super) spine_from: f64,
}

impl Drawing {
    pub(super) fn new(width: f64) -> Self {
        Self {
            svg: Svg::new(width, 0.0),
            width,
            y: EDGE,
            spine_from: EDGE,
        }
    }

    /// The whole drawing, as high as it came down.
    pub(super) fn finish(mut self) -> String {
        self.svg.tall(self.y + EDGE);
        self.svg.finish()
    }

    /// Words in a block at the right of a point, as wide as the sheet allows; how high it is.
    pub(super) fn words(&mut self, x: f64, top: f64, name: &str, pieces: &[String]) -> f64 {
        let lines = packed(name, pieces, self.width - x - 4.0);
        for (at, (class, line)) in lines.iter().enumerate() {
            let y = top + LINE * (at as f64 + 1.0) - 3.0;
            self.svg.text(class, x, y, Anchor::Start, line);
        }
        LINE * lines.len() as f64
    }

    /// A fuse on a line along x.
    fn fuse_along(&mut self, x: f64, y: f64) {
        self.svg.rect("symbol", x - 11.0, y - 5.0, 22.0, 10.0);
        self.svg.line("wire", (x - 11.0, y), (x + 11.0, y));
    }

    /// A fuse on a line down.
    pub(super) fn fuse_down(&mut self, x: f64, y: f64) {
        self.svg.rect("symbol", x - 5.0, y - 11.0, 10.0, 22.0);
        self.svg.line("wire", (x, y - 11.0), (x, y + 11.0));
    }

    fn end(&mut self, end: End, x: f64, y: f64) {
        let svg = &mut self.svg;
        let (left, top) = (x - 14.0, y - 14.0);
        match end {
            End::Inverter | End::Charger | End::Converter => {
                svg.rect("symbol", left, top, 28.0, 28.0);
                svg.line("symbol-line", (left, y + 14.0), (x + 14.0, top));
                let dc = |svg: &mut Svg, x: f64, y: f64| {
                    svg.line("symbol-line", (x - 5.0, y - 2.0), (x + 5.0, y - 2.0));
                    svg.path(
                        "symbol-line",
                        &format!("M{} {}h2.6m1.1 0h2.6m1.1 0h2.6", x - 5.0, y + 2.0),
                    );
                };
                let ac = |svg: &mut Svg, x: f64, y: f64| {
                    svg.path("symbol-line", &format!("M{} {y}q2.5 -5 5 0t5 0", x - 5.0));
                };
                if end == End::Charger {
                    ac(svg, x + 7.0, y + 8.0);
                } else {
                    dc(svg, x - 7.0, y - 7.0);
                }
                match end {
                    End::Inverter => ac(svg, x + 7.0, y + 8.0),
                    End::Charger => dc(svg, x - 7.0, y - 7.0),
                    _ => dc(svg, x + 7.0, y + 7.0),
                }
            }
            End::Sun => {
                // A photovoltaic generator: cells with two arrows of light coming in.
                svg.rect("symbol", left, top, 28.0, 28.0);
                svg.line("symbol-line", (x - 3.0, y - 2.0), (x - 3.0, y + 10.0));
                svg.line("symbol-line", (x + 3.0, y + 1.0), (x + 3.0, y + 7.0));
                svg.line("symbol-line", (left, y + 4.0), (x - 3.0, y + 4.0));
                svg.line("symbol-line", (x + 3.0, y + 4.0), (x + 14.0, y + 4.0));
                for by in [0.0, 7.0] {
                    svg.path(
                        "symbol-line",
                        &format!("M{} {}l6 6m-3.5 0h3.5v-3.5", left + 2.0 + by, top + 2.0),
                    );
                }
            }
            End::Generator => {
                svg.circle("symbol", x, y, 14.0);
                svg.text("symbol-letter", x, y + 5.0, Anchor::Middle, "G");
            }
            End::Panel => svg.rect("panel-bar", x - 14.0, top, 6.0, 28.0),
            End::Load => {
                svg.rect("symbol", left, y - 8.0, 28.0, 16.0);
            }
        }
    }

    /// A run from a bar to its end, with its fuse and its words.
    pub(super) fn run(&mut self, bar: f64, end: End, name: &str, pieces: &[String]) {
        let x = bar + REACH;
        let lines = packed(name, pieces, self.width - x - 22.0 - 4.0).len() as f64;
        let high = (LINE * lines + 10.0).max(40.0);
        let y = self.y + high / 2.0;
        self.svg.circle("wire-dot", bar, y, 3.5);
        self.svg.line("wire", (bar, y), (x - 14.0, y));
        self.fuse_along(bar + 31.0, y);
        self.end(end, x, y);
        let top = y - LINE * lines / 2.0;
        self.words(x + 22.0, top, name, pieces);
        self.y += high;
    }
}

/// Lines no wider than there is room: the name, then the pieces joined while they fit. A piece too long is broken at a blank.
fn packed(name: &str, pieces: &[String], room: f64) -> Vec<(&'static str, String)> {
    let most = ((room / LETTER) as usize).max(8);
    let mut lines: Vec<(&'static str, String)> = Vec::new();
    for line in broken(name, most) {
        lines.push(("strong small-strong", line));
    }
    let mut open = String::new();
    for piece in pieces.iter().filter(|piece| !piece.is_empty()) {
        let joined = if open.is_empty() {
            piece.clone()
        } else {
            format!("{open} · {piece}")
        };
        if joined.chars().count() <= most {
            open = joined;
            continue;
        }
        if !open.is_empty() {
            lines.push(("small", std::mem::take(&mut open)));
        }
        let mut rest = broken(piece, most);
        open = rest.pop().unwrap_or_default();
        lines.extend(rest.into_iter().map(|line| ("small", line)));
    }
    if !open.is_empty() {
        lines.push(("small", open));
    }
    lines
}

/// Text in lines of so many letters, broken at blanks; one word too long for a line is cut.
fn broken(text: &str, most: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let mut word = word;
        while let Some(last) = lines.last_mut() {
            let free = most.saturating_sub(last.chars().count() + usize::from(!last.is_empty()));
            if word.chars().count() <= free {
                if !last.is_empty() {
                    last.push(' ');
                }
                last.push_str(word);
                break;
            }
            if last.is_empty() {
                let cut = word
                    .char_indices()
                    .nth(most)
                    .map_or(word.len(), |(at, _)| at);
                let (head, tail) = word.split_at(cut);
                last.push_str(head);
                word = tail;
                if word.is_empty() {
                    break;
                }
            }
            lines.push(String::new());
        }
    }
    lines.retain(|line| !line.is_empty());
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_broken_at_blanks() {
        assert_eq!(broken("large blade fuse", 11), ["large blade", "fuse"]);
        assert_eq!(broken("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(broken("", 3), Vec::<String>::new());
    }
}
