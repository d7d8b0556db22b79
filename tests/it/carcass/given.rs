//! The sections of a job file: read, answered, and their mistakes named.

use super::mm;
use approx::assert_relative_eq;
use heartside::carcass::keys::{
    GlueKeys, InstallKeys, PartWood, ShelfKeys, StraightenKeys, answer_shelves, answer_straighten,
};
use heartside::carcass::{Caution, Hole};
use heartside::chance::Verdict;
use heartside::joint::{Axis, Motion, PartFacts, PartId, Parts};
use heartside::numerics::Deadline;
use heartside::piece::Piece;
use heartside::species::SpeciesTable;
use heartside::units::Stress;
use heartside::units::spanned::{Placed, Problem, Problems};
use jiff::civil::date;
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Sections {
    #[serde(default)]
    straighten: Vec<Placed<StraightenKeys>>,
    #[serde(default)]
    shelves: Vec<Placed<ShelfKeys>>,
    glue: Option<Placed<GlueKeys>>,
    install: Option<Placed<InstallKeys>>,
}

fn sections(text: &str) -> Sections {
    toml::from_str(text).unwrap()
}

fn parts() -> Vec<PartFacts> {
    let part = |name: &str, length, width, thickness| PartFacts {
        name: name.to_owned(),
        length: mm(length),
        width: mm(width),
        thickness: mm(thickness),
    };
    vec![
        part("top", 900.0, 300.0, 12.0),
        part("bottom", 900.0, 300.0, 12.0),
        part("case side", 700.0, 400.0, 19.0),
        part("shelf", 914.4, 254.0, 19.05),
    ]
}

/// 11 GPa, 1 MPa across the grain.
fn wood(_: PartId) -> PartWood {
    let stress = |mpa| Stress::from_mpa(mpa).unwrap();
    PartWood {
        modulus: stress(11_000.0),
        modulus_across: stress(700.0),
        bending_strength: stress(100.0),
        tension_across: stress(1.0),
        gravity: 0.55,
    }
}

fn mistakes<T>(read: impl FnOnce(&mut Problems) -> Option<T>) -> Vec<Problem> {
    let mut problems = Problems::default();
    assert!(read(&mut problems).is_none());
    problems.into_sorted()
}

const STRAIGHTEN: &str = r#"
[[straighten]]
part = "top"
bow = "6mm"
supports = "0mm, 900mm"
cup = "1mm"
across = "20mm, 150mm, 280mm"
[[straighten.support]]
name = "divider"
at = "450mm"
hold = { glue_length = "300mm", glue_width = "1mm" }
"#;

#[test]
fn a_panel_is_read_and_held() {
    let given = sections(STRAIGHTEN);
    let mut problems = Problems::default();
    let one = &given.straighten[0];
    let plan = one
        .get()
        .read(one.span(), &Parts::new(&parts()), &mut problems)
        .unwrap();
    assert!(problems.is_empty());
    let found = answer_straighten(&[plan], &parts(), wood, Deadline::NEVER)
        .remove(0)
        .unwrap();
    assert_eq!(found.part, PartId(0));
    let divider = found
        .held
        .supports
        .iter()
        .find(|s| s.name.as_deref() == Some("divider"))
        .unwrap();
    assert_relative_eq!(divider.against_crown.newtons(), 187.733, epsilon = 1e-3);
    // It stands below a crown that is up, so its glue is pulled: 187.7 of 300 N.
    assert_eq!(divider.joint.unwrap().verdict, Verdict::Marginal);
    assert_eq!(found.closing.len(), 1);
    assert!(found.best.unwrap().dividers[0].mm() > 440.0);
    assert_eq!(found.across.unwrap().supports.len(), 3);
    assert_relative_eq!(found.strength.mpa(), 100.0);
}

const TIED: &str = r#"
[[straighten]]
part = "bottom"
bow = "6mm"
supports = "0mm, 900mm"
[[straighten.divider]]
at = "450mm"
to = "top"
hold = { screws = 2, screw = "4mm", threaded = "25mm" }
[[straighten]]
part = "top"
bow = "6mm"
crown = "down"
supports = "0mm, 900mm"
"#;

#[test]
fn panels_tied_by_a_divider_are_one_system() {
    let given = sections(TIED);
    let mut problems = Problems::default();
    let plans: Vec<_> = given
        .straighten
        .iter()
        .map(|one| {
            one.get()
                .read(one.span(), &Parts::new(&parts()), &mut problems)
                .unwrap()
        })
        .collect();
    let found = answer_straighten(&plans, &parts(), wood, Deadline::NEVER);
    // Crowns facing each other: each presses on the divider as on a rigid one.
    let divider = &found[0].as_ref().unwrap().dividers[0];
    assert_relative_eq!(divider.push.newtons(), 187.733, epsilon = 1e-3);
    assert_eq!(divider.joints[0].unwrap().share, 0.0);
    assert!(found[1].as_ref().unwrap().dividers.is_empty());
    assert_relative_eq!(
        found[1].as_ref().unwrap().held.leftover.mm(),
        0.4444,
        epsilon = 1e-3
    );
}

#[test]
fn every_mistake_about_a_panel_is_named() {
    let given = sections(
        r#"
[[straighten]]
part = "lid"
bow = "6"
stiffness = "0 MPa"
[[straighten.support]]
at = "450mm"
grip = "push up"
hold = { screws = 2 }
"#,
    );
    let one = &given.straighten[0];
    let list = mistakes(|problems| one.get().read(one.span(), &Parts::new(&parts()), problems));
    let all: String = list
        .iter()
        .map(|p| format!("{} | {}\n", p.message, p.remedy))
        .collect();
    assert_eq!(list.len(), 5, "{all}");
    for words in [
        "no part is named `lid`",
        "the unit is missing",
        "stiffness 0 MPa is outside",
        "push up",
        "neither wholly as a glue line nor wholly as screws",
    ] {
        assert!(all.contains(words), "{words} in\n{all}");
    }
    let off = sections("[[straighten]]\npart = \"top\"\nbow = \"6mm\"\nsupports = \"0mm, 901mm\"");
    let one = &off.straighten[0];
    let list = mistakes(|problems| one.get().read(one.span(), &Parts::new(&parts()), problems));
    assert!(list[0].message.contains("off the part"));
}

#[test]
fn shelves_are_read_and_loaded() {
    let given = sections(
        r#"
[[shelves]]
part = "shelf"
load = "25lb/ft"
stiffness = "1.8Mpsi"
own_weight = false
allowed = "span/400"
"#,
    );
    let mut problems = Problems::default();
    let one = &given.shelves[0];
    let plan = one
        .get()
        .read(one.span(), &Parts::new(&parts()), &mut problems)
        .unwrap();
    let found = answer_shelves(&[plan], &parts(), wood).remove(0).unwrap();
    assert_relative_eq!(found.loaded.sag.inches(), 0.0720, epsilon = 5e-5);
    assert!(!found.keeps);
    assert!(found.min_thickness.unwrap() > mm(19.05));
    assert_relative_eq!(found.allowed.mm(), 914.4 / 400.0);

    let wrong = sections(
        r#"
[[shelves]]
part = "shelf"
own_weight = false
ends = "nailed"
allowed = "span/0"
loads = [{ from = "1in", force = "3lb" }]
lipping = [{ width = "20mm", height = "0mm" }]
"#,
    );
    let one = &wrong.shelves[0];
    let list = problems_of(one);
    let all: String = list
        .iter()
        .map(|p| format!("{} | {}\n", p.message, p.remedy))
        .collect();
    assert_eq!(list.len(), 4, "{all}");
    for words in [
        "nailed",
        "divided by 1 to 10000",
        "neither as from, to and load",
        "thickness 0 mm",
    ] {
        assert!(all.contains(words), "{words} in\n{all}");
    }
}

fn problems_of(one: &Placed<ShelfKeys>) -> Vec<Problem> {
    mistakes(|problems| one.get().read(one.span(), &Parts::new(&parts()), problems))
}

const GLUE: &str = r#"
[glue]
kind = "yellow PVA"
temperature = "68F"
spread = "45s"
close = "0s"
per_clamp = "0s"
margin = "0%"
[[glue.joints]]
piece = "shelf 1"
into = "case side left"
[[glue.joints]]
piece = "shelf 1"
into = "case side right"
[[glue.joints]]
piece = "shelf 2"
into = "case side left"
[[glue.joints]]
piece = "shelf 2"
into = "case side right"
spread = "2 min"
[[glue.trapped]]
piece = "shelf 2"
between = "case side left, case side right"
"#;

#[test]
fn a_glue_up_is_read_and_staged() {
    let given = sections(GLUE);
    let glue = given.glue.unwrap();
    let mut problems = Problems::default();
    let plan = glue
        .get()
        .read(
            glue.span(),
            &Parts::new(&parts()),
            &Piece::EMPTY,
            &mut problems,
        )
        .unwrap();
    assert_eq!(plan.piece.parts.len(), 4);
    // 5 min: 3 x 45 s + 120 s fit one stage.
    let stages = plan.answer().unwrap();
    assert_eq!(stages.stages.len(), 1);
    assert_relative_eq!(stages.stages[0].takes.seconds(), 255.0);
    let pictures = heartside::carcass::stage_pictures(&plan.piece, &plan.terms, &stages);
    assert_eq!(pictures[0].bodies[0].len(), 4);
    assert_eq!(pictures[0].new_joints[3].1.seconds(), 120.0);

    let wrong = sections(
        r#"
[glue]
hands = 0
margin = "95%"
[[glue.joints]]
piece = "shelve"
into = "top"
[[glue.joints]]
piece = "top"
into = "top"
[[glue.trapped]]
piece = "bottom"
between = "top, shelf"
"#,
    );
    let glue = wrong.glue.unwrap();
    let list = problems_in(&glue);
    let all: String = list
        .iter()
        .map(|p| format!("{} | {}\n", p.message, p.remedy))
        .collect();
    for words in [
        "0 is outside 1 to 20",
        "95% is outside",
        "no part is named `shelve`",
        "did you mean `shelf`",
        "joined to itself",
        "no joint names `bottom`",
        "gives neither the glue nor its open time",
    ] {
        assert!(all.contains(words), "{words} in\n{all}");
    }
}

fn problems_in(glue: &Placed<GlueKeys>) -> Vec<Problem> {
    mistakes(|problems| {
        glue.get()
            .read(glue.span(), &Parts::new(&parts()), &Piece::EMPTY, problems)
    })
}

const INSTALL: &str = r#"
[install]
height = "34in"
length = "900mm"
depth = "400mm"
[install.floor]
drop_right = "8mm"
drop_back = "-3mm"
[install.walls]
widths = "912mm, 910mm"
part = "top"
[[install.fastenings]]
part = "top"
fixed = "back"
at = "20mm, 290mm"
screw = "5mm"
[install.overhang]
top = "top"
case = "case side"
fixed = "back"
front = "20mm"
"#;

#[test]
fn an_installation_is_read_and_answered() {
    let given = sections(INSTALL);
    let install = given.install.unwrap();
    let mut problems = Problems::default();
    let plan = install
        .get()
        .read(install.span(), &Parts::new(&parts()), &mut problems)
        .unwrap();
    let mut motion = Motion::still(4, 3);
    motion
        .ratios_mut(PartId(0), Axis::Width)
        .copy_from_slice(&[1.0, 0.99, 1.005]);
    let found = plan
        .answer(&parts(), &motion, &[], date(2026, 11, 20))
        .unwrap();
    let shims = found
        .levelled
        .unwrap()
        .corners
        .map(|corner| corner.shim.mm());
    assert_eq!(shims, [3.0, 11.0, 0.0, 8.0]);
    assert_relative_eq!(found.walls.unwrap().left.mm(), 5.0);
    assert_relative_eq!(
        found.overhang.unwrap().front.driest.mm(),
        20.0,
        epsilon = 1e-9
    );
    assert!(found.cautions.contains(&Caution::AntiTip));
    let marks = &found.fastened[0].marks;
    assert_eq!(marks[1].hole, Hole::Round);
    let Hole::Slot { travel, screw, .. } = marks[0].hole else {
        panic!("a slot");
    };
    assert_relative_eq!(travel.mm(), 280.0 * 0.015, epsilon = 1e-9);
    assert_relative_eq!(screw.today.mm(), 3.5 + 2.8, epsilon = 1e-9);

    let wrong = sections(
        &INSTALL
            .replace("\"20mm, 290mm\"", "\"20mm, 310mm\"")
            .replace("fixed = \"back\"\nat", "fixed = \"rear\"\nat"),
    );
    let install = wrong.install.unwrap();
    let list = mistakes(|problems| {
        install
            .get()
            .read(install.span(), &Parts::new(&parts()), problems)
    });
    assert_eq!(list.len(), 2);
    assert!(
        list.iter()
            .any(|p| p.message.contains("a screw at 310.0 mm is off the part"))
    );
}

/// Wood Handbook table 5-3: black walnut 11 600 MPa, modulus of rupture 101 MPa at 12 %.
#[test]
fn a_wood_lends_its_middle_values() {
    let wood = PartWood::of(SpeciesTable::built_in().find("walnut, black").unwrap());
    assert_relative_eq!(wood.modulus.mpa(), 11_600.0, max_relative = 0.01);
    assert_relative_eq!(wood.bending_strength.mpa(), 101.0, max_relative = 0.01);
    // Specific gravity 0.51 green, 0.55 at 12 %.
    assert_relative_eq!(wood.gravity, 0.55, epsilon = 0.01);
    assert!(wood.tension_across.mpa() > 1.0);
    assert!(wood.modulus_across.mpa() > 100.0);
}

/// The one problem of a text's sections: the place it points at, what is wrong and what to do.
#[track_caller]
fn refused(text: &str, place: &str, what: &str, remedy: &str) {
    let given = sections(text);
    let mut problems = Problems::default();
    let parts = parts();
    for one in &given.straighten {
        let _read = one
            .get()
            .read(one.span(), &Parts::new(&parts), &mut problems);
    }
    for one in &given.shelves {
        let _read = one
            .get()
            .read(one.span(), &Parts::new(&parts), &mut problems);
    }
    if let Some(one) = &given.glue {
        let _read = one.get().read(
            one.span(),
            &Parts::new(&parts),
            &Piece::EMPTY,
            &mut problems,
        );
    }
    if let Some(one) = &given.install {
        let _read = one
            .get()
            .read(one.span(), &Parts::new(&parts), &mut problems);
    }
    let list = problems.into_sorted();
    assert_eq!(list.len(), 1, "{list:#?}");
    let problem = &list[0];
    let at = &text[problem.span.clone()];
    assert!(at.contains(place), "the place is `{at}`, not `{place}`");
    assert!(
        problem.message.contains(what),
        "`{what}` is not in: {}",
        problem.message
    );
    assert!(
        problem.remedy.contains(remedy),
        "`{remedy}` is not in: {}",
        problem.remedy
    );
}

#[test]
fn every_mistake_about_a_section_points_at_its_place_and_tells_the_remedy() {
    let straighten =
        |rest: &str| format!("[[straighten]]\npart = \"top\"\nbow = \"6mm\"\n{rest}\n");
    let held = |hold: &str| {
        straighten(&format!(
            "supports = \"0mm, 900mm\"\n[[straighten.support]]\nat = \"450mm\"\nhold = {{ {hold} }}"
        ))
    };
    let shelves = |rest: &str| format!("[[shelves]]\npart = \"shelf\"\n{rest}\n");
    let glue = |rest: &str| format!("[glue]\nkind = \"yellow PVA\"\n{rest}\n");
    let joint = "[[glue.joints]]\npiece = \"shelf 1\"\ninto = \"case side left\"\n";
    let rows: [(String, &str, &str, &str); 27] = [
        (
            straighten("cup = \"1mm\""),
            "straighten",
            "only one of the two is given",
            "both cup and across",
        ),
        (
            straighten("across = \"20mm\""),
            "straighten",
            "only one of the two is given",
            "or neither",
        ),
        (
            straighten("supports = \"-1mm, 900mm\""),
            "straighten",
            "a support at -1.0 mm is off the part, which is 900.0 mm",
            "reference end",
        ),
        (
            straighten("supports = \"0mm, 900.1mm\""),
            "straighten",
            "a support at 900.1 mm",
            "reference end",
        ),
        (
            straighten("stiffness = \"0.05 MPa\""),
            "0.05 MPa",
            "stiffness 0.05 MPa is outside",
            "a stiffness such as",
        ),
        (
            held("screws = 0, screw = \"4mm\", threaded = \"25mm\""),
            "0",
            "0 screws are not a joint",
            "1 to 1000 screws",
        ),
        (
            held("screws = 1001, screw = \"4mm\", threaded = \"25mm\""),
            "1001",
            "1001 screws",
            "1 to 1000 screws",
        ),
        (
            held("screws = 2, screw = \"4mm\""),
            "support",
            "neither wholly as a glue line nor wholly as screws",
            "screws, screw and threaded",
        ),
        (
            held("glue_length = \"40mm\""),
            "support",
            "neither wholly as a glue line",
            "glue_length and glue_width",
        ),
        (
            held(
                "glue_length = \"40mm\", glue_width = \"5mm\", screws = 2, screw = \"4mm\", threaded = \"25mm\"",
            ),
            "support",
            "neither wholly as a glue line",
            "glue_length and glue_width",
        ),
        (
            shelves("own_weight = false"),
            "shelves",
            "the shelf carries nothing",
            "load = \"25lb/ft\"",
        ),
        (
            shelves("loads = [{ at = \"1in\" }]"),
            "1in",
            "neither as from, to and load nor as at and force",
            "at and force for one place",
        ),
        (
            shelves("loads = [{ from = \"1in\", to = \"9in\", load = \"2lb/ft\", at = \"3in\" }]"),
            "9in",
            "neither as from, to and load",
            "for a part of the shelf",
        ),
        (
            shelves("allowed = \"span/10001\""),
            "span/10001",
            "divided by 1 to 10000",
            "span/240",
        ),
        (
            shelves("allowed = \"0 mm\""),
            "0 mm",
            "not above zero",
            "span/240",
        ),
        (
            shelves("allowed = \"a little\""),
            "a little",
            "a little",
            "write a length, or the span over a number",
        ),
        (glue(""), "glue", "no joints to plan", "[[glue.joints]]"),
        (
            format!("[glue]\n{joint}"),
            "glue",
            "neither the glue nor its open time",
            "open_time = \"8 min\"",
        ),
        (
            glue(&format!("hands = 21\n{joint}")),
            "21",
            "21 is outside 1 to 20",
            "inside that range",
        ),
        (
            glue(&format!("clamps = 0\n{joint}")),
            "0",
            "0 is outside 1 to 100000",
            "inside that range",
        ),
        (
            glue(&format!("margin = \"91%\"\n{joint}")),
            "91%",
            "a reserve of 91% is outside 0% to 90%",
            "such as \"20%\"",
        ),
        (
            glue(&format!("{joint}clamps = 1001")),
            "1001",
            "1001 is outside 0 to 1000",
            "inside that range",
        ),
        (
            glue("[[glue.joints]]\npiece = \"zzz\"\ninto = \"top\""),
            "zzz",
            "no part is named `zzz`",
            "one of several alike as its name and one more word",
        ),
        (
            glue("[[glue.joints]]\npiece = \"shelf 1\"\ninto = \"shelf 1\""),
            "shelf 1",
            "`shelf 1` is joined to itself",
            "such as \"shelf 2\"",
        ),
        (
            glue(&format!(
                "{joint}[[glue.trapped]]\npiece = \"shelf 1\"\nbetween = \"case side left, case side left\""
            )),
            "case side left, case side left",
            "trapped between two others or more",
            "at least two other pieces",
        ),
        (
            glue(&format!(
                "{joint}[[glue.trapped]]\npiece = \"shelf 1\"\nbetween = \"case side left, shelf 1\""
            )),
            "case side left, shelf 1",
            "trapped between two others or more",
            "at least two other pieces",
        ),
        (
            glue(&format!(
                "{joint}[[glue.trapped]]\npiece = \"shelf 2\"\nbetween = \"case side left, shelf 1\""
            )),
            "shelf 2",
            "no joint names `shelf 2`",
            "did you mean `shelf 1`?",
        ),
    ];
    for (text, place, what, remedy) in &rows {
        refused(text, place, what, remedy);
    }
    refused(
        &INSTALL.replace("\"20mm, 290mm\"", "\"-1mm, 290mm\""),
        "-1mm",
        "a screw at -1.0 mm is off the part, which is 300.0 mm wide",
        "measure from its front edge",
    );
}

/// A shelf as given is the shelf that the room loads: part loads and single ones, lippings, ends that are housed or fixed, supports it only
/// lies on, a divider up to the next.
#[test]
fn a_shelf_is_loaded_as_it_is_given() {
    use heartside::carcass::{
        Bearing, Divider, Lipping, Shelf, ShelfBoard, ShelfLoad, ShelfSupport, Turning,
        load_together,
    };
    use heartside::units::{Force, Length, LineLoad};
    let given = sections(
        r#"
[[shelves]]
part = "shelf"
supports = "900mm, 10mm, 500mm"
ends = "housed"
housed_share = "40%"
loads = [
    { from = "100mm", to = "300mm", load = "0.5N/mm" },
    { at = "700mm", force = "60N" },
]
lipping = [{ width = "20mm", height = "38mm", below_top = "2mm", stiffness = "14GPa" }]
divider = [{ at = "250mm", to = "top", fastened = false }]
allowed = "3mm"
[[shelves]]
part = "top"
ends = "fixed"
loose = true
load = "0.2N/mm"
own_weight = false
"#,
    );
    let parts = parts();
    let mut problems = Problems::default();
    let plans: Vec<_> = given
        .shelves
        .iter()
        .map(|one| {
            one.get()
                .read(one.span(), &Parts::new(&parts), &mut problems)
                .unwrap()
        })
        .collect();
    let pa = |gpa: f64| Stress::from_mpa(1000.0 * gpa).unwrap();
    let load = |value: f64| LineLoad::from_newtons_per_mm(value).unwrap();
    let support = |at: f64, turning, bearing| ShelfSupport {
        turning,
        bearing,
        ..ShelfSupport::at(mm(at))
    };
    let lower = Shelf {
        board: ShelfBoard::new(mm(254.0), mm(19.05), pa(11.0))
            .unwrap()
            .with_lipping(Lipping {
                width: mm(20.0),
                height: mm(38.0),
                below_top: mm(2.0),
                modulus: pa(14.0),
            })
            .unwrap()
            // As it hangs, with 9 % of water.
            .with_own_weight(0.55 * 1.09)
            .unwrap(),
        length: mm(914.4),
        supports: vec![
            support(10.0, Turning::Housed(0.4), Bearing::BothWays),
            support(500.0, Turning::Free, Bearing::BothWays),
            support(900.0, Turning::Housed(0.4), Bearing::BothWays),
        ],
        loads: vec![
            ShelfLoad::Partial {
                from: mm(100.0),
                to: mm(300.0),
                load: load(0.5),
            },
            ShelfLoad::Point {
                at: mm(700.0),
                force: Force::from_newtons(60.0).unwrap(),
            },
        ],
        lasts: heartside::carcass::LoadLasts::Permanent,
    };
    let upper = Shelf {
        board: ShelfBoard::new(mm(300.0), mm(12.0), pa(11.0)).unwrap(),
        length: mm(900.0),
        supports: vec![
            support(0.0, Turning::Fixed, Bearing::CarriesOnly),
            support(900.0, Turning::Fixed, Bearing::CarriesOnly),
        ],
        loads: vec![ShelfLoad::Even(load(0.2))],
        lasts: heartside::carcass::LoadLasts::Permanent,
    };
    let divider = Divider {
        push_only: true,
        ..Divider::between(0, 1, mm(250.0))
    };
    let by_hand = load_together(&[lower, upper], &[divider]).unwrap();
    let found = answer_shelves(&plans, &parts, wood);
    for (found, by_hand) in found.iter().zip(&by_hand.shelves) {
        let found = found.as_ref().unwrap();
        assert_eq!(found.loaded.sag, by_hand.sag);
        assert_eq!(found.loaded.load, by_hand.load);
        assert_eq!(found.loaded.reactions, by_hand.reactions);
        // What is tied is not thinned alone.
        assert_eq!(found.min_thickness, None);
    }
    let first = found[0].as_ref().unwrap();
    assert_eq!(first.dividers, by_hand.dividers);
    assert!(first.dividers[0].push.newtons() > 0.0);
    assert_eq!(first.allowed, mm(3.0));
    assert!(first.keeps && first.loaded.sag > Length::ZERO);
    let loaded = heartside::carcass::keys::load_parts(&plans, &parts, &wood).unwrap();
    assert_eq!(loaded[1].sag, by_hand.shelves[1].sag);
}

/// One shelf that cannot be answered does not hide another; one tied to a shelf that is not given is refused.
#[test]
fn a_shelf_that_fails_hides_no_other() {
    let given = sections(
        r#"
[[shelves]]
part = "shelf"
load = "0.2N/mm"
divider = [{ at = "250mm", to = "bottom" }]
[[shelves]]
part = "top"
load = "0.2N/mm"
"#,
    );
    let parts = parts();
    let mut problems = Problems::default();
    let plans: Vec<_> = given
        .shelves
        .iter()
        .map(|one| {
            one.get()
                .read(one.span(), &Parts::new(&parts), &mut problems)
                .unwrap()
        })
        .collect();
    let found = answer_shelves(&plans, &parts, wood);
    let words = found[0].as_ref().unwrap_err().to_string();
    assert!(
        words.contains("part number 1") && words.contains("the 2 given"),
        "{words}"
    );
    assert!(found[1].is_ok());
    assert!(heartside::carcass::keys::load_parts(&plans, &parts, &wood).is_none());
}
