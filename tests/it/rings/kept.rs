//! Rings of photos that are kept in the folder of a report.

use super::known::folder;
use assert_cmd::Command;
use heartside::job;
use heartside::report::digest;
use std::fs;
use std::path::Path;

const KEPT: &str = "rings-of-photos.txt";

fn forecast(place: &Path) -> Vec<u8> {
    let output = Command::cargo_bin("heartside")
        .unwrap()
        .current_dir(place)
        .args(["forecast", "job.toml", "--draws", "16", "--out", "report"])
        .output()
        .unwrap();
    let error = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{error}");
    fs::read(place.join("report/forecast.json")).unwrap()
}

#[test]
fn a_second_run_takes_the_rings_that_the_first_one_kept_and_a_changed_photo_is_read() {
    let place = tempfile::tempdir().unwrap();
    let place = place.path();
    let photo = |name: &str| {
        fs::copy(folder().join(name), place.join("end.jpg")).unwrap();
    };
    let blank = job::blank();
    let line = blank
        .lines()
        .find(|line| line.starts_with("rings"))
        .unwrap();
    let text = blank.replacen(line, "rings = { photo = \"end.jpg\" }", 1);
    fs::write(place.join("job.toml"), text).unwrap();
    photo("t_syn_05.jpg");
    let first = forecast(place);
    let kept = place.join("report").join(KEPT);
    let written = fs::read_to_string(&kept).unwrap();
    let bytes = fs::read(place.join("end.jpg")).unwrap();
    assert!(written.contains(&digest(&bytes)), "{written}");
    // The same bits come back from the digits that were kept.
    assert_eq!(forecast(place), first);
    assert_eq!(fs::read_to_string(&kept).unwrap(), written);

    // A kept pith that is nobody's shows that the photo is not read again: the folder's list says whose the file is.
    let other: String = written
        .lines()
        .map(|line| match line.split_once(' ') {
            Some(("pith", rest)) => {
                let share = rest.split(' ').nth(2);
                format!("pith 33 1 {}", share.unwrap_or_default())
                    .trim_end()
                    .to_owned()
                    + "\n"
            }
            _ => format!("{line}\n"),
        })
        .collect();
    let list = place.join("report/written-files.txt");
    let listed = fs::read_to_string(&list)
        .unwrap()
        .replace(&digest(written.as_bytes()), &digest(other.as_bytes()));
    fs::write(&list, listed).unwrap();
    fs::write(&kept, &other).unwrap();
    assert_ne!(forecast(place), first);

    // Another photo under the same name is read, and only its rings are kept.
    photo("t_syn_08.jpg");
    let changed = forecast(place);
    assert_ne!(changed, first);
    let now = fs::read_to_string(&kept).unwrap();
    let bytes = fs::read(place.join("end.jpg")).unwrap();
    assert!(
        now.contains(&digest(&bytes)) && !now.contains("pith 33 1"),
        "{now}"
    );

    // Without a photo there is nothing to keep.
    fs::write(place.join("job.toml"), blank).unwrap();
    forecast(place);
    assert!(!kept.exists());
}
