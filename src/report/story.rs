//! A forecast told as a report: what to cut and change first, what it rests on last.

use super::plates::{Plates, plates};
use super::text::{bond_sentence, dates_in_words, day_words, system, year_words};
use super::view::{
    BigSize, Card, ClientView, PlateGroup, RemedyView, ReportView, SetupRow, StepLine, StepsView,
    TableView,
};
use crate::chance::Verdict;
use crate::chart::{Figure, NumberTable};
use crate::forecast::{
    BondFinding, FitFinding, Forecast, PanelStudy, PartFinding, PlaceFinding, Remedy, SetupLine,
};
use crate::panel::FaceUp;
use crate::units::notation::{percent_shown, shown, temperature_shown};
use crate::units::{Length, Temperature, UnitSystem};
use jiff::civil::Date;

/// The view of a forecast for [`super::html_page`].
#[must_use]
pub fn report_view(forecast: &Forecast) -> ReportView {
    let Plates { groups, walk } = plates(forecast);
    view_with(forecast, groups, walk)
}

/// The same without any figure: what a page shows that draws only the figures looked at.
#[must_use]
pub fn view_without_figures(forecast: &Forecast) -> ReportView {
    view_with(forecast, Vec::new(), Vec::new())
}

fn view_with(forecast: &Forecast, groups: Vec<PlateGroup>, walk: Vec<Figure>) -> ReportView {
    let show = system(forecast);
    let job = &forecast.job;
    let mut title_block = vec![
        ("Measured".to_owned(), day_words(&job.measured_on)),
        ("Glued up".to_owned(), day_words(&job.assembled_on)),
        ("Delivered".to_owned(), day_words(&job.delivered_on)),
    ];
    title_block.extend(job.places.iter().map(|p| (capital(&p.name), p.air.clone())));
    let cards = forecast
        .fits
        .iter()
        .map(|fit| fit_card(fit, &job.measured_on, show))
        .chain(forecast.bonds.iter().map(|bond| bond_card(bond, show)))
        .chain(
            forecast
                .panels
                .iter()
                .filter_map(|study| panel_card(study, show)),
        )
        .chain(super::standing_cards::cards(forecast, show))
        .collect();
    let cards = alike_as_one(cards);
    let mut tables = vec![parts_table(&forecast.parts, show)];
    tables.extend(job.places.iter().map(|place| place_table(place, show)));
    tables.extend(
        forecast
            .bonds
            .iter()
            .filter(|bond| bond.verdict != Verdict::Holds)
            .map(|bond| bond_table(bond, show)),
    );
    let mut warnings: Vec<String> = forecast
        .warnings
        .iter()
        .map(|w| dates_in_words(w))
        .collect();
    for part in &forecast.parts {
        warnings.extend(
            part.notes
                .iter()
                .map(|note| format!("{}: {note}", part.name)),
        );
    }
    ReportView {
        piece: job.name.clone(),
        show,
        title_block,
        cautions: forecast.cautions.clone(),
        cards,
        setup: forecast.setup.iter().map(setup_row).collect(),
        steps: steps(forecast, show),
        walk,
        walk_month: job.measured_on.parse::<Date>().map_or(0, |date| {
            usize::from(date.month().unsigned_abs()).saturating_sub(1)
        }),
        groups,
        measure_next: forecast
            .measure_next
            .iter()
            .map(|share| {
                (
                    share.input.clone(),
                    share.measure.clone(),
                    share.share_percent,
                    share.narrows_to_percent,
                )
            })
            .collect(),
        tables,
        warnings,
        assumptions: forecast.assumptions.clone(),
        colophon: vec![
            ("Seed".to_owned(), job.seed.to_string()),
            ("Draws".to_owned(), job.draws.to_string()),
            ("Made by heartside".to_owned(), job.version.to_owned()),
            ("Layout".to_owned(), forecast.format.to_string()),
        ],
        client: client(forecast),
    }
}

/// The glue-up and the work on site, in the words of the terminal.
fn steps(forecast: &Forecast, show: UnitSystem) -> Vec<StepsView> {
    let parts = super::json::part_facts(forecast);
    let standing = super::StandingAnswer {
        standing: &forecast.standing,
        parts: &parts,
        system: show,
    };
    [
        ("glue-up", "Glue-up", standing.glueup_words()),
        ("on-site", "On site", standing.install_words()),
    ]
    .into_iter()
    .filter(|(_, _, words)| !words.is_empty())
    .map(|(id, heading, words)| StepsView {
        id,
        heading,
        lines: words
            .lines()
            .map(|line| StepLine {
                words: capital(&dates_in_words(line.trim())),
                below: line.starts_with(' '),
            })
            .collect(),
    })
    .collect()
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

fn fit_card(fit: &FitFinding, measured_on: &str, show: UnitSystem) -> Card {
    let day = day_words(&fit.cut_on);
    let when = if fit.cut_on == measured_on {
        format!("today, {day}")
    } else {
        format!("on {day}")
    };
    let before = if fit.cut_told {
        format!("The {} told is", fit.cut)
    } else {
        format!("Cut the {}", fit.cut)
    };
    let mut then = vec![sentence(&year_words(fit, show))];
    then.extend(
        fit.bound_by
            .as_deref()
            .map(|time| sentence(&format!("what binds it is {time}"))),
    );
    then.extend(fit.first_winter.as_deref().map(sentence));
    if let Some([low, high]) = fit.survives_humidity_percent {
        then.push(format!(
            "It stands a steady {low:.0} to {high:.0} % relative humidity."
        ));
    }
    Card {
        joint: fit.joint.clone(),
        verdict: fit.verdict,
        holds_chance_percent: Some(fit.holds_chance_percent),
        size: Some(BigSize {
            before,
            size: Length::computed_mm(fit.cut_mm),
            after: format!("{} {when}", fit.dimension),
        }),
        action: None,
        then,
        reason: why(fit.verdict, &fit.reason),
        remedies: remedies(&fit.remedies),
    }
}

fn bond_card(bond: &BondFinding, show: UnitSystem) -> Card {
    Card {
        joint: format!("{}: glue or float", bond.joint),
        verdict: bond.verdict,
        holds_chance_percent: Some(100.0 - bond.split_chance_percent),
        size: None,
        action: Some(bond_sentence(bond, show)),
        then: vec![format!(
            "The part wants to shrink {} over the joint by {} and to swell {} by {}.",
            shown(Length::computed_mm(bond.shrinks_mm), show),
            day_words(&bond.driest_on),
            shown(Length::computed_mm(bond.swells_mm), show),
            day_words(&bond.wettest_on)
        )],
        reason: sentence(&bond.reason),
        remedies: remedies(&bond.remedies),
    }
}

/// The answer for a panel of leaves: how to lay them, and whether the match adds their bows.
fn panel_card(study: &PanelStudy, show: UnitSystem) -> Option<Card> {
    let best = study.best.placings.first()?;
    let leaves = study.panel.leaves();
    let laid: Vec<String> = best
        .placing
        .leaves()
        .map(|placed| {
            let name = &leaves[placed.leaf].name;
            match placed.face_up {
                FaceUp::Marked => name.clone(),
                FaceUp::Back => format!("{name} turned over"),
            }
        })
        .collect();
    let mut then: Vec<String> = study
        .flag
        .iter()
        .map(|flag| sentence(&flag.words(show)))
        .collect();
    then.push(sentence(&study.best.why_first(show)));
    Some(Card {
        joint: format!("{}: {}", study.name, study.panel.figure().word()),
        verdict: if best.adds_bows {
            Verdict::Marginal
        } else {
            Verdict::Holds
        },
        holds_chance_percent: None,
        size: None,
        action: Some(format!(
            "Lay the leaves left to right: {}.",
            laid.join(", ")
        )),
        then,
        reason: if best.adds_bows {
            "So laid the bows add; a figure that cancels them asks less force.".to_owned()
        } else {
            String::new()
        },
        remedies: Vec::new(),
    })
}

fn why(verdict: Verdict, reason: &str) -> String {
    match verdict {
        Verdict::Holds => String::new(),
        Verdict::Marginal | Verdict::Redo => sentence(reason),
    }
}

fn remedies(remedies: &[Remedy]) -> Vec<RemedyView> {
    remedies
        .iter()
        .map(|remedy| RemedyView {
            what: capital(&remedy.what),
            holds_chance_percent: remedy.holds_chance_percent,
        })
        .collect()
}

fn setup_row(line: &SetupLine) -> SetupRow {
    SetupRow {
        joint: line.joint.clone(),
        part: line.part.clone(),
        cut: format!("{}, {}", line.cut, line.face),
        from_reference: Some(Length::computed_mm(line.from_reference_mm)),
        width: Some(Length::computed_mm(line.width_mm)),
        depth: Some(Length::computed_mm(line.depth_mm)),
        left_behind: line.left_behind_mm.map(Length::computed_mm),
        count: line.count,
        trial: capital(&line.trial),
        warning: line.warning.clone(),
    }
}

fn parts_table(parts: &[PartFinding], show: UnitSystem) -> TableView {
    let length = |mm: f64| shown(Length::computed_mm(mm), show);
    let rows = parts
        .iter()
        .map(|part| {
            vec![
                if part.count > 1 {
                    format!("{} \u{d7} {}", part.name, part.count)
                } else {
                    part.name.clone()
                },
                part.species.clone(),
                format!(
                    "{} at {}",
                    length(part.width_mm),
                    percent_shown(part.moisture_percent)
                ),
                format!(
                    "{} at {}, {}",
                    length(part.width_driest_mm),
                    percent_shown(part.moisture_driest_percent),
                    day_words(&part.driest_on)
                ),
                format!(
                    "{} at {}, {}",
                    length(part.width_wettest_mm),
                    percent_shown(part.moisture_wettest_percent),
                    day_words(&part.wettest_on)
                ),
                match part.cup_driest_mm {
                    _ if part.pith_inside => "pith inside: it will check".to_owned(),
                    Some(cup) if cup.abs() >= 0.005 => format!(
                        "{} face hollow by {}",
                        if cup > 0.0 { "bark" } else { "heart" },
                        length(cup.abs())
                    ),
                    _ => "none".to_owned(),
                },
                format!(
                    "{} to {}",
                    day_words(&part.first_year_driest_on),
                    percent_shown(part.first_year_driest_percent)
                ),
                format!(
                    "driest from {}, wettest from {}",
                    day_words(&part.driest_week_from),
                    day_words(&part.wettest_week_from)
                ),
            ]
        })
        .collect();
    TableView {
        caption: "Parts: width through the year".to_owned(),
        table: NumberTable {
            heads: heads(&[
                "Part",
                "Wood",
                "Measured",
                "Narrowest",
                "Widest",
                "Cup at the driest",
                "First winter",
                "Weeks of a later year",
            ]),
            rows,
        },
    }
}

fn place_table(place: &PlaceFinding, show: UnitSystem) -> TableView {
    let months = place
        .temperature_c
        .iter()
        .zip(&place.humidity_percent)
        .zip(&place.emc_percent);
    TableView {
        caption: format!("Air of {}: {}", place.name, place.air),
        table: NumberTable {
            heads: heads(&[
                "Month",
                "Temperature",
                "Relative humidity",
                "Wood settles at",
            ]),
            rows: months
                .enumerate()
                .map(|(month, ((celsius, humidity), emc))| {
                    vec![
                        month_name(month),
                        temperature_shown(Temperature::computed_celsius(*celsius), show),
                        percent_shown(*humidity),
                        percent_shown(*emc),
                    ]
                })
                .collect(),
        },
    }
}

fn bond_table(bond: &BondFinding, show: UnitSystem) -> TableView {
    TableView {
        caption: format!("{}: how wide may be glued", bond.joint),
        table: NumberTable {
            heads: heads(&["Glued", "The wood splits in", "End shear over its strength"]),
            rows: bond
                .by_length
                .iter()
                .map(|row| {
                    vec![
                        shown(Length::computed_mm(row.glued_mm), show),
                        format!("{:.0} of 100", row.split_chance_percent),
                        percent_shown(100.0 * row.end_shear_share),
                    ]
                })
                .collect(),
        },
    }
}

fn client(forecast: &Forecast) -> ClientView {
    let client = &forecast.client;
    ClientView {
        keep_humidity_percent: client.keep_humidity_percent,
        goes_first: client.if_not_kept.clone(),
        expect: client
            .expect
            .iter()
            .map(|line| capital(&dates_in_words(line)))
            .collect(),
    }
}

fn heads(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

fn month_name(month: usize) -> String {
    const NAMES: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    NAMES[month % 12].to_owned()
}

pub(super) fn capital(text: &str) -> String {
    let mut characters = text.chars();
    characters
        .next()
        .map(|first| first.to_uppercase().collect::<String>() + characters.as_str())
        .unwrap_or_default()
}
