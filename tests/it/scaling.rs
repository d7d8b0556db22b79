//! Four times the input costs at most six times the processor time, however hostile it is, on the command line and
//! through the page; what is said of it stays short. Processor time of the process, not the clock: other work on the
//! machine does not count.
#![cfg(target_os = "linux")]

use assert_cmd::cargo::cargo_bin;
use serde_json::json;
use std::fmt::Write as _;
use std::fs;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{Ipv4Addr, TcpStream};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// How much more four times the input may cost.
const MOST: f64 = 6.0;
/// Less than this is the start of a process, and noise. Seconds.
const FLOOR: f64 = 0.15;
/// No more is said of any input, bytes.
const MOST_SAID: usize = 60_000;

const HEAD: &str = "format = 2\n[job]\nname = \"Many\"\ndraws = 16\n\
    [places.shop]\nair = { temperature = \"18C\", humidity = \"55%\" }\n\
    [places.home]\nair = { temperature = \"20C\", humidity = \"40%\" }\n\
    [schedule]\nmeasured = 2026-10-05\ndelivered = 2026-11-20\n";

fn part(name: &str) -> String {
    format!(
        "[[parts]]\nname=\"{name}\"\nspecies=\"oak, white\"\nthickness=\"2cm\"\nwidth=\"30cm\"\nlength=\"1m\"\n\
         moisture=\"9%\"\nrings={{sawn=\"flat\"}}\n"
    )
}

fn unnamed_joints(count: usize) -> String {
    let mut text = HEAD.to_owned() + &part("a") + &part("b");
    for joint in 0..count {
        let _always = write!(
            text,
            "[[joints.dado]]\ninto=\"a\"\npiece=\"b\"\nface=\"{}\"\nat=\"{}mm\"\ndepth=\"8mm\"\n",
            ["inside", "outside"][joint % 2],
            100 + joint % 800
        );
    }
    text
}

/// Two unknown names a joint, beside parts in the ratio that the issue was found at.
fn unknown_parts(count: usize) -> String {
    let mut text = HEAD.to_owned();
    for number in 0..count * 7 / 18 {
        text.push_str(&part(&format!("p{number}")));
    }
    for number in 0..count {
        let _always = write!(
            text,
            "[[joints.dado]]\ninto=\"x{number}\"\npiece=\"y{number}\"\nat=\"1cm\"\n"
        );
    }
    text
}

fn unknown_keys(count: usize) -> String {
    let mut text = HEAD.to_owned();
    for number in 0..count {
        let _always = writeln!(text, "k{number} = 1");
    }
    text
}

fn wide_logger(count: usize) -> String {
    format!(
        "date,temperature,humidity{}\n2026-01-01 10:00,20,50{}\n",
        ",x".repeat(count),
        ",1".repeat(count)
    )
}

fn wide_table(count: usize) -> String {
    let mut text = "species,radial_percent,tangential_percent".to_owned();
    for number in 0..count {
        let _always = write!(text, ",c{number}");
    }
    text + "\npear,4.6,9.1\n"
}

fn many_woods(count: usize) -> String {
    let mut text = "species,radial_percent,tangential_percent\n".to_owned();
    for number in 0..count {
        let _always = writeln!(text, "Pear {number},4.6,much");
    }
    text
}

fn leaves(count: usize) -> String {
    let mut text = "leaf,width_mm,thickness_mm,length_mm,bow_mm,cup_mm\n".to_owned();
    for leaf in 0..count {
        let _always = writeln!(
            text,
            "l{leaf},100,9,900,{},{}",
            (leaf * 37 % 19) as f64 / 4.0 - 2.0,
            (leaf * 53 % 11) as f64 / 9.0
        );
    }
    text
}

fn faulty_leaves(count: usize) -> String {
    let mut text = "leaf,width,thickness,length,bow\n".to_owned();
    for leaf in 0..count {
        let _always = writeln!(text, "l{leaf},1,2,3,4");
    }
    text
}

fn faulty_boards(count: usize) -> String {
    let mut text = "species,width_mm,thickness_mm,from_percent,to_percent\n".to_owned();
    for row in 0..count {
        let _always = writeln!(text, "wood {row},100,20,9,6");
    }
    text
}

fn supports(count: usize) -> String {
    let places: Vec<String> = (0..count)
        .map(|at| format!("{}mm", 4000.0 * at as f64 / (count - 1) as f64))
        .collect();
    places.join(", ")
}

/// Whether a process has ended, and the processor time it and its threads have used, seconds.
fn used(child: &Child) -> (bool, f64) {
    const TICKS_A_SECOND: f64 = 100.0;
    let line = fs::read_to_string(format!("/proc/{}/stat", child.id())).unwrap();
    let after = line.rsplit(')').next().unwrap();
    let fields: Vec<&str> = after.split_whitespace().collect();
    let ticks: f64 = fields[11..13]
        .iter()
        .map(|field| field.parse::<f64>().unwrap())
        .sum();
    (fields[0] == "Z", ticks / TICKS_A_SECOND)
}

/// The processor time of a run, and what it said on both streams.
fn run(args: &[&str]) -> (f64, usize) {
    let folder = tempfile::tempdir().unwrap();
    let (out, err) = (folder.path().join("out"), folder.path().join("err"));
    let mut child = Command::new(cargo_bin("heartside"))
        .args(args)
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .stdout(fs::File::create(&out).unwrap())
        .stderr(fs::File::create(&err).unwrap())
        .spawn()
        .unwrap();
    // Its time can be read until it is waited for.
    let seconds = loop {
        match used(&child) {
            (true, seconds) => break seconds,
            (false, _) => std::thread::sleep(Duration::from_millis(10)),
        }
    };
    let code = child.wait().unwrap().code();
    let said = fs::read_to_string(&err).unwrap();
    assert!(matches!(code, Some(0 | 2)), "{args:?}: {code:?} {said}");
    assert!(!said.contains("panicked"), "{said}");
    (seconds, fs::read(&err).unwrap().len())
}

/// Asks with an input of a size and of four times that size. Another program on the machine can spoil a measurement
/// but not better it, so one of three tries has to pass; each asks something new, since answers are remembered.
fn scales(what: &str, count: usize, mut ask: impl FnMut(usize) -> (f64, usize)) {
    let mut tries = Vec::new();
    for count in count..count + 3 {
        let [small, large] = [count, 4 * count].map(&mut ask);
        for (_, said) in [small, large] {
            assert!(said <= MOST_SAID, "{what}: {said} bytes are said");
        }
        if large.0 <= MOST * small.0.max(FLOOR) {
            return;
        }
        tries.push((small.0, large.0));
    }
    panic!("{what}, seconds, and with four times the input: {tries:.2?}");
}

/// What makes an input of a size.
type Make = fn(usize) -> String;

/// A kind of input, how much of it is the smaller one, and the command that takes its file.
type Case = (&'static str, Make, usize, &'static [&'static str]);

#[test]
fn on_the_command_line() {
    let cases: [Case; 10] = [
        ("unnamed joints", unnamed_joints, 1_000, &["validate"]),
        (
            "unnamed joints, forecast",
            unnamed_joints,
            150,
            &["forecast"],
        ),
        ("unknown part names", unknown_parts, 2_250, &["validate"]),
        ("unknown keys", unknown_keys, 18_750, &["validate"]),
        (
            "cells in a logger's line",
            wide_logger,
            250_000,
            &["climate"],
        ),
        (
            "unknown columns of woods",
            wide_table,
            32_500,
            &["species", "pear", "--species-table"],
        ),
        (
            "faults in a table of woods",
            many_woods,
            1_000,
            &["species", "pear", "--species-table"],
        ),
        (
            "faults in a table of leaves",
            faulty_leaves,
            10_000,
            &["match", "--match", "random"],
        ),
        ("leaves", leaves, 10, &["match", "--match", "random"]),
        (
            "faults in a table of boards",
            faulty_boards,
            1_000,
            &["batch"],
        ),
    ];
    let folder = tempfile::tempdir().unwrap();
    for (what, make, count, args) in cases {
        scales(what, count, |count| {
            let path = folder.path().join("input");
            fs::write(&path, make(count)).unwrap();
            let mut args = args.to_vec();
            args.push(path.to_str().unwrap());
            run(&args)
        });
    }
}

#[test]
fn supports_of_a_bowed_panel() {
    scales("supports", 100, |count| {
        let places = supports(count);
        run(&[
            "straighten",
            "--length",
            "4000mm",
            "--width",
            "400mm",
            "--thickness",
            "9mm",
            "--bow",
            "9mm",
            "--stiffness",
            "11GPa",
            "--supports",
            &places,
        ])
    });
}

struct Server {
    child: Child,
    port: u16,
}

impl Drop for Server {
    fn drop(&mut self) {
        let _gone_already = self.child.kill();
        let _gone_already = self.child.wait();
    }
}

impl Server {
    fn start() -> Self {
        let mut child = Command::new(cargo_bin("heartside"))
            .args(["serve", "--port", "0"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap())
            .read_line(&mut line)
            .unwrap();
        let port = line.trim().trim_end_matches('/').rsplit(':').next();
        let port = port.unwrap().parse().unwrap();
        Self { child, port }
    }

    /// Asks; gives the processor time of the answer and how long it is.
    fn ask(&self, path: &str, body: &str) -> (f64, usize) {
        let before = used(&self.child).1;
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).unwrap();
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
            self.port,
            body.len()
        );
        stream.write_all(head.as_bytes()).unwrap();
        stream.write_all(body.as_bytes()).unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        let said = String::from_utf8_lossy(&answer[..answer.len().min(400)]);
        assert!(
            ["200", "422"].contains(&said.split(' ').nth(1).unwrap_or_default()),
            "{path}, {} bytes: {said}",
            body.len()
        );
        (used(&self.child).1 - before, answer.len())
    }

    /// The most memory that it has held, bytes.
    fn memory(&self) -> usize {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap();
        let line = status
            .lines()
            .find(|line| line.starts_with("VmHWM"))
            .unwrap();
        let kilobytes = line.split_whitespace().nth(1).unwrap();
        1024 * kilobytes.parse::<usize>().unwrap()
    }
}

#[test]
fn through_the_page() {
    let server = Server::start();
    let jobs: [(&str, Make, usize); 3] = [
        ("unnamed joints", unnamed_joints, 100),
        ("unknown part names", unknown_parts, 2_250),
        ("unknown keys", unknown_keys, 18_750),
    ];
    for (what, make, count) in jobs {
        scales(what, count, |count| {
            let text = make(count);
            let asked = json!({ "text": text, "name": "job.toml", "draws": 16 });
            let (seconds, bytes) = server.ask("/answer", &asked.to_string());
            // The answer holds the text itself and its values; nothing else of it may grow.
            assert!(bytes <= 8 * text.len() + 3_000_000, "{what}: {bytes} bytes");
            (seconds, 0)
        });
    }
    let files: [(&str, Make, usize); 4] = [
        ("cells in a logger's line", wide_logger, 250_000),
        ("unknown columns of woods", wide_table, 32_500),
        ("faults in a table of woods", many_woods, 1_000),
        ("faults in a table of leaves", faulty_leaves, 10_000),
    ];
    for (what, make, count) in files {
        scales(what, count, |count| {
            server.ask("/file?name=a.csv", &make(count))
        });
    }
    // A dozen tables of nothing but faults, each another: what is remembered of them is little.
    for number in 0..12 {
        server.ask("/file?name=a.csv", &wide_table(130_000 + number));
    }
    assert!(server.memory() < 400_000_000, "{}", server.memory());
}
