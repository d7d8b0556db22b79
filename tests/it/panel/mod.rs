//! Tests of the room `panel`.

mod after;
mod beam;
mod command;
mod cup;
mod job_section;
mod leaf_match;
mod plate;
mod search;
mod table;
mod wood;

use heartside::movement::{Face, Rings, Shrinkage};
use heartside::panel::{
    EndForward, FaceUp, Layout, Leaf, LeafMatch, LeafWood, MoistureChange, Panel, Placed, Weights,
};
use heartside::units::{Length, Stress};

pub(crate) fn mm(value: f64) -> Length {
    Length::from_mm_unchecked(value)
}

/// Black walnut as the Wood Handbook has it: 5.5 and 7.8 % (Table 4-3), 11 600 MPa (Table 5-3).
pub(crate) fn walnut() -> LeafWood {
    LeafWood {
        modulus: Stress::computed_mpa(11_600.0),
        shear_modulus: Stress::computed_mpa(850.0),
        shrinkage: Some(Shrinkage {
            radial_percent: 5.5,
            tangential_percent: 7.8,
            longitudinal_percent: 0.15,
            fiber_saturation_percent: 30.0,
        }),
        ..LeafWood::default()
    }
}

/// A leaf 900 mm long and 10 mm thick.
pub(crate) fn leaf(name: &str, width: f64, bow: f64) -> Leaf {
    Leaf::new(name, mm(width), mm(10.0), mm(900.0), mm(bow))
}

pub(crate) fn ringed(leaf: Leaf, depth: f64, offset: f64, marked: Face) -> Leaf {
    Leaf {
        rings: Some(Rings::Pith {
            depth: mm(depth),
            offset: mm(offset),
        }),
        sawn_side: Some(marked),
        wood: walnut(),
        ..leaf
    }
}

pub(crate) fn panel(leaves: Vec<Leaf>, leaf_match: LeafMatch) -> Panel {
    Panel::new(
        leaves,
        leaf_match,
        MoistureChange::default(),
        Weights::default(),
    )
    .unwrap()
}

pub(crate) fn laid(leaf: usize, face_up: FaceUp, end_forward: EndForward) -> Placed {
    Placed {
        leaf,
        face_up,
        end_forward,
    }
}

/// Leaves in the order of the list, near ends forward, with these faces up.
pub(crate) fn in_order(faces: &[FaceUp]) -> Layout {
    Layout {
        rows: vec![
            faces
                .iter()
                .enumerate()
                .map(|(leaf, &face)| laid(leaf, face, EndForward::Near))
                .collect(),
        ],
    }
}

/// Leaves with all their measures given, out of plain numbers: width, bow, twist, cup, pith depth and offset, whether the
/// sawn face is on the bark side.
pub(crate) type Measures = (f64, f64, f64, f64, f64, f64, bool);

pub(crate) fn measured(measures: &[Measures]) -> Vec<Leaf> {
    measures
        .iter()
        .enumerate()
        .map(|(i, &(width, bow, twist, cup, depth, offset, bark))| Leaf {
            twist: mm(twist),
            cup: mm(cup),
            ..ringed(
                leaf(&format!("L{i}"), width, bow),
                depth,
                offset,
                if bark { Face::Bark } else { Face::Heart },
            )
        })
        .collect()
}
