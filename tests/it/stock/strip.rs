//! Test strips: round trip, scaling, what a gap cannot show, contradiction.

use super::{DRY, micro, mm, plank, walnut};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use heartside::chance::Band;
use heartside::stock::{
    Bend, BoardOrder, Drying, EveningOut, Known, LockedIn, MeasuredLeaf, ResawPlan, Seen,
    TestStrip, WhenRead, contradiction, drying, forecast_pack,
};
use heartside::units::{Curvature, Length};
use proptest::prelude::*;

fn vague(evening: EveningOut) -> LockedIn {
    LockedIn::before(
        Bend::Along,
        &[Known {
            drying: Drying::Unknown,
            given: None,
            evening,
        }],
    )
}

fn strip(gap: f64) -> TestStrip {
    TestStrip::of_gap(mm(600.0), mm(50.8), mm(1.6), mm(gap))
}

// Exact: kappa = 4 gap/L^2 a half, a = kappa H^2/(3 (H + k)).
#[test]
fn a_gap_alone_gives_the_strain_of_the_formula() {
    let a = strip(2.1).strain_of_gap().unwrap();
    let kappa = 4.0 * 2.1 / 600.0_f64.powi(2);
    assert_relative_eq!(
        a,
        kappa * 50.8_f64.powi(2) / (3.0 * 52.4),
        max_relative = 1e-12
    );
    assert_abs_diff_eq!(a * 1e6, 383.05, epsilon = 0.01);
    // The posterior follows the strip: the prior is eight times as wide.
    let mut belief = vague(DRY);
    belief
        .learn_strips(0, &[strip(2.1)], Curvature::ZERO)
        .unwrap();
    let Band {
        low, middle, high, ..
    } = belief.at_the_cut(0).band();
    assert_abs_diff_eq!(middle * 1e6, 383.05, epsilon = 14.0);
    assert!(low < a && a < high);
    // Reading error 0.25 mm of 2.1 mm: 45.6 millionths; the strip for its board: 15 % of 383.05 is 57.5. Both
    // together 73.4, 1.645 of them either way, a little less by the prior.
    assert_abs_diff_eq!((high - low) * 1e6 / 2.0, 1.645 * 73.4, epsilon = 6.0);
}

#[test]
fn a_planed_strip_counts_over_the_thickness_it_was_dried_at() {
    let planed = TestStrip {
        thickness: mm(40.0),
        planed_from: Some(mm(50.8)),
        ..strip(2.1)
    };
    let kappa = 4.0 * 2.1 / 600.0_f64.powi(2);
    assert_relative_eq!(
        planed.strain_of_gap().unwrap(),
        kappa * 50.8_f64.powi(2) / (3.0 * 41.6),
        max_relative = 1e-12
    );
    let thin = TestStrip {
        thickness: mm(40.0),
        ..strip(2.1)
    };
    assert_relative_eq!(
        thin.strain_of_gap().unwrap(),
        kappa * 40.0_f64.powi(2) / (3.0 * 41.6),
        max_relative = 1e-12
    );
}

#[test]
fn a_gap_says_nothing_of_the_lop_sided_strain_and_each_bow_does() {
    let before = vague(DRY);
    let mut gap = before.clone();
    gap.learn_strips(0, &[strip(2.1)], Curvature::ZERO).unwrap();
    // Nothing but the weights of the wide part changed.
    assert!(gap.lopsided(0).mean().abs() < 1e-12);
    let c = 90e-6;
    let [upper, lower] = strip(0.0).halves().unwrap();
    let rise = 600.0_f64.powi(2) / 8.0;
    let a = 380e-6;
    let bow = |half: &heartside::stock::Slice| {
        mm(half.sawn_sign() * rise * (half.bend_of_locked_in() * a + half.bend_of_lopsided() * c))
    };
    let both = TestStrip {
        gap: None,
        bows: Some([bow(&upper), bow(&lower)]),
        error: mm(0.02),
        ..strip(0.0)
    };
    let mut seen = before.clone();
    assert_eq!(
        seen.learn_strips(0, &[both], Curvature::ZERO).unwrap(),
        None
    );
    assert_abs_diff_eq!(seen.at_the_cut(0).mean(), a, epsilon = 1e-5);
    assert_abs_diff_eq!(seen.lopsided(0).mean(), c, epsilon = 6e-6);
}

#[test]
fn the_bow_a_strip_had_before_is_taken_off_each_half() {
    let bowed = Curvature::computed_per_mm(2e-5);
    let [upper, lower] = strip(0.0).halves().unwrap();
    let rise = 600.0_f64.powi(2) / 8.0;
    let bow = |half: &heartside::stock::Slice| {
        mm(half.sawn_sign() * rise * (half.bend_of_locked_in() * 300e-6 + bowed.per_mm()))
    };
    let read = TestStrip {
        gap: None,
        bows: Some([bow(&upper), bow(&lower)]),
        error: mm(0.02),
        ..strip(0.0)
    };
    let mut seen = vague(DRY);
    seen.learn_strips(0, &[read], bowed).unwrap();
    assert_abs_diff_eq!(seen.at_the_cut(0).mean(), 300e-6, epsilon = 5e-6);
    assert_abs_diff_eq!(seen.lopsided(0).mean(), 0.0, epsilon = 2e-6);
}

#[test]
fn readings_off_the_saw_and_rested_are_kept_apart() {
    let unsure = EveningOut {
        middle: 0.0,
        spread: 1e-3,
    };
    let mut belief = vague(unsure);
    let rested = TestStrip {
        read: WhenRead::Rested,
        ..strip(2.8)
    };
    let found = belief
        .learn_strips(0, &[strip(2.1), rested], Curvature::ZERO)
        .unwrap();
    assert_eq!(found, None, "stress and moisture explain both");
    assert_abs_diff_eq!(belief.at_the_cut(0).mean() * 1e6, 383.0, epsilon = 14.0);
    assert_abs_diff_eq!(belief.rested(0).mean() * 1e6, 510.7, epsilon = 40.0);
    assert!(belief.evening_out(0).mean() > 1.0e-4);
}

#[test]
fn several_strips_combine_and_contradictory_ones_are_given() {
    let read = |gaps: &[f64]| {
        let mut belief = vague(DRY);
        let strips: Vec<_> = gaps.iter().map(|&gap| strip(gap)).collect();
        let found = belief.learn_strips(0, &strips, Curvature::ZERO).unwrap();
        (belief.at_the_cut(0), found)
    };
    let (one, none) = read(&[2.1]);
    assert_eq!(none, None);
    let (four, agree) = read(&[2.1, 2.3, 1.9, 2.1]);
    assert_eq!(agree, None);
    assert_relative_eq!(four.deviation(), one.deviation() / 2.0, max_relative = 0.05);
    let (apart, found) = read(&[0.4, 3.8]);
    let found = found.unwrap();
    // Two readings of one number: difference^2 over the sum of both variances, each of the reading and of the strip.
    let off = drying::GIVEN_SPREAD.powi(2) * (0.4_f64.powi(2) + 3.8_f64.powi(2));
    assert_relative_eq!(
        found.chi_square,
        3.4_f64.powi(2) / (2.0 * 0.0625 + off),
        max_relative = 1e-9
    );
    assert_eq!(found.degrees, 1);
    assert_abs_diff_eq!(found.limit, 3.841, epsilon = 1e-3);
    // The band is widened until the two agree.
    assert!(apart.deviation() > 2.0 * one.deviation());
}

#[test]
fn strips_that_make_no_sense_are_refused() {
    let bad = |strip: TestStrip, words: &str| {
        assert!(crate::refused(strip.check(), words), "{words}");
    };
    let plain = || strip(1.0);
    bad(
        TestStrip {
            gap: None,
            ..plain()
        },
        "has no reading",
    );
    bad(
        TestStrip {
            kerf: mm(51.0),
            ..plain()
        },
        "leaves nothing of a strip",
    );
    bad(strip(400.0), "is no shallow arc");
    bad(
        TestStrip {
            planed_from: Some(mm(40.0)),
            ..plain()
        },
        "cannot have been planed from 40.0 mm",
    );
    bad(
        TestStrip {
            length: mm(5.0),
            ..strip(0.1)
        },
        "a test strip of 5.0 mm is too short to read",
    );
}

// The first real leaf updates its sister and the board's pack.
#[test]
fn the_first_leaf_updates_its_sisters() {
    let mut order = BoardOrder::plain(plank(), walnut(), ResawPlan::equal(2, mm(1.6)));
    order.drying = Drying::Kiln;
    let other = order.clone();
    order.measured = vec![MeasuredLeaf::of_bow(1, mm(20.0))];
    let both = forecast_pack(&[order, other]).unwrap();
    let (own, pack) = (&both[0], &both[1]);
    let sister = &own.leaves[1].bow;
    let foreseen = &own.leaves_before[1].bow;
    assert!(sister.off_saw.width() < foreseen.off_saw.width());
    assert!(sister.off_saw.middle > foreseen.off_saw.middle);
    assert_abs_diff_eq!(own.leaves[0].bow.off_saw.middle.mm(), 20.0, epsilon = 0.3);
    assert!(pack.leaves[0].bow.off_saw.width() < pack.leaves_before[0].bow.off_saw.width());
    assert!(
        own.along.narrowed.percent() > 50.0,
        "{}",
        own.along.narrowed.percent()
    );
    assert!(
        pack.along.narrowed.percent() > 5.0
            && pack.along.narrowed.percent() < own.along.narrowed.percent()
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    // Strain -> strip -> strain, for any size of strip: exact without a prior, and within the band with one.
    #[test]
    fn strain_to_strip_and_back(
        a in -1500.0..1500.0_f64, length in 250.0..2000.0_f64, thickness in 15.0..80.0_f64, kerf in 0.0..4.0_f64,
    ) {
        let empty = TestStrip::of_gap(mm(length), mm(thickness), mm(kerf), Length::ZERO);
        let gap = empty.gap_of(micro(a).ratio()).unwrap();
        let given = TestStrip { gap: Some(gap), ..empty };
        prop_assert!((given.strain_of_gap().unwrap() * 1e6 - a).abs() < 1e-6);
        prop_assume!(gap.mm().abs() < length / 5.0);
        let mut belief = vague(DRY);
        belief.learn_strips(0, &[TestStrip { error: mm(0.01), ..given }], Curvature::ZERO).unwrap();
        let Band { low, middle, high, .. } = belief.at_the_cut(0).band();
        prop_assert!(low <= a * 1e-6 && a * 1e-6 <= high);
        prop_assert!((middle * 1e6 - a).abs() < 0.15 * a.abs() + 5.0);
    }
}

// Exact: three readings of two numbers, of which the third reads the sum: what is left over is the discrepancy squared over the sum
// of the three variances, 1.2^2/(0.1^2 + 0.2^2 + 0.3^2), with one degree to spare. 3.841 is the 95 % point of chi-square with one
// degree, 7.815 with three (any table of it).
#[test]
fn what_no_strain_explains_is_the_discrepancy_over_its_variance() {
    let seen = |terms: &[(usize, f64)], value: f64, error: f64| Seen {
        terms: terms.to_vec(),
        value,
        error,
    };
    let three = |sum: f64| {
        [
            seen(&[(0, 1.0)], 1.0, 0.1),
            seen(&[(1, 1.0)], 2.0, 0.2),
            seen(&[(0, 1.0), (1, 1.0)], sum, 0.3),
        ]
    };
    for sum in [4.2, 1.8] {
        let found = contradiction(&three(sum)).unwrap();
        assert_relative_eq!(found.chi_square, 1.44 / 0.14, max_relative = 1e-12);
        assert_eq!(found.degrees, 1);
        assert_abs_diff_eq!(found.limit, 3.841, epsilon = 1e-3);
    }
    // Limits of one degree: 3.841 x 0.14 is 0.733 squared.
    assert!(contradiction(&three(3.732)).is_none() && contradiction(&three(3.734)).is_some());
    // The sum read twice over is still one number, and a third number read once has nothing to spare.
    let mut four = three(4.2).to_vec();
    four.push(seen(&[(2, 5.0)], 7.0, 0.1));
    assert_eq!(contradiction(&four), contradiction(&three(4.2)));
    assert_eq!(contradiction(&three(4.2)[..2]), None);
    // Four readings of one number: 1, 1, 1 and 3 with error 0.5 have mean 1.5 and chi-square 3/0.25, three degrees.
    let one: Vec<Seen> = [1.0, 1.0, 1.0, 3.0]
        .map(|value| seen(&[(1, 1.0)], value, 0.5))
        .into();
    let found = contradiction(&one).unwrap();
    assert_relative_eq!(found.chi_square, 12.0, max_relative = 1e-12);
    assert_eq!(found.degrees, 3);
    assert_abs_diff_eq!(found.limit, 7.815, epsilon = 1e-3);
    // A number that the readings show by a millionth of itself is fitted all the same.
    let faint: Vec<Seen> = one
        .iter()
        .map(|reading| seen(&[(1, 1e-6)], reading.value, 0.5))
        .collect();
    assert_eq!(contradiction(&faint).map(|found| found.degrees), Some(3));
    // The same numbers in coefficients of any size.
    let scaled: Vec<Seen> = one
        .iter()
        .map(|reading| seen(&[(1, 1e-4)], reading.value * 1e-4, 0.5e-4))
        .collect();
    assert_relative_eq!(
        contradiction(&scaled).unwrap().chi_square,
        12.0,
        max_relative = 1e-9
    );
}

// Readings that contradict each other are taken for so much less exact that they agree: by the square root of chi-square over
// its degrees; readings that agree are taken at their word.
#[test]
fn a_contradiction_widens_the_error_until_the_strips_agree() {
    for gaps in [&[1.0, 3.0][..], &[1.0, 1.0, 4.0]] {
        let strips: Vec<TestStrip> = gaps.iter().map(|gap| strip(*gap)).collect();
        let mut apart = vague(DRY);
        let found = apart
            .learn_strips(0, &strips, Curvature::ZERO)
            .unwrap()
            .unwrap();
        // By hand: one number, each reading with its own error and what its strip is off the board.
        let errors: Vec<f64> = gaps
            .iter()
            .map(|gap| 0.25_f64.hypot(drying::GIVEN_SPREAD * gap))
            .collect();
        let weight: f64 = errors.iter().map(|error| error.powi(-2)).sum();
        let pairs = || gaps.iter().zip(&errors);
        let mean = pairs().map(|(gap, error)| gap / error.powi(2)).sum::<f64>() / weight;
        let chi_square: f64 = pairs()
            .map(|(gap, error)| ((gap - mean) / error).powi(2))
            .sum();
        assert_relative_eq!(found.chi_square, chi_square, max_relative = 1e-9);
        let widen = (chi_square / (gaps.len() - 1) as f64).sqrt();
        let of_strain = strip(0.0).gap_of(1.0).unwrap().mm();
        let mut given = vague(DRY);
        for (gap, error) in pairs() {
            given.learn(
                0,
                &Seen {
                    terms: vec![(0, of_strain), (2, -of_strain)],
                    value: *gap,
                    error: widen * error,
                },
            );
        }
        let (apart, given) = (apart.at_the_cut(0), given.at_the_cut(0));
        assert_relative_eq!(apart.mean(), given.mean(), max_relative = 1e-9);
        assert_relative_eq!(apart.deviation(), given.deviation(), max_relative = 1e-9);
    }
}

/// A strip stands for its board within a quarter of its strain, nine times in ten, however well it is read (judgement); a
/// second strip of the same board halves the variance, a second reading of the same strip does not.
#[test]
fn a_strip_that_is_read_well_speaks_for_its_board_within_a_quarter() {
    let well = |gap: f64| TestStrip {
        error: mm(0.001),
        ..strip(gap)
    };
    let believed = |strips: &[TestStrip]| {
        let mut belief = vague(DRY);
        belief.learn_strips(0, strips, Curvature::ZERO).unwrap();
        belief.at_the_cut(0)
    };
    let strain = strip(2.1).strain_of_gap().unwrap();
    let one = believed(&[well(2.1)]);
    assert_relative_eq!(one.deviation() / strain, 0.25 / 1.645, max_relative = 0.03);
    let two = believed(&[well(2.1), well(2.1)]);
    assert_relative_eq!(
        two.deviation(),
        one.deviation() / 2.0_f64.sqrt(),
        max_relative = 0.02
    );
    // Its gap and both bows are readings of one strip.
    let [upper, lower] = strip(0.0).halves().unwrap();
    let rise = 600.0_f64.powi(2) / 8.0;
    let bow = |half: &heartside::stock::Slice| {
        mm(half.sawn_sign() * rise * half.bend_of_locked_in() * strain)
    };
    let thrice = believed(&[TestStrip {
        bows: Some([bow(&upper), bow(&lower)]),
        ..well(2.1)
    }]);
    assert_relative_eq!(thrice.deviation(), one.deviation(), max_relative = 0.02);
}

/// For the other boards of its pack a strip speaks within two fifths, nine times in ten (judgement): what is believed of them is
/// at least that wide about its own middle, for every history and up to extreme stock, though nothing but the likeness of a
/// pack says so.
#[test]
fn a_strip_speaks_for_the_boards_beside_it_within_two_fifths_at_best() {
    for history in Drying::ALL {
        let known = Known {
            drying: history,
            given: None,
            evening: DRY,
        };
        for millionths in (0..=16).map(|step| 100.0 * f64::from(step)) {
            let mut pack = LockedIn::before(Bend::Along, &[known; 2]);
            let gap = strip(0.0).gap_of(millionths * 1e-6).unwrap();
            let read = TestStrip {
                error: mm(0.001),
                ..strip(gap.mm())
            };
            pack.learn_strips(0, &[read], Curvature::ZERO).unwrap();
            let beside = pack.at_the_cut(1);
            let Band { low, high, .. } = beside.band();
            assert!(
                (high - low) / 2.0 > 0.4 * beside.mean().abs(),
                "{history:?}, {millionths}: {} {low} {high}",
                beside.mean()
            );
        }
    }
}

/// The gap of a strip is what its bows add up to: one that is not is a fault of the reading, whatever the strip is off its board.
#[test]
fn a_gap_that_its_own_bows_do_not_make_is_a_contradiction() {
    let read = TestStrip {
        bows: Some([mm(1.0), mm(1.0)]),
        ..strip(4.0)
    };
    let found = vague(DRY)
        .learn_strips(0, &[read], Curvature::ZERO)
        .unwrap()
        .unwrap();
    // (4 - 1 - 1)^2 over three readings' variances.
    assert_relative_eq!(found.chi_square, 4.0 / (3.0 * 0.0625), max_relative = 1e-6);
    assert_eq!(found.degrees, 1);
}
