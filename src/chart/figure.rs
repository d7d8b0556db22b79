//! A figure as its reader gets it: picture, words, and the numbers behind it.

use super::ink::style_sheet;
use super::lettering::escaped;
use super::sheet::{Sheet, hatch_id};
use std::collections::BTreeMap;

/// The numbers of a figure as a table; the first column names the row.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct NumberTable {
    /// Heads of the columns.
    pub heads: Vec<String>,
    /// Rows of as many cells.
    pub rows: Vec<Vec<String>>,
}

/// A finished figure. Its ids all start with its own id, so that several figures
/// can stand in one page.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    id: String,
    title: String,
    reading: String,
    description: String,
    width: f64,
    height: f64,
    body: String,
    numbers: NumberTable,
}

/// What a figure is called and what it says in words.
pub(super) struct Caption {
    /// Title over the figure.
    pub(super) title: String,
    /// One sentence on how to read it.
    pub(super) reading: String,
    /// What is seen, for those who do not see it.
    pub(super) description: String,
}

impl Figure {
    pub(super) fn new(
        id: &str,
        (width, height): (f64, f64),
        caption: Caption,
        sheet: Sheet,
        numbers: NumberTable,
    ) -> Self {
        Self {
            id: id.to_owned(),
            title: caption.title,
            reading: caption.reading,
            description: caption.description,
            width: width.ceil(),
            height: height.ceil(),
            body: sheet.finish(),
            numbers,
        }
    }

    /// The id, of the letters a to z, figures and hyphens.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.id
    }

    /// The name of the file the figure is written to.
    #[must_use]
    pub fn file_name(&self) -> String {
        format!("{}.svg", self.id)
    }

    /// The title.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// A sentence on how to read the figure.
    #[must_use]
    pub fn reading(&self) -> &str {
        &self.reading
    }

    /// What the figure shows, in words.
    #[must_use]
    pub fn description(&self) -> &str {
        &self.description
    }

    /// Width and height in pixels.
    #[must_use]
    pub fn size(&self) -> (f64, f64) {
        (self.width, self.height)
    }

    /// The numbers behind the figure.
    #[must_use]
    pub fn numbers(&self) -> &NumberTable {
        &self.numbers
    }

    /// The figure for a page that holds [`style_sheet`] in its head.
    #[must_use]
    pub fn svg_inline(&self) -> String {
        self.svg("", "")
    }

    /// The figure as a file of its own, right in light and dark and in print.
    #[must_use]
    pub fn svg_file(&self) -> String {
        let style = format!("<style>{}</style>", style_sheet());
        let paper = format!(
            "<rect class=\"hs-paper\" width=\"{}\" height=\"{}\"/>",
            self.width, self.height
        );
        let mut svg = self.svg(&style, &paper);
        svg.push('\n');
        svg
    }

    fn svg(&self, style: &str, paper: &str) -> String {
        let (id, width, height) = (&self.id, self.width, self.height);
        let hatch = if self.body.contains(&hatch_id(id)) {
            format!(
                "<defs><pattern id=\"{}\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" \
                 patternTransform=\"rotate(45)\"><path class=\"hs-beyond\" d=\"M0 0V6\"/></pattern></defs>",
                hatch_id(id)
            )
        } else {
            String::new()
        };
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"hs\" id=\"{id}\" viewBox=\"0 0 {width} {height}\" \
             width=\"{width}\" height=\"{height}\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\">\
             <title id=\"{id}-title\">{}</title><desc id=\"{id}-desc\">{}</desc>{style}{hatch}{paper}{}</svg>",
            escaped(&self.title),
            escaped(&self.description),
            self.body
        )
    }
}

/// Hands out figure ids: readable, safe as a file name, no two alike.
#[derive(Debug, Clone, Default)]
pub struct FigureIds {
    used: BTreeMap<String, usize>,
}

impl FigureIds {
    /// No id given out yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The next id for a kind of figure and the name of what it shows:
    /// `gap-top-panel`, and `gap-top-panel-2` when that is taken.
    pub fn next(&mut self, kind: &str, name: &str) -> String {
        let mut id = String::new();
        for character in kind.chars().chain(['-']).chain(name.chars()).take(80) {
            if character.is_ascii_alphanumeric() {
                id.push(character.to_ascii_lowercase());
            } else if !id.is_empty() && !id.ends_with('-') {
                id.push('-');
            }
        }
        let id = match id.trim_end_matches('-') {
            "" => "figure",
            plain => plain,
        }
        .to_owned();
        loop {
            let count = self.used.entry(id.clone()).or_insert(0);
            *count += 1;
            let numbered = if *count == 1 {
                id.clone()
            } else {
                format!("{id}-{count}")
            };
            if *count == 1 || !self.used.contains_key(&numbered) {
                if numbered != id {
                    self.used.insert(numbered.clone(), 1);
                }
                return numbered;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::FigureIds;

    #[test]
    fn ids_are_plain_and_never_alike() {
        let mut ids = FigureIds::new();
        assert_eq!(ids.next("gap", "Top, panel"), "gap-top-panel");
        assert_eq!(ids.next("gap", "top panel 2"), "gap-top-panel-2");
        assert_eq!(ids.next("gap", "top-panel"), "gap-top-panel-3");
        assert_eq!(ids.next("gap", "../../<script>"), "gap-script");
        assert_eq!(ids.next("", "\u{6728}"), "figure");
    }
}
