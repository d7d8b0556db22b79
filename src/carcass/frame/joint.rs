//! What ties the boards of a frame to one another and to the floor.

/// How one freedom of a joint is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tie {
    /// Not at all.
    Free,
    /// Without give.
    Rigid,
    /// By so much force or moment a mm or radian.
    Spring(f64),
    /// It pushes only: the piece presses outward at its end, or stands off.
    Push,
}

/// The end of one board in or on another. The force of a joint is what the piece gives the board it enters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Index of the board whose end is there.
    pub piece: usize,
    /// Whether that is its end or its start.
    pub at_end: bool,
    /// Index of the board it enters.
    pub into: usize,
    /// Where, along that board, mm.
    pub into_at_mm: f64,
    /// How the piece is held along its own axis.
    pub along: Tie,
    /// How its end is held sideways, in the plane.
    pub across: Tie,
    /// How its end is kept from turning.
    pub turning: Tie,
    /// What the two places differ by when nothing is forced, piece less board: x, y in mm, turn in radians. A piece too long by 1 mm
    /// at its upper end has y = -1.
    pub gap: [f64; 3],
}

impl Joint {
    /// A joint without give and without misfit.
    #[must_use]
    pub const fn rigid(piece: usize, at_end: bool, into: usize, into_at_mm: f64) -> Self {
        Self {
            piece,
            at_end,
            into,
            into_at_mm,
            along: Tie::Rigid,
            across: Tie::Rigid,
            turning: Tie::Rigid,
            gap: [0.0; 3],
        }
    }

    /// The same with a spring against turning; free to turn where it is zero.
    #[must_use]
    pub const fn with_turning(self, n_mm_per_radian: f64) -> Self {
        Self {
            turning: if n_mm_per_radian > 0.0 {
                Tie::Spring(n_mm_per_radian)
            } else {
                Tie::Free
            },
            ..self
        }
    }

    /// The same free to turn.
    #[must_use]
    pub const fn hinged(self) -> Self {
        Self {
            turning: Tie::Free,
            ..self
        }
    }

    /// A dry housing: it pushes, its sides hold it, and its play lets it turn.
    #[must_use]
    pub const fn dry(self) -> Self {
        Self {
            along: Tie::Push,
            turning: Tie::Free,
            ..self
        }
    }
}

/// A place of a board that does not move.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// Index of the board.
    pub member: usize,
    /// Where along it, mm.
    pub at_mm: f64,
    /// Whether it is kept from moving sideways.
    pub x: bool,
    /// Whether it is kept from moving up and down.
    pub y: bool,
}
