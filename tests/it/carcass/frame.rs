//! Uneven supports, one-way supports, tied panels and shelves against a frame
//! finite-element package: PyNiteFEA 3.2.0, recorded by
//! `tests/fixtures/carcass/frame_reference.py`.

use super::{mm, panel};
use heartside::carcass::{
    Bearing, Divider, Grip, HeldCase, LoadedStack, Shelf, ShelfBoard, ShelfLoad, ShelfSupport,
    Support, SupportedPanel, Turning, load_together, straighten_together,
};
use heartside::units::{Force, Length, LineLoad, Stress};
use serde::Deserialize;

#[derive(Deserialize)]
struct Record {
    package: String,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    beams: Vec<BeamOf>,
    supports: Vec<(usize, f64, String)>,
    #[serde(default)]
    dividers: Vec<(f64, bool)>,
    #[serde(default)]
    turn_springs: Vec<(usize, f64, f64)>,
    answer: Answer,
}

#[derive(Deserialize)]
struct BeamOf {
    length: f64,
    width: f64,
    thickness: f64,
    modulus: f64,
    bow: f64,
    #[serde(default)]
    line_loads: Vec<(f64, f64, f64)>,
    #[serde(default)]
    point_loads: Vec<(f64, f64)>,
}

#[derive(Deserialize)]
struct Answer {
    supports: Vec<f64>,
    dividers: Vec<f64>,
    heights: Vec<Vec<(f64, f64)>>,
    moments: Vec<f64>,
}

fn record() -> Record {
    let record: Record =
        serde_json::from_str(include_str!("../../fixtures/carcass/frame_reference.json")).unwrap();
    assert_eq!(record.package, "PyNiteFEA 3.2.0");
    record
}

/// The package's own bars and one-way springs give by a ten-millionth.
fn assert_near(got: f64, want: f64, scale: f64, what: &str) {
    assert!(
        (got - want).abs() < 2e-5 * scale,
        "{what}: {got}, the package {want}"
    );
}

fn dividers(case: &Case) -> Vec<Divider> {
    case.dividers
        .iter()
        .map(|(at, push_only)| Divider {
            push_only: *push_only,
            ..Divider::between(1, 0, mm(*at))
        })
        .collect()
}

fn panels(case: &Case) -> HeldCase {
    let all: Vec<SupportedPanel> = case
        .beams
        .iter()
        .enumerate()
        .map(|(index, beam)| SupportedPanel {
            panel: panel(
                beam.length,
                beam.width,
                beam.thickness,
                beam.modulus,
                beam.bow,
            ),
            start: Length::ZERO,
            supports: case
                .supports
                .iter()
                .filter(|support| support.0 == index)
                .map(|(_, at, kind)| {
                    let up_is_hollow = beam.bow > 0.0;
                    let grip = match (kind.as_str(), up_is_hollow) {
                        ("up", true) | ("down", false) => Grip::AgainstHollow,
                        ("down", true) | ("up", false) => Grip::AgainstCrown,
                        _ => Grip::BothWays,
                    };
                    Support {
                        turn_held: kind == "fixed",
                        ..Support::at(mm(*at)).with_grip(grip)
                    }
                })
                .collect(),
        })
        .collect();
    straighten_together(&all, &dividers(case)).unwrap()
}

fn shelves(case: &Case) -> LoadedStack {
    let all: Vec<Shelf> = case
        .beams
        .iter()
        .enumerate()
        .map(|(index, beam)| {
            let mut loads: Vec<ShelfLoad> = beam
                .line_loads
                .iter()
                .map(|(from, to, load)| ShelfLoad::Partial {
                    from: mm(*from),
                    to: mm(*to),
                    load: LineLoad::from_newtons_per_mm(*load).unwrap(),
                })
                .collect();
            loads.extend(beam.point_loads.iter().map(|(at, force)| ShelfLoad::Point {
                at: mm(*at),
                force: Force::from_newtons(*force).unwrap(),
            }));
            Shelf {
                board: ShelfBoard::new(
                    mm(beam.width),
                    mm(beam.thickness),
                    Stress::from_mpa(beam.modulus).unwrap(),
                )
                .unwrap(),
                length: mm(beam.length),
                supports: case
                    .supports
                    .iter()
                    .filter(|support| support.0 == index)
                    .map(|(_, at, kind)| ShelfSupport {
                        turning: if kind == "fixed" {
                            Turning::Fixed
                        } else if case.turn_springs.iter().any(|s| s.0 == index && s.1 == *at) {
                            Turning::Housed(0.25)
                        } else {
                            Turning::Free
                        },
                        bearing: match kind.as_str() {
                            "up" => Bearing::CarriesOnly,
                            "down" => Bearing::KeepsDownOnly,
                            _ => Bearing::BothWays,
                        },
                        ..ShelfSupport::at(mm(*at))
                    })
                    .collect(),
                loads,
                lasts: heartside::carcass::LoadLasts::Permanent,
            }
        })
        .collect();
    load_together(&all, &dividers(case)).unwrap()
}

#[test]
fn panels_agree_with_a_frame_package() {
    let mut checked = 0;
    for case in record()
        .cases
        .iter()
        .filter(|case| case.beams[0].bow != 0.0)
    {
        let held = panels(case);
        let size = case
            .answer
            .supports
            .iter()
            .fold(0.0_f64, |most, f| most.max(f.abs()));
        let mut at = 0;
        for (index, one) in held.panels.iter().enumerate() {
            let bow = case.beams[index].bow;
            for support in &one.supports {
                let up = -support.against_crown.newtons() * bow.signum();
                assert_near(up, case.answer.supports[at], size, &case.name);
                at += 1;
            }
            for (x, height) in &case.answer.heights[index] {
                assert_near(one.height_at(mm(*x)).mm(), *height, bow.abs(), &case.name);
            }
            let beam = &case.beams[index];
            let stress = case.answer.moments[index] * 6.0 / (beam.width * beam.thickness.powi(2));
            assert_near(one.stress.mpa(), stress, stress, &case.name);
        }
        for (divider, push) in held.dividers.iter().zip(&case.answer.dividers) {
            assert_near(divider.push.newtons(), *push, size, &case.name);
        }
        checked += 1;
    }
    assert_eq!(checked, 5);
}

#[test]
fn shelves_agree_with_a_frame_package() {
    let mut checked = 0;
    for case in record()
        .cases
        .iter()
        .filter(|case| case.beams[0].bow == 0.0)
    {
        let stack = shelves(case);
        let size = case
            .answer
            .supports
            .iter()
            .fold(0.0_f64, |most, f| most.max(f.abs()));
        let mut at = 0;
        for (index, one) in stack.shelves.iter().enumerate() {
            for reaction in &one.reactions {
                assert_near(
                    reaction.up.newtons(),
                    case.answer.supports[at],
                    size,
                    &case.name,
                );
                at += 1;
            }
            for (x, height) in &case.answer.heights[index] {
                assert_near(
                    one.height_at(mm(*x)).mm(),
                    *height,
                    one.sag.mm().abs(),
                    &case.name,
                );
            }
            let beam = &case.beams[index];
            let stress = case.answer.moments[index] * 6.0 / (beam.width * beam.thickness.powi(2));
            assert_near(one.stress.mpa(), stress, stress, &case.name);
        }
        for (divider, push) in stack.dividers.iter().zip(&case.answer.dividers) {
            assert_near(divider.push.newtons(), *push, size, &case.name);
        }
        checked += 1;
    }
    assert_eq!(checked, 5);
}
