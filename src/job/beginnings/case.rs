//! A case or a bookcase: sides, top and bottom, bays, shelves, a plinth and back boards.

use super::{BeginningKind, Writer, text};
use crate::units::UnitSystem;

pub(super) fn case(
    out: &mut Writer,
    [width, height, depth]: [f64; 3],
    bays: u32,
    shelves: u32,
    kind: BeginningKind,
) {
    let inch = out.units == UnitSystem::Inch;
    let t = if inch { 19.05 } else { 20.0 };
    let housed = if inch { 25.4 * 0.375 } else { 10.0 };
    let shallow = if inch { 25.4 * 0.25 } else { 6.0 };
    let foot = if kind == BeginningKind::Case {
        out.rounded(76.2)
    } else {
        out.rounded(63.5)
    };
    let overhang = if inch { 25.4 * 0.5 } else { 12.0 };
    let back = if inch { 12.7 } else { 12.0 };
    let side_height = height - t;
    let body = width - 2.0 * overhang;
    let side_depth = depth - overhang;
    let inner_depth = side_depth - back;
    let set_back = if inch { 38.1 } else { 40.0 };
    let from_corner = if inch { 12.7 } else { 15.0 };
    let s = |out: &Writer, mm: f64| out.size(mm);
    out.part(
        "left side",
        &[
            ("grain", text("up")),
            ("left", s(out, overhang)),
            ("front", s(out, overhang)),
            ("bottom", s(out, foot)),
            ("width", s(out, side_depth)),
            ("length", s(out, side_height - foot)),
        ],
    );
    out.part(
        "right side",
        &[
            ("grain", text("up")),
            ("right", s(out, overhang + body)),
            ("front", text("flush with left side")),
            ("bottom", s(out, foot)),
            ("width", s(out, side_depth)),
            ("length", s(out, side_height - foot)),
        ],
    );
    out.part(
        "top",
        &[
            ("left", s(out, 0.0)),
            ("front", s(out, 0.0)),
            ("bottom", text("against left side")),
            ("width", s(out, depth)),
            ("length", s(out, width)),
        ],
    );
    out.part(
        "bottom",
        &[
            ("left", format!("{} into left side", s(out, housed))),
            ("right", format!("{} into right side", s(out, housed))),
            ("front", text("flush with left side")),
            ("bottom", s(out, foot)),
            ("width", s(out, inner_depth)),
        ],
    );
    plinth(out, (width, overhang), foot, set_back);
    // Every bay is as wide as the others.
    let clear = body - 2.0 * t - f64::from(bays - 1) * t;
    let bay = clear / f64::from(bays);
    let mut dividers = Vec::new();
    for divider in 1..bays {
        let left = overhang + t + f64::from(divider) * bay + f64::from(divider - 1) * t;
        dividers.push((format!("divider {divider}"), out.rounded(left)));
    }
    if !dividers.is_empty() {
        let copies: Vec<String> = dividers
            .iter()
            .map(|(name, left)| format!("  {{ name = \"{name}\", left = \"{}\" }},", s(out, *left)))
            .collect();
        out.part(
            "divider",
            &[
                ("grain", text("up")),
                ("front", text("flush with left side")),
                ("width", s(out, inner_depth)),
                ("bottom", format!("{} into bottom", s(out, shallow))),
                ("top", text("against top")),
                ("copies", format!("[\n{}\n]", copies.join("\n"))),
            ],
        );
    }
    let names: Vec<String> = std::iter::once(text("left side"))
        .chain(dividers.iter().map(|(name, _)| name.clone()))
        .chain([text("right side")])
        .collect();
    let room = side_height - foot - t;
    for level in 1..=shelves {
        let bottom =
            out.rounded(foot + t + room * f64::from(level) / f64::from(shelves + 1) - t / 2.0);
        for (number, pair) in names.windows(2).enumerate() {
            let into = |name: &str| {
                if name.starts_with("divider") {
                    shallow
                } else {
                    housed
                }
            };
            let name = if bays == 1 {
                format!("shelf {level}")
            } else {
                format!("shelf {level} in bay {}", number + 1)
            };
            out.part(
                &name,
                &[
                    (
                        "left",
                        format!("{} into {}", s(out, into(&pair[0])), pair[0]),
                    ),
                    (
                        "right",
                        format!("{} into {}", s(out, into(&pair[1])), pair[1]),
                    ),
                    (
                        "front",
                        format!(
                            "{} short of left side",
                            s(out, if inch { 6.35 } else { 6.0 })
                        ),
                    ),
                    ("back", text("flush with bottom")),
                    ("bottom", s(out, bottom)),
                ],
            );
        }
    }
    back_boards(out, body - 2.0 * t, overhang + t, back);
    out.line("\n# ---- The joints: where, how deep and on which face follows from the places ------------------");
    out.line("\n[[joints.dado]]\nname = \"bottom in its sides\"          # at their lower ends, so that it is a rabbet\npiece = \"bottom\"\ninto = [\"left side\", \"right side\"]");
    if !dividers.is_empty() {
        out.line("\n[[joints.dado]]\nname = \"dividers in the bottom\"\npiece = \"divider\"\ninto = \"bottom\"");
    }
    for level in 1..=shelves {
        for (number, pair) in names.windows(2).enumerate() {
            let name = if bays == 1 {
                format!("shelf {level}")
            } else {
                format!("shelf {level} in bay {}", number + 1)
            };
            out.line(&format!(
                "\n[[joints.dado]]\nname = \"{name}\"\npiece = \"{name}\"\ninto = [\"{}\", \"{}\"]",
                pair[0], pair[1]
            ));
        }
    }
    out.line(&format!(
        "\n[[joints.tongue_and_groove]]\nname = \"back boards\"           # each screwed at its middle\npiece = \"back board\"\ninto = \"bottom\"\ntongue = \"{}\"",
        out.size(if inch { 6.35 } else { 6.0 })
    ));
    out.line(&format!(
        "\n[[joints.plinth]]\nname = \"case on its plinth\"\npiece = \"plinth end\"\ninto = \"bottom\"\nscrews = \"{}, {}\"          # from the front edge of the bottom",
        s(out, set_back + t + from_corner),
        s(out, inner_depth - t - from_corner)
    ));
    out.line(&format!(
        "\n[[joints.screwed]]\nname = \"plinth corners\"\npiece = [\"plinth front\", \"plinth back\"]\ninto = \"plinth end\"\nscrews = \"{}, {}\"          # from the floor",
        s(out, foot * 0.25),
        s(out, foot * 0.75)
    ));
}

/// The base under the case: a front, a back and two ends, set back under the case's front and ends.
fn plinth(out: &mut Writer, (width, overhang): (f64, f64), foot: f64, set_back: f64) {
    let s = |out: &Writer, mm: f64| out.size(mm);
    let ends = [overhang + set_back, width - overhang - set_back];
    out.line(&format!(
        "\n[plinth]\nheight = \"{}\"\nset_back = \"{}\"             # under the front, and at either end",
        s(out, foot),
        s(out, set_back)
    ));
    for (name, key, place) in [
        (
            "plinth front",
            "front",
            format!("{} short of left side", s(out, set_back)),
        ),
        ("plinth back", "back", text("flush with bottom")),
    ] {
        out.part(
            name,
            &[
                ("lies", text("facing")),
                ("left", s(out, ends[0])),
                ("right", s(out, ends[1])),
                (key, place),
                ("bottom", s(out, 0.0)),
                ("width", s(out, foot)),
            ],
        );
    }
    out.part(
        "plinth end",
        &[
            ("grain", text("back")),
            ("lies", text("sideways")),
            ("front", text("against plinth front")),
            ("back", text("against plinth back")),
            ("bottom", s(out, 0.0)),
            ("width", s(out, foot)),
            (
                "copies",
                format!(
                    "[\n  {{ name = \"left plinth end\", left = \"{}\" }},\n  {{ name = \"right plinth end\", right = \"{}\" }},\n]",
                    s(out, ends[0]),
                    s(out, ends[1])
                ),
            ),
        ],
    );
}

/// Boards side by side behind the case, each free to move.
fn back_boards(out: &mut Writer, width: f64, left: f64, thickness: f64) {
    let count = (width / 130.0).ceil().max(1.0);
    let gap = 1.5;
    let board = out.rounded((width - gap * (count + 1.0)) / count);
    let pitch = width / count;
    let mut copies = Vec::new();
    let mut index = 0.0;
    while index < count {
        let at = out.rounded(left + pitch * index + (pitch - board) / 2.0);
        copies.push(format!(
            "  {{ name = \"back {:.0}\", left = \"{}\" }},",
            index + 1.0,
            out.size(at)
        ));
        index += 1.0;
    }
    out.part(
        "back board",
        &[
            ("grain", text("up")),
            ("lies", text("facing")),
            ("front", text("against bottom")),
            ("thickness", out.size(thickness)),
            ("width", out.size(board)),
            ("bottom", text("flush with bottom")),
            ("top", text("against top")),
            ("copies", format!("[\n{}\n]", copies.join("\n"))),
        ],
    );
}
