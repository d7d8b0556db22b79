//! The keys of a job file that say where parts are.

use super::opening::{FrontPlace, HingeSide};
use super::orientation::{FaceName, Grain, Lies, Orientation};
use super::plan::{At, CopyPlan, GroupPlan, OpeningPlan};
use super::space::BoxFace;
use crate::units::MoistureContent;
use crate::units::spanned::{Name, Placed, Problems, ReadNotation, Spanned};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// A struct of keys with the nine keys of a place beside its own; `places` reads the nine.
macro_rules! with_places {
    ($(#[$doc:meta])* $vis:vis struct $Keys:ident { $($(#[$key_doc:meta])* $key_vis:vis $key:ident: $Type:ty,)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, serde::Deserialize)]
        #[cfg_attr(feature = "job", derive(schemars::JsonSchema))]
        #[serde(deny_unknown_fields)]
        $vis struct $Keys {
            $($(#[$key_doc])* $key_vis $key: $Type,)*
            /// Where its left face is: "15in", "against left side", "3/8in into left side", "flush with top".
            left: Option<$crate::units::spanned::Spanned<$crate::piece::Place>>,
            /// Where its right face is.
            right: Option<$crate::units::spanned::Spanned<$crate::piece::Place>>,
            /// Where its front face is.
            front: Option<$crate::units::spanned::Spanned<$crate::piece::Place>>,
            /// Where its back face is.
            back: Option<$crate::units::spanned::Spanned<$crate::piece::Place>>,
            /// Where its bottom face is; z = 0 is the floor.
            bottom: Option<$crate::units::spanned::Spanned<$crate::piece::Place>>,
            /// Where its top face is.
            top: Option<$crate::units::spanned::Spanned<$crate::piece::Place>>,
            /// Where its middle is from left to right: "on top", "between 'left leg' and 'right leg'".
            centre_x: Option<$crate::units::spanned::Spanned<$crate::piece::CentrePlace>>,
            /// Where its middle is from front to back.
            centre_y: Option<$crate::units::spanned::Spanned<$crate::piece::CentrePlace>>,
            /// Where its middle is from bottom to top.
            centre_z: Option<$crate::units::spanned::Spanned<$crate::piece::CentrePlace>>,
        }

        impl $Keys {
            /// The nine places; `None` after noting those that cannot be read.
            $vis fn places(
                &self,
                problems: &mut $crate::units::spanned::Problems,
            ) -> Option<$crate::piece::Places> {
                let faces = [&self.left, &self.right, &self.front, &self.back, &self.bottom, &self.top]
                    .map(|given| $crate::piece::at(given.as_ref(), problems));
                let centres = [&self.centre_x, &self.centre_y, &self.centre_z]
                    .map(|given| $crate::piece::at(given.as_ref(), problems));
                let fine = faces.iter().all(Option::is_some) && centres.iter().all(Option::is_some);
                fine.then(|| $crate::piece::Places {
                    faces: faces.map(Option::flatten),
                    centres: centres.map(Option::flatten),
                })
            }
        }
    };
}
pub(crate) use with_places;

/// A value with its place; `Some(None)` when it is left out, `None` after noting that it cannot be read.
#[must_use]
pub fn at<T: Clone + ReadNotation>(
    given: Option<&Spanned<T>>,
    problems: &mut Problems,
) -> Option<Option<At<T>>> {
    let Some(given) = given else {
        return Some(None);
    };
    problems.take(given).map(|value| {
        Some(At {
            value,
            span: given.span(),
        })
    })
}

with_places! {
    /// One of several parts or groups alike.
    pub struct CopyKeys {
        /// The copy's own name.
        pub name: Spanned<Name>,
        /// The face where its bark side is, instead of that of its part.
        pub bark: Option<Spanned<FaceName>>,
        /// The end from which its rings were read, instead of that of its part.
        pub rings_from: Option<Spanned<FaceName>>,
        /// Its own moisture content today, instead of that of its part.
        pub moisture: Option<Spanned<MoistureContent>>,
        /// The opening it sits in.
        pub in_opening: Option<Placed<OpeningKeys>>,
    }
}

with_places! {
    /// Several parts that make one body, such as a door or a drawer. Its parts are placed from its own left, front and bottom.
    pub struct GroupKeys {
        /// The group's name, which its parts use.
        pub name: Spanned<Name>,
        /// Its copies, each with a name and places of its own.
        #[serde(default)]
        pub copies: Vec<Placed<CopyKeys>>,
        /// The opening it sits in.
        pub in_opening: Option<Placed<OpeningKeys>>,
    }
}

/// The opening in which a door, a drawer or a front sits.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OpeningKeys {
    /// The part that bounds it on the left.
    left: Option<Spanned<Name>>,
    /// The part that bounds it on the right; a neighboring front may.
    right: Option<Spanned<Name>>,
    /// The part below it.
    bottom: Option<Spanned<Name>>,
    /// The part above it.
    top: Option<Spanned<Name>>,
    /// The part behind it.
    back: Option<Spanned<Name>>,
    /// How its front sits: "flush" unless given, "1/8in short" or "overlay".
    front: Option<Spanned<FrontPlace>>,
    /// Where its hinges are: "left", "right", "bottom" or "top"; a drawer has none.
    hinge: Option<Spanned<HingeSide>>,
}

fn opening(
    keys: Option<&Placed<OpeningKeys>>,
    problems: &mut Problems,
) -> Option<Option<OpeningPlan>> {
    let Some(placed) = keys else {
        return Some(None);
    };
    let keys = placed.get();
    let mut bounds: [Option<At<String>>; 6] = Default::default();
    let mut fine = true;
    for (face, given) in [
        (BoxFace::Left, &keys.left),
        (BoxFace::Right, &keys.right),
        (BoxFace::Bottom, &keys.bottom),
        (BoxFace::Top, &keys.top),
        (BoxFace::Back, &keys.back),
    ] {
        match at(given.as_ref(), problems) {
            Some(named) => {
                bounds[face as usize] = named.map(|named| At {
                    value: named.value.0,
                    span: named.span,
                });
            }
            None => fine = false,
        }
    }
    let front = problems.take_optional(keys.front.as_ref());
    let hinge = problems.take_optional(keys.hinge.as_ref());
    let (front, hinge) = (front?, hinge?);
    fine.then(|| {
        Some(OpeningPlan {
            bounds,
            front: front.unwrap_or_default(),
            hinge,
            span: placed.span(),
        })
    })
}

/// The opening of a part, a copy or a group.
#[must_use]
pub fn read_opening(
    keys: Option<&Placed<OpeningKeys>>,
    problems: &mut Problems,
) -> Option<Option<OpeningPlan>> {
    opening(keys, problems)
}

/// The copies of a part or group.
#[must_use]
pub fn read_copies(copies: &[Placed<CopyKeys>], problems: &mut Problems) -> Option<Vec<CopyPlan>> {
    let read: Vec<Option<CopyPlan>> = copies
        .iter()
        .map(|placed| {
            let keys = placed.get();
            let name = problems.take(&keys.name);
            let places = keys.places(problems);
            let opening = opening(keys.in_opening.as_ref(), problems);
            let bark = problems.take_optional(keys.bark.as_ref());
            let rings_from = problems.take_optional(keys.rings_from.as_ref());
            Some(CopyPlan {
                name: name?.0,
                span: placed.span(),
                places: places?,
                opening: opening?,
                bark: bark?.map(|face| face.0),
                rings_from: rings_from?.map(|face| face.0),
            })
        })
        .collect();
    read.into_iter().collect()
}

impl GroupKeys {
    /// The group as given; `None` after noting what is wrong.
    #[must_use]
    pub fn read(&self, span: Range<usize>, problems: &mut Problems) -> Option<GroupPlan> {
        let name = problems.take(&self.name);
        let places = self.places(problems);
        let opening = opening(self.in_opening.as_ref(), problems);
        let copies = read_copies(&self.copies, problems);
        Some(GroupPlan {
            name: name?.0,
            span,
            places: places?,
            opening: opening?,
            copies: copies?,
        })
    }
}

/// How a part is turned, from what is given of its grain and its faces; `None` after noting a contradiction.
#[must_use]
pub fn read_orientation(
    name: &str,
    span: &Range<usize>,
    grain: Option<&Spanned<Grain>>,
    lies: Option<&Spanned<Lies>>,
    bark: Option<&Spanned<FaceName>>,
    show: Option<&Spanned<FaceName>>,
    problems: &mut Problems,
) -> Option<Orientation> {
    let given_grain = problems.take_optional(grain);
    let given_lies = problems.take_optional(lies);
    let given_bark = problems.take_optional(bark);
    let given_show = problems.take_optional(show);
    let (grain_axis, lies_axis) = (given_grain?.unwrap_or_default(), given_lies?);
    let (bark_face, show_face) = (given_bark?, given_show?);
    let thickness = lies_axis
        .map(Lies::axis)
        .or_else(|| bark_face.map(|face| face.0.axis()))
        .or_else(|| show_face.map(|face| face.0.axis()));
    let Some(thickness) = thickness else {
        return Some(Orientation::usual(grain_axis));
    };
    if let (Some(bark), Some(face)) = (bark, bark_face)
        && face.0.axis() != thickness
    {
        problems.push(
            bark.span(),
            format!(
                "the bark side of `{name}` cannot be its {} face: its broad faces look another way",
                face.0.word()
            ),
            "name one of its two broad faces, or change `lies`",
        );
        return None;
    }
    let turned = Orientation::new(grain_axis.axis(), thickness);
    if turned.is_none() {
        let at = lies
            .map(Spanned::span)
            .or_else(|| bark.map(Spanned::span))
            .or_else(|| show.map(Spanned::span))
            .unwrap_or_else(|| span.clone());
        problems.push(
            at,
            format!(
                "the grain of `{name}` runs {}, so its broad faces cannot look that way",
                grain_axis.axis().words()
            ),
            "write lies = \"flat\", \"facing\" or \"sideways\", whichever is across the grain, or change `grain`",
        );
    }
    turned
}
