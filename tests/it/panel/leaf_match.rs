//! The rules of the figures and the words for leaves that cannot keep them.

use super::{laid, leaf, mm, panel};
use heartside::panel::{
    EndForward, FaceUp, Layout, Leaf, LeafMatch, MoistureChange, Panel, Weights,
};
use heartside::units::Refusal;

fn four() -> Vec<Leaf> {
    ["A1", "A2", "B1", "B2"]
        .map(|name| leaf(name, 100.0, 2.0))
        .to_vec()
}

fn error(leaves: Vec<Leaf>, leaf_match: LeafMatch) -> Refusal {
    Panel::new(
        leaves,
        leaf_match,
        MoistureChange::default(),
        Weights::default(),
    )
    .unwrap_err()
}

#[test]
fn a_bookmatch_shows_one_face_with_one_end_forward() {
    let panel = panel(four(), LeafMatch::Bookmatch);
    use EndForward::{Far, Near};
    use FaceUp::{Back, Sawn};
    let keeps = |leaves: &[(usize, FaceUp, EndForward)]| {
        panel.keeps_rule(&Layout {
            rows: vec![leaves.iter().map(|&(l, f, e)| laid(l, f, e)).collect()],
        })
    };
    assert!(keeps(&[
        (0, Sawn, Near),
        (1, Sawn, Near),
        (2, Sawn, Near),
        (3, Sawn, Near)
    ]));
    assert!(keeps(&[
        (3, Sawn, Far),
        (2, Sawn, Far),
        (0, Sawn, Near),
        (1, Sawn, Near)
    ]));
    // A back up, unlike ends, a pair torn apart, a leaf missing.
    assert!(!keeps(&[
        (0, Sawn, Near),
        (1, Back, Near),
        (2, Sawn, Near),
        (3, Sawn, Near)
    ]));
    assert!(!keeps(&[
        (0, Sawn, Near),
        (1, Sawn, Far),
        (2, Sawn, Near),
        (3, Sawn, Near)
    ]));
    assert!(!keeps(&[
        (0, Sawn, Near),
        (2, Sawn, Near),
        (1, Sawn, Near),
        (3, Sawn, Near)
    ]));
    assert!(!keeps(&[(0, Sawn, Near), (1, Sawn, Near)]));
}

#[test]
fn a_slip_match_shows_unlike_faces_and_a_four_way_mirrors_both_ways() {
    let best = panel(four(), LeafMatch::SlipMatch).best(1);
    for pair in best.layouts[0].layout.rows[0].chunks(2) {
        assert_ne!(pair[0].face_up, pair[1].face_up);
        assert_eq!(pair[0].end_forward, pair[1].end_forward);
        assert_eq!(pair[0].leaf / 2, pair[1].leaf / 2);
    }
    let best = panel(four(), LeafMatch::FourWay).best(1);
    let rows = &best.layouts[0].layout.rows;
    assert_eq!(rows.len(), 2);
    // The first of one pair lies before the second of the other, turned end for end.
    for (forward, behind) in rows[0].iter().zip(&rows[1]) {
        assert_ne!(forward.leaf % 2, behind.leaf % 2);
        assert_ne!(forward.leaf / 2, behind.leaf / 2);
        assert_ne!(forward.end_forward, behind.end_forward);
        assert_eq!(forward.face_up, behind.face_up);
    }
    assert!(best.first_is_proven);
}

/// Of a four-way match each half bows by its own pair.
#[test]
fn a_four_way_match_is_two_panels() {
    let mut leaves = four();
    leaves[2].bow = mm(1.0);
    leaves[3].bow = mm(-1.0);
    let shape = panel(leaves, LeafMatch::FourWay).best(1).layouts.remove(0);
    let mut bows: Vec<f64> = shape.rows.iter().map(|row| row.bow.mm()).collect();
    bows.sort_by(f64::total_cmp);
    assert_eq!(bows, [0.0, 2.0]);
    assert_eq!(shape.bow.mm(), 2.0);
    assert_eq!(shape.butt_misfit, Some(mm(0.0)));
    assert!(shape.adds_bows);
}

/// Where two rows meet end to end their faces step by what their own cups differ: two leaves whose cups rise by `c` make one arc
/// of `4 c` (a pair of double width, the rise with the width squared) beside a row that is flat, wherever its seam is.
#[test]
fn rows_meet_with_the_step_of_their_cups() {
    for (one, other) in [(150.0, 150.0), (110.0, 190.0), (225.0, 75.0)] {
        let mut leaves = four();
        (leaves[0].width, leaves[1].width) = (mm(one), mm(other));
        (leaves[2].width, leaves[3].width) = (mm(150.0), mm(150.0));
        (leaves[2].cup, leaves[3].cup) = (mm(0.2), mm(0.2));
        let shape = panel(leaves, LeafMatch::FourWay).best(1).layouts.remove(0);
        let step = shape.butt_misfit.unwrap().mm();
        assert!((step - 0.8).abs() < 0.02, "{one} and {other}: {step}");
    }
}

#[test]
fn show_faces_are_respected() {
    let mut leaves = four();
    leaves[0].show_face = Some(FaceUp::Back);
    let best = panel(leaves.clone(), LeafMatch::SlipMatch).best(3);
    for shape in &best.layouts {
        let of = |leaf| {
            shape
                .layout
                .leaves()
                .find(|p| p.leaf == leaf)
                .unwrap()
                .face_up
        };
        assert_eq!((of(0), of(1)), (FaceUp::Back, FaceUp::Sawn));
    }
    // A pair that shows its backs is still a bookmatch, its bows turned.
    let book = panel(leaves.clone(), LeafMatch::Bookmatch).best(1);
    assert!(
        book.layouts[0].bow.mm().abs() < 1e-9,
        "one pair hollow, one round"
    );
    leaves[1].show_face = Some(FaceUp::Sawn);
    assert!(
        error(leaves.clone(), LeafMatch::Bookmatch)
            .message()
            .contains("cannot both be up")
    );
    leaves[1].show_face = Some(FaceUp::Back);
    let words = error(leaves, LeafMatch::SlipMatch).to_string();
    assert!(
        words.contains("`A1` and `A2`") && words.contains("bookmatch them"),
        "{words}"
    );
}

#[test]
fn pairs_follow_their_labels() {
    let mut leaves = four();
    for (leaf, pair) in leaves.iter_mut().zip(["x", "y", "x", "y"]) {
        leaf.pair = Some(pair.to_owned());
    }
    let best = panel(leaves.clone(), LeafMatch::Bookmatch).best(1);
    let order: Vec<usize> = best.layouts[0].layout.leaves().map(|p| p.leaf).collect();
    assert_eq!(order[0] % 2, order[1] % 2);
    leaves[3].pair = Some("z".to_owned());
    let words = error(leaves.clone(), LeafMatch::Bookmatch).to_string();
    assert_eq!(
        words,
        "pair `y` has one leaf (`A2`), not two; write one label on exactly two leaves"
    );
    leaves[3].pair = None;
    assert!(
        error(leaves, LeafMatch::Bookmatch)
            .to_string()
            .contains("leaf `B2` has no pair")
    );
}

#[test]
fn leaves_that_cannot_make_the_panel_are_named() {
    let words = |leaves, leaf_match| error(leaves, leaf_match).to_string();
    assert_eq!(
        words(four()[..3].to_vec(), LeafMatch::Bookmatch),
        "a bookmatch needs pairs, and of 3 leaves `B1` has no partner; add the partner of `B1`, take `B1` out, or match with `random`"
    );
    let mut six = four();
    six.extend(["C1", "C2"].map(|name| leaf(name, 100.0, 2.0)));
    assert!(words(six, LeafMatch::FourWay).contains("the pair `C1` and `C2` is left over"));
    let mut thick = four();
    thick[3].thickness = mm(11.5);
    let said = words(thick.clone(), LeafMatch::SlipMatch);
    assert!(
        said.contains("the pair `B1` and `B2` is 10 mm and 11.5 mm thick")
            && said.contains("plane both to one thickness, 10 mm here"),
        "{said}"
    );
    assert!(
        Panel::new(
            thick,
            LeafMatch::Random,
            MoistureChange::default(),
            Weights::default()
        )
        .is_ok()
    );
    let mut long = four();
    long[2].length = mm(950.0);
    let said = words(long, LeafMatch::Random);
    assert!(
        said.contains("leaf `B1` is 950 mm long") && said.contains("900 mm here"),
        "{said}"
    );
    assert!(
        error(Vec::new(), LeafMatch::Random)
            .message()
            .contains("no leaf to lay")
    );
    let mut twice = four();
    twice[1].name = "A1".to_owned();
    assert!(words(twice, LeafMatch::Random).contains("two leaves are called `A1`"));
    let mut crooked = four();
    crooked[1].crook = mm(100.0);
    assert!(words(crooked, LeafMatch::Random).contains("leaves nothing"));
    let mut thin = four();
    thin[1].thickness = mm(0.0);
    assert!(words(thin, LeafMatch::Random).contains("leaf `A2`: thickness"));
}

/// What every figure makes of all the show faces that two or four leaves may be given: a bookmatch and a four-way match show the one
/// face that was given, the marked one where none was, and are refused, by the names of the first two that disagree, where both were; a
/// slip-match shows unlike faces of a pair.
#[test]
fn every_choice_of_show_faces_is_kept_or_refused() {
    let given = [None, Some(FaceUp::Sawn), Some(FaceUp::Back)];
    for choice in 0..81_usize {
        let faces: Vec<Option<FaceUp>> = (0..4)
            .map(|leaf| given[choice / 3_usize.pow(leaf) % 3])
            .collect();
        let mut leaves = four();
        for (leaf, face) in leaves.iter_mut().zip(&faces) {
            leaf.show_face = *face;
        }
        let panel = |leaves: &[Leaf], leaf_match| {
            Panel::new(
                leaves.to_vec(),
                leaf_match,
                MoistureChange::default(),
                Weights::default(),
            )
        };
        for (leaves, leaf_match) in [
            (&leaves[..2], LeafMatch::Bookmatch),
            (&leaves[..2], LeafMatch::SlipMatch),
            (&leaves[..], LeafMatch::FourWay),
        ] {
            let faces = &faces[..leaves.len()];
            let first = faces.iter().position(Option::is_some);
            let slips = leaf_match == LeafMatch::SlipMatch;
            let clash = first.and_then(|first| {
                let other = faces.iter().skip(first + 1).position(|face| {
                    face.is_some_and(|face| (Some(face) != faces[first]) != slips)
                })?;
                Some((
                    leaves[first].name.clone(),
                    leaves[first + 1 + other].name.clone(),
                ))
            });
            match (panel(leaves, leaf_match), clash) {
                (Ok(panel), None) => {
                    let best = panel.best(1);
                    for placed in best.layouts[0].layout.leaves() {
                        let shown = match first {
                            None if slips => None,
                            None => Some(FaceUp::Sawn),
                            Some(first) if slips && placed.leaf != first => {
                                faces[first].map(FaceUp::turned)
                            }
                            Some(first) => faces[first],
                        };
                        assert!(shown.is_none_or(|face| face == placed.face_up), "{faces:?}");
                    }
                }
                (Err(clash), Some((first, second))) => {
                    let words =
                        format!("`{first}` and `{second}` cannot both be up in a {leaf_match}");
                    assert!(clash.message().contains(&words), "{clash}");
                }
                (found, clash) => panic!("{leaf_match} of {faces:?}: {found:?} and {clash:?}"),
            }
        }
    }
}

/// Every error of a list of leaves: the leaf by its name, its figures, and what to do.
#[test]
fn every_error_names_its_leaves_and_its_remedy() {
    let pair = |label: &str, leaf: &Leaf| Leaf {
        pair: Some(label.to_owned()),
        ..leaf.clone()
    };
    let all = four();
    let mut thrice: Vec<Leaf> = all[..3].iter().map(|leaf| pair("x", leaf)).collect();
    thrice.push(pair("y", &all[3]));
    let mut half = all.clone();
    half[0] = pair("x", &half[0]);
    let changed = |at: usize, change: &dyn Fn(&mut Leaf)| {
        let mut leaves = four();
        change(&mut leaves[at]);
        leaves
    };
    let shows = |leaf_match, faces: [FaceUp; 2]| {
        let mut leaves = four()[..2].to_vec();
        for (leaf, face) in leaves.iter_mut().zip(faces) {
            leaf.show_face = Some(face);
        }
        error(leaves, leaf_match)
    };
    let table: [(Refusal, &[&str], &str); 13] = [
        (
            error(Vec::new(), LeafMatch::Random),
            &["no leaf"],
            "at least one leaf",
        ),
        (
            error(
                changed(2, &|leaf| leaf.name = "A1".to_owned()),
                LeafMatch::Random,
            ),
            &["two leaves are called `A1`"],
            "its own name",
        ),
        (
            error(
                changed(1, &|leaf| leaf.thickness = mm(501.0)),
                LeafMatch::Random,
            ),
            &["leaf `A2`", "thickness 501 mm is outside"],
            "measure that size again",
        ),
        (
            error(
                changed(1, &|leaf| leaf.crook = mm(-100.0)),
                LeafMatch::Random,
            ),
            &["leaf `A2`", "100 mm out of a width of 100 mm"],
            "cut `A2` shorter",
        ),
        (
            error(
                changed(3, &|leaf| leaf.length = mm(870.0)),
                LeafMatch::Random,
            ),
            &["leaf `B2` is 870 mm long", "leaf `A1` 900 mm"],
            "one length, 870 mm here",
        ),
        (
            error(
                changed(0, &|leaf| leaf.thickness = mm(12.0)),
                LeafMatch::Bookmatch,
            ),
            &["the pair `A1` and `A2` is 12 mm and 10 mm thick"],
            "one thickness, 10 mm here",
        ),
        (
            error(four()[..3].to_vec(), LeafMatch::SlipMatch),
            &[
                "a slip-match needs pairs",
                "of 3 leaves `B1` has no partner",
            ],
            "take `B1` out",
        ),
        (
            error(four()[..2].to_vec(), LeafMatch::FourWay),
            &["by fours", "of 2 leaves the pair `A1` and `A2`"],
            "add a second pair",
        ),
        (
            error(half, LeafMatch::Bookmatch),
            &["leaf `A2` has no pair while others have one"],
            "write the pair of `A2`",
        ),
        (
            error(thrice, LeafMatch::Bookmatch),
            &["pair `x` has 3 leaves (`A1`, `A2`, `B1`), not two"],
            "one label on exactly two leaves",
        ),
        (
            shows(LeafMatch::Bookmatch, [FaceUp::Sawn, FaceUp::Back]),
            &["`A1` and `A2`", "cannot both be up in a bookmatch"],
            "or slip-match them",
        ),
        (
            shows(LeafMatch::SlipMatch, [FaceUp::Back, FaceUp::Back]),
            &["`A1` and `A2`", "in a slip-match"],
            "or bookmatch them",
        ),
        (
            shows(LeafMatch::SlipMatch, [FaceUp::Sawn, FaceUp::Sawn]),
            &["`A1` and `A2`", "in a slip-match"],
            "or bookmatch them",
        ),
    ];
    for (error, figures, remedy) in &table {
        let given = error.to_string();
        assert_eq!(given, format!("{}; {}", error.message(), error.remedy()));
        for leaf_match in *figures {
            assert!(
                error.message().contains(leaf_match),
                "`{leaf_match}` is not in: {given}"
            );
        }
        assert!(
            error.remedy().contains(remedy),
            "`{remedy}` is not in: {given}"
        );
    }
}

/// Turned half round on the bench a panel shows its leaves from the other side, its rows and leaves the other way about; turned twice it is
/// as it was.
#[test]
fn a_panel_turned_half_round_shows_its_other_ends() {
    use EndForward::{Far, Near};
    use FaceUp::{Back, Sawn};
    let layout = Layout {
        rows: vec![
            vec![laid(0, Sawn, Near), laid(1, Back, Far)],
            vec![laid(2, Back, Near), laid(3, Sawn, Near)],
        ],
    };
    let turned = layout.turned_round();
    assert_eq!(
        turned.rows,
        [
            [laid(3, Sawn, Far), laid(2, Back, Far)],
            [laid(1, Back, Near), laid(0, Sawn, Far)],
        ]
    );
    assert_eq!(turned.turned_round(), layout);
}
