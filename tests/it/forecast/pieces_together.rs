//! The order of assembly of whole jobs, each plan replayed by a simulator of its own: pieces whose order a maker knows.

use super::forecast_of;
use heartside::carcass::assembly::{AssemblyPiece, Entry};
use heartside::forecast::{AssemblyFinding, StageFinding};
use heartside::piece::{BoxFace, SpaceAxis};

const HEAD: &str = r#"format = 2
[job]
name = "Piece"
units = "mm"
seed = 3
draws = 64
[places.shop]
air = { temperature = "18C", humidity = "55%" }
[places.home]
seasons = { winter = "35%", summer = "55%", temperature = "20C" }
[schedule]
measured = 2026-09-14
delivered = 2026-10-26
[defaults]
species = "oak, northern red"
thickness = "20 mm"
moisture = "9%"
rings = { sawn = "flat" }
[glue]
open_time = "20 min"
"#;

fn assembled(parts: &str) -> AssemblyFinding {
    let found = forecast_of(&format!("{HEAD}{parts}")).assembly.unwrap();
    replay(&found.piece, &found.stages);
    for group in &found.groups {
        replay(&group.piece, &group.stages);
    }
    found
}

fn part(name: &str, lies: &str, sizes: &str, places: &str) -> String {
    format!("[[parts]]\nname = \"{name}\"\n{lies}\n{sizes}\n{places}\n")
}

/// Slides every body in from far off, 5 mm at a time, and fails where a part that no joint lets through is in the way, or where a joint
/// would close inside one body.
fn replay(piece: &AssemblyPiece, stages: &[StageFinding]) {
    let mut bodies: Vec<Vec<usize>> = (0..piece.parts.len()).map(|part| vec![part]).collect();
    let mut closed = 0;
    for made in stages.iter().flat_map(|stage| &stage.moves) {
        let way = BoxFace::ALL
            .into_iter()
            .find(|face| face.word() == made.direction)
            .unwrap();
        let mut take = |wanted: &[usize]| {
            let mut wanted = wanted.to_vec();
            wanted.sort_unstable();
            let at = bodies.iter().position(|body| *body == wanted);
            bodies.swap_remove(at.unwrap_or_else(|| panic!("{wanted:?} is no body")))
        };
        let (moving, still) = (take(&made.moving), take(&made.still));
        for &one in &moving {
            for &other in &still {
                closed += meet(piece, one, other, way);
            }
        }
        bodies.push({
            let mut one = [moving, still].concat();
            one.sort_unstable();
            one
        });
    }
    if !stages.is_empty() {
        assert_eq!(bodies.len(), 1, "{stages:?}");
        assert_eq!(closed, piece.joints.len());
    }
}

/// The joints that close between two parts as the one comes home.
fn meet(piece: &AssemblyPiece, one: usize, other: usize, way: BoxFace) -> usize {
    let between: Vec<_> = piece
        .joints
        .iter()
        .filter(|joint| joint.glue.between == [one, other] || joint.glue.between == [other, one])
        .collect();
    for joint in &between {
        let seen = if joint.glue.between[0] == one {
            way
        } else {
            way.opposite()
        };
        assert!(
            joint.entry.allows(joint.face, seen),
            "{} does not open that way",
            joint.glue.name
        );
    }
    if between.iter().all(|joint| joint.entry == Entry::Free) {
        let sign = if way.is_high() { -1.0 } else { 1.0 };
        for a in &piece.parts[one].boxes {
            for b in &piece.parts[other].boxes {
                for step in 0..400 {
                    let off = |axis: SpaceAxis| {
                        if axis == way.axis() {
                            sign * 5.0 * f64::from(step)
                        } else {
                            0.0
                        }
                    };
                    let inside = SpaceAxis::ALL.into_iter().all(|axis| {
                        let low = (a.low(axis).mm() + off(axis)).max(b.low(axis).mm());
                        let high = (a.high(axis).mm() + off(axis)).min(b.high(axis).mm());
                        high - low > 0.05
                    });
                    assert!(!inside, "{one} runs into {other} on its way");
                }
            }
        }
    }
    between.len()
}

const SIDE: &str = "grain = \"up\"\nlies = \"sideways\"";
const FACE: &str = "lies = \"facing\"";

/// Three bays, shelves housed at both ends, dividers between bottom and top.
#[test]
fn a_bookcase_of_three_bays() {
    let side = |name: &str, left: &str| {
        part(
            name,
            SIDE,
            "width = \"300 mm\"\nlength = \"900 mm\"",
            &format!("left = \"{left}\"\nfront = \"0 mm\"\nbottom = \"0 mm\""),
        )
    };
    let flat = |name: &str, bottom: &str| {
        part(
            name,
            "",
            "width = \"300 mm\"",
            &format!(
                "left = \"8 mm into left side\"\nright = \"8 mm into right side\"\nfront = \"0 mm\"\nbottom = \"{bottom}\""
            ),
        )
    };
    let divider = |name: &str, left: &str| {
        part(
            name,
            SIDE,
            "width = \"300 mm\"",
            &format!(
                "left = \"{left}\"\nfront = \"0 mm\"\nbottom = \"8 mm into bottom\"\ntop = \"8 mm into top\""
            ),
        )
    };
    let shelf = |name: &str, left: &str, right: &str| {
        part(
            name,
            "",
            "width = \"280 mm\"",
            &format!(
                "left = \"8 mm into {left}\"\nright = \"8 mm into {right}\"\nfront = \"10 mm\"\nbottom = \"400 mm\""
            ),
        )
    };
    let dado =
        |piece: &str, into: &str| format!("[[joints.dado]]\npiece = \"{piece}\"\ninto = {into}\n");
    let found = assembled(
        &[
            side("left side", "0 mm"),
            side("right side", "1480 mm"),
            flat("bottom", "60 mm"),
            flat("top", "860 mm"),
            divider("left divider", "490 mm"),
            divider("right divider", "980 mm"),
            shelf("shelf 1", "left side", "left divider"),
            shelf("shelf 2", "left divider", "right divider"),
            shelf("shelf 3", "right divider", "right side"),
            dado("bottom", "[\"left side\", \"right side\"]"),
            dado("top", "[\"left side\", \"right side\"]"),
            dado("left divider", "[\"bottom\", \"top\"]"),
            dado("right divider", "[\"bottom\", \"top\"]"),
            dado("shelf 1", "[\"left side\", \"left divider\"]"),
            dado("shelf 2", "[\"left divider\", \"right divider\"]"),
            dado("shelf 3", "[\"right divider\", \"right side\"]"),
        ]
        .concat(),
    );
    assert!(found.fewest_proven && found.why_none.is_none(), "{found:?}");
    assert!(found.later.is_empty());
    // The middle bay comes first: both dividers hold its shelf before the two are held by bottom and top.
    let moves: Vec<Vec<&String>> = found
        .stages
        .iter()
        .flat_map(|stage| &stage.moves)
        .map(|made| made.body.iter().chain(&made.into).collect())
        .collect();
    let first = |wanted: &[&str]| {
        moves.iter().position(|body| {
            wanted
                .iter()
                .all(|name| body.iter().any(|part| *part == name))
        })
    };
    assert!(
        first(&["left divider", "right divider", "shelf 2"])
            <= first(&["left divider", "right divider", "bottom"])
    );
}

/// Four walls housed in one another and a bottom in their grooves: nothing is called dry-fitted that is glued, the bottom is in before the last wall.
#[test]
fn a_chest() {
    let found = assembled(
        &[
            part("front", FACE, "width = \"400 mm\"\nlength = \"900 mm\"", "left = \"0 mm\"\nfront = \"0 mm\"\nbottom = \"0 mm\""),
            part("back", FACE, "width = \"400 mm\"\nlength = \"900 mm\"", "left = \"0 mm\"\nfront = \"430 mm\"\nbottom = \"0 mm\""),
            part("left end", "grain = \"back\"\nlies = \"sideways\"", "width = \"400 mm\"", "left = \"0 mm\"\nfront = \"8 mm into front\"\nback = \"8 mm into back\"\nbottom = \"0 mm\""),
            part("right end", "grain = \"back\"\nlies = \"sideways\"", "width = \"400 mm\"", "right = \"flush with front\"\nfront = \"8 mm into front\"\nback = \"8 mm into back\"\nbottom = \"0 mm\""),
            part("bottom", "", "thickness = \"12 mm\"", "left = \"8 mm into left end\"\nright = \"8 mm into right end\"\nfront = \"8 mm into front\"\nback = \"8 mm into back\"\nbottom = \"20 mm\""),
            "[[joints.dado]]\npiece = \"left end\"\ninto = [\"front\", \"back\"]\n".to_owned(),
            "[[joints.dado]]\npiece = \"right end\"\ninto = [\"front\", \"back\"]\n".to_owned(),
            "[[joints.groove]]\npiece = \"bottom\"\ninto = [\"front\", \"back\", \"left end\", \"right end\"]\n".to_owned(),
        ]
        .concat(),
    );
    assert!(found.why_none.is_none(), "{found:?}");
    let last = found.stages.last().unwrap().moves.last().unwrap();
    assert_ne!(last.body, ["bottom"]);
    assert!(!found.later.contains(&"bottom".to_owned()));
}

/// A panel is held by its frame and goes in before it closes; it is never among what is fitted later.
#[test]
fn a_frame_and_panel_door() {
    let stile = |name: &str, left: &str| {
        part(
            name,
            "grain = \"up\"\nlies = \"facing\"",
            "width = \"60 mm\"\nlength = \"700 mm\"",
            &format!("left = \"{left}\"\nfront = \"0 mm\"\nbottom = \"0 mm\""),
        )
    };
    let rail = |name: &str, bottom: &str| {
        part(
            name,
            FACE,
            "width = \"60 mm\"",
            &format!(
                "left = \"30 mm into left stile\"\nright = \"30 mm into right stile\"\nfront = \"0 mm\"\nbottom = \"{bottom}\""
            ),
        )
    };
    let found = assembled(
        &[
            stile("left stile", "0 mm"),
            stile("right stile", "440 mm"),
            rail("bottom rail", "0 mm"),
            rail("top rail", "640 mm"),
            part(
                "panel",
                "grain = \"up\"\nlies = \"facing\"",
                "thickness = \"10 mm\"",
                "left = \"8 mm into left stile\"\nright = \"8 mm into right stile\"\nbottom = \"8 mm into bottom rail\"\ntop = \"8 mm into top rail\"\nfront = \"5 mm\"",
            ),
            "[[joints.mortise_and_tenon]]\npiece = \"bottom rail\"\ninto = [\"left stile\", \"right stile\"]\ntenon_width = \"40 mm\"\n".to_owned(),
            "[[joints.mortise_and_tenon]]\npiece = \"top rail\"\ninto = [\"left stile\", \"right stile\"]\ntenon_width = \"40 mm\"\n".to_owned(),
            "[[joints.frame_and_panel]]\npiece = \"panel\"\ninto = [\"left stile\", \"right stile\", \"bottom rail\", \"top rail\"]\n".to_owned(),
        ]
        .concat(),
    );
    assert!(found.why_none.is_none() && found.fewest_proven, "{found:?}");
    assert!(found.later.is_empty(), "{:?}", found.later);
    let last = found.stages.last().unwrap().moves.last().unwrap();
    assert!(
        last.body.iter().any(|part| part.contains("stile")),
        "{last:?}"
    );
}

/// Tails drop into their pins: front and back go on to the sides the way the tails point, the bottom before the last of them.
#[test]
fn a_dovetailed_box() {
    let found = assembled(
        &[
            part("front", FACE, "width = \"150 mm\"\nlength = \"400 mm\"", "left = \"0 mm\"\nfront = \"0 mm\"\nbottom = \"0 mm\""),
            part("back", FACE, "width = \"150 mm\"\nlength = \"400 mm\"", "left = \"0 mm\"\nfront = \"280 mm\"\nbottom = \"0 mm\""),
            part("left side", "grain = \"back\"\nlies = \"sideways\"", "width = \"150 mm\"", "left = \"0 mm\"\nfront = \"20 mm into front\"\nback = \"20 mm into back\"\nbottom = \"0 mm\""),
            part("right side", "grain = \"back\"\nlies = \"sideways\"", "width = \"150 mm\"", "right = \"400 mm\"\nfront = \"20 mm into front\"\nback = \"20 mm into back\"\nbottom = \"0 mm\""),
            "[[joints.dovetail]]\npiece = \"left side\"\ninto = [\"front\", \"back\"]\n".to_owned(),
            "[[joints.dovetail]]\npiece = \"right side\"\ninto = [\"front\", \"back\"]\n".to_owned(),
        ]
        .concat(),
    );
    assert!(found.why_none.is_none() && found.fewest_proven, "{found:?}");
    for made in found.stages.iter().flat_map(|stage| &stage.moves) {
        assert!(matches!(made.direction, "left" | "right"), "{made:?}");
    }
}

/// The lid slides nowhere: either end comes on along the grain, and only the middle of its tongue is glued.
#[test]
fn a_lid_with_breadboard_ends() {
    let end = |name: &str, left: &str| {
        part(
            name,
            "grain = \"back\"\nlies = \"flat\"",
            "width = \"70 mm\"\nlength = \"450 mm\"",
            &format!("{left}\nfront = \"0 mm\"\nbottom = \"0 mm\""),
        )
    };
    let found = assembled(
        &[
            part(
                "lid",
                "",
                "width = \"450 mm\"",
                "left = \"25 mm into left end\"\nright = \"25 mm into right end\"\nfront = \"0 mm\"\nbottom = \"0 mm\"",
            ),
            end("left end", "left = \"0 mm\""),
            end("right end", "right = \"1000 mm\""),
            "[[joints.breadboard_end]]\npiece = \"lid\"\ninto = [\"left end\", \"right end\"]\npins = \"60 mm, 225 mm, 390 mm\"\n".to_owned(),
        ]
        .concat(),
    );
    assert!(found.why_none.is_none() && found.fewest_proven, "{found:?}");
    let moves: Vec<_> = found.stages.iter().flat_map(|stage| &stage.moves).collect();
    assert_eq!(moves.len(), 2, "{moves:?}");
    for made in moves {
        assert!(matches!(made.direction, "left" | "right"), "{made:?}");
    }
}

/// Three pairs of walls, each doweled square into the next pair in a ring: whatever comes last would have to move two ways at once.
#[test]
fn an_impossible_cube_says_what_locks_it() {
    let wall =
        |name: &str, turned: &str, sizes: &str, places: &str| part(name, turned, sizes, places);
    let sideways = "grain = \"up\"\nlies = \"sideways\"";
    let dowels = |piece: &str, into: &str| {
        format!(
            "[[joints.dowels]]\nname = \"{piece} on {into}\"\npiece = \"{piece}\"\ninto = \"{into}\"\nat = \"60 mm, 180 mm\"\ndiameter = \"8 mm\"\ndepth = \"10 mm\"\n"
        )
    };
    let mut joints = String::new();
    for (pieces, into) in [
        (["bottom", "top"], ["left", "right"]),
        (["left", "right"], ["front", "back"]),
        (["front", "back"], ["bottom", "top"]),
    ] {
        for piece in pieces {
            for into in into {
                joints.push_str(&dowels(piece, into));
            }
        }
    }
    let walls = [
        wall(
            "left",
            sideways,
            "width = \"260 mm\"\nlength = \"300 mm\"",
            "left = \"0 mm\"\nfront = \"20 mm\"\nbottom = \"0 mm\"",
        ),
        wall(
            "right",
            sideways,
            "width = \"260 mm\"\nlength = \"300 mm\"",
            "right = \"300 mm\"\nfront = \"20 mm\"\nbottom = \"0 mm\"",
        ),
        wall(
            "front",
            FACE,
            "width = \"260 mm\"\nlength = \"300 mm\"",
            "left = \"0 mm\"\nfront = \"0 mm\"\nbottom = \"20 mm\"",
        ),
        wall(
            "back",
            FACE,
            "width = \"260 mm\"\nlength = \"300 mm\"",
            "left = \"0 mm\"\nback = \"300 mm\"\nbottom = \"20 mm\"",
        ),
        wall(
            "bottom",
            "lies = \"flat\"",
            "width = \"300 mm\"\nlength = \"260 mm\"",
            "left = \"20 mm\"\nfront = \"0 mm\"\nbottom = \"0 mm\"",
        ),
        wall(
            "top",
            "lies = \"flat\"",
            "width = \"300 mm\"\nlength = \"260 mm\"",
            "left = \"20 mm\"\nfront = \"0 mm\"\ntop = \"300 mm\"",
        ),
    ]
    .concat();
    let text = format!("{HEAD}{walls}{joints}");
    let found = forecast_of(&text);
    let assembly = found.assembly.as_ref().unwrap();
    assert!(assembly.stages.is_empty(), "{:?}", assembly.stages);
    let why = assembly.why_none.clone().unwrap();
    assert!(why.starts_with("no order works: "), "{why}");
    assert!(
        why.contains(" lock one another") && why.contains(" is held toward the "),
        "{why}"
    );
    // Joints are named, and it is said that no change of one of them helps.
    assert!(why.contains(" in "), "{why}");
    assert!(why.contains("no change of one joint frees them"), "{why}");
    let words = heartside::report::full_text(&found);
    assert!(words.contains("no order works"), "{words}");
}

/// One corner of that cube: three walls lock one another; what is said to free them is done, and then they go together.
#[test]
fn what_frees_a_locked_corner_frees_it() {
    let dowels = |piece: &str, into: &str, kind: &str| {
        let keys = if kind == "screwed" {
            "screws = \"60 mm, 180 mm\""
        } else {
            "at = \"60 mm, 180 mm\"\ndiameter = \"8 mm\"\ndepth = \"10 mm\""
        };
        format!(
            "[[joints.{kind}]]\nname = \"{piece} on {into}\"\npiece = \"{piece}\"\ninto = \"{into}\"\n{keys}\n"
        )
    };
    let walls = [
        part(
            "left",
            SIDE,
            "width = \"260 mm\"\nlength = \"300 mm\"",
            "left = \"0 mm\"\nfront = \"20 mm\"\nbottom = \"0 mm\"",
        ),
        part(
            "front",
            FACE,
            "width = \"260 mm\"\nlength = \"300 mm\"",
            "left = \"0 mm\"\nfront = \"0 mm\"\nbottom = \"20 mm\"",
        ),
        part(
            "bottom",
            "lies = \"flat\"",
            "width = \"300 mm\"\nlength = \"260 mm\"",
            "left = \"20 mm\"\nfront = \"0 mm\"\nbottom = \"0 mm\"",
        ),
    ]
    .concat();
    let ring = [("bottom", "left"), ("left", "front"), ("front", "bottom")];
    let with = |changed: Option<(&str, &str)>| {
        let joints: String = ring
            .into_iter()
            .map(|pair| {
                let kind = if changed == Some(pair) {
                    "screwed"
                } else {
                    "dowels"
                };
                dowels(pair.0, pair.1, kind)
            })
            .collect();
        forecast_of(&format!("{HEAD}{walls}{joints}"))
            .assembly
            .unwrap()
    };
    let locked = with(None);
    let why = locked.why_none.unwrap();
    for wall in ["left", "front", "bottom"] {
        assert!(why.contains(wall), "{why}");
    }
    assert!(why.contains("what frees them: "), "{why}");
    // Dowels have no housing that could run out.
    assert!(!why.contains("housing"), "{why}");
    let mut freed = 0;
    for pair in ring {
        let offered = format!(
            "{} in {}: butt it and screw it from outside",
            pair.0, pair.1
        );
        if why.contains(&offered) {
            freed += 1;
            let plan = with(Some(pair));
            assert!(plan.why_none.is_none(), "{:?}", plan.why_none);
            replay(&plan.piece, &plan.stages);
        }
    }
    assert!(freed >= 1, "{why}");
}

/// The built-in job: one answer on glue, doors and drawers by themselves, back boards after the glue.
#[test]
fn the_demo() {
    let forecast = forecast_of(heartside::job::demo());
    let found = forecast.assembly.as_ref().unwrap();
    assert!(found.why_none.is_none() && found.fewest_proven);
    replay(&found.piece, &found.stages);
    assert_eq!(found.groups.len(), 2);
    for group in &found.groups {
        assert!(group.why_none.is_none(), "{group:?}");
        replay(&group.piece, &group.stages);
    }
    let (_, stages) = forecast.standing.glueup.as_ref().unwrap();
    assert_eq!(stages.stages.len(), found.stages.len());
    assert!(found.later.iter().any(|part| part == "back 1"));
    let drawer = found.groups.iter().find(|group| group.group == "drawer");
    assert_eq!(drawer.unwrap().later, ["drawer bottom"]);
}
