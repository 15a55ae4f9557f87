//! Records as they come from a file.

use super::*;
use bevelbook_core::frame::Point;
use bevelbook_core::units::Angle;

/// A record made up for this project: 36 points an eye, the left one the mirror of the right one.
const RECORD: &str = include_str!("../../../core/tests/vectors/record.txt");

fn parse(text: &str) -> Result<Trace, String> {
    Trace::parse(text, Path::new("frame.txt")).map_err(|error| error.to_string())
}

/// The record without the lines that `gone` picks.
fn without(gone: impl Fn(usize, &str) -> bool) -> String {
    let lines = RECORD.lines().enumerate().filter(|(number, line)| !gone(*number, line));
    lines.map(|(_, line)| format!("{line}\r\n")).collect()
}

#[test]
fn a_whole_record_gives_both_shapes_and_what_it_states() {
    let trace = parse(RECORD).unwrap();
    assert_eq!(trace.dbl(), Some(Length::from_milli(18_000)));
    assert_eq!(trace.kept(), [("JOB".to_owned(), "TEST001".to_owned())]);
    assert_eq!(trace.notes(), [Note::Kept { labels: vec!["JOB".into()] }]);
    for eye in Eye::BOTH {
        let shape = trace.shape(eye);
        assert!(!shape.mirrored && shape.depths.is_none());
        assert_eq!(shape.outline().unwrap().boxed().a.milli(), 50_400);
        assert_eq!(trace.stated(Field::BoxWidth, eye), Some(Length::from_milli(50_400)));
        let girth = trace.stated_girth(eye).unwrap().unwrap();
        assert_eq!((girth.basis(), girth.chords.milli()), (GirthBasis::Plane, 140_344));
    }
}

#[test]
fn a_missing_eye_is_the_mirror_of_the_other_and_it_is_said() {
    let whole = parse(RECORD).unwrap();
    let left_begins = RECORD.lines().position(|line| line.contains(";L;")).unwrap();
    let right_begins = RECORD.lines().position(|line| line.contains(";R;")).unwrap();
    for (eye, text) in [
        (Eye::Left, without(|number, _| number >= left_begins)),
        (Eye::Right, without(|number, _| (right_begins..left_begins).contains(&number))),
    ] {
        let trace = parse(&text).unwrap();
        assert!(trace.notes().contains(&Note::Mirrored { eye }), "{:?}", trace.notes());
        let [mirrored, traced] = [&trace, &whole].map(|trace| trace.shape(eye).outline().unwrap());
        assert!(trace.shape(eye).mirrored);
        assert!(mirrored.radii().eq(traced.radii()));
        assert_eq!(mirrored.boxed().centre, traced.boxed().centre);
    }
}

#[test]
fn eyes_under_each_others_names_are_doubted() {
    let swapped = RECORD.replace(";E;R;", ";E;x;").replace(";E;L;", ";E;R;").replace(";E;x;", ";E;L;");
    let notes = parse(&swapped).unwrap().notes().to_vec();
    let doubts = notes.iter().filter(|note| matches!(note, Note::LooksSwapped { .. })).count();
    assert_eq!(doubts, 2, "{notes:?}");
}

#[test]
fn a_box_that_is_not_that_of_the_points_is_said() {
    let trace = parse(&RECORD.replace("HBOX=50.40;50.40", "HBOX=50.40;50.60")).unwrap();
    let [stated, found] = [50_600, 50_400].map(Length::from_milli);
    let note = Note::BoxDiffers { eye: Eye::Left, field: Field::BoxWidth, stated, found };
    assert!(trace.notes().contains(&note), "{:?}", trace.notes());
    assert!(note.to_string().starts_with("HBOX of the left eye says 50.6 mm, its points 50.4 mm"));
}

#[test]
fn a_circ_is_told_apart_by_the_records_own_points() {
    let basis = |circ: &str, depths: &str| {
        let text = RECORD.replace("CIRC=140.344;140.344", &format!("CIRC={circ};{circ}")) + depths;
        let girth = parse(&text).unwrap().stated_girth(Eye::Right).unwrap().unwrap();
        (girth.basis(), girth.to_string())
    };
    assert_eq!(basis("140.36", "").0, GirthBasis::Plane);
    assert!(basis("140.36", "").1.ends_with("2-D"));
    let (longer, said) = basis("141.2", "");
    assert_eq!(longer, GirthBasis::Longer);
    assert!(said.contains("0.856 mm longer") && said.contains("3-D or another basis"), "{said}");
    assert_eq!(basis("139", "").0, GirthBasis::Shorter);
    // Depths of 3 mm, twice up and down: the chords in space are known to the core's tests; here that they are used.
    let ring: Vec<String> =
        (0..40).map(|at| (300.0 * (f64::from(at) * 18.0).to_radians().cos()).round().to_string()).collect();
    let depths = format!("ZFMT=1;40;E;R;F\nZ={}\n", ring.join(";"));
    let trace = parse(&(RECORD.to_owned() + &depths)).unwrap();
    let in_space = trace.stated_girth(Eye::Right).unwrap().unwrap().in_space.unwrap();
    assert!(in_space > Length::from_milli(141_000), "{in_space}");
    assert_eq!(basis(&in_space.to_string(), &depths).0, GirthBasis::Space);
    assert!(basis("150", &depths).1.contains("with the record's depths the chords are"));
}

#[test]
fn angles_of_their_own_place_the_points() {
    let radii = "R=2000;2100;2200;2300;2400;2300;2200;2100\n";
    let angles = "A=0;4000;9000;13500;18000;22000;27000;31550\n";
    let trace = parse(&format!("TRCFMT=1;8;U;R;F\n{radii}{angles}")).unwrap();
    let point = trace.shape(Eye::Right).points[1];
    assert_eq!(point.direction_from(Point::ORIGIN), Angle::from_degrees(40));
}

#[test]
fn what_is_wrong_is_shown_with_file_line_and_what_would_be_right() {
    for (from, to, said) in [
        ("HBOX=50.40;50.40", "HBOX=50.40", "frame.txt, line 3: HBOX has one value"),
        (
            "TRCFMT=1;36;E;R;F",
            "TRCFMT=4;36;E;R;F",
            "frame.txt, line 6: TRCFMT format 4 is not read: expected",
        ),
        ("TRCFMT=1;36;E;R;F", "TRCFMT=1;37;E;R;F", "line 6: 36 numbers in R of the right eye: expected 37"),
        ("DBL=18.00", "DBL 18.00", "line 2: no `=`"),
        ("R=2560;", "R=25.60;", "line 7: R, number 1: expected a whole number"),
    ] {
        let error = parse(&RECORD.replacen(from, to, 1)).unwrap_err();
        assert!(error.contains(said), "{error}");
        assert!(error.lines().count() == 2, "shows the line: {error}");
    }
    assert!(parse("DBL=18\n").unwrap_err().contains("frame.txt: no radii of either eye; expected `TRCFMT=1"));
    assert!(parse("").unwrap_err().contains("no radii"));
    let long = format!("{}\u{7}{}", "x".repeat(30), "y".repeat(400));
    let error = parse(&long).unwrap_err();
    assert!(error.ends_with('…') && !error.contains('\u{7}') && error.len() < 200, "{error}");
}

#[test]
fn a_file_that_is_not_there_or_no_record_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let missing = Trace::read(&folder.path().join("none.txt"));
    assert!(matches!(missing, Err(TraceError::Missing { .. })), "{missing:?}");
    assert!(matches!(Trace::read(folder.path()), Err(TraceError::Read { .. })));
    let file = folder.path().join("frame.txt");
    // Latin-1 in a text that is only kept.
    let mut bytes = b"_NAME=Gr\xf6\xdfe\r\n".to_vec();
    bytes.extend(RECORD.bytes());
    std::fs::write(&file, &bytes).unwrap();
    assert_eq!(Trace::read(&file).unwrap().kept()[0], ("_NAME".into(), "Gr\u{fffd}\u{fffd}e".into()));
    std::fs::File::create(&file).unwrap().set_len(LARGEST_FILE + 1).unwrap();
    assert!(matches!(Trace::read(&file), Err(TraceError::Large { .. })));
}
