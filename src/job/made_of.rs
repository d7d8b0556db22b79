//! A part glued up edge to edge from several boards, or from the leaves of a matched panel.

use crate::movement::{GivenRings, GluedBoard, RingsKeys, Sawn, Section, widths_apart};
use crate::rings::{BarkFace, RingsPhotoPlan};
use crate::units::notation::millimetres;
use crate::units::spanned::{Name, Placed, Problems, ReadNotation, Spanned};
use crate::units::{Bounds, Length};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::Range;

/// The boards together may differ by so much from the part's width, mm: what jointing their edges takes off (judgement).
const JOINTED_MM: f64 = 3.0;

/// One of the boards that a part is glued up from, or a panel whose best layout it is.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct MadeOfKeys {
    /// Width of the board.
    width: Option<Spanned<Length>>,
    /// Where its rings are, seen on its end grain with its own bark side up.
    rings: Option<Placed<RingsKeys>>,
    /// Whether its bark side is that of the part: "up" (as the part's own, unless given) or "down".
    bark: Option<Spanned<Name>>,
    /// The [[panels]] entry whose best layout the part is, instead of boards one by one.
    panel: Option<Spanned<Name>>,
}

/// What a part is glued up from.
#[derive(Debug, Clone, PartialEq)]
pub enum MadeOf {
    /// Boards from left to right.
    Boards {
        /// Their sections, and on which side their bark is.
        boards: Vec<GluedBoard>,
        /// Whether the rings of all of them give a cup.
        cup_known: bool,
        /// The photos that rings of boards are in, each with the place of its board; flat until they are read.
        photos: Vec<(usize, RingsPhotoPlan)>,
    },
    /// The best layout of a panel.
    Panel {
        /// The panel's name.
        name: String,
        /// Where the file names it.
        span: Range<usize>,
    },
}

/// What a part of this width and thickness is glued up from; `None` after noting what is wrong.
pub(super) fn read_made_of(
    list: &[Placed<MadeOfKeys>],
    part: &str,
    [width, thickness]: [Length; 2],
    problems: &mut Problems,
) -> Option<MadeOf> {
    if let [only] = list
        && let Some(panel) = &only.get().panel
    {
        let Name(name) = problems.take(panel)?;
        return Some(MadeOf::Panel {
            name,
            span: panel.span(),
        });
    }
    let mut cup_known = true;
    let mut boards: Vec<GluedBoard> = Vec::new();
    let mut photos = Vec::new();
    let mut fine = true;
    for placed in list {
        let of = format!("board {} of {part}", boards.len() + 1);
        match placed.get().board(&of, placed.span(), thickness, problems) {
            Some((board, gives_cup, photo)) => {
                cup_known &= gives_cup;
                photos.extend(photo.map(|photo| (boards.len(), photo)));
                boards.push(board);
            }
            None => fine = false,
        }
    }
    if !fine {
        return None;
    }
    let apart = widths_apart(&boards, width);
    if apart.mm() > JOINTED_MM {
        let together = boards
            .iter()
            .fold(Length::ZERO, |sum, board| sum + board.section.width);
        problems.push(
            list.first().map_or(0..0, Placed::span),
            format!(
                "the boards of `{part}` are {} wide together, but it is {} wide: {} apart",
                millimetres(together),
                millimetres(width),
                millimetres(apart)
            ),
            "give each board the width it has in the part, its edges jointed",
        );
        return None;
    }
    Some(MadeOf::Boards {
        boards,
        cup_known,
        photos,
    })
}

impl MadeOfKeys {
    fn board(
        &self,
        of: &str,
        span: Range<usize>,
        thickness: Length,
        problems: &mut Problems,
    ) -> Option<(GluedBoard, bool, Option<RingsPhotoPlan>)> {
        let (Some(width), Some(rings), None) = (&self.width, &self.rings, &self.panel) else {
            problems.push(
                span,
                "a board of a glued-up part needs its width and its rings",
                "write { width = \"110 mm\", rings = { pith_depth = \"80 mm\" }, bark = \"up\" }; or name a panel alone: made_of = [{ panel = \"top\" }]",
            );
            return None;
        };
        let width = problems.take_checked(
            width,
            |length| length.within(Bounds::WIDTH),
            "give the width of the board in the part",
        );
        let given = rings.get().read(rings.span(), problems);
        let bark = match &self.bark {
            None => Some(BarkFace::Up),
            Some(word) => match BarkFace::read(word.text()) {
                Ok(face) => Some(face),
                Err(error) => {
                    problems.push(word.span(), error.message(), error.remedy());
                    None
                }
            },
        };
        let (width, given, bark) = (width?, given?, bark?);
        let mut photo = None;
        let found = match &given {
            GivenRings::Photo(given) => {
                photo = Some(RingsPhotoPlan::read(
                    given,
                    of,
                    [width, thickness],
                    problems,
                )?);
                Ok(Sawn::Flat.rings())
            }
            given => given.rings(width, thickness),
        };
        match found {
            Ok(found) => Some((
                GluedBoard {
                    section: Section {
                        width,
                        thickness,
                        rings: found,
                    },
                    bark_up: bark == BarkFace::Up,
                },
                given.give_cup(),
                photo,
            )),
            Err(error) => {
                problems.refuse(rings.span(), &error);
                None
            }
        }
    }
}
