//! The pictures of the piece, from its boxes and the verdicts of its joints.

use crate::chance::Verdict;
use crate::chart::{
    AssemblyFigure, AssemblyMoveView, AssemblyPartView, CaseFrameFigure, FrameBoardView,
    FrameJointView, PictureBody, PictureJoint, PieceFigure, SeasonsBody, SeasonsFigure, WoodTone,
};
use crate::forecast::Forecast;
use crate::job::Job;
use crate::piece::{BoxFace, Piece};
use crate::units::Length;

fn bodies(piece: &Piece, species: impl Fn(usize) -> String) -> Vec<PictureBody> {
    piece
        .bodies
        .iter()
        .enumerate()
        .map(|(index, body)| PictureBody {
            name: body.name.clone(),
            group: body.group.map(|group| piece.groups[group].name.clone()),
            cuboid: body.cuboid,
            tone: WoodTone::of_wood(&species(body.part)),
            in_opening: piece
                .openings
                .iter()
                .any(|opening| opening.bodies.contains(&index)),
        })
        .collect()
}

fn places(piece: &Piece, pairs: &[[usize; 2]]) -> Vec<(crate::piece::Cuboid, [usize; 2])> {
    pairs
        .iter()
        .filter_map(|[a, b]| Some((piece.contact(*a, *b)?.shared, [*a, *b])))
        .collect()
}

/// What sits free in its opening is marked on itself, once in each of its groups.
fn in_openings(piece: &Piece, part: usize) -> Vec<(crate::piece::Cuboid, [usize; 2])> {
    let mut groups = Vec::new();
    let mut marked = Vec::new();
    for index in piece.bodies_of(part) {
        let body = &piece.bodies[index];
        if body.group.is_none() || !groups.contains(&body.group) {
            groups.push(body.group);
            marked.push((body.cuboid, [index, index]));
        }
    }
    marked
}

/// The piece as a client sees it: its parts, and no mark of any joint.
#[must_use]
pub(super) fn piece_for_client(forecast: &Forecast) -> Option<PieceFigure> {
    piece_of_forecast(forecast).map(|figure| PieceFigure {
        joints: Vec::new(),
        ..figure
    })
}

/// The piece of a job before it is forecast: its joints have no verdict yet.
#[must_use]
pub fn piece_of_job(job: &Job) -> Option<PieceFigure> {
    job.piece.outer()?;
    Some(PieceFigure {
        piece: job.name.clone(),
        bodies: bodies(&job.piece, |part| job.parts[part].species.clone()),
        joints: job
            .joints
            .iter()
            .map(|joint| PictureJoint {
                name: joint.name.clone(),
                verdict: None,
                places: places(&job.piece, &joint.bodies),
            })
            .collect(),
    })
}

/// The piece of a forecast, every joint with the worst verdict of its fits and bonds.
#[must_use]
pub fn piece_of_forecast(forecast: &Forecast) -> Option<PieceFigure> {
    forecast.placed.outer()?;
    let worse = |a: Option<Verdict>, b: Option<Verdict>| {
        let rank = |verdict: Option<Verdict>| match verdict {
            None => 0,
            Some(Verdict::Holds) => 1,
            Some(Verdict::Marginal) => 2,
            Some(Verdict::Fails) => 3,
        };
        if rank(b) > rank(a) { b } else { a }
    };
    Some(PieceFigure {
        piece: forecast.job.name.clone(),
        bodies: bodies(&forecast.placed, |part| {
            forecast.parts[part].species.clone()
        }),
        joints: forecast
            .drawings
            .iter()
            .map(|joint| {
                let fits = forecast.fits[joint.fits.clone()]
                    .iter()
                    .map(|fit| fit.verdict);
                let bonds = forecast.bonds[joint.bonds.clone()]
                    .iter()
                    .map(|bond| bond.verdict);
                PictureJoint {
                    name: joint.name.clone(),
                    verdict: fits.chain(bonds).map(Some).fold(None, worse),
                    places: if joint.bodies.is_empty() {
                        in_openings(&forecast.placed, joint.drawing.piece.0)
                    } else {
                        places(&forecast.placed, &joint.bodies)
                    },
                }
            })
            .collect(),
    })
}

/// The piece of a forecast with how each part moves through the year across its grain.
#[must_use]
pub(super) fn seasons_of_forecast(forecast: &Forecast) -> Option<SeasonsFigure> {
    forecast.placed.outer()?;
    let bodies = forecast
        .placed
        .bodies
        .iter()
        .map(|body| {
            let part = &forecast.parts[body.part];
            let [_, width, _] = body.sizes();
            let of_today = |size: Length| size / part.width;
            SeasonsBody {
                name: body.name.clone(),
                part: part.name.clone(),
                cuboid: body.cuboid,
                tone: WoodTone::of_wood(&part.species),
                across: body.orientation.width(),
                driest: width * (of_today(part.width_driest.middle) - 1.0),
                wettest: width * (of_today(part.width_wettest.middle) - 1.0),
            }
        })
        .collect();
    Some(SeasonsFigure {
        piece: forecast.job.name.clone(),
        bodies,
    })
}

/// The case of a forecast as one frame.
#[must_use]
pub(super) fn frame_of_forecast(forecast: &Forecast) -> Option<CaseFrameFigure> {
    let found = forecast.frame.as_ref()?;
    Some(CaseFrameFigure {
        boards: found
            .lines
            .iter()
            .zip(&found.boards)
            .map(|(line, board)| FrameBoardView {
                name: line.part.clone(),
                start: line.start,
                end: line.end,
                thickness: line.thickness,
                free: line.free.clone(),
                held: line.held.clone(),
                residual: board.residual.middle.abs(),
                turn_over: board.turn_over,
            })
            .collect(),
        joints: found
            .joints
            .iter()
            .map(|joint| FrameJointView {
                name: format!("{} in {}", joint.a, joint.b),
                at: joint.at,
                force: joint.force,
                moment_n_m: joint.moment_nm,
                verdict: joint.verdict,
            })
            .collect(),
    })
}

/// The stages of a forecast's assembly.
#[must_use]
pub(super) fn stages_of_forecast(forecast: &Forecast) -> Vec<AssemblyFigure> {
    let Some(found) = &forecast.assembly else {
        return Vec::new();
    };
    let toward = |word: &str| {
        BoxFace::ALL
            .into_iter()
            .find(|face| face.word() == word)
            .unwrap_or(BoxFace::Bottom)
    };
    found
        .stages
        .iter()
        .enumerate()
        .map(|(number, stage)| AssemblyFigure {
            number: number + 1,
            parts: found
                .parts
                .iter()
                .map(|part| AssemblyPartView {
                    name: part.name.clone(),
                    boxes: part.boxes.clone(),
                })
                .collect(),
            moves: stage
                .moves
                .iter()
                .map(|made| AssemblyMoveView {
                    body: made.moving.clone(),
                    into: made.still.clone(),
                    direction: toward(made.direction),
                })
                .collect(),
            glue_minutes: stage.glue_minutes,
            open_minutes: stage.open_minutes,
        })
        .collect()
}
