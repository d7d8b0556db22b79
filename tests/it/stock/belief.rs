//! The belief: one Gaussian against the textbook, a mixture against a brute integral, and the prior against its
//! published scale.

use super::{DRY, mm};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use heartside::chance::Band;
use heartside::stock::{
    Belief, Bend, Drying, EveningOut, Known, LockedIn, Seen, TestStrip, drying,
};
use heartside::units::{Curvature, Strain};

fn known(drying: Drying) -> Known {
    Known {
        drying,
        given: None,
        evening: DRY,
    }
}

fn seen(terms: &[(usize, f64)], value: f64, error: f64) -> Seen {
    Seen {
        terms: terms.to_vec(),
        value,
        error,
    }
}

// Exact: a Gaussian prior and a Gaussian reading make the precision-weighted mean.
#[test]
fn a_reading_weighs_in_by_its_precision() {
    let mut belief = Belief::of_parts(vec![(1.0, vec![10.0], vec![9.0])]);
    belief.learn(&seen(&[(0, 2.0)], 32.0, 2.0));
    // In terms of the number itself: 16 +- 1 beside 10 +- 3.
    let after = belief.marginal(&[(0, 1.0)], 0.0);
    assert_relative_eq!(
        after.mean(),
        (10.0 / 9.0 + 16.0) / (1.0 / 9.0 + 1.0),
        max_relative = 1e-12
    );
    assert_relative_eq!(
        after.deviation(),
        (1.0 / (1.0 / 9.0 + 1.0_f64)).sqrt(),
        max_relative = 1e-12
    );
    let Band {
        low, middle, high, ..
    } = after.band();
    assert_relative_eq!(
        high - middle,
        1.6448536 * after.deviation(),
        max_relative = 1e-7
    );
    assert_relative_eq!(middle - low, high - middle, max_relative = 1e-12);
}

// A mixture of two parts against the posterior integrated over a fine grid.
#[test]
fn a_mixture_is_conditioned_exactly() {
    let parts = [(0.8, 100.0, 50.0_f64), (0.2, 100.0, 150.0)];
    let mut belief = Belief::of_parts(
        parts
            .iter()
            .map(|&(w, m, s)| (w, vec![m], vec![s * s]))
            .collect(),
    );
    let (value, error) = (420.0, 40.0);
    belief.learn(&seen(&[(0, 1.0)], value, error));
    let bell = |x: f64, m: f64, s: f64| (-0.5 * ((x - m) / s).powi(2)).exp() / s;
    let (mut whole, mut first, mut below) = (0.0, 0.0, 0.0);
    for i in 0..40_000 {
        let x = -600.0 + f64::from(i) * 0.05;
        let weight = parts
            .iter()
            .map(|&(w, m, s)| w * bell(x, m, s))
            .sum::<f64>()
            * bell(value, x, error);
        whole += weight;
        first += weight * x;
        if x < 350.0 {
            below += weight;
        }
    }
    let after = belief.marginal(&[(0, 1.0)], 0.0);
    assert_relative_eq!(after.mean(), first / whole, max_relative = 1e-4);
    assert_abs_diff_eq!(after.chance_below(350.0), below / whole, epsilon = 2e-4);
    let q = after.quantile(0.05);
    assert_abs_diff_eq!(after.chance_below(q), 0.05, epsilon = 1e-4);
    assert_abs_diff_eq!(
        after.chance_within(500.0),
        after.chance_below(500.0) - after.chance_below(-500.0),
        epsilon = 1e-12
    );
}

// The published scale lies inside the stated priors: 75e-6 passes as conditioned; a gap of 1/32 in (578e-6) and
// the extreme 1600e-6 are unconditioned stock, the latter rare.
#[test]
fn the_published_scale_lies_inside_the_stated_priors() {
    let a = |history| LockedIn::before(Bend::Along, &[known(history)]).at_the_cut(0);
    let micro = |value: f64| value * 1e-6;
    let conditioned = a(Drying::KilnConditioned);
    let Band { low, high, .. } = conditioned.band();
    assert!(
        low < micro(drying::ACCEPTANCE_MICROSTRAIN) && micro(drying::ACCEPTANCE_MICROSTRAIN) < high
    );
    let raw = a(Drying::KilnUnconditioned);
    // Conditioning is what makes stock fit to resaw.
    assert!(conditioned.mean() < raw.mean());
    assert!(conditioned.deviation() < raw.deviation());
    for history in Drying::ALL {
        let prior = history.prior();
        assert_relative_eq!(
            a(history).mean() * 1e6,
            prior.middle_microstrain,
            max_relative = 1e-12
        );
    }
}

// Boards of one pack speak for each other, strangers do not, and a board never says more of another than of itself.
#[test]
fn a_strip_narrows_its_sisters_and_less_the_boards_of_its_pack() {
    let alone = LockedIn::before(Bend::Along, &[known(Drying::Kiln)]);
    let mut pack = LockedIn::before(Bend::Along, &[known(Drying::Kiln), known(Drying::Kiln)]);
    let wide = alone.at_the_cut(0).deviation();
    assert_relative_eq!(pack.at_the_cut(1).deviation(), wide, max_relative = 1e-12);
    let strip = TestStrip::of_gap(mm(900.0), mm(50.8), mm(1.6), mm(9.0));
    pack.learn_strips(0, &[strip], Curvature::ZERO).unwrap();
    let (own, other) = (pack.at_the_cut(0), pack.at_the_cut(1));
    assert!(own.deviation() < 0.4 * wide);
    assert!(other.deviation() < wide && other.deviation() > 2.0 * own.deviation());
    // A high strip raises the other board's middle, by part of the way.
    let before = alone.at_the_cut(0).mean();
    assert!(other.mean() > before && other.mean() < own.mean());
}

// What is given at the cut stays the middle at the cut; the gradient then adds its own part.
#[test]
fn a_given_strain_is_the_one_at_the_cut() {
    let evening = EveningOut {
        middle: 6e-5,
        spread: 2e-5,
    };
    let given = LockedIn::before(
        Bend::Along,
        &[Known {
            drying: Drying::Kiln,
            given: Some(Strain::computed_ratio(4e-4)),
            evening,
        }],
    );
    assert_relative_eq!(given.at_the_cut(0).mean(), 4e-4, max_relative = 1e-12);
    assert_relative_eq!(given.rested(0).mean(), 4.6e-4, max_relative = 1e-12);
    assert_relative_eq!(given.at_the_cut(0).deviation(), 6e-5, max_relative = 1e-9);
    assert_relative_eq!(
        given.rested(0).deviation(),
        6e-5_f64.hypot(2e-5),
        max_relative = 1e-9
    );
}

/// A number that is known exactly is a step: no chance below it, all of it from it on.
#[test]
fn a_number_known_exactly_is_a_step() {
    let exact = heartside::stock::Marginal::known(3.0);
    assert_eq!(exact.chance_below(2.999), 0.0);
    assert_eq!(exact.chance_below(3.0), 1.0);
    assert_eq!(exact.chance_below(3.001), 1.0);
    assert_eq!(exact.chance_within(2.999), 0.0);
    assert_eq!(exact.chance_within(3.0), 1.0);
    assert_eq!(exact.mean(), 3.0);
    assert_eq!(exact.deviation(), 0.0);
}

/// What a maker calls a way of drying is read as that way again.
#[test]
fn every_way_of_drying_is_read_by_its_own_words() {
    use heartside::units::spanned::ReadNotation as _;
    for drying in Drying::ALL {
        assert_eq!(
            Drying::read(drying.words()).unwrap(),
            drying,
            "{}",
            drying.words()
        );
    }
}

/// A belief of one number made of parts: weight, mean, standard deviation.
fn mixture(parts: &[(f64, f64, f64)]) -> heartside::stock::Marginal {
    Belief::of_parts(
        parts
            .iter()
            .map(|&(weight, mean, sd)| (weight, vec![mean], vec![sd * sd]))
            .collect(),
    )
    .marginal(&[(0, 1.0)], 0.0)
}

// Exact: weights count by their share of the whole, and the variance of a mixture is the mean variance of its parts
// and the variance of their means.
#[test]
fn a_mixture_has_the_mean_and_the_variance_of_the_textbook() {
    let mixed = mixture(&[(3.0, -1.0, 1.0), (1.0, 3.0, 2.0)]);
    // By hand: (3 (-1) + 3)/4 = 0; (3 (1 + 1) + (4 + 9))/4 = 19/4.
    assert_abs_diff_eq!(mixed.mean(), 0.0, epsilon = 1e-15);
    assert_relative_eq!(
        mixed.deviation(),
        (19.0_f64 / 4.0).sqrt(),
        max_relative = 1e-12
    );
    let moved = mixed.scaled(-2.0, 5.0);
    assert_relative_eq!(moved.mean(), 5.0, max_relative = 1e-12);
    assert_relative_eq!(
        moved.deviation(),
        2.0 * mixed.deviation(),
        max_relative = 1e-12
    );
    assert_abs_diff_eq!(
        moved.chance_below(6.0),
        1.0 - mixed.chance_below(-0.5),
        epsilon = 1e-12
    );
}

// Points of the unit Gaussian (any table of it): -2.32635 at 1 %, -1.64485 at 5 %, 0 at 50 %, 3.09023 at 99.9 %; whatever the
// scale and the middle, alone or as a mixture of a part with itself, and whatever is said by a part without weight.
#[test]
fn the_points_of_a_gaussian_are_those_of_its_table_at_any_scale() {
    let table = [
        (0.01, -2.326_348),
        (0.05, -1.644_854),
        (0.5, 0.0),
        (0.999, 3.090_232),
    ];
    for scale in [1e-7, 1.0, 1e6] {
        for middle in [0.0, -40.0, 7.0] {
            let part = |weight: f64| (weight, middle * scale, scale);
            for parts in [
                vec![part(1.0)],
                vec![part(0.8), part(0.2)],
                vec![part(1.0), (0.0, 1e12, 1.0)],
                vec![(0.0, -1e12, 1.0), part(0.5), part(0.5)],
            ] {
                let found = mixture(&parts);
                for (p, z) in table {
                    assert_abs_diff_eq!(found.quantile(p) / scale - middle, z, epsilon = 1e-3);
                }
                let Band {
                    low,
                    middle: mean,
                    high,
                    ..
                } = found.band();
                for (point, z) in [(low, -1.644_854), (mean, 0.0), (high, 1.644_854)] {
                    assert_abs_diff_eq!(point / scale - middle, z, epsilon = 1e-3);
                }
            }
        }
    }
}

/// A part that a reading has all but ruled out says nothing of the band.
#[test]
fn a_part_that_is_ruled_out_does_not_hold_the_band() {
    for i in 1..200 {
        let sd = f64::from(i) * 0.013;
        for ruled_out in [-50.0, 50.0] {
            let Band { low, high, .. } = mixture(&[(1e-20, ruled_out, 1.0), (1.0, 3.0, sd)]).band();
            assert_abs_diff_eq!(low, 3.0 - 1.644_854 * sd, epsilon = 1e-3 * sd);
            assert_abs_diff_eq!(high, 3.0 + 1.644_854 * sd, epsilon = 1e-3 * sd);
        }
    }
}

/// The chance of a size counts both signs and their ends, and there is no size below zero.
#[test]
fn a_size_counts_both_ways() {
    use heartside::stock::Marginal;
    assert_eq!(Marginal::known(-3.0).chance_within(3.0), 1.0);
    assert_eq!(Marginal::known(-3.0).chance_within(2.999), 0.0);
    assert_eq!(Marginal::known(0.0).chance_within(0.0), 1.0);
    let unit = mixture(&[(1.0, 0.0, 1.0)]);
    assert_eq!(unit.chance_within(-1.0), 0.0);
    // 68.27 % lie within one standard deviation (any table of the Gaussian).
    assert_abs_diff_eq!(unit.chance_within(1.0), 0.682_689_5, epsilon = 1e-6);
}

// By hand: (2/3) C (M_core - M_shell), and its spread: where one reading tells nothing of the difference 1 %, where both were
// read 0.7 %, and beside that the wood's own spread of shrinkage, 30 % along the grain and 15 % across it.
#[test]
fn evening_out_adds_two_thirds_of_the_difference_and_spreads_as_stated() {
    use heartside::moisture::meter::Reading;
    use heartside::movement::Direction;
    let wood = super::walnut();
    let coefficients = [
        (Bend::Along, Direction::Longitudinal, 0.3_f64),
        (Bend::Across, Direction::Tangential, 0.15),
    ];
    for (bend, direction, of_wood) in coefficients {
        let c = wood.shrinkage.change_coefficient(direction);
        let unread = super::plank().evening_out(&wood, bend);
        assert_eq!(unread.middle, 0.0);
        assert_relative_eq!(unread.spread, 2.0 / 3.0 * c, max_relative = 1e-12);
        let read = heartside::stock::Board {
            moisture: Reading::ShellAndCore {
                shell: super::percent(7.0),
                core: super::percent(11.0),
            },
            ..super::plank()
        };
        let found = read.evening_out(&wood, bend);
        assert_relative_eq!(found.middle, 2.0 / 3.0 * c * 4.0, max_relative = 1e-12);
        assert_relative_eq!(
            found.spread,
            2.0 / 3.0 * c * (0.7_f64.powi(2) + (4.0 * of_wood).powi(2)).sqrt(),
            max_relative = 1e-12
        );
    }
}

/// Three boards of one pack that differ in all that may be given of them.
fn pack() -> [Known; 3] {
    let board = |drying, given: Option<f64>, middle, spread| Known {
        drying,
        given: given.map(super::micro),
        evening: EveningOut { middle, spread },
    };
    [
        board(Drying::Kiln, None, 1e-5, 4e-6),
        board(Drying::Air, None, -2e-5, 6e-6),
        board(Drying::Kiln, Some(400.0), 3e-5, 8e-6),
    ]
}

// The prior as it is stated, board by board: four in five of the given spread, one in five three times as wide, so that the
// variance is 0.8 + 0.2 x 9 = 2.6 times that of the body; ten times as much across the grain; a given strain spreads by
// 15 % of itself and is the one at the cut.
#[test]
fn every_board_of_a_pack_has_its_own_prior() {
    let wide = 2.6_f64.sqrt();
    for (bend, scale) in [(Bend::Along, 1e-6), (Bend::Across, 1e-5)] {
        for times in [1.0, 2.5] {
            let belief = LockedIn::before_spread(bend, &pack(), times);
            for (board, known) in pack().iter().enumerate() {
                let prior = known.drying.prior();
                let spread = times * scale * prior.spread_microstrain * wide;
                let middle = scale * prior.middle_microstrain;
                let (rested, cut) = match known.given {
                    None => (middle, middle - known.evening.middle),
                    Some(given) => (given.ratio() + known.evening.middle, given.ratio()),
                };
                assert_relative_eq!(belief.rested(board).mean(), rested, max_relative = 1e-12);
                assert_relative_eq!(belief.at_the_cut(board).mean(), cut, max_relative = 1e-12);
                let evening = belief.evening_out(board);
                assert_relative_eq!(evening.mean(), known.evening.middle, max_relative = 1e-12);
                assert_relative_eq!(
                    evening.deviation(),
                    known.evening.spread,
                    max_relative = 1e-9
                );
                let at_the_cut = match known.given {
                    None => spread.hypot(known.evening.spread),
                    // 15 % of 400 is 60; across the grain a tenth of that is the minimum there is.
                    Some(_) => times * 60e-6_f64.max(10.0 * scale),
                };
                assert_relative_eq!(
                    belief.at_the_cut(board).deviation(),
                    at_the_cut,
                    max_relative = 1e-9
                );
                assert_abs_diff_eq!(belief.lopsided(board).mean(), 0.0, epsilon = 1e-18);
                assert_relative_eq!(
                    belief.lopsided(board).deviation(),
                    times * scale * 60.0 * wide,
                    max_relative = 1e-9
                );
            }
        }
    }
    // No spread of a given strain is below 10 millionths.
    let little = Known {
        given: Some(Strain::computed_ratio(-2e-6)),
        ..known(Drying::Kiln)
    };
    let belief = LockedIn::before(Bend::Along, &[little]);
    assert_relative_eq!(belief.rested(0).deviation(), 10e-6, max_relative = 1e-9);
}

// Exact: a number read without error draws another of correlation rho and spread s2 along by rho (s2/s1) of its own surprise.
// Boards of one pack correlate by 0.5, their lop-sided strains by 0.2 (both stated judgement).
#[test]
fn an_exact_reading_draws_the_pack_along_by_its_correlation() {
    let read = |board: usize, number: usize, value: f64| {
        let mut belief = LockedIn::before(Bend::Along, &pack());
        belief.learn(board, &seen(&[(number, 1.0)], value, 1e-12));
        belief
    };
    let before = LockedIn::before(Bend::Along, &pack());
    let (kiln, air) = (Drying::Kiln.prior(), Drying::Air.prior());
    let moved =
        |after: &LockedIn, board: usize| after.rested(board).mean() - before.rested(board).mean();
    let after = read(0, 0, before.rested(0).mean() + 1e-4);
    assert_abs_diff_eq!(moved(&after, 0), 1e-4, epsilon = 1e-12);
    let share = 0.5 * air.spread_microstrain / kiln.spread_microstrain;
    assert_abs_diff_eq!(moved(&after, 1), share * 1e-4, epsilon = 1e-12);
    let back = read(1, 0, before.rested(1).mean() + 1e-4);
    assert_abs_diff_eq!(moved(&back, 1), 1e-4, epsilon = 1e-12);
    assert_abs_diff_eq!(
        moved(&back, 0),
        0.5 * kiln.spread_microstrain / air.spread_microstrain * 1e-4,
        epsilon = 1e-12
    );
    for (own, other) in [(0, 1), (2, 0), (1, 2)] {
        let after = read(own, 1, 5e-5);
        assert_abs_diff_eq!(after.lopsided(own).mean(), 5e-5, epsilon = 1e-12);
        assert_abs_diff_eq!(after.lopsided(other).mean(), 1e-5, epsilon = 1e-12);
        // What evens out is each board's own affair.
        let after = read(own, 2, 9e-5);
        assert_abs_diff_eq!(after.evening_out(own).mean(), 9e-5, epsilon = 1e-12);
        assert_abs_diff_eq!(
            after.evening_out(other).mean(),
            pack()[other].evening.middle,
            epsilon = 1e-12
        );
    }
}
