//! How large a job may be drawn.

use super::samples::bytes_of_a_draw;
use crate::job::{Job, JobErrors};

/// Memory that the draws of a job take over what their columns alone take. Measured as the peak of the whole program, less that of
/// the same job with 64 draws: 1.08 and 1.07 for 40 and 200 parts with as many glued dados at 8 192 draws, 1.10 for the 40 at 65 536, 1.16
/// for 1 000 parts without joints, 1.03 for 300 parts with 1 200 fits; the rest is margin.
const OVER_COLUMNS: f64 = 1.3;
/// Memory that the draws of a job may take, bytes (judgement: what a shop computer can spare).
const MAX_BYTES: f64 = 2.5e9;

/// Refuses a job whose draws would not fit into a shop computer's memory.
///
/// # Errors
/// [`JobErrors`] with the number of draws that would fit.
pub(super) fn check(job: &Job) -> Result<(), JobErrors> {
    let fits = job.joints.iter().map(|joint| joint.fits.len()).sum();
    let bonds = job.joints.iter().map(|joint| joint.bonds.len()).sum();
    let columns = bytes_of_a_draw(job.parts.len(), fits, bonds).max(1);
    let each = OVER_COLUMNS * columns as f64;
    let needed = each * f64::from(job.draws);
    if needed <= MAX_BYTES {
        return Ok(());
    }
    let most = (MAX_BYTES / each).floor();
    let gigabytes = needed / 1e9;
    Err(JobErrors::one(
        &job.origin,
        "",
        0..0,
        &format!(
            "{} parts and {} joints drawn {} times would take about {gigabytes:.1} GB of memory",
            job.parts.len(),
            job.joints.len(),
            job.draws,
        ),
        &format!(
            "ask for {most:.0} draws or fewer (draws under [job], or --draws), or make two jobs of it"
        ),
    ))
}
