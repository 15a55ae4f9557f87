//! The lenses of one model over time.

use crate::bench::{Bench, Cut};
use bevelbook_tests::{Output, usual_order};
use serde_json::Value;

fn narrow(text: &str) {
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
}

#[test]
fn one_lens_is_shown_and_what_was_expected_of_it() {
    let mut bench = Bench::new();
    let job = bench.orders("Straße Ø 1", "50");
    bench.types(&["record", "pass", &job.to_string(), "r", "0.20", "touch"]);
    let open = bench.json(&["frames", "show", "straße ø 1"]);
    assert!(open["now"].is_null() && open["lenses"][0]["fits_mm"].is_null(), "{open}");
    bench.types(&["record", "pass", &job.to_string(), "r", "0.10", "fits"]);
    let shown = bench.json(&["frames", "show", "straße ø 1"]);
    let lens = &shown["lenses"][0];
    assert_eq!(
        (&lens["too_big_mm"], &lens["fits_mm"], &lens["passes"]),
        (&0.2.into(), &0.1.into(), &2.into())
    );
    let [low, mean, high] =
        ["believed_from_mm", "believed_mm", "believed_to_mm"].map(|key| lens[key].as_f64().unwrap());
    assert!(low < mean && mean < high && shown["lenses"].as_array().unwrap().len() == 1, "{shown}");
    assert!(shown["now"]["first"][0]["size_mm"].as_f64().unwrap() > 0.0, "{shown}");
    let text = bench.types(&["frames", "show", "straße ø 1"]).stdout;
    narrow(&text);
    for part in ["Straße Ø 1 50□18: 1 lens,", "v", "o", "passes  ", "now: cut at +0.", "happened 0 of 1"]
    {
        assert!(text.contains(part), "{part}: {text}");
    }
}

/// A model in two sizes, one lens loose for a told cause; what was typed of the narrow one.
fn two_sizes(bench: &mut Bench) -> Vec<Cut> {
    let mut cuts = Vec::new();
    for pair in 0..8 {
        let (a, rim) = if pair % 2 == 0 { ("48", -0.05) } else { ("52", 0.15) };
        let pair = bench.pair("Oak", a, [rim, rim + 0.04], 0.35);
        if a == "48" {
            cuts.extend(pair);
        }
    }
    let job = bench.orders("Oak", "48").to_string();
    for (at, felt) in [("0.30", "much"), ("-0.40", "loose")] {
        bench.types(&["record", "pass", &job, "l", at, felt]);
    }
    bench.types(&["job", "remake", &job, "l", "--cause", "undersize", "--bearer", "shop"]);
    cuts
}

#[test]
fn of_two_sizes_it_is_asked_which_and_each_has_its_own_lenses() {
    let mut bench = Bench::new();
    let cuts = two_sizes(&mut bench);
    let asked = bench.shop.run(["frames", "show", "OAK"]);
    assert!(asked.status == Some(2) && asked.stdout.is_empty(), "{asked:?}");
    for part in ["Oak 48□18 (9 lenses)", "Oak 52□18 (8 lenses)", "--size 4"] {
        assert!(asked.stderr.contains(part), "{part}: {asked:?}");
    }
    assert!(!asked.stderr.contains("--rim"), "both have one rim: {asked:?}");
    for size in ["48-18", "48x18", "48.2□18"] {
        let shown = bench.json(&["frames", "show", "Oak", "--size", size]);
        let lenses = shown["lenses"].as_array().unwrap();
        assert_eq!(lenses.len(), 9, "{size}");
        for (cut, lens) in cuts.iter().zip(lenses) {
            let same = |value: &Value, counted: Option<f64>| match counted {
                Some(counted) => value.as_f64().is_some_and(|value| (value - counted).abs() < 1e-9),
                None => value.is_null(),
            };
            assert!(
                same(&lens["fits_mm"], cut.fits_at) && same(&lens["too_big_mm"], cut.too_big),
                "{lens} {cut:?}"
            );
            assert_eq!(lens["passes"], cut.passes, "{lens}");
            assert_eq!(
                (&lens["advised_passes"], &lens["followed_passes"]),
                (&cut.advised.into(), &cut.followed.into())
            );
        }
        assert!(cuts.iter().map(|cut| cut.advised).sum::<usize>() > 8, "{cuts:?}");
        assert_eq!(shown["replayed"]["undersize"], 1, "{shown}");
    }
    let text = bench.types(&["frames", "show", "Oak", "--size", "48-18"]).stdout;
    narrow(&text);
    for part in ["X", "job 9 left lens 1: loose at -0.40, cut too small", "happened 1 of 9", "  lost  "] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let other = bench.shop.run(["frames", "show", "Oak", "--size", "55-18"]);
    assert!(other.status == Some(3) && other.stderr.contains("that size was not cut"), "{other:?}");
    let rim = bench.shop.run(["frames", "show", "Oak", "--rim", "plastic"]);
    assert!(rim.status == Some(3) && rim.stderr.contains("none with that rim was cut"), "{rim:?}");
    let wrong = bench.shop.run(["frames", "show", "Oak", "--size", "large"]);
    assert!(wrong.status == Some(2) && wrong.stderr.contains("as in 50-18"), "{wrong:?}");
    let misspelt = bench.shop.run(["frames", "show", "Oka"]);
    assert!(misspelt.status == Some(3) && misspelt.stderr.contains("did you mean `Oak`?"), "{misspelt:?}");
    let csv = bench.types(&["frames", "show", "Oak", "--size", "48-18", "--csv"]).stdout;
    assert!(
        csv.starts_with("job,eye,lens,at,passes,") && csv.split_terminator("\r\n").count() == 10,
        "{csv}"
    );
    assert!(csv.lines().last().unwrap().contains(",-0.4,"), "{csv}");
    drawn_once(&bench);
    // Of two rims it is asked which, where the size says no more.
    let plastic = usual_order(&[["--frame", "Oak"], ["--a", "48"], ["--b", "38"], ["--rim", "plastic"]]);
    assert_eq!(bench.shop.run(plastic).status, Some(0));
    bench.types(&["record", "pass", "10", "r", "0.20", "fits"]);
    let asked = bench.shop.run(["frames", "show", "Oak", "--size", "48-18"]).stderr;
    for part in ["Oak 48□18 plastic (1 lens);", "say which: --rim metal\n"] {
        assert!(asked.contains(part), "{part}: {asked}");
    }
}

fn drawn_once(bench: &Bench) {
    let draw = |args: &[&str]| -> Output {
        bench.shop.run([&["frames", "show", "Oak", "--size", "48-18", "--svg"], args].concat())
    };
    for _ in 0..2 {
        let output = draw(&["oak.svg"]);
        assert!(output.status == Some(0) && output.stderr.contains("drawn: oak.svg"), "{output:?}");
    }
    let svg = std::fs::read_to_string(bench.shop.folder().join("oak.svg")).unwrap();
    let count = |class: &str| svg.matches(&format!("class=\"{class}\"")).count();
    assert_eq!([count("band"), count("fits"), count("loose")], [9, 8, 2], "{svg}");
    assert!(svg.contains("LOOSE -0.40"), "{svg}");
    let other = bench.shop.folder().join("other.svg");
    std::fs::write(&other, "<svg/>").unwrap();
    let output = draw(&["other.svg"]);
    assert!(output.status == Some(2) && output.stderr.contains("not an earlier plot"), "{output:?}");
    assert_eq!(std::fs::read_to_string(&other).unwrap(), "<svg/>");
    assert_eq!(draw(&["other.svg", "--force"]).status, Some(0));
}

#[test]
fn more_lenses_than_have_room_are_told_of_and_the_newest_are_shown() {
    let mut bench = Bench::new();
    for _ in 0..33 {
        let job = bench.orders("Oak", "50").to_string();
        for eye in ["r", "l"] {
            bench.types(&["record", "pass", &job, eye, "0.10", "fits"]);
        }
    }
    let text = bench.types(&["frames", "show", "Oak"]).stdout;
    narrow(&text);
    assert!(text.contains("the newest 60 of 66"), "{text}");
    assert_eq!(text.lines().find(|line| line.starts_with("passes")).unwrap().matches('1').count(), 60);
    assert_eq!(bench.json(&["frames", "show", "Oak"])["lenses"].as_array().unwrap().len(), 66);
}
