//! The answer on the rings in a photo, for machines and in plain words, and its figure.

use crate::chance::Band;
use crate::chart::{PhotoRings, RingsPhotoFigure};
use crate::movement::{Face, RingStrains, Rings};
use crate::rings::{BarkFace, Caveat, Corners, RingsPhoto, RingsReading};
use crate::units::notation::{millimetres, shown};
use crate::units::{Length, UnitSystem};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;

/// The answer on one photo.
#[derive(Debug, Clone)]
pub struct RingsAnswer<'a> {
    /// What the photo is called.
    pub name: &'a str,
    /// What was read.
    pub found: &'a RingsPhoto,
    /// The corners of the end.
    pub corners: &'a Corners,
    /// Whether the program found the corners.
    pub corners_found: bool,
    /// Whether the thickness was taken from the photo.
    pub thickness_from_photo: bool,
    /// Which face was toward the bark, where the maker knows.
    pub bark: Option<BarkFace>,
    /// A change of moisture whose cup is asked, in words, with its strains.
    pub change: Option<(String, RingStrains)>,
    /// Which way lengths are shown first.
    pub system: UnitSystem,
}

/// Lowest chance at which the curve of the rings is held against the maker's word.
const SURE_PERCENT: f64 = 90.0;
/// Places the angles are given at, in half widths, and what they are called.
const PLACES: [(&str, f64); 3] = [("left", -1.0), ("center", 0.0), ("right", 1.0)];

impl RingsAnswer<'_> {
    /// The face toward the bark: as given, else as the rings curve.
    fn bark_of(&self, reading: &RingsReading) -> BarkFace {
        self.bark.unwrap_or(reading.bark_face().0)
    }

    fn length(&self, mm: f64) -> String {
        shown(Length::from_mm_unchecked(mm), self.system)
    }

    /// The answer for machines: metric, keys end in their unit.
    #[must_use]
    pub fn object(&self) -> Value {
        let size = self.found.readings[0].size();
        json!({
            "photo": self.name,
            "width_mm": size.width().mm(),
            "thickness_mm": size.thickness().mm(),
            "thickness_from_photo": self.thickness_from_photo,
            "corners_px": self.corners.points().iter().flatten().collect::<Vec<_>>(),
            "corners_found": self.corners_found,
            "verdict": self.verdict(),
            "gap": self.found.gap,
            "readings": self.found.readings.iter().map(|reading| self.reading(reading)).collect::<Vec<_>>(),
            "notes": self.notes(),
        })
    }

    fn verdict(&self) -> &'static str {
        let has = |caveat| self.found.caveats.contains(&caveat);
        if has(Caveat::Faint) {
            "hardly visible"
        } else if has(Caveat::Straight) {
            "straight"
        } else if has(Caveat::TwoReadings) {
            "two readings"
        } else {
            "clear"
        }
    }

    fn reading(&self, reading: &RingsReading) -> Value {
        let bark = self.bark_of(reading);
        let (seen, sure) = reading.bark_face();
        let mut object = Map::new();
        let mut band = |key: &str, unit: &str, band: Band| {
            for (end, value) in [("", band.middle), ("_low", band.low), ("_high", band.high)] {
                // An end that is not known is no number.
                let value = value.is_finite().then_some(value);
                object.insert(format!("{key}{end}_{unit}"), json!(value));
            }
        };
        band("pith_depth", "mm", reading.depth_mm(bark));
        band("pith_offset", "mm", reading.offset_mm(bark));
        for (name, share) in PLACES {
            band(
                &format!("ring_angle_{name}"),
                "degrees",
                reading.angle_degrees(share, bark),
            );
        }
        if let Some((_, strains)) = &self.change
            && let Some(cup) = reading.cup_mm(bark, Face::Bark, *strains)
        {
            band("cup_bark_face", "mm", cup);
        }
        object.insert("score".to_owned(), json!(reading.score));
        object.insert("pith_inside".to_owned(), json!(reading.pith_inside()));
        object.insert("bark".to_owned(), json!(bark.word()));
        object.insert("bark_as_curved".to_owned(), json!(seen.word()));
        object.insert("bark_as_curved_chance_percent".to_owned(), json!(sure));
        object.insert("job_rings".to_owned(), json!(self.job_line(reading)));
        Value::Object(object)
    }

    /// The rings as a job file has them.
    fn job_line(&self, reading: &RingsReading) -> String {
        let keys: Vec<String> = self
            .job_keys(reading)
            .iter()
            .map(|(key, value)| format!("{key} = \"{value}\""))
            .collect();
        format!("rings = {{ {} }}", keys.join(", "))
    }

    /// The same as keys and values.
    #[must_use]
    pub fn job_keys(&self, reading: &RingsReading) -> Vec<(&'static str, String)> {
        let bark = self.bark_of(reading);
        match reading.rings(bark) {
            Rings::Pith { depth, offset } if reading.depth_mm(bark).high.is_finite() => {
                pith_keys(depth, offset)
            }
            _ => {
                let half = reading.size().width().mm() / 2.0;
                let at = |share: f64| {
                    format!(
                        "{}:{:.1}deg",
                        as_written(Length::from_mm_unchecked(share * half)),
                        reading.angle_degrees(share, bark).middle
                    )
                };
                vec![("angles", format!("{}, {}", at(-0.9), at(0.9)))]
            }
        }
    }

    fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        let first = &self.found.readings[0];
        for caveat in &self.found.caveats {
            notes.push(match caveat {
                Caveat::Faint => "the rings are hardly visible, or this is no end grain: cut the end fresh, plane or sand a strip of it, wet it, light it from one side, and hold the phone square to the end".to_owned(),
                Caveat::Straight => "the lines are straight all over: quarter-sawn wood of a large tree, or long grain or saw marks; check that the photo shows the end, and sand the saw marks off. The ring angles can be used if the lines are rings".to_owned(),
                Caveat::TwoReadings => "two readings explain the lines almost alike, such as rings and rays, or rings and saw marks: look at the figure (--svg FILE) and use the one whose lines follow the rings".to_owned(),
                Caveat::PithInside => "the pith is inside the board: expect it to check; no cup follows from the rings".to_owned(),
            });
        }
        let (seen, sure) = first.bark_face();
        match self.bark {
            Some(given) if given != seen && sure >= SURE_PERCENT && !first.pith_inside() => {
                notes.push(format!(
                    "you gave the bark side as {}, and the rings curve as if it were {}: check which face was up in the photo",
                    given.word(),
                    seen.word()
                ));
            }
            None if sure < SURE_PERCENT => notes.push(format!(
                "the rings are too straight to be sure which face is toward the bark (up or down: {} chance in 100 for {}); look at the other end or for sapwood, and give it with --bark",
                sure.round(),
                seen.word()
            )),
            _ => {}
        }
        if self.corners_found {
            notes.push("the corners were found by color: check the outline in the figure, and give --corners where it is off".to_owned());
        }
        if self.thickness_from_photo {
            notes.push(format!(
                "the thickness, {}, was taken from the photo; measure it and give --thickness for a better answer",
                self.length(first.size().thickness().mm())
            ));
        }
        notes
    }

    /// One reading in a line.
    fn line(&self, reading: &RingsReading) -> String {
        let bark = self.bark_of(reading);
        let depth = reading.depth_mm(bark);
        let angles = || {
            let at = |share| reading.angle_degrees(share, bark).middle;
            format!(
                "ring angle {:.0} degrees left, {:.0} center, {:.0} right",
                at(-1.0) + 0.0,
                at(0.0) + 0.0,
                at(1.0) + 0.0
            )
        };
        match (reading.pith_inside(), depth.high.is_finite()) {
            (true, _) => "Pith inside the board".to_owned(),
            (false, true) => format!(
                "Pith {} {}, {}",
                self.length(depth.middle.abs()),
                beside_face(depth.middle),
                self.side(reading.offset_mm(bark).middle)
            ),
            (false, false) => format!("Rings nearly straight: {}", angles()),
        }
    }

    fn side(&self, offset_mm: f64) -> String {
        if offset_mm.abs() < 0.05 {
            "on the center line".to_owned()
        } else {
            let side = if offset_mm > 0.0 { "right" } else { "left" };
            format!("{} {side} of the center line", self.length(offset_mm.abs()))
        }
    }

    /// The answer in plain words.
    #[must_use]
    pub fn words(&self) -> String {
        let mut text = String::new();
        let many = self.found.readings.len() > 1;
        for (k, reading) in self.found.readings.iter().enumerate() {
            let bark = self.bark_of(reading);
            if many {
                let _never_fails =
                    writeln!(text, "Reading {} of {}:", k + 1, self.found.readings.len());
            }
            let _never_fails = writeln!(text, "{}.", self.line(reading));
            let (depth, offset) = (reading.depth_mm(bark), reading.offset_mm(bark));
            let span = |band: Band| match (band.low.is_finite(), band.high.is_finite()) {
                (true, true) => format!("{} to {}", self.length(band.low), self.length(band.high)),
                (true, false) => format!("{} or more", self.length(band.low)),
                (false, true) => format!("{} or less", self.length(band.high)),
                (false, false) => "not known".to_owned(),
            };
            let _never_fails = write!(
                text,
                "\n  depth below the heart face    {}   (9 in 10)\n  right of the center line      {}   (9 in 10)\n",
                span(depth),
                span(offset)
            );
            for (name, share) in PLACES {
                let angle = reading.angle_degrees(share, bark);
                let label = format!("ring angle, {name}");
                let _never_fails = writeln!(
                    text,
                    "  {label:<28}  {:.0} degrees ({:.0} to {:.0})",
                    angle.middle + 0.0,
                    angle.low + 0.0,
                    angle.high + 0.0
                );
            }
            let (seen, sure) = reading.bark_face();
            let bark_words = match self.bark {
                Some(given) => format!("{} in the photo, as given", given.word()),
                None => format!(
                    "{} in the photo, as the rings curve ({:.0} chances in 100)",
                    seen.word(),
                    sure
                ),
            };
            let _never_fails = writeln!(text, "  {:<28}  {bark_words}", "bark side");
            if let Some((change, strains)) = &self.change {
                let cup = match reading.cup_mm(bark, Face::Bark, *strains) {
                    None => "none is given with the pith inside".to_owned(),
                    Some(cup) => {
                        let face = if cup.middle > 0.0 { "bark" } else { "heart" };
                        let (one, other) = (cup.low.abs(), cup.high.abs());
                        format!(
                            "{}, hollow on the {face} side ({} to {})",
                            self.length(cup.middle.abs()),
                            self.length(one.min(other)),
                            self.length(one.max(other))
                        )
                    }
                };
                let label = format!("cup, {change}");
                let _never_fails = writeln!(text, "  {label:<28}  {cup}");
            }
            let _never_fails = writeln!(text, "\n  In a job: {}\n", self.job_line(reading));
        }
        if !self.found.caveats.contains(&Caveat::TwoReadings) {
            text.push_str("Look at the figure before you use it (--svg FILE): do its lines follow the rings?\n");
        }
        for note in self.notes() {
            let _never_fails = writeln!(text, "Note: {note}.");
        }
        text
    }

    /// The rings drawn over the photo, given as an address that holds the picture.
    #[must_use]
    pub fn figure(&self, picture: String, size_px: (usize, usize)) -> RingsPhotoFigure {
        RingsPhotoFigure {
            name: self.name.to_owned(),
            picture,
            size: (size_px.0 as f64, size_px.1 as f64),
            corners: *self.corners.points(),
            readings: self
                .found
                .readings
                .iter()
                .map(|reading| PhotoRings {
                    lines: reading.lines(self.corners),
                    pith: reading.pith_px(self.corners),
                    words: self.line(reading),
                })
                .collect(),
        }
    }
}

fn as_written(length: Length) -> String {
    millimetres(length).replace(' ', "")
}

/// A pith as a job file has it.
#[must_use]
pub fn pith_keys(depth: Length, offset: Length) -> Vec<(&'static str, String)> {
    vec![
        ("pith_depth", as_written(depth)),
        ("pith_offset", as_written(offset)),
    ]
}

fn beside_face(depth_mm: f64) -> &'static str {
    if depth_mm >= 0.0 {
        "below the heart face"
    } else {
        "above the heart face, beside the board"
    }
}
