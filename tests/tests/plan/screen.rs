//! What the hand goes by, on one screen of 80 columns and 24 lines, in the order of work; what warns warns there too.

use super::{done, whole};
use bevelbook_tests::{Shop, usual_order};

/// What stands on it, in the order of work; no plan has all of it.
const ORDER: [&str; 27] = [
    "job",
    "lens",
    "Rx",
    "to read as",
    "add",
    "sphere line",
    "cylinder line",
    "decentration",
    "fitting cross",
    "reference point",
    "segment top",
    "OC falls",
    "axis",
    "prism",
    "of it thinning",
    "optical centre",
    "minimum blank",
    "size so far",
    "near pair",
    "right eye",
    "left eye",
    "wheel",
    "bevel",
    "edge",
    "first size",
    "second eye",
    "this frame",
];

/// What the whole plan alone tells.
const DETAIL: [&str; 7] =
    ["plus cylinder", "thickest edge", "weight", "base curve", "girth", "spare", "order,"];

type Pair = (&'static str, &'static [[&'static str; 2]], &'static [&'static str]);

/// An ordinary pair of each design, and what of the order of work it has beside what every one has.
const PAIRS: [Pair; 9] = [
    ("single vision", &[["--ed", "53"], ["--heights", "20"]], &["decentration"]),
    ("without a height or an ED", &[], &["decentration"]),
    (
        "segment",
        &[
            ["--right", "+1.25 -0.75 x 15 add 2.00"],
            ["--left", "+1.50 -0.50 x 170 add 2.00"],
            ["--near-pd", "29.5/29"],
            ["--heights", "18/18.5"],
            ["--design", "multifocal"],
            ["--segment", "flat top 28"],
            ["--ed", "53"],
        ],
        &["add", "segment top", "OC falls"],
    ),
    (
        "progressive",
        &[
            ["--right", "+1.25 -0.75 x 15 add 2.00"],
            ["--left", "+1.50 -0.50 x 170 add 2.00"],
            ["--heights", "22/22.5"],
            ["--design", "progressive"],
            ["--material", "polycarbonate"],
            ["--treatment", "hard coat,AR"],
            ["--ed", "53"],
        ],
        &["add", "fitting cross", "reference point", "prism", "of it thinning"],
    ),
    (
        "prism",
        &[
            ["--right", "-4.25 -0.75 x 15 prism 2 in"],
            ["--left", "-4.50 -0.50 x 170 prism 1.5 up 2 in"],
            ["--heights", "20"],
            ["--ed", "53"],
        ],
        &["decentration", "prism", "optical centre"],
    ),
    ("one lens", &[["--left", "old -4.50 -0.50 x 170"], ["--ed", "53"]], &["decentration", "left eye"]),
    ("balance lens", &[["--right", "bal"], ["--ed", "53"], ["--rim", "grooved"]], &["decentration"]),
    (
        "compensated",
        &[
            ["--right", "-4.25 -0.75 x 15"],
            ["--lab-power-right", "-4.12 -0.75 x 16"],
            ["--lab-power-left", "-1.87 -0.50 x 161"],
            ["--heights", "20"],
            ["--tilt", "10"],
            ["--wrap", "8"],
            ["--ed", "53"],
        ],
        &["to read as", "decentration"],
    ),
    (
        "for reading",
        &[["--for", "near"], ["--near-pd", "60"], ["--pd", "63"], ["--ed", "53"]],
        &["decentration", "near pair"],
    ),
];

/// The lines of a screen from the job on.
fn screen(shop: &Shop) -> Vec<String> {
    let shown = done(shop.run(["plan", "1"]));
    assert_eq!(shown.stderr, "", "what stands beside it takes room too");
    shown.stdout.lines().map(str::to_owned).collect()
}

/// Where a name stands first among the lines.
fn at(lines: &[String], name: &str) -> Option<usize> {
    lines.iter().position(|line| line.strip_prefix(name).is_some_and(|rest| rest.starts_with(' ')))
}

#[test]
fn an_ordinary_pair_of_each_design_is_one_screen_in_the_order_of_work() {
    for (pair, changes, own) in PAIRS {
        let shop = Shop::new();
        let named =
            [changes, &[["--tray", "4"], ["--due", "2026-12-01"], ["--name", "Maud Ferris"]]].concat();
        done(shop.run(usual_order(&named)));
        done(shop.run(["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]));
        let lines = screen(&shop);
        let text = lines.join("\n");
        // The last of 24 lines is the prompt's.
        assert!(lines.len() <= 23, "{pair}: {} lines\n{text}", lines.len());
        assert!(lines.iter().all(|line| line.chars().count() <= 80), "{pair}\n{text}");
        assert!(text.starts_with("job 1   tray 4   customer Maud Ferris (K-17)   due 2026-12-01"), "{text}");
        assert!(text.contains("   PD 6") || text.contains("PD 31.5/31"), "{text}");
        let places: Vec<_> = ORDER.iter().filter_map(|name| at(&lines, name)).collect();
        assert!(places.is_sorted(), "{pair}\n{text}");
        let every = ["job", "lens", "Rx", "sphere line", "axis", "minimum blank", "size so far", "wheel"];
        for name in every.iter().chain(["first size", "this frame"].iter()).chain(own) {
            assert!(at(&lines, name).is_some(), "{pair} without {name}\n{text}");
        }
        let whole = done(shop.run(["plan", "1", "--full"])).stdout;
        for name in DETAIL {
            let told = |text: &str| text.lines().any(|line| line.starts_with(name));
            assert!(!told(&text) && told(&whole), "{pair}: {name}\n{text}\n{whole}");
        }
    }
}

#[test]
fn it_is_one_screen_with_what_the_book_advises_too() {
    for (pair, changes, _) in PAIRS {
        let shop = Shop::new();
        done(shop.run(["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]));
        let named =
            [changes, &[["--tray", "4"], ["--due", "2026-12-01"], ["--name", "Maud Ferris"]]].concat();
        done(shop.run(usual_order(&named)));
        done(shop.run(usual_order(&[["--ed", "53"]])));
        done(shop.run(["record", "pass", "2", "r", "0.20", "touch"]));
        done(shop.run(["record", "pass", "2", "r", "0.10", "fits"]));
        let lines = screen(&shop);
        let text = lines.join("\n");
        assert!(lines.len() <= 23, "{pair}: {} lines\n{text}", lines.len());
        assert!(lines.iter().all(|line| line.chars().count() <= 80), "{pair}\n{text}");
        assert!(ORDER.iter().filter_map(|name| at(&lines, name)).collect::<Vec<_>>().is_sorted(), "{text}");
        let closes = !changes.contains(&["--rim", "grooved"]);
        let both = closes && !changes.contains(&["--left", "old -4.50 -0.50 x 170"]);
        assert_eq!(text.contains("; expect "), closes, "{pair}\n{text}");
        assert_eq!(at(&lines, "second eye").is_some(), both, "{pair}\n{text}");
    }
}

#[test]
fn what_warns_in_the_whole_plan_warns_on_the_one_screen() {
    // Everything about it is assumed, and the surfaces of one lens meet.
    let shop = Shop::new();
    done(shop.run(usual_order(&[
        ["--right", "+6.00 prism 9 out"],
        ["--left", "-6.00 -2.00 x 90"],
        ["--centre-thickness", "1.0"],
        ["--wrap", "15"],
        ["--frame-curve", "9.00"],
    ])));
    let (short, whole) = (done(shop.run(["plan", "1"])).stdout, whole(&shop));
    let json = done(shop.run(["plan", "1", "--json"])).json();
    let told = ["right", "left"].map(|eye| json[eye]["cautions"].as_array().unwrap().len());
    let of_pair = ["cautions", "questions"].map(|of| json[of].as_array().unwrap().len());
    let all = told.iter().chain(&of_pair).sum::<usize>();
    let marked = |text: &str| text.matches("! ").count();
    // What is the same of both lenses is said once.
    let both = short.matches("! both: ").count();
    assert_eq!((marked(&short) + both, marked(&whole)), (all, all), "{short}\n{whole}");
    assert!(all >= 8, "{whole}");
}

#[test]
fn a_lens_is_told_to_have_arrived_until_another_is_made_for_its_eye() {
    let shop = Shop::new();
    done(shop.run(usual_order(&[["--ed", "53"]])));
    let states = || {
        let row = screen(&shop).into_iter().find(|line| line.starts_with("lens ")).unwrap();
        let words = row.split_whitespace().skip(1).collect::<Vec<_>>().join(" ");
        (words, done(shop.run(["plan", "1", "--json"])).json()["arrived"].clone())
    };
    let json = |right: bool, left: bool| serde_json::json!([right, left]);
    assert_eq!(states(), ("not arrived yet not arrived yet".into(), json(false, false)));
    done(shop.run(["job", "arrive", "1", "left", "--what", "70 mm, base 6"]));
    assert_eq!(states(), ("not arrived yet arrived".into(), json(false, true)));
    // Nobody noted that it came, and it is marked all the same.
    done(shop.run(["record", "mark", "1", "right"]));
    assert_eq!(states().0, "in work arrived");
    done(shop.run(["job", "remake", "1", "left", "--cause", "damaged", "--bearer", "shop"]));
    assert_eq!(states(), ("in work not arrived yet".into(), json(false, false)));
    done(shop.run(["job", "amend", "1", "--left", "none", "--why", "keeps the old lens"]));
    assert_eq!(states(), ("in work no lens".into(), serde_json::json!([false, null])));
}

#[test]
fn a_blank_that_arrived_is_said_to_be_enough_or_to_be_short() {
    // ED 53, 2.5 in and 3.0 in: 53 + 2 · 2.5 + 2 and 53 + 2 · 3.0 + 2.
    let shop = Shop::new();
    done(shop.run(usual_order(&[["--ed", "53"], ["--heights", "19"]])));
    done(shop.run(["job", "arrive", "1", "right", "--blank", "60"]));
    done(shop.run(["job", "arrive", "1", "left", "--blank", "60", "--what", "base 6"]));
    let (text, whole) = (done(shop.run(["plan", "1"])).words(), whole(&shop));
    assert!(
        text.contains("minimum blank 60.0 mm; 60 mm blank is enough 61.0 mm; 60 mm NOT ENOUGH"),
        "{text}"
    );
    assert!(text.contains("! left: the 60 mm blank that arrived is 1.0 mm short of the minimum"), "{text}");
    assert!(whole.contains("short of the minimum, the shop's allowance included"), "{whole}");
    let json = done(shop.run(["plan", "1", "--json"])).json();
    for (eye, enough) in [("right", true), ("left", false)] {
        assert_eq!(
            (&json[eye]["arrived_blank_mm"], &json[eye]["arrived_is_enough"]),
            (&60.0.into(), &enough.into())
        );
    }
    let show = done(shop.run(["job", "show", "1"])).stdout;
    assert!(show.contains("left lens 1 arrived, 60 mm blank: base 6"), "{show}");
    // One that is large enough, however large the stocked ones are.
    done(shop.run(["job", "arrive", "1", "left", "--blank", "75"]));
    let text = done(shop.run(["plan", "1"])).words();
    assert!(text.contains("61.0 mm; 75 mm blank is enough") && !text.contains("short of"), "{text}");
    assert_eq!(shop.run(["job", "arrive", "1", "left", "--blank", "-70"]).status, Some(2));
}

#[test]
fn what_this_frame_took_before_is_that_of_the_jobs_before_as_the_dial_counts() {
    let shop = Shop::new();
    let dial = |basis: &str| {
        done(shop.run(["station", "dial", "--basis", basis, "--absolute", "--step", "0.05"]));
    };
    dial("diameter");
    for (job, fit) in [("1", "0.20"), ("2", "0.10"), ("3", "0.30")] {
        done(shop.run(usual_order(&[["--ed", "53"]])));
        done(shop.run(["record", "pass", job, "r", fit, "fits"]));
    }
    // Neither another model nor another size of it tells.
    for other in [["--frame", "Lindgren 8"], ["--a", "52"]] {
        done(shop.run(usual_order(&[other, ["--ed", "55"]])));
    }
    done(shop.run(["record", "pass", "4", "r", "0.60", "fits"]));
    let this_frame = |job: &str| {
        let text = done(shop.run(["plan", job])).words();
        let (_, said) = text.split_once("this frame ").unwrap();
        said.split(" ! ").next().unwrap().to_owned()
    };
    // Of its own job it tells under its size.
    assert_eq!(this_frame("1"), "2 lenses fitted +0.10 to +0.30 mm on diameter, last +0.30");
    assert_eq!(this_frame("3"), "2 lenses fitted +0.10 to +0.20 mm on diameter, last +0.10");
    assert_eq!(this_frame("5"), "nothing known yet of this model and size");
    dial("radius");
    assert_eq!(this_frame("3"), "2 lenses fitted +0.05 to +0.10 mm on radius, last +0.05");
}

#[test]
fn the_customers_name_is_shown_and_not_among_what_programs_read() {
    let shop = Shop::new();
    done(shop.run(usual_order(&[["--name", "Maud Ferris"], ["--ed", "53"]])));
    assert!(screen(&shop)[0].contains("customer Maud Ferris (K-17)"));
    assert!(whole(&shop).contains("customer Maud Ferris (K-17)"));
    assert!(!done(shop.run(["plan", "1", "--json"])).stdout.contains("Maud"));
    done(shop.run(["book", "forget", "K-17", "--yes"]));
    assert!(screen(&shop)[0].contains("customer K-17 "));
}
