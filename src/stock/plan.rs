//! The plan of the cuts: which slices of the board become leaves.

use super::error;
use crate::units::{Length, MoistureContent, Refusal};

/// Up or down in the board: toward its bark face or away from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Toward the board's bark face.
    Upper,
    /// Away from it.
    Lower,
}

/// How many leaves, or how thick.
#[derive(Debug, Clone, PartialEq)]
pub enum Leaves {
    /// So many of one thickness.
    Equal(usize),
    /// These thicknesses, from the bark face; what is left under them is a last leaf.
    Thicknesses(Vec<Length>),
}

/// How a board is split through its thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct ResawPlan {
    /// The leaves.
    pub leaves: Leaves,
    /// Wood lost to each cut.
    pub kerf: Length,
    /// Planed off the bark face before the first cut.
    pub plane_bark: Length,
    /// Planed off the other face before the first cut.
    pub plane_other: Length,
}

/// A leaf's place in the board: heights above the board's lower face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slice {
    /// Thickness of the board over which the locked-in strain is spread.
    pub board: Length,
    /// Lower face of the leaf.
    pub lower: Length,
    /// Upper face of the leaf.
    pub upper: Length,
    /// Whether the lower face is fresh from the saw.
    pub lower_fresh: bool,
    /// Whether the upper face is fresh from the saw.
    pub upper_fresh: bool,
}

/// Thinnest leaf a plan may ask for, mm.
const MIN_LEAF_MM: f64 = 0.5;

impl ResawPlan {
    /// Equal leaves, nothing planed.
    #[must_use]
    pub const fn equal(leaves: usize, kerf: Length) -> Self {
        Self {
            leaves: Leaves::Equal(leaves),
            kerf,
            plane_bark: Length::ZERO,
            plane_other: Length::ZERO,
        }
    }

    /// What is left of a board between its planed faces.
    #[must_use]
    pub fn room(&self, thickness: Length) -> Length {
        thickness - self.plane_bark - self.plane_other
    }

    /// The leaves of a board of this thickness, from its bark face down.
    ///
    /// # Errors
    /// [`Refusal`] when no leaf is asked for or the board is too thin for the plan.
    pub fn slices(&self, thickness: Length) -> Result<Vec<Slice>, Refusal> {
        let top = thickness.mm() - self.plane_bark.mm();
        let kerf = self.kerf.mm();
        let room = self.room(thickness).mm();
        let wanted = match &self.leaves {
            Leaves::Equal(0) => return Err(error::no_leaves()),
            Leaves::Equal(count) => {
                let each = (room - (*count as f64 - 1.0) * kerf) / *count as f64;
                vec![each; *count]
            }
            Leaves::Thicknesses(list) => {
                let mut list: Vec<f64> = list.iter().map(|leaf| leaf.mm()).collect();
                if list.is_empty() {
                    return Err(error::no_leaves());
                }
                let used: f64 = list.iter().sum::<f64>() + (list.len() as f64 - 1.0) * kerf;
                let left = room - used - kerf;
                if left >= MIN_LEAF_MM {
                    list.push(left);
                }
                list
            }
        };
        let used: f64 = wanted.iter().sum::<f64>() + (wanted.len() as f64 - 1.0) * kerf;
        let thinnest = wanted.iter().copied().fold(f64::INFINITY, f64::min);
        if used > room + 1e-9 || thinnest < MIN_LEAF_MM {
            return Err(error::board_too_thin(
                wanted.len(),
                thickness,
                self.plane_bark + self.plane_other,
                self.room(thickness),
                self.kerf,
            ));
        }
        let mut upper = top;
        Ok(wanted
            .iter()
            .enumerate()
            .map(|(i, leaf)| {
                let lower = upper - leaf;
                let slice = Slice {
                    board: thickness,
                    lower: Length::from_mm_unchecked(lower),
                    upper: Length::from_mm_unchecked(upper),
                    lower_fresh: lower > self.plane_other.mm() + 1e-6,
                    upper_fresh: i > 0,
                };
                upper = lower - kerf;
                slice
            })
            .collect())
    }
}

impl Slice {
    /// The whole of an unsawn board.
    #[must_use]
    pub const fn whole(board: Length) -> Self {
        Self {
            board,
            lower: Length::ZERO,
            upper: board,
            lower_fresh: false,
            upper_fresh: false,
        }
    }

    /// Thickness of the leaf.
    #[must_use]
    pub fn thickness(&self) -> Length {
        self.upper - self.lower
    }

    /// Middle of the leaf above the middle of the board, over half the board: `um = 2 zm/H`.
    #[must_use]
    pub fn middle_share(&self) -> f64 {
        (self.lower.mm() + self.upper.mm() - self.board.mm()) / self.board.mm()
    }

    /// Change of the leaf's curvature for each unit of `a`: `12 zm/H^2`, 1/mm. Exact: the best-fit slope of
    /// `P2` over any slice is its slope at the slice's middle. A leaf whose middle is the board's
    /// middle stays straight, whatever the kerf, since the strain is even about it.
    #[must_use]
    pub fn bend_of_locked_in(&self) -> f64 {
        6.0 * self.middle_share() / self.board.mm()
    }

    /// Change of the leaf's curvature for each unit of `c`: `(15 um^2 - 3 + 3 (h/H)^2)/H`, 1/mm.
    #[must_use]
    pub fn bend_of_lopsided(&self) -> f64 {
        let um = self.middle_share();
        let share = self.thickness() / self.board;
        (15.0 * um * um - 3.0 + 3.0 * share * share) / self.board.mm()
    }

    /// The face whose hollow counts as positive: the fresh one; with two or none, the upper.
    #[must_use]
    pub const fn sawn(&self) -> Side {
        if self.lower_fresh && !self.upper_fresh {
            Side::Lower
        } else {
            Side::Upper
        }
    }

    /// 1 when positive curvature (lower face hollow) hollows the sawn face, else -1.
    #[must_use]
    pub const fn sawn_sign(&self) -> f64 {
        match self.sawn() {
            Side::Lower => 1.0,
            Side::Upper => -1.0,
        }
    }

    /// Moisture that this slice of a board with a parabola of moisture starts from: the board's mean
    /// and core less shell.
    #[must_use]
    pub fn mean_moisture(
        &self,
        mean: MoistureContent,
        core_minus_shell: MoistureContent,
    ) -> MoistureContent {
        crate::moisture::Profile::parabola(mean, core_minus_shell)
            .part(self.board, self.lower, self.upper)
            .mean()
    }
}
