//! `[[bows]]`: how boards of the case lie when nothing holds them, and how they are held.

use super::straighten::modulus;
use super::words::{CrownWord, HeldWord};
use crate::carcass::frame::{BondQuality, FreeShape, Hold, MeasuredBond};
use crate::joint::{PartId, Parts, RecipeReader};
use crate::piece::Piece;
use crate::units::notation::{Lengths, Number};
use crate::units::spanned::{Name, Placed, Problems, Spanned};
use crate::units::{Bounds, Force, Length, Stress};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// How one board of the case bows when free. Measure it on edge, so that its own weight does not bend it.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BowKeys {
    /// The board: a part, or one of its copies.
    pub part: Spanned<Name>,
    /// Rise of its bow over its length.
    pub bow: Option<Spanned<Length>>,
    /// Heights at several places instead of one bow.
    pub heights: Option<Placed<HeightKeys>>,
    /// Which way its crown faces as it lies in the piece: up or down, for an upright left or right; up (left) unless given.
    pub crown: Option<Spanned<CrownWord>>,
    /// Stiffness along the grain; that of its wood unless given.
    pub stiffness: Option<Spanned<Stress>>,
    /// Quality of its joints, where it is known: 0 turns freely, 1 is a perfect bond.
    pub q: Option<Spanned<Number>>,
    /// Quality of its joints from a test instead: clamp an arm of its thickness at its shoulder, load its tip and note the drop; then glue it as an
    /// L to an off-cut of the other board, housed as in the piece, and load it alike.
    pub q_test: Option<Placed<BondTestKeys>>,
    /// How its ends are held: "glued", "screwed" or "dry"; as its joints say unless given.
    pub held: Option<Spanned<HeldWord>>,
    /// The residual bow allowed; 1/500 of its span unless given.
    pub allowed: Option<Spanned<Length>>,
}

/// A test of a glued joint: how much farther the tip of an arm drops when the joint holds it than when a clamp does.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BondTestKeys {
    /// The load at the tip, such as "60N" or "15lbf".
    pub load: Spanned<Force>,
    /// Length of the arm from its shoulder to the load.
    pub arm: Spanned<Length>,
    /// Width of the arm.
    pub width: Spanned<Length>,
    /// How much farther the tip drops than when the arm is clamped at its shoulder.
    pub extra_drop: Spanned<Length>,
}

impl BondTestKeys {
    /// Load times arm squared over the extra drop is the joint's stiffness; here for each mm of its width.
    fn bond(&self, site: &mut RecipeReader<'_>) -> Option<MeasuredBond> {
        let load = site.take(&self.load);
        let [arm, width, drop] = [
            (&self.arm, Bounds::LENGTH),
            (&self.width, Bounds::WIDTH),
            (&self.extra_drop, Bounds::DEPTH),
        ]
        .map(|(given, bounds)| site.length(given, bounds));
        let (load, arm, width, drop) = (load?, arm?, width?, drop?);
        if load.newtons() <= 0.0 || drop.mm() <= 0.0 {
            site.problem(
                self.extra_drop.span(),
                "a joint that does not give cannot be told from one that was not loaded".to_owned(),
                "load the arm until the tip drops farther than when it was clamped, and give both above zero",
            );
            return None;
        }
        Some(MeasuredBond::Corner(
            load.newtons() * arm.mm() * arm.mm() / drop.mm() / width.mm(),
        ))
    }
}

/// Heights over a straightedge.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct HeightKeys {
    /// Places from the left or lower end; few, well apart.
    pub at: Spanned<Lengths>,
    /// The height at each, positive where the board stands away from the straightedge toward its crown.
    pub rise: Spanned<Lengths>,
}

/// How one board bows, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct BowPlan {
    /// Where the file has it.
    pub span: Range<usize>,
    /// The part.
    pub part: PartId,
    /// Its bodies in the piece.
    pub bodies: Vec<usize>,
    /// Its free shape from its left or lower end, as it lies.
    pub shape: FreeShape,
    /// Stiffness where it is given.
    pub stiffness: Option<Stress>,
    /// What was measured of its bonds.
    pub bond: Option<MeasuredBond>,
    /// How its ends are held where that is given.
    pub held: Option<Hold>,
    /// The residual bow allowed.
    pub allowed: Option<Length>,
}

impl BowKeys {
    /// The checked plan, or `None` after noting every problem.
    pub fn read(
        &self,
        span: Range<usize>,
        parts: &Parts<'_>,
        piece: &Piece,
        problems: &mut Problems,
    ) -> Option<BowPlan> {
        let mut site = RecipeReader::new(parts, problems, span.clone());
        let named = site.take(&self.part)?;
        let copy = piece.bodies.iter().position(|body| body.name == named.0);
        let (part, bodies) = match copy {
            Some(body) => (PartId(piece.bodies[body].part), vec![body]),
            None => {
                let part = site.part(&self.part)?;
                (part, piece.bodies_of(part.0).collect())
            }
        };
        if bodies.is_empty() {
            site.problem_here(
                "the piece does not say where this board is, and its frame is built from places",
                "give the part its places, or ask `straighten` about one panel and its supports",
            );
            return None;
        }
        let stiffness = modulus(&mut site, self.stiffness.as_ref());
        let crown = site.take_optional(self.crown.as_ref());
        let held = site.take_optional(self.held.as_ref());
        let allowed = match &self.allowed {
            Some(given) => site.length(given, Bounds::DEPTH).map(Some),
            None => Some(None),
        };
        let bond = self.bond(&mut site);
        let sign = if crown?.is_none_or(|word| word.0) {
            1.0
        } else {
            -1.0
        };
        let shape = self.shape(sign, site.facts(part).length, &mut site);
        Some(BowPlan {
            span,
            part,
            bodies,
            shape: shape?,
            stiffness: stiffness?,
            bond: bond?,
            held: held?.map(|word| word.0),
            allowed: allowed?,
        })
    }

    fn bond(&self, site: &mut RecipeReader<'_>) -> Option<Option<MeasuredBond>> {
        let given = match (&self.q, &self.q_test) {
            (None, None) => return Some(None),
            (None, Some(test)) => return test.get().bond(site).map(Some),
            (Some(given), None) => given,
            (Some(given), Some(_)) => {
                site.problem(
                    given.span(),
                    "the quality of this bond is given twice, as q and by its test".to_owned(),
                    "keep the test, and leave q out",
                );
                return None;
            }
        };
        let Number(q) = site.take(given)?;
        if (0.0..=BondQuality::GLUED.high).contains(&q) {
            return Some(Some(MeasuredBond::Quality(q)));
        }
        site.problem(
            given.span(),
            format!("a bond of quality {q} does not exist"),
            "give a number from 0 (it turns freely) to 1 (a perfect bond)",
        );
        None
    }

    fn shape(&self, sign: f64, length: Length, site: &mut RecipeReader<'_>) -> Option<FreeShape> {
        match (&self.bow, &self.heights) {
            (Some(bow), None) => {
                let bow = site.length(bow, Bounds::DEPTH)?;
                Some(FreeShape::bow(sign * bow.mm(), length.mm()))
            }
            (None, Some(heights)) => {
                let keys = heights.get();
                let (at, rise) = (site.take(&keys.at), site.take(&keys.rise));
                let (Lengths(at), Lengths(rise)) = (at?, rise?);
                let mm = |lengths: &[Length], sign: f64| -> Vec<f64> {
                    lengths.iter().map(|length| sign * length.mm()).collect()
                };
                match FreeShape::measured(&mm(&at, 1.0), &mm(&rise, sign), length.mm()) {
                    Ok(shape) => Some(shape),
                    Err(error) => {
                        site.problem(heights.span(), error.message(), error.remedy());
                        None
                    }
                }
            }
            _ => {
                site.problem_here(
                    "the bow of this board is given neither as one rise nor as heights",
                    "give bow = \"3/16in\", or heights = { at = \"0in, 28in, 56in\", rise = \"0in, 3/16in, 0in\" }",
                );
                None
            }
        }
    }
}
