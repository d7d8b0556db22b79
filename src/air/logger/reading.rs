//! The reading of a logger's file.

use super::clock::{Stamp, header_offset, order_of};
use super::layout::Layout;
use super::table::rows_of;
use super::text::decode;
use super::{DateOrder, Options, Unread, error};
use crate::air::record::Reading;
use crate::air::{AirRecord, DropReason, Dropped};

/// Fewest rows that are called a climate at all.
const FEWEST_ROWS: usize = 24;

/// What was read of a logger's file, and how.
#[derive(Debug, Clone, PartialEq)]
pub struct LoggerReading {
    /// The file's encoding, `UTF-8`.
    pub encoding: &'static str,
    /// What parts the columns.
    pub delimiter: char,
    /// Line of the header; `None` where there is none.
    pub header_line: Option<u64>,
    /// Headers of the columns that tell the time.
    pub time_columns: Vec<String>,
    /// Header of the temperature.
    pub temperature_column: String,
    /// Its unit: `C`, `F` or `K`.
    pub temperature_unit: &'static str,
    /// Header of the humidity or the dew point.
    pub humidity_column: String,
    /// The order of day and month, where the dates do not say it themselves.
    pub date_order: Option<DateOrder>,
    /// The clock's fixed offset from UTC in minutes, where the file states it.
    pub offset_minutes: Option<i64>,
    /// Whether the file begins with the newest reading.
    pub newest_first: bool,
    /// Rows under the header.
    pub rows_read: usize,
    /// Rows used.
    pub rows_used: usize,
    /// Rows left out, by reason.
    pub rows_dropped: Dropped,
    /// What a maker should know about how the file was read.
    pub notes: Vec<String>,
    /// The air by the hour.
    pub record: AirRecord,
}

/// Reads a logger's file.
///
/// # Errors
/// [`Unread`] when the file is no table of readings, when it does not decide what must be given,
/// or when too little is left of it.
pub fn read(bytes: &[u8], options: &Options) -> Result<LoggerReading, Unread> {
    let (text, encoding) = decode(bytes)?;
    let table = rows_of(&text)?;
    let layout = Layout::find(&table, options)?;
    let rows = &table.rows[layout.first_row..];
    let mut notes = Vec::new();
    let stamps: Vec<Option<Stamp>> = rows.iter().map(|row| layout.times.stamp(row)).collect();
    let dated = rows.iter().zip(&stamps).filter_map(|(row, stamp)| {
        let date = (*stamp)?.date?;
        Some((row.line, row.cell(layout.times.date), date))
    });
    let date_order = order_of(dated, options.date_order)?;
    let unit = layout.unit(rows, options, &mut notes)?;
    let share = layout.humidity_is_share(rows);
    if share {
        notes.push(format!(
            "`{}` never exceeds 1: it is read as a share of saturation",
            layout.choice.moisture.header
        ));
    }
    let mut dropped = Dropped::default();
    let mut readings: Vec<Reading> = Vec::with_capacity(rows.len());
    let mut first_offset = None;
    for (row, stamp) in rows.iter().zip(&stamps) {
        let second = stamp.and_then(|stamp| {
            let days = stamp.date?.days(date_order)?;
            // A date alone stands for its noon.
            let clock = stamp.clock.map_or(12 * 3600, |clock| clock.second);
            let offset = stamp.clock.and_then(|clock| clock.offset);
            let shift = offset.map_or(0, |offset| *first_offset.get_or_insert(offset) - offset);
            Some(days * 86_400 + clock + shift)
        });
        let Some(second) = second else {
            dropped.count(DropReason::UnreadableTime);
            continue;
        };
        match layout.values(row, unit, share) {
            Ok((celsius, percent)) => readings.push(Reading {
                second,
                celsius,
                percent,
            }),
            Err(reason) => dropped.count(reason),
        }
    }
    let newest_first = is_newest_first(&readings);
    if newest_first {
        readings.reverse();
    }
    readings.sort_by_key(|reading| reading.second);
    let before = readings.len();
    readings.dedup_by_key(|reading| reading.second);
    dropped.count_many(DropReason::RepeatedTime, before - readings.len());
    let rows_used = readings.len();
    let too_few = || error::too_few_rows(rows_used, rows.len(), &dropped.to_string());
    if rows_used < FEWEST_ROWS {
        return Err(too_few().into());
    }
    let record = AirRecord::from_readings(&readings).ok_or_else(too_few)?;
    let span = readings[rows_used - 1].second - readings[0].second + record.usual_step_seconds();
    if span < 23 * 3600 {
        return Err(error::too_short(span as f64 / 3600.0).into());
    }
    let time_columns = layout.times.headers(&layout.columns);
    let offset = first_offset.or_else(|| time_columns.iter().find_map(|h| header_offset(h)));
    Ok(LoggerReading {
        encoding,
        delimiter: table.delimiter,
        header_line: layout.header_line,
        time_columns,
        temperature_unit: unit.name(),
        temperature_column: layout.choice.temperature.header,
        humidity_column: layout.choice.moisture.header,
        date_order,
        offset_minutes: offset.map(|seconds| seconds / 60),
        newest_first,
        rows_read: rows.len(),
        rows_used,
        rows_dropped: dropped,
        notes,
        record,
    })
}

/// Whether time runs backward at most steps.
fn is_newest_first(readings: &[Reading]) -> bool {
    let (mut back, mut on) = (0_usize, 0_usize);
    for pair in readings.windows(2) {
        match pair[1].second.cmp(&pair[0].second) {
            std::cmp::Ordering::Less => back += 1,
            std::cmp::Ordering::Greater => on += 1,
            std::cmp::Ordering::Equal => {}
        }
    }
    back > on
}
