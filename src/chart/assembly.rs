//! One stage of the assembly: the bodies pulled apart along the directions in which they enter, with arrows.

use super::along::{NOTE, TEXT, WIDTH};
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::{Frame, Layout};
use super::sheet::{Point, Sheet, TextStyle};
use crate::piece::{BoxFace, Cuboid, SpaceAxis};

/// A part as its boxes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssemblyPartView {
    /// Its name.
    pub name: String,
    /// Its boxes.
    pub boxes: Vec<Cuboid>,
}

/// One move of a stage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssemblyMoveView {
    /// The parts that move.
    pub body: Vec<usize>,
    /// The parts they are set onto.
    pub into: Vec<usize>,
    /// Toward where they move.
    pub direction: BoxFace,
}

/// One stage of the assembly.
#[derive(Debug, Clone, PartialEq)]
pub struct AssemblyFigure {
    /// Its number, from 1.
    pub number: usize,
    /// The parts of the piece.
    pub parts: Vec<AssemblyPartView>,
    /// The moves of the stage, in their order.
    pub moves: Vec<AssemblyMoveView>,
    /// Minutes the glue takes.
    pub glue_minutes: f64,
    /// Minutes it stays open.
    pub open_minutes: f64,
}

/// Height of the drawing, pixels.
const TALL: f64 = 360.0;
/// How far front to back runs to the right and up, as a share of its length.
const OBLIQUE: (f64, f64) = (0.35, 0.25);
/// How far a body stands off, as a share of the piece's longest side.
const APART: f64 = 0.22;

impl AssemblyFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("Assembly, stage {}", self.number)
    }

    /// Draws the figure under an id from [`super::FigureIds`].
    #[must_use]
    pub fn draw(&self, id: &str) -> Figure {
        let shown: Vec<usize> = (0..self.parts.len())
            .filter(|part| {
                self.moves
                    .iter()
                    .any(|made| made.body.contains(part) || made.into.contains(part))
            })
            .collect();
        let longest = shown
            .iter()
            .flat_map(|part| &self.parts[*part].boxes)
            .flat_map(|one| SpaceAxis::ALL.map(|axis| one.size(axis).mm()))
            .fold(1.0, f64::max);
        let offsets = self.offsets(APART * longest);
        let corner = |part: usize, one: &Cuboid, at: [bool; 3]| {
            let mut point = [0.0; 3];
            for axis in SpaceAxis::ALL {
                let k = axis as usize;
                let own = if at[k] { one.high(axis) } else { one.low(axis) };
                point[k] = own.mm() + offsets[part][k];
            }
            (
                point[0] + OBLIQUE.0 * point[1],
                -(point[2] + OBLIQUE.1 * point[1]),
            )
        };
        let corners = |part: usize, one: &Cuboid| {
            [false, true]
                .map(|x| [false, true].map(|y| [false, true].map(|z| corner(part, one, [x, y, z]))))
        };
        let all: Vec<(f64, f64)> = shown
            .iter()
            .flat_map(|&part| self.parts[part].boxes.iter().map(move |one| (part, one)))
            .flat_map(|(part, one)| corners(part, one).into_iter().flatten().flatten())
            .collect();
        let fold = |value: fn(&(f64, f64)) -> f64| {
            all.iter()
                .map(value)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
                    (low.min(at), high.max(at))
                })
        };
        let ((left, right), (top, bottom)) = (fold(|p| p.0), fold(|p| p.1));
        let scale = ((WIDTH - 60.0) / (right - left).max(1.0)).min(TALL / (bottom - top).max(1.0));
        let height = 44.0 + (bottom - top).max(1.0) * scale + 34.0;
        let put = |(x, y): (f64, f64)| -> Point {
            let x0 = (WIDTH - (right - left) * scale) / 2.0;
            (x0 + (x - left) * scale, 44.0 + (y - top) * scale)
        };
        let sheet = Sheet::new(id, WIDTH, height);
        // From back to front, from below up: what is nearer is drawn later.
        let mut order: Vec<(usize, &Cuboid)> = shown
            .iter()
            .flat_map(|&part| self.parts[part].boxes.iter().map(move |one| (part, one)))
            .collect();
        order.sort_by(|(a, one), (b, other)| {
            let depth =
                |part: usize, one: &Cuboid| one.middle(SpaceAxis::Y).mm() + offsets[part][1];
            depth(*b, other)
                .total_cmp(&depth(*a, one))
                .then(one.low(SpaceAxis::Z).cmp(&other.low(SpaceAxis::Z)))
        });
        for (part, one) in &order {
            let c = corners(*part, one).map(|x| x.map(|y| y.map(put)));
            let moving = self.moves.iter().any(|made| made.body.contains(part));
            let wood = if moving { Ink::TanWood } else { Ink::PaleWood };
            let (l, r) = (c[0], c[1]);
            for face in [
                [l[0][0], r[0][0], r[0][1], l[0][1]],
                [l[0][1], r[0][1], r[1][1], l[1][1]],
                [r[0][0], r[1][0], r[1][1], r[0][1]],
            ] {
                sheet.shape(wood, &face);
                sheet.ring(Ink::Outline, &face);
            }
        }
        let mut layout = Layout::new(Frame {
            left: 0.0,
            top: 0.0,
            right: WIDTH,
            bottom: height,
        });
        let mut write = |style: TextStyle, words: &str, near: Point| {
            let frame = layout.place(near, style.width(words) + 4.0, style.size() + 2.0);
            let middle = f64::midpoint(frame.top, frame.bottom);
            sheet.text(style.level(), words, (frame.left + 2.0, middle));
        };
        for (number, made) in self.moves.iter().enumerate() {
            let Some(&part) = made.body.first() else {
                continue;
            };
            let Some(one) = self.parts[part].boxes.first() else {
                continue;
            };
            let c = corners(part, one);
            let from = (
                0.5 * (c[0][0][0].0 + c[1][1][1].0),
                0.5 * (c[0][0][0].1 + c[1][1][1].1),
            );
            let long = 0.6 * APART * longest;
            let way = step(made.direction);
            let to = (
                from.0 + long * (way[0] + OBLIQUE.0 * way[1]),
                from.1 - long * (way[2] + OBLIQUE.1 * way[1]),
            );
            let (from, to) = (put(from), put(to));
            sheet.arrow(from, to);
            write(TEXT.bold(), &format!("{}", number + 1), from);
        }
        for (part, one) in &order {
            let c = corners(*part, one);
            let middle = (
                0.5 * (c[0][0][0].0 + c[1][0][1].0),
                0.5 * (c[0][0][0].1 + c[1][0][1].1),
            );
            let at = put(middle);
            if self.parts[*part].boxes.first() == Some(one) {
                write(NOTE, &self.parts[*part].name, at);
            }
        }
        let minutes = format!(
            "{:.0} of {:.0} minutes open time",
            self.glue_minutes.ceil(),
            self.open_minutes
        );
        sheet.text(TEXT, &minutes, (30.0, height - 10.0));
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "Each arrow is one move, in the order of its number; darker wood moves. {minutes}."
                ),
                description: self.described(),
            },
            sheet,
            self.table(),
        )
    }

    /// How far each part stands off: bodies that move are drawn back along the way they come, later ones farther.
    fn offsets(&self, apart: f64) -> Vec<[f64; 3]> {
        let mut offsets = vec![[0.0; 3]; self.parts.len()];
        for made in &self.moves {
            let way = step(made.direction);
            // What was set onto the body before goes with it.
            for &part in &made.body {
                for (offset, way) in offsets[part].iter_mut().zip(way) {
                    *offset -= apart * way;
                }
            }
        }
        offsets
    }

    fn names(&self, parts: &[usize]) -> String {
        let names: Vec<&str> = parts
            .iter()
            .map(|part| self.parts[*part].name.as_str())
            .collect();
        names.join(", ")
    }

    fn described(&self) -> String {
        let words: Vec<String> = self
            .moves
            .iter()
            .map(|made| {
                format!(
                    "{} onto {}, toward the {}",
                    self.names(&made.body),
                    self.names(&made.into),
                    made.direction.word()
                )
            })
            .collect();
        format!("{}.", words.join("; "))
    }

    fn table(&self) -> NumberTable {
        NumberTable {
            heads: ["Move", "Body", "Onto", "Toward the"]
                .map(str::to_owned)
                .to_vec(),
            rows: self
                .moves
                .iter()
                .enumerate()
                .map(|(number, made)| {
                    vec![
                        format!("{}", number + 1),
                        self.names(&made.body),
                        self.names(&made.into),
                        made.direction.word().to_owned(),
                    ]
                })
                .collect(),
        }
    }
}

fn step(direction: BoxFace) -> [f64; 3] {
    let mut way = [0.0; 3];
    way[direction.axis() as usize] = if direction.is_high() { 1.0 } else { -1.0 };
    way
}
