//! How long the local page takes over a loopback socket: from a keystroke to new figures for the demo, beside an empty
//! round trip over the same socket and beside the same forecast without a memory.

use heartside::job;
use heartside::page::{Page, serve};
use serde_json::{Value, json};
use std::cell::{Cell, RefCell};
use std::hint::black_box;
use std::io::{self, BufRead as _, BufReader, Read as _, Write as _};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::process::{Command, Stdio};

/// A page at work and one connection to it.
struct Line {
    port: u16,
    stream: RefCell<BufReader<TcpStream>>,
}

impl Line {
    fn open() -> io::Result<Self> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0))?;
        let port = listener.local_addr()?.port();
        std::thread::spawn(move || serve(listener, Page::new(port, None), std::future::pending()));
        let stream = TcpStream::connect((Ipv4Addr::LOCALHOST, port))?;
        stream.set_nodelay(true)?;
        Ok(Self {
            port,
            stream: RefCell::new(BufReader::new(stream)),
        })
    }

    /// Asks, and gives the body of the answer.
    fn ask(&self, method: &str, address: &str, body: &str) -> io::Result<Vec<u8>> {
        let mut stream = self.stream.borrow_mut();
        let head = format!(
            "{method} {address} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n",
            self.port,
            body.len()
        );
        stream.get_mut().write_all((head + body).as_bytes())?;
        let mut length = 0;
        let mut line = String::new();
        loop {
            line.clear();
            stream.read_line(&mut line)?;
            if line.trim().is_empty() {
                break;
            }
            if let Some(given) = line.to_lowercase().strip_prefix("content-length:") {
                length = given.trim().parse().unwrap_or(0);
            }
        }
        let mut answer = vec![0; length];
        stream.read_exact(&mut answer)?;
        Ok(answer)
    }
}

/// The demo's shelf, by its place among the parts: nothing else hangs on its size.
const SHELF: usize = 4;

/// The demo with one size of its shelf changed, and four figures looked at, as the page asks while one writes.
fn keystroke(key: &str, to: &str, draws: u32, figures: &Value) -> String {
    json!({
        "text": job::demo(),
        "name": "hall-sideboard.toml",
        "edits": [{ "at": ["parts", SHELF, key], "to": to }],
        "files": {},
        "draws": draws,
        "figures": figures,
    })
    .to_string()
}

fn four(line: &Line) -> io::Result<Value> {
    let all = line.ask(
        "POST",
        "/answer",
        &keystroke("width", "14 1/2in", 256, &json!([])),
    )?;
    let given: Value = serde_json::from_slice(&all)?;
    let figures = given["forecast"]["figures"].as_array().cloned();
    let ids: Vec<Value> = figures
        .unwrap_or_default()
        .iter()
        .map(|figure| figure["id"].clone())
        .collect();
    Ok(ids
        .iter()
        .step_by(ids.len().div_ceil(4).max(1))
        .cloned()
        .collect())
}

fn answered(bencher: divan::Bencher<'_, '_>, key: &str, draws: u32, sizes: fn(u32) -> String) {
    let Ok(line) = Line::open() else { return };
    let figures = four(&line).unwrap_or_default();
    // A question that is refused is answered fast.
    assert_eq!(figures.as_array().map(Vec::len), Some(4));
    let turn = Cell::new(0);
    bencher.bench_local(|| {
        turn.set(turn.get() + 1);
        let question = keystroke(key, &sizes(turn.get()), draws, &figures);
        line.ask("POST", "/answer", black_box(&question))
            .map(|answer| answer.len())
    });
}

/// The aim: less than 50 ms from a keystroke to new figures, of which the browser needs some.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn a_width_changed_256_draws_four_figures(bencher: divan::Bencher<'_, '_>) {
    answered(bencher, "width", 256, |turn| {
        format!("{:.1} mm", 365.0 + 0.1 * f64::from(turn))
    });
}

#[divan::bench(sample_count = 20, sample_size = 1)]
fn a_moisture_changed_256_draws_four_figures(bencher: divan::Bencher<'_, '_>) {
    answered(bencher, "moisture", 256, |turn| {
        format!("{:.2}%", 8.0 + 0.02 * f64::from(turn))
    });
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn a_width_changed_all_draws_four_figures(bencher: divan::Bencher<'_, '_>) {
    answered(bencher, "width", 8_192, |turn| {
        format!("{:.1} mm", 365.0 + 0.1 * f64::from(turn))
    });
}

/// The reference for an answer: the minimum that a round trip takes.
#[divan::bench(sample_count = 100, sample_size = 1)]
fn an_empty_round_trip(bencher: divan::Bencher<'_, '_>) {
    let Ok(line) = Line::open() else { return };
    bencher.bench_local(|| {
        line.ask("GET", "/start/given", "")
            .map(|answer| answer.len())
    });
}

/// The start of the page: everything a browser loads before it shows anything.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn everything_the_page_loads_at_its_start(bencher: divan::Bencher<'_, '_>) {
    const LOADED: [&str; 12] = [
        "/",
        "/page.css",
        "/figures.css",
        "/page.js",
        "/forms.js",
        "/answers.js",
        "/pick.js",
        "/keep.js",
        "/talk.js",
        "/drawings.svg",
        "/schema",
        "/words",
    ];
    let Ok(line) = Line::open() else { return };
    bencher.bench_local(|| {
        LOADED
            .iter()
            .filter_map(|address| line.ask("GET", address, "").ok())
            .map(|answer| answer.len())
            .sum::<usize>()
    });
}

/// From the start of the process to the address on standard output.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn from_start_to_the_address() -> io::Result<String> {
    let mut process = Command::new(env!("CARGO_BIN_EXE_heartside"))
        .args(["serve", "--port", "0"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()?;
    let mut address = String::new();
    if let Some(out) = process.stdout.take() {
        BufReader::new(out).read_line(&mut address)?;
    }
    process.kill()?;
    process.wait()?;
    Ok(address)
}
