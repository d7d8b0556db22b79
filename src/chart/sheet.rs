//! The sheet a figure is drawn on: pixels in, SVG elements out, through the plotting crate.

use super::backend::{SUB, SvgBackend};
use super::ink::Ink;
use super::layout::Frame;
use super::lettering::{escaped, text_width};
use super::simplify::needed;
use plotters::coord::Shift;
use plotters::coord::types::RangedCoordf64;
use plotters::drawing::{DrawingAreaErrorKind, IntoDrawingArea};
use plotters::prelude::{Cartesian2d, Circle, DrawingArea, PathElement, Polygon};
use plotters::style::{FontStyle, IntoFont};
use plotters_backend::text_anchor::{HPos, Pos, VPos};
use std::cell::RefCell;
use std::convert::Infallible;
use std::fmt::Write as _;
use std::ops::Range;
use std::rc::Rc;

/// A point in pixels: right, down.
pub(super) type Point = (f64, f64);

/// How a text is written.
#[derive(Debug, Clone, Copy)]
pub(super) struct TextStyle {
    ink: Ink,
    size: f64,
    bold: bool,
    across: HPosition,
    up: VPosition,
}

#[derive(Debug, Clone, Copy)]
enum HPosition {
    Left,
    Centre,
    Right,
}

#[derive(Debug, Clone, Copy)]
enum VPosition {
    Top,
    Middle,
    Base,
}

impl TextStyle {
    /// Starts at the left on the base line.
    pub(super) const fn new(ink: Ink, size: f64) -> Self {
        Self {
            ink,
            size,
            bold: false,
            across: HPosition::Left,
            up: VPosition::Base,
        }
    }

    pub(super) const fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    pub(super) const fn centred(self) -> Self {
        Self {
            across: HPosition::Centre,
            ..self
        }
    }

    pub(super) const fn right(self) -> Self {
        Self {
            across: HPosition::Right,
            ..self
        }
    }

    /// Hangs from its point.
    pub(super) const fn hanging(self) -> Self {
        Self {
            up: VPosition::Top,
            ..self
        }
    }

    /// Its point is at half the height of a capital.
    pub(super) const fn level(self) -> Self {
        Self {
            up: VPosition::Middle,
            ..self
        }
    }

    /// Width of a text in this hand.
    pub(super) fn width(self, text: &str) -> f64 {
        text_width(text, self.size, self.bold)
    }

    pub(super) const fn size(self) -> f64 {
        self.size
    }

    pub(super) const fn is_bold(self) -> bool {
        self.bold
    }
}

/// How far, in pixels, a curve drawn may pass by a point that was left out of it.
const LEFT_OUT: f64 = 0.1;

/// A sheet of paper.
pub(super) struct Sheet {
    out: Rc<RefCell<String>>,
    area: DrawingArea<SvgBackend, Shift>,
}

fn sub(point: Point) -> (i32, i32) {
    (
        (point.0 * SUB).round() as i32,
        (point.1 * SUB).round() as i32,
    )
}

/// The backend writes into memory and cannot fail, and never is it asked while it writes.
fn drawn(result: Result<(), DrawingAreaErrorKind<Infallible>>) {
    debug_assert!(result.is_ok(), "{result:?}");
}

impl Sheet {
    /// A sheet of so many pixels for the figure with this id.
    pub(super) fn new(id: &str, width: f64, height: f64) -> Self {
        let out = Rc::new(RefCell::new(String::new()));
        let size = (width.ceil().max(1.0) as u32, height.ceil().max(1.0) as u32);
        let backend = SvgBackend::new(size, &hatch_id(id), Rc::clone(&out));
        Self {
            out,
            area: backend.into_drawing_area(),
        }
    }

    /// A line through points.
    pub(super) fn path(&self, ink: Ink, points: &[Point]) {
        if points.len() > 1 {
            let path: Vec<_> = points.iter().copied().map(sub).collect();
            drawn(self.area.draw(&PathElement::new(path, ink.token())));
        }
    }

    /// A closed outline.
    pub(super) fn ring(&self, ink: Ink, corners: &[Point]) {
        let closed: Vec<Point> = corners.iter().chain(corners.first()).copied().collect();
        self.path(ink, &closed);
    }

    /// A filled shape.
    pub(super) fn shape(&self, ink: Ink, corners: &[Point]) {
        if corners.len() > 2 {
            let path: Vec<_> = corners.iter().copied().map(sub).collect();
            drawn(self.area.draw(&Polygon::new(path, ink.token())));
        }
    }

    /// A filled rectangle.
    pub(super) fn block(&self, ink: Ink, frame: Frame) {
        self.shape(
            ink,
            &[
                (frame.left, frame.top),
                (frame.right, frame.top),
                (frame.right, frame.bottom),
                (frame.left, frame.bottom),
            ],
        );
    }

    /// A filled circle.
    pub(super) fn dot(&self, ink: Ink, centre: Point, radius: f64) {
        use plotters::style::Color;
        drawn(self.area.draw(&Circle::new(
            sub(centre),
            (radius * SUB).round() as i32,
            ink.token().filled(),
        )));
    }

    /// A text at a point.
    pub(super) fn text(&self, hand: TextStyle, text: &str, at: Point) {
        let across = match hand.across {
            HPosition::Left => HPos::Left,
            HPosition::Centre => HPos::Center,
            HPosition::Right => HPos::Right,
        };
        let up = match hand.up {
            VPosition::Top => VPos::Top,
            VPosition::Middle => VPos::Center,
            VPosition::Base => VPos::Bottom,
        };
        let font = ("sans-serif", hand.size * SUB).into_font();
        let font = if hand.bold {
            font.style(FontStyle::Bold)
        } else {
            font
        };
        let style = plotters::style::TextStyle::from(font)
            .color(&hand.ink)
            .pos(Pos::new(across, up));
        drawn(self.area.draw_text(text, &style, sub(at)));
    }

    /// A small triangle: up-pointing for the wettest, down-pointing for the driest.
    pub(super) fn triangle(&self, ink: Ink, at: Point, points_up: bool) {
        let rise = if points_up { -1.0 } else { 1.0 };
        self.shape(
            ink,
            &[
                (at.0, at.1 + 5.0 * rise),
                (at.0 - 4.5, at.1 - 3.5 * rise),
                (at.0 + 4.5, at.1 - 3.5 * rise),
            ],
        );
    }

    /// An arrow with its head at `to`.
    pub(super) fn arrow(&self, from: Point, to: Point) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = libm::hypot(dx, dy).max(1e-9);
        let (ux, uy) = (dx / length, dy / length);
        let head = length.min(8.0);
        let neck = (to.0 - head * ux, to.1 - head * uy);
        self.path(Ink::Dimension, &[from, neck]);
        let half = head * 0.4;
        self.shape(
            Ink::Arrow,
            &[
                to,
                (neck.0 - half * uy, neck.1 + half * ux),
                (neck.0 + half * uy, neck.1 - half * ux),
            ],
        );
    }

    /// A picture that stands in its own address, stretched over a frame.
    pub(super) fn picture(&self, address: &str, frame: Frame) {
        let mut out = self.out.borrow_mut();
        let _never_fails = write!(
            out,
            "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\" href=\"{}\"/>",
            frame.left,
            frame.top,
            frame.width(),
            frame.height(),
            escaped(address)
        );
    }

    /// Opens a group that carries classes; every group is closed with [`Sheet::close`].
    pub(super) fn open(&self, class: &str) {
        let mut out = self.out.borrow_mut();
        out.push_str("<g class=\"");
        out.push_str(class);
        out.push_str("\">");
    }

    /// Closes the group opened last.
    pub(super) fn close(&self) {
        self.out.borrow_mut().push_str("</g>");
    }

    /// A plot of two scales in a frame.
    pub(super) fn plot(&self, frame: Frame, x: Range<f64>, y: Range<f64>) -> Plot {
        let (left_top, right_bottom) = (
            sub((frame.left, frame.top)),
            sub((frame.right, frame.bottom)),
        );
        let coordinates = Cartesian2d::<RangedCoordf64, RangedCoordf64>::new(
            x.clone(),
            y.clone(),
            (left_top.0..right_bottom.0, right_bottom.1..left_top.1),
        );
        Plot {
            area: self.area.apply_coord_spec(coordinates),
            frame,
            x,
            y,
        }
    }

    /// The elements drawn.
    pub(super) fn finish(self) -> String {
        drop(self.area);
        self.out.take()
    }
}

/// The id of a figure's hatching.
pub(super) fn hatch_id(id: &str) -> String {
    format!("{id}-hatch")
}

/// A plot on a sheet: data in, pixels underneath.
pub(super) struct Plot {
    area: DrawingArea<SvgBackend, Cartesian2d<RangedCoordf64, RangedCoordf64>>,
    pub(super) frame: Frame,
    x: Range<f64>,
    y: Range<f64>,
}

impl Plot {
    /// Where a value lies, in pixels.
    pub(super) fn px(&self, x: f64, y: f64) -> Point {
        (
            self.frame.left + (x - self.x.start) / (self.x.end - self.x.start) * self.frame.width(),
            self.frame.bottom
                - (y - self.y.start) / (self.y.end - self.y.start) * self.frame.height(),
        )
    }

    /// A curve through data points; points that lie within a tenth of a pixel of the line without
    /// them are left out.
    pub(super) fn curve(&self, ink: Ink, points: &[(f64, f64)]) {
        for run in finite_runs(points) {
            let kept = self.simplified(run);
            if kept.len() > 1 {
                drawn(self.area.draw(&PathElement::new(kept, ink.token())));
            }
        }
    }

    /// The area between two curves over the same places.
    pub(super) fn band(&self, ink: Ink, low: &[(f64, f64)], high: &[(f64, f64)]) {
        let pairs: Vec<_> = low
            .iter()
            .zip(high)
            .filter(|(l, h)| l.1.is_finite() && h.1.is_finite())
            .collect();
        let lower: Vec<_> = pairs.iter().map(|(l, _)| **l).collect();
        let upper: Vec<_> = pairs.iter().map(|(_, h)| **h).collect();
        let mut outline = self.simplified(&lower);
        outline.extend(self.simplified(&upper).into_iter().rev());
        if outline.len() > 2 {
            drawn(self.area.draw(&Polygon::new(outline, ink.token())));
        }
    }

    fn simplified(&self, points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        let pixels: Vec<Point> = points.iter().map(|p| self.px(p.0, p.1)).collect();
        let keep = needed(&pixels, LEFT_OUT);
        points
            .iter()
            .zip(keep)
            .filter_map(|(p, k)| k.then_some(*p))
            .collect()
    }
}

fn finite_runs(points: &[(f64, f64)]) -> impl Iterator<Item = &[(f64, f64)]> {
    points
        .split(|p| !(p.0.is_finite() && p.1.is_finite()))
        .filter(|run| !run.is_empty())
}
