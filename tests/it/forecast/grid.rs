//! The error of the moisture years that the draws are read from: what a forecast prints of it, against full solves by the
//! moisture room with twice the cells.

use super::{airs_of, forecast_of, job_of, prepared_of, small};
use heartside::forecast::{DrawConditions, Inputs, PartTrack};
use heartside::moisture::{MoistureTrack, Slab, Stay, Variation, day_of_year, follow};
use heartside::units::MoistureContent;

/// The two figures of the sentence on the grid: root mean square and worst day, percent moisture.
fn printed(lines: &[String]) -> (usize, f64, f64) {
    let line = lines
        .iter()
        .find(|line| line.starts_with("Moisture years of the draws"))
        .unwrap();
    let number = |before: &str, after: &str| -> f64 {
        let rest = line.split(before).nth(1).unwrap();
        rest.split(after).next().unwrap().trim().parse().unwrap()
    };
    (
        number("against", "full solves") as usize,
        number("mean is within", "% moisture"),
        number("mean square and", "% on the worst"),
    )
}

#[test]
fn the_error_of_the_grid_is_printed_as_it_is() {
    let text = small(&[("draws = 256", "draws = 8192")]);
    let (solves, rms, worst) = printed(&forecast_of(&text).assumptions);
    assert_eq!(solves, 50);
    assert!(rms > 0.0 && rms < 0.04, "{rms}");
    assert!(worst > rms && worst < 0.4, "{worst}");

    let job = job_of(&text);
    let (airs, prepared) = (airs_of(&job), prepared_of(&job));
    let inputs = Inputs::of(&job, &prepared, &airs);
    let timeline = prepared.timeline;
    let (mut squares, mut count, mut most) = (0.0, 0, 0.0_f64);
    for (number, draw) in inputs.first_draws(job.seed, 24).iter().enumerate() {
        let index = number % prepared.parts.len();
        let part = &prepared.parts[index];
        let (drawn, place) = (&draw.parts[index], &draw.places[part.home.0]);
        let life = DrawConditions {
            variation: Variation {
                diffusivity_log: drawn.diffusivity_log,
                surface_log: place.surface_log,
                equilibrium_factor: place.equilibrium,
                earlier_equilibrium_factor: place.equilibrium,
                start_offset_percent: drawn.moisture_offset_percent,
            },
            later_equilibrium: place.later_equilibrium,
            measured_percent: part.measured_percent,
        };
        let days: Vec<usize> = (part.measured..timeline.settled()).collect();
        let (mut room, mut read) = (MoistureTrack::default(), PartTrack::default());
        prepared.stocks[part.stock].track(&days, &timeline, &life, &mut room, &mut read);
        let slab = Slab {
            diffusivity_factor: part.slab.diffusivity_factor * drawn.diffusivity_log.exp(),
            surface_factor: place.surface_log.exp(),
            equilibrium_factor: place.equilibrium,
            begun_percent: Some(part.measured_percent),
            ..part.slab
        };
        let at = |day: usize| day_of_year(timeline.date(day));
        let stay = |air, from: usize, days: usize, bare: bool| Stay {
            air,
            from_day_of_year: at(from),
            days,
            bare,
        };
        let delivered = timeline.delivered();
        let full = follow(
            &slab,
            MoistureContent::computed_percent(
                part.measured_percent + drawn.moisture_offset_percent,
            ),
            &[
                stay(
                    airs.year(part.shop),
                    part.measured,
                    part.finished - part.measured,
                    true,
                ),
                stay(
                    airs.year(part.shop),
                    part.finished,
                    delivered - part.finished,
                    false,
                ),
                stay(
                    airs.year(part.home),
                    delivered,
                    timeline.settled() - delivered,
                    false,
                ),
            ],
        );
        assert_eq!(full.mean_percent.len(), read.mean_percent.len());
        for (read, full) in read.mean_percent.iter().zip(&full.mean_percent) {
            squares += (read - full).powi(2);
            most = most.max((read - full).abs());
            count += 1;
        }
    }
    let own = (squares / count as f64).sqrt();
    assert!(own < 0.04 && (own - rms).abs() < 0.02, "{own} {rms}");
    assert!(most < 0.4, "{most}");
}

// Few draws are checked by few solves, and the same draws say the same.
#[test]
fn fewer_draws_ask_for_fewer_solves() {
    let found = printed(&forecast_of(&small(&[])).assumptions);
    assert_eq!(found.0, 1);
    assert_eq!(found, printed(&forecast_of(&small(&[])).assumptions));
}
