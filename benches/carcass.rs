//! Held panels, shelves, divider places and glue-up stages; a beam solved by plain dense
//! elimination of its Hermite elements stands beside as the general-purpose reference.

use heartside::carcass::assembly::{
    AssemblyJoint, AssemblyPart, AssemblyPiece, Entry, plan_assembly,
};
use heartside::carcass::frame::{
    Frame, FrameDraw, FrameSample, FreeShape, Joint, Member, Rest, best_turns,
};
use heartside::carcass::{
    BowedPanel, GlueJoint, GlueTerms, Piece, Shelf, ShelfBoard, ShelfLoad, ShelfSupport, Support,
    Trap, best_places, load_shelf, plan_stages, straighten,
};
use heartside::chance::Draws;
use heartside::numerics::Rows;
use heartside::piece::{BoxFace, Coordinate, Cuboid};
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
        lasts: heartside::carcass::LoadLasts::Permanent,
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

/// A case of twelve bowed boards: bottom, middle and top, two ends, three dividers below and two above, two short shelves.
fn case_of_twelve() -> Frame {
    let board = |start_mm: [f64; 2], end_mm: [f64; 2], rise: f64| {
        let length = (end_mm[0] - start_mm[0]).hypot(end_mm[1] - start_mm[1]);
        Member {
            start_mm,
            end_mm,
            width_mm: 300.0,
            thickness_mm: 19.0,
            modulus_mpa: 11_000.0,
            shape: FreeShape::bow(rise, length),
            season_per_mm: 0.0,
            weight_n_per_mm: 0.036,
            load_n_per_mm: 0.0,
        }
    };
    let (width, top) = (1600.0, 900.0);
    let mut frame = Frame::default();
    for (y, rise) in [(0.0, 4.0), (450.0, -3.0), (top, 5.0)] {
        frame.members.push(board([0.0, y], [width, y], rise));
    }
    for (x, rise) in [(0.0, 2.0), (width, -1.5)] {
        let piece = frame.members.len();
        frame.members.push(board([x, 0.0], [x, top], rise));
        for (at_end, into) in [(false, 0), (true, 2)] {
            frame
                .joints
                .push(Joint::rigid(piece, at_end, into, x).with_turning(2e7));
        }
        frame
            .joints
            .push(Joint::rigid(1, x > 0.0, piece, 450.0).with_turning(3e7));
    }
    for (x, from, to, lower) in [
        (400.0, 0.0, 450.0, 0),
        (800.0, 0.0, 450.0, 0),
        (1200.0, 0.0, 450.0, 0),
        (530.0, 450.0, top, 1),
        (1070.0, 450.0, top, 1),
    ] {
        let piece = frame.members.len();
        frame.members.push(board([x, from], [x, to], 1.0));
        for (at_end, into) in [(false, lower), (true, lower + 1)] {
            frame
                .joints
                .push(Joint::rigid(piece, at_end, into, x).with_turning(3e7));
        }
    }
    for (from, left, to, right) in [(400.0, 5, 800.0, 6), (800.0, 6, 1200.0, 7)] {
        let piece = frame.members.len();
        frame.members.push(board([from, 220.0], [to, 220.0], 0.5));
        frame
            .joints
            .push(Joint::rigid(piece, false, left, 220.0).with_turning(3e7));
        frame
            .joints
            .push(Joint::rigid(piece, true, right, 220.0).with_turning(3e7));
    }
    let rest = |member: usize, at_mm: f64, x: bool, y: bool| Rest {
        member,
        at_mm,
        x,
        y,
    };
    frame.rests = vec![
        rest(0, 0.0, true, true),
        rest(0, width, false, true),
        rest(2, 0.0, true, false),
    ];
    frame
}

/// All 4,096 choices of faces of twelve boards: under 20 ms.
#[divan::bench]
fn turn_twelve_boards(bencher: divan::Bencher<'_, '_>) {
    let frame = case_of_twelve();
    bencher.bench(|| {
        let responses = black_box(&frame)
            .responses()
            .unwrap_or_else(|error| panic!("{error}"));
        best_turns(&responses)
    });
}

/// 8,192 draws of its bows, wood and bonds: under 200 ms.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn draw_twelve_boards(bencher: divan::Bencher<'_, '_>) {
    let frame = case_of_twelve();
    bencher.bench(|| {
        let draws = black_box(&frame)
            .draws()
            .unwrap_or_else(|error| panic!("{error}"));
        let numbers = Draws::sobol(7, 1 + frame.members.len() + frame.joints.len());
        let mut number = vec![0.0; numbers.dimensions()];
        let mut sample = FrameSample::default();
        let mut largest = 0.0_f64;
        for draw in 0..8_192 {
            numbers.fill(draw, &mut number);
            for number in &mut number {
                *number += 0.5;
            }
            let (bows, turning) = number[1..].split_at(frame.members.len());
            let asked = FrameDraw {
                bows,
                stiffness: number[0],
                turning,
            };
            draws
                .fill(asked, &mut sample)
                .unwrap_or_else(|error| panic!("{error}"));
            largest = sample.residual_mm.iter().copied().fold(largest, f64::max);
        }
        largest
    });
}

/// The reference: every draw's frame built and solved afresh, 64 of them.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn reference_64_draws_solved_afresh(bencher: divan::Bencher<'_, '_>) {
    let frame = case_of_twelve();
    bencher.bench(|| {
        let mut largest = 0.0_f64;
        for draw in 0..64 {
            let mut drawn = black_box(&frame).clone();
            for member in &mut drawn.members {
                member.modulus_mpa *= 1.0 + 0.01 * f64::from(draw);
            }
            let state = drawn.responses().and_then(|found| found.as_given());
            largest = largest.max(state.map_or(0.0, |state| state.largest_residual().mm()));
        }
        largest
    });
}

/// A bookcase of six bays: two sides, bottom, top and a board on it, five dividers and six shelves, every joint square.
fn sixteen_parts() -> AssemblyPiece {
    let corner = |at: [f64; 3]| at.map(|mm| Coordinate::of(Length::from_mm_unchecked(mm)));
    let mut piece = AssemblyPiece::default();
    let part = |piece: &mut AssemblyPiece, low: [f64; 3], high: [f64; 3]| {
        piece.parts.push(AssemblyPart {
            name: format!("part {}", piece.parts.len()),
            boxes: vec![Cuboid::new(corner(low), corner(high))],
        });
        piece.parts.len() - 1
    };
    let join = |piece: &mut AssemblyPiece, one: usize, into: usize, face: BoxFace| {
        piece.joints.push(AssemblyJoint {
            glue: GlueJoint {
                name: format!("{one} in {into}"),
                between: [one, into],
                glued: true,
                spread: Duration::computed_seconds(40.0),
                close: Duration::computed_seconds(15.0),
                clamps: 2,
            },
            entry: Entry::Square,
            face,
        });
    };
    let left = part(&mut piece, [0.0; 3], [20.0, 300.0, 900.0]);
    let right = part(&mut piece, [2000.0, 0.0, 0.0], [2020.0, 300.0, 900.0]);
    let bottom = part(&mut piece, [12.0, 0.0, 60.0], [2008.0, 300.0, 80.0]);
    let top = part(&mut piece, [12.0, 0.0, 860.0], [2008.0, 300.0, 880.0]);
    let lid = part(&mut piece, [0.0, 0.0, 900.0], [2020.0, 300.0, 920.0]);
    for level in [bottom, top] {
        join(&mut piece, level, left, BoxFace::Left);
        join(&mut piece, level, right, BoxFace::Right);
    }
    for side in [left, right] {
        join(&mut piece, lid, side, BoxFace::Bottom);
    }
    let (mut wall, mut from) = (left, 20.0);
    for bay in 0..6 {
        let x = 350.0 + 330.0 * f64::from(bay);
        let (next, to) = if bay == 5 {
            (right, 2000.0)
        } else {
            let divider = part(&mut piece, [x - 10.0, 0.0, 72.0], [x + 10.0, 300.0, 868.0]);
            join(&mut piece, divider, bottom, BoxFace::Bottom);
            join(&mut piece, divider, top, BoxFace::Top);
            (divider, x - 10.0)
        };
        let shelf = part(
            &mut piece,
            [from - 8.0, 0.0, 400.0],
            [to + 8.0, 300.0, 420.0],
        );
        join(&mut piece, shelf, wall, BoxFace::Left);
        join(&mut piece, shelf, next, BoxFace::Right);
        (wall, from) = (next, to + 20.0);
    }
    piece
}

/// Sixteen parts, every split of every body: under 1 s.
#[divan::bench(sample_count = 5)]
fn assemble_sixteen_parts(bencher: divan::Bencher<'_, '_>) {
    let piece = sixteen_parts();
    let terms = GlueTerms {
        own_time: Some(Duration::computed_seconds(1200.0)),
        ..GlueTerms::default()
    };
    bencher.bench(|| plan_assembly(black_box(&piece), &terms));
}
