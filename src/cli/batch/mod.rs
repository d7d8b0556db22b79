//! `heartside batch`: boards as rows in, rows out, as many as there are.

mod cells;
mod columns;
mod row;
mod stream;

pub use columns::Columns;
pub use row::{Change, Form, Rows, Task, Unanswered};

use super::woods::WoodFlags;
use super::{Failure, Output};
use crate::units::notation::MOST_LISTED;
use columns::ANSWERS;
use std::fs::File;
use std::io::{self, Read};
use std::process::ExitCode;
use std::sync::Arc;
use stream::{Broken, LONGEST_LINE, Lines, stream};

/// Boards as rows in, the same rows out with what each board does: width_change_mm, thickness_change_mm, cup_mm.
///
/// The first line names the columns, in any order and among others: species, width_mm, thickness_mm,
/// from_percent, to_percent, and where known pith_depth_mm and pith_offset_mm, or sawn (flat, rift, quarter).
/// Without _mm and _percent a column holds cells with units: width, thickness, from, to, pith_depth, pith_offset.
/// A row without rings is taken as flat-sawn. Cells are separated by commas, semicolons or tabs.
///
/// Rows stream: nothing is held back while the input pauses, and memory stays the same however long the table is.
/// A row that cannot be read keeps its place with empty answers; the first 20 are listed on standard error with their
/// lines, the others counted. Where no row can be answered the exit code is 2.
#[derive(Debug, clap::Args)]
#[command(after_long_help = PIPES)]
pub struct Args {
    /// The table (CSV); `-` is standard input.
    #[arg(default_value = "-", value_name = "FILE")]
    file: String,
    /// The table has no line of names: these are its columns.
    #[arg(long, value_name = "NAME,NAME,...")]
    columns: Option<String>,
    /// Ends with exit code 2 at the first row that cannot be read; the rows before it are answered.
    #[arg(long)]
    stop_on_error: bool,
    /// How many threads work; as many as the machine has cores unless given. The answer is the same.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
    #[command(flatten)]
    woods: WoodFlags,
}

const PIPES: &str = "One line in is one line out, so that it runs unchanged under anything that pipes lines. A table in \
pieces of a million rows, each piece in a process of its own:\n\n  \
tail -n +2 boards.csv | split -l 1000000 --filter='heartside batch --columns \"species,width_mm,thickness_mm,from_percent,to_percent\"' > moved.csv\n\n\
An engine that hands the records of its pieces to a program and takes back its lines asks for no more. In Apache Spark:\n\n  \
moved = boards.pipe(\"heartside batch --columns species,width_mm,thickness_mm,from_percent,to_percent\")";

/// The mark that some programs put in front of UTF-8.
const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

/// Answers the command.
///
/// # Errors
/// [`Failure`] when the columns are not given, the table cannot be read or written, or at the first malformed
/// row with `--stop-on-error`.
pub fn run(args: &Args, output: &mut Output<'_>) -> Result<ExitCode, Failure> {
    if args.file == "-" && args.woods.species_table.as_deref() == Some("-") {
        return Err(Failure::input(
            "error: standard input cannot be both the boards and --species-table; give one of them as a file",
        ));
    }
    let table = args.woods.table()?;
    let name = if args.file == "-" {
        "standard input"
    } else {
        &args.file
    };
    let input: Box<dyn Read + Send> = if args.file == "-" {
        Box::new(io::stdin())
    } else {
        Box::new(File::open(&args.file).map_err(|error| Failure::reading(name, &error))?)
    };
    let broken = |broken| failure(broken, name);
    let mut lines = Lines::new(input);
    let form = if output.wants_json() {
        Form::Json
    } else {
        Form::Csv
    };
    let columns = match &args.columns {
        Some(names) => Columns::read(names)
            .map_err(|words| Failure::input(format!("error: --columns: {words}")))?,
        None => {
            let head = lines.line().map_err(broken)?.ok_or_else(|| {
                Failure::input(format!("error: {name} is empty; {}", columns::REMEDY))
            })?;
            head_line(&head, name, form, output)?
        }
    };
    let task = Arc::new(Task {
        columns,
        table,
        form,
        stop_on_error: args.stop_on_error,
    });
    let threads = args.threads.map_or_else(
        || std::thread::available_parallelism().map_or(1, usize::from),
        usize::from,
    );
    let rows = (0..threads).map(|_| Rows::new(Arc::clone(&task))).collect();
    let (out, words) = output.streams();
    let mut given = 0;
    let passed = stream(lines, out, rows, args.stop_on_error, |row| {
        if given < MOST_LISTED {
            given += 1;
            let _closed_is_fine = writeln!(words, "{row}");
        }
    })
    .map_err(broken)?;
    if passed.unanswered > 0 {
        let first = if passed.unanswered > given as u64 {
            format!("; the first {given} are listed")
        } else {
            String::new()
        };
        output.say(&format!(
            "{} of {} rows have no answer{first}",
            passed.unanswered, passed.rows
        ));
    }
    // A table without rows is answered in full; of one with rows some must be.
    let none = passed.rows > 0 && passed.unanswered == passed.rows;
    Ok(if none {
        ExitCode::from(2)
    } else {
        ExitCode::SUCCESS
    })
}

/// Reads the line of names and passes it on with the names of the answers.
fn head_line(
    bytes: &[u8],
    name: &str,
    form: Form,
    output: &mut Output<'_>,
) -> Result<Columns, Failure> {
    let bare = bytes.strip_prefix(BYTE_ORDER_MARK).unwrap_or(bytes);
    let line = std::str::from_utf8(bare).map_err(|_| {
        Failure::input(format!(
            "error: {name}, line 1: the text is not UTF-8; save the table as CSV in UTF-8"
        ))
    })?;
    let names = line.trim_end_matches(['\n', '\r']);
    let columns = Columns::read(names)
        .map_err(|words| Failure::input(format!("error: {name}, line 1: {words}")))?;
    if form == Form::Csv {
        let delimiter = char::from(columns.delimiter());
        let end = if line.ends_with("\r\n") { "\r\n" } else { "\n" };
        let mark = &bytes[..bytes.len() - bare.len()];
        let mut head = mark.to_vec();
        head.extend_from_slice(names.as_bytes());
        for answer in ANSWERS {
            head.extend(format!("{delimiter}{answer}").bytes());
        }
        head.extend(end.bytes());
        output
            .out()
            .write_all(&head)
            .map_err(|error| Failure::writing("standard output", &error))?;
    }
    Ok(columns)
}

fn failure(broken: Broken, name: &str) -> Failure {
    match broken {
        Broken::Reading(error) => Failure::reading(name, &error),
        Broken::Writing(error) => Failure::writing("standard output", &error),
        Broken::LongLine(line) => Failure::input(format!(
            "error: {name}, line {line}: the line is longer than {LONGEST_LINE} bytes; this is no table of boards"
        )),
        Broken::Stopped(row) => Failure::input(format!("error: {name}, {row}")),
        Broken::Thread => Failure::input(
            "error: a thread was lost, and rows with it; please report the table that did it",
        ),
    }
}
