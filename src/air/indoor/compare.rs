//! The model beside a house that was measured.

use super::{Heating, HouseMoisture, HumidityClass, Indoor, Occupancy};
use crate::air::year::mean_state;
use crate::air::{AirRecord, AirState, MonthOfAir, equilibrium_moisture};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// Fewest days of a month that both files must have.
const FEWEST_DAYS: usize = 14;

/// A month of a measured house beside what a model makes of the outdoor air. Humidities are means
/// of the days, percent; temperatures in C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthBeside {
    /// Calendar year.
    pub year: i16,
    /// 1 for January.
    pub month: i8,
    /// Days that both files have.
    pub days: usize,
    /// Mean temperature outdoors.
    pub outdoor_celsius: f64,
    /// Humidity outdoors.
    pub outdoor_percent: f64,
    /// Mean temperature measured indoors.
    pub measured_celsius: f64,
    /// Humidity measured indoors.
    pub measured_percent: f64,
    /// Humidity predicted from the outdoor air and the temperature measured indoors.
    pub predicted_percent: f64,
    /// Temperature indoors as the model heats it.
    pub heated_celsius: f64,
    /// Humidity predicted from the outdoor air alone, at the model's own temperature.
    pub unaided_percent: f64,
    /// Equilibrium moisture content in the air measured indoors, percent.
    pub measured_equilibrium: f64,
    /// The same in the air predicted at the temperature measured indoors.
    pub predicted_equilibrium: f64,
    /// The same in the air predicted from the outdoor air alone.
    pub unaided_equilibrium: f64,
}

/// A model beside a measured house: the months and how far the model is off, root mean square over
/// the months.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// The model.
    pub model: Indoor,
    /// The months that both files have at least half of.
    pub months: Vec<MonthBeside>,
    /// Error of the humidity when the temperature indoors is known, points of humidity.
    pub humidity_rms: f64,
    /// Mean of that error; positive when the model is too moist.
    pub humidity_bias: f64,
    /// Error of the humidity from the outdoor air alone, points of humidity.
    pub unaided_humidity_rms: f64,
    /// Error of the temperature as the model heats, K.
    pub temperature_rms: f64,
    /// Error of the equilibrium moisture content when the temperature is known, points of moisture.
    pub equilibrium_rms: f64,
    /// Error of the equilibrium moisture content from the outdoor air alone, points of moisture.
    pub unaided_equilibrium_rms: f64,
}

/// The models that a measured house is compared with, the default first.
#[must_use]
pub fn models() -> Vec<Indoor> {
    let excess = |pascals_at_freezing| HouseMoisture::Excess {
        pascals_at_freezing,
    };
    [
        HouseMoisture::default(),
        HouseMoisture::None,
        HouseMoisture::class(HumidityClass::One),
        excess(450.0),
        HouseMoisture::class(HumidityClass::Two),
        HouseMoisture::class(HumidityClass::Three),
        HouseMoisture::En15026(Occupancy::Normal),
        HouseMoisture::En15026(Occupancy::High),
    ]
    .map(|moisture| Indoor::new(Heating::En15026, moisture))
    .to_vec()
}

/// Sets what `model` makes of the outdoor air beside what was measured indoors on the same days;
/// `None` when no month has two weeks of days in both.
#[must_use]
pub fn compare(outdoor: &AirRecord, indoor: &AirRecord, model: &Indoor) -> Option<Comparison> {
    let outdoors = outdoor.grouped(|date| date);
    let mut days: BTreeMap<(i16, i8), Vec<Day>> = BTreeMap::new();
    for (date, indoors) in indoor.grouped(|date| date) {
        if let Some(outdoors) = outdoors.get(&date)
            && outdoors.len() >= 12
            && indoors.len() >= 12
        {
            days.entry((date.year(), date.month()))
                .or_default()
                .push(Day::of(date, outdoors, &indoors, model));
        }
    }
    let months: Vec<MonthBeside> = days
        .into_iter()
        .filter(|(_, days)| days.len() >= FEWEST_DAYS)
        .map(|((year, month), days)| month_beside(year, month, &days))
        .collect();
    if months.is_empty() {
        return None;
    }
    let count = months.len() as f64;
    let rms = |error: fn(&MonthBeside) -> f64| {
        (months.iter().map(|m| error(m).powi(2)).sum::<f64>() / count).sqrt()
    };
    Some(Comparison {
        model: *model,
        humidity_rms: rms(|m| m.predicted_percent - m.measured_percent),
        humidity_bias: months
            .iter()
            .map(|m| m.predicted_percent - m.measured_percent)
            .sum::<f64>()
            / count,
        unaided_humidity_rms: rms(|m| m.unaided_percent - m.measured_percent),
        temperature_rms: rms(|m| m.heated_celsius - m.measured_celsius),
        equilibrium_rms: rms(|m| m.predicted_equilibrium - m.measured_equilibrium),
        unaided_equilibrium_rms: rms(|m| m.unaided_equilibrium - m.measured_equilibrium),
        months,
    })
}

/// One day: air outdoors, measured indoors, predicted at the measured temperature and unaided.
struct Day {
    outdoor: MonthOfAir,
    measured: MonthOfAir,
    predicted: AirState,
    unaided: AirState,
}

impl Day {
    fn of(date: Date, outdoors: &[AirState], indoors: &[AirState], model: &Indoor) -> Self {
        let mean = mean_state(outdoors);
        let warmth = mean_state(indoors).temperature;
        Self {
            outdoor: MonthOfAir::of(None, date.month(), outdoors),
            measured: MonthOfAir::of(None, date.month(), indoors),
            predicted: model.air_at(mean, warmth),
            unaided: model.air(mean),
        }
    }
}

fn month_beside(year: i16, month: i8, days: &[Day]) -> MonthBeside {
    let mean =
        |value: &dyn Fn(&Day) -> f64| days.iter().map(value).sum::<f64>() / days.len() as f64;
    MonthBeside {
        year,
        month,
        days: days.len(),
        outdoor_celsius: mean(&|day| day.outdoor.celsius),
        outdoor_percent: mean(&|day| day.outdoor.humidity_percent),
        measured_celsius: mean(&|day| day.measured.celsius),
        measured_percent: mean(&|day| day.measured.humidity_percent),
        predicted_percent: mean(&|day| day.predicted.humidity.percent()),
        heated_celsius: mean(&|day| day.unaided.temperature.celsius()),
        unaided_percent: mean(&|day| day.unaided.humidity.percent()),
        measured_equilibrium: mean(&|day| day.measured.equilibrium_percent),
        predicted_equilibrium: mean(&|day| equilibrium_moisture(day.predicted).percent()),
        unaided_equilibrium: mean(&|day| equilibrium_moisture(day.unaided).percent()),
    }
}
