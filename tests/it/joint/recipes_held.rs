//! Recipes whose part stays inside a opening: each worked out by hand.
//!
//! Moving sizes in these examples, over today's: across the grain 0.985 at the driest and 1.010 at the wettest,
//! through the thickness 0.990 and 1.005, along the grain 1 and 1, unless given.

use super::*;
use heartside::joint::{Behind, CutFace, Setting, When};

const ACROSS: (f64, f64) = (0.985, 1.010);
const THROUGH: (f64, f64) = (0.990, 1.005);

fn across(part: usize) -> (usize, Axis, f64, f64) {
    (part, Axis::Width, ACROSS.0, ACROSS.1)
}

fn through(part: usize) -> (usize, Axis, f64, f64) {
    (part, Axis::Thickness, THROUGH.0, THROUGH.1)
}

/// A shelf 20 mm thick, loose in a dado: play 0 to 0.5 mm all year.
/// * The dado's width runs along the side's grain and stays.
/// * Wettest: the shelf is 20 x 1.005 = 20.10; no clearance left at a dado of 20.10.
/// * Driest: 20 x 0.990 = 19.80; half a millimetre of clearance at 20.30.
/// * The cut is the middle, 20.20: 0.10 of clearance at the wettest, 0.40 at the driest.
#[test]
fn dado_by_hand() {
    let parts = [
        part("side", 900.0, 320.0, 18.0),
        part("shelf", 800.0, 300.0, 20.0),
    ];
    let plan = plan(
        "[[joints.dado]]\ninto = \"side\"\npiece = \"shelf\"\nat = \"300mm\"\ndepth = \"6mm\"\nglued = false\n",
        &parts,
    );
    let motion = motion(2, &[across(0), through(0), across(1), through(1)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, 20.10);
    near(high, 20.30);
    let u = cut(&plan, 0, &motion);
    near(u, 20.20);
    near(gap(&plan, 0, &motion, WET, u), 0.10);
    near(gap(&plan, 0, &motion, DRY, u), 0.40);
    assert!(plan.bonds.is_empty());
    let housing = &plan.housings[0];
    assert_eq!(housing.face, CutFace::Inside);
    near(housing.from_reference.length(&[u]).mm(), 300.0);
    near(housing.width.length(&[u]).mm(), 20.20);
    near(housing.depth.length(&[u]).mm(), 6.0);
}

/// Glued, only the day of assembly counts (0 to 0.15 mm), and what comes after is a bond along the shelf's width.
#[test]
fn glued_dado_by_hand() {
    let parts = [
        part("side", 900.0, 320.0, 18.0),
        part("shelf", 800.0, 300.0, 20.0),
    ];
    let plan = plan(
        "[[joints.dado]]\ninto = \"side\"\npiece = \"shelf\"\nat = \"300mm\"\ndepth = \"6mm\"\n",
        &parts,
    );
    assert_eq!(plan.fits[0].when, When::Assembly);
    let still = motion(2, &[]);
    near(cut(&plan, 0, &still), 20.075);
    assert_eq!(plan.bonds.len(), 1);
    near(plan.bonds[0].width.mm(), 300.0);
}

/// A bottom 6 mm thick in a groove along an edge; the groove's width runs through the side's thickness and moves too.
/// * Wettest: groove u x 1.005, bottom 6 x 1.005: no clearance at u = 6.
/// * Driest: 0.990 u - 0.990 x 6 = 0.5 at u = 6.5051; today u - 6 = 0.5 at u = 6.5;
///   wettest 1.005 u - 6.03 = 0.5 at u = 6.4975.
/// * So 6 to 6.4975, the middle 6.2488.
#[test]
fn groove_in_an_edge_by_hand() {
    let parts = [
        part("side", 350.0, 100.0, 12.0),
        part("bottom", 400.0, 340.0, 6.0),
    ];
    let plan = plan(
        "[[joints.groove]]\ninto = \"side\"\npiece = \"bottom\"\nfrom = \"3mm\"\ndepth = \"6mm\"\n",
        &parts,
    );
    let motion = motion(2, &[across(0), through(0), across(1), through(1)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, 6.0);
    near(high, 6.4975);
    near(cut(&plan, 0, &motion), 6.2488);
    assert_eq!(plan.housings[0].along, Axis::Thickness);
}

/// In a broad face the same groove runs across the side's grain, which moves more than the bottom's thickness does.
/// * Driest: 0.985 u - 5.94 >= 0 at u = 6.0305; wettest: 1.010 u - 6.03 <= 0.5 at u = 6.4653.
#[test]
fn groove_in_a_face_by_hand() {
    let parts = [
        part("side", 350.0, 100.0, 12.0),
        part("bottom", 400.0, 340.0, 6.0),
    ];
    let plan = plan(
        "[[joints.groove]]\ninto = \"side\"\npiece = \"bottom\"\nface = \"inside\"\nfrom = \"10mm\"\ndepth = \"6mm\"\n",
        &parts,
    );
    let motion = motion(2, &[across(0), through(0), across(1), through(1)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, 6.0305);
    near(high, 6.4653);
}

const PANEL: &str = "[[joints.frame_and_panel]]\npiece = \"panel\"\ninto = \"stile\"\nrail = \"rail\"\nopening = \"330mm\"\n";

fn panel_parts() -> [PartFacts; 3] {
    [
        part("stile", 700.0, 60.0, 22.0),
        part("rail", 400.0, 70.0, 22.0),
        part("panel", 560.0, 350.0, 10.0),
    ]
}

/// A panel 350 mm wide in an opening of 330, held at its centre; stiles move across their width as thickness does here.
/// * Today 10 mm of it are in either groove.
/// * Wettest: the panel is 353.5; the room in a groove u deep is (330 + 2 x 1.005 u - 353.5)/2 = 1.005 u - 11.75, at
///   minimum 1 at u = 12.6866.
/// * Driest: 344.75 wide; (344.75 - 330)/2 = 7.375 are still in whatever the depth, more than 5.
/// * The groove is no deeper than it must be: 12.687. At the driest it is 12.5597 deep and the room 5.1847.
#[test]
fn panel_in_grooves_by_hand() {
    let parts = panel_parts();
    let plan = plan(PANEL, &parts);
    let motion = motion(3, &[(0, Axis::Width, 0.990, 1.005), across(2)]);
    let u = cut(&plan, 0, &motion);
    near(u, 12.6866);
    near(gap(&plan, 0, &motion, WET, u), 1.0);
    near(gap(&plan, 0, &motion, DRY, u), 5.1847);
    let found = plan.fits[0].extremes(&motion, &DAYS, u).unwrap();
    // what is spare above the 5 mm that must stay in: 7.375 - 5
    near(found.spare_loose_mm, 2.375);
    assert_eq!((found.min.day, found.max.day), (WET, DRY));
    // stiles and rails are both grooved
    assert_eq!(plan.housings.len(), 2);
    assert!(plan.notes[0].contains("a pin"));
}

/// Held at one edge, which stands at the bottom of its groove, the other takes all.
/// * Wettest: 330 + 2.010 u - 353.5 >= 1 at u = 12.1891.
/// * Driest: 330 + 1.980 u - 344.75 <= 0.990 u - 5 at u <= 9.8485. No groove does both.
#[test]
fn panel_held_at_an_edge_by_hand() {
    let parts = panel_parts();
    let plan = plan(&format!("{PANEL}held = \"edge\"\n"), &parts);
    let motion = motion(3, &[(0, Axis::Width, 0.990, 1.005), across(2)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, 12.1891);
    near(high, 9.8485);
    assert!(!plan.fits[0].cut_interval(&motion, &DAYS).is_possible());
    // and the cut then stands between the two
    near(cut(&plan, 0, &motion), 11.0188);
}

/// The panel to be cut for grooves 12 mm deep.
/// * Wettest: (330 + 24.12 - 1.010 p)/2 >= 1 at p <= 348.6337.
/// * Driest: (330 + 23.76 - 0.985 p)/2 <= 11.88 - 5 at p >= 345.1777.
/// * The middle: 346.9057.
#[test]
fn panel_cut_for_its_grooves_by_hand() {
    let parts = panel_parts();
    let plan = plan(
        &format!("{PANEL}depth = \"12mm\"\ncut = \"panel\"\n"),
        &parts,
    );
    let motion = motion(3, &[(0, Axis::Width, 0.990, 1.005), across(2)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, 345.1777);
    near(high, 348.6337);
    near(cut(&plan, 0, &motion), 346.9057);
}

/// A spot of glue is a bond across the panel's grain, along the rail's.
#[test]
fn a_glue_spot_is_a_bond() {
    let plan = plan(&format!("{PANEL}glue_spot = \"40mm\"\n"), &panel_parts());
    let bond = &plan.bonds[0];
    near(bond.width.mm(), 40.0);
    assert_eq!((bond.moves.part, bond.moves.axis), (PartId(2), Axis::Width));
    assert_eq!(
        (bond.holds.part, bond.holds.axis),
        (PartId(1), Axis::Length)
    );
    assert!(plan.notes[0].contains("spot of glue 40 mm"));
}

/// A back 826 mm wide in steps of the sides, opening 800, step cut through the side's thickness.
/// * Wettest: the back is 834.26; (800 + 2.010 u - 834.26)/2 >= 1 at u = 18.0398.
/// * Driest: 813.61; 6.805 still lie on the step, more than 5.
#[test]
fn rabbet_by_hand() {
    let parts = [
        part("side", 900.0, 320.0, 25.0),
        part("floor", 820.0, 300.0, 20.0),
        part("back", 880.0, 826.0, 8.0),
    ];
    let plan = plan(
        "[[joints.rabbet]]\npiece = \"back\"\ninto = \"side\"\nrail = \"floor\"\nopening = \"800mm\"\n",
        &parts,
    );
    let motion = motion(3, &[through(0), across(2)]);
    let u = cut(&plan, 0, &motion);
    near(u, 18.0398);
    near(gap(&plan, 0, &motion, WET, u), 1.0);
    near(
        plan.fits[0]
            .extremes(&motion, &DAYS, u)
            .unwrap()
            .spare_loose_mm,
        1.805,
    );
    assert_eq!(plan.housings[0].behind, Behind::Lip);
    near(plan.housings[0].depth.length(&[u]).mm(), 8.0);
}

/// Boards 100 mm wide on a wall, tongue 8 mm, each held at its middle: the pitch stays.
/// * Wettest: the board is 101; the gap u - 1 is at least 0.5 at u = 1.5.
/// * Driest: 98.5; the gap is u + 1.5, the tongue 7.88, of which 2 stay in at u <= 4.38.
/// * The smallest: 1.5 today, 0.5 at the wettest, 3.0 at the driest.
#[test]
fn tongue_and_groove_by_hand() {
    let parts = [
        part("board", 2000.0, 100.0, 18.0),
        part("batten", 2400.0, 45.0, 25.0),
    ];
    let plan = plan(
        "[[joints.tongue_and_groove]]\npiece = \"board\"\ninto = \"batten\"\ntongue = \"8mm\"\n",
        &parts,
    );
    let motion = motion(2, &[across(0), across(1)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, 1.5);
    near(high, 4.38);
    let u = cut(&plan, 0, &motion);
    near(gap(&plan, 0, &motion, WET, u), 0.5);
    near(gap(&plan, 0, &motion, DRY, u), 3.0);
    // the groove is a millimetre deeper than the tongue, so that the shoulders meet first
    near(plan.housings[0].depth.length(&[]).mm(), 9.0);
    near(plan.housings[1].depth.length(&[]).mm(), 8.0);
    near(plan.housings[0].width.length(&[]).mm(), 6.0);
    near(plan.housings[0].from_reference.length(&[]).mm(), 6.0);
}

/// A tenon 60 x 7 mm on a rail 80 x 22, glued into the edge of a stile 22 mm thick.
/// * At assembly 0 to 0.15 of clearance at the cheeks: the mortise is 7.075 wide.
/// * 0.2 to 1.0 of clearance at the edges: it is 60.6 long.
/// * It lies in the middle: (22 - 7)/2 = 7.5 from the face.
#[test]
fn mortise_and_tenon_by_hand() {
    let parts = [
        part("stile", 700.0, 60.0, 22.0),
        part("rail", 400.0, 80.0, 22.0),
    ];
    let text = "[[joints.mortise_and_tenon]]\ninto = \"stile\"\npiece = \"rail\"\nat = \"10mm\"\ntenon_width = \"60mm\"\ntenon_thickness = \"7mm\"\ndepth = \"32mm\"\n";
    let plan = plan(text, &parts);
    let still = motion(2, &[]);
    let cuts = [cut(&plan, 0, &still), cut(&plan, 1, &still)];
    near(cuts[0], 7.075);
    near(cuts[1], 60.6);
    let [length, width, tenon] = &plan.housings[..] else {
        panic!("{:?}", plan.housings)
    };
    near(length.width.length(&cuts).mm(), 60.6);
    near(length.from_reference.length(&cuts).mm(), 10.0);
    near(width.width.length(&cuts).mm(), 7.075);
    near(width.from_reference.length(&cuts).mm(), 7.5);
    near(tenon.width.length(&cuts).mm(), 7.0);
    // short of the bottom by 1.5 mm
    near(tenon.depth.length(&cuts).mm(), 30.5);
    // the bond: the tenon, glued on both cheeks, against what is left of the stile beside it
    let bond = &plan.bonds[0];
    assert!(bond.both_faces);
    near(bond.width.mm(), 60.0);
    near(bond.moves.extent.mm(), 7.0);
    near(bond.holds.extent.mm(), 15.0);
    near(bond.band.mm(), 32.0);
}

/// In a broad face the mortise's width runs across the grain of the part it is cut into: over the year a dry
/// tenon there has to live with both. Unglued, play 0 to 0.5 mm all year.
/// * Wettest: 1.010 u - 7 x 1.005 >= 0 always met at u = 7; driest: 0.985 u - 6.93 >= 0 at u = 7.0355.
/// * Wettest: 1.010 u - 7.035 <= 0.5 at u = 7.4604.
#[test]
fn mortise_in_a_face_by_hand() {
    let parts = [
        part("leg", 700.0, 60.0, 45.0),
        part("rail", 400.0, 80.0, 22.0),
    ];
    let plan = plan(
        "[[joints.mortise_and_tenon]]\ninto = \"leg\"\npiece = \"rail\"\nat = \"10mm\"\ntenon_width = \"60mm\"\ntenon_thickness = \"7mm\"\ndepth = \"32mm\"\nface = \"inside\"\nglued = false\n",
        &parts,
    );
    let motion = motion(2, &[across(0), through(0), through(1)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, 7.0355);
    near(high, 7.4604);
}

/// A drawer front in an opening of 150 mm, gap 0.8 to 3 mm a side.
/// * Wettest: (150 - 1.010 u)/2 >= 0.8 at u <= 146.9307.
/// * Driest: (150 - 0.985 u)/2 <= 3 at u >= 146.1929.
/// * The middle: 146.5618; today 1.719 a side.
#[test]
fn inset_by_hand() {
    let parts = [
        part("post", 150.0, 45.0, 22.0),
        part("front", 400.0, 150.0, 20.0),
    ];
    let plan = plan(
        "[[joints.inset]]\npiece = \"front\"\ninto = \"post\"\nopening = \"150mm\"\n",
        &parts,
    );
    let motion = motion(2, &[across(1)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, 146.1929);
    near(high, 146.9307);
    let u = cut(&plan, 0, &motion);
    near(u, 146.5618);
    near(gap(&plan, 0, &motion, TODAY, u), 1.7191);
}

/// A door 78 mm wide hinged in an opening of 80: the hinge keeps 0.8, the free edge shows all of the movement.
/// * Wettest: 80 - 1.010 u - 0.8 >= 0.8 at u <= 77.6238.
/// * Driest: 80 - 0.985 u - 0.8 <= 3 at u >= 77.3604.
/// * The middle, 77.4921: free gap today 1.7079, at the driest 2.8703.
#[test]
fn hinged_inset_by_hand() {
    let parts = [
        part("rail", 80.0, 45.0, 22.0),
        part("door", 400.0, 80.0, 20.0),
    ];
    let plan = plan(
        "[[joints.inset]]\npiece = \"door\"\ninto = \"rail\"\nopening = \"80mm\"\nheld = \"hinge\"\n",
        &parts,
    );
    let motion = motion(2, &[across(1)]);
    let u = cut(&plan, 0, &motion);
    near(u, 77.4921);
    near(gap(&plan, 0, &motion, TODAY, u), 1.7079);
    near(gap(&plan, 0, &motion, DRY, u), 2.8703);
    assert!(plan.fits[0].words.gap.contains("free edge"));
}

/// A drawer side standing in an opening of 100 mm, running on its lower edge: all play shows above it. The sides are
/// quartersawn here: 0.990 and 1.005 across their width.
/// * Wettest: 100 - 1.005 u >= 0.8 at u <= 98.7065. Driest: 100 - 0.990 u <= 3 at u >= 97.9798.
#[test]
fn drawer_by_hand() {
    let parts = [
        part("post", 100.0, 45.0, 22.0),
        part("drawer side", 350.0, 100.0, 12.0),
    ];
    let plan = plan(
        "[[joints.drawer]]\npiece = \"drawer side\"\ninto = \"post\"\nopening = \"100mm\"\n",
        &parts,
    );
    let motion = motion(2, &[(1, Axis::Width, 0.990, 1.005)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, 97.9798);
    near(high, 98.7065);
    near(cut(&plan, 0, &motion), 98.3431);
}

/// Three overlay fronts one above the other on a span of 600 mm, screwed at their middles; reveals 1 to 4 mm, the outer two
/// half as wide, so that there are as many as fronts. Quartersawn: 0.990 and 1.005.
/// * Wettest: 200 - 1.005 u >= 1 at u <= 198.0100. Driest: 200 - 0.990 u <= 4 at u >= 197.9798.
#[test]
fn overlay_fronts_by_hand() {
    let parts = [
        part("post", 600.0, 45.0, 22.0),
        part("front", 400.0, 200.0, 20.0),
    ];
    let plan = plan(
        "[[joints.overlay]]\npiece = \"front\"\ninto = \"post\"\nspan = \"600mm\"\ndoors = 3\n",
        &parts,
    );
    let motion = motion(2, &[(1, Axis::Width, 0.990, 1.005)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, 197.9798);
    near(high, 198.0100);
}

/// A pair of framed doors hinged outside on a span of 400, 2 mm kept at each hinge: where they meet, both their movements
/// show. Framed doors move little: 0.998 and 1.001.
/// * Wettest: 400 - 4 - 2.002 u >= 1 at u <= 197.3027. Driest: 396 - 1.996 u <= 4 at u >= 196.3928.
#[test]
fn overlay_pair_by_hand() {
    let parts = [
        part("rail", 400.0, 45.0, 22.0),
        part("door", 700.0, 198.0, 20.0),
    ];
    let plan = plan(
        "[[joints.overlay]]\npiece = \"door\"\ninto = \"rail\"\nspan = \"400mm\"\ndoors = 2\nheld = \"hinge\"\nhinge_reveal = \"2mm\"\n",
        &parts,
    );
    let motion = motion(2, &[(1, Axis::Width, 0.998, 1.001)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, 196.3928);
    near(high, 197.3027);
}

fn reveal(stop: &str) -> JointPlan {
    let parts = [
        part("case side", 700.0, 420.0, 20.0),
        part("front", 400.0, 150.0, 20.0),
        part("drawer side", 380.0, 120.0, 12.0),
    ];
    plan(
        &format!(
            "[[joints.front_reveal]]\ninto = \"case side\"\npiece = \"front\"\ncarrier = \"drawer side\"\nstop = \"{stop}\"\n"
        ),
        &parts,
    )
}

/// A flush drawer front 20 mm thick, stopped 40 mm behind the case's edge; drift of 1 mm either way is allowed. Set back
/// today by u:
/// * Driest: the edge stands 39.4 before the stop, the front's face 20 - u + 19.8: the step is u - 0.4.
/// * Wettest: 40.4 against 20 - u + 20.1: u + 0.3.
/// * Within -1 and 1 for u from -0.6 to 0.7, the middle 0.05.
#[test]
fn front_reveal_by_hand() {
    let plan = reveal("40mm");
    let motion = motion(3, &[across(0), through(1)]);
    let (low, high) = interval(&plan, 0, &motion);
    near(low, -0.6);
    near(high, 0.7);
    near(gap(&plan, 0, &motion, DRY, 0.0), -0.4);
    near(gap(&plan, 0, &motion, WET, 0.0), 0.3);
}

/// The same drawer stopped at the back of the case, 400 mm behind the edge: the edge stands at 394 and 404, the face at
/// 380 + 19.8 and 380 + 20.1: the front drifts from 5.8 proud to 3.9 behind, and no setting keeps it flush.
#[test]
fn a_stop_at_the_back_lets_the_front_drift() {
    let plan = reveal("400mm");
    let motion = motion(3, &[across(0), through(1)]);
    near(gap(&plan, 0, &motion, DRY, 0.0), -5.8);
    near(gap(&plan, 0, &motion, WET, 0.0), 3.9);
    assert!(!plan.fits[0].cut_interval(&motion, &DAYS).is_possible());
}

/// A button's tongue of 12 mm in an apron 200 mm from the fixed point, 4 mm of it to stay in:
/// * Wettest: the top has grown by 2; the shoulder still stands off 0.3 at u >= 2.3.
/// * Driest: it has shrunk by 3; u + 3 <= 12 - 4 at u <= 5.0.
/// * The middle: 3.65 today. A groove of 12.7 never bottoms: the shoulder stops 0.3 short first, the tongue 1 short.
#[test]
fn table_top_button_by_hand() {
    let parts = [
        part("top", 1200.0, 420.0, 22.0),
        part("end rail", 360.0, 90.0, 20.0),
        part("apron", 1000.0, 90.0, 20.0),
    ];
    let text = "[[joints.table_top_button]]\npiece = \"top\"\nrail = \"end rail\"\ninto = \"apron\"\nfrom_fixed = \"200mm\"\ntongue = \"12mm\"\n";
    let motion = motion(3, &[across(0), across(2)]);
    let asked = plan(text, &parts);
    let (low, high) = interval(&asked, 0, &motion);
    near(low, 2.3);
    near(high, 5.0);
    near(cut(&asked, 0, &motion), 3.65);
    near(asked.housings[0].depth.length(&[]).mm(), 12.7);
    // A groove of 10 bottoms first: the shoulder must stand off by 12 + 1 - 10 = 3 at the wettest, so by 5 today.
    let shallow = plan(&format!("{text}depth = \"10mm\"\n"), &parts);
    let (low, high) = interval(&shallow, 0, &motion);
    near(low, 5.0);
    near(high, 5.0);
    assert_eq!(shallow.housings[0].depth, Setting::Known(mm(10.0)));
}
