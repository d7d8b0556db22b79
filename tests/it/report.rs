//! The HTML report as a document: whole, safe, set properly, needing nothing from elsewhere.

use crate::chart::samples::{self, mm};
use heartside::chance::Verdict;
use heartside::chart::{FigureIds, NumberTable};
use heartside::forecast::{Airs, BenchCut, InputShare, forecast};
use heartside::job;
use heartside::report::{
    BenchSheet, BigSize, CalendarDay, Card, ClientView, FigureSlot, PlateGroup, RemedyView,
    ReportView, ShopWords, Span, StepLine, StepsView, TableView, html_page,
};
use heartside::species::SpeciesTable;
use heartside::units::{Chance, RelativeHumidity, Share, UnitSystem};
use jiff::civil::date;
use roxmltree::{Document, Node, ParsingOptions};

fn card(joint: &str, verdict: Verdict, chance: f64) -> Card {
    Card {
        joint: joint.into(),
        verdict,
        holds_chance: Some(Chance::computed_percent(chance)),
        size: Some(BigSize {
            before: "Cut the groove".into(),
            size: mm(11.1125),
            after: "deep today, 5 Oct".into(),
        }),
        action: None,
        then: vec!["On 10 Feb 1/4\" (6.35 mm) of the panel is still in it.".into()],
        reason: "The panel keeps its room in the wettest time.".into(),
        remedies: vec![],
    }
}

fn bench(units: UnitSystem) -> BenchSheet {
    let cut = |part: &str, what: &str, size: f64, count| BenchCut {
        part: part.into(),
        count,
        what: what.into(),
        face: "inside face",
        from_reference: Some(mm(76.2)),
        size: mm(size),
        depth: Some(mm(9.525)),
        left_behind: Some(mm(12.7)),
        joint: "bottom in case side".into(),
        sized_by_fit: true,
        holds_chance_percent: Some(Chance::computed_percent(91.0)),
        setting: Some(1),
        trial_first: true,
        trial: None,
        on: date(2026, 10, 5),
        watch: None,
    };
    BenchSheet {
        piece: "Hall sideboard".into(),
        day: date(2026, 10, 5),
        units,
        shop: ShopWords::default(),
        cuts: vec![
            cut("case side", "dado", 19.05, 2),
            cut("door stile", "groove", 6.35, 4),
        ],
        settings: Vec::new(),
        floats: vec!["door panel: hold it at its middle only".into()],
        rests: Vec::new(),
        glue: Vec::new(),
        watch: vec!["Door stile: under 1/4\" left beside the mortise".into()],
        dangers: Vec::new(),
    }
}

fn sample(show: UnitSystem) -> ReportView {
    let mut ids = FigureIds::new();
    let mut fails = card("drawer front in its opening", Verdict::Fails, 41.0);
    fails.reason = "In August the front binds in its opening.".into();
    fails.remedies = vec![RemedyView {
        what: "Cut the front 8 1/64\" high".into(),
        holds_chance: Chance::computed_percent(93.0),
        change: None,
    }];
    let mut bond = card("cleat under the top", Verdict::Marginal, 78.0);
    bond.size = None;
    bond.action = Some("Glue the middle 4\" (100 mm) and slot the rest".into());
    let walk = (0..3)
        .flat_map(|_| {
            [
                samples::section_walk().draw(&ids.next("section-walk", "top"), show),
                samples::gap_walk().draw(&ids.next("gap-walk", "door panel"), show),
            ]
        })
        .collect();
    let wide = |figure| FigureSlot {
        figure,
        span: Span::Wide,
    };
    let half = |figure| FigureSlot {
        figure,
        span: Span::Half,
    };
    ReportView {
        piece: "Hall sideboard".into(),
        units: show,
        title_block: [
            ("Measured", "5 Oct 2026"),
            ("Glued up", "6 Nov 2026"),
            ("Delivered", "20 Nov 2026"),
            ("Workshop", "64 F, 58 %"),
            ("Home", "Denver, heated to 70 F"),
        ]
        .map(|(a, b)| (a.into(), b.into()))
        .to_vec(),
        cautions: vec![
            "Anchor tall or heavy furniture to the framing of the wall, by local code.".into(),
            "Casehardened stock pinches the blade when it is resawn: stand aside of the kickback."
                .into(),
        ],
        cards: vec![
            card("door panel in its frame", Verdict::Holds, 97.2),
            fails,
            bond,
            card("bottom in case side", Verdict::Holds, 99.9),
        ],
        bench: Some(bench(show)),
        steps: vec![StepsView {
            id: "glue-up",
            heading: "Glue-up",
            lines: vec![
                StepLine {
                    words: "2 stages; the glue stays open 5 min.".into(),
                    below: false,
                },
                StepLine {
                    words: "1. glue <shelf> to side".into(),
                    below: true,
                },
            ],
        }],
        picture: None,
        calendar: vec![CalendarDay {
            on: date(2026, 10, 5),
            what: "Measure".into(),
            about: "Sizes of this day.".into(),
        }],
        decisions: Vec::new(),
        walk,
        walk_month: 9,
        groups: vec![
            PlateGroup {
                heading: "top".into(),
                plates: vec![
                    wide(
                        samples::section_of(
                            samples::around(76.0, 0.0),
                            419.1,
                            22.2,
                            heartside::chart::WoodTone::Brown,
                        )
                        .draw(&ids.next("section", "top"), show),
                    ),
                    half(samples::moisture().draw(&ids.next("moisture", "top"))),
                    half(samples::gap().draw(&ids.next("gap", "top"), show)),
                ],
            },
            PlateGroup {
                heading: "walnut board".into(),
                plates: vec![
                    wide(samples::leaves().draw(&ids.next("leaves", "walnut"), show)),
                    wide(samples::straighten().draw(&ids.next("straighten", "back"), show)),
                ],
            },
        ],
        measure_next: vec![InputShare {
            input: "shrinkage of the maple".into(),
            measure: "measure an off-cut wet and dry".into(),
            share: Share::computed_percent(46.0),
            narrows_to: Share::computed_percent(73.0),
        }],
        tables: vec![TableView {
            caption: "Parts".into(),
            table: NumberTable {
                heads: vec!["Part".into(), "Wood".into(), "Width today".into()],
                rows: vec![vec![
                    "top".into(),
                    "walnut, black".into(),
                    "16 1/2\" (419.1 mm)".into(),
                ]],
            },
        }],
        warnings: vec!["The moisture was read with pins; the core may be wetter.".into()],
        assumptions: vec!["Shrinkage: Wood Handbook, FPL-GTR-190, Table 4-3.".into()],
        colophon: vec![("Seed".into(), "7".into()), ("Draws".into(), "4096".into())],
        client: ClientView {
            keep_humidity: Some([24.0, 57.0].map(RelativeHumidity::computed_percent)),
            sentences: vec!["Wood lives: the door panel moves.".into()],
            picture: None,
        },
    }
}

fn kept(name: &str, page: &str) {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("figures");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(name), page).unwrap();
}

/// HTML with its void elements closed and its bare attributes given a value, so that an XML reader takes it.
fn as_xml(page: &str) -> String {
    let mut xml = page.replacen("<!DOCTYPE html>", "", 1);
    for void in ["<meta ", "<input "] {
        let mut done = String::new();
        let mut rest = xml.as_str();
        while let Some(start) = rest.find(void) {
            let end = start + rest[start..].find('>').unwrap();
            done.push_str(&rest[..end]);
            done.push('/');
            rest = &rest[end..];
        }
        done.push_str(rest);
        xml = done;
    }
    xml.replace(" checked autocomplete", " checked=\"\" autocomplete")
}

fn parsed(xml: &str) -> Document<'_> {
    Document::parse_with_options(
        xml,
        ParsingOptions {
            allow_dtd: false,
            ..ParsingOptions::default()
        },
    )
    .unwrap()
}

fn words(node: Node) -> String {
    node.descendants()
        .filter(|n| n.is_text())
        .filter_map(|n| n.text())
        .collect()
}

#[test]
fn the_page_is_whole_and_needs_nothing_from_elsewhere() {
    let page = html_page(&sample(UnitSystem::Inch));
    kept("report.html", &page);
    assert!(page.len() < 1_000_000);
    for outside in [
        "http://", "https://", "src=", "@import", "url(http", "<script",
    ] {
        let page = page.replace("http://www.w3.org/2000/svg", "");
        assert!(!page.contains(outside), "{outside}");
    }
    let xml = as_xml(&page);
    let document = parsed(&xml);
    let mut ids: Vec<&str> = document
        .descendants()
        .filter_map(|n| n.attribute("id"))
        .collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "an id stands twice");
    for link in document.descendants().filter(|n| n.has_tag_name("a")) {
        let target = link.attribute("href").unwrap().trim_start_matches('#');
        assert!(ids.contains(&target), "{target}");
    }
    for labelled in document
        .descendants()
        .filter_map(|n| n.attribute("aria-labelledby"))
    {
        for id in labelled.split(' ') {
            assert!(ids.contains(&id), "{id}");
        }
    }
}

#[test]
fn headings_step_down_one_at_a_time_and_what_is_to_be_redone_stands_first() {
    let page = html_page(&sample(UnitSystem::Inch));
    let xml = as_xml(&page);
    let document = parsed(&xml);
    let mut level = 0;
    for node in document.descendants() {
        let next = match node.tag_name().name() {
            "h1" => 1,
            "h2" => 2,
            "h3" => 3,
            _ => continue,
        };
        assert!(next <= level + 1, "{}", words(node));
        level = next;
    }
    let cards: Vec<&str> = document
        .descendants()
        .filter(|n| n.has_tag_name("article"))
        .map(|n| n.attribute("class").unwrap())
        .collect();
    assert_eq!(
        cards,
        ["card fails", "card marginal", "card holds", "card holds"]
    );
    let sections: Vec<&str> = document
        .descendants()
        .filter(|n| n.has_tag_name("section"))
        .filter_map(|n| n.attribute("aria-labelledby"))
        .collect();
    assert_eq!(
        sections,
        [
            "answers",
            "setup",
            "calendar",
            "glue-up",
            "client",
            "decisions",
            "appendix",
            "cards",
            "months",
            "figures",
            "narrow",
            "inputs",
            "sources"
        ]
    );
}

#[test]
fn fractions_are_set_and_the_chosen_system_stands_first() {
    let inch = html_page(&sample(UnitSystem::Inch));
    let set = "<b><span class=\"fr\"><sup>7</sup>\u{2044}<sub>16</sub></span>\u{2033}</b> <span class=\"other\">(11.1 mm)</span>";
    assert!(inch.contains(set));
    let metric = html_page(&sample(UnitSystem::Metric));
    assert!(metric.contains("<b>11.1 mm</b> <span class=\"other\">(<span class=\"fr\">"));
}

#[test]
fn every_figure_has_its_numbers_as_a_table() {
    let page = html_page(&sample(UnitSystem::Metric));
    let xml = as_xml(&page);
    let document = parsed(&xml);
    let figures: Vec<Node> = document
        .descendants()
        .filter(|n| n.has_tag_name("figure"))
        .collect();
    assert_eq!(figures.len(), 11);
    for figure in figures {
        let table = figure
            .descendants()
            .find(|n| n.has_tag_name("table"))
            .unwrap();
        assert!(
            table
                .descendants()
                .filter(|n| n.has_tag_name("th"))
                .all(|n| n.attribute("scope").is_some())
        );
        assert!(
            !words(
                figure
                    .descendants()
                    .find(|n| n.has_tag_name("figcaption"))
                    .unwrap()
            )
            .is_empty()
        );
    }
}

#[test]
fn hostile_names_are_shown_and_not_run() {
    let hostile = "<script>alert(1)</script>\"'&<img src=x onerror=alert(1)>";
    let mut view = sample(UnitSystem::Inch);
    view.piece = hostile.into();
    view.cards[0].joint = hostile.into();
    if let Some(bench) = &mut view.bench {
        bench.cuts[0].joint = hostile.into();
        bench.watch = vec![hostile.into()];
    }
    view.groups[0].heading = hostile.into();
    view.warnings = vec![hostile.into()];
    view.client.sentences = vec![hostile.into()];
    view.title_block[0].1 = hostile.into();
    let page = html_page(&view);
    let xml = as_xml(&page);
    let document = parsed(&xml);
    assert!(
        !document
            .descendants()
            .any(|n| n.has_tag_name("script") || n.has_tag_name("img"))
    );
    let heading = document
        .descendants()
        .find(|n| n.has_tag_name("h1"))
        .unwrap();
    assert_eq!(words(heading), hostile);
}

#[test]
fn the_same_view_gives_the_same_bytes_and_an_empty_one_still_a_page() {
    assert_eq!(
        html_page(&sample(UnitSystem::Inch)),
        html_page(&sample(UnitSystem::Inch))
    );
    let mut view = sample(UnitSystem::Inch);
    view.cards.clear();
    view.bench = None;
    view.walk.clear();
    view.groups.clear();
    view.tables.clear();
    view.measure_next.clear();
    view.cautions.clear();
    view.client = ClientView::default();
    let page = html_page(&view);
    assert!(page.contains("The job asks for nothing to be cut or glued."));
    assert!(page.contains("No joint sets a limit"));
}

/// How many words are printed of a report: what has two letters, in what is neither folded nor for the screen alone.
fn printed_words(page: &str) -> usize {
    let xml = as_xml(page);
    let document = parsed(&xml);
    fn gather(node: Node, text: &mut String) {
        let class = node.attribute("class").unwrap_or_default();
        let name = node.tag_name().name();
        if matches!(name, "style" | "title" | "desc" | "details" | "nav") || class == "appendix" {
            return;
        }
        if node.is_text() {
            text.push_str(node.text().unwrap_or_default());
        }
        for child in node.children() {
            gather(child, text);
        }
        if !matches!(name, "span" | "sup" | "sub" | "b" | "tspan" | "") {
            text.push(' ');
        }
    }
    let mut text = String::new();
    gather(document.root_element(), &mut text);
    let letters = |word: &str| word.chars().filter(|c| c.is_alphabetic()).count();
    text.split_whitespace()
        .filter(|word| letters(word) > 1)
        .count()
}

/// The demo as the command writes it.
fn demo() -> &'static std::path::Path {
    use std::sync::LazyLock;
    static FOLDER: LazyLock<std::path::PathBuf> = LazyLock::new(|| {
        let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("report-demo");
        let _ = std::fs::remove_dir_all(&folder);
        assert_cmd::Command::new(assert_cmd::cargo::cargo_bin!("heartside"))
            .args(["demo", "--draws", "64", "--out"])
            .arg(&folder)
            .assert()
            .success();
        folder
    });
    &FOLDER
}

fn demo_json() -> serde_json::Value {
    serde_json::from_str(&std::fs::read_to_string(demo().join("forecast.json")).unwrap()).unwrap()
}

/// A bond whose part only swells says nothing of how much narrower it gets.
#[test]
fn a_way_that_nothing_moves_is_left_out() {
    let page = std::fs::read_to_string(demo().join("report.html")).unwrap();
    let sentences: Vec<&str> = page
        .split("Free to move over the joint, the part gets ")
        .skip(1)
        .map(|rest| rest.split("</p>").next().unwrap())
        .collect();
    assert!(sentences.iter().any(|words| words.contains("narrower by")));
    assert!(sentences.iter().any(|words| !words.contains("narrower by")));
    for words in sentences {
        let sizes = words.split(" and ");
        assert!(
            !sizes.into_iter().any(|size| size.starts_with("0\u{2033} ")),
            "{words}"
        );
    }
}

fn outline(group: Node) -> Vec<(f64, f64)> {
    let line = group
        .children()
        .find(|n| n.attribute("class") == Some("hs-outline"))
        .unwrap();
    line.attribute("points")
        .unwrap()
        .split(' ')
        .map(|pair| {
            let (x, y) = pair.split_once(',').unwrap();
            (x.parse().unwrap(), y.parse().unwrap())
        })
        .collect()
}

/// The bark face of every section drawn is as wide as the JSON says, and cupped as far, once
/// the exaggeration that the figure states is taken off.
#[test]
fn the_sections_drawn_are_the_numbers_of_the_json() {
    let json = demo_json();
    let mut seen = 0;
    for part in json["parts"].as_array().unwrap() {
        let name = part["name"].as_str().unwrap();
        let file = format!("section-{}.svg", name.replace(' ', "-"));
        let svg = std::fs::read_to_string(demo().join(file)).unwrap();
        let document = Document::parse(&svg).unwrap();
        let group = |class: &str| -> Vec<Node> {
            document
                .descendants()
                .filter(|n| n.attribute("class") == Some(class))
                .collect()
        };
        let times: f64 = document
            .descendants()
            .filter(|n| n.has_tag_name("text"))
            .find_map(|n| {
                words(n)
                    .strip_prefix("change drawn ")?
                    .strip_suffix(" times larger")?
                    .parse()
                    .ok()
            })
            .unwrap();
        let before = outline(group("hs-before")[0]);
        let width = part["width_mm"].as_f64().unwrap();
        // 33 points a face, the bark face from right to left: 33 to 65.
        let px_per_mm = (before[33].0 - before[65].0) / width;
        for (after, state) in group("hs-after").into_iter().zip(["driest", "wettest"]) {
            let drawn = outline(after);
            let (right, left, middle) = (drawn[33], drawn[65], drawn[49]);
            let chord = (right.0 - left.0).hypot(right.1 - left.1) / px_per_mm;
            let given = part[format!("width_{state}_mm")].as_f64().unwrap();
            let read = width + (chord - width) / times;
            assert!(
                (read - given).abs() * px_per_mm < 0.2,
                "{name} {state}: {read} for {given}"
            );
            if let Some(cup) = part[format!("cup_{state}_mm")].as_f64() {
                // The rise at mid-width; where the pith is off centre the maximum rise lies beside it.
                let rise = (middle.1 - (right.1 + left.1) / 2.0) / px_per_mm / times;
                assert!(
                    (rise - cup).abs() * px_per_mm * times < 1.0,
                    "{name} {state}: {rise} for {cup}"
                );
            }
            seen += 1;
        }
    }
    assert!(seen >= 20);
}

#[test]
fn the_demo_report_is_one_sound_page_of_moderate_size() {
    let page = std::fs::read_to_string(demo().join("report.html")).unwrap();
    assert!(page.len() < 1_500_000, "{} bytes", page.len());
    let xml = as_xml(&page);
    let document = parsed(&xml);
    let mut ids: Vec<&str> = document
        .descendants()
        .filter_map(|n| n.attribute("id"))
        .collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count);
    let json = demo_json();
    let text = words(document.root_element());
    // Every joint answered stands in the page, those that are alike under one name, and no date is left as machines
    // write it.
    let together = "cleat under the top, screw 1 and 3, away from the fixed point";
    // in the table of what holds, and in the appendix
    assert_eq!(text.matches(together).count(), 2);
    for fit in json["fits"].as_array().unwrap() {
        let joint = fit["joint"].as_str().unwrap();
        let alike = joint
            .replace("screw 1,", "screw 1 and 3,")
            .replace("screw 3,", "screw 1 and 3,");
        assert!(text.contains(joint) || text.contains(&alike), "{joint}");
    }
    assert!(!text.contains("2026-") && !text.contains("2027-") && !text.contains("2028-"));
    let words = printed_words(&page);
    assert!(words <= 3_000, "{words} words in print");
    for caution in json["cautions"].as_array().unwrap() {
        assert!(text.contains(caution.as_str().unwrap()));
    }
    // What is done at the glue-up and on site is given as on the terminal.
    assert!(text.contains("No order needs fewer stages"));
    assert!(text.contains("Walls: leave 1⁄2") || text.contains("Walls: leave"));
}

/// The summary is short, and its bench sheet holds every cut with the counts of the job.
#[test]
fn the_summary_is_short_and_the_bench_sheet_whole() {
    let found = &crate::forecast::forecast_of(job::demo());
    let words = heartside::report::summary(found);
    let lines = words.lines().count();
    assert!(lines <= 60, "{lines} lines:\n{words}");
    assert!(words.lines().next().unwrap().contains("1 fails"));
    let sheet = BenchSheet::of(found);
    let count = |part: &str, what: &str| {
        let cuts = sheet.cuts.iter();
        let alike = cuts.filter(|cut| cut.part == part && cut.what == what);
        alike.map(|cut| cut.count).sum::<u32>()
    };
    // Two doors of two stiles and two rails: a mortise for each of eight tenons, a groove in each of eight parts.
    assert_eq!(count("door stile", "mortise, its width"), 8);
    assert_eq!(count("door rail", "tenon, left standing"), 8);
    assert_eq!(count("door stile", "groove"), 4);
    assert_eq!(count("door rail", "groove"), 4);
    // Ten boards side by side meet nine times.
    assert_eq!(count("back board", "tongue"), 9);
    // Three drawers; four cleats with a round hole each.
    assert_eq!(count("drawer bottom", "slot, open at the edge"), 3);
    assert_eq!(count("drawer side", "tails, base line"), 6);
    assert_eq!(count("top cleat", "round hole"), 4);
    assert_eq!(count("top", "final width"), 1);
    // No cut stands out of its board.
    for cut in &sheet.cuts {
        let part = found
            .parts
            .iter()
            .find(|part| part.name == cut.part)
            .unwrap();
        let longest = part.length.mm().max(part.width.mm());
        if let Some(from) = cut.from_reference {
            assert!(
                from.mm() >= 0.0 && from.mm() + cut.size.mm() <= longest + 1e-6,
                "{cut:?}"
            );
        }
    }
    // One setting for the dados of 3/4 in stock: within 0.2 mm of each other.
    let dados: Vec<_> = sheet
        .cuts
        .iter()
        .filter(|cut| cut.setting == Some(2))
        .collect();
    assert!(dados.len() >= 5);
    let sizes = || dados.iter().map(|cut| cut.size.mm());
    assert!(sizes().fold(0.0, f64::max) - sizes().fold(f64::MAX, f64::min) <= 0.2 + 1e-9);
    assert_eq!(dados.iter().filter(|cut| cut.trial_first).count(), 1);
    // The woods are settled: no remedy asks for another.
    assert!(!words.contains("more stable wood"));
}

/// Common practice, no source: what is a dado in North America is a housing in Britain.
#[test]
fn words_follow_the_region_and_names_stay_as_they_are() {
    use heartside::units::Region;
    let names = ["dado shelf", "side"];
    let words = ShopWords::new(Region::UnitedKingdom, names.into_iter());
    for (text, shown) in [
        ("Cut the dado 3/4in.", "Cut the housing 3/4in."),
        (
            "Dados and rabbets, shims: gray",
            "Housings and rebates, packers: grey",
        ),
        (
            "plain-sawn or flat-sawn",
            "through-and-through or flat-sawn",
        ),
        (
            "the dado shelf in its dado",
            "the dado shelf in its housing",
        ),
        ("the dado shelves", "the housing shelves"),
        (
            "tornado, centerpiece, dado-cut",
            "tornado, centerpiece, dado-cut",
        ),
        (
            "5.7 \u{b0}C, \u{bd}\u{2033} dado\u{2014}dado",
            "5.7 \u{b0}C, \u{bd}\u{2033} housing\u{2014}housing",
        ),
        ("", ""),
    ] {
        assert_eq!(words.text(text), shown);
    }
    assert_eq!(
        words.markup("<style>a{color:gray}</style><p class=\"dado\">dado <b>color</b></p>dado"),
        "<style>a{color:gray}</style><p class=\"dado\">housing <b>colour</b></p>housing"
    );
    assert_eq!(words.markup("a < dado"), "a < dado");
    let own = ShopWords::new(Region::UnitedStates, names.into_iter());
    assert_eq!(own.text("dado, center"), "dado, center");
    assert_eq!(own.markup("<p>dado</p>"), "<p>dado</p>");
}

#[test]
fn a_job_of_the_united_kingdom_has_its_words_in_the_terminal_the_report_and_the_figures_but_not_in_json()
 {
    let text = job::demo().replacen("units = \"inch\"", "units = \"mm\"\nregion = \"UK\"", 1);
    let mut job = job::read(&text, "hall.toml").unwrap();
    job.draws = 16;
    let airs = job.airs(|_| Err::<Vec<u8>, _>("no file")).unwrap();
    let airs = Airs::new(airs.into_iter().map(|air| (air.year, air.notes)).collect());
    let forecast = forecast(&job, SpeciesTable::built_in(), &airs).unwrap();
    let files = heartside::report::files(&forecast);
    let html = files
        .iter()
        .find(|(name, _)| name == "report.html")
        .unwrap();
    let html = String::from_utf8(html.1.clone()).unwrap();
    let summary = heartside::report::summary(&forecast);
    assert!(summary.contains("housing, inside face") && html.contains("housing, inside face"));
    for shown in [&summary, &heartside::report::full_text(&forecast), &html] {
        assert!(!shown.contains(" dado "), "{shown}");
        assert!(!shown.to_lowercase().contains(" shim "));
    }
    // The columns stay below their heads.
    let head = summary.lines().find(|line| line.contains("from reference"));
    let at = head.unwrap().find("from reference").unwrap();
    let rows = summary
        .lines()
        .filter(|line| line.contains("housing, inside"));
    for row in rows {
        let around: Vec<char> = row.chars().skip(at - 1).take(2).collect();
        assert!(around[0] == ' ' && around[1].is_ascii_digit(), "{summary}");
    }
    let json = heartside::report::json(&forecast);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let fits = json["fits"].as_array().unwrap();
    assert!(fits.iter().any(|fit| fit["cut"] == "dado"));
}
