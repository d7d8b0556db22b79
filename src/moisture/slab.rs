//! What is known of a board before moisture moves in it.

use super::diffusivity::Diffusivity;
use super::finish::Finish;
use crate::units::{Bounds, Length, MoistureContent, RangeError};

/// What one face does with the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FaceExchange {
    /// Open to the air through this finish, which may be bare wood.
    Open(Finish),
    /// A known exchange coefficient `S`, m/s, film and finish together, the same at every moisture.
    Coefficient(f64),
    /// Nothing passes: covered, or glued to something as slow as wood.
    Sealed,
}

/// The still air that clings to a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Film {
    /// Air of a room, `beta` = 0.003 m/s (judgement within the published range of
    /// still indoor air; `S` near 6e-7 m/s at 20 C).
    Room,
    /// No film: a bare face is at once at the moisture of the air.
    Off,
}

/// A board seen through its thickness.
///
/// The factors are 1 for the middle forecast of solid wood; room `chance` draws others, and a sheet has an equilibrium of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slab {
    /// Face to face.
    pub thickness: Length,
    /// Oven-dry mass on green volume, over that of water.
    pub basic_gravity: f64,
    /// Moisture content above which the diffusivity no longer changes.
    pub fiber_saturation: MoistureContent,
    /// Where the diffusivity comes from.
    pub diffusivity: Diffusivity,
    /// Multiplies the diffusivity.
    pub diffusivity_factor: f64,
    /// Multiplies the equilibrium moisture content of the air: sorption history, or a sheet's share of that of solid wood.
    pub equilibrium_factor: f64,
    /// Slope of the scanning curves on which the equilibrium of the surface remembers where it comes from
    /// ([`crate::air::Hysteresis`]); the static curve where there is none.
    pub scanning: Option<f64>,
    /// The moisture, on the table's scale, from which the surface's memory begins: a maker's reading. The board's own first
    /// moisture where there is none.
    pub begun_percent: Option<f64>,
    /// Multiplies the exchange of every open face.
    pub surface_factor: f64,
    /// The film of air on open faces.
    pub film: Film,
    /// The lower (heart-side) face, then the upper (bark-side) face.
    pub faces: [FaceExchange; 2],
}

/// What makes two slabs the same: parts with equal keys in the same air are solved once.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SlabKey([u64; 12]);

impl Slab {
    /// A bare board, both faces open, factors 1, fiber saturation 30 %.
    ///
    /// # Errors
    /// [`RangeError`] for a thickness or a specific gravity outside the table.
    pub fn bare(thickness: Length, basic_gravity: f64) -> Result<Self, RangeError> {
        Ok(Self {
            thickness: thickness.within(Bounds::THICKNESS)?,
            basic_gravity: Bounds::SPECIFIC_GRAVITY.check(basic_gravity)?,
            fiber_saturation: MoistureContent::computed_percent(30.0),
            diffusivity: Diffusivity::OfWood,
            diffusivity_factor: 1.0,
            equilibrium_factor: 1.0,
            scanning: None,
            begun_percent: None,
            surface_factor: 1.0,
            film: Film::Room,
            faces: [FaceExchange::Open(Finish::bare()); 2],
        })
    }

    /// The same board with other faces, lower first.
    #[must_use]
    pub const fn with_faces(self, lower: FaceExchange, upper: FaceExchange) -> Self {
        Self {
            faces: [lower, upper],
            ..self
        }
    }

    /// The same board with one finish on both faces.
    #[must_use]
    pub const fn finished(self, finish: Finish) -> Self {
        self.with_faces(FaceExchange::Open(finish), FaceExchange::Open(finish))
    }

    /// The same board before its finish is on: every open face bare.
    #[must_use]
    pub fn unfinished(self) -> Self {
        let bare = |face| match face {
            FaceExchange::Open(_) => FaceExchange::Open(Finish::bare()),
            known => known,
        };
        Self {
            faces: self.faces.map(bare),
            ..self
        }
    }

    /// Whether both faces are alike, so that the moisture slope stays zero.
    #[must_use]
    pub fn is_symmetric(&self) -> bool {
        self.faces[0] == self.faces[1]
    }

    /// What makes two slabs the same.
    #[must_use]
    pub fn key(&self) -> SlabKey {
        let face = |face: FaceExchange| match face {
            FaceExchange::Open(finish) => (1, finish.permeance_bits()),
            FaceExchange::Coefficient(value) => (2, value.to_bits()),
            FaceExchange::Sealed => (3, 0),
        };
        let (law, value) = match self.diffusivity {
            Diffusivity::OfWood => (0, 0),
            Diffusivity::Constant(value) => (1, value.to_bits()),
        };
        let [(lower_kind, lower), (upper_kind, upper)] = self.faces.map(face);
        let kinds = law + 2 * u64::from(self.film == Film::Off) + 4 * (lower_kind + 4 * upper_kind);
        SlabKey([
            self.thickness.mm().to_bits(),
            self.basic_gravity.to_bits(),
            self.fiber_saturation.percent().to_bits(),
            value,
            self.diffusivity_factor.to_bits(),
            self.equilibrium_factor.to_bits(),
            self.scanning.map_or(u64::MAX, f64::to_bits),
            self.begun_percent.map_or(u64::MAX, f64::to_bits),
            self.surface_factor.to_bits(),
            kinds,
            lower,
            upper,
        ])
    }
}
