//! The section map: one map gives width, thickness, cup and the out-of-square.
//!
//! The section is seen from the end that was measured, bark side up: `x`
//! across the width from the centre line, positive to the right, `z` up from
//! the heart-side face. With `e_R` and `e_T` the radial and tangential strains,
//! a board that does not contain the pith takes, free of stress, the shape
//! `r -> (1 + e_R) r`, `theta -> theta (1 + e_T)/(1 + e_R)` about the pith.
//! The metric `(1+e_R)^2 dr^2 + (1+e_T)^2 r^2 dtheta^2` is flat under this
//! map, so it is exact: there is no small-angle step.
//! Straight rings are the limit of a pith infinitely far away.

use crate::units::{Angle, Length, Strain};

/// Where the rings of a section are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rings {
    /// Rings round a pith: `depth` from the heart-side face square down to the
    /// pith (negative when the pith lies above that face), `offset` to the right of
    /// the centre line.
    Pith {
        /// Heart-side face down to the pith.
        depth: Length,
        /// Centre line to the pith, positive to the right.
        offset: Length,
    },
    /// Straight rings at an angle to the face: 0 flat-sawn, 90 quartersawn.
    Straight {
        /// Ring to face.
        angle: Angle,
    },
}

/// A rectangular section with its rings, before it moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Width of the face.
    pub width: Length,
    /// Face to face.
    pub thickness: Length,
    /// Where the rings are.
    pub rings: Rings,
}

/// One of the two broad faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// The face toward the bark: up, `z` = thickness.
    Bark,
    /// The face toward the pith: down, `z` = 0.
    Heart,
}

/// The strains of one change of moisture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingStrains {
    /// Square to the rings.
    pub radial: Strain,
    /// Along the rings.
    pub tangential: Strain,
}

/// A section after it moved: the map, ready to be read at any point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MovedSection {
    section: Section,
    map: Map,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Map {
    Polar {
        pith_x: f64,
        pith_z: f64,
        radial: f64,
        turn: f64,
    },
    Linear {
        xx: f64,
        xz: f64,
        zx: f64,
        zz: f64,
    },
}

impl Section {
    /// Whether the pith lies inside the section or on its outline: it will
    /// check, and no stress-free shape exists.
    #[must_use]
    pub fn contains_pith(&self) -> bool {
        match self.rings {
            Rings::Pith { depth, offset } => {
                let z = -depth.mm();
                z >= 0.0 && z <= self.thickness.mm() && offset.mm().abs() <= self.width.mm() / 2.0
            }
            Rings::Straight { .. } => false,
        }
    }

    /// The section after a change of moisture; `None` when it contains the pith.
    #[must_use]
    pub fn moved(&self, strains: RingStrains) -> Option<MovedSection> {
        if self.contains_pith() {
            return None;
        }
        let (stretch_r, stretch_t) = (
            1.0 + strains.radial.ratio(),
            1.0 + strains.tangential.ratio(),
        );
        let map = match self.rings {
            Rings::Pith { depth, offset } => Map::Polar {
                pith_x: offset.mm(),
                pith_z: -depth.mm(),
                radial: stretch_r,
                turn: stretch_t / stretch_r,
            },
            Rings::Straight { angle } => {
                let (sin, cos) = angle.radians().sin_cos();
                Map::Linear {
                    xx: stretch_t * cos * cos + stretch_r * sin * sin,
                    xz: (stretch_t - stretch_r) * sin * cos,
                    zx: (stretch_t - stretch_r) * sin * cos,
                    zz: stretch_t * sin * sin + stretch_r * cos * cos,
                }
            }
        };
        Some(MovedSection {
            section: *self,
            map,
        })
    }
}

impl MovedSection {
    /// The section before it moved.
    #[must_use]
    pub const fn before(&self) -> Section {
        self.section
    }

    /// Where the point `(x, z)` of the section went, millimetres. For rings round a
    /// pith the origin is the pith; only differences carry meaning.
    #[must_use]
    pub fn point_mm(&self, x: f64, z: f64) -> (f64, f64) {
        match self.map {
            Map::Polar {
                pith_x,
                pith_z,
                radial,
                turn,
            } => {
                let (dx, dz) = (x - pith_x, z - pith_z);
                // The angle is taken from the line pith to the section's middle, so that the cut of the
                // arctangent lies behind the pith, outside the board.
                let middle = (-pith_x).atan2(self.section.thickness.mm() / 2.0 - pith_z);
                let (sin, cos) = middle.sin_cos();
                let theta = (dx * cos - dz * sin).atan2(dx * sin + dz * cos) * turn + middle;
                let r = dx.hypot(dz) * radial;
                (r * theta.sin(), r * theta.cos())
            }
            Map::Linear { xx, xz, zx, zz } => (xx * x + xz * z, zx * x + zz * z),
        }
    }

    const fn face_z(&self, face: Face) -> f64 {
        match face {
            Face::Bark => self.section.thickness.mm(),
            Face::Heart => 0.0,
        }
    }

    /// Width of a face, as its chord.
    #[must_use]
    pub fn width(&self, face: Face) -> Length {
        let (half, z) = (self.section.width.mm() / 2.0, self.face_z(face));
        let (left, right) = (self.point_mm(-half, z), self.point_mm(half, z));
        Length::computed_mm((right.0 - left.0).hypot(right.1 - left.1))
    }

    /// Thickness at `x` across the width: the distance of the two face points.
    #[must_use]
    pub fn thickness_at(&self, x: Length) -> Length {
        let (low, high) = (
            self.point_mm(x.mm(), 0.0),
            self.point_mm(x.mm(), self.section.thickness.mm()),
        );
        Length::computed_mm((high.0 - low.0).hypot(high.1 - low.1))
    }

    /// Height of the face point at `x` over that face's chord, positive upward.
    #[must_use]
    pub fn rise_at(&self, face: Face, x: Length) -> Length {
        Length::computed_mm(self.rise_mm(face, x.mm()))
    }

    fn rise_mm(&self, face: Face, x: f64) -> f64 {
        let (half, z) = (self.section.width.mm() / 2.0, self.face_z(face));
        let (left, right) = (self.point_mm(-half, z), self.point_mm(half, z));
        let (ux, uz) = (right.0 - left.0, right.1 - left.1);
        let chord = ux.hypot(uz);
        let p = self.point_mm(x, z);
        (ux * (p.1 - left.1) - uz * (p.0 - left.0)) / chord
    }

    /// Cup of a face: the greatest rise of its arc over its chord, positive
    /// when *that* face is hollow. 0 for straight rings.
    #[must_use]
    pub fn cup(&self, face: Face) -> Length {
        let hollow = match face {
            Face::Bark => -1.0,
            Face::Heart => 1.0,
        };
        let half = self.section.width.mm() / 2.0;
        // A face is one arch: the rise has a single extreme. Golden-section search on its size.
        let size = |x: f64| self.rise_mm(face, x).abs();
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        let (mut low, mut high) = (-half, half);
        let (mut a, mut b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
        let (mut at_a, mut at_b) = (size(a), size(b));
        for _ in 0..24 {
            if at_a > at_b {
                (high, b, at_b) = (b, a, at_a);
                a = high - GOLDEN * (high - low);
                at_a = size(a);
            } else {
                (low, a, at_a) = (a, b, at_b);
                b = low + GOLDEN * (high - low);
                at_b = size(b);
            }
        }
        let rise = self.rise_mm(face, (low + high) / 2.0);
        Length::computed_mm(hollow * if rise.abs() < 1e-9 { 0.0 } else { rise })
    }

    /// How far the left and the right edge are off square to the bark face's chord:
    /// positive where the edge leans outward on the right (or inward on the left) going up,
    /// that is, counter-clockwise angle to the chord less 90 degrees.
    #[must_use]
    pub fn edges_off_square(&self) -> (Angle, Angle) {
        let (half, t) = (self.section.width.mm() / 2.0, self.section.thickness.mm());
        let (left, right) = (self.point_mm(-half, t), self.point_mm(half, t));
        let chord = (right.1 - left.1).atan2(right.0 - left.0);
        let off = |x: f64| {
            let (low, high) = (self.point_mm(x, 0.0), self.point_mm(x, t));
            let mut angle = ((high.1 - low.1).atan2(high.0 - low.0) - chord).to_degrees() - 90.0;
            if angle < -180.0 {
                angle += 360.0;
            }
            Angle::computed_degrees(angle)
        };
        (off(-half), off(half))
    }

    /// The outline after the move, counter-clockwise from the lower left corner, `per_face`
    /// points on each face, turned and shifted so that the heart face's chord lies on
    /// `z` = 0 with its middle at `x` = 0. Millimetres.
    #[must_use]
    pub fn outline_mm(&self, per_face: usize) -> Vec<(f64, f64)> {
        let n = per_face.max(2);
        let (half, t) = (self.section.width.mm() / 2.0, self.section.thickness.mm());
        let at = |i: usize| -half + 2.0 * half * i as f64 / (n - 1) as f64;
        let (left, right) = (self.point_mm(-half, 0.0), self.point_mm(half, 0.0));
        let (dx, dz) = (right.0 - left.0, right.1 - left.1);
        let (cos, sin) = (dx / dx.hypot(dz), dz / dx.hypot(dz));
        let (mx, mz) = ((left.0 + right.0) / 2.0, (left.1 + right.1) / 2.0);
        (0..n)
            .map(|i| self.point_mm(at(i), 0.0))
            .chain((0..n).rev().map(|i| self.point_mm(at(i), t)))
            .map(|(x, z)| {
                (
                    (x - mx) * cos + (z - mz) * sin,
                    (z - mz) * cos - (x - mx) * sin,
                )
            })
            .collect()
    }
}
