//! The answers on the standing piece in plain words, as the terminal and the report tell them.

use super::standing::StandingAnswer;
use super::standing_plates::place_name;
use super::standing_spread;
use super::text::day_words;
use crate::carcass::{Hole, Shorten};
use crate::chance::{Verdict, in_hundred};
use crate::panel::{clamps, felt};
use crate::units::notation::{force_shown, stress_shown, the};
use crate::units::{Duration, Force, Length};
use std::fmt::Write as _;

fn minutes(time: Duration) -> String {
    format!("{:.1} min", time.seconds() / 60.0)
}

impl StandingAnswer<'_> {
    /// Bowed panels held straight, in plain words; empty when there are none.
    #[must_use]
    pub fn straighten_words(&self) -> String {
        let mut text = String::new();
        for (index, found) in self.standing.straighten.iter().enumerate() {
            let held = &found.held;
            let spread = self.standing.straighten_spread.get(index);
            let _never_fails = writeln!(
                text,
                "{}: held straight, a residual bow of {} is left at {}; the maximum bending stress is {}, {:.0} % of the wood's strength.",
                self.name(found.part),
                self.length(held.leftover),
                self.length(held.leftover_at),
                stress_shown(held.stress, self.system),
                100.0 * held.stress.mpa() / found.strength.mpa().max(1e-9)
            );
            for (at, support) in held.supports.iter().enumerate() {
                let force = support.against_crown;
                let how = if force.newtons() >= 0.0 {
                    "presses on the crown"
                } else {
                    "presses on the hollow face"
                };
                let name = support
                    .name
                    .clone()
                    .unwrap_or_else(|| place_name(at, support.at, held.panel.length()));
                let joint = match &support.joint {
                    Some(load) if load.share >= 0.005 => format!(
                        "; the pull on its joint is {:.0} % of what breaks it: {}",
                        100.0 * load.share,
                        load.verdict.word()
                    ),
                    Some(_) => "; next to nothing pulls on its joint".to_owned(),
                    None => String::new(),
                };
                let band = spread
                    .and_then(|spread| spread.supports.get(at))
                    .map_or_else(String::new, |spread| {
                        standing_spread::force_band(spread.force, self.system)
                    });
                let _never_fails = writeln!(
                    text,
                    "  {name} at {} {how} with {}{band}: {}{joint}",
                    self.length(support.at),
                    force_shown(force.abs(), self.system),
                    felt(force)
                );
            }
            if let Some(spread) = spread {
                let _never_fails = writeln!(text, "  {}", standing_spread::verdict_words(spread));
            }
            if let Some(most) = found
                .closing
                .iter()
                .map(|one| one.together)
                .max_by(|a, b| a.newtons().total_cmp(&b.newtons()))
            {
                let _never_fails = writeln!(
                    text,
                    "  to close it: {} at most at any one place, {} there",
                    force_shown(most, self.system),
                    match clamps(Force::computed_newtons(most.newtons().abs())) {
                        1 => "1 clamp".to_owned(),
                        many => format!("{many} clamps"),
                    }
                );
            }
            if let Some(best) = &found.best {
                let places: Vec<String> = best.dividers.iter().map(|at| self.length(*at)).collect();
                let _never_fails = writeln!(
                    text,
                    "  the smallest residual bow, {}, is with the inner supports at {}",
                    self.length(best.leftover),
                    places.join(", ")
                );
            }
        }
        text
    }

    /// Loaded shelves, in plain words; empty when there are none.
    #[must_use]
    pub fn shelf_words(&self) -> String {
        let mut text = String::new();
        for (index, found) in self.standing.shelves.iter().enumerate() {
            let spread = self.standing.shelf_spread.get(index);
            let holds_at = spread.map_or(found.min_thickness, |spread| spread.thickness_that_holds);
            let (verdict, band, chance) = match spread {
                Some(spread) => (
                    spread.verdict,
                    format!(
                        ", {} to {} (90 in 100)",
                        self.length(spread.sag_long_term.low),
                        self.length(spread.sag_long_term.high)
                    ),
                    format!(" (chance of keeping to it: {})", in_hundred(spread.keeps)),
                ),
                None => (
                    if found.keeps {
                        Verdict::Holds
                    } else {
                        Verdict::Fails
                    },
                    String::new(),
                    String::new(),
                ),
            };
            let _never_fails = writeln!(
                text,
                "{}: sags {} at once, {} in the long run under a load that {}{band}; {} is allowed{chance}: {}.",
                self.name(found.part),
                self.length(found.loaded.sag),
                self.length(found.loaded.sag_long_term),
                found.shelf.lasts.words(),
                self.length(found.allowed),
                match (verdict, holds_at) {
                    (Verdict::Marginal | Verdict::Fails, Some(thickness)) => format!(
                        "{}; {} thick it would hold",
                        verdict.word(),
                        self.length(thickness)
                    ),
                    (verdict, _) => verdict.word().to_owned(),
                }
            );
        }
        text
    }

    /// The glue-up's stages, in plain words; empty when none is given.
    #[must_use]
    pub fn glueup_words(&self) -> String {
        let mut text = String::new();
        if let Some(assembly) = &self.standing.assembly {
            for line in assembly.words() {
                let _never_fails = writeln!(text, "{line}");
            }
            return text;
        }
        let Some((piece, stages)) = &self.standing.glueup else {
            return text;
        };
        let _never_fails = writeln!(
            text,
            "{}{}; the glue stays open {}, a stage may take {}.",
            match stages.stages.len() {
                1 => "1 stage".to_owned(),
                many => format!("{many} stages"),
            },
            if stages.proven {
                ", and no fewer will do"
            } else {
                ""
            },
            minutes(stages.open_time),
            minutes(stages.stage_time)
        );
        for (number, stage) in stages.stages.iter().enumerate() {
            let names = |list: &[usize]| {
                list.iter()
                    .map(|joint| piece.joints[*joint].name.as_str())
                    .collect::<Vec<_>>()
                    .join("; ")
            };
            let _never_fails = writeln!(
                text,
                "  {}. glue {} ({}, {})",
                number + 1,
                names(&stage.glued),
                minutes(stage.takes),
                match stage.clamps {
                    1 => "1 clamp".to_owned(),
                    many => format!("{many} clamps"),
                }
            );
            if !stage.put_in_dry.is_empty() {
                let _never_fails = writeln!(
                    text,
                    "     put in dry, unglued: {}",
                    names(&stage.put_in_dry)
                );
            }
            if !stage.dry_fitted.is_empty() {
                let parts: Vec<&str> = stage
                    .dry_fitted
                    .iter()
                    .map(|part| piece.parts[*part].as_str())
                    .collect();
                let _never_fails = writeln!(
                    text,
                    "     dry-fitted to keep it true: {}",
                    parts.join(", ")
                );
            }
            if !stage.shorten.is_empty() {
                let ways: Vec<String> = stage.shorten.iter().map(shorten_words).collect();
                let _never_fails = writeln!(
                    text,
                    "     tight: {} takes longest; shorter with {}",
                    piece.joints[stage.longest].name,
                    ways.join(", or ")
                );
            }
        }
        for note in &stages.notes {
            let _never_fails = writeln!(text, "  {note}");
        }
        text
    }

    /// The installation, in plain words; empty when none is given.
    #[must_use]
    pub fn install_words(&self) -> String {
        let mut text = String::new();
        let Some(found) = &self.standing.install else {
            return text;
        };
        for (number, step) in found.steps.iter().enumerate() {
            let _never_fails = writeln!(text, "{}. {step}.", number + 1);
        }
        if let Some(level) = &found.levelled {
            if found.plinth.is_some() {
                let _never_fails = writeln!(
                    text,
                    "Under the plinth, {} by {}:",
                    self.length(found.base[0]),
                    self.length(found.base[1])
                );
            }
            for corner in &level.corners {
                let size = |length: Length, none: &str, some: &str| {
                    if length.mm() < 0.05 {
                        none.to_owned()
                    } else {
                        format!("{some} {}", self.length(length))
                    }
                };
                let _never_fails = writeln!(
                    text,
                    "{}: {}, or {}",
                    corner.corner.word(),
                    size(corner.shim, "no shim", "shim"),
                    size(corner.scribe, "scribe nothing off", "scribe off")
                );
            }
        }
        if let Some(gap) = found.gap_behind {
            let _never_fails = writeln!(
                text,
                "wall behind: leave {} today, so that the piece can grow to its widest without pressing on it",
                self.length(gap)
            );
        }
        if let Some(gap) = found.gap_beside {
            let _never_fails = writeln!(text, "wall beside: leave {}", self.length(gap));
        }
        if let Some(walls) = &found.walls {
            let _never_fails = if walls.spare.mm() < 0.0 {
                writeln!(
                    text,
                    "walls: the piece is {} too wide at its widest",
                    self.length(walls.spare.abs())
                )
            } else {
                writeln!(
                    text,
                    "walls: leave {} at the left and {} at the right",
                    self.length(walls.left),
                    self.length(walls.right)
                )
            };
        }
        for part in &found.fastened {
            let _never_fails = writeln!(text, "screws of {}:", the(self.name(part.part)));
            for mark in &part.marks {
                let hole = match mark.hole {
                    Hole::Round => "round hole".to_owned(),
                    Hole::Slot {
                        length,
                        screw,
                        fixed_toward_front,
                        ..
                    } => format!(
                        "slot {} long across the grain, the screw today {} from its {} end",
                        self.length(length),
                        self.length(screw.today),
                        if fixed_toward_front { "front" } else { "back" }
                    ),
                };
                let _never_fails = writeln!(
                    text,
                    "  at {} from the front edge: {hole}",
                    self.length(mark.across)
                );
            }
        }
        if let Some(overhang) = &found.overhang {
            let _never_fails = writeln!(
                text,
                "overhang: cut the top {} wide today; it overhangs by {} at the front and {} at the back",
                self.length(overhang.top_width),
                self.length(overhang.front.today),
                self.length(overhang.back.today)
            );
        }
        for day in &found.fit_days {
            let _never_fails = writeln!(
                text,
                "{}: fit it from {} on, after {} in the room",
                day.part,
                day_words(day.on),
                match day.days {
                    1 => "1 day".to_owned(),
                    many => format!("{many} days"),
                }
            );
        }
        text
    }
}

/// A way to shorten a stage.
pub(super) fn shorten_words(way: &Shorten) -> String {
    match way {
        Shorten::SlowerGlue(kind) => format!("a slower glue, such as {}", kind.word()),
        Shorten::Helpers(hands) => format!("{hands} pairs of hands"),
        Shorten::PreGlue(joint) => format!("{joint} glued before, in a stage of its own"),
    }
}
