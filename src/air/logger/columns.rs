//! Which column holds what, given by its header.

use super::cell::Unit;
use super::{Unread, error};

/// What a header says of its column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Temperature,
    Humidity,
    DewPoint,
    Other,
}

/// A column as its header tells it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Column {
    pub(super) index: usize,
    pub(super) header: String,
    pub(super) kind: Kind,
    pub(super) unit: Option<Unit>,
    /// The words of the header that say neither kind nor unit: the sensor's name.
    label: Vec<String>,
}

/// The columns chosen.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Choice {
    pub(super) temperature: Column,
    pub(super) moisture: Column,
}

const HUMIDITY_WORDS: [&str; 12] = [
    "humid", "feucht", "kosteu", "humed", "umidi", "umida", "fuktig", "fugtig", "vocht", "wilgot",
    "vlhkos", "luftfukt",
];
const TEMPERATURE_WORDS: [&str; 4] = ["temp", "lampot", "thermomet", "teplot"];
const DEW_WORDS: [&str; 8] = [
    "dew",
    "taupunkt",
    "kastepis",
    "rosee",
    "rocio",
    "rugiada",
    "daggpunkt",
    "dauwpunt",
];
/// Words of columns that hold something derived, set or other than the air.
const OTHER_WORDS: [&str; 24] = [
    "wet", "chill", "index", "feels", "apparent", "set", "setpoint", "target", "soll", "min",
    "max", "minimum", "maximum", "low", "high", "absolute", "abs", "ratio", "mixing", "specific",
    "alarm", "ground", "soil", "stdev",
];
/// Words that say neither sensor nor kind.
const FILLER_WORDS: [&str; 22] = [
    "relative",
    "rel",
    "rh",
    "air",
    "of",
    "in",
    "the",
    "c",
    "f",
    "k",
    "deg",
    "degc",
    "degf",
    "celsius",
    "fahrenheit",
    "kelvin",
    "point",
    "dry",
    "bulb",
    "avg",
    "average",
    "mean",
];

/// What a header tells.
pub(super) fn column(index: usize, header: &str) -> Column {
    let words = words_of(header);
    let has = |list: &[&str]| {
        words
            .iter()
            .any(|word| list.iter().any(|known| word.starts_with(known)))
    };
    let is = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
    let percent = header.contains('%');
    let unit = unit_of(header, &words);
    let dew = has(&DEW_WORDS) || (is(&["dp", "td"]) && unit.is_some());
    let other = is(&OTHER_WORDS) || header.contains("g/m") || header.contains("g/k");
    let humid = words.iter().any(|word| {
        HUMIDITY_WORDS.iter().any(|known| word.contains(known))
            || short_name(word, "rh")
            || (percent
                && matches!(
                    word.as_str(),
                    "hr" | "rf" | "hum" | "ur" | "rv" | "rel" | "h"
                ))
    }) || header.trim() == "%";
    let warm = words.iter().any(|word| {
        TEMPERATURE_WORDS.iter().any(|known| word.contains(known)) || temperature_name(word)
    }) || unit.is_some();
    let kind = match () {
        () if other => Kind::Other,
        () if dew => Kind::DewPoint,
        () if humid => Kind::Humidity,
        () if warm => Kind::Temperature,
        () => Kind::Other,
    };
    let label = words.iter().filter_map(|word| sensor_word(word)).collect();
    Column {
        index,
        header: header.to_owned(),
        kind,
        unit: match kind {
            Kind::Humidity => None,
            _ => unit,
        },
        label,
    }
}

/// What a word of the header adds to the sensor's name: nothing when it says kind or unit, its digits
/// when it says both (`temp2`, `rh2`).
fn sensor_word(word: &str) -> Option<String> {
    let says_kind = TEMPERATURE_WORDS.iter().any(|known| word.contains(known))
        || HUMIDITY_WORDS.iter().any(|known| word.contains(known))
        || DEW_WORDS.iter().any(|known| word.starts_with(known));
    let name = if says_kind {
        word.trim_start_matches(|c: char| !c.is_ascii_digit())
    } else if FILLER_WORDS.contains(&word) || matches!(word, "t" | "h" | "hum") {
        ""
    } else {
        let short = word.strip_prefix("rh").or_else(|| word.strip_prefix('t'));
        short.filter(|name| name.len() <= 2).unwrap_or(word)
    };
    (!name.is_empty()).then(|| name.to_owned())
}

/// `rh`, `rhe`, `rh2`: a name of at most two more characters.
fn short_name(word: &str, start: &str) -> bool {
    word.strip_prefix(start).is_some_and(|rest| rest.len() <= 2)
}

/// The short names of a temperature.
fn temperature_name(word: &str) -> bool {
    matches!(
        word,
        "t" | "te"
            | "ti"
            | "ta"
            | "tin"
            | "tout"
            | "tair"
            | "tint"
            | "celsius"
            | "fahrenheit"
            | "degc"
            | "degf"
    ) || word.strip_prefix('t').is_some_and(|rest| {
        (1..=2).contains(&rest.len()) && rest.bytes().all(|b| b.is_ascii_digit())
    })
}

/// The unit of temperature that a header names.
fn unit_of(header: &str, words: &[String]) -> Option<Unit> {
    let lower = header.to_lowercase();
    let sign = |letter: char| {
        ['°', 'º', '\u{fffd}', '?'].iter().any(|degree| {
            lower.contains(&format!("{degree}{letter}"))
                || lower.contains(&format!("{degree} {letter}"))
        })
    };
    let is = |name: &str| words.iter().any(|word| word == name);
    if sign('f') || lower.contains('℉') || is("f") || is("degf") || is("fahrenheit") {
        Some(Unit::Fahrenheit)
    } else if sign('c') || lower.contains('℃') || is("c") || is("degc") || is("celsius") {
        Some(Unit::Celsius)
    } else if is("k") || is("kelvin") {
        Some(Unit::Kelvin)
    } else {
        None
    }
}

/// The words of a header in lower case without accents, split also where a capital follows a small
/// letter (`AirTempC`).
fn words_of(header: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let mut before_small = false;
    for letter in header.chars() {
        let splits = !letter.is_alphanumeric() || (letter.is_uppercase() && before_small);
        if splits && !word.is_empty() {
            words.push(std::mem::take(&mut word));
        }
        before_small = letter.is_lowercase();
        if letter.is_alphanumeric() {
            word.extend(letter.to_lowercase().map(without_accent));
        }
    }
    if !word.is_empty() {
        words.push(word);
    }
    words
}

fn without_accent(letter: char) -> char {
    match letter {
        'á' | 'à' | 'â' | 'ã' | 'ä' | 'å' => 'a',
        'é' | 'è' | 'ê' | 'ë' => 'e',
        'í' | 'ì' | 'î' | 'ï' => 'i',
        'ó' | 'ò' | 'ô' | 'ö' | 'õ' | 'ø' => 'o',
        'ú' | 'ù' | 'û' | 'ü' => 'u',
        other => other,
    }
}

/// Whether a row of cells is a header by what it says.
pub(super) fn is_header<'a>(cells: impl Iterator<Item = &'a str>) -> bool {
    let kinds: Vec<Kind> = cells.map(|cell| column(0, cell).kind).collect();
    kinds.contains(&Kind::Temperature)
        && (kinds.contains(&Kind::Humidity) || kinds.contains(&Kind::DewPoint))
}

/// Chooses the temperature and the humidity, as the maker given or where there is one of each.
pub(super) fn choose(columns: &[Column], given: &[String]) -> Result<Choice, Unread> {
    let mut named: [Option<Vec<&Column>>; 3] = [None, None, None];
    let mut forced: Vec<Column> = Vec::new();
    for asked in given {
        if let Some(column) = forced_column(columns, asked)? {
            forced.push(column);
            continue;
        }
        let matched = matching(columns, asked)?;
        let mut says_kind = false;
        for (place, kind) in [Kind::Temperature, Kind::Humidity, Kind::DewPoint]
            .into_iter()
            .enumerate()
        {
            let of_kind: Vec<&Column> = matched
                .iter()
                .copied()
                .filter(|column| column.kind == kind)
                .collect();
            if of_kind.is_empty() {
                continue;
            }
            says_kind = true;
            let kept = match &named[place] {
                // A second word narrows the first; where it names another, both stand.
                Some(before) => {
                    let both: Vec<&Column> = before
                        .iter()
                        .copied()
                        .filter(|column| of_kind.contains(column))
                        .collect();
                    if both.is_empty() {
                        before.iter().copied().chain(of_kind).collect()
                    } else {
                        both
                    }
                }
                None => of_kind,
            };
            named[place] = Some(kept);
        }
        if !says_kind {
            let header = matched.first().map_or(asked, |column| &column.header);
            return Err(error::unknown_kind(header));
        }
    }
    let force = |kinds: &[Kind]| forced.iter().find(|column| kinds.contains(&column.kind));
    let of = |kind: Kind, place: usize| -> Vec<&Column> {
        named[place].clone().unwrap_or_else(|| {
            columns
                .iter()
                .filter(|column| column.kind == kind)
                .collect()
        })
    };
    let given_warm = named[0].is_some();
    let given_humid = named[1].is_some() || named[2].is_some();
    let mut warm = of(Kind::Temperature, 0);
    // A dew point serves only where no humidity is recorded, or where it was asked for.
    let mut humid = of(Kind::Humidity, 1);
    if humid.is_empty() || (named[1].is_none() && named[2].is_some()) {
        humid = of(Kind::DewPoint, 2);
    }
    if let Some(column) = force(&[Kind::Temperature]) {
        warm = vec![column];
    }
    if let Some(column) = force(&[Kind::Humidity, Kind::DewPoint]) {
        humid = vec![column];
    }
    one_unit(&mut warm);
    one_unit(&mut humid);
    // What was given of one names the sensor, and with it the other.
    if warm.len() == 1 && humid.len() > 1 && given_warm {
        keep_label(&mut humid, &warm[0].label);
    }
    if humid.len() == 1 && warm.len() > 1 && given_humid {
        keep_label(&mut warm, &humid[0].label);
    }
    Ok(Choice {
        temperature: the_one("temperature", &warm, columns)?,
        moisture: the_one("humidity", &humid, columns)?,
    })
}

fn the_one(what: &str, found: &[&Column], columns: &[Column]) -> Result<Column, Unread> {
    match found {
        [column] => Ok((*column).clone()),
        [] => Err(error::no_column(what, columns).into()),
        several => Err(error::several_sensors(what, several)),
    }
}

/// Of one sensor given in two units, keeps Celsius.
fn one_unit(found: &mut Vec<&Column>) {
    let same = found.len() == 2
        && found[0].label == found[1].label
        && found[0].unit.is_some()
        && found[1].unit.is_some()
        && found[0].unit != found[1].unit;
    if same {
        found.sort_by_key(|column| column.unit != Some(Unit::Celsius));
        found.truncate(1);
    }
}

fn keep_label(found: &mut Vec<&Column>, label: &[String]) {
    let same: Vec<&Column> = found
        .iter()
        .copied()
        .filter(|column| column.label == label)
        .collect();
    if same.len() == 1 {
        *found = same;
    }
}

/// `temperature=NAME`, `humidity=NAME` or `dew point=NAME`.
fn forced_column(columns: &[Column], asked: &str) -> Result<Option<Column>, Unread> {
    let Some((what, name)) = asked.split_once('=') else {
        return Ok(None);
    };
    let kind = match what.trim().to_lowercase().as_str() {
        "temperature" => Kind::Temperature,
        "humidity" => Kind::Humidity,
        "dew point" | "dew-point" => Kind::DewPoint,
        _ => return Ok(None),
    };
    let found = matching(columns, name)?;
    let what = match kind {
        Kind::Temperature => "temperature",
        _ => "humidity",
    };
    let mut column = the_one(what, &found, columns)?;
    column.unit = column.unit.filter(|_| kind != Kind::Humidity);
    column.kind = kind;
    Ok(Some(column))
}

/// Columns of exactly that header; else of that number, from 1; else whose header holds the text.
fn matching<'a>(columns: &'a [Column], asked: &str) -> Result<Vec<&'a Column>, Unread> {
    let plain = |text: &str| text.trim().to_lowercase();
    let asked_plain = plain(asked);
    let exact: Vec<&Column> = columns
        .iter()
        .filter(|column| plain(&column.header) == asked_plain)
        .collect();
    if !exact.is_empty() {
        return Ok(exact);
    }
    if let Ok(number) = asked_plain.parse::<usize>()
        && let Some(column) = number.checked_sub(1).and_then(|index| columns.get(index))
    {
        return Ok(vec![column]);
    }
    let part: Vec<&Column> = columns
        .iter()
        .filter(|column| !asked_plain.is_empty() && plain(&column.header).contains(&asked_plain))
        .collect();
    if part.is_empty() {
        return Err(error::no_such_column(asked, columns).into());
    }
    Ok(part)
}
