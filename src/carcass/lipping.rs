//! The section of a shelf with its edge lippings, as one beam.

use crate::units::{Bounds, Length, RangeError, STANDARD_GRAVITY, Stress};

/// A strip glued along an edge of a shelf to stiffen it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lipping {
    /// Size front to back.
    pub width: Length,
    /// Size up and down.
    pub height: Length,
    /// How far its top lies below the shelf's top; negative when it stands above.
    pub below_top: Length,
    /// Its stiffness along the grain.
    pub modulus: Stress,
}

/// The board of a shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfBoard {
    depth: Length,
    thickness: Length,
    modulus: Stress,
    lippings: Vec<Lipping>,
    gravity: Option<f64>,
}

impl ShelfBoard {
    /// A plain board: depth front to back (its lippings not counted), thickness and stiffness along its length.
    ///
    /// # Errors
    /// [`RangeError`] when a size or the stiffness is outside its row of the table.
    pub fn new(depth: Length, thickness: Length, modulus: Stress) -> Result<Self, RangeError> {
        Bounds::MODULUS.check(modulus.mpa())?;
        Ok(Self {
            depth: depth.within(Bounds::WIDTH)?,
            thickness: thickness.within(Bounds::THICKNESS)?,
            modulus,
            lippings: Vec::new(),
            gravity: None,
        })
    }

    /// The same with a lipping glued along an edge.
    ///
    /// # Errors
    /// [`RangeError`] when the lipping's size or stiffness is outside its row of the table.
    pub fn with_lipping(mut self, lipping: Lipping) -> Result<Self, RangeError> {
        lipping.width.within(Bounds::WIDTH)?;
        lipping.height.within(Bounds::THICKNESS)?;
        Bounds::MODULUS.check(lipping.modulus.mpa())?;
        self.lippings.push(lipping);
        Ok(self)
    }

    /// The same, its own weight counted: specific gravity as it hangs, mass over present volume.
    ///
    /// # Errors
    /// [`RangeError`] outside the table.
    pub fn with_own_weight(mut self, gravity: f64) -> Result<Self, RangeError> {
        self.gravity = Some(Bounds::SPECIFIC_GRAVITY.check(gravity)?);
        Ok(self)
    }

    /// The same board in another thickness; lippings keep their height and their place below the top.
    ///
    /// # Errors
    /// [`RangeError`] outside the table.
    pub fn with_thickness(&self, thickness: Length) -> Result<Self, RangeError> {
        let thickness = thickness.within(Bounds::THICKNESS)?;
        Ok(Self {
            thickness,
            ..self.clone()
        })
    }

    /// Size from face to face.
    #[must_use]
    pub fn thickness(&self) -> Length {
        self.thickness
    }

    /// Layers as width, height, top below the shelf's top, modulus.
    fn layers(&self) -> impl Iterator<Item = [f64; 4]> {
        let board = [
            self.depth.mm(),
            self.thickness.mm(),
            0.0,
            self.modulus.mpa(),
        ];
        std::iter::once(board).chain(self.lippings.iter().map(|strip| {
            [
                strip.width.mm(),
                strip.height.mm(),
                strip.below_top.mm(),
                strip.modulus.mpa(),
            ]
        }))
    }

    /// Depth of the line of no strain below the shelf's top, mm.
    fn neutral_mm(&self) -> f64 {
        let (mut moment, mut area) = (0.0, 0.0);
        for [width, height, top, modulus] in self.layers() {
            let stiff_area = width * height * modulus;
            moment += stiff_area * (top + height / 2.0);
            area += stiff_area;
        }
        moment / area
    }

    /// `E I` of board and lippings bending as one, N mm2.
    #[must_use]
    pub fn stiffness_n_mm2(&self) -> f64 {
        let neutral = self.neutral_mm();
        self.layers()
            .map(|[width, height, top, modulus]| {
                let arm = top + height / 2.0 - neutral;
                modulus * width * (height.powi(3) / 12.0 + height * arm * arm)
            })
            .sum()
    }

    /// Maximum bending stress in board or lipping from a moment in N mm.
    pub(super) fn stress(&self, moment: f64) -> Stress {
        let neutral = self.neutral_mm();
        let worst = self
            .layers()
            .map(|[_, height, top, modulus]| {
                let arm = (top - neutral).abs().max((top + height - neutral).abs());
                modulus * arm
            })
            .fold(0.0_f64, f64::max);
        Stress::computed_mpa(moment.abs() * worst / self.stiffness_n_mm2())
    }

    /// Own weight in N per mm of length, where a gravity was given; lippings weigh like the board.
    pub(super) fn own_weight_n_per_mm(&self) -> f64 {
        let section: f64 = self
            .layers()
            .map(|[width, height, ..]| width * height)
            .sum();
        self.gravity
            .map_or(0.0, |gravity| gravity * 1e-6 * STANDARD_GRAVITY * section)
    }
}
