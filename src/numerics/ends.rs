//! The smallest and the largest of many values.

/// Where the smallest and the largest of some values are first; `None` without a value, and 0 where no value is a number.
#[must_use]
pub fn ends(values: &[f64]) -> Option<[usize; 2]> {
    let first = *values.first()?;
    // Several at a time: one after another they would wait for the extremes so far.
    let (mut low, mut high) = ([first; 8], [first; 8]);
    let (eights, rest) = values.as_chunks::<8>();
    for eight in eights {
        for place in 0..8 {
            low[place] = lesser(eight[place], low[place]);
            high[place] = greater(eight[place], high[place]);
        }
    }
    let low = (low.iter().chain(rest)).fold(first, |low, value| lesser(*value, low));
    let high = (high.iter().chain(rest)).fold(first, |high, value| greater(*value, high));
    Some([
        first_where(values, |value| value <= low),
        first_where(values, |value| value >= high),
    ])
}

/// The place of the first value of a kind; 0 where there is none.
#[inline]
fn first_where(values: &[f64], is: impl Fn(f64) -> bool) -> usize {
    let any = |four: &[f64; 4]| is(four[0]) | is(four[1]) | is(four[2]) | is(four[3]);
    let (fours, _) = values.as_chunks();
    let before = 4 * fours.iter().take_while(|four| !any(four)).count();
    let after = values[before..].iter().position(|value| is(*value));
    after.map_or(0, |place| before + place)
}

/// The lesser of two values; the second where one is not a number.
#[inline]
fn lesser(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// The greater of two values; the second where one is not a number.
#[inline]
fn greater(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}
