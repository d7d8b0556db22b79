//! How long whole answers take: a board's section, a job of forty parts and joints, the demo with its report, and the
//! start of the program itself beside that of an empty process.

use heartside::air::{AirState, equilibrium_moisture};
use heartside::forecast::{Airs, Forecast, Prepared, forecast};
use heartside::job::{self, Job};
use heartside::movement::{RingStrains, Rings, Section, Shrinkage};
use heartside::species::SpeciesTable;
use heartside::units::{Length, MoistureContent};
use std::hint::black_box;
use std::process::{Command, Stdio};

fn airs(job: &Job) -> Option<Airs> {
    let airs = job
        .airs(|_| Err::<Vec<u8>, _>("no files here"))
        .ok()?
        .into_iter()
        .map(|air| (air.year, air.notes))
        .collect();
    Some(Airs::new(airs))
}

/// A job of forty parts, each a door panel of its own width and moisture in a frame of the next, with forty joints.
fn forty() -> String {
    let mut text = String::from(
        "format = 2\n[job]\nname = \"Forty\"\nunits = \"mm\"\n\
         [places.shop]\nair = { temperature = \"18C\", humidity = \"55%\" }\n\
         [places.home]\nplace = \"Denver\"\nindoor = { heat_to = \"20C\" }\n\
         [schedule]\nmeasured = 2026-10-05\ndelivered = 2026-11-20\n",
    );
    let woods = [
        "walnut, black",
        "maple, sugar",
        "cherry, black",
        "oak, white",
    ];
    for number in 0..40 {
        text.push_str(&format!(
            "[[parts]]\nname = \"p{number}\"\nspecies = \"{}\"\nthickness = \"{} mm\"\nwidth = \"{} mm\"\nlength = \"900 mm\"\nmoisture = \"{}%\"\nrings = {{ pith_depth = \"{} mm\" }}\n",
            woods[number % 4],
            18 + number % 3,
            250 + 3 * number,
            8.0 + 0.05 * number as f64,
            60 + number,
        ));
    }
    for number in 0..40 {
        text.push_str(&format!(
            "[[joints.frame_and_panel]]\npiece = \"p{number}\"\ninto = \"p{}\"\nopening = \"{} mm\"\ngroove_width = \"12 mm\"\n",
            (number + 1) % 40,
            230 + 3 * number,
        ));
    }
    text
}

fn study(text: &str) -> Option<Forecast> {
    let job = job::read(text, "bench.toml").ok()?;
    let airs = airs(&job)?;
    forecast(&job, SpeciesTable::built_in(), &airs).ok()
}

#[divan::bench]
fn equilibrium_of_one_air() -> MoistureContent {
    equilibrium_moisture(black_box(AirState::computed(21.0, 50.0)))
}

#[divan::bench]
fn section_of_one_board(bencher: divan::Bencher<'_, '_>) {
    let shrinkage = SpeciesTable::built_in()
        .find("oak, white")
        .map(Shrinkage::of);
    let section = Section {
        width: Length::from_mm_unchecked(300.0),
        thickness: Length::from_mm_unchecked(25.0),
        rings: Rings::Pith {
            depth: Length::from_mm_unchecked(100.0),
            offset: Length::ZERO,
        },
    };
    let percent = MoistureContent::computed_percent;
    bencher.bench(|| {
        let strains = shrinkage
            .as_ref()
            .map(|wood| RingStrains::of(wood, percent(8.0), percent(12.0)));
        black_box(section)
            .moved(strains.ok()?)
            .map(|moved| moved.sizes())
    });
}

/// Everything of a job that is done once, whatever the number of draws: moisture solved over its grid.
#[divan::bench(sample_count = 10, sample_size = 1)]
fn forty_parts_made_ready(bencher: divan::Bencher<'_, '_>) {
    let job = job::read(&forty(), "forty.toml").ok();
    let airs = job.as_ref().and_then(airs);
    bencher.bench(|| {
        let (job, airs) = (job.as_ref()?, airs.as_ref()?);
        Prepared::new(job, SpeciesTable::built_in(), airs).ok()
    });
}

/// 8 192 draws of forty joints with their moisture years.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn forty_joints_all_draws(bencher: divan::Bencher<'_, '_>) {
    let text = forty();
    bencher.bench(|| study(black_box(&text)).is_some());
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn demo_forecast() -> bool {
    study(black_box(job::demo())).is_some()
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn demo_report_from_its_forecast(bencher: divan::Bencher<'_, '_>) {
    let found = study(job::demo());
    bencher.bench(|| found.as_ref().map(heartside::report::files));
}

fn run(program: &str, args: &[&str]) -> bool {
    Command::new(program)
        .args(args)
        .stdout(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}

/// The whole process: start, answer one `emc`, end.
#[divan::bench(sample_count = 50, sample_size = 1)]
fn start_and_answer_one_emc() -> bool {
    run(
        env!("CARGO_BIN_EXE_heartside"),
        &["emc", "--temperature", "70F", "--humidity", "50%"],
    )
}

/// The reference: a process that does nothing.
#[divan::bench(sample_count = 50, sample_size = 1)]
fn start_a_process_that_does_nothing() -> bool {
    run("true", &[])
}
