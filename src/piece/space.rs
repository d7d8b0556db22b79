//! The axes of a piece and the six faces of a box.

/// An axis of the piece, seen from the front.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SpaceAxis {
    /// From left to right.
    X,
    /// From front to back.
    Y,
    /// From the floor up.
    Z,
}

impl SpaceAxis {
    /// The three in their order.
    pub const ALL: [Self; 3] = [Self::X, Self::Y, Self::Z];

    /// The axis as a direction in a sentence.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::X => "from left to right",
            Self::Y => "from front to back",
            Self::Z => "from bottom to top",
        }
    }

    /// One letter, as in JSON.
    #[must_use]
    pub const fn letter(self) -> &'static str {
        match self {
            Self::X => "x",
            Self::Y => "y",
            Self::Z => "z",
        }
    }

    /// The face at the low end of this axis.
    #[must_use]
    pub const fn low(self) -> BoxFace {
        match self {
            Self::X => BoxFace::Left,
            Self::Y => BoxFace::Front,
            Self::Z => BoxFace::Bottom,
        }
    }

    /// The face at the high end of this axis.
    #[must_use]
    pub const fn high(self) -> BoxFace {
        match self {
            Self::X => BoxFace::Right,
            Self::Y => BoxFace::Back,
            Self::Z => BoxFace::Top,
        }
    }

    /// The two other axes, in their order.
    #[must_use]
    pub const fn others(self) -> [Self; 2] {
        match self {
            Self::X => [Self::Y, Self::Z],
            Self::Y => [Self::X, Self::Z],
            Self::Z => [Self::X, Self::Y],
        }
    }
}

/// A face of a box.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum BoxFace {
    /// Toward the left end of the piece.
    Left,
    /// Toward its right end.
    Right,
    /// Toward its front.
    Front,
    /// Toward the wall.
    Back,
    /// Toward the floor.
    Bottom,
    /// Upward.
    Top,
}

impl BoxFace {
    /// All six: left, right, front, back, bottom, top.
    pub const ALL: [Self; 6] = [
        Self::Left,
        Self::Right,
        Self::Front,
        Self::Back,
        Self::Bottom,
        Self::Top,
    ];

    /// The key of a job file, and the word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Front => "front",
            Self::Back => "back",
            Self::Bottom => "bottom",
            Self::Top => "top",
        }
    }

    /// The axis square to the face.
    #[must_use]
    pub const fn axis(self) -> SpaceAxis {
        match self {
            Self::Left | Self::Right => SpaceAxis::X,
            Self::Front | Self::Back => SpaceAxis::Y,
            Self::Bottom | Self::Top => SpaceAxis::Z,
        }
    }

    /// Whether it is the face at the high end of its axis: right, back or top.
    #[must_use]
    pub const fn is_high(self) -> bool {
        matches!(self, Self::Right | Self::Back | Self::Top)
    }

    /// The face across the box, which is also the face that looks at this one.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
            Self::Front => Self::Back,
            Self::Back => Self::Front,
            Self::Bottom => Self::Top,
            Self::Top => Self::Bottom,
        }
    }
}
