//! The local page under a crowd: a thousand requests at once, questions by the hundred, clients that are slow or silent.

use assert_cmd::cargo::cargo_bin;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{Ipv4Addr, TcpStream};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

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
        let port = line
            .trim()
            .trim_end_matches('/')
            .rsplit(':')
            .next()
            .unwrap()
            .parse()
            .unwrap();
        Self { child, port }
    }

    fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).unwrap();
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .unwrap();
        stream
    }

    /// Asks and reads the answer to its end: its status and its body.
    fn ask(&self, method: &str, path: &str, body: &str) -> (u16, String) {
        let mut stream = self.connect();
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
            self.port,
            body.len()
        );
        stream.write_all(head.as_bytes()).unwrap();
        stream.write_all(body.as_bytes()).unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        let text = String::from_utf8_lossy(&answer).into_owned();
        let status = text
            .split(' ')
            .nth(1)
            .unwrap_or_default()
            .parse()
            .unwrap_or_default();
        let body = text
            .split_once("\r\n\r\n")
            .map_or("", |(_, body)| body)
            .to_owned();
        (status, body)
    }

    /// So many asked at the same time; their statuses.
    fn crowd(&self, count: usize, method: &str, path: &str, body: &str) -> Vec<u16> {
        thread::scope(|scope| {
            let asked: Vec<_> = (0..count)
                .map(|_| {
                    thread::Builder::new()
                        .stack_size(128 * 1024)
                        .spawn_scoped(scope, || self.ask(method, path, body).0)
                        .unwrap()
                })
                .collect();
            asked.into_iter().map(|one| one.join().unwrap()).collect()
        })
    }

    /// Maximum memory so far, kB.
    #[cfg(target_os = "linux")]
    fn most_memory_kb(&self) -> u64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap();
        let line = status
            .lines()
            .find(|line| line.starts_with("VmHWM"))
            .unwrap();
        line.split_whitespace().nth(1).unwrap().parse().unwrap()
    }
}

fn question() -> String {
    serde_json::json!({ "text": heartside::job::blank(), "name": "piece.toml", "draws": 16 })
        .to_string()
}

/// A thousand at once: each is answered, and the page takes little memory for it.
#[test]
fn a_thousand_requests_at_once_are_answered() {
    let server = Server::start();
    let statuses = server.crowd(1000, "GET", "/", "");
    assert_eq!(statuses.len(), 1000);
    assert!(statuses.iter().all(|status| *status == 200), "{statuses:?}");
    #[cfg(target_os = "linux")]
    assert!(
        server.most_memory_kb() < 200_000,
        "{} kB",
        server.most_memory_kb()
    );
}

/// Questions take work: those that would wait too long are sent away with the time to come again, the others answered; and
/// after the crowd the page answers as before.
#[test]
fn a_crowd_of_questions_is_answered_or_sent_away() {
    let server = Server::start();
    let statuses = server.crowd(200, "POST", "/answer", &question());
    let answered = statuses.iter().filter(|status| **status == 200).count();
    let away = statuses.iter().filter(|status| **status == 503).count();
    assert_eq!(answered + away, 200, "{statuses:?}");
    assert!(answered >= 1);
    let (status, body) = server.ask("POST", "/answer", &question());
    assert_eq!(status, 200, "{body}");
    assert!(
        body.contains("\"json\"") || body.contains("figures"),
        "{body}"
    );
}

/// A hundred clients that connect and say nothing, or half of it, keep nobody waiting.
#[test]
fn slow_clients_keep_nobody_waiting() {
    let server = Server::start();
    let mut slow: Vec<TcpStream> = (0..100).map(|_| server.connect()).collect();
    for (i, stream) in slow.iter_mut().enumerate() {
        let half = match i % 3 {
            0 => String::new(),
            1 => "POST /answer HT".to_owned(),
            _ => format!(
                "POST /answer HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n{{\"te",
                server.port
            ),
        };
        stream.write_all(half.as_bytes()).unwrap();
    }
    let asked = Instant::now();
    assert_eq!(server.ask("GET", "/", "").0, 200);
    assert_eq!(server.ask("POST", "/answer", &question()).0, 200);
    // The slow ones have fifteen seconds and more; nobody waited for them.
    assert!(
        asked.elapsed() < Duration::from_secs(15),
        "{:?}",
        asked.elapsed()
    );
}

/// Garbage in place of a request, a body far too large, a question that is none: refused, and the page goes on.
#[test]
fn garbage_is_refused_and_the_page_goes_on() {
    let server = Server::start();
    for garbage in [
        &b"\x16\x03\x01\x02\x00\x01\x00"[..],
        b"GET\r\n\r\n",
        b"\0\0\0\0\r\n\r\n",
        &[b'A'; 100_000],
    ] {
        let mut stream = server.connect();
        let _may_be_cut_off = stream.write_all(garbage);
        let _may_be_cut_off = stream.shutdown(std::net::Shutdown::Write);
        let mut answer = Vec::new();
        let _may_be_cut_off = stream.read_to_end(&mut answer);
        assert!(!answer.starts_with(b"HTTP/1.1 200"));
    }
    let giant = format!("{{\"text\":\"{}\"}}", "x".repeat(2_000_000));
    assert_eq!(server.ask("POST", "/answer", &giant).0, 200);
    assert_eq!(server.ask("POST", "/answer", "[1,2,3]").0, 400);
    assert_eq!(server.ask("POST", "/answer", "").0, 400);
    assert_eq!(server.ask("DELETE", "/", "").0, 405);
    assert_eq!(server.ask("GET", "/../../etc/passwd", "").0, 404);
    assert_eq!(server.ask("GET", "/", "").0, 200);
}
