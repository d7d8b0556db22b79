//! The days that every draw looks at, and the grids picked for them.

use super::{airs_of, job_of, prepared_of, small};

use heartside::forecast::{
    DaySet, Inputs, Outcome, Workspace, days_that_matter, evaluate, move_parts,
};
use heartside::joint::{Axis, PartId};

/// Grids picked for a set of days give on them what the whole grids give.
#[test]
fn picked_grids_equal_the_full_grids() {
    let job = job_of(&small(&[]));
    let prepared = prepared_of(&job);
    let inputs = Inputs::of(&job, &prepared, &airs_of(&job));
    let set = DaySet::new((0..prepared.timeline.days()).step_by(11).collect());
    let thin = prepared.on(&set);
    let numbers: Vec<f64> = (0..inputs.list().len())
        .map(|index| ((index * 7 % 13) as f64 - 6.0) / 4.0)
        .collect();
    let mut draw = inputs.middle();
    inputs.fill(&numbers, &mut draw);
    let mut full = Workspace::new(&prepared, &set);
    let mut picked = Workspace::new(&thin, &set);
    move_parts(&prepared, &draw, &set, &mut full);
    move_parts(&thin, &draw, &set, &mut picked);
    for part in 0..job.parts.len() {
        for axis in Axis::ALL {
            let (a, b) = (
                full.motion.ratios(PartId(part), axis),
                picked.motion.ratios(PartId(part), axis),
            );
            // Moisture within 1e-3 %, of which wood makes 0.4 % or less in its size.
            assert!(a.iter().zip(b).all(|(a, b)| (a - b).abs() < 4e-6));
        }
    }
}

/// On the days that matter the middle draw finds the extremes of all days, and other draws, whose worst days may
/// stand a few days off, find them within two hundredths of a millimetre.
#[test]
fn the_days_that_matter_find_the_extremes_of_all_days() {
    let job = job_of(&small(&[]));
    let prepared = prepared_of(&job);
    let inputs = Inputs::of(&job, &prepared, &airs_of(&job));
    let all = DaySet::new((0..prepared.timeline.days()).collect());
    let cuts = vec![14.0; 8];
    let outcome_of = |prepared, set: &DaySet, numbers: Option<&[f64]>| {
        let mut draw = inputs.middle();
        if let Some(numbers) = numbers {
            inputs.fill(numbers, &mut draw);
        }
        let mut workspace = Workspace::new(prepared, set);
        let mut outcome = Outcome::default();
        evaluate(prepared, &draw, set, &cuts, &mut workspace, &mut outcome);
        outcome
    };
    let middle = outcome_of(&prepared, &all, None);
    let set = days_that_matter(&prepared, &middle);
    assert!(set.days().len() < all.days().len() / 8);
    let thin = prepared.on(&set);
    let strided = outcome_of(&thin, &set, None);
    for (a, b) in middle.fits.iter().zip(&strided.fits) {
        assert!((a.min_mm - b.min_mm).abs() < 1e-3);
        assert!((a.max_mm - b.max_mm).abs() < 1e-3);
        assert_eq!(a.min_at, set.days()[b.min_at]);
        assert_eq!(a.max_at, set.days()[b.max_at]);
    }
    for (a, b) in middle.bonds.iter().zip(&strided.bonds) {
        assert!((a.driest.ratio() - b.driest.ratio()).abs() < 4e-6);
    }
    let mut worst = 0.0_f64;
    for draw in 0..24_usize {
        let numbers: Vec<f64> = (0..inputs.list().len())
            .map(|index| (((index + 3) * (draw + 5) * 37 % 101) as f64 - 50.0) / 25.0)
            .collect();
        let a = outcome_of(&prepared, &all, Some(&numbers));
        let b = outcome_of(&thin, &set, Some(&numbers));
        for (a, b) in a.fits.iter().zip(&b.fits) {
            worst = worst
                .max((a.min_mm - b.min_mm).abs())
                .max((a.max_mm - b.max_mm).abs());
        }
    }
    assert!(worst < 0.02, "{worst}");
}
