//! The usual limits: judgement, every one settable in the job file. Millimetres.
//!
//! They are what a careful shop aims at: close enough to look well, wide enough to be
//! cut by hand and machine.

/// Least and greatest play of a glued dado or tenon cheek at assembly.
pub const GLUED_DADO: (f64, f64) = (0.0, 0.15);
/// Least and greatest play of a dado or tenon that is not glued, all year.
pub const LOOSE_DADO: (f64, f64) = (0.0, 0.5);
/// Least and greatest play of a panel's or bottom's thickness in its groove, all year.
pub const GROOVE: (f64, f64) = (0.0, 0.5);
/// Least and greatest room at the edges of a tenon at assembly.
pub const TENON_EDGE: (f64, f64) = (0.2, 1.0);
/// Least room between a panel's edge and the bottom of its groove, at the wettest.
pub const PANEL_CLEARANCE_MM: f64 = 1.0;
/// Least wood of a panel still in its groove, at the driest.
pub const PANEL_ENGAGEMENT_MM: f64 = 5.0;
/// Least and greatest gap a side of an inset door or drawer.
pub const INSET: (f64, f64) = (0.8, 3.0);
/// Least and greatest reveal beside an overlay door.
pub const REVEAL: (f64, f64) = (1.0, 4.0);
/// Least gap between boards side by side.
pub const BOARD_GAP_MM: f64 = 0.5;
/// Least of a tongue still in its groove.
pub const TONGUE_ENGAGEMENT_MM: f64 = 2.0;
/// Least distance of a screw's shank from the ends of its slot.
pub const SCREW_CLEARANCE_MM: f64 = 1.0;
/// Least room at either side of a tenon that travels.
pub const TENON_ROOM_MM: f64 = 0.3;
/// Least of a button's tongue still in its groove.
pub const BUTTON_ENGAGEMENT_MM: f64 = 4.0;
/// Length glued at the front of a sliding dovetail, or at the middle of a breadboard end.
pub const GLUED_SPOT_MM: f64 = 60.0;
/// Greatest step between ends that were flush when made.
pub const FLUSH_MM: f64 = 2.0;
/// Diameter of a screw where none is told.
pub const SCREW_MM: f64 = 4.0;
/// Least room between a button's shoulder and the apron.
pub const BUTTON_SHOULDER_MM: f64 = 0.3;
/// Least of a drawer bottom that stays under the back.
pub const BOTTOM_ENGAGEMENT_MM: f64 = 1.0;
/// Greatest drift of a front against the edge of its case.
pub const FRONT_DRIFT_MM: f64 = 1.0;
/// Room between a tenon's end and the bottom of its mortise.
pub const TENON_BOTTOM_MM: f64 = 1.5;
/// How much deeper than its tongue a groove is cut, so that the shoulders meet first.
pub const TONGUE_BOTTOM_MM: f64 = 1.0;
/// Diameter of a breadboard end's pins.
pub const PIN_MM: f64 = 6.0;
