//! The smallest and the largest of many values.

use multiversion::multiversion;

/// Where the smallest and the largest of some values are first; `None` without a value, and 0 where no value is a number.
#[must_use]
#[multiversion(targets("x86_64+avx2"))]
pub fn ends(values: &[f64]) -> Option<[usize; 2]> {
    let first = *values.first()?;
    let low = extreme(values, first, lesser);
    let high = extreme(values, first, greater);
    Some([
        first_where(values, |value| value <= low),
        first_where(values, |value| value >= high),
    ])
}

/// Values that are compared side by side: one after another each would wait for the extreme so far.
const SIDE_BY_SIDE: usize = 16;

/// The best of some values, of which `first` is one.
#[inline(always)]
fn extreme(values: &[f64], first: f64, better: impl Fn(f64, f64) -> f64) -> f64 {
    let mut best = [first; SIDE_BY_SIDE];
    let (some, rest) = values.as_chunks::<SIDE_BY_SIDE>();
    for some in some {
        for (best, value) in best.iter_mut().zip(some) {
            *best = better(*value, *best);
        }
    }
    let all = best.iter().chain(rest);
    all.fold(first, |best, value| better(*value, best))
}

/// The place of the first value of a kind; 0 where there is none.
#[inline(always)]
fn first_where(values: &[f64], is: impl Fn(f64) -> bool) -> usize {
    let any = |some: &[f64; SIDE_BY_SIDE]| some.iter().fold(false, |any, value| any | is(*value));
    let (some, _) = values.as_chunks();
    let before = SIDE_BY_SIDE * some.iter().take_while(|some| !any(some)).count();
    let after = values[before..].iter().position(|value| is(*value));
    after.map_or(0, |place| before + place)
}

/// The lesser of two values; the second where one is not a number.
#[inline(always)]
fn lesser(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// The greater of two values; the second where one is not a number.
#[inline(always)]
fn greater(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}
