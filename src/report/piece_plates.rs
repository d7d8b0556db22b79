//! The pictures of the piece, from its boxes and the verdicts of its joints.

use crate::chance::Verdict;
use crate::chart::{PictureBody, PictureJoint, PieceFigure, WoodTone};
use crate::forecast::Forecast;
use crate::job::Job;
use crate::piece::Piece;

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
                    places: places(&forecast.placed, &joint.bodies),
                }
            })
            .collect(),
    })
}
