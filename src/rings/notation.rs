//! Corners and the way up as they are written.

use super::photo::Corners;
use super::reading::BarkFace;
use crate::units::notation::{NotationError, one_of};
use crate::units::spanned::ReadNotation;

const CORNERS: &str = "write eight numbers in pixels with commas between, x and y of the top left, top right, bottom right and bottom left corner";

impl ReadNotation for Corners {
    const WHAT: &'static str =
        "the four corners of the board's end in pixels, such as \"88,71,946,111,940,313,71,266\"";

    fn read(text: &str) -> Result<Self, NotationError> {
        let mut numbers = [0.0; 8];
        let mut items = text.split([',', ';']).map(str::trim);
        for number in &mut numbers {
            let item = items.next().ok_or_else(|| {
                NotationError::new(text, "these are fewer than eight numbers", CORNERS)
            })?;
            *number = item
                .parse()
                .map_err(|_| NotationError::new(item, "a corner is no plain number", CORNERS))?;
        }
        if items.next().is_some() {
            return Err(NotationError::new(
                text,
                "these are more than eight numbers",
                CORNERS,
            ));
        }
        let point = |k: usize| [numbers[2 * k], numbers[2 * k + 1]];
        Self::new([point(0), point(1), point(2), point(3)])
            .map_err(|refusal| NotationError::new(text, &refusal.message(), refusal.remedy()))
    }
}

impl std::fmt::Display for Corners {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let numbers: Vec<String> = self
            .points()
            .iter()
            .flatten()
            .map(|value| ((value * 10.0).round() / 10.0).to_string())
            .collect();
        f.write_str(&numbers.join(","))
    }
}

impl ReadNotation for BarkFace {
    const WHAT: &'static str = "which way up the board was in the photo: \"up\" or \"down\"";

    fn read(text: &str) -> Result<Self, NotationError> {
        one_of(text, "a way up", &[("up", Self::Up), ("down", Self::Down)])
    }
}

impl BarkFace {
    /// As it is written.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Up => "up",
            Self::Down => "down",
        }
    }
}
