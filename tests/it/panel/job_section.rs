//! A panel as the job file gives it.

use heartside::panel::{LeafMatch, LeavesFrom, PanelKeys, PanelPlan};
use heartside::units::spanned::{Placed, Problem, Problems};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    panels: Vec<Placed<PanelKeys>>,
}

fn read(text: &str) -> Result<Vec<PanelPlan>, Vec<Problem>> {
    let file: File = toml::from_str(text).unwrap();
    let mut problems = Problems::new();
    let plans: Vec<Option<PanelPlan>> = file
        .panels
        .iter()
        .map(|panel| panel.get().read(panel.span(), &mut problems))
        .collect();
    if problems.is_empty() {
        Ok(plans.into_iter().flatten().collect())
    } else {
        Err(problems.into_sorted())
    }
}

const TOLD: &str = r#"
[[panels]]
name = "door panel"
part = "door"
match = "bookmatch"
species = "walnut, black"
moisture = "8.5%"
leaves = [
    { leaf = "A1", width = "6in", thickness = "3/8in", length = "36in", bow = "3 mm", pith_depth = "80 mm" },
    { leaf = "A2", width = "6in", thickness = "3/8in", length = "36in", bow = "2 mm", show_face = "sawn", sawn_side = "heart" },
]
"#;

#[test]
fn a_panel_is_read_with_its_leaves() {
    let plan = read(TOLD).unwrap().remove(0);
    assert_eq!(plan.name, "door panel");
    assert_eq!(plan.leaf_match, LeafMatch::Bookmatch);
    assert_eq!(plan.part.as_ref().unwrap().0, "door");
    assert_eq!(plan.best, 3);
    assert_eq!(plan.moisture.unwrap().percent(), 8.5);
    let leaves = plan.leaves().unwrap();
    assert_eq!(leaves.len(), 2);
    assert!(leaves[0].rings.is_some() && leaves[1].rings.is_none());
    assert_eq!(plan.species_named().collect::<Vec<_>>(), ["walnut, black"]);
}

#[test]
fn a_file_of_leaves_is_taken_later() {
    let text =
        "[[panels]]\nname = \"top\"\nmatch = \"random\"\nleaves_file = \"leaves.csv\"\nbest = 5\n";
    let mut plan = read(text).unwrap().remove(0);
    assert!(matches!(&plan.leaves, LeavesFrom::File { path, .. } if path == "leaves.csv"));
    assert!(plan.leaves().is_none());
    plan.take_file("leaf,width_mm,thickness_mm,length_mm,bow_mm\nA1,100,10,900,1\n")
        .unwrap();
    assert_eq!(plan.leaves().unwrap().len(), 1);
    assert!(plan.take_file("leaf\nA1\n").is_err());
}

#[test]
fn every_problem_is_given_at_its_place() {
    let wrong = TOLD
        .replace("bow = \"3 mm\"", "bow = 3")
        .replace(
            "width = \"6in\", thickness = \"3/8in\", length = \"36in\", bow = \"2 mm\"",
            "width = \"6\", thickness = \"3ft\", length = \"36in\", bow = \"2 mm\"",
        )
        .replace("\"bookmatch\"", "\"bookmach\"");
    let problems = read(&wrong).unwrap_err();
    assert_eq!(problems.len(), 4, "{problems:?}");
    assert!(
        problems[0].remedy.contains("bookmatch"),
        "{:?}",
        problems[0]
    );
    assert_eq!(&wrong[problems[1].span.clone()], "3");
    assert_eq!(&wrong[problems[2].span.clone()], "\"6\"");
    assert_eq!(&wrong[problems[3].span.clone()], "\"3ft\"");
}

#[test]
fn leaves_are_checked_against_the_rule() {
    let one = |text: &str| read(text).unwrap_err().remove(0);
    let none = "[[panels]]\nname = \"top\"\nmatch = \"random\"\n";
    assert!(one(none).message.contains("no leaves"));
    let both = TOLD.replace("moisture = \"8.5%\"", "leaves_file = \"x.csv\"");
    assert!(one(&both).message.contains("in a file too"));
    let unlike = TOLD.replace(
        "{ leaf = \"A2\", width = \"6in\", thickness = \"3/8in\"",
        "{ leaf = \"A2\", width = \"6in\", thickness = \"1/2in\"",
    );
    assert!(one(&unlike).message.contains("thick"));
    let many = TOLD.replace("moisture = \"8.5%\"", "best = 99");
    assert!(one(&many).message.contains("99"));
    let stray = TOLD.replace("pith_depth", "pith_offset");
    assert!(one(&stray).message.contains("without its depth"));
}

/// All that a leaf may tell is kept as given, and what a panel names of woods is every wood of it.
#[test]
fn a_leaf_keeps_all_that_it_is_given() {
    use heartside::movement::{Face, Rings};
    use heartside::panel::{EndForward, FaceUp};
    use heartside::units::Length;
    let text = r#"
[[panels]]
name = "lid"
match = "random"
species = "walnut, black"
best = 12
leaves = [
    { leaf = "A1", width = "150 mm", thickness = "9 mm", length = "900 mm", bow = "-3 mm", crook = "1.5 mm", twist = "-2 mm", cup = "0.4 mm", pith_depth = "80 mm", pith_offset = "-15 mm", species = "oak, white", pair = "a", show_face = "back", sawn_side = "heart" },
    { leaf = "A2", width = "140 mm", thickness = "9 mm", length = "900 mm", bow = "2 mm", pair = "a" },
]
"#;
    let plan = read(text).unwrap().remove(0);
    assert_eq!(plan.best, 12);
    let mm = Length::from_mm_unchecked;
    let leaves = plan.leaves().unwrap();
    let one = &leaves[0];
    assert_eq!(
        [one.width, one.thickness, one.length, one.bow],
        [150.0, 9.0, 900.0, -3.0].map(mm)
    );
    assert_eq!([one.crook, one.twist, one.cup], [1.5, -2.0, 0.4].map(mm));
    assert_eq!(
        one.rings,
        Some(Rings::Pith {
            depth: mm(80.0),
            offset: mm(-15.0)
        })
    );
    assert_eq!(one.sawn_side, Some(Face::Heart));
    assert_eq!(one.show_face, Some(FaceUp::Back));
    assert_eq!(one.species.as_deref(), Some("oak, white"));
    assert_eq!(one.pair.as_deref(), Some("a"));
    let other = &leaves[1];
    assert_eq!([other.crook, other.twist, other.cup], [mm(0.0); 3]);
    assert_eq!(
        (other.rings, other.sawn_side, other.show_face),
        (None, None, None)
    );
    assert_eq!(
        plan.species_named().collect::<Vec<_>>(),
        ["walnut, black", "oak, white"]
    );
    assert_eq!(EndForward::BOTH.map(EndForward::word), ["near", "far"]);
    assert_eq!(FaceUp::BOTH.map(FaceUp::word), ["sawn", "back"]);
}
