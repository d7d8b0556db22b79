//! Tests of the room `job`.

use heartside::air::AirYear;
use heartside::job::{
    self, Climate, FileUse, FilesError, FinishedFaces, Job, JobErrors, MAX_BYTES,
};
use heartside::moisture::{FaceExchange, Finish};
use heartside::movement::Rings;
use heartside::species::SpeciesTable;
use heartside::units::UnitSystem;
use heartside::units::spanned::Problem;
use proptest::prelude::*;
use std::fs;
use std::path::Path;

/// Every bad file of a folder, with the whole message it gives kept beside it.
fn bad_files_of(stage: &str) {
    let folder = Path::new("tests/it/job/bad").join(stage);
    let mut files: Vec<_> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    assert!(!files.is_empty());
    for file in files {
        let name = file.file_stem().unwrap().to_str().unwrap().to_owned();
        let text = fs::read_to_string(&file).unwrap();
        let errors = job::read(&text, &format!("{name}.toml"))
            .map(|job| job.name)
            .expect_err(&name);
        for problem in errors.problems() {
            assert!(
                !problem.remedy.is_empty() && !problem.message.is_empty(),
                "{name}"
            );
            assert!(problem.span.start <= text.len(), "{name}");
        }
        insta::with_settings!({
            snapshot_path => "snapshots", prepend_module_to_snapshot => false, omit_expression => true,
        }, {
            insta::assert_snapshot!(format!("{stage}_{name}"), errors.to_string());
        });
    }
}

#[test]
fn text_that_is_no_toml() {
    bad_files_of("text");
}

#[test]
fn files_of_the_wrong_shape() {
    bad_files_of("shape");
}

#[test]
fn files_that_mean_nothing_that_could_be_made() {
    bad_files_of("meaning");
}

fn whole(text: &str) -> Job {
    job::read(text, "job.toml").unwrap_or_else(|errors| panic!("{errors}"))
}

fn errors(text: &str) -> JobErrors {
    job::read(text, "job.toml").map(|job| job.name).unwrap_err()
}

const HEAD: &str = r#"format = 2
[job]
name = "Box"
[places.shop]
air = { temperature = "64F", humidity = "58%" }
[places.home]
seasons = { winter = "28%", summer = "52%", temperature = "70F" }
[schedule]
measured = 2026-10-05
delivered = 2026-11-20
"#;

fn part(extra: &str) -> String {
    format!(
        r#"[[parts]]
name = "side"
species = "walnut, black"
thickness = "1in"
width = "10in"
length = "30in"
moisture = "9%"
{extra}
"#
    )
}

#[test]
fn the_demo_and_the_blank_read_without_a_problem() {
    for (name, text) in [("demo", job::demo()), ("blank", job::blank())] {
        let read = whole(text);
        job::check_species(&read, SpeciesTable::built_in())
            .unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(
            text.lines().next().unwrap().starts_with("#:schema"),
            "{name}"
        );
        assert!(
            text.lines()
                .take(3)
                .any(|line| line.contains("heartside schema")),
            "{name}"
        );
        assert!(!read.parts.is_empty() && !read.joints.is_empty(), "{name}");
        assert!(
            read.files().is_empty(),
            "{name} must run without another file"
        );
    }
    let demo = whole(job::demo());
    assert_eq!(
        (demo.units, demo.seed, demo.draws),
        (UnitSystem::Inch, 7, 8192)
    );
    assert_eq!(demo.schedule.assembled.to_string(), "2026-11-06");
    let side = demo
        .parts
        .iter()
        .find(|part| part.name == "case side")
        .unwrap();
    assert_eq!(side.count, 2);
    assert!((side.width.mm() - 15.75 * 25.4).abs() < 1e-9);
}

#[test]
fn every_way_to_tell_the_rings() {
    // A ring of radius R over a chord c rises h with R = (c^2/4 + h^2)/(2h): elementary geometry.
    let pith = |extra: &str| match whole(&format!("{HEAD}{}", part(extra))).parts[0].rings {
        Rings::Pith { depth, offset } => (depth.mm(), offset.mm()),
        Rings::Straight { angle } => panic!("straight at {} degrees", angle.degrees()),
    };
    let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6;
    assert!(near(
        pith(r#"rings = { pith_depth = "100mm", pith_offset = "-20mm" }"#),
        (100.0, -20.0)
    ));
    assert!(near(
        pith(r#"rings = { pith_depth = "100mm" }"#),
        (100.0, 0.0)
    ));
    // h = 10, c = 80: R = (1600 + 100)/20 = 85.
    let arc = r#"rings = { rise = "10mm", chord = "80mm", crown = "5mm", centre = "7mm" }"#;
    assert!(near(pith(arc), (80.0, 7.0)));
    // Crown at mid-thickness, 12.7 mm, unless given.
    assert!(near(pith(r#"rings = { radius = "110mm" }"#), (97.3, 0.0)));
    let straight = |word: &str| match whole(&format!("{HEAD}{}", part(word))).parts[0].rings {
        Rings::Straight { angle } => angle.degrees(),
        Rings::Pith { .. } => panic!("a pith"),
    };
    assert_eq!(straight(r#"rings = { sawn = "flat" }"#), 0.0);
    assert_eq!(straight(r#"rings = { sawn = "rift" }"#), 45.0);
    assert_eq!(straight(r#"rings = { sawn = "quarter" }"#), 90.0);
    // Rings of a pith 100 mm below the heart face: at x the tangent falls by atan(x / (100 + 12.7)).
    let slope = (50.0_f64 / 112.7).atan().to_degrees();
    let angles = format!("rings = {{ angles = \"-50mm:{slope}deg, 50mm:-{slope}deg\" }}");
    assert!(near(pith(&angles), (100.0, 0.0)));
}

#[test]
fn what_is_left_out_has_its_stated_default() {
    let job = whole(&format!("{HEAD}{}", part("rings = { sawn = \"flat\" }")));
    let side = &job.parts[0];
    assert_eq!((side.count, side.finish.clone()), (1, None));
    assert_eq!(side.faces(), [FaceExchange::Open(Finish::bare()); 2]);
    assert_eq!((side.made_in, side.stands_in), (job.shop, job.home));
    assert_eq!(job.place(job.shop).name, "shop");
    assert_eq!(side.measured.to_string(), "2026-10-05");
    assert_eq!(job.schedule.assembled, job.schedule.delivered);
    assert_eq!(
        (job.units, job.seed, job.draws),
        (UnitSystem::Metric, 1, 8192)
    );
    let finished = whole(&format!(
        "{HEAD}{}",
        part(
            "rings = { sawn = \"flat\" }\nfinish = { kind = \"shellac\", coats = 2, faces = \"bark\" }\nmade_in = \"home\""
        )
    ));
    let finish = finished.parts[0].finish.clone().unwrap();
    assert_eq!((finish.coats, finish.faces), (Some(2), FinishedFaces::Bark));
    let [heart, bark] = finished.parts[0].faces();
    assert_eq!(heart, FaceExchange::Open(Finish::bare()));
    assert_eq!(
        bark,
        FaceExchange::Open(Finish::find("shellac", 2).unwrap())
    );
    assert_eq!(finished.parts[0].made_in, finished.home);
}

fn year(home: &str) -> AirYear {
    let text = HEAD.replace(
        "seasons = { winter = \"28%\", summer = \"52%\", temperature = \"70F\" }",
        home,
    );
    match &whole(&text).places[1].climate {
        Climate::Year(year) => year.clone(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn every_way_to_tell_a_place() {
    assert!(year("air = { temperature = \"20C\", humidity = \"50%\" }").is_constant());
    let seasons = year("seasons = { winter = \"28%\", summer = \"52%\", temperature = \"70F\" }");
    let humid = |year: &AirYear, month: usize| year.monthly_means()[month].humidity.percent();
    assert!(humid(&seasons, 0) < 30.0 && humid(&seasons, 6) > 50.0);
    let south = year(
        "seasons = { winter = \"28%\", summer = \"52%\", temperature = \"70F\", hemisphere = \"south\" }",
    );
    assert!(humid(&south, 0) > 50.0 && humid(&south, 6) < 30.0);
    let list = (0..12)
        .map(|month| format!("\"{}%\"", 30 + month))
        .collect::<Vec<_>>()
        .join(", ");
    let months = year(&format!(
        "months = {{ humidity = [{list}], temperature = [\"20C\"] }}"
    ));
    assert!((humid(&months, 11) - 41.0).abs() < 0.5);
    // Outdoor air of a cold dry place, warmed: much drier in January than in July.
    let heated = year("place = \"Denver\"\nindoor = { heat_to = \"21C\", vapour = \"none\" }");
    assert!(humid(&heated, 0) < 15.0 && humid(&heated, 6) > 25.0);
    let kept = year("place = \"Denver\"\nindoor = { heat_to = \"21C\", humidify_to = \"35%\" }");
    assert!(humid(&kept, 0) >= 35.0 - 1e-9);
    let outdoors = year("place = \"Denver\"");
    let unheated = year("place = \"Denver\"\nindoor = { heated = false }");
    for (bare, shed) in outdoors.states().iter().zip(unheated.states()) {
        assert!((bare.humidity.percent() - shed.humidity.percent()).abs() < 1e-9);
        assert!((bare.temperature.celsius() - shed.temperature.celsius()).abs() < 1e-9);
    }
}

#[test]
fn files_are_listed_with_their_places() {
    let text = HEAD
        .replace(
            "air = { temperature = \"64F\", humidity = \"58%\" }",
            "logger = { file = \"shop.csv\", columns = [\"bench\"], unit = \"F\", date_order = \"day first\" }",
        )
        .replace(
            "seasons = { winter = \"28%\", summer = \"52%\", temperature = \"70F\" }",
            "weather = \"plains.epw\"\nindoor = { heat_to = \"20C\" }",
        )
        .replace("name = \"Box\"", "name = \"Box\"\nspecies_table = \"mine.csv\"");
    let job = whole(&text);
    let files = job.files();
    let given: Vec<_> = files
        .iter()
        .map(|file| (file.path.as_str(), file.why.clone()))
        .collect();
    assert_eq!(
        given,
        [
            ("mine.csv", FileUse::SpeciesTable),
            ("shop.csv", FileUse::Logger("shop".into())),
            ("plains.epw", FileUse::Weather("home".into())),
        ]
    );
    assert_eq!(&text[files[1].span.clone()], "\"shop.csv\"");
    let late = job.error(vec![Problem {
        span: files[1].span.clone(),
        message: "the file `shop.csv` cannot be read".into(),
        remedy: "give a path from where the job file lies".into(),
    }]);
    assert_eq!(late.place(&late.problems()[0]), (6, 19));
}

#[test]
fn the_air_of_files_comes_through_the_reader_given() {
    let text = HEAD.replace(
        "air = { temperature = \"64F\", humidity = \"58%\" }",
        "logger = { file = \"shop.csv\" }",
    );
    let job = whole(&text);
    // A year of one reading every six hours, always 20 C and 50 %.
    let mut csv = String::from("date,temperature C,humidity %\n");
    let mut at = "2025-01-01T00:00".parse::<jiff::civil::DateTime>().unwrap();
    for _ in 0..4 * 366 {
        csv.push_str(&format!("{},20.0,50.0\n", at.strftime("%Y-%m-%d %H:%M")));
        at = at.checked_add(jiff::Span::new().hours(6)).unwrap();
    }
    let airs = job.airs(|file| {
        assert_eq!(file.path, "shop.csv");
        Ok::<_, String>(csv.clone().into_bytes())
    });
    let airs = airs.unwrap();
    assert_eq!(airs.len(), job.places.len());
    let shop = airs[job.shop.0].year.mean();
    assert!((shop.humidity.percent() - 50.0).abs() < 1e-6);
    // A file that cannot be read, and one that is no year of air.
    assert!(matches!(
        job.airs(|_| Err::<Vec<u8>, _>("gone")),
        Err(FilesError::File { error: "gone", .. })
    ));
    match job.airs(|_| Ok::<_, String>(b"not,a\nlogger,file\n".to_vec())) {
        Err(FilesError::Job(errors)) => {
            assert!(errors.to_string().contains("job.toml:5:19"), "{errors}")
        }
        other => panic!("{other:?}"),
    }
}

const PANEL: &str =
    "[[panels]]\nname = \"door\"\nmatch = \"bookmatch\"\nleaves_file = \"leaves.csv\"\n";

#[test]
fn leaves_come_from_a_file_of_their_own() {
    let mut job = whole(&format!("{HEAD}{PANEL}"));
    assert_eq!(job.files()[0].why, FileUse::Leaves("door".into()));
    let rows = "leaf,width,thickness,length,bow_mm\n\
        A1,7in,1/2in,22in,1.5\nA2,7in,1/2in,22in,-0.5\n";
    job.read_leaves(|_| Ok::<_, String>(rows.as_bytes().to_vec()))
        .unwrap();
    let leaves = job.panels[0].leaves().unwrap();
    assert_eq!((leaves.len(), leaves[1].bow.mm()), (2, -0.5));
    assert!(job.files().is_empty());
    let mut job = whole(&format!("{HEAD}{PANEL}"));
    let wrong = "leaf,width,thickness,length,bow_mm\nA1,7,1/2in,22in,1.5\n";
    match job.read_leaves(|_| Ok::<_, String>(wrong.as_bytes().to_vec())) {
        Err(FilesError::Job(errors)) => {
            let words = errors.to_string();
            assert!(
                words.contains("job.toml:14:15") && words.contains("`7` has no unit"),
                "{words}"
            );
        }
        other => panic!("{other:?}"),
    }
    assert!(matches!(
        job.read_leaves(|_| Err::<Vec<u8>, _>("gone")),
        Err(FilesError::File { error: "gone", .. })
    ));
}

#[test]
fn an_air_without_seasons_says_so() {
    let airs = whole(HEAD).airs(|_| Err::<Vec<u8>, _>(())).unwrap();
    assert_eq!((airs[0].notes.len(), airs[1].notes.len()), (1, 0));
    assert!(airs[0].notes[0].starts_with("shop: "));
}

#[test]
fn an_unknown_wood_is_shown_in_its_place_with_the_nearest() {
    let text = format!("{HEAD}{}", part("rings = { sawn = \"flat\" }"))
        .replace("walnut, black", "walnut, blak");
    let error = job::check_species(&whole(&text), SpeciesTable::built_in()).unwrap_err();
    let words = error.to_string();
    assert!(
        words.contains("Walnut, black") && words.contains("job.toml:13:11"),
        "{words}"
    );
}

#[test]
fn too_large_not_utf8_and_hostile_text_are_refused_in_words() {
    let large = format!("{HEAD}# {}", "x".repeat(MAX_BYTES));
    assert!(errors(&large).to_string().contains("at most 1000000"));
    assert!(job::read_bytes(large.as_bytes(), "job.toml").is_err());
    let error = job::read_bytes(b"format = 2\nname = \"caf\xe9\"\n", "job.toml").unwrap_err();
    assert_eq!(error.place(&error.problems()[0]), (2, 12));
    assert!(error.to_string().contains("UTF-8"));
    let deep = format!("a = {}", "[".repeat(200_000));
    assert!(!errors(&deep).to_string().is_empty());
    let hostile = "format = 2\n[job]\nname = \"\u{1b}[31m<script>\"\n\"\\u001b[2J\" = 1\n";
    assert!(!errors(hostile).to_string().contains('\u{1b}'));
    let marked = whole(&format!("\u{feff}{HEAD}"));
    assert_eq!(marked.name, "Box");
    let windows = whole(&HEAD.replace('\n', "\r\n"));
    assert_eq!(windows.name, "Box");
}

#[test]
fn a_part_above_fibre_saturation_is_no_error() {
    let wet = format!("{HEAD}{}", part("rings = { sawn = \"flat\" }")).replace("\"9%\"", "\"60%\"");
    assert_eq!(whole(&wet).parts[0].moisture.percent(), 60.0);
}

#[test]
fn the_schema_describes_every_key() {
    fn described(schema: &serde_json::Value, path: &str) {
        if let Some(keys) = schema["properties"].as_object() {
            for (key, below) in keys {
                assert!(
                    below["description"].is_string(),
                    "{path}.{key} says nothing"
                );
                assert_ne!(below["type"], "null", "{path}.{key}");
            }
            assert_eq!(
                schema["additionalProperties"], false,
                "{path} takes any key"
            );
        }
    }
    let schema = job::schema();
    described(&schema, "file");
    for (name, definition) in schema["$defs"].as_object().unwrap() {
        described(definition, name);
    }
    assert!(schema["properties"]["parts"].is_object());
}

#[test]
fn a_thousand_problems_are_given_shortly_and_fast() {
    let many: String = (0..1000)
        .map(|n| part(&format!("rings = {{ sawn = \"x{n}\" }}")))
        .collect();
    let words = errors(&format!("{HEAD}{many}")).to_string();
    assert!(words.contains("more problems"), "{}", words.len());
    assert!(words.len() < 40_000, "{}", words.len());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_text_panics(text in "[\\[\\]={}\"',.#a-z0-9 \n]{0,200}") {
        if let Err(errors) = job::read(&text, "job.toml") {
            prop_assert!(!errors.to_string().is_empty());
        }
    }

    #[test]
    fn a_demo_with_a_bite_out_of_it_never_panics(from in 0usize..4000, len in 1usize..80) {
        let text: String = job::demo().chars().enumerate()
            .filter(|(at, _)| !(from..from + len).contains(at))
            .map(|(_, c)| c)
            .collect();
        if let Err(errors) = job::read(&text, "job.toml") {
            prop_assert!(!errors.to_string().is_empty());
            for problem in errors.problems() {
                let (line, column) = errors.place(problem);
                prop_assert!(line >= 1 && column >= 1);
            }
        }
    }
}
