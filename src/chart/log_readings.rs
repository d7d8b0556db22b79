//! What was measured on the way: each reading beside what was expected of it and what the log now says.

use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::Frame;
use super::lettering::fitted;
use super::sheet::{Sheet, TextStyle};
use crate::chance::Band;

/// One reading.
#[derive(Debug, Clone, PartialEq)]
pub struct LogRow {
    /// Its day: `20 Oct 2026`.
    pub day: String,
    /// What was measured: `drawer side, width`.
    pub name: String,
    /// What was read.
    pub read: f64,
    /// What was expected before anything was logged.
    pub expected: Band,
    /// What the log says now.
    pub known: Band,
    /// The reading with its unit.
    pub read_words: String,
    /// What was expected in words: `209.1 mm within 1.4 mm`.
    pub expected_words: String,
    /// What is now known, in the same words.
    pub known_words: String,
    /// Whether it is left out.
    pub doubted: bool,
}

/// The readings of a log, each on a scale of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct LogFigure {
    /// The readings by day.
    pub rows: Vec<LogRow>,
    /// How many earlier ones are not drawn.
    pub earlier: usize,
}

const WIDTH: f64 = 700.0;
const HEAD: f64 = 34.0;
const ROW: f64 = 38.0;
/// Left and right end of the scales.
const SCALE: (f64, f64) = (196.0, 410.0);
/// Widest name.
const WIDEST: f64 = 176.0;

const NOTE: TextStyle = TextStyle::new(Ink::Note, 11.5);
const NAME: TextStyle = TextStyle::new(Ink::Letter, 12.5);

fn corners(frame: Frame) -> [(f64, f64); 4] {
    [
        (frame.left, frame.top),
        (frame.right, frame.top),
        (frame.right, frame.bottom),
        (frame.left, frame.bottom),
    ]
}

impl LogFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        "What was measured, and what is now known".to_owned()
    }

    /// Draws the figure under an id from [`super::FigureIds`].
    #[must_use]
    pub fn draw(&self, id: &str) -> Figure {
        let height = HEAD + ROW * self.rows.len().max(1) as f64 + 8.0;
        let sheet = Sheet::new(id, WIDTH, height);
        self.legend(&sheet);
        for (index, row) in self.rows.iter().enumerate() {
            draw_row(&sheet, row, HEAD + ROW * (index as f64 + 0.5));
        }
        let rows = self
            .rows
            .iter()
            .map(|row| {
                let doubted = if row.doubted { "doubted" } else { "" };
                vec![
                    row.day.clone(),
                    row.name.clone(),
                    row.read_words.clone(),
                    row.expected_words.clone(),
                    row.known_words.clone(),
                    doubted.to_owned(),
                ]
            })
            .collect();
        let earlier = match self.earlier {
            0 => String::new(),
            1 => " One earlier reading is not drawn.".to_owned(),
            count => format!(" {count} earlier readings are not drawn."),
        };
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "The wide dashed frame is what was expected before anything was logged, the bar inside what the log now says of the same, the dot what was read; each line has its own scale, nine draws in ten lie inside.{earlier}"
                ),
                description: format!(
                    "{} readings beside what was expected of them and what is known after all of them.",
                    self.rows.len()
                ),
            },
            sheet,
            NumberTable {
                heads: ["day", "what", "read", "expected", "known now", ""]
                    .map(str::to_owned)
                    .to_vec(),
                rows,
            },
        )
    }

    fn legend(&self, sheet: &Sheet) {
        let middle = 15.0;
        let box_at = |left: f64, half: f64| Frame {
            left,
            top: middle - half,
            right: left + 30.0,
            bottom: middle + half,
        };
        let left = 8.0;
        sheet.ring(Ink::Ghost, &corners(box_at(left, 8.0)));
        sheet.text(NOTE.level(), "expected", (left + 37.0, middle));
        let bar = box_at(left + 108.0, 4.0);
        sheet.block(Ink::Band, bar);
        sheet.ring(Ink::Curve, &corners(bar));
        sheet.text(NOTE.level(), "known now", (left + 145.0, middle));
        sheet.dot(Ink::TodayMark, (left + 230.0, middle), 4.0);
        sheet.text(NOTE.level(), "read", (left + 241.0, middle));
    }
}

fn draw_row(sheet: &Sheet, row: &LogRow, middle: f64) {
    let mut ends = vec![
        row.expected.low,
        row.expected.high,
        row.known.low,
        row.known.high,
    ];
    if !row.doubted {
        ends.push(row.read);
    }
    let low = ends.iter().copied().fold(f64::INFINITY, f64::min);
    let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let reach = (high - low).max(1e-9);
    let x = |value: f64| {
        let share = ((value - low) / reach).clamp(-0.06, 1.06);
        SCALE.0 + (SCALE.1 - SCALE.0) * (0.07 + 0.86 * share)
    };
    let bar = |band: &Band, half: f64| Frame {
        left: x(band.low),
        top: middle - half,
        right: x(band.high).max(x(band.low) + 1.5),
        bottom: middle + half,
    };
    sheet.path(Ink::Grid, &[(SCALE.0, middle), (SCALE.1, middle)]);
    sheet.ring(Ink::Ghost, &corners(bar(&row.expected, 11.0)));
    let known = bar(&row.known, 5.0);
    sheet.block(Ink::Band, known);
    sheet.ring(Ink::Curve, &corners(known));
    let mark = if row.doubted {
        Ink::FaultMark
    } else {
        Ink::TodayMark
    };
    sheet.dot(mark, (x(row.read), middle), 4.0);
    let name = fitted(&row.name, NAME.size(), false, WIDEST);
    sheet.text(NAME.level(), &name, (8.0, middle - 7.0));
    sheet.text(NOTE.level(), &row.day, (8.0, middle + 8.0));
    let right = SCALE.1 + 14.0;
    let fit =
        |words: &str, style: TextStyle| fitted(words, style.size(), false, WIDTH - right - 6.0);
    if row.doubted {
        let fault = TextStyle::new(Ink::FaultLetter, 12.5);
        let words = fit(&format!("{}: doubted", row.read_words), fault);
        sheet.text(fault.level(), &words, (right, middle - 7.0));
        let words = fit(&format!("expected {}", row.expected_words), NOTE);
        sheet.text(NOTE.level(), &words, (right, middle + 8.0));
    } else {
        let words = fit(&format!("read {}", row.read_words), NAME);
        sheet.text(NAME.level(), &words, (right, middle - 7.0));
        let words = fit(&format!("now {}", row.known_words), NOTE);
        sheet.text(NOTE.level(), &words, (right, middle + 8.0));
    }
}
