//! `heartside match`: the best placing of leaves under a figure.

use super::files::read_text;
use super::rings::read;
use super::{Desk, Failure, species};
use crate::panel::{
    BestPlacings, BookmatchFlag, Figure, MoistureChange, Panel, PanelShape, Weights, felt,
    leaves_csv, settle_woods,
};
use crate::units::notation::millimetres;
use crate::units::{Force, MoistureContent, UnitSystem};
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::process::ExitCode;

/// How to lay leaves into a panel: does the figure add their bows, and which placing moves least.
///
/// Columns of the table: leaf, width, thickness, length, bow; where read also crook, twist, cup, pith_depth, pith_offset,
/// species, pair, show_face, marked_side. The unit of a length stands in the header (bow_mm) or in each
/// cell. Bow and cup are positive when the marked (fresh-sawn) face is hollow; those of the panel when its show
/// face is.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The leaves as a table (CSV); `-` is standard input.
    #[arg(value_name = "LEAVES")]
    leaves: String,
    /// How they are matched: bookmatch, slip-match, four-piece or random.
    #[arg(long, value_name = "FIGURE")]
    figure: String,
    /// How many of the best placings to show.
    #[arg(long, value_name = "COUNT", default_value_t = 3, value_parser = clap::value_parser!(u8).range(1..=12))]
    best: u8,
    /// The wood of all leaves that do not tell their own.
    #[arg(long, value_name = "NAME")]
    species: Option<String>,
    /// Moisture content now, when the leaves are jointed.
    #[arg(
        long,
        value_name = "PERCENT",
        default_value = "10%",
        allow_hyphen_values = true
    )]
    from: String,
    /// Moisture content later, at which the cup is judged.
    #[arg(
        long,
        value_name = "PERCENT",
        default_value = "6%",
        allow_hyphen_values = true
    )]
    to: String,
    /// Your own table of woods (CSV), which stands in front of the built-in one.
    #[arg(long, value_name = "FILE")]
    species_table: Option<String>,
}

/// Answers the command.
///
/// # Errors
/// [`Failure`] when a flag or the table cannot be read, a wood is unknown or the leaves cannot make the panel.
pub fn run(args: Args, desk: &mut Desk<'_>) -> Result<ExitCode, Failure> {
    let figure = read::<Figure>("figure", &args.figure)?;
    let change = MoistureChange {
        from: read::<MoistureContent>("from", &args.from)?,
        to: read::<MoistureContent>("to", &args.to)?,
    };
    let text = read_text(&args.leaves)?;
    let about = |words: &dyn std::fmt::Display| {
        let lines: Vec<String> = words
            .to_string()
            .lines()
            .map(|line| format!("error: `{}`, {line}", args.leaves))
            .collect();
        Failure::input(lines.join("\n"))
    };
    let mut leaves = leaves_csv::read(&text).map_err(|error| about(&error))?;
    let table = species::table(args.species_table.as_deref())?;
    let rules = settle_woods(&mut leaves, args.species.as_deref(), &table).map_err(|error| {
        if error.leaf.is_some() {
            about(&error)
        } else {
            Failure::input(format!("error: --species {error}"))
        }
    })?;
    let panel =
        Panel::new(leaves, figure, change, Weights::default()).map_err(|error| about(&error))?;
    let best = panel.best(usize::from(args.best));
    let flag = match figure {
        Figure::Bookmatch | Figure::SlipMatch => panel.bookmatch_flag(),
        Figure::FourPiece | Figure::Random => None,
    };
    let answer = Answer {
        panel: &panel,
        best: &best,
        flag: flag.as_ref(),
        rules: &rules,
    };
    desk.answer(&answer.object(), &answer.words())?;
    Ok(ExitCode::SUCCESS)
}

struct Answer<'a> {
    panel: &'a Panel,
    best: &'a BestPlacings,
    flag: Option<&'a BookmatchFlag>,
    rules: &'a [String],
}

const SHOW: UnitSystem = UnitSystem::Metric;

impl Answer<'_> {
    fn notes(&self) -> Vec<&str> {
        self.rules
            .iter()
            .chain(&self.best.notes)
            .map(String::as_str)
            .collect()
    }

    fn object(&self) -> Value {
        let weights = self.panel.weights();
        let change = self.panel.change();
        json!({
            "figure": self.panel.figure().word(),
            "length_mm": self.panel.leaf_length().mm(),
            "sign": "bow_mm and cup_mm are positive when the panel's show face is hollow, twist_mm when it is right-handed",
            "from_percent": change.from.percent(),
            "to_percent": change.to.percent(),
            "weights": { "bow": weights.bow, "cup": weights.cup, "twist": weights.twist, "seam_misfit": weights.seam },
            "first_is_proven": self.best.first_is_proven,
            "list_is_proven": self.best.list_is_proven,
            "score_bound": self.best.bound,
            "why_first": self.best.why_first(SHOW),
            "placings": (0..self.best.placings.len()).map(|rank| self.placing(rank)).collect::<Vec<_>>(),
            "bookmatch_flag": self.flag.map(|flag| json!({
                "adds_bows": flag.adds_bows(),
                "words": flag.words(SHOW),
                "bookmatched": self.shape(&flag.bookmatched),
                "slip_matched": self.shape(&flag.slip_matched),
            })),
            "notes": self.notes(),
        })
    }

    fn placing(&self, rank: usize) -> Value {
        let mut object = self.shape(&self.best.placings[rank]);
        object["gives_up"] = self.best.gives_up(rank, SHOW).into();
        object
    }

    fn shape(&self, shape: &PanelShape) -> Value {
        let leaves = self.panel.leaves();
        let laid: Vec<_> = shape.placing.leaves().collect();
        let force = |force: Force| (force.newtons(), felt(force));
        let (hold_flat, hold_flat_felt) = force(shape.hold_flat);
        let (caul, caul_felt) = force(shape.caul_force);
        json!({
            "order": laid.iter().map(|placed| &leaves[placed.leaf].name).collect::<Vec<_>>(),
            "face_up": laid.iter().map(|placed| placed.face_up.word()).collect::<Vec<_>>(),
            "end_forward": laid.iter().map(|placed| placed.end_forward.word()).collect::<Vec<_>>(),
            "rows": shape.rows.len(),
            "bow_mm": shape.bow.mm(),
            "cup_mm": shape.cup.mm(),
            "ring_cup_mm": shape.ring_cup.mm(),
            "own_cup_mm": shape.set_cup.mm(),
            "ripple_mm": shape.ripple.mm(),
            "twist_mm": shape.twist.mm(),
            "seam_misfit_mm": shape.seam_misfit.mm(),
            "butt_misfit_mm": shape.butt_misfit.map(|misfit| misfit.mm()),
            "adds_bows": shape.adds_bows,
            "force_factor": shape.force_factor,
            "hold_flat_n": hold_flat,
            "hold_flat_felt": hold_flat_felt,
            "caul_force_n": caul,
            "caul_force_felt": caul_felt,
            "width_mm": shape.rows.first().map(|row| row.width.mm()),
            "width_lost_mm": shape.rows.first().map(|row| row.width_lost.mm()),
            "seams": shape.rows.iter().flat_map(|row| &row.seams).map(|seam| json!({
                "left": leaves[seam.left].name,
                "right": leaves[seam.right].name,
                "misfit_mm": seam.misfit.mm(),
                "caul_force_n": seam.caul_force.newtons(),
                "edge_gap_mm": seam.edge_gap.mm(),
            })).collect::<Vec<_>>(),
            "score": shape.score,
        })
    }

    fn words(&self) -> String {
        let mut words = String::new();
        let change = self.panel.change();
        let _ = writeln!(
            words,
            "{} of {} leaves, {} long. Cup is judged from {}% to {}% moisture. Bow and cup are positive when the show face is hollow.",
            capital(self.panel.figure().word()),
            self.panel.leaves().len(),
            millimetres(self.panel.leaf_length()),
            change.from.percent(),
            change.to.percent(),
        );
        if let Some(flag) = self.flag {
            let _ = writeln!(words, "\n{}", flag.words(SHOW));
        }
        for (rank, shape) in self.best.placings.iter().enumerate() {
            let _ = writeln!(words, "\n{}. {}", rank + 1, self.laid(shape));
            let _ = writeln!(
                words,
                "   bow {}, cup {} (rings {}, own {}), twist {}, worst seam {} before glue",
                millimetres(shape.bow),
                millimetres(shape.cup),
                millimetres(shape.ring_cup),
                millimetres(shape.set_cup),
                millimetres(shape.twist),
                millimetres(shape.seam_misfit),
            );
            let _ = writeln!(
                words,
                "   the bows {}: held flat it takes {:.0} N at the middle ({}); the worst seam's caul {:.0} N ({})",
                if shape.adds_bows { "add" } else { "do not add" },
                shape.hold_flat.newtons(),
                felt(shape.hold_flat),
                shape.caul_force.newtons(),
                felt(shape.caul_force),
            );
            if let Some(row) = shape.rows.first() {
                let _ = writeln!(
                    words,
                    "   {} wide after jointing, {} lost to crook",
                    millimetres(row.width),
                    millimetres(row.width_lost)
                );
            }
            if rank > 0 {
                let _ = writeln!(
                    words,
                    "   against the first: {}",
                    self.best.gives_up(rank, SHOW)
                );
            }
        }
        let weights = self.panel.weights();
        let _ = writeln!(
            words,
            "\nWhy the first: {} The score is {} x bow + {} x cup + {} x twist + {} x worst seam, in mm.",
            self.best.why_first(SHOW),
            weights.bow,
            weights.cup,
            weights.twist,
            weights.seam
        );
        for note in self.notes() {
            let _ = writeln!(words, "note: {note}");
        }
        words
    }

    fn laid(&self, shape: &PanelShape) -> String {
        let rows: Vec<String> = shape
            .placing
            .rows
            .iter()
            .map(|row| {
                row.iter()
                    .map(|placed| {
                        format!(
                            "{} ({} face up, {} end forward)",
                            self.panel.leaves()[placed.leaf].name,
                            placed.face_up.word(),
                            placed.end_forward.word()
                        )
                    })
                    .collect::<Vec<_>>()
                    .join(" | ")
            })
            .collect();
        rows.join("\n   behind it ")
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
