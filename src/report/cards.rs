//! The cards of a report: one answer each, what to cut or do first, the reason and the remedies after it.

use super::text::{dates_in_words, day_words, size_words, year_words};
use super::view::{BigSize, Card, RemedyView};
use crate::chance::Verdict;
use crate::chart::capital;
use crate::forecast::{BondFinding, FitFinding, Forecast, PanelStudy, Remedy};
use crate::panel::FaceUp;
use crate::units::UnitSystem;
use crate::units::notation::shown;
use jiff::civil::Date;

/// All cards of a forecast, in the order of the job's joints and panels; those that say the same are one.
pub(super) fn cards(forecast: &Forecast, units: UnitSystem) -> Vec<Card> {
    let measured_on = forecast.job.measured_on;
    let cards = forecast
        .fits
        .iter()
        .map(|fit| fit_card(fit, measured_on, units))
        .chain(forecast.bonds.iter().map(|bond| bond_card(bond, units)))
        .chain(
            forecast
                .panels
                .iter()
                .filter_map(|study| panel_card(study, units)),
        )
        .chain(super::standing_cards::cards(forecast, units))
        .collect();
    alike_as_one(cards)
}

/// Cards that say the same of joints whose names differ in one place become one card of them all.
fn alike_as_one(cards: Vec<Card>) -> Vec<Card> {
    let mut groups: Vec<(Card, Vec<String>)> = Vec::new();
    for card in cards {
        let name = card.joint.clone();
        let alike = groups.iter_mut().find(|(first, names)| {
            let same = Card {
                joint: first.joint.clone(),
                ..card.clone()
            };
            *first == same && common_ends(&names[0], &name).is_some()
        });
        match alike {
            Some((_, names)) => names.push(name),
            None => groups.push((card, vec![name])),
        }
    }
    groups
        .into_iter()
        .map(|(card, names)| Card {
            joint: joined(&names),
            ..card
        })
        .collect()
}

/// How many words two names share at their beginning and at their end, when all but one word is shared.
fn common_ends(one: &str, other: &str) -> Option<(usize, usize)> {
    let (one, other): (Vec<&str>, Vec<&str>) =
        (one.split(' ').collect(), other.split(' ').collect());
    if one.len() != other.len() {
        return None;
    }
    let differ: Vec<usize> = (0..one.len()).filter(|at| one[*at] != other[*at]).collect();
    match differ[..] {
        [at] if at > 0 => Some((at, one.len() - at - 1)),
        _ => None,
    }
}

/// `cleat, screw 1, far side` and `cleat, screw 3, far side` as `cleat, screw 1 and 3, far side`.
fn joined(names: &[String]) -> String {
    let [first, others @ ..] = names else {
        return String::new();
    };
    let Some((before, after)) = others.first().and_then(|other| common_ends(first, other)) else {
        return first.clone();
    };
    let words: Vec<&str> = first.split(' ').collect();
    let tail: String = words[before]
        .chars()
        .filter(|letter| !letter.is_alphanumeric())
        .collect();
    let mut each: Vec<&str> = names
        .iter()
        .filter_map(|name| name.split(' ').nth(before))
        .map(|word| word.trim_end_matches(tail.as_str()))
        .collect();
    let last = each.pop().unwrap_or_default();
    let list = format!("{} and {last}{tail}", each.join(", "));
    [
        &words[..before],
        &[list.as_str()],
        &words[words.len() - after..],
    ]
    .concat()
    .join(" ")
}

fn sentence(words: &str) -> String {
    let words = dates_in_words(words.trim_end_matches('.'));
    format!("{}.", capital(&words))
}

fn fit_card(fit: &FitFinding, measured_on: Date, units: UnitSystem) -> Card {
    let day = day_words(fit.cut_on);
    let when = if fit.cut_on == measured_on {
        format!("today, {day}")
    } else {
        format!("on {day}")
    };
    let mut then = vec![sentence(&year_words(fit, units))];
    then.extend(
        fit.bound_by
            .as_deref()
            .map(|time| sentence(&format!("limiting season: {time}"))),
    );
    then.extend(fit.first_winter.as_deref().map(sentence));
    if let Some([low, high]) = fit.survives_humidity_percent {
        then.push(format!(
            "It holds in steady air of {:.0} to {:.0} % relative humidity.",
            low.percent(),
            high.percent()
        ));
    }
    Card {
        joint: fit.joint.clone(),
        verdict: fit.verdict,
        holds_chance: Some(fit.holds_chance),
        size: Some(BigSize {
            before: size_words(fit),
            size: fit.size,
            after: format!("{} {when}", fit.dimension),
        }),
        action: None,
        then,
        reason: why(fit.verdict, &fit.reason),
        remedies: remedies(&fit.remedies),
    }
}

/// Less is shown as no inches at all, mm.
const SHOWN_MM: f64 = 0.0127;

/// How far the part would move over a joint that nothing held; a way that it does not go is left out.
fn free_to_move(bond: &BondFinding, units: UnitSystem) -> String {
    let ways = [
        (bond.shrinks, "narrower", bond.driest_on),
        (bond.swells, "wider", bond.wettest_on),
    ];
    let gone: Vec<String> = ways
        .into_iter()
        .filter(|(far, ..)| far.mm() >= SHOWN_MM)
        .map(|(far, way, on)| format!("{} {way} by {}", shown(far, units), day_words(on)))
        .collect();
    if gone.is_empty() {
        return "Free to move, the part keeps its width over the joint.".to_owned();
    }
    let gone = gone.join(" and ");
    format!("Free to move over the joint, the part gets {gone}.")
}

fn bond_card(bond: &BondFinding, units: UnitSystem) -> Card {
    Card {
        joint: format!("{}: glue or float", bond.joint),
        verdict: bond.verdict,
        holds_chance: (bond.design != "floating").then_some(bond.split_chance.otherwise()),
        size: None,
        action: Some(bond.to_do.clone()),
        then: vec![free_to_move(bond, units)],
        reason: sentence(&bond.reason),
        remedies: remedies(&bond.remedies),
    }
}

/// The answer for a panel of leaves: how to lay them, and whether the match adds their bows.
fn panel_card(study: &PanelStudy, units: UnitSystem) -> Option<Card> {
    let best = study.best.layouts.first()?;
    let leaves = study.panel.leaves();
    let laid: Vec<String> = best
        .layout
        .leaves()
        .map(|placed| {
            let name = &leaves[placed.leaf].name;
            match placed.face_up {
                FaceUp::Sawn => name.clone(),
                FaceUp::Back => format!("{name} turned over"),
            }
        })
        .collect();
    let mut then: Vec<String> = study
        .flag
        .iter()
        .map(|flag| sentence(&flag.words(units)))
        .collect();
    then.push(sentence(&study.best.why_first(units)));
    Some(Card {
        joint: format!("{}: {}", study.name, study.panel.leaf_match().word()),
        verdict: if best.adds_bows {
            Verdict::Marginal
        } else {
            Verdict::Holds
        },
        holds_chance: None,
        size: None,
        action: Some(format!(
            "Lay the leaves left to right: {}.",
            laid.join(", ")
        )),
        then,
        reason: if best.adds_bows {
            "Laid this way the bows add. A match that cancels them needs less force.".to_owned()
        } else {
            String::new()
        },
        remedies: Vec::new(),
    })
}

fn why(verdict: Verdict, reason: &str) -> String {
    match verdict {
        Verdict::Holds => String::new(),
        Verdict::Marginal | Verdict::Fails => sentence(reason),
    }
}

fn remedies(remedies: &[Remedy]) -> Vec<RemedyView> {
    remedies
        .iter()
        .map(|remedy| RemedyView {
            what: capital(&remedy.what),
            holds_chance: remedy.holds_chance,
            change: remedy.change.clone(),
        })
        .collect()
}
