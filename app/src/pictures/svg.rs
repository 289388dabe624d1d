//! A small hand for SVG: shapes with classes, text with a ground.

use std::fmt::Write;

/// An SVG under way.
#[derive(Debug, Default)]
pub struct Svg {
    body: String,
    width: f64,
    height: f64,
}

/// Where text is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// By its start.
    Start,
    /// By its middle.
    Middle,
    /// By its end.
    End,
}

impl Anchor {
    fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// Rounds to a tenth of a pixel, which keeps drawings short.
fn px(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// Text with what XML reserves written safely.
pub fn escape(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// About how wide a line of the page's type at 13 px is [px].
pub fn text_width(text: &str) -> f64 {
    text.chars().count() as f64 * 7.2
}

impl Svg {
    /// A sheet of so many pixels.
    pub fn new(width: f64, height: f64) -> Self {
        Self {
            body: String::new(),
            width: px(width),
            height: px(height),
        }
    }

    /// Makes the sheet so high, where that shows only once all is drawn.
    pub fn tall(&mut self, height: f64) {
        self.height = px(height);
    }

    /// A rectangle.
    pub fn rect(&mut self, class: &str, x: f64, y: f64, width: f64, height: f64) {
        let (x, y, width, height) = (px(x), px(y), px(width.max(0.0)), px(height.max(0.0)));
        let _ = write!(
            self.body,
            r#"<rect class="{class}" x="{x}" y="{y}" width="{width}" height="{height}"/>"#
        );
    }

    /// What follows is a thing that a pointer can take, until [`Self::end_thing`].
    pub fn thing(&mut self, mark: &str) {
        let _ = write!(self.body, r#"<g data-thing="{}">"#, escape(mark));
    }

    /// The end of a thing.
    pub fn end_thing(&mut self) {
        self.body.push_str("</g>");
    }

    /// A straight line.
    pub fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        let _ = write!(
            self.body,
            r#"<line class="{class}" x1="{}" y1="{}" x2="{}" y2="{}"/>"#,
            px(from.0),
            px(from.1),
            px(to.0),
            px(to.1)
        );
    }

    /// A path in SVG's own words.
    pub fn path(&mut self, class: &str, d: &str) {
        let _ = write!(self.body, r#"<path class="{class}" d="{d}"/>"#);
    }

    /// A circle.
    pub fn circle(&mut self, class: &str, x: f64, y: f64, r: f64) {
        let _ = write!(
            self.body,
            r#"<circle class="{class}" cx="{}" cy="{}" r="{}"/>"#,
            px(x),
            px(y),
            px(r)
        );
    }

    /// Text.
    pub fn text(&mut self, class: &str, x: f64, y: f64, anchor: Anchor, text: &str) {
        let _ = write!(
            self.body,
            r#"<text class="{class}" x="{}" y="{}" text-anchor="{}">{}</text>"#,
            px(x),
            px(y),
            anchor.word(),
            escape(text)
        );
    }

    /// Texts of one line, each about its middle.
    pub fn texts(&mut self, class: &str, y: f64, texts: &[(f64, String)]) {
        let y = px(y);
        let _ = write!(
            self.body,
            r#"<text class="{class}" y="{y}" text-anchor="middle">"#
        );
        for (x, text) in texts {
            let _ = write!(
                self.body,
                r#"<tspan x="{}">{}</tspan>"#,
                px(*x),
                escape(text)
            );
        }
        self.body.push_str("</text>");
    }

    /// Text turned to read upward.
    pub fn text_upward(&mut self, class: &str, x: f64, y: f64, text: &str) {
        let (x, y) = (px(x), px(y));
        let _ = write!(
            self.body,
            r#"<text class="{class}" x="{x}" y="{y}" text-anchor="middle" transform="rotate(-90 {x} {y})">{}</text>"#,
            escape(text)
        );
    }

    /// Text on a ground of its own, so that it reads over a hatch.
    pub fn label(&mut self, x: f64, y: f64, text: &str) {
        let width = text_width(text) + 8.0;
        // A label stays on its sheet.
        let x = x.min(self.width - width / 2.0).max(width / 2.0);
        self.rect("label-ground", x - width / 2.0, y - 12.0, width, 17.0);
        self.text("label", x, y + 1.0, Anchor::Middle, text);
    }

    /// The whole drawing; the patterns that its classes name stand once on the page, as [`HATCHES`].
    pub fn finish(self) -> String {
        let (w, h) = (self.width, self.height);
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h}" viewBox="0 0 {w} {h}" aria-hidden="true" focusable="false">{}</svg>"#,
            self.body
        )
    }
}

/// Hatch for what stays, cross-hatch for what can move, dots for what cold and age take: a drawing of no size that is never
/// hidden, or the patterns would be so too, in print as well.
pub const HATCHES: &str = concat!(
    r#"<svg width="0" height="0" aria-hidden="true" focusable="false"><defs><pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line class="hatch-line" x1="0" y1="0" x2="0" y2="7"/></pattern>"#,
    r#"<pattern id="cross" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line class="hatch-line" x1="0" y1="0" x2="0" y2="8"/><line class="hatch-line" x1="0" y1="0" x2="8" y2="0"/></pattern>"#,
    r#"<pattern id="dots" width="6" height="6" patternUnits="userSpaceOnUse"><circle class="hatch-dot" cx="3" cy="3" r="1.1"/></pattern></defs></svg>"#
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_break_out_of_a_drawing() {
        let mut svg = Svg::new(10.0, 10.0);
        svg.text("a", 0.0, 0.0, Anchor::Start, "<script>&\"");
        assert!(svg.finish().contains("&lt;script&gt;&amp;&quot;"));
    }
}
