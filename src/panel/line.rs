//! The line of a laid leaf's upper face, and the chain of such lines edge to
//! edge: the panel's cup.
//!
//! Each leaf is read in the frame of its own left edge: origin at the upper
//! corner, `x` square to the edge, `z` up along it. The next leaf starts where this
//! one ends, at the angle its right edge has turned to, so edges that were
//! square to the face stay shut and the show faces stay flush. A leaf's own
//! line comes from the exact section map; in the chain the turns (hundredths of a radian) are
//! taken small, which the tests hold against the chain with true rotations.

use crate::movement::{MovedSection, RingStrains, Section};
use crate::units::Curvature;

/// Points kept of one leaf's face, both ends included.
pub(super) const POINTS: usize = 17;

/// The upper face of one laid leaf, millimetres and radians.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Line {
    /// Points of the face in the frame of the left edge; the first is (0, 0).
    pub points: [(f64, f64); POINTS],
    /// How far the right edge has turned against the left; positive when the upper face is hollow.
    pub turn: f64,
}

/// A moved section as it lies in the panel: which way up and which end forward.
pub(super) struct LaidSection {
    moved: MovedSection,
    across: f64,
    up: f64,
    origin: (f64, f64),
    right: (f64, f64),
    edge: (f64, f64),
}

impl LaidSection {
    /// `None` when the section contains the pith.
    pub(super) fn new(
        section: &Section,
        strains: RingStrains,
        bark_up: bool,
        near: bool,
    ) -> Option<Self> {
        let moved = section.moved(strains)?;
        // Turned over about its length a section is turned half round; seen from its
        // other end it is mirrored left to right.
        let up = if bark_up { 1.0 } else { -1.0 };
        let across = if near { up } else { -up };
        let mut laid = Self {
            moved,
            across,
            up,
            origin: (0.0, 0.0),
            right: (1.0, 0.0),
            edge: (0.0, 1.0),
        };
        let half = section.width.mm() / 2.0;
        let (upper, edge) = (laid.raw(-half, true), laid.edge_at(-half));
        laid.origin = upper;
        laid.edge = edge;
        laid.right = (edge.1, -edge.0);
        Some(laid)
    }

    fn raw(&self, x: f64, upper: bool) -> (f64, f64) {
        let thickness = self.moved.before().thickness.mm();
        let bark_face = upper == (self.up > 0.0);
        let z = if bark_face { thickness } else { 0.0 };
        self.raw_inside(x, z)
    }

    fn raw_inside(&self, x: f64, section_z: f64) -> (f64, f64) {
        let (px, pz) = self.moved.point_mm(self.across * x, section_z);
        (self.across * px, self.up * pz)
    }

    fn edge_at(&self, x: f64) -> (f64, f64) {
        let (upper, lower) = (self.raw(x, true), self.raw(x, false));
        let (dx, dz) = (upper.0 - lower.0, upper.1 - lower.1);
        let length = libm::hypot(dx, dz);
        (dx / length, dz / length)
    }

    fn in_frame(&self, point: (f64, f64)) -> (f64, f64) {
        let (dx, dz) = (point.0 - self.origin.0, point.1 - self.origin.1);
        (
            dx * self.right.0 + dz * self.right.1,
            dx * self.edge.0 + dz * self.edge.1,
        )
    }

    /// A point of the laid section, `x` from its middle as laid, on its upper or lower face.
    pub(super) fn face_point(&self, x: f64, upper: bool) -> (f64, f64) {
        self.in_frame(self.raw(x, upper))
    }

    /// A point inside the laid section, given in the section's own `x` and `z`; none outside it.
    pub(super) fn inner_point(&self, section_x: f64, section_z: f64) -> (f64, f64) {
        self.in_frame(self.raw_inside(self.across * section_x, section_z))
    }

    /// Angle of the right edge to the left.
    pub(super) fn turn(&self) -> f64 {
        let right = self.edge_at(self.moved.before().width.mm() / 2.0);
        // Positive counter-clockwise: the upper face turned hollow.
        libm::atan2(
            self.edge.0 * right.1 - self.edge.1 * right.0,
            self.edge.0 * right.0 + self.edge.1 * right.1,
        )
    }

    /// The upper face as a line. Places run along its own chord, heights are its rise over the chord and the chord's
    /// own slope, taken as the angle from the left edge: so read from the other end it is the same line.
    pub(super) fn line(&self) -> Line {
        let half = self.moved.before().width.mm() / 2.0;
        let end = self.face_point(half, true);
        let (chord, slope) = (libm::hypot(end.0, end.1), libm::atan2(end.1, end.0));
        let (cos, sin) = (end.0 / chord, end.1 / chord);
        Line {
            points: std::array::from_fn(|i| {
                let (x, z) = self.face_point(place(2.0 * half, i) - half, true);
                let along = x * cos + z * sin;
                (along, slope * along + z * cos - x * sin)
            }),
            turn: self.turn(),
        }
    }
}

fn place(width: f64, i: usize) -> f64 {
    width * i as f64 / (POINTS - 1) as f64
}

impl Line {
    /// A flat face.
    pub(super) fn flat(width: f64) -> Self {
        Self {
            points: std::array::from_fn(|i| (place(width, i), 0.0)),
            turn: 0.0,
        }
    }

    /// The same line bent by a further arc, positive when it makes the upper face hollow.
    pub(super) fn bent(mut self, curvature: Curvature) -> Self {
        let kappa = curvature.per_mm();
        for point in &mut self.points {
            point.1 += kappa * point.0 * point.0 / 2.0;
        }
        self.turn += kappa * self.end().0;
        self
    }

    /// Stretches the places of its points so that the face takes up `width`; rise over the chord and slope of the
    /// chord are kept.
    pub(super) fn take_width(&mut self, width: f64) {
        let (end, high) = self.end();
        if end > 0.0 {
            for point in &mut self.points {
                let stretched = point.0 * width / end;
                point.1 += (stretched - point.0) * high / end;
                point.0 = stretched;
            }
        }
    }

    pub(super) fn is_flat(&self) -> bool {
        self.turn == 0.0 && self.points.iter().all(|point| point.1 == 0.0)
    }

    /// Where the face ends.
    pub(super) const fn end(&self) -> (f64, f64) {
        self.points[POINTS - 1]
    }
}

/// Lines chained edge to edge, turns taken small: the place of each and the end of the last.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Chain {
    /// Width so far.
    pub x: f64,
    /// Height of the end over the start.
    pub z: f64,
    /// Turn so far.
    pub turn: f64,
}

impl Chain {
    /// The chain with one more line.
    pub(super) fn with(self, width: f64, end_z: f64, turn: f64) -> Self {
        Self {
            x: self.x + width,
            z: self.z + self.turn * width + end_z,
            turn: self.turn + turn,
        }
    }

    /// A point of the next line in the frame of the chain's start.
    pub(super) fn place(&self, point: (f64, f64)) -> (f64, f64) {
        (self.x + point.0, self.z + self.turn * point.0 + point.1)
    }
}

/// Cup of a row of lines: the maximum rise of its upper face over its chord, positive when that
/// face is hollow. Between its points a face is followed by the parabola through three of them.
pub(super) fn cup<'a>(lines: impl Iterator<Item = &'a Line> + Clone) -> f64 {
    let end = lines.clone().fold(Chain::default(), |chain, line| {
        chain.with(line.end().0, line.end().1, line.turn)
    });
    if end.x <= 0.0 {
        return 0.0;
    }
    let slope = end.z / end.x;
    let mut max = 0.0_f64;
    let mut chain = Chain::default();
    for line in lines {
        let hollow = |i: usize| {
            let (x, z) = chain.place(line.points[i]);
            x * slope - z
        };
        let mut here = [0.0; POINTS];
        for (i, value) in here.iter_mut().enumerate() {
            *value = hollow(i);
        }
        for i in 0..POINTS {
            let value = if i > 0 && i + 1 < POINTS {
                peak(here[i - 1], here[i], here[i + 1])
            } else {
                here[i]
            };
            if value.abs() > max.abs() {
                max = value;
            }
        }
        chain = chain.with(line.end().0, line.end().1, line.turn);
    }
    if max.abs() < 1e-9 { 0.0 } else { max }
}

/// Deviation of a row's upper face below its chord at each of its points: `(x, hollow)`.
pub(super) fn deviations(lines: &[&Line]) -> Vec<(f64, f64)> {
    let end = lines.iter().fold(Chain::default(), |chain, line| {
        chain.with(line.end().0, line.end().1, line.turn)
    });
    let slope = if end.x > 0.0 { end.z / end.x } else { 0.0 };
    let mut chain = Chain::default();
    let mut all = Vec::with_capacity(lines.len() * POINTS);
    for line in lines {
        all.extend(line.points.iter().map(|&point| {
            let (x, z) = chain.place(point);
            (x, x * slope - z)
        }));
        chain = chain.with(line.end().0, line.end().1, line.turn);
    }
    all
}

/// Value at the top of the parabola through three equally spaced values, where the middle is the
/// extreme one; else the middle.
fn peak(before: f64, middle: f64, after: f64) -> f64 {
    let (rise, bend) = ((after - before) / 2.0, after - 2.0 * middle + before);
    if middle.abs() >= before.abs() && middle.abs() >= after.abs() && bend.abs() > 1e-15 {
        middle - rise * rise / (2.0 * bend)
    } else {
        middle
    }
}
