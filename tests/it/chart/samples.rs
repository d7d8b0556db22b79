//! Figures of an invented sideboard, for the tests to draw.

use heartside::chart::{
    DailyBand, DayMark, Figure, GapFigure, Limit, MoistureYearFigure, SectionFigure, SectionState,
    WoodTone,
};
use heartside::movement::{RingStrains, Rings, Section};
use heartside::units::{Angle, Curvature, Length, MoistureContent, Strain};

pub fn mm(value: f64) -> Length {
    Length::from_mm(value).unwrap()
}

pub fn percent(value: f64) -> MoistureContent {
    MoistureContent::from_percent(value).unwrap()
}

/// A year as a wave: the least on day `low`, swinging by `swing` about `middle`.
pub fn wave(middle: f64, swing: f64, low: usize) -> Vec<f64> {
    (0..365)
        .map(|day| {
            let turn = (day as f64 - low as f64) / 365.0 * std::f64::consts::TAU;
            middle - swing * turn.cos()
        })
        .collect()
}

pub fn moisture() -> MoistureYearFigure {
    let mean = wave(7.2, 1.5, 40);
    let first = (0..365)
        .map(|i| {
            let day: usize = (323 + i) % 365;
            mean[day] + (9.8 - mean[323]) * (-(i as f64) / 35.0).exp()
        })
        .collect();
    MoistureYearFigure {
        part: "top".into(),
        band_percent: Some(DailyBand {
            low: mean.iter().map(|m| m - 0.7).collect(),
            high: mean.iter().map(|m| m + 0.8).collect(),
        }),
        mean_percent: mean,
        first_year: Some(DayMark {
            day: 323,
            value: first,
        }),
        measured: Some(DayMark {
            day: 277,
            value: percent(9.5),
        }),
    }
}

pub fn gap() -> GapFigure {
    let gap = wave(3.1, -1.4, 40);
    GapFigure {
        joint: "Back panel in its grooves, left".into(),
        measure: "room in the groove".into(),
        band_mm: Some(DailyBand {
            low: gap.iter().map(|g| g - 0.6).collect(),
            high: gap.iter().map(|g| g + 0.6).collect(),
        }),
        gap_mm: gap,
        least: Some(Limit::Level(mm(1.0))),
        greatest: Some(Limit::Daily(wave(6.0, 0.05, 40))),
        too_tight: "the panel pushes the frame apart".into(),
        too_loose: "too little of the panel is left in the groove".into(),
        cut: Some(DayMark {
            day: 277,
            value: mm(1.9),
        }),
        cut_words: Some("Cut the groove 11 mm deep.".into()),
    }
}

pub fn section_of(rings: Rings, width: f64, thickness: f64, tone: WoodTone) -> SectionFigure {
    let section = Section {
        width: mm(width),
        thickness: mm(thickness),
        rings,
    };
    let state = |when: &str, at: f64, radial: f64, tangential: f64| SectionState {
        when: when.into(),
        moisture: percent(at),
        moved: section.moved(RingStrains {
            radial: Strain::from_ratio(radial).unwrap(),
            tangential: Strain::from_ratio(tangential).unwrap(),
        }),
        slope_bend: Curvature::ZERO,
    };
    SectionFigure {
        part: "case side".into(),
        tone,
        section,
        when: "today, 5 Oct".into(),
        moisture: percent(9.5),
        states: vec![
            state("driest, 10 Feb", 5.7, -0.0068, -0.0102),
            state("wettest, 12 Aug", 8.7, -0.0014, -0.0021),
        ],
    }
}

pub fn around(depth: f64, offset: f64) -> Rings {
    Rings::Pith {
        depth: mm(depth),
        offset: mm(offset),
    }
}

pub fn straight(degrees: f64) -> Rings {
    Rings::Straight {
        angle: Angle::from_degrees(degrees).unwrap(),
    }
}

/// Writes a figure where it can be looked at, and gives its text.
pub fn kept(figure: &Figure) -> String {
    let svg = figure.svg_file();
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("figures");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(figure.file_name()), &svg).unwrap();
    svg
}
