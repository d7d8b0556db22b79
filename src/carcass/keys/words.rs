//! The words these sections may hold, with the trade's synonyms.

use crate::carcass::frame::Hold;
use crate::carcass::{
    AllowedSag, FixedLine, GlueKind, Grip, HeldSide, LoadLasts, SiteKind, SlotIn,
};
use crate::units::notation::{NotationError, length, number, one_of};
use crate::units::spanned::{Name, ReadNotation};

macro_rules! words {
    ($(#[$doc:meta])* $Type:ident($Inner:ty), $noun:literal, $what:literal, { $($text:literal => $value:expr),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $Type(pub $Inner);
        impl ReadNotation for $Type {
            const WHAT: &'static str = $what;
            fn read(text: &str) -> Result<Self, NotationError> {
                one_of(text, $noun, &[$(($text, $value)),+]).map(Self)
            }
        }
    };
}

words!(
    /// Which way a board's crown faces; true: up, or left for an upright.
    CrownWord(bool), "a way for the crown to face", "\"up\" or \"down\", for an upright \"left\" or \"right\"",
    { "up" => true, "down" => false, "left" => true, "right" => false }
);

words!(
    /// How a board's ends are held.
    HeldWord(Hold), "a way to hold the ends", "\"glued\", \"screwed\" or \"dry\"",
    { "glued" => Hold::Glued, "screwed" => Hold::Screwed, "dry" => Hold::Dry }
);

words!(
    /// What a support can give.
    GripWord(Grip), "a way to hold", "\"both ways\", \"push on the crown\" or \"push on the hollow\"",
    {
        "both ways" => Grip::BothWays, "both" => Grip::BothWays, "glued" => Grip::BothWays, "screwed" => Grip::BothWays,
        "push on the crown" => Grip::AgainstCrown, "push on crown" => Grip::AgainstCrown,
        "push on the hollow" => Grip::AgainstHollow, "push on hollow" => Grip::AgainstHollow,
    }
);

words!(
    /// How long what a shelf carries rests on it.
    LastsWord(LoadLasts), "a time that a load rests", "\"permanent\" or \"comes and goes\"",
    { "permanent" => LoadLasts::Permanent, "books" => LoadLasts::Permanent, "comes and goes" => LoadLasts::ComesAndGoes }
);

/// How a shelf's ends are held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EndsWord {
    /// They turn freely.
    Free,
    /// They are housed.
    Housed,
    /// They cannot turn.
    Fixed,
}

impl ReadNotation for EndsWord {
    const WHAT: &'static str = "\"free\", \"housed\" or \"fixed\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a way to hold the ends",
            &[
                ("free", Self::Free),
                ("pins", Self::Free),
                ("housed", Self::Housed),
                ("dado", Self::Housed),
                ("fixed", Self::Fixed),
            ],
        )
    }
}

words!(
    /// Which side a piece is fastened at.
    HeldSideWord(HeldSide), "a side", "\"left\", \"right\" or \"middle\"",
    {
        "left" => HeldSide::Left, "right" => HeldSide::Right,
        "middle" => HeldSide::Middle, "centre" => HeldSide::Middle, "center" => HeldSide::Middle, "neither" => HeldSide::Middle,
    }
);

words!(
    /// What is around a piece.
    SiteWord(SiteKind), "a site", "\"free\", \"one wall\", \"two walls\" or \"niche\"",
    {
        "free" => SiteKind::Free, "one wall" => SiteKind::OneWall, "two walls" => SiteKind::TwoWalls, "corner" => SiteKind::TwoWalls,
        "niche" => SiteKind::Niche, "recess" => SiteKind::Niche,
    }
);

words!(
    /// Which of the two has the slot.
    SlotWord(SlotIn), "a place for the slot", "\"support\" or \"part\"",
    { "support" => SlotIn::Support, "cleat" => SlotIn::Support, "part" => SlotIn::MovingPart }
);

/// The line a part is fastened tight along.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FixedWord(pub FixedLine);

impl ReadNotation for FixedWord {
    const WHAT: &'static str = "\"front\", \"back\", \"middle\" or a place from the front edge";
    fn read(text: &str) -> Result<Self, NotationError> {
        if text.contains(|letter: char| letter.is_ascii_digit()) {
            return length(text).map(|place| Self(FixedLine::At(place)));
        }
        one_of(
            text,
            "a line to fasten along",
            &[
                ("front", FixedLine::Front),
                ("back", FixedLine::Back),
                ("middle", FixedLine::Middle),
                ("centre", FixedLine::Middle),
                ("center", FixedLine::Middle),
            ],
        )
        .map(Self)
    }
}

/// The sag allowed: a length, or the span over a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AllowedWord(pub AllowedSag);

impl ReadNotation for AllowedWord {
    const WHAT: &'static str = "a length, or the span over a number such as \"span/240\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        let short = text.trim().to_lowercase();
        let ratio = ["span/", "l/", "1/"]
            .into_iter()
            .find_map(|start| short.strip_prefix(start));
        let remedy = format!("write {}", Self::WHAT);
        match ratio {
            // A bare `1/32` is the span over 32; with a unit it is a length.
            Some(rest)
                if rest
                    .chars()
                    .all(|c| c.is_ascii_digit() || c == '.' || c == ' ') =>
            {
                let over = number(rest)?;
                if (1.0..=10_000.0).contains(&over) {
                    return Ok(Self(AllowedSag::SpanOver(over)));
                }
                Err(NotationError::new(
                    text,
                    "the span is to be divided by 1 to 10000",
                    &remedy,
                ))
            }
            _ => match length(text) {
                Ok(size) if size.mm() > 0.0 => Ok(Self(AllowedSag::Size(size))),
                Ok(_) => Err(NotationError::new(
                    text,
                    "the sag allowed is not above zero",
                    &remedy,
                )),
                Err(error) => Err(error.with_remedy(&remedy)),
            },
        }
    }
}

/// Names with commas between.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NameList(pub Vec<Name>);

impl ReadNotation for NameList {
    const WHAT: &'static str = "names with commas between";
    fn read(text: &str) -> Result<Self, NotationError> {
        text.split(',')
            .map(Name::read)
            .collect::<Result<_, _>>()
            .map(Self)
    }
}

impl ReadNotation for GlueKind {
    const WHAT: &'static str = "a chemistry of glue such as \"yellow PVA\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(text, "a chemistry of glue", GlueKind::WORDS)
    }
}
