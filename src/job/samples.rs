//! Two job files the program can write: the demo and a commented blank.

/// The built-in demo: a walnut-and-maple hall sideboard, made in a damp coastal workshop for a heated house on
/// the high plains. Its figures are invented.
#[must_use]
pub const fn demo() -> &'static str {
    include_str!("demo.toml")
}

/// A commented job file to start from; it reads without a problem.
#[must_use]
pub const fn blank() -> &'static str {
    include_str!("blank.toml")
}
