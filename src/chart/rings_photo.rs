//! The rings that were read from a photo, drawn over it.

use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::Frame;
use super::sheet::{Point, Sheet, TextStyle};
use crate::rings::PhotoLines;

/// One reading's rings.
#[derive(Debug, Clone, PartialEq)]
pub struct PhotoRings {
    /// Lines in the photo's pixels.
    pub lines: PhotoLines,
    /// The pith in the photo's pixels, where it is near.
    pub pith: Option<[f64; 2]>,
    /// What the reading says, in a line.
    pub words: String,
}

/// A photo of a board's end with one or two readings of its rings.
#[derive(Debug, Clone, PartialEq)]
pub struct RingsPhotoFigure {
    /// What the photo is called.
    pub name: String,
    /// The photo itself as an address (`data:image/jpeg;base64,...`).
    pub picture: String,
    /// Pixels of the photo across and down.
    pub size: (f64, f64),
    /// The corners of the end in pixels.
    pub corners: [[f64; 2]; 4],
    /// The readings, the better first.
    pub readings: Vec<PhotoRings>,
}

const WIDTH: f64 = 760.0;
const SIDE: f64 = 16.0;
const HEAD: TextStyle = TextStyle::new(Ink::Letter, 13.5).bold();
const WORDS: TextStyle = TextStyle::new(Ink::Letter, 12.5);

impl RingsPhotoFigure {
    /// The figure with this id.
    #[must_use]
    pub fn draw(&self, id: &str) -> Figure {
        let scale = (WIDTH - 2.0 * SIDE) / self.size.0;
        let top = 36.0;
        let photo = Frame {
            left: SIDE,
            top,
            right: WIDTH - SIDE,
            bottom: top + scale * self.size.1,
        };
        let height = photo.bottom + 14.0 + 22.0 * self.readings.len() as f64 + 8.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let title = format!("Rings of {}", self.name);
        sheet.text(HEAD, &title, (SIDE, 23.0));
        sheet.picture(&self.picture, photo);
        // A pixel's center is at whole numbers, its edge half a pixel before.
        let place = |[x, y]: [f64; 2]| -> Point {
            (
                photo.left + scale * (x + 0.5),
                photo.top + scale * (y + 0.5),
            )
        };
        let corners = self.corners.map(place);
        sheet.ring(Ink::ArcEdge, &corners);
        sheet.ring(Ink::Arc, &corners);
        for (reading, ink) in self.readings.iter().zip([Ink::Arc, Ink::SecondArc]) {
            for line in &reading.lines {
                let points: Vec<Point> = line.iter().copied().map(place).collect();
                sheet.path(Ink::ArcEdge, &points);
                sheet.path(ink, &points);
            }
        }
        for (reading, ink) in self.readings.iter().zip([Ink::Arc, Ink::SecondArc]) {
            let Some(pith) = reading.pith.map(place) else {
                continue;
            };
            let on_photo = (photo.left..photo.right).contains(&pith.0)
                && (photo.top..photo.bottom).contains(&pith.1);
            if on_photo {
                for ink in [Ink::ArcEdge, ink] {
                    sheet.path(ink, &[(pith.0 - 7.0, pith.1), (pith.0 + 7.0, pith.1)]);
                    sheet.path(ink, &[(pith.0, pith.1 - 7.0), (pith.0, pith.1 + 7.0)]);
                }
            }
        }
        for (k, (reading, ink)) in self
            .readings
            .iter()
            .zip([Ink::Arc, Ink::SecondArc])
            .enumerate()
        {
            let y = photo.bottom + 26.0 + 22.0 * k as f64;
            for ink in [Ink::ArcEdge, ink] {
                sheet.path(ink, &[(SIDE, y - 4.0), (SIDE + 30.0, y - 4.0)]);
            }
            sheet.text(WORDS, &reading.words, (SIDE + 40.0, y));
        }
        let words: Vec<&str> = self
            .readings
            .iter()
            .map(|each| each.words.as_str())
            .collect();
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title,
                reading: "Do the lines follow the rings of the wood? If so the reading can be used; if not, correct the corners or enter the rings by hand.".to_owned(),
                description: format!(
                    "A photo of the board's end with its outline and the rings that were read drawn over it. {}",
                    words.join(". ")
                ),
            },
            sheet,
            NumberTable {
                heads: vec!["reading".to_owned(), "rings".to_owned()],
                rows: words
                    .iter()
                    .enumerate()
                    .map(|(k, words)| vec![(k + 1).to_string(), (*words).to_owned()])
                    .collect(),
            },
        )
    }
}
