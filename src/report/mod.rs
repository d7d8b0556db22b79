//! Reports: findings as words for a terminal, as JSON and as one HTML file a maker keeps with the job.
//!
//! The room answers how a forecast is told: what to cut today and what to
//! change first, then the setup sheet, the figures, the numbers, the sources, and
//! last the sheet for the client. It needs findings and figures and adds no
//! number of its own.

mod html;
mod json;
mod panel;
mod setting;
mod text;
mod view;

pub use html::{html_page, plate};
pub use json::json;
pub use panel::PanelAnswer;
pub use text::{
    advice_sentence, bond_sentence, bond_table, cut_sentence, day_words, summary, system,
};
pub use view::{
    BigSize, Card, ClientView, Plate, PlateGroup, RemedyView, ReportView, SetupRow, Span, Stamp,
    TableView,
};

use crate::forecast::Forecast;

/// Every file of a report but the JSON: its name and its bytes.
#[must_use]
pub fn files(_forecast: &Forecast) -> Vec<(String, Vec<u8>)> {
    Vec::new()
}
