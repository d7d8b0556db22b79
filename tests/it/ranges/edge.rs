//! Numbers at the edge: oven-dry and saturated wood, the thinnest and the widest board, the pith a hair outside,
//! supports at one place, one leaf, a saw that takes nothing.

use super::*;
use approx::assert_relative_eq;
use heartside::carcass::{BowedPanel, Support, straighten};
use heartside::forecast::{Airs, Forecast, forecast};
use heartside::job;
use heartside::movement::{Direction, Face, GivenRings, RingStrains, Rings, Section};
use heartside::panel::{LeafMatch, MoistureChange, Panel, Weights, leaves_csv, settle_woods};
use heartside::report;
use heartside::species::SpeciesTable;
use heartside::stock::{Board, BoardOrder, ResawPlan, Wood, forecast_pack};
use heartside::units::Stress;

fn oak() -> Shrinkage {
    Shrinkage::of(SpeciesTable::built_in().find("oak, white").unwrap())
}

/// A job of boards, each given by thickness, width, length, moisture and rings, in the opening of a frame.
fn job_of(boards: &[[&str; 5]]) -> String {
    let mut text = "format = 2\n[job]\nname = \"Edge\"\ndraws = 16\n\
         [places.shop]\nair = { temperature = \"18C\", humidity = \"55%\" }\n\
         [places.home]\nseasons = { winter = \"0%\", summer = \"100%\", temperature = \"20C\" }\n\
         [schedule]\nmeasured = 2026-10-05\ndelivered = 2026-11-20\n\
         [[parts]]\nname = \"frame\"\nspecies = \"maple, sugar\"\nthickness = \"20 mm\"\nwidth = \"5000 mm\"\n\
         length = \"30000 mm\"\nmoisture = \"9%\"\nrings = { sawn = \"quarter\" }\n"
        .to_owned();
    for (i, [thickness, width, length, moisture, rings]) in boards.iter().enumerate() {
        text += &format!(
            "[[parts]]\nname = \"board {i}\"\nspecies = \"oak, white\"\nthickness = \"{thickness}\"\n\
             width = \"{width}\"\nlength = \"{length}\"\nmoisture = \"{moisture}\"\nrings = {rings}\n\
             [[joints.inset]]\npiece = \"board {i}\"\npiece_axis = \"width\"\ninto = \"frame\"\n\
             into_axis = \"length\"\nopening = \"{width}\"\n"
        );
    }
    text
}

fn forecast_of(text: &str) -> Result<Forecast, String> {
    let table = SpeciesTable::built_in();
    let job = job::read(text, "edge.toml").map_err(|errors| errors.to_string())?;
    let airs = job
        .airs(|file| Err::<Vec<u8>, String>(file.path.clone()))
        .map_err(|_| "files".to_owned())?;
    let airs = Airs::new(airs.into_iter().map(|air| (air.year, air.notes)).collect());
    forecast(&job, table, &airs).map_err(|errors| errors.to_string())
}

#[test]
fn a_job_at_the_edge_is_forecast_without_a_number_that_is_none() {
    let flat = "{ sawn = \"flat\" }";
    let plain = ["20 mm", "200 mm", "800 mm"];
    let boards = [
        [plain[0], plain[1], plain[2], "0%", flat],
        [plain[0], plain[1], plain[2], "30%", flat],
        [plain[0], plain[1], plain[2], "200%", flat],
        [
            "0.1 mm",
            "5000 mm",
            "30000 mm",
            "0%",
            "{ pith_depth = \"20000 mm\" }",
        ],
        ["500 mm", "5 mm", "1 mm", "9%", flat],
        [
            "500 mm",
            "5000 mm",
            "30000 mm",
            "200%",
            "{ pith_depth = \"1 mm\", pith_offset = \"20000 mm\" }",
        ],
        [
            plain[0],
            plain[1],
            plain[2],
            "9%",
            "{ pith_depth = \"0.001 mm\" }",
        ],
        [
            plain[0],
            plain[1],
            plain[2],
            "9%",
            "{ pith_depth = \"-10 mm\", pith_offset = \"100.001 mm\" }",
        ],
        // The pith inside: widths are still numbers, and the answer says that the board will check.
        [
            plain[0],
            plain[1],
            plain[2],
            "9%",
            "{ pith_depth = \"-10 mm\" }",
        ],
    ];
    let text = job_of(&boards);
    let answer = forecast_of(&text).unwrap_or_else(|error| panic!("{text}\n{error}"));
    for (name, bytes) in report::files(&answer) {
        let page = String::from_utf8(bytes).unwrap();
        for none in ["NaN", ">inf", "\"inf", ">-inf"] {
            assert!(!page.contains(none), "{name} holds `{none}`");
        }
    }
    let json: serde_json::Value = serde_json::from_str(&report::json(&answer)).unwrap();
    for part in json["parts"].as_array().unwrap() {
        for key in ["width_driest_mm", "width_wettest_mm"] {
            assert!(part[key].is_number(), "{key}: {part}");
        }
    }
    let words = report::summary(&answer);
    assert_eq!(
        words.matches("the pith is inside: it will check").count(),
        1,
        "{words}"
    );
}

/// From oven-dry to saturation and back: the whole shrinkage on the green size (Wood Handbook Table 4-3: white oak
/// 5.6 % radial, 10.5 % tangential), and nothing beyond.
#[test]
fn oven_dry_and_saturated_wood() {
    let wood = oak();
    let saturation = wood.fiber_saturation_percent;
    let dried = wood.strain(Direction::Tangential, percent(saturation), percent(0.0));
    assert_relative_eq!(dried.ratio(), -0.105, epsilon = 1e-12);
    let wetted = wood.strain(Direction::Radial, percent(0.0), percent(saturation));
    assert_relative_eq!(wetted.ratio(), 1.0 / (1.0 - 0.056) - 1.0, epsilon = 1e-12);
    for (from, to) in [(saturation, 200.0), (200.0, saturation), (0.0, 0.0)] {
        assert_eq!(
            wood.strain(Direction::Tangential, percent(from), percent(to))
                .ratio(),
            0.0
        );
    }
}

/// The pith on the face: no shape. The pith a hair below it: the shape of the limit, in which the half circle of directions
/// above the pith closes or opens like a fan, by `pi (e_T - e_R)/(1 + e_R)`.
#[test]
fn the_pith_on_the_face_and_a_hair_below_it() {
    let strains = RingStrains {
        radial: strain(-0.02),
        tangential: strain(-0.05),
    };
    let board = |depth: f64| Section {
        width: mm(200.0),
        thickness: mm(20.0),
        rings: Rings::Pith {
            depth: mm(depth),
            offset: Length::ZERO,
        },
    };
    assert!(board(0.0).moved(strains).is_none());
    assert!(board(-20.0).moved(strains).is_none());
    assert!(board(-20.000_001).moved(strains).is_some());
    let moved = board(1e-6).moved(strains).unwrap();
    // Both halves of the heart face are rays from the pith, each shorter by the radial strain, and turned toward each
    // other by half the fan.
    let half_turn = std::f64::consts::FRAC_PI_2 * (0.98_f64.recip() * 0.95);
    let chord = 2.0 * 100.0 * 0.98 * half_turn.sin();
    assert_relative_eq!(moved.width(Face::Heart).mm(), chord, epsilon = 1e-3);
    let rise = 100.0 * 0.98 * half_turn.cos();
    assert_relative_eq!(moved.cup(Face::Heart).mm().abs(), rise, epsilon = 1e-3);
}

#[test]
fn supports_at_one_place_are_named() {
    let panel = BowedPanel::new(
        mm(900.0),
        mm(300.0),
        mm(12.0),
        Stress::computed_mpa(11_000.0),
        mm(9.0),
    )
    .unwrap();
    let at = |places: &[f64]| {
        let supports: Vec<Support> = places.iter().map(|x| Support::at(mm(*x))).collect();
        straighten(&panel, &supports)
    };
    for places in [
        [0.0, 450.0, 450.0, 900.0],
        [0.0, 0.0, 450.0, 900.0],
        [0.0, 450.0, 450.4, 900.0],
    ] {
        let error = at(&places).unwrap_err();
        assert!(error.to_string().contains("are at one place"), "{error}");
        assert!(error.to_string().contains("1 mm apart"), "{error}");
    }
    // A millimetre and a half apart they are two, and one of them pulls.
    let held = at(&[0.0, 450.0, 451.5, 900.0]).unwrap();
    assert!(
        held.supports
            .iter()
            .all(|support| support.against_crown.newtons().is_finite())
    );
}

/// A board that is not split keeps what it has; a saw that takes nothing loses nothing.
#[test]
fn one_leaf_and_no_kerf() {
    let wood = Wood {
        shrinkage: oak(),
        basic_gravity: 0.6,
    };
    let mut board = Board::plain(mm(2000.0), mm(200.0), mm(50.0), percent(9.0));
    board.bow = mm(4.0);
    let order = |leaves: usize, kerf: f64| BoardOrder {
        locked_in: Some(strain(500e-6)),
        ..BoardOrder::plain(board, wood, ResawPlan::equal(leaves, mm(kerf)))
    };
    let one = &forecast_pack(&[order(1, 0.0)]).unwrap()[0];
    assert_eq!(one.leaves.len(), 1);
    assert_relative_eq!(
        one.leaves[0].bow.off_saw.middle.mm().abs(),
        4.0,
        epsilon = 1e-9
    );
    let two = &forecast_pack(&[order(2, 0.0)]).unwrap()[0];
    let thickness: f64 = two
        .leaves
        .iter()
        .map(|leaf| leaf.slice.thickness().mm())
        .sum();
    assert_relative_eq!(thickness, 50.0, epsilon = 1e-9);
    // The board's own bow bends both the same way, the strain the two apart: a 3 a/H each at zero kerf.
    let bows: Vec<f64> = two
        .leaves
        .iter()
        .map(|leaf| leaf.bow.off_saw.middle.mm())
        .collect();
    let apart = 2000.0_f64.powi(2) / 8.0 * 3.0 * 500e-6 / 50.0;
    assert_relative_eq!((bows[0] + bows[1]) / 2.0, apart, max_relative = 1e-6);
    assert_relative_eq!((bows[0] - bows[1]).abs() / 2.0, 4.0, max_relative = 1e-6);
}

/// A panel of one leaf is that leaf, and a figure of pairs says what it needs.
#[test]
fn a_panel_of_one_leaf() {
    let text = "leaf,width_mm,thickness_mm,length_mm,bow_mm,pith_depth_mm\nA,150,9.5,900,3,60\n";
    let mut leaves = leaves_csv::read(text).unwrap();
    settle_woods(&mut leaves, Some("maple, sugar"), SpeciesTable::built_in()).unwrap();
    let change = MoistureChange {
        from: percent(10.0),
        to: percent(6.0),
    };
    let panel = Panel::new(
        leaves.clone(),
        LeafMatch::Random,
        change,
        Weights::default(),
    )
    .unwrap();
    let best = panel.best(3);
    assert!(best.first_is_proven);
    assert_relative_eq!(best.layouts[0].bow.mm().abs(), 3.0, epsilon = 1e-9);
    assert_eq!(best.layouts[0].seam_misfit, Length::ZERO);
    let error = Panel::new(leaves, LeafMatch::Bookmatch, change, Weights::default()).unwrap_err();
    assert!(error.to_string().contains("pair"), "{error}");
}

/// The pith on the bark face itself still is a telling; beyond it the section lies the wrong side up.
#[test]
fn the_pith_on_the_bark_face_is_given_and_beyond_it_refused() {
    let given = |depth: f64| GivenRings::Pith {
        depth: mm(depth),
        offset: Length::ZERO,
    };
    assert!(given(-20.0).rings(mm(200.0), mm(20.0)).is_ok());
    let error = given(-20.000_1).rings(mm(200.0), mm(20.0)).unwrap_err();
    assert!(error.to_string().contains("bark side up"), "{error}");
}
