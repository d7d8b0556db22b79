//! The piece as a body: phrases, places, contacts, openings, chains.

mod agree;
mod bodies;
mod contacts;
mod glued;
mod jobs;
mod phrases;
mod places;

use heartside::piece::BoxFace;
use heartside::piece::{
    At, CentrePlace, CopyPlan, FrontPlace, Grain, GroupPlan, HingeSide, Lies, OpeningPlan,
    Orientation, PartPlan, Piece, Place, Places, SpaceAxis, resolve,
};
use heartside::units::Length;
use heartside::units::notation::length;
use heartside::units::spanned::{Problem, Problems, ReadNotation};

/// A length written as in the shop.
pub(crate) fn measure(text: &str) -> Length {
    length(text).unwrap()
}

/// Places from keys and phrases: `"left: 0in; right: against end; centre_y: on top"`.
pub(crate) fn places(text: &str) -> Places {
    let mut places = Places::default();
    for entry in text
        .split(';')
        .map(str::trim)
        .filter(|entry| !entry.is_empty())
    {
        let (key, phrase) = entry.split_once(':').unwrap();
        if let Some(axis) = key.strip_prefix("centre_") {
            let axis = SpaceAxis::ALL
                .into_iter()
                .find(|known| known.letter() == axis)
                .unwrap();
            places.centres[axis as usize] = Some(At {
                value: CentrePlace::read(phrase).unwrap(),
                span: 0..1,
            });
        } else {
            let face = BoxFace::ALL
                .into_iter()
                .find(|face| face.word() == key)
                .unwrap();
            places.faces[face as usize] = Some(At {
                value: Place::read(phrase).unwrap(),
                span: 0..1,
            });
        }
    }
    places
}

/// A part: its name, how it is turned, its sizes (`-` where they follow) and its places.
pub(crate) fn part(name: &str, turned: (Grain, Lies), sizes: [&str; 3], at: &str) -> PartPlan {
    PartPlan {
        name: name.into(),
        span: 0..1,
        orientation: Orientation::new(turned.0.axis(), turned.1.axis()).unwrap(),
        sizes: sizes.map(|size| {
            (size != "-").then(|| At {
                value: measure(size),
                span: 2..3,
            })
        }),
        places: places(at),
        opening: None,
        copies: Vec::new(),
        group: None,
        thickness_from_to: None,
    }
}

pub(crate) const UPRIGHT: (Grain, Lies) = (Grain::Up, Lies::Sideways);
pub(crate) const FLAT: (Grain, Lies) = (Grain::Across, Lies::Flat);

pub(crate) fn copy(name: &str, at: &str) -> CopyPlan {
    CopyPlan {
        name: name.into(),
        span: 4..5,
        places: places(at),
        opening: None,
        bark: None,
        rings_from: None,
    }
}

pub(crate) fn opening(
    bounds: &[(BoxFace, &str)],
    front: FrontPlace,
    hinge: Option<BoxFace>,
) -> OpeningPlan {
    let mut plan = OpeningPlan {
        bounds: Default::default(),
        front,
        hinge: hinge.map(HingeSide),
        span: 6..7,
    };
    for (face, name) in bounds {
        plan.bounds[*face as usize] = Some(At {
            value: (*name).into(),
            span: 6..7,
        });
    }
    plan
}

pub(crate) fn resolved(parts: &[PartPlan], groups: &[GroupPlan]) -> Piece {
    let mut problems = Problems::new();
    let piece = resolve(parts, groups, &mut problems);
    assert!(problems.is_empty(), "{:?}", problems.into_sorted());
    piece.unwrap()
}

pub(crate) fn refused(parts: &[PartPlan], groups: &[GroupPlan]) -> Vec<Problem> {
    let mut problems = Problems::new();
    assert!(resolve(parts, groups, &mut problems).is_none());
    problems.into_sorted()
}

/// The sheet's case: two sides, a bottom, a top, a divider, a shelf made twice.
pub(crate) fn case() -> Vec<PartPlan> {
    let mut shelf = part(
        "shelf",
        FLAT,
        ["-", "15in", "3/4in"],
        "front: flush with divider; bottom: 15in",
    );
    shelf.copies = vec![
        copy(
            "left shelf",
            "left: 3/8in into left side; right: 1/4in into divider",
        ),
        copy(
            "right shelf",
            "left: 1/4in into divider; right: 3/8in into right side",
        ),
    ];
    vec![
        // In no order: each refers to what follows.
        shelf,
        part(
            "divider",
            UPRIGHT,
            ["-", "15 1/4in", "3/4in"],
            "centre_x: on bottom; bottom: 1/4in into bottom; top: 1/4in into top; front: 1/4in short of bottom",
        ),
        part(
            "bottom",
            FLAT,
            ["-", "15 1/2in", "3/4in"],
            "left: 3/8in into left side; right: 3/8in into right side; bottom: 3in; front: flush with left side",
        ),
        part(
            "top",
            FLAT,
            ["60in", "16 1/4in", "7/8in"],
            "left: 1in past left side; front: 1/4in past left side; bottom: against left side",
        ),
        part(
            "left side",
            UPRIGHT,
            ["30in", "15 3/4in", "3/4in"],
            "left: 0in; front: 1/4in; bottom: 0in",
        ),
        part(
            "right side",
            UPRIGHT,
            ["30in", "15 3/4in", "3/4in"],
            "right: 58in; front: flush with left side; bottom: 0in",
        ),
    ]
}

/// A face of a body, in inches.
pub(crate) fn face_inches(piece: &Piece, body: &str, face: BoxFace) -> f64 {
    let body = piece.bodies.iter().find(|one| one.name == body).unwrap();
    body.cuboid.face(face).length().inches()
}
