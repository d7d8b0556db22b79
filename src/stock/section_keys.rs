//! `[[boards]]`: boards to resaw, as a job file tells them.

use super::board::{Board, Wood};
use super::drying::Drying;
use super::forecast::{BoardOrder, MeasuredLeaf};
use super::milling::PartWanted;
use super::plan::ResawPlan;
use super::rest::{Lying, RestPlan};
use super::strip::{TestStrip, WhenRead};
use crate::air::AirState;
use crate::movement::RingsKeys;
use crate::units::notation::{Flag, Lengths, LockedIn, RoughThickness, Whole};
use crate::units::told::{Name, Placed, Told};
use crate::units::{Length, Mass, MoistureContent, Strain};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// A board to resaw. Its marked face is the bark-side one; leaves are numbered from it.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BoardKeys {
    /// The board's name.
    pub name: Told<Name>,
    /// The wood, such as "walnut, black".
    pub species: Told<Name>,
    /// Thickness at the moment of the cut: a length, or a rough thickness such as "8/4".
    pub thickness: Told<RoughThickness>,
    /// Across the grain.
    pub width: Told<Length>,
    /// Along the grain.
    pub length: Told<Length>,
    /// Moisture by one reading, taken as the mean; or tell `shell` and `core`.
    pub moisture: Option<Told<MoistureContent>>,
    /// Moisture just under the face; with `core`.
    pub shell: Option<Told<MoistureContent>>,
    /// Moisture in the middle of the thickness; with `shell`.
    pub core: Option<Told<MoistureContent>>,
    /// Present bow over the length, positive when the marked face is hollow; none unless told.
    pub bow: Option<Told<Length>>,
    /// Present crook over the length; none unless told.
    pub crook: Option<Told<Length>>,
    /// Present cup over the width, positive when the marked face is hollow; none unless told.
    pub cup: Option<Told<Length>>,
    /// Present twist: lift of one corner with the other three flat; none unless told.
    pub twist: Option<Told<Length>>,
    /// Where the rings are, seen on the end grain bark side up.
    pub rings: Option<Placed<RingsKeys>>,
    /// How it was dried, such as "kiln dried, unconditioned"; unknown unless told.
    pub drying: Option<Told<Drying>>,
    /// The pack it comes from: boards of one pack speak for each other.
    pub pack: Option<Told<Name>>,
    /// Strain locked in its surface layer along the grain, positive with the shell in compression.
    pub locked_in: Option<Told<LockedIn>>,
    /// The same across the grain.
    pub locked_in_across: Option<Told<LockedIn>>,
    /// How many leaves of one thickness; or tell `leaf_thicknesses`.
    pub leaves: Option<Told<Whole>>,
    /// Thicknesses of the leaves from the marked face, such as "20 mm, 25 mm"; what is left is a last leaf.
    pub leaf_thicknesses: Option<Told<Lengths>>,
    /// Wood lost to each resaw cut; "1/16in" unless told.
    pub kerf: Option<Told<Length>>,
    /// Planed off the marked face before the first cut.
    pub plane_marked: Option<Told<Length>>,
    /// Planed off the other face before the first cut.
    pub plane_other: Option<Told<Length>>,
    /// Test strips of this board.
    #[serde(default)]
    pub strips: Vec<Placed<StripKeys>>,
    /// Leaves of this plan that were already sawn and measured.
    #[serde(default)]
    pub measured_leaves: Vec<Placed<LeafKeys>>,
    /// Parts wanted from its leaves.
    #[serde(default)]
    pub parts: Vec<Placed<PartWantedKeys>>,
    /// Clean-up cut of each face when a leaf is flattened; "1/64in" unless told.
    pub clean_up: Option<Told<Length>>,
    /// The place where the leaves rest; "shop" unless told.
    pub rests_in: Option<Told<Name>>,
    /// How they lie: "stickered", "marked face up" or "marked face down"; stickered unless told.
    pub lying: Option<Told<Lying>>,
    /// For how many days the rest is told; 60 unless told.
    pub rest_days: Option<Told<Whole>>,
    /// Weight of one leaf on the scale.
    pub leaf_weight: Option<Told<Mass>>,
}

/// A test strip and its readings.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct StripKeys {
    /// Length over which it was measured.
    pub length: Told<Length>,
    /// Its thickness when it was split; that of the board unless told.
    pub thickness: Option<Told<RoughThickness>>,
    /// Its thickness before it was planed, equally off both faces, since it was dried.
    pub planed_from: Option<Told<RoughThickness>>,
    /// Wood lost to its cut; that of the board unless told.
    pub kerf: Option<Told<Length>>,
    /// Gap at the middle of the halves put back together; negative when they gap at the ends.
    pub gap: Option<Told<Length>>,
    /// Bow of each half, the marked face's first, positive when its fresh face is hollow: "1.2 mm, 0.9 mm".
    pub bows: Option<Told<Lengths>>,
    /// When it was read: "off the saw" or "rested"; off the saw unless told.
    pub read: Option<Told<WhenRead>>,
    /// true for a slice sawn across the board, which shows cup instead of bow.
    pub across: Option<Told<Flag>>,
    /// Error of a reading; "0.25 mm" unless told.
    pub reading_error: Option<Told<Length>>,
}

/// A leaf that was sawn and measured.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LeafKeys {
    /// Its number, from 1 at the board's marked face.
    pub leaf: Told<Whole>,
    /// Its bow over the board's length, positive when its marked face is hollow.
    pub bow: Option<Told<Length>>,
    /// Its cup over the board's width, positive when its marked face is hollow.
    pub cup: Option<Told<Length>>,
    /// When it was read: "off the saw" or "rested"; off the saw unless told.
    pub read: Option<Told<WhenRead>>,
    /// Error of a reading; "0.25 mm" unless told.
    pub reading_error: Option<Told<Length>>,
}

/// A part wanted from a board's leaves.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PartWantedKeys {
    /// The part's name.
    pub name: Told<Name>,
    /// Along the grain.
    pub length: Told<Length>,
    /// Across it.
    pub width: Told<Length>,
    /// Thickness once flat on both faces.
    pub thickness: Told<Length>,
    /// How many; 1 unless told.
    pub count: Option<Told<Whole>>,
}

/// A board to resaw, checked. What it still needs is its wood and the air it rests in.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardPlan {
    /// Its name.
    pub name: String,
    /// Where the file tells it.
    pub span: Range<usize>,
    /// The wood as told.
    pub species: String,
    /// Where the file tells the wood.
    pub species_span: Range<usize>,
    /// The pack it comes from.
    pub pack: Option<String>,
    /// As measured.
    pub board: Board,
    /// How it is split.
    pub plan: ResawPlan,
    /// How it was dried.
    pub drying: Drying,
    /// Told strain along the grain.
    pub locked_in: Option<Strain>,
    /// Told strain across it.
    pub locked_in_across: Option<Strain>,
    /// Its test strips.
    pub strips: Vec<TestStrip>,
    /// Leaves already measured.
    pub measured: Vec<MeasuredLeaf>,
    /// Parts wanted from it.
    pub parts: Vec<PartWanted>,
    /// Clean-up cut of each face.
    pub clean_up: Length,
    /// Place where its leaves rest, as told.
    pub rests_in: Option<String>,
    /// Where the file tells that place.
    pub rests_in_span: Range<usize>,
    /// How they lie.
    pub lying: Lying,
    /// Days of rest told day by day.
    pub rest_days: usize,
    /// Weight of one leaf on the scale.
    pub leaf_weight: Option<Mass>,
}

impl BoardPlan {
    /// The order for the forecast, with the wood and the air found for it.
    #[must_use]
    pub fn order(&self, wood: Wood, air: Option<AirState>) -> BoardOrder {
        BoardOrder {
            board: self.board,
            wood,
            plan: self.plan.clone(),
            drying: self.drying,
            locked_in: self.locked_in,
            locked_in_across: self.locked_in_across,
            locked_in_spread: 1.0,
            strips: self.strips.clone(),
            measured: self.measured.clone(),
            rest: air.map(|air| RestPlan {
                air,
                lying: self.lying,
                days: self.rest_days,
                weight: self.leaf_weight,
            }),
            parts: self.parts.clone(),
            clean_up: self.clean_up,
            cross_cut: Length::computed_mm(3.0),
        }
    }
}
