//! The test strip: two halves put back together, and what to measure.

use super::along::{
    Along, LEFT, NOTE, RIGHT, TEXT, WIDTH, arc, fresh_face, strip, times_words, traced,
};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::sheet::{Point, Sheet};
use super::words::length;
use crate::units::notation::shown;
use crate::units::{Length, UnitSystem};

/// A strip resawn in two, its halves laid together fresh face to fresh face.
#[derive(Debug, Clone, PartialEq)]
pub struct StripFigure {
    /// The board it comes from.
    pub board: String,
    /// How dark its wood is drawn.
    pub tone: WoodTone,
    /// Its length.
    pub length: Length,
    /// Thickness of one half.
    pub half: Length,
    /// The gap: positive in the middle (ends touch), negative at the ends (middles touch).
    pub gap: Length,
}

impl StripFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("Test strip of {}", self.board)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let along = Along::of(self.length);
        let times = along.times(self.gap.mm() / 2.0, 22.0);
        let per = times * along.per_mm;
        let thick = along.thick(self.half);
        let gap = self.gap.mm() * per;
        let height = 190.0;
        let middle = 78.0;
        let sheet = Sheet::new(id, WIDTH, height);
        // Each half bends by half the gap; the faces touch at the ends or in the middle.
        let face = |side: f64| -> Vec<Point> {
            traced(LEFT, RIGHT, |s| {
                let open = if gap >= 0.0 {
                    gap * arc(s)
                } else {
                    -gap * (1.0 - arc(s))
                };
                middle + side * open / 2.0
            })
        };
        sheet.open("hs-strip");
        for side in [-1.0, 1.0] {
            let fresh = face(side);
            let line: Vec<Point> = fresh
                .iter()
                .map(|p| (p.0, p.1 + side * thick / 2.0))
                .collect();
            strip(&sheet, self.tone, &line, thick);
            fresh_face(&sheet, &fresh, -side);
        }
        sheet.close();
        let words = if self.gap.mm().abs() < 0.005 {
            "no gap: the strip is free of stress".to_owned()
        } else if gap > 0.0 {
            format!("gap in the middle {}", shown(self.gap, system))
        } else {
            format!(
                "gap at the ends, together {}",
                shown(self.gap.abs(), system)
            )
        };
        if gap > 0.0 {
            let x = WIDTH / 2.0;
            sheet.path(
                Ink::Dimension,
                &[(x, middle - gap / 2.0), (x, middle + gap / 2.0)],
            );
        }
        sheet.text(TEXT.centred(), &words, (WIDTH / 2.0, 22.0));
        along.ruler(&sheet, height - 48.0, self.length, system);
        sheet.text(NOTE, &times_words(times), (LEFT, height - 8.0));
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: "The halves are laid together with their sawn faces, the toothed ones, inward; measure the gap between them and the length it spans.".to_owned(),
                description: format!("A strip {} long: {words}.", length(self.length, system)),
            },
            sheet,
            NumberTable {
                heads: ["Strip", "Length", "Half\u{2019}s thickness", "Gap"].map(str::to_owned).to_vec(),
                rows: vec![vec![
                    self.board.clone(),
                    length(self.length, system),
                    length(self.half, system),
                    length(self.gap, system),
                ]],
            },
        )
    }
}
