//! Job files to begin with, placed and commented, from a few sizes.

mod case;
mod chest;
mod door;
mod table;

use crate::job::samples::first_dates;
use crate::units::notation::{NotationError, inches, one_of};
use crate::units::spanned::ReadNotation;
use crate::units::{Length, UnitSystem};
use case::case;
use chest::chest;
use door::door;
use jiff::civil::Date;
use std::fmt::Write as _;
use table::table;

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
