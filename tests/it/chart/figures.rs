//! The SVG as a document: sound, named, described, safe, repeatable.

use super::samples::{self, around, gap, kept, moisture, section_of};
use heartside::chart::{Figure, FigureIds, WoodTone, style_sheet};
use heartside::units::UnitSystem;
use roxmltree::Document;
use std::collections::BTreeSet;

fn all(name: &str) -> Vec<Figure> {
    let mut ids = FigureIds::new();
    let mut moisture = moisture();
    moisture.part = name.into();
    let mut gap = gap();
    gap.joint = name.into();
    gap.finding = name.into();
    let mut section = section_of(around(60.0, 0.0), 419.1, 22.2, WoodTone::Brown);
    section.part = name.into();
    let mut leaves = samples::leaves();
    leaves.board = name.into();
    leaves.leaves[0].name = name.into();
    let mut rest = samples::rest();
    rest.piece = name.into();
    let mut straighten = samples::straighten();
    straighten.panel = name.into();
    straighten.supports[1].name = name.into();
    let mut shelf = samples::shelf();
    shelf.shelf = name.into();
    shelf.load = name.into();
    let mut arrangement = samples::arrangement();
    arrangement.panel = name.into();
    arrangement.end.leaves[0].name = name.into();
    let mut candidates = samples::candidates();
    candidates.panel = name.into();
    candidates.candidates[0].order = name.into();
    let mut stages = samples::stages();
    stages.piece = name.into();
    stages.stages[0].name = name.into();
    stages.stages[0].steps[0].0 = name.into();
    let mut fastenings = samples::fastenings();
    fastenings.piece = name.into();
    fastenings.fastenings[0].name = name.into();
    let mut depth = samples::depth();
    depth.part = name.into();
    depth.faces.0 = name.into();
    let mut thickness = samples::thickness();
    thickness.leaf = name.into();
    thickness.orders[0].name = name.into();
    let mut strip = samples::strip(1.2);
    strip.board = name.into();
    let mut section_walk = samples::section_walk();
    section_walk.part = name.into();
    let mut gap_walk = samples::gap_walk();
    gap_walk.joint = name.into();
    let mut ways = samples::ways();
    ways.joint = name.into();
    ways.ways[0].words = name.into();
    let system = UnitSystem::Inch;
    vec![
        moisture.draw(&ids.next("moisture", name)),
        gap.draw(&ids.next("gap", name), system),
        section.draw(&ids.next("section", name), system),
        leaves.draw(&ids.next("leaves", name), system),
        rest.draw(&ids.next("rest", name), system),
        straighten.draw(&ids.next("straighten", name), system),
        shelf.draw(&ids.next("shelf", name), system),
        arrangement.draw(&ids.next("arrangement", name), system),
        candidates.draw(&ids.next("layouts", name), system),
        stages.draw(&ids.next("stages", name)),
        fastenings.draw(&ids.next("fastenings", name), system),
        depth.draw(&ids.next("depth", name), system),
        thickness.draw(&ids.next("thickness", name), system),
        strip.draw(&ids.next("strip", name), system),
        section_walk.draw(&ids.next("section-walk", name), system),
        gap_walk.draw(&ids.next("gap-walk", name), system),
        ways.draw(&ids.next("remedies", name), system),
    ]
}

#[test]
fn every_figure_is_a_sound_named_and_described_image() {
    for figure in all("top") {
        let svg = kept(&figure);
        let document = Document::parse(&svg).unwrap();
        let root = document.root_element();
        assert_eq!(root.attribute("role"), Some("img"));
        let named: Vec<&str> = root
            .attribute("aria-labelledby")
            .unwrap()
            .split(' ')
            .collect();
        for id in named {
            let node = document
                .descendants()
                .find(|n| n.attribute("id") == Some(id))
                .unwrap();
            assert!(!node.text().unwrap().is_empty());
        }
        for node in document.descendants() {
            for attribute in ["style", "fill", "stroke"] {
                assert!(
                    node.attribute(attribute)
                        .is_none_or(|v| v.starts_with("url(#")),
                    "colour outside the style sheet"
                );
            }
            for attribute in node.attributes() {
                assert!(!attribute.value().contains("NaN") && !attribute.value().contains("inf"));
            }
        }
        let columns = figure.numbers().heads.len();
        assert!(!figure.numbers().rows.is_empty());
        assert!(figure.numbers().rows.iter().all(|row| row.len() == columns));
    }
}

#[test]
fn every_class_drawn_has_its_rule() {
    let css = style_sheet();
    for figure in all("top") {
        let svg = figure.svg_inline();
        let document = Document::parse(&svg).unwrap();
        for node in document
            .descendants()
            .filter(|n| !n.has_tag_name("g") && !n.has_tag_name("svg"))
        {
            if let Some(class) = node.attribute("class") {
                assert!(css.contains(&format!(".hs .{class}{{")), "{class}");
            }
        }
    }
    assert!(css.contains("prefers-color-scheme:dark"));
}

#[test]
fn everything_lies_on_the_sheet() {
    for figure in all(
        "a part with a name so long that no sheet of this width could ever hold it in one line of type",
    ) {
        let svg = kept(&figure);
        let document = Document::parse(&svg).unwrap();
        let (width, height) = figure.size();
        for node in document.descendants() {
            if let Some(points) = node.attribute("points") {
                for pair in points.split(' ') {
                    let (x, y) = pair.split_once(',').unwrap();
                    let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
                    assert!(
                        (0.0..=width).contains(&x) && (0.0..=height).contains(&y),
                        "{} {x} {y}",
                        figure.id()
                    );
                }
            }
        }
    }
}

#[test]
fn ids_in_one_page_never_meet() {
    let mut seen = BTreeSet::new();
    let mut ids = FigureIds::new();
    for _ in 0..3 {
        let svg = gap()
            .draw(&ids.next("gap", "door"), UnitSystem::Metric)
            .svg_inline();
        let document = Document::parse(&svg).unwrap();
        for node in document.descendants() {
            if let Some(id) = node.attribute("id") {
                assert!(seen.insert(id.to_owned()), "{id}");
            }
        }
    }
    assert!(seen.iter().any(|id| id.ends_with("-hatch")));
}

#[test]
fn a_hostile_name_stays_a_name() {
    let name = "</title><script>alert(1)</script>\u{0}&\"'";
    for figure in all(name) {
        for svg in [figure.svg_file(), figure.svg_inline()] {
            let document = Document::parse(&svg).unwrap();
            assert!(!document.descendants().any(|n| n.has_tag_name("script")));
            assert!(
                document
                    .root_element()
                    .children()
                    .any(|n| n.has_tag_name("title") && n.text().unwrap().contains("<script>"))
            );
        }
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    for (a, b) in all("top").into_iter().zip(all("top")) {
        assert_eq!(a.svg_file(), b.svg_file());
    }
}

#[test]
fn remedies_beside_the_joint_as_it_is_share_one_axis_and_keep_their_own_limits() {
    let figure = samples::ways().draw("ways", UnitSystem::Metric);
    assert_eq!(
        figure.title(),
        "Drawer in its opening in three ways: holds in 8 in 100, 84 in 100 and more than 99 in 100"
    );
    let svg = figure.svg_file();
    let drawing = Document::parse(&svg).unwrap();
    // The left edge and the width of each bar; the first one says how many pixels a millimetre has.
    let bars: Vec<(f64, f64)> = drawing
        .descendants()
        .filter(|node| node.attribute("class") == Some("hs-tan"))
        .map(|bar| {
            let points = bar.attribute("points").unwrap().split_whitespace();
            let across: Vec<f64> = points
                .map(|point| point.split(',').next().unwrap().parse().unwrap())
                .collect();
            let left = across.iter().copied().fold(f64::MAX, f64::min);
            (left, across.iter().copied().fold(f64::MIN, f64::max) - left)
        })
        .collect();
    assert_eq!(bars.len(), 3, "{svg}");
    let scale = bars[0].1 / 2.9;
    for (bar, (from, to)) in bars.iter().zip([(0.5, 3.4), (1.1, 2.6), (1.0, 3.0)]) {
        assert!((bar.1 - scale * (to - from)).abs() < 1.0, "{bars:?}");
        assert!(
            (bar.0 - bars[0].0 - scale * (from - 0.5)).abs() < 1.0,
            "{bars:?}"
        );
    }
}

#[test]
fn data_that_are_missing_or_not_finite_draw_no_nonsense() {
    let mut moisture = moisture();
    moisture.mean_percent = vec![];
    moisture.band_percent = None;
    moisture.first_year = None;
    let mut gap = gap();
    gap.gap_mm[100..200].fill(f64::NAN);
    gap.band_mm = None;
    for svg in [
        moisture.draw("empty").svg_file(),
        gap.draw("holes", UnitSystem::Inch).svg_file(),
    ] {
        Document::parse(&svg).unwrap();
        assert!(!svg.contains("points=\"NaN") && !svg.contains(",NaN"));
    }
}

#[test]
fn a_finish_is_drawn_as_its_table_and_its_fit_have_it() {
    let row = heartside::moisture::exclusion_table()
        .iter()
        .find(|row| row.finish.starts_with("Urethane varnish") && row.coats == 3)
        .unwrap();
    let figure = heartside::chart::BesideFigure::of_finish(row).draw("finish");
    let numbers = figure.numbers();
    assert_eq!(numbers.rows.len(), 3);
    for (cells, (printed, fitted)) in numbers.rows.iter().zip(
        row.measured_percent()
            .into_iter()
            .zip(row.simulated_percent()),
    ) {
        assert_eq!(cells[1].parse::<f64>().unwrap(), printed.unwrap());
        assert!((cells[2].parse::<f64>().unwrap() - fitted).abs() <= 0.05);
    }
    let svg = figure.svg_file();
    let page = Document::parse(&svg).unwrap();
    let dots = page
        .descendants()
        .filter(|node| node.has_tag_name("circle"))
        .count();
    assert_eq!(dots, 3);
}
