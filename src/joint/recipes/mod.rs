//! The trade's joints, each only an expansion into fits, bonds and housings.
//!
//! A recipe is one file: a struct of the keys a job file may tell, and
//! [`Recipe::expand`]. One line in the table below makes it known to the job
//! file, its schema and the near-miss suggestions; how it is done stands in the room above.

use super::part::Parts;
use super::plan::JointPlan;
use super::recipe_reader::RecipeReader;
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
mod drawer;
mod drawer_bottom;
mod edge_banding;
mod floating_tenons;
mod frame_and_panel;
mod front_reveal;
mod groove;
mod inset;
mod mortise_and_tenon;
mod overlay;
mod rabbet;
mod screw_slot;
mod sliding_dovetail;
mod table_top_button;
mod tongue_and_groove;
mod travel;
pub mod words;

macro_rules! recipes {
    ($($(#[$doc:meta])* $key:ident: $Type:ident;)+) => {
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
            pub fn read(&self, parts: &Parts<'_>, problems: &mut Problems) -> Vec<JointPlan> {
                let mut plans = Vec::new();
                $(for joint in &self.$key {
                    let mut site = RecipeReader::new(parts, problems, joint.span());
                    plans.extend(joint.get().expand(&mut site));
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
    dado: Dado;
    /// A channel along the grain that takes the thickness of a board.
    groove: Groove;
    /// A solid panel floating in the grooves of a frame.
    frame_and_panel: FrameAndPanel;
    /// A solid back lying in steps along the edges of the case.
    rabbet: Rabbet;
    /// Boards side by side, each fastened at its middle.
    tongue_and_groove: TongueAndGroove;
    /// A tenon glued into a mortise across the grain.
    mortise_and_tenon: MortiseAndTenon;
    /// A row of loose tenons, tight at the fixed point, with clearance elsewhere.
    floating_tenons: FloatingTenons;
    /// A narrow board across the end of a wide top, fixed in the middle.
    breadboard_end: BreadboardEnd;
    /// A batten screwed across a wide board.
    cleat: Cleat;
    /// A door or drawer front set inside an opening.
    inset: Inset;
    /// A drawer box in its opening.
    drawer: Drawer;
    /// A solid drawer bottom, fixed at the front and free at the back.
    drawer_bottom: DrawerBottom;
    /// A door lying over the case, with a reveal beside it.
    overlay: Overlay;
    /// A front flush with its case, or stepped back, and how that drifts.
    front_reveal: FrontReveal;
    /// A tapered dovetail key across a board, glued at one end.
    sliding_dovetail: SlidingDovetail;
    /// A button that holds a top to its apron and slides in a groove.
    table_top_button: TableTopButton;
    /// A screw in a slot.
    screw_slot: ScrewSlot;
    /// A strip of solid wood glued along an edge or across an end.
    edge_banding: EdgeBanding;
    /// Two boards fixed on each other with their grain crossing.
    cross_grain: CrossGrain;
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
