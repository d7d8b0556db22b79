//! The chained cup: one leaf is itself, arcs and washboards, both ways of chaining.

use super::{in_order, laid, leaf, measured, mm, panel, ringed, walnut};
use approx::assert_relative_eq;
use heartside::movement::{Face, RingStrains, Section};
use heartside::panel::{EndForward, FaceUp, Layout, Leaf, LeafMatch, MoistureChange};
use proptest::prelude::*;

fn strains() -> RingStrains {
    let change = MoistureChange::default();
    RingStrains::of(&walnut().shrinkage.unwrap(), change.from, change.to)
}

/// One leaf is itself: the panel's cup is the section map's own cup of the face that lies up, however the leaf lies.
#[test]
fn one_leaf_cups_as_the_section_map_says() {
    for (depth, offset) in [(60.0, 0.0), (100.0, -40.0), (30.0, 70.0)] {
        for marked in [Face::Bark, Face::Heart] {
            let one = ringed(leaf("A", 150.0, 0.0), depth, offset, marked);
            let section: Section = one.section().unwrap();
            let moved = section.moved(strains()).unwrap();
            let panel = panel(vec![one], LeafMatch::Random);
            for face in FaceUp::BOTH {
                for end in EndForward::BOTH {
                    let up = if (marked == Face::Bark) == (face == FaceUp::Sawn) {
                        Face::Bark
                    } else {
                        Face::Heart
                    };
                    let shape = panel.shape(&Layout {
                        rows: vec![vec![laid(0, face, end)]],
                    });
                    assert_relative_eq!(shape.cup.mm(), moved.cup(up).mm(), max_relative = 2e-3);
                    let width = panel
                        .at(&shape.layout, MoistureChange::default().to, 0.0)
                        .width;
                    assert_relative_eq!(width.mm(), moved.width(up).mm(), epsilon = 1e-9);
                }
            }
        }
    }
}

/// Cup from drying set (hollow on the fresh face) makes one arc of four times the rise bookmatched; slip-matched two half residual bows of
/// the single rise: algebra of chained arcs.
#[test]
fn own_cup_adds_in_a_bookmatch_and_ripples_in_a_slip_match() {
    let cupped = |name| Leaf {
        cup: mm(0.3),
        ..leaf(name, 150.0, 1.0)
    };
    let panel = panel(vec![cupped("A"), cupped("B")], LeafMatch::Random);
    let book = panel.shape(&in_order(&[FaceUp::Sawn, FaceUp::Sawn]));
    assert_relative_eq!(book.set_cup.mm(), 4.0 * 0.3, max_relative = 1e-9);
    let slip = panel.shape(&in_order(&[FaceUp::Sawn, FaceUp::Back]));
    assert_relative_eq!(slip.set_cup.mm().abs(), 0.3, max_relative = 1e-3);
    let down = panel.shape(&in_order(&[FaceUp::Back, FaceUp::Back]));
    assert_relative_eq!(down.set_cup.mm(), -1.2, max_relative = 1e-9);
}

/// The ring cup goes the other way: the two leaves of one flat-sawn board lie heart side alternating in a bookmatch and
/// washboarding; slip-matched both turn their bark sides hollow and the arcs add. Dried, the bark side turns hollow (common practice, no
/// source, and the section map).
#[test]
fn ring_cup_ripples_in_a_bookmatch_and_adds_in_a_slip_match() {
    // The lower leaf is marked on its bark side, the upper one, 11 mm farther from the pith, on its heart side.
    for (width, depth) in [(150.0, 80.0), (200.0, 60.0), (120.0, 40.0)] {
        let leaves = vec![
            ringed(leaf("A", width, 3.0), depth, 0.0, Face::Bark),
            ringed(leaf("B", width, 3.0), depth + 11.0, 0.0, Face::Heart),
        ];
        let single = panel(vec![leaves[0].clone()], LeafMatch::Random)
            .shape(&in_order(&[FaceUp::Sawn]))
            .ring_cup
            .mm();
        assert!(single > 0.05, "dried, the bark side is hollow: {single}");
        let panel = panel(leaves, LeafMatch::Random);
        let book = panel.shape(&in_order(&[FaceUp::Sawn, FaceUp::Sawn]));
        let slip = panel.shape(&in_order(&[FaceUp::Sawn, FaceUp::Back]));
        assert!(slip.ring_cup.mm() > single);
        assert!(slip.ring_cup.mm() > 1.2 * book.ring_cup.mm().abs());
        assert!(book.bow.mm() > 2.9 && slip.bow.mm().abs() < 1e-9);
    }
}

/// A wide board cut into strips and glued together again is the wide board: the strips keep its one pith, and the chain gives
/// the section map of the whole.
#[test]
fn strips_of_one_board_chain_to_the_whole_board() {
    let whole = ringed(leaf("W", 300.0, 0.0), 120.0, 20.0, Face::Bark);
    let moved = whole.section().unwrap().moved(strains()).unwrap();
    let mut left = -150.0;
    let strips: Vec<Leaf> = [60.0, 100.0, 140.0]
        .into_iter()
        .enumerate()
        .map(|(i, width)| {
            let middle = left + width / 2.0;
            left += width;
            ringed(
                leaf(&format!("S{i}"), width, 0.0),
                120.0,
                20.0 - middle,
                Face::Bark,
            )
        })
        .collect();
    let panel = panel(strips, LeafMatch::Random);
    let shape = panel.shape(&in_order(&[FaceUp::Sawn; 3]));
    let cup = moved.cup(Face::Bark).mm();
    assert!(cup > 0.3);
    assert_relative_eq!(shape.cup.mm(), cup, max_relative = 2e-3);
    let exact = panel.at(&shape.layout, MoistureChange::default().to, 0.0);
    assert_relative_eq!(exact.cup.mm(), cup, max_relative = 2e-3);
    assert_relative_eq!(
        exact.width.mm(),
        moved.width(Face::Bark).mm(),
        epsilon = 1e-9
    );
}

/// In the limit of narrow leaves with their own piths the panel is flat: their edges stay parallel, and only a
/// washboarding remains. The turn of one leaf is to first order `-(e_T - e_R) w^3 / (6 y^3)`, from the strain's gradient.
#[test]
fn narrow_leaves_one_way_do_not_cup() {
    let cup = |count: usize, width: f64| {
        let leaves: Vec<Leaf> = (0..count)
            .map(|i| ringed(leaf(&format!("L{i}"), width, 0.0), 195.0, 0.0, Face::Bark))
            .collect();
        panel(leaves, LeafMatch::Random).shape(&in_order(&vec![FaceUp::Sawn; count]))
    };
    let change = strains();
    let turn = (change.radial.ratio() - change.tangential.ratio()) * 100.0_f64.powi(3)
        / (6.0 * 200.0_f64.powi(3));
    let six = cup(6, 100.0);
    // Six equal turns at the seams and within: an arc of curvature turn / width over 600 mm, with the washboarding on it.
    let arc = turn / 100.0 * 600.0 * 600.0 / 8.0;
    assert!((six.cup.mm() - arc).abs() < 1.1 * six.washboarding.mm() + 0.05 * arc);
    let twelve = cup(12, 50.0);
    assert!(twelve.cup.mm() < six.cup.mm() / 2.0);
    assert!(twelve.washboarding.mm() < six.washboarding.mm() / 3.0);
}

/// Which leaf lay nearer the pith tells on which side each is marked.
#[test]
fn sawn_sides_follow_from_the_pair() {
    let side_of = |first: f64, second: f64| {
        let not_given = |name, depth| Leaf {
            sawn_side: None,
            ..ringed(leaf(name, 150.0, 3.0), depth, 0.0, Face::Bark)
        };
        let panel = panel(
            vec![not_given("A", first), not_given("B", second)],
            LeafMatch::Bookmatch,
        );
        let sides: Vec<Face> = panel
            .leaves()
            .iter()
            .map(|leaf| leaf.sawn_side.unwrap())
            .collect();
        (sides, panel.notes().len())
    };
    assert_eq!(side_of(80.0, 91.0), (vec![Face::Bark, Face::Heart], 0));
    assert_eq!(side_of(91.0, 80.0), (vec![Face::Heart, Face::Bark], 0));
    let (sides, notes) = side_of(80.0, 80.0);
    assert_eq!(sides, [Face::Bark, Face::Heart]);
    assert_eq!(notes, 1, "what was taken for granted is said");
}

/// Alternating heart sides leave a washboarding of about one leaf's rise where one way lets the leaves' turns add (common practice,
/// no source).
#[test]
fn alternating_heart_sides_washboarding() {
    let leaves: Vec<Leaf> = (0..6)
        .map(|i| ringed(leaf(&format!("L{i}"), 140.0, 0.0), 60.0, 0.0, Face::Bark))
        .collect();
    let panel = panel(leaves, LeafMatch::Random);
    let one_way = panel.shape(&in_order(&[FaceUp::Sawn; 6]));
    let alternating: Vec<FaceUp> = (0..6)
        .map(|i| {
            if i % 2 == 0 {
                FaceUp::Sawn
            } else {
                FaceUp::Back
            }
        })
        .collect();
    let alternating = panel.shape(&in_order(&alternating));
    assert!(one_way.cup.mm() > 8.0 * one_way.washboarding.mm());
    assert!(alternating.cup.mm().abs() < 1.6 * alternating.washboarding.mm());
}

#[test]
fn a_leaf_with_the_pith_inside_is_a_finding() {
    let boxed = ringed(leaf("A", 150.0, 0.0), -5.0, 0.0, Face::Bark);
    let panel = panel(vec![boxed], LeafMatch::Random);
    assert!(
        panel.notes()[0].contains("holds the pith"),
        "{:?}",
        panel.notes()
    );
    assert_eq!(panel.shape(&in_order(&[FaceUp::Sawn])).cup.mm(), 0.0);
}

/// Whose sides are taken as those of one cut: leaves that are a pair by the figure or by their label, even where the rings of
/// only one were given; free leaves without a label are no pair, and each is taken by itself.
#[test]
fn sawn_sides_are_of_one_cut_only_where_leaves_pair() {
    let free = |name: &str, depth: f64| Leaf {
        sawn_side: None,
        ..ringed(leaf(name, 150.0, 1.0), depth, 0.0, Face::Bark)
    };
    let sides = |leaves: Vec<Leaf>, leaf_match| {
        let panel = panel(leaves, leaf_match);
        let sides: Vec<Option<Face>> = panel.leaves().iter().map(|leaf| leaf.sawn_side).collect();
        (sides, panel.notes().join(" "))
    };
    let (bark, heart) = (Some(Face::Bark), Some(Face::Heart));
    let two = vec![free("A", 71.0), free("B", 60.0)];
    let (alone, note) = sides(two.clone(), LeafMatch::Random);
    assert_eq!(alone, [bark, bark]);
    assert!(note.contains("the bark side of `A`, `B`"), "{note}");
    let labelled: Vec<Leaf> = two
        .iter()
        .map(|leaf| Leaf {
            pair: Some("p".to_owned()),
            ..leaf.clone()
        })
        .collect();
    // B lay nearer the pith, so its fresh face is its bark side.
    assert_eq!(sides(labelled, LeafMatch::Random).0, [heart, bark]);
    assert_eq!(sides(two, LeafMatch::Bookmatch).0, [heart, bark]);
    let one_given = vec![free("A", 71.0), leaf("B", 150.0, 1.0)];
    let (pair, note) = sides(one_given, LeafMatch::Bookmatch);
    assert_eq!(pair, [bark, heart]);
    assert!(note.contains("taken as two leaves of one cut"), "{note}");
}

/// Rings of a wood that nobody named give no cup, and the answer says so by the leaf's name.
#[test]
fn rings_of_an_unnamed_wood_are_a_finding() {
    let unnamed = Leaf {
        wood: heartside::panel::LeafWood::default(),
        ..ringed(leaf("A", 150.0, 0.0), 60.0, 0.0, Face::Bark)
    };
    let panel = panel(vec![unnamed], LeafMatch::Random);
    assert_eq!(
        panel.notes(),
        ["The species of `A` is not given: its rings give no cup here."]
    );
    assert_eq!(panel.shape(&in_order(&[FaceUp::Sawn])).cup.mm(), 0.0);
}

#[test]
fn drawn_sections_touch_edge_to_edge_and_carry_their_rings() {
    let panel = panel(
        measured(&[
            (120.0, 1.0, 0.0, 0.2, 70.0, 15.0, true),
            (90.0, -1.0, 0.0, 0.0, 50.0, -20.0, false),
            (140.0, 2.0, 0.0, -0.1, 120.0, 0.0, true),
        ]),
        LeafMatch::Random,
    );
    let layout = in_order(&[FaceUp::Sawn, FaceUp::Back, FaceUp::Sawn]);
    for exaggeration in [0.0, 1.0, 20.0] {
        let view = panel.end_view(&layout, 0, exaggeration);
        assert_eq!(view.leaves.len(), 3);
        assert_eq!(view.leaves[0].heart_side_up, Some(false));
        // Marked on its heart side and lying on it.
        assert_eq!(view.leaves[1].heart_side_up, Some(false));
        for two in view.leaves.windows(2) {
            let points = two[0].outline_mm.len();
            // Upper right corner of one, upper left of the next.
            let (right, left) = (two[0].outline_mm[points / 2], two[1].outline_mm[points - 1]);
            assert!((right.0 - left.0).hypot(right.1 - left.1) < 1e-9);
        }
        for leaf in &view.leaves {
            assert!(!leaf.rings_mm.is_empty());
        }
        let first = view.leaves[0].outline_mm.last().unwrap();
        let last = view.leaves[2].outline_mm[view.leaves[2].outline_mm.len() / 2];
        assert!(
            first.1.abs() < 1e-9 && last.1.abs() < 1e-9,
            "the chord lies level"
        );
    }
    let flat = panel.end_view(&layout, 0, 0.0);
    let right = flat.leaves[2].outline_mm[25];
    assert_relative_eq!(right.0, 350.0, epsilon = 1e-9);
}

/// The end points drawn are the figures given: the middle of the edge view lies the bow below the ends.
#[test]
fn edge_view_shows_the_bow() {
    let panel = panel(
        vec![leaf("A", 100.0, 3.0), leaf("B", 100.0, 1.0)],
        LeafMatch::Random,
    );
    let layout = in_order(&[FaceUp::Sawn, FaceUp::Back]);
    let view = panel.edge_view(&layout, 0, 10.0);
    let middle = view.panel_mm[view.panel_mm.len() / 2];
    assert_relative_eq!(middle.0, 450.0);
    assert_relative_eq!(
        middle.1,
        -10.0 * panel.shape(&layout).bow.mm(),
        epsilon = 1e-9
    );
    let second = &view.leaves_mm[1];
    assert_eq!(second.0, "B");
    assert_relative_eq!(second.1[20].1, 10.0, epsilon = 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Turns taken small and true rotations give one cup, to a hundredth of it and of a tenth of a millimetre.
    #[test]
    fn small_turns_agree_with_true_rotations(
        measures in prop::collection::vec(
            (60.0..180.0_f64, -3.0..3.0_f64, -2.0..2.0_f64, -0.5..0.5_f64, 40.0..200.0_f64, -60.0..60.0_f64, any::<bool>()), 1..7),
        faces in prop::collection::vec(any::<bool>(), 7),
    ) {
        let count = measures.len();
        let panel = panel(measured(&measures), LeafMatch::Random);
        let faces: Vec<FaceUp> = faces[..count].iter()
            .map(|&back| if back { FaceUp::Back } else { FaceUp::Sawn }).collect();
        let shape = panel.shape(&in_order(&faces));
        let exact = panel.at(&shape.layout, MoistureChange::default().to, 0.0).cup;
        prop_assert!((shape.cup.mm().abs() - exact.mm().abs()).abs()
            <= 0.02 * shape.cup.mm().abs() + 0.01,
            "{} against {}", shape.cup.mm(), exact.mm());
    }
}

/// The drawn line of the show face rises over its chord by the cup that is given, and ends on it.
#[test]
fn the_face_line_rises_by_the_cup() {
    let panel = panel(
        measured(&[
            (110.0, 3.0, 0.5, 0.1, 60.0, 20.0, true),
            (140.0, -2.0, -0.5, 0.0, 90.0, -30.0, false),
            (95.0, 4.5, 0.0, 0.2, 45.0, 0.0, true),
        ]),
        LeafMatch::Random,
    );
    for found in panel.best(3).layouts {
        let line = panel.face_line(&found.layout, 0);
        let deepest = line.iter().map(|p| p.1.abs()).fold(0.0, f64::max);
        assert_relative_eq!(deepest, found.cup.abs().mm(), max_relative = 0.02);
        let (first, last) = (line[0], line[line.len() - 1]);
        assert!(first.1.abs() < 1e-9 && last.1.abs() < 1e-9);
        assert_relative_eq!(
            last.0 - first.0,
            found.rows[0].width.mm(),
            max_relative = 0.05
        );
    }
    assert!(panel.face_line(&panel.as_listed(), 1).is_empty());
}

/// Rings are circles about the pith: as jointed, every point of one drawn ring lies equally far from it, the rings a quarter
/// of the thickness apart and all inside the leaf.
#[test]
fn drawn_rings_are_circles_about_the_pith() {
    for (depth, offset) in [(60.0, 20.0), (12.0, -45.0), (30.0, 90.0), (-5.0, 95.0)] {
        let one = ringed(leaf("A", 150.0, 0.0), depth, offset, Face::Bark);
        let panel = panel(vec![one], LeafMatch::Random);
        let layout = Layout {
            rows: vec![vec![laid(0, FaceUp::Sawn, EndForward::Near)]],
        };
        let view = panel.end_view(&layout, 0, 0.0);
        let thickness = panel.leaves()[0].thickness.mm();
        let pith = (75.0 + offset, -(thickness + depth));
        let rings = &view.leaves[0].rings_mm;
        let away = |p: &(f64, f64)| (p.0 - pith.0).hypot(p.1 - pith.1);
        let mut radii: Vec<f64> = rings.iter().map(|ring| away(&ring[0])).collect();
        for ring in rings {
            assert!(ring.len() > 1);
            for point in ring {
                assert!((away(point) - away(&ring[0])).abs() < 1e-9);
                assert!((-1e-9..=150.0 + 1e-9).contains(&point.0));
                assert!((-thickness - 1e-9..=1e-9).contains(&point.1));
            }
        }
        radii.sort_by(f64::total_cmp);
        radii.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        let corners = [
            (0.0, 0.0),
            (150.0, 0.0),
            (0.0, -thickness),
            (150.0, -thickness),
        ];
        let farthest = corners.iter().map(away).fold(0.0, f64::max);
        let apart = radii[1] - radii[0];
        for two in radii.windows(2) {
            let count = (two[1] - two[0]) / apart;
            assert!((count - 1.0).abs() < 1e-6, "{two:?}");
        }
        // A ring that only grazes a corner is too short to draw.
        assert!(farthest - radii[radii.len() - 1] < 2.01 * apart);
        let beside = (pith.0 - 75.0).abs() - 75.0;
        let above = (-thickness - pith.1).max(pith.1).max(0.0);
        assert!(radii[0] - beside.max(0.0).hypot(above) < 2.01 * apart);
        assert!((apart - thickness / 4.0).abs() < 1e-9 || farthest / apart > 40.0);
    }
}
