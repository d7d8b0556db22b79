//! Speed of the piece: places into boxes, contacts, openings and chains, for cases of 30, 100 and 500 parts; the sweep beside every pair.

use divan::{Bencher, black_box};
use heartside::piece::{
    At, BoxFace, Contact, Cuboid, Grain, Lies, Orientation, PartPlan, Place, Places, contacts,
    resolve,
};
use heartside::units::Length;
use heartside::units::notation::length;
use heartside::units::spanned::{Problems, ReadNotation};

fn part(
    name: String,
    turned: (Grain, Lies),
    sizes: [Option<f64>; 3],
    at: &[(BoxFace, String)],
) -> Option<PartPlan> {
    let mut places = Places::default();
    for (face, phrase) in at {
        places.faces[*face as usize] = Place::read(phrase)
            .ok()
            .map(|value| At { value, span: 0..1 });
    }
    Some(PartPlan {
        name,
        span: 0..1,
        orientation: Orientation::new(turned.0.axis(), turned.1.axis())?,
        sizes: sizes.map(|size| {
            size.map(|mm| At {
                value: Length::from_mm_unchecked(mm),
                span: 0..1,
            })
        }),
        places,
        opening: None,
        copies: Vec::new(),
        group: None,
        thickness_from_to: None,
    })
}

/// A bookcase of so many parts: uprights with shelves between them.
fn bookcase(parts: usize) -> Vec<PartPlan> {
    const SHELVES: usize = 4;
    let bays = parts / (SHELVES + 1);
    let mut plans = Vec::new();
    for bay in 0..=bays {
        plans.extend(part(
            format!("upright {bay}"),
            (Grain::Up, Lies::Sideways),
            [Some(1800.0), Some(300.0), Some(19.0)],
            &[
                (BoxFace::Left, format!("{}mm", bay * 600)),
                (BoxFace::Front, "0in".into()),
                (BoxFace::Bottom, "0in".into()),
            ],
        ));
    }
    for bay in 0..bays {
        for shelf in 0..SHELVES {
            plans.extend(part(
                format!("shelf {bay} {shelf}"),
                (Grain::Across, Lies::Flat),
                [None, Some(290.0), Some(19.0)],
                &[
                    (BoxFace::Left, format!("3/8in into upright {bay}")),
                    (BoxFace::Right, format!("3/8in into upright {}", bay + 1)),
                    (BoxFace::Front, format!("1/4in short of upright {bay}")),
                    (BoxFace::Bottom, format!("{}mm", 100 + 400 * shelf)),
                ],
            ));
        }
    }
    plans.truncate(parts);
    plans
}

#[divan::bench(args = [30, 100, 500])]
fn resolved(bencher: Bencher<'_, '_>, parts: usize) {
    let plans = bookcase(parts);
    bencher.bench(|| {
        let mut problems = Problems::new();
        resolve(black_box(&plans), &[], &mut problems)
    });
}

fn boxes(parts: usize) -> Vec<Cuboid> {
    let mut problems = Problems::new();
    resolve(&bookcase(parts), &[], &mut problems)
        .map(|piece| piece.bodies.iter().map(|body| body.cuboid).collect())
        .unwrap_or_default()
}

#[divan::bench(args = [30, 500, 4000])]
fn contacts_by_sweep(bencher: Bencher<'_, '_>, parts: usize) {
    let boxes = boxes(parts);
    bencher.bench(|| contacts(black_box(&boxes)));
}

/// The reference: every pair.
#[divan::bench(args = [30, 500, 4000])]
fn contacts_of_every_pair(bencher: Bencher<'_, '_>, parts: usize) {
    let boxes = boxes(parts);
    bencher.bench(|| {
        let mut found = Vec::new();
        for b in 0..boxes.len() {
            for a in 0..b {
                found.extend(Contact::between(a, &boxes[a], b, &boxes[b]));
            }
        }
        found
    });
}

#[divan::bench]
fn one_phrase(bencher: Bencher<'_, '_>) {
    bencher.bench(|| {
        (
            Place::read(black_box("3/8in into left side")),
            length(black_box("15 3/4in")),
        )
    });
}
