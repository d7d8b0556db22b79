//! A part's sizes as functions of its moisture, read off the section map at
//! three moistures and carried between them by a parabola.

use crate::joint::Axis;
use crate::movement::{
    Direction, Face, GluedBoard, RingStrains, Rings, Section, Shrinkage, SizesRead,
};
use crate::units::{Angle, Length, MoistureContent};
use multiversion::multiversion;

/// Driest moisture of a curve's support, percent.
const DRIEST: f64 = 3.0;
/// Wettest moisture of a curve's support, percent.
const WETTEST: f64 = 20.0;

/// Places across the width at which the crown of a face is looked for.
const PLACES: usize = 80;

/// Sizes over the sizes when measured, for the three axes, and the cup of the bark-side face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Curve {
    middle: f64,
    saturation: f64,
    /// Value, slope and bend about the middle moisture: by axis, then the cup in mm.
    terms: [[f64; 3]; 4],
}

/// Where the bark-side face rises most over its chord, from the centre line. It hangs on the place of the pith and hardly on
/// the strains, so that one place serves every moisture: where a rise is maximum it is flat.
#[must_use]
pub fn crown(section: Section, shrinkage: &Shrinkage) -> Length {
    let percent = MoistureContent::computed_percent;
    let strains = RingStrains::of(shrinkage, percent(12.0), percent(6.0));
    let (Some(moved), Rings::Pith { .. }) = (section.moved(strains), section.rings) else {
        return Length::ZERO;
    };
    let step = section.width / PLACES as f64;
    let at = |place: f64| step * (place - PLACES as f64 / 2.0);
    let rise = |place: f64| moved.rise_at(Face::Bark, at(place)).mm().abs();
    let top = (1..PLACES)
        .max_by(|a, b| rise(*a as f64).total_cmp(&rise(*b as f64)))
        .unwrap_or(PLACES / 2) as f64;
    // the parabola through the highest place and its neighbours
    let (before, here, after) = (rise(top - 1.0), rise(top), rise(top + 1.0));
    let bend = before - 2.0 * here + after;
    let off = if bend < 0.0 {
        (before - after) / (2.0 * bend)
    } else {
        0.0
    };
    at(top + off.clamp(-1.0, 1.0))
}

/// The section a part's width and thickness are read from: its own, or one with flat rings where the pith lies
/// inside and no stress-free shape exists; that gives the maximum width change.
#[must_use]
pub(super) fn section_for_sizes(section: Section) -> Section {
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
    /// The map is smooth in the strains, and the strains in the moisture below fiber saturation; a parabola
    /// through three points of the map is within 3e-6 of it over the support, less than a thousandth of a millimetre on a board of
    /// 300 mm (shown by a test).
    #[must_use]
    pub fn new(section: Section, shrinkage: &Shrinkage, measured: MoistureContent) -> Self {
        Self::with_crown(section, shrinkage, measured, crown(section, shrinkage))
    }

    /// The same with the place of the bark-side face's [`crown`] known.
    #[must_use]
    pub fn with_crown(
        section: Section,
        shrinkage: &Shrinkage,
        measured: MoistureContent,
        crown: Length,
    ) -> Self {
        let pith_inside = section.contains_pith();
        let section = section_for_sizes(section);
        let sizes = SizesRead::of(section, crown);
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
            let (width, thickness, cup) = sizes.as_ref().map_or((1.0, 1.0, f64::NAN), |sizes| {
                let [width, rise, thickness] =
                    sizes.after(RingStrains::of(shrinkage, measured, to));
                (
                    width / section.width,
                    thickness / section.thickness,
                    // a face is hollow where it is below its chord
                    -rise.mm(),
                )
            });
            [
                along,
                width,
                thickness,
                if pith_inside { f64::NAN } else { cup },
            ]
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

    /// The curve of boards glued edge to edge: widths add up; so do the bends that their rings give them, each over its own width and with the
    /// side its bark is on: curvature `sum(w k)/W` for one thickness and one stiffness, and the whole rises by it over `W^2/8`.
    /// Each board with its own curve, all measured at one moisture; `None` for no board.
    #[must_use]
    pub fn glued(boards: &[(GluedBoard, Self)]) -> Option<Self> {
        let (_, first) = boards.first()?;
        let width = |board: &GluedBoard| board.section.width.mm();
        let whole: f64 = boards.iter().map(|(board, _)| width(board)).sum();
        let mut terms = [[0.0; 3]; 4];
        for (board, own) in boards {
            let share = width(board) / whole;
            let side = if board.bark_up { 1.0 } else { -1.0 };
            let cup = side * whole / width(board);
            for (axis, (sum, own)) in terms.iter_mut().zip(&own.terms).enumerate() {
                let weight = if axis == 3 { cup } else { share };
                for (sum, own) in sum.iter_mut().zip(own) {
                    *sum += weight * own;
                }
            }
        }
        Some(Self { terms, ..*first })
    }

    /// Size at a moisture over the size when measured.
    #[must_use]
    pub fn ratio(&self, axis: Axis, moisture_percent: f64) -> f64 {
        let [value, slope, bend] = self.terms[axis as usize];
        let m = moisture_percent.min(self.saturation) - self.middle;
        value + m * (slope + m * bend)
    }

    /// Cup of the bark-side face from the rings, mm, positive when it is hollow; not a number with the pith inside.
    #[must_use]
    pub fn cup_mm(&self, moisture_percent: f64) -> f64 {
        let [value, slope, bend] = self.terms[3];
        let m = moisture_percent.min(self.saturation) - self.middle;
        value + m * (slope + m * bend)
    }
}

/// [`Curve::ratio`] at each of some moistures.
#[multiversion(targets("x86_64+avx2"))]
pub(super) fn ratios(curve: &Curve, axis: Axis, moistures_percent: &[f64], ratios: &mut [f64]) {
    let [value, slope, bend] = curve.terms[axis as usize];
    for (ratio, moisture) in ratios.iter_mut().zip(moistures_percent) {
        let most = curve.saturation;
        let m = if *moisture < most { *moisture } else { most } - curve.middle;
        *ratio = value + m * (slope + m * bend);
    }
}
