//! End points drawn equal the data: read back from the SVG with the scale its reader sees.

use super::samples::{
    around, gap, kept, leaves, moisture, rest, section_of, shelf, straight, straighten, strip,
};
use heartside::chart::{Limit, WoodTone};
use heartside::movement::Face;
use heartside::units::{Length, UnitSystem};
use roxmltree::{Document, Node};

/// Three sub-pixels: the point, the two marks that give the scale, and what was left out as straight.
const PIXEL: f64 = 0.25;

fn classed<'a>(document: &'a Document<'a>, class: &str) -> Vec<Node<'a, 'a>> {
    document
        .descendants()
        .filter(|node| node.attribute("class") == Some(class))
        .collect()
}

fn points(node: Node) -> Vec<(f64, f64)> {
    node.attribute("points")
        .unwrap()
        .split(' ')
        .map(|pair| {
            let (x, y) = pair.split_once(',').unwrap();
            (x.parse().unwrap(), y.parse().unwrap())
        })
        .collect()
}

fn words(node: Node) -> String {
    node.descendants()
        .filter_map(|n| n.text().filter(|_| n.is_text()))
        .collect()
}

/// A figure as its reader takes it: the height of two labelled marks gives the scale.
struct Read {
    days: (f64, f64),
    heights: ((f64, f64), (f64, f64)),
}

impl Read {
    fn of(document: &Document, unit: impl Fn(&str) -> f64) -> Self {
        let group = &classed(document, "hs-scale")[0];
        let lines = group
            .children()
            .filter(|n| n.attribute("class") == Some("hs-grid"));
        let labels = group.children().filter(|n| n.has_tag_name("text"));
        let marks: Vec<(f64, f64)> = lines
            .zip(labels)
            .map(|(line, label)| (points(line)[0].1, unit(&words(label))))
            .collect();
        let axis = classed(document, "hs-axis")
            .into_iter()
            .map(points)
            .find(|p| p[0].1 == p[1].1)
            .unwrap();
        Self {
            days: (axis[0].0, axis[1].0),
            heights: (marks[0], marks[marks.len() - 1]),
        }
    }

    fn px_per_unit(&self) -> f64 {
        let (a, b) = self.heights;
        (a.0 - b.0) / (b.1 - a.1)
    }

    fn value(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let (a, _) = self.heights;
        (
            (x - self.days.0) / (self.days.1 - self.days.0) * 365.0,
            a.1 + (a.0 - y) / self.px_per_unit(),
        )
    }

    /// Every vertex is a day's value, and between vertices the curve keeps to the data.
    fn assert_is(&self, curve: &[(f64, f64)], first_day: usize, data: &[f64]) {
        let read: Vec<(f64, f64)> = curve.iter().map(|p| self.value(*p)).collect();
        let off = |day: f64, value: f64| {
            let data = data[(day - 0.5 - first_day as f64).round() as usize];
            assert!(
                (value - data).abs() * self.px_per_unit() < PIXEL,
                "day {day}: drawn {value}, is {data}"
            );
        };
        for (day, value) in &read {
            off(*day, *value);
        }
        for pair in read.windows(2) {
            for day in pair[0].0.round() as usize + 1..pair[1].0.round() as usize {
                let day = day as f64 + 0.5;
                let share = (day - pair[0].0) / (pair[1].0 - pair[0].0);
                off(day, pair[0].1 + share * (pair[1].1 - pair[0].1));
            }
        }
        // A day is 0.8 pixels wide in the narrow figures, drawn to a sixteenth at either end.
        assert!((read[0].0 - first_day as f64 - 0.5).abs() < 0.2);
        assert!((read[read.len() - 1].0 - (first_day + data.len()) as f64 + 0.5).abs() < 0.2);
    }
}

#[test]
fn the_moisture_year_is_the_data() {
    let figure = moisture();
    let svg = kept(&figure.draw("moisture-top"));
    let document = Document::parse(&svg).unwrap();
    let read = Read::of(&document, |label| label.parse().unwrap());
    read.assert_is(
        &points(classed(&document, "hs-curve")[0]),
        0,
        &figure.mean_percent,
    );
    let edges = classed(&document, "hs-band-edge");
    let band = figure.band_percent.unwrap();
    read.assert_is(&points(edges[0]), 0, &band.low);
    read.assert_is(&points(edges[1]), 0, &band.high);
    // The first year starts on 20 November and goes on from January at the left.
    let first = figure.first_year.unwrap();
    let runs = classed(&document, "hs-first-year");
    read.assert_is(&points(runs[0]), 323, &first.value[..42]);
    read.assert_is(&points(runs[1]), 0, &first.value[42..]);
}

#[test]
fn the_gap_is_the_data_in_millimetres() {
    let figure = gap();
    let svg = kept(&figure.draw("gap-groove", UnitSystem::Metric));
    let document = Document::parse(&svg).unwrap();
    let read = Read::of(&document, |label| label.parse().unwrap());
    read.assert_is(
        &points(classed(&document, "hs-curve")[0]),
        0,
        &figure.gap_mm,
    );
    let limits = classed(&document, "hs-limit");
    for end in points(limits[0]) {
        assert!((read.value(end).1 - 1.0).abs() * read.px_per_unit() < PIXEL);
    }
    let Some(Limit::Daily(max)) = figure.max else {
        panic!()
    };
    read.assert_is(&points(limits[1]), 0, &max);
    let cut = classed(&document, "hs-today")[0];
    let at = |name| cut.attribute(name).unwrap().parse::<f64>().unwrap();
    let (day, value) = read.value((at("cx"), at("cy")));
    assert!((day - 0.5).abs() < 0.2);
    assert!((value - figure.gap_mm[0]).abs() * read.px_per_unit() < PIXEL);
}

/// `1 3⁄8` as it stands beside a mark, in millimetres.
fn inches(label: &str) -> f64 {
    let sum: f64 = label
        .split(' ')
        .map(|piece| match piece.split_once('\u{2044}') {
            Some((above, below)) => above.parse::<f64>().unwrap() / below.parse::<f64>().unwrap(),
            None => piece.parse().unwrap(),
        })
        .sum();
    25.4 * sum
}

#[test]
fn the_gap_is_the_data_in_inches() {
    let figure = gap();
    let svg = kept(&figure.draw("gap-groove-inch", UnitSystem::Inch));
    let document = Document::parse(&svg).unwrap();
    let read = Read::of(&document, inches);
    read.assert_is(
        &points(classed(&document, "hs-curve")[0]),
        0,
        &figure.gap_mm,
    );
}

#[test]
fn the_section_is_drawn_to_scale_and_its_change_as_many_times_larger_as_said() {
    for (id, rings, tone) in [
        ("section-flat", around(60.0, 0.0), WoodTone::Brown),
        ("section-off-centre", around(20.0, 90.0), WoodTone::Pale),
        ("section-rift", straight(45.0), WoodTone::Tan),
    ] {
        let figure = section_of(rings, 300.0, 22.0, tone);
        let svg = kept(&figure.draw(id, UnitSystem::Inch));
        let document = Document::parse(&svg).unwrap();
        let times = figure.exaggeration();
        assert!(svg.contains(&format!("drawn {times} times larger")), "{id}");
        let outline = |group: Node| {
            let found = group
                .children()
                .find(|n| n.attribute("class") == Some("hs-outline"))
                .unwrap();
            points(found)
        };
        // 33 points a face: corners at 0, 32, 33 and 65.
        let width = |face: &[(f64, f64)], a: usize, b: usize| {
            (face[b].0 - face[a].0).hypot(face[b].1 - face[a].1)
        };
        let before = outline(classed(&document, "hs-before")[0]);
        let px_per_mm = width(&before, 0, 32) / 300.0;
        assert!((width(&before, 32, 33) / px_per_mm - 22.0).abs() < PIXEL);
        for (group, state) in classed(&document, "hs-after")
            .into_iter()
            .zip(&figure.states)
        {
            let after = outline(group);
            let moved = state.moved.unwrap();
            let drawn = (width(&after, 0, 32) / px_per_mm - 300.0) / times + 300.0;
            let heart = moved.width(Face::Heart).mm();
            assert!(
                (drawn - heart).abs() * px_per_mm < PIXEL,
                "{id}: {drawn} for {heart}"
            );
            // The middle of the heart face stands over its chord by its rise, so many times larger.
            let rise = (after[0].1 + after[32].1) / 2.0 - after[16].1;
            let true_rise = moved.rise_at(Face::Heart, Length::ZERO).mm();
            assert!(
                (rise / px_per_mm / times - true_rise).abs() * px_per_mm < PIXEL,
                "{id}: {rise}"
            );
        }
    }
}

/// Pixels to a millimetre along the ruler, and how many times larger the figure says heights are.
fn ruler(document: &Document, unit: impl Fn(&str) -> f64) -> (f64, f64) {
    let group = classed(document, "hs-ruler")[0];
    let labels: Vec<Node> = group
        .children()
        .filter(|n| n.has_tag_name("text"))
        .collect();
    let at = |n: &Node| n.attribute("x").unwrap().parse::<f64>().unwrap();
    // The last label is the unit's name.
    let (first, last) = (labels[0], labels[labels.len() - 2]);
    let px = (at(&last) - at(&first)) / (unit(&words(last)) - unit(&words(first)));
    let said = document
        .descendants()
        .filter(|n| n.has_tag_name("text"))
        .map(words);
    let times = said
        .filter_map(|text| {
            text.strip_prefix("heights drawn ")?
                .strip_suffix(" times larger")?
                .parse()
                .ok()
        })
        .next()
        .unwrap_or(1.0);
    (px, times)
}

fn metric(label: &str) -> f64 {
    label.replace('\u{2212}', "-").parse().unwrap()
}

/// The middle of a strip drawn as an outline (upper edge there, lower edge back), at a vertex of its upper edge.
fn strip_middle(outline: &[(f64, f64)], i: usize) -> f64 {
    let n = (outline.len() - 1) / 2;
    (outline[i].1 + outline[2 * n - 1 - i].1) / 2.0
}

fn outline_in(group: Node) -> Vec<(f64, f64)> {
    points(
        group
            .children()
            .find(|n| n.attribute("class") == Some("hs-outline"))
            .unwrap(),
    )
}

#[test]
fn leaves_bow_by_their_bow_with_the_marked_face_hollow() {
    let figure = leaves();
    let svg = kept(&figure.draw("leaves-drawn", UnitSystem::Metric));
    let document = Document::parse(&svg).unwrap();
    let (px, times) = ruler(&document, metric);
    // The uppermost leaf is drawn first.
    for (group, leaf) in classed(&document, "hs-leaf")
        .into_iter()
        .zip(figure.leaves.iter().rev())
    {
        let outline = outline_in(group);
        let n = (outline.len() - 1) / 2;
        let rise = (strip_middle(&outline, 0) - strip_middle(&outline, n / 2)) / px / times;
        // A hollow upper face means the middle lies low.
        let expected = if leaf.sawn_above {
            -leaf.bow.mm()
        } else {
            leaf.bow.mm()
        };
        assert!(
            (rise - expected).abs() * px * times < PIXEL,
            "{}: {rise} for {expected}",
            leaf.name
        );
    }
}

#[test]
fn the_held_panel_and_the_shelf_lie_where_the_data_say() {
    let figure = straighten();
    let svg = kept(&figure.draw("straighten-drawn", UnitSystem::Metric));
    let document = Document::parse(&svg).unwrap();
    let times: f64 = document
        .descendants()
        .filter(|n| n.has_tag_name("text"))
        .find_map(|n| {
            words(n)
                .strip_prefix("heights drawn ")?
                .strip_suffix(" times larger")?
                .parse()
                .ok()
        })
        .unwrap();
    let free = points(classed(&document, "hs-free")[0].first_child().unwrap());
    let px = (free[60].0 - free[0].0) / 900.0;
    assert!(((free[0].1 - free[30].1) / px / times - 6.0).abs() * px * times < PIXEL);
    let held = outline_in(classed(&document, "hs-held")[0]);
    let highest = (0..=60)
        .map(|i| strip_middle(&held, i))
        .fold(f64::INFINITY, f64::min);
    let residual_bow = (strip_middle(&held, 0) - highest) / px / times;
    // The divider brings the middle back to the line; the residual bow is the leftover.
    assert!((strip_middle(&held, 30) - strip_middle(&held, 0)).abs() < PIXEL);
    assert!(
        (residual_bow - figure.leftover.mm()).abs() * px * times < PIXEL,
        "{residual_bow}"
    );

    let figure = shelf();
    let svg = kept(&figure.draw("shelf-drawn", UnitSystem::Metric));
    let document = Document::parse(&svg).unwrap();
    let (px, times) = ruler(&document, metric);
    let first = outline_in(classed(&document, "hs-first")[0]);
    let years = points(classed(&document, "hs-years")[0].first_child().unwrap());
    for (i, p) in figure.points.iter().enumerate() {
        let sag = (strip_middle(&first, i) - strip_middle(&first, 0)) / px / times;
        assert!((sag - p.at_first.mm()).abs() * px * times < PIXEL);
        let sag = (years[i].1 - years[0].1) / px / times;
        assert!((sag - p.after_years.mm()).abs() * px * times < PIXEL);
    }
}

#[test]
fn the_gap_of_the_strip_opens_where_it_was_read() {
    for gap in [1.2, -0.9] {
        let svg = kept(&strip(gap).draw(&format!("strip{gap}"), UnitSystem::Metric));
        let document = Document::parse(&svg).unwrap();
        let (px, times) = ruler(&document, metric);
        let faces: Vec<_> = classed(&document, "hs-fresh")
            .into_iter()
            .map(points)
            .collect();
        // Every second point of a toothed line lies on the face itself.
        let open = |i: usize| (faces[1][i].1 - faces[0][i].1) / px / times;
        let (end, middle) = (open(0), open(24));
        let expected = if gap > 0.0 { (0.0, gap) } else { (-gap, 0.0) };
        assert!((end - expected.0).abs() * px * times < PIXEL, "{end}");
        assert!((middle - expected.1).abs() * px * times < PIXEL, "{middle}");
    }
}

#[test]
fn the_bow_at_rest_is_the_data() {
    let figure = rest();
    let svg = kept(&figure.draw("rest-drawn", UnitSystem::Metric));
    let document = Document::parse(&svg).unwrap();
    let read = Read::of(&document, metric);
    for (x, y) in points(classed(&document, "hs-curve")[0]) {
        let (share, value) = read.value((x, y));
        let day = share / 365.0 * 60.0;
        assert!((day - day.round()).abs() < 0.05);
        assert!((value - figure.mm[day.round() as usize]).abs() * read.px_per_unit() < PIXEL);
    }
}
