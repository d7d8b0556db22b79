//! How words and sizes are set in HTML: fractions as fractions, both systems, the chosen one first.

use crate::chart::{Run, set_fractions};
use crate::units::{Length, UnitSystem, notation};
use maud::{Markup, html};

/// A text with its shop fractions set as fractions.
pub(super) fn text(words: &str) -> Markup {
    html! {
        @for run in set_fractions(words) {
            @match run {
                Run::Plain(plain) => (plain),
                Run::Fraction(above, below) => span.fr { sup { (above) } "\u{2044}" sub { (below) } },
            }
        }
    }
}

/// A length in the chosen and in the other system.
pub(super) fn in_both(length: Length, units: UnitSystem) -> (String, String) {
    let (inch, metric) = (notation::inches(length), notation::millimetres(length));
    match units {
        UnitSystem::Inch => (inch, metric),
        UnitSystem::Metric => (metric, inch),
    }
}
