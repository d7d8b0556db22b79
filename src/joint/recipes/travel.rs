//! Room for a fastening that travels: the one expansion behind slots, loose tenons
//! and pinned breadboard ends.
//!
//! The fastening sits fast in one part and in a slot of the other, both at
//! the same distance from the point that stays. As the parts want different strains
//! it travels by that distance times `e_moving - e_holding`. Two fits give the room to
//! cut today: one on the side away from the fixed point, one toward it. With
//! the slot in the moving part the driest time uses up the far side, as the
//! slot's far end draws in; with the slot in the holding part the wettest
//! does, as the fastening itself is carried outward.

use crate::joint::fit::{Aim, Fit, FitWords, MaxGap, Term, When};
use crate::joint::plan::{Behind, CutFace, Housing, Setting};
use crate::joint::{Axis, PartId};
use crate::units::Length;

/// Nearer to the fixed point than this a fastening is at it, mm.
const AT_FIXED_MM: f64 = 0.5;

/// One fastening that travels.
pub(super) struct Travel<'a> {
    /// Start of the name of both fits.
    pub name: &'a str,
    /// The part with the slot and its axis.
    pub slotted: (PartId, Axis),
    /// The part that carries the fastening and its axis.
    pub carrier: (PartId, Axis),
    /// Whether the slot is in the part that moves more.
    pub slot_moves: bool,
    /// Place of the fastening's middle from the slotted part's reference.
    pub at: Length,
    /// Place of the fixed point from the same reference.
    pub fixed: Length,
    /// Size of the fastening along the slot: a screw's diameter, a tenon's width.
    pub fastening: Length,
    /// Room that must be left at either end.
    pub margin: Length,
    /// What is cut: `slot`, `mortise`, `groove`.
    pub cut: &'static str,
    /// The fastening: `screw`, `tenon`.
    pub what: &'a str,
}

impl Travel<'_> {
    /// Whether the fastening is at the fixed point and gets no room.
    #[must_use]
    pub(super) fn is_fixed(&self) -> bool {
        (self.at - self.fixed).abs().mm() < AT_FIXED_MM
    }

    /// The fit away from the fixed point, then the one toward it. The slot is as long as both cuts
    /// and the fastening together.
    #[must_use]
    pub(super) fn fits(&self) -> [Fit; 2] {
        let away = (self.at - self.fixed).abs();
        let slotted = Term::known(self.slotted.0, self.slotted.1, away);
        let carrier = Term::known(self.carrier.0, self.carrier.1, away);
        let room = Term::cut(self.slotted.0, self.slotted.1);
        let (far, near) = if self.slot_moves {
            ("driest", "wettest")
        } else {
            ("wettest", "driest")
        };
        let dimension = match self.what {
            "screw" => "past the screw",
            "pin" => "past the pin",
            _ => "past the tenon",
        };
        let fit = |side: &str, opening: Term, part: Term, season: &str| Fit {
            name: format!("{}, {side}", self.name),
            opening: vec![room, opening],
            part: vec![part],
            share: 1.0,
            min: self.margin,
            max: MaxGap::Any,
            given: None,
            aim: Aim::Min,
            when: When::Always,
            words: FitWords {
                cut: self.cut,
                dimension,
                gap: format!(
                    "clearance between the {} and the end of the {} {side}",
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
            fit("away from the fixed point", slotted, carrier, far),
            fit("toward the fixed point", carrier, slotted, near),
        ]
    }

    /// The slot of the two fits from index `first` of the plan on, cut into a surface.
    #[must_use]
    pub(super) fn slot(
        &self,
        first: usize,
        what: &'static str,
        face: CutFace,
        depth: Length,
    ) -> Housing {
        // The slot begins at its end nearer to the reference: that is the far end where the fixed point lies beyond.
        let begins = if self.at < self.fixed {
            first
        } else {
            first + 1
        };
        Housing {
            part: self.slotted.0,
            what,
            face,
            from_reference: Setting::Before {
                place: self.at - self.fastening / 2.0,
                fit: begins,
            },
            width: Setting::of_travel(first, self.fastening),
            depth: Setting::Known(depth),
            along: self.slotted.1,
            behind: Behind::Bottom,
            takes: None,
            count: 1,
        }
    }

    /// The same slot where it goes through a part of this thickness.
    #[must_use]
    pub(super) fn through(&self, first: usize, thickness: Length) -> Housing {
        Housing {
            behind: Behind::Nothing,
            ..self.slot(first, "slot", CutFace::Outside, thickness)
        }
    }
}
