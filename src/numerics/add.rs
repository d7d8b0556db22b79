//! Rows of numbers added to one another.

use multiversion::multiversion;

/// Adds so many times each value to the number at its place; places beyond the shorter row stay as they are.
#[multiversion(targets("x86_64+avx2"))]
pub fn add_times(numbers: &mut [f64], times: f64, values: &[f64]) {
    add_each(numbers, times, values);
}

/// The same within what chooses its instructions itself.
#[inline(always)]
pub(super) fn add_each(numbers: &mut [f64], times: f64, values: &[f64]) {
    for (number, value) in numbers.iter_mut().zip(values) {
        *number += times * value;
    }
}
