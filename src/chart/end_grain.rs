//! End grain: a section's wood, its rings and the way to the pith.

use super::ink::Ink;
use super::sheet::{Point, Sheet};
use super::simplify::needed;
use crate::movement::{Rings, Section};

/// How dark the wood is drawn; decoration, no number hangs on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WoodTone {
    /// Maple, ash, birch, spruce, pine.
    Pale,
    /// Oak, cherry, beech and whatever is not named.
    #[default]
    Tan,
    /// Walnut, mahogany, teak.
    Brown,
}

impl WoodTone {
    /// The tone a wood's common name calls for.
    #[must_use]
    pub fn of_wood(name: &str) -> Self {
        let name = name.to_lowercase();
        let has = |words: &[&str]| {
            name.split(|c: char| !c.is_alphanumeric())
                .any(|word| words.contains(&word))
        };
        if has(&[
            "walnut",
            "mahogany",
            "teak",
            "rosewood",
            "sapele",
            "wenge",
            "butternut",
            "ipe",
        ]) {
            Self::Brown
        } else if has(&[
            "maple",
            "ash",
            "birch",
            "spruce",
            "pine",
            "fir",
            "basswood",
            "aspen",
            "holly",
            "hornbeam",
            "lime",
            "linden",
            "sycamore",
            "cottonwood",
            "poplar",
        ]) {
            Self::Pale
        } else {
            Self::Tan
        }
    }

    pub(super) fn wood(self) -> Ink {
        match self {
            Self::Pale => Ink::PaleWood,
            Self::Tan => Ink::TanWood,
            Self::Brown => Ink::BrownWood,
        }
    }

    pub(super) fn ring(self) -> Ink {
        match self {
            Self::Pale => Ink::PaleRing,
            Self::Tan => Ink::TanRing,
            Self::Brown => Ink::BrownRing,
        }
    }
}

/// Most rings drawn in one section.
const MOST_RINGS: f64 = 34.0;

/// A share of a ring's width by which it stands off its even place: good years and lean
/// ones in slow residual bows, so that the rings look grown. Fixed by the ring's number.
fn grown(number: i64) -> f64 {
    let year = number as f64;
    0.5 * libm::sin(0.55 * year) + 0.1 * libm::sin(1.7 * year + 1.0)
}

/// The ring lines of a section as stretches of points in section coordinates, millimetres.
/// They show the rings' direction and curvature; their number is drawn, not counted.
pub(super) fn ring_lines(section: &Section, step_mm: f64) -> Vec<Vec<Point>> {
    let (half, thickness) = (section.width.mm() / 2.0, section.thickness.mm());
    let corners = [
        (-half, 0.0),
        (half, 0.0),
        (half, thickness),
        (-half, thickness),
    ];
    let mut lines = Vec::new();
    match section.rings {
        Rings::Pith { depth, offset } => {
            let pith = (offset.mm(), -depth.mm());
            let outside = (
                (pith.0.abs() - half).max(0.0),
                (-pith.1).max(pith.1 - thickness).max(0.0),
            );
            let near = libm::hypot(outside.0, outside.1);
            let far = corners
                .iter()
                .map(|c| libm::hypot(c.0 - pith.0, c.1 - pith.1))
                .fold(0.0, f64::max);
            let spacing = step_mm.max((far - near) / MOST_RINGS);
            let (from, to) = arc_span(&corners, pith, near).unwrap_or((0.0, std::f64::consts::TAU));
            for number in (near / spacing).floor() as i64..=(far / spacing).ceil() as i64 {
                let radius = (number as f64 + grown(number)) * spacing;
                if radius > 0.0 && radius < far {
                    let steps = (radius / 2.0).clamp(24.0, 720.0) as usize;
                    let circle: Vec<Point> = (0..=steps)
                        .map(|i| {
                            let angle = from + (to - from) * i as f64 / steps as f64;
                            (
                                pith.0 + radius * libm::sin(angle),
                                pith.1 + radius * libm::cos(angle),
                            )
                        })
                        .collect();
                    lines.extend(inside(&circle, half, thickness));
                }
            }
        }
        Rings::Straight { angle } => {
            let (sin, cos) = libm::sincos(angle.radians());
            // Across the rings, from the section's middle.
            let across = |p: &Point| -p.0 * sin + (p.1 - thickness / 2.0) * cos;
            let reach = corners.iter().map(across).fold(0.0, f64::max);
            let spacing = step_mm.max(2.0 * reach / MOST_RINGS);
            let long = half * 2.0 + thickness;
            let count = (reach / spacing).ceil() as i64;
            for number in -count..=count {
                let off = (number as f64 + grown(number)) * spacing;
                let middle = (-off * sin, thickness / 2.0 + off * cos);
                let line = [
                    (middle.0 - long * cos, middle.1 - long * sin),
                    (middle.0 + long * cos, middle.1 + long * sin),
                ];
                lines.extend(inside(&line, half, thickness));
            }
        }
    }
    lines
}

/// The angles about the pith, from straight up, between which the section lies; `None`
/// when the pith is inside.
fn arc_span(corners: &[Point; 4], pith: Point, near: f64) -> Option<(f64, f64)> {
    if near <= 0.0 {
        return None;
    }
    let middle = (corners[0].1 + corners[2].1) / 2.0 - pith.1;
    let toward = libm::atan2(-pith.0, middle);
    let (mut low, mut high) = (0.0f64, 0.0f64);
    for corner in corners {
        let mut angle = libm::atan2(corner.0 - pith.0, corner.1 - pith.1) - toward;
        if angle > std::f64::consts::PI {
            angle -= std::f64::consts::TAU;
        } else if angle < -std::f64::consts::PI {
            angle += std::f64::consts::TAU;
        }
        low = low.min(angle);
        high = high.max(angle);
    }
    Some((toward + low, toward + high))
}

/// The stretches of a line that lie in the rectangle, cut at its edges.
fn inside(line: &[Point], half: f64, thickness: f64) -> Vec<Vec<Point>> {
    let mut stretches: Vec<Vec<Point>> = Vec::new();
    let mut open = false;
    for pair in line.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let (dx, dz) = (b.0 - a.0, b.1 - a.1);
        let (mut from, mut to) = (0.0f64, 1.0f64);
        for (step, room) in [
            (-dx, a.0 + half),
            (dx, half - a.0),
            (-dz, a.1),
            (dz, thickness - a.1),
        ] {
            if step.abs() < 1e-12 {
                if room < 0.0 {
                    to = -1.0;
                }
            } else if step < 0.0 {
                from = from.max(room / step);
            } else {
                to = to.min(room / step);
            }
        }
        if from >= to {
            open = false;
            continue;
        }
        let at = |share: f64| (a.0 + share * dx, a.1 + share * dz);
        if !open || from > 0.0 {
            stretches.push(vec![at(from)]);
        }
        if let Some(stretch) = stretches.last_mut() {
            stretch.push(at(to));
        }
        open = to >= 1.0;
    }
    stretches
}

/// Draws a section: its wood, its rings and its outline, every point of the
/// section (millimetres) put where `place` says (pixels).
pub(super) fn draw(
    sheet: &Sheet,
    section: &Section,
    tone: WoodTone,
    per_mm: f64,
    place: impl Fn(Point) -> Point,
) {
    let outline: Vec<Point> = rectangle(section, 33).into_iter().map(&place).collect();
    sheet.shape(tone.wood(), &outline);
    let rings = ring_lines(section, (7.5 / per_mm).max(2.2));
    for line in &rings {
        let drawn: Vec<Point> = line.iter().copied().map(&place).collect();
        let kept: Vec<Point> = drawn
            .iter()
            .zip(needed(&drawn, 0.4))
            .filter_map(|(p, keep)| keep.then_some(*p))
            .collect();
        sheet.path(tone.ring(), &kept);
    }
    sheet.ring(Ink::Outline, &outline);
}

/// The outline of the section before it moves, counter-clockwise from the lower left
/// corner, so many points on each face.
pub(super) fn rectangle(section: &Section, per_face: usize) -> Vec<Point> {
    let (half, thickness) = (section.width.mm() / 2.0, section.thickness.mm());
    let at = |i: usize| -half + 2.0 * half * i as f64 / (per_face - 1) as f64;
    (0..per_face)
        .map(|i| (at(i), 0.0))
        .chain((0..per_face).rev().map(|i| (at(i), thickness)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Angle, Length};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn rings_stay_in_the_wood_and_keep_their_radius(
            width in 20.0f64..600.0, thickness in 5.0f64..80.0, depth in -200.0f64..400.0, offset in -300.0f64..300.0,
        ) {
            let section = Section {
                width: Length::from_mm_unchecked(width),
                thickness: Length::from_mm_unchecked(thickness),
                rings: Rings::Pith { depth: Length::from_mm_unchecked(depth), offset: Length::from_mm_unchecked(offset) },
            };
            let lines = ring_lines(&section, 3.0);
            prop_assert!(!lines.is_empty());
            for line in lines {
                let radius = libm::hypot(line[0].0 - offset, line[0].1 + depth);
                for p in &line {
                    prop_assert!(p.0.abs() <= width / 2.0 + 1e-6 && p.1 >= -1e-6 && p.1 <= thickness + 1e-6);
                    // A chord of the drawn circle lies inside it by at most its sagitta.
                    let off = radius - libm::hypot(p.0 - offset, p.1 + depth);
                    prop_assert!(off.abs() < 0.03 * radius.max(1.0), "{off} of {radius}");
                }
            }
        }
    }

    #[test]
    fn straight_rings_stand_at_their_angle() {
        for degrees in [0.0, 30.0, 45.0, 90.0] {
            let section = Section {
                width: Length::from_mm_unchecked(100.0),
                thickness: Length::from_mm_unchecked(25.0),
                rings: Rings::Straight {
                    angle: Angle::computed_degrees(degrees),
                },
            };
            for line in ring_lines(&section, 3.0) {
                let (a, b) = (line[0], line[line.len() - 1]);
                if libm::hypot(a.0 - b.0, a.1 - b.1) > 0.1 {
                    let angle = libm::atan2(b.1 - a.1, b.0 - a.0).to_degrees();
                    assert!((angle - degrees).abs() < 1e-6, "{angle} for {degrees}");
                }
            }
        }
    }
}
