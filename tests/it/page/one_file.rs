//! The program without a socket, and the page as one file around it.

use super::{Served, question};
use heartside::job;
use heartside::page::{Program, one_file};
use jiff::civil::date;

#[test]
fn a_reply_without_a_socket_is_that_over_http() {
    let served = Served::plain();
    let program = Program::new(None);
    let day = date(2026, 10, 5);
    let asked = question(job::blank()).to_string();
    for path in [
        "",
        "page.js",
        "figures.css",
        "schema",
        "words",
        "start/demo",
        "start/given",
        "nothing",
        "start/other",
        "report/0-0",
    ] {
        let reply = program.reply(path, "", Vec::new(), day);
        let answer = served.get(&format!("/{path}"));
        assert_eq!(
            (reply.status, reply.kind),
            (answer.status, answer.header("content-type")),
            "{path}"
        );
        assert!(reply.body == answer.body, "{path}");
    }
    for (path, body) in [
        ("answer", asked.as_str()),
        ("json", &asked),
        ("report", &asked),
        ("answer", "{}"),
        ("rings", "[]"),
        ("json", &question("format = 2").to_string()),
    ] {
        let reply = program.reply(path, "", body.as_bytes().to_vec(), day);
        let json = [("Content-Type", "application/json")];
        let answer = served.ask("POST", &format!("/{path}"), &json, body.as_bytes());
        assert_eq!(
            (reply.status, reply.kind),
            (answer.status, answer.header("content-type")),
            "{path} {body}"
        );
        assert!(reply.body == answer.body, "{path} {body}");
    }
    let csv = b"leaf,bow\n1,2mm\n".to_vec();
    let answer = served.ask("POST", "/file?name=my%20leaves.csv", &[], &csv);
    let reply = program.reply("file", "name=my%20leaves.csv", csv, day);
    assert_eq!(reply.status, answer.status);
    assert!(reply.body == answer.body);
}

#[test]
fn a_new_job_is_dated_on_the_day_that_is_given() {
    let day = date(2031, 2, 3);
    let reply = Program::new(None).reply("start/blank", "", Vec::new(), day);
    let given: serde_json::Value = serde_json::from_slice(&reply.body).unwrap();
    assert_eq!(given["text"], job::blank_on(day));
}

#[test]
fn a_body_that_is_too_large_is_refused() {
    let program = Program::new(None);
    let day = date(2026, 10, 5);
    let reply = program.reply("answer", "", vec![b' '; 3_000_001], day);
    assert_eq!(reply.status, 413);
}

#[test]
fn the_page_as_one_file_names_no_other_file() {
    let page = one_file(b"not a module, but bytes").unwrap();
    assert!(
        page.contains("bm90IGEgbW9kdWxlLCBidXQgYnl0ZXM="),
        "the module is missing"
    );
    for mark in ["src=\"", "href=\"", "url("] {
        for (at, _) in page.match_indices(mark) {
            let rest = &page[at + mark.len()..];
            let address = rest.split(['"', ')']).next().unwrap();
            assert!(
                address.starts_with('#') || address.starts_with("data:"),
                "`{address}`"
            );
        }
    }
    // Every script that another one names is inside, and none is named by a path.
    let map = page.split("<script type=\"importmap\">").nth(1).unwrap();
    let map: serde_json::Value =
        serde_json::from_str(map.split("</script>").next().unwrap()).unwrap();
    let scripts = map["imports"].as_object().unwrap();
    assert!(scripts.len() > 10);
    for name in ["page.js", "talk.js", "carrier.js"] {
        assert!(scripts.contains_key(name), "{name}");
    }
    let policy = page
        .split("Content-Security-Policy\" content=\"")
        .nth(1)
        .unwrap();
    let policy = policy.split('"').next().unwrap();
    assert!(
        policy.starts_with("default-src 'none'")
            && !policy.contains("http")
            && !policy.contains("connect-src")
    );
}
