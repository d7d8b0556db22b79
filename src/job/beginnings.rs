//! Job files to begin with, placed and commented, from a few sizes.

use super::samples::first_dates;
use crate::units::notation::{NotationError, inches, one_of};
use crate::units::spanned::ReadNotation;
use crate::units::{Length, UnitSystem};
use jiff::civil::Date;
use std::fmt::Write as _;

/// What is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BeginningKind {
    /// A case with bays and shelves.
    Case,
    /// A bookcase.
    Bookcase,
    /// A chest with a lid.
    Chest,
    /// A table.
    Table,
    /// A framed door with a panel.
    FrameDoor,
}

impl BeginningKind {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Case,
        Self::Bookcase,
        Self::Chest,
        Self::Table,
        Self::FrameDoor,
    ];

    /// The word on the command line.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Case => "case",
            Self::Bookcase => "bookcase",
            Self::Chest => "chest",
            Self::Table => "table",
            Self::FrameDoor => "frame-door",
        }
    }

    /// Usual width, height and depth, inches, and bays and shelves.
    const fn usual(self) -> ([f64; 3], [u32; 2]) {
        match self {
            Self::Case => ([58.0, 31.0, 16.0], [3, 1]),
            Self::Bookcase => ([36.0, 72.0, 12.0], [1, 4]),
            Self::Chest => ([40.0, 20.0, 18.0], [1, 0]),
            Self::Table => ([72.0, 30.0, 36.0], [1, 0]),
            Self::FrameDoor => ([18.0, 28.0, 0.875], [1, 0]),
        }
    }
}

impl ReadNotation for BeginningKind {
    const WHAT: &'static str = "\"case\", \"bookcase\", \"chest\", \"table\" or \"frame-door\"";
    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(
            text,
            "a kind of piece",
            &Self::ALL.map(|kind| (kind.word(), kind)),
        )
    }
}

/// A piece to begin with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beginning {
    /// What is made.
    pub kind: BeginningKind,
    /// From left to right; usual for the kind unless given.
    pub width: Option<Length>,
    /// From bottom to top.
    pub height: Option<Length>,
    /// From front to back.
    pub depth: Option<Length>,
    /// How many bays side by side.
    pub bays: Option<u32>,
    /// How many shelves in each bay.
    pub shelves: Option<u32>,
    /// The units of the job.
    pub units: UnitSystem,
    /// The day on which its parts are measured.
    pub measured: Date,
}

/// Sizes in millimeters, rounded to what is written: 1/64 in or 0.1 mm.
struct Writer {
    units: UnitSystem,
    text: String,
}

impl Writer {
    fn rounded(&self, mm: f64) -> f64 {
        match self.units {
            UnitSystem::Inch => (mm / 25.4 * 64.0).round() / 64.0 * 25.4,
            UnitSystem::Metric => (mm * 10.0).round() / 10.0,
        }
    }

    fn size(&self, mm: f64) -> String {
        let mm = self.rounded(mm);
        match self.units {
            UnitSystem::Inch => inches(Length::from_mm_unchecked(mm)).replace('"', "in"),
            UnitSystem::Metric => format!("{mm} mm"),
        }
    }

    fn line(&mut self, text: &str) {
        self.text.push_str(text);
        self.text.push('\n');
    }

    /// A part: keys and values; a value that starts with a bracket or `{` is written as it is.
    fn part(&mut self, name: &str, keys: &[(&str, String)]) {
        self.line(&format!("\n[[parts]]\nname = \"{name}\""));
        for (key, value) in keys {
            if value.starts_with(['[', '{']) {
                self.line(&format!("{key} = {value}"));
            } else {
                self.line(&format!("{key} = \"{value}\""));
            }
        }
    }
}

fn text(value: &str) -> String {
    value.to_owned()
}

/// Most bays and shelves that are written.
const MOST: u32 = 12;

impl Beginning {
    /// The job file.
    ///
    /// # Errors
    /// [`NotationError`] where the sizes leave no room for the parts.
    pub fn text(&self) -> Result<String, NotationError> {
        let (usual, counts) = self.kind.usual();
        let size = |given: Option<Length>, usual: f64| given.map_or(usual * 25.4, Length::mm);
        let (width, height, depth) = (
            size(self.width, usual[0]),
            size(self.height, usual[1]),
            size(self.depth, usual[2]),
        );
        let bays = self.bays.unwrap_or(counts[0]);
        let shelves = self.shelves.unwrap_or(counts[1]);
        if bays == 0 || bays > MOST || shelves > MOST {
            return Err(NotationError::new(
                &format!("{bays} bays, {shelves} shelves"),
                &format!("a beginning has 1 to {MOST} bays and up to {MOST} shelves in each"),
                "write fewer, and add the others in the file",
            ));
        }
        let least = match self.kind {
            BeginningKind::Case | BeginningKind::Bookcase => [
                150.0 * f64::from(bays),
                250.0 + 120.0 * f64::from(shelves),
                150.0,
            ],
            BeginningKind::Chest => [300.0, 200.0, 250.0],
            BeginningKind::Table => [500.0, 300.0, 400.0],
            BeginningKind::FrameDoor => [250.0, 300.0, 16.0],
        };
        for (what, size, least) in [
            ("width", width, least[0]),
            ("height", height, least[1]),
            ("depth", depth, least[2]),
        ] {
            if size < least || size > 5_000.0 {
                return Err(NotationError::new(
                    &format!("{what} {size:.0} mm"),
                    &format!(
                        "a {} needs a {what} of {least:.0} to 5000 mm",
                        self.kind.word()
                    ),
                    "give another size",
                ));
            }
        }
        let mut out = Writer {
            units: self.units,
            text: String::new(),
        };
        head(&mut out, self.kind, self.measured);
        let at = [width, height, depth].map(|size| out.rounded(size));
        match self.kind {
            BeginningKind::Case | BeginningKind::Bookcase => {
                case(&mut out, at, bays, shelves, self.kind)
            }
            BeginningKind::Chest => chest(&mut out, at),
            BeginningKind::Table => table(&mut out, at),
            BeginningKind::FrameDoor => door(&mut out, at),
        }
        Ok(out.text)
    }
}

fn head(out: &mut Writer, kind: BeginningKind, measured: Date) {
    let [measured, delivered] = first_dates(measured);
    let (units, thickness, air, seasons) = match out.units {
        UnitSystem::Inch => (
            "inch",
            "3/4in",
            "temperature = \"64F\", humidity = \"55%\"",
            "winter = \"30%\", summer = \"55%\", temperature = \"70F\"",
        ),
        UnitSystem::Metric => (
            "mm",
            "20 mm",
            "temperature = \"18C\", humidity = \"55%\"",
            "winter = \"30%\", summer = \"55%\", temperature = \"20C\"",
        ),
    };
    let name = kind.word().replace('-', " ");
    let _infallible = write!(
        out.text,
        "#:schema ./heartside.schema.json\n\
         # Written by `heartside new --kind {word}`. Seen from the front: left to right, front to back, from the floor up.\n\
         # A place is a measure (\"15in\"), or \"against\", \"3/8in into\", \"1/16in off\", \"flush with\", \"1/4in short of\" or \"1/4in past\" a part.\n\
         format = 2\n\n[job]\nname = \"My {name}\"\nunits = \"{units}\"\nseed = 1\n\n\
         # ---- The air, before delivery and after: your own reading is worth more than any table --\n\n\
         [places.shop]\nair = {{ {air} }}\n\n[places.home]\nseasons = {{ {seasons} }}\n# place = \"Denver\"                  # or a built-in place, or a logger's file\n\n\
         [schedule]\nmeasured = {measured}               # the day the parts were measured: today, for today's cuts\ndelivered = {delivered}              # correct it: the day the piece moves to its home\n\n\
         # ---- What holds for every part that does not say otherwise -------------------------------\n\n\
         [defaults]\nspecies = \"cherry, black\"           # `heartside species` lists the woods\nthickness = \"{thickness}\"\nmoisture = \"8.5%\"                   # by meter or oven, today\nrings = {{ sawn = \"rift\" }}           # better: {{ pith_depth = \"3in\", pith_offset = \"0in\" }}\n\n\
         # ---- The parts ---------------------------------------------------------------------------\n",
        word = kind.word(),
    );
}

fn case(
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

fn chest(out: &mut Writer, [width, height, depth]: [f64; 3]) {
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

fn table(out: &mut Writer, [width, height, depth]: [f64; 3]) {
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

fn door(out: &mut Writer, [width, height, depth]: [f64; 3]) {
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
