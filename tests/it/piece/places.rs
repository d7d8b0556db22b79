//! Places into boxes, and what is refused.

use super::{
    FLAT, UPRIGHT, case, copy, face_inches, measure, opening, part, places, refused, resolved,
};
use heartside::piece::{BoxFace, Coordinate, FrontPlace, GroupPlan, SpaceAxis};

#[test]
fn the_sheets_case_follows_from_its_places() {
    let piece = resolved(&case(), &[]);
    for (body, face, inches) in [
        ("bottom", BoxFace::Left, 0.375),
        ("bottom", BoxFace::Right, 57.625),
        ("bottom", BoxFace::Front, 0.25),
        ("bottom", BoxFace::Top, 3.75),
        ("top", BoxFace::Left, -1.0),
        ("top", BoxFace::Right, 59.0),
        ("top", BoxFace::Bottom, 30.0),
        ("divider", BoxFace::Left, 28.625),
        ("divider", BoxFace::Right, 29.375),
        ("divider", BoxFace::Bottom, 3.5),
        ("divider", BoxFace::Top, 30.25),
        ("divider", BoxFace::Front, 0.5),
        ("left shelf", BoxFace::Left, 0.375),
        ("left shelf", BoxFace::Right, 28.875),
        ("right shelf", BoxFace::Left, 29.125),
        ("right shelf", BoxFace::Right, 57.625),
        ("right shelf", BoxFace::Front, 0.5),
    ] {
        let found = face_inches(&piece, body, face);
        assert!((found - inches).abs() < 1e-9, "{body} {face:?}: {found}");
    }
    // Sizes that follow: the bottom's length, the shelf's, the divider's.
    let same = |plan: usize, axis: usize, inches: &str| {
        assert_eq!(
            Coordinate::of(piece.sizes[plan].unwrap()[axis]),
            Coordinate::of(measure(inches))
        )
    };
    same(2, 0, "57 1/4in");
    same(0, 0, "28 1/2in");
    same(1, 0, "26 3/4in");
    let outer = piece.outer().unwrap();
    assert_eq!(outer.size(SpaceAxis::X).length(), measure("60in"));
}

#[test]
fn a_size_within_three_millimetres_is_as_cut_and_beyond_it_an_error() {
    let mut parts = case();
    parts[2].sizes[0] = part("x", FLAT, ["57 3/16in", "1in", "1in"], "").sizes[0].clone();
    let piece = resolved(&parts, &[]);
    let bottom = &piece.bodies[piece.bodies_of(2).next().unwrap()];
    assert_eq!(bottom.cut[0], Some(Coordinate::of(measure("57 3/16in"))));
    // The loop through the bottom is short by a sixteenth; 3 mm either way is the limit.
    let bottom = piece.bodies_of(2).next().unwrap();
    let chain = piece
        .chains
        .iter()
        .find(|chain| chain.body == bottom)
        .unwrap();
    assert!((chain.closing_length().mm() - 25.4 / 16.0).abs() < 1e-6);

    parts[2].sizes[0] = part("x", FLAT, ["1440mm", "1in", "1in"], "").sizes[0].clone();
    let problems = refused(&parts, &[]);
    assert_eq!(problems.len(), 1);
    assert_eq!(problems[0].span, 2..3);
    assert!(
        problems[0].message.contains("14.2 mm too short"),
        "{}",
        problems[0].message
    );
    assert!(
        problems[0].message.contains("`left side`") && problems[0].message.contains("`right side`")
    );
}

#[test]
fn a_ring_of_places_is_named_whole() {
    let parts = [
        part(
            "a",
            FLAT,
            ["10in", "4in", "1in"],
            "left: against b; front: 0in; bottom: 0in",
        ),
        part(
            "b",
            FLAT,
            ["10in", "4in", "1in"],
            "left: against c; front: 0in; bottom: 0in",
        ),
        part(
            "c",
            FLAT,
            ["10in", "4in", "1in"],
            "left: against a; front: 0in; bottom: 0in",
        ),
    ];
    let problems = refused(&parts, &[]);
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(
        problems[0]
            .message
            .contains("`a` from `b` from `c` from `a`"),
        "{}",
        problems[0].message
    );
    // Only one axis is a ring; the others stand.
    let own = [part(
        "a",
        FLAT,
        ["10in", "4in", "1in"],
        "left: against a; front: 0in; bottom: 0in",
    )];
    let problems = refused(&own, &[]);
    assert!(
        problems[0].message.contains("placed from itself"),
        "{}",
        problems[0].message
    );
}

#[test]
fn what_is_placed_twice_or_nowhere_is_refused() {
    for (at, sizes, words) in [
        (
            "left: 0in; centre_x: 5in; front: 0in; bottom: 0in",
            ["10in", "4in", "1in"],
            "placed twice",
        ),
        (
            "left: 0in; bottom: 0in",
            ["10in", "4in", "1in"],
            "nothing says where `a` is from front to back",
        ),
        (
            "left: 0in; front: 0in; bottom: 0in",
            ["-", "4in", "1in"],
            "its length is not given",
        ),
        (
            "left: 10in; right: 4in; front: 0in; bottom: 0in",
            ["-", "4in", "1in"],
            "overlap by 152.4 mm",
        ),
        (
            "left: against bb; front: 0in; bottom: 0in",
            ["10in", "4in", "1in"],
            "no placed part is named `bb`",
        ),
    ] {
        let problems = refused(&[part("a", FLAT, sizes, at)], &[]);
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert!(
            problems[0].message.contains(words),
            "{}",
            problems[0].message
        );
    }
}

#[test]
fn a_part_made_twice_is_referred_to_by_its_copies_names() {
    let mut parts = case();
    parts.push(part(
        "book",
        UPRIGHT,
        ["8in", "6in", "1in"],
        "left: against shelf; front: 1in; bottom: against left shelf",
    ));
    let problems = refused(&parts, &[]);
    assert!(
        problems[0].remedy.contains("`left shelf`, `right shelf`"),
        "{}",
        problems[0].remedy
    );
}

#[test]
fn copies_whose_sizes_follow_must_agree() {
    let mut parts = case();
    parts[0].copies[1] = copy(
        "right shelf",
        "left: 1/4in into divider; right: 2in off right side",
    );
    let problems = refused(&parts, &[]);
    assert!(
        problems[0].message.contains("copies of one part"),
        "{}",
        problems[0].message
    );
    assert_eq!(problems[0].span, 4..5);
    // A sixteenth apart: one size is cut, and the other place is short.
    parts[0].copies[1] = copy(
        "right shelf",
        "left: 1/4in into divider; right: 5/16in into right side",
    );
    let piece = resolved(&parts, &[]);
    assert_eq!(piece.sizes[0].unwrap()[0], measure("28 7/16in"));
    let left = piece
        .bodies
        .iter()
        .position(|body| body.name == "left shelf")
        .unwrap();
    assert!(piece.chains.iter().any(
        |chain| chain.body == left && (chain.closing_length().mm() - 25.4 / 16.0).abs() < 1e-6
    ));
}

/// A door of two stiles and two rails, made twice.
pub(super) fn door() -> (Vec<heartside::piece::PartPlan>, GroupPlan) {
    let mut stile = part(
        "stile",
        (heartside::piece::Grain::Up, heartside::piece::Lies::Facing),
        ["20in", "2in", "3/4in"],
        "front: 0in; bottom: 0in",
    );
    stile.copies = vec![
        copy("left stile", "left: 0in"),
        copy("right stile", "left: 10in"),
    ];
    let mut rail = part(
        "rail",
        (
            heartside::piece::Grain::Across,
            heartside::piece::Lies::Facing,
        ),
        ["-", "2in", "3/4in"],
        "left: 1in into left stile; right: 1in into right stile; front: 0in",
    );
    rail.copies = vec![
        copy("bottom rail", "bottom: 0in"),
        copy("top rail", "top: flush with left stile"),
    ];
    let mut parts = vec![stile, rail];
    for part in &mut parts {
        part.group = Some(heartside::piece::At {
            value: "door".into(),
            span: 0..1,
        });
    }
    let group = GroupPlan {
        name: "door".into(),
        span: 0..1,
        places: places(""),
        opening: None,
        copies: Vec::new(),
    };
    (parts, group)
}

#[test]
fn a_group_is_one_body_and_hangs_in_the_middle_of_its_opening() {
    let (members, mut group) = door();
    let mut parts = case();
    parts.extend(members);
    let bounds = |left, right| {
        [
            (BoxFace::Left, left),
            (BoxFace::Right, right),
            (BoxFace::Bottom, "bottom"),
            (BoxFace::Top, "top"),
        ]
    };
    group.copies = vec![
        heartside::piece::CopyPlan {
            opening: Some(opening(
                &bounds("left side", "divider"),
                FrontPlace::Flush,
                Some(BoxFace::Left),
            )),
            ..copy("left door", "")
        },
        heartside::piece::CopyPlan {
            opening: Some(opening(
                &bounds("divider", "right side"),
                FrontPlace::Short(measure("1/8in")),
                Some(BoxFace::Right),
            )),
            ..copy("right door", "")
        },
    ];
    let piece = resolved(&parts, &[group]);
    assert_eq!(piece.groups.len(), 2);
    assert_eq!(piece.groups[1].bodies.len(), 4);
    assert!(
        piece
            .bodies
            .iter()
            .any(|body| body.name == "right door: top rail")
    );
    let opening = &piece.openings[0];
    // From the left side, at 3/4 in to the divider at 28 5/8 in; the door is 12 in wide.
    assert_eq!(
        opening.space.size(SpaceAxis::X).length(),
        measure("27 7/8in")
    );
    let clearance = opening.clearance(BoxFace::Left).unwrap();
    assert!(
        (clearance.inches() - 7.9375).abs() < 1e-9,
        "{}",
        clearance.inches()
    );
    assert_eq!(
        opening.clearance(BoxFace::Right),
        opening.clearance(BoxFace::Left)
    );
    assert_eq!(opening.clearance(BoxFace::Front), None);
    assert_eq!(opening.filled.low(SpaceAxis::Y).length(), measure("1/4in"));
    assert_eq!(
        piece.openings[1].filled.low(SpaceAxis::Y).length(),
        measure("5/8in")
    );
    // The chain of parts around the opening sums to it; it goes along the shelf between them, not through the door.
    let sum: i64 = opening.chains[0]
        .iter()
        .map(|term| term.size.nanometres())
        .sum();
    assert_eq!(sum, opening.space.size(SpaceAxis::X).nanometres());
    assert!(opening.chains[0].iter().any(|term| {
        term.body
            .is_some_and(|body| piece.bodies[body].name == "left shelf")
    }));
    // Upward: the divider's length, less what is housed.
    let sum: i64 = opening.chains[2]
        .iter()
        .map(|term| term.size.nanometres())
        .sum();
    assert_eq!(sum, opening.space.size(SpaceAxis::Z).nanometres());
    // What sits in an opening is no contact of what bounds it; what it meets besides, as this shelf, is.
    let meets = |opening: &heartside::piece::Opening, body: usize| {
        let touches = |own: &usize| piece.contact(*own, body).is_some();
        opening.bodies.iter().any(touches)
    };
    for opening in &piece.openings {
        for bound in opening.bounds.iter().flatten() {
            assert!(bound.bodies.iter().all(|body| !meets(opening, *body)));
        }
    }
    let shelf = piece
        .bodies
        .iter()
        .position(|body| body.name == "right shelf")
        .unwrap();
    assert!(meets(&piece.openings[1], shelf));
}

#[test]
fn a_part_of_its_own_fills_an_opening_whose_size_is_the_fits_question() {
    let mut parts = case();
    let mut front = part(
        "drawer front",
        (
            heartside::piece::Grain::Across,
            heartside::piece::Lies::Facing,
        ),
        ["-", "-", "3/4in"],
        "",
    );
    front.opening = Some(opening(
        &[
            (BoxFace::Left, "left side"),
            (BoxFace::Right, "divider"),
            (BoxFace::Bottom, "left shelf"),
            (BoxFace::Top, "top"),
        ],
        FrontPlace::Overlay,
        None,
    ));
    parts.push(front);
    let piece = resolved(&parts, &[]);
    let opening = &piece.openings[0];
    assert_eq!(opening.sized, [false, true, false]);
    assert_eq!(
        opening.filled.size(SpaceAxis::X).length(),
        measure("27 7/8in")
    );
    // Overlay: its back is at the front of what bounds it.
    assert_eq!(opening.filled.high(SpaceAxis::Y).length(), measure("1/4in"));
    assert_eq!(piece.sizes[6].unwrap()[1], measure("14 1/4in"));
}
