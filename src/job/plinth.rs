//! The plinth: the base that the piece stands on, leveled with shims on the floor.

use crate::carcass::keys::PlacedBase;
use crate::joint::joined::part_axis;
use crate::joint::{Axis, PartId};
use crate::piece::{Coordinate, Cuboid, Piece, SpaceAxis};
use crate::units::notation::millimetres;
use crate::units::spanned::{Problems, Spanned};
use crate::units::{Bounds, Length};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// A part nearer to an outer face than this reaches it, mm.
const REACHES_MM: f64 = 1.0;
/// The piece's lowest part and the plinth's top are at one height within this, mm.
const MEETS_MM: f64 = 0.5;

/// The base that the piece stands on: a frame set back under it, leveled with shims on the floor and screwed to the piece.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct PlinthKeys {
    /// From the floor to its top.
    height: Spanned<Length>,
    /// How far it is set back under the front.
    set_back: Spanned<Length>,
    /// How far it is set back at either end; as at the front unless given.
    set_back_ends: Option<Spanned<Length>>,
}

/// The base that the piece stands on.
#[derive(Debug, Clone, PartialEq)]
pub struct Plinth {
    /// From the floor to its top.
    pub height: Length,
    /// How far it is set back under the front.
    pub set_back: Length,
    /// How far it is set back at either end.
    pub set_back_ends: Length,
    /// Bytes of the file.
    pub span: Range<usize>,
}

/// The plinth's own parts: what is wholly below its top.
fn of_plinth(piece: &Piece, height: Length) -> impl Fn(usize) -> bool {
    move |body: usize| {
        let top = piece.bodies[body].cuboid.high(SpaceAxis::Z).length();
        (top - height).mm() < MEETS_MM
    }
}

/// How a piece sits on its floor by its places: on its plinth, or on its lowest parts. `None` where nothing is placed.
pub(super) fn placed_base(piece: &Piece, plinth: Option<&Plinth>) -> Option<PlacedBase> {
    let outer = piece.outer()?;
    let lowest = outer.low(SpaceAxis::Z);
    let at_reach = |mm: f64| mm.abs() < REACHES_MM;
    // What is on the floor: a top that stands over it does not count.
    let on_floor = piece
        .bodies
        .iter()
        .map(|body| body.cuboid)
        .filter(|cuboid| at_reach((cuboid.low(SpaceAxis::Z) - lowest).mm()))
        .reduce(|a, b| a.around(&b))?;
    let size = |cuboid: &Cuboid, axis: SpaceAxis| cuboid.size(axis).length();
    let mut base = [SpaceAxis::X, SpaceAxis::Y].map(|axis| size(&on_floor, axis));
    // Its own parts, where they are placed, are on the floor themselves.
    if let Some(plinth) = plinth
        && !(0..piece.bodies.len()).any(of_plinth(piece, plinth.height))
    {
        base[0] = base[0] - plinth.set_back_ends * 2.0;
        base[1] = base[1] - plinth.set_back;
    }
    let back = outer.high(SpaceAxis::Y);
    let mut reach_back: Vec<(PartId, Axis)> = Vec::new();
    for (index, body) in piece.bodies.iter().enumerate() {
        let one = (PartId(body.part), part_axis(piece, index, SpaceAxis::Y));
        // Boards of the back are thin: what pushes is what runs from front to back.
        let across = one.1 != Axis::Thickness;
        if across
            && at_reach((body.cuboid.high(SpaceAxis::Y) - back).mm())
            && !reach_back.contains(&one)
        {
            reach_back.push(one);
        }
    }
    Some(PlacedBase {
        height: outer.high(SpaceAxis::Z).length(),
        base,
        plinth: plinth.map(|plinth| plinth.height),
        outer: [SpaceAxis::X, SpaceAxis::Y].map(|axis| size(&outer, axis)),
        reach_back,
    })
}

impl PlinthKeys {
    pub(super) fn read(
        &self,
        span: Range<usize>,
        piece: &Piece,
        problems: &mut Problems,
    ) -> Option<Plinth> {
        let mut take = |given: &Spanned<Length>| {
            problems.take_checked(
                given,
                |length| length.within(Bounds::DEPTH),
                "give a size of the base itself",
            )
        };
        let height = take(&self.height);
        let set_back = take(&self.set_back);
        let ends = self.set_back_ends.as_ref().map(&mut take);
        let (height, set_back) = (height?, set_back?);
        let set_back_ends = match ends {
            Some(ends) => ends?,
            None => set_back,
        };
        let own = of_plinth(piece, height);
        let lowest = (0..piece.bodies.len())
            .filter(|body| !own(*body))
            .map(|body| piece.bodies[body].cuboid.low(SpaceAxis::Z))
            .min()
            .map(Coordinate::length);
        if let Some(lowest) = lowest
            && (lowest - height).abs().mm() > MEETS_MM
        {
            problems.push(
                self.height.span(),
                format!(
                    "the plinth is {} high, but the lowest part of the piece is at {}: {} apart",
                    millimetres(height),
                    millimetres(lowest),
                    millimetres((lowest - height).abs())
                ),
                "the plinth counts from the floor: place the piece's lowest part on its top",
            );
            return None;
        }
        Some(Plinth {
            height,
            set_back,
            set_back_ends,
            span,
        })
    }
}
