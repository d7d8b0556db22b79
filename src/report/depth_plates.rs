//! The depth budget as figures: every cut into the broad faces of a part, and the wood that each leaves.

use super::sketch::Sketch;
use crate::chart::{CutView, DepthFigure, FigureIds, WoodTone};
use crate::forecast::{Forecast, PartFinding, SetupLine};
use crate::joint::depth::least_left;
use crate::joint::{Axis, CutFace};
use crate::units::{Length, UnitSystem};

/// A figure for each part that housings or grooves across its length are cut into, in the order of the job.
pub(super) fn depths<'a>(
    forecast: &'a Forecast,
    ids: &mut FigureIds,
    show: UnitSystem,
) -> Vec<Sketch<'a>> {
    forecast
        .parts
        .iter()
        .filter_map(|part| figure(part, &forecast.setup))
        .map(|figure| {
            let (part, title) = (figure.part.clone(), figure.title());
            Sketch::new(ids, ("depth", &part), title, move |id| {
                figure.draw(id, show)
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
            let from = Length::computed_mm(line.from_reference_mm);
            Some(CutView {
                name: line.joint.clone(),
                above: line.face == faces[0],
                from,
                to: from + Length::computed_mm(line.width_mm),
                depth: Length::computed_mm(line.depth_mm),
                left_behind: Length::computed_mm(line.left_behind_mm?),
            })
        })
        .collect();
    cuts.sort_by(|a, b| a.from.mm().total_cmp(&b.from.mm()));
    let thickness = Length::computed_mm(part.thickness_mm);
    (!cuts.is_empty()).then(|| DepthFigure {
        part: part.name.clone(),
        tone: WoodTone::of_wood(&part.species),
        length: Length::computed_mm(part.length_mm),
        thickness,
        faces: faces.map(str::to_owned).into(),
        cuts,
        least: least_left(thickness),
    })
}
