//! Tests of the room `page`, over a loopback socket as a browser asks.

mod answers;
mod command;
mod drawn;
mod dropped;
mod edits;
mod guard;
mod one_file;
mod shares;

use heartside::page::{Given, Page, Patience, serve};
use serde_json::{Value, json};
use std::io::{self, Read as _, Write as _};
use std::net::{Ipv4Addr, TcpListener, TcpStream};
use std::thread::JoinHandle;
use std::time::Duration;
use tokio::sync::oneshot;

/// A page served in this process until it is dropped.
pub(crate) struct Served {
    pub port: u16,
    end: Option<oneshot::Sender<()>>,
    thread: Option<JoinHandle<io::Result<()>>>,
}

/// An answer as it came over the wire.
pub(crate) struct Answer {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Answer {
    pub(crate) fn of(bytes: &[u8]) -> Self {
        let split = bytes
            .windows(4)
            .position(|four| four == b"\r\n\r\n")
            .unwrap_or_else(|| panic!("no answer: {:?}", String::from_utf8_lossy(bytes)));
        let head = String::from_utf8(bytes[..split].to_vec()).unwrap();
        let status = head.split(' ').nth(1).unwrap().parse().unwrap();
        Self {
            status,
            head,
            body: bytes[split + 4..].to_vec(),
        }
    }

    pub(crate) fn text(&self) -> &str {
        std::str::from_utf8(&self.body).unwrap()
    }

    pub(crate) fn json(&self) -> Value {
        serde_json::from_slice(&self.body)
            .unwrap_or_else(|error| panic!("{error}: {}", self.text()))
    }

    /// The value of a header, or nothing.
    pub(crate) fn header(&self, name: &str) -> &str {
        self.head
            .lines()
            .filter_map(|line| line.split_once(": "))
            .find(|(known, _)| known.eq_ignore_ascii_case(name))
            .map_or("", |(_, value)| value)
    }
}

impl Served {
    pub(crate) fn new(given: Option<Given>, patience: Patience) -> Self {
        Self::on(0, given, patience)
    }

    /// A page that believes to be on a port; 0 is the one it is on.
    pub(crate) fn on(believed: u16, given: Option<Given>, patience: Patience) -> Self {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap();
        let port = listener.local_addr().unwrap().port();
        let (end, ended) = oneshot::channel();
        let believed = if believed == 0 { port } else { believed };
        let page = Page::new(believed, given).with_patience(patience);
        let thread = std::thread::spawn(move || {
            serve(listener, page, async {
                let _asked_or_dropped = ended.await;
            })
        });
        Self {
            port,
            end: Some(end),
            thread: Some(thread),
        }
    }

    pub(crate) fn plain() -> Self {
        Self::new(None, Patience::default())
    }

    pub(crate) fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port)).unwrap();
        stream
            .set_read_timeout(Some(Duration::from_secs(60)))
            .unwrap();
        stream
    }

    /// Asks with headers of one's own and reads the answer to its end.
    pub(crate) fn ask(
        &self,
        method: &str,
        path: &str,
        headers: &[(&str, &str)],
        body: &[u8],
    ) -> Answer {
        let mut head = format!("{method} {path} HTTP/1.1\r\nConnection: close\r\n");
        if !headers.iter().any(|(name, _)| *name == "Host") {
            head.push_str(&format!("Host: 127.0.0.1:{}\r\n", self.port));
        }
        if !body.is_empty() {
            head.push_str(&format!("Content-Length: {}\r\n", body.len()));
        }
        for (name, value) in headers {
            head.push_str(&format!("{name}: {value}\r\n"));
        }
        let mut stream = self.connect();
        stream.write_all((head + "\r\n").as_bytes()).unwrap();
        stream.write_all(body).unwrap();
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).unwrap();
        Answer::of(&bytes)
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        self.ask("GET", path, &[], b"")
    }

    pub(crate) fn post(&self, path: &str, question: &Value) -> Answer {
        let kind = [("Content-Type", "application/json")];
        self.ask("POST", path, &kind, question.to_string().as_bytes())
    }

    /// The answer to a question, which must be given.
    pub(crate) fn answer(&self, question: &Value) -> Value {
        let answer = self.post("/answer", question);
        assert_eq!(answer.status, 200, "{}", answer.text());
        answer.json()
    }

    /// What is given of a dropped file.
    pub(crate) fn drop_file(&self, name: &str, bytes: &[u8]) -> Answer {
        let kind = [("Content-Type", "application/octet-stream")];
        self.ask("POST", &format!("/file?name={name}"), &kind, bytes)
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        drop(self.end.take());
        if let Some(thread) = self.thread.take() {
            let served = thread.join();
            if !std::thread::panicking() {
                served.unwrap().unwrap();
            }
        }
    }
}

/// A question about a text, with as few draws as there may be.
pub(crate) fn question(text: &str) -> Value {
    json!({ "text": text, "name": "job.toml", "draws": 16 })
}

/// The same with changes.
pub(crate) fn with_edits(text: &str, edits: Value) -> Value {
    json!({ "text": text, "name": "job.toml", "draws": 16, "edits": edits })
}
