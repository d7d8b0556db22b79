//! The slips of the trade in a job file: inch marks that end the text, curly quotes, no quotes, dates as they are written.

use super::{answers, changed};
use heartside::job;
use heartside::units::notation::{DayOrder, date};
use jiff::civil;
use proptest::prelude::*;

fn refused(job: &str) -> String {
    job::read(job, "job.toml")
        .map(|job| job.name)
        .unwrap_err()
        .to_string()
}

#[test]
fn an_inch_mark_that_ends_the_text_is_said_so() {
    for (from, to, remedy) in [
        (
            "width = \"15in\"",
            "width = \"11 13/16\"\"",
            "width = \"11 13/16in\"",
        ),
        (
            "width = \"15in\"",
            "width = \"15\"\" # planed",
            "width = \"15in\"",
        ),
        (
            "width = \"15in\"",
            "width = \"8' 6\"\"",
            "width = \"8' 6in\"",
        ),
        (
            "pith_depth = \"4in\"",
            "pith_depth = \"4\"\"",
            "pith_depth = \"4in\"",
        ),
        (
            "pith_offset = \"-1in\"",
            "pith_offset = \"-1\"\"",
            "pith_offset = \"-1in\"",
        ),
    ] {
        let words = refused(&changed(from, to));
        assert!(words.contains("the inch mark after"), "{to}: {words}");
        assert!(
            words.contains("write `in` for inches") && words.contains(remedy),
            "{to}: {words}"
        );
    }
}

#[test]
fn curly_quotes_and_missing_quotes_are_said_so() {
    for (to, wanted, remedy) in [
        (
            "width = \u{201c}15in\u{201d}",
            "curly quote",
            "width = \"15in\"",
        ),
        (
            "width = \u{201c}15\"\u{201d}",
            "curly quote",
            "width = \"15in\"",
        ),
        (
            "width = 11 13/16in",
            "not in quotes",
            "width = \"11 13/16in\"",
        ),
        ("width = 15in", "not in quotes", "width = \"15in\""),
        (
            "width = 381 mm # wide",
            "not in quotes",
            "width = \"381 mm\"",
        ),
        (
            "width = 11 13/16\"",
            "not in quotes",
            "width = \"11 13/16in\"",
        ),
    ] {
        let words = refused(&changed("width = \"15in\"", to));
        assert!(
            words.contains(wanted) && words.contains(remedy),
            "{to}: {words}"
        );
    }
    let words = refused(&changed("species = \"walnut, black\"", "species = walnut"));
    assert!(words.contains("species = \"walnut\""), "{words}");
}

#[test]
fn a_file_that_is_no_toml_for_another_reason_says_what_the_reader_said() {
    for to in ["width", "width =", "= \"15in\"", "[[width"] {
        let words = refused(&changed("width = \"15in\"", to));
        assert!(
            words.contains("this is not TOML") || words.contains("has no `width`"),
            "{to}: {words}"
        );
    }
}

#[test]
fn dates_as_they_are_written() {
    let fifth = civil::date(2026, 10, 5);
    for text in [
        "2026-10-05",
        "2026/10/05",
        "Oct 5, 2026",
        "October 5, 2026",
        "Oct. 5 2026",
        "5 Oct 2026",
        "5th October 2026",
        "5. Oct. 2026",
    ] {
        assert_eq!(date(text, None).unwrap(), fifth, "{text}");
    }
    // A day above 12, and day and month alike, need no order.
    assert_eq!(date("11/20/2026", None).unwrap(), civil::date(2026, 11, 20));
    assert_eq!(date("20.11.2026", None).unwrap(), civil::date(2026, 11, 20));
    assert_eq!(date("11/11/2026", None).unwrap(), civil::date(2026, 11, 11));
    assert_eq!(
        date("11/5/2026", Some(DayOrder::MonthFirst)).unwrap(),
        civil::date(2026, 11, 5)
    );
    assert_eq!(
        date("11/5/2026", Some(DayOrder::DayFirst)).unwrap(),
        civil::date(2026, 5, 11)
    );
    let words = date("11/5/2026", None).unwrap_err().to_string();
    for part in [
        "5 November 2026 with the month first",
        "11 May 2026 with the day first",
        "2026-11-05",
        "2026-05-11",
    ] {
        assert!(words.contains(part), "{words}");
    }
    for wrong in [
        "11/5/26",
        "2026-02-30",
        "Feb 30, 2026",
        "13/13/2026",
        "Octopus 5, 2026",
        "2026",
        "",
        "5 10",
        "a/b/c",
    ] {
        assert!(date(wrong, None).is_err(), "{wrong}");
    }
}

#[test]
fn a_job_takes_them() {
    for (to, code) in [
        ("measured = \"Oct 5, 2026\"", 0),
        ("measured = \"10/5/2026\"", 2),
        ("measured = 10/5/2026", 2),
        ("measured = Oct 5, 2026", 2),
    ] {
        let (found, words) = answers(&changed("measured = 2026-10-05", to), &[]);
        assert_eq!(found, Some(code), "{to}: {words:?}");
        if code == 2 {
            assert!(words[0].contains("2026-10-05"), "{to}: {words:?}");
        }
    }
    for (order, measured) in [("month first", "10/5/2026"), ("day first", "5/10/2026")] {
        let text = changed(
            "measured = 2026-10-05",
            &format!("measured = \"{measured}\""),
        )
        .replace("[job]\n", &format!("[job]\ndate_order = \"{order}\"\n"));
        let job = job::read(&text, "job.toml").unwrap_or_else(|errors| panic!("{errors}"));
        assert_eq!(job.parts[0].measured, civil::date(2026, 10, 5), "{order}");
    }
}

proptest! {
    /// Every way to write a day reads back as that day.
    #[test]
    fn dates_read_back(day in 0..20_000i32) {
        let day = civil::date(2000, 1, 1) + jiff::Span::new().days(day);
        for form in ["%Y-%m-%d", "%b %-d, %Y", "%-d %B %Y"] {
            prop_assert_eq!(date(&day.strftime(form).to_string(), None).unwrap(), day);
        }
        let (by_month, by_day) = (day.strftime("%-m/%-d/%Y").to_string(), day.strftime("%-d/%-m/%Y").to_string());
        prop_assert_eq!(date(&by_month, Some(DayOrder::MonthFirst)).unwrap(), day);
        prop_assert_eq!(date(&by_day, Some(DayOrder::DayFirst)).unwrap(), day);
    }

    /// No text makes the reader stop with a panic.
    #[test]
    fn any_text_is_a_date_or_an_error(text in any::<String>()) {
        let _either = date(&text, None);
        let _either = job::read(&format!("format = 2\nwidth = {text}"), "job.toml");
    }
}
