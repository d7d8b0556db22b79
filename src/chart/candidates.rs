//! The layouts worth a look side by side: their bows and cups fanned out over one another, and what
//! each fault weighs in the score.

use super::along::{Along, HEAD, LEFT, NOTE, RIGHT, TEXT, WIDTH, times_words};
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::layout::{Frame, Layout};
use super::lettering::fitted;
use super::sheet::{Point, Sheet, TextStyle};
use super::words::{capital, decimals, length};
use crate::panel::{BestLayouts, FaceUp, Fault, Panel, PanelShape, Weights};
use crate::units::notation::shown;
use crate::units::{Length, UnitSystem};

/// Candidate layouts of one panel, the best first.
#[derive(Debug, Clone, PartialEq)]
pub struct CandidatesFigure {
    /// The panel.
    pub panel: String,
    /// The figure of the match: `bookmatch`, `random`.
    pub figure: String,
    /// Length of the leaves.
    pub length: Length,
    /// What a millimetre of each fault counts.
    pub weights: Weights,
    /// The layouts, the best first.
    pub candidates: Vec<Candidate>,
}

/// One layout among others.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// What it gives.
    pub shape: PanelShape,
    /// Its leaves from left to right, row by row, those with the sawn face down given so.
    pub order: String,
    /// Its most cupped row's show face from edge to edge over its chord, millimetres.
    pub face_mm: Vec<(f64, f64)>,
}

/// Height of one plot and of one candidate's lines.
const PLOT: f64 = 86.0;
const ROW: f64 = 50.0;
/// Space between the two plots.
const BETWEEN: f64 = 30.0;

/// Faults in the order of the score, each with the ink of its share.
const SHARES: [(Fault, Ink); 4] = [
    (Fault::Bow, Ink::BrownWood),
    (Fault::Cup, Ink::TanWood),
    (Fault::Twist, Ink::PaleWood),
    (Fault::SeamMisfit, Ink::Metal),
];

const fn weight(weights: &Weights, fault: Fault) -> f64 {
    match fault {
        Fault::Bow => weights.bow,
        Fault::Cup => weights.cup,
        Fault::Twist => weights.twist,
        Fault::SeamMisfit => weights.seam,
    }
}

/// In one system alone, since a line holds four of them.
fn size(size: Length, system: UnitSystem) -> String {
    match system {
        UnitSystem::Metric => length(size, system),
        UnitSystem::Inch => shown(size, system),
    }
}

fn order(panel: &Panel, shape: &PanelShape) -> String {
    let row = |row: &Vec<crate::panel::Placed>| {
        row.iter()
            .map(|placed| {
                let name = &panel.leaves()[placed.leaf].name;
                match placed.face_up {
                    FaceUp::Sawn => name.clone(),
                    FaceUp::Back => format!("{name} (down)"),
                }
            })
            .collect::<Vec<_>>()
            .join(", ")
    };
    let rows: Vec<String> = shape.layout.rows.iter().map(row).collect();
    rows.join("; behind: ")
}

impl CandidatesFigure {
    /// The layouts of a panel that truly differ.
    #[must_use]
    pub fn of(name: &str, panel: &Panel, best: &BestLayouts) -> Self {
        Self {
            panel: name.to_owned(),
            figure: panel.leaf_match().word().to_owned(),
            length: panel.leaf_length(),
            weights: panel.weights(),
            candidates: best
                .layouts
                .iter()
                .map(|shape| Candidate {
                    order: order(panel, shape),
                    face_mm: (0..shape.rows.len())
                        .max_by(|a, b| {
                            let cup = |row: usize| shape.rows[row].cup.abs().mm();
                            cup(*a).total_cmp(&cup(*b))
                        })
                        .map(|row| panel.face_line(&shape.layout, row))
                        .unwrap_or_default(),
                    shape: shape.clone(),
                })
                .collect(),
        }
    }

    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        match self.candidates.len() {
            1 => format!("{}: the one layout, {}", capital(&self.panel), self.figure),
            count => format!("{}: {count} layouts, {}", capital(&self.panel), self.figure),
        }
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let rows_top = 30.0 + PLOT + 46.0;
        let height = rows_top + ROW * self.candidates.len() as f64 + 6.0;
        let sheet = Sheet::new(id, WIDTH, height);
        let middle = f64::midpoint(LEFT, RIGHT);
        let bows: Vec<Vec<(f64, f64)>> = self
            .candidates
            .iter()
            .map(|candidate| self.bow_line(candidate))
            .collect();
        let faces: Vec<Vec<(f64, f64)>> = self
            .candidates
            .iter()
            .map(|candidate| candidate.face_mm.clone())
            .collect();
        self.fan(
            &sheet,
            "Bow along the grain",
            (LEFT, middle - BETWEEN / 2.0),
            &bows,
        );
        self.fan(
            &sheet,
            "Cup across",
            (middle + BETWEEN / 2.0, RIGHT),
            &faces,
        );
        self.key(&sheet, rows_top - 20.0);
        for (rank, candidate) in self.candidates.iter().enumerate() {
            self.row(
                &sheet,
                rank,
                candidate,
                rows_top + ROW * rank as f64,
                system,
            );
        }
        Figure::new(
            id,
            (WIDTH, height),
            Caption {
                title: self.title(),
                reading: "Above, every layout\u{2019}s show face over the line between its ends, the first drawn heavy. Below, its leaves from left to right, those with the sawn face down given so, and what bow, cup, twist and seam misfit weigh in each score: the shortest bar wins.".to_owned(),
                description: self.described(system),
            },
            sheet,
            self.table(system),
        )
    }

    fn bow_line(&self, candidate: &Candidate) -> Vec<(f64, f64)> {
        let (length, bow) = (self.length.mm(), candidate.shape.bow.mm());
        super::along::traced(0.0, length, |share| -bow * super::along::arc(share))
    }

    /// Lines over their chords from one end, heights larger than places, each with its rank where there is room.
    fn fan(&self, sheet: &Sheet, head: &str, (left, right): (f64, f64), lines: &[Vec<(f64, f64)>]) {
        let all = || lines.iter().flatten().copied();
        let long = all().map(|p| p.0).fold(1e-6, f64::max);
        let (low, high) = all()
            .map(|p| p.1)
            .fold((0.0, 0.0), |(low, high): (f64, f64), z| {
                (low.min(z), high.max(z))
            });
        let along = Along {
            per_mm: (right - left) / long,
        };
        let times = along.times(high - low, PLOT - 28.0);
        let per_mm = times * along.per_mm;
        let frame = Frame {
            left,
            top: 46.0,
            right,
            bottom: 30.0 + PLOT + 10.0,
        };
        let level = f64::midpoint(frame.top, frame.bottom) + (high + low) / 2.0 * per_mm;
        let put = |p: (f64, f64)| -> Point { (left + p.0 * along.per_mm, level - p.1 * per_mm) };
        sheet.text(HEAD, head, (left, 18.0));
        sheet.text(NOTE, &times_words(times), (left, 34.0));
        sheet.open("hs-fan");
        sheet.path(Ink::Axis, &[put((0.0, 0.0)), put((long, 0.0))]);
        let drawn: Vec<Vec<Point>> = lines
            .iter()
            .map(|line| line.iter().copied().map(put).collect())
            .collect();
        // The first is drawn last, over the others.
        for (rank, line) in drawn.iter().enumerate().rev() {
            sheet.path(
                if rank == 0 {
                    Ink::Curve
                } else {
                    Ink::FirstYear
                },
                line,
            );
        }
        let mut layout = Layout::new(frame);
        layout.take_curve(&super::along::traced(left, right, |_| level));
        for line in &drawn {
            layout.take_curve(line);
        }
        for (rank, line) in drawn.iter().enumerate() {
            let level = put((0.0, 0.0)).1;
            let Some(&at) = line
                .iter()
                .max_by(|a, b| (a.1 - level).abs().total_cmp(&(b.1 - level).abs()))
            else {
                continue;
            };
            let label = (rank + 1).to_string();
            let hand = numeral(rank);
            let place = layout.place(at, hand.width(&label), 9.0);
            sheet.text(
                hand.level(),
                &label,
                (place.left, f64::midpoint(place.top, place.bottom)),
            );
        }
        sheet.close();
    }

    fn key(&self, sheet: &Sheet, y: f64) {
        let mut x = LEFT;
        sheet.open("hs-key");
        for (fault, ink) in SHARES {
            sheet.block(
                ink,
                Frame {
                    left: x,
                    top: y - 9.0,
                    right: x + 12.0,
                    bottom: y + 1.0,
                },
            );
            let text = format!("{} \u{d7} {}", fault.word(), weight(&self.weights, fault));
            sheet.text(NOTE, &text, (x + 17.0, y));
            x += 17.0 + NOTE.width(&text) + 18.0;
        }
        sheet.text(NOTE.right(), "score", (RIGHT, y));
        sheet.close();
    }

    fn row(&self, sheet: &Sheet, rank: usize, candidate: &Candidate, top: f64, system: UnitSystem) {
        let most = self
            .candidates
            .iter()
            .map(|candidate| candidate.shape.score)
            .fold(1e-9, f64::max);
        let from = LEFT + 18.0;
        let score = decimals(candidate.shape.score, 2);
        let per_mm = (RIGHT - 44.0 - from) / most;
        sheet.open("hs-candidate");
        sheet.text(numeral(rank), &(rank + 1).to_string(), (LEFT, top + 11.0));
        sheet.text(
            TEXT,
            &fitted(&candidate.order, 12.5, false, RIGHT - from),
            (from, top + 11.0),
        );
        let mut x = from;
        for (fault, ink) in SHARES {
            let wide =
                weight(&self.weights, fault) * fault.size(&candidate.shape).mm().max(0.0) * per_mm;
            if wide > 0.25 {
                sheet.block(
                    ink,
                    Frame {
                        left: x,
                        top: top + 17.0,
                        right: x + wide,
                        bottom: top + 27.0,
                    },
                );
            }
            x += wide;
        }
        sheet.text(
            TextStyle::new(Ink::Letter, 12.5).bold().right(),
            &score,
            (RIGHT, top + 26.5),
        );
        let sizes: Vec<String> = SHARES
            .iter()
            .map(|(fault, _)| {
                format!(
                    "{} {}",
                    fault.word(),
                    size(fault.size(&candidate.shape), system)
                )
            })
            .collect();
        sheet.text(
            NOTE,
            &fitted(&sizes.join(", "), 12.0, false, RIGHT - from),
            (from, top + 41.0),
        );
        sheet.close();
    }

    fn described(&self, system: UnitSystem) -> String {
        let each: Vec<String> = self
            .candidates
            .iter()
            .enumerate()
            .map(|(rank, candidate)| {
                format!(
                    "{}: {}; bow {}, cup {}, twist {}, seam misfit {}, score {}.",
                    rank + 1,
                    candidate.order,
                    size(candidate.shape.bow.abs(), system),
                    size(candidate.shape.cup.abs(), system),
                    size(candidate.shape.twist.abs(), system),
                    size(candidate.shape.seam_misfit, system),
                    decimals(candidate.shape.score, 2)
                )
            })
            .collect();
        each.join(" ")
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        let mut heads = vec!["Layout".to_owned(), "Left to right".to_owned()];
        heads.extend(SHARES.map(|(fault, _)| capital(fault.word())));
        heads.push("Score".to_owned());
        NumberTable {
            heads,
            rows: self
                .candidates
                .iter()
                .enumerate()
                .map(|(rank, candidate)| {
                    let mut row = vec![(rank + 1).to_string(), candidate.order.clone()];
                    row.extend(SHARES.map(|(fault, _)| size(fault.size(&candidate.shape), system)));
                    row.push(decimals(candidate.shape.score, 2));
                    row
                })
                .collect(),
        }
    }
}

const fn numeral(rank: usize) -> TextStyle {
    let ink = if rank == 0 { Ink::Letter } else { Ink::Note };
    TextStyle::new(ink, 12.5).bold()
}
