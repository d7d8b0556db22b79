//! The command line: clap types, one file per command. The only room that
//! reads and writes files; with `page` the only one that knows a clock or a socket.
//!
//! A command is a file with an `Args` struct and a `run` that writes its
//! answer to the [`Output`]: one JSON object with `--json`, plain words without.

pub mod batch;
mod board;
mod bond;
mod climate;
mod demo;
mod emc;
mod failure;
mod files;
mod finishes;
mod fit;
mod forecast;
mod glueup;
mod install;
mod job_files;
mod kept_rings;
mod list;
mod log;
mod match_leaves;
mod new;
mod output;
mod paperwork;
mod picture;
mod places;
mod resaw;
mod resaw_flags;
mod rest;
mod ring_flags;
mod rings;
mod room;
mod serve;
mod sheet;
mod shelf;
mod species;
mod straighten;
mod streams;
mod validate;
mod woods;

pub use failure::Failure;
pub use streams::Output;

use crate::units::notation::shown;
use crate::units::{Length, UnitSystem};
use clap::{Parser, Subcommand};
use std::io::{self, IsTerminal, Write};
use std::process::ExitCode;

/// Forecasts how the parts of a piece of furniture will move, and says what to cut today.
#[derive(Debug, Parser)]
#[command(
    name = "heartside",
    version,
    propagate_version = true,
    disable_help_subcommand = true,
    max_term_width = 100
)]
pub struct Cli {
    #[command(subcommand)]
    command: Command,
    /// One JSON object on standard output: metric, keys end in their unit.
    #[arg(long, global = true)]
    json: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
    Demo(demo::Args),
    New(new::Args),
    Validate(validate::Args),
    List(list::Args),
    Log(Box<log::Args>),
    Sheet(sheet::Args),
    Picture(picture::Args),
    Forecast(forecast::Args),
    Species(species::Args),
    Finishes(finishes::Args),
    Places(places::Args),
    Emc(emc::Args),
    Board(board::Args),
    Rings(Box<rings::Args>),
    Resaw(Box<resaw::Args>),
    Rest(rest::Args),
    Match(match_leaves::Args),
    Fit(fit::Args),
    Bond(bond::Args),
    Straighten(straighten::Args),
    Shelf(shelf::Args),
    Glueup(glueup::Args),
    Install(install::Args),
    Climate(climate::Args),
    Batch(batch::Args),
    Serve(serve::Args),
    Schema(paperwork::SchemaArgs),
    Completions(paperwork::CompletionsArgs),
    Man(paperwork::ManArgs),
}

impl Command {
    fn run(self, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
        match self {
            Self::Demo(args) => demo::run(args, output),
            Self::New(args) => new::run(args, output),
            Self::Validate(args) => validate::run(args, output),
            Self::Sheet(args) => sheet::run(args, output),
            Self::Log(args) => log::run(&args, output),
            Self::List(args) => list::run(&args, output),
            Self::Picture(args) => picture::run(&args, output),
            Self::Forecast(args) => forecast::run(args, output),
            Self::Species(args) => species::run(args, output),
            Self::Finishes(args) => finishes::run(args, output),
            Self::Places(args) => places::run(args, output),
            Self::Emc(args) => emc::run(args, output),
            Self::Board(args) => board::run(args, output),
            Self::Rings(args) => rings::run(*args, output),
            Self::Resaw(args) => resaw::run(&args, output),
            Self::Rest(args) => rest::run(&args, output),
            Self::Match(args) => match_leaves::run(args, output),
            Self::Fit(args) => fit::run(args, output),
            Self::Bond(args) => bond::run(args, output),
            Self::Straighten(args) => straighten::run(args, output),
            Self::Shelf(args) => shelf::run(args, output),
            Self::Glueup(args) => glueup::run(args, output),
            Self::Install(args) => install::run(args, output),
            Self::Climate(args) => climate::run(args, output),
            Self::Batch(args) => batch::run(&args, output),
            Self::Serve(args) => serve::run(&args, output),
            Self::Schema(args) => paperwork::schema(args, output),
            Self::Completions(args) => paperwork::completions(args, output),
            Self::Man(args) => paperwork::man(args, output),
        }
    }
}

/// A length in the words of an answer: millimetres first, inches beside them.
fn both(length: Length) -> String {
    shown(length, UnitSystem::Metric)
}

/// Runs the command line given in the process's arguments.
#[must_use]
pub fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => return Failure::usage(&error),
    };
    // Data goes out byte for byte; words lose their colours where a terminal does not show them.
    let mut out: Box<dyn Write> = match cli.command {
        Command::Batch(_) if io::stdout().is_terminal() => {
            Box::new(streams::Seen(io::stdout().lock()))
        }
        Command::Batch(_) => Box::new(io::stdout().lock()),
        _ => Box::new(anstream::stdout().lock()),
    };
    let mut words = anstream::stderr().lock();
    let outcome = cli
        .command
        .run(&mut Output::new(&mut *out, &mut words, cli.json));
    drop((out, words));
    outcome.unwrap_or_else(|failure| failure.tell())
}
