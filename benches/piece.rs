//! Speed of the piece: places into boxes, contacts, openings and chains, for cases of 30, 100 and 500 parts; the sweep beside every pair.

use divan::{Bencher, black_box};
use heartside::chart::{Elevation, FigureIds};
use heartside::job;
use heartside::piece::{
    At, BoxFace, Contact, Cuboid, Grain, Lies, Orientation, PartPlan, Place, Places, contacts,
    resolve,
};
use heartside::report::piece_of_job;
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

/// The same bookcase as a job file.
fn job_of(parts: usize) -> String {
    let mut text = String::from(
        "format = 2\n[job]\nname = \"Bookcase\"\nunits = \"mm\"\n\
         [places.shop]\nair = { temperature = \"18C\", humidity = \"55%\" }\n\
         [places.home]\nseasons = { winter = \"30%\", summer = \"55%\", temperature = \"20C\" }\n\
         [schedule]\nmeasured = 2026-10-05\ndelivered = 2026-11-20\n\
         [defaults]\nspecies = \"oak, white\"\nthickness = \"19 mm\"\nmoisture = \"8.5%\"\nrings = { sawn = \"rift\" }\n",
    );
    let bays = parts / 5;
    for bay in 0..=bays {
        text.push_str(&format!(
            "[[parts]]\nname = \"upright {bay}\"\ngrain = \"up\"\nlies = \"sideways\"\nwidth = \"300 mm\"\nlength = \"1800 mm\"\nleft = \"{} mm\"\nfront = \"0 mm\"\nbottom = \"0 mm\"\n",
            600 * bay
        ));
    }
    for bay in 0..bays {
        for shelf in 0..4 {
            text.push_str(&format!(
                "[[parts]]\nname = \"shelf {bay} {shelf}\"\nwidth = \"290 mm\"\nleft = \"9 mm into upright {bay}\"\nright = \"9 mm into upright {}\"\nfront = \"6 mm short of upright {bay}\"\nbottom = \"{} mm\"\n\
                 [[joints.dado]]\npiece = \"shelf {bay} {shelf}\"\ninto = [\"upright {bay}\", \"upright {}\"]\n",
                bay + 1,
                100 + 400 * shelf,
                bay + 1
            ));
        }
    }
    text
}

fn read(parts: usize) -> job::Job {
    job::read(&job_of(parts), "bookcase.toml").unwrap_or_else(|errors| panic!("{errors}"))
}

/// A job file read and checked, its places resolved and its joints found.
#[divan::bench(args = [30, 100, 500])]
fn read_and_resolved(bencher: Bencher<'_, '_>, parts: usize) {
    let text = job_of(parts);
    bencher.bench(|| job::read(black_box(&text), "bookcase.toml").is_ok());
}

/// From the front, from the side and pulled apart, with every name placed.
#[divan::bench(args = [30, 100, 500])]
fn drawn(bencher: Bencher<'_, '_>, parts: usize) {
    let job = read(parts);
    bencher.bench(|| {
        let figure = piece_of_job(black_box(&job))?;
        let mut ids = FigureIds::new();
        let drawn: Vec<String> = Elevation::ALL
            .into_iter()
            .map(|view| {
                figure
                    .draw(view, &ids.next("piece", view.word()))
                    .svg_file()
            })
            .collect();
        Some(drawn)
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
