//! Drawings that the page lets a hand act on: the piece to point at, leaves to lay, a place's year of air, rings in a photo.

use super::answer::{Answerer, Worked};
use super::memory::Recent;
use super::photo::{read_photo, small_picture};
use super::question::Question;
use crate::air::AirYear;
use crate::chart::{AirYearFigure, Elevation, FigureIds, TargetOf};
use crate::forecast::Forecast;
use crate::job;
use crate::numerics::Deadline;
use crate::panel::{EndForward, FaceUp, Layout, Placed};
use crate::report::{self, RingsAnswer, Span, laid_by_hand, pith_keys, plate};
use crate::rings::{BarkFace, Corners, EndSize, Photo, PithByHand, find_corners, read_rings};
use crate::units::spanned::ReadNotation;
use crate::units::{Length, Refusal, UnitSystem};
use serde::Deserialize;
use serde_json::{Map, Value, json};
use std::sync::Arc;

/// A layout that is tried.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LayoutAsked {
    /// The job it belongs to.
    pub(super) question: Question,
    /// The panel's name.
    panel: String,
    /// Its leaves row by row, from left to right.
    rows: Vec<Vec<LeafLaid>>,
}

/// A leaf as it is laid.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
struct LeafLaid {
    /// Which leaf, from 0.
    leaf: usize,
    /// Whether its back is up.
    over: bool,
    /// Whether its far end is forward.
    round: bool,
}

/// A place whose air is drawn.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AirAsked {
    /// The job it belongs to.
    pub(super) question: Question,
    /// The place.
    place: String,
    /// The job's text as it was before, where that is drawn too.
    #[serde(default)]
    before: Option<String>,
}

/// A photo whose rings are read, or laid by hand.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RingsAsked {
    /// The dropped photo's id.
    id: String,
    /// Its name.
    name: String,
    /// Width of the board, mm.
    width_mm: f64,
    /// Its thickness, mm.
    thickness_mm: f64,
    /// The corners of the end in pixels, clockwise from the upper left; found unless given.
    #[serde(default)]
    corners: Option<[[f64; 2]; 4]>,
    /// Which face is toward the bark; as the rings curve unless given.
    #[serde(default)]
    bark: Option<String>,
    /// A pith put by hand, in pixels; then nothing is read.
    #[serde(default)]
    pith: Option<[f64; 2]>,
    /// Whether inches come first.
    #[serde(default)]
    inch: bool,
    /// Whether the photo itself is wanted too.
    #[serde(default)]
    picture: bool,
}

const AGAIN: &str = "load the page again";

/// What can be pointed at in the views of the piece that are wanted: outlines in the figure's pixels, and the place of the
/// part or joint in the job file.
pub(super) fn targets(worked: &Worked, wanted: impl Fn(&str) -> bool) -> Value {
    let forecast = &worked.forecast;
    let mut views = Map::new();
    let Some(figure) = report::piece_of_forecast(forecast) else {
        return Value::Null;
    };
    let mut ids = FigureIds::new();
    for view in Elevation::ALL {
        let id = ids.next("piece", view.word());
        if !wanted(&id) {
            continue;
        }
        let list: Vec<Value> = figure
            .targets(view)
            .into_iter()
            .filter_map(|target| {
                let (at, name, verdict) = match target.of {
                    TargetOf::Body(index) => {
                        let part = forecast.placed.bodies[index].part;
                        let name = forecast.parts[part].name.clone();
                        (json!(["parts", part]), name, None)
                    }
                    TargetOf::Joint(index) => {
                        let joint = &figure.joints[index];
                        let at = worked.place_of(&joint.name)?;
                        (at, joint.name.clone(), joint.verdict)
                    }
                };
                Some(json!({
                    "at": at,
                    "name": name,
                    "verdict": verdict.map(crate::chance::Verdict::word),
                    "shapes": target.shapes,
                }))
            })
            .collect();
        views.insert(id, Value::from(list));
    }
    Value::Object(views)
}

/// Which parts meet, by their places in the job file: the one whose end goes in first, where that is known.
pub(super) fn meetings(forecast: &Forecast) -> Value {
    let mut pairs: Vec<[usize; 2]> = Vec::new();
    for contact in &forecast.placed.contacts {
        let (piece, into) = match contact.piece {
            Some(piece) if piece == contact.b => (contact.b, contact.a),
            _ => (contact.a, contact.b),
        };
        let pair = [piece, into].map(|body| forecast.placed.bodies[body].part);
        if pair[0] != pair[1] && !pairs.contains(&pair) {
            pairs.push(pair);
        }
    }
    json!(pairs)
}

/// Panels as they can be laid: their leaves and the best layout.
pub(super) fn panels(forecast: &Forecast) -> Vec<Value> {
    forecast
        .panels
        .iter()
        .map(|study| {
            let leaves: Vec<&str> = study
                .panel
                .leaves()
                .iter()
                .map(|leaf| leaf.name.as_str())
                .collect();
            let rows = study.best.layouts.first().map(|best| {
                let row = |row: &Vec<Placed>| -> Vec<Value> {
                    row.iter()
                        .map(|placed| {
                            json!({
                                "leaf": placed.leaf,
                                "over": placed.face_up == FaceUp::Back,
                                "round": placed.end_forward == EndForward::Far,
                            })
                        })
                        .collect()
                };
                best.layout.rows.iter().map(row).collect::<Vec<_>>()
            });
            json!({ "name": study.name, "leaves": leaves, "best": rows })
        })
        .collect()
}

/// The last photo that was decoded, by its id.
pub(super) type Photos = Recent<String, Photo>;

impl Answerer {
    /// A layout that somebody tries.
    ///
    /// # Errors
    /// In words, when the job does not read or the layout is none of its leaves.
    pub(super) fn laid(
        &self,
        asked: &LayoutAsked,
        deadline: Deadline<'_>,
    ) -> Result<Value, Refusal> {
        let worked = self
            .work(&asked.question, deadline)
            .map_err(|_| Refusal::new("the job does not read", "fix what is listed first"))?;
        let study = worked
            .forecast
            .panels
            .iter()
            .find(|study| study.name == asked.panel)
            .ok_or_else(|| Refusal::new("there is no such panel", AGAIN))?;
        let mut laid: Vec<usize> = asked.rows.iter().flatten().map(|one| one.leaf).collect();
        laid.sort_unstable();
        if !laid.iter().copied().eq(0..study.panel.leaves().len()) {
            return Err(Refusal::new("every leaf is laid once", AGAIN));
        }
        let layout = Layout {
            rows: asked
                .rows
                .iter()
                .map(|row| row.iter().map(placed).collect())
                .collect(),
        };
        let units = worked.units();
        let (figures, words) = laid_by_hand(study, &layout, units);
        let figures: Vec<String> = figures
            .iter()
            .map(|figure| plate(figure, Span::Wide).into_string())
            .collect();
        Ok(json!({ "figures": figures, "words": words }))
    }

    /// The year of a place's air, beside what it was before.
    ///
    /// # Errors
    /// In words, when the air of that place cannot be read.
    pub(super) fn air(&self, asked: &AirAsked) -> Result<Value, Refusal> {
        let now = self
            .year(&asked.question, &asked.question.text, &asked.place)
            .ok_or_else(|| {
                Refusal::new(
                    "the air of this place cannot be read yet",
                    "fix its form first",
                )
            })?;
        let before = asked
            .before
            .as_deref()
            .and_then(|text| self.year(&asked.question, text, &asked.place));
        let daily = |year: &AirYear| -> Vec<f64> {
            year.daily()
                .iter()
                .map(|state| state.humidity.percent())
                .collect()
        };
        let figure = AirYearFigure {
            place: asked.place.clone(),
            now_percent: daily(&now),
            before_percent: before.as_ref().map(daily),
        };
        let drawn = figure.draw(&FigureIds::new().next("air", &asked.place));
        Ok(json!({ "figure": plate(&drawn, Span::Half).into_string() }))
    }

    fn year(&self, question: &Question, text: &str, place: &str) -> Option<AirYear> {
        let job = job::read(text, &question.name).ok()?;
        let index = job.places.iter().position(|one| one.name == place)?;
        let airs = job.airs(|file| self.file(file, &question.files)).ok()?;
        airs.into_iter().nth(index).map(|air| air.year)
    }

    /// The rings of a dropped photo.
    ///
    /// # Errors
    /// In words, when the photo is not here, or holds no end that can be read.
    pub(super) fn rings(&self, asked: &RingsAsked) -> Result<Value, Refusal> {
        let photo = self.photo(&asked.id)?;
        let bark = match asked.bark.as_deref() {
            None => None,
            Some(word) => Some(BarkFace::read(word)?),
        };
        let given = asked.corners.map(Corners::new).transpose()?;
        let corners = match given.or_else(|| find_corners(&photo)) {
            Some(corners) => corners,
            None => in_the_middle(&photo)?,
        };
        let size = EndSize::new(
            Length::from_mm_unchecked(asked.width_mm),
            Length::from_mm_unchecked(asked.thickness_mm),
        )?;
        let whole = json!([photo.width(), photo.height()]);
        let picture = asked.picture.then(|| small_picture(&photo)).flatten();
        if let Some(pixel) = asked.pith {
            let pith = PithByHand::under(&size, &corners, pixel).ok_or_else(|| {
                Refusal::new("there is no pith at this point", "put it elsewhere")
            })?;
            let (depth, offset) = pith.depth_and_offset(bark.unwrap_or(BarkFace::Up));
            return Ok(json!({
                "size_px": whole,
                "corners": corners.points(),
                "readings": [{
                    "lines": pith.lines(&corners),
                    "pith": pixel,
                    "words": "as you put it",
                    "rings": keys(pith_keys(depth, offset)),
                }],
                "notes": [],
            }));
        }
        let mut answer = json!({
            "size_px": whole,
            "corners": corners.points(),
            "corners_found": given.is_none(),
            "picture": picture,
            "readings": [],
            "notes": [],
        });
        let mut found = match read_rings(&photo, &corners, &size) {
            Ok(found) => found,
            // The photo still shows where the corners are off.
            Err(error) => {
                answer["notes"] = json!([error.to_string()]);
                return Ok(answer);
            }
        };
        if let Some(bark) = bark {
            found.prefer(bark);
        }
        let said = RingsAnswer {
            name: &asked.name,
            found: &found,
            corners: &corners,
            corners_found: given.is_none(),
            thickness_from_photo: false,
            bark,
            change: None,
            system: if asked.inch {
                UnitSystem::Inch
            } else {
                UnitSystem::Metric
            },
        };
        let drawn = said.figure(String::new(), (photo.width(), photo.height()));
        let object = said.object();
        answer["readings"] = found
            .readings
            .iter()
            .zip(&drawn.readings)
            .zip(object["readings"].as_array().into_iter().flatten())
            .map(|((reading, drawn), numbers)| {
                json!({
                    "lines": drawn.lines,
                    "pith": drawn.pith,
                    "words": drawn.words,
                    "rings": keys(said.job_keys(reading)),
                    "bark": numbers["bark"],
                })
            })
            .collect();
        answer["verdict"] = object["verdict"].clone();
        answer["notes"] = object["notes"].clone();
        Ok(answer)
    }

    fn photo(&self, id: &str) -> Result<Arc<Photo>, Refusal> {
        self.photos.get_or(id.to_owned(), || {
            let bytes = self
                .dropped
                .bytes(id)
                .ok_or_else(|| Refusal::new("the photo is no longer here", "drop it again"))?;
            read_photo(&bytes)
        })
    }
}

fn keys(list: Vec<(&'static str, String)>) -> Value {
    list.into_iter()
        .map(|(key, value)| (key.to_owned(), Value::from(value)))
        .collect::<Map<_, _>>()
        .into()
}

fn placed(one: &LeafLaid) -> Placed {
    Placed {
        leaf: one.leaf,
        face_up: if one.over { FaceUp::Back } else { FaceUp::Sawn },
        end_forward: if one.round {
            EndForward::Far
        } else {
            EndForward::Near
        },
    }
}

/// Corners to begin with where none were found: the middle of the photo, to be dragged.
fn in_the_middle(photo: &Photo) -> Result<Corners, Refusal> {
    let (width, height) = (photo.width() as f64, photo.height() as f64);
    let at = |across: f64, down: f64| [width * across, height * down];
    Corners::new([at(0.1, 0.35), at(0.9, 0.35), at(0.9, 0.65), at(0.1, 0.65)])
}
