//! The answer on a panel matched from leaves, for machines and in plain words.

use crate::chart::capital;
use crate::panel::{BestLayouts, BookmatchFlag, Panel, PanelShape, felt};
use crate::units::notation::{force_shown, percent_shown, shown};
use crate::units::{Force, Length, UnitSystem};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// The answer on one panel.
#[derive(Debug, Clone, Copy)]
pub struct PanelAnswer<'a> {
    /// The panel.
    pub panel: &'a Panel,
    /// Its best layouts.
    pub best: &'a BestLayouts,
    /// What bookmatching does against slip-matching.
    pub flag: Option<&'a BookmatchFlag>,
    /// Rules that stood in for missing values.
    pub rules: &'a [String],
    /// Which way lengths are shown first.
    pub system: UnitSystem,
}

impl PanelAnswer<'_> {
    fn length(&self, length: Length) -> String {
        shown(length, self.system)
    }

    fn notes(&self) -> Vec<&str> {
        self.rules
            .iter()
            .chain(&self.best.notes)
            .map(String::as_str)
            .collect()
    }

    /// The answer for machines: metric, keys end in their unit.
    #[must_use]
    pub fn object(&self) -> Value {
        let weights = self.panel.weights();
        let change = self.panel.change();
        json!({
            "match": self.panel.leaf_match().key(),
            "length_mm": self.panel.leaf_length().mm(),
            "sign": "bow_mm and cup_mm are positive when the panel's show face is hollow, twist_mm when it is right-handed",
            "from_percent": change.from.percent(),
            "to_percent": change.to.percent(),
            "weights": { "bow": weights.bow, "cup": weights.cup, "twist": weights.twist, "seam_misfit": weights.seam },
            "first_is_proven": self.best.first_is_proven,
            "list_is_proven": self.best.list_is_proven,
            "score_bound": self.best.bound,
            "why_first": self.best.why_first(self.system),
            "layouts": (0..self.best.layouts.len()).map(|rank| self.layout(rank)).collect::<Vec<_>>(),
            "bookmatch_flag": self.flag.map(|flag| json!({
                "adds_bows": flag.adds_bows(),
                "words": flag.words(self.system),
                "bookmatched": self.shape(&flag.bookmatched),
                "slip_matched": self.shape(&flag.slip_matched),
            })),
            "notes": self.notes(),
        })
    }

    fn layout(&self, rank: usize) -> Value {
        let mut object = self.shape(&self.best.layouts[rank]);
        object["gives_up"] = self.best.gives_up(rank, self.system).into();
        object
    }

    fn shape(&self, shape: &PanelShape) -> Value {
        let leaves = self.panel.leaves();
        let laid: Vec<_> = shape.layout.leaves().collect();
        let force = |force: Force| (force.newtons(), felt(force));
        let (hold_flat, hold_flat_felt) = force(shape.hold_flat);
        let (caul, caul_felt) = force(shape.caul_force);
        json!({
            "order": laid.iter().map(|placed| &leaves[placed.leaf].name).collect::<Vec<_>>(),
            "face_up": laid.iter().map(|placed| placed.face_up.word()).collect::<Vec<_>>(),
            "end_forward": laid.iter().map(|placed| placed.end_forward.word()).collect::<Vec<_>>(),
            "rows": shape.rows.len(),
            "bow_mm": shape.bow.mm(),
            "largest_bow_mm": shape.largest_bow.mm(),
            "edge_and_seam_bows_mm": shape.rows.iter().map(|row| row.line_bows.iter().map(|bow| bow.mm()).collect::<Vec<_>>()).collect::<Vec<_>>(),
            "cup_known": self.panel.knows_ring_cup(),
            "cup_mm": self.panel.knows_ring_cup().then(|| shape.cup.mm()),
            "ring_cup_mm": self.panel.knows_ring_cup().then(|| shape.ring_cup.mm()),
            "own_cup_mm": shape.set_cup.mm(),
            "washboarding_mm": shape.washboarding.mm(),
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

    /// The answer in plain words.
    #[must_use]
    pub fn words(&self) -> String {
        let mut words = String::new();
        let change = self.panel.change();
        let _ = writeln!(
            words,
            "{} of {} leaves, {} long. Cup is judged from {} to {} moisture. Bow and cup are positive when the show face is hollow.",
            capital(self.panel.leaf_match().word()),
            self.panel.leaves().len(),
            self.length(self.panel.leaf_length()),
            percent_shown(change.from.percent()),
            percent_shown(change.to.percent()),
        );
        if let Some(flag) = self.flag {
            let _ = writeln!(words, "\n{}", flag.words(self.system));
        }
        for (rank, shape) in self.best.layouts.iter().enumerate() {
            let _ = writeln!(words, "\n{}. {}", rank + 1, self.laid(shape));
            let _ = writeln!(
                words,
                "   bow {}, {} on the mean, {}, twist {}, worst seam {} before glue",
                shape.bow_words(self.system),
                self.length(shape.bow),
                self.cup_words(shape),
                self.length(shape.twist),
                self.length(shape.seam_misfit),
            );
            let _ = writeln!(
                words,
                "   the bows {}: holding it flat takes {} at its middle ({}), closing the worst seam {} at a caul ({})",
                if shape.adds_bows { "add" } else { "do not add" },
                force_shown(shape.hold_flat, self.system),
                felt(shape.hold_flat),
                force_shown(shape.caul_force, self.system),
                felt(shape.caul_force),
            );
            if let Some(row) = shape.rows.first() {
                let _ = writeln!(
                    words,
                    "   {} wide after jointing, {} lost to crook",
                    self.length(row.width),
                    self.length(row.width_lost)
                );
            }
            if rank > 0 {
                let _ = writeln!(
                    words,
                    "   against the first: {}",
                    self.best.gives_up(rank, self.system)
                );
            }
        }
        let weights = self.panel.weights();
        let _ = writeln!(
            words,
            "\nWhy the first: {} The score is {} x bow + {} x cup + {} x twist + {} x worst seam, in mm.",
            self.best.why_first(self.system),
            weights.bow,
            weights.cup,
            weights.twist,
            weights.seam
        );
        for note in self.notes() {
            let _ = writeln!(words, "Note: {note}");
        }
        words
    }

    /// Its cup and where that comes from; rings that nobody gave are unknown, not flat.
    fn cup_words(&self, shape: &PanelShape) -> String {
        let own = self.length(shape.set_cup);
        if self.panel.knows_ring_cup() {
            format!(
                "cup {} (from the rings {}, from the leaves' own cup {own})",
                self.length(shape.cup),
                self.length(shape.ring_cup),
            )
        } else {
            format!(
                "cup not known: give the rings and the wood of every leaf (from the leaves' own cup {own})"
            )
        }
    }

    /// How the leaves are laid, in words.
    #[must_use]
    pub fn laid(&self, shape: &PanelShape) -> String {
        let rows: Vec<String> = shape
            .layout
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
