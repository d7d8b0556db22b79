//! Where the rings of a board are, given in any of the ways a maker can see them.

use super::{Rings, RingsInPhoto, error};
use crate::species::Sawn;
use crate::units::{Angle, Bounds, Length, Refusal};

/// Said of the width of a board whose rings are not given.
pub const RINGS_NOT_GIVEN: &str =
    "the rings are not given: the width is that of flat-sawn wood, the maximum change";

/// What stands for a cup where only the way of sawing is given.
pub const CUP_NOT_KNOWN: &str = "cup not known: give the rings";

/// The rings of one board, as a maker tells them from its end grain.
///
/// The section is seen bark side up; places along the width run from the centre
/// line, positive to the right.
#[derive(Debug, Clone, PartialEq)]
pub enum GivenRings {
    /// Where the pith is.
    Pith {
        /// Heart-side face square down to the pith.
        depth: Length,
        /// Centre line to the pith.
        offset: Length,
    },
    /// One ring's arc, which need not span the board: its rise over a chord. The ring's radius
    /// follows from `R = (c^2/4 + h^2)/(2 h)`.
    RingRise {
        /// Rise of the arc over the chord, toward the bark.
        rise: Length,
        /// The chord.
        chord: Length,
        /// Height of the ring's crown above the heart face; else mid-thickness.
        crown: Option<Length>,
        /// Place of the crown along the width; else the centre line.
        centre: Option<Length>,
    },
    /// One ring's radius, read by laying a printed arc on the end grain.
    RingRadius {
        /// The radius.
        radius: Length,
        /// Height of the ring's crown above the heart face; else mid-thickness.
        crown: Option<Length>,
        /// Place of the crown along the width; else the centre line.
        centre: Option<Length>,
    },
    /// The rings' angle at two or more places: centre line to the place, and the tangent of the ring
    /// to the face at mid-thickness there, positive rising to the right.
    RingAngles(Vec<(Length, Angle)>),
    /// Only the way the board was sawn: straight rings for the width; the cup is not known.
    Sawn(Sawn),
    /// Not given: the width is that of flat-sawn wood, the maximum change; the cup is not known.
    NotGiven,
    /// A photo of the end, which is read apart.
    Photo(Box<RingsInPhoto>),
}

impl Sawn {
    /// The straight rings it means.
    #[must_use]
    pub const fn rings(self) -> Rings {
        Rings::Straight {
            angle: self.angle(),
        }
    }
}

impl GivenRings {
    /// Whether they give the cup: the way of sawing alone does not, for straight rings are its rule and not
    /// what the board has.
    #[must_use]
    pub const fn give_cup(&self) -> bool {
        !matches!(self, Self::Sawn(_) | Self::NotGiven)
    }

    /// The rings of a board of this width and thickness.
    ///
    /// # Errors
    /// [`Refusal`] when what was given is no ring, or a ring of a board that lies heart side up.
    pub fn rings(&self, width: Length, thickness: Length) -> Result<Rings, Refusal> {
        let rings = match self {
            Self::Sawn(sawn) => return Ok(sawn.rings()),
            Self::NotGiven => return Ok(Sawn::Flat.rings()),
            Self::Photo(_) => return Err(error::photo_not_read()),
            Self::Pith { depth, offset } => Rings::Pith {
                depth: *depth,
                offset: *offset,
            },
            Self::RingRise {
                rise,
                chord,
                crown,
                centre,
            } => {
                let (h, c) = (rise.mm(), chord.mm());
                if c <= 0.0 {
                    return Err(error::chord_not_positive(*chord));
                }
                if h <= 0.0 {
                    return Err(error::rise_not_positive(*rise));
                }
                if h > c / 2.0 {
                    return Err(error::rise_beyond_half_circle(*rise, *chord));
                }
                let radius = Length::from_mm_unchecked((c * c / 4.0 + h * h) / (2.0 * h));
                below_crown(radius, *crown, *centre, thickness)?
            }
            Self::RingRadius {
                radius,
                crown,
                centre,
            } => below_crown(*radius, *crown, *centre, thickness)?,
            Self::RingAngles(angles) => fit_angles(angles, width, thickness)?,
        };
        match rings {
            Rings::Pith { depth, .. } if -depth.mm() > thickness.mm() => {
                Err(error::pith_above_bark_face(-depth))
            }
            Rings::Pith { depth, offset }
                if depth.mm() > Bounds::PITH_DEPTH.max
                    || offset.mm().abs() > Bounds::PITH_DEPTH.max =>
            {
                Err(error::pith_too_far(depth, offset))
            }
            _ => Ok(rings),
        }
    }
}

fn below_crown(
    radius: Length,
    crown: Option<Length>,
    centre: Option<Length>,
    thickness: Length,
) -> Result<Rings, Refusal> {
    let radius = radius.within(Bounds::RING_RADIUS).map_err(error::radius)?;
    Ok(Rings::Pith {
        depth: radius - crown.unwrap_or(thickness / 2.0),
        offset: centre.unwrap_or(Length::ZERO),
    })
}

/// least squares for the pith in `(x_i - px) cos b_i + (z_i - pz) sin b_i = 0`, with `z_i` at
/// mid-thickness. Angles that agree within a twentieth of a degree are straight rings.
fn fit_angles(
    angles: &[(Length, Angle)],
    width: Length,
    thickness: Length,
) -> Result<Rings, Refusal> {
    if angles.len() < 2 {
        return Err(error::too_few_angles(angles.len()));
    }
    let half = width.mm() / 2.0;
    if let Some(outside) = angles
        .iter()
        .find(|(at, _)| at.mm().abs() > half * (1.0 + 1e-9))
    {
        return Err(error::place_off_board(outside.0, width / 2.0));
    }
    let (mut min, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for (at, _) in angles {
        (min, most) = (min.min(at.mm()), most.max(at.mm()));
    }
    if most - min < 1e-3 * width.mm() {
        return Err(error::places_coincide(angles[0].0));
    }
    let z = thickness.mm() / 2.0;
    let (mut cc, mut cs, mut ss, mut rc, mut rs) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for (at, angle) in angles {
        let (sin, cos) = libm::sincos(angle.radians());
        let right = at.mm() * cos + z * sin;
        cc += cos * cos;
        cs += cos * sin;
        ss += sin * sin;
        rc += cos * right;
        rs += sin * right;
    }
    // The determinant is the sum of sin^2 of the angle differences over all pairs.
    let determinant = cc * ss - cs * cs;
    let straight = libm::sin((0.05_f64).to_radians()).powi(2);
    if determinant < straight {
        return Ok(Rings::Straight {
            angle: Angle::computed_degrees((libm::atan2(2.0 * cs, cc - ss) / 2.0).to_degrees()),
        });
    }
    let (px, pz) = (
        (rc * ss - rs * cs) / determinant,
        (cc * rs - cs * rc) / determinant,
    );
    Ok(Rings::Pith {
        depth: Length::from_mm_unchecked(-pz),
        offset: Length::from_mm_unchecked(px),
    })
}
