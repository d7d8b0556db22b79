//! A forecast whose deadline comes while it works ends there, and leaves nothing half-done behind. The deadline of these
//! tests counts how often it is asked, so that no clock decides.

use super::{airs_of, forecast_of, job_of, json_of, small};
use heartside::forecast::{Memory, forecast_recalling};
use heartside::numerics::{Deadline, Stopped};
use heartside::report;
use heartside::species::SpeciesTable;
use std::collections::BTreeSet;
use std::sync::atomic::{AtomicUsize, Ordering};

/// The JSON of a forecast whose deadline is over once it was asked so often, and how often it was.
fn within(text: &str, looks: usize, memory: &Memory) -> (Result<serde_json::Value, String>, usize) {
    let asked = AtomicUsize::new(0);
    let over = || asked.fetch_add(1, Ordering::Relaxed) >= looks;
    let job = job_of(text);
    let woods = SpeciesTable::built_in();
    let deadline = Deadline::new(&over);
    let found = forecast_recalling(&job, woods, &airs_of(&job), memory, deadline, &|_| ());
    let answer = found
        .map(|found| serde_json::from_str(&report::json(&found)).unwrap())
        .map_err(|errors| errors.to_string());
    (answer, asked.into_inner())
}

/// A job with everything that can take long: parts, leaves that may lie in many ways, a shelf, a bowed panel on its
/// supports, a board to resaw, a log.
fn long() -> String {
    let leaves: Vec<String> = (0..5)
        .map(|leaf| {
            format!(
                "{{ leaf = \"L{leaf}\", width = \"{} mm\", thickness = \"10 mm\", length = \"700 mm\", bow = \"{} mm\", pith_depth = \"60 mm\" }}",
                90 + 7 * leaf,
                leaf * 3 % 5 - 1
            )
        })
        .collect();
    format!(
        "{}\n[[panels]]\nname = \"door\"\nmatch = \"random\"\nspecies = \"cherry, black\"\nleaves = [{}]\n\
         [[shelves]]\npart = \"lid\"\nload = \"20kg/m\"\n\
         [[straighten]]\npart = \"stile\"\nbow = \"2 mm\"\ncrown = \"up\"\nsupports = \"0 mm, 200 mm, 420 mm\"\n\
         [[log]]\ndate = 2026-09-20\npart = \"lid\"\nwidth = \"399 mm\"\n",
        small(&[("draws = 256", "draws = 32")]),
        leaves.join(", ")
    )
}

#[test]
fn a_stopped_forecast_leaves_nothing_behind() {
    let text = long();
    let answer = json_of(&text);
    let (whole, asked) = within(&text, usize::MAX, &Memory::new(64_000_000));
    assert_eq!(whole.as_ref(), Ok(&answer));
    // At every stage from the first look to the last, most of them in the search of the leaves.
    let stages: BTreeSet<usize> = (0..6)
        .chain((1..8).map(|part| asked * part / 8))
        .chain([asked - 6, asked - 3, asked - 1])
        .collect();
    for looks in stages {
        let memory = Memory::new(64_000_000);
        let (stopped, _) = within(&text, looks, &memory);
        let words = stopped.expect_err("the deadline came first");
        assert!(words.contains("was stopped"), "after {looks}: {words}");
        let (again, _) = within(&text, usize::MAX, &memory);
        assert_eq!(
            again.as_ref(),
            Ok(&answer),
            "after one stopped at look {looks} of {asked}"
        );
    }
}

#[test]
fn a_deadline_is_heard_before_the_next_part_is_prepared() {
    let text = long();
    let memory = Memory::new(64_000_000);
    within(&text, usize::MAX, &memory).0.unwrap();
    let all = memory.grids();
    let memory = Memory::new(64_000_000);
    within(&text, 0, &memory).0.unwrap_err();
    assert_eq!(memory.grids(), 0);
    // One look before anything, one before each part.
    within(&text, 2, &memory).0.unwrap_err();
    assert!(
        (1..all).contains(&memory.grids()),
        "{} of {all}",
        memory.grids()
    );
    assert_eq!(memory.panels(), 0);
}

#[test]
fn a_report_is_drawn_until_its_deadline() {
    let forecast = forecast_of(&small(&[("draws = 256", "draws = 32")]));
    let asked = AtomicUsize::new(0);
    let never = || asked.fetch_add(1, Ordering::Relaxed) == usize::MAX;
    let whole = report::report_view_before(&forecast, Deadline::new(&never)).unwrap();
    assert_eq!(
        report::html_page(&whole),
        report::html_page(&report::report_view(&forecast))
    );
    // It is asked before every figure, and once more at the end.
    let figures = asked.into_inner() - 1;
    assert!(figures > 5, "{figures}");
    for looks in [0, figures / 2, figures] {
        let asked = AtomicUsize::new(0);
        let over = || asked.fetch_add(1, Ordering::Relaxed) >= looks;
        let stopped = report::report_view_before(&forecast, Deadline::new(&over));
        assert_eq!(stopped.err(), Some(Stopped), "{looks} of {figures}");
    }
}
