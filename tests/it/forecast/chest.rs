//! A second job: another piece, metric, no wood of the demo.

use super::{forecast_of, job_of};
use heartside::chance::Verdict;
use heartside::forecast::Forecast;
use heartside::units::RelativeHumidity;
use std::sync::OnceLock;

const CHEST: &str = include_str!("../data/chest.toml");

fn chest() -> &'static Forecast {
    static CHEST_FORECAST: OnceLock<Forecast> = OnceLock::new();
    CHEST_FORECAST.get_or_init(|| forecast_of(CHEST))
}

#[test]
fn it_shares_no_wood_with_the_demo() {
    let demo = job_of(heartside::job::demo());
    let woods = |job: &heartside::job::Job| -> Vec<String> {
        job.parts.iter().map(|part| part.species.clone()).collect()
    };
    let of_demo = woods(&demo);
    assert!(
        woods(&job_of(CHEST))
            .iter()
            .all(|wood| !of_demo.contains(wood))
    );
}

/// Heated in winter: every part is narrowest in late winter or spring and widest when it comes from the damp barn or
/// in late summer.
#[test]
fn it_is_narrowest_after_the_heating_and_widest_damp() {
    let forecast = chest();
    assert_eq!(forecast.parts.len(), 12);
    for part in &forecast.parts {
        assert!(
            (1..=5).contains(&part.driest_on.month()),
            "{} {}",
            part.name,
            part.driest_on
        );
        assert!(
            (7..=11).contains(&part.wettest_on.month()),
            "{} {}",
            part.name,
            part.wettest_on
        );
        assert!(part.width_driest.middle.mm() < part.width_wettest.middle.mm());
        assert!(
            part.width_driest.low.mm() <= part.width_driest.middle.mm()
                && part.width_driest.middle.mm() <= part.width_driest.high.mm()
        );
        assert!(
            part.moisture_driest.middle.percent() > 4.0
                && part.moisture_driest.middle.percent() < 10.0
        );
    }
    // The lid, flat-sawn beech of 510 mm, moves by some millimetres and is hollow on its bark side when dry.
    let lid = &forecast.parts[0];
    let swing = lid.width_wettest.middle.mm() - lid.width_driest.middle.mm();
    assert!((3.0..12.0).contains(&swing), "{swing}");
    assert!(lid.cup_driest_mm.unwrap().mm() > 0.3);
}

#[test]
fn its_fits_read_sensibly() {
    let forecast = chest();
    let fit = |name: &str| {
        forecast
            .fits
            .iter()
            .find(|fit| fit.joint.starts_with(name))
            .unwrap()
    };
    // a groove deep enough for a panel that comes at 10.5 % and dries
    let panel = fit("front panel in its frame");
    assert_eq!((panel.cut, panel.dimension), ("groove", "deep"));
    assert!(
        (11.0..18.0).contains(&panel.size.mm()),
        "{}",
        panel.size.mm()
    );
    assert!(
        panel.gap_min.middle.mm() > 0.9 && panel.gap_min.middle.mm() < panel.gap_max.middle.mm()
    );
    assert!(panel.held_min_mm.unwrap().mm() > 5.0);
    let [low, high] = panel
        .survives_humidity_percent
        .unwrap()
        .map(RelativeHumidity::percent);
    assert!(low < 34.0 && high > 55.0, "{low} {high}");
    // every cut that is a size is a size one can cut
    for fit in &forecast.fits {
        assert!(
            fit.size.mm().is_finite() && fit.size.mm() > 0.0,
            "{}",
            fit.joint
        );
        assert!(!fit.reason.is_empty());
        if fit.verdict == Verdict::Holds {
            assert!(fit.holds_chance.percent() >= 90.0);
        }
    }
    // the pins at 180 mm from the middle get the same slots on either side
    let slot = |name: &str| fit(name).size.mm();
    assert!(
        (slot("end on the lid, pin 1, away") - slot("end on the lid, pin 3, away")).abs() < 1e-9
    );
    // stock dries from the barn on: more room is wanted toward the side the wood shrinks to
    assert!(slot("end on the lid, pin 1, away") > slot("end on the lid, pin 1, toward"));
}

/// A batten glued across 440 mm of a lid that comes at 12.5 %: not to be left so, with the reason, the slot and wood that would do.
#[test]
fn the_glued_batten_does_not_hold() {
    let bond = chest()
        .bonds
        .iter()
        .find(|bond| bond.joint.starts_with("batten"))
        .unwrap();
    assert_ne!(bond.verdict, Verdict::Holds);
    assert_ne!(bond.advice, "glue");
    assert!(!bond.same_grain);
    assert!(bond.split_chance.percent() > 10.0);
    assert!(bond.reason.contains("splits"));
    assert!(bond.strain_driest.ratio() < -0.008);
    assert!(!bond.remedies.is_empty());
    assert!(bond.remedies.windows(2).all(|pair| {
        let verdict = |at: usize| Verdict::of_chance(pair[at].holds_chance);
        (verdict(0), pair[0].kind) <= (verdict(1), pair[1].kind)
    }));
    assert!(
        bond.remedies
            .iter()
            .any(|remedy| remedy.what.contains("slots"))
    );
    let chances: Vec<f64> = bond
        .by_length
        .iter()
        .map(|row| row.split_chance.percent())
        .collect();
    assert!(
        // a long line has the more free wood beside the batten, which relieves it a little
        chances.windows(2).all(|pair| pair[0] <= pair[1] + 3.0) && chances[0] < 1.0,
        "{chances:?}"
    );
}

#[test]
fn its_setup_sheet_has_a_line_for_each_cut() {
    let forecast = chest();
    let line = |cut: &str| forecast.setup.iter().find(|line| line.cut == cut).unwrap();
    let mortise = line("mortise, its width");
    assert_eq!(mortise.part, "stile");
    assert!((mortise.left_behind_mm.unwrap().mm() - 30.0).abs() < 1e-9);
    assert!(
        (mortise.width.mm() - 8.075).abs() < 0.05,
        "{}",
        mortise.width.mm()
    );
    assert!(
        mortise
            .trial
            .contains("on the day of the cut the clearance at the tenon's cheeks is 0.0")
    );
    let slot = line("slot in the tenon");
    assert!(slot.from_reference.mm() < 75.0 && slot.from_reference.mm() + slot.width.mm() > 75.0);
    let groove = forecast
        .setup
        .iter()
        .find(|line| line.joint == "front panel in its frame")
        .unwrap();
    let fit = forecast
        .fits
        .iter()
        .find(|fit| fit.joint == "front panel in its frame")
        .unwrap();
    assert!((groove.depth.mm() - fit.size.mm()).abs() < 1e-9);
    assert!((groove.left_behind_mm.unwrap().mm() - (65.0 - fit.size.mm())).abs() < 1e-9);
}

/// The client is given the range of humidity to keep, which joint goes first on either side, and what it then does.
#[test]
fn the_client_is_given_what_goes_first() {
    let client = &chest().client;
    let [low, high] = client
        .keep_humidity_percent
        .unwrap()
        .map(RelativeHumidity::percent);
    assert!((0.0..50.0).contains(&low) && (50.0..100.0).contains(&high) && low < high);
    let names: Vec<&String> = client
        .goes_first_dry
        .iter()
        .chain(&client.goes_first_wet)
        .collect();
    let first: Vec<&String> = client
        .if_not_kept
        .iter()
        .filter(|sentence| sentence.contains("the first to go"))
        .collect();
    assert_eq!(names.len(), first.len());
    for (name, sentence) in names.iter().zip(first) {
        assert!(
            sentence.contains(*name) && sentence.contains("the first to go is "),
            "{sentence}"
        );
    }
    // the range is that of the joints that bind it: no fit survives less
    for fit in chest()
        .fits
        .iter()
        .filter(|fit| fit.verdict != Verdict::Fails)
    {
        if let Some([fit_low, fit_high]) = fit.survives_humidity_percent {
            assert!(
                fit_low.percent() <= low && fit_high.percent() >= high,
                "{}",
                fit.joint
            );
        }
    }
}
