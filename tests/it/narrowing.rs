//! `[chance]` in a job: spreads given, measurements that narrow, boards shared; against exact normal theory.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use heartside::chance::NINE_IN_TEN;
use heartside::chance::{Draws, Instrument};
use heartside::forecast::{Airs, Forecast, ShrinkageSpread, forecast};
use heartside::job::{self, Direction, Offcut, Spreads};
use heartside::movement::{Sawn, Section, Shrinkage};
use heartside::species::SpeciesTable;
use heartside::units::{Length, MoistureContent};

/// Every spread at nothing but those that `given` sets.
fn only(given: &str) -> String {
    let usual = [
        "shrinkage_cov = \"0%\"",
        "radial_with_tangential = 0.5",
        "meter_bias_within = \"0%\"",
        "meter_scatter_within = \"0%\"",
        "diffusivity_factor = 1",
        "exchange_factor = 1",
        "equilibrium_within = \"0%\"",
        "humidity_within = \"0%\"",
        "humidity_year_within = \"0%\"",
        "pith_depth_factor = 1",
        "stiffness_cov = \"0%\"",
        "strength_cov = \"0%\"",
        "bending_strength_cov = \"0%\"",
        "locked_in_spread = 0",
    ];
    let mut text = String::from("[chance]\n");
    for line in usual {
        let key = line.split(' ').next().unwrap();
        if !given.lines().any(|line| line.starts_with(key)) {
            text += line;
            text.push('\n');
        }
    }
    text + given
}

fn part(name: &str, more: &str) -> String {
    format!(
        "[[parts]]\nname = \"{name}\"\nspecies = \"oak, white\"\nthickness = \"20 mm\"\nwidth = \"300 mm\"\n\
         length = \"900 mm\"\nmoisture = \"12%\"\n{more}\n"
    )
}

/// A thin bare board that has long settled in steady air when it is looked at.
fn job_of(parts: &str, chance: &str) -> String {
    format!(
        "format = 2\n[job]\nname = \"Boards\"\ndraws = 4096\n[places.shop]\nair = {{ temperature = \"21C\", humidity = \"40%\" }}\n\
         [places.home]\nair = {{ temperature = \"21C\", humidity = \"40%\" }}\n\
         [schedule]\nmeasured = 2026-01-05\ndelivered = 2027-11-20\n{parts}\n{chance}"
    )
}

fn found(text: &str) -> Forecast {
    let job = job::read(text, "test.toml").unwrap_or_else(|errors| panic!("{errors}"));
    let airs = job
        .airs(|_| Err::<Vec<u8>, _>("no files"))
        .unwrap_or_else(|_| panic!("airs"))
        .into_iter()
        .map(|air| (air.year, air.notes))
        .collect();
    forecast(&job, SpeciesTable::built_in(), &Airs::new(airs)).unwrap()
}

const FLAT: &str = "rings = { sawn = \"flat\" }";

/// White oak's tangential shrinkage, 10.5 % green to dry, and its fiber saturation (Wood Handbook Table 4-3).
const TANGENTIAL: f64 = 10.5;

/// Width of a flat-sawn board by Eq. 13-3 of the Wood Handbook, its shrinkage times a factor.
fn width_mm(factor: f64, from: f64, to: f64) -> f64 {
    let size = |m: f64| 1.0 - TANGENTIAL * factor / 100.0 * (30.0 - m) / 30.0;
    300.0 * size(to) / size(from)
}

// The change of width is a rising function of one normal factor, so that its quantiles are those of the factor: exact
// normal theory at 5, 50 and 95 %.
#[test]
fn shrinkage_alone_gives_the_normal_quantiles_of_the_width() {
    let oak = found(&job_of(
        &part("board", FLAT),
        &only("shrinkage_cov = \"15%\"\n"),
    ));
    let board = &oak.parts[0];
    let dry = board.moisture_driest.middle.percent();
    for (found, normal) in [
        (board.width_driest.low.mm(), NINE_IN_TEN),
        (board.width_driest.middle.mm(), 0.0),
        (board.width_driest.high.mm(), -NINE_IN_TEN),
    ] {
        assert_abs_diff_eq!(
            found,
            width_mm(1.0 + 0.15 * normal, 12.0, dry),
            epsilon = 0.01
        );
    }
}

// The meter's two errors add as variances; the width follows them in a straight line to within a hundredth of a millimetre.
#[test]
fn bias_and_scatter_of_the_meter_add_as_variances() {
    let oak = found(&job_of(
        &part("board", FLAT),
        &only("meter_bias_within = \"1.2%\"\nmeter_scatter_within = \"0.9%\"\n"),
    ));
    let board = &oak.parts[0];
    let dry = board.moisture_driest.middle.percent();
    let within = (1.2_f64.powi(2) + 0.9_f64.powi(2)).sqrt();
    assert_abs_diff_eq!(
        board.width_driest.low.mm(),
        width_mm(1.0, 12.0 + within, dry),
        epsilon = 0.02
    );
    assert_abs_diff_eq!(
        board.width_driest.high.mm(),
        width_mm(1.0, 12.0 - within, dry),
        epsilon = 0.02
    );
}

// Nothing uncertain, nothing spread, to the digits of single precision in which draws are summed.
#[test]
fn without_spreads_a_band_is_a_line() {
    let oak = found(&job_of(&part("board", FLAT), &only("")));
    let board = &oak.parts[0];
    assert_abs_diff_eq!(
        board.width_driest.low.mm(),
        board.width_driest.middle.mm(),
        epsilon = 1e-6
    );
    assert_abs_diff_eq!(
        board.width_driest.high.mm(),
        board.width_driest.middle.mm(),
        epsilon = 1e-6
    );
}

fn oak() -> Shrinkage {
    Shrinkage::of(SpeciesTable::built_in().find("oak, white").unwrap())
}

fn section() -> Section {
    Section {
        width: Length::from_mm_unchecked(300.0),
        thickness: Length::from_mm_unchecked(20.0),
        rings: Sawn::Flat.rings(),
    }
}

fn offcut(direction: Direction, after_mm: f64) -> Offcut {
    Offcut {
        part: 0,
        direction,
        from: MoistureContent::computed_percent(15.0),
        to: MoistureContent::computed_percent(6.0),
        before: Length::from_mm_unchecked(150.0),
        after: Length::from_mm_unchecked(after_mm),
        size_deviation: Length::from_mm_unchecked(0.06),
        moisture_deviation_percent: 0.2,
    }
}

// The conjugate normal update by hand (Gelman et al., Bayesian Data Analysis, section 2.5): precisions add, means weigh by
// them. The strain of the table's board is Eq. 13-3's; it follows the factor in a straight line.
#[test]
fn an_offcut_is_the_conjugate_update() {
    let size = |factor: f64, m: f64| 1.0 - TANGENTIAL * factor / 100.0 * (30.0 - m) / 30.0;
    let strain = |factor: f64| size(factor, 6.0) / size(factor, 15.0) - 1.0;
    let slope = (strain(1.05) - strain(0.95)) / 0.1;
    let seen: f64 = 145.9 / 150.0 - 1.0;
    let error = 2.0_f64.sqrt() * (0.06_f64 / 150.0).hypot(strain(1.0) / 9.0 * 0.2);
    let (reading, deviation) = (1.0 + (seen - strain(1.0)) / slope, error / slope.abs());
    let precision = 1.0 / 0.15_f64.powi(2) + 1.0 / deviation.powi(2);
    let mean = (1.0 / 0.15_f64.powi(2) + reading / deviation.powi(2)) / precision;
    let spreads = Spreads::default();
    for direction in [Direction::Tangential, Direction::Width] {
        let after = ShrinkageSpread::of_wood(&spreads, [0.0; 2]).after(
            &offcut(direction, 145.9),
            section(),
            &oak(),
        );
        assert_relative_eq!(after.middle[0], mean, max_relative = 1e-9);
        assert_relative_eq!(
            after.deviations()[0],
            (1.0 / precision).sqrt(),
            max_relative = 1e-9
        );
        // The radial factor follows by its correlation of 0.7: regression of one normal number on another.
        assert_relative_eq!(
            after.middle[1],
            1.0 + 0.7 * (mean - 1.0),
            max_relative = 1e-9
        );
        let left = 0.15_f64.powi(2) * (1.0 - 0.49) + 0.49 / precision;
        assert_relative_eq!(after.deviations()[1], left.sqrt(), max_relative = 1e-9);
    }
}

// Read across its rings and along them, a board is known both ways, and what went together no longer does.
#[test]
fn both_directions_narrow_both() {
    let spread = ShrinkageSpread::of_wood(&Spreads::default(), [0.0; 2]);
    let one = spread.after(&offcut(Direction::Tangential, 145.9), section(), &oak());
    let both = one.after(&offcut(Direction::Radial, 147.4), section(), &oak());
    assert!(both.deviations()[0] <= one.deviations()[0]);
    assert!(both.deviations()[1] < 0.6 * one.deviations()[1]);
}

// The normal-inverse-chi-squared update (Gelman et al., section 3.3) with the numbers put in by hand:
// k0 = (0.3/0.6)^2 = 0.25, v0 = 4, s0 = 0.3; four readings off by 0.9, 1.1, 1.0, 1.4: mean 1.1, squares 0.14.
// k = 4.25, m = 4 x 1.1/4.25 = 1.035294; v s^2 = 4 x 0.09 + 0.14 + 0.25 x 4/4.25 x 1.21 = 0.784706; s = sqrt(0.784706/8).
#[test]
fn a_meter_held_against_the_oven() {
    let meter = Instrument::new(0.6, 0.3).after(&[0.9, 1.1, 1.0, 1.4]);
    assert_relative_eq!(meter.bias, 1.035_294_117_6, max_relative = 1e-9);
    assert_relative_eq!(meter.scatter, 0.313_190_6, max_relative = 1e-6);
    assert_relative_eq!(
        meter.bias_deviation(),
        0.313_190_6 / 4.25_f64.sqrt(),
        max_relative = 1e-6
    );
    // All at once or one by one: the same belief.
    let mut by_one = Instrument::new(0.6, 0.3);
    for off in [0.9, 1.1, 1.0, 1.4] {
        by_one = by_one.after(&[off]);
    }
    assert_relative_eq!(by_one.bias, meter.bias, max_relative = 1e-12);
    assert_relative_eq!(by_one.scatter, meter.scatter, max_relative = 1e-12);
    // Many readings overrule what was believed.
    let mut many = Vec::new();
    for _ in 0..5_000 {
        many.extend([1.8, 2.2]);
    }
    let sure = Instrument::new(0.6, 0.3).after(&many);
    assert_abs_diff_eq!(sure.bias, 2.0, epsilon = 1e-3);
    assert_abs_diff_eq!(sure.scatter, 0.2, epsilon = 1e-3);
}

#[test]
fn a_meter_that_reads_high_shifts_every_part_and_says_so() {
    let parts = part("board", FLAT);
    let plain = found(&job_of(&parts, ""));
    let checked = found(&job_of(
        &parts,
        "[chance]\nmeter_checks = [{ read = \"12%\", oven = \"11%\" }, { read = \"9%\", oven = \"8%\" }]\n",
    ));
    // drier than it was given, so that it shrinks less from today
    assert!(
        checked.parts[0].width_driest.middle.mm() > plain.parts[0].width_driest.middle.mm() + 0.5
    );
    let width = |forecast: &Forecast| {
        forecast.parts[0].width_driest.high.mm() - forecast.parts[0].width_driest.low.mm()
    };
    assert!(width(&checked) < width(&plain));
    assert!(
        checked
            .assumptions
            .iter()
            .any(|line| line.contains("held against the oven 2 times, reads 0.8 % high")),
        "{:#?}",
        checked.assumptions
    );
}

// Two boards of their own vary apart, two parts of one board as one: the off-cut of the first then narrows the second too.
#[test]
fn parts_of_one_board_share_what_is_measured() {
    let narrowed = |board: &str| {
        let given = format!("{FLAT}\n{board}");
        let parts = part("first", &given) + &part("second", &given);
        let offcut = "offcuts = [{ part = \"first\", from = \"15%\", to = \"6%\", before = \"150 mm\", after = \"145.5 mm\" }]\n";
        let chance = only(&format!("shrinkage_cov = \"15%\"\n{offcut}"));
        let forecast = found(&job_of(&parts, &chance));
        let width = |part: usize| {
            forecast.parts[part].width_driest.high.mm() - forecast.parts[part].width_driest.low.mm()
        };
        let words = forecast.assumptions.join("\n");
        (width(0), width(1), words)
    };
    let (first, second, words) = narrowed("");
    assert!(first < 0.3 * second, "{first} {second}");
    assert!(
        words.contains("An off-cut of first went from 150.00 mm to 145.50 mm between 15% and 6%")
    );
    let (first, second, words) = narrowed("board = \"A\"");
    assert_abs_diff_eq!(first, second, epsilon = 0.01);
    assert!(words.contains("An off-cut of board A (through first)"));
}

#[test]
fn an_offcut_that_cannot_be_is_doubted() {
    let forecast = found(&job_of(
        &part("board", FLAT),
        "[chance]\noffcuts = [{ part = \"board\", from = \"15%\", to = \"6%\", before = \"150 mm\", after = \"150.2 mm\" }]\n",
    ));
    assert!(
        forecast
            .warnings
            .iter()
            .any(|words| words.starts_with("the off-cut of board changed by 0.13 %")),
        "{:#?}",
        forecast.warnings
    );
}

#[test]
fn what_cannot_be_meant_is_given_with_its_place() {
    let parts = part("board", &format!("{FLAT}\nboard = \"A\""))
        + &part("other", &format!("{FLAT}\nboard = \"A\"")).replace("oak, white", "maple, sugar");
    let errors = job::read(
        &job_of(
            &parts,
            "[chance]\nshrinkage_cov = \"80%\"\ndiffusivity_factor = 0.5\nradial_with_tangential = 1.5\nmeter_bias = \"1%\"\n\
             offcuts = [{ part = \"boord\", from = \"9%\", to = \"9.2%\", before = \"150 mm\", after = \"149 mm\" },\n\
             { part = \"board\", from = \"15%\", to = \"6%\", before = \"150 mm\", after = \"15 mm\" }]\n",
        ),
        "test.toml",
    )
    .unwrap_err()
    .to_string();
    for part in [
        "80 is outside 0 to 60",
        "0.5 is outside 1 to 20",
        "1.5 is outside -0.99 to 0.99",
        "`meter_bias` is no key of `chance`",
        "no part is named `boord`",
        "from 9% to 9.2% the off-cut hardly moves",
        "the off-cut changed by -90 %",
        "the board `A` is of oak, white for one part and of maple, sugar for this one",
    ] {
        assert!(errors.contains(part), "{part} is not in {errors}");
    }
}

// Every spread stands in the report with its source, and a spread of the job file is given to be one.
#[test]
fn every_spread_is_given_with_its_source() {
    let forecast = found(&job_of(
        &part("board", FLAT),
        "[chance]\nshrinkage_cov = \"10%\"\n",
    ));
    let taken: Vec<&String> = forecast
        .assumptions
        .iter()
        .filter(|line| line.starts_with("Taken: "))
        .collect();
    assert_eq!(taken.len(), Spreads::default().words().len());
    assert!(
        taken
            .iter()
            .any(|line| line.contains("boards of one wood by 10 %")
                && line.ends_with("(as the job file gives it)."))
    );
    assert!(taken.iter().all(|line| line.ends_with(").")));
}

// What is left of a band once its one uncertain input is measured: the answer tells it before, the measurement shows it after.
// A given narrowing of independent inputs is sqrt(1 - share (1 - left^2)).
#[test]
fn what_a_measurement_would_leave_is_what_it_leaves() {
    let parts = part("panel", FLAT).replace("12%", "9%")
        + "[[parts]]\nname = \"stile\"\nspecies = \"oak, white\"\nthickness = \"22 mm\"\nwidth = \"60 mm\"\nlength = \"900 mm\"\nmoisture = \"9%\"\nrings = { sawn = \"quarter\" }\n";
    let joint = "[[joints.frame_and_panel]]\npiece = \"panel\"\ninto = \"stile\"\nopening = \"285 mm\"\ngroove_width = \"8 mm\"\n";
    let swing = parts + joint;
    let text = |chance: &str| {
        job_of(&swing, chance).replace(
            "humidity = \"40%\" }\n[schedule]",
            "humidity = \"85%\" }\n[schedule]",
        )
    };
    let before = found(&text(&only(
        "shrinkage_cov = \"15%\"\nhumidity_within = \"3%\"\n",
    )));
    let fit = &before.fits[0];
    let shrinkage = fit
        .matters_most
        .iter()
        .find(|input| input.measure == "measure an off-cut of the panel at two moistures")
        .unwrap_or_else(|| panic!("{:#?}", fit.matters_most));
    // as the table has it from 12 to 6 %, so that only the spread changes
    let size = |m: f64| 1.0 - TANGENTIAL / 100.0 * (30.0 - m) / 30.0;
    let after_mm = 300.0 * size(6.0) / size(12.0);
    let after = found(&text(&only(&format!(
        "shrinkage_cov = \"15%\"\nhumidity_within = \"3%\"\noffcuts = [{{ part = \"panel\", direction = \"tangential\", from = \"12%\", to = \"6%\", before = \"300 mm\", after = \"{after_mm:.5} mm\" }}]\n"
    ))));
    // the minimum gap is the widest panel's: the binding side
    let band = |forecast: &Forecast| {
        let fit = &forecast.fits[0];
        (fit.gap_min.high.mm() - fit.gap_min.low.mm())
            .max(fit.gap_max.high.mm() - fit.gap_max.low.mm())
    };
    let left = 100.0 * band(&after) / band(&before);
    assert_abs_diff_eq!(left, shrinkage.narrows_to.percent(), epsilon = 4.0);
}

/// Width of a board that shrinks `factor` times the table's, and whether a belief's band holds it.
fn holds(spread: &ShrinkageSpread, factor: f64, draws: &[[f64; 2]]) -> bool {
    let mut widths: Vec<f64> = draws
        .iter()
        .map(|normals| width_mm(spread.middle[0] * spread.at(*normals)[0], 12.0, 6.0))
        .collect();
    heartside::chance::Band::of(&mut widths)
        .unwrap()
        .holds(width_mm(factor, 12.0, 6.0))
}

// 2 000 simulated shops: a board drawn from what boards are, an off-cut of it read with the errors of callipers and scale,
// and the band of the width change that follows. Nine in ten hold the truth: 88 to 92 %.
#[test]
fn the_band_of_the_width_holds_nine_truths_in_ten_also_after_an_offcut() {
    const SHOPS: usize = 2_000;
    let (shops, within) = (Draws::plain(2_026, 6), Draws::sobol(5, 2));
    let draws: Vec<[f64; 2]> = (0..512)
        .map(|draw| {
            let mut pair = [0.0; 2];
            within.fill_normals(draw, &mut pair);
            pair
        })
        .collect();
    let size = |factor: f64, m: f64| 1.0 - TANGENTIAL * factor / 100.0 * (30.0 - m) / 30.0;
    let prior = ShrinkageSpread::of_wood(&Spreads::default(), [0.0; 2]);
    let (mut blind, mut measured, mut narrower) = (0, 0, 0.0);
    for shop in 0..SHOPS {
        let mut z = [0.0; 6];
        shops.fill_normals(shop, &mut z);
        let truth = 1.0 + 0.15 * z[0];
        blind += usize::from(holds(&prior, truth, &draws));
        // the true moistures are off what the scale given, the sizes off what the callipers given
        let template = offcut(Direction::Tangential, 150.0);
        let (from, to) = (15.0 + 0.2 * z[1], 6.0 + 0.2 * z[2]);
        let after = 150.0 * size(truth, to) / size(truth, from);
        let read = Offcut {
            before: Length::from_mm_unchecked(150.0 + 0.06 * z[3]),
            after: Length::from_mm_unchecked(after + 0.06 * z[4]),
            ..template
        };
        let believed = prior.after(&read, section(), &oak());
        measured += usize::from(holds(&believed, truth, &draws));
        narrower += believed.deviations()[0] / prior.deviations()[0] / SHOPS as f64;
    }
    let percent = |count: usize| 100.0 * count as f64 / SHOPS as f64;
    for share in [percent(blind), percent(measured)] {
        assert!((88.0..=92.0).contains(&share), "{share} % hold the truth");
    }
    assert!(narrower < 0.35, "{narrower}");
}

// A whole job against the Python package `uncertainties` (tests/fixtures/framed_panel.py, which names its version): a panel and
// its frame in steady air, each spread by itself and all together. The 90 % band is 1.645 deviations either way where all is
// nearly straight; the band of the settled panel's width and of its maximum gap.
#[test]
fn a_job_meets_first_order_propagation() {
    let parts = part("panel", FLAT)
        + "[[parts]]\nname = \"stile\"\nspecies = \"oak, white\"\nthickness = \"22 mm\"\nwidth = \"60 mm\"\nlength = \"900 mm\"\nmoisture = \"7.7%\"\nrings = { sawn = \"quarter\" }\n";
    let joint = "[[joints.frame_and_panel]]\npiece = \"panel\"\ninto = \"stile\"\nopening = \"285 mm\"\ndepth = \"12 mm\"\ngroove_width = \"8 mm\"\n";
    let table = include_str!("../fixtures/framed_panel.csv");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(table.as_bytes());
    let mut cases = 0;
    for row in reader.records() {
        let row = row.unwrap();
        let given = format!(
            "shrinkage_cov = \"{}%\"\nradial_with_tangential = {}\nmeter_bias_within = \"{}%\"\nmeter_scatter_within = \"{}%\"\nhumidity_within = \"{}%\"\nequilibrium_within = \"{}%\"\n",
            &row[0], &row[1], &row[2], &row[3], &row[4], &row[5]
        );
        let number = |place: usize| row[place].parse::<f64>().unwrap();
        let found = found(&job_of(&(parts.clone() + joint), &only(&given)));
        let (panel, fit) = (&found.parts[0], &found.fits[0]);
        for (low, middle, high, place) in [
            (
                panel.width_driest.low.mm(),
                panel.width_driest.middle.mm(),
                panel.width_driest.high.mm(),
                6,
            ),
            (
                fit.gap_max.low.mm(),
                fit.gap_max.middle.mm(),
                fit.gap_max.high.mm(),
                8,
            ),
        ] {
            let (mean, reach) = (number(place), NINE_IN_TEN * number(place + 1));
            assert_abs_diff_eq!(middle, mean, epsilon = 0.01);
            assert_relative_eq!((high - low) / 2.0, reach, max_relative = 0.02);
            assert_abs_diff_eq!((high + low) / 2.0, mean, epsilon = 0.01 + 0.02 * reach);
        }
        cases += 1;
    }
    assert_eq!(cases, 4);
}
