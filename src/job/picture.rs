//! Problems as pictures: the line of the file with the wrong place marked.

use crate::units::notation::MOST_LISTED;
use crate::units::spanned::Problem;
#[cfg(feature = "job")]
use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet, normalize_untrusted_str};
#[cfg(feature = "job")]
use std::ops::Range;

/// A line longer than this is given in words only.
#[cfg(feature = "job")]
const LONGEST_LINE: usize = 2_000;

/// Line and column of a byte, both counted from 1, the column in characters.
pub(super) fn line_and_column(text: &str, at: usize) -> (usize, usize) {
    let at = floor(text, at);
    let before = &text[..at];
    let line_start = before.rfind('\n').map_or(0, |end| end + 1);
    (
        before.matches('\n').count() + 1,
        before[line_start..].chars().count() + 1,
    )
}

/// The last place of a character at or before a byte.
fn floor(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// The line a span begins on, as bytes, and the span within it.
#[cfg(feature = "job")]
fn line_of(text: &str, span: &Range<usize>) -> (Range<usize>, Range<usize>) {
    let start = floor(text, span.start);
    let line_start = text[..start].rfind('\n').map_or(0, |end| end + 1);
    let line_end = text[start..]
        .find(['\n', '\r'])
        .map_or(text.len(), |end| start + end);
    let end = floor(text, span.end).clamp(start, line_end);
    (line_start..line_end, start - line_start..end - line_start)
}

/// How many problems there are beyond those that are given, if any.
pub(super) fn more(problems: &[Problem]) -> Option<String> {
    let more = problems.len().saturating_sub(MOST_LISTED);
    (more > 0).then(|| format!("and {more} more problems; correct these first"))
}

/// Shows the first problems as a picture of its line in `source`, named by `origin`: what is wrong, where, and
/// what to write instead.
#[must_use]
pub fn render(problems: &[Problem], source: &str, origin: &str) -> String {
    let mut pictures: Vec<String> = problems
        .iter()
        .take(MOST_LISTED)
        .map(|problem| picture(problem, source, origin))
        .collect();
    if let Some(words) = more(problems) {
        pictures.push(words);
    }
    pictures.join("\n\n")
}

/// One problem in words alone, for a line too long to show and for a build without pictures.
fn in_words(problem: &Problem, source: &str, place: &str) -> String {
    let (line, column) = line_and_column(source, problem.span.start);
    let Problem {
        message, remedy, ..
    } = problem;
    format!("error: {message}\n --> {place}:{line}:{column}\n  = help: {remedy}")
}

#[cfg(not(feature = "job"))]
fn picture(problem: &Problem, source: &str, origin: &str) -> String {
    in_words(problem, source, origin)
}

#[cfg(feature = "job")]
fn picture(problem: &Problem, source: &str, origin: &str) -> String {
    let clean = |text: &str| normalize_untrusted_str(text).to_string();
    let clear = Problem {
        span: problem.span.clone(),
        message: clean(&problem.message),
        remedy: clean(&problem.remedy),
    };
    let (line, within) = line_of(source, &problem.span);
    if source.is_empty() || line.len() > LONGEST_LINE {
        return in_words(&clear, source, &clean(origin));
    }
    let help = Level::HELP.message(clear.remedy);
    let title = Level::ERROR.primary_title(clear.message);
    let number = line_and_column(source, line.start).0;
    let snippet = Snippet::source(&source[line])
        .line_start(number)
        .path(normalize_untrusted_str(origin))
        .annotation(AnnotationKind::Primary.span(within));
    Renderer::plain().render(&[title.element(snippet).element(help)])
}
