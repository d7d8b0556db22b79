//! Ends with known rings that were drawn apart from this program (`data/endgrain/README.md`): is the accuracy reached that the
//! method promises?

use heartside::movement::{Face, RingStrains};
use heartside::page::read_photo;
use heartside::rings::{BarkFace, Corners, EndSize, Photo, RingsPhoto, find_corners, read_rings};
use heartside::units::{Length, Strain};
use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::LazyLock;

pub(super) struct Known {
    pub file: String,
    pub row: HashMap<String, String>,
    pub photo: Photo,
    pub corners: Corners,
    pub size: EndSize,
    pub found: RingsPhoto,
}

pub(super) fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/it/data/endgrain")
}

impl Known {
    pub(super) fn number(&self, key: &str) -> f64 {
        self.row[key].parse().unwrap()
    }

    /// The pith found, mm from the center line and from the lower face.
    fn pith(&self) -> (f64, f64) {
        let (x, z) = self.found.readings[0].pith().unwrap();
        (x.mm(), z.mm())
    }

    /// Root mean square difference to other ring directions over the places of the table.
    fn against(&self, direction: impl Fn(usize, usize, f64, f64) -> f64) -> f64 {
        let (px, pz) = self.pith();
        let (width, thickness) = (self.size.width().mm(), self.size.thickness().mm());
        let (mut sum, mut count) = (0.0, 0.0);
        for zz in [15, 50, 85] {
            for j in 0..9 {
                let x = width * (-0.46 + 0.115 * j as f64);
                let z = thickness * zz as f64 / 100.0;
                if (x - self.number("pith_x")).hypot(z - self.number("pith_z")) < 6.0 {
                    continue;
                }
                let off = direction_about(px, pz, x, z) - direction(zz, j, x, z);
                sum += (off - 180.0 * (off / 180.0_f64).round()).powi(2);
                count += 1.0;
            }
        }
        (sum / count).sqrt()
    }

    fn heart_is_low(&self) -> bool {
        self.row["heart"] == "lower"
    }

    fn bark(&self) -> BarkFace {
        if self.heart_is_low() {
            BarkFace::Up
        } else {
            BarkFace::Down
        }
    }
}

fn direction_about(px: f64, pz: f64, x: f64, z: f64) -> f64 {
    (-(x - px)).atan2(z - pz).to_degrees()
}

pub(super) static KNOWN: LazyLock<Vec<Known>> = LazyLock::new(|| {
    let mut table = csv::Reader::from_path(folder().join("truth.csv")).unwrap();
    table
        .deserialize()
        .map(|row| {
            let row: HashMap<String, String> = row.unwrap();
            let number = |key: &str| -> f64 { row[key].parse().unwrap() };
            let file = row["file"].clone();
            let photo = read_photo(&std::fs::read(folder().join(&file)).unwrap()).unwrap();
            let corner = |name: &str| [number(&format!("{name}_x")), number(&format!("{name}_y"))];
            let corners = Corners::new(["tl", "tr", "br", "bl"].map(corner)).unwrap();
            let length = |key| Length::from_mm(number(key)).unwrap();
            let size = EndSize::new(length("width_mm"), length("thick_mm")).unwrap();
            let found = read_rings(&photo, &corners, &size).unwrap();
            Known {
                file,
                row,
                photo,
                corners,
                size,
                found,
            }
        })
        .collect()
});

pub(super) fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// The limits of the method's own sheet: median 2.4 degrees, and 6 degrees on all but the strongly saw-marked one.
#[test]
fn ring_directions_are_right_within_a_few_degrees() {
    let off: Vec<f64> = KNOWN
        .iter()
        .map(|end| end.against(|zz, j, _, _| end.number(&format!("ring_{zz}_{j}"))))
        .collect();
    let wrong: Vec<&str> = KNOWN
        .iter()
        .zip(&off)
        .filter(|(_, off)| **off > 6.0)
        .map(|(end, _)| end.file.as_str())
        .collect();
    assert_eq!(wrong, ["t_syn_01.jpg"], "{off:?}");
    assert!(median(off.clone()) <= 2.4, "{off:?}");
}

/// Written again from the same description, two programs find the same pith.
#[test]
fn the_prototype_of_the_method_found_the_same() {
    for end in KNOWN.iter().filter(|end| end.number("ref_gap") > 0.05) {
        let (x, z) = (end.number("ref_x"), end.number("ref_z"));
        let off = end.against(|_, _, px, pz| direction_about(x, z, px, pz));
        assert!(off <= 1.0, "{}: {off} degrees", end.file);
    }
}

#[test]
fn depth_and_cup_are_right_and_their_bands_hold_the_truth() {
    // Black walnut from 10 to 6 %, as in the table.
    let strains = RingStrains {
        radial: Strain::from_ratio(-0.007_612_5).unwrap(),
        tangential: Strain::from_ratio(-0.010_970_5).unwrap(),
    };
    let (mut depths, mut cups) = (Vec::new(), Vec::new());
    let (mut depth_held, mut cup_held) = (0, 0);
    for end in KNOWN.iter() {
        let reading = &end.found.readings[0];
        let depth = reading.depth_mm(end.bark());
        let truth = end.number("app_depth");
        depths.push((depth.middle - truth).abs() / end.size.width().mm());
        depth_held += usize::from(depth.holds(truth));
        let Ok(cup) = end.row["cup_bark_mm"].parse::<f64>() else {
            assert!(reading.pith_inside(), "{}", end.file);
            assert_eq!(reading.cup_mm(end.bark(), Face::Bark, strains), None);
            continue;
        };
        if cup.abs() <= 4e-4 * end.size.width().mm() {
            continue;
        }
        // The table counts up in the photo, the section away from the heart; and hollow is positive.
        let cup = if end.heart_is_low() { -cup } else { cup };
        let band = reading.cup_mm(end.bark(), Face::Bark, strains).unwrap();
        cups.push((band.middle - cup).abs() / cup.abs());
        cup_held += usize::from(band.holds(cup));
    }
    assert!(median(depths.clone()) <= 0.015, "{depths:?}");
    assert!(depth_held >= 9, "{depth_held} of {}", KNOWN.len());
    assert!(median(cups.clone()) <= 0.025, "{cups:?}");
    let right = cups.iter().filter(|off| **off <= 0.1).count();
    assert!(5 * right >= 4 * cups.len(), "{cups:?}");
    assert!(
        4 * cup_held >= 3 * cups.len(),
        "{cup_held} of {}",
        cups.len()
    );
}

#[test]
fn the_heart_face_is_found() {
    for end in KNOWN.iter().filter(|end| end.file != "t_syn_01.jpg") {
        let (bark, sure) = end.found.readings[0].bark_face();
        assert_eq!(bark, end.bark(), "{}", end.file);
        // With the pith inside, either face may be the nearer.
        let inside = end.found.readings[0].pith_inside();
        assert!(inside || sure > 90.0, "{}: {sure}", end.file);
    }
}

#[test]
fn the_same_photo_gives_the_same_bits() {
    for end in KNOWN.iter().take(2) {
        let again = read_rings(&end.photo, &end.corners, &end.size).unwrap();
        assert_eq!(again, end.found, "{}", end.file);
    }
}

#[test]
fn the_corners_are_found_within_half_a_hundredth_of_the_width() {
    for end in KNOWN.iter() {
        let found = find_corners(&end.photo).unwrap();
        let truth = end.corners.points();
        let width = truth[1][0] - truth[0][0];
        for (found, truth) in found.points().iter().zip(truth) {
            let off = (found[0] - truth[0]).hypot(found[1] - truth[1]);
            assert!(off <= 0.005 * width, "{}: {off} px", end.file);
        }
    }
}

/// A photo half the size, and one turned upside down, show the same board.
#[test]
fn a_turned_photo_shows_the_same_board_from_the_other_side_up() {
    let end = &KNOWN[5];
    let (width, height) = (end.photo.width(), end.photo.height());
    let turned: Vec<u8> = end.photo.rgb().rchunks(3).flatten().copied().collect();
    let photo = Photo::new(width, height, turned).unwrap();
    let point = |[x, y]: [f64; 2]| [(width - 1) as f64 - x, (height - 1) as f64 - y];
    let [tl, tr, br, bl] = *end.corners.points();
    let corners = Corners::new([br, bl, tl, tr].map(point)).unwrap();
    let found = read_rings(&photo, &corners, &end.size).unwrap();
    let (one, other) = (&end.found.readings[0], &found.readings[0]);
    assert_ne!(one.bark_face().0, other.bark_face().0);
    let (bark, other_bark) = (one.bark_face().0, other.bark_face().0);
    let near = |a: f64, b: f64, by: f64| assert!((a - b).abs() < by, "{a} and {b}");
    near(
        one.depth_mm(bark).middle,
        other.depth_mm(other_bark).middle,
        1.0,
    );
    near(
        one.offset_mm(bark).middle,
        other.offset_mm(other_bark).middle,
        1.0,
    );
    for share in [-1.0, 0.0, 1.0] {
        let angle = |reading: &heartside::rings::RingsReading, bark| {
            reading.angle_degrees(share, bark).middle
        };
        near(angle(one, bark), angle(other, other_bark), 0.5);
    }
}
