//! A table: legs, aprons and a top.

use super::{Writer, text};
use crate::units::UnitSystem;

pub(super) fn table(out: &mut Writer, [width, height, depth]: [f64; 3]) {
    let inch = out.units == UnitSystem::Inch;
    let t = if inch { 22.225 } else { 25.0 };
    let leg = if inch { 63.5 } else { 65.0 };
    let apron = if inch { 101.6 } else { 100.0 };
    let apron_thick = if inch { 22.225 } else { 22.0 };
    let tenon = if inch { 31.75 } else { 30.0 };
    let over = if inch { 76.2 } else { 80.0 };
    // Toward the outside of the legs, so that the tenons of two aprons pass one another.
    let set = if inch { 6.35 } else { 6.0 };
    let s = |out: &Writer, mm: f64| out.size(mm);
    out.part(
        "top",
        &[
            ("left", s(out, 0.0)),
            ("front", s(out, 0.0)),
            ("bottom", s(out, height - t)),
            ("thickness", s(out, t)),
            ("width", s(out, depth)),
            ("length", s(out, width)),
        ],
    );
    let corners = [
        ("front left leg", "left", over, "front", over),
        ("front right leg", "right", width - over, "front", over),
        ("back left leg", "left", over, "back", depth - over),
        (
            "back right leg",
            "right",
            width - over,
            "back",
            depth - over,
        ),
    ];
    let copies: Vec<String> = corners
        .iter()
        .map(|(name, x, across, y, deep)| {
            format!(
                "  {{ name = \"{name}\", {x} = \"{}\", {y} = \"{}\" }},",
                s(out, *across),
                s(out, *deep)
            )
        })
        .collect();
    out.part(
        "leg",
        &[
            ("grain", text("up")),
            ("bottom", s(out, 0.0)),
            ("thickness", s(out, leg)),
            ("width", s(out, leg)),
            ("length", s(out, height - t)),
            ("copies", format!("[\n{}\n]", copies.join("\n"))),
        ],
    );
    for (name, key, at) in [
        ("front apron", "front", over + set),
        ("back apron", "back", depth - over - set),
    ] {
        let row = if key == "front" { "front" } else { "back" };
        out.part(
            name,
            &[
                ("lies", text("facing")),
                ("left", format!("{} into {row} left leg", s(out, tenon))),
                ("right", format!("{} into {row} right leg", s(out, tenon))),
                (key, s(out, at)),
                ("top", text("against top")),
                ("thickness", s(out, apron_thick)),
                ("width", s(out, apron)),
            ],
        );
    }
    for (name, key, at) in [
        ("left apron", "left", over + set),
        ("right apron", "right", width - over - set),
    ] {
        let row = if key == "left" { "left" } else { "right" };
        out.part(
            name,
            &[
                ("grain", text("back")),
                ("lies", text("sideways")),
                ("front", format!("{} into front {row} leg", s(out, tenon))),
                ("back", format!("{} into back {row} leg", s(out, tenon))),
                (key, s(out, at)),
                ("top", text("against top")),
                ("thickness", s(out, apron_thick)),
                ("width", s(out, apron)),
            ],
        );
    }
    out.line("\n# ---- The joints: where, how deep and on which face follows from the places ------------------");
    let tenon_width = s(out, apron * 0.6);
    let thick = s(out, apron_thick / 3.0);
    out.line(&format!(
        "\n[[joints.mortise_and_tenon]]\nname = \"long aprons\"\npiece = [\"front apron\", \"back apron\"]\ninto = \"leg\"\ntenon_width = \"{tenon_width}\"\ntenon_thickness = \"{thick}\""
    ));
    out.line(&format!(
        "\n[[joints.mortise_and_tenon]]\nname = \"short aprons\"\npiece = [\"left apron\", \"right apron\"]\ninto = \"leg\"\ntenon_width = \"{tenon_width}\"\ntenon_thickness = \"{thick}\""
    ));
    out.line(&format!(
        "\n[[joints.table_top_button]]\nname = \"buttons along the long aprons\"\npiece = \"top\"\ninto = [\"front apron\", \"back apron\"]\nrail = \"left apron\"\ntongue = \"{}\"",
        s(out, if inch { 12.7 } else { 14.0 })
    ));
}
