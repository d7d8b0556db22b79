//! What stands where in a logger's table.

use super::cell::{Cell, Unit, cell};
use super::clock::{Stamp, stamp};
use super::columns::{Choice, Column, Kind, choose, column, is_header};
use super::table::{Row, Table};
use super::{Options, Unread, error};
use crate::air::DropReason;
use crate::air::psychrometrics::saturation_pressure_pa_at;
use crate::units::Bounds;

/// Rows looked at to find the header and the columns of times.
const SAMPLE: usize = 200;

/// Mean above which readings without a unit cannot be degrees Celsius of a room or of weather.
const WARMEST_CELSIUS_MEAN: f64 = 45.0;

/// Where times stand.
pub(super) struct Times {
    pub(super) date: usize,
    /// The column of the time of day where it is parted from the date.
    clock: Option<usize>,
}

impl Times {
    pub(super) fn stamp(&self, row: &Row) -> Option<Stamp> {
        let date = stamp(row.cell(self.date))?;
        date.date?;
        match self.clock {
            None => Some(date),
            Some(clock) => Some(Stamp {
                clock: Some(stamp(row.cell(clock))?.clock?),
                ..date
            }),
        }
    }

    pub(super) fn headers(&self, columns: &[Column]) -> Vec<String> {
        [Some(self.date), self.clock]
            .into_iter()
            .flatten()
            .filter_map(|index| columns.get(index))
            .map(|column| column.header.clone())
            .collect()
    }

    /// By what the cells hold: the first column with dates and times of day; else the first with
    /// dates and the first with times of day.
    pub(super) fn find(rows: &[Row], columns: &[Column]) -> Result<Self, Unread> {
        let sample = &rows[..rows.len().min(SAMPLE)];
        let mut dates = None;
        let mut clocks = None;
        for index in 0..columns.len() {
            let (mut both, mut date, mut clock, mut filled) = (0, 0, 0, 0);
            for row in sample {
                let text = row.cell(index);
                filled += usize::from(!text.is_empty());
                match stamp(text).map(|stamp| (stamp.date.is_some(), stamp.clock.is_some())) {
                    Some((true, true)) => both += 1,
                    Some((true, false)) => date += 1,
                    Some((false, _)) => clock += 1,
                    None => {}
                }
            }
            let most = |count: usize| count > 0 && 2 * count >= filled;
            if most(both) {
                return Ok(Self {
                    date: index,
                    clock: None,
                });
            }
            if most(date) {
                dates.get_or_insert(index);
            } else if most(clock) {
                clocks.get_or_insert(index);
            }
        }
        match (dates, clocks) {
            (Some(date), clock) => Ok(Self { date, clock }),
            (None, Some(clock)) => Err(error::no_dates(&columns[clock]).into()),
            (None, None) => Err(error::no_times(columns).into()),
        }
    }
}

/// What stands where in the table.
pub(super) struct Layout {
    pub(super) columns: Vec<Column>,
    pub(super) header_line: Option<u64>,
    pub(super) first_row: usize,
    pub(super) times: Times,
    pub(super) choice: Choice,
}

impl Layout {
    pub(super) fn find(table: &Table, options: &Options) -> Result<Self, Unread> {
        let rows = &table.rows;
        let is_data = |row: &Row| {
            row.filled() + 1 >= table.usual_fields.min(3)
                && row
                    .cells()
                    .any(|cell| stamp(cell).is_some_and(|s| s.date.is_some()))
                && row
                    .cells()
                    .any(|text| matches!(cell(text), Cell::Number(..)))
        };
        let sample = &rows[..rows.len().min(SAMPLE)];
        // The last row that reads as a header before data begin; else the row above the data.
        let named = sample
            .iter()
            .rposition(|row| !is_data(row) && is_header(row.cells()));
        let first_data = sample.iter().position(is_data);
        let header = match (named, first_data) {
            (Some(named), _) => Some(named),
            (None, Some(data)) => data
                .checked_sub(1)
                .filter(|above| rows[*above].filled() + 1 >= table.usual_fields),
            (None, None) => sample
                .iter()
                .position(|row| row.filled() + 1 >= table.usual_fields),
        };
        let first_row = header.map_or_else(|| first_data.unwrap_or(0), |header| header + 1);
        let mut columns: Vec<Column> = match header {
            Some(header) => rows[header]
                .cells()
                .enumerate()
                .map(|(index, cell)| column(index, cell))
                .collect(),
            None => (0..table.usual_fields)
                .map(|index| column(index, &format!("column {}", index + 1)))
                .collect(),
        };
        let body = &rows[first_row..];
        check_decimal_commas(table, header, body)?;
        // A row of units may stand under the header.
        let units = body.first().filter(|row| !is_data(row) && header.is_some());
        if let Some(units) = units {
            for column in &mut columns {
                let below = super::columns::column(column.index, units.cell(column.index));
                if column.unit.is_none() && column.kind != Kind::Humidity {
                    column.unit = below.unit;
                }
            }
        }
        let unit_rows = usize::from(units.is_some_and(is_units));
        let first_row = first_row + unit_rows;
        let times = Times::find(&rows[first_row..], &columns)?;
        let values: Vec<Column> = columns
            .iter()
            .map(|column| {
                let mut column = column.clone();
                if column.index == times.date || Some(column.index) == times.clock {
                    column.kind = Kind::Other;
                }
                column
            })
            .collect();
        let choice = choose(&values, &options.columns)?;
        Ok(Self {
            header_line: header.map(|header| rows[header].line),
            columns,
            first_row,
            times,
            choice,
        })
    }

    /// The unit of the temperature: of the header, else of the cells, else as given; Celsius where
    /// nothing tells, and then it is said.
    pub(super) fn unit(
        &self,
        rows: &[Row],
        options: &Options,
        notes: &mut Vec<String>,
    ) -> Result<Unit, Unread> {
        let column = &self.choice.temperature;
        if let Some(unit) = column.unit {
            return Ok(unit);
        }
        let (mut sum, mut count) = (0.0, 0.0);
        for row in rows {
            match cell(row.cell(column.index)) {
                Cell::Number(_, Some(unit)) => return Ok(unit),
                Cell::Number(value, None) if value > -100.0 && value < 150.0 => {
                    sum += value;
                    count += 1.0;
                }
                _ => {}
            }
        }
        match options.fahrenheit {
            Some(true) => return Ok(Unit::Fahrenheit),
            Some(false) => return Ok(Unit::Celsius),
            None => {}
        }
        if count > 0.0 && sum / count > WARMEST_CELSIUS_MEAN {
            return Err(error::unit_unknown(&column.header, sum / count));
        }
        notes.push(format!(
            "`{}` names no unit: it is read as degrees Celsius",
            column.header
        ));
        Ok(Unit::Celsius)
    }

    /// Whether the humidity is given as a share: it never exceeds 1, though no air is that dry.
    pub(super) fn humidity_is_share(&self, rows: &[Row]) -> bool {
        let column = &self.choice.moisture;
        let mut most = 0.0_f64;
        for row in rows {
            if let Cell::Number(value, _) = cell(row.cell(column.index))
                && value.abs() < 1000.0
            {
                most = most.max(value);
            }
        }
        column.kind == Kind::Humidity && !column.header.contains('%') && most > 0.0 && most <= 1.0
    }

    /// Temperature in C and humidity in percent of a row, or why it has none.
    pub(super) fn values(
        &self,
        row: &Row,
        unit: Unit,
        share: bool,
    ) -> Result<(f64, f64), DropReason> {
        let number = |column: &Column| match cell(row.cell(column.index)) {
            Cell::Number(value, unit) => Ok((value, unit)),
            Cell::Empty => Err(DropReason::EmptyCell),
            Cell::Text => Err(DropReason::NotANumber),
        };
        let in_range = |celsius: f64| {
            Bounds::TEMPERATURE
                .check(celsius)
                .map_err(|_| DropReason::TemperatureOutOfRange)
        };
        let (value, own_unit) = number(&self.choice.temperature)?;
        let (moist, moist_unit) = number(&self.choice.moisture)?;
        let celsius = in_range(own_unit.unwrap_or(unit).celsius(value))?;
        let percent = if self.choice.moisture.kind == Kind::DewPoint {
            let moist_unit = moist_unit.or(self.choice.moisture.unit).unwrap_or(unit);
            let dew = in_range(moist_unit.celsius(moist))?;
            100.0 * saturation_pressure_pa_at(dew) / saturation_pressure_pa_at(celsius)
        } else if share {
            100.0 * moist
        } else {
            moist
        };
        if percent <= 0.0 {
            Err(DropReason::HumidityZeroOrLess)
        } else if percent > 100.0 {
            Err(DropReason::HumidityAbove100)
        } else {
            Ok((celsius, percent))
        }
    }
}

/// Whether a row holds units instead of readings.
fn is_units(row: &Row) -> bool {
    row.cells()
        .any(|cell| cell.contains('%') || column(0, cell).unit.is_some())
        && !row
            .cells()
            .any(|text| matches!(cell(text), Cell::Number(..)))
}

/// Between commas a decimal comma parts a reading in two: then rows have more fields than the header.
fn check_decimal_commas(table: &Table, header: Option<usize>, body: &[Row]) -> Result<(), Unread> {
    let Some(header) = header.filter(|_| table.delimiter == ',') else {
        return Ok(());
    };
    let header_fields = table.rows[header].cells().count();
    let longer = |row: &&Row| row.filled() > header_fields;
    match body.iter().find(longer) {
        Some(row) if 2 * body.iter().filter(longer).count() > body.len() => {
            Err(error::decimal_commas(row.line, header_fields, row.filled()).into())
        }
        _ => Ok(()),
    }
}
