//! The inks: each mark of a figure has a meaning, and each meaning one look on
//! paper, on a dark screen and in print.
//!
//! Dry and wet are an orange and a blue that stay apart for every common kind of colour
//! blindness (after Okabe and Ito, darkened until they can be read as text);
//! each also has its own dash or shape and its word beside it, so no meaning
//! rests on colour.

use plotters::style::{Color, RGBColor};
use plotters_backend::BackendColor;

/// What a mark means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub(super) enum Ink {
    Paper,
    Letter,
    Note,
    DryLetter,
    WetLetter,
    TodayLetter,
    FaultLetter,
    Axis,
    Grid,
    Curve,
    FirstYear,
    Band,
    BandEdge,
    Limit,
    Beyond,
    DryMark,
    WetMark,
    TodayMark,
    FaultMark,
    PaleWood,
    TanWood,
    BrownWood,
    PaleRing,
    TanRing,
    BrownRing,
    Outline,
    Ghost,
    Dimension,
    Arrow,
    FreshFace,
    Metal,
    Dado,
    MonthLine,
    OnWood,
    ArcEdge,
    Arc,
    SecondArc,
    Winter,
}

enum Mark {
    Letter,
    Line { width: f64, dash: &'static str },
    Fill { opacity: f64 },
    Shape { width: f64 },
    Hatch,
}

struct Look {
    ink: Ink,
    class: &'static str,
    mark: Mark,
    light: &'static str,
    dark: &'static str,
    /// For shapes: the outline.
    edge: (&'static str, &'static str),
}

const INK: (&str, &str) = ("#2b2622", "#ece4d8");
const PENCIL: (&str, &str) = ("#655c52", "#b3a898");
const RULE: (&str, &str) = ("#e3dacb", "#3d362f");
const DRY: (&str, &str) = ("#a8480a", "#f2a765");
const WET: (&str, &str) = ("#1c5c96", "#82bdf0");
const TODAY: (&str, &str) = ("#00694f", "#5fcba9");
const FAULT: (&str, &str) = ("#9c1f2c", "#ff9c98");
const EDGE: (&str, &str) = ("#5a4328", "#cfae82");
const NONE: (&str, &str) = ("none", "none");

const fn look(
    ink: Ink,
    class: &'static str,
    mark: Mark,
    colour: (&'static str, &'static str),
) -> Look {
    shape(ink, class, mark, colour, NONE)
}

const fn shape(
    ink: Ink,
    class: &'static str,
    mark: Mark,
    colour: (&'static str, &'static str),
    edge: (&'static str, &'static str),
) -> Look {
    Look {
        ink,
        class,
        mark,
        light: colour.0,
        dark: colour.1,
        edge,
    }
}

const fn line(width: f64, dash: &'static str) -> Mark {
    Mark::Line { width, dash }
}

const LOOKS: [Look; 38] = [
    look(
        Ink::Paper,
        "hs-paper",
        Mark::Fill { opacity: 1.0 },
        ("#fdfbf6", "#1f1b17"),
    ),
    look(Ink::Letter, "hs-letter", Mark::Letter, INK),
    look(Ink::Note, "hs-note", Mark::Letter, PENCIL),
    look(Ink::DryLetter, "hs-dry-letter", Mark::Letter, DRY),
    look(Ink::WetLetter, "hs-wet-letter", Mark::Letter, WET),
    look(Ink::TodayLetter, "hs-today-letter", Mark::Letter, TODAY),
    look(Ink::FaultLetter, "hs-fault-letter", Mark::Letter, FAULT),
    look(Ink::Axis, "hs-axis", line(1.0, ""), PENCIL),
    look(Ink::Grid, "hs-grid", line(1.0, ""), RULE),
    look(Ink::Curve, "hs-curve", line(2.0, ""), INK),
    look(Ink::FirstYear, "hs-first-year", line(1.75, "7 3.5"), DRY),
    look(
        Ink::Band,
        "hs-band",
        Mark::Fill { opacity: 0.55 },
        ("#dccfb9", "#4d443a"),
    ),
    look(
        Ink::BandEdge,
        "hs-band-edge",
        line(0.75, ""),
        ("#a3947d", "#8b7d6b"),
    ),
    look(Ink::Limit, "hs-limit", line(1.25, "10 3 2 3"), FAULT),
    look(Ink::Beyond, "hs-beyond", Mark::Hatch, FAULT),
    look(
        Ink::DryMark,
        "hs-dry",
        Mark::Shape { width: 1.5 },
        ("#a8480a", "#f2a765"),
    ),
    look(
        Ink::WetMark,
        "hs-wet",
        Mark::Shape { width: 1.5 },
        ("#1c5c96", "#82bdf0"),
    ),
    shape(
        Ink::TodayMark,
        "hs-today",
        Mark::Shape { width: 2.0 },
        ("#fdfbf6", "#1f1b17"),
        TODAY,
    ),
    shape(
        Ink::FaultMark,
        "hs-fault",
        Mark::Shape { width: 1.75 },
        NONE,
        FAULT,
    ),
    look(
        Ink::PaleWood,
        "hs-pale",
        Mark::Fill { opacity: 1.0 },
        ("#f3e4c6", "#7d6846"),
    ),
    look(
        Ink::TanWood,
        "hs-tan",
        Mark::Fill { opacity: 1.0 },
        ("#e5c898", "#6e5231"),
    ),
    look(
        Ink::BrownWood,
        "hs-brown",
        Mark::Fill { opacity: 1.0 },
        ("#b99676", "#523a27"),
    ),
    look(
        Ink::PaleRing,
        "hs-pale-ring",
        line(1.0, ""),
        ("#cbae7c", "#a88d60"),
    ),
    look(
        Ink::TanRing,
        "hs-tan-ring",
        line(1.0, ""),
        ("#ae8349", "#9c7747"),
    ),
    look(
        Ink::BrownRing,
        "hs-brown-ring",
        line(1.0, ""),
        ("#7d5b3e", "#85654a"),
    ),
    look(Ink::Outline, "hs-outline", line(1.5, ""), EDGE),
    look(Ink::Ghost, "hs-ghost", line(1.0, "4 3"), PENCIL),
    look(Ink::Dimension, "hs-dimension", line(0.9, ""), PENCIL),
    look(Ink::Arrow, "hs-arrow", Mark::Fill { opacity: 1.0 }, INK),
    look(Ink::FreshFace, "hs-fresh", line(1.75, ""), FAULT),
    shape(
        Ink::Metal,
        "hs-metal",
        Mark::Shape { width: 1.25 },
        ("#d7d9da", "#565b5f"),
        ("#4a4f53", "#c3c9cd"),
    ),
    shape(
        Ink::Dado,
        "hs-dado",
        Mark::Shape { width: 1.25 },
        ("#fdfbf6", "#1f1b17"),
        EDGE,
    ),
    look(Ink::MonthLine, "hs-month-line", line(1.5, ""), TODAY),
    look(
        Ink::OnWood,
        "hs-on-wood",
        Mark::Fill { opacity: 1.0 },
        ("#2b2622", "#fff8ec"),
    ),
    // Over a photo, whose own colors do not follow the screen: a light line on a dark rim.
    look(
        Ink::ArcEdge,
        "hs-arc-edge",
        line(3.5, ""),
        ("#1f1b17", "#1f1b17"),
    ),
    look(Ink::Arc, "hs-arc", line(1.5, ""), ("#ffd23f", "#ffd23f")),
    look(
        Ink::SecondArc,
        "hs-arc-2",
        line(1.5, "7 5"),
        ("#8fe3ff", "#8fe3ff"),
    ),
    look(
        Ink::Winter,
        "hs-winter",
        Mark::Fill { opacity: 0.5 },
        ("#dfe6ee", "#2a3038"),
    ),
];

impl Ink {
    fn look(self) -> &'static Look {
        &LOOKS[self as usize]
    }

    /// The class a mark carries.
    pub(super) fn class(self) -> &'static str {
        self.look().class
    }

    /// The token under which the ink travels through the plotting crate.
    pub(super) fn token(self) -> RGBColor {
        RGBColor(self as u8, 0, 0)
    }

    /// The ink a token stands for.
    pub(super) fn of_token(colour: BackendColor) -> Self {
        LOOKS
            .get(usize::from(colour.rgb.0))
            .map_or(Ink::Letter, |look| look.ink)
    }

    /// Whether the ink fills with the hatching of its figure.
    pub(super) fn is_hatch(self) -> bool {
        matches!(self.look().mark, Mark::Hatch)
    }
}

impl Color for Ink {
    fn to_backend_color(&self) -> BackendColor {
        self.token().to_backend_color()
    }
}

fn rules(dark: bool) -> String {
    let mut css = String::new();
    let paper = Ink::Paper.look();
    let paper = if dark { paper.dark } else { paper.light };
    for look in &LOOKS {
        let colour = if dark { look.dark } else { look.light };
        let edge = if dark { look.edge.1 } else { look.edge.0 };
        css.push_str(".hs .");
        css.push_str(look.class);
        css.push('{');
        let declarations = match (&look.mark, dark) {
            // A rim of paper keeps letters clear of the lines under them.
            (Mark::Letter, true) => format!("fill:{colour};stroke:{paper}"),
            (Mark::Letter, false) => format!(
                "fill:{colour};stroke:{paper};stroke-width:3;stroke-linejoin:round;paint-order:stroke"
            ),
            (Mark::Line { .. } | Mark::Hatch, true) => format!("stroke:{colour}"),
            (Mark::Line { width, dash }, false) => {
                let dash = if dash.is_empty() {
                    String::new()
                } else {
                    format!(";stroke-dasharray:{dash}")
                };
                format!(
                    "fill:none;stroke:{colour};stroke-width:{width};stroke-linejoin:round;stroke-linecap:round{dash}"
                )
            }
            (Mark::Fill { .. }, true) => format!("fill:{colour}"),
            (Mark::Fill { opacity }, false) => format!("fill:{colour};fill-opacity:{opacity}"),
            (Mark::Shape { width }, _) => {
                let edge = if edge == "none" { colour } else { edge };
                let width = if dark {
                    String::new()
                } else {
                    format!(";stroke-width:{width}")
                };
                format!("fill:{colour};stroke:{edge}{width}")
            }
            (Mark::Hatch, false) => format!("stroke:{colour};stroke-width:1;stroke-opacity:.45"),
        };
        css.push_str(&declarations);
        css.push('}');
    }
    css
}

/// The style sheet all figures share: light, dark on a screen that asks for it, and light again
/// in print. A page that holds several figures puts it once into its own head.
#[must_use]
pub fn style_sheet() -> String {
    format!(
        ".hs{{font-family:\"Helvetica Neue\",Helvetica,Arial,\"Liberation Sans\",sans-serif}}{}\
         .hs polygon.hs-beyond{{stroke:none}}.hs .hs-m{{display:none}}.hs .hs-m0{{display:inline}}\
         @media screen and (prefers-color-scheme:dark){{{}}}",
        rules(false),
        rules(true)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_ink_stands_at_its_own_place_in_the_table() {
        for (place, look) in LOOKS.iter().enumerate() {
            assert_eq!(look.ink as usize, place);
            assert_eq!(Ink::of_token(look.ink.to_backend_color()), look.ink);
        }
    }

    fn luminance(hex: &str) -> f64 {
        let channel = |from: usize| {
            let value = f64::from(u8::from_str_radix(&hex[from..from + 2], 16).unwrap()) / 255.0;
            if value <= 0.04045 {
                value / 12.92
            } else {
                libm::pow((value + 0.055) / 1.055, 2.4)
            }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    /// WCAG 2.2, success criterion 1.4.3: text at least 4.5 to 1.
    #[test]
    fn letters_can_be_read_on_the_paper() {
        let contrast = |a: &str, b: &str| {
            let (a, b) = (luminance(a), luminance(b));
            (a.max(b) + 0.05) / (a.min(b) + 0.05)
        };
        let paper = Ink::Paper.look();
        for look in LOOKS
            .iter()
            .filter(|look| matches!(look.mark, Mark::Letter))
        {
            assert!(
                contrast(look.light, paper.light) > 4.5,
                "{} light",
                look.class
            );
            assert!(contrast(look.dark, paper.dark) > 4.5, "{} dark", look.class);
        }
    }
}
