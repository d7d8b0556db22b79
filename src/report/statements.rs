//! What a forecast says of a design: one statement with a verdict for each joint, panel, board, held part and shelf. The counts, the
//! exit code and the lists of what to change are made of these.
//!
//! A new section of a job plugs in by giving its cards in [`super::cards`]: a card is a statement.

use super::cards::cards;
use super::text::system;
use super::view::Card;
use crate::chance::Verdict;
use crate::forecast::Forecast;

/// All statements of a forecast.
#[derive(Debug, Clone, PartialEq)]
pub struct Statements {
    cards: Vec<Card>,
}

impl Statements {
    /// The statements of a forecast.
    #[must_use]
    pub fn of(forecast: &Forecast) -> Self {
        Self {
            cards: cards(forecast, system(forecast)),
        }
    }

    /// How many have a verdict.
    #[must_use]
    pub fn count(&self, verdict: Verdict) -> usize {
        self.cards
            .iter()
            .filter(|card| card.verdict == verdict)
            .count()
    }

    /// How many fail.
    #[must_use]
    pub fn fails(&self) -> usize {
        self.count(Verdict::Fails)
    }

    /// What does not hold, the worst first.
    #[must_use]
    pub fn to_change(&self) -> Vec<&Card> {
        let mut cards: Vec<&Card> = self
            .cards
            .iter()
            .filter(|card| card.verdict != Verdict::Holds)
            .collect();
        cards.sort_by(|a, b| {
            let chance = |card: &Card| card.holds_chance_percent.unwrap_or(100.0);
            b.verdict
                .cmp(&a.verdict)
                .then(chance(a).total_cmp(&chance(b)))
        });
        cards
    }

    /// The counts in one line: `1 fails, 6 are marginal, 33 hold`.
    #[must_use]
    pub fn counts(&self) -> String {
        let [fails, marginal, holds] =
            [Verdict::Fails, Verdict::Marginal, Verdict::Holds].map(|verdict| self.count(verdict));
        let number = |count: usize, one: &str, more: &str| match count {
            0 => format!("none {one}"),
            1 => format!("1 {one}"),
            _ => format!("{count} {more}"),
        };
        [
            number(fails, "fails", "fail"),
            number(marginal, "is marginal", "are marginal"),
            number(holds, "holds", "hold"),
        ]
        .join(", ")
    }
}
