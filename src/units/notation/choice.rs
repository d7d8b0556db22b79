//! One word out of a list, with the nearest word where a text is none of them.

use super::error::NotationError;

/// The word of the list that a maker most likely meant, if any is near.
#[must_use]
pub fn nearest<'a>(text: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let text = text.trim().to_lowercase();
    words
        .into_iter()
        .map(|word| {
            (
                strsim::damerau_levenshtein(&text, &word.to_lowercase()),
                word,
            )
        })
        .filter(|(distance, word)| *distance <= 1 + word.chars().count() / 4)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
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
