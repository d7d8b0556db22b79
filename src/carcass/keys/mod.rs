//! What a job file tells this room: `[[bows]]`, `[[straighten]]`, `[[shelves]]`, `[glue]` and `[install]`.
//!
//! Each section's keys are read into a checked plan, every problem noted at its place, and each plan
//! answers with a finding once the woods of its parts are known.

mod bows;
mod glue;
mod groups;
mod install;
mod install_answer;
mod joint_hold;
mod shelves;
mod straighten;
mod straighten_answer;
mod wood;
mod words;

pub use bows::{BondTestKeys, BowKeys, BowPlan, HeightKeys};
pub use glue::{GlueJointKeys, GlueKeys, GluePlan, TrapKeys};
pub use install::{
    FastenPlan, FasteningKeys, FloorKeys, InstallKeys, InstallPlan, OverhangKeys, OverhangPlan,
    PlacedBase, WallKeys, WallPlan,
};
pub use install_answer::{FastenedPart, InstallFinding};
pub use joint_hold::{HoldKeys, HoldPlan};
pub use shelves::{
    LippingKeys, LoadKeys, ShelfDividerKeys, ShelfFinding, ShelfKeys, ShelfPlan, answer_shelves,
    load_parts, tied_shelves,
};
pub use straighten::{
    DividerKeys, DividerPlan, StraightenKeys, StraightenPlan, SupportKeys, SupportPlan,
};
pub use straighten_answer::{
    HeldPart, StraightenFinding, answer_straighten, hold_parts, tied_panels,
};
pub use wood::PartWood;
pub use words::{
    AllowedWord, CrownWord, EndsWord, FixedWord, GripWord, HeldSideWord, HeldWord, LastsWord,
    NameList, SlotWord,
};
