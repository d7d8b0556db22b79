//! A frame-and-panel door.

use super::{Writer, text};
use crate::units::UnitSystem;

pub(super) fn door(out: &mut Writer, [width, height, depth]: [f64; 3]) {
    let inch = out.units == UnitSystem::Inch;
    let stile = if inch { 57.15 } else { 60.0 };
    let panel = out.rounded(depth * 0.5);
    let tenon = if inch { 31.75 } else { 30.0 };
    let into = if inch { 9.525 } else { 10.0 };
    let s = |out: &Writer, mm: f64| out.size(mm);
    out.part("stile", &[
        ("grain", text("up")),
        ("lies", text("facing")),
        ("front", s(out, 0.0)),
        ("bottom", s(out, 0.0)),
        ("thickness", s(out, depth)),
        ("width", s(out, stile)),
        ("length", s(out, height)),
        ("copies", format!(
            "[\n  {{ name = \"left stile\", left = \"{}\" }},\n  {{ name = \"right stile\", right = \"{}\" }},\n]",
            s(out, 0.0),
            s(out, width)
        )),
    ]);
    out.part("rail", &[
        ("lies", text("facing")),
        ("left", format!("{} into left stile", s(out, tenon))),
        ("right", format!("{} into right stile", s(out, tenon))),
        ("front", s(out, 0.0)),
        ("thickness", s(out, depth)),
        ("width", s(out, stile)),
        ("copies", format!(
            "[\n  {{ name = \"bottom rail\", bottom = \"{}\" }},\n  {{ name = \"top rail\", top = \"{}\" }},\n]",
            s(out, 0.0),
            s(out, height)
        )),
    ]);
    out.part(
        "panel",
        &[
            ("grain", text("up")),
            ("lies", text("facing")),
            ("left", format!("{} into left stile", s(out, into))),
            ("right", format!("{} into right stile", s(out, into))),
            ("bottom", format!("{} into bottom rail", s(out, into))),
            ("top", format!("{} into top rail", s(out, into))),
            ("centre_y", text("on left stile")),
            ("thickness", s(out, panel)),
        ],
    );
    out.line("\n# ---- The joints: where, how deep and on which face follows from the places ------------------");
    out.line(&format!(
        "\n[[joints.mortise_and_tenon]]\nname = \"rails in the stiles\"\npiece = \"rail\"\ninto = \"stile\"\ntenon_width = \"{}\"",
        s(out, stile * 0.6)
    ));
    out.line(&format!(
        "\n[[joints.frame_and_panel]]\nname = \"panel in its frame\"\npiece = \"panel\"\ninto = [\"stile\", \"rail\"]\ngroove_width = \"{}\"\nheld = \"centre\"",
        s(out, panel.min(depth / 2.0))
    ));
}
