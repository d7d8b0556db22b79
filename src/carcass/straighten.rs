//! A bowed panel forced straight by supports: forces, the residual bow left between
//! them, stress, what the joints must hold, and what is left after months.

use super::beam::{self, Curve, Fault, Hold, Sense};
use super::{BowedPanel, JointHold, JointLoad, error};
use crate::chance::in_order;
use crate::panel::{KEPT_MIN, KEPT_MOST};
use crate::units::{Force, Length, Refusal, Stress};

/// Which forces a support can give.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Grip {
    /// It pushes and pulls: glued, screwed, or housed on both faces.
    #[default]
    BothWays,
    /// It only pushes against the crown face.
    AgainstCrown,
    /// It only pushes against the hollow face.
    AgainstHollow,
}

/// A face of a bowed panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PanelFace {
    /// The face that bulges.
    Crown,
    /// The face that is hollow.
    Hollow,
}

/// A support of a panel: a case side, a divider, a row of screws.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Support {
    /// Place from the panel's reference end.
    pub at: Length,
    /// What it can give.
    pub grip: Grip,
    /// Whether it also keeps the panel from turning there, as a stiff side does that the panel is tenoned into.
    pub turn_held: bool,
    /// How far it is off the straight line, toward the crown.
    pub out_of_line: Length,
    /// The face it stands on, which tells a push from a pull on its joint.
    pub stands_on: Option<PanelFace>,
    /// What its joint can hold.
    pub joint: Option<JointHold>,
    /// What the maker calls it.
    pub name: Option<String>,
}

impl Support {
    /// A support that holds both ways and lets the panel turn.
    #[must_use]
    pub fn at(place: Length) -> Self {
        Self {
            at: place,
            ..Self::default()
        }
    }

    /// The same support with another grip.
    #[must_use]
    pub fn with_grip(mut self, grip: Grip) -> Self {
        self.grip = grip;
        self.stands_on = match grip {
            Grip::BothWays => self.stands_on,
            Grip::AgainstCrown => Some(PanelFace::Crown),
            Grip::AgainstHollow => Some(PanelFace::Hollow),
        };
        self
    }
}

/// A strut between two panels, such as a divider between top and bottom.
#[derive(Debug, Clone, PartialEq)]
pub struct Divider {
    /// Place on the common axis.
    pub at: Length,
    /// The panel above it.
    pub upper: usize,
    /// The panel below it.
    pub lower: usize,
    /// Whether it only pushes the panels apart: housed, neither glued nor screwed.
    pub push_only: bool,
    /// How much longer it is than the opening.
    pub too_long: Length,
    /// What its joint to the upper panel can hold.
    pub upper_joint: Option<JointHold>,
    /// What its joint to the lower panel can hold.
    pub lower_joint: Option<JointHold>,
    /// What the maker calls it.
    pub name: Option<String>,
}

impl Divider {
    /// How it holds two of so many beams apart, and together where it is fastened.
    pub(super) fn strut(&self, beams: usize) -> Result<Hold, Refusal> {
        for index in [self.upper, self.lower] {
            if index >= beams || self.upper == self.lower {
                return Err(error::unknown_partner(index, beams));
            }
        }
        Ok(Hold {
            at: self.at.mm(),
            upper: self.upper,
            lower: Some(self.lower),
            level: self.too_long.mm(),
            sense: if self.push_only {
                Sense::Up
            } else {
                Sense::Both
            },
        })
    }

    /// A divider of the right length, glued to both panels.
    #[must_use]
    pub fn between(lower: usize, upper: usize, at: Length) -> Self {
        Self {
            at,
            upper,
            lower,
            push_only: false,
            too_long: Length::ZERO,
            upper_joint: None,
            lower_joint: None,
            name: None,
        }
    }
}

/// A panel with its place on the common axis and its supports.
#[derive(Debug, Clone, PartialEq)]
pub struct SupportedPanel {
    /// The panel.
    pub panel: BowedPanel,
    /// Where its reference end lies on the common axis.
    pub start: Length,
    /// Its supports, measured from its reference end.
    pub supports: Vec<Support>,
}

/// The force at one support.
#[derive(Debug, Clone, PartialEq)]
pub struct SupportForce {
    /// What the maker calls the support.
    pub name: Option<String>,
    /// Its place from the panel's reference end.
    pub at: Length,
    /// Force of the support on the panel, pressing against the crown positive.
    pub against_crown: Force,
    /// Gap left at a support that is not touched.
    pub lost_by: Option<Length>,
    /// The force after months, minimum and maximum.
    pub after_months: [Force; 2],
    /// What the joint must hold, where the support's face and joint are given.
    pub joint: Option<JointLoad>,
}

/// One panel, held straight.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldPanel {
    /// The panel as it was.
    pub panel: BowedPanel,
    /// The forces, in the order the supports were given.
    pub supports: Vec<SupportForce>,
    /// Maximum distance from the straight line.
    pub leftover: Length,
    /// Where that is, from the reference end.
    pub leftover_at: Length,
    /// Whether the maximum residual bow stands toward the crown.
    pub leftover_toward_crown: bool,
    /// Maximum bending stress.
    pub stress: Stress,
    /// Where that is, from the reference end.
    pub stress_at: Length,
    /// Energy stored in bending, N mm.
    pub energy_n_mm: f64,
    /// Bow if freed after months, minimum and maximum, of the same sign as the first bow.
    pub bow_if_freed: [Length; 2],
    start_mm: f64,
    curve: HeldCurve,
}

#[derive(Debug, Clone)]
struct HeldCurve(Curve);

impl PartialEq for HeldCurve {
    fn eq(&self, other: &Self) -> bool {
        self.0.x == other.0.x && self.0.w == other.0.w && self.0.moment == other.0.moment
    }
}

impl HeldPanel {
    /// Height of the held panel over the straight line at `x` from its reference end, upward.
    #[must_use]
    pub fn height_at(&self, x: Length) -> Length {
        Length::from_mm_unchecked(self.curve.0.deflection(self.start_mm + x.mm()))
    }
}

/// The force of one divider between two panels.
#[derive(Debug, Clone, PartialEq)]
pub struct DividerForce {
    /// What the maker calls the divider.
    pub name: Option<String>,
    /// Its place on the common axis.
    pub at: Length,
    /// Force along it: pressed between the panels positive, pulled apart negative.
    pub push: Force,
    /// Gap at a divider that only pushes and is not touched.
    pub lost_by: Option<Length>,
    /// The force after months, minimum and maximum in size.
    pub after_months: [Force; 2],
    /// What its joints above and below must hold.
    pub joints: [Option<JointLoad>; 2],
}

/// Panels that pull against each other, solved as one.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldCase {
    /// The panels, in the order given.
    pub panels: Vec<HeldPanel>,
    /// The dividers, in the order given.
    pub dividers: Vec<DividerForce>,
}

/// Holds one panel straight on its supports.
///
/// The panel is a slender beam with the curvature of its bow; between supports
/// it takes the shape of least energy. Shear and the panel's own weight are
/// left out.
///
/// # Errors
/// [`Refusal`] for supports off the panel, two at one place, or too few to hold it.
///
/// ```
/// use heartside::carcass::{straighten, BowedPanel, Support};
/// use heartside::units::{Length, Stress};
/// let mm = |value| Length::from_mm(value).unwrap();
/// let panel = BowedPanel::new(
///     mm(900.0), mm(300.0), mm(12.0), Stress::from_mpa(11_000.0).unwrap(), mm(6.0),
/// ).unwrap();
/// let held = straighten(&panel, &[0.0, 450.0, 900.0].map(|x| Support::at(mm(x)))).unwrap();
/// assert!((held.supports[1].against_crown.newtons() - 187.73).abs() < 0.01);
/// ```
pub fn straighten(panel: &BowedPanel, supports: &[Support]) -> Result<HeldPanel, Refusal> {
    let one = SupportedPanel {
        panel: *panel,
        start: Length::ZERO,
        supports: supports.to_vec(),
    };
    let mut case = straighten_together(&[one], &[])?;
    Ok(case.panels.remove(0))
}

/// Holds panels that are tied to each other through dividers as one system.
///
/// # Errors
/// [`Refusal`] as in [`straighten`], and for a divider that names a panel
/// that is not there or stands where both its panels are already held.
pub fn straighten_together(
    panels: &[SupportedPanel],
    dividers: &[Divider],
) -> Result<HeldCase, Refusal> {
    let beams: Vec<_> = panels
        .iter()
        .map(|one| {
            let mut beam = one.panel.beam(one.start.mm());
            beam.turns = one
                .supports
                .iter()
                .filter(|support| support.turn_held)
                .map(|support| (one.start.mm() + support.at.mm(), 0.0))
                .collect();
            beam
        })
        .collect();
    let mut holds = Vec::new();
    for (index, one) in panels.iter().enumerate() {
        holds.extend(
            one.supports
                .iter()
                .map(|support| ground(index, one, support)),
        );
    }
    for divider in dividers {
        holds.push(divider.strut(panels.len())?);
    }
    let held = beam::hold(&beams, &holds).map_err(|fault| explain(fault, panels, &holds))?;
    if let [one] = panels
        && lies_loose(one, &held.forces)
    {
        return Err(error::not_held());
    }
    let mut at = 0;
    let panels_held: Vec<HeldPanel> = panels
        .iter()
        .zip(&held.curves)
        .map(|(one, curve)| {
            let range = at..at + one.supports.len();
            at = range.end;
            held_panel(
                one,
                curve,
                &held.forces[range.clone()],
                &held.working[range],
            )
        })
        .collect();
    let dividers = dividers
        .iter()
        .zip(at..)
        .map(|(divider, index)| {
            divider_force(
                divider,
                held.forces[index],
                held.working[index],
                &held.curves,
            )
        })
        .collect();
    Ok(HeldCase {
        panels: panels_held,
        dividers,
    })
}

/// Whether a bowed panel merely lies between supports that all push one way.
fn lies_loose(one: &SupportedPanel, forces: &[f64]) -> bool {
    let panel = &one.panel;
    let scale = panel.stiffness_n_mm2() * panel.curvature().per_mm().abs() / panel.length().mm();
    let firm: usize = one
        .supports
        .iter()
        .filter(|support| support.grip == Grip::BothWays)
        .map(|support| if support.turn_held { 2 } else { 1 })
        .sum();
    firm < 2 && scale > 0.0 && forces.iter().all(|force| force.abs() < 1e-6 * scale)
}

/// +1 when the panel's crown is up, -1 when it is down.
fn crown_sign(panel: &BowedPanel) -> f64 {
    if panel.bow().mm() < 0.0 { -1.0 } else { 1.0 }
}

fn ground(index: usize, one: &SupportedPanel, support: &Support) -> Hold {
    let up = crown_sign(&one.panel) > 0.0;
    Hold {
        at: one.start.mm() + support.at.mm(),
        upper: index,
        lower: None,
        level: support.out_of_line.mm() * crown_sign(&one.panel),
        sense: match (support.grip, up) {
            (Grip::BothWays, _) => Sense::Both,
            (Grip::AgainstCrown, true) | (Grip::AgainstHollow, false) => Sense::Down,
            (Grip::AgainstCrown, false) | (Grip::AgainstHollow, true) => Sense::Up,
        },
    }
}

fn after_months(force: Force) -> [Force; 2] {
    in_order([force * KEPT_MIN, force * KEPT_MOST])
}

fn held_panel(one: &SupportedPanel, curve: &Curve, forces: &[f64], working: &[bool]) -> HeldPanel {
    let panel = one.panel;
    let start = one.start.mm();
    let sign = crown_sign(&panel);
    let supports = one
        .supports
        .iter()
        .zip(forces.iter().zip(working))
        .map(|(support, (up, working))| {
            let against_crown = Force::computed_newtons(-sign * up + 0.0);
            let lost_by = (!working).then(|| {
                let height = sign * curve.deflection(start + support.at.mm());
                Length::from_mm_unchecked(height - support.out_of_line.mm()).abs()
            });
            let pull = support.stands_on.map(|face| match face {
                PanelFace::Crown => -against_crown,
                PanelFace::Hollow => against_crown,
            });
            SupportForce {
                name: support.name.clone(),
                at: support.at,
                against_crown,
                lost_by,
                after_months: after_months(against_crown),
                joint: support
                    .joint
                    .zip(pull)
                    .map(|(joint, pull)| joint.under(pull)),
            }
        })
        .collect();
    let (leftover_at, leftover) = curve.max_deflection();
    let (stress_at, moment) = curve.max_moment();
    HeldPanel {
        panel,
        supports,
        leftover: Length::from_mm_unchecked(leftover.abs()),
        leftover_at: Length::from_mm_unchecked(leftover_at - start),
        leftover_toward_crown: leftover * sign >= 0.0,
        stress: panel.face_stress(moment),
        stress_at: Length::from_mm_unchecked(stress_at - start),
        energy_n_mm: curve.energy(),
        bow_if_freed: in_order([panel.bow() * KEPT_MIN, panel.bow() * KEPT_MOST]),
        start_mm: start,
        curve: HeldCurve(curve.clone()),
    }
}

fn divider_force(divider: &Divider, force: f64, working: bool, curves: &[Curve]) -> DividerForce {
    let push = Force::computed_newtons(force);
    let at = divider.at.mm();
    let lost_by = (!working).then(|| {
        let apart = curves[divider.upper].deflection(at) - curves[divider.lower].deflection(at);
        Length::from_mm_unchecked(apart - divider.too_long.mm())
    });
    DividerForce {
        name: divider.name.clone(),
        at: divider.at,
        push,
        lost_by,
        after_months: after_months(push),
        joints: [divider.upper_joint, divider.lower_joint]
            .map(|joint| joint.map(|joint| joint.under(-push))),
    }
}

fn explain(fault: Fault, panels: &[SupportedPanel], holds: &[Hold]) -> Refusal {
    let place = |index: usize| {
        let start = panels[holds[index].upper].start.mm();
        Length::from_mm_unchecked(holds[index].at - start)
    };
    match fault {
        Fault::Coincident(first, second) => error::coincident(place(first), place(second)),
        Fault::Outside(index) => error::off_the_part(
            if holds[index].lower.is_some() {
                "divider"
            } else {
                "support"
            },
            place(index),
            panels[holds[index].upper].panel.length(),
        ),
        Fault::Loose => error::not_held(),
        Fault::Unsettled => error::unsettled(),
    }
}
