//! The words of the region's shops: what is a dado in North America is a housing in Britain.

use crate::chart::capital;
use crate::forecast::Forecast;
use crate::units::Region;
use std::borrow::Cow;

/// Words of North America, in small letters, and those of the other regions (common practice, no source).
const WORDS: [(&str, &str); 17] = [
    ("dado", "housing"),
    ("dados", "housings"),
    ("rabbet", "rebate"),
    ("rabbets", "rebates"),
    ("shim", "packer"),
    ("shims", "packers"),
    ("plain-sawn", "through-and-through"),
    ("center", "centre"),
    ("centers", "centres"),
    ("centered", "centred"),
    ("fiber", "fibre"),
    ("fibers", "fibres"),
    ("color", "colour"),
    ("colors", "colours"),
    ("gray", "grey"),
    ("mold", "mould"),
    ("vapor", "vapour"),
];

/// Puts the words of a forecast's region into what is shown. The program's own words are those of North America; the names that
/// the job gives stay as they are, and so do the keys and words of JSON.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ShopWords {
    other: bool,
    /// Names of the job that hold one of the words, the longest first.
    names: Vec<String>,
}

impl ShopWords {
    /// The words for the region of a forecast's job.
    #[must_use]
    pub fn of(forecast: &Forecast) -> Self {
        let region = forecast.job.region.unwrap_or_default();
        let named = [&forecast.job.name]
            .into_iter()
            .chain(forecast.job.places.iter().map(|place| &place.name))
            .chain(forecast.parts.iter().map(|part| &part.name))
            .chain(forecast.fits.iter().map(|fit| &fit.joint))
            .chain(forecast.bonds.iter().map(|bond| &bond.joint))
            .chain(forecast.boards.iter().map(|board| &board.name))
            .chain(forecast.panels.iter().map(|panel| &panel.name));
        Self::new(region, named.map(String::as_str))
    }

    /// The words for a region, beside these names.
    #[must_use]
    pub fn new<'a>(region: Region, names: impl Iterator<Item = &'a str>) -> Self {
        let other = region != Region::UnitedStates;
        let mut names: Vec<String> = names
            .filter(|name| other && changed(name).is_some())
            .map(str::to_owned)
            .collect();
        names.sort_by(|one, another| another.len().cmp(&one.len()).then(one.cmp(another)));
        names.dedup();
        Self { other, names }
    }

    /// A text in these words.
    #[must_use]
    pub fn text<'a>(&self, text: &'a str) -> Cow<'a, str> {
        if !self.other {
            return Cow::Borrowed(text);
        }
        let mut made = String::with_capacity(text.len());
        let mut rest = text;
        while !rest.is_empty() {
            let name = self.names.iter().find_map(|name| {
                let after = rest.strip_prefix(name.as_str())?;
                let ends = !after.starts_with(is_letter);
                ends.then_some(name.len())
            });
            let (plain, length) = match name {
                Some(length) => (None, length),
                None => {
                    let length = word_length(rest);
                    (changed_word(&rest[..length]), length)
                }
            };
            match plain {
                Some(word) => made.push_str(&word),
                None => made.push_str(&rest[..length]),
            }
            rest = &rest[length..];
        }
        Cow::Owned(made)
    }

    /// A page or a drawing in these words: what is between its tags, but no style and no script.
    #[must_use]
    pub fn markup<'a>(&self, markup: &'a str) -> Cow<'a, str> {
        if !self.other {
            return Cow::Borrowed(markup);
        }
        let mut made = String::with_capacity(markup.len());
        let mut rest = markup;
        while let Some(open) = rest.find('<') {
            made.push_str(&self.text(&rest[..open]));
            rest = &rest[open..];
            let untouched = ["style", "script"].into_iter().find_map(|tag| {
                let inside = rest[1..].starts_with(tag);
                inside.then(|| rest.find(&format!("</{tag}>"))).flatten()
            });
            let from = untouched.unwrap_or(0);
            let close = rest[from..]
                .find('>')
                .map_or(rest.len(), |at| from + at + 1);
            made.push_str(&rest[..close]);
            rest = &rest[close..];
        }
        made.push_str(&self.text(rest));
        Cow::Owned(made)
    }
}

fn is_letter(character: char) -> bool {
    character.is_alphabetic()
}

/// The length of the word at the beginning, with what is joined to it by a hyphen, or of what is between two words.
fn word_length(text: &str) -> usize {
    let word = text.starts_with(is_letter);
    text.char_indices()
        .find(|(at, character)| {
            let joined = *character == '-' && text[at + 1..].starts_with(is_letter);
            (is_letter(*character) || (word && joined)) != word
        })
        .map_or(text.len(), |(at, _)| at)
}

/// A word of the others for one of North America, with its capital.
fn changed_word(word: &str) -> Option<String> {
    let small = word.to_lowercase();
    let (_, other) = WORDS.iter().find(|(own, _)| *own == small)?;
    let begins = word.starts_with(char::is_uppercase);
    Some(if begins {
        capital(other)
    } else {
        (*other).to_owned()
    })
}

/// Whether a text holds any of the words.
fn changed(text: &str) -> Option<()> {
    let mut rest = text;
    while !rest.is_empty() {
        let length = word_length(rest);
        if changed_word(&rest[..length]).is_some() {
            return Some(());
        }
        rest = &rest[length..];
    }
    None
}
