//! How far the station is off.

use crate::bench::Bench;

#[test]
fn of_a_station_that_cut_nothing_it_is_said_that_too_little_is_known() {
    let bench = Bench::new();
    let output = bench.types(&["station"]);
    assert!(
        output.stdout.contains("new wheel     not logged yet: bevelbook station new-wheel"),
        "{output:?}"
    );
    assert!(output.stdout.contains("too little is known: 0 jobs since then"), "{output:?}");
    let json = bench.json(&["station"]);
    assert!(json["offset"].is_null() && json["dial"]["basis"] == "diameter", "{json}");
    assert_eq!(json["wheel"], serde_json::Value::Null);
    assert!(!bench.types(&["day"]).stdout.contains("station"));
}

#[test]
fn a_station_that_is_not_off_is_said_to_be_as_it_was() {
    let mut bench = Bench::new();
    bench.types(&["station", "new-wheel"]);
    for _ in 0..12 {
        bench.pair_on(0.0, "Oak", [0.1, 0.1], 0.3);
    }
    let json = bench.json(&["station"]);
    assert!(json["offset"]["smaller_mm"].as_f64().unwrap().abs() < 0.005, "{json}");
    let shown = bench.types(&["station"]).stdout;
    assert!(shown.contains("\nlenses end as on a fresh station; known to ±0.0"), "{shown}");
}

#[test]
fn a_wheel_that_wears_is_seen_and_a_new_one_begins_anew() {
    let mut bench = Bench::new();
    bench.types(&["station", "new-wheel"]);
    // A lens is left 0.16 mm larger after 32 pairs: it is dialled smaller by as much.
    for pair in 0..32 {
        let (model, rim) = [("Oak", 0.1), ("Elm", 0.2), ("Ash", 0.0)][pair as usize % 3];
        bench.pair_on(0.005 * f64::from(pair), model, [rim, rim + 0.02], rim + 0.25);
    }
    let worn = bench.json(&["station"]);
    let smaller = worn["offset"]["smaller_mm"].as_f64().unwrap();
    let within = worn["offset"]["within_mm"].as_f64().unwrap();
    assert!((smaller + 0.16).abs() < 0.05 && within > 0.0 && within < 0.1, "{worn}");
    assert!(worn["offset_past_limit"] == true && worn["wheel"]["lenses_since"] == 64, "{worn}");
    let shown = bench.types(&["station"]).stdout;
    assert!(shown.contains("larger on diameter than on a fresh station; known to ±0.0"), "{shown}");
    assert!(
        shown.contains("64 lenses in full rims since") && shown.contains("dress or renew the wheel"),
        "{shown}"
    );
    assert!(shown.lines().all(|line| line.chars().count() <= 80), "{shown}");
    let day = bench.types(&["day"]).stdout;
    assert_eq!(day.lines().filter(|line| line.starts_with("station ")).count(), 1, "{day}");
    assert!(day.contains("lenses end larger: bevelbook station"), "{day}");

    bench.types(&["station", "new-wheel"]);
    let fresh = bench.json(&["station"]);
    assert!(fresh["offset"].is_null() && fresh["wheel"]["lenses_since"] == 0, "{fresh}");
    for pair in 0..8 {
        let (model, rim) = [("Oak", 0.1), ("Elm", 0.2)][pair % 2];
        bench.pair_on(0.0, model, [rim, rim + 0.02], rim + 0.25);
    }
    let anew = bench.json(&["station"]);
    assert!(anew["offset"]["smaller_mm"].as_f64().unwrap().abs() < 0.05, "{anew}");
    assert!(anew["offset_past_limit"] == false && anew["wheel"]["lenses_since"] == 16, "{anew}");
    assert!(!bench.types(&["day"]).stdout.contains("lenses end"), "{anew}");
    assert!(bench.types(&["station"]).stdout.contains('W'));

    // A shop that lets more pass is not bothered.
    std::fs::write(bench.shop.settings(), "advice.drift = 0.001\n").unwrap();
    assert!(bench.json(&["station"])["offset"].is_null());
}
