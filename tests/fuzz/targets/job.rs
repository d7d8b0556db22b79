//! The job file: read, checked, and where it is small forecast by a few draws, with report and JSON.
#![no_main]

use heartside::forecast::{Airs, forecast};
use heartside::job::{self, FilesError, Job, JobErrors};
use heartside::report;
use heartside::species::SpeciesTable;
use libfuzzer_sys::{Corpus, fuzz_target};

/// Draws of a forecast: the fewest a job may ask for.
const DRAWS: u32 = 16;

fn given(errors: &JobErrors, text: &str) {
    assert!(!errors.problems().is_empty());
    for problem in errors.problems() {
        assert!(!problem.message.is_empty() && !problem.remedy.is_empty());
        assert!(problem.span.start <= problem.span.end && problem.span.end <= text.len() + 3);
    }
    assert!(!errors.to_string().is_empty());
}

fn is_small(job: &Job) -> bool {
    let parts: u64 = job.parts.iter().map(|part| u64::from(part.count)).sum();
    parts <= 12
        && job.joints.len() <= 4
        && job.boards.len() <= 1
        && job.boards.iter().all(|board| board.parts.len() <= 2)
        && job.panels.is_empty()
        && job.straighten.len() + job.shelves.len() <= 2
        && job.glue.is_none()
}

fuzz_target!(|bytes: &[u8]| -> Corpus {
    let text = String::from_utf8_lossy(bytes);
    let mut job = match job::read_bytes(bytes, "fuzz.toml") {
        Ok(job) => job,
        Err(errors) => {
            given(&errors, &text);
            return Corpus::Keep;
        }
    };
    let table = SpeciesTable::built_in();
    if let Err(errors) = job::check_species(&job, table) {
        given(&errors, &text);
        return Corpus::Keep;
    }
    // Files that a job names are not there.
    let airs = match job.airs(|_| Err::<Vec<u8>, _>(())) {
        Ok(airs) => airs,
        Err(FilesError::File { .. }) => return Corpus::Keep,
        Err(FilesError::Job(errors)) => {
            given(&errors, &text);
            return Corpus::Keep;
        }
    };
    if !is_small(&job) {
        return Corpus::Keep;
    }
    job.draws = DRAWS;
    let airs = Airs::new(airs.into_iter().map(|air| (air.year, air.notes)).collect());
    match forecast(&job, table, &airs) {
        Err(errors) => given(&errors, &text),
        Ok(answer) => {
            let json = report::json(&answer);
            assert!(!json.contains("NaN") && !json.contains("Infinity"));
            for (name, bytes) in report::files(&answer) {
                let text = std::str::from_utf8(&bytes).unwrap_or_default();
                assert!(!text.is_empty(), "{name} is empty");
                assert!(!text.contains("NaN"), "{name} holds a number that is none");
            }
            assert!(!report::summary(&answer).contains("NaN"));
        }
    }
    Corpus::Keep
});
