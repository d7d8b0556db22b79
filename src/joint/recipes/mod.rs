//! The trade's joints, each only an expansion into fits, bonds and housings.
//!
//! A recipe is one file: a struct of the keys a job file may tell, and
//! [`Recipe::expand`]. One line in the table below makes it known to the job
//! file, its schema and the near-miss suggestions; how it is done stands in the room above.

use super::joined::Pairing;
use super::part::Parts;
use super::plan::JointPlan;
use super::recipe_reader::RecipeReader;
use crate::piece::{Network, Piece};
use crate::units::spanned::{Placed, Problems};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::{HashMap, HashSet};

/// A joint of the trade.
pub trait Recipe {
    /// Expands into fits, bonds and housings; `None` after noting every problem.
    fn expand(&self, site: &mut RecipeReader<'_>) -> Option<JointPlan>;
}

mod breadboard_end;
mod cleat;
mod cross_grain;
mod dado;
mod dado_and_tenons;
mod dovetail;
mod dowels;
mod drawer;
mod drawer_bottom;
mod edge_banding;
mod edge_glue;
mod fixed;
mod floating_tenons;
mod frame_and_panel;
mod front_reveal;
mod groove;
mod half_lap;
mod hinged;
mod inset;
mod mitre;
mod mortise_and_tenon;
mod overlay;
mod plinth;
mod rabbet;
mod screw_slot;
mod screwed;
mod sliding_dovetail;
mod table_top_button;
mod tongue_and_groove;
mod travel;
pub mod words;

macro_rules! recipes {
    ($($(#[$doc:meta])* $key:ident: $Type:ident, $pairing:ident;)+) => {
        $(pub use $key::$Type;)+

        /// The `[joints]` of a job file: a list for each kind of joint.
        #[derive(Debug, Clone, Default, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
        #[serde(deny_unknown_fields, default)]
        pub struct Joints {
            $($(#[$doc])* pub $key: Vec<Placed<$Type>>,)+
        }

        impl Joints {
            /// The keys of all recipes.
            pub const KINDS: &'static [&'static str] = &[$(stringify!($key)),+];

            /// Expands every joint, in the order of the file; what is wrong is noted in `problems`.
            #[must_use]
            pub fn read(
                &self,
                parts: &Parts<'_>,
                piece: &Piece,
                problems: &mut Problems,
            ) -> Vec<JointPlan> {
                let mut plans = Vec::new();
                let network = Network::new(&piece.bodies, &piece.contacts, &piece.openings);
                $(for joint in &self.$key {
                    let keys = joint.get();
                    let mut site =
                        RecipeReader::in_piece(parts, piece, &network, problems, joint.span());
                    let mut of_entry = Vec::new();
                    for pair in site.pairs(&keys.piece, &keys.into, Pairing::$pairing) {
                        site.take_pair(pair);
                        let plan = keys.expand(&mut site);
                        of_entry.extend(plan.map(|plan| site.sized_here(plan)));
                    }
                    plans.extend(merged(of_entry));
                })+
                plans.sort_by_key(|plan: &JointPlan| plan.span.start);
                name_apart(&mut plans);
                super::depth::check(&plans, parts, problems);
                super::sense::check(&mut plans, parts, problems);
                plans
            }
        }
    };
}

recipes! {
    /// A board's end set into a channel across another board.
    dado: Dado, Meeting;
    /// A channel along the grain that takes the thickness of a board.
    groove: Groove, Meeting;
    /// A solid panel floating in the grooves of a frame.
    frame_and_panel: FrameAndPanel, Between;
    /// A solid back lying in steps along the edges of the case.
    rabbet: Rabbet, Between;
    /// Boards side by side, each fastened at its middle.
    tongue_and_groove: TongueAndGroove, Meeting;
    /// A tenon glued into a mortise across the grain.
    mortise_and_tenon: MortiseAndTenon, Meeting;
    /// A row of loose tenons, tight at the fixed point, with clearance elsewhere.
    floating_tenons: FloatingTenons, Meeting;
    /// A narrow board across the end of a wide top, fixed in the middle.
    breadboard_end: BreadboardEnd, Meeting;
    /// A batten screwed across a wide board.
    cleat: Cleat, Meeting;
    /// A door or drawer front set inside an opening.
    inset: Inset, InOpening;
    /// A drawer box in its opening.
    drawer: Drawer, InOpening;
    /// A solid drawer bottom, fixed at the front and free at the back.
    drawer_bottom: DrawerBottom, Meeting;
    /// A door lying over the case, with a reveal beside it.
    overlay: Overlay, InOpening;
    /// A front flush with its case, or stepped back, and how that drifts.
    front_reveal: FrontReveal, InOpening;
    /// A tapered dovetail key across a board, glued at one end.
    sliding_dovetail: SlidingDovetail, Meeting;
    /// A button that holds a top to its apron and slides in a groove.
    table_top_button: TableTopButton, Meeting;
    /// A screw in a slot.
    screw_slot: ScrewSlot, Meeting;
    /// A strip of solid wood glued along an edge or across an end.
    edge_banding: EdgeBanding, Meeting;
    /// Two boards fixed on each other with their grain crossing.
    cross_grain: CrossGrain, Meeting;
    /// Two boards that cross and share the notch.
    half_lap: HalfLap, Meeting;
    /// A board's end in a dado, with loose tenons that go deeper.
    dado_and_tenons: DadoAndTenons, Meeting;
    /// A row of dowels glued into both parts.
    dowels: Dowels, Meeting;
    /// The base screwed under a case.
    plinth: PlinthJoint, Meeting;
    /// Tails of one board in the pins of another.
    dovetail: Dovetail, Meeting;
    /// Two boards glued edge to edge.
    edge_glue: EdgeGlue, Meeting;
    /// Two ends cut at half the angle between them.
    mitre: Mitre, Meeting;
    /// Two parts held by screws in round holes.
    screwed: Screwed, Meeting;
    /// A door or lid on its hinges.
    hinged: Hinged, InOpening;
}

/// Joints of one entry that differ only in where they are cut are one joint with several cuts.
fn merged(plans: Vec<JointPlan>) -> Vec<JointPlan> {
    let bare = |plan: &JointPlan| {
        let mut fits = plan.fits.clone();
        fits.iter_mut().for_each(|fit| fit.name.clear());
        let mut bonds = plan.bonds.clone();
        bonds.iter_mut().for_each(|bond| bond.name.clear());
        (fits, bonds, plan.drawing.clone())
    };
    let mut merged: Vec<JointPlan> = Vec::new();
    for plan in plans {
        let Some(first) = merged.iter_mut().find(|known| bare(known) == bare(&plan)) else {
            merged.push(plan);
            continue;
        };
        for cut in plan.housings {
            let alike = |known: &&mut super::Housing| {
                let mut same = (**known).clone();
                same.count = cut.count;
                same == cut
            };
            match first.housings.iter_mut().find(alike) {
                Some(known) => known.count += cut.count,
                None => first.housings.push(cut),
            }
        }
        first.bodies.extend(plan.bodies);
        for note in plan.notes {
            if !first.notes.contains(&note) {
                first.notes.push(note);
            }
        }
    }
    merged
}

/// Gives joints that ended up with the same name a number, so that every answer can be distinguished.
fn name_apart(plans: &mut [JointPlan]) {
    let mut taken: HashSet<String> = HashSet::with_capacity(plans.len());
    // The number that the last joint of a name was given.
    let mut numbers: HashMap<String, usize> = HashMap::new();
    for plan in plans {
        if taken.insert(plan.name.clone()) {
            continue;
        }
        let base = plan.name.clone();
        let number = numbers.entry(base.clone()).or_insert(1);
        while !taken.insert(plan.name.clone()) {
            *number += 1;
            plan.name = format!("{base} ({number})");
        }
        for name in plan
            .fits
            .iter_mut()
            .map(|fit| &mut fit.name)
            .chain(plan.bonds.iter_mut().map(|bond| &mut bond.name))
        {
            *name = name.replacen(&base, &plan.name, 1);
        }
    }
}
