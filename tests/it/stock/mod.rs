//! Tests of the room `stock`.

mod belief;
mod closed_form;
mod command;
mod errors;
mod forecast;
mod keys;
mod milling;
mod rest;
mod strip;

use heartside::movement::Shrinkage;
use heartside::stock::{Bend, Board, Drying, EveningOut, Known, LockedIn, Slice, Wood};
use heartside::units::{Length, MoistureContent, Strain};

fn mm(value: f64) -> Length {
    Length::from_mm_unchecked(value)
}

fn percent(value: f64) -> MoistureContent {
    MoistureContent::computed_percent(value)
}

fn micro(value: f64) -> Strain {
    Strain::computed_ratio(value * 1e-6)
}

/// Black walnut: R 5.5, T 7.8 %, basic specific gravity 0.51 (Wood Handbook Tables 4-3 and 5-3a).
fn walnut() -> Wood {
    Wood {
        shrinkage: Shrinkage {
            radial_percent: 5.5,
            tangential_percent: 7.8,
            longitudinal_percent: 0.15,
            fiber_saturation_percent: 30.0,
        },
        basic_gravity: 0.51,
    }
}

fn plank() -> Board {
    Board::plain(mm(2400.0), mm(200.0), mm(50.8), percent(9.0))
}

const DRY: EveningOut = EveningOut {
    middle: 0.0,
    spread: 0.0,
};

/// Exactly this strain given for one board without any gradient.
fn given(a: f64) -> LockedIn {
    LockedIn::before(
        Bend::Along,
        &[Known {
            drying: Drying::Unknown,
            given: Some(micro(a)),
            evening: DRY,
        }],
    )
}

fn slice(board: f64, lower: f64, upper: f64) -> Slice {
    Slice {
        board: mm(board),
        lower: mm(lower),
        upper: mm(upper),
        lower_fresh: lower > 0.0,
        upper_fresh: upper < board,
    }
}
