//! Reports: findings as words for a terminal, as JSON and as one HTML file a maker keeps with the job.
//!
//! The room answers how a forecast is given: what to cut today and what to
//! change first, then the bench sheet, the figures, the numbers, the sources, and
//! last the sheet for the client. It needs findings and figures and adds no
//! number of its own. The order and the words are this project's: plain words first, the number second, the picture third.

mod bench_sheet;
mod calendar;
mod cards;
mod depth_plates;
mod digest;
mod html;
mod joint_plates;
mod json;
mod keyed;
mod lazy_figure;
mod log_plate;
mod panel;
mod piece_list;
mod piece_plates;
mod plates;
mod resaw;
mod rings;
mod setting;
mod sheet_page;
mod shop_words;
mod standing;
mod standing_cards;
mod standing_plates;
mod standing_spread;
mod standing_words;
mod statements;
mod story;
mod summary;
mod tables;
mod text;
mod view;

pub use bench_sheet::{BenchRow, BenchSheet};
pub use calendar::{CalendarDay, calendar, ics};
pub use digest::digest;
pub use html::{Pieces, html_page, page_style, pieces, plate};
pub use json::json;
pub use keyed::keyed;
pub use lazy_figure::{LazyFigure, SketchGroup};
pub use panel::PanelAnswer;
pub use piece_list::{ListLine, ListTotal, PieceList};
pub use piece_plates::{piece_of_forecast, piece_of_job};
pub use plates::{Plates, Sketches, laid_by_hand, plates, sketches};
pub use resaw::{
    BoardAnswer, instruction_words as strip_instruction_words, instructions as strip_instructions,
};
pub use rings::{RingsAnswer, pith_keys};
pub use sheet_page::{Paper, sheet_page};
pub use shop_words::ShopWords;
#[cfg(feature = "cli")]
pub(crate) use standing::verdict;
pub use standing::{ShelfAnswer, ShelfBands, StandingAnswer};
pub use standing_plates::site_of_forecast;
pub use statements::Statements;
pub use story::{report_view, report_view_before, view_without_figures};
pub use summary::summary;
pub use text::{
    bond_table, cut_sentence, dates_in_words, day_words, full_text, size_words, system, year_words,
};
pub use view::{
    BigSize, Card, ClientView, FigureSlot, PlateGroup, RemedyView, ReportView, Span, StepLine,
    StepsView, TableView,
};

use crate::chart::Figure;
use crate::forecast::Forecast;
use rayon::prelude::*;

/// Every file of a report but the JSON, its name and its bytes: `report.html`, `calendar.ics` and one SVG a figure.
#[must_use]
pub fn files(forecast: &Forecast) -> Vec<(String, Vec<u8>)> {
    let view = report_view(forecast);
    let words = ShopWords::of(forecast);
    let shown = |markup: String| words.markup(&markup).into_owned().into_bytes();
    let groups = view.decisions.iter().chain(&view.groups);
    let of_groups = groups.flat_map(|group| &group.plates);
    let of_groups = of_groups.map(|plate| &plate.figure);
    let figures: Vec<&Figure> = view.picture.iter().chain(of_groups).collect();
    let page = || {
        vec![
            ("report.html".to_owned(), shown(html_page(&view))),
            ("calendar.ics".to_owned(), ics(forecast).into_bytes()),
        ]
    };
    let pictures = || {
        figures
            .par_iter()
            .map(|figure| (figure.file_name(), shown(figure.svg_file())))
            .collect::<Vec<_>>()
    };
    let (mut files, pictures) = rayon::join(page, pictures);
    files.extend(pictures);
    files
}
