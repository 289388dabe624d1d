//! plotters draws on our own sheet: every colour is the name of an ink that the style sheet knows, every text our type.

use super::svg::{Anchor, Svg, text_width};
use plotters::style::RGBColor;
use plotters_backend::text_anchor::HPos;
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
};
use std::cell::RefCell;
use std::convert::Infallible;
use std::fmt::Write;
use std::rc::Rc;

/// The inks of the style sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Ink {
    /// Grid.
    Hair,
    /// Axes.
    Rule,
    /// Text and the line of use.
    Text,
    /// Second text.
    Second,
    /// What is stored, as a line.
    Bank,
    /// What is stored, as an area.
    BankFill,
    /// From the sun.
    Sun,
    /// From driving.
    Road,
    /// From the hook-up.
    Shore,
    /// The largest load.
    UseFirst,
    /// The next.
    UseSecond,
    /// The rest of the loads.
    UseRest,
}

const INKS: [(Ink, &str); 12] = [
    (Ink::Hair, "hair"),
    (Ink::Rule, "rule"),
    (Ink::Text, "text"),
    (Ink::Second, "second"),
    (Ink::Bank, "bank"),
    (Ink::BankFill, "bank-fill"),
    (Ink::Sun, "sun"),
    (Ink::Road, "road"),
    (Ink::Shore, "shore"),
    (Ink::UseFirst, "use-1"),
    (Ink::UseSecond, "use-2"),
    (Ink::UseRest, "use-3"),
];

impl Ink {
    /// The colour that stands for this ink until the sheet names it.
    pub fn color(self) -> RGBColor {
        RGBColor(0, 0, self as u8)
    }

    /// Its name in the style sheet.
    pub fn name(self) -> &'static str {
        INKS.iter()
            .find(|(ink, _)| *ink == self)
            .map_or("text", |(_, name)| name)
    }
}

fn ink_name(color: BackendColor) -> &'static str {
    INKS.iter()
        .find(|(ink, _)| *ink as u8 == color.rgb.2)
        .map_or("text", |(_, name)| name)
}

/// A sheet that plotters draws on; clones draw on the same one.
#[derive(Clone)]
pub struct Sheet {
    svg: Rc<RefCell<Svg>>,
    size: (u32, u32),
}

impl Sheet {
    /// A sheet of so many pixels.
    pub fn new(width: f64, height: f64) -> Self {
        Self {
            svg: Rc::new(RefCell::new(Svg::new(width, height))),
            size: (width as u32, height as u32),
        }
    }

    /// The drawing as it stands.
    pub fn finish(&self) -> String {
        self.svg.take().finish()
    }

    /// Adds text of our own.
    pub fn text(&self, class: &str, x: f64, y: f64, anchor: Anchor, text: &str) {
        self.svg.borrow_mut().text(class, x, y, anchor, text);
    }

    fn path(&self, class: &str, points: impl IntoIterator<Item = BackendCoord>, closed: bool) {
        let mut d = String::new();
        for (at, (x, y)) in points.into_iter().enumerate() {
            let _ = write!(d, "{}{x} {y}", if at == 0 { "M" } else { "L" });
        }
        if closed {
            d.push('Z');
        }
        self.svg.borrow_mut().path(class, &d);
    }
}

type Drawn = Result<(), DrawingErrorKind<Infallible>>;

impl DrawingBackend for Sheet {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, _: BackendCoord, _: BackendColor) -> Drawn {
        Ok(())
    }

    fn draw_line<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
    ) -> Drawn {
        let class = format!("stroke-{}", ink_name(style.color()));
        let at = |(x, y): BackendCoord| (f64::from(x) + 0.5, f64::from(y) + 0.5);
        self.svg.borrow_mut().line(&class, at(from), at(to));
        Ok(())
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        a: BackendCoord,
        b: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let class = format!(
            "{}-{}",
            if fill { "fill" } else { "stroke" },
            ink_name(style.color())
        );
        let (x0, x1) = (a.0.min(b.0), a.0.max(b.0));
        let (y0, y1) = (a.1.min(b.1), a.1.max(b.1));
        self.svg.borrow_mut().rect(
            &class,
            x0.into(),
            y0.into(),
            (x1 - x0).into(),
            (y1 - y0).into(),
        );
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        self.path(&format!("stroke-{}", ink_name(style.color())), path, false);
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        self.path(&format!("fill-{}", ink_name(style.color())), path, true);
        Ok(())
    }

    fn draw_text<T: BackendTextStyle>(&mut self, text: &str, style: &T, at: BackendCoord) -> Drawn {
        let anchor = match style.anchor().h_pos {
            HPos::Left => Anchor::Start,
            HPos::Center => Anchor::Middle,
            HPos::Right => Anchor::End,
        };
        self.svg
            .borrow_mut()
            .text("small", at.0.into(), f64::from(at.1) + 4.0, anchor, text);
        Ok(())
    }

    fn estimate_text_size<T: BackendTextStyle>(
        &self,
        text: &str,
        _: &T,
    ) -> Result<(u32, u32), DrawingErrorKind<Infallible>> {
        Ok((text_width(text) as u32, 13))
    }
}
