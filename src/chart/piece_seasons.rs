//! The piece through the year: each part as it is today, and its outline at its driest and at its wettest, movement enlarged.

use super::along::{HEAD, NOTE, enlarged_words};
use super::end_grain::WoodTone;
use super::figure::{Caption, Figure, NumberTable};
use super::ink::Ink;
use super::sheet::{Point, Sheet};
use crate::piece::{Cuboid, SpaceAxis};
use crate::units::notation::shown;
use crate::units::{Length, UnitSystem};

/// Room for one of the two views, pixels.
const VIEW: [f64; 2] = [330.0, 330.0];
/// Gap between the views, and the margin around.
const BETWEEN: f64 = 40.0;
const MARGIN: f64 = 24.0;
/// Pixels that the largest movement is drawn as, for each half of it.
const LARGEST: f64 = 9.0;
/// Less movement in a view than this share of the largest is not drawn: the outlines would only thicken one another.
const DRAWN_SHARE: f64 = 0.1;

/// A part of the piece and how it moves across its grain.
#[derive(Debug, Clone, PartialEq)]
pub struct SeasonsBody {
    /// Its name.
    pub name: String,
    /// The part it is one of.
    pub part: String,
    /// Its box today.
    pub cuboid: Cuboid,
    /// The tone of its wood.
    pub tone: WoodTone,
    /// The direction across its grain.
    pub across: SpaceAxis,
    /// How much wider it is at its driest; below zero where it is narrower.
    pub driest: Length,
    /// How much wider it is at its wettest.
    pub wettest: Length,
}

/// A piece through the year.
#[derive(Debug, Clone, PartialEq)]
pub struct SeasonsFigure {
    /// The name of the piece.
    pub piece: String,
    /// Its parts.
    pub bodies: Vec<SeasonsBody>,
}

/// The two views: what runs to the right, and what counts as near.
const VIEWS: [(SpaceAxis, &str); 2] = [
    (SpaceAxis::X, "from the front"),
    (SpaceAxis::Y, "from the right side"),
];

impl SeasonsFigure {
    /// The title over the figure.
    #[must_use]
    pub fn title(&self) -> String {
        format!("{} through the year", self.piece)
    }

    fn largest(&self) -> f64 {
        self.bodies
            .iter()
            .flat_map(|body| [body.driest, body.wettest])
            .map(|change| change.mm().abs())
            .fold(0.0, f64::max)
    }

    /// Draws the figure under an id from [`super::FigureIds`], lengths in the chosen system.
    #[must_use]
    pub fn draw(&self, id: &str, system: UnitSystem) -> Figure {
        let whole = self
            .bodies
            .iter()
            .map(|body| body.cuboid)
            .reduce(|a, b| a.around(&b));
        let size = |axis: SpaceAxis| {
            whole
                .as_ref()
                .map_or(1.0, |whole| whole.size(axis).mm().max(1.0))
        };
        let tall = size(SpaceAxis::Z);
        let scale = VIEWS
            .iter()
            .map(|(right, _)| (VIEW[0] / size(*right)).min(VIEW[1] / tall))
            .fold(f64::INFINITY, f64::min);
        let largest = self.largest();
        let times = if largest > 0.0 {
            (2.0 * LARGEST / (largest * scale))
                .clamp(1.0, 400.0)
                .floor()
        } else {
            1.0
        };
        let top = 58.0;
        let width = 2.0 * MARGIN
            + BETWEEN
            + VIEWS
                .iter()
                .map(|(right, _)| size(*right) * scale)
                .sum::<f64>();
        let width = width.max(520.0);
        let height = top + tall * scale + 52.0;
        let sheet = Sheet::new(id, width, height);
        sheet.text(HEAD, &self.title(), (12.0, 20.0));
        let mut left = MARGIN;
        for (right, words) in VIEWS {
            sheet.text(NOTE, words, (left, 44.0));
            self.draw_view(&sheet, right, scale, times, [left, top + tall * scale]);
            left += size(right) * scale + BETWEEN;
        }
        let y = height - 12.0;
        sheet.path(Ink::Ghost, &[(14.0, y - 4.0), (44.0, y - 4.0)]);
        sheet.text(NOTE, "driest", (50.0, y));
        sheet.path(Ink::Outline, &[(104.0, y - 4.0), (134.0, y - 4.0)]);
        sheet.text(
            NOTE,
            &format!("wettest, wood as it is today; {}", enlarged_words(times)),
            (140.0, y),
        );
        Figure::new(
            id,
            (width, height),
            Caption {
                title: self.title(),
                reading: format!(
                    "Wood is each part today, dashes its outline at its driest, the line its outline at its wettest; {}. Each part moves about its own middle; along the grain and in thickness it moves too little to draw.",
                    enlarged_words(times)
                ),
                description: format!(
                    "The part that moves most gets {} narrower or wider.",
                    shown(Length::from_mm_unchecked(largest), system)
                ),
            },
            sheet,
            self.table(system),
        )
    }

    /// One view, its lower left corner at `from`, pixels; the nearest parts are drawn last.
    fn draw_view(&self, sheet: &Sheet, right: SpaceAxis, scale: f64, times: f64, from: Point2) {
        let Some(whole) = self
            .bodies
            .iter()
            .map(|body| body.cuboid)
            .reduce(|a, b| a.around(&b))
        else {
            return;
        };
        let base = [whole.low(right).mm(), whole.low(SpaceAxis::Z).mm()];
        let outline = |body: &SeasonsBody, change: f64| -> [Point; 4] {
            let ends = |axis: SpaceAxis, base: f64| {
                let grown = if axis == body.across {
                    0.5 * change * times
                } else {
                    0.0
                };
                let (low, high) = (body.cuboid.low(axis).mm(), body.cuboid.high(axis).mm());
                // A narrow board enlarged must not turn inside out.
                let middle = f64::midpoint(low, high);
                let half = (0.5 * (high - low) + grown).max(0.5);
                (
                    (middle - half - base) * scale,
                    (middle + half - base) * scale,
                )
            };
            let (x0, x1) = ends(right, base[0]);
            let (z0, z1) = ends(SpaceAxis::Z, base[1]);
            let at = |x: f64, z: f64| (from[0] + x, from[1] - z);
            [at(x0, z0), at(x1, z0), at(x1, z1), at(x0, z1)]
        };
        let mut order: Vec<&SeasonsBody> = self.bodies.iter().collect();
        let near = |body: &SeasonsBody| match right {
            SpaceAxis::X => -body.cuboid.low(SpaceAxis::Y).mm(),
            _ => body.cuboid.high(SpaceAxis::X).mm(),
        };
        order.sort_by(|a, b| near(a).total_cmp(&near(b)));
        let least = DRAWN_SHARE * self.largest();
        for body in order {
            sheet.shape(body.tone.wood(), &outline(body, 0.0));
            let moves = [body.driest, body.wettest].map(|change| change.mm());
            let seen = body.across == right || body.across == SpaceAxis::Z;
            if seen && moves.iter().any(|change| change.abs() >= least) {
                sheet.ring(Ink::Ghost, &outline(body, moves[0]));
                sheet.ring(Ink::Outline, &outline(body, moves[1]));
            }
        }
    }

    fn table(&self, system: UnitSystem) -> NumberTable {
        let mut rows: Vec<Vec<String>> = Vec::new();
        for body in &self.bodies {
            if rows.iter().all(|row| row[0] != body.part) {
                rows.push(vec![
                    body.part.clone(),
                    signed(body.driest, system),
                    signed(body.wettest, system),
                ]);
            }
        }
        NumberTable {
            heads: ["Part", "At its driest", "At its wettest"]
                .map(str::to_owned)
                .to_vec(),
            rows,
        }
    }
}

type Point2 = [f64; 2];

fn signed(change: Length, system: UnitSystem) -> String {
    let word = if change.mm() < 0.0 {
        "narrower"
    } else {
        "wider"
    };
    format!("{} {word}", shown(change.abs(), system))
}
