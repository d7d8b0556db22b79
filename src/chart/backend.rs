//! The drawing backend: what the plotting crate draws becomes SVG text.
//!
//! A pixel has ten sub-pixels, so that whole-number coordinates are fine
//! enough and short to write; a colour token becomes a class; text is measured with Helvetica's
//! widths and its fractions are set as fractions.

use super::ink::Ink;
use super::lettering::{FRACTION_RISE, FRACTION_SIZE, Run, escaped, set_fractions, text_width};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
    FontStyle, FontTransform,
    text_anchor::{HPos, VPos},
};
use std::cell::RefCell;
use std::convert::Infallible;
use std::fmt::Write;
use std::rc::Rc;

/// Sub-pixels to a pixel.
pub(super) const SUB: f64 = 10.0;

type Drawn = Result<(), DrawingErrorKind<Infallible>>;

/// Writes SVG elements into a text shared with the sheet it draws on.
pub(super) struct SvgBackend {
    size: (u32, u32),
    hatch: String,
    out: Rc<RefCell<String>>,
}

impl SvgBackend {
    /// A backend for a sheet of so many pixels; `hatch` is the id of the figure's hatching.
    pub(super) fn new(size: (u32, u32), hatch: &str, out: Rc<RefCell<String>>) -> Self {
        Self {
            size: (size.0 * SUB as u32, size.1 * SUB as u32),
            hatch: hatch.to_owned(),
            out,
        }
    }

    fn write(&self, element: std::fmt::Arguments<'_>) -> Drawn {
        // Writing into a String cannot fail.
        let _ = self.out.borrow_mut().write_fmt(element);
        Ok(())
    }

    fn class(&self, colour: BackendColor) -> String {
        let ink = Ink::of_token(colour);
        if ink.is_hatch() {
            format!("class=\"{}\" fill=\"url(#{})\"", ink.class(), self.hatch)
        } else {
            format!("class=\"{}\"", ink.class())
        }
    }

    fn points(path: impl IntoIterator<Item = BackendCoord>) -> String {
        let mut text = String::new();
        for (x, y) in path {
            if !text.is_empty() {
                text.push(' ');
            }
            let _ = write!(text, "{},{}", px(x), px(y));
        }
        text
    }
}

/// Sub-pixels to pixels.
fn px(sub: i32) -> f64 {
    f64::from(sub) / SUB
}

impl DrawingBackend for SvgBackend {
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

    fn draw_pixel(&mut self, point: BackendCoord, colour: BackendColor) -> Drawn {
        let side = 1.0 / SUB;
        self.write(format_args!(
            "<rect {} x=\"{}\" y=\"{}\" width=\"{side}\" height=\"{side}\"/>",
            self.class(colour),
            px(point.0),
            px(point.1)
        ))
    }

    fn draw_line<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
    ) -> Drawn {
        self.write(format_args!(
            "<line {} x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"/>",
            self.class(style.color()),
            px(from.0),
            px(from.1),
            px(to.0),
            px(to.1)
        ))
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        upper_left: BackendCoord,
        bottom_right: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let (x0, x1) = (
            upper_left.0.min(bottom_right.0),
            upper_left.0.max(bottom_right.0),
        );
        let (y0, y1) = (
            upper_left.1.min(bottom_right.1),
            upper_left.1.max(bottom_right.1),
        );
        let hollow = if fill { "" } else { " fill-opacity=\"0\"" };
        self.write(format_args!(
            "<rect {} x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{hollow}/>",
            self.class(style.color()),
            px(x0),
            px(y0),
            px(x1 - x0),
            px(y1 - y0)
        ))
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        self.write(format_args!(
            "<polyline {} points=\"{}\"/>",
            self.class(style.color()),
            Self::points(path)
        ))
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        centre: BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let hollow = if fill { "" } else { " fill-opacity=\"0\"" };
        self.write(format_args!(
            "<circle {} cx=\"{}\" cy=\"{}\" r=\"{}\"{hollow}/>",
            self.class(style.color()),
            px(centre.0),
            px(centre.1),
            f64::from(radius) / SUB
        ))
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        corners: I,
        style: &S,
    ) -> Drawn {
        self.write(format_args!(
            "<polygon {} points=\"{}\"/>",
            self.class(style.color()),
            Self::points(corners)
        ))
    }

    fn draw_text<S: BackendTextStyle>(&mut self, text: &str, style: &S, at: BackendCoord) -> Drawn {
        if text.trim().is_empty() {
            return Ok(());
        }
        let size = style.size() / SUB;
        let anchor = match style.anchor().h_pos {
            HPos::Left => "",
            HPos::Center => " text-anchor=\"middle\"",
            HPos::Right => " text-anchor=\"end\"",
        };
        // From the named edge of the line down to its base line: capitals are 0.72 of the size high.
        let drop = match style.anchor().v_pos {
            VPos::Top => 0.72 * size,
            VPos::Center => 0.36 * size,
            VPos::Bottom => 0.0,
        };
        let weight = if matches!(style.style(), FontStyle::Bold) {
            " font-weight=\"bold\""
        } else {
            ""
        };
        let (x, y) = (px(at.0), px(at.1));
        let (x, y, turn) = match style.transform() {
            FontTransform::None => (x, y + drop, String::new()),
            FontTransform::Rotate90 => (x, y, format!(" transform=\"rotate(90 {x} {y})\"")),
            FontTransform::Rotate180 => (x, y, format!(" transform=\"rotate(180 {x} {y})\"")),
            FontTransform::Rotate270 => (x, y, format!(" transform=\"rotate(270 {x} {y})\"")),
        };
        self.write(format_args!(
            "<text {} x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}{weight}{turn}>{}</text>",
            self.class(style.color()),
            rounded(x),
            rounded(y),
            rounded(size),
            set_text(text, size)
        ))
    }

    fn estimate_text_size<S: BackendTextStyle>(
        &self,
        text: &str,
        style: &S,
    ) -> Result<(u32, u32), DrawingErrorKind<Infallible>> {
        let bold = matches!(style.style(), FontStyle::Bold);
        Ok((
            text_width(text, style.size(), bold).ceil() as u32,
            style.size().ceil() as u32,
        ))
    }
}

fn rounded(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

fn set_text(text: &str, size: f64) -> String {
    let mut set = String::new();
    let small = rounded(size * FRACTION_SIZE);
    let rise = rounded(size * FRACTION_RISE);
    for run in set_fractions(text) {
        let _ = match run {
            Run::Plain(plain) => write!(set, "{}", escaped(&plain)),
            Run::Fraction(upper, lower) => write!(
                set,
                "<tspan font-size=\"{small}\" dy=\"-{rise}\">{upper}</tspan>\
                 <tspan dy=\"{rise}\">\u{2044}</tspan><tspan font-size=\"{small}\">{lower}</tspan>"
            ),
        };
    }
    set
}
