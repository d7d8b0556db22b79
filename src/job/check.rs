//! What a job file alone cannot show: whether its woods are known.

use super::checked::Job;
use super::errors::JobErrors;
use crate::species::SpeciesTable;
use crate::units::spanned::Problems;

/// Checks that every wood a job names is in the table.
///
/// # Errors
/// [`JobErrors`] with every unknown or ambiguous wood, each at its place and with the nearest names.
pub fn check_species(job: &Job, table: &SpeciesTable) -> Result<(), JobErrors> {
    let table = table.in_region(job.region);
    let mut problems = Problems::default();
    for (name, span) in job.species_named() {
        if let Err(unknown) = table.find(name) {
            problems.push(span, unknown.message(), unknown.remedy());
        }
    }
    if problems.is_empty() {
        Ok(())
    } else {
        Err(job.error(problems.into_sorted()))
    }
}
