//! `heartside` forecasts how the parts of a piece of furniture will move.
//!
//! The rooms stand in order; each uses only those above it.
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::float_cmp,
        reason = "a test may stop on a surprise"
    )
)]

pub mod units;

pub mod numerics;

pub mod chance;

pub mod species;

pub mod air;

pub mod moisture;

pub mod movement;

pub mod stock;

pub mod panel;

pub mod joint;

pub mod carcass;

pub mod job;

pub mod forecast;

pub mod chart;

pub mod report;

pub mod page;

pub mod cli;
