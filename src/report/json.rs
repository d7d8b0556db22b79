//! `forecast.json`.

use crate::forecast::Forecast;

/// The forecast as JSON text: metric, keys end in their unit, same forecast same bytes.
///
/// Numbers that are not finite have no JSON; the forecast holds none.
#[must_use]
pub fn json(forecast: &Forecast) -> String {
    let mut text = serde_json::to_string_pretty(forecast).unwrap_or_default();
    text.push('\n');
    text
}
