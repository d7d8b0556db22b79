//! Matching leaves: one layout judged, the best layout of bookmatched pairs proven, plain enumeration of the
//! same pairs beside it, and how both grow with the number of leaves; the same for leaves whose faces are free.
//!
//! `P` pairs have `P! 4^P` layouts, half of them the same panel turned round: plain enumeration of eight
//! pairs would judge 2 600 million, so it stops at five here, 122 880. `N` free leaves have `N! 4^N`.

use divan::{Bencher, black_box};
use heartside::movement::{Face, Rings, Shrinkage};
use heartside::panel::{
    EndForward, FaceUp, Layout, Leaf, LeafMatch, MoistureChange, Panel, Placed, Weights,
};
use heartside::units::Length;

fn mm(value: f64) -> Length {
    Length::from_mm_unchecked(value)
}

/// Leaves of resawn boards, two of each cut, every measure unlike.
fn leaves(count: usize) -> Vec<Leaf> {
    (0..count)
        .map(|i| {
            let (pair, second) = ((i / 2) as f64, (i % 2) as f64);
            let mut leaf = Leaf::new(
                format!("L{i}"),
                mm(90.0 + 13.0 * ((pair * 3.7) % 5.0)),
                mm(9.5),
                mm(900.0),
                mm(3.0 - (pair * 2.3) % 4.1 + 0.4 * second),
            );
            leaf.cup = mm(0.1 * ((pair * 1.9) % 3.0));
            leaf.twist = mm((pair * 1.3) % 2.0 - 1.0);
            leaf.rings = Some(Rings::Pith {
                depth: mm(50.0 + (pair * 47.0) % 90.0 + 11.0 * second),
                offset: mm((pair * 31.0) % 70.0 - 35.0),
            });
            leaf.sawn_side = Some(if i % 2 == 0 { Face::Bark } else { Face::Heart });
            leaf.wood.shrinkage = Some(Shrinkage {
                radial_percent: 5.5,
                tangential_percent: 7.8,
                longitudinal_percent: 0.15,
                fiber_saturation_percent: 30.0,
            });
            leaf
        })
        .collect()
}

fn flat(count: usize) -> Vec<Leaf> {
    leaves(count)
        .into_iter()
        .map(|leaf| Leaf {
            rings: None,
            cup: Length::ZERO,
            ..leaf
        })
        .collect()
}

fn panel(leaves: Vec<Leaf>, leaf_match: LeafMatch) -> Panel {
    Panel::new(
        leaves,
        leaf_match,
        MoistureChange::default(),
        Weights::default(),
    )
    .expect("leaves that pair")
}

#[divan::bench]
fn judge_one_layout_of_sixteen_leaves(bencher: Bencher<'_, '_>) {
    let panel = panel(leaves(16), LeafMatch::Bookmatch);
    let layout = panel.as_listed();
    bencher.bench(|| panel.shape(black_box(&layout)));
}

#[divan::bench(args = [2, 3, 4, 5, 6, 7, 8])]
fn best_of_bookmatched_pairs(bencher: Bencher<'_, '_>, pairs: usize) {
    let panel = panel(leaves(2 * pairs), LeafMatch::Bookmatch);
    bencher.bench(|| {
        let best = black_box(&panel).best(1);
        assert!(best.first_is_proven);
        best
    });
}

#[divan::bench(args = [2, 4, 6, 8])]
fn best_three_of_bookmatched_pairs(bencher: Bencher<'_, '_>, pairs: usize) {
    let panel = panel(leaves(2 * pairs), LeafMatch::Bookmatch);
    bencher.bench(|| {
        let best = black_box(&panel).best(3);
        assert!(best.list_is_proven);
        best
    });
}

#[divan::bench(args = [2, 3, 4, 5], sample_count = 3)]
fn plain_enumeration_of_bookmatched_pairs(bencher: Bencher<'_, '_>, pairs: usize) {
    let panel = panel(leaves(2 * pairs), LeafMatch::Bookmatch);
    let states: Vec<_> = (0..pairs).map(opened).collect();
    bencher.bench(|| enumerated(black_box(&panel), &states));
}

#[divan::bench(args = [2, 4, 6, 8], sample_count = 5)]
fn best_of_slip_matched_pairs(bencher: Bencher<'_, '_>, pairs: usize) {
    let panel = panel(leaves(2 * pairs), LeafMatch::SlipMatch);
    bencher.bench(|| {
        let best = black_box(&panel).best(1);
        assert!(best.first_is_proven);
        best
    });
}

#[divan::bench(args = [4, 6, 8, 10], sample_count = 3)]
fn best_of_leaves_at_random(bencher: Bencher<'_, '_>, count: usize) {
    let panel = panel(leaves(count), LeafMatch::Random);
    bencher.bench(|| {
        let best = black_box(&panel).best(1);
        assert!(best.first_is_proven);
        best
    });
}

/// With rings and free faces the proof grows too fast: beyond about ten leaves the best found is given with a bound.
#[divan::bench(args = [12, 14, 16, 24], sample_count = 3)]
fn best_found_of_leaves_at_random(bencher: Bencher<'_, '_>, count: usize) {
    let panel = panel(leaves(count), LeafMatch::Random);
    bencher.bench(|| {
        let best = black_box(&panel).best(1);
        assert!(best.bound <= best.layouts[0].score);
        best
    });
}

#[divan::bench(args = [2, 3, 4, 5], sample_count = 3)]
fn plain_enumeration_of_leaves_at_random(bencher: Bencher<'_, '_>, count: usize) {
    let panel = panel(leaves(count), LeafMatch::Random);
    let states: Vec<Vec<Vec<Placed>>> = (0..count)
        .map(|leaf| {
            FaceUp::BOTH
                .into_iter()
                .flat_map(|face_up| {
                    EndForward::BOTH.map(|end_forward| {
                        vec![Placed {
                            leaf,
                            face_up,
                            end_forward,
                        }]
                    })
                })
                .collect()
        })
        .collect();
    bencher.bench(|| enumerated(black_box(&panel), &states));
}

#[divan::bench(args = [4, 8, 12, 16], sample_count = 3)]
fn best_of_leaves_without_rings_at_random(bencher: Bencher<'_, '_>, count: usize) {
    let panel = panel(flat(count), LeafMatch::Random);
    bencher.bench(|| {
        let best = black_box(&panel).best(1);
        assert!(best.first_is_proven);
        best
    });
}

/// The states of a bookmatched pair: which leaf left, which end forward.
fn opened(pair: usize) -> Vec<Vec<Placed>> {
    [[0, 1], [1, 0]]
        .into_iter()
        .flat_map(|two| {
            EndForward::BOTH.map(|end_forward| {
                two.map(|second| Placed {
                    leaf: 2 * pair + second,
                    face_up: FaceUp::Sawn,
                    end_forward,
                })
                .to_vec()
            })
        })
        .collect()
}

/// Every order of the sets, every state of each, against what the search finds.
fn enumerated(panel: &Panel, sets: &[Vec<Vec<Placed>>]) -> f64 {
    fn lay(
        panel: &Panel,
        in_hand: &mut Vec<&Vec<Vec<Placed>>>,
        row: &mut Vec<Placed>,
        min: &mut f64,
    ) {
        if in_hand.is_empty() {
            let score = panel
                .shape(&Layout {
                    rows: vec![row.clone()],
                })
                .score;
            *min = min.min(score);
            return;
        }
        for i in 0..in_hand.len() {
            let set = in_hand.remove(i);
            for state in set {
                row.extend(state);
                lay(panel, in_hand, row, min);
                row.truncate(row.len() - state.len());
            }
            in_hand.insert(i, set);
        }
    }
    let mut min = f64::INFINITY;
    lay(panel, &mut sets.iter().collect(), &mut Vec::new(), &mut min);
    let found = panel.best(1).layouts[0].score;
    assert!((found - min).abs() < 1e-9, "{found} against {min}");
    min
}
