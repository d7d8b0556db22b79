//! `heartside serve` as a process: its address, its end, its job, and that it writes nothing.

use super::Answer;
use assert_cmd::cargo::cargo_bin;
use heartside::job;
use serde_json::{Value, json};
use std::fs;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};

struct Process {
    child: Child,
    out: BufReader<ChildStdout>,
    first: String,
}

impl Process {
    fn start(folder: &Path, args: &[&str]) -> Self {
        let mut child = Command::new(cargo_bin("heartside"))
            .current_dir(folder)
            .arg("serve")
            .args(args)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let mut first = String::new();
        out.read_line(&mut first).unwrap();
        Self { child, out, first }
    }

    /// The port of the address, and what is before every path.
    fn address(&self) -> (u16, &str) {
        let line = self.first.trim();
        let rest = line
            .strip_prefix("http://127.0.0.1:")
            .and_then(|rest| rest.strip_suffix('/'))
            .unwrap_or_else(|| panic!("`{line}` is no address"));
        let end = rest.find('/').unwrap_or(rest.len());
        (rest[..end].parse().unwrap(), &rest[end..])
    }

    fn port(&self) -> u16 {
        self.address().0
    }

    fn ask(&self, method: &str, path: &str, body: &str) -> Answer {
        let path = self.address().1.to_owned() + path;
        self.ask_at(method, &path, body)
    }

    fn ask_at(&self, method: &str, path: &str, body: &str) -> Answer {
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port())).unwrap();
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: localhost:{}\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n",
            self.port(),
            body.len()
        );
        stream.write_all((head + body).as_bytes()).unwrap();
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).unwrap();
        Answer::of(&bytes)
    }

    /// Sends a signal and waits for the end: the exit code, what else was printed, what was said, how long it took.
    #[cfg(unix)]
    fn end(mut self, signal: &str) -> (Option<i32>, String, String, Duration) {
        let sent = Instant::now();
        let status = Command::new("kill")
            .args([signal, &self.child.id().to_string()])
            .status()
            .unwrap();
        assert!(status.success());
        let code = self.child.wait().unwrap().code();
        let took = sent.elapsed();
        let (mut more, mut said) = (String::new(), String::new());
        self.out.read_to_string(&mut more).unwrap();
        let mut words = self.child.stderr.take().unwrap();
        words.read_to_string(&mut said).unwrap();
        (code, more, said, took)
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        let _gone_already = self.child.kill();
        let _gone_already = self.child.wait();
    }
}

#[cfg(unix)]
#[test]
fn it_tells_its_address_writes_no_file_and_ends_when_asked() {
    for signal in ["-TERM", "-INT"] {
        let folder = tempfile::tempdir().unwrap();
        let process = Process::start(folder.path(), &["--port", "0"]);
        assert_ne!(process.port(), 0);
        let asked =
            json!({ "text": job::blank(), "name": "job.toml", "draws": 16, "figures": "all" })
                .to_string();
        for path in ["/answer", "/json", "/report"] {
            assert_eq!(process.ask("POST", path, &asked).status, 200, "{path}");
        }
        assert_eq!(
            process
                .ask("POST", "/file?name=../a.csv", "Dear maker,\n")
                .status,
            422
        );
        // A connection that stays open, and one that asks nothing, do not keep it.
        let _open = TcpStream::connect((Ipv4Addr::LOCALHOST, process.port())).unwrap();
        let (code, more, said, took) = process.end(signal);
        assert_eq!(code, Some(0), "{signal}: {said}");
        assert_eq!(more, "", "one line is printed and no more");
        assert!(said.contains("Ctrl-C"), "{said}");
        assert!(!said.contains("panicked"), "{said}");
        assert!(took < Duration::from_secs(8), "{took:?}");
        assert_eq!(
            fs::read_dir(folder.path()).unwrap().count(),
            0,
            "a file was written"
        );
    }
}

#[test]
fn scripts_are_given_the_address_as_json() {
    let folder = tempfile::tempdir().unwrap();
    let mut process = Process::start(folder.path(), &["--port", "0", "--json"]);
    let mut text = process.first.clone();
    while serde_json::from_str::<Value>(&text).is_err() {
        assert!(process.out.read_line(&mut text).unwrap() > 0, "{text}");
    }
    let given: Value = serde_json::from_str(&text).unwrap();
    let address = given["address"].as_str().unwrap();
    assert!(
        address.starts_with("http://127.0.0.1:") && address.ends_with('/'),
        "{address}"
    );
}

#[test]
fn a_port_in_use_is_given_with_what_to_do() {
    let taken = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let output = Command::new(cargo_bin("heartside"))
        .args(["serve", "--port", &port])
        .output()
        .unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(3), "{said}");
    assert!(output.stdout.is_empty());
    for word in [port.as_str(), "in use", "--port"] {
        assert!(said.contains(word), "`{word}` is not in: {said}");
    }
}

#[test]
fn it_listens_to_this_machine_only() {
    let folder = tempfile::tempdir().unwrap();
    let process = Process::start(folder.path(), &["--port", "0"]);
    // The whole of 127/8 is this machine, but only one address of it was bound.
    let other = TcpStream::connect_timeout(
        &(Ipv4Addr::new(127, 0, 0, 2), process.port()).into(),
        Duration::from_secs(2),
    );
    assert!(other.is_err());
}

#[test]
fn a_job_is_opened_with_the_files_it_names() {
    let folder = tempfile::tempdir().unwrap();
    let text = job::blank()
        .replace(
            "# species_table = \"my-woods.csv\"",
            "species_table = \"my-woods.csv\"",
        )
        .replacen("species = \"maple, sugar\"", "species = \"pear\"", 1);
    fs::write(folder.path().join("mine.toml"), &text).unwrap();
    fs::write(
        folder.path().join("my-woods.csv"),
        "species,radial_percent,tangential_percent\nPear,4.6,9.1\n",
    )
    .unwrap();
    let process = Process::start(folder.path(), &["mine.toml", "--port", "0"]);
    let opened = process.ask("GET", "/start/given", "").json();
    assert_eq!(opened["text"], text);
    let asked =
        json!({ "text": text, "name": opened["name"], "draws": 16, "files": opened["files"] });
    let given = process.ask("POST", "/answer", &asked.to_string()).json();
    assert_eq!(given["problems"], json!([]));
    // Who does not know the whole address gets nothing, and each start has its own.
    let token = process.address().1;
    assert!(token.len() == 33 && token.starts_with('/'), "{token}");
    for path in ["/", "/start/given", "/page.js", "/schema", "//start/given"] {
        assert_eq!(process.ask_at("GET", path, "").status, 404, "{path}");
    }
    assert_eq!(process.ask_at("POST", "/answer", "{}").status, 404);
    for path in ["/", "/page.js", "/words"] {
        assert_eq!(process.ask("GET", path, "").status, 200, "{path}");
    }
    // A program started again knows no dropped file; given of the same job it has the same id.
    let again = Process::start(folder.path(), &["mine.toml", "--port", "0"]);
    assert_ne!(again.address().1, token);
    assert_eq!(again.ask("GET", "/start/given", "").json(), opened);
    // A job that is wrong is opened too, to be fixed; one that is not there is an error.
    fs::write(folder.path().join("wrong.toml"), "format = 2\n").unwrap();
    let wrong = Process::start(folder.path(), &["wrong.toml", "--port", "0"]);
    assert_eq!(
        wrong.ask("GET", "/start/given", "").json()["text"],
        "format = 2\n"
    );
    let output = Command::new(cargo_bin("heartside"))
        .current_dir(folder.path())
        .args(["serve", "nowhere.toml", "--port", "0"])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3));
}
