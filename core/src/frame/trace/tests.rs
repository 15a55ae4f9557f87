//! Records as they come, and what is refused in them.

use super::*;
use crate::prescription::Eye;
use crate::units::{Angle, Length};
use std::format;
use std::string::{String, ToString};
use std::vec::Vec;

/// Reads all of `text`.
fn traced(text: &str) -> Result<Traced, Refusal> {
    let mut reader = Reader::default();
    for line in lines(text) {
        reader.push(line)?;
    }
    reader.finish()
}

/// The line and the text of what is wrong with `text`.
fn refusal(text: &str) -> (u32, String) {
    let refusal = traced(text).unwrap_err();
    (refusal.line, refusal.to_string())
}

/// The events of `text`, which must be right.
fn events(text: &str) -> Vec<Event<'_>> {
    let mut reader = Reader::default();
    let events = lines(text).map(|line| reader.push(line).unwrap()).collect();
    reader.finish().unwrap();
    events
}

fn pair(text: &str) -> [Option<i32>; 2] {
    match events(text)[..] {
        [Event::Pair(_, pair)] => Eye::BOTH.map(|eye| pair.of(eye).map(Length::milli)),
        ref other => panic!("{other:?}"),
    }
}

const EIGHT: &str = "R=2000;2100;2200;2300\nR=2400;2300;2200;2100\n";

#[test]
fn a_side_may_be_missing_or_unknown() {
    assert_eq!(pair("IPD=33;"), [Some(33_000), None]);
    assert_eq!(pair("IPD=;33"), [None, Some(33_000)]);
    assert_eq!(pair("IPD=?;33.25"), [None, Some(33_250)]);
    assert_eq!(pair("FCOCUP=-6.01; 2 "), [Some(-6010), Some(2000)]);
    assert_eq!(events("DBL=?"), [Event::Bridge(None)]);
}

#[test]
fn one_value_of_two_is_asked_about_not_guessed() {
    let (line, said) = refusal("DBL=18\nIPD=33\n");
    assert_eq!(line, 2);
    assert!(said.contains("IPD has one value") && said.contains("`33;` for the right alone"), "{said}");
    assert!(refusal("HBOX=50;50;50").1.contains("more than two values"));
    assert!(refusal("HBOX=50;50,4").1.contains("HBOX, value 2"), "a comma is no decimal point");
}

#[test]
fn what_is_not_known_is_kept_as_it_came() {
    let kept = |label, value| Event::Kept { label, value };
    assert_eq!(
        events("_OWN=a;b=c\nFTYP=3\nLNAM= Größe \nETYP=3;3;3\n"),
        [kept("_OWN", "a;b=c"), kept("FTYP", "3"), kept("LNAM", " Größe "), kept("ETYP", "3;3;3")]
    );
    assert_eq!(refusal("DBL=18\r\njust words\r\n").0, 2);
}

#[test]
fn a_ring_of_thickness_does_not_pass_for_a_trace() {
    let text =
        format!("STHKFMT=1;4;E;R\nR=2000;2000;2000;2000\nT=200;210;200;210\nTRCFMT=1;8;E;L;F\n{EIGHT}");
    let traced = traced(&text).unwrap();
    assert_eq!(traced.radius.map(|header| header.map(|header| header.points)), [None, Some(8)]);
    assert_eq!(events(&text)[1], Event::Kept { label: "R", value: "2000;2000;2000;2000" });
}

#[test]
fn every_format_but_plain_text_is_refused_by_its_number() {
    for format in [0, 2, 3, 4, 5, 6] {
        let (line, said) = refusal(&format!("JOB=1\nTRCFMT={format};360;E;R;F\n"));
        assert_eq!(line, 2);
        assert!(said.contains(&format!("format {format} is not read: expected format 1")), "{said}");
    }
    assert!(refusal("TRCFMT=;360;E;R;F").1.contains("does not begin with a format"));
    assert!(refusal("ZFMT=4;360;E;R;F").1.contains("ZFMT format 4"));
}

#[test]
fn a_header_says_what_would_be_right() {
    for (header, said) in [
        ("1;360;E", "3 fields"),
        ("1;360;E;R;F;9", "6 fields"),
        ("1;x;E;R;F", "no number of points"),
        ("1;7;E;R;F", "7 points: expected 8 to 10000"),
        ("1;99999;E;R;F", "99999 points"),
        ("1;360;X;R;F", "spacing is X: expected E"),
        ("1;360;;R;F", "spacing is missing"),
        ("1;360;E;B;F", "side is B: expected R or L"),
    ] {
        let (line, text) = refusal(&format!("TRCFMT={header}\n"));
        assert_eq!(line, 1);
        assert!(text.contains(said), "{header}: {text}");
    }
    // The type may be missing.
    assert!(traced(&format!("TRCFMT=1;8;E;R\n{EIGHT}")).is_ok());
}

#[test]
fn the_count_must_be_that_of_the_header() {
    let (line, said) = refusal(&format!("TRCFMT=1;9;E;R;F\n{EIGHT}"));
    assert_eq!((line, said.contains("8 numbers") && said.contains("expected 9")), (1, true), "{said}");
    let (line, said) = refusal(&format!("DBL=18\nTRCFMT=1;9;E;R;F\n{EIGHT}TRCFMT=1;8;E;L;F\n{EIGHT}"));
    assert_eq!((line, said.contains("of the right eye")), (2, true), "{said}");
    let (line, said) = refusal(&format!("TRCFMT=1;8;E;R;F\n{EIGHT}R=2000;\n"));
    assert_eq!((line, said.contains("9 numbers") && said.contains("line 1 says 8")), (4, true), "{said}");
}

#[test]
fn numbers_are_whole_and_those_of_a_lens() {
    let radii = |numbers: &str| refusal(&format!("TRCFMT=1;8;E;R;F\nR={numbers}\n"));
    assert!(radii("2000;20.5").1.contains("number 2: expected a whole number"));
    assert!(radii("2000,2100").1.contains("number 1"));
    assert!(radii("2000;;2100").1.contains("number 2"));
    assert!(radii("2000;25").1.contains("number 2 is 25: expected 100 to 10000"));
    assert!(radii("-2000").1.contains("is -2000"));
    assert_eq!(radii("").0, 2);
}

#[test]
fn numbers_stand_below_their_header() {
    assert!(refusal("R=2000").1.contains("expected TRCFMT above it"));
    assert!(refusal(&format!("TRCFMT=1;8;E;R;F\n{EIGHT}Z=1;2")).1.contains("expected ZFMT above it"));
    let (line, said) = refusal(&format!("TRCFMT=1;8;E;R;F\n{EIGHT}TRCFMT=1;8;E;R;F\n"));
    assert_eq!((line, said.contains("first is on line 1")), (4, true), "{said}");
}

#[test]
fn unequal_spacing_needs_an_angle_to_each_point() {
    for letter in ["U", "A"] {
        let header = format!("TRCFMT=1;8;{letter};R;F\n");
        let angles = "A=0;4000;9000;13500\nA=18000;22000;27000;31550\n";
        let text = format!("{header}{EIGHT}{angles}");
        let found: Vec<Angle> = events(&text)
            .into_iter()
            .filter_map(
                |event| if let Event::Angles { angles, .. } = event { Some(angles.iter()) } else { None },
            )
            .flatten()
            .collect();
        assert_eq!((found.len(), found[7].milli()), (8, 315_500));
        let (line, said) = refusal(&format!("{header}{EIGHT}"));
        assert_eq!((line, said.contains("0 numbers in A")), (1, true), "{said}");
    }
    let (_, said) = refusal("TRCFMT=1;8;U;R;F\nA=0;4000\nA=3999\n");
    assert!(said.contains("is 3999 after 4000: expected growing angles"), "{said}");
    assert!(refusal("TRCFMT=1;8;U;R;F\nA=36000\n").1.contains("expected 0 to 35999"));
    let (line, said) = refusal("TRCFMT=1;8;E;R;F\nA=0;4500\n");
    assert_eq!((line, said.contains("line 1 says equal spacing")), (2, true), "{said}");
}

#[test]
fn depths_have_a_count_of_their_own() {
    let depth = "ZFMT=1;10;E;R;F\nZ=-10;0;10;20;30;20;10;0;-10;-20\n";
    let text = format!("TRCFMT=1;8;E;R;F\n{EIGHT}{depth}");
    let traced = traced(&text).unwrap();
    assert_eq!(traced.depth[0].map(|header| header.points), Some(10));
    let Some(Event::Values { of, first: 0, values }) = events(&text).pop() else { panic!("no depths") };
    assert_eq!((of.layer, of.eye), (Layer::Depth, Eye::Right));
    assert_eq!(values.iter().next(), Some(Length::from_milli(-100)));
}

#[test]
fn an_eye_that_is_missing_is_said() {
    let traced = traced(&format!("TRCFMT=1;8;E;L;F\n{EIGHT}")).unwrap();
    assert!(traced.radius[Eye::Right.index()].is_none() && traced.radius[Eye::Left.index()].is_some());
    assert_eq!(mirrored(3, 9), None);
    assert_eq!(mirrored(8, 8), None);
}

#[test]
fn bytes_of_chance_are_refused_or_kept_never_a_panic() {
    let parts = [
        "TRCFMT=",
        "ZFMT=",
        "R=",
        "A=",
        "Z=",
        "1;",
        "8;",
        "E;",
        "R;",
        "é",
        "FMT",
        "=",
        ";",
        "-",
        "99999999999",
        "?",
        "\n",
        "\r",
        "\x1c",
        "IPD=",
        "DBL=",
        " ",
        "2000;",
    ];
    let mut seed = 1_u64;
    for _ in 0..20_000 {
        let mut text = String::new();
        for _ in 0..12 {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            text += parts[(seed >> 33) as usize % parts.len()];
        }
        if let Err(refusal) = traced(&text) {
            assert!(refusal.line >= 1 && !refusal.to_string().ends_with(": "), "{text:?}");
        }
    }
}
