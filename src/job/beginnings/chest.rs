//! A chest with a lid.

use super::{Writer, text};
use crate::units::UnitSystem;

pub(super) fn chest(out: &mut Writer, [width, height, depth]: [f64; 3]) {
    let inch = out.units == UnitSystem::Inch;
    let t = if inch { 19.05 } else { 20.0 };
    let groove = if inch { 9.525 } else { 10.0 };
    let up = if inch { 12.7 } else { 12.0 };
    let lid = t;
    let wall = height - lid;
    let s = |out: &Writer, mm: f64| out.size(mm);
    for (name, front) in [("front", 0.0), ("back", depth - t)] {
        out.part(
            name,
            &[
                ("lies", text("facing")),
                ("left", s(out, 0.0)),
                ("front", s(out, front)),
                ("bottom", s(out, 0.0)),
                ("width", s(out, wall)),
                ("length", s(out, width)),
            ],
        );
    }
    for (name, key, at) in [("left end", "left", 0.0), ("right end", "right", width)] {
        out.part(
            name,
            &[
                ("grain", text("back")),
                ("lies", text("sideways")),
                (key, s(out, at)),
                ("front", s(out, 0.0)),
                ("bottom", s(out, 0.0)),
                ("width", s(out, wall)),
                ("length", s(out, depth)),
            ],
        );
    }
    out.part(
        "bottom",
        &[
            ("thickness", s(out, if inch { 12.7 } else { 12.0 })),
            ("left", format!("{} into left end", s(out, groove / 2.0))),
            ("right", format!("{} into right end", s(out, groove / 2.0))),
            ("front", format!("{} into front", s(out, groove))),
            ("back", format!("{} into back", s(out, groove))),
            ("bottom", s(out, up)),
        ],
    );
    out.part(
        "lid",
        &[
            ("left", text("flush with front")),
            ("front", text("flush with front")),
            ("bottom", text("against front")),
            ("width", s(out, depth)),
            ("length", s(out, width)),
        ],
    );
    let batten = if inch { 50.8 } else { 50.0 };
    let clear = if inch { 6.35 } else { 6.0 };
    let copies = format!(
        "[\n  {{ name = \"left batten\", left = \"{}\" }},\n  {{ name = \"right batten\", right = \"{}\" }},\n]",
        s(out, t + 100.0),
        s(out, width - t - 100.0)
    );
    out.part(
        "batten",
        &[
            ("grain", text("back")),
            ("lies", text("flat")),
            ("front", format!("{} off front", s(out, clear))),
            ("back", format!("{} off back", s(out, clear))),
            ("top", text("against lid")),
            ("width", s(out, batten)),
            ("copies", copies),
        ],
    );
    out.line("\n# ---- The joints: where, how deep and on which face follows from the places ------------------");
    out.line("\n[[joints.dovetail]]\nname = \"corners\"\npiece = [\"front\", \"back\"]\ninto = [\"left end\", \"right end\"]");
    out.line("\n[[joints.frame_and_panel]]\nname = \"bottom in its grooves\"\npiece = \"bottom\"\ninto = [\"front\", \"back\", \"left end\", \"right end\"]\nclearance = \"1 mm\"\nengagement = \"3 mm\"");
    let middle = depth / 2.0;
    out.line(&format!(
        "\n[[joints.cleat]]\nname = \"battens under the lid\"\npiece = \"batten\"\ninto = \"lid\"\nscrews = \"{}, {}, {}\"          # from the front edge of the lid\nfixed = \"{}\"",
        s(out, depth * 0.2),
        s(out, middle),
        s(out, depth * 0.8),
        s(out, middle)
    ));
}
