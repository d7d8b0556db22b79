//! From the parts of a job file to the plans of its piece: sizes, orientation, places, groups.

use super::parts::{InPiece, PartKeys};
use crate::piece::{self, At, GroupKeys, GroupPlan, Orientation, PartPlan, Piece, Size};
use crate::units::spanned::{Placed, Problems, Spanned};
use crate::units::{Length, MoistureContent};
use std::ops::Range;

/// The piece of a job, and what its plans were.
pub(super) struct Resolved {
    /// The piece; empty when nothing is placed.
    pub(super) piece: Piece,
    plans: Vec<PartPlan>,
}

impl Resolved {
    /// What the piece says of each part; nothing where it could not be resolved.
    pub(super) fn facts(
        resolved: Option<&Self>,
        parts: usize,
        taken: &[Option<MoistureContent>],
    ) -> Vec<InPiece> {
        let Some(resolved) = resolved else {
            let unresolved = InPiece {
                unresolved: true,
                ..InPiece::default()
            };
            return vec![unresolved; parts];
        };
        let mut bodies = vec![0_u32; resolved.piece.sizes.len().max(parts)];
        for body in &resolved.piece.bodies {
            bodies[body.part] += 1;
        }
        (0..parts)
            .map(|part| {
                let sizes = resolved.piece.sizes[part];
                InPiece {
                    sizes,
                    unresolved: false,
                    bodies: bodies[part],
                    orientation: sizes.map(|_| resolved.plans[part].orientation),
                    moisture: taken.get(part).copied().flatten(),
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
    span: Range<usize>,
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
    let orientation = orientation?;
    check_copies(keys, &name, orientation, problems);
    Some(PartPlan {
        name,
        span,
        orientation,
        sizes,
        places: places?,
        opening: opening?,
        copies: copies?,
        group: group?.map(|named| At {
            value: named.value.0,
            span: named.span,
        }),
        thickness_from_to: keys.ends_of_thickness(&mut problems.beside()),
    })
}

/// A copy turns on its part's own axes: its bark is on one of the two broad faces, its rings are read from one of the two ends.
fn check_copies(keys: &PartKeys, name: &str, turned: Orientation, problems: &mut Problems) {
    for copy in keys.copies.iter().map(Placed::get) {
        let asked = [
            (
                &copy.bark,
                turned.thickness(),
                "the bark side",
                "broad faces",
            ),
            (
                &copy.rings_from,
                turned.length(),
                "the end with the rings",
                "ends",
            ),
        ];
        for (given, axis, what, which) in asked {
            let Some(given) = given else { continue };
            if let Some(face) = problems.beside().take(given)
                && face.0.axis() != axis
            {
                let [low, high] = [axis.low().word(), axis.high().word()];
                problems.push(
                    given.span(),
                    format!(
                        "{what} of `{}` cannot be its {} face: the {which} of `{name}` are its {low} and its {high} face",
                        copy.name.text().trim(),
                        face.0.word()
                    ),
                    format!("write \"{low}\" or \"{high}\""),
                );
            }
        }
    }
}

/// A copy whose moisture is its own: from here on a part of its own, with all that its part says.
pub(super) struct OwnMoisture {
    /// The part it is a copy of.
    pub(super) of: usize,
    /// Its name.
    pub(super) name: String,
    /// Its moisture today.
    pub(super) moisture: MoistureContent,
    /// Where the file has it.
    pub(super) span: Range<usize>,
}

/// Gives every copy whose moisture is not that of its part a part of its own behind those of the file, and its bodies with it. A part
/// of which every copy has its own takes that of the first; for each part that moisture, where it is taken from a copy.
pub(super) fn own_moistures(
    parts: &[Placed<PartKeys>],
    default: Option<&Spanned<MoistureContent>>,
    piece: &mut Piece,
    problems: &mut Problems,
) -> (Vec<OwnMoisture>, Vec<Option<MoistureContent>>) {
    let mut own = Vec::new();
    let mut taken = vec![None; parts.len()];
    for (index, keys) in parts.iter().enumerate() {
        let keys = keys.get();
        let copies: Vec<Option<MoistureContent>> = keys
            .copies
            .iter()
            .map(|copy| problems.take(copy.get().moisture.as_ref()?))
            .collect();
        if !copies.is_empty() && copies.iter().all(Option::is_some) {
            taken[index] = copies[0];
        }
        let general = taken[index].or_else(|| {
            let given = keys.moisture.as_ref().or(default)?;
            problems.beside().take(given)
        });
        for (copy, moisture) in copies.iter().enumerate() {
            let Some(moisture) = moisture.filter(|moisture| Some(*moisture) != general) else {
                continue;
            };
            let part = parts.len() + own.len();
            for body in &mut piece.bodies {
                if body.plan == index && body.copy == copy {
                    body.part = part;
                }
            }
            let placed = &keys.copies[copy];
            own.push(OwnMoisture {
                of: index,
                name: placed.get().name.text().trim().to_owned(),
                moisture,
                span: placed.span(),
            });
            let sizes = piece.sizes.get(index).copied().flatten();
            piece.sizes.push(sizes);
        }
    }
    (own, taken)
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
