//! The plan's link as a QR code (ISO/IEC 18004), by the `qrcode` crate.

use super::svg::Svg;
use qrcode::{Color, EcLevel, QrCode};

/// Longest link that a phone's camera still reads off a screen, in modules a side.
const MOST_MODULES: usize = 137;
const MODULE: f64 = 3.0;
const QUIET: usize = 4;

/// A drawn code.
pub struct Code {
    /// Modules a side, with the quiet zone.
    pub modules: usize,
    /// The drawing, as SVG.
    pub svg: String,
}

/// Draws a link; none where it is too long to be read.
pub fn code(link: &str) -> Option<Code> {
    let code = QrCode::with_error_correction_level(link.as_bytes(), EcLevel::L).ok()?;
    let side = code.width();
    if side > MOST_MODULES {
        return None;
    }
    let modules = side + 2 * QUIET;
    let sheet = modules as f64 * MODULE;
    let mut svg = Svg::new(sheet, sheet);
    svg.rect("code-ground", 0.0, 0.0, sheet, sheet);
    let mut d = String::new();
    let colors = code.to_colors();
    for (y, row) in colors.chunks(side).enumerate() {
        for (x, color) in row.iter().enumerate() {
            if *color == Color::Dark {
                let (px, py) = ((x + QUIET) as f64 * MODULE, (y + QUIET) as f64 * MODULE);
                d.push_str(&format!("M{px} {py}h{MODULE}v{MODULE}h-{MODULE}z"));
            }
        }
    }
    svg.path("code-dark", &d);
    Some(Code {
        modules,
        svg: svg.finish(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_link_has_a_code_and_a_very_long_one_has_none() {
        assert!(code("https://example.org/#plan=1.abc").is_some());
        assert!(code(&"x".repeat(5000)).is_none());
    }
}
