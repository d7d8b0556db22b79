//! What the answers rest on, in words, and the cautions that go with them.

use super::belief::Narrowed;
use super::boards::BoardStudy;
use super::grid_check::GridError;
use crate::chance::{HOLDS_PERCENT, MARGINAL_PERCENT};
use crate::job::Spreads;

/// What is true of every piece.
pub const USUAL_CAUTIONS: [&str; 3] = [
    "Tall or heavy furniture can tip: anchor it to the framing of the wall, as your local code and the maker of the anchor say; ask a licensed tradesperson where in doubt.",
    "Shelf and fastening figures do not replace structural engineering: where people could be hurt, ask a licensed engineer.",
    "Wood dust and finishes: follow the safety data sheets of their makers.",
];

/// The cautions that apply, the pressing ones first.
pub(super) fn cautions(boards: &[BoardStudy]) -> Vec<String> {
    let mut list: Vec<String> = boards
        .iter()
        .flat_map(|board| {
            board.forecast.cautions.iter().map(move |caution| {
                format!(
                    "{}: {}",
                    board.name,
                    caution.words().trim_start_matches("Caution: ")
                )
            })
        })
        .collect();
    list.extend(USUAL_CAUTIONS.map(str::to_owned));
    list
}

/// What the answers rest on: the draws, every spread with its source, what was measured, and the rules.
pub(super) fn assumptions(
    spreads: &Spreads,
    narrowed: &Narrowed,
    draws: u32,
    grid_error: Option<GridError>,
) -> Vec<String> {
    let mut list = vec![format!(
        "Bands and chances rest on {draws} draws of everything that cannot be known for sure. A design holds when it works {HOLDS_PERCENT:.0} times in 100, and fails below {MARGINAL_PERCENT:.0}; between the two it is marginal (judgement)."
    )];
    list.extend(
        spreads
            .words()
            .into_iter()
            .map(|spread| format!("Taken: {} ({}).", spread.words, spread.source)),
    );
    list.extend(narrowed.given.iter().cloned());
    list.extend([
        "Equilibrium moisture: Hailwood-Horrobin with the coefficients of the Wood Handbook, Eq. 4-5.",
        "Shrinkage: straight line below fiber saturation, Wood Handbook Tables 4-3 and 4-4; sections by the stress-free map of a ring-wise shrinking board.",
        "Moisture through time: one-dimensional diffusion through the thickness, diffusivity after Siau (1984, from memory), finishes fitted to Wood Handbook Table 16-3. Within about two thicknesses of a bare end the wood is ahead of these figures.",
        "Bonds: shear-lag, half of the stress relaxed by slow drying (judgement), rupture from 0.009 strain across the grain (Getty Conservation Institute 1998).",
    ].map(str::to_owned));
    list.extend(grid_error.map(|error| {
        format!(
            "Moisture years of the draws are read from a grid of 15 solved ones for each thickness, wood, finish and place; {}.",
            error.words()
        )
    }));
    list
}
