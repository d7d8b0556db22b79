//! The depth budget.

use super::*;
use heartside::joint::depth::{Cut, Opposite, cuts};
use heartside::joint::{Behind, CutFace, Housing, Setting};

fn case() -> [PartFacts; 3] {
    [
        part("divider", 700.0, 300.0, 20.0),
        part("left shelf", 500.0, 290.0, 18.0),
        part("right shelf", 500.0, 290.0, 18.0),
    ]
}

fn two_dados(left: (&str, &str), right: (&str, &str)) -> String {
    format!(
        "[[joints.dado]]\ninto = \"divider\"\npiece = \"left shelf\"\nface = \"inside\"\nat = \"{}\"\ndepth = \"{}\"\n\
         [[joints.dado]]\ninto = \"divider\"\npiece = \"right shelf\"\nface = \"outside\"\nat = \"{}\"\ndepth = \"{}\"\n",
        left.0, left.1, right.0, right.1
    )
}

/// 20 mm, 7 from one face and 6 from the other at nearly the same height: 7 are left. Apart: 13 and 14.
#[test]
fn cuts_from_both_faces_add_where_they_overlap() {
    let parts = case();
    let left_of = |right_at: &str| -> Vec<f64> {
        let plans = read(&two_dados(("300mm", "7mm"), (right_at, "6mm")), &parts).unwrap();
        let sizes: Vec<Vec<f64>> = plans
            .iter()
            .map(|plan| plan.still_cuts_mm(&Motion::still(3, 1)))
            .collect();
        let all = cuts(&plans, &sizes);
        all.iter()
            .map(|cut| {
                cut.wood_left(&Opposite::new(&all), &parts[0])
                    .unwrap()
                    .left
                    .mm()
            })
            .collect()
    };
    assert_eq!(left_of("310mm"), [7.0, 7.0]);
    // the first dado ends at 318.075
    assert_eq!(left_of("318mm"), [7.0, 7.0]);
    assert_eq!(left_of("319mm"), [13.0, 14.0]);
}

/// From both faces 12 and 8 mm deep into 20 mm: refused, at the second of the two, with both named.
#[test]
fn cuts_that_meet_are_refused() {
    let text = two_dados(("300mm", "12mm"), ("305mm", "8mm"));
    let problems = read(&text, &case()).unwrap_err();
    assert_eq!(problems.len(), 1);
    let problem = &problems[0];
    // the header of the second joint
    assert_eq!(problem.span.start, text.rfind("[[joints.dado]]").unwrap());
    for words in [
        "left shelf in divider",
        "right shelf in divider",
        "12.0 mm",
        "8.0 mm",
        "20.0 mm",
    ] {
        assert!(
            problem.message.contains(words),
            "{words}: {}",
            problem.message
        );
    }
    assert!(problem.remedy.contains("shallower"));
    // the same cuts apart are sound
    assert!(read(&two_dados(("300mm", "12mm"), ("400mm", "8mm")), &case()).is_ok());
}

/// A third of 20 mm is more than 5 mm, so that 5 mm is the limit; of 9 mm a third is 3.
#[test]
fn thin_wood_is_less_than_five_millimetres_or_a_third() {
    use heartside::joint::WoodLeft;
    let left = |left: f64, wood: f64| WoodLeft {
        left: mm(left),
        wood: mm(wood),
        opposite: mm(0.0),
        opposite_joint: None,
    };
    assert!(left(4.9, 20.0).is_thin() && !left(5.1, 20.0).is_thin());
    assert!(left(2.9, 9.0).is_thin() && !left(3.1, 9.0).is_thin());
    assert!(left(0.0, 9.0).is_through() && !left(0.1, 9.0).is_through());
}

/// A cut by hand into part 0: where, its face, along which axis, what is behind it.
fn housing(face: CutFace, along: Axis, behind: Behind) -> Housing {
    Housing {
        part: PartId(0),
        what: "a cut",
        face,
        from_reference: Setting::Known(mm(0.0)),
        width: Setting::Known(mm(0.0)),
        depth: Setting::Known(mm(0.0)),
        along,
        behind,
        takes: None,
        count: 1,
    }
}

fn cut(joint: usize, housing: &Housing, from: f64, width: f64, depth: f64) -> Cut<'_> {
    Cut {
        joint,
        housing,
        from: mm(from),
        width: mm(width),
        depth: mm(depth),
    }
}

/// Only cuts from opposite broad faces of one part that overlap take wood from behind each other; of several the deepest counts. Cuts
/// that only touch do not overlap; cuts along different axes cross somewhere.
#[test]
fn wood_behind_a_cut_is_taken_by_opposite_cuts_that_overlap() {
    let divider = part("divider", 700.0, 300.0, 20.0);
    let bottom = |face, along| housing(face, along, Behind::Bottom);
    let inside = bottom(CutFace::Inside, Axis::Length);
    let outside = bottom(CutFace::Outside, Axis::Length);
    let first = cut(0, &inside, 300.0, 18.0, 7.0);
    let behind = |other: &Cut<'_>| -> (f64, Option<usize>) {
        let all = [first, *other];
        let left = first.wood_left(&Opposite::new(&all), &divider).unwrap();
        assert_eq!(left.left, mm(20.0) - mm(7.0) - left.opposite);
        (left.opposite.mm(), left.opposite_joint)
    };
    let met = (6.0, Some(1));
    let apart = (0.0, None);
    for (from, width, found) in [
        (317.9, 18.0, met),
        (318.0, 18.0, apart),
        (282.1, 18.0, met),
        (282.0, 18.0, apart),
        (305.0, 2.0, met),
        (200.0, 400.0, met),
        (500.0, 18.0, apart),
    ] {
        assert_eq!(behind(&cut(1, &outside, from, width, 6.0)), found, "{from}");
    }
    // Another part, the same face, an edge, an end, a cut that is meant to go through.
    let elsewhere = Housing {
        part: PartId(1),
        ..outside.clone()
    };
    let through = Housing {
        behind: Behind::Nothing,
        ..outside.clone()
    };
    let edge = bottom(CutFace::Edge, Axis::Length);
    let end = bottom(CutFace::End, Axis::Width);
    for other in [&elsewhere, &inside, &edge, &end, &through] {
        assert_eq!(behind(&cut(1, other, 300.0, 18.0, 6.0)), apart);
    }
    // A cut into the edge has nothing behind it that a broad face's cut could take.
    let in_edge = cut(0, &edge, 300.0, 18.0, 7.0);
    let left = in_edge.wood_left(
        &Opposite::new(&[cut(1, &outside, 300.0, 18.0, 6.0)]),
        &divider,
    );
    assert_eq!(left.unwrap().left, mm(300.0 - 7.0));
    // A groove across a dado crosses it, wherever it runs.
    let groove = bottom(CutFace::Outside, Axis::Width);
    assert_eq!(behind(&cut(1, &groove, 5.0, 6.0, 6.0)), met);
    // A rabbet counts its lip along the thickness: two of them always meet.
    let rabbets = [CutFace::Inside, CutFace::Outside].map(|face| bottom(face, Axis::Thickness));
    let (one, other) = (
        cut(0, &rabbets[0], 0.0, 5.0, 7.0),
        cut(1, &rabbets[1], 9.0, 5.0, 6.0),
    );
    assert_eq!(
        one.wood_left(&Opposite::new(&[other]), &divider)
            .unwrap()
            .opposite,
        mm(6.0)
    );
    // Of two the deeper one.
    let all = [
        first,
        cut(1, &outside, 300.0, 18.0, 4.0),
        cut(2, &outside, 310.0, 18.0, 9.0),
        cut(3, &outside, 290.0, 18.0, 8.0),
    ];
    let left = first.wood_left(&Opposite::new(&all), &divider).unwrap();
    assert_eq!((left.left, left.opposite_joint), (mm(4.0), Some(2)));
}

/// Behind a lip stands what its width leaves; a cut that is meant to go through leaves nothing to judge.
#[test]
fn a_lip_is_what_the_width_leaves() {
    let frame = part("frame", 700.0, 60.0, 20.0);
    let lip = housing(CutFace::Inside, Axis::Thickness, Behind::Lip);
    let left = cut(0, &lip, 0.0, 12.0, 9.0)
        .wood_left(&Opposite::default(), &frame)
        .unwrap();
    assert_eq!((left.left, left.wood), (mm(8.0), mm(20.0)));
    assert_eq!((left.opposite, left.opposite_joint), (mm(0.0), None));
    let through = housing(CutFace::Inside, Axis::Length, Behind::Nothing);
    assert_eq!(
        cut(0, &through, 0.0, 12.0, 9.0).wood_left(&Opposite::default(), &frame),
        None
    );
}
