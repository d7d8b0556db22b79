//! Draws shared out among several programs: the answer is that of one, to the byte, whatever is handed in.

use crate::forecast::small;
use heartside::page::{Program, Reply};
use jiff::civil::{Date, date};
use serde_json::{Value, json};

const DAY: Date = date(2026, 10, 5);

fn asked(text: &str, draws: u32) -> Vec<u8> {
    let question = json!({ "text": text, "name": "job.toml", "draws": draws });
    question.to_string().into_bytes()
}

/// A small job with a reading in its log, by which some draws stand for several.
fn logged() -> String {
    small(&[]) + "\n[[log]]\ndate = 2026-11-02\npart = \"lid\"\nwidth = \"398.5 mm\"\n"
}

fn answered(reply: Reply) -> Vec<u8> {
    assert_eq!(
        reply.status,
        200,
        "{}",
        String::from_utf8_lossy(&reply.body)
    );
    reply.body.into_owned()
}

fn share(program: &Program, number: usize, of: usize, question: &[u8]) -> Vec<u8> {
    let query = format!("share={number}&of={of}");
    answered(program.reply("draws", &query, question.to_vec(), DAY))
}

/// The shares of a question, each made by a program of its own.
fn shares(of: usize, question: &[u8]) -> Vec<Vec<u8>> {
    (0..of)
        .map(|number| share(&Program::new(None), number, of, question))
        .collect()
}

fn take_in(program: &Program, made: &[u8]) -> u16 {
    program.reply("drawn", "", made.to_vec(), DAY).status
}

/// The numbers that a program gives which was handed some draws.
fn numbers(made: &[Vec<u8>], question: &[u8]) -> Vec<u8> {
    let program = Program::new(None);
    for made in made {
        assert_eq!(take_in(&program, made), 200);
    }
    answered(program.reply("json", "", question.to_vec(), DAY))
}

/// How many numbers a draw of some made draws has, and where their blocks begin.
fn row(made: &[u8]) -> (usize, usize) {
    let count = u32::from_le_bytes(*made.first_chunk().unwrap()) as usize;
    (count, 4 + 8 * count)
}

#[test]
fn the_answer_is_the_same_whatever_the_number_of_programs() {
    for text in [small(&[]), logged()] {
        // The last block is a short one.
        let question = asked(&text, 200);
        let one = numbers(&[], &question);
        assert!(numbers(&shares(2, &question), &question) == one);
        // Of five one has nothing to do; one is lost, and the others come in another order.
        let mut made = shares(5, &question);
        made.remove(1);
        made.reverse();
        assert!(numbers(&made, &question) == one);
    }
}

#[test]
fn what_was_handed_in_is_not_drawn_again() {
    let question = asked(&small(&[]), 200);
    let mut made = shares(1, &question).remove(0);
    let (count, mut at) = row(&made);
    // All draws as the first: no numbers of this job, but they are what is answered with.
    while at < made.len() {
        let draws = u32::from_le_bytes(*made[at + 4..].first_chunk().unwrap()) as usize;
        let end = at + 8 + 4 * draws * count;
        made[at + 8..end].fill(0);
        at = end;
    }
    // A chance is then none or all.
    let between = |made: &[Vec<u8>]| {
        let answer: Value = serde_json::from_slice(&numbers(made, &question)).unwrap();
        let fits = answer["fits"].as_array().unwrap().iter();
        let chances: Vec<f64> = fits
            .map(|fit| fit["holds_chance_percent"].as_f64().unwrap())
            .collect();
        chances
            .iter()
            .any(|chance| *chance > 0.0 && *chance < 100.0)
    };
    assert!(!between(&[made]));
    assert!(between(&[]));
}

#[test]
fn draws_of_another_job_are_left_alone() {
    let question = asked(&small(&[]), 200);
    let one = numbers(&[], &question);
    for other in [
        small(&[("seed = 3", "seed = 4")]),
        small(&[("width = \"400 mm\"", "width = \"401 mm\"")]),
        logged(),
    ] {
        let made = shares(1, &asked(&other, 200));
        assert!(numbers(&made, &question) == one);
    }
    // Of the same job with other numbers of draws: its last block is shorter, or there is no such block.
    for draws in [130, 256] {
        assert!(numbers(&shares(1, &asked(&small(&[]), draws)), &question) == one);
    }
}

#[test]
fn what_does_not_fit_is_refused() {
    let question = asked(&small(&[]), 200);
    let program = Program::new(None);
    let made = share(&program, 0, 2, &question);
    let (count, first) = row(&made);
    let with = |at: usize, value: u32| {
        let mut made = made.clone();
        made[at..at + 4].copy_from_slice(&value.to_le_bytes());
        made
    };
    for (wrong, why) in [
        (Vec::new(), "nothing"),
        (made[..made.len() - 1].to_vec(), "a byte less"),
        ([made.as_slice(), &[0]].concat(), "a byte more"),
        (with(0, u32::MAX), "more numbers than bytes"),
        (with(0, count as u32 - 1), "another row"),
        (with(first + 4, 63), "a short block, and then no block"),
        (with(first + 4, 0), "no draws"),
        (with(first + 4, u32::MAX), "more draws than a block has"),
    ] {
        assert_eq!(take_in(&program, &wrong), 422, "{why}");
    }
    for query in [
        "",
        "share=0",
        "share=2&of=2",
        "share=0&of=0",
        "share=0&of=65",
        "share=-1&of=2",
    ] {
        let reply = program.reply("draws", query, question.clone(), DAY);
        assert_eq!(reply.status, 404, "{query}");
    }
    let reply = program.reply("draws", "share=0&of=2", asked("format = 2", 16), DAY);
    assert_eq!(reply.status, 422);
    assert_eq!(
        program
            .reply("draws", "share=0&of=2", b"{".to_vec(), DAY)
            .status,
        400
    );
}

#[test]
fn nothing_is_shared_out_where_nearly_all_is_kept() {
    let program = Program::new(None);
    let question = asked(&small(&[]), 200);
    assert!(!share(&program, 0, 2, &question).is_empty());
    assert_eq!(program.reply("json", "", question.clone(), DAY).status, 200);
    let wider = small(&[("width = \"400 mm\"", "width = \"401 mm\"")]);
    for question in [question, asked(&wider, 200)] {
        assert!(share(&program, 0, 2, &question).is_empty());
    }
}
