//! The house itself: the order of the rooms, what is absent from them, what stands at the top.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The rooms in their order: a room uses only those before it.
const ROOMS: [&str; 19] = [
    "units", "numerics", "chance", "species", "air", "moisture", "movement", "rings", "stock",
    "panel", "piece", "joint", "carcass", "job", "forecast", "chart", "report", "page", "cli",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// A file's code without its comments, so that words about a thing are not taken for the thing.
fn code(path: &Path) -> String {
    fs::read_to_string(path)
        .unwrap()
        .lines()
        .map(|line| {
            line.find("//")
                .filter(|at| !line[..*at].contains('"'))
                .map_or(line, |at| &line[..at])
        })
        .collect::<Vec<_>>()
        .join("\n")
}

/// Every room's name that follows `crate::` in the code, also inside braces.
fn rooms_used(code: &str) -> BTreeSet<&'static str> {
    let mut used = BTreeSet::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        let names: Vec<String> = match rest.strip_prefix('{') {
            Some(list) => {
                let mut depth = 1_usize;
                let inside: String = list
                    .chars()
                    .take_while(|letter| {
                        depth = match letter {
                            '{' => depth + 1,
                            '}' => depth - 1,
                            _ => depth,
                        };
                        depth > 0
                    })
                    .collect();
                inside
                    .split(',')
                    .map(|name| name.trim().to_owned())
                    .collect()
            }
            None => vec![rest.to_owned()],
        };
        for name in names {
            let first: String = name
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect();
            used.extend(ROOMS.iter().find(|room| **room == first));
        }
    }
    used
}

#[test]
fn the_library_lists_the_rooms_in_their_order() {
    let text = fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let listed: Vec<&str> = text
        .lines()
        .filter_map(|line| line.trim().strip_prefix("pub mod ")?.strip_suffix(';'))
        .collect();
    assert_eq!(listed, ROOMS);
    let folders: BTreeSet<String> = fs::read_dir(root().join("src"))
        .unwrap()
        .map(|entry| entry.unwrap())
        .filter(|entry| entry.path().is_dir())
        .map(|entry| entry.file_name().into_string().unwrap())
        .collect();
    assert_eq!(
        folders,
        ROOMS.iter().map(|room| (*room).to_owned()).collect()
    );
}

#[test]
fn a_room_uses_only_rooms_above_it() {
    for (place, room) in ROOMS.iter().enumerate() {
        for path in sources(&root().join("src").join(room)) {
            for used in rooms_used(&code(&path)) {
                let at = ROOMS.iter().position(|known| *known == used).unwrap();
                assert!(
                    at <= place,
                    "{} uses `{used}`, which stands below `{room}`",
                    path.display()
                );
            }
        }
    }
}

#[test]
fn the_order_is_really_looked_at() {
    assert!(rooms_used("use crate::cli::Desk;").contains("cli"));
    assert!(rooms_used("use crate::{units, page::Page};").contains("page"));
    assert!(rooms_used("let x = crate::report::json(f);").contains("report"));
}

/// What only some rooms may touch: the words, and the rooms that may.
const ABSENT: [(&[&str], &[&str]); 4] = [
    (
        &[
            "std::fs",
            "std::env",
            "std::net",
            "std::process",
            "SystemTime",
            "Timestamp::now",
            "Instant::now",
            "std::io::std",
            "io::stdin",
        ],
        &["page", "cli"],
    ),
    (&["println!", "print!(", "dbg!("], &[]),
    (
        &["clap::", "axum::", "tokio::", "indicatif"],
        &["page", "cli"],
    ),
    (&["maud"], &["report", "page"]),
];

#[test]
fn nothing_above_page_and_cli_reads_prints_or_knows_the_time() {
    for room in ROOMS {
        for path in sources(&root().join("src").join(room)) {
            let code = code(&path);
            for (words, allowed) in ABSENT {
                if allowed.contains(&room) {
                    continue;
                }
                for word in words {
                    assert!(!code.contains(word), "{} holds `{word}`", path.display());
                }
            }
        }
    }
}

/// The system's own differ in the last bit from one machine to the next; `libm`'s do not.
#[test]
fn transcendental_functions_are_those_of_libm() {
    let names = [
        "exp", "exp2", "exp_m1", "ln", "ln_1p", "log", "log2", "log10", "powf", "cbrt", "hypot",
        "sin", "cos", "sin_cos", "tan", "asin", "acos", "atan", "atan2", "sinh", "cosh", "tanh",
    ];
    for path in sources(&root().join("src")) {
        let code = code(&path);
        for name in names {
            for use_of in [
                format!(".{name}("),
                format!("f64::{name}"),
                format!("f32::{name}"),
            ] {
                let found = code.match_indices(&use_of).any(|(at, _)| {
                    let next = code[at + use_of.len()..].chars().next();
                    use_of.ends_with('(') || !next.is_some_and(|c| c.is_alphanumeric() || c == '_')
                });
                assert!(!found, "{} holds `{use_of}`", path.display());
            }
        }
    }
}

#[test]
fn unsafe_code_is_allowed_in_one_file() {
    let manifest = fs::read_to_string(root().join("Cargo.toml")).unwrap();
    assert!(manifest.contains("unsafe_code = \"deny\""));
    let with: Vec<PathBuf> = sources(&root().join("src"))
        .into_iter()
        .filter(|path| {
            let code = code(path);
            code.contains("unsafe_code") || code.contains("unsafe {") || code.contains("[unsafe(")
        })
        .collect();
    assert_eq!(with, [root().join("src/page/web/exports.rs")]);
}

#[test]
fn the_top_level_holds_what_was_agreed_and_nothing_else() {
    let allowed: BTreeSet<&str> = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "src",
        "species_data",
        "tests",
        "benches",
        ".ci",
        ".gitignore",
        ".git",
        "target",
    ]
    .into();
    let ignored = fs::read_to_string(root().join(".gitignore")).unwrap();
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let is_report = name.ends_with("-report") && ignored.contains("*-report/");
        assert!(
            allowed.contains(name.as_str()) || is_report,
            "`{name}` stands at the top level"
        );
    }
    for name in [
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        ".ci/run",
    ] {
        assert!(root().join(name).exists(), "`{name}` is missing");
    }
}

#[test]
fn nothing_is_left_open_in_the_code_and_no_test_is_ignored() {
    let open = ["TO", "FIX", "XX"].map(|start| {
        format!(
            "{start}{}",
            if start == "TO" {
                "DO"
            } else if start == "FIX" {
                "ME"
            } else {
                "X"
            }
        )
    });
    for folder in ["src", "tests", "benches"] {
        for path in sources(&root().join(folder)) {
            if path.ends_with("tests/it/house.rs") {
                continue;
            }
            let text = fs::read_to_string(&path).unwrap();
            for word in
                open.iter()
                    .map(String::as_str)
                    .chain(["#[ignore", "unimplemented!", "todo!("])
            {
                assert!(!text.contains(word), "{} holds `{word}`", path.display());
            }
        }
    }
}

#[test]
fn every_table_of_woods_tells_source_and_status_of_each_row() {
    for entry in fs::read_dir(root().join("species_data")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|end| end != "csv") {
            continue;
        }
        let mut reader = csv::Reader::from_path(&path).unwrap();
        let heads = reader.headers().unwrap().clone();
        let column = |name: &str| heads.iter().position(|head| head == name);
        let (source, status) = (column("source"), column("status"));
        assert!(
            source.is_some() && status.is_some(),
            "{} lacks source or status",
            path.display()
        );
        for row in reader.records() {
            let row = row.unwrap();
            assert!(
                !row[source.unwrap()].is_empty(),
                "{}: a row without a source",
                path.display()
            );
            assert!(
                ["seen", "memory", "derived", "judgement"].contains(&&row[status.unwrap()]),
                "{}: status `{}`",
                path.display(),
                &row[status.unwrap()]
            );
        }
    }
}

/// Files whose structs hold plain numbers, their unit in the name: the formulas of rooms, rows of tables, and columns of draws and days.
const PLAIN_NUMBERS: [&str; 35] = [
    // Formulas.
    "air/indoor/compare.rs",
    "air/month.rs",
    "carcass/frame/case.rs",
    "carcass/frame/draws.rs",
    "carcass/frame/joint.rs",
    "carcass/frame/member.rs",
    "carcass/frame/solve.rs",
    "carcass/frame/state.rs",
    "carcass/frame/turning.rs",
    "carcass/straighten.rs",
    "joint/fit.rs",
    "moisture/exclusion.rs",
    "moisture/rest.rs",
    "moisture/slab.rs",
    "moisture/state.rs",
    "moisture/track.rs",
    "moisture/track_grid.rs",
    "movement/shrinkage.rs",
    "panel/plate.rs",
    // Deviations of the draws.
    "forecast/grid_check.rs",
    "job/chance.rs",
    "job/spreads.rs",
    // Rows of tables and of files.
    "air/epw.rs",
    "air/places/",
    "cli/batch/row.rs",
    "moisture/finish.rs",
    "page/dropped.rs",
    "species/",
    // Columns of draws and days.
    "chart/",
    "forecast/curves.rs",
    "forecast/draw.rs",
    "forecast/draw_conditions.rs",
    "forecast/evaluate.rs",
    "forecast/part_model.rs",
    "stock/rest.rs",
];

/// The public fields of a file that are plain numbers with a unit at the end of their names. Kilograms, square and cubic sizes and
/// moments have no quantity of their own.
fn plain_numbers(code: &str) -> Vec<&str> {
    const UNITS: [&str; 12] = [
        "mm", "n", "mpa", "pa", "percent", "g", "s", "days", "deg", "degrees", "m", "c",
    ];
    const NUMBERS: [&str; 4] = ["f64", "Option<f64>", "Vec<f64>", "Band"];
    code.lines()
        .filter_map(|line| line.trim().strip_prefix("pub ")?.split_once(": "))
        .filter(|(name, kind)| {
            let kind = kind.trim_end_matches(',');
            let unit = name.rsplit_once('_').map(|(_, unit)| unit);
            (NUMBERS.contains(&kind) || kind.starts_with("[f64"))
                && unit.is_some_and(|unit| UNITS.contains(&unit))
        })
        .map(|(name, _)| name)
        .collect()
}

#[test]
fn answers_carry_quantities_and_not_numbers_with_a_unit_in_their_names() {
    let sample = "    pub gap_mm: f64,\n    pub gap: Length,\n    pub force_n: Option<f64>,\n    pub share: f64,";
    assert_eq!(plain_numbers(sample), ["gap_mm", "force_n"]);
    let src = root().join("src");
    let mut needed = BTreeSet::new();
    for path in sources(&src) {
        let name = path.strip_prefix(&src).unwrap().to_str().unwrap();
        let code = code(&path);
        let found = plain_numbers(&code);
        if found.is_empty() {
            continue;
        }
        match PLAIN_NUMBERS.iter().find(|plain| name.starts_with(**plain)) {
            Some(plain) => needed.insert(*plain),
            None => panic!("{name}: {found:?} should be quantities"),
        };
    }
    let needless: Vec<_> = PLAIN_NUMBERS
        .iter()
        .filter(|plain| !needed.contains(*plain))
        .collect();
    assert!(
        needless.is_empty(),
        "hold no plain numbers any more: {needless:?}"
    );
}
