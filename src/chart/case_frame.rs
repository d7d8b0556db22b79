//! The case as one frame, from the front: its boards as they lie free and as they hold one another, with the forces at its joints.

use super::along::{LEFT, NOTE, strip, times_words};
use super::callouts::{Callout, Callouts};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::{Frame, Layout};
use super::lettering::fitted;
use super::sheet::{Point, Sheet, TextStyle};
use crate::chance::Verdict;
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
    /// The verdict.
    pub verdict: Verdict,
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
/// Width that the case takes at most, pixels.
const MOST_WIDTH: f64 = 420.0;
/// Room over the case.
const OVER: f64 = 40.0;
/// Height of one row of the list of joints.
const ROW: f64 = 17.0;
/// Half of a joint's mark.
const MARK: f64 = 5.0;
const HAND: TextStyle = TextStyle::new(Ink::Letter, 12.0);

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
        let scale = (MOST_WIDTH / wide).min(MOST_HEIGHT / tall);
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
        let mut names = Callouts::new(self.names(system));
        let margin = names.column_width().max(LEFT);
        let width = 2.0 * margin + wide * scale;
        let case_height = (tall * scale).max(names.height());
        let listed = self.joints.len().div_ceil(2) as f64 * ROW;
        let list_top = OVER + case_height + 34.0;
        let height = list_top + listed + 30.0;
        let sheet = Sheet::new(id, width, height);
        let base = OVER + f64::midpoint(case_height, tall * scale);
        let put =
            |x: f64, y: f64| -> Point { (margin + (x - left) * scale, base - (y - low) * scale) };
        names.place(margin, width - margin, OVER, case_height, |(x, y)| {
            put(x, y)
        });
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
        names.draw(&sheet);
        self.mark_joints(&sheet, put);
        self.list_joints(&sheet, (list_top, width), system);
        sheet.text(NOTE, &times_words(times), (LEFT, height - 8.0));
        Figure::new(
            id,
            (width, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "Dashes are the boards as they lie free, wood is the case held; beside each board what is left of its bow; the force and moment of each joint are listed by its number; {}.",
                    times_words(times)
                ),
                description: self.described(system),
            },
            sheet,
            self.table(system),
        )
    }

    /// Each board with what is left of its bow, at a quarter of its length, where other boards seldom end.
    fn names(&self, system: UnitSystem) -> Vec<Callout> {
        self.boards
            .iter()
            .map(|board| {
                let turn = if board.turn_over { ", turn over" } else { "" };
                let words = format!("{}: {}{turn}", board.name, shown(board.residual, system));
                let at = |axis: usize| 0.75 * board.start[axis].mm() + 0.25 * board.end[axis].mm();
                Callout::new(&words, (at(0), at(1)), board.turn_over)
            })
            .collect()
    }

    /// A mark and a number at each joint.
    fn mark_joints(&self, sheet: &Sheet, put: impl Fn(f64, f64) -> Point) {
        let marks: Vec<Point> = self
            .joints
            .iter()
            .map(|joint| put(joint.at[0].mm(), joint.at[1].mm()))
            .collect();
        let all = Frame {
            left: 0.0,
            top: 0.0,
            right: f64::INFINITY,
            bottom: f64::INFINITY,
        };
        let mut layout = Layout::new(all);
        for &(x, y) in &marks {
            layout.take(Frame {
                left: x - MARK,
                top: y - MARK,
                right: x + MARK,
                bottom: y + MARK,
            });
        }
        for (index, (joint, at)) in self.joints.iter().zip(&marks).enumerate() {
            let ink = if joint.verdict == Verdict::Holds {
                Ink::TodayMark
            } else {
                Ink::FaultMark
            };
            sheet.ring(ink, &diamond(*at));
            let number = (index + 1).to_string();
            let frame = layout.place(*at, HAND.width(&number) + 2.0, HAND.size());
            let middle = f64::midpoint(frame.top, frame.bottom);
            sheet.text(HAND.level(), &number, (frame.left + 1.0, middle));
        }
    }

    /// The joints by their numbers, in two columns under the case.
    fn list_joints(&self, sheet: &Sheet, (top, width): (f64, f64), system: UnitSystem) {
        let rows = self.joints.len().div_ceil(2);
        let column = (width - 2.0 * LEFT) / 2.0;
        for (index, joint) in self.joints.iter().enumerate() {
            let verdict = match joint.verdict {
                Verdict::Holds => String::new(),
                other => format!(", {}", other.word()),
            };
            let number = format!("{}  ", index + 1);
            let found = format!(
                ": {}, {:.0} N m{verdict}",
                force_shown(joint.force, system),
                joint.moment_n_m.abs(),
            );
            // Only the name gives way where there is too little room.
            let room = column - 12.0 - HAND.width(&number) - HAND.width(&found);
            let name = fitted(&joint.name, HAND.size(), false, room);
            let at = (
                LEFT + column * (index / rows.max(1)) as f64,
                top + ROW * (index % rows.max(1)) as f64,
            );
            sheet.text(HAND, &format!("{number}{name}{found}"), at);
        }
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
                        joint.verdict.word().to_owned(),
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
    let length = libm::hypot(dx, dy).max(1e-9);
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
    [(x, y - MARK), (x + MARK, y), (x, y + MARK), (x - MARK, y)]
}
