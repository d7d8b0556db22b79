//! What happens when the machine fails: a full disk, a folder that cannot be written, a reader that goes away, streams
//! that are closed, jobs and files far larger than any maker's.

use assert_cmd::cargo::cargo_bin;
use std::fmt::Write as _;
use std::fs::{self, File};
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn heartside(args: &[&str]) -> Command {
    let mut command = Command::new(cargo_bin("heartside"));
    command.args(args);
    command
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Commands that print much or little, as words or as JSON, without writing a file.
const PRINTING: [&[&str]; 8] = [
    &["emc", "--temperature", "20C", "--humidity", "50%"],
    &["species"],
    &["species", "--json"],
    &["schema"],
    &["man"],
    &["completions", "bash"],
    &["--help"],
    &["--version"],
];

/// A disk that is full: exit code 3 and words, for every command that prints.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_behind_standard_output_is_given() {
    for args in PRINTING {
        let full = File::options().write(true).open("/dev/full").unwrap();
        let output = heartside(args).stdout(full).output().unwrap();
        assert_eq!(output.status.code(), Some(3), "{args:?}: {}", said(&output));
        let words = said(&output);
        assert!(
            words.contains("could not write `standard output`"),
            "{args:?}: {words}"
        );
        assert!(words.contains("No space left"), "{args:?}: {words}");
    }
    // Rows that stream stop there too.
    let full = File::options().write(true).open("/dev/full").unwrap();
    let folder = tempfile::tempdir().unwrap();
    let rows = folder.path().join("rows.csv");
    fs::write(
        &rows,
        "species,width_mm,thickness_mm,from_percent,to_percent\nbeech,100,20,9,6\n",
    )
    .unwrap();
    let output = heartside(&["batch", rows.to_str().unwrap()])
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3), "{}", said(&output));
}

/// A reader that goes away before anything is read, as `head` does: no error and no word.
#[test]
fn a_reader_that_is_gone_already_is_no_error() {
    for args in PRINTING {
        let mut child = heartside(args)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{args:?}: {}", said(&output));
        assert_eq!(said(&output), "", "{args:?}");
    }
}

/// Standard error on a full disk: the exit code still tells.
#[cfg(target_os = "linux")]
#[test]
fn words_that_cannot_be_said_change_no_exit_code() {
    let full = || File::options().write(true).open("/dev/full").unwrap();
    for (args, code) in [
        (
            &["emc", "--temperature", "20C", "--humidity", "nonsense"][..],
            2,
        ),
        (&["no-such-command"][..], 2),
        (&["climate", "/no/such/file"][..], 3),
        (&["emc", "--temperature", "20C", "--humidity", "50%"][..], 0),
    ] {
        let status = heartside(args)
            .stdout(Stdio::null())
            .stderr(full())
            .status()
            .unwrap();
        assert_eq!(status.code(), Some(code), "{args:?}");
    }
}

/// A disk that fills up while the report is written: what an earlier run wrote stays whole, and no part is left
/// lying. The system's limit on the size of a file stands for the disk; `tests/faults/run` fills a real one.
#[cfg(unix)]
#[test]
fn a_report_that_does_not_fit_leaves_the_earlier_one_whole() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("report");
    let out_text = out.to_str().unwrap();
    let job = folder.path().join("piece.toml");
    let job = job.to_str().unwrap();
    assert!(heartside(&["new", job]).output().unwrap().status.success());
    let forecast = ["forecast", job, "--draws", "16", "--out", out_text];
    assert!(heartside(&forecast).output().unwrap().status.success());
    let contents = |folder: &Path| {
        let mut files: Vec<(String, Vec<u8>)> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| !path.ends_with("written-files.txt"))
            .map(|path| (path.display().to_string(), fs::read(&path).unwrap()))
            .collect();
        files.sort();
        files
    };
    let before = contents(&out);
    // 100 blocks of 512 bytes: figures fit, the report does not.
    let limited =
        "trap '' XFSZ; ulimit -f 100; exec \"$0\" forecast --seed 9 --draws 16 --out \"$1\" \"$2\"";
    let output = Command::new("sh")
        .args(["-c", limited])
        .arg(cargo_bin("heartside"))
        .args([out_text, job])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3), "{}", said(&output));
    assert!(
        said(&output).contains("could not write"),
        "{}",
        said(&output)
    );
    assert!(contents(&out) == before, "the earlier report was touched");
    // Once there is room again, it is replaced.
    assert!(
        heartside(&forecast)
            .args(["--seed", "9"])
            .output()
            .unwrap()
            .status
            .success()
    );
    assert!(contents(&out) != before);
}

/// A folder that nobody may write in, whoever runs it: given before the long work, with its name.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_cannot_be_written_is_given_at_once() {
    for place in ["/proc/report", "/sys/report"] {
        let output = heartside(&["demo", "--out", place]).output().unwrap();
        assert_eq!(output.status.code(), Some(3), "{}", said(&output));
        assert!(
            said(&output).contains(&format!("could not write `{place}`")),
            "{}",
            said(&output)
        );
        assert!(output.stdout.is_empty());
    }
    let output = heartside(&["new", "/proc/piece.toml"]).output().unwrap();
    assert_eq!(output.status.code(), Some(3), "{}", said(&output));
}

/// A file where the folder should be, a folder where the file should be.
#[test]
fn a_file_for_a_folder_and_a_folder_for_a_file() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("report");
    fs::write(&file, "mine").unwrap();
    let output = heartside(&["demo", "--draws", "16", "--out", file.to_str().unwrap()])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3), "{}", said(&output));
    assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
    let folder = folder.path().to_str().unwrap();
    for args in [
        &["forecast", folder][..],
        &["climate", folder],
        &["match", folder, "--match", "random"],
        &["batch", folder],
    ] {
        let output = heartside(args).output().unwrap();
        assert_eq!(output.status.code(), Some(3), "{args:?}: {}", said(&output));
    }
}

fn job_of(parts: usize, draws: u32) -> String {
    let mut text = format!(
        "format = 2\n[job]\nname = \"Many\"\ndraws = {draws}\n\
         [places.shop]\nair = {{ temperature = \"18C\", humidity = \"55%\" }}\n\
         [places.home]\nair = {{ temperature = \"20C\", humidity = \"40%\" }}\n\
         [schedule]\nmeasured = 2026-10-05\ndelivered = 2026-11-20\n"
    );
    for part in 0..parts {
        let _always = write!(
            text,
            "[[parts]]\nname=\"p{part}\"\nspecies=\"oak, white\"\nthickness=\"2cm\"\nwidth=\"{}mm\"\nlength=\"1m\"\n\
             moisture=\"9%\"\nrings={{sawn=\"flat\"}}\n",
            100 + part % 200
        );
    }
    text
}

/// Ten thousand parts are more than a job file may hold, and thousands are more than may be drawn thousands of times; both are
/// given with what would do. They are read all the same.
#[test]
fn a_job_of_thousands_of_parts_is_read_or_refused_in_words() {
    let folder = tempfile::tempdir().unwrap();
    let run = |name: &str, text: &str, args: &[&str]| {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        let output = heartside(args)
            .arg(&path)
            .current_dir(folder.path())
            .output()
            .unwrap();
        (output.status.code(), said(&output))
    };
    let (code, words) = run("tenthousand.toml", &job_of(10_000, 8192), &["validate"]);
    assert_eq!(code, Some(2), "{words}");
    assert!(words.contains("at most 1000000"), "{words}");
    let (code, words) = run("sixthousand.toml", &job_of(6_000, 11_000), &["forecast"]);
    assert_eq!(code, Some(2), "{words}");
    assert!(
        words.contains("6000 parts")
            && words.contains("GB of memory")
            && words.contains("10016 draws"),
        "{words}"
    );
    assert!(!folder.path().join("sixthousand-report").exists());
    // Ten thousand alike are one part with a count.
    let (code, words) = run(
        "alike.toml",
        &(job_of(1, 16) + "count = 10000\n"),
        &["forecast"],
    );
    assert_eq!(code, Some(0), "{words}");
}

/// A name of half a megabyte: refused, and not repeated in the words.
#[test]
fn a_giant_value_is_refused_in_few_words() {
    let folder = tempfile::tempdir().unwrap();
    let giant = "x".repeat(500_000);
    for (key, given) in [
        ("\"p0\"", "name"),
        ("\"oak, white\"", "name"),
        ("\"2cm\"", "characters"),
    ] {
        let path = folder.path().join("giant.toml");
        fs::write(&path, job_of(1, 16).replace(key, &format!("\"{giant}\""))).unwrap();
        let output = heartside(&["validate"]).arg(&path).output().unwrap();
        assert_eq!(output.status.code(), Some(2));
        let words = said(&output);
        assert!(words.contains(given), "{words}");
        assert!(words.len() < 5_000, "{} bytes of words", words.len());
    }
}

/// A reading every ten seconds for two days is read to the last row.
#[test]
fn a_logger_of_many_readings_is_read_to_the_end() {
    let folder = tempfile::tempdir().unwrap();
    let mut text = "time,temperature (C),humidity (%)\n".to_owned();
    for reading in 0..17_280 {
        let (day, rest) = (reading / 8_640, reading % 8_640 * 10);
        let _always = writeln!(
            text,
            "2026-10-{:02} {:02}:{:02}:{:02},{:.2},{:.1}",
            day + 1,
            rest / 3600,
            rest / 60 % 60,
            rest % 60,
            18.0 + f64::from(reading % 100) / 50.0,
            50.0 + f64::from(reading % 30) / 10.0
        );
    }
    let path = folder.path().join("log.csv");
    fs::write(&path, text).unwrap();
    let output = heartside(&["climate", "--json"])
        .arg(&path)
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", said(&output));
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(answer["rows_used"], 17_280);
}
