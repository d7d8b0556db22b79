//! Jobs told by places: what follows, what must agree, bare numbers, the beginnings, the demo, the pictures.

use heartside::chart::{Elevation, FigureIds};
use heartside::forecast::{PieceFinding, forecast};
use heartside::job::{self, Beginning, BeginningKind, Job};
use heartside::joint::{Axis, Setting, Size};
use heartside::piece::{BoxFace, SpaceAxis};
use heartside::report::{PieceList, piece_of_forecast, piece_of_job};
use heartside::species::SpeciesTable;
use heartside::units::{Length, UnitSystem};
use jiff::civil::date;

/// A case of two sides, a bottom and a shelf, with these joints and extra lines.
fn case(units: &str, extra: &str, joints: &str) -> String {
    format!(
        r#"format = 2
[job]
name = "Case"
units = "{units}"
draws = 64
[places.shop]
air = {{ temperature = "18C", humidity = "55%" }}
[places.home]
seasons = {{ winter = "30%", summer = "55%", temperature = "20C" }}
[schedule]
measured = 2026-10-05
delivered = 2026-11-20
[defaults]
species = "cherry, black"
thickness = "20 mm"
moisture = "8.5%"
rings = {{ sawn = "rift" }}
[[parts]]
name = "side"
grain = "up"
front = "0 mm"
bottom = "0 mm"
width = "400 mm"
length = "800 mm"
copies = [{{ name = "left side", left = "0 mm" }}, {{ name = "right side", right = "900 mm" }}]
[[parts]]
name = "shelf"
left = "10 mm into left side"
right = "10 mm into right side"
front = "5 mm short of left side"
bottom = "300 mm"
width = "380 mm"
{extra}
{joints}
"#
    )
}

fn read(text: &str) -> Job {
    job::read(text, "case.toml").unwrap_or_else(|errors| panic!("{errors}"))
}

fn refused(text: &str) -> String {
    job::read(text, "case.toml").unwrap_err().to_string()
}

const DADO: &str = "[[joints.dado]]\npiece = \"shelf\"\ninto = \"side\"";

#[test]
fn a_dado_follows_from_its_places() {
    let job = read(&case("mm", "", DADO));
    assert_eq!(job.parts[1].length, Length::from_mm(880.0).unwrap());
    assert_eq!(job.parts[0].count, 2);
    let [joint] = job.joints.as_slice() else {
        panic!("{}", job.joints.len())
    };
    let cut = &joint.housings[0];
    assert_eq!(
        cut.from_reference,
        Setting::Known(Length::from_mm(300.0).unwrap())
    );
    assert_eq!(cut.depth, Setting::Known(Length::from_mm(10.0).unwrap()));
    assert_eq!(cut.count, 2);
    assert_eq!(joint.bodies.len(), 2);
    // Glued along what the two have in common.
    assert!((joint.bonds[0].width.mm() - 380.0).abs() < 1e-9);
}

#[test]
fn what_is_given_all_the_same_must_agree() {
    read(&case(
        "mm",
        "",
        &format!("{DADO}\nat = \"300.4 mm\"\ndepth = \"10 mm\"\nface = \"inside\""),
    ));
    let error = refused(&case("mm", "", &format!("{DADO}\nat = \"290 mm\"")));
    assert!(error.contains("10 mm apart"), "{error}");
    let error = refused(&case("mm", "", &format!("{DADO}\nface = \"edge\"")));
    assert!(error.contains("inside face"), "{error}");
    let error = refused(&case(
        "mm",
        "",
        "[[joints.dado]]\npiece = \"shelf\"\ninto = \"shlf\"",
    ));
    assert!(error.contains("did you mean `shelf`"), "{error}");
    // Two parts that meet nowhere.
    let off = case(
        "mm",
        "",
        "[[joints.dado]]\npiece = \"shelf\"\ninto = [\"left side\", \"right side\"]",
    );
    // One entry, cut alike on both: one joint of two housings.
    assert_eq!(read(&off).joints.len(), 1);
    assert_eq!(read(&off).joints[0].bodies.len(), 2);
    let off = off.replace(
        "left = \"10 mm into left side\"",
        "left = \"3.2 mm off left side\"",
    );
    let error = refused(&off);
    assert!(
        error.contains("do not meet: 3.2 mm are between them"),
        "{error}"
    );
}

#[test]
fn sizes_that_disagree_a_little_are_a_finding_and_much_an_error() {
    let little = read(&case("mm", "length = \"879.8 mm\"", DADO));
    let piece = PieceFinding::today(&little, SpeciesTable::built_in()).unwrap();
    let chain = piece
        .chains
        .iter()
        .find(|chain| chain.closing.mm().abs() > 0.1);
    // The sides are held by the shelf alone, so that no loop shows it: the body knows it.
    assert!(chain.is_none());
    let body = little
        .piece
        .bodies
        .iter()
        .find(|body| body.name == "shelf")
        .unwrap();
    assert_eq!(
        body.cut[SpaceAxis::X as usize].unwrap().length(),
        Length::from_mm(879.8).unwrap()
    );
    let error = refused(&case("mm", "length = \"866 mm\"", DADO));
    assert!(
        error.contains("14 mm too short") && error.contains("`left side`"),
        "{error}"
    );
}

#[test]
fn a_bare_number_is_read_in_the_units_of_the_job_and_echoed() {
    let text = case("mm", "", DADO)
        .replace("width = \"380 mm\"", "width = 380")
        .replace("bottom = \"300 mm\"", "bottom = \"300\"");
    let job = read(&text);
    assert_eq!(job.parts[1].width, Length::from_mm(380.0).unwrap());
    let echoes: Vec<(&str, &str)> = job
        .bare
        .iter()
        .map(|bare| (bare.text.as_str(), bare.read_as.as_str()))
        .collect();
    assert_eq!(echoes, [("300", "300 mm"), ("380", "380 mm")]);
    // Inside a place too.
    let text = case("mm", "", DADO).replace("\"10 mm into left side\"", "\"10 into left side\"");
    assert_eq!(read(&text).parts[1].length, Length::from_mm(880.0).unwrap());
    // Where two readings are likely, the error names both.
    let error = refused(&case("mm", "", DADO).replace("moisture = \"8.5%\"", "moisture = 0.09"));
    assert!(error.contains("0.09% or 9%"), "{error}");
    let error = refused(&case("mm", "", DADO).replace("width = \"380 mm\"", "width = \"3/4\""));
    assert!(error.contains("3/4 in or 3/4 mm"), "{error}");
    let job = read(&case("inch", "", DADO).replace("moisture = \"8.5%\"", "moisture = 8.5"));
    assert!((job.parts[0].moisture.percent() - 8.5).abs() < 1e-12);
}

#[test]
fn every_mistake_of_a_place_is_at_its_line() {
    for (from, to, words, line) in [
        (
            "left = \"10 mm into left side\"",
            "left = \"10 mm inot left side\"",
            "did you mean \"into\"",
            "28",
        ),
        (
            "bottom = \"300 mm\"",
            "bottm = \"300 mm\"",
            "did you mean `bottom`",
            "31",
        ),
        (
            "bottom = \"300 mm\"",
            "bottom = \"against shelf\"",
            "placed from itself",
            "31",
        ),
        (
            "bottom = \"300 mm\"",
            "centre_z = \"300 mm\"\ntop = \"1 mm\"",
            "placed twice",
            "31",
        ),
    ] {
        let error = refused(&case("mm", "", DADO).replace(from, to));
        assert!(error.contains(words), "{error}");
        // The shelf's length follows from its places, and is not missed beside what is wrong with them.
        assert!(!error.contains("has no `length`"), "{error}");
        assert!(
            error.contains(&format!("case.toml:{line}:")),
            "{words}: {error}"
        );
    }
}

#[test]
fn two_boards_that_cross_are_half_lapped_from_opposite_sides() {
    let text = case(
        "mm",
        r#"
[[parts]]
name = "long"
lies = "facing"
left = "0 mm"
front = "600 mm"
bottom = "0 mm"
width = "100 mm"
length = "700 mm"
[[parts]]
name = "short"
grain = "back"
lies = "sideways"
thickness = "18 mm"
left = "200 mm"
front = "500 mm"
bottom = "0 mm"
width = "100 mm"
length = "300 mm""#,
        "[[joints.half_lap]]\npiece = \"long\"\ninto = \"short\"\nnotch_from = \"top\"\ndepth = \"40 mm\"",
    );
    let job = read(&text);
    let lap = &job.joints[0];
    assert_eq!(lap.kind, "half_lap");
    // The long board's notch is as wide as the short board is thick, and the other way round.
    let sizes: Vec<Size> = lap.fits.iter().map(|fit| fit.part[0].size).collect();
    assert_eq!(
        sizes,
        [18.0, 20.0].map(|mm| Size::Known(Length::from_mm(mm).unwrap()))
    );
    let depths: Vec<Setting> = lap.housings.iter().map(|cut| cut.depth).collect();
    assert_eq!(
        depths,
        [40.0, 60.0].map(|mm| Setting::Known(Length::from_mm(mm).unwrap()))
    );
    assert_eq!(
        lap.housings[0].from_reference,
        Setting::Known(Length::from_mm(200.0).unwrap())
    );
    assert_eq!(
        lap.housings[1].from_reference,
        Setting::Known(Length::from_mm(100.0).unwrap())
    );
    assert!(
        lap.notes[0].contains("from its top side") && lap.notes[1].contains("from its bottom side")
    );
}

#[test]
fn a_dado_with_tenons_knows_the_wood_left_behind_both() {
    let joint = "[[joints.dado_and_tenons]]\npiece = \"shelf\"\ninto = \"side\"\ntenons = \"50 mm, 330 mm\"\ntenon_width = \"30 mm\"\ntenon_depth = \"6 mm\"";
    let job = read(&case("mm", "", joint));
    let plan = &job.joints[0];
    assert_eq!(plan.kind, "dado_and_tenons");
    let mortise = &plan.housings[1];
    assert_eq!(
        mortise.depth,
        Setting::Known(Length::from_mm(16.0).unwrap())
    );
    // Counted from the side's front edge: 5 mm set back and 50 mm in, less half a tenon.
    assert_eq!(
        mortise.from_reference,
        Setting::Known(Length::from_mm(40.0).unwrap())
    );
    let error = refused(&case("mm", "", &joint.replace("6 mm", "12 mm")));
    assert!(error.contains("no wood is left"), "{error}");
}

/// Every kind of piece begins as a job that is forecast at once.
#[test]
fn every_beginning_is_forecast_at_once() {
    for units in [UnitSystem::Inch, UnitSystem::Metric] {
        for kind in BeginningKind::ALL {
            let text = Beginning {
                kind,
                width: None,
                height: None,
                depth: None,
                bays: None,
                shelves: None,
                units,
                measured: date(2027, 3, 9),
            }
            .text()
            .unwrap();
            assert!(
                text.contains("measured = 2027-03-09 ") && text.contains("delivered = 2027-04-24 ")
            );
            let mut job =
                job::read(&text, "new.toml").unwrap_or_else(|errors| panic!("{errors}\n{text}"));
            job.draws = 32;
            let airs = crate::forecast::airs_of(&job);
            let found = forecast(&job, SpeciesTable::built_in(), &airs).unwrap();
            let piece = found.piece.as_ref().unwrap();
            assert!(
                piece.warnings.is_empty(),
                "{}: {:?}",
                kind.word(),
                piece.warnings
            );
            assert!(!job.joints.is_empty() && piece.weight_kg.unwrap() > 1.0);
            let figure = piece_of_forecast(&found).unwrap();
            for view in Elevation::ALL {
                names_are_clear(
                    &figure
                        .draw(view, &FigureIds::new().next("piece", view.word()))
                        .svg_file(),
                );
            }
        }
    }
}

#[test]
fn a_beginning_takes_its_sizes_and_refuses_what_cannot_be() {
    let mut beginning = Beginning {
        kind: BeginningKind::Case,
        width: Length::from_mm(1500.0).ok(),
        height: Length::from_mm(800.0).ok(),
        depth: Length::from_mm(420.0).ok(),
        bays: Some(5),
        shelves: Some(3),
        units: UnitSystem::Metric,
        measured: date(2027, 3, 9),
    };
    let job = job::read(&beginning.text().unwrap(), "new.toml")
        .unwrap_or_else(|errors| panic!("{errors}"));
    let outer = job.piece.outer().unwrap();
    assert_eq!(
        outer.size(SpaceAxis::X).length(),
        Length::from_mm(1500.0).unwrap()
    );
    assert_eq!(
        outer.size(SpaceAxis::Z).length(),
        Length::from_mm(800.0).unwrap()
    );
    // Some thirty parts; every bay is as wide as the next, to a tenth.
    assert!(job.piece.bodies.len() > 30, "{}", job.piece.bodies.len());
    let widths: Vec<f64> = job
        .piece
        .bodies
        .iter()
        .filter(|body| body.name.starts_with("shelf 1"))
        .map(|body| body.cuboid.size(SpaceAxis::X).mm())
        .collect();
    assert_eq!(widths.len(), 5);
    assert!(
        widths[1..4]
            .windows(2)
            .all(|pair| (pair[0] - pair[1]).abs() < 0.25),
        "{widths:?}"
    );
    for view in Elevation::ALL {
        let figure = piece_of_job(&job).unwrap();
        names_are_clear(&figure.draw(view, "piece").svg_file());
    }
    beginning.bays = Some(0);
    assert!(beginning.text().is_err());
    beginning.bays = Some(12);
    assert!(beginning.text().unwrap_err().to_string().contains("width"));
}

/// No two names of a drawing lie on one another; the widths are at least six tenths of the letters' size each.
fn names_are_clear(svg: &str) {
    let document = roxmltree::Document::parse(svg).unwrap();
    let group = document
        .descendants()
        .find(|node| node.attribute("class") == Some("hs-piece-names"))
        .unwrap();
    let mut boxes: Vec<(f64, f64, f64, f64, String)> = Vec::new();
    for text in group.descendants().filter(|node| node.has_tag_name("text")) {
        let number = |key: &str| text.attribute(key).unwrap().parse::<f64>().unwrap();
        let words: String = text.descendants().filter_map(|node| node.text()).collect();
        let width = words.chars().count() as f64 * 5.0;
        let (x, y) = (number("x"), number("y"));
        let left = if text.attribute("text-anchor") == Some("end") {
            x - width
        } else {
            x
        };
        boxes.push((left, y - 6.0, left + width, y + 6.0, words));
    }
    assert!(!boxes.is_empty());
    for (index, a) in boxes.iter().enumerate() {
        for b in &boxes[index + 1..] {
            let apart = a.2 <= b.0 || b.2 <= a.0 || a.3 <= b.1 || b.3 <= a.1;
            assert!(apart, "`{}` lies on `{}`", a.4, b.4);
        }
    }
}

#[test]
fn the_demo_is_placed_whole_and_its_contradictions_are_gone() {
    let job = read(job::demo());
    assert!(job.parts.iter().all(|part| part.orientation.is_some()));
    let piece = PieceFinding::today(&job, SpeciesTable::built_in()).unwrap();
    assert!(piece.warnings.is_empty(), "{:?}", piece.warnings);
    assert_eq!(job.piece.groups.len(), 5);
    let drawer = job
        .piece
        .openings
        .iter()
        .find(|opening| opening.name == "middle drawer")
        .unwrap();
    assert!((drawer.space.size(SpaceAxis::Z).length().inches() - 8.25).abs() < 1e-9);
    // The opening is what the divider leaves between two rails: their thickness counts with it.
    let rails = drawer.chains[SpaceAxis::Z as usize]
        .iter()
        .filter_map(|term| term.body)
        .filter(|body| job.piece.bodies[*body].name.ends_with("rail"))
        .count();
    assert_eq!(rails, 2);
    let door = job
        .piece
        .openings
        .iter()
        .find(|opening| opening.name == "left door")
        .unwrap();
    assert!((door.clearance(BoxFace::Left).unwrap().inches() - 0.125).abs() < 1e-9);
    let shelf = job
        .joints
        .iter()
        .find(|joint| joint.name == "shelf in divider")
        .unwrap();
    assert_eq!(shelf.housings[0].along, Axis::Length);
    let Setting::Known(at) = shelf.housings[0].from_reference else {
        panic!("the place of the shelf is known")
    };
    assert!((at.inches() - 11.5).abs() < 1e-9);
}

#[test]
fn the_list_counts_copies_and_groups_and_weighs_what_is_there() {
    let job = read(job::demo());
    let list = PieceList::of(&job, SpeciesTable::built_in());
    let count = |name: &str| {
        list.parts
            .iter()
            .find(|line| line.part == name)
            .unwrap()
            .count
    };
    assert_eq!(
        (
            count("door stile"),
            count("drawer side"),
            count("back board"),
            count("top")
        ),
        (4, 6, 10, 1)
    );
    let sum: f64 = list.parts.iter().map(|line| line.board_feet).sum();
    let total: f64 = list.wood.iter().map(|line| line.board_feet).sum();
    assert!((sum - total).abs() < 1e-9);
    // One board foot is 144 cubic inches: a top of 59 x 16 1/2 x 5/4 in with its allowance.
    let top = list.parts.iter().find(|line| line.part == "top").unwrap();
    let expected = (58.0 + 25.0 / 25.4) * (16.25 + 6.0 / 25.4) * 1.25 / 144.0;
    assert!(
        (top.board_feet - expected).abs() < 1e-6,
        "{} {expected}",
        top.board_feet
    );
    assert_eq!(top.rough, "5/4");
    let csv = list.csv().unwrap();
    assert_eq!(csv.lines().count(), list.parts.len() + 1);
}

#[test]
fn a_job_without_places_is_as_it_was() {
    let job = read(job::blank());
    assert!(
        job.piece.bodies.is_empty()
            && PieceFinding::today(&job, SpeciesTable::built_in()).is_none()
    );
    assert!(piece_of_job(&job).is_none());
}

/// Two shelves of one part, in two sides, of which one was read on another day's meter.
fn of_its_own(copies: &str) -> String {
    case("mm", "", "")
        .replace(
            "copies = [{ name = \"left side\", left = \"0 mm\" }, { name = \"right side\", right = \"900 mm\" }]",
            copies,
        )
}

/// A copy with a moisture of its own moves by it: it is a part of its own in every answer, and joints that name its part mean it too.
#[test]
fn a_copy_may_have_its_own_moisture() {
    let text = of_its_own(
        "copies = [{ name = \"left side\", left = \"0 mm\" }, { name = \"right side\", right = \"900 mm\", moisture = \"11%\", bark = \"left\" }]",
    );
    let text = format!("{text}\n{DADO}\n");
    let job = read(&text);
    let part = |name: &str| job.parts.iter().position(|part| part.name == name).unwrap();
    let (side, right) = (part("side"), part("right side"));
    assert!((job.parts[side].moisture.percent() - 8.5).abs() < 1e-9);
    assert!((job.parts[right].moisture.percent() - 11.0).abs() < 1e-9);
    assert_eq!((job.parts[side].count, job.parts[right].count), (1, 1));
    // The one entry makes a dado in either side, each with the wood it is cut into.
    let cut: Vec<usize> = job
        .joints
        .iter()
        .flat_map(|joint| &joint.housings)
        .map(|housing| housing.part.0)
        .collect();
    assert!(cut.contains(&side) && cut.contains(&right), "{cut:?}");
    // The damper side shrinks more from today on, by about the width coefficient times two and a half percent.
    let found = forecast(
        &job,
        SpeciesTable::built_in(),
        &crate::forecast::airs_of(&job),
    )
    .unwrap();
    let narrowest = |at: usize| found.parts[at].width_driest.middle.mm();
    let more = narrowest(side) - narrowest(right);
    assert!((1.0..4.0).contains(&more), "{more}");
    let placed = &found.piece.as_ref().unwrap().parts;
    let bark = |name: &str| placed.iter().find(|part| part.name == name).unwrap().bark;
    assert_eq!(
        (bark("left side"), bark("right side")),
        (None, Some("left"))
    );
    assert_eq!(
        placed.iter().filter(|one| one.part == "right side").count(),
        1
    );
    // Where every copy has its own, the part has that of the first; one that is the part's own changes nothing.
    let every = of_its_own(
        "copies = [{ name = \"left side\", left = \"0 mm\", moisture = \"9%\" }, { name = \"right side\", right = \"900 mm\", moisture = \"9%\" }]",
    );
    let job = read(&every);
    assert!((job.parts[part("side")].moisture.percent() - 9.0).abs() < 1e-9);
    assert!(job.parts.iter().all(|part| part.name != "right side"));
    let wrong = of_its_own(
        "copies = [{ name = \"left side\", left = \"0 mm\", bark = \"top\" }, { name = \"right side\", right = \"900 mm\" }]",
    );
    assert!(refused(&wrong).contains("cannot be its top face"));
}

/// A flattened panel of two thicknesses: each housing is sized where it sits, along the panel's length; a groove along its whole length cannot be.
#[test]
fn housings_are_sized_where_they_sit() {
    let text = format!(
        "{}\n{DADO}\n",
        case("mm", "thickness_from_to = \"19 mm, 21 mm\"", "")
    );
    let job = read(&text);
    let thick: Vec<f64> = job
        .joints
        .iter()
        .flat_map(|joint| &joint.fits)
        .flat_map(|fit| &fit.part)
        .filter(|term| term.axis == Axis::Thickness)
        .filter_map(|term| match term.size {
            Size::Known(size) => Some(size.mm()),
            Size::Cut => None,
        })
        .collect();
    assert_eq!(thick.len(), 2, "{thick:?}");
    // Its ends reach a few millimeters into the sides: so little off the two ends' own thickness.
    assert!((thick[0] - 19.0).abs() < 0.02, "{thick:?}");
    assert!((thick[1] - 21.0).abs() < 0.02, "{thick:?}");
    let notes: Vec<&String> = job.joints.iter().flat_map(|joint| &joint.notes).collect();
    assert!(
        notes
            .iter()
            .any(|note| note.contains("thick where it goes into `left side`")),
        "{notes:?}"
    );
    let found = forecast(
        &job,
        SpeciesTable::built_in(),
        &crate::forecast::airs_of(&job),
    )
    .unwrap();
    let widths: Vec<f64> = found
        .setup
        .iter()
        .filter(|line| line.cut == "dado" && line.part == "side")
        .map(|line| line.width.mm())
        .collect();
    assert_eq!(widths.len(), 2, "{:?}", found.setup);
    assert!(
        ((widths[1] - widths[0]).abs() - 2.0).abs() < 0.05,
        "{widths:?}"
    );
}
