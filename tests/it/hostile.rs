//! Folders and jobs that come from anyone: nothing of the maker's is removed, replaced or emptied, nothing is waited for
//! or read without end.

use assert_cmd::cargo::cargo_bin;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};

const LIST: &str = "written-files.txt";
const HEADING: &str = "Files that heartside wrote here and may replace:";
const REPORT: &str = "piece-report";

struct Shop {
    folder: tempfile::TempDir,
}

impl Shop {
    /// A folder with the job of `heartside new`.
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let shop = Self { folder };
        assert!(shop.run(&["new", "piece.toml"]).status.success());
        shop
    }

    fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(cargo_bin("heartside"));
        command.args(args).current_dir(self.folder.path());
        command
    }

    fn run(&self, args: &[&str]) -> Output {
        self.command(args).output().unwrap()
    }

    fn forecast(&self) -> Output {
        self.run(&["forecast", "piece.toml", "--draws", "16"])
    }

    fn report(&self, files: &[(&str, &str)]) {
        fs::create_dir_all(self.at(REPORT)).unwrap();
        for (name, text) in files {
            fs::write(self.at(REPORT).join(name), text).unwrap();
        }
    }

    fn text(&self, name: &str) -> String {
        fs::read_to_string(self.at(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[track_caller]
fn refused(output: &Output, words: &[&str]) {
    assert_eq!(output.status.code(), Some(2), "{}", said(output));
    for word in words {
        assert!(said(output).contains(word), "{word}: {}", said(output));
    }
}

/// The digest of a file as a list of an own report tells it, which anyone can work out.
fn digest(bytes: &[u8]) -> String {
    heartside::report::digest(bytes)
}

#[test]
fn a_list_that_names_files_outside_its_folder_removes_none() {
    let shop = Shop::new();
    let outside = shop.at("accounts.txt");
    fs::write(&outside, "mine").unwrap();
    let sum = digest(b"mine");
    let absolute = outside.display().to_string();
    let names = [
        "../accounts.txt",
        "sub/../../accounts.txt",
        ".././accounts.txt",
        "..",
        ".",
        "",
        absolute.as_str(),
    ];
    // With the digest, and as a list without digests has it.
    let list = names.iter().fold(HEADING.to_owned() + "\n", |list, name| {
        list + &format!("{sum}  {name}\n{name}\n")
    });
    shop.report(&[(LIST, &list)]);
    let output = shop.forecast();
    assert!(output.status.success(), "{}", said(&output));
    assert_eq!(shop.text("accounts.txt"), "mine");
    assert!(!shop.text(&format!("{REPORT}/{LIST}")).contains("accounts"));
}

#[test]
fn a_list_without_its_heading_is_refused_and_kept() {
    for text in ["report.html\n", "\n", "Shopping\nnotes.txt\n"] {
        let shop = Shop::new();
        shop.report(&[(LIST, text), ("notes.txt", "mine")]);
        refused(&shop.forecast(), &["in the way", LIST, "--out"]);
        assert_eq!(shop.text(&format!("{REPORT}/{LIST}")), text);
        assert_eq!(shop.text(&format!("{REPORT}/notes.txt")), "mine");
        assert!(!shop.at(REPORT).join("report.html").exists());
    }
}

#[test]
fn a_file_of_the_maker_with_a_listed_name_is_neither_replaced_nor_removed() {
    // The list says that both were written, but not with these bytes.
    let sum = digest(b"what a report held");
    let list = format!("{HEADING}\n{sum}  report.html\n{sum}  notes.txt\nnotes.txt\n");
    let shop = Shop::new();
    shop.report(&[
        (LIST, &list),
        ("notes.txt", "mine"),
        ("report.html", "mine"),
    ]);
    refused(
        &shop.forecast(),
        &["report.html", "in the way", "changed", "--out"],
    );
    assert_eq!(shop.text(&format!("{REPORT}/report.html")), "mine");
    fs::remove_file(shop.at(REPORT).join("report.html")).unwrap();
    assert!(shop.forecast().status.success());
    assert_eq!(shop.text(&format!("{REPORT}/notes.txt")), "mine");
    // What a run wrote, the next replaces.
    assert!(shop.forecast().status.success());
}

#[test]
fn a_report_changed_by_hand_is_not_replaced() {
    let shop = Shop::new();
    assert!(shop.forecast().status.success());
    let report = format!("{REPORT}/report.html");
    fs::write(shop.at(&report), "with my notes").unwrap();
    refused(
        &shop.forecast(),
        &["report.html", "changed since heartside wrote it"],
    );
    assert_eq!(shop.text(&report), "with my notes");
}

#[cfg(unix)]
#[test]
fn nothing_is_written_through_a_link() {
    use std::os::unix::fs::symlink;
    let shop = Shop::new();
    fs::write(shop.at("accounts.txt"), "mine").unwrap();
    fs::create_dir(shop.at("private")).unwrap();
    // The folder itself.
    symlink(shop.at("private"), shop.at(REPORT)).unwrap();
    refused(&shop.forecast(), &[REPORT, "link", "--out"]);
    assert_eq!(fs::read_dir(shop.at("private")).unwrap().count(), 0);
    fs::remove_file(shop.at(REPORT)).unwrap();
    // What is in it: the list, the lock, a report, with a digest that fits.
    let sum = digest(b"mine");
    let list = format!("{HEADING}\n{sum}  report.html\n");
    for name in [LIST, "report.html", ".heartside-lock"] {
        fs::create_dir_all(shop.at(REPORT)).unwrap();
        fs::write(shop.at(REPORT).join(LIST), &list).unwrap();
        let _was_the_list = fs::remove_file(shop.at(REPORT).join(name));
        symlink(shop.at("accounts.txt"), shop.at(REPORT).join(name)).unwrap();
        refused(&shop.forecast(), &[name, "in the way"]);
        assert_eq!(shop.text("accounts.txt"), "mine", "{name}");
        fs::remove_dir_all(shop.at(REPORT)).unwrap();
    }
    // A link to nothing is in the way too, for a new job file as for a report.
    symlink(shop.at("nothing"), shop.at("other.toml")).unwrap();
    refused(&shop.run(&["new", "other.toml"]), &["there already"]);
    assert!(!shop.at("nothing").exists());
}

// A shell that becomes the program keeps its process number, so that the names that a run makes of it can be known before.
#[cfg(unix)]
#[test]
fn links_under_the_names_that_a_run_makes_up_empty_nothing() {
    let shop = Shop::new();
    fs::write(shop.at("accounts.txt"), "mine").unwrap();
    fs::create_dir(shop.at(REPORT)).unwrap();
    let script = "\
        for name in .heartside-probe-$$ .heartside-probe-$$-0 .report.html.$$.part .written-files.txt.$$.part; do\n\
          for folder in . piece-report; do ln -s \"$PWD/accounts.txt\" $folder/$name; done\n\
        done\n\
        exec \"$0\" forecast piece.toml --draws 16";
    let output = Command::new("sh")
        .args(["-c", script])
        .arg(cargo_bin("heartside"))
        .current_dir(shop.folder.path())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", said(&output));
    assert_eq!(shop.text("accounts.txt"), "mine");
}

#[test]
fn two_jobs_at_once_in_one_folder_leave_it_whole() {
    let shop = Shop::new();
    let other = shop.text("piece.toml").replace("top", "lid");
    fs::write(shop.at("other.toml"), other).unwrap();
    for _ in 0..4 {
        let start = |job: &str| {
            shop.command(&["forecast", job, "--draws", "16", "--out", REPORT])
                .stdout(Stdio::null())
                .stderr(Stdio::piped())
                .spawn()
                .unwrap()
        };
        let runs: Vec<_> = ["piece.toml", "other.toml", "piece.toml", "other.toml"]
            .map(start)
            .into();
        for run in runs {
            let output = run.wait_with_output().unwrap();
            assert!(output.status.success(), "{}", said(&output));
        }
    }
    let output = shop.forecast();
    assert!(output.status.success(), "{}", said(&output));
    // One report, as if it had been alone.
    let alone = Shop::new();
    assert!(alone.forecast().status.success());
    assert_eq!(names(&shop.at(REPORT)), names(&alone.at(REPORT)));
}

fn names(folder: &Path) -> BTreeMap<String, u64> {
    fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap())
        .map(|entry| {
            let name = entry.file_name().to_string_lossy().into_owned();
            (name, entry.metadata().unwrap().len())
        })
        .collect()
}

/// The job of `heartside new` with a file named in one of its keys.
fn job_naming(shop: &Shop, key: &str, path: &str) {
    let text = shop.text("piece.toml");
    let text = match key {
        "species" => text.replacen(
            "[job]\n",
            &format!("[job]\nspecies_table = \"{path}\"\n"),
            1,
        ),
        "leaves" => {
            text + &format!(
                "\n[[panels]]\nname = \"lid\"\nmatch = \"random\"\nspecies = \"maple, sugar\"\nleaves_file = \"{path}\"\n"
            )
        }
        key => {
            let mut kept = true;
            let mut lines: Vec<String> = text
                .lines()
                .filter(|line| {
                    if line.starts_with('[') {
                        kept = !line.starts_with("[places.home");
                    }
                    kept
                })
                .map(str::to_owned)
                .collect();
            lines.push("[places.home]".to_owned());
            lines.push(match key {
                "logger" => format!("logger = {{ file = \"{path}\" }}"),
                _ => format!("weather = \"{path}\""),
            });
            lines.join("\n") + "\n"
        }
    };
    fs::write(shop.at("named.toml"), text).unwrap();
}

/// Runs a command, and gives up on it long after it should have ended.
fn ends(mut command: Command) -> Output {
    let child = command
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (id, begun) = (child.id(), Instant::now());
    let (send, done) = std::sync::mpsc::channel();
    std::thread::spawn(move || send.send(child.wait_with_output()));
    match done.recv_timeout(Duration::from_secs(60)) {
        Ok(output) => output.unwrap(),
        Err(_) => {
            let _gone = Command::new("kill").args(["-9", &id.to_string()]).status();
            panic!("it waits for ever, {:?}", begun.elapsed());
        }
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_job_may_name_regular_files_of_bounded_size_only() {
    let shop = Shop::new();
    let made = Command::new("mkfifo").arg(shop.at("pipe.csv")).status();
    assert!(made.unwrap().success());
    fs::create_dir(shop.at("folder.csv")).unwrap();
    for (name, bytes) in [("large.csv", 300_000_000), ("pages.csv", 2_000_000)] {
        let file = fs::File::create(shop.at(name)).unwrap();
        file.set_len(bytes).unwrap();
    }
    for key in ["logger", "weather", "species", "leaves"] {
        for (path, reason) in [
            ("/dev/zero", "a pipe, a socket or a device"),
            ("pipe.csv", "a pipe, a socket or a device"),
            ("folder.csv", "a folder"),
            ("large.csv", "larger than the"),
        ] {
            job_naming(&shop, key, path);
            for command in ["validate", "forecast"] {
                let output = ends(shop.command(&[command, "named.toml"]));
                refused(
                    &output,
                    &[reason, &format!("\"{path}\""), "named.toml:", "help:"],
                );
            }
        }
    }
    for key in ["species", "leaves"] {
        job_naming(&shop, key, "pages.csv");
        refused(
            &shop.run(&["validate", "named.toml"]),
            &["larger than the 1000000 bytes"],
        );
    }
    // A file that is not there is no mistake in the text: exit code 3, at the same place.
    job_naming(&shop, "logger", "gone.csv");
    let output = shop.run(&["validate", "named.toml"]);
    assert_eq!(output.status.code(), Some(3), "{}", said(&output));
    for words in ["named.toml:", "could not read `gone.csv`", "help:"] {
        assert!(said(&output).contains(words), "{}", said(&output));
    }
}

/// The page that opens with a job takes the files that the command line takes, and no others.
#[cfg(target_os = "linux")]
#[test]
fn the_page_opens_with_a_job_that_names_a_pipe() {
    use std::io::{BufRead as _, BufReader, Read as _};
    let shop = Shop::new();
    let made = Command::new("mkfifo").arg(shop.at("pipe.csv")).status();
    assert!(made.unwrap().success());
    job_naming(&shop, "logger", "pipe.csv");
    let mut child = shop
        .command(&["serve", "named.toml", "--port", "0"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (send, said) = std::sync::mpsc::channel();
    let out = child.stdout.take().unwrap();
    std::thread::spawn(move || {
        let mut line = String::new();
        let _gone = BufReader::new(out).read_line(&mut line);
        send.send(line)
    });
    let address = said.recv_timeout(Duration::from_secs(60));
    std::thread::sleep(Duration::from_millis(200));
    child.kill().unwrap();
    let mut words = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut words)
        .unwrap();
    child.wait().unwrap();
    assert!(address.unwrap().starts_with("http://127.0.0.1:"), "{words}");
    assert!(
        words.contains("named.toml:") && words.contains("a pipe"),
        "{words}"
    );
}
