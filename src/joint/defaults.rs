//! Sheet H's usual limits: judgement, every one settable in the job file. Millimetres.

/// Least and greatest play of a glued dado at assembly.
pub const GLUED_DADO: (f64, f64) = (0.0, 0.15);
/// Least and greatest play of a dado that is not glued, all year.
pub const LOOSE_DADO: (f64, f64) = (0.0, 0.5);
/// Least room between a panel's edge and the bottom of its groove, at the wettest.
pub const PANEL_CLEARANCE_MM: f64 = 1.0;
/// Least wood of a panel still in its groove, at the driest.
pub const PANEL_ENGAGEMENT_MM: f64 = 5.0;
/// Least and greatest gap a side of an inset door or drawer.
pub const INSET: (f64, f64) = (0.8, 3.0);
/// Least distance of a screw's shank from the ends of its slot.
pub const SCREW_CLEARANCE_MM: f64 = 1.0;
/// Diameter of a screw where none is told.
pub const SCREW_MM: f64 = 4.0;
