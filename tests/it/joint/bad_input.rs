//! Joints that cannot be made: each named, with the joint's place and the remedy.

use super::*;

fn parts() -> Vec<PartFacts> {
    vec![
        part("side", 700.0, 300.0, 20.0),
        part("shelf", 500.0, 290.0, 18.0),
        part("panel", 560.0, 320.0, 10.0),
        part("batten", 290.0, 45.0, 20.0),
    ]
}

/// The one problem of a text, which must lie at `at` and say all of `words`.
#[track_caller]
fn refused(text: &str, at: &str, words: &[&str]) {
    let problems = read(text, &parts()).map(|plans| plans.len()).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:#?}");
    let problem = &problems[0];
    let place = &text[problem.span.clone()];
    assert!(place.contains(at), "the place is `{place}`, not `{at}`");
    let given = format!("{} {}", problem.message, problem.remedy);
    for words in words {
        assert!(given.contains(words), "`{words}` is not in: {given}");
    }
    assert!(!problem.remedy.is_empty());
}

const DADO: &str = "[[joints.dado]]\ninto = \"side\"\npiece = \"shelf\"\n";

#[test]
fn more_depth_than_wood() {
    refused(
        &format!("{DADO}at = \"100mm\"\ndepth = \"20mm\"\n"),
        "20mm",
        &[
            "20.0 mm deep",
            "`side`",
            "thickness",
            "no wood is left",
            "13.3 mm at most",
        ],
    );
    refused(
        "[[joints.frame_and_panel]]\npiece = \"panel\"\ninto = \"batten\"\nopening = \"300mm\"\ndepth = \"45mm\"\n",
        "45mm",
        &["groove", "width of `batten`", "shallower"],
    );
    refused(
        "[[joints.mortise_and_tenon]]\ninto = \"batten\"\npiece = \"shelf\"\nat = \"0mm\"\ntenon_width = \"60mm\"\ndepth = \"50mm\"\n",
        "50mm",
        &["mortise", "`batten`", "45.0 mm"],
    );
    refused(
        "[[joints.rabbet]]\npiece = \"panel\"\ninto = \"side\"\nopening = \"300mm\"\nwidth = \"20mm\"\n",
        "20mm",
        &["no lip is left", "`side`", "narrower"],
    );
}

#[test]
fn outside_the_part() {
    refused(
        &format!("{DADO}at = \"690mm\"\ndepth = \"6mm\"\n"),
        "690mm",
        &["outside `side`", "reference end"],
    );
    refused(
        "[[joints.screw_slot]]\npiece = \"panel\"\ninto = \"batten\"\nfrom_fixed = \"100mm\"\nfixed = \"400mm\"\n",
        "400mm",
        &[
            "the fixed point at 400.0 mm lies outside `panel`",
            "width is 320.0 mm",
            "between 0 and",
        ],
    );
    refused(
        "[[joints.screw_slot]]\npiece = \"panel\"\ninto = \"batten\"\nfrom_fixed = \"100mm\"\nfixed = \"300mm\"\n",
        "100mm",
        &["the screw at 400.0 mm lies outside `panel`"],
    );
    refused(
        "[[joints.cleat]]\ninto = \"panel\"\npiece = \"batten\"\nscrews = \"20mm, 160mm\"\nfixed = \"330mm\"\n",
        "330mm",
        &["the fixed point", "outside `panel`"],
    );
    // the batten is centred: it begins at 15 mm
    refused(
        "[[joints.cleat]]\ninto = \"panel\"\npiece = \"batten\"\nscrews = \"10mm, 160mm\"\n",
        "10mm, 160mm",
        &["counted along the batten", "-5.0 mm", "`batten`"],
    );
    refused(
        "[[joints.floating_tenons]]\ninto = \"side\"\npiece = \"shelf\"\nat = \"20mm, 300mm\"\ntenon_width = \"20mm\"\ndepth = \"10mm\"\n",
        "20mm, 300mm",
        &["a tenon at 300.0 mm lies outside `shelf`"],
    );
}

#[test]
fn part_larger_than_its_opening() {
    refused(
        "[[joints.inset]]\npiece = \"panel\"\ninto = \"side\"\nopening = \"300mm\"\nsize = \"300mm\"\n",
        "300mm",
        &["not smaller than the opening", "smaller size"],
    );
    refused(
        "[[joints.drawer]]\npiece = \"shelf\"\ninto = \"side\"\nopening = \"280mm\"\nheight = \"290mm\"\n",
        "290mm",
        &["not lower than the opening of 280.0 mm"],
    );
    refused(
        "[[joints.mortise_and_tenon]]\ninto = \"side\"\npiece = \"batten\"\nat = \"10mm\"\ntenon_width = \"50mm\"\ndepth = \"10mm\"\n",
        "joints.mortise_and_tenon",
        &["larger than the end of `batten`", "smaller"],
    );
    refused(
        "[[joints.cross_grain]]\npiece = \"panel\"\ninto = \"batten\"\n",
        "batten",
        &["320 mm long but `batten` is 290 mm long"],
    );
    refused(
        "[[joints.cleat]]\ninto = \"batten\"\npiece = \"shelf\"\nscrews = \"20mm\"\n",
        "shelf",
        &[
            "500.0 mm long",
            "stands out beyond the edges",
            "breadboard_end",
        ],
    );
    refused(
        "[[joints.overlay]]\npiece = \"panel\"\ninto = \"side\"\nspan = \"600mm\"\ndoors = 2\nsize = \"300mm\"\n",
        "300mm",
        &["2 such doors fill or exceed the span"],
    );
    refused(
        "[[joints.frame_and_panel]]\npiece = \"panel\"\ninto = \"side\"\nopening = \"330mm\"\n",
        "panel",
        &["nothing of it is in the grooves", "cut = \"panel\""],
    );
}

#[test]
fn an_axis_that_has_no_meaning() {
    refused(
        "[[joints.sliding_dovetail]]\ninto = \"side\"\npiece = \"batten\"\npiece_axis = \"thickness\"\nat = \"100mm\"\ndepth = \"6mm\"\n",
        "thickness",
        &[
            "does not run along the thickness",
            "\"length\" or \"width\"",
        ],
    );
    refused(
        "[[joints.edge_banding]]\ninto = \"panel\"\npiece = \"batten\"\nalong = \"thickness\"\n",
        "thickness",
        &["does not run along the thickness"],
    );
    refused(
        "[[joints.inset]]\npiece = \"panel\"\npiece_axis = \"thickness\"\ninto = \"side\"\nopening = \"330mm\"\n",
        "thickness",
        &["\"width\" or \"length\""],
    );
    refused(
        "[[joints.floating_tenons]]\ninto = \"side\"\ninto_axis = \"thickness\"\npiece = \"shelf\"\nat = \"20mm\"\ntenon_width = \"10mm\"\ndepth = \"10mm\"\n",
        "thickness",
        &["a row on the inside face of `side`", "usually \"length\""],
    );
    refused(
        &format!("{DADO}face = \"edge\"\nat = \"100mm\"\ndepth = \"6mm\"\n"),
        "edge",
        &["a dado runs across a broad face", "joints.groove"],
    );
}

#[test]
fn gaps_that_contradict_each_other() {
    refused(
        "[[joints.inset]]\npiece = \"panel\"\ninto = \"side\"\nopening = \"330mm\"\nmin = \"3mm\"\nmax = \"2mm\"\n",
        "joints.inset",
        &["3.00 mm, is not below the maximum, 2.00 mm", "leave room"],
    );
    refused(
        "[[joints.frame_and_panel]]\npiece = \"panel\"\ninto = \"side\"\nopening = \"300mm\"\ndepth = \"5.5mm\"\n",
        "5.5mm",
        &[
            "no place for 5.0 mm of panel and 1.0 mm of room",
            "deepen the groove",
        ],
    );
    refused(
        "[[joints.tongue_and_groove]]\npiece = \"shelf\"\ninto = \"batten\"\ntongue = \"2mm\"\n",
        "2mm",
        &[
            "has no place for a gap of 0.5 mm and 2.0 mm in the groove",
            "longer",
        ],
    );
    refused(
        "[[joints.frame_and_panel]]\npiece = \"panel\"\ninto = \"side\"\nopening = \"300mm\"\nheld = \"edge\"\nglue_spot = \"40mm\"\n",
        "40mm",
        &["contradict each other", "leave one of the two out"],
    );
    refused(
        "[[joints.table_top_button]]\npiece = \"panel\"\nrail = \"batten\"\ninto = \"side\"\nfrom_fixed = \"150mm\"\ntongue = \"4mm\"\n",
        "4mm",
        &["cannot draw out at all", "longer"],
    );
}

/// Several joints that are wrong are all given, in the order of the file.
#[test]
fn every_problem_is_given_at_once() {
    let text = format!(
        "{DADO}at = \"690mm\"\ndepth = \"6mm\"\n{DADO}at = \"100mm\"\ndepth = \"25mm\"\n[[joints.dado]]\ninto = \"side\"\npiece = \"shelv\"\nat = \"1mm\"\ndepth = \"6mm\"\n"
    );
    let problems = read(&text, &parts()).map(|plans| plans.len()).unwrap_err();
    assert_eq!(problems.len(), 3);
    assert!(problems[2].remedy.contains("did you mean `shelf`?"));
}

/// What is left of the mistakes a joint can hold: each at its place, with its reason and its remedy.
#[test]
fn every_other_mistake_is_given_at_its_place() {
    let joint = |kind: &str, keys: &str| format!("[[joints.{kind}]]\n{keys}\n");
    let tenon = |keys: &str| {
        joint(
            "mortise_and_tenon",
            &format!("into = \"side\"\npiece = \"batten\"\n{keys}"),
        )
    };
    let grooves = |keys: &str| {
        joint(
            "frame_and_panel",
            &format!("piece = \"panel\"\ninto = \"side\"\nopening = \"300mm\"\n{keys}"),
        )
    };
    let crossing = |keys: &str| {
        joint(
            "cross_grain",
            &format!("piece = \"panel\"\ninto = \"side\"\n{keys}"),
        )
    };
    let overlay = |keys: &str| {
        joint(
            "overlay",
            &format!("piece = \"panel\"\ninto = \"side\"\nspan = \"600mm\"\n{keys}"),
        )
    };
    let bottom = |keys: &str| {
        joint(
            "drawer_bottom",
            &format!("piece = \"panel\"\ninto = \"side\"\nback = \"batten\"\n{keys}"),
        )
    };
    let rows: [(String, &str, &[&str]); 22] = [
        (
            tenon("at = \"10mm\"\ndepth = \"10mm\"\nface = \"end\""),
            "end",
            &[
                "a mortise runs along the grain",
                "\"inside\" or \"outside\"",
            ],
        ),
        (
            tenon("at = \"10mm\"\ndepth = \"10mm\"\ntenon_length = \"10.1mm\""),
            "10.1mm",
            &[
                "10.1 mm long but its mortise 10.0 mm deep",
                "shorter than the mortise",
            ],
        ),
        (
            tenon("at = \"656mm\"\ndepth = \"10mm\""),
            "656mm",
            &[
                "the mortise lies outside `side`, which is 700 mm long",
                "reference end",
            ],
        ),
        (
            tenon("at = \"-1mm\"\ndepth = \"10mm\""),
            "-1mm",
            &["the mortise lies outside", "reference end"],
        ),
        (
            tenon("at = \"10mm\"\ndepth = \"10mm\"\ntenon_thickness = \"21mm\""),
            "mortise_and_tenon",
            &["45.0 x 21.0 mm, is larger than the end of `batten`, 45.0 x 20.0 mm"],
        ),
        (
            tenon("at = \"10mm\"\ndepth = \"10mm\"\ncheek = \"14mm\""),
            "14mm",
            &[
                "a mortise 6.7 mm wide, 14.0 mm from the reference, leaves no cheek",
                "a third of the wood",
            ],
        ),
        (
            tenon("at = \"10mm\"\ndepth = \"10mm\"\ntenon_thickness = \"20mm\""),
            "side",
            &["leaves no cheek in `side`, 20.0 mm there", "thinner"],
        ),
        (
            grooves("cut = \"panel\""),
            "frame_and_panel",
            &[
                "the panel is to be cut but the groove's depth is not given",
                "give `depth`",
            ],
        ),
        (
            grooves("groove_width = \"20.5mm\""),
            "20.5mm",
            &[
                "the groove is 20.5 mm wide but `side` is 20.0 mm thick",
                "thinned to a tongue",
            ],
        ),
        (
            crossing("design = \"glue the middle\""),
            "cross_grain",
            &[
                "how much of the middle is glued is not given",
                "give `glue_over`",
            ],
        ),
        (
            crossing("design = \"glue\"\nglue_over = \"50mm\""),
            "cross_grain",
            &["`glue_over` goes with design", "leave it out"],
        ),
        (
            crossing("design = \"float\"\nglue_over = \"50mm\""),
            "cross_grain",
            &["`glue_over` goes with design", "leave it out"],
        ),
        (
            crossing("glue_over = \"321mm\""),
            "cross_grain",
            &["is no longer than the joint", "shorter than the joint"],
        ),
        (
            crossing("width = \"321mm\""),
            "cross_grain",
            &[
                "the joint is 321 mm long but `panel` is 320 mm wide",
                "within the part's own width",
            ],
        ),
        (
            crossing("from_fixed = \"321mm\""),
            "321mm",
            &[
                "a screw 321 mm from the fixed point lies outside a joint 320 mm long",
                "within the joint",
            ],
        ),
        (
            overlay("doors = 0"),
            "0",
            &["0 doors stand side by side", "give 1 to 20 doors"],
        ),
        (
            overlay("doors = 21"),
            "21",
            &["21 doors stand side by side", "give 1 to 20 doors"],
        ),
        (
            overlay("doors = 3\nheld = \"hinge\""),
            "3",
            &["3 doors stand side by side", "1 or 2 hinged doors"],
        ),
        (
            bottom("run = \"20mm\""),
            "20mm",
            &[
                "the run is no longer than the back is thick",
                "from the front groove",
            ],
        ),
        (
            bottom("run = \"310mm\"\nengagement = \"20mm\""),
            "20mm",
            &[
                "20.0 mm of the bottom cannot stay under a back 20.0 mm thick",
                "smaller `engagement`",
            ],
        ),
        (
            joint(
                "groove",
                "into = \"side\"\npiece = \"panel\"\nfrom = \"10.5mm\"\ndepth = \"6mm\"",
            ),
            "10.5mm",
            &[
                "the groove lies outside the thickness of `side`, 20.0 mm",
                "reference edge or face",
            ],
        ),
        (
            joint(
                "rabbet",
                "piece = \"panel\"\ninto = \"side\"\nopening = \"320mm\"",
            ),
            "panel",
            &[
                "320.0 mm wide today and the opening 320.0 mm: it falls through",
                "lies on both steps",
            ],
        ),
    ];
    for (text, at, words) in &rows {
        refused(text, at, words);
    }
    // A dado deeper than what stands in it is long, which no usual part is.
    let text = format!("{DADO}at = \"100mm\"\ndepth = \"6mm\"\n");
    let short = [
        part("side", 700.0, 300.0, 20.0),
        part("shelf", 6.0, 290.0, 18.0),
    ];
    let problems = read(&text, &short).map(|plans| plans.len()).unwrap_err();
    assert_eq!(problems.len(), 1);
    assert!(
        problems[0]
            .message
            .contains("6.0 mm deep but `shelf` is 6.0 mm long")
    );
    assert!(
        problems[0]
            .remedy
            .contains("shallower than the piece is long")
    );
}

/// What just fits is taken: a tenon as large as its rail, cuts that end where their part ends, a panel groove as wide as the stile, a
/// board's own width.
#[test]
fn what_just_fits_is_taken() {
    let tenon =
        "[[joints.mortise_and_tenon]]\ninto = \"side\"\npiece = \"batten\"\ndepth = \"40mm\"\n";
    for text in [
        format!("{tenon}at = \"655mm\"\ntenon_width = \"45mm\""),
        format!("{tenon}at = \"0mm\"\ntenon_length = \"40mm\""),
        format!("{tenon}at = \"10mm\"\ncheek = \"0mm\""),
        "[[joints.mortise_and_tenon]]\ninto = \"side\"\npiece = \"panel\"\nat = \"10mm\"\ndepth = \"40mm\"\ntenon_thickness = \"10mm\"".to_owned(),
        format!("{DADO}at = \"0mm\"\ndepth = \"6mm\""),
        format!("{DADO}at = \"682mm\"\ndepth = \"6mm\""),
        "[[joints.groove]]\ninto = \"side\"\npiece = \"panel\"\nfrom = \"10mm\"\ndepth = \"6mm\"".to_owned(),
        "[[joints.sliding_dovetail]]\ninto = \"side\"\npiece = \"batten\"\npiece_axis = \"length\"\nat = \"680mm\"\ndepth = \"6mm\"".to_owned(),
        "[[joints.sliding_dovetail]]\ninto = \"side\"\npiece = \"batten\"\npiece_axis = \"length\"\nat = \"0mm\"\ndepth = \"6mm\"".to_owned(),
        "[[joints.frame_and_panel]]\npiece = \"panel\"\ninto = \"side\"\nopening = \"300mm\"\ngroove_width = \"20mm\"".to_owned(),
        "[[joints.frame_and_panel]]\npiece = \"panel\"\ninto = \"side\"\nopening = \"300mm\"\ndepth = \"6mm\"".to_owned(),
        "[[joints.cross_grain]]\npiece = \"batten\"\ninto = \"side\"\nwidth = \"45mm\"\nfrom_fixed = \"45mm\"\nglue_over = \"45mm\"".to_owned(),
        "[[joints.cross_grain]]\npiece = \"panel\"\ninto = \"side\"\nwidth = \"200mm\"".to_owned(),
        "[[joints.overlay]]\npiece = \"panel\"\ninto = \"side\"\nspan = \"600mm\"\ndoors = 2\nheld = \"hinge\"".to_owned(),
        "[[joints.overlay]]\npiece = \"panel\"\ninto = \"side\"\nspan = \"600mm\"\ndoors = 20".to_owned(),
    ] {
        let found = read(&text, &parts());
        assert!(found.is_ok(), "{text}: {found:#?}");
    }
    for (text, at) in [
        ("at = \"-0.1mm\"", "-0.1mm"),
        ("at = \"680.1mm\"", "680.1mm"),
    ] {
        refused(
            &format!(
                "[[joints.sliding_dovetail]]\ninto = \"side\"\npiece = \"batten\"\npiece_axis = \"length\"\n{text}\ndepth = \"6mm\"\n"
            ),
            at,
            &[
                "the channel lies outside `side`, which is 700 mm long",
                "reference end",
            ],
        );
    }
    refused(
        "[[joints.breadboard_end]]\npiece = \"shelf\"\ninto = \"batten\"\npins = \"20mm\"\ndepth = \"10mm\"\ntenon = \"20mm\"\n",
        "20mm",
        &[
            "a tenon 20.0 mm thick has no place in `batten`, 20.0 mm thick",
            "a third of the end",
        ],
    );
    refused(
        "[[joints.breadboard_end]]\npiece = \"panel\"\ninto = \"batten\"\npins = \"20mm\"\ndepth = \"10mm\"\ntenon = \"10.1mm\"\n",
        "10.1mm",
        &["a tenon 10.1 mm thick has no place", "a third of the end"],
    );
}

/// Joints that would bear one name are distinguished by a number, and so are their fits and bonds.
#[test]
fn joints_of_one_name_are_numbered() {
    let one = format!("{DADO}name = \"shelf dado\"\nat = \"100mm\"\ndepth = \"6mm\"\n");
    let other = format!("{DADO}name = \"second dado\"\nat = \"300mm\"\ndepth = \"6mm\"\n");
    let text = [
        &one,
        &other,
        &one.replace("100mm", "500mm"),
        &one.replace("100mm", "600mm"),
    ]
    .map(String::as_str)
    .concat();
    let plans = read(&text, &parts()).unwrap();
    let names: Vec<&str> = plans.iter().map(|plan| plan.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "shelf dado",
            "second dado",
            "shelf dado (2)",
            "shelf dado (3)"
        ]
    );
    for plan in &plans {
        let own = plan
            .fits
            .iter()
            .map(|fit| &fit.name)
            .chain(plan.bonds.iter().map(|bond| &bond.name));
        for name in own {
            assert!(
                name.starts_with(plan.name.as_str()),
                "{name} of {}",
                plan.name
            );
            assert_eq!(name.contains('('), plan.name.contains('('));
        }
    }
}
