//! `heartside batch`: rows in, rows out.

use approx::assert_abs_diff_eq;
use assert_cmd::Command;
use serde_json::Value;
use std::fmt::Write as _;
use std::io::{BufRead as _, BufReader, Write as _};
use std::process::Stdio;

const HEAD: &str =
    "species,width_mm,thickness_mm,from_percent,to_percent,pith_depth_mm,pith_offset_mm";
const ANSWERS: &str = "width_change_mm,thickness_change_mm,cup_mm";

fn heartside(flags: &[&str]) -> Command {
    let mut command = Command::cargo_bin("heartside").unwrap();
    command.arg("batch").args(flags);
    command
}

/// Output and words of a run that must succeed.
fn run(flags: &[&str], input: impl Into<Vec<u8>>) -> (String, String) {
    ends(0, flags, input)
}

/// Output and words of a run that must end with this code.
fn ends(code: i32, flags: &[&str], input: impl Into<Vec<u8>>) -> (String, String) {
    let done = heartside(flags).write_stdin(input).assert().code(code);
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    let output = done.get_output();
    (text(&output.stdout), text(&output.stderr))
}

fn answers(line: &str) -> [f64; 3] {
    let cells: Vec<&str> = line.trim_end().rsplit(',').take(3).collect();
    [cells[2], cells[1], cells[0]].map(|cell| match cell {
        // What is not known.
        "" => f64::NAN,
        cell => cell.parse().unwrap_or_else(|_| panic!("{line}")),
    })
}

// White oak, T 10.5, R 5.6 % (Wood Handbook Table 4-3); Eq. 13-3 by hand, F 30: 300 mm flat-sawn, 8 to 12 %: +4.550 mm.
// The section with a pith: the worked section is held in the tests of movement; here it is `board`.
#[test]
fn rows_are_what_the_board_command_answers() {
    let (out, words) = run(
        &[],
        format!("{HEAD}\n\"oak, white\",300,25,8,12,,\nmaple sugar,150,30,9.5,6,80,60\n"),
    );
    let lines: Vec<&str> = out.lines().collect();
    assert_eq!(words, "");
    assert_eq!(lines[0], format!("{HEAD},{ANSWERS}"));
    assert_abs_diff_eq!(answers(lines[1])[0], 4.550, epsilon = 5e-4);
    // Without a pith the cup is not known: neither gives one.
    assert!(answers(lines[1])[2].is_nan());
    let boards = [
        "--species|oak, white|--width|300mm|--thickness|25mm|--from|8%|--to|12%|--sawn|flat",
        "--species|maple, sugar|--width|150mm|--thickness|30mm|--from|9.5%|--to|6%|--pith-depth|80mm|--pith-offset|60mm",
    ];
    for (given, line) in boards.iter().zip(&lines[1..]) {
        let mut command = Command::cargo_bin("heartside").unwrap();
        command.args(["board", "--json"]).args(given.split('|'));
        let done = command.assert().success();
        let board: Value = serde_json::from_slice(&done.get_output().stdout).unwrap();
        let number = |key: &str| board[key].as_f64().unwrap();
        let [width, thickness, cup] = answers(line);
        let before = if line.starts_with('m') { 30.0 } else { 25.0 };
        assert_abs_diff_eq!(width, number("width_change_mm"), epsilon = 5.1e-5);
        assert_abs_diff_eq!(
            thickness,
            number("thickness_middle_mm") - before,
            epsilon = 5.1e-5
        );
        match board["cup_bark_face_mm"].as_f64() {
            Some(known) => assert_abs_diff_eq!(cup, known, epsilon = 5.1e-5),
            None => assert!(cup.is_nan() && given.contains("--sawn"), "{cup}"),
        }
    }
}

#[test]
fn a_pith_above_the_bark_face_is_given() {
    let (out, words) = ends(2, &[], format!("{HEAD}\noak white,200,22,12,6,-300,0\n"));
    assert!(out.ends_with(",-300,0,,,\n"), "{out}");
    assert!(words.starts_with("line 2: this puts the pith"), "{words}");
    assert!(words.ends_with("1 of 1 rows have no answer\n"), "{words}");
}

/// A table of which no row can be answered is malformed; one without rows is not. Of many faults the first are listed.
#[test]
fn a_table_that_answers_no_row_ends_with_2_and_its_errors_are_counted() {
    let rows = "oak white,wide,25,9,6,,\n".repeat(500);
    let (_, words) = ends(2, &[], format!("{HEAD}\n{rows}"));
    assert_eq!(words.lines().count(), 21, "{words}");
    assert!(
        words.ends_with("500 of 500 rows have no answer; the first 20 are listed\n"),
        "{words}"
    );
    let (_, words) = ends(0, &[], format!("{HEAD}\n{rows}oak white,200,25,9,6,,\n"));
    assert_eq!(words.lines().count(), 21, "{words}");
    ends(0, &[], format!("{HEAD}\n"));
}

/// The answers of a row with too many cells are under their names all the same, and no cell is lost.
#[test]
fn rows_with_too_many_cells_stay_aligned() {
    let (out, _) = ends(
        2,
        &[],
        format!("{HEAD}\noak white,200,25,9,6,,,\"seven, 7\",8\n"),
    );
    assert_eq!(
        out.lines().nth(1),
        Some("oak white,200,25,9,6,,,,,,\"seven, 7\",8")
    );
    let places = out.lines().next().unwrap().split(',');
    assert_eq!(places.count(), 10);
}

#[test]
fn the_order_is_kept_whatever_the_threads() {
    let mut input = format!("number,{HEAD}\n");
    for row in 0..30_000 {
        let wood = ["oak white", "walnut, black", "maple, sugar"][row % 3].replace(", ", " ");
        writeln!(
            input,
            "{row},{wood},{},{},{},6,{},{}",
            100 + row % 400,
            12 + row % 40,
            7 + row % 9,
            40 + row % 90,
            row % 50
        )
        .unwrap();
    }
    let (one, _) = run(&["--threads", "1"], input.clone());
    let (seven, _) = run(&["--threads", "7"], input.clone());
    assert!(one == seven);
    assert_eq!(one.lines().count(), 30_001);
    for (before, after) in input.lines().zip(one.lines()) {
        assert!(after.starts_with(before));
        assert_eq!(after.matches(',').count(), before.matches(',').count() + 3);
    }
}

#[test]
fn shop_notation_stands_in_the_cells_and_inch_marks_may_be_doubled_in_quotes() {
    let (metric, _) = run(
        &[],
        format!("{HEAD}\noak white,419.1,25.4,9.5,6,76.2,-12.7\n"),
    );
    let input = "To;width;note;species;From;thickness;pith_offset;pith_depth\r\n6%;\"16 1/2\"\"\";\"left; odd\";\"oak, white\";9,5%;4/4;-1/2in;3\"\r\n";
    let (shop, words) = run(&[], input);
    assert_eq!(words, "");
    let lines: Vec<&str> = shop.split_inclusive("\r\n").collect();
    assert_eq!(lines.len(), 2);
    assert_eq!(lines[0].matches(';').count(), 10);
    assert_eq!(
        answers(&lines[1].replace(';', ",")),
        answers(metric.lines().nth(1).unwrap())
    );
}

#[test]
fn rows_that_cannot_be_read_keep_their_place_and_are_given_with_their_line() {
    let rows = [
        "oak white,200,25,9,6,,",
        "",
        "oak white,abc,25,9,6,,",
        "oak whyte,200,25,9,6,,",
        "oak white,200,25,9,,,",
        "oak white,-5,25,9,6,,",
        "oak white,200,25,9,6,-10,0",
        "oak white,200,25,9,6,,30",
        "\"oak white,200,25,9,6,,",
        "oak white,200,25,9,6,,,7,8",
        "oak white,200",
        "oak white,200,25,250,6,,",
        "oak white,200,25,9,6",
        "oak white,\"200\",25,9,6,40,5",
    ];
    let (out, words) = run(&[], format!("{HEAD}\n{}", rows.join("\n")));
    let lines: Vec<&str> = out.lines().collect();
    assert_eq!(lines.len(), 1 + rows.len());
    for good in [1, 13, 14] {
        assert!(answers(lines[good])[0] < 0.0, "{}", lines[good]);
    }
    assert_eq!(lines[2], "");
    assert!(
        lines[13].starts_with("oak white,200,25,9,6,,,"),
        "{}",
        lines[13]
    );
    let given: Vec<&str> = words.lines().collect();
    let expected = [
        (4, "width_mm: `abc`"),
        (5, "species: "),
        (6, "to_percent: nothing is written"),
        (7, "width_mm: width -5 mm is outside"),
        (8, "the pith lies inside the board"),
        (9, "`pith_offset_mm` is given and `pith_depth_mm` is not"),
        (10, "a quoted cell does not end on its line"),
        (11, "9 cells and only 7 columns"),
        (12, "thickness_mm: nothing is written"),
        (13, "from_percent: moisture content 250%"),
    ];
    assert_eq!(given.len(), expected.len() + 1, "{words}");
    for (given, (line, start)) in given.iter().zip(expected) {
        assert!(
            given.starts_with(&format!("line {line}: {start}")),
            "{given}"
        );
    }
    assert_eq!(given[10], "10 of 13 rows have no answer");
    for line in [3, 4, 5, 6, 7, 8] {
        assert!(lines[line].ends_with(",,,"), "{}", lines[line]);
        assert!(lines[line].starts_with(rows[line - 1]));
    }
}

#[test]
fn it_can_stop_at_the_first_row_at_fault() {
    let input = format!(
        "{HEAD}\noak white,200,25,9,6,,\noak white,200,25,9,6,-10,0\n\noak white,x,25,9,6,,\noak white,200,25,9,6,,\n"
    );
    let done = heartside(&["--stop-on-error"])
        .write_stdin(input)
        .assert()
        .code(2);
    let out = String::from_utf8(done.get_output().stdout.clone()).unwrap();
    let words = String::from_utf8(done.get_output().stderr.clone()).unwrap();
    assert_eq!(out.lines().count(), 4, "a pith inside is no fault: {out}");
    assert!(
        words.contains("error: standard input, line 5: width_mm: `x`"),
        "{words}"
    );
}

#[test]
fn a_mark_of_the_byte_order_and_a_missing_last_line_end_do_no_harm() {
    let (out, _) = run(&[], format!("\u{feff}{HEAD}\r\noak white,300,25,8,12,,"));
    assert!(out.starts_with(&format!("\u{feff}{HEAD},{ANSWERS}\r\n")));
    assert_abs_diff_eq!(
        answers(out.lines().nth(1).unwrap())[0],
        4.550,
        epsilon = 5e-4
    );
}

#[test]
fn columns_can_be_named_outside_so_that_a_piece_of_a_table_is_a_table() {
    let row = "oak white,300,25,8,12,,\n";
    let (whole, _) = run(&[], format!("{HEAD}\n{row}"));
    let (piece, _) = run(&["--columns", HEAD], row);
    assert_eq!(whole.lines().nth(1).unwrap(), piece.trim_end());
    assert_eq!(run(&["--columns", HEAD], "").0, "");
}

#[test]
fn sawn_tells_straight_rings() {
    let head = "species,width_mm,thickness_mm,from_percent,to_percent,sawn";
    let (out, words) = run(
        &[],
        format!("{head}\noak white,300,25,8,12,quarter\noak white,300,25,8,12,sideways\n"),
    );
    // Eq. 13-3 by hand, quarter: 300 x 4/(3000/5.6 - 30 + 8) = +2.336 mm.
    assert_abs_diff_eq!(
        answers(out.lines().nth(1).unwrap())[0],
        2.336,
        epsilon = 5e-4
    );
    assert!(words.starts_with("line 3: sawn: `sideways`"), "{words}");
}

#[test]
fn json_is_one_object_a_row() {
    let (out, _) = run(
        &["--json"],
        format!("{HEAD}\noak white,300,25,8,12,,\n\nbeer,300,25,8,12,,\n"),
    );
    let rows: Vec<Value> = out
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(rows.len(), 2);
    assert_abs_diff_eq!(
        rows[0]["width_change_mm"].as_f64().unwrap(),
        4.550,
        epsilon = 5e-4
    );
    assert_eq!(rows[1]["line"], 4);
    assert!(rows[1]["width_change_mm"].is_null());
    assert!(rows[1]["problem"].as_str().unwrap().contains("beer"));
}

#[test]
fn tables_that_are_none_are_refused_with_a_remedy() {
    let refused = |flags: &[&str], input: &[u8], part: &str| {
        let done = heartside(flags).write_stdin(input).assert().code(2);
        let words = String::from_utf8(done.get_output().stderr.clone()).unwrap();
        assert!(words.contains(part), "{words}");
        assert!(!words.contains("panicked"), "{words}");
    };
    refused(&[], b"", "is empty; name the columns");
    refused(&[], b"wood,width\noak,3", "there is no column `species`");
    refused(
        &[],
        b"species,width,width_mm\n",
        "`width` and `width_mm` mean the same",
    );
    refused(&[], b"\xff\xfes\0p\0", "not UTF-8");
    refused(&["--columns", "species"], b"", "no column `width_mm`");
    refused(
        &["--species-table", "-"],
        b"",
        "standard input cannot be both",
    );
    refused(&["--columns", HEAD], &vec![b'a'; 2 << 20], "longer than");
    heartside(&["no-such-table.csv"]).assert().code(3);
}

// A pipe that pauses gets its answer before the next row is written.
#[test]
fn nothing_is_held_back_while_the_input_pauses() {
    let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("heartside"))
        .args(["batch", "--threads", "3"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    let mut output = BufReader::new(child.stdout.take().unwrap()).lines();
    let mut next = || output.next().unwrap().unwrap();
    writeln!(input, "{HEAD}").unwrap();
    assert_eq!(next(), format!("{HEAD},{ANSWERS}"));
    for row in 0..5 {
        // a line that comes in two pieces is one row
        write!(input, "oak white,300,25,8,1").unwrap();
        input.flush().unwrap();
        writeln!(input, "{row},,").unwrap();
        assert!(next().starts_with(&format!("oak white,300,25,8,1{row},,,")));
    }
    drop(input);
    assert!(child.wait().unwrap().success());
}

// A reader that leaves early is no error, and the run ends though its input has not.
#[test]
fn a_reader_that_leaves_ends_the_run() {
    let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("heartside"))
        .arg("batch")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    writeln!(input, "{HEAD}").unwrap();
    drop(child.stdout.take());
    while writeln!(input, "oak white,300,25,8,12,,").is_ok() {
        if child.try_wait().unwrap().is_some() {
            break;
        }
    }
    assert!(child.wait().unwrap().success());
}
