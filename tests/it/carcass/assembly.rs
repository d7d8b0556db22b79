//! The order of assembly: pieces whose order a maker knows, and a simulator, written apart from the planner, that replays every plan.

use heartside::carcass::assembly::{
    Assembly, AssemblyError, AssemblyJoint, AssemblyPart, AssemblyPiece, Change, Entry,
    plan_assembly,
};
use heartside::carcass::{GlueJoint, GlueTerms, Trap};
use heartside::piece::{BoxFace, Coordinate, Cuboid, SpaceAxis};
use heartside::units::Duration;
use proptest::prelude::*;

use BoxFace::{Back, Bottom, Front, Left, Right, Top};
use SpaceAxis::{X, Y, Z};

/// A part from its low and its high corner, mm.
fn part(name: &str, low: [f64; 3], high: [f64; 3]) -> AssemblyPart {
    let corner = |at: [f64; 3]| at.map(|mm| Coordinate::from_nanometres((mm * 1e6).round() as i64));
    AssemblyPart {
        name: name.to_owned(),
        boxes: vec![Cuboid::new(corner(low), corner(high))],
    }
}

fn joint(piece: usize, into: usize, face: BoxFace, entry: Entry) -> AssemblyJoint {
    AssemblyJoint {
        glue: GlueJoint {
            name: format!("{piece} in {into}"),
            between: [piece, into],
            glued: true,
            spread: Duration::from_seconds(40.0).unwrap(),
            close: Duration::from_seconds(15.0).unwrap(),
            clamps: 2,
        },
        entry,
        face,
    }
}

fn dry(mut joint: AssemblyJoint) -> AssemblyJoint {
    joint.glue.glued = false;
    joint
}

fn piece(parts: Vec<AssemblyPart>, joints: Vec<AssemblyJoint>) -> AssemblyPiece {
    AssemblyPiece {
        parts,
        joints,
        traps: vec![],
    }
}

/// Glue that stays open for a quarter of an hour.
fn slow() -> GlueTerms {
    GlueTerms {
        own_time: Some(Duration::from_seconds(900.0).unwrap()),
        ..GlueTerms::default()
    }
}

fn plan(piece: &AssemblyPiece) -> Assembly {
    let plan = plan_assembly(piece, &slow()).unwrap();
    replay(piece, &slow(), &plan).unwrap();
    plan
}

// ---- The simulator ------------------------------------------------------------------------------

type Box3 = [(f64, f64); 3];

fn boxes(part: &AssemblyPart) -> Vec<Box3> {
    part.boxes
        .iter()
        .map(|one| SpaceAxis::ALL.map(|axis| (one.low(axis).mm(), one.high(axis).mm())))
        .collect()
}

fn step(direction: BoxFace) -> [f64; 3] {
    match direction {
        Left => [-1.0, 0.0, 0.0],
        Right => [1.0, 0.0, 0.0],
        Front => [0.0, -1.0, 0.0],
        Back => [0.0, 1.0, 0.0],
        Bottom => [0.0, 0.0, -1.0],
        Top => [0.0, 0.0, 1.0],
    }
}

fn back_to_front(direction: BoxFace) -> BoxFace {
    match direction {
        Left => Right,
        Right => Left,
        Front => Back,
        Back => Front,
        Bottom => Top,
        Top => Bottom,
    }
}

/// Whether a joint of the kinds lets its piece in that way: given by what the joint looks like, not by the planner.
fn lets_in(joint: &AssemblyJoint, toward: BoxFace) -> bool {
    let along = |axis: SpaceAxis| step(toward)[axis as usize] != 0.0;
    match joint.entry {
        Entry::Square | Entry::Stopped(_) => toward == joint.face,
        Entry::Through(axis) => toward == joint.face || along(axis),
        Entry::OpenAt(end) => toward == joint.face || toward == back_to_front(end),
        Entry::Along(axis) => along(axis),
        Entry::AlongFrom(end) => toward == back_to_front(end),
        Entry::Toward(only) => toward == only,
        Entry::Free => true,
    }
}

/// What keeps `mover`, moving toward a direction, from `still`; it comes from far off and every millimeter is looked at.
fn collides(piece: &AssemblyPiece, mover: usize, still: usize, toward: BoxFace) -> Option<String> {
    let mut reaches = false;
    for joint in &piece.joints {
        let [a, b] = joint.glue.between;
        let seen = if (a, b) == (mover, still) {
            toward
        } else if (a, b) == (still, mover) {
            back_to_front(toward)
        } else {
            continue;
        };
        if !lets_in(joint, seen) {
            return Some(format!("{} does not let {toward:?} in", joint.glue.name));
        }
        reaches |= joint.entry != Entry::Free;
    }
    if reaches {
        return None;
    }
    let way = step(toward);
    for a in boxes(&piece.parts[mover]) {
        for b in boxes(&piece.parts[still]) {
            for millimeters in 0..2500 {
                let off = f64::from(millimeters);
                let common: f64 = (0..3)
                    .map(|k| {
                        let (low, high) = (a[k].0 - way[k] * off, a[k].1 - way[k] * off);
                        (high.min(b[k].1) - low.max(b[k].0)).max(0.0)
                    })
                    .map(|size| if size < 0.05 { 0.0 } else { size })
                    .product();
                if common > 0.0 {
                    return Some(format!("{mover} meets {still} {off} mm before it is home"));
                }
            }
        }
    }
    None
}

/// Replays a plan move by move.
fn replay(piece: &AssemblyPiece, terms: &GlueTerms, plan: &Assembly) -> Result<(), String> {
    let mut bodies: Vec<Vec<usize>> = (0..piece.parts.len()).map(|part| vec![part]).collect();
    let mut closed = vec![false; piece.joints.len()];
    for stage in &plan.stages {
        let mut seconds = 0.0;
        for made in &stage.moves {
            let mut find = |wanted: &[usize]| {
                let mut wanted = wanted.to_vec();
                wanted.sort_unstable();
                let at = bodies
                    .iter()
                    .position(|body| *body == wanted)
                    .ok_or_else(|| format!("{wanted:?} is no body yet"))?;
                Ok::<Vec<usize>, String>(bodies.swap_remove(at))
            };
            let (body, into) = (find(&made.body)?, find(&made.into)?);
            for &mover in &body {
                for &still in &into {
                    if let Some(why) = collides(piece, mover, still, made.direction) {
                        return Err(why);
                    }
                }
            }
            let mut one: Vec<usize> = body.iter().chain(&into).copied().collect();
            one.sort_unstable();
            for &joint in &made.joints {
                if closed[joint] {
                    return Err(format!("joint {joint} closes twice"));
                }
                closed[joint] = true;
                let glue = &piece.joints[joint].glue;
                seconds += if glue.glued {
                    40.0 + 20.0 * f64::from(glue.clamps)
                } else {
                    0.0
                } + 15.0;
            }
            for (index, joint) in piece.joints.iter().enumerate() {
                if joint.glue.between.iter().all(|part| one.contains(part)) && !closed[index] {
                    return Err(format!("joint {index} would close inside a body, too late"));
                }
            }
            bodies.push(one);
        }
        if seconds > terms.stage_time().seconds() + 1e-6 {
            return Err(format!("a stage of {seconds} s"));
        }
    }
    match (bodies.len(), closed.iter().all(|done| *done)) {
        (1, true) => Ok(()),
        _ => Err(format!("{} bodies are left", bodies.len())),
    }
}

/// Whether some order exists, by trying every cut of every body with the simulator's own eyes.
fn some_order(piece: &AssemblyPiece, body: &[usize]) -> bool {
    if body.len() == 1 {
        return true;
    }
    let hangs = |parts: &[usize]| {
        let mut reached = vec![parts[0]];
        let mut at = 0;
        while at < reached.len() {
            for joint in &piece.joints {
                let [a, b] = joint.glue.between;
                for (one, other) in [(a, b), (b, a)] {
                    if one == reached[at] && parts.contains(&other) && !reached.contains(&other) {
                        reached.push(other);
                    }
                }
            }
            at += 1;
        }
        reached.len() == parts.len()
    };
    (1..(1_usize << body.len()) - 1).any(|cut| {
        let (off, stays): (Vec<usize>, Vec<usize>) =
            body.iter()
                .enumerate()
                .fold((vec![], vec![]), |(mut off, mut stays), (bit, &part)| {
                    if cut >> bit & 1 == 1 {
                        off.push(part)
                    } else {
                        stays.push(part)
                    }
                    (off, stays)
                });
        hangs(&off)
            && hangs(&stays)
            && BoxFace::ALL.into_iter().any(|toward| {
                off.iter().all(|&mover| {
                    stays
                        .iter()
                        .all(|&still| collides(piece, mover, still, toward).is_none())
                })
            })
            && some_order(piece, &off)
            && some_order(piece, &stays)
    })
}

// ---- Pieces whose order a maker knows -----------------------------------------------------------

/// Bottom and top between two sides, dividers between them, a shelf in each bay, all in stopped housings of 8 mm.
fn bookcase(bays: usize, shelf_entry: Entry) -> AssemblyPiece {
    let (width, height, depth, t, reach) = (1500.0, 800.0, 300.0, 20.0, 8.0);
    let mut parts = vec![
        part("left side", [0.0; 3], [t, depth, height]),
        part("right side", [width - t, 0.0, 0.0], [width, depth, height]),
        part(
            "bottom",
            [t - reach, 0.0, 60.0],
            [width - t + reach, depth, 60.0 + t],
        ),
        part(
            "top",
            [t - reach, 0.0, 700.0],
            [width - t + reach, depth, 700.0 + t],
        ),
    ];
    let mut joints = vec![
        joint(2, 0, Left, Entry::Square),
        joint(2, 1, Right, Entry::Square),
        joint(3, 0, Left, Entry::Square),
        joint(3, 1, Right, Entry::Square),
    ];
    let mut walls = vec![(0, 0.0)];
    for divider in 1..bays {
        let x = width * divider as f64 / bays as f64;
        let index = parts.len();
        parts.push(part(
            &format!("divider {divider}"),
            [x - t / 2.0, 0.0, 60.0 + t - reach],
            [x + t / 2.0, depth, 700.0 + reach],
        ));
        joints.push(joint(index, 2, Bottom, Entry::Square));
        joints.push(joint(index, 3, Top, Entry::Square));
        walls.push((index, x - t / 2.0));
    }
    walls.push((1, width - t));
    for bay in 0..bays {
        let ((left, from), (right, to)) = (walls[bay], walls[bay + 1]);
        let index = parts.len();
        parts.push(part(
            &format!("shelf {}", bay + 1),
            [from + t - reach, 0.0, 400.0],
            [to + reach, depth, 400.0 + t],
        ));
        joints.push(joint(index, left, Left, shelf_entry));
        joints.push(joint(index, right, Right, shelf_entry));
    }
    piece(parts, joints)
}

#[test]
fn the_shelves_of_three_bays_go_in_before_their_sides() {
    let bookcase = bookcase(3, Entry::Square);
    let plan = plan(&bookcase);
    // Fourteen joints of 95 s are 22 minutes, and a stage takes twelve.
    assert!(plan.stages.len() == 2 && plan.fewest_proven, "{plan:?}");
    assert!(plan.stages.len() >= plan.at_least);
    // The middle shelf joins the dividers before the bottom or the top goes on.
    let position = |wanted: &[usize]| {
        plan.stages
            .iter()
            .flat_map(|stage| &stage.moves)
            .position(|made| {
                let together: Vec<usize> = made.body.iter().chain(&made.into).copied().collect();
                wanted.iter().all(|part| together.contains(part))
            })
            .unwrap()
    };
    let (dividers, shelf, bottom) = ([4, 5], 7, 2);
    assert!(
        position(&[dividers[0], dividers[1], shelf])
            < position(&[dividers[0], dividers[1], shelf, bottom])
    );
    // A side goes on last: every shelf beside it is home by then.
    let last = plan.stages.last().unwrap().moves.last().unwrap();
    assert!(matches!(last.direction, Left | Right), "{last:?}");
}

#[test]
fn shelves_in_open_housings_may_slide_in_last() {
    let bookcase = bookcase(3, Entry::Through(Y));
    let free = plan(&bookcase);
    assert!(free.fewest_proven);
    let last: usize = free.stages.iter().map(|stage| stage.moves.len()).sum();
    assert_eq!(last, bookcase.parts.len() - 1);
}

/// The hall sideboard: bottom in both sides, dividers on the bottom and under the top, two shelves, the top on last.
#[test]
fn the_sideboard() {
    let (w, h, d, t) = (1450.0, 760.0, 400.0, 19.0);
    let sideboard = piece(
        vec![
            part("left side", [0.0; 3], [t, d, h]),
            part("right side", [w - t, 0.0, 0.0], [w, d, h]),
            part("bottom", [t - 9.0, 0.0, 76.0], [w - t + 9.0, d, 76.0 + t]),
            part("left divider", [470.0, 0.0, 76.0 + t - 6.0], [489.0, d, h]),
            part("right divider", [960.0, 0.0, 76.0 + t - 6.0], [979.0, d, h]),
            part("left shelf", [t - 9.0, 0.0, 380.0], [470.0 + 6.0, d, 399.0]),
            part(
                "right shelf",
                [979.0 - 6.0, 0.0, 380.0],
                [w - t + 9.0, d, 399.0],
            ),
            part("top", [-10.0, -10.0, h], [w + 10.0, d + 10.0, h + 22.0]),
        ],
        vec![
            joint(2, 0, Left, Entry::Square),
            joint(2, 1, Right, Entry::Square),
            joint(3, 2, Bottom, Entry::Square),
            joint(4, 2, Bottom, Entry::Square),
            joint(5, 0, Left, Entry::Square),
            joint(5, 3, Right, Entry::Square),
            joint(6, 1, Right, Entry::Square),
            joint(6, 4, Left, Entry::Square),
            joint(7, 0, Bottom, Entry::Free),
            joint(7, 1, Bottom, Entry::Free),
            joint(7, 3, Bottom, Entry::Free),
            joint(7, 4, Bottom, Entry::Free),
        ],
    );
    let plan = plan(&sideboard);
    assert!(plan.fewest_proven);
}

#[test]
fn a_chest_of_four_walls_and_a_bottom_in_grooves() {
    let (w, d, h, t) = (900.0, 450.0, 500.0, 20.0);
    let chest = piece(
        vec![
            part("front", [0.0, 0.0, 0.0], [w, t, h]),
            part("back", [0.0, d - t, 0.0], [w, d, h]),
            part("left", [0.0, t, 0.0], [t, d - t, h]),
            part("right", [w - t, t, 0.0], [w, d - t, h]),
            part(
                "bottom",
                [t - 8.0, t - 8.0, 20.0],
                [w - t + 8.0, d - t + 8.0, 35.0],
            ),
        ],
        vec![
            joint(2, 0, Front, Entry::Square),
            joint(2, 1, Back, Entry::Square),
            joint(3, 0, Front, Entry::Square),
            joint(3, 1, Back, Entry::Square),
            dry(joint(4, 0, Front, Entry::Square)),
            dry(joint(4, 1, Back, Entry::Square)),
            dry(joint(4, 2, Left, Entry::Through(Y))),
            dry(joint(4, 3, Right, Entry::Through(Y))),
        ],
    );
    let plan = plan(&chest);
    assert!(plan.fewest_proven);
    // The bottom is shut in by the last wall, never put in afterward.
    let last = plan.stages.last().unwrap().moves.last().unwrap();
    assert_ne!(last.body, [4]);
}

/// A panel in the grooves of two stiles and two rails whose tenons enter along x.
fn door() -> AssemblyPiece {
    let (w, h, t, s) = (500.0, 700.0, 22.0, 60.0);
    piece(
        vec![
            part("left stile", [0.0; 3], [s, t, h]),
            part("right stile", [w - s, 0.0, 0.0], [w, t, h]),
            part("top rail", [s - 30.0, 0.0, h - s], [w - s + 30.0, t, h]),
            part("bottom rail", [s - 30.0, 0.0, 0.0], [w - s + 30.0, t, s]),
            part(
                "panel",
                [s - 10.0, 8.0, s - 10.0],
                [w - s + 10.0, 14.0, h - s + 10.0],
            ),
        ],
        vec![
            joint(2, 0, Left, Entry::Square),
            joint(2, 1, Right, Entry::Square),
            joint(3, 0, Left, Entry::Square),
            joint(3, 1, Right, Entry::Square),
            dry(joint(4, 0, Left, Entry::Through(Z))),
            dry(joint(4, 1, Right, Entry::Through(Z))),
            dry(joint(4, 2, Top, Entry::Through(X))),
            dry(joint(4, 3, Bottom, Entry::Through(X))),
        ],
    )
}

#[test]
fn the_panel_of_a_door_is_in_before_the_second_stile() {
    let plan = plan(&door());
    assert_eq!(plan.stages.len(), 1);
    assert!(plan.fewest_proven);
    let last = plan.stages[0].moves.last().unwrap();
    assert!(last.body == [0] || last.body == [1], "{last:?}");
}

#[test]
fn a_lid_with_breadboard_ends() {
    let lid = piece(
        vec![
            part("lid", [40.0, 0.0, 0.0], [960.0, 450.0, 22.0]),
            part("left end", [0.0, 0.0, 0.0], [60.0, 450.0, 22.0]),
            part("right end", [940.0, 0.0, 0.0], [1000.0, 450.0, 22.0]),
        ],
        vec![
            joint(1, 0, Right, Entry::Through(Y)),
            joint(2, 0, Left, Entry::Through(Y)),
        ],
    );
    let plan = plan(&lid);
    assert_eq!((plan.stages.len(), plan.fewest_proven), (1, true));
    assert_eq!(plan.stages[0].moves.len(), 2);
}

/// Sides with tails drop onto the pins of front and back, each along its own thickness.
#[test]
fn a_dovetailed_box() {
    let (w, d, h, t) = (300.0, 200.0, 100.0, 12.0);
    let dovetailed = piece(
        vec![
            part("front", [0.0, 0.0, 0.0], [w, t, h]),
            part("back", [0.0, d - t, 0.0], [w, d, h]),
            part("left", [0.0, 0.0, 0.0], [t, d, h]),
            part("right", [w - t, 0.0, 0.0], [w, d, h]),
        ],
        vec![
            joint(2, 0, Front, Entry::Toward(Right)),
            joint(2, 1, Back, Entry::Toward(Right)),
            joint(3, 0, Front, Entry::Toward(Left)),
            joint(3, 1, Back, Entry::Toward(Left)),
        ],
    );
    let plan = plan(&dovetailed);
    for made in plan.stages.iter().flat_map(|stage| &stage.moves) {
        assert!(matches!(made.direction, Left | Right));
    }
}

/// Six walls, each housed in its neighbors in a ring about every axis: nothing can be the last one in.
fn cube() -> AssemblyPiece {
    let (s, t) = (300.0, 20.0);
    let parts = vec![
        part("left", [0.0, 0.0, 0.0], [t, s, s]),
        part("right", [s - t, 0.0, 0.0], [s, s, s]),
        part(
            "front",
            [t - 8.0, 0.0, t - 8.0],
            [s - t + 8.0, t, s - t + 8.0],
        ),
        part(
            "back",
            [t - 8.0, s - t, t - 8.0],
            [s - t + 8.0, s, s - t + 8.0],
        ),
        part(
            "bottom",
            [t - 8.0, t - 8.0, 0.0],
            [s - t + 8.0, s - t + 8.0, t],
        ),
        part(
            "top",
            [t - 8.0, t - 8.0, s - t],
            [s - t + 8.0, s - t + 8.0, s],
        ),
    ];
    let mut joints = Vec::new();
    // Sides slide along y only, front and back along z only, bottom and top along x only: no two agree.
    for wall in [2, 3] {
        joints.push(joint(wall, 0, Left, Entry::Along(Z)));
        joints.push(joint(wall, 1, Right, Entry::Along(Z)));
    }
    for wall in [4, 5] {
        joints.push(joint(wall, 0, Left, Entry::Along(Y)));
        joints.push(joint(wall, 1, Right, Entry::Along(Y)));
        joints.push(joint(wall, 2, Front, Entry::Along(X)));
        joints.push(joint(wall, 3, Back, Entry::Along(X)));
    }
    piece(parts, joints)
}

#[test]
fn an_impossible_cube_says_what_locks_it() {
    let cube = cube();
    assert!(!some_order(&cube, &[0, 1, 2, 3, 4, 5]));
    let error = plan_assembly(&cube, &GlueTerms::default()).unwrap_err();
    let AssemblyError::Locked(why) = &error else {
        panic!("{error}");
    };
    assert!(why.locks.len() >= 3);
    for lock in &why.locks {
        assert!(
            lock.held_by.iter().all(|(_, by)| !by.is_empty()),
            "{lock:?}"
        );
    }
    let words = error.to_string();
    assert!(
        words.starts_with("no order works: ") && words.contains(" in "),
        "{words}"
    );
}

/// Three walls of a corner, each in a housing of the next: opening one of the housings at an end frees them, and each that is said is done.
#[test]
fn what_frees_a_locked_corner_of_three_housings_frees_it() {
    let locked = piece(
        vec![
            part("left", [0.0, 14.0, 0.0], [20.0, 300.0, 300.0]),
            part("front", [0.0, 0.0, 14.0], [300.0, 20.0, 300.0]),
            part("bottom", [14.0, 0.0, 0.0], [300.0, 300.0, 20.0]),
        ],
        vec![
            joint(2, 0, Left, Entry::Stopped(Y)),
            joint(0, 1, Front, Entry::Stopped(Z)),
            joint(1, 2, Bottom, Entry::Stopped(X)),
        ],
    );
    let error = plan_assembly(&locked, &GlueTerms::default()).unwrap_err();
    let AssemblyError::Locked(why) = error else {
        panic!("{error}");
    };
    let opened = why.frees.iter().filter_map(|freed| match freed.change {
        Change::OpenAt(end) => Some((&freed.joint, end)),
        Change::Screwed => None,
    });
    let mut freed = 0;
    for (name, end) in opened {
        let mut changed = locked.clone();
        let joint = changed
            .joints
            .iter_mut()
            .find(|joint| joint.glue.name == *name);
        joint.unwrap().entry = Entry::OpenAt(end);
        plan(&changed);
        freed += 1;
    }
    assert!(freed > 0, "{why}");
    // The same corner of tenons or dowels has nothing that could be opened.
    let mut square = locked.clone();
    for joint in &mut square.joints {
        joint.entry = Entry::Square;
    }
    let Err(AssemblyError::Locked(why)) = plan_assembly(&square, &GlueTerms::default()) else {
        panic!("a ring of square joints goes together");
    };
    assert!(!why.to_string().contains("housing"), "{why}");
}

#[test]
fn a_declared_trap_is_kept_to() {
    let mut open = bookcase(1, Entry::Through(Y));
    open.traps.push(Trap {
        part: 4,
        between: vec![0, 1],
    });
    let plan = plan(&open);
    for made in plan.stages.iter().flat_map(|stage| &stage.moves) {
        let together: Vec<usize> = made.body.iter().chain(&made.into).copied().collect();
        assert!(!(together.contains(&0) && together.contains(&1)) || together.contains(&4));
    }
}

#[test]
fn what_takes_too_long_and_what_is_malformed_is_said() {
    let hurried = GlueTerms {
        own_time: Some(Duration::from_seconds(100.0).unwrap()),
        ..GlueTerms::default()
    };
    let error = plan_assembly(&door(), &hurried).unwrap_err();
    assert!(
        matches!(&error, AssemblyError::TooLong { joints, .. } if !joints.is_empty()),
        "{error}"
    );
    let mut unknown = door();
    unknown.joints[0].glue.between = [0, 9];
    assert!(matches!(
        plan_assembly(&unknown, &GlueTerms::default()),
        Err(AssemblyError::UnknownPart { .. })
    ));
    let mut loose = door();
    loose
        .joints
        .retain(|joint| !joint.glue.between.contains(&4));
    let error = plan_assembly(&loose, &GlueTerms::default()).unwrap_err();
    assert!(
        error.to_string().contains("panel is joined to nothing"),
        "{error}"
    );
    let nothing = plan_assembly(&AssemblyPiece::default(), &GlueTerms::default()).unwrap();
    assert!(nothing.stages.is_empty());
}

/// Twenty parts: each body is split where one part comes free.
#[test]
fn a_bookcase_of_six_bays_is_planned() {
    let bookcase = bookcase(6, Entry::Square);
    assert!(bookcase.parts.len() > 14);
    plan(&bookcase);
    let larger = self::bookcase(8, Entry::Square);
    assert!(larger.parts.len() > heartside::carcass::assembly::MOST_EXACT);
    plan(&larger);
}

/// A block cut again and again across: boxes that touch, with joints of any kind between those that do.
fn random_piece() -> impl Strategy<Value = AssemblyPiece> {
    let cuts = prop::collection::vec(
        (any::<prop::sample::Index>(), 0..3_usize, 0.3..0.7_f64),
        1..5,
    );
    (cuts, prop::collection::vec(0..6_usize, 40)).prop_map(|(cuts, kinds)| {
        let mut blocks: Vec<Box3> = vec![[(0.0, 200.0), (0.0, 160.0), (0.0, 120.0)]];
        for (which, axis, share) in cuts {
            let at = which.index(blocks.len());
            let mut upper = blocks[at];
            let (low, high) = upper[axis];
            let middle = (low + (high - low) * share).round();
            blocks[at][axis].1 = middle;
            upper[axis].0 = middle;
            blocks.push(upper);
        }
        let parts: Vec<AssemblyPart> = blocks
            .iter()
            .enumerate()
            .map(|(i, b)| {
                part(
                    &format!("block {i}"),
                    [b[0].0, b[1].0, b[2].0],
                    [b[0].1, b[1].1, b[2].1],
                )
            })
            .collect();
        let mut joints = Vec::new();
        for a in 0..blocks.len() {
            for b in a + 1..blocks.len() {
                let overlap: Vec<f64> = (0..3)
                    .map(|k| {
                        blocks[a][k].1.min(blocks[b][k].1) - blocks[a][k].0.max(blocks[b][k].0)
                    })
                    .collect();
                let Some(axis) = (0..3).find(|&k| overlap[k] == 0.0) else {
                    continue;
                };
                if (0..3).any(|k| k != axis && overlap[k] <= 1.0) {
                    continue;
                }
                let space = SpaceAxis::ALL[axis];
                let face = if blocks[a][axis].1 == blocks[b][axis].0 {
                    space.high()
                } else {
                    space.low()
                };
                let [one, other] = space.others();
                let entry = match kinds[joints.len() % kinds.len()] {
                    0 | 1 => Entry::Square,
                    2 => Entry::Through(one),
                    3 => Entry::Along(other),
                    4 => Entry::OpenAt(one.low()),
                    _ => Entry::Free,
                };
                joints.push(joint(a, b, face, entry));
            }
        }
        piece(parts, joints)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// A plan is carried out without a collision and without a late joint; where there is none, no order exists.
    #[test]
    fn plans_of_random_pieces_are_carried_out(piece in random_piece()) {
        let parts: Vec<usize> = (0..piece.parts.len()).collect();
        let terms = GlueTerms::default();
        match plan_assembly(&piece, &terms) {
            Ok(plan) => {
                prop_assert_eq!(replay(&piece, &terms, &plan), Ok(()));
                prop_assert!(plan.stages.len() >= plan.at_least);
            }
            Err(AssemblyError::Locked(_)) => prop_assert!(!some_order(&piece, &parts)),
            Err(other) => prop_assert!(matches!(other, AssemblyError::TooLong { .. }), "{}", other),
        }
    }
}
