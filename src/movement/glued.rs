//! A board glued up edge to edge from several: how much it moves across the grain, and which rings move as much.

use super::section::{Rings, Section};
use crate::units::{Angle, Length};

/// One of the boards that a wider one is glued up from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GluedBoard {
    /// Its section with its rings.
    pub section: Section,
    /// Whether its bark side is the bark side of the whole.
    pub bark_up: bool,
}

/// Places across a board at which its rings are read.
const PLACES: usize = 16;

/// The share of the radial direction across a board, `sin^2 b` of its rings' angle at mid-thickness, averaged over its width (midpoint rule).
fn radial_share(section: &Section) -> f64 {
    let (width, z) = (section.width.mm(), section.thickness.mm() / 2.0);
    (0..PLACES)
        .map(|place| {
            let x = width * ((place as f64 + 0.5) / PLACES as f64 - 0.5);
            let sin = libm::sin(section.rings.angle_at(x, z).radians());
            sin * sin
        })
        .sum::<f64>()
        / PLACES as f64
}

/// Straight rings of which a board as wide as all of these moves as much across its grain, to first order in the strains (derived: movements of
/// boards glued edge to edge add up). `None` for no board, or boards without width.
#[must_use]
pub fn rings_that_move_alike(boards: &[GluedBoard]) -> Option<Rings> {
    let width: f64 = boards.iter().map(|board| board.section.width.mm()).sum();
    if width <= 0.0 {
        return None;
    }
    let share = boards
        .iter()
        .map(|board| board.section.width.mm() * radial_share(&board.section))
        .sum::<f64>()
        / width;
    let degrees = libm::asin(share.clamp(0.0, 1.0).sqrt()).to_degrees();
    Some(Rings::Straight {
        angle: Angle::computed_degrees(degrees),
    })
}

/// How far the widths of the boards together differ from that of the whole.
#[must_use]
pub fn widths_apart(boards: &[GluedBoard], whole: Length) -> Length {
    let together = boards
        .iter()
        .fold(Length::ZERO, |sum, board| sum + board.section.width);
    (together - whole).abs()
}
