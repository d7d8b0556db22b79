//! Held panels, shelves, divider places and glue-up stages; a beam solved by plain dense
//! elimination of its Hermite elements stands beside as the general-purpose reference.

use heartside::carcass::{
    BowedPanel, GlueJoint, GlueTerms, Piece, Shelf, ShelfBoard, ShelfLoad, ShelfSupport, Support,
    Trap, best_places, load_shelf, plan_stages, straighten,
};
use heartside::numerics::Rows;
use heartside::units::{Duration, Length, LineLoad, Stress};
use std::hint::black_box;

fn mm(value: f64) -> Length {
    Length::from_mm_unchecked(value)
}

fn panel() -> BowedPanel {
    BowedPanel::new(
        mm(900.0),
        mm(300.0),
        mm(12.0),
        Stress::computed_mpa(11_000.0),
        mm(6.0),
    )
    .unwrap_or_else(|error| panic!("{error}"))
}

fn places(inner: usize) -> Vec<f64> {
    (0..=inner + 1)
        .map(|i| 900.0 * i as f64 / (inner + 1) as f64)
        .collect()
}

#[divan::bench(args = [1, 5, 20])]
fn hold_a_panel(bencher: divan::Bencher<'_, '_>, dividers: usize) {
    let supports: Vec<Support> = places(dividers)
        .into_iter()
        .map(|x| Support::at(mm(x)))
        .collect();
    bencher.bench(|| straighten(black_box(&panel()), &supports));
}

/// The same forces from Hermite elements, all unknowns by elimination.
#[divan::bench(args = [1, 5, 20])]
fn reference_elements(bencher: divan::Bencher<'_, '_>, dividers: usize) {
    let x = places(dividers);
    bencher.bench(|| {
        let n = 3 * x.len();
        let slope = |node: usize| x.len() + node;
        let mut rows = Rows::new(n);
        for e in 0..x.len() - 1 {
            let l = x[e + 1] - x[e];
            let at = [e, slope(e), e + 1, slope(e + 1)];
            let k = [
                [12.0, 6.0 * l, -12.0, 6.0 * l],
                [6.0 * l, 4.0 * l * l, -6.0 * l, 2.0 * l * l],
                [-12.0, -6.0 * l, 12.0, -6.0 * l],
                [6.0 * l, 2.0 * l * l, -6.0 * l, 4.0 * l * l],
            ];
            for i in 0..4 {
                for j in 0..4 {
                    rows.add(at[i], at[j], k[i][j] / l.powi(3));
                }
            }
        }
        for node in 0..x.len() {
            let force = 2 * x.len() + node;
            rows.add(node, force, -1.0);
            rows.add(force, node, 1.0);
        }
        rows.add_right(slope(0), 1.0);
        rows.add_right(slope(x.len() - 1), -1.0);
        black_box(rows.solve())
    });
}

#[divan::bench]
fn five_divider_places(bencher: divan::Bencher<'_, '_>) {
    let ends = [Support::at(mm(0.0)), Support::at(mm(900.0))];
    bencher.bench(|| best_places(black_box(&panel()), &ends, 5, mm(75.0)));
}

#[divan::bench]
fn load_a_shelf(bencher: divan::Bencher<'_, '_>) {
    let shelf = Shelf {
        board: ShelfBoard::new(mm(254.0), mm(19.0), Stress::computed_mpa(12_400.0))
            .unwrap_or_else(|error| panic!("{error}")),
        length: mm(914.4),
        supports: vec![ShelfSupport::at(mm(0.0)), ShelfSupport::at(mm(914.4))],
        loads: vec![ShelfLoad::Even(LineLoad::computed_newtons_per_mm(0.365))],
    };
    bencher.bench(|| load_shelf(black_box(&shelf)));
}

fn joint(a: usize, b: usize, seconds: f64) -> GlueJoint {
    GlueJoint {
        name: format!("{a} to {b}"),
        between: [a, b],
        glued: true,
        spread: Duration::computed_seconds(seconds),
        close: Duration::ZERO,
        clamps: 2,
    }
}

fn terms(seconds: f64) -> GlueTerms {
    GlueTerms {
        own_time: Some(Duration::computed_seconds(seconds)),
        per_clamp: Duration::ZERO,
        margin: 0.0,
        ..GlueTerms::default()
    }
}

/// Two sides and shelves trapped between them, every joint of its own length.
fn bookcase(shelves: usize) -> Piece {
    let mut piece = Piece {
        parts: (0..2 + shelves).map(|part| part.to_string()).collect(),
        ..Piece::default()
    };
    for shelf in 2..2 + shelves {
        let odd = ((shelf * 37) % 23) as f64;
        piece.joints.push(joint(0, shelf, 30.0 + odd));
        piece.joints.push(joint(1, shelf, 41.0 + 0.7 * odd));
        piece.traps.push(Trap {
            part: shelf,
            between: vec![0, 1],
        });
    }
    piece
}

/// A case of two sides, top, bottom and five uprights, and a shelf in each of its bays: 30 joints in rings.
fn case_of_bays() -> Piece {
    let mut piece = Piece {
        parts: (0..15).map(|part| part.to_string()).collect(),
        ..Piece::default()
    };
    let (top, bottom) = (0, 1);
    let uprights: Vec<usize> = (2..9).collect();
    let mut next = 0;
    let mut seconds = || {
        next += 1;
        25.0 + f64::from((next * 29) % 31)
    };
    for upright in &uprights {
        piece.joints.push(joint(top, *upright, seconds()));
        piece.joints.push(joint(bottom, *upright, seconds()));
        piece.traps.push(Trap {
            part: *upright,
            between: vec![top, bottom],
        });
    }
    for (bay, pair) in uprights.windows(2).enumerate() {
        let shelf = 9 + bay;
        for upright in pair {
            piece.joints.push(joint(shelf, *upright, seconds()));
        }
        piece.traps.push(Trap {
            part: shelf,
            between: pair.to_vec(),
        });
    }
    for pair in uprights.windows(2).take(4) {
        // A rail from upright to upright.
        piece.joints.push(joint(pair[0], pair[1], seconds()));
    }
    piece
}

/// A post with thirty pegs: loose ends alone.
fn loose_ends() -> Piece {
    Piece {
        parts: (0..31).map(|part| part.to_string()).collect(),
        joints: (1..31)
            .map(|peg| joint(0, peg, 20.0 + ((peg * 37) % 61) as f64))
            .collect(),
        traps: Vec::new(),
    }
}

/// At 600 s nothing fits; a little above, fewer stages are hard to rule out.
#[divan::bench(args = [600.0, 630.0, 640.0, 660.0, 1100.0])]
fn stages_of_a_bookcase_of_30_joints(bencher: divan::Bencher<'_, '_>, seconds: f64) {
    let piece = bookcase(15);
    bencher.bench(|| plan_stages(black_box(&piece), &terms(seconds)).map(|stages| stages.proven));
}

#[divan::bench(args = [300.0, 400.0, 480.0, 700.0])]
fn stages_of_a_case_of_30_joints(bencher: divan::Bencher<'_, '_>, seconds: f64) {
    let piece = case_of_bays();
    bencher.bench(|| plan_stages(black_box(&piece), &terms(seconds)).map(|stages| stages.proven));
}

#[divan::bench(args = [130.0, 200.0, 301.0])]
fn stages_of_30_loose_ends(bencher: divan::Bencher<'_, '_>, seconds: f64) {
    let piece = loose_ends();
    bencher.bench(|| plan_stages(black_box(&piece), &terms(seconds)).map(|stages| stages.proven));
}

/// A bookcase whose last stage is filled to the second: fewer stages can hardly be ruled out,
/// so this is the longest the search may take.
#[divan::bench(sample_count = 10)]
fn stages_at_the_end_of_patience(bencher: divan::Bencher<'_, '_>) {
    let mut piece = bookcase(15);
    for (index, joint) in piece.joints.iter_mut().enumerate() {
        joint.spread = Duration::computed_seconds(30.0 + ((index * 37) % 23) as f64);
    }
    let lesser: f64 = piece
        .joints
        .chunks(2)
        .map(|pair| {
            pair.iter()
                .map(|joint| joint.spread.seconds())
                .fold(f64::INFINITY, f64::min)
        })
        .sum();
    bencher.bench(|| plan_stages(black_box(&piece), &terms(lesser)).map(|stages| stages.proven));
}
