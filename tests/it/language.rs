//! The words of the field on every screen: none of the terms that a native maker would stumble over.

use clap::CommandFactory as _;
use std::fs;
use std::path::Path;

/// What no text for people says, in lower case.
const PHRASES: [&str; 19] = [
    "unless told",
    "was told",
    "were told",
    "is told",
    "are told",
    "calmer wood",
    "want to shrink",
    "want to swell",
    "wants to shrink",
    "wants to swell",
    "nine tenths",
    "what binds it",
    "would mend",
    "such joints",
    "such boards",
    "such shelves",
    "structural design",
    "marked face",
    "come to rest",
];
/// Words that are not used by themselves.
const WORDS: [&str; 4] = ["host", "hosts", "guest", "guests"];

/// The first term found, with the text around it.
fn found(text: &str) -> Option<String> {
    let plain = text
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .to_lowercase();
    let around = |at: usize| {
        let letters: Vec<char> = plain[at..].chars().take(60).collect();
        letters.into_iter().collect()
    };
    let phrase = PHRASES.iter().find_map(|phrase| plain.find(phrase));
    let word = || {
        plain
            .split(|letter: char| !letter.is_alphanumeric())
            .find(|word| WORDS.contains(word))
    };
    phrase
        .map(around)
        .or_else(|| word().map(|word| format!("`{word}`")))
}

pub(crate) fn clean(name: &str, text: &str) {
    assert!(!text.is_empty(), "{name} is empty");
    let term = found(text);
    assert!(term.is_none(), "{name} says: {}", term.unwrap_or_default());
}

#[test]
fn a_term_is_really_found() {
    assert!(found("as many as the machine has unless\n   told").is_some());
    assert!(found("The Guest is narrower").is_some());
    assert!(found("a hosted guesthouse").is_none());
}

#[test]
fn no_help_text_has_them() {
    let mut command = heartside::cli::Cli::command();
    clean("--help", &command.render_long_help().to_string());
    let names: Vec<String> = command
        .get_subcommands()
        .map(|one| one.get_name().to_owned())
        .collect();
    assert!(names.len() > 20);
    for name in names {
        let one = command.find_subcommand_mut(&name).unwrap();
        clean(&name, &one.render_long_help().to_string());
    }
}

#[test]
fn neither_readme_nor_schema_nor_page_has_them() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    clean(
        "README.md",
        &fs::read_to_string(root.join("README.md")).unwrap(),
    );
    clean("the schema", &heartside::job::schema().to_string());
    clean("the blank job", heartside::job::blank());
    clean("the demo's job", heartside::job::demo());
    for entry in fs::read_dir(root.join("src/page/assets")).unwrap() {
        let path = entry.unwrap().path();
        clean(
            &path.display().to_string(),
            &fs::read_to_string(&path).unwrap(),
        );
    }
}
