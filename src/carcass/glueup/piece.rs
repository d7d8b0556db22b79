//! A piece as parts and joints, and the terms it is glued on.

use super::chemistry::{GlueKind, REFERENCE_CELSIUS, warmth_factor};
use crate::units::{Duration, Temperature};

/// A joint between two parts.
#[derive(Debug, Clone, PartialEq)]
pub struct GlueJoint {
    /// Its name.
    pub name: String,
    /// The two parts, as places in [`Piece::parts`].
    pub between: [usize; 2],
    /// Whether it is glued; a floating one is only put together.
    pub glued: bool,
    /// Time to spread it with one pair of hands.
    pub spread: Duration,
    /// Time to push it home.
    pub close: Duration,
    /// How many clamps it takes.
    pub clamps: u32,
}

/// A part that cannot get in once others are one body.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trap {
    /// The part.
    pub part: usize,
    /// The others, two or more.
    pub between: Vec<usize>,
}

/// The piece.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Piece {
    /// Names of its parts.
    pub parts: Vec<String>,
    /// Its joints.
    pub joints: Vec<GlueJoint>,
    /// Trapped parts. A part whose joints all float is taken to be trapped
    /// between all the parts it sits in without being named here.
    pub traps: Vec<Trap>,
}

/// The terms of the glue-up.
#[derive(Debug, Clone, PartialEq)]
pub struct GlueTerms {
    /// The glue's chemistry.
    pub kind: Option<GlueKind>,
    /// The maker's own time at the temperature of the room; it comes before the chemistry.
    pub own_time: Option<Duration>,
    /// Warmth of the room.
    pub temperature: Temperature,
    /// Time to set one clamp.
    pub per_clamp: Duration,
    /// Clamps at hand; no limit when not given.
    pub clamps: Option<u32>,
    /// Pairs of hands.
    pub hands: u32,
    /// Share of the open time kept in reserve.
    pub margin: f64,
}

/// What each further pair of hands adds to the pace of the first (judgement).
pub(super) const HELPER_SHARE: f64 = 0.8;

impl Default for GlueTerms {
    /// Yellow PVA at 20 C, 20 s a clamp, one pair of hands, a fifth in reserve (judgement).
    fn default() -> Self {
        Self {
            kind: Some(GlueKind::YellowPva),
            own_time: None,
            temperature: Temperature::computed_celsius(20.0),
            per_clamp: Duration::computed_seconds(20.0),
            clamps: None,
            hands: 1,
            margin: 0.2,
        }
    }
}

impl GlueTerms {
    /// Time from the first spreading to the last clamp: the maker's own number, or the
    /// lesser one of the chemistry at this temperature.
    #[must_use]
    pub fn open_time(&self) -> Duration {
        self.own_time.unwrap_or_else(|| {
            let kind = self.kind.unwrap_or(GlueKind::YellowPva);
            kind.assembly_time().min * warmth_factor(self.temperature)
        })
    }

    /// Where the open time comes from, in words.
    #[must_use]
    pub fn where_time_comes_from(&self) -> String {
        if self.own_time.is_some() {
            return "open time as given from the glue maker's sheet".to_owned();
        }
        let kind = self.kind.unwrap_or(GlueKind::YellowPva);
        let range = kind.assembly_time();
        let minutes = |time: Duration| time.seconds() / 60.0;
        format!(
            "open time of {}: the lesser of {} to {} min at {REFERENCE_CELSIUS} C ({}), {:.1} min at {:.0} C (doubled for every 10 C colder, judgement); the glue maker's own number comes first",
            kind.word(),
            minutes(range.min),
            minutes(range.most),
            range.status,
            minutes(self.open_time()),
            self.temperature.celsius(),
        )
    }

    /// What to know of the glue: where its open time comes from, a room too cold for it.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let mut notes = vec![self.where_time_comes_from()];
        if let (Some(kind), None) = (self.kind, self.own_time)
            && let Some(coldest) = kind.coldest()
            && self.temperature < coldest
        {
            notes.push(format!(
                "{} may not set below {:.0} C (from memory): warm the room, or ask the maker's sheet",
                kind.word(),
                coldest.celsius()
            ));
        }
        notes
    }

    /// What a stage may take: the open time less the reserve.
    #[must_use]
    pub fn stage_time(&self) -> Duration {
        self.open_time() * (1.0 - self.margin)
    }

    /// How many times quicker than one pair of hands.
    pub(super) fn pace(&self, hands: u32) -> f64 {
        1.0 + HELPER_SHARE * f64::from(hands.max(1) - 1)
    }

    /// Time of one joint in a stage.
    #[must_use]
    pub fn joint_time(&self, joint: &GlueJoint) -> Duration {
        let spread = if joint.glued {
            joint.spread + self.per_clamp * f64::from(joint.clamps)
        } else {
            Duration::ZERO
        };
        (spread + joint.close) / self.pace(self.hands)
    }

    /// The quickest other chemistry that stays open for a stage of this length here.
    pub(in crate::carcass) fn slower_glue(&self, stage: Duration) -> Option<GlueKind> {
        let needed = stage.seconds() / (1.0 - self.margin) / warmth_factor(self.temperature);
        GlueKind::all()
            .into_iter()
            .find(|kind| Some(*kind) != self.kind && kind.assembly_time().min.seconds() >= needed)
    }

    /// The fewest hands with which a stage of this length fits, if more hands help at all.
    pub(in crate::carcass) fn hands_for(&self, stage: Duration) -> Option<u32> {
        let one = stage.seconds() * self.pace(self.hands);
        (self.hands + 1..=self.hands + 3)
            .find(|hands| one / self.pace(*hands) <= self.stage_time().seconds())
    }
}

impl Piece {
    /// The traps given, and those of parts whose joints all float.
    pub(super) fn all_traps(&self) -> Vec<Trap> {
        let mut traps = self.traps.clone();
        for part in 0..self.parts.len() {
            let own: Vec<&GlueJoint> = self
                .joints
                .iter()
                .filter(|joint| joint.between.contains(&part))
                .collect();
            let mut hosts: Vec<usize> = own
                .iter()
                .flat_map(|joint| joint.between)
                .filter(|other| *other != part)
                .collect();
            hosts.sort_unstable();
            hosts.dedup();
            let given = traps.iter().any(|trap| trap.part == part);
            if hosts.len() >= 2 && !given && own.iter().all(|joint| !joint.glued) {
                traps.push(Trap {
                    part,
                    between: hosts,
                });
            }
        }
        traps
    }
}
