//! Runs that are ended midway: by Ctrl-C while they draw, and at once while they write. What an earlier run wrote stays
//! whole, and the next run finds its way.
#![cfg(target_os = "linux")]

use assert_cmd::cargo::cargo_bin;
use std::collections::BTreeMap;
use std::fs;
use std::os::unix::process::ExitStatusExt as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// How long anything may take before the test gives up: far longer than it does take.
const PATIENCE: Duration = Duration::from_secs(120);

struct Shop {
    _folder: tempfile::TempDir,
    job: PathBuf,
    out: PathBuf,
}

impl Shop {
    /// A job and the report of an earlier run.
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (job, out) = (
            folder.path().join("piece.toml"),
            folder.path().join("report"),
        );
        let new = Command::new(cargo_bin("heartside"))
            .arg("new")
            .arg(&job)
            .stderr(Stdio::null())
            .status();
        assert!(new.unwrap().success());
        let shop = Self {
            _folder: folder,
            job,
            out,
        };
        assert!(shop.run("1").wait().unwrap().success());
        shop
    }

    fn command(&self, program: &mut Command, seed: &str, draws: &str) -> Child {
        program
            .args(["forecast", "--seed", seed, "--draws", draws, "--out"])
            .arg(&self.out)
            .arg(&self.job)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap()
    }

    fn run(&self, seed: &str) -> Child {
        self.command(&mut Command::new(cargo_bin("heartside")), seed, "16")
    }

    /// Every file of the report but the list of them.
    fn report(&self) -> BTreeMap<String, Vec<u8>> {
        let mut files = read(&self.out);
        files.remove("written-files.txt");
        files
    }
}

fn read(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap())
        .filter(|entry| entry.file_type().unwrap().is_file())
        .map(|entry| {
            let name = entry.file_name().to_string_lossy().into_owned();
            (name, fs::read(entry.path()).unwrap())
        })
        .collect()
}

fn is_part(name: &str) -> bool {
    name.ends_with(".part")
}

fn send(signal: &str, child: &Child) {
    let sent = Command::new("kill")
        .args([signal, &child.id().to_string()])
        .status()
        .unwrap();
    assert!(sent.success());
}

/// Waits until a thing is so.
fn wait_for(what: &str, mut is: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !is() {
        assert!(begun.elapsed() < PATIENCE, "{what} never came");
        std::thread::sleep(Duration::from_millis(2));
    }
}

/// Time that a process has worked, in hundredths of a second, from field 14 of its status line.
fn worked(child: &Child) -> u64 {
    let line = fs::read_to_string(format!("/proc/{}/stat", child.id())).unwrap_or_default();
    let after = line.rsplit(')').next().unwrap_or_default();
    after
        .split_whitespace()
        .nth(11)
        .and_then(|time| time.parse().ok())
        .unwrap_or(0)
}

// Ctrl-C while it draws: nothing is touched. So many draws take far longer than the third of a second it is given.
#[test]
fn interrupted_while_it_draws_it_has_touched_nothing() {
    let shop = Shop::new();
    let (before, beside) = (read(&shop.out), read(shop.out.parent().unwrap()));
    let mut long = shop.command(&mut Command::new(cargo_bin("heartside")), "2", "300000");
    wait_for("work", || worked(&long) > 30);
    assert!(long.try_wait().unwrap().is_none(), "it is still drawing");
    send("-INT", &long);
    let ended = long.wait().unwrap();
    assert_eq!(ended.signal(), Some(2), "{ended}");
    assert!(read(&shop.out) == before, "the report was touched");
    assert!(
        read(shop.out.parent().unwrap()) == beside,
        "something lies beside the report"
    );
}

// Ended at once in the middle of a file: the system ends a process that writes more than it is allowed, here in the middle
// of the report, with no chance to tidy up. Every file is that of the run before; the next run tidies up.
#[test]
fn ended_in_the_middle_of_a_file_the_earlier_report_is_whole() {
    let shop = Shop::new();
    let before = shop.report();
    let mut shell = Command::new("sh");
    shell
        .args(["-c", "ulimit -c 0; ulimit -f 100; exec \"$0\" \"$@\""])
        .arg(cargo_bin("heartside"));
    let ended = shop.command(&mut shell, "2", "16").wait().unwrap();
    assert_eq!(ended.signal(), Some(25), "{ended}");
    let mut after = shop.report();
    assert!(
        after.keys().any(|name| is_part(name)),
        "it was ended before it wrote"
    );
    after.retain(|name, _| !is_part(name));
    assert!(after == before, "the earlier report was touched");
    assert!(shop.run("2").wait().unwrap().success());
    let tidy = shop.report();
    assert!(!tidy.keys().any(|name| is_part(name)), "parts are left");
    assert!(tidy["report.html"] != before["report.html"]);
}

// Killed as soon as it is seen to write: every file is whole, that of the run before or that of this one.
#[test]
fn killed_while_it_writes_every_file_is_whole() {
    let shop = Shop::new();
    let before = shop.report();
    assert!(shop.run("2").wait().unwrap().success());
    let written = shop.report();
    let mut caught = 0;
    for _ in 0..2 {
        assert!(shop.run("1").wait().unwrap().success());
        assert!(shop.report() == before, "the same seed, the same bytes");
        let mut writing = shop.run("2");
        let begun = Instant::now();
        let seen = loop {
            if fs::read_dir(&shop.out)
                .unwrap()
                .any(|entry| is_part(&entry.unwrap().file_name().to_string_lossy()))
            {
                break true;
            }
            if writing.try_wait().unwrap().is_some() {
                break false;
            }
            assert!(begun.elapsed() < PATIENCE);
        };
        if seen {
            send("-KILL", &writing);
        }
        let ended = writing.wait().unwrap();
        caught += usize::from(ended.signal() == Some(9));
        for (name, bytes) in shop.report().iter().filter(|(name, _)| !is_part(name)) {
            assert!(
                before.get(name) == Some(bytes) || written.get(name) == Some(bytes),
                "{name} is not whole"
            );
        }
    }
    assert!(caught > 0, "it was never killed midway");
    assert!(shop.run("2").wait().unwrap().success());
    assert!(shop.report() == written, "what is left is not tidied up");
}
