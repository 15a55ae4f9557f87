//! Orders that carry the trace of their frame.

use super::{RECORD, assert_near, done, number, plan, shop, traced, whole};
use bevelbook_tests::{Shop, usual_order};
use std::fs;

#[test]
fn a_traced_order_is_planned_from_its_own_points() {
    let shop = shop(RECORD);
    let opened = done(shop.run(traced(&[["--heights", "20"]])));
    assert!(opened.stdout.contains("A 50.4  B 38.092  DBL 18"), "{opened:?}");
    assert!(opened.stdout.contains("right 36 points, left 36 points"), "{opened:?}");
    let plan = plan(&shop);
    // Worked out apart from this program when the record was made up: box by ISO 8624, girth as closed chords.
    for (eye, sign) in [("right", 1.0), ("left", -1.0)] {
        let shape = &plan[eye]["shape"];
        assert_eq!((shape["from"].as_str(), shape["circ_basis"].as_str()), (Some("trace"), Some("2-D")));
        for (name, expected) in [
            ("a_mm", 50.400),
            ("b_mm", 38.092),
            ("girth_mm", 140.344),
            ("circ_mm", 140.344),
            ("box_centre_x_mm", sign * 0.400),
            ("box_centre_y_mm", 0.246),
        ] {
            assert_near(&shape[name], expected);
        }
        assert_eq!(plan[eye]["blank"]["by"], "trace");
        assert_near(&plan[eye]["theoretical_blank_mm"], number(&plan[eye]["blank"]["of_shape_mm"]));
        // The frame's centre is (50.4 + 18)/2 from its middle.
        let pd = if eye == "right" { 31.5 } else { 31.0 };
        assert_near(&plan[eye]["in_mm"], 34.2 - pd);
        assert_near(&plan[eye]["up_mm"], 20.0 - 38.092 / 2.0);
    }
    let sheet = done(shop.run(["sheet", "1", "--out", "-"])).stdout;
    assert!(sheet.contains("traced") && !sheet.contains("not traced"));
}

#[test]
fn a_longer_circ_stands_beside_the_chords() {
    let shop = shop(&RECORD.replace("CIRC=140.344;140.344", "CIRC=141.90;141.90"));
    done(shop.run(traced(&[])));
    let text = whole(&shop);
    assert!(text.contains("140.34 mm, 2-D chords") && text.contains("141.90, 3-D or other basis"), "{text}");
    assert!(text.contains("1.556 mm longer than the chords"), "{text}");
    let short = done(shop.run(["plan", "1"])).words();
    assert!(short.contains("! both: CIRC is +1.56 mm off the chords of its own points"), "{short}");
}

#[test]
fn a_person_in_the_record_does_not_reach_the_book() {
    const SECRET: [&str; 3] = ["Invented Personname", "64.125", "secret-label"];
    let record = format!(
        "CLIENT={}\r\nIPD={};30\r\n_{}=1\r\n{}",
        SECRET[0],
        SECRET[1],
        SECRET[2],
        RECORD.replace("E;R;F", &format!("E;R;F {}", SECRET[0]))
    );
    let shop = shop(&record);
    let opened = done(shop.run(traced(&[])));
    assert!(opened.stderr.contains("4 other labels of the record were left out"), "{opened:?}");
    let show = done(shop.run(["job", "show", "1", "--json"])).json();
    assert_eq!(show["trace"]["labels_left_out"], 4);
    let lines: Vec<&str> =
        show["trace"]["lines"].as_array().unwrap().iter().map(|l| l.as_str().unwrap()).collect();
    assert!(lines.contains(&"R=2560;2501;2401;2274;2138;2012;1914;1857;1845;1880"), "{lines:?}");
    for file in fs::read_dir(shop.folder()).unwrap().map(|file| file.unwrap().path()) {
        if file.ends_with("frame.txt") || file.is_dir() {
            continue;
        }
        let bytes = fs::read(&file).unwrap();
        for secret in SECRET {
            let found = bytes.windows(secret.len()).any(|part| part == secret.as_bytes());
            assert!(!found, "{secret} in {}", file.display());
        }
        // The search itself finds what is there.
        let kept = b"TRCFMT=1;36;E;L;F";
        let is_book = file.file_name().unwrap().to_str().unwrap() == "book.sqlite";
        assert!(!is_book || bytes.windows(kept.len()).any(|part| part == kept), "{}", file.display());
    }
}

#[test]
fn one_traced_eye_serves_for_both_and_it_is_said() {
    let right: String = RECORD.split("TRCFMT=1;36;E;L").next().unwrap().into();
    let shop = shop(&right);
    let opened = done(shop.run(traced(&[])));
    assert!(
        opened.stderr.contains("the left eye has no radii: it is the mirror of the right one"),
        "{opened:?}"
    );
    let plan = plan(&shop);
    assert_eq!(plan["left"]["shape"]["from"], "other eye's trace, mirrored");
    assert_near(&plan["left"]["shape"]["box_centre_x_mm"], -0.400);
    assert!(plan["trace_notes"][0].as_str().unwrap().contains("mirror"));
}

#[test]
fn a_shape_that_looks_like_the_other_eyes_is_doubted() {
    let swapped = RECORD.replace(";E;R;", ";E;x;").replace(";E;L;", ";E;R;").replace(";E;x;", ";E;L;");
    let shop = shop(&swapped);
    let opened = done(shop.run(traced(&[])));
    assert!(
        opened.stderr.contains("the right shape may be that of the other eye, or reversed"),
        "{opened:?}"
    );
}

#[test]
fn a_trace_that_cannot_be_read_names_its_line_and_opens_nothing() {
    let wrong = RECORD.replacen("2560;2501", "2560;25o1", 1);
    let line = wrong.lines().position(|line| line.contains("25o1")).unwrap() + 1;
    let shop = shop(&wrong);
    let refused = shop.run(traced(&[]));
    assert_eq!((refused.status, refused.stdout.as_str()), (Some(2), ""), "{refused:?}");
    assert!(refused.stderr.contains(&format!("frame.txt, line {line}: R, number 2")), "{refused:?}");
    fs::remove_file(shop.folder().join("frame.txt")).unwrap();
    let missing = shop.run(traced(&[]));
    assert_eq!(missing.status, Some(3), "{missing:?}");
    assert!(missing.stderr.contains("no file frame.txt"), "{missing:?}");
    assert!(!shop.book().exists());
    let without = Shop::new().run(["job", "new", "--customer", "K"]);
    assert!(without.stderr.contains("--a 50"), "{without:?}");
}

#[test]
fn typed_sizes_that_contradict_the_trace_are_taken_with_a_warning() {
    let shop = shop(RECORD);
    let opened = done(shop.run(traced(&[["--a", "52"], ["--b", "38"]])));
    assert!(opened.stderr.contains("A: 52.0 mm in the order, 50.4 mm in the trace"), "{opened:?}");
    assert!(!opened.stderr.contains("\nB: "), "{opened:?}");
    assert_near(&plan(&shop)["right"]["shape"]["a_mm"], 50.400);
}

#[test]
fn an_amendment_brings_a_trace_and_takes_it_away() {
    let shop = shop(RECORD);
    done(shop.run(usual_order(&[["--ed", "53"]])));
    assert_eq!(plan(&shop)["right"]["shape"]["from"], "A, B and ED");
    let amended = done(shop.run(["job", "amend", "1", "--why", "traced", "--trace", "frame.txt"]));
    assert!(amended.stdout.contains("B 38.092"), "{amended:?}");
    assert_eq!(plan(&shop)["right"]["shape"]["from"], "trace");
    let show = done(shop.run(["job", "show", "1"])).stdout;
    assert!(show.contains("trace): traced") && !show.contains("trace.lines"), "{show}");
    done(shop.run(["job", "amend", "1", "--why", "another tracer", "--clear", "trace"]));
    assert_eq!(plan(&shop)["right"]["shape"]["from"], "A, B and ED");
    assert!(done(shop.run(["job", "show", "1", "--json"])).json()["trace"].is_null());
    // Another model has another shape.
    done(shop.run(["job", "amend", "1", "--why", "traced", "--trace", "frame.txt"]));
    let other = done(shop.run(["job", "amend", "1", "--why", "other frame", "--frame", "Lindgren 9"]));
    assert!(other.stderr.contains("the trace was that of the earlier model"), "{other:?}");
    assert_eq!(plan(&shop)["right"]["shape"]["from"], "A, B and ED");
}
