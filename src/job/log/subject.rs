//! What an entry of the log is of: a part, a joint, a place, a board or a leaf, by the names of the job.

use super::{Around, LogKeys, LogReading, LogSubject};
use crate::job::climate::PlaceId;
use crate::job::part::Part;
use crate::stock::{BoardPlan, WhenRead};
use crate::units::notation::Names;
use crate::units::spanned::Problems;
use jiff::civil::Date;
use std::ops::Range;

impl LogKeys {
    /// What was measured, and its name.
    pub(super) fn subject(
        &self,
        span: &Range<usize>,
        reading: Option<&LogReading>,
        around: &Around<'_>,
        problems: &mut Problems,
    ) -> Option<(LogSubject, String)> {
        let leaf = match &self.leaf {
            Some(leaf) => Some((problems.take(leaf)?.0, leaf.span())),
            None => None,
        };
        let read = problems.take_optional(self.read.as_ref())?;
        let named = [
            ("part", &self.part),
            ("board", &self.board),
            ("joint", &self.joint),
            ("place", &self.place),
        ];
        let mut given = named
            .iter()
            .filter_map(|(key, name)| Some((*key, name.as_ref()?)));
        let (first, second) = (given.next(), given.next());
        let both = match (first, second, &leaf) {
            (Some((key, _)), Some((other, name)), _) => Some((key, other, name.span())),
            (Some((key, _)), None, Some((_, span))) if key != "board" => {
                Some((key, "leaf", span.clone()))
            }
            _ => None,
        };
        if let Some((key, other, at)) = both {
            problems.push(
                at,
                format!("the entry has both `{key}` and `{other}`"),
                "keep the one that was measured",
            );
            return None;
        }
        let (key, wanted, at) = match (first, &leaf) {
            (Some((key, name)), _) => (key, problems.take(name)?.0, name.span()),
            (None, Some((name, at))) => ("leaf", name.clone(), at.clone()),
            (None, None) => {
                problems.push(
                    span.clone(),
                    "the entry does not say what was measured",
                    "add part, board, leaf, joint or place with its name",
                );
                return None;
            }
        };
        let reading = reading?;
        let quantity = reading.quantity();
        let belongs: &[&str] = match reading {
            LogReading::Gap(_) => &["joint"],
            LogReading::Air { .. } => &["place"],
            _ => &["part", "board", "leaf"],
        };
        if !belongs.contains(&key) {
            problems.push(
                at,
                format!(
                    "{} has no {quantity} of its own that could be compared",
                    with_article(key)
                ),
                format!(
                    "a {quantity} belongs to a {}: write {} = \"...\"",
                    belongs.join(", a "),
                    belongs[0]
                ),
            );
            return None;
        }
        let of_leaf = leaf.is_some() && matches!(reading, LogReading::Bow(_) | LogReading::Cup(_));
        if let (Some(_), Some(given)) = (read, &self.read)
            && !of_leaf
        {
            problems.push(
                given.span(),
                "`read` says when the bow or cup of a leaf was read, and this is none",
                "leave `read` out",
            );
            return None;
        }
        if let Some((name, leaf_span)) = leaf {
            return match key {
                "board" => board_leaf((&wanted, at), (&name, leaf_span), read, around, problems),
                _ => panel_leaf(&name, &leaf_span, reading, around, problems),
            };
        }
        let (_, name) = first?;
        match key {
            "part" => {
                let part = around.facts.named(&wanted, name.span(), problems)?;
                Some((LogSubject::Part(part.0), around.facts[part.0].name.clone()))
            }
            "board" => board(&wanted, name.span(), reading, around, problems),
            "joint" => joint(&wanted, name.span(), around, problems),
            _ => match around.places.find(&wanted) {
                Some(place) => Some((LogSubject::Place(PlaceId(place)), wanted)),
                None => {
                    problems.push(
                        name.span(),
                        format!("no place is named `{wanted}`"),
                        around.places.remedy("place", &wanted, "[places]"),
                    );
                    None
                }
            },
        }
    }
}

const fn with_article(key: &str) -> &'static str {
    match key.as_bytes() {
        b"part" => "a part",
        b"board" => "a board",
        b"joint" => "a joint",
        b"leaf" => "a leaf",
        _ => "a place",
    }
}

/// A board that is also one to resaw may be measured before the parts cut from it; it then says nothing of them.
pub(super) fn before_the_parts(date: Date, subject: LogSubject, around: &Around<'_>) -> LogSubject {
    match (subject, around.parts) {
        (
            LogSubject::Board {
                part: Some(part),
                stock: Some(stock),
            },
            Some(parts),
        ) if date < parts[part].measured => LogSubject::Board {
            part: None,
            stock: Some(stock),
        },
        _ => subject,
    }
}

/// A board by its name: one to resaw, the one that parts are cut from, or both.
fn board(
    wanted: &str,
    span: Range<usize>,
    reading: &LogReading,
    around: &Around<'_>,
    problems: &mut Problems,
) -> Option<(LogSubject, String)> {
    let parts = around.parts?;
    let of_board = |part: &Part| part.board.as_deref() == Some(wanted);
    let part = parts.iter().position(of_board);
    let stock = stock_of(wanted, around);
    let bent = matches!(reading, LogReading::Bow(_) | LogReading::Cup(_));
    match (part, stock) {
        // A board with a problem of its own is not missed a second time.
        (None, None) if around.boards.iter().any(Option::is_none) => None,
        (None, None) => {
            let named = parts.iter().filter_map(|part| part.board.as_deref());
            let known = around.boards.iter().flatten();
            let all: Vec<&str> = named
                .chain(known.map(|board| board.name.as_str()))
                .collect();
            let names = Names::new(all.iter().copied());
            problems.push(
                span,
                format!("no board is named `{wanted}`, neither in [[boards]] nor as the `board` of a part"),
                names.remedy("board", wanted, "[[boards]] or the `board` of a part"),
            );
            None
        }
        (Some(_), None) if bent => {
            problems.push(
                span,
                format!(
                    "a {} of `{wanted}` is logged, and none is forecast for it",
                    reading.quantity()
                ),
                "add the board under [[boards]], or log the part that was cut from it",
            );
            None
        }
        (part, stock) => {
            let part = part.filter(|_| !bent);
            Some((LogSubject::Board { part, stock }, wanted.to_owned()))
        }
    }
}

/// A board to resaw by its name.
fn stock_of(wanted: &str, around: &Around<'_>) -> Option<usize> {
    let same = |plan: &Option<BoardPlan>| {
        plan.as_ref()
            .is_some_and(|plan| plan.name.eq_ignore_ascii_case(wanted))
    };
    around.boards.iter().position(same)
}

/// A leaf of a board to resaw, by its number.
fn board_leaf(
    (wanted, span): (&str, Range<usize>),
    (number, leaf_span): (&str, Range<usize>),
    read: Option<WhenRead>,
    around: &Around<'_>,
    problems: &mut Problems,
) -> Option<(LogSubject, String)> {
    let Some(board) = stock_of(wanted, around) else {
        if around.boards.iter().any(Option::is_none) {
            return None;
        }
        let all = || {
            around
                .boards
                .iter()
                .flatten()
                .map(|board| board.name.as_str())
        };
        problems.push(
            span,
            format!("no board to resaw is named `{wanted}`"),
            Names::new(all()).remedy("board", wanted, "[[boards]]"),
        );
        return None;
    };
    let plan = around.boards[board].as_ref()?;
    let count = plan.plan.slices(plan.board.thickness).ok()?.len();
    match number.trim().parse::<usize>() {
        Ok(leaf) if (1..=count).contains(&leaf) => Some((
            LogSubject::BoardLeaf {
                board,
                leaf,
                read: read.unwrap_or_default(),
            },
            format!("leaf {leaf} of {}", plan.name),
        )),
        _ => {
            problems.push(
                leaf_span,
                format!(
                    "`{}` gives {count} leaves, and none is number `{number}`",
                    plan.name
                ),
                format!("give a number from 1 at the bark face to {count}"),
            );
            None
        }
    }
}

/// A leaf of a panel, by its name.
fn panel_leaf(
    wanted: &str,
    span: &Range<usize>,
    reading: &LogReading,
    around: &Around<'_>,
    problems: &mut Problems,
) -> Option<(LogSubject, String)> {
    if matches!(reading, LogReading::Weight(_)) {
        problems.push(
            span.clone(),
            "the weight of a panel's leaf says nothing of the panel",
            "leave it out, or log the weight of a board's leaf: board = \"...\", leaf = \"1\"",
        );
        return None;
    }
    let leaves = || {
        around.panels.iter().enumerate().flat_map(|(panel, plan)| {
            let leaves = plan
                .iter()
                .flat_map(|plan| plan.leaves().unwrap_or_default());
            leaves
                .enumerate()
                .map(move |(leaf, found)| (panel, leaf, found))
        })
    };
    let mut found = leaves().filter(|(.., leaf)| leaf.name.eq_ignore_ascii_case(wanted));
    match (found.next(), found.next()) {
        (Some((panel, leaf, named)), None) => Some((
            LogSubject::PanelLeaf { panel, leaf },
            format!("leaf {}", named.name),
        )),
        (Some(_), Some(_)) => {
            problems.push(
                span.clone(),
                format!("more than one leaf is named `{wanted}`"),
                "give each leaf of the job a name of its own",
            );
            None
        }
        (None, _) if around.panels.iter().any(Option::is_none) => None,
        (None, _) => {
            let all: Vec<&str> = leaves().map(|(.., leaf)| leaf.name.as_str()).collect();
            problems.push(
                span.clone(),
                format!("no leaf of a panel is named `{wanted}`"),
                Names::new(all.iter().copied()).remedy(
                    "leaf",
                    wanted,
                    "the leaves of [[panels]] (of a board's leaf give board and number: board = \"...\", leaf = \"1\")",
                ),
            );
            None
        }
    }
}

/// The fit of a joint, by its own name or by that of a joint with one fit.
fn joint(
    wanted: &str,
    span: Range<usize>,
    around: &Around<'_>,
    problems: &mut Problems,
) -> Option<(LogSubject, String)> {
    let fits = || {
        around.joints.iter().enumerate().flat_map(|(joint, plan)| {
            let each = plan.fits.iter().enumerate();
            each.map(move |(fit, found)| (joint, fit, plan, found))
        })
    };
    let same = |name: &str| name.eq_ignore_ascii_case(wanted);
    let of_fit = fits().find(|(.., fit)| same(&fit.name));
    let of_joint = || fits().find(|(_, _, plan, _)| same(&plan.name));
    if let Some((joint, fit, plan, found)) = of_fit.or_else(of_joint) {
        if plan.fits.len() > 1 && !same(&found.name) {
            let names: Vec<String> = plan
                .fits
                .iter()
                .map(|fit| format!("`{}`", fit.name))
                .collect();
            problems.push(
                span,
                format!("`{wanted}` has {} gaps", plan.fits.len()),
                format!("name one of {}", names.join(", ")),
            );
            return None;
        }
        return Some((LogSubject::Fit { joint, fit }, found.name.clone()));
    }
    let all: Vec<&str> = fits().map(|(.., fit)| fit.name.as_str()).collect();
    let names = Names::new(all.iter().copied());
    problems.push(
        span,
        format!("no joint with a gap is named `{wanted}`"),
        names.remedy("joint", wanted, "[joints]"),
    );
    None
}
