//! The case as one frame, from the front: its boards as they lie free and as they hold one another, with the forces at its joints.

use super::along::{LEFT, NOTE, RIGHT, TEXT, WIDTH, strip, times_words};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::sheet::{Point, Sheet, TextStyle};
use crate::units::notation::{force_shown, shown};
use crate::units::{Force, Length, UnitSystem};

/// One board of the frame on its center line.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameBoardView {
    /// Its name.
    pub name: String,
    /// Where it starts: to the right and up.
    pub start: [Length; 2],
    /// Where it ends.
    pub end: [Length; 2],
    /// Its thickness.
    pub thickness: Length,
    /// Place along it and height, free.
    pub free: Vec<[Length; 2]>,
    /// The same, held.
    pub held: Vec<[Length; 2]>,
    /// What is left of its bow, without sign.
    pub residual: Length,
    /// Whether it is better turned over.
    pub turn_over: bool,
}

/// One joint of the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameJointView {
    /// The board whose end it is, and the one it enters.
    pub name: String,
    /// Where it is.
    pub at: [Length; 2],
    /// The force between the two.
    pub force: Force,
    /// The moment between the two, N m.
    pub moment_n_m: f64,
    /// `holds`, `marginal` or `fails`.
    pub verdict: &'static str,
}

/// A case as one frame.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseFrameFigure {
    /// Its boards.
    pub boards: Vec<FrameBoardView>,
    /// Its joints.
    pub joints: Vec<FrameJointView>,
}

/// Height that the case takes at most, pixels.
const MOST_HEIGHT: f64 = 420.0;
/// Rows kept under the case for the words.
const UNDER: f64 = 34.0;
const OVER: f64 = 40.0;
/// Room beside the case for the words at its right side.
const BESIDE: f64 = 120.0;

impl CaseFrameFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        "The boards of the case hold one another straight".to_owned()
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let ends = || {
            self.boards
                .iter()
                .flat_map(|board| [board.start, board.end])
        };
        let reach = |axis: usize| {
            ends()
                .map(|end| end[axis].mm())
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
                    (low.min(at), high.max(at))
                })
        };
        let ((left, right), (low, high)) = (reach(0), reach(1));
        let wide = (right - left).max(1.0);
        let tall = (high - low).max(1.0);
        let scale = ((RIGHT - LEFT - 2.0 * BESIDE) / wide).min(MOST_HEIGHT / tall);
        let largest = self
            .boards
            .iter()
            .flat_map(|board| board.free.iter().chain(&board.held))
            .map(|point| point[1].mm().abs())
            .fold(0.0, f64::max);
        // The largest bow is drawn some twenty pixels high.
        let times = if largest > 0.0 {
            (20.0 / (largest * scale)).clamp(1.0, 400.0).floor()
        } else {
            1.0
        };
        let height = OVER + tall * scale + UNDER + 26.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let x0 = (WIDTH - wide * scale) / 2.0;
        let put =
            |x: f64, y: f64| -> Point { (x0 + (x - left) * scale, OVER + (high - y) * scale) };
        for board in &self.boards {
            sheet.open("hs-free");
            sheet.path(Ink::Ghost, &line(board, &board.free, times, put));
            sheet.close();
        }
        for board in &self.boards {
            sheet.open("hs-held");
            let thick = (board.thickness.mm() * scale).max(3.0);
            strip(
                &sheet,
                WoodTone::Tan,
                &line(board, &board.held, times, put),
                thick,
            );
            sheet.close();
        }
        for board in &self.boards {
            let middle = |from: Length, to: Length| 0.5 * (from.mm() + to.mm());
            let at = put(
                middle(board.start[0], board.end[0]),
                middle(board.start[1], board.end[1]),
            );
            let words = if board.turn_over {
                format!(
                    "{}: {}, turn over",
                    board.name,
                    shown(board.residual, system)
                )
            } else {
                format!("{}: {}", board.name, shown(board.residual, system))
            };
            let upright = (board.start[0] - board.end[0]).abs().mm() < 0.5;
            if upright {
                let ink = TextStyle::new(Ink::Note, 11.0);
                sheet.text(ink, &words, (at.0 + 8.0, at.1));
            } else {
                // Beside the middle, where uprights often are, and clear of the dashes of its bow.
                let clear = board
                    .free
                    .iter()
                    .chain(&board.held)
                    .map(|point| point[1].mm() * times * scale)
                    .fold(0.0, f64::max);
                let quarter = at.0 - 0.25 * (board.end[0] - board.start[0]).mm().abs() * scale;
                sheet.text(TEXT.centred(), &words, (quarter, at.1 - 9.0 - clear));
            }
        }
        for joint in &self.joints {
            let at = put(joint.at[0].mm(), joint.at[1].mm());
            let ink = if joint.verdict == "holds" {
                Ink::TodayMark
            } else {
                Ink::FaultMark
            };
            sheet.ring(ink, &diamond(at));
            let hand = TextStyle::new(Ink::Letter, 10.5);
            let words = format!(
                "{}, {:.0} N m{}",
                force_shown(joint.force, system),
                joint.moment_n_m.abs(),
                if joint.verdict == "holds" {
                    String::new()
                } else {
                    format!(", {}", joint.verdict)
                }
            );
            sheet.text(hand, &words, (at.0 + 7.0, at.1 + 15.0));
        }
        sheet.text(NOTE, &times_words(times), (LEFT, height - 8.0));
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "Dashes are the boards as they lie free, wood is the case held; beside each board what is left of its bow, at each joint its force and moment; {}.",
                    times_words(times)
                ),
                description: self.described(system),
            },
            sheet,
            self.table(system),
        )
    }

    fn described(&self, system: UnitSystem) -> String {
        let words: Vec<String> = self
            .boards
            .iter()
            .map(|board| format!("{} keeps {}", board.name, shown(board.residual, system)))
            .collect();
        format!("{}.", words.join("; "))
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        NumberTable {
            heads: ["Joint", "Force", "Moment", "Verdict"]
                .map(str::to_owned)
                .to_vec(),
            rows: self
                .joints
                .iter()
                .map(|joint| {
                    vec![
                        joint.name.clone(),
                        force_shown(joint.force, system),
                        format!("{:.1} N m", joint.moment_n_m.abs()),
                        joint.verdict.to_owned(),
                    ]
                })
                .collect(),
        }
    }
}

/// A board's line with its heights enlarged, on the paper.
fn line(
    board: &FrameBoardView,
    heights: &[[Length; 2]],
    times: f64,
    put: impl Fn(f64, f64) -> Point,
) -> Vec<Point> {
    let (dx, dy) = (
        (board.end[0] - board.start[0]).mm(),
        (board.end[1] - board.start[1]).mm(),
    );
    let length = dx.hypot(dy).max(1e-9);
    let (c, s) = (dx / length, dy / length);
    heights
        .iter()
        .map(|[at, up]| {
            let (at, up) = (at.mm(), up.mm() * times);
            put(
                board.start[0].mm() + c * at - s * up,
                board.start[1].mm() + s * at + c * up,
            )
        })
        .collect()
}

fn diamond((x, y): Point) -> [Point; 4] {
    [(x, y - 5.0), (x + 5.0, y), (x, y + 5.0), (x - 5.0, y)]
}
