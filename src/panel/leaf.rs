//! A leaf as measured, and the ways it can be laid.

use crate::movement::{Face, Rings, Section, Shrinkage};
use crate::units::{Curvature, Length, Stress};

/// Which face of a leaf lies up in the panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FaceUp {
    /// The sawn face: the fresh-sawn one, that the bow was given for.
    Sawn,
    /// The other face.
    Back,
}

/// Which end of a leaf lies forward in the panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum EndForward {
    /// The end at which the leaf was read.
    Near,
    /// The other end.
    Far,
}

impl FaceUp {
    /// The two faces, the marked one first.
    pub const BOTH: [Self; 2] = [Self::Sawn, Self::Back];

    /// +1 with the sawn face up, -1 with it down: the sign a leaf's bow and cup take in the panel.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Sawn => 1.0,
            Self::Back => -1.0,
        }
    }

    /// The other face.
    #[must_use]
    pub const fn turned(self) -> Self {
        match self {
            Self::Sawn => Self::Back,
            Self::Back => Self::Sawn,
        }
    }

    /// The word for it: `sawn` or `back`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sawn => "sawn",
            Self::Back => "back",
        }
    }
}

impl EndForward {
    /// The two ends, the near one first.
    pub const BOTH: [Self; 2] = [Self::Near, Self::Far];

    /// The other end.
    #[must_use]
    pub const fn turned(self) -> Self {
        match self {
            Self::Near => Self::Far,
            Self::Far => Self::Near,
        }
    }

    /// The word for it: `near` or `far`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Near => "near",
            Self::Far => "far",
        }
    }
}

/// What the wood of a leaf does: stiffness, and shrinkage where it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeafWood {
    /// Stiffness along the grain.
    pub modulus: Stress,
    /// Shear stiffness in the plane of length and width: what resists twist.
    pub shear_modulus: Stress,
    /// Stiffness across the grain, along the rings.
    pub modulus_across: Stress,
    /// Shear stiffness in the plane of the grain and the rings.
    pub shear_modulus_lt: Stress,
    /// Shear stiffness in the plane of the grain and square to the rings.
    pub shear_modulus_lr: Stress,
    /// How it shrinks; `None` where the species was not given, and then rings give no cup.
    pub shrinkage: Option<Shrinkage>,
}

impl Default for LeafWood {
    /// A wood that nobody named: 11 GPa along the grain and 0.75 GPa in shear, near the middle of the hardwoods
    /// at 12 %, with 0.7 GPa across the grain (Wood Handbook Tables 5-1 and 5-3; memory). Only forces lean on it: in a panel of one wood
    /// the stiffness drops out of bow, cup and twist.
    fn default() -> Self {
        Self {
            modulus: Stress::computed_mpa(11_000.0),
            shear_modulus: Stress::computed_mpa(750.0),
            modulus_across: Stress::computed_mpa(700.0),
            shear_modulus_lt: Stress::computed_mpa(650.0),
            shear_modulus_lr: Stress::computed_mpa(850.0),
            shrinkage: None,
        }
    }
}

/// One leaf of a panel, as measured or as a resaw forecast gives it.
///
/// Signs: bow and cup are positive when the *sawn* face is hollow. Twist is the lift of one
/// corner while the other three rest, positive for a right-handed leaf: looking along it, the far end is turned
/// clockwise, as the thread of a common screw. Crook has no sign: jointing takes it off the width whichever way it runs.
#[derive(Debug, Clone, PartialEq)]
pub struct Leaf {
    /// What the maker wrote on it.
    pub name: String,
    /// Width as sawn, before jointing takes the crook off.
    pub width: Length,
    /// Face to face.
    pub thickness: Length,
    /// Along the grain.
    pub length: Length,
    /// Maximum deviation flatwise over the length, positive when the sawn face is hollow.
    pub bow: Length,
    /// Maximum deviation edgewise over the length.
    pub crook: Length,
    /// Lift of one corner, positive right-handed.
    pub twist: Length,
    /// Cup not due to the rings: what drying set or an uneven profile gives, positive when the sawn face is hollow.
    pub cup: Length,
    /// Where the rings are, seen from the near end with the bark side up; `None` when nobody said.
    pub rings: Option<Rings>,
    /// The side the sawn face is on; `None` when nobody said.
    pub sawn_side: Option<Face>,
    /// The species as given.
    pub species: Option<String>,
    /// What the wood does.
    pub wood: LeafWood,
    /// The pair it belongs to, as given.
    pub pair: Option<String>,
    /// The face that must show, where one was chosen.
    pub show_face: Option<FaceUp>,
}

impl Leaf {
    /// A leaf of which only size and bow are known: straight of edge, untwisted, uncupped.
    #[must_use]
    pub fn new(
        name: impl Into<String>,
        width: Length,
        thickness: Length,
        length: Length,
        bow: Length,
    ) -> Self {
        Self {
            name: name.into(),
            width,
            thickness,
            length,
            bow,
            crook: Length::ZERO,
            twist: Length::ZERO,
            cup: Length::ZERO,
            rings: None,
            sawn_side: None,
            species: None,
            wood: LeafWood::default(),
            pair: None,
            show_face: None,
        }
    }

    /// Width left once both edges are jointed straight: a strip with crook `c` holds a straight
    /// strip `c` narrower.
    #[must_use]
    pub fn jointed_width(&self) -> Length {
        (self.width - self.crook.abs()).max(Length::ZERO)
    }

    /// Curvature of its bow, positive when the sawn face is hollow: `8 d / L^2`.
    ///
    /// The crate's own sign for a section (positive: *lower* face hollow) is this one with the sawn face down.
    #[must_use]
    pub fn bow_curvature(&self) -> Curvature {
        Curvature::of_rise(self.bow, self.length)
    }

    /// `E w h^3`, N mm2: twelve times the bending stiffness.
    #[must_use]
    pub fn bending_weight(&self) -> f64 {
        self.wood.modulus.mpa() * self.section_weight()
    }

    /// `G w h^3`, N mm2: what resists twist, but for a factor that all leaves share.
    #[must_use]
    pub fn twisting_weight(&self) -> f64 {
        self.wood.shear_modulus.mpa() * self.section_weight()
    }

    fn section_weight(&self) -> f64 {
        self.jointed_width().mm() * self.thickness.mm().powi(3)
    }

    /// Twist as lift over length and width, 1/mm.
    #[must_use]
    pub fn twist_per_area(&self) -> f64 {
        let area = self.length.mm() * self.width.mm();
        if area > 0.0 {
            self.twist.mm() / area
        } else {
            0.0
        }
    }

    /// Its section after jointing, where the rings are known.
    #[must_use]
    pub fn section(&self) -> Option<Section> {
        self.rings.map(|rings| Section {
            width: self.jointed_width(),
            thickness: self.thickness,
            rings,
        })
    }

    /// Whether the bark side lies up when `face` does. A leaf whose sawn side nobody said is taken as marked on the bark side.
    #[must_use]
    pub fn bark_up(&self, face: FaceUp) -> bool {
        (self.sawn_side.unwrap_or(Face::Bark) == Face::Bark) == (face == FaceUp::Sawn)
    }
}
