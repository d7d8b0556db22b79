//! The joints as figures: what holds, what moves, and the gaps of the year.

use super::lazy_figure::LazyFigure;
use crate::chart::{FigureIds, JointFigure, JointGap, WoodTone};
use crate::forecast::{DrawnJoint, Forecast};
use crate::joint::PartId;
use crate::units::UnitSystem;

/// A figure for each joint, in the order of the job.
pub(super) fn joints<'a>(
    forecast: &'a Forecast,
    ids: &mut FigureIds,
    units: UnitSystem,
) -> Vec<LazyFigure<'a>> {
    forecast
        .drawings
        .iter()
        .map(|joint| {
            let figure = figure(forecast, joint);
            let title = figure.title();
            LazyFigure::new(ids, ("joint", &joint.name), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect()
}

fn figure(forecast: &Forecast, joint: &DrawnJoint) -> JointFigure {
    let part = |id: PartId| {
        forecast.parts.get(id.0).map_or_else(
            || ("part".to_owned(), WoodTone::default()),
            |part| (part.name.clone(), WoodTone::of_wood(&part.species)),
        )
    };
    let fits = forecast.fits.get(joint.fits.clone()).unwrap_or_default();
    let bonds = forecast.bonds.get(joint.bonds.clone()).unwrap_or_default();
    JointFigure {
        joint: joint.name.clone(),
        into: part(joint.drawing.into),
        piece: part(joint.drawing.piece),
        scheme: joint.drawing.scheme.clone(),
        hold: joint.drawing.hold,
        gaps: fits
            .iter()
            .map(|fit| JointGap {
                words: fit.gap.clone(),
                min: fit.gap_min.middle,
                max: fit.gap_max.middle,
            })
            .collect(),
        glue: bonds.first().map(|bond| bond.to_do.clone()),
    }
}
