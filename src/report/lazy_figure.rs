//! Figures before they are drawn: what each is called and what it shows is known at once, its lines only when asked for.

use super::view::{FigureSlot, PlateGroup, Span};
use crate::chart::{Figure, FigureIds};
use crate::numerics::Deadline;
use rayon::prelude::*;

/// A figure that can be drawn.
pub struct LazyFigure<'a> {
    id: String,
    about: String,
    title: String,
    draw: Box<dyn Fn(&str) -> Figure + Send + Sync + 'a>,
}

impl<'a> LazyFigure<'a> {
    pub(super) fn new(
        ids: &mut FigureIds,
        (kind, about): (&str, &str),
        title: String,
        draw: impl Fn(&str) -> Figure + Send + Sync + 'a,
    ) -> Self {
        Self {
            id: ids.next(kind, about),
            about: about.to_owned(),
            title,
            draw: Box::new(draw),
        }
    }

    /// The figure's id.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.id
    }

    /// The name of the part, joint, board or panel that it shows.
    #[must_use]
    pub fn about(&self) -> &str {
        &self.about
    }

    /// The title over it.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Draws it. The same sketch gives the same bytes.
    #[must_use]
    pub fn draw(&self) -> Figure {
        (self.draw)(&self.id)
    }
}

/// Figures of one kind before they are drawn.
pub struct SketchGroup<'a> {
    /// What they show.
    pub heading: &'static str,
    /// How wide each stands.
    pub span: Span,
    /// The figures.
    pub sketches: Vec<LazyFigure<'a>>,
}

impl<'a> SketchGroup<'a> {
    /// A group; none where there is nothing to draw.
    pub(super) fn of(
        heading: &'static str,
        span: Span,
        sketches: Vec<LazyFigure<'a>>,
    ) -> Option<Self> {
        (!sketches.is_empty()).then_some(Self {
            heading,
            span,
            sketches,
        })
    }

    /// Draws them all; none after the deadline.
    pub(super) fn draw(&self, deadline: Deadline<'_>) -> PlateGroup {
        PlateGroup {
            heading: self.heading.to_owned(),
            plates: drawn(&self.sketches, deadline)
                .into_iter()
                .map(|figure| FigureSlot {
                    figure,
                    span: self.span,
                })
                .collect(),
        }
    }
}

/// Draws figures beside each other, in their order; none after the deadline.
pub(super) fn drawn(sketches: &[LazyFigure<'_>], deadline: Deadline<'_>) -> Vec<Figure> {
    sketches
        .par_iter()
        .filter(|_| !deadline.is_over())
        .map(LazyFigure::draw)
        .collect()
}
