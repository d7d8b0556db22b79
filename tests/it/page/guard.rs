//! Who may ask, how much and how slowly; what an answer may load.

use super::{Answer, Served, question};
use heartside::job;
use heartside::page::Patience;
use serde_json::json;
use std::io::{Read as _, Write as _};
use std::time::{Duration, Instant};

const JSON: (&str, &str) = ("Content-Type", "application/json");

#[test]
fn every_answer_carries_the_rules() {
    let page = Served::plain();
    for answer in [
        page.get("/"),
        page.get("/page.js"),
        page.get("/start/demo"),
        page.get("/nowhere"),
        page.ask("DELETE", "/", &[], b""),
        page.post("/answer", &question(job::blank())),
        page.post("/answer", &json!(7)),
        page.ask("GET", "/", &[("Host", "shop.example:8417")], b""),
    ] {
        let policy = answer.header("content-security-policy");
        for rule in [
            "default-src 'none'",
            "script-src 'self'",
            "style-src 'self'",
            "img-src 'self' data:",
            "connect-src 'self'",
            "form-action 'none'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
        ] {
            assert!(policy.contains(rule), "`{rule}` is not in {policy}");
        }
        assert!(!policy.contains("unsafe"), "{policy}");
        for (name, value) in [
            ("x-content-type-options", "nosniff"),
            ("referrer-policy", "no-referrer"),
            ("cache-control", "no-store"),
            ("cross-origin-resource-policy", "same-origin"),
            ("cross-origin-opener-policy", "same-origin"),
        ] {
            assert_eq!(answer.header(name), value, "{name}");
        }
        // No other site is given that it may read.
        assert_eq!(answer.header("access-control-allow-origin"), "");
    }
}

/// A refusal in plain words.
fn refused(answer: &Answer, status: u16) {
    assert_eq!(answer.status, status, "{}", answer.text());
    let given = answer.json();
    for part in ["what", "remedy"] {
        assert!(!given[part].as_str().unwrap().is_empty(), "{given}");
    }
}

#[test]
fn only_this_machines_own_page_is_answered() {
    let page = Served::plain();
    let port = page.port;
    for host in ["127.0.0.1", "localhost", "[::1]", "LocalHost"] {
        let host = format!("{host}:{port}");
        assert_eq!(
            page.ask("GET", "/", &[("Host", &host)], b"").status,
            200,
            "{host}"
        );
    }
    for host in [
        "heartside.example".to_owned(),
        format!("heartside.example:{port}"),
        "127.0.0.1".to_owned(),
        format!("127.0.0.1:{}", port ^ 1),
        format!("127.0.0.1.example:{port}"),
        format!("127.0.0.1:{port}.example"),
        String::new(),
    ] {
        refused(&page.ask("GET", "/", &[("Host", &host)], b""), 403);
    }
    // On the port that every page has, browsers name none.
    let usual = Served::on(80, None, Patience::default());
    for (host, status) in [
        ("127.0.0.1", 200),
        ("localhost", 200),
        ("[::1]:80", 200),
        ("heartside.example", 403),
    ] {
        let headers = [("Host", host)];
        assert_eq!(
            usual.ask("GET", "/", &headers, b"").status,
            status,
            "{host}"
        );
    }
    let headers = [
        JSON,
        ("Host", "localhost"),
        ("Origin", "http://localhost"),
        ("Sec-Fetch-Site", "same-origin"),
    ];
    let body = question(job::blank()).to_string();
    let given = usual.ask("POST", "/answer", &headers, body.as_bytes());
    assert_eq!(given.status, 200);
    let asked = |headers: &[(&str, &str)]| {
        let mut all = vec![JSON];
        all.extend(headers);
        page.ask("POST", "/answer", &all, body.as_bytes())
    };
    let own = format!("http://localhost:{port}");
    assert_eq!(
        asked(&[("Origin", &own), ("Sec-Fetch-Site", "same-origin")]).status,
        200
    );
    for origin in [
        "http://heartside.example",
        "null",
        &format!("https://localhost:{port}"),
        "http://localhost",
    ] {
        refused(&asked(&[("Origin", origin)]), 403);
        refused(
            &page.ask("GET", "/start/demo", &[("Origin", origin)], b""),
            403,
        );
    }
    for site in ["cross-site", "same-site"] {
        refused(&asked(&[("Sec-Fetch-Site", site)]), 403);
    }
    // A link from elsewhere may lead here.
    assert_eq!(
        page.ask("GET", "/", &[("Sec-Fetch-Site", "cross-site")], b"")
            .status,
        200
    );
}

#[test]
fn what_is_no_question_is_refused_in_plain_words() {
    let page = Served::plain();
    let body = question(job::blank()).to_string();
    // A form of another site can send text/plain without being asked for leave; it is no question.
    for kind in ["text/plain", "application/x-www-form-urlencoded", ""] {
        refused(
            &page.ask(
                "POST",
                "/answer",
                &[("Content-Type", kind)],
                body.as_bytes(),
            ),
            415,
        );
    }
    for body in [
        "",
        "{",
        "[]",
        "{\"text\":7}",
        "{\"text\":\"\",\"more\":1}",
        "{\"name\":\"a\"}",
    ] {
        refused(&page.ask("POST", "/answer", &[JSON], body.as_bytes()), 400);
    }
    refused(&page.get("/answer"), 405);
    refused(&page.ask("PUT", "/report/1-1", &[], b""), 405);
    refused(&page.get("/report/1-1"), 404);
    refused(&page.get("/assets/page.html"), 404);
    refused(&page.get("/..%2f..%2fetc/passwd"), 404);
    refused(&page.get("/start/other"), 404);
}

#[test]
fn what_is_too_large_is_refused_before_it_is_read() {
    let page = Served::plain();
    for (path, length) in [
        ("/answer", 4_000_000_u64),
        ("/json", u64::MAX / 2),
        ("/file?name=a.csv", 300_000_000),
    ] {
        let mut stream = page.connect();
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\nContent-Length: {length}\r\n\r\n",
            page.port
        );
        stream.write_all(head.as_bytes()).unwrap();
        let mut bytes = [0; 4_096];
        let count = stream.read(&mut bytes).unwrap();
        let answer = Answer::of(&bytes[..count]);
        assert_eq!(answer.status, 413, "{path}");
    }
    // A job file of more than a megabyte is given by the job's own words.
    let given = page.answer(&question(&format!("# {}\n", "x".repeat(1_000_001))));
    assert!(
        given["problems"][0]["what"]
            .as_str()
            .unwrap()
            .contains("at most 1000000")
    );
}

/// Waits until the other end has closed.
fn closed(stream: &mut std::net::TcpStream) -> usize {
    let mut bytes = Vec::new();
    // Reset or closed: gone either way.
    let _gone = stream.read_to_end(&mut bytes);
    bytes.len()
}

#[test]
fn slow_clients_are_let_go() {
    let page = Served::new(
        None,
        Patience {
            head: Duration::from_millis(300),
            body: Duration::from_millis(300),
            answer: Duration::from_millis(300),
            door: Duration::from_millis(300),
            work: Duration::from_secs(60),
            end: Duration::from_millis(300),
        },
    );
    let begun = Instant::now();
    // Nothing at all, half a head, a head that trickles, half a body.
    let mut silent = page.connect();
    let mut half = page.connect();
    half.write_all(b"GET / HT").unwrap();
    let mut body = page.connect();
    let head = format!(
        "POST /answer HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\nContent-Length: 900\r\n\r\n{{",
        page.port
    );
    body.write_all(head.as_bytes()).unwrap();
    let mut trickle = page.connect();
    trickle.write_all(b"GET / HTTP/1.1\r\nX: ").unwrap();
    for _ in 0..100 {
        if trickle.write_all(b"a").is_err() {
            break;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    for stream in [&mut silent, &mut half, &mut trickle] {
        closed(stream);
    }
    let mut given = vec![0; 64];
    let count = body.read(&mut given).unwrap();
    assert!(String::from_utf8_lossy(&given[..count]).starts_with("HTTP/1.1 408"));
    // One that asks for much and takes nothing.
    let ask = format!(
        "GET /page.js HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n",
        page.port
    );
    let mut greedy = page.connect();
    let asked = 2_000;
    let _until_it_is_cut_off = greedy.write_all(ask.repeat(asked).as_bytes());
    std::thread::sleep(Duration::from_millis(1_200));
    let script = page.get("/page.js").body.len();
    assert!(closed(&mut greedy) < asked * script);
    assert!(begun.elapsed() < Duration::from_secs(50));
    assert_eq!(page.get("/").status, 200);
}

/// More clients than there are seats connect and say nothing, half a head, or half a body: one that asks is answered all
/// the same, long before their own time is up, and so is one whose answer is at work meanwhile.
#[test]
fn silent_clients_make_room_for_one_that_asks() {
    let page = Served::new(
        None,
        Patience {
            door: Duration::from_millis(400),
            ..Patience::default()
        },
    );
    let half = format!(
        "POST /answer HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nContent-Type: application/json\r\nContent-Length: 900\r\n\r\n{{",
        page.port
    );
    let mut kept = page.connect();
    let asked = format!("GET / HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", page.port);
    let mut one = [0; 1];
    kept.write_all(asked.as_bytes()).unwrap();
    kept.read_exact(&mut one).unwrap();
    let begun = Instant::now();
    let silent: Vec<_> = (0..300)
        .map(|i| {
            let mut stream = page.connect();
            stream
                .write_all(["", "GET / HT", &half][i % 3].as_bytes())
                .unwrap();
            stream
        })
        .collect();
    assert_eq!(page.post("/answer", &question(job::blank())).status, 200);
    assert_eq!(page.get("/").status, 200);
    // The one that was waited for longest has been let go, the last to come have not.
    closed(&mut kept);
    assert!(
        begun.elapsed() < Duration::from_secs(10),
        "{:?}",
        begun.elapsed()
    );
    let last = silent.last().unwrap();
    last.set_nonblocking(true).unwrap();
    assert_eq!(
        last.peek(&mut one).unwrap_err().kind(),
        std::io::ErrorKind::WouldBlock
    );
}

#[test]
fn a_client_that_hangs_on_does_not_keep_the_page_from_ending() {
    let page = Served::plain();
    let mut hanging = page.connect();
    hanging.write_all(b"GET / HT").unwrap();
    let asked = format!("GET / HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n\r\n", page.port);
    let mut kept = page.connect();
    kept.write_all(asked.as_bytes()).unwrap();
    let mut one = [0; 1];
    kept.read_exact(&mut one).unwrap();
    let begun = Instant::now();
    drop(page);
    assert!(
        begun.elapsed() < Duration::from_secs(8),
        "{:?}",
        begun.elapsed()
    );
}
