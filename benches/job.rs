//! How long a job file takes to be read and checked, and shop notation to be read.

use heartside::{job, units::notation};
use std::hint::black_box;

/// A file of nearly a megabyte: thousands of parts alike but in name.
fn largest() -> String {
    let head = job::demo().split("[[parts]]").next().unwrap_or_default();
    let mut text = head.to_owned();
    let mut number = 0;
    while text.len() < job::MAX_BYTES - 500 {
        number += 1;
        text.push_str(&format!(
            "[[parts]]\nname = \"slat {number}\"\nspecies = \"maple, sugar\"\nthickness = \"3/4in\"\nwidth = \"2 1/4in\"\nlength = \"30in\"\nmoisture = \"9%\"\nrings = {{ sawn = \"flat\" }}\n"
        ));
    }
    text
}

#[divan::bench]
fn the_demo() -> bool {
    job::read(black_box(job::demo()), "demo.toml").is_ok()
}

#[divan::bench]
fn a_megabyte_of_parts(bencher: divan::Bencher<'_, '_>) {
    let text = largest();
    bencher.bench(|| job::read(black_box(&text), "large.toml").is_ok());
}

#[divan::bench(args = ["7/8in", "8' 6 1/2in", "25,4 mm"])]
fn a_length(text: &str) -> bool {
    notation::length(black_box(text)).is_ok()
}
