//! A part's sizes as functions of its moisture, read off the section map at
//! three moistures and carried between them by a parabola.

use crate::joint::Axis;
use crate::movement::{Direction, Face, RingStrains, Rings, Section, Shrinkage};
use crate::units::{Angle, Length, MoistureContent};

/// Driest moisture of a curve's support, percent.
const DRIEST: f64 = 3.0;
/// Wettest moisture of a curve's support, percent.
const WETTEST: f64 = 20.0;

/// Sizes over the sizes when measured, for the three axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Curve {
    middle: f64,
    saturation: f64,
    /// Value, slope and bend about the middle moisture, by axis.
    terms: [[f64; 3]; 3],
}

/// The section a part's width and thickness are read from: its own, or one with flat rings where the pith lies
/// inside and no stress-free shape exists; that gives the greatest width change.
#[must_use]
pub fn section_for_sizes(section: Section) -> Section {
    if section.contains_pith() {
        Section {
            rings: Rings::Straight { angle: Angle::ZERO },
            ..section
        }
    } else {
        section
    }
}

impl Curve {
    /// The curve of a part measured at `measured`.
    ///
    /// The map is smooth in the strains, and the strains in the moisture below fibre saturation; a parabola
    /// through three points of the map is within 3e-6 of it over the support, less than a thousandth of a millimetre on a board of
    /// 300 mm (shown by a test).
    #[must_use]
    pub fn new(section: Section, shrinkage: &Shrinkage, measured: MoistureContent) -> Self {
        let section = section_for_sizes(section);
        let saturation = shrinkage.fiber_saturation_percent;
        let high = WETTEST.min(saturation);
        let middle = (DRIEST + high) / 2.0;
        let half = (high - DRIEST) / 2.0;
        let at = |percent: f64| {
            let to = MoistureContent::computed_percent(percent);
            let along = 1.0
                + shrinkage
                    .strain(Direction::Longitudinal, measured, to)
                    .ratio();
            let moved = section.moved(RingStrains::of(shrinkage, measured, to));
            let (width, thickness) = moved.map_or((1.0, 1.0), |moved| {
                (
                    moved.width(Face::Bark) / section.width,
                    moved.thickness_at(Length::ZERO) / section.thickness,
                )
            });
            [along, width, thickness]
        };
        let (low, centre, high) = (at(middle - half), at(middle), at(middle + half));
        let terms = std::array::from_fn(|axis| {
            [
                centre[axis],
                (high[axis] - low[axis]) / (2.0 * half),
                (high[axis] - 2.0 * centre[axis] + low[axis]) / (2.0 * half * half),
            ]
        });
        Self {
            middle,
            saturation,
            terms,
        }
    }

    /// Size at a moisture over the size when measured.
    #[must_use]
    pub fn ratio(&self, axis: Axis, moisture_percent: f64) -> f64 {
        let [value, slope, bend] = self.terms[axis as usize];
        let m = moisture_percent.min(self.saturation) - self.middle;
        value + m * (slope + m * bend)
    }
}
