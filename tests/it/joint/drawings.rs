//! Every recipe is drawn: sound, with a letter for each gap and the names of both parts.

use super::*;
use heartside::chart::{FigureIds, JointFigure, JointGap, WoodTone};
use heartside::units::UnitSystem;
use roxmltree::Document;

/// One joint of every kind, on parts that suit them all.
pub(super) fn one_of_each() -> (Vec<JointPlan>, Vec<PartFacts>) {
    let parts = vec![
        part("side", 700.0, 300.0, 20.0),
        part("shelf", 500.0, 290.0, 18.0),
        part("panel", 560.0, 320.0, 10.0),
        part("batten", 290.0, 45.0, 20.0),
    ];
    let text = r#"
[[joints.dado]]
into = "side"
piece = "shelf"
at = "100mm"
depth = "6mm"
[[joints.dado_and_tenons]]
into = "side"
piece = "shelf"
at = "200mm"
depth = "6mm"
tenons = "40mm, 250mm"
tenon_width = "30mm"
tenon_depth = "6mm"
[[joints.dowels]]
into = "side"
piece = "shelf"
at = "40mm, 250mm"
diameter = "8mm"
depth = "10mm"
[[joints.plinth]]
into = "panel"
piece = "batten"
screws = "40mm, 160mm, 280mm"
[[joints.dovetail]]
into = "side"
piece = "shelf"
[[joints.edge_glue]]
into = "side"
piece = "shelf"
[[joints.mitre]]
into = "side"
piece = "shelf"
[[joints.screwed]]
into = "side"
piece = "shelf"
screws = "40mm, 250mm"
[[joints.hinged]]
into = "side"
piece = "panel"
[[joints.groove]]
into = "side"
piece = "panel"
from = "5mm"
depth = "6mm"
[[joints.frame_and_panel]]
piece = "panel"
into = "batten"
opening = "300mm"
[[joints.rabbet]]
piece = "panel"
into = "side"
opening = "300mm"
[[joints.tongue_and_groove]]
piece = "shelf"
into = "batten"
tongue = "8mm"
[[joints.mortise_and_tenon]]
into = "batten"
piece = "shelf"
at = "5mm"
tenon_width = "60mm"
depth = "20mm"
[[joints.floating_tenons]]
into = "side"
piece = "shelf"
at = "20mm, 120mm, 220mm"
tenon_width = "20mm"
depth = "10mm"
[[joints.breadboard_end]]
piece = "shelf"
into = "batten"
pins = "30mm, 145mm, 260mm"
depth = "15mm"
[[joints.cleat]]
into = "panel"
piece = "batten"
screws = "40mm, 160mm, 280mm"
[[joints.inset]]
piece = "panel"
into = "side"
opening = "330mm"
held = "hinge"
[[joints.drawer]]
piece = "shelf"
into = "side"
opening = "300mm"
[[joints.drawer_bottom]]
piece = "panel"
into = "side"
back = "batten"
run = "310mm"
[[joints.overlay]]
piece = "panel"
into = "side"
span = "650mm"
doors = 2
held = "hinge"
[[joints.front_reveal]]
into = "side"
piece = "batten"
stop = "60mm"
[[joints.sliding_dovetail]]
into = "side"
piece = "batten"
piece_axis = "length"
at = "100mm"
depth = "6mm"
[[joints.table_top_button]]
piece = "side"
rail = "batten"
into = "batten"
from_fixed = "140mm"
tongue = "12mm"
groove_at = "10mm"
[[joints.screw_slot]]
piece = "panel"
into = "batten"
from_fixed = "200mm"
[[joints.edge_banding]]
into = "panel"
piece = "batten"
along = "width"
[[joints.cross_grain]]
piece = "panel"
into = "batten"
width = "280mm"
"#;
    let plans = read(text, &parts).unwrap_or_else(|problems| panic!("{problems:#?}"));
    (plans, parts)
}

#[test]
fn every_recipe_has_a_drawing() {
    let (plans, parts) = one_of_each();
    // A half-lap needs to know where its boards are; it is tested with the piece.
    assert_eq!(plans.len() + 1, Joints::KINDS.len());
    let mut ids = FigureIds::new();
    for plan in &plans {
        let name = |part: PartId| parts[part.0].name.clone();
        let drawing = &plan.drawing;
        let figure = JointFigure {
            joint: plan.name.clone(),
            into: (name(drawing.into), WoodTone::Brown),
            piece: (name(drawing.piece), WoodTone::Pale),
            scheme: drawing.scheme.clone(),
            hold: drawing.hold,
            gaps: plan
                .fits
                .iter()
                .map(|fit| JointGap {
                    words: fit.words.gap.clone(),
                    min: mm(0.5),
                    max: mm(2.0),
                })
                .collect(),
            glue: plan
                .bonds
                .first()
                .map(|_| "It may be glued over its whole length.".to_owned()),
        }
        .draw(&ids.next("joint", plan.kind), UnitSystem::Metric);
        if let Ok(folder) = std::env::var("KEEP_FIGURES") {
            std::fs::write(
                std::path::Path::new(&folder).join(figure.file_name()),
                figure.svg_file(),
            )
            .unwrap();
        }
        let svg = figure.svg_file();
        let document =
            Document::parse(&svg).unwrap_or_else(|error| panic!("{}: {error}", plan.kind));
        let texts: Vec<String> = document
            .descendants()
            .filter(|node| node.has_tag_name("text"))
            .map(|node| {
                node.descendants()
                    .filter_map(|inner| inner.is_text().then(|| inner.text()).flatten())
                    .collect()
            })
            .collect();
        let says = |words: &str| texts.iter().any(|text| text == words);
        assert!(
            says(&name(drawing.into)) && says(&name(drawing.piece)),
            "{}: {texts:?}",
            plan.kind
        );
        for index in 0..plan.fits.len() {
            let letter = char::from(b'A' + u8::try_from(index).unwrap()).to_string();
            // at the gap, at both its sides where it has two, and at its line
            let count = texts.iter().filter(|text| **text == letter).count();
            assert!(count >= 2, "{} {letter}: {texts:?}", plan.kind);
        }
        assert_eq!(figure.numbers().rows.len(), plan.fits.len());
    }
}
