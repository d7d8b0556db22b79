//! What a log adds to a forecast of the demo with all its draws: fifty entries beside none.

use heartside::forecast::{Airs, Ready, forecast};
use heartside::job::{self, Job};
use heartside::species::SpeciesTable;
use std::fmt::Write as _;
use std::hint::black_box;

/// The demo with so many readings of its parts, in turn.
fn logged(entries: usize) -> Option<(Job, Airs)> {
    let mut text = job::demo().to_owned();
    let plain = job::read(&text, "bench.toml").ok()?;
    let days = ["2026-10-12", "2026-10-19", "2026-10-26", "2026-11-02"];
    let parts = plain.parts.len();
    for number in 0..entries {
        let part = &plain.parts[number % parts];
        let day = days[(number / parts) % days.len()];
        let reading = if number % 3 == 0 {
            format!("moisture = \"{:.1}%\"", part.moisture.percent() - 0.2)
        } else {
            format!("width = \"{:.2} mm\"", part.width.mm() - 0.1)
        };
        let _ = write!(
            text,
            "\n[[log]]\ndate = {day}\npart = \"{}\"\n{reading}\n",
            part.name
        );
    }
    let job = job::read(&text, "bench.toml").ok()?;
    let airs = job
        .airs(|_| Err::<Vec<u8>, _>("no files here"))
        .ok()?
        .into_iter()
        .map(|air| (air.year, air.notes))
        .collect();
    Some((job, Airs::new(airs)))
}

/// All draws, with so many entries.
#[divan::bench(args = [0, 1, 10, 50], sample_count = 6, sample_size = 1)]
fn demo_forecast_with_a_log(bencher: divan::Bencher<'_, '_>, entries: usize) {
    let made = logged(entries);
    bencher.bench(|| {
        let (job, airs) = made.as_ref()?;
        forecast(black_box(job), SpeciesTable::built_in(), airs).ok()
    });
}

/// What `validate` pays.
#[divan::bench(args = [0, 50], sample_count = 6, sample_size = 1)]
fn demo_made_ready_with_a_log(bencher: divan::Bencher<'_, '_>, entries: usize) {
    let made = logged(entries);
    bencher.bench(|| {
        let (job, airs) = made.as_ref()?;
        Ready::new(black_box(job), SpeciesTable::built_in(), airs).ok()
    });
}
