//! Speed of the joint room: fits through a daily year, bonds, a job's joints read.

use divan::{Bencher, black_box};
use heartside::joint::fit::FitWords;
use heartside::joint::split::STRENGTH_COV;
use heartside::joint::{
    Across, Aim, Axis, BondLine, Days, Fit, MaxGap, Motion, PartId, Ply, ShearLag, Size,
    SplitSpread, Term, When,
};
use heartside::units::{Length, Strain, Stress};

const FITS: usize = 10_000;
const YEAR: usize = 365;

fn mm(value: f64) -> Length {
    Length::from_mm_unchecked(value)
}

/// Three parts through a year of sine, each with its own lag.
fn year() -> Motion {
    let mut motion = Motion::still(3, YEAR);
    for part in 0..3 {
        for axis in Axis::ALL {
            for (day, ratio) in motion.ratios_mut(PartId(part), axis).iter_mut().enumerate() {
                let phase = (day as f64 / YEAR as f64 + 0.05 * part as f64) * std::f64::consts::TAU;
                *ratio = 1.0 + 0.008 * phase.sin();
            }
        }
    }
    motion
}

/// A panel in its grooves: four sizes, one of them cut, and a reach that moves.
fn panel(width: f64) -> Fit {
    let term = |part: usize, axis, size| Term {
        part: PartId(part),
        axis,
        size,
    };
    let groove = term(0, Axis::Width, Size::Cut);
    Fit {
        name: String::new(),
        opening: vec![
            term(1, Axis::Length, Size::Known(mm(330.0))),
            groove,
            groove,
        ],
        part: vec![term(2, Axis::Width, Size::Known(mm(width)))],
        share: 0.5,
        min: mm(1.0),
        max: MaxGap::Holding {
            reach: groove,
            min: mm(5.0),
        },
        given: None,
        aim: Aim::Min,
        when: When::Always,
        words: FitWords {
            cut: "groove",
            dimension: "deep",
            gap: String::new(),
            too_tight: String::new(),
            too_loose: String::new(),
        },
    }
}

fn fits() -> Vec<Fit> {
    (0..FITS)
        .map(|index| panel(345.0 + (index % 100) as f64 / 10.0))
        .collect()
}

const DAYS: Days = Days {
    cut: 0,
    judged: 0..YEAR,
};

/// Ten thousand fits sized and judged on every day of a year.
#[divan::bench(sample_count = 10)]
fn ten_thousand_fits_through_a_year(bencher: Bencher<'_, '_>) {
    let (motion, fits) = (year(), fits());
    bencher.bench(|| {
        fits.iter()
            .map(|fit| {
                let cut = fit
                    .cut_interval(&motion, &DAYS)
                    .choose(fit.aim)
                    .unwrap_or(0.0);
                fit.extremes(&motion, &DAYS, cut)
                    .map_or(0.0, |found| found.spare_tight_mm)
            })
            .sum::<f64>()
    });
}

/// The same extremes day by day through the single-day question, for comparison.
#[divan::bench(sample_count = 10)]
fn the_same_day_by_day(bencher: Bencher<'_, '_>) {
    let (motion, fits) = (year(), fits());
    bencher.bench(|| {
        fits.iter()
            .map(|fit| {
                (0..YEAR)
                    .map(|day| fit.gap_mm(&motion, day, 0, 12.0))
                    .fold(f64::INFINITY, f64::min)
            })
            .sum::<f64>()
    });
}

/// One draw of a glued line judged.
#[divan::bench]
fn judge_a_line(bencher: Bencher<'_, '_>) {
    let mpa = Stress::computed_mpa;
    let ply = |modulus, shear| Ply {
        thickness: mm(19.0),
        modulus: mpa(modulus),
        shear_modulus: mpa(shear),
    };
    let line = BondLine {
        lag: ShearLag::new(ply(885.0, 246.0), ply(12_300.0, 1058.0), 0.0),
        width: mm(450.0),
        moving: Some(Across {
            modulus: mpa(885.0),
            strength: mpa(5.5),
        }),
        holding: None,
        stiffer: [1.0; 2],
        spread: SplitSpread::new(STRENGTH_COV, 0.22),
        free: None,
        band: mm(60.0),
        reach: mm(1000.0),
        shear_strength: mpa(13.8),
    };
    let (dry, wet) = (
        Strain::computed_ratio(-0.022),
        Strain::computed_ratio(0.004),
    );
    bencher.bench(|| black_box(line).judge(mm(450.0), black_box(dry), black_box(wet)));
}
