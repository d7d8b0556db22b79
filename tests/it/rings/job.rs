//! Rings of a part that a job keeps in a photo.

use super::known::{KNOWN, folder, median};
use heartside::forecast::{Airs, forecast};
use heartside::job::{self, FileNeeded, FilesError, Job, MadeOf};
use heartside::movement::{PithSpread, Rings};
use heartside::page::rings_in_photo;
use heartside::species::SpeciesTable;
use heartside::units::Length;

/// The blank job with the rings of its first part in a photo.
fn text(rings: &str) -> String {
    let blank = job::blank();
    let line = blank
        .lines()
        .find(|line| line.starts_with("rings"))
        .unwrap();
    blank.replacen(line, &format!("rings = {rings}"), 1)
}

fn with_photos(job: &mut Job) -> Result<(), FilesError<std::io::Error>> {
    job.read_ring_photos(
        |file: &FileNeeded| std::fs::read(folder().join(&file.path)),
        rings_in_photo,
    )
}

#[test]
fn a_photo_gives_the_rings_and_their_spread() {
    let mut job = job::read(&text("{ photo = \"t_syn_05.jpg\" }"), "job.toml").unwrap();
    assert_eq!(job.files().len(), 1);
    let airs = job.airs(|_| Err::<Vec<u8>, _>("no file")).unwrap();
    let airs = Airs::new(airs.into_iter().map(|air| (air.year, air.notes)).collect());
    // Before the photo is read there is nothing to forecast with.
    let error = forecast(&job, SpeciesTable::built_in(), &airs).unwrap_err();
    assert!(error.to_string().contains("has not been read"), "{error}");
    with_photos(&mut job).unwrap();
    let spread = job.parts[0]
        .rings_photo
        .as_ref()
        .unwrap()
        .spread
        .clone()
        .unwrap();
    let depth = |rings: Rings| match rings {
        Rings::Pith { depth, .. } => depth.mm(),
        Rings::Straight { .. } => f64::INFINITY,
    };
    let middle = depth(job.parts[0].rings);
    assert!(depth(spread.at(0.05)) < middle && middle < depth(spread.at(0.95)));
    assert!((depth(spread.at(0.5)) / middle - 1.0).abs() < 0.1);
    job.draws = 64;
    let forecast = forecast(&job, SpeciesTable::built_in(), &airs).unwrap();
    assert_eq!(forecast.parts.len(), job.parts.len());
}

/// Truth of `t_syn_05`: the pith 112.26 mm below the heart face (`data/endgrain/truth.csv`).
fn is_that_of_the_photo(rings: Rings) {
    let Rings::Pith { depth, .. } = rings else {
        panic!("straight");
    };
    let truth = KNOWN[5].number("app_depth");
    assert!(
        (depth.mm() - truth).abs() < 0.05 * KNOWN[5].size.width().mm(),
        "{depth:?}, not {truth}"
    );
}

#[test]
fn boards_to_resaw_leaves_and_boards_of_a_glued_up_part_take_a_photo() {
    let (width, thickness) = (KNOWN[5].size.width().mm(), KNOWN[5].size.thickness().mm());
    let text = job::blank().to_owned()
        + &format!(
            "
[[boards]]
name = \"plank\"
species = \"walnut, black\"
thickness = \"{thickness}mm\"
width = \"{width}mm\"
length = \"900mm\"
moisture = \"8%\"
leaves = 2
rings = {{ photo = \"t_syn_05.jpg\" }}

[[boards]]
name = \"other\"
species = \"walnut, black\"
thickness = \"{thickness}mm\"
width = \"{width}mm\"
length = \"900mm\"
moisture = \"8%\"
leaves = 2

[[panels]]
name = \"door\"
match = \"slip\"
species = \"walnut, black\"
leaves = [
  {{ leaf = \"A\", width = \"{width}mm\", thickness = \"{thickness}mm\", length = \"900mm\", bow = \"1mm\" }},
  {{ leaf = \"B\", width = \"{width}mm\", thickness = \"{thickness}mm\", length = \"900mm\", bow = \"1mm\", rings = {{ photo = \"t_syn_05.jpg\" }} }},
]

[[parts]]
name = \"glued\"
species = \"walnut, black\"
thickness = \"{thickness}mm\"
width = \"{}mm\"
length = \"900mm\"
moisture = \"8%\"
made_of = [
  {{ width = \"{width}mm\", rings = {{ pith_depth = \"80mm\" }} }},
  {{ width = \"{width}mm\", rings = {{ photo = \"t_syn_05.jpg\" }} }},
]
",
            2.0 * width
        );
    let mut job = job::read(&text, "job.toml").unwrap();
    assert_eq!(job.files().len(), 3);
    let airs = job.airs(|_| Err::<Vec<u8>, _>("no file")).unwrap();
    let airs = Airs::new(airs.into_iter().map(|air| (air.year, air.notes)).collect());
    let error = forecast(&job, SpeciesTable::built_in(), &airs).unwrap_err();
    assert!(error.to_string().contains("has not been read"), "{error}");
    with_photos(&mut job).unwrap();
    is_that_of_the_photo(job.boards[0].board.rings.unwrap());
    assert!(job.boards[0].board.knows_ring_cup());
    assert_eq!(job.boards[1].board.rings, None);
    let leaves = job.panels[0].leaves().unwrap();
    assert_eq!(leaves[0].rings, None);
    is_that_of_the_photo(leaves[1].rings.unwrap());
    let Some(MadeOf::Boards { boards, .. }) = &job.parts.last().unwrap().made_of else {
        panic!("one board");
    };
    is_that_of_the_photo(boards[1].section.rings);
    job.draws = 16;
    let forecast = forecast(&job, SpeciesTable::built_in(), &airs).unwrap();
    assert_eq!(forecast.boards.len(), 2);
}

#[test]
fn a_leaf_has_its_rings_in_one_way_only() {
    let leaf = |rings: &str| {
        let text = job::blank().to_owned()
            + &format!(
                "\n[[panels]]\nname = \"door\"\nmatch = \"slip\"\nspecies = \"walnut, black\"\nleaves = [\n  {{ leaf = \"A\", width = \"150mm\", thickness = \"20mm\", length = \"900mm\", bow = \"1mm\", {rings} }},\n  {{ leaf = \"B\", width = \"150mm\", thickness = \"20mm\", length = \"900mm\", bow = \"1mm\" }},\n]\n"
            );
        job::read(&text, "job.toml")
    };
    let rings = |text: &str| leaf(text).unwrap().panels[0].leaves().unwrap()[0].rings;
    let pith = Rings::Pith {
        depth: Length::from_mm(80.0).unwrap(),
        offset: Length::ZERO,
    };
    assert_eq!(rings("pith_depth = \"80mm\""), Some(pith));
    assert_eq!(rings("rings = { pith_depth = \"80mm\" }"), Some(pith));
    // The way of sawing gives no cup.
    assert_eq!(rings("rings = { sawn = \"flat\" }"), None);
    let words = leaf("pith_depth = \"80mm\", rings = { pith_depth = \"80mm\" }")
        .unwrap_err()
        .to_string();
    assert!(words.contains("given twice"), "{words}");
}

#[test]
fn what_is_wrong_with_a_photo_is_said_at_its_key() {
    for (rings, word) in [
        ("{ photo = \"README.md\" }", "JPEG or PNG"),
        (
            "{ photo = \"t_syn_05.jpg\", corners = \"1,2,3\" }",
            "fewer than eight",
        ),
        ("{ photo = \"t_syn_05.jpg\", bark = \"left\" }", "left"),
        ("{ corners = \"1,2,3\" }", "belong to a photo"),
        (
            "{ photo = \"t_syn_05.jpg\", sawn = \"flat\" }",
            "more than one way",
        ),
    ] {
        let words = match job::read(&text(rings), "job.toml") {
            Err(errors) => errors.to_string(),
            Ok(mut job) => match with_photos(&mut job).unwrap_err() {
                FilesError::Job(errors) => errors.to_string(),
                FilesError::File { error, .. } => error.to_string(),
            },
        };
        assert!(words.contains(word), "{rings}: {words}");
    }
}

/// The draws' rings have the band of the reading: depth and offset are those of one pith.
#[test]
fn a_spread_keeps_the_band_and_the_pairs() {
    let end = &KNOWN[5];
    let reading = &end.found.readings[0];
    let bark = reading.bark_face().0;
    let spread = reading.spread(bark).unwrap();
    let places: Vec<(f64, f64)> = (0..2000)
        .filter_map(|k| match spread.at((f64::from(k) + 0.5) / 2000.0) {
            Rings::Pith { depth, offset } => Some((depth.mm(), offset.mm())),
            Rings::Straight { .. } => None,
        })
        .collect();
    let share = |band: heartside::chance::Band, of: fn(&(f64, f64)) -> f64| {
        places.iter().filter(|place| band.holds(of(place))).count() as f64 / places.len() as f64
    };
    let (depth, offset) = (reading.depth_mm(bark), reading.offset_mm(bark));
    assert!((share(depth, |place| place.0) - 0.9).abs() < 0.01);
    assert!((share(offset, |place| place.1) - 0.9).abs() < 0.01);
    assert!(
        (median(places.iter().map(|place| place.0).collect()) / depth.middle - 1.0).abs() < 0.1
    );
}

#[test]
fn a_spread_of_nothing_is_none() {
    let rings = Rings::Pith {
        depth: Length::from_mm(50.0).unwrap(),
        offset: Length::ZERO,
    };
    assert_eq!(PithSpread::new(Vec::new()), None);
    assert_eq!(PithSpread::new(vec![(rings, 0.0)]), None);
    let one = PithSpread::new(vec![(rings, 2.0)]).unwrap();
    assert_eq!((one.at(0.0), one.at(1.0)), (rings, rings));
    assert_eq!(one.depth_log(), Some(0.0));
}
