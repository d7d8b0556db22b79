//! Boards as rows: rows a second on one core beside a general-purpose reader of the same rows, the whole process, and its
//! memory for short and long tables.

use divan::counter::ItemsCount;
use heartside::cli::batch::{Columns, Form, Rows, Task};
use heartside::species::SpeciesTable;
use std::fs;
use std::hint::black_box;
use std::io::{Read as _, Write as _};
use std::path::PathBuf;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::Arc;

const HEAD: &str =
    "species,width_mm,thickness_mm,from_percent,to_percent,pith_depth_mm,pith_offset_mm";
const ROWS: usize = 100_000;

/// Rows alike enough to be a list of boards: woods come in runs, sizes and moistures differ in every row.
fn rows(count: usize, pith: bool) -> Vec<u8> {
    let woods = ["oak white", "walnut black", "maple sugar", "cherry black"];
    let mut text = Vec::new();
    for row in 0..count {
        let wood = woods[row / 50 % 4];
        let (width, thickness) = (90.5 + (row % 257) as f64, 18.25 + (row % 31) as f64);
        let (from, to) = (7.5 + (row % 9) as f64 / 4.0, 5.0 + (row % 13) as f64 / 2.0);
        let rings = if pith {
            format!("{}.5,{}", 40 + row % 101, (row % 61) as i32 - 30)
        } else {
            ",".to_owned()
        };
        let _never_fails = writeln!(text, "{wood},{width},{thickness},{from},{to},{rings}");
    }
    text
}

fn task() -> Option<Arc<Task>> {
    Some(Arc::new(Task {
        columns: Columns::read(HEAD).ok()?,
        table: SpeciesTable::built_in().clone(),
        form: Form::Csv,
        stop_on_error: false,
    }))
}

/// One core: parsed, moved, written. With rings round a pith, and flat.
#[divan::bench(args = [true, false], sample_count = 20)]
fn one_core(bencher: divan::Bencher<'_, '_>, pith: bool) {
    let input = rows(ROWS, pith);
    let mut answering = task().map(Rows::new);
    let mut out = Vec::with_capacity(2 * input.len());
    let mut unanswered = Vec::new();
    bencher.counter(ItemsCount::new(ROWS)).bench_local(|| {
        out.clear();
        answering
            .as_mut()
            .map(|rows| rows.block(black_box(&input), 2, &mut out, &mut unanswered))
    });
    assert!(unanswered.is_empty());
}

/// The reference: a general reader and writer of CSV, the same numbers parsed and three of them written; no wood.
#[divan::bench(sample_count = 20)]
fn csv_read_parsed_and_written_without_any_wood(bencher: divan::Bencher<'_, '_>) {
    let input = rows(ROWS, true);
    bencher.counter(ItemsCount::new(ROWS)).bench_local(|| {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(black_box(&input[..]));
        let mut writer = csv::Writer::from_writer(Vec::with_capacity(2 * input.len()));
        let mut record = csv::StringRecord::new();
        while reader.read_record(&mut record).unwrap_or(false) {
            let numbers: Vec<f64> = record
                .iter()
                .skip(1)
                .filter_map(|cell| cell.parse().ok())
                .collect();
            for number in numbers.iter().take(3) {
                record.push_field(&format!("{number:.4}"));
            }
            let _memory_takes_all = writer.write_record(&record);
        }
        writer.into_inner().map_or(0, |bytes| bytes.len())
    });
}

fn file(name: &str, count: usize) -> Option<PathBuf> {
    let path = std::env::temp_dir().join(format!("{}-{name}.csv", std::process::id()));
    let mut file = fs::File::create(&path).ok()?;
    writeln!(file, "{HEAD}").ok()?;
    file.write_all(&rows(count, true)).ok()?;
    Some(path)
}

/// The whole process on a table of a million rows in a file.
#[divan::bench(args = ["1", "2"], sample_count = 3, sample_size = 1)]
fn a_million_rows_whole_process(bencher: divan::Bencher<'_, '_>, threads: &str) {
    let path = file(threads, 1_000_000);
    bencher
        .counter(ItemsCount::new(1_000_000_usize))
        .bench_local(|| {
            Command::new(env!("CARGO_BIN_EXE_heartside"))
                .args(["batch", "--threads", threads])
                .args(&path)
                .stdout(Stdio::null())
                .status()
                .is_ok_and(|status| status.success())
        });
    if let Some(path) = path {
        let _best_effort = fs::remove_file(path);
    }
}

fn drain(mut output: ChildStdout) -> std::thread::JoinHandle<()> {
    std::thread::spawn(move || {
        let mut room = vec![0; 1 << 16];
        while output.read(&mut room).is_ok_and(|count| count > 0) {}
    })
}

/// Maximum memory a process has held so far, from the system; `None` where it does not tell.
fn peak_kib(child: &Child) -> Option<u64> {
    let given = fs::read_to_string(format!("/proc/{}/status", child.id())).ok()?;
    let line = given.lines().find(|line| line.starts_with("VmHWM"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

/// Prints the memory of a process that has been sent ten thousand rows, a million, ten million.
#[expect(clippy::print_stdout, reason = "a bench tells its figure")]
pub(crate) fn memory() {
    for count in [10_000_usize, 1_000_000, 10_000_000] {
        let child = Command::new(env!("CARGO_BIN_EXE_heartside"))
            .arg("batch")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn();
        let Ok(mut child) = child else { return };
        let drained = child.stdout.take().map(drain);
        if let Some(mut input) = child.stdin.take() {
            let piece = rows(10_000, true);
            let mut right = writeln!(input, "{HEAD}").is_ok();
            for _ in 0..count / 10_000 {
                right &= input.write_all(&piece).is_ok();
            }
            if let Some(peak) = peak_kib(&child).filter(|_| right) {
                println!("{count:>9} rows: at most {peak} KiB of memory");
            }
        }
        let _ended = child.wait();
        let _emptied = drained.map(std::thread::JoinHandle::join);
    }
}
