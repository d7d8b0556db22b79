//! What no draw holds is said with its size in this job.

use super::forecast_of;
use heartside::joint::bond::SET_STRAIN;
use heartside::moisture::settled_year;
use heartside::panel::coupled_leaves;
use heartside::units::notation::shown;
use heartside::units::{Length, UnitSystem};

const SHOP_AND_HOME: &str = "format = 2
[job]
name = \"One front\"
units = \"mm\"
draws = 512
[places.shop]
air = { temperature = \"20C\", humidity = \"40%\" }
[places.home]
seasons = { winter = \"40%\", summer = \"75%\", temperature = \"20C\" }
[schedule]
measured = 2026-09-14
delivered = 2026-10-26
[[parts]]
name = \"front\"
species = \"oak, white\"
thickness = \"20 mm\"
width = \"300 mm\"
length = \"400 mm\"
moisture = \"7%\"
rings = { sawn = \"flat\" }
FINISH
[[parts]]
name = \"side\"
species = \"oak, white\"
thickness = \"20 mm\"
width = \"100 mm\"
length = \"400 mm\"
moisture = \"7%\"
rings = { sawn = \"quarter\" }
[[joints.inset]]
piece = \"front\"
into = \"side\"
opening = \"OPENING\"
size = \"300 mm\"
";

fn job(opening: &str, finish: &str) -> String {
    SHOP_AND_HOME
        .replace("OPENING", opening)
        .replace("FINISH\n", finish)
}

/// A front that binds: of what it is pressed beyond 0.5 % the rest may stay as a set (0.5 to 1 %, the lower end; Getty Conservation
/// Institute 1998). A front with room for all of it presses nothing, and nothing is said.
#[test]
fn a_front_that_binds_says_how_much_may_stay_as_a_set() {
    let tight = forecast_of(&job("300.2 mm", ""));
    let fit = &tight.fits[0];
    let line = &tight.not_modeled[0];
    assert!(
        line.contains("compression set") && line.contains(&fit.joint),
        "{line}"
    );
    let by = -fit.gap_min.low.mm();
    assert!(
        by > 300.0 * SET_STRAIN,
        "{by}: it must be pressed beyond what springs back"
    );
    // The gap is that of one side: the front is pressed by both.
    let sides = 2.0;
    let pressed = sides * by;
    let stays = pressed - SET_STRAIN * 300.0;
    let mm = |mm| shown(Length::from_mm_unchecked(mm), UnitSystem::Metric);
    assert!(line.contains(&mm(pressed)), "{line}: {}", mm(pressed));
    assert!(line.contains(&mm(stays)), "{line}: {}", mm(stays));
    let wide = forecast_of(&job("320 mm", ""));
    assert!(
        !wide
            .not_modeled
            .iter()
            .any(|line| line.contains("compression set"))
    );
    assert!(heartside::report::full_text(&tight).contains("NOT MODELED, AND HOW MUCH IT MAY BE"));
}

/// A finish worn to bare wood: the swing of the settled year with and without it.
#[test]
fn an_aged_finish_says_what_bare_wood_would_do() {
    let finished = job(
        "304 mm",
        "finish = { kind = \"urethane varnish\", coats = 3 }\n",
    );
    let found = forecast_of(&finished);
    let line = found
        .not_modeled
        .iter()
        .find(|line| line.contains("aging of finishes"))
        .unwrap();
    let read = super::job_of(&finished);
    let prepared = super::prepared_of(&read);
    let airs = super::airs_of(&read);
    let part = &prepared.parts[0];
    let swing = |slab| {
        let year = settled_year(slab, airs.year(part.home));
        let ends = (year.mean_percent.iter().copied())
            .fold((f64::MAX, f64::MIN), |(low, high), m| {
                (low.min(m), high.max(m))
            });
        ends.1 - ends.0
    };
    let (new, bare) = (swing(&part.slab), swing(&part.slab.unfinished()));
    assert!(bare > 1.1 * new, "{bare} {new}");
    let more = (bare - new) * part.width_coefficient * 300.0;
    let words = shown(Length::from_mm_unchecked(more), UnitSystem::Metric);
    assert!(line.contains(&words), "{line}: {words}");
    // bare wood has no finish to age
    let bare = forecast_of(&job("304 mm", ""));
    assert!(!bare.not_modeled.iter().any(|line| line.contains("aging")));
}

/// What the coupled strips miss is a share of a leaf's bow: the closed form of a beam where all leaves bow alike is met exactly, so that
/// the share is that of unlike leaves only (2.1 % of 400 random panels against plate elements, derived).
#[test]
fn coupled_strips_of_like_leaves_are_the_beam() {
    use heartside::panel::{LeafWood, PlateLeaf};
    let leaf = PlateLeaf {
        width_mm: 150.0,
        thickness_mm: 20.0,
        wood: LeafWood::default(),
        along_per_mm: 8.0 * 3.0 / 1000.0_f64.powi(2),
        across_per_mm: 0.0,
        twist_per_mm: 0.0,
    };
    let glued = coupled_leaves(&[leaf; 3], 1000.0).unwrap();
    for bow in glued.bow_mm {
        assert!((bow - 3.0).abs() < 0.021 * 3.0, "{bow}");
    }
}
