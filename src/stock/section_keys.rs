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
use crate::rings::RingsPhotoPlan;
use crate::units::notation::{Flag, Lengths, LockedIn, RoughThickness, Whole};
use crate::units::spanned::{Name, Placed, Spanned};
use crate::units::{Length, Mass, MoistureContent, Strain};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// A board to resaw. Its bark face is its upper one; leaves are numbered from it.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BoardKeys {
    /// The board's name.
    pub name: Spanned<Name>,
    /// The wood, such as "walnut, black".
    pub species: Spanned<Name>,
    /// Thickness at the moment of the cut: a length, or a rough thickness such as "8/4".
    pub thickness: Spanned<RoughThickness>,
    /// Across the grain.
    pub width: Spanned<Length>,
    /// Along the grain.
    pub length: Spanned<Length>,
    /// Moisture by one reading, taken as the mean; or give `shell` and `core`.
    pub moisture: Option<Spanned<MoistureContent>>,
    /// Moisture just under the face; with `core`.
    pub shell: Option<Spanned<MoistureContent>>,
    /// Moisture in the middle of the thickness; with `shell`.
    pub core: Option<Spanned<MoistureContent>>,
    /// Present bow over the length, positive when the sawn face is hollow; none unless given.
    pub bow: Option<Spanned<Length>>,
    /// Present crook over the length; none unless given.
    pub crook: Option<Spanned<Length>>,
    /// Present cup over the width, positive when the sawn face is hollow; none unless given.
    pub cup: Option<Spanned<Length>>,
    /// Present twist: lift of one corner with the other three flat; none unless given.
    pub twist: Option<Spanned<Length>>,
    /// Where the rings are, seen on the end grain bark side up.
    pub rings: Option<Placed<RingsKeys>>,
    /// How it was dried, such as "kiln dried, unconditioned"; unknown unless given.
    pub drying: Option<Spanned<Drying>>,
    /// The pack it comes from: boards of one pack speak for each other.
    pub pack: Option<Spanned<Name>>,
    /// Strain locked in its surface layer along the grain, positive with the shell in compression.
    pub locked_in: Option<Spanned<LockedIn>>,
    /// The same across the grain.
    pub locked_in_across: Option<Spanned<LockedIn>>,
    /// How many leaves of one thickness; or give `leaf_thicknesses`.
    pub leaves: Option<Spanned<Whole>>,
    /// Thicknesses of the leaves from the bark face, such as "20 mm, 25 mm"; what is left is a last leaf.
    pub leaf_thicknesses: Option<Spanned<Lengths>>,
    /// Wood lost to each resaw cut; "1/16in" unless given.
    pub kerf: Option<Spanned<Length>>,
    /// Planed off the bark face before the first cut.
    pub plane_bark: Option<Spanned<Length>>,
    /// Planed off the other face before the first cut.
    pub plane_other: Option<Spanned<Length>>,
    /// Test strips of this board.
    #[serde(default)]
    pub strips: Vec<Placed<StripKeys>>,
    /// Leaves of this plan that were already sawn and measured.
    #[serde(default)]
    pub measured_leaves: Vec<Placed<LeafKeys>>,
    /// Parts wanted from its leaves.
    #[serde(default)]
    pub parts: Vec<Placed<PartWantedKeys>>,
    /// Clean-up cut of each face when a leaf is flattened; "1/64in" unless given.
    pub clean_up: Option<Spanned<Length>>,
    /// The place where the leaves rest; "shop" unless given.
    pub rests_in: Option<Spanned<Name>>,
    /// How they lie: "stickered", "sawn face up" or "sawn face down"; stickered unless given.
    pub lying: Option<Spanned<Lying>>,
    /// For how many days the rest is given; 60 unless given.
    pub rest_days: Option<Spanned<Whole>>,
    /// Weight of one leaf on the scale.
    pub leaf_weight: Option<Spanned<Mass>>,
}

/// A test strip and its readings.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct StripKeys {
    /// Length over which it was measured.
    pub length: Spanned<Length>,
    /// Its thickness when it was split; that of the board unless given.
    pub thickness: Option<Spanned<RoughThickness>>,
    /// Its thickness before it was planed, equally off both faces, since it was dried.
    pub planed_from: Option<Spanned<RoughThickness>>,
    /// Wood lost to its cut; that of the board unless given.
    pub kerf: Option<Spanned<Length>>,
    /// Gap at the middle of the halves put back together; negative when they gap at the ends.
    pub gap: Option<Spanned<Length>>,
    /// Bow of each half, the bark face's first, positive when its fresh face is hollow: "1.2 mm, 0.9 mm".
    pub bows: Option<Spanned<Lengths>>,
    /// When it was read: "off the saw" or "rested"; off the saw unless given.
    pub read: Option<Spanned<WhenRead>>,
    /// true for a slice sawn across the board, which shows cup instead of bow.
    pub across: Option<Spanned<Flag>>,
    /// Error of a reading; "0.25 mm" unless given.
    pub reading_error: Option<Spanned<Length>>,
}

/// A leaf that was sawn and measured.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LeafKeys {
    /// Its number, from 1 at the board's bark face.
    pub leaf: Spanned<Whole>,
    /// Its bow over the board's length, positive when its sawn face is hollow.
    pub bow: Option<Spanned<Length>>,
    /// Its cup over the board's width, positive when its sawn face is hollow.
    pub cup: Option<Spanned<Length>>,
    /// When it was read: "off the saw" or "rested"; off the saw unless given.
    pub read: Option<Spanned<WhenRead>>,
    /// Error of a reading; "0.25 mm" unless given.
    pub reading_error: Option<Spanned<Length>>,
}

/// A part wanted from a board's leaves.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PartWantedKeys {
    /// The part's name.
    pub name: Spanned<Name>,
    /// Along the grain.
    pub length: Spanned<Length>,
    /// Across it.
    pub width: Spanned<Length>,
    /// Thickness once flat on both faces.
    pub thickness: Spanned<Length>,
    /// How many; 1 unless given.
    pub count: Option<Spanned<Whole>>,
}

/// A board to resaw, checked. What it still needs is its wood and the air it rests in.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardPlan {
    /// Its name.
    pub name: String,
    /// Where the file tells it.
    pub span: Range<usize>,
    /// The wood as given.
    pub species: String,
    /// Where the file tells the wood.
    pub species_span: Range<usize>,
    /// The pack it comes from.
    pub pack: Option<String>,
    /// As measured.
    pub board: Board,
    /// The photo that its rings are in; flat until it is read.
    pub rings_photo: Option<RingsPhotoPlan>,
    /// How it is split.
    pub plan: ResawPlan,
    /// How it was dried.
    pub drying: Drying,
    /// Given strain along the grain.
    pub locked_in: Option<Strain>,
    /// Given strain across it.
    pub locked_in_across: Option<Strain>,
    /// Its test strips.
    pub strips: Vec<TestStrip>,
    /// Leaves already measured.
    pub measured: Vec<MeasuredLeaf>,
    /// Parts wanted from it.
    pub parts: Vec<PartWanted>,
    /// Clean-up cut of each face.
    pub clean_up: Length,
    /// Place where its leaves rest, as given.
    pub rests_in: Option<String>,
    /// Where the file tells that place.
    pub rests_in_span: Range<usize>,
    /// How they lie.
    pub lying: Lying,
    /// Days of rest given day by day.
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
            cross_cut: Length::from_mm_unchecked(3.0),
        }
    }
}
