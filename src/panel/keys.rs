//! A panel to be matched, as a job file tells it.

use super::leaf::{FaceUp, Leaf};
use super::leaf_match::LeafMatch;
use super::leaves_csv;
use crate::movement::{Face, GivenRings, Rings, RingsKeys, Sawn};
use crate::rings::RingsPhotoPlan;
use crate::units::notation::{NotationError, Whole, one_of};
use crate::units::spanned::{Name, Placed, Problems, ReadNotation, Spanned};
use crate::units::{Bounds, Length, MoistureContent, Refusal, Refusals};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// Leaves to be matched into a panel.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PanelKeys {
    /// The name of the panel in every answer.
    pub name: Spanned<Name>,
    /// The part of the job that the panel becomes; it lends its place, its finish and its wood.
    pub part: Option<Spanned<Name>>,
    /// How the leaves are matched: "bookmatch", "slip", "four-way" or "random".
    #[serde(rename = "match")]
    pub leaf_match: Spanned<LeafMatch>,
    /// The wood of all leaves that do not name their own.
    pub species: Option<Spanned<Name>>,
    /// Moisture content when the panel is glued.
    pub moisture: Option<Spanned<MoistureContent>>,
    /// The leaves, one table each.
    pub leaves: Option<Vec<Placed<LeafKeys>>>,
    /// The same as a file of rows (CSV), from where the job file lies.
    pub leaves_file: Option<Spanned<Name>>,
    /// How many of the best layouts to show; 3 unless given.
    pub best: Option<Spanned<Whole>>,
}

/// One leaf as measured.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LeafKeys {
    /// What is written on it.
    pub leaf: Spanned<Name>,
    /// Width as sawn.
    pub width: Spanned<Length>,
    /// Face to face.
    pub thickness: Spanned<Length>,
    /// Along the grain.
    pub length: Spanned<Length>,
    /// Gap at the middle under a straightedge along it, positive when the sawn face is hollow.
    pub bow: Spanned<Length>,
    /// The same along its edge.
    pub crook: Option<Spanned<Length>>,
    /// Lift of one corner while three rest, positive right-handed.
    pub twist: Option<Spanned<Length>>,
    /// Cup it has now, positive when the sawn face is hollow.
    pub cup: Option<Spanned<Length>>,
    /// Heart-side face square down to the pith.
    pub pith_depth: Option<Spanned<Length>>,
    /// Centre line to the pith, seen from the near end, bark side up.
    pub pith_offset: Option<Spanned<Length>>,
    /// Where the rings are, seen from the near end, bark side up; in place of `pith_depth`.
    pub rings: Option<Placed<RingsKeys>>,
    /// Its wood, where it differs.
    pub species: Option<Spanned<Name>>,
    /// The label of its pair; without any the leaves pair in their order.
    pub pair: Option<Spanned<Name>>,
    /// The face that must show: "sawn" or "back".
    pub show_face: Option<Spanned<FaceUp>>,
    /// The side the sawn face is on: "bark" or "heart".
    pub sawn_side: Option<Spanned<SawnSide>>,
}

/// The side of the board that the sawn face is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SawnSide(pub Face);

impl ReadNotation for SawnSide {
    const WHAT: &'static str = "\"bark\" or \"heart\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a side",
            &[("bark", Self(Face::Bark)), ("heart", Self(Face::Heart))],
        )
    }
}

impl ReadNotation for FaceUp {
    const WHAT: &'static str = "\"sawn\" or \"back\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(text, "a face", &Self::BOTH.map(|face| (face.word(), face)))
    }
}

/// A panel of a checked job.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelPlan {
    /// Its name.
    pub name: String,
    /// Where the job file tells it.
    pub span: Range<usize>,
    /// The part it becomes, and where that is given.
    pub part: Option<(String, Range<usize>)>,
    /// How the leaves are matched.
    pub leaf_match: LeafMatch,
    /// The wood of all leaves, and where it is given.
    pub species: Option<(String, Range<usize>)>,
    /// Moisture content when it is glued.
    pub moisture: Option<MoistureContent>,
    /// Where the leaves come from.
    pub leaves: LeavesFrom,
    /// The photos that rings of leaves given in the job file are in, each with the place of its leaf; flat until they are read.
    pub ring_photos: Vec<(usize, RingsPhotoPlan)>,
    /// How many layouts to show.
    pub best: usize,
}

/// Where a panel's leaves come from.
#[derive(Debug, Clone, PartialEq)]
pub enum LeavesFrom {
    /// Given in the job file.
    Spanned(Vec<Leaf>),
    /// A file of rows, its path and where that is given; read by whoever holds the job, then [`PanelPlan::take_file`].
    File {
        /// The path as given.
        path: String,
        /// Its place in the job file.
        span: Range<usize>,
    },
}

/// Most layouts that are shown.
const MOST_BEST: u64 = 12;
/// Layouts shown unless given.
const USUAL_BEST: usize = 3;

impl PanelKeys {
    /// The panel, or `None` after its problems were noted. `span` is the place of its table.
    pub fn read(&self, span: Range<usize>, problems: &mut Problems) -> Option<PanelPlan> {
        let name = problems.take(&self.name);
        let leaf_match = problems.take(&self.leaf_match);
        let mut named = |given: &Option<Spanned<Name>>| match given {
            None => Some(None),
            Some(given) => problems
                .take(given)
                .map(|Name(text)| Some((text, given.span()))),
        };
        let part = named(&self.part);
        let species = named(&self.species);
        let file = named(&self.leaves_file);
        let moisture = problems.take_optional(self.moisture.as_ref());
        let best = match &self.best {
            None => Some(USUAL_BEST),
            Some(given) => problems
                .take_checked(
                    given,
                    |whole: Whole| {
                        if (1..=MOST_BEST).contains(&whole.0) {
                            Ok(whole)
                        } else {
                            Err(format!("`best` is {}, not 1 to {MOST_BEST}", whole.0))
                        }
                    },
                    "write how many layouts to show, such as 3",
                )
                .and_then(|Whole(count)| usize::try_from(count).ok()),
        };
        let mut ring_photos = Vec::new();
        let leaves = match (&self.leaves, file) {
            (_, None) => None,
            (Some(_), Some(Some((_, at)))) => {
                problems.push(
                    at,
                    "the leaves are given here and in a file too",
                    "keep `leaves` or `leaves_file`, not both",
                );
                None
            }
            (None, Some(Some((path, span)))) => Some(LeavesFrom::File { path, span }),
            (Some(given), Some(None)) => {
                // Every leaf is read, so that all problems show at once.
                let read: Vec<Option<Leaf>> = given
                    .iter()
                    .enumerate()
                    .map(|(place, leaf)| {
                        let (leaf, photo) = leaf.get().read(problems)?;
                        ring_photos.extend(photo.map(|photo| (place, photo)));
                        Some(leaf)
                    })
                    .collect();
                read.into_iter()
                    .collect::<Option<Vec<Leaf>>>()
                    .map(LeavesFrom::Spanned)
            }
            (None, Some(None)) => {
                problems.push(
                    span.clone(),
                    "the panel has no leaves",
                    "write `leaves = [ { leaf = \"A1\", width = \"6in\", thickness = \"3/8in\", length = \"36in\", bow = \"1/8in\" }, … ]` or `leaves_file = \"leaves.csv\"`",
                );
                None
            }
        };
        let plan = PanelPlan {
            name: name?.0,
            span: span.clone(),
            part: part?,
            leaf_match: leaf_match?,
            species: species?,
            moisture: moisture?,
            leaves: leaves?,
            ring_photos,
            best: best?,
        };
        if let LeavesFrom::Spanned(leaves) = &plan.leaves
            && let Err(error) = plan.check(leaves)
        {
            problems.refuse(span, &error);
            return None;
        }
        Some(plan)
    }
}

impl LeafKeys {
    fn read(&self, problems: &mut Problems) -> Option<(Leaf, Option<RingsPhotoPlan>)> {
        let name = problems.take(&self.leaf);
        let mut size = |given: &Spanned<Length>, bounds: Bounds| {
            problems.take_checked(
                given,
                |length| length.within(bounds),
                "measure it again, or look at its unit",
            )
        };
        let width = size(&self.width, Bounds::WIDTH);
        let thickness = size(&self.thickness, Bounds::THICKNESS);
        let length = size(&self.length, Bounds::BOARD_LENGTH);
        let bow = size(&self.bow, Bounds::LENGTH);
        let mut optional = |given: &Option<Spanned<Length>>, bounds: Bounds| match given {
            None => Some(None),
            Some(given) => size(given, bounds).map(Some),
        };
        let crook = optional(&self.crook, Bounds::LENGTH);
        let twist = optional(&self.twist, Bounds::LENGTH);
        let cup = optional(&self.cup, Bounds::LENGTH);
        let depth = optional(&self.pith_depth, Bounds::PITH_DEPTH);
        let offset = optional(&self.pith_offset, Bounds::LENGTH);
        let species = problems.take_optional(self.species.as_ref());
        let pair = problems.take_optional(self.pair.as_ref());
        let show_face = problems.take_optional(self.show_face.as_ref());
        let sawn_side = problems.take_optional(self.sawn_side.as_ref());
        if let (None, Some(stray)) = (&self.pith_depth, &self.pith_offset) {
            problems.push(
                stray.span(),
                "the pith's offset is given without its depth",
                "write `pith_depth` too, from the heart-side face square to the pith, or leave both out",
            );
            return None;
        }
        let offset = offset?.unwrap_or(Length::ZERO);
        let by_depth = depth?.map(|depth| Rings::Pith { depth, offset });
        let (width, thickness) = (width?, thickness?);
        let (rings, photo) = match (&self.rings, by_depth) {
            (None, rings) => (rings, None),
            (Some(keys), Some(_)) => {
                problems.push(
                    keys.span(),
                    "the rings of this leaf are given twice",
                    "keep `rings` or `pith_depth`, not both",
                );
                return None;
            }
            (Some(keys), None) => {
                let given = keys.get().read(keys.span(), problems)?;
                leaf_rings(
                    &given,
                    &self.leaf,
                    keys.span(),
                    [width, thickness],
                    problems,
                )?
            }
        };
        let leaf = Leaf {
            crook: crook?.unwrap_or(Length::ZERO),
            twist: twist?.unwrap_or(Length::ZERO),
            cup: cup?.unwrap_or(Length::ZERO),
            rings,
            sawn_side: sawn_side?.map(|SawnSide(face)| face),
            species: species?.map(|Name(name)| name),
            pair: pair?.map(|Name(name)| name),
            show_face: show_face?,
            ..Leaf::new(name?.0, width, thickness, length?, bow?)
        };
        Some((leaf, photo))
    }
}

/// The rings of a leaf, and the photo that they are in. The way of sawing alone gives no cup, so that a leaf of which no more is
/// given has no rings here.
fn leaf_rings(
    given: &GivenRings,
    leaf: &Spanned<Name>,
    span: Range<usize>,
    [width, thickness]: [Length; 2],
    problems: &mut Problems,
) -> Option<(Option<Rings>, Option<RingsPhotoPlan>)> {
    if let GivenRings::Photo(photo) = given {
        let of = format!("leaf {}", leaf.text().trim());
        let plan = RingsPhotoPlan::read(photo, &of, [width, thickness], problems)?;
        return Some((Some(Sawn::Flat.rings()), Some(plan)));
    }
    if !given.give_cup() {
        return Some((None, None));
    }
    match given.rings(width, thickness) {
        Ok(rings) => Some((Some(rings), None)),
        Err(error) => {
            problems.refuse(span, &error);
            None
        }
    }
}

impl PanelPlan {
    /// Checks the leaves against each other and the rule; woods are settled later.
    fn check(&self, leaves: &[Leaf]) -> Result<(), Refusal> {
        super::Panel::new(
            leaves.to_vec(),
            self.leaf_match,
            super::MoistureChange::default(),
            super::Weights::default(),
        )
        .map(|_| ())
    }

    /// Takes the text of the file that the leaves come from.
    ///
    /// # Errors
    /// Every fault of the table.
    pub fn take_file(&mut self, text: &str) -> Result<(), Refusals> {
        self.leaves = LeavesFrom::Spanned(leaves_csv::read(text)?);
        Ok(())
    }

    /// The leaves, where they are known already.
    #[must_use]
    pub fn leaves(&self) -> Option<&[Leaf]> {
        match &self.leaves {
            LeavesFrom::Spanned(leaves) => Some(leaves),
            LeavesFrom::File { .. } => None,
        }
    }

    /// Every wood given, with the leaf that tells it.
    pub fn species_named(&self) -> impl Iterator<Item = &str> {
        self.species.iter().map(|(name, _)| name.as_str()).chain(
            self.leaves()
                .unwrap_or_default()
                .iter()
                .filter_map(|leaf| leaf.species.as_deref()),
        )
    }
}
