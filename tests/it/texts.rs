//! README and DEVELOPERS are true to the letter: every flag, command, file and number that they name is there.

use assert_cmd::Command;
use heartside::air::places;
use heartside::chance::{HOLDS_PERCENT, MARGINAL_PERCENT};
use heartside::job;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

const TEXTS: [&str; 2] = ["README.md", "DEVELOPERS.md"];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn text(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap()
}

/// What the program says to these words.
fn says(args: &[&str]) -> String {
    let output = Command::cargo_bin("heartside")
        .unwrap()
        .args(args)
        .output()
        .unwrap();
    assert!(output.status.success(), "{args:?}");
    String::from_utf8(output.stdout).unwrap()
}

/// The commands that the program lists.
fn commands() -> Vec<String> {
    says(&["--help"])
        .lines()
        .skip_while(|line| !line.starts_with("Commands:"))
        .skip(1)
        .take_while(|line| !line.trim().is_empty())
        .filter_map(|line| line.strip_prefix("  ")?.split(' ').next())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// Words in single back quotes, outside the fenced blocks.
fn quoted(text: &str) -> Vec<String> {
    let mut fenced = false;
    let prose: String = text
        .lines()
        .filter(|line| {
            if line.starts_with("```") {
                fenced = !fenced;
                return false;
            }
            !fenced
        })
        .flat_map(|line| [line, "\n"])
        .collect();
    prose
        .split('`')
        .skip(1)
        .step_by(2)
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_flag_named_is_one_of_the_program() {
    let mut known = BTreeSet::new();
    let mut helps: Vec<String> = commands()
        .iter()
        .map(|command| says(&[command, "--help"]))
        .collect();
    helps.push(says(&["--help"]));
    for help in &helps {
        for word in help.split_whitespace() {
            known.insert(word.trim_end_matches([',', '.', ']']).to_owned());
        }
    }
    let mut counted = 0;
    for name in TEXTS {
        let text = text(name);
        let lines = text
            .lines()
            .filter(|line| line.starts_with("heartside "))
            .map(str::to_owned);
        for words in lines.chain(quoted(&text)) {
            // Flags of other programs are held by the test of what CI runs.
            if ["cargo ", "bash ", "RUSTDOCFLAGS"]
                .iter()
                .any(|other| words.starts_with(other))
            {
                continue;
            }
            for flag in words
                .split_whitespace()
                .filter(|word| word.starts_with("--"))
            {
                assert!(known.contains(flag), "{name}: no command takes `{flag}`");
                counted += 1;
            }
        }
    }
    assert!(counted >= 40, "only {counted} flags were found");
}

#[test]
fn every_command_is_named_in_the_readme() {
    let readme = text("README.md");
    let quoted = quoted(&readme);
    let commands = commands();
    assert!(commands.len() >= 20, "{commands:?}");
    for command in &commands {
        let in_a_line = readme.lines().any(|line| {
            line.starts_with(&format!("heartside {command}"))
                || line.contains(&format!("cargo run --release -- {command}"))
        });
        assert!(
            in_a_line || quoted.contains(command),
            "the README does not name `{command}`"
        );
    }
}

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    const APART: [&str; 4] = ["target", ".git", "node_modules", "corpus"];
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap();
        if APART.contains(&name) {
            continue;
        }
        found.push(path.clone());
        if path.is_dir() {
            files(&path, found);
        }
    }
}

#[test]
fn every_file_and_folder_named_is_there() {
    let mut all = Vec::new();
    files(root(), &mut all);
    let all: Vec<String> = all
        .iter()
        .map(|path| {
            let path = path.strip_prefix(root()).unwrap();
            format!("/{}", path.to_str().unwrap().replace('\\', "/"))
        })
        .collect();
    // What the program writes for a maker is not in the repository.
    let written = [
        "hall-sideboard-report/",
        "forecast.json",
        "report.html",
        "calendar.ics",
        "piece.toml",
        "target/heartside.html",
    ];
    let mut counted = 0;
    for name in TEXTS {
        for words in quoted(&text(name)) {
            let first = words.split(' ').next().unwrap_or_default();
            let ends = [
                ".rs", ".md", ".csv", ".toml", ".js", ".svg", ".json", ".html", "/", "LICENSE",
            ];
            let is_path = words == first
                && ends.iter().any(|end| first.ends_with(end))
                && !first.contains(['*', '(', '"', '='])
                && first != "/";
            if !is_path || written.contains(&first) {
                continue;
            }
            counted += 1;
            let wanted = format!("/{}", first.trim_end_matches('/'));
            assert!(
                all.iter().any(|path| path.ends_with(&wanted)),
                "{name}: there is no `{first}`"
            );
        }
    }
    assert!(counted >= 25, "only {counted} files were found");
}

#[test]
fn every_room_and_every_item_named_in_the_codemap_is_there() {
    let developers = text("DEVELOPERS.md");
    let library = text("src/lib.rs");
    let rooms: Vec<&str> = library
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'))
        .collect();
    for room in &rooms {
        assert!(
            developers.contains(&format!("| `{room}` |")),
            "the codemap lacks `{room}`"
        );
        assert!(
            library.contains(&format!("[`{room}`]")),
            "the front page lacks `{room}`"
        );
    }
    let mut code = Vec::new();
    files(&root().join("src"), &mut code);
    let code: String = code
        .iter()
        .filter(|path| path.extension().is_some_and(|end| end == "rs"))
        .map(|path| fs::read_to_string(path).unwrap())
        .collect();
    // Types and paths to items: the last step must be a name in the code.
    for words in quoted(&developers) {
        let plain = words
            .chars()
            .all(|c| c.is_alphanumeric() || "_:".contains(c));
        let last = words.rsplit("::").next().unwrap_or_default();
        let is_item = plain && (words.contains("::") || words.starts_with(char::is_uppercase));
        if is_item && words != "LICENSE" {
            assert!(
                code.contains(last),
                "DEVELOPERS.md: no `{words}` in the code"
            );
        }
    }
}

#[test]
fn the_numbers_of_the_readme_are_those_of_the_program() {
    let readme = text("README.md");
    let holds = |words: &str| assert!(readme.contains(words), "the README lacks: {words}");
    holds(&format!("of {} built-in places", places::built_in().len()));
    holds(&format!(
        "`holds` from {HOLDS_PERCENT:.0} in 100, `marginal` from {MARGINAL_PERCENT:.0}, `fails` below"
    ));
    let demo = job::read(job::demo(), "demo").unwrap();
    holds(&format!(
        "of {} {:03} draws",
        demo.draws / 1000,
        demo.draws % 1000
    ));
    let manifest = text("Cargo.toml");
    let version = manifest
        .lines()
        .find_map(|line| line.strip_prefix("rust-version = \"")?.strip_suffix('"'))
        .unwrap();
    holds(&format!("Rust ({version} or newer)"));
}
