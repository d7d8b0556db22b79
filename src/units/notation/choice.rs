//! One word out of a list, with the nearest word where a text is none of them.

use super::error::NotationError;
use std::cell::Cell;
use std::collections::HashMap;
use std::fmt::{self, Write as _};

/// How many problems, names or columns are given one by one; the rest are counted.
pub const MOST_LISTED: usize = 20;

/// Words compared with words that are in no list, for all the lookups in one list together: enough for every slip in a
/// job of a hundred parts, and soon over where a file makes a million of them.
const MOST_COMPARED: usize = 50_000;

/// The word of the list that a maker most likely meant, if any is near.
#[must_use]
pub fn nearest<'a>(text: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let text = text.trim().to_lowercase();
    let length = text.chars().count();
    words
        .into_iter()
        .filter_map(|word| {
            let word_length = word.chars().count();
            let most = 1 + word_length / 4;
            // Words whose lengths differ by more are no nearer than that.
            if length.abs_diff(word_length) > most {
                return None;
            }
            let distance = strsim::damerau_levenshtein(&text, &word.to_lowercase());
            (distance <= most).then_some((distance, word))
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}

/// The first words of a list with commas between, and how many more there are.
#[must_use]
pub fn listed<T: fmt::Display>(words: impl ExactSizeIterator<Item = T>) -> String {
    let mut text = String::new();
    let more = words.len().saturating_sub(MOST_LISTED);
    for (index, word) in words.take(MOST_LISTED).enumerate() {
        let comma = if index == 0 { "" } else { ", " };
        let _always = write!(text, "{comma}{word}");
    }
    if more > 0 {
        let _always = write!(text, " and {more} more");
    }
    text
}

/// The names of a list: to find one, and to say which was meant where there is none.
#[derive(Debug, Clone)]
pub struct Names<'a> {
    list: Vec<&'a str>,
    places: HashMap<&'a str, usize>,
    /// Comparisons that may still be made.
    left: Cell<usize>,
}

impl<'a> Names<'a> {
    /// The names in their order; of two that are the same the first is found.
    pub fn new(names: impl IntoIterator<Item = &'a str>) -> Self {
        let list: Vec<&str> = names.into_iter().collect();
        let mut places = HashMap::with_capacity(list.len());
        for (place, name) in list.iter().enumerate() {
            places.entry(*name).or_insert(place);
        }
        Self {
            list,
            places,
            left: Cell::new(MOST_COMPARED),
        }
    }

    /// The place of a name in the list.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<usize> {
        self.places.get(name).copied()
    }

    /// The name that was most likely meant; none once so many lookups were answered that a file can only be a mistake
    /// as a whole.
    #[must_use]
    pub fn nearest(&self, wanted: &str) -> Option<&'a str> {
        let left = self.left.get();
        self.left.set(left.saturating_sub(self.list.len()));
        if left == 0 {
            return None;
        }
        nearest(wanted, self.list.iter().copied())
    }

    /// What to write instead of a name that is not in the list; `how` says how to add one.
    #[must_use]
    pub fn remedy(&self, kind: &str, wanted: &str, how: &str) -> String {
        let known = listed(self.list.iter().map(|name| format!("`{name}`")));
        match self.nearest(wanted) {
            Some(near) => format!("did you mean `{near}`? The {kind}s are {known}"),
            None if self.list.is_empty() => format!("add one with {how}"),
            None => format!("the {kind}s are {known}; add one with {how}"),
        }
    }
}

/// The value of the word that `text` is, capitals aside, with `_` and `-` as good as a space.
///
/// # Errors
/// [`NotationError`] with the nearest word and the whole list.
pub fn one_of<T: Clone>(text: &str, what: &str, words: &[(&str, T)]) -> Result<T, NotationError> {
    let tidy = |text: &str| text.trim().to_lowercase().replace(['_', '-'], " ");
    let wanted = tidy(text);
    if let Some((_, value)) = words.iter().find(|(word, _)| tidy(word) == wanted) {
        return Ok(value.clone());
    }
    let list = words
        .iter()
        .map(|(word, _)| format!("\"{word}\""))
        .collect::<Vec<_>>()
        .join(", ");
    let remedy = match nearest(text, words.iter().map(|(word, _)| *word)) {
        Some(word) => format!("did you mean \"{word}\"? Write one of {list}"),
        None => format!("write one of {list}"),
    };
    let short: String = text.chars().take(80).collect();
    Err(NotationError::new(
        &short,
        &format!("this is not {what} known here"),
        &remedy,
    ))
}
