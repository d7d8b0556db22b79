//! How a joint is drawn: which of the trade's few arrangements it is, and where it is held.

use super::part::PartId;
use crate::units::Length;

/// The arrangement of opening and part.
#[derive(Debug, Clone, PartialEq)]
pub enum Scheme {
    /// The part's end or edge stands in a channel of the opening: dado, groove.
    Channel,
    /// A tenon of the part in a mortise of the opening.
    Mortise,
    /// The part slid along a channel of the opening.
    Slide,
    /// The part between two grooved edges of its opening.
    Grooves,
    /// The part on two steps of its opening.
    Rabbets,
    /// The part between two plain edges of its opening.
    Opening,
    /// Part side by side over their opening.
    Over {
        /// How many.
        count: usize,
    },
    /// Boards side by side, tongue in groove.
    Row,
    /// Fastenings along the opening's length across the part's width, some of which travel.
    Travel {
        /// Their places.
        places: Vec<Length>,
        /// The point that stays.
        fixed: Length,
        /// The width they lie in.
        width: Length,
    },
    /// A bottom held at the front and passing under the back.
    Under,
    /// A button of the part in a groove of the opening.
    Button,
    /// A front against the edge of its case.
    Front,
    /// Two boards face to face, their grain crossing.
    Crossing,
    /// A strip on the edge or the end of a board.
    Rim {
        /// Whether the board's grain runs along the strip.
        along_grain: bool,
    },
}

/// Where the part is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// At its middle.
    Centre,
    /// At one edge.
    Edge,
    /// It stands on its lower edge.
    Below,
    /// Glued where it touches.
    Glue,
    /// Glued at one place.
    Spot,
    /// Not at all: it slides.
    Dry,
}

/// What a joint's drawing shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The arrangement.
    pub scheme: Scheme,
    /// The part that makes room or holds.
    pub into: PartId,
    /// The part that fills it or moves.
    pub piece: PartId,
    /// Where it is held.
    pub hold: Hold,
}

impl Drawing {
    /// A drawing.
    #[must_use]
    pub const fn new(scheme: Scheme, into: PartId, piece: PartId, hold: Hold) -> Self {
        Self {
            scheme,
            into,
            piece,
            hold,
        }
    }
}

impl Hold {
    /// In words for a maker.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Centre => "held at its middle: both sides share the movement",
            Self::Edge => "held at one edge: the other shows all the movement",
            Self::Below => "it runs on its lower edge: all the clearance is above",
            Self::Glue => "glued",
            Self::Spot => "glued or fixed at one place, the rest slides",
            Self::Dry => "not glued: it slides",
        }
    }
}
