//! The search against plain enumeration, its limits and its bound.

use super::{leaf, measured, mm, panel};
use heartside::numerics::Deadline;
use heartside::panel::{EndForward, FaceUp, Layout, Leaf, LeafMatch, Panel, PanelShape, Placed};
use proptest::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Every order of every leaf with every face and end that a rule, given here a second time, allows.
fn every_layout(count: usize, allowed: &dyn Fn(&[Placed]) -> bool) -> Vec<Layout> {
    fn grow(count: usize, row: &mut Vec<Placed>, found: &mut Vec<Vec<Placed>>) {
        if row.len() == count {
            found.push(row.clone());
            return;
        }
        for leaf in 0..count {
            if row.iter().any(|placed| placed.leaf == leaf) {
                continue;
            }
            for face_up in FaceUp::BOTH {
                for end_forward in EndForward::BOTH {
                    row.push(Placed {
                        leaf,
                        face_up,
                        end_forward,
                    });
                    grow(count, row, found);
                    row.pop();
                }
            }
        }
    }
    let mut found = Vec::new();
    grow(count, &mut Vec::new(), &mut found);
    found
        .into_iter()
        .filter(|row| allowed(row))
        .map(|row| Layout { rows: vec![row] })
        .collect()
}

fn bookmatched(row: &[Placed]) -> bool {
    row.chunks(2).all(|two| {
        two[0].leaf / 2 == two[1].leaf / 2
            && two[0].face_up == FaceUp::Sawn
            && two[1].face_up == FaceUp::Sawn
            && two[0].end_forward == two[1].end_forward
    })
}

fn slipped(row: &[Placed]) -> bool {
    row.chunks(2).all(|two| {
        two[0].leaf / 2 == two[1].leaf / 2
            && two[0].face_up != two[1].face_up
            && two[0].end_forward == two[1].end_forward
    })
}

/// The score put together again from the figures a shape tells.
fn score(shape: &PanelShape) -> f64 {
    shape.bow.mm().abs()
        + shape.cup.mm().abs()
        + shape.twist.mm().abs()
        + 0.25 * shape.seam_misfit.mm()
}

fn differ(one: &PanelShape, other: &PanelShape) -> bool {
    [
        (one.bow, other.bow),
        (one.cup, other.cup),
        (one.twist, other.twist),
        (one.seam_misfit, other.seam_misfit),
    ]
    .iter()
    .any(|(a, b)| (a.mm().abs() - b.mm().abs()).abs() >= 0.1)
}

fn agrees_with_enumeration(panel: &Panel, allowed: &dyn Fn(&[Placed]) -> bool) {
    let mut all: Vec<PanelShape> = every_layout(panel.leaves().len(), allowed)
        .iter()
        .map(|layout| panel.shape_as_beam(layout))
        .collect();
    all.sort_by(|a, b| score(a).total_cmp(&score(b)));
    let best = panel.best(3);
    assert!(best.first_is_proven && best.list_is_proven);
    let mut given: Vec<&PanelShape> = Vec::new();
    for found in &best.layouts {
        assert!(panel.keeps_rule(&found.layout));
        let next = all
            .iter()
            .find(|shape| given.iter().all(|known| differ(known, shape)))
            .expect("a layout that differs");
        assert!(
            (score(next) - score(found)).abs() < 1e-9,
            "enumeration {} search {}",
            score(next),
            score(found)
        );
        assert!((score(found) - found.score).abs() < 1e-9);
        assert!(given.iter().all(|known| differ(known, found)));
        given.push(found);
    }
    if given.len() < 3 {
        assert!(
            all.iter()
                .all(|shape| given.iter().any(|known| !differ(known, shape)))
        );
    }
}

fn measures() -> impl Strategy<Value = (f64, f64, f64, f64, f64, f64, bool)> {
    (
        60.0..180.0_f64,
        prop_oneof![-5.0..5.0_f64, Just(2.0), Just(-2.0)],
        -1.0..1.0_f64,
        prop_oneof![-0.4..0.4_f64, Just(0.0)],
        40.0..200.0_f64,
        prop_oneof![-60.0..60.0_f64, Just(0.0)],
        any::<bool>(),
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10))]

    #[test]
    fn random_match_equals_enumeration(leaves in prop::collection::vec(measures(), 1..5)) {
        agrees_with_enumeration(&panel(measured(&leaves), LeafMatch::Random), &|_| true);
    }

    #[test]
    fn bookmatch_equals_enumeration(leaves in prop::collection::vec(measures(), 4)) {
        agrees_with_enumeration(&panel(measured(&leaves), LeafMatch::Bookmatch), &bookmatched);
    }

    #[test]
    fn slip_match_equals_enumeration(leaves in prop::collection::vec(measures(), 4)) {
        agrees_with_enumeration(&panel(measured(&leaves), LeafMatch::SlipMatch), &slipped);
    }

    /// Leaves without rings or cup, many alike: what the search leaves out as repeated is really repeated.
    #[test]
    fn flat_leaves_equal_enumeration(bows in prop::collection::vec(-3..4_i32, 1..5)) {
        let leaves: Vec<Leaf> = bows.iter().enumerate()
            .map(|(i, &bow)| leaf(&format!("L{i}"), 100.0 + 20.0 * f64::from(bow.rem_euclid(2)), f64::from(bow))).collect();
        agrees_with_enumeration(&panel(leaves, LeafMatch::Random), &|_| true);
    }
}

/// Five leaves, 122 880 layouts.
#[test]
fn five_leaves_equal_enumeration() {
    let leaves = measured(&[
        (110.0, 3.0, 0.5, 0.1, 60.0, 20.0, true),
        (140.0, -2.0, -0.5, 0.0, 90.0, -30.0, false),
        (95.0, 4.5, 0.0, 0.2, 45.0, 0.0, true),
        (150.0, 1.0, 1.0, -0.1, 130.0, 55.0, true),
        (120.0, 2.5, -0.2, 0.0, 75.0, -10.0, false),
    ]);
    agrees_with_enumeration(&panel(leaves, LeafMatch::Random), &|_| true);
}

/// Three pairs against enumeration of the pairs' own states: six leaves in all orders would be three million.
#[test]
fn three_bookmatched_pairs_equal_enumeration_of_pairs() {
    let leaves = measured(&[
        (110.0, 3.0, 0.5, 0.1, 60.0, 20.0, true),
        (110.0, 2.0, -0.5, 0.0, 71.0, 20.0, false),
        (140.0, 4.5, 0.0, 0.2, 45.0, 0.0, true),
        (140.0, 1.0, 1.0, 0.1, 56.0, 0.0, false),
        (120.0, -2.5, -0.2, 0.0, 75.0, -10.0, true),
        (120.0, -1.5, 0.0, 0.3, 86.0, -10.0, false),
    ]);
    let panel = panel(leaves, LeafMatch::Bookmatch);
    let mut min = f64::INFINITY;
    for order in [
        [0, 1, 2],
        [0, 2, 1],
        [1, 0, 2],
        [1, 2, 0],
        [2, 0, 1],
        [2, 1, 0],
    ] {
        for states in 0..64_usize {
            let row = order
                .iter()
                .enumerate()
                .flat_map(|(at, pair)| {
                    let state = states >> (2 * at) & 3;
                    let end = EndForward::BOTH[state & 1];
                    let pair = [2 * pair, 2 * pair + 1];
                    let two = if state & 2 == 0 {
                        pair
                    } else {
                        [pair[1], pair[0]]
                    };
                    two.map(|leaf| super::laid(leaf, FaceUp::Sawn, end))
                })
                .collect();
            min = min.min(score(&panel.shape_as_beam(&Layout { rows: vec![row] })));
        }
    }
    let best = panel.best(1);
    assert!(best.first_is_proven);
    assert!((best.layouts[0].score - min).abs() < 1e-9);
}

/// Sixteen leaves as eight bookmatched pairs, all measures unlike: proven, and no turned-round or swapped neighbour is better.
#[test]
fn eight_bookmatched_pairs_are_proven() {
    let panel = panel(measured(&eight_pairs()), LeafMatch::Bookmatch);
    let best = panel.best(3);
    assert!(best.first_is_proven && best.list_is_proven);
    let first = &best.layouts[0];
    for i in 0..8 {
        for j in i + 1..8 {
            let mut row = first.layout.rows[0].clone();
            for k in 0..2 {
                row.swap(2 * i + k, 2 * j + k);
            }
            let other = panel.shape_as_beam(&Layout { rows: vec![row] });
            assert!(other.score >= first.score - 1e-9);
        }
    }
    let words = best.why_first(heartside::units::UnitSystem::Metric);
    assert!(words.contains("none scores less"), "{words}");
}

fn eight_pairs() -> Vec<super::Measures> {
    (0..16)
        .map(|i| {
            let (pair, second) = (f64::from(i / 2), f64::from(i % 2));
            (
                90.0 + 9.0 * pair,
                3.0 - 0.7 * pair + 0.4 * second,
                0.3 * second - 0.1 * pair,
                0.02 * pair,
                50.0 + 13.0 * pair + 11.0 * second,
                10.0 * pair - 35.0,
                second == 0.0,
            )
        })
        .collect()
}

#[test]
fn leaves_that_all_measure_alike_have_one_answer() {
    let leaves: Vec<Leaf> = (0..16)
        .map(|i| leaf(&format!("L{i}"), 100.0, 2.0))
        .collect();
    let best = panel(leaves.clone(), LeafMatch::Bookmatch).best(3);
    assert_eq!(best.layouts.len(), 1, "no other layout truly differs");
    assert!(best.list_is_proven);
    assert!((best.layouts[0].bow.mm() - 2.0).abs() < 1e-12);
    // Faces free, sixteen equal bows cancel to nothing; the seams then meet worst, and all one way meet best.
    let free = panel(leaves, LeafMatch::Random).best(3);
    assert!(free.first_is_proven);
    assert!(free.layouts[0].bow.mm().abs() < 1e-9);
}

/// Sixteen leaves with their faces free, every bow and width unlike: proven. Independently of any order, the score cannot
/// beat the minimum over all choices of faces of bow and a quarter of the largest gap in the sorted row of bows, and without
/// rings or cup that is reached.
#[test]
fn sixteen_leaves_at_random_without_rings_are_proven() {
    let bows: Vec<f64> = (0..16)
        .map(|i| 0.3 + f64::from(i * i % 23) * 0.21)
        .collect();
    let leaves: Vec<Leaf> = bows
        .iter()
        .enumerate()
        .map(|(i, &bow)| leaf(&format!("L{i}"), 80.0 + 3.0 * i as f64, bow))
        .collect();
    let weights: Vec<f64> = leaves.iter().map(|leaf| leaf.width.mm()).collect();
    let all: f64 = weights.iter().sum();
    let mut min = f64::INFINITY;
    for faces in 0..1_u32 << 16 {
        let laid: Vec<f64> = bows
            .iter()
            .enumerate()
            .map(|(i, bow)| if faces >> i & 1 == 0 { *bow } else { -bow })
            .collect();
        let bow = laid.iter().zip(&weights).map(|(b, w)| b * w).sum::<f64>() / all;
        let mut sorted = laid;
        sorted.sort_by(f64::total_cmp);
        let gap = sorted
            .windows(2)
            .map(|two| two[1] - two[0])
            .fold(0.0, f64::max);
        min = min.min(bow.abs() + 0.25 * gap);
    }
    let best = panel(leaves, LeafMatch::Random).best(1);
    assert!(best.first_is_proven);
    assert!((best.layouts[0].score - min).abs() < 1e-9);
}

#[test]
fn identical_opposite_leaves_cancel_and_equal_leaves_keep_their_bow() {
    let pair = |second| vec![leaf("A", 100.0, 3.0), leaf("B", 100.0, second)];
    let bow = |leaves, leaf_match| panel(leaves, leaf_match).best(1).layouts[0].bow.mm();
    assert!(bow(pair(-3.0), LeafMatch::Bookmatch).abs() < 1e-12);
    assert!((bow(pair(3.0), LeafMatch::Bookmatch) - 3.0).abs() < 1e-12);
    assert!(bow(pair(3.0), LeafMatch::SlipMatch).abs() < 1e-12);
    let one = panel(vec![leaf("A", 100.0, 3.0)], LeafMatch::Random).best(1);
    assert!((one.layouts[0].bow.mm().abs() - 3.0).abs() < 1e-12);
    assert_eq!(one.layouts[0].seam_misfit, mm(0.0));
}

/// Beyond sixteen leaves nothing is proven: the bound stands below the best found, and the words say so.
#[test]
fn beyond_sixteen_leaves_the_bound_is_honest() {
    let leaves: Vec<Leaf> = (0..18)
        .map(|i| {
            leaf(
                &format!("L{i}"),
                80.0 + f64::from(i),
                f64::from(i % 5) - 1.5,
            )
        })
        .collect();
    let best = panel(leaves, LeafMatch::Random).best(2);
    assert!(!best.first_is_proven && !best.list_is_proven);
    assert!(best.bound <= best.layouts[0].score);
    assert!(best.bound >= 0.0);
    let words = best.why_first(heartside::units::UnitSystem::Metric);
    assert!(words.contains("best found"), "{words}");
}

/// However early a search is cut off, what it gives keeps the rule, is not said to be proven unless it is the best, and is
/// no better than its bound. The deadline counts how often it is asked: no clock decides.
#[test]
fn a_search_cut_off_gives_the_best_met_and_an_honest_bound() {
    let leaves = measured(&eight_pairs()[..8]);
    for leaf_match in LeafMatch::ALL {
        let panel = panel(leaves.clone(), leaf_match);
        let whole = panel.best(2);
        let within = |looks: usize| {
            let asked = AtomicUsize::new(0);
            let over = || asked.fetch_add(1, Ordering::Relaxed) >= looks;
            let found = panel.best_within(2, Deadline::new(&over));
            (found, asked.into_inner())
        };
        let (found, asked) = within(usize::MAX);
        assert_eq!(found, whole);
        for looks in [0, 1, 10, asked / 4, asked / 2] {
            let (found, more) = within(looks);
            assert!(
                more < looks + 2_000,
                "{leaf_match}: {more} after {looks} of {asked}"
            );
            assert!(found.bound <= whole.layouts[0].score + 1e-9, "{leaf_match}");
            for layout in &found.layouts {
                assert!(panel.keeps_rule(&layout.layout), "{leaf_match}");
                assert!(
                    layout.score >= whole.layouts[0].score - 1e-9,
                    "{leaf_match}"
                );
            }
            if found.first_is_proven {
                assert!((found.layouts[0].score - whole.layouts[0].score).abs() < 1e-9);
            }
            if looks > 1 {
                assert!(!found.layouts.is_empty(), "{leaf_match} after {looks}");
            }
        }
    }
}

/// Free leaves may lie as any pair may, so a search that comes to no end must still find nothing worse than what is proven
/// of the same leaves in pairs.
#[test]
fn twelve_free_leaves_with_rings_lie_no_worse_than_in_pairs() {
    let leaves = measured(&eight_pairs()[..12]);
    let best = |leaf_match| panel(leaves.clone(), leaf_match).best(1);
    let (free, book, slip) = (
        best(LeafMatch::Random),
        best(LeafMatch::Bookmatch),
        best(LeafMatch::SlipMatch),
    );
    assert!(book.first_is_proven && slip.first_is_proven);
    assert!(free.layouts[0].score <= book.layouts[0].score + 1e-9);
    assert!(free.layouts[0].score <= slip.layouts[0].score + 1e-9);
    assert!(free.bound <= free.layouts[0].score);
}

/// Five sets of four leaves: nothing is proven, and what is claimed as out of reach really is. The faces that show are fixed,
/// so of two rows one bows at least as much as all leaves in one row would.
#[test]
fn a_four_way_match_beyond_sixteen_leaves_has_a_bound() {
    let leaves: Vec<Leaf> = measured(
        &(0..20)
            .map(|i| {
                let (pair, second) = (f64::from(i / 2), f64::from(i % 2));
                (
                    100.0,
                    2.0 + 0.3 * pair + 0.2 * second,
                    0.4 + 0.05 * pair,
                    0.02 * pair,
                    50.0 + 9.0 * pair + 11.0 * second,
                    8.0 * pair - 30.0,
                    second == 0.0,
                )
            })
            .collect::<Vec<_>>(),
    );
    let panel = panel(leaves, LeafMatch::FourWay);
    let best = panel.best(2);
    assert!(!best.first_is_proven && !best.list_is_proven);
    // Of one width and thickness the leaves weigh alike: the mean bow, 2.0 + 0.3 x 4.5 + 0.1.
    assert!(best.bound > 3.45, "{}", best.bound);
    for found in &best.layouts {
        assert!(panel.keeps_rule(&found.layout));
        assert!(best.bound <= found.score);
    }
    assert!(best.layouts[0].score <= score(&panel.shape_as_beam(&panel.as_listed())));
}

#[test]
fn the_same_leaves_always_give_the_same_answer() {
    let leaves = measured(&eight_pairs()[..10]);
    let once = panel(leaves.clone(), LeafMatch::SlipMatch).best(2);
    let again = panel(leaves, LeafMatch::SlipMatch).best(2);
    assert_eq!(once, again);
}

/// The flag of a pair that adds its bows, in words.
#[test]
fn the_flag_tells_both_ways() {
    let leaves = vec![leaf("A", 150.0, 9.0), leaf("B", 150.0, 8.0)];
    let book = panel(leaves, LeafMatch::Bookmatch);
    let flag = book.bookmatch_flag(&book.best(1)).unwrap();
    let slip = book.with_match(LeafMatch::SlipMatch).unwrap();
    assert_eq!(
        slip.bookmatch_flag(&slip.best(3)).as_ref(),
        Some(&flag),
        "whichever of the two was searched first"
    );
    assert!(flag.adds_bows());
    let words = flag.words(heartside::units::UnitSystem::Metric);
    assert!(
        words.starts_with("Bookmatching these adds their bows: 8.5 mm")
            && words.contains("slip-matched 3.8")
            && words.contains("the other way at the other")
            && words.contains("the figure would not mirror")
            && words.contains("The ring cup goes the other way"),
        "{words}"
    );
}

/// Two leaves that bow one way and two that bow the other have no mean bow in any order. As plates they do: with `(+ - - +)` the least is
/// kept (0.12 of a leaf's bow at the edges of 1000 x 400 mm, solid finite elements; `(+ + + -)` 0.76, `(+ - + -)` 0.47), and of
/// all orders that score the same the one that is given keeps no more than any other.
#[test]
fn of_orders_that_score_the_same_the_coupled_leaves_decide() {
    let leaves: Vec<Leaf> = [3.0, 3.0, -3.0, -3.0]
        .into_iter()
        .enumerate()
        .map(|(index, bow)| {
            let size = (mm(100.0), mm(20.0), mm(1000.0));
            Leaf::new(format!("L{index}"), size.0, size.1, size.2, mm(bow))
        })
        .collect();
    let panel = panel(leaves, LeafMatch::Random);
    let found = &panel.best(1).layouts[0];
    let least = every_layout(4, &|_| true)
        .iter()
        .map(|layout| panel.shape(layout))
        .filter(|shape| shape.score < found.score + 1e-9)
        .map(|shape| shape.largest_bow.mm().abs())
        .fold(f64::INFINITY, f64::min);
    let kept = found.largest_bow.mm().abs();
    assert!(kept < least + 1e-6, "{kept} for {least}");
    assert!((0.05..0.2).contains(&(kept / 3.0)), "{kept}");
}
