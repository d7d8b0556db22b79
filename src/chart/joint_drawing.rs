//! A joint in one picture: opening, part, the gaps between them and where they are held.

use super::along::{NOTE, TEXT, WIDTH};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::joint_schemes::{Pen, Scene};
use super::sheet::{Sheet, TextStyle};
use super::words::length;
use crate::joint::{Hold, Scheme};
use crate::units::notation::shown;
use crate::units::{Length, UnitSystem};

/// Most gaps that get a letter and a line of their own.
const MOST_GAPS: usize = 8;
/// Where the lines under the picture begin.
const LINES_FROM: f64 = 222.0;
const LINE: f64 = 18.0;

/// One gap of a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct JointGap {
    /// What it is: `clearance of the shelf in the dado`.
    pub words: String,
    /// Its minimum of the year.
    pub min: Length,
    /// Its maximum of the year.
    pub max: Length,
}

/// A joint as it is drawn: not to scale, its gaps larger than life.
#[derive(Debug, Clone, PartialEq)]
pub struct JointFigure {
    /// The joint.
    pub joint: String,
    /// The part that makes room or holds, and how dark its wood is drawn.
    pub into: (String, WoodTone),
    /// The part that fills it or moves.
    pub piece: (String, WoodTone),
    /// The arrangement.
    pub scheme: Scheme,
    /// Where the part is held.
    pub hold: Hold,
    /// The gaps, in the order of the joint's fits.
    pub gaps: Vec<JointGap>,
    /// What is said of its glue.
    pub glue: Option<String>,
}

impl JointFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("{}: how it goes together", self.joint)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let drawn = &self.gaps[..self.gaps.len().min(MOST_GAPS)];
        let given: Vec<Vec<String>> = drawn
            .iter()
            .map(|gap| wrapped(&line(gap, system), WIDTH - 56.0))
            .collect();
        let glue = self
            .glue
            .as_deref()
            .map_or_else(Vec::new, |glue| wrapped(glue, WIDTH - 36.0));
        let lines = given.iter().map(Vec::len).sum::<usize>() + glue.len() + 1;
        let height = LINES_FROM + LINE * lines as f64 + 4.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let pen = Pen {
            sheet: &sheet,
            into: self.into.1,
            piece: self.piece.1,
        };
        let scene = Scene::of(&self.scheme, self.hold, drawn.len());
        scene.draw(&pen, [&self.into.0, &self.piece.0], drawn.len());
        sheet.text(NOTE, self.hold.words(), (20.0, 16.0));
        let mut y = LINES_FROM;
        for (index, words) in given.iter().enumerate() {
            sheet.text(
                TextStyle::new(Ink::TodayLetter, 12.5).bold(),
                &letter(index),
                (20.0, y),
            );
            for words in words {
                sheet.text(TEXT, words, (40.0, y));
                y += LINE;
            }
        }
        for words in &glue {
            sheet.text(TEXT, words, (20.0, y));
            y += LINE;
        }
        sheet.text(NOTE, "Not to scale; gaps drawn larger.", (20.0, y));
        let described: Vec<String> = drawn.iter().map(|gap| line(gap, system)).collect();
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "{} and {}; the letters stand at the gaps whose minimum and maximum of the year are given below.",
                    self.into.0, self.piece.0
                ),
                description: format!(
                    "{} and {}, {}. {}",
                    self.into.0,
                    self.piece.0,
                    self.hold.words(),
                    described.join(". ")
                ),
            },
            sheet,
            NumberTable {
                heads: ["Gap", "Minimum", "Maximum"].map(str::to_owned).to_vec(),
                rows: self
                    .gaps
                    .iter()
                    .map(|gap| {
                        vec![
                            gap.words.clone(),
                            shown(gap.min, system),
                            shown(gap.max, system),
                        ]
                    })
                    .collect(),
            },
        )
    }
}

/// The letter of a gap.
pub(super) fn letter(index: usize) -> String {
    char::from(b'A' + (index % 26) as u8).to_string()
}

fn line(gap: &JointGap, system: UnitSystem) -> String {
    let (min, max) = (length(gap.min, system), length(gap.max, system));
    if min == max {
        format!("{}: {min}", gap.words)
    } else {
        format!("{}: {min} to {max}", gap.words)
    }
}

/// A text in lines no wider than `room` pixels.
fn wrapped(text: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if TEXT.width(line) + TEXT.width(" ") + TEXT.width(word) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
