//! Tests of the room `movement`.

mod command;
mod rings;
mod section;
mod shrinkage;
mod slope;

use heartside::movement::{Face, MovedSection, RingStrains, Rings, Section};
use heartside::units::{Angle, Length, Strain};

fn mm(value: f64) -> Length {
    Length::from_mm_unchecked(value)
}

fn strains(radial: f64, tangential: f64) -> RingStrains {
    RingStrains {
        radial: Strain::computed_ratio(radial),
        tangential: Strain::computed_ratio(tangential),
    }
}

fn pith(x: f64, z: f64) -> Rings {
    Rings::Pith {
        depth: mm(-z),
        offset: mm(x),
    }
}

fn straight(degrees: f64) -> Rings {
    Rings::Straight {
        angle: Angle::computed_degrees(degrees),
    }
}

fn board(width: f64, thickness: f64, rings: Rings) -> Section {
    Section {
        width: mm(width),
        thickness: mm(thickness),
        rings,
    }
}

fn moved(section: Section, strains: RingStrains) -> MovedSection {
    section.moved(strains).unwrap()
}

fn cups(moved: &MovedSection) -> (f64, f64) {
    (moved.cup(Face::Bark).mm(), moved.cup(Face::Heart).mm())
}
