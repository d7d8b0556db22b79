//! How large a job may be drawn.

use crate::job::{Job, JobErrors};

/// Memory that one part or joint takes in one draw, bytes, rounded up: 140 to 153 measured on jobs of 28 to 6 000 of them.
const BYTES_EACH: u64 = 160;
/// Memory that the draws of a job may take, bytes.
const GREATEST_BYTES: u64 = 2_500_000_000;

/// Refuses a job whose draws would not fit into a shop computer's memory.
///
/// # Errors
/// [`JobErrors`] with the number of draws that would fit.
pub(super) fn check(job: &Job) -> Result<(), JobErrors> {
    let pieces = (job.parts.len() + job.joints.len()).max(1) as u64;
    let most = GREATEST_BYTES / (BYTES_EACH * pieces);
    if u64::from(job.draws) <= most {
        return Ok(());
    }
    let gigabytes = (BYTES_EACH * pieces * u64::from(job.draws)) as f64 / 1e9;
    Err(JobErrors::one(
        &job.origin,
        "",
        0..0,
        &format!(
            "{} parts and {} joints drawn {} times would take about {gigabytes:.0} GB of memory",
            job.parts.len(),
            job.joints.len(),
            job.draws,
        ),
        &format!(
            "ask for {most} draws or fewer (draws under [job], or --draws), or make two jobs of it"
        ),
    ))
}
