//! Where the book tells nothing, or something else goes before.

use super::*;
use serde_json::json;

#[test]
fn without_a_dial_nothing_is_advised_and_the_plan_says_why() {
    let shop = Shop::new();
    let job = open(&shop, "Lindgren 7", &[]);
    let plan = plan(&shop, &job);
    assert_eq!((&plan["advice"], &plan["first_size"]["dialled_mm"]), (&Value::Null, &Value::Null));
    let text = done(shop.run(["plan", &job])).words();
    let why = "first size +0.40 mm on diameter (shop default); no advice by the book before you set the station: bevelbook \
               station dial --help";
    assert!(text.contains(why), "{text}");
}

#[test]
fn rimless_and_grooved_lenses_are_cut_to_their_shape() {
    for rim in ["rimless", "grooved"] {
        let shop = shop();
        for _ in 0..4 {
            pair(&shop, "Lindgren 7", "0.20", "0.10");
        }
        let job = open(&shop, "Lindgren 7", &[["--rim", rim]]);
        let plan = plan(&shop, &job);
        assert_eq!(plan["advice"], Value::Null, "{rim}");
        assert_eq!(said(&shop, &job, "this frame"), "cut to its shape; the book advises no size", "{rim}");
        assert_eq!(plan["first_size"]["dialled_mm"], plan["first_size"]["habit_mm"]);
        let answer = done(shop.run(["record", "pass", &job, "right", "0.40", "much", "--json"])).json();
        assert_eq!(answer["advised_mm"], plan["first_size"]["habit_mm"], "{answer}");
    }
}

#[test]
fn of_one_lens_no_second_is_told() {
    let shop = shop();
    (0..4).for_each(|_| drop(pair(&shop, "Lindgren 7", "0.20", "0.10")));
    let job = open(&shop, "Lindgren 7", &[["--left", "none"]]);
    let plan = plan(&shop, &job);
    assert!(first(&plan).1);
    assert_eq!([&plan["advice"]["second"], &plan["advice"]["second_passes"]], [&Value::Null; 2]);
    let text = done(shop.run(["plan", &job, "--full"])).stdout;
    assert!(!text.contains("second"), "{text}");
    let answer = done(shop.run(["record", "pass", &job, "right", "0.10", "fits", "--json"])).json();
    assert_eq!(answer["next_dialled_mm"], json!([null, null]));
}

#[test]
fn a_balance_lens_is_sized_like_any_other() {
    let shop = shop();
    (0..4).for_each(|_| drop(pair(&shop, "Lindgren 7", "0.20", "0.10")));
    let usual = plan(&shop, &open(&shop, "Lindgren 7", &[]));
    let balance = plan(&shop, &open(&shop, "Lindgren 7", &[["--left", "bal"]]));
    assert!(first(&usual).1);
    assert_eq!(usual["advice"], balance["advice"]);
}

#[test]
fn what_the_rim_itself_has_shown_goes_before() {
    let shop = shop();
    (0..4).for_each(|_| drop(pair(&shop, "Lindgren 7", "0.20", "0.10")));
    let job = open(&shop, "Lindgren 7", &[]);
    pass(&shop, &job, "right", &[["0.60", "touch"], ["0.50", "fits"]]);
    done(shop.run(["job", "remake", &job, "right", "--cause", "damaged", "--bearer", "shop"]));
    let plan = plan(&shop, &job);
    // A new lens starts between the fit of the one before and where that was too big.
    let next = plan["sizes"][0]["next_dialled_mm"].as_f64().unwrap();
    assert!((0.5..0.6).contains(&next), "{plan}");
}

#[test]
fn measured_girths_go_before() {
    let shop = shop();
    (0..4).for_each(|_| drop(pair(&shop, "Lindgren 7", "0.20", "0.10")));
    let job = open(&shop, "Lindgren 7", &[]);
    pass(&shop, &job, "right", &[["0.60", "much"]]);
    let by_book = plan(&shop, &job)["sizes"][0]["next_dialled_mm"].as_f64().unwrap();
    done(shop.run(["record", "girth", &job, "right", "150.30"]));
    done(shop.run(["record", "girth", &job, "right", "150.00", "--rim"]));
    let by_girth = plan(&shop, &job)["sizes"][0]["next_dialled_mm"].as_f64().unwrap();
    // 0.30 longer round is 0.0955 across: from 0.60 down to 0.5045, and not below on steps of 0.05.
    assert!(by_book < 0.5 && (by_girth - 0.55).abs() < 1e-9, "{by_book} {by_girth}");
}

#[test]
fn reading_what_is_advised_writes_nothing() {
    let shop = shop();
    (0..4).for_each(|_| drop(pair(&shop, "Lindgren 7", "0.20", "0.10")));
    let job = open(&shop, "Lindgren 7", &[]);
    let bytes = || std::fs::read(shop.book()).unwrap();
    let before = bytes();
    for command in [&["plan", &job][..], &["plan", &job, "--full"], &["sheet", &job, "--out", "-"]] {
        done(shop.run(command));
    }
    assert!(before == bytes());
}

#[test]
fn on_a_dial_so_coarse_that_rims_lie_between_two_sizes_nothing_is_advised() {
    let shop = shop();
    (0..4).for_each(|_| drop(pair(&shop, "Lindgren 7", "0.20", "0.10")));
    let job = open(&shop, "Lindgren 7", &[]);
    assert!(plan(&shop, &job)["advice"].is_object());
    // A step of 0.1 on radius is 0.2 across, and a lens is firm in 0.15 of it.
    dial(&shop, &["--basis", "radius", "--absolute", "--step", "0.1"]);
    assert!(plan(&shop, &job)["advice"].is_null());
    let why = "one step of the dial can lead from too big to loose";
    let usual = "dial +0.20 mm on radius (shop default +0.40 mm on diameter)";
    let text = done(shop.run(["plan", &job])).words();
    assert!(text.contains(&format!("{usual}; no advice by the book: {why} this frame 8 lenses")), "{text}");
    let shown = done(shop.run(["frames", "show", "Lindgren 7"])).stdout;
    assert!(shown.contains(&format!("now: {why};\n     the shop's first size is cut")), "{shown}");
    assert!(shown.lines().all(|line| line.chars().count() <= 80), "{shown}");
    // Of a model never had there is no more to say.
    let other = open(&shop, "Lindgren 8", &[]);
    assert_eq!(said(&shop, &other, "first size"), usual);
}

#[test]
fn of_a_model_that_fits_nowhere_near_any_other_nothing_is_advised() {
    let shop = shop();
    (0..3).for_each(|_| drop(pair(&shop, "Far", "2.10", "2.00")));
    let job = open(&shop, "Far", &[]);
    assert!(plan(&shop, &job)["advice"].is_null(), "{}", plan(&shop, &job)["advice"]);
    let shown = done(shop.run(["frames", "show", "Far", "--json"])).stdout;
    let shown: serde_json::Value = serde_json::from_str(&shown).unwrap();
    assert!(shown["now"].is_null() && shown["lenses"][5]["band_mm"].is_null(), "{shown}");
}
