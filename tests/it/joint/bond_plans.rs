//! Which wood a recipe's bond joins: by hand.

use super::*;
use heartside::joint::Design;

/// Across a panel's end the strip's grain crosses the panel's: of a panel 1000 long and 400 wide the end is engaged to
/// half the line's length, 200 mm.
#[test]
fn edge_banding_across_an_end_by_hand() {
    let parts = [
        part("panel", 1000.0, 400.0, 20.0),
        part("strip", 420.0, 20.0, 6.0),
    ];
    let plan = plan(
        "[[joints.edge_banding]]\ninto = \"panel\"\npiece = \"strip\"\nalong = \"width\"\n",
        &parts,
    );
    let bond = &plan.bonds[0];
    near(bond.width.mm(), 400.0);
    near(bond.band.mm(), 20.0);
    assert_eq!(
        (bond.moves.axis, bond.moves.square),
        (Axis::Width, Axis::Length)
    );
    near(bond.moves.extent.mm(), 200.0);
    assert_eq!(
        (bond.holds.axis, bond.holds.square),
        (Axis::Length, Axis::Thickness)
    );
    near(bond.holds.extent.mm(), 6.0);
}

/// Along a long edge grain runs with grain: both axes of the line are lengths, and what differs is a trifle.
#[test]
fn edge_banding_along_the_grain_is_same_grain() {
    let parts = [
        part("panel", 1000.0, 400.0, 20.0),
        part("strip", 1020.0, 20.0, 6.0),
    ];
    let plan = plan(
        "[[joints.edge_banding]]\ninto = \"panel\"\npiece = \"strip\"\nalong = \"length\"\n",
        &parts,
    );
    assert_eq!(plan.bonds[0].moves.axis, plan.bonds[0].holds.axis);
}

/// A batten across a board: the joint is as long as the board is wide and reaches as far as the batten is wide.
#[test]
fn cross_grain_by_hand() {
    let parts = [
        part("top", 1200.0, 420.0, 22.0),
        part("batten", 430.0, 45.0, 20.0),
    ];
    let text = "[[joints.cross_grain]]\npiece = \"top\"\ninto = \"batten\"\n";
    let asked = plan(text, &parts);
    let bond = &asked.bonds[0];
    near(bond.width.mm(), 420.0);
    near(bond.band.mm(), 45.0);
    near(bond.from_fixed.mm(), 210.0);
    near(bond.moves.extent.mm(), 22.0);
    near(bond.holds.extent.mm(), 20.0);
    assert_eq!(bond.design, Design::Asked);
    let middle = plan(
        &format!("{text}design = \"glue the middle\"\nglue_over = \"70mm\"\n"),
        &parts,
    );
    assert_eq!(middle.bonds[0].design, Design::GluedOver(mm(70.0)));
}

/// A shelf's end in a glued dado, 300 mm of it: the shelf is engaged to half that length; the side, 18 mm thick, on
/// either side of the 20 mm dado over 0.3 x (300 - 20) = 84 mm: 18 x (20 + 168)/20 = 169.2.
#[test]
fn dado_bond_by_hand() {
    let parts = [
        part("side", 900.0, 320.0, 18.0),
        part("shelf", 800.0, 300.0, 20.0),
    ];
    let plan = plan(
        "[[joints.dado]]\ninto = \"side\"\npiece = \"shelf\"\nat = \"300mm\"\ndepth = \"6mm\"\n",
        &parts,
    );
    let bond = &plan.bonds[0];
    assert_eq!(
        (bond.moves.axis, bond.holds.axis),
        (Axis::Width, Axis::Width)
    );
    near(bond.moves.extent.mm(), 150.0);
    near(bond.holds.extent.mm(), 169.2);
}

/// A shelf slid into a dovetailed channel moves with the board; a batten does not.
#[test]
fn sliding_dovetail_bonds_by_hand() {
    let parts = [
        part("board", 900.0, 300.0, 22.0),
        part("batten", 300.0, 45.0, 30.0),
        part("shelf", 700.0, 300.0, 20.0),
    ];
    let plan_of = |piece: &str, axis: &str| {
        plan(
            &format!(
                "[[joints.sliding_dovetail]]\ninto = \"board\"\npiece = \"{piece}\"\npiece_axis = \"{axis}\"\nat = \"200mm\"\ndepth = \"8mm\"\nglued = \"60mm\"\n"
            ),
            &parts,
        )
    };
    let batten = &plan_of("batten", "length").bonds[0];
    assert_eq!(
        (batten.moves.part, batten.moves.axis),
        (PartId(0), Axis::Width)
    );
    assert_eq!(
        (batten.holds.part, batten.holds.axis),
        (PartId(1), Axis::Length)
    );
    assert_eq!(batten.design, Design::GluedOver(mm(60.0)));
    let shelf = &plan_of("shelf", "width").bonds[0];
    assert_eq!(
        (shelf.moves.part, shelf.moves.axis),
        (PartId(2), Axis::Width)
    );
    assert_eq!(
        (shelf.holds.part, shelf.holds.axis),
        (PartId(0), Axis::Width)
    );
}

/// Where nothing is given: the tenon is a third of its rail and ends 1.5 mm before the bottom of its mortise, of a shallow one a quarter;
/// its mortise lies in the middle (common practice, no source).
#[test]
fn a_tenon_by_the_usual_thirds() {
    let parts = [
        part("stile", 700.0, 60.0, 24.0),
        part("rail", 400.0, 50.0, 21.0),
    ];
    for (depth, long) in [(40.0, 38.5), (4.0, 3.0)] {
        let plan = plan(
            &format!(
                "[[joints.mortise_and_tenon]]\ninto = \"stile\"\npiece = \"rail\"\nat = \"10mm\"\ndepth = \"{depth}mm\"\n"
            ),
            &parts,
        );
        let sizes = plan.still_cuts_mm(&Motion::still(2, 1));
        let found: Vec<(f64, f64, f64)> = plan
            .housings
            .iter()
            .map(|cut| {
                let mm = |setting: heartside::joint::Setting| setting.length(&sizes).mm();
                (mm(cut.from_reference), mm(cut.width), mm(cut.depth))
            })
            .collect();
        let [along, across, stays] = found[..] else {
            panic!("three cuts")
        };
        near(along.0, 10.0);
        assert!(along.1 > 50.0 && along.1 < 52.0, "{along:?}");
        near(along.2, depth);
        near(across.0, 8.5);
        assert!(across.1 >= 7.0 && across.1 < 7.3, "{across:?}");
        near(across.2, depth);
        near(stays.0, 7.0);
        near(stays.1, 7.0);
        near(stays.2, long);
        let bond = &plan.bonds[0];
        near(bond.width.mm(), 50.0);
        near(bond.band.mm(), depth);
        near(bond.from_fixed.mm(), 25.0);
        near(bond.moves.extent.mm(), 7.0);
        near(bond.holds.extent.mm(), 17.0);
    }
}
