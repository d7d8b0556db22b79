//! Four signs that are easily turned round, each with a test of its own that fails when it is.

use super::*;
use heartside::movement::{Direction, Face, RingStrains, Rings, Section, Shrinkage};
use heartside::panel::{
    EndForward, FaceUp, Layout, Leaf, LeafMatch, MoistureChange, Panel, Placed, Weights,
};
use heartside::species::SpeciesTable;
use heartside::units::MoistureContent;

fn walnut() -> Shrinkage {
    Shrinkage::of(SpeciesTable::built_in().find("walnut, black").unwrap())
}

fn percent(value: f64) -> MoistureContent {
    MoistureContent::computed_percent(value)
}

/// A flat-sawn board that dries turns hollow on its bark side and round on its heart side (Wood Handbook ch. 4, Figure 4-3;
/// and every maker).
#[test]
fn sign_of_the_cup_side() {
    let section = Section {
        width: mm(200.0),
        thickness: mm(25.0),
        rings: Rings::Pith {
            depth: mm(100.0),
            offset: mm(0.0),
        },
    };
    let dried = section
        .moved(RingStrains::of(&walnut(), percent(12.0), percent(6.0)))
        .unwrap();
    assert!(dried.cup(Face::Bark).mm() > 0.3);
    assert!(dried.cup(Face::Heart).mm() < -0.3);
}

/// Wood that dries shrinks (Wood Handbook ch. 4), and so does the panel, and so the room in its groove opens.
#[test]
fn sign_of_the_drying_direction() {
    let strain = walnut().strain(Direction::Tangential, percent(10.0), percent(6.0));
    assert!(strain.ratio() < -0.005);
    assert!(
        walnut()
            .strain(Direction::Tangential, percent(6.0), percent(10.0))
            .ratio()
            > 0.005
    );
}

/// A gap is opening minus part: a part that shrinks opens it, a opening that shrinks closes it, and a larger part leaves less.
#[test]
fn sign_of_opening_minus_part() {
    let parts = [
        part("rail", 400.0, 45.0, 22.0),
        part("door", 700.0, 390.0, 20.0),
    ];
    let plan = plan(
        "[[joints.inset]]\npiece = \"door\"\ninto = \"rail\"\nopening = \"400mm\"\n",
        &parts,
    );
    let part_shrinks = motion(2, &[(1, Axis::Width, 0.99, 1.0)]);
    let opening_shrinks = motion(2, &[(0, Axis::Length, 0.99, 1.0)]);
    // 2 mm a side today; the door loses 3.96 mm, the rail 4
    near(gap(&plan, 0, &part_shrinks, TODAY, 396.0), 2.0);
    near(gap(&plan, 0, &part_shrinks, DRY, 396.0), 3.98);
    near(gap(&plan, 0, &opening_shrinks, DRY, 396.0), 0.0);
    assert!(gap(&plan, 0, &part_shrinks, TODAY, 397.0) < 2.0);
}

/// A leaf turned over shows its bow the other way: a panel of it alone, sawn face up, is hollow above; turned, round.
#[test]
fn sign_of_the_turned_leaf() {
    let leaf = |name: &str| Leaf::new(name, mm(150.0), mm(10.0), mm(900.0), mm(3.0));
    let panel = Panel::new(
        vec![leaf("A"), leaf("B")],
        LeafMatch::Random,
        MoistureChange::default(),
        Weights::default(),
    )
    .unwrap();
    let layout = |faces: [FaceUp; 2]| Layout {
        rows: vec![
            faces
                .into_iter()
                .enumerate()
                .map(|(leaf, face_up)| Placed {
                    leaf,
                    face_up,
                    end_forward: EndForward::Near,
                })
                .collect(),
        ],
    };
    let bow = |faces| panel.shape(&layout(faces)).bow.mm();
    assert!((bow([FaceUp::Sawn; 2]) - 3.0).abs() < 1e-9);
    assert!((bow([FaceUp::Back; 2]) + 3.0).abs() < 1e-9);
    assert!(bow([FaceUp::Sawn, FaceUp::Back]).abs() < 1e-9);
}
