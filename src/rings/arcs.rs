//! A reading's rings as lines over the photo.

use super::photo::{Corners, EndSize};
use super::reading::{BarkFace, RingsReading};
use crate::numerics::Homography;
use crate::units::Length;
use std::f64::consts::PI;

/// Rings drawn over a section.
const RINGS: usize = 12;
/// Steps along each of them.
const STEPS: usize = 96;
/// Straight rings are drawn about a pith so far away, in half widths.
const FAR: f64 = 1e4;

/// Lines through points of the photo, in pixels.
pub type PhotoLines = Vec<Vec<[f64; 2]>>;

impl RingsReading {
    /// Rings of the reading over the board's end in the photo: each line is a piece of one ring that is in the section,
    /// as points in pixels. They are spaced evenly; the tree's own rings are not counted.
    #[must_use]
    pub fn lines(&self, corners: &Corners) -> PhotoLines {
        lines_about(&self.size(), corners, self.center_mm(FAR))
    }

    /// The pith in the photo, where it is inside the section or no farther from it than the section is wide.
    #[must_use]
    pub fn pith_px(&self, corners: &Corners) -> Option<[f64; 2]> {
        let (x, z) = self.pith()?;
        let width = self.size().width().mm();
        let map = corners.section_to_photo(&self.size())?;
        let near = x.mm().abs() < 1.5 * width
            && (z.mm() - self.size().thickness().mm() / 2.0).abs() < width;
        near.then(|| map.map([x.mm(), z.mm()]))
    }
}

/// Rings about a center (millimetres right of the center line and up from the lower face) that are in the section.
fn lines_about(size: &EndSize, corners: &Corners, [x, z]: [f64; 2]) -> PhotoLines {
    let Some(map) = corners.section_to_photo(size) else {
        return Vec::new();
    };
    let (half, t) = (size.width().mm() / 2.0, size.thickness().mm());
    let inside = x.abs() < half && z > 0.0 && z < t;
    let toward = |px: f64, pz: f64| (libm::hypot(px - x, pz - z), libm::atan2(pz - z, px - x));
    let middle = toward(0.0, t / 2.0).1;
    let about = |angle: f64| angle - 2.0 * PI * (angle / (2.0 * PI)).round();
    let ends = [(-half, 0.0), (half, 0.0), (-half, t), (half, t)].map(|(px, pz)| toward(px, pz));
    let far = ends.iter().map(|end| end.0).fold(0.0, f64::max);
    let near = if inside {
        0.0
    } else {
        libm::hypot((x.abs() - half).max(0.0), (-z).max(z - t).max(0.0))
    };
    let (from, to) = if inside {
        (-PI, PI)
    } else {
        ends.iter().fold((0.0_f64, 0.0_f64), |(low, high), end| {
            let turn = about(end.1 - middle);
            (low.min(turn), high.max(turn))
        })
    };
    let mut lines = Vec::new();
    for ring in 0..RINGS {
        let radius = near + (far - near) * (ring as f64 + 0.5) / RINGS as f64;
        let mut line = Vec::new();
        for step in 0..=STEPS {
            let (sin, cos) = libm::sincos(middle + from + (to - from) * step as f64 / STEPS as f64);
            let (px, pz) = (x + radius * cos, z + radius * sin);
            if px.abs() <= half && (0.0..=t).contains(&pz) {
                line.push(map.map([px, pz]));
            } else if line.len() > 1 {
                lines.push(std::mem::take(&mut line));
            } else {
                line.clear();
            }
        }
        if line.len() > 1 {
            lines.push(line);
        }
    }
    lines
}

/// A pith that somebody put where the rings of the photo have their center.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PithByHand {
    size: EndSize,
    /// Right of the center line and up from the lower face, millimetres.
    at: [f64; 2],
}

impl PithByHand {
    /// The pith under a point of the photo; `None` where the corners are on one line or the point is on the horizon of the end's plane.
    #[must_use]
    pub fn under(size: &EndSize, corners: &Corners, pixel: [f64; 2]) -> Option<Self> {
        let (half, t) = (size.width().mm() / 2.0, size.thickness().mm());
        let section = [[-half, t], [half, t], [half, 0.0], [-half, 0.0]];
        let at = Homography::of_points(corners.points(), &section)?.map(pixel);
        at.iter()
            .all(|value| value.is_finite())
            .then_some(Self { size: *size, at })
    }

    /// Depth below the heart face and offset from the center line of the section seen bark side up.
    #[must_use]
    pub fn depth_and_offset(&self, bark: BarkFace) -> (Length, Length) {
        let [x, z] = self.at;
        let (depth, offset) = match bark {
            BarkFace::Up => (-z, x),
            BarkFace::Down => (z - self.size.thickness().mm(), -x),
        };
        (
            Length::from_mm_unchecked(depth),
            Length::from_mm_unchecked(offset),
        )
    }

    /// Its rings over the photo, as [`RingsReading::lines`].
    #[must_use]
    pub fn lines(&self, corners: &Corners) -> PhotoLines {
        lines_about(&self.size, corners, self.at)
    }
}
