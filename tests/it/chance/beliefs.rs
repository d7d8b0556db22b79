//! The conjugate update against its formula.

use approx::assert_relative_eq;
use heartside::chance::{Belief, JointBelief};
use proptest::prelude::*;

/// Gelman et al., *Bayesian Data Analysis*, section 2.5 (from memory): precisions add, means are weighted by them.
/// By hand: prior 10.5 with deviation 1.575 (15 %), an off-cut read at 9.0 with error 0.6:
/// precisions 0.403124 and 2.777778, so the mean is (4.232804 + 25)/3.180902 = 9.190099 and the deviation 0.560693.
#[test]
fn one_reading_by_hand() {
    let prior = Belief {
        mean: 10.5,
        deviation: 1.575,
    };
    let after = prior.after(9.0, 0.6);
    assert_relative_eq!(after.mean, 9.190_099, epsilon = 1e-6);
    assert_relative_eq!(after.deviation, 0.560_693, epsilon = 1e-6);
    assert_relative_eq!(prior.left_in(after), 0.560_693 / 1.575, epsilon = 1e-6);
}

#[test]
fn limits_of_the_update() {
    let prior = Belief {
        mean: 3.0,
        deviation: 1.0,
    };
    assert_eq!(
        prior.after(5.0, 0.0),
        Belief {
            mean: 5.0,
            deviation: 0.0
        }
    );
    let vague = prior.after(5.0, 1e9);
    assert_relative_eq!(vague.mean, 3.0, epsilon = 1e-9);
    let sure = Belief {
        mean: 3.0,
        deviation: 0.0,
    };
    assert_eq!(sure.after(5.0, 0.1), sure);
    assert_eq!(sure.left_in(sure), 0.0);
}

/// Two numbers that go together: reading one moves the other along the regression line,
/// `m2 + rho s2/s1 (x - m1)`, and leaves it `s2 sqrt(1 - rho^2)` (bivariate normal theory).
#[test]
fn reading_one_number_tells_of_its_fellow() {
    let beliefs = [
        Belief {
            mean: 10.5,
            deviation: 1.5,
        },
        Belief {
            mean: 5.6,
            deviation: 0.8,
        },
    ];
    let joint = JointBelief::independent(&beliefs).correlated(0, 1, 0.6);
    assert_relative_eq!(joint.covariance(0, 1).unwrap(), 0.72, epsilon = 1e-12);
    let after = joint.clone().after(&[1.0, 0.0], 12.0, 0.0);
    let other = after.of(1).unwrap();
    assert_relative_eq!(other.mean, 5.6 + 0.6 * 0.8 / 1.5 * 1.5, epsilon = 1e-12);
    assert_relative_eq!(other.deviation, 0.8 * 0.8, epsilon = 1e-12);
    assert_relative_eq!(after.of(0).unwrap().deviation, 0.0, epsilon = 1e-7);
    let sum = joint.sum(&[1.0, 1.0]);
    assert_relative_eq!(sum.mean, 16.1, epsilon = 1e-12);
    assert_relative_eq!(
        sum.deviation,
        (2.25_f64 + 0.64 + 1.44).sqrt(),
        epsilon = 1e-12
    );
    assert_eq!(joint.of(2), None);
    assert_eq!(joint.covariance(0, 2), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn a_reading_pulls_towards_itself_and_narrows(
        mean in -1e3..1e3_f64, deviation in 1e-3..1e3, reading in -1e3..1e3_f64, error in 1e-3..1e3
    ) {
        let prior = Belief { mean, deviation };
        let after = prior.after(reading, error);
        prop_assert!(after.deviation <= deviation.min(error) * (1.0 + 1e-12));
        let (low, high) = (mean.min(reading), mean.max(reading));
        prop_assert!(low - 1e-9 <= after.mean && after.mean <= high + 1e-9);
        let joint = JointBelief::independent(&[prior]).after(&[1.0], reading, error);
        let alone = joint.of(0).unwrap();
        prop_assert!((alone.mean - after.mean).abs() < 1e-6);
        prop_assert!((alone.deviation - after.deviation).abs() < 1e-6 * (1.0 + deviation));
    }
}
