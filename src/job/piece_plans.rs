//! From the parts of a job file to the plans of its piece: sizes, orientation, places, groups.

use super::parts::{InPiece, PartKeys};
use crate::piece::{self, At, GroupKeys, GroupPlan, PartPlan, Piece, Size};
use crate::units::Length;
use crate::units::spanned::{Placed, Problems, Spanned};

/// The piece of a job, and what its plans were.
pub(super) struct Resolved {
    /// The piece; empty when nothing is placed.
    pub(super) piece: Piece,
    plans: Vec<PartPlan>,
}

impl Resolved {
    /// What the piece says of each part; nothing where it could not be resolved.
    pub(super) fn facts(resolved: Option<&Self>, parts: usize) -> Vec<InPiece> {
        let Some(resolved) = resolved else {
            return vec![InPiece::default(); parts];
        };
        let mut bodies = vec![0_u32; parts];
        for body in &resolved.piece.bodies {
            bodies[body.part] += 1;
        }
        (0..parts)
            .map(|part| {
                let sizes = resolved.piece.sizes[part];
                InPiece {
                    sizes,
                    bodies: bodies[part],
                    orientation: sizes.map(|_| resolved.plans[part].orientation),
                }
            })
            .collect()
    }
}

/// The sizes of a part that can be read.
fn sizes(
    keys: &PartKeys,
    defaults: Option<&Spanned<Length>>,
    problems: &mut Problems,
) -> [Option<Size>; 3] {
    let mut size = |given: Option<&Spanned<Length>>| {
        let given = given?;
        problems.take(given).map(|value| At {
            value,
            span: given.span(),
        })
    };
    [
        size(keys.length.as_ref()),
        size(keys.width.as_ref()),
        size(keys.thickness.as_ref().or(defaults)),
    ]
}

fn plan(
    keys: &PartKeys,
    span: std::ops::Range<usize>,
    thickness: Option<&Spanned<Length>>,
    problems: &mut Problems,
) -> Option<PartPlan> {
    let name = keys.name.text().trim().to_owned();
    // Sizes that cannot be read are noted when the part itself is read.
    let sizes = sizes(keys, thickness, &mut problems.beside());
    let orientation = piece::read_orientation(
        &name,
        &span,
        keys.grain.as_ref(),
        keys.lies.as_ref(),
        keys.bark.as_ref(),
        keys.show.as_ref(),
        problems,
    );
    let places = keys.places(problems);
    let opening = piece::read_opening(keys.in_opening.as_ref(), problems);
    let copies = piece::read_copies(&keys.copies, problems);
    let group = piece::at(keys.group.as_ref(), problems);
    Some(PartPlan {
        name,
        span,
        orientation: orientation?,
        sizes,
        places: places?,
        opening: opening?,
        copies: copies?,
        group: group?.map(|named| At {
            value: named.value.0,
            span: named.span,
        }),
    })
}

/// Resolves the piece of a job; `None` after noting what is wrong with its places.
pub(super) fn resolve(
    parts: &[Placed<PartKeys>],
    groups: &[Placed<GroupKeys>],
    thickness: Option<&Spanned<Length>>,
    problems: &mut Problems,
) -> Option<Resolved> {
    let plans: Vec<Option<PartPlan>> = parts
        .iter()
        .map(|part| plan(part.get(), part.span(), thickness, problems))
        .collect();
    let groups: Vec<Option<GroupPlan>> = groups
        .iter()
        .map(|group| group.get().read(group.span(), problems))
        .collect();
    let groups: Vec<GroupPlan> = groups.into_iter().collect::<Option<_>>()?;
    let known: Vec<PartPlan> = plans.into_iter().collect::<Option<_>>()?;
    let piece = piece::resolve(&known, &groups, problems)?;
    Some(Resolved {
        piece,
        plans: known,
    })
}
