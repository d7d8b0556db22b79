//! Two joints between the same parts never say different movement: every joint of every recipe measures along one direction of the
//! piece, and recipes that join the same two parts along the same direction say the same strain.

use crate::forecast::{airs_of, job_of};
use heartside::forecast::{Forecast, forecast};
use heartside::job::{self, Beginning, BeginningKind, Job};
use heartside::joint::{Axis, Joints, PartId};
use heartside::piece::SpaceAxis;
use heartside::species::SpeciesTable;
use heartside::units::UnitSystem;
use std::collections::{BTreeMap, BTreeSet};

const HEAD: &str = r#"format = 2
[job]
name = "Piece"
units = "mm"
seed = 5
draws = 32
[places.shop]
air = { temperature = "18C", humidity = "62%" }
[places.home]
seasons = { winter = "30%", summer = "55%", temperature = "20C" }
[schedule]
measured = 2026-09-14
delivered = 2026-10-26
[defaults]
species = "oak, northern red"
thickness = "20 mm"
moisture = "9%"
"#;

/// A shelf's end in or against the inside face of an upright side; the rings differ, so that the two move unlike.
fn shelf_and_side(reach: &str, joint: &str) -> String {
    format!(
        r#"{HEAD}
[[parts]]
name = "side"
grain = "up"
lies = "sideways"
left = "0 mm"
front = "0 mm"
bottom = "0 mm"
width = "400 mm"
length = "800 mm"
rings = {{ sawn = "quarter" }}
[[parts]]
name = "shelf"
left = "{reach} side"
front = "0 mm"
bottom = "0 mm"
width = "400 mm"
length = "700 mm"
rings = {{ sawn = "flat" }}
{joint}"#
    )
}

/// A batten from front to back under a top.
fn batten_and_top(joint: &str) -> String {
    format!(
        r#"{HEAD}
[[parts]]
name = "top"
left = "0 mm"
front = "0 mm"
bottom = "700 mm"
width = "450 mm"
length = "900 mm"
rings = {{ sawn = "flat" }}
[[parts]]
name = "rail"
lies = "facing"
left = "0 mm"
front = "20 mm"
top = "against top"
width = "90 mm"
length = "880 mm"
rings = {{ sawn = "quarter" }}
[[parts]]
name = "batten"
grain = "back"
lies = "flat"
left = "400 mm"
front = "60 mm"
top = "against top"
width = "60 mm"
length = "360 mm"
rings = {{ sawn = "quarter" }}
{joint}"#
    )
}

/// A lid between two narrow boards whose grain runs along its ends.
fn lid_and_end(joint: &str) -> String {
    let reach = if joint.contains("breadboard") {
        "20 mm into"
    } else {
        "against"
    };
    format!(
        r#"{HEAD}
[[parts]]
name = "lid"
left = "{reach} end"
front = "0 mm"
bottom = "0 mm"
width = "450 mm"
length = "900 mm"
rings = {{ sawn = "flat" }}
[[parts]]
name = "end"
grain = "back"
lies = "flat"
left = "0 mm"
front = "0 mm"
bottom = "0 mm"
width = "60 mm"
length = "450 mm"
rings = {{ sawn = "quarter" }}
{joint}"#
    )
}

/// Two boards edge to edge.
fn edge_to_edge(joint: &str) -> String {
    format!(
        r#"{HEAD}
[[parts]]
name = "board"
left = "0 mm"
front = "0 mm"
bottom = "0 mm"
width = "200 mm"
length = "900 mm"
rings = {{ sawn = "flat" }}
[[parts]]
name = "strip"
left = "0 mm"
front = "against board"
bottom = "0 mm"
width = "40 mm"
length = "900 mm"
rings = {{ sawn = "quarter" }}
{joint}"#
    )
}

/// Two boards on edge that cross.
const CROSSING: &str = r#"
[[parts]]
name = "long"
lies = "facing"
left = "0 mm"
front = "150 mm"
bottom = "0 mm"
width = "80 mm"
length = "600 mm"
rings = { sawn = "flat" }
[[parts]]
name = "short"
grain = "back"
lies = "sideways"
left = "290 mm"
front = "0 mm"
bottom = "0 mm"
width = "80 mm"
length = "320 mm"
rings = { sawn = "quarter" }
[[joints.half_lap]]
piece = "long"
into = "short"
"#;

/// A case with a back in its rabbets and a door over or in its front.
fn door(front: &str, joint: &str) -> String {
    format!(
        r#"{HEAD}
[[parts]]
name = "side"
grain = "up"
lies = "sideways"
front = "0 mm"
bottom = "0 mm"
width = "300 mm"
length = "700 mm"
rings = {{ sawn = "quarter" }}
copies = [{{ name = "left side", left = "0 mm" }}, {{ name = "right side", right = "500 mm" }}]
[[parts]]
name = "shelf"
left = "8 mm into left side"
right = "8 mm into right side"
front = "25 mm"
width = "260 mm"
rings = {{ sawn = "flat" }}
copies = [{{ name = "bottom", bottom = "30 mm" }}, {{ name = "top", top = "690 mm" }}]
[[parts]]
name = "back"
grain = "up"
lies = "facing"
thickness = "8 mm"
left = "8 mm into left side"
right = "8 mm into right side"
bottom = "8 mm into bottom"
top = "8 mm into top"
back = "flush with left side"
rings = {{ sawn = "flat" }}
[[parts]]
name = "door"
grain = "up"
lies = "facing"
in_opening = {{ left = "left side", right = "right side", bottom = "bottom", top = "top", front = "{front}", hinge = "left" }}
rings = {{ sawn = "flat" }}
[[joints.dado]]
piece = "shelf"
into = "side"
{joint}"#
    )
}

/// Every recipe that the demo and the beginnings leave out, each in a piece that it belongs in.
fn made() -> Vec<(&'static str, String)> {
    let t = |kind: &str, reach: &str, keys: &str| {
        shelf_and_side(
            reach,
            &format!("[[joints.{kind}]]\npiece = \"shelf\"\ninto = \"side\"\n{keys}"),
        )
    };
    let under = |kind: &str, piece: &str, into: &str, keys: &str| {
        batten_and_top(&format!(
            "[[joints.{kind}]]\npiece = \"{piece}\"\ninto = \"{into}\"\n{keys}"
        ))
    };
    vec![
        ("dado", t("dado", "8 mm into", "")),
        (
            "dado_and_tenons",
            t(
                "dado_and_tenons",
                "6 mm into",
                "tenons = \"80 mm, 320 mm\"\ntenon_width = \"40 mm\"\ntenon_depth = \"6 mm\"\n",
            ),
        ),
        (
            "dowels",
            t(
                "dowels",
                "against",
                "at = \"60 mm, 340 mm\"\ndiameter = \"8 mm\"\ndepth = \"10 mm\"\n",
            ),
        ),
        (
            "floating_tenons",
            t(
                "floating_tenons",
                "against",
                "at = \"60 mm, 200 mm, 340 mm\"\ntenon_width = \"30 mm\"\ndepth = \"10 mm\"\n",
            ),
        ),
        ("sliding_dovetail", t("sliding_dovetail", "8 mm into", "")),
        (
            "screwed",
            t("screwed", "against", "screws = \"40 mm, 360 mm\"\n"),
        ),
        ("dovetail", t("dovetail", "20 mm into", "")),
        ("mitre", t("mitre", "20 mm into", "")),
        (
            "cleat",
            under(
                "cleat",
                "batten",
                "top",
                "screws = \"80 mm, 225 mm, 400 mm\"\n",
            ),
        ),
        (
            "plinth",
            under(
                "plinth",
                "batten",
                "top",
                "screws = \"80 mm, 225 mm, 400 mm\"\n",
            ),
        ),
        ("cross_grain", under("cross_grain", "top", "batten", "")),
        (
            "screw_slot",
            under(
                "screw_slot",
                "top",
                "batten",
                "from_fixed = \"150 mm\"\nfixed = \"225 mm\"\n",
            ),
        ),
        (
            "table_top_button",
            under(
                "table_top_button",
                "top",
                "rail",
                "rail = \"batten\"\ntongue = \"12 mm\"\n",
            ),
        ),
        (
            "breadboard_end",
            lid_and_end(
                "[[joints.breadboard_end]]\npiece = \"lid\"\ninto = \"end\"\npins = \"60 mm, 225 mm, 390 mm\"\n",
            ),
        ),
        (
            "edge_banding",
            lid_and_end(
                "[[joints.edge_banding]]\npiece = \"end\"\ninto = \"lid\"\nalong = \"width\"\n",
            ),
        ),
        (
            "edge_glue",
            edge_to_edge("[[joints.edge_glue]]\npiece = \"strip\"\ninto = \"board\"\n"),
        ),
        ("half_lap", format!("{HEAD}{CROSSING}")),
        (
            "rabbet",
            door(
                "flush",
                "[[joints.rabbet]]\npiece = \"back\"\ninto = \"side\"\n",
            ),
        ),
        (
            "inset",
            door(
                "flush",
                "[[joints.inset]]\npiece = \"door\"\ninto = \"side\"\n",
            ),
        ),
        (
            "front_reveal",
            door(
                "flush",
                "[[joints.front_reveal]]\npiece = \"door\"\ninto = \"side\"\nstop = \"20 mm\"\n",
            ),
        ),
        (
            "overlay",
            door(
                "overlay",
                "[[joints.overlay]]\npiece = \"door\"\ninto = \"side\"\n",
            ),
        ),
        (
            "hinged",
            door(
                "flush",
                "[[joints.hinged]]\npiece = \"door\"\ninto = \"side\"\n",
            ),
        ),
    ]
}

fn begun(kind: BeginningKind) -> Job {
    let text = Beginning {
        kind,
        width: None,
        height: None,
        depth: None,
        bays: None,
        shelves: None,
        units: UnitSystem::Metric,
        measured: jiff::civil::date(2026, 9, 14),
    };
    job_of(&text.text().unwrap())
}

/// The directions of the piece along which a part's axis runs in any of its places.
fn directions(job: &Job, part: PartId, axis: Axis) -> BTreeSet<&'static str> {
    job.piece
        .bodies_of(part.0)
        .map(|body| {
            let turned = job.piece.bodies[body].orientation;
            let along: SpaceAxis = match axis {
                Axis::Length => turned.length(),
                Axis::Width => turned.width(),
                Axis::Thickness => turned.thickness(),
            };
            along.letter()
        })
        .collect()
}

/// What all of these sizes run along.
fn shared(job: &Job, sizes: impl Iterator<Item = (PartId, Axis)>) -> BTreeSet<&'static str> {
    let all = BTreeSet::from(["x", "y", "z"]);
    sizes.fold(all, |so_far, (part, axis)| {
        so_far
            .intersection(&directions(job, part, axis))
            .copied()
            .collect()
    })
}

/// Sizes that are added up in one fit, or compared in one bond, run along one direction of the piece: for every recipe there is.
#[test]
fn every_joint_measures_along_one_direction() {
    let mut jobs: Vec<Job> = made().iter().map(|(_, text)| job_of(text)).collect();
    jobs.push(job_of(job::demo()));
    jobs.push(job_of(include_str!("../data/chest.toml")));
    jobs.extend(BeginningKind::ALL.map(begun));
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let mut wrong = Vec::new();
    for job in &jobs {
        for joint in &job.joints {
            seen.insert(joint.kind);
            for fit in &joint.fits {
                let terms = fit.opening.iter().chain(&fit.part);
                if shared(job, terms.map(|term| (term.part, term.axis))).is_empty() {
                    wrong.push(format!("{}: {}", joint.kind, fit.name));
                }
            }
            for bond in &joint.bonds {
                let sides = [&bond.moves, &bond.holds];
                if shared(job, sides.into_iter().map(|side| (side.part, side.axis))).is_empty() {
                    wrong.push(format!("{}: {}", joint.kind, bond.name));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    let missing: Vec<&&str> = Joints::KINDS
        .iter()
        .filter(|kind| !seen.contains(**kind))
        .collect();
    assert!(missing.is_empty(), "no job here has {missing:?}");
}

fn answered(text: &str) -> (Job, Forecast) {
    let job = job_of(text);
    let found = forecast(&job, SpeciesTable::built_in(), &airs_of(&job)).unwrap();
    (job, found)
}

/// Joints of unlike kinds between the same two parts: along one direction they say one strain, whichever of the two they name first.
#[test]
fn joints_between_the_same_parts_say_the_same_strain() {
    let mut said: BTreeMap<_, Vec<(&str, f64)>> = BTreeMap::new();
    for (kind, text) in made() {
        let (job, found) = answered(&text);
        for (drawn, joint) in found.drawings.iter().zip(&job.joints) {
            for (bond, plan) in found.bonds[drawn.bonds.clone()].iter().zip(&joint.bonds) {
                let sides = [&plan.moves, &plan.holds];
                let along = shared(&job, sides.into_iter().map(|side| (side.part, side.axis)));
                let mut names = sides.map(|side| job.parts[side.part.0].name.clone());
                let mut strain = bond.strain_driest.ratio();
                if names[0] > names[1] {
                    names.reverse();
                    // The other of the two is then what moves.
                    strain = 1.0 / (1.0 + strain) - 1.0;
                }
                let [a, b] = names;
                let axis = along.into_iter().next().unwrap();
                said.entry((a, b, axis)).or_default().push((kind, strain));
            }
        }
    }
    let mut compared = 0;
    for (between, kinds) in &said {
        // A strain on the driest day of a bond that swells apart is that of another day: only the driest is one.
        let (first, strain) = kinds[0];
        for (kind, other) in &kinds[1..] {
            compared += 1;
            assert!(
                (strain - other).abs() < 2e-4 + 0.02 * strain.abs(),
                "{between:?}: {first} {strain}, {kind} {other}"
            );
        }
    }
    assert!(compared >= 8, "{said:#?}");
    // The shelf's width across the side's: wood that moves unlike, so that agreement is not that of zeros.
    let shelf = &said[&("shelf".to_owned(), "side".to_owned(), "y")];
    assert!(
        shelf.iter().all(|(_, strain)| strain.abs() > 1e-3),
        "{shelf:?}"
    );
}
