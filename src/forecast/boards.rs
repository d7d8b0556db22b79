//! Boards to resaw: each pack forecast as one, so that what is measured on one board narrows its sisters.

use super::airs::Airs;
use crate::job::{Job, PlaceId};
use crate::numerics::Deadline;
use crate::species::SpeciesTable;
use crate::stock::{BoardForecast, BoardOrder, BoardPlan, Wood, forecast_pack};
use crate::units::spanned::Problems;
use jiff::civil::Date;

/// What was found of one board.
#[derive(Debug, Clone)]
pub struct BoardStudy {
    /// Its name.
    pub name: String,
    /// Its wood.
    pub species: String,
    /// The pack it comes from.
    pub pack: Option<String>,
    /// What was asked.
    pub order: BoardOrder,
    /// What becomes of it.
    pub forecast: BoardForecast,
    /// Rules that stood in for missing values.
    pub notes: Vec<String>,
}

/// Studies every board of a job by their plans, which are those of its file or those after its log, and notes unknown woods and
/// places and plans that no board gives. Leaves rest in the air that their place has in the month of `today`. After the deadline
/// no board is studied; the caller asks for it.
pub(super) fn studies(
    job: &Job,
    plans: &[BoardPlan],
    species: &SpeciesTable,
    airs: &Airs,
    today: Date,
    deadline: Deadline<'_>,
    problems: &mut Problems,
) -> Vec<BoardStudy> {
    let mut orders: Vec<Option<(BoardOrder, String, Vec<String>)>> =
        Vec::with_capacity(plans.len());
    for plan in plans {
        if let Some(photo) = &plan.rings_photo {
            photo.note_unread(problems);
        }
        let wood = match species.look_up(&plan.species) {
            Ok(wood) => Some(wood),
            Err(error) => {
                problems.push(plan.species_span.clone(), error.message(), error.remedy());
                None
            }
        };
        let place = match &plan.rests_in {
            None => Some(job.shop),
            Some(name) => {
                let found = job.places.iter().position(|place| place.name == *name);
                if found.is_none() {
                    let known: Vec<String> = job
                        .places
                        .iter()
                        .map(|place| format!("`{}`", place.name))
                        .collect();
                    problems.push(
                        plan.rests_in_span.clone(),
                        format!("no place is named `{name}`"),
                        format!("the places are {}", known.join(", ")),
                    );
                }
                found.map(PlaceId)
            }
        };
        orders.push(wood.zip(place).map(|(named, place)| {
            let wood = named.species;
            let month = usize::from(today.month().unsigned_abs()) - 1;
            let air = airs.year(place).monthly_means()[month];
            let values = Wood {
                shrinkage: crate::movement::Shrinkage::of(wood),
                basic_gravity: wood.basic_gravity().value,
            };
            let mut notes = named.cautions;
            let rules = crate::movement::Shrinkage::rules_used(wood, true);
            notes.extend(rules.into_iter().map(str::to_owned));
            notes.extend(wood.basic_gravity().rule.map(str::to_owned));
            let order = BoardOrder {
                locked_in_spread: job.chance.spreads.locked_in,
                ..plan.order(values, Some(air))
            };
            (order, wood.name.clone(), notes)
        }));
    }
    let mut found: Vec<Option<BoardStudy>> = vec![None; orders.len()];
    for (index, plan) in plans.iter().enumerate() {
        if deadline.is_over() {
            break;
        }
        let pack: Vec<usize> = match &plan.pack {
            None => vec![index],
            Some(name) => (0..orders.len())
                .filter(|other| plans[*other].pack.as_ref() == Some(name))
                .collect(),
        };
        // A pack is forecast once, with its first board, and only whole.
        if pack.first() != Some(&index) || pack.iter().any(|member| orders[*member].is_none()) {
            continue;
        }
        let together: Vec<BoardOrder> = pack
            .iter()
            .filter_map(|member| orders[*member].as_ref().map(|(order, ..)| order.clone()))
            .collect();
        match forecast_pack(&together) {
            Ok(forecasts) => {
                for (member, forecast) in pack.iter().zip(forecasts) {
                    let plan = &plans[*member];
                    found[*member] =
                        orders[*member]
                            .clone()
                            .map(|(order, species, notes)| BoardStudy {
                                name: plan.name.clone(),
                                species,
                                pack: plan.pack.clone(),
                                order,
                                forecast,
                                notes,
                            });
                }
            }
            Err(error) => {
                problems.refuse(
                    plan.span.clone(),
                    &error.at(format!("board `{}`", plan.name)),
                );
            }
        }
    }
    found.into_iter().flatten().collect()
}
