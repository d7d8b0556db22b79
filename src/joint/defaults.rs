//! The usual limits: judgement, every one settable in the job file. Millimetres.
//!
//! They are what a careful shop aims at: close enough to look well, wide enough to be
//! cut by hand and machine.

/// Minimum and maximum clearance of a glued dado or tenon cheek at assembly.
pub const GLUED_DADO: (f64, f64) = (0.0, 0.15);
/// Minimum and maximum clearance of a dado or tenon that is not glued, all year.
pub const LOOSE_DADO: (f64, f64) = (0.0, 0.5);
/// Minimum and maximum clearance of a panel's or bottom's thickness in its groove, all year.
pub const GROOVE: (f64, f64) = (0.0, 0.5);
/// Minimum and maximum clearance at the edges of a tenon at assembly.
pub const TENON_EDGE: (f64, f64) = (0.2, 1.0);
/// Minimum clearance between a panel's edge and the bottom of its groove, at the wettest.
pub const PANEL_CLEARANCE_MM: f64 = 1.0;
/// Minimum wood of a panel still in its groove, at the driest.
pub const PANEL_ENGAGEMENT_MM: f64 = 5.0;
/// Minimum and maximum gap a side of an inset door or drawer.
pub const INSET: (f64, f64) = (0.8, 3.0);
/// Minimum and maximum reveal beside an overlay door.
pub const REVEAL: (f64, f64) = (1.0, 4.0);
/// Minimum gap between boards side by side.
pub const BOARD_GAP_MM: f64 = 0.5;
/// Minimum of a tongue still in its groove.
pub const TONGUE_ENGAGEMENT_MM: f64 = 2.0;
/// Minimum distance of a screw's shank from the ends of its slot.
pub const SCREW_CLEARANCE_MM: f64 = 1.0;
/// Minimum clearance at either side of a tenon that travels.
pub const TENON_ROOM_MM: f64 = 0.3;
/// Minimum of a button's tongue still in its groove.
pub const BUTTON_ENGAGEMENT_MM: f64 = 4.0;
/// Length glued at the front of a sliding dovetail, or at the middle of a breadboard end.
pub const GLUED_SPOT_MM: f64 = 60.0;
/// Maximum step between ends that were flush when made.
pub const FLUSH_MM: f64 = 2.0;
/// Diameter of a screw where none is given.
pub const SCREW_MM: f64 = 4.0;
/// Minimum clearance between a button's shoulder and the apron.
pub const BUTTON_SHOULDER_MM: f64 = 0.3;
/// Minimum of a drawer bottom that stays under the back.
pub const BOTTOM_ENGAGEMENT_MM: f64 = 1.0;
/// Maximum drift of a front against the edge of its case.
pub const FRONT_DRIFT_MM: f64 = 1.0;
/// Room between a tenon's end and the bottom of its mortise.
pub const TENON_BOTTOM_MM: f64 = 1.5;
/// How much deeper than its tongue a groove is cut, so that the shoulders meet first.
pub const TONGUE_BOTTOM_MM: f64 = 1.0;
/// Diameter of a breadboard end's pins.
pub const PIN_MM: f64 = 6.0;
