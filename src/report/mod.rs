//! Findings as terminal text, as JSON and as one self-contained HTML file.

mod json;
mod text;

pub use json::json;
pub use text::{
    advice_sentence, bond_sentence, bond_table, cut_sentence, day_words, summary, system,
};

use crate::forecast::Forecast;

/// Every file of a report but the JSON: its name and its bytes.
#[must_use]
pub fn files(_forecast: &Forecast) -> Vec<(String, Vec<u8>)> {
    Vec::new()
}
