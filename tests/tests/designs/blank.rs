//! The blanks of progressives against those of a general geometry library.

use super::{done, plan_of};
use bevelbook_tests::{Shop, mirrored_record, usual_order};
use std::fs;

/// Made by `tests/reference/layout.py`: random frames, and the least circle about each reference point.
const BLANKS: &str = include_str!("../../../core/tests/vectors/plan_blank.txt");

#[test]
fn random_progressives_need_the_blanks_that_reach_round_their_reference_points() {
    let mut worst: f64 = 0.0;
    for line in BLANKS.lines().filter(|line| !line.starts_with('#')) {
        let (order, blanks) = line.split_once(" = ").unwrap();
        let [kind, shape, dbl, right, left, high, low, below] =
            order.split(';').collect::<Vec<_>>().try_into().unwrap();
        let shop = Shop::new();
        let (pd, heights) = (format!("{right}/{left}"), format!("{high}/{low}"));
        let mut changes = vec![
            ["--right", "+1.00 add +2.00"],
            ["--left", "-1.00 add +2.00"],
            ["--design", "progressive"],
            ["--pd", &pd],
            ["--heights", &heights],
            ["--reference-below", below],
            ["--dbl", dbl],
        ];
        let sizes: Vec<&str> = shape.split(' ').collect();
        if kind == "trace" {
            fs::write(shop.folder().join("frame.txt"), mirrored_record(&sizes)).unwrap();
            changes.push(["--trace", "frame.txt"]);
        } else {
            changes.extend([["--a", sizes[0]], ["--b", sizes[1]], ["--ed", sizes[2]]]);
        }
        let mut order = usual_order(&changes);
        if kind == "trace" {
            // A and B are those of the trace.
            let typed = order.iter().position(|flag| flag == "--a").unwrap();
            order.drain(typed..typed + 4);
        }
        done(shop.run(order));
        let plan = plan_of(&shop);
        for (eye, expected) in ["right", "left"].into_iter().zip(blanks.split(' ')) {
            let found = plan[eye]["theoretical_blank_mm"].as_f64().unwrap();
            let over = found - expected.parse::<f64>().unwrap();
            // Rounded up to the µm; its place is rounded to half a µm each way, and counts twice.
            assert!((-0.0015..0.0025).contains(&over), "{eye}: {found} for {expected}: {line}");
            worst = worst.max(over.abs());
        }
    }
    println!("worst blank of a progressive: {:.2} µm", worst * 1000.0);
}
