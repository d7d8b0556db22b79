//! The one integration binary: a module a room, then the commands and the house itself.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    reason = "a test may stop on a surprise"
)]

mod air;
mod batch;
mod carcass;
mod chance;
mod chart;
mod commands;
mod coverage;
mod crowd;
mod faults;
mod forecast;
mod hostile;
mod house;
mod interrupted;
mod job;
mod joint;
mod json_keys;
mod language;
mod log;
mod measured;
mod moisture;
mod movement;
mod narrowing;
mod numerics;
mod page;
mod panel;
mod pictures;
mod piece;
mod ranges;
mod report;
mod rings;
mod run;
mod scaling;
mod sense;
mod species;
mod stock;
mod texts;
mod units;

/// Whether an answer was refused in such words.
fn refused<T>(found: Result<T, heartside::units::Refusal>, words: &str) -> bool {
    found.is_err_and(|refusal| refusal.to_string().contains(words))
}
