//! The list of a piece: its parts with finished and rough size, the wood to buy, weight and hardware.

use crate::job::Job;
use crate::species::SpeciesTable;
use crate::units::notation::{inches, millimetres};
use crate::units::{Length, UnitSystem};
use serde::Serialize;

/// Allowance for rough stock over the finished size: a common habit of the trade, no source. Length, width, and what
/// flattening and planing take of the thickness.
const ROUGH_LENGTH: Length = Length::from_mm_unchecked(25.0);
const ROUGH_WIDTH: Length = Length::from_mm_unchecked(6.0);
const ROUGH_THICKNESS: Length = Length::from_mm_unchecked(5.0);
/// Cubic millimeters of a board foot: 144 cubic inches of 25.4 mm, exact.
const BOARD_FOOT_MM3: f64 = 144.0 * 25.4 * 25.4 * 25.4;

/// The list of a piece.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PieceList {
    /// The name of the piece.
    pub name: String,
    /// Its parts, those of a group after one another.
    pub parts: Vec<ListLine>,
    /// Wood to buy, by kind and rough thickness.
    pub wood: Vec<ListTotal>,
    /// Weight of the finished parts at today's moisture; none where a wood is not known.
    pub weight_kg: Option<f64>,
    /// Volume of the finished parts.
    pub volume_m3: f64,
    /// Screws, hinges, pins and the like that the joints ask for.
    pub hardware: Vec<Hardware>,
}

/// One part of the list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ListLine {
    /// Its name.
    pub part: String,
    /// The group it belongs to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub group: Option<String>,
    /// How many, the copies of its group counted.
    pub count: u32,
    /// The wood.
    pub species: String,
    /// Finished length today.
    pub length: Length,
    /// Finished width today.
    pub width: Length,
    /// Finished thickness today.
    pub thickness: Length,
    /// Rough length to cut.
    pub rough_length: Length,
    /// Rough width to cut.
    pub rough_width: Length,
    /// Rough thickness to buy.
    pub rough_thickness: Length,
    /// Rough thickness as sold, such as `4/4`.
    pub rough: String,
    /// Board feet of all of them, rough.
    pub board_feet: f64,
    /// Cubic meters of all of them, rough.
    pub volume_m3: f64,
}

/// Wood of one kind and rough thickness.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ListTotal {
    /// The wood.
    pub species: String,
    /// Rough thickness as sold.
    pub rough: String,
    /// Rough thickness.
    pub rough_thickness: Length,
    /// Board feet.
    pub board_feet: f64,
    /// Cubic meters.
    pub volume_m3: f64,
}

/// Hardware of one kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hardware {
    /// What it is.
    pub what: String,
    /// How many.
    pub count: u32,
    /// The joint that asks for it.
    pub joint: String,
}

/// The rough thickness sold in quarters of an inch (metric: in the usual steps) that leaves the allowance.
fn rough_thickness(finished: Length, system: UnitSystem) -> (Length, String) {
    let needed = (finished + ROUGH_THICKNESS).mm();
    let (sold_mm, rough) = match system {
        UnitSystem::Inch => {
            let quarters = (needed / 25.4 * 4.0 - 1e-9).ceil().max(4.0);
            (quarters * 25.4 / 4.0, format!("{quarters:.0}/4"))
        }
        UnitSystem::Metric => {
            const SOLD_MM: [f64; 8] = [18.0, 27.0, 34.0, 41.0, 52.0, 65.0, 80.0, 100.0];
            let thickness = SOLD_MM
                .into_iter()
                .find(|sold| *sold >= needed)
                .unwrap_or_else(|| (needed / 10.0).ceil() * 10.0);
            (thickness, format!("{thickness:.0} mm"))
        }
    };
    (Length::from_mm_unchecked(sold_mm), rough)
}

impl PieceList {
    /// The list of a job.
    #[must_use]
    pub fn of(job: &Job, species: &SpeciesTable) -> Self {
        let group_of = |part: usize| {
            let body = job.piece.bodies.iter().find(|body| body.part == part)?;
            Some(job.piece.groups[body.group?].of.clone())
        };
        let mut order: Vec<(Option<String>, usize)> = (0..job.parts.len())
            .map(|part| (group_of(part), part))
            .collect();
        order.sort();
        let mut weight = Some(0.0);
        let mut volume = 0.0;
        let mut parts = Vec::new();
        let mut wood: Vec<ListTotal> = Vec::new();
        for (group, index) in order {
            let part = &job.parts[index];
            let count = f64::from(part.count);
            let volume_of = |[a, b, c]: [Length; 3]| a.mm() * b.mm() * c.mm();
            let own = volume_of([part.length, part.width, part.thickness]) / 1e9 * count;
            volume += own;
            let density = species
                .find(&part.species)
                .ok()
                .map(|wood| wood.density_kg_per_m3(part.moisture));
            weight = weight
                .zip(density)
                .map(|(sum, density)| sum + own * density);
            let (rough_thickness, rough) = rough_thickness(part.thickness, job.units);
            let rough_length = part.length + ROUGH_LENGTH;
            let rough_width = part.width + ROUGH_WIDTH;
            let mm3 = volume_of([rough_length, rough_width, rough_thickness]) * count;
            let line = ListLine {
                part: part.name.clone(),
                group,
                count: part.count,
                species: part.species.clone(),
                length: part.length,
                width: part.width,
                thickness: part.thickness,
                rough_length,
                rough_width,
                rough_thickness,
                rough: rough.clone(),
                board_feet: mm3 / BOARD_FOOT_MM3,
                volume_m3: mm3 / 1e9,
            };
            let same =
                |total: &&mut ListTotal| total.species == line.species && total.rough == rough;
            match wood.iter_mut().find(same) {
                Some(total) => {
                    total.board_feet += line.board_feet;
                    total.volume_m3 += line.volume_m3;
                }
                None => wood.push(ListTotal {
                    species: line.species.clone(),
                    rough,
                    rough_thickness,
                    board_feet: line.board_feet,
                    volume_m3: line.volume_m3,
                }),
            }
            parts.push(line);
        }
        wood.sort_by(|a, b| {
            (&a.species, a.rough_thickness.mm().to_bits())
                .cmp(&(&b.species, b.rough_thickness.mm().to_bits()))
        });
        Self {
            name: job.name.clone(),
            parts,
            wood,
            weight_kg: weight,
            volume_m3: volume,
            hardware: hardware(job),
        }
    }

    /// The list in plain words.
    #[must_use]
    pub fn words(&self, system: UnitSystem) -> String {
        let size = match system {
            UnitSystem::Inch => inches,
            UnitSystem::Metric => millimetres,
        };
        let mut table = comfy_table::Table::new();
        table.load_preset(comfy_table::presets::NOTHING);
        table.set_header(["", "part", "wood", "length", "width", "thickness", "rough"]);
        let mut last: Option<&String> = None;
        for line in &self.parts {
            if line.group.as_ref() != last
                && let Some(group) = &line.group
            {
                table.add_row([String::new(), format!("{group}:")]);
            }
            last = line.group.as_ref();
            table.add_row([
                line.count.to_string(),
                line.part.clone(),
                line.species.clone(),
                size(line.length),
                size(line.width),
                size(line.thickness),
                format!(
                    "{} x {} x {}",
                    size(line.rough_length),
                    size(line.rough_width),
                    line.rough
                ),
            ]);
        }
        let mut words = format!("{}\n{table}\n\nTo buy, with allowance:\n", self.name);
        for total in &self.wood {
            words.push_str(&format!(
                "  {} {}: {:.1} board feet ({:.3} m3)\n",
                total.species, total.rough, total.board_feet, total.volume_m3
            ));
        }
        if !self.hardware.is_empty() {
            words.push_str("\nHardware:\n");
            for one in &self.hardware {
                words.push_str(&format!("  {} {} ({})\n", one.count, one.what, one.joint));
            }
        }
        if let Some(weight) = self.weight_kg {
            words.push_str(&format!(
                "\nWeight of the finished wood today: {weight:.0} kg ({:.0} lb)\n",
                weight / 0.453_592_37
            ));
        }
        words.push_str("Allowance: 25 mm in length, 6 mm in width, 5 mm in thickness (common practice, no source); defects and waste are not in it.\n");
        words
    }

    /// The parts as CSV.
    ///
    /// # Errors
    /// [`csv::Error`] when the rows cannot be written.
    pub fn csv(&self) -> Result<String, csv::Error> {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record([
            "group",
            "part",
            "count",
            "species",
            "length_mm",
            "width_mm",
            "thickness_mm",
            "rough_length_mm",
            "rough_width_mm",
            "rough_thickness_mm",
            "rough",
            "board_feet",
            "volume_m3",
        ])?;
        for line in &self.parts {
            let number = |length: Length| format!("{:.1}", length.mm());
            writer.write_record([
                line.group.clone().unwrap_or_default(),
                line.part.clone(),
                line.count.to_string(),
                line.species.clone(),
                number(line.length),
                number(line.width),
                number(line.thickness),
                number(line.rough_length),
                number(line.rough_width),
                number(line.rough_thickness),
                line.rough.clone(),
                format!("{:.2}", line.board_feet),
                format!("{:.5}", line.volume_m3),
            ])?;
        }
        let bytes = writer.into_inner().map_err(|error| error.into_error())?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }
}

/// What the joints ask for beside wood and glue.
fn hardware(job: &Job) -> Vec<Hardware> {
    let mut list: Vec<Hardware> = Vec::new();
    let mut add = |what: String, count: u32, joint: &str| {
        list.push(Hardware {
            what,
            count,
            joint: joint.to_owned(),
        });
    };
    for joint in &job.joints {
        let alike = u32::try_from(joint.bodies.len().max(1)).unwrap_or(1);
        for (what, each) in &joint.hardware {
            add(what.clone(), each * alike, &joint.name);
        }
    }
    for opening in &job.piece.openings {
        if opening.hinge.is_some() {
            add("hinges".into(), 2, &opening.name);
        }
    }
    list
}
