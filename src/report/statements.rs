//! What a forecast says of a design: one statement with a verdict for each joint, panel, board, held part and shelf. The counts, the
//! exit code and the lists of what to change are made of these.
//!
//! A new section of a job plugs in by giving its cards in [`super::cards`]: a card is a statement.

use super::cards::cards;
use super::text::system;
use super::view::Card;
use crate::chance::Verdict;
use crate::forecast::Forecast;
use crate::units::Chance;

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
            let chance = |card: &Card| card.holds_chance.unwrap_or(Chance::CERTAIN);
            b.verdict
                .cmp(&a.verdict)
                .then(chance(a).total_cmp(&chance(b)))
        });
        cards
    }

    /// The counts in one line: `1 fails, 6 are marginal, 33 hold`.
    #[must_use]
    pub fn counts(&self) -> String {
        counted(&self.cards)
    }
}

/// How many of some answers fail, are marginal and hold, in words.
pub(super) fn counted(cards: &[Card]) -> String {
    let number = |verdict: Verdict, one: &str, more: &str| match cards
        .iter()
        .filter(|card| card.verdict == verdict)
        .count()
    {
        0 => format!("none {one}"),
        1 => format!("1 {one}"),
        count => format!("{count} {more}"),
    };
    [
        number(Verdict::Fails, "fails", "fail"),
        number(Verdict::Marginal, "is marginal", "are marginal"),
        number(Verdict::Holds, "holds", "hold"),
    ]
    .join(", ")
}
