//! Figures: findings as pictures, SVG text of one look.
//!
//! The room answers how a finding is drawn. It takes plain data, one struct a
//! figure, and gives a [`Figure`]: the picture, a sentence on how to read it, a
//! description for those who do not see it, and the numbers as a table. The
//! same data give the same bytes. Marks carry classes and no colours, so that light,
//! dark and print restyle them ([`style_sheet`]); wood is drawn as end grain;
//! labels stand beside their marks and there is no legend. Curves are
//! drawn through the data themselves, to a tenth of a pixel. Sizes of letters come from the
//! published metrics of Helvetica, the colours are after Okabe and Ito; nothing in this room knows wood but how to draw it.

mod air_year;
mod along;
mod arrangement;
mod assembly;
mod backend;
mod beside;
mod callouts;
mod candidates;
mod case_frame;
mod depth;
mod end_grain;
mod fastenings;
mod figure;
mod finishes;
mod gap;
mod ink;
mod joint_drawing;
mod joint_schemes;
mod layout;
mod leaves;
mod lettering;
mod log_readings;
mod moisture_year;
mod piece_picture;
mod piece_seasons;
mod rest;
mod rings_photo;
mod scale;
mod section;
mod sheet;
mod shelf;
mod simplify;
mod site;
mod stages;
mod straighten;
mod test_strip;
mod thickness;
mod walk;
mod ways;
mod words;
mod year;

pub use air_year::AirYearFigure;
pub use arrangement::ArrangementFigure;
pub use assembly::{AssemblyFigure, AssemblyMoveView, AssemblyPartView};
pub use beside::BesideFigure;
pub use candidates::{Candidate, CandidatesFigure};
pub use case_frame::{CaseFrameFigure, FrameBoardView, FrameJointView};
pub use depth::{CutView, DepthFigure};
pub use end_grain::WoodTone;
pub use fastenings::{FasteningView, FasteningsFigure, SlotView};
pub use figure::{Figure, FigureIds, NumberTable};
pub use finishes::{FinishBar, FinishesFigure};
pub use gap::{GapFigure, Limit};
pub use ink::style_sheet;
pub use joint_drawing::{JointFigure, JointGap};
pub use leaves::{LeafView, LeavesFigure};
pub use lettering::{Run, set_fractions};
pub use log_readings::{LogFigure, LogRow};
pub use moisture_year::{DailyBand, DayMark, MoistureYearFigure};
pub use piece_picture::{
    Elevation, PictureBody, PictureJoint, PictureTarget, PieceFigure, TargetOf,
};
pub use piece_seasons::{SeasonsBody, SeasonsFigure};
pub use rest::RestFigure;
pub use rings_photo::{PhotoRings, RingsPhotoFigure};
pub use section::{SectionFigure, SectionState};
pub use shelf::{SagPoint, ShelfFigure};
pub use site::SiteFigure;
pub use stages::{StageView, StagesFigure};
pub use straighten::{HeldPoint, StraightenFigure, SupportView};
pub use test_strip::StripFigure;
pub use thickness::{MillingOrder, PieceView, ThicknessFigure};
pub use walk::{GapWalk, SectionMonth, SectionWalk};
pub use ways::{Way, WaysFigure};
pub use words::{capital, day_name, mid_month, month_name};
