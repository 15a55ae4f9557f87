//! Every figure of a lens with a segment against `core/tests/vectors/segments.txt`.

use super::{assert_near, done, plan};
use bevelbook_tests::Shop;
use serde_json::Value;
use std::fmt::Write as _;
use std::fs;

const VECTORS: &str = include_str!("../../../core/tests/vectors/segments.txt");

/// The frame of a case as the record of a trace.
fn record(case: &Value) -> String {
    let mut text = format!("JOB=TEST002\r\nDBL={}\r\n", case["dbl"]);
    for (eye, letter) in [("right", 'R'), ("left", 'L')] {
        let radii = case[eye]["radii"].as_array().unwrap();
        write!(text, "TRCFMT=1;{};E;{letter};F\r\n", radii.len()).unwrap();
        for ten in radii.chunks(10) {
            let line: Vec<String> = ten.iter().map(ToString::to_string).collect();
            write!(text, "R={}\r\n", line.join(";")).unwrap();
        }
    }
    text
}

/// The order of a case, and the shop that takes it.
fn opened(case: &Value) -> Shop {
    let shop = Shop::new();
    fs::write(shop.folder().join("frame.txt"), record(case)).unwrap();
    fs::write(shop.settings(), case["settings"].as_str().unwrap()).unwrap();
    let both = |name: &str| format!("{}/{}", case["right"][name], case["left"][name]);
    let [pd, near, heights] = ["pd", "near_pd", "height"].map(both);
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let [right, left] = ["right", "left"].map(|eye| text(&case[eye]["ordered"]));
    let segment = text(&case["segment"]);
    done(
        shop.run(
            [
                ["job", "new"],
                ["--customer", "K-17"],
                ["--right", &right],
                ["--left", &left],
                ["--pd", &pd],
                ["--near-pd", &near],
                ["--heights", &heights],
                ["--design", "multifocal"],
                ["--segment", &segment],
                ["--frame", "Lindgren 7"],
                ["--trace", "frame.txt"],
                ["--rim", "metal"],
                ["--material", "cr39"],
            ]
            .concat(),
        ),
    );
    shop
}

fn of_eye(plan: &Value, expected: &Value, which: &str) {
    let (segment, reading) = (&plan["segment"], &plan["reading"]);
    let near = |found: &Value, expected: &Value, what: &str| {
        assert_near(found, expected.as_f64().unwrap(), &format!("{which}, {what}"));
    };
    near(&segment["drop_mm"], &expected["drop"], "drop");
    near(&segment["inset_from_box_mm"], &expected["from_box"], "total inset");
    near(&plan["blank"]["of_shape_mm"], &expected["of_shape"], "least blank");
    near(&segment["jump_pd"], &expected["jump"], "jump");
    for (place, name) in [("middle", "blank_middle"), ("distance_centre", "optical_centre")] {
        near(&segment[format!("{name}_in_mm")], &expected[place][0], place);
        near(&segment[format!("{name}_up_mm")], &expected[place][1], place);
    }
    let prism = |found: &Value, expected: &Value, what: &str| match expected {
        Value::Null => assert!(found.is_null(), "{which}, {what}: {found}"),
        _ => {
            near(&found["base_in_pd"], &expected[0], what);
            near(&found["base_up_pd"], &expected[1], what);
        }
    };
    prism(&segment["prism_at_pd"], &expected["at_pd"], "prism at the PD");
    prism(&reading["of_segment"], &expected["of_segment"], "prism of the segment");
    prism(reading, &expected["reading"], "prism at the reading level");
}

#[test]
fn a_segment_and_its_blank_lie_where_shapely_puts_them_and_turn_light_as_matrices_say() {
    let cases = VECTORS.lines().filter(|line| !line.starts_with('#'));
    let cases: Vec<Value> = cases.map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(cases.len(), 24);
    for (number, case) in cases.iter().enumerate() {
        let plan = plan(&opened(case));
        for eye in ["right", "left"] {
            of_eye(&plan[eye], &case[eye]["expected"], &format!("case {number}, {eye}"));
        }
        for at in ["at_pd", "reading"] {
            for (part, name) in ["base_in_pd", "right_up_pd"].into_iter().enumerate() {
                let expected = case["pair"][at][part].as_f64().unwrap();
                assert_near(&plan["off_centre"][at][name], expected, &format!("case {number}, {at} {name}"));
            }
        }
    }
}
