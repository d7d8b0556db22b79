//! The page's forms: changes of a job file's text, and a whole question as the page sends it. Input: JSON, a line of three
//! hyphens, the text. Whatever the changes, the text stays TOML, or the change is refused and the text is as it was.
#![no_main]

use heartside::job;
use heartside::page::{Edit, Question, apply};
use libfuzzer_sys::fuzz_target;

fn is_toml(text: &str) -> bool {
    match job::read(text, "fuzz.toml") {
        Ok(_) => true,
        Err(errors) => !errors.to_string().contains("this is not TOML"),
    }
}

fuzz_target!(|input: &str| {
    let _question = serde_json::from_str::<Question>(input);
    let Some((edits, text)) = input.split_once("\n---\n") else {
        return;
    };
    let Ok(edits) = serde_json::from_str::<Vec<Edit>>(edits) else {
        return;
    };
    assert_eq!(apply(text, &[]).as_deref(), Ok(text));
    if edits.is_empty() {
        return;
    }
    match apply(text, &edits) {
        Ok(changed) => {
            assert!(
                is_toml(&changed),
                "{edits:?} made of\n{text}\nthis:\n{changed}"
            );
            // What was set stands already when it is set again.
            if edits
                .iter()
                .all(|edit| edit.insert.is_none() && !edit.to.is_null())
            {
                assert_eq!(
                    apply(&changed, &edits).as_deref(),
                    Ok(changed.as_str()),
                    "{edits:?}"
                );
            }
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});
