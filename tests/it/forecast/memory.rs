//! A forecast with a memory is the one unless given, to the byte.

use super::{airs_of, job_of, json_of, small};
use heartside::forecast::{Memory, forecast_recalling};
use heartside::job;
use heartside::numerics::Deadline;
use heartside::report;
use heartside::species::SpeciesTable;

fn recalled(text: &str, memory: &Memory) -> serde_json::Value {
    let job = job_of(text);
    let found = forecast_recalling(
        &job,
        SpeciesTable::built_in(),
        &airs_of(&job),
        memory,
        Deadline::NEVER,
        &|_| (),
    )
    .unwrap_or_else(|errors| panic!("{errors}"));
    serde_json::from_str(&report::json(&found)).unwrap()
}

#[test]
fn what_is_remembered_is_what_would_be_solved() {
    let memory = Memory::new(64_000_000);
    let first = small(&[]);
    let answer = json_of(&first);
    assert_eq!(recalled(&first, &memory), answer);
    let solved = memory.grids();
    assert!(solved > 0);
    assert_eq!(recalled(&first, &memory), answer);
    assert_eq!(memory.grids(), solved, "the same job solves nothing again");
    // One change after another, and back again.
    for change in CHANGES {
        let changed = small(&[change]);
        assert_eq!(recalled(&changed, &memory), json_of(&changed), "{change:?}");
    }
    assert!(
        memory.grids() > solved,
        "another wood, air and start are solved again"
    );
    assert_eq!(recalled(&first, &memory), answer);
}

#[test]
fn a_width_needs_no_moisture_year_of_its_own() {
    let memory = Memory::new(64_000_000);
    recalled(&small(&[]), &memory);
    let solved = memory.grids();
    recalled(&small(&[WIDER]), &memory);
    assert_eq!(memory.grids(), solved);
}

#[test]
fn a_small_memory_forgets_and_answers_the_same() {
    let memory = Memory::new(250_000);
    for change in &CHANGES[1..3] {
        let changed = small(&[*change]);
        assert_eq!(recalled(&changed, &memory), json_of(&changed), "{change:?}");
        // A settled year takes some twenty shapes of 365 means, 60 kB or more.
        assert!(
            memory.grids() <= 5,
            "{} grids in a quarter of a megabyte",
            memory.grids()
        );
    }
    let none = Memory::new(0);
    recalled(&small(&[]), &none);
    assert_eq!(none.grids(), 0);
}

/// A panel is searched once for as long as nothing of it changes; one leaf's bow searches it again.
#[test]
fn layouts_are_found_again_and_are_those_that_would_be_searched() {
    let memory = Memory::new(64_000_000);
    let leaf = |name: &str, bow: &str| {
        format!(
            "{{ leaf = \"{name}\", width = \"120 mm\", thickness = \"10 mm\", length = \"700 mm\", bow = \"{bow}\" }}"
        )
    };
    let with = |bow: &str, wide: &str| {
        let leaves = [leaf("A", "3 mm"), leaf("B", bow), leaf("C", "-1 mm")].join(", ");
        format!(
            "{}\n[[panels]]\nname = \"door\"\nmatch = \"random\"\nspecies = \"cherry, black\"\nleaves = [{leaves}]\n",
            small(&[("width = \"400 mm\"", wide)])
        )
    };
    let text = with("2 mm", "width = \"400 mm\"");
    assert_eq!(recalled(&text, &memory), json_of(&text));
    let searched = memory.panels();
    let wider = with("2 mm", "width = \"410 mm\"");
    assert_eq!(recalled(&wider, &memory), json_of(&wider));
    assert_eq!(
        memory.panels(),
        searched,
        "a part's width is nothing to the panel"
    );
    let other = with("-2 mm", "width = \"400 mm\"");
    assert_eq!(recalled(&other, &memory), json_of(&other));
    assert_eq!(memory.panels(), searched + 1);
    assert_eq!(recalled(&text, &memory), json_of(&text));
    for step in 0..20 {
        recalled(&with(&format!("{step} mm"), "width = \"400 mm\""), &memory);
    }
    assert_eq!(memory.panels(), 16);
}

const WIDER: (&str, &str) = ("width = \"400 mm\"", "width = \"410 mm\"");

const CHANGES: [(&str, &str); 6] = [
    WIDER,
    ("moisture = \"9%\"", "moisture = \"12%\""),
    ("species = \"cherry, black\"", "species = \"teak\""),
    ("winter = \"30%\"", "winter = \"25%\""),
    ("delivered = 2026-10-26", "delivered = 2026-11-26"),
    ("thickness = \"22 mm\"", "thickness = \"30 mm\""),
];

/// What a change leaves as it was is not drawn again, and the answers are those of a job drawn whole: sizes, moisture and joints of the
/// demo, one change after another, and back again.
#[test]
fn what_hangs_on_no_change_is_kept_and_the_answers_are_those_of_all_drawn() {
    let demo = job::demo().replacen("[job]", "[job]\ndraws = 128", 1);
    let changes = [
        ("width = \"14 1/2in\"", "width = \"14 3/8in\""),
        ("width = \"8 1/4in\"\n", "width = \"8 1/8in\"\n"),
        ("moisture = \"9.8%\"", "moisture = \"10.4%\""),
        ("width = \"2 1/2in\"", "width = \"2 3/8in\""),
        (
            "piece_axis = \"width\"\n",
            "piece_axis = \"width\"\nmin = \"1mm\"\n",
        ),
        // Of the thickness of other parts then.
        ("thickness = \"7/8in\"", "thickness = \"3/4in\""),
        // What no draw hangs on, but what is said does.
        ("[job]\n", "# Longer by a line.\n[job]\n"),
        ("units = \"inch\"", "units = \"mm\""),
        ("wood_fixed = true", "wood_fixed = false"),
        (
            "[schedule]\n",
            "[chance]\nmeter_bias_within = \"1%\"\n\n[schedule]\n",
        ),
    ];
    let memory = Memory::new(64_000_000);
    assert_eq!(recalled(&demo, &memory), json_of(&demo));
    let mut all = demo.clone();
    for (from, to) in changes {
        assert!(all.contains(from), "{from}");
        all = all.replacen(from, to, 1);
        assert_eq!(recalled(&all, &memory), json_of(&all), "{to}");
    }
    assert_eq!(recalled(&demo, &memory), json_of(&demo));
}
