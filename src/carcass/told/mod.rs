//! What a job file tells this room: `[[straighten]]`, `[[shelves]]`, `[glue]` and `[install]`.

mod glue;
mod groups;
mod install;
mod joint_hold;

mod shelves;
mod straighten;
mod wood;
mod words;

pub use glue::{GlueJointKeys, GlueKeys, GluePlan, TrapKeys};
pub use install::{
    FastenPlan, FastenedPart, FasteningKeys, FloorKeys, InstallFinding, InstallKeys, InstallPlan,
    OverhangKeys, OverhangPlan, WallKeys, WallPlan,
};
pub use joint_hold::{HoldKeys, HoldPlan};
pub use shelves::{
    LippingKeys, LoadKeys, ShelfDividerKeys, ShelfFinding, ShelfKeys, ShelfPlan, answer_shelves,
};
pub use straighten::{
    DividerKeys, DividerPlan, StraightenFinding, StraightenKeys, StraightenPlan, SupportKeys,
    SupportPlan, answer_straighten,
};
pub use wood::PartWood;
pub use words::{
    AllowedWord, CrownWord, EndsWord, FixedWord, GripWord, HeldSideWord, NameList, SlotWord,
};
