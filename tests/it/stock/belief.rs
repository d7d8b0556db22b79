//! The belief: one Gaussian against the textbook, a mixture against a brute integral, and the prior against its
//! published scale.

use super::{DRY, mm};
use approx::{assert_abs_diff_eq, assert_relative_eq};
use heartside::stock::{
    Belief, Bend, Drying, EveningOut, Known, LockedIn, Seen, TestStrip, drying,
};
use heartside::units::{Curvature, Strain};

fn known(drying: Drying) -> Known {
    Known {
        drying,
        told: None,
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
    let (low, middle, high) = after.band();
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
    let (low, _, high) = conditioned.band();
    assert!(
        low < micro(drying::ACCEPTANCE_MICROSTRAIN) && micro(drying::ACCEPTANCE_MICROSTRAIN) < high
    );
    let raw = a(Drying::KilnUnconditioned);
    let (low, _, high) = raw.band();
    assert!(low < micro(drying::ONE_THIRTY_SECOND_MICROSTRAIN));
    assert!(micro(drying::ONE_THIRTY_SECOND_MICROSTRAIN) < high);
    let extreme = 1.0 - raw.chance_below(micro(drying::EXTREME_MICROSTRAIN));
    assert!((0.005..0.05).contains(&extreme), "{extreme}");
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
    assert!(own.deviation() < 0.2 * wide);
    assert!(other.deviation() < wide && other.deviation() > 2.0 * own.deviation());
    // A high strip raises the other board's middle, by part of the way.
    let before = alone.at_the_cut(0).mean();
    assert!(other.mean() > before && other.mean() < own.mean());
}

// What is told at the cut stays the middle at the cut; the gradient then adds its own part.
#[test]
fn a_told_strain_is_the_one_at_the_cut() {
    let evening = EveningOut {
        middle: 6e-5,
        spread: 2e-5,
    };
    let told = LockedIn::before(
        Bend::Along,
        &[Known {
            drying: Drying::Kiln,
            told: Some(Strain::computed_ratio(4e-4)),
            evening,
        }],
    );
    assert_relative_eq!(told.at_the_cut(0).mean(), 4e-4, max_relative = 1e-12);
    assert_relative_eq!(told.rested(0).mean(), 4.6e-4, max_relative = 1e-12);
    assert_relative_eq!(told.at_the_cut(0).deviation(), 6e-5, max_relative = 1e-9);
    assert_relative_eq!(
        told.rested(0).deviation(),
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
    use heartside::units::told::ReadNotation as _;
    for drying in Drying::ALL {
        assert_eq!(
            Drying::read(drying.words()).unwrap(),
            drying,
            "{}",
            drying.words()
        );
    }
}
