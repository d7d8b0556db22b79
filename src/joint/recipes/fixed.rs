//! What the joints share that only hold: glued or fixed along a line, with nothing that must keep clearance all year.

use crate::joint::drawing::{Drawing, Hold, Scheme};
use crate::joint::plan::{BondPlan, BondSide, Design, JointPlan, Loosened};
use crate::joint::recipe_reader::RecipeReader;
use crate::joint::{Axis, defaults};
use crate::units::Length;
use crate::units::spanned::{Name, Spanned};
use jiff::civil::Date;

/// A joint that holds along a line.
pub(super) struct Fixed<'a> {
    pub(super) kind: &'static str,
    pub(super) name: Option<&'a Spanned<Name>>,
    /// What it is called where it has no name of its own.
    pub(super) called: String,
    /// The axis of the piece along the line, and that of the part it goes into.
    pub(super) axes: [Axis; 2],
    /// Their axes square to the line.
    pub(super) square: [Axis; 2],
    /// Length of the line, and how far it reaches along the other direction.
    pub(super) run: Length,
    pub(super) band: Length,
    pub(super) bonded: bool,
    pub(super) on: Option<&'a Spanned<Date>>,
    pub(super) trial: &'static str,
    pub(super) notes: Vec<String>,
    pub(super) hardware: Vec<(String, u32)>,
}

impl Fixed<'_> {
    pub(super) fn plan(self, site: &mut RecipeReader<'_>) -> Option<JointPlan> {
        let (into, piece) = (site.into_part()?, site.piece()?);
        let cut_on = site.take_optional(self.on)?;
        let name = site.name_or(self.name, self.called)?;
        let (own, other) = (site.facts(piece), site.facts(into));
        let bonds = if self.bonded {
            vec![BondPlan {
                name: name.clone(),
                moves: BondSide::on_rim(piece, self.axes[0], self.square[0], own, self.run),
                holds: BondSide::on_rim(into, self.axes[1], self.square[1], other, self.run),
                both_faces: false,
                width: self.run,
                band: self.band,
                design: Design::Glued,
                screw: Length::from_mm_unchecked(defaults::SCREW_MM),
                from_fixed: self.run / 2.0,
                loosened: Loosened::Slots,
                held_flat: true,
            }]
        } else {
            Vec::new()
        };
        Some(JointPlan {
            bodies: site.bodies(),
            hardware: self.hardware,
            drawing: Drawing::new(
                Scheme::Crossing,
                into,
                piece,
                if self.bonded { Hold::Glue } else { Hold::Dry },
            ),
            trial: self.trial.into(),
            name,
            kind: self.kind,
            span: site.span(),
            cut_on,
            fits: Vec::new(),
            bonds,
            housings: Vec::new(),
            notes: self.notes,
        })
    }
}
