//! Room for a fastening that travels: the one expansion behind slots, loose tenons, buttons and
//! pinned breadboard ends.
//!
//! The fastening sits fast in one part and in a slot of the other, both at
//! `from_fixed` from the point that stays. As the parts want different strains
//! it travels by `from_fixed (e_moving - e_holding)`. Two fits give the room to
//! cut today: one on the side away from the fixed point, one toward it. With
//! the slot in the moving part the driest time uses up the far side, as the
//! slot's far end draws in; with the slot in the holding part the wettest
//! does, as the fastening itself is carried outward.

use crate::joint::fit::{Aim, Fit, FitWords, Greatest, Term, When};
use crate::joint::{Axis, PartId};
use crate::units::Length;

/// One fastening that travels.
pub struct Travel<'a> {
    /// Start of the name of both fits.
    pub name: &'a str,
    /// The part with the slot and its axis.
    pub slotted: (PartId, Axis),
    /// The part that carries the fastening and its axis.
    pub carrier: (PartId, Axis),
    /// Whether the slot is in the part that moves more.
    pub slot_moves: bool,
    /// From the fixed point to the fastening.
    pub from_fixed: Length,
    /// Room that must be left at either end.
    pub margin: Length,
    /// What is cut: `slot`, `mortise`, `groove`.
    pub cut: &'static str,
    /// The fastening: `screw`, `tenon`.
    pub what: &'a str,
}

impl Travel<'_> {
    /// The fit away from the fixed point, then the one toward it. The slot is as long as both cuts
    /// and the fastening together.
    #[must_use]
    pub fn fits(&self) -> [Fit; 2] {
        let slotted = Term::known(self.slotted.0, self.slotted.1, self.from_fixed);
        let carrier = Term::known(self.carrier.0, self.carrier.1, self.from_fixed);
        let room = Term::cut(self.slotted.0, self.slotted.1);
        let (far, near) = if self.slot_moves {
            ("driest", "wettest")
        } else {
            ("wettest", "driest")
        };
        let fit = |side: &str, dimension, host: Term, guest: Term, season: &str| Fit {
            name: format!("{}, {side}", self.name),
            host: vec![room, host],
            guest: vec![guest],
            share: 1.0,
            least: self.margin,
            greatest: Greatest::Any,
            given: None,
            aim: Aim::Least,
            when: When::Always,
            words: FitWords {
                cut: self.cut,
                dimension,
                gap: format!(
                    "room between the {} and the end of the {} {side}",
                    self.what, self.cut
                ),
                too_tight: format!(
                    "the {} meets the end of the {} in the {season} time and the wood splits or buckles",
                    self.what, self.cut
                ),
                too_loose: String::new(),
            },
        };
        [
            fit(
                "away from the fixed point",
                "beyond it",
                slotted,
                carrier,
                far,
            ),
            fit(
                "toward the fixed point",
                "short of it",
                carrier,
                slotted,
                near,
            ),
        ]
    }
}
