//! Air that no room and no climate has, which is how a wrong unit or a swapped column shows.
//!
//! The limits are judgement. The hottest month anywhere has a mean near 40 C (Death Valley, from memory); no month's mean
//! humidity is under a few percent.

use super::MonthOfAir;
use crate::units::notation::MONTHS;

/// No month's mean temperature is above this, C.
const HOTTEST_MONTH: f64 = 43.0;
/// All months of a year above this, C, are no climate and no room.
const HOT_ALL_YEAR: f64 = 32.0;
/// No month's mean humidity is below this, percent.
const DRIEST_MONTH: f64 = 4.0;
/// Months this cold, C, read in Fahrenheit, ask whether they are Celsius.
const COLD: f64 = 0.0;
/// What a room's thermometer in Celsius reads.
const ROOM_CELSIUS: std::ops::RangeInclusive<f64> = 8.0..=32.0;

/// Where temperature and humidity come from, as a caution calls them.
#[derive(Debug, Clone, Copy)]
pub struct Columns<'a> {
    /// The temperature's column or key.
    pub temperature: &'a str,
    /// The humidity's column or key.
    pub humidity: &'a str,
    /// Whether temperatures were read in Fahrenheit.
    pub fahrenheit: bool,
    /// What to do about a wrong unit of temperature.
    pub unit_remedy: &'a str,
}

fn name(month: i8) -> &'static str {
    usize::try_from(month - 1)
        .ok()
        .and_then(|index| MONTHS.get(index).copied())
        .unwrap_or("a month")
}

fn fahrenheit(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

/// What makes no sense in the months of some air, each with its column and the reason.
#[must_use]
pub fn cautions(months: &[MonthOfAir], columns: &Columns<'_>) -> Vec<String> {
    let by_celsius = |a: &&MonthOfAir, b: &&MonthOfAir| a.celsius.total_cmp(&b.celsius);
    let (Some(warmest), Some(coldest)) = (
        months.iter().max_by(by_celsius),
        months.iter().min_by(by_celsius),
    ) else {
        return Vec::new();
    };
    let Columns {
        temperature,
        humidity,
        unit_remedy,
        ..
    } = columns;
    let mut cautions = Vec::new();
    let mean =
        |of: fn(&MonthOfAir) -> f64| months.iter().map(of).sum::<f64>() / months.len() as f64;
    let humid = mean(|month| month.humidity_percent);
    // Numbers that would read well the other way round: percent on the thermometer, degrees on the hygrometer.
    let swapped = warmest.celsius <= 100.0
        && (coldest.celsius > HOT_ALL_YEAR || warmest.celsius > HOTTEST_MONTH)
        && ROOM_CELSIUS.contains(&humid)
        && months
            .iter()
            .all(|month| ROOM_CELSIUS.contains(&month.humidity_percent));
    if warmest.celsius > HOTTEST_MONTH || (coldest.celsius > HOT_ALL_YEAR && swapped) {
        let read = format!(
            "`{temperature}` has a {} of {:.0} C, and no room or climate is that warm",
            name(warmest.month),
            warmest.celsius
        );
        let celsius = (warmest.celsius - 32.0) / 1.8;
        cautions.push(if swapped {
            format!(
                "{read}: check whether `{temperature}` and `{humidity}` are swapped, or whether the temperature is in Fahrenheit ({:.0} F is {celsius:.0} C); {unit_remedy}",
                warmest.celsius
            )
        } else if celsius <= HOTTEST_MONTH {
            format!(
                "{read}: it is likely in Fahrenheit ({:.0} F is {celsius:.0} C); {unit_remedy}",
                warmest.celsius
            )
        } else {
            format!("{read}; check the readings")
        });
    }
    if columns.fahrenheit
        && warmest.celsius < COLD
        && months
            .iter()
            .all(|month| ROOM_CELSIUS.contains(&fahrenheit(month.celsius)))
    {
        cautions.push(format!(
            "`{temperature}` reads {:.0} F in its warmest month, which is {:.0} C: it is likely in Celsius; {unit_remedy}",
            fahrenheit(warmest.celsius),
            warmest.celsius
        ));
    }
    let wettest = months
        .iter()
        .map(|month| month.humidity_percent)
        .fold(0.0, f64::max);
    if wettest <= 1.5 && wettest > 0.0 {
        cautions.push(format!(
            "`{humidity}` is {wettest:.2} % in its wettest month, and no air is that dry: it is likely a fraction, {wettest:.2} for {:.0} %",
            100.0 * wettest
        ));
    } else if let Some(driest) = months
        .iter()
        .min_by(|a, b| a.humidity_percent.total_cmp(&b.humidity_percent))
        .filter(|month| month.humidity_percent < DRIEST_MONTH)
    {
        cautions.push(format!(
            "`{humidity}` is {:.1} % in {}, and no air is that dry for a month; check it",
            driest.humidity_percent,
            name(driest.month)
        ));
    }
    cautions
}
