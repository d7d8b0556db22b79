//! Bands are sorted by value: low is not above the middle, nor the middle above high, in every answer.

use super::{WHOLE, heartside};
use crate::run::object as json;
use heartside::chance::{Band, in_order};
use proptest::prelude::*;
use serde_json::Value;
use std::fs;

/// Every band in an answer: `x_low_mm`, `x_mm` and `x_high_mm` beside one another, single or in lists.
fn check(value: &Value, path: &str, bands: &mut usize) {
    match value {
        Value::Object(object) => {
            for (key, low) in object {
                check(low, &format!("{path}.{key}"), bands);
                let Some((stem, unit)) = key.split_once("_low_") else {
                    continue;
                };
                let high = &object[&format!("{stem}_high_{unit}")];
                let middle = object.get(&format!("{stem}_{unit}"));
                let list = |value: &Value| -> Vec<Option<f64>> {
                    match value {
                        Value::Array(list) => list.iter().map(Value::as_f64).collect(),
                        one => vec![one.as_f64()],
                    }
                };
                let (low, high) = (list(low), list(high));
                assert_eq!(low.len(), high.len(), "{path}.{key}");
                let middle = middle.map_or_else(|| vec![None; low.len()], list);
                for ((low, high), middle) in low.into_iter().zip(high).zip(middle) {
                    let (Some(low), Some(high)) = (low, high) else {
                        continue;
                    };
                    *bands += 1;
                    let middle = middle.unwrap_or(low);
                    assert!(
                        low <= middle && middle <= high,
                        "{path}.{key}: {low} {middle} {high}"
                    );
                }
            }
        }
        Value::Array(list) => list
            .iter()
            .enumerate()
            .for_each(|(index, value)| check(value, &format!("{path}[{index}]"), bands)),
        _ => {}
    }
}

proptest! {
    #[test]
    fn a_band_is_sorted_however_it_is_made(a in -1e3..1e3, b in -1e3..1e3, middle in -1e3..1e3, factor in -3.0..3.0) {
        let band = Band::new([a, b], middle);
        for band in [band, band.map(|x: f64| factor * x), band.about(factor), Band::new([b, a], middle)] {
            prop_assert!(band.low <= band.middle && band.middle <= band.high, "{band:?}");
        }
        prop_assert_eq!(band.middle, middle);
        let [low, high] = in_order([a, b]);
        prop_assert!(low <= high);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]
    /// Of a bow either way: what comes back of a negative one is sorted as well.
    #[test]
    fn bands_of_straightened_panels_are_sorted(bow in -12.0..12.0f64, at in 300.0..900.0f64) {
        let (bow, supports) = (format!("{bow:.1}mm"), format!("0mm, {at:.0}mm, 1200mm"));
        let answer = json(&[
            "straighten", "--length", "1200mm", "--width", "300mm", "--thickness", "19mm", "--species", "walnut, black",
            "--bow", &bow, "--supports", &supports, "--json",
        ]);
        let mut bands = 0;
        check(&answer, "straighten", &mut bands);
        prop_assert!(bands >= 2, "{answer}");
    }

    /// Of a fit between any three moistures, among them three alike, where the middle draw is an end of the band.
    #[test]
    fn bands_of_a_fit_are_sorted(from in 4.0..16.0f64, dry in 4.0..16.0f64, wet in 4.0..16.0f64, still in any::<bool>()) {
        let [from, dry, wet] = if still { [from; 3] } else { [from, dry.min(wet), dry.max(wet)] }.map(|percent| format!("{percent:.1}%"));
        let answer = json(&[
            "fit", "--part", "300mm", "--opening", "303mm", "--thickness", "19mm", "--species", "walnut, black",
            "--from", &from, "--dry", &dry, "--wet", &wet, "--json",
        ]);
        let mut bands = 0;
        check(&answer, "fit", &mut bands);
        prop_assert!(bands == 2, "{answer}");
    }
}

#[test]
fn bands_of_a_forecast_are_sorted() {
    let bowed_the_other_way = WHOLE.replace("bow = \"3/16in\"", "bow = \"-3/16in\"");
    // Few draws, so that a middle draw may lie outside what they span.
    for (job, draws) in [(WHOLE, "16"), (WHOLE, "64"), (&bowed_the_other_way, "16")] {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("job.toml"), job).unwrap();
        let args = [
            "forecast", "job.toml", "--draws", draws, "--json", "--out", "report",
        ];
        let output = heartside(folder.path(), &args);
        let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
        let mut bands = 0;
        check(&answer, "forecast", &mut bands);
        assert!(bands > 20, "{bands}");
    }
}
