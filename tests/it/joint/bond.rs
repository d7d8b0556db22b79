//! The bond: shear-lag against hand figures and finite elements, its limits, the slot.

use super::{mm, near};
use heartside::joint::bond::{
    RUPTURE_STRAIN, SET_STRAIN, SPLIT_HOLDS_PERCENT, STRENGTH_COV, modulus_across,
    split_chance_percent,
};
use heartside::joint::{Advice, Axis, BondJudgement, BondLine, Ply, ShearLag, Slot};
use heartside::species::SpeciesTable;
use heartside::units::{Length, Strain, Stress};
use serde::Deserialize;

fn mpa(value: f64) -> Stress {
    Stress::computed_mpa(value)
}

fn strain(value: f64) -> Strain {
    Strain::computed_ratio(value)
}

fn ply(thickness: f64, modulus: f64, shear: f64) -> Ply {
    Ply {
        thickness: mm(thickness),
        modulus: mpa(modulus),
        shear_modulus: mpa(shear),
    }
}

/// The pair of the hand figures: 885 and 246 MPa across the grain of one, 12300 and 1058 along that of the other.
fn pair() -> ShearLag {
    ShearLag::new(ply(19.0, 885.0, 246.0), ply(19.0, 12_300.0, 1058.0), 0.0)
}

/// By hand: c = 19/738 + 19/3174 = 0.0317314; 1/(885 x 19) + 1/(12300 x 19) = 6.37497e-5; lambda = 0.0448223;
/// E_B t_B/(E_A t_A + E_B t_B) = 0.932878.
/// * W 75: 1 - 1/cosh(1.68084) = 0.640046; times 0.932878 = 0.597085: of 0.01, 0.0060.
/// * W 150: 1 - 1/cosh(3.36168) = 0.930729: 0.868257. W 300: 1 - 1/cosh(6.72335) = 0.997595: 0.930635.
/// * End shear at 150 for 0.01: N = 0.01/6.37497e-5 = 156.8635 N/mm; times lambda tanh(3.36168): 7.0141 MPa.
#[test]
fn shear_lag_by_hand() {
    let lag = pair();
    for (width, held) in [(75.0, 0.597_085), (150.0, 0.868_257), (300.0, 0.930_635)] {
        let found = lag.held_fraction(mm(width));
        assert!((found - held).abs() < 1e-6, "{width}: {found} for {held}");
    }
    near(lag.end_shear(mm(150.0), strain(0.01)).mpa(), 7.0141);
    near(lag.end_shear(mm(150.0), strain(-0.01)).mpa(), 7.0141);
}

/// Other boards of the same woods: every stiffness of a ply times a factor, its shear with it.
#[test]
fn stiffer_boards_are_their_own_pair() {
    let found = pair().stiffer([1.3, 0.8]);
    let wanted = ShearLag::new(
        ply(19.0, 1.3 * 885.0, 1.3 * 246.0),
        ply(19.0, 0.8 * 12_300.0, 0.8 * 1058.0),
        0.0,
    );
    for width in [20.0, 75.0, 300.0] {
        let (found, wanted) = (
            found.held_fraction(mm(width)),
            wanted.held_fraction(mm(width)),
        );
        assert!((found - wanted).abs() < 1e-12, "{width}");
    }
    assert_eq!(
        pair().stiffer([1.0, 1.0]).held_fraction(mm(150.0)),
        pair().held_fraction(mm(150.0))
    );
}

/// A strength known for sure: what is held below it never splits the wood, what is above it always does.
#[test]
fn a_known_strength_is_a_limit() {
    for (share, chance) in [(0.98, 0.0), (1.02, 100.0)] {
        let found = split_chance_percent(strain(share * RUPTURE_STRAIN), 0.01, 0.0);
        assert!((found - chance).abs() < 1e-9, "{share}: {found}");
    }
}

#[derive(Deserialize)]
struct Reference {
    de: f64,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    pair: String,
    width_mm: f64,
    a: Board,
    b: Board,
    held_flat: f64,
    held_flat_on_half_the_cells: f64,
    held_free: f64,
    end_shear_mean_flat_mpa: f64,
}

#[derive(Deserialize)]
struct Board {
    t: f64,
    along: f64,
    shear: f64,
}

fn reference() -> Reference {
    let text = std::fs::read_to_string("tests/fixtures/joint/shear_lag_reference.json").unwrap();
    serde_json::from_str(&text).unwrap()
}

/// Against plane finite elements (tests/fixtures/joint/shear_lag_reference.py, its libraries named in the file): three
/// widths, two pairs of woods. At short lines, where the strain is not even through the thickness, the formula is up to
/// 12 % high for the first pair and as much low for the thick soft board of the second.
#[test]
fn shear_lag_against_finite_elements() {
    let reference = reference();
    assert_eq!(reference.cases.len(), 6);
    for case in &reference.cases {
        // the model itself has settled: half the cells give the same to 1 in 1000
        assert!((case.held_flat / case.held_flat_on_half_the_cells - 1.0).abs() < 1e-3);
        let lag = ShearLag::new(
            ply(case.a.t, case.a.along, case.a.shear),
            ply(case.b.t, case.b.along, case.b.shear),
            0.0,
        );
        let over = lag.held_fraction(mm(case.width_mm)) * reference.de / case.held_flat - 1.0;
        let most = match case.width_mm as u32 {
            75 => 0.12,
            _ => 0.025,
        };
        assert!(over.abs() < most, "{} {}: {over}", case.pair, case.width_mm);
        let shear = lag
            .end_shear_mean(mm(case.width_mm), strain(reference.de))
            .mpa();
        let over = shear / case.end_shear_mean_flat_mpa - 1.0;
        assert!(over.abs() < 0.20, "{} {}: {over}", case.pair, case.width_mm);
        // free to bend, the middle holds less
        assert!(case.held_free < 0.95 * case.held_flat);
    }
}

/// The figures of an earlier, independent run of the same model: 0.0056, 0.0085 and 0.0093 held flat,
/// 0.0040, 0.0052 and 0.0053 free to bend (derived).
#[test]
fn finite_elements_agree_with_an_independent_run() {
    let cases = reference().cases;
    let first = cases.iter().filter(|case| case.pair.starts_with("oak"));
    for (case, (flat, free)) in first.zip([(0.0056, 0.0040), (0.0085, 0.0052), (0.0093, 0.0053)]) {
        assert!(
            (case.held_flat / flat - 1.0).abs() < 0.03,
            "{}",
            case.held_flat
        );
        assert!(
            (case.held_free / free - 1.0).abs() < 0.03,
            "{}",
            case.held_free
        );
    }
    // of the pair's 75 mm the formula holds 0.00597, 7 to 12 % more than either model
    let over = 0.005_970_9 / 0.0056 - 1.0;
    assert!((0.06..0.12).contains(&over));
}

#[test]
fn a_line_of_no_width_holds_nothing() {
    let lag = pair();
    assert_eq!(lag.held_fraction(Length::ZERO), 0.0);
    assert_eq!(lag.held_fraction_b(Length::ZERO), 0.0);
    assert_eq!(lag.end_shear(Length::ZERO, strain(0.01)).mpa(), 0.0);
    assert_eq!(lag.end_shear_mean(Length::ZERO, strain(0.01)).mpa(), 0.0);
    // a short line holds in proportion to its square: cosh x = 1 + x^2/2
    let ratio = lag.held_fraction(mm(0.2)) / lag.held_fraction(mm(0.1));
    assert!((ratio - 4.0).abs() < 1e-3, "{ratio}");
}

/// A holder without give and a line without end hold everything; the shear stays finite.
#[test]
fn a_rigid_holder_and_a_long_line_hold_everything() {
    let rigid = ShearLag::new(ply(19.0, 885.0, 246.0), ply(19.0, 1e12, 1e12), 0.0);
    assert!((rigid.held_fraction(mm(5000.0)) - 1.0).abs() < 1e-6);
    assert!(rigid.held_fraction_b(mm(5000.0)) < 1e-6);
    assert!(
        rigid
            .end_shear_mean(mm(100_000.0), strain(0.01))
            .mpa()
            .is_finite()
    );
    // and a holder of straw holds nothing
    let straw = ShearLag::new(ply(19.0, 885.0, 246.0), ply(19.0, 1e-6, 1e-6), 0.0);
    assert!(straw.held_fraction(mm(5000.0)) < 1e-6);
}

/// Two alike hold each other half, whichever is called the first.
#[test]
fn two_alike_share_the_difference() {
    let alike = ShearLag::new(ply(19.0, 885.0, 246.0), ply(19.0, 885.0, 246.0), 0.0);
    assert!((alike.held_fraction(mm(5000.0)) - 0.5).abs() < 1e-9);
    assert!((alike.held_fraction_b(mm(5000.0)) - 0.5).abs() < 1e-9);
    let swapped = ShearLag::new(ply(19.0, 12_300.0, 1058.0), ply(19.0, 885.0, 246.0), 0.0);
    let width = mm(120.0);
    assert!((pair().held_fraction(width) - swapped.held_fraction_b(width)).abs() < 1e-12);
}

/// The mean over the ends is never more than the peak and tends to it over lines much shorter than it is taken over.
#[test]
fn the_mean_end_shear_lies_below_the_peak() {
    let lag = pair();
    for width in [1.0, 20.0, 75.0, 300.0] {
        let (mean, peak) = (
            lag.end_shear_mean(mm(width), strain(0.01)).mpa(),
            lag.end_shear(mm(width), strain(0.01)).mpa(),
        );
        assert!(mean < peak, "{width}");
    }
    // shear grows straight from the middle of a short line: the mean is half the peak
    let ratio = lag.end_shear_mean(mm(1.0), strain(0.01)) / lag.end_shear(mm(1.0), strain(0.01));
    assert!((ratio - 0.5).abs() < 1e-3, "{ratio}");
}

fn line(width: f64, across_b: Option<f64>) -> BondLine {
    BondLine {
        lag: pair(),
        width: mm(width),
        thickness: mm(19.0),
        across_b: across_b.map(mm),
        band: mm(60.0),
        reach: mm(1000.0),
        shear_strength: mpa(13.8),
        strength_cov: STRENGTH_COV,
    }
}

/// Grain on grain of one wood wants no difference: nothing is stretched, pressed or sheared.
#[test]
fn the_same_wood_grain_on_grain_is_safe() {
    let judged = line(450.0, Some(19.0)).judge(mm(450.0), Strain::ZERO, Strain::ZERO);
    assert_eq!(judged.split_chance_percent, 0.0);
    assert_eq!(judged.end_shear.mpa(), 0.0);
    assert!(judged.holds() && !judged.takes_set());
    assert_eq!(
        line(450.0, Some(19.0)).advise(Strain::ZERO, Strain::ZERO),
        (Advice::Glue, None)
    );
}

/// By hand, 150 mm glued, 0.010 shorter at the driest, no wetter: held 0.868257 x 0.010 = 0.00868257, relaxed to 0.00434128.
/// The wood under stress: 19 x 150 x (60 + 100) mm3 = 4.56e-4 m3. The spread of a coefficient of variation of 25 %:
/// sqrt(ln 1.0625) = 0.246221. The middle of rupture: 0.009 x (0.01/4.56e-4)^0.2 = 0.0166897.
/// ln(0.00434128/0.0166897)/0.246221 = -5.469: 2e-6 %.
/// 0.030 instead: 0.0130239: ln(0.0130239/0.0166897)/0.246221 = -1.00729: 15.690 %.
#[test]
fn the_chance_of_splitting_by_hand() {
    let line = line(450.0, None);
    let judged = line.judge(mm(150.0), strain(-0.010), Strain::ZERO);
    assert!((judged.tension.ratio() - 0.004_341_285).abs() < 1e-8);
    assert!(judged.split_chance_percent < 1e-4);
    let judged = line.judge(mm(150.0), strain(-0.030), Strain::ZERO);
    assert!(
        (judged.split_chance_percent - 15.690).abs() < 0.001,
        "{judged:?}"
    );
    // at the rupture strain itself, at the volume it is given for, it is even odds
    assert!((split_chance_percent(strain(RUPTURE_STRAIN), 0.01, STRENGTH_COV) - 50.0).abs() < 1e-9);
}

/// By hand, 150 mm, 0.010 longer at the wettest: pressed by 0.00868257, of which 0.00368257 stays: 0.552 mm of the 150. With
/// nothing drier than today that set alone is missing in the next dry season: 0.00184128 of tension.
#[test]
fn the_wet_side_takes_a_set_that_comes_back() {
    let judged = line(450.0, None).judge(mm(150.0), Strain::ZERO, strain(0.010));
    assert!((judged.compression.ratio() - 0.008_682_569).abs() < 1e-8);
    assert!(judged.takes_set() && !judged.pressed_dry);
    near(judged.set_over(mm(150.0)).mm(), 0.5524);
    assert!((judged.tension.ratio() - 0.001_841_285).abs() < 1e-8);
    let gentle = line(450.0, None).judge(mm(150.0), Strain::ZERO, strain(SET_STRAIN));
    assert!(!gentle.takes_set());
    assert_eq!(gentle.set_over(mm(150.0)), Length::ZERO);
    assert_eq!(gentle.tension.ratio(), 0.0);
}

/// Where both parts run across the grain the holder can split as well: when the first swells.
#[test]
fn the_holder_splits_where_its_grain_crosses_the_line() {
    let alike = ShearLag::new(ply(19.0, 885.0, 246.0), ply(19.0, 885.0, 246.0), 0.0);
    let line = BondLine {
        lag: alike,
        ..line(450.0, Some(19.0))
    };
    let swells = line.judge(mm(450.0), Strain::ZERO, strain(0.06));
    let along = BondLine {
        across_b: None,
        ..line
    }
    .judge(mm(450.0), Strain::ZERO, strain(0.06));
    assert!(swells.split_chance_percent > along.split_chance_percent + 5.0);
}

/// The longest middle is where the design stops holding.
#[test]
fn the_longest_middle_is_the_longest_that_holds() {
    let line = line(450.0, None);
    let (dry, wet) = (strain(-0.022), strain(0.004));
    let (advice, length) = line.advise(dry, wet);
    assert_eq!(advice, Advice::GlueMiddle);
    let length = length.unwrap();
    assert!(line.judge(length, dry, wet).holds());
    assert!(!line.judge(length * 1.01, dry, wet).holds());
    // less movement, more glue; so much that nothing holds, none
    let more = line.longest_glue(strain(-0.02), wet).unwrap();
    assert!(more > length);
    assert_eq!(line.advise(strain(-0.2), wet).0, Advice::Float);
    assert_eq!(line.advise(strain(-0.002), wet).0, Advice::Glue);
}

/// More width, more strain, more wood: never less likely to split.
#[test]
fn the_chance_never_falls_with_width() {
    let line = line(450.0, None);
    let mut before = 0.0;
    for step in 1..=45 {
        let judged = line.judge(mm(f64::from(step) * 10.0), strain(-0.04), strain(0.01));
        assert!(judged.split_chance_percent >= before);
        before = judged.split_chance_percent;
    }
    assert!(before > SPLIT_HOLDS_PERCENT);
}

/// A screw 200 mm from the fixed point, -0.015 at the driest, 0.010 at the wettest, 4 mm thick, 2 mm of margin in all: travel 5, slot
/// 11; today at 3/5 of the travel from its dry end: 3 + 3 mm to the screw's middle.
#[test]
fn slot_by_hand() {
    let slot = Slot::new(mm(200.0), strain(-0.015), strain(0.010), mm(4.0), mm(2.0));
    near(slot.travel.mm(), 5.0);
    near(slot.length.mm(), 11.0);
    near(slot.screw_from_dry_end.mm(), 6.0);
    // at the fixed point a slot is a hole with its margin
    let hole = Slot::new(
        Length::ZERO,
        strain(-0.015),
        strain(0.010),
        mm(4.0),
        mm(2.0),
    );
    near(hole.length.mm(), 6.0);
    near(hole.screw_from_dry_end.mm(), 3.0);
}

/// Across the grain: tangential at 0, radial at 90 degrees, softest between where the rolling shear counts.
#[test]
fn stiffness_across_the_grain_goes_with_the_rings() {
    let at = |degrees: f64| modulus_across(mpa(885.0), mpa(2000.0), mpa(246.0), degrees).mpa();
    near(at(0.0), 885.0);
    near(at(90.0), 2000.0);
    assert!(at(45.0) < 885.0);
    near(at(30.0), at(-30.0));
}

/// Glue on a broad face across the grain rolls the wood; glue on an end does not.
#[test]
fn only_a_broad_face_rolls() {
    let table = SpeciesTable::built_in();
    let oak = table.find("oak, white").unwrap();
    let face = Ply::of(oak, Axis::Width, Axis::Thickness, 0.0, mm(19.0));
    let end = Ply::of(oak, Axis::Width, Axis::Length, 0.0, mm(150.0));
    assert_eq!(face.modulus, end.modulus);
    assert!(end.shear_modulus > face.shear_modulus * 2.0);
}

/// By hand, rings at 30 degrees: c^2 = 3/4, s^2 = 1/4; 1/E = 0.5625/885 + 0.0625/2000 + 0.1875 (1/246 - 0.7/885)
/// = 6.35593e-4 + 3.125e-5 + 6.13890e-4 = 1.280733e-3: 780.80 MPa. At 45 degrees a quarter of the sum of all three:
/// (1.129944e-3 + 5e-4 + 3.274080e-3)/4: 815.66 MPa. No angle is stiffer than the stiffer of the two directions.
#[test]
fn stiffness_at_an_angle_by_hand() {
    let at = |degrees: f64| modulus_across(mpa(885.0), mpa(2000.0), mpa(246.0), degrees).mpa();
    assert!((at(30.0) - 780.803).abs() < 0.01, "{}", at(30.0));
    assert!((at(45.0) - 815.661).abs() < 0.01, "{}", at(45.0));
    for (tangential, radial) in [(885.0, 2000.0), (2000.0, 885.0)] {
        for degrees in 0..=90 {
            let stiff = modulus_across(
                mpa(tangential),
                mpa(radial),
                mpa(50_000.0),
                f64::from(degrees),
            );
            assert!(stiff.mpa() <= 2000.0 + 1e-9, "{stiff:?} at {degrees}");
        }
    }
}

/// Through the thickness the rings stand at the other angle to the line; along the grain they do not count.
#[test]
fn the_rings_stand_the_other_way_through_the_thickness() {
    let table = SpeciesTable::built_in();
    let oak = table.find("oak, white").unwrap();
    let ply = |axis, square, angle| Ply::of(oak, axis, square, angle, mm(19.0));
    for angle in [0.0, 20.0, 65.0, 90.0] {
        let through = ply(Axis::Thickness, Axis::Width, angle);
        let across = ply(Axis::Width, Axis::Thickness, 90.0 - angle);
        assert_eq!(through.modulus, across.modulus, "{angle}");
        assert_eq!(through.shear_modulus, across.shear_modulus);
        let along = ply(Axis::Length, Axis::Thickness, angle);
        near(along.modulus.mpa(), oak.modulus_mpa().value);
        near(along.shear_modulus.mpa(), oak.shear_modulus_lt_mpa().value);
    }
    let flat = ply(Axis::Thickness, Axis::Width, 0.0);
    near(flat.modulus.mpa(), oak.modulus_radial_mpa().value);
}

/// Of a wood that tells nothing but its shrinkage every rule that stands in is given, those of the directions that count along the line;
/// of one the tables know in full, none.
#[test]
fn rules_that_stand_in_are_given() {
    let own = SpeciesTable::with_user_csv(
        "species,radial_percent,tangential_percent\nPear,4.6,9.1\n",
        "woods.csv",
    )
    .unwrap();
    let pear = own.find("pear").unwrap();
    let rules = |values: &[heartside::species::Resolved]| -> Vec<&'static str> {
        values.iter().filter_map(|value| value.rule).collect()
    };
    let along = rules(&[pear.modulus_mpa(), pear.shear_modulus_lt_mpa()]);
    assert_eq!(Ply::rules_used(pear, Axis::Length), along);
    assert_eq!(along.len(), 2, "{along:?}");
    let across = rules(&[
        pear.modulus_across_mpa(),
        pear.modulus_radial_mpa(),
        pear.shear_modulus_rt_mpa(),
        pear.shear_strength_mpa(),
    ]);
    for axis in [Axis::Width, Axis::Thickness] {
        assert_eq!(Ply::rules_used(pear, axis), across);
    }
    assert_eq!(across.len(), 4, "{across:?}");
}

#[test]
fn each_advice_has_its_own_key() {
    assert_eq!(
        [Advice::Glue, Advice::GlueMiddle, Advice::Float].map(Advice::key),
        ["glue", "glue_middle", "float"]
    );
}

/// Stiffer boards of a line hold by their own pair: a stiffer holder holds more, and the rest of the line is the same.
#[test]
fn a_line_between_stiffer_boards_holds_by_them() {
    let line = line(450.0, Some(19.0));
    let stiffer = line.stiffer([1.0, 3.0]);
    assert_eq!(stiffer.lag, line.lag.stiffer([1.0, 3.0]));
    assert_eq!(
        BondLine {
            lag: line.lag,
            ..stiffer
        },
        line
    );
    let held = |line: &BondLine| line.judge(mm(150.0), strain(-0.01), Strain::ZERO).tension;
    assert!(held(&stiffer) > held(&line));
}

/// By hand, whichever part is worse off: stretched by what the dry side holds and by the set the wet side left, half of it relaxed.
/// Pair with ply B the softer: A holds 0.067122 of the difference over a long line, B 0.932878. Dry 0.02, wet 0.03:
/// B is stretched by (0.03 x 0.932878 + 0.02 x 0.932878 - 0.005)/2 = 0.0208220, pressed by 0.02 x 0.932878 when dry.
#[test]
fn the_softer_part_is_the_worse_off() {
    let soft_b = BondLine {
        lag: ShearLag::new(ply(19.0, 12_300.0, 1058.0), ply(19.0, 885.0, 246.0), 0.0),
        ..line(5000.0, Some(19.0))
    };
    let judged = soft_b.judge(mm(5000.0), strain(-0.02), strain(0.03));
    assert!(
        (judged.tension.ratio() - 0.020_821_95).abs() < 1e-7,
        "{judged:?}"
    );
    assert!((judged.compression.ratio() - 0.018_657_56).abs() < 1e-7);
    assert!(judged.pressed_dry);
    // By hand as well: with the mirror signs A is B.
    let soft_a = line(5000.0, Some(19.0)).judge(mm(5000.0), strain(-0.03), strain(0.02));
    assert!((soft_a.tension.ratio() - judged.tension.ratio()).abs() < 1e-12);
    assert!((soft_a.compression.ratio() - judged.compression.ratio()).abs() < 1e-12);
    assert!(!soft_a.pressed_dry);
}

/// The limits as they are stated: 5 % of splitting and the whole of the shear strength hold, beyond 30 % the joint is redone, beyond half a
/// percent of compression part of it stays.
#[test]
fn each_limit_is_held_up_to_itself() {
    let none = line(450.0, None).judge(mm(450.0), Strain::ZERO, Strain::ZERO);
    let split = |percent: f64| BondJudgement {
        split_chance_percent: percent,
        ..none
    };
    assert!(split(5.0).holds() && !split(5.001).holds());
    assert!(!split(30.0).fails() && split(30.001).fails() && !split(0.0).fails());
    let shear = |share: f64| BondJudgement {
        end_shear_share: share,
        ..none
    };
    assert!(shear(1.0).holds() && !shear(1.001).holds());
    let pressed = |ratio: f64| BondJudgement {
        compression: strain(ratio),
        ..none
    };
    assert!(!pressed(0.005).takes_set() && pressed(0.005_001).takes_set());
}
