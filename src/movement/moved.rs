//! A section after it moved, read at any point.

use super::{Face, RingStrains, Rings, Section};
use crate::units::{Angle, Curvature, Length};

/// A section after it moved: the map, ready to be read at any point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MovedSection {
    section: Section,
    map: Map,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Map {
    Polar {
        /// `1 + e_R`.
        radial: f64,
        /// `(1 + e_T)/(1 + e_R) - 1`: the further turn about the pith for each turn of the place.
        turn: f64,
    },
    Linear {
        xx: f64,
        xz: f64,
        zx: f64,
        zz: f64,
    },
}

/// A point of a section before it moved: from the pith, with its angle there; where the rings are straight, from the section's own
/// zero.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Place {
    x: f64,
    z: f64,
    theta: f64,
}

impl Place {
    fn of(section: &Section, x: f64, z: f64) -> Self {
        let Rings::Pith { depth, offset } = section.rings else {
            return Self { x, z, theta: 0.0 };
        };
        let (pith_x, pith_z) = (offset.mm(), -depth.mm());
        let (middle_x, middle_z) = (-pith_x, section.thickness.mm() / 2.0 - pith_z);
        let (x, z) = (x - pith_x, z - pith_z);
        // The angle is taken from the line pith to the section's middle, so that the cut of
        // the arctangent lies behind the pith, outside the board.
        let theta = libm::atan2(x * middle_z - z * middle_x, x * middle_x + z * middle_z);
        Self { x, z, theta }
    }
}

/// Sine and cosine of the angle of straight rings; none of rings round a pith.
fn slant(rings: Rings) -> Option<(f64, f64)> {
    match rings {
        Rings::Straight { angle } => Some(libm::sincos(angle.radians())),
        Rings::Pith { .. } => None,
    }
}

/// A section's width and rise on its bark face and its thickness at the center line, to be read after one change of moisture and
/// another: where its points are about the pith, or how its rings are slanted, is found once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizesRead {
    section: Section,
    slant: Option<(f64, f64)>,
    /// Left and right end of the bark face, the place of its rise, and the center line on either face.
    places: [Place; 5],
}

impl SizesRead {
    /// Of a section whose bark face rises at `crown` from the center line; `None` when it contains the pith.
    #[must_use]
    pub fn of(section: Section, crown: Length) -> Option<Self> {
        if section.contains_pith() {
            return None;
        }
        let (half, z) = (section.width.mm() / 2.0, section.thickness.mm());
        let points = [(-half, z), (half, z), (crown.mm(), z), (0.0, 0.0), (0.0, z)];
        Some(Self {
            section,
            slant: slant(section.rings),
            places: points.map(|(x, z)| Place::of(&section, x, z)),
        })
    }

    /// Width, rise over the chord, positive upward, and thickness after these strains.
    #[must_use]
    pub fn after(&self, strains: RingStrains) -> [Length; 3] {
        let moved = MovedSection::slanted(self.section, self.slant, strains);
        let [left, right, crown, low, high] = &self.places;
        let chord = Chord::between(moved.point(left), moved.point(right));
        let (low, high) = (moved.point(low), moved.point(high));
        let thick = (high.0 - low.0, high.1 - low.1);
        let thick = (thick.0 * thick.0 + thick.1 * thick.1).sqrt();
        [
            Length::from_mm_unchecked(chord.length),
            Length::from_mm_unchecked(chord.rise(moved.point(crown))),
            Length::from_mm_unchecked(thick),
        ]
    }
}

/// Every size of a moved section at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MovedSizes {
    /// Chord of the bark-side face.
    pub width_bark_face: Length,
    /// Chord of the heart-side face.
    pub width_heart_face: Length,
    /// Thickness at the left edge, from face point to face point.
    pub thickness_left: Length,
    /// Thickness at the centre line.
    pub thickness_middle: Length,
    /// Thickness at the right edge.
    pub thickness_right: Length,
    /// Maximum rise of the bark-side face over its chord, positive when that face is hollow.
    pub cup_bark_face: Length,
    /// Maximum rise of the heart-side face over its chord, positive when that face is hollow.
    pub cup_heart_face: Length,
}

#[derive(Debug, Clone, Copy)]
struct Chord {
    left: (f64, f64),
    right: (f64, f64),
    length: f64,
    unit_x: f64,
    unit_z: f64,
}

impl Chord {
    fn between(left: (f64, f64), right: (f64, f64)) -> Self {
        let (ux, uz) = (right.0 - left.0, right.1 - left.1);
        let length = (ux * ux + uz * uz).sqrt();
        Self {
            left,
            right,
            length,
            unit_x: ux / length,
            unit_z: uz / length,
        }
    }

    fn rise(&self, p: (f64, f64)) -> f64 {
        self.unit_x * (p.1 - self.left.1) - self.unit_z * (p.0 - self.left.0)
    }
}

/// Sine and cosine of the small turn of the map, by their series below a twentieth of a
/// radian, where the first term left out is under 1e-17.
fn small_sin_cos(angle: f64) -> (f64, f64) {
    if angle.abs() < 0.05 {
        let q = angle * angle;
        // Inverses of constants: no division is left when the program runs.
        let less = |of: f64, rest: f64| 1.0 - q * (1.0 / of) * rest;
        let sin = angle * less(6.0, less(20.0, less(42.0, 1.0)));
        let cos = less(2.0, less(12.0, less(30.0, less(56.0, 1.0))));
        (sin, cos)
    } else {
        libm::sincos(angle)
    }
}

impl MovedSection {
    /// The map of a section that does not contain its pith.
    pub(super) fn of(section: Section, strains: RingStrains) -> Self {
        Self::slanted(section, slant(section.rings), strains)
    }

    /// The same with the [`slant`] of its rings known.
    fn slanted(section: Section, slant: Option<(f64, f64)>, strains: RingStrains) -> Self {
        let (stretch_r, stretch_t) = (
            1.0 + strains.radial.ratio(),
            1.0 + strains.tangential.ratio(),
        );
        let map = match slant {
            None => Map::Polar {
                radial: stretch_r,
                turn: (strains.tangential.ratio() - strains.radial.ratio()) / stretch_r,
            },
            Some((sin, cos)) => Map::Linear {
                xx: stretch_t * cos * cos + stretch_r * sin * sin,
                xz: (stretch_t - stretch_r) * sin * cos,
                zx: (stretch_t - stretch_r) * sin * cos,
                zz: stretch_t * sin * sin + stretch_r * cos * cos,
            },
        };
        Self { section, map }
    }

    /// The section before it moved.
    #[must_use]
    pub const fn before(&self) -> Section {
        self.section
    }

    /// Where the point `(x, z)` of the section went, millimetres. For rings round a
    /// pith the origin is the pith and the line from it to the section's middle keeps its direction.
    #[must_use]
    pub fn point_mm(&self, x: f64, z: f64) -> (f64, f64) {
        self.point(&Place::of(&self.section, x, z))
    }

    #[inline]
    fn point(&self, place: &Place) -> (f64, f64) {
        let Place { x, z, theta } = *place;
        match self.map {
            Map::Polar { radial, turn } => {
                let (sin, cos) = small_sin_cos(theta * turn);
                (radial * (x * cos + z * sin), radial * (z * cos - x * sin))
            }
            Map::Linear { xx, xz, zx, zz } => (xx * x + xz * z, zx * x + zz * z),
        }
    }

    /// Where a point went, and how that changes along the width: its derivative in `x`.
    #[inline]
    fn point_and_course(&self, x: f64, z: f64) -> ((f64, f64), (f64, f64)) {
        let place = Place::of(&self.section, x, z);
        let point = self.point(&place);
        let course = match self.map {
            Map::Polar { radial, turn } => {
                let (sin, cos) = small_sin_cos(place.theta * turn);
                let turning = turn * place.z / (place.x * place.x + place.z * place.z);
                (
                    radial * cos + turning * point.1,
                    -radial * sin - turning * point.0,
                )
            }
            Map::Linear { xx, zx, .. } => (xx, zx),
        };
        (point, course)
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
        Length::from_mm_unchecked(self.chord(face).length)
    }

    /// Thickness at `x` across the width: the distance of the two face points.
    #[must_use]
    pub fn thickness_at(&self, x: Length) -> Length {
        let (low, high) = (
            self.point_mm(x.mm(), 0.0),
            self.point_mm(x.mm(), self.section.thickness.mm()),
        );
        Length::from_mm_unchecked(libm::hypot(high.0 - low.0, high.1 - low.1))
    }

    /// Height of the face point at `x` over that face's chord, positive upward.
    #[must_use]
    pub fn rise_at(&self, face: Face, x: Length) -> Length {
        Length::from_mm_unchecked(self.rise_mm(face, x.mm()))
    }

    fn rise_mm(&self, face: Face, x: f64) -> f64 {
        self.chord(face).rise(self.point_mm(x, self.face_z(face)))
    }

    /// Cup of a face from its rings and from a moisture slope together: the ring cup plus the arc of
    /// the slope's curvature `kappa w^2/8` over the face's chord. Curvature is positive when the heart
    /// face turns hollow ([`super::curvature_of_moisture_slope`]).
    #[must_use]
    pub fn cup_with(&self, face: Face, of_slope: Curvature) -> Length {
        let arc = of_slope.rise_over(self.width(face));
        self.cup(face)
            + match face {
                Face::Bark => -arc,
                Face::Heart => arc,
            }
    }

    /// Cup of a face: the maximum rise of its arc over its chord, positive
    /// when *that* face is hollow. 0 for straight rings.
    #[must_use]
    pub fn cup(&self, face: Face) -> Length {
        let hollow = match face {
            Face::Bark => -1.0,
            Face::Heart => 1.0,
        };
        let rise = self.max_rise_mm(face, self.chord(face));
        Length::from_mm_unchecked(hollow * if rise.abs() < 1e-9 { 0.0 } else { rise })
    }

    fn chord(&self, face: Face) -> Chord {
        let (half, z) = (self.section.width.mm() / 2.0, self.face_z(face));
        Chord::between(self.point_mm(-half, z), self.point_mm(half, z))
    }

    /// The maximum rise of a face over its chord, with its sign. A face is one arch (the mapped
    /// line bends one way only), so the slope of its rise falls, or grows, all the way and its root
    /// is bracketed.
    fn max_rise_mm(&self, face: Face, chord: Chord) -> f64 {
        let Map::Polar { .. } = self.map else {
            return 0.0;
        };
        let (half, z) = (self.section.width.mm() / 2.0, self.face_z(face));
        let look = |x: f64| {
            let (point, course) = self.point_and_course(x, z);
            (
                chord.rise(point),
                chord.unit_x * course.1 - chord.unit_z * course.0,
            )
        };
        let (mut rise, mut slope) = look(0.0);
        if rise.abs() < 1e-9 {
            return rise;
        }
        let sign = rise.signum();
        let (mut x, mut low, mut high) = (0.0, -half, half);
        // For a parabola the second derivative is -2 rise/half^2, so that one step already lands.
        let mut bend = -2.0 * rise / (half * half);
        for _ in 0..40 {
            if slope * sign > 0.0 {
                low = x;
            } else {
                high = x;
            }
            let mut next = x - slope / bend;
            if !(next > low && next < high) {
                next = (low + high) / 2.0;
            }
            // Near its top the rise is a parabola: what is left is half the slope times the way. With the pith close to the
            // face the top is sharp, and the step must be short beside its radius too.
            let left = slope * (next - x) / 2.0;
            if (next - x).abs() < 5e-3 * half && left.abs() < 1e-6 * rise.abs() {
                return rise + left;
            }
            let (rise_there, slope_there) = look(next);
            if (slope_there - slope).abs() > f64::MIN_POSITIVE {
                bend = (slope_there - slope) / (next - x);
            }
            (x, rise, slope) = (next, rise_there, slope_there);
        }
        rise
    }

    /// Every size of the moved section at once.
    #[must_use]
    pub fn sizes(&self) -> MovedSizes {
        let (bark, heart) = (self.chord(Face::Bark), self.chord(Face::Heart));
        let apart = |a: (f64, f64), b: (f64, f64)| {
            Length::from_mm_unchecked(libm::hypot(a.0 - b.0, a.1 - b.1))
        };
        MovedSizes {
            width_bark_face: Length::from_mm_unchecked(bark.length),
            width_heart_face: Length::from_mm_unchecked(heart.length),
            thickness_left: apart(bark.left, heart.left),
            thickness_middle: self.thickness_at(Length::ZERO),
            thickness_right: apart(bark.right, heart.right),
            cup_bark_face: Length::from_mm_unchecked(-self.max_rise_mm(Face::Bark, bark)),
            cup_heart_face: Length::from_mm_unchecked(self.max_rise_mm(Face::Heart, heart)),
        }
    }

    /// How far the left and the right edge are off square to the bark face's chord: the angle
    /// inside the section between that chord and the straight line along the edge, less 90
    /// degrees. Positive where the corner at the bark face is wider than square, on either side.
    #[must_use]
    pub fn edges_off_square(&self) -> (Angle, Angle) {
        let (half, t) = (self.section.width.mm() / 2.0, self.section.thickness.mm());
        let chord = self.chord(Face::Bark);
        // Leaning of the edge, going up, toward the left of the chord's normal.
        let lean = |x: f64| {
            let (low, high) = (self.point_mm(x, 0.0), self.point_mm(x, t));
            let (ex, ez) = (high.0 - low.0, high.1 - low.1);
            let (along, up) = (
                ex * chord.unit_x + ez * chord.unit_z,
                ez * chord.unit_x - ex * chord.unit_z,
            );
            libm::atan2(-along, up).to_degrees()
        };
        (
            Angle::computed_degrees(-lean(-half)),
            Angle::computed_degrees(lean(half)),
        )
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
        let (cos, sin) = (dx / libm::hypot(dx, dz), dz / libm::hypot(dx, dz));
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
