//! The depth budget as figures: every cut into the broad faces of a part, and the wood that each leaves.

use super::lazy_figure::LazyFigure;
use crate::chart::{CutView, DepthFigure, FigureIds, WoodTone};
use crate::forecast::{Forecast, PartFinding, SetupLine};
use crate::joint::depth::min_left;
use crate::joint::{Axis, CutFace};
use crate::units::UnitSystem;

/// A figure for each part that housings or grooves across its length are cut into, in the order of the job.
pub(super) fn depths<'a>(
    forecast: &'a Forecast,
    ids: &mut FigureIds,
    units: UnitSystem,
) -> Vec<LazyFigure<'a>> {
    forecast
        .parts
        .iter()
        .filter_map(|part| figure(part, &forecast.setup))
        .map(|figure| {
            let (part, title) = (figure.part.clone(), figure.title());
            LazyFigure::new(ids, ("depth", &part), title, move |id| {
                figure.draw(id, units)
            })
        })
        .collect()
}

fn figure(part: &PartFinding, setup: &[SetupLine]) -> Option<DepthFigure> {
    let faces = [CutFace::Inside, CutFace::Outside].map(CutFace::word);
    let mut cuts: Vec<CutView> = setup
        .iter()
        .filter(|line| line.part == part.name && line.along == Axis::Length)
        .filter(|line| faces.contains(&line.face))
        .filter_map(|line| {
            let from = line.from_reference;
            Some(CutView {
                name: line.joint.clone(),
                above: line.face == faces[0],
                from,
                to: from + line.width,
                depth: line.depth,
                left_behind: line.left_behind_mm?,
            })
        })
        .collect();
    cuts.sort_by(|a, b| a.from.mm().total_cmp(&b.from.mm()));
    let thickness = part.thickness;
    (!cuts.is_empty()).then(|| DepthFigure {
        part: part.name.clone(),
        tone: WoodTone::of_wood(&part.species),
        length: part.length,
        thickness,
        faces: faces.map(str::to_owned).into(),
        cuts,
        min: min_left(thickness),
    })
}
