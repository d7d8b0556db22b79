//! `[glue]`: the glue-up.

use super::words::NameList;
use crate::carcass::{GlueJoint, GlueKind, GlueTerms, Piece, Stages, Trap, plan_stages};
use crate::joint::{Parts, RecipeReader};
use crate::piece::Piece as PlacedPiece;
use crate::units::notation::{Flag, Names, Percent, Whole};
use crate::units::spanned::{Name, Placed, Problems, Spanned};
use crate::units::{Duration, Refusal, Temperature};
#[cfg(feature = "job")]
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::HashMap;
use std::ops::Range;

/// The glue-up: the glue, the hands, and every joint that is put together.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct GlueKeys {
    /// The glue by its chemistry, such as "yellow PVA"; its open time comes from a general range.
    pub kind: Option<Spanned<GlueKind>>,
    /// The glue maker's own time from spreading to the last clamp; it comes before the chemistry's.
    pub open_time: Option<Spanned<Duration>>,
    /// Warmth of the room; 68F unless given.
    pub temperature: Option<Spanned<Temperature>>,
    /// Time to spread one joint, unless the joint gives its own; 40 s unless given.
    pub spread: Option<Spanned<Duration>>,
    /// Time to push one joint home; 15 s unless given.
    pub close: Option<Spanned<Duration>>,
    /// Time to set one clamp; 20 s unless given.
    pub per_clamp: Option<Spanned<Duration>>,
    /// Clamps at hand; no limit unless given.
    pub clamps: Option<Spanned<Whole>>,
    /// Pairs of hands; 1 unless given.
    pub hands: Option<Spanned<Whole>>,
    /// Share of the open time kept in reserve; 20% unless given.
    pub margin: Option<Spanned<Percent>>,
    /// The joints; with places they follow, and only those are given here whose clamps or spreading differ.
    #[serde(default)]
    pub joints: Vec<Placed<GlueJointKeys>>,
    /// Parts that cannot get in once others are one body; with places they follow, and those given must agree.
    #[serde(default)]
    pub trapped: Vec<Placed<TrapKeys>>,
}

/// A joint that is put together.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct GlueJointKeys {
    /// What it is called.
    pub name: Option<Spanned<Name>>,
    /// The one piece: a part, one of its copies, or without places one of several alike such as "shelf 2".
    pub piece: Spanned<Name>,
    /// The other piece.
    pub into: Spanned<Name>,
    /// Whether it is glued; true unless given.
    pub glued: Option<Spanned<Flag>>,
    /// Time to spread it.
    pub spread: Option<Spanned<Duration>>,
    /// How many clamps it takes; 2 unless given.
    pub clamps: Option<Spanned<Whole>>,
}

/// A trapped piece.
#[derive(Debug, Clone, Deserialize)]
#[cfg_attr(feature = "job", derive(JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TrapKeys {
    /// The piece.
    pub piece: Spanned<Name>,
    /// The pieces it is trapped between, with commas.
    pub between: Spanned<NameList>,
}

/// A glue-up, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct GluePlan {
    /// Where the file tells it.
    pub span: Range<usize>,
    /// Pieces and joints.
    pub piece: Piece,
    /// The terms.
    pub terms: GlueTerms,
}

/// Usual times of one joint, s (judgement).
const SPREAD_SECONDS: f64 = 40.0;
const CLOSE_SECONDS: f64 = 15.0;
const CLAMP_SECONDS: f64 = 20.0;
/// Usual clamps of one joint (judgement).
const CLAMPS: u64 = 2;

impl GluePlan {
    /// The stages.
    ///
    /// # Errors
    /// [`Refusal`] as in [`plan_stages`].
    pub fn answer(&self) -> Result<Stages, Refusal> {
        plan_stages(&self.piece, &self.terms)
    }
}

impl GlueKeys {
    /// The checked plan, or `None` after noting every problem.
    pub fn read(
        &self,
        span: Range<usize>,
        parts: &Parts<'_>,
        placed: &PlacedPiece,
        problems: &mut Problems,
    ) -> Option<GluePlan> {
        let mut site = RecipeReader::new(parts, problems, span.clone());
        let kind = site.take_optional(self.kind.as_ref());
        let own_time = site.take_optional(self.open_time.as_ref());
        let temperature = site.take_optional(self.temperature.as_ref());
        let spread = seconds(&mut site, self.spread.as_ref(), SPREAD_SECONDS);
        let close = seconds(&mut site, self.close.as_ref(), CLOSE_SECONDS);
        let per_clamp = seconds(&mut site, self.per_clamp.as_ref(), CLAMP_SECONDS);
        let clamps = count(&mut site, self.clamps.as_ref(), 1..=100_000);
        let hands = count(&mut site, self.hands.as_ref(), 1..=20);
        let margin = share(&mut site, self.margin.as_ref());
        let mut piece = Piece::default();
        let mut names = PieceNames::default();
        let mut whole = true;
        for joint in &self.joints {
            let mut site = RecipeReader::new(parts, problems, joint.span());
            let read = spread.zip(close).and_then(|usual| {
                joint
                    .get()
                    .read(usual, (parts, placed), &mut names, &mut site)
            });
            match read {
                Some(joint) => piece.joints.push(joint),
                None => whole = false,
            }
        }
        piece.parts = names.list;
        let known = Names::new(piece.parts.iter().map(String::as_str));
        for trap in &self.trapped {
            let mut site = RecipeReader::new(parts, problems, trap.span());
            match trap.get().read(&known, &mut site) {
                Some(trap) => piece.traps.push(trap),
                None => whole = false,
            }
        }
        let (kind, own_time) = (kind?, own_time?);
        let mut site = RecipeReader::new(parts, problems, span.clone());
        if kind.is_none() && own_time.is_none() {
            site.problem_here(
                "[glue] gives neither the glue nor its open time",
                "give kind = \"yellow PVA\", or open_time = \"8 min\" from the glue maker's sheet",
            );
            return None;
        }
        if self.joints.is_empty() && placed.bodies.is_empty() {
            site.problem_here(
                "[glue] has no joints to plan",
                "add each joint with [[glue.joints]], piece and into; a job with places needs none",
            );
            return None;
        }
        let usual = GlueTerms::default();
        let terms = GlueTerms {
            kind,
            own_time,
            temperature: temperature?.unwrap_or(usual.temperature),
            per_clamp: per_clamp?,
            clamps: clamps?.map(|count| count as u32),
            hands: hands?.map_or(1, |hands| hands as u32),
            margin: margin?.unwrap_or(usual.margin),
        };
        whole.then_some(GluePlan { span, piece, terms })
    }
}

fn seconds(
    site: &mut RecipeReader<'_>,
    given: Option<&Spanned<Duration>>,
    otherwise: f64,
) -> Option<Duration> {
    site.take_optional(given)
        .map(|time| time.unwrap_or(Duration::computed_seconds(otherwise)))
}

fn count(
    site: &mut RecipeReader<'_>,
    given: Option<&Spanned<Whole>>,
    range: std::ops::RangeInclusive<u64>,
) -> Option<Option<u64>> {
    let Some(given) = given else {
        return Some(None);
    };
    let Whole(value) = site.take(given)?;
    if range.contains(&value) {
        return Some(Some(value));
    }
    site.problem(
        given.span(),
        format!("{value} is outside {} to {}", range.start(), range.end()),
        "give a number inside that range",
    );
    None
}

fn share(site: &mut RecipeReader<'_>, given: Option<&Spanned<Percent>>) -> Option<Option<f64>> {
    let Some(given) = given else {
        return Some(None);
    };
    let Percent(percent) = site.take(given)?;
    if (0.0..=90.0).contains(&percent) {
        return Some(Some(percent / 100.0));
    }
    site.problem(
        given.span(),
        format!("a reserve of {percent}% is outside 0% to 90%"),
        "give a share such as \"20%\"",
    );
    None
}

/// The index of a piece by its name, new ones added: a part, or a part's name and one more word.
fn piece_named(
    given: &Spanned<Name>,
    (parts, placed): (&Parts<'_>, &PlacedPiece),
    piece: &mut PieceNames,
    site: &mut RecipeReader<'_>,
) -> Option<usize> {
    let Name(name) = site.take(given)?;
    let is_part = |text: &str| parts.find(text).is_some();
    let is_copy = placed.bodies.iter().any(|body| body.name == name);
    let base = name.rsplit_once(' ').map_or("", |(base, _)| base);
    if !(is_part(&name) || is_copy || is_part(base) && placed.bodies.is_empty()) {
        let near = parts.names().nearest(&name);
        let remedy = near.map_or_else(
            || "name a part of [[parts]], or one of several alike as its name and one more word".to_owned(),
            |near| format!("did you mean `{near}`? One of several alike is given as its name and one more word"),
        );
        site.problem(given.span(), format!("no part is named `{name}`"), remedy);
        return None;
    }
    Some(piece.place(name))
}

/// The pieces that joints have named so far, in their order.
#[derive(Default)]
struct PieceNames {
    list: Vec<String>,
    places: HashMap<String, usize>,
}

impl PieceNames {
    /// The place of a name; a new name comes last.
    fn place(&mut self, name: String) -> usize {
        let next = self.list.len();
        *self.places.entry(name).or_insert_with_key(|name| {
            self.list.push(name.clone());
            next
        })
    }
}

impl GlueJointKeys {
    fn read(
        &self,
        usual: (Duration, Duration),
        known: (&Parts<'_>, &PlacedPiece),
        piece: &mut PieceNames,
        site: &mut RecipeReader<'_>,
    ) -> Option<GlueJoint> {
        let a = piece_named(&self.piece, known, piece, site);
        let b = piece_named(&self.into, known, piece, site);
        let name = site.take_optional(self.name.as_ref());
        let glued = site.take_optional(self.glued.as_ref());
        let spread = site.take_optional(self.spread.as_ref());
        let clamps = count(site, self.clamps.as_ref(), 0..=1000);
        let (a, b) = (a?, b?);
        if a == b {
            site.problem(
                self.into.span(),
                format!("`{}` is joined to itself", piece.list[a]),
                "tell several alike apart as its name and one more word, such as \"shelf 2\"",
            );
            return None;
        }
        Some(GlueJoint {
            name: name?.map_or_else(
                || format!("{} to {}", piece.list[a], piece.list[b]),
                |name| name.0,
            ),
            between: [a, b],
            glued: glued?.is_none_or(|flag| flag.0),
            spread: spread?.unwrap_or(usual.0),
            close: usual.1,
            clamps: clamps?.unwrap_or(CLAMPS) as u32,
        })
    }
}

impl TrapKeys {
    fn read(&self, known: &Names<'_>, site: &mut RecipeReader<'_>) -> Option<Trap> {
        let name = site.take(&self.piece);
        let between = site.take(&self.between);
        let mut find = |name: &Name, span: Range<usize>| {
            let found = known.find(&name.0);
            if found.is_none() {
                let near = known.nearest(&name.0);
                let remedy = near.map_or_else(
                    || "name a piece as its joints do".to_owned(),
                    |near| format!("did you mean `{near}`?"),
                );
                site.problem(span, format!("no joint names `{name}`"), remedy);
            }
            found
        };
        let part = name.and_then(|name| find(&name, self.piece.span()));
        let between: Option<Vec<usize>> = between.and_then(|NameList(names)| {
            names
                .iter()
                .map(|name| find(name, self.between.span()))
                .collect()
        });
        let (part, between) = (part?, between?);
        let mut apart = between.clone();
        apart.sort_unstable();
        apart.dedup();
        if apart.len() < 2 || apart.contains(&part) {
            site.problem(
                self.between.span(),
                "a piece is trapped between two others or more",
                "name at least two other pieces, with commas between",
            );
            return None;
        }
        Some(Trap { part, between })
    }
}
