//! The answer on a board to resaw, for machines and in plain words.

use crate::chance::in_hundred;
use crate::stock::{
    Band, BoardForecast, BoardOrder, Caution, HollowOn, INSTRUCTIONS, LeafForecast, Recovery,
    Wanted, Warp,
};
use crate::units::notation::{mass_shown, percent_shown, shown};
use crate::units::{Chance, Length, UnitSystem};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;

/// The answer on one board.
pub struct BoardAnswer<'a> {
    /// Whether a width was given, so that cup means something.
    pub tells_cup: bool,
    /// What was asked.
    pub order: &'a BoardOrder,
    /// What becomes of it.
    pub forecast: &'a BoardForecast,
    /// Whether the rough thickness yields what is wanted, where anything is.
    pub recovery: Option<(&'a Wanted, &'a [Recovery])>,
    /// What was taken for granted.
    pub notes: Vec<String>,
    /// Which way lengths are shown first.
    pub system: UnitSystem,
}

/// The strip's drawing for a terminal: where to rip it, how it is split, what is read.
const DRAWING: &str = "  the board from above            the strip split, halves put back together

  +----------------------------+      ________________________
  |                            |     /                        \\   <- gap in the middle: positive
  |            board           |     \\________________________/
  |                            |
  +----------------------------+     \\________________________/
  |  strip, 25 mm wide         |      ________________________   <- gap at the ends: negative
  +----------------------------+     /                        \\
";

/// Steps of the test strip for machines.
#[must_use]
pub fn instructions() -> Value {
    json!({ "test_strip": INSTRUCTIONS })
}

/// Steps of the test strip with its drawing.
#[must_use]
pub fn instruction_words() -> String {
    let mut text = format!("How to make and read a test strip\n\n{DRAWING}\n");
    for (i, step) in INSTRUCTIONS.iter().enumerate() {
        let _never_fails = writeln!(text, "{}. {step}", i + 1);
    }
    text
}

/// A number without a negative zero.
fn number(value: f64) -> Value {
    json!(value + 0.0)
}

fn put_band(map: &mut Map<String, Value>, key: &str, band: &Band) {
    for (end, value) in [
        ("mm", band.middle),
        ("low_mm", band.low),
        ("high_mm", band.high),
    ] {
        map.insert(format!("{key}_{end}"), number(value.mm()));
    }
}

/// What a cup is that the rings would give.
const CUP_NOT_KNOWN: &str = "cup not known: give the rings";

fn put_warp(map: &mut Map<String, Value>, key: &str, warp: &Warp) {
    put_band(map, key, &warp.rested);
    put_band(map, &format!("{key}_off_saw"), &warp.off_saw);
    for (share, value) in [
        ("locked_in", warp.shares.locked_in),
        ("moisture", warp.shares.moisture),
        ("inherited", warp.shares.inherited),
        ("rings", warp.shares.rings),
    ] {
        if share != "rings" || key == "cup" {
            map.insert(format!("{key}_share_{share}_mm"), number(value.mm()));
        }
    }
}

impl BoardAnswer<'_> {
    fn knows_cup(&self) -> bool {
        self.order.knows_rested_cup()
    }

    fn measured(&self) -> bool {
        !self.order.strips.is_empty() || !self.order.measured.is_empty()
    }

    /// The answer for machines: metric, keys end in their unit.
    #[must_use]
    pub fn object(&self) -> Value {
        let mut map = Map::new();
        let cautions: Vec<String> = self.forecast.cautions.iter().map(Caution::words).collect();
        map.insert("cautions".into(), json!(cautions));
        let along = &self.forecast.along;
        for (key, band) in [
            ("locked_in_microstrain", along.at_the_cut),
            ("locked_in_rested_microstrain", along.rested),
            ("lop_sided_microstrain", along.lopsided),
            ("locked_in_before_microstrain", along.before),
        ] {
            map.insert(key.into(), json!(band.middle_microstrain));
            map.insert(
                key.replace("_microstrain", "_low_microstrain"),
                json!(band.low_microstrain),
            );
            map.insert(
                key.replace("_microstrain", "_high_microstrain"),
                json!(band.high_microstrain),
            );
        }
        if self.measured() {
            map.insert("band_narrowed_percent".into(), json!(along.narrowed));
            map.insert(
                "strips_contradict".into(),
                json!(along.contradiction.is_some()),
            );
        }
        map.insert("drying".into(), json!(self.order.drying.words()));
        let leaves: Vec<Value> = (0..self.forecast.leaves.len())
            .map(|i| self.leaf_object(i))
            .collect();
        map.insert("leaves".into(), json!(leaves));
        if let Some((wanted, found)) = self.recovery {
            let rows: Vec<Value> = found
                .iter()
                .map(|row| {
                    json!({
                        "first_cut": row.first_cut.words(),
                        "board_loss_mm": row.board_loss.mm(),
                        "rough_leaf_mm": row.rough_leaf.mm(),
                        "left_mm": row.left.middle.mm(),
                        "left_low_mm": row.left.low.mm(),
                        "left_high_mm": row.left.high.mm(),
                        "thickness_chance_percent": 100.0 * row.chance,
                        "verdict": row.verdict.word(),
                    })
                })
                .collect();
            map.insert("wanted_thickness_mm".into(), json!(wanted.thickness.mm()));
            map.insert("recovery".into(), json!(rows));
        }
        map.insert("notes".into(), json!(self.notes));
        Value::Object(map)
    }

    fn leaf_object(&self, index: usize) -> Value {
        let leaf = &self.forecast.leaves[index];
        let mut map = Map::new();
        map.insert("number".into(), json!(leaf.number));
        map.insert("thickness_mm".into(), json!(leaf.slice.thickness().mm()));
        put_warp(&mut map, "bow", &leaf.bow);
        map.insert("hollow_on".into(), json!(leaf.bow.hollow_on.words()));
        if self.measured() {
            let before = &self.forecast.leaves_before[index];
            put_band(&mut map, "bow_before", &before.bow.rested);
        }
        if self.tells_cup {
            put_warp(&mut map, "cup", &leaf.cup);
            map.insert("cup_hollow_on".into(), json!(leaf.cup.hollow_on.words()));
            map.insert("cup_known".into(), json!(self.knows_cup()));
            if !self.knows_cup() {
                for key in [
                    "cup_mm",
                    "cup_low_mm",
                    "cup_high_mm",
                    "cup_hollow_on",
                    "cup_share_rings_mm",
                ] {
                    map.insert(key.into(), Value::Null);
                }
            }
        }
        map.insert("twist_mm".into(), number(leaf.twist.mm()));
        if let Some(rest) = self.forecast.rests.get(index) {
            let lengths = |list: &[Length]| list.iter().map(|rise| rise.mm()).collect::<Vec<_>>();
            let grams: Vec<f64> = rest.still_to_lose.iter().map(|mass| mass.grams()).collect();
            let middle = |list: &[Band]| list.iter().map(|b| b.middle.mm()).collect::<Vec<_>>();
            map.insert("rest_90_percent_days".into(), json!(rest.day_90));
            map.insert(
                "settles_at_percent".into(),
                json!(rest.settles_at.percent()),
            );
            map.insert("bow_by_day_mm".into(), json!(middle(&rest.bow)));
            map.insert("moisture_by_day_percent".into(), json!(rest.mean_percent));
            map.insert(
                "bow_to_come_by_day_mm".into(),
                json!(lengths(&rest.bow_to_come)),
            );
            if self.tells_cup {
                let by_day = self.knows_cup().then(|| middle(&rest.cup));
                map.insert("cup_by_day_mm".into(), json!(by_day));
                map.insert("still_to_lose_by_day_g".into(), json!(grams));
            }
        }
        Value::Object(map)
    }

    /// The answer in plain words.
    #[must_use]
    pub fn words(&self) -> String {
        let mut text = String::new();
        let (pressing, others): (Vec<&Caution>, Vec<&Caution>) = self
            .forecast
            .cautions
            .iter()
            .partition(|caution: &&Caution| matches!(caution, Caution::PinchesBlade { .. }));
        for caution in pressing {
            let _never_fails = writeln!(text, "{}\n", caution.words());
        }
        for leaf in &self.forecast.leaves {
            self.leaf_words(&mut text, leaf);
        }
        self.locked_in_words(&mut text);
        self.rest_words(&mut text);
        self.recovery_words(&mut text);
        for caution in others {
            let _never_fails = write!(text, "\n{}\n", caution.words());
        }
        for note in &self.notes {
            let _never_fails = write!(text, "\nNote: {note}.");
        }
        text
    }

    fn leaf_words(&self, text: &mut String, leaf: &LeafForecast) {
        let bow = &leaf.bow;
        let _never_fails = writeln!(
            text,
            "Leaf {}, {} thick: {}",
            leaf.number,
            self.length(leaf.slice.thickness()),
            self.warp_words("bows", bow)
        );
        let shares = &bow.shares;
        let _never_fails = writeln!(
            text,
            "  off the saw {}; of the rested bow {} comes from what is locked in, {} from moisture, {} was there before",
            self.length(bow.off_saw.middle),
            self.length(shares.locked_in),
            self.length(shares.moisture),
            self.length(shares.inherited),
        );
        if self.tells_cup {
            let cup = if self.knows_cup() {
                self.warp_words("cups", &leaf.cup)
            } else {
                format!(
                    "{CUP_NOT_KNOWN}; off the saw it cups {}",
                    self.length(leaf.cup.off_saw.middle)
                )
            };
            let _never_fails = writeln!(text, "  {cup}");
        }
    }

    fn locked_in_words(&self, text: &mut String) {
        let along = &self.forecast.along;
        let now = along.at_the_cut;
        let how = if self.measured() {
            format!(
                "measured, {:.0} % narrower than before",
                along.narrowed.percent()
            )
        } else if self.order.locked_in.is_some() {
            "as given".to_owned()
        } else {
            format!(
                "by judgement of stock dried like this: {}",
                self.order.drying.words()
            )
        };
        let _never_fails = write!(
            text,
            "\nLocked-in strain of the surface layer: {:.0} millionths ({:.0} to {:.0}), {how}. Positive: casehardened.\n",
            now.middle_microstrain, now.low_microstrain, now.high_microstrain
        );
        if let Some(found) = along.contradiction {
            let _never_fails = writeln!(
                text,
                "The readings of the strip contradict each other (chi-square {:.1}, chance explains {:.1}): measure again; the band was widened until they agree.",
                found.chi_square, found.limit
            );
        }
        if !self.measured() {
            text.push_str(
                "These figures rest on judgement of stock like this, not on your board: a test strip is what earns trust (heartside resaw --how-to-strip).\n",
            );
        }
    }

    fn rest_words(&self, text: &mut String) {
        for (leaf, rest) in self.forecast.leaves.iter().zip(&self.forecast.rests) {
            let days = match rest.day_90 {
                Some(0) => "need not rest".to_owned(),
                Some(1) => "rests 1 day".to_owned(),
                Some(days) => format!("rests {days} days"),
                None => "rests for more than five years".to_owned(),
            };
            let _never_fails = write!(
                text,
                "\nLeaf {} {days} until 90 % of its bow and cup are done, and settles at {} moisture; milled today it would still bow {}",
                leaf.number,
                percent_shown(rest.settles_at.percent()),
                self.length(rest.bow_to_come[0]),
            );
            if self.tells_cup {
                let water = rest.still_to_lose[0];
                let _never_fails = write!(
                    text,
                    "{}, and it has {} of water still to {}",
                    if self.knows_cup() {
                        format!(" and cup {}", self.length(rest.cup_to_come[0]))
                    } else {
                        format!(" ({CUP_NOT_KNOWN})")
                    },
                    mass_shown(water.abs(), self.system),
                    if water.grams() < 0.0 {
                        "take up"
                    } else {
                        "lose"
                    }
                );
            }
            text.push_str(".\n");
        }
    }

    fn recovery_words(&self, text: &mut String) {
        let Some((wanted, found)) = self.recovery else {
            return;
        };
        let _never_fails = write!(
            text,
            "\nWill it yield {} leaves of {}, flat on both faces?\n",
            wanted.leaves,
            self.length(wanted.thickness)
        );
        for row in found {
            let _never_fails = writeln!(
                text,
                "  {:<56} {:<9} {:<14} {} left ({} to {})",
                row.first_cut.words(),
                row.verdict.word(),
                in_hundred(Chance::of_fraction(row.chance)),
                self.length(row.left.middle),
                self.length(row.left.low),
                self.length(row.left.high),
            );
        }
        let Some(whole) = found.first() else { return };
        // The first of those that save alike: the minimum work.
        let best = found.iter().fold(whole, |best, row| {
            if row.saves_over(best).mm() > 0.05 {
                row
            } else {
                best
            }
        });
        let saved = best.saves_over(whole);
        if saved.mm() > 0.05 {
            let _never_fails = writeln!(
                text,
                "  best: {}, which saves {} over flattening everything whole",
                best.first_cut.words(),
                self.length(saved)
            );
        }
    }

    fn warp_words(&self, verb: &str, warp: &Warp) -> String {
        let Band {
            low, middle, high, ..
        } = warp.rested;
        let band = format!("{} to {}", self.length(low), self.length(high));
        let over = self.length(warp.chord);
        match warp.hollow_on {
            HollowOn::Neither => format!(
                "{verb} less than {} over {over}, as likely one way as the other, {band} (90 in 100)",
                self.length(Length::from_mm_unchecked(0.05))
            ),
            face => format!(
                "{verb} {} over {over}, hollow on the {}, {band} (90 in 100)",
                self.length(middle.abs()),
                face.words()
            ),
        }
    }

    fn length(&self, length: Length) -> String {
        shown(length, self.system)
    }
}
