//! The commands as others script them: the demo, jobs in and reports out, and everything that can be wrong.

use crate::run::{heartside, text};
use serde_json::Value;
use std::fs;
use std::path::Path;

/// Runs, and expects an exit code and words on standard error that name place, reason and remedy.
fn fails(folder: &Path, args: &[&str], code: i32, words: &[&str]) {
    let output = heartside(folder, args);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(code), "{args:?}: {said}");
    for word in words {
        assert!(
            said.contains(word),
            "{args:?} does not say `{word}`:\n{said}"
        );
    }
    assert!(!said.contains("panicked"), "{said}");
}

const DRAWS: [&str; 2] = ["--draws", "64"];

#[test]
fn the_demo_writes_its_job_and_forecasting_it_gives_the_same_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let demo = heartside(folder.path(), &["demo", DRAWS[0], DRAWS[1]]);
    assert!(demo.status.success(), "{}", text(&demo.stderr));
    let made = folder.path().join("hall-sideboard-report");
    let first = fs::read(made.join("forecast.json")).unwrap();
    let job = made.join("hall-sideboard.toml");
    let again = heartside(
        folder.path(),
        &[
            "forecast",
            job.to_str().unwrap(),
            "--out",
            "again",
            DRAWS[0],
            DRAWS[1],
        ],
    );
    assert!(again.status.success(), "{}", text(&again.stderr));
    assert_eq!(
        first,
        fs::read(folder.path().join("again/forecast.json")).unwrap()
    );
    assert_eq!(
        fs::read(made.join("report.html")).unwrap(),
        fs::read(folder.path().join("again/report.html")).unwrap()
    );
    assert!(text(&demo.stdout).contains("WHAT TO CUT"));
}

#[test]
fn the_number_of_threads_changes_no_byte_and_the_seed_does() {
    let folder = tempfile::tempdir().unwrap();
    let run = |more: &[&str], out: &str| {
        let args: Vec<&str> = ["demo", "--json", "--out", out, "--draws", "128"]
            .iter()
            .chain(more)
            .copied()
            .collect();
        let output = heartside(folder.path(), &args);
        assert!(output.status.success(), "{}", text(&output.stderr));
        output.stdout
    };
    let one = run(&["--threads", "1"], "a");
    assert_eq!(one, run(&["--threads", "3"], "b"));
    assert_ne!(one, run(&["--seed", "8"], "c"));
}

#[test]
fn the_json_holds_what_was_promised_to_scripts() {
    let folder = tempfile::tempdir().unwrap();
    let output = heartside(folder.path(), &["demo", "--json", "--draws", "64"]);
    let object: Value = serde_json::from_slice(&output.stdout).unwrap();
    for key in [
        "format", "parts", "fits", "bonds", "panels", "leaves", "setup", "cautions", "warnings",
    ] {
        assert!(!object[key].is_null(), "`{key}` is missing");
    }
    let part = &object["parts"][0];
    for key in [
        "name",
        "width_driest_mm",
        "driest_on",
        "width_wettest_mm",
        "wettest_on",
        "cup_driest_mm",
    ] {
        assert!(!part[key].is_null(), "parts: `{key}` is missing");
    }
    for fit in object["fits"].as_array().unwrap() {
        for key in [
            "joint",
            "cut_mm",
            "gap_min_mm",
            "gap_min_on",
            "gap_max_mm",
            "gap_max_on",
            "verdict",
            "reason",
        ] {
            assert!(!fit[key].is_null(), "fits: `{key}` is missing in {fit}");
        }
        assert!(fit["remedies"].is_array());
        assert!(fit.get("survives_humidity_percent").is_some());
        assert!(["holds", "marginal", "fails"].contains(&fit["verdict"].as_str().unwrap()));
    }
    for bond in object["bonds"].as_array().unwrap() {
        assert!(["glue", "glue_middle", "float"].contains(&bond["advice"].as_str().unwrap()));
        assert!(bond["slot_mm"].is_number() && bond.get("glue_middle_mm").is_some());
    }
}

#[test]
fn a_new_job_validates_and_is_not_written_over() {
    let folder = tempfile::tempdir().unwrap();
    assert!(
        heartside(folder.path(), &["new", "piece.toml"])
            .status
            .success()
    );
    let valid = heartside(folder.path(), &["validate", "piece.toml", "--json"]);
    assert!(valid.status.success(), "{}", text(&valid.stderr));
    let object: Value = serde_json::from_slice(&valid.stdout).unwrap();
    assert_eq!(object["valid"], true);
    fails(
        folder.path(),
        &["new", "piece.toml"],
        2,
        &["piece.toml", "there already", "another name"],
    );
}

fn job(part: &str, more: &str) -> String {
    format!(
        "format = 2\n[job]\nname = \"Box\"\nunits = \"mm\"\n[places.shop]\nair = {{ temperature = \"18C\", humidity = \"55%\" }}\n\
         [places.home]\nseasons = {{ winter = \"30%\", summer = \"55%\", temperature = \"20C\" }}\n\
         [schedule]\nmeasured = 2026-10-05\ndelivered = 2026-11-20\n{part}\n{more}"
    )
}

const SIDE: &str = "[[parts]]\nname = \"side\"\nspecies = \"ash, white\"\nthickness = \"20 mm\"\nwidth = \"300 mm\"\nlength = \"800 mm\"\nmoisture = \"9%\"\nrings = { sawn = \"flat\" }\n";

#[test]
fn bad_jobs_are_given_with_place_and_remedy_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    let case = |name: &str, content: &[u8], code: i32, words: &[&str]| {
        fs::write(here.join(name), content).unwrap();
        fails(here, &["forecast", name], code, words);
        let report = name.replace(".toml", "-report");
        assert!(!here.join(report).exists(), "{name} left a folder behind");
    };
    case("empty.toml", b"", 2, &["empty.toml", "empty"]);
    case(
        "binary.toml",
        &[0xff, 0xfe, 0x00],
        2,
        &["binary.toml", "UTF-8"],
    );
    case("large.toml", &vec![b'#'; 1_000_001], 2, &["large.toml"]);
    case(
        "species.toml",
        job(&SIDE.replace("ash, white", "ash, whyte"), "").as_bytes(),
        2,
        &["species.toml:", "ash, whyte", "Ash, white"],
    );
    case(
        "unit.toml",
        job(&SIDE.replace("300 mm", "3/8"), "").as_bytes(),
        2,
        &["unit.toml:", "3/8 in or 3/8 mm"],
    );
    case(
        "twice.toml",
        job(SIDE, SIDE).as_bytes(),
        2,
        &["twice.toml:", "two parts are named `side`", "help"],
    );
    case(
        "missing.toml",
        job(SIDE, "[[joints.dado]]\ninto = \"side\"\npiece = \"shelv\"\nat = \"100 mm\"\ndepth = \"6 mm\"").as_bytes(),
        2,
        &["missing.toml:", "shelv"],
    );
    case(
        "wet.toml",
        job(&SIDE.replace("9%", "240%"), "").as_bytes(),
        2,
        &["240", "200"],
    );
    case(
        "humid.toml",
        job(SIDE, "")
            .replace("summer = \"55%\"", "summer = \"155%\"")
            .as_bytes(),
        2,
        &["155", "100"],
    );
    fs::create_dir(here.join("folder.toml")).unwrap();
    fails(here, &["forecast", "folder.toml"], 3, &["folder.toml"]);
    fails(here, &["forecast", "nowhere.toml"], 3, &["nowhere.toml"]);
}

#[test]
fn above_fibre_saturation_is_taken_with_a_note() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("wet.toml"),
        job(&SIDE.replace("9%", "60%"), ""),
    )
    .unwrap();
    let output = heartside(
        folder.path(),
        &["forecast", "wet.toml", "--json", "--draws", "32"],
    );
    assert!(output.status.success(), "{}", text(&output.stderr));
    let object: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(
        object["parts"][0]["notes"]
            .to_string()
            .contains("above fiber saturation")
    );
}

#[test]
fn strict_ends_with_one_when_a_joint_is_to_be_redone() {
    let folder = tempfile::tempdir().unwrap();
    let tight = "[[joints.inset]]\npiece = \"side\"\ninto = \"side\"\nopening = \"300.5 mm\"\nsize = \"300 mm\"\n";
    fs::write(folder.path().join("tight.toml"), job(SIDE, tight)).unwrap();
    let run = |strict: &[&str]| {
        let args: Vec<&str> = ["forecast", "tight.toml", "--draws", "64"]
            .iter()
            .chain(strict)
            .copied()
            .collect();
        heartside(folder.path(), &args)
    };
    assert_eq!(run(&[]).status.code(), Some(0));
    let strict = run(&["--strict"]);
    assert_eq!(strict.status.code(), Some(1), "{}", text(&strict.stderr));
    assert!(text(&strict.stdout).contains("fails"));
}

#[test]
fn a_file_that_is_not_ours_is_never_replaced() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("box.toml"), job(SIDE, "")).unwrap();
    let out = folder.path().join("box-report");
    fs::create_dir(&out).unwrap();
    fs::write(out.join("report.html"), "mine").unwrap();
    fails(
        folder.path(),
        &["forecast", "box.toml", "--draws", "32"],
        2,
        &["report.html", "--out"],
    );
    assert_eq!(fs::read_to_string(out.join("report.html")).unwrap(), "mine");
    assert!(!out.join("forecast.json").exists());
}

#[test]
fn our_own_files_are_replaced_and_stale_ones_go() {
    let folder = tempfile::tempdir().unwrap();
    let joint = "[[joints.inset]]\npiece = \"side\"\ninto = \"side\"\nopening = \"304 mm\"\n";
    let write = |more: &str| fs::write(folder.path().join("box.toml"), job(SIDE, more)).unwrap();
    let figures = || {
        fs::read_dir(folder.path().join("box-report"))
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .filter(|name| name.starts_with("gap-"))
            .count()
    };
    write(joint);
    assert!(
        heartside(folder.path(), &["forecast", "box.toml", "--draws", "32"])
            .status
            .success()
    );
    assert_eq!(figures(), 1);
    write("");
    assert!(
        heartside(folder.path(), &["forecast", "box.toml", "--draws", "32"])
            .status
            .success()
    );
    assert_eq!(figures(), 0);
    let parts = fs::read_dir(folder.path().join("box-report"))
        .unwrap()
        .filter(|entry| {
            entry
                .as_ref()
                .unwrap()
                .file_name()
                .to_string_lossy()
                .ends_with(".part")
        })
        .count();
    assert_eq!(parts, 0);
}

#[test]
fn the_glue_up_and_the_installation_of_a_job_are_answered_alone() {
    let folder = tempfile::tempdir().unwrap();
    heartside(folder.path(), &["demo", "--draws", "32"]);
    let file = "hall-sideboard-report/hall-sideboard.toml";
    let stages: Value =
        serde_json::from_slice(&heartside(folder.path(), &["glueup", file, "--json"]).stdout)
            .unwrap();
    assert!(!stages["stages"].as_array().unwrap().is_empty());
    let install: Value =
        serde_json::from_slice(&heartside(folder.path(), &["install", file, "--json"]).stdout)
            .unwrap();
    assert!(install["level"]["corners"].is_array() && install["fastenings"].is_array());
    fs::write(folder.path().join("plain.toml"), job(SIDE, "")).unwrap();
    fails(
        folder.path(),
        &["glueup", "plain.toml"],
        2,
        &["plain.toml", "[glue]"],
    );
    fails(
        folder.path(),
        &["install", "plain.toml"],
        2,
        &["plain.toml", "[install]"],
    );
}

#[test]
fn paperwork_is_printed() {
    let folder = tempfile::tempdir().unwrap();
    let schema: Value =
        serde_json::from_slice(&heartside(folder.path(), &["schema"]).stdout).unwrap();
    assert!(schema["properties"]["parts"].is_object());
    for shell in ["bash", "zsh", "fish"] {
        assert!(
            text(&heartside(folder.path(), &["completions", shell]).stdout).contains("heartside")
        );
    }
    assert!(text(&heartside(folder.path(), &["man"]).stdout).contains(".TH"));
    assert!(text(&heartside(folder.path(), &["man", "board"]).stdout).contains("board"));
    fails(folder.path(), &["man", "bord"], 2, &["bord", "board"]);
}

#[test]
fn one_fit_and_one_bond_are_answered_without_a_file() {
    let folder = tempfile::tempdir().unwrap();
    let flags = [
        "bond",
        "--species",
        "oak, white",
        "--width",
        "150mm",
        "--thickness",
        "19mm",
        "--to",
        "maple, sugar",
        "--to-thickness",
        "19mm",
        "--from",
        "8%",
        "--dry",
        "5%",
        "--wet",
        "11%",
        "--json",
    ];
    let bond: Value = serde_json::from_slice(&heartside(folder.path(), &flags).stdout).unwrap();
    for key in [
        "verdict",
        "advice",
        "split_chance_percent",
        "slot_mm",
        "strain_held_fraction",
        "end_shear_mpa",
    ] {
        assert!(!bond[key].is_null(), "`{key}` is missing in {bond}");
    }
    let flags = [
        "fit",
        "--species",
        "oak, white",
        "--part",
        "350mm",
        "--opening",
        "330mm",
        "--cut",
        "depth",
        "--from",
        "8%",
        "--dry",
        "5%",
        "--wet",
        "11%",
        "--json",
    ];
    let fit: Value = serde_json::from_slice(&heartside(folder.path(), &flags).stdout).unwrap();
    // By hand, flat-sawn white oak, S_T 10.5 % (Wood Handbook Table 4-3), F 30: L(m) = 1 - 0.105 (30 - m)/30.
    let size = |m: f64| 1.0 - 0.105 * (30.0 - m) / 30.0;
    let ratio = |m: f64| size(m) / size(8.0);
    // Held at its centre, half of (opening + two grooves - panel) shows at each side. The opening runs along the grain and
    // moves by 0.15 % green to dry; the grooves are cut across the grain of stiles of the same wood.
    let along = |m: f64| (1.0 - 0.0015 * (30.0 - m) / 30.0) / (1.0 - 0.0015 * 22.0 / 30.0);
    let cut = fit["cut_mm"].as_f64().unwrap();
    let gap = |m: f64| (330.0 * along(m) + 2.0 * cut * ratio(m) - 350.0 * ratio(m)) / 2.0;
    let (min, max) = (gap(11.0), gap(5.0));
    approx::assert_abs_diff_eq!(fit["gap_min_mm"].as_f64().unwrap(), min, epsilon = 0.001);
    approx::assert_abs_diff_eq!(fit["gap_max_mm"].as_f64().unwrap(), max, epsilon = 0.001);
    assert!(
        min >= 1.0,
        "the minimum clearance at the bottom of the groove is 1 mm"
    );
    fails(
        folder.path(),
        &[
            "fit",
            "--species",
            "oak, white",
            "--part",
            "350mm",
            "--from",
            "8%",
            "--dry",
            "5%",
            "--wet",
            "11%",
        ],
        2,
        &["--opening", "--cut opening"],
    );
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    use std::process::{Command as Plain, Stdio};
    let mut child = Plain::new(assert_cmd::cargo::cargo_bin("heartside"))
        .arg("species")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(!text(&output.stderr).contains("panicked"));
}

#[test]
fn every_command_of_the_readme_runs() {
    let readme =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    // The photo that a maker has taken.
    fs::copy(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/it/data/endgrain/t_syn_01.jpg"),
        folder.path().join("end.jpg"),
    )
    .unwrap();
    let mut run = 0;
    for line in readme.lines().filter(|line| line.starts_with("heartside ")) {
        let line = line.split(" #").next().unwrap().trim();
        // A server does not end by itself; its own tests start and stop it.
        if line.starts_with("heartside serve") {
            continue;
        }
        let mut quoted = false;
        let words: Vec<String> = line
            .split(|letter: char| {
                if letter == '"' {
                    quoted = !quoted;
                }
                letter == ' ' && !quoted
            })
            .map(|word| word.replace('"', ""))
            .collect();
        let args: Vec<&str> = words.iter().skip(1).map(String::as_str).collect();
        let output = heartside(folder.path(), &args);
        assert!(output.status.success(), "{line}: {}", text(&output.stderr));
        run += 1;
    }
    assert!(run >= 10, "only {run} commands were found in the README");
}

/// Commands in the fenced blocks of a text, and those in single backticks that begin with `cargo` or `bash`.
fn commands_of(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut fenced = false;
    for line in text.lines() {
        if line.starts_with("```") {
            fenced = line == "```sh";
        } else if fenced {
            found.push(
                line.split(" #")
                    .next()
                    .unwrap_or_default()
                    .trim()
                    .to_owned(),
            );
        }
    }
    let inline = text.split('`').skip(1).step_by(2);
    found.extend(
        inline
            .filter(|words| {
                ["cargo ", "bash "]
                    .iter()
                    .any(|start| words.starts_with(start))
            })
            .map(str::to_owned),
    );
    found.retain(|command| !command.is_empty());
    found
}

/// What is not a command of the program itself is a line of `.ci/run`, or one of the few that stand here with their reason.
#[test]
fn every_other_command_in_the_texts_is_one_that_ci_runs() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let ci = fs::read_to_string(root.join(".ci/run")).unwrap();
    let mut counted = 0;
    for name in ["README.md", "DEVELOPERS.md"] {
        for command in commands_of(&fs::read_to_string(root.join(name)).unwrap()) {
            counted += 1;
            let words: Vec<&str> = command.split(' ').collect();
            let known = match words[..] {
                ["heartside", ..] => name == "README.md",
                ["bash", script, ..] => {
                    // The runner itself, and measurements and hours of fuzzing, which it does not do.
                    let apart = [".ci/run", "benches/run", "tests/fuzz/run"].contains(&script);
                    root.join(script).is_file() && (apart || ci.contains(&format!("bash {script}")))
                }
                // By a script that CI runs.
                ["python", script, ..] => {
                    let (folder, _) = script.rsplit_once('/').unwrap();
                    let run = format!("{folder}/run");
                    ci.contains(&format!("bash {run}"))
                        && fs::read_to_string(root.join(run)).unwrap().contains(script)
                }
                // Opened in a browser, measured, or installed by hand: CI makes the docs, builds the benches.
                ["cargo", "doc", "--open"] => ci.contains("cargo doc"),
                ["cargo", "bench", ..] => ci.contains("cargo bench"),
                ["cargo", "install", "cargo-fuzz", "--version", _, "--locked"] => {
                    root.join("tests/fuzz/Cargo.toml").is_file()
                }
                _ => ci.lines().any(|line| line.starts_with(&command)),
            };
            assert!(known, "{name}: nobody runs `{command}`");
        }
    }
    assert!(counted >= 20, "only {counted} commands were found");
}

/// The files a job names lie beside it, wherever one stands: a table of woods that is there is read, by a path of its own or a whole one; one
/// that is not, or does not read, is given by its name with the remedy, and so is a logger's.
#[test]
fn a_job_takes_its_files_from_beside_itself() {
    let folder = tempfile::tempdir().unwrap();
    let elsewhere = tempfile::tempdir().unwrap();
    let place = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let job = |species: &str, air: &str| {
        let text = format!(
            "format = 2\n[job]\nname = \"A board\"\nspecies_table = \"{species}\"\n[places.shop]\n{air}\n[places.home]\nseasons = {{ winter = \"30%\", summer = \"50%\", temperature = \"20C\" }}\n\
             [schedule]\nmeasured = 2026-09-14\ndelivered = 2026-10-26\n[[parts]]\nname = \"board\"\nspecies = \"pear of the orchard\"\nthickness = \"20 mm\"\nwidth = \"200 mm\"\nlength = \"900 mm\"\nmoisture = \"9%\"\nrings = {{ sawn = \"flat\" }}\n"
        );
        fs::write(place("job.toml"), text).unwrap();
    };
    let air = "air = { temperature = \"18C\", humidity = \"55%\" }";
    let woods = "species,radial_percent,tangential_percent\nPear of the orchard,4.6,9.1\n";
    fs::write(place("woods.csv"), woods).unwrap();
    fs::write(
        place("bad.csv"),
        "species,radial_percent,tangential_percent\nPear,4.6,much\n",
    )
    .unwrap();
    let path = place("job.toml");
    for named in ["woods.csv".to_owned(), place("woods.csv")] {
        job(&named, air);
        let output = heartside(
            elsewhere.path(),
            &["forecast", &path, "--draws", "64", "--json"],
        );
        assert!(output.status.success(), "{}", text(&output.stderr));
        let given: Value = serde_json::from_slice(&output.stdout).unwrap();
        let part = &given["parts"][0];
        // 9.1 % of the green width over 30 %: the width moves by some 2 mm between 6 and 9 % (linear shrinkage, Wood Handbook ch. 13).
        let moves =
            part["width_wettest_mm"].as_f64().unwrap() - part["width_driest_mm"].as_f64().unwrap();
        assert!((0.5..4.0).contains(&moves), "{moves}");
    }
    job("lost.csv", air);
    fails(elsewhere.path(), &["forecast", &path], 3, &["lost.csv"]);
    job("bad.csv", air);
    fails(
        elsewhere.path(),
        &["forecast", &path],
        2,
        &["bad.csv", "much"],
    );
    job("woods.csv", "logger = { file = \"lost-log.csv\" }");
    fails(elsewhere.path(), &["forecast", &path], 3, &["lost-log.csv"]);
    fs::write(place("log.csv"), "nothing, of, use\n").unwrap();
    job("woods.csv", "logger = { file = \"log.csv\" }");
    fails(elsewhere.path(), &["forecast", &path], 2, &["log.csv"]);
}

/// The demo writes over nothing that is not its own: a job of that name changed by hand, or a folder in its way, is given and left.
#[test]
fn the_demo_leaves_what_was_changed_by_hand() {
    let folder = tempfile::tempdir().unwrap();
    let made = folder.path().join("own");
    fs::create_dir(&made).unwrap();
    let job = made.join("hall-sideboard.toml");
    fs::write(&job, "format = 2\n").unwrap();
    let args = ["demo", "--out", "own", "--draws", "64"];
    fails(
        folder.path(),
        &args,
        2,
        &[
            "hall-sideboard.toml",
            "in the way",
            "another folder with --out",
        ],
    );
    assert_eq!(fs::read_to_string(&job).unwrap(), "format = 2\n");
    fs::remove_file(&job).unwrap();
    fs::create_dir(&job).unwrap();
    fails(
        folder.path(),
        &args,
        2,
        &["hall-sideboard.toml", "in the way", "--out"],
    );
}
