//! How a board was sawn, and the words before or after a wood's name that say so.

use crate::units::Angle;
use crate::units::notation::{NotationError, one_of};
use crate::units::spanned::ReadNotation;

/// How a board was sawn, where nothing nearer is known: straight rings at 0, 45 or 90 degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sawn {
    /// Rings along the face.
    Flat,
    /// Rings at 45 degrees.
    Rift,
    /// Rings square to the face.
    Quarter,
}

/// The ways of sawing in the words of the trade; ring angles as in `species_data/sawing_words.csv`.
const WAYS: &[(&str, Sawn)] = &[
    ("flat", Sawn::Flat),
    ("rift", Sawn::Rift),
    ("quarter", Sawn::Quarter),
    ("flat sawn", Sawn::Flat),
    ("flatsawn", Sawn::Flat),
    ("plain", Sawn::Flat),
    ("plain sawn", Sawn::Flat),
    ("plainsawn", Sawn::Flat),
    ("through and through", Sawn::Flat),
    ("through sawn", Sawn::Flat),
    ("live sawn", Sawn::Flat),
    ("slash sawn", Sawn::Flat),
    ("slash grain", Sawn::Flat),
    ("flat grain", Sawn::Flat),
    ("back sawn", Sawn::Flat),
    ("backsawn", Sawn::Flat),
    ("crown cut", Sawn::Flat),
    ("sur dosse", Sawn::Flat),
    ("fladerschnitt", Sawn::Flat),
    ("rift sawn", Sawn::Rift),
    ("riftsawn", Sawn::Rift),
    ("bastard sawn", Sawn::Rift),
    ("half rift", Sawn::Rift),
    ("halbrift", Sawn::Rift),
    ("half rift and half flat", Sawn::Rift),
    ("quarter sawn", Sawn::Quarter),
    ("quartersawn", Sawn::Quarter),
    ("quartered", Sawn::Quarter),
    ("full quartered", Sawn::Quarter),
    ("full quarter sawn", Sawn::Quarter),
    ("qs", Sawn::Quarter),
    ("q s", Sawn::Quarter),
    ("vertical grain", Sawn::Quarter),
    ("edge grain", Sawn::Quarter),
    ("vg", Sawn::Quarter),
    ("cvg", Sawn::Quarter),
    ("sur quartier", Sawn::Quarter),
];

/// Words beside a wood's name that say nothing of its movement: figure and drying (common practice, no source).
const FIGURE: &[&str] = &[
    "curly",
    "tiger",
    "flame",
    "fiddleback",
    "figured",
    "quilted",
    "birdseye",
    "bird s eye",
    "spalted",
    "riegel",
    "kiln dried",
    "kd",
    "air dried",
];

impl Sawn {
    /// The rings' angle to the face.
    #[must_use]
    pub const fn angle(self) -> Angle {
        Angle::computed_degrees(match self {
            Self::Flat => 0.0,
            Self::Rift => 45.0,
            Self::Quarter => 90.0,
        })
    }

    /// The word in a job file.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Flat => "flat",
            Self::Rift => "rift",
            Self::Quarter => "quarter",
        }
    }

    /// The way of sawing that words before or after a wood's name give, such as the quarter of `qs white oak`.
    #[must_use]
    pub fn beside_wood(name: &str) -> Option<Self> {
        split(name).1
    }
}

impl ReadNotation for Sawn {
    const WHAT: &'static str = "the way a board was sawn: \"flat\", \"rift\" or \"quarter\"";

    fn read(text: &str) -> Result<Self, NotationError> {
        // The error lists the three words; the trade's others are understood too.
        let tidy = text.trim().to_lowercase().replace(['_', '-'], " ");
        if let Some((_, sawn)) = WAYS.iter().find(|(words, _)| *words == tidy) {
            return Ok(*sawn);
        }
        one_of(text, "a way of sawing", &WAYS[..3])
    }
}

/// A name without the words of sawing, figure and drying before and after it, and the way of sawing they give.
///
/// A name of nothing but such words stays as it is.
pub(super) fn split(name: &str) -> (String, Option<Sawn>) {
    let words = super::names::words(name);
    let mut rest = &words[..];
    let mut sawn = None;
    while let Some((taken, way, at_front)) = longest(rest) {
        if taken >= rest.len() {
            break;
        }
        rest = if at_front {
            &rest[taken..]
        } else {
            &rest[..rest.len() - taken]
        };
        sawn = sawn.or(way);
    }
    if rest.len() == words.len() {
        (name.to_owned(), None)
    } else {
        (rest.join(" "), sawn)
    }
}

/// The longest words of the lists at either end: how many, what they give, whether they come first.
fn longest(words: &[String]) -> Option<(usize, Option<Sawn>, bool)> {
    let known = WAYS
        .iter()
        .map(|(text, sawn)| (*text, Some(*sawn)))
        .chain(FIGURE.iter().map(|text| (*text, None)));
    known
        .filter_map(|(text, sawn)| {
            let parts: Vec<&str> = text.split(' ').collect();
            if parts.len() > words.len() {
                return None;
            }
            let same = |window: &[String]| window.iter().zip(&parts).all(|(a, b)| a == b);
            if same(&words[..parts.len()]) {
                Some((parts.len(), sawn, true))
            } else if same(&words[words.len() - parts.len()..]) {
                Some((parts.len(), sawn, false))
            } else {
                None
            }
        })
        .max_by_key(|(taken, ..)| *taken)
}
