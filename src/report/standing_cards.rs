//! Answers for held panels and loaded shelves.

use super::view::Card;
use crate::carcass::SupportForce;
use crate::carcass::keys::{ShelfFinding, StraightenFinding};
use crate::chance::{Verdict, in_hundred};
use crate::chart::capital;
use crate::forecast::{BoardStudy, Forecast, FrameFinding, ShelfSpread, StraightenSpread};
use crate::panel::felt;
use crate::stock::{Caution, HollowOn};
use crate::units::notation::{force_shown, shown, the};
use crate::units::{Chance, Force, Length, UnitSystem};

/// The cards of boards, held panels and shelves.
pub(super) fn cards(forecast: &Forecast, units: UnitSystem) -> Vec<Card> {
    let name = |part: usize| {
        forecast
            .parts
            .get(part)
            .map_or("part", |part| part.name.as_str())
    };
    let standing = &forecast.standing;
    let boards = forecast.boards.iter().map(|study| board(study, units));
    let held = standing
        .straighten
        .iter()
        .enumerate()
        .map(|(index, found)| {
            let spread = standing.straighten_spread.get(index);
            straighten(found, spread, name(found.part.0), units)
        });
    let shelves = standing.shelves.iter().enumerate().map(|(index, found)| {
        let spread = standing.shelf_spread.get(index);
        shelf(found, spread, name(found.part.0), units)
    });
    let frame = forecast.frame.iter().flat_map(|found| framed(found, units));
    boards.chain(held).chain(shelves).chain(frame).collect()
}

/// The boards of a case that bow, and the joints of it that do not hold.
fn framed(found: &FrameFinding, units: UnitSystem) -> Vec<Card> {
    let size = |length: Length| shown(length.abs(), units);
    let boards = found
        .boards
        .iter()
        .filter(|board| board.crown != "none" || board.verdict != Verdict::Holds)
        .map(|board| {
            let mut then = vec![format!(
                "{} to {} from a poor to a perfect bond, {} where its joints turn freely, {} after years.",
                size(board.residual.low),
                size(board.residual.high),
                size(board.residual_hinged),
                size(board.residual_after_years)
            )];
            then.push(format!(
                "It stays within its limit in {}.",
                in_hundred(board.keeps_chance)
            ));
            if board.turn_over {
                then.push("Turned over it leaves less.".to_owned());
            }
            card(
                format!("{}: in the frame of the case", board.part),
                board.verdict,
                format!("The case leaves {} of its bow.", size(board.residual.middle)),
                then,
                "A residual bow over 1/500 of the span shows, over 1/200 it is in the way."
                    .to_owned(),
            )
        });
    let joints = found
        .joints
        .iter()
        .filter(|joint| joint.verdict != Verdict::Holds)
        .map(|joint| {
            let mut made = card(
                format!("{} in {}: in the frame of the case", joint.a, joint.b),
                joint.verdict,
                "Choose a straighter board, or a joint that holds more than end grain.".to_owned(),
                vec![format!(
                    "It holds {:.0} N and {:.1} N m.",
                    joint.force.newtons(),
                    joint.moment_nm.abs()
                )],
                format!(
                    "Holding the boards straight asks {:.0} % of what breaks it.",
                    100.0 * joint.share
                ),
            );
            made.holds_chance = Some(joint.break_chance.otherwise());
            made
        });
    boards.chain(joints).collect()
}

fn card(
    joint: String,
    verdict: Verdict,
    action: String,
    then: Vec<String>,
    reason: String,
) -> Card {
    Card {
        joint,
        verdict,
        holds_chance: None,
        size: None,
        action: Some(action),
        then,
        reason,
        remedies: Vec::new(),
    }
}

fn board(study: &BoardStudy, units: UnitSystem) -> Card {
    let found = &study.forecast;
    // A kerf that closes on the blade is no cut to begin without a thought.
    let pinches = |caution: &Caution| matches!(caution, Caution::PinchesBlade { .. });
    let mut verdict = if found.cautions.iter().any(pinches) {
        Verdict::Marginal
    } else {
        Verdict::Holds
    };
    let mut then: Vec<String> = found
        .leaves
        .iter()
        .map(|leaf| {
            let bow = &leaf.bow.rested;
            format!(
                "Leaf {} bows {} once rested, {} to {} (90 in 100), {}.",
                leaf.number,
                shown(bow.middle.abs(), units),
                shown(bow.low, units),
                shown(bow.high, units),
                match leaf.bow.hollow_on {
                    HollowOn::Neither => "as good as straight".to_owned(),
                    face => format!("hollow on the {}", face.words()),
                }
            )
        })
        .collect();
    for milled in found.milling.iter().flatten() {
        verdict = verdict.and(milled.verdict);
    }
    for (leaf, list) in found.milling.iter().enumerate() {
        for milled in list.iter().filter(|milled| milled.fits_outline) {
            let Some(part) = study.order.parts.get(milled.part) else {
                continue;
            };
            then.push(format!(
                "Leaf {} for {}: {} left when cross-cut first, {} when flattened whole; chance that it is thick enough: {}.",
                leaf + 1,
                the(&part.name),
                shown(milled.cut_first.left.middle, units),
                shown(milled.flatten_first.left.middle, units),
                in_hundred(Chance::of_fraction(
                    milled.chance_cut_first.max(milled.chance_flatten_first)
                ))
            ));
        }
    }
    let days: Option<Vec<usize>> = found.rests.iter().map(|rest| rest.day_90).collect();
    if let Some(days) = days.and_then(|days| days.into_iter().max()) {
        then.push(format!(
            "Let the leaves rest {days} days: 90 % of what is to come is then done."
        ));
    }
    card(
        format!("{}: resaw into {} leaves", study.name, found.leaves.len()),
        verdict,
        format!("Resaw {} into {} leaves.", study.name, found.leaves.len()),
        then,
        found
            .cautions
            .iter()
            .map(Caution::words)
            .collect::<Vec<_>>()
            .join(" "),
    )
}

fn straighten(
    found: &StraightenFinding,
    spread: Option<&StraightenSpread>,
    name: &str,
    units: UnitSystem,
) -> Card {
    let size = |force: Force| Force::computed_newtons(force.newtons().abs());
    let word = |index: usize, support: &SupportForce| {
        let length = found.held.panel.length();
        let name = support.name.clone();
        name.unwrap_or_else(|| super::standing_plates::place_name(index, support.at, length))
    };
    let supports = &found.held.supports;
    let mut verdict = Verdict::Holds;
    let mut then: Vec<String> = supports
        .iter()
        .enumerate()
        .map(|(index, support)| {
            if support.lost_by.is_some() {
                return format!("It lifts off {}.", the(&word(index, support)));
            }
            let way = if support.against_crown.newtons() >= 0.0 {
                "on the crown"
            } else {
                "on the hollow face"
            };
            let band = spread
                .and_then(|spread| spread.supports.get(index))
                .map_or_else(String::new, |spread| {
                    super::standing_spread::force_band(spread.force, units)
                });
            format!(
                "{} presses {way} with {}{band}: {}.",
                capital(&word(index, support)),
                force_shown(size(support.against_crown), units),
                felt(size(support.against_crown))
            )
        })
        .collect();
    for load in supports.iter().filter_map(|support| support.joint) {
        verdict = verdict.and(load.verdict);
    }
    then.push(format!(
        "The residual bow left over is {}.",
        shown(found.held.leftover, units)
    ));
    if let Some(spread) = spread {
        verdict = verdict.and(spread.verdict);
        then.extend(super::standing_spread::measure_words(&spread.matters_most));
    }
    let share = found.held.stress.mpa() / found.strength.mpa().max(1e-9);
    let surely = spread.map_or_else(String::new, |spread| {
        format!(
            " {}.",
            capital(&super::standing_spread::verdict_words(spread))
        )
    });
    card(
        format!("{name}: pulled straight"),
        verdict,
        format!(
            "Hold its bow of {} straight at {} places.",
            shown(found.held.panel.bow().abs(), units),
            supports.len()
        ),
        then,
        format!(
            "Bending takes {:.0} % of the wood\u{2019}s strength.{surely}",
            100.0 * share
        ),
    )
}

fn shelf(
    found: &ShelfFinding,
    spread: Option<&ShelfSpread>,
    name: &str,
    units: UnitSystem,
) -> Card {
    let loaded = &found.loaded;
    let mut then = vec![format!(
        "It sags {} at first and {} after years, under a load that {}; {} is allowed.",
        shown(loaded.sag.abs(), units),
        shown(loaded.sag_long_term.abs(), units),
        found.shelf.lasts.words(),
        shown(found.allowed, units)
    )];
    let verdict = match spread {
        Some(spread) => spread.verdict,
        None if found.keeps => Verdict::Holds,
        None => Verdict::Fails,
    };
    let mut reason = String::new();
    if let Some(spread) = spread {
        let band = spread.sag_long_term;
        let size = |sag: Length| shown(sag.abs(), units);
        then.push(format!(
            "As boards of one wood differ in stiffness: {} to {} after years (90 in 100).",
            size(band.low),
            size(band.high)
        ));
        then.extend(super::standing_spread::measure_words(&spread.matters_most));
        reason = format!(
            "Chance that the sag stays within what is allowed in the long run: {}; that it breaks under a load of years: {}.",
            in_hundred(spread.keeps),
            in_hundred(spread.breaks)
        );
    }
    let holds_at = match spread {
        Some(spread) => spread.thickness_that_holds,
        None => found.min_thickness,
    };
    let action = match (verdict == Verdict::Holds, holds_at) {
        (true, _) => format!(
            "Keep {} {} thick.",
            the(name),
            shown(found.shelf.board.thickness(), units)
        ),
        (false, Some(thickness)) => format!(
            "Make {} {} thick.",
            the(name),
            shown(up(thickness, units), units)
        ),
        (false, None) => "It sags too far: shorten its span or give it a lipping.".to_owned(),
    };
    if let Some(lost) = loaded
        .reactions
        .iter()
        .find(|reaction| reaction.lost_by.is_some())
    {
        let word = lost
            .name
            .as_deref()
            .map_or_else(|| "a support".to_owned(), the);
        then.push(format!("It lifts off {word}."));
    }
    card(format!("{name}: under load"), verdict, action, then, reason)
}

/// A minimum thickness rounded up to what a shop can set: 1/64 inch or 0.1 mm.
fn up(thickness: Length, units: UnitSystem) -> Length {
    let step = match units {
        UnitSystem::Inch => 25.4 / 64.0,
        UnitSystem::Metric => 0.1,
    };
    Length::from_mm_unchecked((thickness.mm() / step - 1e-6).ceil() * step)
}
